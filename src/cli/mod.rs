//! The commands: one file each, thin. Results go to standard output, messages to people to standard error.
//!
//! Takes the command line; gives an [`ExitCode`]: 0 every requirement met, 1 the work was done and something falls
//! short, 2 the input cannot be used. Must never compute light or judge.

mod builtin;
mod displays;
#[cfg(feature = "night")]
mod night;
mod output;
mod rules;
#[cfg(feature = "night")]
mod still;
mod survey;

use std::{
    borrow::Cow,
    path::{Path, PathBuf},
    process::ExitCode,
    time::SystemTime,
};

use clap::{
    Parser, Subcommand,
    builder::{PossibleValue, PossibleValuesParser, TypedValueParser},
    error::ErrorKind,
};

use crate::{
    boat::Status,
    rules::{BUILT_IN, Date, Rules, named, rules_file},
};

/// Walk round a boat at night and see what every other vessel sees of her navigation lights.
#[derive(Parser, Debug)]
#[command(version, about, after_help = AFTER_HELP, max_term_width = 100)]
struct Line {
    #[command(subcommand)]
    command: Option<Command>,
}

const AFTER_HELP: &str = "\
Without a command, opens the night with a built-in boat; where there is no display, prints the survey of that boat.

Exit status: 0 every requirement met; 1 the work was done and something falls short; 2 the input cannot be used.

A teaching and fitting aid. It does not replace the regulations in force or licensed practice.";

#[derive(Subcommand, Debug)]
enum Command {
    /// Open the 3D window.
    Night(NightArgs),
    /// Check the lights numerically against the rules.
    Survey(survey::Args),
    /// Show how she stands to every clause: met, not met, not applicable, or not checkable here.
    Rules(rules::Args),
    /// Look up which lights the rules ask of a vessel, with every lawful alternative.
    Displays(displays::Args),
    /// Draw a picture without a window.
    Still(StillArgs),
}

#[cfg(feature = "night")]
use self::{night::Args as NightArgs, still::Args as StillArgs};

/// Stands in where the program was built without pictures, so that the command is known and says why it cannot run.
#[cfg(not(feature = "night"))]
#[derive(clap::Args, Debug)]
struct NightArgs {
    #[arg(trailing_var_arg = true, allow_hyphen_values = true, hide = true)]
    ignored: Vec<String>,
}

#[cfg(not(feature = "night"))]
type StillArgs = NightArgs;

/// Exit status for input that cannot be used.
const UNUSABLE: u8 = 2;

/// Reads a status as the command line spells it; clap lists the choice.
fn status() -> impl TypedValueParser<Value = Status> {
    let keys = Status::ALL.iter().map(|status| PossibleValue::new(status.key()).help(status.in_words()));
    PossibleValuesParser::new(keys).try_map(|key| {
        let named = Status::ALL.iter().find(|status| status.key() == key).copied();
        named.ok_or("there is no such status")
    })
}

/// Runs the command line of this process.
pub fn run() -> ExitCode {
    let line = Line::try_parse().unwrap_or_else(|error| {
        if error.kind() == ErrorKind::InvalidSubcommand && std::env::args().any(|word| word.ends_with(".ron")) {
            output::say("A scene needs a command before it: try `lampwalk night SCENE` or `lampwalk survey SCENE`.\n");
        }
        error.exit()
    });
    match line.command {
        None => bare(),
        Some(Command::Survey(args)) => survey::run(&args),
        Some(Command::Rules(args)) => rules::run(&args),
        Some(Command::Displays(args)) => displays::run(&args),
        #[cfg(feature = "night")]
        Some(Command::Night(args)) => night::run(&args),
        #[cfg(feature = "night")]
        Some(Command::Still(args)) => still::run(&args),
        #[cfg(not(feature = "night"))]
        Some(Command::Night(_) | Command::Still(_)) => {
            unusable("this lampwalk was built without pictures (feature `night`); `lampwalk survey` works")
        }
    }
}

#[cfg(feature = "night")]
fn bare() -> ExitCode {
    match night::open_builtin() {
        Ok(code) => code,
        Err(why) => {
            output::say(&format!("{why}: here is the survey of the built-in boat instead."));
            survey::builtin()
        }
    }
}

#[cfg(not(feature = "night"))]
fn bare() -> ExitCode {
    output::say("This lampwalk was built without its window: here is the survey of the built-in boat instead.");
    survey::builtin()
}

/// Says why the input cannot be used, and gives the exit status for it.
fn unusable(why: &str) -> ExitCode {
    output::say(&format!("lampwalk: {why}"));
    ExitCode::from(UNUSABLE)
}

/// The rule set named, or read from a file and held against today's date; or its faults told and the exit
/// status for them.
fn chosen_rules(name: &str) -> Result<Cow<'static, Rules>, ExitCode> {
    if let Some(rules) = named(name) {
        return Ok(Cow::Borrowed(rules));
    }
    let path = Path::new(name);
    if !path.exists() {
        let built_in: Vec<_> = BUILT_IN.iter().map(|one| format!("`{one}`")).collect();
        let near = crate::boat::read::nearest(name, &BUILT_IN);
        let guess = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        return Err(unusable(&format!(
            "there is no rule set and no rule file \"{name}\"; built in are {}{guess}",
            built_in.join(" and ")
        )));
    }
    rules_file(path, today()).map(Cow::Owned).map_err(|error| told(&error))
}

/// Today, at Greenwich. A clock set before 1970 counts as long past everything, so that no waiver holds by mistake.
fn today() -> Date {
    let since = SystemTime::now().duration_since(SystemTime::UNIX_EPOCH);
    Date::of_seconds(since.map_or(u64::MAX, |since| since.as_secs()))
}

/// A scene by path, or its faults told and the exit status for them.
fn read_scene(path: &Path) -> Result<crate::boat::Scene, ExitCode> {
    crate::boat::read::scene_file(path).map(|read| read.scene).map_err(|error| told(&error))
}

/// Tells every fault of a file, and gives the exit status for them.
fn told(error: &crate::boat::read::ReadError) -> ExitCode {
    output::say(error.report(output::colourful(&std::io::stderr())).trim_end());
    ExitCode::from(UNUSABLE)
}

/// The fits to work on: the one named, or all; or a sentence on why there is none.
fn chosen_fits<'a>(
    scene: &'a crate::boat::Scene,
    path: Option<&PathBuf>,
    name: Option<&str>,
) -> Result<Vec<&'a crate::boat::Fit>, String> {
    let Some(name) = name else { return Ok(scene.fits.iter().collect()) };
    scene.fit(name).map(|fit| vec![fit]).ok_or_else(|| {
        let names: Vec<_> = scene.fits.iter().map(|fit| format!("\"{}\"", fit.name)).collect();
        let place = path.map_or_else(|| scene.name.clone(), |path| path.display().to_string());
        format!("{place} has no fit named \"{name}\"; did you mean {}?", names.join(" or "))
    })
}
