//! What must hold of any boat: mirrors, turns, nothing added by a solid, nothing lost without one.

mod support;

use std::sync::Arc;

use glam::DVec3;
use lampwalk::{
    boat::{Lamp, Part, PartKind, Place, Pose, Role, Scene, Status},
    light::{Back, Optics, preset},
    measure::{Bearing, Degrees, Metres, NauticalMiles},
    survey::{LightId, Settings, Station, Survey, arcs_where, at_rest},
};
use proptest::prelude::*;
use support::{bare_boat, lamp, on_a_foot, place, post};

const LIGHT: LightId = LightId { lamp: 0, beam: 0 };

fn mirrored_place(place: Place) -> Place {
    Place { starboard: -place.starboard, ..place }
}

fn mirrored_lamp(lamp: &Lamp) -> Lamp {
    let name = &lamp.optics.name;
    let other = if name.starts_with("starboard") {
        name.replace("starboard", "port")
    } else {
        name.replace("port", "starboard")
    };
    Lamp {
        at: lamp.at.map(mirrored_place),
        optics: preset(&other).expect("each sidelight has its mirror"),
        yaw: Degrees(-lamp.yaw.0),
        roll: Degrees(-lamp.roll.0),
        ..lamp.clone()
    }
}

fn surveyed(scene: &Scene, step: f64) -> Survey {
    Survey::of(scene, &scene.fits[0], Status::UnderWay, &Settings { step, ..Settings::default() })
}

prop_compose! {
    fn any_post()(forward in 0.0..6.0f64, starboard in -1.5..1.5f64, diameter in 0.01..0.2f64) -> Part {
        post("post", forward, starboard, diameter)
    }
}

prop_compose! {
    fn any_sidelight()(forward in 3.0..5.0f64, starboard in 0.9..1.4f64, up in 0.8..2.0f64,
        yaw in -20.0..20.0f64, tilt in -20.0..20.0f64, roll in -20.0..20.0f64) -> Lamp
    {
        let upright = lamp("side", Role::StarboardSidelight, "starboard 1 nm", place(forward, starboard, up));
        Lamp { yaw: Degrees(yaw), tilt: Degrees(tilt), roll: Degrees(roll), ..upright }
    }
}

fn clear_of(parts: &[Part], scene: &Scene, lamp: &Lamp) -> bool {
    let centre = scene.posed_lamp(lamp, &Pose::default()).centre;
    parts.iter().all(|part| {
        part.kind
            .shapes(&scene.vessel, &Pose::default())
            .iter()
            .all(|shape| shape.bounding_ball().0.truncate().distance(centre.truncate()) > 0.3)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_mirrored_boat_gives_the_mirrored_survey(posts in prop::collection::vec(any_post(), 0..4), side in any_sidelight()) {
        let mut scene = bare_boat();
        prop_assume!(clear_of(&posts, &scene, &side));
        scene.fits[0].lamps = vec![side.clone()];
        scene.parts = posts;
        let mut other = scene.clone();
        other.fits[0].lamps = vec![mirrored_lamp(&side)];
        for part in &mut other.parts {
            if let PartKind::Stanchion { at, .. } = &mut part.kind {
                *at = mirrored_place(*at);
            }
        }
        let (ours, theirs) = (surveyed(&scene, 2.0), surveyed(&other, 2.0));
        let count = ours.bearings.len();
        for index in 0..count {
            let (a, b) = (&ours.lights[0].samples[index], &theirs.lights[0].samples[(count - index) % count]);
            prop_assert!((a.rest.0 - b.rest.0).abs() <= 0.002 * a.bare.0.max(1e-9), "{} {:?} {:?}", ours.bearings[index], a, b);
            prop_assert!((a.bare.0 - b.bare.0).abs() < 1e-9);
        }
    }

    #[test]
    fn turning_everything_turns_the_survey(turn in -180.0..180.0f64, ahead in 0.4..2.0f64, aside in -1.0..1.0f64, diameter in 0.02..0.2f64) {
        // A lamp over the middle of the boat and a post, both turned about the lamp.
        let build = |turn: f64| {
            let mut scene = bare_boat();
            let mut side = on_a_foot(lamp("side", Role::StarboardSidelight, "starboard 1 nm", place(3.0, 0.0, 5.0)));
            side.yaw = Degrees(turn);
            scene.fits[0].lamps = vec![side];
            let from_lamp = Bearing::of(DVec3::new(ahead, -aside, 0.0)).turned(turn).direction() * ahead.hypot(aside);
            scene.parts = vec![post("post", 3.0 + from_lamp.x, -from_lamp.y, diameter)];
            scene
        };
        let (straight, turned) = (build(0.0), build(turn));
        let (one, two) = (at_rest(&straight, &straight.fits[0]), at_rest(&turned, &turned.fits[0]));
        for degrees in 0..360 {
            let bearing = Bearing::new(f64::from(degrees) + 0.25);
            let (a, b) = (one.toward(LIGHT, bearing, Degrees(0.0)), two.toward(LIGHT, bearing.turned(turn), Degrees(0.0)));
            prop_assert!((a.bare.0 - b.bare.0).abs() < 1e-9, "{bearing}");
            prop_assert!((a.visible.fraction - b.visible.fraction).abs() < 0.002, "{bearing}");
        }
    }

    #[test]
    fn adding_a_solid_never_adds_light(posts in prop::collection::vec(any_post(), 1..4), side in any_sidelight()) {
        let mut scene = bare_boat();
        prop_assume!(clear_of(&posts, &scene, &side));
        scene.fits[0].lamps = vec![side];
        let before = surveyed(&scene, 2.0);
        scene.parts = posts;
        let after = surveyed(&scene, 2.0);
        for (a, b) in before.lights[0].samples.iter().zip(&after.lights[0].samples) {
            prop_assert!(b.rest.0 <= a.rest.0 + 1e-12 && b.visible <= a.visible + 1e-12);
        }
    }

    #[test]
    fn without_solids_the_survey_is_the_lamp_s_own_distribution(yaw in -90.0..90.0f64, elevation in -20.0..20.0f64) {
        let mut scene = bare_boat();
        let mut high = on_a_foot(lamp("side", Role::StarboardSidelight, "starboard 1 nm", place(3.0, 0.0, 40.0)));
        high.yaw = Degrees(yaw);
        scene.fits[0].lamps = vec![high.clone()];
        let stance = at_rest(&scene, &scene.fits[0]);
        for degrees in 0..360 {
            let bearing = Bearing::new(f64::from(degrees));
            let reach = stance.toward(LIGHT, bearing, Degrees(elevation));
            let own = high.optics.beams[0].intensity_at(bearing.turned(-yaw), Degrees(elevation));
            prop_assert!((reach.candela().0 - own.0).abs() < 1e-9, "{bearing}");
        }
    }

    #[test]
    fn a_yaw_error_moves_the_edges_by_as_much(yaw in -15.0..15.0f64) {
        let edges = |yaw: f64| {
            let mut scene = bare_boat();
            let mut high = on_a_foot(lamp("side", Role::StarboardSidelight, "starboard 1 nm", place(3.0, 0.0, 40.0)));
            high.yaw = Degrees(yaw);
            scene.fits[0].lamps = vec![high];
            let stance = at_rest(&scene, &scene.fits[0]);
            let bearings: Vec<_> = (0..720u32).map(|n| Bearing::new(f64::from(n) / 2.0)).collect();
            let bright = |bearing| stance.toward(LIGHT, bearing, Degrees(0.0)).candela().0 >= 0.9;
            let held: Vec<bool> = bearings.iter().map(|bearing| bright(*bearing)).collect();
            arcs_where(&bearings, &held, bright)[0]
        };
        let (straight, turned) = (edges(0.0), edges(yaw));
        prop_assert!((turned.from.clockwise_of(straight.from) - yaw).abs() < 0.03);
        prop_assert!((turned.to().clockwise_of(straight.to()) - yaw).abs() < 0.03);
    }

    #[test]
    fn near_and_far_agree_as_the_distance_grows(bearing in 0.0..360.0f64, side in any_sidelight()) {
        let mut scene = bare_boat();
        scene.fits[0].lamps = vec![side];
        let stance = at_rest(&scene, &scene.fits[0]);
        let bearing = Bearing::new(bearing);
        let far = stance.toward(LIGHT, bearing, Degrees(0.0)).bare.0;
        let height = stance.posed().lamps[0].centre.z;
        let difference = |metres: f64| {
            let station = Station { bearing, distance: Metres(metres), eye: Metres(height) };
            (stance.to_point(LIGHT, station.point(stance.middle())).bare.0 - far).abs()
        };
        prop_assert!(difference(1e5) < 2e-3);
        prop_assert!(difference(NauticalMiles(3000.0).metres().0) < 1e-4);
    }
}

/// A lamp made to be screwed on by its back keeps its own plate out of its sector.
#[test]
fn a_bracket_plate_behind_a_lamp_takes_nothing_from_its_sector() {
    for (role, optics) in [
        (Role::StarboardSidelight, "starboard 1 nm"),
        (Role::PortSidelight, "port 1 nm"),
        (Role::Masthead, "masthead 2 nm"),
        (Role::Sternlight, "stern 2 nm"),
    ] {
        let mut scene = bare_boat();
        scene.fits[0].lamps = vec![lamp("lamp", role, optics, place(3.0, 0.0, 5.0))];
        assert_ne!(scene.fits[0].lamps[0].optics.back, Back::Below);
        let survey = surveyed(&scene, 0.5);
        for sample in &survey.lights[0].samples {
            assert!(sample.bare.0 == 0.0 || sample.visible == 1.0, "{optics}: {sample:?}");
        }
    }
}

/// Copies share their optics instead of making new ones.
#[test]
fn presets_are_shared() {
    let (one, two): (Option<Arc<Optics>>, _) = (preset("stern 2 nm"), preset("stern 2 nm"));
    assert!(one.zip(two).is_some_and(|(one, two)| Arc::ptr_eq(&one, &two)));
}

/// The yaw of a lamp flat on deck turns it clockwise seen from above, as it does any other.
#[test]
fn yaw_turns_a_lamp_flat_on_deck_about_the_deck() {
    use lampwalk::boat::{Along, Mount};
    let mut scene = bare_boat();
    let heading = |scene: &Scene, yaw: f64| {
        let mut flat = lamp("flat", Role::StarboardSidelight, "starboard 1 nm", place(2.7, 0.0, 0.7));
        flat.mount = Mount::FlatOnDeck(Along::Centreline);
        flat.yaw = Degrees(yaw);
        // A starboard lamp laid on its back keeps its datum line level.
        Bearing::of(scene.posed_lamp(&flat, &Pose::default()).frame.x_axis)
    };
    scene.vessel.hull.deck_camber = Metres(0.0);
    for yaw in [-90.0, 0.0, 45.0] {
        assert!(heading(&scene, yaw).clockwise_of(Bearing::new(yaw)).abs() < 1e-6, "{yaw}");
    }
}
