//! The parts of a scene file, one line a kind: its fields and the reader of each.
//!
//! To add a kind, add its line in [`kind`] and its word in [`KINDS`]. Must never look at how parts stand to lamps.

use glam::DVec3;

use super::{
    decode::place,
    fields::{Desk, Fields, choice_words, filled, list, name, word},
    limits::{diameter, joint_angle, keep_clear, lean, size, stature, transmits, turn},
    mesh_part,
    text::Node,
};
use crate::{
    boat::{Joint, Part, PartKind, Place, Posture},
    measure::{Degrees, Metres, trimmed},
};

/// A part as far as it could be read: name and kind are known even where the rest has a fault.
pub(super) struct PartDraft<'n> {
    pub node: &'n Node,
    pub name: Option<String>,
    pub kind: Option<&'n str>,
    pub part: Option<Part>,
}

/// The words a part may begin with.
const KINDS: [&str; 15] = [
    "Stanchion",
    "Rail",
    "Cabin",
    "Windscreen",
    "Outboard",
    "Mast",
    "Antenna",
    "Arch",
    "Person",
    "Fender",
    "Screen",
    "Box",
    "Cylinder",
    "Capsule",
    "Mesh",
];

pub(super) fn part<'n>(node: &'n Node, desk: &mut Desk) -> PartDraft<'n> {
    let mut draft = PartDraft { node, name: None, kind: None, part: None };
    let Some(word) = node.head() else {
        desk.wrong(node, "a part such as `Stanchion(...)`", choice_words("", &KINDS));
        return draft;
    };
    if !KINDS.contains(&word) {
        let what = format!("there is no part `{word}`");
        desk.fault(node.head_span(), what, choice_words(word, &KINDS));
        return draft;
    }
    draft.kind = Some(word);
    let Some(mut fields) = Fields::opened(node, word, desk) else { return draft };
    draft.name = fields.need("name", name, desk);
    let room = fields.or("keep_clear", keep_clear, Metres(0.0), desk);
    let kind = kind(word, fields, desk);
    let whole = draft.name.clone().zip(kind).zip(room);
    draft.part = whole.map(|((name, kind), keep_clear)| Part { name, kind, keep_clear });
    draft
}

fn kind(word: &str, fields: Fields, desk: &mut Desk) -> Option<PartKind> {
    match word {
        "Stanchion" => filled!(fields, desk, PartKind::Stanchion { at: place, height: size, diameter: diameter }),
        "Rail" => filled!(fields, desk, PartKind::Rail { through: through, diameter: diameter }),
        "Cabin" => filled!(fields, desk, PartKind::Cabin { at: place, length: size, width: size, height: size }),
        "Windscreen" => filled!(fields, desk, PartKind::Windscreen {
            at: place, width: size, height: size, rake: lean; or Degrees(0.0), transmits: transmits,
        }),
        "Outboard" => filled!(fields, desk, PartKind::Outboard {
            at: place,
            cowling: cowling,
            leg: size,
            steering: both_ways; or Joint::default(),
            tilt: one_way; or Joint::default(),
        }),
        "Mast" => filled!(fields, desk, PartKind::Mast {
            at: place, height: size, diameter: diameter, fold: one_way; or Joint::default(),
        }),
        "Antenna" => filled!(fields, desk, PartKind::Antenna {
            at: place, height: size, diameter: diameter, lean: lean; or Degrees(0.0),
        }),
        "Arch" => filled!(fields, desk, PartKind::Arch { at: place, width: size, height: size, diameter: diameter }),
        "Person" => person(fields, desk),
        "Fender" => filled!(fields, desk, PartKind::Fender { at: place, length: size, diameter: diameter }),
        "Screen" => filled!(fields, desk, PartKind::Screen {
            at: place, length: size, height: size, thickness: size; or 0.002,
        }),
        "Box" => filled!(fields, desk, PartKind::Box {
            at: place, length: size, width: size, height: size, yaw: turn; or Degrees(0.0),
        }),
        "Cylinder" => filled!(fields, desk, PartKind::Cylinder { at: place, height: size, diameter: diameter }),
        "Capsule" => filled!(fields, desk, PartKind::Capsule { from: place, to: place, diameter: diameter }),
        _ => mesh_part::mesh(fields, desk),
    }
}

fn person(mut fields: Fields, desk: &mut Desk) -> Option<PartKind> {
    let at = fields.need("at", place, desk);
    let height = fields.need("height", stature, desk);
    let postures = fields.need("posture", postures, desk);
    fields.finish(desk);
    Some(PartKind::Person { at: at?, height: height?, postures: postures? })
}

fn postures(node: &Node, desk: &mut Desk) -> Option<Vec<Posture>> {
    let postures = list(node, desk, "postures", |node, desk| {
        word(node, desk, "posture", &[("Seated", Posture::Seated), ("Standing", Posture::Standing)])
    })?;
    if postures.is_empty() {
        desk.fault(node.span, "a person has at least one posture", "write `[Seated]`, `[Standing]` or both");
        return None;
    }
    Some(postures)
}

fn through(node: &Node, desk: &mut Desk) -> Option<Vec<Place>> {
    let places = list(node, desk, "places", place)?;
    if places.len() < 2 {
        let what = format!("a rail runs through at least two places, and here is {}", places.len());
        desk.fault(node.head_span(), what, "add the places it is bent through, in order");
        return None;
    }
    Some(places)
}

fn cowling(node: &Node, desk: &mut Desk) -> Option<DVec3> {
    let mut fields = Fields::open(node, "Cowling", desk)?;
    let [length, width, height] = ["length", "width", "height"].map(|name| fields.need(name, size, desk));
    fields.finish(desk);
    Some(DVec3::new(length?, width?, height?))
}

/// A joint that goes as far one way as the other unless it says otherwise.
fn both_ways(node: &Node, desk: &mut Desk) -> Option<Joint> {
    joint(node, desk, |most| -most)
}

/// A joint that starts from straight unless it says otherwise.
fn one_way(node: &Node, desk: &mut Desk) -> Option<Joint> {
    joint(node, desk, |_| 0.0)
}

fn joint(node: &Node, desk: &mut Desk, usual_least: fn(f64) -> f64) -> Option<Joint> {
    let mut fields = Fields::open(node, "Joint", desk)?;
    let now = fields.or("now", joint_angle, 0.0, desk);
    let most = fields.need("most", joint_angle, desk);
    let given_least = fields.or("least", joint_angle, most.map_or(0.0, usual_least), desk);
    let [now_span, most_span] = ["now", "most"].map(|name| fields.span(name));
    fields.finish(desk);
    let joint = Joint { now: now?, least: given_least?, most: most? };
    let range = format!("{} to {} degrees", trimmed(joint.least, 3), trimmed(joint.most, 3));
    if joint.least > joint.most {
        desk.fault(
            most_span,
            format!("the joint's range from {range} runs backwards"),
            "`least` must not exceed `most`",
        );
        return None;
    }
    if joint.now < joint.least || joint.now > joint.most {
        let what = format!("the joint stands at {} degrees, outside its limits", trimmed(joint.now, 3));
        desk.fault(now_span, what, format!("set `now` within {range}, or widen the limits"));
        return None;
    }
    Some(joint)
}
