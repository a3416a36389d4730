//! Finds free room for labels among lines, lights and other labels, so that nothing is written over anything.
//!
//! Takes what is drawn already, in millimetres of the page; gives where a label may stand. Must never know what it says.

use crate::sheet::pen::Spot;

/// Between a label and whatever it must not touch.
const CLEAR: f64 = 0.35;

/// An upright rectangle of the page: its left and top edge, its right and bottom edge.
#[derive(Clone, Copy)]
pub(super) struct Area {
    from: Spot,
    to: Spot,
}

impl Area {
    /// The rectangle between two corners.
    pub fn between(one: Spot, other: Spot) -> Self {
        Self { from: (one.0.min(other.0), one.1.min(other.1)), to: (one.0.max(other.0), one.1.max(other.1)) }
    }

    fn meets(&self, other: &Self) -> bool {
        let apart = |a: f64, b: f64| a + CLEAR <= b;
        !(apart(self.to.0, other.from.0)
            || apart(other.to.0, self.from.0)
            || apart(self.to.1, other.from.1)
            || apart(other.to.1, self.from.1))
    }
}

/// What is taken of the page.
#[derive(Default)]
pub(super) struct Taken(Vec<Area>);

impl Taken {
    pub fn take(&mut self, area: Area) {
        self.0.push(area);
    }

    /// The first of some places whose area is free, or the first of all where none is; it is taken from then on.
    pub fn settle(&mut self, places: &[Spot], area: impl Fn(Spot) -> Area) -> Option<Spot> {
        let free = |spot: &&Spot| !self.0.iter().any(|taken| taken.meets(&area(**spot)));
        let spot = *places.iter().find(free).or(places.first())?;
        self.take(area(spot));
        Some(spot)
    }
}
