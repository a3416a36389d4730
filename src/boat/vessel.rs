//! The vessel herself and her hull: a parametric form given by the few figures a fitter can take with a tape.
//!
//! The hull is described by three lines (gunwale, chine, keel) that run from the transom to the stem, and a cambered
//! deck between the gunwales. Everything asked of the hull (height of the deck, run of the gunwale, lean of the
//! topside, its mesh) comes from those lines. Must never know of lamps.

use std::sync::Arc;

use glam::{DVec2, DVec3};
use serde::{Deserialize, Serialize};

use super::{Status, shape::Triangles};
use crate::measure::{Degrees, Knots, Metres};

/// How she moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Propulsion {
    /// Power-driven: any engine.
    Power,
    /// Under sail alone.
    Sail,
    /// Under oars or paddle.
    Oars,
}

impl Propulsion {
    /// "power", "sail", "oars".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Power => "power",
            Self::Sail => "sail",
            Self::Oars => "oars",
        }
    }
}

/// The vessel's principal dimensions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Vessel {
    /// Length overall, transom to stem.
    pub length: Metres,
    /// Greatest breadth, at the gunwales.
    pub beam: Metres,
    /// Height of the gunwale above the water where it is lowest.
    pub freeboard: Metres,
    /// Depth from the lowest gunwale down to the keel; what exceeds the freeboard is under water.
    pub depth: Metres,
    /// How she moves as a rule: what "under way" means for her.
    pub propulsion: Propulsion,
    /// Other ways she can move: `Power` for a sailing vessel with an engine.
    pub also: Vec<Propulsion>,
    /// Greatest speed, on which Rule 23(d)(ii) turns.
    pub top_speed: Knots,
    /// Whether she is a high-speed craft (Annex I 13).
    pub high_speed: bool,
    /// What she does in use, each plain (see [`Status::plain`]) and once: the statuses she needs lights for.
    pub statuses: Vec<Status>,
    pub hull: HullForm,
}

/// The finer shape of the hull.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HullForm {
    /// How much higher the gunwale is at the stem than at its lowest.
    pub sheer: Metres,
    /// Outward lean of the topsides from upright, in `[0, 45]`.
    pub flare: Degrees,
    /// How much higher the deck is on the centreline than at its edge.
    pub deck_camber: Metres,
    /// How far the deck lies below the gunwale.
    pub bulwark: Metres,
    /// Breadth at the transom as a share of the beam, in `(0, 1]`.
    pub transom: f64,
}

impl Default for HullForm {
    fn default() -> Self {
        Self {
            sheer: Metres(0.2),
            flare: Degrees(10.0),
            deck_camber: Metres(0.03),
            bulwark: Metres(0.0),
            transom: 0.85,
        }
    }
}

/// Where along the hull the gunwale is lowest and the beam greatest, as shares of the length.
const LOWEST_GUNWALE: f64 = 0.3;
const GREATEST_BEAM: f64 = 0.45;
/// How full the bow is in plan: 1 would be a wedge, a large number a box.
const BOW_FULLNESS: f64 = 2.2;
/// How far the chine and the keel stop short of the stem head, as shares of the length: the rake of the stem.
const CHINE_RAKE: f64 = 0.05;
const KEEL_RAKE: f64 = 0.11;
const STATIONS: u32 = 24;
const DECK_STRIPS: u32 = 6;

impl Vessel {
    /// Lengths beyond these are taken for slips of the unit or the decimal point: more than the one, ...
    pub const LENGTH_OVER: Metres = Metres(1.0);
    /// ... at most the other.
    pub const LENGTH_MOST: Metres = Metres(60.0);
    /// The same of speeds.
    pub const TOP_SPEED_MOST: Knots = Knots(100.0);

    /// Whether she can move this way.
    pub fn moves_by(&self, means: Propulsion) -> bool {
        self.propulsion == means || self.also.contains(&means)
    }

    /// The statuses of a vessel whose scene names none: under way by each of her means, and at anchor.
    pub fn usual_statuses(propulsion: Propulsion, also: &[Propulsion]) -> Vec<Status> {
        let means = [Status::UnderEngine, Status::UnderSail, Status::UnderOars];
        let others = means.into_iter().filter(|status| also.iter().any(|one| status.means() == Some(*one)));
        let others = others.filter(|status| status.means() != Some(propulsion));
        std::iter::once(Status::UnderWay).chain(others).chain([Status::AtAnchor]).collect()
    }

    fn share(&self, forward: f64) -> f64 {
        (forward / self.length.0).clamp(0.0, 1.0)
    }

    /// Half the breadth at the gunwale, at a distance forward of the transom.
    pub fn half_breadth(&self, forward: f64) -> f64 {
        let share = self.share(forward);
        let full = self.beam.0 / 2.0;
        if share <= GREATEST_BEAM {
            let run = (share / GREATEST_BEAM * std::f64::consts::FRAC_PI_2).sin();
            full * (self.hull.transom + (1.0 - self.hull.transom) * run)
        } else {
            full * (1.0 - ((share - GREATEST_BEAM) / (1.0 - GREATEST_BEAM)).powf(BOW_FULLNESS))
        }
    }

    /// Height of the gunwale above the water.
    pub fn gunwale_height(&self, forward: f64) -> f64 {
        let rise = ((self.share(forward) - LOWEST_GUNWALE) / (1.0 - LOWEST_GUNWALE)).max(0.0);
        self.freeboard.0 + self.hull.sheer.0 * rise * rise
    }

    /// Height of the deck above the water, at a distance forward of the transom and off the centreline (either side).
    pub fn deck_height(&self, forward: f64, off_centre: f64) -> f64 {
        let edge = self.half_breadth(forward).max(1e-6);
        let across = (off_centre / edge).clamp(-1.0, 1.0);
        self.gunwale_height(forward) - self.hull.bulwark.0 + self.hull.deck_camber.0 * (1.0 - across * across)
    }

    /// Upward unit normal of the deck.
    pub fn deck_normal(&self, forward: f64, starboard: f64) -> DVec3 {
        let step = 1e-4;
        let slope = |a: f64, b: f64| (a - b) / (2.0 * step);
        let ahead = slope(self.deck_height(forward + step, starboard), self.deck_height(forward - step, starboard));
        let to_starboard =
            slope(self.deck_height(forward, starboard + step), self.deck_height(forward, starboard - step));
        DVec3::new(-ahead, to_starboard, 1.0).normalize()
    }

    /// The way the starboard gunwale runs at a place, as degrees to starboard of the centreline: negative where she
    /// narrows towards the bow. The port gunwale runs the other way.
    pub fn gunwale_angle(&self, forward: f64) -> Degrees {
        let step = 1e-4;
        let ahead = forward.clamp(step, self.length.0 - step);
        let widening = (self.half_breadth(ahead + step) - self.half_breadth(ahead - step)) / (2.0 * step);
        Degrees(widening.atan().to_degrees())
    }

    /// Outward unit normal of the starboard topside, and the point of it at a height above the water.
    pub fn starboard_topside(&self, forward: f64, height: f64) -> (DVec3, DVec3) {
        let step = 1e-4;
        let at = |forward: f64, height: f64| DVec3::new(forward, -self.topside_breadth(forward, height), height);
        let ahead = forward.clamp(step, self.length.0 - step);
        let along = at(ahead + step, height) - at(ahead - step, height);
        let up = at(ahead, height + step) - at(ahead, height - step);
        (at(forward, height), along.cross(up).normalize())
    }

    /// Half the breadth of the topside at a height, ignoring the small rake of the chine.
    fn topside_breadth(&self, forward: f64, height: f64) -> f64 {
        let down = self.gunwale_height(forward) - height;
        (self.half_breadth(forward) - down * self.hull.flare.0.to_radians().tan()).max(0.0)
    }

    /// How far the keel lies under water.
    pub fn draught(&self) -> f64 {
        (self.depth.0 - self.freeboard.0).max(0.05)
    }

    /// Whether a point lies inside the hull, below her deck (or below the gunwale, within the thickness of the side).
    pub fn contains(&self, point: DVec3) -> bool {
        let off_centre = point.y.abs();
        (0.0..=self.length.0).contains(&point.x)
            && point.z > -self.draught()
            && point.z < self.deck_height(point.x, point.y) - 1e-6
            && off_centre < self.topside_breadth(point.x, point.z) - 1e-6
    }

    /// Points of a station: keel, chine and gunwale of the starboard side.
    fn station(&self, share: f64) -> [DVec3; 3] {
        let forward = share * self.length.0;
        let height = self.gunwale_height(forward);
        let breadth = self.half_breadth(forward);
        let rise = ((share - 0.55) / 0.45).max(0.0).powi(3);
        let chine_height = 0.06 + rise * height * 0.35;
        let keel_height = -self.draught() + rise * (self.draught() + chine_height);
        let chine_breadth = self.topside_breadth(forward, chine_height);
        [
            DVec3::new(forward * (1.0 - KEEL_RAKE), 0.0, keel_height),
            DVec3::new(forward * (1.0 - CHINE_RAKE), -chine_breadth, chine_height),
            DVec3::new(forward, -breadth, height),
        ]
    }

    /// The hull as a faceted mesh: bottom, topsides, transom, bulwark and deck.
    pub fn hull_mesh(&self) -> Arc<Triangles> {
        let mut mesh = Triangles::default();
        let mirrored = |point: DVec3| DVec3::new(point.x, -point.y, point.z);
        // Each station runs starboard gunwale, chine, keel, chine, port gunwale, then across the deck back.
        let stations: Vec<Vec<u32>> = (0..=STATIONS)
            .map(|n| {
                let share = f64::from(n) / f64::from(STATIONS);
                let [keel, chine, gunwale] = self.station(share);
                let mut around = vec![gunwale, chine, keel, mirrored(chine), mirrored(gunwale)];
                let edge = self.topside_breadth(gunwale.x, gunwale.z - self.hull.bulwark.0);
                around.extend((0..=DECK_STRIPS).map(|strip| {
                    let across = 1.0 - 2.0 * f64::from(strip) / f64::from(DECK_STRIPS);
                    let place = DVec2::new(gunwale.x, edge * across);
                    // Camber is measured over the deck's own breadth.
                    let camber = self.hull.deck_camber.0 * (1.0 - across * across);
                    place.extend(gunwale.z - self.hull.bulwark.0 + camber)
                }));
                around.into_iter().map(|point| mesh.point(point)).collect()
            })
            .collect();
        for pair in stations.windows(2) {
            let (aft, fore) = (&pair[0], &pair[1]);
            for n in 0..aft.len() {
                let next = (n + 1) % aft.len();
                mesh.quad([aft[n], aft[next], fore[next], fore[n]]);
            }
        }
        self.transom(&stations[0], &mut mesh);
        Arc::new(mesh)
    }

    /// Closes the after end: a fan from the keel to the gunwales and across to the deck's edge.
    fn transom(&self, around: &[u32], mesh: &mut Triangles) {
        let [starboard, starboard_chine, keel, port_chine, port] = [0, 1, 2, 3, 4].map(|n| around[n]);
        mesh.quad([keel, starboard_chine, starboard, port]);
        mesh.quad([keel, port, port_chine, keel]);
        // The deck's after edge rises above the straight line between the gunwales when there is no bulwark.
        let deck = &around[5..];
        if self.hull.bulwark.0 == 0.0 {
            for pair in deck.windows(2) {
                mesh.quad([starboard, pair[1], pair[0], starboard]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn workboat() -> Vessel {
        Vessel {
            length: Metres(6.0),
            beam: Metres(2.2),
            freeboard: Metres(0.6),
            depth: Metres(0.9),
            propulsion: Propulsion::Power,
            top_speed: Knots(20.0),
            also: Vec::new(),
            high_speed: false,
            statuses: vec![Status::UnderWay, Status::AtAnchor],
            hull: HullForm::default(),
        }
    }

    #[test]
    fn the_gunwale_is_widest_near_midships_and_closes_at_the_stem() {
        let boat = workboat();
        assert!((boat.half_breadth(6.0 * GREATEST_BEAM) - 1.1).abs() < 1e-12);
        assert_eq!(boat.half_breadth(6.0), 0.0);
        assert!(boat.gunwale_angle(5.0).0 < -5.0, "she narrows towards the bow");
    }

    #[test]
    fn the_hull_mesh_is_symmetric_and_as_long_and_wide_as_the_boat() {
        let mesh = workboat().hull_mesh();
        let (low, high) = mesh.bounds().unwrap();
        assert!((high.x - 6.0).abs() < 1e-9 && low.x.abs() < 1e-9);
        assert!((high.y + low.y).abs() < 1e-9);
        assert!((high.y - 1.1).abs() < 0.01);
        assert!(low.z < 0.0 && low.z >= -0.31);
    }

    #[test]
    fn the_hull_mesh_is_wound_outward() {
        let volume: f64 = workboat().hull_mesh().iter().map(|[a, b, c]| a.dot(b.cross(c)) / 6.0).sum();
        assert!(volume > 3.0 && volume < 12.0, "{volume} cubic metres");
    }

    #[test]
    fn the_starboard_topside_faces_outboard_and_down_with_flare() {
        let (point, normal) = workboat().starboard_topside(2.5, 0.4);
        assert!(point.y < -1.0);
        assert!(normal.y < -0.9 && normal.z < -0.1, "{normal}");
    }

    #[test]
    fn a_point_on_deck_is_outside_and_a_point_under_it_inside() {
        let boat = workboat();
        let deck = boat.deck_height(3.0, 0.2);
        assert!(!boat.contains(DVec3::new(3.0, 0.2, deck + 0.01)));
        assert!(boat.contains(DVec3::new(3.0, 0.2, deck - 0.01)));
    }
}
