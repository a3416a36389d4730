//! Whether a question can be asked: exactly one choice right, somewhere to stand, a value that does it.
//!
//! Takes a question and its situation; gives what is wrong with it, the field it is wrong in, and how to mend it. Must never
//! mend it itself.

use super::{
    change,
    choose::right,
    question::{Asked, Question, standing},
};
use crate::{
    rules::{Encounter, KeepsClear},
    teach::Situation,
};

/// What is wrong with a question.
pub(super) struct Doubt {
    /// The field of the question to point at.
    pub field: &'static str,
    pub what: String,
    pub mend: String,
}

fn doubt(field: &'static str, what: impl Into<String>, mend: impl Into<String>) -> Option<Doubt> {
    Some(Doubt { field, what: what.into(), mend: mend.into() })
}

/// Why a question cannot be asked of a situation.
pub(super) fn doubt_of(question: &Question, situation: &Situation) -> Option<Doubt> {
    match &question.asked {
        Asked::Stand { find, between } => {
            let whole = between.map_or(360.0, |arc| arc.width);
            let met: f64 = standing(*find, *between, situation).iter().map(|arc| arc.width).sum();
            if met <= 0.0 {
                let mend =
                    "ask for what is seen somewhere: look at `lampwalk survey`, or put another boat or fit before it";
                return doubt("find", "there is no bearing from which that is seen", mend);
            }
            if met > whole - 1e-6 {
                return doubt("find", "that is seen from every bearing, so that no answer is wrong", "ask for less");
            }
            None
        }
        Asked::Number { measure, within } => match measure.value(situation) {
            Err((what, mend)) => doubt("measure", what, mend),
            Ok(figure) if figure <= 0.0 && !matches!(measure, super::Measure::From(_) | super::Measure::To(_)) => {
                doubt("measure", "there is nothing of that kind here", "ask of another boat, fit or measure")
            }
            Ok(figure) if *within >= figure.abs().max(1.0) => doubt(
                "within",
                "the tolerance is as wide as the figure itself",
                "make it smaller, so that a guess is not right",
            ),
            Ok(_) => None,
        },
        Asked::Change { control, least, most, until } => {
            if until.met(situation.station.bearing, situation.showing()) {
                return doubt("until", "that is seen already, with nothing changed", "let her lie otherwise at first");
            }
            if change::solution(control, (*least, *most), *until, situation).is_none() {
                let mend = "widen the range, put the eye elsewhere, or ask for something else";
                return doubt("until", "nothing within this range brings that about", mend);
            }
            None
        }
        Asked::Meets { you, her_speed, .. } => {
            let met = super::choose::meets(you, *her_speed, situation);
            let settled = matches!(met.encounter, Encounter::Overtaking(_) | Encounter::HeadOn | Encounter::Crossing)
                && !matches!(met.keeps_clear, KeepsClear::Neither | KeepsClear::Open);
            if settled {
                return None;
            }
            let what =
                format!("these two are {}, and none of the answers is right: {}", met.encounter.in_words(), met.why);
            doubt("she_bears", what, "change where each has the other, or the speeds")
        }
        asked => one_right(asked, question, situation),
    }
}

fn one_right(asked: &Asked, question: &Question, situation: &Situation) -> Option<Doubt> {
    let field = if matches!(asked, Asked::MoreShown { .. }) { "colour" } else { "offer" };
    let (right, why) = right(asked, situation);
    let choices = question.choices();
    match right.as_slice() {
        [_] => None,
        [] => doubt(field, format!("none of the choices is right: {why}"), "offer the right one among them"),
        several => {
            let names: Vec<String> =
                several.iter().filter_map(|place| choices.get(*place)).map(|choice| format!("\"{choice}\"")).collect();
            let what = format!("more than one choice is right: {}. {why}", names.join(", "));
            doubt(field, what, "take all but one of them out")
        }
    }
}
