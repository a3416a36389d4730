//! `lampwalk still`: a picture without a window.

use std::{io::Cursor, path::PathBuf, process::ExitCode, sync::Arc};

use image::ImageFormat;

use super::{output, read_scene, shot::ShotArgs, unusable};
use crate::{
    boat::Scene,
    night::{Shot, still},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    #[command(flatten)]
    shot: ShotArgs,
    /// The picture to write (PNG).
    #[arg(short, long, value_name = "FILE.png")]
    output: PathBuf,
}

pub(super) fn run(args: &Args) -> ExitCode {
    let scene = match read_scene(&args.shot.scene) {
        Ok(scene) => Arc::new(scene),
        Err(code) => return code,
    };
    match args.shot.shot(&scene).and_then(|shot| draw(args, &scene, &shot)) {
        Ok(()) => {
            output::say(&format!("wrote {}", args.output.display()));
            ExitCode::SUCCESS
        }
        Err(why) => unusable(&why),
    }
}

fn draw(args: &Args, scene: &Arc<Scene>, shot: &Shot) -> Result<(), String> {
    let picture = still(scene, args.shot.size, shot).map_err(|error| error.to_string())?;
    let mut bytes = Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, ImageFormat::Png)
        .and_then(|()| Ok(output::write_file(&args.output, bytes.get_ref())?))
        .map_err(|error| format!("{} cannot be written: {error}", args.output.display()))
}
