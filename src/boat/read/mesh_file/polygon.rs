//! Cuts a flat face of many corners into triangles that cover it and nothing beside it.
//!
//! Takes the corners in their order; gives triples of their places in it, wound as the face is. A face that is not flat
//! is cut as it looks square on; one that has no plane, or crosses itself, is cut from its first corner. Must never know
//! of files.

use glam::{DVec2, DVec3};

/// A corner where the edge turns by less than this, in radians, lies on a straight edge.
const STRAIGHT: f64 = 1e-7;
/// A face with inward corners and more corners than this takes too long to cut.
pub(super) const MOST_CORNERS: usize = 1000;

/// The triangles of a face; `None` where one with inward corners has more than [`MOST_CORNERS`].
pub(super) fn cut(face: &[DVec3]) -> Option<Vec<[usize; 3]>> {
    let fan = || (2..face.len()).map(|n| [0, n - 1, n]).collect();
    if face.len() < 4 {
        return Some(fan());
    }
    let Some(flat) = laid_flat(face) else { return Some(fan()) };
    // A corner named twice running has no way to turn.
    let places: Vec<usize> = {
        let before = |n: usize| flat[(n + flat.len() - 1) % flat.len()];
        (0..flat.len()).filter(|n| flat[*n] != before(*n)).collect()
    };
    let flat: Vec<DVec2> = places.iter().map(|n| flat[*n]).collect();
    let count = flat.len();
    let turns_in = |n: usize| turn(flat[(n + count - 1) % count], flat[n], flat[(n + 1) % count]) < 0;
    if !(0..count).any(turns_in) {
        return Some(fan());
    }
    let triangles = (count <= MOST_CORNERS).then(|| Ring::of(&flat).clipped())?;
    Some(triangles.into_iter().map(|triangle| triangle.map(|n| places[n])).collect())
}

/// The corners in the plane of the face, counter-clockwise; `None` where it has none.
fn laid_flat(face: &[DVec3]) -> Option<Vec<DVec2>> {
    let from = *face.first()?;
    let next = face.iter().cycle().skip(1);
    // Newell's normal: it is sound for faces that are not quite flat.
    let normal: DVec3 = face.iter().zip(next).map(|(one, other)| (one - from).cross(other - from)).sum();
    let (along, across) = normal.try_normalize()?.any_orthonormal_pair();
    Some(face.iter().map(|point| DVec2::new((point - from).dot(along), (point - from).dot(across))).collect())
}

/// Which way the edge turns at the middle of three corners: 1 to the left, -1 to the right, 0 where it is straight, goes
/// straight back or stands still.
fn turn(before: DVec2, at: DVec2, after: DVec2) -> i8 {
    let (come, go) = (at - before, after - at);
    let (turned, least) = (come.perp_dot(go), STRAIGHT * come.length() * go.length());
    i8::from(turned > least) - i8::from(turned < -least)
}

/// The corners of a face that are not yet cut off, each knowing its neighbours.
struct Ring<'f> {
    flat: &'f [DVec2],
    before: Vec<usize>,
    after: Vec<usize>,
    /// Corners where the edge turned in at the start; cut-off ones are passed over.
    inward: Vec<usize>,
    gone: Vec<bool>,
}

impl<'f> Ring<'f> {
    fn of(flat: &'f [DVec2]) -> Self {
        let count = flat.len();
        let before = (0..count).map(|n| (n + count - 1) % count).collect();
        let after = (0..count).map(|n| (n + 1) % count).collect();
        let mut ring = Self { flat, before, after, inward: Vec::new(), gone: vec![false; count] };
        ring.inward = (0..count).filter(|n| ring.turn(*n) < 0).collect();
        ring
    }

    fn turn(&self, n: usize) -> i8 {
        turn(self.flat[self.before[n]], self.flat[n], self.flat[self.after[n]])
    }

    /// Whether the triangle at a corner can be cut off: the corner points outward and nothing else reaches into it.
    fn is_ear(&self, n: usize) -> bool {
        match self.turn(n) {
            0 => true,
            ..0 => false,
            _ => !self.inward.iter().any(|other| !self.gone[*other] && self.reaches_into(*other, n)),
        }
    }

    /// Whether a corner lies in the triangle at another. One that coincides with a corner of it does not: a face with a
    /// hole is drawn with the same edge to and fro.
    fn reaches_into(&self, other: usize, n: usize) -> bool {
        let [a, b, c] = [self.before[n], n, self.after[n]].map(|n| self.flat[n]);
        let point = self.flat[other];
        let left_of = |from: DVec2, to: DVec2| (to - from).perp_dot(point - from) >= 0.0;
        point != a && point != b && point != c && left_of(a, b) && left_of(b, c) && left_of(c, a)
    }

    /// Cuts off one corner after another. Only its neighbours can become fit to be cut off by that.
    fn clipped(mut self) -> Vec<[usize; 3]> {
        let count = self.flat.len();
        let mut triangles = Vec::with_capacity(count);
        let mut ears: Vec<usize> = (0..count).rev().filter(|n| self.is_ear(*n)).collect();
        let mut left = count;
        while let Some(n) = ears.pop().filter(|_| left > 3) {
            // It may have been cut off since, or be none any more.
            if self.gone[n] || !self.is_ear(n) {
                continue;
            }
            let (before, after) = (self.before[n], self.after[n]);
            triangles.push([before, n, after]);
            self.gone[n] = true;
            self.after[before] = after;
            self.before[after] = before;
            left -= 1;
            ears.extend([before, after].into_iter().filter(|n| self.is_ear(*n)));
        }
        triangles.extend(self.rest());
        triangles
    }

    /// What is left as a fan: one triangle, or more where the edge crosses itself.
    fn rest(&self) -> Vec<[usize; 3]> {
        let Some(first) = self.gone.iter().position(|gone| !gone) else { return Vec::new() };
        let mut triangles = Vec::new();
        let mut n = self.after[first];
        while self.after[n] != first {
            triangles.push([first, n, self.after[n]]);
            n = self.after[n];
        }
        triangles
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn areas(face: &[DVec3]) -> Vec<DVec3> {
        let triangles = cut(face).expect("few corners");
        triangles.iter().map(|[a, b, c]| (face[*b] - face[*a]).cross(face[*c] - face[*a]) / 2.0).collect()
    }

    /// Whether the triangles are all wound as the face is, and together as large.
    fn covers(corners: &[[f64; 2]], area: f64) {
        // Tilted, and far from the origin.
        let face: Vec<DVec3> =
            corners.iter().map(|[x, y]| DVec3::new(700.0 + x * 0.6, 300.0 + y, x * 0.8 - 50.0)).collect();
        for turned in 0..face.len() {
            let mut face = face.clone();
            face.rotate_left(turned);
            let normal = areas(&face).into_iter().sum::<DVec3>().normalize();
            let parts: Vec<f64> = areas(&face).iter().map(|part| part.dot(normal)).collect();
            assert!(parts.iter().all(|part| *part > -1e-6), "from corner {turned}: {parts:?}");
            let whole: f64 = parts.iter().sum();
            assert!((whole - area).abs() < 1e-6, "from corner {turned}: {whole}");
        }
    }

    #[test]
    fn a_gate_is_cut_into_its_posts_and_its_sill() {
        let gate = [[0.0, 0.0], [5.0, 0.0], [5.0, 5.0], [4.0, 5.0], [4.0, 1.0], [1.0, 1.0], [1.0, 5.0], [0.0, 5.0]];
        covers(&gate, 13.0);
        let mirrored: Vec<_> = gate.iter().rev().copied().collect();
        covers(&mirrored, 13.0);
    }

    #[test]
    fn a_frame_drawn_round_its_hole_leaves_the_hole_open() {
        let frame = [
            [0.0, 0.0],
            [5.0, 0.0],
            [5.0, 5.0],
            [0.0, 5.0],
            [0.0, 0.0], //
            [1.0, 1.0],
            [1.0, 4.0],
            [4.0, 4.0],
            [4.0, 1.0],
            [1.0, 1.0],
        ];
        covers(&frame, 16.0);
    }

    #[test]
    fn a_star_a_dart_and_corners_on_straight_edges_are_covered() {
        covers(&[[0.0, 0.0], [2.0, 1.0], [4.0, 0.0], [2.0, 5.0]], 8.0);
        covers(&[[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0], [1.0, 1.0], [1.0, 2.0], [0.0, 2.0]], 3.0);
        let star = (0..14).map(|n| {
            let (radius, angle) = (if n % 2 == 0 { 3.0 } else { 1.0 }, f64::from(n) * std::f64::consts::PI / 7.0);
            [radius * angle.cos(), radius * angle.sin()]
        });
        covers(&star.collect::<Vec<_>>(), 7.0 * 3.0 * (std::f64::consts::PI / 7.0).sin());
    }

    #[test]
    fn faces_without_a_plane_and_those_that_cross_themselves_still_end() {
        let line: Vec<DVec3> = (0..6).map(|n| DVec3::X * f64::from(n)).collect();
        assert_eq!(cut(&line).map(|triangles| triangles.len()), Some(4));
        let bow = [[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0], [-1.0, 1.0]];
        let bow = bow.map(|[x, y]| DVec3::new(x, y, 0.0));
        assert_eq!(cut(&bow).map(|triangles| triangles.len()), Some(3));
    }

    #[test]
    fn only_a_face_with_inward_corners_can_have_too_many() {
        let round = |dent: f64| {
            let corner = |n: i32| {
                let angle = f64::from(n) * std::f64::consts::TAU / 2000.0;
                DVec3::new(angle.cos(), angle.sin(), 0.0) * if n == 7 { dent } else { 1.0 }
            };
            cut(&(0..2000).map(corner).collect::<Vec<_>>()).map(|triangles| triangles.len())
        };
        assert_eq!((round(1.0), round(0.5)), (Some(1998), None));
    }
}
