//! `lampwalk night`: the 3D window.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
    time::Instant,
};

use super::{builtin, chosen_fits, shot::ViewName, told, unusable};
use crate::{
    boat::{Status, read::nearest},
    edit::{Document, scenes_in},
    measure::Bearing,
    night::{Choice, Orbit, Sight, Watch, WindowOptions, display_available, still_frames, window},
    teach::lesson::{Lesson, read_file, supplied},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Scene file (RON), or a folder of them, of which the first by name is opened; without one, the built-in boat.
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
    /// Keep the window as a picture when everything is there, and leave.
    #[arg(long, value_name = "FILE.png", conflicts_with = "measure_frames")]
    picture: Option<PathBuf>,
    /// The view to open with: from above with the ring of observers, from the water, or close by on deck.
    #[arg(long, value_enum, default_value = "aloft")]
    view: ViewName,
    /// With the next fit beside it, both seen by the same eye.
    #[arg(long)]
    both: bool,
    /// What the observer looks through is as near as fills his view with the boat.
    #[arg(long)]
    near: bool,
    /// Begin with a lesson: one of the supplied ones by name, or a lesson file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", conflicts_with = "measure_frames")]
    lesson: Option<String>,
    /// Where the eye is at first, as a relative bearing: degrees clockwise from her bow.
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true)]
    bearing: Option<f64>,
    /// Width and height of the window in pixels, as 1280x720.
    #[arg(long, value_name = "SIZE", value_parser = super::shot::size, default_value = "1280x720")]
    size: (u32, u32),
}

pub(super) fn run(args: &Args) -> ExitCode {
    let started = Instant::now();
    let path = match args.scene.as_deref().map(scene_at).transpose() {
        Ok(path) => path,
        Err(why) => return unusable(&why),
    };
    let document = match &path {
        Some(path) => Document::open(path),
        None => builtin::document(),
    };
    let document = match document {
        Ok(document) => document,
        Err(error) => return told(&error),
    };
    let scene = Arc::clone(document.scene());
    let fit = match chosen_fits(&scene, path.as_ref(), args.fit.as_deref()) {
        Ok(fits) => scene.fits.iter().position(|fit| fits.first().is_some_and(|first| std::ptr::eq(*first, fit))),
        Err(why) => return unusable(&why),
    };
    let status = args.status.plain(scene.vessel.propulsion);
    let asked = Some(status).filter(|status| !scene.vessel.statuses.contains(status));
    let opening = Choice { fit: fit.unwrap_or(0), status, asked, ..Choice::opening(&scene) };
    let choice = looking(opening, args);
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
    let lesson = match args.lesson.as_deref().map(lesson_named).transpose() {
        Ok(lesson) => lesson,
        Err(code) => return code,
    };
    let measure = args.measure_frames.map(|count| (count, started));
    let (document, picture) = (Some(document), args.picture.clone());
    let choice = Some(choice);
    let options =
        WindowOptions { choice, size: args.size, measure, picture, document, lesson, ..WindowOptions::of(scene) };
    match window(options) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) if why.is_of_the_machine() => unusable(&format!("{why}; {}", without_a_window(args))),
        Err(why) => unusable(&why.to_string()),
    }
}

/// A supplied lesson by its name, or one from a file; or what is wrong told, and the exit status for it.
fn lesson_named(name: &str) -> Result<Arc<Lesson>, ExitCode> {
    if let Some(lesson) = supplied().iter().find(|lesson| lesson.name.eq_ignore_ascii_case(name.trim())) {
        return Ok(Arc::new(lesson.clone()));
    }
    let path = Path::new(name);
    if !path.exists() {
        let names: Vec<&str> = supplied().iter().map(|lesson| lesson.name.as_str()).collect();
        let mend = match nearest(name, &names) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("supplied are {}", names.join(", ")),
        };
        return Err(unusable(&format!("there is no lesson and no lesson file \"{name}\"; {mend}")));
    }
    read_file(path).map(Arc::new).map_err(|error| told(&error))
}

fn without_a_window(args: &Args) -> &'static str {
    match args.picture {
        Some(_) => "`lampwalk still` draws pictures without a display",
        None => "`lampwalk survey` gives the numbers without one",
    }
}

/// The scene that is named, or the first by name in a folder; or a sentence on why there is none.
fn scene_at(path: &Path) -> Result<PathBuf, String> {
    if !path.is_dir() {
        return Ok(path.into());
    }
    let scenes = scenes_in(path).map_err(|error| format!("the folder {} cannot be read: {error}", path.display()))?;
    let none = || format!("there is no scene in the folder {}: a scene is a file that ends in .ron", path.display());
    scenes.into_iter().next().ok_or_else(none)
}

/// What is chosen, seen as the command line asks.
fn looking(choice: Choice, args: &Args) -> Choice {
    let sight = if args.near { Sight::Filled } else { choice.sight };
    let Some(bearing) = args.bearing.map(Bearing::new) else {
        return Choice { view: args.view.view(), split: args.both, sight, ..choice };
    };
    Choice {
        view: args.view.view(),
        split: args.both,
        sight,
        watch: Watch { bearing, ..choice.watch },
        aloft: Orbit { bearing, ..choice.aloft },
        deck: Orbit { bearing, ..choice.deck },
        ..choice
    }
}

/// Opens the built-in boat, or a sentence on why no window can be had.
pub(super) fn open_builtin() -> Result<ExitCode, String> {
    let document = builtin::document().map_err(|error| error.to_string())?;
    let scene = Arc::clone(document.scene());
    match window(WindowOptions { document: Some(document), ..WindowOptions::of(scene) }) {
        Ok(()) => Ok(ExitCode::SUCCESS),
        Err(why) if why.is_of_the_machine() => Err(why.to_string()),
        Err(why) => Ok(unusable(&why.to_string())),
    }
}
