//! What falls short of the rules, each with a box to tick when it is mended.

use super::Work;
use crate::{
    rules::{Finding, Severity},
    sheet::{
        capitalised,
        paper::{Block, Cell, Section, Table},
    },
};

pub(super) fn section(work: &Work) -> Section {
    let findings = &work.surveyed.judgement.findings;
    let blocks = if findings.is_empty() {
        vec![Block::Words("Nothing was found to fall short in this status.".into())]
    } else {
        vec![
            Block::Words("Worst first. Tick each when it is mended and the check has been run again.".into()),
            Block::Table(Table {
                heads: ["Finding", "What falls short", "Mend"].map(String::from).to_vec(),
                shares: vec![2.9, 6.0, 4.2],
                rows: findings.iter().map(row).collect(),
            }),
        ]
    };
    Section::new("Findings", blocks)
}

fn row(finding: &Finding) -> Vec<Cell> {
    let severity = match finding.severity {
        Severity::Fault => finding.severity.in_words().to_uppercase(),
        other => capitalised(other.in_words()),
    };
    let clause = if finding.clause.is_empty() { String::new() } else { format!(" ({})", finding.clause) };
    vec![
        Cell::Tick(format!("{severity}: {}{clause}", finding.kind.in_words())),
        format!("{} {}", finding.what, finding.how_bad).trim().to_owned().into(),
        finding.mend.clone().into(),
    ]
}
