//! What can be put aboard: generic lamps and plain parts, each of a usual size in a usual place.
//!
//! Takes a scene; gives edits to be tried one after another, since the usual place may be taken. Sizes are this program's
//! own, to start from. Must never judge.

use std::sync::Arc;

use glam::DVec3;

use super::{Edit, LampAt};
use crate::{
    boat::{Along, Face, Height, Joint, Lamp, Mount, Part, PartKind, Place, Posture, Role, Scene, Vessel},
    light::{Colour, Optics, library},
    measure::Degrees,
};

/// What a generic lamp is fitted as; `None` for one that the rules know no role for.
pub fn role_of(optics: &Optics) -> Option<Role> {
    let name = optics.name.as_str();
    let roles = [
        ("starboard", Role::StarboardSidelight),
        ("port", Role::PortSidelight),
        ("bicolour", Role::CombinedSidelights),
        ("three-colour", Role::ThreeColourLantern),
        ("masthead", Role::Masthead),
        ("stern", Role::Sternlight),
        ("towing", Role::TowingLight),
        ("special flashing", Role::SpecialFlashing),
    ];
    let named = roles.into_iter().find(|(first, _)| name.starts_with(first)).map(|(_, role)| role);
    named.or(match optics.beams.first()?.colour {
        Colour::White => Some(Role::AllRoundWhite),
        Colour::Red => Some(Role::AllRoundRed),
        Colour::Green => Some(Role::AllRoundGreen),
        Colour::Yellow => Some(Role::FlashingYellow),
    })
}

/// The generic lamps that can serve as a role.
pub fn lamps_for(role: Role) -> impl Iterator<Item = &'static Arc<Optics>> {
    library().iter().filter(move |optics| role_of(optics) == Some(role))
}

/// How a generic lamp is added to a fit, the usual place first.
pub fn lamp(scene: &Scene, fit: usize, optics: &Arc<Optics>) -> Vec<Edit> {
    let (Some(role), Some(into)) = (role_of(optics), scene.fits.get(fit)) else { return Vec::new() };
    let name = free(role.in_words(), |name| into.lamps.iter().any(|lamp| lamp.name == name));
    let lit = scene.vessel.statuses.clone();
    let made = |at: Place| Edit::AddLamp {
        at: LampAt { fit, lamp: into.lamps.len() },
        lamp: Box::new(Lamp {
            name: name.clone(),
            role,
            at: Some(at),
            mount: Mount::Bracket(Along::Centreline),
            yaw: Degrees(0.0),
            tilt: Degrees(0.0),
            roll: Degrees(0.0),
            face: Face::column(0.03, 0.04),
            optics: Arc::clone(optics),
            lit: lit.clone(),
            chromaticity: Vec::new(),
            bracket: None,
            takes: None,
        }),
    };
    places_for(role, &scene.vessel).into_iter().map(made).collect()
}

/// Where a lamp of a role goes: its usual place, then farther aft and higher.
fn places_for(role: Role, vessel: &Vessel) -> Vec<Place> {
    let length = vessel.length.0;
    let deck = |forward: f64, starboard: f64, up: f64| Place { forward, starboard, height: Height::AboveDeck(up) };
    let side =
        |sign: f64, forward: f64, up: f64| deck(forward, sign * (vessel.half_breadth(forward) - 0.12).max(0.0), up);
    let steps = (0..12).map(f64::from);
    let centred = |forward: f64, up: f64| {
        steps.clone().map(|step| deck((forward - 0.05 * step).max(0.03) * length, 0.0, up + 0.15 * step)).collect()
    };
    match role {
        Role::StarboardSidelight | Role::PortSidelight => {
            let sign = if role == Role::StarboardSidelight { 1.0 } else { -1.0 };
            steps.map(|step| side(sign, (0.72 - 0.04 * step) * length, 0.15 + 0.1 * step)).collect()
        }
        Role::CombinedSidelights | Role::SpecialFlashing => centred(0.9, 0.5),
        Role::Sternlight | Role::TowingLight => centred(0.02, 0.6),
        _ => centred(0.45, 1.9),
    }
}

/// The kinds of part that can be added by name, with a sentence on each.
pub const PARTS: &[(&str, &str)] = &[
    ("stanchion", "an upright round bar"),
    ("rail", "a round bar bent through places: here along the side, on two legs"),
    ("cabin", "a cabin, wheelhouse, console or engine box"),
    ("windscreen", "a flat pane across the boat, raked aft"),
    ("outboard", "an engine on the transom that steers and tilts"),
    ("mast", "a mast or pole that may fold; lamps can stand on its top"),
    ("antenna", "a thin whip"),
    ("arch", "two legs and a bar across"),
    ("person", "somebody aboard, standing or seated"),
    ("fender", "a fender hanging from the gunwale"),
    ("screen", "a matt black plate beside a sidelight"),
    ("box", "a plain box"),
    ("cylinder", "a plain upright round block"),
];

/// How a part of a kind is added, the usual place first; none for a kind that is not in [`PARTS`].
pub fn part(scene: &Scene, kind: &str) -> Vec<Edit> {
    let name = free(kind, |name| scene.part(name).is_some());
    let vessel = &scene.vessel;
    (0..8)
        .filter_map(|step| {
            let kind = kind_at(vessel, kind, f64::from(step) * 0.07)?;
            Some(Edit::AddPart { at: scene.parts.len(), part: Box::new(Part { name: name.clone(), kind }) })
        })
        .collect()
}

/// A part of a kind, moved aft by a share of the length from its usual place.
fn kind_at(vessel: &Vessel, kind: &str, aft: f64) -> Option<PartKind> {
    let length = vessel.length.0;
    let along = |share: f64| (share - aft).max(0.05) * length;
    let deck = |share: f64, starboard: f64| Place { forward: along(share), starboard, height: Height::AboveDeck(0.0) };
    let edge = |share: f64| (vessel.half_breadth(along(share)) - 0.06).max(0.0);
    let joint = |most: f64, least: f64| Joint { now: 0.0, least, most };
    Some(match kind {
        "stanchion" => PartKind::Stanchion { at: deck(0.6, edge(0.6)), height: 0.6, diameter: 0.025 },
        "rail" => {
            let up = |share: f64, up: f64| Place { height: Height::AboveDeck(up), ..deck(share, edge(share)) };
            let through = vec![up(0.7, 0.0), up(0.7, 0.5), up(0.5, 0.5), up(0.5, 0.0)];
            PartKind::Rail { through, diameter: 0.025 }
        }
        "cabin" => {
            PartKind::Cabin { at: deck(0.45, 0.0), length: 0.2 * length, width: 0.45 * vessel.beam.0, height: 0.9 }
        }
        "windscreen" => PartKind::Windscreen {
            at: deck(0.5, 0.0),
            width: 0.5 * vessel.beam.0,
            height: 0.4,
            rake: Degrees(15.0),
            transmits: 0.85,
        },
        "outboard" => PartKind::Outboard {
            at: Place { forward: 0.0, starboard: aft * length, height: Height::AboveWaterline(0.45) },
            cowling: DVec3::new(0.5, 0.35, 0.5),
            leg: 0.9,
            steering: joint(35.0, -35.0),
            tilt: joint(65.0, 0.0),
        },
        "mast" => PartKind::Mast { at: deck(0.4, 0.0), height: 1.8, diameter: 0.04, fold: joint(90.0, 0.0) },
        "antenna" => PartKind::Antenna { at: deck(0.35, edge(0.35)), height: 1.5, diameter: 0.012, lean: Degrees(5.0) },
        "arch" => PartKind::Arch { at: deck(0.25, 0.0), width: 0.8 * vessel.beam.0, height: 1.7, diameter: 0.05 },
        "person" => {
            PartKind::Person { at: deck(0.35, 0.0), height: 1.75, postures: vec![Posture::Standing, Posture::Seated] }
        }
        "fender" => {
            let at = Place { forward: along(0.5), starboard: edge(0.5) + 0.18, height: Height::AboveGunwale(0.0) };
            PartKind::Fender { at, length: 0.5, diameter: 0.14 }
        }
        "screen" => PartKind::Screen { at: deck(0.7, edge(0.7) - 0.06), length: 0.3, height: 0.15, thickness: 0.003 },
        "box" => PartKind::Box { at: deck(0.55, 0.0), length: 0.5, width: 0.4, height: 0.35, yaw: Degrees(0.0) },
        "cylinder" => PartKind::Cylinder { at: deck(0.55, 0.0), height: 0.3, diameter: 0.3 },
        _ => return None,
    })
}

/// A name that is not taken: the plain one, or with a number behind it.
pub fn free(name: &str, taken: impl Fn(&str) -> bool) -> String {
    if !taken(name) {
        return name.into();
    }
    (2..).map(|n| format!("{name} {n}")).find(|name| !taken(name)).unwrap_or_else(|| name.into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{boat::read::scene_text, edit::Document};

    const BOATS: [&str; 4] = [
        include_str!("../../scenes/sandpiper.ron"),
        include_str!("../../scenes/marigold.ron"),
        include_str!("../../scenes/harrier.ron"),
        include_str!("../../scenes/curlew.ron"),
    ];

    fn one_of(document: &mut Document, edits: Vec<Edit>) -> bool {
        edits.into_iter().any(|edit| document.apply(edit).is_ok())
    }

    #[test]
    fn every_generic_lamp_and_every_kind_of_part_finds_a_place_on_every_boat_twice() {
        for text in BOATS {
            let scene = scene_text(text, "boat", None).expect("a sound scene").scene;
            for optics in library() {
                let mut document = Document::of_text(text).expect("a sound scene");
                for _ in 0..2 {
                    let edits = lamp(document.scene(), 0, optics);
                    assert!(one_of(&mut document, edits), "{} on {}", optics.name, scene.name);
                }
                assert_eq!(document.scene().fits[0].lamps.len(), scene.fits[0].lamps.len() + 2);
            }
            for (kind, _) in PARTS {
                let mut document = Document::of_text(text).expect("a sound scene");
                let edits = part(document.scene(), kind);
                assert!(one_of(&mut document, edits), "{kind} on {}", scene.name);
                let added = document.scene().parts.last().expect("the part");
                assert_eq!(added.kind.in_words(), *kind);
            }
        }
    }

    #[test]
    fn every_role_has_a_lamp_that_serves_as_it() {
        for role in Role::ALL {
            assert!(lamps_for(*role).count() > 0, "{role:?}");
        }
    }

    #[test]
    fn names_that_are_taken_get_a_number() {
        assert_eq!(free("mast", |_| false), "mast");
        assert_eq!(free("mast", |name| ["mast", "mast 2"].contains(&name)), "mast 3");
    }
}
