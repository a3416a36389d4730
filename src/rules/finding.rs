//! One thing that falls short, in plain words, with its clause, its arc and a way to mend it.

use serde::Serialize;

use crate::measure::Arc;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Lawful at rest, or unclear in the rules, but likely to mislead.
    Caution,
    /// A rule is not met.
    Fault,
}

impl Severity {
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Caution => "caution",
            Self::Fault => "fault",
        }
    }
}

/// What sort of shortfall a finding is. Causes come before what they bring about, as a fitter would mend them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A light that the display asks for is not fitted or not lit.
    LightMissing,
    /// A light shows that is no part of the display, or one more than it asks for.
    LightNotAllowed,
    /// A lamp shows a colour that its role has not.
    WrongColour,
    /// A lamp's optics do not fill the sector of its role.
    WrongLamp,
    /// A lamp stands where the rules do not allow it.
    Misplaced,
    /// The lamp leans, and loses its vertical sector.
    NotUpright,
    /// The lamp is turned off the line of the keel.
    NotParallel,
    /// Too little intensity even with nothing in the way and the lamp set right.
    TooWeak,
    /// The boat's own solids hide it.
    Shadowed,
    /// An all-round light hidden over more than the allowed arc.
    AllRoundObscured,
    /// A strip ahead where neither sidelight shows.
    DarkLane,
    /// A strip ahead where both sidelights show, wider than allowed.
    DoubleLane,
    /// Light past the practical cut-off.
    Spill,
    /// A light too low above the sidelights or the gunwale.
    TooLow,
    /// The rules in this program hold no display, or no figure, for it.
    NotCovered,
}

impl Kind {
    /// The kind in plain words, as a heading.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::LightMissing => "a light is missing",
            Self::LightNotAllowed => "a light that may not be shown",
            Self::WrongColour => "wrong colour",
            Self::WrongLamp => "wrong lamp for its role",
            Self::Misplaced => "in the wrong place",
            Self::TooWeak => "too weak",
            Self::Shadowed => "in shadow",
            Self::Spill => "spill outside the sector",
            Self::DarkLane => "dark lane ahead",
            Self::DoubleLane => "double lane ahead",
            Self::NotUpright => "not upright",
            Self::NotParallel => "not parallel to the centreline",
            Self::AllRoundObscured => "all-round light obscured",
            Self::TooLow => "too low",
            Self::NotCovered => "not covered",
        }
    }
}

/// See the module.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    pub kind: Kind,
    pub severity: Severity,
    /// The clause not met, such as "Rule 21(b), Annex I 9(a)".
    pub clause: String,
    /// The lamp concerned, by name.
    pub lamp: Option<String>,
    /// Where it falls short.
    pub arc: Option<Arc>,
    /// What is in the way, by name.
    pub by: Option<String>,
    /// What is wrong, in one plain sentence.
    pub what: String,
    /// The figures: how far short.
    pub how_bad: String,
    /// How to mend it.
    pub mend: String,
}
