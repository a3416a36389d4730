//! The ring of thirty-two observers drawn on the water, what each sees and where that is wrong, and the sector from
//! which another vessel counts as overtaking.
//!
//! The ring is drawn at a comfortable radius of its own, however far off the observers really are: half a mile and the
//! boat do not fit one picture. What the marks say is computed for the real distance.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Choice, Known, Observer, Rig, Steps, View,
    frame::drawn,
    glare::signal,
    letters,
    paint::{Ink, Pen, Sheet, covering},
};
use crate::{
    light::Colours,
    measure::{Arc, Bearing},
    rules::{LightKind, international},
};

/// Our own colour, none of the signal colours: a violet (sRGB A8 92 FF).
pub const ACCENT: LinearRgba = LinearRgba::rgb(0.392, 0.287, 1.0);
/// What marks a showing that is not as it must be: a pink (sRGB FF 6C A4), no signal colour either.
pub const AMISS: LinearRgba = LinearRgba::rgb(1.0, 0.150, 0.371);
pub const LINE: LinearRgba = LinearRgba::rgb(0.36, 0.42, 0.56);

/// Radius of the ring as drawn, in lengths of the boat.
pub const RADIUS: f32 = 1.6;
/// Sizes of marks, in lengths of the boat.
const DISC: f32 = 0.066;
const STEP: f32 = 0.17;

/// Draws ring, marks and sector.
pub struct RingPlugin;

impl Plugin for RingPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay)
            .add_systems(Update, (draw_lines, draw_marks, show, dim_sector).in_set(Steps::Draw));
    }
}

/// The parts that are shown or hidden apart.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
enum Chalk {
    Sector,
    Lines,
    Marks,
}

fn lay(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut inks: ResMut<Assets<Ink>>) {
    // Between the sector and the ring lies the band.
    for (name, chalk, layer) in
        [("overtaking sector", Chalk::Sector, 1), ("ring", Chalk::Lines, 6), ("marks of the ring", Chalk::Marks, 7)]
    {
        commands.spawn((
            Name::new(name),
            chalk,
            Mesh3d(meshes.add(Pen::default().mesh())),
            MeshMaterial3d(inks.add(Ink::layer(layer))),
            NoFrustumCulling,
            Visibility::Hidden,
            Transform::default(),
        ));
    }
}

/// From the ring one goes aboard and afloat; from there it would stand in the way of what it points at.
fn show(choice: Res<Choice>, mut chalks: Query<(&Chalk, &mut Visibility)>) {
    for (chalk, mut visibility) in &mut chalks {
        let wanted = match chalk {
            Chalk::Sector => choice.sector && choice.view != View::Deck,
            Chalk::Lines | Chalk::Marks => choice.ring && choice.view == View::Aloft,
        };
        visibility.set_if_neq(if wanted { Visibility::Visible } else { Visibility::Hidden });
    }
}

/// Seen flat from far off, the sector would be a bright line along the water that means nothing.
fn dim_sector(
    rig: Res<Rig>,
    known: Res<Known>,
    chalks: Query<(&Chalk, &MeshMaterial3d<Ink>)>,
    mut inks: ResMut<Assets<Ink>>,
) {
    let from_boat = rig.eye - drawn(known.stance.middle());
    let steep = from_boat.y / from_boat.length().max(0.1);
    for (_, ink) in chalks.iter().filter(|(chalk, _)| **chalk == Chalk::Sector) {
        Ink::dim(&mut inks, &ink.0, ((steep - 0.02) * 8.0).clamp(0.0, 1.0));
    }
}

/// The bearings from which another vessel counts as overtaking: the arc of the sternlight.
pub fn overtaking() -> Option<Arc> {
    international().sector(LightKind::Sternlight).map(|row| row.arc())
}

/// A bearing on the sheet of the water, one metre out.
pub fn way(bearing: Bearing) -> Vec2 {
    let direction = bearing.direction();
    Vec2::new(direction.x as f32, direction.y as f32)
}

/// The sheet that marks are drawn on, its middle midships.
pub fn water(known: &Known) -> Sheet {
    Sheet { middle: drawn(known.stance.middle()) + Vec3::Y * 0.01, ..Sheet::WATER }
}

fn draw_lines(known: Res<Known>, mut meshes: ResMut<Assets<Mesh>>, chalks: Query<(&Chalk, &mut Mesh3d)>) {
    if !known.is_changed() {
        return;
    }
    let length = known.scene().vessel.length.0 as f32;
    let sheet = water(&known);
    for (chalk, mut mesh) in chalks {
        let mut pen = Pen::default();
        match chalk {
            Chalk::Sector => draw_sector(&mut pen, &sheet, length),
            Chalk::Lines => draw_ring(&mut pen, &sheet, length),
            Chalk::Marks => continue,
        }
        mesh.0 = meshes.add(pen.mesh());
    }
}

fn draw_sector(pen: &mut Pen, sheet: &Sheet, length: f32) {
    let Some(arc) = overtaking() else { return };
    let radius = RADIUS * length;
    const SLICES: u32 = 54;
    let middle = pen.vertex(sheet.at(Vec2::ZERO), covering(ACCENT, 0.015), Vec2::ZERO);
    for slice in 0..=SLICES {
        let bearing = arc.from.turned(arc.width * f64::from(slice) / f64::from(SLICES));
        let at = pen.vertex(sheet.at(way(bearing) * radius), covering(ACCENT, 0.11), Vec2::ZERO);
        if slice > 0 {
            pen.triangle([middle, at - 1, at]);
        }
    }
    for edge in [arc.from, arc.to()] {
        let colours = [covering(ACCENT, 0.25), covering(ACCENT, 0.95)];
        pen.line(sheet, way(edge) * 0.2 * length, way(edge) * radius * 1.04, 0.014 * length, colours);
    }
}

fn draw_ring(pen: &mut Pen, sheet: &Sheet, length: f32) {
    let radius = RADIUS * length;
    pen.circle(sheet, Vec2::ZERO, radius, 0.009 * length, covering(LINE, 0.55), 160);
    // Right ahead, the beams and right astern reach inward as a compass card's do.
    for bearing in Bearing::points() {
        let quarter = bearing.degrees() % 90.0 == 0.0;
        let (inner, share) = if quarter { (0.86, 0.7) } else { (0.965, 0.5) };
        let colours = [covering(LINE, share * 0.3), covering(LINE, share)];
        pen.line(sheet, way(bearing) * radius * inner, way(bearing) * radius, 0.009 * length, colours);
    }
    // Ahead, an arrow head.
    let tip = way(Bearing::AHEAD) * radius * 0.84;
    let side = Vec2::new(-0.09, 0.045) * length;
    for to in [side, side * Vec2::new(1.0, -1.0)] {
        pen.line(sheet, tip, tip + to, 0.012 * length, [covering(LINE, 0.8), covering(LINE, 0.3)]);
    }
}

/// Where an observer's spot on the ring and his marks stand, as drawn.
pub fn mark_places(known: &Known, observer: &Observer) -> impl Iterator<Item = Vec3> {
    let length = known.scene().vessel.length.0 as f32;
    let ground = water(known);
    let outward = way(observer.bearing);
    let marks = observer.showing.or(observer.missing()).iter().count().max(1);
    let first = RADIUS + STEP * 0.7;
    let lengths = std::iter::once(RADIUS).chain((0..marks).map(move |mark| first + STEP * mark as f32));
    lengths.map(move |lengths| ground.at(outward * lengths * length))
}

fn draw_marks(
    rig: Res<Rig>,
    known: Res<Known>,
    choice: Res<Choice>,
    observers: Query<(&Observer, Ref<Observer>)>,
    mut meshes: ResMut<Assets<Mesh>>,
    chalks: Query<(&Chalk, &mut Mesh3d)>,
) {
    let changed = rig.is_changed()
        || known.is_changed()
        || choice.is_changed()
        || observers.iter().any(|(_, watched)| watched.is_changed());
    if !(changed && choice.ring && choice.view == View::Aloft) {
        return;
    }
    let pose = rig.place();
    let mut pen = Pen::default();
    for (observer, _) in &observers {
        let chosen = observer.number == choice.observer();
        draw_observer(&mut pen, &known, observer, &pose, chosen);
    }
    for (chalk, mut mesh) in chalks {
        if *chalk == Chalk::Marks {
            mesh.0 = meshes.add(std::mem::take(&mut pen).mesh());
        }
    }
}

/// One observer: discs outward from the ring with their letters, turned to the eye so that they can be read.
fn draw_observer(pen: &mut Pen, known: &Known, observer: &Observer, pose: &Transform, chosen: bool) {
    let length = known.scene().vessel.length.0 as f32;
    let ground = water(known);
    let outward = way(observer.bearing);
    let facing = |lengths: f32| Sheet {
        middle: ground.at(outward * lengths * length) + Vec3::Y * 0.02,
        right: *pose.right() * length,
        up: *pose.up() * length,
    };
    let ink = covering(LinearRgba::rgb(0.004, 0.006, 0.012), 1.0);
    let (missing, extra) = (observer.missing(), observer.extra());
    let mut lengths = RADIUS + STEP * 0.7;
    for colour in observer.showing.iter() {
        let sheet = facing(lengths);
        pen.disc(&sheet, Vec2::ZERO, DISC, covering(signal(colour) * 0.85, 1.0));
        letters::write(pen, &sheet, Vec2::ZERO, DISC * 1.15, DISC * 0.22, ink, colour.letter());
        if extra.contains(colour) {
            pen.circle(&sheet, Vec2::ZERO, DISC * 1.3, DISC * 0.26, covering(AMISS, 1.0), 28);
        }
        lengths += STEP;
    }
    if observer.showing == Colours::NONE && missing == Colours::NONE {
        let grey = covering(LINE, 0.9);
        letters::write(pen, &facing(lengths), Vec2::ZERO, DISC * 1.3, DISC * 0.24, grey, '-');
    }
    // What must show and does not: an empty circle with its letter, struck through.
    for colour in missing.iter() {
        let sheet = facing(lengths);
        let faint = covering(signal(colour) * 0.6, 0.9);
        pen.circle(&sheet, Vec2::ZERO, DISC * 0.95, DISC * 0.14, faint, 28);
        let corner = Vec2::splat(DISC * 1.0);
        pen.line(&sheet, -corner, corner, DISC * 0.22, [covering(AMISS, 1.0); 2]);
        // The stroke passes behind the letter, which small and far off could not be read through it.
        pen.disc(&sheet, Vec2::ZERO, DISC * 0.72, ink);
        let letter = covering(signal(colour) * 0.85, 1.0);
        letters::write(pen, &sheet, Vec2::ZERO, DISC * 1.15, DISC * 0.22, letter, colour.letter());
        lengths += STEP;
    }
    if missing.or(extra) != Colours::NONE {
        pen.disc(&facing(RADIUS), Vec2::ZERO, DISC * 0.36, covering(AMISS, 1.0));
    }
    if chosen {
        pen.circle(
            &ground,
            outward * RADIUS * length,
            DISC * 0.75 * length,
            DISC * 0.3 * length,
            covering(ACCENT, 1.0),
            28,
        );
    }
}
