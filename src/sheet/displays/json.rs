//! A look-up as one JSON object, for other programs. Its first key is `"schema": 1`; it only ever grows.

use serde::Serialize;

use super::{Light, Lookup, limits::limits, places::place};
use crate::{
    boat::Vessel,
    rules::{Display, LightKind, Rules},
    sheet::{
        CAUTIONS,
        json::layout,
        waiver::{OneWaiver, one_waiver},
    },
};

/// Any number of statuses of one vessel as JSON; statuses for which the rules hold no display say why.
pub fn json(rules: &Rules, vessel: &Vessel, waters: &[String], lookups: &[Lookup]) -> String {
    layout::to_string(&Whole {
        schema: 1,
        rules: &rules.name,
        waiver: one_waiver(rules),
        vessel: OneVessel {
            length_m: vessel.length.0,
            propulsion: vessel.propulsion.in_words(),
            also: vessel.also.iter().map(|means| means.in_words()).collect(),
            top_speed_knots: vessel.top_speed.0,
        },
        waters,
        statuses: lookups.iter().map(one_status).collect(),
        cautions: CAUTIONS,
    })
}

/// The whole object.
#[derive(Serialize)]
struct Whole<'a> {
    /// Version of this layout: 1. Keys are only ever added.
    schema: u32,
    /// Name of the rule set.
    rules: &'a str,
    /// The waiver that the rule set is; null when it is none.
    waiver: Option<OneWaiver<'a>>,
    vessel: OneVessel,
    /// Names of special waters that she uses.
    waters: &'a [String],
    statuses: Vec<OneStatus<'a>>,
    /// What the figures do not replace. To be passed on with them.
    cautions: &'static str,
}

#[derive(Serialize)]
struct OneVessel {
    length_m: f64,
    /// `power`, `sail` or `oars`.
    propulsion: &'static str,
    also: Vec<&'static str>,
    top_speed_knots: f64,
}

#[derive(Serialize)]
struct OneStatus<'a> {
    /// The name that the command line takes.
    status: &'static str,
    words: &'static str,
    /// Every lawful display; any one will do.
    displays: Vec<OneDisplay<'a>>,
    /// Why there is none; null where there is one.
    none: Option<String>,
}

#[derive(Serialize)]
struct OneDisplay<'a> {
    name: &'a str,
    clause: &'a str,
    /// Whether only the waiver makes it lawful for her.
    only_by_waiver: bool,
    /// Whether sidelights and sternlight are in one lantern.
    one_lantern: bool,
    /// Every light that is asked for: those in vertical lines first, from the top down.
    lights: Vec<OneLight>,
    /// Lights that may be shown besides, in words.
    may: Vec<&'static str>,
    /// What is kept ready to hand, or null.
    ready: Option<&'a str>,
    /// Where it need not be shown, or null.
    exempt: Option<OneExemption<'a>>,
    /// Heights and distances.
    limits: Vec<OneLimit<'a>>,
}

#[derive(Serialize)]
struct OneLight {
    light: &'static str,
    colour: &'static str,
    /// Which of the vertical lines it stands in, from 0, or null.
    line: Option<usize>,
    /// Where it stands, in words, or null.
    place: Option<&'static str>,
    /// False where it is owed only if practicable.
    must: bool,
    /// First edge of its arc, clockwise from right ahead, and how far the arc runs.
    from_degrees: f64,
    width_degrees: f64,
    range_nm: Option<f64>,
    least_candela: Option<f64>,
}

#[derive(Serialize)]
struct OneExemption<'a> {
    place: &'a str,
    clause: &'a str,
    /// Whether only the waiver grants it.
    only_by_waiver: bool,
}

#[derive(Serialize)]
struct OneLimit<'a> {
    words: String,
    clause: &'a str,
    /// Null where there is no such bound.
    least: Option<f64>,
    most: Option<f64>,
    /// What they are counted in: `m`, `minutes of arc`, `degrees`, `share` (a fraction of one) or `times`.
    unit: &'static str,
    /// Whether it bears only on lights that need not show.
    only_if_shown: bool,
    /// What must be shown for it to bear on anything, in words; null where it always does.
    condition: Option<String>,
}

fn one_status<'a>(lookup: &Lookup<'a>) -> OneStatus<'a> {
    OneStatus {
        status: lookup.status.key(),
        words: lookup.status_in_words(),
        displays: lookup.lawful().into_iter().map(|display| one_display(lookup, display)).collect(),
        none: lookup.why_none(),
    }
}

fn one_display<'a>(lookup: &Lookup<'a>, display: &'a Display) -> OneDisplay<'a> {
    let lights = lookup.lights(display);
    OneDisplay {
        name: &display.name,
        clause: &display.clause,
        only_by_waiver: lookup.only_by_waiver(display),
        one_lantern: display.one_lantern,
        lights: (0..lights.len()).map(|index| one_light(lookup, &lights, index)).collect(),
        may: display.may.iter().map(|kind: &LightKind| kind.in_words()).collect(),
        ready: display.ready.as_deref(),
        exempt: lookup.exemption(display).map(|exempt| OneExemption {
            place: &exempt.place,
            clause: &exempt.clause,
            only_by_waiver: lookup.exempt_only_by_waiver(display),
        }),
        limits: limits(lookup, display)
            .into_iter()
            .map(|limit| OneLimit {
                words: limit.in_words(),
                clause: &limit.row.clause,
                least: limit.row.least,
                most: limit.row.most,
                unit: limit.unit(),
                only_if_shown: limit.only_if_shown(),
                condition: limit.condition(display),
            })
            .collect(),
    }
}

fn one_light(lookup: &Lookup, lights: &[Light], index: usize) -> OneLight {
    let light = &lights[index];
    let strength = lookup.strength(light.kind);
    OneLight {
        light: light.kind.in_words(),
        colour: light.sector.colour.name(),
        line: light.line,
        place: place(lookup, lights, index),
        must: light.must,
        from_degrees: light.sector.arc().from.degrees(),
        width_degrees: light.sector.arc().width,
        range_nm: strength.map(|(range, _)| range.0),
        least_candela: strength.map(|(_, candela)| candela.0),
    }
}
