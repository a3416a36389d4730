//! EULUMDAT files: one value a line, intensities in candela per thousand lumens.
//!
//! The order of the lines is that of the format as A. W. Stockmar published it in 1990, seen in public copies of its
//! table of lines (AGi32's and Helios32's help pages name it).
//! Takes the text; gives the table with its symmetry written out. Must never guess at one.

use super::{
    Flaw, Grid, Mapping, Reading,
    grid::{System, Table},
    numbers::{Angles, counted, not_negative, not_too_many, placed},
};
use crate::measure::trimmed;

/// The lines of the text, to be taken in order.
struct Rows<'t> {
    text: &'t str,
    lines: Vec<&'t str>,
    next: usize,
}

impl<'t> Rows<'t> {
    fn skip(&mut self, count: usize) {
        self.next += count;
    }

    fn number(&mut self, what: &str) -> Result<(f64, (usize, usize)), Flaw> {
        let Some(line) = self.lines.get(self.next) else {
            let end = self.text.trim_end().len();
            let said = format!("the file ends where {what} is wanted");
            let mend = "look whether it was copied whole, and whether its counts are right";
            return Err(Flaw::new((end.saturating_sub(1), end), said, mend));
        };
        self.next += 1;
        let place = placed(self.text, line.trim());
        // Commas stand for points in files of some countries; nothing else can be meant on a line of its own.
        let word = line.trim().replacen(',', ".", 1);
        super::numbers::number(&word, (0, word.len()), what).map(|value| (value, place)).map_err(|flaw| Flaw {
            start: place.0,
            end: place.1,
            ..flaw
        })
    }

    fn angles(&mut self, count: usize, what: &str) -> Result<Angles, Flaw> {
        let mut angles = Angles::default();
        for _ in 0..count {
            let (angle, place) = self.number(what)?;
            angles.push(angle, place, what)?;
        }
        Ok(angles)
    }
}

pub(super) fn read(text: &str, mapping: Mapping) -> Result<Reading, Flaw> {
    let mut rows = Rows { text, lines: text.lines().collect(), next: 2 };
    let (symmetry, symmetry_place) = rows.number("the symmetry (line 3)")?;
    let (count, count_place) = rows.number("the number of C-planes (line 4)")?;
    let planes = counted(count, count_place, "the number of C-planes")?;
    rows.skip(1);
    let (count, count_place) = rows.number("the number of gamma angles (line 6)")?;
    let steps = counted(count, count_place, "the number of gamma angles")?;
    not_too_many(planes, steps, count_place)?;
    // From line 7, up to the conversion factor on line 24.
    rows.skip(17);
    let factor = factor(&mut rows)?;
    rows.skip(10);
    let all = rows.angles(planes, "C-plane")?;
    let gamma = rows.angles(steps, "gamma angle")?;
    if gamma.first() < 0.0 || gamma.last() > 180.0 {
        let place = if gamma.first() < 0.0 { gamma.start() } else { gamma.end() };
        return Err(Flaw::new(place, "a gamma angle is outside 0 to 180", "gamma counts from straight down"));
    }
    let kept = kept(symmetry, symmetry_place, &all)?;
    let mut candela = Vec::new();
    for _ in 0..kept.planes.len() * steps {
        let (value, place) = rows.number("an intensity")?;
        candela.push(not_negative(value, place, "an intensity")? * factor);
    }
    if let Some(line) = rows.lines[rows.next.min(rows.lines.len())..].iter().find(|line| !line.trim().is_empty()) {
        let what = "more lines stand here than the counts of angles ask for";
        return Err(Flaw::new(placed(text, line), what, "correct the counts or the symmetry (lines 3, 4 and 6)"));
    }
    let table = Table { system: System::AboutAxis, planes: kept.planes, steps: gamma.values, candela };
    let table = (kept.complete)(table);
    let grid = Grid::new(table, mapping, symmetry_place)?;
    let mut notes = grid.notes();
    notes.extend(kept.words.map(String::from));
    notes.push(format!("Candela per thousand lumens are multiplied by {}.", trimmed(factor, 6)));
    Ok(Reading { grid, by_volts: None, chromaticity: None, notes })
}

/// What the values are to be multiplied by for candela: lines 24 to 26 and the set of lamps.
fn factor(rows: &mut Rows) -> Result<f64, Flaw> {
    let (conversion, _) = positive(rows, "the conversion factor (line 24)")?;
    let (tilt, place) = rows.number("the tilt in measurement (line 25)")?;
    if tilt != 0.0 {
        let what = format!("the lamp was measured tilted by {} degrees, which is not read", trimmed(tilt, 2));
        return Err(Flaw::new(place, what, "measure it upright, with 0 on this line"));
    }
    let (sets, place) = rows.number("the number of sets of lamps (line 26)")?;
    if sets != 1.0 {
        let what = format!("the file holds {} sets of lamps, and does not say which one burns", trimmed(sets, 2));
        return Err(Flaw::new(place, what, "keep the set that burns, and write 1 on this line"));
    }
    rows.skip(2);
    let (lumens, _) = positive(rows, "the lumens of the lamps")?;
    rows.skip(3);
    Ok(conversion * lumens / 1000.0)
}

fn positive(rows: &mut Rows, what: &str) -> Result<(f64, (usize, usize)), Flaw> {
    let (value, place) = rows.number(what)?;
    if value <= 0.0 {
        let said = format!("{what} is {}, and must be more than nought", trimmed(value, 4));
        return Err(Flaw::new(place, said, "correct it"));
    }
    Ok((value, place))
}

/// The C-planes that a file of some symmetry has intensities for.
struct Kept {
    planes: Vec<f64>,
    /// Makes the whole circle of them.
    complete: fn(Table) -> Table,
    words: Option<&'static str>,
}

fn kept(symmetry: f64, place: (usize, usize), all: &Angles) -> Result<Kept, Flaw> {
    let run = |from: f64, to: f64| -> Result<Vec<f64>, Flaw> {
        // A symmetry across 90 to 270 is written from 270 on through 360.
        let there = |angle: f64| if angle < from - 1e-9 { angle + 360.0 } else { angle };
        let mut planes: Vec<f64> =
            all.values.iter().map(|angle| there(*angle)).filter(|angle| *angle <= to + 1e-9).collect();
        planes.sort_by(f64::total_cmp);
        planes.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        if planes.first().copied() == Some(from) && planes.last().copied() == Some(to) {
            return Ok(planes);
        }
        let what = format!("this symmetry needs the C-planes {from} and {} among the angles", to % 360.0);
        Err(Flaw::new(place, what, "look whether the symmetry (0 to 4) is right"))
    };
    let (planes, complete, words): (Vec<f64>, fn(Table) -> Table, _) = match symmetry {
        0.0 => (all.values.clone(), closed, None),
        1.0 => (vec![0.0], Table::all_round, Some("It is the same all round.")),
        2.0 => {
            (run(0.0, 180.0)?, |table| table.mirrored(360.0), Some("Its halves mirror each other across C0 to C180."))
        }
        3.0 => (
            run(270.0, 450.0)?,
            |table| table.mirrored(540.0),
            Some("Its halves mirror each other across C90 to C270."),
        ),
        4.0 => {
            (run(0.0, 90.0)?, |table| table.mirrored(180.0).mirrored(360.0), Some("Its quarters are mirror images."))
        }
        _ => {
            let what = format!("there is no symmetry {}", trimmed(symmetry, 3));
            return Err(Flaw::new(place, what, "it is a whole number from 0 to 4"));
        }
    };
    if planes.last().zip(planes.first()).is_some_and(|(last, first)| last - first > 360.0 + 1e-9) {
        return Err(Flaw::new(all.end(), "the C-planes go round more than once", "write each plane once, 0 to 360"));
    }
    Ok(Kept { planes, complete, words })
}

/// The first plane once more at the end, since a whole circle of planes is written without it.
fn closed(table: Table) -> Table {
    if table.is_whole_circle() {
        return table;
    }
    let Table { system, mut planes, steps, mut candela } = table;
    planes.extend(planes.first().map(|first| first + 360.0));
    candela.extend_from_within(..steps.len());
    Table { system, planes, steps, candela }
}
