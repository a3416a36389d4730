//! What share of a lamp's luminous face a direction or a point sees past the boat's solids.
//!
//! Takes solids and a lamp's face; gives a visible fraction and whose solids hide the most. What bars, boxes and facets
//! cover of a face is answered by formula, and its area summed. Must never know of colours.

mod bar;
mod cover;
mod face;
mod facets;
mod obstacles;
mod outline;
mod panorama;
mod ray;
mod sheet;

pub use face::{Toward, Visible, visible_fraction};
pub use obstacles::Obstacles;
pub use panorama::{Grid, Panorama, Points};
pub use ray::{Ray, hits_capsule, hits_cuboid, hits_cylinder, hits_triangle};
