//! What a light loses, or shows where it must not, only when she trims, heels or steers or her people move.
//!
//! Of all the ways she lies, the one told is the simplest among those that are worst to within a degree.

use super::{
    Finding, Kind, Severity,
    sector::{Talk, degrees, widest},
};
use crate::{
    boat::Mount,
    measure::{Arc, Bearing, Candela, Degrees},
    survey::{Case, LightId, Reach},
};

/// Trim and heel together swing the edges of a sector a little even when lamps are set right: not told up to this.
const EDGE_SWING: f64 = 1.0;

/// Cautions for one light, on what is well at rest.
pub(super) fn findings(talk: &Talk) -> Vec<Finding> {
    let cases = worth_asking(talk);
    let lost = told(talk, &cases, |case, bearing| short(talk, case, bearing)).map(|(case, arc)| loss(talk, case, arc));
    let swings = talk.view.lights.iter().any(|light| matches!(talk.fit.lamps[light.lamp].mount, Mount::Outboard(_)));
    let spilt = swings
        .then(|| told(talk, &cases, |case, bearing| spills(talk, case, bearing)))
        .flatten()
        .map(|(case, arc)| spill(talk, case, arc));
    lost.into_iter().chain(spilt).collect()
}

/// Cases in which the survey found a bearing of the sector at its worst, and those in which but one thing differs from
/// rest.
fn worth_asking<'a>(talk: &Talk<'a>) -> Vec<&'a Case> {
    let survey = talk.view.survey;
    let serving = || survey.lights.iter().filter(|one| talk.view.lights.contains(&one.light));
    let worst = |index: usize| {
        serving().any(|one| {
            survey.bearings.iter().zip(&one.samples).any(|(bearing, sample)| {
                sample.worst_case == index && talk.view.core(*bearing) && sample.worst.0 < talk.view.minimum.0
            })
        })
    };
    let cases = survey.cases.iter().enumerate().skip(1);
    cases.filter(|(index, case)| case.changes == 1 || worst(*index)).map(|(_, case)| case).collect()
}

/// The arc to tell, and the case to tell it of.
fn told<'a>(talk: &Talk, cases: &[&'a Case], holds: impl Fn(&Case, Bearing) -> bool + Sync) -> Option<(&'a Case, Arc)> {
    let allowed = talk.view.allowed_hidden();
    let arcs: Vec<(&Case, Arc)> = cases
        .iter()
        .filter_map(|case| Some((*case, widest(&talk.view.arcs(|bearing| holds(case, bearing)))?)))
        .filter(|(_, arc)| arc.width > allowed)
        .collect();
    let most = arcs.iter().map(|(_, arc)| arc.width).fold(0.0, f64::max);
    arcs.into_iter().filter(|(_, arc)| arc.width >= most - 1.0).min_by_key(|(case, _)| case.changes)
}

fn got(talk: &Talk, case: &Case, bearing: Bearing) -> (LightId, Reach) {
    talk.view.at(&case.stance, bearing, Degrees(0.0))
}

/// The intensity due level with the horizon when she lies this way: the horizon passes above or below the level of the
/// deck, and Annex I 10 asks the whole minimum of a lamp to 5 degrees from its level, and a share beyond.
fn due(talk: &Talk, case: &Case, bearing: Bearing) -> Candela {
    let aboard = case.stance.attitude().rotation().transpose() * bearing.direction();
    let raised = aboard.z.clamp(-1.0, 1.0).asin().to_degrees().abs();
    let vertical = talk.view.vertical;
    let share = if raised <= vertical.full { 1.0 } else { vertical.share };
    Candela(talk.view.minimum.0 * share)
}

fn short(talk: &Talk, case: &Case, bearing: Bearing) -> bool {
    let well_inside = [-EDGE_SWING, EDGE_SWING].iter().all(|aside| talk.view.core(bearing.turned(*aside)));
    well_inside
        && got(talk, case, bearing).1.candela().0 < due(talk, case, bearing).0 * (1.0 - 1e-6)
        // What is lost at rest has been told, and the edges of shadows swing as those of sectors do.
        && [0.0, -EDGE_SWING, EDGE_SWING].iter().all(|aside| {
            let near = bearing.turned(*aside);
            talk.view.candela(near).0 >= talk.view.due(near).0 * (1.0 - 1e-6)
        })
}

fn spills(talk: &Talk, case: &Case, bearing: Bearing) -> bool {
    let view = talk.view;
    let outside = -view.arc().depth(bearing);
    outside > view.rules.allowed_outside(view.sector, bearing) + EDGE_SWING
        && got(talk, case, bearing).1.candela().0 > view.cut.0
        && view.candela(bearing).0 <= view.cut.0
}

fn loss(talk: &Talk, case: &Case, arc: Arc) -> Finding {
    let (light, reach) = got(talk, case, arc.middle());
    let lamp = &talk.fit.lamps[light.lamp];
    let hidden = reach.bare.0 >= due(talk, case, arc.middle()).0;
    let by = hidden.then(|| talk.names(reach.visible.by.as_slice()));
    let swings = matches!(lamp.mount, Mount::Outboard(_));
    let kind = match (hidden, swings) {
        (true, _) => Kind::Shadowed,
        (false, true) => Kind::NotParallel,
        (false, false) => Kind::NotUpright,
    };
    Finding {
        severity: Severity::Caution,
        what: match &by {
            Some(by) => format!("{} is hidden by {by} {} when {}.", lamp.name, arc.in_words(), case.words),
            None => format!("{} loses its light {} when {}.", lamp.name, arc.in_words(), case.words),
        },
        how_bad: format!("At rest it shows there. Lost under way: {}.", degrees(arc.width)),
        mend: match (hidden, swings) {
            (true, _) => talk.mend_shadow(reach.visible.by.as_slice()),
            (false, true) => "Take the lamp off the engine: on the outboard its arc swings with the steering.".into(),
            (false, false) => {
                "Set the lamp upright for her running trim, or fit one with a taller vertical sector.".into()
            }
        },
        by,
        lamp: Some(lamp.name.clone()),
        case: Some(case.words.clone()),
        ..talk.finding(kind, talk.horizontal_clause(Some(arc)), Some(arc))
    }
}

fn spill(talk: &Talk, case: &Case, arc: Arc) -> Finding {
    let (light, _) = got(talk, case, arc.middle());
    let lamp = &talk.fit.lamps[light.lamp];
    Finding {
        severity: Severity::Caution,
        what: format!("{} shows outside its sector, {}, when {}.", lamp.name, arc.in_words(), case.words),
        how_bad: format!("At rest it is dark there. It spills over {} under way.", degrees(arc.width)),
        mend: "Take the lamp off the engine: on the outboard its arc swings with the steering.".into(),
        lamp: Some(lamp.name.clone()),
        case: Some(case.words.clone()),
        ..talk.finding(Kind::Spill, talk.horizontal_clause(Some(arc)), Some(arc))
    }
}
