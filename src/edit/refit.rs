//! A fit copied under a name of its own, with some of its lamps put elsewhere.
//!
//! Takes the fit as it is and as it shall be; gives the edit that writes it behind the old one, so that comments, order and all
//! that stays the same are kept. Must never choose a place.

use super::{Edit, Figure, LampAt, Subject};
use crate::boat::{Fit, Lamp, Scene};

/// Writes `fit`, made from the fit `from` of the scene lamp by lamp, as a new one behind it. `None` where there is no such
/// fit, or not the same lamps are in it.
pub fn as_new_fit(scene: &Scene, from: usize, fit: &Fit, name: &str, note: &str) -> Option<Edit> {
    let old = scene.fits.get(from)?;
    let same = old.lamps.len() == fit.lamps.len() && old.lamps.iter().zip(&fit.lamps).all(|(a, b)| a.name == b.name);
    if !same {
        return None;
    }
    let mut edits = vec![Edit::Copy { what: Subject::Fit(from), name: name.into() }];
    if old.note != note {
        edits.push(Edit::Note { what: Subject::Fit(from + 1), note: note.into() });
    }
    for (index, (old, new)) in old.lamps.iter().zip(&fit.lamps).enumerate() {
        let at = LampAt { fit: from + 1, lamp: index };
        edits.extend(moved(at, old, new));
    }
    Some(Edit::All { label: format!("Add {name}"), edits })
}

/// What makes one lamp the other, as far as place, mount and turns go.
fn moved(at: LampAt, old: &Lamp, new: &Lamp) -> Vec<Edit> {
    let mut edits = Vec::new();
    if old.bracket.is_some() && new.bracket.is_none() {
        edits.push(Edit::DropBracket(at));
    }
    if old.mount != new.mount || old.at != new.at {
        edits.push(Edit::Remount { lamp: at, mount: new.mount.clone(), at: new.at });
    }
    let turns =
        [(Figure::Yaw, old.yaw, new.yaw), (Figure::Tilt, old.tilt, new.tilt), (Figure::Roll, old.roll, new.roll)];
    let turned = turns.iter().filter(|(_, old, new)| old != new);
    edits.extend(turned.map(|(figure, _, to)| Edit::Set { what: Subject::Lamp(at), figure: *figure, to: to.0 }));
    edits
}
