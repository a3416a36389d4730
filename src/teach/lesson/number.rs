//! Questions answered by a number: degrees of a sector, a shadow or a lane, points, miles.
//!
//! Takes what is measured and the situation; gives the figure that the survey or the rules have. Must never round what it
//! compares.

use super::question::Verdict;
use crate::{
    light::{Colour, Colours, luminous_range},
    measure::{Arc, Bearing, DEGREES_PER_POINT, Degrees, counted, trimmed},
    rules::{LightKind, international},
    survey::{told_apart, weather},
    teach::Situation,
};

/// What is measured.
#[derive(Clone, Debug, PartialEq)]
pub enum Measure {
    /// The arc of a kind of light, by the rules.
    Sector(LightKind),
    /// The same in points.
    SectorPoints(LightKind),
    /// The observer's bearing, the shorter way from right ahead, in points.
    BearingPoints,
    /// The widest shadow of a lamp, half shadow included.
    Shadow(String),
    /// Ahead: the strip in which neither sidelight is made out from as far off as the observer is.
    DarkLane,
    /// Ahead: the strip in which both are.
    DoubleLane,
    /// The bearing at which a colour begins to be made out, clockwise.
    From(Colour),
    /// The bearing at which it ceases.
    To(Colour),
    /// Over how many degrees a colour is made out, all arcs together.
    Width(Colour),
    /// How far off a lamp is made out on the observer's bearing in this weather.
    Reach(String),
    /// How far off two lamps are told apart on the observer's bearing.
    ToldApart(String, String),
}

/// Why a measure has no one value: what is wrong, and how to mend it.
pub(super) type Unmeasured = (String, &'static str);

/// A lane lies within this many degrees of right ahead.
const AHEAD: f64 = 45.0;

impl Measure {
    pub fn unit(&self) -> &'static str {
        match self {
            Self::SectorPoints(_) | Self::BearingPoints => "points",
            Self::Reach(_) | Self::ToldApart(..) => "nautical miles",
            _ => "degrees",
        }
    }

    /// The figure, in its unit.
    ///
    /// # Errors
    /// Where there is nothing of the kind to measure, or more than one.
    pub fn value(&self, situation: &Situation) -> Result<f64, Unmeasured> {
        match self {
            Self::Sector(kind) => sector(*kind),
            Self::SectorPoints(kind) => sector(*kind).map(|degrees| degrees / DEGREES_PER_POINT),
            Self::BearingPoints => Ok(situation.station.bearing.clockwise_of(Bearing::AHEAD).abs() / DEGREES_PER_POINT),
            Self::Shadow(lamp) => shadow(lamp, situation),
            Self::DarkLane => lane(situation, false),
            Self::DoubleLane => lane(situation, true),
            Self::From(colour) => only_arc(*colour, situation).map(|arc| arc.from.degrees()),
            Self::To(colour) => only_arc(*colour, situation).map(|arc| arc.to().degrees()),
            Self::Width(colour) => Ok(shown(*colour, situation).iter().map(|arc| arc.width).sum()),
            Self::Reach(lamp) => reach(lamp, situation),
            Self::ToldApart(lamp, other) => apart(lamp, other, situation),
        }
    }

    /// Whether it goes round the compass, so that 359 and 1 are near.
    fn is_bearing(&self) -> bool {
        matches!(self, Self::From(_) | Self::To(_))
    }

    /// How far an answer is from a figure.
    fn off(&self, answer: f64, figure: f64) -> f64 {
        if self.is_bearing() {
            Bearing::new(answer).clockwise_of(Bearing::new(figure)).abs()
        } else {
            (answer - figure).abs()
        }
    }
}

pub(super) fn verdict(measure: &Measure, within: f64, answer: f64, situation: &Situation) -> Verdict {
    match measure.value(situation) {
        Ok(figure) => {
            let right = answer.is_finite() && measure.off(answer, figure) <= within + 1e-9;
            let unit = measure.unit().trim_end_matches('s');
            let told = counted(figure, if unit == "nautical mile" { 2 } else { 1 }, unit);
            let why = format!("It comes to {told}; within {} counts as right.", trimmed(within, 2));
            Verdict { right, why }
        }
        Err((why, _)) => Verdict { right: false, why },
    }
}

fn sector(kind: LightKind) -> Result<f64, Unmeasured> {
    let row = international().sector(kind);
    row.map(|row| row.arc().width)
        .ok_or_else(|| (format!("the rules know no {}", kind.in_words()), "name another light"))
}

fn shadow(lamp: &str, situation: &Situation) -> Result<f64, Unmeasured> {
    let light = situation.light(lamp).ok_or_else(|| not_lit(lamp))?;
    let widest = situation.shadows(light).into_iter().map(|arc| arc.width).fold(0.0, f64::max);
    if widest > 0.0 { Ok(widest) } else { Err((format!("nothing hides \"{lamp}\""), "ask of another lamp or fit")) }
}

fn not_lit(lamp: &str) -> Unmeasured {
    (format!("\"{lamp}\" is not lit in this status"), "ask of another lamp, or change the status")
}

/// The arc about right ahead in which both sidelights are made out, or neither is; nought where there is none.
fn lane(situation: &Situation, both: bool) -> Result<f64, Unmeasured> {
    let sides: Colours = [Colour::Red, Colour::Green].into_iter().collect();
    let arcs = situation.arcs(|bearing, showing| {
        let shown = sides.iter().filter(|colour| showing.contains(*colour)).count();
        bearing.clockwise_of(Bearing::AHEAD).abs() < AHEAD && shown == if both { 2 } else { 0 }
    });
    Ok(arcs.iter().map(|arc| arc.width).sum())
}

fn shown(colour: Colour, situation: &Situation) -> Vec<Arc> {
    situation.arcs(|_, showing| showing.contains(colour))
}

fn only_arc(colour: Colour, situation: &Situation) -> Result<Arc, Unmeasured> {
    match shown(colour, situation).as_slice() {
        [arc] if arc.width < 360.0 => Ok(*arc),
        [] => Err((format!("{colour} is made out nowhere"), "ask of another colour or fit")),
        [_] => Err((format!("{colour} is made out all round and has no edge"), "ask of another colour or fit")),
        _ => Err((format!("{colour} is made out in several arcs, with an edge each"), "ask for its whole width")),
    }
}

fn reach(lamp: &str, situation: &Situation) -> Result<f64, Unmeasured> {
    let light = situation.light(lamp).ok_or_else(|| not_lit(lamp))?;
    let candela = situation.stance().toward(light, situation.station.bearing, Degrees(0.0)).candela();
    if candela.0 <= 0.0 {
        return Err((format!("\"{lamp}\" sends no light to where the eye is"), "put the eye where it shows"));
    }
    Ok(luminous_range(candela, weather(&situation.scene)).0)
}

fn apart(lamp: &str, other: &str, situation: &Situation) -> Result<f64, Unmeasured> {
    let own = situation.light(lamp).ok_or_else(|| not_lit(lamp))?;
    let second = situation.light(other).ok_or_else(|| not_lit(other))?;
    let separation = situation.stance().separation(own.lamp, second.lamp, situation.station.bearing);
    // What an eye separates: a minute of arc, the figure of the rule set.
    let minutes = international().cutoff.pair_minutes;
    Ok(told_apart(separation, Degrees(minutes / 60.0)).0)
}
