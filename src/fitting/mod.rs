//! What is needed to fit the lamps that a scene places: brackets to fold and the fasteners that hold them.
//!
//! Takes a scene; gives pieces to cut, lengths and drills, and findings with a way to mend each. Must never compute
//! light.

pub mod bracket;
pub mod data;
pub mod fasteners;
mod finding;
pub mod place;

pub use finding::Finding;
