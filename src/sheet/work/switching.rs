//! The switch plan: what each setting lights and announces.

use super::Work;
use crate::{
    measure::listed,
    sheet::{
        capitalised,
        paper::{Block, Cell, Section, Table},
        switches::{announces, given, lawful, letters, lit},
    },
};

/// More rows than these nobody reads.
const MOST_ROWS: usize = 24;

pub(super) fn section(work: &Work) -> Section {
    let surveyed = &work.surveyed;
    let Some(plan) = surveyed.switching() else {
        let names: Vec<String> = surveyed
            .scene
            .vessel
            .statuses
            .iter()
            .map(|status| {
                let lamps = surveyed.fit.lamps.iter().filter(|lamp| lamp.lit.contains(status));
                let lamps: Vec<&str> = lamps.map(|lamp| lamp.name.as_str()).collect();
                let lamps = if lamps.is_empty() { "none".into() } else { listed(&lamps) };
                format!("{}: {lamps}", capitalised(status.told_of(&surveyed.scene.vessel)))
            })
            .collect();
        let words = "The scene has no switch plan. These lamps are to be lit; arrange the switches so that no other set can \
                     be put on by mistake, and write it down as `switches` in the scene to have it checked.";
        return Section::new("Switch plan", vec![Block::Words(words.into()), Block::Points(names)]);
    };
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for reading in plan.settings.iter().take(MOST_ROWS) {
        let colours = reading.setting.lamps.iter().filter_map(|index| surveyed.fit.lamps.get(*index));
        let colours = colours.flat_map(|lamp| lamp.optics.beams.iter().map(|beam| beam.colour)).collect();
        rows.push(vec![
            Cell::Tick(reading.words.clone()),
            format!("{}: {}", letters(colours), lit(surveyed, reading)).into(),
            announces(reading).into(),
            lawful(reading).into(),
        ]);
    }
    let heads = ["Setting", "Lights", "Announces", "Lawful for her"].map(String::from).to_vec();
    let mut blocks = vec![Block::Table(Table { heads, shares: vec![2.5, 2.6, 3.4, 5.0], rows })];
    if plan.settings.len() > MOST_ROWS {
        blocks.push(Block::Words(format!("... and {} settings more.", plan.settings.len() - MOST_ROWS)));
    }
    let needed: Vec<(String, String)> = plan
        .needed
        .iter()
        .map(|needed| {
            let told = given(needed, &plan).map_or_else(
                || "no setting gives it".into(),
                |(reading, display)| format!("{} ({})", reading.words, display.clause),
            );
            (capitalised(needed.status.by_means(&surveyed.scene.vessel).in_words()), told)
        })
        .collect();
    blocks.push(Block::Heading("Label the panel so".into()));
    blocks.push(Block::Facts(needed));
    Section::new("Switch plan", blocks)
}
