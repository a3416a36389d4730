//! What is seen of a face against thousands of thin rays from all over it, for solids of every kind anywhere: before the
//! face, astride it, beyond the eye, round the eye.

mod support;

use std::sync::Arc;

use glam::{DMat3, DVec3};
use lampwalk::{
    boat::{Bright, Face, Form, Owner, PosedLamp, Solid, shape::Shape},
    shadow::{Obstacles, Ray, Toward, visible_fraction},
};
use support::sheet::upright;

/// Numbers that look random and are the same each time (after Knuth's linear congruential generator, TAOCP 3.3.4).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn one_of<T: Copy>(&mut self, choice: &[T]) -> T {
        choice[self.between(0.0, choice.len() as f64) as usize]
    }

    fn point(&mut self, reach: f64) -> DVec3 {
        DVec3::new(self.between(-reach, reach), self.between(-reach, reach), self.between(-reach, reach))
    }

    /// As often as not along an axis of the boat, as most things aboard are.
    fn way(&mut self, reach: f64) -> DVec3 {
        let along = self.one_of(&[DVec3::X, DVec3::Y, DVec3::Z]) * self.one_of(&[-1.0, 1.0]);
        if self.between(0.0, 1.0) < 0.5 { along * reach } else { self.point(reach) }
    }

    fn turn(&mut self) -> DMat3 {
        if self.between(0.0, 1.0) < 0.5 {
            return DMat3::IDENTITY;
        }
        DMat3::from_axis_angle(self.point(1.0).normalize(), self.between(0.0, 6.0))
    }
}

/// Fine enough that the cells themselves are right to about a thousandth.
const ACROSS: u32 = 150;

/// The same by rays, one from anywhere in each of as many times as many cells of the face.
fn by_rays(dice: &mut Dice, obstacles: &Obstacles, lamp: &PosedLamp, toward: Toward) -> f64 {
    let (sight, eye) = match toward {
        Toward::Direction(direction) => (direction, None),
        Toward::Point(point) => ((point - lamp.centre).normalize(), Some(point)),
    };
    let across = lamp.frame.z_axis.cross(sight).try_normalize().unwrap_or(lamp.frame.y_axis);
    let up = sight.cross(across);
    let (wide, high) = (lamp.face.width / 2.0, lamp.face.height_seen(sight.dot(lamp.frame.z_axis)) / 2.0);
    let (mut whole, mut seen) = (0.0, 0.0);
    let mut within = |cell: u32| (f64::from(cell) + dice.between(0.0, 1.0)) / f64::from(ACROSS) * 2.0 - 1.0;
    for n in 0..ACROSS * ACROSS {
        let (x, y) = (within(n % ACROSS), within(n / ACROSS));
        let bright = match (lamp.face.form, lamp.face.bright) {
            (Form::Globe, _) if x.hypot(y) > 1.0 => continue,
            (_, Bright::Even) => 1.0,
            (Form::Column, Bright::Middle) => (1.0 - x * x) * (1.0 - y * y),
            (Form::Globe, Bright::Middle) => 1.0 - x * x - y * y,
        };
        let origin = lamp.centre + across * (x * wide) + up * (y * high);
        let away = eye.map_or(sight, |eye| eye - origin);
        let length = if eye.is_some() { away.length() } else { f64::INFINITY };
        whole += bright;
        seen += bright * obstacles.transmitted(&Ray { origin, direction: away.normalize(), length });
    }
    seen / whole
}

/// A solid of some kind whose surface is about as near the place as it is thick.
fn any_shape(dice: &mut Dice, near: DVec3) -> Shape {
    let size = dice.one_of(&[0.003, 0.01, 0.03, 0.1, 0.6]);
    let middle = near + dice.way(1.0) * (size + 0.02);
    let length = dice.way(1.0) * dice.one_of(&[0.0, 0.05, 1.0]);
    let (from, to) = (middle - length * dice.between(0.0, 1.0), middle + length * dice.between(0.1, 1.0));
    let half = DVec3::new(size, dice.between(0.001, 0.1), dice.between(0.001, 1.0));
    let mesh = |shape: Shape| Shape::Mesh(Arc::new(shape.triangles()));
    match dice.one_of(&[0, 0, 1, 1, 2, 2, 3, 4]) {
        0 => Shape::Capsule { from, to, radius: size },
        1 => Shape::Cylinder { from, to: to + DVec3::X * 0.01, radius: size },
        2 => Shape::Cuboid { centre: middle, axes: dice.turn(), half },
        3 => mesh(Shape::Capsule { from, to, radius: size }),
        _ => mesh(Shape::Cuboid { centre: middle, axes: dice.turn(), half }),
    }
}

#[test]
fn the_share_seen_is_what_rays_from_all_over_the_face_find() {
    let mut dice = Dice(5);
    let mut part_seen = 0;
    for case in 0..300 {
        let face = Face {
            width: dice.between(0.01, 0.1),
            height: dice.between(0.01, 0.1),
            form: dice.one_of(&[Form::Column, Form::Globe]),
            bright: dice.one_of(&[Bright::Even, Bright::Middle]),
        };
        let lamp = PosedLamp { centre: dice.point(3.0), frame: dice.turn(), ..upright(face) };
        let sight = dice.way(1.0).normalize();
        let distance = dice.one_of(&[0.3, 1.0, 5.0, 200.0]);
        let toward = dice.one_of(&[Toward::Direction(sight), Toward::Point(lamp.centre + sight * distance)]);
        let reach = if let Toward::Point(_) = toward { distance.min(3.0) } else { 3.0 };
        let solids: Vec<Solid> = (0..dice.one_of(&[1, 1, 2, 3, 5]))
            .map(|n| {
                // Most stand between face and eye, some astride the face, some at the eye.
                let along = dice.one_of(&[0.0, 0.02, 0.2, 0.5, 0.5, 0.8, 1.0, 1.01]);
                let transmits = dice.one_of(&[0.0, 0.0, 0.0, 0.5]);
                let shape = any_shape(&mut dice, lamp.centre + sight * (along * reach));
                Solid { owner: Owner::Part(n), shape, transmits }
            })
            .collect();
        let obstacles = Obstacles::new(&solids);
        let found = visible_fraction(&obstacles, &lamp, toward);
        let rays = by_rays(&mut dice, &obstacles, &lamp, toward);
        part_seen += u32::from(rays > 0.02 && rays < 0.98);
        assert!(
            (found.fraction - rays).abs() < 0.003,
            "{case}: {found:?}, by rays {rays}: {toward:?} {lamp:?} {solids:?}"
        );
        assert_eq!(found.by.is_some(), found.fraction < 1.0);
    }
    assert!(part_seen > 80, "only {part_seen} faces were seen in part: little was compared");
}
