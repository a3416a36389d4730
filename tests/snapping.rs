//! Where a hand is drawn to: deck, rail, centreline, parallel with the centreline.

mod support;

use glam::DVec3;
use lampwalk::{
    boat::{Along, Height, Mount, Part, PartKind, Place, Pose, Role},
    edit::snap::{on_bar, on_centreline, on_deck, parallel, place_at, to_step},
    measure::Degrees,
};
use support::{bare_boat, lamp, place};

fn near(one: f64, other: f64) {
    assert!((one - other).abs() < 1e-9, "{one} is not {other}");
}

#[test]
fn a_point_taken_as_a_place_lies_where_it_was_whatever_level_it_is_told_from() {
    let mut scene = bare_boat();
    (scene.vessel.hull.sheer.0, scene.vessel.hull.deck_camber.0, scene.vessel.hull.bulwark.0) = (0.4, 0.06, 0.2);
    let point = DVec3::new(4.3, 0.6, 1.4);
    for like in [Height::AboveDeck(0.0), Height::AboveGunwale(0.0), Height::AboveWaterline(0.0)] {
        let place = place_at(&scene.vessel, point, like);
        assert_eq!(std::mem::discriminant(&place.height), std::mem::discriminant(&like));
        assert!(scene.vessel.locate(&place).distance(point) < 1e-12, "{place:?}");
    }
}

#[test]
fn the_deck_draws_to_its_edge_and_no_further() {
    let vessel = bare_boat().vessel;
    let placed = on_deck(&vessel, &place(3.0, -0.4, 2.0), 0.1);
    assert_eq!(placed, Place { forward: 3.0, starboard: -0.4, height: Height::AboveDeck(0.1) });
    let placed = on_deck(&vessel, &place(9.0, 4.0, 2.0), 0.0);
    assert_eq!((placed.forward, placed.starboard), (6.0, 0.0), "at the stem the deck has no breadth");
    let placed = on_deck(&vessel, &place(2.7, -4.0, 2.0), 0.0);
    near(placed.starboard, -vessel.half_breadth(2.7));
}

#[test]
fn the_centreline_draws_what_is_near_it() {
    assert_eq!(on_centreline(&place(3.0, -0.04, 1.0), 0.05), Some(place(3.0, 0.0, 1.0)));
    assert_eq!(on_centreline(&place(3.0, 0.06, 1.0), 0.05), None);
}

#[test]
fn the_nearest_bar_holds_what_is_near_its_skin() {
    let mut scene = bare_boat();
    let part = |name: &str, kind| Part::new(name, kind);
    scene.parts = vec![
        part("console", PartKind::Cabin { at: place(3.0, 0.0, 0.6), length: 1.0, width: 1.0, height: 1.0 }),
        part(
            "rail",
            PartKind::Rail {
                through: vec![place(2.0, 1.0, 1.2), place(4.0, 1.0, 1.2), place(5.0, 0.0, 1.2)],
                diameter: 0.03,
            },
        ),
        part("post", PartKind::Stanchion { at: place(4.0, 1.0, 0.6), height: 0.6, diameter: 0.05 }),
    ];
    let held = on_bar(&scene, DVec3::new(3.0, -1.1, 1.25), 0.2).expect("the rail is near");
    assert_eq!((held.part, held.radius), (1, 0.015));
    assert!(held.axis.distance(DVec3::new(3.0, -1.0, 1.2)) < 1e-12, "{held:?}");
    let held = on_bar(&scene, DVec3::new(4.06, -1.0, 0.8), 0.05).expect("the post is near");
    assert_eq!((held.part, held.radius), (2, 0.025));
    assert!(held.axis.distance(DVec3::new(4.0, -1.0, 0.8)) < 1e-12, "{held:?}");
    let held = on_bar(&scene, DVec3::new(5.2, 0.0, 1.2), 0.2).expect("the rail's end is near");
    assert!(held.axis.distance(DVec3::new(5.0, 0.0, 1.2)) < 1e-12, "{held:?}");
    assert_eq!(on_bar(&scene, DVec3::new(3.0, 0.0, 1.0), 0.2), None, "a console is no bar");
}

#[test]
fn a_lamp_is_turned_parallel_with_the_centreline() {
    let scene = bare_boat();
    let mut red = lamp("port", Role::PortSidelight, "port 1 nm", place(4.5, -0.6, 1.0));
    red.mount = Mount::Bracket(Along::Gunwale);
    red.yaw = Degrees(3.0);
    let turned = |red: &lampwalk::boat::Lamp| scene.posed_lamp(red, &Pose::default()).turned().unwrap().0;
    let off = turned(&red);
    assert!(off.abs() > 5.0, "she narrows there: {off}");
    assert_eq!(parallel(&scene, &red, Degrees(off.abs() - 1.0)), None);
    for (tilt, roll) in [(0.0, 0.0), (20.0, -15.0)] {
        (red.tilt, red.roll) = (Degrees(tilt), Degrees(roll));
        red.yaw = parallel(&scene, &red, Degrees(60.0)).expect("it is near enough");
        near(turned(&red), 0.0);
    }
    red.tilt = Degrees(80.0);
    assert_eq!(parallel(&scene, &red, Degrees(60.0)), None, "its line tells no heading");
}

#[test]
fn figures_are_drawn_to_whole_steps() {
    near(to_step(0.738, 0.05), 0.75);
    near(to_step(-12.4, 5.0), -10.0);
    near(to_step(0.738, 0.0), 0.738);
}
