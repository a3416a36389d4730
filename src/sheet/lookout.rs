//! What her own lights do to her lookout, for the text and for JSON.
//!
//! Takes a fit with its survey; asks the survey for the figures and must never work any out.

use serde::Serialize;

use super::{Surveyed, json::rounded, wrap};
use crate::{
    boat::{Place, Posture},
    measure::{Lux, trimmed},
    survey::{Glow, LightId, Lookout, LookoutLight, lookout},
};

/// A paragraph after an empty line; nothing at all when there is nobody aboard.
pub(super) fn text(surveyed: &Surveyed, columns: usize) -> String {
    let Some(found) = lookout(surveyed.scene, surveyed.survey) else { return String::new() };
    let helm = &surveyed.scene.parts[found.helm].name;
    let posture = |posture: Posture| format!(" when {}", posture.in_words());
    let place = |place: Place| format!(" at {} m forward of the transom", trimmed(place.forward, 2));
    let words = format!(
        "at the eyes of the helm ({helm}) {}; on the deck seen ahead {}. Cabin tops and other parts in view are not \
         counted.",
        told(surveyed, &found.eyes, posture),
        told(surveyed, &found.deck, place)
    );
    format!("\n{}", wrap::hanging("Lookout: ", &words, columns))
}

/// "0.03 lux when standing, most of it from the sternlight".
fn told<T: Copy>(surveyed: &Surveyed, glow: &Glow<T>, at: impl Fn(T) -> String) -> String {
    let Some((where_most, most)) = glow.at.zip(glow.most) else { return "no light".into() };
    let lamp = &surveyed.fit.lamps[most.lamp].name;
    format!("{} lux in all{}, most of it from {lamp}", lux_words(glow.lux), at(where_most))
}

fn lux_words(lux: Lux) -> String {
    if lux.0 < 0.01 { "under 0.01".into() } else { trimmed(lux.0, 2) }
}

/// What her own lights do to her lookout.
#[derive(Serialize)]
pub(super) struct OneLookout<'a> {
    /// Name of the person at the helm.
    helm: &'a str,
    /// At his eyes, in the posture where it is most: all lights together, each on a plane that faces it.
    eye_lux: f64,
    /// That posture, `seated` or `standing`; null when no light comes.
    eye_posture: Option<&'static str>,
    /// Name of the lamp that gives the most of it, or null.
    eye_most_from: Option<&'a str>,
    /// On the deck ahead that he sees, where it is most: all lights together.
    deck_lux: f64,
    /// That place; null when no light comes.
    deck_place: Option<OnePlace>,
    /// Name of the lamp that gives the most of it there, or null.
    deck_most_from: Option<&'a str>,
    /// Each light by itself, in the order of `lights` of the survey.
    lights: Vec<OneGlow<'a>>,
}

/// One light by itself.
#[derive(Serialize)]
struct OneGlow<'a> {
    lamp: &'a str,
    colour: &'static str,
    eye_lux: f64,
    eye_posture: Option<&'static str>,
    deck_lux: f64,
    deck_place: Option<OnePlace>,
}

/// A place on deck.
#[derive(Serialize)]
struct OnePlace {
    /// Forward of the transom.
    forward_m: f64,
    /// To starboard of the centreline; to port negative.
    starboard_m: f64,
}

pub(super) fn one_lookout<'a>(surveyed: &Surveyed<'a>) -> Option<OneLookout<'a>> {
    let Surveyed { scene, fit, survey, .. } = *surveyed;
    let Lookout { helm, eyes, deck, lights } = lookout(scene, survey)?;
    let name = |light: LightId| fit.lamps[light.lamp].name.as_str();
    let one = |one: &LookoutLight| OneGlow {
        lamp: name(one.light),
        colour: survey.rest().colour(one.light).name(),
        eye_lux: lux(one.eyes.lux),
        eye_posture: one.eyes.at.map(Posture::in_words),
        deck_lux: lux(one.deck.lux),
        deck_place: one.deck.at.map(one_place),
    };
    Some(OneLookout {
        helm: &scene.parts[helm].name,
        eye_lux: lux(eyes.lux),
        eye_posture: eyes.at.map(Posture::in_words),
        eye_most_from: eyes.most.map(name),
        deck_lux: lux(deck.lux),
        deck_place: deck.at.map(one_place),
        deck_most_from: deck.most.map(name),
        lights: lights.iter().map(one).collect(),
    })
}

fn one_place(place: Place) -> OnePlace {
    OnePlace { forward_m: rounded(place.forward, 3), starboard_m: rounded(place.starboard, 3) }
}

fn lux(lux: Lux) -> f64 {
    rounded(lux.0, 4)
}
