//! Takes the numbers of a text one after another, each with its place.
//!
//! Gives numbers, or a flaw where one is wanted and something else stands. Must never know what they mean.

use super::Flaw;
use crate::measure::trimmed;

/// The words of a text that are still to be read.
pub(super) struct Numbers<'t> {
    text: &'t str,
    /// Where each word stands.
    words: std::vec::IntoIter<(usize, usize)>,
    last: (usize, usize),
}

impl<'t> Numbers<'t> {
    /// Words between spaces, commas and line ends, from a byte of the text on.
    pub fn between_spaces(text: &'t str, from: usize) -> Self {
        let rest = text.get(from..).unwrap_or("");
        let apart = |letter: char| letter.is_whitespace() || letter == ',';
        let words = rest.split(apart).filter(|word| !word.is_empty());
        Self::new(text, words.map(|word| placed(text, word)).collect())
    }

    fn new(text: &'t str, words: Vec<(usize, usize)>) -> Self {
        let end = text.trim_end().len();
        Self { text, words: words.into_iter(), last: (end.saturating_sub(1), end) }
    }

    /// The next number and where it stands.
    pub fn next(&mut self, what: &str) -> Result<(f64, (usize, usize)), Flaw> {
        let Some(place) = self.words.next() else {
            let end = self.last;
            return Err(Flaw::new(
                end,
                format!("the file ends where {what} is wanted"),
                "look whether it was copied whole, and whether its counts are right",
            ));
        };
        self.last = place;
        Ok((number(self.text, place, what)?, place))
    }

    /// A whole number of at least one.
    pub fn count(&mut self, what: &str) -> Result<usize, Flaw> {
        let (value, place) = self.next(what)?;
        counted(value, place, what)
    }

    /// Angles, each greater than the one before.
    pub fn angles(&mut self, count: usize, what: &str) -> Result<Angles, Flaw> {
        let mut angles = Angles::default();
        for _ in 0..count {
            let (angle, place) = self.next(what)?;
            angles.push(angle, place, what)?;
        }
        Ok(angles)
    }

    /// Whatever stands after the last number that is wanted is too much.
    pub fn finish(mut self) -> Result<(), Flaw> {
        match self.words.next() {
            None => Ok(()),
            Some(place) => Err(Flaw::new(
                place,
                "more values stand here than the counts of angles ask for",
                "correct the counts, or take away what is too much",
            )),
        }
    }
}

/// Angles in rising order, with the place of each.
#[derive(Default)]
pub(super) struct Angles {
    pub values: Vec<f64>,
    pub places: Vec<(usize, usize)>,
}

impl Angles {
    pub fn push(&mut self, angle: f64, place: (usize, usize), what: &str) -> Result<(), Flaw> {
        if let Some(before) = self.values.last().filter(|before| angle <= **before) {
            let said = format!("{what} {} follows {}: angles must rise", trimmed(angle, 4), trimmed(*before, 4));
            return Err(Flaw::new(place, said, "put the angles in rising order, each once"));
        }
        if !(-360.0..=720.0).contains(&angle) {
            let said = format!("{what} {} is no angle in degrees", trimmed(angle, 4));
            return Err(Flaw::new(place, said, "write degrees"));
        }
        self.values.push(angle);
        self.places.push(place);
        Ok(())
    }

    pub fn first(&self) -> f64 {
        self.values.first().copied().unwrap_or(0.0)
    }

    pub fn last(&self) -> f64 {
        self.values.last().copied().unwrap_or(0.0)
    }

    /// Where the last one stands.
    pub fn end(&self) -> (usize, usize) {
        self.places.last().copied().unwrap_or_default()
    }

    pub fn start(&self) -> (usize, usize) {
        self.places.first().copied().unwrap_or_default()
    }
}

/// Where a piece of a text stands in it.
pub(super) fn placed(text: &str, piece: &str) -> (usize, usize) {
    let start = (piece.as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
    (start, start + piece.len())
}

/// The number that stands at a place.
pub(super) fn number(text: &str, place: (usize, usize), what: &str) -> Result<f64, Flaw> {
    let word = text.get(place.0..place.1).unwrap_or("");
    word.parse::<f64>().ok().filter(|value| value.is_finite()).ok_or_else(|| {
        let short: String = word.chars().take(30).collect();
        let said = format!("{what} is wanted here, and \"{}\" is no number", short.escape_debug());
        Flaw::new(place, said, "write a plain number such as 12.5")
    })
}

pub(super) fn counted(value: f64, place: (usize, usize), what: &str) -> Result<usize, Flaw> {
    if value.fract() != 0.0 || !(1.0..=100_000.0).contains(&value) {
        let said = format!("{what} is {}, and must be a whole number of 1 or more", trimmed(value, 4));
        return Err(Flaw::new(place, said, "count the values and correct it"));
    }
    Ok(value as usize)
}

/// Refuses light that is negative.
pub(super) fn not_negative(value: f64, place: (usize, usize), what: &str) -> Result<f64, Flaw> {
    if value < 0.0 {
        let said = format!("{what} of {} is negative", trimmed(value, 4));
        return Err(Flaw::new(place, said, "no lamp gives less than nought; correct the value"));
    }
    Ok(value)
}

/// Refuses tables that are far too large.
pub(super) fn not_too_many(planes: usize, steps: usize, place: (usize, usize)) -> Result<(), Flaw> {
    if planes.saturating_mul(steps) > super::MOST_VALUES {
        let said = format!("{planes} by {steps} directions are more than the million that are read");
        return Err(Flaw::new(place, said, "keep fewer angles; a tenth of a degree is fine enough"));
    }
    Ok(())
}
