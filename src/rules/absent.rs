//! Lights of the display that no lit lamp is there to be.

use super::{
    Finding, Kind, LightKind, SectorRow, Severity,
    cast::{Need, Seat},
    judge::{Stage, exemption},
};
use crate::{boat::Lamp, measure::trimmed};

/// One finding for each light that must show, or should where practicable, and does not.
pub(super) fn findings(stage: &Stage) -> Vec<Finding> {
    let lit = |index: usize| stage.cast.seats.iter().any(|seat| seat.lamps.iter().any(|lamp| lamp.index == index));
    let mut dark: Vec<usize> = (0..stage.fit.lamps.len()).filter(|index| !lit(*index)).collect();
    let vacant = stage.cast.seats.iter().filter(|seat| seat.lamps.is_empty());
    let vacant = vacant.filter(|seat| seat.need != Need::May || one_of_a_pair(stage, seat));
    let mut told: Vec<LightKind> = Vec::new();
    vacant
        .filter_map(|seat| {
            let row = stage.rules.sector(seat.kind)?;
            // A dark lamp could be one of the lights that are missing, not all of them.
            let could = dark.iter().position(|index| stage.display.serves(seat.kind, stage.fit.lamps[*index].role));
            let unlit = could.map(|at| &stage.fit.lamps[dark.remove(at)]);
            let before = stage.cast.serving(seat.kind).count() + told.iter().filter(|kind| **kind == seat.kind).count();
            told.push(seat.kind);
            Some(missing(stage, seat, row, unlit, before))
        })
        .collect()
}

/// Whether a sidelight that may be left out lacks beside one that is lit.
fn one_of_a_pair(stage: &Stage, seat: &Seat) -> bool {
    let other = |one: &&Seat| one.kind.is_sidelight() && one.kind != seat.kind && !one.lamps.is_empty();
    seat.kind.is_sidelight() && seat.need != Need::Must && stage.cast.seats.iter().any(|one| other(&one))
}

/// `before` lights of the kind show, or have been told to be missing, already.
fn missing(stage: &Stage, seat: &Seat, row: &SectorRow, unlit: Option<&Lamp>, before: usize) -> Finding {
    let (display, kind, status) = (stage.display, seat.kind, stage.status());
    let words = status.told_of(&stage.scene.vessel);
    // Where the pair is left open, it is left open as a pair.
    let alone = one_of_a_pair(stage, seat);
    let practicable = seat.need == Need::IfPracticable && !alone;
    let exempt = exemption(display, stage.scene);
    let wanted = format!("{}{}", ["", "second "].get(before).unwrap_or(&"third "), kind.in_words());
    let asked = match (practicable, alone) {
        (true, _) => "she must show one if practicable",
        (false, true) => "where she shows the other she must show this one",
        (false, false) => "she must show one",
    };
    Finding {
        severity: if practicable || exempt.is_some() { Severity::Caution } else { Severity::Fault },
        lamp: unlit.map(|lamp| lamp.name.clone()),
        arc: Some(row.arc()),
        what: match unlit {
            Some(lamp) => format!("{} is fitted but not lit {words}, where it must show.", lamp.name),
            None => format!("No {wanted} is fitted; {words} {asked}."),
        },
        how_bad: match (exempt, stage.cast.serving(kind).count()) {
            (Some(exempt), _) => format!("Not required {} ({}).", exempt.place, exempt.clause),
            (None, 0) => format!("Nothing {} shows {}.", row.colour, row.arc().in_words()),
            (None, shown) => {
                let due = display.count(kind).max(shown + 1);
                format!("{} shows where {} must.", trimmed(shown as f64, 0), trimmed(due as f64, 0))
            }
        },
        mend: match unlit {
            Some(_) => format!(
                "Wire it so that it is lit {words}. If it is, add `{}` to its `lit` in the scene.",
                status.name()
            ),
            None => {
                let article = kind.article();
                format!("Fit {article} {}: the display is {} ({}).", kind.in_words(), display.name, display.clause)
            }
        },
        ..Finding::new(
            Kind::LightMissing,
            &if alone { format!("{}, {}", display.clause, row.clause) } else { display.clause.clone() },
        )
    }
}
