//! Reads a scene file: text into a tree, the tree into the boat, the boat held against what is possible.
//!
//! Takes a path or a text; gives the [`Scene`] with the places its pieces stand at in the text, or every fault of the
//! file at once. Must never judge whether the lights are lawful.

mod bracket;
mod check;
mod decode;
mod fault;
mod fields;
mod lamp_file;
mod lex;
mod limits;
pub mod mesh_file;
mod mesh_offer;
mod mesh_part;
mod parts;
mod quotes;
mod shelf;
mod supply;
mod switches;
pub mod text;
mod units;
mod wiring;

use std::{fs, io::ErrorKind, path::Path};

pub(crate) use fault::Faults;
pub use fault::{Fault, Lines, ReadError, Span};
pub(crate) use fields::{bare, choice_words, found, nearest, shortened};
pub use lamp_file::{LampError, LampFile, lamp_file};
pub(crate) use lex::is_blank;
pub use mesh_offer::{MeshOffer, offer_mesh};
pub use shelf::Shelf;
pub(crate) use units::{figure_of, metres_of, slip_of_unit};

use super::{Role, Scene, Status, Vessel};
use fields::Desk;
use text::Node;

/// A scene with the text it was read from.
#[derive(Clone, Debug)]
pub struct Read {
    pub scene: Scene,
    /// The text that the spans count in: the file's, without a byte-order mark.
    pub text: String,
    pub spans: Spans,
}

/// Where the pieces of a scene stand in its text.
#[derive(Clone, Debug)]
pub struct Spans {
    root: Node,
    lines: Lines,
}

impl Spans {
    /// The tree of the whole file.
    pub fn root(&self) -> &Node {
        &self.root
    }

    /// A part, by its index in [`Scene::parts`].
    pub fn part(&self, part: usize) -> Option<&Node> {
        self.root.field("parts")?.items().get(part)
    }

    /// A fit, by its index in [`Scene::fits`].
    pub fn fit(&self, fit: usize) -> Option<&Node> {
        self.root.field("fits")?.items().get(fit)
    }

    /// A lamp, by the index of its fit and its own in [`super::Fit::lamps`].
    pub fn lamp(&self, fit: usize, lamp: usize) -> Option<&Node> {
        self.fit(fit)?.field("lamps")?.items().get(lamp)
    }

    /// A switch, by the index of its fit and its own in [`super::Fit::switches`].
    pub fn switch(&self, fit: usize, switch: usize) -> Option<&Node> {
        self.fit(fit)?.field("switches")?.items().get(switch)
    }

    /// The line, counted from 1, on which something begins.
    pub fn line(&self, span: Span) -> usize {
        self.lines.line(span.start)
    }
}

/// The greatest scene file that is read, in bytes.
const LARGEST_FILE: u64 = 4 * 1024 * 1024;

/// Reads a scene file. Mesh files are looked for beside it.
///
/// # Errors
/// When the file cannot be read as text, or with every fault found in it.
pub fn scene_file(path: &Path) -> Result<Read, ReadError> {
    let name = path.display().to_string();
    let text = text_of(path)?;
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    scene_text(&text, &name, Some(folder))
}

/// Reads a scene from its text. `name` is what messages call it; `folder` is where mesh files are looked for.
///
/// # Errors
/// With every fault found in the text.
pub fn scene_text(text: &str, name: &str, folder: Option<&Path>) -> Result<Read, ReadError> {
    scene_text_from(text, name, folder, None)
}

/// The same, but files that the scene names are read only where the shelf does not hold them already, and are put on it.
///
/// # Errors
/// With every fault found in the text.
pub fn scene_text_from(
    text: &str,
    name: &str,
    folder: Option<&Path>,
    shelf: Option<&Shelf>,
) -> Result<Read, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut faults = Faults::of(text);
    let root = text::parse(text, "Scene", &mut faults);
    let mut desk = Desk { faults: &mut faults, vessel: None, folder, shelf, field: None };
    let draft = decode::scene(&root, &mut desk);
    let scene = draft.and_then(|draft| {
        check::scene(&draft, &mut desk);
        draft.scene()
    });
    let lines = faults.lines.clone();
    match scene.filter(|_| faults.count() == 0) {
        Some(scene) => Ok(Read { scene, text: text.into(), spans: Spans { root, lines } }),
        None => Err(ReadError::faulty(name, text.into(), faults.in_order(text))),
    }
}

/// When a lamp of this role is lit whose file does not say; `None` where it must.
pub(crate) fn usually_lit(role: Role, vessel: &Vessel) -> Option<Vec<Status>> {
    decode::usually_lit(role, Some(vessel)).ok().map(|lit| decode::plain(lit, vessel.propulsion))
}

/// The text of a scene or rule file.
///
/// # Errors
/// When it cannot be read, is far too large, or is no text.
pub(crate) fn text_of(path: &Path) -> Result<String, ReadError> {
    let name = path.display().to_string();
    let bytes = bytes_of(path).map_err(|why| ReadError::no_text(&name, why))?;
    String::from_utf8(bytes).map_err(|error| ReadError::no_text(&name, not_text(&error)))
}

fn bytes_of(path: &Path) -> Result<Vec<u8>, String> {
    let kept =
        fs::metadata(path).and_then(|kept| if kept.is_dir() { Err(ErrorKind::IsADirectory.into()) } else { Ok(kept) });
    let bytes = match kept {
        Ok(kept) if kept.len() > LARGEST_FILE => {
            return Err("this file is too large; name a file that begins with `Scene(` or `Rules(`".into());
        }
        // To read a pipe or a device may never end.
        Ok(kept) if !kept.is_file() => {
            return Err("this is no plain file but a pipe or a device; name a file on disk".into());
        }
        Ok(_) => fs::read(path),
        Err(error) => Err(error),
    };
    bytes.map_err(|error| match error.kind() {
        ErrorKind::NotFound => "there is no such file; look at the spelling of its name and folder".into(),
        ErrorKind::IsADirectory => "this is a folder; name the scene file in it".into(),
        ErrorKind::PermissionDenied => "reading this file is not permitted; change its permissions".into(),
        _ => format!("the file cannot be read ({error}); look whether the disk is well"),
    })
}

fn not_text(error: &std::string::FromUtf8Error) -> String {
    let sound = error.as_bytes().get(..error.utf8_error().valid_up_to()).unwrap_or_default();
    let sound = String::from_utf8_lossy(sound);
    let (line, column) = Lines::of(&sound).line_and_column(&sound, sound.len());
    format!("the file is not UTF-8 text, from line {line}, column {column}; save it as UTF-8 in your editor")
}

#[cfg(test)]
mod tests;
