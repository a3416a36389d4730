//! All that a lamp looks out on at once, against one ray after another.
//!
//! The panorama cuts the boat with upright planes; [`Obstacles::transmitted`] tries each solid by formula, and is itself
//! held against parry3d in `parry3d.rs`. Rays within 0.05 degree of an edge may differ.

mod support;

use std::{path::Path, sync::Arc};

use glam::{DMat3, DVec3};
use lampwalk::{
    boat::{Attitude, Part, PartKind, Pose, PosedLamp, Role, Scene, read::scene_file},
    measure::Degrees,
    shadow::{Grid, Obstacles, Panorama, Points, Ray},
    survey::{LightId, Stance, at_rest},
};
use parry3d_f64::{
    math::{Pose as Isometry, Vector},
    query::{Ray as TheirRay, RayCast},
    shape::TriMesh,
};
use support::{
    bare_boat, lamp,
    meshed::{damaged, meshed_boat},
    on_a_foot, place, post,
};

/// Within this many degrees of an edge, rays may differ.
const NEAR_AN_EDGE: f64 = 0.05;

fn supplied(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    scene_file(&path).expect("a sound scene").scene
}

/// Compares every sample with what `passes` says of its ray; gives how many were stopped. Panics where one differs away
/// from edges.
fn compare(
    obstacles: &Obstacles,
    lamp: &PosedLamp,
    turn: &DMat3,
    grid: Grid,
    points: Points,
    passes: impl Fn(&Ray) -> bool,
) -> u32 {
    let panorama = Panorama::of(obstacles, lamp, turn, grid, points);
    let (mut stopped, mut differing) = (0, 0);
    for column in 0..grid.bearings() {
        let starts = Panorama::starts(lamp, turn, grid.bearing(column), points);
        for (point, origin) in (0..).zip(starts) {
            for row in 0..grid.elevations() {
                let direction = turn.transpose() * grid.bearing(column).direction_at(grid.elevation(row));
                let passes = |direction: DVec3| passes(&Ray { origin, direction, length: 1e4 });
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
                    .map(|lamp| {
                        let obstacles = stance.obstacles();
                        let passes = |ray: &Ray| obstacles.transmitted(ray) > 0.0;
                        compare(obstacles, lamp, &turn, grid(120, 7), Points::Four, passes)
                    })
                    .sum();
                assert!(stopped > 500, "{name}, {}: only {stopped} samples were stopped", fit.name);
            }
        }
    }
}

#[test]
fn three_meshes_agree_with_parry3d_one_of_them_careless() {
    let mut boats = ["sandpiper", "harrier", "marigold"].map(|name| meshed_boat(name, 3000));
    boats[2].mesh = Arc::new(damaged(&boats[2].mesh));
    for boat in &boats {
        let vector = |at: DVec3| Vector::new(at.x, at.y, at.z);
        // Both see the same corners, rounded to single numbers.
        let points = boat.mesh.points.iter().map(|point| vector(point.as_vec3().as_dvec3())).collect();
        let theirs = TriMesh::new(points, boat.mesh.corners.clone()).expect("a surface with triangles");
        let passes = |ray: &Ray| {
            let ray = TheirRay::new(vector(ray.origin), vector(ray.direction));
            !theirs.intersects_ray(&Isometry::IDENTITY, &ray, 1e4)
        };
        let obstacles = boat.obstacles();
        for turn in [DMat3::IDENTITY, Attitude { trim: Degrees(3.0), heel: Degrees(8.0) }.rotation()] {
            let stopped: u32 = (boat.lamps.iter())
                .map(|lamp| compare(&obstacles, lamp, &turn, grid(90, 31), Points::Sixteen, passes))
                .sum();
            assert!(stopped > 5000, "only {stopped} samples were stopped");
        }
    }
}

#[test]
fn a_pane_dims_each_point_behind_it_once() {
    let mut scene = bare_boat();
    scene.fits[0].lamps = vec![on_a_foot(lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 4.0)))];
    let pane =
        PartKind::Windscreen { at: place(3.0, 0.0, 3.5), width: 1.0, height: 1.0, rake: Degrees(0.0), transmits: 0.8 };
    scene.parts.push(Part::new("pane", pane));
    let stance = at_rest(&scene, &scene.fits[0]);
    let panorama = stance.panorama(0, grid(1440, 31), Points::Sixteen);
    // From 2 m off, half a metre to either side: 14 degrees, less half a face.
    let through = |degrees: u32| panorama.seen(4 * degrees, 15);
    assert!((through(0) - 0.8).abs() < 1e-12 && (through(13) - 0.8).abs() < 1e-12);
    assert_eq!(through(15), 1.0);
    let edge = (4 * 13..4 * 15).map(|column| panorama.seen(column, 15));
    let halves: Vec<f64> = edge.filter(|share| *share > 0.8 + 1e-9 && *share < 1.0 - 1e-9).collect();
    assert!(!halves.is_empty(), "an edge with a half shadow");
    // Each upright row of points is behind it or not.
    assert!(halves.iter().all(|share| [0.85, 0.9, 0.95].iter().any(|part| (share - part).abs() < 1e-9)));
}

#[test]
fn points_stand_for_equal_shares_of_a_face_of_any_form() {
    use lampwalk::boat::{Bright, Face, Form};
    for (form, bright) in [(Form::Globe, Bright::Even), (Form::Column, Bright::Middle), (Form::Globe, Bright::Middle)] {
        let mut scene = bare_boat();
        let mut white = on_a_foot(lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 4.0)));
        white.face = Face { form, bright, ..Face::column(0.04, 0.04) };
        scene.fits[0].lamps = vec![white];
        scene.parts.push(post("post", 2.5, 0.0, 0.03));
        let stance = at_rest(&scene, &scene.fits[0]);
        let panorama = stance.panorama(0, grid(1440, 31), Points::Sixteen);
        let mut dimmed = 0;
        for column in (0..12).chain(1428..1440) {
            let exact = stance.toward(LightId { lamp: 0, beam: 0 }, panorama.grid().bearing(column), Degrees(0.0));
            let share = panorama.seen(column, 15);
            dimmed += u32::from(share < 1.0);
            // A row of four stands for a quarter of the light, and each of a post's two edges may lie anywhere in one.
            assert!((share - exact.visible.fraction).abs() <= 0.25, "{share} against {exact:?}");
        }
        assert!(dimmed > 4, "the post dims some");
    }
}

#[test]
fn a_closed_wall_of_narrow_strips_lets_nothing_through_however_fine_the_grid() {
    use lampwalk::boat::{
        Owner, Solid,
        shape::{Shape, Triangles},
    };
    let scene = bare_boat();
    let mut fit = scene.fits[0].clone();
    fit.lamps = vec![on_a_foot(lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 4.0)))];
    let stance = Stance::new(&scene, &fit, &Pose::default(), Attitude::default());
    let lamp = &stance.posed().lamps[0];
    for (away, strips) in [(0.06, 800u32), (0.3, 799), (2.0, 1601)] {
        let mut wall = Triangles::default();
        for n in 0..strips {
            let angle = f64::from(n) / f64::from(strips) * std::f64::consts::TAU;
            let foot = lamp.centre + DVec3::new(angle.cos() * away, angle.sin() * away, -3.0);
            wall.point(foot);
            wall.point(foot + DVec3::Z * 6.0);
        }
        (0..strips).for_each(|n| {
            let next = (n + 1) % strips;
            wall.quad([2 * n, 2 * next, 2 * next + 1, 2 * n + 1]);
        });
        let solid = Solid { owner: Owner::Hull, shape: Shape::Mesh(Arc::new(wall)), transmits: 0.0 };
        let obstacles = Obstacles::new(&[solid]);
        for bearings in [1440, 3600, 7200] {
            let seen = Panorama::of(&obstacles, lamp, &DMat3::IDENTITY, grid(bearings, 31), Points::Sixteen);
            let leaks = (0..bearings).flat_map(|column| (0..31).map(move |row| (column, row)));
            assert_eq!(leaks.filter(|(column, row)| seen.seen(*column, *row) > 0.0).count(), 0, "{away} m, {bearings}");
        }
    }
}

#[test]
fn a_grid_out_of_range_is_none() {
    let grid = |bearings, low, high, rows| Grid::new(bearings, Degrees(low), Degrees(high), rows);
    assert!(grid(1440, -7.5, 7.5, 31).is_some() && grid(1, 0.0, 0.0, 1).is_some());
    for (bearings, low, high, rows) in
        [(0, -7.5, 7.5, 31), (7201, -7.5, 7.5, 31), (360, -7.5, 7.5, 32), (360, -7.5, 7.5, 0), (360, 7.5, -7.5, 2)]
    {
        assert!(grid(bearings, low, high, rows).is_none());
    }
    assert!(grid(360, -21.0, 0.0, 5).is_none() && grid(360, 0.0, 0.0, 2).is_none());
    assert!(grid(360, f64::NAN, 7.5, 31).is_none());
}
