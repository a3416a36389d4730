//! The limits that single values of a scene must keep, as readers.
//!
//! Far wider than any sensible boat: they catch slips of the unit, the sign and the decimal point, not odd tastes.

use super::{
    fields::{Desk, Limits},
    text::Node,
};
use crate::{
    boat::Vessel,
    measure::{Degrees, Knots, Metres, NauticalMiles, Volts},
};

macro_rules! limited {
    ($($(#[$doc:meta])* $name:ident: $make:expr, $kind:ty = $limits:expr;)*) => {
        $($(#[$doc])* pub(super) fn $name(node: &Node, desk: &mut Desk) -> Option<$kind> {
            const LIMITS: Limits = $limits;
            LIMITS.read(node, desk).map($make)
        })*
    };
}

fn plain(value: f64) -> f64 {
    value
}

limited! {
    vessel_length: Metres, Metres = Limits::above(Vessel::LENGTH_OVER.0, Vessel::LENGTH_MOST.0, "a length of the vessel", " m");
    beam: Metres, Metres = Limits::above(0.3, 20.0, "a beam", " m");
    freeboard: Metres, Metres = Limits::above(0.0, 6.0, "a freeboard", " m");
    depth: Metres, Metres = Limits::above(0.0, 12.0, "a depth", " m");
    top_speed: Knots, Knots = Limits::within(0.0, Vessel::TOP_SPEED_MOST.0, "a top speed", " kn");
    sheer: Metres, Metres = Limits::within(0.0, 4.0, "a sheer", " m");
    flare: Degrees, Degrees = Limits::within(0.0, 45.0, "a flare", " degrees");
    camber: Metres, Metres = Limits::within(0.0, 1.0, "a deck camber", " m");
    bulwark: Metres, Metres = Limits::within(0.0, 3.0, "a bulwark", " m");
    transom: plain, f64 = Limits::above(0.0, 1.0, "a transom's share of the beam", "");

    visibility: NauticalMiles, NauticalMiles = Limits::within(0.1, 50.0, "a visibility", " nm");
    eye: Metres, Metres = Limits::within(0.0, 50.0, "a height of eye", " m");
    near: Metres, Metres = Limits::within(3.0, 1000.0, "a radius of the near ring", " m");
    far: NauticalMiles, NauticalMiles = Limits::within(0.01, 6.0, "a radius of the far ring", " nm");
    trim: Degrees, Degrees = Limits::within(-20.0, 20.0, "a trim", " degrees");
    heel: Degrees, Degrees = Limits::within(0.0, 45.0, "a heel", " degrees");
    swell: Metres, Metres = Limits::within(0.0, 15.0, "a height of the swell", " m");
    steering: Degrees, Degrees = Limits::within(0.0, 90.0, "a steering angle", " degrees");

    /// The length, width or height of a part.
    size: plain, f64 = Limits::above(0.0, 40.0, "a size", " m");
    /// The room that is to stay free about a part.
    keep_clear: Metres, Metres = Limits::within(0.0, 5.0, "a room to keep clear", " m");
    diameter: plain, f64 = Limits::above(0.0, 5.0, "a diameter", " m");
    stature: plain, f64 = Limits::within(0.5, 2.5, "a person's height", " m");
    lean: Degrees, Degrees = Limits::within(-85.0, 85.0, "a lean", " degrees");
    /// A turn, or a lamp's tilt or roll.
    turn: Degrees, Degrees = Limits::within(-360.0, 360.0, "an angle", " degrees");
    joint_angle: plain, f64 = Limits::within(-90.0, 90.0, "a joint's angle", " degrees");
    transmits: plain, f64 = Limits::within(0.0, 1.0, "a share of light let through", "");
    /// A coordinate of the CIE 1931 diagram.
    chromatic: plain, f64 = Limits::within(0.0, 1.0, "a coordinate of the colour diagram", "");
    volts: Volts, Volts = Limits::above(0.0, 300.0, "a voltage", " V");
    face_size: plain, f64 = Limits::above(0.0, 0.5, "a size of a luminous face", " m");
    /// Any distance of a place; held against the vessel later.
    distance: plain, f64 = Limits::within(-100.0, 100.0, "a distance", " m");
}
