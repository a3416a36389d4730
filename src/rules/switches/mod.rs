//! What every setting of the switches announces, and which setting gives each status that the vessel needs.
//!
//! Takes a scene, a fit with a switch plan and the rules; gives a reading of every setting, the statuses needed with
//! the settings that give them, and findings. A setting announces every display whose required lights are just those
//! lit: often several, since the rules use some displays twice. Must never look at light: whether a lamp fills its
//! sector is for the judgement of each status.

mod mistakes;
mod told;

use std::collections::HashMap;

use super::{
    Band, Display, Finding, LightKind, Rules,
    cast::{Cast, Lit, Need},
};
use crate::{
    boat::{Fit, MOST_SETTINGS, Pose, PosedLamp, Role, Scene, Setting, Status, Switch, setting_count, settings},
    measure::{listed, trimmed},
};

/// All that the switches of a fit can announce.
#[derive(Clone, Debug)]
pub struct Switching<'a> {
    /// Every setting, all off first; none where there are more than [`MOST_SETTINGS`].
    pub settings: Vec<SettingReading<'a>>,
    /// In the order of the vessel's statuses.
    pub needed: Vec<NeededStatus<'a>>,
    pub findings: Vec<Finding>,
}

/// What one setting announces.
#[derive(Clone, Debug)]
pub struct SettingReading<'a> {
    pub setting: Setting,
    /// "navigation on, anchor off".
    pub words: String,
    /// Every display that is just this, those of her own statuses first.
    pub announced: Vec<Announced<'a>>,
    /// What is false about it; `None` where it is a display of hers, or dark.
    pub amiss: Option<Amiss>,
}

impl SettingReading<'_> {
    /// Nothing is lit.
    pub fn dark(&self) -> bool {
        self.setting.lamps.is_empty()
    }

    /// Whether she may lawfully show it in one status or another.
    pub fn lawful(&self) -> bool {
        self.announced.iter().any(|one| one.standing != Whose::Others)
    }
}

/// A display that a setting is.
#[derive(Clone, Copy, Debug)]
pub struct Announced<'a> {
    pub display: &'a Display,
    pub standing: Whose,
}

/// Whose a display is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Whose {
    /// Lawful for her in a status that she names, or under way by a means she has.
    Hers,
    /// Lawful for her in some other status.
    Otherwise,
    /// Other vessels only may show it.
    Others,
}

/// Something false that a setting announces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amiss {
    /// What is false, in words that follow the name of the setting and a colon.
    pub what: String,
    /// What would make it the nearest display of hers; empty where the rules hold none for her.
    pub nearest: String,
    /// "Rule 20(b)" and what else it offends.
    pub clause: String,
}

/// A status that the vessel needs lights for.
#[derive(Clone, Debug)]
pub struct NeededStatus<'a> {
    /// Plain, as the vessel names it.
    pub status: Status,
    /// Every setting that gives a lawful display for it, with that display; counts in [`Switching::settings`]. Where
    /// she may do without fixed lights, that is all off.
    pub given: Vec<(usize, &'a Display)>,
    /// Which of `given` is the one meant: what comes nearest to the lamps that the scene says are lit in the status.
    pub chosen: usize,
    /// Lawful displays of the rules for it. Where there are none, no setting can be asked for.
    pub displays: Vec<&'a Display>,
}

impl<'a> NeededStatus<'a> {
    /// The setting meant and the display it gives, or `None` where no setting gives one.
    pub fn setting(&self) -> Option<(usize, &'a Display)> {
        self.given.get(self.chosen).copied()
    }
}

/// Reads the switch plan of a fit of the scene; `None` where it has none.
pub fn switching<'a>(scene: &Scene, fit: &Fit, rules: &'a Rules) -> Option<Switching<'a>> {
    if fit.switches.is_empty() {
        return None;
    }
    if setting_count(&fit.switches) > MOST_SETTINGS {
        let findings = vec![told::too_many(&fit.switches)];
        return Some(Switching { settings: Vec::new(), needed: Vec::new(), findings });
    }
    let plan = Plan::new(scene, fit, rules);
    let settings = plan.readings();
    let needed: Vec<_> = scene.vessel.statuses.iter().map(|status| plan.needed(*status, &settings)).collect();
    let findings = told::findings(&plan, &settings, &needed);
    Some(Switching { settings, needed, findings })
}

/// What a plan is read with.
struct Plan<'a, 'b> {
    scene: &'b Scene,
    fit: &'b Fit,
    rules: &'a Rules,
    /// In the order of the fit's lamps, at rest.
    posed: Vec<PosedLamp>,
    /// Every display that she may show in some status.
    lawful: Vec<&'a Display>,
    /// Those of them that are [`Whose::Hers`].
    hers: Vec<&'a Display>,
}

impl<'a, 'b> Plan<'a, 'b> {
    fn new(scene: &'b Scene, fit: &'b Fit, rules: &'a Rules) -> Self {
        let vessel = &scene.vessel;
        let lawful: Vec<_> = Status::ALL
            .iter()
            .filter(|status| status.by_means(vessel) == **status)
            .flat_map(|status| rules.displays(vessel, *status, &scene.conditions.waters))
            .collect();
        let named: Vec<Status> = vessel.statuses.iter().map(|status| status.by_means(vessel)).collect();
        let own = |display: &&Display| named.contains(&display.status) || display.status.means().is_some();
        let hers = lawful.iter().copied().filter(own).collect();
        let posed = fit.lamps.iter().map(|lamp| scene.posed_lamp(lamp, &Pose::default())).collect();
        Self { scene, fit, rules, posed, lawful, hers }
    }

    fn lit(&self, lamps: impl IntoIterator<Item = usize>) -> Vec<Lit<'_>> {
        let each = lamps.into_iter();
        each.filter_map(|index| Some(Lit { index, lamp: self.fit.lamps.get(index)?, posed: self.posed.get(index)? }))
            .collect()
    }

    fn readings(&self) -> Vec<SettingReading<'a>> {
        // Many settings light the same lamps.
        let mut known: HashMap<Vec<usize>, (Vec<Announced<'a>>, Option<Amiss>)> = HashMap::new();
        settings(&self.fit.switches)
            .into_iter()
            .map(|setting| {
                let (announced, amiss) = known.entry(setting.lamps.clone()).or_insert_with(|| self.read(&setting));
                let (announced, amiss) = (announced.clone(), amiss.clone());
                SettingReading { words: setting.in_words(&self.fit.switches), setting, announced, amiss }
            })
            .collect()
    }

    fn read(&self, setting: &Setting) -> (Vec<Announced<'a>>, Option<Amiss>) {
        let lit = self.lit(setting.lamps.iter().copied());
        if lit.is_empty() {
            return (Vec::new(), None);
        }
        let announced = self.announced(&lit);
        let amiss = self.amiss(&lit, &announced);
        (announced, amiss)
    }

    /// Every display that just these lamps are. One that needs no light at all is announced by none.
    fn announced(&self, lit: &[Lit]) -> Vec<Announced<'a>> {
        let roles = roles(lit);
        let waters = &self.scene.conditions.waters;
        // Most displays are ruled out by their first light: quicker than to count them all.
        let served =
            |display: &&Display| display.required().all(|kind| roles.iter().any(|role| display.serves(kind, *role)));
        let here = |display: &&Display| {
            display.waters.as_ref().is_none_or(|name| waters.iter().any(|own| own.eq_ignore_ascii_case(name)))
        };
        // Lights that say nothing of a status do not announce it, but will do for her where she is in it.
        let said = |display: &&Display| !display.unsaid || self.standing(display) == Whose::Hers;
        let fixed = |display: &&Display| display.required().next().is_some();
        let mut same: Vec<(&'a Display, bool)> = self
            .rules
            .displays
            .iter()
            .filter(here)
            .filter(fixed)
            .filter(said)
            .filter(served)
            .filter(|display| fewest_changes(display, &roles) == 0)
            .map(|display| (display, Cast::of(display, lit, self.rules)))
            .filter(|(_, cast)| cast.is_whole())
            .map(|(display, cast)| (display, in_order(display, &cast)))
            .collect();
        // White over red is not red over white. But a line of her own that hangs upside down is still the one she
        // means, and told where its status is judged.
        let any_ordered = same.iter().any(|(_, ordered)| *ordered);
        same.retain(|(display, ordered)| *ordered || !any_ordered && self.standing(display) == Whose::Hers);
        let mut announced: Vec<_> =
            same.into_iter().map(|(display, _)| Announced { display, standing: self.standing(display) }).collect();
        announced.sort_by_key(|one| one.standing);
        announced
    }

    fn standing(&self, display: &Display) -> Whose {
        let among = |displays: &[&Display]| displays.iter().any(|one| std::ptr::eq(*one, display));
        if among(&self.hers) {
            Whose::Hers
        } else if among(&self.lawful) {
            Whose::Otherwise
        } else {
            Whose::Others
        }
    }

    fn amiss(&self, lit: &[Lit], announced: &[Announced]) -> Option<Amiss> {
        if announced.iter().any(|one| one.standing == Whose::Hers) {
            return None;
        }
        let near = self.nearest(&self.hers, lit);
        let nearest = near.map_or_else(String::new, |display| self.difference(display, lit));
        let amiss = |what: String, clause: &str| {
            let clause = format!("{}, {clause}", mistakes::CLAUSE);
            Some(Amiss { what, clause, nearest: nearest.clone() })
        };
        if let Some(mistake) = mistakes::recognised(&roles(lit)) {
            return amiss(mistake.words.into(), mistake.clause);
        }
        match announced.first() {
            Some(one) if one.standing == Whose::Otherwise => None,
            Some(Announced { display, .. }) => amiss(
                format!(
                    "she is taken for a vessel {}; {} is for {}.",
                    display.status.in_words(),
                    display.name,
                    whom(display)
                ),
                &display.clause,
            ),
            None => {
                let clause = near.map_or("Rule 20(b)", |display| &display.clause);
                amiss("these lights together are no display of the rules.".into(), clause)
            }
        }
    }

    /// The display that the lamps come nearest to.
    fn nearest(&self, displays: &[&'a Display], lit: &[Lit]) -> Option<&'a Display> {
        let roles = roles(lit);
        let fixed = displays.iter().copied().filter(|display| display.required().next().is_some());
        fixed.min_by_key(|display| fewest_changes(display, &roles))
    }

    /// "Nearest is the masthead light ... (Rule 23(a)): the sternlight is missing."
    fn difference(&self, display: &Display, lit: &[Lit]) -> String {
        let cast = Cast::of(display, lit, self.rules);
        let missing: Vec<&str> = cast
            .seats
            .iter()
            .filter(|seat| seat.need == Need::Must && seat.lamps.is_empty())
            .map(|seat| seat.kind.in_words())
            .collect();
        let spare: Vec<&str> = cast.spare.iter().map(|one| one.lamp.name.as_str()).collect();
        let told: Vec<String> = [(missing, "missing"), (spare, "too many")]
            .iter()
            .filter(|(names, _)| !names.is_empty())
            .map(|(names, how)| format!("{how}: {}", listed(names)))
            .collect();
        format!(
            "Nearest, {}, is {} ({}); {}.",
            display.status.in_words(),
            display.name,
            display.clause,
            told.join("; ")
        )
    }

    fn needed(&self, status: Status, settings: &[SettingReading<'a>]) -> NeededStatus<'a> {
        let vessel = &self.scene.vessel;
        let displays = self.rules.displays(vessel, status, &self.scene.conditions.waters);
        let gives = |reading: &SettingReading<'a>| {
            let mut hers = reading.announced.iter().filter(|one| one.standing == Whose::Hers);
            hers.find(|one| one.display.status == status.by_means(vessel)).map(|one| one.display)
        };
        let mut given: Vec<_> =
            settings.iter().enumerate().filter_map(|(index, reading)| Some((index, gives(reading)?))).collect();
        if given.is_empty() {
            // All off comes first among the settings.
            given.extend(displays.iter().find(|display| display.required().next().is_none()).map(|one| (0, *one)));
        }
        let wanted = self.lit_in(status);
        let away = |(index, _): &(usize, &Display)| {
            let lamps = &settings[*index].setting.lamps;
            lamps.iter().filter(|lamp| !wanted.contains(lamp)).count()
                + wanted.iter().filter(|lamp| !lamps.contains(lamp)).count()
        };
        let chosen = (0..given.len()).min_by_key(|index| away(&given[*index])).unwrap_or_default();
        NeededStatus { status, given, chosen, displays }
    }

    /// The lamps that the scene says are lit in a status, rising.
    fn lit_in(&self, status: Status) -> Vec<usize> {
        (0..self.fit.lamps.len()).filter(|index| self.fit.lamps[*index].lit.contains(&status)).collect()
    }
}

fn roles(lit: &[Lit]) -> Vec<Role> {
    lit.iter().map(|one| one.lamp.role).collect()
}

/// At least so many lights must be added or taken away to make lamps of these roles a display; quick to tell, and
/// never more than [`Cast::mismatch`] would find.
fn fewest_changes(display: &Display, roles: &[Role]) -> usize {
    let serving = |kind: LightKind| roles.iter().filter(|role| display.serves(kind, **role)).count();
    let owed = LightKind::ALL.iter().map(|kind| (*kind, display.count(*kind))).filter(|(_, count)| *count > 0);
    let missing: usize = owed.map(|(kind, count)| count.saturating_sub(serving(kind))).sum();
    let room = |role: Role| {
        let kinds = display.required().chain(display.may.iter().chain(&display.if_practicable).copied());
        // Two all-round lamps may look like one.
        kinds.filter(|kind| display.serves(*kind, role)).count() * if role.is_all_round() { 2 } else { 1 }
    };
    let first = |index: usize| !roles[..index].contains(&roles[index]);
    let spare: usize = (0..roles.len())
        .filter(|index| first(*index))
        .map(|index| roles.iter().filter(|role| **role == roles[index]).count().saturating_sub(room(roles[index])))
        .sum();
    missing + spare
}

/// Whether every vertical line of a display stands as the display orders it.
fn in_order(display: &Display, cast: &Cast) -> bool {
    (0..display.lines.len()).all(|line| cast.in_order(line))
}

/// The vessels a display is for, in words.
fn whom(display: &Display) -> String {
    let means: Vec<&str> = match display.status.means() {
        Some(means) => vec![means.in_words()],
        None => display.propulsion.iter().map(|means| means.in_words()).collect(),
    };
    let means = if means.is_empty() { String::new() } else { format!(" moved by {}", listed(&means)) };
    let length = match display.length.in_words() {
        any if display.length == Band::default() => any,
        band => format!("a length {band}"),
    };
    let speed = display.top_speed.map_or_else(String::new, |most| format!(" and at most {} knots", trimmed(most, 1)));
    format!("vessels{means} of {length}{speed}")
}

/// The switches that are not off, in words: "navigation on and anchor on"; "all off".
fn switched(setting: &Setting, switches: &[Switch]) -> String {
    let on = switches.iter().zip(&setting.positions).filter_map(|(switch, position)| {
        let position = switch.positions.get((*position)?)?;
        Some(format!("{} {}", switch.name, position.name))
    });
    let on: Vec<String> = on.collect();
    let on: Vec<&str> = on.iter().map(String::as_str).collect();
    if on.is_empty() { "all off".into() } else { listed(&on) }
}
