//! Comma-separated files of degrees and candela, in the lamp's own bearing and elevation: whole grids and cuts, with
//! or without its light against voltage and its measured colour before them.
//!
//! Takes the text; gives the table, made of two cuts where the file holds one. Must never invent what no cut tells.

use super::{
    Besides, Flaw, Grid, Mapping, Reading, Refusal,
    grid::{System, Table},
    numbers::{not_negative, not_too_many, number, placed},
    preamble::{self, Preamble},
};
use crate::measure::trimmed;

const HORIZONTAL: &str = "bearing_degrees,candela";
const VERTICAL: &str = "elevation_degrees,candela";
const GRID: &str = "bearing_degrees,elevation_degrees,candela";

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Grid,
    Horizontal,
    Vertical,
}

/// Angles of one row, its candela, and where the row stands.
struct Row {
    bearing: f64,
    elevation: f64,
    candela: f64,
    place: (usize, usize),
}

/// All that one file holds.
struct Sheet {
    /// Where the header of its directions stands.
    header: (usize, usize),
    kind: Kind,
    rows: Vec<Row>,
    preamble: Preamble,
}

pub(super) fn read(text: &str, mapping: Mapping, besides: Besides) -> Result<Reading, Refusal> {
    let Sheet { header: top, kind, rows, preamble } = sheet(text)?;
    let (table, word) = match (kind, besides) {
        (Kind::Grid, Besides::Nothing) => (grid(&rows)?, None),
        (Kind::Horizontal, Besides::VerticalCut(other)) => {
            let word = "Its shape from below to above level is taken as the same on every bearing.";
            (product(&rows, other)?, Some(word))
        }
        (Kind::Vertical, Besides::SameAllRound) => {
            let upright = grid(&rows)?;
            (upright.all_round(), Some("It is taken as the same on every bearing, as was said of it."))
        }
        (Kind::Horizontal, _) => {
            let what = "a horizontal cut alone tells nothing of the light above and below level";
            return Err(Flaw::new(
                top,
                what,
                "give a CSV vertical cut as well (`vertical`), or measure the whole grid",
            )
            .into());
        }
        (Kind::Vertical, _) => {
            let what = "a vertical cut alone tells nothing of the light on other bearings";
            let mend =
                "give it as the vertical cut of a horizontal one, or say that it is the same all round (`all_round`)";
            return Err(Flaw::new(top, what, mend).into());
        }
        (Kind::Grid, _) => {
            let what = "this file holds the whole grid, and is given with something to complete a cut";
            return Err(Flaw::new(top, what, "leave out what was given besides").into());
        }
    };
    let table = closed(table)?;
    let grid = Grid::new(table, mapping, top)?;
    let mut notes = grid.notes();
    notes.extend(word.map(String::from));
    Ok(Reading { grid, by_volts: preamble.by_volts, chromaticity: preamble.chromaticity, notes })
}

/// A header as it is compared: without blanks and capitals.
pub(super) fn plain(header: &str) -> String {
    header.chars().filter(|letter| !letter.is_whitespace()).collect::<String>().to_ascii_lowercase()
}

fn is_header(plain: &str) -> bool {
    [GRID, HORIZONTAL, VERTICAL].contains(&plain)
}

fn sheet(text: &str) -> Result<Sheet, Flaw> {
    let mut lines = text.lines().filter(|line| !line.trim().is_empty()).peekable();
    let preamble = preamble::read(text, &mut lines)?;
    let header = lines.next().unwrap_or("");
    let kind = match plain(header).as_str() {
        GRID => Kind::Grid,
        HORIZONTAL => Kind::Horizontal,
        VERTICAL => Kind::Vertical,
        other if preamble::is_header(&other.replace(';', ",")) || is_header(&other.replace(';', ",")) => {
            let what = "semicolons stand between the values";
            return Err(Flaw::new(placed(text, header), what, "put commas between them, and points into the decimals"));
        }
        _ => {
            let what = "this line does not say what the columns hold";
            let before = if preamble.is_empty() { "begin" } else { "go on" };
            let mend = format!("{before} with `{GRID}`, `{HORIZONTAL}` or `{VERTICAL}`; {}", preamble::hint());
            return Err(Flaw::new(if header.is_empty() { (0, 0) } else { placed(text, header) }, what, mend));
        }
    };
    let rows = lines.map(|line| row(text, line, kind)).collect::<Result<Vec<Row>, Flaw>>()?;
    if rows.len() < 2 {
        let what = "the file holds fewer than two directions";
        return Err(Flaw::new(placed(text, header), what, "look whether it was copied whole"));
    }
    not_too_many(rows.len(), 1, placed(text, header))?;
    Ok(Sheet { header: placed(text, header), kind, rows, preamble })
}

fn row(text: &str, line: &str, kind: Kind) -> Result<Row, Flaw> {
    let fields: Vec<(usize, usize)> = line.split(',').map(|field| placed(text, field.trim())).collect();
    let wanted = if kind == Kind::Grid { 3 } else { 2 };
    let place = placed(text, line.trim());
    let header = plain(line);
    if preamble::is_header(&header) {
        let what = format!("`{header}` stands after the directions");
        return Err(Flaw::new(place, what, "put it and its rows before the header of the directions"));
    }
    if fields.len() != wanted {
        let what = format!("{} values stand on this line, and the header names {wanted}", fields.len());
        return Err(Flaw::new(place, what, "write one direction a line, with decimal points"));
    }
    let angle = |index: usize, what: &str, most: f64| -> Result<f64, Flaw> {
        let value = number(text, fields[index], what)?;
        if value.abs() > most {
            let said = format!("{what} {} is outside -{most} to {most}", trimmed(value, 4));
            return Err(Flaw::new(fields[index], said, "write degrees"));
        }
        Ok(value)
    };
    let bearing = if kind == Kind::Vertical { 0.0 } else { angle(0, "a bearing", 360.0)? };
    let elevation = if kind == Kind::Horizontal { 0.0 } else { angle(wanted - 2, "an elevation", 90.0)? };
    let candela = number(text, fields[wanted - 1], "candela")?;
    not_negative(candela, fields[wanted - 1], "an intensity")?;
    Ok(Row { bearing, elevation, candela, place })
}

/// The rows, in whatever order, as a table in which no direction is missing or given twice.
fn grid(rows: &[Row]) -> Result<Table, Flaw> {
    let unique = |angle: fn(&Row) -> f64| {
        let mut all: Vec<f64> = rows.iter().map(angle).collect();
        all.sort_by(f64::total_cmp);
        all.dedup();
        all
    };
    let (planes, steps) = (unique(|row| row.bearing), unique(|row| row.elevation));
    let last = rows.last().map_or((0, 0), |row| row.place);
    not_too_many(planes.len(), steps.len(), last)?;
    let mut candela: Vec<Option<f64>> = vec![None; planes.len() * steps.len()];
    for row in rows {
        let (plane, step) = (at(&planes, row.bearing), at(&steps, row.elevation));
        if candela[plane * steps.len() + step].replace(row.candela).is_some() {
            let what = format!(
                "bearing {} at elevation {} is given twice",
                trimmed(row.bearing, 4),
                trimmed(row.elevation, 4)
            );
            return Err(Flaw::new(row.place, what, "keep one of the two"));
        }
    }
    if let Some(missing) = candela.iter().position(Option::is_none) {
        let (bearing, elevation) = (planes[missing / steps.len()], steps[missing % steps.len()]);
        let what = format!("bearing {} has no value at elevation {}", trimmed(bearing, 4), trimmed(elevation, 4));
        return Err(Flaw::new(last, what, "give every bearing a value at every elevation of the file"));
    }
    Ok(Table { system: System::Level, planes, steps, candela: candela.into_iter().flatten().collect() })
}

fn at(known: &[f64], angle: f64) -> usize {
    known.partition_point(|one| *one < angle)
}

/// The horizontal cut, scaled on each bearing by the vertical one, which counts by its own value at level.
fn product(horizontal: &[Row], vertical: &str) -> Result<Table, Refusal> {
    let of_other = |flaw| Refusal { flaw, in_vertical_cut: true };
    let Sheet { header: top, kind, rows, preamble } = sheet(vertical).map_err(of_other)?;
    if !preamble.is_empty() {
        let what = "the vertical cut tells of voltage or colour";
        return Err(of_other(Flaw::new(super::first_line(vertical), what, "put that into the horizontal cut")));
    }
    if kind != Kind::Vertical {
        let what = "this is no vertical cut";
        return Err(of_other(Flaw::new(top, what, format!("give a file that begins with `{VERTICAL}`"))));
    }
    let upright = grid(&rows).map_err(of_other)?;
    let across = grid(horizontal)?;
    let Some(level) = upright.steps.iter().position(|step| *step == 0.0).map(|step| upright.candela[step]) else {
        let what = "the vertical cut has no value at elevation 0, by which the two cuts are joined";
        return Err(of_other(Flaw::new(top, what, "measure it at level as well")));
    };
    if level <= 0.0 {
        let what = "the vertical cut is dark at level, and cannot be joined to a horizontal one";
        return Err(of_other(Flaw::new(top, what, "measure it on a bearing on which the lamp shows")));
    }
    let shares = || upright.candela.iter().map(move |candela| candela / level);
    let candela = across.candela.iter().flat_map(|candela| shares().map(move |share| candela * share)).collect();
    Ok(Table { system: System::Level, planes: across.planes, steps: upright.steps, candela })
}

/// Closes a circle whose last gap is no wider than another of its gaps.
fn closed(table: Table) -> Result<Table, Flaw> {
    let Table { system, mut planes, steps, mut candela } = table;
    let (first, last) = (planes.first().copied().unwrap_or(0.0), planes.last().copied().unwrap_or(0.0));
    if last - first > 360.0 + 1e-9 {
        let what = "the bearings go round more than once";
        return Err(Flaw::new((0, 0), what, "write them from 0 to 360, or from -180 to 180"));
    }
    let widest = planes.windows(2).map(|pair| pair[1] - pair[0]).fold(0.0, f64::max);
    let gap = first + 360.0 - last;
    if gap > 1e-9 && gap <= widest + 1e-9 {
        planes.push(first + 360.0);
        candela.extend_from_within(..steps.len());
    }
    Ok(Table { system, planes, steps, candela })
}
