//! The strip right ahead, where the two sidelights must meet: neither a dark lane nor a double one too wide.

use super::{Finding, Kind, LightKind, sector::degrees, view::View};
use crate::{
    measure::{Arc, Bearing, trimmed},
    survey::arcs_where,
};

/// How far either side of right ahead a lane is followed: to where the sidelights end.
const LANE_REACH: f64 = 112.5;
/// Degrees between looks: lanes are narrow.
const STEP: f64 = 0.25;

/// Compares the two sidelights ahead. Nothing to say unless both are there.
pub(super) fn findings(views: &[View]) -> Vec<Finding> {
    let side = |kind| views.iter().find(|view| view.kind == kind);
    let (Some(starboard), Some(port)) = (side(LightKind::StarboardSidelight), side(LightKind::PortSidelight)) else {
        return Vec::new();
    };
    // One look past the reach on either side, where a lane always ends.
    let looks = (LANE_REACH / STEP).round() as i32 + 1;
    let mut bearings: Vec<Bearing> = (-looks..=looks).map(|n| Bearing::new(f64::from(n) * STEP)).collect();
    bearings.sort_by(|a, b| a.degrees().total_cmp(&b.degrees()));
    // A lamp too weak everywhere leaves no lane: a lane is where both fall away from what they give elsewhere.
    let fallen = |view: &View| view.minimum.0.min(view.mean().0 / 2.0);
    let lit = [fallen(starboard), fallen(port)];
    let neither = |bearing| starboard.candela(bearing).0 < lit[0] && port.candela(bearing).0 < lit[1];
    let cut = [starboard, port].map(|view| view.cut.0);
    let both = |bearing| starboard.candela(bearing).0 > cut[0] && port.candela(bearing).0 > cut[1];
    let dark = lanes(&bearings, neither).into_iter().map(|arc| dark_lane(starboard, arc));
    let allowed = 2.0 * starboard.rules.cutoff.forward_outside;
    let double = lanes(&bearings, both).into_iter().filter(|arc| arc.width > allowed + 0.02);
    dark.chain(double.map(|arc| double_lane(starboard, arc, allowed))).collect()
}

/// Arcs within reach of right ahead that cross it or come close: a strip that touches 5 degrees either side.
fn lanes(bearings: &[Bearing], holds: impl Fn(Bearing) -> bool + Sync) -> Vec<Arc> {
    // Beyond the reach the question is not asked.
    let within = |bearing: Bearing| bearing.clockwise_of(Bearing::AHEAD).abs() <= LANE_REACH && holds(bearing);
    let held: Vec<bool> = bearings.iter().map(|bearing| within(*bearing)).collect();
    let mut lanes = arcs_where(bearings, &held, within);
    lanes.retain(|lane| lane.contains(Bearing::AHEAD) || lane.depth(Bearing::AHEAD) > -5.0);
    lanes
}

fn dark_lane(view: &View, arc: Arc) -> Finding {
    Finding {
        arc: Some(arc),
        what: format!("Ahead, {}, neither sidelight shows as it must.", arc.in_words()),
        how_bad: format!("A vessel meeting her end on may see no sidelight across {}.", degrees(arc.width)),
        mend: "Set both sidelights with their datum lines parallel to the centreline and clear of what stands forward of them.".into(),
        ..Finding::new(Kind::DarkLane, &clause(view))
    }
}

fn double_lane(view: &View, arc: Arc, allowed: f64) -> Finding {
    Finding {
        arc: Some(arc),
        what: format!("Ahead, {}, both sidelights show at once.", arc.in_words()),
        how_bad: format!(
            "{} wide; {} are allowed. A vessel on her bow takes her to be coming straight on.",
            degrees(arc.width),
            trimmed(allowed, 1)
        ),
        mend: "Set both sidelights parallel to the centreline, or fit inboard screens that cut each off by 1 to 3 degrees past right ahead.".into(),
        ..Finding::new(Kind::DoubleLane, &clause(view))
    }
}

fn clause(view: &View) -> String {
    format!("{}, {}", view.sector.clause, view.rules.cutoff.clause_forward)
}
