//! Reads a surface from a mesh file: STL, OBJ, glTF or GLB.
//!
//! Takes the file with its unit and its axes as the scene names them, for mesh files do not say; gives triangles in
//! metres in the vessel frame, or one sentence on what is wrong with the file. Must never know of scenes.

use std::{
    collections::HashMap,
    fs,
    io::{Cursor, ErrorKind},
    path::Path,
};

use glam::{DMat3, DVec3};

use super::{
    fields::{Desk, choice_words, text},
    gltf_file,
    text::Node,
};
use crate::{boat::shape::Triangles, measure::trimmed};

/// What is wrong with a mesh file, and how to mend it.
#[derive(Clone, Debug, PartialEq)]
pub struct MeshError {
    pub what: String,
    pub mend: String,
}

impl MeshError {
    pub(super) fn new(what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { what: what.into(), mend: mend.into() }
    }
}

/// How the file's own numbers lie on the boat.
#[derive(Clone, Copy, Debug)]
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
/// A mesh larger than this, in metres, was read in the wrong unit.
const LARGEST: f64 = 100.0;
/// A mesh smaller than this, in metres, was read in the wrong unit.
const SMALLEST: f64 = 0.005;
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
        let words: Vec<_> = choice.iter().map(|(word, _)| *word).collect();
        desk.fault(node.span, format!("there is no {what} \"{}\"", written.escape_debug()), choice_words("", &words));
    }
    known.map(|(_, value)| *value)
}

/// Reads a mesh file named relative to `folder`.
///
/// # Errors
/// When there is no such file, it is of no known kind, is damaged, holds no triangle or more than
/// [`MOST_TRIANGLES`], has a corner that is no finite number, or is of absurd size in its unit.
pub fn surface(file: &str, folder: Option<&Path>, setting: &Setting) -> Result<Triangles, MeshError> {
    let Some(folder) = folder else {
        let what = format!("mesh file \"{file}\" cannot be found: this scene lies in no folder");
        return Err(MeshError::new(what, "save the scene as a file beside the mesh"));
    };
    let path = folder.join(file);
    let kind = path.extension().map(|kind| kind.to_string_lossy().to_lowercase()).unwrap_or_default();
    if !["stl", "obj", "gltf", "glb"].contains(&kind.as_str()) {
        let what = format!("mesh file \"{file}\" is of no kind that can be read");
        return Err(MeshError::new(what, "export it as .stl, .obj, .gltf or .glb"));
    }
    let bytes = bytes_of(&path, file)?;
    let mut gathered = Gathered::new(file, *setting);
    match kind.as_str() {
        "stl" => stl(&bytes, &mut gathered)?,
        "obj" => obj(&bytes, &mut gathered)?,
        _ => gltf_file::read(&bytes, path.parent().unwrap_or(folder), &mut gathered)?,
    }
    gathered.finish()
}

/// The bytes of a file named in a scene.
pub(super) fn bytes_of(path: &Path, file: &str) -> Result<Vec<u8>, MeshError> {
    let large = fs::metadata(path).is_ok_and(|kept| kept.len() > LARGEST_FILE);
    if large {
        let what = format!("mesh file \"{file}\" is larger than a thousand megabytes");
        return Err(MeshError::new(what, "export it with fewer triangles"));
    }
    fs::read(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => {
            let mend = format!("put it at {}, or correct its name", path.display());
            MeshError::new(format!("there is no mesh file \"{file}\""), mend)
        }
        _ => {
            MeshError::new(format!("mesh file \"{file}\" cannot be read: {error}"), "look at its permissions and kind")
        }
    })
}

/// Triangles while they are gathered: each corner point once, in the vessel frame.
pub(super) struct Gathered<'f> {
    file: &'f str,
    setting: Setting,
    turn: DMat3,
    mesh: Triangles,
    known: HashMap<[u64; 3], u32>,
}

impl<'f> Gathered<'f> {
    fn new(file: &'f str, setting: Setting) -> Self {
        Self { file, turn: setting.turn(), setting, mesh: Triangles::default(), known: HashMap::new() }
    }

    /// A fault of this file.
    pub fn error(&self, wrong: &str, mend: &str) -> MeshError {
        MeshError::new(format!("mesh file \"{}\" {wrong}", self.file), mend)
    }

    /// The fault of a damaged file.
    pub fn damaged(&self, detail: impl std::fmt::Display) -> MeshError {
        self.error(&format!("is damaged: {detail}"), "export it again from the program that made it")
    }

    /// Adds a triangle in the file's own numbers, counter-clockwise from outside. One without area is left out.
    pub fn add(&mut self, corners: [DVec3; 3]) -> Result<(), MeshError> {
        if !corners.iter().all(|corner| corner.is_finite()) {
            return Err(self.error("has a corner that is no finite number", "export it again, or repair the mesh"));
        }
        if self.mesh.corners.len() >= MOST_TRIANGLES {
            return Err(self.error("has more than two million triangles", "reduce the mesh before exporting it"));
        }
        let placed = corners.map(|corner| self.setting.origin + self.turn * corner * self.setting.metres);
        let [a, b, c] = placed;
        if (b - a).cross(c - a).length_squared() > 0.0 {
            let indices = placed.map(|corner| self.index(corner));
            self.mesh.corners.push(indices);
        }
        Ok(())
    }

    fn index(&mut self, corner: DVec3) -> u32 {
        // Adding nought makes of -0 a plain 0.
        let key = (corner + DVec3::ZERO).to_array().map(f64::to_bits);
        if let Some(index) = self.known.get(&key) {
            return *index;
        }
        let index = self.mesh.point(corner);
        self.known.insert(key, index);
        index
    }

    fn finish(self) -> Result<Triangles, MeshError> {
        let Some((low, high)) = self.mesh.bounds() else {
            return Err(self.error("holds no triangle", "export a surface, not points, lines or an empty scene"));
        };
        let size = (high - low).max_element();
        let mend = "look at `unit`: it must be the one the mesh was exported in";
        if size > LARGEST {
            return Err(self.error(&format!("would be {} m large, and at most 100 m is read", trimmed(size, 1)), mend));
        }
        if size < SMALLEST {
            return Err(self.error(&format!("would be only {} mm large", trimmed(size * 1000.0, 3)), mend));
        }
        Ok(self.mesh)
    }
}

/// Bytes of an STL header, of its count, and of each of its triangles.
const STL_HEAD: usize = 84;
const STL_TRIANGLE: usize = 50;

fn stl(bytes: &[u8], gathered: &mut Gathered) -> Result<(), MeshError> {
    let count = bytes.get(80..STL_HEAD).and_then(|count| count.try_into().ok()).map(u32::from_le_bytes);
    let fits = |count: u32| usize::try_from(count).is_ok_and(|count| bytes.len() >= STL_HEAD + count * STL_TRIANGLE);
    let written = bytes.starts_with(b"solid");
    let text = written.then(|| String::from_utf8_lossy(bytes)).filter(|text| text.contains("endsolid"));
    if let Some(text) = text {
        // One file may hold several solids, one after another.
        return solids(&text).try_for_each(|solid| stl_part(solid.into_bytes(), gathered));
    }
    if !count.is_some_and(fits) {
        return Err(gathered.damaged("it ends before its last triangle"));
    }
    let mut plain = bytes.to_vec();
    // Some programs begin even a binary header with the word that marks a written one.
    if let Some(word) = plain.get_mut(..5) {
        word.fill(b' ');
    }
    stl_part(plain, gathered)
}

/// Each solid of a written STL file, its first line made such as every reader takes.
fn solids(text: &str) -> impl Iterator<Item = String> {
    let mut solids: Vec<String> = Vec::new();
    for line in text.lines() {
        if line.trim_start().starts_with("solid") {
            solids.push("solid of the boat\n".into());
        } else if let Some(solid) = solids.last_mut() {
            solid.push_str(line);
            solid.push('\n');
        }
    }
    solids.into_iter()
}

fn stl_part(bytes: Vec<u8>, gathered: &mut Gathered) -> Result<(), MeshError> {
    let mut cursor = Cursor::new(bytes);
    let triangles = stl_io::create_stl_reader(&mut cursor).map_err(|error| gathered.damaged(error))?;
    for triangle in triangles {
        let triangle = triangle.map_err(|error| gathered.damaged(error))?;
        gathered.add(triangle.vertices.map(|vertex| DVec3::from_array(vertex.0.map(f64::from))))?;
    }
    Ok(())
}

fn obj(bytes: &[u8], gathered: &mut Gathered) -> Result<(), MeshError> {
    let options =
        tobj::LoadOptions { triangulate: true, ignore_points: true, ignore_lines: true, ..Default::default() };
    // Materials have no bearing on shadows.
    let no_materials = |_: &Path| Ok(Default::default());
    let (models, _) =
        tobj::load_obj_buf(&mut Cursor::new(bytes), &options, no_materials).map_err(|error| gathered.damaged(error))?;
    for model in &models {
        let point = |index: u32| -> Option<DVec3> {
            let at = usize::try_from(index).ok()?.checked_mul(3)?;
            let numbers = model.mesh.positions.get(at..at + 3)?;
            Some(DVec3::new(numbers[0].into(), numbers[1].into(), numbers[2].into()))
        };
        for corners in model.mesh.indices.chunks_exact(3) {
            let [Some(a), Some(b), Some(c)] = [corners[0], corners[1], corners[2]].map(point) else {
                return Err(gathered.damaged("a face names a corner that is not there"));
            };
            gathered.add([a, b, c])?;
        }
    }
    Ok(())
}
