//! Lights that an eye takes for one: a sidelight with a white light, or two of a vertical line, within the range that
//! they must reach. A sidelight that runs together with a white light loses its colour, and with it what it is for.
//!
//! Takes the lamps that are lit and the angle that an eye separates (`cutoff.pair_minutes`); gives each pair with the
//! bearing where it looks closest together. Rule 22 asks that each light be visible at its range and says nothing of
//! angles, so what merges is a caution. Where the annex gives a spacing for the pair and the lamps keep it, she is lawful
//! and nothing is held against her, though an eye may take the two for one (a metre is one minute of arc at 1.86 miles).

use super::{
    Asks, Finding, Kind, LightKind, Rules, Severity,
    judge::{Asked, Stage},
    limits,
};
use crate::{
    boat::{Fit, Role},
    light::Colour,
    measure::{Bearing, Degrees, NauticalMiles, trimmed},
    survey::{Apart, Stance, Survey, apart_for, told_apart},
};

/// A sidelight and a white light that must both show on some bearings.
#[derive(Clone, Debug)]
pub struct Merging {
    /// Index of the lamp that is the sidelight (see [`Fit::lamps`]).
    pub sidelight: usize,
    /// Index of the lamp that is the white light.
    pub white: usize,
    /// Where they look closest together among the bearings where both must show.
    pub closest: Apart,
    /// How far off they are told apart on that bearing.
    pub told_apart: NauticalMiles,
    /// The same on each of the thirty-two points; `None` where not both must show.
    pub by_point: Vec<Option<NauticalMiles>>,
}

/// Every sidelight with every white light that is lit, by the roles of the lamps, those told apart least far off first.
/// A sternlight has no bearing but the edge of its sector in common with a sidelight, so it makes no pair.
pub fn merging(fit: &Fit, survey: &Survey, rules: &Rules) -> Vec<Merging> {
    let lit = || (0..fit.lamps.len()).filter(|lamp| fit.lamps[*lamp].lit.contains(&survey.status));
    let kinds = |lamp: usize| LightKind::ALL.iter().filter(move |kind| kind.served_by(fit.lamps[lamp].role));
    let lights: Vec<(LightKind, usize)> = lit().flat_map(|lamp| kinds(lamp).map(move |kind| (*kind, lamp))).collect();
    pairs(survey.rest(), &lights, rules)
}

/// The same of lights whose kinds are known.
fn pairs(rest: &Stance, lights: &[(LightKind, usize)], rules: &Rules) -> Vec<Merging> {
    let is_white = |kind: LightKind| rules.sector(kind).is_some_and(|row| row.colour == Colour::White);
    let sidelights = lights.iter().filter(|(kind, _)| kind.is_sidelight());
    let with_white = sidelights.flat_map(|side| {
        lights.iter().filter(|white| is_white(white.0) && white.1 != side.1).map(move |white| (*side, *white))
    });
    let mut found: Vec<Merging> = with_white.filter_map(|(side, white)| pair(rest, side, white, rules)).collect();
    found.sort_by(|a, b| a.told_apart.0.total_cmp(&b.told_apart.0));
    found
}

fn pair(rest: &Stance, side: (LightKind, usize), white: (LightKind, usize), rules: &Rules) -> Option<Merging> {
    let arcs = [rules.sector(side.0)?.arc(), rules.sector(white.0)?.arc()];
    let closest = rest.least_apart(side.1, white.1, arcs)?;
    let angle = separated(rules);
    let at = |bearing: Bearing| {
        let both = arcs.iter().all(|arc| arc.contains(bearing));
        both.then(|| told_apart(rest.separation(side.1, white.1, bearing), angle))
    };
    Some(Merging {
        sidelight: side.1,
        white: white.1,
        closest,
        told_apart: told_apart(closest.separation, angle),
        by_point: Bearing::points().map(at).collect(),
    })
}

/// The angle that an eye separates.
fn separated(rules: &Rules) -> Degrees {
    Degrees(rules.cutoff.pair_minutes / 60.0)
}

/// One finding for each sidelight that merges, and for each pair of neighbours in a vertical line that does.
pub(super) fn findings(stage: &Stage, asked: &mut Asked) -> Vec<Finding> {
    let Some(clause) = stage.rules.range_row(stage.length()).map(|row| row.clause.as_str()) else { return Vec::new() };
    let seats = || stage.cast.seats.iter();
    let lights: Vec<(LightKind, usize)> =
        seats().flat_map(|seat| seat.lamps.iter().map(|lamp| (seat.kind, lamp.index))).collect();
    let mut told: Vec<usize> = Vec::new();
    let mut found = Vec::new();
    for one in pairs(stage.survey.rest(), &lights, stage.rules) {
        asked.note(clause);
        // Those merging nearest come first, so the first of a sidelight is the most telling.
        let new = !told.contains(&one.sidelight);
        if let Some(finding) = with_white(stage, &one, clause).filter(|_| new) {
            told.push(one.sidelight);
            found.push(finding);
        }
    }
    found.extend((0..stage.display.lines.len()).flat_map(|line| in_line(stage, line, clause)));
    found
}

fn with_white(stage: &Stage, one: &Merging, clause: &str) -> Option<Finding> {
    // The two sidelights have one range.
    let range = stage.rules.range(LightKind::StarboardSidelight, stage.length())?;
    if keeps_spacing(stage, one) || on_the_wrong_side(stage, one.sidelight) {
        return None;
    }
    merged(stage, [one.sidelight, one.white], one.closest, range).map(|finding| Finding {
        mend: format!("Raise {} or lower {}. {}", name(stage, one.white), name(stage, one.sidelight), finding.mend),
        clause: clause.into(),
        ..finding
    })
}

/// Whether the annex gives a height of the white light over the sidelight, and it is kept.
fn keeps_spacing(stage: &Stage, one: &Merging) -> bool {
    let asks = match stage.fit.lamps[one.sidelight].role {
        Role::CombinedSidelights => {
            [Asks::WhiteAboveSidelights, Asks::SidelightsBelowMasthead, Asks::MastheadAboveCombined].as_slice()
        }
        _ => &[Asks::WhiteAboveSidelights, Asks::SidelightsBelowMasthead],
    };
    let lamps = &stage.survey.rest().posed().lamps;
    let above = lamps[one.white].centre.z - lamps[one.sidelight].centre.z;
    asks.iter().filter_map(|asks| limits::least_asked(stage, *asks)).any(|least| above >= least - 1e-6)
}

/// Whether a sidelight stands on the other's side: that is told by itself, and where it merges once mended is not known.
fn on_the_wrong_side(stage: &Stage, sidelight: usize) -> bool {
    let to_port = stage.survey.rest().posed().lamps[sidelight].centre.y;
    match stage.fit.lamps[sidelight].role {
        Role::StarboardSidelight => to_port > 0.0,
        Role::PortSidelight => to_port < 0.0,
        _ => false,
    }
}

/// Where the rules give a spacing for lights in a line, that is what they are held to, and no more is said here.
fn in_line(stage: &Stage, line: usize, clause: &str) -> Vec<Finding> {
    if limits::least_asked(stage, Asks::LineGap).is_some() {
        return Vec::new();
    }
    let seats: Vec<_> = stage.cast.seats.iter().filter(|seat| seat.line == Some(line)).collect();
    let one_pair = |upper: &super::cast::Seat, lower: &super::cast::Seat| {
        let kinds = [upper.kind, lower.kind];
        let lamps = [upper.lamps.first()?.index, lower.lamps.first()?.index];
        let [Some(upper), Some(lower)] = kinds.map(|kind| stage.rules.range(kind, stage.length())) else { return None };
        let [Some(over), Some(under)] = kinds.map(|kind| stage.rules.sector(kind)) else { return None };
        let closest = stage.survey.rest().least_apart(lamps[0], lamps[1], [over.arc(), under.arc()])?;
        let range = NauticalMiles(upper.0.min(lower.0));
        merged(stage, lamps, closest, range).map(|finding| Finding { clause: clause.into(), ..finding })
    };
    seats.windows(2).filter_map(|pair| one_pair(pair[0], pair[1])).collect()
}

fn name<'a>(stage: &Stage<'a>, lamp: usize) -> &'a str {
    &stage.fit.lamps[lamp].name
}

/// What is to be said of two lamps that are not told apart at a range; the clause is still to come.
fn merged(stage: &Stage, lamps: [usize; 2], closest: Apart, range: NauticalMiles) -> Option<Finding> {
    let angle = separated(stage.rules);
    let far = told_apart(closest.separation, angle);
    if far.0 >= range.0 * (1.0 - 1e-9) {
        return None;
    }
    let [one, other] = lamps.map(|lamp| name(stage, lamp));
    let minutes = trimmed(stage.rules.cutoff.pair_minutes, 2);
    let due = trimmed(range.0, 2);
    let needed = trimmed((apart_for(range, angle).0 * 100.0).ceil() / 100.0, 2);
    Some(Finding {
        lamp: Some(one.into()),
        what: format!(
            "{one} and {other} run together to an eye farther off than {} nm {}, where both must show.",
            trimmed(far.0, 2),
            closest.bearing.in_words()
        ),
        how_bad: format!(
            "Seen from there they stand {} m apart; {needed} m keep {minutes} minute{} of arc, what an eye separates, at \
             the {due} nm that the light must reach. The angle is this program's own.",
            trimmed(closest.separation.0, 2),
            if minutes == "1" { "" } else { "s" },
        ),
        mend: format!("{needed} m between their heights part them from every side."),
        ..Finding::of(Severity::Caution, Kind::LightsMerge, "")
    })
}
