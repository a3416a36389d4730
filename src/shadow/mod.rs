//! What share of a lamp's luminous face a direction or a point sees past the boat's solids.
//!
//! Takes solids and a lamp's face; gives a visible fraction and whose solid hides the most. Bars and boxes are
//! answered exactly, surfaces through a bounding-volume tree. Must never know of colours.

mod face;
mod facets;
mod obstacles;
mod panorama;
mod ray;

pub use face::{Toward, Visible, visible_fraction};
pub use obstacles::Obstacles;
pub use panorama::{Grid, Panorama, Points};
pub use ray::{Ray, hits_capsule, hits_cuboid, hits_cylinder, hits_triangle};
