//! Keeps what is not yet saved in a file of its own, so that a crash loses at most ten seconds, and offers it at the next
//! start.
//!
//! Takes the document and the time since some beginning; writes beside the scene, or into the user's state folder where that
//! cannot be. Must never read a clock, nor take away what it did not write.

use std::{
    env,
    ffi::OsString,
    fs, io,
    path::{Path, PathBuf},
    time::{Duration, SystemTime},
};

use super::{
    Document, Refusal,
    document::{kept_in, read},
    save::{beside, may_be_written, sentence},
};
use crate::{
    boat::read::{ReadError, text_of},
    whole_file,
};

/// How often the recovery file is written at most.
pub const EVERY: Duration = Duration::from_secs(10);

/// What was written last.
#[derive(Debug)]
struct Written {
    place: PathBuf,
    bytes: Vec<u8>,
}

/// The recovery file of one document.
#[derive(Debug)]
pub struct Recovery {
    path: Option<PathBuf>,
    state: Option<PathBuf>,
    written: Option<Written>,
    tried: Option<Duration>,
}

impl Recovery {
    /// For a document that lies at a path, or in no file yet. `state` is the user's state folder, see [`state_folder`].
    pub fn new(path: Option<&Path>, state: Option<&Path>) -> Self {
        Self { path: path.map(Path::to_path_buf), state: state.map(Path::to_path_buf), written: None, tried: None }
    }

    /// Whether something unsaved should be written now: the first change at once, later ones every ten seconds.
    pub fn due(&self, document: &Document, now: Duration) -> bool {
        let rested = self.tried.is_none_or(|tried| now.saturating_sub(tried) >= EVERY);
        rested && document.holds_work() && self.written.as_ref().is_none_or(|written| written.bytes != document.bytes())
    }

    /// To be called often: writes what is due, and takes the file away once nothing is unsaved. `now` is the time since some
    /// beginning, always the same.
    ///
    /// # Errors
    /// When it can be written nowhere: one sentence. It is tried again after ten seconds.
    pub fn tend(&mut self, document: &Document, now: Duration) -> Result<(), String> {
        if self.path.as_deref() != document.path() {
            self.remove();
            self.path = document.path().map(Path::to_path_buf);
        }
        if !document.holds_work() {
            self.remove();
            return Ok(());
        }
        if !self.due(document, now) {
            return Ok(());
        }
        self.tried = Some(now);
        let bytes = document.bytes();
        let mut why = String::from("there is no folder for it");
        for place in places(self.path.as_deref(), self.state.as_deref()) {
            match self.write(&place, &bytes) {
                Ok(()) => {
                    self.written = Some(Written { place, bytes });
                    return Ok(());
                }
                Err(error) => why = sentence(&place, &error),
            }
        }
        Err(format!("What is not saved cannot be kept safe for a crash, so save often: {why}."))
    }

    fn write(&self, place: &Path, bytes: &[u8]) -> io::Result<()> {
        if self.state.as_deref() == place.parent() {
            fs::create_dir_all(whole_file::folder_of(place))?;
        }
        may_be_written(place)?;
        let ours = |found: &[u8]| found == bytes || self.written.as_ref().is_some_and(|written| written.bytes == found);
        // What an earlier session left and nobody decided on is not lost yet.
        if fs::read(place).is_ok_and(|found| !ours(&found)) {
            fs::rename(place, beside(place, "~"))?;
        }
        whole_file::write(place, bytes, None)
    }

    /// Makes what was offered this one's own: to be called when it was taken into the document. It goes when the document is
    /// saved.
    pub fn take_over(&mut self, offer: &Offer) {
        if let Ok(bytes) = fs::read(&offer.place) {
            self.written = Some(Written { place: offer.place.clone(), bytes });
        }
    }

    /// Takes the file away: to be called when the document is closed on purpose.
    pub fn close(mut self) {
        self.remove();
    }

    /// Takes away what this one wrote, unless another wrote over it.
    fn remove(&mut self) {
        self.tried = None;
        let Some(Written { place, bytes }) = self.written.take() else { return };
        if fs::read(&place).is_ok_and(|found| found == bytes) {
            // Left behind, it would only be offered in vain.
            let _ = fs::remove_file(&place);
        }
    }
}

/// Unsaved work of an earlier session.
#[derive(Debug)]
pub struct Offer {
    place: PathBuf,
    /// When it was written.
    pub time: SystemTime,
    /// Whether the scene file was changed after that.
    pub file_is_newer: bool,
    /// The whole text, or why it cannot be used.
    pub text: Result<String, ReadError>,
}

impl Offer {
    /// Takes the work into the document, as a step that can be undone.
    ///
    /// # Errors
    /// When it holds no sound scene. The document is then as it was.
    pub fn accept(&self, document: &mut Document) -> Result<(), Refusal> {
        match &self.text {
            Ok(text) => document.exchange(text, "Recover unsaved work"),
            Err(error) => Err(Refusal::of(error)),
        }
    }

    /// Throws the work away.
    ///
    /// # Errors
    /// When the file cannot be taken away.
    pub fn discard(self) -> io::Result<()> {
        fs::remove_file(&self.place)
    }
}

/// The unsaved work of an earlier session, the latest if there are two; `None` where there is none, or the file holds the
/// same. Takes what [`Recovery::new`] takes.
pub fn offered(path: Option<&Path>, state: Option<&Path>) -> Option<Offer> {
    let held = path.and_then(|path| fs::read(path).ok());
    let changed = |path: &Path| fs::metadata(path).and_then(|kept| kept.modified()).ok();
    let found = places(path, state).into_iter().filter_map(|place| {
        let time = changed(&place)?;
        (fs::read(&place).ok() != held).then_some((time, place))
    });
    let (time, place) = found.max()?;
    let text = text_of(&place).and_then(|text| read(&text, path, None).map(|_| text));
    let file_is_newer = path.and_then(changed).is_some_and(|file| file > time);
    Some(Offer { place, time, file_is_newer, text })
}

/// Where a recovery file may lie, the best place first.
fn places(path: Option<&Path>, state: Option<&Path>) -> Vec<PathBuf> {
    const ENDING: &str = ".recovery";
    let target = path.map(kept_in);
    let near = target.as_ref().map(|target| beside(target, ENDING));
    let name = target.as_ref().map_or_else(|| OsString::from("unnamed.ron"), |target| name_of_all(target));
    let far = state.map(|state| beside(&state.join(name), ENDING));
    near.into_iter().chain(far).collect()
}

/// A name that tells a file from those of the same name in other folders.
fn name_of_all(target: &Path) -> OsString {
    // FNV-1a: the same in every version of the program.
    let digest = target
        .to_string_lossy()
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |digest, byte| (digest ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
    let mut name = OsString::from(format!("{digest:016x}-"));
    name.push(target.file_name().unwrap_or_default());
    name
}

/// The user's folder for what a program keeps between sessions; `None` where the system names none.
pub fn state_folder() -> Option<PathBuf> {
    state_folder_from(&|name| env::var_os(name))
}

fn state_folder_from(variable: &dyn Fn(&str) -> Option<OsString>) -> Option<PathBuf> {
    let folder = |name: &str| variable(name).map(PathBuf::from).filter(|folder| folder.is_absolute());
    let base = if cfg!(windows) {
        folder("LOCALAPPDATA")
    } else {
        folder("XDG_STATE_HOME").or_else(|| Some(folder("HOME")?.join(".local").join("state")))
    };
    base.map(|base| base.join("lampwalk"))
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn the_state_folder_is_that_of_the_base_directories_and_else_under_home() {
        let told = |name: &str| match name {
            "XDG_STATE_HOME" => Some("/kept".into()),
            "HOME" => Some("/home/fitter".into()),
            _ => None,
        };
        let home = |name: &str| told(name).filter(|_| name == "HOME");
        assert_eq!(state_folder_from(&told), Some("/kept/lampwalk".into()));
        assert_eq!(state_folder_from(&home), Some("/home/fitter/.local/state/lampwalk".into()));
        assert_eq!(state_folder_from(&|_| Some("not absolute".into())), None);
    }

    #[test]
    fn scenes_of_one_name_in_two_folders_have_recovery_files_of_their_own() {
        let names: Vec<_> = ["/a/boat.ron", "/b/boat.ron"].iter().map(|path| name_of_all(Path::new(path))).collect();
        assert_ne!(names[0], names[1]);
        assert!(names.iter().all(|name| name.to_string_lossy().ends_with("-boat.ron")), "{names:?}");
    }
}
