//! Which file is worked on: another one opened, the same under another name, what becomes of unsaved work before that, and
//! what is dropped on the window.
//!
//! Every way to another scene, be it chosen, typed, recent or dropped, ends in [`Workbench::exchange`]. Must never draw.

use std::{
    env, fs,
    path::{Path, PathBuf},
};

use super::Workbench;
use crate::{
    boat::read::{MeshOffer, ReadError, mesh_file, offer_mesh},
    edit::{Document, EVERY, Edit, Subject, is_named_so, recent, remember, scenes_in},
    measure::trimmed,
};

/// What is asked about files, over everything else.
#[derive(Clone, Debug, PartialEq)]
pub enum Card {
    /// Which scene to open.
    Open(Choices),
    /// Under which name to save, in which folder to begin, and what follows.
    SaveAs { folder: PathBuf, name: String, next: Option<Next> },
    /// Whether to save before what follows. Where unsaved work can be kept nowhere, why.
    Unsaved { next: Next, lost: Option<String> },
}

/// What follows once unsaved work is settled.
#[derive(Clone, Debug, PartialEq)]
pub enum Next {
    Open(PathBuf),
    Leave,
}

/// What is to become of unsaved work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// Save it, then go on.
    Save,
    /// Go on; it stays in its recovery file.
    GoOn,
    Stay,
}

/// Scenes to choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct Choices {
    pub folder: PathBuf,
    /// Those of the folder, by name.
    pub here: Vec<PathBuf>,
    /// Those that were open last, newest first.
    pub recent: Vec<PathBuf>,
}

/// The path that was typed, from a folder: a name, a path, or one that begins at the user's own folder.
pub fn typed(folder: &Path, text: &str) -> Option<PathBuf> {
    let text = text.trim().trim_matches('"').trim();
    if text.is_empty() {
        return None;
    }
    let home = text.strip_prefix("~/").and_then(|rest| Some(PathBuf::from(env::var_os("HOME")?).join(rest)));
    Some(home.unwrap_or_else(|| folder.join(text)))
}

/// The same as a scene's name: one without an ending ends in `.ron`.
pub fn typed_scene(folder: &Path, text: &str) -> Option<PathBuf> {
    typed(folder, text).map(|path| if path.extension().is_none() { path.with_extension("ron") } else { path })
}

impl Workbench {
    /// What is asked about files.
    pub fn card(&self) -> Option<&Card> {
        self.card.as_ref()
    }

    /// The folder of the scene, or that in which the program was started.
    pub fn folder(&self) -> PathBuf {
        let own = self.document.path().and_then(|path| std::path::absolute(path).ok());
        let own = own.as_deref().and_then(Path::parent).map(Path::to_path_buf);
        own.or_else(|| env::current_dir().ok()).unwrap_or_default()
    }

    /// Notes the scene among those opened last.
    pub fn note_opened(&self) {
        if let Some(path) = self.document.path() {
            remember(self.state.as_deref(), path);
        }
    }

    /// Writes unsaved work into its recovery file at once.
    ///
    /// # Errors
    /// When it can be written nowhere: one sentence.
    pub fn keep_safe(&mut self) -> Result<(), String> {
        self.document.end_drag();
        self.recovery.tend(&self.document, self.now + EVERY)
    }

    pub(super) fn ask_open(&mut self) {
        self.look_at(self.folder());
    }

    pub(super) fn look_at(&mut self, folder: PathBuf) {
        match scenes_in(&folder) {
            Ok(here) => self.card = Some(Card::Open(Choices { here, folder, recent: recent(self.state.as_deref()) })),
            Err(error) => self.warn(format!("The folder {} cannot be read: {error}.", folder.display())),
        }
    }

    pub(super) fn ask_save_as(&mut self) {
        self.ask_name(None);
    }

    fn ask_name(&mut self, next: Option<Next>) {
        let own = self.document.path().and_then(|path| path.file_name());
        let name =
            own.map_or_else(|| name_for(&self.document.scene().name), |name| name.to_string_lossy().into_owned());
        self.card = Some(Card::SaveAs { folder: self.folder(), name, next });
    }

    /// Does what follows, or asks first what is to become of unsaved work. Asked to leave twice, it leaves.
    pub(super) fn ask_to(&mut self, next: Next) {
        if let Next::Open(path) = &next
            && path.is_dir()
        {
            return self.look_at(path.clone());
        }
        let again = next == Next::Leave && matches!(self.card, Some(Card::Unsaved { next: Next::Leave, .. }));
        self.document.end_drag();
        if again || !self.document.holds_work() {
            return self.follow(next);
        }
        self.card = Some(Card::Unsaved { next, lost: None });
    }

    pub(super) fn answer(&mut self, answer: Answer) {
        let Some(Card::Unsaved { next, lost }) = self.card.take() else { return };
        match answer {
            Answer::Stay => {}
            Answer::Save if self.document.path().is_none() => self.ask_name(Some(next)),
            Answer::Save => {
                self.save();
                if !self.document.holds_work() {
                    self.follow(next);
                }
            }
            Answer::GoOn => match self.keep_safe() {
                Err(why) if lost.is_none() => self.card = Some(Card::Unsaved { next, lost: Some(why) }),
                _ => self.follow(next),
            },
        }
    }

    fn follow(&mut self, next: Next) {
        match next {
            Next::Leave => self.leaving = true,
            Next::Open(path) => match Document::open(&meant(&path)) {
                Ok(document) => self.exchange(document),
                Err(error) => self.warn(cannot_be_opened(&path, &error)),
            },
        }
    }

    /// Puts another document in place of this one. What is unsaved of this stays in its recovery file.
    pub fn exchange(&mut self, document: Document) {
        let kept = self.keep_safe().is_ok() && self.document.holds_work();
        let before = self.name();
        let (now, state) = (self.now, self.state.take());
        *self = Self { now, looked: now, opened: true, ..Self::kept_in(document, state.as_deref()) };
        self.note_opened();
        let name = self.name();
        match kept {
            true => self
                .say(format!("{name} is open. What was not saved of {before} is offered when that is opened again.")),
            false => self.say(format!("{name} is open.")),
        }
    }

    pub(super) fn save_as(&mut self, path: &Path) {
        let next = match self.card.take() {
            Some(Card::SaveAs { next, .. }) => next,
            _ => None,
        };
        let was_there = path.exists();
        match self.document.save_as(path) {
            Ok(()) => {
                self.conflict = false;
                self.offer = None;
                self.note_opened();
                let name = self.name();
                let before = if was_there { format!(" What was there before is {name}~.") } else { String::new() };
                self.say(format!("Saved as {}, and worked on there from now on.{before}", path.display()));
                if let Some(next) = next {
                    self.follow(next);
                }
            }
            Err(why) => {
                self.ask_name(next);
                self.warn(why);
            }
        }
    }

    /// A scene is opened, a mesh becomes a part.
    pub(super) fn take_dropped(&mut self, path: PathBuf) {
        if path.is_dir() || is_named_so(&path) {
            self.ask_to(Next::Open(path));
        } else if mesh_file::is_named_so(&path) {
            self.add_mesh(&path);
        } else {
            let name = path.file_name().unwrap_or_default().display().to_string();
            self.warn(format!(
                "{name} is neither a scene nor a mesh. Drop a scene (.ron), a folder of scenes, or a mesh (.glb, .gltf, .obj, .stl)."
            ));
        }
    }

    fn add_mesh(&mut self, path: &Path) {
        if self.document.path().is_none() {
            return self.warn("A mesh is looked for from the scene's own folder, and this scene lies in no file yet: save it, and drop the mesh again.");
        }
        let folder = self.folder();
        let Some(file) = named_from(&folder, path) else {
            return self.warn(
                "The path of this mesh cannot be written in a scene file. Copy it beside the scene, and drop it again.",
            );
        };
        let scene = self.document.scene();
        let mesh = match offer_mesh(&file, Some(&folder), scene) {
            Ok(mesh) => mesh,
            Err(error) => return self.warn(format!("Not added: {}; {}.", error.what, error.mend)),
        };
        let at = scene.parts.len();
        let told = told_of(&mesh);
        match self.document.apply(Edit::AddMesh { at, mesh: Box::new(mesh) }) {
            Ok(()) => {
                self.chosen = Some(Subject::Part(at));
                self.say(told);
            }
            Err(refusal) => self.warn(format!("Not added: {refusal}.")),
        }
    }
}

/// A scene that is named without its ending.
fn meant(path: &Path) -> PathBuf {
    let ending = path.with_extension("ron");
    if path.extension().is_none() && !path.exists() && ending.exists() { ending } else { path.into() }
}

/// What was taken for granted of a mesh.
fn told_of(mesh: &MeshOffer) -> String {
    let MeshOffer { name, unit, up, forward, size, .. } = mesh;
    let lies = match (mesh.as_hull, mesh.amidships) {
        (true, _) => "taken for her own hull",
        (false, true) => "put amidships",
        (false, false) => "where its own numbers have it",
    };
    let why = if mesh.by_shape { "Its shape says so" } else { "Such files mostly lie so" };
    format!(
        "Added {name}: read in {unit}, {up} up, {forward} forward, {} m long, {lies}. {why}; look at it before trusting it.",
        trimmed(size.x, 2)
    )
}

/// A file's name as a scene in a folder names it: from the folder if it lies on the same disk, else whole. `None` where it
/// is no text.
fn named_from(folder: &Path, file: &Path) -> Option<String> {
    let whole = |path: &Path| fs::canonicalize(path).or_else(|_| std::path::absolute(path));
    let (folder, file) = (whole(folder).ok()?, whole(file).ok()?);
    let shared = folder.components().zip(file.components()).take_while(|(one, other)| one == other).count();
    if shared == 0 {
        return file.to_str().map(String::from);
    }
    let up = folder.components().skip(shared).map(|_| "..");
    let down = file.components().skip(shared).map(|part| part.as_os_str().to_str());
    let parts: Option<Vec<&str>> = up.map(Some).chain(down).collect();
    parts.map(|parts| parts.join("/"))
}

/// A file name made of a boat's.
fn name_for(boat: &str) -> String {
    let kept = |one: char| if one.is_alphanumeric() { one } else { ' ' };
    let words: String = boat.to_lowercase().chars().map(kept).collect();
    let stem = words.split_whitespace().collect::<Vec<_>>().join("-");
    if stem.is_empty() { "scene.ron".into() } else { format!("{stem}.ron") }
}

/// Why a scene stays closed, in a sentence.
fn cannot_be_opened(path: &Path, error: &ReadError) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str()).display();
    match error.faults() {
        [] => format!("{error}."),
        [one] => format!("{name} cannot be opened. Line {}: {}; {}.", one.line, one.what, one.mend),
        [first, more @ ..] => format!(
            "{name} cannot be opened. Line {}: {}; {}. So many more mistakes stand in it: {}.",
            first.line,
            first.what,
            first.mend,
            more.len()
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mesh_is_named_from_the_folder_of_its_scene() {
        let folder = tempfile::tempdir().expect("a folder");
        let (boats, meshes) = (folder.path().join("boats"), folder.path().join("meshes"));
        for one in [&boats, &meshes, &boats.join("hulls")] {
            fs::create_dir_all(one).expect("a folder");
        }
        assert_eq!(named_from(&boats, &boats.join("hull.stl")).as_deref(), Some("hull.stl"));
        assert_eq!(named_from(&boats, &boats.join("hulls/hull.stl")).as_deref(), Some("hulls/hull.stl"));
        assert_eq!(named_from(&boats, &meshes.join("hull.stl")).as_deref(), Some("../meshes/hull.stl"));
    }

    #[test]
    fn a_name_that_is_typed_counts_from_the_folder_and_needs_no_ending() {
        let folder = Path::new("/boats");
        assert_eq!(typed_scene(folder, " curlew "), Some("/boats/curlew.ron".into()));
        assert_eq!(typed_scene(folder, "\"/other/curlew.ron\""), Some("/other/curlew.ron".into()));
        assert_eq!(typed(folder, "old"), Some("/boats/old".into()));
        assert_eq!(typed(folder, "  "), None);
    }

    #[test]
    fn a_boat_gives_her_file_a_name() {
        assert_eq!(name_for("Sandpiper, the 2nd"), "sandpiper-the-2nd.ron");
        assert_eq!(name_for("..."), "scene.ron");
    }
}
