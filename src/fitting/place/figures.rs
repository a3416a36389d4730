//! The figures that places are searched and told apart by, read from `assets/fitting/place.ron`.

use std::sync::LazyLock;

use serde::Deserialize;

/// See the file, which says of each what it is and where it is from. Metres, and degrees for `clear_bands`.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figures {
    along: Vec<(f64, f64)>,
    pub athwart: f64,
    pub heights: Vec<f64>,
    pub insets: Vec<f64>,
    pub upward: f64,
    pub thinnest_bar: f64,
    pub standoff: f64,
    pub apart: f64,
    pub clear_bands: Vec<f64>,
    pub room_bands: Vec<f64>,
    pub shelter_bands: Vec<f64>,
    pub different: f64,
    pub moves: Vec<f64>,
}

impl Figures {
    /// Between places along a vessel of a length.
    pub fn step(&self, length: f64) -> f64 {
        let row = self.along.iter().find(|(up_to, _)| length <= *up_to).or(self.along.last());
        row.map_or(0.5, |(_, step)| *step)
    }
}

static FIGURES: LazyLock<Figures> = LazyLock::new(|| {
    let text = include_str!("../../../assets/fitting/place.ron");
    ron::from_str(text).unwrap_or_else(|error| panic!("the built-in place.ron: {error}"))
});

pub fn figures() -> &'static Figures {
    &FIGURES
}

/// How many of rising limits a value reaches.
pub fn band(value: f64, limits: &[f64]) -> usize {
    limits.iter().filter(|limit| value >= **limit - 1e-9).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_list_of_limits_rises() {
        let all = figures();
        for limits in [&all.heights, &all.insets, &all.clear_bands, &all.room_bands, &all.shelter_bands, &all.moves] {
            assert!(limits.windows(2).all(|pair| pair[0] < pair[1]), "{limits:?}");
        }
        assert_eq!([0.0, 1.0, 3.9, 8.0].map(|value| band(value, &all.clear_bands)), [0, 1, 2, 4]);
    }

    #[test]
    fn a_longer_vessel_is_searched_in_longer_steps() {
        assert_eq!([6.2, 14.0, 45.0].map(|length| figures().step(length)), [0.1, 0.2, 0.5]);
    }
}
