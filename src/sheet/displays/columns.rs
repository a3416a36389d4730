//! Which lights of a display stand one above another, in columns from stern to bow, and how high each is drawn.
//!
//! Takes the lights of a display; gives columns with heights in millimetres of a drawing, not to scale. Must never hold a
//! figure of the rules.

use super::{
    Light, Lookup,
    limits::{Limit, limits},
};
use crate::{
    boat::Status,
    rules::{Asks, Display, LightKind},
};

/// Height of the sidelights and the sternlight above the gunwale, in millimetres of the drawing.
const LOW: f64 = 8.0;
/// From one light of a line to the next.
const STEP: f64 = 11.0;
/// The lowest light of a line.
const LINE: f64 = 19.0;

/// Lights that stand one above another, from the top down: each by its number and height.
pub(super) struct Column {
    pub dots: Vec<(usize, f64)>,
    /// Which of the display's lines they are.
    pub line: Option<usize>,
    pub kind: ColumnKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum ColumnKind {
    Stern,
    After,
    Line,
    Gear,
    White,
    Mastheads,
    Flashing,
    Sides,
    ForwardAnchor,
    Lantern,
}

impl Column {
    /// Height of its highest light.
    pub fn top(&self) -> f64 {
        self.dots.iter().map(|(_, height)| *height).fold(0.0, f64::max)
    }

    /// Height of its lowest light.
    pub fn lowest(&self) -> f64 {
        self.dots.iter().map(|(_, height)| *height).fold(f64::INFINITY, f64::min)
    }
}

/// The columns of a display, from stern to bow.
pub(super) fn columns(lookup: &Lookup, display: &Display, lights: &[Light]) -> Vec<Column> {
    let mut out = Vec::new();
    let alone = |kinds: &[LightKind]| -> Vec<usize> {
        let of_kind = |(_, light): &(usize, &Light)| light.line.is_none() && kinds.contains(&light.kind);
        lights.iter().enumerate().filter(of_kind).map(|(index, _)| index).collect()
    };
    let mut add = |kind: ColumnKind, line: Option<usize>, dots: Vec<(usize, f64)>| {
        if !dots.is_empty() {
            out.push(Column { dots, line, kind });
        }
    };
    if display.one_lantern {
        let all = (0..lights.len()).map(|index| (index, 42.0)).collect();
        add(ColumnKind::Lantern, None, all);
        return out;
    }
    for (line, kinds) in display.lines.iter().enumerate() {
        let (kind, lowest) = line_place(lookup.status, line, kinds);
        let first = lights.iter().position(|light| light.line == Some(line)).unwrap_or(0);
        let dots = (0..kinds.len()).map(|n| (first + n, lowest + STEP * (kinds.len() - 1 - n) as f64)).collect();
        add(kind, Some(line), dots);
    }
    let top = |lines: bool| if lines { 47.0 } else { 36.0 };
    let mastheads = alone(&[LightKind::Masthead]);
    let forward = top(!display.lines.is_empty());
    match (mastheads.as_slice(), display.lines.iter().any(|line| line.contains(&LightKind::Masthead))) {
        ([one], true) => add(ColumnKind::After, None, vec![(*one, 58.0)]),
        ([one], false) => add(ColumnKind::Mastheads, None, vec![(*one, forward)]),
        ([fore, aft, ..], _) => {
            add(ColumnKind::Mastheads, None, vec![(*fore, forward)]);
            add(ColumnKind::After, None, vec![(*aft, forward + STEP)]);
        }
        ([], _) => {}
    }
    let whites = alone(&[LightKind::AllRoundWhite]);
    match whites.as_slice() {
        [one] if lookup.status.has_gear_out() => add(ColumnKind::Gear, None, vec![(*one, LINE + 4.0)]),
        [one] => add(ColumnKind::White, None, vec![(*one, 36.0)]),
        [fore, aft, ..] => {
            add(ColumnKind::ForwardAnchor, None, vec![(*fore, 42.0)]);
            add(ColumnKind::Stern, None, vec![(*aft, 13.0)]);
        }
        [] => {}
    }
    // Two red lights that are owed if practicable stand one above the other.
    let reds = alone(&[LightKind::AllRoundRed]);
    let of_reds = reds.iter().rev().enumerate().rev().map(|(n, index)| (*index, LINE + STEP * n as f64));
    add(ColumnKind::Line, None, of_reds.collect());
    let at = |kinds: &[LightKind], height: f64| alone(kinds).into_iter().map(|index| (index, height)).collect();
    add(ColumnKind::Flashing, None, at(&[LightKind::FlashingYellow, LightKind::SpecialFlashing], 22.0));
    add(ColumnKind::Stern, None, at(&[LightKind::Sternlight], LOW));
    add(ColumnKind::Sides, None, at(&[LightKind::PortSidelight, LightKind::StarboardSidelight], LOW));
    let abaft = |limit: &Limit| limit.row.asks == Asks::SidelightsBeforeMasthead && !limit.only_if_shown();
    let sides_abaft = limits(lookup, display).iter().any(abaft);
    out.sort_by_key(|column| order(lookup.status, sides_abaft, column));
    out
}

/// What a line is, and how high its lowest light stands in the drawing.
fn line_place(status: Status, line: usize, kinds: &[LightKind]) -> (ColumnKind, f64) {
    if kinds.contains(&LightKind::TowingLight) {
        (ColumnKind::Stern, LOW)
    } else if kinds.contains(&LightKind::Masthead) {
        (ColumnKind::Mastheads, LINE + 4.5)
    } else if status.fishes() {
        // Twice the gap of the pair above the sidelights.
        (ColumnKind::Line, LOW + 2.0 * STEP)
    } else if status.obstructs_one_side() && line == 0 {
        (ColumnKind::Line, LINE + STEP)
    } else {
        (ColumnKind::Line, LINE)
    }
}

/// From aft forward. Dredging, the line of three stands between the two of the sides; trawling, the masthead light stands
/// abaft the pair; the sidelights abaft the masthead light where they may not be forward of it.
fn order(status: Status, sides_abaft: bool, column: &Column) -> (u8, u8) {
    let mastheads = if status.trawls() { 2 } else { 8 };
    let place = match column.kind {
        ColumnKind::Stern => 0,
        ColumnKind::After if status.trawls() => 1,
        ColumnKind::Lantern => 3,
        ColumnKind::Line => 4,
        ColumnKind::Gear => 5,
        ColumnKind::White => 6,
        ColumnKind::Flashing => 7,
        ColumnKind::After => 8,
        ColumnKind::Mastheads => mastheads,
        ColumnKind::Sides if sides_abaft => mastheads,
        ColumnKind::Sides => 9,
        ColumnKind::ForwardAnchor => 10,
    };
    let obstructed = status.obstructs_one_side();
    let among = match (column.kind, column.line) {
        (ColumnKind::Line, Some(1)) if obstructed => 0,
        (ColumnKind::Line, Some(0)) if obstructed => 1,
        (ColumnKind::After, _) => 0,
        (ColumnKind::Sides, _) => 1,
        _ => 2,
    };
    (place, among)
}
