//! A hull of her own from a mesh, against the lines that the vessel's figures give: heights above deck and gunwale are
//! taken from the lines, so where the two differ under a lamp, the lamp does not stand where the fitter measured it.
//!
//! Takes the lamps that are lit; gives a caution for each of them, under the clauses that its height, or how far
//! outboard it stands, bears on. Must never move a lamp.

use super::{Asks, Finding, Kind, Severity, cast::Lit, judge::Stage, limits};
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
    let cautions = placed.filter_map(|(one, at)| Some((one, finding(one, &difference(one, at, vessel, hull)?))));
    cautions.map(|(one, (side, caution))| Finding { clause: clauses(stage, one, side), ..caution }).collect()
}

/// What the rules measure of the lamp that is uncertain with its place.
fn clauses(stage: &Stage, one: &Lit, side: bool) -> String {
    limits::clauses_on(
        stage,
        &one.lamp.name,
        |asks| if side { asks == Asks::SidelightsInboard } else { asks.of_height() },
    )
}

/// What differs, and by how much.
struct Difference {
    what: Line,
    /// How much higher, or further outboard, the mesh is than the lines, metres; `None` where the mesh has none.
    by: Option<f64>,
}

/// What a lamp was placed from.
#[derive(Clone, Copy, PartialEq)]
enum Line {
    Deck,
    Gunwale,
    Side,
}

impl Line {
    fn in_words(self) -> &'static str {
        match self {
            Self::Deck => "deck",
            Self::Gunwale => "gunwale",
            Self::Side => "side",
        }
    }
}

fn difference(one: &Lit, at: &Place, vessel: &Vessel, hull: &Surface) -> Option<Difference> {
    let starboard = at.starboard > 0.0;
    let (what, by) = match (&one.lamp.mount, at.height) {
        (Mount::Flush, _) => {
            let centre = one.posed.centre;
            let side = hull.outermost(centre.x, centre.y < 0.0, (centre.z - OFF, centre.z + OFF));
            (Line::Side, side.map(|side| side.y.abs() - centre.y.abs()))
        }
        (Mount::Outboard(_) | Mount::Pole(_), _) | (_, Height::AboveWaterline(_)) => return None,
        (_, Height::AboveDeck(_)) => {
            let deck = vessel.deck_height(at.forward, at.starboard);
            (Line::Deck, hull.height_near(at.forward, -at.starboard, deck).map(|height| height - deck))
        }
        (_, Height::AboveGunwale(_)) => {
            let gunwale = vessel.gunwale_height(at.forward);
            let heights = (gunwale - ABOUT_THE_GUNWALE, gunwale + ABOUT_THE_GUNWALE);
            (Line::Gunwale, hull.upper_edge(at.forward, starboard, heights).map(|height| height - gunwale))
        }
    };
    by.is_none_or(|by| by.abs() > OFF).then_some(Difference { what, by })
}

/// Whether it is the side that differs, and the caution.
fn finding(one: &Lit, off: &Difference) -> (bool, Finding) {
    let (line, lamp, side) = (off.what.in_words(), &one.lamp.name, off.what == Line::Side);
    let (what, how_bad) = match off.by {
        None => (
            format!("Her hull's mesh has no {line} at {lamp}."),
            "The lamp was placed by the lines, and nothing of the mesh tells whether it stands there.".into(),
        ),
        Some(by) => {
            let way = match (side, by > 0.0) {
                (true, true) => "further outboard",
                (true, false) => "further inboard",
                (false, true) => "higher",
                (false, false) => "lower",
            };
            let metres = trimmed(by.abs(), 2);
            (
                format!("The {line} of her hull's mesh is not where her lines have it, at {lamp}."),
                format!("The mesh is {metres} m {way} there, and the lamp was placed by the lines."),
            )
        }
    };
    let mend = if side {
        "Mend `flare` and `beam` until the lines follow the mesh, or place the lamp with a `Bracket`."
    } else {
        "Give the lamp's height `above_waterline`, or mend the vessel's figures until the lines follow the mesh."
    };
    let caution = Finding::of(Severity::Caution, Kind::HullDiffers, "");
    (side, Finding { lamp: Some(lamp.clone()), what, how_bad, mend: mend.into(), ..caution })
}
