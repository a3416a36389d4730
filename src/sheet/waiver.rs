//! What every output says of the waiver that a vessel was judged under.
//!
//! Takes a judgement; gives words. Must never decide whether the waiver holds.

use super::Surveyed;
use crate::rules::Waiver;

/// What is to be asked, whatever the waiver says of itself.
pub const CONFIRM: &str = "Confirm with the authority that it still holds where you are.";

/// What this program cannot tell of any waiver.
const BORDER: &str = "Whether she is within its area, and how far from the border of it, is not judged.";

/// The waiver in words: who gave it, for where, by what text, until when, and what to confirm. `None` where there is
/// none.
pub fn waiver(surveyed: &Surveyed) -> Option<String> {
    let waiver = in_force_or_not(surveyed)?;
    Some(format!("{} {CONFIRM} {BORDER}", credentials(waiver)))
}

/// The same in short, for a sheet with little room.
pub(super) fn in_short(surveyed: &Surveyed) -> Option<String> {
    Some(format!("Waiver: {} {CONFIRM} Its border is not judged.", credentials(in_force_or_not(surveyed)?)))
}

/// The words that stand in the JSON beside the figures.
pub(super) fn caution() -> String {
    format!("{CONFIRM} {BORDER}")
}

pub(super) fn in_force_or_not<'a>(surveyed: &'a Surveyed) -> Option<&'a Waiver> {
    surveyed.judgement.chosen.waiver.as_ref()
}

fn credentials(waiver: &Waiver) -> String {
    let Waiver { authority, area, reference, expires, .. } = waiver;
    if waiver.expired {
        format!("{authority}; {area}; {reference}. It expired on {expires} and relieves from nothing.")
    } else {
        format!("{authority}; {area}; {reference}; until {expires}.")
    }
}
