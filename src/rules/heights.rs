//! Heights that Annex I section 2 asks for: the white light above the sidelights or the gunwale.

use super::{Datum, Display, Finding, HeightRow, Kind, LightKind, Rules, Severity, judge::Lit};
use crate::{
    boat::{Role, Scene},
    measure::trimmed,
};

/// Every row of the rules that applies to the masthead or all-round white light of the display, at rest.
pub(super) fn findings(scene: &Scene, lit: &[Lit], display: &Display, rules: &Rules) -> Vec<Finding> {
    if !display.lights.iter().any(|light| light.is_sidelight()) {
        return Vec::new();
    }
    let serving = |kinds: [LightKind; 2]| {
        lit.iter().filter(move |(lamp, _)| {
            kinds.iter().any(|kind| display.lights.contains(kind) && kind.served_by(lamp.role))
        })
    };
    let whites = || serving([LightKind::Masthead, LightKind::AllRoundWhite]);
    let sidelights: Vec<_> = serving([LightKind::StarboardSidelight, LightKind::PortSidelight]).collect();
    rules
        .heights
        .iter()
        .filter(|row| row.length.holds(scene.vessel.length.0))
        .flat_map(|row| whites().filter_map(|white| too_low(scene, row, white, &sidelights)))
        .collect()
}

fn too_low(scene: &Scene, row: &HeightRow, (lamp, posed): &Lit, sidelights: &[&Lit]) -> Option<Finding> {
    let highest = |combined: bool| {
        sidelights
            .iter()
            .filter(|(side, _)| !combined || side.role == Role::CombinedSidelights)
            .map(|(_, posed)| posed.centre.z)
            .max_by(f64::total_cmp)
    };
    let (from, datum) = match row.above {
        Datum::Sidelights => (highest(false)?, "the higher sidelight"),
        Datum::CombinedSidelights => (highest(true)?, "the combined sidelights"),
        Datum::Gunwale => (scene.vessel.gunwale_height(posed.centre.x), "the gunwale"),
    };
    let above = posed.centre.z - from;
    let least = trimmed(row.least, 2);
    (above < row.least - 1e-6).then(|| Finding {
        kind: Kind::TooLow,
        severity: Severity::Fault,
        clause: row.clause.clone(),
        lamp: Some(lamp.name.clone()),
        arc: None,
        by: None,
        what: format!("{} is not {least} m above {datum}.", lamp.name),
        how_bad: format!(
            "It stands {} m {} {datum}.",
            trimmed(above.abs(), 2),
            if above < 0.0 { "below" } else { "above" }
        ),
        mend: format!(
            "Raise it by {} m{}.",
            trimmed(row.least - above + 0.005, 2),
            match row.above {
                Datum::Gunwale => "",
                Datum::Sidelights | Datum::CombinedSidelights => ", or lower the sidelights",
            }
        ),
    })
}
