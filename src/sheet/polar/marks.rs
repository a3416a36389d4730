//! Where what shows is not what must, light by light: a light of the display that is not made out, or one that is and may
//! not be.
//!
//! Goes by light and not by colour: under an all-round green light a missing green sidelight is missing all the same.

use super::{
    runs::runs,
    track::{Track, optional, tracks},
};
use crate::{
    light::Colour,
    measure::{Arc, Bearing},
    rules::{Kind, LightKind, SectorRow},
    sheet::Surveyed,
    survey::LightSurvey,
};

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Amiss {
    /// None of the lights that must show is made out.
    Missing,
    /// Some are, but fewer than must be.
    TooFew,
    /// A light is made out that may not be.
    Extra,
}

impl Amiss {
    pub fn is_missing(self) -> bool {
        self != Self::Extra
    }

    pub fn sign(self) -> char {
        if self.is_missing() { '\u{2212}' } else { '+' }
    }

    pub fn in_words(self) -> &'static str {
        match self {
            Self::Missing => "not shown",
            Self::TooFew => "too few shown",
            Self::Extra => "may not show",
        }
    }
}

/// One arc of one ring.
pub(super) struct Mark {
    pub track: Track,
    pub colour: Colour,
    pub amiss: Amiss,
    pub arc: Arc,
    /// The lamp that is no part of the display, by name.
    pub by: Option<String>,
}

/// Every mark of the plot; none where there is no display to hold it against.
pub(super) fn marks(surveyed: &Surveyed) -> Vec<Mark> {
    if surveyed.judgement.display.is_none() {
        return Vec::new();
    }
    let each = |track| Colour::ALL.into_iter().map(move |colour| (track, colour));
    tracks(surveyed).into_iter().flat_map(each).flat_map(|(track, colour)| of_one(surveyed, track, colour)).collect()
}

fn of_one(surveyed: &Surveyed, track: Track, colour: Colour) -> Vec<Mark> {
    let survey = surveyed.survey;
    let own = |light: &&LightSurvey| light.colour == colour && Track::of(surveyed, light) == track;
    let (spare, serving): (Vec<_>, Vec<_>) = survey.lights.iter().filter(own).partition(|one| is_spare(surveyed, one));
    let due = Due::of(surveyed, track, colour);
    let shown = |lights: &[&LightSurvey], index: usize| {
        lights.iter().filter(|light| survey.made_out_afar(light.samples[index].rest)).count()
    };
    let bearings = || survey.bearings.iter().enumerate();
    let lacking = bearings().map(|(index, bearing)| match (shown(&serving, index), due.count(*bearing)) {
        (shown, due) if shown >= due => None,
        (0, _) => Some(Amiss::Missing),
        _ => Some(Amiss::TooFew),
    });
    let extra = bearings().map(|(index, bearing)| {
        let some = shown(&spare, index) > 0 || shown(&serving, index) > 0 && !due.allows(*bearing);
        some.then_some(Amiss::Extra)
    });
    [lacking.collect(), extra.collect()]
        .into_iter()
        .flat_map(|values: Vec<Option<Amiss>>| runs(&survey.bearings, values))
        .filter_map(|(arc, amiss)| Some((arc, amiss?)))
        .map(|(arc, amiss)| {
            let by = spare.first().filter(|_| amiss == Amiss::Extra).map(|light| lamp_name(surveyed, light).into());
            Mark { track, colour, amiss, arc, by }
        })
        .collect()
}

/// Whether the judgement says of a lamp that it may not be shown.
fn is_spare(surveyed: &Surveyed, light: &LightSurvey) -> bool {
    let name = lamp_name(surveyed, light);
    let findings = &surveyed.judgement.findings;
    findings.iter().any(|one| one.kind == Kind::LightNotAllowed && one.lamp.as_deref() == Some(name))
}

fn lamp_name<'a>(surveyed: &Surveyed<'a>, light: &LightSurvey) -> &'a str {
    &surveyed.fit.lamps[light.light.lamp].name
}

/// The lights of a display of one colour on one ring.
struct Due<'a> {
    surveyed: &'a Surveyed<'a>,
    must: Vec<&'a SectorRow>,
    may: Vec<&'a SectorRow>,
}

impl<'a> Due<'a> {
    fn of(surveyed: &'a Surveyed<'a>, track: Track, colour: Colour) -> Self {
        let display = surveyed.judgement.display;
        let row = |kind: LightKind| {
            let own = |row: &&SectorRow| Track::of_kind(kind) == track && row.colour == colour;
            surveyed.judgement.rules.sector(kind).filter(own)
        };
        Self {
            surveyed,
            must: display.iter().flat_map(|display| display.required()).filter_map(row).collect(),
            may: display.iter().flat_map(|display| optional(display)).filter_map(row).collect(),
        }
    }

    /// How many must show on a bearing.
    fn count(&self, bearing: Bearing) -> usize {
        self.must.iter().filter(|row| row.arc().contains(bearing)).count()
    }

    /// Whether any may, within the limits of practical cut-off.
    fn allows(&self, bearing: Bearing) -> bool {
        let outside = |row: &SectorRow| self.surveyed.judgement.rules.allowed_outside(row, bearing);
        self.must.iter().chain(&self.may).any(|row| row.arc().depth(bearing) >= -outside(row).max(1e-9))
    }
}
