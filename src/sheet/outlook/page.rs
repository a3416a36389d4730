//! What stands round the strips: the title, the legend, the cautions.

use svg::node::element::{Definitions, Path, Pattern, Rectangle, Title};

use crate::{
    measure::trimmed,
    sheet::{
        CAUTIONS, Surveyed, capitalised,
        pen::{INK, Pen, SMALL, width_of},
        waiver, wrap,
    },
    survey::Outlook,
};

pub(super) const WIDTH: f64 = 210.0;
pub(super) const HEIGHT: f64 = 297.0;
pub(super) const MARGIN: f64 = 11.0;
pub(super) const ROOM: f64 = WIDTH - 2.0 * MARGIN;
pub(super) const LINE: f64 = 4.1;
/// Left edge of the strips, beside the degrees up and down.
pub(super) const LEFT: f64 = MARGIN + 15.0;

/// The clear view over the horizon and under it.
pub(super) const SKY: &str = "#7d97bd";
pub(super) const SEA: &str = "#5f7ca6";
/// Her own solids where no light is due, and where it is.
pub(super) const SOLID: &str = "#161b22";
pub(super) const HIDDEN: &str = "#d81b66";
pub(super) const HATCH: &str = "url(#hidden)";
/// Laid over what no light is asked in.
pub(super) const PALE: &str = "#ffffff";
pub(super) const VEIL: f64 = 0.42;
/// The least share of the face hidden from which a shade is laid on, and how thick: together a fifth, two fifths, ...,
/// whole.
pub(super) const SHADES: [(f64, f64); 5] =
    [(0.06, 0.2), (0.25, 0.25), (0.5, 1.0 / 3.0), (0.75, 0.5), (1.0 - 1e-9, 1.0)];

/// White paper, and the hatching of what is hidden.
pub(super) fn paper(pen: &mut Pen, height: f64) {
    let stroke = Path::new().set("d", "M-1 1 L1 -1 M0 1.6 L1.6 0 M0.6 2.6 L2.6 0.6").set("stroke", "#ffffff");
    let pattern = Pattern::new()
        .set("id", "hidden")
        .set("width", 1.6)
        .set("height", 1.6)
        .set("patternUnits", "userSpaceOnUse")
        .add(stroke.set("stroke-width", 0.3));
    pen.add(Definitions::new().add(pattern));
    pen.add(Rectangle::new().set("width", WIDTH).set("height", height).set("fill", "#ffffff"));
}

/// The title.
pub(super) struct Head {
    title: String,
    heading: String,
    size: f64,
    lines: Vec<String>,
}

pub(super) fn head(surveyed: &Surveyed) -> Head {
    let Surveyed { scene, fit, survey, judgement } = surveyed;
    let heading = format!("{}, {}: what each lamp looks out on", scene.name, fit.name);
    let display = match judgement.display {
        Some(display) => format!("as {} ({})", display.name, display.clause),
        None => "for which these rules hold no display".into(),
    };
    let line = format!("{} m, {}, {display}.", trimmed(scene.vessel.length.0, 2), survey.status.in_words());
    let mut lines = wrapped(&capitalised(&line));
    lines.extend(waiver::in_short(judgement.rules).iter().flat_map(|words| wrapped(words)));
    if survey.lights.is_empty() {
        lines.push("No lamp is lit.".into());
    }
    // A long name is set smaller rather than cut; heavy letters are wider.
    let size = (6.0 * ROOM / width_of(&heading, 6.4)).clamp(SMALL, 6.0);
    Head { title: format!("{heading}, {}", survey.status.in_words()), heading, size, lines }
}

impl Head {
    pub fn depth(&self) -> f64 {
        18.0 + LINE * self.lines.len() as f64
    }

    pub fn draw(&self, pen: &mut Pen) {
        pen.add(Title::new(&self.title));
        pen.heavy_words((MARGIN, 14.5), self.size, "start", &self.heading);
        for (index, line) in self.lines.iter().enumerate() {
            pen.words((MARGIN, 20.2 + LINE * index as f64), SMALL, "start", line);
        }
    }
}

/// Legend and cautions.
pub(super) struct Foot {
    lines: Vec<String>,
    cautions: Vec<String>,
}

/// `times`: how much taller heights are drawn than bearings wide.
pub(super) fn foot(surveyed: &Surveyed, times: f64) -> Foot {
    let vertical = surveyed.judgement.rules.vertical(&surveyed.scene.vessel, surveyed.survey.status);
    let asked = vertical.map_or(String::new(), |row| {
        let beyond = if row.wide > Outlook::HIGHEST { ", more than is drawn" } else { "" };
        format!(
            " White dashes: all of its least light is due to {} degrees up and down ({}), {} percent of it to {} ({}){beyond}.",
            trimmed(row.full, 1),
            row.clause_full,
            trimmed(row.share * 100.0, 0),
            trimmed(row.wide, 1),
            row.clause_wide
        )
    });
    let words = format!(
        "The boat at rest, as each lamp sees her from its place; heights are drawn {} times as tall. Heavy lines and \
         the bar: the edges of its sector, in bearings.{asked}",
        trimmed(times, 1)
    );
    Foot { lines: wrapped(&words), cautions: wrapped(CAUTIONS) }
}

impl Foot {
    pub fn depth(&self) -> f64 {
        12.0 + LINE * (self.lines.len() + self.cautions.len()) as f64 + 5.0
    }

    pub fn draw(&self, pen: &mut Pen, height: f64) {
        let mut y = height - self.depth() + 6.0;
        pen.line((MARGIN, y - 5.6), (WIDTH - MARGIN, y - 5.6), 0.2, "");
        key(pen, y);
        y += LINE + 1.2;
        for line in self.lines.iter() {
            pen.words((MARGIN, y), SMALL, "start", line);
            y += LINE;
        }
        y += 1.6;
        for line in self.cautions.iter() {
            pen.words((MARGIN, y), SMALL, "start", line);
            y += LINE;
        }
    }
}

fn wrapped(text: &str) -> Vec<String> {
    wrap::lines(text, ROOM, |piece| width_of(piece, SMALL))
}

/// One patch for each thing that a cell can be.
fn key(pen: &mut Pen, baseline: f64) {
    let top = baseline - 3.0;
    let mut x = MARGIN;
    let plain = |pen: &mut Pen, x: f64, fill: &str| pen.path(format!("M{x} {top} h9 v3.8 h-9 Z"), fill, INK, 0.25);
    for (words, kind) in [
        ("clear", 0),
        ("her own solids; paler outside the sector", 1),
        ("half shadow", 2),
        ("hides it where it must show", 3),
    ] {
        match kind {
            0 => {
                plain(pen, x, SKY);
                pen.path(format!("M{x} {} h9 v1.9 h-9 Z", top + 1.9), SEA, "none", 0.0);
            }
            1 => {
                plain(pen, x, SOLID);
                let half = Path::new().set("d", format!("M{} {top} h4.5 v3.8 h-4.5 Z", x + 4.5));
                pen.add(half.set("fill", PALE).set("fill-opacity", VEIL));
            }
            2 => {
                plain(pen, x, SKY);
                for (n, (_, opacity)) in SHADES.iter().enumerate() {
                    let from = 1.8 * n as f64;
                    let data = format!("M{} {top} h{} v3.8 h-{} Z", x + from, 9.0 - from, 9.0 - from);
                    pen.add(Path::new().set("d", data).set("fill", SOLID).set("fill-opacity", *opacity));
                }
            }
            _ => {
                plain(pen, x, HIDDEN);
                plain(pen, x, HATCH);
            }
        }
        pen.words((x + 11.0, baseline), SMALL, "start", words);
        x += 15.0 + width_of(words, SMALL);
    }
}
