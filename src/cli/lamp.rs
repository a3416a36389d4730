//! `lampwalk lamp`: one measured lamp alone, and what it can serve as.

use std::{path::PathBuf, process::ExitCode};

use clap::ValueEnum;

use super::{chosen_rules, output, survey::plot, told, unusable};
use crate::{
    boat::read::{LampFile, lamp_file},
    light::{
        Beam, Colour,
        measured::{Axis, Mapping, Turns},
    },
    measure::Degrees,
    rules::offers,
    sheet::lamp::{self, LampSheet},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// The lamp's file: IES LM-63 (.ies), EULUMDAT (.ldt) or CSV (.csv).
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The colour of its light. A bicolour lantern is measured as one file a colour.
    #[arg(long, value_enum, default_value = "white")]
    colour: Hue,
    /// The horizontal angle of the file that lies along the lamp's datum line.
    #[arg(long, value_name = "DEGREES", default_value = "0", value_parser = degrees, allow_negative_numbers = true)]
    ahead: f64,
    /// Where the file's vertical angle 0 points. [default: down; IES type A and CSV have none]
    #[arg(long, value_enum)]
    axis: Option<Points>,
    /// Which way the file's horizontal angles run, seen from above. [default: as is usual for the kind of file]
    #[arg(long, value_enum)]
    turns: Option<Sense>,
    /// A CSV vertical cut, to complete a horizontal one.
    #[arg(long, value_name = "FILE.csv", conflicts_with = "all_round")]
    vertical: Option<PathBuf>,
    /// Take a CSV vertical cut as the same on every bearing.
    #[arg(long)]
    all_round: bool,
    /// The rules to go by: `international`, `inland`, or a rule file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// Draw its level cut too, with the limits of Annex I.
    #[arg(long, value_name = "FILE.svg", value_parser = plot)]
    svg: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Hue {
    Red,
    Green,
    White,
    Yellow,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Points {
    Down,
    Up,
    Along,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Sense {
    Clockwise,
    Anticlockwise,
}

fn degrees(text: &str) -> Result<f64, String> {
    let angle: f64 = text.parse().map_err(|_| String::from("a number of degrees is wanted, such as 90"))?;
    if (-360.0..=360.0).contains(&angle) { Ok(angle) } else { Err("-360 to 360 degrees are possible".into()) }
}

impl Args {
    fn colour(&self) -> Colour {
        match self.colour {
            Hue::Red => Colour::Red,
            Hue::Green => Colour::Green,
            Hue::White => Colour::White,
            Hue::Yellow => Colour::Yellow,
        }
    }

    fn lamp_file(&self) -> LampFile {
        let axis = self.axis.map(|axis| match axis {
            Points::Down => Axis::Down,
            Points::Up => Axis::Up,
            Points::Along => Axis::Along,
        });
        let turns = self.turns.map(|turns| match turns {
            Sense::Clockwise => Turns::Clockwise,
            Sense::Anticlockwise => Turns::Anticlockwise,
        });
        let mapping = Mapping { ahead: Degrees(self.ahead), axis, turns };
        let (path, vertical) = (self.file.clone(), self.vertical.clone());
        LampFile { path, mapping, vertical, all_round: self.all_round }
    }
}

pub(super) fn run(args: &Args) -> ExitCode {
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let reading = match lamp_file(&args.lamp_file()) {
        Ok(reading) => reading,
        Err(error) => return told(&error.error),
    };
    let beam = Beam::of_grid(args.colour(), reading.grid);
    let offers = offers(&beam, &rules);
    let name = args.file.file_name().unwrap_or(args.file.as_os_str()).to_string_lossy();
    let sheet = LampSheet { name: &name, beam: &beam, notes: &reading.notes, peak: beam.brightest(), offers: &offers };
    if let Some(path) = &args.svg
        && let Err(error) = output::write_file(path, lamp::drawing(&sheet).as_bytes())
    {
        return unusable(&format!("{} cannot be written: {error}", path.display()));
    }
    match output::give(&lamp::text(&sheet)) {
        Err(error) => unusable(&format!("standard output cannot be written: {error}")),
        Ok(()) => ExitCode::from(u8::from(!sheet.serves())),
    }
}
