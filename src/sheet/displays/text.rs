//! A look-up as text for a terminal eighty columns wide.

use super::{
    Light, Lookup, besides,
    limits::{Limit, limits},
    places::place,
    vessel_in_words,
};
use crate::{
    boat::Vessel,
    measure::{Arc, Bearing, DEGREES_PER_POINT, trimmed},
    rules::{Display, Rules},
    sheet::{CAUTIONS, capitalised, waiver, wrap},
};

const COLUMNS: usize = 80;

/// Everything asked of her in one status: each lawful display with its lights, limits and exemptions, or a sentence on
/// why there is none.
pub fn text(lookup: &Lookup) -> String {
    let lawful = lookup.lawful();
    let mut out = row("status", lookup.status_in_words()) + &header(lookup.rules, lookup.vessel, lookup.waters);
    if let Some(why) = lookup.why_none() {
        return format!("{out}\n{}\n{}", wrap::hanging("", &why, COLUMNS), cautions());
    }
    let count = match lawful.len() {
        1 => "One display is lawful:".to_string(),
        many => format!("{many} displays are lawful; any one of them will do:"),
    };
    out.push_str(&format!("\n{count}\n"));
    for (index, display) in lawful.iter().enumerate() {
        out.push('\n');
        out.push_str(&one_display(lookup, index + 1, display));
    }
    format!("{out}\n{}", cautions())
}

/// Several statuses of one vessel, each with its lawful displays in a line or two.
pub fn overview(rules: &Rules, vessel: &Vessel, waters: &[String], lookups: &[Lookup]) -> String {
    let mut out = header(rules, vessel, waters);
    out.push_str("\nWhat she may be doing, and what is lawful then:\n");
    for lookup in lookups {
        out.push_str(&format!("\n{}\n", lookup.status.key()));
        out.push_str(&wrap::hanging("  ", &format!("{}:", capitalised(lookup.status_in_words())), COLUMNS));
        for display in lookup.lawful() {
            out.push_str(&wrap::hanging("  - ", &format!("{} ({})", display.name, clause(lookup, display)), COLUMNS));
        }
    }
    out.push('\n');
    out.push_str(&wrap::hanging(
        "",
        "With `--status NAME` and one of these names, each light is told in full.",
        COLUMNS,
    ));
    format!("{out}\n{}", cautions())
}

fn header(rules: &Rules, vessel: &Vessel, waters: &[String]) -> String {
    let mut out = row("vessel", &vessel_in_words(vessel));
    out.push_str(&row("rules", &rules.name));
    if let Some(words) = waiver(rules) {
        out.push_str(&row("waiver", &words));
    }
    if !waters.is_empty() {
        out.push_str(&row("waters", &waters.join(", ")));
    }
    out
}

fn row(name: &str, value: &str) -> String {
    wrap::hanging(&format!("{name:<8}"), value, COLUMNS)
}

fn cautions() -> String {
    wrap::hanging("", CAUTIONS, COLUMNS)
}

fn point(words: &str) -> String {
    wrap::hanging("    ", words, COLUMNS)
}

fn one_display(lookup: &Lookup, number: usize, display: &Display) -> String {
    let mut out = wrap::hanging(&format!("{number:>2}. "), &capitalised(&display.name), COLUMNS);
    out.push_str(&point(&clause(lookup, display)));
    let lights = lookup.lights(display);
    for line in 0..display.lines.len() {
        out.push_str(&point("In a vertical line, from the top down:"));
        out.push_str(&listed(lookup, &lights, |light| light.line == Some(line)));
    }
    if !display.lights.is_empty() {
        let words = match (display.one_lantern, display.lines.is_empty()) {
            (true, _) => "In one lantern, at or near the top of the mast where best seen:",
            (false, true) => "Lights:",
            (false, false) => "And besides:",
        };
        out.push_str(&point(words));
        out.push_str(&listed(lookup, &lights, |light| light.must && light.line.is_none()));
    }
    if !display.if_practicable.is_empty() {
        out.push_str(&point("And if practicable:"));
        out.push_str(&listed(lookup, &lights, |light| !light.must));
    }
    for note in notes(lookup, display) {
        out.push_str(&point(&note));
    }
    out.push_str(&stand(lookup, display));
    out
}

/// The clause of a display, and whether only a waiver makes it lawful: "Notice 4(2), by the waiver only".
pub(super) fn clause(lookup: &Lookup, display: &Display) -> String {
    format!("{}{}", display.clause, only_by(lookup.only_by_waiver(display)))
}

fn only_by(waiver: bool) -> &'static str {
    if waiver { ", by the waiver only" } else { "" }
}

/// What is ready to hand, what may be shown, and where she is exempt.
pub(super) fn notes(lookup: &Lookup, display: &Display) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(ready) = &display.ready {
        notes.push(format!("Ready to hand, shown in time to prevent collision: {ready}."));
    }
    if !display.may.is_empty() {
        notes.push(format!("May be shown besides: {}.", besides(display, &display.may)));
    }
    if let Some(exempt) = lookup.exemption(display) {
        let only = only_by(lookup.exempt_only_by_waiver(display));
        notes.push(format!("Not required {} ({}{only}).", exempt.place, exempt.clause));
    }
    notes
}

/// Some of the lights, one after the other; what was told of a light is not told again.
fn listed(lookup: &Lookup, lights: &[Light], wanted: impl Fn(&Light) -> bool) -> String {
    let mut out = String::new();
    for (index, light) in lights.iter().enumerate().filter(|(_, light)| wanted(light)) {
        let like = lights[..index].iter().find(|one| one.kind == light.kind);
        let place = place(lookup, lights, index).map_or(String::new(), |place| format!(", {place}"));
        let rest = match like {
            Some(like) => format!("as {}", like.tag),
            None => in_full(lookup, light),
        };
        let lead = format!("      {:<5}", light.tag);
        out.push_str(&wrap::hanging(&lead, &format!("{}{place}: {rest}", light.kind.in_words()), COLUMNS));
    }
    out
}

/// "white, over 225 degrees (20 points), from ... to ...; seen 3 nm off, at least 12 cd".
fn in_full(lookup: &Lookup, light: &Light) -> String {
    let strength = lookup.strength(light.kind).map_or(String::new(), |(range, candela)| {
        format!("; seen {} nm off, at least {} cd", trimmed(range.0, 1), trimmed(candela.0, 1))
    });
    format!("{}, {}{strength}", light.sector.colour, arc_in_words(light.sector.arc()))
}

fn arc_in_words(arc: Arc) -> String {
    let (degrees, points) = (trimmed(arc.width, 2), trimmed(arc.width / DEGREES_PER_POINT, 2));
    if arc.width >= 360.0 {
        return format!("all round ({degrees} degrees, {points} points)");
    }
    let middle = arc.middle();
    let through = if middle == Bearing::AHEAD || middle == Bearing::ASTERN {
        format!(" through {}", middle.in_point_words())
    } else {
        String::new()
    };
    format!(
        "over {degrees} degrees ({points} points), from {}{through} to {}",
        arc.from.in_point_words(),
        arc.to().in_point_words()
    )
}

/// The limits of heights and distances: those that hold in any case first, then those that need a light besides.
fn stand(lookup: &Lookup, display: &Display) -> String {
    let limits = limits(lookup, display);
    let mut conditions: Vec<Option<String>> = vec![None];
    for limit in &limits {
        let condition = limit.condition(display);
        if !conditions.contains(&condition) {
            conditions.push(condition);
        }
    }
    conditions.into_iter().map(|condition| one_group(display, &limits, condition.as_deref())).collect()
}

fn one_group(display: &Display, limits: &[Limit], condition: Option<&str>) -> String {
    let own = limits.iter().filter(|limit| limit.condition(display).as_deref() == condition);
    let lines: String = own.map(|limit| wrap::hanging("      - ", &limit.in_words(), COLUMNS)).collect();
    if lines.is_empty() {
        return lines;
    }
    point(&format!("{}:", condition.unwrap_or("Where they stand"))) + &lines
}
