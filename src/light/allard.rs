//! Allard's law both ways, and how far the curve of the sea lets an eye see.

use serde::{Deserialize, Serialize};

use crate::measure::{Candela, Lux, Metres, NauticalMiles};

/// The least illuminance at which the eye makes out a point of light on a dark night: 2e-7 lux.
/// Source: COLREGs 1972 Annex I section 8(a).
pub const DARK_NIGHT_THRESHOLD: Lux = Lux(2e-7);

/// Share of light that is left after a nautical mile of air, in `(0, 1]`.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Transmissivity(pub f64);

impl Transmissivity {
    /// The value that Annex I section 8(a) prescribes for the intensity of lights: about 13 nm of visibility.
    pub const PRESCRIBED: Self = Self(0.8);

    /// From the meteorological visibility: the distance at which a contrast falls to one twentieth (0.05), the
    /// convention under which 0.8 a mile goes with about 13 nm and 0.74 with 10 nm.
    /// Source of the pairs: COLREGs Annex I section 8 and the nominal range definition (IES), in the tests below.
    pub fn from_visibility(visibility: NauticalMiles) -> Self {
        Self(0.05f64.powf(1.0 / visibility.0))
    }
}

/// The air and the eye between a lamp and an observer.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Weather {
    pub transmissivity: Transmissivity,
    /// The least illuminance the eye makes out: [`DARK_NIGHT_THRESHOLD`] away from other lights.
    pub threshold: Lux,
}

impl Weather {
    /// The weather for which the rules state their intensities.
    pub const PRESCRIBED: Self = Self { transmissivity: Transmissivity::PRESCRIBED, threshold: DARK_NIGHT_THRESHOLD };
}

/// Illuminance at an eye from a lamp at a distance: Allard's law, `E = I T^D / d^2`, with d in metres and D the same
/// distance in nautical miles. At no distance at all it is infinite.
pub fn illuminance(intensity: Candela, distance: Metres, air: Transmissivity) -> Lux {
    Lux(intensity.0 * air.0.powf(distance.nautical_miles().0) / (distance.0 * distance.0))
}

/// The intensity needed to be made out at a distance: `I = 1852^2 E D^2 T^-D`.
/// Source: COLREGs 1972 Annex I section 8(a), where 1852 squared is rounded to 3.43e6.
pub fn needed_candela(distance: NauticalMiles, weather: Weather) -> Candela {
    let metres = distance.metres().0;
    Candela(weather.threshold.0 * metres * metres * weather.transmissivity.0.powf(-distance.0))
}

/// How far off a lamp of this intensity is made out: Allard's law solved for the distance, to a millimetre.
/// Nought for a lamp that gives no light.
pub fn luminous_range(intensity: Candela, weather: Weather) -> NauticalMiles {
    if intensity.0 <= 0.0 {
        return NauticalMiles(0.0);
    }
    // Clear air bounds the range from above; the illuminance falls steadily with distance, so halving finds it.
    let mut near = 0.0;
    let mut far = (intensity.0 / weather.threshold.0).sqrt();
    while far - near > 1e-3 {
        let middle = (near + far) / 2.0;
        if illuminance(intensity, Metres(middle), weather.transmissivity).0 > weather.threshold.0 {
            near = middle;
        } else {
            far = middle;
        }
    }
    Metres((near + far) / 2.0).nautical_miles()
}

/// How far off a light at one height is lifted over the horizon of an eye at another: `2.08 (sqrt h + sqrt H)`
/// nautical miles, heights in metres above the water; common practice, no source. A height below the water counts
/// as nought.
pub fn geographic_range(light: Metres, eye: Metres) -> NauticalMiles {
    NauticalMiles(2.08 * (light.0.max(0.0).sqrt() + eye.0.max(0.0).sqrt()))
}

/// Of something so far off, how much next to the water the curve of the sea hides from an eye: by the same rule as
/// [`geographic_range`], so that a light is lifted over the horizon exactly when it is higher than this.
pub fn hidden_height(distance: Metres, eye: Metres) -> Metres {
    let beyond = distance.nautical_miles().0 / 2.08 - eye.0.max(0.0).sqrt();
    Metres(beyond.max(0.0).powi(2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_light_is_lifted_over_the_horizon_just_when_it_is_higher_than_what_the_sea_hides() {
        for (eye, height) in [(0.8, 1.0), (2.0, 2.5), (15.0, 0.3)] {
            let range = geographic_range(Metres(height), Metres(eye));
            let hidden = |miles: f64| hidden_height(NauticalMiles(miles).metres(), Metres(eye)).0;
            assert!(hidden(range.0 * 1.001) > height && hidden(range.0 * 0.999) < height);
        }
        assert_eq!(hidden_height(Metres(500.0), Metres(2.0)).0, 0.0);
    }

    #[test]
    fn range_and_intensity_are_each_other_s_inverse() {
        for miles in [0.05, 0.5, 1.0, 2.0, 6.0, 20.0] {
            let needed = needed_candela(NauticalMiles(miles), Weather::PRESCRIBED);
            let range = luminous_range(needed, Weather::PRESCRIBED);
            assert!((range.0 - miles).abs() < 1e-6, "{miles} nm came back as {range}");
        }
    }

    #[test]
    fn a_dead_lamp_has_no_range() {
        assert_eq!(luminous_range(Candela(0.0), Weather::PRESCRIBED).0, 0.0);
    }

    #[test]
    fn visibility_and_transmissivity_pair_as_published() {
        // COLREGs Annex I 8: 0.8 a mile is about 13 nm. IES nominal range: 0.74 a mile at 10 nm.
        assert!((Transmissivity::from_visibility(NauticalMiles(13.4)).0 - 0.8).abs() < 0.005);
        assert!((Transmissivity::from_visibility(NauticalMiles(10.0)).0 - 0.74).abs() < 0.005);
    }

    #[test]
    fn two_metre_heights_see_each_other_to_just_under_six_miles() {
        let range = geographic_range(Metres(2.0), Metres(2.0));
        assert!((range.0 - 5.883).abs() < 0.001);
    }
}
