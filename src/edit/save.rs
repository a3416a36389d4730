//! Saves a document into its file, whole or not at all, and keeps the version before beside it.
//!
//! The file keeps its permissions; a link is followed to the file it leads to. Whatever fails, the file is what it was and
//! the document holds what was not saved. Must never overwrite what others made of the file unasked.

use std::{
    ffi::OsString,
    fmt, fs,
    io::{self, ErrorKind},
    path::{Path, PathBuf},
};

use super::{Document, Refusal, document::kept_in};
use crate::whole_file::{self, folder_of};

/// Why nothing was saved, in one sentence by [`fmt::Display`].
#[derive(Debug)]
pub enum SaveError {
    /// The scene lies in no file yet: save it under a name.
    NoName,
    /// Others changed the file: see [`super::Outside::Conflict`].
    ChangedOutside,
    /// In the folder that was named, the scene cannot be read: it names files that are not there.
    NotReadableThere(Refusal),
    /// The file cannot be written.
    Failed(String),
}

impl fmt::Display for SaveError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoName => out.write_str("This scene lies in no file yet: save it under a name."),
            Self::ChangedOutside => out.write_str(
                "Nothing was saved, since another program changed the file: choose whether to keep yours, theirs or both.",
            ),
            Self::NotReadableThere(Refusal { what, mend, .. }) => {
                write!(out, "Nothing was saved, since the scene cannot be read from there: {what} ({mend}).")
            }
            Self::Failed(why) => write!(out, "Nothing was saved, and your changes are kept here: {why}."),
        }
    }
}

impl std::error::Error for SaveError {}

/// Where the version before the last save is kept: beside the file, its name with a `~` behind it.
pub fn previous_of(path: &Path) -> PathBuf {
    beside(&kept_in(path), "~")
}

/// A path with something behind its name.
pub(super) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().map(OsString::from).unwrap_or_default();
    name.push(ending);
    path.with_file_name(name)
}

impl Document {
    /// Saves the document into its file. The version before is kept beside it, see [`previous_of`].
    ///
    /// # Errors
    /// When it has no file, others changed it, or it cannot be written; see [`SaveError`].
    pub fn save(&mut self) -> Result<(), SaveError> {
        self.end_drag();
        let target = kept_in(self.path.as_ref().ok_or(SaveError::NoName)?);
        let now = held_by(&target)?;
        match now {
            Some(now) if self.is_as(&now) => {
                self.agreed(now);
                Ok(())
            }
            Some(now) if self.base.as_ref() != Some(&now) => {
                self.found_theirs(now);
                Err(SaveError::ChangedOutside)
            }
            now => self.put(&target, now),
        }
    }

    /// Saves the document under another name, which is its own from then on. What was there before is kept beside it.
    ///
    /// # Errors
    /// When the scene names files that are not beside the new place, or it cannot be written. The document keeps its old
    /// name then.
    pub fn save_as(&mut self, path: &Path) -> Result<(), SaveError> {
        self.end_drag();
        let target = kept_in(path);
        let now = held_by(&target)?;
        self.may_lie_at(path).map_err(SaveError::NotReadableThere)?;
        self.put(&target, now)?;
        self.lie_at(path).map_err(SaveError::NotReadableThere)
    }

    fn put(&mut self, target: &Path, before: Option<Vec<u8>>) -> Result<(), SaveError> {
        let failed = |error: &io::Error| SaveError::Failed(sentence(target, error));
        may_be_written(target).map_err(|error| failed(&error))?;
        let permissions = fs::metadata(target).ok().map(|kept| kept.permissions());
        if let Some(before) = before {
            let previous = beside(target, "~");
            whole_file::write(&previous, &before, permissions.clone()).map_err(|error| {
                let why = sentence(&previous, &error);
                SaveError::Failed(format!("the version before cannot be kept beside it: {why}"))
            })?;
        }
        let bytes = self.bytes();
        whole_file::write(target, &bytes, permissions).map_err(|error| failed(&error))?;
        self.agreed(bytes);
        Ok(())
    }
}

/// What a file holds; `None` where there is none.
fn held_by(target: &Path) -> Result<Option<Vec<u8>>, SaveError> {
    match fs::read(target) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(SaveError::Failed(sentence(target, &error))),
    }
}

/// Refuses a file or a folder that is marked as not to be written, whoever asks: a file made beside would get past the
/// mark of the one, and an administrator past that of the other.
pub(crate) fn may_be_written(target: &Path) -> io::Result<()> {
    let marked = |path: &Path| fs::metadata(path).is_ok_and(|kept| kept.permissions().readonly());
    // On Windows the mark of a folder means something else.
    if marked(target) || (cfg!(unix) && marked(folder_of(target))) {
        return Err(ErrorKind::PermissionDenied.into());
    }
    Ok(())
}

/// Why a file cannot be written, and what to do.
pub(super) fn sentence(target: &Path, error: &io::Error) -> String {
    let (file, folder) = (target.display(), folder_of(target).display());
    match error.kind() {
        ErrorKind::NotFound => format!("the folder {folder} is not there any more; save under another name"),
        ErrorKind::NotADirectory => format!("{folder} is no folder any more; save under another name"),
        ErrorKind::IsADirectory => format!("{file} is a folder; save under another name"),
        ErrorKind::PermissionDenied => {
            format!(
                "writing {file} is not permitted; change the permissions of the file and its folder, or save elsewhere"
            )
        }
        ErrorKind::ReadOnlyFilesystem => format!("the disk that {file} lies on can only be read; save elsewhere"),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            format!("there is no room left for {file}; make room and save again, or save elsewhere")
        }
        _ => format!("{file} cannot be written ({error}); save under another name"),
    }
}
