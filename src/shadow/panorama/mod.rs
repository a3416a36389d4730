//! All that a lamp looks out on at once: for every bearing and elevation of a grid, which points of its luminous face
//! are seen.
//!
//! A bearing is an upright plane through a point of the face. Each triangle that the plane cuts leaves a stroke in it, and the stroke
//! hides one stretch of elevations: so a triangle is met once for each bearing it spans and each upright row of points,
//! not once for each ray. Takes solids and a lamp; gives bits. Must never know of colours.
//!
//! Answers are those of a ray from each point along each direction, but that a ray within about two thousandths of a
//! degree of an edge may fall on either side of it; round solids are cut into facets, whose edges lie within 50
//! micrometres of theirs.

mod spans;
mod stroke;
mod sweep;

use glam::{DMat3, DVec3};

use super::Obstacles;
use crate::{
    boat::PosedLamp,
    measure::{Bearing, Degrees},
};

/// The directions of a panorama: bearings evenly round from right ahead, elevations evenly up from the lowest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    bearings: u32,
    lowest: f64,
    step: f64,
    elevations: u32,
}

impl Grid {
    /// At most so many elevations: one for each bit but one of a word.
    pub const MOST_ELEVATIONS: u32 = 31;
    /// At most so many bearings, 0.05 degree apart.
    pub const MOST_BEARINGS: u32 = 7200;
    /// The greatest elevation, degrees up or down.
    pub const STEEPEST: f64 = 20.0;

    /// `bearings` directions round, in `[1, 7200]`; `elevations` in `[1, 31]`, evenly from `lowest` to `highest`, both within
    /// 20 degrees of level. `None` when out of these ranges.
    pub fn new(bearings: u32, lowest: Degrees, highest: Degrees, elevations: u32) -> Option<Self> {
        let sound = (1..=Self::MOST_BEARINGS).contains(&bearings)
            && (1..=Self::MOST_ELEVATIONS).contains(&elevations)
            && lowest.0 >= -Self::STEEPEST
            && highest.0 <= Self::STEEPEST
            && lowest.0 <= highest.0
            && (elevations == 1 || lowest.0 < highest.0);
        let step = if elevations > 1 { (highest.0 - lowest.0) / f64::from(elevations - 1) } else { 1.0 };
        sound.then_some(Self { bearings, lowest: lowest.0, step, elevations })
    }

    /// How many bearings.
    pub fn bearings(&self) -> u32 {
        self.bearings
    }

    /// How many elevations.
    pub fn elevations(&self) -> u32 {
        self.elevations
    }

    /// The bearing of a column.
    pub fn bearing(&self, column: u32) -> Bearing {
        Bearing::new(f64::from(column) * 360.0 / f64::from(self.bearings))
    }

    /// The elevation of a row, the lowest first.
    pub fn elevation(&self, row: u32) -> Degrees {
        Degrees(self.lowest + f64::from(row) * self.step)
    }
}

/// How many points of the face are looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Points {
    /// Two rows of two.
    Four,
    /// Four rows of four.
    Sixteen,
}

impl Points {
    /// Points in a row, and rows.
    fn across(self) -> usize {
        match self {
            Self::Four => 2,
            Self::Sixteen => 4,
        }
    }

    /// How many in all.
    pub fn count(self) -> u32 {
        match self {
            Self::Four => 4,
            Self::Sixteen => 16,
        }
    }
}

/// See the module.
#[derive(Clone, Debug)]
pub struct Panorama {
    grid: Grid,
    points: Points,
    /// Hidden by what lets nothing through.
    dark: Cover,
    /// Behind a pane, and the share of light that it lets through: one entry for each such solid.
    panes: Vec<(f64, Cover)>,
}

/// For each column, each upright row of points, each point: a bit for each elevation that is hidden.
pub(super) type Cover = Vec<[[u32; 4]; 4]>;

/// Where a point of the face lies for a look along a bearing, metres from the middle of the face: to the right of it, along
/// it, and up.
#[derive(Clone, Copy, Debug)]
struct Spot {
    right: f32,
    along: f32,
    up: f32,
}

impl Panorama {
    /// Looks out from a lamp past solids in the vessel frame, which `turn` turns into the level frame that bearings and
    /// elevations belong to.
    pub fn of(obstacles: &Obstacles, lamp: &PosedLamp, turn: &DMat3, grid: Grid, points: Points) -> Self {
        let sweep = sweep::Sweep::new(lamp, turn, grid, points);
        let mut dark = sweep.nothing();
        let mut panes = Vec::new();
        for (transmits, facets) in obstacles.surfaces() {
            if transmits <= 0.0 {
                sweep.cover(facets, &mut dark);
            } else if transmits < 1.0 {
                let mut pane = sweep.nothing();
                sweep.cover(facets, &mut pane);
                panes.push((transmits, pane));
            }
        }
        Self { grid, points, dark, panes }
    }

    pub fn grid(&self) -> Grid {
        self.grid
    }

    /// The share of the points of the face that is seen in a direction of the grid, in `[0, 1]`.
    pub fn seen(&self, column: u32, row: u32) -> f64 {
        let across = self.points.across();
        let hidden = |cover: &Cover, n: usize, k: usize| cover[column as usize][n][k] >> row & 1 == 1;
        let mut seen = 0.0;
        for (n, k) in (0..across).flat_map(|n| (0..across).map(move |k| (n, k))) {
            if !hidden(&self.dark, n, k) {
                seen +=
                    self.panes.iter().filter(|(_, pane)| hidden(pane, n, k)).map(|(share, _)| share).product::<f64>();
            }
        }
        seen / f64::from(self.points.count())
    }

    /// Whether the ray from one point of the face, counted along upright rows from the right, is stopped.
    pub fn stopped(&self, column: u32, row: u32, point: u32) -> bool {
        let across = self.points.across();
        let point = point as usize;
        self.dark[column as usize][point / across][point % across] >> row & 1 == 1
    }

    /// Where the rays of the points of the face start on a bearing, in the vessel frame, in the order of
    /// [`Panorama::stopped`].
    pub fn starts(lamp: &PosedLamp, turn: &DMat3, bearing: Bearing, points: Points) -> Vec<DVec3> {
        let offsets = sweep::offsets(lamp, turn, std::iter::once(bearing), points);
        offsets.into_iter().flatten().flatten().map(|offset| lamp.centre + offset).collect()
    }
}
