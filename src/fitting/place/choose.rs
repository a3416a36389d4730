//! Puts places together to whole fits: which of them stand well with one another, before any light is surveyed.
//!
//! Takes the units with their places; gives states, each a place for every unit, in the order of their worth. The search goes
//! unit by unit, and again, keeping the best states, since every lamp's place decides on heights and distances of others.
//! Must never be taken for a judgement.

use std::{
    cmp::Reverse,
    collections::{BTreeMap, BTreeSet},
};

use rayon::prelude::*;

use super::{
    figures::band,
    search::{At, Search, Unit, at_rest_with, refitted},
};
use crate::rules::{Severity, Tightest, standing};

/// A place for every unit.
#[derive(Clone, Debug)]
pub struct State {
    /// Index into the places of each unit.
    pub picks: Vec<usize>,
    /// Faults in how lamps stand, lamps hidden, and lamps on top of one another.
    pub faults: usize,
    pub tightest: Option<Tightest>,
    /// The worst of its units and of what the rules leave.
    pub band: usize,
}

/// Places of one unit that are put together with others: enough to differ in height and kind.
const MOST_OF_ONE_UNIT: usize = 500;
const MOST_OF_MANY: usize = 24;
/// States that are carried on.
const BEAM: usize = 16;
/// How often every unit is gone through.
const ROUNDS: usize = 2;

/// Every state that was tried, the best first.
pub fn states(search: &Search, units: &[Unit]) -> Vec<State> {
    let most = if units.len() == 1 { MOST_OF_ONE_UNIT } else { MOST_OF_MANY };
    let short: Vec<Vec<usize>> = units.iter().map(|unit| shortlist(search, unit, most)).collect();
    if units.is_empty() || short.iter().any(Vec::is_empty) {
        return Vec::new();
    }
    let mut tried: BTreeMap<Vec<usize>, State> = BTreeMap::new();
    let first: Vec<usize> = short.iter().map(|places| places[0]).collect();
    tried.insert(first.clone(), tried_state(search, units, first.clone()));
    let mut beam = vec![first];
    let rounds = if units.len() == 1 { 1 } else { ROUNDS };
    for unit in (0..rounds).flat_map(|_| 0..units.len()) {
        let with = |state: &Vec<usize>, pick: usize| {
            let mut picks = state.clone();
            picks[unit] = pick;
            picks
        };
        let next: BTreeSet<Vec<usize>> =
            beam.iter().flat_map(|state| short[unit].iter().map(|pick| with(state, *pick))).collect();
        let new: Vec<Vec<usize>> = next.iter().filter(|picks| !tried.contains_key(*picks)).cloned().collect();
        let new: Vec<State> = new.into_par_iter().map(|picks| tried_state(search, units, picks)).collect();
        tried.extend(new.into_iter().map(|state| (state.picks.clone(), state)));
        let mut all: Vec<&State> = next.iter().filter_map(|picks| tried.get(picks)).collect();
        all.sort_by_cached_key(|state| order(state, units));
        beam = all.into_iter().take(BEAM).map(|state| state.picks.clone()).collect();
    }
    let mut all: Vec<State> = tried.into_values().collect();
    all.sort_by_cached_key(|state| order(state, units));
    all
}

/// The places of a state, unit by unit.
pub fn places<'u>(state: &State, units: &'u [Unit]) -> Vec<&'u At> {
    units.iter().zip(&state.picks).map(|(unit, pick)| &unit.places[*pick]).collect()
}

fn order(state: &State, units: &[Unit]) -> impl Ord + use<> {
    let at = places(state, units);
    let sum = |of: fn(&At) -> i64| at.iter().map(|one| of(one)).sum::<i64>();
    let shelter: usize = at.iter().map(|one| one.shelter).sum();
    let where_they_are: Vec<Vec<[i64; 3]>> =
        at.iter().map(|one| one.spots.iter().map(super::Spot::on_grid).collect()).collect();
    (state.faults, Reverse(state.band), Reverse(shelter), sum(|one| one.brackets), sum(|one| one.cable), where_they_are)
}

/// The best place of every neighbourhood, so that what is put together differs: by what holds it, how far forward and how
/// high.
fn shortlist(search: &Search, unit: &Unit, most: usize) -> Vec<usize> {
    let stretch = (search.scene.vessel.length.0 / 10.0).max(0.5);
    let clear = unit.places.iter().filter(|place| place.clear_at_rest).count();
    let mut seen = BTreeSet::new();
    let mut kept = Vec::new();
    for (index, place) in unit.places.iter().enumerate().take(if clear > 0 { clear } else { most }) {
        let spot = &place.spots[0];
        // Within some metres, so the casts are exact.
        let cell = (spot.ground, (spot.centre.x / stretch).floor() as i64, (spot.centre.z / 0.25).floor() as i64);
        if most == MOST_OF_ONE_UNIT || seen.insert(cell) {
            kept.push(index);
        }
    }
    spread(&kept, unit, most)
}

/// At most so many, half of them the best and half spread over all heights: the rules ask for heights above others.
fn spread(kept: &[usize], unit: &Unit, most: usize) -> Vec<usize> {
    let best = kept.len().min(most / 2);
    let mut chosen: Vec<usize> = kept[..best].to_vec();
    let mut rest: Vec<usize> = kept[best..].to_vec();
    rest.sort_by(|a, b| {
        let height = |index: &usize| unit.places[*index].spots[0].centre.z;
        height(b).total_cmp(&height(a)).then(a.cmp(b))
    });
    let left = most - best;
    let step = rest.len().div_ceil(left.max(1)).max(1);
    chosen.extend(rest.into_iter().step_by(step).take(left));
    chosen
}

fn tried_state(search: &Search, units: &[Unit], picks: Vec<usize>) -> State {
    let mut state = State { picks, faults: 0, tightest: None, band: 0 };
    let at = places(&state, units);
    let hidden = at.iter().filter(|one| !one.clear_at_rest).count();
    let crowded = crowded(search, &at);
    let placed =
        units.iter().zip(&at).flat_map(|(unit, one)| unit.lamps.iter().copied().zip(one.spots.iter().cloned()));
    let fit = refitted(search.fit, placed);
    let worst = at.iter().map(|one| one.band).min().unwrap_or(0);
    let rest = at_rest_with(search, &fit);
    let mut faults = hidden + crowded;
    for status in search.statuses {
        let stand = standing(search.scene, &fit, rest.clone(), *status, search.rules());
        faults += stand.findings.iter().filter(|finding| finding.severity == Severity::Fault).count();
        let tighter = |one: &Tightest| state.tightest.as_ref().is_none_or(|known| one.metres < known.metres);
        if let Some(tight) = stand.tightest.filter(tighter) {
            state.tightest = Some(tight);
        }
    }
    state.faults = faults;
    state.band =
        state.tightest.as_ref().map_or(worst, |tight| worst.min(band(tight.metres, &search.figures.room_bands)));
    state
}

/// Lamps of different units that would stand on top of one another.
fn crowded(search: &Search, at: &[&At]) -> usize {
    let near = |one: &At, other: &At| {
        one.spots.iter().any(|a| other.spots.iter().any(|b| a.centre.distance(b.centre) < search.figures.apart))
    };
    (0..at.len()).flat_map(|n| (n + 1..at.len()).map(move |m| (n, m))).filter(|(n, m)| near(at[*n], at[*m])).count()
}
