//! One light at one mark: what is due there, what the model sees, and why they differ.
//!
//! Close by, an eye makes out any glimmer; so what counts is intensity. A light is *bright* from half of what is due of
//! it, *faint* down to the practical cut-off, and *dark* below.

use glam::DVec3;

use super::{Near, Setting};
use crate::{
    light::Colour,
    measure::{Bearing, Candela, Degrees},
    rules::{CutOf, SectorRow},
    survey::LightId,
};

/// What the rules ask of a light at a mark, by the bearing from the lamp itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Due {
    /// It must show.
    Must,
    /// Near an edge of its sector: it may show or not.
    May,
    /// It must have been cut off.
    Dark,
}

/// How a light looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Glow {
    Dark,
    Faint,
    Bright,
}

impl Glow {
    /// "bright", "faint", "dark".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Dark => "dark",
            Self::Faint => "faint",
            Self::Bright => "bright",
        }
    }
}

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Sight {
    pub light: LightId,
    pub colour: Colour,
    /// Of the mark from the lamp.
    pub bearing: Bearing,
    /// Of the eye from the lamp's level; below negative.
    pub elevation: Degrees,
    pub due: Due,
    pub candela: Candela,
    pub glow: Glow,
    /// What hides the most of it, by name.
    pub hidden_by: Option<String>,
}

impl Sight {
    /// Whether the model sees other than what is due.
    pub fn differs(&self) -> bool {
        match self.due {
            Due::Must => self.glow != Glow::Bright,
            Due::May => false,
            Due::Dark => self.glow != Glow::Dark,
        }
    }
}

impl Near<'_> {
    /// Every light of a setting at a mark.
    pub(super) fn sights(&self, setting: &Setting, at: DVec3) -> Vec<Sight> {
        let lights = self.stance.lights().filter(|light| setting.lamps.contains(&light.lamp));
        lights.map(|light| self.sight(light, at)).collect()
    }

    pub(super) fn sight(&self, light: LightId, at: DVec3) -> Sight {
        let eye = self.eye(at);
        let way = eye - self.stance.level(self.stance.posed().lamps[light.lamp].centre);
        let bearing = Bearing::of(way);
        let reach = self.stance.to_point(light, eye);
        let row = self.row(light);
        Sight {
            light,
            colour: self.stance.colour(light),
            bearing,
            elevation: Degrees(way.z.atan2(way.truncate().length()).to_degrees()),
            due: row.map_or(Due::May, |row| self.due(row, bearing)),
            candela: reach.candela(),
            glow: self.glow(light, row, reach.candela()),
            hidden_by: reach
                .visible
                .by
                .filter(|_| reach.visible.fraction < 0.98)
                .map(|owner| self.scene.owner_name(self.fit, owner)),
        }
    }

    fn due(&self, row: &SectorRow, bearing: Bearing) -> Due {
        if self.rules.whole_due(row, bearing) {
            Due::Must
        } else if row.arc().depth(bearing) >= -self.rules.allowed_outside(row, bearing) {
            Due::May
        } else {
            Due::Dark
        }
    }

    fn glow(&self, light: LightId, row: Option<&SectorRow>, candela: Candela) -> Glow {
        let length = self.scene.vessel.length.0;
        let least = row.and_then(|row| self.rules.intensity(self.rules.range(row.light, length)?));
        let Some(least) = least else { return if candela.0 > 0.0 { Glow::Bright } else { Glow::Dark } };
        let cut = match (self.rules.cut(length), row) {
            (Some(cut), Some(row)) if cut.of == CutOf::Average => self.mean(light, row).0 * cut.share,
            (Some(cut), _) => least.0 * cut.share,
            (None, _) => 0.0,
        };
        if candela.0 >= least.0 * self.rules.cutoff.aft_share {
            Glow::Bright
        } else if candela.0 >= cut && candela.0 > 0.0 {
            Glow::Faint
        } else {
            Glow::Dark
        }
    }

    /// The average intensity inside a sector, level, with nothing in the way.
    fn mean(&self, light: LightId, row: &SectorRow) -> Candela {
        const PLACES: u32 = 90;
        let arc = row.arc();
        let each = (0..PLACES).map(|n| arc.from.turned(arc.width * (f64::from(n) + 0.5) / f64::from(PLACES)));
        let sum: f64 = each.map(|bearing| self.stance.toward(light, bearing, Degrees(0.0)).bare.0).sum();
        Candela(sum / f64::from(PLACES))
    }
}
