//! Sheets for paper: sections of words, tables and drawings, laid out on pages in millimetres.
//!
//! Takes a [`Paper`]; gives its pages as SVG, all of them as PDF, or the same as one HTML file that needs nothing else. Must
//! never know what the sheets are of.

mod face;
mod html;
mod ink;
mod layout;
mod pdf;
mod table;
mod tiles;

pub(super) use face::width;
pub use html::html;
pub use layout::pages;
pub use pdf::pdf;

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Size {
    /// ISO 216: 210 by 297 mm.
    #[default]
    A4,
    /// ANSI/ASME Y14.1 size A: 8.5 by 11 inches.
    Letter,
}

impl Size {
    /// Width and height in millimetres.
    pub fn millimetres(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// A set of sheets.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Paper {
    pub size: Size,
    /// What the whole is, on its first page and as its title.
    pub title: String,
    /// What stands at the head of every page, left and right, and below that in small.
    pub head: (String, String),
    pub below_head: String,
    /// The same at the foot of every page; the pages are counted beside it.
    pub foot: String,
    /// What to beware of, at the foot of every page.
    pub caution: String,
    pub sections: Vec<Section>,
}

/// A part of the set under one title.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Section {
    pub title: String,
    /// Whether it begins on a page of its own.
    pub fresh: bool,
    pub blocks: Vec<Block>,
}

impl Section {
    pub fn new(title: &str, blocks: Vec<Block>) -> Self {
        Self { title: title.into(), fresh: false, blocks }
    }

    /// The same on a page of its own.
    pub fn on_its_own_page(self) -> Self {
        Self { fresh: true, ..self }
    }
}

/// What a section is made of.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading within a section.
    Heading(String),
    Words(String),
    /// Words that must not be missed, in a frame.
    Beware(String),
    /// Values under their names.
    Facts(Vec<(String, String)>),
    /// One thing after another.
    Points(Vec<String>),
    /// Things to be done, each with a box to tick.
    Ticks(Vec<String>),
    Table(Table),
    /// Drawings, side by side where they fit.
    Drawings(Vec<Drawing>),
    /// A bar of 100 mm to check the print by.
    CheckBar,
    /// Lines to be written on, each under its name.
    Lines(Vec<String>),
}

/// Rows under heads.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    pub heads: Vec<String>,
    /// How the width is shared out among the columns, in any unit; as many as heads.
    pub shares: Vec<f64>,
    pub rows: Vec<Vec<Cell>>,
}

/// One field of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    Words(String),
    /// A box to tick, with words behind it.
    Tick(String),
}

impl From<String> for Cell {
    fn from(words: String) -> Self {
        Self::Words(words)
    }
}

impl From<&str> for Cell {
    fn from(words: &str) -> Self {
        Self::Words(words.into())
    }
}

/// Something drawn, in SVG elements whose unit is the millimetre.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// What it shows, for whoever cannot see it, and below it unless it is in true scale.
    pub name: String,
    pub width: f64,
    pub height: f64,
    pub elements: String,
    /// Whether it must not be made smaller: then it is spread over several pages where one is too small.
    pub true_scale: bool,
}
