//! A small invented star field: no sky of any night that was.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::paint::{Pen, Sheet, Stars};

const COUNT: u32 = 1400;

/// Draws the stars.
pub struct StarsPlugin;

impl Plugin for StarsPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, scatter);
    }
}

/// The same even spread every time: the n-th number of a sequence in `[0, 1)`.
fn spread(n: u32, of: f64) -> f32 {
    (f64::from(n + 1) * of).fract() as f32
}

fn scatter(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut materials: ResMut<Assets<Stars>>) {
    let mut pen = Pen::default();
    for n in 0..COUNT {
        // Squares of a jumbled sequence: an even grid would show.
        let jumble = n.wrapping_mul(2_654_435_761) >> 7;
        let (turn, height) = (spread(jumble, 0.754_877_666_246_693), spread(jumble, 0.569_840_290_998_053));
        let bright = spread(n, 0.618_033_988_749_895);
        let angle = turn * std::f32::consts::TAU;
        let level = (1.0 - height * height).sqrt();
        let way = Vec3::new(angle.cos() * level, height, angle.sin() * level);
        // Many faint ones and a few bright; all dim near the horizon, and none as bright as a light.
        let strength = (0.02 + 0.16 * bright.powi(9)) * (height * 9.0).clamp(0.0, 1.0);
        let warm = spread(n, 0.414_213_562_373_095);
        let tint = Vec3::new(0.85 + 0.15 * warm, 0.92, 1.0 - 0.15 * warm) * strength;
        let radius = 1.0 + 0.9 * bright.powi(6);
        let sheet = Sheet { middle: way, right: Vec3::ZERO, up: Vec3::ZERO };
        pen.square(&sheet, 1.0, tint.extend(radius).to_array());
    }
    commands.spawn((
        Name::new("stars"),
        Mesh3d(meshes.add(pen.mesh())),
        MeshMaterial3d(materials.add(Stars {})),
        NoFrustumCulling,
        Transform::default(),
    ));
}
