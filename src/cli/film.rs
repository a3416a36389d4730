//! `lampwalk film`: a turn round the boat as moving pictures.

use std::{
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
};

use indicatif::{ProgressBar, ProgressStyle};

use super::{output, read_scene, shot::ShotArgs, unusable};
use crate::{
    boat::Scene,
    night::{Film, FilmError, Reel},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    #[command(flatten)]
    shot: ShotArgs,
    /// An animated picture (.png or .apng); any other name is a folder for numbered pictures.
    #[arg(short, long, value_name = "FILE.png|FOLDER")]
    output: PathBuf,
    /// How long the turn takes, seconds, 1 to 120.
    #[arg(long, value_name = "SECONDS", default_value = "12", value_parser = clap::value_parser!(u32).range(1..=120))]
    seconds: u32,
    /// Pictures in a second, 1 to 60.
    #[arg(long, value_name = "COUNT", default_value = "10", value_parser = clap::value_parser!(u16).range(1..=60))]
    rate: u16,
}

pub(super) fn run(args: &Args) -> ExitCode {
    let scene = match read_scene(&args.shot.scene) {
        Ok(scene) => Arc::new(scene),
        Err(code) => return code,
    };
    match film(args, &scene) {
        Ok(()) => {
            output::say(&format!("wrote {}", args.output.display()));
            ExitCode::SUCCESS
        }
        Err(why) => unusable(&why),
    }
}

fn film(args: &Args, scene: &Arc<Scene>) -> Result<(), String> {
    let pictures = (args.seconds * u32::from(args.rate)).max(2);
    let film = Film { first: args.shot.shot(scene)?, size: args.shot.size, pictures, rate: args.rate };
    let animated = is_animated(&args.output);
    let folder = if animated { beside(&args.output) } else { args.output.clone() };
    let drawn = || -> Result<(), FilmError> {
        let reel = Reel::open(&folder, film, scene)?;
        shoot(&reel, scene, pictures)?;
        if animated {
            reel.join(&args.output)?;
            reel.discard()?;
        }
        Ok(())
    };
    drawn().map_err(|error| error.to_string())
}

/// Draws with a bar that tells how far it is; nothing of it where standard error is no terminal.
fn shoot(reel: &Reel, scene: &Arc<Scene>, pictures: u32) -> Result<(), FilmError> {
    let there = u64::from(pictures) - reel.missing().len() as u64;
    let bar = ProgressBar::new(u64::from(pictures)).with_position(there);
    if let Ok(style) = ProgressStyle::with_template("{bar:32} picture {pos} of {len}, {eta} left") {
        bar.set_style(style);
    }
    bar.reset_eta();
    if there > 0 && !reel.missing().is_empty() {
        bar.suspend(|| output::say(&format!("{there} pictures were there already; going on with the rest")));
    }
    let drawn = reel.draw(scene, || bar.inc(1));
    bar.finish_and_clear();
    drawn
}

fn is_animated(path: &Path) -> bool {
    path.extension().is_some_and(|kind| kind.eq_ignore_ascii_case("png") || kind.eq_ignore_ascii_case("apng"))
}

/// Where the pictures of an animated one lie until it is made.
fn beside(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".pictures");
    name.into()
}
