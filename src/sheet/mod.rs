//! Written outputs of a survey: text for a terminal, JSON and CSV for other programs, a polar plot for paper.
//!
//! Takes a scene, one of its fits, the survey of it and the judgement of that; gives text. Asks the survey what shows
//! and the judgement what must, and must never work out light or judge anything itself.

pub mod bracket;
mod clauses;
mod csv;
pub mod displays;
mod escape;
pub mod exam;
mod figure;
mod json;
pub mod lamp;
mod lookout;
mod merging;
mod outlook;
pub mod paper;
mod part;
mod pen;
pub mod place;
mod polar;
pub mod show;
mod swell;
mod switches;
mod text;
mod waiver;
pub mod wiring;
pub mod work;
mod wrap;

pub use clauses::{ClauseSheet, clauses_json, clauses_text};
pub use csv::csv;
pub use json::json;
pub use outlook::outlook;
pub use part::screen_in_ron;
pub use polar::polar;
pub use text::text;
pub use waiver::waiver;

use crate::{
    boat::{Fit, PosedLamp, Scene},
    light::{Colours, supply::Supply},
    measure::{Bearing, Candela, Degrees, NauticalMiles, trimmed},
    rules::{self, Expected, Judgement, SectorRow, Severity, Switching},
    survey::{LightSurvey, Sample, Station, Survey, showing},
};

/// What every sheet says of its own limits.
pub const CAUTIONS: &str = "A teaching and fitting aid. It does not replace the regulations in force, the lamp \
    maker's instructions, the flag state's approval or licensed practice; local rules may differ. Isolate the battery \
    before working on wiring. The generic optics are not any maker's product. Prove the result on the water at night.";

/// "84 percent of its full light", "its full light".
fn share_of_light(supply: &Supply) -> String {
    if (supply.share() - 1.0).abs() < 1e-6 {
        return "its full light".into();
    }
    format!("{} percent of its full light", trimmed(supply.share() * 100.0, 0))
}

/// A fit with its survey and the judgement of it: all that a sheet may draw on.
#[derive(Clone, Copy)]
pub struct Surveyed<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub survey: &'a Survey,
    pub judgement: &'a Judgement<'a>,
}

/// The judgement in a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// No fault, though there may be cautions and notes.
    Passes,
    /// At least one fault.
    Fails,
    /// The rules hold no display for such a vessel and status.
    NotJudged,
}

impl Verdict {
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Passes => "passes",
            Self::Fails => "fails",
            Self::NotJudged => "not judged",
        }
    }
}

/// The strongest and weakest of a light over the bearings where its full intensity is due.
#[derive(Clone, Copy, Debug)]
struct Strength {
    peak: Candela,
    least: Candela,
    /// How far off it is made out where it is least, at rest.
    range: NauticalMiles,
    /// The least over all attitudes, and which case gives it.
    worst: Candela,
    worst_case: usize,
}

impl Surveyed<'_> {
    /// The judgement in a word.
    pub fn verdict(&self) -> Verdict {
        match (self.judgement.display, self.judgement.worst()) {
            (None, _) => Verdict::NotJudged,
            (Some(_), Some(Severity::Fault)) => Verdict::Fails,
            (Some(_), _) => Verdict::Passes,
        }
    }

    /// How many findings are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.judgement.findings.iter().filter(|finding| finding.severity == severity).count()
    }

    /// The verdict in one line, without a full stop: "fails: 3 faults, 1 caution".
    pub fn verdict_line(&self) -> String {
        let counted: Vec<String> = [Severity::Fault, Severity::Caution, Severity::Note]
            .into_iter()
            .filter_map(|severity| match self.count(severity) {
                0 => None,
                1 => Some(format!("1 {}", severity.in_words())),
                many => Some(format!("{many} {}s", severity.in_words())),
            })
            .collect();
        let counted = if counted.is_empty() { "no finding".into() } else { counted.join(", ") };
        format!("{}: {counted}", self.verdict().in_words())
    }

    /// What the switches announce; `None` where the scene does not say how the lamps are switched.
    pub fn switching(&self) -> Option<Switching<'_>> {
        rules::switching(self.scene, self.fit, self.judgement.rules)
    }

    /// The colours made out on the far ring on any bearing, the boat at rest.
    pub fn shows_afar(&self, bearing: Bearing) -> Colours {
        let rest = self.survey.rest();
        let made_out =
            |light: &&LightSurvey| self.survey.made_out_afar(rest.toward(light.light, bearing, Degrees(0.0)).candela());
        self.survey.lights.iter().filter(made_out).map(|light| light.colour).collect()
    }

    /// Whether some light of the display, giving just what the rules ask at the edge of its sector, would not be made
    /// out on the far ring in the scene's weather.
    pub fn beyond_promise(&self) -> bool {
        let rules = self.judgement.rules;
        let Some(display) = self.judgement.display else { return false };
        display.required().any(|light| {
            let range = rules.range(light, self.scene.vessel.length.0);
            let least = range.and_then(|range| rules.intensity(range));
            least.is_some_and(|least| !self.survey.made_out_afar(Candela(least.0 * rules.cutoff.aft_share)))
        })
    }

    /// The colours made out on the near ring on any bearing by the first of the observers' eyes, the boat at rest.
    pub fn shows_close(&self, bearing: Bearing) -> Colours {
        let conditions = &self.scene.conditions;
        let eye = conditions.eyes.first().copied().unwrap_or_default();
        let point = Station { bearing, distance: conditions.near, eye }.point(self.scene.middle());
        showing(&self.survey.rest().look(self.fit, self.survey.status, point, self.survey.weather))
    }

    /// The definition that a light is there to meet: that of its lamp's role in its colour, or of the role alone.
    fn sector(&self, light: &LightSurvey) -> Option<&SectorRow> {
        let role = self.fit.lamps[light.light.lamp].role;
        let rows = || self.judgement.rules.sectors.iter().filter(move |row| row.light.served_by(role));
        rows().find(|row| row.colour == light.colour).or_else(|| rows().next())
    }

    /// The least intensity the rules ask of a light inside its sector.
    fn due(&self, light: &LightSurvey) -> Option<Candela> {
        let rules = self.judgement.rules;
        rules.intensity(rules.range(self.sector(light)?.light, self.scene.vessel.length.0)?)
    }

    /// Strongest and weakest where the full intensity is due. A light without a sector is taken all the way round.
    fn strength(&self, light: &LightSurvey) -> Option<Strength> {
        let sector = self.sector(light);
        let inside = |bearing: Bearing| sector.is_none_or(|row| self.judgement.rules.whole_due(row, bearing));
        let samples = || {
            let each = self.survey.bearings.iter().zip(&light.samples);
            each.filter(move |(bearing, _)| inside(**bearing)).map(|(_, sample)| sample)
        };
        let least = samples().min_by(|a, b| a.rest.0.total_cmp(&b.rest.0))?;
        let worst = samples().min_by(|a, b| a.worst.0.total_cmp(&b.worst.0))?;
        Some(Strength {
            peak: Candela(samples().map(|sample| sample.rest.0).fold(0.0, f64::max)),
            least: least.rest,
            range: least.range,
            worst: worst.worst,
            worst_case: worst.worst_case,
        })
    }

    fn expected(&self, bearing: Bearing) -> Expected {
        self.judgement.expected(bearing)
    }

    /// The name of what hides the most of a light.
    fn hidden_by(&self, sample: &Sample) -> Option<String> {
        sample.by.map(|owner| self.scene.owner_name(self.fit, owner))
    }

    /// A light's lamp as it sits at rest.
    fn posed(&self, light: &LightSurvey) -> &PosedLamp {
        &self.survey.rest().posed().lamps[light.light.lamp]
    }
}

/// Text with its first letter as a sentence begins.
fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
