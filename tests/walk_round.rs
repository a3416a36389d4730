//! The walk-round test: where its marks lie, and that what must be seen there is the rules' and what is seen the survey's.

mod support;

use std::path::Path;

use glam::DVec3;
use lampwalk::{
    boat::{Pose, Scene, read},
    fitting::walk_round::{Chalk, Corner, Due, Glow, Round, WalkRound, walk_round},
    light::Colour,
    measure::{Bearing, Metres},
    rules::international,
    survey::at_rest,
};
use support::{bare_boat, lawful_lamps, post};

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(format!("{name}.ron"));
    read::scene_file(&path).expect("a sound scene").scene
}

fn round(scene: &Scene, fit: usize) -> WalkRound {
    walk_round(scene, &scene.fits[fit], international(), Round::of(scene))
}

/// Where a tape puts a mark that is set out from the corner it names.
fn set_out(scene: &Scene, chalk: &Chalk) -> DVec3 {
    let half = scene.vessel.half_breadth(0.0);
    let port = match chalk.corner {
        Corner::Port => half + chalk.out.0,
        Corner::Starboard => -half - chalk.out.0,
    };
    DVec3::new(chalk.along.0, port, 0.0)
}

#[test]
fn offsets_from_the_transom_s_corner_set_out_the_bearing_and_the_distance() {
    for name in ["sandpiper", "marigold", "curlew"] {
        let scene = scene(name);
        for station in &round(&scene, 1).stations {
            let from = set_out(&scene, &station.chalk) - scene.middle();
            assert!((from.length() - station.chalk.distance.0).abs() < 1e-9);
            assert!((from.length() - scene.conditions.near.0).abs() < 1e-9);
            assert!(Bearing::of(from).clockwise_of(station.chalk.bearing).abs() < 1e-9);
        }
    }
}

#[test]
fn marks_go_once_round_clockwise_and_mirror_each_other() {
    let scene = scene("sandpiper");
    let bearings: Vec<f64> =
        round(&scene, 1).stations.iter().map(|station| station.chalk.bearing.degrees().round()).collect();
    assert!(bearings.is_sorted() && bearings[0] == 0.0 && bearings.contains(&180.0));
    for bearing in &bearings {
        assert!(bearings.contains(&((360.0 - bearing) % 360.0)), "{bearing}");
    }
}

#[test]
fn what_is_seen_is_what_the_survey_sees_from_the_mark_set_out() {
    let mut looked_at = 0;
    for name in ["sandpiper", "marigold", "harrier", "curlew", "petrel"] {
        let scene = scene(name);
        for (index, fit) in scene.fits.iter().enumerate() {
            let (walk, rest) = (round(&scene, index), at_rest(&scene, fit));
            for station in &walk.stations {
                let eye = set_out(&scene, &station.chalk).with_z(walk.round.eye.0);
                for sight in station.sights.iter().flatten() {
                    let candela = rest.to_point(sight.light, eye).candela();
                    assert!((candela.0 - sight.candela.0).abs() < 1e-9 * candela.0.max(1.0), "{name} {sight:?}");
                    looked_at += 1;
                }
            }
        }
    }
    assert!(looked_at > 500, "{looked_at}");
}

/// COLREGs 1972 Rule 21 and Annex I 9(a): sidelights from right ahead to 22.5 degrees abaft the beam; whole to 5 degrees
/// inside their after edge, cut off 3 degrees across the bow and 5 degrees past the after edge. The bearing is that from
/// the lamp, not from the middle of the boat.
#[test]
fn what_is_due_goes_by_the_bearing_from_the_lamp_itself() {
    let scene = scene("sandpiper");
    let fit = &scene.fits[1];
    let walk = round(&scene, 1);
    let mut differing = 0;
    for station in &walk.stations {
        for sight in station.sights.iter().flatten().filter(|sight| sight.colour == Colour::Green) {
            let lamp = scene.posed_lamp(&fit.lamps[sight.light.lamp], &Pose::default()).centre;
            let own = Bearing::of(set_out(&scene, &station.chalk) - lamp);
            assert!(own.clockwise_of(sight.bearing).abs() < 1e-6);
            let degrees = own.degrees();
            let due = match degrees {
                at if at <= 107.5 => Due::Must,
                at if at <= 117.5 || at >= 357.0 => Due::May,
                _ => Due::Dark,
            };
            assert_eq!(sight.due, due, "{degrees}");
            differing += u32::from(own.clockwise_of(station.chalk.bearing).abs() > 5.0);
        }
    }
    assert!(differing > 2, "close by, bearings from the lamp are not those from the middle");
}

/// Annex I 9(a)(i) and (ii), as above.
#[test]
fn edges_are_walked_from_inside_to_where_they_must_be_dark() {
    let scene = scene("sandpiper");
    let fit = &scene.fits[1];
    let walk = round(&scene, 1);
    assert_eq!(walk.edges.len(), 4, "two sidelights; the white light has none");
    for edge in &walk.edges {
        let ahead = edge.edge.clockwise_of(Bearing::AHEAD).abs() < 1.0;
        assert_eq!((edge.inside.0, edge.outside.0), if ahead { (1.0, 3.0) } else { (5.0, 5.0) });
        assert!(edge.clause.contains(if ahead { "9(a)(i)" } else { "9(a)(ii)" }), "{}", edge.clause);
        let lamp = scene.posed_lamp(&fit.lamps[edge.light.lamp], &Pose::default()).centre;
        let off =
            edge.chalks.each_ref().map(|chalk| Bearing::of(set_out(&scene, chalk) - lamp).clockwise_of(edge.edge));
        assert!((off[0].abs() - edge.inside.0).abs() < 1e-6 && off[1].abs() < 1e-6);
        assert!((off[2].abs() - edge.outside.0).abs() < 1e-6 && off[0] * off[2] < 0.0);
        let sector = international().sectors.iter().find(|row| row.light.in_words() == edge.kind).expect("a sector");
        assert!(sector.arc().contains(edge.edge.turned(off[0])) && !sector.arc().contains(edge.edge.turned(off[2])));
        let level = |n: usize| edge.sights[n].glow;
        assert_eq!((level(0), level(2)), (Glow::Bright, Glow::Dark), "{} at {}", edge.kind, edge.edge);
    }
}

#[test]
fn a_lawful_boat_shows_what_is_due_at_every_mark_from_far_enough() {
    let mut scene = bare_boat();
    scene.fits[0].lamps = lawful_lamps();
    let far = Round { distance: Metres(30.0), eye: Round::EYE };
    let walk = walk_round(&scene, &scene.fits[0], international(), far);
    let sights: Vec<_> = walk.stations.iter().flat_map(|station| station.sights.iter().flatten()).collect();
    assert!(sights.len() > 30 && sights.iter().all(|sight| !sight.differs()), "{sights:#?}");
}

#[test]
fn too_near_a_high_light_is_told_with_the_distance_that_would_do() {
    let mut scene = bare_boat();
    scene.fits[0].lamps = lawful_lamps();
    let near = Round { distance: Metres(8.0), eye: Metres(1.5) };
    let walk = walk_round(&scene, &scene.fits[0], international(), near);
    // Three metres up, an eye at 1.5 m: 1.5 m / tan 5 degrees (Annex I 10(a)(i)).
    let white = &walk.lights[2];
    assert!((white.least.0 - 17.145).abs() < 0.01, "{}", white.least);
    let steep = walk.stations.iter().flat_map(|one| one.sights.iter().flatten()).filter(|sight| sight.light.lamp == 2);
    assert!(steep.clone().count() > 5 && steep.into_iter().all(|sight| sight.elevation.0 < -5.0));
}

#[test]
fn a_post_before_a_lamp_is_named_where_it_hides_the_light() {
    let mut scene = bare_boat();
    scene.fits[0].lamps = lawful_lamps();
    scene.parts = vec![post("samson post", 4.6, 1.2, 0.2)];
    let walk = walk_round(&scene, &scene.fits[0], international(), Round { distance: Metres(30.0), eye: Round::EYE });
    let hidden: Vec<_> = walk
        .stations
        .iter()
        .flat_map(|station| station.sights.iter().flatten())
        .filter(|sight| sight.differs())
        .collect();
    assert!(!hidden.is_empty());
    assert!(hidden.iter().all(|sight| sight.hidden_by.as_deref() == Some("samson post")), "{hidden:#?}");
}

#[test]
fn lamps_screwed_flat_on_deck_fail_the_walk() {
    let scene = scene("sandpiper");
    let walk = round(&scene, 0);
    let green = |degrees: f64| {
        let at = walk.stations.iter().find(|one| (one.chalk.bearing.degrees() - degrees).abs() < 0.1).expect("a mark");
        at.sights[0].iter().find(|sight| sight.colour == Colour::Green).expect("the starboard light").clone()
    };
    for degrees in [45.0, 90.0] {
        let sight = green(degrees);
        assert_eq!((sight.due, sight.glow), (Due::Must, Glow::Dark), "on {degrees}");
        assert!(sight.differs() && sight.hidden_by.is_none());
    }
    let spilt = green(350.0);
    assert_eq!((spilt.due, spilt.glow, spilt.differs()), (Due::Dark, Glow::Bright, true));
}

#[test]
fn each_setting_that_lights_something_is_walked_once() {
    let scene = scene("curlew");
    let words: Vec<String> = round(&scene, 1).settings.iter().map(|one| one.words.clone()).collect();
    assert_eq!(words.len(), 4, "{words:?}");
    for name in ["lights engine", "lights sail", "lights sail, lantern aloft", "lights anchor"] {
        assert!(words.iter().any(|one| one == name), "{name} among {words:?}");
    }
    let as_found = round(&scene, 0);
    assert!(as_found.settings.len() <= 6 && as_found.settings.len() + as_found.left_out == 7, "three switches");
}
