//! `lampwalk survey`: the numeric check against the rules.

use std::{
    borrow::Cow,
    io,
    path::{Path, PathBuf},
    process::ExitCode,
};

use clap::ValueEnum;
use rayon::prelude::*;

use super::{UNUSABLE, builtin, chosen_fits, chosen_rules, output, plain_name, read_scene, unusable};
use crate::{
    boat::{Fit, Scene, Status},
    rules::{Judgement, Rules, Severity, international, judge, screens_to_try},
    sheet::{self, Surveyed},
    survey::{Settings, Survey},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Scene files (RON).
    #[arg(required = true, value_name = "SCENE")]
    scenes: Vec<PathBuf>,
    /// Survey only this fit; otherwise every fit of every scene.
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// What the boat is doing.
    #[arg(long, value_name = "NAME", value_parser = super::status(), default_value = "under-way", hide_possible_values = true)]
    status: Status,
    /// The rules to judge by: `international`, `inland`, or a rule file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// Degrees between bearings, 0.05 to 45.
    #[arg(long, value_name = "DEGREES", default_value_t = 0.5, value_parser = step)]
    step: f64,
    /// Try matt black screens inboard of sidelights that owe one or show too far across the bow: the survey is of the
    /// boat with them, and what to add to the scene is told on standard error.
    #[arg(long)]
    screens: bool,
    /// Print one JSON object instead of text.
    #[arg(long, conflicts_with = "csv")]
    json: bool,
    /// Print one row a bearing and light as CSV instead of text.
    #[arg(long)]
    csv: bool,
    /// Write a polar plot too. With several fits, each goes to a file of its own, named after it.
    #[arg(long, value_name = "FILE.svg", value_parser = plot)]
    svg: Option<PathBuf>,
    /// Write a drawing of what each lamp looks out on too: what of the boat hides it, and where it must show. With several
    /// fits, each goes to a file of its own, named after it.
    #[arg(long, value_name = "FILE.svg", value_parser = plot)]
    outlook: Option<PathBuf>,
    /// The least severity that makes the exit status 1.
    #[arg(long, value_name = "SEVERITY", value_enum, default_value = "fault")]
    fail_on: FailOn,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum FailOn {
    Fault,
    Caution,
}

fn step(text: &str) -> Result<f64, String> {
    let degrees: f64 = text.parse().map_err(|_| "a number of degrees is wanted, such as 0.5".to_string())?;
    if (0.05..=45.0).contains(&degrees) { Ok(degrees) } else { Err("0.05 to 45 degrees are possible".into()) }
}

/// Reads where a drawing is to go.
pub(super) fn plot(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    if path.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("svg")) {
        Err("the plot is an SVG file: give it a name that ends in .svg".into())
    } else if folder.is_some_and(|folder| !folder.is_dir()) {
        Err("there is no such folder to write into".into())
    } else {
        Ok(path)
    }
}

/// One fit of one scene, to be surveyed.
struct Task<'a> {
    /// As read, or with what is tried.
    scene: Cow<'a, Scene>,
    fit: &'a Fit,
}

struct Done<'a> {
    task: Task<'a>,
    survey: Survey,
    judgement: Judgement<'a>,
}

impl Done<'_> {
    fn surveyed(&self) -> Surveyed<'_> {
        Surveyed { scene: &self.task.scene, fit: self.task.fit, survey: &self.survey, judgement: &self.judgement }
    }

    fn falls_short(&self, fail_on: FailOn) -> bool {
        let least = match fail_on {
            FailOn::Fault => Severity::Fault,
            FailOn::Caution => Severity::Caution,
        };
        // What was not judged has not met every requirement.
        self.judgement.display.is_none() || self.judgement.worst().is_some_and(|worst| worst >= least)
    }
}

pub(super) fn run(args: &Args) -> ExitCode {
    if args.svg.is_some() && args.svg == args.outlook {
        return unusable("--svg and --outlook name the same file: give each a name of its own");
    }
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let read: Vec<_> = args.scenes.iter().map(|path| (path, read_scene(path))).collect();
    let mut unusable_input = read.iter().any(|(_, scene)| scene.is_err());
    let mut tasks = Vec::new();
    for (path, scene) in &read {
        let Ok(scene) = scene else { continue };
        super::unknown_waters(scene, &rules).iter().for_each(|words| output::say(words));
        match chosen_fits(scene, Some(path), args.fit.as_deref()) {
            Ok(fits) => tasks.extend(fits.into_iter().map(|fit| Task { scene: Cow::Borrowed(scene), fit })),
            Err(why) => {
                output::say(&format!("lampwalk: {why}"));
                unusable_input = true;
            }
        }
    }
    let settings = Settings { step: args.step, ..Settings::default() };
    if args.screens {
        tasks = tasks.into_iter().map(|task| with_screens(task, args.status, &settings, &rules)).collect();
    }
    let done = surveyed(tasks, args.status, &settings, &rules);
    let shown = if done.is_empty() { Ok(()) } else { show(args, &done) };
    match shown {
        Err(why) => unusable(&why),
        Ok(()) if unusable_input => ExitCode::from(UNUSABLE),
        Ok(()) => ExitCode::from(u8::from(done.iter().any(|one| one.falls_short(args.fail_on)))),
    }
}

fn surveyed<'a>(tasks: Vec<Task<'a>>, status: Status, settings: &Settings, rules: &'a Rules) -> Vec<Done<'a>> {
    tasks
        .into_par_iter()
        .map(|task| {
            let survey = Survey::of(&task.scene, task.fit, status, settings);
            let judgement = judge(&task.scene, task.fit, &survey, rules);
            Done { task, survey, judgement }
        })
        .collect()
}

/// The same boat with screens tried, if any of her sidelights needs one; what to add to the scene is told.
fn with_screens<'a>(task: Task<'a>, status: Status, settings: &Settings, rules: &Rules) -> Task<'a> {
    let Task { scene, fit } = &task;
    let survey = Survey::of(scene, fit, status, settings);
    let judgement = judge(scene, fit, &survey, rules);
    let screens = screens_to_try(scene, fit, &survey, &judgement);
    let (boat, fit_name) = (&scene.name, &fit.name);
    if screens.is_empty() {
        output::say(&format!("{boat}, {fit_name}: no screen to try."));
        return task;
    }
    output::say(&format!("{boat}, {fit_name}: tried with these; add them to the parts of the scene to keep them:"));
    screens.iter().filter_map(sheet::screen_in_ron).for_each(|line| output::say(&format!("    {line}")));
    let mut tried = scene.clone().into_owned();
    tried.note = format!("{} Surveyed with screens that are only tried.", tried.note).trim().into();
    tried.parts.extend(screens);
    Task { scene: Cow::Owned(tried), fit }
}

fn show(args: &Args, done: &[Done]) -> Result<(), String> {
    let all: Vec<_> = done.iter().map(Done::surveyed).collect();
    let text = if args.json {
        sheet::json(&all)
    } else if args.csv {
        // A row is a light on a bearing, with no room for this; it must be said all the same.
        if let Some(words) = all.first().and_then(|one| sheet::waiver(one.judgement.rules)) {
            output::say(&format!("waiver: {words}"));
        }
        sheet::csv(&all)
    } else {
        texts(&all)
    };
    output::give(&text).map_err(|error| format!("standard output cannot be written: {error}"))?;
    let mut written = Vec::new();
    type Draw = fn(&Surveyed) -> String;
    for (path, draw) in [(&args.svg, sheet::polar as Draw), (&args.outlook, sheet::outlook)] {
        let Some(path) = path else { continue };
        for one in &all {
            let place =
                if all.len() == 1 { path.clone() } else { own_file(path, &one.scene.name, &one.fit.name, &written) };
            output::write_file(&place, draw(one).as_bytes())
                .map_err(|error| format!("{} cannot be written: {error}", place.display()))?;
            output::say(&format!("wrote {}", place.display()));
            written.push(place);
        }
    }
    Ok(())
}

fn texts(all: &[Surveyed]) -> String {
    let colour = output::colourful(&io::stdout());
    let sheets: Vec<_> = all.iter().map(|one| sheet::text(one, colour)).collect();
    sheets.join("\n")
}

/// `plot.svg` for the fit "as found" of Sandpiper is `plot-sandpiper-as-found.svg`, with a number where that is taken.
pub(super) fn own_file(path: &Path, boat: &str, fit: &str, taken: &[PathBuf]) -> PathBuf {
    let stem = path.file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    let name = format!("{stem}-{}-{}", plain_name(boat), plain_name(fit));
    let numbered = (2..).map(|number| format!("{name}-{number}.svg"));
    std::iter::once(format!("{name}.svg"))
        .chain(numbered)
        .map(|name| path.with_file_name(name))
        .find(|place| !taken.contains(place))
        .unwrap_or_else(|| path.to_path_buf())
}

/// The survey of the built-in boat, as text.
pub(super) fn builtin() -> ExitCode {
    let scene = match builtin::scene() {
        Ok(scene) => scene,
        Err(error) => return unusable(&error.to_string()),
    };
    let tasks = scene.fits.iter().map(|fit| Task { scene: Cow::Borrowed(&scene), fit }).collect();
    let done = surveyed(tasks, Status::UnderWay, &Settings::default(), international());
    let all: Vec<_> = done.iter().map(Done::surveyed).collect();
    match output::give(&texts(&all)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => unusable(&format!("standard output cannot be written: {error}")),
    }
}
