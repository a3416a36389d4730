//! lampwalk: walk round a boat at night and see what every other vessel sees of her navigation lights.
//!
//! One scene file goes through pure stages: [`boat`] (what is where), [`light`] and [`shadow`] (what of each lamp
//! gets out), [`survey`] (what each bearing gets), [`rules`] (how that measures up), and from there to written
//! [`sheet`]s and to the 3D [`night`]. The numbers and the picture come from the same computation.

pub mod boat;
pub mod cli;
pub mod edit;
pub mod fitting;
pub mod light;
pub mod measure;
#[cfg(feature = "night")]
pub mod night;
pub mod rules;
pub mod shadow;
pub mod sheet;
pub mod survey;
mod whole_file;
pub mod wiring;
