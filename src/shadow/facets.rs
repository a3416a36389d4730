//! Surfaces as packs of triangles under one tree of boxes: what both ways of asking for shadows read.
//!
//! Neighbours in a mesh file are nearly always neighbours in space, so packs are cut from the file's own order, and
//! only a mesh without such order is sorted first: making ready a million triangles costs one pass over them. Numbers
//! are single: half a micrometre on a boat of 16 m. Must never know whose a surface is, only its number.

use glam::{DVec3, Vec3};

use super::ray::{Ray, hits_slabs};
use crate::boat::shape::Triangles;

/// Triangles in a pack.
pub(super) const PACK: usize = 16;
/// Boxes under one box of the next layer.
const BRANCHES: usize = 8;

/// The corners of a pack's triangles, coordinate by coordinate. A short pack is filled up with its last triangle.
#[derive(Clone, Debug)]
pub(super) struct Pack {
    pub x: [[f32; PACK]; 3],
    pub y: [[f32; PACK]; 3],
    pub z: [[f32; PACK]; 3],
    /// The number of the surface that each triangle is of.
    pub surface: [u32; PACK],
}

/// A box square to the vessel's axes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    pub low: Vec3,
    pub high: Vec3,
}

impl Bounds {
    /// Empty: joined with another, it is that other. A box of no extent has both corners at infinity.
    const NOTHING: Self = Self { low: Vec3::INFINITY, high: Vec3::NEG_INFINITY };

    fn with(self, point: Vec3) -> Self {
        Self { low: self.low.min(point), high: self.high.max(point) }
    }

    fn joined(self, other: &Self) -> Self {
        Self { low: self.low.min(other.low), high: self.high.max(other.high) }
    }
}

/// See the module.
#[derive(Debug)]
pub(super) struct Facets {
    packs: Vec<Pack>,
    /// The first layer has a box for each pack, each further one a box for [`BRANCHES`] of the layer before.
    layers: Vec<Vec<Bounds>>,
    count: usize,
}

/// A triangle by its corners among the points of its surface.
type Named = ([u32; 3], u32);

impl Facets {
    /// Makes surfaces ready, each with a number of its own.
    pub fn new(surfaces: &[(u32, &Triangles)]) -> Self {
        let named = || {
            // Not truncated: there are fewer surfaces than triangles, and these are numbered alike.
            (0u32..).zip(surfaces).flat_map(|(n, (_, mesh))| mesh.corners.iter().map(move |corners| (*corners, n)))
        };
        let count = surfaces.iter().map(|(_, mesh)| mesh.corners.len()).sum();
        let facets = Self::in_order(surfaces, named(), count);
        if facets.is_scattered() {
            return Self::in_order(surfaces, sorted_by_place(surfaces, named()).into_iter(), count);
        }
        facets
    }

    fn in_order(surfaces: &[(u32, &Triangles)], named: impl Iterator<Item = Named>, count: usize) -> Self {
        let mut packs = Vec::with_capacity(count.div_ceil(PACK));
        let mut boxes = Vec::with_capacity(count.div_ceil(PACK));
        let mut triangles = named.map(|(corners, n)| {
            let (number, mesh) = surfaces[n as usize];
            (corners.map(|index| mesh.points[index as usize].as_vec3()), number)
        });
        while let Some(mut triangle) = triangles.next() {
            let mut pack = Pack::NOTHING;
            let mut bounds = Bounds::NOTHING;
            for lane in 0..PACK {
                if lane > 0 {
                    triangle = triangles.next().unwrap_or(triangle);
                }
                let (corners, number) = triangle;
                for (n, corner) in corners.iter().enumerate() {
                    (pack.x[n][lane], pack.y[n][lane], pack.z[n][lane]) = (corner.x, corner.y, corner.z);
                    bounds = bounds.with(*corner);
                }
                pack.surface[lane] = number;
            }
            packs.push(pack);
            boxes.push(bounds);
        }
        Self { packs, layers: layers_over(boxes), count }
    }

    /// Whether most packs are far larger than their triangles, as they are when neighbours in the list are not
    /// neighbours on the boat.
    fn is_scattered(&self) -> bool {
        // A few packs, evenly spread, tell.
        let every = (self.packs.len() / 256).max(1);
        let (mut triangles, mut wholes) = (0.0f64, 0.0f64);
        for (pack, bounds) in self.packs.iter().zip(&self.layers[0]).step_by(every) {
            wholes += f64::from(bounds.low.distance(bounds.high));
            let sizes = (0..PACK).map(|lane| pack.corner(0, lane).distance(pack.corner(1, lane)));
            triangles += f64::from(sizes.sum::<f32>()) / PACK as f64;
        }
        wholes > triangles * (2 * PACK) as f64
    }

    /// Calls `visit` for every pack whose own box and all boxes over it are `wanted`, with its box and how many of its
    /// lanes count: in the order of the file, or roughly those nearer to an eye first.
    pub fn visit(
        &self,
        eye: Option<Vec3>,
        wanted: impl Fn(&Bounds) -> bool,
        mut visit: impl FnMut(&Pack, &Bounds, usize),
    ) {
        let Some(top) = self.layers.len().checked_sub(1) else { return };
        // Depth first, so that the stack stays short: at most BRANCHES entries for each layer.
        let mut waiting: Vec<(usize, usize)> = (0..self.layers[top].len()).map(|n| (top, n)).collect();
        self.ordered(eye, &mut waiting);
        while let Some((layer, n)) = waiting.pop() {
            let bounds = &self.layers[layer][n];
            if !wanted(bounds) {
                continue;
            }
            match layer.checked_sub(1) {
                None => visit(&self.packs[n], bounds, (self.count - n * PACK).min(PACK)),
                Some(below) => {
                    let end = ((n + 1) * BRANCHES).min(self.layers[below].len());
                    let before = waiting.len();
                    waiting.extend((n * BRANCHES..end).map(|n| (below, n)));
                    // Packs lie so close together that their order gains less than it costs.
                    if below > 0 || eye.is_none() {
                        self.ordered(eye, &mut waiting[before..]);
                    }
                }
            }
        }
    }

    /// Puts last what is to come first.
    fn ordered(&self, eye: Option<Vec3>, some: &mut [(usize, usize)]) {
        let Some(eye) = eye else { return some.reverse() };
        let distance = |(layer, n): &(usize, usize)| {
            let bounds = &self.layers[*layer][*n];
            eye.clamp(bounds.low, bounds.high).distance_squared(eye)
        };
        some.sort_unstable_by(|a, b| distance(b).total_cmp(&distance(a)).then(a.cmp(b)));
    }

    /// Every triangle that may come within `radius` of the ray, with the number of its surface.
    pub fn near(&self, ray: &Ray, radius: f64, mut found: impl FnMut([DVec3; 3], u32)) {
        let wanted = |bounds: &Bounds| {
            let (low, high) = (bounds.low.as_dvec3() - radius, bounds.high.as_dvec3() + radius);
            hits_slabs(ray.origin, ray.direction, ray.length, low, high)
        };
        let (across, up) = ray.direction.any_orthonormal_pair();
        let origin = ray.origin.as_vec3();
        // What single numbers may lose of a place on the largest boat that is read.
        let radius = radius as f32 + 3e-5;
        self.visit(None, wanted, |pack, _, lanes| {
            let beside = pack.beside(origin, across.as_vec3(), up.as_vec3(), radius);
            for lane in (0..lanes).filter(|lane| !beside[*lane]) {
                found([0, 1, 2].map(|n| pack.corner(n, lane).as_dvec3()), pack.surface[lane]);
            }
        });
    }
}

impl Pack {
    pub const NOTHING: Self =
        Self { x: [[0.0; PACK]; 3], y: [[0.0; PACK]; 3], z: [[0.0; PACK]; 3], surface: [0; PACK] };

    /// Which triangles lie wholly to one side of a square bar along a ray from `origin`, `across` and `up` its directions.
    fn beside(&self, origin: Vec3, across: Vec3, up: Vec3, radius: f32) -> [bool; PACK] {
        let mut beside = [false; PACK];
        for axis in [across, up] {
            let from = origin.dot(axis);
            let (mut least, mut most) = ([f32::INFINITY; PACK], [f32::NEG_INFINITY; PACK]);
            for n in 0..3 {
                for lane in 0..PACK {
                    let place = self.x[n][lane] * axis.x + self.y[n][lane] * axis.y + self.z[n][lane] * axis.z - from;
                    (least[lane], most[lane]) = (least[lane].min(place), most[lane].max(place));
                }
            }
            for lane in 0..PACK {
                beside[lane] |= (least[lane] > radius) | (most[lane] < -radius);
            }
        }
        beside
    }

    /// Corner `n` of the triangle in a lane.
    pub fn corner(&self, n: usize, lane: usize) -> Vec3 {
        Vec3::new(self.x[n][lane], self.y[n][lane], self.z[n][lane])
    }
}

fn layers_over(boxes: Vec<Bounds>) -> Vec<Vec<Bounds>> {
    let mut layers = vec![boxes];
    while let Some(last) = layers.last().filter(|last| last.len() > BRANCHES) {
        let next = last.chunks(BRANCHES).map(|some| some.iter().fold(Bounds::NOTHING, Bounds::joined)).collect();
        layers.push(next);
    }
    layers
}

/// The triangles along a curve that fills space (after Morton, 1966), so that neighbours in the list are neighbours on
/// the boat.
fn sorted_by_place(surfaces: &[(u32, &Triangles)], named: impl Iterator<Item = Named>) -> Vec<Named> {
    let bounds = surfaces.iter().filter_map(|(_, mesh)| mesh.bounds());
    let (low, high) = bounds.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).unwrap_or_default();
    let cell = (high - low).max_element().max(1e-9) / f64::from(1 << 20);
    let place = |(corners, n): &Named| {
        let points = &surfaces[*n as usize].1.points;
        let middle = corners.iter().map(|index| points[*index as usize]).sum::<DVec3>() / 3.0;
        // Within 0 to 2^20 by the choice of the cell, so the casts are exact enough.
        let [x, y, z] = ((middle - low) / cell).to_array().map(|along| spread(along as u64));
        x | y << 1 | z << 2
    };
    let mut sorted: Vec<_> = named.map(|one| (place(&one), one)).collect();
    sorted.sort_unstable();
    sorted.into_iter().map(|(_, one)| one).collect()
}

/// Two noughts between each bit of a number below 2^21 and the next.
fn spread(number: u64) -> u64 {
    let mut bits = number & 0x1f_ffff;
    for (shift, mask) in [
        (32, 0x001f_0000_0000_ffff),
        (16, 0x001f_0000_ff00_00ff),
        (8, 0x100f_00f0_0f00_f00f),
        (4, 0x10c3_0c30_c30c_30c3),
        (2, 0x1249_2492_4924_9249),
    ] {
        bits = (bits | bits << shift) & mask;
    }
    bits
}
