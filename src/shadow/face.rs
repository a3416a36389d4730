//! The share of a luminous face that an observer sees past solids: half shadows, as an area.
//!
//! Takes the boat's solids, a lamp's face and where it is looked at from; gives the share of its light that gets
//! through and whose solids take the most. What each solid covers is worked out in `outline`, the area in `cover`.
//! Must never know of colours.

use glam::DVec3;

use super::{Obstacles, cover::hidden, outline::Outline, sheet::Sheet};
use crate::boat::{Owner, PosedLamp};

/// Where a face is looked at from.
#[derive(Clone, Copy, Debug)]
pub enum Toward {
    /// From far off, along this unit vector (vessel frame) out of the lamp.
    Direction(DVec3),
    /// From a point (vessel frame).
    Point(DVec3),
}

/// How much of a face is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Visible {
    /// Of its light, in `[0, 1]`: exactly 1 where nothing hides any of it, exactly 0 where all is hidden.
    pub fraction: f64,
    /// Whose solids hide the most, when any do.
    pub by: Option<Owner>,
}

impl Visible {
    pub const WHOLLY: Self = Self { fraction: 1.0, by: None };
}

/// Adding up leaves dust in the last places; whole must be whole, and none must be none.
const DUST: f64 = 1e-9;

/// The share of the lamp's face that is seen. A point within the face itself sees all of it.
pub fn visible_fraction(obstacles: &Obstacles, lamp: &PosedLamp, toward: Toward) -> Visible {
    let Some(sheet) = Sheet::facing(lamp, toward) else { return Visible::WHOLLY };
    let near = obstacles.near(&sheet.sight(), sheet.radius());
    let outlines: Vec<Outline> = near.iter().filter_map(|candidate| Outline::of(candidate, &sheet)).collect();
    if outlines.is_empty() {
        return Visible::WHOLLY;
    }
    match hidden(&sheet, &outlines.iter().collect::<Vec<_>>()) {
        none if none < DUST => Visible::WHOLLY,
        all if all > 1.0 - DUST => Visible { fraction: 0.0, by: greatest_hider(&sheet, &outlines) },
        some => Visible { fraction: 1.0 - some, by: greatest_hider(&sheet, &outlines) },
    }
}

/// Whose solids would hide the most if only theirs were there; of equals, the first in order.
fn greatest_hider(sheet: &Sheet, outlines: &[Outline]) -> Option<Owner> {
    let mut owners: Vec<Owner> = outlines.iter().map(|outline| outline.owner).collect();
    owners.sort();
    owners.dedup();
    if owners.len() < 2 {
        return owners.first().copied();
    }
    let alone = |owner: Owner| {
        let own: Vec<&Outline> = outlines.iter().filter(|outline| outline.owner == owner).collect();
        // What differs by dust is equal.
        (hidden(sheet, &own) / 1e-6).round()
    };
    let shares = owners.iter().map(|owner| (alone(*owner), *owner));
    shares.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1))).map(|(_, owner)| owner)
}
