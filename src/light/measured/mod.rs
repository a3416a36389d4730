//! Lamps as a photometer measured them: IES LM-63, EULUMDAT and CSV files of candela against two angles.
//!
//! Takes the text of a file and a [`Mapping`] that says how the file's axes lie in the lamp's own frame; gives a
//! [`Reading`], or the first [`Flaw`] with its place in the text. Must never know of files on a disk, boats or rules.

mod csv;
mod eulumdat;
mod grid;
mod ies;
mod numbers;
mod preamble;

pub use grid::{Axis, Grid, Mapping, Turns};

use super::{Chromaticity, supply::Dependence};

/// What is wrong with a file, where in its text, and how to mend it.
#[derive(Clone, Debug, PartialEq)]
pub struct Flaw {
    /// Bytes of the text, from `start` up to but not including `end`.
    pub start: usize,
    pub end: usize,
    pub what: String,
    pub mend: String,
}

impl Flaw {
    fn new(place: (usize, usize), what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { start: place.0, end: place.1, what: what.into(), mend: mend.into() }
    }
}

/// A measured lamp, and what a reader of its figures should know of how they were read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    pub grid: Grid,
    /// How its light depends on voltage, where the file tells; the grid holds at full light.
    pub by_volts: Option<Dependence>,
    /// The colour of its light, where the file tells.
    pub chromaticity: Option<Chromaticity>,
    /// Whole sentences.
    pub notes: Vec<String>,
}

/// The ways a file may be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// IES LM-63 of 1986 to 2019.
    Ies,
    Eulumdat,
    /// Comma-separated degrees and candela under a header line.
    Csv,
}

impl Format {
    /// By the ending of a file's name, in capitals or not; `None` for any other.
    pub fn of_ending(ending: &str) -> Option<Self> {
        match ending.to_ascii_lowercase().as_str() {
            "ies" => Some(Self::Ies),
            "ldt" => Some(Self::Eulumdat),
            "csv" => Some(Self::Csv),
            _ => None,
        }
    }
}

/// What completes a file that holds one cut alone.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Besides<'t> {
    /// Nothing: the file must hold the whole grid.
    #[default]
    Nothing,
    /// The text of a CSV vertical cut, taken as the same in shape on every bearing of the file's horizontal cut.
    VerticalCut(&'t str),
    /// The word that the file's vertical cut is the same on every bearing.
    SameAllRound,
}

/// Why a lamp could not be read: a flaw, and whether it is of the vertical cut given besides.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    pub flaw: Flaw,
    pub in_vertical_cut: bool,
}

impl From<Flaw> for Refusal {
    fn from(flaw: Flaw) -> Self {
        Self { flaw, in_vertical_cut: false }
    }
}

/// More values than this tell no more of a lamp.
const MOST_VALUES: usize = 1_000_000;

/// Reads a measured lamp.
///
/// # Errors
/// With the first flaw: a count that does not match, angles that do not rise, a value that is no number or negative, a
/// cut without what completes it, or a way of measuring that is not read (tilted, or several sets of lamps).
pub fn read(text: &str, format: Format, mapping: Mapping, besides: Besides) -> Result<Reading, Refusal> {
    if let (Format::Ies | Format::Eulumdat, Besides::VerticalCut(_) | Besides::SameAllRound) = (format, besides) {
        let what = "this file holds every direction already, and is given with something to complete a cut";
        return Err(
            Flaw::new(first_line(text), what, "leave out what was given besides; it goes with a CSV cut").into()
        );
    }
    match format {
        Format::Ies => Ok(ies::read(text, mapping)?),
        Format::Eulumdat => Ok(eulumdat::read(text, mapping)?),
        Format::Csv => csv::read(text, mapping, besides),
    }
}

fn first_line(text: &str) -> (usize, usize) {
    (0, text.find('\n').unwrap_or(text.len()))
}
