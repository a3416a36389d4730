//! The chosen thing moved by keys: with Alt held, the arrows move it fore and aft and athwart, Page Up and Down up and down.
//!
//! Takes keys; gives messages of [`Work`], one step from the first key until Alt is let go. Must never change anything
//! itself.

use bevy::{
    input::{ButtonState, keyboard::KeyboardInput},
    prelude::*,
};
use glam::DVec3;

use super::{Known, Work, Workbench, hands::Taken};
use crate::{
    boat::{Height, Place, Scene},
    edit::{Edit, Spot, Subject, places},
};

/// Metres that one key moves.
const STEP: f64 = 0.005;

/// Where a key moves, in steps: forward, starboard, up.
fn way_of(key: KeyCode) -> Option<DVec3> {
    Some(match key {
        KeyCode::ArrowUp => DVec3::X,
        KeyCode::ArrowDown => DVec3::NEG_X,
        KeyCode::ArrowRight => DVec3::Y,
        KeyCode::ArrowLeft => DVec3::NEG_Y,
        KeyCode::PageUp => DVec3::Z,
        KeyCode::PageDown => DVec3::NEG_Z,
        _ => return None,
    })
}

/// Every place of something, as it is.
pub(super) fn spots_of(scene: &Scene, subject: Subject) -> Vec<(Spot, Place)> {
    let spots: Vec<Spot> = match subject {
        Subject::Lamp(at) => vec![Spot::Lamp(at)],
        Subject::Part(part) => {
            let many = scene.parts.get(part).map_or(0, |part| places(&part.kind).len());
            (0..many).map(|nth| Spot::Part { part, nth }).collect()
        }
        Subject::Scene | Subject::Fit(_) => Vec::new(),
    };
    spots.into_iter().filter_map(|spot| Some((spot, spot.of(scene)?))).collect()
}

/// Moves of several places at once, as one.
pub(super) fn together(scene: &Scene, moves: Vec<Edit>) -> Option<Edit> {
    match moves.len() {
        0 | 1 => moves.into_iter().next(),
        _ => Some(Edit::All { label: moves[0].label(scene), edits: moves }),
    }
}

/// A run of keys while Alt is held.
pub(super) struct Run {
    before: Vec<(Spot, Place)>,
    /// Steps forward, to starboard and up.
    steps: DVec3,
}

impl Run {
    fn edit(&self, scene: &Scene) -> Option<Edit> {
        let by = self.steps * STEP;
        let moved = |(what, place): &(Spot, Place)| {
            let mut to = *place;
            to.forward += by.x;
            to.starboard += by.y;
            let (Height::AboveDeck(up) | Height::AboveGunwale(up) | Height::AboveWaterline(up)) = &mut to.height;
            *up += by.z;
            Edit::Move { what: *what, to }
        };
        together(scene, self.before.iter().map(moved).collect())
    }
}

pub(super) fn nudge(
    taken: Taken,
    held: Res<ButtonInput<KeyCode>>,
    known: Res<Known>,
    bench: Option<Res<Workbench>>,
    mut keys: MessageReader<KeyboardInput>,
    mut works: MessageWriter<Work>,
    mut run: Local<Option<Run>>,
) {
    let Some(bench) = bench else { return keys.clear() };
    let alt = held.any_pressed([KeyCode::AltLeft, KeyCode::AltRight]);
    for key in keys.read().filter(|key| key.state == ButtonState::Pressed) {
        let (Some(way), Some(subject), true) = (way_of(key.key_code), bench.chosen(), alt && !taken.keys()) else {
            continue;
        };
        let run = run.get_or_insert_with(|| {
            works.write(Work::BeginDrag);
            Run { before: spots_of(known.scene(), subject), steps: DVec3::ZERO }
        });
        run.steps += way;
        works.write_batch(run.edit(known.scene()).map(Work::Do));
    }
    if !alt && run.take().is_some() {
        works.write(Work::EndDrag);
    }
}
