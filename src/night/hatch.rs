//! Pieces of a flat ring, filled and hatched: what is told by colour is told by pattern too.
//!
//! Takes a [`Pen`], radii and an arc of bearings; draws with it. Patterns keep step round the whole ring, so that pieces
//! that follow one another look like one. Must never know what a pattern means.

use bevy::math::Vec2;

use super::{
    paint::{Pen, Sheet},
    ring::way,
};
use crate::measure::{Arc, Bearing};

/// A piece of a ring, radii in metres.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    pub sheet: &'a Sheet,
    pub inner: f32,
    pub outer: f32,
    pub arc: Arc,
}

/// Degrees between the straight sides that stand in for a circle.
const SIDE: f64 = 1.5;

impl Piece<'_> {
    fn depth(&self) -> f32 {
        self.outer - self.inner
    }

    fn radius(&self) -> f32 {
        (self.inner + self.outer) / 2.0
    }

    /// Metres along the middle of the ring that an angle makes.
    fn metres(&self, degrees: f64) -> f32 {
        degrees.to_radians() as f32 * self.radius()
    }

    /// How long it is along its middle, metres.
    pub fn length(&self) -> f32 {
        self.metres(self.arc.width)
    }

    /// The same piece between other radii.
    pub fn between(&self, inner: f32, outer: f32) -> Self {
        Self { inner, outer, ..*self }
    }

    /// A place by metres along the middle from right ahead, and out from the inner edge.
    fn place(&self, along: f32, out: f32) -> Vec2 {
        way(Bearing::new(f64::from(along / self.radius()).to_degrees())) * (self.inner + out)
    }

    /// From where to where it runs, metres along the middle from right ahead.
    fn ends(&self) -> (f32, f32) {
        let from = self.metres(self.arc.from.degrees());
        (from, from + self.length())
    }

    /// Covers it with one colour.
    pub fn fill(&self, pen: &mut Pen, colour: [f32; 4]) {
        self.shade(pen, [colour; 2]);
    }

    /// Covers it with a colour that turns into another from its inner to its outer edge.
    pub fn shade(&self, pen: &mut Pen, [within, without]: [[f32; 4]; 2]) {
        let count = (self.arc.width / SIDE).ceil().max(1.0) as u32;
        for side in 0..=count {
            let out = way(self.arc.from.turned(self.arc.width * f64::from(side) / f64::from(count)));
            let inner = pen.vertex(self.sheet.at(out * self.inner), within, Vec2::ZERO);
            let outer = pen.vertex(self.sheet.at(out * self.outer), without, Vec2::ZERO);
            if side > 0 {
                pen.triangle([inner - 2, outer - 2, outer]);
                pen.triangle([inner - 2, outer, inner]);
            }
        }
    }

    /// Slanted strokes, so many metres apart; `slope` 1 leans them clockwise on the way out, -1 the other way.
    pub fn strokes(&self, pen: &mut Pen, slope: f32, apart: f32, line: f32, colour: [f32; 4]) {
        let (from, to) = self.ends();
        let depth = self.depth();
        let lean = slope * depth;
        let first = ((from - lean.max(0.0)) / apart).ceil() as i32;
        let last = ((to - lean.min(0.0)) / apart).floor() as i32;
        for stroke in first..=last {
            let foot = stroke as f32 * apart;
            // Where it enters and leaves the piece, as shares of its way out.
            let at_ends = [(from - foot) / lean, (to - foot) / lean];
            let enters = at_ends[0].min(at_ends[1]).max(0.0);
            let leaves = at_ends[0].max(at_ends[1]).min(1.0);
            if leaves > enters {
                let [near, far] = [enters, leaves].map(|share| self.place(foot + lean * share, depth * share));
                pen.line(self.sheet, near, far, line, [colour; 2]);
            }
        }
    }

    /// Dots in two rows, so many metres apart; at least one, in the middle.
    pub fn dots(&self, pen: &mut Pen, apart: f32, size: f32, colour: [f32; 4]) {
        let (from, to) = self.ends();
        let mut any = false;
        for (row, share) in [(0.0, 0.3), (0.5, 0.7)] {
            let first = ((from + size) / apart - row).ceil() as i32;
            let last = ((to - size) / apart - row).floor() as i32;
            for dot in first..=last {
                let place = self.place((dot as f32 + row) * apart, self.depth() * share);
                pen.disc(self.sheet, place, size, colour);
                any = true;
            }
        }
        if !any {
            pen.disc(self.sheet, self.place((from + to) / 2.0, self.depth() / 2.0), size, colour);
        }
    }

    /// Its outline, drawn inward.
    pub fn rim(&self, pen: &mut Pen, line: f32, colour: [f32; 4]) {
        self.between(self.inner, self.inner + line).fill(pen, colour);
        self.between(self.outer - line, self.outer).fill(pen, colour);
        if self.arc.width < 360.0 {
            for edge in [self.arc.from, self.arc.to()] {
                let out = way(edge);
                pen.line(self.sheet, out * self.inner, out * self.outer, line, [colour; 2]);
            }
        }
    }
}
