//! The few places of a walk that tell the most: what is printed, and what is seen where no script runs.
//!
//! Takes what is said of every bearing and what falls short; gives places in the walk. Must never know how they are
//! shown.

use super::facts::FitFacts;
use crate::{
    measure::Bearing,
    sheet::show::sight::{Stand, Told},
};

/// As many as fit on one sheet of paper.
pub(super) const MOST: usize = 4;
const LEAST: usize = 3;
/// Places nearer one another than this tell the same, degrees.
const APART: f64 = 20.0;

/// The places, the worst finding's first; where little or nothing is wrong, some from ahead, from the sides and from behind.
pub(super) fn telling(bearings: &[Bearing], fits: &[FitFacts]) -> Vec<usize> {
    let mut chosen: Vec<usize> = Vec::new();
    let apart = |chosen: &[usize], place: usize| {
        chosen.iter().all(|one| bearings[*one].clockwise_of(bearings[place]).abs() >= APART)
    };
    for fit in fits {
        for wrong in &fit.wrongs {
            let Some(arc) = wrong.finding.arc else { continue };
            let own = (0..bearings.len()).filter(|place| arc.contains(bearings[*place]));
            let mut places: Vec<usize> = own.chain(wrong.stands.iter().copied()).collect();
            let off = |place: &usize| bearings[*place].clockwise_of(arc.middle()).abs();
            // Where it is seen to be wrong and then mended, nearest the middle.
            places.sort_by(|a, b| dull(fits, *a).cmp(&dull(fits, *b)).then(off(a).total_cmp(&off(b))));
            let fresh = places.into_iter().find(|place| apart(&chosen, *place));
            chosen.extend(fresh.filter(|_| chosen.len() < MOST));
        }
    }
    for degrees in [0.0, 60.0, 180.0, 300.0] {
        let off = |place: &usize| bearings[*place].clockwise_of(Bearing::new(degrees)).abs();
        let nearest = (0..bearings.len()).min_by(|a, b| off(a).total_cmp(&off(b)));
        chosen.extend(nearest.filter(|place| chosen.len() < LEAST && apart(&chosen, *place)));
    }
    chosen
}

/// How little a place tells: least where the first fit is wrong and the last is right.
fn dull(fits: &[FitFacts], place: usize) -> u8 {
    let wrong = |told: Option<&Told>| told.is_some_and(|told| told.stand == Stand::Wrong);
    let first = fits.first().and_then(|fit| fit.told.get(place));
    let last = fits.last().and_then(|fit| fit.told.get(place));
    match (wrong(first), wrong(last)) {
        (true, false) => 0,
        (true, true) => 1,
        (false, true) => 2,
        (false, false) => 3,
    }
}
