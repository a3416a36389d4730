//! The parts that stand on the hull and may stand in the way: each is a few plain solids in the vessel frame.
//!
//! Takes a part as the fitter writes it and the position of its joints; gives solids. Must never know of lamps.

use std::{f64::consts::FRAC_PI_2, sync::Arc};

use glam::{DAffine3, DMat3, DVec3};
use serde::{Deserialize, Serialize};

use super::{Owner, Place, Pose, Vessel, mesh::Surface, shape::Shape};
use crate::measure::{Degrees, Metres};

/// A named part of the boat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Part {
    pub name: String,
    pub kind: PartKind,
    /// How far a lamp and what holds it are to stay away, for a hand, a foot or a rope to reach it: hatches, cleats,
    /// handholds. Nought asks for nothing.
    #[serde(skip_serializing_if = "asks_for_nothing")]
    pub keep_clear: Metres,
}

fn asks_for_nothing(room: &Metres) -> bool {
    room.0 == 0.0
}

impl Part {
    /// A part that asks for no room about it.
    pub fn new(name: impl Into<String>, kind: PartKind) -> Self {
        Self { name: name.into(), kind, keep_clear: Metres(0.0) }
    }

    /// Whose the `nth` of the solids is that [`PartKind::shapes`] gives, `index` being the part's own, and the share of
    /// light that it lets through.
    pub(super) fn owner(&self, index: usize, nth: usize) -> (Owner, f64) {
        let PartKind::Mesh { as_hull, surface, .. } = &self.kind else {
            return (Owner::Part(index), self.kind.transmits());
        };
        let piece = surface.pieces.get(nth);
        let transmits = piece.map_or(0.0, |piece| piece.transmits);
        let named = piece.is_some_and(|piece| piece.name.is_some());
        match u32::try_from(nth) {
            Ok(piece) if named => (Owner::Piece { part: index, piece }, transmits),
            _ if *as_hull => (Owner::Hull, transmits),
            _ => (Owner::Part(index), transmits),
        }
    }

    /// The name that a piece of a mesh has in its file; the part's own where it has none.
    pub fn piece_name(&self, piece: u32) -> &str {
        let PartKind::Mesh { surface, .. } = &self.kind else { return &self.name };
        let piece = usize::try_from(piece).ok().and_then(|piece| surface.pieces.get(piece));
        piece.and_then(|piece| piece.name.as_deref()).unwrap_or(&self.name)
    }
}

/// The position of a joint and how far it goes, in degrees.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Joint {
    pub now: f64,
    pub least: f64,
    pub most: f64,
}

/// How a person is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Posture {
    Seated,
    Standing,
}

impl Posture {
    /// "seated", "standing".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Seated => "seated",
            Self::Standing => "standing",
        }
    }
}

/// Every kind of part. Lengths in metres, angles in degrees; `at` is the middle of the part's foot unless said
/// otherwise.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum PartKind {
    /// An upright round bar.
    Stanchion { at: Place, height: f64, diameter: f64 },
    /// A round bar bent through places, in order.
    Rail { through: Vec<Place>, diameter: f64 },
    /// A cabin, wheelhouse, console or engine box.
    Cabin { at: Place, length: f64, width: f64, height: f64 },
    /// A flat screen across the boat, raked aft by `rake`; its pane lets through the share `transmits` of the light.
    Windscreen { at: Place, width: f64, height: f64, rake: Degrees, transmits: f64 },
    /// An outboard engine; `at` is its clamp on the transom. The cowling stands above it, the leg hangs below.
    Outboard { at: Place, cowling: DVec3, leg: f64, steering: Joint, tilt: Joint },
    /// A mast or pole that may fold aft by its joint, about its foot.
    Mast { at: Place, height: f64, diameter: f64, fold: Joint },
    /// A whip: a thin bar leaning aft by `lean`.
    Antenna { at: Place, height: f64, diameter: f64, lean: Degrees },
    /// A radar arch: two legs and a bar across, `width` apart at the middle of the tubes.
    Arch { at: Place, width: f64, height: f64, diameter: f64 },
    /// A person of a given height. With both postures, the first is the posture at rest.
    Person { at: Place, height: f64, postures: Vec<Posture> },
    /// A fender hanging by its head from `at`.
    Fender { at: Place, length: f64, diameter: f64 },
    /// A matt black plate beside a sidelight, upright and parallel to the centreline.
    Screen { at: Place, length: f64, height: f64, thickness: f64 },
    /// A plain box, turned clockwise by `yaw`.
    Box { at: Place, length: f64, width: f64, height: f64, yaw: Degrees },
    /// A plain upright round block.
    Cylinder { at: Place, height: f64, diameter: f64 },
    /// A bar with rounded ends between two places.
    Capsule { from: Place, to: Place, diameter: f64 },
    /// A surface from a mesh file, already in metres in the vessel frame.
    Mesh {
        file: String,
        /// Where the file's origin lies.
        at: Place,
        /// Whether it is the vessel's own hull, in place of the one made from her figures.
        as_hull: bool,
        #[serde(skip)]
        surface: Arc<Surface>,
    },
}

impl PartKind {
    /// The kind in words.
    pub fn in_words(&self) -> &'static str {
        match self {
            Self::Stanchion { .. } => "stanchion",
            Self::Rail { .. } => "rail",
            Self::Cabin { .. } => "cabin",
            Self::Windscreen { .. } => "windscreen",
            Self::Outboard { .. } => "outboard",
            Self::Mast { .. } => "mast",
            Self::Antenna { .. } => "antenna",
            Self::Arch { .. } => "arch",
            Self::Person { .. } => "person",
            Self::Fender { .. } => "fender",
            Self::Screen { .. } => "screen",
            Self::Box { .. } => "box",
            Self::Cylinder { .. } => "cylinder",
            Self::Capsule { .. } => "capsule",
            Self::Mesh { .. } => "mesh",
        }
    }

    /// Share of light that the part lets through: nought for all but panes. The pieces of a mesh say so themselves.
    pub fn transmits(&self) -> f64 {
        if let Self::Windscreen { transmits, .. } = self { *transmits } else { 0.0 }
    }

    /// How the part has moved from rest-and-straight for this pose. Identity for what has no joint.
    pub fn swing(&self, vessel: &Vessel, pose: &Pose) -> DAffine3 {
        match self {
            Self::Outboard { at, steering, tilt, .. } => {
                let pivot = vessel.locate(at);
                let steer = DMat3::from_rotation_z(-pose.steering.unwrap_or(steering.now).to_radians());
                // Tilting lifts the leg: the cowling goes forward, over the transom.
                let lift = DMat3::from_rotation_y(pose.tilt.unwrap_or(tilt.now).to_radians());
                about(pivot, lift * steer)
            }
            Self::Mast { at, fold, .. } => {
                about(vessel.locate(at), DMat3::from_rotation_y(-pose.fold.unwrap_or(fold.now).to_radians()))
            }
            _ => DAffine3::IDENTITY,
        }
    }

    /// Top of a mast and the way its axis points; `None` for other kinds.
    pub fn pole_top(&self, vessel: &Vessel, pose: &Pose) -> Option<(DVec3, DVec3)> {
        let Self::Mast { at, height, .. } = self else { return None };
        let swing = self.swing(vessel, pose);
        let top = vessel.locate(at) + DVec3::Z * *height;
        Some((swing.transform_point3(top), swing.transform_vector3(DVec3::Z)))
    }

    /// Where the eyes of a person are in a posture, looking ahead: a finger's breadth in front of the face, in the vessel
    /// frame. `None` for other kinds.
    pub fn eyes(&self, vessel: &Vessel, posture: Posture) -> Option<DVec3> {
        let Self::Person { at, height, .. } = self else { return None };
        let head = vessel.locate(at) + DVec3::Z * (head_height(posture) * height);
        Some(head + DVec3::X * (HEAD_RADIUS * height + EYES_AHEAD))
    }

    /// The solids of the part.
    pub fn shapes(&self, vessel: &Vessel, pose: &Pose) -> Vec<Shape> {
        let bar = |from: DVec3, to: DVec3, diameter: f64| Shape::Capsule { from, to, radius: diameter / 2.0 };
        let upright = |at: &Place, height: f64, diameter: f64| {
            let foot = vessel.locate(at);
            Shape::Cylinder { from: foot, to: foot + DVec3::Z * height, radius: diameter / 2.0 }
        };
        let swing = self.swing(vessel, pose);
        match self {
            Self::Stanchion { at, height, diameter } | Self::Cylinder { at, height, diameter } => {
                vec![upright(at, *height, *diameter)]
            }
            Self::Rail { through, diameter } => {
                let places: Vec<_> = through.iter().map(|place| vessel.locate(place)).collect();
                places.windows(2).map(|pair| bar(pair[0], pair[1], *diameter)).collect()
            }
            Self::Cabin { at, length, width, height } => {
                vec![Shape::standing_box(vessel.locate(at), *length, *width, *height)]
            }
            Self::Windscreen { at, width, height, rake, .. } => {
                let foot = vessel.locate(at);
                let pane = Shape::standing_box(foot, 0.006, *width, *height);
                vec![pane.moved(&about(foot, DMat3::from_rotation_y(-rake.0.to_radians())))]
            }
            Self::Outboard { at, cowling, leg, .. } => {
                outboard(vessel.locate(at), *cowling, *leg).map(|shape| shape.moved(&swing)).into()
            }
            Self::Mast { at, height, diameter, .. } => vec![upright(at, *height, *diameter).moved(&swing)],
            Self::Antenna { at, height, diameter, lean } => {
                let foot = vessel.locate(at);
                let axis = DMat3::from_rotation_y(-lean.0.to_radians()) * DVec3::Z;
                vec![bar(foot, foot + axis * *height, *diameter)]
            }
            Self::Arch { at, width, height, diameter } => {
                let foot = vessel.locate(at);
                let corner = |side: f64, up: f64| foot + DVec3::new(0.0, side * width / 2.0, up * height);
                [
                    (corner(1.0, 0.0), corner(1.0, 1.0)),
                    (corner(1.0, 1.0), corner(-1.0, 1.0)),
                    (corner(-1.0, 1.0), corner(-1.0, 0.0)),
                ]
                .map(|(from, to)| bar(from, to, *diameter))
                .into()
            }
            Self::Person { at, height, postures } => {
                let posture = pose
                    .posture
                    .filter(|wanted| postures.contains(wanted))
                    .or_else(|| postures.first().copied())
                    .unwrap_or(Posture::Standing);
                person(vessel.locate(at), *height, posture)
            }
            Self::Fender { at, length, diameter } => {
                let head = vessel.locate(at);
                let radius = diameter / 2.0;
                vec![bar(head - DVec3::Z * radius, head - DVec3::Z * (length - radius).max(radius), *diameter)]
            }
            Self::Screen { at, length, height, thickness } => {
                vec![Shape::standing_box(vessel.locate(at), *length, *thickness, *height)]
            }
            Self::Box { at, length, width, height, yaw } => {
                let foot = vessel.locate(at);
                let turn = about(foot, DMat3::from_rotation_z(-yaw.0.to_radians()));
                vec![Shape::standing_box(foot, *length, *width, *height).moved(&turn)]
            }
            Self::Capsule { from, to, diameter } => vec![bar(vessel.locate(from), vessel.locate(to), *diameter)],
            Self::Mesh { surface, .. } => {
                surface.pieces.iter().map(|piece| Shape::Mesh(Arc::clone(&piece.triangles))).collect()
            }
        }
    }
}

/// A turn about a point.
fn about(pivot: DVec3, turn: DMat3) -> DAffine3 {
    DAffine3::from_mat3_translation(turn, pivot - turn * pivot)
}

/// Cowling and leg, hung on the transom at `clamp`: the cowling's foot just above it and abaft it.
fn outboard(clamp: DVec3, cowling: DVec3, leg: f64) -> [Shape; 3] {
    let behind = clamp - DVec3::X * (cowling.x / 2.0 + 0.05);
    let hang = Shape::standing_box(behind - DVec3::Z * leg, cowling.x * 0.3, cowling.y * 0.25, leg);
    let bracket = Shape::standing_box(clamp - DVec3::new(0.06, 0.0, 0.2), 0.12, cowling.y * 0.5, 0.25);
    [Shape::standing_box(behind, cowling.x, cowling.y, cowling.z), hang, bracket]
}

/// Radius of a head as a share of the person's height.
const HEAD_RADIUS: f64 = 0.065;
/// How far ahead of the face the eyes are taken, metres: clear of the head's own solid.
const EYES_AHEAD: f64 = 0.01;

/// Height of the middle of the head above the feet, as a share of the person's height.
fn head_height(posture: Posture) -> f64 {
    match posture {
        Posture::Standing => 0.935,
        Posture::Seated => 0.715,
    }
}

/// Legs, trunk and head in rough human proportion (the program's own, for shadows only).
fn person(feet: DVec3, height: f64, posture: Posture) -> Vec<Shape> {
    let up = |share: f64| feet + DVec3::Z * (share * height);
    let bar = |from: DVec3, to: DVec3, radius: f64| Shape::Capsule { from, to, radius: radius * height };
    let middle = up(head_height(posture));
    let head = bar(middle, middle, HEAD_RADIUS);
    match posture {
        Posture::Standing => vec![bar(up(0.07), up(0.5), 0.07), bar(up(0.55), up(0.75), 0.11), head],
        Posture::Seated => {
            let knee = up(0.27) + DVec3::X * (0.25 * height);
            vec![
                bar(feet + DVec3::X * (0.25 * height) + DVec3::Z * (0.05 * height), knee, 0.05),
                bar(knee, up(0.27), 0.07),
                bar(up(0.32), up(0.55), 0.11),
                head,
            ]
        }
    }
}

/// The greatest angle any joint may take: a quarter turn.
pub const GREATEST_JOINT: f64 = FRAC_PI_2 * 180.0 / std::f64::consts::PI;
