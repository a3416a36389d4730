//! The holes of a bracket: where they go, and whether they leave enough metal round them.
//!
//! Takes a plate and what goes through it; gives holes in the flat sheet and findings. Must never know of a scene.

use glam::DVec2;
use serde::Serialize;

use super::{
    outline::{Stroke, distance},
    plate::{Flange, Plate},
};
use crate::{
    boat::bracket::{Fixing, Flat, Folded, Row, Screws},
    fitting::{
        Finding,
        data::{bolt, rivet, rules},
    },
    measure::trimmed,
};

/// What a hole is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Purpose {
    LampScrew,
    Cable,
    Fastener,
    /// A thread for a set screw.
    SetScrew,
    /// As the scene asks.
    Other,
}

impl Purpose {
    pub fn in_words(self) -> &'static str {
        match self {
            Self::LampScrew => "lamp screw",
            Self::Cable => "cable",
            Self::Fastener => "fastener",
            Self::SetScrew => "set screw, tapped",
            Self::Other => "as asked for",
        }
    }
}

/// A round hole in a flat piece.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Hole {
    pub at: DVec2,
    /// To be drilled.
    pub drill: f64,
    /// Of what goes through, by which distances to edges are measured.
    pub size: f64,
    pub purpose: Purpose,
}

impl Hole {
    fn new(at: DVec2, size: f64, drill: f64, purpose: Purpose) -> Self {
        Self { at, drill, size, purpose }
    }

    fn words(&self) -> String {
        format!("{} hole of {} mm", self.purpose.in_words(), trimmed(self.drill, 2))
    }
}

/// The drill for a bolt or rivet: that of its table; where the table has none, a tenth over.
pub fn drill_for(fixing: &Fixing) -> f64 {
    use crate::boat::bracket::Fastener;
    let diameter = fixing.fastener.diameter();
    let tabled = match fixing.fastener {
        Fastener::Rivet { .. } => rivet(diameter).map(|rivet| rivet.hole.0),
        Fastener::Bolt { .. } => bolt(diameter).map(|bolt| bolt.hole),
    };
    tabled.unwrap_or(diameter + 0.1)
}

/// The two screws of a lamp about a spot, and the cable hole between them. `along` is the way of a row along.
pub fn lamp_holes(screws: &Screws, gland: f64, middle: DVec2, along: DVec2) -> Vec<Hole> {
    let way = if screws.row == Row::Along { along } else { -along.perp() };
    let drill = bolt(screws.size).map_or(screws.size + 0.5, |bolt| bolt.hole);
    let pair = [1.0, -1.0]
        .map(|side| Hole::new(middle + way * (side * screws.apart / 2.0), screws.size, drill, Purpose::LampScrew));
    let cable = (gland > 0.0).then(|| Hole::new(middle, gland, gland, Purpose::Cable));
    pair.into_iter().chain(cable).collect()
}

/// Places from one end to the other, evenly; the middle for one alone.
fn spread(count: u32, from: f64, to: f64) -> Vec<f64> {
    if count == 1 {
        return vec![(from + to) / 2.0];
    }
    (0..count).map(|n| from + (to - from) * f64::from(n) / f64::from(count - 1)).collect()
}

/// The fasteners in a field: `across` columns and `rows` rows between two opposite corners.
pub fn fastener_field(fixing: &Fixing, low: DVec2, high: DVec2) -> Vec<Hole> {
    let (size, drill) = (fixing.fastener.diameter(), drill_for(fixing));
    let columns = spread(fixing.across, low.x, high.x);
    let rows = spread(fixing.rows, low.y, high.y);
    let each = rows.iter().flat_map(|y| columns.iter().map(move |x| DVec2::new(*x, *y)));
    each.map(|at| Hole::new(at, size, drill, Purpose::Fastener)).collect()
}

/// All holes of a folded plate, in the flat sheet: lamp screws and cable, fasteners row by row, and what else is asked.
pub fn of_plate(plate: &Plate, asked: &Folded) -> Vec<Hole> {
    let (middle, along) = match &plate.top {
        // The lamp stands in the middle of the top.
        Some(top) => {
            let away = top.fold.allowance() + top.outside / 2.0 - top.fold.setback();
            (top.point(DVec2::new(0.0, away)), top.away())
        }
        None => (DVec2::ZERO, DVec2::Y),
    };
    let mut holes = lamp_holes(&asked.screws, asked.gland, middle, along);
    holes.extend(foot_holes(plate, &asked.fixing));
    holes.extend(asked.holes.iter().filter_map(|hole| {
        let at = match hole.on {
            Flat::Upright => DVec2::new(hole.across, plate.end - hole.from_edge),
            Flat::Foot => on_flange(&plate.foot, hole.across, hole.from_edge),
            Flat::Top => on_flange(plate.top.as_ref()?, hole.across, hole.from_edge),
        };
        Some(Hole::new(at, hole.diameter, hole.diameter, Purpose::Other))
    }));
    holes
}

fn on_flange(flange: &Flange, across: f64, from_edge: f64) -> DVec2 {
    flange.point(DVec2::new(across, flange.reach() - from_edge))
}

/// Fasteners as near to the edges of the foot as they may be, and the nearest row as near to the fold.
fn foot_holes(plate: &Plate, fixing: &Fixing) -> Vec<Hole> {
    let foot = &plate.foot;
    let margin = rules().edge.value * fixing.fastener.diameter();
    let side = plate.width / 2.0 / foot.skew.cos() - margin;
    let near = foot.fold.allowance() + clear_of_fold(foot) + drill_for(fixing) / 2.0;
    let far = foot.reach() - margin;
    let measured = fastener_field(fixing, DVec2::new(-side, far), DVec2::new(side, near));
    measured.into_iter().map(|hole| Hole { at: foot.point(hole.at), ..hole }).collect()
}

/// How far from where a fold begins the rim of a hole must be.
fn clear_of_fold(flange: &Flange) -> f64 {
    flange.fold.radius + rules().clear_of_fold.value * flange.fold.thickness
}

fn mm(value: f64) -> String {
    format!("{} mm", trimmed(value, 1))
}

/// Holes too near to an edge or to one another; the same for any flat piece.
pub fn checked(holes: &[Hole], outline: &[Stroke]) -> Vec<Finding> {
    let (rules, mut findings) = (rules(), Vec::new());
    for hole in holes {
        let (has, due) = (distance(outline, hole.at), rules.edge.value * hole.size);
        if has < due - 1e-6 {
            let what =
                format!("a {} has its middle {} from an edge, and {} is the least", hole.words(), mm(has), mm(due));
            let mend = format!("make the piece {} larger there, or the hole smaller", mm(due - has));
            findings.push(Finding::fault("hole near an edge", what, mend).by(&rules.edge.source));
        }
    }
    let mut told = Vec::new();
    for (n, hole) in holes.iter().enumerate() {
        for other in &holes[n + 1..] {
            let pair = [hole.purpose, other.purpose];
            if let Some(finding) = too_close(hole, other).filter(|_| !told.contains(&pair)) {
                told.push(pair);
                findings.push(finding);
            }
        }
    }
    findings
}

fn too_close(hole: &Hole, other: &Hole) -> Option<Finding> {
    let rules = rules();
    let apart = hole.at.distance(other.at);
    if [hole, other].iter().all(|one| one.purpose == Purpose::Fastener) {
        let due = rules.pitch.value * hole.size.max(other.size);
        return (apart < due - 1e-6).then(|| {
            let what = format!("two fasteners stand {} apart, and {} is the least", mm(apart), mm(due));
            let mend = "make the plate larger that way, or write fewer or smaller fasteners";
            Finding::fault("fasteners near one another", what, mend).by(&rules.pitch.source)
        });
    }
    let (metal, due) = (apart - (hole.drill + other.drill) / 2.0, rules.between.value * hole.size.min(other.size));
    (metal < due - 1e-6).then(|| {
        let left = if metal > 0.0 { format!("{} of metal stand", mm(metal)) } else { "no metal stands".into() };
        let what = format!("{left} between a {} and a {}, and {} is the least", hole.words(), other.words(), mm(due));
        Finding::fault("holes near one another", what, "set them further apart, or make one smaller")
            .by(&rules.between.source)
    })
}

/// Holes of a plate too near to a fold, or in it.
pub fn near_folds(plate: &Plate, holes: &[Hole]) -> Vec<Finding> {
    let rules = rules();
    let mut findings = Vec::new();
    for hole in holes {
        for flange in plate.flanges() {
            let away = flange.measure(hole.at).y;
            let clear = (away - flange.fold.allowance()).max(-away) - hole.drill / 2.0;
            let due = clear_of_fold(flange);
            if clear >= due - 1e-6 {
                continue;
            }
            let part = flange.on.in_words();
            let what = if clear < 0.0 {
                format!("a {} lies in the fold of the {part}", hole.words())
            } else {
                format!(
                    "the rim of a {} lies {} from the fold of the {part}, and {} is the least (the inside radius and {} \
                     thicknesses)",
                    hole.words(),
                    mm(clear),
                    mm(due),
                    trimmed(rules.clear_of_fold.value, 1)
                )
            };
            let mend = match (hole.purpose, plate.part(hole.at)) {
                (Purpose::LampScrew | Purpose::Cable, Flat::Upright) => {
                    format!("raise the lamp by {} in the scene, or set its screws closer", mm((due - clear).ceil()))
                }
                (_, on) => format!("make the {} {} longer", on.in_words(), mm((due - clear).ceil())),
            };
            findings.push(Finding::fault("hole near a fold", what, mend).by(&rules.clear_of_fold.source));
        }
    }
    findings
}
