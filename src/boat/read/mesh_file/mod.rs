//! Reads a surface from a mesh file: STL, OBJ, glTF or GLB.
//!
//! Takes the file, and its unit and axes as the scene names them, for mesh files do not say; gives named pieces in metres
//! in the vessel frame, or one sentence on what is wrong with the file. Where the scene says nothing, it offers a guess
//! and never acts on one. Must never know of scenes.

mod gather;
mod gltf_file;
mod guess;
mod lines;
mod obj;
mod polygon;
mod scale;
mod stl;

use std::{
    fs::{self, File},
    io::{BufReader, ErrorKind, Read},
    path::Path,
    sync::Arc,
};

use glam::{DMat3, DVec3};

use super::{
    fields::{Desk, text},
    text::Node,
};
use crate::boat::mesh::Surface;
use gather::Gathered;
pub(super) use guess::guess;
pub(super) use scale::{as_hull, as_part};

/// What is wrong with a mesh file, and how to mend it.
#[derive(Clone, Debug, PartialEq)]
pub struct MeshError {
    pub what: String,
    pub mend: String,
}

impl MeshError {
    fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { what: what.into(), mend: mend.into() }
    }
}

/// How the file's own numbers lie on the boat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Setting {
    /// Metres in one unit of the file.
    pub metres: f64,
    /// The axis of the file that points up on the boat: a unit vector.
    pub up: DVec3,
    /// The axis of the file that points forward on the boat: a unit vector square to `up`.
    pub forward: DVec3,
    /// Where the file's origin lies, vessel frame.
    pub origin: DVec3,
}

impl Setting {
    fn turn(&self) -> DMat3 {
        // Rows are the vessel's axes as they lie in the file.
        DMat3::from_cols(self.forward, self.up.cross(self.forward), self.up).transpose()
    }
}

/// More triangles than this make a survey slow and tell no more of a boat.
pub const MOST_TRIANGLES: usize = 2_000_000;
/// Bytes of a file that could still hold no more than that, written wastefully.
const LARGEST_FILE: u64 = 1 << 30;

const UNITS: [(&str, f64); 5] = [("mm", 0.001), ("cm", 0.01), ("m", 1.0), ("in", 0.0254), ("ft", 0.3048)];

const AXES: [(&str, DVec3); 6] = [
    ("+x", DVec3::X),
    ("-x", DVec3::NEG_X),
    ("+y", DVec3::Y),
    ("-y", DVec3::NEG_Y),
    ("+z", DVec3::Z),
    ("-z", DVec3::NEG_Z),
];

/// What the scene says of how a file's numbers lie; `None` where it does not.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Told {
    pub metres: Option<f64>,
    pub up: Option<DVec3>,
    pub forward: Option<DVec3>,
}

/// Metres in the unit that the scene names.
pub(super) fn unit(node: &Node, desk: &mut Desk) -> Option<f64> {
    chosen(node, desk, "unit", &UNITS)
}

/// The axis that the scene names, as a unit vector.
pub(super) fn axis(node: &Node, desk: &mut Desk) -> Option<DVec3> {
    chosen(node, desk, "axis", &AXES)
}

fn chosen<T: Copy>(node: &Node, desk: &mut Desk, what: &str, choice: &[(&str, T)]) -> Option<T> {
    let written = text(node, desk)?;
    let known = choice.iter().find(|(word, _)| *word == written);
    if known.is_none() {
        let words: Vec<_> = choice.iter().map(|(word, _)| format!("\"{word}\"")).collect();
        let all = format!("the choice is {}", words.join(", "));
        let meant = format!("+{}", written.trim().to_lowercase());
        let meant = choice.iter().find(|(word, _)| *word == meant || meant[1..] == **word);
        let mend = meant.map_or(all.clone(), |(word, _)| format!("did you mean \"{word}\"? {all}"));
        desk.fault(node.span, format!("there is no {what} \"{}\"", written.escape_debug()), mend);
    }
    known.map(|(_, value)| *value)
}

/// Reads a mesh file named relative to `folder`: its surface in the file's own numbers.
///
/// # Errors
/// When there is no such file, it is of no known kind, is damaged, holds no triangle or more than
/// [`MOST_TRIANGLES`], or has a corner that is no finite number.
pub fn read(file: &str, folder: Option<&Path>) -> Result<Surface, MeshError> {
    let Some(folder) = folder else {
        let what = format!("mesh file \"{file}\" cannot be found: this scene lies in no folder");
        return Err(MeshError::new(what, "save the scene as a file beside the mesh"));
    };
    let path = folder.join(file);
    let kind = ending(file);
    if !KINDS.contains(&kind.as_str()) {
        let what = format!("mesh file \"{file}\" is of no kind that can be read");
        return Err(MeshError::new(what, "export it as .stl, .obj, .gltf or .glb"));
    }
    let (opened, size) = open(&path, file)?;
    let opened = BufReader::with_capacity(1 << 16, opened);
    let mut gathered = Gathered::new(file);
    match kind.as_str() {
        "stl" => stl::read(opened, size, &mut gathered)?,
        "obj" => obj::read(opened, &mut gathered)?,
        _ => gltf_file::read(opened, path.parent().unwrap_or(folder), &mut gathered)?,
    }
    gathered.finish()
}

/// The endings of the files that can be read.
const KINDS: [&str; 4] = ["stl", "obj", "gltf", "glb"];

/// Whether a file is a mesh by its name.
pub fn is_named_so(path: &Path) -> bool {
    KINDS.contains(&ending(&path.to_string_lossy()).as_str())
}

/// The ending of a file's name in small letters, without its dot.
fn ending(file: &str) -> String {
    Path::new(file).extension().map(|kind| kind.to_string_lossy().to_lowercase()).unwrap_or_default()
}

/// Lays a surface in a file's own numbers on the boat.
pub fn laid(mut surface: Surface, setting: &Setting) -> Surface {
    let turn = setting.turn() * setting.metres;
    for piece in &mut surface.pieces {
        for point in &mut Arc::make_mut(&mut piece.triangles).points {
            *point = setting.origin + turn * *point;
        }
    }
    surface
}

/// Opens a file named in a scene, and tells its size in bytes. It is looked at before: to open a pipe is to wait for it.
fn open(path: &Path, file: &str) -> Result<(File, u64), MeshError> {
    let kept = fs::metadata(path).map_err(|error| unread(path, file, &error))?;
    if !kept.is_file() {
        return Err(MeshError::new(format!("\"{file}\" is no plain file"), "name the mesh file itself"));
    }
    if kept.len() > LARGEST_FILE {
        let what = format!("mesh file \"{file}\" is larger than a thousand megabytes");
        return Err(MeshError::new(what, "export it with fewer triangles"));
    }
    let opened = File::open(path).map_err(|error| unread(path, file, &error))?;
    Ok((opened, kept.len()))
}

/// At most so many bytes of a file that a mesh file names.
fn bytes_of(path: &Path, file: &str, most: u64) -> Result<Vec<u8>, MeshError> {
    let (opened, _) = open(path, file)?;
    let mut bytes = Vec::new();
    opened.take(most).read_to_end(&mut bytes).map_err(|error| unread(path, file, &error))?;
    Ok(bytes)
}

fn unread(path: &Path, file: &str, error: &std::io::Error) -> MeshError {
    if error.kind() == ErrorKind::NotFound {
        let mend = format!("put it at {}, or correct its name", path.display());
        return MeshError::new(format!("there is no mesh file \"{file}\""), mend);
    }
    MeshError::new(format!("mesh file \"{file}\" cannot be read: {error}"), "look at its permissions and kind")
}
