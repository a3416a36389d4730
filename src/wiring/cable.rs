//! One cable of two conductors, out and back: its length, its size and what it loses.
//!
//! Takes the way, the current, the fuse before it and what may be lost; gives the size that was told, or the least that
//! will do by drop, by current and by what is laid at all. Must never know what the lamp makes of it.

use super::{
    conductor::{ampacity, area, drop, is_smaller, least_for_drop, least_laid},
    route::{self, Loop},
    tables::{self, rules},
};
use crate::{
    boat::{
        Fit, Lamp, Scene,
        wiring::{Leg, Size, Sizes, Wiring},
    },
    measure::{Amps, Metres, Volts},
};

/// A fuse: what the scene tells, and what would do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fuse {
    /// `None` where the scene tells none.
    pub told: Option<Amps>,
    /// The least that carries the steady current with a margin.
    pub proposed: Amps,
}

impl Fuse {
    pub(super) fn new(told: Option<Amps>, least: Amps) -> Self {
        Self { told, proposed: rules().fuse_of(least).unwrap_or(least) }
    }

    /// What conductors are chosen for.
    pub fn rating(&self) -> Amps {
        self.told.unwrap_or(self.proposed)
    }
}

/// One cable.
#[derive(Clone, Debug, PartialEq)]
pub struct Cable {
    /// Its way, without what is left over.
    pub one_way: Metres,
    /// What loops at joints add to that.
    pub looped: Metres,
    /// Left over for both ends.
    pub spare: Metres,
    pub amps: Amps,
    pub engine_space: bool,
    pub size: Size,
    /// Whether the scene tells the size.
    pub told: bool,
    /// The least gauge and the least metric size that would do; `None` where none of the table does.
    pub least_awg: Option<Size>,
    pub least_metric: Option<Size>,
    /// Lost in this cable.
    pub drop: Volts,
    /// The most that it may lose.
    pub allowed: Volts,
    /// What its conductors may carry; `None` where the table has no such current.
    pub carries: Option<Amps>,
}

impl Cable {
    /// The length of cable to cut: each of its two conductors is as long.
    pub fn cut(&self) -> Metres {
        Metres(self.one_way.0 + self.looped.0 + self.spare.0)
    }

    /// The length of conductor out and back.
    pub fn out_and_back(&self) -> Metres {
        Metres(2.0 * self.cut().0)
    }
}

/// What cables are worked out from.
pub(super) struct Job<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub wiring: &'a Wiring,
    /// Degrees Celsius, one of the table's.
    pub insulation: u32,
    pub loops: &'a [Loop],
}

impl Job<'_> {
    /// The cable from the battery to the panel. Chosen, it takes no more than its share of the drop.
    pub fn feed(&self, amps: Amps, fuse: &Fuse) -> Cable {
        let [from, to] = [&self.wiring.battery.at, &self.wiring.panel].map(|place| self.scene.vessel.locate(place));
        let leg = &self.wiring.feed;
        let allowed = Volts(self.wiring.battery.volts.0 * rules().drop.value * rules().feed_share.value);
        self.cable(route::through(self.scene, leg, from, to), Metres(0.0), leg, amps, fuse, allowed)
    }

    /// The cable from the panel to a lamp.
    pub fn to_lamp(&self, index: usize, lamp: &Lamp, leg: &Leg, amps: Amps, fuse: &Fuse, allowed: Volts) -> Cable {
        let panel = self.scene.vessel.locate(&self.wiring.panel);
        let looped = self.loops.iter().find(|one| one.lamp == index).map_or(Metres(0.0), Loop::added);
        self.cable(route::to_lamp(self.scene, lamp, leg, panel), looped, leg, amps, fuse, allowed)
    }

    fn cable(&self, one_way: Metres, looped: Metres, leg: &Leg, amps: Amps, fuse: &Fuse, allowed: Volts) -> Cable {
        let conductors = &self.wiring.conductors;
        let spare = leg.spare.or(conductors.spare).unwrap_or(Metres(rules().spare.value));
        let length = Metres(2.0 * (one_way.0 + looped.0 + spare.0));
        let carries = |size: Size| ampacity(size, self.insulation, leg.engine_space);
        let least = |series: Sizes| {
            let by_drop = least_for_drop(series, conductors.copper, amps, length, allowed)?;
            let most = amps.0.max(fuse.rating().0);
            let does = |size: &Size| {
                !is_smaller(*size, by_drop)
                    && !is_smaller(*size, least_laid(series))
                    && carries(*size).is_some_and(|carried| carried.0 >= most - 1e-9)
            };
            tables::sizes(series).find(does)
        };
        let (least_awg, least_metric) = (least(Sizes::Awg), least(Sizes::Metric));
        let chosen = if conductors.sizes == Sizes::Awg { least_awg } else { least_metric };
        // Where none is thick enough the thickest stands, and a finding tells so.
        let thickest = tables::sizes(conductors.sizes).last().unwrap_or(least_laid(conductors.sizes));
        // A size that is in no table is told as a finding; nothing can be worked out by it.
        let told = leg.size.filter(|size| area(*size).is_some());
        let size = told.or(chosen).unwrap_or(thickest);
        Cable {
            one_way,
            looped,
            spare,
            amps,
            engine_space: leg.engine_space,
            size,
            told: told.is_some(),
            least_awg,
            least_metric,
            drop: drop(size, conductors.copper, amps, length).unwrap_or_default(),
            allowed,
            carries: carries(size),
        }
    }
}
