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
    measure::trimmed,
    rules::{ClauseLine, Rules, Severity, Standing},
};

const COLUMNS: usize = 80;
/// Where the words on a clause begin.
const INDENT: usize = 24;

/// One fit with its table of clauses.
pub struct ClauseSheet<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub rules: &'a Rules,
    /// The statuses that the table covers.
    pub statuses: Vec<Status>,
    pub lines: Vec<ClauseLine<'a>>,
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

/// The table as text, no line wider than eighty columns unless a single word is.
pub fn clauses_text(sheet: &ClauseSheet) -> String {
    let mut out = header(sheet);
    for line in &sheet.lines {
        out.push_str(&one_clause(line));
    }
    let _ = write!(out, "\n{}", wrap::hanging("", CAUTIONS, COLUMNS));
    out
}

fn header(sheet: &ClauseSheet) -> String {
    let vessel = &sheet.scene.vessel;
    let statuses: Vec<&str> = sheet.statuses.iter().map(|status| status.in_words()).collect();
    let not_met: Vec<&str> = sheet.not_met().collect();
    let standings = ["met", "not met", "not applicable", "not checkable here"];
    let counts: Vec<String> = standings.iter().map(|words| format!("{} {words}", sheet.count(words))).collect();
    let rows = [
        ("boat", format!("{}, {} m long", sheet.scene.name, trimmed(vessel.length.0, 2))),
        ("fit", sheet.fit.name.clone()),
        ("status", statuses.join("; ")),
        ("rules", sheet.rules.name.clone()),
        ("clauses", format!("{}: {}", sheet.lines.len(), counts.join(", "))),
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
    let standing = match line.standing {
        Standing::NotMet => "NOT MET".into(),
        _ => line.standing.in_words().to_string(),
    };
    // A long name of a clause pushes its words down a line rather than over the edge.
    let lead = format!("{clause:<INDENT$}");
    let about = format!("{standing}: {}", line.row.about);
    let mut out = if lead.len() > INDENT {
        format!("{clause}\n{}", wrap::hanging(&" ".repeat(INDENT), &about, COLUMNS))
    } else {
        wrap::hanging(&lead, &about, COLUMNS)
    };
    let indent = " ".repeat(INDENT + 2);
    if let Some(reason) = line.standing.reason() {
        out.push_str(&wrap::hanging(&indent, reason, COLUMNS));
    }
    for (status, severity, what) in &line.remarks {
        let words = format!("{} {}: {what}", severity.in_words(), status.in_words());
        out.push_str(&wrap::hanging(&indent, &words, COLUMNS));
    }
    out
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
    clauses: Vec<OneClause<'a>>,
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
