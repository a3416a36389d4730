//! The boat with one fit, her joints in one position, lying in the water one way: ready to be looked at.

use std::sync::Arc;

use glam::{DMat3, DVec3};
use serde::Serialize;

use crate::{
    boat::{Attitude, Fit, Pose, Posed, Scene},
    light::Colour,
    measure::{Bearing, Candela, Degrees},
    shadow::{Grid, Obstacles, Panorama, Points, Toward, Visible, visible_fraction},
};

/// One colour of one lamp: indices into [`Fit::lamps`] and its beams.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct LightId {
    pub lamp: usize,
    pub beam: usize,
}

/// What gets from a light to an observer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Intensity that way with nothing in between.
    pub bare: Candela,
    pub visible: Visible,
}

impl Reach {
    /// No light at all.
    pub const NONE: Self = Self { bare: Candela(0.0), visible: Visible::WHOLLY };

    /// Effective intensity: what is left past the boat's solids.
    pub fn candela(&self) -> Candela {
        Candela(self.bare.0 * self.visible.fraction)
    }
}

/// See the module. Cheap to turn to another attitude: the solids are shared.
#[derive(Clone, Debug)]
pub struct Stance {
    posed: Arc<Posed>,
    obstacles: Arc<Obstacles>,
    attitude: Attitude,
    /// Vessel frame to level frame.
    turn: DMat3,
    middle: DVec3,
}

impl Stance {
    pub fn new(scene: &Scene, fit: &Fit, pose: &Pose, attitude: Attitude) -> Self {
        let posed = scene.posed(fit, pose);
        let obstacles = Arc::new(Obstacles::new(&posed.solids));
        Self { posed: Arc::new(posed), obstacles, attitude, turn: attitude.rotation(), middle: scene.middle() }
    }

    /// A boat of much the same solids, with her fit, joints or parts otherwise, lying as she does; surfaces that stay are not made
    /// ready again.
    pub fn posed_otherwise(&self, scene: &Scene, fit: &Fit, pose: &Pose) -> Self {
        let posed = scene.posed(fit, pose);
        let obstacles = Arc::new(self.obstacles.otherwise(&posed.solids));
        Self { posed: Arc::new(posed), obstacles, middle: scene.middle(), ..self.clone() }
    }

    /// The same boat lying another way.
    pub fn lying(&self, attitude: Attitude) -> Self {
        Self { attitude, turn: attitude.rotation(), ..self.clone() }
    }

    pub fn attitude(&self) -> Attitude {
        self.attitude
    }

    /// The solids and lamps, in the vessel frame.
    pub fn posed(&self) -> &Posed {
        &self.posed
    }

    /// What can stand in the way, in the vessel frame.
    pub fn obstacles(&self) -> &Obstacles {
        &self.obstacles
    }

    /// Every colour of every lamp.
    pub fn lights(&self) -> impl Iterator<Item = LightId> + '_ {
        self.posed
            .lamps
            .iter()
            .enumerate()
            .flat_map(|(lamp, posed)| (0..posed.optics.beams.len()).map(move |beam| LightId { lamp, beam }))
    }

    pub fn colour(&self, light: LightId) -> Colour {
        self.posed.lamps[light.lamp].optics.beams[light.beam].colour
    }

    /// A point of the vessel frame in the level frame (her heading along x, z truly up, the water at nought).
    pub fn level(&self, point: DVec3) -> DVec3 {
        self.middle + self.turn * (point - self.middle)
    }

    /// A point of the level frame in the vessel frame.
    pub fn aboard(&self, point: DVec3) -> DVec3 {
        self.middle + self.turn.transpose() * (point - self.middle)
    }

    /// The point she trims and heels about, the same in both frames: midships, at the water.
    pub fn middle(&self) -> DVec3 {
        self.middle
    }

    /// What an observer far off on a bearing gets, looking from an elevation. Both are of the level frame.
    pub fn toward(&self, light: LightId, bearing: Bearing, elevation: Degrees) -> Reach {
        let aboard = self.turn.transpose() * bearing.direction_at(elevation);
        self.reach(light, aboard, Toward::Direction(aboard))
    }

    /// What an eye at a point of the level frame gets.
    pub fn to_point(&self, light: LightId, eye: DVec3) -> Reach {
        let aboard = self.aboard(eye);
        self.reach(light, aboard - self.posed.lamps[light.lamp].centre, Toward::Point(aboard))
    }

    /// All that a lamp looks out on, in the bearings and elevations of the level frame.
    pub fn panorama(&self, lamp: usize, grid: Grid, points: Points) -> Panorama {
        Panorama::of(&self.obstacles, &self.posed.lamps[lamp], &self.turn, grid, points)
    }

    fn reach(&self, light: LightId, direction: DVec3, toward: Toward) -> Reach {
        let lamp = &self.posed.lamps[light.lamp];
        let bare = lamp.optics.beams[light.beam].intensity(lamp.own(direction));
        Reach { bare, visible: visible_fraction(&self.obstacles, lamp, toward) }
    }
}
