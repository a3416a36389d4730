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

/// Nothing aboard is further off than this, metres.
const FARTHEST: f64 = 1000.0;

/// Solids met within so many metres of each other are met at one place.
const SAME_PLACE: f64 = 1e-6;

/// Everything that can stand in a lamp's way.
#[derive(Debug)]
pub struct Obstacles {
    plain: Vec<Plain>,
    /// All that let nothing through as one group, then each pane as one.
    surfaces: Vec<Arc<Group>>,
    /// The plain solids as surfaces in such groups, made when first asked for.
    cut: OnceLock<Vec<Group>>,
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

/// A surface and whose it is.
type Member = (Owner, Arc<Triangles>);

/// Triangle surfaces that let the same share of light through.
#[derive(Debug)]
struct Group {
    transmits: f64,
    members: Vec<Member>,
    facets: Facets,
}

impl Group {
    fn new(transmits: f64, members: Vec<Member>) -> Self {
        // Numbers are indices of members, fewer than there are triangles.
        let numbered: Vec<_> = members.iter().enumerate().map(|(n, (_, mesh))| (n as u32, &**mesh)).collect();
        let facets = Facets::new(&numbered);
        Self { transmits, members, facets }
    }

    fn is_of(&self, transmits: f64, members: &[Member]) -> bool {
        let same = |(a, b): (&Member, &Member)| a.0 == b.0 && (Arc::ptr_eq(&a.1, &b.1) || a.1 == b.1);
        self.transmits == transmits && self.members.len() == members.len() && self.members.iter().zip(members).all(same)
    }
}

/// Members of each group.
fn grouped(surfaces: Vec<(f64, Member)>) -> Vec<(f64, Vec<Member>)> {
    let mut groups = vec![(0.0, Vec::new())];
    for (transmits, member) in surfaces {
        if transmits > 0.0 {
            groups.push((transmits, vec![member]));
        } else {
            groups[0].1.push(member);
        }
    }
    groups
}

/// A solid that may hide part of a face on the way to one observer.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    /// A number of the solid's own; the facets of one surface share it.
    pub solid: usize,
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

    fn like(known: &[Arc<Group>], solids: &[Solid]) -> Self {
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
                    surfaces.push((transmits, (owner, Arc::clone(mesh))));
                    continue;
                }
            };
            plain.push(Plain { owner, transmits, shape: shape_of, drawn: shape.clone(), ball: shape.bounding_ball() });
        }
        let ready = |(transmits, members): (f64, Vec<_>)| {
            let same = known.iter().find(|group| group.is_of(transmits, &members));
            same.map_or_else(|| Arc::new(Group::new(transmits, members)), Arc::clone)
        };
        let surfaces = grouped(surfaces).into_iter().map(ready).collect();
        Self { plain, surfaces, cut: OnceLock::new() }
    }

    /// Every solid as a surface, each group with the share of light it lets through. Round solids are cut into facets
    /// that stay within [`FLATTEST`] of them.
    pub(super) fn surfaces(&self) -> impl Iterator<Item = (f64, &Facets)> {
        let cut = self.cut.get_or_init(|| self.cut_up());
        cut.iter().chain(self.surfaces.iter().map(|group| &**group)).map(|group| (group.transmits, &group.facets))
    }

    fn cut_up(&self) -> Vec<Group> {
        let cut = |solid: &Plain| (solid.transmits, (solid.owner, Arc::new(solid.drawn.triangles_within(FLATTEST))));
        let groups = grouped(self.plain.iter().map(cut).collect());
        groups.into_iter().map(|(transmits, members)| Group::new(transmits, members)).collect()
    }

    /// Share of light that gets along one thin ray: 1 when nothing stands in it. A solid dims it once, however many
    /// of its facets the ray passes.
    pub fn transmitted(&self, ray: &Ray) -> f64 {
        let mut met: Vec<_> = self.near(ray, 0.0).into_iter().filter(|candidate| candidate.shape.hit(ray)).collect();
        met.sort_by_key(|one| one.solid);
        met.dedup_by_key(|one| one.solid);
        met.iter().map(|one| one.transmits).product()
    }

    /// Whose solid a ray meets first, panes among them; of several met at one place, the first in order. `None` when
    /// nothing dims it.
    pub fn first_met(&self, ray: &Ray) -> Option<Owner> {
        let mut met: Vec<_> = self.near(ray, 0.0).into_iter().filter(|one| one.transmits < 1.0).collect();
        met.retain(|one| one.shape.hit(ray));
        // A shorter ray meets fewer, and the nearest last of all.
        let (mut free, mut stopped) = (0.0, ray.length.min(FARTHEST));
        while stopped - free > SAME_PLACE && met.iter().any(|one| one.owner != met[0].owner) {
            let length = (free + stopped) / 2.0;
            let shorter = Ray { length, ..*ray };
            if met.iter().any(|one| one.shape.hit(&shorter)) {
                met.retain(|one| one.shape.hit(&shorter));
                stopped = length;
            } else {
                free = length;
            }
        }
        met.into_iter().map(|one| one.owner).min()
    }

    /// How far along a ray it first meets a solid of an owner, metres; `None` when it meets none within reach.
    pub fn met_at(&self, ray: &Ray, owner: Owner) -> Option<f64> {
        let (mut free, mut stopped) = (0.0, ray.length.min(FARTHEST));
        let mut met: Vec<_> = self.near(ray, 0.0).into_iter().filter(|one| one.owner == owner).collect();
        met.retain(|one| one.shape.hit(&Ray { length: stopped, ..*ray }));
        if met.is_empty() {
            return None;
        }
        while stopped - free > SAME_PLACE {
            let length = (free + stopped) / 2.0;
            if met.iter().any(|one| one.shape.hit(&Ray { length, ..*ray })) { stopped = length } else { free = length }
        }
        Some(stopped)
    }

    /// Every solid that comes within `radius` of the ray.
    pub(super) fn near(&self, ray: &Ray, radius: f64) -> Vec<Candidate> {
        let mut candidates: Vec<_> = (self.plain.iter().enumerate())
            .filter(|(_, solid)| distance_to_line(ray, solid.ball.0, solid.ball.0) <= solid.ball.1 + radius)
            .filter(|(_, solid)| match solid.shape {
                PlainShape::Capsule { from, to, radius: own } | PlainShape::Cylinder { from, to, radius: own } => {
                    distance_to_line(ray, from, to) <= own + radius
                }
                _ => true,
            })
            .map(|(solid, one)| Candidate { solid, owner: one.owner, transmits: one.transmits, shape: one.shape })
            .collect();
        let mut first = self.plain.len();
        for group in &self.surfaces {
            group.facets.near(ray, radius, |corners, number| {
                // A member's index.
                let number = number as usize;
                candidates.push(Candidate {
                    solid: first + number,
                    owner: group.members[number].0,
                    transmits: group.transmits,
                    shape: PlainShape::Triangle(corners),
                });
            });
            first += group.members.len();
        }
        candidates
    }
}
