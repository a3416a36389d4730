//! Every way the boat lies and moves in normal use: trim, heel, steering, and people seated or standing.

use super::Stance;
use crate::{
    boat::{Attitude, Fit, PartKind, Pose, Posture, Scene},
    measure::{Degrees, trimmed},
};

/// One way she lies, with its words.
#[derive(Clone, Debug)]
pub struct Case {
    /// "at rest", "trimmed 4 degrees by the stern, heeled 5 degrees to port".
    pub words: String,
    /// How many things differ from rest.
    pub changes: usize,
    /// Where her joints stand and how her people are.
    pub pose: Pose,
    pub stance: Stance,
}

/// All combinations of the extremes that the scene's conditions name; the first is rest.
pub fn cases(scene: &Scene, fit: &Fit) -> Vec<Case> {
    let conditions = &scene.conditions;
    let trims = distinct([0.0, conditions.trim.0.0, conditions.trim.1.0]);
    let heels = distinct([0.0, conditions.heel.0, -conditions.heel.0]);
    let mut cases = Vec::new();
    let rest = Stance::new(scene, fit, &Pose::default(), Attitude::default());
    for pose in poses(scene) {
        let still = if pose == Pose::default() { rest.clone() } else { rest.posed_otherwise(scene, fit, &pose) };
        for trim in &trims {
            for heel in &heels {
                let attitude = Attitude { trim: Degrees(*trim), heel: Degrees(*heel) };
                let words = words(&pose, attitude);
                let changes = words.len();
                let words = if words.is_empty() { "at rest".into() } else { words.join(", ") };
                cases.push(Case { words, changes, pose, stance: still.lying(attitude) });
            }
        }
    }
    cases
}

/// The joint positions that make a difference on this boat; the first leaves all at rest.
fn poses(scene: &Scene) -> Vec<Pose> {
    let steers = scene.parts.iter().any(|part| matches!(part.kind, PartKind::Outboard { .. }));
    let stirs =
        scene.parts.iter().any(|part| matches!(&part.kind, PartKind::Person { postures, .. } if postures.len() > 1));
    let limit = scene.conditions.steering.0;
    let steerings: Vec<_> = if steers && limit > 0.0 { vec![None, Some(limit), Some(-limit)] } else { vec![None] };
    let postures: Vec<_> = if stirs { vec![None, Some(Posture::Seated), Some(Posture::Standing)] } else { vec![None] };
    let mut poses = Vec::new();
    for posture in postures {
        for steering in &steerings {
            poses.push(Pose { steering: *steering, posture, ..Pose::default() });
        }
    }
    poses
}

fn distinct(values: [f64; 3]) -> Vec<f64> {
    let mut kept: Vec<f64> = Vec::new();
    for value in values {
        if !kept.contains(&value) {
            kept.push(value);
        }
    }
    kept
}

/// What differs from rest, a phrase for each.
fn words(pose: &Pose, attitude: Attitude) -> Vec<String> {
    let degrees = |value: f64| {
        let text = trimmed(value.abs(), 1);
        format!("{text} degree{}", if text == "1" { "" } else { "s" })
    };
    let mut words = Vec::new();
    match attitude.trim.0 {
        trim if trim > 0.0 => words.push(format!("bow up {}", degrees(trim))),
        trim if trim < 0.0 => words.push(format!("bow down {}", degrees(trim))),
        _ => {}
    }
    match attitude.heel.0 {
        heel if heel > 0.0 => words.push(format!("heeled {} to starboard", degrees(heel))),
        heel if heel < 0.0 => words.push(format!("heeled {} to port", degrees(heel))),
        _ => {}
    }
    match pose.steering {
        Some(angle) if angle > 0.0 => words.push(format!("outboard turned {} clockwise", degrees(angle))),
        Some(angle) => words.push(format!("outboard turned {} anticlockwise", degrees(angle))),
        None => {}
    }
    match pose.posture {
        Some(Posture::Seated) => words.push("people seated".into()),
        Some(Posture::Standing) => words.push("people standing".into()),
        None => {}
    }
    words
}
