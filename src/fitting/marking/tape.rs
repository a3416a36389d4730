//! A taut tape between two points on board: straight where it hangs free, lying on the deck where the crown of its camber
//! or sheer stands in the way.
//!
//! Takes the vessel's lines and two points; gives a length. Sideways the tape keeps to the upright plane through both
//! points: what a deck's slope would shift it sideways shortens it by less than can be read.

use glam::{DVec2, DVec3};

use super::FixedPoint;
use crate::{boat::Vessel, measure::Metres};

/// A tape from a fixed point to a spot.
#[derive(Clone, Debug, PartialEq)]
pub struct Tape {
    pub from: FixedPoint,
    pub length: Metres,
    /// Whether it bears on the deck on its way, and not only at its ends.
    pub on_deck: bool,
}

/// The deck is looked at in this many places along a tape.
const PLACES: u32 = 400;
/// A tape that is lifted by less than this hangs free, metres.
const FREE: f64 = 0.0005;

impl Tape {
    pub(super) fn between(vessel: &Vessel, from: FixedPoint, to: DVec3) -> Self {
        let (length, on_deck) = taut(vessel, from.at, to);
        Self { from, length, on_deck }
    }
}

/// The length of a taut tape, and whether the deck lifts it on its way.
pub fn taut(vessel: &Vessel, from: DVec3, to: DVec3) -> (Metres, bool) {
    let level = from.truncate().distance(to.truncate());
    let mut hull: Vec<DVec2> = vec![DVec2::new(0.0, from.z)];
    for n in 1..=PLACES {
        let share = f64::from(n) / f64::from(PLACES);
        let next = match deck_under(vessel, from.lerp(to, share)) {
            _ if n == PLACES => DVec2::new(level, to.z),
            Some(deck) => DVec2::new(share * level, deck),
            None => continue,
        };
        // The upper hull: what lies below a straight line over it is left out.
        while let [.., before, last] = hull[..] {
            if (last - before).perp_dot(next - before) < 0.0 {
                break;
            }
            hull.pop();
        }
        hull.push(next);
    }
    let length: f64 = hull.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
    let straight = |at: &DVec2| from.z + (to.z - from.z) * at.x / level.max(1e-9);
    let lifted = hull.iter().map(|at| at.y - straight(at)).fold(0.0, f64::max);
    (Metres(length), lifted > FREE)
}

/// The height of the deck under a point; `None` outboard of it.
fn deck_under(vessel: &Vessel, at: DVec3) -> Option<f64> {
    let aboard = (0.0..=vessel.length.0).contains(&at.x) && at.y.abs() <= vessel.half_breadth(at.x);
    aboard.then(|| vessel.deck_height(at.x, at.y))
}
