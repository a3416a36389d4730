//! Every place on a boat that could hold a lamp: along the deck's edge, on deck, on and beside cabins, on bars, masts,
//! poles and cowlings.
//!
//! Takes a scene and a lamp; gives places on a grid that is counted from the transom and the centreline, so that a part
//! moved by a hair moves no place along her by more. Must never ask whether a place is lawful.

use std::collections::HashSet;

use glam::DVec3;
use rayon::prelude::*;

use super::{figures::Figures, region::Region};
use crate::{
    boat::{
        Along, Height, Lamp, Mount, PartKind, Place, Pose, Role, Scene,
        shape::{Shape, nearest_on_line},
    },
    light::Back,
    measure::Degrees,
};

/// What holds a lamp.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Ground {
    /// On top of a mast or pole: index into [`Scene::parts`], as all below.
    Top(usize),
    /// A rail, arch or mast.
    Bar(usize),
    /// The upright side of a cabin or box.
    Side(usize),
    /// Its roof.
    Roof(usize),
    /// The deck along her sides.
    Edge,
    Deck,
    /// The cowling of an outboard.
    Cowling(usize),
}

impl Ground {
    /// The part, where it is one.
    pub fn part(self) -> Option<usize> {
        match self {
            Self::Top(part) | Self::Bar(part) | Self::Side(part) | Self::Roof(part) | Self::Cowling(part) => Some(part),
            Self::Edge | Self::Deck => None,
        }
    }

    /// What it is in words: "the deck's edge", "the roof of wheelhouse".
    pub fn in_words(self, scene: &Scene) -> String {
        let name = self.part().and_then(|part| scene.parts.get(part)).map_or("", |part| part.name.as_str());
        match self {
            Self::Top(_) => format!("the top of {name}"),
            Self::Bar(_) => name.into(),
            Self::Side(_) => format!("the side of {name}"),
            Self::Roof(_) => format!("the top of {name}"),
            Self::Edge => "the deck's edge".into(),
            Self::Deck => "the deck".into(),
            Self::Cowling(_) => format!("the cowling of {name}"),
        }
    }
}

/// One place for one lamp.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    pub ground: Ground,
    /// Of the luminous face; `None` on a pole.
    pub at: Option<Place>,
    pub mount: Mount,
    /// Middle of the luminous face, vessel frame, at rest.
    pub centre: DVec3,
    /// How tall a bracket it takes, metres, from what holds it to the middle of the face; nought on a pole's top.
    pub bracket: f64,
}

impl Spot {
    /// Its place in whole millimetres, to tell places apart and to put them in order.
    pub fn on_grid(&self) -> [i64; 3] {
        // No place is further off than some metres, so the casts are exact.
        self.centre.to_array().map(|value| (value * 1000.0).round() as i64)
    }

    /// The lamp put there: upright and parallel to the centreline. A bracket that the scene describes stays with it where it
    /// stands on a deck or roof.
    pub fn holds(&self, lamp: &Lamp) -> Lamp {
        let level = Degrees(0.0);
        let (at, mount) = (self.at, self.mount.clone());
        let mut put = Lamp { at, mount, yaw: level, tilt: level, roll: level, ..lamp.clone() };
        let stands = matches!(self.ground, Ground::Edge | Ground::Deck | Ground::Roof(_));
        let other = !matches!(self.mount, Mount::Bracket(_));
        let bare = Lamp { bracket: None, ..put.clone() };
        put.bracket = put.bracket.filter(|holding| (stands || other) && holding.suits(&bare).is_ok());
        put
    }
}

/// Where a role may stand athwart.
#[derive(Clone, Copy, PartialEq)]
enum Athwart {
    Starboard,
    Port,
    Centreline,
    /// Near the stern, anywhere across.
    Stern,
}

fn athwart(role: Role) -> Athwart {
    match role {
        Role::StarboardSidelight => Athwart::Starboard,
        Role::PortSidelight => Athwart::Port,
        Role::Sternlight | Role::TowingLight => Athwart::Stern,
        _ => Athwart::Centreline,
    }
}

/// All places of one lamp; those within a region only, where one is named, and there all over the deck too.
pub fn spots(scene: &Scene, lamp: &Lamp, region: Option<&Region>, figures: &Figures) -> Vec<Spot> {
    let search =
        Search { scene, lamp, figures, step: figures.step(scene.vessel.length.0), athwart: athwart(lamp.role) };
    let mut spots = search.tops();
    spots.extend(search.parts());
    spots.extend(search.edge());
    spots.extend(search.deck(region));
    spots.retain(|spot| region.is_none_or(|region| region.holds(&scene.vessel, spot.centre)));
    search.sound(spots)
}

struct Search<'a> {
    scene: &'a Scene,
    lamp: &'a Lamp,
    figures: &'a Figures,
    /// Between places along her.
    step: f64,
    athwart: Athwart,
}

/// Whether a place touches a mesh of more triangles is not asked: that would take longer than all else.
const MOST_FACETS: usize = 20_000;

/// A length to the millimetre, as scenes are written.
fn millimetres(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}

impl Search<'_> {
    /// Steps of a grid from the transom or the centreline within two ends.
    fn grid(&self, from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> + use<> {
        let (first, last) = ((from / step - 1e-9).ceil(), (to / step + 1e-9).floor());
        // No vessel has more than some thousands of steps, so the casts are exact.
        (first as i64..=last as i64).map(move |n| n as f64 * step)
    }

    /// Places athwart within a distance to either side, positive to starboard.
    fn across(&self, half: f64) -> Vec<f64> {
        match self.athwart {
            Athwart::Centreline => vec![0.0],
            Athwart::Starboard => self.grid(0.05, half, self.figures.athwart).collect(),
            Athwart::Port => self.grid(0.05, half, self.figures.athwart).map(|off| -off).collect(),
            Athwart::Stern => self.grid(-half, half, self.figures.athwart).collect(),
        }
    }

    /// Places athwart near the edges of something so wide to either side.
    fn near_edges(&self, half: f64) -> Vec<f64> {
        let inboard: Vec<f64> = self.figures.insets.iter().map(|inset| half - inset).filter(|off| *off > 0.0).collect();
        match self.athwart {
            Athwart::Starboard => inboard,
            Athwart::Port => inboard.iter().map(|off| -off).collect(),
            Athwart::Centreline | Athwart::Stern => self.across(half),
        }
    }

    fn half_face(&self) -> f64 {
        self.lamp.face.height / 2.0
    }

    /// From the middle of the face back to what it is fastened against.
    fn behind(&self) -> f64 {
        self.lamp.face.width / 2.0 + self.figures.standoff
    }

    /// A lamp on a bracket with its face here.
    fn bracketed(&self, ground: Ground, point: DVec3, bracket: f64) -> Spot {
        let vessel = &self.scene.vessel;
        let (forward, starboard) = (millimetres(point.x), millimetres(-point.y));
        // Where her hull is a mesh, deck and gunwale are only what the figures say of them.
        let height = if self.scene.own_hull().is_some() {
            Height::AboveWaterline(millimetres(point.z))
        } else {
            Height::AboveDeck(millimetres(point.z - vessel.deck_height(forward, starboard)))
        };
        let place = Place { forward, starboard, height };
        let mount = Mount::Bracket(Along::Centreline);
        Spot { ground, at: Some(place), mount, centre: vessel.locate(&place), bracket: millimetres(bracket) }
    }

    /// Brackets of every height over a point of something flat.
    fn over(&self, ground: Ground, foot: DVec3) -> impl Iterator<Item = Spot> {
        let tall = self.figures.heights.iter().filter(|height| **height > self.half_face() + 0.01);
        tall.map(move |height| self.bracketed(ground, foot + DVec3::Z * *height, *height))
    }

    fn tops(&self) -> Vec<Spot> {
        let masts = self.scene.parts.iter().enumerate();
        let tops = masts.filter_map(|(index, part)| {
            part.kind.pole_top(&self.scene.vessel, &Pose::default())?;
            let mount = Mount::Pole(part.name.clone());
            let put = Lamp { mount: mount.clone(), at: None, bracket: None, ..self.lamp.clone() };
            let centre = self.scene.posed_lamp(&put, &Pose::default()).centre;
            Some(Spot { ground: Ground::Top(index), at: None, mount, centre, bracket: 0.0 })
        });
        tops.collect()
    }

    fn parts(&self) -> Vec<Spot> {
        let mut spots = Vec::new();
        for (index, part) in self.scene.parts.iter().enumerate() {
            let shapes = || part.kind.shapes(&self.scene.vessel, &Pose::default());
            match &part.kind {
                PartKind::Rail { diameter, .. } | PartKind::Arch { diameter, .. } | PartKind::Mast { diameter, .. }
                    if *diameter >= self.figures.thinnest_bar =>
                {
                    shapes().iter().for_each(|bar| spots.extend(self.bar(index, bar)));
                }
                PartKind::Cabin { at, length, width, height } => {
                    spots.extend(self.cabin(index, self.scene.vessel.locate(at), DVec3::new(*length, *width, *height)));
                }
                PartKind::Box { at, length, width, height, yaw } if yaw.0 == 0.0 => {
                    spots.extend(self.cabin(index, self.scene.vessel.locate(at), DVec3::new(*length, *width, *height)));
                }
                PartKind::Outboard { .. } => {
                    spots.extend(shapes().first().map_or_else(Vec::new, |top| self.cowling(index, top)))
                }
                _ => {}
            }
        }
        spots
    }

    /// Along a bar: beside it for a lamp made to be screwed on by its back, over it for one on a foot.
    fn bar(&self, index: usize, bar: &Shape) -> Vec<Spot> {
        let (Shape::Capsule { from, to, radius } | Shape::Cylinder { from, to, radius }) = bar else {
            return Vec::new();
        };
        let run = *to - *from;
        let level = run.truncate().length() > run.z.abs();
        let on_foot = self.lamp.optics.back == Back::Below;
        if !level && on_foot {
            return Vec::new();
        }
        let beside = self.lamp.optics.back.outward() * (radius + self.behind());
        let ground = Ground::Bar(index);
        let mut spots = Vec::new();
        for axis in self.along_bar(*from, *to, level) {
            if on_foot {
                let clear = radius + self.half_face() + self.figures.standoff;
                spots.extend(
                    [0.0, 0.1, 0.2].map(|more| self.bracketed(ground, axis + DVec3::Z * (clear + more), clear + more)),
                );
            } else {
                let raised: &[f64] = if level { &[0.0, 0.08] } else { &[0.0] };
                spots.extend(
                    raised.iter().map(|up| self.bracketed(ground, axis + beside + DVec3::Z * *up, self.behind() + up)),
                );
            }
        }
        spots
    }

    /// Points of a bar's axis on the grid, on the side where this lamp may stand.
    fn along_bar(&self, from: DVec3, to: DVec3, level: bool) -> Vec<DVec3> {
        let run = to - from;
        let at = |share: f64| from + run * share.clamp(0.0, 1.0);
        let (start, total, step) = if !level {
            (from.z, run.z, self.figures.upward)
        } else if run.x.abs() >= run.y.abs() {
            (from.x, run.x, self.step)
        } else {
            (from.y, run.y, self.figures.athwart)
        };
        if total == 0.0 {
            return Vec::new();
        }
        let points = self
            .grid(start.min(start + total), start.max(start + total), step)
            .map(|value| at((value - start) / total));
        let own_side = |point: &DVec3| match self.athwart {
            Athwart::Starboard => point.y < -0.05,
            Athwart::Port => point.y > 0.05,
            Athwart::Centreline => point.y.abs() < 0.005,
            Athwart::Stern => true,
        };
        points.filter(own_side).collect()
    }

    fn cabin(&self, index: usize, foot: DVec3, size: DVec3) -> Vec<Spot> {
        let mut spots = Vec::new();
        let (aft, fore) = (foot.x - size.x / 2.0, foot.x + size.x / 2.0);
        let top = foot.z + size.z;
        for forward in self.grid(aft + 0.05, fore - 0.05, self.step) {
            for off in self.near_edges(size.y / 2.0).into_iter().filter(|off| off.abs() <= size.y / 2.0 - 0.04) {
                spots.extend(self.over(Ground::Roof(index), DVec3::new(forward, foot.y - off, top)));
            }
        }
        let out = self.lamp.optics.back.outward();
        if self.lamp.optics.back == Back::Below {
            return spots;
        }
        let face = foot + out * (out.abs().dot(size) / 2.0 + self.behind());
        let heights = self.grid(foot.z + 0.1, top - self.half_face(), self.figures.upward);
        for up in heights {
            if out.x.abs() > 0.5 {
                let places = self.across(size.y / 2.0 - 0.05);
                spots.extend(places.iter().map(|off| {
                    self.bracketed(Ground::Side(index), DVec3::new(face.x, foot.y - off, up), self.behind())
                }));
            } else {
                let places = self.grid(aft + 0.05, fore - 0.05, self.step);
                spots.extend(places.map(|forward| {
                    self.bracketed(Ground::Side(index), DVec3::new(forward, face.y, up), self.behind())
                }));
            }
        }
        spots
    }

    fn cowling(&self, index: usize, top: &Shape) -> Vec<Spot> {
        let Shape::Cuboid { centre, half, .. } = top else { return Vec::new() };
        let name = self.scene.parts[index].name.clone();
        let over = self.over(Ground::Cowling(index), *centre + DVec3::Z * half.z);
        over.map(|spot| Spot { mount: Mount::Outboard(name.clone()), ..spot }).collect()
    }

    /// Along her sides, for the lamps that stand there.
    fn edge(&self) -> Vec<Spot> {
        let vessel = &self.scene.vessel;
        let mut spots = Vec::new();
        if !matches!(self.athwart, Athwart::Starboard | Athwart::Port) {
            return spots;
        }
        for forward in self.grid(0.1 * vessel.length.0, 0.98 * vessel.length.0, self.step) {
            for off in self.near_edges(vessel.half_breadth(forward)) {
                // On a bulwark brackets stand on its rail.
                let near = vessel.half_breadth(forward) - off.abs() < 0.1;
                let deck = vessel.deck_height(forward, off);
                let height = if near { vessel.gunwale_height(forward).max(deck) } else { deck };
                spots.extend(self.over(Ground::Edge, DVec3::new(forward, -off, height)));
            }
        }
        spots
    }

    /// On deck: over the centreline, across the stern, or all over a region.
    fn deck(&self, region: Option<&Region>) -> Vec<Spot> {
        let vessel = &self.scene.vessel;
        let length = vessel.length.0;
        let mut spots = Vec::new();
        let reach = if self.athwart == Athwart::Stern { 0.12 * length } else { length };
        for forward in self.grid(0.0, reach, self.step) {
            let half = vessel.half_breadth(forward) - 0.03;
            let places = match (region, self.athwart) {
                (Some(_), _) => self.grid(-half, half, self.figures.athwart).collect(),
                (None, Athwart::Starboard | Athwart::Port) => Vec::new(),
                (None, _) => self.across(half),
            };
            for off in places {
                let foot = DVec3::new(forward, -off, vessel.deck_height(forward, off));
                spots.extend(self.over(Ground::Deck, foot));
            }
        }
        spots
    }

    /// Places that can be: in the open, above the water, nothing run through by the bracket, and out of the way of what
    /// is to be kept clear. Each once.
    fn sound(&self, spots: Vec<Spot>) -> Vec<Spot> {
        let pose = Pose::default();
        let part_shapes = self.scene.parts.iter().map(|part| part.kind.shapes(&self.scene.vessel, &pose));
        let solids: Vec<Vec<Shape>> = part_shapes.collect();
        let open: Vec<bool> = spots.par_iter().map(|spot| self.is_open(spot, &solids)).collect();
        let mut seen: HashSet<[i64; 3]> = HashSet::new();
        let open = spots.into_iter().zip(open).filter(|(_, open)| *open).map(|(spot, _)| spot);
        open.filter(|spot| spot.at.is_none() || seen.insert(spot.on_grid())).collect()
    }

    fn is_open(&self, spot: &Spot, solids: &[Vec<Shape>]) -> bool {
        let centre = spot.centre;
        if centre.z <= 0.1 || (self.scene.own_hull().is_none() && self.scene.vessel.contains(centre)) {
            return false;
        }
        let stem = self.stem(spot);
        let radius = self.lamp.face.radius();
        solids.iter().enumerate().all(|(index, shapes)| {
            let room = self.scene.parts[index].keep_clear.0;
            let own = spot.ground.part() == Some(index);
            let solid =
                shapes.iter().filter(|shape| !matches!(shape, Shape::Mesh(mesh) if mesh.corners.len() > MOST_FACETS));
            solid.into_iter().all(|shape| {
                // The lens stands off what holds it; anything else stays out of the bracket's way too.
                let touched = if own {
                    distance(shape, centre) < radius * 0.5
                } else {
                    stem.iter().any(|point| distance(shape, *point) < radius)
                };
                let crowded = room > 0.0 && stem.iter().any(|point| distance(shape, *point) < room);
                !touched && !crowded
            })
        })
    }

    /// The lamp's middle and points of its bracket down to a hand's breadth over what it stands on.
    fn stem(&self, spot: &Spot) -> Vec<DVec3> {
        let upright = matches!(spot.ground, Ground::Edge | Ground::Deck | Ground::Roof(_) | Ground::Cowling(_));
        let length = if upright { (spot.bracket - 0.03).max(0.0) } else { 0.0 };
        let steps = (length / 0.05).ceil().max(1.0);
        // A bracket is under a few metres, so the cast is exact.
        (0..=steps as u32).map(|n| spot.centre - DVec3::Z * (length * f64::from(n) / steps)).collect()
    }
}

/// From a point to the nearest of a shape, metres; nought inside.
pub fn distance(shape: &Shape, point: DVec3) -> f64 {
    match shape {
        Shape::Capsule { from, to, radius } => (nearest_on_line(*from, *to, point).distance(point) - radius).max(0.0),
        Shape::Cylinder { from, to, radius } => {
            let axis = (*to - *from).normalize_or_zero();
            let along = (point - *from).dot(axis);
            let beyond = (-along).max(along - from.distance(*to)).max(0.0);
            let aside = ((point - *from) - axis * along).length() - radius;
            aside.max(0.0).hypot(beyond)
        }
        Shape::Cuboid { centre, axes, half } => {
            let own = (axes.transpose() * (point - *centre)).abs() - *half;
            own.max(DVec3::ZERO).length()
        }
        Shape::Mesh(mesh) => mesh.iter().map(|corners| to_triangle(corners, point)).fold(f64::INFINITY, f64::min),
    }
}

/// From a point to a triangle.
fn to_triangle([a, b, c]: [DVec3; 3], point: DVec3) -> f64 {
    let normal = (b - a).cross(c - a).normalize_or_zero();
    let foot = point - normal * normal.dot(point - a);
    let inside = [(a, b), (b, c), (c, a)].iter().all(|(from, to)| (*to - *from).cross(foot - *from).dot(normal) >= 0.0);
    if inside && normal != DVec3::ZERO {
        return foot.distance(point);
    }
    let sides = [(a, b), (b, c), (c, a)].map(|(from, to)| nearest_on_line(from, to, point).distance(point));
    sides.into_iter().fold(f64::INFINITY, f64::min)
}

/// How far inboard of her outline in plan a point lies, metres; outboard below nought.
pub fn inboard(scene: &Scene, point: DVec3) -> f64 {
    let vessel = &scene.vessel;
    let side = vessel.half_breadth(point.x) - point.y.abs();
    side.min(point.x).min(vessel.length.0 - point.x)
}
