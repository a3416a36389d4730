//! IES LM-63 files of 1986, 1991, 1995, 2002 and 2019, photometric types A, B and C.
//!
//! The order of the fields is that of LM-63-2002, and of 1986 as a photometric laboratory printed it, both seen in
//! public copies; the first line of 2019 is that of published sample files. That of 1991, and what 2019 made of the
//! field after the ballast factor, are from memory. Takes the text; gives the table with its symmetry written out. Must never guess at one.

use super::{
    Flaw, Grid, Mapping, Reading,
    grid::{System, Table},
    numbers::{Angles, Numbers, counted, not_negative, not_too_many, placed},
};
use crate::measure::trimmed;

pub(super) fn read(text: &str, mapping: Mapping) -> Result<Reading, Flaw> {
    let after = tilt(text)?;
    let mut numbers = Numbers::between_spaces(text, after);
    let head = Head::read(text, &mut numbers)?;
    let steps = numbers.angles(head.steps, "vertical angle")?;
    let planes = numbers.angles(head.planes, "horizontal angle")?;
    vertical(head.system, &steps)?;
    let mut candela = Vec::with_capacity(head.planes * head.steps);
    for _ in 0..head.planes * head.steps {
        let (value, place) = numbers.next("an intensity")?;
        candela.push(not_negative(value, place, "an intensity")? * head.factor);
    }
    numbers.finish()?;
    let table = Table { system: head.system, planes: planes.values.clone(), steps: steps.values, candela };
    let (table, symmetry) = whole(table, &planes)?;
    let grid = Grid::new(table, mapping, head.place)?;
    let mut notes = grid.notes();
    notes.extend(symmetry.map(String::from));
    if head.factor != 1.0 {
        notes.push(format!("The file's own factors multiply its values by {}.", trimmed(head.factor, 6)));
    }
    Ok(Reading { grid, by_volts: None, chromaticity: None, notes })
}

/// The byte after the line on the tilt, which must say that there is none.
fn tilt(text: &str) -> Result<usize, Flaw> {
    for line in text.split_inclusive('\n') {
        let place = placed(text, line.trim_end());
        let Some(tilt) = line.trim().strip_prefix("TILT=") else { continue };
        if tilt.trim() == "NONE" {
            return Ok(placed(text, line).1);
        }
        let what = "the light of this lamp changes with its tilt, which is not read";
        return Err(Flaw::new(place, what, "measure it as it will stand, and write `TILT=NONE`"));
    }
    let what = "no line begins with `TILT=`, so this is no IES file";
    Err(Flaw::new(super::first_line(text), what, "look whether the right file was named and copied whole"))
}

/// What stands before the angles.
struct Head {
    steps: usize,
    planes: usize,
    system: System,
    /// Where the type of photometry stands.
    place: (usize, usize),
    /// Everything that multiplies the values.
    factor: f64,
}

impl Head {
    fn read(text: &str, numbers: &mut Numbers) -> Result<Self, Flaw> {
        numbers.next("the number of lamps")?;
        numbers.next("the lumens of a lamp")?;
        let multiplier = positive(numbers, "the multiplier of the candela")?;
        let steps = numbers.count("the number of vertical angles")?;
        let (planes, place) = numbers.next("the number of horizontal angles")?;
        let planes = counted(planes, place, "the number of horizontal angles")?;
        not_too_many(planes, steps, place)?;
        let (kind, place) = numbers.next("the type of photometry")?;
        let system = match kind {
            1.0 => System::AboutAxis,
            2.0 => System::Tilted,
            3.0 => System::Level,
            _ => {
                let what = format!("there is no type of photometry {}", trimmed(kind, 3));
                return Err(Flaw::new(place, what, "it is 1 for type C, 2 for type B, 3 for type A"));
            }
        };
        for what in ["the unit of lengths", "a width", "a length", "a height"] {
            numbers.next(what)?;
        }
        let ballast = positive(numbers, "the ballast factor")?;
        let (other, _) = numbers.next("the factor after the ballast factor")?;
        numbers.next("the watts")?;
        let other = if later(text) { 1.0 } else { other };
        Ok(Self { steps, planes, system, place, factor: multiplier * ballast * other })
    }
}

/// From 2002 on, what used to be the photometric factor of ballast and lamp is none any more.
fn later(text: &str) -> bool {
    let first = text.lines().next().unwrap_or("").trim();
    first.ends_with("LM-63-2002") || first.ends_with("LM-63-2019")
}

fn positive(numbers: &mut Numbers, what: &str) -> Result<f64, Flaw> {
    let (value, place) = numbers.next(what)?;
    if value <= 0.0 {
        let said = format!("{what} is {}, and must be more than nought", trimmed(value, 4));
        return Err(Flaw::new(place, said, "correct it; 1 leaves the values as they are"));
    }
    Ok(value)
}

fn vertical(system: System, steps: &Angles) -> Result<(), Flaw> {
    let (least, most) = match system {
        System::AboutAxis => (0.0, 180.0),
        System::Level => (-90.0, 90.0),
        System::Tilted => (-180.0, 180.0),
    };
    for (angle, place) in [(steps.first(), steps.start()), (steps.last(), steps.end())] {
        if !(least..=most).contains(&angle) {
            let what = format!("vertical angle {} is outside {least} to {most}", trimmed(angle, 4));
            return Err(Flaw::new(place, what, "look whether the type of photometry is right"));
        }
    }
    Ok(())
}

/// Writes out the symmetry that the first and the last horizontal angle tell, and says which it is.
fn whole(table: Table, planes: &Angles) -> Result<(Table, Option<&'static str>), Flaw> {
    let ends = (planes.first(), planes.last());
    if table.system != System::AboutAxis {
        return match ends {
            (0.0, 90.0) => Ok((table.mirrored(0.0), Some("Left and right are mirror images in it."))),
            (first, last) if first == -last && last > 0.0 => Ok((table, None)),
            _ => Err(Flaw::new(
                planes.end(),
                format!("horizontal angles {} to {} tell no symmetry", trimmed(ends.0, 3), trimmed(ends.1, 3)),
                "for types A and B they run 0 to 90 (mirrored), or as far to one side as to the other",
            )),
        };
    }
    match ends {
        (0.0, 0.0) => Ok((table.all_round(), Some("It holds one plane, the same all round."))),
        (0.0, 90.0) => Ok((table.mirrored(180.0).mirrored(360.0), Some("Its quarters are mirror images."))),
        (0.0, 180.0) => Ok((table.mirrored(360.0), Some("Its halves mirror each other across the plane 0 to 180."))),
        (90.0, 270.0) => Ok((table.mirrored(180.0), Some("Its halves mirror each other across the plane 90 to 270."))),
        (0.0, 360.0) => Ok((table, None)),
        (first, last) => Err(Flaw::new(
            planes.end(),
            format!("horizontal angles {} to {} tell no symmetry", trimmed(first, 3), trimmed(last, 3)),
            "for type C they are 0 alone, or run 0 to 90, 0 to 180, 90 to 270, or 0 to 360 with both ends",
        )),
    }
}
