//! How far all that a lamp must be seen from stays clear of the boat's own solids, over every way she lies and moves.
//!
//! Takes the bearings and elevations that a light is due in and the attitudes she takes; gives the degrees by which the
//! nearest solid misses them, in steps. It looks by the same [`Panorama`] as every other survey, once for each position of
//! her joints, in the vessel's own frame: trimming and heeling only turn the directions that matter. Must never judge.

use glam::{DMat3, DVec3};

use super::Case;
use crate::{
    boat::{Attitude, PosedLamp},
    measure::{Arc, Bearing, Degrees},
    shadow::{Grid, Obstacles, Panorama, Points},
};

/// What a light must be seen from.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    pub arcs: Vec<Arc>,
    /// Elevations at rest besides level, degrees.
    pub elevations: Vec<f64>,
    /// The least share of the face that must be seen for the light to be enough, in `(0, 1]`.
    pub share: f64,
    /// Degrees of bearing that solids may take all the same.
    pub allowed: f64,
}

/// How finely to look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fineness {
    /// Bearings all round, in `[36, 1440]`.
    pub bearings: u32,
    pub points: Points,
}

impl Fineness {
    /// For thousands of places: 2 degrees apart, four points of the face.
    pub const COARSE: Self = Self { bearings: 180, points: Points::Four };
    /// For the few that are told of: a degree apart, sixteen points.
    pub const FINE: Self = Self { bearings: 360, points: Points::Sixteen };
}

/// The directions of the vessel frame that matter, in rings about those that are due.
#[derive(Clone, Debug)]
pub struct Clearance {
    grid: Grid,
    points: Points,
    share: f64,
    allowed: f64,
    /// Degrees off what is due, rising from nought, and for each bearing a bit for each elevation within so many.
    rings: Vec<(f64, Vec<u32>)>,
}

/// Rows of the grid: every bit that it has.
const ROWS: u32 = Grid::MOST_ELEVATIONS;

impl Clearance {
    /// `rings` are degrees off, rising, the first nought. `None` where the grid cannot be.
    pub fn new(wanted: &Wanted, cases: &[Case], rings: &[f64], fineness: Fineness) -> Option<Self> {
        let due = directions(wanted, &attitudes(cases));
        let reach = due.iter().map(|way| way.z.asin().to_degrees().abs()).fold(0.0, f64::max);
        let widest = rings.last().copied().unwrap_or(0.0);
        let highest = (reach + widest + 1.0).min(Grid::STEEPEST);
        let grid = Grid::new(fineness.bearings, Degrees(-highest), Degrees(highest), ROWS)?;
        let mut masks = vec![vec![0u32; fineness.bearings as usize]; rings.len()];
        for column in 0..fineness.bearings {
            for row in 0..ROWS {
                let way = grid.bearing(column).direction_at(grid.elevation(row));
                let nearest = due.iter().map(|one| one.dot(way)).fold(-1.0, f64::max);
                let off = nearest.min(1.0).acos().to_degrees() - half_cell(&grid);
                for (mask, ring) in masks.iter_mut().zip(rings) {
                    mask[column as usize] |= u32::from(off <= *ring) << row;
                }
            }
        }
        let rings = rings.iter().copied().zip(masks).collect();
        Some(Self { grid, points: fineness.points, share: wanted.share, allowed: wanted.allowed, rings })
    }

    /// The greatest ring that no solid comes into from any of these positions of her joints: its degrees, and `None`
    /// where solids take what is due itself. Each position is told by the solids and the lamp in it.
    pub fn of<'p>(&self, positions: impl Iterator<Item = (&'p Obstacles, PosedLamp)>) -> Option<f64> {
        let mut clear = self.rings.len();
        for (obstacles, lamp) in positions {
            let hidden = self.hidden(obstacles, &lamp);
            while clear > 0 && self.is_taken(&hidden, &self.rings[clear - 1].1) {
                clear -= 1;
            }
            if clear == 0 {
                return None;
            }
        }
        Some(self.rings[clear - 1].0)
    }

    /// For each bearing a bit for each elevation at which too little of the face is seen.
    fn hidden(&self, obstacles: &Obstacles, lamp: &PosedLamp) -> Vec<u32> {
        let panorama = Panorama::of(obstacles, lamp, &DMat3::IDENTITY, self.grid, self.points);
        let widest = &self.rings[self.rings.len() - 1].1;
        // Of four points one stands for a quarter of the face, and a thin stay may take two of them: the benefit of
        // the doubt is given, since a survey has the last word.
        let doubt = if self.points == Points::Four { 0.25 } else { 0.5 / f64::from(self.points.count()) };
        let column = |column: u32| {
            let wanted = widest[column as usize];
            let rows = (0..ROWS).filter(|row| wanted >> row & 1 == 1);
            let short = rows.filter(|row| panorama.seen(column, *row) + doubt < self.share);
            short.fold(0u32, |bits, row| bits | 1 << row)
        };
        (0..self.grid.bearings()).map(column).collect()
    }

    /// Whether solids take more of a ring than they may.
    fn is_taken(&self, hidden: &[u32], ring: &[u32]) -> bool {
        let taken: Vec<bool> = hidden.iter().zip(ring).map(|(hidden, ring)| hidden & ring != 0).collect();
        let step = 360.0 / f64::from(self.grid.bearings());
        longest_run(&taken) as f64 * step > self.allowed
    }
}

/// Half the diagonal of a cell: a direction that is due lies no further from the middle of its cell.
fn half_cell(grid: &Grid) -> f64 {
    let across = 360.0 / f64::from(grid.bearings());
    let up = grid.elevation(1).0 - grid.elevation(0).0;
    across.hypot(up) / 2.0
}

/// The most neighbours in a circle for which something holds.
fn longest_run(circle: &[bool]) -> usize {
    let (mut longest, mut run) = (0, 0);
    for held in circle.iter().chain(circle) {
        run = if *held { run + 1 } else { 0 };
        longest = longest.max(run);
    }
    longest.min(circle.len())
}

/// Every attitude once.
fn attitudes(cases: &[Case]) -> Vec<Attitude> {
    let mut kept: Vec<Attitude> = Vec::new();
    for attitude in cases.iter().map(|case| case.stance.attitude()) {
        if !kept.contains(&attitude) {
            kept.push(attitude);
        }
    }
    kept
}

/// Degrees between the bearings that are asked for.
const ASKED: f64 = 1.5;

/// The directions due, in the vessel frame: level in every attitude, and at rest the other elevations too.
fn directions(wanted: &Wanted, attitudes: &[Attitude]) -> Vec<DVec3> {
    let across = |arc: &Arc| {
        let (from, width, count) = (arc.from, arc.width, (arc.width / ASKED).ceil().max(1.0));
        // At most 240, so the cast is exact.
        (0..=count as u32).map(move |n| from.turned(f64::from(n) * width / count))
    };
    let bearings: Vec<Bearing> = wanted.arcs.iter().flat_map(across).collect();
    let level = attitudes.iter().flat_map(|attitude| {
        let back = attitude.rotation().transpose();
        bearings.iter().map(move |bearing| back * bearing.direction())
    });
    let raised = wanted.elevations.iter().filter(|up| up.abs() <= Grid::STEEPEST);
    let others = raised.flat_map(|up| bearings.iter().map(|bearing| bearing.direction_at(Degrees(*up))));
    level.chain(others).collect()
}
