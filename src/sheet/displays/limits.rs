//! Which limits of heights and distances bear on the lights of a display, and their words.
//!
//! Takes the rows of the rules' limits; gives those that concern the lights, each figure as the row has it. Must never
//! measure.

use super::{Lookup, besides};
use crate::{
    boat::Status,
    measure::trimmed,
    rules::{Asks, Display, LightKind, LimitRow, may_stand_above_mastheads},
};

/// One limit that bears on a display.
pub(super) struct Limit<'a> {
    pub row: &'a LimitRow,
    /// The light that need not show without which it bears on nothing; `None` where it bears on lights that must show.
    pub only_with: Option<LightKind>,
}

/// Every limit that bears on a display of hers, in the order of the rules.
pub(super) fn limits<'a>(lookup: &Lookup<'a>, display: &Display) -> Vec<Limit<'a>> {
    let status = lookup.status.by_means(lookup.vessel);
    let holds = |row: &&LimitRow| {
        row.length.holds(lookup.vessel.length.0)
            && row.high_speed.is_none_or(|high| high == lookup.vessel.high_speed)
            && (row.statuses.is_empty() || row.statuses.contains(&status))
    };
    let owed = Carried { display, status, besides: &[] };
    let more: Vec<LightKind> = display.if_practicable.iter().chain(&display.may).copied().collect();
    let all = Carried { besides: &more, ..owed };
    let owed_with = |kind: &LightKind, row: &LimitRow| Carried { besides: &[*kind], ..owed }.concerns(row);
    let rows = lookup.rules.limits.iter().filter(holds);
    rows.filter_map(|row| match (owed.concerns(row), all.concerns(row)) {
        (true, _) => Some(Limit { row, only_with: None }),
        (false, true) => Some(Limit { row, only_with: first_of(&more, |kind| owed_with(kind, row)) }),
        (false, false) => None,
    })
    .collect()
}

/// The first light for which something holds, or else the first.
fn first_of(kinds: &[LightKind], holds: impl Fn(&LightKind) -> bool) -> Option<LightKind> {
    kinds.iter().find(|kind| holds(kind)).or(kinds.first()).copied()
}

/// The lights that stand on her.
#[derive(Clone, Copy)]
struct Carried<'a> {
    display: &'a Display,
    status: Status,
    /// Lights beyond those that must show.
    besides: &'a [LightKind],
}

impl Carried<'_> {
    fn alone(&self, kind: LightKind) -> usize {
        self.display.lights.iter().chain(self.besides).filter(|one| **one == kind).count()
    }

    fn masthead_lines(&self) -> usize {
        let of_mastheads = |line: &&Vec<LightKind>| line.iter().all(|kind| *kind == LightKind::Masthead);
        self.display.lines.iter().filter(of_mastheads).count()
    }

    /// Places at which masthead lights stand, one or several in a line.
    fn mastheads(&self) -> usize {
        self.masthead_lines() + self.alone(LightKind::Masthead)
    }

    fn sidelights(&self) -> bool {
        self.alone(LightKind::StarboardSidelight) + self.alone(LightKind::PortSidelight) > 0
    }

    /// Whether an all-round white light stands in place of a masthead light.
    fn white_instead(&self) -> bool {
        self.display.lines.is_empty() && self.alone(LightKind::AllRoundWhite) > 0
    }

    fn line_of(&self, count: usize) -> bool {
        self.display.lines.iter().any(|line| line.len() >= count)
    }

    fn line_without_towing_light(&self) -> bool {
        self.display.lines.iter().any(|line| !line.contains(&LightKind::TowingLight))
    }

    fn other_than_mastheads(&self) -> bool {
        self.display.required().chain(self.besides.iter().copied()).any(|kind| kind != LightKind::Masthead)
    }

    /// Whether anything stands on her that is asked about.
    fn concerns(&self, row: &LimitRow) -> bool {
        let mastheads = self.mastheads();
        match row.asks {
            Asks::TopBelowMast => self.display.clause == row.clause && (self.display.one_lantern || self.line_of(2)),
            Asks::ForwardMastheadAboveHull | Asks::MastheadAboveGunwale | Asks::ForwardMastheadFromStem => {
                mastheads > 0
            }
            Asks::AfterAboveForwardMasthead | Asks::MastheadsApartFromAhead | Asks::MastheadsApart => mastheads > 1,
            Asks::OnlyMastheadFromStem => mastheads == 1,
            Asks::TowLineAboveForwardMasthead => mastheads > 1 && self.masthead_lines() > 0,
            Asks::WhiteAboveSidelights => self.sidelights() && (mastheads > 0 || self.white_instead()),
            Asks::MastheadAboveCombined
            | Asks::SidelightShareOfMasthead
            | Asks::SidelightsBelowMasthead
            | Asks::SidelightsBeforeMasthead
            | Asks::TriangleAngle => self.sidelights() && mastheads > 0,
            Asks::MastheadAboveOthers => mastheads > 0 && self.other_than_mastheads(),
            Asks::SidelightsFromStem | Asks::SidelightsInboard => self.sidelights(),
            Asks::LineGap | Asks::LineAside => self.line_of(2),
            Asks::LineUnevenness => self.line_of(3),
            Asks::LowestOfLineAboveHull | Asks::LowestOfLineAboveGunwale => self.line_without_towing_light(),
            Asks::LineOffCentre => mastheads > 1 && may_stand_above_mastheads(self.status),
            Asks::FishingAboveSidelights => self.status.fishes() && self.sidelights(),
            Asks::TrawlMastheadAbaft => self.status.trawls() && mastheads > 0,
            Asks::GearLightAside | Asks::GearLightAboveWhite => self.status.has_gear_out(),
            Asks::GearLightAboveSidelights => self.status.has_gear_out() && self.sidelights(),
            Asks::SideSignalsAside | Asks::SideSignalsAboveLine => {
                self.status.obstructs_one_side() && !self.display.lines.is_empty()
            }
            Asks::ForwardAnchorAboveAfter | Asks::ForwardAnchorAboveHull => self.alone(LightKind::AllRoundWhite) > 1,
        }
    }
}

impl Limit<'_> {
    /// "Masthead light: at least 2.5 m above the gunwale (Annex I 2(c))".
    pub fn in_words(&self) -> String {
        let row = self.row;
        let words = Words::of(row.asks);
        let figure = |value: f64| words.unit.figure(value);
        let nought = row.least.unwrap_or(0.0) == 0.0 && row.most.unwrap_or(0.0) == 0.0 && !words.nought.is_empty();
        let mut sentence = match (row.least, row.most) {
            _ if nought => words.nought.into(),
            (Some(least), Some(most)) => words.filled(&format!("{} to {}", figure(least), figure(most))),
            (Some(least), None) => words.filled(&format!("at least {}", figure(least))),
            (None, Some(most)) => words.filled(&format!("at most {}", figure(most))),
            (None, None) => words.filled("some way"),
        };
        if let Some(at) = row.at {
            sentence.push_str(&format!(", seen at sea level from {} m ahead of the stem", trimmed(at, 1)));
        }
        if let Some(beam) = row.or_beam {
            sentence.push_str(&format!(", or her beam where that is more, up to {} m", trimmed(beam, 2)));
        }
        if let Some(enough) = row.enough {
            sentence.push_str(&format!(", or {} m where that is less", trimmed(enough, 2)));
        }
        if row.if_practicable {
            sentence.push_str(", as far as practicable");
        }
        // The rules sometimes ask for something and give no figure: the source of the row says so.
        let own = if row.source.contains(OWN) { format!("; the figure is {OWN}") } else { String::new() };
        format!("{sentence} ({}{own}).", row.clause)
    }

    /// Whether it bears only on lights that need not show.
    pub fn only_if_shown(&self) -> bool {
        self.only_with.is_some()
    }

    /// What must be shown for it to bear on anything: "If a second masthead light is shown". Nothing where it bears on
    /// lights that must show.
    pub fn condition(&self, display: &Display) -> Option<String> {
        Some(match self.only_with? {
            LightKind::StarboardSidelight | LightKind::PortSidelight => "If sidelights are shown".into(),
            kind => format!("If {} is shown", besides(display, &[kind])),
        })
    }

    /// What its figures are counted in, for programs.
    pub fn unit(&self) -> &'static str {
        match Words::of(self.row.asks).unit {
            Unit::Metres => "m",
            Unit::Minutes => "minutes of arc",
            Unit::Degrees => "degrees",
            Unit::Share => "share",
            Unit::Times => "times",
        }
    }

    /// The least figure as a mark in a drawing, in metres: "≥ 2.5 m"; in gaps of the pair, which are called a: "≥ 2 × a".
    pub fn mark(&self) -> Option<String> {
        let least = trimmed(self.row.least?, 2);
        let beam = if self.row.or_beam.is_some() { " or beam" } else { "" };
        Some(match self.row.most {
            Some(most) => format!("{least} to {} m", trimmed(most, 2)),
            None if self.row.asks == Asks::FishingAboveSidelights => format!("\u{2265} {least} \u{d7} a"),
            None => format!("\u{2265} {least} m{beam}"),
        })
    }
}

const OWN: &str = "the program's own";

#[derive(Clone, Copy)]
enum Unit {
    Metres,
    Minutes,
    Degrees,
    /// A share of what the sentence names next.
    Share,
    Times,
}

impl Unit {
    fn figure(self, value: f64) -> String {
        let number = trimmed(value, 2);
        match self {
            Self::Metres => format!("{number} m"),
            Self::Minutes if value == 1.0 => "1 minute of arc".into(),
            Self::Minutes => format!("{number} minutes of arc"),
            Self::Degrees => format!("{number} degrees"),
            Self::Share => share(value).map_or(number, String::from),
            Self::Times if value == 2.0 => "twice".into(),
            Self::Times => format!("{number} times"),
        }
    }
}

fn share(value: f64) -> Option<&'static str> {
    let known = [(0.1, "a tenth"), (0.25, "a quarter"), (0.5, "half"), (0.75, "three quarters")];
    known.iter().find(|(share, _)| *share == value).map(|(_, words)| *words)
}

/// The way to speak of one limit.
struct Words {
    /// `{}` stands for the figure.
    sentence: &'static str,
    unit: Unit,
    /// The sentence where the figure is nought; empty where that is said like any other figure.
    nought: &'static str,
}

impl Words {
    fn filled(&self, figure: &str) -> String {
        self.sentence.replace("{}", figure)
    }

    fn of(asks: Asks) -> Self {
        let (unit, sentence, nought) = match asks {
            Asks::ForwardMastheadAboveHull => {
                (Unit::Metres, "Forward or only masthead light: {} above the hull beneath it", "")
            }
            Asks::AfterAboveForwardMasthead => (Unit::Metres, "After masthead light: {} above the forward one", ""),
            Asks::MastheadsApartFromAhead => (Unit::Minutes, "Two masthead lights: {} apart in all normal trim", ""),
            Asks::MastheadAboveGunwale => (Unit::Metres, "Masthead light: {} above the gunwale", ""),
            Asks::WhiteAboveSidelights => {
                (Unit::Metres, "Masthead or all-round white light: {} above the sidelights", "")
            }
            Asks::MastheadAboveCombined => {
                (Unit::Metres, "Masthead light: {} above sidelights that are combined in one lantern", "")
            }
            Asks::MastheadAboveOthers => (
                Unit::Metres,
                "Masthead light: {} above all other lights; only a line of lights under Rule 27 or 28 may be higher",
                "",
            ),
            Asks::SidelightShareOfMasthead => {
                (Unit::Share, "Sidelights: {} as high above the hull as the forward masthead light", "")
            }
            Asks::SidelightsBelowMasthead => (Unit::Metres, "Sidelights: {} below the forward masthead light", ""),
            Asks::LineGap => (Unit::Metres, "Lights in a vertical line: {} from one to the next", ""),
            Asks::LineUnevenness => (
                Unit::Share,
                "Three lights in a vertical line: evenly spaced; the two gaps differ by {} of their mean",
                "",
            ),
            Asks::LineAside => {
                (Unit::Share, "Lights in a vertical line: out of plumb by {} of the gap between them", "")
            }
            Asks::LowestOfLineAboveHull => (
                Unit::Metres,
                "Lowest light of a vertical line: {} above the hull beneath it; a sternlight under a towing light may be lower",
                "",
            ),
            Asks::LowestOfLineAboveGunwale => (
                Unit::Metres,
                "Lowest light of a vertical line: {} above the gunwale; a sternlight under a towing light may be lower",
                "",
            ),
            Asks::TowLineAboveForwardMasthead => (
                Unit::Metres,
                "If the line of masthead lights stands abaft another masthead light: its lowest light {} above that one",
                "",
            ),
            Asks::FishingAboveSidelights => (
                Unit::Times,
                "Lower light of the pair: {} as far above the sidelights as the two lights of the pair stand apart",
                "",
            ),
            Asks::ForwardAnchorAboveAfter => (Unit::Metres, "Forward anchor light: {} above the after one", ""),
            Asks::ForwardAnchorAboveHull => (Unit::Metres, "Forward anchor light: {} above the hull", ""),
            Asks::MastheadsApart => (Unit::Share, "Two masthead lights: {} of her length apart, fore and aft", ""),
            Asks::ForwardMastheadFromStem => {
                (Unit::Share, "Forward masthead light: {} of her length abaft the stem", "")
            }
            Asks::OnlyMastheadFromStem => (Unit::Share, "An only masthead light: {} of her length abaft the stem", ""),
            Asks::SidelightsBeforeMasthead => (
                Unit::Metres,
                "Sidelights: {} forward of the forward masthead light",
                "Sidelights: not forward of the forward masthead light",
            ),
            Asks::SidelightsFromStem => (Unit::Share, "Sidelights: {} of her length abaft the stem", ""),
            Asks::SidelightsInboard => (Unit::Share, "Sidelights: {} of her beam inboard of the side", ""),
            Asks::LineOffCentre => (
                Unit::Metres,
                "Line of red, or red and white: {} off the centreline, if it is lower than one masthead light and higher than the other",
                "",
            ),
            Asks::TopBelowMast => {
                (Unit::Share, "Lantern, or upper light of the line: {} of the mast's height below its top", "")
            }
            Asks::TrawlMastheadAbaft => (
                Unit::Metres,
                "Masthead light: {} abaft the pair of trawling lights",
                "Masthead light: not forward of the pair of trawling lights",
            ),
            Asks::GearLightAside => (Unit::Metres, "Light towards the gear: {} away from the pair, level distance", ""),
            Asks::GearLightAboveWhite => (
                Unit::Metres,
                "Light towards the gear: {} above the white of the pair",
                "Light towards the gear: no higher than the white of the pair",
            ),
            Asks::GearLightAboveSidelights => (
                Unit::Metres,
                "Light towards the gear: {} above the sidelights",
                "Light towards the gear: no lower than the sidelights",
            ),
            Asks::SideSignalsAside => (
                Unit::Metres,
                "Lights of the obstructed and the clear side: {} away from the line of three, level distance",
                "",
            ),
            Asks::SideSignalsAboveLine => (
                Unit::Metres,
                "Lights of the obstructed and the clear side: {} above the lowest of the three",
                "Lights of the obstructed and the clear side: no higher than the lowest of the three",
            ),
            Asks::TriangleAngle => {
                (Unit::Degrees, "Masthead light and sidelights, seen end on: lower base angles of {}", "")
            }
        };
        Self { sentence, unit, nought }
    }
}
