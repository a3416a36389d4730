//! The eye at night: how it spreads the light of a point, what it is used to, and the least that it makes out.
//!
//! Takes illuminance at the eye in lux; gives luminance in candela per square metre, as a function of the angle from the
//! light. Must never know of rules, boats or pictures.

use super::DARK_NIGHT_THRESHOLD;
use crate::measure::{Degrees, Lux};

/// What shines behind the boat: the more, the brighter a light must be to be made out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Background {
    /// Open sea.
    #[default]
    Dark,
    /// A shore with few lights.
    Minor,
    /// A lit town or harbour.
    Substantial,
}

impl Background {
    pub const ALL: [Self; 3] = [Self::Dark, Self::Minor, Self::Substantial];

    /// The least illuminance made out before it: ten and a hundred times that of a dark night.
    /// Source: IALA E-200-2, from memory; to be confirmed.
    pub fn threshold(self) -> Lux {
        Lux(DARK_NIGHT_THRESHOLD.0 * self.factor())
    }

    fn factor(self) -> f64 {
        match self {
            Self::Dark => 1.0,
            Self::Minor => 10.0,
            Self::Substantial => 100.0,
        }
    }

    /// The luminance an eye is used to before it, candela per square metre: moonlit sea by the program's own reckoning,
    /// and as many times more as the threshold rises.
    pub fn adaptation(self) -> f64 {
        1e-3 * self.factor()
    }

    /// In words, as it stands on a button.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Dark => "open sea",
            Self::Minor => "few lights",
            Self::Substantial => "harbour",
        }
    }
}

/// An observer's eye, as far as it scatters light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// Years, from 0 to 80.
    pub age: f64,
    /// Pigment: 0 a very dark eye, 0.5 brown, 1.0 green, 1.2 light blue.
    pub pigment: f64,
}

impl Default for Eye {
    /// A brown eye of forty years.
    fn default() -> Self {
        Self { age: 40.0, pigment: 0.5 }
    }
}

impl Eye {
    /// Luminance that the eye lays over its view at an angle from a point of light, for each lux of that light at the
    /// eye: candela per square metre and lux, which is per steradian. Falls steadily to about 90 degrees.
    ///
    /// Source: J. J. Vos and T. J. T. P. van den Berg, "Report on disability glare", CIE 135/1 (1999), the total glare
    /// function, given from memory; it is held against the general equation of CIE 146:2002 by a test.
    pub fn spread(self, angle: Degrees) -> f64 {
        let theta = angle.0.abs();
        let old = (self.age / 70.0).powi(4);
        let bell = |width: f64| 1.0 + (theta / width).powi(2);
        let core = 9.2e6 / bell(0.0046).powf(1.5) + 1.5e5 / bell(0.045).powf(1.5);
        let pigment = 1300.0 / bell(0.1).powf(1.5) + 0.8 / bell(0.1).sqrt();
        let rest = 400.0 / bell(0.1) + 3e-8 * theta * theta + self.pigment * pigment;
        (1.0 - 0.08 * old) * core + (1.0 + 1.6 * old) * rest + 0.0025 * self.pigment
    }

    /// How far from a light its veil falls to a luminance, at most 30 degrees; nought where it never exceeds it.
    pub fn veil(self, illuminance: Lux, luminance: f64) -> Degrees {
        let over = |angle: f64| illuminance.0 * self.spread(Degrees(angle)) > luminance;
        let (mut near, mut far) = (0.0, 30.0);
        if over(far) {
            return Degrees(far);
        }
        // The veil falls steadily, so halving finds the place.
        for _ in 0..40 {
            let middle = (near + far) / 2.0;
            if over(middle) {
                near = middle;
            } else {
                far = middle;
            }
        }
        Degrees(if over(0.0) { near } else { 0.0 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const YOUNG: Eye = Eye { age: 25.0, pigment: 0.5 };

    /// The general disability glare equation, 0.1 to 100 degrees. Source: CIE 146:2002, as in public code that cites it.
    fn general(eye: Eye, theta: f64) -> f64 {
        let old = (eye.age / 62.5).powi(4);
        10.0 / theta.powi(3) + (5.0 / theta.powi(2) + 0.1 * eye.pigment / theta) * (1.0 + old) + 0.0025 * eye.pigment
    }

    #[test]
    fn the_general_equation_here_gives_its_published_check_value() {
        assert!((general(YOUNG, 1.0) - 15.1805).abs() < 1e-4);
    }

    #[test]
    fn the_total_function_lies_by_the_general_equation_from_a_tenth_of_a_degree_to_thirty() {
        for eye in [Eye { age: 0.0, pigment: 0.0 }, YOUNG, Eye { age: 60.0, pigment: 1.2 }] {
            for step in 0..=50 {
                let theta = 0.1 * 300f64.powf(f64::from(step) / 50.0);
                let ratio = eye.spread(Degrees(theta)) / general(eye, theta);
                assert!((0.6..1.67).contains(&ratio), "{eye:?} at {theta}: {ratio}");
            }
        }
    }

    /// All the light that enters a young dark eye is spread over the half space before it, and none is lost or added.
    #[test]
    fn all_of_the_light_is_spread_and_no_more() {
        let eye = Eye { age: 0.0, pigment: 0.0 };
        let steps = 200_000;
        let sum: f64 = (0..steps)
            .map(|step| {
                // Evenly in the logarithm of the angle, down to a ten-thousandth of a degree.
                let at = |step: f64| 1e-5 * 9e6f64.powf(step / f64::from(steps));
                let (from, to) = (at(f64::from(step)), at(f64::from(step) + 1.0));
                let middle = ((from + to) / 2.0).to_radians();
                eye.spread(Degrees(middle.to_degrees()))
                    * std::f64::consts::TAU
                    * middle.sin()
                    * (to - from).to_radians()
            })
            .sum();
        assert!((sum - 1.0).abs() < 0.01, "{sum}");
    }

    #[test]
    fn an_old_or_light_eye_scatters_more_and_the_veil_falls_with_the_angle() {
        let at = |age, pigment| Eye { age, pigment }.spread(Degrees(5.0));
        assert!(at(70.0, 0.5) > 1.5 * at(20.0, 0.5));
        assert!(at(40.0, 1.2) > at(40.0, 0.0));
        let veil: Vec<f64> = (0..60).map(|n| Eye::default().spread(Degrees(f64::from(n) * 0.5))).collect();
        assert!(veil.windows(2).all(|pair| pair[1] < pair[0]));
    }

    #[test]
    fn a_stronger_light_veils_farther_and_a_brighter_background_less() {
        let eye = Eye::default();
        let reach = |lux: f64, background: Background| eye.veil(Lux(lux), background.adaptation()).0;
        assert!(reach(1e-3, Background::Dark) > 2.0 * reach(1e-5, Background::Dark));
        assert!(reach(1e-3, Background::Substantial) < reach(1e-3, Background::Dark));
        assert_eq!(reach(1e-12, Background::Dark), 0.0);
        let angle = eye.veil(Lux(1e-4), 1e-3);
        assert!((1e-4 * eye.spread(angle) / 1e-3 - 1.0).abs() < 1e-6);
    }

    #[test]
    fn each_step_of_background_asks_for_ten_times_the_light() {
        let [dark, minor, substantial] = Background::ALL.map(|background| background.threshold().0);
        assert!((dark - 2e-7).abs() < 1e-15 && (minor - 2e-6).abs() < 1e-14 && (substantial - 2e-5).abs() < 1e-13);
    }
}
