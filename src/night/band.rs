//! The band on the water between boat and ring: a stripe for each light, what must show on it held against what does.
//!
//! Takes the verdict's stripes, and what is regarded; gives meshes, for either half of a split picture. Drawn afresh only
//! when one of them changes; the letters follow the eye. How it looks is the [`Plot`]'s.

use std::sync::Arc;

use bevy::{camera::visibility::NoFrustumCulling, ecs::system::SystemParam, prelude::*};

use super::{
    Choice, Half, Judged, Known, Regarded, Rig, Shown, Steps, Verdict, View,
    known::{Both, Verdicts},
    paint::{Ink, Pen},
    plot::Plot,
};
use crate::boat::{Attitude, Pose};

/// Draws the band, the wedges of its shadows, and what the pointer is over.
pub struct BandPlugin;

impl Plugin for BandPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay).add_systems(Update, (draw, write_letters, light_up, show).in_set(Steps::Draw));
    }
}

/// The parts that are drawn apart.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
enum Layer {
    Stripes,
    Wedges,
    Letters,
    /// What is regarded, stronger than the rest.
    Lit,
}

fn lay(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut inks: ResMut<Assets<Ink>>) {
    for (name, layer, order) in [
        ("band", Layer::Stripes, 2),
        ("shadows of the band", Layer::Wedges, 3),
        ("what is pointed at", Layer::Lit, 4),
        ("letters of the band", Layer::Letters, 5),
    ] {
        let ink = inks.add(Ink::layer(order));
        for half in Half::BOTH {
            commands.spawn((
                Name::new(name),
                layer,
                half,
                half.layer(),
                Mesh3d(meshes.add(Pen::default().mesh())),
                MeshMaterial3d(ink.clone()),
                NoFrustumCulling,
                Visibility::Hidden,
                Transform::default(),
            ));
        }
    }
}

/// The band tells of the boat at rest; while she lies otherwise it steps back.
fn show(
    choice: Res<Choice>,
    mut inks: ResMut<Assets<Ink>>,
    mut layers: Query<(&mut Visibility, &MeshMaterial3d<Ink>), With<Layer>>,
) {
    if !choice.is_changed() {
        return;
    }
    let wanted = choice.arcs && choice.view == View::Aloft;
    let at_rest = choice.attitude == Attitude::default() && choice.pose == Pose::default();
    for (mut visibility, ink) in &mut layers {
        visibility.set_if_neq(if wanted { Visibility::Visible } else { Visibility::Hidden });
        Ink::dim(&mut inks, &ink.0, if at_rest { 1.0 } else { 0.35 });
    }
}

/// What is known and judged of either half.
#[derive(SystemParam)]
struct Told<'w> {
    both: Both<'w>,
    judged: Res<'w, Judged>,
    verdicts: Res<'w, Verdicts>,
    shown: Res<'w, Shown>,
    choice: Res<'w, Choice>,
}

impl Told<'_> {
    fn of(&self, half: Half) -> Option<(&Known, &Arc<Verdict>)> {
        let verdict = match half {
            Half::First => self.judged.0.as_ref()?,
            Half::Second => self.verdicts.of(self.choice.beside(&self.shown.0)?, self.choice.status)?,
        };
        Some((self.both.of(half)?, verdict))
    }
}

/// What a picture of the band is of: it is drawn afresh when this changes.
#[derive(Clone)]
struct Key {
    verdict: Arc<Verdict>,
    middle: glam::DVec3,
    length: f64,
    attitude: Attitude,
}

impl Key {
    fn of((known, verdict): (&Known, &Arc<Verdict>)) -> Self {
        Self {
            verdict: Arc::clone(verdict),
            middle: known.stance.middle(),
            length: known.scene().vessel.length.0,
            attitude: known.stance.attitude(),
        }
    }
}

impl PartialEq for Key {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.verdict, &other.verdict)
            && (self.middle, self.length, self.attitude) == (other.middle, other.length, other.attitude)
    }
}

/// What either half was last drawn of.
#[derive(Default)]
struct Before([Option<Key>; 2]);

impl Before {
    /// Whether this half is to show something else than before.
    fn turns(&mut self, half: Half, told: &Told) -> bool {
        let now = told.of(half).map(Key::of);
        let before = &mut self.0[half as usize];
        let changed = *before != now;
        *before = now;
        changed
    }
}

type Layers<'w, 's> = Query<'w, 's, (&'static Layer, &'static Half, &'static mut Mesh3d)>;

/// Takes what was drawn to its mesh.
fn put(meshes: &mut Assets<Mesh>, layers: &mut Layers, layer: Layer, half: Half, pen: Pen) {
    if let Some((.., mut mesh)) = layers.iter_mut().find(|(one, own, _)| **one == layer && **own == half) {
        mesh.0 = meshes.add(pen.mesh());
    }
}

fn draw(told: Told, mut before: Local<Before>, mut meshes: ResMut<Assets<Mesh>>, mut layers: Layers) {
    for half in Half::BOTH {
        if !before.turns(half, &told) {
            continue;
        }
        let (mut stripes, mut wedges) = (Pen::default(), Pen::default());
        if let Some((known, verdict)) = told.of(half) {
            let plot = Plot::new(known, verdict);
            (0..verdict.stripes.len()).for_each(|index| plot.stripe(&mut stripes, index));
            plot.shadows().for_each(|spot| plot.wedge(&mut wedges, spot, 1.0));
        }
        put(&mut meshes, &mut layers, Layer::Stripes, half, stripes);
        put(&mut meshes, &mut layers, Layer::Wedges, half, wedges);
    }
}

fn write_letters(
    told: Told,
    rig: Res<Rig>,
    mut before: Local<Before>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut layers: Layers,
) {
    if !(told.choice.arcs && told.choice.view == View::Aloft) {
        return;
    }
    let pose = rig.place();
    for half in Half::BOTH {
        let turns = before.turns(half, &told);
        if !(turns || rig.is_changed() || told.choice.is_changed()) {
            continue;
        }
        let mut pen = Pen::default();
        if let Some((known, verdict)) = told.of(half) {
            let plot = Plot::new(known, verdict);
            (0..verdict.stripes.len()).for_each(|index| plot.letters(&mut pen, index, &pose));
        }
        put(&mut meshes, &mut layers, Layer::Letters, half, pen);
    }
}

/// What is regarded is of the chosen fit.
fn light_up(regarded: Res<Regarded>, told: Told, mut meshes: ResMut<Assets<Mesh>>, mut layers: Layers) {
    if !regarded.is_changed() {
        return;
    }
    let mut pen = Pen::default();
    if let (Some(regard), Some((known, verdict))) = (&regarded.0, told.of(Half::First)) {
        let plot = Plot::new(known, verdict);
        for spot in &regard.spots {
            plot.wedge(&mut pen, *spot, 2.5);
            plot.light(&mut pen, *spot);
        }
    }
    put(&mut meshes, &mut layers, Layer::Lit, Half::First, pen);
}
