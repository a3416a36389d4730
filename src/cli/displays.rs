//! `lampwalk displays`: which lights the rules ask of a vessel, with every lawful alternative.

use std::{path::PathBuf, process::ExitCode};

use clap::ValueEnum;

use super::{chosen_rules, output, survey::plot, unusable, waters_named};
use crate::{
    boat::{
        Propulsion, Status, Vessel,
        read::{figure_of, metres_of, slip_of_unit},
    },
    measure::{Knots, Metres, trimmed},
    rules::Rules,
    sheet::displays::{self, Lookup},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Her length overall.
    #[arg(long, value_name = "METRES", value_parser = length, allow_negative_numbers = true)]
    length: Metres,
    /// What she is doing; otherwise everything that she can be doing is listed in short.
    #[arg(long, value_name = "NAME", value_parser = super::status())]
    status: Option<Status>,
    /// How she moves as a rule: what "under way" means for her. [default: power, or what the status says]
    #[arg(long, value_enum)]
    propulsion: Option<Means>,
    /// Another way she can move, such as `power` for a sailing vessel with an engine; may be given again.
    #[arg(long, value_enum)]
    also: Vec<Means>,
    /// The most she can make; Rule 23(d)(ii) turns on it.
    #[arg(long, value_name = "KNOTS", default_value = "20", value_parser = speed, allow_negative_numbers = true)]
    top_speed: Knots,
    /// Waters with rules of their own that she uses, by the name they have in the rule set; may be given again.
    #[arg(long, value_name = "NAME")]
    waters: Vec<String>,
    /// The rules to go by: `international`, `inland`, or a rule file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// Draw the displays of the status too.
    #[arg(long, value_name = "FILE.svg", value_parser = plot, requires = "status")]
    svg: Option<PathBuf>,
    /// Print one JSON object instead of text.
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Means {
    Power,
    Sail,
    Oars,
}

impl From<Means> for Propulsion {
    fn from(means: Means) -> Self {
        match means {
            Means::Power => Self::Power,
            Means::Sail => Self::Sail,
            Means::Oars => Self::Oars,
        }
    }
}

fn length(text: &str) -> Result<Metres, String> {
    let metres: f64 = text.parse().map_err(|_| {
        let own = figure_of(text).filter(|_| metres_of(text).is_some());
        let alone = own.map(|figure| format!("write {figure}, without a unit"));
        let converted =
            metres_of(text).map(|metres| format!("write metres: {} is {}", text.trim(), trimmed(metres, 2)));
        let said = alone.or(converted).or_else(|| with_a_point(text));
        said.unwrap_or_else(|| "a number of metres is wanted, such as 6.2".into())
    })?;
    let (least, most) = (Vessel::LENGTH_OVER, Vessel::LENGTH_MOST);
    let possible = |metres: f64| metres > least.0 && metres <= most.0;
    if possible(metres) {
        return Ok(Metres(metres));
    }
    let slip = slip_of_unit(metres, &possible).map_or(String::new(), |words| format!("; {words}"));
    Err(format!("more than {} and at most {} metres are possible{slip}", trimmed(least.0, 2), trimmed(most.0, 2)))
}

fn speed(text: &str) -> Result<Knots, String> {
    let knots: f64 = text.parse().map_err(|_| {
        let alone = figure_of(text).map(|figure| format!("write {figure}, without a unit"));
        alone.or_else(|| with_a_point(text)).unwrap_or_else(|| "a number of knots is wanted, such as 7".into())
    })?;
    let most = Vessel::TOP_SPEED_MOST;
    if (0.0..=most.0).contains(&knots) {
        Ok(Knots(knots))
    } else {
        Err(format!("0 to {} knots are possible", trimmed(most.0, 1)))
    }
}

/// What to say of a number written with a comma.
fn with_a_point(text: &str) -> Option<String> {
    let pointed = text.trim().replacen(',', ".", 1);
    pointed.parse::<f64>().ok().map(|_| format!("write it with a point: {pointed}"))
}

pub(super) fn run(args: &Args) -> ExitCode {
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let waters: Vec<String> =
        match args.waters.iter().map(|name| waters_named(name, &rules).map(String::from)).collect() {
            Ok(waters) => waters,
            Err(why) => return unusable(&why),
        };
    let vessel = vessel(args);
    let statuses = match args.status {
        Some(status) => vec![status],
        None => possible(&rules, &vessel, &waters),
    };
    let lookups: Vec<Lookup> =
        statuses.into_iter().map(|status| Lookup { rules: &rules, vessel: &vessel, status, waters: &waters }).collect();
    match show(args, &rules, &vessel, &waters, &lookups) {
        Ok(()) => ExitCode::from(u8::from(lookups.iter().all(|lookup| lookup.why_none().is_some()))),
        Err(why) => unusable(&why),
    }
}

fn vessel(args: &Args) -> Vessel {
    let said = args.propulsion.map(Propulsion::from);
    let means = said.or_else(|| args.status.and_then(Status::means)).unwrap_or(Propulsion::Power);
    let mut also: Vec<Propulsion> = Vec::new();
    for other in args.also.iter().map(|other| Propulsion::from(*other)) {
        if other != means && !also.contains(&other) {
            also.push(other);
        }
    }
    displays::vessel_of(args.length, means, also, args.top_speed)
}

/// Every status for which the rules hold a display, each once.
fn possible(rules: &Rules, vessel: &Vessel, waters: &[String]) -> Vec<Status> {
    let each = Status::ALL.iter().copied().filter(|status| status.plain(vessel.propulsion) == *status);
    each.filter(|status| !rules.displays(vessel, *status, waters).is_empty()).collect()
}

fn show(args: &Args, rules: &Rules, vessel: &Vessel, waters: &[String], lookups: &[Lookup]) -> Result<(), String> {
    let text = match (args.json, args.status, lookups) {
        (true, _, _) => displays::json(rules, vessel, waters, lookups),
        (false, Some(_), [lookup]) => displays::text(lookup),
        _ => displays::overview(rules, vessel, waters, lookups),
    };
    output::give(&text).map_err(|error| format!("standard output cannot be written: {error}"))?;
    let (Some(path), [lookup]) = (&args.svg, lookups) else { return Ok(()) };
    let Some(drawing) = displays::drawing(lookup) else {
        output::say(&format!("there is no display to draw: {} was not written", path.display()));
        return Ok(());
    };
    output::write_file(path, drawing.as_bytes())
        .map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
    output::say(&format!("wrote {}", path.display()));
    Ok(())
}
