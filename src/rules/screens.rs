//! Inboard screens of sidelights (Annex I section 5): owed from a length on, and below it where a lamp alone does not
//! keep its edge ahead.

use super::{
    Finding, Kind,
    cast::Lit,
    judge::{Asked, Stage},
    view::View,
};
use crate::{
    boat::{PartKind, Role},
    measure::trimmed,
};

/// One finding for each sidelight that owes a screen and has none.
pub(super) fn findings(stage: &Stage, views: &[View], asked: &mut Asked) -> Vec<Finding> {
    let row = &stage.rules.screens;
    let sidelights: Vec<Lit> =
        stage.cast.sidelights().filter(|one| one.lamp.role != Role::CombinedSidelights).collect();
    let owed = stage.length() >= row.from;
    let screened = sidelights.iter().any(|one| has_screen(stage, one));
    if !sidelights.is_empty() && (owed || screened || views.iter().any(|view| view.kind.is_sidelight())) {
        asked.note(&row.clause);
    }
    if !owed {
        return Vec::new();
    }
    let mut bare: Vec<&Lit> = sidelights.iter().filter(|one| !has_screen(stage, one)).collect();
    bare.dedup_by_key(|one| one.index);
    bare.into_iter().map(|one| missing(stage, one)).collect()
}

/// Whether a screen stands close inboard of a lamp, abreast of it and ahead.
fn has_screen(stage: &Stage, one: &Lit) -> bool {
    let lamp = one.posed.centre;
    stage.scene.parts.iter().any(|part| {
        let PartKind::Screen { at, length, .. } = &part.kind else { return false };
        let foot = stage.scene.vessel.locate(at);
        let inboard = (lamp.y - foot.y) * lamp.y.signum();
        (0.0..NEAR).contains(&inboard) && foot.x - length / 2.0 <= lamp.x + NEAR && foot.x + length / 2.0 > lamp.x
    })
}

/// How near a screen must stand to be that of a lamp, metres.
const NEAR: f64 = 0.3;

fn missing(stage: &Stage, one: &Lit) -> Finding {
    let row = &stage.rules.screens;
    Finding {
        lamp: Some(one.lamp.name.clone()),
        what: format!("{} has no inboard screen.", one.lamp.name),
        how_bad: format!(
            "Sidelights of vessels of {} m or more have matt black inboard screens.",
            trimmed(row.from, 1)
        ),
        mend: "Fit a matt black screen close inboard of it, and add it to the parts as `Screen`.".into(),
        ..Finding::new(Kind::ScreenMissing, &row.clause)
    }
}
