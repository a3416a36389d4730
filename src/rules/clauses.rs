//! How a fit stands to every clause of a rule set: met, not met, not applicable or not checkable, each with its reason.
//!
//! Takes judgements of one fit in one or more statuses; gives a line for each clause of the set, none left out. A clause
//! is met only where something was held against it and nothing fell short.

use super::{ClauseRow, Finding, Judgement, Kind, Severity, judge::split_clauses};
use crate::boat::Status;

/// How she stands to a clause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    Met,
    /// Met at rest, and something is to be said of it.
    Cautioned,
    NotMet,
    /// Nothing of the clause applies to her; why.
    NotApplicable(String),
    /// It applies, and cannot be checked here; why.
    NotCheckable(String),
}

impl Standing {
    pub fn in_words(&self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::Cautioned => "met with caution",
            Self::NotMet => "not met",
            Self::NotApplicable(_) => "not applicable",
            Self::NotCheckable(_) => "not checkable here",
        }
    }

    /// Why it does not apply, or cannot be checked.
    pub fn reason(&self) -> Option<&str> {
        match self {
            Self::Met | Self::Cautioned | Self::NotMet => None,
            Self::NotApplicable(why) | Self::NotCheckable(why) => Some(why),
        }
    }
}

/// One clause and how she stands to it.
#[derive(Clone, Debug)]
pub struct ClauseLine<'a> {
    pub row: &'a ClauseRow,
    pub standing: Standing,
    /// The statuses in which it was held against her.
    pub statuses: Vec<Status>,
    /// What falls short of it, faults first: the status, the severity, and the sentence.
    pub remarks: Vec<(Status, Severity, String)>,
}

/// The table for judgements of one fit under one set of rules. Empty when there are none.
pub fn clause_table<'a>(judgements: &[(Status, &Judgement<'a>)]) -> Vec<ClauseLine<'a>> {
    let Some((_, first)) = judgements.first() else { return Vec::new() };
    first.rules.clauses.iter().map(|row| line(row, judgements)).collect()
}

fn line<'a>(row: &'a ClauseRow, judgements: &[(Status, &Judgement<'a>)]) -> ClauseLine<'a> {
    let mut remarks: Vec<(Status, Severity, String)> = judgements
        .iter()
        .flat_map(|(status, judgement)| {
            let own = judgement.findings.iter().filter(|finding| speaks_of(finding, &row.clause));
            own.map(|finding| (*status, finding.severity, finding.what.clone()))
        })
        .collect();
    remarks.sort_by_key(|(_, severity, _)| std::cmp::Reverse(*severity));
    let statuses: Vec<Status> = judgements
        .iter()
        .filter(|(_, judgement)| judgement.asked.contains(&row.clause))
        .map(|(status, _)| *status)
        .collect();
    let open = judgements.iter().find_map(|(_, judgement)| judgement.asked.why_open(&row.clause));
    let fault = remarks.iter().any(|(_, severity, _)| *severity == Severity::Fault);
    let cautioned = judgements.iter().any(|(_, judgement)| {
        let short = |one: &&Finding| one.severity == Severity::Caution || one.kind == Kind::Uneven;
        judgement.findings.iter().filter(short).any(|one| speaks_of(one, &row.clause))
    });
    let standing = match (fault, open) {
        (true, _) => Standing::NotMet,
        (false, Some(why)) => Standing::NotCheckable(why.into()),
        (false, None) if !statuses.is_empty() && cautioned => Standing::Cautioned,
        (false, None) if !statuses.is_empty() => Standing::Met,
        (false, None) if !row.beyond.is_empty() && may_concern(row, judgements) => {
            Standing::NotCheckable(row.beyond.clone())
        }
        (false, None) => Standing::NotApplicable(why_not(row, judgements)),
    };
    ClauseLine { row, standing, statuses, remarks }
}

/// Whether a clause that no program can check may concern her in any of the statuses.
fn may_concern(row: &ClauseRow, judgements: &[(Status, &Judgement)]) -> bool {
    row.only.is_empty() || judgements.iter().any(|(status, _)| row.only.contains(status))
}

fn speaks_of(finding: &Finding, clause: &str) -> bool {
    split_clauses(&finding.clause).any(|one| one == clause)
}

fn why_not(row: &ClauseRow, judgements: &[(Status, &Judgement)]) -> String {
    if judgements.iter().all(|(_, judgement)| judgement.display.is_none()) {
        "nothing was judged".into()
    } else if row.whom.is_empty() {
        "nothing here comes under it".into()
    } else {
        format!("it is for {}", row.whom)
    }
}
