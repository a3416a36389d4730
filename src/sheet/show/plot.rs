//! The plan of the boat with rings about her: outermost what must show, within it what each fit shows, hatched where
//! something lacks.
//!
//! Takes the facts; gives SVG for inside the page, coloured by its style sheet, with a hand that the script turns. Every colour has
//! its letter. Must never say in colour alone what letters and hatching do not.

use super::facts::{Facts, FitFacts};
use crate::{
    boat::Vessel,
    light::{Colour, Colours},
    measure::{Arc, Bearing, trimmed},
    sheet::{
        pen::{Pen, Spot},
        polar::runs::runs,
    },
};

/// Width and height of the drawing.
const SIDE: f64 = 440.0;
const MIDDLE: Spot = (SIDE / 2.0, SIDE / 2.0);
/// Radius of the outermost ring.
const OUTSIDE: f64 = 194.0;
const GAP: f64 = 8.0;
/// Half the length of the boat at most, and half her breadth.
const BOAT: (f64, f64) = (54.0, 26.0);
/// Radius of the numbers of the most telling places.
const RIM: f64 = 208.0;
const LETTER: f64 = 13.0;
/// An arc has a letter for about so much of its length.
const EVERY: f64 = 150.0;

/// What one stretch of a ring holds.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Band {
    shows: Colours,
    /// Must show and does not.
    missing: Colours,
    /// Shows and may not.
    extra: Colours,
}

/// The drawing. Bow up.
pub(super) fn plot(facts: &Facts) -> String {
    let rings = facts.fits.len() as f64 + 1.0;
    let depth = ((OUTSIDE - 66.0) / rings - GAP).min(40.0);
    let radius = |ring: f64| OUTSIDE - ring * (depth + GAP);
    // A pen of the sheets lends its geometry; what it draws is styled by the page.
    let pen = Pen::new(SIDE, SIDE, MIDDLE);
    let mut out = format!(
        "<svg class=\"plot\" viewBox=\"0 0 {SIDE} {SIDE}\" role=\"img\" aria-labelledby=\"plot-title plot-told\">"
    );
    out += "<title id=\"plot-title\">The boat from above, bow up, with rings about her</title>";
    out += &format!("<desc id=\"plot-told\">{}</desc>", told(facts));
    out += &ring(&pen, radius(0.0), depth, &must(&facts.fits[0]), "must");
    for (index, fit) in facts.fits.iter().enumerate() {
        out += &ring(&pen, radius(index as f64 + 1.0), depth, &shown(fit), "fit");
    }
    out += &boat(&facts.fits[0].surveyed.scene.vessel);
    out += &numbers(&pen, facts);
    out += &hand(radius(rings) + GAP);
    out + "</svg>"
}

/// What the drawing says, for whoever cannot see it.
fn told(facts: &Facts) -> String {
    let mut told = String::from("The outermost ring is what must show.");
    for (index, fit) in facts.fits.iter().enumerate() {
        let name = super::html::escaped(&fit.surveyed.fit.name);
        told += &format!(
            " Ring {} inwards is {name}: wrong from {} of {} places.",
            index + 2,
            fit.wrong_places(),
            fit.told.len()
        );
    }
    told
}

fn must(fit: &FitFacts) -> Vec<(Arc, Band)> {
    let bearings = &fit.surveyed.survey.bearings;
    let band = |bearing: &Bearing| Band {
        shows: fit.surveyed.expected(*bearing).must,
        missing: Colours::NONE,
        extra: Colours::NONE,
    };
    runs(bearings, bearings.iter().map(band).collect())
}

fn shown(fit: &FitFacts) -> Vec<(Arc, Band)> {
    let survey = fit.surveyed.survey;
    let judged = fit.surveyed.judgement.display.is_some();
    let band = |(bearing, shows): (&Bearing, Colours)| {
        let expected = fit.surveyed.expected(*bearing);
        let (missing, extra) =
            if judged { (expected.missing(shows), expected.extra(shows)) } else { (Colours::NONE, Colours::NONE) };
        Band { shows, missing, extra }
    };
    runs(&survey.bearings, survey.bearings.iter().zip(survey.far_showings()).map(band).collect())
}

fn ring(pen: &Pen, outer: f64, depth: f64, bands: &[(Arc, Band)], class: &str) -> String {
    let mut out = format!("<g class=\"ring {class}\">");
    let whole = pen.piece(outer - depth, outer, Arc::ALL_ROUND);
    out += &format!("<path class=\"ground\" fill-rule=\"evenodd\" d=\"{whole}\"/>");
    for (arc, band) in bands {
        out += &stretch(pen, outer, depth, *arc, *band);
    }
    out + "</g>"
}

/// One stretch: its colours one within another, white outermost, each with letters.
fn stretch(pen: &Pen, outer: f64, depth: f64, arc: Arc, band: Band) -> String {
    let all = band.shows.or(band.missing);
    let order = [Colour::White, Colour::Red, Colour::Green, Colour::Yellow];
    let slots: Vec<Colour> = order.into_iter().filter(|colour| all.contains(*colour)).collect();
    let each = depth / slots.len().max(1) as f64;
    let mut out = String::new();
    for (index, colour) in slots.into_iter().enumerate() {
        let top = outer - each * index as f64;
        let letter = colour.letter().to_ascii_lowercase();
        let middle = top - each / 2.0;
        if band.missing.contains(colour) {
            let strokes = pen.across(top - each, top, arc, 5.0);
            out += &format!("<path class=\"lacks {letter}\" d=\"{}\"/>", strokes.trim_end());
            out += &letters(pen, middle, arc, index, &format!("lost {letter}"), &format!("no {}", colour.letter()));
        } else {
            let piece = pen.piece(top - each, top, arc);
            out += &format!("<path class=\"{letter}\" fill-rule=\"evenodd\" d=\"{piece}\"/>");
            let sign = if band.extra.contains(colour) { "+" } else { "" };
            out += &letters(
                pen,
                middle,
                arc,
                index,
                letter.encode_utf8(&mut [0; 4]),
                &format!("{}{sign}", colour.letter()),
            );
        }
    }
    out
}

/// A letter again and again along an arc that has room for it, a little further on for each slot inwards, so that none
/// covers its neighbour's.
fn letters(pen: &Pen, radius: f64, arc: Arc, slot: usize, class: &str, text: &str) -> String {
    let length = arc.width.to_radians() * radius;
    let room = text.chars().count() as f64 * LETTER * 0.65 + 4.0;
    if length < room {
        return String::new();
    }
    let count = (length / EVERY).ceil().max(1.0) as u32;
    // On a short arc there is no room to either side of the middle.
    let first = if length < 4.0 * room { 0.5 } else { 0.35 + 0.2 * slot as f64 };
    (0..count)
        .map(|n| {
            let bearing = arc.from.turned((f64::from(n) + first) / f64::from(count) * arc.width);
            let (x, y) = pen.at(radius, bearing);
            let ground = if class.starts_with("lost") {
                let (wide, high) = (room, LETTER + 2.0);
                format!(
                    "<rect class=\"behind\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{high}\" rx=\"4\"/>",
                    one(x - wide / 2.0),
                    one(y - high / 2.0),
                    one(wide)
                )
            } else {
                String::new()
            };
            // Down by a third of its height, so that it stands in the middle.
            format!(
                "{ground}<text class=\"on {class}\" x=\"{}\" y=\"{}\">{text}</text>",
                one(x),
                one(y + LETTER * 0.35)
            )
        })
        .collect()
}

/// Her hull in plan, bow up.
fn boat(vessel: &Vessel) -> String {
    let length = vessel.length.0;
    let scale = (2.0 * BOAT.0 / length).min(2.0 * BOAT.1 / vessel.beam.0);
    let spot = |forward: f64, side: f64| {
        let across = side * vessel.half_breadth(forward);
        format!("{} {}", one(MIDDLE.0 + across * scale), one(MIDDLE.1 - (forward - length / 2.0) * scale))
    };
    let stations: Vec<f64> = (0..=24).map(|n| length * f64::from(n) / 24.0).collect();
    let right = stations.iter().map(|forward| spot(*forward, 1.0));
    let left = stations.iter().rev().map(|forward| spot(*forward, -1.0));
    let outline: Vec<String> = right.chain(left).collect();
    format!("<path class=\"boat\" d=\"M{} Z\"/>", outline.join(" L"))
}

/// The most telling places, numbered as below on the page.
fn numbers(pen: &Pen, facts: &Facts) -> String {
    let number = |(index, place): (usize, &usize)| {
        let (x, y) = pen.at(RIM, facts.bearings[*place]);
        format!(
            "<circle class=\"spot\" cx=\"{}\" cy=\"{}\" r=\"10\"/><text class=\"spot-number\" x=\"{}\" y=\"{}\">{}</text>",
            one(x),
            one(y),
            one(x),
            one(y + LETTER * 0.35),
            index + 1
        )
    };
    facts.telling.iter().enumerate().map(number).collect()
}

/// Where the customer stands: a line of sight from the boat to him. The script turns it.
fn hand(inner: f64) -> String {
    let ((x, y), tip) = (MIDDLE, MIDDLE.1 - OUTSIDE);
    format!(
        "<g id=\"hand\" class=\"hand\"><path class=\"casing\" d=\"M{x} {} L{x} {}\"/><path d=\"M{x} {} L{x} {}\"/>\
         <circle cx=\"{x}\" cy=\"{}\" r=\"9\"/></g>",
        y - inner,
        tip,
        y - inner,
        tip,
        tip - 14.0
    )
}

/// A figure of the drawing, to a tenth.
fn one(value: f64) -> String {
    trimmed(value, 1)
}
