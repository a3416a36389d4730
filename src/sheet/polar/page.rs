//! What stands round the plot: the title, the legend, the findings in short, the cautions.

use svg::node::element::{Definitions, Path, Pattern, Rectangle, Title};

use super::rings::{self, HATCH};
use crate::{
    light::Colours,
    measure::{Arc, Bearing, trimmed},
    sheet::{
        CAUTIONS, Surveyed, capitalised,
        figure::{hatching_in_words, swatch},
        pen::{FAINT, INK, Pen, SMALL, width_of},
        waiver, wrap,
    },
};

pub(super) const WIDTH: f64 = 210.0;
pub(super) const HEIGHT: f64 = 297.0;
pub(super) const MIDDLE: (f64, f64) = (105.0, 127.0);
const MARGIN: f64 = 13.0;
const LINE: f64 = 4.3;
/// The lowest baseline on the page.
const LOWEST: f64 = 288.0;

/// White paper, and the hatching of shadows.
pub(super) fn paper(pen: &mut Pen) {
    let stroke = Path::new().set("d", "M-1 1 L1 -1 M0 1.8 L1.8 0 M0.8 2.8 L2.8 0.8").set("stroke", INK);
    let pattern = Pattern::new()
        .set("id", "shadow")
        .set("width", 1.8)
        .set("height", 1.8)
        .set("patternUnits", "userSpaceOnUse")
        .add(stroke.set("stroke-width", 0.3));
    pen.add(Definitions::new().add(pattern));
    pen.add(Rectangle::new().set("width", WIDTH).set("height", HEIGHT).set("fill", "#ffffff"));
}

pub(super) fn title(pen: &mut Pen, surveyed: &Surveyed) {
    let Surveyed { scene, fit, survey, judgement } = surveyed;
    let heading = format!("{}, {}", scene.name, fit.name);
    pen.add(Title::new(format!("{heading}, {}", survey.status.in_words())));
    // A long name is set smaller rather than cut.
    let room = WIDTH - 2.0 * MARGIN;
    let size = (7.0 * room / width_of(&heading, 7.0)).clamp(SMALL, 7.0);
    let waiver = waiver::in_short(judgement.rules);
    // Under a waiver the title stands higher, to leave room for it above the plot.
    let raised = if waiver.is_some() { 6.0 } else { 0.0 };
    pen.heavy_words((MARGIN, 18.0 - raised), size, "start", &heading);
    let display = match judgement.display {
        Some(display) => format!("as {} ({})", display.name, display.clause),
        None => "for which these rules hold no display".into(),
    };
    let line = format!("{} m, {}, {display}.", trimmed(scene.vessel.length.0, 2), survey.status.in_words());
    pen.words((MARGIN, 24.2 - raised), 3.7, "start", &capitalised(&line));
    let verdict = format!("{}.", capitalised(&surveyed.verdict_line()));
    pen.heavy_words((MARGIN, 30.0 - raised), 3.9, "start", &verdict);
    if let Some(words) = waiver {
        two_lines(pen, 34.3 - raised, &words);
    }
}

/// Words on at most two lines, smaller where there are many.
fn two_lines(pen: &mut Pen, top: f64, words: &str) {
    let lines = |size: f64| wrap::lines(words, WIDTH - 2.0 * MARGIN, |piece| width_of(piece, size));
    let mut sizes = (0..6).map(|step| SMALL - 0.25 * f64::from(step));
    let size = sizes.clone().find(|size| lines(*size).len() <= 2).or(sizes.next_back()).unwrap_or(SMALL);
    for (index, line) in lines(size).iter().enumerate() {
        pen.words((MARGIN, top + 1.2 * size * index as f64), size, "start", line);
    }
}

/// Legend, findings and cautions, from the bottom of the page up.
pub(super) fn foot(pen: &mut Pen, surveyed: &Surveyed) {
    let cautions = wrapped(CAUTIONS);
    let top = LOWEST - LINE * (cautions.len() as f64 - 1.0);
    for (index, line) in cautions.iter().enumerate() {
        pen.words((MARGIN, top + LINE * index as f64), SMALL, "start", line);
    }
    pen.line((MARGIN, top - 5.0), (WIDTH - MARGIN, top - 5.0), 0.2, "");
    let used = legend(pen, surveyed, 236.0);
    findings(pen, surveyed, used + 2.2, top - 7.0);
}

fn wrapped(text: &str) -> Vec<String> {
    wrap::lines(text, WIDTH - 2.0 * MARGIN, |piece| width_of(piece, SMALL))
}

/// Draws the legend from a baseline down, and gives the baseline of the next free line.
fn legend(pen: &mut Pen, surveyed: &Surveyed, top: f64) -> f64 {
    let second = MARGIN + 52.0;
    let mut y = top;
    for colour in rings::colours_used(surveyed).iter() {
        let one: Colours = [colour].into_iter().collect();
        swatch(pen, (MARGIN, y - 3.0), colour);
        pen.letters((MARGIN + 13.0, y - 1.2), 3.7, &one.letters());
        let hatching = hatching_in_words(colour);
        pen.words((MARGIN + 17.0, y), SMALL, "start", &format!("{}: {hatching}", colour.name()));
        y += LINE + 0.7;
    }
    let mut row = top;
    pen.path(format!("M{second} {} h9 v3.6 h-9 Z", row - 3.0), HATCH, INK, 0.2);
    pen.words((second + 15.0, row), SMALL, "start", "shadow: a tenth or more of the lamp hidden by the part named");
    row += LINE + 0.7;
    for (missing, sign, words) in
        [(true, "\u{2212}W", "must show there and is not made out"), (false, "+W", "is made out there and may not be")]
    {
        let (fill, edge) = rings::difference_ink(missing);
        pen.path(format!("M{second} {} h5 v1.4 h-5 Z", row - 1.9), fill, edge, 0.35);
        pen.letters((second + 9.0, row - 1.2), 3.7, sign);
        pen.words((second + 15.0, row), SMALL, "start", words);
        row += LINE + 0.7;
    }
    y.max(row)
}

/// As many findings as there is room for, one line each.
fn findings(pen: &mut Pen, surveyed: &Surveyed, top: f64, lowest: f64) {
    let all: Vec<Vec<String>> = surveyed
        .judgement
        .findings
        .iter()
        .map(|finding| wrapped(&format!("{}: {}", capitalised(finding.severity.in_words()), finding.what)))
        .collect();
    let room = ((lowest - top) / LINE).floor().max(0.0) as usize + 1;
    let total: usize = all.iter().map(Vec::len).sum();
    let mut y = top;
    let mut left = if total <= room { room } else { room - 1 };
    let mut told = 0;
    for lines in &all {
        if lines.len() > left {
            break;
        }
        for line in lines {
            pen.words((MARGIN, y), SMALL, "start", line);
            y += LINE;
        }
        left -= lines.len();
        told += 1;
    }
    if told < all.len() {
        let more = format!("and {} more, told in full by the survey in text.", all.len() - told);
        pen.words((MARGIN, y), SMALL, "start", &more);
    }
}

/// Bearings round the plot: a tick at every point, figures every thirty degrees, the overtaking sector.
pub(super) fn bearings(pen: &mut Pen, outside: f64) {
    pen.path(pen.along(outside + 0.8, Arc::ALL_ROUND), "none", FAINT, 0.2);
    for bearing in Bearing::points() {
        let long = if bearing.degrees() % 90.0 == 0.0 { 2.6 } else { 1.6 };
        pen.line(pen.at(outside + 0.8, bearing), pen.at(outside + 0.8 + long, bearing), 0.3, "");
    }
    let ahead = pen.at(outside + 11.4, Bearing::AHEAD);
    pen.words((ahead.0, ahead.1 + 1.2), SMALL, "middle", "ahead");
    for thirty in 0..12 {
        let bearing = Bearing::new(f64::from(thirty) * 30.0);
        let at = pen.at(outside + 6.2, bearing);
        pen.words((at.0, at.1 + 1.2), 3.5, "middle", &bearing.to_string());
    }
}
