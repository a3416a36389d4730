//! The night without any rendering: an observer steps round the ring and reads what the survey says.
#![cfg(feature = "night")]

use std::{path::Path, sync::Arc};

use bevy::prelude::*;
use lampwalk::{
    boat::{Attitude, Scene, Status, read::scene_file},
    light::Colours,
    measure::{Bearing, DEGREES_PER_POINT, Degrees, Metres},
    night::{Act, Body, Choice, FittedLamp, Judged, Known, LogicPlugins, Observer, View},
    survey::{Settings, Station, Survey, at_rest, showing, weather},
};

fn workboat() -> Arc<Scene> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/sandpiper.ron");
    Arc::new(scene_file(&path).expect("the workboat reads").scene)
}

fn night(scene: &Arc<Scene>) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(scene))));
    app.update();
    app
}

fn act(app: &mut App, act: Act) {
    app.world_mut().write_message(act);
    app.update();
}

fn ring(app: &mut App) -> Vec<Observer> {
    let mut observers: Vec<Observer> = app.world_mut().query::<&Observer>().iter(app.world()).copied().collect();
    observers.sort_by_key(|observer| observer.number);
    observers
}

#[test]
fn every_observer_of_the_ring_sees_what_the_survey_says_in_every_fit_and_status() {
    let scene = workboat();
    let mut app = night(&scene);
    let mut seen = Vec::new();
    for (index, fit) in scene.fits.iter().enumerate() {
        for status in [Status::UnderWay, Status::AtAnchor] {
            act(&mut app, Act::Fit(index));
            act(&mut app, Act::Status(status));
            let stance = at_rest(&scene, fit);
            let observers = ring(&mut app);
            assert_eq!(observers.len(), 32);
            for (observer, bearing) in observers.iter().zip(Bearing::points()) {
                let (distance, eye) = (scene.conditions.far.metres(), scene.conditions.eyes[0]);
                let station = Station { bearing, distance, eye };
                let looked = stance.look(fit, status, station.point(stance.middle()), weather(&scene));
                assert_eq!(observer.showing, showing(&looked), "{} {status:?} from {bearing}", fit.name);
                seen.push(observer.showing);
            }
        }
    }
    seen.sort_by_key(|colours| colours.letters());
    seen.dedup();
    assert!(seen.len() >= 4, "a ring on which all see the same would prove nothing: {seen:?}");
}

#[test]
fn an_observer_steps_round_the_ring_and_sees_what_the_far_survey_says() {
    let scene = workboat();
    let mut app = night(&scene);
    act(&mut app, Act::Fit(1));
    let settings = Settings { step: DEGREES_PER_POINT, ..Settings::default() };
    let survey = Survey::of(&scene, &scene.fits[1], Status::UnderWay, &settings);
    act(&mut app, Act::Observer(0));
    let mut stepped = Vec::new();
    for _ in 0..32 {
        let choice = app.world().resource::<Choice>().clone();
        let observer = ring(&mut app)[choice.observer()];
        assert_eq!(observer.bearing, choice.watch.bearing);
        assert_eq!(choice.view, View::Afloat);
        stepped.push(observer.showing);
        act(&mut app, Act::NextObserver(1));
    }
    // The far ring looks level, the observer from two metres up half a mile off: an eighth of a degree below level,
    // which on this fit no light turns on.
    assert_eq!(stepped, survey.far_showings());
}

#[test]
fn what_an_observer_must_see_is_what_the_judgement_says() {
    let scene = workboat();
    let mut app = night(&scene);
    let verdict = app.world().resource::<Judged>().0.clone().expect("judged at once without a window");
    for observer in ring(&mut app) {
        assert_eq!(observer.expected, Some(verdict.judgement.expected(observer.bearing)));
    }
    let amiss = ring(&mut app).iter().filter(|observer| observer.missing() != Colours::NONE).count();
    assert!(amiss > 0, "the fit as found leaves observers without what they must see");
}

#[test]
fn coming_nearer_and_heeling_change_the_stance_that_is_asked() {
    let scene = workboat();
    let mut app = night(&scene);
    act(&mut app, Act::Fit(1));
    let attitude = Attitude { trim: Degrees(2.0), heel: Degrees(30.0) };
    act(&mut app, Act::Distance(Metres(60.0)));
    act(&mut app, Act::Attitude(attitude));
    let stance = at_rest(&scene, &scene.fits[1]).lying(attitude);
    let before = at_rest(&scene, &scene.fits[1]);
    let mut differ = 0;
    for observer in ring(&mut app) {
        let station = Station { bearing: observer.bearing, distance: Metres(60.0), eye: observer.eye };
        let eye = station.point(stance.middle());
        let looked = stance.look(&scene.fits[1], Status::UnderWay, eye, weather(&scene));
        assert_eq!(observer.showing, showing(&looked));
        let level = before.look(&scene.fits[1], Status::UnderWay, eye, weather(&scene));
        differ += usize::from(observer.showing != showing(&level));
    }
    assert!(differ > 0, "thirty degrees of heel must hide a sidelight from someone");
}

#[test]
fn hull_parts_and_lamps_are_entities_by_name() {
    let scene = workboat();
    let mut app = night(&scene);
    act(&mut app, Act::Fit(1));
    let mut names: Vec<String> =
        app.world_mut().query_filtered::<&Name, With<Body>>().iter(app.world()).map(|name| name.to_string()).collect();
    names.sort();
    for part in scene.parts.iter().map(|part| part.name.as_str()).chain(["the hull"]) {
        assert!(names.iter().any(|name| name == part), "{part} is missing among {names:?}");
    }
    let lamps = app.world_mut().query::<(&Name, &FittedLamp)>().iter(app.world()).count();
    assert_eq!(lamps, scene.fits[1].lamps.len());
    assert_eq!(app.world().resource::<Known>().fit().name, scene.fits[1].name);
}
