//! Goes through a surface's triangles and finds for each the bearings on which it may hide something.

use glam::{DMat3, DVec3};

use super::{
    Cover, Grid, Points, Spot,
    stroke::{Cut, LANES, Ladder, ROUNDER, Rows, stroke},
};
use crate::{
    boat::PosedLamp,
    measure::Bearing,
    shadow::facets::{Bounds, Facets, PACK, Pack},
};

/// One lamp, about to look round.
pub(super) struct Sweep {
    centre: DVec3,
    turn: DMat3,
    columns: i32,
    /// Cosine and sine of each column's bearing.
    heading: Vec<(f32, f32)>,
    /// Where the points lie: one entry when they lie alike on every bearing, as those of an upright lamp do; else one for each.
    rows: Vec<Rows>,
    /// Upright rows of points in use.
    across: usize,
    /// Radius of the ball that holds the points.
    reach: f32,
    /// How far a row's points lie to the right of the lamp's middle, least and most over all bearings.
    right: [(f32, f32); 4],
    ladder: Ladder,
    /// Tangents of the lowest and highest elevation.
    band: (f32, f32),
}

/// Where a point of the face lies from its middle, in the level frame: the face turned to the bearing, as a column
/// looks the same from every side.
pub(super) fn offset(lamp: &PosedLamp, turn: &DMat3, bearing: Bearing, points: Points, n: usize, k: usize) -> DVec3 {
    let axis = *turn * lamp.frame.z_axis;
    let side = bearing.direction().cross(axis).try_normalize().unwrap_or(*turn * lamp.frame.y_axis);
    let place = |n: usize| (n as f64 + 0.5) / points.across() as f64 - 0.5;
    side * (place(n) * lamp.face.width) + axis * (place(k) * lamp.face.height)
}

impl Sweep {
    pub fn new(lamp: &PosedLamp, turn: &DMat3, grid: Grid, points: Points) -> Self {
        let columns = grid.bearings();
        let heading: Vec<_> = (0..columns)
            .map(|column| {
                let direction = grid.bearing(column).direction();
                (direction.x as f32, -direction.y as f32)
            })
            .collect();
        let across = points.across();
        let axis = *turn * lamp.frame.z_axis;
        let upright = axis.x.hypot(axis.y) < 1e-9;
        let looks = if upright { 1 } else { columns };
        let rows: Vec<Rows> = (0..looks)
            .map(|column| {
                let bearing = grid.bearing(column);
                let ahead = bearing.direction();
                let right = ahead.cross(DVec3::Z);
                Rows::new(|n, k| {
                    let at = offset(lamp, turn, bearing, points, n.min(across - 1), k.min(across - 1));
                    Spot { right: at.dot(right) as f32, along: at.dot(ahead) as f32, up: at.z as f32 }
                })
            })
            .collect();
        let right = std::array::from_fn(|n| {
            let places = rows.iter().flat_map(|rows| rows.right[n]);
            places.fold((f32::INFINITY, f32::NEG_INFINITY), |(least, most), place| (least.min(place), most.max(place)))
        });
        let tangent = |row: u32| grid.elevation(row).0.to_radians().tan() as f32;
        Self {
            centre: lamp.centre,
            turn: *turn,
            columns: columns as i32,
            heading,
            rows,
            across,
            reach: lamp.face.radius() as f32,
            right,
            ladder: Ladder::new(grid),
            // The cones that bound the band are only used where they are convex: above level and below it.
            band: (tangent(0).min(0.0), tangent(grid.elevations() - 1).max(0.0)),
        }
    }

    /// A cover that hides nothing.
    pub fn nothing(&self) -> Cover {
        vec![[[0; LANES]; 4]; self.columns as usize]
    }

    /// Adds what a surface hides.
    pub fn cover(&self, facets: &Facets, cover: &mut Cover) {
        facets.visit(|bounds| self.may_matter(bounds), |pack, lanes| self.pack(pack, lanes, cover));
    }

    /// Whether a box reaches into the band of elevations.
    fn may_matter(&self, bounds: &Bounds) -> bool {
        let middle = (bounds.low + bounds.high).as_dvec3() / 2.0;
        let radius = bounds.low.distance(bounds.high) / 2.0 + self.reach;
        let at = (self.turn * (middle - self.centre)).as_vec3();
        let furthest = at.truncate().length() + radius;
        at.z - radius <= self.band.1 * furthest && at.z + radius >= self.band.0 * furthest
    }

    fn pack(&self, pack: &Pack, lanes: usize, cover: &mut Cover) {
        let placed = self.placed(pack);
        let spans = self.spans(&placed);
        for lane in 0..lanes {
            if spans.skip[lane] {
                continue;
            }
            let cut = Cut {
                x: [0, 1, 2].map(|n| placed.x[n][lane]),
                y: [0, 1, 2].map(|n| placed.y[n][lane]),
                z: [0, 1, 2].map(|n| placed.z[n][lane]),
            };
            for row in 0..self.across {
                self.strokes(&cut, row, spans.first[row][lane], spans.last[row][lane], cover);
            }
        }
    }

    /// Draws one triangle for one row of points over a run of columns, which may go past the last.
    fn strokes(&self, cut: &Cut, row: usize, first: i32, last: i32, cover: &mut Cover) {
        let mut next = first;
        while next < 0 {
            next += self.columns;
        }
        for _ in first..=last {
            while next >= self.columns {
                next -= self.columns;
            }
            // Not below nought, by the above.
            let column = next as usize;
            next += 1;
            let hidden = &mut cover[column][row];
            if self.ladder.is_full(hidden) {
                continue;
            }
            let rows = if self.rows.len() == 1 { &self.rows[0] } else { &self.rows[column] };
            stroke(cut, self.heading[column], rows, row, &self.ladder, hidden);
        }
    }

    /// The corners from the lamp's middle, in the level frame.
    fn placed(&self, pack: &Pack) -> Pack {
        let turn = self.turn.as_mat3();
        let centre = self.centre.as_vec3();
        let mut placed = pack.clone();
        for n in 0..3 {
            for lane in 0..PACK {
                let (x, y, z) = (pack.x[n][lane] - centre.x, pack.y[n][lane] - centre.y, pack.z[n][lane] - centre.z);
                placed.x[n][lane] = turn.x_axis.x * x + turn.y_axis.x * y + turn.z_axis.x * z;
                placed.y[n][lane] = turn.x_axis.y * x + turn.y_axis.y * y + turn.z_axis.y * z;
                placed.z[n][lane] = turn.x_axis.z * x + turn.y_axis.z * y + turn.z_axis.z * z;
            }
        }
        placed
    }
}

/// For each triangle of a pack: whether it can be left out, and for each row of points the columns it may touch.
struct Spans {
    skip: [bool; PACK],
    first: [[i32; PACK]; 4],
    last: [[i32; PACK]; 4],
}

/// Columns by which a span is widened, because bearings are found by a short formula.
const SLACK: f32 = 0.02;

impl Sweep {
    fn spans(&self, placed: &Pack) -> Spans {
        let mut skip = [false; PACK];
        let (mut above, mut below) = ([true; PACK], [true; PACK]);
        let mut away = [[0.0f32; PACK]; 3];
        let mut bearing = [[0.0f32; PACK]; 3];
        for n in 0..3 {
            for lane in 0..PACK {
                let (x, y, z) = (placed.x[n][lane], placed.y[n][lane], placed.z[n][lane]);
                let distance = (x * x + y * y).sqrt();
                above[lane] &= z - self.reach > self.band.1 * (distance + self.reach);
                below[lane] &= z + self.reach < self.band.0 * (distance + self.reach);
                away[n][lane] = distance;
                bearing[n][lane] = turns(x, -y);
            }
        }
        let mut nearest = [f32::INFINITY; PACK];
        for n in 0..3 {
            let next = (n + 1) % 3;
            for lane in 0..PACK {
                let (x, y) = (placed.x[n][lane], placed.y[n][lane]);
                let (ex, ey) = (placed.x[next][lane] - x, placed.y[next][lane] - y);
                let share = (-(x * ex + y * ey) / (ex * ex + ey * ey).max(1e-20)).clamp(0.0, 1.0);
                let (px, py) = (x + share * ex, y + share * ey);
                nearest[lane] = nearest[lane].min(px * px + py * py);
            }
        }
        let (mut from_first, mut around) = ([[0.0f32; PACK]; 3], [0.0f32; PACK]);
        for lane in 0..PACK {
            let wrapped = |a: f32, b: f32| {
                let turn = b - a;
                turn - if turn > 0.5 { 1.0 } else { 0.0 } + if turn < -0.5 { 1.0 } else { 0.0 }
            };
            let [a, b, c] = [bearing[0][lane], bearing[1][lane], bearing[2][lane]];
            from_first[1][lane] = wrapped(a, b);
            from_first[2][lane] = wrapped(a, c);
            around[lane] = wrapped(a, b) + wrapped(b, c) + wrapped(c, a);
        }
        let columns = self.columns as f32;
        let (mut first, mut last) = ([[0i32; PACK]; 4], [[0i32; PACK]; 4]);
        for row in 0..self.across {
            let (least, most) = self.right[row];
            for lane in 0..PACK {
                let (mut low, mut high) = (f32::INFINITY, f32::NEG_INFINITY);
                for n in 0..3 {
                    // A point this far off at a bearing lies on the plane that passes so far to the right of the lamp.
                    let place = from_first[n][lane];
                    let reciprocal = 1.0 / away[n][lane];
                    low = low.min(place - arcsine(most * reciprocal));
                    high = high.max(place - arcsine(least * reciprocal));
                }
                first[row][lane] = rounded((bearing[0][lane] + low) * columns + (0.5 - SLACK));
                last[row][lane] = rounded((bearing[0][lane] + high) * columns - (0.5 - SLACK));
            }
        }
        for lane in 0..PACK {
            skip[lane] = above[lane] | below[lane];
            let (close, closest) = (4.0 * self.reach, 1.001 * self.reach);
            if skip[lane] || nearest[lane] > close * close && around[lane].abs() < 0.5 {
                continue;
            }
            // Close by, or right above or below: more columns than need be, but none too few.
            let (mut low, mut high) = (0, self.columns - 1);
            if nearest[lane] > closest * closest && around[lane].abs() < 0.5 {
                let margin = (self.reach / nearest[lane].sqrt()).asin() / std::f32::consts::TAU + 1e-4;
                let places = [0.0, from_first[1][lane], from_first[2][lane]];
                let least = places.iter().fold(f32::INFINITY, |a, b| a.min(*b)) - margin;
                let most = places.iter().fold(f32::NEG_INFINITY, |a, b| a.max(*b)) + margin;
                if most - least < 1.0 {
                    low = rounded((bearing[0][lane] + least) * columns);
                    high = rounded((bearing[0][lane] + most) * columns);
                }
            }
            for row in 0..self.across {
                (first[row][lane], last[row][lane]) = (low, high);
            }
        }
        Spans { skip, first, last }
    }
}

/// The nearest whole number; for numbers below two million.
#[inline(always)]
fn rounded(number: f32) -> i32 {
    (number + ROUNDER).to_bits() as i32 - ROUNDER.to_bits() as i32
}

/// The bearing of a point ahead by `x` and to the right by `y`, in turns, from -0.5 to 0.5; within 3e-6 of a turn
/// (Abramowitz and Stegun, Handbook of Mathematical Functions, 4.4.49: the arctangent within 1e-5).
fn turns(x: f32, y: f32) -> f32 {
    let (across, along) = (y.abs(), x.abs());
    let ratio = across.min(along) / across.max(along).max(1e-20);
    let square = ratio * ratio;
    let series =
        0.999_866 + square * (-0.330_299_5 + square * (0.180_141 + square * (-0.085_133 + square * 0.020_835_1)));
    let eighth = ratio * series / std::f32::consts::TAU;
    let quarter = if across > along { 0.25 - eighth } else { eighth };
    let half = if x < 0.0 { 0.5 - quarter } else { quarter };
    if y < 0.0 { -half } else { half }
}

/// The arcsine of a sine of at most a quarter, in turns; within 2e-5.
fn arcsine(sine: f32) -> f32 {
    sine * (1.0 + sine * sine / 6.0) / std::f32::consts::TAU
}
