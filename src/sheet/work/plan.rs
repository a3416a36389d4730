//! Drawings in plan for the work sheets: the deck with tapes and spots, and the ground with chalk marks.
//!
//! Takes what marking out and the walk worked out; gives drawings. Must work out no length.

use super::labels::Labels;
use crate::{
    boat::{PartKind, Scene},
    fitting::{
        marking::{FixedPoint, Mark},
        walk_round::WalkRound,
    },
    sheet::{
        figure::hull,
        paper::Drawing,
        pen::{FAINT, INK, Pen, Spot, spot},
    },
};

/// Lettering of the plans: ten points.
const LETTERS: f64 = 3.6;
/// Height of the plan of the ground: what is left of a page below the words before it.
const GROUND: f64 = 125.0;
const TAPE: &str = "#1f4f63";

/// The deck from above: letters at the points that tapes are held to, numbers at the spots.
pub(super) fn deck(scene: &Scene, marks: &[Mark], points: &[FixedPoint], width: f64) -> Drawing {
    let height = 150.0;
    let mut pen = Pen::new(width, height, (0.0, 0.0));
    let mut labels = Labels::on(width, height);
    let place = hull(&mut pen, &scene.vessel, (width / 2.0, height / 2.0), (height - 14.0, width - 30.0));
    let at = |point: glam::DVec3| place(point.x, -point.y);
    for part in &scene.parts {
        if let PartKind::Cabin { at: foot, length, width, .. } | PartKind::Box { at: foot, length, width, .. } =
            &part.kind
        {
            let corner = |ahead: f64, side: f64| {
                spot(place(foot.forward + ahead * length / 2.0, foot.starboard + side * width / 2.0))
            };
            let outline = [corner(1.0, -1.0), corner(1.0, 1.0), corner(-1.0, 1.0), corner(-1.0, -1.0)];
            pen.path(format!("M{} Z", outline.join(" L")), "#ffffff", FAINT, 0.3);
        }
    }
    pen.line(place(0.0, 0.0), place(scene.vessel.length.0, 0.0), 0.15, "5 1.5 1 1.5");
    for mark in marks {
        for tape in mark.crossing.iter().flat_map(|crossing| &crossing.tapes) {
            let (from, to) = (at(tape.from.at), at(mark.at));
            pen.path(format!("M{} L{}", spot(from), spot(to)), "none", TAPE, 0.35);
        }
        if let Some(check) = mark.crossing.as_ref().and_then(|crossing| crossing.check.as_ref()) {
            let (from, to) = (at(check.from.at), at(mark.at));
            pen.line(from, to, 0.2, "1.5 1.2");
        }
    }
    for spot in points.iter().map(|point| at(point.at)) {
        labels.keep_off(spot, 1.2);
        pen.dot(spot, 0.9, "#ffffff", INK);
    }
    for spot in marks.iter().map(|mark| at(mark.at)) {
        labels.keep_off(spot, 1.4);
        pen.dot(spot, 1.2, TAPE, INK);
    }
    for (n, mark) in marks.iter().enumerate() {
        labels.write(&mut pen, at(mark.at), LETTERS + 0.6, &(n + 1).to_string());
    }
    for (point, letter) in points.iter().zip(letters()) {
        labels.write(&mut pen, at(point.at), LETTERS, &letter);
    }
    let name = "Deck in plan, bow up, not to scale for measuring: numbers are lamps, letters are points to tape from; check tapes broken";
    Drawing { name: name.into(), width, height, elements: pen.elements(), true_scale: false }
}

/// A, B, ... Z, AA, AB, ...
pub(super) fn letters() -> impl Iterator<Item = String> {
    let alphabet = || (b'A'..=b'Z').map(|letter| char::from(letter).to_string());
    alphabet().chain(alphabet().flat_map(move |first| alphabet().map(move |second| format!("{first}{second}"))))
}

/// The ground from above: the boat in the middle of her chalk marks.
pub(super) fn ground(scene: &Scene, walk: &WalkRound, width: f64) -> Drawing {
    let size = width.min(GROUND);
    let (middle, reach) = ((width / 2.0, size / 2.0), walk.round.distance.0 + scene.vessel.length.0 * 0.5);
    let furthest =
        walk.edges.iter().flat_map(|edge| &edge.chalks).map(|chalk| (chalk.at - scene.middle()).truncate().length());
    let scale = (size / 2.0 - 7.0) / furthest.fold(walk.round.distance.0, f64::max).min(reach);
    let mut pen = Pen::new(width, size, middle);
    let mut labels = Labels::on(width, size);
    let long = scene.vessel.length.0 * scale;
    let _ = hull(&mut pen, &scene.vessel, middle, (long, f64::INFINITY));
    let at = |point: glam::DVec3| -> Spot {
        let from = point - scene.middle();
        (middle.0 - from.y * scale, middle.1 - from.x * scale)
    };
    pen.dot(middle, walk.round.distance.0 * scale, "none", FAINT);
    for edge in &walk.edges {
        let lamp = edge.chalks[1].at - edge.edge.direction() * walk.round.distance.0;
        let (from, to) = (at(lamp), at(edge.chalks[1].at));
        pen.line(from, to, 0.2, "1.5 1.2");
        for chalk in &edge.chalks {
            pen.dot(at(chalk.at), 0.6, TAPE, TAPE);
            labels.keep_off(at(chalk.at), 0.7);
        }
    }
    for station in &walk.stations {
        labels.keep_off(at(station.chalk.at), 1.4);
        pen.dot(at(station.chalk.at), 1.2, "#ffffff", INK);
    }
    for station in &walk.stations {
        labels.write(&mut pen, at(station.chalk.at), LETTERS + 0.4, &station.chalk.name);
    }
    for edge in &walk.edges {
        let name = edge.chalks[1].name.trim_end_matches('b').to_owned();
        labels.write(&mut pen, at(edge.chalks[1].at), LETTERS, &name);
    }
    let name =
        "The ground in plan, bow up: numbers are marks of the round, E1 and so on edges of sectors (broken lines)";
    Drawing { name: name.into(), width, height: size, elements: pen.elements(), true_scale: false }
}
