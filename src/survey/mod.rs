//! Samples what every bearing gets of every lamp: at rest, over the attitudes of normal use, from afar and close by.
//!
//! Takes a scene and one of its fits; gives intensities, visible fractions, ranges, and the set of colours an
//! observer makes out. Must never judge: whether any of it is lawful is for the rules.

mod arcs;
mod case;
mod clearance;
mod fan;
mod lookout;
mod merging;
mod outlook;
mod sight;
mod stance;
mod swell;

use rayon::prelude::*;

pub use arcs::{EDGE_TOLERANCE, arcs_where, edge_between};
pub use case::{Case, cases};
pub use clearance::{Clearance, Fineness, Wanted};
pub use fan::{Blade, Fan, Spoke};
pub use lookout::{Glow, Lookout, LookoutLight, lookout};
pub use merging::{Apart, apart_for, told_apart};
pub use outlook::Outlook;
pub use sight::{Sighting, Station, showing};
pub use stance::{LightId, Reach, Stance};
pub use swell::hidden_by_swell;

use crate::{
    boat::{Attitude, Fit, Owner, Pose, Scene, Status},
    light::{Colour, Colours, Weather, luminous_range},
    measure::{Arc, Bearing, Candela, Degrees, Lux, NauticalMiles},
};

/// How finely to look.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Degrees between bearings, in `[0.05, 45]`.
    pub step: f64,
    /// Elevations sampled at rest.
    pub elevations: Vec<Degrees>,
}

impl Default for Settings {
    /// Half a degree, and the five elevations that Annex I section 10 names.
    fn default() -> Self {
        Self { step: 0.5, elevations: [-7.5, -5.0, 0.0, 5.0, 7.5].map(Degrees).into() }
    }
}

/// What one bearing gets of one light.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// Level with the horizon, the boat at rest, shadows counted.
    pub rest: Candela,
    /// The same without any solid in the way.
    pub bare: Candela,
    /// Share of the luminous face seen, level and at rest.
    pub visible: f64,
    /// Whose solid hides the most of it.
    pub by: Option<Owner>,
    /// The least over all attitudes.
    pub worst: Candela,
    /// Which of [`Survey::cases`] gives that least.
    pub worst_case: usize,
    /// How far off it is made out at rest, in the weather of the scene.
    pub range: NauticalMiles,
    /// At rest, for each of [`Settings::elevations`].
    pub by_elevation: Vec<Candela>,
}

/// An arc on which the boat's own solids hide some of a light, half shadow included.
#[derive(Clone, Debug, PartialEq)]
pub struct Shadow {
    pub arc: Arc,
    /// The least share of the luminous face seen within it.
    pub least_visible: f64,
    /// Whose solids hide it, those that hide most bearings first.
    pub by: Vec<Owner>,
}

/// One light (one colour of one lamp) all the way round.
#[derive(Clone, Debug)]
pub struct LightSurvey {
    pub light: LightId,
    pub colour: Colour,
    /// In the order of [`Survey::bearings`].
    pub samples: Vec<Sample>,
    /// Level and at rest, in the order of [`Survey::looks`].
    pub reaches: Vec<Reach>,
    /// Where it is made out on the far ring, at rest; edges to [`EDGE_TOLERANCE`].
    pub shown: Vec<Arc>,
    /// Where it gives light that is wholly or partly hidden, level and at rest; edges to [`EDGE_TOLERANCE`].
    pub shadows: Vec<Shadow>,
}

/// A fit, surveyed.
#[derive(Debug)]
pub struct Survey {
    pub status: Status,
    pub settings: Settings,
    /// Evenly spaced, rising from right ahead.
    pub bearings: Vec<Bearing>,
    /// What edges are sought between: half a degree apart or finer whatever the step, and among them the bearing of
    /// every solid from every lit lamp, so that a narrow shadow is not stepped over.
    pub looks: Vec<Bearing>,
    /// Every light that is lit in this status.
    pub lights: Vec<LightSurvey>,
    /// The first is rest.
    pub cases: Vec<Case>,
    pub weather: Weather,
    /// Radius of the far ring.
    pub far: NauticalMiles,
}

impl Survey {
    /// Surveys one fit in one status.
    pub fn of(scene: &Scene, fit: &Fit, status: Status, settings: &Settings) -> Self {
        let status = status.plain(scene.vessel.propulsion);
        let cases = cases(scene, fit);
        let rest = &cases[0].stance;
        let lights: Vec<LightId> = rest.lights().filter(|light| fit.lamps[light.lamp].lit.contains(&status)).collect();
        let bearings = bearings(settings.step);
        let looks = looks(rest, &lights, &bearings);
        let weather = weather(scene);
        let lights = lights
            .into_iter()
            .map(|light| {
                let level = |bearing: &Bearing| rest.toward(light, *bearing, Degrees(0.0));
                let reaches: Vec<Reach> = looks.par_iter().map(level).collect();
                // Every bearing is among the looks.
                let known = |bearing: Bearing| reaches[looks.partition_point(|look| *look < bearing)];
                let samples = bearings
                    .par_iter()
                    .map(|bearing| sample(&cases, light, *bearing, known(*bearing), &settings.elevations, weather))
                    .collect();
                let colour = rest.colour(light);
                LightSurvey { light, colour, samples, reaches, shown: Vec::new(), shadows: Vec::new() }
            })
            .collect();
        let (settings, far) = (settings.clone(), scene.conditions.far);
        let mut survey = Self { status, settings, bearings, looks, lights, cases, weather, far };
        survey.find_edges();
        survey
    }

    /// A boat at rest of whose lights nothing is looked at: enough for all that is measured of where lamps stand.
    pub fn unlit(scene: &Scene, rest: Stance, status: Status) -> Self {
        let case = Case { words: "at rest".into(), changes: 0, pose: Pose::default(), stance: rest };
        Self {
            status: status.plain(scene.vessel.propulsion),
            settings: Settings::default(),
            bearings: Vec::new(),
            looks: Vec::new(),
            lights: Vec::new(),
            cases: vec![case],
            weather: weather(scene),
            far: scene.conditions.far,
        }
    }

    /// Fills in the arcs, which need the whole round.
    fn find_edges(&mut self) {
        let mut lights = std::mem::take(&mut self.lights);
        for one in &mut lights {
            let shown: Vec<bool> = one.reaches.iter().map(|reach| self.made_out_afar(reach.candela())).collect();
            one.shown =
                arcs_where(&self.looks, &shown, |bearing| self.made_out_afar(self.level(one.light, bearing).candela()));
            one.shadows = self.shadows(one);
        }
        self.lights = lights;
    }

    fn shadows(&self, one: &LightSurvey) -> Vec<Shadow> {
        let dimmed = |reach: &Reach| reach.bare.0 > 0.0 && reach.visible.fraction < 1.0;
        let held: Vec<bool> = one.reaches.iter().map(dimmed).collect();
        let arcs = arcs_where(&self.looks, &held, |bearing| dimmed(&self.level(one.light, bearing)));
        arcs.into_iter()
            .map(|arc| {
                let within = || self.looks.iter().zip(&one.reaches).filter(move |(bearing, _)| arc.contains(**bearing));
                Shadow {
                    arc,
                    least_visible: within().map(|(_, reach)| reach.visible.fraction).fold(1.0, f64::min),
                    by: most_often(within().filter_map(|(_, reach)| reach.visible.by)),
                }
            })
            .collect()
    }

    /// What a bearing gets of a light, level and at rest.
    pub fn level(&self, light: LightId, bearing: Bearing) -> Reach {
        self.rest().toward(light, bearing, Degrees(0.0))
    }

    /// The boat at rest.
    pub fn rest(&self) -> &Stance {
        &self.cases[0].stance
    }

    /// The colours made out on the far ring, at rest, for each of [`Survey::bearings`].
    pub fn far_showings(&self) -> Vec<Colours> {
        (0..self.bearings.len())
            .map(|index| {
                self.lights
                    .iter()
                    .filter(|light| self.made_out_afar(light.samples[index].rest))
                    .map(|light| light.colour)
                    .collect()
            })
            .collect()
    }

    /// Whether so much intensity is made out on the far ring.
    pub fn made_out_afar(&self, intensity: Candela) -> bool {
        let reached: Lux = crate::light::illuminance(intensity, self.far.metres(), self.weather.transmissivity);
        reached >= self.weather.threshold
    }
}

/// The weather a scene asks for.
pub fn weather(scene: &Scene) -> Weather {
    Weather {
        transmissivity: crate::light::Transmissivity::from_visibility(scene.conditions.visibility),
        ..Weather::PRESCRIBED
    }
}

/// Bearings from right ahead, at most `step` degrees apart and evenly so.
fn bearings(step: f64) -> Vec<Bearing> {
    let count = (360.0 / step - 1e-9).ceil().max(1.0);
    // At most 7200 (a step of 0.05), so the cast is exact.
    (0..count as u32).map(|n| Bearing::new(f64::from(n) * 360.0 / count)).collect()
}

/// The greatest gap between looks, degrees.
const FINE: f64 = 0.5;

/// The bearings, others among them where they are not fine enough, and those of every solid from every light.
fn looks(rest: &Stance, lights: &[LightId], even: &[Bearing]) -> Vec<Bearing> {
    let posed = rest.posed();
    let toward = |light: &LightId| {
        let lamp = posed.lamps[light.lamp].centre;
        posed.solids.iter().map(move |solid| Bearing::of(solid.shape.bounding_ball().0 - lamp))
    };
    let mut looks: Vec<Bearing> = even.iter().copied().chain(bearings(FINE)).collect();
    looks.extend(lights.iter().flat_map(toward));
    looks.sort_by(|a, b| a.degrees().total_cmp(&b.degrees()));
    looks.dedup();
    looks
}

/// Each owner once, the one named most often first.
pub fn most_often(owners: impl Iterator<Item = Owner>) -> Vec<Owner> {
    let mut counts: Vec<(Owner, usize)> = Vec::new();
    for owner in owners {
        match counts.iter_mut().find(|(known, _)| *known == owner) {
            Some((_, count)) => *count += 1,
            None => counts.push((owner, 1)),
        }
    }
    counts.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(&b.0)));
    counts.into_iter().map(|(owner, _)| owner).collect()
}

/// `level` is what the bearing gets at rest, level with the horizon.
fn sample(
    cases: &[Case],
    light: LightId,
    bearing: Bearing,
    level: Reach,
    elevations: &[Degrees],
    weather: Weather,
) -> Sample {
    let rest = &cases[0].stance;
    let by_elevation = elevations
        .iter()
        .map(
            |elevation| {
                if elevation.0 == 0.0 { level.candela() } else { rest.toward(light, bearing, *elevation).candela() }
            },
        )
        .collect();
    let (worst_case, worst) = cases.iter().enumerate().skip(1).fold((0, level.candela()), |least, (index, case)| {
        if least.1.0 <= 0.0 {
            return least;
        }
        let candela = case.stance.toward(light, bearing, Degrees(0.0)).candela();
        if candela < least.1 { (index, candela) } else { least }
    });
    Sample {
        rest: level.candela(),
        bare: level.bare,
        visible: level.visible.fraction,
        by: level.visible.by,
        worst,
        worst_case,
        range: luminous_range(level.candela(), weather),
        by_elevation,
    }
}

/// The boat as the scene leaves her, at rest.
pub fn at_rest(scene: &Scene, fit: &Fit) -> Stance {
    Stance::new(scene, fit, &Pose::default(), Attitude::default())
}
