//! The boat as the fitter writes her: hull, parts with their joints, lamps, fits and conditions.
//!
//! Takes a scene file; gives a [`Scene`], and for a pose of its joints the [`Posed`] solids and lamps in the vessel
//! frame (x forward from the transom, y to port, z up from the waterline at rest; metres). Must never compute light.

pub mod bracket;
mod lamp;
pub mod mesh;
mod part;
pub mod read;
pub mod shape;
mod status;
mod switch;
mod vessel;
pub mod wiring;

use glam::{DAffine3, DMat3, DVec3};
use serde::Serialize;

pub use bracket::Holding;
pub use lamp::{Along, Bright, Face, Form, Lamp, Measured, Mount, PosedLamp, Role};
pub use part::{GREATEST_JOINT, Joint, Part, PartKind, Posture};
pub use status::Status;
pub use switch::{MOST_SETTINGS, Position, Setting, Switch, setting_count, settings};
pub use vessel::{HullForm, Propulsion, Vessel};
pub use wiring::{Takes, Wiring};

use crate::measure::{Degrees, Metres, NauticalMiles};

/// One boat, what stands on her, and the fits to compare.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Scene {
    pub name: String,
    pub note: String,
    pub vessel: Vessel,
    pub conditions: Conditions,
    pub parts: Vec<Part>,
    /// The part, a person, from whose eyes the lookout is kept; `None` for the first person there is.
    pub helm: Option<String>,
    pub fits: Vec<Fit>,
}

/// One arrangement of lamps on a boat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fit {
    pub name: String,
    pub note: String,
    pub lamps: Vec<Lamp>,
    /// Empty when the scene does not say how the lamps are switched.
    pub switches: Vec<Switch>,
    /// How the lamps are fed, where the scene says.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wiring: Option<Box<Wiring>>,
}

/// What the boat meets: weather, observers, and how she moves in normal use.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Conditions {
    /// Meteorological visibility.
    pub visibility: NauticalMiles,
    /// Heights of observers' eyes above the water; the first is the ring's.
    pub eyes: Vec<Metres>,
    /// Radius of the near ring, from the middle of the boat.
    pub near: Metres,
    /// Radius of the far ring.
    pub far: NauticalMiles,
    /// Running trim, bow up positive: least and most.
    pub trim: (Degrees, Degrees),
    /// Heel to either side.
    pub heel: Degrees,
    /// Steering of the outboard to either side; where a scene leaves it out, the least that all her outboards turn.
    pub steering: Degrees,
    /// Height of the swell, crest to trough; nought for a flat sea.
    pub swell: Metres,
    /// Waters with rules of their own that she uses, by the names rule sets give them.
    pub waters: Vec<String>,
}

impl Default for Conditions {
    /// The weather of Annex I (about 13 nm of visibility), a small boat's eye, rings at 10 m and half a mile, no
    /// trim, heel, steering or swell.
    fn default() -> Self {
        Self {
            visibility: NauticalMiles(13.4),
            eyes: vec![Metres(2.0)],
            near: Metres(10.0),
            far: NauticalMiles(0.5),
            trim: (Degrees(0.0), Degrees(0.0)),
            heel: Degrees(0.0),
            steering: Degrees(0.0),
            swell: Metres(0.0),
            waters: Vec::new(),
        }
    }
}

/// A place on the boat, the way a tape is held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Place {
    /// Metres forward of the transom.
    pub forward: f64,
    /// Metres to starboard of the centreline; to port negative.
    pub starboard: f64,
    pub height: Height,
}

/// What a height was measured from, in metres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Height {
    AboveDeck(f64),
    AboveGunwale(f64),
    AboveWaterline(f64),
}

impl Default for Height {
    fn default() -> Self {
        Self::AboveDeck(0.0)
    }
}

impl Vessel {
    /// A place in the vessel frame.
    pub fn locate(&self, place: &Place) -> DVec3 {
        let height = match place.height {
            Height::AboveDeck(up) => self.deck_height(place.forward, place.starboard) + up,
            Height::AboveGunwale(up) => self.gunwale_height(place.forward) + up,
            Height::AboveWaterline(up) => up,
        };
        DVec3::new(place.forward, -place.starboard, height)
    }
}

/// Where the joints stand. `None` leaves a joint where the scene puts it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Pose {
    /// Outboards steered, degrees; positive turns the cowling clockwise seen from above.
    pub steering: Option<f64>,
    /// Outboards tilted up, degrees.
    pub tilt: Option<f64>,
    /// Masts folded aft, degrees.
    pub fold: Option<f64>,
    /// What every person who may be either does.
    pub posture: Option<Posture>,
}

/// How the whole boat lies in the water.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Attitude {
    /// Bow up positive.
    pub trim: Degrees,
    /// To starboard positive.
    pub heel: Degrees,
}

impl Attitude {
    /// Turns a direction of the vessel frame into the level frame (x along her heading, z truly up).
    pub fn rotation(&self) -> DMat3 {
        DMat3::from_rotation_y(-self.trim.0.to_radians()) * DMat3::from_rotation_x(self.heel.0.to_radians())
    }
}

/// Whose a solid is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Owner {
    Hull,
    /// Index into [`Scene::parts`].
    Part(usize),
    /// A named piece of a mesh: index into [`Scene::parts`], and into [`mesh::Surface::pieces`] of that part.
    Piece {
        part: usize,
        piece: u32,
    },
    /// Index into [`Fit::lamps`]: the mount of that lamp.
    Mount(usize),
}

/// A solid that can hide a lamp.
#[derive(Clone, Debug)]
pub struct Solid {
    pub owner: Owner,
    pub shape: shape::Shape,
    /// Share of light let through, from 0 to 1, both included.
    pub transmits: f64,
}

/// A fit on the boat with every joint in one position.
#[derive(Clone, Debug)]
pub struct Posed {
    pub solids: Vec<Solid>,
    /// In the order of [`Fit::lamps`].
    pub lamps: Vec<PosedLamp>,
}

impl Scene {
    /// Places everything for one fit and pose.
    pub fn posed(&self, fit: &Fit, pose: &Pose) -> Posed {
        let mut solids = Vec::new();
        if self.own_hull().is_none() {
            let shape = shape::Shape::Mesh(self.vessel.hull_mesh());
            solids.push(Solid { owner: Owner::Hull, shape, transmits: 0.0 });
        }
        for (index, part) in self.parts.iter().enumerate() {
            let shapes = part.kind.shapes(&self.vessel, pose).into_iter().enumerate();
            solids.extend(shapes.map(|(nth, shape)| {
                let (owner, transmits) = part.owner(index, nth);
                Solid { owner, shape, transmits }
            }));
        }
        let lamps: Vec<_> = fit.lamps.iter().map(|lamp| self.posed_lamp(lamp, pose)).collect();
        for (index, (lamp, posed)) in fit.lamps.iter().zip(&lamps).enumerate() {
            let mut shapes =
                lamp.bracket.as_ref().map_or_else(Vec::new, |bracket| bracket.solids(self, lamp, posed, pose));
            if shapes.is_empty() {
                shapes.extend(lamp.mount_shape(posed));
            }
            solids.extend(shapes.into_iter().map(|shape| Solid { owner: Owner::Mount(index), shape, transmits: 0.0 }));
        }
        Posed { solids, lamps }
    }

    /// Places one lamp.
    pub fn posed_lamp(&self, lamp: &Lamp, pose: &Pose) -> PosedLamp {
        let carrier = match &lamp.mount {
            Mount::Pole(name) | Mount::Outboard(name) => self.part(name),
            _ => None,
        };
        let pole_top = carrier.and_then(|part| part.kind.pole_top(&self.vessel, pose));
        let swing = match (&lamp.mount, carrier) {
            (Mount::Outboard(_), Some(part)) => part.kind.swing(&self.vessel, pose),
            _ => DAffine3::IDENTITY,
        };
        lamp.posed(self, pole_top, &swing)
    }

    /// The mesh that is the vessel's own hull, by its index in [`Scene::parts`]; `None` where her hull is made from
    /// her figures.
    pub fn own_hull(&self) -> Option<(usize, &mesh::Surface)> {
        self.parts.iter().enumerate().find_map(|(index, part)| match &part.kind {
            PartKind::Mesh { as_hull: true, surface, .. } => Some((index, surface.as_ref())),
            _ => None,
        })
    }

    /// A part by name.
    pub fn part(&self, name: &str) -> Option<&Part> {
        self.parts.iter().find(|part| part.name == name)
    }

    /// A fit by name.
    pub fn fit(&self, name: &str) -> Option<&Fit> {
        self.fits.iter().find(|fit| fit.name == name)
    }

    /// The name of whatever a solid belongs to.
    pub fn owner_name(&self, fit: &Fit, owner: Owner) -> String {
        match owner {
            Owner::Hull => "the hull".into(),
            Owner::Part(index) => self.parts.get(index).map_or_else(String::new, |part| part.name.clone()),
            Owner::Piece { part, piece } => self.parts.get(part).map_or_else(String::new, |part| {
                let name = part.piece_name(piece);
                // A part of the same name is something else.
                let shared = self.parts.iter().any(|other| other.name == name && !std::ptr::eq(other, part));
                if shared { format!("{name} of {}", part.name) } else { name.into() }
            }),
            Owner::Mount(index) => {
                fit.lamps.get(index).map_or_else(String::new, |lamp| format!("the mount of {}", lamp.name))
            }
        }
    }

    /// The point the boat trims and heels about, and rings are drawn round: midships on the centreline, at the water.
    pub fn middle(&self) -> DVec3 {
        DVec3::new(self.vessel.length.0 / 2.0, 0.0, 0.0)
    }
}
