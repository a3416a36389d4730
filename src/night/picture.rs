//! The window as a picture: on a key, beside the scene; or once, when everything is ready, and then it closes.
//!
//! Takes [`Work::Picture`] or a path; gives a PNG file, and a sentence on where it went. Must never change what is drawn.

use std::{
    env,
    io::{self, Cursor},
    path::{Path, PathBuf},
};

use bevy::{
    prelude::*,
    render::view::screenshot::{Screenshot, ScreenshotCaptured},
};
use image::ImageFormat;

use super::{
    Judged, Rig, Said, Steps, Work, Workbench,
    frames::{self, Ready},
    known::Verdicts,
    window::Fate,
};
use crate::{edit::may_be_written, whole_file};

/// Takes pictures of the window when asked.
pub struct PicturesPlugin;

impl Plugin for PicturesPlugin {
    fn build(&self, app: &mut App) {
        app.add_message::<Work>().add_systems(Update, take.in_set(Steps::Work));
    }
}

fn take(mut commands: Commands, mut works: MessageReader<Work>, bench: Option<Res<Workbench>>) {
    let Some(bench) = bench else { return };
    // Asked for twice within a frame, it would be twice the same.
    if works.read().filter(|work| **work == Work::Picture).count() == 0 {
        return;
    }
    let (folder, stem) = (bench.folder(), stem_of(&bench.name()));
    commands.spawn(Screenshot::primary_window()).observe(
        move |captured: On<ScreenshotCaptured>, mut works: MessageWriter<Work>| {
            works.write(Work::Say(kept(&captured, &folder, &stem)));
        },
    );
}

/// A scene's name without its ending.
fn stem_of(name: &str) -> String {
    Path::new(name).file_stem().map_or_else(|| "lampwalk".into(), |stem| stem.to_string_lossy().into_owned())
}

fn kept(captured: &Image, folder: &Path, stem: &str) -> Said {
    let written = png_of(captured).and_then(|png| write_beside(&png, folder, stem));
    match written {
        Ok(path) => Said { words: format!("The picture is {}.", path.display()), wrong: false },
        Err(why) => Said { words: format!("The picture cannot be kept: {why}."), wrong: true },
    }
}

fn png_of(captured: &Image) -> Result<Vec<u8>, String> {
    let picture = captured.clone().try_into_dynamic().map_err(|error| error.to_string())?;
    let mut png = Cursor::new(Vec::new());
    // What a screen would let shine through is no part of a picture.
    picture.to_rgb8().write_to(&mut png, ImageFormat::Png).map_err(|error| error.to_string())?;
    Ok(png.into_inner())
}

/// Writes a picture beside the scene, or where that cannot be, into the folder in which the program was started, under the
/// next number that is free.
fn write_beside(png: &[u8], folder: &Path, stem: &str) -> Result<PathBuf, String> {
    let here = env::current_dir().ok();
    let mut failed = String::new();
    for folder in std::iter::once(folder).chain(here.as_deref()) {
        let path = next_free(folder, stem);
        match may_be_written(&path).and_then(|()| whole_file::write(&path, png, None)) {
            Ok(()) => return Ok(path),
            Err(error) => failed = why(&path, &error),
        }
    }
    Err(failed)
}

fn why(path: &Path, error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => format!("there is no folder {}", whole_file::folder_of(path).display()),
        _ => format!("{} cannot be written: {error}", path.display()),
    }
}

fn next_free(folder: &Path, stem: &str) -> PathBuf {
    let numbered = |number: u32| folder.join(format!("{stem}-{number}.png"));
    (1..u32::MAX).map(numbered).find(|path| !path.exists()).unwrap_or_else(|| numbered(u32::MAX))
}

/// Takes one picture when all that belongs in it is there, and closes the window.
pub struct OnePicturePlugin {
    pub path: PathBuf,
}

impl Plugin for OnePicturePlugin {
    fn build(&self, app: &mut App) {
        app.insert_resource(Wanted { path: Some(self.path.clone()), rested: 0 }).add_systems(Last, take_one);
        frames::listen(app);
    }
}

#[derive(Resource)]
struct Wanted {
    /// `None` once it is taken.
    path: Option<PathBuf>,
    /// Frames since something was last seen to change.
    rested: u32,
}

/// Frames that a picture must have stayed the same: letters and lights come into it one after another.
const AT_REST: u32 = 12;

fn take_one(
    mut commands: Commands,
    mut wanted: ResMut<Wanted>,
    ready: Res<Ready>,
    judged: Res<Judged>,
    verdicts: Res<Verdicts>,
    rig: Res<Rig>,
) {
    let settled = ready.now() && judged.0.is_some() && !verdicts.is_working() && !rig.is_changed();
    wanted.rested = if settled { wanted.rested + 1 } else { 0 };
    if wanted.rested < AT_REST {
        return;
    }
    let Some(path) = wanted.path.take() else { return };
    commands.spawn(Screenshot::primary_window()).observe(
        move |captured: On<ScreenshotCaptured>, fate: Res<Fate>, mut leave: MessageWriter<AppExit>| {
            let written = png_of(&captured)
                .and_then(|png| whole_file::write(&path, &png, None).map_err(|error| why(&path, &error)));
            leave.write(match written {
                Ok(()) => AppExit::Success,
                Err(why) => fate.closes(why),
            });
        },
    );
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_takes_the_next_number_that_is_free() {
        let folder = tempfile::tempdir().expect("a folder");
        let write = || write_beside(b"picture", folder.path(), "curlew").expect("a folder that can be written");
        assert_eq!((write(), write()), (folder.path().join("curlew-1.png"), folder.path().join("curlew-2.png")));
        assert_eq!(stem_of("curlew.ron"), "curlew");
    }
}
