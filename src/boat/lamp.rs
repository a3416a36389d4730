//! The lamps as fitted: role, place, the way each is mounted, and its luminous face.
//!
//! Gives each lamp's frame and the solid of its own mount in the vessel frame. Must never compute light.

use std::sync::Arc;

use glam::{DAffine3, DMat3, DQuat, DVec3};
use serde::{Deserialize, Serialize};

use super::{Holding, Place, Scene, Status, Takes, shape::Shape};
use crate::{
    light::{Back, Colour, Optics},
    measure::Degrees,
};

macro_rules! roles {
    ($($(#[$doc:meta])* $name:ident: $key:literal, $words:literal;)*) => {
        /// What a lamp is fitted to serve as.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum Role {
            $($(#[$doc])* $name,)*
        }

        impl Role {
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The role in words, as it stands in a sentence.
            pub fn in_words(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }

            /// The name used in JSON.
            pub fn key(self) -> &'static str {
                match self {
                    $(Self::$name => $key,)*
                }
            }

            /// The name used in scene files.
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$name => stringify!($name),)*
                }
            }
        }
    };
}

roles! {
    Masthead: "masthead", "masthead light";
    StarboardSidelight: "starboard_sidelight", "starboard sidelight";
    PortSidelight: "port_sidelight", "port sidelight";
    /// Both sidelights in one lantern.
    CombinedSidelights: "combined_sidelights", "combined sidelights";
    Sternlight: "sternlight", "sternlight";
    /// Sidelights and sternlight in one lantern at the masthead of a sailing vessel (Rule 25(b)).
    ThreeColourLantern: "three_colour_lantern", "three-colour lantern";
    /// Yellow, over the arc of a sternlight (Rule 21(d)).
    TowingLight: "towing_light", "towing light";
    AllRoundWhite: "all_round_white", "all-round white light";
    AllRoundRed: "all_round_red", "all-round red light";
    AllRoundGreen: "all_round_green", "all-round green light";
    /// All-round, for an air-cushion vessel (Rule 23(b)). The flashing itself is not simulated.
    FlashingYellow: "flashing_yellow", "all-round flashing yellow light";
    /// Yellow, at the head of a pushed tow on United States inland waters. The flashing itself is not simulated.
    SpecialFlashing: "special_flashing", "special flashing light";
}

impl Role {
    /// "a starboard sidelight", "an all-round white light", "combined sidelights".
    pub fn with_article(self) -> String {
        match self {
            Self::CombinedSidelights => self.in_words().into(),
            _ if self.in_words().starts_with('a') => format!("an {}", self.in_words()),
            _ => format!("a {}", self.in_words()),
        }
    }

    /// Whether its light goes all the way round.
    pub fn is_all_round(self) -> bool {
        matches!(self, Self::AllRoundWhite | Self::AllRoundRed | Self::AllRoundGreen | Self::FlashingYellow)
    }
}

/// The colour of a lamp's light as measured: CIE 1931 coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// Which of the lamp's colours was measured.
    pub colour: Colour,
    pub x: f64,
    pub y: f64,
}

/// The line a bracket or a flat lamp is set along.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Along {
    /// Parallel to the centreline, as it must be.
    #[default]
    Centreline,
    /// Parallel to the gunwale where it stands.
    Gunwale,
}

/// The way a lamp is held.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum Mount {
    /// Upright on a folded bracket, its back against the upright plate.
    Bracket(Along),
    /// Screwed by its back flat on the deck, following camber and sheer.
    FlatOnDeck(Along),
    /// Screwed by its back against the topside (or, looking astern, against the transom).
    Flush,
    /// Standing on top of a mast or pole, by part name.
    Pole(String),
    /// On the cowling of an outboard, by part name, moving with it.
    Outboard(String),
}

/// What the luminous part of a lamp looks like from one side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Form {
    /// An upright glowing column: a rectangle.
    #[default]
    Column,
    /// A round bulb or globe: a disc, or an oval where its width and height differ.
    Globe,
}

/// How brightness is spread over the luminous part of a lamp.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Bright {
    /// Alike all over.
    #[default]
    Even,
    /// Brightest in the middle, as a filament or chip behind a frosted lens, and falling off as the square of the
    /// distance from there to nothing at the edge: of a globe outward, of a column across and up, one times the other.
    /// The fall is this program's own figure.
    Middle,
}

/// The luminous part of a lamp, seen through a clear lens.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Face {
    /// Metres, in `(0, 0.5]`.
    pub width: f64,
    /// Along the lamp's own upright, metres, in `(0, 0.5]`.
    pub height: f64,
    pub form: Form,
    pub bright: Bright,
}

impl Face {
    /// An evenly bright column, in metres.
    pub const fn column(width: f64, height: f64) -> Self {
        Self { width, height, form: Form::Column, bright: Bright::Even }
    }

    /// Radius of the ball that holds it.
    pub fn radius(self) -> f64 {
        (self.width / 2.0).hypot(self.height / 2.0)
    }

    /// How high it looks, in metres, seen along a line whose rise along the lamp's upright is this share of its length:
    /// its height seen level, its width seen from straight above, between them as an egg of that width and height.
    pub fn height_seen(self, rise: f64) -> f64 {
        let level = (1.0 - rise * rise).max(0.0).sqrt();
        (self.height * level).hypot(self.width * rise)
    }
}

/// A lamp as the fitter writes it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lamp {
    pub name: String,
    pub role: Role,
    /// The middle of the luminous face. `None` where the mount decides (pole top).
    pub at: Option<Place>,
    pub mount: Mount,
    /// Turned clockwise seen from above (for a lamp on a pole, along the pole), from the way the mount would set it.
    pub yaw: Degrees,
    /// Leaning back: its own ahead raised.
    pub tilt: Degrees,
    /// Leaning to its own starboard.
    pub roll: Degrees,
    pub face: Face,
    #[serde(serialize_with = "optics_name")]
    pub optics: Arc<Optics>,
    /// When it is switched on, each status plain (see [`Status::plain`]).
    pub lit: Vec<Status>,
    /// One entry for each colour whose chromaticity was measured; others are not judged by it.
    pub chromaticity: Vec<Measured>,
    /// What holds it, where the scene says; otherwise a bracket is a plain plate behind the lamp.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bracket: Option<Holding>,
    /// What it takes from its supply, where the scene says.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub takes: Option<Takes>,
}

fn optics_name<S: serde::Serializer>(optics: &Optics, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(&optics.name)
}

/// A lamp in place: where its face is and which way it looks, in the vessel frame.
#[derive(Clone, Debug)]
pub struct PosedLamp {
    /// Middle of the luminous face.
    pub centre: DVec3,
    /// Columns: the lamp's own ahead, port and up.
    pub frame: DMat3,
    pub face: Face,
    pub optics: Arc<Optics>,
}

impl PosedLamp {
    /// A direction of the vessel frame in the lamp's own frame.
    pub fn own(&self, direction: DVec3) -> DVec3 {
        self.frame.transpose() * direction
    }

    /// How far its axis leans from the vessel's upright.
    pub fn lean(&self) -> Degrees {
        Degrees(self.frame.z_axis.angle_between(DVec3::Z).to_degrees())
    }

    /// How far its datum line points to starboard of the centreline; `None` when it leans so far (over 60 degrees)
    /// that its line no longer tells a heading.
    pub fn turned(&self) -> Option<Degrees> {
        (self.lean().0 <= 60.0).then(|| Degrees((-self.frame.x_axis.y).atan2(self.frame.x_axis.x).to_degrees()))
    }
}

/// The shortest turn that brings one unit vector onto another.
fn arc(from: DVec3, to: DVec3) -> DMat3 {
    DMat3::from_quat(DQuat::from_rotation_arc(from, to))
}

/// Bracket plates are folded from sheet of about this thickness (common practice, no source).
const PLATE_THICKNESS: f64 = 0.0015;
/// From the edge of the glowing column back to the plate: the depth of a lens and its base.
pub(super) const LENS_DEPTH: f64 = 0.015;
/// Half the width of a bracket's upright plate: narrow enough to stay out of a masthead light's sector.
const PLATE_HALF_WIDTH: f64 = 0.02;

impl Lamp {
    /// Where and how the lamp sits. `pole_top` and `swing` come from the posed part that carries it: the place and
    /// axis of a pole's top, or the movement of an outboard.
    pub(super) fn posed(&self, scene: &Scene, pole_top: Option<(DVec3, DVec3)>, swing: &DAffine3) -> PosedLamp {
        let vessel = &scene.vessel;
        let outward = self.optics.back.outward();
        let place = self.at.unwrap_or_default();
        // The lamp is laid by its mount, turned by its yaw about what is up for that mount, then leant in its own frame.
        let (centre, before, laid) = match &self.mount {
            Mount::Bracket(along) => (vessel.locate(&place), self.set_along(scene, *along), DMat3::IDENTITY),
            Mount::FlatOnDeck(along) => {
                let normal = vessel.deck_normal(place.forward, place.starboard);
                let sloped = arc(DVec3::Z, normal);
                (vessel.locate(&place), sloped * self.set_along(scene, *along), arc(outward, DVec3::Z))
            }
            Mount::Flush => {
                let (skin, normal) = self.backing(scene, &place);
                (skin + normal * (self.face.width / 2.0 + 0.001), DMat3::IDENTITY, arc(outward, normal))
            }
            Mount::Pole(_) => {
                let (top, axis) = pole_top.unwrap_or((DVec3::ZERO, DVec3::Z));
                (top + axis * (self.face.height / 2.0 + LENS_DEPTH), arc(DVec3::Z, axis), DMat3::IDENTITY)
            }
            Mount::Outboard(_) => (vessel.locate(&place), DMat3::IDENTITY, DMat3::IDENTITY),
        };
        let yawed = DMat3::from_rotation_z(-self.yaw.0.to_radians());
        let leant =
            DMat3::from_rotation_y(-self.tilt.0.to_radians()) * DMat3::from_rotation_x(self.roll.0.to_radians());
        PosedLamp {
            centre: swing.transform_point3(centre),
            frame: swing.matrix3 * before * yawed * laid * leant,
            face: self.face,
            optics: Arc::clone(&self.optics),
        }
    }

    fn set_along(&self, scene: &Scene, along: Along) -> DMat3 {
        let place = self.at.unwrap_or_default();
        let degrees = match along {
            Along::Centreline => 0.0,
            Along::Gunwale if place.starboard < 0.0 => -scene.vessel.gunwale_angle(place.forward).0,
            Along::Gunwale => scene.vessel.gunwale_angle(place.forward).0,
        };
        DMat3::from_rotation_z(-degrees.to_radians())
    }

    /// The point of the hull a flush lamp sits on, and the outward normal there.
    fn backing(&self, scene: &Scene, place: &Place) -> (DVec3, DVec3) {
        let vessel = &scene.vessel;
        let height = vessel.locate(place).z;
        if self.optics.back == Back::Forward {
            return (DVec3::new(0.0, -place.starboard, height), DVec3::NEG_X);
        }
        let (skin, normal) = vessel.starboard_topside(place.forward, height);
        let to_port = place.starboard < 0.0 || (place.starboard == 0.0 && self.optics.back == Back::Starboard);
        if to_port {
            (DVec3::new(skin.x, -skin.y, skin.z), DVec3::new(normal.x, -normal.y, normal.z))
        } else {
            (skin, normal)
        }
    }

    /// The lamp's own mount, as far as it can stand in its light: the upright plate of a bracket, behind the lamp.
    pub(super) fn mount_shape(&self, posed: &PosedLamp) -> Option<Shape> {
        let outward = self.optics.back.outward();
        if !matches!(self.mount, Mount::Bracket(_)) || self.optics.back == Back::Below {
            return None;
        }
        let behind = posed.centre - posed.frame * outward * (self.face.width / 2.0 + LENS_DEPTH);
        let half = DVec3::new(PLATE_THICKNESS / 2.0, PLATE_HALF_WIDTH, self.face.height / 2.0 + LENS_DEPTH);
        let axes =
            DMat3::from_cols(posed.frame * outward, posed.frame * DVec3::Z.cross(outward), posed.frame * DVec3::Z);
        Some(Shape::Cuboid { centre: behind, axes, half })
    }
}
