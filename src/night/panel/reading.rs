//! What the panels say, as values: worked out from what is chosen, known and judged, whenever one of them changes.
//!
//! Takes [`Choice`], [`Known`] and the verdicts; gives the [`Reading`]. Runs without any rendering. Must never draw,
//! and never compute light: what shows comes from [`Known::look`].

use bevy::prelude::*;

use super::words::{Outcome, Tally, capital, sentence};
use crate::{
    boat::Status,
    light::{Colour, Colours},
    measure::{Bearing, DEGREES_PER_POINT, trimmed},
    night::{Act, Beside, Choice, Judged, Known, Shown, Steps, Verdict, known::Verdicts, ring},
    rules::{Finding, Severity},
    survey::{Sighting, showing},
};

/// A fit as a line of the chooser.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitLine {
    pub name: String,
    pub note: String,
    pub chosen: bool,
    /// `None` while its survey runs.
    pub tally: Option<Tally>,
    /// Whether that is of the boat as she is now; while something is moved it is of a moment ago.
    pub settled: bool,
}

impl FitLine {
    /// The verdict in words.
    pub fn verdict(&self) -> String {
        let words = self.tally.map_or_else(|| "being surveyed".into(), Tally::in_words);
        if self.settled || self.tally.is_none() { words } else { format!("{words} ...") }
    }
}

/// How a colour stands at the observer's eye.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stand {
    /// It shows, and must or may.
    Shows,
    /// It shows and should not.
    Extra,
    /// It must show and does not.
    Missing,
    /// It does not show, which is neither here nor there.
    Dark,
}

/// What keeps a light from an eye, wholly or in part. Things aboard by name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Hindrance {
    /// The lamp shines elsewhere.
    Elsewhere,
    Behind(String),
    PartlyBehind(String),
    BelowTheHorizon,
    TooFaint,
}

impl Hindrance {
    pub fn in_words(&self) -> String {
        match self {
            Self::Elsewhere => "gives no light this way".into(),
            Self::Behind(name) => format!("behind {name}"),
            Self::PartlyBehind(name) => format!("partly behind {name}"),
            Self::BelowTheHorizon => "below the horizon".into(),
            Self::TooFaint => "too faint from here".into(),
        }
    }
}

/// One light, as it reaches the observer's eye.
#[derive(Clone, Debug, PartialEq)]
pub struct LightLine {
    pub colour: Colour,
    pub lamp: String,
    pub candela: String,
    pub lux: String,
    /// Share of the lamp seen.
    pub seen: String,
    /// Why it is not made out, or what stands in its way.
    pub hindrance: Option<Hindrance>,
    pub made_out: bool,
}

/// What the observer afloat is told.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ObserverReading {
    /// Three figures and a tenth.
    pub degrees: String,
    pub points: String,
    /// Whether he would be overtaking.
    pub overtaking: bool,
    pub showing: Colours,
    /// `None` while the survey runs, and where the rules know no display.
    pub must: Option<Colours>,
    pub stands: Vec<(Colour, Stand)>,
    pub outcome: Outcome,
    pub sentence: String,
    /// Why each missing colour is missing.
    pub because: Vec<String>,
    pub lights: Vec<LightLine>,
}

/// A finding as a line that opens.
#[derive(Clone, Debug, PartialEq)]
pub struct FindingLine {
    pub severity: Severity,
    pub heading: String,
    pub arc: String,
    /// What the row says beneath its heading: where, when only under way, or, of what is nowhere in particular, what.
    pub under: String,
    pub what: String,
    pub how_bad: String,
    pub mend: String,
    pub clause: String,
    /// The lamp concerned, by its index in the fit.
    pub lamp: Option<usize>,
    /// Where to look from: the middle of its arc.
    pub look_from: Option<Bearing>,
    /// Whether the observer stands in its arc.
    pub here: bool,
}

/// Everything the panels say.
#[derive(Resource, Clone, Debug, PartialEq)]
pub struct Reading {
    pub boat: String,
    pub boat_note: String,
    pub fits: Vec<FitLine>,
    pub status: Status,
    /// The display judged against, and its clause.
    pub display: Option<(String, String)>,
    /// Whether the chosen fit is judged already.
    pub judged: bool,
    pub observer: ObserverReading,
    /// The fit beside the chosen one, by its index, as the same observer sees it.
    pub beside: Option<(usize, ObserverReading)>,
    pub findings: Vec<FindingLine>,
}

impl Default for Reading {
    fn default() -> Self {
        Self {
            boat: String::new(),
            boat_note: String::new(),
            fits: Vec::new(),
            status: Status::UnderWay,
            display: None,
            judged: false,
            observer: ObserverReading::default(),
            beside: None,
            findings: Vec::new(),
        }
    }
}

/// Keeps the [`Reading`] true.
pub struct ReadingPlugin;

impl Plugin for ReadingPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Reading>().add_systems(Update, read.in_set(Steps::Tell));
    }
}

fn read(
    shown: Res<Shown>,
    choice: Res<Choice>,
    known: Res<Known>,
    beside: Res<Beside>,
    judged: Res<Judged>,
    verdicts: Res<Verdicts>,
    mut reading: ResMut<Reading>,
) {
    let tallies: Vec<(Option<Tally>, bool)> = (0..shown.0.fits.len())
        .map(|fit| {
            (verdicts.of(fit, choice.status).map(|verdict| tally(verdict)), verdicts.is_fresh(fit, choice.status))
        })
        .collect();
    let told = reading.fits.iter().map(|line| (line.tally, line.settled)).eq(tallies.iter().copied());
    if told && !(shown.is_changed() || choice.is_changed() || known.is_changed() || judged.is_changed()) {
        return;
    }
    let verdict = judged.0.as_deref();
    let new = Reading {
        boat: shown.0.name.clone(),
        boat_note: shown.0.note.clone(),
        fits: shown
            .0
            .fits
            .iter()
            .zip(tallies)
            .enumerate()
            .map(|(index, (fit, (tally, settled)))| FitLine {
                name: fit.name.clone(),
                note: fit.note.clone(),
                chosen: index == choice.fit,
                tally,
                settled,
            })
            .collect(),
        status: choice.status,
        display: verdict
            .and_then(|verdict| verdict.judgement.display)
            .map(|display| (display.name.clone(), display.clause.clone())),
        judged: verdict.is_some(),
        observer: observe(&choice, &known, verdict),
        beside: choice.beside(&shown.0).and_then(|fit| {
            let other = beside.0.as_ref()?;
            Some((fit, observe(&choice, other, verdicts.of(fit, choice.status).map(|verdict| &**verdict))))
        }),
        findings: verdict.map_or_else(Vec::new, |verdict| {
            let lamps = &known.fit().lamps;
            let index = |name: &String| lamps.iter().position(|lamp| lamp.name == *name);
            let line = |finding: &Finding| FindingLine {
                lamp: finding.lamp.as_ref().and_then(index),
                ..line_of(finding, choice.watch.bearing)
            };
            verdict.judgement.findings.iter().map(line).collect()
        }),
    };
    reading.set_if_neq(new);
}

fn tally(verdict: &Verdict) -> Tally {
    let count = |severity| verdict.judgement.findings.iter().filter(|finding| finding.severity == severity).count();
    Tally {
        faults: count(Severity::Fault),
        cautions: count(Severity::Caution),
        notes: count(Severity::Note),
        judged: verdict.judgement.display.is_some(),
    }
}

fn observe(choice: &Choice, known: &Known, verdict: Option<&Verdict>) -> ObserverReading {
    let bearing = choice.watch.bearing;
    let sightings = known.look(choice.watch.station().point(known.stance.middle()));
    let showing = showing(&sightings);
    let expected = verdict
        .filter(|verdict| verdict.judgement.display.is_some())
        .map(|verdict| verdict.judgement.expected(bearing));
    let (outcome, sentence) = match verdict {
        None => (Outcome::Open, "Her survey is running.".into()),
        Some(_) => sentence(showing, expected, !sightings.is_empty()),
    };
    let (missing, extra) = expected
        .map_or((Colours::NONE, Colours::NONE), |expected| (expected.missing(showing), expected.extra(showing)));
    let lights: Vec<LightLine> = sightings.iter().map(|sighting| light_line(known, sighting)).collect();
    ObserverReading {
        degrees: three_figures(bearing),
        points: bearing.in_point_words(),
        overtaking: ring::overtaking().is_some_and(|arc| arc.depth(bearing) > 1e-6),
        showing,
        must: expected.map(|expected| expected.must),
        stands: showing
            .iter()
            .map(|colour| (colour, if extra.contains(colour) { Stand::Extra } else { Stand::Shows }))
            .chain(missing.iter().map(|colour| (colour, Stand::Missing)))
            .collect(),
        outcome,
        sentence,
        because: missing.iter().filter_map(|colour| because(colour, &lights)).collect(),
        lights,
    }
}

/// A bearing as it is spoken, to a tenth of a degree.
fn three_figures(bearing: Bearing) -> String {
    Bearing::new((bearing.degrees() * 10.0).round() / 10.0).to_string()
}

fn light_line(known: &Known, sighting: &Sighting) -> LightLine {
    let candela = sighting.reach.candela();
    LightLine {
        colour: sighting.colour,
        lamp: known.fit().lamps.get(sighting.light.lamp).map_or_else(String::new, |lamp| lamp.name.clone()),
        candela: trimmed(candela.0, if candela.0 < 10.0 { 1 } else { 0 }),
        lux: super::words::lux(sighting.illuminance),
        seen: format!("{}%", trimmed(sighting.reach.visible.fraction * 100.0, 0)),
        hindrance: hindrance(known, sighting),
        made_out: sighting.made_out,
    }
}

/// Less than this is no light to speak of, candela.
const NO_LIGHT: f64 = 0.05;

fn hindrance(known: &Known, sighting: &Sighting) -> Option<Hindrance> {
    let visible = sighting.reach.visible;
    if sighting.reach.bare.0 < NO_LIGHT {
        return Some(Hindrance::Elsewhere);
    }
    if let Some(owner) = visible.by
        && visible.fraction < 0.995
    {
        let name = known.scene().owner_name(known.fit(), owner);
        return Some(if visible.fraction < 0.005 { Hindrance::Behind(name) } else { Hindrance::PartlyBehind(name) });
    }
    if sighting.made_out {
        None
    } else if sighting.illuminance.0 <= 0.0 {
        Some(Hindrance::BelowTheHorizon)
    } else {
        Some(Hindrance::TooFaint)
    }
}

fn because(colour: Colour, lights: &[LightLine]) -> Option<String> {
    let mut causes: Vec<String> = lights
        .iter()
        .filter(|light| light.colour == colour && !light.made_out)
        .filter_map(|light| Some(format!("{}: {}", light.lamp, light.hindrance.as_ref()?.in_words())))
        .collect();
    causes.dedup();
    match causes.as_slice() {
        [] => Some(format!("No {colour} light is lit.")),
        some => Some(format!("{}.", capital(&some.join("; ")))),
    }
}

fn line_of(finding: &Finding, bearing: Bearing) -> FindingLine {
    FindingLine {
        severity: finding.severity,
        heading: match &finding.lamp {
            Some(lamp) => format!("{}: {}", capital(lamp), finding.kind.in_words()),
            None => capital(finding.kind.in_words()),
        },
        arc: finding.arc.map_or_else(String::new, |arc| arc.in_words()),
        under: under(finding),
        what: finding.what.clone(),
        how_bad: finding.how_bad.clone(),
        mend: finding.mend.clone(),
        clause: finding.clause.clone(),
        lamp: None,
        look_from: finding.arc.map(|arc| arc.middle()),
        here: finding.arc.is_some_and(|arc| arc.width < 360.0 && arc.contains(bearing)),
    }
}

/// The acts that take the observer to a bearing: to the nearest of the ring, then the rest of the way round.
pub fn walk_to(bearing: Bearing) -> [Act; 2] {
    // In [0, 32) after the remainder, so the cast is exact.
    let nearest = bearing.in_points().round().rem_euclid(32.0) as usize;
    let rest = bearing.clockwise_of(Bearing::new(nearest as f64 * DEGREES_PER_POINT));
    [Act::Observer(nearest), Act::Round(rest)]
}

/// "fault, from 4 to 9 degrees on the starboard bow", "caution, all round, when bow up 4 degrees".
fn under(finding: &Finding) -> String {
    let mut words = vec![finding.severity.in_words().to_string()];
    match (finding.arc, &finding.lamp) {
        (Some(arc), _) => words.push(arc.in_words()),
        (None, None) => words.push(finding.what.trim_end_matches('.').to_string()),
        (None, Some(_)) => {}
    }
    words.extend(finding.case.as_ref().map(|case| format!("when {case}")));
    words.join(", ")
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::{
        measure::{Metres, NauticalMiles},
        night::{LogicPlugins, trial},
    };

    struct Bench(App);

    impl Bench {
        fn new() -> Self {
            let mut app = App::new();
            app.add_plugins((MinimalPlugins, LogicPlugins::of(Arc::new(trial::scene())), ReadingPlugin));
            app.update();
            Self(app)
        }

        fn after(&mut self, acts: impl IntoIterator<Item = Act>) -> Reading {
            for act in acts {
                self.0.world_mut().write_message(act);
            }
            self.0.update();
            self.0.world().resource::<Reading>().clone()
        }
    }

    #[test]
    fn clicking_the_other_fit_changes_verdict_findings_and_what_shows() {
        let mut bench = Bench::new();
        let before = bench.after(walk_to(Bearing::STARBOARD_BEAM));
        assert_eq!(before.fits[0].tally.map(|tally| tally.faults > 0), Some(true));
        assert!(!before.findings.is_empty());
        assert_eq!((before.observer.outcome, before.observer.sentence.as_str()), (Outcome::Wrong, "She lacks green."));
        let after = bench.after([Act::Fit(1)]);
        assert!(after.fits[1].chosen && !after.fits[0].chosen);
        assert!(after.fits[1].verdict().starts_with("passes"), "{}", after.fits[1].verdict());
        assert!(after.findings.iter().all(|line| line.severity < Severity::Fault));
        assert_eq!(after.observer.outcome, Outcome::Right);
        assert_eq!(after.observer.showing.letters(), "GW");
    }

    #[test]
    fn a_click_on_a_finding_stands_the_observer_in_the_middle_of_its_arc() {
        let mut bench = Bench::new();
        let reading = bench.after([]);
        let (index, bearing) = reading
            .findings
            .iter()
            .enumerate()
            .find_map(|(index, line)| Some((index, line.look_from?)))
            .expect("a finding with an arc");
        let moved = bench.after(walk_to(bearing));
        assert!(bench.0.world().resource::<Choice>().watch.bearing.clockwise_of(bearing).abs() < 1e-9);
        assert!(moved.findings[index].here || moved.findings[index].arc == "all round");
    }

    #[test]
    fn other_status_another_display() {
        let mut bench = Bench::new();
        let way = bench.after([]).display;
        let anchored = bench.after([Act::Status(Status::AtAnchor)]);
        assert_eq!(anchored.status, Status::AtAnchor);
        assert_ne!(anchored.display, way);
    }

    #[test]
    fn an_observer_abaft_the_beam_by_more_than_two_points_overtakes() {
        let mut bench = Bench::new();
        assert!(!bench.after(walk_to(Bearing::new(112.5))).observer.overtaking);
        assert!(bench.after(walk_to(Bearing::new(113.0))).observer.overtaking);
    }

    #[test]
    fn a_light_six_miles_off_is_below_the_horizon_of_a_low_eye() {
        let mut bench = Bench::new();
        let reading = bench.after([
            Act::Fit(1),
            Act::Observer(8),
            Act::Distance(NauticalMiles(6.0).metres()),
            Act::EyeHeight(Metres(0.8)),
        ]);
        assert!(reading.observer.showing.is_empty());
        let told: Vec<_> = reading.observer.lights.into_iter().filter_map(|light| light.hindrance).collect();
        assert!(told.contains(&Hindrance::BelowTheHorizon), "{told:?}");
    }
}
