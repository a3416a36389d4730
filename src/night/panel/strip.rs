//! The strips along the top and the bottom: views, sight and marks; the caution; the first hint.

use bevy_egui::egui::{Align2, Area, Context, Id, Label, Margin, Order, Sense, Stroke, Ui, vec2};

use super::{
    Desk,
    cloth::{self, small},
    marks,
};
use crate::night::{Act, Sight, View};

/// The strip is no narrower than this, and lies over the cards in a window that has no room for both.
const NARROWEST: f32 = 280.0;

/// Along the top, in the middle.
pub fn top(context: &Context, desk: &mut Desk) {
    Area::new(Id::new("top")).anchor(Align2::CENTER_TOP, vec2(0.0, 12.0)).order(Order::Middle).show(context, |ui| {
        cloth::card().inner_margin(Margin::symmetric(8, 6)).show(ui, |ui| {
            // Between the cards, in as many rows as it takes.
            let beside = if desk.choice.split { 0.0 } else { super::LEFT.max(super::RIGHT) };
            let room = context.content_rect().width() - 2.0 * (beside + super::MARGIN + 18.0);
            ui.set_max_width(room.max(NARROWEST));
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(3.0, 4.0);
                views(ui, desk);
                gap(ui);
                ui.add_enabled_ui(desk.choice.view == View::Afloat, |ui| {
                    let tip = "What he looks through: bare eye, glasses x7, or as near as fills the view.";
                    if marks::switch(ui, false, sight(desk.choice.sight), "X").on_hover_text(tip).clicked() {
                        desk.acts.push(Act::NextSight);
                    }
                });
                if desk.scene.fits.len() > 1 {
                    let tip = "The next fit beside this one, both seen by the same eye.";
                    if marks::switch(ui, desk.choice.split, "Both", "B").on_hover_text(tip).clicked() {
                        desk.acts.push(Act::Split);
                    }
                }
                gap(ui);
                let tip = "The ring: thirty-two observers, one a point, each with what he sees.";
                if marks::switch(ui, desk.choice.ring, "Ring", "G").on_hover_text(tip).clicked() {
                    desk.acts.push(Act::Ring);
                }
                let tip = super::glossary::meaning("overtaking").unwrap_or_default();
                if marks::switch(ui, desk.choice.sector, "Sector", "O").on_hover_text(tip).clicked() {
                    desk.acts.push(Act::Sector);
                }
                let tip = "The sea moves, or is held.";
                if marks::switch(ui, desk.choice.sea, "Sea", "S").on_hover_text(tip).clicked() {
                    desk.acts.push(Act::Sea);
                }
                let tip = "Everything in shades of red, so that eyes aboard stay used to the dark. Colours are not true then: \
                           go by the letters.";
                if marks::switch(ui, desk.choice.red, "Red", "R").on_hover_text(tip).clicked() {
                    desk.acts.push(Act::Red);
                }
                gap(ui);
                if marks::switch(ui, desk.choice.help, "Help", "H").clicked() {
                    desk.acts.push(Act::Help);
                }
                if marks::switch(ui, false, "Hide", "P")
                    .on_hover_text("Hide every panel; P brings them back.")
                    .clicked()
                {
                    *desk.hide = true;
                }
            });
        });
    });
}

fn views(ui: &mut Ui, desk: &mut Desk) {
    let tips = [
        "From above, turning round her.",
        "From the observer's eye on the water.",
        "Close by, turning round her lamps; again, close to what is chosen.",
    ];
    for ((view, key), tip) in View::ALL.into_iter().zip(["1", "2", "3"]).zip(tips) {
        let name = match view {
            View::Aloft => "Aloft",
            View::Afloat => "Afloat",
            View::Deck => "Deck",
        };
        if marks::switch(ui, desk.choice.view == view, name, key).on_hover_text(tip).clicked() {
            desk.acts.push(Act::View(view));
        }
    }
}

fn sight(sight: Sight) -> &'static str {
    match sight {
        Sight::Eye => "Bare eye",
        Sight::Glasses => "Glasses x7",
        Sight::Filled => "Filled view",
    }
}

fn gap(ui: &mut Ui) {
    let (rect, _) = ui.allocate_exact_size(vec2(9.0, 18.0), Sense::hover());
    ui.painter().vline(rect.center().x, rect.y_range(), Stroke::new(1.0, cloth::LINE));
}

/// Along the bottom: what this is for, and what not.
pub fn bottom(context: &Context, hidden: bool) {
    let text = if hidden {
        "A teaching and fitting aid, not for navigation. P shows the panels."
    } else {
        "A teaching and fitting aid, not for navigation."
    };
    Area::new(Id::new("bottom"))
        .anchor(Align2::CENTER_BOTTOM, vec2(0.0, -8.0))
        .order(Order::Background)
        .interactable(false)
        .show(context, |ui| {
            ui.add(Label::new(small(text)).extend());
        });
}

/// What to do first; fades by `strength` from 1 to 0.
pub fn hint(context: &Context, strength: f32) {
    if strength <= 0.0 {
        return;
    }
    Area::new(Id::new("hint"))
        .anchor(Align2::CENTER_TOP, vec2(0.0, 100.0))
        .order(Order::Middle)
        .interactable(false)
        .show(context, |ui| {
            ui.set_opacity(strength);
            cloth::card().show(ui, |ui| {
                ui.set_max_width(620.0);
                ui.label("Drag to turn. Click a mark on the water to stand there. F changes the fit, H lists keys.");
            });
        });
}
