//! The rules as data: `assets/rules/*.ron`, each row with the source it was read in.
//!
//! Takes a rule file, whole or made from a built-in set; gives [`Rules`] and what they say of a light or a vessel, or
//! every fault of the file with its place. Must never look at a boat's lamps.

mod check;
mod clauses;
mod date;
mod draft;
mod file;
mod merge;
mod place;
mod rows;

use crate::{
    boat::{Propulsion, Status, Vessel},
    measure::{Bearing, Candela, NauticalMiles},
};

pub use date::Date;
pub use file::{BUILT_IN, inland, international, named, rules_file, rules_text};
pub use rows::*;

/// A set of rules.
#[derive(Clone, Debug)]
pub struct Rules {
    pub name: String,
    /// The set that this one is made from.
    pub base: Option<&'static Rules>,
    pub sectors: Vec<SectorRow>,
    pub ranges: Vec<RangeRow>,
    pub intensities: Vec<IntensityRow>,
    pub intensity_clause: String,
    pub intensity_source: String,
    pub colours: Vec<ColourRow>,
    pub cutoff: Cutoff,
    pub cut: Vec<CutRow>,
    pub vertical: Vec<VerticalRow>,
    pub limits: Vec<LimitRow>,
    pub places: Places,
    pub screens: ScreenRow,
    pub evenness: Evenness,
    pub glare: Glare,
    pub displays: Vec<Display>,
    pub clauses: Vec<ClauseRow>,
    /// The relief from `base` that makes this set what it is; one that has expired leaves it as its base is.
    pub waiver: Option<Waiver>,
}

impl Rules {
    /// The definition of a kind of light.
    pub fn sector(&self, light: LightKind) -> Option<&SectorRow> {
        self.sectors.iter().find(|row| row.light == light)
    }

    /// The row of ranges for vessels of a length.
    pub fn range_row(&self, length: f64) -> Option<&RangeRow> {
        self.ranges.iter().find(|row| row.length.holds(length))
    }

    /// The range a light must reach on a vessel of this length; `None` for lengths outside the data.
    pub fn range(&self, light: LightKind, length: f64) -> Option<NauticalMiles> {
        self.range_row(length)?.range(light).map(NauticalMiles)
    }

    /// The least intensity for a range; `None` for a range that is not in the table.
    pub fn intensity(&self, range: NauticalMiles) -> Option<Candela> {
        self.intensities.iter().find(|row| row.range == range.0).map(|row| Candela(row.candela))
    }

    /// What the cut-off is taken of for vessels of a length: the first row that holds it.
    pub fn cut(&self, length: f64) -> Option<&CutRow> {
        self.cut.iter().find(|row| row.length.holds(length))
    }

    /// The vertical sector due in a status.
    pub fn vertical(&self, vessel: &Vessel, status: Status) -> Option<&VerticalRow> {
        let sailing = status.by_means(vessel) == Status::UnderSail;
        self.vertical.iter().find(|row| row.sailing == sailing)
    }

    /// Whether the nearer edge of a light's sector is the one ahead, which only sidelights have.
    pub fn near_forward_edge(&self, row: &SectorRow, bearing: Bearing) -> bool {
        row.light.is_sidelight() && bearing.clockwise_of(Bearing::AHEAD).abs() < 45.0
    }

    /// The clause on the edges of a light's sector that a bearing falls under.
    pub fn edge_clause(&self, row: &SectorRow, bearing: Bearing) -> &str {
        if row.is_all_round() {
            &self.cutoff.clause_all_round
        } else if self.near_forward_edge(row, bearing) {
            &self.cutoff.clause_forward
        } else {
            &self.cutoff.clause_edges
        }
    }

    /// Whether the whole minimum of a light is due on a bearing: inside its sector, and away from edges near which it
    /// may fall (Annex I 9).
    pub fn whole_due(&self, row: &SectorRow, bearing: Bearing) -> bool {
        let inside = if self.near_forward_edge(row, bearing) { 0.0 } else { self.cutoff.aft_inside };
        row.arc().depth(bearing) >= inside - 1e-9
    }

    /// How many degrees outside its sector a light may still show, past the edge nearest to a bearing (Annex I 9).
    pub fn allowed_outside(&self, row: &SectorRow, bearing: Bearing) -> f64 {
        let forward = self.near_forward_edge(row, bearing);
        row.wider + if forward { self.cutoff.forward_outside } else { self.cutoff.aft_outside }
    }

    /// Every lawful display for a vessel in a status, in the order of the rules. `waters` are those she uses.
    pub fn displays(&self, vessel: &Vessel, status: Status, waters: &[String]) -> Vec<&Display> {
        self.displays
            .iter()
            .filter(|display| {
                display.status == status.by_means(vessel)
                    && self.can_be(vessel, display)
                    && display.length.holds(vessel.length.0)
                    && display.top_speed.is_none_or(|most| vessel.top_speed.0 <= most)
                    && display
                        .waters
                        .as_ref()
                        .is_none_or(|name| waters.iter().any(|own| own.eq_ignore_ascii_case(name)))
            })
            .collect()
    }

    /// Whether a vessel moves in a way that a display is for.
    pub fn can_be(&self, vessel: &Vessel, display: &Display) -> bool {
        let by_means = display.status.means().is_none_or(|means| vessel.moves_by(means));
        by_means && (display.propulsion.is_empty() || display.propulsion.iter().any(|means| vessel.moves_by(*means)))
    }

    /// Why a vessel cannot have a status, in a sentence: she lacks the means. Nothing where she can, or where the rules
    /// here hold no display for it anyway.
    pub fn impossible(&self, vessel: &Vessel, status: Status) -> Option<String> {
        let status = status.by_means(vessel);
        let mut same = self.displays.iter().filter(|display| display.status == status).peekable();
        let never = same.peek().is_some() && !same.any(|display| self.can_be(vessel, display));
        let lacks = match status.means() {
            Some(Propulsion::Sail) => "no sails",
            Some(Propulsion::Oars) => "no oars",
            _ => "no engine",
        };
        never.then(|| format!("She has {lacks}, and cannot be {}.", status.in_words()))
    }

    /// That these rules hold no display for a vessel in a status, in a sentence.
    pub fn not_held(&self, vessel: &Vessel, status: Status) -> String {
        format!(
            "The rule set \"{}\" holds no display for a vessel of {} moved by {} and {}.",
            self.name,
            vessel.length,
            vessel.propulsion.in_words(),
            status.in_words()
        )
    }
}
