//! The night without any rendering: the pointer over a shadow on the band finds the part that throws it, and the pointer
//! over the part finds its shadows.
#![cfg(feature = "night")]

use std::{path::Path, sync::Arc};

use bevy::{math::DVec3, prelude::*};
use lampwalk::{
    boat::{Owner, Scene, read::scene_file},
    measure::{Bearing, Degrees},
    night::{Act, Aim, Judged, Known, Line, LogicPlugins, Regard, Regarded, Verdict, View, place_of},
    rules::{State, Why},
};

fn boat(name: &str) -> Arc<Scene> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    Arc::new(scene_file(&path).expect("the boat reads").scene)
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

fn verdict(app: &App) -> Arc<Verdict> {
    app.world().resource::<Judged>().0.clone().expect("judged at once without a window")
}

/// What is regarded when the pointer aims from an eye high on the port bow at a point of the level frame.
fn aiming_at(app: &mut App, point: DVec3) -> Option<Regard> {
    let from = Bearing::new(330.0).direction_at(Degrees(60.0)) * 40.0;
    aiming(app, Line { from, toward: (point - from).normalize() })
}

fn aiming(app: &mut App, line: Line) -> Option<Regard> {
    *app.world_mut().resource_mut::<Aim>() = Aim(Some(line));
    app.update();
    app.world().resource::<Regarded>().0.clone()
}

/// The place on the water of a bearing on the stripe that a lamp serves as.
fn on_band(app: &App, lamp: &str, bearing: Bearing) -> DVec3 {
    let (known, verdict) = (app.world().resource::<Known>(), verdict(app));
    let own = |light: &lampwalk::survey::LightId| known.fit().lamps[light.lamp].name == lamp;
    let stripe = verdict.stripes.iter().position(|stripe| stripe.lights.iter().any(own)).expect("a stripe");
    place_of(known, stripe, verdict.stripes.len(), bearing)
}

fn part(scene: &Scene, name: &str) -> Owner {
    Owner::Part(scene.parts.iter().position(|part| part.name == name).expect("a part"))
}

#[test]
fn the_pointer_over_a_shadow_finds_the_part_that_throws_it() {
    let scene = boat("sandpiper");
    let mut app = night(&scene);
    let place = on_band(&app, "sternlight", Bearing::new(140.0));
    let regard = aiming_at(&mut app, place).expect("a shadow");
    assert_eq!(regard.owner, Some(part(&scene, "outboard")));
    assert_eq!(regard.title, "outboard");
    let [(_, words)] = regard.lines.as_slice() else { panic!("{regard:?}") };
    assert!(words.starts_with("sternlight is hidden from 22.5 degrees abaft the starboard beam to "), "{words}");
}

#[test]
fn the_pointer_over_a_part_finds_all_of_its_shadows_and_no_other() {
    let scene = boat("sandpiper");
    let mut app = night(&scene);
    let solids = app.world().resource::<Known>().stance.posed().solids.clone();
    let engine = part(&scene, "outboard");
    let own = solids.iter().filter(|solid| solid.owner == engine);
    let highest = own.map(|solid| solid.shape.bounding_ball().0).max_by(|a, b| a.z.total_cmp(&b.z)).expect("a cowling");
    // From straight astern, a little above her.
    let from = highest + DVec3::new(-12.0, 0.0, 3.0);
    let regard = aiming(&mut app, Line { from, toward: (highest - from).normalize() }).expect("the engine");
    assert_eq!(regard.owner, Some(engine));
    let verdict = verdict(&app);
    let hides = |spot: &lampwalk::night::Spot| verdict.stripes[spot.stripe].stretches[spot.stretch].state;
    assert!(regard.spots.iter().all(|spot| hides(spot) == State::Shadow { by: Some(engine) }));
    let all = verdict.stripes.iter().flat_map(|stripe| &stripe.stretches);
    let thrown = all.filter(|stretch| stretch.state == State::Shadow { by: Some(engine) }).count();
    assert_eq!((regard.spots.len(), regard.lines.len()), (thrown, thrown));
}

#[test]
fn a_part_that_hides_nothing_and_open_water_are_nothing_to_tell_of() {
    let scene = boat("sandpiper");
    let mut app = night(&scene);
    let helmsman = app.world().resource::<Known>().stance.posed().solids.iter();
    let person = part(&scene, "helmsman");
    let chest = helmsman.filter(|solid| solid.owner == person).map(|solid| solid.shape.bounding_ball().0).next();
    let chest = chest.expect("somebody");
    let from = chest + DVec3::new(0.0, 9.0, 9.0);
    assert_eq!(aiming(&mut app, Line { from, toward: (chest - from).normalize() }), None);
    assert_eq!(aiming_at(&mut app, DVec3::new(60.0, 0.0, 0.0)), None);
    assert_eq!(aiming(&mut app, Line { from: DVec3::new(0.0, 0.0, 9.0), toward: DVec3::Z }), None);
}

#[test]
fn what_is_dark_or_spills_is_told_by_its_lamp() {
    let mut app = night(&boat("sandpiper"));
    let place = on_band(&app, "starboard sidelight", Bearing::new(60.0));
    let dark = aiming_at(&mut app, place).expect("a dark stretch");
    assert_eq!((dark.owner, dark.title.as_str()), (None, "starboard sidelight"));
    assert!(dark.lines[0].1.contains("the lamp leans"), "{:?}", dark.lines);
    let mut app = night(&boat("marigold"));
    let place = on_band(&app, "port sidelight", Bearing::new(12.0));
    let spill = aiming_at(&mut app, place).expect("spill");
    assert!(spill.lines[0].1.ends_with("outside its sector"), "{:?}", spill.lines);
}

#[test]
fn the_proposed_fit_shows_as_it_must_wherever_the_pointer_is() {
    let mut app = night(&boat("sandpiper"));
    act(&mut app, Act::Fit(1));
    for degrees in [0.0, 90.0, 180.0, 270.0] {
        let place = on_band(&app, "all-round white", Bearing::new(degrees));
        let regard = aiming_at(&mut app, place).expect("the band");
        assert!(regard.owner.is_none() && regard.lines[0].1.ends_with("as it must"), "{regard:?}");
    }
}

#[test]
fn without_the_band_or_off_the_view_from_aloft_nothing_is_regarded() {
    let mut app = night(&boat("sandpiper"));
    let place = on_band(&app, "sternlight", Bearing::new(140.0));
    assert!(aiming_at(&mut app, place).is_some());
    act(&mut app, Act::Arcs);
    assert!(app.world().resource::<Regarded>().0.is_none());
    act(&mut app, Act::Arcs);
    assert!(app.world().resource::<Regarded>().0.is_some());
    act(&mut app, Act::View(View::Deck));
    assert!(app.world().resource::<Regarded>().0.is_none());
}

#[test]
fn nothing_is_done_again_while_nothing_changes() {
    let mut app = night(&boat("sandpiper"));
    let place = on_band(&app, "starboard sidelight", Bearing::new(60.0));
    let regard = aiming_at(&mut app, place).expect("a dark stretch");
    let before = app.world().resource_ref::<Regarded>().last_changed();
    for _ in 0..3 {
        app.update();
    }
    assert_eq!(app.world().resource_ref::<Regarded>().last_changed(), before);
    assert!(matches!(verdict(&app).stripes[regard.spots[0].stripe].stretches[0].state, State::Dark(Why::Lean)));
}
