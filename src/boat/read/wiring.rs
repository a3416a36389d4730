//! The wiring of a fit as it is written, and what each lamp takes: each field with what it is unless said.
//!
//! Takes the fields `wiring` of a fit and `takes` of a lamp; gives a draft that still has the spans of the names in it,
//! to be held against lamps and switches. Must never judge whether the wiring is safe.

use super::{
    decode::place,
    fields::{Desk, Fields, Limits, choice_words, filled, found, list, maybe, name, word, yes_or_no},
    limits::volts,
    switches::{Named, fed, named},
    text::{Node, Value},
};
use crate::{
    boat::wiring::{Battery, Circuit, Conductors, Copper, Leg, Route, Size, Sizes, Takes, Wiring},
    measure::{AmpHours, Amps, Hours, Metres, Watts, trimmed},
};

/// The wiring as far as it could be read, with the names in it.
pub(super) struct WiringDraft<'n> {
    pub circuits: Vec<CircuitDraft<'n>>,
    pub routes: Vec<RouteDraft>,
    /// `None` when any of it had a fault.
    pub wiring: Option<Wiring>,
}

pub(super) struct CircuitDraft<'n> {
    pub node: &'n Node,
    pub name: Option<String>,
    pub switch: Option<Named>,
    pub lamps: Vec<Named>,
    circuit: Option<Circuit>,
}

pub(super) struct RouteDraft {
    pub lamp: Option<Named>,
    route: Option<Route>,
}

macro_rules! limited {
    ($($name:ident: $make:expr, $kind:ty = $limits:expr;)*) => {
        $(fn $name(node: &Node, desk: &mut Desk) -> Option<$kind> {
            const LIMITS: Limits = $limits;
            LIMITS.read(node, desk).map($make)
        })*
    };
}

// Far wider than any sensible boat: they catch slips of the unit and the decimal point.
limited! {
    watts: Watts, Watts = Limits::above(0.0, 500.0, "a power of a lamp", " W");
    amps: Amps, Amps = Limits::above(0.0, 50.0, "a current of a lamp", " A");
    rating: Amps, Amps = Limits::above(0.0, 500.0, "a rating of a fuse", " A");
    amp_hours: AmpHours, AmpHours = Limits::above(0.0, 5000.0, "a size of the battery", " Ah");
    hours: Hours, Hours = Limits::above(0.0, 48.0, "a length of the night", " h");
    discharge: |share| share, f64 = Limits::above(0.0, 1.0, "a share of the battery", "");
    degrees: |degrees| degrees, f64 = Limits::within(40.0, 300.0, "a temperature of the insulation", " degrees");
    section: |area| area, f64 = Limits::within(0.05, 300.0, "a cross-section", " mm²");
    spare: Metres, Metres = Limits::within(0.0, 20.0, "a spare length", " m");
}

/// What a lamp takes, where it is told; the outer `None` is a fault.
#[allow(clippy::option_option)]
pub(super) fn takes(node: Option<&Node>, desk: &mut Desk) -> Option<Option<Takes>> {
    const KINDS: [&str; 2] = ["Watts", "Amps"];
    let Some(node) = node else { return Some(None) };
    let value = match (&node.value, node.head()) {
        (Value::Tuple { items, .. }, Some(kind)) if items.len() == 1 && KINDS.contains(&kind) => {
            Some((kind, &items[0]))
        }
        _ => None,
    };
    let Some((kind, value)) = value else {
        let guess = choice_words(node.head().unwrap_or_default(), &KINDS);
        desk.wrong(node, "what the lamp takes, such as `Watts(10)` or `Amps(0.8)`", guess);
        return None;
    };
    Some(Some(if kind == "Watts" { Takes::Watts(watts(value, desk)?) } else { Takes::Amps(amps(value, desk)?) }))
}

pub(super) fn wiring<'n>(node: &'n Node, desk: &mut Desk) -> WiringDraft<'n> {
    let mut draft = WiringDraft { circuits: Vec::new(), routes: Vec::new(), wiring: None };
    if let Some(fields) = Fields::open(node, "Wiring", desk) {
        draft.wiring = whole(fields, &mut draft, desk);
    }
    draft
}

/// The wiring, while the names in it are left in the draft.
fn whole<'n>(mut fields: Fields<'n>, draft: &mut WiringDraft<'n>, desk: &mut Desk) -> Option<Wiring> {
    let battery = fields.need("battery", battery, desk);
    let main_fuse = maybe(&mut fields, "main_fuse", rating, desk);
    let panel = fields.need("panel", place, desk);
    let feed = fields.or("feed", feed, Leg::default(), desk);
    let circuits = listed(fields.node("circuits"), "circuits", desk);
    draft.circuits = circuits.unwrap_or_default().iter().map(|node| circuit(node, desk)).collect();
    let routes = listed(fields.node("routes"), "routes", desk);
    draft.routes = routes.unwrap_or_default().iter().map(|node| route(node, desk)).collect();
    let conductors = fields.or("conductors", conductors, Conductors::default(), desk);
    let metal_hull = fields.or("metal_hull", yes_or_no, false, desk);
    let night = maybe(&mut fields, "night", hours, desk);
    let discharge = maybe(&mut fields, "discharge", discharge, desk);
    fields.finish(desk);
    Some(Wiring {
        battery: battery?,
        main_fuse: main_fuse?,
        panel: panel?,
        feed: feed?,
        circuits: circuits.and(draft.circuits.iter().map(|draft| draft.circuit.clone()).collect())?,
        routes: routes.and(draft.routes.iter().map(|draft| draft.route.clone()).collect())?,
        conductors: conductors?,
        metal_hull: metal_hull?,
        night: night?,
        discharge: discharge?,
    })
}

/// The items of a list that may be left out; `None` where something else stands there.
fn listed<'n>(node: Option<&'n Node>, what: &str, desk: &mut Desk) -> Option<&'n [Node]> {
    let Some(node) = node else { return Some(&[]) };
    let Value::List(items) = &node.value else {
        desk.wrong(node, &format!("a list of {what}"), "put them in square brackets: `[..., ...]`");
        return None;
    };
    Some(items)
}

fn battery(node: &Node, desk: &mut Desk) -> Option<Battery> {
    let fields = Fields::open(node, "Battery", desk)?;
    filled!(fields, desk, Battery { at: place, volts: volts, amp_hours: amp_hours })
}

fn circuit<'n>(node: &'n Node, desk: &mut Desk) -> CircuitDraft<'n> {
    let mut draft = CircuitDraft { node, name: None, switch: None, lamps: Vec::new(), circuit: None };
    if let Some(fields) = Fields::open(node, "Circuit", desk) {
        draft.circuit = whole_circuit(fields, &mut draft, desk);
    }
    draft
}

/// The circuit, while the names in it are left in the draft.
fn whole_circuit(mut fields: Fields, draft: &mut CircuitDraft, desk: &mut Desk) -> Option<Circuit> {
    draft.name = fields.need("name", name, desk);
    let switch = maybe(&mut fields, "switch", named, desk);
    let fuse = maybe(&mut fields, "fuse", rating, desk);
    let lamps = fields.need("lamps", fed, desk);
    fields.finish(desk);
    let whole = switch.is_some() && lamps.is_some();
    // What could be read is held against the fit even where the rest has a fault.
    draft.switch = switch.flatten();
    draft.lamps = lamps.unwrap_or_default();
    if !whole {
        return None;
    }
    Some(Circuit {
        name: draft.name.clone()?,
        switch: draft.switch.as_ref().map(|named| named.lamp.clone()),
        fuse: fuse?,
        lamps: draft.lamps.iter().map(|named| named.lamp.clone()).collect(),
    })
}

fn route(node: &Node, desk: &mut Desk) -> RouteDraft {
    let Some(mut fields) = Fields::open(node, "Route", desk) else { return RouteDraft { lamp: None, route: None } };
    let lamp = fields.need("lamp", named, desk);
    let leg = leg(&mut fields, desk);
    fields.finish(desk);
    let route = lamp.as_ref().zip(leg).map(|(named, leg)| Route { lamp: named.lamp.clone(), leg });
    RouteDraft { lamp, route }
}

fn feed(node: &Node, desk: &mut Desk) -> Option<Leg> {
    let mut fields = Fields::open(node, "Feed", desk)?;
    let leg = leg(&mut fields, desk);
    fields.finish(desk);
    leg
}

/// The fields of a cable's way, which stand among others.
fn leg(fields: &mut Fields, desk: &mut Desk) -> Option<Leg> {
    let through = fields.or("through", |node, desk| list(node, desk, "places", place), Vec::new(), desk);
    let spare = maybe(fields, "spare", spare, desk);
    let engine_space = fields.or("engine_space", yes_or_no, false, desk);
    let size = maybe(fields, "size", size, desk);
    Some(Leg { through: through?, spare: spare?, engine_space: engine_space?, size: size? })
}

fn conductors(node: &Node, desk: &mut Desk) -> Option<Conductors> {
    let mut fields = Fields::open(node, "Conductors", desk)?;
    let sizes = fields.or("sizes", sizes, Sizes::default(), desk);
    let copper = fields.or("copper", copper, Copper::default(), desk);
    let insulation = maybe(&mut fields, "insulation", insulation, desk);
    let spare = maybe(&mut fields, "spare", spare, desk);
    fields.finish(desk);
    Some(Conductors { sizes: sizes?, copper: copper?, insulation: insulation?, spare: spare? })
}

fn sizes(node: &Node, desk: &mut Desk) -> Option<Sizes> {
    word(node, desk, "series of sizes", &[("Awg", Sizes::Awg), ("Metric", Sizes::Metric)])
}

fn copper(node: &Node, desk: &mut Desk) -> Option<Copper> {
    word(node, desk, "kind of copper", &[("Tinned", Copper::Tinned), ("Plain", Copper::Plain)])
}

fn insulation(node: &Node, desk: &mut Desk) -> Option<u32> {
    let degrees = degrees(node, desk)?;
    if degrees.fract() != 0.0 {
        let what = format!("insulation is rated in whole degrees, not {}", trimmed(degrees, 3));
        desk.fault(node.span, what, "it is printed on the cable, such as 105");
        return None;
    }
    // From 40 to 300, so the cast is exact.
    Some(degrees as u32)
}

/// `Awg(14)`, `Awg("2/0")` or `Mm2(2.5)`.
fn size(node: &Node, desk: &mut Desk) -> Option<Size> {
    const KINDS: [&str; 2] = ["Awg", "Mm2"];
    let value = match &node.value {
        Value::Tuple { items, .. } if items.len() == 1 => items.first(),
        _ => None,
    };
    match (node.head(), value) {
        (Some("Awg"), Some(value)) => gauge(value, desk).map(Size::Awg),
        (Some("Mm2"), Some(value)) => section(value, desk).map(Size::Metric),
        (head, _) => {
            let guess = choice_words(head.unwrap_or_default(), &KINDS);
            desk.wrong(node, "a size such as `Awg(14)` or `Mm2(2.5)`", guess);
            None
        }
    }
}

/// A gauge as a number, or with a stroke as text.
fn gauge(node: &Node, desk: &mut Desk) -> Option<i8> {
    let gauge = match &node.value {
        Value::Number(number) if number.fract() == 0.0 && (1.0..=40.0).contains(number) => Some(*number as i8),
        Value::Text(text) => ["1/0", "2/0", "3/0", "4/0"]
            .iter()
            .zip([0, -1, -2, -3])
            .find(|(name, _)| **name == text.as_str())
            .map(|(_, gauge)| gauge),
        _ => None,
    };
    if gauge.is_none() {
        let mend =
            "write the gauge as a whole number, such as `Awg(14)`, or with a stroke in quotes, such as `Awg(\"2/0\")`";
        desk.fault(node.span, format!("{} is no wire gauge", found(node)), mend);
    }
    gauge
}
