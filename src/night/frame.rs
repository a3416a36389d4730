//! Between the vessel and level frames (x forward, y to port, z up; metres) and the frame the picture is drawn in
//! (y up). One function each way; nothing else in the night may swap axes.

use bevy::math::{DMat3, DVec3, Quat, Vec3};
use bevy::transform::components::Transform;

use crate::survey::Stance;

/// A point or direction of the vessel or level frame, as drawn: `(x, y, z)` becomes `(x, z, -y)`.
pub fn drawn(point: DVec3) -> Vec3 {
    DVec3::new(point.x, point.z, -point.y).as_vec3()
}

/// A drawn point or direction, back in the level frame.
pub fn level(point: Vec3) -> DVec3 {
    let point = point.as_dvec3();
    DVec3::new(point.x, -point.z, point.y)
}

/// How the boat lies, for entities whose meshes are in the drawn vessel frame.
pub fn lying(stance: &Stance) -> Transform {
    let swap = DMat3::from_cols(DVec3::X, DVec3::NEG_Z, DVec3::Y);
    let turn = swap * stance.attitude().rotation() * swap.transpose();
    Transform {
        translation: drawn(stance.level(DVec3::ZERO)),
        rotation: Quat::from_mat3(&turn.as_mat3()),
        ..Transform::IDENTITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        boat::{Attitude, Pose},
        measure::Degrees,
        night::trial,
    };

    #[test]
    fn forward_stays_x_up_becomes_y_and_port_is_away_along_minus_z() {
        assert_eq!(drawn(DVec3::X), Vec3::X);
        assert_eq!(drawn(DVec3::Y), Vec3::NEG_Z);
        assert_eq!(drawn(DVec3::Z), Vec3::Y);
    }

    #[test]
    fn there_and_back_changes_nothing() {
        let point = DVec3::new(1.5, -2.25, 3.0);
        assert_eq!(level(drawn(point)), point);
    }

    #[test]
    fn a_trimmed_and_heeled_boat_is_drawn_where_her_stance_says() {
        let scene = trial::scene();
        let attitude = Attitude { trim: Degrees(4.0), heel: Degrees(-7.0) };
        let stance = Stance::new(&scene, &scene.fits[0], &Pose::default(), attitude);
        for point in [DVec3::new(5.0, 0.7, 1.1), DVec3::new(0.0, -1.0, 0.4)] {
            let by_transform = lying(&stance).transform_point(drawn(point));
            assert!(by_transform.distance(drawn(stance.level(point))) < 1e-5);
        }
    }
}
