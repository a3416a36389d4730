//! `lampwalk sheet`: the fitter's work sheets, as PDF to print and as one HTML file.

use std::{
    fs,
    path::{Path, PathBuf},
    process::ExitCode,
};

use clap::ValueEnum;

use super::{chosen_fits, chosen_rules, output, plain_name, read_scene, today, unusable};
use crate::{
    boat::{Fit, Scene, Status},
    fitting::{bracket::for_lamp, marking::marking},
    rules::{Date, Rules, Severity, judge},
    sheet::{
        Surveyed,
        paper::{Size, html, pdf},
        work::{Units, Work, paper},
    },
    survey::{Settings, Survey},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// The boat (RON).
    #[arg(value_name = "SCENE")]
    scene: PathBuf,
    /// The folder to write into; it is made where it is not there.
    #[arg(short, long, value_name = "DIR")]
    output: PathBuf,
    /// Only this fit; otherwise a set for each.
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// What the boat is doing.
    #[arg(long, value_name = "NAME", value_parser = super::status(), default_value = "under-way", hide_possible_values = true)]
    status: Status,
    /// The rules to judge by: `international`, `inland`, or a rule file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// The units of lengths; holes are told in millimetres in any case.
    #[arg(long, value_enum, default_value = "metric")]
    units: UnitsNamed,
    /// The size of paper.
    #[arg(long, value_enum, default_value = "a4")]
    paper: PaperNamed,
    /// The day that stands on the sheets, such as 2027-12-31. [default: today, at Greenwich]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = day)]
    date: Option<Date>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum UnitsNamed {
    /// Millimetres and metres.
    Metric,
    /// Feet, inches and sixteenths.
    Us,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum PaperNamed {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 inches.
    Letter,
}

fn day(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "there is no such day; write year, month and day as 2027-12-31".into())
}

pub(super) fn run(args: &Args) -> ExitCode {
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let scene = match read_scene(&args.scene) {
        Ok(scene) => scene,
        Err(code) => return code,
    };
    super::unknown_waters(&scene, &rules).iter().for_each(|words| output::say(words));
    match written(args, &scene, &rules) {
        Ok(falls_short) => ExitCode::from(u8::from(falls_short)),
        Err(why) => unusable(&why),
    }
}

/// Writes a set for each fit; tells whether anything falls short.
fn written(args: &Args, scene: &Scene, rules: &Rules) -> Result<bool, String> {
    let fits = chosen_fits(scene, Some(&args.scene), args.fit.as_deref())?;
    folder(&args.output)?;
    let mut names = Vec::new();
    let mut falls_short = false;
    for fit in fits {
        let name = own_name(scene, fit, &names);
        falls_short |= one(args, scene, fit, rules, &args.output.join(&name))?;
        names.push(name);
    }
    Ok(falls_short)
}

/// The folder to write into, made where it is not there.
fn folder(path: &Path) -> Result<(), String> {
    if path.exists() && !path.is_dir() {
        return Err(format!("{} is a file, and the sheets go into a folder: name another with -o", path.display()));
    }
    fs::create_dir_all(path).map_err(|error| format!("the folder {} cannot be made: {error}", path.display()))
}

/// `sandpiper-proposed-fit`, with a number where that is taken.
fn own_name(scene: &Scene, fit: &Fit, taken: &[String]) -> String {
    let name = format!("{}-{}-fit", plain_name(&scene.name), plain_name(&fit.name));
    let numbered = (2..).map(|number| format!("{name}-{number}"));
    let mut free = std::iter::once(name.clone()).chain(numbered).filter(|one| !taken.contains(one));
    free.next().unwrap_or(name)
}

fn one(args: &Args, scene: &Scene, fit: &Fit, rules: &Rules, place: &Path) -> Result<bool, String> {
    let survey = Survey::of(scene, fit, args.status, &Settings::default());
    let judgement = judge(scene, fit, &survey, rules);
    let work = Work {
        surveyed: Surveyed { scene, fit, survey: &survey, judgement: &judgement },
        units: match args.units {
            UnitsNamed::Metric => Units::Metric,
            UnitsNamed::Us => Units::Us,
        },
        size: match args.paper {
            PaperNamed::A4 => Size::A4,
            PaperNamed::Letter => Size::Letter,
        },
        date: args.date.unwrap_or_else(today),
    };
    let sheets = paper(&work);
    let printed = pdf(&sheets).map_err(|error| error.to_string())?;
    for (ending, bytes) in [("pdf", printed), ("html", html(&sheets).into_bytes())] {
        // A name with a full stop in it must keep all of it.
        let mut path = place.as_os_str().to_owned();
        path.push(format!(".{ending}"));
        let path = PathBuf::from(path);
        output::write_file(&path, &bytes).map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
        output::say(&format!("wrote {}", path.display()));
    }
    let brackets = (0..fit.lamps.len()).filter_map(|lamp| for_lamp(scene, fit, lamp).ok());
    let marks = marking(scene, fit);
    let fitting = brackets.flat_map(|bracket| bracket.findings).chain(marks.into_iter().flat_map(|mark| mark.findings));
    let unlawful = judgement.display.is_none() || judgement.worst() == Some(Severity::Fault);
    Ok(unlawful | fitting.into_iter().any(|finding| finding.is_fault()))
}
