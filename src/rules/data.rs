//! The rules as data: `assets/rules/*.ron`, each row with the source it was read in.

use std::{cmp::Ordering, path::Path, sync::LazyLock};

use serde::Deserialize;

use crate::{
    boat::{Propulsion, Role, Status, Vessel},
    light::Colour,
    measure::{Arc, Bearing, Candela, NauticalMiles},
};

/// A kind of light, as Rule 21 defines them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum LightKind {
    Masthead,
    StarboardSidelight,
    PortSidelight,
    Sternlight,
    AllRoundWhite,
}

impl LightKind {
    pub const ALL: [Self; 5] =
        [Self::Masthead, Self::StarboardSidelight, Self::PortSidelight, Self::Sternlight, Self::AllRoundWhite];

    pub fn in_words(self) -> &'static str {
        match self {
            Self::Masthead => "masthead light",
            Self::StarboardSidelight => "starboard sidelight",
            Self::PortSidelight => "port sidelight",
            Self::Sternlight => "sternlight",
            Self::AllRoundWhite => "all-round white light",
        }
    }

    /// Whether a lamp of this role is there to be this light.
    pub fn served_by(self, role: Role) -> bool {
        match self {
            Self::Masthead => role == Role::Masthead,
            Self::StarboardSidelight => matches!(role, Role::StarboardSidelight | Role::CombinedSidelights),
            Self::PortSidelight => matches!(role, Role::PortSidelight | Role::CombinedSidelights),
            Self::Sternlight => role == Role::Sternlight,
            Self::AllRoundWhite => role == Role::AllRoundWhite,
        }
    }

    pub fn is_sidelight(self) -> bool {
        matches!(self, Self::StarboardSidelight | Self::PortSidelight)
    }
}

/// The arc and colour of a kind of light (Rule 21).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectorRow {
    pub light: LightKind,
    pub colour: Colour,
    /// Relative bearings, degrees clockwise; equal values mean all round.
    pub from: f64,
    pub to: f64,
    pub clause: String,
    pub source: String,
}

impl SectorRow {
    pub fn arc(&self) -> Arc {
        Arc::between(self.from, self.to)
    }
}

/// Vessel lengths from `from` to under `under`, in metres.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Band {
    pub from: f64,
    pub under: f64,
}

impl Band {
    pub fn holds(self, length: f64) -> bool {
        (self.from..self.under).contains(&length)
    }
}

/// Required ranges for a band of lengths, in nautical miles (Rule 22).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RangeRow {
    pub length: Band,
    pub masthead: f64,
    pub sidelight: f64,
    pub sternlight: f64,
    pub all_round: f64,
    pub source: String,
}

/// A lawful set of lights for a vessel in a status.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Display {
    pub name: String,
    pub status: Status,
    pub propulsion: Vec<Propulsion>,
    pub length: Band,
    /// Only for vessels that cannot go faster, in knots.
    #[serde(default)]
    pub top_speed: Option<f64>,
    pub lights: Vec<LightKind>,
    /// Lights that may be shown with them.
    #[serde(default)]
    pub may: Vec<LightKind>,
    /// No light need be missing from this display to be lawful, but the rules ask for it where practicable.
    #[serde(default)]
    pub if_practicable: Vec<LightKind>,
    #[serde(default)]
    pub exempt: Option<Exemption>,
    pub clause: String,
    pub source: String,
}

/// The least intensity for a range (Annex I section 8).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct IntensityRow {
    pub range: f64,
    pub candela: f64,
}

/// Limits of sectors (Annex I sections 9 and 10).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cutoff {
    /// Sidelights ahead reach the practical cut-off at most this many degrees outside.
    pub forward_outside: f64,
    /// Other edges: full intensity to this many degrees inside, ...
    pub aft_inside: f64,
    /// ... this share of it to the edge, ...
    pub aft_share: f64,
    /// ... and the practical cut-off at most this many degrees outside.
    pub aft_outside: f64,
    /// An all-round light may be hidden over this many degrees.
    pub all_round_hidden: f64,
    /// Share of the average intensity inside the sector that counts as cut off.
    pub cut_share: f64,
    /// Full intensity to this elevation, up and down.
    pub vertical_full: f64,
    /// This share of it ...
    pub vertical_share: f64,
    /// ... to this elevation.
    pub vertical_wide: f64,
    pub clause_horizontal: String,
    pub clause_vertical: String,
    pub source: String,
}

/// What a height is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Datum {
    /// The higher of the sidelights.
    Sidelights,
    /// The same, where they are combined in one lantern.
    CombinedSidelights,
    /// The gunwale abreast of the light.
    Gunwale,
}

/// A least height of the masthead light, or of the all-round white light shown with sidelights (Annex I section 2).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeightRow {
    pub above: Datum,
    /// Metres.
    pub least: f64,
    pub length: Band,
    pub clause: String,
    pub source: String,
}

/// Where lights stand athwartships and lengthwise (Rules 21 and 23(d)(iii)).
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Places {
    /// Metres off the centreline that still count as on it.
    pub centreline: f64,
    /// Under this length, metres, a white light may stand off the centreline if the sidelights are combined on one
    /// fore-and-aft line with it.
    pub off_centre_under: f64,
    /// Share of the length, from the stern, beyond which a sternlight is no longer near the stern.
    pub stern_share: f64,
    pub clause_masthead: String,
    pub clause_off_centre: String,
    pub clause_sides: String,
    pub clause_stern: String,
    pub source: String,
}

/// Where a display need not be shown.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Exemption {
    /// For vessels shorter than this, metres.
    pub under: f64,
    pub clause: String,
    /// Where, in words that follow "not required".
    pub place: String,
    pub source: String,
}

/// A set of rules.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    pub name: String,
    pub sectors: Vec<SectorRow>,
    pub ranges: Vec<RangeRow>,
    pub intensities: Vec<IntensityRow>,
    pub intensity_clause: String,
    pub intensity_source: String,
    pub cutoff: Cutoff,
    pub heights: Vec<HeightRow>,
    pub places: Places,
    pub displays: Vec<Display>,
}

static INTERNATIONAL: LazyLock<Rules> = LazyLock::new(|| {
    let text = include_str!("../../assets/rules/international.ron");
    ron::from_str(text).unwrap_or_else(|error| panic!("the built-in rules: {error}"))
});

/// The international regulations of 1972 as amended, as far as this program goes.
pub fn international() -> &'static Rules {
    &INTERNATIONAL
}

/// Reads a rule file of the user's own, in the format of `assets/rules/international.ron`.
///
/// # Errors
/// A sentence with file, line and column when it cannot be read, lacks a light, or holds an impossible figure.
pub fn rules_file(path: &Path) -> Result<Rules, String> {
    let name = path.display();
    let text = std::fs::read_to_string(path).map_err(|error| {
        format!("there is no rule set or readable rule file \"{name}\" ({error}); `international` is built in")
    })?;
    let rules: Rules = ron::from_str(&text)
        .map_err(|error| format!("{name}:{}:{}: {}", error.span.start.line, error.span.start.col, error.code))?;
    rules.check().map_err(|why| format!("{name}: {why}"))?;
    Ok(rules)
}

impl Rules {
    /// What no set of rules may lack or say.
    fn check(&self) -> Result<(), String> {
        for light in LightKind::ALL {
            if self.sector(light).is_none() {
                return Err(format!("`sectors` has no row for {light:?}"));
            }
        }
        let possible = |degrees: f64| (0.0..=360.0).contains(&degrees);
        if let Some(row) = self.sectors.iter().find(|row| !possible(row.from) || !possible(row.to)) {
            return Err(format!("the sector of {:?} must run from 0 to 360 degrees", row.light));
        }
        let mut bands: Vec<_> = self.ranges.iter().map(|row| row.length).collect();
        bands.sort_by(|a, b| a.from.total_cmp(&b.from));
        if let Some(band) = bands.iter().find(|band| band.from.partial_cmp(&band.under) != Some(Ordering::Less)) {
            return Err(format!("the length band from {} to under {} m holds no length", band.from, band.under));
        }
        if let Some(pair) = bands.windows(2).find(|pair| pair[1].from < pair[0].under) {
            return Err(format!("the length bands from {} m and from {} m overlap", pair[0].from, pair[1].from));
        }
        if self.intensities.iter().any(|row| !(row.range > 0.0 && row.candela > 0.0)) {
            return Err("every row of `intensities` needs a range and candela above nought".into());
        }
        for row in &self.ranges {
            for range in [row.masthead, row.sidelight, row.sternlight, row.all_round] {
                if self.intensity(NauticalMiles(range)).is_none() {
                    return Err(format!("`intensities` has no row for the range of {range} nautical miles"));
                }
            }
        }
        let ranged = |length: f64| self.ranges.iter().any(|row| row.length.holds(length));
        let ends = |band: &Band| [band.from, (band.from + band.under) / 2.0, band.under - 1e-6];
        if let Some(display) = self.displays.iter().find(|display| !ends(&display.length).into_iter().all(ranged)) {
            return Err(format!("`ranges` has no row for some lengths of the display \"{}\"", display.name));
        }
        self.check_limits()
    }

    /// Angles and shares that no set of limits can have.
    fn check_limits(&self) -> Result<(), String> {
        let cutoff = &self.cutoff;
        let angles = [
            ("forward_outside", cutoff.forward_outside),
            ("aft_inside", cutoff.aft_inside),
            ("aft_outside", cutoff.aft_outside),
            ("all_round_hidden", cutoff.all_round_hidden),
            ("vertical_full", cutoff.vertical_full),
            ("vertical_wide", cutoff.vertical_wide),
        ];
        if let Some((name, _)) = angles.iter().find(|(_, degrees)| !(0.0..=45.0).contains(degrees)) {
            return Err(format!("`{name}` of `cutoff` must be 0 to 45 degrees"));
        }
        let shares = [
            ("aft_share", cutoff.aft_share),
            ("cut_share", cutoff.cut_share),
            ("vertical_share", cutoff.vertical_share),
        ];
        if let Some((name, _)) = shares.iter().find(|(_, share)| !(*share > 0.0 && *share <= 1.0)) {
            return Err(format!("`{name}` of `cutoff` must be above 0 and at most 1"));
        }
        if self.heights.iter().any(|row| !(row.least > 0.0 && row.least < 50.0)) {
            return Err("`least` of each row of `heights` must be above 0 and under 50 metres".into());
        }
        let places = &self.places;
        if !(places.centreline > 0.0
            && places.centreline < 5.0
            && places.stern_share > 0.0
            && places.stern_share <= 1.0)
        {
            return Err("`places` needs a `centreline` of 0 to 5 metres and a `stern_share` of 0 to 1".into());
        }
        Ok(())
    }

    /// The definition of a kind of light.
    pub fn sector(&self, light: LightKind) -> Option<&SectorRow> {
        self.sectors.iter().find(|row| row.light == light)
    }

    /// The range a light must reach on a vessel of this length; `None` for lengths outside the data.
    pub fn range(&self, light: LightKind, length: f64) -> Option<NauticalMiles> {
        let row = self.ranges.iter().find(|row| row.length.holds(length))?;
        Some(NauticalMiles(match light {
            LightKind::Masthead => row.masthead,
            LightKind::StarboardSidelight | LightKind::PortSidelight => row.sidelight,
            LightKind::Sternlight => row.sternlight,
            LightKind::AllRoundWhite => row.all_round,
        }))
    }

    /// Whether the nearer edge of a light's sector is the one ahead, which only sidelights have.
    fn near_forward_edge(row: &SectorRow, bearing: Bearing) -> bool {
        row.light.is_sidelight() && bearing.clockwise_of(Bearing::AHEAD).abs() < 45.0
    }

    /// Whether the whole minimum of a light is due on a bearing: inside its sector, and away from edges near which it
    /// may fall (Annex I 9).
    pub fn whole_due(&self, row: &SectorRow, bearing: Bearing) -> bool {
        let inside = if Self::near_forward_edge(row, bearing) { 0.0 } else { self.cutoff.aft_inside };
        row.arc().depth(bearing) >= inside - 1e-9
    }

    /// How many degrees outside its sector a light may still show, past the edge nearest to a bearing (Annex I 9).
    pub fn allowed_outside(&self, row: &SectorRow, bearing: Bearing) -> f64 {
        if Self::near_forward_edge(row, bearing) { self.cutoff.forward_outside } else { self.cutoff.aft_outside }
    }

    /// The least intensity for a range; `None` for a range that is not in the table.
    pub fn intensity(&self, range: NauticalMiles) -> Option<Candela> {
        self.intensities.iter().find(|row| row.range == range.0).map(|row| Candela(row.candela))
    }

    /// Every lawful display for a vessel in a status, in the order of the rules.
    pub fn displays(&self, vessel: &Vessel, status: Status) -> Vec<&Display> {
        self.displays
            .iter()
            .filter(|display| {
                display.status == status
                    && display.propulsion.contains(&vessel.propulsion)
                    && display.length.holds(vessel.length.0)
                    && display.top_speed.is_none_or(|most| vessel.top_speed.0 <= most)
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_rules_are_sound_and_every_row_names_its_source() {
        let rules = international();
        assert_eq!(rules.check(), Ok(()));
        let sources = rules.sectors.iter().map(|row| &row.source);
        let sources = sources.chain(rules.ranges.iter().map(|row| &row.source));
        let mut sources = sources.chain(rules.displays.iter().map(|row| &row.source));
        assert!(sources.all(|source| source.contains("COLREGs 1972")));
    }
}
