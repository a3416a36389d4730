//! What is known of the boat as she is chosen to be: her stance, her survey, and how the rules judge it.
//!
//! Takes the [`Choice`]; gives [`Known`] at once and [`Judged`] when its survey is done, which on a window runs
//! beside the picture. Everything seen in the night comes from here. Must never draw.

use std::{collections::HashMap, sync::Arc};

use bevy::{
    prelude::*,
    tasks::{AsyncComputeTaskPool, Task, block_on, poll_once},
};
use glam::DVec3;

use super::{Choice, Shown, Steps};
use crate::{
    boat::{Fit, Scene, Status},
    light::Weather,
    rules::{Judgement, Stripe, international, judge, stripes},
    survey::{Settings, Sighting, Stance, Survey, weather},
};

/// The boat with the chosen fit, lying and posed as chosen.
#[derive(Resource, Clone, Debug)]
pub struct Known {
    pub stance: Stance,
    pub weather: Weather,
    scene: Arc<Scene>,
    fit: usize,
    status: Status,
}

impl Known {
    pub fn of(scene: &Arc<Scene>, choice: &Choice) -> Self {
        Self {
            stance: Stance::new(scene, &scene.fits[choice.fit], &choice.pose, choice.attitude),
            weather: weather(scene),
            scene: Arc::clone(scene),
            fit: choice.fit,
            status: choice.status,
        }
    }

    /// The same for another choice or a changed scene; what stays as it was is not made ready again.
    fn otherwise(&self, scene: &Arc<Scene>, choice: &Choice) -> Self {
        let fit = &scene.fits[choice.fit];
        Self {
            stance: self.stance.posed_otherwise(scene, fit, &choice.pose).lying(choice.attitude),
            weather: weather(scene),
            scene: Arc::clone(scene),
            fit: choice.fit,
            status: choice.status,
        }
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

    /// What an eye at a point of the level frame gets of every lit light. The only source of what is drawn.
    pub fn look(&self, eye: DVec3) -> Vec<Sighting> {
        self.stance.look(self.fit(), self.status, eye, self.weather)
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

impl Verdict {
    pub fn of(scene: &Scene, fit: usize, status: Status) -> Self {
        let fit = &scene.fits[fit];
        let survey = Survey::of(scene, fit, status, &Settings::default());
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
    working: Option<(Key, Task<Verdict>)>,
}

/// Keeps [`Known`] and [`Judged`] true to the choice.
pub struct KnownPlugin;

impl Plugin for KnownPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Judged>()
            .init_resource::<Patience>()
            .init_resource::<Verdicts>()
            .add_systems(Update, (know, judge_chosen).chain().in_set(Steps::Know));
    }
}

fn know(mut before: Local<Option<Choice>>, shown: Res<Shown>, choice: Res<Choice>, mut known: ResMut<Known>) {
    let same = |old: &Choice| {
        (old.fit, old.status, old.pose, old.attitude) == (choice.fit, choice.status, choice.pose, choice.attitude)
    };
    if before.as_ref().is_some_and(same) && !shown.is_changed() {
        return;
    }
    *known = known.otherwise(&shown.0, &choice);
    *before = Some(choice.clone());
}

fn judge_chosen(
    shown: Res<Shown>,
    choice: Res<Choice>,
    patience: Res<Patience>,
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
        (Patience::GoOn, false) => verdicts.start(&shown.0, wanted),
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
    /// The verdict on a fit in a status; `None` while it is not reached yet.
    pub fn of(&self, fit: usize, status: Status) -> Option<&Verdict> {
        self.reached.get(&(fit, status)).map(Arc::as_ref)
    }

    /// After a change to the scene nothing is known for sure.
    fn forget(&mut self, scene: &Scene) {
        let aboard = aboard(scene);
        let reached = std::mem::take(&mut self.reached);
        if aboard == self.aboard {
            self.stale.extend(reached);
        } else {
            self.stale.clear();
        }
        self.aboard = aboard;
        // What is being worked out is of the scene before.
        self.working = None;
    }

    /// Takes in a finished task.
    fn gather(&mut self) {
        if let Some((key, task)) = &mut self.working
            && let Some(verdict) = block_on(poll_once(task))
        {
            self.stale.remove(key);
            self.reached.insert(*key, Arc::new(verdict));
            self.working = None;
        }
    }

    /// Works one out, here and now.
    fn reach(&mut self, scene: &Scene, key: Key) {
        self.reached.insert(key, Arc::new(Verdict::of(scene, key.0, key.1)));
    }

    /// Starts on any that is not known yet.
    fn start_next(&mut self, scene: &Arc<Scene>, statuses: &[Status]) {
        let mut all = (0..scene.fits.len()).flat_map(|fit| statuses.iter().map(move |status| (fit, *status)));
        if let Some(next) = all.find(|key| !self.reached.contains_key(key)) {
            self.start(scene, next);
        }
    }

    /// Starts on one, unless another is being worked on.
    fn start(&mut self, scene: &Arc<Scene>, key: Key) {
        if self.working.is_none() {
            let scene = Arc::clone(scene);
            let task = AsyncComputeTaskPool::get().spawn(async move { Verdict::of(&scene, key.0, key.1) });
            self.working = Some((key, task));
        }
    }
}
