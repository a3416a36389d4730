//! Where lights stand on the boat: white lights and combined sidelights over the centreline, each sidelight on its own
//! side, the sternlight near the stern.

use super::{
    Finding, Kind, LightKind, Rules, Severity,
    cast::Lit,
    judge::{Asked, Stage},
};
use crate::{
    boat::{Lamp, Role, Scene},
    measure::trimmed,
};

/// Every lamp of the display that stands in the wrong place.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let cast = &stage.cast;
    let lantern = cast.sidelights().find(|one| one.lamp.role == Role::CombinedSidelights);
    let white = white_light(stage);
    let starboard = |one: &Lit| -one.posed.centre.y;
    let ground = Ground {
        scene: stage.scene,
        rules: stage.rules,
        lantern: lantern.as_ref().map(starboard),
        white: white.as_ref().map(starboard),
    };
    if ground.white.is_some_and(|white| ground.off_centre(white))
        && stage.length() < stage.rules.places.off_centre_under
    {
        asked.note(&stage.rules.places.clause_off_centre);
    }
    let whites = cast.serving(LightKind::Masthead).chain(white.filter(|one| one.lamp.role != Role::Masthead));
    let mut found: Vec<Finding> = whites.filter_map(|one| ground.white(one.lamp, starboard(&one))).collect();
    found.extend(lantern.and_then(|one| ground.combined(one.lamp, starboard(&one))));
    for kind in [LightKind::StarboardSidelight, LightKind::PortSidelight] {
        let own = |one: &Lit| !matches!(one.lamp.role, Role::CombinedSidelights | Role::ThreeColourLantern);
        let sides = cast.serving(kind).filter(own);
        found.extend(sides.filter_map(|one| ground.side(one.lamp, starboard(&one), kind)));
    }
    let sterns = cast.serving(LightKind::Sternlight).filter(|one| one.lamp.role == Role::Sternlight);
    found.extend(sterns.filter_map(|one| ground.stern(one.lamp, one.posed.centre.x)));
    found.extend(cast.spare.iter().filter_map(|one| ground.spare(one)));
    found
}

/// The white light that is shown with sidelights: the forward masthead light, or the all-round light in its stead.
pub(super) fn white_light<'a>(stage: &Stage<'a>) -> Option<Lit<'a>> {
    let instead = || {
        let with_sidelights = stage.display.lights.iter().any(|kind| kind.is_sidelight());
        let alone = stage.display.lines.is_empty() && with_sidelights;
        alone.then(|| stage.cast.alone(LightKind::AllRoundWhite).first().copied()).flatten()
    };
    stage.cast.serving(LightKind::Masthead).next().or_else(instead)
}

struct Ground<'a> {
    scene: &'a Scene,
    rules: &'a Rules,
    /// How far to starboard the combined sidelights stand, where there are such.
    lantern: Option<f64>,
    /// The same of the white light.
    white: Option<f64>,
}

impl Ground<'_> {
    /// A sidelight too many stands on the wrong side as much as one that is not.
    fn spare(&self, one: &Lit) -> Option<Finding> {
        let starboard = -one.posed.centre.y;
        match one.lamp.role {
            Role::StarboardSidelight => self.side(one.lamp, starboard, LightKind::StarboardSidelight),
            Role::PortSidelight => self.side(one.lamp, starboard, LightKind::PortSidelight),
            _ => None,
        }
    }

    fn near_is_enough(&self) -> bool {
        self.scene.vessel.length.0 < self.rules.places.near_centre_under
    }

    fn off_centre(&self, starboard: f64) -> bool {
        starboard.abs() > self.rules.places.centreline
    }

    /// A masthead light, or an all-round white light in its stead.
    fn white(&self, lamp: &Lamp, starboard: f64) -> Option<Finding> {
        if !self.off_centre(starboard) {
            return None;
        }
        let places = &self.rules.places;
        let short = self.scene.vessel.length.0 < places.off_centre_under;
        let in_line =
            self.lantern.is_some_and(|lantern| !self.off_centre(lantern) || !self.off_centre(lantern - starboard));
        if short && in_line {
            return None;
        }
        let clause = if short { &places.clause_off_centre } else { &places.clause_masthead };
        let mend = if short {
            "Move it to the centreline. Only where that is impracticable may it stand off it, and then the sidelights \
             must be combined in one lantern on the same fore-and-aft line."
        } else {
            "Move it to the centreline."
        };
        let mut found = finding(lamp, clause, self.aside(lamp, starboard), "It must stand over the centreline.", mend);
        if self.near_is_enough() {
            found.severity = Severity::Caution;
            found.how_bad = "It must stand as near the centreline as practicable.".into();
        }
        Some(found)
    }

    fn combined(&self, lamp: &Lamp, starboard: f64) -> Option<Finding> {
        let places = &self.rules.places;
        if self.scene.vessel.length.0 >= places.combined_under {
            let under = trimmed(places.combined_under, 2);
            return Some(finding(
                lamp,
                &places.clause_sides,
                format!("{} combines both sidelights in one lantern.", lamp.name),
                &format!("Only vessels under {under} m may combine them."),
                "Fit a lamp for each side.",
            ));
        }
        let in_line = self.white.is_some_and(|white| self.off_centre(white) && !self.off_centre(white - starboard));
        let may_stand_off = in_line && self.scene.vessel.length.0 < places.off_centre_under;
        (self.off_centre(starboard)).then(|| {
            let mut found = finding(
                lamp,
                &places.clause_sides,
                self.aside(lamp, starboard),
                "Combined sidelights are carried on the centreline.",
                "Move the lantern to the centreline.",
            );
            if self.near_is_enough() {
                found.severity = Severity::Caution;
                found.how_bad = "They must stand as near the centreline as practicable.".into();
            } else if may_stand_off {
                found.severity = Severity::Caution;
                found.clause.clone_from(&places.clause_off_centre);
                found.how_bad =
                    "It may stand there in line with the white light, where that cannot be fitted on the centreline."
                        .into();
            }
            found
        })
    }

    /// `starboard` is how far to starboard the lamp stands.
    fn side(&self, lamp: &Lamp, starboard: f64, kind: LightKind) -> Option<Finding> {
        let outward = if kind == LightKind::StarboardSidelight { starboard } else { -starboard };
        (outward < 0.0).then(|| {
            let (own, other) =
                if kind == LightKind::StarboardSidelight { ("starboard", "port") } else { ("port", "starboard") };
            finding(
                lamp,
                &self.rules.places.clause_sides,
                format!("{} stands {} m to {other} of the centreline.", lamp.name, trimmed(-outward, 2)),
                &format!("The {} belongs on the {own} side.", kind.in_words()),
                &format!("Move it to the {own} side."),
            )
        })
    }

    fn stern(&self, lamp: &Lamp, forward: f64) -> Option<Finding> {
        let share = self.rules.places.stern_share;
        (forward > share * self.scene.vessel.length.0).then(|| Finding {
            severity: Severity::Caution,
            ..finding(
                lamp,
                &self.rules.places.clause_stern,
                format!("{} stands {} m forward of the transom.", lamp.name, trimmed(forward, 2)),
                "A sternlight is carried as nearly as practicable at the stern.",
                "Move it aft.",
            )
        })
    }

    fn aside(&self, lamp: &Lamp, starboard: f64) -> String {
        let side = if starboard > 0.0 { "starboard" } else { "port" };
        format!("{} stands {} m to {side} of the centreline.", lamp.name, trimmed(starboard.abs(), 2))
    }
}

fn finding(lamp: &Lamp, clause: &str, what: String, how_bad: &str, mend: &str) -> Finding {
    Finding {
        lamp: Some(lamp.name.clone()),
        what,
        how_bad: how_bad.into(),
        mend: mend.into(),
        ..Finding::new(Kind::Misplaced, clause)
    }
}
