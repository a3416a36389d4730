//! A hull of her own from a mesh, against the lines that the vessel's figures give: heights above deck and gunwale are
//! taken from the lines, so where the two differ under a lamp, the lamp does not stand where the fitter measured it.

use super::{Finding, Kind, Severity, cast::Lit, judge::Stage};
use crate::{
    boat::{Height, Mount, Place, Vessel, mesh::Surface},
    measure::trimmed,
};

/// How far the two may differ, metres: no tape tells less of a hull afloat. The program's own figure, no source.
const OFF: f64 = 0.05;
/// The height of the side that is looked at for her gunwale: so far above and below the lines' own, metres.
const ABOUT_THE_GUNWALE: f64 = 0.4;

/// One caution for each lamp that is lit where hull and lines differ.
pub(super) fn findings(stage: &Stage, lit: &[Lit]) -> Vec<Finding> {
    let Some((_, hull)) = stage.scene.own_hull() else { return Vec::new() };
    let vessel = &stage.scene.vessel;
    let placed = lit.iter().filter_map(|one| Some((one, one.lamp.at.as_ref()?)));
    placed.filter_map(|(one, at)| Some(finding(one, &difference(one, at, vessel, hull)?))).collect()
}

/// What differs, and by how much.
struct Difference {
    /// "deck", "gunwale" or "side".
    what: &'static str,
    /// How much higher, or further outboard, the mesh is than the lines, metres.
    by: f64,
}

fn difference(one: &Lit, at: &Place, vessel: &Vessel, hull: &Surface) -> Option<Difference> {
    let starboard = at.starboard > 0.0;
    let line = match (&one.lamp.mount, at.height) {
        (Mount::Flush, _) => {
            let centre = one.posed.centre;
            let side = hull.outermost(centre.x, centre.y < 0.0, (centre.z - OFF, centre.z + OFF))?;
            Difference { what: "side", by: side.y.abs() - centre.y.abs() }
        }
        (Mount::Outboard(_) | Mount::Pole(_), _) | (_, Height::AboveWaterline(_)) => return None,
        (_, Height::AboveDeck(_)) => {
            let deck = vessel.deck_height(at.forward, at.starboard);
            Difference { what: "deck", by: hull.height_near(at.forward, -at.starboard, deck)? - deck }
        }
        (_, Height::AboveGunwale(_)) => {
            let gunwale = vessel.gunwale_height(at.forward);
            let heights = (gunwale - ABOUT_THE_GUNWALE, gunwale + ABOUT_THE_GUNWALE);
            Difference { what: "gunwale", by: hull.upper_edge(at.forward, starboard, heights)? - gunwale }
        }
    };
    (line.by.abs() > OFF).then_some(line)
}

fn finding(one: &Lit, off: &Difference) -> Finding {
    let metres = trimmed(off.by.abs(), 2);
    let way = match (off.what, off.by > 0.0) {
        ("side", true) => "further outboard",
        ("side", false) => "further inboard",
        (_, true) => "higher",
        (_, false) => "lower",
    };
    let mend = if off.what == "side" {
        "Mend `flare` and `beam` until the lines follow the mesh, or place the lamp with a `Bracket`."
    } else {
        "Give the lamp's height `above_waterline`, or mend the vessel's figures until the lines follow the mesh."
    };
    Finding {
        lamp: Some(one.lamp.name.clone()),
        what: format!("The {} of her hull's mesh is not where her lines have it, at {}.", off.what, one.lamp.name),
        how_bad: format!("The mesh is {metres} m {way} there, and the lamp was placed by the lines."),
        mend: mend.into(),
        ..Finding::of(Severity::Caution, Kind::HullDiffers, "Annex I 2")
    }
}
