//! What the switches announce, as a section of the text and an object of the JSON.
//!
//! Asks the rules how every setting reads; must never judge one itself.

use serde::Serialize;

use super::{
    Surveyed,
    text::{COLUMNS, Ink},
    wrap,
};
use crate::{
    boat::{Role, Status},
    light::Colours,
    measure::listed,
    rules::{Announced, Display, NeededStatus, SettingReading, Switching, Whose},
};

/// The most settings of which the text has a row: what a reader may be asked to look through.
const MOST_ROWS: usize = 64;

/// A section with a blank line before it; empty where there is no switch plan.
pub(super) fn text(surveyed: &Surveyed, ink: Ink) -> String {
    let Some(switching) = surveyed.switching() else { return String::new() };
    let mut out = format!("\n{}\n", ink.heavy("Switches: what each setting announces"));
    for (index, reading) in switching.settings.iter().enumerate().take(MOST_ROWS) {
        out.push_str(&row(surveyed, index + 1, reading, ink));
    }
    if let Some(rest @ 1..) = switching.settings.len().checked_sub(MOST_ROWS) {
        out.push_str(&wrap::hanging("", &format!("... and {rest} more, which the JSON holds."), COLUMNS));
    }
    for needed in &switching.needed {
        out.push_str(&need(surveyed, needed, &switching));
    }
    out
}

fn row(surveyed: &Surveyed, number: usize, reading: &SettingReading, ink: Ink) -> String {
    let mut out = wrap::hanging(&format!("{number:>2}. "), &reading.words, COLUMNS);
    let colours = lamps(surveyed, reading).flat_map(|lamp| lamp.optics.beams.iter().map(|beam| beam.colour)).collect();
    let lead = format!("    {:<11}", "shows");
    let shows = wrap::hanging(&lead, &format!("{} {}", letters(colours), lit(surveyed, reading)), COLUMNS);
    out.push_str(&shows.replacen(&letters(colours), &ink.letters(colours, 0), 1));
    for (name, value) in [("announces", announces(reading)), ("lawful", lawful(reading))] {
        out.push_str(&wrap::hanging(&format!("    {name:<11}"), &value, COLUMNS));
    }
    out
}

pub(super) fn letters(colours: Colours) -> String {
    if colours.is_empty() { "-".into() } else { colours.letters() }
}

pub(super) fn lamps<'a>(
    surveyed: &'a Surveyed,
    reading: &'a SettingReading,
) -> impl Iterator<Item = &'a crate::boat::Lamp> {
    reading.setting.lamps.iter().filter_map(|index| surveyed.fit.lamps.get(*index))
}

/// "masthead light, sidelights and sternlight": each role once, with its number where there are several.
pub(super) fn lit(surveyed: &Surveyed, reading: &SettingReading) -> String {
    let mut roles: Vec<Role> = lamps(surveyed, reading).map(|lamp| lamp.role).collect();
    let pair = [Role::StarboardSidelight, Role::PortSidelight].map(|side| roles.iter().position(|role| *role == side));
    let mut words = Vec::new();
    if let [Some(starboard), Some(port)] = pair {
        roles.remove(starboard.max(port));
        roles.remove(starboard.min(port));
        words.push("sidelights".to_string());
    }
    for role in Role::ALL {
        match roles.iter().filter(|one| *one == role).count() {
            0 => {}
            1 => words.push(role.in_words().into()),
            many => words.push(format!("{} ({many} of them)", role.in_words())),
        }
    }
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    if words.is_empty() { "nothing".into() } else { listed(&words) }
}

pub(super) fn announces(reading: &SettingReading) -> String {
    if reading.dark() {
        return "nothing: dark".into();
    }
    let of = |standing: Whose| -> Vec<String> {
        let mut told: Vec<String> = Vec::new();
        for Announced { display, .. } in reading.announced.iter().filter(|one| one.standing == standing) {
            let words = in_words(display);
            if !told.contains(&words) {
                told.push(words);
            }
        }
        told
    };
    let (hers, otherwise, others) = (of(Whose::Hers), of(Whose::Otherwise), of(Whose::Others));
    let mut parts = Vec::new();
    parts.extend((!hers.is_empty()).then(|| hers.join(", or ")));
    parts.extend((!otherwise.is_empty()).then(|| format!("in other statuses: {}", otherwise.join(", "))));
    parts.extend((!others.is_empty()).then(|| format!("on other vessels: {}", others.join(", "))));
    if parts.is_empty() { "no display of the rules".into() } else { parts.join("; ") }
}

/// "at anchor (Rule 30(b))".
fn in_words(display: &Display) -> String {
    format!("{} ({})", display.status.in_words(), display.clause)
}

pub(super) fn lawful(reading: &SettingReading) -> String {
    if reading.dark() {
        return "only where she needs no light".into();
    }
    let mut statuses: Vec<&str> = Vec::new();
    for one in reading.announced.iter().filter(|one| one.standing == Whose::Otherwise) {
        let words = one.display.status.in_words();
        if !statuses.contains(&words) {
            statuses.push(words);
        }
    }
    let only = format!("only {}", statuses.join(", or "));
    match &reading.amiss {
        None if reading.announced.iter().any(|one| one.standing == Whose::Hers) => "yes".into(),
        None => only,
        Some(amiss) if reading.lawful() => format!("{only}: {} ({})", amiss.what, amiss.clause),
        Some(amiss) => format!("no: {} {} ({})", amiss.what, amiss.nearest, amiss.clause),
    }
}

fn need(surveyed: &Surveyed, needed: &NeededStatus, switching: &Switching) -> String {
    let status = needed.status.by_means(&surveyed.scene.vessel).in_words();
    let given = match given(needed, switching) {
        Some((reading, display)) => match &display.ready {
            Some(ready) => format!("{}, with {ready} ready to hand ({})", reading.words, display.clause),
            None => format!("{} ({})", reading.words, display.clause),
        },
        None if needed.displays.is_empty() => "the rules hold no display for her".into(),
        None => "none of the settings".into(),
    };
    wrap::hanging(&format!("{status}: "), &given, COLUMNS)
}

pub(super) fn given<'a, 'b>(
    needed: &NeededStatus<'a>,
    switching: &'b Switching<'a>,
) -> Option<(&'b SettingReading<'a>, &'a Display)> {
    let (index, display) = needed.setting()?;
    Some((switching.settings.get(index)?, display))
}

/// A switch plan as it reads.
#[derive(Serialize)]
pub(super) struct Switches {
    /// Every setting of all switches, all off first.
    settings: Vec<OneSetting>,
    /// Every status that the vessel needs lights for.
    needed: Vec<OneNeed>,
}

/// One setting of all switches.
#[derive(Serialize)]
struct OneSetting {
    /// The setting in words.
    setting: String,
    /// For each switch, its name and position.
    positions: Vec<OnePosition>,
    /// Names of the lamps lit.
    lamps: Vec<String>,
    /// Every display that is just this; empty for none.
    announces: Vec<OneDisplay>,
    /// Whether some display of `announces` is lawful for this vessel.
    lawful: bool,
    /// What is false about it, or null.
    amiss: Option<OneAmiss>,
}

/// Where a switch stands.
#[derive(Serialize)]
struct OnePosition {
    /// Name of the switch.
    switch: String,
    /// Name of its position; null for off.
    position: Option<String>,
}

/// A display that a setting is.
#[derive(Serialize)]
struct OneDisplay {
    /// What a vessel that shows it is doing, by her means: `under-sail`, never `under-way`.
    status: &'static str,
    /// What it consists of.
    name: String,
    /// The rule that describes it.
    clause: String,
    /// Whose it is: `hers` (in a status she names, or under way by her means), `otherwise` (lawful for her in another
    /// status) or `others` (other vessels only).
    standing: &'static str,
}

/// Something false.
#[derive(Serialize)]
struct OneAmiss {
    /// What is false.
    what: String,
    /// What would make it the nearest display of hers.
    nearest: String,
    /// The clauses it offends.
    clause: String,
}

/// A status that the vessel needs lights for.
#[derive(Serialize)]
struct OneNeed {
    /// The status, as `--status` takes it.
    status: &'static str,
    /// The setting that gives it, counted in `settings` from 0; null when none does.
    setting: Option<usize>,
    /// Every setting that gives it.
    settings: Vec<usize>,
    /// The display that `setting` gives, and its clause; null when none does.
    display: Option<String>,
    /// See `display`.
    clause: Option<String>,
}

pub(super) fn json(surveyed: &Surveyed) -> Option<Switches> {
    let switching = surveyed.switching()?;
    Some(Switches {
        settings: switching.settings.iter().map(|reading| one_setting(surveyed, reading)).collect(),
        needed: switching.needed.iter().map(|needed| one_need(needed)).collect(),
    })
}

fn one_setting(surveyed: &Surveyed, reading: &SettingReading) -> OneSetting {
    let positions = surveyed.fit.switches.iter().zip(&reading.setting.positions);
    OneSetting {
        setting: reading.words.clone(),
        positions: positions
            .map(|(switch, position)| OnePosition {
                switch: switch.name.clone(),
                position: position.and_then(|index| Some(switch.positions.get(index)?.name.clone())),
            })
            .collect(),
        lamps: lamps(surveyed, reading).map(|lamp| lamp.name.clone()).collect(),
        announces: reading
            .announced
            .iter()
            .map(|Announced { display, standing }| OneDisplay {
                status: Status::key(display.status),
                name: display.name.clone(),
                clause: display.clause.clone(),
                standing: match standing {
                    Whose::Hers => "hers",
                    Whose::Otherwise => "otherwise",
                    Whose::Others => "others",
                },
            })
            .collect(),
        lawful: reading.lawful(),
        amiss: reading.amiss.as_ref().map(|amiss| OneAmiss {
            what: amiss.what.clone(),
            nearest: amiss.nearest.clone(),
            clause: amiss.clause.clone(),
        }),
    }
}

fn one_need(needed: &NeededStatus) -> OneNeed {
    let given = needed.setting();
    OneNeed {
        status: needed.status.key(),
        setting: given.map(|(index, _)| index),
        settings: needed.given.iter().map(|(index, _)| *index).collect(),
        display: given.map(|(_, display)| display.name.clone()),
        clause: given.map(|(_, display)| display.clause.clone()),
    }
}
