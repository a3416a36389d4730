//! What a user does to a scene, as values in trade words.
//!
//! An [`Edit`] says what shall be, not where it is written; `apply` finds that. Must never touch a text.

use super::figure::Figure;
use crate::{
    boat::{Face, Lamp, Mount, Part, PartKind, Place, Posture, Role, Scene, Status, read::MeshOffer},
    measure::{Degrees, Metres},
};

/// A lamp, by the index of its fit in [`Scene::fits`] and its own in [`crate::boat::Fit::lamps`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct LampAt {
    pub fit: usize,
    pub lamp: usize,
}

impl LampAt {
    pub fn of(self, scene: &Scene) -> Option<&Lamp> {
        scene.fits.get(self.fit)?.lamps.get(self.lamp)
    }
}

/// Whatever has figures or a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Subject {
    /// The boat herself and the conditions she meets.
    Scene,
    /// Index into [`Scene::parts`].
    Part(usize),
    /// Index into [`Scene::fits`].
    Fit(usize),
    Lamp(LampAt),
}

/// A place that can be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Spot {
    Lamp(LampAt),
    /// The nth place of a part: of a rail, those it is bent through; of a bar between two places, 0 and 1; else 0.
    Part {
        part: usize,
        nth: usize,
    },
}

impl Spot {
    /// Where it is now; `None` where there is no such place.
    pub fn of(self, scene: &Scene) -> Option<Place> {
        match self {
            Self::Lamp(at) => at.of(scene)?.at,
            Self::Part { part, nth } => places(&scene.parts.get(part)?.kind).get(nth).copied(),
        }
    }
}

/// All places of a part, in the order of [`Spot::Part`]; of a mesh, where its file's origin lies. Her
/// own hull has none: all else is measured from her.
pub fn places(kind: &PartKind) -> Vec<Place> {
    match kind {
        PartKind::Rail { through, .. } => through.clone(),
        PartKind::Capsule { from, to, .. } => vec![*from, *to],
        PartKind::Stanchion { at, .. }
        | PartKind::Cabin { at, .. }
        | PartKind::Windscreen { at, .. }
        | PartKind::Outboard { at, .. }
        | PartKind::Mast { at, .. }
        | PartKind::Antenna { at, .. }
        | PartKind::Arch { at, .. }
        | PartKind::Person { at, .. }
        | PartKind::Fender { at, .. }
        | PartKind::Screen { at, .. }
        | PartKind::Box { at, .. }
        | PartKind::Cylinder { at, .. }
        | PartKind::Mesh { at, as_hull: false, .. } => vec![*at],
        PartKind::Mesh { as_hull: true, .. } => Vec::new(),
    }
}

/// One thing that is done to a scene.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Moves a lamp or a place of a part. The level that its height is measured from becomes that of the place.
    Move {
        what: Spot,
        to: Place,
    },
    /// Sets a figure of a lamp, a part or the scene.
    Set {
        what: Subject,
        figure: Figure,
        to: f64,
    },
    /// Running trim, bow up positive.
    Trim {
        least: Degrees,
        most: Degrees,
    },
    /// Heights of the observers' eyes.
    Eyes(Vec<Metres>),
    /// Seats or stands a person: the first posture is that at rest.
    Postures {
        part: usize,
        postures: Vec<Posture>,
    },
    /// Says whose eyes keep the lookout: a person by the index of the part, or whoever is first.
    Helm(Option<usize>),
    /// Mounts a lamp another way. `at` is where it goes if it had no place of its own.
    Remount {
        lamp: LampAt,
        mount: Mount,
        at: Option<Place>,
    },
    /// Takes out what the scene says of a lamp's bracket.
    DropBracket(LampAt),
    Role {
        lamp: LampAt,
        role: Role,
    },
    /// Puts in another generic lamp, by its name in the library.
    Optics {
        lamp: LampAt,
        name: String,
    },
    /// Says when a lamp is lit.
    Lit {
        lamp: LampAt,
        lit: Vec<Status>,
    },
    Face {
        lamp: LampAt,
        face: Face,
    },
    /// Gives another name, and the same to all that mention the old one.
    Rename {
        what: Subject,
        name: String,
    },
    Note {
        what: Subject,
        note: String,
    },
    /// Adds a generic lamp, so that it becomes the one of this index.
    AddLamp {
        at: LampAt,
        lamp: Box<Lamp>,
    },
    /// Adds a part, so that it becomes the one of this index.
    AddPart {
        at: usize,
        part: Box<Part>,
    },
    /// Adds a mesh as a part, so that it becomes the one of this index.
    AddMesh {
        at: usize,
        mesh: Box<MeshOffer>,
    },
    /// Puts a copy of a part, a lamp or a fit right behind it, comments inside and all.
    Copy {
        what: Subject,
        name: String,
    },
    /// Takes out a part, a lamp or a fit. Switches no longer name a lamp taken out; a mount that names a part taken out
    /// is a fault.
    Remove(Subject),
    /// Several things at once, all or none, in order. Indices are those at the moment each is made.
    All {
        label: String,
        edits: Vec<Edit>,
    },
}

impl Edit {
    /// What is done, in plain words for a list of steps: "Move starboard sidelight". The scene is that before it.
    pub fn label(&self, scene: &Scene) -> String {
        let lamp = |at: &LampAt| name_of(Subject::Lamp(*at), scene);
        match self {
            Self::Move { what: Spot::Lamp(at), .. } => format!("Move {}", lamp(at)),
            Self::Move { what: Spot::Part { part, .. }, .. } => {
                format!("Move {}", name_of(Subject::Part(*part), scene))
            }
            Self::Set { what: Subject::Lamp(at), .. } => format!("Turn {}", lamp(at)),
            Self::Set { what: Subject::Scene, figure, .. } => format!("Set {}", figure.in_words()),
            Self::Set { what, figure, .. } => format!("{} {}", figure.verb(), name_of(*what, scene)),
            Self::Trim { .. } => "Set trim".into(),
            Self::Eyes(_) => "Set heights of eye".into(),
            Self::Postures { part, postures } => {
                let verb = if postures.first() == Some(&Posture::Standing) { "Stand up" } else { "Seat" };
                format!("{verb} {}", name_of(Subject::Part(*part), scene))
            }
            Self::Helm(Some(part)) => format!("Give {} the lookout", name_of(Subject::Part(*part), scene)),
            Self::Helm(None) => "Give the first person the lookout".into(),
            Self::Remount { lamp: at, .. } => format!("Remount {}", lamp(at)),
            Self::DropBracket(at) => format!("Drop the bracket of {}", lamp(at)),
            Self::Role { lamp: at, role } => format!("Make {} {}", lamp(at), role.with_article()),
            Self::Optics { lamp: at, .. } => format!("Change optics of {}", lamp(at)),
            Self::Lit { lamp: at, .. } => format!("Change when {} is lit", lamp(at)),
            Self::Face { lamp: at, .. } => format!("Change face of {}", lamp(at)),
            Self::Rename { what, name } => format!("Rename {} to {name}", name_of(*what, scene)),
            Self::Note { what, .. } => format!("Change note of {}", name_of(*what, scene)),
            Self::AddLamp { lamp, .. } => format!("Add {}", lamp.name),
            Self::AddPart { part, .. } => format!("Add {}", part.name),
            Self::AddMesh { mesh, .. } => format!("Add {}", mesh.name),
            Self::Copy { what, name } => format!("Copy {} as {name}", name_of(*what, scene)),
            Self::Remove(what) => format!("Delete {}", name_of(*what, scene)),
            Self::All { label, .. } => label.clone(),
        }
    }

    /// Whether both do the same to the same thing, so that of two in one drag the later makes the earlier void.
    pub fn overrides(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Move { what, .. }, Self::Move { what: other, .. }) => what == other,
            (Self::Set { what, figure, .. }, Self::Set { what: other, figure: another, .. }) => {
                what == other && figure == another
            }
            (Self::Trim { .. }, Self::Trim { .. }) | (Self::Eyes(_), Self::Eyes(_)) => true,
            (Self::Postures { part, .. }, Self::Postures { part: other, .. }) => part == other,
            (Self::Face { lamp, .. }, Self::Face { lamp: other, .. }) => lamp == other,
            (Self::All { edits, .. }, Self::All { edits: others, .. }) => {
                edits.len() == others.len() && edits.iter().zip(others).all(|(edit, other)| edit.overrides(other))
            }
            _ => false,
        }
    }
}

impl Figure {
    fn verb(self) -> &'static str {
        match self {
            Self::Steered => "Steer",
            Self::TiltedUp => "Tilt",
            Self::Folded => "Fold",
            Self::Yaw => "Turn",
            Self::Rake | Self::Lean | Self::Transmits => "Change",
            _ => "Resize",
        }
    }
}

fn name_of(what: Subject, scene: &Scene) -> String {
    let name = match what {
        Subject::Scene => Some(&scene.name),
        Subject::Part(part) => scene.parts.get(part).map(|part| &part.name),
        Subject::Fit(fit) => scene.fits.get(fit).map(|fit| &fit.name),
        Subject::Lamp(at) => at.of(scene).map(|lamp| &lamp.name),
    };
    name.cloned().unwrap_or_else(|| "nothing".into())
}
