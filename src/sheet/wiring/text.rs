//! The sheet of a wiring as text for a terminal of eighty columns.

use super::{
    CAUTIONS, amps, circuit_words, fuse_words, heading, length_words, light_words, loop_words, night_words, notes,
    size_words, switch_words, terminal_words, verdict, volts,
};
use crate::{
    boat::wiring::Copper,
    measure::trimmed,
    sheet::{bracket::finding_words, wrap},
    wiring::{Cable, Fed, Plan},
};

const COLUMNS: usize = 80;

/// Everything that is told of the wiring.
pub fn text(plan: &Plan) -> String {
    let mut out = wrap::hanging("", &heading(plan), COLUMNS);
    out.push_str(&wrap::hanging("", &verdict(plan), COLUMNS));
    section(&mut out, "Assumed", &plan.assumed);
    out.push('\n');
    let copper = if plan.copper == Copper::Tinned { "tinned" } else { "plain" };
    let battery = format!("{}, {} Ah", volts(plan.battery.volts), trimmed(plan.battery.amp_hours.0, 1));
    for (name, words) in [
        ("battery", battery),
        ("main fuse", fuse_words(plan, &plan.main_fuse)),
        ("copper", format!("{copper}; currents for insulation of {} degrees", plan.insulation)),
    ] {
        out.push_str(&row(name, &words));
    }
    out.push_str("\nBattery to panel\n");
    cable(&mut out, &plan.feed);
    for circuit in &plan.circuits {
        out.push('\n');
        out.push_str(&wrap::hanging(
            "",
            &format!("Circuit \"{}\": {}", circuit.name, circuit_words(plan, circuit)),
            COLUMNS,
        ));
        circuit.feeds.iter().for_each(|one| fed(&mut out, plan, one));
    }
    section(&mut out, "Switches", &plan.switches.iter().map(switch_words).collect::<Vec<_>>());
    section(&mut out, "Loops at joints", &plan.loops.iter().map(|one| loop_words(plan, one)).collect::<Vec<_>>());
    section(&mut out, "A night at anchor", &[night_words(plan)]);
    section(&mut out, "Terminals", &terminal_words(plan));
    if !plan.findings.is_empty() {
        out.push_str("\nFindings\n");
    }
    for finding in &plan.findings {
        let (what, mend) = finding_words(finding);
        out.push_str(&wrap::hanging("  ", &what, COLUMNS));
        out.push_str(&wrap::hanging("    ", &mend, COLUMNS));
    }
    section(&mut out, "Notes", &notes(plan));
    out.push('\n');
    out.push_str(&wrap::hanging("", CAUTIONS, COLUMNS));
    out
}

/// A heading with a blank line before it, and sentences; nothing where there are none.
fn section(out: &mut String, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    out.push_str(&format!("\n{title}\n"));
    lines.iter().for_each(|line| out.push_str(&wrap::hanging("  ", line, COLUMNS)));
}

fn row(name: &str, words: &str) -> String {
    wrap::hanging(&format!("  {name:<11}"), words, COLUMNS)
}

fn cable(out: &mut String, cable: &Cable) {
    let space = if cable.engine_space { "; some of it in an engine space" } else { "" };
    let carries = cable.carries.map_or_else(String::new, |carries| format!("; it may carry {}{space}", amps(carries)));
    let lost = format!(
        "{} in this cable at {}, where {} are allowed",
        volts(cable.drop),
        amps(cable.amps),
        volts(cable.allowed)
    );
    for (name, words) in [("length", length_words(cable)), ("conductor", size_words(cable) + &carries), ("lost", lost)]
    {
        out.push_str(&row(name, &words));
    }
}

fn fed(out: &mut String, plan: &Plan, fed: &Fed) {
    let positions =
        if fed.positions.is_empty() { String::new() } else { format!(" (in {})", fed.positions.join(", ")) };
    out.push_str(&wrap::hanging(" ", &format!("{}{positions}", fed.name), COLUMNS));
    let assumed = |assumed: bool| if assumed { " (assumed)" } else { "" };
    let takes =
        format!("{}{}, {} at the battery's voltage", fed.takes.words, assumed(fed.takes.assumed), amps(fed.takes.amps));
    out.push_str(&row("takes", &takes));
    cable(out, &fed.cable);
    let percent = trimmed(fed.drop.0 / plan.battery.volts.0 * 100.0, 1);
    let gets = format!("{}, having lost {} ({percent} percent) from the battery", volts(fed.volts), volts(fed.drop));
    out.push_str(&row("gets", &gets));
    out.push_str(&row("light", &format!("{}; it {}{}", light_words(fed), fed.law.0, assumed(fed.law.1))));
}
