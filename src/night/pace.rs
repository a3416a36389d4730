//! Draws only when there is something new to draw: on a boat that lies still on a sea that is held, a frame now and then.

use std::time::Duration;

use bevy::{
    prelude::*,
    render::view::screenshot::Screenshot,
    winit::{UpdateMode, WinitSettings},
};
use bevy_egui::{
    EguiInput, EguiPreUpdateSet,
    egui::{Event, Modifiers},
};

use super::{Choice, Judged, Rig, dialog::Browsing, known::Verdicts};

/// Sets how often a window draws.
pub struct PacePlugin;

impl Plugin for PacePlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Last, pace)
            .add_systems(PreUpdate, hush.after(EguiPreUpdateSet::ProcessInput).before(EguiPreUpdateSet::BeginPass));
    }
}

/// How long a window with nothing new waits before it looks again.
const WAIT: Duration = Duration::from_secs(5);
/// Between frames of a moving sea in a window that is not in use.
const IN_BACKGROUND: Duration = Duration::from_millis(50);

/// The panels are told each frame which of Ctrl, Shift and the like are held, and take whatever they are told as a
/// reason to draw again. Told only of changes, they can rest.
fn hush(mut inputs: Query<&mut EguiInput>, mut told: Local<Modifiers>) {
    for mut input in &mut inputs {
        let mut last = *told;
        input.events.retain(|event| match event {
            Event::ModifiersChanged(now) => std::mem::replace(&mut last, *now) != *now,
            _ => true,
        });
        *told = last;
    }
}

fn pace(
    choice: Res<Choice>,
    (judged, verdicts): (Res<Judged>, Res<Verdicts>),
    rig: Res<Rig>,
    browsing: Option<Res<Browsing>>,
    pictures: Query<(), With<Screenshot>>,
    (keys, buttons): (Res<ButtonInput<KeyCode>>, Res<ButtonInput<MouseButton>>),
    mut settings: ResMut<WinitSettings>,
) {
    let held = keys.get_pressed().next().is_some() || buttons.get_pressed().next().is_some();
    let awaited = browsing.is_some_and(|browsing| browsing.is_open()) || !pictures.is_empty();
    let changing = awaited
        || judged.0.is_none()
        || verdicts.is_working()
        || judged.is_changed()
        || choice.is_changed()
        || rig.is_changed();
    let (focused, unfocused) = if choice.sea || held || changing {
        (UpdateMode::Continuous, UpdateMode::reactive_low_power(IN_BACKGROUND))
    } else {
        (UpdateMode::reactive(WAIT), UpdateMode::reactive_low_power(WAIT))
    };
    if settings.focused_mode != focused || settings.unfocused_mode != unfocused {
        (settings.focused_mode, settings.unfocused_mode) = (focused, unfocused);
    }
}
