//! Keys, mouse and trackpad, turned into acts. A window's plugin: pictures and tests have no hands.

use bevy::{
    ecs::system::SystemParam,
    input::{
        ButtonState,
        gestures::PinchGesture,
        keyboard::{Key, KeyboardInput},
        mouse::{AccumulatedMouseMotion, MouseScrollUnit, MouseWheel},
    },
    prelude::*,
};
use bevy_egui::input::EguiWantsInput;

use super::{
    Act, Card, Choice, Grip, Observer, Steps, View, Work, Workbench,
    frame::drawn,
    grip::{Picture, grip},
    nudge::nudge,
    regard::{Aim, Line},
    ring,
    sea::Covered,
    workbench::subject_of,
};
use crate::edit::{Edit, LampAt, Subject};

/// Listens to keys and pointer.
pub struct HandsPlugin;

impl Plugin for HandsPlugin {
    fn build(&self, app: &mut App) {
        app.add_message::<Work>()
            .init_resource::<Grip>()
            .add_systems(Update, (strike, nudge, hold, (grip, drag, point, aim).chain(), scroll).in_set(Steps::Hands));
    }
}

/// Every key that does one thing when struck, with what it does, for the list of keys.
pub const KEYS: &[(&str, &str)] = &[
    ("F", "next fit; the eye stays where it is"),
    ("L", "under way / at anchor"),
    ("1  2  3", "aloft / afloat / on deck; 3 again: close to what is chosen"),
    ("[  ]  or  ,  .", "previous / next observer of the ring"),
    ("click on a mark", "go to that observer"),
    ("click on her", "choose a lamp or a part; its handles move and turn it (Alt: freely)"),
    ("Alt and arrows", "move what is chosen by 5 mm; Page Up, Page Down: up, down"),
    ("Delete", "take what is chosen away"),
    ("Ctrl Z, Ctrl Y", "undo, redo"),
    ("Ctrl S, Ctrl Shift S", "save; save under another name"),
    ("Ctrl O", "open a scene; again: the system's own dialog. Or drop one here"),
    ("K  or  F12", "keep the window as a picture, beside the scene"),
    ("Esc", "back aloft"),
    ("arrows, drag", "turn round her; afloat: walk round, nearer, farther"),
    ("+  -, wheel, pinch", "nearer / farther"),
    ("X", "bare eye / glasses x7 / boat fills the view"),
    ("O", "overtaking sector"),
    ("A", "arcs: the band of what must show, and the fan of a chosen lamp"),
    ("G", "ring of observers"),
    ("S", "sea moving / held"),
    ("B", "the next fit beside this one"),
    ("M", "moon / none"),
    ("R", "all in red, for use aboard / in its colours"),
    ("H  or  ?", "this list"),
];

/// The act of a key that is struck once.
fn act_of(key: &Key) -> Option<Act> {
    let Key::Character(character) = key else {
        return (*key == Key::Escape).then_some(Act::View(View::Aloft));
    };
    Some(match character.to_lowercase().as_str() {
        "f" => Act::NextFit,
        "l" => Act::OtherStatus,
        "o" => Act::Sector,
        "a" => Act::Arcs,
        "g" => Act::Ring,
        "s" => Act::Sea,
        "b" => Act::Split,
        "m" => Act::Moon,
        "r" => Act::Red,
        "h" | "?" => Act::Help,
        "x" => Act::NextSight,
        "1" => Act::View(View::Aloft),
        "2" => Act::View(View::Afloat),
        "3" => Act::View(View::Deck),
        "[" | "," => Act::NextObserver(-1),
        "]" | "." => Act::NextObserver(1),
        _ => return None,
    })
}

/// Whether a panel has the keyboard or the pointer.
#[derive(SystemParam)]
pub(super) struct Taken<'w> {
    egui: Option<Res<'w, EguiWantsInput>>,
}

impl Taken<'_> {
    pub(super) fn keys(&self) -> bool {
        self.egui.as_ref().is_some_and(|egui| egui.wants_any_keyboard_input())
    }

    pub(super) fn pointer(&self) -> bool {
        self.egui.as_ref().is_some_and(|egui| egui.wants_any_pointer_input())
    }
}

/// What a key does to the scene while Ctrl is held (on a Mac, Command).
fn work_of(key: &Key, shift: bool, asked: Option<&Card>) -> Option<Work> {
    let Key::Character(character) = key else { return None };
    match (character.to_lowercase().as_str(), shift, asked) {
        ("o", false, Some(Card::Open(_))) | ("s", true, Some(Card::SaveAs { .. })) => Some(Work::Browse),
        // While something is asked about files, nothing is done to them.
        (_, _, Some(_)) => None,
        ("z", false, _) => Some(Work::Undo),
        ("z", true, _) | ("y", ..) => Some(Work::Redo),
        ("s", false, _) => Some(Work::Save),
        ("s", true, _) => Some(Work::AskSaveAs),
        ("o", false, _) => Some(Work::AskOpen),
        _ => None,
    }
}

/// The key that keeps a picture.
fn is_for_picture(key: &Key) -> bool {
    matches!(key, Key::F12) || matches!(key, Key::Character(letter) if letter.eq_ignore_ascii_case("k"))
}

/// Which keys are held that give others another meaning, as the stream of keys tells it: on a slow machine one may be
/// struck and let go within a frame.
#[derive(Default)]
struct Held {
    control: bool,
    shift: bool,
}

impl Held {
    fn follow(&mut self, key: &KeyboardInput) {
        let pressed = key.state == ButtonState::Pressed;
        match key.key_code {
            KeyCode::ControlLeft | KeyCode::ControlRight | KeyCode::SuperLeft | KeyCode::SuperRight => {
                self.control = pressed;
            }
            KeyCode::ShiftLeft | KeyCode::ShiftRight => self.shift = pressed,
            _ => {}
        }
    }
}

fn strike(
    taken: Taken,
    mut held: Local<Held>,
    bench: Option<Res<Workbench>>,
    mut keys: MessageReader<KeyboardInput>,
    mut acts: MessageWriter<Act>,
    mut works: MessageWriter<Work>,
) {
    for key in keys.read() {
        held.follow(key);
        if key.state != ButtonState::Pressed {
            continue;
        }
        let asked = bench.as_ref().and_then(|bench| bench.card());
        if held.control {
            // Undo goes on as long as it is held, and a figure that has the keyboard has no use for these.
            if bench.is_some() {
                works.write_batch(work_of(&key.logical_key, held.shift, asked));
            }
        } else if !key.repeat && !taken.keys() && asked.is_none() {
            acts.write_batch(act_of(&key.logical_key));
            let chosen = bench.as_ref().and_then(|bench| bench.chosen());
            if let (Key::Delete, Some(subject)) = (&key.logical_key, chosen) {
                works.write(Work::Do(Edit::Remove(subject)));
            }
            works.write_batch(is_for_picture(&key.logical_key).then_some(Work::Picture));
        }
    }
}

/// Keys that work as long as they are held.
fn hold(
    taken: Taken,
    time: Res<Time>,
    choice: Res<Choice>,
    keys: Res<ButtonInput<KeyCode>>,
    mut acts: MessageWriter<Act>,
) {
    // With Alt the arrows move what is chosen.
    if taken.keys() || keys.any_pressed([KeyCode::AltLeft, KeyCode::AltRight]) {
        return;
    }
    let seconds = f64::from(time.delta_secs().min(0.1));
    let held = |some: &[KeyCode]| f64::from(u8::from(keys.any_pressed(some.iter().copied())));
    let across = held(&[KeyCode::ArrowRight]) - held(&[KeyCode::ArrowLeft]);
    let up = held(&[KeyCode::ArrowUp]) - held(&[KeyCode::ArrowDown]);
    let nearer = held(&[KeyCode::Equal, KeyCode::NumpadAdd]) - held(&[KeyCode::Minus, KeyCode::NumpadSubtract]);
    // Walking round her slowly is how a sector's edge is found.
    let pace = if choice.view == View::Afloat { 20.0 } else { -60.0 };
    if across != 0.0 {
        acts.write(Act::Round(across * pace * seconds));
    }
    if up != 0.0 {
        acts.write(Act::Raise(up * 40.0 * seconds));
    }
    if nearer != 0.0 {
        acts.write(Act::Away((-nearer * 1.2 * seconds).exp()));
    }
}

fn drag(
    taken: Taken,
    grip: Res<Grip>,
    choice: Res<Choice>,
    buttons: Res<ButtonInput<MouseButton>>,
    motion: Res<AccumulatedMouseMotion>,
    mut acts: MessageWriter<Act>,
) {
    if !buttons.any_pressed([MouseButton::Left, MouseButton::Right]) || taken.pointer() || grip.is_busy() {
        return;
    }
    let by = motion.delta.as_dvec2();
    let pace = if choice.view == View::Afloat { -0.08 } else { 0.3 };
    if by.x != 0.0 {
        acts.write(Act::Round(by.x * pace));
    }
    if by.y != 0.0 && choice.view != View::Afloat {
        acts.write(Act::Raise(by.y * 0.3));
    }
}

fn scroll(
    taken: Taken,
    mut wheels: MessageReader<MouseWheel>,
    mut pinches: MessageReader<PinchGesture>,
    mut acts: MessageWriter<Act>,
) {
    // A notch of a wheel counts as much as forty pixels of a trackpad.
    let turned: f32 =
        wheels.read().map(|wheel| if wheel.unit == MouseScrollUnit::Line { wheel.y } else { wheel.y / 40.0 }).sum();
    let pinched: f32 = pinches.read().map(|pinch| pinch.0).sum();
    let nearer = f64::from(turned * 0.12 + pinched);
    if nearer != 0.0 && !taken.pointer() {
        acts.write(Act::Away((-nearer).exp()));
    }
}

/// How near a click must come to a mark, in logical pixels.
const REACH: f32 = 26.0;
/// How far the pointer may stray between press and release of a click.
const STRAY: f32 = 5.0;

/// The pointer and the ring it may point at.
#[derive(SystemParam)]
struct Pointing<'w, 's> {
    picture: Picture<'w, 's>,
    observers: Query<'w, 's, &'static Observer>,
    covered: Option<Res<'w, Covered>>,
}

/// How near a click must come to a lamp, in logical pixels.
const AT_LAMP: f32 = 16.0;

impl Pointing<'_, '_> {
    /// Whether panels have the pointer is known a frame late, which the tap of a finger does not wait for.
    fn is_behind_a_card(&self, pointer: Vec2) -> bool {
        self.covered.as_ref().is_some_and(|covered| covered.hides(pointer, self.picture.lens().size))
    }

    /// The observer whose spot or marks are nearest to a place in the window, when any is near and the ring is drawn.
    fn observer_at(&self, pointer: Vec2) -> Option<usize> {
        let (choice, known, lens) = (&self.picture.choice, &self.picture.known, self.picture.lens());
        if !choice.ring || choice.view != View::Aloft || choice.split {
            return None;
        }
        let off = |observer: &Observer| {
            ring::mark_places(known, observer)
                .filter_map(|at| lens.rig.project(lens.size, at))
                .map(|at| at.distance(pointer))
                .min_by(f32::total_cmp)
        };
        let near = self.observers.iter().filter_map(|observer| Some((observer.number, off(observer)?)));
        near.filter(|(_, off)| *off < REACH).min_by(|one, other| one.1.total_cmp(&other.1)).map(|(number, _)| number)
    }

    /// The lamp of the shown fit nearest to a place in the window, or else what is met there first.
    fn subject_at(&self, pointer: Vec2) -> Option<Subject> {
        let (stance, fit) = (&self.picture.known.stance, self.picture.choice.fit);
        let lens = self.picture.lens();
        let off = |centre| {
            let at = lens.rig.project(lens.size, drawn(stance.level(centre)))?;
            Some(at.distance(pointer)).filter(|off| *off < AT_LAMP)
        };
        let near = stance.posed().lamps.iter().enumerate();
        let near = near.filter_map(|(lamp, posed)| Some((lamp, off(posed.centre)?)));
        if let Some((lamp, _)) = near.min_by(|one, other| one.1.total_cmp(&other.1)) {
            return Some(Subject::Lamp(LampAt { fit, lamp }));
        }
        Line::through(&lens, pointer).first_met(stance, 1e4).map(|owner| subject_of(owner, fit))
    }
}

/// Where the pointer aims, unless it turns the picture, or a handle or a panel has it.
fn aim(taken: Taken, buttons: Res<ButtonInput<MouseButton>>, grip: Res<Grip>, picture: Picture, mut aim: ResMut<Aim>) {
    let busy = taken.pointer() || grip.over.is_some() || buttons.get_pressed().next().is_some();
    let pointer = picture.pointer().filter(|_| !busy && !picture.choice.split);
    aim.set_if_neq(Aim(pointer.map(|pointer| Line::through(&picture.lens(), pointer))));
}

/// A click on an observer's marks goes to him; one on the boat chooses what is there.
fn point(
    taken: Taken,
    grip: Res<Grip>,
    buttons: Res<ButtonInput<MouseButton>>,
    pointing: Pointing,
    mut pressed: Local<Option<Vec2>>,
    mut acts: MessageWriter<Act>,
    mut works: MessageWriter<Work>,
) {
    let Some(pointer) = pointing.picture.pointer() else { return };
    if buttons.just_pressed(MouseButton::Left) {
        let free = !taken.pointer() && !pointing.is_behind_a_card(pointer) && !grip.is_busy();
        *pressed = free.then_some(pointer);
    }
    if buttons.just_released(MouseButton::Left)
        && let Some(start) = pressed.take()
        && start.distance(pointer) <= STRAY
    {
        match pointing.observer_at(pointer) {
            Some(observer) => {
                acts.write(Act::Observer(observer));
            }
            // Afloat a click is a miss more often than a wish.
            None if pointing.picture.may_choose() => {
                works.write(Work::Choose(pointing.subject_at(pointer)));
            }
            None => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_gives_keys_another_meaning() {
        let key = |letter: &str| Key::Character(letter.into());
        assert_eq!(work_of(&key("z"), false, None), Some(Work::Undo));
        assert_eq!(work_of(&key("Z"), true, None), Some(Work::Redo));
        assert_eq!(work_of(&key("y"), false, None), Some(Work::Redo));
        assert_eq!(work_of(&key("s"), false, None), Some(Work::Save));
        assert_eq!(work_of(&key("S"), true, None), Some(Work::AskSaveAs));
        assert_eq!(work_of(&key("o"), false, None), Some(Work::AskOpen));
        assert_eq!(work_of(&key("f"), false, None), None);
    }

    #[test]
    fn the_key_that_asks_for_a_name_struck_again_asks_the_system_for_it() {
        let key = |letter: &str| Key::Character(letter.into());
        let save = Card::SaveAs { folder: "/boats".into(), name: "curlew.ron".into(), next: None };
        assert_eq!(work_of(&key("S"), true, Some(&save)), Some(Work::Browse));
        assert_eq!(work_of(&key("o"), false, Some(&save)), None);
        assert_eq!(work_of(&key("z"), false, Some(&save)), None);
    }

    #[test]
    fn a_key_does_the_same_with_and_without_shift() {
        for (small, great) in [("f", "F"), ("o", "O"), ("a", "A"), ("h", "H")] {
            assert_eq!(act_of(&Key::Character(small.into())), act_of(&Key::Character(great.into())));
        }
        assert_eq!(act_of(&Key::Character("?".into())), Some(Act::Help));
        assert_eq!(act_of(&Key::Character("q".into())), None);
    }
}
