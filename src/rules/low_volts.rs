//! A light that is too weak only because its lamp gets too little voltage.
//!
//! Takes a view of the light and what its lamp is supplied with; gives what it gets and what would do, in words. Must
//! never know why the voltage is low.

use super::{sector::within, view::View};
use crate::{
    light::supply::{Supply, volts},
    measure::{Arc, Degrees, Volts},
};

/// What a lamp gets at its terminals, and the least that would do.
#[derive(Clone, Copy)]
pub(super) struct LowVolts {
    at: Volts,
    /// A round figure that is enough.
    due: Volts,
}

/// What the lamp lacks within an arc, where no more than the voltage of its full light would cure it.
pub(super) fn low_volts(view: &View, supply: &Supply, arc: Arc, elevation: Degrees) -> Option<LowVolts> {
    let share = if elevation.0.abs() > view.vertical.full { view.vertical.share } else { 1.0 };
    let wanting = within(arc).map(|bearing| {
        let due = if elevation.0 == 0.0 { view.due(bearing).0 } else { view.minimum.0 * share };
        due / view.at(view.survey.rest(), bearing, elevation).1.candela().0
    });
    let due = supply.least_for_times(wanting.fold(0.0, f64::max))?;
    let low = LowVolts { at: supply.at(), due: supply.dependence().rounded_up(due) };
    (supply.at() < due && due <= supply.dependence().full()).then_some(low)
}

/// What is to be said after "too weak"; nothing where voltage is not what it lacks.
pub(super) fn what(low: Option<LowVolts>) -> String {
    low.map_or(String::new(), |low| format!(" at the {} that it gets; at full voltage it would do", volts(low.at)))
}

/// How to mend it: more voltage, or another lamp.
pub(super) fn mend(low: Option<LowVolts>, lamp: &str) -> String {
    let Some(low) = low else { return format!("Fit {lamp}.") };
    format!("Bring at least {} to it: heavier wires, a shorter run, sound joints. Or fit {lamp}.", volts(low.due))
}
