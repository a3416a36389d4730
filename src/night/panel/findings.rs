//! The card of findings: one line each, opening to what is wrong, how bad, how to mend it and by which clause.

use std::sync::Arc;

use bevy_egui::egui::{
    FontFamily, FontId, Frame, Galley, Margin, Rect, RichText, ScrollArea, TextFormat, Ui, text::LayoutJob, vec2,
};

use super::{
    Desk,
    cloth::{self, dim, heading, small},
    glossary, marks,
    reading::{FindingLine, walk_to},
    words::{Tally, count},
};
use crate::{
    edit::{LampAt, Subject},
    night::Work,
};

pub fn show(ui: &mut Ui, desk: &mut Desk, room: f32) {
    let reading = desk.reading;
    ui.horizontal(|ui| {
        ui.label(heading("Findings"));
        let tally = reading.fits.iter().find(|fit| fit.chosen).and_then(|fit| fit.tally);
        ui.label(small(tally.map_or_else(String::new, totals)));
    });
    if !reading.judged {
        ui.label(dim("Her survey is running..."));
        return;
    }
    if reading.findings.is_empty() {
        ui.label(dim("None: every requirement checked here is met."));
        return;
    }
    let room = room - 44.0;
    // An area offers its contents only the height they had before: the list has to ask for more itself.
    ScrollArea::vertical().max_height(room).min_scrolled_height(room).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        for (index, finding) in reading.findings.iter().enumerate() {
            one(ui, desk, index, finding);
        }
    });
}

/// Where a finding's text begins, right of its mark.
const INDENT: f32 = 27.0;

fn totals(tally: Tally) -> String {
    let mut parts = vec![count(tally.faults, "fault")];
    if tally.cautions > 0 {
        parts.push(count(tally.cautions, "caution"));
    }
    parts.join(", ")
}

/// What a finding's row says, laid out.
struct Lines {
    heading: Arc<Galley>,
    under: Arc<Galley>,
}

impl Lines {
    fn of(ui: &Ui, finding: &FindingLine) -> Self {
        let width = ui.available_width() - INDENT - 4.0;
        Self {
            heading: marks::wrapped(ui, width, RichText::new(&finding.heading).color(cloth::INK)),
            under: marks::wrapped(ui, width, small(&finding.under)),
        }
    }

    fn height(&self) -> f32 {
        self.heading.size().y + self.under.size().y + 11.0
    }
}

fn one(ui: &mut Ui, desk: &mut Desk, index: usize, finding: &FindingLine) {
    let open = desk.folds.finding == Some(index);
    let lines = Lines::of(ui, finding);
    let label = format!("{}: {}", finding.severity.in_words(), finding.heading);
    let (rect, response) = marks::row(ui, lines.height(), open, &label);
    paint_row(ui, rect, finding, lines);
    marks::beside(&response, |ui| {
        ui.label(&finding.what);
        let hint = match finding.look_from {
            Some(_) => "Click to read on, to look from the middle of its arc, and to choose its lamp.",
            None => "Click to read on.",
        };
        ui.label(small(hint));
    });
    if response.clicked() {
        desk.folds.finding = (!open).then_some(index);
        // What is read wants the room.
        desk.folds.lie = false;
        if let (false, Some(bearing)) = (open, finding.look_from) {
            desk.acts.extend(walk_to(bearing));
        }
        if let (false, Some(lamp)) = (open, finding.lamp) {
            desk.works.push(Work::Choose(Some(Subject::Lamp(LampAt { fit: desk.choice.fit, lamp }))));
        }
    }
    if open {
        body(ui, finding);
    }
}

/// Severity and heading over the arc; a violet bar where the observer stands in that arc.
fn paint_row(ui: &Ui, rect: Rect, finding: &FindingLine, lines: Lines) {
    let painter = ui.painter();
    if finding.here {
        let bar = Rect::from_min_size(rect.left_top() + vec2(0.0, 6.0), vec2(3.5, rect.height() - 12.0));
        painter.rect_filled(bar, 2.0, cloth::accent());
    }
    marks::paint_severity(painter, rect.left_top() + vec2(15.0, 14.5), finding.severity, 11.0);
    let place = rect.left_top() + vec2(INDENT, 5.0);
    let below = place + vec2(0.0, lines.heading.size().y);
    painter.galley(place, lines.heading, cloth::INK);
    painter.galley(below, lines.under, cloth::DIM);
}

fn body(ui: &mut Ui, finding: &FindingLine) {
    Frame::new().inner_margin(Margin { left: INDENT as i8, right: 6, top: 2, bottom: 8 }).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 5.0;
        ui.set_width(ui.available_width());
        for (name, text) in [
            ("What", &finding.what),
            ("How bad", &finding.how_bad),
            ("Mend", &finding.mend),
            ("Clause", &finding.clause),
        ] {
            if !text.is_empty() {
                part(ui, name, text);
            }
        }
    });
}

fn part(ui: &mut Ui, name: &str, text: &str) {
    let mut job = LayoutJob::default();
    let format =
        |family, color| TextFormat { font_id: FontId::new(cloth::BODY - 0.5, family), color, ..Default::default() };
    job.append(&format!("{name}: "), 0.0, format(cloth::bold_family(), cloth::DIM));
    job.append(text, 0.0, format(FontFamily::Proportional, cloth::INK));
    let meaning = glossary::explained(text);
    let label = ui.label(job);
    if !meaning.is_empty() {
        label.on_hover_text(meaning);
    }
}
