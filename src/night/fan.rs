//! The light of the chosen lamp as a translucent fan, as high and as wide as it is, lying as the lamp is set and the boat
//! lies: a lamp laid flat on deck is seen to shine at the sky.
//!
//! Its limits are where the light falls below the least intensity that the rules ask of it inside its sector; where they ask
//! nothing, or the lamp gives that much nowhere, where it falls to half of its peak. Where her own parts hide it, it ends.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Choice, Judged, Known, Steps, Verdict, View, Workbench,
    frame::drawn,
    glare::signal,
    paint::{Ink, Pen, glowing},
};
use crate::{
    edit::Subject,
    light::Colour,
    measure::{Candela, Metres},
    survey::{Blade, Fan, LightId, Spoke},
};

/// How a fan is drawn: how far, in lengths of the boat, how thick its lines, in the same, and how strong.
struct Style {
    reach: f64,
    line: f32,
    strength: f32,
}

/// As far as the ring of observers.
const ALOFT: Style = Style { reach: 1.5, line: 0.006, strength: 1.0 };
/// From close by it would fill the picture.
const ON_DECK: Style = Style { reach: 0.7, line: 0.0025, strength: 0.45 };

fn style(view: View) -> &'static Style {
    if view == View::Deck { &ON_DECK } else { &ALOFT }
}

/// Draws the fan. There is none without a [`Workbench`] to choose a lamp on.
pub struct FanPlugin;

impl Plugin for FanPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, lay).add_systems(Update, draw.in_set(Steps::Draw));
    }
}

#[derive(Component)]
struct Silk;

fn lay(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut inks: ResMut<Assets<Ink>>) {
    commands.spawn((
        Name::new("fan of the chosen lamp"),
        Silk,
        Mesh3d(meshes.add(Pen::default().mesh())),
        MeshMaterial3d(inks.add(Ink::layer(9))),
        NoFrustumCulling,
        Visibility::Hidden,
        Transform::default(),
    ));
}

/// The chosen lamp of the shown fit, where its fan is wanted, and the view that it is for.
fn wanted(choice: &Choice, bench: Option<&Workbench>) -> Option<(usize, View)> {
    match bench?.chosen()? {
        Subject::Lamp(at) if at.fit == choice.fit && choice.arcs && choice.view != View::Afloat => {
            Some((at.lamp, choice.view))
        }
        _ => None,
    }
}

fn draw(
    choice: Res<Choice>,
    bench: Option<Res<Workbench>>,
    known: Res<Known>,
    judged: Res<Judged>,
    mut before: Local<Option<(usize, View)>>,
    mut meshes: ResMut<Assets<Mesh>>,
    mut silk: Single<(&mut Mesh3d, &mut Visibility), With<Silk>>,
) {
    let wanted = wanted(&choice, bench.as_deref());
    let same = *before == wanted;
    *before = wanted;
    if same && (wanted.is_none() || !(known.is_changed() || judged.is_changed())) {
        return;
    }
    let mut pen = Pen::default();
    if let Some((lamp, view)) = wanted {
        let style = style(view);
        for fan in fans(&known, judged.0.as_deref(), lamp, style) {
            Cloth::new(&known, &fan, style).draw(&mut pen, &fan);
        }
    }
    *silk.1 = if pen.is_empty() { Visibility::Hidden } else { Visibility::Visible };
    silk.0.0 = meshes.add(pen.mesh());
}

/// A fan for each light of a lamp.
fn fans(known: &Known, verdict: Option<&Verdict>, lamp: usize, style: &Style) -> Vec<Fan> {
    let most = Metres(style.reach * known.scene().vessel.length.0);
    let lights = known.stance.lights().filter(|light| light.lamp == lamp);
    lights.map(|light| known.stance.fan(light, due(verdict, light), most)).collect()
}

/// The least that is asked of a light inside its sector.
fn due(verdict: Option<&Verdict>, light: LightId) -> Option<Candela> {
    verdict?.stripes.iter().filter(|stripe| stripe.lights.contains(&light)).find_map(|stripe| stripe.minimum)
}

/// What a fan is drawn with.
struct Cloth {
    at: Vec3,
    colour: Colour,
    line: f32,
    strength: f32,
}

impl Cloth {
    fn new(known: &Known, fan: &Fan, style: &Style) -> Self {
        let line = style.line * known.scene().vessel.length.0 as f32;
        Self { at: drawn(fan.at), colour: known.stance.colour(fan.light), line, strength: style.strength }
    }

    fn glow(&self, strength: f32) -> [f32; 4] {
        glowing(signal(self.colour), strength * self.strength)
    }

    fn draw(&self, pen: &mut Pen, fan: &Fan) {
        for blade in &fan.blades {
            self.face(pen, fan, &blade.upper);
            self.face(pen, fan, &blade.lower);
            if blade.arc.width < 360.0 {
                self.ends(pen, fan, blade);
            }
        }
    }

    /// One of its faces, fading outward, and the line along its edge.
    fn face(&self, pen: &mut Pen, fan: &Fan, spokes: &[Spoke]) {
        let tips: Vec<Vec3> = spokes.iter().map(|spoke| tip(fan, spoke)).collect();
        let hub = pen.vertex(self.at, self.glow(0.075), Vec2::ZERO);
        let mut last = None;
        for tip in &tips {
            let corner = pen.vertex(*tip, self.glow(0.03), Vec2::ZERO);
            if let Some(last) = last.replace(corner) {
                pen.triangle([hub, last, corner]);
            }
        }
        for pair in tips.windows(2) {
            pen.rod(pair[0], pair[1], self.line, [self.glow(0.32); 2]);
        }
    }

    /// Where the sector begins and ends.
    fn ends(&self, pen: &mut Pen, fan: &Fan, blade: &Blade) {
        let ends = [(blade.upper.first(), blade.lower.first()), (blade.upper.last(), blade.lower.last())];
        for (upper, lower) in ends.into_iter().filter_map(|(upper, lower)| upper.zip(lower)) {
            let [high, low] = [upper, lower].map(|spoke| tip(fan, spoke));
            let corners = [(self.at, 0.075), (high, 0.03), (low, 0.03)];
            let corners = corners.map(|(point, strength)| pen.vertex(point, self.glow(strength), Vec2::ZERO));
            pen.triangle(corners);
            for (from, to) in [(self.at, high), (self.at, low), (high, low)] {
                pen.rod(from, to, self.line, [self.glow(0.5), self.glow(0.32)]);
            }
        }
    }
}

/// Where a spoke ends: where something of hers hides the light, on the water, or where the drawing does.
fn tip(fan: &Fan, spoke: &Spoke) -> Vec3 {
    let to_water = if spoke.toward.z < 0.0 { fan.at.z.max(0.0) / -spoke.toward.z } else { f64::INFINITY };
    drawn(fan.at + spoke.toward * spoke.clear.0.min(to_water))
}
