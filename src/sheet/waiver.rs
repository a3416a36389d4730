//! What every output says of the waiver that a vessel was judged under.
//!
//! Takes a set of rules; gives words. Must never decide whether the waiver holds.

use serde::Serialize;

use crate::rules::{Rules, Waiver};

/// What is to be asked, whatever the waiver says of itself.
const CONFIRM: &str = "Confirm with the authority that it still holds where you are.";

/// What is to be asked of one that has run out.
const RENEWED: &str = "Ask the authority whether it was renewed.";

/// What this program cannot tell of any waiver.
const BORDER: &str = "Whether she is within its area, and how far from the border of it, is not judged.";

/// The waiver in words: who gave it, for where, by what text, until when, and what to confirm. `None` where there is
/// none.
pub fn waiver(rules: &Rules) -> Option<String> {
    let waiver = rules.waiver.as_ref()?;
    Some(format!("{} {}", credentials(waiver), caution(waiver)))
}

/// The same in short, for a sheet with little room.
pub(super) fn in_short(rules: &Rules) -> Option<String> {
    let waiver = rules.waiver.as_ref()?;
    let confirm = if waiver.expired { RENEWED } else { CONFIRM };
    Some(format!("Waiver: {} {confirm} Its border is not judged.", credentials(waiver)))
}

/// A waiver in JSON.
#[derive(Serialize)]
pub(super) struct OneWaiver<'a> {
    /// Who gave it.
    authority: &'a str,
    /// The waters it holds on.
    area: &'a str,
    /// Where its text stands.
    reference: &'a str,
    /// The last day it holds, as `2027-12-31`.
    expires: String,
    /// Whether that day is past: then it relieves from nothing.
    expired: bool,
    /// What to confirm, and what is not judged. To be passed on with it.
    caution: String,
}

/// The waiver for a JSON object; null where there is none.
pub(super) fn one_waiver(rules: &Rules) -> Option<OneWaiver<'_>> {
    rules.waiver.as_ref().map(|one| OneWaiver {
        authority: &one.authority,
        area: &one.area,
        reference: &one.reference,
        expires: one.expires.to_string(),
        expired: one.expired,
        caution: caution(one),
    })
}

fn caution(waiver: &Waiver) -> String {
    if waiver.expired { RENEWED.into() } else { format!("{CONFIRM} {BORDER}") }
}

fn credentials(waiver: &Waiver) -> String {
    let Waiver { authority, area, reference, expires, .. } = waiver;
    if waiver.expired {
        format!("{authority}; {area}; {reference}. It expired on {expires} and relieves from nothing.")
    } else {
        format!("{authority}; {area}; {reference}; until {expires}.")
    }
}
