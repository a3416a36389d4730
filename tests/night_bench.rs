//! The scene file worked on in the night, without any rendering: chosen, moved, undone, saved, opened again.
#![cfg(feature = "night")]

use std::{fs, path::Path, sync::Arc};

use bevy::prelude::*;
use lampwalk::{
    boat::{Height, Place, Status},
    edit::{Document, Edit, LampAt, Spot, Subject},
    night::{Act, Choice, Judged, Known, LogicPlugins, Shown, Work, Workbench, WorkbenchPlugin},
};
use tempfile::TempDir;

const LAMP: LampAt = LampAt { fit: 0, lamp: 0 };

/// The workboat in a folder of her own, and the night on her.
fn night() -> (TempDir, App) {
    let folder = TempDir::new().expect("a folder");
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/sandpiper.ron");
    let path = folder.path().join("sandpiper.ron");
    fs::copy(from, &path).expect("a copy of the workboat");
    let document = Document::open(&path).expect("a sound scene");
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(document.scene())), WorkbenchPlugin))
        .insert_resource(Workbench::new(document));
    app.update();
    (folder, app)
}

fn work(app: &mut App, work: Work) {
    app.world_mut().write_message(work);
    app.update();
}

fn bench(app: &App) -> &Workbench {
    app.world().resource::<Workbench>()
}

fn raised(up: f64) -> Work {
    let to = Place { forward: 4.6, starboard: 0.7, height: Height::AboveDeck(up) };
    Work::Do(Edit::Move { what: Spot::Lamp(LAMP), to })
}

fn text(folder: &TempDir) -> String {
    fs::read_to_string(folder.path().join("sandpiper.ron")).expect("the scene file")
}

#[test]
fn a_lamp_moved_and_saved_changes_one_number_of_the_file_and_nothing_else() {
    let (folder, mut app) = night();
    let before = text(&folder);
    work(&mut app, Work::Choose(Some(Subject::Lamp(LAMP))));
    work(&mut app, Work::BeginDrag);
    for up in [0.05, 0.1, 0.25] {
        work(&mut app, raised(up));
    }
    work(&mut app, Work::EndDrag);
    assert!(bench(&app).document().is_changed());
    assert_eq!(text(&folder), before, "nothing is written before it is saved");
    work(&mut app, Work::Save);
    assert!(!bench(&app).document().is_changed());
    let by_hand = before.replacen(
        "at: (forward: 4.6, starboard: 0.7, above_deck: 0.03)",
        "at: (forward: 4.6, starboard: 0.7, above_deck: 0.25)",
        1,
    );
    assert_ne!(by_hand, before);
    assert_eq!(text(&folder), by_hand);
    let kept = fs::read_to_string(folder.path().join("sandpiper.ron~")).expect("the version before");
    assert_eq!(kept, before);
    let again = Document::open(&folder.path().join("sandpiper.ron")).expect("a sound scene");
    assert_eq!(again.scene().fits[0].lamps[0].at.map(|at| at.height), Some(Height::AboveDeck(0.25)));
}

#[test]
fn one_drag_is_one_step_and_what_is_known_follows_each_of_its_moves() {
    let (_folder, mut app) = night();
    let height = |app: &App| app.world().resource::<Known>().stance.posed().lamps[0].centre.z;
    let rest = height(&app);
    let mut before = rest;
    work(&mut app, Work::BeginDrag);
    for up in [0.05, 0.1, 0.25] {
        work(&mut app, raised(up));
        assert!(height(&app) > before);
        before = height(&app);
        assert!(app.world().resource::<Judged>().0.is_some());
    }
    work(&mut app, Work::EndDrag);
    work(&mut app, Work::Undo);
    assert!((height(&app) - rest).abs() < 1e-12);
    assert!(!bench(&app).document().is_changed());
    work(&mut app, Work::Redo);
    assert!((height(&app) - before).abs() < 1e-12);
}

#[test]
fn what_the_reader_refuses_is_told_and_not_done() {
    let (_folder, mut app) = night();
    let scene = Arc::clone(&app.world().resource::<Shown>().0);
    work(&mut app, raised(-0.5));
    let said = bench(&app).said().expect("a sentence");
    assert!(said.wrong && !said.words.is_empty());
    assert!(Arc::ptr_eq(&scene, &app.world().resource::<Shown>().0));
}

#[test]
fn a_lamp_that_is_deleted_is_no_longer_chosen_and_another_fit_has_its_own() {
    let (_folder, mut app) = night();
    work(&mut app, Work::Choose(Some(Subject::Lamp(LAMP))));
    app.world_mut().write_message(Act::NextFit);
    app.update();
    let there = Subject::Lamp(LampAt { fit: 1, lamp: 0 });
    assert_eq!(bench(&app).chosen(), Some(there), "the lamp of the same name");
    work(&mut app, Work::Do(Edit::Remove(there)));
    assert_eq!(app.world().resource::<Shown>().0.fits[1].lamps.len(), 2);
    work(&mut app, Work::Choose(Some(Subject::Lamp(LampAt { fit: 1, lamp: 1 }))));
    work(&mut app, Work::Do(Edit::Remove(Subject::Lamp(LampAt { fit: 1, lamp: 1 }))));
    assert_eq!(bench(&app).chosen(), None);
    assert_eq!(app.world().resource::<Choice>().fit, 1);
}

#[test]
fn a_status_that_was_asked_for_may_still_be_chosen_after_a_change() {
    let (_folder, mut app) = night();
    app.world_mut().resource_mut::<Choice>().asked = Some(Status::Aground);
    work(&mut app, raised(0.2));
    let statuses = |app: &App| app.world().resource::<Choice>().statuses(&app.world().resource::<Shown>().0);
    assert_eq!(statuses(&app), [Status::UnderWay, Status::AtAnchor, Status::Aground]);
    for expected in [Status::AtAnchor, Status::Aground, Status::UnderWay] {
        app.world_mut().write_message(Act::OtherStatus);
        app.update();
        assert_eq!(app.world().resource::<Choice>().status, expected);
    }
}

#[test]
fn a_file_that_others_change_is_read_again_and_a_conflict_asks() {
    let (folder, mut app) = night();
    let path = folder.path().join("sandpiper.ron");
    let wait = |app: &mut App| {
        std::thread::sleep(std::time::Duration::from_millis(1100));
        app.update();
    };
    fs::write(&path, text(&folder).replace("name: \"Sandpiper\"", "name: \"Redshank\"")).expect("a change");
    wait(&mut app);
    assert_eq!(app.world().resource::<Shown>().0.name, "Redshank");
    work(&mut app, raised(0.2));
    fs::write(&path, text(&folder).replace("Redshank", "Greenshank")).expect("another change");
    wait(&mut app);
    assert!(bench(&app).is_in_conflict());
    assert_eq!(app.world().resource::<Shown>().0.name, "Redshank", "nothing is taken unasked");
    work(&mut app, Work::TakeTheirs);
    assert!(!bench(&app).is_in_conflict());
    assert_eq!(app.world().resource::<Shown>().0.name, "Greenshank");
}

#[test]
fn unsaved_work_is_offered_when_the_scene_is_opened_again() {
    let (folder, mut app) = night();
    work(&mut app, raised(0.2));
    app.update();
    assert!(folder.path().join("sandpiper.ron.recovery").exists());
    drop(app);
    let document = Document::open(&folder.path().join("sandpiper.ron")).expect("a sound scene");
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(document.scene())), WorkbenchPlugin))
        .insert_resource(Workbench::new(document));
    app.update();
    assert!(bench(&app).offer().is_some());
    work(&mut app, Work::Recover);
    let height = app.world().resource::<Shown>().0.fits[0].lamps[0].at.map(|at| at.height);
    assert_eq!(height, Some(Height::AboveDeck(0.2)));
    assert!(bench(&app).offer().is_none());
}
