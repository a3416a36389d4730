//! Questions answered by choosing: which of the offered ones are right, and why.
//!
//! Takes what is asked and the situation; gives the places of every right choice and a sentence. Must never know which is
//! meant to be right: a question with none or several is for `sound` to refuse.

use std::sync::Arc as Shared;

use super::question::{Asked, spelled};
use crate::{
    boat::{Fit, Lamp, Mount, Place, Scene},
    light::{Colour, Optics},
    measure::{counted, listed, trimmed},
    rules::{Encounter, Finding, KeepsClear, Kind, Meeting, Party, Severity, Side, international, judge, meeting},
    survey::{Settings, Survey},
    teach::Situation,
};

/// What is asked of two vessels that meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// What they are to each other.
    Encounter,
    /// Which of them gives way.
    GivesWay,
}

impl About {
    pub(super) fn choices(self) -> Vec<String> {
        let choices: &[&str] = match self {
            Self::Encounter => &["you are overtaking her", "she is overtaking you", "head-on", "crossing"],
            Self::GivesWay => &["you give way to her", "she gives way to you", "both turn to starboard"],
        };
        choices.iter().map(|choice| (*choice).into()).collect()
    }

    fn right(self, meeting: &Meeting) -> Option<usize> {
        match self {
            Self::Encounter => match meeting.encounter {
                Encounter::Overtaking(Side::You) => Some(0),
                Encounter::Overtaking(Side::She) => Some(1),
                Encounter::HeadOn => Some(2),
                Encounter::Crossing => Some(3),
                Encounter::Passing | Encounter::Parting | Encounter::AtRest => None,
            },
            Self::GivesWay => match meeting.keeps_clear {
                KeepsClear::One(Side::You) => Some(0),
                KeepsClear::One(Side::She) => Some(1),
                KeepsClear::Both => Some(2),
                KeepsClear::Neither | KeepsClear::Open => None,
            },
        }
    }
}

/// A change to one lamp that the simulation tries.
#[derive(Clone, Debug)]
pub struct Try {
    /// What is done, as the learner reads it.
    pub words: String,
    pub mount: Option<Mount>,
    /// Metres forward, to starboard and up.
    pub by: (f64, f64, f64),
    pub optics: Option<Shared<Optics>>,
}

impl Try {
    /// The scene with the lamp of a fit so changed. A mesh and whatever else is large is shared.
    pub(super) fn on(&self, scene: &Scene, fit: usize, lamp: &str) -> Scene {
        let mut scene = scene.clone();
        for one in scene.fits[fit].lamps.iter_mut().filter(|one| one.name == lamp) {
            self.change(one);
        }
        scene
    }

    fn change(&self, lamp: &mut Lamp) {
        if let Some(mount) = &self.mount {
            lamp.mount = mount.clone();
        }
        if let Some(optics) = &self.optics {
            lamp.optics = Shared::clone(optics);
        }
        if let Some(place) = &mut lamp.at {
            *place = moved(*place, self.by);
        }
    }
}

/// A place further forward, to starboard and up.
pub(super) fn moved(place: Place, (forward, starboard, up): (f64, f64, f64)) -> Place {
    use crate::boat::Height::{AboveDeck, AboveGunwale, AboveWaterline};
    let height = match place.height {
        AboveDeck(height) => AboveDeck(height + up),
        AboveGunwale(height) => AboveGunwale(height + up),
        AboveWaterline(height) => AboveWaterline(height + up),
    };
    Place { forward: place.forward + forward, starboard: place.starboard + starboard, height }
}

/// The right ones among what is offered, and why.
pub(super) fn right(asked: &Asked, situation: &Situation) -> (Vec<usize>, String) {
    match asked {
        Asked::Colours { offer } => {
            let showing = situation.showing();
            (places(offer, |one| *one == showing), seen(situation))
        }
        Asked::Meets { you, her_speed, about } => {
            let met = meets(you, *her_speed, situation);
            (about.right(&met).into_iter().collect(), format!("{} ({})", met.why, met.clause))
        }
        Asked::MoreShown { colour, fits } => more_shown(*colour, fits, situation),
        Asked::ShadowOf { lamp, offer } => shadow_of(lamp, offer, situation),
        Asked::Found { lamp, offer } => found(lamp, offer, situation),
        Asked::Cure { lamp, offer } => cure(lamp, offer, situation),
        Asked::Stand { .. } | Asked::Number { .. } | Asked::Change { .. } => (Vec::new(), String::new()),
    }
}

fn places<T>(offer: &[T], is: impl Fn(&T) -> bool) -> Vec<usize> {
    offer.iter().enumerate().filter(|(_, one)| is(one)).map(|(place, _)| place).collect()
}

/// "From 150 degrees he makes out white only: the sternlight."
pub(super) fn seen(situation: &Situation) -> String {
    let sightings = situation.sightings();
    let from = format!("From {} degrees", trimmed(situation.station.bearing.degrees(), 1));
    let lamps = &situation.fit().lamps;
    let mut names: Vec<String> = Vec::new();
    for one in sightings.iter().filter(|one| one.made_out) {
        let name = format!("the {}", lamps[one.light.lamp].name);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let showing = crate::survey::showing(&sightings);
    if names.is_empty() {
        return format!("{from} nothing is made out.");
    }
    let only = if showing.iter().count() == 1 { " only" } else { "" };
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    format!("{from} {}{only} is made out: {}.", spelled(showing), listed(&names))
}

pub(super) fn meets(you: &Party, her_speed: crate::measure::Knots, situation: &Situation) -> Meeting {
    meeting(you, &situation.party(her_speed), international())
}

/// Arcs that differ by less than this, in degrees together, are as wide as each other.
const AS_WIDE: f64 = 0.5;

fn more_shown(colour: Colour, fits: &[String], situation: &Situation) -> (Vec<usize>, String) {
    let width = |name: &String| {
        let fit = situation.scene.fits.iter().position(|fit| fit.name == *name)?;
        let other = Situation { fit, ..situation.clone() };
        Some(other.arcs(|_, showing| showing.contains(colour)).iter().map(|arc| arc.width).sum::<f64>())
    };
    let widths: Vec<f64> = fits.iter().map(|name| width(name).unwrap_or(0.0)).collect();
    let widest = widths.iter().copied().fold(0.0, f64::max);
    let told: Vec<String> = fits
        .iter()
        .zip(&widths)
        .map(|(name, width)| format!("{} in \"{name}\"", counted(*width, 1, "degree")))
        .collect();
    let told: Vec<&str> = told.iter().map(String::as_str).collect();
    (places(&widths, |width| *width > widest - AS_WIDE), format!("{colour} is made out over {}.", listed(&told)))
}

fn shadow_of(lamp: &str, offer: &[String], situation: &Situation) -> (Vec<usize>, String) {
    let Some(light) = situation.light(lamp) else { return (Vec::new(), format!("The {lamp} is not lit.")) };
    let Some(reach) = situation.sightings().into_iter().find(|one| one.light == light).map(|one| one.reach) else {
        return (Vec::new(), format!("The {lamp} is not lit."));
    };
    if reach.bare.0 <= 0.0 {
        return (Vec::new(), format!("The {lamp} sends no light that way, with or without anything before it."));
    }
    let Some(visible) = Some(reach.visible).filter(|visible| visible.fraction < 1.0) else {
        return (Vec::new(), format!("Nothing stands before the {lamp} from there."));
    };
    let by = visible.by.map_or_else(String::new, |owner| situation.scene.owner_name(situation.fit(), owner));
    let seen = trimmed(100.0 * visible.fraction, 0);
    let why = format!("Most of what hides the {lamp} from there is {by}: {seen} percent of its face is seen.");
    (places(offer, |one| *one == by), why)
}

/// Every finding on a fit at rest, as the scene has her.
fn findings(scene: &Scene, fit: &Fit, situation: &Situation) -> Vec<Finding> {
    let settings = Settings { step: 1.0, ..Settings::default() };
    let mut still = scene.clone();
    // What she meets under way would be surveyed for nothing: only findings at rest are asked of.
    (still.conditions.trim, still.conditions.heel, still.conditions.steering) = Default::default();
    let survey = Survey::of(&still, fit, situation.status, &settings);
    judge(&still, fit, &survey, international()).findings
}

/// Findings at rest that concern a lamp.
fn of_lamp(findings: Vec<Finding>, lamp: &str) -> Vec<Finding> {
    findings.into_iter().filter(|one| one.lamp.as_deref() == Some(lamp) && one.case.is_none()).collect()
}

fn found(lamp: &str, offer: &[Kind], situation: &Situation) -> (Vec<usize>, String) {
    let all = of_lamp(findings(&situation.scene, situation.fit(), situation), lamp);
    let right = places(offer, |kind| all.iter().any(|one| one.kind == *kind));
    let first = right.first().and_then(|place| all.iter().find(|one| one.kind == offer[*place]));
    let why = first.map_or_else(
        || format!("None of these is amiss with the {lamp}."),
        |one| format!("{} {} To mend it: {}", one.what, one.how_bad, one.mend),
    );
    (right, why)
}

fn cure(lamp: &str, offer: &[Try], situation: &Situation) -> (Vec<usize>, String) {
    let left = |one: &Try| {
        let scene = one.on(&situation.scene, situation.fit, lamp);
        let all = of_lamp(findings(&scene, &scene.fits[situation.fit], situation), lamp);
        all.into_iter().find(|finding| finding.severity == Severity::Fault)
    };
    let left: Vec<Option<Finding>> = offer.iter().map(left).collect();
    let right = places(&left, Option::is_none);
    let told: Vec<String> = offer
        .iter()
        .zip(&left)
        .map(|(one, left)| match left {
            None => format!("\"{}\" leaves no fault of the {lamp}.", one.words),
            Some(finding) => format!("\"{}\" does not do: {}", one.words, finding.what),
        })
        .collect();
    (right, told.join(" "))
}
