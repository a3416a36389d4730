//! Judges a survey against the collision regulations: sectors, ranges, displays and the limits of Annex I.
//!
//! The rules themselves are data (`assets/rules`), each figure beside its source. Takes a survey; gives what every
//! bearing must show and a list of findings with clause, arc and a way to mend. Must never draw.

mod absent;
mod alone;
mod cast;
mod clauses;
mod colour;
mod data;
mod even;
mod finding;
mod judge;
mod lanes;
mod limits;
mod lines;
mod lookout;
mod low_volts;
mod meeting;
mod merging;
mod own_hull;
mod places;
mod relief;
mod screens;
mod sector;
mod served;
mod spare;
mod standing;
mod stripes;
mod switches;
mod under_way;
mod view;

pub use alone::{Edge, Offer, Tint, Weakest, offers, tint};
pub use clauses::{ClauseLine, Standing, clause_table};
pub use data::*;
pub use finding::{Finding, Kind, Severity};
pub use judge::{Asked, Expected, Judgement};
pub use limits::may_stand_above_mastheads;
pub use meeting::{
    Duty, Encounter, KeepsClear, Meeting, Party, Side, ahead_figures, meeting, overtaking_doubt, overtaking_sector,
};
pub use merging::{Merging, merging};
pub use relief::judge;
pub use screens::screens_to_try;
pub use served::{Service, services};
pub use standing::{Stand, Tightest, standing};
pub use stripes::{State, Stretch, Stripe, Why, stripes};
pub use switches::{Amiss, Announced, NeededStatus, SettingReading, Switching, Whose, switching};
