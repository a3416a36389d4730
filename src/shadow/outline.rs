//! What one solid covers of a sheet, as its observer sees it.
//!
//! Every plain solid is convex, so it covers one stretch of any line across the sheet. Flat-sided solids are drawn onto
//! the sheet as polygons; round ones are left to `bar`. Must never know how bright the sheet is.

use std::ops::{Add, Mul};

use glam::{DMat3, DVec2, DVec3};

use super::{
    bar::{Bar, Line},
    obstacles::{Candidate, PlainShape},
    ray::hits_cuboid,
    sheet::Sheet,
};
use crate::boat::Owner;

#[derive(Debug)]
pub(super) struct Outline {
    pub owner: Owner,
    pub solid: usize,
    pub transmits: f64,
    /// Between these it covers something, metres across the sheet.
    pub left: f64,
    pub right: f64,
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    /// Covers all of the sheet.
    Whole,
    /// Covers this much of the rectangle that holds the sheet; the corners in order round it.
    Polygon(Vec<DVec2>),
    Bar(Bar),
}

impl Outline {
    /// `None` where the solid hides nothing.
    pub fn of(candidate: &Candidate, sheet: &Sheet) -> Option<Self> {
        if candidate.transmits >= 1.0 {
            return None;
        }
        let kind = match candidate.shape {
            PlainShape::Capsule { from, to, radius } => {
                Kind::bar(Bar::new(sheet.own(from), sheet.own(to), radius, false)?, sheet)
            }
            PlainShape::Cylinder { from, to, radius } => {
                Kind::bar(Bar::new(sheet.own(from), sheet.own(to), radius, true)?, sheet)
            }
            PlainShape::Cuboid { centre, axes, half } => {
                Kind::cuboid(sheet.own(centre), &sheet.own_axes(&axes), half, sheet)?
            }
            PlainShape::Triangle(corners) => Kind::triangle(corners.map(|corner| sheet.own(corner)), sheet)?,
        };
        let (left, right) = match &kind {
            Kind::Polygon(corners) => corners.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), corner| {
                (low.min(corner.x), high.max(corner.x))
            }),
            Kind::Whole | Kind::Bar(_) => (-sheet.half.x, sheet.half.x),
        };
        Some(Self { owner: candidate.owner, solid: candidate.solid, transmits: candidate.transmits, left, right, kind })
    }

    /// Whether it covers all of the sheet.
    pub fn is_whole(&self) -> bool {
        matches!(self.kind, Kind::Whole)
    }

    /// Adds the places across the sheet where what it covers begins, ends or turns.
    pub fn breaks(&self, sheet: &Sheet, into: &mut Vec<f64>) {
        match &self.kind {
            Kind::Whole => {}
            Kind::Polygon(corners) => into.extend(corners.iter().map(|corner| corner.x)),
            Kind::Bar(bar) => bar.breaks(sheet, into),
        }
    }

    /// The stretch that it covers of the upright line at this x, which reaches so far up and down.
    pub fn along(&self, sheet: &Sheet, x: f64, reach: f64) -> Option<(f64, f64)> {
        match &self.kind {
            Kind::Whole => Some((-reach, reach)),
            Kind::Polygon(corners) => {
                let (low, high) = upright_stretch(corners, x)?;
                (low < reach && high > -reach).then_some((low.max(-reach), high.min(reach)))
            }
            Kind::Bar(bar) => bar.meets(sheet, &Line { start: DVec2::new(x, 0.0), along: DVec2::Y }, reach),
        }
    }
}

impl Kind {
    fn bar(bar: Bar, sheet: &Sheet) -> Self {
        if sheet.corners().into_iter().all(|corner| bar.hit(&sheet.ray(corner))) { Self::Whole } else { Self::Bar(bar) }
    }

    fn cuboid(centre: DVec3, axes: &DMat3, half: DVec3, sheet: &Sheet) -> Option<Self> {
        if sheet.corners().into_iter().all(|corner| hits_cuboid(&sheet.ray(corner), centre, axes, half)) {
            return Some(Self::Whole);
        }
        let mut drawn = Vec::with_capacity(24);
        for axis in 0..3 {
            for n in 0..4u8 {
                // The edge along this axis whose other two signs are the bits of n.
                let sign = |bit: u8| if n >> bit & 1 == 1 { 1.0 } else { -1.0 };
                let mut corner = half;
                corner[(axis + 1) % 3] *= sign(0);
                corner[(axis + 2) % 3] *= sign(1);
                let mut other = corner;
                other[axis] = -other[axis];
                drawn.extend(drawn_on(sheet, vec![centre + *axes * corner, centre + *axes * other]));
            }
        }
        Self::polygon(hull(drawn), sheet)
    }

    fn triangle(corners: [DVec3; 3], sheet: &Sheet) -> Option<Self> {
        Self::polygon(drawn_on(sheet, corners.to_vec()), sheet)
    }

    /// A polygon drawn on the sheet's plane, cut to the rectangle that holds the sheet.
    fn polygon(mut corners: Vec<DVec2>, sheet: &Sheet) -> Option<Self> {
        let DVec2 { x, y } = sheet.half;
        cut(&mut corners, |at: DVec2| x - at.x);
        cut(&mut corners, |at: DVec2| x + at.x);
        cut(&mut corners, |at: DVec2| y - at.y);
        cut(&mut corners, |at: DVec2| y + at.y);
        if corners.is_empty() {
            return None;
        }
        let whole = area(&corners) >= 4.0 * x * y * (1.0 - 1e-12);
        Some(if whole { Self::Whole } else { Self::Polygon(corners) })
    }
}

/// Nearer than this share of its distance to the eye's own plane nothing is drawn: it would be endlessly large.
const NEAREST: f64 = 1e-6;

/// Corners in the sheet's frame as the observer sees them in the sheet's plane, cut off behind it and at the eye.
fn drawn_on(sheet: &Sheet, mut corners: Vec<DVec3>) -> Vec<DVec2> {
    let scale = |at: DVec3| 1.0 - at.z * sheet.nearness();
    cut(&mut corners, |at: DVec3| at.z);
    cut(&mut corners, |at: DVec3| scale(at) - NEAREST);
    corners.into_iter().map(|at| at.truncate() / scale(at)).collect()
}

/// Keeps of a polygon, or of a line of two corners, the side where `inside` is not negative (after Sutherland and
/// Hodgman, 1974).
fn cut<V: Copy + Add<Output = V> + Mul<f64, Output = V>>(corners: &mut Vec<V>, inside: impl Fn(V) -> f64) {
    if corners.iter().all(|corner| inside(*corner) >= 0.0) {
        return;
    }
    let all = std::mem::take(corners);
    for (index, corner) in all.iter().enumerate() {
        let next = all[(index + 1) % all.len()];
        let (here, there) = (inside(*corner), inside(next));
        if here >= 0.0 {
            corners.push(*corner);
        }
        if (here >= 0.0) != (there >= 0.0) {
            let share = here / (here - there);
            corners.push(*corner * (1.0 - share) + next * share);
        }
    }
}

/// The corners of the least convex polygon round all points (after Andrew, 1979).
fn hull(mut points: Vec<DVec2>) -> Vec<DVec2> {
    points.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |points: &mut dyn Iterator<Item = &DVec2>| {
        let mut chain: Vec<DVec2> = Vec::new();
        for point in points {
            while let [.., before, last] = chain[..]
                && (last - before).perp_dot(*point - last) <= 0.0
            {
                chain.pop();
            }
            chain.push(*point);
        }
        chain.pop();
        chain
    };
    let mut round = chain(&mut points.iter());
    round.extend(chain(&mut points.iter().rev()));
    round
}

fn area(corners: &[DVec2]) -> f64 {
    let sides = corners.iter().zip(corners.iter().cycle().skip(1));
    sides.map(|(from, to)| from.perp_dot(*to)).sum::<f64>().abs() / 2.0
}

/// Where the upright line at this x enters and leaves a convex polygon.
fn upright_stretch(corners: &[DVec2], x: f64) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
        // From left to right, so that two polygons cut the side they share at the same place.
        let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
        if x < left.x || x > right.x {
            continue;
        }
        let width = right.x - left.x;
        let y = if width > 0.0 { left.y + (right.y - left.y) * ((x - left.x) / width) } else { right.y };
        (low, high) = (low.min(y), high.max(y));
    }
    (low <= high).then_some((low, high))
}
