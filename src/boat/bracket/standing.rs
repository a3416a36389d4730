//! Where a folded plate stands: the frame of its upright, the fold that brings its foot onto what lies below, and how
//! far down that is.
//!
//! The fold lies where the upright's plane meets the deck's. Where the deck falls along the plate, the fold therefore
//! runs askew across it, and the foot lies flat all the same. Takes the lamp in its place; gives lengths in metres.

use glam::{DMat3, DVec3};

use super::{Folded, FoldedForm, MM, Turn};
use crate::boat::{Lamp, PartKind, PosedLamp, Scene, lamp::LENS_DEPTH, shape::Shape};

/// What a bracket's foot stands on, in the vessel frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    pub point: DVec3,
    /// Upward, unit length.
    pub normal: DVec3,
    /// The part whose flat top it is; `None` for the deck.
    pub on: Option<String>,
    /// Whether anything is there at all: a place outboard of the gunwale has only the deck's edge to go by.
    pub aboard: bool,
}

impl Scene {
    /// What lies below a point: the highest flat top of a cabin or box that does not rise above it, or else the deck.
    pub fn seat(&self, below: DVec3) -> Seat {
        let tops = self.parts.iter().filter_map(|part| {
            let (at, length, width, height, yaw) = match &part.kind {
                PartKind::Cabin { at, length, width, height } => (at, length, width, height, 0.0),
                PartKind::Box { at, length, width, height, yaw } => (at, length, width, height, yaw.0),
                _ => return None,
            };
            let foot = self.vessel.locate(at);
            let own = DMat3::from_rotation_z(yaw.to_radians()) * (below - foot);
            let top = foot.z + height;
            let under = own.x.abs() <= length / 2.0 && own.y.abs() <= width / 2.0 && top <= below.z;
            under.then_some((top, &part.name))
        });
        if let Some((top, name)) = tops.max_by(|a, b| a.0.total_cmp(&b.0)) {
            let point = DVec3::new(below.x, below.y, top);
            return Seat { point, normal: DVec3::Z, on: Some(name.clone()), aboard: true };
        }
        let point = DVec3::new(below.x, below.y, self.vessel.deck_height(below.x, below.y));
        let along = (0.0..=self.vessel.length.0).contains(&below.x);
        let aboard = along && below.y.abs() <= self.vessel.half_breadth(below.x);
        Seat { point, normal: self.vessel.deck_normal(below.x, -below.y), on: None, aboard }
    }
}

/// A deck whose normal rises by less along the upright is a wall to it, and no foot stands on it.
pub(super) const LEAST_UPWARD: f64 = 0.2;

/// A folded plate in its place.
///
/// Its own frame has its origin on the lamp's side of the upright, level with the lamp's middle: `across` to the right
/// seen from the lamp, `up` along the upright, `outward` toward the lamp. All three are unit vectors of the vessel
/// frame, and right-handed in that order.
#[derive(Clone, Debug)]
pub struct Standing {
    pub origin: DVec3,
    pub across: DVec3,
    pub up: DVec3,
    pub outward: DVec3,
    /// Which way the foot goes: 1 toward the lamp's side, -1 away.
    pub way: f64,
    /// How far the fold bends the sheet out of flat, radians.
    pub bend: f64,
    /// How far the fold runs askew across the upright, rising to the right, radians.
    pub skew: f64,
    /// From the lamp's middle down the upright to where the outer faces of upright and foot would meet, metres, along
    /// the middle line. Negative where the deck is above the lamp.
    pub drop: f64,
    /// Where the outer faces of a Z's upright and top would meet, from the lamp's middle, metres; `None` for an L.
    pub top: Option<f64>,
    pub seat: Seat,
    thickness: f64,
}

impl Standing {
    /// `None` where the deck below is a wall to the plate.
    pub fn of(scene: &Scene, lamp: &Lamp, posed: &PosedLamp, plate: &Folded) -> Option<Self> {
        let up = posed.frame.z_axis;
        let thickness = plate.sheet * MM;
        let depth = posed.face.width / 2.0 + LENS_DEPTH;
        let (outward, origin, top, way) = match plate.form {
            FoldedForm::L => {
                let outward = posed.frame * lamp.optics.back.outward();
                let way = if plate.turn == Turn::Away { -1.0 } else { 1.0 };
                (outward, posed.centre - outward * depth, None, way)
            }
            FoldedForm::Z => {
                let ahead = posed.frame.x_axis;
                let top = -(posed.face.height / 2.0 + LENS_DEPTH);
                (ahead, posed.centre - ahead * (plate.top * MM / 2.0 - thickness), Some(top), -1.0)
            }
        };
        let across = up.cross(outward);
        let seat = scene.seat(origin + outward * (way * plate.foot * MM / 2.0));
        let normal = seat.normal;
        let upward = normal.dot(up);
        if upward < LEAST_UPWARD {
            return None;
        }
        let outer = if way < 0.0 { 0.0 } else { -thickness };
        let above = normal.dot(origin + outward * outer - seat.point) - plate.fixing.sealant * MM;
        let skew = (-normal.dot(across) / upward).atan();
        let down = across * skew.sin() - up * skew.cos();
        let bend = (-normal.dot(down)).atan2(way * normal.dot(outward));
        Some(Self { origin, across, up, outward, way, bend, skew, drop: above / upward, top, seat, thickness })
    }

    /// Along the fold, to the right seen from the lamp.
    pub fn along(&self) -> DVec3 {
        self.across * self.skew.cos() + self.up * self.skew.sin()
    }

    /// Square to the fold down the upright.
    pub fn down(&self) -> DVec3 {
        self.across * self.skew.sin() - self.up * self.skew.cos()
    }

    /// The way the foot goes from the fold.
    pub fn foot_way(&self) -> DVec3 {
        self.down() * self.bend.cos() + self.outward * (self.way * self.bend.sin())
    }

    /// A point of the plate's own frame (millimetres across, up and outward) in the vessel frame.
    pub fn place(&self, own: DVec3) -> DVec3 {
        self.origin + (self.across * own.x + self.up * own.y + self.outward * own.z) * MM
    }

    /// Upright, foot and top as boxes with sharp corners.
    pub fn solids(&self, plate: &Folded) -> Vec<Shape> {
        let end = self.top.unwrap_or(plate.height(self.drop / MM) * MM - self.drop);
        let height = end + self.drop;
        if height <= 0.0 {
            return Vec::new();
        }
        let half_sheet = self.thickness / 2.0;
        let half_width = plate.width * MM / 2.0;
        let upright = Shape::Cuboid {
            centre: self.origin - self.outward * half_sheet + self.up * (end - height / 2.0),
            axes: DMat3::from_cols(self.outward, self.across, self.up),
            half: DVec3::new(half_sheet, half_width, height / 2.0),
        };
        let outer = if self.way < 0.0 { 0.0 } else { -self.thickness };
        let corner = self.origin + self.outward * outer - self.up * self.drop;
        let (length, way, normal) = (plate.foot * MM, self.foot_way(), self.seat.normal);
        let foot = Shape::Cuboid {
            centre: corner + way * (length / 2.0) + normal * half_sheet,
            axes: DMat3::from_cols(self.along(), way, self.along().cross(way)),
            half: DVec3::new(half_width / self.skew.cos(), length / 2.0, half_sheet),
        };
        let top = self.top.map(|top| Shape::Cuboid {
            centre: self.origin + self.outward * (plate.top * MM / 2.0 - self.thickness) + self.up * (top - half_sheet),
            axes: DMat3::from_cols(self.outward, self.across, self.up),
            half: DVec3::new(plate.top * MM / 2.0, half_width, half_sheet),
        });
        [upright, foot].into_iter().chain(top).collect()
    }
}
