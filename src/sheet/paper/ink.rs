//! What goes onto one page: words, rules, frames and boxes to tick, as SVG elements.
//!
//! Takes places in millimetres; gives text of SVG. Must never know where the next line goes.

use std::fmt::Write;

use crate::sheet::pen::two;

/// Dark enough for any printer.
pub(super) const INK: &str = "#1d2126";
/// Rules and the bars of headings.
pub(super) const SEA: &str = "#1f4f63";
/// The ground of heads of tables and of frames.
pub(super) const MIST: &str = "#e9f0f2";
pub(super) const HAIR: &str = "#a9b8be";
/// The ground of what must not be missed.
pub(super) const SAND: &str = "#fbf1dc";

/// One page.
#[derive(Clone, Debug, Default)]
pub(super) struct Ink(pub String);

/// How words stand at their place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Letter {
    pub size: f64,
    pub bold: bool,
    pub ink: &'static str,
}

impl Ink {
    pub fn words(&mut self, (x, y): (f64, f64), letter: Letter, words: &str) {
        self.anchored((x, y), letter, "start", words);
    }

    pub fn words_ending(&mut self, at: (f64, f64), letter: Letter, words: &str) {
        self.anchored(at, letter, "end", words);
    }

    fn anchored(&mut self, (x, y): (f64, f64), letter: Letter, anchor: &str, words: &str) {
        let weight = if letter.bold { " font-weight=\"bold\"" } else { "" };
        let _ = writeln!(
            self.0,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\" fill=\"{}\"{weight}>{}</text>",
            two(x),
            two(y),
            letter.size,
            letter.ink,
            escaped(words)
        );
    }

    pub fn rule(&mut self, (x, y): (f64, f64), to: (f64, f64), width: f64, ink: &str) {
        let _ = writeln!(
            self.0,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\" stroke=\"{ink}\" stroke-width=\"{width}\"/>",
            three(x),
            three(y),
            three(to.0),
            three(to.1)
        );
    }

    pub fn frame(&mut self, (x, y): (f64, f64), (width, height): (f64, f64), fill: &str, stroke: &str) {
        let _ = writeln!(
            self.0,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"0.3\"/>",
            two(x),
            two(y),
            two(width),
            two(height)
        );
    }

    pub fn dot(&mut self, (x, y): (f64, f64), radius: f64, fill: &str) {
        let _ = writeln!(
            self.0,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{radius}\" fill=\"{fill}\" stroke=\"{INK}\" stroke-width=\"0.2\"/>",
            two(x),
            two(y)
        );
    }

    /// Elements drawn elsewhere, from their own upper left corner on.
    pub fn elements(&mut self, (x, y): (f64, f64), elements: &str) {
        let _ = writeln!(self.0, "<g transform=\"translate({} {})\">{elements}</g>", two(x), two(y));
    }

    /// A window onto elements drawn elsewhere.
    pub fn window(&mut self, (x, y): (f64, f64), (left, top): (f64, f64), (width, height): (f64, f64), elements: &str) {
        let _ = writeln!(
            self.0,
            "<svg x=\"{}\" y=\"{}\" width=\"{w}\" height=\"{h}\" viewBox=\"{} {} {w} {h}\" overflow=\"hidden\">{elements}</svg>",
            two(x),
            two(y),
            two(left),
            two(top),
            w = two(width),
            h = two(height)
        );
    }
}

/// Ends of rules are told finer than the rest: a check bar is measured by them.
fn three(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0 + 0.0
}

/// Words as they stand in SVG and HTML.
pub(super) fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Characters that no XML may hold.
            letter if letter.is_control() => out.push(' '),
            letter => out.push(letter),
        }
    }
    out
}
