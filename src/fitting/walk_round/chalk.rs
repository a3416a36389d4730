//! A mark on the ground, with the offsets that a tape sets it out by.
//!
//! Takes a point of the level frame; gives bearing and distance from the middle of the boat, and how far it lies along
//! and out from a corner of the transom.

use glam::DVec3;

use crate::{
    boat::Scene,
    measure::{Bearing, Metres},
};

/// A corner of the transom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Corner {
    Starboard,
    Port,
}

impl Corner {
    /// "starboard", "port".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Starboard => "starboard",
            Self::Port => "port",
        }
    }
}

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Chalk {
    /// What is chalked beside it.
    pub name: String,
    /// In the level frame, at the waterline.
    pub at: DVec3,
    /// From the middle of the boat.
    pub bearing: Bearing,
    pub distance: Metres,
    pub corner: Corner,
    /// Forward of the corner; abaft it negative.
    pub along: Metres,
    /// Outboard of the corner, square to the centreline; inboard negative.
    pub out: Metres,
}

impl Chalk {
    pub(super) fn new(name: String, scene: &Scene, at: DVec3) -> Self {
        let from = at - scene.middle();
        // Marks on the centreline are set out from starboard.
        let corner = if at.y > 1e-9 { Corner::Port } else { Corner::Starboard };
        let half = scene.vessel.half_breadth(0.0);
        Self {
            name,
            at: at.with_z(0.0),
            bearing: Bearing::of(from),
            distance: Metres(from.truncate().length()),
            corner,
            along: Metres(at.x),
            out: Metres(at.y.abs() - half),
        }
    }
}
