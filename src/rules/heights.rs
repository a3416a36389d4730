//! Heights that Annex I section 2 asks for: the white light above the sidelights.

use super::{Display, Finding, Kind, LightKind, Rules, Severity};
use crate::{
    boat::{Fit, Scene},
    measure::trimmed,
    survey::Survey,
};

/// The masthead or all-round light against the highest sidelight, at rest.
pub(super) fn findings(scene: &Scene, fit: &Fit, display: &Display, survey: &Survey, rules: &Rules) -> Vec<Finding> {
    let heights = &rules.heights;
    let asked = display.lights.iter().any(|light| light.is_sidelight()) && heights.length.holds(scene.vessel.length.0);
    if !asked {
        return Vec::new();
    }
    let lamps = &survey.rest().posed().lamps;
    let lit = |kind: LightKind| {
        fit.lamps.iter().zip(lamps).filter(move |(lamp, _)| {
            kind.served_by(lamp.role) && lamp.lit.contains(&survey.status) && display.lights.contains(&kind)
        })
    };
    let sidelights = lit(LightKind::StarboardSidelight).chain(lit(LightKind::PortSidelight));
    let Some(highest) = sidelights.map(|(_, posed)| posed.centre.z).max_by(f64::total_cmp) else {
        return Vec::new();
    };
    lit(LightKind::Masthead)
        .chain(lit(LightKind::AllRoundWhite))
        .filter(|(_, posed)| posed.centre.z - highest < heights.above_sidelights - 1e-6)
        .map(|(lamp, posed)| {
            let above = posed.centre.z - highest;
            Finding {
                kind: Kind::TooLow,
                severity: Severity::Fault,
                clause: heights.clause.clone(),
                lamp: Some(lamp.name.clone()),
                arc: None,
                by: None,
                what: format!("{} is not {} m above the sidelights.", lamp.name, trimmed(heights.above_sidelights, 2)),
                how_bad: format!("It stands {} m above the higher of them.", trimmed(above, 2)),
                mend: format!(
                    "Raise it by {} m, or lower the sidelights.",
                    trimmed(heights.above_sidelights - above + 0.005, 2)
                ),
            }
        })
        .collect()
}
