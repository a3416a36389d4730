//! What a lamp looks out on, cell by cell: how much of its face each direction loses, and whose solid is seen there.
//!
//! Takes a stance and a lamp; gives shares and owners for all bearings and the elevations near level, the boat as the
//! stance has her. Owners are asked for by single rays, one for every two cells that are not clear, so that a boat in
//! thousands of pieces costs no more than one in two. Must never know which directions matter.

use glam::DMat3;
use rayon::prelude::*;

use super::Stance;
use crate::{
    boat::Owner,
    measure::{Bearing, Degrees},
    shadow::{Grid, Panorama, Points, Ray},
};

/// How many bearings: a quarter of a degree apart.
const BEARINGS: u32 = 1440;
/// Elevations in each half: a quarter of a degree apart. Level is in both.
const HALF: u32 = 31;
/// Bearings that share an owner.
const COARSE: u32 = 2;
/// Points of the face looked at.
const POINTS: Points = Points::Sixteen;

/// See the module.
#[derive(Clone, Debug)]
pub struct Outlook {
    /// Bearing after bearing, from the lowest elevation up.
    hidden: Vec<f64>,
    /// The same, for every two bearings.
    owners: Vec<Option<Owner>>,
}

impl Outlook {
    /// Bearings, evenly round from right ahead.
    pub const BEARINGS: u32 = BEARINGS;
    /// Elevations, evenly from the lowest to the highest; the middle one is level.
    pub const ELEVATIONS: u32 = 2 * HALF - 1;
    /// The greatest elevation, up and down, degrees: what the light of a power-driven vessel must reach (COLREGs 1972,
    /// Annex I 10(a)(ii)).
    pub const HIGHEST: f64 = 7.5;

    /// The bearing of a column.
    pub fn bearing(column: u32) -> Bearing {
        Bearing::new(f64::from(column) * 360.0 / f64::from(BEARINGS))
    }

    /// The elevation of a row, the lowest first.
    pub fn elevation(row: u32) -> Degrees {
        Degrees((f64::from(row) - f64::from(HALF - 1)) * (Self::HIGHEST / f64::from(HALF - 1)))
    }

    /// The share of the face that the boat's own solids hide, in `[0, 1]`.
    pub fn hidden(&self, column: u32, row: u32) -> f64 {
        self.hidden[(column * Self::ELEVATIONS + row) as usize]
    }

    /// Whose solid is seen there; `None` where the view is clear. Two neighbouring bearings share an answer.
    pub fn owner(&self, column: u32, row: u32) -> Option<Owner> {
        self.owners[(column / COARSE * Self::ELEVATIONS + row) as usize]
    }
}

impl Stance {
    /// What a lamp looks out on.
    pub fn outlook(&self, lamp: usize) -> Outlook {
        let halves = [(-Outlook::HIGHEST, 0.0), (0.0, Outlook::HIGHEST)];
        let look =
            |(low, high)| Some(self.panorama(lamp, Grid::new(BEARINGS, Degrees(low), Degrees(high), HALF)?, POINTS));
        // These grids are within the ranges; without them all is clear.
        let halves: Vec<Panorama> = halves.into_iter().filter_map(look).collect();
        let at = |row: u32| (usize::from(row >= HALF), if row >= HALF { row - (HALF - 1) } else { row });
        let seen = |column: u32, row: u32| {
            let (half, row) = at(row);
            halves.get(half).map_or(1.0, |panorama| panorama.seen(column, row))
        };
        let cells = (0..BEARINGS).flat_map(|column| (0..Outlook::ELEVATIONS).map(move |row| (column, row)));
        let hidden: Vec<f64> = cells.map(|(column, row)| 1.0 - seen(column, row)).collect();
        let stopped = |column: u32, row: u32, point: u32| {
            let (half, row) = at(row);
            halves.get(half).is_some_and(|panorama| panorama.stopped(column, row, point))
        };
        let owners = (0..BEARINGS / COARSE)
            .into_par_iter()
            .flat_map_iter(|coarse| self.owners(lamp, coarse, &hidden, &stopped))
            .collect();
        Outlook { hidden, owners }
    }

    /// The owners on one coarse bearing, from the lowest elevation up.
    fn owners(
        &self,
        lamp: usize,
        coarse: u32,
        hidden: &[f64],
        stopped: &impl Fn(u32, u32, u32) -> bool,
    ) -> Vec<Option<Owner>> {
        let turn = self.attitude().rotation();
        let posed = &self.posed().lamps[lamp];
        let columns = [0, 1].map(|n| coarse * COARSE + n);
        let starts = columns.map(|column| Panorama::starts(posed, &turn, Outlook::bearing(column), POINTS));
        (0..Outlook::ELEVATIONS)
            .map(|row| {
                let of = |n: usize| hidden[(columns[n] * Outlook::ELEVATIONS + row) as usize];
                let n = usize::from(of(1) > of(0));
                if of(n) <= 0.0 {
                    return None;
                }
                let direction = aboard(&turn, Outlook::bearing(columns[n]), Outlook::elevation(row));
                let first_met = |point: usize| {
                    self.obstacles().first_met(&Ray { origin: starts[n][point], direction, length: f64::INFINITY })
                };
                let mut points: Vec<usize> = (0..starts[n].len()).collect();
                // At most sixteen, so the cast is exact. Behind a pane none is stopped, and any will do.
                points.sort_by_key(|point| !stopped(columns[n], row, *point as u32));
                points.into_iter().find_map(first_met)
            })
            .collect()
    }
}

fn aboard(turn: &DMat3, bearing: Bearing, elevation: Degrees) -> glam::DVec3 {
    turn.transpose() * bearing.direction_at(elevation)
}
