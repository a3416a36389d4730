//! The few that are proposed: surveyed and judged as any fit is, told apart from one another, and put in order.
//!
//! Takes states; gives proposals. Every verdict and every finding here is `rules::judge`'s. Must never look at a place that
//! was not put together before.

use std::cmp::Reverse;

use rayon::prelude::*;

use super::{
    choose::{State, places},
    figures::band,
    ground::{Spot, inboard},
    search::{Search, Unit, refitted},
};
use crate::{
    boat::{Fit, Role, Status},
    measure::Bearing,
    rules::{Finding, Kind, Severity, Tightest, judge},
    survey::{Clearance, Fineness, Settings, Survey},
};

/// One lamp in its proposed place.
#[derive(Clone, Debug)]
pub struct Placed {
    /// Index into [`Fit::lamps`].
    pub lamp: usize,
    pub spot: Spot,
    /// Degrees that the boat's solids keep off all that the lamp must be seen from, in whatever way she lies; `None` where
    /// they take some of it.
    pub clear: Option<f64>,
    /// Metres inboard of her outline; outboard below nought.
    pub inboard: f64,
    /// Metres of cable from the panel along her, athwart and up.
    pub cable: f64,
}

/// A fit with the lamps in proposed places.
#[derive(Clone, Debug)]
pub struct Proposal {
    pub placed: Vec<Placed>,
    pub fit: Fit,
    /// How far from any fault, from 0 up: the worst of the bands of its lamps and of what the rules leave.
    pub band: usize,
    /// The figure of a rule that is nearest to being missed.
    pub tightest: Option<Tightest>,
    /// What it would still lack, with the status in which it does.
    pub faults: Vec<(Status, Finding)>,
    pub cautions: Vec<(Status, Finding)>,
    /// Faults that no place of these lamps bears on, such as a lamp that is not fitted at all.
    pub elsewhere: Vec<(Status, Finding)>,
    pub(super) shelter: usize,
}

impl Proposal {
    /// Whether the lamps asked for are without fault.
    pub fn passes(&self) -> bool {
        self.faults.is_empty()
    }

    /// Whether the whole fit is.
    pub fn is_whole(&self) -> bool {
        self.faults.is_empty() && self.elsewhere.is_empty()
    }

    /// Heights of brackets together, metres.
    pub fn brackets(&self) -> f64 {
        self.placed.iter().map(|placed| placed.spot.bracket).sum()
    }

    /// Cables together, metres.
    pub fn cable(&self) -> f64 {
        self.placed.iter().map(|placed| placed.cable).sum()
    }

    fn order(&self) -> impl Ord + use<> {
        let where_they_are: Vec<[i64; 3]> = self.placed.iter().map(|placed| placed.spot.on_grid()).collect();
        // Tenths of a metre and metres, so the casts are exact.
        let brackets = (self.brackets() * 10.0).round() as i64;
        let cable = self.cable().round() as i64;
        let faults = self.faults.len();
        (faults, Reverse(self.band), self.cautions.len(), Reverse(self.shelter), brackets, cable, where_they_are)
    }
}

/// How many are judged at a time, and in all, before the search is given up.
const BATCH: usize = 4;
const MOST_JUDGED: usize = 16;
/// Degrees of the rings that the clearance of a proposal is told in.
const RINGS: [f64; 13] = [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0];

/// The best few of these states, different from one another.
pub fn judged(search: &Search, units: &[Unit], states: Vec<State>) -> Vec<Proposal> {
    let fine: Vec<(usize, Option<Clearance>)> = search
        .wish
        .lamps
        .par_iter()
        .map(|lamp| (*lamp, search.clearance(&search.fit.lamps[*lamp], &RINGS, Fineness::FINE)))
        .collect();
    let mut left = states;
    let mut made: Vec<Proposal> = Vec::new();
    while made.len() < MOST_JUDGED && made.iter().filter(|one| one.passes()).count() < search.wish.few {
        let batch = next_batch(search, units, &mut left, &made);
        if batch.is_empty() {
            break;
        }
        made.extend(batch.par_iter().map(|state| proposal(search, units, state, &fine)).collect::<Vec<_>>());
    }
    made.sort_by_cached_key(Proposal::order);
    let passing = made.iter().any(Proposal::passes);
    made.retain(|one| one.passes() || !passing);
    made.truncate(search.wish.few);
    made
}

/// The next states that differ from one another and from all that was judged.
fn next_batch(search: &Search, units: &[Unit], left: &mut Vec<State>, made: &[Proposal]) -> Vec<State> {
    let mut known: Vec<Vec<(usize, Spot)>> = made.iter().map(|one| lamps_of(&one.placed)).collect();
    let mut batch = Vec::new();
    let mut over = Vec::new();
    for state in left.drain(..) {
        if batch.len() >= BATCH {
            over.push(state);
            continue;
        }
        let own = spots_of(units, &state);
        if known.iter().all(|one| differs(search, one, &own)) {
            known.push(own);
            batch.push(state);
        }
    }
    *left = over;
    batch
}

fn lamps_of(placed: &[Placed]) -> Vec<(usize, Spot)> {
    placed.iter().map(|one| (one.lamp, one.spot.clone())).collect()
}

fn spots_of(units: &[Unit], state: &State) -> Vec<(usize, Spot)> {
    let at = places(state, units);
    units.iter().zip(at).flat_map(|(unit, one)| unit.lamps.iter().copied().zip(one.spots.iter().cloned())).collect()
}

/// Whether a lamp is held by something else, or stands well apart.
fn differs(search: &Search, one: &[(usize, Spot)], other: &[(usize, Spot)]) -> bool {
    one.iter()
        .zip(other)
        .any(|((_, a), (_, b))| a.ground != b.ground || a.centre.distance(b.centre) >= search.figures.different)
}

fn proposal(search: &Search, units: &[Unit], state: &State, fine: &[(usize, Option<Clearance>)]) -> Proposal {
    let spots = spots_of(units, state);
    let fit = refitted(search.fit, spots.iter().cloned());
    let placed: Vec<Placed> = spots
        .into_iter()
        .map(|(lamp, spot)| {
            let clearance = fine.iter().find(|(index, _)| *index == lamp).and_then(|(_, clearance)| clearance.as_ref());
            let clear = clearance.and_then(|clearance| search.clear(&fit.lamps[lamp], clearance));
            let (inboard, cable) = (inboard(search.scene, spot.centre), search.wish.panel.cable(spot.centre));
            Placed { lamp, clear, inboard, cable, spot }
        })
        .collect();
    let clear = placed.iter().map(|one| one.clear.map_or(0, |clear| band(clear, &search.figures.clear_bands))).min();
    let room = state.tightest.as_ref().map(|tight| band(tight.metres, &search.figures.room_bands));
    let mut made = Proposal {
        band: clear.into_iter().chain(room).min().unwrap_or(0),
        shelter: places(state, units).iter().map(|one| one.shelter).sum(),
        tightest: state.tightest.clone(),
        faults: Vec::new(),
        cautions: Vec::new(),
        elsewhere: Vec::new(),
        placed,
        fit,
    };
    judge_anew(search, &mut made);
    made
}

/// The same fit on another boat: the one of `search`.
pub fn again(search: &Search, proposal: &Proposal) -> Proposal {
    let mut made = proposal.clone();
    judge_anew(search, &mut made);
    made
}

fn judge_anew(search: &Search, made: &mut Proposal) {
    (made.faults, made.cautions, made.elsewhere) = (Vec::new(), Vec::new(), Vec::new());
    let fit = &made.fit;
    let judged = search.statuses.par_iter().map(|status| (*status, found(search, fit, *status)));
    for (status, findings) in judged.collect::<Vec<_>>() {
        findings.into_iter().for_each(|finding| sort_in(search, made, status, finding));
    }
}

/// All that a judgement finds of a fit.
fn found(search: &Search, fit: &Fit, status: Status) -> Vec<Finding> {
    let survey = Survey::of(search.scene, fit, status, &Settings::default());
    judge(search.scene, fit, &survey, search.rules()).findings
}

fn sort_in(search: &Search, made: &mut Proposal, status: Status, finding: Finding) {
    let concerned = concerns(search, &finding);
    let told = |list: &[(Status, Finding)]| list.iter().any(|(_, one)| one.what == finding.what);
    let list = match (finding.severity, concerned) {
        (Severity::Fault, true) => &mut made.faults,
        (Severity::Fault, false) => &mut made.elsewhere,
        (Severity::Caution, true) => &mut made.cautions,
        _ => return,
    };
    if !told(list) {
        list.push((status, finding));
    }
}

/// Whether a finding is of one of the lamps that are asked for, or of how they go together.
fn concerns(search: &Search, finding: &Finding) -> bool {
    let lamps = &search.fit.lamps;
    let mut names = search.wish.lamps.iter().map(|index| lamps[*index].name.as_str());
    match (&finding.lamp, finding.kind) {
        (_, Kind::LightMissing | Kind::Switching | Kind::NotCovered | Kind::StatusImpossible) => false,
        (Some(lamp), _) => names.any(|name| name == lamp || finding.what.contains(name)),
        (None, Kind::DarkLane) => search.wish.lamps.iter().any(|index| leaves_dark(lamps[*index].role, finding)),
        (None, _) => true,
    }
}

/// Whether a dark lane is on the side of a sidelight: that of the other is none of its doing.
fn leaves_dark(role: Role, lane: &Finding) -> bool {
    let to_starboard = lane.arc.is_none_or(|arc| arc.middle().clockwise_of(Bearing::AHEAD) >= 0.0);
    match role {
        Role::StarboardSidelight => to_starboard,
        Role::PortSidelight => !to_starboard,
        Role::CombinedSidelights | Role::ThreeColourLantern => true,
        _ => false,
    }
}
