//! A shelf of the files that a scene names, as they were last read, so that a scene that changes by a word does not read a
//! great mesh again.
//!
//! Gives what it holds as long as the file looks the same from outside: its time and its length. What can no longer be
//! looked at keeps what was read of it. Must never know what a scene is.

use std::{
    fs,
    path::Path,
    sync::{Arc, Mutex, PoisonError},
    time::SystemTime,
};

use super::{
    lamp_file::{LampError, LampFile, lamp_file},
    mesh_file::{self, MeshError, Setting},
};
use crate::{
    boat::{Place, Vessel, mesh::Surface},
    light::measured::Reading,
};

/// What a file looks like from outside; `None` where it cannot be looked at.
type Look = Option<(SystemTime, u64)>;

fn look_at(path: &Path) -> Look {
    let kept = fs::metadata(path).ok()?;
    Some((kept.modified().ok()?, kept.len()))
}

/// Whether what was read of a file still holds.
fn holds(then: Look, now: Look) -> bool {
    now.is_none() || then == now
}

/// Everything that says how a mesh lies on the boat, and that it may.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Laying {
    pub file: String,
    pub setting: Setting,
    pub as_hull: bool,
    pub at: Place,
    pub vessel: Option<Vessel>,
    /// Names of pieces, and the share of light each lets through.
    pub panes: Vec<(String, f64)>,
}

#[derive(Debug)]
struct KeptMesh {
    file: String,
    look: Look,
    surface: Surface,
    /// Newest first.
    laid: Vec<(Laying, Arc<Surface>)>,
}

#[derive(Debug)]
struct KeptLamp {
    file: LampFile,
    looks: (Look, Look),
    reading: Reading,
}

#[derive(Debug, Default)]
struct Kept {
    meshes: Vec<KeptMesh>,
    lamps: Vec<KeptLamp>,
}

/// The shelf. Belongs to one folder: that of the scene.
#[derive(Debug, Default)]
pub struct Shelf(Mutex<Kept>);

/// One mesh may be two parts; more would only fill the memory while one is dragged.
const MOST_LAID: usize = 2;

impl Shelf {
    fn with<T>(&self, act: impl FnOnce(&mut Kept) -> T) -> T {
        act(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Forgets everything.
    pub fn clear(&self) {
        self.with(|kept| *kept = Kept::default());
    }

    /// A mesh in the file's own numbers, as [`mesh_file::read`] gives it.
    pub(super) fn mesh(&self, file: &str, folder: &Path) -> Result<Surface, MeshError> {
        let now = look_at(&folder.join(file));
        let known = self.with(|kept| {
            let mut same = kept.meshes.iter().filter(|mesh| mesh.file == file && holds(mesh.look, now));
            same.next().map(|mesh| mesh.surface.clone())
        });
        if let Some(surface) = known {
            return Ok(surface);
        }
        let surface = mesh_file::read(file, Some(folder))?;
        let mesh = KeptMesh { file: file.into(), look: now, surface: surface.clone(), laid: Vec::new() };
        self.with(|kept| {
            kept.meshes.retain(|mesh| mesh.file != file);
            kept.meshes.push(mesh);
        });
        Ok(surface)
    }

    /// A mesh that was laid just so before, from the file as it was last read.
    pub(super) fn laid(&self, wanted: &Laying) -> Option<Arc<Surface>> {
        self.with(|kept| {
            let mesh = kept.meshes.iter().find(|mesh| mesh.file == wanted.file)?;
            mesh.laid.iter().find(|(laying, _)| laying == wanted).map(|(_, surface)| Arc::clone(surface))
        })
    }

    pub(super) fn keep_laid(&self, laying: Laying, surface: &Arc<Surface>) {
        self.with(|kept| {
            if let Some(mesh) = kept.meshes.iter_mut().find(|mesh| mesh.file == laying.file) {
                mesh.laid.insert(0, (laying, Arc::clone(surface)));
                mesh.laid.truncate(MOST_LAID);
            }
        });
    }

    /// A measured lamp, as [`lamp_file`] gives it.
    pub(super) fn lamp(&self, file: &LampFile) -> Result<Reading, LampError> {
        let now = (look_at(&file.path), file.vertical.as_deref().and_then(look_at));
        let known = self.with(|kept| {
            let same =
                |lamp: &&KeptLamp| lamp.file == *file && holds(lamp.looks.0, now.0) && holds(lamp.looks.1, now.1);
            kept.lamps.iter().find(same).map(|lamp| lamp.reading.clone())
        });
        if let Some(reading) = known {
            return Ok(reading);
        }
        let reading = lamp_file(file)?;
        let lamp = KeptLamp { file: file.clone(), looks: now, reading: reading.clone() };
        self.with(|kept| {
            kept.lamps.retain(|lamp| lamp.file != *file);
            kept.lamps.push(lamp);
        });
        Ok(reading)
    }
}
