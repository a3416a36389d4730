//! Everything that falls short, fit by fit, in everyday words, each with a way to go and see it.
//!
//! Takes the facts; gives HTML. The fitter's own words are folded away beneath. Must never leave a finding out.

use super::{
    facts::{Facts, FitFacts},
    html::{escaped, name},
    sight::place,
    wrong::Wrong,
};
use crate::{
    measure::Bearing,
    rules::Severity,
    sheet::{capitalised, show::words::apart},
};

/// As many as are printed; the others are on the screen only, which the paper says.
const PRINTED: usize = 8;

pub(super) fn list(facts: &Facts) -> String {
    let mut printed = PRINTED;
    let mut out = String::new();
    for (index, fit) in facts.fits.iter().enumerate() {
        let here = printed.min(fit.wrongs.len());
        printed -= here;
        out += &of_fit(facts, index, fit, here);
    }
    out
}

fn of_fit(facts: &Facts, index: usize, fit: &FitFacts, printed: usize) -> String {
    let items: String =
        fit.wrongs.iter().enumerate().map(|(nth, wrong)| item(&facts.bearings, index, wrong, nth >= printed)).collect();
    let inside = if fit.wrongs.is_empty() {
        "<p class=\"well\">Nothing is wrong, and there is nothing to watch.</p>".into()
    } else {
        format!("<ol>{items}</ol>{}", beyond(fit.wrongs.len() - printed))
    };
    let note = &fit.surveyed.fit.note;
    let note =
        if note.is_empty() { String::new() } else { format!("<p class=\"about\" dir=\"auto\">{}</p>", escaped(note)) };
    format!(
        "<section class=\"found\" aria-labelledby=\"found-{index}\">\n<h2 id=\"found-{index}\">{}: {}</h2>\n{note}{inside}\n</section>\n",
        name(&capitalised(&fit.surveyed.fit.name)),
        fit.count(),
    )
}

fn beyond(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => "<p class=\"print-only\">One more is told in the file itself.</p>".into(),
        many => format!("<p class=\"print-only\">{many} more are told in the file itself.</p>"),
    }
}

fn item(bearings: &[Bearing], fit: usize, wrong: &Wrong, beyond: bool) -> String {
    let class = match wrong.finding.severity {
        Severity::Fault => "fault",
        Severity::Caution => "caution",
        Severity::Note => "note",
    };
    let beyond = if beyond { " beyond" } else { "" };
    let place =
        wrong.place.as_deref().map_or_else(String::new, |place| format!("<p class=\"where\">Where: {place}.</p>"));
    let case = wrong.finding.case.as_deref().map_or_else(String::new, |case| {
        format!("<p class=\"where\">Only when the boat moves: {}.</p>", escaped(&apart(case)))
    });
    format!(
        "<li class=\"{class}{beyond}\"><h3><span class=\"weight\">{}</span> {}</h3><p>{}</p>{place}{case}{}{}</li>\n",
        wrong.weight(),
        escaped(&wrong.heading),
        escaped(&wrong.means),
        turns(bearings, fit, wrong),
        trade(wrong),
    )
}

/// Buttons that turn the view to where it is seen.
fn turns(bearings: &[Bearing], fit: usize, wrong: &Wrong) -> String {
    let button = |at: &usize| {
        let bearing = bearings[*at];
        format!(
            "<button type=\"button\" class=\"turn\" data-place=\"{at}\" data-fit=\"{fit}\">Look from {} ({bearing}&#176;)</button>",
            place(bearing)
        )
    };
    if wrong.stands.is_empty() {
        return String::new();
    }
    format!("<p class=\"turns live-only\">{}</p>", wrong.stands.iter().map(button).collect::<Vec<_>>().join(" "))
}

/// The finding as the fitter reads it.
fn trade(wrong: &Wrong) -> String {
    let finding = wrong.finding;
    let clause = if finding.clause.is_empty() { String::new() } else { format!(" ({})", escaped(&finding.clause)) };
    let lines = [&finding.what, &finding.how_bad, &finding.mend];
    let lines: Vec<String> =
        lines.into_iter().filter(|line| !line.is_empty()).map(|line| escaped(&capitalised(line))).collect();
    format!(
        "<details><summary>For the fitter<span class=\"aside\">: {}</span></summary><p>{}{clause}</p></details>",
        escaped(finding.kind.in_words()),
        lines.join("<br>"),
    )
}
