//! A night at anchor: what the lamps then lit take out of the battery.
//!
//! Takes what each lamp takes and how long the night is; gives ampere-hours. Must never know what else the battery feeds.

use super::{Taken, tables::rules};
use crate::{
    boat::{Fit, Status, wiring::Wiring},
    measure::{AmpHours, Amps, Hours},
};

/// A night at anchor.
#[derive(Clone, Debug, PartialEq)]
pub struct Night {
    /// The lamps that are lit at anchor, by name.
    pub lamps: Vec<String>,
    pub amps: Amps,
    pub hours: Hours,
    /// Whether the length of the night is assumed.
    pub hours_assumed: bool,
    /// What they take in the night.
    pub needs: AmpHours,
    /// The share of the battery that may be taken out.
    pub discharge: f64,
    pub discharge_assumed: bool,
    /// What the battery may give.
    pub has: AmpHours,
}

impl Night {
    pub fn lasts(&self) -> bool {
        self.needs.0 <= self.has.0 + 1e-9
    }

    /// How long the battery feeds them; `None` where nothing is lit.
    pub fn feeds_for(&self) -> Option<Hours> {
        (self.amps.0 > 0.0).then(|| Hours(self.has.0 / self.amps.0))
    }
}

pub(super) fn at_anchor(fit: &Fit, wiring: &Wiring, draws: &[Taken]) -> Night {
    let lit = || fit.lamps.iter().zip(draws).filter(|(lamp, _)| lamp.lit.contains(&Status::AtAnchor));
    let amps = Amps(lit().map(|(_, taken)| taken.amps.0).sum());
    let hours = wiring.night.unwrap_or(Hours(rules().night.value));
    let discharge = wiring.discharge.unwrap_or(rules().discharge.value);
    Night {
        lamps: lit().map(|(lamp, _)| lamp.name.clone()).collect(),
        amps,
        hours,
        hours_assumed: wiring.night.is_none(),
        needs: AmpHours(amps.0 * hours.0),
        discharge,
        discharge_assumed: wiring.discharge.is_none(),
        has: AmpHours(wiring.battery.amp_hours.0 * discharge),
    }
}
