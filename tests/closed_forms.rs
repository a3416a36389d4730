//! Shadows against what a ruler and a table of sines give.
//!
//! The formulas are plane geometry: a round post of diameter d at distance r hides a point over an arc of
//! 2 asin(d / 2r), and from far off covers exactly what it overlaps of a face of width w.

mod support;

use lampwalk::{
    boat::{Face, Role, Scene},
    measure::{Bearing, Degrees},
    survey::{LightId, Stance, arcs_where, at_rest},
};
use support::{bare_boat, lamp, on_a_foot, place, post};

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
        let towards = Bearing::of(glam::DVec3::new(forward - 1.0, -starboard, 0.0));
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
                (found - expected).abs() < 0.01,
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
    use lampwalk::boat::{Part, PartKind};
    let mut scene = boat_with_posts(Face::column(0.04, 0.04), &[]);
    scene.parts.push(Part {
        name: "cabin".into(),
        kind: PartKind::Box { at: place(3.0, 0.5, 3.0), length: 0.5, width: 1.0, height: 2.0, yaw: Degrees(0.0) },
    });
    // The box reaches from the centreline one metre to starboard; right ahead its edge cuts the face in half.
    let stance = at_rest(&scene, &scene.fits[0]);
    assert!((visible(&stance, Bearing::AHEAD) - 0.5).abs() < 0.01);
}
