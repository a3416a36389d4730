//! The sheet of a lamp as text for a terminal of eighty columns.

use std::fmt::Write;

use super::{LampSheet, candela, capitalised_verdict, height};
use crate::{
    light::supply::Supply,
    measure::{Bearing, Degrees, trimmed},
    rules::Offer,
    sheet::{CAUTIONS, wrap},
};

const COLUMNS: usize = 80;

/// Everything that is told of the lamp.
pub fn text(sheet: &LampSheet) -> String {
    let (bearing, elevation, most) = sheet.peak;
    let mut out = wrap::hanging("", &format!("{}, a {} light alone", sheet.name, sheet.beam.colour), COLUMNS);
    out.push_str(&wrap::hanging("", &sheet.summary(), COLUMNS));
    out.push('\n');
    let peak = format!("{} on {bearing}, {}", candela(most), height(elevation));
    out.push_str(&row("peak", &peak));
    out.push_str(&row("volts", &sheet.at_volts()));
    out.push_str(&row("colour", &sheet.colour()));
    for note in sheet.notes {
        out.push_str(&row("read", note));
    }
    if let Some(waiver) = crate::sheet::waiver(sheet.rules) {
        out.push_str(&row("waiver", &waiver));
    }
    for (title, serves) in [("Can serve as", true), ("Cannot serve as", false)] {
        let offers: Vec<&Offer> = sheet.offers.iter().filter(|offer| offer.serves() == serves).collect();
        if !offers.is_empty() {
            let but = if serves && !sheet.is_of_the_colour() { ", were its colour within the limits" } else { "" };
            let _ = writeln!(out, "\n{title}{but}");
            offers.iter().for_each(|offer| out.push_str(&told(offer, sheet.supply)));
        }
    }
    out.push_str("\nLevel, by bearing from its datum line\n");
    out.push_str(&columns((0..36).map(|n| {
        let bearing = Bearing::new(f64::from(n) * 10.0);
        (bearing.to_string(), candela(sheet.beam.intensity_at(bearing, Degrees(0.0))))
    })));
    let _ = writeln!(out, "\nOn {bearing}, by degrees above level");
    let heights = [-90, -60, -45, -30, -25, -20, -15, -10];
    let near = [-15, -10, -5, 0, 5, 10, 15].map(|half| f64::from(half) / 2.0);
    let far = heights.iter().rev().map(|angle| -f64::from(*angle));
    let all = heights.iter().map(|angle| f64::from(*angle)).chain(near).chain(far);
    out.push_str(&columns(
        all.map(|angle| (trimmed(angle, 1), candela(sheet.beam.intensity_at(bearing, Degrees(angle))))),
    ));
    out.push('\n');
    let assumed = "The lamp alone, upright and parallel to the centreline, with nothing in its way; its vertical \
        sector is that of power-driven vessels unless said.";
    out.push_str(&wrap::hanging("", assumed, COLUMNS));
    out.push_str(&wrap::hanging("", CAUTIONS, COLUMNS));
    out
}

fn told(offer: &Offer, supply: Option<&Supply>) -> String {
    let lead = format!(
        "{}, {} nm ({}): {} due",
        offer.kind().in_words(),
        trimmed(offer.range.0, 1),
        offer.lengths.in_words(),
        candela(offer.due)
    );
    let head = wrap::hanging("  ", &lead, COLUMNS);
    head + &wrap::hanging("    ", &capitalised_verdict(offer, supply), COLUMNS)
}

fn row(name: &str, words: &str) -> String {
    wrap::hanging(&format!("{name:<8}"), words, COLUMNS)
}

/// Four pairs a line.
fn columns(pairs: impl Iterator<Item = (String, String)>) -> String {
    let pairs: Vec<String> = pairs.map(|(angle, candela)| format!("{angle:>6} {candela:<11}")).collect();
    pairs.chunks(4).map(|line| format!("{}\n", line.concat().trim_end())).collect()
}
