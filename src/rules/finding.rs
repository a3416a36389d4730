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
    /// A sidelight cut off before right ahead is past.
    CutTooSoon,
    /// The colour as measured lies outside the limits.
    ColourOutside,
    /// Stronger than need be by so much that it may dazzle.
    TooBright,
    /// The intensity changes more within the sector than it may.
    Uneven,
    /// Lights of a vertical line in another order than the rules give.
    WrongOrder,
    /// A light too high.
    TooHigh,
    /// Two lights too close to one another.
    TooClose,
    /// Two lights too far from one another.
    TooFar,
    /// Two lights that an eye takes for one within the range they must reach.
    LightsMerge,
    /// A screen that is owed is not there.
    ScreenMissing,
    /// The boat's own light hinders her lookout.
    Lookout,
    /// A light is kept ready to hand instead of fitted.
    ReadyToHand,
    /// A status that such a vessel cannot have.
    StatusImpossible,
    /// A setting of the switches announces something false, or none announces what she needs.
    Switching,
    /// A relief of a local authority that no longer holds.
    WaiverExpired,
    /// The mesh of her hull is not where the lines are that heights are taken from.
    HullDiffers,
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
            Self::CutTooSoon => "cut off too soon",
            Self::ColourOutside => "colour outside its limits",
            Self::TooBright => "too bright",
            Self::Uneven => "uneven",
            Self::WrongOrder => "in the wrong order",
            Self::TooHigh => "too high",
            Self::TooClose => "too close together",
            Self::TooFar => "too far apart",
            Self::LightsMerge => "lights merge",
            Self::ScreenMissing => "a screen is missing",
            Self::Lookout => "the lookout is hindered",
            Self::ReadyToHand => "kept ready to hand",
            Self::StatusImpossible => "a status she cannot have",
            Self::Switching => "switches",
            Self::HullDiffers => "hull and lines differ",
            Self::WaiverExpired => "the waiver has expired",
            Self::NotCovered => "not covered",
        }
    }
}

/// See the module.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    pub kind: Kind,
    pub severity: Severity,
    /// The clause not met, such as "Rule 21(b), Annex I 9(a)"; empty where none bears on it.
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
    /// The way she lies or moves in which it falls short, in words; `None` when it does so at rest.
    pub case: Option<String>,
}

impl Finding {
    /// A fault with nothing said yet.
    pub(super) fn new(kind: Kind, clause: &str) -> Self {
        Self::of(Severity::Fault, kind, clause)
    }

    /// The same of any severity.
    pub(super) fn of(severity: Severity, kind: Kind, clause: &str) -> Self {
        Self {
            kind,
            severity,
            clause: clause.into(),
            lamp: None,
            arc: None,
            by: None,
            what: String::new(),
            how_bad: String::new(),
            mend: String::new(),
            case: None,
        }
    }
}
