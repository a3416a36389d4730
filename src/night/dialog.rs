//! The system's own dialog for choosing a file, beside the window: it is asked for, and the window goes on.
//!
//! Takes [`Work::Browse`] and what the workbench asks; gives [`Work::Open`], [`Work::SaveAs`] or
//! [`Work::NothingBrowsed`]. Must never open a file.

use std::path::PathBuf;

use bevy::{
    ecs::system::NonSendMarker,
    prelude::*,
    tasks::{IoTaskPool, Task, block_on, poll_once},
};
use rfd::AsyncFileDialog;

use super::{Card, Steps, Work, Workbench};

/// Lets the system's dialog be used. Without this plugin, asking for it does nothing.
pub struct DialogPlugin;

impl Plugin for DialogPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Browsing>()
            .add_message::<Work>()
            .add_systems(Update, (gather, browse).in_set(Steps::Hands));
    }
}

/// The dialog that is open.
#[derive(Resource, Default)]
pub struct Browsing(Option<(Asked, Task<Option<PathBuf>>)>);

impl Browsing {
    pub fn is_open(&self) -> bool {
        self.0.is_some()
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Asked {
    Open,
    SaveAs,
}

/// On some systems a dialog can only be opened where the window was: hence the marker.
fn browse(
    _here: NonSendMarker,
    bench: Option<Res<Workbench>>,
    mut works: MessageReader<Work>,
    mut browsing: ResMut<Browsing>,
) {
    let wanted = works.read().filter(|work| **work == Work::Browse).count() > 0;
    let Some(card) = bench.as_ref().and_then(|bench| bench.card()).filter(|_| wanted && !browsing.is_open()) else {
        return;
    };
    let scenes = AsyncFileDialog::new().add_filter("lampwalk scenes", &["ron"]);
    let (asked, task) = match card {
        Card::Open(choices) => {
            let chosen = scenes.set_title("Open a scene").set_directory(&choices.folder).pick_file();
            (Asked::Open, IoTaskPool::get().spawn(async { chosen.await.map(|file| file.path().to_path_buf()) }))
        }
        Card::SaveAs { folder, name, .. } => {
            let titled = scenes.set_title("Save the scene as").set_directory(folder).set_file_name(name);
            let chosen = titled.save_file();
            (Asked::SaveAs, IoTaskPool::get().spawn(async { chosen.await.map(|file| file.path().to_path_buf()) }))
        }
        Card::Unsaved { .. } => return,
    };
    browsing.0 = Some((asked, task));
}

/// Takes what was chosen.
fn gather(mut browsing: ResMut<Browsing>, mut works: MessageWriter<Work>) {
    let Some((asked, task)) = &mut browsing.bypass_change_detection().0 else { return };
    let Some(chosen) = block_on(poll_once(task)) else { return };
    works.write(match (*asked, chosen) {
        (_, None) => Work::NothingBrowsed,
        (Asked::Open, Some(path)) => Work::Open(path),
        (Asked::SaveAs, Some(path)) => Work::SaveAs(path),
    });
    browsing.0 = None;
}
