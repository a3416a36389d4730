//! Scenes that can be opened: those that were open last, kept between sessions, and those that lie in a folder.
//!
//! Takes the user's state folder, or a folder of scenes; gives paths of files that are there. A list that cannot be read
//! counts as empty, and one that cannot be written does no harm. Must never read a whole scene.

use std::{
    fs::{self, File},
    io::{self, Read},
    path::{Path, PathBuf},
};

use super::script::first_word;
use crate::whole_file;

/// So many are kept.
pub const MOST_RECENT: usize = 12;
/// Its name in the state folder.
const LIST: &str = "recent";
/// Bytes of the list that are read, and of a file whose first word is wanted.
const MOST_READ: u64 = 64 * 1024;

/// The scenes that were open last, newest first. Those whose files are not there are left out.
pub fn recent(state: Option<&Path>) -> Vec<PathBuf> {
    let mut kept = listed(state);
    kept.retain(|path| path.is_file());
    kept
}

/// Puts a scene at the head of the list. A path that cannot be written on a line of its own is not kept.
pub fn remember(state: Option<&Path>, scene: &Path) {
    let (Some(state), Ok(scene)) = (state, std::path::absolute(scene)) else { return };
    let mut kept = listed(Some(state));
    kept.retain(|path| *path != scene);
    kept.insert(0, scene);
    let lines = kept.iter().filter_map(|path| path.to_str()).filter(|path| !path.contains(['\n', '\r']));
    let text: String = lines.take(MOST_RECENT).map(|path| format!("{path}\n")).collect();
    // Without the list, scenes are opened as before.
    let _ = fs::create_dir_all(state).and_then(|()| whole_file::write(&state.join(LIST), text.as_bytes(), None));
}

/// All of the list, be they there or not: a disk that is not plugged in now may be next time.
fn listed(state: Option<&Path>) -> Vec<PathBuf> {
    let text = state.and_then(|state| beginning(&state.join(LIST)).ok()).unwrap_or_default();
    let mut paths: Vec<PathBuf> = Vec::new();
    for path in text.lines().map(PathBuf::from).filter(|path| path.is_absolute()) {
        if !paths.contains(&path) {
            paths.push(path);
        }
    }
    paths.truncate(MOST_RECENT);
    paths
}

/// The scenes in a folder, by name: all that end in `.ron` and do not begin as something else does.
///
/// # Errors
/// When the folder cannot be read.
pub fn scenes_in(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let entries = fs::read_dir(folder)?.filter_map(Result::ok).map(|entry| entry.path());
    let mut scenes: Vec<PathBuf> = entries.filter(|path| is_scene(path)).collect();
    scenes.sort();
    Ok(scenes)
}

/// Whether a file is a scene by its name and its first word. One that has no sound beginning may be meant as one.
fn is_scene(path: &Path) -> bool {
    is_named_so(path) && path.is_file() && beginning(path).is_ok_and(|text| first_word(&text) != "Rules")
}

/// Whether a file is a scene by its name.
pub fn is_named_so(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("ron"))
}

fn beginning(path: &Path) -> io::Result<String> {
    // To open a pipe is to wait for it.
    if !fs::metadata(path)?.is_file() {
        return Err(io::ErrorKind::InvalidInput.into());
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(MOST_READ).read_to_end(&mut bytes)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
