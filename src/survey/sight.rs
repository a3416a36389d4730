//! What one eye at one point makes out of each light.

use glam::DVec3;

use super::{LightId, Reach, Stance};
use crate::{
    boat::{Fit, Status},
    light::{Colour, Colours, Weather, geographic_range, illuminance},
    measure::{Bearing, Lux, Metres},
};

/// One light, as an eye gets it.
#[derive(Clone, Copy, Debug)]
pub struct Sighting {
    pub light: LightId,
    pub colour: Colour,
    /// Where the light stands, in the level frame.
    pub at: DVec3,
    pub reach: Reach,
    pub distance: Metres,
    /// At the eye; nought when the curve of the sea hides the light.
    pub illuminance: Lux,
    /// Whether the eye makes it out.
    pub made_out: bool,
}

impl Stance {
    /// What an eye at a point of the level frame gets of every light that is lit in a status.
    pub fn look(&self, fit: &Fit, status: Status, eye: DVec3, weather: Weather) -> Vec<Sighting> {
        self.lights()
            .filter(|light| fit.lamps[light.lamp].lit.contains(&status))
            .map(|light| self.sight(light, eye, weather))
            .collect()
    }

    /// What an eye at a point of the level frame gets of one light.
    pub fn sight(&self, light: LightId, eye: DVec3, weather: Weather) -> Sighting {
        let at = self.level(self.posed().lamps[light.lamp].centre);
        let reach = self.to_point(light, eye);
        let distance = Metres(at.distance(eye));
        let lifted = distance.nautical_miles() <= geographic_range(Metres(at.z), Metres(eye.z));
        let illuminance =
            if lifted { illuminance(reach.candela(), distance, weather.transmissivity) } else { Lux(0.0) };
        Sighting {
            light,
            colour: self.colour(light),
            at,
            reach,
            distance,
            illuminance,
            made_out: illuminance >= weather.threshold,
        }
    }
}

/// The colours made out among sightings.
pub fn showing(sightings: &[Sighting]) -> Colours {
    sightings.iter().filter(|one| one.made_out).map(|one| one.colour).collect()
}

/// The observer's bearing and distance from the middle of the boat, kept together for tables.
#[derive(Clone, Copy, Debug)]
pub struct Station {
    pub bearing: Bearing,
    pub distance: Metres,
    pub eye: Metres,
}

impl Station {
    /// The eye, in the level frame.
    pub fn point(&self, middle: DVec3) -> DVec3 {
        middle + self.bearing.direction() * self.distance.0 + DVec3::Z * self.eye.0
    }
}
