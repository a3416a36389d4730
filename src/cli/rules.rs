//! `lampwalk rules`: how a boat stands to every clause.

use std::{path::PathBuf, process::ExitCode};

use rayon::prelude::*;

use super::{UNUSABLE, chosen_fits, chosen_rules, output, read_scene, unusable};
use crate::{
    boat::{Fit, Scene, Status},
    rules::{Judgement, Kind, Rules, clause_table, judge},
    sheet::{self, ClauseSheet},
    survey::{Settings, Survey},
};

#[derive(clap::Args, Debug)]
pub(super) struct Args {
    /// Scene files (RON).
    #[arg(required = true, value_name = "SCENE")]
    scenes: Vec<PathBuf>,
    /// Only this fit; otherwise every fit of every scene.
    #[arg(long, value_name = "NAME")]
    fit: Option<String>,
    /// Only this status, as `lampwalk displays` names it; otherwise every status that the scene says she needs.
    #[arg(long, value_name = "NAME", value_parser = super::status(), hide_possible_values = true)]
    status: Option<Status>,
    /// The rules to judge by: a built-in set, or a rule file (RON).
    #[arg(long, value_name = "NAME-OR-FILE", default_value = "international")]
    rules: String,
    /// Print one JSON object instead of text.
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args) -> ExitCode {
    let rules = match chosen_rules(&args.rules) {
        Ok(rules) => rules,
        Err(code) => return code,
    };
    let read: Vec<_> = args.scenes.iter().map(|path| (path, read_scene(path))).collect();
    let mut unusable_input = read.iter().any(|(_, scene)| scene.is_err());
    let mut sheets = Vec::new();
    for (path, scene) in &read {
        let Ok(scene) = scene else { continue };
        super::unknown_waters(scene, &rules).iter().for_each(|words| output::say(words));
        match chosen_fits(scene, Some(path), args.fit.as_deref()) {
            Ok(fits) => sheets.extend(fits.into_iter().map(|fit| table(scene, fit, args.status, &rules))),
            Err(why) => {
                output::say(&format!("lampwalk: {why}"));
                unusable_input = true;
            }
        }
    }
    let text = if args.json {
        sheet::clauses_json(&sheets)
    } else {
        sheets.iter().map(sheet::clauses_text).collect::<Vec<_>>().join("\n")
    };
    match output::give(&text) {
        Err(error) => unusable(&format!("standard output cannot be written: {error}")),
        Ok(()) if unusable_input => ExitCode::from(UNUSABLE),
        Ok(()) => ExitCode::from(u8::from(sheets.iter().any(falls_short))),
    }
}

/// A clause not met falls short, and so does a status that could not be judged.
fn falls_short(sheet: &ClauseSheet) -> bool {
    sheet.not_met().next().is_some() || !sheet.unjudged.is_empty()
}

fn table<'a>(scene: &'a Scene, fit: &'a Fit, status: Option<Status>, rules: &'a Rules) -> ClauseSheet<'a> {
    let statuses = status.map_or_else(|| scene.vessel.statuses.clone(), |one| vec![one.plain(scene.vessel.propulsion)]);
    let judged: Vec<_> = statuses
        .par_iter()
        .map(|status| {
            let survey = Survey::of(scene, fit, *status, &Settings::default());
            (*status, judge(scene, fit, &survey, rules))
        })
        .collect();
    let judgements: Vec<_> = judged.iter().map(|(status, judgement)| (*status, judgement)).collect();
    let without = judgements.iter().filter(|(_, judgement)| judgement.display.is_none());
    let unjudged = without.map(|(status, judgement)| (*status, why_unjudged(judgement))).collect();
    ClauseSheet { scene, fit, rules, statuses, unjudged, lines: clause_table(&judgements) }
}

fn why_unjudged(judgement: &Judgement) -> String {
    let why = judgement.findings.iter().find(|one| matches!(one.kind, Kind::StatusImpossible | Kind::NotCovered));
    why.map_or_else(String::new, |one| one.what.clone())
}
