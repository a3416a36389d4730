//! The sheet of a bracket: what to cut and drill in true scale for paper, the same for a cutting machine, and in words.
//!
//! Takes a bracket worked out; gives SVG, DXF and text. Must never work out a size itself.

mod drawing;
mod dxf;
mod text;

pub use drawing::{drawing, pictures};
pub use dxf::dxf;
pub use text::text;

use crate::{
    fitting::{
        Finding,
        bracket::{Bracket, FoldMark, Piece},
        fasteners::Joint,
    },
    measure::trimmed,
};

/// What every sheet of a bracket says of its own limits.
pub const CAUTIONS: &str = "A fitting aid: strength and stiffness are not worked out here. Try it in card before cutting \
    metal, follow the lamp maker's instructions, and isolate the battery before drilling.";

/// "Bracket of the starboard sidelight, Sandpiper, fit \"proposed\"".
fn heading(bracket: &Bracket) -> String {
    format!("Bracket of \"{}\", {}, fit \"{}\"", bracket.lamp, bracket.boat, bracket.fit)
}

/// What it comes to, in a sentence.
pub(super) fn verdict(bracket: &Bracket) -> String {
    let faults = bracket.findings.iter().filter(|finding| finding.is_fault()).count();
    let others = bracket.findings.len() - faults;
    let count = |count: usize, word: &str| crate::measure::counted(count as f64, 0, word);
    match (bracket.pieces.is_empty(), faults, others) {
        (true, _, _) => format!("Cannot be made so ({}): nothing is drawn.", count(faults, "fault")),
        (false, 0, 0) => "Can be made so.".into(),
        (false, 0, _) => format!("Can be made so, with {}.", count(others, "caution")),
        (false, ..) => format!("Can be cut, and has {}: see below.", count(faults, "fault")),
    }
}

/// The rows of a table of holes: number, drill, purpose, right of the middle line, below the upper edge.
pub(super) fn hole_rows(piece: &Piece) -> Vec<[String; 5]> {
    let row = |(n, hole): (usize, &crate::fitting::bracket::Hole)| {
        let from = hole.at - piece.datum;
        [
            (n + 1).to_string(),
            trimmed(hole.drill, 2),
            hole.purpose.in_words().into(),
            trimmed(from.x, 1),
            trimmed(-from.y, 1),
        ]
    };
    piece.holes.iter().enumerate().map(row).collect()
}

pub(super) const HOLE_HEADS: [&str; 5] = ["hole", "drill", "for", "right", "down"];

/// Where the places of holes are measured from.
pub(super) const HOLE_DATUM: &str =
    "Millimetres; right of the middle line (minus: left), and down from the upper edge.";

/// "foot: bend 88.9 degrees away from you; middle 37.4 from the free edge, bend from 38.9 to 35.9".
fn fold_words(fold: &FoldMark) -> String {
    let [begins, middle, ends] = fold.from_edge.map(|at| trimmed(at, 1));
    let way = if fold.toward { "toward you" } else { "away from you" };
    format!(
        "{}: bend {} degrees {way}; middle of the fold {middle} from the free edge, fold from {ends} to {begins}",
        fold.part,
        trimmed(fold.degrees, 1)
    )
}

/// The fastener in words: length, drill, grip and where its length is from.
pub(super) fn joint_words(joint: &Joint) -> Vec<(&'static str, String)> {
    let what = joint.fastener.in_words();
    let size = trimmed(joint.fastener.diameter(), 1);
    let length = joint.length.map_or_else(
        || format!("no length of {what} of {size} mm fits"),
        |length| format!("{what} {size} x {} mm, {}", trimmed(length, 1), joint.metal),
    );
    let range = joint.range.map_or_else(String::new, |(least, most)| {
        format!(", which closes {} to {}", trimmed(least, 1), trimmed(most, 1))
    });
    let drill = if joint.drill.0 == joint.drill.1 {
        trimmed(joint.drill.0, 1)
    } else {
        format!("{} to {}", trimmed(joint.drill.0, 1), trimmed(joint.drill.1, 1))
    };
    let thumb = match joint.fastener {
        crate::boat::bracket::Fastener::Rivet { .. } => {
            "grip and 1.5 diameters (rule of thumb; the table's range decides)"
        }
        crate::boat::bracket::Fastener::Bolt { .. } => "grip, two washers, nut and two threads",
    };
    vec![
        ("fastener", format!("{length}{range}; drill {drill} mm")),
        ("grip", format!("{} mm: {}", trimmed(joint.grip, 2), joint.layers)),
        ("length", format!("{} mm by {thumb}", trimmed(joint.wanted, 1))),
    ]
}

/// "fault: inside radius", then what and mend with its source.
pub(super) fn finding_words(finding: &Finding) -> (String, String) {
    let source = if finding.source.is_empty() { String::new() } else { format!(" ({})", finding.source) };
    (
        format!("{}, {}: {}{source}.", finding.severity.in_words(), finding.about, finding.what),
        format!("Mend: {}.", finding.mend),
    )
}
