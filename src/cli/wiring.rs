//! `lampwalk wiring`: cables, conductors, fuses and what each lamp gets, with a schematic.

use std::{path::PathBuf, process::ExitCode};

use super::{chosen_fits, output, read_scene, survey::own_file, unusable};
use crate::{
    boat::Scene,
    sheet::wiring::{drawing, json, text},
    wiring::{Plan, planned},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// The boat (RON).
    #[arg(value_name = "SCENE")]
    scene: PathBuf,
    /// Only this fit. [default: every fit]
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// Draw the schematic too; with several fits, each goes to a file named after it.
    #[arg(long, value_name = "FILE.svg", value_parser = drawn)]
    svg: Option<PathBuf>,
    /// Give JSON instead of text.
    #[arg(long)]
    json: bool,
}

/// Reads the name of a file to draw into.
fn drawn(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    if path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case("svg")) {
        Ok(path)
    } else {
        Err("the name must end in .svg".into())
    }
}

pub(super) fn run(args: &Args) -> ExitCode {
    let scene = match read_scene(&args.scene) {
        Ok(scene) => scene,
        Err(code) => return code,
    };
    match told(args, &scene) {
        Ok(code) => code,
        Err(why) => unusable(&why),
    }
}

fn told(args: &Args, scene: &Scene) -> Result<ExitCode, String> {
    let fits = chosen_fits(scene, Some(&args.scene), args.fit.as_deref())?;
    let plans: Vec<Plan> = fits.iter().map(|fit| planned(scene, fit)).collect();
    let words = if args.json { json(&plans) } else { plans.iter().map(text).collect::<Vec<_>>().join("\n\n") };
    output::give(&words).map_err(|error| format!("standard output cannot be written: {error}"))?;
    if let Some(path) = &args.svg {
        let mut written = Vec::new();
        for plan in &plans {
            let path = if plans.len() == 1 { path.clone() } else { own_file(path, &plan.boat, &plan.fit, &written) };
            output::write_file(&path, drawing(plan).as_bytes())
                .map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
            output::say(&format!("wrote {}", path.display()));
            written.push(path);
        }
    }
    Ok(ExitCode::from(u8::from(plans.iter().any(Plan::is_faulty))))
}
