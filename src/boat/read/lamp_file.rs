//! Measured lamps of a scene, and the files they are read from.
//!
//! Takes paths with the mapping that goes with them; gives the measured lamp, or the fault at its place: in the lamp's
//! own file, and for a scene where that file is named. Must never interpret a value of the file.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
};

use super::{
    Faults, ReadError, Span,
    decode::colour,
    fields::{Desk, Fields, text, word, yes_or_no},
    limits::turn,
    text::{Node, Value},
};
use crate::{
    boat::Measured,
    light::{
        Back, Beam, Chromaticity, Optics,
        measured::{Axis, Besides, Format, Mapping, Reading, Refusal, Turns, read},
        supply::Supply,
    },
};

/// The greatest lamp file that is read, in bytes.
const LARGEST_FILE: u64 = 4 * 1024 * 1024;

/// A measured lamp's file, and what must be said of it.
#[derive(Clone, Debug, PartialEq)]
pub struct LampFile {
    pub path: PathBuf,
    pub mapping: Mapping,
    /// A CSV vertical cut that completes a horizontal one.
    pub vertical: Option<PathBuf>,
    /// That a vertical cut is the same on every bearing.
    pub all_round: bool,
}

/// Why a lamp file cannot be used.
#[derive(Clone, Debug)]
pub struct LampError {
    /// Whether it is the vertical cut given besides that is at fault.
    pub in_vertical_cut: bool,
    pub error: ReadError,
}

/// Reads a measured lamp.
///
/// # Errors
/// When a file cannot be read, is over 4 megabytes or of no known ending (`.ies`, `.ldt`, `.csv`), or with the first
/// mistake in it.
pub fn lamp_file(file: &LampFile) -> Result<Reading, LampError> {
    let own = |error| LampError { in_vertical_cut: false, error };
    let name = file.path.display().to_string();
    let ending = file.path.extension().map(|ending| ending.to_string_lossy().into_owned()).unwrap_or_default();
    let Some(format) = Format::of_ending(&ending) else {
        let why = "this is no lamp file; name one that ends in .ies, .ldt (EULUMDAT) or .csv";
        return Err(own(ReadError::no_text(&name, why)));
    };
    let text = letters_of(&file.path).map_err(own)?;
    let cut = file.vertical.as_deref().map(letters_of).transpose();
    let cut = cut.map_err(|error| LampError { in_vertical_cut: true, error })?;
    let besides = match (&cut, file.all_round) {
        (Some(cut), _) => Besides::VerticalCut(cut),
        (None, true) => Besides::SameAllRound,
        (None, false) => Besides::Nothing,
    };
    read(&text, format, file.mapping, besides).map_err(|Refusal { flaw, in_vertical_cut }| {
        let vertical = file.vertical.as_ref().zip(cut.as_ref()).filter(|_| in_vertical_cut);
        let (name, text) = vertical.map_or((name.clone(), &text), |(path, cut)| (path.display().to_string(), cut));
        let mut faults = Faults::of(text);
        faults.add(Span::new(flaw.start, flaw.end), flaw.what, flaw.mend);
        LampError { in_vertical_cut, error: ReadError::faulty(&name, text.clone(), faults.in_order(text)) }
    })
}

/// The letters of a file. Labels in old files are in no Unicode; what is read of them is plain figures all the same.
fn letters_of(path: &Path) -> Result<String, ReadError> {
    let name = path.display().to_string();
    let large = fs::metadata(path).is_ok_and(|kept| kept.len() > LARGEST_FILE);
    if large {
        return Err(ReadError::no_text(&name, "this file is larger than 4 megabytes; keep fewer angles in it"));
    }
    let bytes = super::bytes_of(path).map_err(|why| ReadError::no_text(&name, why))?;
    let text = String::from_utf8(bytes)
        .unwrap_or_else(|error| error.as_bytes().iter().map(|byte| char::from(*byte)).collect());
    Ok(text.strip_prefix('\u{feff}').map(String::from).unwrap_or(text))
}

const EXAMPLE: &str = "write `Measured(file: \"lamp.ies\", colour: Green, back: Port, ahead: 0)`";

/// `Measured(...)` in a scene, in place of the name of a generic lamp.
pub(super) fn measured_optics(node: &Node, desk: &mut Desk) -> Option<Arc<Optics>> {
    if !matches!(node.value, Value::Struct { .. }) {
        desk.fault(node.head_span(), "`Measured` needs its fields, each with its name", EXAMPLE);
        return None;
    }
    let mut fields = Fields::opened(node, "Measured", desk)?;
    let file = fields.need("file", text, desk);
    let colour = fields.need("colour", colour, desk);
    let back = fields.need("back", back, desk);
    let ahead = fields.need("ahead", turn, desk);
    let axis = fields.or("axis", |node, desk| axis(node, desk).map(Some), None, desk);
    let turns = fields.or("turns", |node, desk| turns(node, desk).map(Some), None, desk);
    let vertical = fields.or("vertical", |node, desk| text(node, desk).map(Some), None, desk);
    let all_round = fields.or("all_round", yes_or_no, false, desk);
    let [file_span, vertical_span] = ["file", "vertical"].map(|name| fields.span(name));
    fields.finish(desk);
    let (file, vertical) = (file?, vertical?);
    let mapping = Mapping { ahead: ahead?, axis: axis?, turns: turns? };
    let (colour, back, all_round) = (colour?, back?, all_round?);
    let Some(folder) = desk.folder else {
        let what = format!("lamp file \"{file}\" cannot be found: this scene lies in no folder");
        desk.fault(file_span, what, "save the scene as a file beside the lamp's");
        return None;
    };
    let wanted = LampFile {
        path: folder.join(&file),
        mapping,
        vertical: vertical.as_ref().map(|vertical| folder.join(vertical)),
        all_round,
    };
    let read = desk.shelf.map_or_else(|| lamp_file(&wanted), |shelf| shelf.lamp(&wanted));
    match read {
        Ok(reading) => Some(Arc::new(Optics {
            what: format!("lamp measured in \"{file}\""),
            name: file,
            back,
            beams: vec![Beam::of_grid(colour, reading.grid)],
            supply: reading.by_volts.map(Supply::full),
            chromaticity: reading.chromaticity,
        })),
        Err(LampError { in_vertical_cut, error }) => {
            let (span, name) =
                if in_vertical_cut { (vertical_span, vertical.unwrap_or_default()) } else { (file_span, file) };
            let (what, mend) = in_short(&name, &error);
            desk.fault(span, what, mend);
            None
        }
    }
}

/// The colour that the lamp's own file tells.
pub(super) fn colour_of_file(optics: &Optics) -> Option<Measured> {
    let Chromaticity { x, y } = optics.chromaticity?;
    Some(Measured { colour: optics.beams.first()?.colour, x, y })
}

/// What is wrong with a lamp file and how to mend it, for where a scene names the file.
fn in_short(name: &str, error: &ReadError) -> (String, String) {
    if let Some(fault) = error.faults().first() {
        return (format!("lamp file \"{name}\", line {}: {}", fault.line, fault.what), fault.mend.clone());
    }
    let report = error.report(false);
    let why = report.rsplit_once(": ").map_or(report.as_str(), |(_, why)| why);
    let (what, mend) = why.split_once("; ").unwrap_or((why, "look whether the file is well"));
    (format!("lamp file \"{name}\": {what}"), mend.into())
}

fn back(node: &Node, desk: &mut Desk) -> Option<Back> {
    let choice = [
        ("Below", Back::Below),
        ("Port", Back::Port),
        ("Starboard", Back::Starboard),
        ("Aft", Back::Aft),
        ("Forward", Back::Forward),
    ];
    word(node, desk, "back", &choice)
}

fn axis(node: &Node, desk: &mut Desk) -> Option<Axis> {
    word(node, desk, "axis", &[("Down", Axis::Down), ("Up", Axis::Up), ("Along", Axis::Along)])
}

fn turns(node: &Node, desk: &mut Desk) -> Option<Turns> {
    word(node, desk, "sense", &[("Clockwise", Turns::Clockwise), ("Anticlockwise", Turns::Anticlockwise)])
}
