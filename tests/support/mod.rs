//! Boats and lamps for the tests: as little of each as a test needs.
#![allow(dead_code, reason = "each test file uses its own share of these")]

pub mod displays;
pub mod edited;
pub mod launch;
pub mod meshed;
pub mod meshes;
pub mod rig;
pub mod sheet;

use std::sync::Arc;

use lampwalk::{
    boat::{
        Along, Conditions, Face, Fit, Height, HullForm, Lamp, Mount, Part, PartKind, Place, Propulsion, Role, Scene,
        Status, Vessel,
    },
    light::{Back, Optics, preset},
    measure::{Degrees, Knots, Metres},
};

/// A 6 m boat with nothing on her.
pub fn bare_boat() -> Scene {
    boat_of(6.0)
}

/// A power-driven boat of any length, with nothing on her.
pub fn boat_of(length: f64) -> Scene {
    Scene {
        name: "test boat".into(),
        note: String::new(),
        vessel: Vessel {
            length: Metres(length),
            beam: Metres(length * 0.36),
            freeboard: Metres(0.6),
            depth: Metres(0.9),
            propulsion: Propulsion::Power,
            top_speed: Knots(20.0),
            also: Vec::new(),
            high_speed: false,
            statuses: vec![Status::UnderWay, Status::AtAnchor],
            hull: HullForm { sheer: Metres(0.0), deck_camber: Metres(0.0), ..HullForm::default() },
        },
        conditions: Conditions::default(),
        parts: Vec::new(),
        helm: None,
        fits: vec![Fit {
            name: "fit".into(),
            note: String::new(),
            lamps: Vec::new(),
            switches: Vec::new(),
            wiring: None,
        }],
    }
}

/// A place by its height above the water.
pub fn place(forward: f64, starboard: f64, above_waterline: f64) -> Place {
    Place { forward, starboard, height: Height::AboveWaterline(above_waterline) }
}

/// A lamp upright on a bracket, parallel to the centreline.
pub fn lamp(name: &str, role: Role, optics: &str, at: Place) -> Lamp {
    Lamp {
        name: name.into(),
        role,
        at: Some(at),
        mount: Mount::Bracket(Along::Centreline),
        yaw: Degrees(0.0),
        tilt: Degrees(0.0),
        roll: Degrees(0.0),
        face: Face::column(0.03, 0.03),
        optics: preset(optics).expect("a generic lamp"),
        lit: vec![Status::UnderWay],
        chromaticity: Vec::new(),
        bracket: None,
        takes: None,
    }
}

/// The same optics on a foot, so that no bracket plate stands behind the lamp.
pub fn on_a_foot(lamp: Lamp) -> Lamp {
    let optics = Optics { back: Back::Below, ..Optics::clone(&lamp.optics) };
    Lamp { optics: Arc::new(optics), ..lamp }
}

/// An upright round post through the height of a lamp, in water coordinates.
pub fn post(name: &str, forward: f64, starboard: f64, diameter: f64) -> Part {
    Part {
        name: name.into(),
        kind: PartKind::Stanchion { at: place(forward, starboard, -1.0), height: 12.0, diameter },
    }
}

/// Lights that meet the rules on a boat under 12 m: all-round white and sidelights, clear of everything.
pub fn lawful_lamps() -> Vec<Lamp> {
    vec![
        lamp("starboard sidelight", Role::StarboardSidelight, "starboard 1 nm", place(4.0, 1.2, 1.2)),
        lamp("port sidelight", Role::PortSidelight, "port 1 nm", place(4.0, -1.2, 1.2)),
        lamp("all-round white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 3.0)),
    ]
}
