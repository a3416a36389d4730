//! What she must show, in short: the display, its lights, what was assumed and what to beware of.

use super::Work;
use crate::{
    measure::trimmed,
    rules::{LightKind, Rules},
    sheet::{
        CAUTIONS, Verdict, capitalised,
        paper::{Block, Cell, Section, Table},
        text::{moved, optics, voltages},
        waiver,
    },
};

pub(super) fn section(work: &Work) -> Section {
    let mut blocks = vec![Block::Facts(boat(work))];
    blocks.extend(lights(work));
    if let Some(words) = waiver(work.surveyed.judgement.rules) {
        blocks.push(Block::Beware(format!("Waiver: {words}")));
    }
    blocks.push(Block::Heading("What was assumed".into()));
    blocks.push(Block::Facts(assumed(work)));
    blocks.push(Block::Heading("Before you begin".into()));
    blocks.push(Block::Points(vec![
        "Isolate the battery before you open the panel: battery negative off, or the main fuse out. Prove it dead.".into(),
        "Wiring is for somebody licensed or practised where you are. Local rules go before this sheet, and so do the lamp \
         maker's instructions."
            .into(),
        "Look behind the deck before you drill: cables, tanks, cores that must be sealed. Wear eye protection.".into(),
        "A model is as true as the measurements in it. Measure on board; where sheet and boat differ, stop and mend the scene."
            .into(),
    ]));
    blocks.push(Block::Beware(CAUTIONS.into()));
    Section::new("What she must show", blocks)
}

fn boat(work: &Work) -> Vec<(String, String)> {
    let surveyed = &work.surveyed;
    let (scene, judgement) = (surveyed.scene, surveyed.judgement);
    let vessel = &scene.vessel;
    let mut facts = vec![
        (
            "Boat",
            format!(
                "{}, {} long, {} beam",
                scene.name,
                work.units.plain(vessel.length.0),
                work.units.plain(vessel.beam.0)
            ),
        ),
        ("Note", scene.note.clone()),
        (
            "Fit",
            if surveyed.fit.note.is_empty() {
                surveyed.fit.name.clone()
            } else {
                format!("{}. {}", surveyed.fit.name, surveyed.fit.note)
            },
        ),
        ("Doing", capitalised(surveyed.survey.status.told_of(vessel))),
    ];
    facts.push((
        "Display",
        judgement.display.map_or_else(
            || "none that these rules know of for such a vessel".into(),
            |display| format!("{} ({})", display.name, display.clause),
        ),
    ));
    facts.push(("Checked", capitalised(&surveyed.verdict_line()) + "."));
    let others: Vec<&str> = vessel
        .statuses
        .iter()
        .filter(|status| **status != surveyed.survey.status)
        .map(|status| status.told_of(vessel))
        .collect();
    if !others.is_empty() {
        facts.push(("Not checked", format!("{}: make sheets with --status for these.", others.join("; "))));
    }
    facts.into_iter().filter(|(_, told)| !told.is_empty()).map(|(name, told)| (name.into(), told)).collect()
}

/// The lights that the display asks for, and the lamps that serve.
fn lights(work: &Work) -> Option<Block> {
    let surveyed = &work.surveyed;
    let display = surveyed.judgement.display?;
    let services = crate::rules::services(surveyed.scene, surveyed.fit, surveyed.survey, surveyed.judgement);
    let mut kinds: Vec<LightKind> = display.required().collect();
    kinds
        .extend(services.iter().map(|service| service.kind).filter(|kind| !display.required().any(|one| one == *kind)));
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for kind in kinds {
        let mut names: Vec<&str> = Vec::new();
        for service in services.iter().filter(|service| service.kind == kind) {
            let name = surveyed.fit.lamps[service.light.lamp].name.as_str();
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let by = if names.is_empty() { "missing".into() } else { names.join(", ") };
        let row = light_row(surveyed.judgement.rules, kind, surveyed.scene.vessel.length.0, by);
        if !rows.contains(&row) {
            rows.push(row);
        }
    }
    let heads = ["Light", "Colour", "Shows over", "Range", "Least", "Lamp"].map(String::from).to_vec();
    (!rows.is_empty()).then_some(Block::Table(Table { heads, shares: vec![3.0, 1.3, 4.2, 1.2, 1.3, 3.2], rows }))
}

fn light_row(rules: &Rules, kind: LightKind, length: f64, by: String) -> Vec<Cell> {
    let sector = rules.sector(kind);
    let range = rules.range(kind, length);
    let least = range.and_then(|range| rules.intensity(range));
    let none = || "-".to_string();
    let arc = sector.map_or_else(none, |row| {
        if row.is_all_round() {
            "all round".into()
        } else {
            format!("{}°: {}", trimmed(row.arc().width, 1), row.arc().in_words())
        }
    });
    vec![
        capitalised(kind.in_words()).into(),
        sector.map_or_else(none, |row| row.colour.name().into()).into(),
        arc.into(),
        range.map_or_else(none, |range| format!("{} nm", trimmed(range.0, 1))).into(),
        least.map_or_else(none, |least| format!("{} cd", trimmed(least.0, 1))).into(),
        by.into(),
    ]
}

fn assumed(work: &Work) -> Vec<(String, String)> {
    let surveyed = &work.surveyed;
    let conditions = &surveyed.scene.conditions;
    let eyes: Vec<String> = conditions.eyes.iter().map(|eye| work.units.plain(eye.0)).collect();
    let mut facts = vec![
        ("Weather", format!("dark night, visibility {} nm, clean lenses", trimmed(conditions.visibility.0, 1))),
        ("Observers", format!("eyes {} above the water, at {} nm", eyes.join(", "), trimmed(surveyed.survey.far.0, 2))),
        ("Movement", moved(surveyed)),
        ("Lamps", format!("{}; {}", optics(surveyed), voltages(surveyed))),
        (
            "Hull",
            "deck, gunwale and transom are the smooth shape of the scene's figures; the boat lies level at rest".into(),
        ),
    ];
    if surveyed.verdict() == Verdict::NotJudged {
        facts.push(("Judged", "nothing: the rules hold no display for her".into()));
    }
    facts.into_iter().map(|(name, told)| (name.into(), told)).collect()
}
