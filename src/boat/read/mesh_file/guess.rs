//! How a mesh may lie on the boat, guessed from its size and its shape, to be offered and never acted on.
//!
//! Takes a surface in its file's own numbers and the vessel; gives unit and axes. Must never know what is done with them.

use std::collections::HashSet;

use glam::{DMat3, DVec3};

use super::{AXES, Setting, Told, UNITS, ending};
use crate::boat::{Vessel, mesh::Surface};

/// A unit and axes, as a scene writes them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::boat::read) struct Guess {
    pub unit: &'static str,
    pub up: &'static str,
    pub forward: &'static str,
    /// Whether it comes from the shape, which is that of the vessel; else only from habit and size.
    pub by_shape: bool,
}

impl Guess {
    /// How the numbers would lie, with the file's origin at the vessel's.
    pub fn setting(&self) -> Setting {
        Setting {
            metres: UNITS.iter().find(|(word, _)| *word == self.unit).map_or(1.0, |(_, metres)| *metres),
            up: along(self.up),
            forward: along(self.forward),
            origin: DVec3::ZERO,
        }
    }

    /// The fields of these names, ready to paste: `unit: "mm", up: "+z"`.
    pub fn fields(&self, names: &[&str]) -> String {
        let all = [("unit", self.unit), ("up", self.up), ("forward", self.forward)];
        let kept = all.iter().filter(|(name, _)| names.contains(name));
        kept.map(|(name, value)| format!("{name}: \"{value}\"")).collect::<Vec<_>>().join(", ")
    }
}

fn along(word: &str) -> DVec3 {
    AXES.iter().find(|(axis, _)| *axis == word).map_or(DVec3::X, |(_, axis)| *axis)
}

/// How a mesh may lie, given what the scene tells of it. `hull` is whether it is said to be the vessel's own hull.
pub(in crate::boat::read) fn guess(surface: &Surface, file: &str, vessel: &Vessel, told: &Told, hull: bool) -> Guess {
    let Some((low, high)) = surface.bounds() else { return by_habit(file, DVec3::ONE, vessel, told) };
    let size = (high - low).max(DVec3::splat(f64::MIN_POSITIVE));
    let cloud = Cloud::of(surface, low, size);
    let asked = |(lie, cost): (Lie, f64)| (hull || cost < LIKE_HER).then_some(lie);
    let best = lies(told).into_iter().map(|lie| (lie, lie.cost(size, &cloud, vessel, file)));
    match best.min_by(|one, other| one.1.total_cmp(&other.1)).and_then(asked) {
        Some(lie) => lie.signed(&cloud, told),
        None => by_habit(file, size, vessel, told),
    }
}

/// A mesh that comes nearer to the vessel's length and beam than this is taken for her hull.
const LIKE_HER: f64 = 0.25;

/// Which axes of the file (0 to 2) lie fore and aft, athwartships and upright, and the unit.
#[derive(Clone, Copy)]
struct Lie {
    fore: usize,
    across: usize,
    upright: usize,
    unit: (&'static str, f64),
}

/// Every lie that agrees with what is told.
fn lies(told: &Told) -> Vec<Lie> {
    let agrees = |axis: Option<DVec3>, n: usize| axis.is_none_or(|axis| axis[n] != 0.0);
    let orders = [(0, 1, 2), (0, 2, 1), (1, 0, 2), (1, 2, 0), (2, 0, 1), (2, 1, 0)];
    let kept = orders.into_iter().filter(|(fore, _, upright)| agrees(told.forward, *fore) && agrees(told.up, *upright));
    let units = UNITS.into_iter().filter(|(_, metres)| told.metres.is_none_or(|told| told == *metres));
    kept.flat_map(|(fore, across, upright)| units.clone().map(move |unit| Lie { fore, across, upright, unit }))
        .collect()
}

impl Lie {
    /// How far from likely it is: nought for a mesh as long and broad as the vessel and the same on either side.
    fn cost(&self, size: DVec3, cloud: &Cloud, vessel: &Vessel, file: &str) -> f64 {
        let off = |axis: usize, due: f64| (size[axis] * self.unit.1 / due).ln().abs();
        let usual = usual(file);
        let unusual = [(self.upright, usual.up), (self.fore, usual.forward)];
        let unusual = unusual.into_iter().filter(|(axis, usual)| along(usual)[*axis] == 0.0).count();
        let lopsided = cloud.lopsided[self.across];
        off(self.fore, vessel.length.0) + 0.5 * off(self.across, vessel.beam.0) + 0.5 * lopsided + 0.02 * unusual as f64
    }

    /// The same with the ends of the axes told from one another.
    fn signed(&self, cloud: &Cloud, told: &Told) -> Guess {
        let sign = |told: Option<DVec3>, axis: usize, guessed: bool| told.map_or(guessed, |told| told[axis] > 0.0);
        let up = sign(told.up, self.upright, cloud.up_is_positive(self));
        let ahead = sign(told.forward, self.fore, cloud.bow_is_positive(self));
        Guess { unit: self.unit.0, up: word(self.upright, up), forward: word(self.fore, ahead), by_shape: true }
    }
}

fn word(axis: usize, positive: bool) -> &'static str {
    AXES[2 * axis + usize::from(!positive)].0
}

/// How files of a kind mostly lie. glTF 2.0 section 3.4: metres, +Y up, and the front of a thing faces +Z. For STL and
/// OBJ: millimetres and Z up (common practice, no source).
fn usual(file: &str) -> Guess {
    if ["gltf", "glb"].contains(&ending(file).as_str()) {
        Guess { unit: "m", up: "+y", forward: "+z", by_shape: false }
    } else {
        Guess { unit: "mm", up: "+z", forward: "+x", by_shape: false }
    }
}

/// For a mesh that is not the vessel's hull: as files of the kind mostly lie, in a unit in which it would be no longer
/// than she is, nor smaller than a hand.
fn by_habit(file: &str, size: DVec3, vessel: &Vessel, told: &Told) -> Guess {
    let usual = usual(file);
    let axis = |told: Option<DVec3>, usual: &'static str, other: Option<DVec3>, next: &'static str| match told {
        Some(told) => AXES.iter().find(|(_, axis)| *axis == told).map_or(usual, |(word, _)| *word),
        None if other.is_some_and(|other| other.dot(along(usual)) != 0.0) => next,
        None => usual,
    };
    let fits = |metres: f64| (0.1..=vessel.length.0 * 1.2).contains(&(size.max_element() * metres));
    let usual_first = [usual.unit, "m", "mm", "cm"];
    let known = told.metres.and_then(|told| UNITS.iter().find(|(_, metres)| *metres == told)).map(|(word, _)| *word);
    let metres = |unit: &str| UNITS.iter().find(|(word, _)| *word == unit).map_or(1.0, |(_, metres)| *metres);
    let unit = known.or_else(|| usual_first.into_iter().find(|unit| fits(metres(unit)))).unwrap_or(usual.unit);
    let up = axis(told.up, usual.up, told.forward, if usual.up == "+y" { "+z" } else { "+y" });
    let forward = axis(told.forward, usual.forward, Some(along(up)), "+y");
    Guess { unit, up, forward, by_shape: false }
}

/// The points and middles of the triangles, as shares of the box round them.
struct Cloud {
    points: Vec<DVec3>,
    /// For each axis, the share of cells that have no counterpart across the middle.
    lopsided: [f64; 3],
}

/// Points looked at, and cells along each axis. An odd number has the middle in the middle of a cell.
const MOST_POINTS: usize = 200_000;
const CELLS: i32 = 21;

impl Cloud {
    fn of(surface: &Surface, low: DVec3, size: DVec3) -> Self {
        let count: usize = surface.pieces.iter().map(|piece| piece.triangles.corners.len()).sum();
        let step = (4 * count).div_ceil(MOST_POINTS).max(1);
        let corners = surface.iter().step_by(step);
        let points = corners.flat_map(|[a, b, c]| [a, b, c, (a + b + c) / 3.0]).map(|point| (point - low) / size);
        let points: Vec<DVec3> = points.collect();
        let cell = |point: &DVec3| (*point * f64::from(CELLS)).as_ivec3().min(glam::IVec3::splat(CELLS - 1)).to_array();
        let cells: HashSet<[i32; 3]> = points.iter().map(cell).collect();
        let alone = |axis: usize| {
            let lacks = |cell: &&[i32; 3]| {
                let across = CELLS - 1 - cell[axis];
                !(-1..=1).any(|off| {
                    let mut other = **cell;
                    other[axis] = across + off;
                    cells.contains(&other)
                })
            };
            cells.iter().filter(lacks).count() as f64 / cells.len().max(1) as f64
        };
        Self { lopsided: [0, 1, 2].map(alone), points }
    }

    /// How far the points of a slice at one end of an axis reach along another.
    fn reach(&self, end_of: usize, positive: bool, slice: f64, along: usize) -> f64 {
        let from_end = |point: &&DVec3| if positive { 1.0 - point[end_of] } else { point[end_of] };
        let within = self.points.iter().filter(|point| from_end(point) <= slice).map(|point| point[along]);
        let (least, most) =
            within.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), at| (least.min(at), most.max(at)));
        (most - least).max(0.0)
    }

    /// The bow is the narrower end.
    fn bow_is_positive(&self, lie: &Lie) -> bool {
        let breadth = |positive: bool| self.reach(lie.fore, positive, 0.15, lie.across);
        breadth(true) <= breadth(false) * 1.1
    }

    /// The keel is long and narrow, or at least longer than what stands highest.
    fn up_is_positive(&self, lie: &Lie) -> bool {
        /// Shares of length and beam from which an end is long, and wide.
        const LONG: f64 = 0.6;
        const WIDE: f64 = 0.7;
        let length = |positive: bool| self.reach(lie.upright, positive, 0.1, lie.fore);
        let breadth = |positive: bool| self.reach(lie.upright, positive, 0.1, lie.across);
        let (above, below) = (length(true), length(false));
        if above.min(below) >= LONG {
            return breadth(false) <= breadth(true) * 1.1;
        }
        // A wide deck lies opposite a short keel; a narrow keel opposite whatever stands on deck.
        let long_above = above > below;
        if breadth(long_above) >= WIDE { long_above } else { !long_above }
    }
}

/// The largest side of a surface as it would be laid.
pub(super) fn lengths(low: DVec3, high: DVec3, setting: &Setting) -> DVec3 {
    let turn: DMat3 = setting.turn() * setting.metres;
    (turn * (high - low)).abs()
}
