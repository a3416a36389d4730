//! Places for the chosen lamp: looked for beside the picture, shown where they are, and taken by a click.
//!
//! Takes messages of [`Seek`]; gives [`Places`], and draws every place that was looked at as a short stroke, the stronger
//! the clearer it is. A place that is taken becomes a new fit of the scene, in one step. Must never judge a place: what is
//! told of it is [`fitting::place`](crate::fitting::place)'s.

use std::sync::Arc;

use bevy::{
    camera::visibility::NoFrustumCulling,
    prelude::*,
    tasks::{AsyncComputeTaskPool, Task, block_on, poll_once},
};

use super::{
    ACCENT, Act, Choice, Known, Shown, Steps, View, Work, Workbench,
    frame::drawn,
    paint::{Ink, Pen, covering},
    workbench::work,
};
use crate::{
    boat::Scene,
    edit::{LampAt, Subject, as_new_fit, kit},
    fitting::place::{Ghost, Proposal, Proposals, Verdict, Wish, proposals},
    rules::international,
};

/// What is asked of the search.
#[derive(Message, Clone, Copy, Debug, PartialEq)]
pub enum Seek {
    /// Places for this lamp.
    Lamp(LampAt),
    /// The proposal of this number, from 0, as a new fit.
    Take(usize),
    /// No more of it.
    Leave,
}

/// What is being looked for, and what was found.
#[derive(Resource, Default)]
pub struct Places {
    looking: Option<(LampAt, Arc<Scene>, Task<Proposals>)>,
    found: Option<Found>,
}

/// Places for a lamp.
pub struct Found {
    at: LampAt,
    scene: Arc<Scene>,
    proposals: Proposals,
}

impl Places {
    /// Whether places for this lamp are being looked for.
    pub fn is_looking(&self, at: LampAt) -> bool {
        self.looking.as_ref().is_some_and(|(lamp, ..)| *lamp == at)
    }

    /// What was found for this lamp.
    pub fn found(&self, at: LampAt) -> Option<&Proposals> {
        self.found.as_ref().filter(|found| found.at == at).map(|found| &found.proposals)
    }
}

/// Looks for places. Needs a [`Workbench`] to write them on.
pub struct PlacesPlugin;

impl Plugin for PlacesPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Places>()
            .add_message::<Seek>()
            .add_message::<Work>()
            .add_systems(Update, seek.in_set(Steps::Work).before(work));
    }
}

fn seek(
    shown: Res<Shown>,
    bench: Option<Res<Workbench>>,
    mut places: ResMut<Places>,
    mut seeks: MessageReader<Seek>,
    mut works: MessageWriter<Work>,
    mut acts: MessageWriter<Act>,
) {
    let chosen = bench.as_ref().and_then(|bench| bench.chosen());
    let quiet = places.bypass_change_detection();
    let mut changed = quiet.gather(&shown.0, chosen);
    for one in seeks.read() {
        changed = true;
        match one {
            Seek::Lamp(at) => {
                let (at, scene) = (*at, Arc::clone(&shown.0));
                let boat = Arc::clone(&scene);
                let look = async move { proposals(&boat, &Wish::for_lamp(&boat, at.fit, at.lamp, international())) };
                quiet.found = None;
                quiet.looking = Some((at, scene, AsyncComputeTaskPool::get().spawn(look)));
            }
            Seek::Take(number) => {
                let Some(found) = &quiet.found else { continue };
                let Some(proposal) = found.proposals.proposals.get(*number) else { continue };
                if let Some(edit) = written(&found.scene, found.at, &found.proposals, proposal) {
                    works.write(Work::Do(edit));
                    acts.write(Act::Fit(found.at.fit + 1));
                }
            }
            Seek::Leave => *quiet = Places::default(),
        }
    }
    if changed {
        places.set_changed();
    }
}

impl Places {
    /// Takes what is ready, and lets go of what is of another lamp or of a boat that is no more. Whether anything changed.
    fn gather(&mut self, scene: &Arc<Scene>, chosen: Option<Subject>) -> bool {
        let holds = |at: LampAt, of: &Arc<Scene>| Arc::ptr_eq(of, scene) && chosen == Some(Subject::Lamp(at));
        let before = (self.looking.is_some(), self.found.is_some());
        self.looking = self.looking.take().filter(|(at, of, _)| holds(*at, of));
        self.found = self.found.take().filter(|found| holds(found.at, &found.scene));
        if let Some((at, scene, mut task)) = self.looking.take() {
            match block_on(poll_once(&mut task)) {
                Some(proposals) => self.found = Some(Found { at, scene, proposals }),
                None => self.looking = Some((at, scene, task)),
            }
        }
        before != (self.looking.is_some(), self.found.is_some())
    }
}

/// The edit that makes a proposal a new fit behind the one that it came from.
fn written(scene: &Scene, at: LampAt, found: &Proposals, proposal: &Proposal) -> Option<crate::edit::Edit> {
    let old = scene.fits.get(at.fit)?;
    let lamp = old.lamps.get(at.lamp)?;
    let name = kit::free(&format!("{}, {} moved", old.name, lamp.name), |name| scene.fit(name).is_some());
    let short = if proposal.passes() { "" } else { " It lacks something still: see the findings." };
    let note = format!("Place proposed by the program; {} places were looked at.{short}", found.looked_at);
    as_new_fit(scene, at.fit, &proposal.fit, &name, &note)
}

/// Draws the places.
pub struct GhostsPlugin;

impl Plugin for GhostsPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay).add_systems(Update, draw.in_set(Steps::Draw));
    }
}

#[derive(Component)]
struct Strokes;

fn lay(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut inks: ResMut<Assets<Ink>>) {
    commands.spawn((
        Name::new("places for a lamp"),
        Strokes,
        Mesh3d(meshes.add(Pen::default().mesh())),
        MeshMaterial3d(inks.add(Ink::layer(9))),
        NoFrustumCulling,
        Visibility::Hidden,
        Transform::default(),
    ));
}

/// More strokes than these are only a blur.
const MOST_DRAWN: usize = 1500;
/// As clear as a place is told to be.
const CLEAREST: f32 = 4.0;

/// Height and breadth of a stroke, metres.
fn stroke(view: View) -> (f32, f32) {
    if view == View::Deck { (0.045, 0.012) } else { (0.13, 0.035) }
}

fn draw(
    places: Option<Res<Places>>,
    choice: Res<Choice>,
    known: Res<Known>,
    mut before: Local<Option<View>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut strokes: Single<(&mut Mesh3d, &mut Visibility), With<Strokes>>,
) {
    let Some(places) = places else { return };
    let view = (places.found.is_some() && choice.view != View::Afloat).then_some(choice.view);
    let same = *before == view && !places.is_changed() && !known.is_changed();
    *before = view;
    if same {
        return;
    }
    let mut pen = Pen::default();
    if let (Some(found), Some(view)) = (&places.found, view) {
        let ghosts = &found.proposals.ghosts;
        let step = ghosts.len().div_ceil(MOST_DRAWN).max(1);
        for ghost in ghosts.iter().step_by(step) {
            one(&mut pen, &known, ghost, stroke(view));
        }
    }
    *strokes.1 = if pen.is_empty() { Visibility::Hidden } else { Visibility::Visible };
    strokes.0.0 = meshes.add(pen.mesh());
}

fn one(pen: &mut Pen, known: &Known, ghost: &Ghost, (height, line): (f32, f32)) {
    let foot = drawn(known.stance.level(ghost.centre));
    let colour = match ghost.verdict {
        Verdict::Hidden => covering(LinearRgba::gray(0.05), 0.5),
        // Bands are few, so the cast is exact.
        Verdict::Clear | Verdict::Proposed(_) => {
            let share = 0.25 + 0.75 * (ghost.band as f32 / CLEAREST).min(1.0);
            covering(ACCENT * share, 0.9)
        }
    };
    pen.rod(foot, foot + Vec3::Y * height, line, [colour; 2]);
}
