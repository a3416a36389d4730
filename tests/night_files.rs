//! Which file the night works on, without any rendering: opened, saved under another name, dropped, left; and what is asked
//! and told on the way.
#![cfg(feature = "night")]

use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};

use bevy::{
    prelude::*,
    render::error_handler::{ErrorType, RenderError},
    window::{FileDragAndDrop, WindowCloseRequested},
};
use lampwalk::{
    boat::{Height, PartKind, Place},
    edit::{Document, Edit, LampAt, Spot, Subject, offered, recent},
    night::{
        Act, Answer, Card, Choice, Fate, Judged, Known, LogicPlugins, Next, Said, Shown, Verdict, View, Work,
        Workbench, WorkbenchPlugin, on_render_error,
    },
};
use tempfile::TempDir;

const LAMP: LampAt = LampAt { fit: 0, lamp: 0 };

/// A folder with the supplied boats, a state folder, and the night on one of the boats.
struct Berth {
    folder: TempDir,
    app: App,
}

impl Berth {
    fn new() -> Self {
        let folder = TempDir::new().expect("a folder");
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
        for name in ["sandpiper.ron", "curlew.ron", "petrel.ron", "petrel.glb"] {
            fs::copy(from.join(name), folder.path().join(name)).expect("a copy of a boat");
        }
        let document = Document::open(&folder.path().join("sandpiper.ron")).expect("a sound scene");
        let app = night(document, &folder.path().join("state"));
        Self { folder, app }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn state(&self) -> PathBuf {
        self.path("state")
    }

    fn work(&mut self, work: Work) {
        self.app.world_mut().write_message(work);
        self.app.update();
    }

    fn change(&mut self) {
        let to = Place { forward: 4.6, starboard: 0.7, height: Height::AboveDeck(0.2) };
        self.work(Work::Do(Edit::Move { what: Spot::Lamp(LAMP), to }));
        assert!(self.bench().document().is_changed());
    }

    fn drop(&mut self, path: PathBuf) {
        let window = Entity::PLACEHOLDER;
        self.app.world_mut().write_message(FileDragAndDrop::DroppedFile { window, path_buf: path });
        self.app.update();
    }

    fn bench(&self) -> &Workbench {
        self.app.world().resource::<Workbench>()
    }

    fn said(&self) -> &Said {
        self.bench().said().expect("a sentence")
    }

    /// The name of the boat, which everything must agree on.
    fn boat(&self) -> &str {
        let world = self.app.world();
        let name = world.resource::<Shown>().0.name.as_str();
        assert_eq!(world.resource::<Known>().scene().name, name);
        assert_eq!(self.bench().document().scene().name, name);
        name
    }

    fn leaves(&self) -> bool {
        !self.app.world().resource::<Messages<AppExit>>().is_empty()
    }
}

fn night(document: Document, state: &Path) -> App {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::clone(document.scene())), WorkbenchPlugin))
        .insert_resource(Workbench::kept_in(document, Some(state)));
    app.update();
    app
}

#[test]
fn everything_follows_another_scene() {
    let mut berth = Berth::new();
    for act in [Act::View(View::Deck), Act::Fit(1), Act::Sea] {
        berth.app.world_mut().write_message(act);
    }
    berth.work(Work::Choose(Some(Subject::Lamp(LampAt { fit: 1, lamp: 0 }))));
    berth.work(Work::AskOpen);
    berth.work(Work::Open(berth.path("curlew.ron")));
    assert_eq!(berth.boat(), "Curlew");
    let world = berth.app.world();
    let scene = &world.resource::<Shown>().0;
    let choice = world.resource::<Choice>();
    assert_eq!(*choice, Choice { sea: false, ..Choice::opening(scene) }, "a sea that is held stays held");
    let lights = |verdict: &Verdict| verdict.survey.lights.iter().map(|light| light.light).collect::<Vec<_>>();
    let verdict = world.resource::<Judged>().0.clone().expect("a verdict");
    assert_eq!(lights(&verdict), lights(&Verdict::of(scene, choice.fit, choice.status)));
    let bench = berth.bench();
    assert_eq!((bench.chosen(), bench.card(), bench.name()), (None, None, "curlew.ron".into()));
    assert_eq!(bench.said().map(|said| said.words.as_str()), Some("curlew.ron is open."));
    assert_eq!(recent(Some(&berth.state())), [berth.path("curlew.ron")]);
    berth.work(Work::Open(berth.path("sandpiper.ron")));
    assert_eq!(berth.boat(), "Sandpiper");
    assert_eq!(recent(Some(&berth.state())), [berth.path("sandpiper.ron"), berth.path("curlew.ron")]);
}

#[test]
fn a_scene_that_cannot_be_read_is_told_with_its_line_and_nothing_changes() {
    let mut berth = Berth::new();
    let text = fs::read_to_string(berth.path("curlew.ron")).unwrap();
    fs::write(berth.path("bad.ron"), text.replacen("beam:", "beem:", 1)).unwrap();
    berth.work(Work::AskOpen);
    berth.work(Work::Open(berth.path("bad.ron")));
    let said = berth.said();
    assert!(said.wrong && said.words.starts_with("bad.ron cannot be opened. Line "), "{}", said.words);
    assert!(said.words.contains("beem") && !said.words.contains('\n'), "{}", said.words);
    assert_eq!(berth.boat(), "Sandpiper");
    assert!(matches!(berth.bench().card(), Some(Card::Open(_))), "another can be chosen at once");
    berth.work(Work::Open(berth.path("gone.ron")));
    assert!(berth.said().words.contains("there is no such file"), "{}", berth.said().words);
}

#[test]
fn scenes_beside_it_and_those_opened_before_are_offered() {
    let mut berth = Berth::new();
    fs::write(berth.path("rules.ron"), "Rules(name: \"mine\")").unwrap();
    berth.work(Work::Open(berth.path("curlew.ron")));
    berth.work(Work::AskOpen);
    let Some(Card::Open(choices)) = berth.bench().card() else { panic!("no card") };
    assert_eq!(choices.here, ["curlew.ron", "petrel.ron", "sandpiper.ron"].map(|name| berth.path(name)));
    assert_eq!(choices.recent, [berth.path("curlew.ron")]);
    let empty = berth.path("empty");
    fs::create_dir(&empty).unwrap();
    berth.work(Work::Open(empty.clone()));
    let Some(Card::Open(choices)) = berth.bench().card() else { panic!("no card") };
    assert_eq!((choices.folder.as_path(), choices.here.len()), (empty.as_path(), 0));
    berth.work(Work::Open(berth.path("petrel")));
    assert_eq!(berth.boat(), "Petrel", "the ending goes without saying");
}

#[test]
fn unsaved_work_is_asked_about_before_another_scene_opens() {
    let mut berth = Berth::new();
    berth.change();
    let text = berth.bench().document().text().to_owned();
    let curlew = berth.path("curlew.ron");
    berth.work(Work::Open(curlew.clone()));
    assert_eq!(berth.bench().card(), Some(&Card::Unsaved { next: Next::Open(curlew.clone()), lost: None }));
    assert_eq!(berth.boat(), "Sandpiper");
    berth.work(Work::Answer(Answer::Stay));
    assert_eq!((berth.boat(), berth.bench().card()), ("Sandpiper", None));
    assert_eq!(berth.bench().document().text(), text);

    berth.work(Work::Open(curlew.clone()));
    berth.work(Work::Answer(Answer::GoOn));
    assert_eq!(berth.boat(), "Curlew");
    let path = berth.path("sandpiper.ron");
    let offer = offered(Some(&path), None).expect("it stays in its recovery file");
    assert_eq!(offer.text.expect("a sound scene"), text);
    assert_ne!(fs::read_to_string(&path).unwrap(), text);
    berth.work(Work::Open(path.clone()));
    assert!(berth.bench().offer().is_some());
    berth.work(Work::Recover);
    assert_eq!(berth.bench().document().text(), text);

    berth.work(Work::Open(curlew));
    berth.work(Work::Answer(Answer::Save));
    assert_eq!(berth.boat(), "Curlew");
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    assert!(!berth.path("sandpiper.ron.recovery").exists());
}

#[test]
fn the_copy_under_another_name_is_worked_on_from_then_on() {
    let mut berth = Berth::new();
    let before = fs::read_to_string(berth.path("sandpiper.ron")).unwrap();
    berth.change();
    berth.work(Work::AskSaveAs);
    assert!(matches!(berth.bench().card(), Some(Card::SaveAs { name, .. }) if name == "sandpiper.ron"));
    berth.work(Work::SaveAs(berth.path("nowhere/copy.ron")));
    assert!(berth.said().wrong);
    assert!(matches!(berth.bench().card(), Some(Card::SaveAs { .. })), "another name can be given at once");
    let copy = berth.path("copy.ron");
    berth.work(Work::SaveAs(copy.clone()));
    assert_eq!((berth.bench().name(), berth.bench().card()), ("copy.ron".into(), None));
    assert!(!berth.bench().document().is_changed());
    assert_eq!(fs::read_to_string(berth.path("sandpiper.ron")).unwrap(), before);
    assert_eq!(fs::read_to_string(&copy).unwrap(), berth.bench().document().text());
    assert_eq!(recent(Some(&berth.state())), [copy]);
    berth.work(Work::Undo);
    berth.work(Work::Save);
    assert_eq!(fs::read_to_string(berth.path("copy.ron")).unwrap(), before);
}

#[test]
fn a_scene_without_a_file_is_saved_under_a_name_and_then_goes_on() {
    let mut berth = Berth::new();
    let text = fs::read_to_string(berth.path("sandpiper.ron")).unwrap();
    berth.app = night(Document::of_text(&text).expect("a sound scene"), &berth.state());
    berth.work(Work::Open(berth.path("curlew.ron")));
    assert_eq!(berth.boat(), "Curlew", "nothing was done to it, so nothing is asked");

    berth.app = night(Document::of_text(&text).expect("a sound scene"), &berth.state());
    berth.change();
    berth.work(Work::Open(berth.path("curlew.ron")));
    berth.work(Work::Answer(Answer::Save));
    assert!(matches!(berth.bench().card(), Some(Card::SaveAs { name, .. }) if name == "sandpiper.ron"));
    berth.work(Work::SaveAs(berth.path("mine.ron")));
    assert_eq!(berth.boat(), "Curlew");
    let mine = Document::open(&berth.path("mine.ron")).expect("a sound scene");
    assert_eq!(mine.scene().fits[0].lamps[0].at.map(|at| at.height), Some(Height::AboveDeck(0.2)));
}

#[test]
fn a_scene_dropped_is_opened_and_a_mesh_becomes_a_part() {
    let mut berth = Berth::new();
    berth.drop(berth.path("petrel.ron"));
    assert_eq!(berth.boat(), "Petrel");
    let meshes = berth.path("meshes");
    fs::create_dir(&meshes).unwrap();
    let block = "v 0 0 0\nv 0.4 0 0\nv 0 0.3 0\nv 0 0 0.2\nf 1 2 3\nf 1 2 4\nf 2 3 4\nf 1 3 4\n";
    fs::write(meshes.join("locker.obj"), block).unwrap();
    berth.drop(meshes.join("locker.obj"));
    let said = berth.said();
    assert!(!said.wrong, "{}", said.words);
    assert_eq!(
        said.words,
        "Added locker: read in m, +z up, +x forward, 0.4 m long, put amidships. Such files mostly lie so; look at it before \
         trusting it."
    );
    let scene = berth.bench().document().scene();
    let last = scene.parts.len() - 1;
    assert_eq!(scene.parts[last].name, "locker");
    assert!(
        matches!(&scene.parts[last].kind, PartKind::Mesh { file, as_hull: false, .. } if file == "meshes/locker.obj")
    );
    assert_eq!(berth.bench().chosen(), Some(Subject::Part(last)));
    assert!(berth.app.world().resource::<Known>().scene().part("locker").is_some());
    berth.drop(meshes.join("locker.obj"));
    assert!(berth.bench().document().scene().part("locker 2").is_some());
    berth.drop(berth.path("sandpiper.ron"));
    assert!(matches!(berth.bench().card(), Some(Card::Unsaved { .. })), "what is unsaved is asked about");
}

#[test]
fn what_cannot_be_dropped_is_told_why() {
    let mut berth = Berth::new();
    fs::write(berth.path("broken.stl"), "solid nothing").unwrap();
    berth.drop(berth.path("broken.stl"));
    assert!(berth.said().wrong && berth.said().words.starts_with("Not added: "), "{}", berth.said().words);
    berth.drop(berth.path("photo.jpeg"));
    let words = &berth.said().words;
    assert!(words.starts_with("photo.jpeg is neither a scene nor a mesh. Drop a scene (.ron)"), "{words}");
    assert!(!berth.bench().document().is_changed());
    let text = fs::read_to_string(berth.path("sandpiper.ron")).unwrap();
    berth.app = night(Document::of_text(&text).expect("a sound scene"), &berth.state());
    berth.drop(berth.path("petrel.glb"));
    assert!(berth.said().words.contains("save it, and drop the mesh again"), "{}", berth.said().words);
    berth.drop(berth.folder.path().to_path_buf());
    assert!(matches!(berth.bench().card(), Some(Card::Open(choices)) if choices.here.len() == 3));
}

#[test]
fn leaving_asks_once_about_unsaved_work() {
    let mut berth = Berth::new();
    berth.change();
    berth.app.world_mut().write_message(WindowCloseRequested { window: Entity::PLACEHOLDER });
    berth.app.update();
    assert!(!berth.leaves());
    assert_eq!(berth.bench().card(), Some(&Card::Unsaved { next: Next::Leave, lost: None }));
    berth.work(Work::Answer(Answer::Stay));
    berth.app.world_mut().write_message(Act::Leave);
    berth.app.update();
    // An act reaches the workbench a frame later at most.
    berth.app.update();
    assert!(!berth.leaves() && berth.bench().card().is_some());
    berth.app.world_mut().write_message(WindowCloseRequested { window: Entity::PLACEHOLDER });
    berth.app.update();
    assert!(berth.leaves(), "asked twice");
    let offer = offered(Some(&berth.path("sandpiper.ron")), None).expect("it is kept for the next time");
    assert_eq!(offer.text.expect("a sound scene"), berth.bench().document().text());
}

#[test]
fn leaving_with_nothing_unsaved_asks_nothing() {
    let mut berth = Berth::new();
    berth.work(Work::Leave);
    assert!(berth.leaves());
    let mut berth = Berth::new();
    berth.change();
    berth.work(Work::Leave);
    berth.work(Work::Answer(Answer::Save));
    assert!(berth.leaves());
    assert!(!berth.bench().document().is_changed());
    assert!(!berth.path("sandpiper.ron.recovery").exists());
}

#[test]
#[cfg(unix)]
fn in_a_folder_that_can_only_be_read_nothing_is_saved_or_lost_and_the_window_stays() {
    let mut berth = Berth::new();
    let mark = |berth: &Berth, readonly: bool| {
        let mut permissions = fs::metadata(berth.folder.path()).unwrap().permissions();
        std::os::unix::fs::PermissionsExt::set_mode(&mut permissions, if readonly { 0o555 } else { 0o755 });
        fs::set_permissions(berth.folder.path(), permissions).unwrap();
    };
    let state = TempDir::new().unwrap();
    let document = Document::open(&berth.path("sandpiper.ron")).expect("a sound scene");
    berth.app = night(document, state.path());
    mark(&berth, true);
    berth.change();
    berth.work(Work::Leave);
    berth.work(Work::Answer(Answer::Save));
    let said = berth.said().clone();
    let (changed, left) = (berth.bench().document().is_changed(), berth.leaves());
    let kept = offered(Some(&berth.path("sandpiper.ron")), Some(state.path())).is_some();
    mark(&berth, false);
    assert!(said.wrong && said.words.contains("is not permitted"), "{}", said.words);
    assert!(changed && !left && kept);
}

#[test]
fn unsaved_work_that_can_be_kept_nowhere_is_not_left_without_a_word() {
    let mut berth = Berth::new();
    let text = fs::read_to_string(berth.path("sandpiper.ron")).unwrap();
    // A file where the state folder should be, and no folder of its own.
    fs::write(berth.path("state"), "").unwrap();
    berth.app = night(Document::of_text(&text).expect("a sound scene"), &berth.state());
    berth.change();
    berth.work(Work::Leave);
    berth.work(Work::Answer(Answer::GoOn));
    assert!(!berth.leaves());
    assert!(matches!(berth.bench().card(), Some(Card::Unsaved { lost: Some(_), .. })));
    berth.work(Work::Answer(Answer::GoOn));
    assert!(berth.leaves(), "told once");
}

#[test]
fn a_lost_graphics_adapter_closes_the_window_with_a_sentence_and_the_work_is_kept() {
    let mut berth = Berth::new();
    berth.change();
    // Within ten seconds of the last time, so not yet written.
    let to = Place { forward: 4.6, starboard: 0.7, height: Height::AboveDeck(0.3) };
    berth.work(Work::Do(Edit::Move { what: Spot::Lamp(LAMP), to }));
    let error = RenderError { ty: ErrorType::DeviceLost, description: "it fell out\nat once".into(), source: None };
    on_render_error(&error, berth.app.world_mut(), &mut World::new());
    assert!(berth.leaves());
    assert_eq!(
        berth.app.world().resource::<Fate>().why(),
        "the graphics adapter was lost, so the window closed (it fell out); what was not saved is offered when the scene \
         is opened again"
    );
    let offer = offered(Some(&berth.path("sandpiper.ron")), None).expect("it is offered");
    assert_eq!(offer.text.expect("a sound scene"), berth.bench().document().text());
}
