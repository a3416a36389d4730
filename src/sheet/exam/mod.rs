//! Question papers: the drill or a lesson on paper, with a sheet for answers and, where asked for, the answers themselves.
//!
//! Takes items and lessons that are worked out; gives text, or one HTML page that needs nothing else and prints on A4 and
//! Letter. Must never work out an answer.

mod dots;
mod html;
mod text;

use crate::{
    measure::{counted, trimmed},
    teach::{
        drill::{Dot, Item},
        lesson::{Answer, Lesson, Question, Step, Way},
    },
};

pub use html::html;
pub use text::text;

/// A paper ready to be set.
#[derive(Clone, Debug)]
pub struct Paper {
    pub title: String,
    /// What stands below the title.
    pub about: String,
    pub entries: Vec<Entry>,
    /// Whether the answers are set as well.
    pub answers: bool,
}

/// One question, or one step of a lesson with or without one.
#[derive(Clone, Debug)]
pub struct Entry {
    pub heading: Option<String>,
    pub words: Vec<String>,
    pub lights: Vec<Dot>,
    pub question: Option<Asked>,
}

/// A question as it is set.
#[derive(Clone, Debug)]
pub struct Asked {
    pub ask: String,
    pub choices: Vec<String>,
    /// What is to be written down where there is nothing to choose.
    pub blank: Option<String>,
    pub answer: String,
    pub why: String,
}

impl Paper {
    /// The drill's paper.
    pub fn of_drill(seed: u64, items: &[Item], answers: bool) -> Self {
        let entries = items.iter().map(|item| Entry {
            heading: None,
            words: Vec::new(),
            lights: item.lights.clone(),
            question: Some(Asked {
                ask: item.ask.clone(),
                choices: item.choices.clone(),
                blank: None,
                answer: letter(item.right),
                why: item.why.clone(),
            }),
        });
        Self {
            title: "Lights at night".into(),
            about: format!(
                "Paper {seed}: {}. One answer to each is right. Letters beside the lights name their colours: R red, G green, W \
                 white, Y yellow. Lights are drawn as you see them, not to scale, and apart where they would run together. \
                 Every boat is invented.",
                counted(items.len() as f64, 0, "question")
            ),
            entries: entries.collect(),
            answers,
        }
    }

    /// A lesson on paper.
    pub fn of_lesson(lesson: &Lesson, answers: bool) -> Self {
        Self {
            title: lesson.title.clone(),
            about: format!("{} About {}.", lesson.teaches, counted(lesson.minutes, 0, "minute")),
            entries: lesson.steps.iter().map(of_step).collect(),
            answers,
        }
    }
}

fn of_step(step: &Step) -> Entry {
    Entry {
        heading: Some(step.title.clone()),
        words: step.words.clone(),
        lights: Vec::new(),
        question: step.question.as_ref().map(|question| of_question(question, step)),
    }
}

fn of_question(question: &Question, step: &Step) -> Asked {
    let answer = question.answer(&step.situation);
    let why = answer.map_or_else(String::new, |answer| question.check(&answer, &step.situation).why);
    let way = question.way();
    let blank = match &way {
        Way::Choose => None,
        Way::Stand => Some("Your bearing from right ahead, in degrees:".into()),
        Way::Reckon { unit } => Some(format!("In {unit}:")),
        Way::Set { control, least, most } => {
            Some(format!("Set {}, from {} to {}:", control.in_words(), trimmed(*least, 2), trimmed(*most, 2)))
        }
    };
    let told = match (answer, way) {
        (Some(Answer::Choice(choice)), _) => letter(choice),
        (Some(Answer::Bearing(bearing)), _) => format!("for one, {} degrees", trimmed(bearing.degrees(), 1)),
        (Some(Answer::Number(number)), Way::Set { .. }) => format!("for one, {}", trimmed(number, 2)),
        (Some(Answer::Number(number)), _) => trimmed(number, 2),
        (None, _) => "none".into(),
    };
    Asked { ask: question.ask.clone(), choices: question.choices(), blank, answer: told, why }
}

/// The letter of a choice: A for the first.
fn letter(choice: usize) -> String {
    let letters = 'A'..='Z';
    letters.into_iter().nth(choice).map_or_else(|| (choice + 1).to_string(), |letter| letter.to_string())
}
