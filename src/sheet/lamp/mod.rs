//! The sheet of one lamp alone: its cuts and what it can serve as, as text and as a drawing.
//!
//! Takes a [`LampSheet`] that was worked out before; gives text or SVG. Must never read a file or judge.

mod drawing;
mod text;

use crate::{
    light::Beam,
    measure::{Bearing, Candela, Degrees, counted, trimmed},
    rules::{Edge, Offer},
};

pub use drawing::drawing;
pub use text::text;

/// A lamp alone, upright and parallel to the centreline.
pub struct LampSheet<'a> {
    /// What the file is called.
    pub name: &'a str,
    pub beam: &'a Beam,
    /// How the file was read, in sentences.
    pub notes: &'a [String],
    /// Where it is brightest.
    pub peak: (Bearing, Degrees, Candela),
    /// Everything that a light of its colour can be.
    pub offers: &'a [Offer<'a>],
}

impl LampSheet<'_> {
    /// Whether it can serve as anything.
    pub fn serves(&self) -> bool {
        self.offers.iter().any(Offer::serves)
    }

    /// The offer that its limits are drawn of: of those that it can serve the one with the widest sector, and of that
    /// the longest range; where there is none, the one it comes nearest to.
    fn shown(&self) -> Option<&Offer<'_>> {
        let width = |offer: &Offer| offer.sector.arc().width;
        let served = self.offers.iter().filter(|offer| offer.serves());
        let best = served.max_by(|a, b| width(a).total_cmp(&width(b)).then(a.range.0.total_cmp(&b.range.0)));
        let well_cut = |offer: &Offer| u8::from(offer.edge.is_none());
        let nearest = |a: &&Offer, b: &&Offer| {
            let strong = a.ratio().min(1.0).total_cmp(&b.ratio().min(1.0));
            strong.then(well_cut(a).cmp(&well_cut(b))).then(b.range.0.total_cmp(&a.range.0))
        };
        best.or_else(|| self.offers.iter().max_by(nearest))
    }
}

/// Candela with three figures that count.
fn candela(value: Candela) -> String {
    let places = if value.0 >= 100.0 { 0 } else { (2.0 - value.0.max(1e-3).log10().floor()).clamp(0.0, 4.0) as usize };
    format!("{} cd", trimmed(value.0, places))
}

/// "level", "5 degrees above level".
fn height(elevation: Degrees) -> String {
    match elevation.0 {
        angle if angle.abs() < 1e-9 => "level".into(),
        angle if angle > 0.0 => format!("{} above level", counted(angle, 1, "degree")),
        angle => format!("{} below level", counted(-angle, 1, "degree")),
    }
}

/// Whether it can serve, by how much, and where it is weakest.
fn verdict(offer: &Offer) -> String {
    let weakest = offer.weakest;
    let share =
        if weakest.share < 1.0 { format!(" of {} due there", share_of(offer, weakest.share)) } else { String::new() };
    let place = format!("{}{share} on {}, {}", candela(weakest.candela), weakest.bearing, height(weakest.elevation));
    let ratio = offer.ratio();
    let measure = if ratio >= 1.0 - 1e-6 {
        format!("its least is {} times what is due: {place}", trimmed(ratio, 2))
    } else {
        format!("its least is {} percent of what is due: {place}", trimmed((ratio * 100.0).floor(), 0))
    };
    let edge = match offer.edge {
        None => String::new(),
        Some(Edge::Spills { bearing, candela: given, most }) => {
            format!("; it shows {} on {bearing}, where at most {} may be left", candela(given), candela(most))
        }
        Some(Edge::EndsSoon { bearing }) => format!("; it is dark on {bearing} already, where it must still show"),
    };
    let sailing = match (offer.sailing, offer.serves_sailing()) {
        (None, _) => String::new(),
        (Some(_), served) if served == offer.serves() => "; under sail too".into(),
        (Some(_), true) => "; enough under sail, whose vertical sector asks a lower share".into(),
        (Some(weakest), false) => format!(
            "; not under sail: {} on {}, {}",
            candela(weakest.candela),
            weakest.bearing,
            height(weakest.elevation)
        ),
    };
    format!("{measure}{edge}{sailing}.")
}

fn share_of(offer: &Offer, share: f64) -> String {
    candela(Candela(offer.due.0 * share))
}
