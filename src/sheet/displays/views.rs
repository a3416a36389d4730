//! What others see of a display from ahead, from either bow and from astern: a frame for each, with every light that
//! shows there as a disc with the letter of its colour, lights of one vertical line joined, in their order.
//!
//! Takes the lights of a display and their columns; draws frames side by side. Heights and distances are not to scale.
//! Must never know which rule asked for the lights.

use svg::node::element::{Circle, Rectangle};

use super::{
    Light,
    columns::{Column, ColumnKind},
};
use crate::{
    measure::Bearing,
    rules::LightKind,
    sheet::{
        figure::inks,
        pen::{FAINT, INK, Pen, SMALL, Spot, two},
    },
};

/// From one light of a line to the next a column takes 11 mm, a view this much of it.
const SCALE: f64 = 0.6;
const DISC: f64 = 2.7;
/// From one column to the next.
const ACROSS: f64 = 7.0;
const GAP: f64 = 2.0;
/// Room for the title above the lights, and for the words below them.
const TITLE: f64 = 6.0;
const FOOT: f64 = 6.2;

/// A direction that she is looked at from.
struct View {
    title: &'static str,
    /// Where the onlooker is, degrees clockwise from right ahead of her.
    bearing: f64,
    /// What of her lies to the onlooker's left and right.
    sides: [&'static str; 2],
}

const VIEWS: [View; 4] = [
    View { title: "from ahead", bearing: 0.0, sides: ["starboard", "port"] },
    View { title: "off her starboard bow", bearing: 45.0, sides: ["stern", "bow"] },
    View { title: "off her port bow", bearing: 315.0, sides: ["bow", "stern"] },
    View { title: "from astern", bearing: 180.0, sides: ["port", "starboard"] },
];

/// How high the frames are.
pub(super) fn height(columns: &[Column]) -> f64 {
    TITLE + FOOT + 2.0 * DISC + SCALE * (highest(columns) - lowest(columns)) + 2.0
}

fn highest(columns: &[Column]) -> f64 {
    columns.iter().map(Column::top).fold(0.0, f64::max)
}

fn lowest(columns: &[Column]) -> f64 {
    columns.iter().map(Column::lowest).fold(f64::INFINITY, f64::min)
}

/// Draws the four frames, their left upper corner given, over a width.
pub(super) fn draw(pen: &mut Pen, lights: &[Light], columns: &[Column], (left, top): Spot, width: f64) {
    let each = (width - 3.0 * GAP) / 4.0;
    for (index, view) in VIEWS.iter().enumerate() {
        frame(pen, view, lights, columns, (left + (each + GAP) * index as f64, top), each);
    }
}

fn frame(pen: &mut Pen, view: &View, lights: &[Light], columns: &[Column], (left, top): Spot, width: f64) {
    let high = height(columns);
    let outline = Rectangle::new()
        .set("x", two(left))
        .set("y", two(top))
        .set("width", two(width))
        .set("height", two(high))
        .set("fill", "none")
        .set("stroke", FAINT)
        .set("stroke-width", 0.25);
    pen.add(outline);
    let middle = left + width / 2.0;
    pen.heavy_words((middle, top + 4.4), SMALL, "middle", view.title);
    let [to_left, to_right] = view.sides;
    pen.words((left + 1.6, top + high - 1.6), SMALL, "start", to_left);
    pen.words((left + width - 1.6, top + high - 1.6), SMALL, "end", to_right);
    let stacks = stacks(view, lights, columns);
    if stacks.is_empty() {
        pen.words((middle, top + high / 2.0 + 1.0), SMALL, "middle", "no light");
    }
    let base = top + high - FOOT - DISC;
    for (index, stack) in stacks.iter().enumerate() {
        let x = middle + ACROSS * (index as f64 - (stacks.len() as f64 - 1.0) / 2.0);
        let y = |height: f64| base - SCALE * (height - lowest(columns));
        for pair in stack.dots.windows(2).filter(|pair| in_one_line(columns, pair)) {
            pen.line((x, y(pair[0].1)), (x, y(pair[1].1)), 0.7, "");
        }
        for (light, height) in &stack.dots {
            disc(pen, (x, y(*height)), &lights[*light]);
        }
    }
}

/// Lights that appear one above another from somewhere, from the top down.
struct Seen {
    dots: Vec<(usize, f64)>,
    /// How far to the onlooker's right they are, and what may stand over the same spot.
    right: f64,
    group: usize,
}

/// What is seen, from the onlooker's left to his right.
fn stacks(view: &View, lights: &[Light], columns: &[Column]) -> Vec<Seen> {
    let mut all: Vec<Seen> = Vec::new();
    let shows = |light: usize| lights[light].sector.arc().contains(Bearing::new(view.bearing));
    let (sin, cos) = view.bearing.to_radians().sin_cos();
    for (index, column) in columns.iter().enumerate() {
        for (light, height) in column.dots.iter().filter(|(light, _)| shows(*light)) {
            let (forward, starboard) = place(columns, index, lights[*light].kind);
            let right = forward * sin - starboard * cos;
            let group = group(column, index);
            let same = all.iter_mut().find(|seen| seen.group == group && (seen.right - right).abs() < 0.01);
            match same {
                Some(seen) => seen.dots.push((*light, *height)),
                None => all.push(Seen { dots: vec![(*light, *height)], right, group }),
            }
        }
    }
    for seen in &mut all {
        seen.dots.sort_by(|a, b| b.1.total_cmp(&a.1));
    }
    all.sort_by(|a, b| a.right.total_cmp(&b.right));
    all
}

/// Whether two lights stand in one column on her, not only one behind the other.
fn in_one_line(columns: &[Column], pair: &[(usize, f64)]) -> bool {
    columns.iter().any(|column| pair.iter().all(|dot| column.dots.contains(dot)))
}

/// Columns of one group are seen one above another from where they are in one.
fn group(column: &Column, index: usize) -> usize {
    const MASTS: usize = usize::MAX;
    match column.kind {
        ColumnKind::Mastheads | ColumnKind::After => MASTS,
        ColumnKind::ForwardAnchor => MASTS - 1,
        // The after anchor light; a sternlight never shows with a forward anchor light.
        ColumnKind::Stern if column.line.is_none() => MASTS - 1,
        _ => index,
    }
}

/// How far forward of her middle and how far to starboard a light is, in halves of her length.
fn place(columns: &[Column], index: usize, kind: LightKind) -> (f64, f64) {
    let column = &columns[index];
    let starboard = match (column.kind, column.line, kind) {
        (ColumnKind::Sides | ColumnKind::Lantern, _, LightKind::StarboardSidelight) => 0.2,
        (ColumnKind::Sides | ColumnKind::Lantern, _, LightKind::PortSidelight) => -0.2,
        (ColumnKind::Line, Some(1), _) => -0.5,
        (ColumnKind::Line, Some(2), _) | (ColumnKind::Gear, ..) => 0.5,
        _ => 0.0,
    };
    // Lights on either side of a line are abreast of it.
    let of_line = |one: &Column| one.kind == ColumnKind::Line && one.line == Some(0);
    let abreast = matches!(column.kind, ColumnKind::Line | ColumnKind::Gear);
    let index = columns.iter().position(of_line).filter(|_| abreast).unwrap_or(index);
    let many = columns.len().saturating_sub(1).max(1) as f64;
    (2.0 * index as f64 / many - 1.0, starboard)
}

fn disc(pen: &mut Pen, at: Spot, light: &Light) {
    let mut round = Circle::new()
        .set("cx", two(at.0))
        .set("cy", two(at.1))
        .set("r", DISC)
        .set("fill", inks(light.sector.colour).0)
        .set("stroke", INK)
        .set("stroke-width", 0.35);
    if !light.must {
        round = round.set("stroke-dasharray", "1 0.7");
    }
    pen.add(round);
    pen.plain_letters(at, 3.6, &light.sector.colour.letter().to_string());
}
