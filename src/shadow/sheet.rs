//! A luminous face as one observer sees it: a flat sheet square to the line of sight, brighter here than there.
//!
//! Takes a posed lamp and an eye; gives the sheet's own frame, the lines of sight that start from it, and how its light
//! is shared out over it. Must never know what stands in the way.

use std::f64::consts::PI;

use glam::{DMat3, DVec2, DVec3};

use super::{Ray, Toward};
use crate::boat::{Bright, Form, PosedLamp};

/// Its frame has its middle as the origin, x across, y up, z toward the observer; right-handed, metres.
#[derive(Debug)]
pub(super) struct Sheet {
    centre: DVec3,
    /// Columns: its x, y and z in the vessel frame.
    axes: DMat3,
    /// Half of its width and height, metres.
    pub half: DVec2,
    /// Of the eye from its middle, metres; infinite from far off.
    pub distance: f64,
    form: Form,
    bright: Bright,
}

impl Sheet {
    /// `None` for an eye within the face itself.
    pub fn facing(lamp: &PosedLamp, toward: Toward) -> Option<Self> {
        let (sight, distance) = match toward {
            Toward::Direction(direction) => (direction, f64::INFINITY),
            Toward::Point(point) => {
                let away = point - lamp.centre;
                (away / away.length(), away.length())
            }
        };
        if distance <= lamp.face.radius() {
            return None;
        }
        let upright = lamp.frame.z_axis;
        let across = upright.cross(sight).try_normalize().unwrap_or(lamp.frame.y_axis);
        let height = lamp.face.height_seen(sight.dot(upright));
        Some(Self {
            centre: lamp.centre,
            axes: DMat3::from_cols(across, sight.cross(across), sight),
            half: DVec2::new(lamp.face.width, height) / 2.0,
            distance,
            form: lamp.face.form,
            bright: lamp.face.bright,
        })
    }

    /// The line of sight from its middle, in the vessel frame.
    pub fn sight(&self) -> Ray {
        Ray { origin: self.centre, direction: self.axes.z_axis, length: self.distance }
    }

    /// Radius of the disc that holds it.
    pub fn radius(&self) -> f64 {
        match self.form {
            Form::Column => self.half.length(),
            Form::Globe => self.half.max_element(),
        }
    }

    /// A point of the vessel frame in the sheet's.
    pub fn own(&self, point: DVec3) -> DVec3 {
        self.axes.transpose() * (point - self.centre)
    }

    /// Unit directions of the vessel frame in the sheet's.
    pub fn own_axes(&self, axes: &DMat3) -> DMat3 {
        self.axes.transpose() * *axes
    }

    /// One over the distance of the eye: how much nearer lines of sight draw together for every metre, nought far off.
    pub fn nearness(&self) -> f64 {
        1.0 / self.distance
    }

    /// The line of sight from one of its points, in its frame.
    pub fn ray(&self, from: DVec2) -> Ray {
        let direction = (-from * self.nearness()).extend(1.0);
        let slant = direction.length();
        Ray { origin: from.extend(0.0), direction: direction / slant, length: self.distance * slant }
    }

    /// The corners of the rectangle that holds it.
    pub fn corners(&self) -> [DVec2; 4] {
        let DVec2 { x, y } = self.half;
        [DVec2::new(-x, -y), DVec2::new(x, -y), DVec2::new(x, y), DVec2::new(-x, y)]
    }

    /// How far it reaches up and down from its middle line at this x, metres.
    pub fn reach(&self, x: f64) -> f64 {
        match self.form {
            Form::Column => self.half.y,
            Form::Globe => self.half.y * (1.0 - (x / self.half.x).powi(2)).max(0.0).sqrt(),
        }
    }

    /// How bright the upright line at this x is as a whole, against the other upright lines; any unit.
    pub fn line_brightness(&self, x: f64) -> f64 {
        let inside = (1.0 - (x / self.half.x).powi(2)).max(0.0);
        match (self.form, self.bright) {
            (Form::Column, Bright::Even) => 1.0,
            (Form::Column, Bright::Middle) => inside,
            (Form::Globe, Bright::Even) => inside.sqrt(),
            (Form::Globe, Bright::Middle) => inside * inside.sqrt(),
        }
    }

    /// Share of all its light that comes from left of this x: the integral of the line's brightness.
    pub fn share_left_of(&self, x: f64) -> f64 {
        let place = (x / self.half.x).clamp(-1.0, 1.0);
        let root = (1.0 - place * place).sqrt();
        match (self.form, self.bright) {
            (Form::Column, Bright::Even) => (1.0 + place) / 2.0,
            (Form::Column, Bright::Middle) => rounded_share(place),
            (Form::Globe, Bright::Even) => 0.5 + (place * root + place.asin()) / PI,
            (Form::Globe, Bright::Middle) => {
                0.5 + (place * root * (5.0 - 2.0 * place * place) + 3.0 * place.asin()) / (3.0 * PI)
            }
        }
    }

    /// Points that stand for equal shares of its light, as shares of its half width and height: `across` upright lines of as
    /// many points each, from its right and from its foot. The same for every sheet of one lamp.
    pub fn equal_points(&self, across: usize) -> Vec<Vec<DVec2>> {
        let middle = |n: usize| (n as f64 + 0.5) / across as f64;
        let line = |n: usize| {
            let x = solved(|place| self.share_left_of(place * self.half.x), middle(n));
            let reach = self.reach(x * self.half.x) / self.half.y;
            (0..across).map(|k| DVec2::new(x, reach * solved(|place| self.share_below(place), middle(k)))).collect()
        };
        (0..across).map(line).collect()
    }

    /// A point of its own in the vessel frame, from its middle.
    pub fn aboard(&self, own: DVec2) -> DVec3 {
        self.axes * own.extend(0.0)
    }

    /// Share of an upright line's light that comes from below a place on it, from -1 at its foot to 1 at its head.
    pub fn share_below(&self, place: f64) -> f64 {
        match self.bright {
            Bright::Even => (1.0 + place) / 2.0,
            // On a globe the fall along a line, 1 - x² - y², is (1 - x²) times that of the place: the same share.
            Bright::Middle => rounded_share(place),
        }
    }
}

/// Where within -1 to 1 a rising share has this value.
fn solved(share: impl Fn(f64) -> f64, value: f64) -> f64 {
    let (mut low, mut high) = (-1.0, 1.0);
    // To the last bits of a number near one.
    for _ in 0..52 {
        let middle = (low + high) / 2.0;
        if share(middle) < value { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}

/// The integral of 1 - t² from -1 to `place`, as a share of the whole.
fn rounded_share(place: f64) -> f64 {
    (2.0 + place * (3.0 - place * place)) / 4.0
}
