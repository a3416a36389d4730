//! The signal colours and sets of them.

use std::fmt;

use serde::{Deserialize, Serialize, Serializer, ser::SerializeSeq};

/// The colour of a light, as the rules name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Colour {
    Red,
    Green,
    White,
    Yellow,
}

impl Colour {
    pub const ALL: [Self; 4] = [Self::Red, Self::Green, Self::White, Self::Yellow];

    /// The letter that stands beside the colour wherever it is shown.
    pub fn letter(self) -> char {
        match self {
            Self::Red => 'R',
            Self::Green => 'G',
            Self::White => 'W',
            Self::Yellow => 'Y',
        }
    }

    /// The colour's everyday name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Green => "green",
            Self::White => "white",
            Self::Yellow => "yellow",
        }
    }
}

impl fmt::Display for Colour {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.pad(self.name())
    }
}

/// A set of colours: what an observer makes out, or ought to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Colours(u8);

impl Colours {
    pub const NONE: Self = Self(0);

    pub fn add(&mut self, colour: Colour) {
        self.0 |= 1 << colour as u8;
    }

    pub fn contains(self, colour: Colour) -> bool {
        self.0 >> colour as u8 & 1 == 1
    }

    pub fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// What is in either.
    pub fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// What is in this set and not in the other.
    pub fn without(self, other: Self) -> Self {
        Self(self.0 & !other.0)
    }

    pub fn iter(self) -> impl Iterator<Item = Colour> {
        Colour::ALL.into_iter().filter(move |colour| self.contains(*colour))
    }

    /// The letters in a fixed order, such as `RW`; a dash for none.
    pub fn letters(self) -> String {
        if self.is_empty() { "-".into() } else { self.iter().map(Colour::letter).collect() }
    }

    /// The colours in words: "red and white", "nothing".
    pub fn in_words(self) -> String {
        let names: Vec<_> = self.iter().map(Colour::name).collect();
        if names.is_empty() { "nothing".into() } else { crate::measure::listed(&names) }
    }
}

impl FromIterator<Colour> for Colours {
    fn from_iter<I: IntoIterator<Item = Colour>>(colours: I) -> Self {
        let mut set = Self::NONE;
        colours.into_iter().for_each(|colour| set.add(colour));
        set
    }
}

impl Serialize for Colours {
    /// A list of colour names.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(None)?;
        for colour in self.iter() {
            list.serialize_element(colour.name())?;
        }
        list.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sets_are_spelled_in_letters_and_words() {
        let both: Colours = [Colour::White, Colour::Red].into_iter().collect();
        assert_eq!((both.letters().as_str(), both.in_words().as_str()), ("RW", "red and white"));
        assert_eq!((Colours::NONE.letters().as_str(), Colours::NONE.in_words().as_str()), ("-", "nothing"));
        let red: Colours = [Colour::Red].into_iter().collect();
        assert_eq!(both.without(red), [Colour::White].into_iter().collect());
    }
}
