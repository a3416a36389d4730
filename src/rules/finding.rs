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

macro_rules! kinds {
    ($($(#[$doc:meta])* $name:ident: $words:literal;)*) => {
        /// What sort of shortfall a finding is. Causes come before what they bring about, as a fitter would mend them.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(rename_all = "kebab-case")]
        pub enum Kind {
            $($(#[$doc])* $name,)*
        }

        impl Kind {
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The kind in plain words, as a heading.
            pub fn in_words(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }

            /// The name used in data files.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$name => stringify!($name),)*
                }
            }
        }
    };
}

kinds! {
    /// A light that the display asks for is not fitted or not lit.
    LightMissing: "a light is missing";
    /// A light shows that is no part of the display, or one more than it asks for.
    LightNotAllowed: "a light that may not be shown";
    /// A lamp shows a colour that its role has not.
    WrongColour: "wrong colour";
    /// A lamp's optics do not fill the sector of its role.
    WrongLamp: "wrong lamp for its role";
    /// A lamp stands where the rules do not allow it.
    Misplaced: "in the wrong place";
    /// The lamp leans, and loses its vertical sector.
    NotUpright: "not upright";
    /// The lamp is turned off the line of the keel.
    NotParallel: "not parallel to the centreline";
    /// Too little intensity even with nothing in the way and the lamp set right.
    TooWeak: "too weak";
    /// The boat's own solids hide it.
    Shadowed: "in shadow";
    /// An all-round light hidden over more than the allowed arc.
    AllRoundObscured: "all-round light obscured";
    /// A strip ahead where neither sidelight shows.
    DarkLane: "dark lane ahead";
    /// A strip ahead where both sidelights show, wider than allowed.
    DoubleLane: "double lane ahead";
    /// Light past the practical cut-off.
    Spill: "spill outside the sector";
    /// A sidelight cut off before right ahead is past.
    CutTooSoon: "cut off too soon";
    /// The colour as measured lies outside the limits.
    ColourOutside: "colour outside its limits";
    /// Stronger than need be by so much that it may dazzle.
    TooBright: "too bright";
    /// The intensity changes more within the sector than it may.
    Uneven: "uneven";
    /// Lights of a vertical line in another order than the rules give.
    WrongOrder: "in the wrong order";
    /// A light too high.
    TooHigh: "too high";
    /// Two lights too close to one another.
    TooClose: "too close together";
    /// Two lights too far from one another.
    TooFar: "too far apart";
    /// Two lights that an eye takes for one within the range they must reach.
    LightsMerge: "lights merge";
    /// A screen that is owed is not there.
    ScreenMissing: "a screen is missing";
    /// The boat's own light hinders her lookout.
    Lookout: "the lookout is hindered";
    /// A light is kept ready to hand instead of fitted.
    ReadyToHand: "kept ready to hand";
    /// A status that such a vessel cannot have.
    StatusImpossible: "a status she cannot have";
    /// A setting of the switches announces something false, or none announces what she needs.
    Switching: "switches";
    /// A relief of a local authority that no longer holds.
    WaiverExpired: "the waiver has expired";
    /// The mesh of her hull is not where the lines are that heights are taken from.
    HullDiffers: "hull and lines differ";
    /// A light too low above the sidelights or the gunwale.
    TooLow: "too low";
    /// The rules in this program hold no display, or no figure, for it.
    NotCovered: "not covered";
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
