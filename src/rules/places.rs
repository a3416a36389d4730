//! Where lights stand on the boat: white lights and combined sidelights over the centreline, each sidelight on its own
//! side, the sternlight near the stern.

use super::{Display, Finding, Kind, LightKind, Rules, Severity, judge::Lit};
use crate::{
    boat::{Lamp, PosedLamp, Role, Scene},
    measure::trimmed,
};

/// Every lit lamp of the display that stands in the wrong place.
pub(super) fn findings(scene: &Scene, lit: &[Lit], display: &Display, rules: &Rules) -> Vec<Finding> {
    let asks_sidelights = display.lights.iter().any(|light| light.is_sidelight());
    let lantern = lit.iter().find(|(lamp, _)| lamp.role == Role::CombinedSidelights).map(|(_, posed)| -posed.centre.y);
    let white = lit
        .iter()
        .find(|(lamp, _)| matches!(lamp.role, Role::Masthead | Role::AllRoundWhite))
        .map(|(_, posed)| -posed.centre.y);
    let ground = Ground { scene, rules, lantern, white, asks_sidelights };
    lit.iter().filter_map(|(lamp, posed)| ground.misplaced(lamp, posed)).collect()
}

struct Ground<'a> {
    scene: &'a Scene,
    rules: &'a Rules,
    /// How far to starboard the combined sidelights stand, where there are such.
    lantern: Option<f64>,
    /// The same of the white light.
    white: Option<f64>,
    asks_sidelights: bool,
}

impl Ground<'_> {
    fn misplaced(&self, lamp: &Lamp, posed: &PosedLamp) -> Option<Finding> {
        let starboard = -posed.centre.y;
        match lamp.role {
            Role::Masthead => self.white(lamp, starboard),
            Role::AllRoundWhite if self.asks_sidelights => self.white(lamp, starboard),
            Role::AllRoundWhite => None,
            Role::CombinedSidelights => self.combined(lamp, starboard),
            Role::StarboardSidelight => self.side(lamp, starboard, LightKind::StarboardSidelight),
            Role::PortSidelight => self.side(lamp, -starboard, LightKind::PortSidelight),
            Role::Sternlight => self.stern(lamp, posed.centre.x),
        }
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
        Some(finding(lamp, clause, self.aside(lamp, starboard), "It must stand over the centreline.", mend))
    }

    fn combined(&self, lamp: &Lamp, starboard: f64) -> Option<Finding> {
        let places = &self.rules.places;
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
            if may_stand_off {
                found.severity = Severity::Caution;
                found.clause.clone_from(&places.clause_off_centre);
                found.how_bad =
                    "It may stand there in line with the white light, where that cannot be fitted on the centreline."
                        .into();
            }
            found
        })
    }

    /// `outward` is how far the lamp stands out on its own side.
    fn side(&self, lamp: &Lamp, outward: f64, kind: LightKind) -> Option<Finding> {
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
        kind: Kind::Misplaced,
        severity: Severity::Fault,
        clause: clause.into(),
        lamp: Some(lamp.name.clone()),
        arc: None,
        by: None,
        what,
        how_bad: how_bad.into(),
        mend: mend.into(),
    }
}
