//! The plan of a display: round the hull, a ring for each group of lights with the arcs over which they show.
//!
//! Takes the lights of a display; draws them about a middle. Must never know which rule asked for them.

use super::Light;
use crate::{
    boat::Vessel,
    measure::{Arc, Bearing},
    rules::LightKind,
    sheet::{
        figure::{fill, hull, overtaking_sector},
        pen::{INK, Pen, SMALL, Spot, width_of},
    },
};

/// Radius of the outermost ring, in millimetres.
const OUTSIDE: f64 = 31.0;
/// Radius within which the hull lies.
const INSIDE: f64 = 9.0;
const GAP: f64 = 0.8;
/// How far the drawing reaches up and down from its middle.
pub(super) const UP: f64 = OUTSIDE + 1.0;
pub(super) const DOWN: f64 = OUTSIDE + 11.0;

/// Lights that share a ring never show over one arc, unless they are alike.
fn ring(kind: LightKind) -> u8 {
    match kind {
        LightKind::Masthead | LightKind::TowingLight => 0,
        LightKind::AllRoundWhite => 1,
        LightKind::AllRoundRed => 2,
        LightKind::AllRoundGreen => 3,
        LightKind::FlashingYellow | LightKind::SpecialFlashing => 4,
        LightKind::StarboardSidelight | LightKind::PortSidelight | LightKind::Sternlight => 5,
    }
}

pub(super) fn draw(pen: &mut Pen, vessel: &Vessel, lights: &[Light], middle: Spot) {
    pen.about(middle);
    let mut rings: Vec<u8> = lights.iter().map(|light| ring(light.kind)).collect();
    rings.sort_unstable();
    rings.dedup();
    let depth = ((OUTSIDE - INSIDE) / rings.len().max(1) as f64 - GAP).min(5.6);
    for (index, number) in rings.iter().enumerate() {
        let outer = OUTSIDE - index as f64 * (depth + GAP);
        let own: Vec<&Light> = lights.iter().filter(|light| ring(light.kind) == *number).collect();
        one_ring(pen, &own, outer, depth, *number);
    }
    overtaking(pen);
    let room = OUTSIDE - rings.len() as f64 * (depth + GAP);
    // Where lamps stand on her is for the fitter: none is drawn.
    let _ = hull(pen, vessel, middle, (2.0 * room - 2.0, room));
}

/// Of a ring where no light is.
const GROUND: &str = "#eceeef";

fn one_ring(pen: &mut Pen, lights: &[&Light], outer: f64, depth: f64, number: u8) {
    pen.path(pen.piece(outer - depth, outer, Arc::ALL_ROUND), GROUND, "none", 0.0);
    let mut drawn: Vec<LightKind> = Vec::new();
    for light in lights {
        if drawn.contains(&light.kind) {
            continue;
        }
        drawn.push(light.kind);
        let arc = light.sector.arc();
        if light.must {
            fill(pen, outer - depth, outer, arc, light.sector.colour);
        } else {
            pen.dashed(pen.piece(outer - depth, outer, arc), "#ffffff", 0.35);
        }
        let alike: Vec<&str> = lights.iter().filter(|one| one.kind == light.kind).map(|one| one.tag.as_str()).collect();
        tags(pen, arc, outer - depth / 2.0, &alike, number);
    }
}

/// The tags of alike lights: side by side in the middle of their arc, or spread over an all-round ring, each ring from
/// another bearing so that tags of neighbouring rings keep clear.
fn tags(pen: &mut Pen, arc: Arc, radius: f64, tags: &[&str], number: u8) {
    let wide = |tag: &str| width_of(tag, SMALL) + 2.4;
    let total: f64 = tags.iter().map(|tag| wide(tag)).sum();
    let mut run = -total / 2.0;
    for (index, tag) in tags.iter().enumerate() {
        let bearing = if arc.width >= 360.0 {
            Bearing::new(ALL_ROUND_TAGS[usize::from(number) % 6] + 360.0 * index as f64 / tags.len() as f64)
        } else {
            arc.middle().turned(((run + wide(tag) / 2.0) / radius).to_degrees())
        };
        super::drawing::tag(pen, pen.at(radius, bearing), tag, !tag.starts_with('('));
        run += wide(tag);
    }
}

/// Where the first tag of an all-round light stands on each ring.
const ALL_ROUND_TAGS: [f64; 6] = [0.0, 75.0, 30.0, 155.0, 120.0, 0.0];

/// The overtaking sector: its edges across the rings, a bracket outside them, and its name.
fn overtaking(pen: &mut Pen) {
    let sector = overtaking_sector();
    let bracket = OUTSIDE + 2.4;
    for edge in [sector.from, sector.to()] {
        pen.line(pen.at(INSIDE, edge), pen.at(bracket + 1.2, edge), 0.3, "1.6 1");
    }
    pen.path(pen.along(bracket, sector), "none", INK, 0.3);
    pen.bent(bracket + 2.8, Bearing::ASTERN, SMALL, "overtaking sector");
}
