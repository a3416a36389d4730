//! Where a pack's triangles may matter: for each, the columns it may touch and the elevations it may reach.
//!
//! Works on all triangles of a pack side by side. Spans may be a little too wide, never too narrow.

#![allow(clippy::needless_range_loop, reason = "loops over lanes, all alike, are what the compiler lays side by side")]

use std::f32::consts::TAU;

use super::stroke::{Ladder, ROUNDER};
use crate::shadow::facets::{PACK, Pack};

/// The lamp as it bears on spans.
#[derive(Clone, Debug)]
pub(super) struct View {
    pub columns: i32,
    /// Columns by which a span is widened, because bearings are found by short formulas: each is within 4e-6 of a turn.
    pub slack: f32,
    /// Upright rows of points in use.
    pub across: usize,
    /// Radius of the ball that holds the points.
    pub reach: f32,
    /// How far a row's points lie to the right of the lamp's middle, least and most over all bearings.
    pub right: [(f32, f32); 4],
    pub ladder: Ladder,
    /// Tangents of the lowest and highest elevation, stretched to take in level.
    pub band: (f32, f32),
}

/// For each triangle of a pack.
pub(super) struct Spans {
    /// The elevations it may reach: none when it can be left out.
    pub rungs: [u32; PACK],
    /// For each row of points the first and last column.
    pub first: [[i32; PACK]; 4],
    pub last: [[i32; PACK]; 4],
}

/// A pack that is small beside its distance, `bulge` being the square of the ratio.
#[inline(always)]
pub(super) fn far(view: &View, placed: &Pack, bulge: f32) -> Spans {
    let mut bearing = [[0.0f32; PACK]; 3];
    let mut inverse = [[0.0f32; PACK]; 3];
    let (mut lowest, mut highest) = ([f32::INFINITY; PACK], [f32::NEG_INFINITY; PACK]);
    for n in 0..3 {
        for lane in 0..PACK {
            let (x, y, z) = (placed.x[n][lane], placed.y[n][lane], placed.z[n][lane]);
            inverse[n][lane] = 1.0 / (x * x + y * y).sqrt();
            bearing[n][lane] = turns(x, -y);
            // A triangle's middle lies nearer than its corners by at most the bulge, a point of the face by its reach.
            let wider = bulge + 1.4 * view.reach * inverse[n][lane];
            let (bottom, top) = ((z - view.reach) * inverse[n][lane], (z + view.reach) * inverse[n][lane]);
            lowest[lane] = lowest[lane].min(bottom - bottom.abs() * wider - 1e-6);
            highest[lane] = highest[lane].max(top + top.abs() * wider + 1e-6);
        }
    }
    let mut spans = Spans { rungs: [0; PACK], first: [[0; PACK]; 4], last: [[0; PACK]; 4] };
    for lane in 0..PACK {
        spans.rungs[lane] = view.ladder.rungs(lowest[lane], highest[lane]);
    }
    for lane in 0..PACK {
        let from = bearing[0][lane];
        bearing[1][lane] = from + wrapped(bearing[1][lane] - from);
        bearing[2][lane] = from + wrapped(bearing[2][lane] - from);
    }
    for row in 0..view.across {
        let (least, most) = view.right[row];
        for lane in 0..PACK {
            let (mut low, mut high) = (f32::INFINITY, f32::NEG_INFINITY);
            for n in 0..3 {
                low = low.min(bearing[n][lane] - arcsine(most * inverse[n][lane]));
                high = high.max(bearing[n][lane] - arcsine(least * inverse[n][lane]));
            }
            spans.first[row][lane] = view.first_column(low);
            spans.last[row][lane] = view.last_column(high);
        }
    }
    spans
}

/// Any pack.
#[inline(always)]
pub(super) fn near(view: &View, placed: &Pack) -> Spans {
    let (mut bearing, mut away) = ([[0.0f32; PACK]; 3], [[0.0f32; PACK]; 3]);
    let (mut above, mut below) = ([true; PACK], [true; PACK]);
    for n in 0..3 {
        for lane in 0..PACK {
            let (x, y, z) = (placed.x[n][lane], placed.y[n][lane], placed.z[n][lane]);
            away[n][lane] = (x * x + y * y).sqrt();
            bearing[n][lane] = turns(x, -y);
            above[lane] &= z - view.reach > view.band.1 * (away[n][lane] + view.reach);
            below[lane] &= z + view.reach < view.band.0 * (away[n][lane] + view.reach);
        }
    }
    let all_round = all_round(view, placed, &bearing);
    for n in 1..3 {
        for lane in 0..PACK {
            bearing[n][lane] = bearing[0][lane] + wrapped(bearing[n][lane] - bearing[0][lane]);
        }
    }
    let mut spans = Spans { rungs: [0; PACK], first: [[0; PACK]; 4], last: [[0; PACK]; 4] };
    for lane in 0..PACK {
        spans.rungs[lane] = if above[lane] | below[lane] { 0 } else { view.ladder.all() };
    }
    for row in 0..view.across {
        let (least, most) = view.right[row];
        for lane in 0..PACK {
            let (mut low, mut high) = (f32::INFINITY, f32::NEG_INFINITY);
            for n in 0..3 {
                low = low.min(bearing[n][lane] - steep_arcsine(most, away[n][lane]));
                high = high.max(bearing[n][lane] - steep_arcsine(least, away[n][lane]));
            }
            spans.first[row][lane] = if all_round[lane] { 0 } else { view.first_column(low) };
            spans.last[row][lane] = if all_round[lane] { view.columns - 1 } else { view.last_column(high) };
        }
    }
    spans
}

/// Which triangles may be met on every bearing: those right above the face, right below it or touching it, seen from
/// above. The planes of all other triangles meet them first and last at corners.
#[inline(always)]
fn all_round(view: &View, placed: &Pack, bearing: &[[f32; PACK]; 3]) -> [bool; PACK] {
    let (mut around, mut nearest) = ([0.0f32; PACK], [f32::INFINITY; PACK]);
    for n in 0..3 {
        let next = (n + 1) % 3;
        for lane in 0..PACK {
            around[lane] += wrapped(bearing[next][lane] - bearing[n][lane]);
            let (x, y) = (placed.x[n][lane], placed.y[n][lane]);
            let (along, aside) = (placed.x[next][lane] - x, placed.y[next][lane] - y);
            let share = -(x * along + y * aside) / (along * along + aside * aside).max(1e-20);
            let share = share.clamp(0.0, 1.0);
            let (x, y) = (x + share * along, y + share * aside);
            nearest[lane] = nearest[lane].min(x * x + y * y);
        }
    }
    let clear = 1.001 * view.reach;
    std::array::from_fn(|lane| around[lane].abs() > 0.5 || nearest[lane] <= clear * clear)
}

impl View {
    pub fn slack(columns: u32) -> f32 {
        0.002 + 8e-6 * columns as f32
    }

    /// The first column not before a place in turns.
    #[inline(always)]
    pub fn first_column(&self, place: f32) -> i32 {
        rounded(place * self.columns as f32 + (0.5 - self.slack))
    }

    /// The last column not after a place in turns.
    #[inline(always)]
    pub fn last_column(&self, place: f32) -> i32 {
        rounded(place * self.columns as f32 - (0.5 - self.slack))
    }
}

/// The nearest whole number; for numbers below two million.
#[inline(always)]
fn rounded(number: f32) -> i32 {
    (number + ROUNDER).to_bits() as i32 - ROUNDER.to_bits() as i32
}

/// A difference of two bearings in turns, the short way round.
#[inline(always)]
fn wrapped(turn: f32) -> f32 {
    turn - if turn > 0.5 { 1.0 } else { 0.0 } + if turn < -0.5 { 1.0 } else { 0.0 }
}

/// The bearing of a point ahead by `x` and to the right by `y`, in turns, from -0.5 to 0.5; within 3e-6 of a turn
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, 4.4.49: the arctangent within 1e-5).
#[inline(always)]
pub(super) fn turns(x: f32, y: f32) -> f32 {
    let (across, along) = (y.abs(), x.abs());
    let ratio = across.min(along) / across.max(along).max(1e-20);
    let square = ratio * ratio;
    let series =
        0.999_866 + square * (-0.330_299_5 + square * (0.180_141 + square * (-0.085_133 + square * 0.020_835_1)));
    let eighth = ratio * series / TAU;
    let quarter = if across > along { 0.25 - eighth } else { eighth };
    let half = if x < 0.0 { 0.5 - quarter } else { quarter };
    if y < 0.0 { -half } else { half }
}

/// The arcsine of a sine of at most a quarter, in turns; within 1e-6.
#[inline(always)]
pub(super) fn arcsine(sine: f32) -> f32 {
    let square = sine * sine;
    sine * (1.0 + square * (1.0 / 6.0 + square * (3.0 / 40.0))) / TAU
}

/// The arcsine of the ratio of a side to a slope, in turns; within 3e-6. A quarter when the side is longer.
#[inline(always)]
fn steep_arcsine(side: f32, slope: f32) -> f32 {
    turns((slope * slope - side * side).max(0.0).sqrt(), side)
}
