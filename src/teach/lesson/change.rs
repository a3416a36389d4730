//! Questions answered by changing one thing: the helm, the trim, a lamp's place.
//!
//! Takes what may be changed and a value; gives the situation so changed, and whether what was asked for is seen. Must never
//! change what it was given.

use std::sync::Arc as Shared;

use super::{
    choose::moved,
    question::{Goal, Verdict, spelled},
};
use crate::{
    boat::{PartKind, Scene},
    measure::{Degrees, trimmed},
    teach::Situation,
};

/// What may be changed.
#[derive(Clone, Debug, PartialEq)]
pub enum Control {
    /// The outboard, degrees clockwise seen from above.
    Steer,
    /// Degrees bow up.
    Trim,
    /// Degrees to starboard.
    Heel,
    /// A lamp by its name, metres forward of where it is.
    Forward(String),
    /// Metres to starboard.
    Starboard(String),
    /// Metres up.
    Up(String),
}

impl Control {
    /// "the outboard, in degrees".
    pub fn in_words(&self) -> String {
        match self {
            Self::Steer => "the outboard, in degrees clockwise seen from above".into(),
            Self::Trim => "her trim, in degrees bow up".into(),
            Self::Heel => "her heel, in degrees to starboard".into(),
            Self::Forward(lamp) => format!("the {lamp}, in metres forward"),
            Self::Starboard(lamp) => format!("the {lamp}, in metres to starboard"),
            Self::Up(lamp) => format!("the {lamp}, in metres up"),
        }
    }

    /// Where it stands in a situation: lamps at nought, since they move from where they are.
    pub fn now(&self, situation: &Situation) -> f64 {
        match self {
            Self::Steer => situation.pose.steering.unwrap_or(0.0),
            Self::Trim => situation.attitude.trim.0,
            Self::Heel => situation.attitude.heel.0,
            Self::Forward(_) | Self::Starboard(_) | Self::Up(_) => 0.0,
        }
    }

    /// The situation with this set to a value.
    pub fn set(&self, situation: &Situation, value: f64) -> Situation {
        let mut changed = situation.clone();
        match self {
            Self::Steer => changed.pose.steering = Some(value),
            Self::Trim => changed.attitude.trim = Degrees(value),
            Self::Heel => changed.attitude.heel = Degrees(value),
            Self::Forward(lamp) => shift(&mut changed, lamp, (value, 0.0, 0.0)),
            Self::Starboard(lamp) => shift(&mut changed, lamp, (0.0, value, 0.0)),
            Self::Up(lamp) => shift(&mut changed, lamp, (0.0, 0.0, value)),
        }
        changed
    }

    /// The lamp that it moves.
    pub(super) fn lamp(&self) -> Option<&str> {
        match self {
            Self::Forward(lamp) | Self::Starboard(lamp) | Self::Up(lamp) => Some(lamp),
            Self::Steer | Self::Trim | Self::Heel => None,
        }
    }
}

fn shift(situation: &mut Situation, lamp: &str, by: (f64, f64, f64)) {
    let fit = situation.fit;
    let scene = Shared::make_mut(&mut situation.scene);
    for one in scene.fits[fit].lamps.iter_mut().filter(|one| one.name == lamp) {
        one.at = one.at.map(|place| moved(place, by));
    }
}

fn met(control: &Control, until: Goal, value: f64, situation: &Situation) -> bool {
    let changed = control.set(situation, value);
    until.met(changed.station.bearing, changed.showing())
}

pub(super) fn verdict(
    control: &Control,
    (least, most): (f64, f64),
    until: Goal,
    value: f64,
    situation: &Situation,
) -> Verdict {
    if !(least..=most).contains(&value) {
        let why = format!("That is not between {} and {}.", trimmed(least, 2), trimmed(most, 2));
        return Verdict { right: false, why };
    }
    let showing = control.set(situation, value).showing();
    let from = trimmed(situation.station.bearing.degrees(), 1);
    let why = format!("With that, {} is made out from {from} degrees.", spelled(showing));
    Verdict { right: met(control, until, value, situation), why }
}

/// Into so many parts the range is divided to look for an answer.
const PARTS: u32 = 60;

/// A value that does it: the middle one of those tried that do; `None` where none does.
pub(super) fn solution(
    control: &Control,
    (least, most): (f64, f64),
    until: Goal,
    situation: &Situation,
) -> Option<f64> {
    let value = |part: u32| least + (most - least) * f64::from(part) / f64::from(PARTS);
    let doing: Vec<f64> = (0..=PARTS).map(value).filter(|value| met(control, until, *value, situation)).collect();
    doing.get(doing.len() / 2).copied()
}

/// How far her outboard turns, degrees anticlockwise (negative) and clockwise; `None` without one.
pub(super) fn steering(scene: &Scene) -> Option<(f64, f64)> {
    scene.parts.iter().find_map(|part| match &part.kind {
        PartKind::Outboard { steering, .. } => Some((steering.least, steering.most)),
        _ => None,
    })
}
