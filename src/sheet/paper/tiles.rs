//! A drawing larger than a page, spread over several: each page holds a window onto it, with crosses to lay the sheets by.
//!
//! Neighbours share a strip, and the crosses in it lie at the same places of the drawing. What need not be in true scale
//! is made smaller instead.

use super::{
    Drawing,
    ink::{INK, Ink, Letter},
    layout::{BAR, Press, SMALL},
};

/// The strip that neighbouring pages share, millimetres.
const SHARED: f64 = 12.0;
/// Room above the window for its name.
const ABOVE: f64 = 8.0;
/// Half an arm of a cross.
const ARM: f64 = 3.0;

pub(super) fn set(press: &mut Press, drawing: &Drawing) {
    if drawing.true_scale { spread(press, drawing) } else { shrunk(press, drawing) }
}

fn spread(press: &mut Press, drawing: &Drawing) {
    let window = (press.room(), press.depth() - ABOVE - BAR);
    let columns = stretches(drawing.width, window.0);
    let rows = stretches(drawing.height, window.1);
    let count = columns.len() * rows.len();
    let crosses = crosses(&columns, &rows);
    let places = rows.iter().enumerate().flat_map(|(row, down)| {
        columns.iter().enumerate().map(move |(column, across)| ((row + 1, column + 1), *across, *down))
    });
    press.need(press.depth());
    for (n, ((row, column), across, down)) in places.enumerate() {
        if n > 0 {
            press.turn();
        }
        let ((left, wide), (top, high)) = (across, down);
        let seen = (wide, high);
        let words = format!(
            "{}: sheet {} of {count}, row {row}, column {column}; lay the crosses on one another",
            drawing.name,
            n + 1
        );
        let letter = Letter { size: SMALL, bold: true, ink: INK };
        let heading = (press.left(), press.y + SMALL);
        press.page().words(heading, letter, &words);
        press.y += ABOVE;
        press.check_bar();
        let at = (press.left(), press.y);
        press.page().window(at, (left, top), seen, &drawing.elements);
        for cross in &crosses {
            let here = (at.0 + cross.0 - left, at.1 + cross.1 - top);
            if (0.0..=seen.0).contains(&(cross.0 - left)) && (0.0..=seen.1).contains(&(cross.1 - top)) {
                draw_cross(press.page(), here);
            }
        }
        press.y += seen.1;
    }
    press.y += 3.0;
}

/// Where the windows begin along one side, and how much of it each shows.
fn stretches(length: f64, window: f64) -> Vec<(f64, f64)> {
    let step = window - SHARED;
    let count = if length <= window { 1.0 } else { ((length - SHARED) / step).ceil() };
    // At most a few dozen: a drawing is no larger than a boat's bracket.
    (0..count as u32).map(|n| f64::from(n) * step).map(|start| (start, window.min(length - start))).collect()
}

/// Two crosses in the middle of every strip that neighbours share.
fn crosses(columns: &[(f64, f64)], rows: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut all = Vec::new();
    let two = |(start, seen): &(f64, f64)| [0.2, 0.8].map(|share| start + share * seen);
    for (left, _) in columns.iter().skip(1) {
        all.extend(rows.iter().flat_map(two).map(|y| (left + SHARED / 2.0, y)));
    }
    for (top, _) in rows.iter().skip(1) {
        all.extend(columns.iter().flat_map(two).map(|x| (x, top + SHARED / 2.0)));
    }
    all
}

fn draw_cross(page: &mut Ink, (x, y): (f64, f64)) {
    page.rule((x - ARM, y), (x + ARM, y), 0.2, INK);
    page.rule((x, y - ARM), (x, y + ARM), 0.2, INK);
    page.dot((x, y), 1.0, "none");
}

/// Made smaller until it fits.
fn shrunk(press: &mut Press, drawing: &Drawing) {
    let scale = (press.room() / drawing.width).min((press.depth() - ABOVE) / drawing.height).min(1.0);
    press.need(drawing.height * scale);
    let at = (press.left(), press.y);
    let elements = format!("<g transform=\"scale({scale:.4})\">{}</g>", drawing.elements);
    press.page().elements(at, &elements);
    press.y += drawing.height * scale + 2.0;
}
