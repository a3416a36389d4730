//! What a lamp's foot goes on, and where: deck, the lid of something, the side of a part, the head of a pole, the topside
//! or a cowling.
//!
//! Takes a scene and a lamp; gives the spot, the line its bracket is set along and the slope there. Must never measure.

use glam::DVec3;

use super::BracketLine;
use crate::{
    boat::{
        Holding, Lamp, Mount, Part, PartKind, Pose, PosedLamp, Scene,
        bracket::{MM, Standing, foot_of},
        shape::Shape,
    },
    light::Back,
    measure::Degrees,
};

/// See the module.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Footing {
    Deck,
    /// The flat top of a part, by name.
    Lid(String),
    /// The side of a part, by name.
    Beside(String),
    /// A pole, by name: the spot is the pole's own foot.
    Pole(String),
    /// The topside, or the transom.
    Skin,
    /// The cowling of an outboard, by name.
    Cowling(String),
}

impl Footing {
    /// Whether tapes from points on board make sense: what moves has none.
    pub fn can_be_taped(&self) -> bool {
        !matches!(self, Self::Cowling(_))
    }
}

/// Where a lamp's foot goes.
#[derive(Clone, Debug)]
pub(super) struct Foot {
    pub footing: Footing,
    pub at: DVec3,
    pub posed: PosedLamp,
    pub line: Option<BracketLine>,
    /// Upward normal of what it stands on.
    pub normal: Option<DVec3>,
    pub aboard: bool,
    /// Whether the scene leaves open what holds it.
    pub guessed: bool,
}

/// A part whose surface is this near to a lamp holds it, where the scene does not say what does; metres (the program's
/// own figure).
const NEAR: f64 = 0.2;
/// A lamp this far above what lies below it is not held from there by an unnamed bracket, metres (the program's own).
const HIGH: f64 = 0.35;
/// Half the line that is struck where no bracket is described, metres.
const HALF_LINE: f64 = 0.05;

pub(super) fn of(scene: &Scene, lamp: &Lamp) -> Foot {
    let posed = super::posed(scene, lamp);
    match &lamp.mount {
        Mount::Pole(name) => on_pole(scene, name, posed),
        Mount::Outboard(name) => {
            let at = foot_of(&posed);
            Foot {
                at,
                line: None,
                normal: None,
                aboard: true,
                guessed: false,
                footing: Footing::Cowling(name.clone()),
                posed,
            }
        }
        Mount::Flush => {
            let at = posed.centre;
            Foot { at, line: None, normal: None, aboard: true, guessed: false, footing: Footing::Skin, posed }
        }
        Mount::FlatOnDeck(_) => plumb(scene, lamp, posed, false),
        Mount::Bracket(_) => described(scene, lamp, &posed).unwrap_or_else(|| undescribed(scene, lamp, posed)),
    }
}

fn on_pole(scene: &Scene, name: &str, posed: PosedLamp) -> Foot {
    let kind = scene.part(name).map(|part| &part.kind);
    let at = match kind {
        Some(PartKind::Mast { at, .. }) => scene.vessel.locate(at),
        _ => posed.centre,
    };
    let seat = scene.seat(at + DVec3::Z * 0.01);
    let stands = (seat.point.z - at.z).abs() < 0.05;
    let normal = stands.then_some(seat.normal);
    Foot { at, line: None, normal, aboard: true, guessed: false, footing: Footing::Pole(name.into()), posed }
}

/// By the bracket that the scene describes; `None` where it describes none that can stand.
fn described(scene: &Scene, lamp: &Lamp, posed: &PosedLamp) -> Option<Foot> {
    let holding = lamp.bracket.as_ref().filter(|holding| holding.suits(lamp).is_ok())?;
    let (at, half, seat) = match holding {
        Holding::Folded(plate) => {
            let standing = Standing::of(scene, lamp, posed, plate)?;
            let outer = if standing.way < 0.0 { 0.0 } else { -plate.sheet * MM };
            let corner = standing.origin + standing.outward * outer - standing.up * standing.drop;
            let at = corner - standing.seat.normal * (plate.fixing.sealant * MM);
            (at, standing.along() * (plate.width * MM / 2.0 / standing.skew.cos()), standing.seat)
        }
        Holding::Wedge(wedge) => {
            let (thickness, seat) = wedge.thickness(scene, posed)?;
            let down = thickness(0.0, 0.0) + wedge.fixing.sealant;
            let at = foot_of(posed) - posed.frame.z_axis * (down * MM);
            let ahead = posed.frame.x_axis;
            let along = (ahead - seat.normal * ahead.dot(seat.normal)).normalize();
            (at, along * (wedge.length * MM / 2.0), seat)
        }
        Holding::Socket(_) | Holding::Pad(_) => return None,
    };
    let line = Some(line_through(at, half, true));
    let footing = seat.on.clone().map_or(Footing::Deck, Footing::Lid);
    let (normal, aboard) = (Some(seat.normal), seat.aboard);
    Some(Foot { footing, at, line, normal, aboard, guessed: false, posed: posed.clone() })
}

fn undescribed(scene: &Scene, lamp: &Lamp, posed: PosedLamp) -> Foot {
    let above = posed.centre.z - scene.seat(posed.centre).point.z;
    match nearest(scene, posed.centre).filter(|_| above > HIGH) {
        Some((part, at)) => {
            let footing = Footing::Beside(part.name.clone());
            Foot { footing, at, line: None, normal: None, aboard: true, guessed: true, posed }
        }
        None => plumb(scene, lamp, posed, true),
    }
}

/// Plumb below the lamp, on whatever lies there.
fn plumb(scene: &Scene, lamp: &Lamp, posed: PosedLamp, guessed: bool) -> Foot {
    let seat = scene.seat(posed.centre);
    let along = match lamp.optics.back {
        Back::Below => posed.frame.x_axis,
        back => DVec3::Z.cross(posed.frame * back.outward()),
    };
    let flat = along - seat.normal * along.dot(seat.normal);
    let line = flat.try_normalize().filter(|_| level_enough(&posed));
    let line = line.map(|way| line_through(seat.point, way * HALF_LINE, false));
    let footing = seat.on.clone().map_or(Footing::Deck, Footing::Lid);
    let normal = level_enough(&posed).then_some(seat.normal);
    Foot { footing, at: seat.point, line, normal, aboard: seat.aboard, guessed, posed }
}

/// A lamp that lies on its back has no line that tells a heading.
fn level_enough(posed: &PosedLamp) -> bool {
    posed.turned().is_some()
}

fn line_through(at: DVec3, half: DVec3, of_bracket: bool) -> BracketLine {
    // Going forward, or to starboard where it lies square across.
    let half = if half.x < -1e-9 || (half.x.abs() <= 1e-9 && half.y > 0.0) { -half } else { half };
    let angle = Degrees((-half.y).atan2(half.x).to_degrees());
    BracketLine { ends: [at - half, at + half], angle, of_bracket }
}

/// The nearest surface of a part that can hold a lamp, and the point of it.
fn nearest(scene: &Scene, from: DVec3) -> Option<(&Part, DVec3)> {
    let holds = |kind: &PartKind| {
        !matches!(
            kind,
            PartKind::Person { .. } | PartKind::Fender { .. } | PartKind::Screen { .. } | PartKind::Mesh { .. }
        )
    };
    let parts = scene.parts.iter().filter(|part| holds(&part.kind));
    let near = parts.flat_map(|part| {
        let shapes = part.kind.shapes(&scene.vessel, &Pose::default());
        shapes.into_iter().filter_map(move |shape| Some((part, closest(&shape, from)?)))
    });
    near.filter(|(_, at)| at.distance(from) <= NEAR).min_by(|a, b| a.1.distance(from).total_cmp(&b.1.distance(from)))
}

/// The point of a plain solid's surface nearest to a point outside it.
fn closest(shape: &Shape, from: DVec3) -> Option<DVec3> {
    match shape {
        Shape::Capsule { from: low, to: high, radius } | Shape::Cylinder { from: low, to: high, radius } => {
            let axis = *high - *low;
            let share = if axis.length_squared() > 0.0 { (from - *low).dot(axis) / axis.length_squared() } else { 0.0 };
            let on = *low + axis * share.clamp(0.0, 1.0);
            Some(on + (from - on).normalize_or_zero() * radius.min(from.distance(on)))
        }
        Shape::Cuboid { centre, axes, half } => {
            let own = axes.transpose() * (from - *centre);
            Some(*centre + *axes * own.clamp(-*half, *half))
        }
        Shape::Mesh(_) => None,
    }
}
