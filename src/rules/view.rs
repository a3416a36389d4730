//! One light of a display, as the lamps that serve it give it: what each bearing needs, gets, and why it falls short.

use rayon::prelude::*;

use crate::{
    boat::{Owner, Status, Vessel},
    measure::{Arc, Bearing, Candela, Degrees},
    survey::{LightId, LightSurvey, Reach, Stance, Survey, arcs_where},
};

use super::{CutOf, LightKind, Rules, SectorRow, VerticalRow, cast::Seat};

/// Why a bearing gets less than it must.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Cause {
    /// A solid of the boat hides the light.
    Shadow(Option<Owner>),
    /// The lamp leans; upright it would do.
    Lean,
    /// The lamp is turned; parallel to the centreline it would do.
    Turn,
    /// The lamp is too weak however it is set; it may be hidden as well.
    Weak { hidden: bool },
}

impl Cause {
    /// Whether the boat's own solids take the light, whatever else is wrong with it.
    pub fn is_hidden(self) -> bool {
        matches!(self, Self::Shadow(_) | Self::Weak { hidden: true })
    }
}

/// See the module.
pub(super) struct View<'a> {
    pub kind: LightKind,
    pub rules: &'a Rules,
    pub sector: &'a SectorRow,
    /// Least intensity inside the sector.
    pub minimum: Candela,
    /// Intensity below which it counts as cut off.
    pub cut: Candela,
    pub vertical: &'a VerticalRow,
    /// Whether it stands in a vertical line with others.
    in_line: bool,
    /// The lights that serve, in the colour of the sector.
    pub lights: Vec<LightId>,
    pub survey: &'a Survey,
    /// Level and at rest, for each of [`Survey::looks`].
    level: Vec<(LightId, Reach)>,
}

impl<'a> View<'a> {
    /// `None` when the rules lack a figure, or no lamp serves in the right colour.
    pub fn new(seat: &Seat, survey: &'a Survey, rules: &'a Rules, vessel: &Vessel) -> Option<Self> {
        let length = vessel.length.0;
        let sector = rules.sector(seat.kind)?;
        let minimum = rules.intensity(rules.range(seat.kind, length)?)?;
        let vertical = rules.vertical(vessel, survey.status)?;
        let serves = |one: &&LightSurvey| {
            one.colour == sector.colour && seat.lamps.iter().any(|lamp| lamp.index == one.light.lamp)
        };
        let serving: Vec<_> = survey.lights.iter().filter(serves).collect();
        if serving.is_empty() {
            return None;
        }
        let lights = serving.iter().map(|one| one.light).collect();
        let level = (0..survey.looks.len())
            .map(|look| best(serving.iter().map(|one| (one.light, one.reaches[look]))))
            .collect();
        let mut view = Self {
            kind: seat.kind,
            rules,
            sector,
            minimum,
            cut: Candela(0.0),
            vertical,
            in_line: seat.line.is_some(),
            lights,
            survey,
            level,
        };
        let cut = rules.cut(length)?;
        let of = if cut.of == CutOf::Average { view.mean() } else { minimum };
        view.cut = Candela(of.0 * cut.share);
        Some(view)
    }

    /// The best that any serving lamp gives.
    pub fn at(&self, stance: &Stance, bearing: Bearing, elevation: Degrees) -> (LightId, Reach) {
        best(self.lights.iter().map(|light| (*light, stance.toward(*light, bearing, elevation))))
    }

    /// Level and at rest.
    pub fn candela(&self, bearing: Bearing) -> Candela {
        self.at(self.survey.rest(), bearing, Degrees(0.0)).1.candela()
    }

    /// The sector as an arc.
    pub fn arc(&self) -> Arc {
        self.sector.arc()
    }

    /// How many degrees of it the boat's own solids may hide.
    pub fn allowed_hidden(&self) -> f64 {
        if self.sector.is_all_round() { self.rules.cutoff.all_round_hidden } else { 0.0 }
    }

    /// Whether it is an anchor light, which Annex I 9(b) excepts where its height would be impracticable.
    pub fn is_anchor_light(&self) -> bool {
        let anchored = matches!(
            self.survey.status,
            Status::AtAnchor | Status::Aground | Status::RestrictedAtAnchor | Status::PilotAtAnchor
        );
        anchored && self.kind == LightKind::AllRoundWhite && !self.in_line
    }

    /// Whether the whole minimum is due: inside the sector and away from edges where it may fall.
    pub fn core(&self, bearing: Bearing) -> bool {
        self.rules.whole_due(self.sector, bearing)
    }

    /// The intensity due level with the horizon.
    pub fn due(&self, bearing: Bearing) -> Candela {
        if self.core(bearing) {
            self.minimum
        } else if self.arc().contains(bearing) {
            Candela(self.minimum.0 * self.rules.cutoff.aft_share)
        } else {
            Candela(0.0)
        }
    }

    /// Why a bearing gets less than `due` from an elevation, or `None` when it gets enough.
    pub fn loss(&self, bearing: Bearing, elevation: Degrees, due: Candela) -> Option<Cause> {
        let (light, reach) = self.at(self.survey.rest(), bearing, elevation);
        self.cause(light, reach, bearing, elevation, due)
    }

    /// The same of what a bearing is known to get.
    pub fn cause(
        &self,
        light: LightId,
        reach: Reach,
        bearing: Bearing,
        elevation: Degrees,
        due: Candela,
    ) -> Option<Cause> {
        let enough = |candela: Candela| candela.0 >= due.0 * (1.0 - 1e-6);
        if enough(reach.candela()) {
            return None;
        }
        if enough(reach.bare) {
            return Some(Cause::Shadow(reach.visible.by));
        }
        let lamp = &self.survey.rest().posed().lamps[light.lamp];
        let beam = &lamp.optics.beams[light.beam];
        let turned = lamp.turned().map_or(0.0, |turned| turned.0);
        if lamp.lean().0 > 0.05 && enough(beam.intensity_at(bearing.turned(-turned), elevation)) {
            Some(Cause::Lean)
        } else if enough(beam.intensity_at(bearing, elevation)) {
            Some(Cause::Turn)
        } else {
            Some(Cause::Weak { hidden: reach.visible.fraction < 0.5 })
        }
    }

    /// Whether so much light on a bearing is past where it must be cut off.
    pub fn spills(&self, bearing: Bearing, got: Candela) -> bool {
        let outside = -self.arc().depth(bearing);
        outside > self.rules.allowed_outside(self.sector, bearing) + 1e-6 && got.0 > self.cut.0
    }

    /// Every bearing that was looked at, rising from right ahead, with the best that it gets level and at rest.
    pub fn looks(&self) -> impl Iterator<Item = (Bearing, LightId, Reach)> + '_ {
        self.survey.looks.iter().zip(&self.level).map(|(bearing, (light, reach))| (*bearing, *light, *reach))
    }

    /// Arcs that fall short, level and at rest, for causes that `wanted` picks.
    pub fn lost(&self, wanted: impl Fn(Cause) -> bool + Sync) -> Vec<Arc> {
        let held: Vec<bool> = self
            .survey
            .looks
            .iter()
            .zip(&self.level)
            .map(|(bearing, (light, reach))| {
                self.cause(*light, *reach, *bearing, Degrees(0.0), self.due(*bearing)).is_some_and(&wanted)
            })
            .collect();
        arcs_where(&self.survey.looks, &held, |bearing| {
            self.loss(bearing, Degrees(0.0), self.due(bearing)).is_some_and(&wanted)
        })
    }

    /// Arcs on which something holds of the level intensity at rest.
    pub fn arcs_by_candela(&self, holds: impl Fn(Bearing, Candela) -> bool + Sync) -> Vec<Arc> {
        let held: Vec<bool> = self
            .survey
            .looks
            .iter()
            .zip(&self.level)
            .map(|(bearing, (_, reach))| holds(*bearing, reach.candela()))
            .collect();
        arcs_where(&self.survey.looks, &held, |bearing| holds(bearing, self.candela(bearing)))
    }

    /// Arcs on which something holds, looked at afresh on each bearing.
    pub fn arcs(&self, holds: impl Fn(Bearing) -> bool + Sync) -> Vec<Arc> {
        let held: Vec<bool> = self.survey.looks.par_iter().map(|bearing| holds(*bearing)).collect();
        arcs_where(&self.survey.looks, &held, holds)
    }

    /// Mean intensity over the sector of the serving lamps set as they should be.
    pub fn mean(&self) -> Candela {
        let rest = self.survey.rest();
        let means = self.lights.iter().map(|light| {
            let beam = &rest.posed().lamps[light.lamp].optics.beams[light.beam];
            let inside: Vec<f64> = self
                .survey
                .bearings
                .iter()
                .filter(|bearing| self.arc().contains(**bearing))
                .map(|bearing| beam.intensity_at(*bearing, Degrees(0.0)).0)
                .collect();
            inside.iter().sum::<f64>() / inside.len().max(1) as f64
        });
        Candela(means.fold(0.0, f64::max))
    }
}

fn best(reaches: impl Iterator<Item = (LightId, Reach)>) -> (LightId, Reach) {
    reaches
        .max_by(|a, b| a.1.candela().0.total_cmp(&b.1.candela().0).then(a.1.bare.0.total_cmp(&b.1.bare.0)))
        // A view is never made without a light.
        .unwrap_or((LightId { lamp: 0, beam: 0 }, Reach::NONE))
}
