//! Sky and sea, and in the water the mirror images of the lights that the eye makes out.

use bevy::{camera::visibility::NoFrustumCulling, ecs::system::SystemParam, prelude::*};

use super::{
    Choice, Known, Rig, Steps,
    bake::MOON,
    eye::NightEye,
    frame::{drawn, level},
    glare::{loudness, signal},
    paint::{MIRRORED, Pen, Sea, Water},
};
use crate::light::illuminance;

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

#[derive(Resource)]
struct TheSea(Handle<Sea>);

fn fill(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut seas: ResMut<Assets<Sea>>) {
    let moon = drawn(MOON.normalize()).extend(0.0);
    let sea = seas.add(Sea {
        water: Water {
            time: 0.0,
            pixel: 0.001,
            count: 0,
            star_square: 0.05,
            moon,
            places: [Vec4::ZERO; MIRRORED],
            colours: [Vec4::ZERO; MIRRORED],
        },
    });
    let mut pen = Pen::default();
    let corners =
        [(-1.0, -1.0), (3.0, -1.0), (-1.0, 3.0)].map(|(x, y)| pen.vertex(Vec3::new(x, y, 0.0), [1.0; 4], Vec2::ZERO));
    pen.triangle(corners);
    commands.spawn((
        Name::new("sky and sea"),
        Mesh3d(meshes.add(pen.mesh())),
        MeshMaterial3d(sea.clone()),
        NoFrustumCulling,
        Transform::default(),
    ));
    commands.insert_resource(TheSea(sea));
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

fn stir(
    mut clock: Clock,
    known: Res<Known>,
    rig: Res<Rig>,
    camera: Single<&Camera, With<NightEye>>,
    sea: Res<TheSea>,
    mut seas: ResMut<Assets<Sea>>,
) {
    let Some(mut sea) = seas.get_mut(&sea.0) else { return };
    let water = &mut sea.water;
    water.time = clock.now();
    let lines = camera.physical_viewport_size().map_or(720, |size| size.y.max(1));
    water.pixel = 2.0 * (rig.field_of_view / 2.0).tan() / lines as f32;
    // Halved and doubled with the height of the view, so that the stars stand still while it changes a little.
    water.star_square = (water.pixel * 54.0).log2().round().exp2();
    let eye = level(rig.eye);
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
