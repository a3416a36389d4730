//! Which lights share a ring of the plot: lights that never overlap when all is well.

use crate::{
    boat::Role,
    light::Colour,
    rules::{Display, LightKind},
    sheet::Surveyed,
    survey::LightSurvey,
};

/// A double ring. Outermost first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Track {
    Masthead,
    AllRound,
    AllRoundRed,
    AllRoundGreen,
    Flashing,
    Sidelights,
    Stern,
    Towing,
}

impl Track {
    /// Where the light of a lamp belongs. A lantern of three colours is both sidelights and a sternlight.
    pub fn of(surveyed: &Surveyed, light: &LightSurvey) -> Self {
        match surveyed.fit.lamps[light.light.lamp].role {
            Role::Masthead => Self::Masthead,
            Role::AllRoundWhite => Self::AllRound,
            Role::AllRoundRed => Self::AllRoundRed,
            Role::AllRoundGreen => Self::AllRoundGreen,
            Role::FlashingYellow | Role::SpecialFlashing => Self::Flashing,
            Role::ThreeColourLantern if light.colour == Colour::White => Self::Stern,
            Role::StarboardSidelight | Role::PortSidelight | Role::CombinedSidelights | Role::ThreeColourLantern => {
                Self::Sidelights
            }
            Role::Sternlight => Self::Stern,
            Role::TowingLight => Self::Towing,
        }
    }

    pub fn of_kind(kind: LightKind) -> Self {
        match kind {
            LightKind::Masthead => Self::Masthead,
            LightKind::AllRoundWhite => Self::AllRound,
            LightKind::AllRoundRed => Self::AllRoundRed,
            LightKind::AllRoundGreen => Self::AllRoundGreen,
            LightKind::FlashingYellow | LightKind::SpecialFlashing => Self::Flashing,
            LightKind::StarboardSidelight | LightKind::PortSidelight => Self::Sidelights,
            LightKind::Sternlight => Self::Stern,
            LightKind::TowingLight => Self::Towing,
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Self::Masthead => "masthead light",
            Self::AllRound => "all-round white light",
            Self::AllRoundRed => "all-round red light",
            Self::AllRoundGreen => "all-round green light",
            Self::Flashing => "flashing light",
            Self::Sidelights => "sidelights",
            Self::Stern => "sternlight",
            Self::Towing => "towing light",
        }
    }
}

/// The rings that the display or the lamps need, outermost first.
pub(super) fn tracks(surveyed: &Surveyed) -> Vec<Track> {
    let asked = surveyed.judgement.display.iter().flat_map(|display| display.required()).map(Track::of_kind);
    let lit = surveyed.survey.lights.iter().map(|light| Track::of(surveyed, light));
    let mut tracks: Vec<Track> = asked.chain(lit).collect();
    tracks.sort();
    tracks.dedup();
    tracks
}

/// Lights that a display allows besides those it asks for.
pub(super) fn optional(display: &Display) -> impl Iterator<Item = LightKind> + '_ {
    display.may.iter().chain(&display.if_practicable).copied()
}
