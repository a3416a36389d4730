//! Lights that an eye takes for one, against plane triangles: two lamps s metres apart across the line of sight are one
//! minute of arc apart at s / tan(1') metres. The ranges are those of COLREGs 1972 Rule 22, the heights those of Annex I
//! 2(d) and 2(h); the minute is the program's own.

mod support;

use glam::DVec3;
use lampwalk::{
    boat::{Propulsion::Power, Role, Scene, Status},
    measure::{Arc, Bearing, Degrees, Metres, NauticalMiles},
    rules::{Finding, Kind, Severity, international},
    survey::{Stance, apart_for, at_rest, told_apart},
};
use support::{
    bare_boat,
    displays::judged,
    lamp, place,
    rig::{Rig, Spot},
};

const MINUTE: Degrees = Degrees(1.0 / 60.0);

/// A white light, and a green one two metres before it, half a metre to starboard and one metre lower.
fn two_lights() -> Scene {
    let mut scene = bare_boat();
    scene.fits[0].lamps = vec![
        lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 2.5)),
        lamp("green", Role::StarboardSidelight, "starboard 1 nm", place(3.0, 0.5, 1.5)),
    ];
    scene
}

fn stance(scene: &Scene) -> Stance {
    at_rest(scene, &scene.fits[0])
}

#[test]
fn what_is_seen_of_two_lights_is_their_distance_across_the_line_of_sight_and_their_difference_in_height() {
    let scene = two_lights();
    for (bearing, across) in [(0.0, 0.5), (90.0, 2.0), (180.0, 0.5), (270.0, 2.0)] {
        let seen = stance(&scene).separation(0, 1, Bearing::new(bearing)).0;
        assert!((seen - f64::hypot(across, 1.0)).abs() < 1e-9, "{seen} m on {bearing}");
    }
}

#[test]
fn lights_look_closest_together_where_they_stand_in_line() {
    let scene = two_lights();
    let sidelight = Arc::between(0.0, 112.5);
    let least = stance(&scene).least_apart(0, 1, [Arc::ALL_ROUND, sidelight]).expect("both show to starboard");
    // 2 m forward and 0.5 m to starboard lie 14.04 degrees on the bow; one metre of height is left.
    assert!((least.bearing.degrees() - 14.036).abs() < 0.001, "{}", least.bearing);
    assert!((least.separation.0 - 1.0).abs() < 1e-9);
    // Out of that line they look closest together at the edge next to it, here right abeam.
    let abeam = stance(&scene).least_apart(0, 1, [Arc::between(90.0, 112.5), sidelight]).expect("they overlap");
    let edges = [90.0, 112.5].map(|edge| stance(&scene).separation(0, 1, Bearing::new(edge)).0);
    assert!((abeam.separation.0 - edges[0].min(edges[1])).abs() < 1e-9);
}

#[test]
fn arcs_that_share_an_edge_alone_make_no_pair() {
    let scene = two_lights();
    assert_eq!(stance(&scene).least_apart(0, 1, [Arc::between(0.0, 112.5), Arc::between(112.5, 247.5)]), None);
}

#[test]
fn a_metre_is_told_apart_up_to_1_86_miles_and_a_mile_takes_54_centimetres() {
    assert!((told_apart(Metres(1.0), MINUTE).0 - 1.8562).abs() < 1e-4);
    assert!((apart_for(NauticalMiles(1.0), MINUTE).0 - 0.5387).abs() < 1e-4);
    assert!((apart_for(told_apart(Metres(0.7), MINUTE), MINUTE).0 - 0.7).abs() < 1e-12);
}

#[test]
fn from_the_distance_given_lines_to_the_two_lights_are_one_minute_of_arc_apart() {
    let scene = two_lights();
    let stance = stance(&scene);
    let at = |lamp: usize| stance.level(stance.posed().lamps[lamp].centre);
    for bearing in Bearing::points() {
        let distance = told_apart(stance.separation(0, 1, bearing), MINUTE).metres().0;
        for height in [0.0, 2.0, 12.0] {
            let middle = (at(0) + at(1)) / 2.0;
            let eye = DVec3 { z: height, ..middle + bearing.direction() * distance };
            let angle = (at(0) - eye).angle_between(at(1) - eye).to_degrees() * 60.0;
            // The closed form takes the line of sight level: an eye at 12 m sees a little more or less.
            assert!((angle - 1.0).abs() < 0.01, "{angle} minutes on {bearing} from {height} m");
        }
    }
}

fn merges(rig: &Rig) -> Vec<Finding> {
    judged(rig).findings.into_iter().filter(|one| one.kind == Kind::LightsMerge).collect()
}

/// The masthead light so far above a lantern of sidelights that stands right beneath its line ahead.
fn lantern(length: f64, below: f64) -> Rig {
    let rig = Rig::of(length, Power, Status::UnderWay).masthead().sternlight();
    let above = rig.masthead_height() - below;
    rig.light("lantern", Role::CombinedSidelights, Spot { forward: length * 0.8, starboard: 0.0, above })
}

#[test]
fn a_sidelight_that_merges_with_the_masthead_light_within_its_mile_is_a_caution() {
    // Under 12 m a sidelight must reach one mile, which takes 0.539 m.
    assert!(merges(&lantern(11.0, 0.55)).is_empty());
    let found = merges(&lantern(11.0, 0.53));
    let [one] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!((one.severity, one.clause.as_str()), (Severity::Caution, "Rule 22(c)"));
    assert_eq!(one.lamp.as_deref(), Some("lantern"));
    assert!(one.what.contains("masthead light") && one.what.contains("0.98 nm right ahead"), "{}", one.what);
    assert!(one.how_bad.contains("0.53 m apart; 0.54 m keep"), "{}", one.how_bad);
}

#[test]
fn each_sidelight_is_told_of_once_on_its_own_side() {
    // Before the masthead light, so that the two come in line on the bow: 2 m forward, and the side's breadth abeam.
    let rig = Rig::of(11.0, Power, Status::UnderWay).masthead().sidelights_at(0.9).sternlight();
    assert!(merges(&rig).is_empty());
    let near = rig.raised("masthead light", -1.4);
    let found = merges(&near);
    let mut lamps: Vec<_> = found.iter().filter_map(|one| one.lamp.as_deref()).collect();
    lamps.sort_unstable();
    assert_eq!(lamps, ["port sidelight", "starboard sidelight"]);
    for one in &found {
        let side = one.lamp.as_deref().and_then(|name| name.split(' ').next()).unwrap_or_default();
        assert!(one.what.contains(&format!("on the {side} bow")), "{}", one.what);
    }
}

#[test]
fn the_metre_that_annex_i_2_h_asks_of_a_lantern_is_held_lawful_though_it_merges_before_two_miles() {
    let lawful = lantern(15.0, 1.0);
    assert!(merges(&lawful).is_empty());
    assert_eq!(merges(&lantern(15.0, 0.99)).len(), 1);
    let survey = support::displays::survey(&lawful);
    let pairs = lampwalk::rules::merging(&lawful.scene.fits[0], &survey, international());
    assert!(!pairs.is_empty());
    assert!(pairs.iter().all(|one| (one.told_apart.0 - 1.8562).abs() < 1e-3), "{pairs:?}");
    assert!(
        pairs.iter().all(|one| one.by_point.len() == 32 && one.by_point.iter().flatten().all(|far| far.0 >= 1.856))
    );
}

#[test]
fn the_sternlight_and_a_three_colour_lantern_make_no_pair() {
    let rig = Rig::of(11.0, lampwalk::boat::Propulsion::Sail, Status::UnderWay).sidelights().sternlight();
    let survey = support::displays::survey(&rig);
    assert!(lampwalk::rules::merging(&rig.scene.fits[0], &survey, international()).is_empty());
    let spot = Spot { forward: 5.0, starboard: 0.0, above: 9.0 };
    let aloft = Rig::of(11.0, lampwalk::boat::Propulsion::Sail, Status::UnderWay);
    let aloft = aloft.light("lantern aloft", Role::ThreeColourLantern, spot);
    let survey = support::displays::survey(&aloft);
    assert!(lampwalk::rules::merging(&aloft.scene.fits[0], &survey, international()).is_empty());
}
