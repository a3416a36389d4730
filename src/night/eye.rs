//! The camera: aloft, afloat at an observer's eye, or close to the deck, moving smoothly from one to the next.
//!
//! Takes the [`Choice`]; gives the camera's place, and through [`Rig`] the eye that the survey is asked about. While two
//! fits are seen side by side, two cameras of one place draw a half each, and the first draws nothing but panels.

use bevy::{
    camera::{Viewport, visibility::RenderLayers},
    core_pipeline::tonemapping::Tonemapping,
    ecs::system::SystemParam,
    prelude::*,
    window::PrimaryWindow,
};
use glam::DVec3;

use super::{
    Choice, Half, Known, Sight, Steps, View,
    frame::{drawn, level},
    sea::Waves,
    thrift::plain_view,
};
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

/// Size of the picture, or of a half of it while it is split: physical pixels.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub struct Canvas(pub Vec2);

impl Default for Canvas {
    fn default() -> Self {
        Self(Vec2::new(1280.0, 720.0))
    }
}

impl Canvas {
    /// Breadth over height.
    pub fn aspect(self) -> f32 {
        self.0.x / self.0.y.max(1.0)
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
pub(super) const BARE_EYE: f32 = 0.698_131_7;
/// Common glasses for use afloat magnify seven times.
const GLASSES: f32 = 7.0;
/// Seconds in which the camera covers half of what is left of its way.
const HALF_WAY: f32 = 0.11;
/// Close to what is chosen, the eye is nearer than on deck by this.
const CLOSE: f64 = 0.22;

/// Where what is chosen aboard is, level frame. While it is moved under the hand, the eye waits.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Focus(pub Option<DVec3>);

/// Moves the camera.
pub struct EyePlugin;

impl Plugin for EyePlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Rig>()
            .init_resource::<Gait>()
            .init_resource::<Canvas>()
            .init_resource::<Still>()
            .init_resource::<Focus>()
            .init_resource::<Waves>()
            .init_resource::<FieldOfView>()
            .add_systems(Startup, open_eye)
            .add_systems(Update, (stretch, travel, heave, halve, look).chain().in_set(Steps::Look));
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
    (Name::new("eye"), NightEye, lens(smooth))
}

fn lens(smooth: Msaa) -> impl Bundle {
    (
        Camera3d::default(),
        Projection::Perspective(PerspectiveProjection { near: 0.05, far: 50_000.0, ..default() }),
        // Every shader here gives the colours of the screen itself.
        Tonemapping::None,
        plain_view(),
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
    /// Where the choice puts the eye; `focus` is where what is chosen aboard is, level frame.
    pub fn wanted(choice: &Choice, known: &Known, focus: Option<DVec3>, aspect: f32) -> Self {
        let middle = known.stance.middle();
        let orbit = |orbit: &super::Orbit, target: DVec3| {
            let eye = target + orbit.bearing.direction_at(orbit.up) * orbit.away.0;
            Self { eye: drawn(eye), target: drawn(target), field_of_view: BARE_EYE }
        };
        match choice.view {
            View::Aloft => orbit(&choice.aloft, middle),
            View::Deck => {
                if let (true, Some(focus)) = (choice.close, focus) {
                    let away = Metres(choice.deck.away.0 * CLOSE);
                    return orbit(&super::Orbit { away, ..choice.deck }, focus);
                }
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

    /// Where the camera is and how it is turned.
    pub fn place(&self) -> Transform {
        Transform::from_translation(self.eye).looking_at(self.target, Vec3::Y)
    }

    /// Where a drawn point falls on a picture of a size, from its upper left corner; `None` behind the eye.
    pub fn project(&self, size: Vec2, point: Vec3) -> Option<Vec2> {
        let way = self.place().rotation.inverse() * (point - self.eye);
        let unit = size.y / 2.0 / (self.field_of_view / 2.0).tan();
        (way.z < -0.02).then(|| size / 2.0 + Vec2::new(way.x, -way.y) / -way.z * unit)
    }

    /// The way from the eye, level frame, through a place on such a picture: where it starts and its direction of one.
    pub fn line(&self, size: Vec2, at: Vec2) -> (DVec3, DVec3) {
        let unit = size.y / 2.0 / (self.field_of_view / 2.0).tan();
        let off = (at - size / 2.0) / unit;
        let way = self.place().rotation * Vec3::new(off.x, -off.y, -1.0);
        (level(self.eye), level(way).normalize())
    }

    fn close_to(&self, other: &Self) -> bool {
        self.eye.distance(other.eye) < 1e-3 * other.eye.distance(other.target)
            && self.target.distance(other.target) < 1e-3
            && (self.field_of_view / other.field_of_view - 1.0).abs() < 1e-3
    }
}

/// What decides where the eye ought to be.
#[derive(SystemParam)]
struct Wanted<'w> {
    choice: Res<'w, Choice>,
    known: Res<'w, Known>,
    field_of_view: Res<'w, FieldOfView>,
    canvas: Res<'w, Canvas>,
    focus: Res<'w, Focus>,
}

impl Wanted<'_> {
    fn rig(&self) -> Rig {
        let rig = Rig::wanted(&self.choice, &self.known, self.focus.0, self.canvas.aspect());
        Rig { field_of_view: self.field_of_view.0.unwrap_or(rig.field_of_view), ..rig }
    }
}

/// Follows the size of what is drawn on.
fn stretch(
    choice: Res<Choice>,
    camera: Option<Single<&Camera, With<NightEye>>>,
    window: Option<Single<&Window, With<PrimaryWindow>>>,
    mut canvas: ResMut<Canvas>,
) {
    let drawn_on = camera.and_then(|camera| camera.physical_target_size());
    let whole = drawn_on.or(window.map(|window| window.physical_size())).filter(|size| size.min_element() > 0);
    let Some(whole) = whole else { return };
    let share = if choice.split { Vec2::new(0.5, 1.0) } else { Vec2::ONE };
    canvas.set_if_neq(Canvas(whole.as_vec2() * share));
}

/// The eye as it would be in still water.
#[derive(Resource, Default)]
struct Still {
    rig: Rig,
    begun: bool,
}

fn travel(time: Res<Time>, gait: Res<Gait>, wanted: Wanted, mut still: ResMut<Still>) {
    let wanted = wanted.rig();
    if *gait == Gait::Jump || !still.begun || still.rig.close_to(&wanted) {
        still.begun = true;
        still.rig = wanted;
    } else {
        let share = 1.0 - 0.5f32.powf(time.delta_secs().min(0.1) / HALF_WAY);
        still.rig = still.rig.toward(&wanted, share);
    }
}

/// How high the swell lifts a small craft at a time, metres: half its height, over and under. Its period in seconds is
/// taken as four times the root of its height, at least three; common practice, no source.
fn lift(swell: Metres, seconds: f32) -> f32 {
    let height = swell.0.max(0.0) as f32;
    let period = (4.0 * height.sqrt()).max(3.0);
    height / 2.0 * (seconds / period * std::f32::consts::TAU).sin()
}

/// In a swell the observer afloat rises and falls; what he sees is asked of the survey for where his eye is.
fn heave(
    time: Res<Time>,
    choice: Res<Choice>,
    known: Res<Known>,
    waves: Res<Waves>,
    still: Res<Still>,
    mut rig: ResMut<Rig>,
    mut seconds: Local<f32>,
) {
    let swell = known.scene().conditions.swell;
    let mut now = still.rig;
    if choice.view == View::Afloat && choice.sea && *waves == Waves::Moving && swell.0 > 0.0 {
        *seconds += time.delta_secs().min(0.1);
        now.eye.y = (now.eye.y + lift(swell, *seconds)).max(LOWEST);
    }
    rig.set_if_neq(now);
}

/// An eye is never under water, metres.
const LOWEST: f32 = 0.15;

/// Draws a half of a split picture.
#[derive(Component, Clone, Copy)]
struct HalfEye(Half);

type WholeEye<'a> = (Entity, &'a mut Camera, &'a Msaa);

/// Puts two cameras in place of one while the picture is split, and one in place of two after it.
fn halve(
    mut commands: Commands,
    choice: Res<Choice>,
    canvas: Res<Canvas>,
    whole: Option<Single<WholeEye, With<NightEye>>>,
    mut halves: Query<(Entity, &mut Camera, &HalfEye), Without<NightEye>>,
) {
    let Some(whole) = whole else { return };
    let (entity, mut camera, smooth) = whole.into_inner();
    let split = !halves.is_empty();
    if choice.split != split {
        camera.order = if choice.split { 2 } else { 0 };
        camera.clear_color = if choice.split { ClearColorConfig::None } else { ClearColorConfig::Default };
        if choice.split {
            commands.entity(entity).insert(RenderLayers::none());
            for half in Half::BOTH {
                let eye = (lens(*smooth), HalfEye(half), half.layer(), part(*canvas, half));
                commands.spawn(eye);
            }
        } else {
            commands.entity(entity).insert(Half::First.layer());
            halves.iter().for_each(|(half, ..)| commands.entity(half).despawn());
        }
    } else if canvas.is_changed() {
        for (_, mut camera, half) in &mut halves {
            camera.viewport = part(*canvas, half.0).viewport;
        }
    }
}

/// A camera of one half of the picture.
fn part(canvas: Canvas, half: Half) -> Camera {
    let size = canvas.0.as_uvec2().max(UVec2::ONE);
    let physical_position = UVec2::new(size.x * half as u32, 0);
    // What the first clears is all of the picture.
    let clear_color = if half == Half::First { ClearColorConfig::Default } else { ClearColorConfig::None };
    let viewport = Some(Viewport { physical_position, physical_size: size, ..default() });
    Camera { viewport, clear_color, order: half as isize, ..default() }
}

type NightLens<'a> = (&'a mut Transform, &'a mut Projection);
/// Every camera that looks at the night.
type Looking = Or<(With<NightEye>, With<HalfEye>)>;

fn look(rig: Res<Rig>, mut cameras: Query<NightLens, Looking>, new: Query<(), Added<HalfEye>>) {
    if !rig.is_changed() && new.is_empty() {
        return;
    }
    for (mut place, mut projection) in &mut cameras {
        *place = rig.place();
        if let Projection::Perspective(perspective) = projection.as_mut() {
            perspective.fov = rig.field_of_view;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_is_found_again_along_the_line_through_where_it_is_drawn() {
        let rig = Rig { eye: Vec3::new(9.0, 4.0, -3.0), target: Vec3::new(1.0, 0.5, 0.0), field_of_view: BARE_EYE };
        let size = Vec2::new(1280.0, 720.0);
        assert!(rig.project(size, rig.target).is_some_and(|at| at.distance(size / 2.0) < 0.01));
        for point in [DVec3::new(2.0, 1.0, 0.7), DVec3::new(-1.0, -2.0, 0.0)] {
            let at = rig.project(size, drawn(point)).expect("before the eye");
            let (from, way) = rig.line(size, at);
            assert!((point - from).cross(way).length() < 1e-4);
        }
        assert_eq!(rig.project(size, rig.eye + (rig.eye - rig.target)), None);
    }

    #[test]
    fn a_swell_lifts_half_its_height_and_still_water_nothing() {
        let most = (0..600).map(|n| lift(Metres(1.2), n as f32 / 50.0)).fold(0.0, f32::max);
        assert!((most - 0.6).abs() < 1e-3);
        assert_eq!(lift(Metres(0.0), 3.3), 0.0);
    }
}
