//! What a waiver relieves from: she is judged by its rules and by those it is made from, so that nothing falls silent.
//!
//! Takes what is judged and a set of rules; gives the judgement with a note for each fault that only the waiver takes
//! away. A waiver that has expired relieves from nothing. Must never know where the border of a waiver's area runs.

use super::{
    Finding, Judgement, Kind, Rules, Severity, Waiver,
    judge::{judge_plainly, worst_first},
};
use crate::{
    boat::{Fit, Scene},
    survey::Survey,
};

/// Judges a survey of the scene's fit. Under a waiver, whatever would be a fault without it is told as a note.
pub fn judge<'a>(scene: &Scene, fit: &Fit, survey: &Survey, rules: &'a Rules) -> Judgement<'a> {
    let (Some(waiver), Some(base)) = (&rules.waiver, rules.base) else {
        return judge_plainly(scene, fit, survey, rules);
    };
    let mut relieved = judge_plainly(scene, fit, survey, rules);
    if waiver.expired {
        // Then the rules are those of the base.
        relieved.findings.push(expired(waiver, rules, base));
        worst_first(&mut relieved.findings);
        return relieved;
    }
    let strict = judge_plainly(scene, fit, survey, base);
    let faults = strict.findings.into_iter().filter(|finding| finding.severity == Severity::Fault);
    let only_without: Vec<Finding> =
        faults.filter(|fault| !relieved.findings.iter().any(|one| same(one, fault))).collect();
    relieved.findings.extend(only_without.into_iter().map(as_note));
    worst_first(&mut relieved.findings);
    relieved
}

/// Whether a finding is this fault, by whatever clause.
fn same(finding: &Finding, fault: &Finding) -> bool {
    finding.severity == fault.severity
        && finding.kind == fault.kind
        && finding.lamp == fault.lamp
        && finding.arc == fault.arc
        && finding.what == fault.what
}

fn as_note(fault: Finding) -> Finding {
    Finding { severity: Severity::Note, what: format!("Would be a fault without the waiver: {}", fault.what), ..fault }
}

fn expired(waiver: &Waiver, rules: &Rules, base: &Rules) -> Finding {
    Finding {
        what: format!("The waiver \"{}\" of {} expired on {}.", rules.name, waiver.authority, waiver.expires),
        how_bad: format!("It relieves from nothing any more: she is judged by \"{}\".", base.name),
        mend: "Ask the authority whether it was renewed, and write the new day into the rule file.".into(),
        ..Finding::of(Severity::Caution, Kind::WaiverExpired, &waiver.reference)
    }
}
