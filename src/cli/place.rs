//! `lampwalk place`: places for lamps, the best few with reasons, and the chosen one written as a new fit.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
};

use super::{chosen_fits, chosen_rules, output, told, unusable};
use crate::{
    boat::{Fit, Scene, read::nearest},
    edit::{Document, as_new_fit},
    fitting::place::{Panel, Proposals, Region, Wish, proposals},
    rules::Rules,
    sheet::place::{Sheet, json, text},
};

#[derive(clap::Args, Debug)]
#[command(group(clap::ArgGroup::new("what").required(true).args(["lamp", "all"])))]
pub(super) struct Args {
    /// The boat (RON).
    #[arg(value_name = "SCENE")]
    scene: PathBuf,
    /// Find places for this lamp; the others stay where they are.
    #[arg(long, value_name = "NAME")]
    lamp: Option<String>,
    /// Find places for all lamps together.
    #[arg(long)]
    all: bool,
    /// The fit to start from. [default: the first that has the lamp]
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// Look only here, in metres: any of `forward`, `starboard`, `port`, `above deck`, `above waterline`, such as
    /// "forward 4..6, starboard 0..1".
    #[arg(long, value_name = "REGION", requires = "lamp")]
    within: Option<String>,
    /// Where the switch panel is, for the length of cables, such as "forward 2.7, starboard 0.2". [default: the helm, or
    /// midships where nobody is aboard]
    #[arg(long, value_name = "PLACE")]
    panel: Option<String>,
    /// The rules to judge by: `international`, `inland`, or a rule file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// Print one JSON object instead of text.
    #[arg(long)]
    json: bool,
    /// Write the chosen proposal into the scene as a new fit; the version before stays beside it.
    #[arg(long = "write", requires = "name", conflicts_with = "output")]
    into_scene: bool,
    /// Write the scene with the new fit into another file; this one stays as it is.
    #[arg(short, long, value_name = "FILE.ron", requires = "name")]
    output: Option<PathBuf>,
    /// The name of the new fit.
    #[arg(long = "as", value_name = "NAME", id = "name")]
    name: Option<String>,
    /// Which proposal is written, counted from 1.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=9))]
    choose: u8,
}

pub(super) fn run(args: &Args) -> ExitCode {
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let mut document = match Document::open(&args.scene) {
        Ok(document) => document,
        Err(error) => return told(&error),
    };
    if args.name.is_some() && !args.into_scene && args.output.is_none() {
        return unusable("--as names a fit that is to be written: add --write, or -o FILE.ron");
    }
    match placed(args, &mut document, &rules) {
        Ok(code) => code,
        Err(why) => unusable(&format!("{}: {why}", args.scene.display())),
    }
}

fn placed(args: &Args, document: &mut Document, rules: &Rules) -> Result<ExitCode, String> {
    let scene = document.scene().clone();
    super::unknown_waters(&scene, rules).iter().for_each(|words| output::say(words));
    let wish = wish(args, &scene, rules)?;
    if let Some(name) = &args.name {
        sound_name(&scene, name)?;
    }
    let found = proposals(&scene, &wish);
    holds_a_place(args, &scene, &wish, &found)?;
    let fit = &scene.fits[wish.fit];
    let left = if args.all { unlit(fit, &wish) } else { Vec::new() };
    let sheet = Sheet { scene: &scene, fit, panel: &wish.panel, found: &found, left };
    output::give(&if args.json { json(&sheet) } else { text(&sheet) })
        .map_err(|error| format!("standard output cannot be written: {error}"))?;
    if let Some(name) = &args.name {
        write(args, document, &wish, &found, name)?;
    }
    let best = found.proposals.first();
    let short = best.is_none_or(|best| if args.all { !best.is_whole() } else { !best.passes() });
    Ok(ExitCode::from(u8::from(short)))
}

fn wish<'r>(args: &Args, scene: &Scene, rules: &'r Rules) -> Result<Wish<'r>, String> {
    let fits = chosen_fits(scene, Some(&args.scene), args.fit.as_deref())?;
    let index = |fit: &Fit| scene.fits.iter().position(|one| std::ptr::eq(one, fit)).unwrap_or(0);
    let mut wish = match &args.lamp {
        Some(name) => {
            let has = |fit: &&&Fit| fit.lamps.iter().any(|lamp| lamp.name == *name);
            let fit = fits.iter().find(has).ok_or_else(|| no_lamp(name, &fits))?;
            let lamp = fit.lamps.iter().position(|lamp| lamp.name == *name).unwrap_or(0);
            Wish::for_lamp(scene, index(fit), lamp, rules)
        }
        None => Wish::for_all(scene, fits.first().map_or(0, |fit| index(fit)), rules),
    };
    if wish.lamps.is_empty() {
        return Err(format!(
            "the fit \"{}\" has no lamp that is lit in anything she does; add one, or name another --fit",
            scene.fits[wish.fit].name
        ));
    }
    if let Some(words) = &args.within {
        wish.region = Some(Region::read(words, &scene.vessel).map_err(|why| format!("--within: {why}"))?);
    }
    if let Some(words) = &args.panel {
        let place = Region::read(words, &scene.vessel).and_then(|region| region.place(words, &scene.vessel));
        let at = place.map_err(|why| format!("--panel: {why}"))?;
        wish.panel = Panel { at, words: format!("at {words}") };
    }
    Ok(wish)
}

fn no_lamp(name: &str, fits: &[&Fit]) -> String {
    let mut names: Vec<&str> = fits.iter().flat_map(|fit| &fit.lamps).map(|lamp| lamp.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let guess = match nearest(name, &names) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("there is {}", names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")),
    };
    format!("there is no lamp named \"{name}\"; {guess}")
}

fn sound_name(scene: &Scene, name: &str) -> Result<(), String> {
    if name.trim().is_empty() {
        return Err("--as: a fit needs a name; write such as `--as \"proposed\"`".into());
    }
    if scene.fit(name).is_some() {
        return Err(format!("--as: there is already a fit named \"{name}\"; give the new one a name of its own"));
    }
    Ok(())
}

/// Nothing to look at is a mistake of whoever asked, and not a finding.
fn holds_a_place(args: &Args, scene: &Scene, wish: &Wish, found: &Proposals) -> Result<(), String> {
    if found.looked_at > 0 {
        return Ok(());
    }
    let lamp = &scene.fits[wish.fit].lamps[wish.lamps[0]].name;
    Err(match &args.within {
        Some(words) => format!(
            "--within: \"{words}\" holds no place that can hold {lamp}: in the open, on her, and clear of all that is kept clear; name a larger region"
        ),
        None => format!("no place on her can hold {lamp}; look at what `keep_clear` leaves free"),
    })
}

/// Lamps that a search for all leaves alone.
fn unlit<'f>(fit: &'f Fit, wish: &Wish) -> Vec<&'f str> {
    let left = fit.lamps.iter().enumerate().filter(|(index, _)| !wish.lamps.contains(index));
    left.map(|(_, lamp)| lamp.name.as_str()).collect()
}

fn write(args: &Args, document: &mut Document, wish: &Wish, found: &Proposals, name: &str) -> Result<(), String> {
    let number = usize::from(args.choose);
    let count = found.proposals.len();
    let chosen = found.proposals.get(number - 1).ok_or_else(|| match count {
        0 => "there is no proposal to write".to_string(),
        _ => format!("--choose {number}: there is no such proposal; choose 1 to {count}"),
    })?;
    let old = &document.scene().fits[wish.fit];
    let short = if chosen.passes() { "" } else { " What it lacks is told by `lampwalk survey`." };
    let note = format!(
        "Places proposed by the program, from the fit \"{}\"; {} places were looked at.{short}",
        old.name, found.looked_at
    );
    let edit = as_new_fit(document.scene(), wish.fit, &chosen.fit, name, &note)
        .ok_or("the fit cannot be written: its lamps are not those of the scene")?;
    document.apply(edit).map_err(|refusal| format!("the new fit cannot be written: {refusal}"))?;
    let path: &Path = args.output.as_deref().unwrap_or(&args.scene);
    let saved = if args.output.is_some() { document.save_as(path) } else { document.save() };
    saved.map_err(|why| why.to_string())?;
    output::say(&format!("wrote the fit \"{name}\" into {}", path.display()));
    Ok(())
}
