//! How far off sidelights are told from white lights, for the text and for JSON.
//!
//! Takes a fit with its survey; asks the rules for the pairs and must never work any out.

use serde::Serialize;

use super::{Surveyed, json::rounded, wrap};
use crate::{
    measure::{NauticalMiles, trimmed},
    rules::{Merging, merging},
};

/// A paragraph after an empty line; nothing at all where no sidelight and white light show together.
pub(super) fn text(surveyed: &Surveyed, columns: usize) -> String {
    let pairs = merging(surveyed.fit, surveyed.survey, surveyed.judgement.rules);
    let Some(least) = pairs.first() else { return String::new() };
    let name = |lamp: usize| surveyed.fit.lamps[lamp].name.as_str();
    let words = format!(
        "{} and {} up to {} nm {}, where they look closest together ({} m); farther off an eye takes them for one.",
        name(least.sidelight),
        name(least.white),
        trimmed(least.told_apart.0, 2),
        least.closest.bearing.in_words(),
        trimmed(least.closest.separation.0, 2),
    );
    format!("\n{}", wrap::hanging("Told apart: ", &words, columns))
}

/// A sidelight and a white light.
#[derive(Serialize)]
pub(super) struct OneMerging<'a> {
    /// Names of the two lamps, the sidelight first.
    lamps: [&'a str; 2],
    /// How far off they are told apart where they look closest together.
    told_apart_nm: f64,
    /// That bearing.
    bearing_degrees: f64,
    /// How far apart they look there, across the line of sight.
    separation_m: f64,
    /// How far off they are told apart on each of the thirty-two points; null where not both must show.
    told_apart_by_point_nm: Vec<Option<f64>>,
}

pub(super) fn json<'a>(surveyed: &Surveyed<'a>) -> Vec<OneMerging<'a>> {
    let Surveyed { fit, survey, judgement, .. } = *surveyed;
    let miles = |distance: NauticalMiles| rounded(distance.0, 3);
    let one = |one: &Merging| OneMerging {
        lamps: [one.sidelight, one.white].map(|lamp| fit.lamps[lamp].name.as_str()),
        told_apart_nm: miles(one.told_apart),
        bearing_degrees: rounded(one.closest.bearing.degrees(), 3),
        separation_m: rounded(one.closest.separation.0, 3),
        told_apart_by_point_nm: one.by_point.iter().map(|point| point.map(miles)).collect(),
    };
    merging(fit, survey, judgement.rules).iter().map(one).collect()
}
