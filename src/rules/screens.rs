//! Inboard screens of sidelights (Annex I section 5): owed from a length on, and below it where a lamp alone does not
//! keep its edge ahead.

use super::{
    Finding, Judgement, Kind,
    cast::Lit,
    judge::{Asked, Stage},
};
use crate::{
    boat::{Fit, Height, Lamp, Part, PartKind, Place, PosedLamp, Role, Scene},
    measure::trimmed,
    survey::Survey,
};

/// One finding for each sidelight that owes a screen and has none.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let row = &stage.rules.screens;
    let apart = |one: &Lit| matches!(one.lamp.role, Role::StarboardSidelight | Role::PortSidelight);
    let sidelights: Vec<Lit> = stage.cast.sidelights().filter(apart).collect();
    let owed = stage.length() >= row.from;
    let screened = sidelights.iter().any(|one| has_screen(stage, one));
    // Below that length they are owed only where a lamp alone does not keep its edge, which the spill tells.
    if !sidelights.is_empty() && (owed || screened) {
        asked.note(&row.clause);
    }
    if !owed {
        return Vec::new();
    }
    let mut bare: Vec<&Lit> = sidelights.iter().filter(|one| !has_screen(stage, one)).collect();
    bare.dedup_by_key(|one| one.index);
    bare.into_iter().map(|one| missing(stage, one)).collect()
}

/// Whether a screen stands close inboard of a lamp, abreast of it and ahead, and as high as its face.
fn has_screen(stage: &Stage, one: &Lit) -> bool {
    let lamp = one.posed.centre;
    let near = stage.rules.screens.near;
    stage.scene.parts.iter().any(|part| {
        let PartKind::Screen { at, length, height, .. } = &part.kind else { return false };
        let foot = stage.scene.vessel.locate(at);
        let inboard = (lamp.y - foot.y) * lamp.y.signum();
        let abreast = foot.x - length / 2.0 <= lamp.x && foot.x + length / 2.0 > lamp.x;
        (0.0..near).contains(&inboard) && abreast && (foot.z..=foot.z + height).contains(&lamp.z)
    })
}

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

/// Degrees past right ahead at which a screen tried here hides the whole face: between the 1 and 3 of Annex I 9(a)(i).
const CUT_AT: f64 = 2.5;
/// From the lens to the plate, metres.
const CLEARANCE: f64 = 0.005;
/// How far the plate stands above and below the face, and abaft it, metres.
const MARGIN: f64 = 0.03;
const THICKNESS: f64 = 0.002;
/// Degrees that a lamp may lean or be turned for a screen to be worth trying: it cures spill, not a lamp set wrong.
const SET_RIGHT: f64 = 1.0;

/// Matt black screens to try: one for each sidelight that owes a screen or shows too far past right ahead, close inboard
/// of it and so long that the whole face is hidden within the limits. Whether they help, and hide nothing else, is for a
/// survey of the boat with them to say.
pub fn screens_to_try(scene: &Scene, fit: &Fit, survey: &Survey, judgement: &Judgement) -> Vec<Part> {
    let wanted = |lamp: &&Lamp| {
        judgement.findings.iter().any(|one| {
            let ahead = one.clause.contains(&judgement.rules.cutoff.clause_forward);
            (one.kind == Kind::ScreenMissing || one.kind == Kind::Spill && ahead)
                && one.lamp.as_ref() == Some(&lamp.name)
        })
    };
    let set_right = |posed: &PosedLamp| {
        posed.lean().0 <= SET_RIGHT && posed.turned().is_some_and(|turned| turned.0.abs() <= SET_RIGHT)
    };
    let lamps = fit.lamps.iter().zip(&survey.rest().posed().lamps);
    let sidelights =
        lamps.filter(|(lamp, _)| matches!(lamp.role, Role::StarboardSidelight | Role::PortSidelight) && wanted(lamp));
    sidelights.filter(|(_, posed)| set_right(posed)).map(|(lamp, posed)| screen_for(scene, lamp, posed)).collect()
}

fn screen_for(scene: &Scene, lamp: &Lamp, posed: &PosedLamp) -> Part {
    let outboard = if lamp.role == Role::StarboardSidelight { 1.0 } else { -1.0 };
    let half = posed.face.width / 2.0;
    // The line from the outboard edge of the face past the forward end of the plate is the last to be hidden.
    let aside = half + CLEARANCE;
    let ahead = (aside + half) / CUT_AT.to_radians().tan();
    let length = ahead + half + MARGIN;
    let height = posed.face.height + 2.0 * MARGIN;
    let millimetres = |metres: f64| (metres * 1000.0).round() / 1000.0;
    let at = Place {
        forward: millimetres(posed.centre.x + ahead - length / 2.0),
        starboard: millimetres(-posed.centre.y - outboard * (aside + THICKNESS / 2.0)),
        height: Height::AboveWaterline(millimetres(posed.centre.z - height / 2.0)),
    };
    let name = (1..)
        .map(|number| match number {
            1 => format!("{} screen", lamp.name),
            _ => format!("{} screen {number}", lamp.name),
        })
        .find(|name| scene.part(name).is_none());
    let kind = PartKind::Screen { at, length: millimetres(length), height: millimetres(height), thickness: THICKNESS };
    Part::new(name.unwrap_or_default(), kind)
}
