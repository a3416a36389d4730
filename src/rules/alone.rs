//! What a lamp alone can serve as: its light held against every kind of light and every range.
//!
//! Takes one beam, upright and parallel to the centreline with nothing in its way; gives an [`Offer`] for each kind of
//! light of its colour and each range of Rule 22, and a [`Tint`] where its colour was measured. Must never look at a
//! boat.

use super::{Band, ColourRow, CutOf, LightKind, Rules, SectorRow, VerticalRow};
use crate::{
    light::{Beam, Chromaticity, Colour, supply::Supply},
    measure::{Arc, Bearing, Candela, Degrees, NauticalMiles, Volts},
};

/// How far apart bearings and elevations are looked at, in degrees.
const STEP: f64 = 0.5;

/// The direction in which a beam is weakest against what is due there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weakest {
    pub bearing: Bearing,
    pub elevation: Degrees,
    /// What the beam gives there.
    pub candela: Candela,
    /// The share of the least intensity that is due there.
    pub share: f64,
}

impl Weakest {
    /// The greatest least intensity that the beam keeps everywhere.
    pub fn keeps(self) -> Candela {
        Candela(self.candela.0 / self.share)
    }
}

/// What is wrong at an edge of the sector.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Edge {
    /// It still shows where it must be cut off, the most on this bearing.
    Spills { bearing: Bearing, candela: Candela, most: Candela },
    /// It no longer shows so far past right ahead as it must.
    EndsSoon { bearing: Bearing },
}

/// A beam as one kind of light with one range.
#[derive(Clone, Debug)]
pub struct Offer<'r> {
    pub sector: &'r SectorRow,
    pub range: NauticalMiles,
    /// The lengths of vessel that owe this range.
    pub lengths: Band,
    /// The least intensity for the range.
    pub due: Candela,
    /// Over the vertical sector of power-driven vessels.
    pub weakest: Weakest,
    /// Over that of sailing vessels under way; `None` for lights that those do not show.
    pub sailing: Option<Weakest>,
    /// The bearings on which the whole of it is due; on the rest of the sector a share is.
    pub whole: Arc,
    /// The most it may give where it must be cut off.
    pub cut: Candela,
    /// Where that is; `None` for an all-round light.
    pub dark: Option<Arc>,
    pub edge: Option<Edge>,
}

impl Offer<'_> {
    pub fn kind(&self) -> LightKind {
        self.sector.light
    }

    /// What it keeps as a share of what is due: 1 and more is enough.
    pub fn ratio(&self) -> f64 {
        self.weakest.keeps().0 / self.due.0
    }

    /// The least voltage at which it can serve so, on a power-driven vessel at least; `None` where more voltage mends
    /// nothing, or nothing is known of so much. Edges are taken as they are at the voltage it gets.
    pub fn least_volts(&self, supply: &Supply) -> Option<Volts> {
        if self.edge.is_some() { None } else { supply.least_for_times(1.0 / self.ratio()) }
    }

    fn enough(&self, weakest: Weakest) -> bool {
        weakest.keeps().0 >= self.due.0 * (1.0 - 1e-6) && self.edge.is_none()
    }

    /// Whether it can serve so, on a power-driven vessel at least.
    pub fn serves(&self) -> bool {
        self.enough(self.weakest)
    }

    /// The same on a sailing vessel under way.
    pub fn serves_sailing(&self) -> bool {
        self.sailing.is_some_and(|weakest| self.enough(weakest))
    }
}

/// A measured colour against the limits of a signal colour.
#[derive(Clone, Copy, Debug)]
pub struct Tint<'r> {
    pub row: &'r ColourRow,
    pub chromaticity: Chromaticity,
}

impl Tint<'_> {
    /// How far outside the limits it lies, in units of x and y; nought within them.
    pub fn outside(&self) -> f64 {
        self.row.corners.distance_outside(self.chromaticity)
    }
}

/// A measured colour as the signal colour it is meant for; `None` where the rules have no limits for that.
pub fn tint(chromaticity: Chromaticity, colour: Colour, rules: &Rules) -> Option<Tint<'_>> {
    let row = rules.colours.iter().find(|row| row.colour == colour)?;
    Some(Tint { row, chromaticity })
}

/// A beam as everything that its colour can be, by kind and rising range.
pub fn offers<'r>(beam: &Beam, rules: &'r Rules) -> Vec<Offer<'r>> {
    let sectors = rules.sectors.iter().filter(|sector| sector.colour == beam.colour);
    sectors.flat_map(|sector| offers_as(beam, rules, sector)).collect()
}

fn offers_as<'r>(beam: &Beam, rules: &'r Rules, sector: &'r SectorRow) -> Vec<Offer<'r>> {
    let over = |sailing: bool| {
        let row = rules.vertical.iter().find(|row| row.sailing == sailing)?;
        weakest(beam, rules, sector, row)
    };
    let sails = matches!(
        sector.light,
        LightKind::StarboardSidelight
            | LightKind::PortSidelight
            | LightKind::Sternlight
            | LightKind::AllRoundRed
            | LightKind::AllRoundGreen
    );
    let Some(weakest) = over(false) else { return Vec::new() };
    let sailing = if sails { over(true) } else { None };
    let (whole, dark) = arcs(rules, sector);
    let offer = |(range, lengths): (f64, Band)| {
        let due = rules.intensity(NauticalMiles(range))?;
        let cut = cut(beam, rules, sector, due, lengths)?;
        let edge = edge(beam, rules, sector, cut);
        Some(Offer { sector, range: NauticalMiles(range), lengths, due, weakest, sailing, whole, cut, dark, edge })
    };
    ranges(rules, sector.light).into_iter().filter_map(offer).collect()
}

/// Where the whole of a light is due, and where it must be cut off (Annex I 9).
fn arcs(rules: &Rules, sector: &SectorRow) -> (Arc, Option<Arc>) {
    let arc = sector.arc();
    if sector.is_all_round() {
        return (arc, None);
    }
    let inside = |edge: Bearing| if rules.near_forward_edge(sector, edge) { 0.0 } else { rules.cutoff.aft_inside };
    let outside = |edge: Bearing| rules.allowed_outside(sector, edge);
    let (from, to) = (arc.from, arc.to());
    let whole = Arc { from: from.turned(inside(from)), width: arc.width - inside(from) - inside(to) };
    let dark = Arc { from: to.turned(outside(to)), width: 360.0 - arc.width - outside(from) - outside(to) };
    (whole, Some(dark))
}

/// Each range that a kind of light may have to reach, with the lengths of vessel that owe it.
fn ranges(rules: &Rules, kind: LightKind) -> Vec<(f64, Band)> {
    let mut ranges: Vec<(f64, Band)> = Vec::new();
    for row in &rules.ranges {
        let Some(range) = row.range(kind) else { continue };
        match ranges.iter_mut().find(|(known, _)| *known == range) {
            Some((_, lengths)) => {
                *lengths = Band { from: lengths.from.min(row.length.from), under: lengths.under.max(row.length.under) };
            }
            None => ranges.push((range, row.length)),
        }
    }
    ranges.sort_by(|a, b| a.0.total_cmp(&b.0));
    ranges
}

/// Angles from one to another, both included, at most a step apart.
fn spread(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let count = ((to - from) / STEP).ceil().max(1.0) as u32;
    (0..=count).map(move |n| from + (to - from) * f64::from(n) / f64::from(count))
}

fn weakest(beam: &Beam, rules: &Rules, sector: &SectorRow, vertical: &VerticalRow) -> Option<Weakest> {
    let arc = sector.arc();
    let elevations = || {
        let whole = spread(-vertical.full, vertical.full).map(|angle| (angle, 1.0));
        let above = spread(vertical.full, vertical.wide).skip(1).map(|angle| (angle, vertical.share));
        let below = spread(vertical.full, vertical.wide).skip(1).map(|angle| (-angle, vertical.share));
        whole.chain(above).chain(below)
    };
    let looks = spread(0.0, arc.width).flat_map(|along| {
        let bearing = arc.from.turned(along);
        let level = if rules.whole_due(sector, bearing) { 1.0 } else { rules.cutoff.aft_share };
        elevations().map(move |(elevation, share)| (bearing, Degrees(elevation), share * level))
    });
    let found = looks.map(|(bearing, elevation, share)| {
        let candela = beam.intensity_at(bearing, elevation);
        Weakest { bearing, elevation, candela, share }
    });
    // Of equals, the one nearest to level.
    let aside = |one: &Weakest| one.elevation.0.abs();
    found.min_by(|a, b| a.keeps().0.total_cmp(&b.keeps().0).then(aside(a).total_cmp(&aside(b))))
}

fn edge(beam: &Beam, rules: &Rules, sector: &SectorRow, most: Candela) -> Option<Edge> {
    if sector.is_all_round() {
        return None;
    }
    let arc = sector.arc();
    let level = |bearing: Bearing| beam.intensity_at(bearing, Degrees(0.0));
    let outside = spread(0.0, 360.0 - arc.width).map(|past| arc.to().turned(past));
    let dark = outside.filter(|bearing| -arc.depth(*bearing) >= rules.allowed_outside(sector, *bearing) - 1e-9);
    let spilt = dark.map(|bearing| (bearing, level(bearing))).max_by(|a, b| a.1.0.total_cmp(&b.1.0));
    if let Some((bearing, candela)) = spilt.filter(|(_, candela)| candela.0 > most.0 * (1.0 + 1e-6)) {
        return Some(Edge::Spills { bearing, candela, most });
    }
    let past = match sector.light {
        LightKind::StarboardSidelight => -rules.cutoff.forward_least,
        LightKind::PortSidelight => rules.cutoff.forward_least,
        _ => return None,
    };
    // A hair inside, so that rounding does not decide where the light ends just there.
    let bearing = Bearing::new(past * (1.0 - 1e-6));
    (level(bearing).0 <= most.0).then_some(Edge::EndsSoon { bearing: Bearing::new(past) })
}

/// The most that a light may give where it is to be cut off.
fn cut(beam: &Beam, rules: &Rules, sector: &SectorRow, due: Candela, lengths: Band) -> Option<Candela> {
    let row = rules.cut(lengths.from)?;
    let arc = sector.arc();
    let of = if row.of == CutOf::Average {
        let levels: Vec<f64> =
            spread(0.0, arc.width).map(|along| beam.intensity_at(arc.from.turned(along), Degrees(0.0)).0).collect();
        levels.iter().sum::<f64>() / levels.len().max(1) as f64
    } else {
        due.0
    };
    Some(Candela(of * row.share))
}
