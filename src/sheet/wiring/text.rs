//! The sheet of a wiring as text for a terminal of eighty columns.

use super::{
    CAUTIONS, amps, cable_facts, circuit_words, heading, light_words, loop_words, night_words, notes, supply_facts,
    switch_words, terminal_words, verdict, volts,
};
use crate::{
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
    for (name, words) in supply_facts(plan) {
        out.push_str(&row(&name, &words));
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
    for (name, words) in cable_facts(cable) {
        out.push_str(&row(&name, &words));
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
