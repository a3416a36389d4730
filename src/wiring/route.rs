//! How long a cable is: its way along the boat, and the loops it needs where a joint moves.
//!
//! Takes places and joints; gives metres. Must never know what the cable carries.

use glam::DVec3;

use super::tables::rules;
use crate::{
    boat::{Fit, Joint, Lamp, Mount, PartKind, Pose, Scene, wiring::Leg},
    measure::Metres,
};

/// A loop of cable left at a joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Loop {
    /// Index into [`Fit::lamps`].
    pub lamp: usize,
    /// The part that moves.
    pub part: String,
    /// "folds by 90 degrees", "steers 35 degrees to either side, tilts by 70 degrees".
    pub travel: String,
    /// From clip to clip across the joint as the boat is drawn.
    pub at_rest: Metres,
    /// The farthest that the clips come apart.
    pub greatest: Metres,
}

impl Loop {
    /// What is to be left between the clips: enough for the whole travel, and for gentle bends.
    pub fn between_clips(&self) -> Metres {
        Metres(self.greatest.0 + rules().bend.value)
    }

    /// What that adds to the cable.
    pub fn added(&self) -> Metres {
        Metres(self.between_clips().0 - self.at_rest.0)
    }
}

/// The way from one place to another along the boat, across and up.
pub fn square(from: DVec3, to: DVec3) -> Metres {
    let way = (to - from).abs();
    Metres(way.x + way.y + way.z)
}

/// The way from one place to another through those that a leg names, straight in between; square where it names none.
pub fn through(scene: &Scene, leg: &Leg, from: DVec3, to: DVec3) -> Metres {
    if leg.through.is_empty() {
        return square(from, to);
    }
    let places = leg.through.iter().map(|place| scene.vessel.locate(place));
    let (length, last) = places.fold((0.0, from), |(length, last), next| (length + last.distance(next), next));
    Metres(length + last.distance(to))
}

/// The way from the panel to a lamp. A lamp on a pole is reached from the pole's foot, one on an engine from its clamp,
/// unless the leg names places.
pub fn to_lamp(scene: &Scene, lamp: &Lamp, leg: &Leg, panel: DVec3) -> Metres {
    let end = scene.posed_lamp(lamp, &Pose::default()).centre;
    match pivot(scene, lamp) {
        Some((_, foot)) if leg.through.is_empty() => {
            let (near, far) = (square(panel, foot), foot.distance(end));
            Metres(near.0 + if matches!(lamp.mount, Mount::Pole(_)) { far } else { square(foot, end).0 })
        }
        _ => through(scene, leg, panel, end),
    }
}

/// The part that carries a lamp, and the point it moves about.
fn pivot<'s>(scene: &'s Scene, lamp: &Lamp) -> Option<(&'s crate::boat::Part, DVec3)> {
    let (Mount::Pole(name) | Mount::Outboard(name)) = &lamp.mount else { return None };
    let part = scene.part(name)?;
    match &part.kind {
        PartKind::Mast { at, .. } | PartKind::Outboard { at, .. } => Some((part, scene.vessel.locate(at))),
        _ => None,
    }
}

/// The loops that the lamps of a fit need, seen from the panel.
pub fn loops(scene: &Scene, fit: &Fit, panel: DVec3) -> Vec<Loop> {
    fit.lamps.iter().enumerate().filter_map(|(index, lamp)| loop_of(scene, index, lamp, panel)).collect()
}

/// A clip stands on the boat toward the panel, another on what moves toward the lamp, each as far from the joint. How far
/// they come apart is looked for every five degrees of every joint.
fn loop_of(scene: &Scene, index: usize, lamp: &Lamp, panel: DVec3) -> Option<Loop> {
    let (part, foot) = pivot(scene, lamp)?;
    let (poses, travel) = poses(&part.kind)?;
    let level = DVec3::new(panel.x - foot.x, panel.y - foot.y, 0.0);
    let fixed = foot + level.try_normalize().unwrap_or(DVec3::X) * rules().clip.value;
    let straight = Pose { steering: Some(0.0), tilt: Some(0.0), fold: Some(0.0), posture: None };
    let toward = scene.posed_lamp(lamp, &straight).centre - foot;
    let moving = foot + toward.try_normalize().unwrap_or(DVec3::Z) * rules().clip.value.min(toward.length());
    let apart = |pose: &Pose| part.kind.swing(&scene.vessel, pose).transform_point3(moving).distance(fixed);
    let greatest = poses.iter().map(&apart).fold(0.0, f64::max);
    Some(Loop {
        lamp: index,
        part: part.name.clone(),
        travel,
        at_rest: Metres(apart(&Pose::default())),
        greatest: Metres(greatest),
    })
}

/// Every position of the joints of a part, and their travel in words; `None` where none of them moves.
fn poses(kind: &PartKind) -> Option<(Vec<Pose>, String)> {
    let moves = |joint: &Joint| joint.most - joint.least > 1e-9;
    match kind {
        PartKind::Mast { fold, .. } if moves(fold) => {
            let poses = steps(fold).map(|fold| Pose { fold: Some(fold), ..Pose::default() }).collect();
            Some((poses, format!("folds by {} degrees", crate::measure::trimmed(fold.most - fold.least, 1))))
        }
        PartKind::Outboard { steering, tilt, .. } if moves(steering) || moves(tilt) => {
            let tilted = |steering: f64| {
                steps(tilt).map(move |tilt| Pose { steering: Some(steering), tilt: Some(tilt), ..Pose::default() })
            };
            let words =
                [("steers through", steering), ("tilts by", tilt)].into_iter().filter(|(_, joint)| moves(joint)).map(
                    |(word, joint)| format!("{word} {} degrees", crate::measure::trimmed(joint.most - joint.least, 1)),
                );
            Some((steps(steering).flat_map(tilted).collect(), words.collect::<Vec<_>>().join(", ")))
        }
        _ => None,
    }
}

/// From one end of a joint to the other, at most five degrees apart.
fn steps(joint: &Joint) -> impl Iterator<Item = f64> {
    let (least, travel) = (joint.least, joint.most - joint.least);
    let count = (travel / 5.0).ceil().clamp(1.0, 72.0) as u32;
    (0..=count).map(move |n| least + travel * f64::from(n) / f64::from(count))
}
