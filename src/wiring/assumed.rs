//! A plain wiring for a fit whose scene says nothing of it, so that lengths and sizes can be told at all.
//!
//! Takes a scene and a fit; gives the wiring with what was assumed in sentences. Must never leave out of those
//! sentences anything that it made up.

use super::tables::rules;
use crate::{
    boat::{
        Fit, Height, PartKind, Place, Scene, Status,
        wiring::{Battery, Circuit, Conductors, Leg, Wiring},
    },
    measure::{AmpHours, Volts},
};

/// The wiring that is assumed, and what was assumed for it.
pub fn wiring(scene: &Scene, fit: &Fit) -> (Wiring, Vec<String>) {
    let length = scene.vessel.length.0;
    let deck = |forward: f64, up: f64| Place { forward, starboard: 0.0, height: Height::AboveDeck(up) };
    let battery = Battery {
        at: deck((0.12 * length * 10.0).round() / 10.0, 0.1),
        volts: Volts(rules().volts.value),
        amp_hours: AmpHours(rules().amp_hours.value),
    };
    let (panel, by) = panel(scene).unwrap_or((deck((0.4 * length * 10.0).round() / 10.0, 0.6), "amidships".into()));
    let circuits = circuits(fit);
    let said = format!(
        "The scene says nothing of the wiring. Assumed are a battery of {} and {} on the centreline aft, the panel {by}, {}, \
         and a fuse for each as proposed here. Write a `wiring` block for what is true aboard.",
        battery.volts,
        battery.amp_hours,
        if fit.switches.is_empty() {
            "a circuit for running lights and one for the rest"
        } else {
            "a circuit for each switch"
        },
    );
    let wiring = Wiring {
        battery,
        main_fuse: None,
        panel,
        feed: Leg::default(),
        circuits,
        routes: Vec::new(),
        conductors: Conductors::default(),
        metal_hull: false,
        night: None,
        discharge: None,
    };
    (wiring, vec![said])
}

/// On the first cabin or console, half-way up.
fn panel(scene: &Scene) -> Option<(Place, String)> {
    scene.parts.iter().find_map(|part| match &part.kind {
        PartKind::Cabin { at, height, .. } => {
            let up = height / 2.0;
            let height = match at.height {
                Height::AboveDeck(foot) => Height::AboveDeck(foot + up),
                Height::AboveGunwale(foot) => Height::AboveGunwale(foot + up),
                Height::AboveWaterline(foot) => Height::AboveWaterline(foot + up),
            };
            Some((Place { height, ..*at }, format!("in the {}", part.name)))
        }
        _ => None,
    })
}

/// One for each switch; where there are none, one for what is lit at anchor and one for the rest.
fn circuits(fit: &Fit) -> Vec<Circuit> {
    let mut left: Vec<usize> = (0..fit.lamps.len()).collect();
    let mut circuits = Vec::new();
    let circuit = |name: &str, switch: Option<String>, lamps: Vec<usize>| Circuit {
        name: name.into(),
        switch,
        fuse: None,
        lamps: lamps.into_iter().filter_map(|lamp| Some(fit.lamps.get(lamp)?.name.clone())).collect(),
    };
    for switch in &fit.switches {
        let feeds = |lamp: &usize| switch.positions.iter().any(|position| position.lamps.contains(lamp));
        let (own, others): (Vec<usize>, Vec<usize>) = left.into_iter().partition(|lamp| feeds(lamp));
        left = others;
        if !own.is_empty() {
            circuits.push(circuit(&switch.name, Some(switch.name.clone()), own));
        }
    }
    let at_anchor = |lamp: &usize| fit.lamps[*lamp].lit.contains(&Status::AtAnchor);
    let (anchor, running): (Vec<usize>, Vec<usize>) = left.into_iter().partition(|lamp| at_anchor(lamp));
    for (name, lamps) in [("running lights", running), ("white light", anchor)] {
        if !lamps.is_empty() {
            circuits.push(circuit(name, None, lamps));
        }
    }
    circuits
}
