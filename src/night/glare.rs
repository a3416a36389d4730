//! The lights as the eye sees them: glare whose size and brightness follow the illuminance at the camera.
//!
//! Only what the survey says is made out is drawn, and it is drawn over everything, since the survey has already
//! found what stands in its way.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Known, Rig, Steps,
    eye::{NightEye, aspect},
    frame::{drawn, level},
    paint::{self, Pen, Sheet},
};
use crate::{
    light::{Colour, DARK_NIGHT_THRESHOLD},
    measure::Lux,
    survey::Sighting,
};

/// Draws the lights.
pub struct GlarePlugin;

impl Plugin for GlarePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, kindle).add_systems(Update, glow.in_set(Steps::Draw));
    }
}

/// A signal colour as drawn: pure enough to be told from the others by its pixels alone.
pub fn signal(colour: Colour) -> LinearRgba {
    match colour {
        Colour::Red => LinearRgba::rgb(1.0, 0.022, 0.030),
        Colour::Green => LinearRgba::rgb(0.010, 1.0, 0.180),
        Colour::White => LinearRgba::rgb(1.0, 0.93, 0.80),
        Colour::Yellow => LinearRgba::rgb(1.0, 0.62, 0.010),
    }
}

/// How strong a light seems, from 0 at the eye's threshold to 1 a hundred thousand times above it and beyond: the
/// eye goes by the logarithm.
pub fn loudness(lux: Lux) -> f32 {
    ((lux.0 / DARK_NIGHT_THRESHOLD.0).max(1.0).log10() / 5.0).min(1.0) as f32
}

#[derive(Component)]
struct Lights;

fn kindle(mut commands: Commands, mut meshes: ResMut<Assets<Mesh>>, mut materials: ResMut<Assets<paint::Glare>>) {
    commands.spawn((
        Name::new("lights as seen"),
        Lights,
        Mesh3d(meshes.add(Pen::default().mesh())),
        MeshMaterial3d(materials.add(paint::Glare {})),
        NoFrustumCulling,
        Visibility::Hidden,
        Transform::default(),
    ));
}

/// A light on the picture: place in lines from its middle, right and up, and radii in lines.
struct Point {
    colour: Colour,
    loud: f32,
    place: Vec2,
    core: f32,
    halo: f32,
}

fn glow(
    rig: Res<Rig>,
    known: Res<Known>,
    camera: Single<&Camera, With<NightEye>>,
    mut meshes: ResMut<Assets<Mesh>>,
    lights: Single<(&Mesh3d, &mut Visibility), With<Lights>>,
) {
    let (mesh, mut visibility) = lights.into_inner();
    let lines = camera.physical_viewport_size().map_or(720.0, |size| size.y.max(1) as f32);
    let pose = Transform::from_translation(rig.eye).looking_at(rig.target, Vec3::Y);
    let line = 2.0 * (rig.field_of_view / 2.0).tan() / lines;
    let mut points: Vec<Point> = known
        .look(level(rig.eye))
        .iter()
        .filter(|seen| seen.made_out)
        .filter_map(|seen| Point::of(seen, &pose, line, lines))
        .collect();
    part(&mut points, side_of_port(&known, &pose));
    let mut pen = Pen::default();
    // Straight on the picture, whose middle is nought and whose edges are one: however far off the boat is, a light
    // keeps its shape.
    let up = 2.0 / lines;
    let right = up / aspect(&camera);
    let sheet = |place: Vec2| Sheet {
        middle: Vec3::new(place.x * right, place.y * up, 0.0),
        right: Vec3::X * right,
        up: Vec3::Y * up,
    };
    for point in &points {
        let strength = 0.30 + 0.55 * point.loud;
        let colour = signal(point.colour) * strength;
        pen.square(&sheet(point.place), point.halo, [colour.red, colour.green, colour.blue, 0.0]);
    }
    for point in &points {
        let colour = signal(point.colour) * (0.78 + 0.22 * point.loud.sqrt());
        pen.square(&sheet(point.place), point.core, [colour.red, colour.green, colour.blue, 1.0]);
    }
    *visibility = if pen.is_empty() { Visibility::Hidden } else { Visibility::Visible };
    if !pen.is_empty()
        && let Some(mut old) = meshes.get_mut(&mesh.0)
    {
        *old = pen.mesh();
    }
}

impl Point {
    /// `None` behind the eye.
    fn of(seen: &Sighting, pose: &Transform, line: f32, lines: f32) -> Option<Self> {
        let way = pose.rotation.inverse() * (drawn(seen.at) - pose.translation);
        if way.z > -0.02 {
            return None;
        }
        let loud = loudness(seen.illuminance);
        // A pin-prick of a few lines at the threshold; a small picture gets no less than it needs to tell a colour.
        let scale = lines / 720.0;
        Some(Self {
            colour: seen.colour,
            loud,
            place: Vec2::new(way.x, way.y) / -way.z / line,
            core: ((2.7 + 6.2 * loud) * scale).max(2.6),
            halo: ((12.0 + 112.0 * loud.powf(1.15)) * scale).max(5.0),
        })
    }
}

/// Which way on the picture her port side lies: 1 to the right, -1 to the left.
fn side_of_port(known: &Known, pose: &Transform) -> f32 {
    let port = known.stance.level(glam::DVec3::Y) - known.stance.level(glam::DVec3::ZERO);
    if drawn(port).dot(*pose.right()) >= 0.0 { 1.0 } else { -1.0 }
}

/// Lights of different colours that fall on one spot are drawn side by side, each on its own side of the boat, so that
/// both can be told: what is made out is the survey's to say, and a mixture would say something else.
fn part(points: &mut [Point], port: f32) {
    let side = |colour: Colour| match colour {
        Colour::Red => Vec2::new(port, 0.0),
        Colour::Green => Vec2::new(-port, 0.0),
        Colour::White | Colour::Yellow => Vec2::new(0.0, 1.0),
    };
    for _ in 0..6 {
        for first in 0..points.len() {
            for second in first + 1..points.len() {
                let (one, other) = (&points[first], &points[second]);
                let needed = (one.core + other.core) * 0.95;
                let apart = one.place - other.place;
                if one.colour == other.colour || apart.length() >= needed {
                    continue;
                }
                let way = if apart.length() > 0.3 {
                    apart.normalize()
                } else {
                    (side(one.colour) - side(other.colour)).normalize_or(Vec2::X)
                };
                let push = way * ((needed - apart.length()) / 2.0 + 0.05);
                points[first].place += push;
                points[second].place -= push;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(colour: Colour) -> Point {
        Point { colour, loud: 0.5, place: Vec2::ZERO, core: 4.0, halo: 30.0 }
    }

    #[test]
    fn a_light_at_the_threshold_is_a_pin_prick_and_a_near_one_is_loudest() {
        assert_eq!(loudness(DARK_NIGHT_THRESHOLD), 0.0);
        assert_eq!(loudness(Lux(0.02)), 1.0);
    }

    #[test]
    fn both_colours_of_one_lantern_are_drawn_apart_each_on_its_side() {
        let mut points = [point(Colour::Green), point(Colour::Red)];
        part(&mut points, 1.0);
        assert!(points[1].place.x - points[0].place.x >= 7.5);
    }

    #[test]
    fn lights_of_one_colour_stay_where_they_are() {
        let mut points = [point(Colour::White), point(Colour::White)];
        part(&mut points, 1.0);
        assert_eq!(points[0].place, points[1].place);
    }
}
