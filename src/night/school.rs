//! Lessons in the window: one step after another, each with its own boat, its own place for the eye and perhaps a question.
//!
//! Takes messages of [`Study`]; gives the scene that is [`Shown`] and the [`Choice`] that each step begins with. The scene
//! that is worked on rests meanwhile, and is there again afterwards as it was. What is right is worked out by
//! [`teach`](crate::teach) when it is asked: must never hold an answer, nor draw.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};

use bevy::prelude::*;

use super::{Choice, Orbit, Shown, Sight, Steps, View, Watch, Work, Workbench, choice::perform, workbench::work};
use crate::{
    boat::Scene,
    edit::state_folder,
    teach::{
        Situation,
        lesson::{self, Answer, Drawn, Lesson, Step, Verdict, Way},
    },
    whole_file,
};

/// What a learner does.
#[derive(Message, Clone, Debug)]
pub enum Study {
    Begin(Arc<Lesson>),
    /// To the step of this number, from 0.
    Step(usize),
    /// Where the learner stands, for a question that asks to be somewhere.
    Here,
    Answer(Answer),
    /// Sets what a question asks to be changed; no answer yet.
    Set(f64),
    Leave,
}

/// The lesson that is had, if any.
#[derive(Resource, Debug, Default)]
pub struct School(Option<Had>, Kept);

/// The folder in which it is kept which lessons were had, if it is kept.
type Kept = Option<PathBuf>;

/// A lesson under way.
#[derive(Debug)]
pub struct Had {
    lesson: Arc<Lesson>,
    step: usize,
    /// What was last answered to the question of this step, and what the simulation says of it.
    verdict: Option<(Answer, Verdict)>,
    /// Where what may be changed stands.
    set: f64,
    /// For each step, whether its question was answered rightly at the first try; `None` while it was not tried.
    first: Vec<Option<bool>>,
    /// How she lies now, with what was set.
    now: Situation,
    /// What was shown and chosen before.
    home: (Arc<Scene>, Choice),
}

impl School {
    pub fn had(&self) -> Option<&Had> {
        self.0.as_ref()
    }
}

impl Had {
    fn of(lesson: Arc<Lesson>, home: (Arc<Scene>, Choice)) -> Option<Self> {
        let now = lesson.steps.first()?.situation.clone();
        let first = vec![None; lesson.steps.len()];
        let mut had = Self { lesson, step: 0, verdict: None, set: 0.0, first, now, home };
        had.go_to(0);
        Some(had)
    }

    pub fn lesson(&self) -> &Lesson {
        &self.lesson
    }

    /// Number of the step, from 0.
    pub fn number(&self) -> usize {
        self.step
    }

    pub fn step(&self) -> &Step {
        &self.lesson.steps[self.step]
    }

    pub fn verdict(&self) -> Option<&(Answer, Verdict)> {
        self.verdict.as_ref()
    }

    /// Where what may be changed stands.
    pub fn set(&self) -> f64 {
        self.set
    }

    /// Questions answered rightly at the first try, and questions there are.
    pub fn score(&self) -> (usize, usize) {
        let asked = self.lesson.steps.iter().filter(|step| step.question.is_some()).count();
        (self.first.iter().filter(|first| **first == Some(true)).count(), asked)
    }

    fn go_to(&mut self, step: usize) {
        self.step = step.min(self.lesson.steps.len() - 1);
        self.verdict = None;
        self.now = self.step().situation.clone();
        self.set = match self.step().question.as_ref().map(|question| question.way()) {
            Some(Way::Set { control, least, most }) => control.now(&self.now).clamp(least, most),
            _ => 0.0,
        };
    }

    /// Changes what the question asks to be changed.
    fn change(&mut self, value: f64) {
        let step = &self.lesson.steps[self.step];
        if let Some(Way::Set { control, least, most }) = step.question.as_ref().map(|question| question.way()) {
            self.set = value.clamp(least, most);
            self.now = control.set(&step.situation, self.set);
            self.verdict = None;
        }
    }

    /// Asks the simulation. Who is asked to stand somewhere stands as far off and as high as he does now.
    fn check(&mut self, answer: Answer, watch: Watch) {
        let step = &self.lesson.steps[self.step];
        let Some(question) = &step.question else { return };
        let stands = question.way() == Way::Stand;
        let station = if stands { watch.station() } else { step.situation.station };
        let verdict = question.check(&answer, &Situation { station, ..step.situation.clone() });
        self.first[self.step].get_or_insert(verdict.right);
        self.verdict = Some((answer, verdict));
    }

    /// What is chosen when a step begins.
    fn opening(&self, before: &Choice) -> Choice {
        let step = self.step();
        let Situation { scene, fit, status, pose, attitude, station } = &step.situation;
        let opening = Choice::opening(scene);
        let drawn = |one: Drawn| step.draw.contains(&one);
        let turned = |orbit: Orbit| Orbit { bearing: station.bearing, ..orbit };
        Choice {
            fit: *fit,
            status: *status,
            asked: Some(*status),
            pose: *pose,
            attitude: *attitude,
            view: match step.view {
                lesson::View::Aloft => View::Aloft,
                lesson::View::Afloat => View::Afloat,
                lesson::View::Deck => View::Deck,
            },
            sight: match step.sight {
                lesson::Sight::Bare => Sight::Eye,
                lesson::Sight::Glasses => Sight::Glasses,
                lesson::Sight::Near => Sight::Filled,
            },
            watch: Watch { bearing: station.bearing, distance: station.distance, eye: station.eye },
            deck: turned(opening.deck),
            ring: drawn(Drawn::Ring),
            sector: drawn(Drawn::Sector),
            arcs: drawn(Drawn::Band),
            sea: before.sea,
            red: before.red,
            ..opening
        }
    }
}

/// Keeps the lesson that is had.
#[derive(Default)]
pub struct SchoolPlugin {
    /// Where to keep which lessons were had; `None`: nowhere.
    pub state: Option<PathBuf>,
}

impl SchoolPlugin {
    /// With the user's own state folder.
    pub fn of_a_window() -> Self {
        Self { state: state_folder() }
    }
}

impl Plugin for SchoolPlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(School(None, self.state.clone()))
            .add_message::<Study>()
            .add_message::<Work>()
            .add_systems(Update, (study.in_set(Steps::Work).after(work), hold.in_set(Steps::Act).after(perform)));
    }
}

/// Whether no lesson is had: what is done to the scene that is worked on waits until then.
pub(super) fn out_of_school(school: Option<Res<School>>) -> bool {
    school.is_none_or(|school| school.0.is_none())
}

fn study(
    mut studies: MessageReader<Study>,
    mut school: ResMut<School>,
    mut shown: ResMut<Shown>,
    mut choice: ResMut<Choice>,
    bench: Option<ResMut<Workbench>>,
) {
    let mut bench = bench;
    let School(school, state) = &mut *school;
    for one in studies.read() {
        match (one, &mut *school) {
            (Study::Begin(lesson), had) => {
                let home = had.take().map_or_else(|| (Arc::clone(&shown.0), choice.clone()), |had| had.home);
                *had = Had::of(Arc::clone(lesson), home);
                if let Some(bench) = &mut bench {
                    bench.rest();
                }
            }
            (Study::Leave, had) => {
                if let Some(Had { home: (scene, before), .. }) = had.take() {
                    shown.0 = scene;
                    *choice = before;
                }
                continue;
            }
            (Study::Step(step), Some(had)) => had.go_to(*step),
            (Study::Here, Some(had)) => {
                had.check(Answer::Bearing(choice.watch.bearing), choice.watch);
                continue;
            }
            (Study::Answer(answer), Some(had)) => {
                had.check(*answer, choice.watch);
                if had.verdict.as_ref().is_some_and(|(_, verdict)| verdict.right) && had.is_last() {
                    note_done(state.as_deref(), &had.lesson.name);
                }
                continue;
            }
            (Study::Set(value), Some(had)) => {
                had.change(*value);
                continue;
            }
            (_, None) => continue,
        }
        if let Some(had) = &*school {
            if had.is_last() && had.step().question.is_none() {
                note_done(state.as_deref(), &had.lesson.name);
            }
            *choice = had.opening(&choice);
        }
    }
    // What was set may have moved a lamp.
    if let Some(had) = &*school
        && !Arc::ptr_eq(&shown.0, &had.now.scene)
    {
        shown.0 = Arc::clone(&had.now.scene);
    }
}

/// A lesson says which fit is seen, and how she lies: what is asked of one must not be looked for in another.
fn hold(school: Res<School>, mut choice: ResMut<Choice>) {
    let Some(had) = &school.0 else { return };
    let Situation { fit, status, pose, attitude, .. } = &had.now;
    let held = Choice { fit: *fit, status: *status, pose: *pose, attitude: *attitude, split: false, ..choice.clone() };
    choice.set_if_neq(held);
}

impl Had {
    /// Whether this is the last step.
    pub fn is_last(&self) -> bool {
        self.step + 1 == self.lesson.steps.len()
    }
}

/// Names of the lessons that were had to their end, kept in the state folder.
const DONE: &str = "lessons";

fn done_in(state: Option<&Path>) -> Option<PathBuf> {
    Some(state?.join(DONE))
}

/// Lessons that were had to their end, by name. A list that cannot be read counts as empty.
pub fn done(state: Option<&Path>) -> Vec<String> {
    let text = done_in(state).and_then(|path| fs::read_to_string(path).ok()).unwrap_or_default();
    text.lines().map(String::from).collect()
}

/// Where it cannot be kept, the lesson is offered as one that was not had, which does no harm.
fn note_done(state: Option<&Path>, name: &str) {
    let mut names = done(state);
    let (Some(path), false) = (done_in(state), names.iter().any(|one| one == name)) else { return };
    names.push(name.into());
    let _ = path.parent().map(fs::create_dir_all);
    let _ = whole_file::write(&path, format!("{}\n", names.join("\n")).as_bytes(), None);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lessons_that_were_had_are_kept_once_each() {
        let state = tempfile::tempdir().expect("a folder");
        assert_eq!(done(Some(state.path())), Vec::<String>::new());
        for name in ["shadows", "four-arcs", "shadows"] {
            note_done(Some(state.path()), name);
        }
        assert_eq!(done(Some(state.path())), ["shadows", "four-arcs"]);
        note_done(None, "shadows");
        assert_eq!(done(None), Vec::<String>::new());
    }
}
