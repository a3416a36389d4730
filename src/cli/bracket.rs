//! `lampwalk bracket`: what to cut, fold and drill for one lamp.

use std::{path::PathBuf, process::ExitCode};

use super::{chosen_fits, output, read_scene, unusable};
use crate::{
    boat::{Fit, Scene, read::nearest},
    fitting::bracket::for_lamp,
    sheet::bracket::{drawing, dxf, text},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// The boat (RON).
    #[arg(value_name = "SCENE")]
    scene: PathBuf,
    /// The lamp whose bracket it is; its `bracket` field in the scene says what is wanted.
    #[arg(long, value_name = "NAME")]
    lamp: String,
    /// The fit that the lamp is of. [default: the only one that has a bracket for it]
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// Draw it too: in true scale for paper (.svg), or for a cutting machine (.dxf).
    #[arg(short, long, value_name = "FILE.svg|FILE.dxf", value_parser = drawn)]
    output: Option<PathBuf>,
}

/// Reads the name of a file to draw into.
fn drawn(text: &str) -> Result<PathBuf, String> {
    let path = PathBuf::from(text);
    if is(&path, "svg") || is(&path, "dxf") {
        Ok(path)
    } else {
        Err("the name must end in .svg (for paper) or .dxf (for a cutting machine)".into())
    }
}

fn is(path: &std::path::Path, kind: &str) -> bool {
    path.extension().is_some_and(|extension| extension.eq_ignore_ascii_case(kind))
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
    let (fit, lamp) = chosen(args, scene)?;
    let bracket = for_lamp(scene, fit, lamp).map_err(|why| format!("{}: {why}", args.scene.display()))?;
    output::give(&text(&bracket)).map_err(|error| format!("standard output cannot be written: {error}"))?;
    if let Some(path) = &args.output {
        if bracket.pieces.is_empty() {
            output::say(&format!("there is nothing to cut: {} was not written", path.display()));
        } else {
            let drawn = if is(path, "dxf") { dxf(&bracket) } else { drawing(&bracket) };
            output::write_file(path, drawn.as_bytes())
                .map_err(|error| format!("{} cannot be written: {error}", path.display()))?;
            output::say(&format!("wrote {}", path.display()));
        }
    }
    Ok(ExitCode::from(u8::from(bracket.is_faulty())))
}

/// The fit and the lamp that are meant; or a sentence on why there is none.
fn chosen<'s>(args: &Args, scene: &'s Scene) -> Result<(&'s Fit, usize), String> {
    let fits = chosen_fits(scene, Some(&args.scene), args.fit.as_deref())?;
    let index = |fit: &Fit| fit.lamps.iter().position(|lamp| lamp.name == args.lamp);
    let having: Vec<(&Fit, usize)> = fits.iter().filter_map(|fit| Some((*fit, index(fit)?))).collect();
    let told: Vec<&(&Fit, usize)> = having.iter().filter(|(fit, lamp)| fit.lamps[*lamp].bracket.is_some()).collect();
    let place = args.scene.display();
    match (told.as_slice(), having.as_slice()) {
        ([one], _) => Ok(**one),
        ([], [first, ..]) => Ok(*first),
        ([], []) => {
            let mut names: Vec<&str> = fits.iter().flat_map(|fit| &fit.lamps).map(|lamp| lamp.name.as_str()).collect();
            names.sort_unstable();
            names.dedup();
            let guess = match nearest(&args.lamp, &names) {
                Some(near) => format!("did you mean \"{near}\"?"),
                None => format!(
                    "there is {}",
                    names.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
                ),
            };
            Err(format!("{place} has no lamp named \"{}\"; {guess}", args.lamp))
        }
        _ => {
            let names: Vec<String> = told.iter().map(|(fit, _)| format!("\"{}\"", fit.name)).collect();
            Err(format!("\"{}\" has a bracket in several fits; add --fit with {}", args.lamp, names.join(" or ")))
        }
    }
}
