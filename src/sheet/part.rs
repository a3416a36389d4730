//! A part as a scene file writes it, so that what the program tried can be kept.

use crate::{
    boat::{Height, Part, PartKind, Place},
    measure::trimmed,
};

/// A screen as a line of a scene file; `None` for other parts, none of which is ever proposed.
pub fn screen_in_ron(part: &Part) -> Option<String> {
    let PartKind::Screen { at, length, height, thickness } = &part.kind else { return None };
    Some(format!(
        "Screen(name: \"{}\", at: {}, length: {}, height: {}, thickness: {}),",
        part.name.escape_default(),
        place(at),
        trimmed(*length, 3),
        trimmed(*height, 3),
        trimmed(*thickness, 4)
    ))
}

fn place(at: &Place) -> String {
    let side = if at.starboard < 0.0 { "port" } else { "starboard" };
    let (from, height) = match at.height {
        Height::AboveDeck(up) => ("above_deck", up),
        Height::AboveGunwale(up) => ("above_gunwale", up),
        Height::AboveWaterline(up) => ("above_waterline", up),
    };
    format!(
        "(forward: {}, {side}: {}, {from}: {})",
        trimmed(at.forward, 3),
        trimmed(at.starboard.abs(), 3),
        trimmed(height, 3)
    )
}
