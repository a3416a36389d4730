//! How far off two lights can still be told apart: beyond, an eye takes them for one.
//!
//! Takes the boat as she lies, two of her lamps and a bearing; gives how far apart they look from there and the distance
//! at which that is the angle an eye separates. Must never judge, and must never know which lights ought to be told
//! apart.

use glam::DVec3;

use super::Stance;
use crate::measure::{Arc, Bearing, Degrees, Metres, NauticalMiles};

/// Two lamps as they look from where they stand closest together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    pub bearing: Bearing,
    /// Across the line of sight, from the middle of one luminous face to that of the other.
    pub separation: Metres,
}

impl Stance {
    /// How far apart two lamps look from a bearing: the level distance across the line of sight and the difference in
    /// height, together. The line of sight is taken level, as it is nearly so at any distance where lights merge: an eye
    /// 12 m up at half a mile looks down by less than a degree. So the height of the eye does not matter.
    pub fn separation(&self, lamp: usize, other: usize, bearing: Bearing) -> Metres {
        let between = self.between(lamp, other);
        let sight = bearing.direction();
        Metres((between - sight * between.dot(sight)).length())
    }

    /// Where two lamps look closest together, among the bearings that lie in both arcs; `None` where no bearing does but
    /// an edge that they share. Exact: either the lamps stand in line there, or it is an edge.
    pub fn least_apart(&self, lamp: usize, other: usize, arcs: [Arc; 2]) -> Option<Apart> {
        let edges = || arcs.into_iter().flat_map(|arc| [arc.from, arc.to()]);
        let in_line = Bearing::of(self.between(lamp, other));
        let within = |bearing: &Bearing| arcs.iter().all(|arc| arc.contains(*bearing));
        // Arcs that overlap do so just inside one of their edges, or all the way round.
        let inside = edges().flat_map(|edge| [edge.turned(INSIDE), edge.turned(-INSIDE)]);
        let overlap = inside.into_iter().any(|bearing| within(&bearing));
        let bearings = edges().chain([in_line, in_line.turned(180.0)]).filter(|bearing| overlap && within(bearing));
        bearings
            .map(|bearing| Apart { bearing, separation: self.separation(lamp, other, bearing) })
            .min_by(|a, b| a.separation.0.total_cmp(&b.separation.0))
    }

    /// From the middle of one luminous face to that of another, in the level frame.
    fn between(&self, lamp: usize, other: usize) -> DVec3 {
        let centre = |lamp: usize| self.level(self.posed().lamps[lamp].centre);
        centre(other) - centre(lamp)
    }
}

/// Degrees inside an edge at which arcs that overlap surely do.
const INSIDE: f64 = 0.001;

/// The distance up to which an eye that separates an angle tells two lights apart that look so far from each other.
pub fn told_apart(separation: Metres, angle: Degrees) -> NauticalMiles {
    Metres(separation.0 / angle.0.to_radians().tan()).nautical_miles()
}

/// How far apart two lights have to look to be told apart at a distance: [`told_apart`] turned round.
pub fn apart_for(distance: NauticalMiles, angle: Degrees) -> Metres {
    Metres(distance.metres().0 * angle.0.to_radians().tan())
}
