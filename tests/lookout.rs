//! What a boat's own lights do to her lookout, against plane geometry: a lamp of I candela gives I / d^2 lux on a plane
//! that faces it at d metres, and that times the sine of its elevation on a level deck. The clauses are COLREGs 1972
//! Rule 20(b) and, as an example of a rule set that asks for a screen, 33 CFR 84.05(b).

mod support;

use std::{path::Path, sync::Arc};

use glam::DVec3;
use lampwalk::{
    boat::{Height, Lamp, Part, PartKind, Place, Posture, Propulsion, Role, Scene, Status, read::scene_file},
    light::{Optics, Profile},
    measure::Degrees,
    rules::{Finding, Kind, Rules, Severity, international, judge},
    sheet::{self, Surveyed},
    survey::{Lookout, Settings, Survey, lookout},
};
use support::{bare_boat, boat_of, lamp, on_a_foot, place};

const FULL: f64 = 7.74;
/// Height of the test boats' flat deck above the water, and of the meter laid on it.
const DECK: f64 = 0.6;
const METER: f64 = 0.02;

fn settings() -> Settings {
    Settings { step: 22.5, elevations: vec![Degrees(0.0)] }
}

fn person(postures: &[Posture]) -> Part {
    let at = Place { forward: 2.0, starboard: 0.0, height: Height::AboveDeck(0.0) };
    Part::new("helmsman", PartKind::Person { at, height: 1.8, postures: postures.into() })
}

/// A boat with somebody standing two metres forward of her transom.
fn manned(length: f64) -> Scene {
    Scene { parts: vec![person(&[Posture::Standing])], ..boat_of(length) }
}

fn eyes(scene: &Scene, posture: Posture) -> DVec3 {
    scene.parts[0].kind.eyes(&scene.vessel, posture).expect("a person has eyes")
}

/// An all-round light with nothing of its own in its way.
fn all_round(at: Place) -> Lamp {
    on_a_foot(lamp("all-round white", Role::AllRoundWhite, "all-round 2 nm", at))
}

/// The same as strong upward and downward as level.
fn even_ball(at: Place) -> Lamp {
    let lamp = all_round(at);
    let mut optics = Optics::clone(&lamp.optics);
    optics.beams[0].vertical = Profile::new(vec![(0.0, 1.0)]).expect("a profile");
    Lamp { optics: Arc::new(optics), ..lamp }
}

fn at(point: DVec3) -> Place {
    place(point.x, -point.y, point.z)
}

fn look(scene: &mut Scene, lamps: Vec<Lamp>) -> Lookout {
    scene.fits[0].lamps = lamps;
    let survey = Survey::of(scene, &scene.fits[0], Status::UnderWay, &settings());
    lookout(scene, &survey).expect("somebody is aboard")
}

fn findings(scene: &Scene, status: Status, rules: &Rules) -> Vec<Finding> {
    let survey = Survey::of(scene, &scene.fits[0], status, &settings());
    let judgement = judge(scene, &scene.fits[0], &survey, rules);
    judgement.findings.into_iter().filter(|finding| finding.kind == Kind::Lookout).collect()
}

fn near(found: f64, expected: f64) -> bool {
    (found - expected).abs() <= 0.01 * expected
}

#[test]
fn a_bare_lamp_gives_its_candela_over_the_square_of_its_distance_at_the_eyes() {
    let mut scene = manned(6.0);
    for (ahead, starboard) in [(1.0, 0.0), (2.0, 0.5), (3.5, -1.0), (0.0, 2.0)] {
        let away = DVec3::new(ahead, -starboard, 0.0);
        let lamp_at = at(eyes(&scene, Posture::Standing) + away);
        let found = look(&mut scene, vec![all_round(lamp_at)]);
        assert!(near(found.eyes.lux.0, FULL / away.length_squared()), "{:?} at {away}", found.eyes);
        assert_eq!(found.eyes, found.lights[0].eyes);
        assert_eq!(found.eyes.at, Some(Posture::Standing));
    }
}

#[test]
fn light_from_straight_behind_the_head_does_not_enter_the_eyes() {
    let mut scene = manned(6.0);
    for behind in [0.5, 1.0, 2.0] {
        let lamp_at = at(eyes(&scene, Posture::Standing) - DVec3::X * behind);
        assert_eq!(look(&mut scene, vec![all_round(lamp_at)]).eyes.lux.0, 0.0);
    }
}

#[test]
fn two_lamps_together_give_what_they_give_singly() {
    let mut scene = manned(6.0);
    let eye = eyes(&scene, Posture::Standing);
    let lamps = [DVec3::new(2.0, 1.0, 0.0), DVec3::new(3.0, -1.0, 0.0)].map(|away| all_round(at(eye + away)));
    let found = look(&mut scene, lamps.into());
    assert!(near(found.eyes.lux.0, FULL / 5.0 + FULL / 10.0));
    assert_eq!(found.eyes.most, Some(found.lights[0].light));
}

#[test]
fn a_lamp_straight_above_the_deck_gives_its_candela_over_the_square_of_its_height() {
    let mut scene = manned(6.0);
    let found = look(&mut scene, vec![even_ball(place(3.0, 0.0, DECK + 1.0))]);
    assert!(near(found.deck.lux.0, FULL / (1.0 - METER).powi(2)), "{:?}", found.deck);
    let most = found.deck.at.expect("a place");
    assert_eq!((most.forward, most.starboard), (3.0, 0.0));
}

#[test]
fn what_falls_on_the_deck_goes_by_the_sine_of_the_elevation() {
    let mut scene = manned(6.0);
    let lamp = all_round(place(3.0, 0.0, DECK + 1.0));
    let beam = lamp.optics.beams[0].clone();
    let height = 1.0 - METER;
    let formula = |away: f64| {
        let elevation = height.atan2(away);
        let candela = beam.full.0 * beam.vertical.at(elevation.to_degrees());
        candela * elevation.sin() / (height * height + away * away)
    };
    let found = look(&mut scene, vec![lamp]);
    let most = found.deck.at.expect("a place");
    assert!(near(found.deck.lux.0, formula(f64::hypot(most.forward - 3.0, most.starboard))), "{:?}", found.deck);
    // No place of the deck is brighter, and the quarter of a metre between places tried loses little.
    let brightest = (1..3000).map(|n| formula(f64::from(n) / 1000.0)).fold(0.0, f64::max);
    assert!(found.deck.lux.0 <= brightest && found.deck.lux.0 > 0.97 * brightest, "{:?}, {brightest}", found.deck);
}

#[test]
fn a_plate_between_shades_the_eyes_and_a_plate_beneath_shades_the_deck() {
    let mut scene = manned(6.0);
    let eye = eyes(&scene, Posture::Standing);
    let lamps = vec![even_ball(at(eye + DVec3::X * 1.5))];
    let bare = look(&mut scene, lamps.clone());
    assert!(bare.eyes.lux.0 > 3.0 && bare.deck.lux.0 > 1.0);
    let plate = |at: Place, length: f64, height: f64| {
        Part::new("plate", PartKind::Box { at, length, width: 0.5, height, yaw: Degrees(0.0) })
    };
    scene.parts.push(plate(place(eye.x + 1.2, 0.0, eye.z - 0.2), 0.004, 0.4));
    assert_eq!(look(&mut scene, lamps.clone()).eyes.lux.0, 0.0);
    scene.parts[1] = plate(place(eye.x + 1.5, 0.0, eye.z - 0.05), 0.5, 0.004);
    let screened = look(&mut scene, lamps);
    assert!(near(screened.eyes.lux.0, bare.eyes.lux.0));
    assert!(screened.deck.lux.0 < 0.05 * bare.deck.lux.0, "{:?}", screened.deck);
}

#[test]
fn deck_that_the_helm_cannot_see_does_not_count() {
    let mut scene = manned(6.0);
    let lamps = vec![all_round(place(3.2, 0.0, DECK + 1.0))];
    assert!(look(&mut scene, lamps.clone()).deck.lux.0 > 0.1);
    let wall = PartKind::Cabin { at: place(2.4, 0.0, DECK), length: 0.1, width: 2.0, height: 2.5 };
    scene.parts.push(Part::new("wheelhouse", wall));
    let found = look(&mut scene, lamps);
    assert_eq!((found.eyes.lux.0, found.deck.lux.0), (0.0, 0.0));
    assert_eq!((found.eyes.at, found.deck.at), (None, None));
}

#[test]
fn the_worse_posture_counts() {
    for order in [[Posture::Seated, Posture::Standing], [Posture::Standing, Posture::Seated]] {
        let mut scene = bare_boat();
        scene.parts = vec![person(&order)];
        for posture in order {
            let lamp_at = at(eyes(&scene, posture) + DVec3::X * 2.0);
            let found = look(&mut scene, vec![all_round(lamp_at)]);
            assert_eq!(found.eyes.at, Some(posture));
            assert!(near(found.eyes.lux.0, FULL / 4.0));
        }
    }
}

#[test]
fn the_lookout_is_kept_by_whom_the_scene_names() {
    let mut scene = manned(6.0);
    let mut mate = person(&[Posture::Standing]);
    mate.name = "mate".into();
    scene.parts.push(mate);
    assert_eq!(look(&mut scene, Vec::new()).helm, 0);
    scene.helm = Some("mate".into());
    assert_eq!(look(&mut scene, Vec::new()).helm, 1);
}

#[test]
fn a_caution_appears_when_either_figure_is_passed_and_not_before() {
    let mut scene = manned(6.0);
    let eye = eyes(&scene, Posture::Standing);
    let found = look(&mut scene, vec![all_round(at(eye + DVec3::new(2.0, 0.0, -0.5)))]);
    let (eyes, deck) = (found.eyes.lux.0, found.deck.lux.0);
    assert!(eyes > 0.1 && deck > 0.01);
    for (eye_share, deck_share, told) in [(1.01, 1.01, 0), (0.99, 1.01, 1), (1.01, 0.99, 1), (0.99, 0.99, 1)] {
        let mut rules = international().clone();
        (rules.glare.eye_lux, rules.glare.deck_lux) = (eyes * eye_share, deck * deck_share);
        let findings = findings(&scene, Status::UnderWay, &rules);
        assert_eq!(findings.len(), told, "{findings:?}");
        for finding in findings {
            assert_eq!((finding.severity, finding.clause.as_str()), (Severity::Caution, "Rule 20(b)"));
            assert_eq!(finding.lamp.as_deref(), Some("all-round white"));
            assert_eq!(finding.what.contains("eyes"), eye_share < 1.0, "{}", finding.what);
            assert_eq!(finding.what.contains("deck"), deck_share < 1.0, "{}", finding.what);
        }
    }
}

#[test]
fn lamps_in_plainly_bad_places_are_told_of() {
    let mut scene = manned(6.0);
    let eye = eyes(&scene, Posture::Standing);
    // On a short pole just ahead of the helm, as high as the eyes.
    look(&mut scene, vec![all_round(at(eye + DVec3::X * 1.0))]);
    assert!(findings(&scene, Status::UnderWay, international())[0].what.contains("eyes"));
    // A metre above the foredeck.
    look(&mut scene, vec![lamp("masthead light", Role::Masthead, "masthead 2 nm", place(3.5, 0.0, DECK + 1.0))]);
    assert!(findings(&scene, Status::UnderWay, international())[0].what.contains("deck"));
    // Behind the helm and above it.
    look(&mut scene, vec![all_round(place(0.3, 0.0, DECK + 2.3))]);
    assert_eq!(findings(&scene, Status::UnderWay, international()), []);
}

/// 33 CFR 84.05(b), as an example: power-driven vessels under 12 m.
#[test]
fn rules_that_ask_for_a_screen_ask_it_under_their_length_and_of_power_driven_vessels_only() {
    let mut rules = international().clone();
    (rules.glare.screen_under, rules.glare.clause_screen) = (12.0, "33 CFR 84.05(b)".into());
    for (length, propulsion, asked) in [
        (11.99, Propulsion::Power, true),
        (12.0, Propulsion::Power, false),
        (11.99, Propulsion::Sail, false),
        (11.99, Propulsion::Oars, false),
    ] {
        let mut scene = manned(length);
        scene.vessel.propulsion = propulsion;
        look(&mut scene, vec![lamp("masthead light", Role::Masthead, "masthead 2 nm", place(4.0, 0.0, DECK + 1.0))]);
        let findings = findings(&scene, Status::UnderWay, &rules);
        assert_eq!(findings.len(), 1, "{length} {propulsion:?}");
        assert_eq!(findings[0].clause.contains("84.05(b)"), asked, "{length} {propulsion:?}");
        assert_eq!(findings[0].mend.contains("screen"), asked, "{}", findings[0].mend);
    }
}

#[test]
fn with_nobody_aboard_nothing_is_said_of_the_lookout() {
    for parts in [Vec::new(), vec![person(&[Posture::Standing])]] {
        let aboard = !parts.is_empty();
        let mut scene = bare_boat();
        scene.parts = parts;
        scene.fits[0].lamps = vec![all_round(place(3.5, 0.0, DECK + 1.5))];
        let (fit, settings) = (&scene.fits[0], settings());
        let survey = Survey::of(&scene, fit, Status::UnderWay, &settings);
        let judgement = judge(&scene, fit, &survey, international());
        assert_eq!(lookout(&scene, &survey).is_some(), aboard);
        assert_eq!(judgement.findings.iter().any(|finding| finding.kind == Kind::Lookout), aboard);
        let surveyed = Surveyed { scene: &scene, fit, survey: &survey, judgement: &judgement };
        assert_eq!(sheet::text(&surveyed, false).contains("Lookout: "), aboard);
        let json: serde_json::Value = serde_json::from_str(&sheet::json(&[surveyed])).expect("JSON");
        let told = &json["surveys"][0]["lookout"];
        assert_eq!(told.is_null(), !aboard);
        if let Some(found) = lookout(&scene, &survey) {
            assert_eq!(told["helm"], "helmsman");
            assert_eq!(told["eye_most_from"], "all-round white");
            assert!((told["eye_lux"].as_f64().expect("a number") - found.eyes.lux.0).abs() <= 5.1e-5);
            assert!((told["deck_lux"].as_f64().expect("a number") - found.deck.lux.0).abs() <= 5.1e-5);
            assert!(told["deck_place"]["forward_m"].as_f64().expect("a number") > 2.0);
            assert_eq!(told["lights"][0]["lamp"], "all-round white");
        }
    }
}

#[test]
fn the_proposed_fits_of_the_supplied_boats_leave_the_lookout_alone() {
    for name in ["sandpiper", "marigold", "harrier"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
        let scene = scene_file(&path).expect("a supplied scene").scene;
        let fit = scene.fit("proposed").expect("a proposed fit");
        for status in [Status::UnderWay, Status::AtAnchor] {
            let survey = Survey::of(&scene, fit, status, &settings());
            let found = lookout(&scene, &survey).expect("somebody is aboard");
            let glare = &international().glare;
            assert!(found.lights.iter().all(|one| one.eyes.lux.0 <= glare.eye_lux), "{name}: {found:?}");
            assert!(found.lights.iter().all(|one| one.deck.lux.0 <= glare.deck_lux), "{name}: {found:?}");
        }
    }
}
