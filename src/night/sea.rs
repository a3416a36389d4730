//! Sky and sea, and in the water the mirror images of the lights that the eye makes out.

use bevy::{camera::visibility::NoFrustumCulling, ecs::system::SystemParam, prelude::*};

use glam::DVec3;

use super::{
    Canvas, Choice, Half, Known, Rig, Steps,
    bake::MOON,
    frame::{drawn, level},
    glare::{loudness, signal},
    known::Both,
    paint::{MIRRORED, Pen, Sea, Water},
};
use crate::light::{Background, illuminance};

/// Draws sky and sea.
pub struct SeaPlugin;

impl Plugin for SeaPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Waves>().add_systems(Startup, fill).add_systems(Update, stir.in_set(Steps::Draw));
    }
}

/// How the waves move.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub enum Waves {
    #[default]
    Moving,
    /// Held at so many seconds, so that a picture comes out the same every time.
    Held(f32),
}

fn fill(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut seas: ResMut<Assets<Sea>>) {
    let moon = drawn(MOON.normalize()).extend(0.0);
    let [sky, sea] = [1.0, -1.0].map(|edge| meshes.add(strip(edge)));
    for half in Half::BOTH {
        for (name, mesh, is_sky) in [("sky", &sky, true), ("sea", &sea, false)] {
            let water = Water {
                time: 0.0,
                pixel: 0.001,
                count: 0,
                star_square: 0.05,
                moon,
                air: Vec4::ZERO,
                horizon: 0.0,
                places: [Vec4::ZERO; MIRRORED],
                colours: [Vec4::ZERO; MIRRORED],
            };
            commands.spawn((
                Name::new(name),
                half,
                half.layer(),
                Mesh3d(mesh.clone()),
                MeshMaterial3d(seas.add(Sea { water, sky: is_sky })),
                NoFrustumCulling,
                Transform::default(),
            ));
        }
    }
}

/// From the horizon, which is at nought, to an edge of the picture.
fn strip(edge: f32) -> Mesh {
    let mut pen = Pen::default();
    let [a, b, c, d] = [(-1.0, 0.0), (1.0, 0.0), (1.0, edge), (-1.0, edge)]
        .map(|(x, y)| pen.vertex(Vec3::new(x, y, 0.0), [1.0; 4], Vec2::ZERO));
    pen.triangle([a, b, c]);
    pen.triangle([a, c, d]);
    pen.mesh()
}

/// Height of the horizon on the picture, from -1 at its foot to 1 at its top. The camera never leans to a side, so that
/// the horizon is level.
fn horizon(rig: &Rig) -> f32 {
    let way = rig.target - rig.eye;
    let steep = way.y / way.xz().length().max(1e-6);
    (-steep / (rig.field_of_view / 2.0).tan()).clamp(-1.0, 1.0)
}

/// How far the waves have moved.
#[derive(SystemParam)]
struct Clock<'w, 's> {
    time: Res<'w, Time>,
    choice: Res<'w, Choice>,
    waves: Res<'w, Waves>,
    moved: Local<'s, f32>,
}

impl Clock<'_, '_> {
    /// Seconds of movement.
    fn now(&mut self) -> f32 {
        if let Waves::Held(at) = *self.waves {
            return at;
        }
        // A window that waited for something new goes on from where it was.
        *self.moved += if self.choice.sea { self.time.delta_secs().min(0.1) } else { 0.0 };
        *self.moved
    }
}

/// How much of its contrast a thing keeps is told by `exp(-3 far / visibility)`: a twentieth at the visibility, the
/// convention that [`Transmissivity::from_visibility`] goes by.
///
/// [`Transmissivity::from_visibility`]: crate::light::Transmissivity::from_visibility
pub(super) fn air(known: &Known) -> Vec4 {
    let sky = known.sky;
    let haze = 3.0 / sky.visibility(known.scene()).metres().0;
    let shore = match sky.background {
        Background::Dark => 0.0,
        Background::Minor => 0.28,
        Background::Substantial => 0.85,
    };
    Vec4::new(haze as f32, if sky.moon { 1.0 } else { 0.0 }, shore, 0.0)
}

fn stir(
    mut clock: Clock,
    both: Both,
    rig: Res<Rig>,
    canvas: Res<Canvas>,
    surfaces: Query<(&MeshMaterial3d<Sea>, &Half)>,
    mut seas: ResMut<Assets<Sea>>,
    mut before: Local<f32>,
) {
    let now = clock.now();
    // A sea that is held and seen from one place needs no drawing up anew.
    let same = std::mem::replace(&mut *before, now) == now && !(rig.is_changed() || canvas.is_changed());
    for (sea, half) in surfaces {
        let Some(known) = both.of(*half) else { continue };
        if same && !both.is_changed(*half) {
            continue;
        }
        let Some(mut sea) = seas.get_mut(&sea.0) else { continue };
        let water = &mut sea.water;
        water.time = now;
        water.pixel = 2.0 * (rig.field_of_view / 2.0).tan() / canvas.0.y.max(1.0);
        // Halved and doubled with the height of the view, so that the stars stand still while it changes a little.
        water.star_square = (water.pixel * 54.0).log2().round().exp2();
        water.air = air(known);
        water.horizon = horizon(&rig);
        mirror(water, known, level(rig.eye));
    }
}

/// The lights that are made out, in the water.
fn mirror(water: &mut Water, known: &Known, eye: DVec3) {
    // Light that meets the water half-way leaves the lamp as if the eye were as far below the water as it is above.
    let mirrored = eye.with_z(-eye.z);
    let mut count = 0;
    for seen in known.look(eye).into_iter().filter(|seen| seen.made_out).take(MIRRORED) {
        let reach = known.stance.to_point(seen.light, mirrored);
        let lux = illuminance(reach.candela(), seen.distance, known.weather.transmissivity);
        let colour = signal(seen.colour).to_vec4() * (0.42 * loudness(lux));
        water.places[count] = drawn(seen.at).extend(0.0);
        water.colours[count] = colour;
        count += 1;
    }
    water.count = count as u32;
}
