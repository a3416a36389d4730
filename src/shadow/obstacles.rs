//! The boat's solids, made ready to be asked by many rays.

use bvh::{
    aabb::{Aabb, Bounded, IntersectsAabb},
    bounding_hierarchy::BHShape,
    bvh::Bvh,
};
use glam::{DMat3, DVec3};
use nalgebra::Point3;

use super::ray::{Ray, distance_to_line, hits_capsule, hits_cuboid, hits_cylinder, hits_slabs, hits_triangle};
use crate::boat::{
    Owner, Solid,
    shape::{Shape, Triangles},
};

/// Everything that can stand in a lamp's way.
#[derive(Debug)]
pub struct Obstacles {
    plain: Vec<Plain>,
    surfaces: Vec<Surface>,
}

/// A solid answered by formula.
#[derive(Debug)]
struct Plain {
    solid: usize,
    owner: Owner,
    transmits: f64,
    shape: PlainShape,
    ball: (DVec3, f64),
}

#[derive(Clone, Copy, Debug)]
pub(super) enum PlainShape {
    Capsule { from: DVec3, to: DVec3, radius: f64 },
    Cylinder { from: DVec3, to: DVec3, radius: f64 },
    Cuboid { centre: DVec3, axes: DMat3, half: DVec3 },
    Triangle([DVec3; 3]),
}

impl PlainShape {
    pub(super) fn hit(&self, ray: &Ray) -> bool {
        match self {
            Self::Capsule { from, to, radius } => hits_capsule(ray, *from, *to, *radius),
            Self::Cylinder { from, to, radius } => hits_cylinder(ray, *from, *to, *radius),
            Self::Cuboid { centre, axes, half } => hits_cuboid(ray, *centre, axes, *half),
            Self::Triangle(corners) => hits_triangle(ray, *corners),
        }
    }
}

/// A triangle surface under a bounding-volume tree.
#[derive(Debug)]
struct Surface {
    solid: usize,
    owner: Owner,
    transmits: f64,
    facets: Vec<Facet>,
    tree: Bvh<f64, 3>,
}

#[derive(Debug)]
struct Facet {
    corners: [DVec3; 3],
    node: usize,
}

impl Bounded<f64, 3> for Facet {
    fn aabb(&self) -> Aabb<f64, 3> {
        let [a, b, c] = self.corners;
        let point = |at: DVec3| Point3::new(at.x, at.y, at.z);
        Aabb::with_bounds(point(a.min(b).min(c)), point(a.max(b).max(c)))
    }
}

impl BHShape<f64, 3> for Facet {
    fn set_bh_node_index(&mut self, index: usize) {
        self.node = index;
    }

    fn bh_node_index(&self) -> usize {
        self.node
    }
}

/// A ray thickened by the size of the luminous face: what it misses, no part of the face can be hidden by.
struct ThickRay {
    ray: Ray,
    radius: f64,
}

impl IntersectsAabb<f64, 3> for ThickRay {
    fn intersects_aabb(&self, aabb: &Aabb<f64, 3>) -> bool {
        let low = DVec3::new(aabb.min.x, aabb.min.y, aabb.min.z) - self.radius;
        let high = DVec3::new(aabb.max.x, aabb.max.y, aabb.max.z) + self.radius;
        hits_slabs(self.ray.origin, self.ray.direction, self.ray.length, low, high)
    }
}

/// A solid that may hide part of a face on the way to one observer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    /// Which of the solids given to [`Obstacles::new`]; the facets of one surface share it.
    pub solid: usize,
    pub owner: Owner,
    pub transmits: f64,
    pub shape: PlainShape,
}

impl Obstacles {
    /// Prepares the solids.
    pub fn new(solids: &[Solid]) -> Self {
        let (mut plain, mut surfaces) = (Vec::new(), Vec::new());
        for (solid, Solid { owner, shape, transmits }) in solids.iter().enumerate() {
            let shape_of = match shape {
                Shape::Capsule { from, to, radius } => PlainShape::Capsule { from: *from, to: *to, radius: *radius },
                Shape::Cylinder { from, to, radius } => PlainShape::Cylinder { from: *from, to: *to, radius: *radius },
                Shape::Cuboid { centre, axes, half } => {
                    PlainShape::Cuboid { centre: *centre, axes: *axes, half: *half }
                }
                Shape::Mesh(mesh) => {
                    surfaces.extend(Surface::new(solid, *owner, *transmits, mesh));
                    continue;
                }
            };
            let ball = shape.bounding_ball();
            plain.push(Plain { solid, owner: *owner, transmits: *transmits, shape: shape_of, ball });
        }
        Self { plain, surfaces }
    }

    /// Share of light that gets along one thin ray: 1 when nothing stands in it. A solid dims it once, however many
    /// of its facets the ray passes.
    pub fn transmitted(&self, ray: &Ray) -> f64 {
        let mut met: Vec<_> = self.near(ray, 0.0).into_iter().filter(|candidate| candidate.shape.hit(ray)).collect();
        met.sort_by_key(|one| one.solid);
        met.dedup_by_key(|one| one.solid);
        met.iter().map(|one| one.transmits).product()
    }

    /// Every solid that comes within `radius` of the ray.
    pub(super) fn near(&self, ray: &Ray, radius: f64) -> Vec<Candidate> {
        let mut candidates: Vec<_> = self
            .plain
            .iter()
            .filter(|solid| distance_to_line(ray, solid.ball.0, solid.ball.0) <= solid.ball.1 + radius)
            .filter(|solid| match solid.shape {
                PlainShape::Capsule { from, to, radius: own } | PlainShape::Cylinder { from, to, radius: own } => {
                    distance_to_line(ray, from, to) <= own + radius
                }
                _ => true,
            })
            .map(|one| Candidate { solid: one.solid, owner: one.owner, transmits: one.transmits, shape: one.shape })
            .collect();
        let thick = ThickRay { ray: *ray, radius };
        for surface in &self.surfaces {
            candidates.extend(surface.tree.traverse_iterator(&thick, &surface.facets).map(|facet| Candidate {
                solid: surface.solid,
                owner: surface.owner,
                transmits: surface.transmits,
                shape: PlainShape::Triangle(facet.corners),
            }));
        }
        candidates
    }
}

impl Surface {
    fn new(solid: usize, owner: Owner, transmits: f64, mesh: &Triangles) -> Option<Self> {
        let mut facets: Vec<_> = mesh.iter().map(|corners| Facet { corners, node: 0 }).collect();
        if facets.is_empty() {
            return None;
        }
        let tree = Bvh::build(&mut facets);
        Some(Self { solid, owner, transmits, facets, tree })
    }
}
