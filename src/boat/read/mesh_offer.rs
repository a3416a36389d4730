//! A mesh file as a part that could be written into a scene: how it may lie, guessed, and where it would go.
//!
//! Takes the file and the scene that it is to be added to; gives an offer, or one sentence on what is wrong with the file.
//! Must never write anything: what is offered is looked at by the user and judged by the reader.

use std::path::Path;

use glam::DVec3;

use super::mesh_file::{self, MeshError, Told};
use crate::boat::{Height, PartKind, Place, Scene, Vessel, mesh::Surface};

/// See the module. Unit and axes are spelt as a scene spells them.
#[derive(Clone, Debug, PartialEq)]
pub struct MeshOffer {
    pub name: String,
    /// As the scene names it: from its own folder.
    pub file: String,
    pub unit: &'static str,
    pub up: &'static str,
    pub forward: &'static str,
    /// Where the file's origin goes.
    pub at: Place,
    /// Whether it is taken for her own hull.
    pub as_hull: bool,
    /// Whether unit and axes come from its shape, which is hers; else only from habit and size.
    pub by_shape: bool,
    /// Whether it was put amidships; else where the file's own numbers have it.
    pub amidships: bool,
    /// Length, breadth and height as it would be laid.
    pub size: DVec3,
}

/// An offer for a mesh file named from the folder of a scene.
///
/// # Errors
/// As the reader has it of a mesh in a scene.
pub fn offer_mesh(file: &str, folder: Option<&Path>, scene: &Scene) -> Result<MeshOffer, MeshError> {
    let surface = mesh_file::read(file, folder)?;
    let vessel = &scene.vessel;
    let guess = mesh_file::guess(&surface, file, vessel, &Told::default(), false);
    let laid = mesh_file::laid(surface.clone(), &guess.setting());
    let (low, high) = laid.bounds().unwrap_or_default();
    let has_hull = scene.parts.iter().any(|part| matches!(part.kind, PartKind::Mesh { as_hull: true, .. }));
    let hull = (guess.by_shape && !has_hull).then(|| hull_place(&surface, &guess.setting(), file, vessel, (low, high)));
    let as_hull = hull.flatten();
    let aboard = as_hull.is_some() || lies_aboard(vessel, (low, high));
    let at = match as_hull {
        Some(at) => at,
        None if aboard => Place { height: Height::AboveWaterline(0.0), ..Place::default() },
        None => amidships(vessel, (low, high)),
    };
    Ok(MeshOffer {
        name: free_name(file, scene),
        file: file.into(),
        unit: guess.unit,
        up: guess.up,
        forward: guess.forward,
        at,
        as_hull: as_hull.is_some(),
        by_shape: guess.by_shape,
        amidships: !aboard,
        size: high - low,
    })
}

/// Where a mesh goes that can be her hull: as its own numbers have it, or else with its after end at the transom, its
/// middle on the centreline and its keel as deep as hers. `None` where it cannot be.
fn hull_place(
    surface: &Surface,
    setting: &mesh_file::Setting,
    file: &str,
    vessel: &Vessel,
    (low, high): (DVec3, DVec3),
) -> Option<Place> {
    let own = Place { height: Height::AboveWaterline(0.0), ..Place::default() };
    let moved = Place {
        forward: -low.x,
        starboard: (low.y + high.y) / 2.0,
        height: Height::AboveWaterline(-low.z - vessel.draught()),
    };
    [own, moved].into_iter().find(|at| {
        let setting = mesh_file::Setting { origin: vessel.locate(at), ..*setting };
        mesh_file::as_hull(surface, &setting, file, vessel, at).is_none()
    })
}

/// Whether the file's own numbers have it on board: it was drawn in its place, and not round an origin of its own.
fn lies_aboard(vessel: &Vessel, (low, high): (DVec3, DVec3)) -> bool {
    /// How far what is fitted may reach beyond her, metres: a sprit, an engine, a rubbing strake.
    const BEYOND: f64 = 1.0;
    let middle = (low + high) / 2.0;
    // What is drawn by itself has its middle or its end at the origin; what is drawn where it stands on her seldom has.
    let length = (high.x - low.x).max(0.1);
    let by_itself = middle.x.abs() < 0.2 * length || low.x.abs() < 0.02 * length;
    let along = low.x >= -BEYOND && high.x <= vessel.length.0 + BEYOND;
    let across = middle.y.abs() <= vessel.beam.0 / 2.0;
    along && across && !by_itself && high.z > -vessel.draught()
}

/// On deck in the middle of her, standing on its foot.
fn amidships(vessel: &Vessel, (low, high): (DVec3, DVec3)) -> Place {
    let middle = (low + high) / 2.0;
    Place {
        forward: vessel.length.0 / 2.0 - middle.x,
        starboard: middle.y,
        height: Height::AboveWaterline(vessel.deck_height(vessel.length.0 / 2.0, 0.0) - low.z),
    }
}

/// The file's name without folder and ending; with a number where a part of that name is there.
fn free_name(file: &str, scene: &Scene) -> String {
    let stem = Path::new(file).file_stem().map_or_else(|| "mesh".into(), |stem| stem.to_string_lossy().into_owned());
    let taken = |name: &str| scene.part(name).is_some();
    if !taken(&stem) {
        return stem;
    }
    (2..).map(|n| format!("{stem} {n}")).find(|name| !taken(name)).unwrap_or(stem)
}
