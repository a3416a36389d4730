//! What a scene says of the bracket that holds a lamp, and the solids it then is.
//!
//! Takes the words of the scene, the lamp in its place and what lies below it; gives solids that stand in the lamp's
//! light as the plate of a bracket does. Sizes here are millimetres, as sheet is marked out; solids are metres, as all
//! of the boat. Must never know which metal can be folded how.

mod standing;

use glam::{DMat3, DVec3};
use serde::Serialize;

pub use standing::{Seat, Standing};

use super::{Lamp, Mount, Pose, PosedLamp, Scene, lamp::LENS_DEPTH, shape::Shape};
use crate::light::Back;

/// Metres in a millimetre.
pub const MM: f64 = 0.001;

/// What holds a lamp, as the fitter writes it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum Holding {
    /// A plate of sheet, folded once or twice.
    Folded(Box<Folded>),
    /// A solid shim under a lamp that stands on its foot, which takes the slope out of the deck.
    Wedge(Box<Wedge>),
    /// A tube over the top of a pole, held by set screws.
    Socket(Box<Socket>),
    /// A flat plate on a cowling, with its like inside the shell.
    Pad(Box<Pad>),
}

/// How a plate is folded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum FoldedForm {
    /// Once: an upright for the lamp's back, and a foot.
    #[default]
    L,
    /// Twice, one way and the other: a foot, an upright, and a top that the lamp stands on.
    Z,
}

/// Which way the foot of an L goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Turn {
    /// Away from the lamp, so that nothing of it lies below the light.
    #[default]
    Away,
    /// Under the lamp.
    Under,
}

/// A folded plate.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Folded {
    pub form: FoldedForm,
    /// Thickness of the sheet.
    pub sheet: f64,
    /// Alloy and temper, such as `5052-H32`.
    pub alloy: String,
    /// Of the fold; `None` for the least that the alloy allows, and no less than the sheet.
    pub inside_radius: Option<f64>,
    /// Where the fibre lies that keeps its length, as a share of the thickness from the inside; `None` for the alloy's.
    pub k: Option<f64>,
    /// Height of the upright of an L over its foot, measured outside on its middle line; `None` for what the lamp's
    /// place asks.
    pub upright: Option<f64>,
    /// Length of the foot, measured outside.
    pub foot: f64,
    /// Length of the top of a Z, measured outside.
    pub top: f64,
    pub width: f64,
    /// Radius of the free corners.
    pub corner: f64,
    pub turn: Turn,
    pub screws: Screws,
    /// Diameter of the cable hole in the middle of the lamp's screws; nought for none.
    pub gland: f64,
    /// Holes besides.
    pub holes: Vec<HoleAsked>,
    pub fixing: Fixing,
}

/// Which way the two screws of a lamp stand to one another.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Row {
    /// One above the other; on the top of a Z, one ahead of the other.
    #[default]
    Along,
    /// Side by side.
    Across,
}

/// The two screws of a lamp, about the middle of its back or foot.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Screws {
    /// Of the thread.
    pub size: f64,
    /// From middle to middle.
    pub apart: f64,
    pub row: Row,
    pub metal: String,
}

/// One of the flat parts of a folded plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Flat {
    Upright,
    Foot,
    /// The top of a Z.
    Top,
}

impl Flat {
    /// "upright", "foot", "top".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Upright => "upright",
            Self::Foot => "foot",
            Self::Top => "top",
        }
    }
}

/// A hole that the scene asks for by its place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct HoleAsked {
    pub on: Flat,
    /// From the middle line, to the right seen from the lamp's side.
    pub across: f64,
    /// From the free edge of the upright (its lamp end), the foot or the top.
    pub from_edge: f64,
    pub diameter: f64,
}

/// What goes through plate and deck.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Fastener {
    /// A blind rivet.
    Rivet { diameter: f64, length: Option<f64> },
    /// A bolt with two washers and a nut.
    Bolt { diameter: f64, length: Option<f64> },
}

impl Fastener {
    pub fn diameter(self) -> f64 {
        match self {
            Self::Rivet { diameter, .. } | Self::Bolt { diameter, .. } => diameter,
        }
    }

    /// "rivet", "bolt".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Rivet { .. } => "rivet",
            Self::Bolt { .. } => "bolt",
        }
    }
}

/// What the bracket is fastened to.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DeckMade {
    pub thickness: f64,
    /// A metal of the galvanic series, or something that is none, such as GRP.
    pub material: String,
}

/// How a bracket is fastened down.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fixing {
    pub fastener: Fastener,
    /// Of the fastener; `None` for aluminium rivets and bolts of stainless steel.
    pub metal: Option<String>,
    /// Fasteners side by side.
    pub across: u32,
    /// Rows of them.
    pub rows: u32,
    pub deck: DeckMade,
    /// What the fastener must close before the plate lies down.
    pub gap: f64,
    /// Thickness of the bed of sealant.
    pub sealant: f64,
    /// Thickness of the washer or plate behind the deck; nought for none.
    pub washer: f64,
}

impl Fixing {
    /// The metal of the fasteners.
    pub fn metal(&self) -> &str {
        self.metal.as_deref().unwrap_or(match self.fastener {
            Fastener::Rivet { .. } => "aluminium",
            Fastener::Bolt { .. } => "stainless 316",
        })
    }
}

/// A shim between the deck and a lamp that stands on its foot; how thick it is follows from the lamp's place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wedge {
    /// Along the lamp's datum line.
    pub length: f64,
    pub width: f64,
    /// Its thinnest corner may be no thinner.
    pub least: f64,
    pub material: String,
    pub corner: f64,
    pub screws: Screws,
    pub gland: f64,
    pub fixing: Fixing,
}

/// A tube over the top of a pole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Socket {
    pub wall: f64,
    /// How far it reaches down the pole.
    pub depth: f64,
    /// Of the tube's inside diameter over the pole.
    pub clearance: f64,
    /// How many set screws stand round it.
    pub set_screws: u32,
    /// Of their thread.
    pub screw: f64,
    pub metal: String,
}

/// A plate on a cowling.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Pad {
    /// Fore-and-aft.
    pub length: f64,
    pub width: f64,
    pub thickness: f64,
    pub corner: f64,
    pub metal: String,
    pub screws: Screws,
    pub gland: f64,
    pub fixing: Fixing,
}

/// How far an upright stands above the middle of its lamp where the scene does not say how high it is: room for the
/// lamp's screws (the program's own figure).
const OVER: f64 = 30.0;

impl Folded {
    /// Height of the upright over its foot, measured outside, where the lamp's middle stands `drop` above.
    pub fn height(&self, drop: f64) -> f64 {
        self.upright.unwrap_or_else(|| (drop + OVER).ceil())
    }
}

impl Holding {
    /// Whether it can hold a lamp that is mounted so; otherwise what it needs, in words.
    ///
    /// # Errors
    /// When the lamp is mounted in a way, or made to be screwed on by a face, that this cannot hold.
    pub fn suits(&self, lamp: &Lamp) -> Result<(), &'static str> {
        let on_a_foot = lamp.optics.back == Back::Below;
        match (self, &lamp.mount) {
            (Self::Folded(plate), Mount::Bracket(_)) => match (plate.form, on_a_foot) {
                (FoldedForm::L, true) => Err("an L holds a lamp by its back, and this one stands on its foot: write \
                    `form: Z`, or a `Wedge`"),
                (FoldedForm::Z, false) => Err("a Z holds a lamp by its foot, and this one is screwed on by its back: \
                    write `form: L`"),
                _ => Ok(()),
            },
            (Self::Wedge(_), Mount::Bracket(_)) if on_a_foot => Ok(()),
            (Self::Wedge(_), Mount::Bracket(_)) => {
                Err("a wedge holds a lamp by its foot, and this one is screwed on by its back: write \
                    `Folded(form: L)`")
            }
            (Self::Socket(_), Mount::Pole(_)) | (Self::Pad(_), Mount::Outboard(_)) => Ok(()),
            (Self::Folded(_) | Self::Wedge(_), _) => Err("it goes with `mount: Bracket`"),
            (Self::Socket(_), _) => Err("a socket goes with `mount: Pole(...)`"),
            (Self::Pad(_), _) => Err("a pad goes with `mount: Outboard(...)`"),
        }
    }

    /// Its solids, in metres in the vessel frame; none where it cannot hold the lamp, or would reach nothing below.
    pub fn solids(&self, scene: &Scene, lamp: &Lamp, posed: &PosedLamp, pose: &Pose) -> Vec<Shape> {
        if self.suits(lamp).is_err() {
            return Vec::new();
        }
        match self {
            Self::Folded(plate) => {
                Standing::of(scene, lamp, posed, plate).map_or_else(Vec::new, |standing| standing.solids(plate))
            }
            Self::Wedge(wedge) => wedge.solid(scene, posed).into_iter().collect(),
            Self::Socket(socket) => socket.solid(scene, lamp, pose).into_iter().collect(),
            Self::Pad(pad) => vec![pad.solid(posed)],
        }
    }
}

/// Where the foot of a lamp is that stands on it: below the middle of its luminous face.
pub fn foot_of(posed: &PosedLamp) -> DVec3 {
    posed.centre - posed.frame.z_axis * (posed.face.height / 2.0 + LENS_DEPTH)
}

impl Wedge {
    /// How thick it is (millimetres) at a spot ahead of and to port of the lamp's middle (millimetres), and what it
    /// stands on; `None` where the deck below is too steep to stand on.
    pub fn thickness(&self, scene: &Scene, posed: &PosedLamp) -> Option<(impl Fn(f64, f64) -> f64 + use<>, Seat)> {
        let foot = foot_of(posed);
        let seat = scene.seat(foot);
        let (frame, normal, sealant) = (posed.frame, seat.normal, self.fixing.sealant * MM);
        let upward = normal.dot(frame.z_axis);
        let below = seat.point;
        let thickness = move |ahead: f64, port: f64| {
            let spot = foot + (frame.x_axis * ahead + frame.y_axis * port) * MM;
            (normal.dot(spot - below) - sealant) / upward / MM
        };
        (upward > standing::LEAST_UPWARD).then_some((thickness, seat))
    }

    /// A box of its thickness in the middle.
    fn solid(&self, scene: &Scene, posed: &PosedLamp) -> Option<Shape> {
        let (thickness, _) = self.thickness(scene, posed)?;
        let middle = thickness(0.0, 0.0);
        (middle > 0.0).then(|| {
            let half = DVec3::new(self.length, self.width, middle) * (MM / 2.0);
            Shape::Cuboid { centre: foot_of(posed) - posed.frame.z_axis * half.z, axes: posed.frame, half }
        })
    }
}

impl Socket {
    /// Inside and outside diameter over a pole of this diameter, all in millimetres.
    pub fn diameters(&self, pole: f64) -> (f64, f64) {
        let inside = pole + self.clearance;
        (inside, inside + 2.0 * self.wall)
    }

    fn solid(&self, scene: &Scene, lamp: &Lamp, pose: &Pose) -> Option<Shape> {
        let Mount::Pole(name) = &lamp.mount else { return None };
        let kind = &scene.part(name)?.kind;
        let super::PartKind::Mast { diameter, .. } = kind else { return None };
        let (top, axis) = kind.pole_top(&scene.vessel, pose)?;
        let (_, outside) = self.diameters(diameter / MM);
        let cap = (self.wall * MM).min(LENS_DEPTH);
        Some(Shape::Cylinder { from: top - axis * (self.depth * MM), to: top + axis * cap, radius: outside * MM / 2.0 })
    }
}

impl Pad {
    fn solid(&self, posed: &PosedLamp) -> Shape {
        let half = DVec3::new(self.length, self.width, self.thickness) * (MM / 2.0);
        let axes: DMat3 = posed.frame;
        Shape::Cuboid { centre: foot_of(posed) - axes.z_axis * half.z, axes, half }
    }
}
