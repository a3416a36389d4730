//! The judgement of one fit in one status: which display it is meant to be, what every bearing must show, and all
//! that falls short.

use std::collections::BTreeSet;

use super::{
    Display, Finding, Kind, Rules, Severity,
    cast::{Cast, Lit, Need, Seat},
    colour, lanes, limits, lines, places, screens, sector, spare,
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

/// The clauses that a judgement held something against.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Asked(BTreeSet<String>);

impl Asked {
    /// Notes each clause of a list such as "Rule 21(b), Annex I 9(a)(i)".
    pub(super) fn note(&mut self, clauses: &str) {
        self.0.extend(split_clauses(clauses).map(Into::into));
    }

    pub fn contains(&self, clause: &str) -> bool {
        self.0.contains(clause)
    }

    pub fn iter(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
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
    /// The rules that were asked for: others than `rules` only where they are a waiver that has expired.
    pub chosen: &'a Rules,
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
        let findings = vec![without_display(scene, survey, rules)];
        return Judgement { display: None, rules, chosen: rules, findings, asked: Asked::default() };
    };
    let stage = Stage { scene, fit, survey, rules, display, cast };
    let mut asked = Asked::default();
    asked.note(&display.clause);
    let seats = stage.cast.seats.iter();
    let views: Vec<View> = seats.filter_map(|seat| View::new(seat, survey, rules, &scene.vessel)).collect();
    let mut findings: Vec<Finding> = stage.cast.seats.iter().filter_map(|seat| absent(&stage, seat)).collect();
    findings.extend(excused(&stage, &mut asked));
    findings.extend(ready_to_hand(&stage));
    findings.extend(spare::findings(&stage, &mut asked));
    findings.extend(places::findings(&stage, &mut asked));
    for view in &views {
        findings.extend(sector::findings(scene, fit, view, &mut asked));
    }
    findings.extend(lanes::findings(&views));
    findings.extend(lines::findings(&stage));
    findings.extend(limits::findings(&stage, &mut asked));
    findings.extend(colour::findings(&stage, &mut asked));
    findings.extend(screens::findings(&stage, &views, &mut asked));
    worst_first(&mut findings);
    Judgement { display: Some(display), rules, chosen: rules, findings, asked }
}

/// Puts findings in the order in which they are told.
pub(super) fn worst_first(findings: &mut [Finding]) {
    findings.sort_by(|a, b| b.severity.cmp(&a.severity).then(a.kind.cmp(&b.kind)));
}

/// The lamps lit in the status of a survey.
pub(super) fn lit<'a>(fit: &'a Fit, survey: &'a Survey) -> Vec<Lit<'a>> {
    let posed = &survey.rest().posed().lamps;
    let all = fit.lamps.iter().zip(posed).enumerate();
    all.filter(|(_, (lamp, _))| lamp.lit.contains(&survey.status))
        .map(|(index, (lamp, posed))| Lit { index, lamp, posed })
        .collect()
}

/// A light of the display that no lit lamp is there to be.
fn absent(stage: &Stage, seat: &Seat) -> Option<Finding> {
    if seat.need == Need::May || !seat.lamps.is_empty() {
        return None;
    }
    let Stage { display, rules, .. } = stage;
    let kind = seat.kind;
    let row = rules.sector(kind)?;
    let status = stage.status().in_words();
    let lit = |index: &usize| stage.cast.seats.iter().any(|seat| seat.lamps.iter().any(|lamp| lamp.index == *index));
    let mut fitted = (0..stage.fit.lamps.len()).filter(|index| display.serves(kind, stage.fit.lamps[*index].role));
    let unlit = fitted.find(|index| !lit(index)).map(|index| &stage.fit.lamps[index]);
    let practicable = seat.need == Need::IfPracticable;
    let exempt = exemption(stage);
    let wanted = wanted_words(stage, seat);
    Some(Finding {
        severity: if practicable || exempt.is_some() { Severity::Caution } else { Severity::Fault },
        lamp: unlit.map(|lamp| lamp.name.clone()),
        arc: Some(row.arc()),
        what: match unlit {
            Some(lamp) => format!("{} is fitted but not lit {status}, where it must show.", lamp.name),
            None if practicable => format!("No {wanted} is fitted; {status} she must show one if practicable."),
            None => format!("No {wanted} is fitted; {status} she must show one."),
        },
        how_bad: match exempt {
            Some(exempt) => format!("Not required {} ({}).", exempt.place, exempt.clause),
            None => format!("Nothing {} shows {}.", row.colour, row.arc().in_words()),
        },
        mend: match unlit {
            Some(_) => format!("Wire it so that it is lit {status}."),
            None => format!(
                "Fit {} {}: the display is {} ({}).",
                kind.article(),
                kind.in_words(),
                display.name,
                display.clause
            ),
        },
        ..Finding::new(Kind::LightMissing, &display.clause)
    })
}

/// "all-round red light", or "second masthead light" where one is there already.
fn wanted_words(stage: &Stage, seat: &Seat) -> String {
    let there = stage.cast.serving(seat.kind).count();
    let before = match there {
        0 => "",
        1 => "second ",
        _ => "third ",
    };
    format!("{before}{}", seat.kind.in_words())
}

fn exemption<'a>(stage: &Stage<'a>) -> Option<&'a super::Exemption> {
    let exempt = stage.display.exempt.as_ref()?;
    let waters = exempt.waters.as_ref().is_none_or(|name| stage.scene.conditions.waters.contains(name));
    (stage.length() < exempt.under && waters).then_some(exempt)
}

/// Notes the clause that excuses her, where she relies on it.
fn excused(stage: &Stage, asked: &mut Asked) -> Option<Finding> {
    let missing = stage.cast.seats.iter().any(|seat| seat.need == Need::Must && seat.lamps.is_empty());
    if let Some(exempt) = exemption(stage).filter(|_| missing) {
        asked.note(&exempt.clause);
    }
    None
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
    let status = survey.status.by_means(vessel);
    let mut same = rules.displays.iter().filter(|display| display.status == status).peekable();
    let never = same.peek().is_some() && !same.any(|display| rules.can_be(vessel, display));
    if never {
        let lacks = match status.means() {
            Some(crate::boat::Propulsion::Sail) => "no sails",
            Some(crate::boat::Propulsion::Oars) => "no oars",
            _ => "no engine",
        };
        return Finding {
            what: format!("She has {lacks}, and cannot be {}.", status.in_words()),
            how_bad: "Nothing was judged.".into(),
            mend: "Choose another status, or add the means to `also` of the vessel.".into(),
            ..Finding::of(Severity::Fault, Kind::StatusImpossible, "Rule 3")
        };
    }
    Finding {
        what: format!(
            "The rule set \"{}\" holds no display for a vessel of {} moved by {} and {}.",
            rules.name,
            vessel.length,
            vessel.propulsion.in_words(),
            survey.status.in_words()
        ),
        how_bad: "Nothing was judged.".into(),
        mend: "Look up her display in the rules themselves.".into(),
        ..Finding::of(Severity::Caution, Kind::NotCovered, "Rules 23 to 31")
    }
}
