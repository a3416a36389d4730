//! Words beside points of a drawing, none on another.
//!
//! Takes points in the order of their weight; gives each the first free place round it. Must never know what they name.

use crate::sheet::{
    paper,
    pen::{Pen, Spot},
};

/// What is taken already: left, top, right, bottom.
#[derive(Clone, Debug, Default)]
pub(super) struct Labels {
    taken: Vec<[f64; 4]>,
    room: (f64, f64),
}

impl Labels {
    /// On a drawing of this width and height.
    pub fn on(width: f64, height: f64) -> Self {
        Self { taken: Vec::new(), room: (width, height) }
    }

    /// Keeps words off a dot.
    pub fn keep_off(&mut self, (x, y): Spot, radius: f64) {
        self.taken.push([x - radius, y - radius, x + radius, y + radius]);
    }

    /// Writes words near a point, heavy, and keeps others off them.
    pub fn write(&mut self, pen: &mut Pen, at: Spot, size: f64, words: &str) {
        let width = paper::width(words, size, true);
        let place = self.place(at, size, width);
        self.taken.push(place);
        pen.heavy_words((place[0], place[3] - 0.2 * size), size, "start", words);
    }

    /// The first place that is free, going round and outward; the last looked at where none is.
    fn place(&self, (x, y): Spot, size: f64, width: f64) -> [f64; 4] {
        let mut last = [0.0; 4];
        for ring in 0..14 {
            let far = 1.6 + 1.5 * f64::from(ring);
            for turn in 0..12 {
                let (sin, cos) = f64::to_radians(30.0 * f64::from(turn)).sin_cos();
                let left = x
                    + far * cos
                    + if cos > 0.4 {
                        0.0
                    } else if cos < -0.4 {
                        -width
                    } else {
                        -width / 2.0
                    };
                let top = y - far * sin - size / 2.0 - sin * size / 2.0;
                last = [left, top, left + width, top + size];
                if self.free(last) {
                    return last;
                }
            }
        }
        last
    }

    fn free(&self, [left, top, right, bottom]: [f64; 4]) -> bool {
        let inside = left >= 0.5 && top >= 0.5 && right <= self.room.0 - 0.5 && bottom <= self.room.1 - 0.5;
        inside && self.taken.iter().all(|one| one[2] <= left || right <= one[0] || one[3] <= top || bottom <= one[1])
    }
}
