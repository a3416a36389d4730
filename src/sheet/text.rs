//! The survey on a terminal eighty columns wide.

use std::fmt::Write;

use super::{CAUTIONS, Surveyed, Verdict, lookout, merging, swell, switches, wrap};
use crate::{
    light::{Colour, Colours, supply::volts},
    measure::{Bearing, Candela, trimmed},
    rules::{Finding, Kind, Severity},
    survey::LightSurvey,
};

pub(super) const COLUMNS: usize = 80;

/// The survey as text, no line wider than eighty columns unless a single word is. With `colour`, terminal escape codes
/// put the signal colours on the letters R G W Y and weight on the verdict; nothing is said by colour alone.
pub fn text(surveyed: &Surveyed, colour: bool) -> String {
    let ink = Ink(colour);
    [
        header(surveyed),
        verdict(surveyed, ink) + &not_looked_at(surveyed),
        findings(surveyed, ink),
        far_ring(surveyed, ink),
        near_ring(surveyed, ink),
        lamps(surveyed, ink)
            + &merging::text(surveyed, COLUMNS)
            + &swell::text(surveyed, COLUMNS)
            + &lookout::text(surveyed, COLUMNS)
            + &switches::text(surveyed, ink),
        assumptions(surveyed),
        wrap::hanging("", CAUTIONS, COLUMNS),
    ]
    .join("\n")
}

/// Whether escape codes are wanted.
#[derive(Clone, Copy)]
pub(super) struct Ink(bool);

impl Ink {
    fn code(self, code: &str, text: &str) -> String {
        if self.0 { format!("\x1b[{code}m{text}\x1b[0m") } else { text.into() }
    }

    pub fn heavy(self, text: &str) -> String {
        self.code("1", text)
    }

    /// The letters of some colours, filled with spaces to `width`.
    pub fn letters(self, colours: Colours, width: usize) -> String {
        let plain = colours.letters();
        let mut out: String = plain.chars().map(|letter| self.letter(letter)).collect();
        out.extend(std::iter::repeat_n(' ', width.saturating_sub(plain.len())));
        out
    }

    fn letter(self, letter: char) -> String {
        let code = match Colour::ALL.into_iter().find(|colour| colour.letter() == letter) {
            Some(Colour::Red) => "1;31",
            Some(Colour::Green) => "1;32",
            Some(Colour::Yellow) => "1;33",
            // White stays the terminal's own ink, so that it can be read on white paper too.
            Some(Colour::White) => "1",
            None => return letter.into(),
        };
        self.code(code, &letter.to_string())
    }
}

fn header(surveyed: &Surveyed) -> String {
    let Surveyed { scene, fit, survey, judgement } = surveyed;
    let vessel = &scene.vessel;
    let display = match judgement.display {
        Some(display) => format!("{} ({})", display.name, display.clause),
        None => "none that these rules know of".into(),
    };
    let rows = [
        ("boat", noted(&format!("{}, {} m long", scene.name, trimmed(vessel.length.0, 2)), &scene.note)),
        ("fit", noted(&fit.name, &fit.note)),
        ("status", survey.status.told_of(vessel).into()),
        ("rules", judgement.rules.name.clone()),
        ("judged as", display),
    ];
    let waiver = super::waiver(judgement.rules).map(|words| ("waiver", words));
    table(rows.into_iter().chain(waiver))
}

/// What the figures rest on.
fn assumptions(surveyed: &Surveyed) -> String {
    let Surveyed { scene, survey, .. } = surveyed;
    let conditions = &scene.conditions;
    let eye = conditions.eyes.first().copied().unwrap_or_default();
    let weather = format!(
        "visibility {} nm, dark night (an eye makes out {:e} lux)",
        trimmed(conditions.visibility.0, 2),
        survey.weather.threshold.0
    );
    let assumed = format!(
        "far ring at {} nm, near ring at {} m with an eye {} m above the water; bearings {} degrees apart; {}; clean \
         lenses and {}; optics {}.",
        trimmed(survey.far.0, 2),
        trimmed(conditions.near.0, 2),
        trimmed(eye.0, 2),
        trimmed(survey.settings.step, 3),
        moved(surveyed),
        voltages(surveyed),
        optics(surveyed),
    );
    table([("weather", weather), ("assumed", assumed)].into_iter())
}

fn table(rows: impl Iterator<Item = (&'static str, String)>) -> String {
    rows.map(|(name, value)| wrap::hanging(&format!("{name:<11}"), &value, COLUMNS)).collect()
}

/// The other statuses that she needs lights for: what passes in one says nothing of them.
fn not_looked_at(surveyed: &Surveyed) -> String {
    let vessel = &surveyed.scene.vessel;
    let others = vessel.statuses.iter().filter(|status| **status != surveyed.survey.status);
    let others: Vec<&str> = others.map(|status| status.told_of(vessel)).collect();
    if others.is_empty() {
        return String::new();
    }
    let words = format!("Not looked at here: {}. See `--status`, or `lampwalk rules` for all.", others.join("; "));
    wrap::hanging("", &words, COLUMNS)
}

fn noted(name: &str, note: &str) -> String {
    if note.is_empty() { name.into() } else { format!("{name}. {note}") }
}

/// The movements that were tried.
pub(super) fn moved(surveyed: &Surveyed) -> String {
    let conditions = &surveyed.scene.conditions;
    let (least, most) = conditions.trim;
    let count = surveyed.survey.cases.len();
    if count == 1 {
        return "the boat at rest only".into();
    }
    format!(
        "{count} ways she lies and moves (trim {} to {} degrees bow up, heel {} and steering {} degrees to either side, people as \
         the scene allows)",
        trimmed(least.0, 1),
        trimmed(most.0, 1),
        trimmed(conditions.heel.0, 1),
        trimmed(conditions.steering.0, 1)
    )
}

/// Which lamps get what, where that is told.
pub(super) fn voltages(surveyed: &Surveyed) -> String {
    let mut told: Vec<String> = Vec::new();
    for light in &surveyed.survey.lights {
        let Some(supply) = &surveyed.posed(light).optics.supply else { continue };
        let name = &surveyed.fit.lamps[light.light.lamp].name;
        let words = format!("{name} at {} ({})", volts(supply.at()), super::share_of_light(supply));
        if !told.contains(&words) {
            told.push(words);
        }
    }
    if told.is_empty() { "full voltage".into() } else { format!("full voltage, but {}", told.join(", ")) }
}

pub(super) fn optics(surveyed: &Surveyed) -> String {
    let mut names: Vec<&str> = Vec::new();
    for light in &surveyed.survey.lights {
        let name = surveyed.posed(light).optics.name.as_str();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.is_empty() { "none".into() } else { names.join(", ") }
}

fn verdict(surveyed: &Surveyed, ink: Ink) -> String {
    let line = surveyed.verdict_line();
    let (word, counts) = line.split_once(':').unwrap_or((&line, ""));
    let meaning = match surveyed.verdict() {
        Verdict::Passes => "every requirement checked here is met",
        Verdict::Fails => "not every requirement is met",
        Verdict::NotJudged => "nothing to measure her against",
    };
    format!("{}:{counts}; {meaning}.\n", ink.heavy(&word.to_uppercase()))
}

fn findings(surveyed: &Surveyed, ink: Ink) -> String {
    let findings = &surveyed.judgement.findings;
    if findings.is_empty() {
        return none_found(surveyed.survey.cases.len());
    }
    let (switching, lights): (Vec<_>, Vec<_>) = findings.iter().partition(|finding| finding.kind == Kind::Switching);
    let (at_rest, moving): (Vec<_>, Vec<_>) = lights.into_iter().partition(|finding| finding.case.is_none());
    let mut numbered = 1..;
    let mut out = String::new();
    let lost = lost(&moving);
    let switches = "Switches, whatever she is doing";
    let groups = [("At the dock, the boat at rest", at_rest), (lost.as_str(), moving), (switches, switching)];
    for (title, group) in groups {
        if !group.is_empty() {
            out.push_str(&wrap::hanging("", title, COLUMNS).replacen(title, &ink.heavy(title), 1));
        }
        for finding in group {
            out.push_str(&one_finding(numbered.next().unwrap_or(0), finding, ink));
        }
    }
    let tried = surveyed.survey.cases.len();
    if tried > 1 && findings.iter().all(|finding| finding.case.is_none()) {
        let held = format!("In normal operating trim ({tried} ways tried) nothing more is lost.");
        out.push_str(&wrap::hanging("", &held, COLUMNS));
    }
    out
}

fn none_found(tried: usize) -> String {
    let held = if tried > 1 {
        format!(", at the dock or in any of the {tried} ways she lies and moves in normal use")
    } else {
        String::new()
    };
    wrap::hanging("", &format!("Findings: none{held}."), COLUMNS)
}

/// The heading of what is lost only when she moves, with the way she lies in which the most is lost.
fn lost(moving: &[&Finding]) -> String {
    let width = |finding: &Finding| finding.arc.map_or(0.0, |arc| arc.width);
    let worst = moving.iter().max_by(|a, b| width(a).total_cmp(&width(b)));
    let case = worst.and_then(|finding| finding.case.as_deref()).unwrap_or("");
    format!("Lost in normal operating trim; worst: {case}")
}

fn one_finding(number: usize, finding: &Finding, ink: Ink) -> String {
    let lead = format!("{number:>2}. ");
    let severity = match finding.severity {
        Severity::Fault => finding.severity.in_words().to_uppercase(),
        other => other.in_words().into(),
    };
    let clause = if finding.clause.is_empty() { String::new() } else { format!(" ({})", finding.clause) };
    let title = wrap::hanging(&lead, &format!("{severity}: {}{clause}", finding.kind.in_words()), COLUMNS);
    let mut out = title.replacen(&severity, &ink.heavy(&severity), 1);
    for (name, value) in [("what", &finding.what), ("how bad", &finding.how_bad), ("mend", &finding.mend)] {
        out.push_str(&wrap::hanging(&format!("    {name:<9}"), value, COLUMNS));
    }
    out
}

fn far_ring(surveyed: &Surveyed, ink: Ink) -> String {
    let title = format!("The far ring: thirty-two observers at {} nm", trimmed(surveyed.survey.far.0, 2));
    let mut out = format!("{}\n", ink.heavy(&title));
    let _ = writeln!(out, "{:<9}{:<36}{:<11}shows", "bearing", "in points", "must show");
    for bearing in Bearing::points() {
        let shows = surveyed.shows_afar(bearing);
        out.push_str(&ring_row(surveyed, bearing, shows, ink));
    }
    let legend = "R red, G green, W white, Y yellow, - nothing; in brackets: may show besides.";
    out.push_str(legend);
    out.push('\n');
    if surveyed.beyond_promise() {
        let why = "The far ring lies beyond the range, or in thicker weather, than the rules promise for every light: \
                   what is lacking on it need be no fault.";
        out.push_str(&wrap::hanging("", why, COLUMNS));
    }
    out
}

fn ring_row(surveyed: &Surveyed, bearing: Bearing, shows: Colours, ink: Ink) -> String {
    let expected = surveyed.expected(bearing);
    let may = expected.may.without(expected.must);
    let mut must = ink.letters(expected.must, 0);
    let mut width = expected.must.letters().len();
    if !may.is_empty() {
        let _ = write!(must, " ({})", ink.letters(may, 0));
        width += 3 + may.letters().len();
    }
    must.extend(std::iter::repeat_n(' ', 11usize.saturating_sub(width)));
    let row = format!("{:<9}{:<36}{must}{}", bearing.to_string(), bearing.in_point_words(), ink.letters(shows, 5));
    // Where nothing was judged there is nothing to differ from.
    let mark = if surveyed.judgement.display.is_some() {
        difference(expected.missing(shows), expected.extra(shows), ink)
    } else {
        String::new()
    };
    format!("{}\n", format!("{row}{mark}").trim_end())
}

/// "* no G, W too many": how a showing differs, or nothing.
fn difference(missing: Colours, extra: Colours, ink: Ink) -> String {
    let mut words = Vec::new();
    if !missing.is_empty() {
        words.push(format!("lacks {}", ink.letters(missing, 0)));
    }
    if !extra.is_empty() {
        words.push(format!("not {}", ink.letters(extra, 0)));
    }
    if words.is_empty() { String::new() } else { format!("* {}", words.join(", ")) }
}

fn near_ring(surveyed: &Surveyed, ink: Ink) -> String {
    let conditions = &surveyed.scene.conditions;
    let eye = conditions.eyes.first().copied().unwrap_or_default();
    let at = format!("at {} m, eye {} m above the water", trimmed(conditions.near.0, 2), trimmed(eye.0, 2));
    let differing: Vec<_> = Bearing::points()
        .map(|bearing| (bearing, surveyed.shows_afar(bearing), surveyed.shows_close(bearing)))
        .filter(|(_, afar, close)| afar != close)
        .collect();
    if differing.is_empty() {
        return wrap::hanging("", &format!("The near ring ({at}) sees the same as the far ring."), COLUMNS);
    }
    if Bearing::points().all(|bearing| surveyed.shows_close(bearing).is_empty()) {
        let nothing = format!("The near ring ({at}) makes out no light at all: each passes overhead or is hidden.");
        return wrap::hanging("", &nothing, COLUMNS);
    }
    let mut out = format!("{}\n", ink.heavy(&format!("The near ring: {at}; where it differs from afar")));
    let _ = writeln!(out, "{:<9}{:<36}{:<11}close by", "bearing", "in points", "from afar");
    for (bearing, afar, close) in differing {
        let letters = (ink.letters(afar, 11), ink.letters(close, 0));
        let _ = writeln!(out, "{:<9}{:<36}{}{}", bearing.to_string(), bearing.in_point_words(), letters.0, letters.1);
    }
    out
}

fn lamps(surveyed: &Surveyed, ink: Ink) -> String {
    if surveyed.survey.lights.is_empty() {
        return format!("No lamp is lit {}.\n", surveyed.survey.status.in_words());
    }
    let mut out = format!("{}\n", ink.heavy("Lamps, where the full intensity is due (cd; nm; m; degrees)"));
    let _ = writeln!(
        out,
        "  {:<22}{:>8}{:>8}{:>8}{:>8}{:>7}{:>6}{:>8}",
        "", "due", "most", "least", "range", "height", "lean", "turned"
    );
    for light in &surveyed.survey.lights {
        out.push_str(&one_light(surveyed, light, ink));
    }
    out.push_str(&wrap::hanging(
        "",
        "Range: how far off it is made out where it is least. Height: above the water at rest. Turned: of its datum \
         line from the centreline, to starboard (s) or port (p).",
        COLUMNS,
    ));
    out
}

fn one_light(surveyed: &Surveyed, light: &LightSurvey, ink: Ink) -> String {
    let lamp = &surveyed.fit.lamps[light.light.lamp];
    let posed = surveyed.posed(light);
    let candela = |value: Option<Candela>| value.map_or("-".into(), |value| trimmed(value.0, 2));
    let strength = surveyed.strength(light);
    let turned = posed.turned().map_or("-".into(), |turned| match trimmed(turned.0.abs(), 1) {
        nought if nought == "0" => nought,
        angle => format!("{angle} {}", if turned.0 > 0.0 { "s" } else { "p" }),
    });
    let mut out = format!("{} {}\n", ink.letter(light.colour.letter()), lamp.name);
    let _ = writeln!(
        out,
        "  {:<22}{:>8}{:>8}{:>8}{:>8}{:>7}{:>6}{:>8}",
        lamp.role.in_words(),
        candela(surveyed.due(light)),
        candela(strength.map(|one| one.peak)),
        candela(strength.map(|one| one.least)),
        strength.map_or("-".into(), |one| trimmed(one.range.0, 2)),
        trimmed(posed.centre.z, 2),
        trimmed(posed.lean().0, 1),
        turned
    );
    // Less by what is not written is no less.
    let written = |value: Candela| trimmed(value.0, 2);
    if let Some(strength) = strength.filter(|one| one.worst < one.least && written(one.worst) != written(one.least)) {
        let case = surveyed.survey.cases.get(strength.worst_case).map_or("", |case| case.words.as_str());
        out.push_str(&wrap::hanging("  ", &format!("least {} cd, when {case}", written(strength.worst)), COLUMNS));
    }
    out
}
