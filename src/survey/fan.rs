//! The light of a lamp as a solid angle: between which elevations each bearing of its own frame gets enough, and how
//! far out before the boat's own parts stand in it.
//!
//! Takes a stance, a light and how much is enough; gives directions of the level frame, as the lamp is set and the boat
//! lies. Must never judge.

use glam::DVec3;

use super::{LightId, Stance, arcs_where};
use crate::{
    boat::PosedLamp,
    light::Beam,
    measure::{Arc, Bearing, Candela, Degrees, Metres},
};

/// One line out from the lamp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spoke {
    /// Unit vector, level frame.
    pub toward: DVec3,
    /// How far out half of the lamp's face is still seen.
    pub clear: Metres,
}

/// An arc of the lamp's own bearings that is lit, by its upper and its lower limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Blade {
    /// In the lamp's own frame.
    pub arc: Arc,
    /// Clockwise from one end of the arc to the other, closer together where something hides the light.
    pub upper: Vec<Spoke>,
    pub lower: Vec<Spoke>,
}

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Fan {
    pub light: LightId,
    /// Where the light stands, level frame.
    pub at: DVec3,
    /// The intensity at its limits: what is asked for, or, where nothing is asked for or the lamp nowhere gives it, half
    /// of the lamp's peak.
    pub least: Candela,
    pub blades: Vec<Blade>,
}

/// Degrees between the lamp's own bearings and elevations that are looked at.
const STEP: f64 = 1.0;
/// Spokes this much nearer or farther than their neighbour, as a share, have more between them.
const JUMP: f64 = 0.05;
/// How often the gap between two such spokes is halved: to within a thirtieth of a degree.
const HALVINGS: u32 = 5;

impl Stance {
    /// The light of one lamp as far as `most`, down to the intensity `due`. The bearings of a blade's edges and its elevations
    /// are found by halving; light that something hides in part counts while half of the face is seen.
    pub fn fan(&self, light: LightId, due: Option<Candela>, most: Metres) -> Fan {
        let lamp = &self.posed().lamps[light.lamp];
        let beam = &lamp.optics.beams[light.beam];
        let bearings: Vec<Bearing> = (0..360u16).map(|n| Bearing::new(f64::from(n) * STEP)).collect();
        let best: Vec<Candela> = bearings.iter().map(|bearing| brightest(beam, *bearing).1).collect();
        let peak = best.iter().map(|candela| candela.0).fold(0.0, f64::max);
        let least = due.filter(|due| due.0 > 0.0 && due.0 <= peak).unwrap_or(Candela(peak / 2.0));
        let holds = |bearing: Bearing| brightest(beam, bearing).1 >= least;
        let held: Vec<bool> = best.iter().map(|candela| peak > 0.0 && *candela >= least).collect();
        let out = Out { stance: self, lamp, beam, light, least, most };
        let blades = arcs_where(&bearings, &held, holds).into_iter().map(|arc| out.blade(arc)).collect();
        Fan { light, at: self.level(lamp.centre), least, blades }
    }
}

/// The elevation at which a bearing of the lamp's own frame gets the most, and how much.
fn brightest(beam: &Beam, bearing: Bearing) -> (Degrees, Candela) {
    let elevations = (-90..=90i16).map(|n| Degrees(f64::from(n) * STEP));
    let looks = elevations.map(|elevation| (elevation, beam.intensity_at(bearing, elevation)));
    // Of equals, the one nearest to level.
    let best = looks.max_by(|a, b| a.1.0.total_cmp(&b.1.0).then(b.0.0.abs().total_cmp(&a.0.0.abs())));
    best.unwrap_or((Degrees(0.0), Candela(0.0)))
}

/// What the spokes of a fan are looked out along.
struct Out<'a> {
    stance: &'a Stance,
    lamp: &'a PosedLamp,
    beam: &'a Beam,
    light: LightId,
    least: Candela,
    most: Metres,
}

impl Out<'_> {
    fn blade(&self, arc: Arc) -> Blade {
        Blade { arc, upper: self.edge(arc, 1.0), lower: self.edge(arc, -1.0) }
    }

    /// The spokes along one limit, the upper (`side` 1) or the lower (-1).
    fn edge(&self, arc: Arc, side: f64) -> Vec<Spoke> {
        let count = (arc.width / STEP).ceil().max(1.0);
        let offsets = (0..=count as u32).map(|n| f64::from(n) / count * arc.width);
        let spoke = |offset: f64| self.spoke(arc.from.turned(offset), side);
        let mut spokes: Vec<Spoke> = Vec::new();
        let mut last: Option<(f64, Spoke)> = None;
        for offset in offsets {
            let here = spoke(offset);
            if let Some((before, there)) = last
                && differ(there, here)
            {
                let (mut low, mut high) = ((before, there), (offset, here));
                for _ in 0..HALVINGS {
                    let middle = (low.0 + high.0) / 2.0;
                    let between = spoke(middle);
                    if differ(low.1, between) { high = (middle, between) } else { low = (middle, between) }
                }
                spokes.extend([low.1, high.1]);
            }
            spokes.push(here);
            last = Some((offset, here));
        }
        spokes
    }

    fn spoke(&self, bearing: Bearing, side: f64) -> Spoke {
        let own = bearing.direction_at(self.limit(bearing, side));
        let toward = self.stance.attitude().rotation() * (self.lamp.frame * own);
        Spoke { toward, clear: self.clear(toward) }
    }

    /// The elevation in the lamp's own frame up or down to which a bearing gets enough.
    fn limit(&self, bearing: Bearing, side: f64) -> Degrees {
        let enough = |elevation: f64| self.beam.intensity_at(bearing, Degrees(elevation)) >= self.least;
        let (Degrees(mut inside), _) = brightest(self.beam, bearing);
        let mut outside = inside;
        while enough(outside) && outside.abs() < 90.0 {
            inside = outside;
            outside = (outside + side * STEP).clamp(-90.0, 90.0);
        }
        if enough(outside) {
            return Degrees(outside);
        }
        for _ in 0..20 {
            let middle = (inside + outside) / 2.0;
            if enough(middle) { inside = middle } else { outside = middle }
        }
        Degrees(inside)
    }

    /// How far along a line half of the face is still seen.
    fn clear(&self, toward: DVec3) -> Metres {
        let centre = self.stance.level(self.lamp.centre);
        let seen = |metres: f64| self.stance.to_point(self.light, centre + toward * metres).visible.fraction >= 0.5;
        if seen(self.most.0) {
            return self.most;
        }
        let (mut near, mut far) = (0.0, self.most.0);
        for _ in 0..12 {
            let middle = (near + far) / 2.0;
            if seen(middle) { near = middle } else { far = middle }
        }
        Metres(near)
    }
}

fn differ(one: Spoke, other: Spoke) -> bool {
    (one.clear.0 - other.clear.0).abs() > JUMP * one.clear.0.max(other.clear.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        boat::{Attitude, Pose, Scene, read::scene_text},
        survey::at_rest,
    };

    const FAR: Metres = Metres(9.0);

    fn workboat() -> Scene {
        scene_text(include_str!("../../scenes/sandpiper.ron"), "sandpiper", None).expect("the workboat reads").scene
    }

    /// The fan of the first light of a lamp, with the least that the annex asks of a sidelight seen a mile off.
    fn fan(scene: &Scene, fit: &str, lamp: &str, attitude: Attitude) -> Fan {
        let fit = scene.fit(fit).expect("a fit");
        let lamp = fit.lamps.iter().position(|one| one.name == lamp).expect("a lamp");
        let stance = Stance::new(scene, fit, &Pose::default(), attitude);
        stance.fan(LightId { lamp, beam: 0 }, Some(Candela(0.9)), FAR)
    }

    fn elevation(spoke: &Spoke) -> f64 {
        spoke.toward.z.asin().to_degrees()
    }

    #[test]
    fn the_fan_of_an_upright_lamp_straddles_the_horizon_on_every_bearing() {
        let fan = fan(&workboat(), "proposed", "starboard sidelight", Attitude::default());
        assert_eq!((fan.least, fan.blades.len()), (Candela(0.9), 1));
        let blade = &fan.blades[0];
        // Of 1.62 cd all is left to 6 degrees, and 0.9 cd at 16.48: from three fifths at 15 toward three tenths at 25.
        for (upper, lower) in blade.upper.iter().zip(&blade.lower) {
            assert!((6.0..16.5).contains(&elevation(upper)), "{}", elevation(upper));
            assert!((-16.5..-6.0).contains(&elevation(lower)), "{}", elevation(lower));
        }
        assert!((elevation(&blade.upper[50]) - 16.48).abs() < 0.01);
        let [first, last] = [blade.upper.first(), blade.upper.last()].map(|spoke| spoke.expect("spokes").toward);
        assert!(Bearing::of(first).clockwise_of(Bearing::AHEAD) <= 0.0);
        assert!((112.5..113.0).contains(&Bearing::of(last).degrees()));
    }

    #[test]
    fn the_fan_of_a_lamp_flat_on_deck_points_at_the_sky() {
        let fan = fan(&workboat(), "as found", "starboard sidelight", Attitude::default());
        let blade = &fan.blades[0];
        let both = blade.upper.iter().chain(&blade.lower);
        let highest = both.map(elevation).fold(f64::MIN, f64::max);
        // Its own level stands upright, so that its limits lie some 16 degrees to either side of straight up.
        assert!(highest > 70.0, "{highest}");
        let three_quarters = blade.upper.len() * 3 / 4;
        assert!(elevation(&blade.upper[three_quarters]) > 60.0);
        // Nobody abeam on the water is in it.
        for spoke in blade.upper.iter().chain(&blade.lower) {
            let abeam = Bearing::of(spoke.toward).clockwise_of(Bearing::STARBOARD_BEAM).abs() < 30.0;
            assert!(!abeam || elevation(spoke) > 30.0, "{spoke:?}");
        }
    }

    #[test]
    fn a_boat_that_heels_carries_her_fans_with_her() {
        let scene = workboat();
        let heeled = Attitude { heel: Degrees(10.0), ..Attitude::default() };
        let [level, heeled] =
            [Attitude::default(), heeled].map(|lies| fan(&scene, "proposed", "starboard sidelight", lies));
        let abeam = |fan: &Fan| {
            let spokes = fan.blades[0].upper.iter();
            let nearest = spokes.min_by(|a, b| {
                let off = |one: &Spoke| Bearing::of(one.toward).clockwise_of(Bearing::STARBOARD_BEAM).abs();
                off(a).total_cmp(&off(b))
            });
            elevation(nearest.expect("spokes"))
        };
        // To starboard is down on that side.
        assert!((abeam(&level) - abeam(&heeled) - 10.0).abs() < 0.3, "{} {}", abeam(&level), abeam(&heeled));
    }

    #[test]
    fn a_fan_ends_where_the_engine_stands_in_it() {
        let scene = workboat();
        let fan = fan(&scene, "as found", "sternlight", Attitude::default());
        let spokes: Vec<&Spoke> = fan.blades.iter().flat_map(|blade| blade.upper.iter().chain(&blade.lower)).collect();
        let (cut, whole): (Vec<&Spoke>, Vec<&Spoke>) = spokes.into_iter().partition(|spoke| spoke.clear < FAR);
        assert!(!cut.is_empty() && !whole.is_empty());
        let stance = at_rest(&scene, &scene.fits[0]);
        for spoke in cut {
            let seen = stance.to_point(fan.light, fan.at + spoke.toward * FAR.0).visible;
            assert!(seen.fraction < 0.5 && seen.by.is_some());
        }
    }

    #[test]
    fn a_lamp_too_weak_for_what_is_due_is_shown_down_to_half_its_peak() {
        let scene = workboat();
        let stance = at_rest(&scene, &scene.fits[1]);
        let fan = stance.fan(LightId { lamp: 0, beam: 0 }, Some(Candela(4.3)), FAR);
        assert!((fan.least.0 - 0.81).abs() < 1e-9, "{}", fan.least);
        assert_eq!(stance.fan(LightId { lamp: 0, beam: 0 }, None, FAR).least, fan.least);
    }
}
