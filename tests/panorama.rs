//! All that a lamp looks out on at once, against one ray after another.
//!
//! The panorama cuts the boat with upright planes; [`Obstacles::transmitted`] tries each solid by formula, and is itself
//! held against parry3d in `parry3d.rs`. Rays within 0.05 degree of an edge may differ.

mod support;

use std::path::Path;

use glam::{DMat3, DVec3};
use lampwalk::{
    boat::{Attitude, Pose, PosedLamp, Scene, read::scene_file},
    measure::Degrees,
    shadow::{Grid, Obstacles, Panorama, Points, Ray},
    survey::Stance,
};

/// Within this many degrees of an edge, rays may differ.
const NEAR_AN_EDGE: f64 = 0.05;

fn supplied(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    scene_file(&path).expect("a sound scene").scene
}

/// Compares every sample; gives how many were stopped. Panics where one differs away from edges.
fn compare(obstacles: &Obstacles, lamp: &PosedLamp, turn: &DMat3, grid: Grid, points: Points) -> u32 {
    let panorama = Panorama::of(obstacles, lamp, turn, grid, points);
    let (mut stopped, mut differing) = (0, 0);
    for column in 0..grid.bearings() {
        let starts = Panorama::starts(lamp, turn, grid.bearing(column), points);
        for (point, origin) in (0..).zip(starts) {
            for row in 0..grid.elevations() {
                let direction = turn.transpose() * grid.bearing(column).direction_at(grid.elevation(row));
                let passes =
                    |direction: DVec3| obstacles.transmitted(&Ray { origin, direction, length: f64::INFINITY }) > 0.0;
                let ours = panorama.stopped(column, row, point);
                stopped += u32::from(ours);
                if ours != passes(direction) {
                    continue;
                }
                let (across, up) = direction.any_orthonormal_pair();
                let edge = (0..16).any(|n| {
                    let (sin, cos) = (f64::from(n) / 16.0 * std::f64::consts::TAU).sin_cos();
                    let aside = direction + (across * cos + up * sin) * NEAR_AN_EDGE.to_radians();
                    passes(aside.normalize()) != ours
                });
                assert!(
                    edge,
                    "{} and {} degrees up, point {point}: the panorama says {}",
                    grid.bearing(column),
                    grid.elevation(row).0,
                    if ours { "stopped" } else { "free" }
                );
                differing += 1;
            }
        }
    }
    let all = grid.bearings() * grid.elevations() * points.count();
    assert!(differing * 500 < all, "{differing} of {all} samples near edges differ");
    stopped
}

fn grid(bearings: u32, elevations: u32) -> Grid {
    Grid::new(bearings, Degrees(-7.5), Degrees(7.5), elevations).expect("a sound grid")
}

#[test]
fn the_supplied_boats_agree_sample_by_sample() {
    for name in ["sandpiper", "marigold", "harrier"] {
        let scene = supplied(name);
        for fit in &scene.fits {
            let attitudes = [Attitude::default(), Attitude { trim: Degrees(4.0), heel: Degrees(-6.0) }];
            for attitude in attitudes {
                let stance = Stance::new(&scene, fit, &Pose::default(), attitude);
                let turn = attitude.rotation();
                let stopped: u32 = (stance.posed().lamps.iter())
                    .map(|lamp| compare(stance.obstacles(), lamp, &turn, grid(120, 7), Points::Four))
                    .sum();
                assert!(stopped > 500, "{name}, {}: only {stopped} samples were stopped", fit.name);
            }
        }
    }
}
