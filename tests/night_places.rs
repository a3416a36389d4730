//! Places for a lamp in the window, without any rendering: looked for beside the picture, taken as a new fit, and undone.
#![cfg(feature = "night")]

use std::{
    path::Path,
    sync::Arc,
    time::{Duration, Instant},
};

use bevy::prelude::*;
use lampwalk::{
    edit::{Document, LampAt, Subject},
    fitting::place::{Proposals, Verdict},
    night::{Act, Choice, Judged, LogicPlugins, Places, PlacesPlugin, Seek, Work, Workbench, WorkbenchPlugin},
    rules::Severity,
};

/// The starboard sidelight of Sandpiper as found, which lies flat on deck.
const LAMP: LampAt = LampAt { fit: 0, lamp: 0 };

fn night() -> (tempfile::TempDir, App) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("sandpiper.ron");
    std::fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/sandpiper.ron"), &path).expect("copied");
    let document = Document::open(&path).expect("sound");
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(document.scene())), WorkbenchPlugin, PlacesPlugin))
        .insert_resource(Workbench::kept_in(document, Some(folder.path())));
    app.update();
    app.world_mut().write_message(Work::Choose(Some(Subject::Lamp(LAMP))));
    app.update();
    (folder, app)
}

fn seek(app: &mut App, seek: Seek) {
    app.world_mut().write_message(seek);
    app.update();
}

fn found(app: &App) -> Option<&Proposals> {
    app.world().resource::<Places>().found(LAMP)
}

/// Lets frames pass until the search is done.
fn wait(app: &mut App) {
    let begun = Instant::now();
    while found(app).is_none() {
        assert!(begun.elapsed() < Duration::from_secs(300), "the search ends");
        std::thread::sleep(Duration::from_millis(20));
        app.update();
    }
}

#[test]
fn a_place_that_is_taken_becomes_a_new_fit_in_which_the_lamp_is_without_fault_and_one_undo_takes_it_back() {
    let (_folder, mut app) = night();
    seek(&mut app, Seek::Lamp(LAMP));
    wait(&mut app);
    let places = found(&app).expect("there");
    assert!(places.passes() && places.ghosts.len() > 500, "{} places", places.ghosts.len());
    assert!(places.ghosts.iter().any(|ghost| ghost.verdict == Verdict::Proposed(0)));
    let bench = app.world().resource::<Workbench>();
    let (before, name) = (Arc::clone(bench.document().scene()), bench.document().scene().fits[0].lamps[0].name.clone());

    seek(&mut app, Seek::Take(0));
    let after = Arc::clone(app.world().resource::<Workbench>().document().scene());
    assert_eq!(after.fits.len(), before.fits.len() + 1);
    assert_eq!(app.world().resource::<Choice>().fit, 1);
    assert!(after.fits[1].name.starts_with("as found") && after.fits[1].lamps[0].at != before.fits[0].lamps[0].at);
    app.update();
    let judged = app.world().resource::<Judged>().0.clone().expect("judged at once without a window");
    let of_it = judged.judgement.findings.iter().filter(|finding| finding.lamp.as_ref() == Some(&name));
    let faults: Vec<&str> = of_it.filter(|one| one.severity == Severity::Fault).map(|one| one.what.as_str()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    assert!(found(&app).is_none(), "what was found was of the boat before");

    app.world_mut().write_message(Work::Undo);
    app.update();
    assert_eq!(*app.world().resource::<Workbench>().document().scene().as_ref(), *before);
}

#[test]
fn a_search_is_let_go_when_something_else_is_chosen() {
    let (_folder, mut app) = night();
    seek(&mut app, Seek::Lamp(LAMP));
    assert!(app.world().resource::<Places>().is_looking(LAMP));
    app.world_mut().write_message(Work::Choose(None));
    app.update();
    app.update();
    assert!(!app.world().resource::<Places>().is_looking(LAMP) && found(&app).is_none());
    seek(&mut app, Seek::Take(0));
    app.world_mut().write_message(Act::NextFit);
    app.update();
    assert!(!app.world().resource::<Workbench>().document().is_changed());
}
