//! The camera: aloft, afloat at an observer's eye, or close to the deck, moving smoothly from one to the next.
//!
//! Takes the [`Choice`]; gives the camera's place, and through [`Rig`] the eye that the survey is asked about.

use bevy::{core_pipeline::tonemapping::Tonemapping, ecs::system::SystemParam, prelude::*};
use glam::DVec3;

use super::{Choice, Known, Sight, Steps, View, frame::drawn};
use crate::{boat::Scene, measure::Metres};

/// Where the eye is and what it looks at, as drawn.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub struct Rig {
    pub eye: Vec3,
    pub target: Vec3,
    /// Height of the view, radians.
    pub field_of_view: f32,
}

impl Default for Rig {
    fn default() -> Self {
        Self { eye: Vec3::new(10.0, 10.0, 10.0), target: Vec3::ZERO, field_of_view: BARE_EYE }
    }
}

/// Whether the camera glides to where it ought to be, or is there at once.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Gait {
    Glide,
    #[default]
    Jump,
}

/// A view this high, in radians (40 degrees), shows on a screen at arm's length about what the bare eye sees.
const BARE_EYE: f32 = 0.698_131_7;
/// Common glasses for use afloat magnify seven times.
const GLASSES: f32 = 7.0;
/// Seconds in which the camera covers half of what is left of its way.
const HALF_WAY: f32 = 0.11;

/// Moves the camera.
pub struct EyePlugin;

impl Plugin for EyePlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Rig>()
            .init_resource::<Gait>()
            .init_resource::<FieldOfView>()
            .add_systems(Startup, open_eye)
            .add_systems(Update, (travel, look).chain().in_set(Steps::Look));
    }
}

/// A height of view that takes the place of the chosen one, radians.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct FieldOfView(pub Option<f32>);

/// Put on the camera that is to show the night, when it is spawned elsewhere (as for pictures without a window).
#[derive(Component)]
pub struct NightEye;

fn open_eye(mut commands: Commands, already: Query<(), With<NightEye>>) {
    if already.is_empty() {
        // Smooth edges cost more than software rendering has to give.
        commands.spawn(night_camera(Msaa::Off));
    }
}

/// A camera made for the night, its edges as smooth as asked.
pub fn night_camera(smooth: Msaa) -> impl Bundle {
    (
        Name::new("eye"),
        NightEye,
        Camera3d::default(),
        Projection::Perspective(PerspectiveProjection { near: 0.05, far: 50_000.0, ..default() }),
        // Every shader here gives the colours of the screen itself.
        Tonemapping::None,
        smooth,
    )
}

/// Height of the highest thing aboard, above the water at rest.
fn height(known: &Known) -> f64 {
    let posed = known.stance.posed();
    let solids = posed.solids.iter().map(|solid| {
        let (centre, radius) = solid.shape.bounding_ball();
        // A great ball round the hull says nothing of her height.
        if radius > 3.0 { centre.z } else { centre.z + radius }
    });
    let lamps = posed.lamps.iter().map(|lamp| lamp.centre.z);
    solids.chain(lamps).fold(known.scene().vessel.freeboard.0, f64::max)
}

/// Height of a view, radians, in which the boat fills about seven tenths of the breadth of the picture lying beam on,
/// and all her height. The same for every bearing, so that walking round her changes only what she shows.
pub fn filling_view(scene: &Scene, highest: Metres, distance: Metres, aspect: f32) -> f32 {
    let breadth = scene.vessel.length.0 / 0.7 / f64::from(aspect);
    let size = breadth.max(highest.0 * 1.9);
    (2.0 * (size / 2.0 / distance.0.max(1.0)).atan()) as f32
}

impl Rig {
    /// Where the choice puts the eye.
    pub fn wanted(choice: &Choice, known: &Known, aspect: f32) -> Self {
        let middle = known.stance.middle();
        let orbit = |orbit: &super::Orbit, target: DVec3| {
            let eye = target + orbit.bearing.direction_at(orbit.up) * orbit.away.0;
            Self { eye: drawn(eye), target: drawn(target), field_of_view: BARE_EYE }
        };
        match choice.view {
            View::Aloft => orbit(&choice.aloft, middle),
            View::Deck => {
                // A little forward of midships and above the deck: among the lamps, whichever fit is on.
                let vessel = &known.scene().vessel;
                orbit(&choice.deck, middle + DVec3::new(0.06 * vessel.length.0, 0.0, vessel.freeboard.0 * 1.6))
            }
            View::Afloat => {
                let highest = height(known);
                let eye = choice.watch.station().point(middle);
                let field_of_view = match choice.sight {
                    Sight::Eye => BARE_EYE,
                    Sight::Glasses => BARE_EYE / GLASSES,
                    Sight::Filled => {
                        filling_view(known.scene(), Metres(highest), choice.watch.distance, aspect).min(BARE_EYE)
                    }
                };
                let target = middle + DVec3::Z * (highest * 0.42);
                Self { eye: drawn(eye), target: drawn(target), field_of_view }
            }
        }
    }

    /// Part of the way to another, by turning and nearing rather than straight, so that the boat stays in view.
    fn toward(&self, other: &Self, share: f32) -> Self {
        let (from, to) = (self.eye - self.target, other.eye - other.target);
        let polar = |way: Vec3| (way.z.atan2(way.x), way.y.atan2(way.xz().length()), way.length().max(0.01).ln());
        let (mut a, b) = (polar(from), polar(to));
        let turn = (b.0 - a.0 + std::f32::consts::PI).rem_euclid(std::f32::consts::TAU) - std::f32::consts::PI;
        a = (a.0 + turn * share, a.1 + (b.1 - a.1) * share, a.2 + (b.2 - a.2) * share);
        let (up, level) = a.1.sin_cos();
        let way = Vec3::new(a.0.cos() * level, up, a.0.sin() * level) * a.2.exp();
        let target = self.target.lerp(other.target, share);
        let narrow = (self.field_of_view.ln() * (1.0 - share) + other.field_of_view.ln() * share).exp();
        Self { eye: target + way, target, field_of_view: narrow }
    }

    fn close_to(&self, other: &Self) -> bool {
        self.eye.distance(other.eye) < 1e-3 * other.eye.distance(other.target)
            && self.target.distance(other.target) < 1e-3
            && (self.field_of_view / other.field_of_view - 1.0).abs() < 1e-3
    }
}

/// Breadth of the picture over its height.
pub fn aspect(camera: &Camera) -> f32 {
    camera.logical_viewport_size().map_or(16.0 / 9.0, |size| size.x / size.y.max(1.0))
}

/// What decides where the eye ought to be.
#[derive(SystemParam)]
struct Wanted<'w, 's> {
    choice: Res<'w, Choice>,
    known: Res<'w, Known>,
    field_of_view: Res<'w, FieldOfView>,
    camera: Single<'w, 's, &'static Camera, With<NightEye>>,
}

impl Wanted<'_, '_> {
    fn rig(&self) -> Rig {
        let rig = Rig::wanted(&self.choice, &self.known, aspect(&self.camera));
        Rig { field_of_view: self.field_of_view.0.unwrap_or(rig.field_of_view), ..rig }
    }
}

fn travel(time: Res<Time>, gait: Res<Gait>, wanted: Wanted, mut rig: ResMut<Rig>, mut begun: Local<bool>) {
    let wanted = wanted.rig();
    if *gait == Gait::Jump || !*begun || rig.close_to(&wanted) {
        *begun = true;
        rig.set_if_neq(wanted);
    } else {
        let share = 1.0 - 0.5f32.powf(time.delta_secs().min(0.1) / HALF_WAY);
        *rig = rig.toward(&wanted, share);
    }
}

fn look(rig: Res<Rig>, mut camera: Single<(&mut Transform, &mut Projection), With<NightEye>>) {
    if !rig.is_changed() {
        return;
    }
    *camera.0 = Transform::from_translation(rig.eye).looking_at(rig.target, Vec3::Y);
    if let Projection::Perspective(perspective) = camera.1.as_mut() {
        perspective.fov = rig.field_of_view;
    }
}
