//! What a scene says of the wiring: battery, panel, circuits, the ways that cables take, and what each lamp takes.
//!
//! Takes nothing but the words of the scene; lamps and switches are told by name, as the fit has them. Must never work
//! out a length, a size or a drop.

use serde::Serialize;

use super::Place;
use crate::measure::{AmpHours, Amps, Hours, Metres, Volts, Watts};

/// What a lamp takes from its supply.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Takes {
    Watts(Watts),
    Amps(Amps),
}

impl Takes {
    /// The current at a voltage that suits the lamp.
    pub fn amps(self, at: Volts) -> Amps {
        match self {
            Self::Watts(watts) => Amps(watts.0 / at.0),
            Self::Amps(amps) => amps,
        }
    }
}

/// The wiring of a fit.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Wiring {
    pub battery: Battery,
    /// Rated current; `None` where none is told.
    pub main_fuse: Option<Amps>,
    /// Where the panel of fuses and switches is.
    pub panel: Place,
    /// The cable from the battery to the panel.
    pub feed: Leg,
    pub circuits: Vec<Circuit>,
    /// The cables from the panel to lamps that are told; others take the usual way.
    pub routes: Vec<Route>,
    pub conductors: Conductors,
    /// Whether the hull is of a metal that a bare wire could touch.
    pub metal_hull: bool,
    /// How long a night at anchor is; `None` where nothing is said.
    pub night: Option<Hours>,
    /// The share of what the battery holds that may be taken out; `None` where nothing is said.
    pub discharge: Option<f64>,
}

/// The battery that the lamps are fed from.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Battery {
    pub at: Place,
    /// Nominal.
    pub volts: Volts,
    pub amp_hours: AmpHours,
}

/// Lamps behind one fuse.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Circuit {
    pub name: String,
    /// The switch of the fit that it is on; `None` where it follows from the lamps.
    pub switch: Option<String>,
    /// Rated current; `None` where none is told.
    pub fuse: Option<Amps>,
    /// By name, at least one.
    pub lamps: Vec<String>,
}

/// The way of the cable to one lamp.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Route {
    pub lamp: String,
    pub leg: Leg,
}

/// The way of one cable, and the conductors in it.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Leg {
    /// Places it passes, in order, straight in between; none for the usual way, along the boat, across and up.
    pub through: Vec<Place>,
    /// Length left over for both ends; `None` for what the conductors say.
    pub spare: Option<Metres>,
    /// Whether any of it lies in an engine space.
    pub engine_space: bool,
    /// `None` where it is to be chosen.
    pub size: Option<Size>,
}

/// The size of a conductor as it is sold.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Size {
    /// American wire gauge: 16, 14, ..., 1, then 0 for 1/0, -1 for 2/0, -2 for 3/0, -3 for 4/0.
    Awg(i8),
    /// Cross-section in square millimetres.
    Metric(f64),
}

impl Size {
    /// "16 AWG", "2/0 AWG", "2.5 mm²".
    pub fn in_words(self) -> String {
        match self {
            Self::Awg(gauge @ 1..) => format!("{gauge} AWG"),
            Self::Awg(aughts) => format!("{}/0 AWG", 1 - i16::from(aughts)),
            Self::Metric(area) => format!("{} mm²", crate::measure::trimmed(area, 2)),
        }
    }
}

/// Which sizes conductors are chosen from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Sizes {
    #[default]
    Awg,
    Metric,
}

/// What the strands are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Copper {
    #[default]
    Tinned,
    Plain,
}

/// What all conductors have in common.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Conductors {
    pub sizes: Sizes,
    pub copper: Copper,
    /// The temperature that the insulation is rated for, degrees Celsius; `None` where nothing is said.
    pub insulation: Option<u32>,
    /// Length left over for both ends of each cable; `None` where nothing is said.
    pub spare: Option<Metres>,
}

impl Wiring {
    /// The way of the cable to a lamp, where it is told.
    pub fn route(&self, lamp: &str) -> Option<&Leg> {
        self.routes.iter().find(|route| route.lamp == lamp).map(|route| &route.leg)
    }
}
