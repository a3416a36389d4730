//! The table of clauses: how one fit stands to every clause of a rule set, as text or JSON.

use std::fmt::Write;

use serde::Serialize;

use super::{
    CAUTIONS,
    waiver::{OneWaiver, one_waiver},
    wrap,
};
use crate::{
    boat::{Fit, Scene, Status},
    measure::{listed, trimmed},
    rules::{ClauseLine, Rules, Severity, Standing},
};

const COLUMNS: usize = 80;
/// Room for the name of a clause.
const INDENT: usize = 22;

/// One fit with its table of clauses.
pub struct ClauseSheet<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub rules: &'a Rules,
    /// The statuses that the table covers.
    pub statuses: Vec<Status>,
    pub lines: Vec<ClauseLine<'a>>,
    /// What could not be judged at all, and why.
    pub unjudged: Vec<(Status, String)>,
}

impl ClauseSheet<'_> {
    /// How many clauses stand so.
    pub fn count(&self, standing: &str) -> usize {
        self.lines.iter().filter(|line| line.standing.in_words() == standing).count()
    }

    /// The clauses that are not met.
    pub fn not_met(&self) -> impl Iterator<Item = &str> {
        self.lines.iter().filter(|line| line.standing == Standing::NotMet).map(|line| line.row.clause.as_str())
    }
}

type Belongs = fn(&Standing) -> bool;

/// The table as text, no line wider than eighty columns unless a single word is. What is not met comes first.
pub fn clauses_text(sheet: &ClauseSheet) -> String {
    let mut out = header(sheet);
    let groups: [(&str, Belongs); 5] = [
        ("Not met", |standing| *standing == Standing::NotMet),
        ("Met at rest, with caution", |standing| *standing == Standing::Cautioned),
        ("Met", |standing| *standing == Standing::Met),
        ("Not checkable here", |standing| matches!(standing, Standing::NotCheckable(_))),
        ("Not applicable", |standing| matches!(standing, Standing::NotApplicable(_))),
    ];
    for (title, belongs) in groups {
        let lines: Vec<&ClauseLine> = sheet.lines.iter().filter(|line| belongs(&line.standing)).collect();
        if !lines.is_empty() {
            let _ = writeln!(out, "\n{title}");
            lines.iter().for_each(|line| out.push_str(&one_clause(line)));
        }
    }
    let _ = write!(out, "\n{}", wrap::hanging("", CAUTIONS, COLUMNS));
    out
}

fn header(sheet: &ClauseSheet) -> String {
    let vessel = &sheet.scene.vessel;
    let statuses: Vec<&str> = sheet.statuses.iter().map(|status| status.in_words()).collect();
    let not_met: Vec<&str> = sheet.not_met().collect();
    let unjudged: Vec<String> =
        sheet.unjudged.iter().map(|(status, why)| format!("{}: {why}", status.in_words())).collect();
    let standings = ["met", "met with caution", "not met", "not applicable", "not checkable here"];
    let counts: Vec<String> = standings.iter().map(|words| format!("{} {words}", sheet.count(words))).collect();
    let rows = [
        ("boat", format!("{}, {} m long", sheet.scene.name, trimmed(vessel.length.0, 2))),
        ("fit", sheet.fit.name.clone()),
        ("status", statuses.join("; ")),
        ("rules", sheet.rules.name.clone()),
        ("clauses", format!("{}: {}", sheet.lines.len(), counts.join(", "))),
        ("not judged", if unjudged.is_empty() { "none".into() } else { unjudged.join(" ") }),
        ("not met", if not_met.is_empty() { "none".into() } else { not_met.join(", ") }),
    ];
    let waiver = super::waiver(sheet.rules).map(|words| ("waiver", words));
    let mut out: String =
        rows.iter().chain(&waiver).map(|(name, value)| wrap::hanging(&format!("{name:<11}"), value, COLUMNS)).collect();
    out.push('\n');
    out
}

fn one_clause(line: &ClauseLine) -> String {
    let clause = &line.row.clause;
    let about = match (&line.standing, line.standing.reason()) {
        // Whom it is for says enough of what is not for her.
        (Standing::NotApplicable(_), Some(reason)) => reason.into(),
        (_, Some(reason)) => format!("{}: {reason}", line.row.about),
        _ => line.row.about.clone(),
    };
    let mut out = wrap::hanging(&format!("  {clause:<INDENT$}"), &about, COLUMNS);
    for (what, severity, statuses) in merged(line) {
        let words = format!("{} {}: {what}", severity.in_words(), listed(&statuses));
        out.push_str(&wrap::hanging(&" ".repeat(INDENT + 4), &words, COLUMNS));
    }
    out
}

/// The remarks on a clause, each once, with the statuses it was made in.
fn merged<'a>(line: &'a ClauseLine) -> Vec<(&'a str, Severity, Vec<&'static str>)> {
    let mut merged: Vec<(&str, Severity, Vec<&'static str>)> = Vec::new();
    for (status, severity, what) in &line.remarks {
        match merged.iter_mut().find(|(known, same, _)| known == what && same == severity) {
            Some((_, _, statuses)) => statuses.push(status.in_words()),
            None => merged.push((what, *severity, vec![status.in_words()])),
        }
    }
    merged
}

#[derive(Serialize)]
struct Object<'a> {
    schema: u32,
    tables: Vec<OneTable<'a>>,
    cautions: &'static str,
}

#[derive(Serialize)]
struct OneTable<'a> {
    boat: &'a str,
    fit: &'a str,
    rules: &'a str,
    waiver: Option<OneWaiver<'a>>,
    statuses: Vec<&'static str>,
    unjudged: Vec<Unjudged<'a>>,
    clauses: Vec<OneClause<'a>>,
}

#[derive(Serialize)]
struct Unjudged<'a> {
    status: &'static str,
    why: &'a str,
}

#[derive(Serialize)]
struct OneClause<'a> {
    clause: &'a str,
    about: &'a str,
    standing: String,
    reason: Option<&'a str>,
    statuses: Vec<&'static str>,
    remarks: Vec<OneRemark<'a>>,
}

#[derive(Serialize)]
struct OneRemark<'a> {
    status: &'static str,
    severity: Severity,
    what: &'a str,
}

/// The tables as one JSON object whose first key is the schema.
pub fn clauses_json(sheets: &[ClauseSheet]) -> String {
    let keys = |statuses: &[Status]| statuses.iter().map(|status| status.key()).collect();
    let tables = sheets.iter().map(|sheet| OneTable {
        boat: &sheet.scene.name,
        fit: &sheet.fit.name,
        rules: &sheet.rules.name,
        waiver: one_waiver(sheet.rules),
        statuses: keys(&sheet.statuses),
        unjudged: sheet.unjudged.iter().map(|(status, why)| Unjudged { status: status.key(), why }).collect(),
        clauses: sheet
            .lines
            .iter()
            .map(|line| OneClause {
                clause: &line.row.clause,
                about: &line.row.about,
                standing: line.standing.in_words().replace(' ', "_"),
                reason: line.standing.reason(),
                statuses: keys(&line.statuses),
                remarks: line
                    .remarks
                    .iter()
                    .map(|(status, severity, what)| OneRemark { status: status.key(), severity: *severity, what })
                    .collect(),
            })
            .collect(),
    });
    super::json::layout::to_string(&Object { schema: 1, tables: tables.collect(), cautions: CAUTIONS })
}
