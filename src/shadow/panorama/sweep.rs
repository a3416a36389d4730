//! Goes through a surface's triangles and draws each where it may hide something.

use glam::{DMat3, DVec2, DVec3, Mat3, Vec3};
use multiversion::multiversion;

use super::{
    Cover, Grid, Points, Spot,
    spans::{self, View, arcsine, turns},
    stroke::{Cut, LANES, Ladder, Rows, stroke},
};
use crate::{
    boat::PosedLamp,
    measure::Bearing,
    shadow::{
        Toward,
        facets::{Bounds, Facets, PACK, Pack},
        sheet::Sheet,
    },
};

/// One lamp, about to look round.
pub(super) struct Sweep {
    centre: Vec3,
    turn: Mat3,
    /// Cosine and sine of each column's bearing.
    heading: Vec<(f32, f32)>,
    /// Where the points lie: one entry when they lie alike on every bearing, as those of an upright lamp do; else one
    /// for each.
    rows: Vec<Rows>,
    view: View,
}

/// An upright drum round a box, from the lamp's middle, in the level frame.
struct Drum {
    x: f32,
    y: f32,
    /// Level distance of its axis.
    away: f32,
    radius: f32,
    bottom: f32,
    top: f32,
}

/// The sheet that a lamp's face is on a bearing, level.
fn sheet(lamp: &PosedLamp, turn: &DMat3, bearing: Bearing) -> Option<Sheet> {
    Sheet::facing(lamp, Toward::Direction(turn.transpose() * bearing.direction()))
}

/// Where the points of the face lie from its middle, in the vessel frame, for a look along each of some bearings: upright
/// rows from the right. Every point stands for as much of the light.
pub(super) fn offsets(
    lamp: &PosedLamp,
    turn: &DMat3,
    bearings: impl Iterator<Item = Bearing>,
    points: Points,
) -> Vec<Vec<Vec<DVec3>>> {
    // No sheet is far from being one: only an eye within the face sees none.
    let Some(first) = sheet(lamp, turn, Bearing::AHEAD) else { return Vec::new() };
    let places = first.equal_points(points.across());
    let on = |sheet: Sheet| {
        let at = |place: &DVec2| sheet.aboard(*place * sheet.half);
        places.iter().map(|row| row.iter().map(at).collect()).collect()
    };
    bearings.filter_map(|bearing| sheet(lamp, turn, bearing)).map(on).collect()
}

impl Sweep {
    pub fn new(lamp: &PosedLamp, turn: &DMat3, grid: Grid, points: Points) -> Self {
        let across = points.across();
        let axis = *turn * lamp.frame.z_axis;
        let upright = axis.x.hypot(axis.y) < 1e-9;
        let looks = if upright { 1 } else { grid.bearings() };
        let offsets = offsets(lamp, turn, (0..looks).map(|column| grid.bearing(column)), points);
        let rows: Vec<Rows> = (0..looks)
            .zip(&offsets)
            .map(|(column, offsets)| {
                let ahead = grid.bearing(column).direction();
                let right = ahead.cross(DVec3::Z);
                Rows::new(|n, k| {
                    let at = *turn * offsets[n.min(across - 1)][k.min(across - 1)];
                    Spot { right: at.dot(right) as f32, along: at.dot(ahead) as f32, up: at.z as f32 }
                })
            })
            .collect();
        let right = std::array::from_fn(|n| {
            let places = rows.iter().flat_map(|rows| rows.right[n]);
            places.fold((f32::INFINITY, f32::NEG_INFINITY), |(least, most), place| (least.min(place), most.max(place)))
        });
        let tangent = |row: u32| grid.elevation(row).0.to_radians().tan() as f32;
        let heading = (0..grid.bearings())
            .map(|column| grid.bearing(column).direction())
            .map(|direction| (direction.x as f32, -direction.y as f32))
            .collect();
        let view = View {
            columns: grid.bearings() as i32,
            slack: View::slack(grid.bearings()),
            across,
            reach: lamp.face.radius() as f32,
            right,
            ladder: Ladder::new(grid),
            // The cones that bound the band leave out only what is convex: above level and below it.
            band: (tangent(0).min(0.0), tangent(grid.elevations() - 1).max(0.0)),
        };
        Self { centre: lamp.centre.as_vec3(), turn: turn.as_mat3(), heading, rows, view }
    }

    /// A cover that hides nothing.
    pub fn nothing(&self) -> Cover {
        vec![[[0; LANES]; 4]; self.heading.len()]
    }

    /// Adds what a surface hides.
    pub fn cover(&self, facets: &Facets, cover: &mut Cover) {
        let in_band = |bounds: &Bounds| self.drum(bounds).is_in_band(&self.view);
        facets.visit(Some(self.centre), in_band, |pack, bounds, lanes| {
            let drum = self.drum(bounds);
            let nearest = drum.away - drum.radius - self.view.reach;
            let far = nearest > 4.0 * (drum.radius + self.view.reach);
            if far && self.is_hidden(&drum, cover) {
                return;
            }
            let bulge = far.then(|| (drum.radius / nearest).powi(2));
            draw(self, pack, lanes, bulge, cover);
        });
    }

    fn drum(&self, bounds: &Bounds) -> Drum {
        let middle = (bounds.low + bounds.high) / 2.0;
        let half = (bounds.high - bounds.low) / 2.0;
        let at = self.turn * (middle - self.centre);
        let [x, y, z] = [self.turn.row(0), self.turn.row(1), self.turn.row(2)].map(|row| row.abs().dot(half));
        Drum { x: at.x, y: at.y, away: at.truncate().length(), radius: x.hypot(y), bottom: at.z - z, top: at.z + z }
    }

    /// Whether a far drum lies wholly behind what hides already.
    fn is_hidden(&self, drum: &Drum, cover: &Cover) -> bool {
        let size = drum.radius + self.view.reach;
        let (nearest, furthest) = (drum.away - size, drum.away + size);
        let (bottom, top) = (drum.bottom - self.view.reach, drum.top + self.view.reach);
        let lowest = bottom / if bottom < 0.0 { nearest } else { furthest };
        let highest = top / if top > 0.0 { nearest } else { furthest };
        let rungs = self.view.ladder.rungs(lowest, highest);
        let bearing = turns(drum.x, -drum.y);
        let turn = |right: f32| arcsine(right / drum.away);
        (self.view.right[..self.view.across].iter().enumerate()).all(|(row, (least, most))| {
            let first = self.view.first_column(bearing - turn(most + drum.radius));
            let last = self.view.last_column(bearing - turn(least - drum.radius));
            self.columns_between(first, last)
                .all(|column| cover[column][row].iter().all(|point| point & rungs == rungs))
        })
    }

    /// The columns of a run that may start before the first or go past the last.
    #[inline(always)]
    fn columns_between(&self, first: i32, last: i32) -> impl Iterator<Item = usize> + use<> {
        let columns = self.view.columns;
        let mut next = first;
        while next < 0 {
            next += columns;
        }
        (first..=last).map(move |_| {
            while next >= columns {
                next -= columns;
            }
            next += 1;
            // Not below nought, by the above.
            (next - 1) as usize
        })
    }

    /// The corners from the lamp's middle, in the level frame.
    #[inline(always)]
    fn placed(&self, pack: &Pack) -> Pack {
        let (turn, centre) = (&self.turn, self.centre);
        let mut placed = Pack::NOTHING;
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

impl Drum {
    /// Whether some of it, seen from some point of the face, is within the band of elevations.
    fn is_in_band(&self, view: &View) -> bool {
        let furthest = self.away + self.radius + view.reach;
        self.bottom - view.reach <= view.band.1 * furthest && self.top + view.reach >= view.band.0 * furthest
    }
}

/// Draws a pack's triangles; `bulge` as for [`spans::far`], when it is far. Built for processors with and without wide
/// registers; neither joins a product and a sum into one step, so that both round alike.
#[multiversion(targets("x86_64+avx2"))]
fn draw(sweep: &Sweep, pack: &Pack, lanes: usize, bulge: Option<f32>, cover: &mut Cover) {
    let placed = sweep.placed(pack);
    let spans = match bulge {
        Some(bulge) => spans::far(&sweep.view, &placed, bulge),
        None => spans::near(&sweep.view, &placed),
    };
    for lane in 0..lanes {
        let rungs = spans.rungs[lane];
        if rungs == 0 {
            continue;
        }
        let cut = Cut {
            x: [0, 1, 2].map(|n| placed.x[n][lane]),
            y: [0, 1, 2].map(|n| placed.y[n][lane]),
            z: [0, 1, 2].map(|n| placed.z[n][lane]),
        };
        for (row, (first, last)) in spans.first.iter().zip(&spans.last).enumerate().take(sweep.view.across) {
            for column in sweep.columns_between(first[lane], last[lane]) {
                let hidden = &mut cover[column][row];
                if hidden[0] & hidden[1] & hidden[2] & hidden[3] & rungs == rungs {
                    continue;
                }
                let rows = if sweep.rows.len() == 1 { &sweep.rows[0] } else { &sweep.rows[column] };
                stroke(&cut, sweep.heading[column], rows, row, &sweep.view.ladder, hidden);
            }
        }
    }
}
