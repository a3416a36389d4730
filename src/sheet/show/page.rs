//! The page as a whole: its head, its verdict, what it rests on, and the parts between.
//!
//! Takes the facts; gives one HTML file with its style and script inside, which asks for nothing outside itself.

use super::{
    data::data,
    facts::{Facts, FitFacts},
    how_far,
    html::{escaped, name},
    list::list,
    stills::stills,
    walk::walk,
    words::words,
};
use crate::{
    measure::trimmed,
    sheet::{CAUTIONS, capitalised, waiver},
};

const STYLE: &str = include_str!("../../../assets/show/page.css");
const SCRIPT: &str = include_str!("../../../assets/show/page.js");

/// What the browser may fetch and run: nothing but what is in the file and bears this mark.
const POLICY: &str = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'nonce-lampwalk'; base-uri 'none'; \
                      form-action 'none'";

pub(super) fn write(facts: &Facts) -> String {
    let boat = &facts.visit.before.scene.name;
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\" class=\"still\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"generator\" content=\"lampwalk {version}\">\n\
         <title>{title}: her lights at night</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n{head}<main>\n{walk}{list}{stills}{note}</main>\n\
         {foot}<script type=\"application/json\" id=\"walk-data\">{data}</script>\n<script nonce=\"lampwalk\">\n{SCRIPT}</script>\n\
         </body>\n</html>\n",
        version = escaped(facts.visit.version),
        title = escaped(boat),
        head = head(facts),
        walk = walk(facts),
        list = list(facts),
        stills = stills(facts),
        note = note(facts),
        foot = foot(facts),
        data = data(facts),
    )
}

/// The boat, the verdicts, and the whole matter in three sentences.
fn head(facts: &Facts) -> String {
    let scene = facts.visit.before.scene;
    let doing = facts.visit.before.survey.status.told_of(&scene.vessel);
    let verdicts: String = facts.fits.iter().map(verdict).collect();
    format!(
        "<header>\n<p class=\"kicker\">What other vessels see of her at night</p>\n<h1>{}</h1>\n\
         <p class=\"vessel\">{} m long, {doing}</p>\n<div class=\"verdicts\">{verdicts}</div>\n<p class=\"lead\">{}</p>\n</header>\n",
        name(&scene.name),
        trimmed(scene.vessel.length.0, 2),
        lead(facts),
    )
}

fn verdict(fit: &FitFacts) -> String {
    let (class, sign) = if fit.fails() { ("bad", "&#10007;") } else { ("good", "&#10003;") };
    format!(
        "<p class=\"verdict {class}\"><span class=\"sign\" aria-hidden=\"true\">{sign}</span> <span class=\"fit\">{}</span> \
         <strong>{}</strong></p>",
        name(&capitalised(&fit.surveyed.fit.name)),
        fit.count(),
    )
}

fn lead(facts: &Facts) -> String {
    let places = facts.bearings.len();
    let from = |(index, fit): (usize, &FitFacts)| {
        let count = match fit.wrong_places() {
            0 => "none".into(),
            some => some.to_string(),
        };
        let of = if index == 0 { format!(" of {places} places around her") } else { String::new() };
        format!("from {count}{of} ({})", name(&fit.surveyed.fit.name))
    };
    let judged = facts.fits.iter().all(|fit| fit.surveyed.judgement.display.is_some());
    let counted: Vec<String> = facts.fits.iter().enumerate().map(from).collect();
    let counted =
        if judged { format!(" Hers are not as they should be {}.", counted.join(", ")) } else { String::new() };
    format!("In the dark, others know a boat only by her lights.{counted}")
}

/// What the fitter adds.
fn note(facts: &Facts) -> String {
    let Some(note) = facts.visit.note.filter(|note| !note.trim().is_empty()) else { return String::new() };
    let from = facts.visit.by.map_or_else(|| "A note".into(), |by| format!("From {}", name(by)));
    format!(
        "<section class=\"note-from\" aria-labelledby=\"note-head\">\n<h2 id=\"note-head\">{from}</h2>\n\
         <p class=\"user\" dir=\"auto\">{}</p>\n</section>\n",
        escaped(note.trim())
    )
}

/// What the page rests on, and what it does not replace.
fn foot(facts: &Facts) -> String {
    let lines: String = rests_on(facts).iter().map(|line| format!("<li>{line}</li>")).collect();
    let terms: String = words()
        .words
        .iter()
        .map(|(term, means)| format!("<dt>{}</dt><dd>{}</dd>", escaped(term), escaped(means)))
        .collect();
    let by = facts.visit.by.map_or_else(String::new, |by| format!(" for {}", name(by)));
    format!(
        "<footer>\n<h2>What this rests on</h2>\n<ul>{lines}</ul>\n<h2 class=\"screen-only\">Names of lights</h2>\n\
         <dl class=\"screen-only\">{terms}</dl>\n\
         <p class=\"cautions\">{cautions}</p>\n<p class=\"made\">Made{by} on <time datetime=\"{date}\">{date}</time> with lampwalk {version}.</p>\n\
         </footer>\n",
        cautions = escaped(CAUTIONS),
        date = facts.visit.date,
        version = escaped(facts.visit.version),
    )
}

fn rests_on(facts: &Facts) -> Vec<String> {
    let before = &facts.visit.before;
    let (scene, survey, rules) = (before.scene, before.survey, before.judgement.rules);
    let mut lines = vec![format!(
        "What is said of each place is for somebody {} off on a dark night with a visibility of {} nautical miles, the boat \
         at rest and upright, clean lamps; judged by the rules \"{}\".",
        how_far(survey.far),
        trimmed(scene.conditions.visibility.0, 1),
        escaped(&rules.name),
    )];
    if let Some(pictures) = facts.visit.pictures.as_ref().filter(|_| facts.has_pictures()) {
        lines.push(format!(
            "Each is a picture made by a program from measurements, not a photograph, as from {} off with the eye {} m above the water.",
            how_far(pictures.distance.nautical_miles()),
            trimmed(pictures.eye.0, 1)
        ));
    }
    if scene.note.to_lowercase().contains("invented") {
        lines.push("The boat is invented.".into());
    }
    let others = scene.vessel.statuses.iter().filter(|status| **status != survey.status);
    let others: Vec<&str> = others.map(|status| status.told_of(&scene.vessel)).collect();
    if !others.is_empty() {
        lines.push(format!("Not looked at here: the boat {}.", others.join("; ")));
    }
    if facts.fits.iter().any(|fit| fit.surveyed.beyond_promise()) {
        lines.push("In this weather, even lights that meet the rules are not all seen from so far off.".into());
    }
    lines.extend(waiver(rules).map(|words| escaped(&words)));
    lines
}
