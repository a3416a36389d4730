//! `lampwalk night`: the 3D window.

use std::{path::PathBuf, process::ExitCode, sync::Arc};

use super::{builtin, chosen_fits, read_scene, unusable};
use crate::{
    boat::{Scene, Status},
    night::{Choice, WindowOptions, window},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Scene file (RON); without one, the built-in boat.
    #[arg(value_name = "SCENE")]
    scene: Option<PathBuf>,
    /// The fit to open with; otherwise the first.
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// What the boat is doing when the window opens.
    #[arg(long, value_name = "NAME", value_parser = super::status(), default_value = "under-way", hide_possible_values = true)]
    status: Status,
}

pub(super) fn run(args: &Args) -> ExitCode {
    let mut scene = match &args.scene {
        Some(path) => match read_scene(path) {
            Ok(scene) => scene,
            Err(code) => return code,
        },
        None => match builtin::scene() {
            Ok(scene) => scene,
            Err(error) => return unusable(&error.to_string()),
        },
    };
    let fit = match chosen_fits(&scene, args.scene.as_ref(), args.fit.as_deref()) {
        Ok(fits) => scene.fits.iter().position(|fit| fits.first().is_some_and(|first| std::ptr::eq(*first, fit))),
        Err(why) => return unusable(&why),
    };
    let status = args.status.plain(scene.vessel.propulsion);
    if !scene.vessel.statuses.contains(&status) {
        scene.vessel.statuses.push(status);
    }
    let choice = Choice { fit: fit.unwrap_or(0), status, ..Choice::opening(&scene) };
    match open(scene, Some(choice)) {
        Ok(code) => code,
        Err(why) => unusable(&format!("{why}; `lampwalk survey` gives the numbers without one")),
    }
}

/// Opens the built-in boat, or a sentence on why no window can be had.
pub(super) fn open_builtin() -> Result<ExitCode, String> {
    let scene = builtin::scene().map_err(|error| error.to_string())?;
    open(scene, None)
}

fn open(scene: Scene, choice: Option<Choice>) -> Result<ExitCode, String> {
    let options = WindowOptions { choice, ..WindowOptions::of(Arc::new(scene)) };
    window(options).map(|()| ExitCode::SUCCESS).map_err(|error| error.to_string())
}
