//! The boat's solids, made ready to be asked by many rays.

use std::sync::{Arc, OnceLock};

use glam::{DMat3, DVec3};

use super::{
    facets::Facets,
    ray::{Ray, distance_to_line, hits_capsule, hits_cuboid, hits_cylinder, hits_triangle},
};
use crate::boat::{
    Owner, Solid,
    shape::{Shape, Triangles},
};

/// How far the facets of a round solid may lie from its true surface, metres: under a hundredth of a degree at half a
/// metre.
const FLATTEST: f64 = 5e-5;

/// Everything that can stand in a lamp's way.
#[derive(Debug)]
pub struct Obstacles {
    plain: Vec<Plain>,
    surfaces: Vec<Surface>,
    /// The plain solids as surfaces, made when first asked for: all that let nothing through as one, each pane alone.
    cut: OnceLock<Vec<(f64, Facets)>>,
}

/// A solid answered by formula.
#[derive(Debug)]
struct Plain {
    owner: Owner,
    transmits: f64,
    shape: PlainShape,
    drawn: Shape,
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

/// A triangle surface.
#[derive(Debug)]
struct Surface {
    owner: Owner,
    transmits: f64,
    mesh: Arc<Triangles>,
    facets: Arc<Facets>,
}

/// A solid that may hide part of a face on the way to one observer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub owner: Owner,
    pub transmits: f64,
    pub shape: PlainShape,
}

impl Obstacles {
    /// Prepares the solids.
    pub fn new(solids: &[Solid]) -> Self {
        Self::like(&[], solids)
    }

    /// Prepares the solids of the same boat otherwise placed: surfaces that are as they were are not made ready again.
    pub fn otherwise(&self, solids: &[Solid]) -> Self {
        Self::like(&self.surfaces, solids)
    }

    fn like(known: &[Surface], solids: &[Solid]) -> Self {
        let (mut plain, mut surfaces) = (Vec::new(), Vec::new());
        for Solid { owner, shape, transmits } in solids {
            let (owner, transmits) = (*owner, *transmits);
            let shape_of = match shape {
                Shape::Capsule { from, to, radius } => PlainShape::Capsule { from: *from, to: *to, radius: *radius },
                Shape::Cylinder { from, to, radius } => PlainShape::Cylinder { from: *from, to: *to, radius: *radius },
                Shape::Cuboid { centre, axes, half } => {
                    PlainShape::Cuboid { centre: *centre, axes: *axes, half: *half }
                }
                Shape::Mesh(mesh) => {
                    let same = |one: &&Surface| Arc::ptr_eq(&one.mesh, mesh) || one.mesh == *mesh;
                    let facets = known.iter().find(same).map(|one| Arc::clone(&one.facets));
                    let facets = facets.unwrap_or_else(|| Arc::new(Facets::new(mesh)));
                    surfaces.push(Surface { owner, transmits, mesh: Arc::clone(mesh), facets });
                    continue;
                }
            };
            plain.push(Plain { owner, transmits, shape: shape_of, drawn: shape.clone(), ball: shape.bounding_ball() });
        }
        Self { plain, surfaces, cut: OnceLock::new() }
    }

    /// Every solid as a surface, with the share of light it lets through. Round solids are cut into facets that stay
    /// within [`FLATTEST`] of them.
    pub(super) fn surfaces(&self) -> impl Iterator<Item = (f64, &Facets)> {
        let cut = self.cut.get_or_init(|| self.cut_up());
        let plain = cut.iter().map(|(transmits, facets)| (*transmits, facets));
        plain.chain(self.surfaces.iter().map(|surface| (surface.transmits, &*surface.facets)))
    }

    fn cut_up(&self) -> Vec<(f64, Facets)> {
        let mut dark = Triangles::default();
        let mut cut = Vec::new();
        for solid in &self.plain {
            let triangles = solid.drawn.triangles_within(FLATTEST);
            if solid.transmits > 0.0 {
                cut.push((solid.transmits, Facets::new(&triangles)));
            } else {
                dark.append(&triangles);
            }
        }
        cut.push((0.0, Facets::new(&dark)));
        cut
    }

    /// Share of light that gets along one thin ray: 1 when nothing stands in it.
    pub fn transmitted(&self, ray: &Ray) -> f64 {
        self.near(ray, 0.0).iter().filter(|candidate| candidate.shape.hit(ray)).map(|one| one.transmits).product()
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
            .map(|solid| Candidate { owner: solid.owner, transmits: solid.transmits, shape: solid.shape })
            .collect();
        for surface in &self.surfaces {
            surface.facets.near(ray, radius, |corners| {
                candidates.push(Candidate {
                    owner: surface.owner,
                    transmits: surface.transmits,
                    shape: PlainShape::Triangle(corners),
                });
            });
        }
        candidates
    }
}
