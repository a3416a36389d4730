//! The judgement of one fit in one status: which display it is meant to be, what every bearing must show, and all
//! that falls short.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    Display, Finding, Kind, Rules, Severity, absent,
    cast::{Cast, Lit, Need},
    colour, lanes, limits, lines, lookout, merging, own_hull, places, screens, sector, spare,
    switches::switching,
    view::View,
};
use crate::{
    boat::{Fit, Scene, Status},
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

/// The clauses that a judgement held something against, and those that it could not.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked {
    held: BTreeSet<String>,
    open: BTreeMap<String, String>,
}

impl Asked {
    /// Notes each clause of a list such as "Rule 21(b), Annex I 9(a)(i)".
    pub(super) fn note(&mut self, clauses: &str) {
        self.held.extend(split_clauses(clauses).map(Into::into));
    }

    /// Notes that a clause applies and cannot be held against this fit as it is described, and why.
    pub(super) fn leave_open(&mut self, clause: &str, why: String) {
        self.open.insert(clause.into(), why);
    }

    /// Why a clause that applies was not judged.
    pub fn why_open(&self, clause: &str) -> Option<&str> {
        self.open.get(clause).map(String::as_str)
    }

    pub fn contains(&self, clause: &str) -> bool {
        self.held.contains(clause)
    }

    pub fn iter(&self) -> impl Iterator<Item = &str> {
        self.held.iter().map(String::as_str)
    }
}

/// The single clauses of a list such as "Rule 21(b), Annex I 9(a)(i)".
pub(super) fn split_clauses(clauses: &str) -> impl Iterator<Item = &str> {
    clauses.split(", ").filter(|clause| !clause.is_empty())
}

/// A fit judged against the lawful display it comes nearest to.
#[derive(Clone, Debug)]
pub struct Judgement<'a> {
    /// The display judged against; `None` when the rules know none for such a vessel and status.
    pub display: Option<&'a Display>,
    pub rules: &'a Rules,
    /// Worst first.
    pub findings: Vec<Finding>,
    /// The clauses that something of this fit was held against.
    pub asked: Asked,
}

impl Judgement<'_> {
    /// What must show on a bearing. Nothing at all where the rules know no display.
    pub fn expected(&self, bearing: Bearing) -> Expected {
        let mut expected = Expected::default();
        let Some(display) = self.display else { return expected };
        for light in display.required() {
            let Some(row) = self.rules.sector(light) else { continue };
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

/// All that the checks of one judgement look at.
pub(super) struct Stage<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub survey: &'a Survey,
    pub rules: &'a Rules,
    pub display: &'a Display,
    pub cast: Cast<'a>,
}

impl Stage<'_> {
    pub fn length(&self) -> f64 {
        self.scene.vessel.length.0
    }

    pub fn status(&self) -> Status {
        self.survey.status
    }
}

/// Judges a survey of the scene's fit by a set of rules as it stands, whatever waiver is in it.
pub(super) fn judge_plainly<'a>(scene: &Scene, fit: &Fit, survey: &Survey, rules: &'a Rules) -> Judgement<'a> {
    let lit = lit(fit, survey);
    let choice = rules.displays(&scene.vessel, survey.status, &scene.conditions.waters).into_iter();
    let casts = choice.map(|display| (display, Cast::of(display, &lit, rules)));
    let Some((display, cast)) = casts.min_by_key(|(_, cast)| cast.mismatch()) else {
        let mut asked = Asked::default();
        let mut findings = vec![without_display(scene, survey, rules)];
        findings.extend(switched(scene, fit, rules, &mut asked));
        return Judgement { display: None, rules, findings, asked };
    };
    let stage = Stage { scene, fit, survey, rules, display, cast };
    let mut asked = Asked::default();
    asked.note("Rule 3");
    // Who relies on an exemption does not show the display.
    asked.note(relied_on(&stage).map_or(&display.clause, |exempt| &exempt.clause));
    let seats = stage.cast.seats.iter();
    let views: Vec<View> = seats.filter_map(|seat| View::new(seat, survey, rules, &scene.vessel)).collect();
    let mut findings = absent::findings(&stage);
    findings.extend(ready_to_hand(&stage));
    findings.extend(spare::findings(&stage, &mut asked));
    findings.extend(places::findings(&stage, &mut asked));
    for view in &views {
        findings.extend(sector::findings(scene, fit, view, &mut asked));
    }
    findings.extend(lanes::findings(&views));
    findings.extend(lines::findings(&stage));
    findings.extend(limits::findings(&stage, &mut asked));
    findings.extend(merging::findings(&stage, &mut asked));
    findings.extend(own_hull::findings(&stage, &lit));
    findings.extend(colour::findings(&stage, &mut asked));
    findings.extend(screens::findings(&stage, &mut asked));
    findings.extend(lookout::findings(&stage, &mut asked));
    findings.extend(switched(scene, fit, rules, &mut asked));
    worst_first(&mut findings);
    Judgement { display: Some(display), rules, findings, asked }
}

/// Puts findings in the order in which they are told.
pub(super) fn worst_first(findings: &mut [Finding]) {
    findings.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.kind.cmp(&b.kind)));
}

/// What falls short in the switch plan: the same in every status.
fn switched(scene: &Scene, fit: &Fit, rules: &Rules, asked: &mut Asked) -> Vec<Finding> {
    let findings = switching(scene, fit, rules).map_or_else(Vec::new, |switching| switching.findings);
    if !fit.switches.is_empty() {
        asked.note(spare::CLAUSE);
    }
    findings
}

/// The lamps lit in the status of a survey.
pub(super) fn lit<'a>(fit: &'a Fit, survey: &'a Survey) -> Vec<Lit<'a>> {
    let posed = &survey.rest().posed().lamps;
    let all = fit.lamps.iter().zip(posed).enumerate();
    all.filter(|(_, (lamp, _))| lamp.lit.contains(&survey.status))
        .map(|(index, (lamp, posed))| Lit { index, lamp, posed })
        .collect()
}

/// Where a vessel need not show a display.
pub(super) fn exemption<'a>(display: &'a Display, scene: &Scene) -> Option<&'a super::Exemption> {
    let exempt = display.exempt.as_ref()?;
    let used = &scene.conditions.waters;
    let waters = exempt.waters.as_ref().is_none_or(|name| used.iter().any(|own| own.eq_ignore_ascii_case(name)));
    (scene.vessel.length.0 < exempt.under && waters).then_some(exempt)
}

/// The exemption, where a light of the display is missing for it.
fn relied_on<'a>(stage: &Stage<'a>) -> Option<&'a super::Exemption> {
    let missing = stage.cast.seats.iter().any(|seat| seat.need == Need::Must && seat.lamps.is_empty());
    exemption(stage.display, stage.scene).filter(|_| missing)
}

/// A display that is not fixed but kept ready to hand: nothing in the scene can prove it.
fn ready_to_hand(stage: &Stage) -> Option<Finding> {
    let ready = stage.display.ready.as_ref()?;
    Some(Finding {
        what: format!("She relies on {ready}, kept ready to hand."),
        how_bad: "Nothing in the scene can prove it.".into(),
        mend: "Keep it charged at the helm, and show it in time to prevent collision.".into(),
        ..Finding::of(Severity::Note, Kind::ReadyToHand, &stage.display.clause)
    })
}

/// Why there is nothing to judge her by: she cannot be what is asked, or the rules here hold no display for it.
fn without_display(scene: &Scene, survey: &Survey, rules: &Rules) -> Finding {
    let vessel = &scene.vessel;
    if let Some(what) = rules.impossible(vessel, survey.status) {
        return Finding {
            what,
            how_bad: "Nothing was judged.".into(),
            mend: "Choose another status, or add the means to `also` of the vessel.".into(),
            ..Finding::of(Severity::Fault, Kind::StatusImpossible, "Rule 3")
        };
    }
    Finding {
        what: rules.not_held(vessel, survey.status),
        how_bad: "Nothing was judged.".into(),
        mend: "Look up her display in the rules themselves.".into(),
        ..Finding::of(Severity::Caution, Kind::NotCovered, "Rules 23 to 31")
    }
}
