//! Which light of the display each lamp serves as, for whoever draws or tells of it.
//!
//! Takes a judgement; gives the sector, sideways and up and down, that each light of each lamp is there to fill. Must
//! never judge.

use super::{Judgement, LightKind, SectorRow, VerticalRow, cast::Cast, judge::lit};
use crate::{
    boat::{Fit, Scene},
    survey::{LightId, Survey},
};

/// One light of the display and one of the lights that serve as it.
#[derive(Clone, Copy, Debug)]
pub struct Service<'a> {
    pub light: LightId,
    pub kind: LightKind,
    pub sector: &'a SectorRow,
    pub vertical: &'a VerticalRow,
}

/// Every light that serves, in the colour that is asked for: in the order of the display. None where there is no display.
pub fn services<'a>(scene: &Scene, fit: &Fit, survey: &Survey, judgement: &Judgement<'a>) -> Vec<Service<'a>> {
    let rules = judgement.rules;
    let (Some(display), Some(vertical)) = (judgement.display, rules.vertical(&scene.vessel, survey.status)) else {
        return Vec::new();
    };
    let cast = Cast::of(display, &lit(fit, survey), rules);
    let serving = cast.seats.iter().filter_map(|seat| Some((seat, rules.sector(seat.kind)?)));
    serving
        .flat_map(|(seat, sector)| {
            let own = |light: LightId| seat.lamps.iter().any(|lamp| lamp.index == light.lamp);
            let lights = survey.lights.iter().filter(|one| one.colour == sector.colour && own(one.light));
            let kind = seat.kind;
            lights.map(move |one| Service { light: one.light, kind, sector, vertical }).collect::<Vec<_>>()
        })
        .collect()
}
