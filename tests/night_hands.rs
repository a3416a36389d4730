//! Keys and pointer as they come from a window, without any rendering: choosing, pulling, undoing, saving, opening again.
#![cfg(feature = "night")]

use std::{fs, path::Path, sync::Arc};

use bevy::{
    input::{
        ButtonState, InputPlugin,
        keyboard::{Key, KeyCode, KeyboardInput},
        mouse::MouseButtonInput,
    },
    prelude::*,
    window::{PrimaryWindow, WindowResolution},
};
use glam::DVec3;
use lampwalk::{
    boat::Height,
    edit::{Document, LampAt, Subject},
    night::{
        Act, Caught, Choice, EyePlugin, Grip, HandsPlugin, Hold, Known, LogicPlugins, Rig, View, Workbench,
        WorkbenchPlugin, frame::drawn,
    },
};
use tempfile::TempDir;

const LAMP: LampAt = LampAt { fit: 0, lamp: 0 };

struct Night {
    folder: TempDir,
    app: App,
    window: Entity,
}

impl Night {
    /// The workboat.
    fn new() -> Self {
        Self::of("sandpiper")
    }

    /// A boat in a folder of her own, seen on deck.
    fn of(name: &str) -> Self {
        let folder = TempDir::new().expect("a folder");
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
        let path = folder.path().join(name).with_extension("ron");
        fs::copy(from, &path).expect("a copy of the boat");
        let document = Document::open(&path).expect("a sound scene");
        let mut app = App::new();
        app.add_plugins((MinimalPlugins, InputPlugin, LogicPlugins::of(Arc::clone(document.scene()))))
            .add_plugins((EyePlugin, HandsPlugin, WorkbenchPlugin))
            .insert_resource(Workbench::new(document));
        let window = Window { resolution: WindowResolution::new(1280, 720), ..default() };
        let window = app.world_mut().spawn((window, PrimaryWindow)).id();
        let mut night = Self { folder, app, window };
        night.app.update();
        night.app.world_mut().write_message(Act::View(View::Deck));
        night.settle();
        night
    }

    fn settle(&mut self) {
        self.app.update();
        self.app.update();
    }

    fn point(&mut self, at: Vec2) {
        let mut window = self.app.world_mut().get_mut::<Window>(self.window).expect("a window");
        window.set_cursor_position(Some(at));
        self.app.update();
    }

    fn button(&mut self, state: ButtonState) {
        let message = MouseButtonInput { button: MouseButton::Left, state, window: self.window };
        self.app.world_mut().write_message(message);
        self.app.update();
    }

    fn click(&mut self, at: Vec2) {
        self.point(at);
        self.button(ButtonState::Pressed);
        self.button(ButtonState::Released);
        self.settle();
    }

    fn key(&mut self, key_code: KeyCode, logical_key: Key, state: ButtonState) {
        let window = self.window;
        let message = KeyboardInput { key_code, logical_key, state, text: None, repeat: false, window };
        self.app.world_mut().write_message(message);
        self.app.update();
    }

    fn with_control(&mut self, key_code: KeyCode, letter: &str) {
        self.key(KeyCode::ControlLeft, Key::Control, ButtonState::Pressed);
        self.key(key_code, Key::Character(letter.into()), ButtonState::Pressed);
        self.key(key_code, Key::Character(letter.into()), ButtonState::Released);
        self.key(KeyCode::ControlLeft, Key::Control, ButtonState::Released);
    }

    fn bench(&self) -> &Workbench {
        self.app.world().resource::<Workbench>()
    }

    fn grip(&self) -> &Grip {
        self.app.world().resource::<Grip>()
    }

    /// Where a point of the vessel frame is in the picture.
    fn project(&self, point: impl Fn(&Known) -> DVec3) -> Vec2 {
        let known = self.app.world().resource::<Known>();
        let at = drawn(known.stance.level(point(known)));
        self.app.world().resource::<Rig>().project(Vec2::new(1280.0, 720.0), at).expect("in the picture")
    }

    /// Where the first lamp is in the picture.
    fn lamp(&self) -> Vec2 {
        self.project(|known| known.stance.posed().lamps[LAMP.lamp].centre)
    }

    /// Both ends of a handle.
    fn handle(&self, hold: Hold) -> (Vec2, Vec2) {
        let found = self.grip().handles.iter().find(|handle| handle.hold == hold).expect("a handle");
        (found.from, found.to)
    }

    fn pull(&mut self, hold: Hold, by: impl Fn(Vec2, Vec2) -> Vec2) {
        let (from, to) = self.handle(hold);
        self.point(to);
        self.button(ButtonState::Pressed);
        let end = by(from, to);
        for step in 1..=8 {
            self.point(to.lerp(end, step as f32 / 8.0));
        }
        self.button(ButtonState::Released);
        self.settle();
    }

    fn text(&self) -> String {
        fs::read_to_string(self.folder.path().join("sandpiper.ron")).expect("the scene file")
    }

    fn place(&self) -> lampwalk::boat::Place {
        LAMP.of(self.bench().document().scene()).and_then(|lamp| lamp.at).expect("a lamp with a place")
    }
}

#[test]
fn a_lamp_is_chosen_pulled_up_undone_and_saved_as_if_the_file_had_been_edited_by_hand() {
    let mut night = Night::new();
    let before = night.text();
    let at = night.lamp();
    night.click(at);
    assert_eq!(night.bench().chosen(), Some(Subject::Lamp(LAMP)));
    let view = night.app.world().resource::<Choice>().clone();
    night.pull(Hold::Up, |from, to| to + (to - from));
    assert_eq!(*night.app.world().resource::<Choice>(), view, "what is pulled does not turn the picture");
    let Height::AboveDeck(up) = night.place().height else { panic!("it keeps the level it is measured from") };
    assert!(up > 0.1, "{up}");
    assert!(((up / 0.005).round() * 0.005 - up).abs() < 1e-9, "by steps of five millimetres: {up}");
    assert_eq!(night.bench().document().steps().1, 1, "one pull is one step");

    night.with_control(KeyCode::KeyZ, "z");
    assert!(!night.bench().document().is_changed());
    night.with_control(KeyCode::KeyY, "y");
    night.with_control(KeyCode::KeyS, "s");
    let written = format!("{}", (up * 1000.0).round() / 1000.0);
    let by_hand =
        before.replacen("starboard: 0.7, above_deck: 0.03", &format!("starboard: 0.7, above_deck: {written}"), 1);
    assert_ne!(by_hand, before);
    assert_eq!(night.text(), by_hand);
    let again = Document::open(&night.folder.path().join("sandpiper.ron")).expect("a sound scene");
    assert_eq!(LAMP.of(again.scene()).and_then(|lamp| lamp.at), Some(night.place()));
}

#[test]
fn a_lamp_pulled_inboard_is_caught_by_the_centreline_and_with_alt_it_is_not() {
    let mut night = Night::new();
    let at = night.lamp();
    night.click(at);
    let start = night.place().starboard;
    let (from, to) = night.handle(Hold::Athwart);
    // How many pixels a metre is along this stroke is found by a short pull.
    night.pull(Hold::Athwart, |from, to| to - (to - from) * 0.5);
    let metres = (start - night.place().starboard).abs();
    assert!(metres > 0.01);
    night.with_control(KeyCode::KeyZ, "z");
    let inboard = |off: f64| -(to - from) * 0.5 * ((start - off) / metres) as f32;
    let near = inboard(0.012);
    night.point(to);
    night.button(ButtonState::Pressed);
    night.point(to + near * 0.5);
    night.point(to + near);
    assert_eq!(night.grip().held().and_then(|(_, caught)| caught), Some(Caught::Centreline));
    night.settle();
    assert_eq!(night.place().starboard, 0.0);
    night.key(KeyCode::AltLeft, Key::Alt, ButtonState::Pressed);
    night.settle();
    assert!(night.place().starboard != 0.0 && night.place().starboard.abs() < 0.05, "{}", night.place().starboard);
    night.button(ButtonState::Released);
}

#[test]
fn a_lamp_turned_near_the_centreline_s_direction_falls_parallel() {
    let mut night = Night::of("marigold");
    let at = night.lamp();
    night.click(at);
    let turned = |night: &Night| {
        let known = night.app.world().resource::<Known>();
        known.stance.posed().lamps[LAMP.lamp].turned().expect("it stands upright").0
    };
    assert!(turned(&night).abs() > 4.0, "as found it follows the gunwale: {}", turned(&night));
    // A place on its own level, a degree and a half from where the centreline points.
    let heading = 1.5_f64.to_radians();
    let beside = DVec3::new(heading.cos(), -heading.sin(), 0.0) * 0.4;
    let to = night.project(|known| known.stance.posed().lamps[LAMP.lamp].centre + beside);
    night.pull(Hold::Turn, |_, _| to);
    assert!(turned(&night).abs() < 0.01, "{}", turned(&night));
    assert_eq!(night.bench().document().steps().1, 1);
}

#[test]
fn keys_move_what_is_chosen_by_five_millimetres_and_a_run_of_them_is_one_step() {
    let mut night = Night::new();
    let before = night.place();
    let at = night.lamp();
    night.click(at);
    night.key(KeyCode::AltLeft, Key::Alt, ButtonState::Pressed);
    for _ in 0..3 {
        night.key(KeyCode::ArrowUp, Key::ArrowUp, ButtonState::Pressed);
        night.key(KeyCode::ArrowUp, Key::ArrowUp, ButtonState::Released);
    }
    night.key(KeyCode::ArrowLeft, Key::ArrowLeft, ButtonState::Pressed);
    night.key(KeyCode::PageUp, Key::PageUp, ButtonState::Pressed);
    night.key(KeyCode::AltLeft, Key::Alt, ButtonState::Released);
    night.settle();
    let now = night.place();
    assert!((now.forward - before.forward - 0.015).abs() < 1e-9, "{now:?}");
    assert!((now.starboard - before.starboard + 0.005).abs() < 1e-9, "{now:?}");
    assert_eq!(now.height, Height::AboveDeck(0.035));
    assert_eq!(night.bench().document().steps().1, 1);
    night.key(KeyCode::Delete, Key::Delete, ButtonState::Pressed);
    night.settle();
    assert_eq!(night.bench().document().scene().fits[0].lamps.len(), 3);
    assert_eq!(night.bench().document().steps().1, 2);
}

#[test]
fn a_click_beside_her_chooses_nothing_and_a_drag_there_turns_the_picture() {
    let mut night = Night::new();
    let at = night.lamp();
    night.click(at);
    night.click(Vec2::new(1200.0, 40.0));
    assert_eq!(night.bench().chosen(), None);
    assert!(night.grip().handles.is_empty());
}
