//! What is needed to fit the lamps that a scene places and to prove them: where each foot goes, brackets to fold, the
//! fasteners that hold them, and the walk round the boat at the end.
//!
//! Takes a scene; gives marks, pieces to cut, lengths and drills, and findings with a way to mend each. Must never compute
//! light: what is seen it asks the survey.

pub mod bracket;
pub mod data;
pub mod fasteners;
mod finding;
pub mod marking;
pub mod place;
pub mod walk_round;

pub use finding::Finding;
