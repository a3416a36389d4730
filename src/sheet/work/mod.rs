//! The fitter's set of work sheets: what she must show, what falls short, how the lamps are switched and wired, where each foot
//! goes, what to cut and drill, and the walk round her at the end.
//!
//! Takes a fit with its survey and judgement; gives a [`Paper`]. Every figure comes from the stages before; must never
//! work one out.

mod brackets;
mod findings;
mod labels;
mod marking;
mod plan;
mod summary;
mod switching;
mod units;
mod walk;
mod wiring;

pub use units::Units;

use super::{
    Surveyed,
    paper::{Paper, Section, Size},
};
use crate::rules::Date;

/// What stands at the foot of every page.
const CAUTION: &str = "A fitting aid, not for navigation. Local rules, the lamp maker's instructions and licensed electrical \
    practice come first. Isolate the battery before you open the panel or drill near a cable.";

/// What the sheets are made of.
#[derive(Clone, Copy)]
pub struct Work<'a> {
    pub surveyed: Surveyed<'a>,
    pub units: Units,
    pub size: Size,
    pub date: Date,
}

/// The whole set.
pub fn paper(work: &Work) -> Paper {
    let Surveyed { scene, fit, survey, judgement } = work.surveyed;
    Paper {
        size: work.size,
        title: format!("Work sheets: {}, fit \"{}\"", scene.name, fit.name),
        head: (format!("{}, fit \"{}\"", scene.name, fit.name), work.date.to_string()),
        below_head: format!(
            "Judged {} by the rules \"{}\"; lengths {}",
            survey.status.told_of(&scene.vessel),
            judgement.rules.name,
            work.units.in_words()
        ),
        foot: concat!("lampwalk ", env!("CARGO_PKG_VERSION")).into(),
        caution: CAUTION.into(),
        sections: sections(work),
    }
}

/// The sections of the set in their order.
fn sections(work: &Work) -> Vec<Section> {
    vec![
        summary::section(work),
        findings::section(work),
        switching::section(work),
        wiring::section(work),
        marking::section(work),
        brackets::section(work),
        walk::section(work),
    ]
}
