//! Lamps lit besides those that make the display: no part of it, of a colour their role has not, or one too many.

use super::{
    Finding, Kind, LightKind, Rules, Severity,
    cast::Lit,
    judge::{Asked, Stage},
};
use crate::{boat::Role, light::Colours};

pub(super) const CLAUSE: &str = "Rule 20(b)";
/// The clause that says when a three-colour lantern is lawful goes with it.
pub(super) const LANTERN_CLAUSE: &str = "Rule 20(b), Rule 25(b)";

pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    asked.note(CLAUSE);
    let (too_many, foreign): (Vec<Lit>, Vec<Lit>) = stage.cast.spare.iter().partition(|one| belongs(stage, one));
    let mut findings: Vec<Finding> = foreign.iter().map(|one| no_part(stage, one)).collect();
    findings.extend(too_many.iter().map(|one| one_too_many(stage, one)));
    let seated = stage.cast.seats.iter().flat_map(|seat| &seat.lamps);
    let mut shown: Vec<&Lit> = seated.chain(&too_many).collect();
    shown.sort_by_key(|one| one.index);
    shown.dedup_by_key(|one| one.index);
    findings.extend(shown.into_iter().filter_map(|one| wrong_colour(one, stage.rules)));
    findings
}

/// Whether the display has a light that the lamp could be.
fn belongs(stage: &Stage, one: &Lit) -> bool {
    stage.cast.seats.iter().any(|seat| stage.display.serves(seat.kind, one.lamp.role))
}

fn no_part(stage: &Stage, one: &Lit) -> Finding {
    let lamp = one.lamp;
    let display = stage.display;
    let clause = if lamp.role == Role::ThreeColourLantern { LANTERN_CLAUSE } else { CLAUSE };
    Finding {
        lamp: Some(lamp.name.clone()),
        what: format!("{} ({}) is lit and is no part of the display.", lamp.name, lamp.role.in_words()),
        how_bad: format!("The display is {} ({}).", display.name, display.clause),
        mend: "Take it off this switch, or choose the display it belongs to.".into(),
        ..Finding::new(Kind::LightNotAllowed, clause)
    }
}

/// Every beam of a lamp must be of a colour that its role has.
fn wrong_colour(one: &Lit, rules: &Rules) -> Option<Finding> {
    let lamp = one.lamp;
    let rows: Vec<_> = rules.sectors.iter().filter(|row| row.light.served_by(lamp.role)).collect();
    let due: Colours = rows.iter().map(|row| row.colour).collect();
    let shown: Colours = lamp.optics.beams.iter().map(|beam| beam.colour).collect();
    (due != shown).then(|| Finding {
        lamp: Some(lamp.name.clone()),
        arc: rows.first().map(|row| row.arc()),
        what: format!(
            "{} shows {} where {} show{} {}.",
            lamp.name,
            shown.in_words(),
            lamp.role.with_article(),
            if lamp.role == Role::CombinedSidelights { "" } else { "s" },
            due.in_words()
        ),
        how_bad: "An observer takes her for a vessel on another heading, or of another kind.".into(),
        mend: format!("Fit a {} lamp in its place; check that port and starboard are not swapped.", due.in_words()),
        ..Finding::new(Kind::WrongColour, rows.first().map_or("", |row| &row.clause))
    })
}

/// Two lights of one kind may be taken for another display.
fn one_too_many(stage: &Stage, second: &Lit) -> Finding {
    // What the lamp would be is shown by another already.
    let same = |role: Role| LightKind::ALL.iter().any(|kind| kind.served_by(role) && kind.served_by(second.lamp.role));
    let first = stage.cast.seats.iter().flat_map(|seat| &seat.lamps).find(|one| same(one.lamp.role));
    let others = first.map_or("The lights of the display", |one| one.lamp.name.as_str());
    Finding {
        lamp: Some(second.lamp.name.clone()),
        what: format!(
            "{others} and {} are both lit, where no further {} is asked for.",
            second.lamp.name,
            kind_words(second.lamp.role)
        ),
        how_bad: "Two lights may be taken for another display, or for two vessels.".into(),
        mend: format!("Take {} off this switch.", second.lamp.name),
        ..Finding::of(Severity::Caution, Kind::LightNotAllowed, CLAUSE)
    }
}

fn kind_words(role: Role) -> &'static str {
    match role {
        Role::CombinedSidelights => "lantern of combined sidelights",
        Role::ThreeColourLantern => role.in_words(),
        _ => LightKind::ALL.iter().find(|kind| kind.served_by(role)).map_or("light", |kind| kind.in_words()),
    }
}
