//! The text of a scene file with the scene read from it, and what was done to it since.
//!
//! Takes edits; gives the text and the scene, always in step and always sound. Must never write a file: `save` does.

use std::{
    fmt,
    path::{Path, PathBuf},
    sync::Arc,
};

use super::{
    Edit,
    history::{Change, History, Step},
    script::{Pen, Trouble, write},
};
use crate::{
    boat::{
        Scene,
        read::{Fault, Read, ReadError, Shelf, Spans, scene_text_from, text_of},
    },
    whole_file::{folder_of, target_of},
};

/// The mark that some editors begin a file with.
const BYTE_ORDER_MARK: &str = "\u{feff}";

/// Why something was not done. The document is as it was.
#[derive(Clone, Debug)]
pub struct Refusal {
    /// What is wrong.
    pub what: String,
    /// How to mend it.
    pub mend: String,
    /// Every fault that the scene would have had, at its place in the text it would have had; empty where none was read.
    pub faults: Vec<Fault>,
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}: {}", self.what, self.mend)
    }
}

impl std::error::Error for Refusal {}

impl Refusal {
    pub(super) fn of(error: &ReadError) -> Self {
        let faults = error.faults().to_vec();
        match faults.first() {
            Some(Fault { what, mend, .. }) => Self { what: what.clone(), mend: mend.clone(), faults },
            None => Self { what: error.to_string(), mend: "look at the file".into(), faults },
        }
    }
}

impl From<Trouble> for Refusal {
    fn from(trouble: Trouble) -> Self {
        let (what, mend) = match trouble {
            Trouble::NotThere => ("what should be changed is not there any more", "choose it anew"),
            Trouble::OnlyCopied => (
                "a measured lamp, one with a bracket of its own, or a mesh is told by its file",
                "copy one that is there, or write it in the scene file",
            ),
        };
        Self { what: what.into(), mend: mend.into(), faults: Vec::new() }
    }
}

/// What was done since a drag began.
#[derive(Debug)]
struct Drag {
    /// As it was before.
    text: String,
    scene: Arc<Scene>,
    /// In order; none makes another void.
    edits: Vec<Edit>,
}

/// A scene file that is being edited.
#[derive(Debug)]
pub struct Document {
    pub(super) path: Option<PathBuf>,
    /// Whether the file begins with a byte-order mark, which is no part of the text.
    pub(super) marked: bool,
    text: String,
    scene: Arc<Scene>,
    spans: Spans,
    shelf: Shelf,
    history: History,
    drag: Option<Drag>,
    /// The bytes of the file as they were last agreed on with the disk; `None` where there is no file.
    pub(super) base: Option<Vec<u8>>,
    pub(super) seen: super::outside::Seen,
}

impl Document {
    /// Opens a scene file. Mesh and lamp files are looked for beside it.
    ///
    /// # Errors
    /// When it cannot be read as text, or with every fault found in it.
    pub fn open(path: &Path) -> Result<Self, ReadError> {
        let text = text_of(path)?;
        let mut document = Self::new(&text, Some(path))?;
        document.base = Some(text.into_bytes());
        Ok(document)
    }

    /// A scene that lies in no file yet.
    ///
    /// # Errors
    /// With every fault found in the text.
    pub fn of_text(text: &str) -> Result<Self, ReadError> {
        Self::new(text, None)
    }

    fn new(text: &str, path: Option<&Path>) -> Result<Self, ReadError> {
        let shelf = Shelf::default();
        let Read { scene, text: plain, spans } = read(text, path, Some(&shelf))?;
        Ok(Self {
            path: path.map(Path::to_path_buf),
            marked: text.starts_with(BYTE_ORDER_MARK),
            text: plain,
            scene: Arc::new(scene),
            spans,
            shelf,
            history: History::default(),
            drag: None,
            base: None,
            seen: super::outside::Seen::default(),
        })
    }

    /// Where the file lies, as it was opened; `None` for a scene that lies in no file.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The scene as it is now.
    pub fn scene(&self) -> &Arc<Scene> {
        &self.scene
    }

    /// Where the pieces of the scene stand in the text.
    pub fn spans(&self) -> &Spans {
        &self.spans
    }

    /// The text as it is now, without a byte-order mark.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// All that the file would hold if it were saved now.
    pub fn bytes(&self) -> Vec<u8> {
        let mark = if self.marked { BYTE_ORDER_MARK } else { "" };
        [mark.as_bytes(), self.text.as_bytes()].concat()
    }

    /// Whether the text differs from the file's.
    pub fn is_changed(&self) -> bool {
        self.base.as_ref().is_none_or(|base| !self.is_as(base))
    }

    /// Whether anything would be lost if it were closed now: a change that is not saved. A scene that lies in no file counts
    /// only once something was done to it.
    pub fn holds_work(&self) -> bool {
        self.is_changed() && (self.path.is_some() || self.is_dragged() || self.history.steps().1 > 0)
    }

    /// Whether a file of these bytes holds this text.
    pub(super) fn is_as(&self, bytes: &[u8]) -> bool {
        let plain = bytes.strip_prefix(BYTE_ORDER_MARK.as_bytes());
        plain.unwrap_or(bytes) == self.text.as_bytes() && plain.is_some() == self.marked
    }

    /// Does something to the scene. Between [`begin_drag`](Self::begin_drag) and [`end_drag`](Self::end_drag) an edit takes
    /// the place of the one before that did the same to the same thing; else each is a step of its own.
    ///
    /// # Errors
    /// When the scene would be faulty, with the reader's own words. Everything is then as it was.
    pub fn apply(&mut self, edit: Edit) -> Result<(), Refusal> {
        if self.drag.is_some() {
            return self.drag_on(edit);
        }
        let label = edit.label(&self.scene);
        let changes = self.write(&self.text.clone(), &Arc::clone(&self.scene), &[edit])?;
        self.add_step(label, changes);
        Ok(())
    }

    fn drag_on(&mut self, edit: Edit) -> Result<(), Refusal> {
        let Some(mut drag) = self.drag.take() else { return Ok(()) };
        let before = drag.edits.clone();
        match drag.edits.iter_mut().find(|earlier| edit.overrides(earlier)) {
            Some(earlier) => *earlier = edit,
            None => drag.edits.push(edit),
        }
        let done = self.write(&drag.text, &drag.scene, &drag.edits).map(drop);
        if done.is_err() {
            drag.edits = before;
        }
        self.drag = Some(drag);
        done
    }

    /// Writes edits into a text and takes what comes of it for the document's, if it is sound.
    fn write(&mut self, text: &str, scene: &Scene, edits: &[Edit]) -> Result<Vec<Change>, Refusal> {
        let mut pen = Pen::over(text).ok_or(Trouble::NotThere)?;
        edits.iter().try_for_each(|edit| write(&mut pen, edit, scene))?;
        let (text, changes) = pen.finish();
        self.set_text(text)?;
        Ok(changes)
    }

    /// Takes a text for the document's, if it is sound.
    fn set_text(&mut self, text: String) -> Result<(), Refusal> {
        if text == self.text {
            return Ok(());
        }
        let read = read(&text, self.path.as_deref(), Some(&self.shelf)).map_err(|error| Refusal::of(&error))?;
        (self.text, self.scene, self.spans) = (text, Arc::new(read.scene), read.spans);
        Ok(())
    }

    fn add_step(&mut self, label: String, changes: Vec<Change>) {
        if !changes.is_empty() {
            self.history.add(Step { label, changes });
        }
    }

    /// From now on, edits are joined into one step.
    pub fn begin_drag(&mut self) {
        self.end_drag();
        self.drag = Some(Drag { text: self.text.clone(), scene: Arc::clone(&self.scene), edits: Vec::new() });
    }

    /// Ends a drag; none is no error.
    pub fn end_drag(&mut self) {
        let Some(drag) = self.drag.take() else { return };
        let Some(first) = drag.edits.first() else { return };
        let label = first.label(&drag.scene);
        self.add_step(label, Change::between(0, &drag.text, &self.text).into_iter().collect());
    }

    /// Ends a drag and leaves everything as it was before.
    pub fn cancel_drag(&mut self) {
        if let Some(drag) = self.drag.take() {
            // What stood there before was sound.
            let _ = self.set_text(drag.text);
        }
    }

    /// Takes the last step back; gives its label, or `None` where there is none.
    ///
    /// # Errors
    /// When the scene before can no longer be read, since a file it names has gone. Everything is then as it was.
    pub fn undo(&mut self) -> Result<Option<String>, Refusal> {
        self.end_drag();
        let Some(step) = self.history.to_undo() else { return Ok(None) };
        let (mut text, label) = (self.text.clone(), step.label.clone());
        step.take_back(&mut text);
        self.set_text(text)?;
        self.history.undone();
        Ok(Some(label))
    }

    /// Makes again the step that was last undone; gives its label, or `None` where there is none.
    ///
    /// # Errors
    /// When the scene after it can no longer be read, since a file it names has gone. Everything is then as it was.
    pub fn redo(&mut self) -> Result<Option<String>, Refusal> {
        self.end_drag();
        let Some(step) = self.history.to_redo() else { return Ok(None) };
        let (mut text, label) = (self.text.clone(), step.label.clone());
        step.make(&mut text);
        self.set_text(text)?;
        self.history.redone();
        Ok(Some(label))
    }

    /// All steps of the session in order, and how many of them are made: those after are undone.
    pub fn steps(&self) -> (&[Step], usize) {
        self.history.steps()
    }

    /// Puts another text in place of the whole, as a step that can be undone.
    ///
    /// # Errors
    /// When it holds no sound scene. Everything is then as it was.
    pub fn exchange(&mut self, text: &str, label: &str) -> Result<(), Refusal> {
        self.end_drag();
        let plain = text.strip_prefix(BYTE_ORDER_MARK);
        let before = self.text.clone();
        self.set_text(plain.unwrap_or(text).into())?;
        self.marked = plain.is_some();
        self.add_step(label.into(), Change::between(0, &before, &self.text).into_iter().collect());
        Ok(())
    }

    /// Whether the scene could lie elsewhere.
    pub(super) fn may_lie_at(&self, path: &Path) -> Result<(), Refusal> {
        read(&self.text, Some(path), None).map(drop).map_err(|error| Refusal::of(&error))
    }

    /// Reads the scene anew as one that lies elsewhere: the files that it names must be there too.
    pub(super) fn lie_at(&mut self, path: &Path) -> Result<(), Refusal> {
        let shelf = Shelf::default();
        let read = read(&self.text, Some(path), Some(&shelf)).map_err(|error| Refusal::of(&error))?;
        (self.scene, self.spans, self.shelf) = (Arc::new(read.scene), read.spans, shelf);
        self.path = Some(path.into());
        Ok(())
    }

    /// Whether a drag has begun and not ended.
    pub fn is_dragged(&self) -> bool {
        self.drag.is_some()
    }

    pub(super) fn shelf(&self) -> Option<&Shelf> {
        Some(&self.shelf)
    }

    /// Has every file that the scene names read anew.
    pub(super) fn forget_files(&self) {
        self.shelf.clear();
    }
}

/// Reads a scene from its text and the path that it lies at.
pub(super) fn read(text: &str, path: Option<&Path>, shelf: Option<&Shelf>) -> Result<Read, ReadError> {
    let name = path.map_or_else(|| "this scene".into(), |path| path.display().to_string());
    scene_text_from(text, &name, path.map(folder_of), shelf)
}

/// The file that a scene is kept in, through any links.
pub(super) fn kept_in(path: &Path) -> PathBuf {
    target_of(path)
}
