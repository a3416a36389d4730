//! Boats rigged with every kind of light, at places that keep the figures of Annex I with little to spare.
//!
//! Heights here are metres above a deck that is also the gunwale; the figures that they keep are named where they are
//! set. Lamps stand on feet, so that nothing but what a test adds can hide them.

use std::sync::Arc;

use lampwalk::{
    boat::{Height, Joint, Lamp, Mount, Part, PartKind, Place, Propulsion, Role, Scene, Status, Vessel},
    light::{Back, Beam, Colour, Optics, Profile},
    measure::{Candela, Degrees, Knots, Metres, NauticalMiles},
    rules::{LightKind, international},
};

use super::{boat_of, lamp};

/// A boat under construction: every method adds lamps.
pub struct Rig {
    pub scene: Scene,
    pub status: Status,
}

/// Where a group of lights stands.
#[derive(Clone, Copy)]
pub struct Spot {
    /// Metres forward of the transom.
    pub forward: f64,
    /// Metres to starboard of the centreline.
    pub starboard: f64,
    /// Metres above the deck, of the lowest light.
    pub above: f64,
}

impl Rig {
    /// A bare boat of this length with a flat deck and straight sides, doing this.
    pub fn of(length: f64, propulsion: Propulsion, status: Status) -> Self {
        let mut scene = boat_of(length);
        let vessel = Vessel {
            beam: Metres(length * 0.25),
            freeboard: Metres(1.0),
            depth: Metres(1.5),
            top_speed: Knots(7.0),
            propulsion,
            statuses: vec![status],
            ..scene.vessel.clone()
        };
        scene.vessel = vessel;
        scene.conditions.near = Metres(length + 10.0);
        Self { scene, status }
    }

    pub fn length(&self) -> f64 {
        self.scene.vessel.length.0
    }

    fn small(&self) -> bool {
        self.length() < 20.0
    }

    /// Gap between lights of a vertical line: Annex I 2(i) asks 1 m under 20 m of length and 2 m from there.
    pub fn gap(&self) -> f64 {
        if self.small() { 1.02 } else { 2.02 }
    }

    /// Height of sidelights: low enough for Annex I 2(d), (g) and (j), high enough to clear the deck.
    fn sidelight_height(&self) -> f64 {
        if self.small() { 0.8 } else { 3.0 }
    }

    /// Height of a forward masthead light: Annex I 2(c) asks 2.5 m above the gunwale, 2(a)(i) 6 m or the beam, at most
    /// 12 m.
    pub fn masthead_height(&self) -> f64 {
        if self.small() { 2.55 } else { self.scene.vessel.beam.0.clamp(6.0, 12.0) + 0.05 }
    }

    /// A lamp of a role at a spot, lit in the status of the rig, as strong as its range asks and half as much again.
    pub fn light(mut self, name: &str, role: Role, spot: Spot) -> Self {
        let at = Place { forward: spot.forward, starboard: spot.starboard, height: Height::AboveDeck(spot.above) };
        let base = lamp(name, role, "all-round 2 nm", at);
        let mount = Mount::Bracket(lampwalk::boat::Along::Centreline);
        let optics = Arc::new(optics(role, self.length()));
        self.scene.fits[0].lamps.push(Lamp {
            optics,
            mount,
            lit: vec![self.status.plain(self.scene.vessel.propulsion)],
            ..base
        });
        self
    }

    /// Both sidelights at the sides, abaft the forward masthead light, with screens where Annex I 5 asks for them.
    pub fn sidelights(self) -> Self {
        self.sidelights_at(0.55)
    }

    /// The same at a share of the length from the transom.
    pub fn sidelights_at(mut self, share: f64) -> Self {
        let (forward, above) = (self.length() * share, self.sidelight_height());
        let side = self.scene.vessel.half_breadth(forward);
        for (name, role, way) in
            [("starboard sidelight", Role::StarboardSidelight, 1.0), ("port sidelight", Role::PortSidelight, -1.0)]
        {
            self = self.light(name, role, Spot { forward, starboard: way * side, above });
            if !self.small() {
                let inboard = way * (side - 0.05);
                let at = Place { forward: forward + 0.1, starboard: inboard, height: Height::AboveDeck(above - 0.05) };
                let kind = PartKind::Screen { at, length: 0.4, height: 0.1, thickness: 0.002 };
                self.scene.parts.push(Part::new(format!("{name} screen"), kind));
            }
        }
        self
    }

    pub fn sternlight(self) -> Self {
        self.light("sternlight", Role::Sternlight, Spot { forward: -0.1, starboard: 0.0, above: 0.5 })
    }

    /// The forward or only masthead light, forward of amidships (Annex I 3(a) and (d)).
    pub fn masthead(self) -> Self {
        let spot = Spot { forward: self.length() * 0.76, starboard: 0.0, above: self.masthead_height() };
        self.light("masthead light", Role::Masthead, spot)
    }

    /// A second one, half the length abaft (Annex I 3(a)) and 4.5 m higher (2(a)(ii)).
    pub fn after_masthead(self) -> Self {
        let spot = Spot { forward: self.length() * 0.25, starboard: 0.0, above: self.masthead_height() + 4.55 };
        self.light("after masthead light", Role::Masthead, spot)
    }

    /// The masthead lights that a vessel of her length owes (Rule 23(a)).
    pub fn mastheads(self) -> Self {
        if self.length() < 50.0 { self.masthead() } else { self.masthead().after_masthead() }
    }

    /// Lights in a vertical line over a spot, named from the top down.
    pub fn line(mut self, spot: Spot, lights: &[(&str, Role)]) -> Self {
        for (up, (name, role)) in lights.iter().rev().enumerate() {
            let above = spot.above + up as f64 * self.gap();
            self = self.light(name, *role, Spot { above, ..spot });
        }
        self
    }

    /// A spot amidships, so high that lines there keep Annex I 2(i) (lowest 2 m above the gunwale, 4 m above the hull) and
    /// 2(j) (twice the gap above the sidelights).
    pub fn mast(&self) -> Spot {
        let above = self.sidelight_height() + 2.0 * self.gap() + 0.05;
        Spot { forward: self.length() * 0.5, starboard: 0.0, above: above.max(4.05) }
    }

    /// Changes what she is doing, her lamps lit as before.
    pub fn doing(mut self, status: Status) -> Self {
        self.status = status;
        self
    }

    /// A mast amidships, so high above the deck; lights that stand on it stand above it.
    pub fn with_mast(mut self, height: f64) -> Self {
        let at = Place { forward: self.length() * 0.5, starboard: 0.0, height: Height::AboveDeck(0.0) };
        let kind = PartKind::Mast { at, height, diameter: 0.05, fold: Joint::default() };
        self.scene.parts.push(Part::new("mast", kind));
        self
    }

    /// Changes one lamp.
    pub fn with(mut self, name: &str, change: impl FnOnce(&mut Lamp)) -> Self {
        let lamp = self.scene.fits[0].lamps.iter_mut().find(|lamp| lamp.name == name);
        change(lamp.unwrap_or_else(|| panic!("there is no lamp named {name}")));
        self
    }

    /// Moves one lamp up or down.
    pub fn raised(self, name: &str, by: f64) -> Self {
        self.with(name, |lamp| {
            let at = lamp.at.as_mut().expect("a place");
            let Height::AboveDeck(up) = at.height else { panic!("heights here are above deck") };
            at.height = Height::AboveDeck(up + by);
        })
    }

    /// Moves one lamp forward and to starboard.
    pub fn moved(self, name: &str, forward: f64, starboard: f64) -> Self {
        self.with(name, |lamp| {
            let at = lamp.at.as_mut().expect("a place");
            at.forward += forward;
            at.starboard += starboard;
        })
    }

    /// Takes one lamp away.
    pub fn without(mut self, name: &str) -> Self {
        let lamps = &mut self.scene.fits[0].lamps;
        let before = lamps.len();
        lamps.retain(|lamp| lamp.name != name);
        assert_eq!(lamps.len() + 1, before, "there is no lamp named {name}");
        self
    }

    /// Exchanges the places of two lamps.
    pub fn swapped(mut self, one: &str, other: &str) -> Self {
        let lamps = &mut self.scene.fits[0].lamps;
        let index = |name: &str| lamps.iter().position(|lamp| lamp.name == name).unwrap_or_else(|| panic!("{name}"));
        let (first, second) = (index(one), index(other));
        let place = lamps[first].at;
        lamps[first].at = lamps[second].at;
        lamps[second].at = place;
        self
    }

    pub fn lamps(&self) -> Vec<String> {
        self.scene.fits[0].lamps.iter().map(|lamp| lamp.name.clone()).collect()
    }
}

/// Optics that fill the sector of a role and no more, half as strong again as its range asks on a vessel of a length.
pub fn optics(role: Role, length: f64) -> Optics {
    let of = |kind: LightKind, colour: Colour, points: &[(f64, f64)]| {
        let rules = international();
        let range = rules.range(kind, length).unwrap_or(NauticalMiles(2.0));
        let least = rules.intensity(range).expect("a tabled range").0;
        Beam {
            colour,
            full: Candela(least * 1.5),
            horizontal: Profile::new(points.to_vec()).expect("a sound profile"),
            vertical: Profile::new(vec![(8.0, 1.0), (25.0, 0.6), (40.0, 0.0)]).expect("a sound profile"),
            measured: None,
        }
    };
    let green = || {
        of(
            LightKind::StarboardSidelight,
            Colour::Green,
            &[(-2.0, 0.0), (0.0, 1.0), (108.0, 1.0), (112.5, 0.6), (116.0, 0.0)],
        )
    };
    let red = || {
        of(
            LightKind::PortSidelight,
            Colour::Red,
            &[(244.0, 0.0), (247.5, 0.6), (252.0, 1.0), (360.0, 1.0), (362.0, 0.0)],
        )
    };
    let astern = [(109.0, 0.0), (112.5, 0.6), (117.0, 1.0), (243.0, 1.0), (247.5, 0.6), (251.0, 0.0)];
    let ahead = [(244.0, 0.0), (247.5, 0.6), (252.0, 1.0), (468.0, 1.0), (472.5, 0.6), (476.0, 0.0)];
    let round = [(0.0, 1.0)];
    let beams = match role {
        Role::Masthead => vec![of(LightKind::Masthead, Colour::White, &ahead)],
        Role::StarboardSidelight => vec![green()],
        Role::PortSidelight => vec![red()],
        Role::CombinedSidelights => vec![green(), red()],
        Role::Sternlight => vec![of(LightKind::Sternlight, Colour::White, &astern)],
        Role::ThreeColourLantern => vec![green(), red(), of(LightKind::Sternlight, Colour::White, &astern)],
        Role::TowingLight => vec![of(LightKind::TowingLight, Colour::Yellow, &astern)],
        Role::AllRoundWhite => vec![of(LightKind::AllRoundWhite, Colour::White, &round)],
        Role::AllRoundRed => vec![of(LightKind::AllRoundRed, Colour::Red, &round)],
        Role::AllRoundGreen => vec![of(LightKind::AllRoundGreen, Colour::Green, &round)],
        Role::FlashingYellow => vec![of(LightKind::FlashingYellow, Colour::Yellow, &round)],
        Role::SpecialFlashing => vec![of(
            LightKind::AllRoundWhite,
            Colour::Yellow,
            &[(255.0, 0.0), (260.0, 1.0), (460.0, 1.0), (465.0, 0.0)],
        )],
    };
    let (name, what) = (format!("test {}", role.in_words()), role.in_words().into());
    Optics { name, what, back: Back::Below, beams, supply: None, chromaticity: None }
}

/// Degrees, for changing a lamp's setting in a test.
pub fn degrees(value: f64) -> Degrees {
    Degrees(value)
}
