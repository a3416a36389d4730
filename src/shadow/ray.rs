//! Does a ray meet a solid? One free function for each plain solid.

use glam::{DMat3, DVec3};

/// A line of sight: from `origin` along the unit vector `direction`, for `length` metres (may be infinite).
#[derive(Clone, Copy, Debug)]
pub struct Ray {
    pub origin: DVec3,
    pub direction: DVec3,
    pub length: f64,
}

impl Ray {
    /// The point so many metres along.
    pub fn at(&self, along: f64) -> DVec3 {
        self.origin + self.direction * along
    }
}

/// Whether the ray comes within `radius` of the line from `from` to `to`.
pub fn hits_capsule(ray: &Ray, from: DVec3, to: DVec3, radius: f64) -> bool {
    distance_to_line(ray, from, to) <= radius
}

/// Least distance between the ray and the line from `from` to `to`, in metres. When the two lines run parallel any
/// pair of nearest points serves.
pub fn distance_to_line(ray: &Ray, from: DVec3, to: DVec3) -> f64 {
    let axis = to - from;
    let between = ray.origin - from;
    let axis_squared = axis.length_squared();
    let along_ray = ray.direction.dot(between);
    let along_axis = axis.dot(between);
    let shared = ray.direction.dot(axis);
    let apart = axis_squared - shared * shared;
    let nearest_of_ray = |share: f64| (share * shared - along_ray).clamp(0.0, ray.length);
    let nearest_of_axis = |along: f64| {
        if axis_squared > 0.0 { ((along * shared + along_axis) / axis_squared).clamp(0.0, 1.0) } else { 0.0 }
    };
    // First where the endless lines are nearest, then each clamped to its own extent in turn.
    let start = if apart > 1e-12 * axis_squared.max(1e-12) {
        ((shared * along_axis - along_ray * axis_squared) / apart).clamp(0.0, ray.length)
    } else {
        nearest_of_ray(0.0)
    };
    let share = nearest_of_axis(start);
    let along = nearest_of_ray(share);
    let share = nearest_of_axis(along);
    ray.at(along).distance(from + axis * share)
}

/// Whether the ray meets a round bar with flat ends.
pub fn hits_cylinder(ray: &Ray, from: DVec3, to: DVec3, radius: f64) -> bool {
    let axis = to - from;
    let height = axis.length();
    if height == 0.0 {
        return false;
    }
    let up = axis / height;
    let between = ray.origin - from;
    let (rise, start) = (ray.direction.dot(up), between.dot(up));
    // The stretch of the ray between the two end planes.
    let (mut near, mut far) = (0.0f64, ray.length);
    if rise.abs() > 1e-12 {
        let (a, b) = (-start / rise, (height - start) / rise);
        near = near.max(a.min(b));
        far = far.min(a.max(b));
    } else if !(0.0..=height).contains(&start) {
        return false;
    }
    // The stretch within the endless round bar: |across + t sideways| <= radius.
    let sideways = ray.direction - up * rise;
    let across = between - up * start;
    let (a, b, c) = (sideways.length_squared(), across.dot(sideways), across.length_squared() - radius * radius);
    if a < 1e-18 {
        return c <= 0.0 && near <= far;
    }
    let under_root = b * b - a * c;
    if under_root < 0.0 {
        return false;
    }
    let root = under_root.sqrt();
    near.max((-b - root) / a) <= far.min((-b + root) / a)
}

/// Whether the ray meets a box with unit `axes` (columns) and `half` sizes.
pub fn hits_cuboid(ray: &Ray, centre: DVec3, axes: &DMat3, half: DVec3) -> bool {
    let turned = axes.transpose();
    hits_slabs(turned * (ray.origin - centre), turned * ray.direction, ray.length, -half, half)
}

/// Whether a line of sight meets a box square to the axes of its frame.
pub(super) fn hits_slabs(origin: DVec3, direction: DVec3, length: f64, low: DVec3, high: DVec3) -> bool {
    let (mut near, mut far) = (0.0f64, length);
    for axis in 0..3 {
        let (from, along) = (origin[axis], direction[axis]);
        if along.abs() < 1e-15 {
            if from < low[axis] || from > high[axis] {
                return false;
            }
            continue;
        }
        let (a, b) = ((low[axis] - from) / along, (high[axis] - from) / along);
        near = near.max(a.min(b));
        far = far.min(a.max(b));
    }
    near <= far
}

/// Whether the ray meets a triangle, from either side (after Moller and Trumbore, 1997).
pub fn hits_triangle(ray: &Ray, [a, b, c]: [DVec3; 3]) -> bool {
    let (first, second) = (b - a, c - a);
    let across = ray.direction.cross(second);
    let facing = first.dot(across);
    if facing.abs() < 1e-15 {
        return false;
    }
    let from = ray.origin - a;
    let u = from.dot(across) / facing;
    if !(0.0..=1.0).contains(&u) {
        return false;
    }
    let turned = from.cross(first);
    let v = ray.direction.dot(turned) / facing;
    if v < 0.0 || u + v > 1.0 {
        return false;
    }
    let along = second.dot(turned) / facing;
    (1e-9..=ray.length).contains(&along)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn level(y: f64, z: f64) -> Ray {
        Ray { origin: DVec3::new(0.0, y, z), direction: DVec3::X, length: f64::INFINITY }
    }

    #[test]
    fn an_upright_bar_hides_what_passes_within_its_radius_and_height() {
        let (foot, head) = (DVec3::new(3.0, 0.0, 0.0), DVec3::new(3.0, 0.0, 1.0));
        for hit in [hits_cylinder, hits_capsule] {
            assert!(hit(&level(0.0999, 0.5), foot, head, 0.1));
            assert!(!hit(&level(0.1001, 0.5), foot, head, 0.1));
            assert!(!hit(&level(0.0, 1.11), foot, head, 0.1));
        }
        // Flat end against rounded end.
        assert!(!hits_cylinder(&level(0.0, 1.05), foot, head, 0.1));
        assert!(hits_capsule(&level(0.0, 1.05), foot, head, 0.1));
    }

    #[test]
    fn nothing_behind_the_lamp_or_beyond_the_observer_counts() {
        let behind = (DVec3::new(-3.0, 0.0, 0.0), DVec3::new(-3.0, 0.0, 1.0));
        assert!(!hits_cylinder(&level(0.0, 0.5), behind.0, behind.1, 0.1));
        assert!(!hits_capsule(&level(0.0, 0.5), behind.0, behind.1, 0.1));
        let near = Ray { length: 2.0, ..level(0.0, 0.5) };
        let (foot, head) = (DVec3::new(3.0, 0.0, 0.0), DVec3::new(3.0, 0.0, 1.0));
        assert!(!hits_cylinder(&near, foot, head, 0.1));
        assert!(!hits_capsule(&near, foot, head, 0.1));
    }

    #[test]
    fn a_ray_along_the_axis_of_a_bar_meets_it() {
        let (foot, head) = (DVec3::new(2.0, 0.0, 0.5), DVec3::new(4.0, 0.0, 0.5));
        assert!(hits_cylinder(&level(0.05, 0.5), foot, head, 0.1));
        assert!(hits_capsule(&level(0.05, 0.5), foot, head, 0.1));
        assert!(!hits_capsule(&level(0.15, 0.5), foot, head, 0.1));
    }

    #[test]
    fn a_turned_box_is_met_at_its_corner() {
        let axes = DMat3::from_rotation_z(std::f64::consts::FRAC_PI_4);
        let half = DVec3::splat(1.0);
        assert!(hits_cuboid(&level(1.41, 0.0), DVec3::new(5.0, 0.0, 0.0), &axes, half));
        assert!(!hits_cuboid(&level(1.42, 0.0), DVec3::new(5.0, 0.0, 0.0), &axes, half));
    }

    #[test]
    fn a_triangle_is_met_from_both_sides_and_only_within_its_edges() {
        let face = [DVec3::new(2.0, -1.0, 0.0), DVec3::new(2.0, 1.0, 0.0), DVec3::new(2.0, 0.0, 1.0)];
        let back = [face[1], face[0], face[2]];
        for corners in [face, back] {
            assert!(hits_triangle(&level(0.0, 0.5), corners));
            assert!(!hits_triangle(&level(0.6, 0.5), corners));
        }
    }
}
