//! The commands: one file each, thin. Results go to standard output, messages to people to standard error.
//!
//! Takes the command line; gives an [`ExitCode`]: 0 every requirement met, 1 the work was done and something falls
//! short, 2 the input cannot be used. Must never compute light or judge.

mod bracket;
mod builtin;
mod displays;
#[cfg(feature = "night")]
mod film;
mod lamp;
#[cfg(feature = "night")]
mod night;
mod output;
mod paper;
mod place;
mod rules;
mod sheet;
#[cfg(feature = "night")]
mod shot;
#[cfg(feature = "night")]
mod show;
#[cfg(feature = "night")]
mod still;
mod survey;
mod wiring;

use std::{
    borrow::Cow,
    ffi::OsStr,
    path::{Path, PathBuf},
    process::ExitCode,
    time::SystemTime,
};

use clap::{
    Arg, Parser, Subcommand,
    builder::{PossibleValue, TypedValueParser},
    error::ErrorKind,
};

use crate::{
    boat::{Status, read::nearest},
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
    /// Hold one measured lamp alone against every kind of light that it might be.
    Lamp(lamp::Args),
    /// Work out the bracket of one lamp: what to cut, fold, drill and fasten it with.
    Bracket(bracket::Args),
    /// Work out the wiring of the lamps: cables, conductors, fuses, and what each lamp gets.
    Wiring(wiring::Args),
    /// Find places for lamps, and write the one chosen as a new fit.
    Place(place::Args),
    /// Print a drill or a lesson on paper: questions, a sheet for answers, and the answers.
    Paper(paper::Args),
    /// Write the fitter's work sheets, for paper and for the screen.
    Sheet(sheet::Args),
    /// Draw a picture without a window.
    Still(StillArgs),
    /// Draw a turn round the boat as moving pictures.
    Film(FilmArgs),
    /// Make one file for a customer: a walk round his boat, what is wrong with her lights and what the new ones change.
    Show(ShowArgs),
}

#[cfg(feature = "night")]
use self::{film::Args as FilmArgs, night::Args as NightArgs, show::Args as ShowArgs, still::Args as StillArgs};

/// Stands in where the program was built without pictures, so that the command is known and says why it cannot run.
#[cfg(not(feature = "night"))]
#[derive(clap::Args, Debug)]
struct NightArgs {
    #[arg(trailing_var_arg = true, allow_hyphen_values = true, hide = true)]
    ignored: Vec<String>,
}

#[cfg(not(feature = "night"))]
type StillArgs = NightArgs;

#[cfg(not(feature = "night"))]
type FilmArgs = NightArgs;

#[cfg(not(feature = "night"))]
type ShowArgs = NightArgs;

/// Exit status for input that cannot be used.
const UNUSABLE: u8 = 2;

/// Reads a status as the command line or a scene spells it; help lists the choice.
fn status() -> impl TypedValueParser<Value = Status> {
    StatusParser
}

#[derive(Clone)]
struct StatusParser;

impl TypedValueParser for StatusParser {
    type Value = Status;

    fn parse_ref(&self, command: &clap::Command, arg: Option<&Arg>, value: &OsStr) -> Result<Status, clap::Error> {
        (status_named as fn(&str) -> Result<Status, String>).parse_ref(command, arg, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new(Status::ALL.iter().map(|status| PossibleValue::new(status.key()).help(status.in_words()))))
    }
}

/// A status by its name: in capitals or not, in one word or with hyphens, spaces or underscores between.
fn status_named(text: &str) -> Result<Status, String> {
    let plain = |name: &str| name.trim().to_lowercase().replace(['-', '_', ' '], "");
    let known = Status::ALL.iter().find(|status| plain(status.key()) == plain(text));
    known.copied().ok_or_else(|| {
        let keys: Vec<&str> = Status::ALL.iter().map(|status| status.key()).collect();
        match nearest(text, &keys).or_else(|| of_that_stem(text, &keys)) {
            Some(near) => format!("there is no such status; did you mean `{near}`?"),
            None => "there is no such status; `lampwalk displays --length 9` lists the names".into(),
        }
    })
}

/// The only one that has in it what a word such as "sailing" is made from.
fn of_that_stem<'k>(word: &str, known: &[&'k str]) -> Option<&'k str> {
    let word = word.to_lowercase();
    let stem = word.strip_suffix("ing").filter(|stem| stem.len() > 3)?;
    let mut having = known.iter().filter(|one| one.contains(stem));
    having.next().filter(|_| having.next().is_none()).copied()
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
        Some(Command::Lamp(args)) => lamp::run(&args),
        Some(Command::Bracket(args)) => bracket::run(&args),
        Some(Command::Wiring(args)) => wiring::run(&args),
        Some(Command::Place(args)) => place::run(&args),
        Some(Command::Paper(args)) => paper::run(&args),
        Some(Command::Sheet(args)) => sheet::run(&args),
        #[cfg(feature = "night")]
        Some(Command::Night(args)) => night::run(&args),
        #[cfg(feature = "night")]
        Some(Command::Still(args)) => still::run(&args),
        #[cfg(feature = "night")]
        Some(Command::Film(args)) => film::run(&args),
        #[cfg(feature = "night")]
        Some(Command::Show(args)) => show::run(&args),
        #[cfg(not(feature = "night"))]
        Some(Command::Night(_) | Command::Still(_) | Command::Film(_) | Command::Show(_)) => {
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
        let near = nearest(name, &BUILT_IN);
        let guess = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
        return Err(unusable(&format!(
            "there is no rule set and no rule file \"{name}\"; built in are {}{guess}",
            built_in.join(" and ")
        )));
    }
    rules_file(path, today()).map(Cow::Owned).map_err(|error| told(&error))
}

/// The waters that a rule set has rules of their own for, by name.
fn waters_of(rules: &Rules) -> Vec<&str> {
    let displays = rules.displays.iter();
    let named = displays.flat_map(|row| row.waters.iter().chain(row.exempt.iter().flat_map(|exempt| &exempt.waters)));
    let mut names: Vec<&str> = named.map(String::as_str).collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// Waters by the name that a rule set has for them, in capitals or not; or a sentence on why it has none.
fn waters_named<'r>(name: &str, rules: &'r Rules) -> Result<&'r str, String> {
    let known = waters_of(rules);
    known.iter().copied().find(|one| one.eq_ignore_ascii_case(name.trim())).ok_or_else(|| {
        let quoted = || known.iter().map(|one| format!("\"{one}\"")).collect::<Vec<_>>().join(", ");
        let mend = match nearest(name, &known) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None if known.is_empty() => "it has no rules for waters of their own".into(),
            None => format!("it has {}", quoted()),
        };
        format!("the rule set \"{}\" has no waters named \"{name}\"; {mend}", rules.name)
    })
}

/// What to say of waters of a scene that a rule set does not have, where it has any; nothing where it has all.
fn unknown_waters(scene: &crate::boat::Scene, rules: &Rules) -> Option<String> {
    let unknown = scene.conditions.waters.iter().filter_map(|name| waters_named(name, rules).err());
    let told: Vec<String> = unknown.map(|why| format!("{}: {why}", scene.name)).collect();
    (!told.is_empty() && !waters_of(rules).is_empty()).then(|| told.join("\n"))
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

/// A name as it goes into the name of a file: small letters and figures, with hyphens for all else.
fn plain_name(name: &str) -> String {
    let dashed: String =
        name.to_lowercase().chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect();
    dashed.trim_matches('-').into()
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
