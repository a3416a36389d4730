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

/// One finding for each measured colour outside its limits. A lamp that was not measured is not judged.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let lit = lamps(stage);
    let measured = lit.iter().flat_map(|lamp| lamp.chromaticity.iter().map(move |one| (*lamp, one)));
    measured.filter_map(|(lamp, one)| outside(stage, lamp, *one, asked)).collect()
}

/// The lamps lit, each once.
fn lamps<'a>(stage: &Stage<'a>) -> Vec<&'a Lamp> {
    stage.fit.lamps.iter().filter(|lamp| lamp.lit.contains(&stage.status())).collect()
}

/// Whether every colour of every lit lamp was measured.
pub(super) fn all_measured(lamps: &[&Lamp]) -> bool {
    lamps.iter().all(|lamp| {
        let beams = lamp.optics.beams.iter();
        beams.clone().all(|beam| lamp.chromaticity.iter().any(|one| one.colour == beam.colour))
    })
}

fn outside(stage: &Stage, lamp: &Lamp, one: Measured, asked: &mut Asked) -> Option<Finding> {
    let row = stage.rules.colours.iter().find(|row| row.colour == one.colour)?;
    if all_measured(&lamps(stage)) {
        asked.note(&row.clause);
    }
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
