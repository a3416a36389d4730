//! The walk-round test: chalk marks about the boat on her trailer or at the quay, and what each must show.
//!
//! Takes a scene, a fit and the rules; gives marks with offsets that a tape can set out, and for every setting of the
//! switches which colours must be seen there and which the model sees. What is seen comes from the survey's stance, for
//! the near eye. Must never draw, and holds no second truth of light.

mod chalk;
mod edges;
mod seen;

use glam::DVec3;

pub use chalk::{Chalk, Corner};
pub use edges::EdgeCheck;
pub use seen::{Due, Glow, Sight};

use crate::{
    boat::{Fit, Scene},
    measure::{Bearing, Degrees, Metres},
    rules::{Rules, SectorRow, switching},
    survey::{LightId, Stance, at_rest},
};

/// How the round is walked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Round {
    /// From the middle of the boat, level.
    pub distance: Metres,
    /// Of the eye above her waterline.
    pub eye: Metres,
}

impl Round {
    /// The eye of somebody who stands beside a small boat on her trailer, or stoops on a quay, above her waterline (the
    /// program's own figure).
    pub const EYE: Metres = Metres(1.5);

    /// At the scene's near ring.
    pub fn of(scene: &Scene) -> Self {
        Self { distance: scene.conditions.near, eye: Self::EYE }
    }
}

/// See the module.
#[derive(Clone, Debug)]
pub struct WalkRound {
    pub round: Round,
    pub settings: Vec<Setting>,
    /// How many settings were left out for want of room.
    pub left_out: usize,
    /// The marks of the round, clockwise from right ahead.
    pub stations: Vec<Station>,
    pub edges: Vec<EdgeCheck>,
    pub lights: Vec<NearLight>,
    /// Up to this far above and below its level a lamp owes its whole intensity.
    pub upright: Degrees,
}

/// What the switches are set to, or what she is doing where the scene has no switch plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    pub words: String,
    /// Indices into [`Fit::lamps`], rising.
    pub lamps: Vec<usize>,
}

/// A mark of the round.
#[derive(Clone, Debug)]
pub struct Station {
    pub chalk: Chalk,
    /// For each of the settings, every light that is lit in it.
    pub sights: Vec<Vec<Sight>>,
}

/// What standing near does to one lamp.
#[derive(Clone, Debug, PartialEq)]
pub struct NearLight {
    /// Index into [`Fit::lamps`].
    pub lamp: usize,
    pub height: Metres,
    /// Nearer than this the eye leaves the vertical sector of the whole intensity.
    pub least: Metres,
    /// The greatest angle on the round between the bearing from the middle of the boat and that from the lamp.
    pub parallax: Degrees,
    /// How wide its luminous part looks from the round: an edge is no sharper.
    pub blur: Degrees,
}

/// Bearings of the marks on the starboard side, degrees: ahead, either side of every edge of Rule 21, and between.
const STARBOARD: [f64; 8] = [0.0, 10.0, 45.0, 90.0, 105.0, 120.0, 150.0, 180.0];
/// More settings than these make no table that can be walked with.
const MOST_SETTINGS: usize = 6;

/// The walk round a fit.
pub fn walk_round(scene: &Scene, fit: &Fit, rules: &Rules, round: Round) -> WalkRound {
    let stance = at_rest(scene, fit);
    let near = Near { scene, fit, rules, stance: &stance, round };
    let (settings, left_out) = settings(scene, fit, rules);
    let port = STARBOARD.iter().rev().filter(|degrees| **degrees > 0.0 && **degrees < 180.0).map(|one| 360.0 - one);
    let bearings: Vec<Bearing> = STARBOARD.iter().copied().chain(port).map(Bearing::new).collect();
    let stations: Vec<Station> = bearings
        .iter()
        .enumerate()
        .map(|(n, bearing)| {
            let at = scene.middle() + bearing.direction() * round.distance.0;
            let chalk = Chalk::new((n + 1).to_string(), scene, at);
            let sights = settings.iter().map(|setting| near.sights(setting, at)).collect();
            Station { chalk, sights }
        })
        .collect();
    let upright = near.upright();
    let lights = near.lights(&bearings, upright);
    WalkRound { round, edges: near.edges(), settings, left_out, stations, lights, upright }
}

/// Settings of the switches that light something, those she needs first; or what she does, where there is no plan.
fn settings(scene: &Scene, fit: &Fit, rules: &Rules) -> (Vec<Setting>, usize) {
    let mut all: Vec<Setting> = Vec::new();
    match switching(scene, fit, rules) {
        Some(plan) => {
            let needed = plan.needed.iter().filter_map(|one| one.setting()).map(|(index, _)| index);
            let order: Vec<usize> = needed.chain(0..plan.settings.len()).collect();
            for reading in order.into_iter().filter_map(|index| plan.settings.get(index)) {
                all.push(Setting { words: reading.words.clone(), lamps: reading.setting.lamps.clone() });
            }
        }
        None => {
            for status in &scene.vessel.statuses {
                let lit = (0..fit.lamps.len()).filter(|index| fit.lamps[*index].lit.contains(status));
                all.push(Setting { words: status.told_of(&scene.vessel).into(), lamps: lit.collect() });
            }
        }
    }
    let mut kept: Vec<Setting> = Vec::new();
    for one in all {
        if !one.lamps.is_empty() && !kept.contains(&one) {
            kept.push(one);
        }
    }
    let left_out = kept.len().saturating_sub(MOST_SETTINGS);
    kept.truncate(MOST_SETTINGS);
    (kept, left_out)
}

/// What everything near is worked out from.
struct Near<'a> {
    scene: &'a Scene,
    fit: &'a Fit,
    rules: &'a Rules,
    stance: &'a Stance,
    round: Round,
}

impl<'a> Near<'a> {
    /// Where the eye is over a mark.
    fn eye(&self, at: DVec3) -> DVec3 {
        at.with_z(self.round.eye.0)
    }

    /// The sector that a light is there to fill.
    fn row(&self, light: LightId) -> Option<&'a SectorRow> {
        let (role, colour) = (self.fit.lamps[light.lamp].role, self.stance.colour(light));
        self.rules.sectors.iter().find(|row| row.colour == colour && row.light.served_by(role))
    }

    /// The least vertical sector of the whole intensity that the rules give any vessel.
    fn upright(&self) -> Degrees {
        let full = self.rules.vertical.iter().map(|row| row.full).fold(f64::INFINITY, f64::min);
        Degrees(full.min(90.0))
    }

    fn lights(&self, bearings: &[Bearing], upright: Degrees) -> Vec<NearLight> {
        let lamps = self.stance.posed().lamps.iter().enumerate();
        lamps
            .map(|(lamp, posed)| {
                let at = self.stance.level(posed.centre);
                let aside = |bearing: &Bearing| {
                    let mark = self.scene.middle() + bearing.direction() * self.round.distance.0;
                    Bearing::of(mark - at).clockwise_of(*bearing).abs()
                };
                NearLight {
                    lamp,
                    height: Metres(at.z),
                    least: Metres((at.z - self.round.eye.0).abs() / upright.0.to_radians().tan()),
                    parallax: Degrees(bearings.iter().map(aside).fold(0.0, f64::max)),
                    blur: Degrees((posed.face.width / self.round.distance.0).atan().to_degrees()),
                }
            })
            .collect()
    }
}
