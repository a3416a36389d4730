//! Where a light of a display stands, in words, as far as the display's own rule says.

use super::{Light, Lookup};
use crate::{
    boat::Status,
    rules::{Display, LightKind},
};

/// "forward", "on the obstructed side"; nothing where the rule leaves it open or the light's name says it.
pub(super) fn place(lookup: &Lookup, lights: &[Light], index: usize) -> Option<&'static str> {
    let light = &lights[index];
    let obstructed = lookup.status.obstructs_one_side();
    match light.line {
        Some(1) if obstructed => return Some("on the obstructed side"),
        Some(2) if obstructed => return Some("on the side clear to pass"),
        Some(_) => return None,
        None => {}
    }
    let alike = |one: &&Light| one.line.is_none() && one.kind == light.kind;
    let before = lights[..index].iter().filter(alike).count();
    let several = lights.iter().filter(alike).count() > 1;
    match (light.kind, several, before) {
        (LightKind::Masthead, true, 0) => Some("forward"),
        (LightKind::Masthead, true, _) => Some("abaft and higher"),
        (LightKind::AllRoundWhite, _, _) if lookup.status.has_gear_out() => Some("towards the gear"),
        (LightKind::AllRoundWhite, true, 0) => Some("forward"),
        (LightKind::AllRoundWhite, true, _) => Some("abaft and lower"),
        (LightKind::AllRoundWhite, false, _) if anchored(lookup.status) => Some("anchor light, where best seen"),
        _ => None,
    }
}

/// To which side a drawing puts what may lie on either; nothing where nothing does.
pub(super) fn drawn_sides(status: Status, display: &Display) -> Option<&'static str> {
    if display.lines.is_empty() {
        None
    } else if status.obstructs_one_side() {
        Some("Drawn with the obstructed side to port.")
    } else if status.has_gear_out() {
        Some("Drawn with the gear out to starboard.")
    } else {
        None
    }
}

fn anchored(status: Status) -> bool {
    matches!(status, Status::AtAnchor | Status::Aground | Status::PilotAtAnchor | Status::RestrictedAtAnchor)
}
