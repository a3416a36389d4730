//! Lamps lit besides those that make the display: no part of it, of a colour their role has not, or one too many.

use super::{Display, Finding, Kind, LightKind, Rules, Severity, judge::Lit};
use crate::{
    boat::{Lamp, Role},
    light::Colours,
};

/// Whether a display has a light that lamps of a role serve.
pub(super) fn belongs(display: &Display, role: Role) -> bool {
    display.lights.iter().chain(&display.may).chain(&display.if_practicable).any(|kind| kind.served_by(role))
}

pub(super) fn findings(lit: &[Lit], display: &Display, rules: &Rules) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, (lamp, posed)) in lit.iter().enumerate() {
        if !belongs(display, lamp.role) {
            findings.push(no_part(display, lamp));
            continue;
        }
        findings.extend(wrong_colour(lamp, rules));
        let earlier = lit[..index].iter().find(|(other, _)| other.role == lamp.role);
        findings.extend(earlier.and_then(|earlier| one_too_many(*earlier, (lamp, posed))));
    }
    findings
}

fn no_part(display: &Display, lamp: &Lamp) -> Finding {
    Finding {
        kind: Kind::LightNotAllowed,
        severity: Severity::Fault,
        clause: "Rule 20(b)".into(),
        lamp: Some(lamp.name.clone()),
        arc: None,
        by: None,
        what: format!("{} ({}) is lit and is no part of the display.", lamp.name, lamp.role.in_words()),
        how_bad: format!("The display is {} ({}).", display.name, display.clause),
        mend: "Take it off this switch, or choose the display it belongs to.".into(),
    }
}

/// Every beam of a lamp must be of a colour that its role has.
fn wrong_colour(lamp: &Lamp, rules: &Rules) -> Option<Finding> {
    let rows: Vec<_> = rules.sectors.iter().filter(|row| row.light.served_by(lamp.role)).collect();
    let due: Colours = rows.iter().map(|row| row.colour).collect();
    let shown: Colours = lamp.optics.beams.iter().map(|beam| beam.colour).collect();
    (due != shown).then(|| Finding {
        kind: Kind::WrongColour,
        severity: Severity::Fault,
        clause: rows.first().map_or_else(String::new, |row| row.clause.clone()),
        lamp: Some(lamp.name.clone()),
        arc: rows.first().map(|row| row.arc()),
        by: None,
        what: format!(
            "{} shows {} where a {} shows {}.",
            lamp.name,
            shown.in_words(),
            lamp.role.in_words(),
            due.in_words()
        ),
        how_bad: "An observer takes her for a vessel on another heading, or of another kind.".into(),
        mend: format!("Fit a {} lamp in its place; check that port and starboard are not swapped.", due.in_words()),
    })
}

/// Two lights of one kind may be taken for another display. A second masthead light abaft and above the first is one
/// (Rule 23(a)(ii)), and two all-round lights close together may serve as one (Annex I 9(b)(ii)).
fn one_too_many((first, at): Lit, (second, other): Lit) -> Option<Finding> {
    let apart = at.centre - other.centre;
    let allowed = match first.role {
        Role::Masthead => apart.x.signum() == -apart.z.signum() && apart.z.abs() > 0.5,
        Role::AllRoundWhite => apart.truncate().length() < NEAR_TOGETHER && apart.z.abs() < 0.1,
        _ => false,
    };
    (!allowed).then(|| Finding {
        kind: Kind::LightNotAllowed,
        severity: Severity::Caution,
        clause: "Rule 20(b)".into(),
        lamp: Some(second.name.clone()),
        arc: None,
        by: None,
        what: format!(
            "{} and {} are both lit, where one {} is asked for.",
            first.name,
            second.name,
            kind_words(first.role)
        ),
        how_bad: "Two lights may be taken for another display, or for two vessels.".into(),
        mend: format!("Take {} off this switch.", second.name),
    })
}

/// Two all-round lights no further apart than this, metres, merge for an observer a mile off many times over: one
/// minute of arc at a mile is half a metre.
const NEAR_TOGETHER: f64 = 0.5;

fn kind_words(role: Role) -> &'static str {
    let served = LightKind::ALL.into_iter().find(|kind| kind.served_by(role) && role != Role::CombinedSidelights);
    served.map_or("lantern of combined sidelights", LightKind::in_words)
}
