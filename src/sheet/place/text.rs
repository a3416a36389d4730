//! Proposed places as text for a terminal of eighty columns.

use super::{CAUTIONS, Sheet, band_words, help_words, limits_note, reasons, spot_words, tightest_words, verdict};
use crate::{
    boat::Status,
    fitting::place::Proposal,
    measure::{counted, listed},
    rules::Finding,
    sheet::{capitalised, wrap},
};

const COLUMNS: usize = 80;

/// Everything that is told of the proposals.
pub fn text(sheet: &Sheet) -> String {
    let mut out = format!("{}, from the fit \"{}\"\n", sheet.scene.name, sheet.fit.name);
    let looked = format!(
        "{} places looked at, over all the trim, heel, steering and postures of her conditions. The panel is {}.",
        sheet.found.looked_at, sheet.panel.words
    );
    out.push_str(&wrap::hanging("", &looked, COLUMNS));
    if !sheet.left.is_empty() {
        let left = format!("Left where they are, since nothing she does lights them: {}.", listed(&sheet.left));
        out.push_str(&wrap::hanging("", &left, COLUMNS));
    }
    out.push_str(&wrap::hanging("", &verdict(sheet), COLUMNS));
    for (number, proposal) in sheet.found.proposals.iter().enumerate() {
        out.push_str(&one(sheet, number + 1, proposal));
    }
    if !sheet.found.help.is_empty() {
        out.push_str("\nWhat would help, each tried\n");
    }
    for help in &sheet.found.help {
        out.push_str(&wrap::hanging("  ", &help_words(sheet.scene, sheet.fit, help), COLUMNS));
    }
    out.push('\n');
    out.push_str(&wrap::hanging("", &format!("{}.", capitalised(&limits_note())), COLUMNS));
    out.push_str(&wrap::hanging("", CAUTIONS, COLUMNS));
    out
}

fn one(sheet: &Sheet, number: usize, proposal: &Proposal) -> String {
    let verdict = match (proposal.faults.len(), proposal.cautions.len()) {
        (0, 0) => "passes".into(),
        (0, cautions) => format!("passes, with {}", counted(cautions as f64, 0, "caution")),
        (faults, _) => format!("lacks: {}", counted(faults as f64, 0, "fault")),
    };
    let mut out = format!("\n{number}  {}; {verdict}\n", band_words(proposal.band));
    for placed in &proposal.placed {
        let lamp = &proposal.fit.lamps[placed.lamp].name;
        out.push_str(&wrap::hanging("   ", &format!("{lamp} {}", spot_words(sheet.scene, placed)), COLUMNS));
        out.push_str(&wrap::hanging("      ", &reasons(placed), COLUMNS));
    }
    if let Some(words) = tightest_words(proposal) {
        out.push_str(&wrap::hanging("   ", &format!("nearest figure: {words}"), COLUMNS));
    }
    for (heading, list) in
        [("fault", &proposal.faults), ("caution", &proposal.cautions), ("fault elsewhere", &proposal.elsewhere)]
    {
        for (status, finding) in list {
            out.push_str(&wrap::hanging("   ", &finding_words(heading, *status, finding), COLUMNS));
        }
    }
    out
}

fn finding_words(heading: &str, status: Status, finding: &Finding) -> String {
    let clause = if finding.clause.is_empty() { String::new() } else { format!(" ({})", finding.clause) };
    format!("{heading} {}: {} {}{clause}", status.in_words(), finding.what, finding.how_bad)
}
