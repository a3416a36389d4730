//! Quantities as the trade names them: bearings and arcs, degrees, metres, nautical miles, candela, lux,
//! volts, amperes, watts.
//!
//! Takes and gives plain numbers at the edges; everything between modules travels in these types, so that a
//! bearing cannot be mistaken for an elevation or a mile for a metre. Must never know of boats.

use std::fmt;

use glam::DVec3;
use serde::{Deserialize, Serialize};

/// Metres in an international nautical mile (exact by definition).
pub const METRES_PER_NAUTICAL_MILE: f64 = 1852.0;

/// Degrees in one point of the compass: one thirty-second of a circle.
pub const DEGREES_PER_POINT: f64 = 11.25;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(&self.0, out)?;
                out.write_str(concat!(" ", $unit))
            }
        }
    };
}

quantity!(
    /// A length in metres.
    Metres, "m"
);
quantity!(
    /// A distance in nautical miles.
    NauticalMiles, "nm"
);
quantity!(
    /// A speed in knots.
    Knots, "kn"
);
quantity!(
    /// Luminous intensity in candela.
    Candela, "cd"
);
quantity!(
    /// Illuminance in lux, at the eye unless said otherwise.
    Lux, "lx"
);
quantity!(
    /// A direct voltage, at a lamp's terminals unless said otherwise.
    Volts, "V"
);
quantity!(
    /// A steady direct current.
    Amps, "A"
);
quantity!(
    /// Electrical power.
    Watts, "W"
);
quantity!(
    /// What a battery holds, at the current that its maker rates it for.
    AmpHours, "Ah"
);
quantity!(
    /// A time in hours.
    Hours, "h"
);
quantity!(
    /// An angle in degrees that is neither a bearing nor an arc: tilt, heel, elevation (above the horizontal positive).
    Degrees, "deg"
);

impl NauticalMiles {
    /// The same distance in metres.
    pub fn metres(self) -> Metres {
        Metres(self.0 * METRES_PER_NAUTICAL_MILE)
    }
}

impl Metres {
    /// The same distance in nautical miles.
    pub fn nautical_miles(self) -> NauticalMiles {
        NauticalMiles(self.0 / METRES_PER_NAUTICAL_MILE)
    }
}

/// A relative bearing: degrees clockwise from right ahead, always in `[0, 360)`.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(from = "f64", into = "f64")]
pub struct Bearing(f64);

impl From<f64> for Bearing {
    fn from(degrees: f64) -> Self {
        Self::new(degrees)
    }
}

impl From<Bearing> for f64 {
    fn from(bearing: Bearing) -> Self {
        bearing.0
    }
}

impl Bearing {
    pub const AHEAD: Bearing = Bearing(0.0);
    pub const STARBOARD_BEAM: Bearing = Bearing(90.0);
    pub const ASTERN: Bearing = Bearing(180.0);
    pub const PORT_BEAM: Bearing = Bearing(270.0);

    /// Any number of degrees, brought into `[0, 360)`.
    pub fn new(degrees: f64) -> Self {
        let wrapped = degrees.rem_euclid(360.0);
        // A tiny negative angle rounds up to 360 itself.
        Self(if wrapped >= 360.0 { 0.0 } else { wrapped })
    }

    /// Degrees clockwise from right ahead, in `[0, 360)`.
    pub fn degrees(self) -> f64 {
        self.0
    }

    /// The bearing `degrees` further clockwise.
    pub fn turned(self, degrees: f64) -> Self {
        Self::new(self.0 + degrees)
    }

    /// The same bearing on the other side of the boat.
    pub fn mirrored(self) -> Self {
        Self::new(-self.0)
    }

    /// How far clockwise `self` lies from `other`, in `[-180, 180)`.
    pub fn clockwise_of(self, other: Bearing) -> f64 {
        (self.0 - other.0 + 180.0).rem_euclid(360.0) - 180.0
    }

    /// Unit vector of this bearing in the vessel frame (x forward, y to port, z up), level with the horizon.
    pub fn direction(self) -> DVec3 {
        self.direction_at(Degrees(0.0))
    }

    /// Unit vector of this bearing raised by an elevation.
    pub fn direction_at(self, elevation: Degrees) -> DVec3 {
        let (sin, cos) = self.0.to_radians().sin_cos();
        let (up, level) = elevation.0.to_radians().sin_cos();
        DVec3::new(cos * level, -sin * level, up)
    }

    /// Bearing of a vector in the vessel frame. A vertical vector has none and gives right ahead.
    pub fn of(direction: DVec3) -> Self {
        if direction.x == 0.0 && direction.y == 0.0 {
            return Self::AHEAD;
        }
        Self::new((-direction.y).atan2(direction.x).to_degrees())
    }

    /// The thirty-two points, clockwise from right ahead.
    pub fn points() -> impl ExactSizeIterator<Item = Bearing> {
        (0..32u8).map(|n| Bearing(f64::from(n) * DEGREES_PER_POINT))
    }

    /// This bearing in points from right ahead, 0 up to 32.
    pub fn in_points(self) -> f64 {
        self.0 / DEGREES_PER_POINT
    }

    /// The bearing in words, in degrees: "4 degrees on the starboard bow".
    pub fn in_words(self) -> String {
        self.words_by(1.0, "degree")
    }

    /// The bearing in words, to the nearest half point: "2 points on the starboard bow".
    pub fn in_point_words(self) -> String {
        Self::new((self.in_points() * 2.0).round() * DEGREES_PER_POINT / 2.0).words_by(DEGREES_PER_POINT, "point")
    }

    fn words_by(self, unit: f64, unit_name: &str) -> String {
        let (side, off_ahead) = if self.0 <= 180.0 { ("starboard", self.0) } else { ("port", 360.0 - self.0) };
        let count = |degrees: f64| {
            let text = trimmed(degrees / unit, 1);
            let plural = if text == "1" { "" } else { "s" };
            format!("{text} {unit_name}{plural}")
        };
        // Words go to a tenth of a degree; what rounds to a name gets the name.
        let is = |degrees: f64| (off_ahead - degrees).abs() < 0.05;
        if is(0.0) {
            "right ahead".into()
        } else if is(180.0) {
            "right astern".into()
        } else if is(90.0) {
            format!("on the {side} beam")
        } else if off_ahead <= 45.0 {
            format!("{} on the {side} bow", count(off_ahead))
        } else if off_ahead < 90.0 {
            format!("{} before the {side} beam", count(90.0 - off_ahead))
        } else if off_ahead < 135.0 {
            format!("{} abaft the {side} beam", count(off_ahead - 90.0))
        } else {
            format!("{} on the {side} quarter", count(180.0 - off_ahead))
        }
    }
}

impl fmt::Display for Bearing {
    /// Three figures, as bearings are spoken: `007`, or `112.5` where the fraction matters.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = trimmed(self.0, 2);
        let whole = text.split('.').next().map_or(0, str::len);
        write!(out, "{}{text}", "0".repeat(3usize.saturating_sub(whole)))
    }
}

/// An arc of bearings, from one edge clockwise to the other. A full circle is an arc 360 degrees wide.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Arc {
    /// The edge it starts from.
    pub from: Bearing,
    /// How far it runs clockwise, in `(0, 360]`.
    pub width: f64,
}

impl Arc {
    /// The whole circle.
    pub const ALL_ROUND: Arc = Arc { from: Bearing::AHEAD, width: 360.0 };

    /// From `from` clockwise to `to`; equal edges make the whole circle.
    pub fn between(from: f64, to: f64) -> Self {
        let width = (to - from).rem_euclid(360.0);
        Self { from: Bearing::new(from), width: if width == 0.0 { 360.0 } else { width } }
    }

    /// The edge it ends at.
    pub fn to(self) -> Bearing {
        self.from.turned(self.width)
    }

    /// The bearing half-way along.
    pub fn middle(self) -> Bearing {
        self.from.turned(self.width / 2.0)
    }

    /// Whether the bearing lies within, edges included.
    pub fn contains(self, bearing: Bearing) -> bool {
        self.depth(bearing) >= -1e-9
    }

    /// How far inside the nearer edge the bearing lies, in degrees; negative outside. The whole circle has no
    /// edge: infinitely deep.
    pub fn depth(self, bearing: Bearing) -> f64 {
        if self.width >= 360.0 {
            return f64::INFINITY;
        }
        self.width / 2.0 - bearing.clockwise_of(self.middle()).abs()
    }

    /// The arc mirrored to the other side of the boat.
    pub fn mirrored(self) -> Self {
        Self { from: self.to().mirrored(), width: self.width }
    }

    /// The arc in words: "from 4 to 9 degrees on the starboard bow".
    pub fn in_words(self) -> String {
        if self.width >= 360.0 {
            return "all round".into();
        }
        let (from, to) = (self.from.in_words(), self.to().in_words());
        // "4 degrees on the starboard bow" and "9 degrees on the starboard bow" share their ending: say it once.
        match (from.split_once(" degree"), to.split_once(" degree")) {
            (Some((first, place)), Some((second, same)))
                if place.trim_start_matches('s') == same.trim_start_matches('s') =>
            {
                format!("from {first} to {second} degrees{}", same.trim_start_matches('s'))
            }
            _ => format!("from {from} to {to}"),
        }
    }
}

impl fmt::Display for Arc {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.width >= 360.0 { out.write_str("000-360") } else { write!(out, "{}-{}", self.from, self.to()) }
    }
}

/// A count with its unit: "1 degree", "2.5 degrees".
pub fn counted(value: f64, places: usize, unit: &str) -> String {
    let text = trimmed(value, places);
    let plural = if text == "1" { "" } else { "s" };
    format!("{text} {unit}{plural}")
}

/// A number to at most `places` decimals, without trailing noughts.
pub fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if !text.contains('.') {
        return text;
    }
    match text.trim_end_matches('0').trim_end_matches('.') {
        "-0" => "0".into(),
        short => short.into(),
    }
}

/// "a, b and c"; nothing for none.
pub fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).into(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bearings_are_spoken_as_a_lookout_would() {
        for (degrees, words) in [
            (0.0, "right ahead"),
            (4.0, "4 degrees on the starboard bow"),
            (359.0, "1 degree on the port bow"),
            (67.5, "22.5 degrees before the starboard beam"),
            (90.0, "on the starboard beam"),
            (112.5, "22.5 degrees abaft the starboard beam"),
            (180.0, "right astern"),
            (200.0, "20 degrees on the port quarter"),
        ] {
            assert_eq!(Bearing::new(degrees).in_words(), words);
        }
        assert_eq!(Bearing::new(22.5).in_point_words(), "2 points on the starboard bow");
        assert_eq!(Bearing::new(247.5).in_point_words(), "2 points abaft the port beam");
    }

    #[test]
    fn arcs_say_a_shared_ending_once() {
        assert_eq!(Arc::between(4.0, 9.0).in_words(), "from 4 to 9 degrees on the starboard bow");
        assert_eq!(
            Arc::between(359.0, 2.0).in_words(),
            "from 1 degree on the port bow to 2 degrees on the starboard bow"
        );
        assert_eq!(Arc::between(0.0, 0.0).in_words(), "all round");
    }

    #[test]
    fn a_bearing_and_its_direction_agree() {
        for degrees in [0.0, 33.0, 112.5, 181.0, 300.0] {
            let bearing = Bearing::new(degrees);
            assert!(Bearing::of(bearing.direction()).clockwise_of(bearing).abs() < 1e-9);
        }
        assert_eq!(Bearing::new(90.0).direction().y, -1.0);
    }

    #[test]
    fn an_arc_across_right_ahead_contains_right_ahead() {
        let masthead = Arc::between(247.5, 112.5);
        assert_eq!(masthead.width, 225.0);
        assert!(masthead.contains(Bearing::AHEAD));
        assert!(masthead.contains(Bearing::new(112.5)));
        assert!(!masthead.contains(Bearing::new(112.6)));
        assert_eq!(masthead.depth(Bearing::new(107.5)), 5.0);
    }

    #[test]
    fn a_bearing_prints_three_figures() {
        assert_eq!(Bearing::new(7.0).to_string(), "007");
        assert_eq!(Bearing::new(112.5).to_string(), "112.5");
        assert_eq!(Bearing::new(-1e-18).to_string(), "000");
    }
}
