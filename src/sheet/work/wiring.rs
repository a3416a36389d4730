//! The wiring: what each cable must be, fuses, loops, terminals, and the schematic.

use super::Work;
use crate::{
    sheet::{
        bracket::finding_words,
        capitalised,
        paper::{Block, Cell, Drawing, Section, Table},
        wiring::{
            CAUTIONS, LAMP_HEADS, drawing, feed_facts, lamp_rows, loop_words, night_words, notes, switch_words,
            terminal_words, verdict,
        },
    },
    wiring::{Plan, planned},
};

pub(super) fn section(work: &Work) -> Section {
    let plan = planned(work.surveyed.scene, work.surveyed.fit);
    let mut blocks = vec![Block::Beware(CAUTIONS.into()), Block::Words(verdict(&plan))];
    for finding in &plan.findings {
        let (what, mend) = finding_words(finding);
        blocks.push(Block::Beware(format!("{} {mend}", capitalised(&what))));
    }
    blocks.push(Block::Facts(feed_facts(&plan)));
    blocks.push(lamps(&plan));
    blocks.push(Block::Words(
        "Cables as drawn in the scene, in metres: lay a string along the way before you cut. \"Lost\" is from the battery to the lamp."
            .into(),
    ));
    for (title, lines) in [
        ("Switches", plan.switches.iter().map(switch_words).collect()),
        ("Loops at joints", plan.loops.iter().map(|one| loop_words(&plan, one)).collect()),
        ("A night at anchor", vec![night_words(&plan)]),
        ("Assumed", plan.assumed.clone()),
        ("Notes", notes(&plan)),
    ] {
        if !lines.is_empty() {
            blocks.extend([Block::Heading(title.into()), Block::Points(lines)]);
        }
    }
    blocks.extend([Block::Heading("Terminals".into()), Block::Ticks(terminal_words(&plan))]);
    blocks.push(Block::Drawings(vec![turned(&plan)]));
    Section::new("Wiring", blocks).on_its_own_page()
}

fn lamps(plan: &Plan) -> Block {
    let heads = LAMP_HEADS.map(capitalised).to_vec();
    let rows = lamp_rows(plan).into_iter().map(|row| row.map(Cell::Words).to_vec()).collect();
    Block::Table(Table { heads, shares: vec![3.2, 2.4, 1.7, 1.6, 1.9, 1.5, 1.5, 1.7, 1.8], rows })
}

/// The schematic, which is broader than high, on its side.
fn turned(plan: &Plan) -> Drawing {
    let whole = drawing(plan);
    let inside =
        whole.split_once('>').and_then(|(_, rest)| rest.rsplit_once("</svg>")).map_or("", |(inside, _)| inside);
    let (breadth, height) = size_of(&whole);
    let elements = format!(
        "<svg x=\"0\" y=\"0\" width=\"{height}\" height=\"{breadth}\" viewBox=\"0 0 {height} {breadth}\"><g \
         transform=\"translate(0 {breadth}) rotate(-90)\">{inside}</g></svg>"
    );
    Drawing { name: "Schematic of the wiring".into(), width: height, height: breadth, elements, true_scale: false }
}

/// Breadth and height as a drawing tells them itself.
fn size_of(svg: &str) -> (f64, f64) {
    let told = svg.split_once("viewBox=\"0 0 ").and_then(|(_, rest)| rest.split_once('"')).map_or("", |(told, _)| told);
    let sides: Vec<f64> = told.split(' ').filter_map(|side| side.parse().ok()).collect();
    if let [breadth, height] = sides[..] { (breadth, height) } else { (297.0, 210.0) }
}
