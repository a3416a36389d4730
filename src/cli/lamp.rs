//! `lampwalk lamp`: one measured lamp alone, and what it can serve as.

use std::{path::PathBuf, process::ExitCode};

use clap::ValueEnum;

use super::{chosen_rules, output, survey::plot, told, unusable};
use crate::{
    boat::read::{LampFile, lamp_file},
    light::{
        Beam, Chromaticity, Colour,
        measured::{Axis, Mapping, Turns},
        supply::{Dependence, Supply},
    },
    measure::{Degrees, Volts},
    rules::{offers, tint},
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
    /// The voltage at its terminals, for a lamp whose light is known to depend on it or not to.
    #[arg(long, value_name = "VOLTS", value_parser = voltage, allow_negative_numbers = true)]
    volts: Option<f64>,
    /// It has a bare filament, and the file holds at this voltage.
    #[arg(long, value_name = "VOLTS", value_parser = voltage, conflicts_with = "constant", allow_negative_numbers = true)]
    filament: Option<f64>,
    /// It has a driver that holds its light the same from one voltage to another, such as `9,32`.
    #[arg(long, value_name = "FROM,TO", value_parser = held, allow_negative_numbers = true)]
    constant: Option<(f64, f64)>,
    /// The colour of its light as measured: CIE 1931 coordinates, such as `0.31,0.33`.
    #[arg(long, value_name = "X,Y", value_parser = chromaticity, allow_negative_numbers = true)]
    chromaticity: Option<Chromaticity>,
    /// JSON instead of text.
    #[arg(long)]
    json: bool,
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

fn voltage(text: &str) -> Result<f64, String> {
    let volts: f64 = text.parse().map_err(|_| String::from("a number of volts is wanted, such as 11.6"))?;
    if volts > 0.0 && volts <= 300.0 { Ok(volts) } else { Err("more than 0 and at most 300 volts are possible".into()) }
}

/// Two numbers with a comma between.
fn pair(text: &str) -> Option<(f64, f64)> {
    let (first, second) = text.split_once(',')?;
    Some((first.trim().parse().ok()?, second.trim().parse().ok()?))
}

fn held(text: &str) -> Result<(f64, f64), String> {
    let (from, to) = pair(text).ok_or("two voltages with a comma between are wanted, such as 9,32")?;
    for volts in [from, to] {
        voltage(&volts.to_string())?;
    }
    if from <= to { Ok((from, to)) } else { Err("the lower voltage comes first".into()) }
}

fn chromaticity(text: &str) -> Result<Chromaticity, String> {
    let (x, y) = pair(text).ok_or("x and y with a comma between are wanted, such as 0.31,0.33")?;
    let colour = Chromaticity { x, y };
    if colour.lies_in_the_diagram() {
        Ok(colour)
    } else {
        Err("x and y are from 0 to 1, and together at most 1".into())
    }
}

impl Args {
    /// How its light depends on voltage, by the command line.
    fn by_volts(&self) -> Option<Dependence> {
        let filament = self.filament.map(|rated| Dependence::Filament { rated: Volts(rated) });
        filament.or(self.constant.map(|(from, to)| Dependence::Constant { from: Volts(from), to: Volts(to) }))
    }

    /// What it is fed with, from what its file and the command line tell; or a sentence on why that will not do.
    fn supply(&self, told: Option<Dependence>) -> Result<Option<Supply>, String> {
        let dependence = match (told, self.by_volts()) {
            (Some(_), Some(_)) => {
                return Err(
                    "the file tells how its light depends on voltage; leave out --filament and --constant".into()
                );
            }
            (told, by_line) => told.or(by_line),
        };
        match (dependence, self.volts) {
            (Some(dependence), None) => Ok(Some(Supply::full(dependence))),
            (Some(dependence), Some(at)) => Supply::new(dependence, Volts(at))
                .map(Some)
                .map_err(|refused| format!("{}; {}", refused.what(), refused.mend())),
            (None, None) => Ok(None),
            (None, Some(_)) => Err("the file does not tell how its light depends on voltage, and nothing is assumed; \
                add --filament VOLTS or --constant FROM,TO, or put a table of `volts,share_of_light` into a CSV file"
                .into()),
        }
    }

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
    let supply = match args.supply(reading.by_volts) {
        Ok(supply) => supply,
        Err(why) => return unusable(&format!("{}: {why}", args.file.display())),
    };
    let chromaticity = match (reading.chromaticity, args.chromaticity) {
        (Some(_), Some(_)) => {
            let why = "the file tells the colour of its light; leave out --chromaticity";
            return unusable(&format!("{}: {why}", args.file.display()));
        }
        (told, by_line) => told.or(by_line),
    };
    let full = Beam::of_grid(args.colour(), reading.grid);
    let beam = full.dimmed(supply.as_ref().map_or(1.0, Supply::share));
    let offers = offers(&beam, &rules);
    let name = args.file.file_name().unwrap_or(args.file.as_os_str()).to_string_lossy();
    let sheet = LampSheet {
        name: &name,
        rules: &rules,
        beam: &beam,
        supply: supply.as_ref(),
        chromaticity,
        tint: chromaticity.and_then(|chromaticity| tint(chromaticity, beam.colour, &rules)),
        notes: &reading.notes,
        peak: beam.brightest(),
        offers: &offers,
    };
    if let Some(path) = &args.svg
        && let Err(error) = output::write_file(path, lamp::drawing(&sheet).as_bytes())
    {
        return unusable(&format!("{} cannot be written: {error}", path.display()));
    }
    let told = if args.json { lamp::json(&sheet) } else { lamp::text(&sheet) };
    match output::give(&told) {
        Err(error) => unusable(&format!("standard output cannot be written: {error}")),
        Ok(()) => ExitCode::from(u8::from(!sheet.serves())),
    }
}
