//! The sheet of a lamp as one JSON object, for other programs. Its first key is `"schema": 1`; it only ever grows.

use serde::Serialize;

use super::{LampSheet, capitalised_verdict};
use crate::{
    light::Chromaticity,
    measure::{Arc, Bearing, Candela, Degrees},
    rules::{Edge, Offer, Weakest},
    sheet::{
        CAUTIONS,
        json::{layout, rounded},
        waiver::{OneWaiver, one_waiver},
    },
};

/// Everything that is told of the lamp.
pub fn json(sheet: &LampSheet) -> String {
    let (bearing, elevation, candela) = sheet.peak;
    let bearings: Vec<Bearing> = (0..720).map(|n| Bearing::new(f64::from(n) / 2.0)).collect();
    let level = bearings.iter().map(|bearing| cd(sheet.beam.intensity_at(*bearing, Degrees(0.0)))).collect();
    layout::to_string(&Whole {
        schema: 1,
        lamp: sheet.name,
        colour: sheet.beam.colour.name(),
        rules: &sheet.rules.name,
        waiver: one_waiver(sheet.rules),
        serves: sheet.serves(),
        summary: sheet.summary(),
        supply: one_supply(sheet),
        chromaticity: one_tint(sheet),
        read: sheet.notes,
        peak: Direction {
            bearing_degrees: degrees(bearing.degrees()),
            elevation_degrees: degrees(elevation.0),
            candela: cd(candela),
        },
        offers: sheet.offers.iter().map(|offer| one_offer(sheet, offer)).collect(),
        bearings_degrees: bearings.iter().map(|bearing| degrees(bearing.degrees())).collect(),
        level_candela: level,
        cautions: CAUTIONS,
    })
}

/// The whole object.
#[derive(Serialize)]
struct Whole<'a> {
    /// Version of this layout: 1. Keys are only ever added.
    schema: u32,
    /// What the file is called.
    lamp: &'a str,
    /// The colour that its light was said to be.
    colour: &'static str,
    /// Name of the rule set.
    rules: &'a str,
    /// The waiver that the rule set is; null when it is none.
    waiver: Option<OneWaiver<'a>>,
    /// Whether it can serve as anything, its colour counted where that was measured.
    serves: bool,
    /// The verdict in a sentence or two.
    summary: String,
    /// What it gets; null where nothing is told of how its light depends on voltage.
    supply: Option<OneSupply>,
    /// Its colour as measured; null where it was not.
    chromaticity: Option<OneTint<'a>>,
    /// How the file was read, in sentences.
    read: &'a [String],
    /// Where it is brightest.
    peak: Direction,
    /// Everything that a light of its colour can be, by kind and rising range.
    offers: Vec<OneOffer<'a>>,
    /// The bearings of `level_candela`, rising from its datum line.
    bearings_degrees: Vec<f64>,
    /// Its level cut.
    level_candela: Vec<f64>,
    /// What the figures do not replace. To be passed on with them.
    cautions: &'static str,
}

#[derive(Serialize)]
struct OneSupply {
    /// The voltage at its terminals, at which every figure holds.
    volts: f64,
    /// The share of its full light that it gives at that.
    light_share: f64,
    /// The least voltage of its full light.
    full_volts: f64,
    /// The voltages that its dependence tells of.
    least_volts: f64,
    most_volts: f64,
}

#[derive(Serialize)]
struct OneTint<'a> {
    x: f64,
    y: f64,
    /// How far outside the limits of its colour; 0 within them, null where the rules have none for it.
    outside: Option<f64>,
    clause: Option<&'a str>,
}

#[derive(Serialize)]
struct Direction {
    /// Clockwise from its datum line.
    bearing_degrees: f64,
    /// Above level positive.
    elevation_degrees: f64,
    candela: f64,
}

/// One kind of light with one range.
#[derive(Serialize)]
struct OneOffer<'a> {
    /// The kind of light in words.
    light: &'static str,
    clause: &'a str,
    range_nm: f64,
    /// The lengths of vessel that owe this range: from, and under; null where nothing bounds them above.
    length_from_m: f64,
    length_under_m: Option<f64>,
    /// The least intensity for the range.
    due_candela: f64,
    /// Whether it is strong enough and cut off well, on a power-driven vessel at least.
    serves: bool,
    /// The same on a sailing vessel under way; null for lights that those do not show.
    serves_sailing: Option<bool>,
    /// What it keeps as a share of what is due: 1 and more is enough.
    ratio: f64,
    /// Where it is weakest against what is due there, power-driven and sailing.
    weakest: OneWeakest,
    weakest_sailing: Option<OneWeakest>,
    /// The arc on which the whole of it is due, and the one on which it must be cut off; null for an all-round light.
    whole: OneArc,
    dark: Option<OneArc>,
    /// The most it may give where it must be cut off.
    cut_candela: f64,
    /// What is wrong at an edge of its sector, or null.
    edge: Option<OneEdge>,
    /// The least voltage at which it can serve so; null where more voltage mends nothing, or nothing is known of it.
    least_volts: Option<f64>,
    /// The same in words.
    verdict: String,
}

#[derive(Serialize)]
struct OneWeakest {
    bearing_degrees: f64,
    elevation_degrees: f64,
    candela: f64,
    /// What is due there.
    due_candela: f64,
}

#[derive(Serialize)]
struct OneArc {
    /// Its first edge, clockwise from the datum line, and how far it runs clockwise.
    from_degrees: f64,
    width_degrees: f64,
}

#[derive(Serialize)]
struct OneEdge {
    /// `spills` (it shows where it must be cut off) or `ends-soon` (it is dark where it must still show).
    kind: &'static str,
    /// Where that is the worst.
    bearing_degrees: f64,
    /// What it gives there; null for `ends-soon`.
    candela: Option<f64>,
}

fn one_supply(sheet: &LampSheet) -> Option<OneSupply> {
    let supply = sheet.supply?;
    let (least, most) = supply.dependence().reach();
    Some(OneSupply {
        volts: rounded(supply.at().0, 3),
        light_share: rounded(supply.share(), 4),
        full_volts: rounded(supply.dependence().full().0, 3),
        least_volts: rounded(least.0, 3),
        most_volts: rounded(most.0, 3),
    })
}

fn one_tint<'a>(sheet: &'a LampSheet) -> Option<OneTint<'a>> {
    let tint = sheet.tint.as_ref();
    sheet.chromaticity.map(|Chromaticity { x, y }| OneTint {
        x,
        y,
        outside: tint.map(|tint| rounded(tint.outside(), 4)),
        clause: tint.map(|tint| tint.row.clause.as_str()),
    })
}

fn one_offer<'a>(sheet: &LampSheet, offer: &'a Offer) -> OneOffer<'a> {
    OneOffer {
        light: offer.kind().in_words(),
        clause: &offer.sector.clause,
        range_nm: offer.range.0,
        length_from_m: offer.lengths.from,
        length_under_m: Some(offer.lengths.under).filter(|under| under.is_finite()),
        due_candela: cd(offer.due),
        serves: offer.serves(),
        serves_sailing: offer.sailing.map(|_| offer.serves_sailing()),
        ratio: rounded(offer.ratio(), 4),
        weakest: weakest(offer, offer.weakest),
        weakest_sailing: offer.sailing.map(|one| weakest(offer, one)),
        whole: one_arc(offer.whole),
        dark: offer.dark.map(one_arc),
        cut_candela: cd(offer.cut),
        edge: offer.edge.map(one_edge),
        least_volts: sheet.supply.and_then(|supply| offer.least_volts(supply)).map(|volts| rounded(volts.0, 3)),
        verdict: capitalised_verdict(offer, sheet.supply),
    }
}

fn weakest(offer: &Offer, one: Weakest) -> OneWeakest {
    OneWeakest {
        bearing_degrees: degrees(one.bearing.degrees()),
        elevation_degrees: degrees(one.elevation.0),
        candela: cd(one.candela),
        due_candela: cd(Candela(offer.due.0 * one.share)),
    }
}

fn one_arc(arc: Arc) -> OneArc {
    OneArc { from_degrees: degrees(arc.from.degrees()), width_degrees: degrees(arc.width) }
}

fn one_edge(edge: Edge) -> OneEdge {
    match edge {
        Edge::Spills { bearing, candela, .. } => {
            OneEdge { kind: "spills", bearing_degrees: degrees(bearing.degrees()), candela: Some(cd(candela)) }
        }
        Edge::EndsSoon { bearing } => {
            OneEdge { kind: "ends-soon", bearing_degrees: degrees(bearing.degrees()), candela: None }
        }
    }
}

fn degrees(angle: f64) -> f64 {
    rounded(angle, 3)
}

fn cd(value: Candela) -> f64 {
    rounded(value.0, 4)
}
