//! What is known of the boat as she is chosen to be: her stance, her survey, and how the rules judge it.
//!
//! Takes the [`Choice`]; gives [`Known`] at once and [`Judged`] when its survey is done, which on a window runs
//! beside the picture. Everything seen in the night comes from here. Must never draw.

use std::{collections::HashMap, sync::Arc};

use bevy::{
    ecs::system::SystemParam,
    prelude::*,
    tasks::{AsyncComputeTaskPool, Task, block_on, poll_once},
};
use glam::DVec3;

use super::{Choice, Half, Shown, Sky, Steps};
use crate::{
    boat::{Fit, Scene, Status},
    light::{Weather, hidden_height},
    measure::Metres,
    rules::{Judgement, Stripe, international, judge, stripes},
    survey::{Settings, Sighting, Stance, Survey},
};

/// The boat with the chosen fit, lying and posed as chosen.
#[derive(Resource, Clone, Debug)]
pub struct Known {
    pub stance: Stance,
    pub weather: Weather,
    pub sky: Sky,
    scene: Arc<Scene>,
    fit: usize,
    status: Status,
}

impl Known {
    /// The chosen fit.
    pub fn of(scene: &Arc<Scene>, choice: &Choice) -> Self {
        let stance = Stance::new(scene, &scene.fits[choice.fit], &choice.pose, choice.attitude);
        Self::with(stance, scene, choice.fit, choice)
    }

    /// A fit for another choice or a changed scene; what stays as it was is not made ready again.
    fn otherwise(&self, scene: &Arc<Scene>, fit: usize, choice: &Choice) -> Self {
        let stance = self.stance.posed_otherwise(scene, &scene.fits[fit], &choice.pose).lying(choice.attitude);
        Self::with(stance, scene, fit, choice)
    }

    fn with(stance: Stance, scene: &Arc<Scene>, fit: usize, choice: &Choice) -> Self {
        let weather = choice.sky.weather(scene);
        Self { stance, weather, sky: choice.sky, scene: Arc::clone(scene), fit, status: choice.status }
    }

    pub fn scene(&self) -> &Scene {
        &self.scene
    }

    pub fn fit(&self) -> &Fit {
        &self.scene.fits[self.fit]
    }

    pub fn status(&self) -> Status {
        self.status
    }

    /// How much of her next to the water the curve of the sea hides from an eye at a point of the level frame.
    pub fn hidden(&self, eye: DVec3) -> Metres {
        hidden_height(Metres(self.stance.middle().distance(eye)), Metres(eye.z))
    }

    /// What an eye at a point of the level frame gets of every lit light. The only source of what is drawn.
    pub fn look(&self, eye: DVec3) -> Vec<Sighting> {
        self.stance.look(self.fit(), self.status, eye, self.weather)
    }
}

/// The boat with the fit that is seen beside the chosen one; `None` while one is seen alone.
#[derive(Resource, Clone, Debug, Default)]
pub struct Beside(pub Option<Known>);

/// The boat in either half of the picture.
#[derive(SystemParam)]
pub struct Both<'w> {
    known: Res<'w, Known>,
    beside: Res<'w, Beside>,
}

impl Both<'_> {
    pub fn of(&self, half: Half) -> Option<&Known> {
        match half {
            Half::First => Some(&self.known),
            Half::Second => self.beside.0.as_ref(),
        }
    }

    pub fn is_changed(&self, half: Half) -> bool {
        match half {
            Half::First => self.known.is_changed(),
            Half::Second => self.beside.is_changed(),
        }
    }
}

/// A survey, its judgement, and the two light by light.
#[derive(Debug)]
pub struct Verdict {
    pub survey: Survey,
    pub judgement: Judgement<'static>,
    /// What must show held against what does, light by light, at rest.
    pub stripes: Vec<Stripe>,
}

/// Whether the scene is being changed under the hand: then a coarse verdict now is worth more than a full one later.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Haste(pub bool);

/// Degrees between the bearings of a coarse survey. Edges are found as finely as ever; what is narrower than this and
/// begins and ends between two bearings may be missed until the hand rests.
const COARSE: f64 = 3.0;

impl Verdict {
    pub fn of(scene: &Scene, fit: usize, status: Status) -> Self {
        Self::surveyed(scene, fit, status, &Settings::default())
    }

    /// Coarsely, while things are moved.
    fn roughly(scene: &Scene, fit: usize, status: Status) -> Self {
        Self::surveyed(scene, fit, status, &Settings { step: COARSE, ..Settings::default() })
    }

    fn surveyed(scene: &Scene, fit: usize, status: Status, settings: &Settings) -> Self {
        let fit = &scene.fits[fit];
        let survey = Survey::of(scene, fit, status, settings);
        let judgement = judge(scene, fit, &survey, international());
        let stripes = stripes(scene, fit, &survey, &judgement);
        Self { survey, judgement, stripes }
    }
}

/// The verdict on the chosen fit and status; `None` while the survey still runs.
#[derive(Resource, Clone, Debug, Default)]
pub struct Judged(pub Option<Arc<Verdict>>);

/// Whether the picture waits for a survey (pictures without a window, tests) or goes on without it (a window).
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Patience {
    #[default]
    Wait,
    GoOn,
}

type Key = (usize, Status);

/// Verdicts already reached, and the one being worked on.
#[derive(Resource, Default)]
pub struct Verdicts {
    reached: HashMap<Key, Arc<Verdict>>,
    /// Of the scene before it was changed, where it had the same things aboard: told until the new ones are reached.
    stale: HashMap<Key, Arc<Verdict>>,
    /// The names of all that is aboard, by which verdicts speak of it.
    aboard: Vec<String>,
    working: Option<Working>,
}

/// A verdict that is being worked out beside the picture.
struct Working {
    key: Key,
    task: Task<Verdict>,
    /// The scene has changed since, or it is done coarsely: it is told of, but does not count as reached.
    passing: bool,
}

/// Keeps [`Known`] and [`Judged`] true to the choice.
pub struct KnownPlugin;

impl Plugin for KnownPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Judged>()
            .init_resource::<Beside>()
            .init_resource::<Patience>()
            .init_resource::<Haste>()
            .init_resource::<Verdicts>()
            .add_systems(Update, (know, judge_chosen).chain().in_set(Steps::Know));
    }
}

fn know(
    mut before: Local<Option<Choice>>,
    shown: Res<Shown>,
    choice: Res<Choice>,
    mut known: ResMut<Known>,
    mut beside: ResMut<Beside>,
) {
    let same = |old: &Choice| {
        (old.fit, old.status, old.pose, old.attitude, old.sky, old.split)
            == (choice.fit, choice.status, choice.pose, choice.attitude, choice.sky, choice.split)
    };
    if before.as_ref().is_some_and(same) && !shown.is_changed() {
        return;
    }
    *known = known.otherwise(&shown.0, choice.fit, &choice);
    let other = choice.beside(&shown.0).map(|fit| known.otherwise(&shown.0, fit, &choice));
    if other.is_some() || beside.0.is_some() {
        beside.0 = other;
    }
    *before = Some(choice.clone());
}

fn judge_chosen(
    shown: Res<Shown>,
    choice: Res<Choice>,
    patience: Res<Patience>,
    haste: Res<Haste>,
    mut verdicts: ResMut<Verdicts>,
    mut judged: ResMut<Judged>,
) {
    let wanted = (choice.fit, choice.status);
    if shown.is_changed() {
        verdicts.forget(&shown.0);
    }
    verdicts.gather();
    match (*patience, verdicts.reached.contains_key(&wanted)) {
        (Patience::Wait, true) => {}
        (Patience::Wait, false) => verdicts.reach(&shown.0, wanted),
        (Patience::GoOn, false) => verdicts.start(&shown.0, wanted, haste.0),
        // With the chosen one known, the others are worked out ahead of need.
        (Patience::GoOn, true) => verdicts.start_next(&shown.0, &choice.statuses(&shown.0)),
    }
    let now = verdicts.reached.get(&wanted).or(verdicts.stale.get(&wanted));
    let same = match (&judged.0, now) {
        (Some(old), Some(new)) => Arc::ptr_eq(old, new),
        (None, None) => true,
        _ => false,
    };
    if !same {
        judged.0 = now.cloned();
    }
}

/// The names of parts, and of lamps fit by fit.
fn aboard(scene: &Scene) -> Vec<String> {
    let parts = scene.parts.iter().map(|part| part.name.clone());
    let fits = scene
        .fits
        .iter()
        .flat_map(|fit| std::iter::once(fit.name.clone()).chain(fit.lamps.iter().map(|lamp| lamp.name.clone())));
    parts.chain(fits).collect()
}

impl Verdicts {
    /// The verdict on a fit in a status, or the one before the scene was changed; `None` while neither is there.
    pub fn of(&self, fit: usize, status: Status) -> Option<&Arc<Verdict>> {
        let key = (fit, status);
        self.reached.get(&key).or(self.stale.get(&key))
    }

    /// Whether the verdict is on the scene as it is now.
    pub fn is_fresh(&self, fit: usize, status: Status) -> bool {
        self.reached.contains_key(&(fit, status))
    }

    /// Whether one is being worked out.
    pub fn is_working(&self) -> bool {
        self.working.is_some()
    }

    /// Of another boat nothing is known.
    pub fn clear(&mut self) {
        *self = Self::default();
    }

    /// After a change to the scene nothing is known for sure.
    fn forget(&mut self, scene: &Scene) {
        let aboard = aboard(scene);
        let reached = std::mem::take(&mut self.reached);
        let same = aboard == self.aboard;
        if same {
            self.stale.extend(reached);
        } else {
            self.stale.clear();
        }
        self.aboard = aboard;
        // What is being worked out is of the scene before: in a drag it is told of all the same.
        match &mut self.working {
            Some(working) if same => working.passing = true,
            working => *working = None,
        }
    }

    /// Takes in a finished task.
    fn gather(&mut self) {
        let Some(working) = &mut self.working else { return };
        let Some(verdict) = block_on(poll_once(&mut working.task)) else { return };
        let verdict = Arc::new(verdict);
        if working.passing {
            self.stale.insert(working.key, verdict);
        } else {
            self.stale.remove(&working.key);
            self.reached.insert(working.key, verdict);
        }
        self.working = None;
    }

    /// Works one out, here and now.
    fn reach(&mut self, scene: &Scene, key: Key) {
        self.reached.insert(key, Arc::new(Verdict::of(scene, key.0, key.1)));
    }

    /// Starts on any that is not known yet.
    fn start_next(&mut self, scene: &Arc<Scene>, statuses: &[Status]) {
        let mut all = (0..scene.fits.len()).flat_map(|fit| statuses.iter().map(move |status| (fit, *status)));
        if let Some(next) = all.find(|key| !self.reached.contains_key(key)) {
            self.start(scene, next, false);
        }
    }

    /// Starts on one, unless another is being worked on.
    fn start(&mut self, scene: &Arc<Scene>, key: Key, roughly: bool) {
        if self.working.is_none() {
            let scene = Arc::clone(scene);
            let work = if roughly { Verdict::roughly } else { Verdict::of };
            let task = AsyncComputeTaskPool::get().spawn(async move { work(&scene, key.0, key.1) });
            self.working = Some(Working { key, task, passing: roughly });
        }
    }
}
