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

/// Between the strip and the cards, its own margin included.
const APART: f32 = 11.0;

/// Along the top.
pub fn top(context: &Context, desk: &mut Desk) {
    // Beside the card of a lesson, or between the other cards, in as many rows as it takes.
    let (corner, beside) = match (desk.taught, desk.choice.split) {
        (true, _) => (Align2::RIGHT_TOP, super::lesson::BREADTH),
        (false, true) => (Align2::CENTER_TOP, 0.0),
        (false, false) => (Align2::CENTER_TOP, 2.0 * super::LEFT.max(super::RIGHT)),
    };
    let aside = if desk.taught { -super::MARGIN } else { 0.0 };
    Area::new(Id::new("top")).anchor(corner, vec2(aside, 12.0)).order(Order::Middle).show(context, |ui| {
        cloth::card().inner_margin(Margin::symmetric(7, 6)).show(ui, |ui| {
            let room = context.content_rect().width() - beside - 2.0 * (super::MARGIN + APART);
            ui.set_max_width(room.max(NARROWEST));
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing = vec2(2.0, 4.0);
                ui.spacing_mut().button_padding.x = 4.0;
                views(ui, desk);
                gap(ui);
                drawn(ui, desk);
                gap(ui);
                let tip = "Lessons of a few minutes, with questions that the simulation answers.";
                if marks::switch(ui, *desk.lessons, "Learn", "T").on_hover_text(tip).clicked() {
                    *desk.lessons = !*desk.lessons;
                }
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

/// What may be drawn or not in this view.
fn drawn(ui: &mut Ui, desk: &mut Desk) {
    let (choice, acts, taught) = (desk.choice, &mut desk.acts, desk.taught);
    let mut switch = |on: bool, name: &str, key: &str, act: Act, tip: &str| {
        if marks::switch(ui, on, name, key).on_hover_text(tip).clicked() {
            acts.push(act);
        }
    };
    match choice.view {
        View::Afloat => {
            let tip = "What he looks through: bare eye, glasses x7, or as near as fills the view.";
            switch(false, sight(choice.sight), "X", Act::NextSight, tip);
        }
        View::Aloft => {
            let tip = "The ring: thirty-two observers, one a point, each with what he sees.";
            switch(choice.ring, "Ring", "G", Act::Ring, tip);
        }
        View::Deck => {}
    }
    if desk.scene.fits.len() > 1 && !taught {
        let tip = "The next fit beside this one, both seen by the same eye.";
        switch(choice.split, "Both", "B", Act::Split, tip);
    }
    if choice.view != View::Deck {
        let tip = super::glossary::meaning("overtaking").unwrap_or_default();
        switch(choice.sector, "Sector", "O", Act::Sector, tip);
    }
    if choice.view != View::Afloat {
        let tip = "The band on the water: what must show on every bearing, and what does. A chosen lamp has its fan.";
        switch(choice.arcs, "Arcs", "A", Act::Arcs, tip);
    }
    switch(choice.sea, "Sea", "S", Act::Sea, "The sea moves, or is held.");
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
    let (rect, _) = ui.allocate_exact_size(vec2(5.0, 18.0), Sense::hover());
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
