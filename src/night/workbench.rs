//! The scene file that is worked on: what is chosen aboard, changes to it, steps back, saving, and what others do to the
//! file meanwhile.
//!
//! Takes messages of [`Work`]; gives the scene that is [`Shown`]. The only place of the night that changes a scene or
//! touches its file; [`files`] is about which file that is. Must never draw.

mod files;

use std::{
    path::{Path, PathBuf},
    sync::Arc,
    time::Duration,
};

use bevy::{
    prelude::*,
    window::{FileDragAndDrop, PrimaryWindow, WindowCloseRequested},
};

use glam::DVec3;

pub use files::{Answer, Card, Choices, Next, typed, typed_scene};

use super::{
    Act, Choice, Known, Shown, Steps,
    eye::Focus,
    known::{Haste, Verdicts},
    school::out_of_school,
};
use crate::{
    boat::{Owner, Scene},
    edit::{Document, Edit, LampAt, Offer, Outside, Recovery, Subject, offered, state_folder},
    survey::Stance,
};

/// Everything that can be done to the scene and its file.
#[derive(Message, Clone, Debug, PartialEq)]
pub enum Work {
    /// Choose something aboard, or nothing.
    Choose(Option<Subject>),
    Do(Edit),
    /// Add something, by the first of these edits that can be done, and choose it.
    Add(Vec<Edit>),
    /// What follows, up to [`Work::EndDrag`], is one step.
    BeginDrag,
    EndDrag,
    Undo,
    Redo,
    Save,
    /// Others changed the file: keep what is here.
    KeepMine,
    /// Others changed the file: take what is there, as a step that can be undone.
    TakeTheirs,
    /// Take the unsaved work of an earlier session.
    Recover,
    /// Throw it away.
    Discard,
    /// Ask which scene to open.
    AskOpen,
    /// Ask under which name to save.
    AskSaveAs,
    /// Show the system's own dialog for what is asked.
    Browse,
    /// The system's dialog has gone, and nothing was chosen in it.
    NothingBrowsed,
    /// List the scenes of another folder.
    Look(PathBuf),
    /// Open a scene, or look at a folder.
    Open(PathBuf),
    /// Save under another name, and work on that.
    SaveAs(PathBuf),
    /// What is to become of unsaved work.
    Answer(Answer),
    /// Ask no more.
    Dismiss,
    /// A file was dropped on the window.
    Drop(PathBuf),
    /// Keep the window as a picture.
    Picture,
    /// Close the window.
    Leave,
    /// Tell the user something.
    Say(Said),
}

/// A sentence to the user.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    pub words: String,
    /// Whether something was refused or failed.
    pub wrong: bool,
}

/// See the module.
#[derive(Resource, Debug)]
pub struct Workbench {
    document: Document,
    recovery: Recovery,
    chosen: Option<Subject>,
    said: Option<Said>,
    offer: Option<Offer>,
    conflict: bool,
    looked: Duration,
    now: Duration,
    /// The user's state folder: for unsaved work that cannot lie beside its scene, and the scenes opened last.
    state: Option<PathBuf>,
    /// What is asked about files.
    card: Option<Card>,
    /// Whether the document has just been put in place of another.
    opened: bool,
    leaving: bool,
}

impl Workbench {
    pub fn new(document: Document) -> Self {
        Self::kept_in(document, state_folder().as_deref())
    }

    /// The same with another folder in place of the user's state folder.
    pub fn kept_in(document: Document, state: Option<&Path>) -> Self {
        let offer = offered(document.path(), state);
        let recovery = Recovery::new(document.path(), state);
        Self {
            document,
            recovery,
            chosen: None,
            said: None,
            offer,
            conflict: false,
            looked: Duration::ZERO,
            now: Duration::ZERO,
            state: state.map(Path::to_path_buf),
            card: None,
            opened: false,
            leaving: false,
        }
    }

    pub fn document(&self) -> &Document {
        &self.document
    }

    /// What is chosen; it is there.
    pub fn chosen(&self) -> Option<Subject> {
        self.chosen
    }

    /// Lets go of all that is under the hand, while something else is shown.
    pub(super) fn rest(&mut self) {
        self.document.end_drag();
        self.chosen = None;
        self.card = None;
    }

    /// The last that was told.
    pub fn said(&self) -> Option<&Said> {
        self.said.as_ref()
    }

    /// The unsaved work of an earlier session.
    pub fn offer(&self) -> Option<&Offer> {
        self.offer.as_ref()
    }

    /// Whether others changed the file and nobody has said whose is to stay.
    pub fn is_in_conflict(&self) -> bool {
        self.conflict
    }

    /// The name of the file, or of the boat where there is none.
    pub fn name(&self) -> String {
        let file = self.document.path().and_then(|path| path.file_name());
        file.map_or_else(|| self.document.scene().name.clone(), |name| name.to_string_lossy().into_owned())
    }

    fn say(&mut self, words: impl Into<String>) {
        self.said = Some(Said { words: words.into(), wrong: false });
    }

    fn warn(&mut self, words: impl ToString) {
        self.said = Some(Said { words: words.to_string(), wrong: true });
    }

    /// The workbench after a piece of work.
    fn perform(&mut self, work: Work) {
        match work {
            Work::Choose(subject) => self.chosen = subject,
            Work::Do(edit) => {
                self.said = None;
                if let Err(refusal) = self.document.apply(edit) {
                    self.warn(refusal);
                }
            }
            Work::Add(edits) => self.add(edits),
            Work::BeginDrag => self.document.begin_drag(),
            Work::EndDrag => self.document.end_drag(),
            Work::Undo => self.step("Undone", "There is nothing to undo.", Document::undo),
            Work::Redo => self.step("Done again", "There is nothing to do again.", Document::redo),
            Work::Save => self.save(),
            Work::KeepMine => {
                self.document.keep_mine();
                self.conflict = false;
            }
            Work::TakeTheirs => {
                self.conflict = false;
                if let Err(refusal) = self.document.take_theirs() {
                    self.warn(refusal);
                }
            }
            Work::Recover => self.recover(),
            Work::Discard => {
                if let Some(Err(error)) = self.offer.take().map(Offer::discard) {
                    self.warn(format!("It cannot be thrown away: {error}."));
                }
            }
            Work::AskOpen => self.ask_open(),
            Work::AskSaveAs => self.ask_save_as(),
            // Systems of their own see to these.
            Work::Browse | Work::Picture => {}
            Work::NothingBrowsed => {
                self.say("Nothing was chosen in the system's dialog. If none appeared, choose here.")
            }
            Work::Look(folder) => self.look_at(folder),
            Work::Open(path) => self.ask_to(Next::Open(path)),
            Work::SaveAs(path) => self.save_as(&path),
            Work::Answer(answer) => self.answer(answer),
            Work::Dismiss => self.card = None,
            Work::Drop(path) => self.take_dropped(path),
            Work::Leave => self.ask_to(Next::Leave),
            Work::Say(said) => self.said = Some(said),
        }
        self.drop_what_is_gone();
    }

    fn add(&mut self, edits: Vec<Edit>) {
        self.said = None;
        let mut why = None;
        for edit in edits {
            let made = match &edit {
                Edit::AddLamp { at, .. } => Some(Subject::Lamp(*at)),
                Edit::AddPart { at, .. } => Some(Subject::Part(*at)),
                _ => None,
            };
            match self.document.apply(edit) {
                Ok(()) => {
                    self.chosen = made;
                    return;
                }
                Err(refusal) => why = Some(refusal),
            }
        }
        match why {
            Some(refusal) => self.warn(refusal),
            None => self.warn("There is nothing like that to add."),
        }
    }

    fn step<E: ToString>(
        &mut self,
        done: &str,
        nothing: &str,
        step: impl FnOnce(&mut Document) -> Result<Option<String>, E>,
    ) {
        match step(&mut self.document) {
            Ok(Some(label)) => self.say(format!("{done}: {label}")),
            Ok(None) => self.say(nothing),
            Err(why) => self.warn(why),
        }
    }

    fn save(&mut self) {
        self.document.end_drag();
        if self.document.path().is_none() {
            return self.ask_save_as();
        }
        let there = self.document.path().is_some_and(|path| path.exists());
        if there && !self.document.is_changed() && !self.document.differs_outside() {
            return self.say("Nothing was changed since it was saved.");
        }
        match self.document.save() {
            Ok(()) => self.say(format!("Saved. The version before is {}~.", self.name())),
            Err(why) => {
                self.conflict |= self.document.differs_outside();
                self.warn(why);
            }
        }
    }

    fn recover(&mut self) {
        let Some(offer) = self.offer.take() else { return };
        match offer.accept(&mut self.document) {
            Ok(()) => {
                self.recovery.take_over(&offer);
                self.say("Taken. Undo brings back what the file holds.");
            }
            Err(refusal) => {
                self.warn(refusal);
                self.offer = Some(offer);
            }
        }
    }

    /// What is chosen may have been deleted, or undone.
    fn drop_what_is_gone(&mut self) {
        let scene = self.document.scene();
        self.chosen = self.chosen.filter(|subject| is_there(scene, *subject));
    }

    /// Keeps what is not saved safe, and looks whether others changed the file; `now` since the start.
    fn tend(&mut self, now: Duration) {
        self.now = now;
        if let Err(why) = self.recovery.tend(&self.document, now) {
            self.warn(why);
        }
        if now.saturating_sub(self.looked) < LOOK_EVERY {
            return;
        }
        self.looked = now;
        match self.document.look_outside() {
            Outside::Unchanged => {}
            Outside::Reloaded => self.say("The file was changed by another program, and is read again."),
            Outside::Conflict => self.conflict = true,
            Outside::Bad(error) => {
                let first = error.faults().first().map_or_else(|| error.to_string(), |fault| fault.what.clone());
                self.warn(format!("The file was changed and cannot be read now: {first}. What you see here stays."));
            }
            Outside::Gone => self.warn("The file is not there any more. Saving writes it again."),
        }
        self.drop_what_is_gone();
    }
}

/// How often the file is looked at.
const LOOK_EVERY: Duration = Duration::from_secs(1);

/// Whether there is such a thing.
fn is_there(scene: &Scene, subject: Subject) -> bool {
    match subject {
        Subject::Scene => true,
        Subject::Part(part) => part < scene.parts.len(),
        Subject::Fit(fit) => fit < scene.fits.len(),
        Subject::Lamp(lamp) => lamp.of(scene).is_some(),
    }
}

/// What a solid of a fit belongs to.
pub fn subject_of(owner: Owner, fit: usize) -> Subject {
    match owner {
        Owner::Hull => Subject::Scene,
        Owner::Part(part) | Owner::Piece { part, .. } => Subject::Part(part),
        Owner::Mount(lamp) => Subject::Lamp(LampAt { fit, lamp }),
    }
}

/// Lets a scene file be worked on.
pub struct WorkbenchPlugin;

impl Plugin for WorkbenchPlugin {
    fn build(&self, app: &mut App) {
        app.add_message::<Work>()
            .init_resource::<Focus>()
            .add_systems(
                Update,
                (work.in_set(Steps::Work).run_if(out_of_school), follow.in_set(Steps::Know), focus.in_set(Steps::Tell)),
            )
            .add_message::<WindowCloseRequested>()
            .add_message::<FileDragAndDrop>()
            .add_systems(Update, (asked_to_close, dropped).in_set(Steps::Hands))
            .add_systems(Last, (entitle, close));
    }
}

/// The cross of the window's frame, and the act of leaving.
fn asked_to_close(
    mut windows: MessageReader<WindowCloseRequested>,
    mut acts: MessageReader<Act>,
    mut works: MessageWriter<Work>,
) {
    let leaves = acts.read().filter(|act| **act == Act::Leave).count();
    works.write_batch(std::iter::repeat_n(Work::Leave, windows.read().count() + leaves));
}

fn dropped(mut files: MessageReader<FileDragAndDrop>, mut works: MessageWriter<Work>) {
    works.write_batch(files.read().filter_map(|file| match file {
        FileDragAndDrop::DroppedFile { path_buf, .. } => Some(Work::Drop(path_buf.clone())),
        _ => None,
    }));
}

pub(super) fn work(
    time: Res<Time<Real>>,
    mut works: MessageReader<Work>,
    mut bench: ResMut<Workbench>,
    mut shown: ResMut<Shown>,
    mut choice: ResMut<Choice>,
    (mut haste, mut verdicts): (ResMut<Haste>, ResMut<Verdicts>),
    mut leave: MessageWriter<AppExit>,
) {
    let quiet = bench.bypass_change_detection();
    let before = (quiet.said.clone(), quiet.conflict, quiet.document.is_changed());
    quiet.tend(time.elapsed());
    let mut changed = before != (quiet.said.clone(), quiet.conflict, quiet.document.is_changed());
    for one in works.read() {
        changed = true;
        quiet.perform(one.clone());
        if std::mem::take(&mut quiet.opened) {
            // Another boat: of what was chosen and known nothing holds.
            *choice = choice.for_another(quiet.document.scene());
            verdicts.clear();
        }
    }
    if quiet.leaving {
        leave.write(AppExit::Success);
    }
    haste.set_if_neq(Haste(quiet.document.is_dragged()));
    let scene = Arc::clone(quiet.document.scene());
    if !Arc::ptr_eq(&shown.0, &scene) {
        changed = true;
        // A scene always has a fit: one without is a fault.
        let fit = choice.fit.min(scene.fits.len().saturating_sub(1));
        if choice.fit != fit {
            choice.fit = fit;
        }
        shown.0 = scene;
    }
    if changed {
        bench.set_changed();
    }
}

/// In another fit the lamp of the same name is chosen, if there is one.
fn follow(choice: Res<Choice>, mut bench: ResMut<Workbench>) {
    let Some(Subject::Lamp(at)) = bench.chosen else { return };
    if at.fit == choice.fit {
        return;
    }
    let scene = Arc::clone(bench.document.scene());
    let name = at.of(&scene).map(|lamp| &lamp.name);
    let same = scene.fits.get(choice.fit).and_then(|fit| fit.lamps.iter().position(|lamp| Some(&lamp.name) == name));
    bench.chosen = same.map(|lamp| Subject::Lamp(LampAt { fit: choice.fit, lamp }));
}

/// The eye on deck can come close to what is chosen; it waits while that is moved.
fn focus(bench: Res<Workbench>, known: Res<Known>, haste: Res<Haste>, mut focus: ResMut<Focus>) {
    if haste.0 {
        return;
    }
    let stance = &known.stance;
    let round = bench.chosen().and_then(|subject| surroundings(stance, subject));
    focus.set_if_neq(Focus(round.map(|(middle, _)| stance.level(middle))));
}

/// Middle and radius of a lamp or a part, vessel frame.
pub fn surroundings(stance: &Stance, subject: Subject) -> Option<(DVec3, f64)> {
    let posed = stance.posed();
    match subject {
        Subject::Lamp(at) => posed.lamps.get(at.lamp).map(|lamp| (lamp.centre, 0.08)),
        Subject::Part(part) => {
            let own = posed.solids.iter().filter(|solid| subject_of(solid.owner, 0) == Subject::Part(part));
            let balls: Vec<_> = own.map(|solid| solid.shape.bounding_ball()).collect();
            let middle = balls.iter().map(|ball| ball.0).sum::<DVec3>() / balls.len().max(1) as f64;
            let radius = balls.iter().map(|ball| ball.0.distance(middle) + ball.1).fold(0.02, f64::max);
            (!balls.is_empty()).then_some((middle, radius))
        }
        Subject::Scene | Subject::Fit(_) => None,
    }
}

/// The window says which file it is, and whether it is changed.
fn entitle(bench: Res<Workbench>, window: Option<Single<&mut Window, With<PrimaryWindow>>>) {
    let Some(mut window) = window else { return };
    let changed = if bench.document.is_changed() { ", changed" } else { "" };
    let title = format!("lampwalk: {}{changed}", bench.name());
    if window.title != title {
        window.title = title;
    }
}

/// On the way out unsaved work stays in its recovery file, to be offered when the scene is opened again.
fn close(mut leaving: MessageReader<AppExit>, time: Res<Time<Real>>, mut bench: ResMut<Workbench>) {
    if leaving.read().next().is_some() {
        let bench = bench.bypass_change_detection();
        bench.now = time.elapsed();
        // Nobody is left to be told.
        let _ = bench.keep_safe();
    }
}
