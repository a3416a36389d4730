//! What stands round the plot: the title, the legend, the findings in short, the cautions.

use svg::node::element::{Definitions, Path, Pattern, Rectangle, Title};

use super::{
    marks::Mark,
    rings::{self, HATCH},
};
use crate::{
    light::Colours,
    measure::{Arc, Bearing, trimmed},
    rules::{Finding, Kind},
    sheet::{
        CAUTIONS, Surveyed, capitalised,
        figure::{hatching_in_words, swatch},
        pen::{FAINT, INK, Pen, SMALL, width_of},
        waiver, wrap,
    },
};

pub(super) const WIDTH: f64 = 210.0;
pub(super) const HEIGHT: f64 = 297.0;
pub(super) const MIDDLE: (f64, f64) = (105.0, 134.0);
const MARGIN: f64 = 13.0;
const LINE: f64 = 4.1;
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

pub(super) fn title(pen: &mut Pen, surveyed: &Surveyed, marks: &[Mark]) {
    let Surveyed { scene, fit, survey, judgement } = surveyed;
    let heading = format!("{}, {}", scene.name, fit.name);
    pen.add(Title::new(format!("{heading}, {}", survey.status.in_words())));
    // A long name is set smaller rather than cut.
    let room = WIDTH - 2.0 * MARGIN;
    let size = (7.0 * room / width_of(&heading, 7.0)).clamp(SMALL, 7.0);
    let waiver = waiver::in_short(judgement.rules);
    // The title stands higher, to leave room above the plot, where there is more to say below it.
    let standing = standing(surveyed, marks);
    let display = match judgement.display {
        Some(display) => format!("as {} ({})", display.name, display.clause),
        None => "for which these rules hold no display".into(),
    };
    let line = format!("{} m, {}, {display}.", trimmed(scene.vessel.length.0, 2), survey.status.in_words());
    let long = width_of(&line, 3.7) > WIDTH - 2.0 * MARGIN;
    let raised = if waiver.is_some() || standing.is_some() || long { 6.0 } else { 0.0 };
    pen.heavy_words((MARGIN, 18.0 - raised), size, "start", &heading);
    let mut top = two_lines(pen, 24.2 - raised, 3.7, &capitalised(&line)) + 1.4;
    let verdict = format!("{}.", capitalised(&surveyed.verdict_line()));
    pen.heavy_words((MARGIN, top), 3.9, "start", &verdict);
    top += 4.6;
    for (words, size) in standing.map(|words| (words, 3.7)).into_iter().chain(waiver.map(|words| (words, SMALL))) {
        top = two_lines(pen, top, size, &words);
    }
}

/// What the plot cannot show: the findings that have no arc, by kind, and whether all is well with those that have.
/// `None` where every finding has its arc.
fn standing(surveyed: &Surveyed, marks: &[Mark]) -> Option<String> {
    let judgement = surveyed.judgement;
    judgement.display?;
    let mut kinds: Vec<(&str, usize)> = Vec::new();
    for finding in judgement.findings.iter().filter(|finding| finding.arc.is_none() && !is_marked(finding, marks)) {
        match kinds.iter_mut().find(|(kind, _)| *kind == finding.kind.in_words()) {
            Some((_, count)) => *count += 1,
            None => kinds.push((finding.kind.in_words(), 1)),
        }
    }
    if kinds.is_empty() {
        return None;
    }
    let told: Vec<String> = kinds
        .iter()
        .map(|(kind, count)| if *count == 1 { (*kind).into() } else { format!("{kind} ({count})") })
        .collect();
    let told = if let [(only, _)] = kinds.as_slice() { (*only).into() } else { told.join("; ") };
    let arcless = judgement.findings.iter().all(|finding| finding.arc.is_none());
    Some(match (marks.is_empty(), arcless) {
        (true, true) => format!("Nothing on this plot is wrong. What was found is not on it: {told}."),
        _ => format!("Found besides, and not on this plot: {told}."),
    })
}

/// Whether a finding without an arc is marked on the rings all the same.
fn is_marked(finding: &Finding, marks: &[Mark]) -> bool {
    finding.kind == Kind::LightNotAllowed && marks.iter().any(|mark| mark.by.is_some() && mark.by == finding.lamp)
}

/// Words on at most two lines, smaller where there are many.
/// Gives the next free baseline.
fn two_lines(pen: &mut Pen, top: f64, largest: f64, words: &str) -> f64 {
    let lines = |size: f64| wrap::lines(words, WIDTH - 2.0 * MARGIN, |piece| width_of(piece, size));
    let mut sizes = (0..6).map(|step| largest - 0.25 * f64::from(step));
    let size = sizes.clone().find(|size| lines(*size).len() <= 2).or(sizes.next_back()).unwrap_or(SMALL);
    let lines = lines(size);
    for (index, line) in lines.iter().enumerate() {
        pen.words((MARGIN, top + 1.2 * size * index as f64), size, "start", line);
    }
    top + 1.2 * size * lines.len() as f64
}

/// Legend, findings and cautions, from the bottom of the page up.
pub(super) fn foot(pen: &mut Pen, surveyed: &Surveyed) {
    let cautions = wrapped(CAUTIONS);
    let top = LOWEST - LINE * (cautions.len() as f64 - 1.0);
    for (index, line) in cautions.iter().enumerate() {
        pen.words((MARGIN, top + LINE * index as f64), SMALL, "start", line);
    }
    pen.line((MARGIN, top - 5.0), (WIDTH - MARGIN, top - 5.0), 0.2, "");
    let used = legend(pen, surveyed, 233.5);
    findings(pen, surveyed, used + 1.6, top - 7.0);
}

fn wrapped(text: &str) -> Vec<String> {
    wrap::lines(text, WIDTH - 2.0 * MARGIN, |piece| width_of(piece, SMALL))
}

/// Draws the legend from a baseline down, and gives the baseline of the next free line.
fn legend(pen: &mut Pen, surveyed: &Surveyed, top: f64) -> f64 {
    const ROW: f64 = LINE + 0.9;
    let mut x = MARGIN;
    for colour in rings::colours_used(surveyed).iter() {
        let one: Colours = [colour].into_iter().collect();
        swatch(pen, (x, top - 3.0), colour);
        pen.letters((x + 12.0, top - 1.2), 3.7, &one.letters());
        let words = format!("{}: {}", colour.name(), hatching_in_words(colour));
        pen.words((x + 15.0, top), SMALL, "start", &words);
        x += 46.0;
    }
    let (second, third) = (top + ROW, top + 2.0 * ROW);
    strips_key(pen, (MARGIN, second));
    let far = trimmed(surveyed.survey.far.0, 2);
    let words = format!("outer strip: what must show; inner: what shows at {far} nm");
    pen.words((MARGIN + 15.0, second), SMALL, "start", &words);
    pen.path(format!("M{MARGIN} {} h9 v3.6 h-9 Z", third - 3.0), HATCH, INK, 0.2);
    let words = "a tenth or more of the lamp is hidden by the part named";
    pen.words((MARGIN + 15.0, third), SMALL, "start", words);
    let x = MARGIN + 107.0;
    pen.dashed(format!("M{x} {} h9 v2.8 h-9 Z", second - 2.6), "none", 0.6);
    pen.path(format!("M{x} {} h9 v1.1 h-9 Z", third - 1.7), INK, INK, 0.35);
    for (y, sign, words) in
        [(second, "\u{2212}W", "must show and is not made out"), (third, "+W", "is made out and may not be")]
    {
        pen.letters((x + 14.0, y - 1.2), 3.7, sign);
        pen.words((x + 19.0, y), SMALL, "start", words);
    }
    third + ROW
}

/// A bit of a double ring.
fn strips_key(pen: &mut Pen, (x, y): (f64, f64)) {
    for top in [y - 3.2, y - 1.2] {
        pen.path(format!("M{x} {top} h9 v1.7 h-9 Z"), "#ffffff", INK, 0.3);
    }
}

/// Between one finding and the next.
const APART: f64 = 1.0;

/// As many findings as there is room for.
fn findings(pen: &mut Pen, surveyed: &Surveyed, top: f64, lowest: f64) {
    let all: Vec<Vec<String>> = surveyed
        .judgement
        .findings
        .iter()
        .map(|finding| wrapped(&format!("{}: {}", capitalised(finding.severity.in_words()), finding.what)))
        .collect();
    let depth = |lines: &Vec<String>| LINE * lines.len() as f64 + APART;
    // The last baseline comes a line and a gap before where the next finding would start.
    let room = lowest - top + LINE + APART;
    let whole = all.iter().map(depth).sum::<f64>() <= room;
    let room = if whole { room } else { room - LINE - APART };
    let (mut y, mut told) = (top, 0);
    for lines in &all {
        if y - top + depth(lines) > room + 1e-6 {
            break;
        }
        for (index, line) in lines.iter().enumerate() {
            pen.words((MARGIN, y + LINE * index as f64), SMALL, "start", line);
        }
        y += depth(lines);
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
