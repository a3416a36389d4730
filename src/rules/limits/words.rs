//! Says what was measured, how far it falls short, and how to mend it.

use super::measure::Measure;
use crate::{
    measure::{counted, trimmed},
    rules::{Asks, Kind, LimitRow},
};

/// The way to speak of one thing that is asked.
pub(super) struct Words {
    /// Follows the lamp's name; `{}` stands for the figure, `@` for the lamp it is measured against, `#` for where it is
    /// seen from.
    sentence: &'static str,
    /// Metres ahead of the stem.
    seen_from: f64,
    unit: Unit,
    /// The kind of a figure too low, and of one too high.
    pub low: Kind,
    pub high: Kind,
    /// How to mend either; `{}` stands for the difference.
    more: &'static str,
    less: &'static str,
}

#[derive(Clone, Copy, PartialEq)]
enum Unit {
    Metres,
    Minutes,
    Degrees,
    /// A share of something named in the sentence.
    Share,
    Times,
}

impl Unit {
    /// A figure in words, with so many decimals at most.
    fn figure(self, value: f64, decimals: usize) -> String {
        let fewer = decimals.saturating_sub(1);
        match self {
            Self::Metres => format!("{} m", trimmed(value, decimals)),
            Self::Minutes => format!("{} of arc", counted(value, fewer, "minute")),
            Self::Degrees => counted(value, fewer, "degree"),
            Self::Share => trimmed(value, decimals),
            Self::Times => format!("{} times", trimmed(value, decimals)),
        }
    }
}

/// Decimals of a figure, as many as tell it from its limit.
const DECIMALS: usize = 2;

const RAISE: &str = "Raise it by {}.";
const RAISE_OR_LOWER: &str = "Raise it by {}, or lower @.";
const LOWER: &str = "Lower it by {}, or raise @.";

impl Words {
    fn height(sentence: &'static str, more: &'static str) -> Self {
        Self { sentence, seen_from: 0.0, unit: Unit::Metres, low: Kind::TooLow, high: Kind::TooHigh, more, less: LOWER }
    }

    fn place(sentence: &'static str, unit: Unit, mend: &'static str) -> Self {
        Self { sentence, unit, low: Kind::Misplaced, high: Kind::Misplaced, ..Self::height("", mend).with_less(mend) }
    }

    fn apart(sentence: &'static str, unit: Unit, more: &'static str, less: &'static str) -> Self {
        Self { sentence, unit, low: Kind::TooClose, high: Kind::TooFar, ..Self::height("", more).with_less(less) }
    }

    fn with_less(self, less: &'static str) -> Self {
        Self { less, ..self }
    }

    pub fn of(row: &LimitRow) -> Self {
        Self { seen_from: row.at.unwrap_or(0.0), ..Self::of_asked(row.asks) }
    }

    fn of_asked(asks: Asks) -> Self {
        match asks {
            Asks::ForwardMastheadAboveHull | Asks::LowestOfLineAboveHull | Asks::ForwardAnchorAboveHull => {
                Self::height("stands {} above the hull beneath it", RAISE)
            }
            Asks::MastheadAboveGunwale | Asks::LowestOfLineAboveGunwale => {
                Self::height("stands {} above the gunwale", RAISE)
            }
            Asks::AfterAboveForwardMasthead
            | Asks::WhiteAboveSidelights
            | Asks::MastheadAboveCombined
            | Asks::MastheadAboveOthers
            | Asks::SidelightsBelowMasthead
            | Asks::TowLineAboveForwardMasthead
            | Asks::ForwardAnchorAboveAfter
            | Asks::GearLightAboveSidelights => Self::height("stands {} above @", RAISE_OR_LOWER),
            Asks::GearLightAboveWhite | Asks::SideSignalsAboveLine => Self::height("stands {} above @", RAISE),
            Asks::SidelightShareOfMasthead => Self {
                sentence: "stands {} times as high above the hull as @",
                unit: Unit::Share,
                less: "Lower it, or raise @.",
                ..Self::height("", RAISE)
            },
            Asks::FishingAboveSidelights => Self {
                sentence: "stands {} the gap of its pair above @",
                unit: Unit::Times,
                more: "Raise the pair, or lower @.",
                ..Self::height("", RAISE)
            },
            Asks::MastheadsApartFromAhead => Self {
                sentence: "is seen {} above @ by an eye at sea level # m ahead of the stem",
                unit: Unit::Minutes,
                low: Kind::TooClose,
                more: "Raise it, or lower @.",
                ..Self::height("", RAISE)
            },
            Asks::LineGap => Self::apart(
                "stands {} above @, its neighbour in the line",
                Unit::Metres,
                "Set them {} further apart.",
                "",
            ),
            Asks::LineUnevenness => Self::place(
                "leaves gaps above and below it that differ by {} of their mean",
                Unit::Share,
                "Move it to the middle between its neighbours.",
            ),
            Asks::LineAside => Self::place(
                "stands aside of @ by {} of the height between them",
                Unit::Share,
                "Set one above the other.",
            ),
            Asks::MastheadsApart => Self::apart("stands {} of her length abaft @", Unit::Share, "Move it aft.", ""),
            Asks::ForwardMastheadFromStem | Asks::OnlyMastheadFromStem | Asks::SidelightsFromStem => {
                Self::place("stands {} of her length abaft the stem", Unit::Share, "Move it forward.")
            }
            Asks::SidelightsBeforeMasthead => {
                Self::place("stands {} forward of @", Unit::Metres, "Move it aft by {}, or @ forward.")
            }
            Asks::SidelightsInboard => {
                Self::place("stands {} of her beam inboard of the side", Unit::Share, "Move it out to the side.")
            }
            Asks::LineOffCentre => Self::place(
                "stands between the masthead lights, {} off the centreline",
                Unit::Metres,
                "Move the line {} further out, or above or below the masthead lights.",
            ),
            Asks::TopBelowMast => Self::place(
                "stands {} of the mast's height below its top",
                Unit::Share,
                "Carry it at or near the top of the mast.",
            ),
            Asks::TrawlMastheadAbaft => Self::place("stands {} abaft @", Unit::Metres, "Move it abaft @."),
            Asks::GearLightAside => Self::apart(
                "stands {} away from @, level distance",
                Unit::Metres,
                "Move it {} further away.",
                "Bring it {} nearer.",
            ),
            Asks::SideSignalsAside => {
                Self::apart("stands {} away from @, level distance", Unit::Metres, "Move it {} further away.", "")
            }
            Asks::TriangleAngle => Self {
                sentence: "makes a base angle of {} with the sidelights, seen end on",
                unit: Unit::Degrees,
                more: "Raise it, or bring the sidelights closer together.",
                ..Self::height("", RAISE)
            },
        }
    }

    /// "masthead light stands 2.3 m above the gunwale."
    pub fn sentence(&self, measure: &Measure, limit: f64) -> String {
        let below = measure.value < 0.0 && self.sentence.contains("{} above ");
        let sentence = if below { self.sentence.replacen(" above ", " below ", 1) } else { self.sentence.into() };
        let sentence = sentence.replacen('#', &trimmed(self.seen_from, 0), 1);
        let value = if below { -measure.value } else { measure.value };
        // A figure that rounds to its limit would contradict the finding.
        let same = trimmed(value, DECIMALS) == trimmed(limit, DECIMALS);
        let figure = self.unit.figure(value, if same { DECIMALS + 2 } else { DECIMALS });
        let when = measure.case.as_ref().map_or(String::new(), |case| format!(", when {case}"));
        format!("{} {}{when}.", measure.lamp, filled(&sentence, &figure, measure))
    }

    pub fn at_least(&self, least: f64, measure: &Measure) -> String {
        let rest = if measure.case.is_some() { " At rest it does." } else { "" };
        format!("At least {} is asked.{rest}", self.unit.figure(least, DECIMALS))
    }

    pub fn at_most(&self, most: f64) -> String {
        format!("At most {} is allowed.", self.unit.figure(most, DECIMALS))
    }

    /// Half a centimetre is given on top of the difference, so that who follows the rounded advice passes.
    pub fn raise(&self, least: f64, measure: &Measure) -> String {
        filled(self.more, &self.unit.figure(least - measure.value + 0.005, DECIMALS), measure)
    }

    pub fn lower(&self, most: f64, measure: &Measure) -> String {
        filled(self.less, &self.unit.figure(measure.value - most + 0.005, DECIMALS), measure)
    }
}

fn filled(sentence: &str, figure: &str, measure: &Measure) -> String {
    let against = measure.against.as_deref().unwrap_or("the other light");
    sentence.replace("{}", figure).replace('@', against)
}
