//! The drawing hand of the figures on paper: points, ring pieces and lettering by bearing and radius, on a page in
//! millimetres.
//!
//! Takes numbers and words; gives SVG elements. Must never know what it draws.

use svg::{
    Document, Node,
    node::element::{Circle, Line, Path, Text},
};

use crate::measure::{Arc, Bearing};

/// Dark enough for any printer, softer than black.
pub(super) const INK: &str = "#1d2126";
pub(super) const FAINT: &str = "#8b9299";
const FONT: &str = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";
/// Nine points, the smallest lettering on the sheet, in millimetres.
pub(super) const SMALL: f64 = 3.2;

/// A point of the page, millimetres right and down.
pub(super) type Spot = (f64, f64);

/// The page being drawn, with the middle of the plot that bearings are drawn about.
pub(super) struct Pen {
    document: Document,
    middle: Spot,
}

impl Pen {
    pub fn new(width: f64, height: f64, middle: Spot) -> Self {
        let document = Document::new()
            .set("width", format!("{width}mm"))
            .set("height", format!("{height}mm"))
            .set("viewBox", (0.0, 0.0, width, height))
            .set("font-family", FONT);
        Self { document, middle }
    }

    /// Draws bearings about another middle from here on.
    pub fn about(&mut self, middle: Spot) {
        self.middle = middle;
    }

    pub fn finish(self) -> String {
        format!("{}\n", self.document)
    }

    /// The elements alone, to be set into another page.
    pub fn elements(self) -> String {
        let whole = self.document.to_string();
        let inside = whole.split_once('>').map_or("", |(_, rest)| rest);
        inside.rsplit_once("</svg>").map_or(inside, |(elements, _)| elements).trim().into()
    }

    pub fn add(&mut self, node: impl Into<Box<dyn Node>>) {
        self.document.append(node);
    }

    /// Where a bearing lies at a radius: ahead up, starboard to the right.
    pub fn at(&self, radius: f64, bearing: Bearing) -> Spot {
        let (sin, cos) = bearing.degrees().to_radians().sin_cos();
        (self.middle.0 + radius * sin, self.middle.1 - radius * cos)
    }

    /// A piece of a ring, as path data.
    pub fn piece(&self, inner: f64, outer: f64, arc: Arc) -> String {
        if arc.width >= 360.0 {
            return format!("{} {}", self.circle_data(outer, 1), self.circle_data(inner, 0));
        }
        let large = u8::from(arc.width > 180.0);
        let [a, b] = [self.at(outer, arc.from), self.at(outer, arc.to())];
        let [c, d] = [self.at(inner, arc.to()), self.at(inner, arc.from)];
        format!(
            "M{} A{outer} {outer} 0 {large} 1 {} L{} A{inner} {inner} 0 {large} 0 {} Z",
            spot(a),
            spot(b),
            spot(c),
            spot(d)
        )
    }

    fn circle_data(&self, radius: f64, sweep: u8) -> String {
        let [top, bottom] = [self.at(radius, Bearing::AHEAD), self.at(radius, Bearing::ASTERN)];
        format!(
            "M{} A{radius} {radius} 0 1 {sweep} {} A{radius} {radius} 0 1 {sweep} {} Z",
            spot(top),
            spot(bottom),
            spot(top)
        )
    }

    /// A line along an arc, as path data.
    pub fn along(&self, radius: f64, arc: Arc) -> String {
        if arc.width >= 360.0 {
            return self.circle_data(radius, 1);
        }
        let large = u8::from(arc.width > 180.0);
        format!(
            "M{} A{radius} {radius} 0 {large} 1 {}",
            spot(self.at(radius, arc.from)),
            spot(self.at(radius, arc.to()))
        )
    }

    /// Short strokes across a ring, about `gap` millimetres apart, as path data.
    pub fn across(&self, inner: f64, outer: f64, arc: Arc, gap: f64) -> String {
        let count = (outer * arc.width.to_radians() / gap).round().clamp(1.0, 2000.0) as u32;
        (0..count)
            .map(|n| arc.from.turned((f64::from(n) + 0.5) / f64::from(count) * arc.width))
            .map(|bearing| format!("M{} L{} ", spot(self.at(inner, bearing)), spot(self.at(outer, bearing))))
            .collect()
    }

    pub fn path(&mut self, data: String, fill: &str, stroke: &str, width: f64) {
        self.add(
            Path::new()
                .set("d", data)
                .set("fill", fill)
                .set("fill-rule", "evenodd")
                .set("stroke", stroke)
                .set("stroke-width", width)
                .set("stroke-linejoin", "round"),
        );
    }

    /// An outline of dashes.
    pub fn dashed(&mut self, data: String, fill: &str, width: f64) {
        let path = Path::new().set("d", data).set("fill", fill).set("fill-rule", "evenodd").set("stroke", INK);
        self.add(path.set("stroke-width", width).set("stroke-dasharray", "1.6 1"));
    }

    pub fn line(&mut self, from: Spot, to: Spot, width: f64, dashes: &str) {
        let mut line = Line::new()
            .set("x1", two(from.0))
            .set("y1", two(from.1))
            .set("x2", two(to.0))
            .set("y2", two(to.1))
            .set("stroke", INK)
            .set("stroke-width", width);
        if !dashes.is_empty() {
            line = line.set("stroke-dasharray", dashes);
        }
        self.add(line);
    }

    pub fn dot(&mut self, at: Spot, radius: f64, fill: &str, stroke: &str) {
        self.add(
            Circle::new()
                .set("cx", two(at.0))
                .set("cy", two(at.1))
                .set("r", radius)
                .set("fill", fill)
                .set("stroke", stroke)
                .set("stroke-width", 0.25),
        );
    }

    /// Words on a level line; `anchor` is `start`, `middle` or `end`.
    pub fn words(&mut self, at: Spot, size: f64, anchor: &str, words: &str) {
        self.add(lettering(at, size, anchor, words));
    }

    pub fn heavy_words(&mut self, at: Spot, size: f64, anchor: &str, words: &str) {
        self.add(lettering(at, size, anchor, words).set("font-weight", "bold"));
    }

    /// A letter or two centred on a spot, upright and heavy.
    pub fn letters(&mut self, at: Spot, size: f64, letters: &str) {
        self.heavy_words((at.0, at.1 + 0.36 * size), size, "middle", letters);
    }

    /// The same without a white rim, for a ground of its own.
    pub fn plain_letters(&mut self, at: Spot, size: f64, letters: &str) {
        let text = lettering((at.0, at.1 + 0.36 * size), size, "middle", letters);
        self.add(text.set("font-weight", "bold").set("stroke", "none"));
    }

    /// Words bent along a ring, centred on a bearing; in the lower half they run the other way, so as to be read from
    /// below. Bent word by word.
    pub fn bent(&mut self, radius: f64, centre: Bearing, size: f64, words: &str) {
        let below = (90.0..=270.0).contains(&centre.degrees());
        let (way, baseline, turn) =
            if below { (-1.0, radius + 0.36 * size, 180.0) } else { (1.0, radius - 0.36 * size, 0.0) };
        let total = width_of(words, size);
        let mut travelled = -total / 2.0;
        for word in words.split(' ') {
            let width = width_of(word, size);
            let bearing = centre.turned(way * ((travelled + width / 2.0) / radius).to_degrees());
            let at = self.at(baseline, bearing);
            let angle = two(bearing.degrees() + turn);
            let text = lettering(at, size, "middle", word)
                .set("transform", format!("rotate({angle} {} {})", two(at.0), two(at.1)));
            self.add(text);
            travelled += width + width_of(" ", size);
        }
    }
}

fn lettering(at: Spot, size: f64, anchor: &str, words: &str) -> Text {
    // A name may hold what no drawing can.
    Text::new(words.replace(char::is_control, " "))
        .set("x", two(at.0))
        .set("y", two(at.1))
        .set("font-size", size)
        .set("text-anchor", anchor)
        .set("fill", INK)
        // A white rim keeps words legible over any hatching.
        .set("stroke", "#ffffff")
        .set("stroke-width", 0.7)
        .set("stroke-linejoin", "round")
        .set("paint-order", "stroke")
}

/// About how wide words run in a plain sans-serif face, in the unit of `size`; rather too wide than too narrow, since
/// the reader's face is not known.
pub(super) fn width_of(words: &str, size: f64) -> f64 {
    let each = |letter: char| match letter {
        'i' | 'j' | 'l' | 't' | 'f' | 'I' | '.' | ',' | ':' | ';' | '\'' | ' ' | '(' | ')' => 0.3,
        'r' | '-' => 0.37,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' => 0.52,
        'm' | 'w' | 'M' | 'W' => 0.86,
        letter if letter.is_uppercase() => 0.7,
        _ => 0.57,
    };
    words.chars().map(each).sum::<f64>() * size
}

/// Hundredths of a millimetre are fine enough for paper.
pub(super) fn two(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

pub(super) fn spot(at: Spot) -> String {
    format!("{} {}", two(at.0), two(at.1))
}
