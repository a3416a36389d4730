//! How much of the time the swell hides each light from the first of the observers' eyes, for the text and for JSON.
//!
//! Takes a fit with its survey; asks the survey for the shares and must never work any out.

use super::{Surveyed, wrap};
use crate::{
    measure::{Metres, trimmed},
    survey::{LightSurvey, hidden_by_swell},
};

impl Surveyed<'_> {
    /// The share of the time that the scene's swell hides a light far off from the first of the observers' eyes.
    pub(super) fn hidden_by_swell(&self, light: &LightSurvey) -> f64 {
        let conditions = &self.scene.conditions;
        let eye = conditions.eyes.first().copied().unwrap_or_default();
        let height = Metres(self.posed(light).centre.z);
        hidden_by_swell(height, eye, conditions.swell)
    }
}

/// A paragraph after an empty line; nothing at all where the scene has no swell or no lamp is lit.
pub(super) fn text(surveyed: &Surveyed, columns: usize) -> String {
    let conditions = &surveyed.scene.conditions;
    let lights = &surveyed.survey.lights;
    if conditions.swell.0 <= 0.0 || lights.is_empty() {
        return String::new();
    }
    let mut shares: Vec<String> = Vec::new();
    for one in lights {
        let share = trimmed(surveyed.hidden_by_swell(one) * 100.0, 0);
        let words = format!("{} {share} %", surveyed.fit.lamps[one.light.lamp].name);
        // The colours of one lamp are at one height.
        if !shares.contains(&words) {
            shares.push(words);
        }
    }
    let words = format!(
        "{} m from crest to trough hides from an eye {} m above the water, far off, for this share of the time: {}. Light \
         and eye ride on a plain swell; no finding rests on it.",
        trimmed(conditions.swell.0, 2),
        trimmed(conditions.eyes.first().copied().unwrap_or_default().0, 2),
        shares.join("; "),
    );
    format!("\n{}", wrap::hanging("Swell: ", &words, columns))
}
