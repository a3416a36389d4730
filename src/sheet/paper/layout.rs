//! Lays a set of sheets out on pages.
//!
//! Takes a [`Paper`]; gives each page as SVG whose unit is the millimetre. Headings keep with what follows; lines, rows and
//! drawings stay whole; heads of tables come again on every page.

use super::{
    Block, Drawing, Paper, Section,
    face::{self, width},
    ink::{HAIR, INK, Ink, Letter, MIST, SAND, SEA},
    table, tiles,
};
use crate::sheet::wrap;

/// Room at the edges of a page, millimetres.
const LEFT: f64 = 18.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 27.0;
const BOTTOM: f64 = 27.0;

/// What a check bar takes of a page.
pub(super) const BAR: f64 = 11.0;

/// Sizes of type in millimetres: a point is 0.353 mm, so none is under ten.
pub(super) const BODY: f64 = 3.75;
pub(super) const SMALL: f64 = 3.55;
const SUB: f64 = 4.7;
const TITLE: f64 = 6.6;
/// From line to line, as a share of the size.
pub(super) const LEADING: f64 = 1.36;

pub(super) const PLAIN: Letter = Letter { size: BODY, bold: false, ink: INK };
const CAPTION: Letter = Letter { size: SMALL, bold: false, ink: INK };
pub(super) const HEAVY: Letter = Letter { size: BODY, bold: true, ink: INK };

/// Every page as an SVG document.
pub fn pages(paper: &Paper) -> Vec<String> {
    let mut press = Press::new(paper);
    for (n, section) in paper.sections.iter().enumerate() {
        press.section(section, n == 0);
    }
    let count = press.pages.len();
    let pages = std::mem::take(&mut press.pages);
    pages.into_iter().enumerate().map(|(n, page)| press.finished(page, n + 1, count)).collect()
}

/// The pages as far as they are set, and where the next line goes.
pub(super) struct Press<'a> {
    paper: &'a Paper,
    pages: Vec<Ink>,
    pub y: f64,
    /// Whether something was set on the last page yet.
    begun: bool,
}

impl<'a> Press<'a> {
    fn new(paper: &'a Paper) -> Self {
        Self { paper, pages: vec![Ink::default()], y: TOP, begun: false }
    }

    /// Width of what is set.
    pub fn room(&self) -> f64 {
        self.paper.size.millimetres().0 - LEFT - RIGHT
    }

    /// Height of what a page holds.
    pub fn depth(&self) -> f64 {
        self.paper.size.millimetres().1 - TOP - BOTTOM
    }

    pub fn left(&self) -> f64 {
        LEFT
    }

    fn bottom(&self) -> f64 {
        TOP + self.depth()
    }

    pub fn page(&mut self) -> &mut Ink {
        self.begun = true;
        if self.pages.is_empty() {
            self.pages.push(Ink::default());
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    pub fn turn(&mut self) {
        self.pages.push(Ink::default());
        self.y = TOP;
        self.begun = false;
    }

    /// Turns the page where so much does not fit any more; tells whether it did.
    pub fn need(&mut self, height: f64) -> bool {
        let turns = self.begun && self.y + height > self.bottom();
        if turns {
            self.turn();
        }
        turns
    }

    pub fn skip(&mut self, height: f64) {
        if self.begun {
            self.y += height;
        }
    }

    fn section(&mut self, section: &Section, first: bool) {
        if first {
            self.title();
        } else if section.fresh && self.begun {
            self.turn();
        }
        self.need(45.0);
        self.skip(if first { 2.0 } else { 6.0 });
        let (left, y, room) = (LEFT, self.y, self.room());
        let page = self.page();
        page.frame((left, y), (room, 9.0), MIST, "none");
        page.frame((left, y), (1.8, 9.0), SEA, "none");
        page.words((left + 5.0, y + 6.3), Letter { size: 5.2, bold: true, ink: SEA }, &section.title);
        self.y += 13.0;
        for block in &section.blocks {
            self.block(block);
        }
    }

    fn title(&mut self) {
        let letter = Letter { size: TITLE, bold: true, ink: INK };
        let paper = self.paper;
        self.lines(&paper.title, letter, LEFT, self.room());
        self.y += 1.0;
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(words) => {
                self.need(28.0);
                self.skip(2.5);
                self.lines(words, Letter { size: SUB, bold: true, ink: SEA }, LEFT, self.room());
                self.y += 0.6;
            }
            Block::Words(words) => {
                self.lines(words, PLAIN, LEFT, self.room());
                self.y += 1.8;
            }
            Block::Beware(words) => self.beware(words),
            Block::Facts(facts) => self.facts(facts),
            Block::Points(points) => {
                for point in points {
                    self.marked(point, |page, at| page.dot((at.0 + 1.2, at.1 - 1.2), 0.6, SEA));
                }
                self.y += 1.2;
            }
            Block::Ticks(ticks) => {
                for tick in ticks {
                    self.marked(tick, tick_box);
                    self.y += 0.7;
                }
                self.y += 1.2;
            }
            Block::Table(given) => table::set(self, given),
            Block::Drawings(drawings) => self.drawings(drawings),
            Block::CheckBar => self.check_bar(),
            Block::Lines(names) => self.writing_lines(names),
        }
    }

    /// Words broken into lines from the current place on.
    pub fn lines(&mut self, words: &str, letter: Letter, left: f64, room: f64) {
        for line in broken(words, letter, room) {
            self.need(letter.size * LEADING);
            let at = (left, self.y + letter.size);
            self.page().words(at, letter, &line);
            self.y += letter.size * LEADING;
        }
    }

    /// Words behind a mark, which stands on their first line.
    fn marked(&mut self, words: &str, mark: impl Fn(&mut Ink, (f64, f64))) {
        const SET_IN: f64 = 6.5;
        let first = broken(words, PLAIN, self.room() - SET_IN).len().min(3) as f64;
        self.need(first * BODY * LEADING);
        let at = (LEFT, self.y + BODY);
        mark(self.page(), at);
        self.lines(words, PLAIN, LEFT + SET_IN, self.room() - SET_IN);
        self.y += 0.5;
    }

    fn beware(&mut self, words: &str) {
        let inner = self.room() - 10.0;
        let height = broken(words, PLAIN, inner).len() as f64 * BODY * LEADING + 4.5;
        self.need(height);
        let (y, room) = (self.y, self.room());
        let page = self.page();
        page.frame((LEFT, y), (room, height), SAND, "none");
        page.frame((LEFT, y), (1.8, height), "#b87a12", "none");
        self.y += 2.0;
        self.lines(words, PLAIN, LEFT + 5.0, inner);
        self.y = y + height + 2.5;
    }

    fn facts(&mut self, facts: &[(String, String)]) {
        let widest = facts.iter().map(|(name, _)| width(name, BODY, true)).fold(0.0, f64::max);
        let indent = (widest + 4.0).min(self.room() * 0.4);
        for (name, told) in facts {
            let (names, tolds) = (broken(name, HEAVY, indent - 3.0), broken(told, PLAIN, self.room() - indent));
            let rows = names.len().max(tolds.len());
            self.need(rows.min(4) as f64 * BODY * LEADING);
            for row in 0..rows {
                self.need(BODY * LEADING);
                let y = self.y + BODY;
                for (x, letter, lines) in [(LEFT, HEAVY, &names), (LEFT + indent, PLAIN, &tolds)] {
                    if let Some(line) = lines.get(row) {
                        self.page().words((x, y), letter, line);
                    }
                }
                self.y += BODY * LEADING;
            }
            self.y += 0.8;
        }
        self.y += 1.2;
    }

    fn drawings(&mut self, drawings: &[Drawing]) {
        const GAP: f64 = 6.0;
        let (mut x, mut row, mut barred) = (0.0, 0.0_f64, false);
        for drawing in drawings {
            let caption = caption(drawing);
            let below = if caption.is_empty() { 0.0 } else { caption.len() as f64 * SMALL * LEADING + 1.5 };
            let bar = if drawing.true_scale { BAR } else { 0.0 };
            if drawing.width > self.room() || drawing.height + below + bar > self.depth() {
                if x > 0.0 {
                    self.y += row + GAP;
                    (x, row) = (0.0, 0.0);
                }
                tiles::set(self, drawing);
                continue;
            }
            if x > 0.0 && x + drawing.width > self.room() {
                self.y += row + GAP;
                (x, row) = (0.0, 0.0);
            }
            if x == 0.0 {
                // Every page that must be true can be proved to be.
                if self.need(drawing.height + below + if barred { 0.0 } else { bar }) {
                    barred = false;
                }
                if drawing.true_scale && !barred {
                    self.check_bar();
                    barred = true;
                }
            } else if self.y + drawing.height + below > self.bottom() {
                self.turn();
                (x, row) = (0.0, 0.0);
                if drawing.true_scale {
                    self.check_bar();
                }
            }
            let at = (LEFT + x, self.y);
            self.page().elements(at, &drawing.elements);
            for (n, line) in caption.iter().enumerate() {
                let under = (at.0, at.1 + drawing.height + 0.5 + SMALL + n as f64 * SMALL * LEADING);
                self.page().words(under, CAPTION, line);
            }
            x += drawing.width + GAP;
            row = row.max(drawing.height + below);
        }
        self.y += row + 2.0;
    }

    pub fn check_bar(&mut self) {
        self.need(BAR);
        let (x, y) = (LEFT, self.y + 6.0);
        let page = self.page();
        page.rule((x, y), (x + 100.0, y), 0.5, INK);
        for n in 0..=10 {
            // The outer ticks end with the bar, so that it measures the same over them.
            let within = if n == 0 {
                0.125
            } else if n == 10 {
                -0.125
            } else {
                0.0
            };
            let at = x + 10.0 * f64::from(n) + within;
            page.rule((at, y - if n % 5 == 0 { 3.0 } else { 1.8 }), (at, y), 0.25, INK);
        }
        page.words((x + 104.0, y), PLAIN, "100 mm: measure this bar");
        self.y += BAR;
    }

    /// Two abreast.
    fn writing_lines(&mut self, names: &[String]) {
        let half = self.room() / 2.0;
        for pair in names.chunks(2) {
            self.need(15.0);
            let y = self.y + 10.0;
            for (n, name) in pair.iter().enumerate() {
                let x = LEFT + half * n as f64;
                let page = self.page();
                page.rule((x, y), (x + half - 6.0, y), 0.3, INK);
                page.words((x, y + SMALL + 0.8), Letter { size: SMALL, bold: false, ink: INK }, name);
            }
            self.y += 16.0;
        }
    }

    /// A page with its head and foot.
    fn finished(&self, page: Ink, number: usize, count: usize) -> String {
        let (wide, high) = self.paper.size.millimetres();
        let right = wide - RIGHT;
        let mut ink = Ink::default();
        ink.frame((0.0, 0.0), (wide, high), "#ffffff", "none");
        for (n, fill) in ["#c8402f", "#ffffff", "#2f8f5b"].into_iter().enumerate() {
            ink.dot((LEFT + 1.3 + 3.4 * n as f64, 12.2), 1.2, fill);
        }
        let small = Letter { size: SMALL, bold: false, ink: INK };
        ink.words((LEFT + 12.5, 13.5), Letter { bold: true, ..small }, &clipped(&self.paper.head.0, small, 105.0));
        ink.words_ending((right, 13.5), small, &self.paper.head.1);
        ink.words((LEFT + 12.5, 18.6), small, &clipped(&self.paper.below_head, small, right - LEFT - 12.5));
        ink.rule((LEFT, 21.5), (right, 21.5), 0.4, SEA);
        let mut y = high - 22.5;
        ink.rule((LEFT, y - 1.0), (right, y - 1.0), 0.3, HAIR);
        for line in broken(&self.paper.caution, small, right - LEFT).iter().take(2) {
            y += SMALL * 1.25;
            ink.words((LEFT, y), small, line);
        }
        let at = high - 8.0;
        ink.words((LEFT, at), small, &self.paper.foot);
        ink.words_ending((right, at), Letter { bold: true, ..small }, &format!("page {number} of {count}"));
        ink.0.push_str(&page.0);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"{high}mm\" viewBox=\"0 0 {wide} {high}\" \
             font-family=\"'{}', Helvetica, Arial, sans-serif\">\n{}</svg>\n",
            face::FAMILY,
            ink.0
        )
    }
}

/// What stands below a drawing, line by line. One in true scale says itself what it is.
fn caption(drawing: &Drawing) -> Vec<String> {
    if drawing.true_scale { Vec::new() } else { broken(&drawing.name, CAPTION, drawing.width) }
}

/// A box to tick on a line of type.
pub(super) fn tick_box(page: &mut Ink, (x, base): (f64, f64)) {
    page.frame((x + 0.2, base - 3.3), (3.8, 3.8), "#ffffff", INK);
}

/// Words in lines no wider than the room; a word that is wider is cut.
pub(super) fn broken(words: &str, letter: Letter, room: f64) -> Vec<String> {
    let measured = |piece: &str| width(piece, letter.size, letter.bold);
    let mut lines = Vec::new();
    for line in wrap::lines(words, room, measured) {
        let mut rest = line.as_str();
        while measured(rest) > room && rest.chars().count() > 1 {
            let fits =
                rest.char_indices().skip(1).map(|(at, _)| at).take_while(|at| measured(&rest[..*at]) <= room).last();
            let at = fits.or_else(|| rest.char_indices().nth(1).map(|(at, _)| at)).unwrap_or(rest.len());
            lines.push(rest[..at].to_owned());
            rest = &rest[at..];
        }
        lines.push(rest.to_owned());
    }
    if lines.is_empty() { vec![String::new()] } else { lines }
}

/// Words cut short with dots where they run wider than the room.
fn clipped(words: &str, letter: Letter, room: f64) -> String {
    let letters: Vec<char> = words.chars().collect();
    for keep in (0..=letters.len()).rev() {
        let dots = if keep < letters.len() { "…" } else { "" };
        let short: String = letters[..keep].iter().collect::<String>() + dots;
        if width(&short, letter.size, letter.bold) <= room {
            return short;
        }
    }
    String::new()
}
