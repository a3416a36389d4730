//! The sheet of a bracket in true scale, for paper: pieces with their folds and holes, the folded bracket from the side,
//! a bar to check the print by, and everything else in words.

use std::f64::consts::TAU;

use glam::DVec2;

use super::{CAUTIONS, HOLE_DATUM, HOLE_HEADS, finding_words, heading, hole_rows, joint_words, verdict};
use crate::{
    fitting::bracket::{Bracket, FoldMark, Piece, Profile, Stroke, outline::bounds},
    measure::trimmed,
    sheet::{
        paper::Drawing,
        pen::{INK, Pen, SMALL, Spot, spot, two, width_of},
        wrap,
    },
};

/// Paper of A4, upright, unless the pieces ask for more.
const PAPER: (f64, f64) = (210.0, 297.0);
const MARGIN: f64 = 10.0;
/// Room round a piece for its dimensions, millimetres: left, above, below.
const LEFT: f64 = 17.0;
const ABOVE: f64 = 10.0;
const BELOW: f64 = 13.0;
/// From line to line of small words.
const LEADING: f64 = 4.4;
const NORMAL: f64 = 3.6;

/// The whole sheet as SVG whose unit is the millimetre.
pub fn drawing(bracket: &Bracket) -> String {
    let blocks = blocks(bracket);
    let widest = blocks.iter().map(Block::width).fold(0.0, f64::max);
    let width = PAPER.0.max(widest + 2.0 * MARGIN).ceil();
    let (places, below) = flow(&blocks, width);
    let words = Words::of(bracket, width - 2.0 * MARGIN);
    let bar = if blocks.is_empty() { 0.0 } else { 9.0 };
    // All that is in true scale lies on the first page; words may run on to others of its height.
    let page = PAPER.1.max(below + bar + MARGIN).ceil();
    let lines = words.placed(below + bar, page);
    let pages = lines.last().map_or(1.0, |(y, _, _)| (y / page).ceil().max(1.0));
    let height = pages * page;
    let mut pen = Pen::new(width, height, (0.0, 0.0));
    pen.path(format!("M0 0 H{width} V{height} H0 Z"), "#ffffff", "none", 0.0);
    pen.heavy_words((MARGIN, 17.0), 5.0, "start", &heading(bracket));
    pen.words((MARGIN, 23.5), NORMAL, "start", &format!("{}. {}", bracket.title, verdict(bracket)));
    for (block, place) in blocks.iter().zip(places) {
        block.draw(&mut pen, place);
    }
    if !blocks.is_empty() {
        check_bar(&mut pen, (MARGIN, below + 5.0));
    }
    draw_words(&mut pen, &lines);
    pen.finish()
}

/// Each piece and the folded bracket in true scale by itself, to be set into other sheets.
pub fn pictures(bracket: &Bracket) -> Vec<Drawing> {
    let picture = |block: Block| {
        let (width, height) = (block.width(), block.height());
        let mut pen = Pen::new(width, height, (0.0, 0.0));
        block.draw(&mut pen, (0.0, 0.0));
        Drawing { name: block.name().into(), width, height, elements: pen.elements(), true_scale: true }
    };
    blocks(bracket).into_iter().map(picture).collect()
}

/// Something drawn in true scale.
enum Block<'a> {
    Piece(&'a Piece),
    Profile(&'a Profile),
}

fn blocks(bracket: &Bracket) -> Vec<Block<'_>> {
    bracket.pieces.iter().map(Block::Piece).chain(bracket.profile.as_ref().map(Block::Profile)).collect()
}

const PROFILE: &str = "folded, from the side";

impl Block<'_> {
    fn name(&self) -> &str {
        match self {
            Self::Piece(piece) => &piece.name,
            Self::Profile(_) => PROFILE,
        }
    }

    fn bounds(&self) -> (DVec2, DVec2) {
        match self {
            Self::Piece(piece) => bounds(&piece.outline),
            Self::Profile(profile) => {
                let all = profile.outline.iter().chain(&profile.seat).chain([&profile.lamp]);
                all.fold((DVec2::INFINITY, DVec2::NEG_INFINITY), |(low, high), at| (low.min(*at), high.max(*at)))
            }
        }
    }

    fn folds(&self) -> &[FoldMark] {
        if let Self::Piece(piece) = self { &piece.folds } else { &[] }
    }

    fn width(&self) -> f64 {
        let (low, high) = self.bounds();
        let labels = self.folds().iter().flat_map(fold_label).map(|line| width_of(&line, SMALL) + 3.0);
        let drawn = self.left() + high.x - low.x + labels.fold(0.0, f64::max);
        drawn.max(width_of(self.name(), SMALL)) + 4.0
    }

    /// Room to the left, for the dimension there.
    fn left(&self) -> f64 {
        if matches!(self, Self::Piece(_)) { LEFT } else { 0.0 }
    }

    fn height(&self) -> f64 {
        let (low, high) = self.bounds();
        ABOVE + high.y - low.y + BELOW
    }

    /// Draws it with its upper left corner at a spot.
    fn draw(&self, pen: &mut Pen, (x, y): Spot) {
        let (low, high) = self.bounds();
        pen.words((x, y + 4.0), SMALL, "start", self.name());
        let frame = Frame { left: x + self.left() - low.x, top: y + ABOVE + high.y };
        match self {
            Self::Piece(piece) => draw_piece(pen, piece, &frame),
            Self::Profile(profile) => draw_profile(pen, profile, &frame),
        }
    }
}

/// Blocks from left to right, as many rows as it takes: their places, and where the last row ends.
fn flow(blocks: &[Block], width: f64) -> (Vec<Spot>, f64) {
    let (mut x, mut y, mut row) = (MARGIN, 29.0, 0.0_f64);
    let mut places = Vec::new();
    for block in blocks {
        if x > MARGIN && x + block.width() > width - MARGIN {
            (x, y, row) = (MARGIN, y + row, 0.0);
        }
        places.push((x, y));
        x += block.width();
        row = row.max(block.height());
    }
    (places, y + row)
}

/// Where the origin of a piece lies on the page.
struct Frame {
    left: f64,
    top: f64,
}

impl Frame {
    fn at(&self, point: DVec2) -> Spot {
        (self.left + point.x, self.top - point.y)
    }
}

/// A closed outline as path data. Its arcs run anticlockwise seen with y up.
fn data(outline: &[Stroke], frame: &Frame) -> String {
    let mut out = String::new();
    for (n, stroke) in outline.iter().enumerate() {
        let [from, to] = stroke.ends();
        if n == 0 {
            out.push_str(&format!("M{} ", spot(frame.at(from))));
        }
        match stroke {
            Stroke::Line { .. } => out.push_str(&format!("L{} ", spot(frame.at(to)))),
            Stroke::Arc { centre, radius, from, to: end } => {
                let whole = end - from >= TAU - 1e-9;
                let half = whole.then(|| *centre + DVec2::from_angle(from + TAU / 2.0) * *radius);
                for (stop, large) in
                    half.map(|half| (half, 0)).into_iter().chain([(to, u8::from(!whole && end - from > TAU / 2.0))])
                {
                    out.push_str(&format!("A{r} {r} 0 {large} 0 {} ", spot(frame.at(stop)), r = two(*radius)));
                }
            }
        }
    }
    out.push('Z');
    out
}

fn draw_piece(pen: &mut Pen, piece: &Piece, frame: &Frame) {
    let (low, high) = bounds(&piece.outline);
    pen.path(data(&piece.outline, frame), "none", INK, 0.35);
    if !piece.inner.is_empty() {
        pen.path(data(&piece.inner, frame), "none", INK, 0.35);
    }
    if !piece.holes.is_empty() {
        let middle = [DVec2::new(piece.datum.x, low.y - 2.0), DVec2::new(piece.datum.x, high.y + 2.0)];
        pen.line(frame.at(middle[0]), frame.at(middle[1]), 0.13, "5 1 1 1");
    }
    for fold in &piece.folds {
        draw_fold(pen, fold, high.x, frame);
    }
    for (n, hole) in piece.holes.iter().enumerate() {
        let at = frame.at(hole.at);
        let radius = hole.drill / 2.0;
        pen.dot(at, two(radius), "none", INK);
        for way in [DVec2::X, DVec2::Y] {
            let arm = way * (radius + 1.0);
            pen.line((at.0 - arm.x, at.1 - arm.y), (at.0 + arm.x, at.1 + arm.y), 0.13, "");
        }
        let aside = radius * 0.75 + 0.8;
        pen.words((at.0 + aside, at.1 - aside), SMALL, "start", &(n + 1).to_string());
    }
    for (at, words) in &piece.marks {
        pen.words(frame.at(*at), SMALL, "middle", words);
    }
    dimensions(pen, low, high, frame);
}

/// Overall height to the left and overall width below.
fn dimensions(pen: &mut Pen, low: DVec2, high: DVec2, frame: &Frame) {
    let (left, bottom) = (low.x - 4.0, low.y - 5.0);
    let ends = [DVec2::new(left, low.y), DVec2::new(left, high.y)];
    pen.line(frame.at(ends[0]), frame.at(ends[1]), 0.18, "");
    for end in ends {
        pen.line(frame.at(end - DVec2::new(1.2, 0.0)), frame.at(DVec2::new(low.x - 0.8, end.y)), 0.18, "");
    }
    let at = frame.at(DVec2::new(left - 1.8, (low.y + high.y) / 2.0));
    pen.words((at.0, at.1 + 1.1), SMALL, "end", &trimmed(high.y - low.y, 1));
    let ends = [DVec2::new(low.x, bottom), DVec2::new(high.x, bottom)];
    pen.line(frame.at(ends[0]), frame.at(ends[1]), 0.18, "");
    for end in ends {
        pen.line(frame.at(end - DVec2::new(0.0, 1.2)), frame.at(DVec2::new(end.x, low.y - 0.8)), 0.18, "");
    }
    let at = frame.at(DVec2::new((low.x + high.x) / 2.0, bottom));
    pen.words((at.0, at.1 + 4.4), SMALL, "middle", &trimmed(high.x - low.x, 1));
}

/// What stands beside a fold, line by line.
fn fold_label(fold: &FoldMark) -> [String; 3] {
    let [begins, middle, ends] = fold.from_edge.map(|at| trimmed(at, 1));
    let way = if fold.toward { "toward you" } else { "away from you" };
    [
        format!("{}\u{b0} {way}", trimmed(fold.degrees, 1)),
        format!("middle {middle} from edge"),
        format!("from {ends} to {begins}"),
    ]
}

fn draw_fold(pen: &mut Pen, fold: &FoldMark, right: f64, frame: &Frame) {
    let [begins, middle, ends] = fold.lines;
    for line in [begins, ends] {
        pen.line(frame.at(line[0]), frame.at(line[1]), 0.13, "0.8 0.8");
    }
    pen.line(frame.at(middle[0]), frame.at(middle[1]), 0.35, "3 1.5");
    let at = frame.at(DVec2::new(right + 2.5, middle[1].y));
    for (n, line) in fold_label(fold).iter().enumerate() {
        pen.words((at.0, at.1 + 1.1 + (n as f64 - 1.0) * LEADING), SMALL, "start", line);
    }
}

fn draw_profile(pen: &mut Pen, profile: &Profile, frame: &Frame) {
    let [from, to] = profile.seat;
    pen.line(frame.at(from), frame.at(to), 0.25, "");
    let strokes = 14;
    for n in 0..strokes {
        let at = frame.at(from.lerp(to, (f64::from(n) + 0.7) / f64::from(strokes)));
        pen.line(at, (at.0 - 2.0, at.1 + 2.0), 0.13, "");
    }
    let points: Vec<String> = profile.outline.iter().map(|at| spot(frame.at(*at))).collect();
    pen.path(format!("M{} Z", points.join(" L")), "#e3e5e8", INK, 0.25);
    let lamp = frame.at(profile.lamp);
    pen.line(frame.at(profile.held), lamp, 0.13, "5 1 1 1");
    for arm in [(2.0, 0.0), (0.0, 2.0)] {
        pen.line((lamp.0 - arm.0, lamp.1 - arm.1), (lamp.0 + arm.0, lamp.1 + arm.1), 0.25, "");
    }
    pen.words((lamp.0, lamp.1 - 3.0), SMALL, "middle", "lamp");
    let seat = frame.at(to);
    pen.words((seat.0, seat.1 + 6.5), SMALL, "end", "deck");
}

fn check_bar(pen: &mut Pen, (x, y): Spot) {
    pen.line((x, y), (x + 100.0, y), 0.5, "");
    for n in 0..=10 {
        let at = x + 10.0 * f64::from(n);
        pen.line((at, y - if n % 5 == 0 { 2.5 } else { 1.5 }), (at, y), 0.25, "");
    }
    pen.words((x + 103.0, y), SMALL, "start", "100 mm: measure this bar on the print");
}

/// The words below the drawing: lines, each with where it begins and whether it is a heading.
struct Words {
    lines: Vec<(Row, bool)>,
}

/// A line in pieces, each with how far in it stands.
type Row = Vec<(f64, String)>;

impl Words {
    fn of(bracket: &Bracket, width: f64) -> Self {
        let mut words = Self { lines: Vec::new() };
        for finding in &bracket.findings {
            let (what, mend) = finding_words(finding);
            words.wrapped("", &what, width);
            words.wrapped("", &mend, width);
        }
        for piece in bracket.pieces.iter().filter(|piece| !piece.holes.is_empty()) {
            words.heading(&format!("Holes: {}", piece.name));
            let columns = |row: [&str; 5]| {
                let [hole, drill, purpose, right, down] = row;
                [(0.0, hole), (12.0, drill), (26.0, right), (42.0, down), (58.0, purpose)]
                    .map(|(x, word)| (x, word.to_owned()))
                    .to_vec()
            };
            words.lines.push((columns(HOLE_HEADS), false));
            for row in hole_rows(piece) {
                words.lines.push((columns(row.each_ref().map(String::as_str)), false));
            }
            words.wrapped("", HOLE_DATUM, width);
        }
        words.heading("Figures");
        let joint = bracket.joint.iter().flat_map(joint_words);
        for (name, told) in bracket.facts.iter().cloned().chain(joint) {
            words.wrapped(name, &told, width);
        }
        words.heading("Notes");
        for note in &bracket.notes {
            words.wrapped("", note, width);
        }
        words.wrapped("", CAUTIONS, width);
        words
    }

    fn heading(&mut self, heading: &str) {
        self.lines.push((vec![(0.0, heading.into())], true));
    }

    /// Words of any length under a name that stands before them.
    fn wrapped(&mut self, name: &str, told: &str, width: f64) {
        let indent = if name.is_empty() { 0.0 } else { 20.0 };
        let broken = wrap::lines(told, width - indent, |piece| width_of(piece, SMALL));
        for (n, line) in broken.into_iter().enumerate() {
            let mut row = vec![(indent, line)];
            if n == 0 && !name.is_empty() {
                row.insert(0, (0.0, name.into()));
            }
            self.lines.push((row, false));
        }
    }

    /// The lines from a height on, each with its own. A section that would run across the border of two pages begins on
    /// the next one, if it has room there.
    fn placed(self, top: f64, page: f64) -> Vec<(f64, Row, bool)> {
        let room = page - 2.0 * MARGIN;
        let mut placed = Vec::new();
        let mut y = top;
        for section in self.sections() {
            let height = section.len() as f64 * LEADING + 2.0;
            let left = page - MARGIN - y.rem_euclid(page);
            if height > left && height <= room {
                y = (y / page).floor() * page + page + MARGIN;
            }
            for (row, heading) in section {
                y += LEADING + if heading { 2.0 } else { 0.0 };
                if y.rem_euclid(page) > page - MARGIN {
                    y = (y / page).floor() * page + page + MARGIN + LEADING;
                }
                placed.push((y, row, heading));
            }
        }
        placed
    }

    /// The lines from each heading to the next.
    fn sections(self) -> Vec<Vec<(Row, bool)>> {
        let mut sections: Vec<Vec<(Row, bool)>> = Vec::new();
        for line in self.lines {
            match sections.last_mut().filter(|_| !line.1) {
                Some(section) => section.push(line),
                None => sections.push(vec![line]),
            }
        }
        sections
    }
}

fn draw_words(pen: &mut Pen, lines: &[(f64, Row, bool)]) {
    for (y, row, heading) in lines {
        for (x, words) in row {
            let at = (MARGIN + x, *y);
            if *heading {
                pen.heavy_words(at, SMALL, "start", words);
            } else {
                pen.words(at, SMALL, "start", words);
            }
        }
    }
}
