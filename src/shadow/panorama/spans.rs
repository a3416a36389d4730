//! Where a pack's triangles may matter: for each, the columns it may touch and the elevations it may reach.
//!
//! Works on all triangles of a pack side by side. Spans may be a little too wide, never too narrow.

use std::f32::consts::TAU;

use super::stroke::{Ladder, ROUNDER};
use crate::shadow::facets::{PACK, Pack};

/// The lamp as it bears on spans.
#[derive(Clone, Debug)]
pub(super) struct View {
    pub columns: i32,
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

/// Columns by which a span is widened, because bearings are found by a short formula.
pub(super) const SLACK: f32 = 0.02;

/// A pack that is small beside its distance, `bulge` being the square of the ratio.
#[inline(always)]
pub(super) fn far(view: &View, placed: &Pack, bulge: f32) -> Spans {
    let columns = view.columns as f32;
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
            spans.first[row][lane] = first_column(low * columns);
            spans.last[row][lane] = last_column(high * columns);
        }
    }
    spans
}

/// Any pack.
#[inline(always)]
pub(super) fn near(view: &View, placed: &Pack) -> Spans {
    let mut spans = Spans { rungs: [0; PACK], first: [[0; PACK]; 4], last: [[0; PACK]; 4] };
    for lane in 0..PACK {
        let corners = [0, 1, 2].map(|n| Corner::new(placed.x[n][lane], placed.y[n][lane]));
        let up = [0, 1, 2].map(|n| placed.z[n][lane]);
        let beyond = |n: usize| corners[n].away + view.reach;
        if (0..3).all(|n| up[n] - view.reach > view.band.1 * beyond(n))
            || (0..3).all(|n| up[n] + view.reach < view.band.0 * beyond(n))
        {
            continue;
        }
        spans.rungs[lane] = view.ladder.all();
        for row in 0..view.across {
            let (first, last) = near_span(&corners, view, row);
            (spans.first[row][lane], spans.last[row][lane]) = (first, last);
        }
    }
    spans
}

/// A corner as seen from above.
struct Corner {
    x: f32,
    y: f32,
    away: f32,
    bearing: f32,
}

impl Corner {
    fn new(x: f32, y: f32) -> Self {
        Self { x, y, away: x.hypot(y), bearing: turns(x, -y) }
    }

    /// Least distance from the lamp to the line from here to another corner.
    fn nearest_to(&self, other: &Self) -> f32 {
        let (along, aside) = (other.x - self.x, other.y - self.y);
        let share = (-(self.x * along + self.y * aside) / (along * along + aside * aside).max(1e-20)).clamp(0.0, 1.0);
        (self.x + share * along).hypot(self.y + share * aside)
    }
}

fn near_span(corners: &[Corner; 3], view: &View, row: usize) -> (i32, i32) {
    let [a, b, c] = corners;
    let around = wrapped(b.bearing - a.bearing) + wrapped(c.bearing - b.bearing) + wrapped(a.bearing - c.bearing);
    let nearest = a.nearest_to(b).min(b.nearest_to(c)).min(c.nearest_to(a));
    // Right above, right below or touching the face: every column may be touched.
    if around.abs() > 0.5 || nearest <= 1.001 * view.reach {
        return (0, view.columns - 1);
    }
    // Clear of the circle that the planes touch, the planes first and last meet the triangle at corners.
    let (least, most) = view.right[row];
    let turn = |right: f32, away: f32| (right / away).clamp(-1.0, 1.0).asin() / TAU;
    let place = |corner: &Corner| a.bearing + wrapped(corner.bearing - a.bearing);
    let low = corners.iter().map(|corner| place(corner) - turn(most, corner.away)).fold(f32::INFINITY, f32::min);
    let high = corners.iter().map(|corner| place(corner) - turn(least, corner.away)).fold(f32::NEG_INFINITY, f32::max);
    (first_column(low * view.columns as f32), last_column(high * view.columns as f32))
}

/// The first column not before a place counted in columns.
#[inline(always)]
pub(super) fn first_column(place: f32) -> i32 {
    rounded(place + (0.5 - SLACK))
}

/// The last column not after a place counted in columns.
#[inline(always)]
pub(super) fn last_column(place: f32) -> i32 {
    rounded(place - (0.5 - SLACK))
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

/// The arcsine of a sine of at most a quarter, in turns; within 2e-5.
#[inline(always)]
pub(super) fn arcsine(sine: f32) -> f32 {
    sine * (1.0 + sine * sine / 6.0) / TAU
}
