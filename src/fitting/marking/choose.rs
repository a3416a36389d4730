//! The two fixed points whose tapes cross best at a spot, and a third to check by.
//!
//! Takes the points on board and what stands in the way; gives tapes. The best pair is the one in which tapes that are a
//! little out shift the spot least: short tapes, near to square. Must never move the spot.

use glam::DVec3;

use super::{FixedPoint, Footing, Tape, footing::Foot};
use crate::{
    boat::Scene,
    measure::{Degrees, Metres},
    shadow::{Obstacles, Ray},
};

/// Two tapes that cross at a spot.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    pub tapes: [Tape; 2],
    /// The angle between them at the spot.
    pub angle: Degrees,
    /// On which side of the line between the two points the spot lies: "forward", "abaft", "to starboard", "to port",
    /// "above", "below".
    pub side: &'static str,
    /// How far the spot moves at most when each tape is out by two millimetres.
    pub out: Metres,
    /// A third tape to check by; `None` where no other point can be reached.
    pub check: Option<Tape>,
}

/// Tapes shorter or longer than these are not used, metres: the one for want of accuracy, the other of reach (the
/// program's own figures).
const SHORTEST: f64 = 0.25;
const LONGEST: f64 = 8.0;
/// Sine of the flattest crossing that is still used: 20 degrees (the program's own figure).
const FLATTEST: f64 = 0.342;
/// A metre of tape is worth so much of a crossing's squareness (the program's own figure).
const PER_METRE: f64 = 0.25;
/// How much a tape may be out, metres.
const MISREAD: f64 = 0.002;
/// A tape is looked along this far above the deck, metres.
const LIFT: f64 = 0.015;
/// What it is held to at either end is not in its way: the thickness of a post, and of the foot at the spot.
const HELD: f64 = 0.12;
const FOOT: f64 = 0.04;

pub(super) fn crossing(scene: &Scene, points: &[FixedPoint], solid: &Obstacles, foot: &Foot) -> Option<Crossing> {
    let reach: Vec<&FixedPoint> = points.iter().filter(|point| reaches(scene, point, solid, foot)).collect();
    let mut best: Option<(f64, [&FixedPoint; 2])> = None;
    for (n, one) in reach.iter().enumerate() {
        for other in &reach[n + 1..] {
            let score = score(foot.at, one.at, other.at);
            if best.is_none_or(|(least, _)| score < least - 1e-9) {
                best = Some((score, [one, other]));
            }
        }
    }
    let (score, pair) = best?;
    if !score.is_finite() {
        return None;
    }
    let tape = |point: &FixedPoint| Tape::between(&scene.vessel, point.clone(), foot.at);
    let angle = angle_between(foot.at, pair[0].at, pair[1].at);
    let flat = angle.min(180.0 - angle).to_radians();
    let check = third(&reach, pair, foot.at).map(tape);
    Some(Crossing {
        tapes: pair.map(tape),
        angle: Degrees(angle),
        side: side(pair[0].at, pair[1].at, foot.at),
        out: Metres(MISREAD / (flat / 2.0).sin()),
        check,
    })
}

/// Less is better; infinite for two points that lie too near to one line with the spot.
fn score(at: DVec3, one: DVec3, other: DVec3) -> f64 {
    let square = angle_between(at, one, other).to_radians().sin();
    let longest = at.distance(one).max(at.distance(other));
    if square < FLATTEST { f64::INFINITY } else { (1.0 + PER_METRE * longest) / square }
}

fn angle_between(at: DVec3, one: DVec3, other: DVec3) -> f64 {
    (one - at).angle_between(other - at).to_degrees()
}

/// The point whose tape tells most of what the two do not: near to half-way between their directions, and not of one line
/// with either.
fn third<'p>(reach: &[&'p FixedPoint], pair: [&FixedPoint; 2], at: DVec3) -> Option<&'p FixedPoint> {
    let others = reach.iter().filter(|point| pair.iter().all(|used| used.at.distance(point.at) > 0.2));
    let worth = |point: &FixedPoint| {
        let [a, b] = pair.map(|used| angle_between(at, used.at, point.at).to_radians().sin());
        a.min(b) / (1.0 + PER_METRE * at.distance(point.at))
    };
    others.copied().max_by(|a, b| worth(a).total_cmp(&worth(b))).filter(|point| worth(point) > 0.05)
}

fn reaches(scene: &Scene, point: &FixedPoint, solid: &Obstacles, foot: &Foot) -> bool {
    let part = point.part.and_then(|index| scene.parts.get(index));
    let named = part.map(|part| part.name.as_str());
    let carrier = match &foot.footing {
        Footing::Pole(name) | Footing::Beside(name) | Footing::Lid(name) => Some(name.as_str()),
        _ => None,
    };
    // A pole's own foot is the spot; a part's own corners serve for what is fixed to its side or lid.
    let itself = matches!(foot.footing, Footing::Pole(_)) && named == carrier;
    let own = carrier.is_some() && named == carrier;
    let far = point.at.distance(foot.at);
    if itself || !(SHORTEST..=LONGEST).contains(&far) {
        return false;
    }
    if own {
        return on_one_face(point.at, foot.at);
    }
    let lift = DVec3::Z * LIFT;
    let way = (foot.at - point.at) / far;
    let ray = Ray { origin: point.at + lift + way * HELD, direction: way, length: (far - HELD - FOOT).max(0.0) };
    solid.first_met(&ray).is_none()
}

/// Whether both lie on one side or on the lid of an upright box.
fn on_one_face(corner: DVec3, at: DVec3) -> bool {
    (0..3).any(|axis| (corner[axis] - at[axis]).abs() < 0.002)
}

fn side(one: DVec3, other: DVec3, at: DVec3) -> &'static str {
    let along = (other - one).normalize_or_zero();
    let off = (at - one) - along * (at - one).dot(along);
    // Above and below only where hardly anything else can be said, as on a wall.
    let words = [(off.x, "forward", "abaft"), (-off.y, "to starboard", "to port"), (off.z * 0.3, "above", "below")];
    let (way, ahead, behind) = words
        .into_iter()
        .fold((0.0, "", ""), |most, one| if one.0.abs() > f64::abs(most.0) + 1e-9 { one } else { most });
    if way >= 0.0 { ahead } else { behind }
}
