//! Places and turns that a hand is drawn to: the deck, a rail, the centreline, parallel with the centreline.
//!
//! Pure functions of the scene; each gives where something would go, and `None` where nothing is near enough. Must never
//! change anything.

use glam::DVec3;

use crate::{
    boat::{Height, Lamp, PartKind, Place, Pose, Scene, Vessel, shape::Shape},
    measure::Degrees,
};

/// A point of the vessel frame as a place, its height measured from the same level as another's.
pub fn place_at(vessel: &Vessel, point: DVec3, like: Height) -> Place {
    let (forward, starboard) = (point.x, -point.y);
    let height = match like {
        Height::AboveDeck(_) => Height::AboveDeck(point.z - vessel.deck_height(forward, starboard)),
        Height::AboveGunwale(_) => Height::AboveGunwale(point.z - vessel.gunwale_height(forward)),
        Height::AboveWaterline(_) => Height::AboveWaterline(point.z),
    };
    Place { forward, starboard, height }
}

/// The place on deck under or over another, so many metres clear of it. Off the deck's edge it is at the edge.
pub fn on_deck(vessel: &Vessel, place: &Place, clear: f64) -> Place {
    let forward = place.forward.clamp(0.0, vessel.length.0);
    let edge = vessel.half_breadth(forward);
    Place { forward, starboard: place.starboard.clamp(-edge, edge), height: Height::AboveDeck(clear) }
}

/// The same place on the centreline, if it is within so many metres of it.
pub fn on_centreline(place: &Place, within: f64) -> Option<Place> {
    (place.starboard.abs() <= within).then_some(Place { starboard: 0.0, ..*place })
}

/// Where something is held by a bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnBar {
    /// Index into [`Scene::parts`].
    pub part: usize,
    /// The nearest point of the bar's axis, vessel frame.
    pub axis: DVec3,
    /// The bar's radius, metres.
    pub radius: f64,
}

/// The nearest bar of all rails, stanchions, masts, arches, stays and whips whose skin is within so many metres of a point
/// of the vessel frame.
pub fn on_bar(scene: &Scene, point: DVec3, within: f64) -> Option<OnBar> {
    let bars = scene.parts.iter().enumerate().filter(|(_, part)| is_bar(&part.kind)).flat_map(|(index, part)| {
        let shapes = part.kind.shapes(&scene.vessel, &Pose::default());
        shapes.into_iter().filter_map(move |shape| on_axis(&shape, point, index))
    });
    let off = |bar: &OnBar| (bar.axis.distance(point) - bar.radius).max(0.0);
    bars.min_by(|one, other| off(one).total_cmp(&off(other))).filter(|bar| off(bar) <= within)
}

fn is_bar(kind: &PartKind) -> bool {
    use PartKind as Kind;
    matches!(
        kind,
        Kind::Rail { .. }
            | Kind::Stanchion { .. }
            | Kind::Mast { .. }
            | Kind::Antenna { .. }
            | Kind::Arch { .. }
            | Kind::Capsule { .. }
    )
}

fn on_axis(shape: &Shape, point: DVec3, part: usize) -> Option<OnBar> {
    let (Shape::Capsule { from, to, radius } | Shape::Cylinder { from, to, radius }) = shape else { return None };
    let axis = *to - *from;
    let along = (point - *from).dot(axis) / axis.length_squared();
    let along = if along.is_finite() { along.clamp(0.0, 1.0) } else { 0.0 };
    Some(OnBar { part, axis: *from + axis * along, radius: *radius })
}

/// The yaw that brings a lamp's datum line parallel with the centreline, looking ahead, if it is within so many degrees of
/// that. `None` too where it leans so far that its line tells no heading.
pub fn parallel(scene: &Scene, lamp: &Lamp, within: Degrees) -> Option<Degrees> {
    let turned = |lamp: &Lamp| scene.posed_lamp(lamp, &Pose::default()).turned();
    let first = turned(lamp)?;
    if first.0.abs() > within.0 {
        return None;
    }
    // About an axis that leans, a turn counts for a little more or less than itself.
    let mut straight = lamp.clone();
    for _ in 0..4 {
        straight.yaw.0 -= turned(&straight)?.0;
    }
    Some(straight.yaw)
}

/// The nearest whole number of steps.
pub fn to_step(value: f64, step: f64) -> f64 {
    if step > 0.0 { (value / step).round() * step } else { value }
}
