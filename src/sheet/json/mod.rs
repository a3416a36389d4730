//! The survey as one JSON object, for other programs. Its first key is `"schema": 1`; it only ever grows.
//!
//! Numbers are rounded to what the survey is good for: candela and shares to four decimals, bearings to three, ranges
//! to a thousandth of a nautical mile. Colours are the names `red`, `green`, `white`, `yellow`.

pub(super) mod layout;

use serde::Serialize;

use super::{
    CAUTIONS, Surveyed, Verdict,
    lookout::{OneLookout, one_lookout},
    merging::{self, OneMerging},
    switches,
    waiver::{OneWaiver, one_waiver},
};
use crate::{
    light::{Colour, Colours},
    measure::{Arc, Bearing, Candela},
    rules::{Kind, Severity},
    survey::{LightSurvey, Sample},
};

/// Any number of surveys as JSON. Objects take a line for each key; lists of numbers stay on one line.
pub fn json(surveys: &[Surveyed]) -> String {
    let whole = Whole { schema: 1, surveys: surveys.iter().map(one).collect(), cautions: CAUTIONS };
    layout::to_string(&whole)
}

/// The whole object.
#[derive(Serialize)]
struct Whole<'a> {
    /// Version of this layout: 1. Keys are only ever added.
    schema: u32,
    /// One entry for each scene, fit and status surveyed; a list even for one.
    surveys: Vec<One<'a>>,
    /// What the numbers do not replace. To be passed on with them.
    cautions: &'static str,
}

/// One fit in one status.
#[derive(Serialize)]
struct One<'a> {
    /// Name of the boat.
    boat: &'a str,
    /// Name of the fit.
    fit: &'a str,
    /// `under-way` or `at-anchor`.
    status: &'static str,
    /// Name of the rule set.
    rules: &'a str,
    /// The waiver that the rule set is; null when it is none.
    waiver: Option<OneWaiver<'a>>,
    /// The lawful display judged against; null when the rules hold none for such a vessel and status.
    display: Option<DisplayName<'a>>,
    /// `passes` (no fault), `fails` (at least one fault) or `not_judged` (no display).
    verdict: Verdict,
    /// How many findings are faults.
    faults: usize,
    /// How many findings are cautions.
    cautions: usize,
    /// How many findings are notes.
    notes: usize,
    /// What falls short, worst first.
    findings: Vec<OneFinding<'a>>,
    /// The vessel's principal dimensions.
    vessel: OneVessel,
    /// Where observers stand, and how she moves.
    conditions: OneConditions,
    /// How clear the air is and how keen the eye.
    weather: OneWeather,
    /// How finely it was looked.
    settings: OneSettings,
    /// Every way of lying and moving that was tried, in words; the first is rest. `worst_case` counts in this list.
    cases: Vec<&'a str>,
    /// The thirty-two points on the far ring, from right ahead clockwise.
    far_ring: Vec<Point>,
    /// The thirty-two points on the near ring, seen by the first of `eye_heights_m`.
    near_ring: Vec<Point>,
    /// The bearings of every list below, rising from right ahead.
    bearings_degrees: Vec<f64>,
    /// The far ring on each of `bearings_degrees`.
    far: Far,
    /// Every colour of every lamp that is lit in this status.
    lights: Vec<OneLight<'a>>,
    /// How far off each sidelight is told from each white light that must show with it, the least first.
    merging: Vec<OneMerging<'a>>,
    /// What her own lights do to her lookout; null when there is nobody aboard.
    lookout: Option<OneLookout<'a>>,
    /// What the switches announce; null when the scene does not say how the lamps are switched.
    switches: Option<switches::Switches>,
}

/// A lawful display.
#[derive(Serialize)]
struct DisplayName<'a> {
    /// What it consists of.
    name: &'a str,
    /// The rule that describes it.
    clause: &'a str,
}

/// One thing that falls short.
#[derive(Serialize)]
struct OneFinding<'a> {
    /// `light-missing`, `light-not-allowed`, `wrong-colour`, `too-weak`, `shadowed`, `spill`, `dark-lane`,
    /// `double-lane`, `not-upright`, `not-parallel`, `all-round-obscured`, `too-low` or `not-covered`; more may come.
    kind: Kind,
    /// `fault` (a rule is not met), `caution` or `note`.
    severity: Severity,
    /// The clause not met; null where none bears on it.
    clause: Option<&'a str>,
    /// Name of the lamp concerned, or null.
    lamp: Option<&'a str>,
    /// Where it falls short, or null.
    arc: Option<OneArc>,
    /// Name of what is in the way, or null.
    by: Option<&'a str>,
    /// What is wrong, in one sentence.
    what: &'a str,
    /// How far short.
    how_bad: &'a str,
    /// How to mend it.
    mend: &'a str,
    /// The way she lies in which it falls short; null at rest.
    case: Option<&'a str>,
}

/// An arc of relative bearings.
#[derive(Serialize)]
struct OneArc {
    /// Its first edge, degrees clockwise from right ahead, in [0, 360).
    from_degrees: f64,
    /// How far it runs clockwise, in (0, 360].
    width_degrees: f64,
    /// The arc in words.
    words: String,
}

/// The vessel's principal dimensions.
#[derive(Serialize)]
struct OneVessel {
    /// Length overall.
    length_m: f64,
    /// Greatest breadth.
    beam_m: f64,
    /// Height of the gunwale above the water where it is lowest.
    freeboard_m: f64,
    /// `power`, `sail` or `oars`.
    propulsion: &'static str,
    /// Other ways she moves.
    also: Vec<&'static str>,
    /// Greatest speed.
    top_speed_knots: f64,
    /// Whether she is a high-speed craft (Annex I 13).
    high_speed: bool,
    /// The statuses she needs lights for.
    statuses: Vec<&'static str>,
}

/// Where observers stand, and how she moves in normal use.
#[derive(Serialize)]
struct OneConditions {
    /// Heights of observers' eyes above the water; the first is the near ring's.
    eye_heights_m: Vec<f64>,
    /// Radius of the near ring, from the middle of the boat.
    near_ring_m: f64,
    /// Radius of the far ring.
    far_ring_nm: f64,
    /// Least running trim, bow up positive.
    trim_least_degrees: f64,
    /// Most running trim, bow up positive.
    trim_most_degrees: f64,
    /// Heel to either side.
    heel_degrees: f64,
    /// Steering of the outboard to either side.
    steering_degrees: f64,
    /// Height of the swell, crest to trough.
    swell_m: f64,
}

/// The air and the eye.
#[derive(Serialize)]
struct OneWeather {
    /// Meteorological visibility.
    visibility_nm: f64,
    /// Share of light left after a nautical mile of air, in (0, 1].
    transmissivity_per_nm: f64,
    /// Least illuminance that an eye makes out.
    threshold_lux: f64,
}

/// How finely it was looked.
#[derive(Serialize)]
struct OneSettings {
    /// Degrees between bearings.
    step_degrees: f64,
    /// Elevations sampled at rest, above the horizon positive.
    elevations_degrees: Vec<f64>,
}

/// One observer of a ring.
#[derive(Serialize)]
struct Point {
    /// Relative bearing of the observer from the boat.
    bearing_degrees: f64,
    /// The bearing in points, in words.
    words: String,
    /// Colours that must show.
    must: Colours,
    /// Colours that may show besides.
    may: Colours,
    /// Colours made out, the boat at rest.
    shows: Colours,
}

/// The far ring, a list of colours for each bearing.
#[derive(Serialize)]
struct Far {
    /// Colours that must show.
    must: Vec<Colours>,
    /// Colours that may show besides.
    may: Vec<Colours>,
    /// Colours made out, the boat at rest.
    shows: Vec<Colours>,
}

/// One colour of one lamp, all the way round.
#[derive(Serialize)]
struct OneLight<'a> {
    /// Name of the lamp.
    lamp: &'a str,
    /// What it is fitted to serve as: `masthead`, `starboard_sidelight`, `port_sidelight`, `combined_sidelights`,
    /// `sternlight` or `all_round_white`.
    role: &'static str,
    /// Its colour.
    colour: &'static str,
    /// Name of its optics.
    optics: &'a str,
    /// What it gets at its terminals; null where the scene and the lamp's file tell nothing of it.
    supply_volts: Option<f64>,
    /// The share of its full light that it gives at that voltage; null with it.
    light_share: Option<f64>,
    /// Height of its face above the water, at rest.
    height_m: f64,
    /// How far its axis leans from the vessel's upright.
    lean_degrees: f64,
    /// How far its datum line points to starboard of the centreline; null when it leans too far to tell.
    turned_degrees: Option<f64>,
    /// The arc it is there to fill; null when the rules know none.
    sector: Option<OneArc>,
    /// The least intensity due inside that arc; null when the rules give none.
    due_candela: Option<f64>,
    /// Over the bearings where the full intensity is due; null when there are none.
    inside: Option<Inside>,
    /// Where it is made out on the far ring, at rest.
    shown: Vec<OneArc>,
    /// Where the boat's own solids hide some of it, half shadow included, at rest.
    shadows: Vec<OneShadow>,
    /// Intensity level with the horizon, at rest, shadows counted; for each of `bearings_degrees`, as all lists here.
    rest_candela: Vec<f64>,
    /// The same with nothing in the way.
    bare_candela: Vec<f64>,
    /// The least over all of `cases`.
    worst_candela: Vec<f64>,
    /// Which of `cases` gives that least, counted from 0.
    worst_case: Vec<usize>,
    /// Share of the luminous face that is seen, at rest, in [0, 1].
    visible_fraction: Vec<f64>,
    /// Name of what hides the most of it, or null.
    hidden_by: Vec<Option<String>>,
    /// How far off it is made out, at rest.
    range_nm: Vec<f64>,
    /// The share of the time that the swell hides it far off from the first of `eye_heights_m`.
    hidden_by_swell_share: f64,
    /// Intensity at rest for each of `elevations_degrees`: a list of bearings for each elevation.
    rest_candela_by_elevation: Vec<Vec<f64>>,
}

/// An arc in which a light is wholly or partly hidden.
#[derive(Serialize)]
struct OneShadow {
    /// From where it begins to be dimmed to where it is whole again.
    arc: OneArc,
    /// The least share of the luminous face seen within it, in [0, 1].
    least_visible_fraction: f64,
    /// Names of what hides it, what hides the most bearings first.
    by: Vec<String>,
}

/// Strongest and weakest where the full intensity is due.
#[derive(Serialize)]
struct Inside {
    /// Most, at rest.
    peak_candela: f64,
    /// Least, at rest.
    least_candela: f64,
    /// How far off it is made out where it is least, at rest.
    least_range_nm: f64,
    /// Least over all of `cases`.
    worst_candela: f64,
    /// Which of `cases` gives that least, counted from 0.
    worst_case: usize,
}

fn one<'a>(surveyed: &'a Surveyed) -> One<'a> {
    let Surveyed { scene, fit, survey, judgement } = surveyed;
    One {
        boat: &scene.name,
        fit: &fit.name,
        status: survey.status.key(),
        rules: &judgement.rules.name,
        waiver: one_waiver(judgement.rules),
        display: judgement.display.map(|display| DisplayName { name: &display.name, clause: &display.clause }),
        verdict: surveyed.verdict(),
        faults: surveyed.count(Severity::Fault),
        cautions: surveyed.count(Severity::Caution),
        notes: surveyed.count(Severity::Note),
        findings: findings(surveyed),
        vessel: vessel(surveyed),
        conditions: conditions(surveyed),
        weather: OneWeather {
            visibility_nm: rounded(scene.conditions.visibility.0, 3),
            transmissivity_per_nm: rounded(survey.weather.transmissivity.0, 4),
            threshold_lux: survey.weather.threshold.0,
        },
        settings: OneSettings {
            step_degrees: rounded(survey.settings.step, 4),
            elevations_degrees: survey.settings.elevations.iter().map(|elevation| rounded(elevation.0, 3)).collect(),
        },
        cases: survey.cases.iter().map(|case| case.words.as_str()).collect(),
        far_ring: ring(surveyed, |bearing| surveyed.shows_afar(bearing)),
        near_ring: ring(surveyed, |bearing| surveyed.shows_close(bearing)),
        bearings_degrees: survey.bearings.iter().map(|bearing| rounded(bearing.degrees(), 4)).collect(),
        far: Far {
            must: survey.bearings.iter().map(|bearing| surveyed.expected(*bearing).must).collect(),
            may: survey.bearings.iter().map(|bearing| surveyed.expected(*bearing).may).collect(),
            shows: survey.far_showings(),
        },
        lights: survey.lights.iter().map(|light| one_light(surveyed, light)).collect(),
        merging: merging::json(surveyed),
        lookout: one_lookout(surveyed),
        switches: switches::json(surveyed),
    }
}

fn findings<'a>(surveyed: &'a Surveyed) -> Vec<OneFinding<'a>> {
    let each = surveyed.judgement.findings.iter();
    each.map(|finding| OneFinding {
        kind: finding.kind,
        severity: finding.severity,
        clause: Some(finding.clause.as_str()).filter(|clause| !clause.is_empty()),
        lamp: finding.lamp.as_deref(),
        arc: finding.arc.map(one_arc),
        by: finding.by.as_deref(),
        what: &finding.what,
        how_bad: &finding.how_bad,
        mend: &finding.mend,
        case: finding.case.as_deref(),
    })
    .collect()
}

fn vessel(surveyed: &Surveyed) -> OneVessel {
    let vessel = &surveyed.scene.vessel;
    OneVessel {
        length_m: rounded(vessel.length.0, 3),
        beam_m: rounded(vessel.beam.0, 3),
        freeboard_m: rounded(vessel.freeboard.0, 3),
        propulsion: vessel.propulsion.in_words(),
        also: vessel.also.iter().map(|means| means.in_words()).collect(),
        top_speed_knots: rounded(vessel.top_speed.0, 2),
        high_speed: vessel.high_speed,
        statuses: vessel.statuses.iter().map(|status| status.key()).collect(),
    }
}

fn conditions(surveyed: &Surveyed) -> OneConditions {
    let conditions = &surveyed.scene.conditions;
    OneConditions {
        eye_heights_m: conditions.eyes.iter().map(|eye| rounded(eye.0, 3)).collect(),
        near_ring_m: rounded(conditions.near.0, 3),
        far_ring_nm: rounded(surveyed.survey.far.0, 3),
        trim_least_degrees: rounded(conditions.trim.0.0, 3),
        trim_most_degrees: rounded(conditions.trim.1.0, 3),
        heel_degrees: rounded(conditions.heel.0, 3),
        steering_degrees: rounded(conditions.steering.0, 3),
        swell_m: rounded(conditions.swell.0, 3),
    }
}

fn ring(surveyed: &Surveyed, shows: impl Fn(Bearing) -> Colours) -> Vec<Point> {
    Bearing::points()
        .map(|bearing| {
            let expected = surveyed.expected(bearing);
            Point {
                bearing_degrees: bearing.degrees(),
                words: bearing.in_point_words(),
                must: expected.must,
                may: expected.may,
                shows: shows(bearing),
            }
        })
        .collect()
}

fn one_light<'a>(surveyed: &'a Surveyed, light: &'a LightSurvey) -> OneLight<'a> {
    let lamp = &surveyed.fit.lamps[light.light.lamp];
    let posed = surveyed.posed(light);
    let of = |value: fn(&Sample) -> f64, decimals: i32| -> Vec<f64> {
        light.samples.iter().map(|sample| rounded(value(sample), decimals)).collect()
    };
    OneLight {
        lamp: &lamp.name,
        role: lamp.role.key(),
        colour: Colour::name(light.colour),
        optics: &posed.optics.name,
        supply_volts: posed.optics.supply.as_ref().map(|supply| rounded(supply.at().0, 3)),
        light_share: posed.optics.supply.as_ref().map(|supply| rounded(supply.share(), 4)),
        height_m: rounded(posed.centre.z, 3),
        lean_degrees: rounded(posed.lean().0, 2),
        turned_degrees: posed.turned().map(|turned| rounded(turned.0, 2)),
        sector: surveyed.sector(light).map(|row| one_arc(row.arc())),
        due_candela: surveyed.due(light).map(candela),
        inside: surveyed.strength(light).map(|strength| Inside {
            peak_candela: candela(strength.peak),
            least_candela: candela(strength.least),
            least_range_nm: rounded(strength.range.0, 3),
            worst_candela: candela(strength.worst),
            worst_case: strength.worst_case,
        }),
        shown: light.shown.iter().copied().map(one_arc).collect(),
        shadows: light
            .shadows
            .iter()
            .map(|shadow| OneShadow {
                arc: one_arc(shadow.arc),
                least_visible_fraction: rounded(shadow.least_visible, 4),
                by: shadow.by.iter().map(|owner| surveyed.scene.owner_name(surveyed.fit, *owner)).collect(),
            })
            .collect(),
        rest_candela: of(|sample| sample.rest.0, 4),
        bare_candela: of(|sample| sample.bare.0, 4),
        worst_candela: of(|sample| sample.worst.0, 4),
        worst_case: light.samples.iter().map(|sample| sample.worst_case).collect(),
        visible_fraction: of(|sample| sample.visible, 4),
        hidden_by: light.samples.iter().map(|sample| surveyed.hidden_by(sample)).collect(),
        range_nm: of(|sample| sample.range.0, 3),
        hidden_by_swell_share: rounded(surveyed.hidden_by_swell(light), 4),
        rest_candela_by_elevation: (0..surveyed.survey.settings.elevations.len())
            .map(|index| light.samples.iter().map(|sample| candela(sample.by_elevation[index])).collect())
            .collect(),
    }
}

fn one_arc(arc: Arc) -> OneArc {
    OneArc { from_degrees: rounded(arc.from.degrees(), 3), width_degrees: rounded(arc.width, 3), words: arc.in_words() }
}

fn candela(value: Candela) -> f64 {
    rounded(value.0, 4)
}

/// A number to so many decimals; never a negative nought, and nought for what is no number, which JSON cannot hold.
pub(super) fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10f64.powi(decimals);
    let near = (value * scale).round() / scale;
    if near.is_finite() { near + 0.0 } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_rounded_and_always_finite() {
        assert_eq!(rounded(1.234_56, 4), 1.2346);
        assert_eq!(rounded(f64::NAN, 4), 0.0);
        assert_eq!(rounded(f64::INFINITY, 4), 0.0);
        assert!(rounded(-1e-9, 4).is_sign_positive());
    }
}
