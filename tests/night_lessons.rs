//! Lessons in the window, without any rendering: each step shows what its situation says, answers are the simulation's, and the
//! boat that was worked on is there again afterwards.
#![cfg(feature = "night")]

use std::{fs, path::Path, sync::Arc};

use bevy::prelude::*;
use lampwalk::{
    boat::{Scene, read::scene_file},
    edit::{Document, Edit, Subject},
    measure::Bearing,
    night::{Act, Choice, Known, LogicPlugins, School, SchoolPlugin, Shown, Study, Work, Workbench, WorkbenchPlugin},
    survey::showing,
    teach::lesson::{Answer, Lesson, Way, supplied},
};

fn boat(name: &str) -> Arc<Scene> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    Arc::new(scene_file(&path).expect("the boat reads").scene)
}

fn lesson(name: &str) -> Arc<Lesson> {
    Arc::new(supplied().iter().find(|lesson| lesson.name == name).expect("it is supplied").clone())
}

fn night(scene: &Arc<Scene>) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(scene)), SchoolPlugin::default()));
    app.update();
    app
}

fn study(app: &mut App, study: Study) {
    app.world_mut().write_message(study);
    app.update();
}

fn act(app: &mut App, act: Act) {
    app.world_mut().write_message(act);
    app.update();
}

fn right(app: &App) -> Option<bool> {
    let school = app.world().resource::<School>();
    school.had().expect("a lesson").verdict().map(|(_, verdict)| verdict.right)
}

/// Goes through a lesson giving the answer that the simulation works out, and holds what is shown against the step.
fn go_through(name: &str) {
    let lesson = lesson(name);
    let mut app = night(&boat("sandpiper"));
    study(&mut app, Study::Begin(Arc::clone(&lesson)));
    for (number, step) in lesson.steps.iter().enumerate() {
        if number > 0 {
            study(&mut app, Study::Step(number));
        }
        let (known, choice) = (app.world().resource::<Known>(), app.world().resource::<Choice>());
        assert_eq!(known.fit().name, step.situation.fit().name, "{name}, step {number}");
        assert_eq!(choice.status, step.situation.status);
        let eye = choice.watch.station().point(known.stance.middle());
        assert_eq!(showing(&known.look(eye)), step.situation.showing(), "{name}, step {number}");
        let Some(question) = &step.question else { continue };
        assert_eq!(right(&app), None);
        match question.answer(&step.situation).expect("every question has an answer") {
            Answer::Bearing(bearing) => {
                let from = app.world().resource::<Choice>().watch.bearing;
                act(&mut app, Act::View(lampwalk::night::View::Afloat));
                act(&mut app, Act::Round(bearing.clockwise_of(from)));
                study(&mut app, Study::Here);
            }
            Answer::Number(value) if matches!(question.way(), Way::Set { .. }) => {
                study(&mut app, Study::Set(value));
                assert_eq!(right(&app), None, "to set is not yet to answer");
                study(&mut app, Study::Answer(Answer::Number(value)));
            }
            answer => study(&mut app, Study::Answer(answer)),
        }
        assert_eq!(right(&app), Some(true), "{name}, step {number}");
    }
    let school = app.world().resource::<School>();
    let (first, asked) = school.had().expect("still had").score();
    assert_eq!(first, asked);
}

#[test]
fn the_lesson_on_two_points_abaft_shows_what_its_steps_say_and_takes_the_simulations_answers() {
    go_through("two-points-abaft");
}

#[test]
fn the_lesson_on_a_steering_outboard_is_answered_by_steering_her() {
    go_through("steering-outboard");
}

#[test]
fn a_wrong_answer_is_told_so_and_the_first_try_counts() {
    let lesson = lesson("two-points-abaft");
    let mut app = night(&boat("harrier"));
    study(&mut app, Study::Begin(Arc::clone(&lesson)));
    let step = &lesson.steps[0];
    let question = step.question.as_ref().expect("it asks");
    let Some(Answer::Choice(good)) = question.answer(&step.situation) else { panic!("a choice") };
    let bad = (0..question.choices().len()).find(|choice| *choice != good).expect("another");
    study(&mut app, Study::Answer(Answer::Choice(bad)));
    assert_eq!(right(&app), Some(false));
    study(&mut app, Study::Answer(Answer::Choice(good)));
    assert_eq!(right(&app), Some(true));
    assert_eq!(app.world().resource::<School>().had().expect("had").score().0, 0);
}

#[test]
fn the_fit_that_a_lesson_shows_cannot_be_changed_for_another_meanwhile() {
    let lesson = lesson("two-points-abaft");
    let mut app = night(&boat("sandpiper"));
    study(&mut app, Study::Begin(Arc::clone(&lesson)));
    let before = app.world().resource::<Choice>().clone();
    for other in [Act::NextFit, Act::OtherStatus, Act::Split] {
        act(&mut app, other);
    }
    assert_eq!(*app.world().resource::<Choice>(), before);
    act(&mut app, Act::Round(30.0));
    assert_ne!(*app.world().resource::<Choice>(), before, "the learner may walk");
}

#[test]
fn the_boat_that_was_worked_on_waits_untouched_and_is_there_again_afterwards() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("harrier.ron");
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/harrier.ron"), &path).expect("copied");
    let document = Document::open(&path).expect("sound");
    let scene = Arc::clone(document.scene());
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(&scene)), WorkbenchPlugin, SchoolPlugin::default()))
        .insert_resource(Workbench::kept_in(document, Some(folder.path())));
    app.update();
    act(&mut app, Act::Observer(9));
    let before = app.world().resource::<Choice>().clone();

    study(&mut app, Study::Begin(lesson("two-points-abaft")));
    assert!(!Arc::ptr_eq(&app.world().resource::<Shown>().0, &scene));
    app.world_mut().write_message(Work::Do(Edit::Remove(Subject::Fit(1))));
    app.update();
    app.update();
    study(&mut app, Study::Leave);
    app.update();
    assert!(app.world().resource::<School>().had().is_none());
    assert!(Arc::ptr_eq(&app.world().resource::<Shown>().0, &scene));
    assert_eq!(*app.world().resource::<Choice>(), before);
    assert_eq!(before.watch.bearing, Bearing::new(9.0 * 11.25));
    let bench = app.world().resource::<Workbench>();
    assert!(!bench.document().is_changed() && bench.document().scene().fits.len() == scene.fits.len());
}
