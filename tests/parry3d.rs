//! Shadows against parry3d, a general collision library: the same solids, the same rays.
//!
//! Rays that pass within 0.05 degree of an edge, by parry3d's own answers around them, may differ.

mod support;

use glam::{DMat3, DQuat, DVec3};
use lampwalk::{
    boat::{Owner, Pose, Solid, shape::Shape},
    shadow::{Obstacles, Ray},
};
use parry3d_f64::{
    math::{Pose as Isometry, Rotation, Vector},
    query::{Ray as TheirRay, RayCast},
    shape::{Ball, Capsule, Cuboid, Cylinder, TriMesh},
};

fn theirs(at: DVec3) -> Vector {
    Vector::new(at.x, at.y, at.z)
}

fn placed(at: DVec3, turn: DQuat) -> Isometry {
    Isometry::from_parts(theirs(at), Rotation::from_xyzw(turn.x, turn.y, turn.z, turn.w))
}

/// The same solid in parry3d's terms.
fn translated(shape: &Shape) -> (Isometry, Box<dyn RayCast>) {
    match shape {
        Shape::Capsule { from, to, radius } if from == to => {
            (placed(*from, DQuat::IDENTITY), Box::new(Ball::new(*radius)))
        }
        Shape::Capsule { from, to, radius } => {
            (placed(DVec3::ZERO, DQuat::IDENTITY), Box::new(Capsule::new(theirs(*from), theirs(*to), *radius)))
        }
        Shape::Cylinder { from, to, radius } => {
            let turn = DQuat::from_rotation_arc(DVec3::Y, (*to - *from).normalize());
            (placed((*from + *to) / 2.0, turn), Box::new(Cylinder::new(from.distance(*to) / 2.0, *radius)))
        }
        Shape::Cuboid { centre, axes, half } => {
            (placed(*centre, DQuat::from_mat3(axes)), Box::new(Cuboid::new(theirs(*half))))
        }
        Shape::Mesh(mesh) => {
            let points = mesh.points.iter().map(|point| theirs(*point)).collect();
            let surface = TriMesh::new(points, mesh.corners.clone()).expect("a surface with triangles");
            (placed(DVec3::ZERO, DQuat::IDENTITY), Box::new(surface))
        }
    }
}

/// Numbers that look random and are the same each time (after Knuth's linear congruential generator, TAOCP 3.3.4).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn point(&mut self, reach: f64) -> DVec3 {
        DVec3::new(self.between(-reach, reach), self.between(-reach, reach), self.between(-reach, reach))
    }
}

/// Casts many rays through both, and gives how many met something. Panics where they differ away from edges.
fn compare(solids: &[Solid], origins: &[DVec3], rays: u32) -> u32 {
    let ours = Obstacles::new(solids);
    let others: Vec<_> = solids.iter().map(|solid| translated(&solid.shape)).collect();
    let their_answer = |origin: DVec3, direction: DVec3| {
        let ray = TheirRay::new(theirs(origin), theirs(direction));
        others.iter().any(|(place, shape)| shape.intersects_ray(place, &ray, 1e4))
    };
    let mut dice = Dice(11);
    let (mut met, mut near_edges) = (0, 0);
    for origin in origins {
        for _ in 0..rays {
            let direction = dice.point(1.0).normalize();
            let hit = ours.transmitted(&Ray { origin: *origin, direction, length: 1e4 }) < 1.0;
            met += u32::from(hit);
            if hit == their_answer(*origin, direction) {
                continue;
            }
            let (across, up) = direction.any_orthonormal_pair();
            let edge = (0..16).any(|n| {
                let (sin, cos) = (f64::from(n) / 16.0 * std::f64::consts::TAU).sin_cos();
                let aside = direction + (across * cos + up * sin) * 0.05f64.to_radians();
                their_answer(*origin, aside.normalize()) == hit
            });
            let differing: Vec<_> = solids
                .iter()
                .zip(&others)
                .filter(|(solid, (place, shape))| {
                    let alone = Obstacles::new(std::slice::from_ref(solid));
                    let ray = TheirRay::new(theirs(*origin), theirs(direction));
                    let ours = alone.transmitted(&Ray { origin: *origin, direction, length: 1e4 }) < 1.0;
                    ours != shape.intersects_ray(place, &ray, 1e4)
                })
                .map(|(solid, _)| solid)
                .collect();
            assert!(edge, "from {origin} toward {direction}: ours {hit}, theirs {} for {differing:?}", !hit);
            near_edges += 1;
        }
    }
    assert!(near_edges * 1000 < rays * origins.len() as u32, "{near_edges} rays near edges differ");
    met
}

fn solid(shape: Shape) -> Solid {
    Solid { owner: Owner::Hull, shape, transmits: 0.0 }
}

#[test]
fn plain_solids_in_any_attitude_agree() {
    let mut dice = Dice(3);
    let mut met = 0;
    for _ in 0..12 {
        let mut solids = Vec::new();
        for _ in 0..4 {
            let from = dice.point(3.0);
            let to = from + dice.point(1.5);
            let radius = dice.between(0.02, 0.5);
            solids.push(solid(Shape::Capsule { from, to, radius }));
            let from = dice.point(3.0);
            solids.push(solid(Shape::Cylinder { from, to: from + dice.point(1.5), radius: dice.between(0.02, 0.5) }));
            let axis = dice.point(1.0).normalize();
            let axes = DMat3::from_axis_angle(axis, dice.between(0.0, 6.0));
            let half = DVec3::new(dice.between(0.01, 0.8), dice.between(0.01, 0.8), dice.between(0.01, 0.8));
            solids.push(solid(Shape::Cuboid { centre: dice.point(3.0), axes, half }));
        }
        let origins: Vec<DVec3> = std::iter::repeat_with(|| dice.point(4.0))
            .filter(|origin| !solids.iter().any(|one| one.shape.contains(*origin)))
            .take(4)
            .collect();
        met += compare(&solids, &origins, 2000);
    }
    assert!(met > 5000, "only {met} rays met a solid: nothing was compared");
}

#[test]
fn a_hull_and_all_that_stands_on_her_agree() {
    for file in ["sandpiper", "marigold", "harrier"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(file).with_extension("ron");
        let scene = lampwalk::boat::read::scene_file(&path).expect("a sound scene").scene;
        for fit in &scene.fits {
            let posed = scene.posed(fit, &Pose::default());
            let origins: Vec<DVec3> = posed.lamps.iter().map(|lamp| lamp.centre).collect();
            assert!(compare(&posed.solids, &origins, 4000) > 1000, "{file}");
        }
    }
}
