//! Whether a mesh, laid on the boat, can be what it is said to be: as long and broad as the vessel where it is her hull,
//! and neither absurdly large nor far off where it is a part of her.
//!
//! Must never look at what the mesh hides.

use glam::DVec3;

use super::{
    MeshError, Setting, Told, UNITS,
    guess::{guess, lengths},
};
use crate::{
    boat::{Place, Vessel, mesh::Surface},
    measure::trimmed,
};

/// A mesh larger than this, in metres, was read in the wrong unit.
const LARGEST: f64 = 100.0;
/// A mesh smaller than this, in metres, was read in the wrong unit.
const SMALLEST: f64 = 0.005;
/// How far the length and the beam of a hull may differ from the vessel's, as shares: a tape along a curved side, a
/// strake more or less.
const LENGTH_OFF: f64 = 0.03;
const BEAM_OFF: f64 = 0.10;
/// A part longer than so many vessels is none of hers.
const LONGEST_PART: f64 = 3.0;

/// What is wrong with a mesh as one of her parts.
pub(in crate::boat::read) fn as_part(
    raw: (DVec3, DVec3),
    setting: &Setting,
    file: &str,
    vessel: Option<&Vessel>,
) -> Option<MeshError> {
    let size = lengths(raw.0, raw.1, setting).max_element();
    let length = vessel.map_or(f64::INFINITY, |vessel| vessel.length.0);
    let most = vessel.map_or(LARGEST, |vessel| LARGEST.min(LONGEST_PART * vessel.length.0));
    if size > most {
        let over = if most < LARGEST {
            format!("the vessel is {} m", trimmed(length, 2))
        } else {
            "at most 100 m is read".into()
        };
        let what = format!("mesh file \"{file}\" would be {} m large, and {over}", trimmed(size, 1));
        return Some(MeshError::new(what, other_unit(size / setting.metres, most)));
    }
    if size < SMALLEST {
        let what = format!("mesh file \"{file}\" would be only {} mm large", trimmed(size * 1000.0, 3));
        return Some(MeshError::new(what, other_unit(size / setting.metres, length.min(LARGEST))));
    }
    let vessel = vessel?;
    let (low, high) = box_of(raw, setting);
    let hers = (
        DVec3::new(0.0, -vessel.beam.0 / 2.0, -vessel.draught()),
        DVec3::new(length, vessel.beam.0 / 2.0, vessel.freeboard.0),
    );
    let away = (low - hers.1).max(hers.0 - high).max_element();
    (away > length).then(|| {
        let what = format!("mesh file \"{file}\" would lie {} m away from the vessel", trimmed(away, 1));
        MeshError::new(what, "`at` is where the file's origin goes: look how far from it the mesh lies in the file")
    })
}

/// Which units would make a mesh of a sensible size.
fn other_unit(raw: f64, most: f64) -> String {
    let sensible = |metres: &f64| (0.05..=most.min(LARGEST)).contains(&(raw * metres));
    let choice: Vec<_> = UNITS.iter().filter(|(_, metres)| sensible(metres)).collect();
    let told = choice.iter().map(|(unit, metres)| format!("in {unit} it would be {} m", trimmed(raw * metres, 2)));
    let told = told.collect::<Vec<_>>().join(", ");
    let mend = "look at `unit`: it must be the one the mesh was exported in";
    if told.is_empty() { mend.into() } else { format!("{mend}; {told}") }
}

/// What is wrong with a mesh as the hull of the vessel. `at` is where the scene puts the file's origin.
pub(in crate::boat::read) fn as_hull(
    surface: &Surface,
    setting: &Setting,
    file: &str,
    vessel: &Vessel,
    at: &Place,
) -> Option<MeshError> {
    let raw = surface.bounds()?;
    let size = lengths(raw.0, raw.1, setting);
    if !agrees(size, vessel) {
        let what = format!(
            "mesh file \"{file}\" would be {} as a hull, and the vessel is {} m long and {} m wide",
            long_and_wide(size),
            trimmed(vessel.length.0, 2),
            trimmed(vessel.beam.0, 2)
        );
        return Some(MeshError::new(what, what_agrees(surface, setting, file, vessel)));
    }
    misplaced(box_of(raw, setting), setting, file, vessel, at)
}

fn agrees(size: DVec3, vessel: &Vessel) -> bool {
    let off = |size: f64, due: f64| (size / due - 1.0).abs();
    off(size.x, vessel.length.0) <= LENGTH_OFF && off(size.y, vessel.beam.0) <= BEAM_OFF
}

fn long_and_wide(size: DVec3) -> String {
    let metres = |size: f64| match size {
        ..0.1 => format!("{} mm", trimmed(size * 1000.0, 2)),
        ..100.0 => format!("{} m", trimmed(size, 2)),
        _ => format!("{} m", trimmed(size, 0)),
    };
    format!("{} long and {} wide", metres(size.x), metres(size.y))
}

/// The unit, or the unit and axes, in which the mesh would be as long and wide as the vessel.
fn what_agrees(surface: &Surface, setting: &Setting, file: &str, vessel: &Vessel) -> String {
    let Some((low, high)) = surface.bounds() else { return String::new() };
    for (unit, metres) in UNITS {
        let size = lengths(low, high, &Setting { metres, ..*setting });
        if agrees(size, vessel) {
            return format!("in {unit} it would be {}, as she is: write `unit: \"{unit}\"`", long_and_wide(size));
        }
    }
    let guess = guess(surface, file, vessel, &Told::default(), true);
    let size = lengths(low, high, &guess.setting());
    if agrees(size, vessel) {
        let fields = guess.fields(&["unit", "up", "forward"]);
        return format!(
            "with `{fields}` it would be {} (a guess from its size and shape: look at it before trusting it)",
            long_and_wide(size)
        );
    }
    "correct `length` and `beam` of the vessel, or keep out of this file what reaches beyond her hull, such as a sprit or \
     an engine"
        .into()
}

/// A hull has her after end at the transom, her middle on the centreline, and the water between keel and gunwale.
fn misplaced(
    (low, high): (DVec3, DVec3),
    setting: &Setting,
    file: &str,
    vessel: &Vessel,
    at: &Place,
) -> Option<MeshError> {
    let error = |wrong: String, mend: String| {
        let mend = format!("`at` is where the file's origin goes: write `{mend}` in it");
        Some(MeshError::new(format!("the hull in mesh file \"{file}\" would {wrong}"), mend))
    };
    let way = |off: f64, positive: &str, negative: &str| {
        format!("{} m {}", trimmed(off.abs(), 2), if off > 0.0 { positive } else { negative })
    };
    if low.x.abs() > LENGTH_OFF * vessel.length.0 {
        let wrong = format!("end {}", way(low.x, "forward of the transom", "abaft the transom"));
        return error(wrong, format!("forward: {}", trimmed(at.forward - low.x, 3)));
    }
    let aside = (low.y + high.y) / 2.0;
    if aside.abs() > BEAM_OFF / 2.0 * vessel.beam.0 {
        let wrong = format!("lie {}", way(aside, "to port of the centreline", "to starboard of the centreline"));
        let right = at.starboard + aside;
        let side = if right < 0.0 { "port" } else { "starboard" };
        return error(wrong, format!("{side}: {}", trimmed(right.abs(), 3)));
    }
    if low.z >= 0.0 || high.z <= 0.0 {
        let wrong = if low.z >= 0.0 { "float above the water" } else { "lie wholly under water" };
        let keel_down = setting.origin.z - low.z - vessel.draught();
        return error(wrong.into(), format!("above_waterline: {}", trimmed(keel_down, 3)));
    }
    None
}

/// The box of a surface as it would be laid.
fn box_of((low, high): (DVec3, DVec3), setting: &Setting) -> (DVec3, DVec3) {
    let turn = setting.turn() * setting.metres;
    let (one, other) = (setting.origin + turn * low, setting.origin + turn * high);
    (one.min(other), one.max(other))
}
