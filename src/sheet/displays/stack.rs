//! The stack of a display: her lights one above the other from stern to bow, with the least heights and distances that
//! the rules ask for marked between them. Heights are not to scale.
//!
//! Takes the lights of a display and the limits that bear on them; draws them on a strip, every column as wide as its
//! labels need. Must never hold a figure of the rules.

use super::{
    Light,
    columns::{Column, ColumnKind},
    drawing::{PILL_HEIGHT, lamp, pill_width},
    labels::{Area, Taken},
    limits::Limit,
};
use crate::{
    rules::Asks,
    sheet::pen::{INK, Pen, SMALL, Spot, width_of},
};

/// How far the stack reaches down from the gunwale.
pub(super) const DOWN: f64 = 9.0;
/// From a column to the measure beside it, and from there to its label.
const BESIDE: f64 = 3.8;
const LABEL: f64 = 0.9;
/// From a light to the end of a measure.
const SHORT: f64 = 3.1;
/// From one line of a label to the next.
const LINE: f64 = 3.7;
/// How far a level measure stands above the lights it is between.
const ABOVE: f64 = 5.0;

/// A measure up and down beside a column.
struct Upright {
    column: usize,
    /// 1 on the bow side of the column, -1 on the stern side.
    side: f64,
    /// From the column to the measure.
    beside: f64,
    low: f64,
    high: f64,
    label: Vec<String>,
}

impl Upright {
    fn new(column: usize, side: f64, (low, high): (f64, f64), words: &str) -> Self {
        let label = match words.split_once(" or ") {
            Some((figure, other)) => vec![figure.into(), format!("or {other}")],
            None => vec![words.into()],
        };
        Self { column, side, beside: BESIDE, low, high, label }
    }

    fn width(&self) -> f64 {
        self.label.iter().map(|line| width_of(line, SMALL)).fold(0.0, f64::max)
    }

    /// How far it reaches from its column.
    fn reach(&self) -> f64 {
        self.beside + LABEL + self.width() + 0.6
    }
}

/// A measure across, above two columns.
struct Level {
    left: usize,
    right: usize,
    height: f64,
    label: String,
}

/// Lights in columns, and what is measured between them.
pub(super) struct Stack<'a> {
    lights: &'a [Light<'a>],
    limits: &'a [Limit<'a>],
    columns: &'a [Column],
    /// Where each column stands on the page.
    across: Vec<f64>,
    left: f64,
    width: f64,
    uprights: Vec<Upright>,
    levels: Vec<Level>,
}

impl<'a> Stack<'a> {
    /// From `left` over `width`.
    pub fn new(
        lights: &'a [Light<'a>],
        limits: &'a [Limit<'a>],
        columns: &'a [Column],
        (left, width): (f64, f64),
    ) -> Self {
        let (across, uprights, levels) = (Vec::new(), Vec::new(), Vec::new());
        let mut stack = Self { lights, limits, columns, across, left, width, uprights, levels };
        stack.uprights = stack.measured();
        stack.levels = stack.asides();
        stack.across = stack.spread();
        stack
    }

    /// How far it reaches up from the gunwale.
    pub fn up(&self) -> f64 {
        let lights = self.columns.iter().map(|column| {
            column.top() + if column.kind == ColumnKind::Lantern { 10.0 } else { PILL_HEIGHT / 2.0 + 1.0 }
        });
        lights.chain(self.levels.iter().map(|level| level.height + 5.0)).fold(0.0, f64::max)
    }

    /// Draws it with its gunwale on `base`.
    pub fn draw(&self, pen: &mut Pen, base: f64) {
        let mut sheet = Sheet { base, taken: Taken::default() };
        self.hull(pen, &mut sheet);
        self.leaders(pen, &mut sheet);
        for index in 0..self.columns.len() {
            self.column(pen, &mut sheet, index);
        }
        for upright in &self.uprights {
            self.upright(pen, &mut sheet, upright);
        }
        for level in &self.levels {
            self.level(pen, &mut sheet, level);
        }
        // Labels last: every line and light has its place by now.
        for level in &self.levels {
            self.level_label(pen, &mut sheet, level);
        }
        for upright in &self.uprights {
            self.upright_label(pen, &mut sheet, upright);
        }
    }

    fn find(&self, kind: ColumnKind) -> Option<usize> {
        self.columns.iter().position(|column| column.kind == kind)
    }

    /// The mark of a limit that bears on lights that must show.
    fn mark(&self, asks: Asks) -> Option<String> {
        self.limits.iter().find(|limit| limit.row.asks == asks && !limit.only_if_shown())?.mark()
    }

    /// Every measure up and down, those of one side of a column clear of one another.
    fn measured(&self) -> Vec<Upright> {
        let mut all = Vec::new();
        for (index, column) in self.columns.iter().enumerate() {
            all.extend(self.gaps(index, column));
            all.extend(self.above_base(index, column));
        }
        all.extend(self.relations().map(|(from, to, words)| {
            let low = self.columns[from].lowest();
            Upright::new(to, -1.0, (low, self.columns[to].lowest() - SHORT), &words)
        }));
        for index in 0..all.len() {
            let meets = |one: &&Upright| {
                let own: &Upright = &all[index];
                one.column == own.column && one.side == own.side && one.low < own.high && own.low < one.high
            };
            let before = all[..index].iter().filter(meets).map(Upright::reach).fold(0.0, f64::max);
            if before > 0.0 {
                all[index].beside = before + 1.5;
            }
        }
        all
    }

    fn gaps(&self, index: usize, column: &Column) -> Vec<Upright> {
        let Some(words) = self.mark(Asks::LineGap).filter(|_| column.line.is_some()) else { return Vec::new() };
        // Another height is told in gaps of this line.
        let named = column.kind == ColumnKind::Line && self.mark(Asks::FishingAboveSidelights).is_some();
        let words = if named { format!("a {words}") } else { words };
        let pairs = column.dots.windows(2);
        pairs.map(|pair| Upright::new(index, 1.0, (pair[1].1 + SHORT, pair[0].1 - SHORT), &words)).collect()
    }

    /// How high the lights of a column must stand above the gunwale or the deck: the lowest on its bow side, and on the
    /// other the masthead light where it stands in a line.
    fn above_base(&self, index: usize, column: &Column) -> Vec<Upright> {
        let first = |choice: &[Asks]| choice.iter().find_map(|asks| self.mark(*asks));
        let of_line = || first(&[Asks::LowestOfLineAboveGunwale, Asks::LowestOfLineAboveHull]);
        let of_masthead = || first(&[Asks::MastheadAboveGunwale, Asks::ForwardMastheadAboveHull]);
        let (lowest, top) = match (column.kind, column.line) {
            (ColumnKind::Line, Some(_)) => (of_line(), None),
            (ColumnKind::Mastheads, Some(_)) => (of_line(), of_masthead()),
            (ColumnKind::Mastheads, None) => (of_masthead(), None),
            (ColumnKind::ForwardAnchor, _) => (self.mark(Asks::ForwardAnchorAboveHull), None),
            _ => (None, None),
        };
        let upright =
            |side: f64, high: f64, words: String| Upright::new(index, side, (0.0, high - SHORT), words.as_str());
        let lowest = lowest.map(|words| upright(1.0, column.lowest(), words));
        // Beside the topmost light and not only up to it: gaps of the line stand on the other side.
        let top = top.map(|words| upright(-1.0, column.top(), words));
        lowest.into_iter().chain(top).collect()
    }

    /// Heights of one column over another that are asked for: the lower, the higher, and the mark.
    fn relations(&self) -> impl Iterator<Item = (usize, usize, String)> + '_ {
        RELATIONS.iter().filter_map(|(from, to, asks)| Some((self.find(*from)?, self.find(*to)?, self.mark(*asks)?)))
    }

    /// Distances on the level: the light towards the gear, and the lights of either side.
    fn asides(&self) -> Vec<Level> {
        let of_line = |line: usize| self.columns.iter().position(|column| column.line == Some(line));
        let mut pairs = Vec::new();
        if let Some(words) = self.mark(Asks::GearLightAside) {
            pairs.push((self.find(ColumnKind::Line), self.find(ColumnKind::Gear), words));
        }
        if let Some(words) = self.mark(Asks::SideSignalsAside) {
            pairs.push((of_line(0), of_line(1), words.clone()));
            pairs.push((of_line(0), of_line(2), words));
        }
        let known = pairs.into_iter().filter_map(|(one, other, label)| {
            let (one, other) = (one?, other?);
            let height = self.columns[one].top().max(self.columns[other].top()) + ABOVE;
            Some(Level { left: one.min(other), right: one.max(other), height, label })
        });
        known.collect()
    }

    /// Where each column stands: each has the room that its lights and labels need, and an equal share of what is left.
    fn spread(&self) -> Vec<f64> {
        let reach = |index: usize, side: f64| {
            let own = self.uprights.iter().filter(|one| one.column == index && one.side == side).map(Upright::reach);
            own.fold(self.half_width(&self.columns[index]) + 0.4, f64::max)
        };
        let rooms: Vec<(f64, f64)> =
            (0..self.columns.len()).map(|index| (reach(index, -1.0), reach(index, 1.0))).collect();
        let needed: f64 = rooms.iter().map(|(left, right)| left + right).sum();
        let spare = (self.width - needed) / rooms.len().max(1) as f64;
        let mut edge = self.left;
        rooms
            .iter()
            .map(|(left, right)| {
                let x = edge + spare / 2.0 + left;
                edge = x + right + spare / 2.0;
                x
            })
            .collect()
    }

    fn half_width(&self, column: &Column) -> f64 {
        let widest = self.widest(column);
        let many = column.dots.len() as f64 - 1.0;
        match column.kind {
            ColumnKind::Lantern => (many * (widest + 0.8) + widest) / 2.0 + 1.0,
            ColumnKind::Sides => (many * (widest + 0.8) + widest) / 2.0,
            _ => widest / 2.0,
        }
    }

    fn widest(&self, column: &Column) -> f64 {
        column.dots.iter().map(|(light, _)| pill_width(&self.lights[*light].tag)).fold(0.0, f64::max)
    }

    fn hull(&self, pen: &mut Pen, sheet: &mut Sheet) {
        let (left, right) = (self.left, self.left + self.width);
        let (top, low) = (sheet.base, sheet.base + DOWN - 1.5);
        pen.path(format!("M{left} {top} H{right} L{} {low} H{} Z", right - 7.0, left + 1.0), "#f4f5f6", INK, 0.4);
        sheet.taken.take(Area::between((left, top), (right, low)));
        let words = top + 5.0;
        pen.words((left + 3.0, words), SMALL, "start", "stern");
        pen.words((right - 8.0, words), SMALL, "end", "bow");
        let hull = [Asks::LowestOfLineAboveHull, Asks::ForwardMastheadAboveHull, Asks::ForwardAnchorAboveHull];
        let name = if hull.iter().any(|asks| self.mark(*asks).is_some()) { "deck" } else { "gunwale" };
        pen.words(((left + right) / 2.0, words), SMALL, "middle", name);
    }

    fn column(&self, pen: &mut Pen, sheet: &mut Sheet, index: usize) {
        let column = &self.columns[index];
        let x = self.across[index];
        sheet.line(pen, (x, 0.0), (x, column.top()), 0.5, "");
        match column.kind {
            ColumnKind::Sides | ColumnKind::Lantern => self.abreast(pen, sheet, column, x),
            _ => {
                for (light, height) in &column.dots {
                    self.dot(pen, sheet, *light, (x, *height));
                }
            }
        }
    }

    /// Lights side by side at one height: on either side of her, or in one lantern.
    fn abreast(&self, pen: &mut Pen, sheet: &mut Sheet, column: &Column, x: f64) {
        let apart = self.widest(column) + 0.8;
        if column.kind == ColumnKind::Lantern {
            let (half, y) = (self.half_width(column), sheet.y(column.top()));
            let frame = format!("M{} {} h{} v8.4 h{} Z", x - half, y - 4.2, 2.0 * half, -2.0 * half);
            pen.path(frame, "#ffffff", INK, 0.35);
            pen.words((x, y - 6.0), SMALL, "middle", "one lantern");
        }
        let middle = (column.dots.len() as f64 - 1.0) / 2.0;
        for (place, (light, height)) in column.dots.iter().enumerate() {
            self.dot(pen, sheet, *light, (x + apart * (place as f64 - middle), *height));
        }
    }

    fn dot(&self, pen: &mut Pen, sheet: &mut Sheet, light: usize, (x, height): Spot) {
        let (light, y) = (&self.lights[light], sheet.y(height));
        lamp(pen, (x, y), &light.tag, light.sector.colour, light.must);
        let (half, tall) = (pill_width(&light.tag) / 2.0, PILL_HEIGHT / 2.0);
        sheet.taken.take(Area::between((x - half, y - tall), (x + half, y + tall)));
    }

    /// Dashed lines that lead from one light level across to the measure of the height over it.
    fn leaders(&self, pen: &mut Pen, sheet: &mut Sheet) {
        for (from, to, _) in self.relations() {
            let height = self.columns[from].lowest();
            let ends = self.uprights.iter().filter(|one| one.column == to && one.side < 0.0 && one.low == height);
            let end = self.across[to] - ends.map(|one| one.beside).fold(BESIDE, f64::max) - 0.9;
            sheet.line(pen, (self.across[from], height), (end, height), 0.25, "1.2 1");
        }
    }

    fn upright(&self, pen: &mut Pen, sheet: &mut Sheet, one: &Upright) {
        let x = self.across[one.column] + one.side * one.beside;
        sheet.line(pen, (x, one.low), (x, one.high), 0.25, "");
        for end in [one.low, one.high] {
            sheet.line(pen, (x - 0.9, end), (x + 0.9, end), 0.25, "");
        }
    }

    /// In the middle of the measure, or up or down from there where that is free.
    fn upright_label(&self, pen: &mut Pen, sheet: &mut Sheet, one: &Upright) {
        let x = self.across[one.column] + one.side * (one.beside + LABEL);
        let anchor = if one.side > 0.0 { "start" } else { "end" };
        let tall = LINE * (one.label.len() as f64 - 1.0);
        let middle = sheet.y((one.low + one.high) / 2.0) + 1.1 - tall / 2.0;
        let most = ((one.high - one.low) / 2.0 - 1.0).max(1.0);
        let steps = (0..=(most / 0.4) as u32).flat_map(|n| [1.0, -1.0].map(|way| way * 0.4 * f64::from(n)));
        let places: Vec<Spot> = steps.map(|step| (x, middle + step)).collect();
        let area =
            |(x, y): Spot| Area::between((x, y - 0.76 * SMALL), (x + one.side * one.width(), y + tall + 0.06 * SMALL));
        let Some((x, y)) = sheet.taken.settle(&places, area) else { return };
        for (index, line) in one.label.iter().enumerate() {
            pen.words((x, y + LINE * index as f64), SMALL, anchor, line);
        }
    }

    /// A measure across, with thin lines up from the lights it is between.
    fn level(&self, pen: &mut Pen, sheet: &mut Sheet, level: &Level) {
        let [left, right] = [level.left, level.right].map(|column| self.across[column]);
        sheet.line(pen, (left, level.height), (right, level.height), 0.25, "");
        for column in [level.left, level.right] {
            let (x, from) = (self.across[column], self.columns[column].top() + PILL_HEIGHT / 2.0);
            sheet.line(pen, (x, from), (x, level.height + 0.9), 0.25, "");
        }
    }

    fn level_label(&self, pen: &mut Pen, sheet: &mut Sheet, level: &Level) {
        let middle = (self.across[level.left] + self.across[level.right]) / 2.0;
        let half = width_of(&level.label, SMALL) / 2.0;
        let area = |(x, y): Spot| Area::between((x - half, y - 0.76 * SMALL), (x + half, y + 0.06 * SMALL));
        let above = sheet.y(level.height) - 1.0;
        let Some(at) = sheet.taken.settle(&[(middle, above), (middle, above + 4.6)], area) else { return };
        pen.words(at, SMALL, "middle", &level.label);
    }
}

/// The paper: where the gunwale is, and what is drawn already.
struct Sheet {
    base: f64,
    taken: Taken,
}

impl Sheet {
    fn y(&self, height: f64) -> f64 {
        self.base - height
    }

    /// A line from one place to another, each given across the page and by its height.
    fn line(&mut self, pen: &mut Pen, from: Spot, to: Spot, width: f64, dashes: &str) {
        let [from, to] = [from, to].map(|(x, height)| (x, self.y(height)));
        pen.line(from, to, width, dashes);
        self.taken.take(Area::between(from, to));
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
