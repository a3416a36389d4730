//! How lamps stand, before any of their light is looked at: their places, heights and distances against the rules, and
//! what is left of each figure.
//!
//! Takes a fit and the boat at rest; gives the same findings on places that a judgement gives, at a small part of its
//! cost, for whoever tries many places. Must never stand in for a judgement: light is left out.

use super::{
    Finding, Rules,
    cast::Cast,
    judge::{Asked, Stage, lit},
    limits, lines, places,
};
use crate::{
    boat::{Fit, Scene, Status},
    survey::{Stance, Survey},
};

/// The figure of the rules that is nearest to being missed.
#[derive(Clone, Debug, PartialEq)]
pub struct Tightest {
    /// The lamp that it is measured of.
    pub lamp: String,
    /// The lamp that it is measured against, where there is one.
    pub against: Option<String>,
    pub clause: String,
    /// How far from being missed, in metres; below nought where it is.
    pub metres: f64,
}

/// See the module.
#[derive(Clone, Debug, Default)]
pub struct Stand {
    pub findings: Vec<Finding>,
    /// Of figures that lengths go with; `None` where there is none.
    pub tightest: Option<Tightest>,
}

/// How the lamps lit in a status stand. `rest` is the boat with this fit, at rest. Nothing is found where the rules hold no
/// display.
pub fn standing(scene: &Scene, fit: &Fit, rest: Stance, status: Status, rules: &Rules) -> Stand {
    let survey = Survey::unlit(scene, rest, status);
    let lit = lit(fit, &survey);
    let choice = rules.displays(&scene.vessel, survey.status, &scene.conditions.waters).into_iter();
    let casts = choice.map(|display| (display, Cast::of(display, &lit, rules)));
    let Some((display, cast)) = casts.min_by_key(|(_, cast)| cast.mismatch()) else { return Stand::default() };
    let stage = Stage { scene, fit, survey: &survey, rules, display, cast };
    let mut asked = Asked::default();
    let mut findings = places::findings(&stage, &mut asked);
    findings.extend(lines::findings(&stage));
    findings.extend(limits::findings(&stage, &mut asked));
    let tightest = limits::slack(&stage).into_iter().min_by(|a, b| a.metres.total_cmp(&b.metres));
    let tightest = tightest.map(|slack| Tightest {
        lamp: slack.lamp,
        against: slack.against,
        clause: slack.clause,
        metres: slack.metres,
    });
    Stand { findings, tightest }
}
