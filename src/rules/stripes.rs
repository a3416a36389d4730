//! Every light of the display all the way round: what must show held against what does, as stretches of bearings that
//! leave no gap.
//!
//! Takes a judged survey; gives a [`Stripe`] for each light that is due or shows, level with the horizon and the boat at
//! rest. Each bearing is asked of the same view of a light that the findings come from, so that the two cannot differ.
//! Must never draw.

use super::{
    Judgement, LightKind,
    cast::{Cast, Need, Seat},
    judge::lit,
    view::{Cause, View},
};
use crate::{
    boat::{Fit, Owner, Scene},
    light::Colour,
    measure::{Arc, Bearing, Candela, Degrees},
    survey::{EDGE_TOLERANCE, LightId, Reach, Survey, edge_between},
};

/// Why a light is dark that nothing hides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// No lit lamp is there to be it.
    Missing,
    /// The lamp leans.
    Lean,
    /// The lamp is turned off the line of the keel.
    Turn,
    /// The lamp gives too little light this way however it is set.
    Weak,
}

/// How a light stands on a bearing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Due, and there is enough of it.
    Shows,
    /// Due, and the boat's own solids hide it; whose hides the most of it.
    Shadow { by: Option<Owner> },
    /// Due, and too little of it for another reason.
    Dark(Why),
    /// Not due, and it shows.
    Spill,
}

/// An arc on which a light stands one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    pub arc: Arc,
    pub state: State,
    /// Whether the rules allow as much: an all-round light may be hidden over a few degrees.
    pub excused: bool,
}

/// One light all the way round.
#[derive(Clone, Debug, PartialEq)]
pub struct Stripe {
    /// `None` for a light that is no part of the display.
    pub kind: Option<LightKind>,
    pub colour: Colour,
    /// Those that serve as it; none where it is missing.
    pub lights: Vec<LightId>,
    /// The arc in which it must show.
    pub due: Option<Arc>,
    /// The least intensity due inside the sector.
    pub minimum: Option<Candela>,
    /// Clockwise. What lies between is neither due nor shown.
    pub stretches: Vec<Stretch>,
}

impl Stripe {
    /// The stretch that a bearing lies in; on an edge, either.
    pub fn at(&self, bearing: Bearing) -> Option<&Stretch> {
        self.stretches.iter().find(|stretch| stretch.arc.contains(bearing))
    }
}

/// One stripe for each light that is due or shows, in the order of the display, those that are no part of it last. None where
/// the rules know no display.
pub fn stripes(scene: &Scene, fit: &Fit, survey: &Survey, judgement: &Judgement) -> Vec<Stripe> {
    let Some(display) = judgement.display else { return Vec::new() };
    let rules = judgement.rules;
    let cast = Cast::of(display, &lit(fit, survey), rules);
    let mut stripes = Vec::new();
    let mut served: Vec<LightId> = Vec::new();
    for seat in &cast.seats {
        let Some(sector) = rules.sector(seat.kind) else { continue };
        let lights = serving(seat, sector.colour, survey);
        if lights.is_empty() {
            stripes.extend((seat.need == Need::Must).then(|| missing(seat.kind, sector.colour, sector.arc())));
        } else if let Some(view) = View::new(seat, survey, rules, &scene.vessel) {
            stripes.push(of_view(&view));
        }
        served.extend(lights);
    }
    let strays = survey.lights.iter().filter(|one| !served.contains(&one.light));
    stripes.extend(strays.map(|one| Stripe {
        kind: None,
        colour: one.colour,
        lights: vec![one.light],
        due: None,
        minimum: None,
        stretches: one.shown.iter().map(|arc| Stretch { arc: *arc, state: State::Spill, excused: false }).collect(),
    }));
    stripes.retain(|stripe| stripe.due.is_some() || !stripe.stretches.is_empty());
    stripes
}

fn serving(seat: &Seat, colour: Colour, survey: &Survey) -> Vec<LightId> {
    let own = |light: LightId| seat.lamps.iter().any(|lamp| lamp.index == light.lamp);
    survey.lights.iter().filter(|one| one.colour == colour && own(one.light)).map(|one| one.light).collect()
}

fn missing(kind: LightKind, colour: Colour, due: Arc) -> Stripe {
    let stretches = vec![Stretch { arc: due, state: State::Dark(Why::Missing), excused: false }];
    Stripe { kind: Some(kind), colour, lights: Vec::new(), due: Some(due), minimum: None, stretches }
}

fn of_view(view: &View) -> Stripe {
    let mut stretches = Round { view, from: view.arc().from }.stretches();
    excuse(&mut stretches, view.allowed_hidden());
    Stripe {
        kind: Some(view.kind),
        colour: view.sector.colour,
        lights: view.lights.clone(),
        due: Some(view.arc()),
        minimum: Some(view.minimum),
        stretches,
    }
}

/// What is allowed is counted over all that hides one after another.
fn excuse(stretches: &mut [Stretch], allowed: f64) {
    let hidden = |stretch: &Stretch| matches!(stretch.state, State::Shadow { .. });
    let count = stretches.len();
    let begins = |index: usize| {
        let (before, own) = (&stretches[(index + count - 1) % count], &stretches[index]);
        !(hidden(before) && hidden(own) && own.arc.from.clockwise_of(before.arc.to()).abs() < EDGE_TOLERANCE)
    };
    let run = |start: usize| -> Vec<usize> {
        let others = (1..count).map(|on| (start + on) % count).take_while(|index| !begins(*index));
        std::iter::once(start).chain(others).collect()
    };
    let width = |run: &[usize]| run.iter().map(|index| stretches[*index].arc.width).sum::<f64>();
    let runs = (0..count).filter(|index| hidden(&stretches[*index]) && begins(*index)).map(run);
    let excused: Vec<usize> = runs.filter(|run| width(run) <= allowed).flatten().collect();
    for index in excused {
        stretches[index].excused = true;
    }
}

/// How far to either side of an edge that the rules name it is asked afresh, degrees.
const ASIDE: f64 = 2e-6;
/// The most changes that are sought between two looks.
const MOST_CHANGES: usize = 8;

/// A light on the way round from where its sector begins; offsets are degrees clockwise from there.
struct Round<'a> {
    view: &'a View<'a>,
    from: Bearing,
}

/// An offset at which the state is known, just before it and just after.
#[derive(Clone, Copy)]
struct Known {
    offset: f64,
    before: Option<State>,
    after: Option<State>,
}

impl Round<'_> {
    fn state(&self, offset: f64) -> Option<State> {
        let bearing = self.from.turned(offset);
        let (light, reach) = self.view.at(self.view.survey.rest(), bearing, Degrees(0.0));
        state(self.view, bearing, light, reach)
    }

    /// Where the rules themselves change: the edges of the sector, of the share that is due near them, and of what may
    /// show outside.
    fn borders(&self) -> Vec<f64> {
        let view = self.view;
        let arc = view.arc();
        if view.sector.is_all_round() {
            return Vec::new();
        }
        let outside = |edge: Bearing| view.rules.allowed_outside(view.sector, edge);
        let inside = view.rules.cutoff.aft_inside;
        let borders = [0.0, inside, arc.width - inside, arc.width, arc.width + outside(arc.to()), -outside(arc.from)];
        borders.map(|offset| offset.rem_euclid(360.0)).to_vec()
    }

    /// All that is known without a search.
    fn known(&self) -> Vec<Known> {
        let borders = self.borders();
        let looks = self.view.looks().filter_map(|(bearing, light, reach)| {
            let offset = (bearing.degrees() - self.from.degrees()).rem_euclid(360.0);
            let at_border = borders.iter().any(|border| (border - offset).abs() < 2.0 * ASIDE);
            let state = state(self.view, bearing, light, reach);
            (!at_border).then_some(Known { offset, before: state, after: state })
        });
        let asked = borders.iter().map(|offset| Known {
            offset: *offset,
            before: self.state(offset - ASIDE),
            after: self.state(offset + ASIDE),
        });
        let mut known: Vec<Known> = looks.chain(asked).collect();
        known.sort_by(|a, b| a.offset.total_cmp(&b.offset));
        known
    }

    /// Every offset at which the state changes, with the state from there on.
    fn changes(&self) -> Vec<(f64, Option<State>)> {
        let known = self.known();
        let mut changes = Vec::new();
        for (index, here) in known.iter().enumerate() {
            if here.before != here.after {
                changes.push((here.offset, here.after));
            }
            let (next, lap) = known.get(index + 1).map_or((known[0], 360.0), |next| (*next, 0.0));
            self.search(here, &Known { offset: next.offset + lap, ..next }, &mut changes);
        }
        changes
    }

    /// The changes between two offsets, found by halving.
    fn search(&self, here: &Known, next: &Known, changes: &mut Vec<(f64, Option<State>)>) {
        let (mut offset, mut now) = (here.offset + ASIDE, here.after);
        for _ in 0..MOST_CHANGES {
            if now == next.before {
                return;
            }
            let (from, to) = (self.from.turned(offset), self.from.turned(next.offset - ASIDE));
            let changed = |bearing: Bearing| self.state(offset + ahead(from, bearing)) != now;
            let edge = offset + ahead(from, edge_between(from, to, changed));
            let found = self.state(edge + EDGE_TOLERANCE / 2.0);
            // Right at an edge a look may fall to either side of it.
            now = if found == now { next.before } else { found };
            changes.push((edge, now));
            offset = edge + EDGE_TOLERANCE / 2.0;
        }
    }

    fn stretches(&self) -> Vec<Stretch> {
        let changes = self.changes();
        let Some((first, _)) = changes.first() else {
            let all_round = self.state(0.0).map(|state| Stretch { arc: Arc::ALL_ROUND, state, excused: false });
            return all_round.into_iter().collect();
        };
        let ends = changes.iter().skip(1).map(|(offset, _)| *offset).chain([first + 360.0]);
        let arcs = changes.iter().zip(ends).filter_map(|((offset, state), end)| {
            let arc = Arc { from: self.from.turned(*offset), width: end - offset };
            Some(Stretch { arc, state: (*state)?, excused: false })
        });
        arcs.collect()
    }
}

/// Degrees clockwise from one bearing to another, in `[0, 360)`.
fn ahead(from: Bearing, to: Bearing) -> f64 {
    (to.degrees() - from.degrees()).rem_euclid(360.0)
}

/// How a light stands on a bearing that gets so much of it.
fn state(view: &View, bearing: Bearing, light: LightId, reach: Reach) -> Option<State> {
    if !view.arc().contains(bearing) {
        return view.spills(bearing, reach.candela()).then_some(State::Spill);
    }
    Some(match view.cause(light, reach, bearing, Degrees(0.0), view.due(bearing)) {
        None => State::Shows,
        Some(cause) if cause.is_hidden() => State::Shadow { by: reach.visible.by },
        Some(Cause::Lean) => State::Dark(Why::Lean),
        Some(Cause::Turn) => State::Dark(Why::Turn),
        Some(_) => State::Dark(Why::Weak),
    })
}
