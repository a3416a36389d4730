//! `lampwalk show`: the customer sheet, one HTML file with a walk round the boat.

use std::{path::PathBuf, process::ExitCode, sync::Arc};

use indicatif::{ProgressBar, ProgressStyle};
use jpeg_encoder::{ColorType, Encoder};

use super::{chosen_fits, chosen_rules, output, read_scene, today, unusable};
use crate::{
    boat::{Scene, Status},
    measure::{Bearing, Metres},
    night::{Shot, StillError, each_still},
    rules::{Judgement, Rules, judge},
    sheet::{
        Surveyed,
        show::{Media, Picture, Pictures, Visit, page},
    },
    survey::{Settings, Survey},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Scene file (RON).
    #[arg(value_name = "SCENE")]
    scene: PathBuf,
    /// The file to write.
    #[arg(short, long, value_name = "FILE.html")]
    output: PathBuf,
    /// The fit as it is. [default: the first]
    #[arg(long, value_name = "NAME")]
    before: Option<String>,
    /// The fit as it is to be. [default: the one after that, if there is one]
    #[arg(long, value_name = "NAME")]
    after: Option<String>,
    /// What the boat is doing.
    #[arg(long, value_name = "NAME", value_parser = super::status(), default_value = "under-way", hide_possible_values = true)]
    status: Status,
    /// The rules to go by: a built-in set, or a file of your own.
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// Who fits the lights, as it is to stand on the sheet.
    #[arg(long, value_name = "NAME")]
    by: Option<String>,
    /// What you want to add.
    #[arg(long, value_name = "WORDS")]
    note: Option<String>,
    /// From how many places all round she is shown, 8 to 72; 0 for no pictures, which needs no graphics adapter.
    #[arg(long, value_name = "COUNT", default_value = "36", value_parser = places)]
    places: u32,
}

/// Width and height of the pictures.
const SIZE: (u32, u32) = (640, 360);
/// Of 100: what is dark and even keeps well.
const QUALITY: u8 = 82;

fn places(text: &str) -> Result<u32, String> {
    let count = text.parse().ok().filter(|count| *count == 0 || (8..=72).contains(count));
    count.ok_or_else(|| "8 to 72 places, or 0 for no pictures, are possible".into())
}

pub(super) fn run(args: &Args) -> ExitCode {
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let scene = match read_scene(&args.scene) {
        Ok(scene) => Arc::new(scene),
        Err(code) => return code,
    };
    super::unknown_waters(&scene, &rules).iter().for_each(|words| output::say(words));
    match written(args, &scene, &rules) {
        Ok(()) => {
            output::say(&format!("wrote {}", args.output.display()));
            ExitCode::SUCCESS
        }
        Err(why) => unusable(&why),
    }
}

/// A fit with all that is known of it.
struct Known<'a> {
    fit: usize,
    survey: Survey,
    judgement: Judgement<'a>,
}

impl<'a> Known<'a> {
    fn of(scene: &'a Scene, fit: usize, status: Status, rules: &'a Rules) -> Self {
        let survey = Survey::of(scene, &scene.fits[fit], status, &Settings::default());
        let judgement = judge(scene, &scene.fits[fit], &survey, rules);
        Self { fit, survey, judgement }
    }

    fn surveyed(&'a self, scene: &'a Scene) -> Surveyed<'a> {
        Surveyed { scene, fit: &scene.fits[self.fit], survey: &self.survey, judgement: &self.judgement }
    }
}

fn written(args: &Args, scene: &Arc<Scene>, rules: &Rules) -> Result<(), String> {
    let (before, after) = fits(args, scene)?;
    let status = args.status.plain(scene.vessel.propulsion);
    let before = Known::of(scene, before, status, rules);
    let after = after.map(|fit| Known::of(scene, fit, status, rules));
    let bearings: Vec<Bearing> =
        (0..args.places).map(|place| Bearing::new(360.0 * f64::from(place) / f64::from(args.places))).collect();
    let drawn: Vec<usize> = std::iter::once(&before).chain(&after).map(|known| known.fit).collect();
    let pictures = if bearings.is_empty() { None } else { Some(pictures(scene, &drawn, status, &bearings)?) };
    let visit = Visit {
        before: before.surveyed(scene),
        after: after.as_ref().map(|after| after.surveyed(scene)),
        bearings,
        pictures,
        by: args.by.as_deref().map(str::trim).filter(|by| !by.is_empty()),
        note: args.note.as_deref().map(str::trim).filter(|note| !note.is_empty()),
        date: today(),
        version: env!("CARGO_PKG_VERSION"),
    };
    output::write_file(&args.output, page(&visit).as_bytes())
        .map_err(|error| format!("{} cannot be written: {error}", args.output.display()))
}

/// The fits to show, as indices; or a sentence on why there are none.
fn fits(args: &Args, scene: &Scene) -> Result<(usize, Option<usize>), String> {
    let index = |name: &Option<String>| -> Result<Option<usize>, String> {
        let Some(name) = name else { return Ok(None) };
        let fits = chosen_fits(scene, Some(&args.scene), Some(name))?;
        Ok(scene.fits.iter().position(|fit| fits.iter().any(|one| std::ptr::eq(*one, fit))))
    };
    let (before, after) = (index(&args.before)?.unwrap_or(0), index(&args.after)?);
    if scene.fits.is_empty() {
        return Err(format!("{} has no fit to show", args.scene.display()));
    }
    if after == Some(before) {
        return Err("--before and --after name the same fit; leave --after out to show one alone".into());
    }
    Ok((before, after.or(Some(before + 1).filter(|next| *next < scene.fits.len()))))
}

/// Why there are no pictures.
#[derive(Debug)]
struct Failed(String);

impl From<StillError> for Failed {
    fn from(error: StillError) -> Self {
        Self(format!("{error}; `--places 0` makes the sheet without pictures"))
    }
}

fn pictures(scene: &Arc<Scene>, fits: &[usize], status: Status, bearings: &[Bearing]) -> Result<Pictures, String> {
    let eye = scene.conditions.eyes.first().copied().unwrap_or(Metres(2.0));
    let shot = |fit: usize, bearing: Bearing| Shot { eye, ..Shot::afloat(fit, status, bearing) };
    let shots: Vec<Shot> =
        fits.iter().flat_map(|fit| bearings.iter().map(move |bearing| shot(*fit, *bearing))).collect();
    let bar = ProgressBar::new(shots.len() as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:32} picture {pos} of {len}, {eta} left") {
        bar.set_style(style);
    }
    let mut drawn = Vec::new();
    let outcome = each_still(scene, SIZE, &shots, |_, picture| {
        drawn.push(jpeg(&picture).map_err(Failed)?);
        bar.inc(1);
        Ok(())
    });
    bar.finish_and_clear();
    outcome.map_err(|Failed(why)| why)?;
    let after = drawn.split_off(bearings.len());
    let distance = shots.first().map_or(Metres(0.0), |shot| shot.range);
    Ok(Pictures { before: drawn, after, size: SIZE, distance, eye })
}

fn jpeg(picture: &image::RgbaImage) -> Result<Picture, String> {
    let mut bytes = Vec::new();
    let (width, height) = (SIZE.0 as u16, SIZE.1 as u16);
    Encoder::new(&mut bytes, QUALITY)
        .encode(picture.as_raw(), width, height, ColorType::Rgba)
        .map_err(|error| format!("a picture cannot be packed: {error}"))?;
    Ok(Picture { media: Media::Jpeg, bytes })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eight_places_or_more_or_none() {
        assert_eq!([places("0"), places("8"), places("72")], [Ok(0), Ok(8), Ok(72)]);
        for wrong in ["", "7", "73", "-8", "many", "8.5"] {
            assert!(places(wrong).is_err(), "{wrong}");
        }
    }
}
