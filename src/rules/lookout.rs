//! Lights that hinder the lookout kept on board (Rule 20(b)): in the eyes of whoever is at the helm, or on the deck that
//! he sees ahead. The rules give no figure; those in the rule file are the program's own, so all of it is cautions.

use super::{
    Finding, Glare, Kind, Severity,
    judge::{Asked, Stage},
};
use crate::{
    boat::{Place, Posture, Propulsion, Role, Status},
    measure::trimmed,
    survey::{Glow, LookoutLight, lookout},
};

/// The full moon lights the ground with about this many lux (from memory), for whoever has no feeling for the figures.
const FULL_MOON: f64 = 0.25;

/// One finding for each lit lamp that gives too much.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let Some(lookout) = lookout(stage.scene, stage.survey) else { return Vec::new() };
    let glare = &stage.rules.glare;
    asked.note(&glare.clause_lookout);
    let helm = &stage.scene.parts[lookout.helm].name;
    let mut found = Vec::new();
    // The colours of one lamp follow each other.
    for colours in lookout.lights.chunk_by(|a, b| a.light.lamp == b.light.lamp) {
        let screen = owes_screen(stage, stage.fit.lamps[colours[0].light.lamp].role);
        if screen {
            asked.note(&glare.clause_screen);
        }
        found.extend(Glaring::of(colours, glare).map(|one| one.finding(stage, helm, screen)));
    }
    found
}

/// Whether a lamp is one that must be screened from the boat ahead of the helm.
fn owes_screen(stage: &Stage, role: Role) -> bool {
    let glare = &stage.rules.glare;
    let status = stage.status().by_means(&stage.scene.vessel);
    let power_driven = stage.scene.vessel.propulsion == Propulsion::Power || status == Status::UnderEngine;
    let shown_under_way = role == Role::Masthead || role == Role::AllRoundWhite && status == Status::UnderEngine;
    !glare.clause_screen.is_empty() && stage.length() < glare.screen_under && power_driven && shown_under_way
}

/// A lamp that gives too much, and where.
struct Glaring<'a> {
    lamp: usize,
    glare: &'a Glare,
    eyes: Glow<Posture>,
    deck: Glow<Place>,
}

impl<'a> Glaring<'a> {
    /// Of the colours of one lamp the strongest counts.
    fn of(colours: &[LookoutLight], glare: &'a Glare) -> Option<Self> {
        let lamp = colours.first()?.light.lamp;
        let eyes = strongest(colours.iter().map(|one| one.eyes));
        let deck = strongest(colours.iter().map(|one| one.deck));
        let one = Self { lamp, glare, eyes, deck };
        (one.in_eyes() || one.on_deck()).then_some(one)
    }

    fn in_eyes(&self) -> bool {
        self.eyes.lux.0 > self.glare.eye_lux
    }

    fn on_deck(&self) -> bool {
        self.deck.lux.0 > self.glare.deck_lux
    }

    fn finding(&self, stage: &Stage, helm: &str, screen: bool) -> Finding {
        let lamp = &stage.fit.lamps[self.lamp].name;
        let does = match (self.in_eyes(), self.on_deck()) {
            (true, true) => "shines into the eyes at the helm and lights the deck seen ahead",
            (true, false) => "shines into the eyes at the helm",
            (false, _) => "lights the deck seen ahead from the helm",
        };
        let screen = screen && self.on_deck();
        let lookout = &self.glare.clause_lookout;
        let clause = if screen { format!("{lookout}, {}", self.glare.clause_screen) } else { lookout.clone() };
        Finding {
            lamp: Some(lamp.clone()),
            what: format!("{lamp} {does} ({helm})."),
            how_bad: self.figures(),
            mend: self.mend(screen),
            ..Finding::of(Severity::Caution, Kind::Lookout, &clause)
        }
    }

    fn figures(&self) -> String {
        let posture = self.eyes.at.map_or(String::new(), |posture| format!(" ({})", posture.in_words()));
        let forward = |place: Place| format!(" ({} m forward of the transom)", trimmed(place.forward, 2));
        let place = self.deck.at.map_or(String::new(), forward);
        format!(
            "{} lux at the eyes{posture}, {} on the deck in view{place}; the full moon gives the ground about {}. The \
             rules give no figures: that more than {} at the eyes or {} on deck is too much is this program's own.",
            trimmed(self.eyes.lux.0, 2),
            trimmed(self.deck.lux.0, 2),
            trimmed(FULL_MOON, 2),
            trimmed(self.glare.eye_lux, 2),
            trimmed(self.glare.deck_lux, 2),
        )
    }

    fn mend(&self, screen: bool) -> String {
        let plate = match (screen, self.on_deck()) {
            (true, _) => "fit a screen beneath or ahead of it, so that it does not light her ahead of the helm",
            (false, true) => "fit a matt black plate beneath or ahead of it",
            (false, false) => "fit a matt black plate between it and the helm",
        };
        format!(
            "Raise it, move it abaft the helm, or {plate}; the plate must take nothing from its sector. Add it to the \
             parts as a thin `Box` to prove it."
        )
    }
}

fn strongest<T>(glows: impl Iterator<Item = Glow<T>>) -> Glow<T> {
    glows.reduce(|most, one| if one.lux > most.lux { one } else { most }).unwrap_or_default()
}
