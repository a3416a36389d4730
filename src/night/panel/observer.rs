//! The card of the observer: where he stands, what shows to him, what must, and each light as it reaches his eye.

use bevy_egui::egui::{Align, DragValue, Grid, Label, Layout, RichText, Sense, Ui, vec2};

use super::{
    Desk,
    cloth::{self, bold, dim, figure, heading, small},
    glossary, marks,
    reading::{Hindrance, LightLine, ObserverReading, Stand},
    words::{self, Outcome},
};
use crate::{
    light::Colours,
    measure::Metres,
    night::{Act, View, ring},
};

/// Eyes above the water that meet a small boat (common practice, no source).
const EYES: [(&str, f64, &str); 4] = [
    ("kayak", 0.8, "An eye 0.8 m above the water: a kayak"),
    ("launch", 2.0, "An eye 2 m above the water: a launch"),
    ("yacht", 2.5, "An eye 2.5 m above the water: a yacht's cockpit"),
    ("ship", 15.0, "An eye 15 m above the water: a ship's bridge"),
];

/// In short while something else wants the room.
pub fn show(ui: &mut Ui, desk: &mut Desk, in_short: bool) {
    let observer = &desk.reading.observer;
    place(ui, desk, observer);
    ui.add_space(4.0);
    shows(ui, observer);
    verdict(ui, observer);
    if in_short {
        return;
    }
    ui.add_space(2.0);
    stand(ui, desk);
    if super::fold(ui, "night", "The night", &mut desk.folds.night) {
        super::sky::show(ui, desk);
    }
    if super::fold(ui, "lights", "Light by light", &mut desk.folds.lights) {
        table(ui, &observer.lights);
    }
}

fn place(ui: &mut Ui, desk: &mut Desk, observer: &ObserverReading) {
    ui.horizontal(|ui| {
        ui.vertical(|ui| {
            ui.set_width(ui.available_width() - 92.0);
            ui.label(heading("The observer"));
            let line = vec2(ui.available_width(), 42.0);
            ui.allocate_ui_with_layout(line, Layout::left_to_right(Align::Center), |ui| {
                ui.spacing_mut().item_spacing.x = 5.0;
                if ui.button("\u{2039}").on_hover_text("Previous observer of the ring: [").clicked() {
                    desk.acts.push(Act::NextObserver(-1));
                }
                ui.label(figure(&observer.degrees)).on_hover_text("Degrees clockwise from right ahead of her.");
                if ui.button("\u{203a}").on_hover_text("Next observer of the ring: ]").clicked() {
                    desk.acts.push(Act::NextObserver(1));
                }
            });
        });
        let card = marks::bearing_card(ui, desk.choice.watch.bearing, ring::overtaking(), 84.0);
        card.on_hover_text(glossary::meaning("overtaking").map_or_else(String::new, |meaning| {
            format!("Where he stands, seen from above, her bow up. The violet wedge: overtaking. {meaning}")
        }));
    });
    ui.label(words::capital(&observer.points)).on_hover_text(glossary::explained(&observer.points));
    if observer.overtaking {
        let line = RichText::new("Overtaking her: he must keep clear.").color(cloth::accent());
        ui.label(line).on_hover_text(glossary::explained("overtaking"));
    }
}

fn shows(ui: &mut Ui, observer: &ObserverReading) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.vertical(|ui| {
            ui.set_width(ui.available_width() * 0.56);
            ui.label(dim("Shows"));
            ui.horizontal(|ui| {
                if observer.showing.is_empty() {
                    ui.add_sized([64.0, 46.0], Label::new(bold("nothing").size(18.0)));
                }
                for (colour, stand) in observer.stands.iter().filter(|(_, stand)| *stand != Stand::Missing) {
                    marks::chip(ui, *colour, *stand, 46.0);
                }
            });
        });
        ui.vertical(|ui| {
            ui.label(dim("Must show"));
            ui.horizontal(|ui| {
                ui.set_min_height(46.0);
                match observer.must {
                    Some(must) => must_chips(ui, must, observer),
                    None => {
                        ui.label(dim("not judged"));
                    }
                }
            });
        });
    });
}

fn must_chips(ui: &mut Ui, must: Colours, observer: &ObserverReading) {
    if must.is_empty() {
        ui.label(dim("nothing"));
    }
    for colour in must.iter() {
        let stand = if observer.showing.contains(colour) { Stand::Shows } else { Stand::Missing };
        marks::chip(ui, colour, stand, 34.0);
    }
}

fn verdict(ui: &mut Ui, observer: &ObserverReading) {
    ui.horizontal_top(|ui| {
        marks::outcome(ui, observer.outcome, 20.0);
        let line = match observer.outcome {
            Outcome::Open => dim(&observer.sentence),
            _ => bold(&observer.sentence).size(17.0).color(cloth::INK),
        };
        ui.add(Label::new(line).wrap());
    });
    for cause in &observer.because {
        ui.label(dim(cause)).on_hover_text(glossary::explained(cause));
    }
}

fn stand(ui: &mut Ui, desk: &mut Desk) {
    let watch = desk.choice.watch;
    ui.horizontal(|ui| {
        ui.label(dim("Distance"));
        let mut metres = watch.distance.0;
        let drag = DragValue::new(&mut metres)
            .speed((watch.distance.0 * 0.01).max(0.2))
            .update_while_editing(false)
            .custom_formatter(|value, _| words::distance(Metres(value)))
            .custom_parser(|text| words::read_distance(text).map(|distance| distance.0));
        let tip = "Drag, or click and type: 80 m, 0.5 nm. Every observer of the ring stands as far off.";
        if ui.add(drag).on_hover_text(tip).changed() {
            desk.acts.push(Act::Distance(Metres(metres)));
        }
        ui.label(dim("Eye"));
        let mut eye = watch.eye.0;
        let drag = DragValue::new(&mut eye).speed(0.05).max_decimals(1).suffix(" m").update_while_editing(false);
        if ui.add(drag).on_hover_text("How high his eye is above the water.").changed() {
            desk.acts.push(Act::EyeHeight(Metres(eye)));
        }
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        for (name, metres, meaning) in EYES {
            let on = (watch.eye.0 - metres).abs() < 0.01;
            if marks::plain_switch(ui, on, name).on_hover_text(meaning).clicked() {
                desk.acts.push(Act::EyeHeight(Metres(metres)));
            }
        }
    });
    if desk.choice.view != View::Afloat && marks::switch(ui, false, "Stand in his place", "2").clicked() {
        desk.acts.push(Act::View(View::Afloat));
    }
}

fn table(ui: &mut Ui, lights: &[LightLine]) {
    if lights.is_empty() {
        ui.label(dim("No lamp is lit."));
        return;
    }
    Grid::new("lights").num_columns(4).spacing([8.0, 3.0]).show(ui, |ui| {
        ui.label(small("light"));
        ui.label(small("cd")).on_hover_text(glossary::meaning("candela").unwrap_or_default());
        ui.label(small("at his eye")).on_hover_text(glossary::meaning("lux").unwrap_or_default());
        ui.label(small("seen")).on_hover_text("How much of the lamp is not hidden by the boat.");
        ui.end_row();
        for light in lights {
            let (cell, response) = ui.allocate_exact_size(vec2(112.0, 24.0), Sense::hover());
            let stand = if light.made_out { Stand::Shows } else { Stand::Dark };
            marks::paint_light(ui, cell, light.colour, stand, figures(&light.lamp));
            response.on_hover_text(&light.lamp);
            for text in [&light.candela, &light.lux, &light.seen] {
                ui.label(figures(text));
            }
            ui.end_row();
        }
    });
    for light in lights {
        // That a sidelight does not shine to the other side needs no line of its own.
        if let Some(hindrance) = light.hindrance.as_ref().filter(|hindrance| **hindrance != Hindrance::Elsewhere) {
            let line = format!("{} {}: {}", light.colour.letter(), light.lamp, hindrance.in_words());
            ui.label(small(line));
        }
    }
}

fn figures(text: &str) -> RichText {
    RichText::new(text).size(cloth::SMALL + 0.5).color(cloth::INK)
}
