//! The light on the boat and on the water round her, worked out once for each change and kept as vertex colours.
//!
//! Moonlight shapes her; the lamps' own light falls where a ray from the lamp gets past the solids. Takes [`Known`];
//! gives meshes in the drawn vessel frame (the boat) and the drawn level frame (the water).

use bevy::{
    asset::RenderAssetUsages,
    color::LinearRgba,
    math::{DVec3, Vec2, Vec3},
    mesh::{Mesh, PrimitiveTopology},
};
use rayon::prelude::*;

use super::{
    Known,
    frame::drawn,
    glare::signal,
    paint::{Pen, glowing},
};
use crate::{
    boat::{
        Owner, PartKind, Scene,
        shape::{Shape, nearest_on_line},
    },
    light::Colour,
    shadow::Ray,
    survey::LightId,
};

/// Toward the moon, level frame: high on the port side forward. Not a length of one.
pub const MOON: DVec3 = DVec3::new(0.45, 0.62, 0.55);
const MOONLIGHT: Vec3 = Vec3::new(0.050, 0.060, 0.080);
const FROM_ABOVE: Vec3 = Vec3::new(0.021, 0.027, 0.039);
const FROM_BELOW: Vec3 = Vec3::new(0.012, 0.015, 0.020);

/// A lit light, ready to shine on things: place and frame in the vessel frame.
struct Shining {
    light: LightId,
    at: DVec3,
    colour: Vec3,
}

fn shining(known: &Known) -> Vec<Shining> {
    let stance = &known.stance;
    stance
        .lights()
        .filter(|light| known.fit().lamps[light.lamp].lit.contains(&known.status()))
        .map(|light| Shining {
            light,
            at: stance.posed().lamps[light.lamp].centre,
            colour: colour_of(stance.colour(light)),
        })
        .collect()
}

fn colour_of(colour: Colour) -> Vec3 {
    let LinearRgba { red, green, blue, .. } = signal(colour);
    Vec3::new(red, green, blue)
}

/// Illuminance on a little surface, in lux, after the solids in between; `normal` of nought takes light from all sides.
fn falling(known: &Known, one: &Shining, point: DVec3, normal: DVec3) -> f64 {
    let away = point - one.at;
    let distance = away.length().max(0.02);
    let direction = away / distance;
    let slant = if normal == DVec3::ZERO { 1.0 } else { -direction.dot(normal) };
    let lamp = &known.stance.posed().lamps[one.light.lamp];
    let candela = lamp.optics.beams[one.light.beam].intensity(lamp.own(direction)).0;
    if slant <= 0.0 || candela <= 0.0 {
        return 0.0;
    }
    // A little short of the surface itself.
    let ray = Ray { origin: one.at, direction, length: (distance - 0.01).max(0.0) };
    candela * slant / (distance * distance) * known.stance.obstacles().transmitted(&ray)
}

/// Eyes take in light roughly by its logarithm: a hundredth of a lux just tells, tens of lux glow.
fn felt(lux: f64) -> f32 {
    (0.055 * (1.0 + lux * 12.0).ln()).min(0.3) as f32
}

/// What share of light a surface gives back, by whose it is and which way it faces. Invented paint.
fn paint(scene: &Scene, owner: Owner, up: f64) -> Vec3 {
    match owner {
        Owner::Hull if up > 0.7 => Vec3::new(0.50, 0.46, 0.40),
        Owner::Hull => Vec3::new(0.78, 0.80, 0.84),
        Owner::Mount(_) => Vec3::splat(0.55),
        Owner::Part(index) | Owner::Piece { part: index, .. } => match scene.parts.get(index).map(|part| &part.kind) {
            Some(PartKind::Mesh { as_hull: true, .. }) => paint(scene, Owner::Hull, up),
            Some(PartKind::Person { .. }) => Vec3::new(0.30, 0.24, 0.22),
            Some(PartKind::Outboard { .. }) => Vec3::splat(0.22),
            Some(PartKind::Cabin { .. }) => Vec3::new(0.72, 0.74, 0.76),
            Some(PartKind::Windscreen { .. }) => Vec3::new(0.25, 0.32, 0.36),
            Some(PartKind::Screen { .. }) => Vec3::splat(0.03),
            Some(PartKind::Fender { .. }) => Vec3::new(0.45, 0.5, 0.62),
            _ => Vec3::splat(0.6),
        },
    }
}

/// A triangle with the outward normal at each of its corners.
type Facet = ([DVec3; 3], [DVec3; 3]);

/// Round things are drawn round: their normals follow the true shape and not the facets.
fn normals(shape: &Shape, flat: DVec3, corners: [DVec3; 3]) -> [DVec3; 3] {
    match shape {
        Shape::Capsule { from, to, .. } => {
            corners.map(|corner| (corner - nearest_on_line(*from, *to, corner)).normalize_or(flat))
        }
        Shape::Cylinder { from, to, .. } => {
            let axis = (*to - *from).normalize_or_zero();
            let end = flat.dot(axis).abs() > 0.7;
            corners.map(|corner| if end { flat } else { (corner - *from).reject_from(axis).normalize_or(flat) })
        }
        Shape::Cuboid { .. } | Shape::Mesh(_) => [flat; 3],
    }
}

fn facets_of(shape: &Shape, shining: &[Shining]) -> Vec<Facet> {
    let mut facets = Vec::new();
    for corners in shape.triangles().iter() {
        let flat = (corners[1] - corners[0]).cross(corners[2] - corners[0]).normalize_or_zero();
        let mut pieces = Vec::new();
        cut(corners, shining, &mut pieces);
        facets.extend(pieces.into_iter().map(|piece| (piece, normals(shape, flat, piece))));
    }
    facets
}

/// The longest an edge may be: short near lamps, where light changes fast.
fn longest_edge(shining: &[Shining], middle: DVec3) -> f64 {
    let nearest = shining.iter().map(|one| one.at.distance(middle)).fold(f64::INFINITY, f64::min);
    (nearest * 0.2).clamp(0.07, 0.8)
}

/// Cuts facets in two across their longest edge until each is small enough.
fn cut(corners: [DVec3; 3], shining: &[Shining], into: &mut Vec<[DVec3; 3]>) {
    let mut left = vec![corners];
    while let Some([a, b, c]) = left.pop() {
        let edges = [(a, b, c), (b, c, a), (c, a, b)];
        let longest = edges
            .into_iter()
            .max_by(|one, other| one.0.distance_squared(one.1).total_cmp(&other.0.distance_squared(other.1)));
        let Some((from, to, opposite)) = longest else { continue };
        let middle = (from + to) / 2.0;
        if from.distance(to) > longest_edge(shining, middle) {
            left.push([from, middle, opposite]);
            left.push([middle, to, opposite]);
        } else {
            into.push([a, b, c]);
        }
    }
}

/// Every solid of one owner as a lit mesh; `None` when there is nothing to draw.
pub fn body(known: &Known, owner: Owner) -> Option<Mesh> {
    let shining = shining(known);
    let solids = known.stance.posed().solids.iter().filter(|solid| solid.owner == owner);
    let facets: Vec<Facet> = solids.flat_map(|solid| facets_of(&solid.shape, &shining)).collect();
    lit_mesh(known, owner, &shining, &facets)
}

/// A lamp's housing: foot, dark lens and cap round its luminous face. The light itself is not on it: an eye sees
/// that as glare, where and when it does.
pub fn housing(known: &Known, index: usize) -> Option<Mesh> {
    let lamp = known.stance.posed().lamps.get(index)?;
    let up = lamp.frame.z_axis;
    let (high, wide) = (lamp.face.height / 2.0, (lamp.face.width * 0.9).max(0.012));
    let band = |from: f64, to: f64, radius: f64| Shape::Cylinder {
        from: lamp.centre + up * from,
        to: lamp.centre + up * to,
        radius,
    };
    let shapes =
        [band(-high - 0.02, -high, wide * 1.25), band(-high, high, wide), band(high, high + 0.012, wide * 1.25)];
    let facets: Vec<Facet> = shapes.iter().flat_map(|shape| facets_of(shape, &[])).collect();
    lit_mesh(known, Owner::Mount(index), &[], &facets)
}

fn lit_mesh(known: &Known, owner: Owner, shining: &[Shining], facets: &[Facet]) -> Option<Mesh> {
    if facets.is_empty() {
        return None;
    }
    let turn = known.stance.attitude().rotation();
    let moon = MOON.normalize();
    // Without a moon the stars are left.
    let (moonlight, sky) = if known.sky.moon { (MOONLIGHT, 1.0) } else { (Vec3::ZERO, 0.55) };
    let colours: Vec<[[f32; 4]; 3]> = facets
        .par_iter()
        .map(|(corners, normals)| {
            let at = |corner: usize| {
                let (place, normal) = (corners[corner], normals[corner]);
                let outward = turn * normal;
                let above = (outward.z * 0.5 + 0.5) as f32;
                let night = FROM_BELOW.lerp(FROM_ABOVE, above) * sky + moonlight * outward.dot(moon).max(0.0) as f32;
                let lamps: Vec3 = shining
                    .iter()
                    .map(|one| one.colour * felt(falling(known, one, place + normal * 0.004, normal)))
                    .sum();
                (paint(known.scene(), owner, outward.z) * (night + lamps)).extend(1.0).to_array()
            };
            [at(0), at(1), at(2)]
        })
        .collect();
    let points: Vec<[f32; 3]> =
        facets.iter().flat_map(|(corners, _)| corners.map(|corner| drawn(corner).to_array())).collect();
    let normals: Vec<[f32; 3]> =
        facets.iter().flat_map(|(_, normals)| normals.map(|normal| drawn(normal).to_array())).collect();
    Some(
        Mesh::new(PrimitiveTopology::TriangleList, RenderAssetUsages::RENDER_WORLD)
            .with_inserted_attribute(Mesh::ATTRIBUTE_POSITION, points)
            .with_inserted_attribute(Mesh::ATTRIBUTE_NORMAL, normals)
            .with_inserted_attribute(Mesh::ATTRIBUTE_COLOR, colours.concat()),
    )
}

/// Rings and spokes of the sheet of water round the boat that takes her lamps' light.
const RINGS: u32 = 26;
const SPOKES: u32 = 120;

/// The lamps' light on the water round her, as a mesh that adds it.
pub fn pool(known: &Known) -> Mesh {
    let shining = shining(known);
    let stance = &known.stance;
    let middle = stance.middle();
    let reach = known.scene().vessel.length.0 * 1.5;
    let places: Vec<DVec3> = (0..=RINGS)
        .flat_map(|ring| {
            let radius = reach * (f64::from(ring) / f64::from(RINGS)).powf(1.3);
            (0..SPOKES).map(move |spoke| {
                let (sin, cos) = (f64::from(spoke) / f64::from(SPOKES) * std::f64::consts::TAU).sin_cos();
                middle + DVec3::new(cos, sin, 0.0) * radius
            })
        })
        .collect();
    let lights: Vec<Vec3> = places
        .par_iter()
        .map(|place| {
            let fade = 1.0 - (place.distance(middle) / reach).powi(2);
            let aboard = stance.aboard(*place);
            let all: Vec3 = shining.iter().map(|one| one.colour * felt(falling(known, one, aboard, DVec3::ZERO))).sum();
            all * 0.16 * fade.max(0.0) as f32
        })
        .collect();
    let mut pen = Pen::default();
    for (place, light) in places.iter().zip(&lights) {
        let colour = glowing(LinearRgba::rgb(light.x, light.y, light.z), 1.0);
        pen.vertex(drawn(*place) + Vec3::Y * 0.004, colour, Vec2::ZERO);
    }
    for ring in 0..RINGS {
        for spoke in 0..SPOKES {
            let at = |ring: u32, spoke: u32| ring * SPOKES + spoke % SPOKES;
            let [a, b, c, d] = [at(ring, spoke), at(ring + 1, spoke), at(ring + 1, spoke + 1), at(ring, spoke + 1)];
            pen.triangle([a, b, c]);
            pen.triangle([a, c, d]);
        }
    }
    pen.mesh()
}
