//! The schematic of a wiring on paper of A4, lying: battery, main fuse, panel with fuses and switches, each lamp with its
//! cable, and the way back; below it what needs saying in words. Symbols are drawn after the general ones of IEC 60617.

use super::{
    CAUTIONS, amps, circuit_words, fuse_words, heading, loop_words, metres, night_words, size_in_short, verdict, volts,
};
use crate::{
    measure::trimmed,
    sheet::{
        bracket::finding_words,
        pen::{INK, Pen, SMALL, Spot, spot, width_of},
        wrap,
    },
    wiring::{Circuit, Fed, Plan},
};

/// A4, lying; as many such pages high as it takes.
const PAPER: (f64, f64) = (297.0, 210.0);
const MARGIN: f64 = 10.0;
const NORMAL: f64 = 3.6;
/// From line to line of small words.
const LEADING: f64 = 4.3;
/// Where the diagram begins.
const TOP: f64 = 32.0;
/// Across the page: the battery's lead, the main fuse, the panel and its positive bar, a circuit's fuse, switch and node,
/// the lamps, and the negative bar.
const BATTERY: f64 = 18.0;
const MAIN_FUSE: f64 = 34.0;
const PANEL: (f64, f64) = (64.0, 146.0);
const BAR: f64 = 69.0;
const FUSE: f64 = 84.0;
const SWITCH: f64 = 112.0;
const NODE: f64 = 140.0;
/// The node of a circuit whose lamps each have a contact of their own, before those.
const EARLY_NODE: f64 = 97.0;
const LAMP: f64 = 256.0;
const NEGATIVE: f64 = 284.0;
const WIRE: f64 = 0.35;

/// One line of the diagram: a lamp with its words over and under its cable.
struct Row<'p> {
    fed: Option<&'p Fed>,
    /// The circuit, where its own line is this one.
    circuit: Option<&'p Circuit>,
    /// Whether a switch of several positions feeds each lamp by a contact of its own.
    several: bool,
    head: Vec<String>,
    over: Vec<String>,
    under: Vec<String>,
    y: f64,
}

/// The schematic as SVG whose unit is the millimetre.
pub fn drawing(plan: &Plan) -> String {
    let (rows, end) = rows(plan);
    let feed = feed_words(plan);
    let first = rows.first().map_or(TOP + 10.0, |row| row.y);
    let battery = first + 9.0 + LEADING * feed.len() as f64 + 12.0;
    let back = end.max(battery + 20.0) + 4.0;
    let words = words(plan);
    let height = page(back + 10.0 + LEADING * words.len() as f64);
    let mut pen = Pen::new(PAPER.0, height, (0.0, 0.0));
    pen.path(format!("M0 0 H{} V{height} H0 Z", PAPER.0), "#ffffff", "none", 0.0);
    pen.heavy_words((MARGIN, 15.0), 5.0, "start", &heading(plan));
    pen.words((MARGIN, 21.5), NORMAL, "start", &verdict(plan));
    supply(&mut pen, plan, &feed, first, battery, back);
    panel(&mut pen, &rows, back);
    for (n, row) in rows.iter().enumerate() {
        draw(&mut pen, row);
        // From the node of a circuit down to each of its further lamps.
        if row.circuit.is_none() {
            let node = if row.several { EARLY_NODE } else { NODE };
            pen.line((node, rows[n - 1].y), (node, row.y), WIRE, "");
        }
    }
    for (n, line) in words.iter().enumerate() {
        pen.words((MARGIN, back + 12.0 + LEADING * n as f64), SMALL, "start", line);
    }
    pen.finish()
}

/// A whole number of pages.
fn page(needed: f64) -> f64 {
    ((needed + MARGIN) / PAPER.1).ceil().max(1.0) * PAPER.1
}

fn wrapped(words: &str, width: f64) -> Vec<String> {
    wrap::lines(words, width, |piece| width_of(piece, SMALL))
}

/// Every line of the diagram, and where the last one ends.
fn rows(plan: &Plan) -> (Vec<Row<'_>>, f64) {
    let mut rows = Vec::new();
    let mut y = TOP;
    for circuit in &plan.circuits {
        let mut head = wrapped(&circuit.name, PANEL.1 - BAR - 6.0);
        head.extend(wrapped(&circuit_words(plan, circuit), PANEL.1 - BAR - 6.0));
        let several = circuit.feeds.iter().any(|fed| !fed.positions.is_empty());
        let lamps = circuit.feeds.iter().map(Some).chain(circuit.feeds.is_empty().then_some(None));
        for (n, fed) in lamps.enumerate() {
            let width = LAMP - NODE - 12.0;
            let over = fed.map_or_else(Vec::new, |fed| wrapped(&lamp_words(fed), width));
            let under = fed.map_or_else(Vec::new, |fed| wrapped(&cable_words(plan, fed), width));
            let head = if n == 0 { std::mem::take(&mut head) } else { Vec::new() };
            y += LEADING * over.len().max(head.len()) as f64 + 3.0;
            let after = LEADING * under.len() as f64 + 3.5;
            rows.push(Row { fed, circuit: (n == 0).then_some(circuit), several, head, over, under, y });
            y += after.max(7.0);
        }
    }
    (rows, y)
}

fn lamp_words(fed: &Fed) -> String {
    if fed.positions.is_empty() { fed.name.clone() } else { format!("{} (in {})", fed.name, fed.positions.join(", ")) }
}

fn cable_words(plan: &Plan, fed: &Fed) -> String {
    let lost = trimmed(fed.drop.0 / plan.battery.volts.0 * 100.0, 1);
    format!(
        "{} of {}; {}, loses {lost} percent",
        metres(fed.cable.cut()),
        size_in_short(&fed.cable),
        amps(fed.takes.amps)
    )
}

fn feed_words(plan: &Plan) -> Vec<String> {
    let feed = &plan.feed;
    let lost = trimmed(feed.drop.0 / plan.battery.volts.0 * 100.0, 1);
    let words =
        format!("{} of {}; {} at most, loses {lost} percent", metres(feed.cut()), size_in_short(feed), amps(feed.amps));
    wrapped(&words, PANEL.0 - BATTERY - 8.0)
}

/// The battery with its leads, the main fuse, and the way back along the foot of the diagram.
fn supply(pen: &mut Pen, plan: &Plan, feed: &[String], y: f64, battery: f64, back: f64) {
    let fuse = format!("main fuse {}", fuse_words(plan, &plan.main_fuse));
    let fuse = wrapped(&fuse, PANEL.0 - BATTERY - 4.0);
    for (n, line) in fuse.iter().enumerate() {
        let up = 3.2 + LEADING * (fuse.len() - 1 - n) as f64;
        pen.words((BATTERY, y - up), SMALL, "start", line);
    }
    pen.line((BATTERY, y), (BAR, y), WIRE, "");
    fuse_symbol(pen, (MAIN_FUSE, y));
    for (n, line) in feed.iter().enumerate() {
        pen.words((BATTERY + 4.0, y + 6.0 + LEADING * n as f64), SMALL, "start", line);
    }
    pen.line((BATTERY, y), (BATTERY, battery), WIRE, "");
    // Two cells: a long thin plate is positive, a short thick one negative.
    for (n, cell) in [0.0, 4.0].into_iter().enumerate() {
        let at = battery + cell;
        pen.line((BATTERY - 5.0, at), (BATTERY + 5.0, at), 0.4, "");
        pen.line((BATTERY - 2.5, at + 2.0), (BATTERY + 2.5, at + 2.0), 0.9, "");
        if n == 0 {
            pen.line((BATTERY, at + 2.0), (BATTERY, at + 4.0), WIRE, "");
        }
    }
    pen.words((BATTERY - 7.5, battery + 0.5), NORMAL, "middle", "+");
    pen.words((BATTERY + 8.0, battery + 1.5), SMALL, "start", "battery");
    let size = format!("{}, {} Ah", volts(plan.battery.volts), trimmed(plan.battery.amp_hours.0, 1));
    pen.words((BATTERY + 8.0, battery + 1.5 + LEADING), SMALL, "start", &size);
    pen.line((BATTERY, battery + 6.0), (BATTERY, back), WIRE, "");
    pen.line((BATTERY, back), (NEGATIVE, back), WIRE, "");
}

/// The panel's outline, its positive bar, and the negative bar that all lamps come back to.
fn panel(pen: &mut Pen, rows: &[Row], back: f64) {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return };
    let bottom = last.y + 5.0;
    pen.dashed(format!("M{} H{} V{bottom} H{} Z", spot((PANEL.0, TOP - 5.0)), PANEL.1, PANEL.0), "none", 0.3);
    pen.words((PANEL.0, TOP - 6.5), SMALL, "start", "panel");
    let end = rows.iter().filter(|row| row.circuit.is_some()).map(|row| row.y).fold(first.y, f64::max);
    pen.line((BAR, first.y - 2.0), (BAR, end + 2.0), 1.2, "");
    pen.words((NEGATIVE + 2.0, first.y - 8.5), SMALL, "end", "negative bar");
    pen.line((NEGATIVE, first.y - 5.0), (NEGATIVE, back), 1.2, "");
}

fn draw(pen: &mut Pen, row: &Row) {
    let y = row.y;
    if row.circuit.is_some() {
        for (n, line) in row.head.iter().enumerate() {
            let at = (BAR + 4.0, y - 4.0 - LEADING * (row.head.len() - 1 - n) as f64);
            if n == 0 { pen.heavy_words(at, SMALL, "start", line) } else { pen.words(at, SMALL, "start", line) }
        }
        pen.line((BAR, y), (SWITCH - 4.0, y), WIRE, "");
        fuse_symbol(pen, (FUSE, y));
        pen.dot((if row.several { EARLY_NODE } else { NODE }, y), 0.8, INK, INK);
    } else if row.several {
        pen.line((EARLY_NODE, y), (SWITCH - 4.0, y), WIRE, "");
    }
    if row.circuit.is_some() || row.several {
        pen.line((SWITCH + 4.0, y), (NODE, y), WIRE, "");
        switch_symbol(pen, (SWITCH, y));
    }
    let Some(fed) = row.fed else { return };
    for (n, line) in row.over.iter().enumerate() {
        let up = 1.6 + LEADING * (row.over.len() - 1 - n) as f64;
        pen.words((NODE + 9.0, y - up), SMALL, "start", line);
    }
    for (n, line) in row.under.iter().enumerate() {
        pen.words((NODE + 9.0, y + 4.2 + LEADING * n as f64), SMALL, "start", line);
    }
    pen.line((NODE, y), (LAMP - 3.0, y), WIRE, "");
    lamp_symbol(pen, (LAMP, y));
    pen.line((LAMP + 3.0, y), (NEGATIVE, y), WIRE, "");
    pen.words(((LAMP + 3.0 + NEGATIVE) / 2.0, y - 1.6), SMALL, "middle", &volts(fed.volts));
}

/// A box with the conductor through it.
fn fuse_symbol(pen: &mut Pen, (x, y): Spot) {
    pen.path(format!("M{} H{} V{} H{} Z", spot((x - 4.5, y - 1.6)), x + 4.5, y + 1.6, x - 4.5), "#ffffff", INK, 0.35);
    pen.line((x - 4.5, y), (x + 4.5, y), WIRE, "");
}

/// A contact that makes, drawn open.
fn switch_symbol(pen: &mut Pen, (x, y): Spot) {
    pen.line((x - 4.0, y), (x + 3.2, y - 2.8), WIRE, "");
}

/// A lamp: a circle with a cross in it.
fn lamp_symbol(pen: &mut Pen, (x, y): Spot) {
    pen.dot((x, y), 3.0, "#ffffff", INK);
    let arm = 3.0 * std::f64::consts::FRAC_1_SQRT_2;
    pen.line((x - arm, y - arm), (x + arm, y + arm), WIRE, "");
    pen.line((x - arm, y + arm), (x + arm, y - arm), WIRE, "");
}

/// What stands below the diagram.
fn words(plan: &Plan) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for finding in &plan.findings {
        let (what, mend) = finding_words(finding);
        said.push(format!("{} {mend}", super::capitalised(&what)));
    }
    said.extend(plan.assumed.iter().cloned());
    said.push(
        "Lengths are of cable of two conductors, with what is left for ends and loops; volts are those at the lamp. Each \
         box is a fuse, each open contact a switch, each crossed circle a lamp."
            .into(),
    );
    if plan.feeds().any(|fed| !fed.positions.is_empty()) {
        said.push(
            "A switch of several positions has a contact for each lamp, closed in the positions that stand beside the lamp."
                .into(),
        );
    }
    said.extend(plan.loops.iter().map(|one| format!("Loop: {}.", loop_words(plan, one))));
    said.push(format!("A night at anchor: {}", night_words(plan)));
    said.extend(super::notes(plan).into_iter().take(usize::from(plan.metal_hull)));
    said.push("Colours of conductors are left to the standard that holds where she is used.".into());
    said.push(CAUTIONS.into());
    said.iter().flat_map(|line| wrapped(line, PAPER.0 - 2.0 * MARGIN)).collect()
}
