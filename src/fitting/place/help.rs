//! What would let a fit pass where no place does: an obstacle moved, another lamp, another lawful display. Nothing is told
//! here that was not tried, and judged to pass.
//!
//! Takes what was found; gives what helps. Must never promise more than it tried.

use std::sync::Arc;

use super::{
    Panel, Proposals, Wish,
    figures::figures,
    judged::Proposal,
    search::{Search, share_needed},
    without_help,
};
use crate::{
    boat::{Face, Fit, Lamp, PartKind, Place, Pose, Role, Scene, Status},
    edit::kit,
    light::Optics,
    measure::Degrees,
    rules::{Display, Finding, Kind, LightKind},
    survey::Fineness,
};

/// Something that was tried, and lets what was asked for pass.
#[derive(Clone, Debug)]
pub enum Help {
    /// A part moved, and the lamps in places that pass then.
    Move {
        /// Index into [`Scene::parts`].
        part: usize,
        /// "forward", "aft", "to starboard", "to port".
        way: &'static str,
        metres: f64,
        with: Proposal,
    },
    /// Another generic lamp for one of the lamps, and its place.
    Lamp { lamp: usize, optics: String, with: Proposal },
    /// Another lawful display in place of the one that she shows.
    Display { status: Status, name: String, clause: String, with: Proposal },
    /// What no place mends, in the words of the judgement.
    NotByPlace(Finding),
}

/// Everything that was found to help, the smallest change first.
pub fn help(scene: &Scene, wish: &Wish, found: &Proposals) -> Vec<Help> {
    let mut help: Vec<Help> = moves(scene, wish, found);
    let stubborn: Vec<&Finding> = stubborn(found);
    help.extend(other_lamps(scene, wish, &stubborn));
    if !help.iter().any(|one| matches!(one, Help::Lamp { .. })) {
        help.extend(displays(scene, wish, found));
    }
    help.extend(stubborn.into_iter().cloned().map(Help::NotByPlace));
    help
}

/// Whether it turns on where a lamp stands.
fn turns_on_place(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Misplaced
            | Kind::NotUpright
            | Kind::NotParallel
            | Kind::Shadowed
            | Kind::AllRoundObscured
            | Kind::DarkLane
            | Kind::DoubleLane
            | Kind::WrongOrder
            | Kind::TooHigh
            | Kind::TooLow
            | Kind::TooClose
            | Kind::TooFar
            | Kind::LightsMerge
    )
}

/// Faults of the best proposal that no place mends.
fn stubborn(found: &Proposals) -> Vec<&Finding> {
    let faults = found.proposals.first().map_or(&[][..], |best| &best.faults);
    faults.iter().map(|(_, finding)| finding).filter(|finding| !turns_on_place(finding.kind)).collect()
}

const WAYS: [(&str, f64, f64); 4] =
    [("forward", 1.0, 0.0), ("aft", -1.0, 0.0), ("to starboard", 0.0, 1.0), ("to port", 0.0, -1.0)];
/// How many obstacles are told of.
const MOST_MOVES: usize = 2;

fn moves(scene: &Scene, wish: &Wish, found: &Proposals) -> Vec<Help> {
    let mut helped: Vec<Help> = Vec::new();
    for metres in &figures().moves {
        for part in in_the_way(scene, found) {
            let known = helped.iter().any(|one| matches!(one, Help::Move { part: moved, .. } if *moved == part));
            if known || helped.len() >= MOST_MOVES {
                continue;
            }
            let tries = WAYS.iter().flat_map(|way| found.proposals.iter().map(move |one| (way, one)));
            helped.extend(
                tries.filter_map(|(way, one)| moved_passes(scene, wish, found, part, way, *metres, one)).next(),
            );
        }
    }
    // For one lamp there is time to look again where the way is clear, since the best place may then be another.
    if helped.is_empty() && wish.lamps.len() == 1 {
        helped.extend(in_the_way(scene, found).into_iter().find_map(|part| farther(scene, wish, found, part)));
    }
    helped
}

/// The least move of a part with which another place passes than those that came nearest.
fn farther(scene: &Scene, wish: &Wish, found: &Proposals, part: usize) -> Option<Help> {
    let far = figures().moves.iter().copied().fold(0.0, f64::max);
    WAYS.iter().find_map(|way| {
        let (_, forward, starboard) = way;
        let moved = with_part_moved(scene, part, forward * far, starboard * far)?;
        let best = without_help(&moved, wish).proposals.into_iter().next().filter(Proposal::passes)?;
        figures().moves.iter().find_map(|metres| moved_passes(scene, wish, found, part, way, *metres, &best))
    })
}

/// Parts that hide lamps in the proposals, by index; each once.
fn in_the_way(scene: &Scene, found: &Proposals) -> Vec<usize> {
    let findings = found.proposals.iter().flat_map(|one| one.faults.iter().map(|(_, finding)| finding));
    let names: Vec<&str> = findings.filter_map(|finding| finding.by.as_deref()).collect();
    let told = |name: &str| {
        names.iter().any(|by| *by == name || by.split(" and ").flat_map(|some| some.split(", ")).any(|one| one == name))
    };
    let movable = |kind: &PartKind| !crate::edit::places(kind).is_empty();
    let parts = scene.parts.iter().enumerate().filter(|(_, part)| told(&part.name) && movable(&part.kind));
    parts.map(|(index, _)| index).collect()
}

fn moved_passes(
    scene: &Scene,
    wish: &Wish,
    found: &Proposals,
    part: usize,
    (way, forward, starboard): &(&'static str, f64, f64),
    metres: f64,
    proposal: &Proposal,
) -> Option<Help> {
    if proposal.placed.iter().any(|placed| placed.spot.ground.part() == Some(part)) {
        return None;
    }
    let moved = with_part_moved(scene, part, forward * metres, starboard * metres)?;
    let search = Search::of(&moved, moved.fits.get(wish.fit)?, wish, &found.statuses);
    let clear = proposal.placed.iter().all(|placed| {
        let lamp = &proposal.fit.lamps[placed.lamp];
        let clearance = search.clearance(lamp, &[0.0], Fineness::COARSE);
        clearance.is_some_and(|clearance| search.clear_coarsely(lamp, &clearance).is_some())
    });
    if !clear {
        return None;
    }
    let with = super::judged::again(&search, proposal);
    with.passes().then_some(Help::Move { part, way, metres, with })
}

/// The boat with one part elsewhere; `None` where it would leave her, or stand over a lamp of any fit.
pub fn with_part_moved(scene: &Scene, part: usize, forward: f64, starboard: f64) -> Option<Scene> {
    let mut moved = scene.clone();
    let round = |value: f64| (value * 1000.0).round() / 1000.0;
    let shift = |place: &mut Place| {
        place.forward = round(place.forward + forward);
        place.starboard = round(place.starboard + starboard);
    };
    match &mut moved.parts.get_mut(part)?.kind {
        PartKind::Rail { through, .. } => through.iter_mut().for_each(shift),
        PartKind::Capsule { from, to, .. } => [from, to].into_iter().for_each(shift),
        PartKind::Stanchion { at, .. }
        | PartKind::Cabin { at, .. }
        | PartKind::Windscreen { at, .. }
        | PartKind::Mast { at, .. }
        | PartKind::Antenna { at, .. }
        | PartKind::Arch { at, .. }
        | PartKind::Person { at, .. }
        | PartKind::Fender { at, .. }
        | PartKind::Screen { at, .. }
        | PartKind::Box { at, .. }
        | PartKind::Cylinder { at, .. } => shift(at),
        PartKind::Outboard { .. } | PartKind::Mesh { .. } => return None,
    }
    let vessel = &moved.vessel;
    let aboard = crate::edit::places(&moved.parts[part].kind).iter().all(|place| {
        (0.0..=vessel.length.0).contains(&place.forward)
            && place.starboard.abs() <= vessel.half_breadth(place.forward) + 0.1
    });
    let shapes = moved.parts[part].kind.shapes(vessel, &Pose::default());
    let lamps =
        moved.fits.iter().flat_map(|fit| &fit.lamps).map(|lamp| moved.posed_lamp(lamp, &Pose::default()).centre);
    let over = lamps.into_iter().any(|lamp| shapes.iter().any(|shape| shape.contains(lamp)));
    (aboard && !over).then_some(moved)
}

/// A stronger lamp of the library for each that is too weak or made for something else.
fn other_lamps(scene: &Scene, wish: &Wish, stubborn: &[&Finding]) -> Vec<Help> {
    let Some(fit) = wish.from(scene) else { return Vec::new() };
    let weak = stubborn.iter().filter(|finding| matches!(finding.kind, Kind::TooWeak | Kind::WrongLamp | Kind::Uneven));
    let mut lamps: Vec<usize> = weak
        .filter_map(|finding| fit.lamps.iter().position(|lamp| Some(&lamp.name) == finding.lamp.as_ref()))
        .collect();
    lamps.sort_unstable();
    lamps.dedup();
    let mut tried = scene.clone();
    let mut changed: Vec<(usize, String)> = Vec::new();
    for lamp in lamps {
        let role = fit.lamps[lamp].role;
        let Some(optics) = strong_enough(scene, wish, role) else { continue };
        changed.push((lamp, optics.name.clone()));
        tried.fits[wish.fit].lamps[lamp].optics = optics;
    }
    if changed.is_empty() {
        return Vec::new();
    }
    let found = without_help(&tried, wish);
    let Some(best) = found.proposals.into_iter().find(Proposal::passes) else { return Vec::new() };
    changed.into_iter().map(|(lamp, optics)| Help::Lamp { lamp, optics, with: best.clone() }).collect()
}

/// The first generic lamp of a role that gives what is due on a vessel of her length.
fn strong_enough(scene: &Scene, wish: &Wish, role: Role) -> Option<Arc<Optics>> {
    let kinds = || LightKind::ALL.iter().filter(move |kind| kind.served_by(role));
    kit::lamps_for(role)
        .find(|optics| {
            let lamp = generic(role, optics, Vec::new(), String::new());
            let enough = |kind: &LightKind| {
                share_needed(wish.rules, &lamp, *kind, scene.vessel.length.0).is_some_and(|share| share <= 1.0)
            };
            kinds().all(enough)
        })
        .cloned()
}

fn generic(role: Role, optics: &Arc<Optics>, lit: Vec<Status>, name: String) -> Lamp {
    let mount = crate::boat::Mount::Bracket(crate::boat::Along::Centreline);
    let level = Degrees(0.0);
    Lamp {
        name,
        role,
        at: Some(Place::default()),
        mount,
        yaw: level,
        tilt: level,
        roll: level,
        face: Face::column(0.03, 0.03),
        optics: Arc::clone(optics),
        lit,
        chromaticity: Vec::new(),
        bracket: None,
        takes: None,
    }
}

/// How many other displays are tried.
const MOST_DISPLAYS: usize = 4;

fn displays(scene: &Scene, wish: &Wish, found: &Proposals) -> Vec<Help> {
    let faulty = |status: &&Status| {
        let faults = found.proposals.first().map_or(&[][..], |best| &best.faults);
        found.proposals.is_empty() || faults.iter().any(|(of, _)| of == *status)
    };
    let Some(status) = found.statuses.iter().find(faulty) else { return Vec::new() };
    let lawful = wish.rules.displays(&scene.vessel, *status, &scene.conditions.waters);
    let tries = lawful.into_iter().filter(|display| display.ready.is_none()).flat_map(|display| {
        let small = scene.vessel.length.0 < wish.rules.places.combined_under;
        let with = |lantern: bool| refitted_for(scene, wish, *status, display, lantern).map(|fit| (display, fit));
        [with(false), if small { with(true) } else { None }]
    });
    let tries = tries.flatten().take(MOST_DISPLAYS);
    tries.filter_map(|(display, fit)| display_passes(scene, wish, *status, display, fit)).take(1).collect()
}

fn display_passes(scene: &Scene, wish: &Wish, status: Status, display: &Display, fit: Fit) -> Option<Help> {
    let mut tried = scene.clone();
    *tried.fits.get_mut(wish.fit)? = fit;
    // This status alone: what she shows in others is another question.
    tried.vessel.statuses = vec![status];
    let panel = Panel::clone(&wish.panel);
    let all = Wish { panel, few: 1, ..Wish::for_all(&tried, wish.fit, wish.rules) };
    let best = without_help(&tried, &all).proposals.into_iter().next()?;
    let (name, clause) = (display.name.clone(), display.clause.clone());
    best.is_whole().then_some(Help::Display { status, name, clause, with: best })
}

/// The fit with the lamps of a display and no others in this status: lamps of hers where they serve, generic ones
/// otherwise. `None` where that is the fit as it is, or a lamp is not to be had.
fn refitted_for(scene: &Scene, wish: &Wish, status: Status, display: &Display, lantern: bool) -> Option<Fit> {
    let fit = wish.from(scene)?;
    let mut left: Vec<Lamp> = fit.lamps.iter().filter(|lamp| lamp.lit.contains(&status)).cloned().collect();
    let mut lamps: Vec<Lamp> = Vec::new();
    let (mut added, sides) = (false, |kind: LightKind| kind.is_sidelight());
    let mut side_done = false;
    for kind in display.required() {
        let role = role_for(kind, display, lantern);
        if (role == Role::CombinedSidelights || role == Role::ThreeColourLantern)
            && (sides(kind) || kind == LightKind::Sternlight)
        {
            if side_done {
                continue;
            }
            side_done = true;
        }
        if let Some(own) = left.iter().position(|lamp| lamp.role == role) {
            lamps.push(left.remove(own));
            continue;
        }
        added = true;
        let optics = strong_enough(scene, wish, role)?;
        let name = (1..).map(|n| if n == 1 { role.in_words().into() } else { format!("{} {n}", role.in_words()) });
        let name = name.into_iter().find(|name: &String| lamps.iter().all(|lamp| lamp.name != *name))?;
        lamps.push(generic(role, &optics, vec![status], name));
    }
    added.then(|| Fit { lamps, switches: Vec::new(), ..fit.clone() })
}

fn role_for(kind: LightKind, display: &Display, lantern: bool) -> Role {
    match kind {
        LightKind::StarboardSidelight | LightKind::PortSidelight | LightKind::Sternlight if display.one_lantern => {
            Role::ThreeColourLantern
        }
        LightKind::StarboardSidelight | LightKind::PortSidelight if lantern => Role::CombinedSidelights,
        LightKind::StarboardSidelight => Role::StarboardSidelight,
        LightKind::PortSidelight => Role::PortSidelight,
        LightKind::Masthead => Role::Masthead,
        LightKind::Sternlight => Role::Sternlight,
        LightKind::TowingLight => Role::TowingLight,
        LightKind::AllRoundWhite => Role::AllRoundWhite,
        LightKind::AllRoundRed => Role::AllRoundRed,
        LightKind::AllRoundGreen => Role::AllRoundGreen,
        LightKind::FlashingYellow => Role::FlashingYellow,
        LightKind::SpecialFlashing => Role::SpecialFlashing,
    }
}
