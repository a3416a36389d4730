//! A boat as a lesson or a drill has her: which fit, doing what, lying how, seen from where.
//!
//! Takes a scene and what a step says of it; gives what an observer makes out, from the same stance that everything else in
//! this program looks at. Must never judge an answer.

use std::sync::Arc as Shared;

use rayon::prelude::*;

use crate::{
    boat::{Attitude, Fit, Pose, Scene, Status},
    light::{Colour, Colours},
    measure::{Arc, Bearing, Degrees, Knots},
    rules::Party,
    survey::{LightId, Sighting, Stance, Station, arcs_where, showing, weather},
};

/// See the module.
#[derive(Clone, Debug)]
pub struct Situation {
    /// With the visibility that the step asks for.
    pub scene: Shared<Scene>,
    /// Index into [`Scene::fits`].
    pub fit: usize,
    /// Plain (see [`Status::plain`]).
    pub status: Status,
    pub pose: Pose,
    pub attitude: Attitude,
    /// Where the learner's eye is, about the middle of the boat.
    pub station: Station,
}

/// Degrees between bearings between which edges are sought. What is narrower and no part's own bearing may be missed.
const STEP: f64 = 0.25;

impl Situation {
    /// The fit that is looked at.
    pub fn fit(&self) -> &Fit {
        &self.scene.fits[self.fit]
    }

    /// The boat as she lies.
    pub fn stance(&self) -> Stance {
        Stance::new(&self.scene, self.fit(), &self.pose, self.attitude)
    }

    /// The same seen from another bearing, as far off.
    pub fn seen_from(&self, bearing: Bearing) -> Self {
        Self { station: Station { bearing, ..self.station }, ..self.clone() }
    }

    /// Every lit light, as the observer gets it.
    pub fn sightings(&self) -> Vec<Sighting> {
        self.sightings_of(&self.stance(), self.station.bearing)
    }

    /// The colours that the observer makes out.
    pub fn showing(&self) -> Colours {
        showing(&self.sightings())
    }

    /// What an observer on any bearing makes out of a boat that is made ready once.
    pub(super) fn showing_of(&self, stance: &Stance, bearing: Bearing) -> Colours {
        showing(&self.sightings_of(stance, bearing))
    }

    fn sightings_of(&self, stance: &Stance, bearing: Bearing) -> Vec<Sighting> {
        let eye = Station { bearing, ..self.station }.point(self.scene.middle());
        stance.look(self.fit(), self.status, eye, weather(&self.scene))
    }

    /// The arcs from which something holds of what shows there, as far off as the observer is.
    pub(super) fn arcs(&self, holds: impl Fn(Bearing, Colours) -> bool + Sync) -> Vec<Arc> {
        let stance = self.stance();
        self.arcs_of(&stance, |bearing| holds(bearing, self.showing_of(&stance, bearing)))
    }

    /// The arcs on which a light gives something that its own boat's solids dim, level, as she lies.
    pub(super) fn shadows(&self, light: LightId) -> Vec<Arc> {
        let stance = self.stance();
        self.arcs_of(&stance, |bearing| {
            let reach = stance.toward(light, bearing, Degrees(0.0));
            reach.bare.0 > 0.0 && reach.visible.fraction < 1.0
        })
    }

    fn arcs_of(&self, stance: &Stance, holds: impl Fn(Bearing) -> bool + Sync) -> Vec<Arc> {
        let bearings = looks(stance);
        let held: Vec<bool> = bearings.par_iter().map(|bearing| holds(*bearing)).collect();
        arcs_where(&bearings, &held, holds)
    }

    /// The first light of a lamp that is lit, by the lamp's name.
    pub(super) fn light(&self, lamp: &str) -> Option<LightId> {
        let lit = |index: usize| self.fit().lamps[index].lit.contains(&self.status);
        let index = self.fit().lamps.iter().position(|one| one.name == lamp).filter(|index| lit(*index))?;
        Some(LightId { lamp: index, beam: 0 })
    }

    /// She as one of two that meet: the observer is the other.
    pub(super) fn party(&self, speed: Knots) -> Party {
        Party { status: self.status.by_means(&self.scene.vessel), bears: self.station.bearing, speed }
    }
}

/// Even bearings, and those of every solid from every lamp, so that a narrow shadow is not stepped over.
fn looks(stance: &Stance) -> Vec<Bearing> {
    let count = (360.0 / STEP) as u32;
    let even = (0..count).map(|n| Bearing::new(f64::from(n) * STEP));
    let posed = stance.posed();
    let toward = posed.lamps.iter().flat_map(|lamp| {
        posed
            .solids
            .iter()
            .map(|solid| Bearing::of(stance.level(solid.shape.bounding_ball().0) - stance.level(lamp.centre)))
    });
    let mut looks: Vec<Bearing> = even.chain(toward).collect();
    looks.sort_by(|a, b| a.degrees().total_cmp(&b.degrees()));
    looks.dedup();
    looks
}

/// "R, G and W" by their letters: `None` for a letter that is no colour or stands twice. A dash is nothing.
pub(super) fn colours_of(letters: &str) -> Option<Colours> {
    if letters == "-" {
        return Some(Colours::NONE);
    }
    let mut set = Colours::NONE;
    for letter in letters.chars() {
        let colour = Colour::ALL.into_iter().find(|colour| colour.letter() == letter)?;
        if set.contains(colour) {
            return None;
        }
        set.add(colour);
    }
    (!set.is_empty()).then_some(set)
}
