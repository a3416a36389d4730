//! The colour of each light as measured, against the corners of its signal colour (Annex I section 7).

use super::{
    Finding, Kind,
    judge::{Asked, Stage},
};
use crate::{
    boat::{Lamp, Measured},
    light::Chromaticity,
    measure::trimmed,
};

/// One finding for each measured colour outside its limits. A colour that was not measured is left open.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let Some(clause) = stage.rules.colours.first().map(|row| row.clause.clone()) else { return Vec::new() };
    let lit: Vec<&Lamp> = stage.fit.lamps.iter().filter(|lamp| lamp.lit.contains(&stage.status())).collect();
    if lit.is_empty() {
        return Vec::new();
    }
    let unmeasured: Vec<&str> = lit.iter().filter(|lamp| !is_measured(lamp)).map(|lamp| lamp.name.as_str()).collect();
    if unmeasured.is_empty() {
        asked.note(&clause);
    } else {
        asked.leave_open(&clause, format!("not measured: {}", unmeasured.join(", ")));
    }
    let measured = lit.iter().flat_map(|lamp| lamp.chromaticity.iter().map(move |one| (*lamp, one)));
    measured.filter_map(|(lamp, one)| outside(stage, lamp, *one)).collect()
}

/// Whether every colour of a lamp was measured.
fn is_measured(lamp: &Lamp) -> bool {
    lamp.optics.beams.iter().all(|beam| lamp.chromaticity.iter().any(|one| one.colour == beam.colour))
}

fn outside(stage: &Stage, lamp: &Lamp, one: Measured) -> Option<Finding> {
    let row = stage.rules.colours.iter().find(|row| row.colour == one.colour)?;
    let point = Chromaticity { x: one.x, y: one.y };
    (!row.corners.holds(point)).then(|| Finding {
        lamp: Some(lamp.name.clone()),
        what: format!(
            "The {} of {} was measured at x {}, y {}, outside the limits of that colour.",
            one.colour,
            lamp.name,
            trimmed(one.x, 4),
            trimmed(one.y, 4)
        ),
        how_bad: format!("It lies {} off the nearest limit.", trimmed(row.corners.distance_outside(point), 4)),
        mend: format!("Fit a lamp, or a filter, made for a signal {}.", one.colour),
        ..Finding::new(Kind::ColourOutside, &row.clause)
    })
}
