//! The judgement of one fit in one status.

use super::{Display, Finding, Rules};
use crate::{
    boat::{Fit, Scene},
    light::Colours,
    measure::Bearing,
    survey::Survey,
};

/// What an observer on a bearing must see, and what he may.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Expected {
    pub must: Colours,
    /// Allowed besides: within the limits of practical cut-off.
    pub may: Colours,
}

/// A fit judged against the lawful display it comes nearest to.
#[derive(Clone, Debug)]
pub struct Judgement<'a> {
    /// The display judged against; `None` when the rules know none for such a vessel and status.
    pub display: Option<&'a Display>,
    pub rules: &'a Rules,
    /// Worst first.
    pub findings: Vec<Finding>,
}

impl Judgement<'_> {
    /// What must show on a bearing.
    pub fn expected(&self, _bearing: Bearing) -> Expected {
        Expected::default()
    }
}

/// Judges a survey of the scene's fit.
pub fn judge<'a>(_scene: &Scene, _fit: &Fit, _survey: &Survey, rules: &'a Rules) -> Judgement<'a> {
    Judgement { display: None, rules, findings: Vec::new() }
}
