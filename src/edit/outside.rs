//! Notices when the scene file was changed by others while it is open, and says what follows.
//!
//! Asked now and then; a file of the same time and length as at two looks before is not read. Must never overwrite
//! anything.

use std::{fs, path::Path, time::SystemTime};

use super::{
    Document, Refusal,
    document::{kept_in, read},
};
use crate::boat::read::{ReadError, text_of};

/// What was seen of the file at the last look.
#[derive(Debug, Default)]
pub(super) struct Seen {
    look: Option<(SystemTime, u64)>,
    /// Whether it was read since it began to look so: a file may change twice within what its clock can tell.
    confirmed: bool,
    /// What others made of it and the document does not hold.
    theirs: Option<Vec<u8>>,
    gone: bool,
}

/// What became of the file.
#[derive(Debug)]
pub enum Outside {
    /// Nothing that was not told before.
    Unchanged,
    /// It was changed, and there was nothing unsaved: the document holds the new text. A step that can be undone.
    Reloaded,
    /// It was changed, and so was the document. Ask: [`Document::keep_mine`], [`Document::take_theirs`], or
    /// [`Document::save_as`] under another name, which keeps both.
    Conflict,
    /// It was changed and holds no sound scene any more. The document stays.
    Bad(ReadError),
    /// It is not there any more. The document stays, and saving writes it again.
    Gone,
}

impl Document {
    /// Looks whether the file was changed by others. Each change is told once.
    pub fn look_outside(&mut self) -> Outside {
        let Some(path) = self.path.clone() else { return Outside::Unchanged };
        let target = kept_in(&path);
        let look = fs::metadata(&target).and_then(|kept| Ok((kept.modified()?, kept.len())));
        let known = look.as_ref().is_ok_and(|look| self.seen.confirmed && self.seen.look == Some(*look));
        if known || self.is_dragged() {
            return Outside::Unchanged;
        }
        let (Ok(look), Ok(bytes)) = (look, fs::read(&target)) else {
            self.seen.look = None;
            let told = std::mem::replace(&mut self.seen.gone, true);
            return if told || self.base.is_none() { Outside::Unchanged } else { Outside::Gone };
        };
        self.seen.gone = false;
        self.seen.confirmed = self.seen.look == Some(look);
        self.seen.look = Some(look);
        if self.is_as(&bytes) || self.base.as_ref() == Some(&bytes) {
            self.base = Some(bytes);
            self.seen.theirs = None;
            return Outside::Unchanged;
        }
        if self.seen.theirs.as_ref() == Some(&bytes) {
            return Outside::Unchanged;
        }
        self.seen.theirs = Some(bytes);
        self.seen.confirmed = false;
        self.judge(&path)
    }

    /// What follows from a change that others made.
    fn judge(&mut self, path: &Path) -> Outside {
        // A mesh may have been exchanged along with the scene.
        self.forget_files();
        if let Err(error) = text_of(path).and_then(|text| read(&text, Some(path), self.shelf())) {
            return Outside::Bad(error);
        }
        if self.is_changed() {
            return Outside::Conflict;
        }
        match self.take_theirs() {
            Ok(()) => Outside::Reloaded,
            Err(_) => Outside::Conflict,
        }
    }

    /// Whether the file holds what others made of it and the document does not.
    pub fn differs_outside(&self) -> bool {
        self.seen.theirs.is_some()
    }

    /// Settles a conflict for the document: the next save overwrites what others made of the file, which is then the
    /// version before, kept beside it.
    pub fn keep_mine(&mut self) {
        if let Some(theirs) = self.seen.theirs.take() {
            self.base = Some(theirs);
        }
    }

    /// Settles a conflict for the file: the document takes what others made of it, as a step that can be undone.
    ///
    /// # Errors
    /// When that holds no sound scene. The document is then as it was.
    pub fn take_theirs(&mut self) -> Result<(), Refusal> {
        let Some(theirs) = self.seen.theirs.clone() else { return Ok(()) };
        self.exchange(&String::from_utf8_lossy(&theirs), "Reload from disk")?;
        self.base = Some(theirs);
        self.seen.theirs = None;
        Ok(())
    }

    /// Notes what the file was found to hold when it was about to be overwritten.
    pub(super) fn found_theirs(&mut self, bytes: Vec<u8>) {
        self.seen.theirs = Some(bytes);
    }

    /// Notes that the file holds the document now.
    pub(super) fn agreed(&mut self, bytes: Vec<u8>) {
        self.base = Some(bytes);
        self.seen = Seen::default();
    }
}
