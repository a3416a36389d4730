//! Triangles while a mesh file is read: each corner point once in its piece, in the file's own numbers.
//!
//! Takes triangles with the names they go by; gives a [`Surface`]. What it is given may come from anywhere: names are
//! made harmless, and their number and that of the triangles are held. Must never know of units and axes.

use std::{
    collections::{HashMap, hash_map::Entry},
    hash::{BuildHasher, RandomState},
    sync::Arc,
};

use glam::DVec3;

use super::{MOST_TRIANGLES, MeshError};
use crate::boat::{
    mesh::{Piece, Surface},
    shape::Triangles,
};

/// More pieces than this nobody tells apart; what comes after them goes without a name.
pub(super) const MOST_PIECES: usize = 10_000;
/// Letters of a name that are shown.
pub(super) const LONGEST_NAME: usize = 60;

/// See the module.
pub(super) struct Gathered<'f> {
    file: &'f str,
    hasher: RandomState,
    pieces: Vec<Growing>,
    by_name: HashMap<Option<String>, usize>,
    /// The name of what is being read, and its piece as soon as it has a triangle.
    name: Option<String>,
    current: Option<usize>,
    kept: usize,
    seen: usize,
}

impl<'f> Gathered<'f> {
    pub fn new(file: &'f str) -> Self {
        Self {
            file,
            hasher: RandomState::new(),
            pieces: Vec::new(),
            by_name: HashMap::new(),
            name: None,
            current: None,
            kept: 0,
            seen: 0,
        }
    }

    /// A fault of this file.
    pub fn error(&self, wrong: &str, mend: &str) -> MeshError {
        MeshError::new(format!("mesh file \"{}\" {wrong}", self.file), mend)
    }

    /// The fault of a damaged file.
    pub fn damaged(&self, detail: impl std::fmt::Display) -> MeshError {
        self.error(
            &format!("is damaged: {}", harmless(&detail.to_string())),
            "export it again from the program that made it",
        )
    }

    /// The fault of a file of too many triangles.
    pub fn too_many(&self) -> MeshError {
        self.error("has more than two million triangles", "reduce the mesh before exporting it")
    }

    /// What is added from here on goes by this name.
    pub fn begin(&mut self, name: Option<&str>) {
        self.name = name.and_then(harmless_name);
        self.current = None;
    }

    /// Makes room for what is to come of the current name.
    pub fn expect(&mut self, triangles: usize) {
        let at = self.piece();
        let mesh = &mut self.pieces[at].mesh;
        mesh.corners.reserve(triangles.min(MOST_TRIANGLES));
        // A closed surface has half as many points as triangles.
        mesh.points.reserve(triangles.min(MOST_TRIANGLES) / 2 + 2);
    }

    /// Adds a triangle in the file's own numbers, counter-clockwise from outside. One without area is left out.
    pub fn add(&mut self, corners: [DVec3; 3]) -> Result<(), MeshError> {
        if !corners.iter().all(|corner| corner.is_finite()) {
            return Err(self.error("has a corner that is no finite number", "export it again, or repair the mesh"));
        }
        // A file may be all slivers without area, each named again and again.
        self.seen += 1;
        if self.kept >= MOST_TRIANGLES || self.seen > 2 * MOST_TRIANGLES {
            return Err(self.too_many());
        }
        let [a, b, c] = corners;
        if (b - a).cross(c - a).length_squared() > 0.0 {
            self.kept += 1;
            let at = self.piece();
            let (growing, hasher) = (&mut self.pieces[at], &self.hasher);
            let indices = corners.map(|corner| growing.index(corner, hasher));
            growing.mesh.corners.push(indices);
        }
        Ok(())
    }

    /// The piece of the current name.
    fn piece(&mut self) -> usize {
        if let Some(current) = self.current {
            return current;
        }
        let full = self.pieces.len() >= MOST_PIECES && !self.by_name.contains_key(&self.name);
        let name = if full { None } else { self.name.clone() };
        let at = match self.by_name.entry(name) {
            Entry::Occupied(known) => *known.get(),
            Entry::Vacant(new) => {
                self.pieces.push(Growing { name: new.key().clone(), ..Growing::default() });
                *new.insert(self.pieces.len() - 1)
            }
        };
        self.current = Some(at);
        at
    }

    pub fn finish(self) -> Result<Surface, MeshError> {
        let file = self.file;
        let pieces: Vec<Piece> = self.pieces.into_iter().filter_map(Growing::piece).collect();
        if pieces.is_empty() {
            let what = format!("mesh file \"{file}\" holds no triangle");
            return Err(MeshError::new(what, "export a surface, not points, lines or an empty scene"));
        }
        Ok(Surface { pieces })
    }
}

/// One piece while it is read.
#[derive(Default)]
struct Growing {
    name: Option<String>,
    mesh: Triangles,
    /// Where each point stands in the mesh, one more than its index, by the hash of its numbers; nought is free. A
    /// table of indices alone takes a tenth of the room of one that holds the points again.
    slots: Vec<u32>,
}

impl Growing {
    /// The index of a point, the same for the same point.
    fn index(&mut self, point: DVec3, hasher: &RandomState) -> u32 {
        // Adding nought makes of -0 a plain 0.
        let point = point + DVec3::ZERO;
        if self.mesh.points.len() * 2 >= self.slots.len() {
            self.widen(hasher);
        }
        let slot = self.slot(point, hasher);
        if let Some(index) = self.slots[slot].checked_sub(1) {
            return index;
        }
        let index = self.mesh.point(point);
        self.slots[slot] = index + 1;
        index
    }

    /// The slot that holds a point, or the free one where it belongs.
    fn slot(&self, point: DVec3, hasher: &RandomState) -> usize {
        let mask = self.slots.len() - 1;
        let mut slot = hasher.hash_one(point.to_array().map(f64::to_bits)) as usize & mask;
        while let Some(index) = self.slots[slot].checked_sub(1) {
            if self.mesh.points[index as usize] == point {
                break;
            }
            slot = (slot + 1) & mask;
        }
        slot
    }

    fn widen(&mut self, hasher: &RandomState) {
        let room = (self.mesh.points.len() * 4).max(self.mesh.points.capacity() * 2).max(16).next_power_of_two();
        self.slots = Vec::new();
        self.slots.resize(room, 0);
        for (index, point) in (1..).zip(&self.mesh.points) {
            let slot = self.slot(*point, hasher);
            self.slots[slot] = index;
        }
    }

    fn piece(self) -> Option<Piece> {
        let Self { name, mut mesh, .. } = self;
        mesh.points.shrink_to_fit();
        mesh.corners.shrink_to_fit();
        (!mesh.corners.is_empty()).then(|| Piece {
            name: name.as_deref().map(shortened),
            full_name: name,
            triangles: Arc::new(mesh),
            transmits: 0.0,
        })
    }
}

/// A name such as may stand in any output; `None` when nothing is left of it.
pub(super) fn harmless_name(name: &str) -> Option<String> {
    let plain = harmless(name);
    let words = plain.split_whitespace().collect::<Vec<_>>().join(" ");
    (!words.is_empty()).then_some(words)
}

/// A name no longer than can be shown.
fn shortened(name: &str) -> String {
    match name.char_indices().nth(LONGEST_NAME) {
        Some((end, _)) => format!("{}...", name.get(..end).unwrap_or_default()),
        None => name.into(),
    }
}

/// Text without letters that steer what shows it: those of terminals, and those that turn the order of writing.
pub(super) fn harmless(text: &str) -> String {
    let steers = |letter: char| {
        letter.is_control()
            || matches!(letter, '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}')
            || matches!(letter, '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e007f}')
    };
    // No name is so long that more of it matters.
    text.chars().take(1000).map(|letter| if steers(letter) { ' ' } else { letter }).collect()
}
