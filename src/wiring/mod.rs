//! The wiring of a fit worked out: the way from the battery through main fuse, panel and switches to each lamp.
//!
//! Takes a scene and one of its fits; gives a [`Plan`]: lengths out and back, conductors by drop and by current, fuses,
//! what each lamp gets and what light it then gives, loops at joints, a night at anchor, terminals, and findings with a
//! mend. Where the scene is silent a plain wiring is assumed, and said to be. Must never draw.
//!
//! ```
//! # let text = include_str!("../../scenes/sandpiper.ron");
//! # let scene = lampwalk::boat::read::scene_text(text, "sandpiper.ron", None).unwrap().scene;
//! let plan = lampwalk::wiring::planned(&scene, scene.fit("proposed").unwrap());
//! assert!(plan.circuits.iter().flat_map(|circuit| &circuit.feeds).all(|fed| fed.volts < plan.battery.volts));
//! ```

mod assumed;
mod cable;
mod checks;
pub mod conductor;
mod lamp;
mod night;
pub mod route;
pub mod tables;
mod terminals;

pub use cable::{Cable, Fuse};
pub use lamp::{Light, Taken};
pub use night::Night;
pub use route::Loop;
pub use terminals::Terminal;

use crate::{
    boat::{
        Fit, MOST_SETTINGS, Scene, setting_count, settings,
        wiring::{Battery, Copper, Leg, Sizes, Wiring},
    },
    fitting::Finding,
    measure::{Amps, Volts},
    rules::international,
};
use cable::Job;
use tables::rules;

/// The wiring of a fit worked out.
#[derive(Clone, Debug)]
pub struct Plan {
    pub boat: String,
    pub fit: String,
    /// Whether all of the wiring is assumed, since the scene says nothing of it.
    pub assumed_whole: bool,
    /// What was assumed, in sentences.
    pub assumed: Vec<String>,
    pub battery: Battery,
    pub metal_hull: bool,
    pub sizes: Sizes,
    pub copper: Copper,
    /// The temperature of the insulation whose currents were taken, degrees Celsius.
    pub insulation: u32,
    pub main_fuse: Fuse,
    /// From the battery to the panel.
    pub feed: Cable,
    pub circuits: Vec<Circuit>,
    pub switches: Vec<Turned>,
    pub loops: Vec<Loop>,
    pub terminals: Vec<Terminal>,
    pub night: Night,
    pub findings: Vec<Finding>,
}

/// Lamps behind one fuse.
#[derive(Clone, Debug)]
pub struct Circuit {
    pub name: String,
    /// The switch that it is on; `None` where none could be told.
    pub switch: Option<String>,
    pub fuse: Fuse,
    /// All of its lamps together.
    pub amps: Amps,
    pub feeds: Vec<Fed>,
}

/// One lamp with its cable from the panel.
#[derive(Clone, Debug)]
pub struct Fed {
    /// Index into [`Fit::lamps`].
    pub lamp: usize,
    pub name: String,
    /// The positions of a switch of several that light it.
    pub positions: Vec<String>,
    pub takes: Taken,
    pub cable: Cable,
    /// Lost from the battery to its terminals.
    pub drop: Volts,
    /// What is left at its terminals.
    pub volts: Volts,
    /// How its light depends on that, in words, and whether that is assumed.
    pub law: (String, bool),
    /// `None` where nothing tells of that voltage, or nothing is asked of such a light.
    pub light: Option<Light>,
}

/// A switch with the lamps of each of its positions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Turned {
    pub name: String,
    pub positions: Vec<(String, Vec<String>)>,
    /// Whether the scene says so; otherwise it is assumed.
    pub told: bool,
}

impl Plan {
    /// Whether any finding is a fault.
    pub fn is_faulty(&self) -> bool {
        self.findings.iter().any(Finding::is_fault)
    }

    /// Every lamp that is fed, circuit by circuit.
    pub fn feeds(&self) -> impl Iterator<Item = &Fed> {
        self.circuits.iter().flat_map(|circuit| &circuit.feeds)
    }
}

/// Works out the wiring of a fit of the scene.
pub fn planned(scene: &Scene, fit: &Fit) -> Plan {
    let (wiring, mut said) = match &fit.wiring {
        Some(told) => (Wiring::clone(told), Vec::new()),
        None => assumed::wiring(scene, fit),
    };
    let whole = fit.wiring.is_none();
    said.extend(assumptions(scene, fit, &wiring, whole));
    let insulation = checks::insulation(&wiring);
    let panel = scene.vessel.locate(&wiring.panel);
    let loops = route::loops(scene, fit, panel);
    let job = Job { scene, fit, wiring: &wiring, insulation, loops: &loops };
    let volts = wiring.battery.volts;
    let draws: Vec<Taken> = fit.lamps.iter().map(|lamp| lamp::taken(lamp, &scene.vessel, volts)).collect();
    let total = most_at_once(fit, &wiring, &draws);
    let largest =
        wiring.circuits.iter().map(|circuit| circuit_fuse(fit, circuit, &draws).rating().0).fold(0.0, f64::max);
    let least = Amps((total.0 * rules().fuse_over.value).max(largest * rules().main_over.value));
    let main_fuse = Fuse::new(wiring.main_fuse, least);
    let feed = job.feed(total, &main_fuse);
    let circuits: Vec<Circuit> = wiring.circuits.iter().map(|told| circuit(&job, told, &draws, &feed)).collect();
    let mut plan = Plan {
        boat: scene.name.clone(),
        fit: fit.name.clone(),
        assumed_whole: whole,
        assumed: said,
        battery: wiring.battery,
        metal_hull: wiring.metal_hull,
        sizes: wiring.conductors.sizes,
        copper: wiring.conductors.copper,
        insulation,
        main_fuse,
        feed,
        switches: turned(fit, &circuits),
        circuits,
        night: night::at_anchor(fit, &wiring, &draws),
        loops: loops.clone(),
        terminals: Vec::new(),
        findings: Vec::new(),
    };
    plan.terminals = terminals::of(&plan);
    plan.findings = checks::findings(&job, &plan);
    plan
}

/// What the scene leaves open and is taken to be usual.
fn assumptions(scene: &Scene, fit: &Fit, wiring: &Wiring, whole: bool) -> Vec<String> {
    let mut said = Vec::new();
    let silent: Vec<&str> =
        fit.lamps.iter().filter(|lamp| lamp.takes.is_none()).map(|lamp| lamp.name.as_str()).collect();
    if !silent.is_empty() {
        let usual = lamp::taken(
            &crate::boat::Lamp { takes: None, ..fit.lamps[0].clone() },
            &scene.vessel,
            wiring.battery.volts,
        );
        said.push(format!(
            "Nothing says what these lamps take; {} each is assumed, as of a filament: {}.",
            usual.words,
            crate::measure::listed(&silent)
        ));
    }
    if fit.lamps.iter().any(|lamp| lamp.optics.supply.is_none()) {
        said.push(format!(
            "Lamps that do not say how their light depends on voltage are taken as filaments of {}, which dim the most.",
            wiring.battery.volts
        ));
    }
    if wiring.conductors.insulation.is_none() {
        said.push(format!(
            "Nothing is said of the insulation, so the currents of {} degrees, the least of the table, are taken.",
            tables::insulations().first().copied().unwrap_or_default()
        ));
    }
    if wiring.conductors.spare.is_none() && !whole {
        said.push(format!("{} m of every cable are left over for its ends.", rules().spare.value));
    }
    if wiring.circuits.iter().any(|circuit| circuit.switch.is_none()) && fit.switches.is_empty() {
        said.push("The scene has no switch plan: a switch for each circuit is assumed.".into());
    }
    said
}

/// The greatest current that any setting of the switches asks for. Lamps that no switch feeds count as lit.
fn most_at_once(fit: &Fit, wiring: &Wiring, draws: &[Taken]) -> Amps {
    let on_circuit = |lamp: usize| {
        let name = fit.lamps.get(lamp).map(|lamp| lamp.name.as_str());
        wiring.circuits.iter().any(|circuit| circuit.lamps.iter().any(|fed| Some(fed.as_str()) == name))
    };
    let takes = |lamp: &usize| draws.get(*lamp).filter(|_| on_circuit(*lamp)).map_or(0.0, |taken| taken.amps.0);
    let switched = |lamp: &usize| {
        fit.switches.iter().flat_map(|switch| &switch.positions).any(|position| position.lamps.contains(lamp))
    };
    let always: f64 = (0..draws.len()).filter(|lamp| !switched(lamp)).map(|lamp| takes(&lamp)).sum();
    if setting_count(&fit.switches) > MOST_SETTINGS {
        return Amps((0..draws.len()).map(|lamp| takes(&lamp)).sum());
    }
    let lit = settings(&fit.switches).into_iter().map(|setting| setting.lamps.iter().map(takes).sum::<f64>());
    Amps(always + lit.fold(0.0, f64::max))
}

/// The lamps of a circuit, by index.
fn lamps_of<'f>(fit: &'f Fit, told: &'f crate::boat::wiring::Circuit) -> impl Iterator<Item = usize> + 'f {
    told.lamps.iter().filter_map(|name| fit.lamps.iter().position(|lamp| lamp.name == *name))
}

fn circuit_amps(fit: &Fit, told: &crate::boat::wiring::Circuit, draws: &[Taken]) -> Amps {
    Amps(lamps_of(fit, told).filter_map(|lamp| draws.get(lamp)).map(|taken| taken.amps.0).sum())
}

fn circuit_fuse(fit: &Fit, told: &crate::boat::wiring::Circuit, draws: &[Taken]) -> Fuse {
    Fuse::new(told.fuse, Amps(circuit_amps(fit, told, draws).0 * rules().fuse_over.value))
}

fn circuit(job: &Job, told: &crate::boat::wiring::Circuit, draws: &[Taken], feed: &Cable) -> Circuit {
    let fuse = circuit_fuse(job.fit, told, draws);
    let feeds = lamps_of(job.fit, told).filter_map(|index| fed(job, index, draws.get(index)?, &fuse, feed));
    Circuit {
        name: told.name.clone(),
        switch: told.switch.clone().or_else(|| checks::switch_of(job.fit, told)),
        amps: circuit_amps(job.fit, told, draws),
        feeds: feeds.collect(),
        fuse,
    }
}

fn fed(job: &Job, index: usize, takes: &Taken, fuse: &Fuse, feed: &Cable) -> Option<Fed> {
    let lamp = job.fit.lamps.get(index)?;
    let battery = job.wiring.battery.volts;
    let allowed = left_of_drop(battery, feed);
    let usual = Leg::default();
    let cable = job.to_lamp(index, lamp, job.wiring.route(&lamp.name).unwrap_or(&usual), takes.amps, fuse, allowed);
    let drop = Volts(feed.drop.0 + cable.drop.0);
    let volts = Volts((battery.0 - drop.0).max(0.0));
    let (law, law_assumed) = lamp::dependence(lamp, battery);
    let several = job.fit.switches.iter().filter(|switch| switch.positions.len() > 1);
    let positions = several.flat_map(|switch| &switch.positions).filter(|position| position.lamps.contains(&index));
    Some(Fed {
        lamp: index,
        name: lamp.name.clone(),
        positions: positions.map(|position| position.name.clone()).collect(),
        takes: takes.clone(),
        cable,
        drop,
        volts,
        law: (law.in_words(), law_assumed),
        light: lamp::light(lamp, &job.scene.vessel, battery, volts, international()),
    })
}

/// What the cable to a lamp may lose. Where a feed that is told leaves less than its own share, the feed is at fault, and
/// the lamp's cable is chosen as if it were not.
fn left_of_drop(battery: Volts, feed: &Cable) -> Volts {
    let whole = battery.0 * rules().drop.value;
    let left = whole - feed.drop.0;
    Volts(if left >= feed.allowed.0 { left } else { whole - feed.allowed.0 })
}

/// The switch plan of the scene; a switch for each circuit where it has none.
fn turned(fit: &Fit, circuits: &[Circuit]) -> Vec<Turned> {
    let name = |lamp: &usize| fit.lamps.get(*lamp).map_or_else(String::new, |lamp| lamp.name.clone());
    if fit.switches.is_empty() {
        let names = |circuit: &Circuit| circuit.feeds.iter().map(|fed| fed.name.clone()).collect();
        let assumed = |circuit: &Circuit| Turned {
            name: circuit.name.clone(),
            positions: vec![("on".into(), names(circuit))],
            told: false,
        };
        return circuits.iter().map(assumed).collect();
    }
    let told = fit.switches.iter().map(|switch| Turned {
        name: switch.name.clone(),
        positions: switch
            .positions
            .iter()
            .map(|one| (one.name.clone(), one.lamps.iter().map(name).collect()))
            .collect(),
        told: true,
    });
    told.collect()
}
