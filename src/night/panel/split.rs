//! Two fits side by side: over each half its name, how it fares, and what the one observer gets of it.

use bevy_egui::egui::{Align2, Area, Context, Id, Label, Order, Stroke, Ui, pos2, vec2};

use super::{
    Desk,
    cloth::{self, bold, dim, figure, heading, small},
    marks,
    reading::{FitLine, ObserverReading, Stand},
    words::{self, Outcome},
};
use crate::night::Act;

/// Breadth of a caption.
const WIDE: f32 = 330.0;

pub fn show(context: &Context, desk: &mut Desk) {
    let screen = context.content_rect();
    let middle = screen.center().x;
    let reading = desk.reading;
    let first = reading.fits.iter().find(|fit| fit.chosen).map(|fit| (fit, &reading.observer));
    let second = reading.beside.as_ref().and_then(|(fit, seen)| Some((reading.fits.get(*fit)?, seen)));
    let painter = context.layer_painter(bevy_egui::egui::LayerId::new(Order::Background, Id::new("between")));
    painter.vline(middle, screen.y_range(), Stroke::new(2.0, cloth::LINE));
    for (name, from, half) in [("first half", screen.left(), first), ("second half", middle, second)] {
        let Some((fit, seen)) = half else { continue };
        Area::new(Id::new(name))
            .fixed_pos(pos2(from + 14.0, screen.top() + 70.0))
            .order(Order::Middle)
            .show(context, |ui| caption(ui, fit, seen));
    }
    Area::new(Id::new("the observer of both"))
        .anchor(Align2::CENTER_BOTTOM, vec2(0.0, -34.0))
        .order(Order::Middle)
        .show(context, |ui| observer(ui, desk));
}

fn caption(ui: &mut Ui, fit: &FitLine, seen: &ObserverReading) {
    cloth::card().show(ui, |ui| {
        ui.set_width(WIDE.min(ui.ctx().content_rect().width() / 2.0 - 60.0));
        ui.horizontal(|ui| {
            let outcome = match fit.tally {
                Some(tally) if tally.judged && tally.faults > 0 => Outcome::Wrong,
                Some(tally) if tally.judged => Outcome::Right,
                _ => Outcome::Open,
            };
            marks::outcome(ui, outcome, 20.0);
            ui.label(heading(&fit.name)).on_hover_text(&fit.note);
            ui.label(small(fit.verdict()));
        });
        ui.horizontal(|ui| {
            for (colour, stand) in &seen.stands {
                let size = if *stand == Stand::Missing { 38.0 } else { 46.0 };
                marks::chip(ui, *colour, *stand, size);
            }
            if seen.stands.is_empty() {
                ui.label(bold("nothing"));
            }
            ui.add(Label::new(bold(&seen.sentence)).wrap());
        });
        for cause in &seen.because {
            ui.label(dim(cause));
        }
    });
}

fn observer(ui: &mut Ui, desk: &mut Desk) {
    let (seen, watch) = (&desk.reading.observer, desk.choice.watch);
    cloth::card().show(ui, |ui| {
        ui.horizontal(|ui| {
            if ui.button("\u{2039}").on_hover_text("Previous observer of the ring: [").clicked() {
                desk.acts.push(Act::NextObserver(-1));
            }
            ui.label(figure(&seen.degrees));
            if ui.button("\u{203a}").on_hover_text("Next observer of the ring: ]").clicked() {
                desk.acts.push(Act::NextObserver(1));
            }
            ui.vertical(|ui| {
                ui.label(words::capital(&seen.points));
                let line = format!("{} off, eye {} m up", words::distance(watch.distance), watch.eye.0);
                ui.label(small(if seen.overtaking { format!("{line}; overtaking") } else { line }));
            });
        });
    });
}
