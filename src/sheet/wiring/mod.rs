//! The sheet of a fit's wiring: in words, as a schematic for paper, and as JSON; and its tables for another paper.
//!
//! Takes a plan worked out; gives text, SVG, JSON and rows. Must never work out a length, a size or a voltage itself.

mod drawing;
mod json;
mod text;

pub use drawing::drawing;
pub use json::json;
pub use text::text;

use crate::{
    boat::wiring::Copper,
    measure::{Volts, counted, trimmed},
    sheet::capitalised,
    wiring::{Cable, Circuit, Fed, Fuse, Loop, Plan, Turned, tables::rules},
};

/// What every sheet of a wiring says of its own limits.
pub const CAUTIONS: &str = "A fitting aid. It does not replace the wiring standard in force, the makers' instructions, \
    local rules or licensed practice. Disconnect the battery's negative post, or pull the main fuse, before any work. A \
    battery gives hundreds of amperes into a short: keep tools and rings off its posts. Measure the voltage at each lamp \
    with all lamps lit before the boat is used.";

/// "Wiring of Sandpiper, fit \"proposed\"".
pub fn heading(plan: &Plan) -> String {
    format!("Wiring of {}, fit \"{}\"", plan.boat, plan.fit)
}

/// What it comes to, in a sentence.
pub fn verdict(plan: &Plan) -> String {
    let faults = plan.findings.iter().filter(|finding| finding.is_fault()).count();
    let cautions = plan.findings.len() - faults;
    let many = |count: usize, word: &str| counted(count as f64, 0, word);
    match (faults, cautions) {
        (0, 0) if plan.assumed_whole => "Can be wired so, as far as is assumed.".into(),
        (0, 0) => "Can be wired so.".into(),
        (0, cautions) => format!("Can be wired so, with {}: see the findings.", many(cautions, "caution")),
        (faults, 0) => format!("Not to be wired so: {}, see the findings.", many(faults, "fault")),
        (faults, cautions) => {
            format!(
                "Not to be wired so: {} and {}, see the findings.",
                many(faults, "fault"),
                many(cautions, "caution")
            )
        }
    }
}

/// "11.82 V".
fn volts(value: Volts) -> String {
    format!("{} V", trimmed(value.0, 2))
}

fn metres(value: crate::measure::Metres) -> String {
    format!("{} m", trimmed(value.0, 2))
}

fn amps(value: crate::measure::Amps) -> String {
    format!("{} A", trimmed(value.0, 2))
}

/// The battery, its fuse and the copper, under their names.
fn supply_facts(plan: &Plan) -> Vec<(String, String)> {
    let copper = if plan.copper == Copper::Tinned { "tinned" } else { "plain" };
    let battery = format!("{}, {} Ah", volts(plan.battery.volts), trimmed(plan.battery.amp_hours.0, 1));
    vec![
        ("battery".into(), battery),
        ("main fuse".into(), fuse_words(plan, &plan.main_fuse)),
        ("copper".into(), format!("{copper}; currents for insulation of {} degrees", plan.insulation)),
    ]
}

/// A cable's length, conductor and loss, under their names.
fn cable_facts(cable: &Cable) -> Vec<(String, String)> {
    let space = if cable.engine_space { "; some of it in an engine space" } else { "" };
    let carries = cable.carries.map_or_else(String::new, |carries| format!("; it may carry {}{space}", amps(carries)));
    let lost = format!(
        "{} in this cable at {}, where {} are allowed",
        volts(cable.drop),
        amps(cable.amps),
        volts(cable.allowed)
    );
    vec![
        ("length".into(), length_words(cable)),
        ("conductor".into(), size_words(cable) + &carries),
        ("lost".into(), lost),
    ]
}

/// The battery and the cable from it to the panel, for another paper.
pub fn feed_facts(plan: &Plan) -> Vec<(String, String)> {
    let feed = cable_facts(&plan.feed).into_iter().map(|(name, words)| (format!("to the panel: {name}"), words));
    supply_facts(plan).into_iter().chain(feed).map(|(name, words)| (capitalised(&name), words)).collect()
}

/// "3 A", "none (3 A would do)", "3 A (proposed)".
fn fuse_words(plan: &Plan, fuse: &Fuse) -> String {
    match fuse.told {
        Some(told) => amps(told),
        None if plan.assumed_whole => format!("{} (proposed)", amps(fuse.proposed)),
        None => format!("none ({} would do)", amps(fuse.proposed)),
    }
}

/// "16 AWG (told); least 16 AWG or 1 mm²".
fn size_words(cable: &Cable) -> String {
    let least: Vec<String> =
        [cable.least_awg, cable.least_metric].into_iter().flatten().map(|size| size.in_words()).collect();
    let told = if cable.told { "as the scene tells" } else { "chosen" };
    match least.as_slice() {
        [] => format!("{}, and none of the tables will do", cable.size.in_words()),
        least => format!("{} ({told}); the least that will do is {}", cable.size.in_words(), least.join(" or ")),
    }
}

/// The size that is drawn, with that of the other series beside it: "16 AWG (or 1 mm²)".
fn size_in_short(cable: &Cable) -> String {
    let others = [cable.least_awg, cable.least_metric].into_iter().flatten();
    let other = others.into_iter().find(|size| std::mem::discriminant(size) != std::mem::discriminant(&cable.size));
    match other.filter(|_| !cable.told) {
        Some(other) => format!("{} (or {})", cable.size.in_words(), other.in_words()),
        None => cable.size.in_words(),
    }
}

/// "6.4 m of cable: 5.9 m of way, 0.5 m for the ends; 12.8 m of conductor out and back".
fn length_words(cable: &Cable) -> String {
    let looped = if cable.looped.0 > 0.0 { format!(", {} for the loop", metres(cable.looped)) } else { String::new() };
    format!(
        "{} of cable: {} of way{looped}, {} for the ends; {} of conductor out and back",
        metres(cable.cut()),
        metres(cable.one_way),
        metres(cable.spare),
        metres(cable.out_and_back())
    )
}

/// "94 percent of its full light; keeps 5.1 cd, made out at 1.1 nm; due are 4.3 cd for 1 nm".
fn light_words(fed: &Fed) -> String {
    match &fed.light {
        Some(light) => format!(
            "{} percent of its full light; keeps {} cd over its sector, made out at {} nm; due are {} cd for {} nm",
            trimmed(light.share * 100.0, 1),
            trimmed(light.keeps.0, 2),
            trimmed(light.range.0, 2),
            trimmed(light.due.0, 2),
            trimmed(light.due_range.0, 1)
        ),
        None => "not known at that voltage, or nothing is asked of such a light".into(),
    }
}

/// The heads of [`lamp_rows`].
pub const LAMP_HEADS: [&str; 9] =
    ["lamp", "circuit", "takes", "cable, m", "out and back, m", "AWG", "mm²", "lost", "gets"];

/// One row a lamp, for a table on another paper. A size that the scene tells stands in its own column alone.
pub fn lamp_rows(plan: &Plan) -> Vec<[String; 9]> {
    let size = |size: Option<crate::boat::wiring::Size>| {
        size.map_or_else(|| "-".into(), |size| size.in_words().split(' ').next().unwrap_or("-").to_owned())
    };
    let rows = plan.circuits.iter().flat_map(|circuit| circuit.feeds.iter().map(move |fed| (circuit, fed)));
    rows.map(|(circuit, fed)| {
        let cable = &fed.cable;
        let told =
            |gauge: bool| Some(cable.size).filter(|size| matches!(size, crate::boat::wiring::Size::Awg(_)) == gauge);
        let (awg, metric) = if cable.told { (told(true), told(false)) } else { (cable.least_awg, cable.least_metric) };
        [
            fed.name.clone(),
            circuit.name.clone(),
            amps(fed.takes.amps),
            trimmed(cable.cut().0, 2),
            trimmed(cable.out_and_back().0, 2),
            size(awg),
            size(metric),
            format!("{} ({} %)", volts(fed.drop), trimmed(fed.drop.0 / plan.battery.volts.0 * 100.0, 1)),
            volts(fed.volts),
        ]
    })
    .collect()
}

/// "2 ring terminals on 16 AWG: battery, positive and negative post".
pub fn terminal_words(plan: &Plan) -> Vec<String> {
    let one = |terminal: &crate::wiring::Terminal| {
        let kind = counted(terminal.count as f64, 0, terminal.kind);
        format!("{kind} on {}: {}", terminal.size.in_words(), terminal.at)
    };
    plan.terminals.iter().map(one).collect()
}

/// "all-round white, light pole: folds by 90 degrees; leave 0.5 m between the clips, 0.22 m more than the straight way".
pub fn loop_words(plan: &Plan, one: &Loop) -> String {
    let lamp = plan.feeds().find(|fed| fed.lamp == one.lamp).map_or("a lamp", |fed| fed.name.as_str());
    format!(
        "{lamp}, {}: {}; leave {} between clips {} m either side of the joint ({} apart as drawn, {} at the most), \
         {} more than the straight way",
        one.part,
        one.travel,
        metres(one.between_clips()),
        trimmed(rules().clip.value, 2),
        metres(one.at_rest),
        metres(one.greatest),
        metres(one.added())
    )
}

/// "lights: engine lights port sidelight and sternlight; anchor lights anchor light".
pub fn switch_words(switch: &Turned) -> String {
    let each = switch.positions.iter().map(|(position, lamps)| {
        let lamps: Vec<&str> = lamps.iter().map(String::as_str).collect();
        format!("{position} lights {}", crate::measure::listed(&lamps))
    });
    let told = if switch.told { "" } else { " (assumed)" };
    format!("{}{told}: {}", switch.name, each.collect::<Vec<_>>().join("; "))
}

/// The night at anchor in a sentence.
pub fn night_words(plan: &Plan) -> String {
    let night = &plan.night;
    let lamps: Vec<&str> = night.lamps.iter().map(String::as_str).collect();
    if lamps.is_empty() {
        return "No lamp is lit at anchor.".into();
    }
    let hours = if night.hours_assumed { " (assumed)" } else { "" };
    let share = if night.discharge_assumed { " (common practice for lead-acid)" } else { "" };
    format!(
        "{} {} {}: {} h{hours} take {} Ah; {} percent{share} of {} Ah are {} Ah, enough for {} h.",
        capitalised(&crate::measure::listed(&lamps)),
        if lamps.len() == 1 { "takes" } else { "take" },
        amps(night.amps),
        trimmed(night.hours.0, 1),
        trimmed(night.needs.0, 1),
        trimmed(night.discharge * 100.0, 0),
        trimmed(plan.battery.amp_hours.0, 1),
        trimmed(night.has.0, 1),
        night.feeds_for().map_or_else(|| "any".into(), |hours| trimmed(hours.0, 1))
    )
}

/// What to do and to look out for.
pub fn notes(plan: &Plan) -> Vec<String> {
    let mut notes = vec![
        format!("The main fuse sits within {} m of the battery, measured along the cable.", rules().fuse_from_battery.value),
        "Cables are of two conductors; each lamp has its own from the panel. Lay a string along the way and measure it \
         before cutting."
            .into(),
        "Colours of conductors are left to the standard that holds where she is used. Mark every cable at both ends."
            .into(),
        "Support cables every 450 mm (ISO 10133 7.3), keep them off sharp edges and out of bilge water, and let them drip \
         below each gland."
            .into(),
        "Crimp with the tool that the terminal's maker names; solder alone does not hold a wire that moves.".into(),
        "Drops are by the current at full voltage. A filament then takes a little less, a driver a little more.".into(),
        "Light is that of the lamp alone; what hides it is in the survey.".into(),
    ];
    if plan.metal_hull {
        notes.insert(
            0,
            "Metal hull: it is usually at the battery's negative, so that a bare positive that touches it is a short. \
             Insulate every positive terminal, sleeve cables through bulkheads, and never use the hull as a return: stray \
             current eats her."
                .into(),
        );
    }
    notes
}

/// "switch \"side lamps\"", or what is amiss.
fn circuit_words(plan: &Plan, circuit: &Circuit) -> String {
    let switch = match &circuit.switch {
        Some(switch) => format!("switch \"{switch}\""),
        None if plan.switches.iter().all(|switch| !switch.told) => "switch (assumed)".into(),
        None => "no one switch".into(),
    };
    format!("{switch}, fuse {} for {}", fuse_words(plan, &circuit.fuse), amps(circuit.amps))
}
