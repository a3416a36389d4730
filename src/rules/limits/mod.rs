//! Heights, distances and angles of the lights in place, held against the figures of the rules (Annex I sections 2, 3,
//! 4 and 13, and what Rules 23 to 27 say of places).
//!
//! A row of the rules names something that can be measured ([`Asks`](super::Asks)) and the figure it must keep;
//! `measure` takes the measure, `words` says it. Must never hold a figure of its own.

mod measure;
mod words;

use super::{
    Asks, Finding, LimitRow, Severity,
    judge::{Asked, Stage},
};
use crate::boat::Status;
use measure::Measure;
use words::Words;

/// One finding for each measure that does not keep its figure. A clause counts as asked where something was measured.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let mut found = Vec::new();
    for row in stage.rules.limits.iter().filter(|row| applies(stage, row)) {
        let at_the_mast = row.asks == Asks::TopBelowMast && stage.display.clause == row.clause;
        if at_the_mast && measure::highest_mast(stage).is_none() {
            asked.leave_open(
                &row.clause,
                "the lights stand as it asks; how near the top of the mast, the scene does not say, having no mast"
                    .into(),
            );
        }
        for measure in measure::all(stage, row) {
            asked.note(&row.clause);
            found.extend(judged(stage, row, &measure));
        }
    }
    found
}

fn applies(stage: &Stage, row: &LimitRow) -> bool {
    row.length.holds(stage.length())
        && row.high_speed.is_none_or(|high| high == stage.scene.vessel.high_speed)
        && (row.statuses.is_empty() || row.statuses.contains(&stage.status().by_means(&stage.scene.vessel)))
}

/// How much of a figure is left before it is missed, in metres.
pub(super) struct Slack {
    pub lamp: String,
    pub against: Option<String>,
    pub clause: String,
    pub metres: f64,
}

/// What is left of every figure that bears on a place, as far as it can be told in metres.
pub(super) fn slack(stage: &Stage) -> Vec<Slack> {
    let mut found = Vec::new();
    for row in stage.rules.limits.iter().filter(|row| applies(stage, row) && !row.if_practicable) {
        for measure in measure::all(stage, row) {
            let Some(scale) = measure::metres_in(stage, row.asks) else { continue };
            let above = least(stage, row).map_or(f64::INFINITY, |least| measure.value - least);
            let below = row.most.map_or(f64::INFINITY, |most| most - measure.value);
            let metres = above.min(below) * scale;
            if metres.is_finite() {
                let clause = row.clause.clone();
                found.push(Slack { lamp: measure.lamp, against: measure.against, clause, metres });
            }
        }
    }
    found
}

/// The clauses that bear on one lamp by something that is measured of it, as a list; empty where there is none.
pub(super) fn clauses_on(stage: &Stage, lamp: &str, of: impl Fn(Asks) -> bool) -> String {
    let own = |measure: &Measure| measure.lamp == lamp || measure.against.as_deref() == Some(lamp);
    let rows = stage.rules.limits.iter().filter(|row| of(row.asks) && applies(stage, row));
    let mut clauses: Vec<&str> = Vec::new();
    for row in rows.filter(|row| measure::all(stage, row).iter().any(own)) {
        if !clauses.contains(&row.clause.as_str()) {
            clauses.push(&row.clause);
        }
    }
    clauses.join(", ")
}

/// Slack for rounding: a place taken to the millimetre keeps the figure it was meant to keep.
const SLACK: f64 = 1e-6;

fn judged(stage: &Stage, row: &LimitRow, measure: &Measure) -> Option<Finding> {
    let least = least(stage, row);
    let low = least.filter(|least| measure.value < least - SLACK);
    let high = row.most.filter(|most| measure.value > most + SLACK);
    let words = Words::of(row);
    let (kind, limit, how_bad, mend) = match (low, high) {
        (Some(least), _) => (words.low, least, words.at_least(least, measure), words.raise(least, measure)),
        (None, Some(most)) => (words.high, most, words.at_most(most), words.lower(most, measure)),
        (None, None) => return None,
    };
    let severity = if row.if_practicable || measure.case.is_some() { Severity::Caution } else { Severity::Fault };
    Some(Finding {
        lamp: Some(measure.lamp.clone()),
        what: words.sentence(measure, limit),
        how_bad,
        mend,
        case: measure.case.clone(),
        ..Finding::of(severity, kind, &row.clause)
    })
}

/// The least figure for this vessel: it may grow with her beam, and a distance may be enough whatever her length.
fn least(stage: &Stage, row: &LimitRow) -> Option<f64> {
    let least = row.least?;
    let with_beam = row.or_beam.map_or(least, |most| least.max(stage.scene.vessel.beam.0.min(most)));
    let enough = row.enough.map_or(f64::INFINITY, |enough| enough / stage.length());
    Some(with_beam.min(enough))
}

/// The greatest least figure that the rules give for a measure on this vessel; `None` where they give none.
pub(super) fn least_asked(stage: &Stage, asks: Asks) -> Option<f64> {
    let rows = stage.rules.limits.iter().filter(|row| row.asks == asks && applies(stage, row));
    rows.filter_map(|row| least(stage, row)).reduce(f64::max)
}

/// Whether a vessel's vertical line may stand above her masthead lights: that of Rules 27(b) and 28 (Annex I 2(f)(ii)).
pub fn may_stand_above_mastheads(status: Status) -> bool {
    matches!(
        status,
        Status::Restricted
            | Status::TowingRestricted
            | Status::Dredging
            | Status::Diving
            | Status::ConstrainedByDraught
    )
}
