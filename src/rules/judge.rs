//! The judgement of one fit in one status: which display it is meant to be, what every bearing must show, and all
//! that falls short.

use super::{Display, Finding, Kind, LightKind, Rules, Severity, heights, lanes, places, sector, spare, view::View};
use crate::{
    boat::{Fit, Lamp, PosedLamp, Scene},
    light::Colours,
    measure::Bearing,
    survey::Survey,
};

/// What an observer on a bearing must see, and what he may.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Expected {
    pub must: Colours,
    /// Allowed besides: within the limits of practical cut-off, or not asked for but not forbidden.
    pub may: Colours,
}

impl Expected {
    /// Colours that must show and do not.
    pub fn missing(self, showing: Colours) -> Colours {
        self.must.without(showing)
    }

    /// Colours that show and may not.
    pub fn extra(self, showing: Colours) -> Colours {
        showing.without(self.must.or(self.may))
    }

    /// Whether a showing is as it should be.
    pub fn met_by(self, showing: Colours) -> bool {
        self.missing(showing).is_empty() && self.extra(showing).is_empty()
    }
}

/// A fit judged against the lawful display it comes nearest to.
#[derive(Clone, Debug)]
pub struct Judgement<'a> {
    /// The display judged against; `None` when the rules know none for such a vessel and status.
    pub display: Option<&'a Display>,
    pub rules: &'a Rules,
    /// Worst first.
    pub findings: Vec<Finding>,
}

impl Judgement<'_> {
    /// What must show on a bearing. Nothing at all where the rules know no display.
    pub fn expected(&self, bearing: Bearing) -> Expected {
        let mut expected = Expected::default();
        let Some(display) = self.display else { return expected };
        for light in &display.lights {
            let Some(row) = self.rules.sector(*light) else { continue };
            let depth = row.arc().depth(bearing);
            if depth >= -1e-9 {
                expected.must.add(row.colour);
            } else if depth >= -self.rules.allowed_outside(row, bearing) {
                expected.may.add(row.colour);
            }
        }
        for light in display.may.iter().chain(&display.if_practicable) {
            let Some(row) = self.rules.sector(*light) else { continue };
            if row.arc().depth(bearing) >= -self.rules.allowed_outside(row, bearing) {
                expected.may.add(row.colour);
            }
        }
        expected
    }

    /// The worst severity found.
    pub fn worst(&self) -> Option<Severity> {
        self.findings.iter().map(|finding| finding.severity).max()
    }
}

/// A lamp that is lit, and how it sits at rest.
pub(super) type Lit<'a> = (&'a Lamp, &'a PosedLamp);

/// Judges a survey of the scene's fit.
pub fn judge<'a>(scene: &Scene, fit: &Fit, survey: &Survey, rules: &'a Rules) -> Judgement<'a> {
    let posed = &survey.rest().posed().lamps;
    let lit: Vec<Lit> = fit.lamps.iter().zip(posed).filter(|(lamp, _)| lamp.lit.contains(&survey.status)).collect();
    let nearest =
        rules.displays(&scene.vessel, survey.status).into_iter().min_by_key(|display| mismatch(display, &lit));
    let Some(display) = nearest else {
        return Judgement { display: None, rules, findings: vec![not_covered(scene, survey, rules)] };
    };
    let length = scene.vessel.length.0;
    let kinds = || display.lights.iter().chain(&display.if_practicable);
    let views: Vec<View> = kinds().filter_map(|kind| View::new(*kind, fit, survey, rules, length)).collect();
    let mut findings = Vec::new();
    findings.extend(kinds().filter_map(|kind| absent(*kind, display, scene, fit, survey, rules)));
    findings.extend(spare::findings(&lit, display, rules));
    findings.extend(places::findings(scene, &lit, display, rules));
    for view in &views {
        findings.extend(sector::findings(scene, fit, view));
    }
    findings.extend(lanes::findings(&views));
    findings.extend(heights::findings(scene, &lit, display, rules));
    findings.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.kind.cmp(&b.kind)));
    Judgement { display: Some(display), rules, findings }
}

/// How many lights would have to be added or taken away to make this the display.
fn mismatch(display: &Display, lit: &[Lit]) -> usize {
    let missing = display.lights.iter().filter(|kind| !lit.iter().any(|(lamp, _)| kind.served_by(lamp.role))).count();
    let extra = lit.iter().filter(|(lamp, _)| !spare::belongs(display, lamp.role)).count();
    missing + extra
}

/// A light of the display that no lit lamp is there to be.
fn absent(
    kind: LightKind,
    display: &Display,
    scene: &Scene,
    fit: &Fit,
    survey: &Survey,
    rules: &Rules,
) -> Option<Finding> {
    let row = rules.sector(kind)?;
    let status = survey.status.in_words();
    if fit.lamps.iter().any(|lamp| kind.served_by(lamp.role) && lamp.lit.contains(&survey.status)) {
        return None;
    }
    let unlit = fit.lamps.iter().find(|lamp| kind.served_by(lamp.role));
    let practicable = display.if_practicable.contains(&kind);
    let exempt = display.exempt.as_ref().filter(|exempt| scene.vessel.length.0 < exempt.under);
    let lenient = practicable || exempt.is_some();
    Some(Finding {
        kind: Kind::LightMissing,
        severity: if lenient { Severity::Caution } else { Severity::Fault },
        clause: display.clause.clone(),
        lamp: unlit.map(|lamp| lamp.name.clone()),
        arc: Some(row.arc()),
        by: None,
        what: match unlit {
            Some(lamp) => format!("{} is fitted but not lit {status}, where it must show.", lamp.name),
            None if practicable => {
                format!("No {} is fitted; {status} she must show one if practicable.", kind.in_words())
            }
            None => format!("No {} is fitted; {status} she must show one.", kind.in_words()),
        },
        how_bad: match exempt {
            Some(exempt) => format!("Not required {} ({}).", exempt.place, exempt.clause),
            None => format!("Nothing {} shows {}.", row.colour, row.arc().in_words()),
        },
        mend: match unlit {
            Some(_) => format!("Wire it so that it is lit {status}."),
            None => format!(
                "Fit {} {}: the display is {} ({}).",
                article(kind),
                kind.in_words(),
                display.name,
                display.clause
            ),
        },
    })
}

fn article(kind: LightKind) -> &'static str {
    if kind == LightKind::AllRoundWhite { "an" } else { "a" }
}

fn not_covered(scene: &Scene, survey: &Survey, rules: &Rules) -> Finding {
    Finding {
        kind: Kind::NotCovered,
        severity: Severity::Caution,
        clause: "Rules 23 to 31".into(),
        lamp: None,
        arc: None,
        by: None,
        what: format!(
            "The rule set \"{}\" holds no display for a vessel of {} under {:?} {}.",
            rules.name,
            scene.vessel.length,
            scene.vessel.propulsion,
            survey.status.in_words()
        )
        .replace("under Power", "under power")
        .replace("under Sail", "under sail")
        .replace("under Oars", "under oars"),
        how_bad: "Nothing was judged.".into(),
        mend: "Look up her display in the rules themselves.".into(),
    }
}
