//! Closed outlines with rounded corners, as lines and arcs.
//!
//! Takes corners in order and the radius of each; gives strokes a cutter can follow. Millimetres, y up. Must never know
//! what is cut out.

use std::f64::consts::TAU;

use glam::DVec2;
use serde::Serialize;

/// A stroke of an outline.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Stroke {
    Line {
        from: DVec2,
        to: DVec2,
    },
    /// Anticlockwise from one angle to the other, radians from the x axis.
    Arc {
        centre: DVec2,
        radius: f64,
        from: f64,
        to: f64,
    },
}

impl Stroke {
    /// Its two ends, in the order in which the outline runs anticlockwise.
    pub fn ends(&self) -> [DVec2; 2] {
        match self {
            Self::Line { from, to } => [*from, *to],
            Self::Arc { centre, radius, from, to } => {
                [from, to].map(|angle| *centre + DVec2::from_angle(*angle) * *radius)
            }
        }
    }

    /// How far a point is from it.
    pub fn distance(&self, point: DVec2) -> f64 {
        match self {
            Self::Line { from, to } => {
                let along = *to - *from;
                let share = ((point - *from).dot(along) / along.length_squared()).clamp(0.0, 1.0);
                point.distance(*from + along * share)
            }
            Self::Arc { centre, radius, from, to } => {
                let angle = (point - *centre).to_angle();
                if (angle - from).rem_euclid(TAU) <= to - from {
                    return (point.distance(*centre) - radius).abs();
                }
                self.ends().map(|end| point.distance(end)).into_iter().fold(f64::INFINITY, f64::min)
            }
        }
    }
}

/// An outline through corners in anticlockwise order, each rounded by its radius (nought for a sharp one). `None` where
/// a radius does not fit between its neighbours.
pub fn rounded(corners: &[(DVec2, f64)]) -> Option<Vec<Stroke>> {
    let count = corners.len();
    let corner = |n: usize| corners[n % count];
    // How much of both sides the rounding of a corner takes.
    let taken = |n: usize| {
        let (before, (at, radius), after) = (corner(n + count - 1).0, corner(n), corner(n + 1).0);
        let turned = (at - before).angle_to(after - at).abs();
        radius * (turned / 2.0).tan()
    };
    let mut strokes = Vec::new();
    for n in 0..count {
        let (here, next) = (corner(n).0, corner(n + 1).0);
        let side = here.distance(next);
        if taken(n) + taken(n + 1) > side + 1e-9 {
            return None;
        }
        let way = (next - here) / side;
        let (from, to) = (here + way * taken(n), next - way * taken(n + 1));
        if from.distance(to) > 1e-9 {
            strokes.push(Stroke::Line { from, to });
        }
        let radius = corner(n + 1).1;
        if radius > 0.0 {
            let leaving = (corner(n + 2).0 - next).normalize();
            // Anticlockwise outlines have their inside to the left.
            let inward = way.perp();
            let start = (-inward).to_angle();
            strokes.push(Stroke::Arc {
                centre: to + inward * radius,
                radius,
                from: start,
                to: start + way.angle_to(leaving),
            });
        }
    }
    Some(strokes)
}

/// A circle as an outline.
pub fn circle(centre: DVec2, radius: f64) -> Vec<Stroke> {
    vec![Stroke::Arc { centre, radius, from: 0.0, to: TAU }]
}

/// How far a point is from the nearest stroke.
pub fn distance(outline: &[Stroke], point: DVec2) -> f64 {
    outline.iter().map(|stroke| stroke.distance(point)).fold(f64::INFINITY, f64::min)
}

/// Least and greatest corner of the box round an outline.
pub fn bounds(outline: &[Stroke]) -> (DVec2, DVec2) {
    let mut points: Vec<DVec2> = outline.iter().flat_map(Stroke::ends).collect();
    for stroke in outline {
        if let Stroke::Arc { centre, radius, from, to } = stroke {
            let quarters = (0..4).map(|n| f64::from(n) * TAU / 4.0);
            let on = quarters.filter(|angle| (angle - from).rem_euclid(TAU) <= to - from);
            points.extend(on.map(|angle| *centre + DVec2::from_angle(angle) * *radius));
        }
    }
    let first = points.first().copied().unwrap_or_default();
    points.iter().fold((first, first), |(low, high), point| (low.min(*point), high.max(*point)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(radius: f64) -> Option<Vec<Stroke>> {
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)];
        rounded(&corners.map(|(x, y)| (DVec2::new(x, y), radius)))
    }

    #[test]
    fn a_rounded_square_closes_and_keeps_its_size() {
        let outline = square(5.0).expect("it fits");
        assert_eq!(outline.len(), 8);
        for (n, stroke) in outline.iter().enumerate() {
            let next = outline[(n + 1) % outline.len()];
            assert!(stroke.ends()[1].distance(next.ends()[0]) < 1e-9, "{n}");
        }
        let (low, high) = bounds(&outline);
        assert!(low.length() < 1e-9 && high.distance(DVec2::new(40.0, 30.0)) < 1e-9);
        assert!((distance(&outline, DVec2::new(10.0, 15.0)) - 10.0).abs() < 1e-9);
        // From the middle of a corner's arc, that is its radius.
        assert!((distance(&outline, DVec2::new(5.0, 5.0)) - 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_radius_of_more_than_half_a_side_does_not_fit() {
        assert!(square(15.0).is_some());
        assert!(square(15.1).is_none());
    }
}
