//! What is wrong with a wiring: each thing named, with a way to mend it.
//!
//! Takes the plan and what it was worked out from; gives findings, the worst first. Must never change a size or a fuse:
//! what stands in the plan is what is told here.

use super::{
    Circuit, Fed, Plan,
    cable::{Cable, Fuse, Job},
    conductor::{area, is_smaller, least_laid, series},
    lamp::dependence,
    tables::{self, rules},
};
use crate::{
    boat::{
        Fit,
        wiring::{self, Wiring},
    },
    fitting::Finding,
    light::supply::volts,
    measure::{Amps, Volts, listed, trimmed},
};

/// Shorter than this a cable leads nowhere, metres.
const NO_LENGTH: f64 = 0.01;

/// How far the voltage that a lamp is said to get may be above what the cables leave it.
const AGREES: f64 = 0.05;

pub(super) fn findings(job: &Job, plan: &Plan) -> Vec<Finding> {
    let mut found = Vec::new();
    battery_end(plan, &mut found);
    for circuit in &plan.circuits {
        fuse(plan, circuit, &mut found);
    }
    on_circuits(job, &mut found);
    on_switches(job, &mut found);
    sizes(job, &mut found);
    for fed in plan.feeds() {
        lamp(job, plan, fed, &mut found);
    }
    night(plan, &mut found);
    found.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    found
}

/// The insulation whose currents are taken: the one told, or the least of the table.
pub(super) fn insulation(wiring: &Wiring) -> u32 {
    let known = tables::insulations();
    let told = wiring.conductors.insulation.filter(|told| known.contains(told));
    told.or(known.first().copied()).unwrap_or_default()
}

/// The one switch that feeds all lamps of a circuit; `None` where none or several do.
pub(super) fn switch_of(fit: &Fit, circuit: &wiring::Circuit) -> Option<String> {
    let mut feeding = fit.switches.iter().filter(|switch| {
        let lamps = || switch.positions.iter().flat_map(|position| &position.lamps);
        super::lamps_of(fit, circuit).all(|lamp| lamps().any(|fed| *fed == lamp))
    });
    feeding.next().filter(|_| feeding.next().is_none()).map(|switch| switch.name.clone())
}

fn amps(value: Amps) -> String {
    format!("{} A", trimmed(value.0, 2))
}

/// The main fuse and the cable from battery to panel.
fn battery_end(plan: &Plan, found: &mut Vec<Finding>) {
    let told = plan.assumed_whole || plan.main_fuse.told.is_some();
    if !told {
        found.push(
            Finding::fault(
                "main fuse",
                "nothing protects the cable from the battery to the panel",
                format!(
                    "put {} in, within {} m of the battery",
                    amps(plan.main_fuse.proposed),
                    rules().fuse_from_battery.value
                ),
            )
            .by(&rules().fuse_from_battery.source),
        );
    }
    cable(&plan.feed, &plan.main_fuse, "the panel", "main fuse", found);
    if let Some(told) = plan.main_fuse.told.filter(|told| told.0 < plan.feed.amps.0 * rules().fuse_over.value - 1e-9) {
        let what = format!("{} is little for the {} that the lamps take together", amps(told), amps(plan.feed.amps));
        found.push(Finding::caution("main fuse", what, format!("take {}", amps(plan.main_fuse.proposed))));
    }
}

fn fuse(plan: &Plan, circuit: &Circuit, found: &mut Vec<Finding>) {
    match circuit.fuse.told {
        None if plan.assumed_whole => {}
        None => {
            let what = format!("the circuit \"{}\" has no fuse", circuit.name);
            found.push(Finding::fault("fuse", what, format!("give it one of {}", amps(circuit.fuse.proposed))));
        }
        Some(told) if told.0 < circuit.amps.0 => {
            let what = format!(
                "the fuse of {} in \"{}\" blows: its lamps take {}",
                amps(told),
                circuit.name,
                amps(circuit.amps)
            );
            found.push(Finding::fault("fuse", what, format!("take {}", amps(circuit.fuse.proposed))));
        }
        Some(told) if told.0 < circuit.amps.0 * rules().fuse_over.value - 1e-9 => {
            let what = format!("{} is little for the {} of \"{}\"", amps(told), amps(circuit.amps), circuit.name);
            found.push(
                Finding::caution("fuse", what, format!("take {}", amps(circuit.fuse.proposed)))
                    .by(&rules().fuse_over.source),
            );
        }
        Some(_) => {}
    }
    for fed in &circuit.feeds {
        cable(&fed.cable, &circuit.fuse, &format!("\"{}\"", fed.name), "fuse", found);
    }
}

/// What is wrong with a cable and the fuse before it.
fn cable(cable: &Cable, fuse: &Fuse, to: &str, about: &'static str, found: &mut Vec<Finding>) {
    if cable.one_way.0 < NO_LENGTH {
        found.push(Finding::fault(
            "length",
            format!("the cable to {to} has no length: it ends where it begins"),
            "look whether the two places are the same by mistake, or name places that it passes in `through`",
        ));
    }
    if cable.least_awg.is_none() && cable.least_metric.is_none() {
        found.push(Finding::fault(
            "conductor",
            format!("no conductor of the tables will do for the cable to {to}"),
            "shorten the way, feed fewer lamps by it, or take lamps of less power",
        ));
    }
    let size = cable.size.in_words();
    if is_smaller(cable.size, least_laid(series(cable.size))) {
        let least = least_laid(series(cable.size));
        let source = if matches!(least, wiring::Size::Awg(_)) { &rules().least_awg } else { &rules().least_mm2 };
        let what = format!("{size} to {to} is thinner than any conductor laid by itself may be");
        found.push(Finding::fault("conductor", what, format!("take {} or more", least.in_words())).by(&source.source));
    }
    let Some(carries) = cable.carries else { return };
    if carries.0 < cable.amps.0 - 1e-9 {
        let what = format!("{size} to {to} may carry {}, and {} goes through it", amps(carries), amps(cable.amps));
        found.push(Finding::fault("conductor", what, least_words(cable)).by("33 CFR 183.425, Table 5"));
    }
    if fuse.told.is_some_and(|told| told.0 > carries.0 + 1e-9) {
        let what = format!(
            "a fuse of {} lets more through {size} to {to} than the {} it may carry",
            amps(fuse.rating()),
            amps(carries)
        );
        let smaller = rules().fuse_up_to(carries).filter(|fuse| fuse.0 >= cable.amps.0);
        let mend = smaller.map_or_else(String::new, |fuse| format!("take a fuse of {} or less, or ", amps(fuse)));
        found.push(
            Finding::fault(about, what, mend + &least_words(cable))
                .by("33 CFR 183.425, Table 5; 183.455(c) bears half as much again, which is not used here"),
        );
    }
}

/// "take 12 AWG (4 mm²) or more".
fn least_words(cable: &Cable) -> String {
    let words: Vec<String> =
        [cable.least_awg, cable.least_metric].into_iter().flatten().map(wiring::Size::in_words).collect();
    match words.as_slice() {
        [] => "shorten the way or take lamps of less power".into(),
        words => format!("take {} or more", words.join(" or ")),
    }
}

/// Every lamp is on one circuit.
fn on_circuits(job: &Job, found: &mut Vec<Finding>) {
    for lamp in &job.fit.lamps {
        let on: Vec<String> = job
            .wiring
            .circuits
            .iter()
            .filter(|circuit| circuit.lamps.contains(&lamp.name))
            .map(|circuit| format!("\"{}\"", circuit.name))
            .collect();
        let names: Vec<&str> = on.iter().map(String::as_str).collect();
        match names.as_slice() {
            [_] => {}
            [] => found.push(Finding::fault(
                "no circuit",
                format!("\"{}\" is on no circuit", lamp.name),
                "name it in the `lamps` of a circuit",
            )),
            several => found.push(Finding::fault(
                "two circuits",
                format!(
                    "\"{}\" is on the circuits {}: either fuse feeds the other's wires",
                    lamp.name,
                    listed(several)
                ),
                "keep it on one of them",
            )),
        }
    }
}

/// Every lamp is lit by one switch, and that is its circuit's.
fn on_switches(job: &Job, found: &mut Vec<Finding>) {
    if job.fit.switches.is_empty() {
        return;
    }
    for (index, lamp) in job.fit.lamps.iter().enumerate() {
        let feeds = |switch: &&crate::boat::Switch| switch.positions.iter().any(|one| one.lamps.contains(&index));
        let on: Vec<String> =
            job.fit.switches.iter().filter(feeds).map(|switch| format!("\"{}\"", switch.name)).collect();
        let names: Vec<&str> = on.iter().map(String::as_str).collect();
        match names.as_slice() {
            [_] => {}
            [] => found.push(Finding::fault(
                "switch",
                format!("no switch lights \"{}\"", lamp.name),
                "name it in the `lamps` of a switch",
            )),
            several => found.push(Finding::fault(
                "two switches",
                format!(
                    "\"{}\" is on the switches {}: closed, either feeds what hangs on the other, past its fuse",
                    lamp.name,
                    listed(several)
                ),
                "put it on one switch, or join them into one switch of several positions",
            )),
        }
    }
    for circuit in &job.wiring.circuits {
        circuit_switch(job.fit, circuit, found);
    }
}

fn circuit_switch(fit: &Fit, circuit: &wiring::Circuit, found: &mut Vec<Finding>) {
    let Some(name) = &circuit.switch else {
        if switch_of(fit, circuit).is_none() {
            found.push(Finding::fault(
                "switch",
                format!("the lamps of the circuit \"{}\" are not all on one switch", circuit.name),
                "give each switch a circuit of its own, with its own fuse",
            ));
        }
        return;
    };
    let lamps = fit.switches.iter().filter(|switch| switch.name == *name).flat_map(|switch| &switch.positions);
    let lit: Vec<usize> = lamps.flat_map(|position| position.lamps.iter().copied()).collect();
    for lamp in super::lamps_of(fit, circuit).filter(|lamp| !lit.contains(lamp)) {
        let lamp = fit.lamps.get(lamp).map_or("", |lamp| lamp.name.as_str());
        found.push(Finding::fault(
            "switch",
            format!(
                "the circuit \"{}\" has \"{lamp}\" behind the switch \"{name}\", which does not light it",
                circuit.name
            ),
            "name the lamp in that switch, or move it to another circuit",
        ));
    }
}

/// Sizes and insulations that are in no table.
fn sizes(job: &Job, found: &mut Vec<Finding>) {
    let legs = job.wiring.routes.iter().map(|route| (format!("\"{}\"", route.lamp), &route.leg));
    for (to, leg) in std::iter::once(("the panel".to_owned(), &job.wiring.feed)).chain(legs) {
        let Some(size) = leg.size.filter(|size| area(*size).is_none()) else { continue };
        let known: Vec<String> = tables::sizes(series(size)).map(wiring::Size::in_words).collect();
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        found.push(Finding::fault(
            "conductor",
            format!("{} to {to} is in no table; another is worked with here", size.in_words()),
            format!("take one of {}", listed(&known)),
        ));
    }
    if let Some(told) = job.wiring.conductors.insulation.filter(|told| !tables::insulations().contains(told)) {
        let known: Vec<String> = tables::insulations().iter().map(ToString::to_string).collect();
        found.push(Finding::caution(
            "insulation",
            format!("no currents are known for insulation of {told} degrees; those of {} are taken", job.insulation),
            format!("look at the print on the cable: the table knows {}", known.join(", ")),
        ));
    }
}

/// What a lamp gets, and what light that makes.
fn lamp(job: &Job, plan: &Plan, fed: &Fed, found: &mut Vec<Finding>) {
    let Some(lamp) = job.fit.lamps.get(fed.lamp) else { return };
    let battery = plan.battery.volts;
    let (law, _) = dependence(lamp, battery);
    let (least, most) = law.reach();
    let within = |at: Volts| law.share(at).is_some();
    if !within(battery) {
        found.push(Finding::fault(
            "voltage",
            format!(
                "\"{}\" is told from {} to {}, and the battery has {}",
                fed.name,
                volts(least),
                volts(most),
                volts(battery)
            ),
            "fit a lamp for the battery's voltage, or look whether the battery is written right",
        ));
        return;
    }
    if !within(fed.volts) {
        found.push(Finding::fault(
            "voltage",
            format!("\"{}\" gets {}, less than the {} it is told from", fed.name, round(fed.volts), volts(least)),
            least_words(&fed.cable),
        ));
        return;
    }
    let share = fed.drop.0 / battery.0;
    if share > rules().drop.value + 1e-9 {
        found.push(
            Finding::fault(
                "drop",
                format!(
                    "\"{}\" loses {} percent on its way, and {} at most are allowed",
                    fed.name,
                    trimmed(share * 100.0, 1),
                    trimmed(rules().drop.value * 100.0, 1)
                ),
                drop_mend(plan, fed),
            )
            .by(&rules().drop.source),
        );
    }
    light(plan, fed, found);
    let told = lamp.optics.supply.as_ref().map(crate::light::supply::Supply::at);
    if let Some(told) = told.filter(|told| told.0 > fed.volts.0 + AGREES) {
        found.push(Finding::caution(
            "supply",
            format!(
                "the scene says that \"{}\" gets {}, and the cables leave it {}",
                fed.name,
                volts(told),
                round(fed.volts)
            ),
            format!("write `supply: (at: {}, ...)`, so that the survey goes by it", trimmed(floor(fed.volts.0), 2)),
        ));
    }
}

/// Down to the hundredth, so that what is told is not more than there is.
fn floor(value: f64) -> f64 {
    (value * 100.0 + 1e-6).floor() / 100.0
}

fn round(value: Volts) -> String {
    format!("{} V", trimmed(value.0, 2))
}

fn drop_mend(plan: &Plan, fed: &Fed) -> String {
    if plan.feed.drop.0 > plan.feed.allowed.0 + 1e-9 {
        return format!("the most is lost before the panel: from the battery, {}", least_words(&plan.feed));
    }
    least_words(&fed.cable)
}

fn light(plan: &Plan, fed: &Fed, found: &mut Vec<Finding>) {
    let Some(light) = fed.light.filter(|light| !light.is_enough()) else { return };
    let what = format!(
        "\"{}\" keeps {} cd at {}, and {} are due for {} nm",
        fed.name,
        trimmed(light.keeps.0, 2),
        round(fed.volts),
        trimmed(light.due.0, 2),
        trimmed(light.due_range.0, 1)
    );
    let mend = match light.wants {
        Some(wants) if light.would_do() && wants.0 <= plan.battery.volts.0 => {
            format!("bring at least {} to it: {}", volts(wants), drop_mend(plan, fed))
        }
        _ => "fit a stronger lamp: at its full light it does not do either".into(),
    };
    found.push(Finding::fault("light", what, mend).by("COLREGs 1972 Rule 22 and Annex I 8"));
}

fn night(plan: &Plan, found: &mut Vec<Finding>) {
    let night = &plan.night;
    if night.lasts() {
        return;
    }
    let lasts = night.feeds_for().map_or_else(String::new, |hours| format!(" They last {} h.", trimmed(hours.0, 1)));
    let what = format!(
        "a night at anchor of {} h takes {} Ah, and {} Ah may be used.{lasts}",
        trimmed(night.hours.0, 1),
        trimmed(night.needs.0, 1),
        trimmed(night.has.0, 1)
    );
    let wanted = (night.needs.0 / night.discharge).ceil();
    let mend = format!("fit a battery of {} Ah, or a lamp that takes less", trimmed(wanted, 0));
    found.push(Finding::caution("night at anchor", what.trim_end_matches('.').to_owned(), mend));
}
