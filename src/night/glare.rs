//! The lights as the eye sees them: glare whose size and brightness follow the illuminance at the camera.
//!
//! Only what the survey says is made out is drawn, and it is drawn over everything, since the survey has already
//! found what stands in its way.

use bevy::{camera::visibility::NoFrustumCulling, prelude::*};

use super::{
    Canvas, Half, Known, Rig, Steps,
    eye::BARE_EYE,
    frame::{drawn, level},
    known::Both,
    paint::{self, Pen, Sheet},
};
use crate::{
    light::{Background, Colour, DARK_NIGHT_THRESHOLD, Eye},
    measure::{Degrees, Lux},
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
    let material = materials.add(paint::Glare {});
    for half in Half::BOTH {
        commands.spawn((
            Name::new("lights as seen"),
            Lights,
            half,
            half.layer(),
            Mesh3d(meshes.add(Pen::default().mesh())),
            MeshMaterial3d(material.clone()),
            NoFrustumCulling,
            Visibility::Hidden,
            Transform::default(),
        ));
    }
}

/// A light on the picture: place in lines from its middle, right and up; the radius of its core in lines.
struct Point {
    colour: Colour,
    lux: Lux,
    loud: f32,
    place: Vec2,
    core: f32,
}

/// What the picture is drawn with.
struct View {
    pose: Transform,
    /// Height of the picture.
    lines: f32,
    /// Height of a line, as a share of the distance.
    line: f32,
    /// How many times more of a point's light the glasses bring to the eye.
    gain: f64,
}

/// Glasses that magnify so many times bring the eye the square of that of a point's light, as long as they let out as
/// wide a beam as the eye takes in: with front lenses of 50 mm and a pupil of 7 mm, up to seven times (geometry; both
/// figures common practice, no source). What is made out stays what the bare eye makes out.
fn gain(rig: &Rig) -> f64 {
    f64::from(BARE_EYE / rig.field_of_view).clamp(1.0, 50.0 / 7.0).powi(2)
}

fn glow(
    rig: Res<Rig>,
    canvas: Res<Canvas>,
    both: Both,
    mut meshes: ResMut<Assets<Mesh>>,
    lights: Query<(&Mesh3d, &Half, &mut Visibility), With<Lights>>,
) {
    let lines = canvas.0.y.max(1.0);
    let line = 2.0 * (rig.field_of_view / 2.0).tan() / lines;
    let view = View { pose: rig.place(), lines, line, gain: gain(&rig) };
    for (mesh, half, mut visibility) in lights {
        if !(rig.is_changed() || canvas.is_changed() || both.is_changed(*half)) {
            continue;
        }
        let mut pen = Pen::default();
        if let Some(known) = both.of(*half) {
            draw(&mut pen, known, &rig, *canvas, &view);
        }
        let wanted = if pen.is_empty() { Visibility::Hidden } else { Visibility::Visible };
        visibility.set_if_neq(wanted);
        if !pen.is_empty()
            && let Some(mut old) = meshes.get_mut(&mesh.0)
        {
            *old = pen.mesh();
        }
    }
}

fn draw(pen: &mut Pen, known: &Known, rig: &Rig, canvas: Canvas, view: &View) {
    let eye = level(rig.eye);
    let (seen, sunk) = (known.look(eye), known.hidden(eye).0 as f32);
    let mut points: Vec<Point> =
        seen.iter().filter(|seen| seen.made_out).filter_map(|seen| Point::of(seen, sunk, view)).collect();
    part(&mut points, side_of_port(known, &view.pose));
    // Straight on the picture, whose middle is nought and whose edges are one: however far off the boat is, a light
    // keeps its shape.
    let up = 2.0 / view.lines;
    let right = up / canvas.aspect();
    let sheet = |place: Vec2| Sheet {
        middle: Vec3::new(place.x * right, place.y * up, 0.0),
        right: Vec3::X * right,
        up: Vec3::Y * up,
    };
    for point in &points {
        veil(pen, &sheet(point.place), point, view.lines, known.sky.background);
    }
    for point in &points {
        let colour = signal(point.colour) * (0.78 + 0.22 * point.loud.sqrt());
        pen.square(&sheet(point.place), point.core, [colour.red, colour.green, colour.blue, 1.0]);
    }
}

impl Point {
    /// `None` behind the eye.
    fn of(seen: &Sighting, sunk: f32, view: &View) -> Option<Self> {
        let at = drawn(seen.at) - Vec3::Y * sunk;
        let way = view.pose.rotation.inverse() * (at - view.pose.translation);
        if way.z > -0.02 {
            return None;
        }
        let lux = Lux(seen.illuminance.0 * view.gain);
        let loud = loudness(lux);
        // A pin-prick of a few lines at the threshold; a small picture gets no less than it needs to tell a colour.
        let scale = view.lines / 720.0;
        Some(Self {
            colour: seen.colour,
            lux,
            loud,
            place: Vec2::new(way.x, way.y) / -way.z / view.line,
            core: ((2.7 + 6.2 * loud) * scale).max(2.6),
        })
    }
}

/// Rings and spokes of the veil round a light.
const RINGS: u32 = 14;
const SPOKES: u32 = 32;
/// Farthest from a light that its veil is drawn, degrees of the eye's view.
const WIDEST: f64 = 9.0;
/// What of the luminance that the eye is used to can just be told on top of it; the program's own figure.
const JUST_TOLD: f64 = 0.04;

/// How bright a luminance over what the eye is used to looks, from 0 to 1: the eye goes by the logarithm, and the
/// screen's light by the power 2.2 of what it seems.
fn seeming(over: f64) -> f32 {
    (0.115 * (1.0 + over).ln()).min(1.0).powf(2.2) as f32
}

/// The light that the eye itself scatters round a point of light. However strong the glasses, it is as wide in the
/// eye's own view, which is the picture as the bare eye would have it.
fn veil(pen: &mut Pen, sheet: &Sheet, point: &Point, lines: f32, background: Background) {
    let (eye, used_to) = (Eye::default(), background.adaptation());
    let widest = eye.veil(point.lux, used_to * JUST_TOLD).0.min(WIDEST);
    // Lines in a degree of the bare eye's view.
    let degree = f64::from(lines) / f64::from(BARE_EYE.to_degrees());
    let least = f64::from(point.core) / degree * 0.5;
    if widest <= least {
        return;
    }
    let colour = signal(point.colour);
    let base = seeming(point.lux.0 * eye.spread(Degrees(widest)) / used_to);
    let first = pen.vertex(sheet.at(Vec2::ZERO), [0.0; 4], Vec2::ZERO);
    let mut inner = None;
    for ring in 0..=RINGS {
        let angle = least * (widest / least).powf(f64::from(ring) / f64::from(RINGS));
        // Where it can no longer be told, or is cut off, it ends without an edge.
        let fade = 1.0 - (angle / widest).powi(2) as f32;
        let strength = (seeming(point.lux.0 * eye.spread(Degrees(angle)) / used_to) - base) * fade;
        let lit = [colour.red * strength, colour.green * strength, colour.blue * strength, 0.0];
        let radius = (angle * degree) as f32;
        let start = first + 1 + ring * SPOKES;
        for spoke in 0..SPOKES {
            let way = Vec2::from_angle(spoke as f32 / SPOKES as f32 * std::f32::consts::TAU);
            pen.vertex(sheet.at(way * radius), lit, Vec2::ZERO);
        }
        for spoke in 0..SPOKES {
            let next = (spoke + 1) % SPOKES;
            match inner {
                None => pen.triangle([first, start + spoke, start + next]),
                Some(inner) => {
                    pen.triangle([inner + spoke, start + spoke, start + next]);
                    pen.triangle([inner + spoke, start + next, inner + next]);
                }
            }
        }
        inner = Some(start);
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
        Point { colour, lux: Lux(1e-5), loud: 0.5, place: Vec2::ZERO, core: 4.0 }
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
