//! A look-up as an SVG drawing for paper: a panel for each lawful display, with what is seen of it, its plan, its
//! stack and its lights in words.
//!
//! Takes a look-up; gives SVG. Every light carries the letter of its colour and a number, the same wherever it is drawn
//! or named, so that nothing depends on colour.

use svg::node::element::{Rectangle, Title};

use super::{
    Light, Lookup,
    columns::{Column, columns},
    limits::{Limit, limits},
    places::{drawn_sides, place},
    plan,
    stack::{self, Stack},
    text::{clause, notes},
    views,
};
use crate::{
    light::{Colour, Colours},
    measure::trimmed,
    rules::Display,
    sheet::{
        CAUTIONS, capitalised,
        figure::{hatching_in_words, inks, swatch},
        pen::{INK, Pen, SMALL, Spot, two, width_of},
        waiver, wrap,
    },
};

const WIDTH: f64 = 210.0;
const MARGIN: f64 = 13.0;
const LINE: f64 = 4.4;
/// Where the plan has its middle, and where the stack begins.
const PLAN: f64 = MARGIN + 33.0;
const STACK: f64 = MARGIN + 72.0;

/// Every lawful display as a drawing, 210 mm wide and as high as it needs; nothing where the rules hold none.
pub fn drawing(lookup: &Lookup) -> Option<String> {
    let lawful = lookup.lawful();
    if lawful.is_empty() {
        return None;
    }
    let panels: Vec<Panel> = lawful.iter().map(|display| Panel::new(lookup, display)).collect();
    let heading = header_lines(lookup, lawful.len());
    let top = 20.0 + LINE * heading.len() as f64 + 3.0;
    let foot = wrapped(CAUTIONS);
    let below = top + panels.iter().map(Panel::height).sum::<f64>();
    let height = (below + 14.0 + LINE * (foot.len() as f64 + 2.0)).ceil();
    let mut pen = Pen::new(WIDTH, height, (0.0, 0.0));
    pen.add(Title::new(format!("What she must show: {}", lookup.status_in_words())));
    pen.add(Rectangle::new().set("width", WIDTH).set("height", height).set("fill", "#ffffff"));
    pen.heavy_words((MARGIN, 18.0), 7.0, "start", "What she must show");
    lines(&mut pen, 24.4, &heading);
    let mut y = top;
    for (index, panel) in panels.iter().enumerate() {
        panel.draw(&mut pen, index + 1, y);
        y += panel.height();
    }
    legend(&mut pen, lookup, &lawful, y + 5.0);
    lines(&mut pen, y + 7.0 + 3.0 * LINE, &foot);
    Some(pen.finish())
}

fn header_lines(lookup: &Lookup, count: usize) -> Vec<String> {
    let many = match count {
        1 => "One display is lawful.".into(),
        many => format!("{many} displays are lawful; any one of them will do."),
    };
    let vessel = lookup.vessel_in_words();
    let rules = lookup.rules;
    let mut lines = wrapped(&format!("A vessel {vessel}, {}. {many} Rules: {}.", lookup.status_in_words(), rules.name));
    lines.extend(waiver::in_short(rules).iter().flat_map(|words| wrapped(words)));
    lines
}

fn wrapped(words: &str) -> Vec<String> {
    wrap::lines(words, WIDTH - 2.0 * MARGIN, |piece| width_of(piece, SMALL))
}

fn lines(pen: &mut Pen, top: f64, lines: &[String]) {
    for (index, line) in lines.iter().enumerate() {
        pen.words((MARGIN, top + LINE * index as f64), SMALL, "start", line);
    }
}

/// One lawful display on the page.
struct Panel<'a> {
    lookup: &'a Lookup<'a>,
    display: &'a Display,
    lights: Vec<Light<'a>>,
    columns: Vec<Column>,
    limits: Vec<Limit<'a>>,
    /// Its heading, on one line or two.
    heading: Vec<String>,
    /// The lights in words: tags, and what they are.
    rows: Vec<(String, Vec<String>)>,
    notes: Vec<String>,
}

/// From the views to the plan and the stack.
const BETWEEN: f64 = 6.0;

/// Size of a panel's heading.
const HEADING: f64 = 4.4;

impl<'a> Panel<'a> {
    fn new(lookup: &'a Lookup<'a>, display: &'a Display) -> Self {
        let lights = lookup.lights(display);
        let heading = format!("1. {}", capitalised(&display.name));
        let rows = rows(lookup, &lights);
        let mut said = notes(lookup, display);
        said.extend(place_notes(lookup, &lights));
        said.extend(drawn_sides(lookup.status, display).map(String::from));
        let notes = said.iter().flat_map(|one| wrapped(one)).collect();
        let (columns, limits) = (columns(lookup, display, &lights), limits(lookup, display));
        // Wide lettering counts for more: the heading is heavy.
        let heading = wrap::lines(&heading, WIDTH - 2.0 * MARGIN, |piece| width_of(piece, HEADING) * 1.06);
        Self { lookup, display, lights, columns, limits, heading, rows, notes }
    }

    fn row_lines(&self) -> f64 {
        self.rows.iter().map(|(_, words)| words.len() as f64).sum()
    }

    fn stack(&self) -> Stack<'_> {
        Stack::new(&self.lights, &self.limits, &self.columns, (STACK, WIDTH - MARGIN - STACK))
    }

    /// From the top of the figures to their bottom.
    fn figures(&self) -> f64 {
        if self.lights.is_empty() {
            return 0.0;
        }
        let stack = self.stack().up() + stack::DOWN + 6.0 + LINE * self.row_lines() + 1.2 * self.rows.len() as f64;
        views::height(&self.columns) + BETWEEN + (plan::UP + plan::DOWN).max(stack)
    }

    fn height(&self) -> f64 {
        8.0 + 5.6 * (self.heading.len() as f64 + 1.0) + self.figures() + 2.0 + LINE * self.notes.len() as f64
    }

    fn draw(&self, pen: &mut Pen, number: usize, top: f64) {
        pen.line((MARGIN, top), (WIDTH - MARGIN, top), 0.2, "");
        let mut y = top + 7.0;
        for (index, line) in self.heading.iter().enumerate() {
            let line = if index == 0 { line.replacen("1.", &format!("{number}."), 1) } else { line.clone() };
            pen.heavy_words((MARGIN, y), HEADING, "start", &line);
            y += 5.6;
        }
        pen.words((MARGIN, y), 3.7, "start", &clause(self.lookup, self.display));
        y += 5.6;
        if !self.lights.is_empty() {
            views::draw(pen, &self.lights, &self.columns, (MARGIN, y), WIDTH - 2.0 * MARGIN);
            let below = y + views::height(&self.columns) + BETWEEN;
            plan::draw(pen, self.lookup.vessel, &self.lights, (PLAN, below + plan::UP));
            let stack = self.stack();
            let base = below + stack.up();
            stack.draw(pen, base);
            self.listed(pen, base + stack::DOWN + 6.0);
        }
        lines(pen, y + self.figures() + 2.0, &self.notes);
    }

    fn listed(&self, pen: &mut Pen, top: f64) {
        let mut y = top;
        for (tags, words) in &self.rows {
            pen.heavy_words((STACK, y), SMALL, "start", tags);
            for line in words {
                pen.words((STACK + indent(&self.rows), y), SMALL, "start", line);
                y += LINE;
            }
            y += 1.2;
        }
    }
}

/// Room for the widest tags.
fn indent(rows: &[(String, Vec<String>)]) -> f64 {
    let widest = rows.iter().map(|(tags, _)| width_of(tags, SMALL) * 1.1).fold(0.0, f64::max);
    (widest + 2.5).min(26.0)
}

/// One row for each kind of light: "W1 W2" and "masthead light, 225 degrees, 3 nm, 12 cd".
fn rows(lookup: &Lookup, lights: &[Light]) -> Vec<(String, Vec<String>)> {
    let mut plain: Vec<(String, String)> = Vec::new();
    for (index, light) in lights.iter().enumerate() {
        if lights[..index].iter().any(|one| one.kind == light.kind) {
            continue;
        }
        let alike = lights.iter().filter(|one| one.kind == light.kind);
        let tags: Vec<&str> = alike.map(|one| one.tag.as_str()).collect();
        let strength = lookup.strength(light.kind).map_or(String::new(), |(range, candela)| {
            format!(", {} nm, {} cd", trimmed(range.0, 1), trimmed(candela.0, 1))
        });
        let degrees = trimmed(light.sector.arc().width, 1);
        plain.push((tags.join(" "), format!("{}, {degrees}\u{b0}{strength}", light.kind.in_words())));
    }
    let bare: Vec<(String, Vec<String>)> = plain.iter().map(|(tags, _)| (tags.clone(), Vec::new())).collect();
    let room = WIDTH - MARGIN - STACK - indent(&bare);
    plain.into_iter().map(|(tags, words)| (tags, wrap::lines(&words, room, |piece| width_of(piece, SMALL)))).collect()
}

/// "W1 forward; W2 abaft and higher", where the names do not say it.
fn place_notes(lookup: &Lookup, lights: &[Light]) -> Option<String> {
    let mut said: Vec<(Vec<&str>, &str)> = Vec::new();
    for (index, light) in lights.iter().enumerate() {
        let Some(words) = place(lookup, lights, index) else { continue };
        match said.last_mut() {
            Some((tags, same)) if *same == words => tags.push(&light.tag),
            _ => said.push((vec![&light.tag], words)),
        }
    }
    let words: Vec<String> = said.iter().map(|(tags, words)| format!("{} {words}", tags.join(" over "))).collect();
    (!words.is_empty()).then(|| format!("{}.", words.join("; ")))
}

/// The hatchings used, and what the signs mean.
fn legend(pen: &mut Pen, lookup: &Lookup, lawful: &[&Display], y: f64) {
    let lights = lawful.iter().flat_map(|display| lookup.lights(display));
    let colours: Colours = lights.map(|light| light.sector.colour).collect();
    let mut x = MARGIN;
    for colour in colours.iter() {
        swatch(pen, (x, y - 3.0), colour);
        let words = format!("{} {}: {}", colour.letter(), colour.name(), hatching_in_words(colour));
        pen.words((x + 10.5, y), SMALL, "start", &words);
        x += 10.5 + width_of(&words, SMALL) + 4.0;
    }
    let signs = [
        "\u{2265} at least; dashed or (in brackets): if practicable; grey: no light of that ring. Not to scale.",
        "From ahead her port side, and so her red sidelight, is on your right. Joined lights stand in one vertical line.",
    ];
    lines(pen, y + LINE, &signs.map(String::from));
}

/// A tag on white ground.
pub(super) fn tag(pen: &mut Pen, at: Spot, words: &str, must: bool) {
    pill(pen, at, words, "#ffffff", must);
}

/// A lamp: its tag on the tint of its colour.
pub(super) fn lamp(pen: &mut Pen, at: Spot, words: &str, colour: Colour, must: bool) {
    pill(pen, at, words, inks(colour).0, must);
}

pub(super) const PILL_HEIGHT: f64 = 4.6;

pub(super) fn pill_width(words: &str) -> f64 {
    (width_of(words, SMALL) + 1.0).max(5.4)
}

/// Words in a rounded box, dashed where the light need not show.
fn pill(pen: &mut Pen, at: Spot, words: &str, ground: &str, must: bool) {
    let (width, height) = (pill_width(words), PILL_HEIGHT);
    let mut frame = Rectangle::new()
        .set("x", two(at.0 - width / 2.0))
        .set("y", two(at.1 - height / 2.0))
        .set("width", two(width))
        .set("height", height)
        .set("rx", 2.2)
        .set("fill", ground)
        .set("stroke", INK)
        .set("stroke-width", 0.35);
    if !must {
        frame = frame.set("stroke-dasharray", "1 0.7");
    }
    pen.add(frame);
    pen.plain_letters(at, SMALL, words);
}
