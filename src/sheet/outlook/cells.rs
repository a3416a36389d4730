//! Where the cells of an outlook lie on the page, and cells of one kind as one outline.
//!
//! Takes cells by column and row; gives path data. Must never know what the cells hold.

use std::fmt::Write;

use crate::{
    measure::{Arc, Bearing, Degrees},
    sheet::pen::{Spot, two},
    survey::Outlook,
};

/// The frame of a strip: dead astern at both ends, ahead in the middle, the highest elevation along the top.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
}

impl Frame {
    /// Degrees clockwise from dead astern, in `[0, 360)`.
    fn round(bearing: Bearing) -> f64 {
        (bearing.degrees() - 180.0).rem_euclid(360.0)
    }

    /// So many degrees clockwise from dead astern, across the page.
    pub fn across(&self, round: f64) -> f64 {
        self.left + self.width * round / 360.0
    }

    pub fn x(&self, bearing: Bearing) -> f64 {
        self.across(Self::round(bearing))
    }

    pub fn y(&self, elevation: Degrees) -> f64 {
        self.top + self.height * (0.5 - elevation.0 / (2.0 * Outlook::HIGHEST))
    }

    pub fn at(&self, bearing: Bearing, elevation: Degrees) -> Spot {
        (self.x(bearing), self.y(elevation))
    }

    pub fn bottom(&self) -> f64 {
        self.top + self.height
    }

    pub fn right(&self) -> f64 {
        self.left + self.width
    }

    /// An arc as stretches across the page: two where it runs past dead astern.
    pub fn stretches(&self, arc: Arc) -> Vec<(f64, f64)> {
        if arc.width >= 360.0 {
            return vec![(self.left, self.right())];
        }
        let from = Self::round(arc.from);
        let to = from + arc.width;
        if to <= 360.0 + 1e-9 {
            return vec![(self.across(from), self.across(to.min(360.0)))];
        }
        vec![(self.left, self.across(to - 360.0)), (self.across(from), self.right())]
    }

    /// The edges of a cell's place: cells `each` wide, the first and last cut in half by the frame.
    fn edge(place: u32, most: u32) -> f64 {
        (f64::from(place) - 0.5).clamp(0.0, f64::from(most)) / f64::from(most)
    }

    /// All cells that `held` picks by column and row, as one outline.
    pub fn outline(&self, held: impl Fn(u32, u32) -> bool) -> String {
        let (columns, rows) = (Outlook::BEARINGS, Outlook::ELEVATIONS - 1);
        let column = |place: u32| (place + columns / 2) % columns;
        let mut open: Vec<(u32, u32, u32)> = Vec::new();
        let mut data = String::new();
        for row in 0..=rows + 1 {
            let runs = if row > rows { Vec::new() } else { runs(columns, |place| held(column(place), row)) };
            let (kept, closed): (Vec<_>, Vec<_>) =
                open.into_iter().partition(|(from, to, _)| runs.contains(&(*from, *to)));
            for (from, to, first) in closed {
                let [x, far] = [from, to].map(|place| two(self.left + self.width * Self::edge(place, columns)));
                let [low, high] = [first, row].map(|row| two(self.bottom() - self.height * Self::edge(row, rows)));
                // Writing to a string never fails.
                let _ = write!(data, "M{x} {high}H{far}V{low}H{x}Z");
            }
            let fresh = runs.iter().filter(|run| !kept.iter().any(|(from, to, _)| (*from, *to) == **run));
            open = kept.iter().copied().chain(fresh.map(|(from, to)| (*from, *to, row))).collect();
        }
        data
    }

    /// Lines between neighbouring cells that `parted` tells apart, on every `coarse`-th bearing.
    pub fn borders(&self, coarse: u32, parted: impl Fn((u32, u32), (u32, u32)) -> bool) -> String {
        let (columns, rows) = (Outlook::BEARINGS / coarse, Outlook::ELEVATIONS - 1);
        let cell = |place: u32, row: u32| ((place + columns / 2) % columns * coarse, row);
        let mut data = String::new();
        let x = |place: u32| two(self.left + self.width * Self::edge(place, columns));
        let y = |row: u32| two(self.bottom() - self.height * Self::edge(row, rows));
        for place in 1..=columns {
            for (from, to) in runs_of(rows + 1, |row| parted(cell(place - 1, row), cell(place, row))) {
                let _ = write!(data, "M{} {}V{}", x(place), y(from), y(to));
            }
        }
        for row in 1..=rows {
            for (from, to) in runs(columns, |place| parted(cell(place, row - 1), cell(place, row))) {
                let _ = write!(data, "M{} {}H{}", x(from), y(row), x(to));
            }
        }
        data
    }
}

/// Runs of places across a strip, from the first to past the last: one place more than there are columns, since dead
/// astern stands at both ends.
fn runs(columns: u32, held: impl Fn(u32) -> bool) -> Vec<(u32, u32)> {
    runs_of(columns + 1, held)
}

fn runs_of(count: u32, held: impl Fn(u32) -> bool) -> Vec<(u32, u32)> {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for place in (0..count).filter(|place| held(*place)) {
        match runs.last_mut() {
            Some((_, to)) if *to == place => *to += 1,
            _ => runs.push((place, place + 1)),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME: Frame = Frame { left: 0.0, top: 0.0, width: 720.0, height: 60.0 };

    #[test]
    fn a_block_of_cells_is_one_rectangle() {
        // Bearings from 10 to 20 degrees, heights from 0 to 5: half a cell more on each side, at two
        // millimetres a degree across and four up.
        let held = |column: u32, row: u32| {
            (10.0..=20.0).contains(&Outlook::bearing(column).degrees())
                && (0.0..=5.0).contains(&Outlook::elevation(row).0)
        };
        assert_eq!(FRAME.outline(held), "M379.75 9.5H400.25V30.5H379.75Z");
    }

    #[test]
    fn dead_astern_stands_at_both_ends() {
        let data = FRAME.outline(|column, row| column == Outlook::BEARINGS / 2 && row == 30);
        assert_eq!(data, "M0 29.5H0.25V30.5H0ZM719.75 29.5H720V30.5H719.75Z");
        assert_eq!(FRAME.stretches(Arc::between(112.5, 247.5)), [(0.0, 135.0), (585.0, 720.0)]);
        assert_eq!(FRAME.stretches(Arc::between(0.0, 112.5)), [(360.0, 585.0)]);
    }
}
