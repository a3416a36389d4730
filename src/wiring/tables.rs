//! The tables that wiring goes by: conductors with their areas, resistances and currents, and the figures that are kept.
//!
//! Read from `assets/wiring`, where each has its source. Must never know of a scene.

use std::sync::LazyLock;

use serde::{Deserialize, de::DeserializeOwned};

use crate::{
    boat::wiring::{Copper, Size, Sizes},
    fitting::data::Figure,
    measure::Amps,
};

/// The figures that wiring is worked out by; the file says of each what it is.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    pub k: Figure,
    pub drop: Figure,
    pub feed_share: Figure,
    pub least_awg: Figure,
    pub least_mm2: Figure,
    pub warm: Figure,
    pub fuse_over: Figure,
    pub main_over: Figure,
    pub fuse_from_battery: Figure,
    pub spare: Figure,
    pub clip: Figure,
    pub bend: Figure,
    pub night: Figure,
    pub discharge: Figure,
    pub watts_under_12: Figure,
    pub watts: Figure,
    pub volts: Figure,
    pub amp_hours: Figure,
    fuses: (Vec<f64>, String),
}

impl Rules {
    /// The smallest fuse that is sold with at least this rating.
    pub fn fuse_of(&self, least: Amps) -> Option<Amps> {
        self.fuses.0.iter().copied().find(|rating| *rating >= least.0 - 1e-9).map(Amps)
    }

    /// The greatest fuse that is sold with at most this rating.
    pub fn fuse_up_to(&self, most: Amps) -> Option<Amps> {
        self.fuses.0.iter().copied().rfind(|rating| *rating <= most.0 + 1e-9).map(Amps)
    }
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Conductors {
    insulations: Vec<u32>,
    engine_space: Vec<f64>,
    awg: Vec<Gauge>,
    metric: Vec<Section>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Gauge {
    gauge: i8,
    mils: f64,
    amps: Vec<f64>,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Section {
    area: f64,
    plain: f64,
    tinned: f64,
}

static RULES: LazyLock<Rules> = LazyLock::new(|| read(include_str!("../../assets/wiring/rules.ron"), "rules.ron"));
static CONDUCTORS: LazyLock<Conductors> =
    LazyLock::new(|| read(include_str!("../../assets/wiring/conductors.ron"), "conductors.ron"));

fn read<T: DeserializeOwned>(text: &str, file: &str) -> T {
    ron::from_str(text).unwrap_or_else(|error| panic!("the built-in {file}: {error}"))
}

pub fn rules() -> &'static Rules {
    &RULES
}

/// The insulations that currents are known for, rising, in degrees Celsius.
pub fn insulations() -> &'static [u32] {
    &CONDUCTORS.insulations
}

/// All sizes of a series, rising.
pub fn sizes(series: Sizes) -> impl Iterator<Item = Size> {
    let awg = CONDUCTORS.awg.iter().filter(move |_| series == Sizes::Awg).map(|row| Size::Awg(row.gauge));
    let metric = CONDUCTORS.metric.iter().filter(move |_| series == Sizes::Metric).map(|row| Size::Metric(row.area));
    awg.chain(metric)
}

/// The least area of a gauge in circular mils.
pub fn mils(gauge: i8) -> Option<f64> {
    CONDUCTORS.awg.iter().find(|row| row.gauge == gauge).map(|row| row.mils)
}

/// The greatest resistance of a metric conductor at 20 degrees, ohms per kilometre.
pub fn ohms_per_kilometre(area: f64, copper: Copper) -> Option<f64> {
    let row = CONDUCTORS.metric.iter().find(|row| (row.area - area).abs() < 1e-9)?;
    Some(if copper == Copper::Tinned { row.tinned } else { row.plain })
}

/// The current that a gauge may carry steadily; `None` for a gauge or an insulation that is not in the table.
pub fn amps(gauge: i8, insulation: u32, engine_space: bool) -> Option<Amps> {
    let column = CONDUCTORS.insulations.iter().position(|one| *one == insulation)?;
    let row = CONDUCTORS.awg.iter().find(|row| row.gauge == gauge)?;
    let factor = if engine_space { *CONDUCTORS.engine_space.get(column)? } else { 1.0 };
    Some(Amps(row.amps.get(column)? * factor))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_rises_and_is_whole() {
        let columns = CONDUCTORS.insulations.len();
        assert_eq!(CONDUCTORS.engine_space.len(), columns);
        assert!(CONDUCTORS.insulations.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(CONDUCTORS.awg.iter().all(|row| row.amps.len() == columns));
        for pair in CONDUCTORS.awg.windows(2) {
            assert!(pair[0].mils < pair[1].mils && pair[0].gauge > pair[1].gauge);
            assert!(pair[0].amps.iter().zip(&pair[1].amps).all(|(less, more)| less < more));
        }
        assert!(CONDUCTORS.awg.iter().all(|row| row.amps.windows(2).all(|pair| pair[0] <= pair[1])));
        assert!(CONDUCTORS.metric.windows(2).all(|pair| pair[0].area < pair[1].area && pair[0].plain > pair[1].plain));
        assert!(CONDUCTORS.metric.iter().all(|row| row.plain < row.tinned));
        assert!(RULES.fuses.0.windows(2).all(|pair| pair[0] < pair[1]));
    }
}
