//! What leaves a lamp and what of it reaches an eye: intensity distributions, Allard's law, the eye's threshold.
//!
//! Takes directions in a lamp's own frame and distances; gives candela, lux and ranges. Must never know of rules,
//! boats or shadows.

mod allard;
mod chromaticity;
mod colour;
mod eye;
pub mod measured;
mod optics;
pub mod supply;

pub use allard::{
    DARK_NIGHT_THRESHOLD, Transmissivity, Weather, geographic_range, hidden_height, illuminance, luminous_range,
    needed_candela,
};
pub use chromaticity::{Chromaticity, ColourArea};
pub use colour::{Colour, Colours};
pub use eye::{Background, Eye};
pub use optics::{Back, Beam, Optics, Profile, library, preset};
