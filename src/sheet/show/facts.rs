//! All that a customer sheet says, worked out once before anything is written.
//!
//! Takes a visit; gives what is said of each fit on each bearing, what falls short, and which places tell the most. Must
//! never know of HTML.

use super::{
    Pictures, Visit,
    sight::{Stand, Teller, Told},
    telling::telling,
    wrong::{Wrong, wrongs},
};
use crate::{measure::Bearing, rules::Severity, sheet::Surveyed};

/// See the module.
pub(super) struct Facts<'a> {
    pub visit: &'a Visit<'a>,
    pub bearings: Vec<Bearing>,
    /// The fit as it is, then the one that is proposed, if any.
    pub fits: Vec<FitFacts<'a>>,
    /// Places in the walk that tell the most, the worst first.
    pub telling: Vec<usize>,
}

/// What is said of one fit.
pub(super) struct FitFacts<'a> {
    pub surveyed: Surveyed<'a>,
    /// In the order of the walk.
    pub told: Vec<Told>,
    pub wrongs: Vec<Wrong<'a>>,
}

impl<'a> Facts<'a> {
    pub fn of(visit: &'a Visit<'a>) -> Self {
        let bearings = if visit.bearings.is_empty() { Bearing::points().collect() } else { visit.bearings.clone() };
        let fits: Vec<FitFacts> = std::iter::once(&visit.before)
            .chain(&visit.after)
            .map(|surveyed| FitFacts::of(*surveyed, &bearings, visit.pictures.as_ref()))
            .collect();
        let telling = telling(&bearings, &fits);
        Self { visit, bearings, fits, telling }
    }

    /// The pictures of a fit, none where none were drawn.
    pub fn pictures(&self, fit: usize) -> &[super::Picture] {
        self.visit.pictures.as_ref().map_or(&[], |pictures| pictures.of(fit))
    }

    /// Whether there is anything to look at.
    pub fn has_pictures(&self) -> bool {
        (0..self.fits.len()).any(|fit| !self.pictures(fit).is_empty())
    }
}

impl<'a> FitFacts<'a> {
    fn of(surveyed: Surveyed<'a>, bearings: &[Bearing], pictures: Option<&Pictures>) -> Self {
        let teller = Teller::new(surveyed, pictures.map(|pictures| (pictures.distance, pictures.eye)));
        Self {
            surveyed,
            told: bearings.iter().map(|bearing| teller.tell(*bearing)).collect(),
            wrongs: wrongs(&surveyed.judgement.findings, bearings),
        }
    }

    /// "4 things wrong", "nothing wrong", with what is to watch beside.
    pub fn count(&self) -> String {
        let things = |count: usize| if count == 1 { "1 thing".into() } else { format!("{count} things") };
        if self.surveyed.judgement.display.is_none() {
            return "could not be judged".into();
        }
        let faults = match self.surveyed.count(Severity::Fault) {
            0 => "nothing wrong".into(),
            some => format!("{} wrong", things(some)),
        };
        match self.surveyed.count(Severity::Caution) {
            0 => faults,
            some => format!("{faults}, {some} to watch"),
        }
    }

    /// Whether anything is a fault, or could not be judged.
    pub fn fails(&self) -> bool {
        self.surveyed.judgement.display.is_none() || self.surveyed.count(Severity::Fault) > 0
    }

    /// How many places of the walk are not as they should be.
    pub fn wrong_places(&self) -> usize {
        self.told.iter().filter(|told| told.stand == Stand::Wrong).count()
    }
}
