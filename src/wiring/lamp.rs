//! What a lamp takes, and what light it gives at the voltage that the cables leave it.
//!
//! Takes a lamp, the vessel and a voltage; gives amperes, candela and miles. What is assumed where the scene is silent
//! is said. The lamp is held alone against the rules, upright and unhidden: what hides it is the survey's to say.

use super::tables::rules;
use crate::{
    boat::{Lamp, Takes, Vessel},
    light::{Weather, luminous_range, supply::Dependence},
    measure::{Amps, Candela, NauticalMiles, Volts, Watts, trimmed},
    rules::{Rules, offers},
};

/// What a lamp takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    pub amps: Amps,
    /// "10 W", "0.8 A".
    pub words: String,
    pub assumed: bool,
}

/// What a lamp takes at the voltage of the battery.
pub fn taken(lamp: &Lamp, vessel: &Vessel, battery: Volts) -> Taken {
    let usual = if vessel.length.0 < 12.0 { &rules().watts_under_12 } else { &rules().watts };
    let takes = lamp.takes.unwrap_or(Takes::Watts(Watts(usual.value)));
    let words = match takes {
        Takes::Watts(watts) => format!("{} W", trimmed(watts.0, 2)),
        Takes::Amps(amps) => format!("{} A", trimmed(amps.0, 3)),
    };
    Taken { amps: takes.amps(battery), words, assumed: lamp.takes.is_none() }
}

/// How the light of a lamp depends on voltage, and whether that is assumed: a filament of the battery's voltage, which
/// dims the most.
pub fn dependence(lamp: &Lamp, battery: Volts) -> (Dependence, bool) {
    match &lamp.optics.supply {
        Some(supply) => (supply.dependence().clone(), false),
        None => (Dependence::Filament { rated: battery }, true),
    }
}

/// The light of a lamp at a voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Of its full light.
    pub share: f64,
    /// The greatest least intensity that it keeps over its sector; of several colours the one that is weakest against
    /// what is due.
    pub keeps: Candela,
    /// How far off that is made out, in the weather of Annex I 8.
    pub range: NauticalMiles,
    /// What is due of it on this vessel.
    pub due: Candela,
    pub due_range: NauticalMiles,
    /// The least voltage that would do, where more would cure it and its law tells.
    pub wants: Option<Volts>,
}

impl Light {
    pub fn is_enough(&self) -> bool {
        self.keeps.0 >= self.due.0 * (1.0 - 1e-6)
    }

    /// Whether the lamp would do at its full light.
    pub fn would_do(&self) -> bool {
        self.keeps.0 / self.share >= self.due.0 * (1.0 - 1e-6)
    }
}

/// What a lamp gives at a voltage against what the rules ask; `None` where its law does not tell of that voltage, or the
/// rules ask nothing of such a light on such a vessel.
pub fn light(lamp: &Lamp, vessel: &Vessel, battery: Volts, at: Volts, asked: &Rules) -> Option<Light> {
    let (law, _) = dependence(lamp, battery);
    let share = law.share(at)?;
    // The beams stand at the voltage that the scene tells.
    let now = lamp.optics.supply.as_ref().map_or(1.0, |supply| supply.share());
    let times = if now > 0.0 { share / now } else { 0.0 };
    let held = lamp.optics.beams.iter().filter_map(|beam| {
        let all = offers(&beam.dimmed(times), asked);
        let fits =
            |offer: &&crate::rules::Offer| offer.kind().served_by(lamp.role) && offer.lengths.holds(vessel.length.0);
        let offer = all.iter().find(fits)?;
        Some((offer.weakest.keeps(), offer.due, offer.range))
    });
    let (keeps, due, due_range) = held.min_by(|one, other| (one.0.0 / one.1.0).total_cmp(&(other.0.0 / other.1.0)))?;
    let wants = if keeps.0 > 0.0 { law.least_for(share * due.0 / keeps.0) } else { None };
    let range = luminous_range(keeps, Weather::PRESCRIBED);
    Some(Light { share, keeps, range, due, due_range, wants: wants.map(|volts| law.rounded_up(volts)) })
}
