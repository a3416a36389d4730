//! Lessons: short walks round a boat with a question here and there, written down by a teacher in a file.
//!
//! Takes lesson files (`assets/lessons`, or any teacher's own); gives [`Lesson`]s whose every question was answered by the
//! simulation when the file was read, or every fault of the file with its place. Must never hold an answer.

mod change;
mod choose;
mod number;
mod question;
mod read;
mod read_question;
mod sound;

use std::sync::LazyLock;

pub use change::Control;
pub use choose::{About, Try};
pub use number::Measure;
pub use question::{Answer, Asked, Goal, Question, Verdict, Way};
pub use read::{read, read_file};

use super::Situation;

/// See the module.
#[derive(Clone, Debug)]
pub struct Lesson {
    /// What it goes by on the command line: the name of its file, without the ending.
    pub name: String,
    pub title: String,
    /// What it teaches, in a sentence.
    pub teaches: String,
    /// About how long it takes.
    pub minutes: f64,
    pub steps: Vec<Step>,
}

/// One thing that is shown and said.
#[derive(Clone, Debug)]
pub struct Step {
    pub title: String,
    /// A few short sentences, a paragraph each.
    pub words: Vec<String>,
    /// The boat by the name that the lesson gives: a built-in one, or a scene file.
    pub boat: String,
    pub situation: Situation,
    pub view: View,
    pub sight: Sight,
    pub draw: Vec<Drawn>,
    pub question: Option<Question>,
}

/// From where the learner looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum View {
    Aloft,
    Afloat,
    Deck,
}

/// Through what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sight {
    Bare,
    /// Glasses of seven times.
    Glasses,
    /// So near that the boat fills the view.
    Near,
}

/// What is drawn on the water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Drawn {
    Ring,
    /// The overtaking sector.
    Sector,
    Band,
}

macro_rules! supplied {
    ($($name:literal),* $(,)?) => {
        /// The supplied lessons as they stand in `assets/lessons`, in the order in which they are best taken: name and text.
        pub const TEXTS: &[(&str, &str)] = &[
            $(($name, include_str!(concat!("../../../assets/lessons/", $name, ".ron")))),*
        ];
    };
}

supplied![
    "points-and-degrees",
    "four-arcs",
    "two-points-abaft",
    "head-on-crossing-overtaking",
    "upright-lamps",
    "parallel-lamps",
    "shadows",
    "dark-lane",
    "steering-outboard",
    "anchor-and-under-way",
    "trim-on-the-plane",
    "merging-lights",
    "weather-and-range",
];

static SUPPLIED: LazyLock<Vec<Lesson>> = LazyLock::new(|| {
    let lesson = |(name, text): &(&str, &str)| match read::unproved(text, name) {
        Ok(lesson) => lesson,
        Err(error) => panic!("a supplied lesson: {error}"),
    };
    TEXTS.iter().map(lesson).collect()
});

/// The supplied lessons. Their questions were proved by a test, and are not proved again.
pub fn supplied() -> &'static [Lesson] {
    &SUPPLIED
}
