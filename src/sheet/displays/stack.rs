//! The stack of a display: her lights one above the other from stern to bow, with the least heights and distances that
//! the rules ask for marked between them. Heights are not to scale.
//!
//! Takes the lights of a display and the limits that bear on them; draws them on a strip. Must never hold a figure of
//! the rules.

use super::{Light, Lookup, limits::Limit};
use crate::{
    boat::Status,
    rules::{Asks, Display, LightKind},
    sheet::pen::{INK, Pen, SMALL, Spot},
};

/// How far the stack reaches up from the gunwale, and down.
pub(super) const UP: f64 = 62.0;
pub(super) const DOWN: f64 = 9.0;

/// Height of the sidelights and the sternlight above the gunwale, in millimetres of the drawing.
const LOW: f64 = 8.0;
/// From one light of a line to the next.
const STEP: f64 = 11.0;
/// The lowest light of a line.
const LINE: f64 = 19.0;

/// Lights that stand one above another, from the top down: each by its number and height.
struct Column {
    dots: Vec<(usize, f64)>,
    /// Which of the display's lines they are.
    line: Option<usize>,
    kind: ColumnKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum ColumnKind {
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

struct Stack<'a> {
    lights: &'a [Light<'a>],
    limits: &'a [Limit<'a>],
    columns: Vec<Column>,
    left: f64,
    width: f64,
    base: f64,
}

/// Draws the stack with its gunwale on `base`, from `left` over `width`.
pub(super) fn draw(
    pen: &mut Pen,
    lookup: &Lookup,
    display: &Display,
    lights: &[Light],
    limits: &[Limit],
    (left, base): Spot,
    width: f64,
) {
    let columns = columns(lookup, display, lights);
    let stack = Stack { lights, limits, columns, left, width, base };
    stack.hull(pen);
    stack.levels(pen);
    for index in 0..stack.columns.len() {
        stack.column(pen, index);
    }
    stack.marks(pen);
}

fn columns(lookup: &Lookup, display: &Display, lights: &[Light]) -> Vec<Column> {
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
            add(ColumnKind::Stern, None, vec![(*aft, 20.0)]);
        }
        [] => {}
    }
    let at = |kinds: &[LightKind], height: f64| alone(kinds).into_iter().map(|index| (index, height)).collect();
    add(ColumnKind::Flashing, None, at(&[LightKind::FlashingYellow, LightKind::SpecialFlashing], 22.0));
    add(ColumnKind::Stern, None, at(&[LightKind::Sternlight], LOW));
    add(ColumnKind::Sides, None, at(&[LightKind::PortSidelight, LightKind::StarboardSidelight], LOW));
    out.sort_by_key(|column| order(lookup.status, column));
    out
}

/// What a line is, and how high its lowest light stands in the drawing.
fn line_place(status: Status, line: usize, kinds: &[LightKind]) -> (ColumnKind, f64) {
    if kinds.contains(&LightKind::TowingLight) {
        (ColumnKind::Stern, LOW)
    } else if kinds.contains(&LightKind::Masthead) {
        (ColumnKind::Mastheads, LINE + 3.0)
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
/// abaft the pair.
fn order(status: Status, column: &Column) -> (u8, u8) {
    let place = match column.kind {
        ColumnKind::Stern => 0,
        ColumnKind::After => 1,
        ColumnKind::Mastheads if status.trawls() => 2,
        ColumnKind::Lantern => 3,
        ColumnKind::Line => 4,
        ColumnKind::Gear => 5,
        ColumnKind::White => 6,
        ColumnKind::Flashing => 7,
        ColumnKind::Mastheads => 8,
        ColumnKind::Sides => 9,
        ColumnKind::ForwardAnchor => 10,
    };
    let obstructed = status.obstructs_one_side();
    let among = match column.line {
        Some(1) if obstructed => 0,
        Some(0) if obstructed => 1,
        _ => 2,
    };
    (place, among)
}

impl Stack<'_> {
    fn x(&self, column: usize) -> f64 {
        self.left + self.width * (column as f64 + 0.5) / self.columns.len().max(1) as f64
    }

    fn y(&self, height: f64) -> f64 {
        self.base - height
    }

    fn find(&self, kind: ColumnKind) -> Option<usize> {
        self.columns.iter().position(|column| column.kind == kind)
    }

    /// The mark of a limit that bears on lights that must show.
    fn mark(&self, asks: Asks) -> Option<String> {
        self.limits.iter().find(|limit| limit.row.asks == asks && !limit.only_if_shown)?.mark()
    }

    fn hull(&self, pen: &mut Pen) {
        let (left, right) = (self.left, self.left + self.width);
        let (top, low) = (self.base, self.base + DOWN - 1.5);
        pen.path(format!("M{left} {top} H{right} L{} {low} H{} Z", right - 7.0, left + 1.0), "#f4f5f6", INK, 0.4);
        let words = top + 5.0;
        pen.words((left + 3.0, words), SMALL, "start", "stern");
        pen.words((right - 8.0, words), SMALL, "end", "bow");
        let hull = [Asks::LowestOfLineAboveHull, Asks::ForwardMastheadAboveHull, Asks::ForwardAnchorAboveHull];
        let name = if hull.iter().any(|asks| self.mark(*asks).is_some()) { "deck" } else { "gunwale" };
        pen.words(((left + right) / 2.0, words), SMALL, "middle", name);
    }

    fn column(&self, pen: &mut Pen, index: usize) {
        let column = &self.columns[index];
        let x = self.x(index);
        let top = column.dots.iter().map(|(_, height)| *height).fold(0.0, f64::max);
        pen.line((x, self.y(0.0)), (x, self.y(top)), 0.5, "");
        match column.kind {
            ColumnKind::Sides | ColumnKind::Lantern => self.abreast(pen, column, x),
            _ => {
                for (light, height) in &column.dots {
                    self.dot(pen, *light, (x, self.y(*height)));
                }
            }
        }
    }

    /// Lights side by side at one height: on either side of her, or in one lantern.
    fn abreast(&self, pen: &mut Pen, column: &Column, x: f64) {
        let apart = if column.dots.iter().any(|(light, _)| !self.lights[*light].must) { 9.0 } else { 7.0 };
        let middle = (column.dots.len() as f64 - 1.0) / 2.0;
        let y = column.dots.first().map_or(0.0, |(_, height)| self.y(*height));
        if column.kind == ColumnKind::Lantern {
            let half = apart * (middle + 0.5) + 1.0;
            pen.path(
                format!("M{} {} h{} v8.4 h{} Z", x - half, y - 4.2, 2.0 * half, -2.0 * half),
                "#ffffff",
                INK,
                0.35,
            );
            pen.words((x, y - 6.4), SMALL, "middle", "one lantern");
        }
        for (place, (light, _)) in column.dots.iter().enumerate() {
            self.dot(pen, *light, (x + apart * (place as f64 - middle), y));
        }
    }

    fn dot(&self, pen: &mut Pen, light: usize, at: Spot) {
        let light = &self.lights[light];
        super::drawing::lamp(pen, at, &light.tag, light.sector.colour, light.must);
    }

    /// Dashed lines that lead from one light level across to the one whose height over it is asked for.
    fn levels(&self, pen: &mut Pen) {
        for (from, to, asks) in RELATIONS {
            let (Some(from), Some(to), Some(_)) = (self.find(*from), self.find(*to), self.mark(*asks)) else {
                continue;
            };
            let y = self.y(self.top(from));
            pen.line((self.x(from), y), (self.x(to) - 5.0, y), 0.25, "1.2 1");
        }
    }

    fn top(&self, column: usize) -> f64 {
        self.columns[column].dots.iter().map(|(_, height)| *height).fold(0.0, f64::max)
    }

    fn lowest(&self, column: usize) -> f64 {
        self.columns[column].dots.iter().map(|(_, height)| *height).fold(f64::INFINITY, f64::min)
    }

    fn marks(&self, pen: &mut Pen) {
        for (index, column) in self.columns.iter().enumerate() {
            if let Some(words) = self.mark(Asks::LineGap).filter(|_| column.line.is_some()) {
                for pair in column.dots.windows(2) {
                    self.upright(pen, (index, 1.0), (pair[1].1 + 3.1, pair[0].1 - 3.1), &words);
                }
            }
            if let Some(words) = self.above_base(column) {
                // To the other hand where the next column's own measure stands between them.
                let side = if self.columns.get(index + 1).is_some_and(|next| self.related(next)) { -1.0 } else { 1.0 };
                self.upright(pen, (index, side), (0.0, self.lowest(index) - 3.1), &words);
            }
        }
        for (from, to, asks) in RELATIONS {
            if let (Some(from), Some(to), Some(words)) = (self.find(*from), self.find(*to), self.mark(*asks)) {
                self.upright(pen, (to, -1.0), (self.top(from), self.lowest(to) - 3.1), &words);
            }
        }
        self.asides(pen);
    }

    /// Whether the height of a column over another is marked.
    fn related(&self, column: &Column) -> bool {
        let marked = |(from, to, asks): &(ColumnKind, ColumnKind, Asks)| {
            *to == column.kind && self.find(*from).is_some() && self.mark(*asks).is_some()
        };
        RELATIONS.iter().any(marked)
    }

    /// How high the lowest light of a column must stand above the gunwale or the deck.
    fn above_base(&self, column: &Column) -> Option<String> {
        let choice: &[Asks] = match column.kind {
            ColumnKind::Line => &[Asks::LowestOfLineAboveGunwale, Asks::LowestOfLineAboveHull],
            ColumnKind::Mastheads if column.line.is_some() => {
                &[Asks::LowestOfLineAboveGunwale, Asks::LowestOfLineAboveHull]
            }
            ColumnKind::Mastheads => &[Asks::MastheadAboveGunwale, Asks::ForwardMastheadAboveHull],
            ColumnKind::ForwardAnchor => &[Asks::ForwardAnchorAboveHull],
            _ => &[],
        };
        choice.iter().find_map(|asks| self.mark(*asks))
    }

    /// Distances on the level: the light towards the gear, and the lights of either side.
    fn asides(&self, pen: &mut Pen) {
        if let (Some(gear), Some(line), Some(words)) =
            (self.find(ColumnKind::Gear), self.find(ColumnKind::Line), self.mark(Asks::GearLightAside))
        {
            self.level(pen, (self.x(line), self.x(gear) - 3.4), self.top(gear), &words);
        }
        let of_line = |line: usize| self.columns.iter().position(|column| column.line == Some(line));
        if let (Some(words), Some(three), Some(side)) = (self.mark(Asks::SideSignalsAside), of_line(0), of_line(1)) {
            self.level(pen, (self.x(side), self.x(three)), self.top(side) + 5.0, &words);
        }
    }

    /// A measure up and down beside a column, on its starboard or its port hand.
    fn upright(&self, pen: &mut Pen, (column, side): (usize, f64), (low, high): (f64, f64), words: &str) {
        let x = self.x(column) + side * 4.6;
        let (low, high) = (self.y(low), self.y(high));
        pen.line((x, low), (x, high), 0.25, "");
        for end in [low, high] {
            pen.line((x - 0.9, end), (x + 0.9, end), 0.25, "");
        }
        let anchor = if side > 0.0 { "start" } else { "end" };
        let middle = (low + high) / 2.0 + 1.1;
        match words.split_once(" or ") {
            Some((figure, other)) => {
                pen.words((x + side * 1.2, middle - 2.0), SMALL, anchor, figure);
                pen.words((x + side * 1.2, middle + 2.0), SMALL, anchor, &format!("or {other}"));
            }
            None => pen.words((x + side * 1.2, middle), SMALL, anchor, words),
        }
    }

    /// A measure across, from one place to another.
    fn level(&self, pen: &mut Pen, (left, right): (f64, f64), height: f64, words: &str) {
        let y = self.y(height);
        pen.line((left, y), (right, y), 0.25, "");
        for end in [left, right] {
            pen.line((end, y - 0.9), (end, y + 0.9), 0.25, "");
        }
        pen.words(((left + right) / 2.0, y - 1.0), SMALL, "middle", words);
    }
}

/// Where the height of one column over another is asked for: the lower, the higher, and by which limit.
const RELATIONS: &[(ColumnKind, ColumnKind, Asks)] = &[
    (ColumnKind::Sides, ColumnKind::White, Asks::WhiteAboveSidelights),
    (ColumnKind::Sides, ColumnKind::Mastheads, Asks::WhiteAboveSidelights),
    (ColumnKind::Mastheads, ColumnKind::After, Asks::AfterAboveForwardMasthead),
    (ColumnKind::Sides, ColumnKind::Line, Asks::FishingAboveSidelights),
    (ColumnKind::Stern, ColumnKind::ForwardAnchor, Asks::ForwardAnchorAboveAfter),
];
