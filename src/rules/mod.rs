//! Judges a survey against the collision regulations: sectors, ranges, displays and the limits of Annex I.
//!
//! The rules themselves are data (`assets/rules`), each figure beside its source. Takes a survey; gives what every
//! bearing must show and a list of findings with clause, arc and a way to mend. Must never draw.

mod data;
mod finding;
mod heights;
mod judge;
mod lanes;
mod places;
mod sector;
mod spare;
mod under_way;
mod view;

pub use data::{
    Band, Datum, Display, Exemption, HeightRow, LightKind, Places, RangeRow, Rules, SectorRow, international,
    rules_file,
};
pub use finding::{Finding, Kind, Severity};
pub use judge::{Expected, Judgement, judge};
