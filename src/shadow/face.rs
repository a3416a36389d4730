//! The share of a luminous face that an observer sees past solids: half shadows, not one ray.
//!
//! The face is a glowing upright column, so from any side it looks like a rectangle across the line of sight. It is
//! cut into level strips; along each, the border between lit and hidden is found by halving, so that an upright edge
//! is placed far finer than the strips are.

use glam::DVec3;

use super::{Obstacles, Ray, obstacles::Candidate};
use crate::boat::{Face, Owner, PosedLamp};

/// Where a face is looked at from.
#[derive(Clone, Copy, Debug)]
pub enum Toward {
    /// From far off, along this unit vector (vessel frame) out of the lamp.
    Direction(DVec3),
    /// From a point (vessel frame).
    Point(DVec3),
}

/// How much of a face is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Visible {
    /// In `[0, 1]`.
    pub fraction: f64,
    /// Whose solid hides the most, when any does.
    pub by: Option<Owner>,
}

impl Visible {
    pub const WHOLLY: Self = Self { fraction: 1.0, by: None };
}

const STRIPS: u32 = 5;
/// Looks along a strip, both ends included.
const LOOKS: u32 = 9;
/// Halvings of the gap between two looks that disagree.
const HALVINGS: u32 = 6;

/// The share of the lamp's face that is seen. A point within the face itself sees all of it.
pub fn visible_fraction(obstacles: &Obstacles, lamp: &PosedLamp, toward: Toward) -> Visible {
    let centre_ray = match toward {
        Toward::Direction(direction) => Ray { origin: lamp.centre, direction, length: f64::INFINITY },
        Toward::Point(point) => {
            let away = point - lamp.centre;
            let length = away.length();
            if length <= lamp.face.radius() {
                return Visible::WHOLLY;
            }
            Ray { origin: lamp.centre, direction: away / length, length }
        }
    };
    let near = obstacles.near(&centre_ray, lamp.face.radius());
    if near.is_empty() {
        return Visible::WHOLLY;
    }
    let sheet = Sheet::facing(lamp, centre_ray.direction, toward);
    let seen: f64 = (0..STRIPS).map(|strip| sheet.seen_along(strip, &near)).sum::<f64>() / f64::from(STRIPS);
    // Adding up strips leaves dust in the last place; whole must be whole.
    let fraction = if seen > 1.0 - 1e-9 { 1.0 } else { seen };
    let by = if fraction < 1.0 { sheet.greatest_hider(&near) } else { None };
    Visible { fraction, by }
}

/// The face as the observer sees it: a rectangle across the line of sight.
struct Sheet {
    centre: DVec3,
    across: DVec3,
    up: DVec3,
    face: Face,
    toward: Toward,
}

impl Sheet {
    fn facing(lamp: &PosedLamp, sight: DVec3, toward: Toward) -> Self {
        let across = sight.cross(lamp.frame.z_axis).try_normalize().unwrap_or(lamp.frame.y_axis);
        Self { centre: lamp.centre, across, up: lamp.frame.z_axis, face: lamp.face, toward }
    }

    /// Strip number, and place along it from 0 to 1.
    fn ray(&self, strip: u32, along: f64) -> Ray {
        let raised = (f64::from(strip) + 0.5) / f64::from(STRIPS) - 0.5;
        let origin =
            self.centre + self.across * ((along - 0.5) * self.face.width) + self.up * (raised * self.face.height);
        match self.toward {
            Toward::Direction(direction) => Ray { origin, direction, length: f64::INFINITY },
            Toward::Point(point) => {
                let away = point - origin;
                let length = away.length();
                Ray { origin, direction: away / length, length }
            }
        }
    }

    fn seen_along(&self, strip: u32, near: &[Candidate]) -> f64 {
        let seen_at = |along: f64| {
            let ray = self.ray(strip, along);
            near.iter().filter(|one| one.shape.hit(&ray)).map(|one| one.transmits).product::<f64>()
        };
        let step = 1.0 / f64::from(LOOKS - 1);
        let mut seen = 0.0;
        let mut before = seen_at(0.0);
        for look in 1..LOOKS {
            let (mut low, mut high) = (f64::from(look - 1) * step, f64::from(look) * step);
            let after = seen_at(high);
            if before == after {
                seen += before * step;
            } else {
                let (start, end) = (low, high);
                for _ in 0..HALVINGS {
                    let middle = (low + high) / 2.0;
                    if seen_at(middle) == before { low = middle } else { high = middle }
                }
                let border = (low + high) / 2.0;
                seen += before * (border - start) + after * (end - border);
            }
            before = after;
        }
        seen
    }

    fn greatest_hider(&self, near: &[Candidate]) -> Option<Owner> {
        let mut hidden: Vec<(Owner, f64)> = Vec::new();
        for strip in 0..STRIPS {
            for look in 0..LOOKS {
                let ray = self.ray(strip, f64::from(look) / f64::from(LOOKS - 1));
                // Each owner counts once a ray, however many of its facets are met.
                let mut met: Vec<Owner> = Vec::new();
                for one in near.iter().filter(|one| one.shape.hit(&ray)) {
                    if met.contains(&one.owner) {
                        continue;
                    }
                    met.push(one.owner);
                    match hidden.iter_mut().find(|(owner, _)| *owner == one.owner) {
                        Some((_, amount)) => *amount += 1.0 - one.transmits,
                        None => hidden.push((one.owner, 1.0 - one.transmits)),
                    }
                }
            }
        }
        hidden.into_iter().max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))).map(|(owner, _)| owner)
    }
}
