//! How strong a light is at most, and how evenly it fills its sectors: what dazzles, and what flickers as she turns.

use super::{Finding, Kind, Severity, judge::Asked, sector::Talk};
use crate::measure::{Bearing, Candela, Degrees, trimmed};

pub(super) fn findings(talk: &Talk, asked: &mut Asked) -> Vec<Finding> {
    let length = talk.scene.vessel.length.0;
    let evenness = &talk.view.rules.evenness;
    let mut found: Vec<Finding> = dazzling(talk).into_iter().collect();
    if length >= evenness.from {
        asked.note(&evenness.clause_horizontal);
        asked.note(&evenness.clause_vertical);
        found.extend(uneven_round(talk));
        found.extend(uneven_up(talk));
    }
    found
}

/// Least and greatest intensity over looks of the serving lamps set as they should be: shadows, lean and turn are told
/// elsewhere.
fn extremes(talk: &Talk, looks: impl Iterator<Item = (Bearing, Degrees)>) -> Option<(Candela, Candela)> {
    let lamps = &talk.view.survey.rest().posed().lamps;
    let beams = || talk.view.lights.iter().map(|light| &lamps[light.lamp].optics.beams[light.beam]);
    let values = looks
        .map(|(bearing, elevation)| beams().map(|beam| beam.intensity_at(bearing, elevation).0).fold(0.0, f64::max));
    let (least, most) =
        values.fold((f64::INFINITY, 0.0f64), |(least, most), value| (least.min(value), most.max(value)));
    (least > 0.0 && most > 0.0).then_some((Candela(least), Candela(most)))
}

fn inside<'a>(talk: &'a Talk) -> impl Iterator<Item = Bearing> + 'a {
    talk.view.survey.bearings.iter().copied().filter(|bearing| talk.view.core(*bearing))
}

fn dazzling(talk: &Talk) -> Option<Finding> {
    let glare = &talk.view.rules.glare;
    let (_, most) = extremes(talk, inside(talk).map(|bearing| (bearing, Degrees(0.0))))?;
    let times = most.0 / talk.view.minimum.0;
    (times > glare.times).then(|| Finding {
        severity: Severity::Caution,
        what: format!("{} gives up to {} cd.", talk.fit.lamps[talk.view.lights[0].lamp].name, trimmed(most.0, 1)),
        how_bad: format!(
            "{} times the {} cd due. The annex asks that glare be avoided and gives no figure; {} times is this \
             program's own.",
            trimmed(times, 1),
            trimmed(talk.view.minimum.0, 2),
            trimmed(glare.times, 1)
        ),
        mend: "Fit a lamp made for the range asked. Dimming is not a lawful way to limit it.".into(),
        ..talk.finding(Kind::TooBright, glare.clause_glare.clone(), None)
    })
}

fn uneven_round(talk: &Talk) -> Option<Finding> {
    let looks = inside(talk).map(|bearing| (bearing, Degrees(0.0)));
    uneven(talk, extremes(talk, looks)?, "round her sector", &talk.view.rules.evenness.clause_horizontal)
}

/// Up and down, on the bearing in the middle of the sector.
fn uneven_up(talk: &Talk) -> Option<Finding> {
    let full = talk.view.vertical.full;
    let middle = talk.view.arc().middle();
    let looks = (-10..=10).map(|n| (middle, Degrees(f64::from(n) / 10.0 * full)));
    uneven(talk, extremes(talk, looks)?, "up and down", &talk.view.rules.evenness.clause_vertical)
}

fn uneven(talk: &Talk, (least, most): (Candela, Candela), way: &str, clause: &str) -> Option<Finding> {
    let limit = talk.view.rules.evenness.most;
    let ratio = most.0 / least.0;
    (ratio > limit * (1.0 + 1e-9)).then(|| Finding {
        severity: Severity::Note,
        what: format!(
            "{} is uneven {way}: {} to {} cd.",
            talk.fit.lamps[talk.view.lights[0].lamp].name,
            trimmed(least.0, 2),
            trimmed(most.0, 2)
        ),
        how_bad: format!("{} to one, where {} is the most for type approval.", trimmed(ratio, 2), trimmed(limit, 2)),
        mend: "Fit a lamp with an evener lens.".into(),
        ..talk.finding(Kind::Uneven, clause.into(), None)
    })
}
