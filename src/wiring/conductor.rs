//! What a conductor loses and what it may carry, and the least that will do.
//!
//! Takes currents, lengths and sizes; gives volts, amperes and sizes. Must never know what is at the end of the cable.

use super::tables::{self, rules};
use crate::{
    boat::wiring::{Copper, Size, Sizes},
    measure::{Amps, Metres, Volts},
};

/// Metres in a foot (exact by definition).
pub const METRES_PER_FOOT: f64 = 0.3048;

/// Square millimetres in a circular mil: a circle one thousandth of an inch across.
pub const MM2_PER_MIL: f64 = 0.0254 * 0.0254 * std::f64::consts::PI / 4.0;

/// The area that keeps a drop, in circular mils: `K I L / E`, the length out and back.
pub fn needed_mils(amps: Amps, out_and_back: Metres, drop: Volts) -> f64 {
    rules().k.value * amps.0 * (out_and_back.0 / METRES_PER_FOOT) / drop.0
}

/// The diameter of a solid wire of a gauge in millimetres: `0.127 * 92^((36 - n) / 39)`, with 0 for 1/0, -1 for 2/0.
/// Source: ASTM B258, as told in public references.
pub fn solid_diameter(gauge: i8) -> f64 {
    0.127 * 92f64.powf((36.0 - f64::from(gauge)) / 39.0)
}

/// The area of copper that it has at least by its name, in square millimetres; `None` for a size that is not in the
/// tables.
pub fn area(size: Size) -> Option<f64> {
    match size {
        Size::Awg(gauge) => tables::mils(gauge).map(|mils| mils * MM2_PER_MIL),
        Size::Metric(area) => tables::ohms_per_kilometre(area, Copper::Plain).map(|_| area),
    }
}

/// Ohms of a metre of conductor, warm; `None` for a size that is not in the tables. For gauges by the trade's formula,
/// which makes no difference between plain and tinned strands; for metric sizes the greatest that IEC 60228 allows.
pub fn ohms_per_metre(size: Size, copper: Copper) -> Option<f64> {
    match size {
        Size::Awg(gauge) => tables::mils(gauge).map(|mils| rules().k.value / mils / METRES_PER_FOOT),
        Size::Metric(area) => tables::ohms_per_kilometre(area, copper).map(|ohms| ohms / 1000.0 / rules().warm.value),
    }
}

/// What is lost on the way out and back.
pub fn drop(size: Size, copper: Copper, amps: Amps, out_and_back: Metres) -> Option<Volts> {
    ohms_per_metre(size, copper).map(|ohms| Volts(ohms * out_and_back.0 * amps.0))
}

/// What it may carry steadily. For metric sizes no table was at hand: the current of the greatest gauge that has no more
/// copper.
pub fn ampacity(size: Size, insulation: u32, engine_space: bool) -> Option<Amps> {
    match size {
        Size::Awg(gauge) => tables::amps(gauge, insulation, engine_space),
        Size::Metric(section) => {
            let no_larger = |size: &Size| area(*size).is_some_and(|area| area <= section + 1e-9);
            let gauge = tables::sizes(Sizes::Awg).take_while(no_larger).last()?;
            area(size).and(ampacity(gauge, insulation, engine_space))
        }
    }
}

/// The smallest size of a series that is laid by itself.
pub fn least_laid(series: Sizes) -> Size {
    match series {
        Sizes::Awg => Size::Awg(rules().least_awg.value as i8),
        Sizes::Metric => Size::Metric(rules().least_mm2.value),
    }
}

/// Which series a size is of.
pub fn series(size: Size) -> Sizes {
    if matches!(size, Size::Awg(_)) { Sizes::Awg } else { Sizes::Metric }
}

/// Whether one size has less copper than another; a size that is not in the tables counts as none.
pub fn is_smaller(size: Size, than: Size) -> bool {
    area(size).unwrap_or(0.0) < area(than).unwrap_or(0.0) - 1e-9
}

/// The least size of a series that loses no more than a drop, whatever its name; `None` where none is thick enough.
pub fn least_for_drop(series: Sizes, copper: Copper, amps: Amps, out_and_back: Metres, most: Volts) -> Option<Size> {
    // The comparison by area and by drop is one for gauges: the drop is the formula turned round.
    let keeps = |size: &Size| drop(*size, copper, amps, out_and_back).is_some_and(|lost| lost.0 <= most.0 + 1e-12);
    tables::sizes(series).find(keeps)
}
