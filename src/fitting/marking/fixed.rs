//! Points on board that a tape can be held to and that anybody finds again: corners of the transom, the stem head, feet
//! of posts, corners of cabins and boxes.
//!
//! Takes a scene; gives named points. Must never choose among them.

use glam::DVec3;

use crate::boat::{Height, PartKind, Place, Scene};

/// A point to hold a tape to.
#[derive(Clone, Debug, PartialEq)]
pub struct FixedPoint {
    /// In words that follow "from": "the stem head", "the foot of \"jack post\"".
    pub name: String,
    /// In the vessel frame.
    pub at: DVec3,
    /// Index into [`Scene::parts`] of what it belongs to; `None` for the hull.
    pub part: Option<usize>,
}

/// The greatest diameter of an upright block whose foot is still a point, metres (the program's own figure).
const SLIM: f64 = 0.2;
/// So many points are enough to choose from.
const MOST: usize = 60;

/// Every fixed point on board, those of the hull first.
pub fn fixed_points(scene: &Scene) -> Vec<FixedPoint> {
    let vessel = &scene.vessel;
    let (half, rail) = (vessel.half_breadth(0.0), vessel.gunwale_height(0.0));
    let length = vessel.length.0;
    let hull = |name: &str, at: DVec3| FixedPoint { name: name.into(), at, part: None };
    let mut points = vec![
        hull("the starboard corner of the transom", DVec3::new(0.0, -half, rail)),
        hull("the port corner of the transom", DVec3::new(0.0, half, rail)),
        hull("the stem head", DVec3::new(length, 0.0, vessel.gunwale_height(length))),
    ];
    for (index, part) in scene.parts.iter().enumerate() {
        let own = of_part(scene, &part.name, &part.kind).into_iter();
        points.extend(own.map(|(name, at)| FixedPoint { name, at, part: Some(index) }));
    }
    points.truncate(MOST);
    points
}

fn of_part(scene: &Scene, name: &str, kind: &PartKind) -> Vec<(String, DVec3)> {
    let foot = |at: &Place| vec![(format!("the middle of the foot of \"{name}\""), scene.vessel.locate(at))];
    match kind {
        PartKind::Stanchion { at, .. } | PartKind::Mast { at, .. } | PartKind::Antenna { at, .. } => foot(at),
        PartKind::Cylinder { at, diameter, .. } if *diameter <= SLIM => foot(at),
        PartKind::Arch { at, width, .. } => [("starboard", 0.5), ("port", -0.5)]
            .map(|(side, share)| {
                let leg = Place { starboard: at.starboard + share * width, ..*at };
                (format!("the middle of the {side} foot of \"{name}\""), scene.vessel.locate(&leg))
            })
            .to_vec(),
        PartKind::Cabin { at, length, width, height } => corners(scene, name, at, (*length, *width, *height)),
        PartKind::Box { at, length, width, height, yaw } if yaw.0 == 0.0 => {
            corners(scene, name, at, (*length, *width, *height))
        }
        _ => Vec::new(),
    }
}

/// The four lower corners, on the deck where it stands on deck, and the four upper ones.
fn corners(scene: &Scene, name: &str, at: &Place, (length, width, height): (f64, f64, f64)) -> Vec<(String, DVec3)> {
    let foot = scene.vessel.locate(at);
    let on_deck = matches!(at.height, Height::AboveDeck(up) if up.abs() < 1e-9);
    let mut corners = Vec::new();
    for (level, up) in [("lower", 0.0), ("upper", height)] {
        for (end, ahead) in [("forward", 0.5), ("after", -0.5)] {
            for (side, to_port) in [("starboard", -0.5), ("port", 0.5)] {
                let mut spot = foot + DVec3::new(ahead * length, to_port * width, up);
                if up == 0.0 && on_deck {
                    spot.z = scene.vessel.deck_height(spot.x, spot.y);
                }
                corners.push((format!("the {level} {end} {side} corner of \"{name}\""), spot));
            }
        }
    }
    corners
}

/// Whether a tape cannot be led through or past such a part by shifting it a little.
pub(super) fn stops_a_tape(kind: &PartKind) -> bool {
    !matches!(
        kind,
        PartKind::Person { .. }
            | PartKind::Fender { .. }
            | PartKind::Rail { .. }
            | PartKind::Capsule { .. }
            | PartKind::Antenna { .. }
            | PartKind::Mesh { .. }
    )
}
