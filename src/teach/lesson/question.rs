//! Questions of every kind: what is offered, what the learner is to do, and what the simulation says of his answer.
//!
//! Takes a [`Situation`] and an answer; gives a verdict with a sentence of why. Must never hold which answer is right.

use super::{
    change::{self, Control},
    choose::{self, About, Try},
    number::{self, Measure},
};
use crate::{
    light::{Colour, Colours},
    measure::{Arc, Bearing, Knots, counted, trimmed},
    rules::{Kind, Party, international, overtaking_sector},
    teach::Situation,
};

/// Asks one thing.
#[derive(Clone, Debug)]
pub struct Question {
    pub ask: String,
    pub asked: Asked,
}

/// What is asked.
#[derive(Clone, Debug)]
pub enum Asked {
    /// Which colours the observer makes out.
    Colours { offer: Vec<Colours> },
    /// To stand where something is seen; within an arc, where the lesson narrows it.
    Stand { find: Goal, between: Option<Arc> },
    /// What two vessels are to each other, or who gives way: the observer, in a vessel of her own, and the boat.
    Meets { you: Party, her_speed: Knots, about: About },
    /// In which fit a colour is made out over the wider arc.
    MoreShown { colour: Colour, fits: Vec<String> },
    /// Which part hides the most of a lamp from the observer.
    ShadowOf { lamp: String, offer: Vec<String> },
    /// What the judgement finds amiss with a lamp.
    Found { lamp: String, offer: Vec<Kind> },
    /// Which of several changes leaves no fault of a lamp.
    Cure { lamp: String, offer: Vec<Try> },
    /// How many degrees, points or miles.
    Number { measure: Measure, within: f64 },
    /// To change one thing until something is seen.
    Change { control: Control, least: f64, most: f64, until: Goal },
}

/// What is to be seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Goal {
    /// Just these colours.
    Shows(Colours),
    /// These colours, others or not.
    Includes(Colours),
    /// None of these colours.
    Lacks(Colours),
    /// The observer, coming up, is overtaking beyond doubt.
    Overtaking,
}

/// What the learner answers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Answer {
    /// The place in [`Question::choices`].
    Choice(usize),
    /// Where he stands.
    Bearing(Bearing),
    /// What he reckons, or sets.
    Number(f64),
}

/// How a question is to be answered.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// By one of [`Question::choices`].
    Choose,
    /// By going to a bearing.
    Stand,
    /// By a number of these.
    Reckon { unit: &'static str },
    /// By setting this, within these ends.
    Set { control: Control, least: f64, most: f64 },
}

/// What the simulation says of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    pub right: bool,
    /// One sentence or two, from the simulation.
    pub why: String,
}

impl Question {
    /// What is offered to choose from; nothing where the learner stands, reckons or sets.
    pub fn choices(&self) -> Vec<String> {
        match &self.asked {
            Asked::Colours { offer } => offer.iter().map(|colours| spelled(*colours)).collect(),
            Asked::Meets { about, .. } => about.choices(),
            Asked::MoreShown { fits, .. } => fits.clone(),
            Asked::ShadowOf { offer, .. } => offer.clone(),
            Asked::Found { offer, .. } => offer.iter().map(|kind| kind.in_words().into()).collect(),
            Asked::Cure { offer, .. } => offer.iter().map(|one| one.words.clone()).collect(),
            Asked::Stand { .. } | Asked::Number { .. } | Asked::Change { .. } => Vec::new(),
        }
    }

    /// How it is to be answered.
    pub fn way(&self) -> Way {
        match &self.asked {
            Asked::Stand { .. } => Way::Stand,
            Asked::Number { measure, .. } => Way::Reckon { unit: measure.unit() },
            Asked::Change { control, least, most, .. } => {
                Way::Set { control: control.clone(), least: *least, most: *most }
            }
            _ => Way::Choose,
        }
    }

    /// What the simulation says of an answer. An answer of another kind than the question asks for is wrong.
    pub fn check(&self, answer: &Answer, situation: &Situation) -> Verdict {
        match (&self.asked, answer) {
            (Asked::Stand { find, between }, Answer::Bearing(bearing)) => stands(*find, *between, *bearing, situation),
            (Asked::Number { measure, within }, Answer::Number(number)) => {
                number::verdict(measure, *within, *number, situation)
            }
            (Asked::Change { control, least, most, until }, Answer::Number(value)) => {
                change::verdict(control, (*least, *most), *until, *value, situation)
            }
            (asked, Answer::Choice(choice)) if self.way() == Way::Choose => {
                let (right, why) = choose::right(asked, situation);
                Verdict { right: right.contains(choice), why }
            }
            _ => Verdict { right: false, why: "That is no answer to this question.".into() },
        }
    }

    /// An answer that is right, worked out; `None` where there is none, or more than one choice is.
    pub fn answer(&self, situation: &Situation) -> Option<Answer> {
        match &self.asked {
            Asked::Stand { find, between } => {
                let arcs = standing(*find, *between, situation);
                let widest = arcs.into_iter().max_by(|a, b| a.width.total_cmp(&b.width))?;
                Some(Answer::Bearing(widest.middle()))
            }
            Asked::Number { measure, .. } => measure.value(situation).ok().map(Answer::Number),
            Asked::Change { control, least, most, until } => {
                change::solution(control, (*least, *most), *until, situation).map(Answer::Number)
            }
            asked => match choose::right(asked, situation).0.as_slice() {
                [one] => Some(Answer::Choice(*one)),
                _ => None,
            },
        }
    }
}

/// "green and white (GW)", as the program writes letters beside colours.
pub(super) fn spelled(colours: Colours) -> String {
    format!("{} ({})", colours.in_words(), colours.letters())
}

impl Goal {
    /// Whether it is met by what shows on a bearing.
    pub(super) fn met(self, bearing: Bearing, showing: Colours) -> bool {
        match self {
            Self::Shows(colours) => showing == colours,
            Self::Includes(colours) => colours.without(showing).is_empty(),
            Self::Lacks(colours) => colours.iter().all(|colour| !showing.contains(colour)),
            Self::Overtaking => overtaking_sector(international()).is_some_and(|arc| arc.depth(bearing) > 1e-9),
        }
    }
}

/// The arcs from which the goal is met.
pub(super) fn standing(find: Goal, between: Option<Arc>, situation: &Situation) -> Vec<Arc> {
    let inside = |bearing: Bearing| between.is_none_or(|arc| arc.contains(bearing));
    situation.arcs(|bearing, showing| inside(bearing) && find.met(bearing, showing))
}

fn stands(find: Goal, between: Option<Arc>, bearing: Bearing, situation: &Situation) -> Verdict {
    let showing = situation.seen_from(bearing).showing();
    let seen = format!("From {} degrees you make out {}", trimmed(bearing.degrees(), 1), spelled(showing));
    if let Some(arc) = between.filter(|arc| !arc.contains(bearing)) {
        return Verdict {
            right: false,
            why: format!("{seen}; you were to stand between {} and {} degrees.", arc.from, arc.to()),
        };
    }
    let right = find.met(bearing, showing);
    let why = match find {
        Goal::Overtaking => {
            let abaft = |bearing: Bearing| bearing.clockwise_of(Bearing::AHEAD).abs() - 90.0;
            let off = abaft(bearing);
            let place = if off >= 0.0 { "abaft" } else { "before" };
            let limit = overtaking_sector(international()).map_or(0.0, |arc| abaft(arc.from));
            format!(
                "{seen}. You are {} {place} her beam; overtaking begins at more than {} abaft it.",
                counted(off.abs(), 1, "degree"),
                counted(limit, 1, "degree")
            )
        }
        _ => format!("{seen}."),
    };
    Verdict { right, why }
}
