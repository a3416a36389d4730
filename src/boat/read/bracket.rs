//! The brackets of a scene file: folded plates, wedges, sockets and pads, each field with what it is unless said.
//!
//! Sizes here are millimetres, as sheet is marked out, where all else in a scene is metres. Takes the field `bracket` of
//! a lamp. Must never judge whether the metal can be folded so.

use super::{
    fields::{Desk, Fields, Limits, Reader, choice_words, filled, list, maybe, name, word},
    text::{Node, Value},
};
use crate::boat::{
    Holding,
    bracket::{DeckMade, Fastener, Fixing, Flat, Folded, FoldedForm, HoleAsked, Pad, Row, Screws, Socket, Turn, Wedge},
};

const KINDS: [&str; 4] = ["Folded", "Wedge", "Socket", "Pad"];
const FASTENERS: [&str; 2] = ["Rivet", "Bolt"];

macro_rules! millimetres {
    ($($name:ident = $limits:expr;)*) => {
        $(fn $name(node: &Node, desk: &mut Desk) -> Option<f64> {
            const LIMITS: Limits = $limits;
            LIMITS.read(node, desk)
        })*
    };
}

// Far wider than any sensible bracket: they catch slips of the unit and the decimal point.
millimetres! {
    sheet = Limits::within(0.3, 6.0, "a thickness of the sheet", " mm");
    radius = Limits::within(0.0, 50.0, "an inside radius", " mm");
    neutral = Limits::above(0.0, 1.0, "a K factor", "");
    size = Limits::within(5.0, 1000.0, "a size of a bracket", " mm");
    thickness = Limits::within(0.3, 200.0, "a thickness", " mm");
    corner = Limits::within(0.0, 100.0, "a radius of the corners", " mm");
    thread = Limits::within(2.0, 20.0, "a size of a screw", " mm");
    diameter = Limits::within(1.0, 20.0, "a diameter of a fastener", " mm");
    length = Limits::within(2.0, 200.0, "a length of a fastener", " mm");
    apart = Limits::within(5.0, 500.0, "a distance between screws", " mm");
    bored = Limits::within(1.0, 60.0, "a diameter of a hole", " mm");
    gland = Limits::within(0.0, 60.0, "a diameter of the cable hole", " mm");
    layer = Limits::within(0.0, 20.0, "a thickness of a layer", " mm");
    along = Limits::within(-1000.0, 1000.0, "a place of a hole", " mm");
    count_of = Limits::within(1.0, 12.0, "a number of fasteners", "");
}

/// The bracket of a lamp, where it has one; the outer `None` is a fault.
#[allow(clippy::option_option)]
pub(super) fn bracket(node: Option<&Node>, desk: &mut Desk) -> Option<Option<Holding>> {
    let Some(node) = node else { return Some(None) };
    desk.in_field("bracket", |desk| holding(node, desk)).map(Some)
}

fn holding(node: &Node, desk: &mut Desk) -> Option<Holding> {
    match node.head() {
        Some("Folded") => folded(node, desk).map(|plate| Holding::Folded(Box::new(plate))),
        Some("Wedge") => wedge(node, desk).map(|wedge| Holding::Wedge(Box::new(wedge))),
        Some("Socket") => socket(node, desk).map(|socket| Holding::Socket(Box::new(socket))),
        Some("Pad") => pad(node, desk).map(|pad| Holding::Pad(Box::new(pad))),
        head => {
            let guess = choice_words(head.unwrap_or_default(), &KINDS);
            desk.wrong(node, "a bracket such as `Folded(form: L)`", guess);
            None
        }
    }
}

fn folded(node: &Node, desk: &mut Desk) -> Option<Folded> {
    let mut fields = Fields::opened(node, "Folded", desk)?;
    let form = fields.or("form", form, FoldedForm::L, desk);
    let [inside_radius, k, upright] = [("inside_radius", radius as Reader<f64>), ("k", neutral), ("upright", size)]
        .map(|(name, read)| maybe(&mut fields, name, read, desk));
    let usual_width = if form == Some(FoldedForm::Z) { 60.0 } else { 40.0 };
    let [foot, top, width] =
        [("foot", 40.0), ("top", 60.0), ("width", usual_width)].map(|(name, usual)| fields.or(name, size, usual, desk));
    let sheet = fields.or("sheet", sheet, 1.5, desk);
    let alloy = fields.or("alloy", name, "5052-H32".into(), desk);
    let corner = fields.or("corner", corner, 5.0, desk);
    let turn = fields.or("turn", turn, Turn::Away, desk);
    let screws = fields.or("screws", screws, usual_screws(), desk);
    let gland = fields.or("gland", gland, 8.0, desk);
    let holes = fields.or("holes", holes, Vec::new(), desk);
    let fixing = fixing(&mut fields, 2, desk);
    fields.finish(desk);
    Some(Folded {
        form: form?,
        sheet: sheet?,
        alloy: alloy?,
        inside_radius: inside_radius?,
        k: k?,
        upright: upright?,
        foot: foot?,
        top: top?,
        width: width?,
        corner: corner?,
        turn: turn?,
        screws: screws?,
        gland: gland?,
        holes: holes?,
        fixing: fixing?,
    })
}

fn form(node: &Node, desk: &mut Desk) -> Option<FoldedForm> {
    if let Some(kind) = node.head().filter(|head| KINDS[1..].contains(head)) {
        desk.fault(node.head_span(), format!("a `{kind}` is not folded"), format!("write `bracket: {kind}(...)`"));
        return None;
    }
    word(node, desk, "form of a plate", &[("L", FoldedForm::L), ("Z", FoldedForm::Z)])
}

fn turn(node: &Node, desk: &mut Desk) -> Option<Turn> {
    word(node, desk, "turn of the foot", &[("Away", Turn::Away), ("Under", Turn::Under)])
}

/// Lamp bolts of 6 mm are common practice (no source); how far apart is a drawing's figure, to be measured on the lamp.
fn usual_screws() -> Screws {
    Screws { size: 6.0, apart: 30.0, row: Row::Along, metal: "stainless 316".into() }
}

fn screws(node: &Node, desk: &mut Desk) -> Option<Screws> {
    let fields = Fields::open(node, "Screws", desk)?;
    let usual = usual_screws();
    filled!(fields, desk, Screws {
        size: thread; or usual.size,
        apart: apart; or usual.apart,
        row: row; or usual.row,
        metal: name; or usual.metal,
    })
}

fn row(node: &Node, desk: &mut Desk) -> Option<Row> {
    word(node, desk, "row of screws", &[("Along", Row::Along), ("Across", Row::Across)])
}

fn holes(node: &Node, desk: &mut Desk) -> Option<Vec<HoleAsked>> {
    list(node, desk, "holes", |node, desk| {
        let fields = Fields::open(node, "Hole", desk)?;
        filled!(fields, desk, HoleAsked { on: flat, across: along; or 0.0, from_edge: along, diameter: bored })
    })
}

fn flat(node: &Node, desk: &mut Desk) -> Option<Flat> {
    word(node, desk, "part of a plate", &[("Upright", Flat::Upright), ("Foot", Flat::Foot), ("Top", Flat::Top)])
}

/// The fields that say how a bracket is fastened down, which stand among its own.
fn fixing(fields: &mut Fields, rows: u32, desk: &mut Desk) -> Option<Fixing> {
    let fastener = fields.or("fasteners", fastener, Fastener::Rivet { diameter: 5.0, length: None }, desk);
    let metal = maybe(fields, "fastener_metal", name, desk);
    let across = fields.or("fasteners_across", count, 2, desk);
    let rows = fields.or("fastener_rows", count, rows, desk);
    let deck = fields.or("deck", deck, DeckMade { thickness: 6.0, material: "GRP".into() }, desk);
    let [gap, sealant, washer] =
        [("gap", 0.0), ("sealant", 0.5), ("washer", 1.0)].map(|(name, usual)| fields.or(name, layer, usual, desk));
    Some(Fixing {
        fastener: fastener?,
        metal: metal?,
        across: across?,
        rows: rows?,
        deck: deck?,
        gap: gap?,
        sealant: sealant?,
        washer: washer?,
    })
}

fn count(node: &Node, desk: &mut Desk) -> Option<u32> {
    let number = count_of(node, desk)?;
    if number.fract() != 0.0 {
        desk.fault(node.span, format!("there are no {number} fasteners"), "write a whole number");
        return None;
    }
    // From 1 to 12, so the cast is exact.
    Some(number as u32)
}

fn deck(node: &Node, desk: &mut Desk) -> Option<DeckMade> {
    let fields = Fields::open(node, "Deck", desk)?;
    filled!(fields, desk, DeckMade { thickness: thickness, material: name })
}

/// `Rivet(5)`, or `Rivet(diameter: 5, length: 12)`.
fn fastener(node: &Node, desk: &mut Desk) -> Option<Fastener> {
    let Some(kind) = node.head().filter(|head| FASTENERS.contains(head)) else {
        desk.wrong(node, "`Rivet(5)` or `Bolt(6)`", choice_words(node.head().unwrap_or_default(), &FASTENERS));
        return None;
    };
    let (diameter, length) = match &node.value {
        Value::Tuple { items, .. } if items.len() == 1 => (items.first().and_then(|one| diameter(one, desk)), None),
        _ => {
            let mut fields = Fields::opened(node, kind, desk)?;
            let diameter = fields.need("diameter", diameter, desk);
            let length = maybe(&mut fields, "length", length, desk);
            fields.finish(desk);
            (diameter, length?)
        }
    };
    let diameter = diameter?;
    Some(if kind == "Rivet" { Fastener::Rivet { diameter, length } } else { Fastener::Bolt { diameter, length } })
}

fn wedge(node: &Node, desk: &mut Desk) -> Option<Wedge> {
    let mut fields = Fields::opened(node, "Wedge", desk)?;
    let [length, width] = ["length", "width"].map(|name| fields.or(name, size, 60.0, desk));
    let least = fields.or("least", thickness, 3.0, desk);
    let material = fields.or("material", name, "HDPE".into(), desk);
    let corner = fields.or("corner", corner, 5.0, desk);
    let screws = fields.or("screws", screws, usual_screws(), desk);
    let gland = fields.or("gland", gland, 8.0, desk);
    let fixing = fixing(&mut fields, 1, desk);
    fields.finish(desk);
    Some(Wedge {
        length: length?,
        width: width?,
        least: least?,
        material: material?,
        corner: corner?,
        screws: screws?,
        gland: gland?,
        fixing: fixing?,
    })
}

fn socket(node: &Node, desk: &mut Desk) -> Option<Socket> {
    let mut fields = Fields::opened(node, "Socket", desk)?;
    let wall = fields.or("wall", thickness, 2.0, desk);
    let depth = fields.or("depth", size, 40.0, desk);
    let clearance = fields.or("clearance", layer, 0.4, desk);
    let set_screws = fields.or("set_screws", count, 3, desk);
    let screw = fields.or("screw", thread, 5.0, desk);
    let metal = fields.or("metal", name, "aluminium".into(), desk);
    fields.finish(desk);
    Some(Socket {
        wall: wall?,
        depth: depth?,
        clearance: clearance?,
        set_screws: set_screws?,
        screw: screw?,
        metal: metal?,
    })
}

fn pad(node: &Node, desk: &mut Desk) -> Option<Pad> {
    let mut fields = Fields::opened(node, "Pad", desk)?;
    let [length, width] = ["length", "width"].map(|name| fields.or(name, size, 80.0, desk));
    let thickness = fields.or("thickness", thickness, 3.0, desk);
    let corner = fields.or("corner", corner, 8.0, desk);
    let metal = fields.or("metal", name, "aluminium".into(), desk);
    let screws = fields.or("screws", screws, usual_screws(), desk);
    let gland = fields.or("gland", gland, 8.0, desk);
    let fixing = fixing(&mut fields, 2, desk);
    fields.finish(desk);
    Some(Pad {
        length: length?,
        width: width?,
        thickness: thickness?,
        corner: corner?,
        metal: metal?,
        screws: screws?,
        gland: gland?,
        fixing: fixing?,
    })
}
