//! The brackets in true scale, with their holes and what fastens them.

use super::{Units, Work};
use crate::{
    fitting::bracket::{Bracket, NoBracket, Piece, for_lamp},
    sheet::{
        bracket::{CAUTIONS, finding_words, joint_words, pictures, verdict},
        capitalised,
        paper::{Block, Cell, Section, Table},
    },
};

pub(super) fn section(work: &Work) -> Section {
    let (scene, fit) = (work.surveyed.scene, work.surveyed.fit);
    let worked = (0..fit.lamps.len()).map(|lamp| (lamp, for_lamp(scene, fit, lamp)));
    let mut without = Vec::new();
    let mut blocks = Vec::new();
    let mut any = false;
    for (lamp, bracket) in worked {
        match bracket {
            Ok(bracket) => {
                any = true;
                blocks.extend(one(work.units, &bracket));
            }
            Err(NoBracket::NotAsked(name)) => without.push(name),
            Err(NoBracket::NoSuchLamp) => debug_assert!(false, "no lamp {lamp}"),
        }
    }
    if any {
        blocks.insert(
            0,
            Block::Words(
                "Drawn in true scale. Print at 100 percent, measure the bar, and try the piece in card before you cut metal.".into(),
            ),
        );
        blocks.push(Block::Beware(CAUTIONS.into()));
    } else {
        blocks.clear();
    }
    if !without.is_empty() {
        let words = format!(
            "The scene describes no bracket for {}. Give such a lamp a `bracket` field to have it worked out and drawn.",
            without.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
        );
        blocks.push(Block::Words(words));
    }
    let section = Section::new("Brackets", blocks);
    if any { section.on_its_own_page() } else { section }
}

fn one(units: Units, bracket: &Bracket) -> Vec<Block> {
    let mut blocks = vec![
        Block::Heading(format!("Bracket of \"{}\"", bracket.lamp)),
        Block::Words(format!("{}. {}", bracket.title, verdict(bracket))),
    ];
    for finding in &bracket.findings {
        let (what, mend) = finding_words(finding);
        blocks.push(Block::Beware(format!("{} {mend}", capitalised(&what))));
    }
    blocks.extend(bracket.pieces.iter().filter(|piece| !piece.holes.is_empty()).flat_map(|piece| holes(units, piece)));
    let joint = bracket.joint.iter().flat_map(joint_words);
    let facts = bracket.facts.iter().cloned().chain(joint);
    blocks.push(Block::Facts(facts.map(|(name, told)| (capitalised(name), told)).collect()));
    blocks.push(Block::Points(bracket.notes.clone()));
    if !bracket.pieces.is_empty() {
        blocks.push(Block::Drawings(pictures(bracket)));
    }
    blocks
}

fn holes(units: Units, piece: &Piece) -> [Block; 2] {
    let rows = piece.holes.iter().enumerate().map(|(n, hole)| {
        let from = hole.at - piece.datum;
        vec![
            Cell::Tick((n + 1).to_string()),
            units.hole(hole.drill).into(),
            hole.purpose.in_words().into(),
            units.small(from.x).into(),
            units.small(-from.y).into(),
        ]
    });
    let heads = ["Hole", "Drill", "For", "Right of middle", "Below upper edge"].map(String::from).to_vec();
    [
        Block::Table(Table { heads, shares: vec![1.4, 2.4, 2.6, 2.4, 2.6], rows: rows.collect() }),
        Block::Words(format!(
            "Holes in the {}. Right of the middle line (minus: left); down from the upper edge. Sizes on the drawing are \
             millimetres.",
            piece.name
        )),
    ]
}
