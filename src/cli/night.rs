//! `lampwalk night`: the 3D window.

use std::{path::PathBuf, process::ExitCode, sync::Arc, time::Instant};

use super::{builtin, chosen_fits, told, unusable};
use crate::{
    boat::Status,
    edit::Document,
    night::{Choice, WindowOptions, display_available, still_frames, window},
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
    /// Draw so many frames, turning round the boat, tell how quickly, and leave; without a display into a picture.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    measure_frames: Option<u32>,
    /// Width and height of the window in pixels, as 1280x720.
    #[arg(long, value_name = "SIZE", value_parser = super::still::size, default_value = "1280x720")]
    size: (u32, u32),
}

pub(super) fn run(args: &Args) -> ExitCode {
    let started = Instant::now();
    let document = match &args.scene {
        Some(path) => Document::open(path),
        None => builtin::document(),
    };
    let document = match document {
        Ok(document) => document,
        Err(error) => return told(&error),
    };
    let scene = Arc::clone(document.scene());
    let fit = match chosen_fits(&scene, args.scene.as_ref(), args.fit.as_deref()) {
        Ok(fits) => scene.fits.iter().position(|fit| fits.first().is_some_and(|first| std::ptr::eq(*first, fit))),
        Err(why) => return unusable(&why),
    };
    let status = args.status.plain(scene.vessel.propulsion);
    let asked = Some(status).filter(|status| !scene.vessel.statuses.contains(status));
    let choice = Choice { fit: fit.unwrap_or(0), status, asked, ..Choice::opening(&scene) };
    if let Some(count) = args.measure_frames
        && !display_available()
    {
        eprintln!("lampwalk: there is no display; measuring a picture without panels instead");
        return match still_frames(&scene, args.size, count, started) {
            Ok(report) => {
                println!("{report}");
                ExitCode::SUCCESS
            }
            Err(why) => unusable(&why.to_string()),
        };
    }
    let measure = args.measure_frames.map(|count| (count, started));
    let document = Some(document);
    match open(WindowOptions { choice: Some(choice), size: args.size, measure, document, ..WindowOptions::of(scene) }) {
        Ok(code) => code,
        Err(why) => unusable(&format!("{why}; `lampwalk survey` gives the numbers without one")),
    }
}

/// Opens the built-in boat, or a sentence on why no window can be had.
pub(super) fn open_builtin() -> Result<ExitCode, String> {
    let document = builtin::document().map_err(|error| error.to_string())?;
    let scene = Arc::clone(document.scene());
    open(WindowOptions { document: Some(document), ..WindowOptions::of(scene) })
}

fn open(options: WindowOptions) -> Result<ExitCode, String> {
    window(options).map(|()| ExitCode::SUCCESS).map_err(|error| error.to_string())
}
