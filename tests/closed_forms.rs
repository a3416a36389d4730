//! Shadows against what a ruler and a table of sines give.
//!
//! The formulas are plane geometry (Euclid's similar triangles, the tangents of a circle, the segment of a disc) and
//! integrals of powers: a round post of diameter d at distance r hides a point over an arc of 2 asin(d / 2r), and from far
//! off covers exactly what it overlaps of a face of width w. Sources are named where a formula is less plain.

mod support;

use std::{f64::consts::PI, sync::Arc};

use glam::{DMat3, DVec3};
use lampwalk::{
    boat::{
        Bright, Face, Form, Owner, Part, PartKind, Role, Scene, Solid, Status,
        shape::{Shape, Triangles},
    },
    measure::{Bearing, Degrees},
    rules::{Kind, international, judge},
    shadow::{Obstacles, Toward, visible_fraction},
    survey::{LightId, Settings, Stance, Survey, arcs_where, at_rest},
};
use support::{
    bare_boat, lamp, lawful_lamps, on_a_foot, place, post,
    sheet::{opaque, seen, sheet_of, upright},
};

const LIGHT: LightId = LightId { lamp: 0, beam: 0 };

/// A boat with one all-round light on the centreline, well above her, and posts.
fn boat_with_posts(face: Face, posts: &[(f64, f64, f64)]) -> Scene {
    let mut scene = bare_boat();
    let mut white = on_a_foot(lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 4.0)));
    white.face = face;
    scene.fits[0].lamps = vec![white];
    scene.parts =
        posts.iter().map(|(forward, starboard, diameter)| post("post", *forward, *starboard, *diameter)).collect();
    scene
}

fn visible(stance: &Stance, bearing: Bearing) -> f64 {
    stance.toward(LIGHT, bearing, Degrees(0.0)).visible.fraction
}

#[test]
fn a_post_hides_a_point_over_twice_the_arcsine_of_half_its_width_over_its_distance() {
    let point = Face::column(1e-6, 1e-6);
    for (forward, starboard, diameter) in
        [(1.3, 0.0, 0.025), (1.0, 0.5, 0.04), (0.2, -0.7, 0.1), (6.0, 0.9, 0.03), (-1.0, 0.05, 0.5)]
    {
        let scene = boat_with_posts(point, &[(forward, starboard, diameter)]);
        let stance = at_rest(&scene, &scene.fits[0]);
        let distance = f64::hypot(forward - 1.0, starboard);
        let expected = 2.0 * (diameter / 2.0 / distance).asin().to_degrees();
        let towards = Bearing::of(DVec3::new(forward - 1.0, -starboard, 0.0));
        let bearings: Vec<_> = (0..3600u32).map(|n| Bearing::new(f64::from(n) / 10.0)).collect();
        let hidden = |bearing| visible(&stance, bearing) < 0.5;
        let held: Vec<bool> = bearings.iter().map(|bearing| hidden(*bearing)).collect();
        let arcs = arcs_where(&bearings, &held, hidden);
        assert_eq!(arcs.len(), 1);
        assert!((arcs[0].width - expected).abs() < 0.05, "{} against {expected} degrees", arcs[0].width);
        assert!(arcs[0].middle().clockwise_of(towards).abs() < 0.05);
    }
}

#[test]
fn a_stanchion_25_mm_wide_at_300_mm_hides_4_8_degrees() {
    let scene = boat_with_posts(Face::column(1e-6, 1e-6), &[(1.3, 0.0, 0.025)]);
    let stance = at_rest(&scene, &scene.fits[0]);
    // 2 asin(0.025 / 0.6) = 4.776 degrees.
    assert_eq!(visible(&stance, Bearing::new(2.36)), 0.0);
    assert_eq!(visible(&stance, Bearing::new(2.41)), 1.0);
}

#[test]
fn umbra_and_penumbra_of_a_post_are_what_it_overlaps_of_the_face() {
    for (width, diameter, distance) in [(0.03, 0.025, 0.4), (0.03, 0.06, 0.8), (0.08, 0.02, 1.5), (0.05, 0.05, 0.3)] {
        let scene = boat_with_posts(Face::column(width, 0.05), &[(1.0 + distance, 0.0, diameter)]);
        let stance = at_rest(&scene, &scene.fits[0]);
        for hundredths in -1500..=1500 {
            let bearing = Bearing::new(f64::from(hundredths) / 100.0);
            // From far off the post's axis lies this far to one side of the line through the middle of the face.
            let aside = distance * (f64::from(hundredths) / 100.0).to_radians().sin();
            let overlap = (diameter / 2.0 + aside).min(width / 2.0) - (aside - diameter / 2.0).max(-width / 2.0);
            let expected = 1.0 - (overlap.max(0.0) / width).min(1.0);
            let found = visible(&stance, bearing);
            assert!(
                (found - expected).abs() < 1e-9,
                "{bearing}: {found} against {expected} (face {width}, post {diameter})"
            );
        }
    }
}

#[test]
fn the_umbra_starts_and_the_penumbra_ends_where_tangents_cross() {
    let (width, diameter, distance) = (0.03, 0.06, 0.8);
    let scene = boat_with_posts(Face::column(width, 0.05), &[(1.0 + distance, 0.0, diameter)]);
    let stance = at_rest(&scene, &scene.fits[0]);
    let umbra = ((diameter - width) / 2.0 / distance).asin().to_degrees();
    let penumbra = ((diameter + width) / 2.0 / distance).asin().to_degrees();
    for (degrees, fraction) in [(umbra - 0.02, 0.0), (penumbra + 0.02, 1.0)] {
        assert_eq!(visible(&stance, Bearing::new(degrees)), fraction, "{degrees}");
    }
    for degrees in [umbra + 0.02, penumbra - 0.02] {
        let found = visible(&stance, Bearing::new(degrees));
        assert!(found > 0.0 && found < 1.0, "{degrees}: {found}");
    }
}

#[test]
fn a_box_edge_hides_half_the_face_when_it_stands_on_the_line_of_sight() {
    let mut scene = boat_with_posts(Face::column(0.04, 0.04), &[]);
    let kind = PartKind::Box { at: place(3.0, 0.5, 3.0), length: 0.5, width: 1.0, height: 2.0, yaw: Degrees(0.0) };
    scene.parts.push(Part::new("cabin", kind));
    // The box reaches from the centreline one metre to starboard; right ahead its edge cuts the face in half.
    let stance = at_rest(&scene, &scene.fits[0]);
    assert!((visible(&stance, Bearing::AHEAD) - 0.5).abs() < 1e-9);
}

/// Far off, ahead of the lamp.
const AHEAD: Toward = Toward::Direction(DVec3::X);

fn eye_at(distance: f64) -> Toward {
    Toward::Point(DVec3::X * distance)
}

fn globe(diameter: f64, bright: Bright) -> Face {
    Face { width: diameter, height: diameter, form: Form::Globe, bright }
}

#[track_caller]
fn close(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() < within, "{found} against {expected}");
}

#[test]
fn a_level_rail_hides_its_own_height_of_a_column() {
    let face = Face::column(0.03, 0.06);
    for (metres, up, diameter) in [(0.5, 0.0, 0.02), (1.5, 0.03, 0.025), (0.2, -0.02, 0.005), (0.8, 0.01, 0.2)] {
        let (from, to) = (DVec3::new(metres, -2.0, up), DVec3::new(metres, 2.0, up));
        for rail in
            [Shape::Capsule { from, to, radius: diameter / 2.0 }, Shape::Cylinder { from, to, radius: diameter / 2.0 }]
        {
            let hidden = |low: f64, high: f64| (high.min(0.03) - low.max(-0.03)).max(0.0) / 0.06;
            let far = hidden(up - diameter / 2.0, up + diameter / 2.0);
            close(seen(face, std::slice::from_ref(&rail), AHEAD).fraction, 1.0 - far, 1e-9);
            // The two tangents from an eye level with the lamp meet the face's plane above and below.
            let eye = 3.0;
            let (slope, half) = (f64::atan2(up, eye - metres), (diameter / 2.0 / f64::hypot(up, eye - metres)).asin());
            let near = hidden(eye * (slope - half).tan(), eye * (slope + half).tan());
            close(seen(face, &[rail], eye_at(eye)).fraction, 1.0 - near, 1e-9);
        }
    }
}

#[test]
fn a_post_as_high_as_the_lamp_hides_what_is_below_its_head() {
    let face = Face::column(0.04, 0.06);
    for (foot, head) in [(0.0, 0.0), (0.0, 0.006), (-0.004, 0.004)] {
        for up in [0.0, 1e-13, 0.01, -0.029] {
            let (from, to) = (DVec3::new(0.5, foot, -1.0), DVec3::new(0.5, head, up));
            let found = seen(face, &[Shape::Cylinder { from, to, radius: 0.5 }], AHEAD).fraction;
            // Square to a post that leans, its flat head falls off to the side it leans to.
            let lean = (head - foot) / (1.0 + up);
            close(found, 0.5 - (up + lean * head) / 0.06, 1e-6);
        }
    }
}

/// Facets are kept in single numbers: half a micrometre of a face some centimetres wide.
const SINGLE: f64 = 1e-5;

#[test]
fn a_screen_that_cuts_a_corner_of_the_face_hides_width_times_height_of_it() {
    // The screen hides from y upward and from z upward; from near by as the shadow of its corner falls.
    let face = Face::column(0.04, 0.05);
    for (y, z) in [(0.0, 0.0), (0.013, -0.009), (-0.02, 0.01), (0.019, 0.024)] {
        let share = |scale: f64| (0.5 - y * scale / 0.04) * (0.5 - z * scale / 0.05);
        let half = DVec3::new(0.001, 1.0, 1.0);
        let plate = Shape::Cuboid { centre: DVec3::new(0.7, y + 1.0, z + 1.0), axes: DMat3::IDENTITY, half };
        close(seen(face, &[plate], AHEAD).fraction, 1.0 - share(1.0), 1e-9);
        let corner = |side: f64, up: f64| DVec3::new(0.7, y + side, z + up);
        let thin = sheet_of([corner(0.0, 0.0), corner(2.0, 0.0), corner(2.0, 2.0), corner(0.0, 2.0)]);
        close(seen(face, std::slice::from_ref(&thin), AHEAD).fraction, 1.0 - share(1.0), SINGLE);
        // Enlarged by the eye's distance over what is left of it beyond the screen.
        let scale = 2.0 / (2.0 - 0.7);
        let near = (0.5 - y * scale / 0.04).clamp(0.0, 1.0) * (0.5 - z * scale / 0.05).clamp(0.0, 1.0);
        close(seen(face, &[thin], eye_at(2.0)).fraction, 1.0 - near, SINGLE);
    }
}

/// A surface half a metre off with one straight edge: all beyond the line that is square to a direction (degrees from
/// across, going up) at an offset from the middle.
fn beyond_an_edge(slant: f64, offset: f64) -> Shape {
    let (sin, cos) = slant.to_radians().sin_cos();
    let (out, along) = (DVec3::new(0.0, cos, sin), DVec3::new(0.0, -sin, cos));
    let corner = |outward: f64, side: f64| DVec3::X * 0.5 + out * outward + along * side;
    sheet_of([corner(offset, -1.0), corner(1.5, -1.0), corner(1.5, 1.0), corner(offset, 1.0)])
}

#[test]
fn a_slanting_edge_hides_a_triangle_of_a_column() {
    let (width, height) = (0.03, 0.05);
    for (across, up) in [(0.01, 0.02), (0.03, 0.05), (0.004, 0.05), (0.03, 0.001)] {
        // The edge cuts these lengths off the two sides that meet in the upper corner.
        let out = DVec3::new(0.0, up, across).normalize();
        let corner = DVec3::new(0.0, width / 2.0 - across, height / 2.0);
        let edge = beyond_an_edge(out.z.atan2(out.y).to_degrees(), corner.dot(out));
        let hidden = across * up / 2.0 / (width * height);
        close(seen(Face::column(width, height), &[edge], AHEAD).fraction, 1.0 - hidden, 1e-4);
    }
}

/// A segment cut off a disc has theta - sin theta cos theta over pi of its area, with cos theta = offset / radius.
#[test]
fn a_straight_edge_hides_a_segment_of_a_globe_whatever_its_slant() {
    for slant in [0.0, 17.0, 45.0, 90.0, 133.0, 180.0, 270.0] {
        for share in [-0.9, -0.4, 0.0, 0.3, 0.7, 0.99] {
            let theta = f64::acos(share);
            let hidden = (theta - theta.sin() * theta.cos()) / PI;
            let found = seen(globe(0.04, Bright::Even), &[beyond_an_edge(slant, share * 0.02)], AHEAD);
            close(found.fraction, 1.0 - hidden, 5e-4);
        }
    }
}

/// From any side and elevation a globe is the same disc, and a column as wide as it is high the same square.
#[test]
fn a_globe_is_a_disc_from_above_as_well() {
    for elevation in [-80.0f64, -30.0, 0.0, 45.0, 90.0] {
        let sight = Bearing::new(33.0).direction_at(Degrees(elevation));
        let post = |aside: DVec3| Shape::Capsule { from: sight + aside, to: sight + aside, radius: 0.02 };
        let aside = sight.any_orthonormal_vector();
        // Two discs of one radius whose middles lie as far apart: each covers a lens of the other (plane geometry).
        let lens = |apart: f64| 2.0 / PI * (apart / 2.0).acos() - apart / PI * (1.0 - apart * apart / 4.0).sqrt();
        for apart in [0.1, 1.0, 1.7] {
            let found = seen(globe(0.04, Bright::Even), &[post(aside * (apart * 0.02))], Toward::Direction(sight));
            close(found.fraction, 1.0 - lens(apart), 5e-4);
        }
    }
}

#[test]
fn a_thin_rope_dims_by_its_width_over_the_face_s_and_a_thick_post_hides() {
    let findings = |diameter: f64| {
        let mut scene = bare_boat();
        scene.fits[0].lamps = lawful_lamps();
        scene.fits[0].lamps[0].face = Face::column(0.04, 0.04);
        let kind = PartKind::Stanchion { at: place(4.3, 1.4, 0.0), height: 2.0, diameter };
        scene.parts = vec![Part::new("line", kind)];
        let stance = at_rest(&scene, &scene.fits[0]);
        let seen = visible(&stance, Bearing::of(DVec3::new(0.3, -0.2, 0.0)));
        let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
        let judgement = judge(&scene, &scene.fits[0], &survey, international());
        (seen, judgement.findings.iter().map(|one| one.kind).collect::<Vec<_>>())
    };
    // The sidelight gives 1.8 times what is due: four ninths of its face may be hidden, here 17.8 mm.
    for diameter in [0.004, 0.012, 0.017] {
        let (fraction, kinds) = findings(diameter);
        close(fraction, 1.0 - diameter / 0.04, 1e-9);
        assert_eq!(kinds, [], "{diameter}");
    }
    for (diameter, left) in [(0.019, 0.525), (0.04, 0.0), (0.06, 0.0)] {
        let (fraction, kinds) = findings(diameter);
        close(fraction, left, 1e-9);
        assert_eq!(kinds, [Kind::Shadowed], "{diameter}");
    }
}

#[test]
fn what_stands_before_the_brightest_part_dims_the_most() {
    let bright = Face { bright: Bright::Middle, ..Face::column(0.04, 0.04) };
    for share in [0.1, 0.25, 0.5, 0.9] {
        let bar = |end: DVec3, metres: f64| {
            let middle = DVec3::X * metres;
            Shape::Cylinder { from: middle - end, to: middle + end, radius: share * 0.02 }
        };
        // The integral of 3/4 (1 - t²) from minus to plus the share.
        let hidden = share * (3.0 - share * share) / 2.0;
        close(seen(bright, &[bar(DVec3::Z, 0.5)], AHEAD).fraction, 1.0 - hidden, 1e-9);
        close(seen(bright, &[bar(DVec3::Y, 0.5)], AHEAD).fraction, 1.0 - hidden, 1e-9);
        let cross = [bar(DVec3::Z, 0.5), bar(DVec3::Y, 0.9)];
        close(seen(bright, &cross, AHEAD).fraction, (1.0 - hidden) * (1.0 - hidden), 1e-9);
    }
    // A globe beyond an edge: lines parallel to it hold 8 / (3 pi) (1 - t²)^(3/2) of its light, summed here in slices.
    for (slant, share) in [(0.0, 0.5), (30.0, -0.2), (90.0, 0.1), (115.0, 0.8)] {
        let slice = |n: u32| share + (1.0 - share) * (f64::from(n) + 0.5) / 1e5;
        let sum: f64 = (0..100_000).map(|n| (1.0 - slice(n).powi(2)).powf(1.5)).sum();
        let hidden = 8.0 / (3.0 * PI) * sum * (1.0 - share) / 1e5;
        let found = seen(globe(0.05, Bright::Middle), &[beyond_an_edge(slant, share * 0.025)], AHEAD);
        close(found.fraction, 1.0 - hidden, 5e-4);
    }
}

/// A round bar with flat ends as a closed surface of so many sides.
fn cut_into_sides(from: DVec3, to: DVec3, radius: f64, sides: u32) -> Shape {
    let (across, other) = (to - from).normalize().any_orthonormal_pair();
    let mut mesh = Triangles { points: vec![from, to], corners: Vec::new() };
    for side in 0..sides {
        let (sin, cos) = (f64::from(side) / f64::from(sides) * 2.0 * PI).sin_cos();
        mesh.points.extend([from, to].map(|end| end + (across * cos + other * sin) * radius));
        let (a, b) = (2 + 2 * side, 2 + 2 * ((side + 1) % sides));
        mesh.corners.extend([[a, b, b + 1], [a, b + 1, a + 1], [0, b, a], [1, a + 1, b + 1]]);
    }
    Shape::Mesh(Arc::new(mesh))
}

#[test]
fn a_bar_and_the_same_bar_as_a_fine_surface_hide_alike() {
    for (from, to, radius) in [
        (DVec3::new(0.5, -1.0, -0.2), DVec3::new(0.7, 1.0, 0.2), 0.01),
        (DVec3::new(0.9, 0.02, -1.0), DVec3::new(1.0, -0.01, 1.0), 0.01),
        (DVec3::new(0.4, 0.01, 0.01), DVec3::new(0.8, 0.012, 0.0), 0.015),
        (DVec3::new(0.6, 0.0, -0.5), DVec3::new(0.6, 0.004, 0.003), 0.02),
    ] {
        for face in [Face::column(0.05, 0.06), globe(0.06, Bright::Middle)] {
            for toward in [AHEAD, eye_at(1.5), Toward::Direction(Bearing::new(0.5).direction_at(Degrees(-1.0)))] {
                let round = seen(face, &[Shape::Cylinder { from, to, radius }], toward).fraction;
                let cut = seen(face, &[cut_into_sides(from, to, radius, 180)], toward).fraction;
                assert!(round > 0.0 && round < 1.0, "{round}");
                close(cut, round, 0.002);
            }
        }
    }
}

#[test]
fn a_pane_dims_once_whether_it_is_a_box_or_a_closed_surface() {
    let pane =
        Shape::Cuboid { centre: DVec3::new(0.5, 0.5, 0.0), axes: DMat3::IDENTITY, half: DVec3::new(0.003, 0.5, 1.0) };
    let surface = Shape::Mesh(Arc::new(pane.triangles()));
    for shape in [pane, surface] {
        let solid = Solid { transmits: 0.7, ..opaque(shape) };
        let seen = |solids: &[Solid]| {
            visible_fraction(&Obstacles::new(solids), &upright(Face::column(0.03, 0.03)), AHEAD).fraction
        };
        close(seen(std::slice::from_ref(&solid)), 0.5 + 0.5 * 0.7, 1e-9);
        close(seen(&[solid.clone(), solid]), 0.5 + 0.5 * 0.7 * 0.7, 1e-9);
    }
}

#[test]
fn whole_is_whole_and_none_is_none() {
    let ball = |centre: DVec3, radius: f64| Shape::Capsule { from: centre, to: centre, radius };
    for face in [Face::column(0.03, 0.05), globe(0.04, Bright::Even), globe(0.04, Bright::Middle)] {
        let beside = [ball(DVec3::new(0.3, 0.0301, 0.0), 0.0051), beyond_an_edge(30.0, 0.0301)];
        assert_eq!(seen(face, &beside, AHEAD).fraction, 1.0);
        // Two halves that meet, one bar alone, and an eye inside a solid.
        let halves = [beyond_an_edge(40.0, 0.0), beyond_an_edge(220.0, 0.0)];
        let bar = [ball(DVec3::X, 0.031)];
        for (solids, toward) in [(&halves[..], AHEAD), (&bar, AHEAD), (&halves, eye_at(2.0)), (&bar, eye_at(1.01))] {
            let found = seen(face, solids, toward);
            assert_eq!((found.fraction, found.by), (0.0, Some(Owner::Hull)));
        }
        // What is behind the face or behind the eye hides nothing.
        let away = [ball(DVec3::X * -0.2, 0.1), ball(DVec3::X * 2.2, 0.1)];
        assert_eq!(seen(face, &away, eye_at(2.0)).fraction, 1.0);
    }
}

#[test]
fn who_hides_the_most_of_the_face_is_named() {
    let post = |owner: usize, y: f64, diameter: f64| Solid {
        owner: Owner::Part(owner),
        ..opaque(Shape::Cylinder {
            from: DVec3::new(0.5, y, -1.0),
            to: DVec3::new(0.5, y, 1.0),
            radius: diameter / 2.0,
        })
    };
    let by = |solids: &[Solid]| visible_fraction(&Obstacles::new(solids), &upright(Face::column(0.04, 0.04)), AHEAD).by;
    assert_eq!(by(&[post(0, -0.01, 0.009), post(1, 0.01, 0.010)]), Some(Owner::Part(1)));
    // Two thin ones of one part hide more than one of another; one behind another of the same part counts once.
    assert_eq!(by(&[post(0, 0.0, 0.010), post(1, 0.012, 0.006), post(1, -0.012, 0.006)]), Some(Owner::Part(1)));
    assert_eq!(by(&[post(0, 0.0, 0.010), post(1, 0.012, 0.006), post(1, 0.012, 0.006)]), Some(Owner::Part(0)));
    // A line weighs by the light it takes: before the middle more than at the edge.
    let weighed = |bright: Bright| {
        let solids = [post(0, 0.016, 0.008), post(1, 0.0, 0.007)];
        let face = Face { bright, ..Face::column(0.04, 0.04) };
        visible_fraction(&Obstacles::new(&solids), &upright(face), AHEAD).by
    };
    assert_eq!(weighed(Bright::Even), Some(Owner::Part(0)));
    assert_eq!(weighed(Bright::Middle), Some(Owner::Part(1)));
}
