//! What a round bar covers of a line across a sheet, exactly.
//!
//! Takes a bar and a line in the sheet's frame. A line of sight that only just touches the bar has a given distance from
//! its axis, from the middle of a rounded end, or meets a flat end's rim: each is a quadratic in the place that the line
//! of sight starts from. Must never know how bright the sheet is.

use glam::{DVec2, DVec3};

use super::{
    Ray,
    ray::{hits_capsule, hits_cylinder},
    sheet::Sheet,
};

/// A straight line in the plane of a sheet: the place so many metres along is `start + along * metres`.
pub(super) struct Line {
    pub start: DVec2,
    /// A unit vector.
    pub along: DVec2,
}

#[derive(Debug)]
pub(super) struct Bar {
    from: DVec3,
    to: DVec3,
    radius: f64,
    /// Unit vector from one end to the other; `None` for a ball.
    axis: Option<DVec3>,
    /// Flat ends, not rounded ones.
    flat: bool,
    /// Reaches to both sides of the sheet's plane.
    astride: bool,
}

impl Bar {
    /// `None` for a bar with flat ends and no length, which is nothing.
    pub fn new(from: DVec3, to: DVec3, radius: f64, flat: bool) -> Option<Self> {
        let axis = (to - from).try_normalize();
        if flat && axis.is_none() {
            return None;
        }
        let astride = from.z.min(to.z) - radius < 0.0 && from.z.max(to.z) + radius > 0.0;
        Some(Self { from, to, radius, axis, flat, astride })
    }

    /// Whether a line of sight, in the sheet's frame, meets it.
    pub fn hit(&self, ray: &Ray) -> bool {
        if self.flat {
            hits_cylinder(ray, self.from, self.to, self.radius)
        } else {
            hits_capsule(ray, self.from, self.to, self.radius)
        }
    }

    /// The stretch that it covers of a line, looked for so far to both sides of the line's start.
    pub fn meets(&self, sheet: &Sheet, line: &Line, reach: f64) -> Option<(f64, f64)> {
        let mut marks = Marks::new(reach);
        self.mark_tangents(sheet, line, &mut marks);
        if self.astride {
            self.mark_crossings(line, &mut marks);
        }
        // Between two marks either every line of sight meets the bar or none does.
        let mut met: Option<(f64, f64)> = None;
        for pair in marks.in_order().windows(2) {
            if self.hit(&sheet.ray(line.start + line.along * ((pair[0] + pair[1]) / 2.0))) {
                met = Some((met.map_or(pair[0], |(from, _)| from), pair[1]));
            }
        }
        met
    }

    /// Adds the places across the sheet where what it covers begins, ends or turns.
    pub fn breaks(&self, sheet: &Sheet, into: &mut Vec<f64>) {
        let DVec2 { x, y } = sheet.half;
        for level in [-y, 0.0, y] {
            let line = Line { start: DVec2::new(0.0, level), along: DVec2::X };
            into.extend(self.meets(sheet, &line, x).into_iter().flat_map(|(from, to)| [from, to]));
        }
        // Upright planes of sight that only just touch an end.
        for end in [self.from, self.to] {
            let normal = Along { start: DVec3::X, slope: DVec3::Z * sheet.nearness() };
            let distance = Along::number(end.x, end.z * sheet.nearness() - 1.0);
            let across = if self.flat { normal.cross(self.axis.unwrap_or(DVec3::Z)) } else { normal };
            into.extend(equal(&distance, self.radius, &across).into_iter().flatten());
        }
    }

    /// Where lines of sight from the line touch the body or an end.
    fn mark_tangents(&self, sheet: &Sheet, line: &Line, marks: &mut Marks) {
        let (start, along) = (line.start.extend(0.0), line.along.extend(0.0));
        let direction = Along { start: DVec3::Z - start * sheet.nearness(), slope: -along * sheet.nearness() };
        // The way from a fixed point to the line of sight, times its direction: as long as the line is far from the point.
        // It changes evenly along the line, since the place times itself is nought.
        let moment = |point: DVec3| Along {
            start: start.cross(DVec3::Z) - point.cross(direction.start),
            slope: along.cross(DVec3::Z) - point.cross(direction.slope),
        };
        for end in [self.from, self.to] {
            let roots = match self.axis.filter(|_| self.flat) {
                Some(axis) => equal(&moment(end).cross(axis), self.radius, &direction.dot(axis)),
                None => equal(&moment(end), self.radius, &direction),
            };
            marks.add(roots);
        }
        if let Some(axis) = self.axis {
            marks.add(equal(&moment(self.from).dot(axis), self.radius, &direction.cross(axis)));
        }
    }

    /// Where the line itself goes into the bar or comes out.
    fn mark_crossings(&self, line: &Line, marks: &mut Marks) {
        let from = |point: DVec3| Along { start: line.start.extend(0.0) - point, slope: line.along.extend(0.0) };
        let one = Along::number(1.0, 0.0);
        if let Some(axis) = self.axis {
            marks.add(equal(&from(self.from).cross(axis), self.radius, &one));
        }
        for end in [self.from, self.to] {
            marks.add(match self.axis.filter(|_| self.flat) {
                Some(axis) => [Some(-from(end).start.dot(axis) / from(end).slope.dot(axis)), None],
                None => equal(&from(end), self.radius, &one),
            });
        }
    }
}

/// A vector that changes evenly with a number: `start + slope * number`.
struct Along {
    start: DVec3,
    slope: DVec3,
}

impl Along {
    /// A number that does, as a vector along x.
    fn number(start: f64, slope: f64) -> Self {
        Self { start: DVec3::X * start, slope: DVec3::X * slope }
    }

    fn dot(&self, other: DVec3) -> Self {
        Self::number(self.start.dot(other), self.slope.dot(other))
    }

    fn cross(&self, other: DVec3) -> Self {
        Self { start: self.start.cross(other), slope: self.slope.cross(other) }
    }
}

/// The numbers at which one vector is `times` as long as the other.
fn equal(one: &Along, times: f64, other: &Along) -> [Option<f64>; 2] {
    let squared = times * times;
    let a = one.slope.length_squared() - squared * other.slope.length_squared();
    let b = one.start.dot(one.slope) - squared * other.start.dot(other.slope);
    let c = one.start.length_squared() - squared * other.start.length_squared();
    let under_root = b * b - a * c;
    // A flat end seen edge on has both its roots in one, which rounding must not lose: a mark too many does no harm.
    let dust = (1e-12 * one.start.length_squared() + 1e-24) * one.slope.length_squared();
    if under_root < -dust {
        return [None; 2];
    }
    // Written so that equals are not taken from each other: b plus or minus the root, whichever is farther from nought.
    let larger = -(b + under_root.max(0.0).sqrt().copysign(b));
    if larger == 0.0 {
        return [(a != 0.0).then_some(0.0), None];
    }
    [(a != 0.0).then(|| larger / a), Some(c / larger)]
}

/// Places on a line, as many as a bar can give: two for each end and the body, twice over, and the two ends of the line.
struct Marks {
    places: [f64; 14],
    count: usize,
    reach: f64,
}

impl Marks {
    fn new(reach: f64) -> Self {
        let mut places = [0.0; 14];
        (places[0], places[1]) = (-reach, reach);
        Self { places, count: 2, reach }
    }

    fn add(&mut self, roots: [Option<f64>; 2]) {
        for root in roots.into_iter().flatten().filter(|root| root.abs() < self.reach) {
            if let Some(place) = self.places.get_mut(self.count) {
                *place = root;
                self.count += 1;
            }
        }
    }

    fn in_order(&mut self) -> &[f64] {
        let places = &mut self.places[..self.count];
        places.sort_by(f64::total_cmp);
        places
    }
}
