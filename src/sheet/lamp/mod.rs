//! The sheet of one lamp alone: its cuts and what it can serve as, as text, as a drawing and as JSON.
//!
//! Takes a [`LampSheet`] that was worked out before; gives text, SVG or JSON. Must never read a file or judge.

mod drawing;
mod json;
mod text;

use super::{capitalised, share_of_light};
use crate::{
    light::{
        Beam, Chromaticity,
        supply::{Supply, volts},
    },
    measure::{Bearing, Candela, Degrees, counted, trimmed},
    rules::{Edge, LightKind, Offer, Rules, Tint},
};

pub use drawing::drawing;
pub use json::json;
pub use text::text;

/// A lamp alone, upright and parallel to the centreline.
pub struct LampSheet<'a> {
    /// What the file is called.
    pub name: &'a str,
    pub rules: &'a Rules,
    /// As it is at the voltage of `supply`.
    pub beam: &'a Beam,
    /// What it gets; `None` where nothing is told of how its light depends on voltage.
    pub supply: Option<&'a Supply>,
    /// Its colour as measured, where it was.
    pub chromaticity: Option<Chromaticity>,
    /// The same against the limits; `None` too where the rules have none for its colour.
    pub tint: Option<Tint<'a>>,
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
        self.is_of_the_colour() && self.offers.iter().any(Offer::serves)
    }

    /// Whether nothing speaks against its colour.
    fn is_of_the_colour(&self) -> bool {
        self.tint.is_none_or(|tint| tint.outside() == 0.0)
    }

    /// The whole verdict in a sentence or two.
    fn summary(&self) -> String {
        if let Some(tint) = self.tint.filter(|_| !self.is_of_the_colour()) {
            let off = trimmed(tint.outside(), 4);
            let colour = self.beam.colour;
            return format!(
                "Can serve as nothing: its colour lies {off} outside the limits of {colour} ({}).",
                tint.row.clause
            );
        }
        let served = self.served();
        match (served.is_empty(), self.shown()) {
            (false, _) => format!("Can serve as {}.", served.join("; ")),
            (true, None) => format!("Can serve as nothing: these rules know no {} light.", self.beam.colour),
            (true, Some(offer)) => {
                let verdict = capitalised_verdict(offer, self.supply);
                format!("Can serve as nothing. Nearest: {}. {verdict}", named(offer))
            }
        }
    }

    /// "sternlight of 2 and 3 nm", for each kind of light.
    fn served(&self) -> Vec<String> {
        let mut kinds: Vec<(LightKind, Vec<String>)> = Vec::new();
        for offer in self.offers.iter().filter(|offer| offer.serves()) {
            let range = trimmed(offer.range.0, 1);
            match kinds.iter_mut().find(|(kind, _)| *kind == offer.kind()) {
                Some((_, ranges)) => ranges.push(range),
                None => kinds.push((offer.kind(), vec![range])),
            }
        }
        let and = |ranges: &[String]| match ranges {
            [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
            _ => ranges.concat(),
        };
        kinds.iter().map(|(kind, ranges)| format!("{} of {} nm", kind.in_words(), and(ranges))).collect()
    }

    /// The voltage that its figures hold at, as a sentence.
    fn at_volts(&self) -> String {
        match self.supply {
            None => "Its figures are as measured; how its light depends on voltage is not told.".into(),
            Some(supply) => format!(
                "Its figures hold at {} at its terminals, {}. Its light {}.",
                volts(supply.at()),
                share_of_light(supply),
                supply.dependence().in_words()
            ),
        }
    }

    /// What is known of its colour, as a sentence.
    fn colour(&self) -> String {
        let Some(Chromaticity { x, y }) = self.chromaticity else {
            return "Its colour was not measured, and is not judged.".into();
        };
        let (x, y) = (trimmed(x, 4), trimmed(y, 4));
        let Some(tint) = self.tint else {
            let colour = self.beam.colour;
            return format!("Its colour, x {x}, y {y}, is not judged: these rules have no area for {colour}.");
        };
        let limits = format!("the limits of {} ({})", self.beam.colour, tint.row.clause);
        match tint.outside() {
            off if off > 0.0 => format!("Its colour, x {x}, y {y}, lies {} outside {limits}.", trimmed(off, 4)),
            _ => format!("Its colour, x {x}, y {y}, lies within {limits}."),
        }
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

/// "starboard sidelight of 2 nm".
fn named(offer: &Offer) -> String {
    format!("{} of {} nm", offer.kind().in_words(), trimmed(offer.range.0, 1))
}

/// Whether it can serve, by how much, and where it is weakest; first of all what it lacks.
fn verdict(offer: &Offer, supply: Option<&Supply>) -> String {
    let (weak, edge) = (weakness(offer), edge(offer));
    let mut said: Vec<String> = weak.into_iter().chain(edge).collect();
    if !said.is_empty() && offer.ratio() >= 1.0 - 1e-6 {
        said.push(format!("strong enough, at least {} times what is due", trimmed(offer.ratio(), 2)));
    }
    if said.is_empty() {
        let ratio = trimmed(offer.ratio(), 2);
        said.push(format!("its least is {ratio} times what is due: {}", weakest_place(offer)));
    }
    said.extend(by_volts(offer, supply));
    said.extend(under_sail(offer));
    format!("{}.", said.join("; "))
}

/// "0.926 cd on 000, 5 degrees below level".
fn weakest_place(offer: &Offer) -> String {
    let weakest = offer.weakest;
    let share =
        if weakest.share < 1.0 { format!(" of {} due there", share_of(offer, weakest.share)) } else { String::new() };
    format!("{}{share} on {}, {}", candela(weakest.candela), weakest.bearing, height(weakest.elevation))
}

fn weakness(offer: &Offer) -> Option<String> {
    let (ratio, weakest) = (offer.ratio(), offer.weakest);
    if ratio >= 1.0 - 1e-6 {
        None
    } else if weakest.candela.0 <= 0.0 {
        let due = share_of(offer, weakest.share);
        Some(format!("dark on {}, {}, where {due} are due", weakest.bearing, height(weakest.elevation)))
    } else {
        let percent = trimmed((ratio * 100.0).floor(), 0);
        let percent = if percent == "0" { "less than 1".into() } else { percent };
        Some(format!("too weak: {percent} percent of what is due, {}", weakest_place(offer)))
    }
}

fn edge(offer: &Offer) -> Option<String> {
    offer.edge.map(|edge| match edge {
        Edge::Spills { bearing, candela: given, most } => {
            format!("not cut off: {} on {bearing}, where at most {} may be left", candela(given), candela(most))
        }
        Edge::EndsSoon { bearing } => format!("cut off too soon: dark on {bearing}, where it must still show"),
    })
}

/// Down to which voltage it serves, or from which on it would.
fn by_volts(offer: &Offer, supply: Option<&Supply>) -> Option<String> {
    let supply = supply?;
    let least = volts(supply.dependence().rounded_up(offer.least_volts(supply)?));
    Some(if offer.serves() { format!("it does down to {least}") } else { format!("it would do from {least} on") })
}

fn under_sail(offer: &Offer) -> Option<String> {
    let sailing = offer.sailing?;
    match (offer.serves(), offer.serves_sailing()) {
        (true, true) => Some("under sail too".into()),
        (false, false) => None,
        (false, true) => Some("enough under sail, whose vertical sector asks a lower share".into()),
        (true, false) => Some(format!(
            "not under sail: {} on {}, {}",
            candela(sailing.candela),
            sailing.bearing,
            height(sailing.elevation)
        )),
    }
}

/// The same as a sentence.
fn capitalised_verdict(offer: &Offer, supply: Option<&Supply>) -> String {
    capitalised(&verdict(offer, supply))
}

fn share_of(offer: &Offer, share: f64) -> String {
    candela(Candela(offer.due.0 * share))
}
