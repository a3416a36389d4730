//! How a lamp spreads its light: one or more beams, each a colour with a horizontal and a vertical profile.
//!
//! A lamp's own frame has x along its datum line (parallel to the boat's centreline when fitted right), y to port and
//! z up its axis. Horizontal angles are bearings in that frame, so a starboard sidelight fitted right has its full
//! light from 000 to 107.5 whatever way the boat heads.

use std::sync::{Arc, LazyLock};

use glam::DVec3;
use serde::{Deserialize, Serialize};

use super::{Chromaticity, Colour, measured::Grid, supply::Supply};
use crate::measure::{Bearing, Candela, Degrees};

/// Which face of the lamp is made to be screwed to something: the way the light looks is away from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Back {
    /// Stands on its foot.
    Below,
    /// Its back is to port: it looks to starboard.
    Port,
    /// Its back is to starboard: it looks to port.
    Starboard,
    /// Its back is aft: it looks ahead.
    Aft,
    /// Its back is forward: it looks astern.
    Forward,
}

impl Back {
    /// Unit vector out of the lamp away from its back, in the lamp's own frame.
    pub fn outward(self) -> DVec3 {
        match self {
            Self::Below => DVec3::Z,
            Self::Port => DVec3::NEG_Y,
            Self::Starboard => DVec3::Y,
            Self::Aft => DVec3::X,
            Self::Forward => DVec3::NEG_X,
        }
    }
}

/// A share of the full intensity against an angle in degrees, straight lines between the given points and the end
/// values carried on beyond them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Profile(Vec<(f64, f64)>);

impl Profile {
    /// Points in rising order of angle, shares not negative, at least one point; `None` otherwise.
    pub fn new(points: Vec<(f64, f64)>) -> Option<Self> {
        let rising = points.windows(2).all(|pair| pair[0].0 < pair[1].0);
        let sound = points.iter().all(|(angle, share)| angle.is_finite() && (0.0..=10.0).contains(share));
        (!points.is_empty() && rising && sound).then_some(Self(points))
    }

    /// The share at an angle.
    pub fn at(&self, angle: f64) -> f64 {
        let after = self.0.partition_point(|(known, _)| *known <= angle);
        match (after.checked_sub(1).map(|before| self.0[before]), self.0.get(after)) {
            (Some((low, share)), Some((high, next))) => share + (next - share) * (angle - low) / (high - low),
            (Some((_, share)), None) | (None, Some(&(_, share))) => share,
            (None, None) => 0.0,
        }
    }

    /// The middle of the first and last angle.
    fn middle(&self) -> f64 {
        self.0.first().zip(self.0.last()).map_or(0.0, |(first, last)| (first.0 + last.0) / 2.0)
    }
}

/// One colour of a lamp.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Beam {
    pub colour: Colour,
    /// Full intensity.
    pub full: Candela,
    /// Share against the bearing in the lamp's frame. The angles run clockwise and may pass 360 or start below 0,
    /// over at most a whole circle.
    pub horizontal: Profile,
    /// Share against the angle above or below the lamp's level, from 0 to 90.
    pub vertical: Profile,
    /// What a photometer found, which then stands in place of the profiles.
    #[serde(skip)]
    pub measured: Option<Arc<Grid>>,
}

impl Beam {
    /// A beam as it was measured.
    pub fn of_grid(colour: Colour, grid: Grid) -> Self {
        let whole = Profile(vec![(0.0, 1.0)]);
        let full = grid.peak();
        Self { colour, full, horizontal: whole.clone(), vertical: whole, measured: Some(Arc::new(grid)) }
    }

    /// The same beam with a share of its light in every direction.
    pub fn dimmed(&self, share: f64) -> Self {
        let measured = self.measured.as_ref().map(|grid| Arc::new(grid.dimmed(share)));
        Self { full: Candela(self.full.0 * share), measured, ..self.clone() }
    }

    /// Where it is brightest, looked for every half degree all round and from straight down to straight up.
    pub fn brightest(&self) -> (Bearing, Degrees, Candela) {
        let halves = |count: i32| move |n: i32| f64::from(n - count) / 2.0;
        let elevations = || (0..=360).map(halves(180)).map(Degrees);
        let looks = (0..720).map(halves(0)).flat_map(|bearing| elevations().map(move |up| (Bearing::new(bearing), up)));
        let found = looks.map(|(bearing, up)| (bearing, up, self.intensity_at(bearing, up)));
        // Of equals, the one nearest to level and to ahead.
        let aside = |bearing: Bearing, up: Degrees| up.0.abs() * 1000.0 + bearing.clockwise_of(Bearing::AHEAD).abs();
        let best = found.max_by(|a, b| a.2.0.total_cmp(&b.2.0).then(aside(b.0, b.1).total_cmp(&aside(a.0, a.1))));
        best.unwrap_or((Bearing::AHEAD, Degrees(0.0), Candela(0.0)))
    }

    /// Intensity toward a direction (any length) in the lamp's own frame.
    pub fn intensity(&self, direction: DVec3) -> Candela {
        if let Some(grid) = &self.measured {
            return grid.toward(direction);
        }
        let elevation = Degrees(direction.z.atan2(direction.x.hypot(direction.y)).to_degrees());
        self.intensity_at(Bearing::of(direction), elevation)
    }

    /// Intensity toward a bearing and elevation in the lamp's own frame.
    pub fn intensity_at(&self, bearing: Bearing, elevation: Degrees) -> Candela {
        if let Some(grid) = &self.measured {
            return grid.at(bearing, elevation);
        }
        let middle = self.horizontal.middle();
        let horizontal = self.horizontal.at(middle + bearing.clockwise_of(Bearing::new(middle)));
        Candela(self.full.0 * horizontal * self.vertical.at(elevation.0.abs()))
    }
}

/// The optics of a lamp: its beams and the face it is made to be screwed on by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Optics {
    /// The name a scene file calls it by.
    pub name: String,
    /// What it is, in words.
    pub what: String,
    pub back: Back,
    /// As they are at the voltage of `supply`, where that is known.
    pub beams: Vec<Beam>,
    /// What it gets at its terminals and how its light depends on that; `None` where nothing is told, and its light is
    /// taken as it stands.
    #[serde(skip)]
    pub supply: Option<Supply>,
    /// The colour of its light, for a lamp of one beam whose file tells it.
    #[serde(skip)]
    pub chromaticity: Option<Chromaticity>,
}

impl Optics {
    /// The same lamp, whose beams are at full light now, on a supply.
    pub fn fed(&self, supply: Supply) -> Self {
        let beams = self.beams.iter().map(|beam| beam.dimmed(supply.share())).collect();
        Self { beams, supply: Some(supply), ..self.clone() }
    }
}

static LIBRARY: LazyLock<Vec<Arc<Optics>>> = LazyLock::new(|| {
    let text = include_str!("../../assets/lamps/generic.ron");
    let lamps: Vec<Optics> = ron::from_str(text).unwrap_or_else(|error| panic!("the built-in lamps: {error}"));
    lamps.into_iter().map(Arc::new).collect()
});

/// The generic lamps that come with the program, made from the limits of the rules and no maker's product.
pub fn library() -> &'static [Arc<Optics>] {
    &LIBRARY
}

/// A generic lamp by name.
pub fn preset(name: &str) -> Option<Arc<Optics>> {
    library().iter().find(|optics| optics.name == name).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_profile_runs_straight_between_its_points_and_level_beyond() {
        let profile = Profile::new(vec![(-2.0, 0.0), (0.0, 1.0), (10.0, 0.5)]).unwrap();
        assert_eq!([-9.0, -1.0, 0.0, 5.0, 99.0].map(|angle| profile.at(angle)), [0.0, 0.5, 1.0, 0.75, 0.5]);
    }

    #[test]
    fn a_profile_out_of_order_is_refused() {
        assert!(Profile::new(vec![(1.0, 0.0), (0.0, 1.0)]).is_none());
        assert!(Profile::new(vec![]).is_none());
        assert!(Profile::new(vec![(0.0, -0.1)]).is_none());
    }

    #[test]
    fn every_generic_profile_is_sound() {
        for optics in library() {
            for beam in &optics.beams {
                for profile in [&beam.horizontal, &beam.vertical] {
                    assert!(Profile::new(profile.0.clone()).is_some(), "{}: {profile:?}", optics.name);
                }
            }
        }
    }

    #[test]
    fn a_port_lamp_is_the_mirror_of_a_starboard_lamp() {
        for miles in [1, 2, 3] {
            let starboard = preset(&format!("starboard {miles} nm")).unwrap();
            let port = preset(&format!("port {miles} nm")).unwrap();
            for tenths in 0..3600 {
                let bearing = Bearing::new(f64::from(tenths) / 10.0);
                let level = Degrees(2.0);
                let difference = starboard.beams[0].intensity_at(bearing, level).0
                    - port.beams[0].intensity_at(bearing.mirrored(), level).0;
                assert!(difference.abs() < 1e-9, "{bearing}");
            }
        }
    }
}
