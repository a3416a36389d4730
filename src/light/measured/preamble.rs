//! What may stand before the directions of a CSV file: its light against voltage, and its measured colour.
//!
//! Takes the lines from the first on; gives what they tell and leaves the lines after it. Must never know of candela.

use std::iter::Peekable;

use super::{
    Flaw,
    csv::plain,
    numbers::{number, placed},
};
use crate::light::{
    Chromaticity,
    supply::{Dependence, Table},
};

const BY_VOLTS: &str = "volts,share_of_light";
const COLOUR: &str = "x,y";

/// What a file tells before its directions.
#[derive(Default)]
pub(super) struct Preamble {
    pub by_volts: Option<Dependence>,
    pub chromaticity: Option<Chromaticity>,
}

impl Preamble {
    pub fn is_empty(&self) -> bool {
        self.by_volts.is_none() && self.chromaticity.is_none()
    }
}

/// Two numbers of one line, and where it stands.
struct Pair {
    values: (f64, f64),
    place: (usize, usize),
}

/// What may stand before the directions, as a clause.
pub(super) fn hint() -> String {
    format!("before that, `{BY_VOLTS}` or `{COLOUR}` may head rows of their own")
}

/// Whether a header, as it is compared, begins a block.
pub(super) fn is_header(plain: &str) -> bool {
    [BY_VOLTS, COLOUR].contains(&plain)
}

/// Reads each block that stands there, in any order; `lines` are those of `text` that are not blank.
pub(super) fn read<'t>(text: &'t str, lines: &mut Peekable<impl Iterator<Item = &'t str>>) -> Result<Preamble, Flaw> {
    let mut told = Preamble::default();
    while let Some(header) = lines.next_if(|line| is_header(&plain(line))) {
        let (kind, place) = (plain(header), placed(text, header.trim()));
        let twice = if kind == COLOUR { told.chromaticity.is_some() } else { told.by_volts.is_some() };
        if twice {
            return Err(Flaw::new(place, format!("`{kind}` is given twice"), "keep one of the two"));
        }
        let pairs = pairs(text, lines, &kind)?;
        if kind == COLOUR {
            told.chromaticity = Some(colour(&pairs, place)?);
        } else {
            told.by_volts = Some(by_volts(&pairs, place)?);
        }
    }
    Ok(told)
}

/// Whether a line is meant for a header: it begins with a letter, and no number stands in it, not even one that is none,
/// such as `nan`.
fn in_words(line: &str) -> bool {
    let numbers = || line.split(',').any(|field| field.trim().parse::<f64>().is_ok());
    line.trim_start().starts_with(char::is_alphabetic) && !numbers()
}

/// The lines up to the next header.
fn pairs<'t>(
    text: &'t str,
    lines: &mut Peekable<impl Iterator<Item = &'t str>>,
    header: &str,
) -> Result<Vec<Pair>, Flaw> {
    let mut pairs = Vec::new();
    while let Some(line) = lines.next_if(|line| !in_words(line)) {
        let place = placed(text, line.trim());
        let fields: Vec<(usize, usize)> = line.split(',').map(|field| placed(text, field.trim())).collect();
        let [first, second] = fields[..] else {
            let what = format!("{} values stand on this line, and its header `{header}` names 2", fields.len());
            return Err(Flaw::new(place, what, "write two numbers a line, with decimal points and a comma between"));
        };
        let (one, other) = header.split_once(',').unwrap_or((header, header));
        let named = |name: &str| format!("a value of `{name}`");
        let values = (number(text, first, &named(one))?, number(text, second, &named(other))?);
        pairs.push(Pair { values, place });
    }
    Ok(pairs)
}

fn by_volts(pairs: &[Pair], header: (usize, usize)) -> Result<Dependence, Flaw> {
    let table = Table::new(pairs.iter().map(|pair| pair.values).collect()).map_err(|unsound| {
        let place = pairs.get(unsound.row).map_or(header, |pair| pair.place);
        Flaw::new(place, unsound.what, unsound.mend)
    })?;
    Ok(Dependence::Measured(table))
}

fn colour(pairs: &[Pair], header: (usize, usize)) -> Result<Chromaticity, Flaw> {
    let [Pair { values: (x, y), place }] = pairs else {
        let place = pairs.get(1).map_or(header, |second| second.place);
        let what = format!("{} colours stand under `{COLOUR}`", pairs.len());
        return Err(Flaw::new(place, what, "give one line of CIE 1931 coordinates, such as `0.31,0.33`"));
    };
    let colour = Chromaticity { x: *x, y: *y };
    if !colour.lies_in_the_diagram() {
        let what = "these coordinates lie outside the colour diagram";
        return Err(Flaw::new(*place, what, "x and y are CIE 1931 coordinates; together they are at most 1"));
    }
    Ok(colour)
}
