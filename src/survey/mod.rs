//! Samples what every bearing gets of every lamp: at rest, over the attitudes of normal use, from afar and close by.
//!
//! Takes a scene and one of its fits; gives intensities, visible fractions, ranges, and the set of colours an
//! observer makes out. Must never judge: whether any of it is lawful is for the rules.

mod arcs;
mod case;
mod sight;
mod stance;

use rayon::prelude::*;

pub use arcs::{EDGE_TOLERANCE, arcs_where, edge_between};
pub use case::{Case, cases};
pub use sight::{Sighting, Station, showing};
pub use stance::{LightId, Reach, Stance};

use crate::{
    boat::{Attitude, Fit, Owner, Pose, Scene, Status},
    light::{Colour, Colours, Weather, luminous_range},
    measure::{Bearing, Candela, Degrees, Lux, NauticalMiles},
    shadow::Visible,
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

impl Sample {
    /// What the bearing gets, level and at rest.
    pub fn reach(&self) -> Reach {
        Reach { bare: self.bare, visible: Visible { fraction: self.visible, by: self.by } }
    }
}

/// One light (one colour of one lamp) all the way round.
#[derive(Clone, Debug)]
pub struct LightSurvey {
    pub light: LightId,
    pub colour: Colour,
    /// In the order of [`Survey::bearings`].
    pub samples: Vec<Sample>,
}

/// A fit, surveyed.
#[derive(Debug)]
pub struct Survey {
    pub status: Status,
    pub settings: Settings,
    /// Rising from right ahead.
    pub bearings: Vec<Bearing>,
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
        let cases = cases(scene, fit);
        let rest = &cases[0].stance;
        let lights: Vec<LightId> = rest.lights().filter(|light| fit.lamps[light.lamp].lit.contains(&status)).collect();
        let bearings = bearings(settings.step);
        let weather = weather(scene);
        let lights = lights
            .into_iter()
            .map(|light| LightSurvey {
                light,
                colour: rest.colour(light),
                samples: bearings
                    .par_iter()
                    .map(|bearing| sample(&cases, light, *bearing, &settings.elevations, weather))
                    .collect(),
            })
            .collect();
        Self { status, settings: settings.clone(), bearings, lights, cases, weather, far: scene.conditions.far }
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

fn sample(cases: &[Case], light: LightId, bearing: Bearing, elevations: &[Degrees], weather: Weather) -> Sample {
    let rest = &cases[0].stance;
    let level = rest.toward(light, bearing, Degrees(0.0));
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
