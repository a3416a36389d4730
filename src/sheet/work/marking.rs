//! Marking out, lamp by lamp: tapes, squared offsets, slopes and checks in words, with the deck in plan.

use super::{Work, plan};
use crate::{
    fitting::marking::{Crossing, FixedPoint, Footing, Mark, Slope, Squaring, Tape, marking},
    measure::{Degrees, Metres, trimmed},
    sheet::{
        capitalised,
        paper::{Block, Cell, Section, Table},
    },
};

/// Width of the drawing, millimetres: what a page of either size holds.
const PLAN: f64 = 174.0;
/// Less than this is level, degrees: finer than a level of the trade is read (common practice, no source).
const LEVEL: f64 = 0.15;

pub(super) fn section(work: &Work) -> Section {
    let scene = work.surveyed.scene;
    let marks = marking(scene, work.surveyed.fit);
    if marks.is_empty() {
        return Section::new("Marking out", vec![Block::Words("This fit has no lamp to mark out.".into())]);
    }
    let points = points_used(&marks);
    let mut blocks = vec![
        Block::Words(
            "Strike each spot with two tapes, then prove it by the check tape and the squared line. A tape is pulled taut from point \
             to point at their true heights, not laid level: where the crown of the deck lifts it, it bears on the deck, and the \
             figure allows for that. What is measured from transom and centreline is held level and plumbed down."
                .into(),
        ),
        Block::Drawings(vec![plan::deck(scene, &marks, &points, PLAN)]),
    ];
    if !points.is_empty() {
        let rows = points
            .iter()
            .zip(plan::letters())
            .map(|(point, letter)| vec![letter.into(), capitalised(&point.name).into()]);
        let heads = ["Point", "Where the tape is held"].map(String::from).to_vec();
        blocks.push(Block::Table(Table { heads, shares: vec![1.0, 9.0], rows: rows.collect::<Vec<Vec<Cell>>>() }));
    }
    let letter = |point: &FixedPoint| letter_of(&points, point);
    for (n, mark) in marks.iter().enumerate() {
        blocks.push(Block::Heading(format!("{}. {}", n + 1, capitalised(&mark.name))));
        blocks.push(Block::Facts(facts(work, mark, &letter)));
        for finding in &mark.findings {
            blocks.push(Block::Beware(format!(
                "{}, {}: {}. Mend: {}.",
                capitalised(finding.severity.in_words()),
                finding.about,
                finding.what,
                finding.mend
            )));
        }
        blocks.push(Block::Ticks(vec![
            "Spot struck, check tape agrees, line proved by its diagonal; the lamp stands upright by the level both ways.".into(),
        ]));
    }
    Section::new("Marking out", blocks).on_its_own_page()
}

/// Every point that a tape of the marks is held to, once, in the order of use.
fn points_used(marks: &[Mark]) -> Vec<FixedPoint> {
    let mut used: Vec<FixedPoint> = Vec::new();
    for crossing in marks.iter().filter_map(|mark| mark.crossing.as_ref()) {
        for tape in crossing.tapes.iter().chain(&crossing.check) {
            if !used.contains(&tape.from) {
                used.push(tape.from.clone());
            }
        }
    }
    used
}

fn letter_of(points: &[FixedPoint], point: &FixedPoint) -> String {
    let found = points.iter().zip(plan::letters()).find(|(one, _)| *one == point);
    found.map_or_else(String::new, |(_, letter)| letter)
}

fn facts(work: &Work, mark: &Mark, letter: &impl Fn(&FixedPoint) -> String) -> Vec<(String, String)> {
    let units = work.units;
    let mut facts = vec![
        ("Foot", footing(work, mark)),
        ("From transom", format!("{} forward, level", units.tape(mark.forward.0))),
        ("Off centre", format!("{}, level", off_centre(work, mark.starboard))),
    ];
    match &mark.crossing {
        Some(crossing) => facts.extend(tapes(work, crossing, letter)),
        None => facts.push(("Tapes", "none: use the level measures".into())),
    }
    if let Some(twin) = &mark.twin {
        facts.push(("To its twin", format!("{} to {}", length(work, twin), twin.from.name)));
    }
    if let Some(line) = &mark.line {
        facts.push(("Line", line_words(work, mark, line.angle, line.of_bracket)));
    }
    if let Some(square) = &mark.squaring {
        facts.push(("Squared off", squared(work, square)));
    }
    if matches!(mark.footing, Footing::Deck | Footing::Skin) {
        facts.push(("Gunwale", gunwale(work, mark.toe_in)));
    }
    if let Some(slope) = &mark.slope {
        let folded = mark.line.as_ref().is_some_and(|line| line.of_bracket);
        facts.push(("Shim", shim(work, slope, folded)));
    }
    facts.into_iter().map(|(name, told)| (name.into(), told)).collect()
}

fn footing(work: &Work, mark: &Mark) -> String {
    let up = match mark.lamp_above.0 {
        up if up.abs() < 0.0005 => "level with".to_owned(),
        up => format!("{} above", work.units.tape(up)),
    };
    match &mark.footing {
        Footing::Deck => format!("on the deck; the middle of the lamp's face comes {up} the spot"),
        Footing::Lid(part) => format!("on top of \"{part}\"; the middle of the lamp's face comes {up} the spot"),
        Footing::Beside(part) => {
            format!(
                "on the side of \"{part}\", {} above the waterline; the lamp's face {up} the spot",
                work.units.tape(mark.at.z)
            )
        }
        Footing::Pole(part) => {
            format!("at the head of \"{part}\", whose foot is marked here; the lamp's face {up} that")
        }
        Footing::Skin => format!("on the topside or transom, {} above the waterline", work.units.tape(mark.at.z)),
        Footing::Cowling(part) => format!("on the cowling of \"{part}\", straight ahead and down"),
    }
}

fn off_centre(work: &Work, starboard: Metres) -> String {
    match starboard.0 {
        off if off.abs() < 0.0005 => "on the centreline".into(),
        off => format!("{} to {}", work.units.tape(off.abs()), if off > 0.0 { "starboard" } else { "port" }),
    }
}

fn tapes(work: &Work, crossing: &Crossing, letter: &impl Fn(&FixedPoint) -> String) -> Vec<(&'static str, String)> {
    let [one, other] = crossing.tapes.each_ref().map(|tape| format!("{} {}", letter(&tape.from), length(work, tape)));
    let [a, b] = crossing.tapes.each_ref().map(|tape| letter(&tape.from));
    let mut told = vec![
        ("Two tapes", format!("from {one}, and from {other}")),
        (
            "They cross",
            format!(
                "{} of the line {a}-{b}, at {} degrees; tapes {} out shift the spot by {} at most",
                side(crossing.side),
                trimmed(crossing.angle.0, 0),
                work.units.small(2.0),
                work.units.small(crossing.out.0 * 1000.0)
            ),
        ),
    ];
    if let Some(check) = &crossing.check {
        told.push(("Check tape", format!("from {} {}", letter(&check.from), length(work, check))));
    }
    told
}

/// In words that "of the line" follows.
fn side(side: &str) -> &str {
    match side {
        "abaft" => "on the after side",
        "forward" => "on the forward side",
        "to starboard" => "on the starboard side",
        "to port" => "on the port side",
        "above" => "on the upper side",
        _ => "on the lower side",
    }
}

fn length(work: &Work, tape: &Tape) -> String {
    format!("{}{}", work.units.tape(tape.length.0), if tape.on_deck { ", over the deck's crown" } else { "" })
}

fn line_words(work: &Work, mark: &Mark, angle: Degrees, of_bracket: bool) -> String {
    let way = match angle.0 {
        angle if angle.abs() < 0.05 => "parallel to the centreline".into(),
        angle if (angle.abs() - 90.0).abs() < 0.05 => "square across".into(),
        angle => format!(
            "{} degrees to {} of the centreline",
            trimmed(angle.abs(), 1),
            if angle > 0.0 { "starboard" } else { "port" }
        ),
    };
    let ends = mark
        .line
        .iter()
        .flat_map(|line| line.ends)
        .map(|end| format!("{} forward and {}", work.units.tape(end.x), off_centre(work, Metres(-end.y))));
    let of = if of_bracket { "the bracket's ends" } else { "ends of a short line" };
    format!("{way}; {of}: {}", ends.collect::<Vec<_>>().join("; "))
}

fn squared(work: &Work, square: &Squaring) -> String {
    let units = work.units;
    let [after, fore] = square.ends.map(|(_, starboard)| off_centre(work, starboard));
    format!(
        "strike a line from gunwale to gunwale {} forward of the transom; it lies square when both tapes from a corner of the \
         transom to its far end are {}. On it set off {after}. At the bracket's other end set off {fore}. Carried on {} \
         forward, the line lies {}, and the diagonal to there from the middle of the athwartships line is {}",
        units.tape(square.abreast.0),
        units.tape(square.crossed.0),
        units.tape(square.leg.0),
        off_centre(work, square.far_offset),
        units.tape(square.diagonal.0)
    )
}

fn gunwale(work: &Work, toe_in: Degrees) -> String {
    if toe_in.0.abs() < LEVEL {
        return "runs parallel to the centreline here".into();
    }
    let way = if toe_in.0 > 0.0 { "in" } else { "out" };
    format!(
        "runs {way} by {} degrees going forward ({}): never set the lamp by it",
        trimmed(toe_in.0.abs(), 1),
        work.units.rise(toe_in.0)
    )
}

/// `folded` where a bracket that the scene describes takes out the deck's slope by itself.
fn shim(work: &Work, slope: &Slope, folded: bool) -> String {
    let wedge = |angle: f64, ends: [&str; 2]| {
        let thick = if angle > 0.0 { ends[0] } else { ends[1] };
        let words = format!("thick end {thick} {} degrees ({})", trimmed(angle.abs(), 1), work.units.rise(angle));
        (angle.abs() >= LEVEL).then_some(words)
    };
    let along = |angle: f64| wedge(angle, ["aft", "forward"]);
    let parts: Vec<String> =
        along(slope.shim_at_rest().0).into_iter().chain(wedge(slope.port.0, ["to starboard", "to port"])).collect();
    let at_rest = match parts.as_slice() {
        [] => "none at rest: level here".into(),
        _ if folded => "none at rest: the bracket is made to the deck's slope".into(),
        _ => format!("at rest, {}", parts.join(", ")),
    };
    if slope.trim.0.abs() < LEVEL {
        return at_rest;
    }
    let moving = if folded { slope.trim.0 } else { slope.shim_under_way().0 };
    format!(
        "{at_rest}. She runs {} degrees bow {} in the middle of her trim; to stand upright then, fore and aft: {}",
        trimmed(slope.trim.0.abs(), 1),
        if slope.trim.0 > 0.0 { "up" } else { "down" },
        along(moving).unwrap_or_else(|| "none".into())
    )
}
