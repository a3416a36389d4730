//! Proposed places as text for a terminal and as JSON.
//!
//! Takes what was proposed; gives words. Must never rank, nor judge.

mod json;
mod text;

pub use json::json;
pub use text::text;

use crate::{
    boat::{Fit, Height, Mount, Place, Scene},
    fitting::place::{Ground, Help, Panel, Placed, Proposal, Proposals, figures::figures},
    measure::{listed, trimmed},
};

/// What is told.
pub struct Sheet<'a> {
    pub scene: &'a Scene,
    /// The fit that the search started from.
    pub fit: &'a Fit,
    pub panel: &'a Panel,
    pub found: &'a Proposals,
    /// Lamps that were left where they are, since nothing she does lights them.
    pub left: Vec<&'a str>,
}

/// The bands in words, from none to spare up.
const BANDS: [&str; 5] = ["nothing to spare", "narrow", "fair", "good", "wide"];

pub(crate) fn band_words(band: usize) -> &'static str {
    BANDS.get(band).copied().unwrap_or(BANDS[BANDS.len() - 1])
}

/// "4.6 m forward, 0.8 m to starboard, 0.12 m above the deck".
fn place_words(place: &Place) -> String {
    let metres = |value: f64| trimmed(value, 3);
    let along = if place.forward < 0.0 {
        format!("{} m abaft the transom", metres(-place.forward))
    } else {
        format!("{} m forward", metres(place.forward))
    };
    let side = if place.starboard > 0.0 { "starboard" } else { "port" };
    let athwart = match metres(place.starboard.abs()).as_str() {
        "0" => "on the centreline".into(),
        off => format!("{off} m to {side}"),
    };
    let (up, over) = match place.height {
        Height::AboveDeck(up) => (up, "the deck"),
        Height::AboveGunwale(up) => (up, "the gunwale"),
        Height::AboveWaterline(up) => (up, "the water"),
    };
    let level = if up < 0.0 { "below" } else { "above" };
    format!("{along}, {athwart}, {} m {level} {over}", metres(up.abs()))
}

/// Where a lamp goes: what holds it, and the place.
pub(crate) fn spot_words(scene: &Scene, placed: &Placed) -> String {
    let ground = placed.spot.ground.in_words(scene);
    let on = match placed.spot.ground {
        Ground::Side(_) | Ground::Bar(_) => "against",
        _ => "on",
    };
    match &placed.spot.at {
        Some(place) => format!("{on} {ground}: {}", place_words(place)),
        None => format!("{on} {ground}"),
    }
}

/// The bracket that it takes, in words.
pub(crate) fn bracket_words(placed: &Placed) -> String {
    let tall = trimmed(placed.spot.bracket, 2);
    match (&placed.spot.mount, placed.spot.ground) {
        (Mount::Pole(_), _) => "a socket on the pole, no bracket".into(),
        (_, Ground::Bar(_)) => format!("a clamp, {tall} m from the middle of the bar to that of the lens"),
        (_, Ground::Side(_)) => "flat against the side, no bracket".into(),
        (_, Ground::Cowling(_)) => format!("a pad on the cowling, {tall} m up"),
        _ => format!("a bracket {tall} m up to the middle of the lens"),
    }
}

/// Why the place is a good one, or how far it is from one.
fn reasons(placed: &Placed) -> String {
    let clear = match placed.clear {
        Some(degrees) if degrees <= 0.0 => "her solids touch the edge of what must be seen".into(),
        Some(degrees) => format!("her solids keep off by {} degrees or more however she lies", trimmed(degrees, 1)),
        None => "her solids take some of what must be seen, at rest or as she trims, heels, steers or her people move"
            .into(),
    };
    let inboard = trimmed(placed.inboard.abs(), 2);
    let shelter = if placed.inboard < 0.0 {
        format!("{inboard} m outboard")
    } else {
        format!("{inboard} m inboard of her outline")
    };
    format!("{clear}; {shelter}; {}; {} m of cable", bracket_words(placed), trimmed(placed.cable, 1))
}

/// The figure of a rule that is nearest to being missed.
fn tightest_words(proposal: &Proposal) -> Option<String> {
    let tight = proposal.tightest.as_ref()?;
    let against = tight.against.as_ref().map_or_else(String::new, |other| format!(" against {other}"));
    let metres = trimmed(tight.metres.abs(), 2);
    let left =
        if tight.metres < 0.0 { format!("missed by {metres} m") } else { format!("kept with {metres} m to spare") };
    Some(format!("{} of {}{against}: {left}", tight.clause, tight.lamp))
}

/// What helps, in one sentence or two.
pub(crate) fn help_words(scene: &Scene, fit: &Fit, help: &Help) -> String {
    match help {
        Help::Move { part, way, metres, with } => {
            let name = scene.parts.get(*part).map_or("", |part| part.name.as_str());
            let lamps: Vec<String> = with.placed.iter().map(|one| lamp_and_spot(scene, &with.fit, one)).collect();
            format!(
                "Move {name} {way} by {} m, with what stands on it. Then these pass: {}.",
                trimmed(*metres, 2),
                lamps.join("; ")
            )
        }
        Help::Lamp { lamp, optics, with } => {
            let name = fit.lamps.get(*lamp).map_or("", |lamp| lamp.name.as_str());
            let placed = with.placed.iter().find(|one| one.lamp == *lamp);
            let spot = placed.map_or_else(String::new, |one| format!(" {}", spot_words(scene, one)));
            format!("Fit \"{optics}\" as {name}. It passes then{spot}.")
        }
        Help::Display { status, name, clause, with } => {
            let lamps: Vec<String> = with.placed.iter().map(|one| lamp_and_spot(scene, &with.fit, one)).collect();
            format!(
                "Show another lawful display {}: {name} ({clause}). It passes so: {}.",
                status.told_of(&scene.vessel),
                lamps.join("; ")
            )
        }
        Help::NotByPlace(finding) => {
            format!("No place mends this: {} {} {}", finding.what, finding.how_bad, finding.mend)
        }
    }
}

fn lamp_and_spot(scene: &Scene, fit: &Fit, placed: &Placed) -> String {
    let lamp = &fit.lamps[placed.lamp];
    format!("{} (\"{}\") {}", lamp.name, lamp.optics.name, spot_words(scene, placed))
}

/// What was asked of what is told.
fn verdict(sheet: &Sheet) -> String {
    let passing = sheet.found.proposals.iter().filter(|one| one.passes()).count();
    let statuses: Vec<&str> = sheet.found.statuses.iter().map(|status| status.in_words()).collect();
    let judged = listed(&statuses);
    match (passing, sheet.found.proposals.len()) {
        (0, 0) => "No place was found.".into(),
        (0, _) => format!("Nothing passes ({judged}). The nearest to it, with what each lacks:"),
        (1, _) => format!("One passes, judged as any fit is: {judged}."),
        (count, _) => format!("{count} pass, the best first, judged as any fit is: {judged}."),
    }
}

/// What no search replaces.
pub const CAUTIONS: &str = "A proposal is only as good as the measurements of the scene. Before drilling, hold the lamp there \
    and walk round her at dusk; see that the place bears a lamp, that nothing is run through or drilled behind it, and that no rope, \
    hand or foot comes there. Local rules, the lamp maker's instructions and licensed practice come first. Isolate the \
    battery before working on wiring.";

fn limits_note() -> String {
    let joined = |limits: &[f64], unit: &str| {
        let words: Vec<String> = limits.iter().map(|limit| trimmed(*limit, 2)).collect();
        format!("{} {unit}", words.join(", "))
    };
    let all = figures();
    format!(
        "narrow, fair, good, wide: from {} between her solids and what must be seen, and from {} to the nearest figure of a rule; the \
         worse of the two counts (the program's own figures)",
        joined(&all.clear_bands, "degrees"),
        joined(&all.room_bands, "m")
    )
}
