//! A surface from a mesh file, in pieces by the names that the file gives them.
//!
//! Takes triangles; tells how large they are and where a plumb line or a frame meets them. Need not be closed, nor free
//! of cracks and doubled faces. Must never know of files or of lamps.

use std::sync::Arc;

use glam::DVec3;

use super::shape::Triangles;

/// All of one mesh.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Surface {
    /// At least one triangle in each; no two of one full name.
    pub pieces: Vec<Piece>,
}

/// Everything of a mesh that goes by one name.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// As the file has it, made harmless and short enough to be shown; `None` for what it does not name.
    pub name: Option<String>,
    /// The same at its full length, by which pieces are told apart.
    pub full_name: Option<String>,
    pub triangles: Arc<Triangles>,
    /// Share of light let through, from 0 to 1, both included: nought for all but panes.
    pub transmits: f64,
}

impl Surface {
    /// Least and greatest corner of the box that holds every point; `None` when empty.
    pub fn bounds(&self) -> Option<(DVec3, DVec3)> {
        let boxes = self.pieces.iter().filter_map(|piece| piece.triangles.bounds());
        boxes.reduce(|(low, high), (other_low, other_high)| (low.min(other_low), high.max(other_high)))
    }

    /// The three corners of each triangle.
    pub fn iter(&self) -> impl Iterator<Item = [DVec3; 3]> + '_ {
        self.pieces.iter().flat_map(|piece| piece.triangles.iter())
    }

    /// The height, of those at which a plumb line meets the surface, that is nearest to one. In metres; `None` where
    /// it meets none.
    pub fn height_near(&self, forward: f64, to_port: f64, height: f64) -> Option<f64> {
        let heights = self.iter().filter_map(|corners| plumb(corners, forward, to_port));
        heights.min_by(|one, other| (one - height).abs().total_cmp(&(other - height).abs()))
    }

    /// The outermost point of the surface on one side, square off the centreline, among those between two heights;
    /// `None` where there is none. `forward` and heights in metres.
    pub fn outermost(&self, forward: f64, starboard: bool, heights: (f64, f64)) -> Option<DVec3> {
        let side = if starboard { -1.0 } else { 1.0 };
        let kept = self.cuts(forward, heights).flatten();
        kept.max_by(|one, other| (one.y * side).total_cmp(&(other.y * side))).filter(|point| point.y * side > 0.0)
    }

    /// The height of the upper edge of one side, square off the centreline, looked for between two heights; `None` where
    /// there is no side. `forward` and heights in metres.
    pub fn upper_edge(&self, forward: f64, starboard: bool, heights: (f64, f64)) -> Option<f64> {
        let least = self.outermost(forward, starboard, heights)?.y.abs() - EDGE;
        let side = if starboard { -1.0 } else { 1.0 };
        let top = self.cuts(forward, heights).filter_map(|[from, to]| {
            let (inner, outer) = if from.y * side <= to.y * side { (from, to) } else { (to, from) };
            let (near, far) = (inner.y * side, outer.y * side);
            let start = if near >= least { inner } else { inner + (outer - inner) * ((least - near) / (far - near)) };
            (far >= least).then(|| start.z.max(outer.z))
        });
        top.max_by(f64::total_cmp)
    }

    /// The lines in which a frame cuts the surface between two heights.
    fn cuts(&self, forward: f64, heights: (f64, f64)) -> impl Iterator<Item = [DVec3; 2]> {
        self.iter().filter_map(move |corners| between(frame(corners, forward)?, heights))
    }
}

/// What lies less than this inboard of the outermost is still the edge of her side, metres: a rail or a strake is as wide.
const EDGE: f64 = 0.06;

/// Where the plumb line through a place meets a triangle.
fn plumb([a, b, c]: [DVec3; 3], x: f64, y: f64) -> Option<f64> {
    let outside =
        |one: f64, two: f64, three: f64, at: f64| at < one.min(two).min(three) || at > one.max(two).max(three);
    if outside(a.x, b.x, c.x, x) || outside(a.y, b.y, c.y, y) {
        return None;
    }
    let twice = |p: DVec3, q: DVec3, x: f64, y: f64| (p.x - x) * (q.y - y) - (p.y - y) * (q.x - x);
    let [of_c, of_a, of_b] = [twice(a, b, x, y), twice(b, c, x, y), twice(c, a, x, y)];
    let whole = of_a + of_b + of_c;
    let inside = whole != 0.0 && [of_a, of_b, of_c].iter().all(|part| part * whole >= 0.0);
    inside.then(|| (a.z * of_a + b.z * of_b + c.z * of_c) / whole)
}

/// The line in which a frame, square to the centreline, cuts a triangle.
fn frame([a, b, c]: [DVec3; 3], x: f64) -> Option<[DVec3; 2]> {
    let cross = |from: DVec3, to: DVec3| {
        ((from.x <= x) != (to.x <= x)).then(|| from + (to - from) * ((x - from.x) / (to.x - from.x)))
    };
    let mut ends = [cross(a, b), cross(b, c), cross(c, a)].into_iter().flatten();
    Some([ends.next()?, ends.next()?])
}

/// The part of a line between two heights.
fn between([from, to]: [DVec3; 2], (low, high): (f64, f64)) -> Option<[DVec3; 2]> {
    let (under, over) = if from.z <= to.z { (from, to) } else { (to, from) };
    if over.z < low || under.z > high {
        return None;
    }
    let at =
        |z: f64| if over.z > under.z { under + (over - under) * ((z - under.z) / (over.z - under.z)) } else { under };
    Some([if under.z < low { at(low) } else { under }, if over.z > high { at(high) } else { over }])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn surface(points: &[[f64; 3]], corners: &[[u32; 3]]) -> Surface {
        let triangles = Triangles {
            points: points.iter().map(|point| DVec3::from_array(*point)).collect(),
            corners: corners.to_vec(),
        };
        Surface { pieces: vec![Piece { name: None, full_name: None, triangles: triangles.into(), transmits: 0.0 }] }
    }

    #[test]
    fn a_plumb_line_meets_a_sloping_roof_and_the_floor_under_it() {
        let points =
            [[0.0, 0.0, 2.0], [2.0, 0.0, 4.0], [0.0, 2.0, 2.0], [0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [0.0, 2.0, 0.0]];
        let house = surface(&points, &[[0, 1, 2], [3, 5, 4]]);
        assert_eq!(house.height_near(0.5, 0.5, 9.0), Some(2.5));
        assert_eq!(house.height_near(0.5, 0.5, 1.0), Some(0.0));
        assert_eq!(house.height_near(1.5, 1.5, 1.0), None);
    }

    #[test]
    fn the_side_is_met_at_its_widest_between_two_heights() {
        // A side that leans out to port by a metre over two.
        let side =
            surface(&[[0.0, 1.0, 0.0], [4.0, 1.0, 0.0], [4.0, 2.0, 2.0], [0.0, 2.0, 2.0]], &[[0, 1, 2], [0, 2, 3]]);
        let widest = side.outermost(1.0, false, (0.0, 1.0)).expect("there is a side");
        assert!((widest - DVec3::new(1.0, 1.5, 1.0)).length() < 1e-12, "{widest}");
        let edge = side.upper_edge(1.0, false, (0.0, 3.0)).expect("there is a side");
        assert!((edge - 2.0).abs() < 1e-12, "{edge}");
        assert_eq!(side.outermost(1.0, true, (0.0, 1.0)), None);
        assert_eq!(side.upper_edge(1.0, true, (0.0, 1.0)), None);
        assert_eq!(side.outermost(5.0, false, (0.0, 1.0)), None);
    }
}
