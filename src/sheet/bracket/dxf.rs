//! Pieces to cut as DXF of release 12 (AC1009), which every cutting program reads: millimetres, y up.
//!
//! Takes a bracket worked out; gives text. Layers: `CUT` is cut through, `FOLD` is scribed and folded along, `MARK` is for
//! people. What the format asks was written from memory of its published reference; `tests/brackets.rs` reads it back
//! with a general library. Must never know why a piece is as it is.

use std::{f64::consts::TAU, fmt::Write};

use glam::DVec2;

use super::heading;
use crate::{
    fitting::bracket::{Bracket, FoldMark, Piece, Stroke, outline::bounds},
    measure::trimmed,
};

/// Layer, colour by number (white or black, red, green) and line type.
const LAYERS: [(&str, u8, &str); 3] = [("CUT", 7, "CONTINUOUS"), ("FOLD", 1, "DASHED"), ("MARK", 3, "CONTINUOUS")];
/// Room between pieces, millimetres.
const GAP: f64 = 15.0;
/// Height of lettering, millimetres.
const LETTERS: f64 = 3.0;

/// All pieces side by side; no entities but words where there is nothing to cut.
pub fn dxf(bracket: &Bracket) -> String {
    let mut file = File::default();
    let mut left = 0.0;
    for piece in &bracket.pieces {
        let (low, high) = bounds(&piece.outline);
        let move_by = DVec2::new(left - low.x, -low.y);
        file.piece(piece, move_by);
        left += high.x - low.x + GAP;
    }
    let lines = [heading(bracket), bracket.title.clone(), "Millimetres. CUT through, FOLD along, MARK to read.".into()];
    for (n, line) in lines.iter().enumerate() {
        file.words(DVec2::new(0.0, -12.0 - n as f64 * 1.6 * LETTERS), line);
    }
    file.whole()
}

#[derive(Default)]
struct File {
    entities: String,
    low: DVec2,
    high: DVec2,
}

/// One pair of a group code and its value.
fn pair(out: &mut String, code: u16, value: &str) {
    let _ = write!(out, "{code:>3}\n{value}\n");
}

fn number(value: f64) -> String {
    let text = trimmed(value, 6);
    if text.contains('.') { text } else { format!("{text}.0") }
}

impl File {
    fn entity(&mut self, kind: &str, layer: &str) {
        pair(&mut self.entities, 0, kind);
        pair(&mut self.entities, 8, layer);
    }

    /// A point by its three group codes, the first of which is given.
    fn point(&mut self, code: u16, at: DVec2) {
        (self.low, self.high) = (self.low.min(at), self.high.max(at));
        for (offset, value) in [(0, at.x), (10, at.y), (20, 0.0)] {
            pair(&mut self.entities, code + offset, &number(value));
        }
    }

    fn size(&mut self, code: u16, value: f64) {
        pair(&mut self.entities, code, &number(value));
    }

    fn line(&mut self, layer: &str, from: DVec2, to: DVec2) {
        self.entity("LINE", layer);
        self.point(10, from);
        self.point(11, to);
    }

    fn circle(&mut self, layer: &str, centre: DVec2, radius: f64) {
        self.entity("CIRCLE", layer);
        self.point(10, centre);
        self.size(40, radius);
    }

    fn words(&mut self, at: DVec2, words: &str) {
        self.entity("TEXT", "MARK");
        self.point(10, at);
        self.size(40, LETTERS);
        pair(&mut self.entities, 1, &plain(words));
    }

    fn stroke(&mut self, stroke: &Stroke, by: DVec2) {
        match *stroke {
            Stroke::Line { from, to } => self.line("CUT", from + by, to + by),
            Stroke::Arc { centre, radius, from, to } if to - from >= TAU - 1e-9 => {
                self.circle("CUT", centre + by, radius);
                let _ = from;
            }
            Stroke::Arc { centre, radius, from, to } => {
                self.entity("ARC", "CUT");
                self.point(10, centre + by);
                self.size(40, radius);
                self.size(50, from.to_degrees().rem_euclid(360.0));
                self.size(51, to.to_degrees().rem_euclid(360.0));
            }
        }
    }

    fn piece(&mut self, piece: &Piece, by: DVec2) {
        piece.outline.iter().chain(&piece.inner).for_each(|stroke| self.stroke(stroke, by));
        for hole in &piece.holes {
            self.circle("CUT", hole.at + by, hole.drill / 2.0);
        }
        piece.folds.iter().for_each(|fold| self.fold(fold, by));
        for (at, words) in &piece.marks {
            self.words(*at + by, words);
        }
        let (low, _) = bounds(&piece.outline);
        self.words(low + by - DVec2::new(0.0, 1.8 * LETTERS), &piece.name);
    }

    /// The middle of a fold to fold along; where it begins and ends, to read.
    fn fold(&mut self, fold: &FoldMark, by: DVec2) {
        let [begins, middle, ends] = fold.lines;
        self.line("FOLD", middle[0] + by, middle[1] + by);
        for line in [begins, ends] {
            self.line("MARK", line[0] + by, line[1] + by);
        }
        let way = if fold.toward { "UP" } else { "DOWN" };
        let words = format!("{way} {}", trimmed(fold.degrees, 1));
        self.words(middle[0] + by + DVec2::new(1.0, 0.6), &words);
    }

    fn whole(self) -> String {
        let mut out = String::new();
        pair(&mut out, 999, "millimetres");
        pair(&mut out, 0, "SECTION");
        pair(&mut out, 2, "HEADER");
        pair(&mut out, 9, "$ACADVER");
        pair(&mut out, 1, "AC1009");
        for (name, at) in [("$EXTMIN", self.low), ("$EXTMAX", self.high)] {
            pair(&mut out, 9, name);
            for (code, value) in [(10, at.x), (20, at.y), (30, 0.0)] {
                pair(&mut out, code, &number(value));
            }
        }
        pair(&mut out, 0, "ENDSEC");
        pair(&mut out, 0, "SECTION");
        pair(&mut out, 2, "TABLES");
        line_types(&mut out);
        layers(&mut out);
        pair(&mut out, 0, "ENDSEC");
        pair(&mut out, 0, "SECTION");
        pair(&mut out, 2, "ENTITIES");
        out.push_str(&self.entities);
        pair(&mut out, 0, "ENDSEC");
        pair(&mut out, 0, "EOF");
        out
    }
}

fn line_types(out: &mut String) {
    pair(out, 0, "TABLE");
    pair(out, 2, "LTYPE");
    pair(out, 70, "2");
    for (name, looks, dashes) in [("CONTINUOUS", "Solid line", &[][..]), ("DASHED", "__ __ __", &[4.0, -2.0][..])] {
        pair(out, 0, "LTYPE");
        pair(out, 2, name);
        pair(out, 70, "64");
        pair(out, 3, looks);
        pair(out, 72, "65");
        pair(out, 73, &dashes.len().to_string());
        pair(out, 40, &number(dashes.iter().map(|dash: &f64| dash.abs()).sum()));
        dashes.iter().for_each(|dash| pair(out, 49, &number(*dash)));
    }
    pair(out, 0, "ENDTAB");
}

fn layers(out: &mut String) {
    pair(out, 0, "TABLE");
    pair(out, 2, "LAYER");
    pair(out, 70, &LAYERS.len().to_string());
    for (name, colour, line) in LAYERS {
        pair(out, 0, "LAYER");
        pair(out, 2, name);
        pair(out, 70, "64");
        pair(out, 62, &colour.to_string());
        pair(out, 6, line);
    }
    pair(out, 0, "ENDTAB");
}

/// Letters that release 12 has: others become a question mark, and no line ends inside.
fn plain(words: &str) -> String {
    words.chars().map(|letter| if letter.is_ascii() && !letter.is_ascii_control() { letter } else { '?' }).collect()
}
