//! What the figures on paper have in common: signal colours as tint and hatching, the overtaking sector, the hull in plan.
//!
//! Takes a pen, and draws with it. Every colour has its own hatching, so that nothing is lost in grey. Must never know
//! what a figure is of.

use super::pen::{INK, Pen, Spot, spot};
use crate::{boat::Vessel, light::Colour, measure::Arc};

/// Where the overtaking sector begins (COLREGs 1972 Rule 13(b), from memory): more than this many degrees abaft the beam.
const ABAFT_BEAM: f64 = 22.5;

/// The bearings from which a vessel coming up is overtaking.
pub(super) fn overtaking_sector() -> Arc {
    Arc::between(90.0 + ABAFT_BEAM, 270.0 - ABAFT_BEAM)
}

/// Tint and line of a colour. Tints differ in lightness too.
pub(super) fn inks(colour: Colour) -> (&'static str, &'static str) {
    match colour {
        Colour::Red => ("#f3b3a7", "#8f1d12"),
        Colour::Green => ("#c9ead3", "#0c5f37"),
        Colour::White => ("#ffffff", INK),
        Colour::Yellow => ("#fdf0b4", "#7a5f00"),
    }
}

pub(super) fn hatching_in_words(colour: Colour) -> &'static str {
    match colour {
        Colour::Red => "lines along",
        Colour::Green => "lines across",
        Colour::White => "plain",
        Colour::Yellow => "dots",
    }
}

/// A piece of a ring in the tint and hatching of a colour, dark outlined.
pub(super) fn fill(pen: &mut Pen, inner: f64, outer: f64, arc: Arc, colour: Colour) {
    let (tint, line) = inks(colour);
    pen.path(pen.piece(inner, outer, arc), tint, "none", 0.0);
    match colour {
        Colour::Red => {
            for share in [0.25, 0.5, 0.75] {
                pen.path(pen.along(inner + (outer - inner) * share, arc), "none", line, 0.25);
            }
        }
        Colour::Green => pen.path(pen.across(inner, outer, arc, 1.5), "none", line, 0.25),
        Colour::White => {}
        Colour::Yellow => {
            let middle = (inner + outer) / 2.0;
            let count = (arc.width.to_radians() * middle / 2.0).ceil() as u32;
            for n in 0..count {
                let bearing = arc.from.turned((f64::from(n) + 0.5) / f64::from(count) * arc.width);
                pen.dot(pen.at(middle, bearing), 0.4, line, "none");
            }
        }
    }
    pen.path(pen.piece(inner, outer, arc), "none", INK, 0.35);
}

/// A colour as the legend shows it: 9 mm by 3.6 mm.
pub(super) fn swatch(pen: &mut Pen, (x, y): Spot, colour: Colour) {
    let (tint, line) = inks(colour);
    let frame = format!("M{x} {y} h9 v3.6 h-9 Z");
    pen.path(frame.clone(), tint, "none", 0.0);
    let hatching = match colour {
        Colour::Red => format!("M{x} {} h9 M{x} {} h9 M{x} {} h9", y + 0.9, y + 1.8, y + 2.7),
        Colour::Green => (0..6).map(|n| format!("M{} {y} v3.6 ", x + 0.75 + 1.5 * f64::from(n))).collect(),
        Colour::White => String::new(),
        Colour::Yellow => (0..4).map(|n| format!("M{} {} h0.8 ", x + 1.0 + 2.0 * f64::from(n), y + 1.8)).collect(),
    };
    if !hatching.is_empty() {
        pen.path(hatching, "none", line, if colour == Colour::Yellow { 0.8 } else { 0.25 });
    }
    pen.path(frame, "none", INK, 0.35);
}

/// Her hull in plan about a middle, bow up, no longer and no broader than `room` (millimetres). Gives where on the page
/// a place lies that is so many metres forward of the transom and to starboard of the centreline.
pub(super) fn hull(
    pen: &mut Pen,
    vessel: &Vessel,
    middle: Spot,
    room: (f64, f64),
) -> impl Fn(f64, f64) -> Spot + use<> {
    let length = vessel.length.0;
    let scale = (room.0 / length).min(room.1 / vessel.beam.0);
    let place = move |forward: f64, starboard: f64| -> Spot {
        (middle.0 + starboard * scale, middle.1 - (forward - length / 2.0) * scale)
    };
    let stations: Vec<f64> = (0..=48).map(|n| length * f64::from(n) / 48.0).collect();
    let starboard = stations.iter().map(|forward| place(*forward, vessel.half_breadth(*forward)));
    let port = stations.iter().rev().map(|forward| place(*forward, -vessel.half_breadth(*forward)));
    let outline: Vec<String> = starboard.chain(port).map(spot).collect();
    pen.path(format!("M{} Z", outline.join(" L")), "#f4f5f6", INK, 0.4);
    place
}
