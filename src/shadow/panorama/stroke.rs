//! The stroke that a triangle leaves in the upright plane of a bearing, and the elevations it hides.

use super::{Grid, Spot};

/// Points of the face in an upright row.
pub(super) const LANES: usize = 4;

/// Where the points of each upright row lie (see [`Spot`]).
#[derive(Clone, Debug)]
pub(super) struct Rows {
    pub right: [[f32; LANES]; 4],
    along: [[f32; LANES]; 4],
    up: [[f32; LANES]; 4],
    /// The most that any of a row's points lies ahead of the middle.
    furthest: [f32; 4],
}

impl Rows {
    pub fn new(spot: impl Fn(usize, usize) -> Spot) -> Self {
        let spots: [[Spot; LANES]; 4] = std::array::from_fn(|n| std::array::from_fn(|k| spot(n, k)));
        let along = spots.map(|row| row.map(|spot| spot.along));
        Self {
            right: spots.map(|row| row.map(|spot| spot.right)),
            along,
            up: spots.map(|row| row.map(|spot| spot.up)),
            furthest: along.map(|row| row.iter().fold(f32::NEG_INFINITY, |most, place| most.max(*place))),
        }
    }
}

/// From the tangent of an elevation to the rung it lies on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ladder {
    lowest: f32,
    per_radian: f32,
    count: f32,
    all: u32,
}

/// Added to a number of less than 2^22, this leaves it rounded in the last bits.
pub(super) const ROUNDER: f32 = 12_582_912.0;

impl Ladder {
    pub fn new(grid: Grid) -> Self {
        let step = (grid.elevation(1).0 - grid.elevation(0).0).to_radians();
        Self {
            lowest: grid.elevation(0).0.to_radians() as f32,
            per_radian: (1.0 / step) as f32,
            count: grid.elevations() as f32,
            all: (1 << grid.elevations()) - 1,
        }
    }

    /// The first rung not below a tangent. Two strokes that meet give the same number, so no rung falls between them.
    #[inline(always)]
    fn rung(&self, tangent: f32) -> u32 {
        let t = tangent.max(-1.0).min(1.0);
        let square = t * t;
        // The arctangent by its series, within 0.002 degree up to 22 degrees; it rises everywhere.
        let angle = t * (1.0 - square * (1.0 / 3.0 - square * (0.2 - square / 7.0)));
        let place = ((angle - self.lowest) * self.per_radian + 0.5).max(0.0).min(self.count);
        (place + ROUNDER).to_bits() & 0x3f
    }

    /// The elevations between two tangents, the higher left out: none when the first is the higher.
    #[inline(always)]
    pub fn rungs(&self, lowest: f32, highest: f32) -> u32 {
        let (first, end) = (self.rung(lowest), self.rung(highest));
        ((1u32 << end) - 1) & !((1u32 << first) - 1)
    }

    /// All elevations.
    pub fn all(&self) -> u32 {
        self.all
    }
}

/// A triangle's corners from the lamp's middle, in the level frame.
pub(super) struct Cut {
    pub x: [f32; 3],
    pub y: [f32; 3],
    pub z: [f32; 3],
}

/// Adds to `hidden` the elevations that a triangle hides from each point of one row, seen along a heading (its cosine and sine,
/// clockwise).
#[inline(always)]
pub(super) fn stroke(
    cut: &Cut,
    heading: (f32, f32),
    rows: &Rows,
    row: usize,
    ladder: &Ladder,
    hidden: &mut [u32; LANES],
) {
    let (cosine, sine) = heading;
    let along = [0, 1, 2].map(|n| cut.x[n] * cosine - cut.y[n] * sine);
    let right = [0, 1, 2].map(|n| -cut.x[n] * sine - cut.y[n] * cosine);
    let ahead = along[0].min(along[1]).min(along[2]) > rows.furthest[row];
    if !ahead {
        return stroke_from_within(&along, &right, &cut.z, rows, row, ladder, hidden);
    }
    let (mut lowest, mut highest) = ([f32::INFINITY; LANES], [f32::NEG_INFINITY; LANES]);
    for (i, j) in [(0, 1), (1, 2), (2, 0)] {
        for k in 0..LANES {
            let (a, b) = (right[i] - rows.right[row][k], right[j] - rows.right[row][k]);
            let rise = (cut.z[i] - rows.up[row][k]) * b - (cut.z[j] - rows.up[row][k]) * a;
            let run = (along[i] - rows.along[row][k]) * b - (along[j] - rows.along[row][k]) * a;
            let tangent = rise / run;
            // Sides are told by corner, so that neighbours agree which of them is cut.
            let crosses = (a >= 0.0) != (b >= 0.0);
            lowest[k] = lowest[k].min(if crosses { tangent } else { f32::INFINITY });
            highest[k] = highest[k].max(if crosses { tangent } else { f32::NEG_INFINITY });
        }
    }
    for k in 0..LANES {
        // A lane that is not cut has its lowest above its highest.
        hidden[k] |= ladder.rungs(lowest[k], highest[k]);
    }
}

/// The same for a triangle part of which may lie behind the points.
#[inline(always)]
fn stroke_from_within(
    along: &[f32; 3],
    right: &[f32; 3],
    up: &[f32; 3],
    rows: &Rows,
    row: usize,
    ladder: &Ladder,
    hidden: &mut [u32; LANES],
) {
    let (mut lowest, mut highest) = ([f32::INFINITY; LANES], [f32::NEG_INFINITY; LANES]);
    // Where the stroke ends, as a rise and a run in like proportion: an end in front, and one behind.
    let (mut front, mut behind) = ([(0.0f32, 0.0f32); LANES], [(0.0f32, 0.0f32); LANES]);
    for (i, j) in [(0, 1), (1, 2), (2, 0)] {
        for k in 0..LANES {
            let (a, b) = (right[i] - rows.right[row][k], right[j] - rows.right[row][k]);
            let rise = (up[i] - rows.up[row][k]) * b - (up[j] - rows.up[row][k]) * a;
            let run = (along[i] - rows.along[row][k]) * b - (along[j] - rows.along[row][k]) * a;
            let sign = if b > a { 1.0 } else { -1.0 };
            let end = (rise * sign, run * sign);
            let crosses = (a >= 0.0) != (b >= 0.0);
            let (in_front, at_back) = (crosses & (end.1 > 0.0), crosses & (end.1 <= 0.0));
            let tangent = rise / run;
            lowest[k] = lowest[k].min(if in_front { tangent } else { f32::INFINITY });
            highest[k] = highest[k].max(if in_front { tangent } else { f32::NEG_INFINITY });
            front[k] = if in_front { end } else { front[k] };
            behind[k] = if at_back { end } else { behind[k] };
        }
    }
    for k in 0..LANES {
        // Where the stroke crosses the point's own upright line decides whether it rises or falls without end.
        let (front, behind) = (front[k], behind[k]);
        let crossing = behind.0 * front.1 - behind.1 * front.0;
        let both = (front.1 > 0.0) & ((behind.0 != 0.0) | (behind.1 != 0.0));
        let highest = if both & (crossing > 0.0) { f32::INFINITY } else { highest[k] };
        let lowest = if both & (crossing <= 0.0) { f32::NEG_INFINITY } else { lowest[k] };
        hidden[k] |= ladder.rungs(lowest, highest);
    }
}
