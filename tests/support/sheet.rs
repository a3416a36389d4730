//! A face on its own, solids on their own: what one sees of the other, without a boat.

use std::sync::Arc;

use glam::{DMat3, DVec3};
use lampwalk::{
    boat::{
        Face, Owner, PosedLamp, Solid,
        shape::{Shape, Triangles},
    },
    light::preset,
    shadow::{Obstacles, Toward, Visible, visible_fraction},
};

/// A lamp upright at the origin.
pub fn upright(face: Face) -> PosedLamp {
    let optics = preset("all-round 2 nm").expect("a generic lamp");
    PosedLamp { centre: DVec3::ZERO, frame: DMat3::IDENTITY, face, optics }
}

pub fn opaque(shape: Shape) -> Solid {
    Solid { owner: Owner::Hull, shape, transmits: 0.0 }
}

/// What is seen of an upright face at the origin past one solid of each shape.
pub fn seen(face: Face, shapes: &[Shape], toward: Toward) -> Visible {
    let solids: Vec<Solid> = shapes.iter().cloned().map(opaque).collect();
    visible_fraction(&Obstacles::new(&solids), &upright(face), toward)
}

/// A flat four-cornered surface.
pub fn sheet_of(corners: [DVec3; 4]) -> Shape {
    Shape::Mesh(Arc::new(Triangles { points: corners.to_vec(), corners: vec![[0, 1, 2], [0, 2, 3]] }))
}
