//! Words and letters along a ring, kept clear of one another and of what they must not cover.

use crate::{
    light::Colour,
    measure::{Arc, Bearing},
    sheet::pen::{INK, Pen, SMALL, width_of},
};

use super::layout::Strip;

/// Radius of the round ground under a letter, millimetres.
const ROUND: f64 = 2.2;

/// One strip of a ring, and what stands on it already.
pub(super) struct Lane {
    strip: Strip,
    taken: Vec<Arc>,
}

impl Lane {
    /// An empty strip; `taken` may not be written on.
    pub fn new(strip: Strip, taken: Vec<Arc>) -> Self {
        Self { strip, taken }
    }

    /// Whether words on this strip and on its neighbours stand clear of one another.
    pub fn is_roomy(&self) -> bool {
        self.strip.depth() >= 3.5
    }

    /// Half the angle that so many millimetres take on this strip.
    fn half(&self, width: f64) -> f64 {
        (width / 2.0 / self.strip.middle()).to_degrees()
    }

    fn is_free(&self, centre: Bearing, half: f64) -> bool {
        self.taken.iter().all(|arc| arc.depth(centre) < -half)
    }

    fn take(&mut self, centre: Bearing, half: f64) {
        self.taken.push(Arc { from: centre.turned(-half), width: 2.0 * half });
    }

    /// The free place within an arc at which words run most nearly level.
    fn place(&self, arc: Arc, half: f64) -> Option<Bearing> {
        let off_level = |bearing: &Bearing| {
            let off_ahead = bearing.clockwise_of(Bearing::AHEAD).abs();
            off_ahead.min(180.5 - off_ahead)
        };
        let count = arc.width.ceil() as u32;
        (0..=count)
            .map(|n| arc.from.turned(f64::from(n) / f64::from(count.max(1)) * arc.width))
            .filter(|bearing| arc.depth(*bearing) >= half && self.is_free(*bearing, half))
            .min_by(|a, b| off_level(a).total_cmp(&off_level(b)))
    }

    /// The first of some words that fits within an arc, on a plain ground that stops the hatching. Whether one did.
    pub fn words(&mut self, pen: &mut Pen, arc: Arc, ground: &str, choices: &[&str]) -> bool {
        for words in choices {
            let half = self.half(width_of(words, SMALL) + 3.0);
            let Some(centre) = self.place(arc, half) else { continue };
            let deep = (self.strip.depth() - 0.5).clamp(2.6, 4.2) / 2.0;
            let middle = self.strip.middle();
            let under = Arc { from: centre.turned(-half), width: 2.0 * half };
            pen.path(pen.piece(middle - deep, middle + deep, under), ground, "none", 0.0);
            pen.bent(middle, centre, SMALL, words);
            self.take(centre, half + 0.5);
            return true;
        }
        false
    }

    /// The letter of a colour, again and again along its arc.
    pub fn letters(&mut self, pen: &mut Pen, arc: Arc, colour: Colour) {
        let length = arc.width.to_radians() * self.strip.middle();
        if length < 5.0 {
            return;
        }
        let half = self.half(2.0 * ROUND);
        let count = (length / 42.0).round().max(1.0) as u32;
        for n in 0..count {
            let bearing = arc.from.turned((f64::from(n) + 0.5) / f64::from(count) * arc.width);
            if !self.is_free(bearing, half) {
                continue;
            }
            let at = pen.at(self.strip.middle(), bearing);
            // White needs no ground of its own.
            if colour != Colour::White {
                pen.dot(at, ROUND, "#ffffff", INK);
            }
            pen.letters(at, 3.4, &colour.letter().to_string());
            self.take(bearing, half);
        }
    }

    /// A sign for a difference on its arc, or beside it where the arc is narrow or covered.
    pub fn sign(&mut self, pen: &mut Pen, arc: Arc, words: &str) {
        let half = self.half(6.4);
        let within = [0.5, 0.25, 0.75, 0.12, 0.88].map(|share| arc.from.turned(share * arc.width));
        let steps = (0..16).map(|n| half + 0.5 + 2.0 * f64::from(n));
        let beside = steps.flat_map(|off| [arc.to().turned(off), arc.from.turned(-off)]);
        let wide = arc.width >= 2.0 * half;
        let places = within.into_iter().filter(|_| wide).chain(beside);
        let Some(bearing) = places.into_iter().find(|bearing| self.is_free(*bearing, half)) else { return };
        let at = pen.at(self.strip.middle(), bearing);
        pen.dot(at, 3.1, INK, "none");
        pen.dot(at, 2.7, "#ffffff", "none");
        pen.letters(at, SMALL, words);
        self.take(bearing, half);
    }
}
