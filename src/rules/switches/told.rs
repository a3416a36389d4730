//! What falls short in a switch plan, as findings: statuses without a setting, settings that announce something false,
//! lamps that no switch feeds, and lamps lit otherwise than the scene says.
//!
//! Takes the plan as read; must never read a setting itself.

use std::collections::HashSet;

use super::{Amiss, NeededStatus, Plan, SettingReading, mistakes::CLAUSE, switched};
use crate::{
    boat::{MOST_SETTINGS, Switch, setting_count},
    measure::listed,
    rules::{
        Display, Finding, Kind, Severity,
        cast::{Cast, Need},
        judge::exemption,
    },
};

/// The most settings of which each is told by itself.
const MOST_TOLD: usize = 6;

pub(super) fn findings(plan: &Plan, settings: &[SettingReading], needed: &[NeededStatus]) -> Vec<Finding> {
    let mut findings: Vec<Finding> = needed.iter().filter_map(|one| not_given(plan, one, settings)).collect();
    findings.extend(false_settings(plan, settings));
    findings.extend(unfed(plan));
    findings.extend(needed.iter().filter_map(|one| lit_otherwise(plan, one, settings)));
    findings
}

/// More settings than are judged.
pub(super) fn too_many(switches: &[Switch]) -> Finding {
    Finding {
        what: format!(
            "The switches have {} settings, and no more than {MOST_SETTINGS} are read.",
            setting_count(switches)
        ),
        how_bad: "None of them was judged.".into(),
        mend: "Give one switch several positions in place of several switches.".into(),
        ..Finding::of(Severity::Caution, Kind::Switching, CLAUSE)
    }
}

/// A status that she needs and that no setting gives.
fn not_given(plan: &Plan, needed: &NeededStatus, settings: &[SettingReading]) -> Option<Finding> {
    let first = needed.displays.first()?;
    if !needed.given.is_empty() {
        return None;
    }
    let status = needed.status.by_means(&plan.scene.vessel).in_words();
    let near = nearest_setting(plan, needed, settings);
    let display = near.map_or(*first, |(_, display)| display);
    let exempt = needed.displays.iter().find_map(|display| exemption(display, plan.scene));
    let what = format!("No setting of the switches gives the lights of a vessel {status}.");
    let mut how_bad = match near {
        Some((reading, display)) => {
            let lit = plan.lit(reading.setting.lamps.iter().copied());
            let named = switched(&reading.setting, &plan.fit.switches);
            format!("With {named}: {}", lower_first(&plan.difference(display, &lit)))
        }
        None => "No setting lights anything.".into(),
    };
    if let Some(exempt) = exempt {
        how_bad.push_str(&format!(" Not required {} ({}).", exempt.place, exempt.clause));
    }
    Some(Finding {
        severity: if exempt.is_some() { Severity::Caution } else { Severity::Fault },
        what,
        how_bad,
        mend: mend_for(plan, display),
        ..Finding::new(Kind::Switching, &format!("{CLAUSE}, {}", display.clause))
    })
}

/// The setting that comes nearest to a display of a status, and that display.
fn nearest_setting<'a, 'b>(
    plan: &Plan<'a, '_>,
    needed: &NeededStatus<'a>,
    settings: &'b [SettingReading<'a>],
) -> Option<(&'b SettingReading<'a>, &'a Display)> {
    let pairs = settings.iter().filter(|reading| !reading.dark()).filter_map(|reading| {
        let lit = plan.lit(reading.setting.lamps.iter().copied());
        let display = plan.nearest(&needed.displays, &lit)?;
        let changes = super::fewest_changes(display, &super::roles(&lit));
        Some((changes, lit.len(), reading, display))
    });
    pairs.min_by_key(|(changes, lamps, ..)| (*changes, *lamps)).map(|(_, _, reading, display)| (reading, display))
}

/// How to come to a display: a position for its lamps, or lamps to be fitted.
fn mend_for(plan: &Plan, display: &Display) -> String {
    let every = plan.lit(0..plan.fit.lamps.len());
    let cast = Cast::of(display, &every, plan.rules);
    let seats = || cast.seats.iter().filter(|seat| seat.need == Need::Must);
    let absent: Vec<&str> = seats().filter(|seat| seat.lamps.is_empty()).map(|seat| seat.kind.in_words()).collect();
    if !absent.is_empty() {
        return format!("Fit what is not there ({}), and a position that lights {}.", listed(&absent), display.name);
    }
    let mut lamps: Vec<_> = seats().flat_map(|seat| seat.lamps.first()).collect();
    lamps.sort_by_key(|one| one.index);
    lamps.dedup_by_key(|one| one.index);
    let names: Vec<&str> = lamps.iter().map(|one| one.lamp.name.as_str()).collect();
    format!("Add a position that lights {} and nothing else.", listed(&names))
}

/// Settings that announce something false: the first of each sort before others of the same.
fn false_settings(plan: &Plan, settings: &[SettingReading]) -> Vec<Finding> {
    let mut told = HashSet::new();
    let amiss = settings.iter().filter_map(|reading| Some((reading, reading.amiss.as_ref()?)));
    let (mut ordered, again): (Vec<_>, Vec<_>) = amiss.partition(|(_, amiss)| told.insert(&amiss.what));
    ordered.extend(again);
    let rest = ordered.len().saturating_sub(MOST_TOLD);
    let told = ordered.iter().take(MOST_TOLD);
    let mut findings: Vec<Finding> = told.map(|(reading, amiss)| false_setting(plan, reading, amiss)).collect();
    findings.extend((rest > 0).then(|| Finding {
        what: match rest {
            1 => "One more setting of the switches announces something false.".into(),
            many => format!("{many} more settings of the switches announce something false."),
        },
        how_bad: format!("{} of {} settings do.", ordered.len(), settings.len()),
        mend: "Let one switch with a position for each status take the place of several.".into(),
        ..Finding::of(Severity::Caution, Kind::Switching, CLAUSE)
    }));
    findings
}

fn false_setting(plan: &Plan, reading: &SettingReading, amiss: &Amiss) -> Finding {
    let lamps: Vec<&str> =
        plan.lit(reading.setting.lamps.iter().copied()).iter().map(|one| one.lamp.name.as_str()).collect();
    let on = reading.setting.positions.iter().flatten().count();
    Finding {
        what: format!("With {}: {}", switched(&reading.setting, &plan.fit.switches), amiss.what),
        how_bad: format!("Lit: {}. {}", listed(&lamps), amiss.nearest).trim_end().into(),
        mend: if on > 1 {
            "Let one switch with a position for each status take the place of these, so that they cannot be on together."
        } else {
            "Let this position light a whole display and nothing besides."
        }
        .into(),
        ..Finding::of(Severity::Caution, Kind::Switching, &amiss.clause)
    }
}

/// Lamps that no position of any switch feeds.
fn unfed<'a>(plan: &'a Plan) -> impl Iterator<Item = Finding> + 'a {
    let positions = || plan.fit.switches.iter().flat_map(|switch| &switch.positions);
    let fed = move |index: usize| positions().any(|position| position.lamps.contains(&index));
    plan.fit.lamps.iter().enumerate().filter(move |(index, _)| !fed(*index)).map(|(_, lamp)| Finding {
        lamp: Some(lamp.name.clone()),
        what: format!("No switch feeds {}.", lamp.name),
        how_bad: "No setting can light it.".into(),
        mend: "Name it in a position of a switch, or take it away.".into(),
        ..Finding::of(Severity::Note, Kind::Switching, CLAUSE)
    })
}

/// Lamps that the scene says are lit in a status and that its setting leaves dark, or the other way about.
fn lit_otherwise(plan: &Plan, needed: &NeededStatus, settings: &[SettingReading]) -> Option<Finding> {
    let (index, display) = needed.setting()?;
    // What is kept ready to hand is lit by no switch.
    if display.ready.is_some() {
        return None;
    }
    let setting = &settings.get(index)?.setting;
    let wanted = plan.lit_in(needed.status);
    let name = |index: &usize| plan.fit.lamps.get(*index).map(|lamp| lamp.name.as_str());
    let dark: Vec<&str> = wanted.iter().filter(|lamp| !setting.lamps.contains(lamp)).filter_map(name).collect();
    let besides: Vec<&str> = setting.lamps.iter().filter(|lamp| !wanted.contains(lamp)).filter_map(name).collect();
    let told: Vec<String> = [(dark, "leaves dark"), (besides, "lights besides")]
        .iter()
        .filter(|(names, _)| !names.is_empty())
        .map(|(names, how)| format!("it {how} {}", listed(names)))
        .collect();
    let status = needed.status.by_means(&plan.scene.vessel).in_words();
    (!told.is_empty()).then(|| Finding {
        what: format!(
            "With {}, meant for a vessel {status}, other lamps are lit than the scene names for it.",
            switched(setting, &plan.fit.switches)
        ),
        how_bad: format!("Against the scene, {}.", told.join(", and ")),
        mend: "Change `lit` of the lamps, or the switch plan, so that they say the same.".into(),
        ..Finding::of(Severity::Note, Kind::Switching, &format!("{CLAUSE}, {}", display.clause))
    })
}

fn lower_first(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
