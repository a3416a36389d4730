//! Lessons and drill: what an apprentice is shown and asked, and whether the answer is right.
//!
//! Takes boats, lesson files and seeds; gives steps, questions and verdicts. No answer is kept anywhere: each is worked out
//! by the survey and the rules when it is asked for. Must never draw, and must never know of windows or clocks.

mod boats;
pub mod drill;
pub mod lesson;
mod situation;

pub use boats::{BOATS, boat};
pub use situation::Situation;

/// Said once wherever lessons or drill are shown.
pub const CAUTION: &str = "A teaching aid, not for navigation. The rules in force and local law decide.";
