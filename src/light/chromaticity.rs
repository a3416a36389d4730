//! The colour of a light as a place in the CIE 1931 diagram, and the areas of that diagram that signal colours keep to.
//!
//! Takes chromaticities and the corners of areas; tells whether one lies in the other, and how far off it is. Must
//! never know which colour an area stands for, nor any figure of the rules.

use glam::DVec2;
use serde::{Deserialize, Serialize};

/// How near to a side, in units of x and y, a chromaticity counts as upon it. Far below what any instrument resolves;
/// it only keeps rounding from deciding.
const TOLERANCE: f64 = 1e-9;

/// The colour of a light without its brightness: the CIE 1931 coordinates for the 2 degree standard observer.
///
/// Every light has x and y in `[0, 1]` and x + y at most 1; nothing here holds a value to that, so ask
/// [`Chromaticity::lies_in_the_diagram`] of one that a user gave.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Chromaticity {
    pub x: f64,
    pub y: f64,
}

impl Chromaticity {
    /// Whether x, y and the third coordinate that they leave over are shares, none below nought (to 1e-9).
    pub fn lies_in_the_diagram(self) -> bool {
        self.x >= 0.0 && self.y >= 0.0 && self.x + self.y <= 1.0 + TOLERANCE
    }

    fn point(self) -> DVec2 {
        DVec2::new(self.x, self.y)
    }
}

/// A closed area of the CIE 1931 diagram with straight sides, which need not bulge outward everywhere.
///
/// In a data file it is the list of its corners in the order in which they follow each other round the border, either
/// way about: `[(0.2, 0.3), (0.4, 0.3), (0.3, 0.5)]`.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(try_from = "Vec<(f64, f64)>")]
pub struct ColourArea {
    corners: Vec<DVec2>,
}

impl ColourArea {
    /// The area within these corners, (x, y) each, in order round the border; the last is joined to the first.
    ///
    /// None for fewer than three corners, for a corner outside the diagram, and for a border that crosses, touches or
    /// folds back upon itself: with such a border it is not settled what lies inside, or nothing does.
    pub fn new(corners: Vec<(f64, f64)>) -> Option<Self> {
        let in_diagram = corners.iter().all(|&(x, y)| Chromaticity { x, y }.lies_in_the_diagram());
        let area = Self { corners: corners.into_iter().map(DVec2::from).collect() };
        (area.corners.len() >= 3 && in_diagram && area.border_is_simple()).then_some(area)
    }

    /// The corners in order round the border.
    pub fn corners(&self) -> impl Iterator<Item = Chromaticity> {
        self.corners.iter().map(|corner| Chromaticity { x: corner.x, y: corner.y })
    }

    /// Whether the colour is one of the area's, its border included (to 1e-9 of x and y).
    pub fn holds(&self, colour: Chromaticity) -> bool {
        self.distance_outside(colour) == 0.0
    }

    /// How far outside the area the colour lies: nought inside and on the border (to 1e-9), else the distance to the
    /// nearest side in units of x and y. Infinite for a colour that is not a number.
    pub fn distance_outside(&self, colour: Chromaticity) -> f64 {
        let point = colour.point();
        if self.surrounds(point) {
            return 0.0;
        }
        let nearest = self.sides().map(|side| side.distance(point)).fold(f64::INFINITY, f64::min);
        if nearest <= TOLERANCE { 0.0 } else { nearest }
    }

    fn sides(&self) -> impl Iterator<Item = Side> {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().zip(next).map(|(&from, &to)| Side { from, to })
    }

    /// Whether a ray to the right from the point passes through the border an odd number of times. A side owns
    /// its lower end and not its upper, so that a ray through a corner counts once where the border goes on up or down,
    /// and twice or never where it turns round.
    fn surrounds(&self, point: DVec2) -> bool {
        let passed = self.sides().filter(|side| {
            let spans = (side.from.y > point.y) != (side.to.y > point.y);
            spans && point.x < side.x_at(point.y)
        });
        passed.count() % 2 == 1
    }

    fn border_is_simple(&self) -> bool {
        let crosses = |side: Side| self.sides().any(|other| side.crosses(other));
        let touches = |side: Side| self.corners.iter().any(|&corner| side.is_touched_by(corner));
        !self.sides().any(|side| crosses(side) || touches(side)) && !self.has_twin_corners()
    }

    fn has_twin_corners(&self) -> bool {
        (1..self.corners.len()).any(|at| self.corners[..at].contains(&self.corners[at]))
    }
}

impl TryFrom<Vec<(f64, f64)>> for ColourArea {
    type Error = &'static str;

    fn try_from(corners: Vec<(f64, f64)>) -> Result<Self, Self::Error> {
        Self::new(corners).ok_or(
            "an area of the colour diagram needs three corners or more, each with x and y from 0 to 1 and x + y at \
             most 1, in order round a border that does not cross or touch itself",
        )
    }
}

#[derive(Clone, Copy)]
struct Side {
    from: DVec2,
    to: DVec2,
}

impl Side {
    /// Where the side's line is at this height; the side must not be level.
    fn x_at(self, y: f64) -> f64 {
        self.from.x + (self.to.x - self.from.x) * (y - self.from.y) / (self.to.y - self.from.y)
    }

    fn distance(self, point: DVec2) -> f64 {
        let along = self.to - self.from;
        let share = ((point - self.from).dot(along) / along.length_squared()).clamp(0.0, 1.0);
        point.distance(self.from + along * share)
    }

    /// Above nought where the point is to the left of one who walks the side, below where to the right.
    fn leftward(self, point: DVec2) -> f64 {
        (self.to - self.from).perp_dot(point - self.from)
    }

    /// Whether the insides of the two sides pass through one another; sides that share a corner do not.
    fn crosses(self, other: Self) -> bool {
        self.leftward(other.from) * self.leftward(other.to) < 0.0
            && other.leftward(self.from) * other.leftward(self.to) < 0.0
    }

    /// Whether a corner that is not one of this side's own lies upon it.
    fn is_touched_by(self, corner: DVec2) -> bool {
        corner != self.from && corner != self.to && self.distance(corner) <= TOLERANCE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An invented area with a bay in its right side, whose innermost point is (0.3, 0.3).
    const ARROW_TAIL: [(f64, f64); 4] = [(0.2, 0.2), (0.5, 0.1), (0.3, 0.3), (0.4, 0.5)];

    fn at(x: f64, y: f64) -> Chromaticity {
        Chromaticity { x, y }
    }

    fn refused(corners: &[(f64, f64)]) -> bool {
        ColourArea::new(corners.to_vec()).is_none()
    }

    #[test]
    fn a_bay_in_the_border_is_outside() {
        let area = ColourArea::new(ARROW_TAIL.to_vec()).expect("a simple border");
        assert!(area.holds(at(0.29, 0.3)) && area.holds(at(0.3, 0.3)));
        assert!(!area.holds(at(0.31, 0.3)) && !area.holds(at(0.38, 0.3)));
    }

    #[test]
    fn the_way_round_and_the_first_corner_do_not_matter() {
        let mut corners = ARROW_TAIL.to_vec();
        let area = ColourArea::new(corners.clone()).expect("a simple border");
        corners.rotate_left(1);
        let rotated = ColourArea::new(corners.clone()).expect("a simple border");
        corners.reverse();
        let reversed = ColourArea::new(corners).expect("a simple border");
        for (x, y) in (0..60).flat_map(|x| (0..60).map(move |y| (f64::from(x) / 100.0, f64::from(y) / 100.0))) {
            let distance = area.distance_outside(at(x, y));
            for other in [&rotated, &reversed] {
                assert!((other.distance_outside(at(x, y)) - distance).abs() < 1e-12, "{x} {y}");
            }
        }
    }

    #[test]
    fn distance_is_to_the_nearest_side_or_corner() {
        let square = ColourArea::new(vec![(0.2, 0.2), (0.4, 0.2), (0.4, 0.4), (0.2, 0.4)]).expect("a square");
        assert!((square.distance_outside(at(0.3, 0.45)) - 0.05).abs() < 1e-12);
        assert!((square.distance_outside(at(0.43, 0.44)) - 0.05).abs() < 1e-12);
        assert_eq!(square.distance_outside(at(0.3, 0.3)), 0.0);
    }

    #[test]
    fn what_is_not_a_number_lies_nowhere() {
        let square = ColourArea::new(vec![(0.2, 0.2), (0.4, 0.2), (0.4, 0.4), (0.2, 0.4)]).expect("a square");
        for lost in [at(f64::NAN, 0.3), at(0.3, f64::NAN), at(f64::INFINITY, 0.3), at(f64::NEG_INFINITY, 0.3)] {
            assert!(!square.holds(lost) && square.distance_outside(lost) == f64::INFINITY);
            assert!(!lost.lies_in_the_diagram());
        }
    }

    #[test]
    fn borders_that_leave_the_inside_open_are_refused() {
        assert!(refused(&[]) && refused(&[(0.2, 0.2), (0.3, 0.3)]), "too few corners");
        assert!(refused(&[(0.2, 0.2), (0.4, 0.2), (0.2, 0.4), (0.4, 0.4)]), "two sides cross");
        assert!(refused(&[(0.1, 0.1), (0.2, 0.2), (0.3, 0.3)]), "no area");
        assert!(refused(&[(0.2, 0.2), (0.4, 0.2), (0.4, 0.4), (0.2, 0.2)]), "the first corner again");
        assert!(refused(&[(0.2, 0.2), (0.4, 0.2), (0.4, 0.2), (0.4, 0.4)]), "a corner twice running");
        assert!(refused(&[(0.2, 0.2), (0.4, 0.2), (0.3, 0.4), (0.3, 0.2)]), "a corner upon a side");
        let spike = [(0.2, 0.2), (0.4, 0.2), (0.4, 0.5), (0.4, 0.4), (0.2, 0.4)];
        assert!(refused(&spike), "a side that folds back");
        let waist = [(0.2, 0.2), (0.3, 0.3), (0.4, 0.2), (0.4, 0.4), (0.3, 0.3), (0.2, 0.4)];
        assert!(refused(&waist), "a corner met twice");
    }

    #[test]
    fn corners_outside_the_diagram_are_refused() {
        for corner in [(-0.01, 0.3), (0.3, -0.01), (0.6, 0.41), (1.2, -0.3), (f64::NAN, 0.3)] {
            assert!(refused(&[(0.2, 0.2), (0.3, 0.2), corner]), "{corner:?}");
        }
        assert!(!refused(&[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]), "the whole of the diagram");
    }

    #[test]
    fn an_area_is_a_list_of_pairs_in_a_data_file() {
        let area: ColourArea = ron::from_str("[(0.2, 0.2), (0.5, 0.1), (0.3, 0.3), (0.4, 0.5)]").expect("an area");
        assert!(area.corners().eq(ARROW_TAIL.map(|(x, y)| at(x, y))));
        let refusal = ron::from_str::<ColourArea>("[(0.2, 0.2), (0.5, 0.1)]").expect_err("two corners");
        assert!(refusal.to_string().contains("three corners"), "{refusal}");
    }

    #[test]
    fn a_chromaticity_is_written_as_it_is_read() {
        let white: Chromaticity = ron::from_str("(x: 0.4476, y: 0.4074)").expect("a chromaticity");
        assert_eq!(white, at(0.4476, 0.4074));
        assert_eq!(ron::to_string(&white).expect("text"), "(x:0.4476,y:0.4074)");
        assert!(ron::from_str::<Chromaticity>("(x: 0.4, y: 0.4, z: 0.2)").is_err());
    }
}
