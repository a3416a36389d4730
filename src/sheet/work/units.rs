//! Lengths in the units of the workshop: millimetres and metres, or feet, inches and sixteenths.
//!
//! Takes metres or millimetres; gives words. What is drilled is told in both.

use crate::measure::trimmed;

/// Millimetres in an inch (exact by definition).
const INCH: f64 = 25.4;

/// Which units lengths are told in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    #[default]
    Metric,
    /// Feet, and inches to the sixteenth.
    Us,
}

impl Units {
    /// "in metres and millimetres", "in feet and inches".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Metric => "in metres and millimetres",
            Self::Us => "in feet and inches",
        }
    }

    /// A length on board, in metres: "1234 mm", "4 ft 9/16 in".
    pub fn tape(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{} mm", trimmed(metres * 1000.0, 0)),
            Self::Us => feet(metres * 1000.0, 16),
        }
    }

    /// A small length, in millimetres: "12.3 mm", "1/2 in".
    pub fn small(self, millimetres: f64) -> String {
        match self {
            Self::Metric => format!("{} mm", trimmed(millimetres, 1)),
            Self::Us => inches(millimetres, 16),
        }
    }

    /// A length on the ground, in metres: "10.35 m", "34 ft 0 in".
    pub fn ground(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{metres:.2} m"),
            Self::Us => feet(metres * 1000.0, 1),
        }
    }

    /// A height or a boat's length, in metres: "6.2 m", "20 ft 4 1/8 in".
    pub fn plain(self, metres: f64) -> String {
        match self {
            Self::Metric => format!("{} m", trimmed(metres, 2)),
            Self::Us => feet(metres * 1000.0, 8),
        }
    }

    /// A hole or a drill, in millimetres; both are told where the first is inches: "5.1 mm (0.201 in)".
    pub fn hole(self, millimetres: f64) -> String {
        match self {
            Self::Metric => format!("{} mm", trimmed(millimetres, 2)),
            Self::Us => format!("{} mm ({:.3} in)", trimmed(millimetres, 2), millimetres / INCH),
        }
    }

    /// How much a slope rises over a hand's breadth: "1.7 mm in 100", "1/16 in a foot".
    pub fn rise(self, degrees: f64) -> String {
        let slope = degrees.to_radians().tan().abs();
        match self {
            Self::Metric => format!("{} mm in 100 mm", trimmed(slope * 100.0, 1)),
            Self::Us => format!("{} in a foot", inches(slope * 12.0 * INCH, 16)),
        }
    }
}

/// Inches in whole and parts: "2 3/8 in"; the parts brought down.
fn inches(millimetres: f64, parts: u32) -> String {
    let (sign, all) = counted(millimetres, parts);
    format!("{sign}{} in", whole_and_parts(all, parts))
}

fn feet(millimetres: f64, parts: u32) -> String {
    let (sign, all) = counted(millimetres, parts);
    let foot = u64::from(parts) * 12;
    match all / foot {
        0 => format!("{sign}{} in", whole_and_parts(all, parts)),
        feet => format!("{sign}{feet} ft {} in", whole_and_parts(all % foot, parts)),
    }
}

/// The sign, and how many parts of an inch.
fn counted(millimetres: f64, parts: u32) -> (&'static str, u64) {
    let all = (millimetres.abs() / INCH * f64::from(parts)).round();
    // No boat is longer than a few thousand inches.
    let all = all.clamp(0.0, 1e9) as u64;
    (if millimetres < 0.0 && all > 0 { "-" } else { "" }, all)
}

fn whole_and_parts(all: u64, parts: u32) -> String {
    let (whole, mut rest, mut of) = (all / u64::from(parts), all % u64::from(parts), u64::from(parts));
    while rest > 0 && rest.is_multiple_of(2) && of.is_multiple_of(2) {
        (rest, of) = (rest / 2, of / 2);
    }
    match (whole, rest) {
        (whole, 0) => whole.to_string(),
        (0, rest) => format!("{rest}/{of}"),
        (whole, rest) => format!("{whole} {rest}/{of}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_go_to_the_sixteenth_and_fractions_are_brought_down() {
        for (millimetres, words) in [
            (25.4, "1 in"),
            (12.7, "1/2 in"),
            (1.5875, "1/16 in"),
            (0.0, "0 in"),
            (63.5, "2 1/2 in"),
            (26.1, "1 in"),
            (-12.7, "-1/2 in"),
            (-0.2, "0 in"),
        ] {
            assert_eq!(Units::Us.small(millimetres), words);
        }
    }

    #[test]
    fn feet_come_before_inches_and_never_twelve_of_these() {
        assert_eq!(Units::Us.tape(1.2192), "4 ft 0 in");
        assert_eq!(Units::Us.tape(1.234), "4 ft 9/16 in");
        assert_eq!(Units::Us.tape(0.3047), "1 ft 0 in");
        assert_eq!(Units::Us.ground(10.36), "34 ft 0 in");
        assert_eq!(Units::Metric.tape(1.2344), "1234 mm");
    }

    #[test]
    fn holes_are_told_in_both() {
        assert_eq!(Units::Us.hole(5.1), "5.1 mm (0.201 in)");
        assert_eq!(Units::Metric.hole(5.1), "5.1 mm");
    }
}
