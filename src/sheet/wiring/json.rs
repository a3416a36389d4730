//! The wiring as one JSON object, for other programs. Its first key is `"schema": 1`; it only ever grows.

use serde::Serialize;

use super::{CAUTIONS, notes};
use crate::{
    boat::wiring::{Copper, Size},
    measure::{Amps, Metres, Volts},
    rules::Severity,
    sheet::json::{layout, rounded},
    wiring::{Cable, Circuit, Fed, Fuse, Loop, Plan, Turned, conductor::area},
};

/// Everything that is told of each wiring.
pub fn json(plans: &[Plan]) -> String {
    layout::to_string(&Whole { schema: 1, plans: plans.iter().map(one).collect(), cautions: CAUTIONS })
}

#[derive(Serialize)]
struct Whole<'a> {
    /// Version of this layout: 1. Keys are only ever added.
    schema: u32,
    plans: Vec<One<'a>>,
    /// What the figures do not replace. To be passed on with them.
    cautions: &'static str,
}

#[derive(Serialize)]
struct One<'a> {
    boat: &'a str,
    fit: &'a str,
    faults: usize,
    cautions: usize,
    assumed_whole: bool,
    assumed: &'a [String],
    metal_hull: bool,
    battery: OneBattery,
    main_fuse: OneFuse,
    copper: &'static str,
    insulation_degrees: u32,
    feed: OneCable,
    circuits: Vec<OneCircuit<'a>>,
    switches: Vec<OneSwitch<'a>>,
    loops: Vec<OneLoop<'a>>,
    night: OneNight<'a>,
    terminals: Vec<OneTerminal>,
    findings: Vec<OneFinding<'a>>,
    notes: Vec<String>,
}

#[derive(Serialize)]
struct OneBattery {
    volts: f64,
    amp_hours: f64,
}

#[derive(Serialize)]
struct OneFuse {
    /// Null where none is told.
    amps: Option<f64>,
    proposed_amps: f64,
}

#[derive(Serialize)]
struct OneSize {
    words: String,
    area_mm2: Option<f64>,
}

#[derive(Serialize)]
struct OneCable {
    way_m: f64,
    loop_m: f64,
    spare_m: f64,
    cut_m: f64,
    out_and_back_m: f64,
    amps: f64,
    engine_space: bool,
    size: OneSize,
    size_told: bool,
    least_awg: Option<OneSize>,
    least_metric: Option<OneSize>,
    carries_amps: Option<f64>,
    drop_volts: f64,
    allowed_volts: f64,
}

#[derive(Serialize)]
struct OneCircuit<'a> {
    name: &'a str,
    switch: Option<&'a str>,
    fuse: OneFuse,
    amps: f64,
    lamps: Vec<OneFed<'a>>,
}

#[derive(Serialize)]
struct OneFed<'a> {
    lamp: &'a str,
    positions: &'a [String],
    takes: &'a str,
    takes_assumed: bool,
    amps: f64,
    cable: OneCable,
    drop_volts: f64,
    drop_share: f64,
    volts: f64,
    light_depends: &'a str,
    light_assumed: bool,
    light: Option<OneLight>,
}

#[derive(Serialize)]
struct OneLight {
    share: f64,
    keeps_candela: f64,
    range_nm: f64,
    due_candela: f64,
    due_range_nm: f64,
}

#[derive(Serialize)]
struct OneSwitch<'a> {
    name: &'a str,
    told: bool,
    positions: Vec<OnePosition<'a>>,
}

#[derive(Serialize)]
struct OnePosition<'a> {
    position: &'a str,
    lamps: &'a [String],
}

#[derive(Serialize)]
struct OneLoop<'a> {
    lamp: Option<&'a str>,
    part: &'a str,
    travel: &'a str,
    at_rest_m: f64,
    greatest_m: f64,
    between_clips_m: f64,
    added_m: f64,
}

#[derive(Serialize)]
struct OneNight<'a> {
    lamps: &'a [String],
    amps: f64,
    hours: f64,
    hours_assumed: bool,
    needs_amp_hours: f64,
    discharge: f64,
    has_amp_hours: f64,
    lasts: bool,
}

#[derive(Serialize)]
struct OneTerminal {
    count: usize,
    kind: &'static str,
    size: String,
    at: &'static str,
}

#[derive(Serialize)]
struct OneFinding<'a> {
    severity: &'static str,
    about: &'static str,
    what: &'a str,
    mend: &'a str,
    /// Empty where no source bears on it.
    source: &'a str,
}

fn one(plan: &Plan) -> One<'_> {
    let of = |severity: Severity| plan.findings.iter().filter(|finding| finding.severity == severity).count();
    One {
        boat: &plan.boat,
        fit: &plan.fit,
        faults: of(Severity::Fault),
        cautions: of(Severity::Caution),
        assumed_whole: plan.assumed_whole,
        assumed: &plan.assumed,
        metal_hull: plan.metal_hull,
        battery: OneBattery { volts: volts(plan.battery.volts), amp_hours: rounded(plan.battery.amp_hours.0, 2) },
        main_fuse: fuse(&plan.main_fuse),
        copper: if plan.copper == Copper::Tinned { "tinned" } else { "plain" },
        insulation_degrees: plan.insulation,
        feed: cable(&plan.feed),
        circuits: plan.circuits.iter().map(circuit).collect(),
        switches: plan.switches.iter().map(switch).collect(),
        loops: plan.loops.iter().map(|one| loop_of(plan, one)).collect(),
        night: night(plan),
        terminals: plan
            .terminals
            .iter()
            .map(|one| OneTerminal { count: one.count, kind: one.kind, size: one.size.in_words(), at: one.at })
            .collect(),
        findings: plan
            .findings
            .iter()
            .map(|one| OneFinding {
                severity: one.severity.in_words(),
                about: one.about,
                what: &one.what,
                mend: &one.mend,
                source: &one.source,
            })
            .collect(),
        notes: notes(plan),
    }
}

fn volts(value: Volts) -> f64 {
    rounded(value.0, 4)
}

fn metres(value: Metres) -> f64 {
    rounded(value.0, 3)
}

fn amps(value: Amps) -> f64 {
    rounded(value.0, 4)
}

fn fuse(fuse: &Fuse) -> OneFuse {
    OneFuse { amps: fuse.told.map(amps), proposed_amps: amps(fuse.proposed) }
}

fn size(size: Size) -> OneSize {
    OneSize { words: size.in_words(), area_mm2: area(size).map(|area| rounded(area, 3)) }
}

fn cable(cable: &Cable) -> OneCable {
    OneCable {
        way_m: metres(cable.one_way),
        loop_m: metres(cable.looped),
        spare_m: metres(cable.spare),
        cut_m: metres(cable.cut()),
        out_and_back_m: metres(cable.out_and_back()),
        amps: amps(cable.amps),
        engine_space: cable.engine_space,
        size: size(cable.size),
        size_told: cable.told,
        least_awg: cable.least_awg.map(size),
        least_metric: cable.least_metric.map(size),
        carries_amps: cable.carries.map(amps),
        drop_volts: volts(cable.drop),
        allowed_volts: volts(cable.allowed),
    }
}

fn circuit(circuit: &Circuit) -> OneCircuit<'_> {
    OneCircuit {
        name: &circuit.name,
        switch: circuit.switch.as_deref(),
        fuse: fuse(&circuit.fuse),
        amps: amps(circuit.amps),
        lamps: circuit.feeds.iter().map(fed).collect(),
    }
}

fn fed(fed: &Fed) -> OneFed<'_> {
    OneFed {
        lamp: &fed.name,
        positions: &fed.positions,
        takes: &fed.takes.words,
        takes_assumed: fed.takes.assumed,
        amps: amps(fed.takes.amps),
        cable: cable(&fed.cable),
        drop_volts: volts(fed.drop),
        drop_share: rounded(fed.drop.0 / (fed.drop.0 + fed.volts.0), 5),
        volts: volts(fed.volts),
        light_depends: &fed.law.0,
        light_assumed: fed.law.1,
        light: fed.light.map(|light| OneLight {
            share: rounded(light.share, 4),
            keeps_candela: rounded(light.keeps.0, 3),
            range_nm: rounded(light.range.0, 3),
            due_candela: rounded(light.due.0, 3),
            due_range_nm: rounded(light.due_range.0, 2),
        }),
    }
}

fn switch(switch: &Turned) -> OneSwitch<'_> {
    let positions = switch.positions.iter().map(|(position, lamps)| OnePosition { position, lamps });
    OneSwitch { name: &switch.name, told: switch.told, positions: positions.collect() }
}

fn loop_of<'a>(plan: &'a Plan, one: &'a Loop) -> OneLoop<'a> {
    OneLoop {
        lamp: plan.feeds().find(|fed| fed.lamp == one.lamp).map(|fed| fed.name.as_str()),
        part: &one.part,
        travel: &one.travel,
        at_rest_m: metres(one.at_rest),
        greatest_m: metres(one.greatest),
        between_clips_m: metres(one.between_clips()),
        added_m: metres(one.added()),
    }
}

fn night(plan: &Plan) -> OneNight<'_> {
    let night = &plan.night;
    OneNight {
        lamps: &night.lamps,
        amps: amps(night.amps),
        hours: rounded(night.hours.0, 2),
        hours_assumed: night.hours_assumed,
        needs_amp_hours: rounded(night.needs.0, 3),
        discharge: rounded(night.discharge, 3),
        has_amp_hours: rounded(night.has.0, 3),
        lasts: night.lasts(),
    }
}
