//! Plain solids in the vessel frame, and their triangles for drawing.
//!
//! What is drawn and what casts a shadow are the same shapes. Round things stay exactly round where a single look is
//! worked out; for the eye, and for all looks at once, they are cut into facets. Must never know of lamps or light.

use std::{f64::consts::TAU, sync::Arc};

use glam::{DAffine3, DMat3, DVec3};

/// A triangle mesh in metres, vessel frame. Triangles wind counter-clockwise seen from outside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Triangles {
    pub points: Vec<DVec3>,
    pub corners: Vec<[u32; 3]>,
}

impl Triangles {
    /// The three corner points of each triangle.
    pub fn iter(&self) -> impl Iterator<Item = [DVec3; 3]> + '_ {
        self.corners.iter().map(|corner| corner.map(|index| self.points[index as usize]))
    }

    /// Adds one point and gives its index.
    pub fn point(&mut self, at: DVec3) -> u32 {
        self.points.push(at);
        u32::try_from(self.points.len() - 1).expect("a mesh has fewer than four thousand million points")
    }

    /// Adds a flat four-cornered face, counter-clockwise from outside. A face squeezed to a triangle loses one half.
    pub fn quad(&mut self, [a, b, c, d]: [u32; 4]) {
        for corners in [[a, b, c], [a, c, d]] {
            let [p, q, r] = corners.map(|index| self.points[index as usize]);
            if (q - p).cross(r - p).length_squared() > 1e-14 {
                self.corners.push(corners);
            }
        }
    }

    /// Adds all of another mesh.
    pub fn append(&mut self, other: &Triangles) {
        let offset = u32::try_from(self.points.len()).expect("a mesh has fewer than four thousand million points");
        self.points.extend(&other.points);
        self.corners.extend(other.corners.iter().map(|corner| corner.map(|index| index + offset)));
    }

    /// Least and greatest corner of the box that holds every point; `None` when empty.
    pub fn bounds(&self) -> Option<(DVec3, DVec3)> {
        let first = *self.points.first()?;
        Some(self.points.iter().fold((first, first), |(low, high), point| (low.min(*point), high.max(*point))))
    }
}

/// One solid, in metres, vessel frame.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Everything within `radius` of the line from `from` to `to`; a ball when they coincide.
    Capsule { from: DVec3, to: DVec3, radius: f64 },
    /// A round bar with flat ends.
    Cylinder { from: DVec3, to: DVec3, radius: f64 },
    /// A box: `axes` are its unit directions (columns), `half` its half sizes along them.
    Cuboid { centre: DVec3, axes: DMat3, half: DVec3 },
    /// Any surface; need not be closed.
    Mesh(Arc<Triangles>),
}

/// Facets round a bar when drawn.
const FACETS: u32 = 20;

impl Shape {
    /// A box standing square to the boat: `foot` is the middle of its base; sizes fore-and-aft, athwartships, up.
    pub fn standing_box(foot: DVec3, length: f64, width: f64, height: f64) -> Self {
        let half = DVec3::new(length, width, height) / 2.0;
        Self::Cuboid { centre: foot + DVec3::Z * half.z, axes: DMat3::IDENTITY, half }
    }

    /// The shape moved and turned. The transform must not stretch.
    pub fn moved(&self, by: &DAffine3) -> Self {
        match self {
            Self::Capsule { from, to, radius } => {
                Self::Capsule { from: by.transform_point3(*from), to: by.transform_point3(*to), radius: *radius }
            }
            Self::Cylinder { from, to, radius } => {
                Self::Cylinder { from: by.transform_point3(*from), to: by.transform_point3(*to), radius: *radius }
            }
            Self::Cuboid { centre, axes, half } => {
                Self::Cuboid { centre: by.transform_point3(*centre), axes: by.matrix3 * *axes, half: *half }
            }
            Self::Mesh(mesh) => Self::Mesh(Arc::new(Triangles {
                points: mesh.points.iter().map(|point| by.transform_point3(*point)).collect(),
                corners: mesh.corners.clone(),
            })),
        }
    }

    /// Whether the point lies inside. An open surface has no inside: a mesh never contains a point.
    pub fn contains(&self, point: DVec3) -> bool {
        match self {
            Self::Capsule { from, to, radius } => nearest_on_line(*from, *to, point).distance(point) < *radius,
            Self::Cylinder { from, to, radius } => {
                let axis = *to - *from;
                let along = (point - *from).dot(axis) / axis.length_squared();
                (0.0..=1.0).contains(&along) && (*from + axis * along).distance(point) < *radius
            }
            Self::Cuboid { centre, axes, half } => (axes.transpose() * (point - *centre)).abs().cmplt(*half).all(),
            Self::Mesh(_) => false,
        }
    }

    /// A ball that holds the shape: centre and radius.
    pub fn bounding_ball(&self) -> (DVec3, f64) {
        match self {
            Self::Capsule { from, to, radius } => ((*from + *to) / 2.0, from.distance(*to) / 2.0 + radius),
            Self::Cylinder { from, to, radius } => ((*from + *to) / 2.0, (from.distance(*to) / 2.0).hypot(*radius)),
            Self::Cuboid { centre, half, .. } => (*centre, half.length()),
            Self::Mesh(mesh) => match mesh.bounds() {
                Some((low, high)) => ((low + high) / 2.0, low.distance(high) / 2.0),
                None => (DVec3::ZERO, 0.0),
            },
        }
    }

    /// The surface as triangles, for drawing.
    pub fn triangles(&self) -> Triangles {
        self.cut(|_| FACETS)
    }

    /// The surface as triangles that lie within so many metres of it, above nought.
    pub fn triangles_within(&self, deviation: f64) -> Triangles {
        self.cut(|radius| {
            let half = (1.0 - (deviation / radius).min(0.5)).acos();
            // At least six and at most a few thousand, so the cast is exact.
            (std::f64::consts::PI / half).ceil().min(4000.0) as u32
        })
    }

    fn cut(&self, facets: impl Fn(f64) -> u32) -> Triangles {
        match self {
            Self::Capsule { from, to, radius } => round_bar(*from, *to, *radius, true, facets(*radius)),
            Self::Cylinder { from, to, radius } => round_bar(*from, *to, *radius, false, facets(*radius)),
            Self::Cuboid { centre, axes, half } => cuboid(*centre, *axes, *half),
            Self::Mesh(mesh) => Triangles::clone(mesh),
        }
    }
}

/// The point of the line from `from` to `to` nearest to `point`.
pub fn nearest_on_line(from: DVec3, to: DVec3, point: DVec3) -> DVec3 {
    let axis = to - from;
    let length_squared = axis.length_squared();
    if length_squared == 0.0 {
        return from;
    }
    from + axis * ((point - from).dot(axis) / length_squared).clamp(0.0, 1.0)
}

fn cuboid(centre: DVec3, axes: DMat3, half: DVec3) -> Triangles {
    let mut mesh = Triangles::default();
    // Corner n has the sign of x, y and z in its bits 0, 1 and 2.
    for n in 0..8u8 {
        let sign = |bit: u8| if n >> bit & 1 == 1 { 1.0 } else { -1.0 };
        mesh.point(centre + axes * (half * DVec3::new(sign(0), sign(1), sign(2))));
    }
    for face in [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]] {
        mesh.quad(face);
    }
    mesh
}

/// A bar of circular rings; `rounded` ends bulge to half balls, others are flat discs.
fn round_bar(from: DVec3, to: DVec3, radius: f64, rounded: bool, facets: u32) -> Triangles {
    let axis = (to - from).try_normalize().unwrap_or(DVec3::Z);
    let across = axis.any_orthonormal_vector();
    let other = axis.cross(across);
    let cap_rings = if rounded { i32::try_from(facets.div_ceil(4)).unwrap_or(1).max(4) } else { 0 };
    let mut rings: Vec<(DVec3, f64)> = Vec::new();
    for n in 0..=cap_rings {
        let angle = f64::from(cap_rings - n) / f64::from(cap_rings.max(1)) * TAU / 4.0;
        rings.push((from - axis * radius * angle.sin(), radius * angle.cos()));
    }
    for n in 0..=cap_rings {
        let angle = f64::from(n) / f64::from(cap_rings.max(1)) * TAU / 4.0;
        rings.push((to + axis * radius * angle.sin(), radius * angle.cos()));
    }
    let mut mesh = Triangles::default();
    let first_pole = mesh.point(rings[0].0);
    for (centre, ring_radius) in &rings {
        for facet in 0..facets {
            let (sin, cos) = (f64::from(facet) / f64::from(facets) * TAU).sin_cos();
            mesh.point(*centre + (across * cos + other * sin) * *ring_radius);
        }
    }
    let last_pole = mesh.point(rings[rings.len() - 1].0);
    let index = |ring: usize, facet: u32| 1 + u32::try_from(ring).unwrap_or(0) * facets + facet % facets;
    for facet in 0..facets {
        mesh.quad([first_pole, index(0, facet + 1), index(0, facet), first_pole]);
        for ring in 1..rings.len() {
            mesh.quad([index(ring - 1, facet), index(ring - 1, facet + 1), index(ring, facet + 1), index(ring, facet)]);
        }
        mesh.quad([last_pole, index(rings.len() - 1, facet), index(rings.len() - 1, facet + 1), last_pole]);
    }
    mesh
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Six times the volume that outward-wound triangles enclose; negative when wound inward.
    fn six_volumes(mesh: &Triangles) -> f64 {
        mesh.iter().map(|[a, b, c]| a.dot(b.cross(c))).sum()
    }

    #[test]
    fn drawn_shapes_are_closed_and_wound_outward() {
        let bar = (DVec3::new(1.0, 2.0, 0.5), DVec3::new(1.5, 1.0, 3.0));
        let length = bar.0.distance(bar.1);
        let disc = f64::from(FACETS) / 2.0 * (TAU / f64::from(FACETS)).sin() * 0.3 * 0.3;
        let cylinder = Shape::Cylinder { from: bar.0, to: bar.1, radius: 0.3 }.triangles();
        assert!((six_volumes(&cylinder) / 6.0 - disc * length).abs() < 1e-9);
        let capsule = Shape::Capsule { from: bar.0, to: bar.1, radius: 0.3 }.triangles();
        let ball = 4.0 / 3.0 * std::f64::consts::PI * 0.3f64.powi(3);
        let whole = std::f64::consts::PI * 0.09 * length + ball;
        assert!((six_volumes(&capsule) / 6.0 / whole - 1.0).abs() < 0.05);
        let cuboid = Shape::standing_box(DVec3::new(3.0, 1.0, 0.2), 2.0, 1.0, 0.5).triangles();
        assert!((six_volumes(&cuboid) / 6.0 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_standing_box_contains_its_middle_and_not_its_neighbour() {
        let cabin = Shape::standing_box(DVec3::new(3.0, 0.0, 1.0), 2.0, 1.0, 0.5);
        assert!(cabin.contains(DVec3::new(3.9, 0.4, 1.4)));
        assert!(!cabin.contains(DVec3::new(4.1, 0.4, 1.4)));
    }
}
