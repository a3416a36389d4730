//! The level cut of a lamp as a polar plot and its light by height where it is weakest, with the limits of Annex I
//! laid over both.

use svg::node::element::{Rectangle, Title};

use super::{LampSheet, candela, height, named, verdict};
use crate::{
    light::supply::volts,
    measure::{Arc, Bearing, Candela, Degrees, trimmed},
    rules::Offer,
    sheet::{
        CAUTIONS, capitalised,
        figure::inks,
        pen::{FAINT, INK, Pen, SMALL, Spot, spot, width_of},
        wrap,
    },
};

const WIDTH: f64 = 210.0;
const HEIGHT: f64 = 306.0;
const MIDDLE: Spot = (105.0, 122.0);
/// Radius of the largest candela drawn.
const RADIUS: f64 = 74.0;
const MARGIN: f64 = 13.0;
const ROOM: f64 = WIDTH - 2.0 * MARGIN;
const LINE: f64 = 4.1;

/// The drawing, as an SVG document of 210 by 306 mm.
pub fn drawing(sheet: &LampSheet) -> String {
    let mut pen = Pen::new(WIDTH, HEIGHT, MIDDLE);
    pen.add(Rectangle::new().set("width", WIDTH).set("height", HEIGHT).set("fill", "#ffffff"));
    let shown = sheet.shown();
    let level = |bearing: Bearing| sheet.beam.intensity_at(bearing, Degrees(0.0));
    let bearings: Vec<Bearing> = (0..1440).map(|n| Bearing::new(f64::from(n) / 4.0)).collect();
    let most = bearings.iter().map(|bearing| level(*bearing).0).fold(0.0, f64::max);
    let most = most.max(shown.map_or(0.0, |offer| offer.due.0)).max(1e-6) * 1.04;
    let radius = |candela: f64| (candela / most).min(1.0) * RADIUS;
    title(&mut pen, sheet);
    let outline: Vec<String> =
        bearings.iter().map(|bearing| spot(pen.at(radius(level(*bearing).0), *bearing))).collect();
    let (tint, line) = inks(sheet.beam.colour);
    let tint = if tint == "#ffffff" { "#f4f5f6" } else { tint };
    let outline = format!("M{} Z", outline.join(" L"));
    pen.path(outline.clone(), tint, "none", 0.0);
    rings(&mut pen, most, &radius);
    pen.path(outline, "none", line, 0.5);
    if let Some(offer) = shown {
        limits(&mut pen, offer, &radius);
    }
    if let Some(offer) = shown {
        upright(&mut pen, sheet, offer);
    }
    ring_words(&mut pen, most, shown.and_then(|offer| offer.dark), &radius);
    foot(&mut pen, sheet, shown);
    pen.finish()
}

fn title(pen: &mut Pen, sheet: &LampSheet) {
    let heading = format!("{}, {} light", sheet.name, sheet.beam.colour);
    pen.add(Title::new(format!("{heading}, level cut")));
    let size = (7.0 * ROOM / width_of(&heading, 7.0)).clamp(SMALL, 7.0);
    pen.heavy_words((MARGIN, 16.0), size, "start", &heading);
    let mut y = 22.0;
    // A little narrower, since heavy letters are wider.
    for line in wrap::lines(&sheet.summary(), ROOM * 0.92, |piece| width_of(piece, 3.7)) {
        pen.heavy_words((MARGIN, y), 3.7, "start", &line);
        y += 4.6;
    }
    let (bearing, elevation, most) = sheet.peak;
    let volts = sheet.supply.map_or(String::new(), |supply| format!(", at {}", volts(supply.at())));
    let peak = format!("{} on {bearing}, {}", candela(most), height(elevation));
    pen.words((MARGIN, y), SMALL, "start", &format!("Level cut, candela{volts}. Brightest: {peak}."));
}

/// The candela that rings stand for: three to six of them at 1, 2 or 5 times a power of ten.
fn ring_candela(most: f64) -> Vec<f64> {
    let power = 10f64.powf((most / 3.0).log10().floor());
    let step = [5.0, 2.0, 1.0].iter().map(|times| times * power).find(|step| most / step >= 3.0).unwrap_or(power);
    (1..).map(|n| f64::from(n) * step).take_while(|candela| *candela <= most).collect()
}

fn rings(pen: &mut Pen, most: f64, radius: &dyn Fn(f64) -> f64) {
    for candela in ring_candela(most) {
        pen.path(pen.along(radius(candela), Arc::ALL_ROUND), "none", FAINT, 0.2);
    }
    pen.path(pen.along(RADIUS + 0.8, Arc::ALL_ROUND), "none", FAINT, 0.2);
    for bearing in Bearing::points() {
        let long = if bearing.degrees() % 90.0 == 0.0 { 2.6 } else { 1.6 };
        pen.line(pen.at(RADIUS + 0.8, bearing), pen.at(RADIUS + 0.8 + long, bearing), 0.3, "");
    }
    for thirty in 0..12 {
        let bearing = Bearing::new(f64::from(thirty) * 30.0);
        let at = pen.at(RADIUS + 6.4, bearing);
        pen.words((at.0, at.1 + 1.2), 3.5, "middle", &bearing.to_string());
    }
}

/// Written where the lamp is to be dark, if it is anywhere.
fn ring_words(pen: &mut Pen, most: f64, dark: Option<Arc>, radius: &dyn Fn(f64) -> f64) {
    let bearing = dark.map_or(Bearing::new(315.0), Arc::middle);
    for one in ring_candela(most) {
        let at = pen.at(radius(one), bearing);
        pen.words((at.0, at.1 + 1.1), SMALL, "middle", &candela(Candela(one)));
    }
}

/// The least that must show, as heavy dashes; the most that may be left outside, as a plain line.
fn limits(pen: &mut Pen, offer: &Offer, radius: &dyn Fn(f64) -> f64) {
    pen.dashed(pen.along(radius(offer.due.0), offer.whole), "none", 0.7);
    let due = format!("{} due", candela(offer.due));
    pen.bent(radius(offer.due.0) - 4.0, offer.whole.middle(), SMALL, &due);
    let Some(dark) = offer.dark else { return };
    let arc = offer.sector.arc();
    for bearing in [arc.from, arc.to()] {
        pen.line(pen.at(0.0, bearing), pen.at(RADIUS, bearing), 0.25, "0.6 1");
    }
    pen.path(pen.along(radius(offer.cut.0), dark), "none", INK, 0.5);
    // Beside the words of the rings, which stand on its middle.
    let beside = dark.from.turned(dark.width * 0.25);
    pen.bent(RADIUS - 5.0, beside, SMALL, &format!("to be cut off: {} at most", candela(offer.cut)));
}

/// How far above and below level the upright plot reaches, in degrees.
const REACH: f64 = 30.0;

/// Its light by height on the bearing where it is weakest, with what Annex I 10 asks at each height.
fn upright(pen: &mut Pen, sheet: &LampSheet, offer: &Offer) {
    const LEFT: f64 = MARGIN + 12.0;
    const BASE: f64 = 248.0;
    let bearing = offer.weakest.bearing;
    let curve: Vec<(f64, f64)> = (-120..=120)
        .map(|quarter| f64::from(quarter) / 4.0)
        .map(|up| (up, sheet.beam.intensity_at(bearing, Degrees(up)).0))
        .collect();
    let share = if offer.whole.contains(bearing) { 1.0 } else { sheet.rules.cutoff.aft_share };
    let due = offer.due.0 * share;
    let most = curve.iter().map(|(_, candela)| *candela).fold(due, f64::max).max(1e-6);
    let place = |(up, candela): (f64, f64)| {
        spot((LEFT + (up + REACH) / (2.0 * REACH) * (ROOM - 12.0), BASE - candela / most * 26.0))
    };
    let line =
        |points: &[(f64, f64)]| format!("M{}", points.iter().map(|one| place(*one)).collect::<Vec<_>>().join(" L"));
    let (tint, ink) = inks(sheet.beam.colour);
    let tint = if tint == "#ffffff" { "#f4f5f6" } else { tint };
    let under = [[(-REACH, 0.0)].as_slice(), &curve, &[(REACH, 0.0)]].concat();
    pen.path(format!("{} Z", line(&under)), tint, "none", 0.0);
    pen.path(line(&curve), "none", ink, 0.5);
    pen.path(line(&[(-REACH, 0.0), (REACH, 0.0)]), "none", INK, 0.3);
    for ten in -3..=3 {
        let up = f64::from(ten) * 10.0;
        pen.path(format!("M{} v1.4", place((up, 0.0))), "none", INK, 0.3);
        let across = LEFT + (up + REACH) / (2.0 * REACH) * (ROOM - 12.0);
        pen.words((across, BASE + 5.0), SMALL, "middle", &trimmed(up, 0));
    }
    for row in sheet.rules.vertical.iter().filter(|row| !row.sailing || offer.sailing.is_some()) {
        let (full, wide, less) = (row.full.min(REACH), row.wide.min(REACH), due * row.share);
        let stairs = [
            (-wide, 0.0),
            (-wide, less),
            (-full, less),
            (-full, due),
            (full, due),
            (full, less),
            (wide, less),
            (wide, 0.0),
        ];
        if row.sailing {
            pen.path(line(&stairs), "none", INK, 0.25);
        } else {
            pen.dashed(line(&stairs), "none", 0.6);
        }
    }
    let sailing = if offer.sailing.is_some() { ", fine line: on sailing vessels under way" } else { "" };
    let title = format!(
        "On {bearing}, where it is weakest, by degrees above level. Dashes: the least that Annex I 10 asks{sailing}."
    );
    pen.words((MARGIN, BASE - 29.0), SMALL, "start", &title);
    pen.words((LEFT - 1.5, BASE - due / most * 26.0 + 1.1), SMALL, "end", &candela(Candela(due)));
}

fn foot(pen: &mut Pen, sheet: &LampSheet, shown: Option<&Offer>) {
    let mut y = 259.0;
    let mut told = |pen: &mut Pen, words: &str| {
        for line in wrap::lines(words, ROOM, |piece| width_of(piece, SMALL)) {
            pen.words((MARGIN, y), SMALL, "start", &line);
            y += LINE;
        }
        y += 1.0;
    };
    if let Some(offer) = shown {
        let name = capitalised(&named(offer));
        let clause = &offer.sector.clause;
        let verdict = verdict(offer, sheet.supply);
        told(pen, &format!("{name} ({clause}), the elevations of Annex I 10 included: {verdict}"));
        let outside = if offer.sector.is_all_round() {
            String::new()
        } else {
            format!(
                " Dots: the edges of its sector. Line outside it: the {} at most that count as cut off, from where \
                 Annex I 9 wants it dark.",
                candela(offer.cut)
            )
        };
        told(
            pen,
            &format!("Dashes: the {} due (Annex I 8), where the whole of it is due.{outside}", candela(offer.due)),
        );
    }
    told(pen, &format!("{} {}", sheet.at_volts(), sheet.colour()));
    told(pen, CAUTIONS);
}
