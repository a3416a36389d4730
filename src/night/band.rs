//! The band on the water between boat and ring: a stripe for each light, what must show on it held against what does.
//!
//! Takes the verdict's stripes, and what is regarded; gives meshes. Each state has a pattern of its own besides its
//! colour: plain where a light shows as it must, slanted strokes in a shadow (as on the printed plots), cross-hatching where
//! it is dark for another reason, dots where it shows outside its sector. Drawn afresh only when one of them changes; the
//! letters follow the eye.

use std::sync::Arc;

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Choice, Judged, Known, Regarded, Rig, Spot, Steps, Verdict, View,
    frame::drawn,
    glare::signal,
    hatch::Piece,
    letters,
    paint::{Ink, Pen, Sheet, covering, glowing},
    regard::thrown_by,
    ring::{ACCENT, AMISS, water, way},
};
use crate::{
    boat::{Attitude, Owner, Pose},
    measure::{self, Bearing},
    rules::{State, Stretch, Stripe, Why},
    shadow::Ray,
    survey::Survey,
};

/// Radii of the band and the greatest breadth of one stripe with its gap, in lengths of the boat.
const OUTER: f32 = 1.32;
const INNER: f32 = 0.78;
const BROADEST: f32 = 0.125;
/// The gap between stripes, as a share of their breadth.
const GAP: f32 = 0.16;

/// Ground of all that is amiss.
const GROUND: LinearRgba = LinearRgba::rgb(0.004, 0.006, 0.014);
/// Strokes where no light comes.
const PALE: LinearRgba = LinearRgba::rgb(0.50, 0.56, 0.72);

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
        commands.spawn((
            Name::new(name),
            layer,
            Mesh3d(meshes.add(Pen::default().mesh())),
            MeshMaterial3d(inks.add(Ink::layer(order))),
            NoFrustumCulling,
            Visibility::Hidden,
            Transform::default(),
        ));
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

/// Inner and outer radius of a stripe, in lengths of the boat; the first is the outermost.
fn track(index: usize, count: usize) -> (f32, f32) {
    let breadth = breadth(count);
    let outer = OUTER - breadth * index as f32;
    (outer - breadth * (1.0 - GAP), outer)
}

fn breadth(count: usize) -> f32 {
    ((OUTER - INNER) / count.max(1) as f32).min(BROADEST)
}

/// Which of so many stripes lies at a distance from midships, in lengths of the boat.
pub fn stripe_at(lengths: f32, count: usize) -> Option<usize> {
    let inward = (OUTER - lengths) / breadth(count);
    // Not negative, so the cast is exact.
    (inward >= 0.0).then_some(inward as usize).filter(|index| *index < count)
}

/// The place on the water, in the level frame, where a bearing of a stripe is drawn.
pub fn place_of(known: &Known, stripe: usize, count: usize, bearing: Bearing) -> glam::DVec3 {
    let (inner, outer) = track(stripe, count);
    known.stance.middle() + bearing.direction() * (f64::from(inner + outer) / 2.0 * known.scene().vessel.length.0)
}

/// What a picture of the band is of: it is drawn afresh when this changes.
#[derive(Default)]
struct Drawn(Option<(Arc<Verdict>, Vec3, f32)>);

impl Drawn {
    /// Whether this is another than before.
    fn turns_to(&mut self, judged: &Judged, known: &Known) -> bool {
        let new = judged
            .0
            .clone()
            .map(|verdict| (verdict, drawn(known.stance.middle()), known.scene().vessel.length.0 as f32));
        let same = match (&self.0, &new) {
            (Some(old), Some(new)) => Arc::ptr_eq(&old.0, &new.0) && (old.1, old.2) == (new.1, new.2),
            (None, None) => true,
            _ => false,
        };
        self.0 = new;
        !same
    }
}

/// Takes what was drawn to its mesh.
fn put(meshes: &mut Assets<Mesh>, layers: &mut Query<(&Layer, &mut Mesh3d)>, layer: Layer, pen: Pen) {
    if let Some((_, mut mesh)) = layers.iter_mut().find(|(one, _)| **one == layer) {
        mesh.0 = meshes.add(pen.mesh());
    }
}

fn draw(
    judged: Res<Judged>,
    known: Res<Known>,
    mut before: Local<Drawn>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut layers: Query<(&Layer, &mut Mesh3d)>,
) {
    if !(judged.is_changed() || known.is_changed()) || !before.turns_to(&judged, &known) {
        return;
    }
    let (mut stripes, mut wedges) = (Pen::default(), Pen::default());
    if let Some(verdict) = &judged.0 {
        let plot = Plot::new(&known, verdict);
        for index in 0..plot.verdict.stripes.len() {
            plot.stripe(&mut stripes, index);
        }
        for spot in plot.shadows() {
            plot.wedge(&mut wedges, spot, 1.0);
        }
    }
    put(&mut meshes, &mut layers, Layer::Stripes, stripes);
    put(&mut meshes, &mut layers, Layer::Wedges, wedges);
}

fn write_letters(
    judged: Res<Judged>,
    known: Res<Known>,
    choice: Res<Choice>,
    rig: Res<Rig>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut layers: Query<(&Layer, &mut Mesh3d)>,
) {
    let changed = judged.is_changed() || known.is_changed() || rig.is_changed() || choice.is_changed();
    if !(changed && choice.arcs && choice.view == View::Aloft) {
        return;
    }
    let pose = Transform::from_translation(rig.eye).looking_at(rig.target, Vec3::Y);
    let mut pen = Pen::default();
    if let Some(verdict) = &judged.0 {
        let plot = Plot::new(&known, verdict);
        for index in 0..plot.verdict.stripes.len() {
            plot.letters(&mut pen, index, &pose);
        }
    }
    put(&mut meshes, &mut layers, Layer::Letters, pen);
}

fn light_up(
    regarded: Res<Regarded>,
    judged: Res<Judged>,
    known: Res<Known>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut layers: Query<(&Layer, &mut Mesh3d)>,
) {
    if !regarded.is_changed() {
        return;
    }
    let mut pen = Pen::default();
    if let (Some(regard), Some(verdict)) = (&regarded.0, &judged.0) {
        let plot = Plot::new(&known, verdict);
        for spot in &regard.spots {
            plot.wedge(&mut pen, *spot, 2.5);
            plot.light(&mut pen, *spot);
        }
    }
    put(&mut meshes, &mut layers, Layer::Lit, pen);
}

/// What the band is drawn from.
struct Plot<'a> {
    known: &'a Known,
    verdict: &'a Verdict,
    sheet: Sheet,
    length: f32,
}

impl<'a> Plot<'a> {
    fn new(known: &'a Known, verdict: &'a Verdict) -> Self {
        Self { known, verdict, sheet: water(known), length: known.scene().vessel.length.0 as f32 }
    }

    fn piece(&self, index: usize, arc: measure::Arc) -> Piece<'_> {
        let (inner, outer) = track(index, self.verdict.stripes.len());
        Piece { sheet: &self.sheet, inner: inner * self.length, outer: outer * self.length, arc }
    }

    /// Sizes of strokes, so many lengths of the boat.
    fn size(&self, lengths: f32) -> f32 {
        lengths * self.length
    }

    fn stripe(&self, pen: &mut Pen, index: usize) {
        let stripe = &self.verdict.stripes[index];
        for stretch in &stripe.stretches {
            self.stretch(pen, &self.piece(index, stretch.arc), stripe, stretch);
        }
        // Along its outer edge, all that is due.
        if let Some(due) = stripe.due {
            let piece = self.piece(index, due);
            let rail = piece.between(piece.outer, piece.outer + self.size(0.008));
            rail.fill(pen, covering(signal(stripe.colour) * 0.8, 0.9));
        }
    }

    fn stretch(&self, pen: &mut Pen, piece: &Piece, stripe: &Stripe, stretch: &Stretch) {
        let colour = signal(stripe.colour);
        let (apart, line) = (self.size(0.042), self.size(0.010));
        let amiss = if stretch.excused { PALE } else { AMISS };
        match stretch.state {
            State::Shows => return piece.shade(pen, [covering(colour * 0.10, 0.8), covering(colour * 0.42, 0.9)]),
            State::Shadow { .. } => {
                piece.fill(pen, covering(GROUND, 0.86));
                piece.strokes(pen, 1.0, apart, line, covering(PALE, 0.9));
            }
            State::Dark(why) => {
                // Too little light is some light.
                let ground = if why == Why::Weak { colour * 0.16 } else { GROUND };
                piece.fill(pen, covering(ground, 0.86));
                for slope in [1.0, -1.0] {
                    piece.strokes(pen, slope, apart * 1.3, line, covering(amiss * 0.8, 0.8));
                }
            }
            State::Spill => {
                piece.fill(pen, covering(GROUND, 0.7));
                piece.dots(pen, apart * 1.2, self.size(0.016), covering(colour, 1.0));
            }
        }
        piece.rim(pen, self.size(0.007), covering(amiss, 0.9));
    }

    /// A letter in the middle of each stretch that has room for it, and further ones along those that are long.
    fn letters(&self, pen: &mut Pen, index: usize, pose: &Transform) {
        const BETWEEN: f64 = 75.0;
        let stripe = &self.verdict.stripes[index];
        let (inner, outer) = track(index, self.verdict.stripes.len());
        let height = (outer - inner) * 0.78;
        for stretch in &stripe.stretches {
            let piece = self.piece(index, stretch.arc);
            if piece.length() < self.size(height * 1.6) {
                continue;
            }
            let count = (stretch.arc.width / BETWEEN).round().max(1.0);
            for letter in 0..count as u32 {
                let bearing = stretch.arc.from.turned((f64::from(letter) + 0.5) / count * stretch.arc.width);
                let place = self.sheet.at(way(bearing) * self.size((inner + outer) / 2.0)) + Vec3::Y * 0.01;
                let sheet = Sheet { middle: place, right: *pose.right() * self.length, up: *pose.up() * self.length };
                pen.disc(&sheet, Vec2::ZERO, height * 0.62, covering(GROUND, 0.9));
                let ink = covering(signal(stripe.colour), 1.0);
                let letter = stripe.colour.letter();
                letters::write(pen, &sheet, Vec2::ZERO, height * 0.8, height * 0.15, ink, letter);
            }
        }
    }

    fn shadows(&self) -> impl Iterator<Item = Spot> + '_ {
        let stripes = self.verdict.stripes.iter().enumerate();
        stripes.flat_map(|(stripe, one)| {
            let shadows = one.stretches.iter().enumerate().filter(|(_, stretch)| thrown_by(stretch).is_some());
            shadows.map(move |(stretch, _)| Spot { stripe, stretch })
        })
    }

    /// From the part that throws a shadow to the stretch of the band where it falls.
    fn wedge(&self, pen: &mut Pen, spot: Spot, strength: f32) {
        let stripe = &self.verdict.stripes[spot.stripe];
        let stretch = &stripe.stretches[spot.stretch];
        let Some(tip) = thrown_by(stretch).and_then(|owner| thrower(&self.verdict.survey, stripe, stretch.arc, owner))
        else {
            return;
        };
        let tip = drawn(self.known.stance.level(tip));
        let piece = self.piece(spot.stripe, stretch.arc);
        let count = (stretch.arc.width / 3.0).ceil().max(1.0);
        // A wide one covers much, and would wash out the boat.
        let veil = strength * 12.0 / (12.0 + stretch.arc.width as f32);
        let (near, far) = (glowing(PALE, 0.14 * veil), glowing(PALE, 0.07 * veil));
        let at = |side: u32| {
            let bearing = stretch.arc.from.turned(f64::from(side) / count * stretch.arc.width);
            self.sheet.at(way(bearing) * piece.inner)
        };
        for side in 0..count as u32 {
            let corners = [(tip, near), (at(side), far), (at(side + 1), far)];
            let [a, b, c] = corners.map(|(point, colour)| pen.vertex(point, colour, Vec2::ZERO));
            pen.triangle([a, b, c]);
        }
        for end in [at(0), at(count as u32)] {
            let shine = |share: f32| glowing(PALE, share * strength.sqrt());
            pen.rod(tip, end, self.size(0.005), [shine(0.12), shine(0.22)]);
        }
    }

    /// A stretch that is pointed at.
    fn light(&self, pen: &mut Pen, spot: Spot) {
        let stretch = &self.verdict.stripes[spot.stripe].stretches[spot.stretch];
        let piece = self.piece(spot.stripe, stretch.arc);
        piece.fill(pen, glowing(ACCENT, 0.16));
        let line = self.size(0.012);
        piece.between(piece.inner - line, piece.outer + line).rim(pen, line, covering(ACCENT, 1.0));
    }
}

/// Where a part throws the shadow that falls on an arc: the first place, in the vessel frame, at which a line from the lamp
/// meets it. A part too thin for the lines that are tried is taken by the middle of its nearest solid.
fn thrower(survey: &Survey, stripe: &Stripe, arc: measure::Arc, owner: Owner) -> Option<glam::DVec3> {
    let rest = survey.rest();
    let centres = || stripe.lights.iter().map(|light| rest.posed().lamps[light.lamp].centre);
    let directions =
        [0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95].map(|share| arc.from.turned(share * arc.width).direction());
    let lines = directions.iter().flat_map(|direction| {
        centres().map(move |origin| Ray { origin, direction: *direction, length: f64::INFINITY })
    });
    let met = lines.filter_map(|ray| Some(ray.at(rest.obstacles().met_at(&ray, owner)?))).next();
    met.or_else(|| {
        let own = rest.posed().solids.iter().filter(|solid| solid.owner == owner);
        let middles = own.map(|solid| solid.shape.bounding_ball().0);
        let off = |place: &glam::DVec3| centres().map(|centre| centre.distance(*place)).fold(f64::INFINITY, f64::min);
        middles.min_by(|a, b| off(a).total_cmp(&off(b)))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_drawn_at_a_radius_is_what_is_found_there() {
        for count in 1..12 {
            for index in 0..count {
                let (inner, outer) = track(index, count);
                assert!(inner < outer && inner > 0.7 && outer <= OUTER);
                assert_eq!(stripe_at((inner + outer) / 2.0, count), Some(index));
            }
            assert_eq!(stripe_at(OUTER + 0.01, count), None);
            assert_eq!(stripe_at(0.5, count), None);
        }
        assert_eq!(stripe_at(1.0, 0), None);
    }
}
