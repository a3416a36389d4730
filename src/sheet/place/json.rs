//! Proposed places as one JSON object, for other programs. Its first key is `"schema": 1`; it only ever grows.

use serde::Serialize;

use super::{CAUTIONS, Sheet, band_words, help_words, spot_words};
use crate::{
    boat::{Mount, Scene, Status},
    fitting::place::{Ground, Help, Placed, Proposal},
    rules::Finding,
    sheet::json::layout,
};

/// All proposals as JSON.
pub fn json(sheet: &Sheet) -> String {
    let found = sheet.found;
    layout::to_string(&Whole {
        schema: 1,
        boat: &sheet.scene.name,
        fit: &sheet.fit.name,
        looked_at: found.looked_at,
        statuses: found.statuses.iter().map(|status| status.key()).collect(),
        panel: OnePanel {
            forward_m: sheet.panel.at.x,
            starboard_m: -sheet.panel.at.y,
            height_m: sheet.panel.at.z,
            words: &sheet.panel.words,
        },
        left: &sheet.left,
        passes: found.passes(),
        proposals: found.proposals.iter().map(|one| proposal(sheet.scene, one)).collect(),
        help: found.help.iter().map(|one| help(sheet, one)).collect(),
        cautions: CAUTIONS,
    })
}

/// The whole object.
#[derive(Serialize)]
struct Whole<'a> {
    /// Version of this layout: 1. Keys are only ever added.
    schema: u32,
    boat: &'a str,
    fit: &'a str,
    /// How many places were looked at.
    looked_at: usize,
    statuses: Vec<&'static str>,
    panel: OnePanel<'a>,
    /// Lamps that stay where they are.
    left: &'a [&'a str],
    passes: bool,
    proposals: Vec<OneProposal<'a>>,
    help: Vec<OneHelp>,
    cautions: &'static str,
}

#[derive(Serialize)]
struct OnePanel<'a> {
    forward_m: f64,
    starboard_m: f64,
    height_m: f64,
    words: &'a str,
}

#[derive(Serialize)]
struct OneProposal<'a> {
    /// From 0, nothing to spare, up to 4, wide.
    band: usize,
    band_words: &'static str,
    passes: bool,
    lamps: Vec<OneLamp<'a>>,
    nearest_figure: Option<Nearest<'a>>,
    faults: Vec<OneFinding<'a>>,
    cautions: Vec<OneFinding<'a>>,
    elsewhere: Vec<OneFinding<'a>>,
}

#[derive(Serialize)]
struct OneLamp<'a> {
    lamp: &'a str,
    words: String,
    /// `pole`, `bar`, `side`, `roof`, `edge`, `deck` or `cowling`.
    on: &'static str,
    part: Option<&'a str>,
    /// `bracket`, `pole` or `outboard`.
    mount: &'static str,
    /// Of the middle of the lens, height above the water.
    forward_m: f64,
    starboard_m: f64,
    height_m: f64,
    bracket_m: f64,
    clear_degrees: Option<f64>,
    inboard_m: f64,
    cable_m: f64,
}

#[derive(Serialize)]
struct Nearest<'a> {
    lamp: &'a str,
    against: Option<&'a str>,
    clause: &'a str,
    metres: f64,
}

#[derive(Serialize)]
struct OneFinding<'a> {
    status: &'static str,
    #[serde(flatten)]
    finding: &'a Finding,
}

#[derive(Serialize)]
struct OneHelp {
    /// `move`, `lamp`, `display` or `not-by-place`.
    kind: &'static str,
    words: String,
    part: Option<String>,
    way: Option<&'static str>,
    metres: Option<f64>,
}

fn proposal<'a>(scene: &'a Scene, one: &'a Proposal) -> OneProposal<'a> {
    OneProposal {
        band: one.band,
        band_words: band_words(one.band),
        passes: one.passes(),
        lamps: one.placed.iter().map(|placed| lamp(scene, one, placed)).collect(),
        nearest_figure: one.tightest.as_ref().map(|tight| Nearest {
            lamp: &tight.lamp,
            against: tight.against.as_deref(),
            clause: &tight.clause,
            metres: rounded(tight.metres),
        }),
        faults: findings(&one.faults),
        cautions: findings(&one.cautions),
        elsewhere: findings(&one.elsewhere),
    }
}

fn findings(list: &[(Status, Finding)]) -> Vec<OneFinding<'_>> {
    list.iter().map(|(status, finding)| OneFinding { status: status.key(), finding }).collect()
}

fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

fn lamp<'a>(scene: &'a Scene, one: &'a Proposal, placed: &'a Placed) -> OneLamp<'a> {
    let spot = &placed.spot;
    OneLamp {
        lamp: &one.fit.lamps[placed.lamp].name,
        words: spot_words(scene, placed),
        on: match spot.ground {
            Ground::Top(_) => "pole",
            Ground::Bar(_) => "bar",
            Ground::Side(_) => "side",
            Ground::Roof(_) => "roof",
            Ground::Edge => "edge",
            Ground::Deck => "deck",
            Ground::Cowling(_) => "cowling",
        },
        part: spot.ground.part().and_then(|part| scene.parts.get(part)).map(|part| part.name.as_str()),
        mount: match spot.mount {
            Mount::Pole(_) => "pole",
            Mount::Outboard(_) => "outboard",
            _ => "bracket",
        },
        forward_m: rounded(spot.centre.x),
        starboard_m: rounded(-spot.centre.y),
        height_m: rounded(spot.centre.z),
        bracket_m: spot.bracket,
        clear_degrees: placed.clear,
        inboard_m: rounded(placed.inboard),
        cable_m: rounded(placed.cable),
    }
}

fn help(sheet: &Sheet, one: &Help) -> OneHelp {
    let words = help_words(sheet.scene, sheet.fit, one);
    let plain = |kind| OneHelp { kind, words: words.clone(), part: None, way: None, metres: None };
    match one {
        Help::Move { part, way, metres, .. } => OneHelp {
            part: sheet.scene.parts.get(*part).map(|part| part.name.clone()),
            way: Some(way),
            metres: Some(*metres),
            ..plain("move")
        },
        Help::Lamp { .. } => plain("lamp"),
        Help::Display { .. } => plain("display"),
        Help::NotByPlace(_) => plain("not-by-place"),
    }
}
