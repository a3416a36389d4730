//! Places for the chosen lamp: the button that has them looked for, the few that are proposed with their reasons, and their
//! numbers in the picture.
//!
//! Takes [`Places`](crate::night::Places); gives messages of [`Seek`]. Must never judge a place.

use bevy_egui::egui::{Align2, Area, Button, Context, Id, Label, Order, Pos2, Ui, vec2};

use super::{
    Desk,
    cloth::{self, bold, dim, small},
    words::capital,
};
use crate::{
    edit::LampAt,
    fitting::place::Proposals,
    night::Seek,
    sheet::place::{band_words, bracket_words, help_words, spot_words},
};

/// Above the figures of a lamp.
pub fn show(ui: &mut Ui, desk: &mut Desk, at: LampAt) {
    let Some(places) = desk.places else { return };
    if places.is_looking(at) {
        ui.horizontal(|ui| {
            ui.spinner();
            ui.label(dim("looking for places"));
        });
        return;
    }
    let Some(found) = places.found(at) else {
        let tip = "Looks all over her for places where this lamp would be seen, and judges the best. Nothing is changed by it.";
        if ui.button("Find places").on_hover_text(tip).clicked() {
            desk.seeks.push(Seek::Lamp(at));
        }
        return;
    };
    ui.horizontal(|ui| {
        ui.label(bold("Places"))
            .on_hover_text("Strokes in the picture: violet is clear, the brighter the clearer; grey is hidden.");
        ui.label(small(format!("{} looked at", found.looked_at)));
        if ui.button(small("Leave")).clicked() {
            desk.seeks.push(Seek::Leave);
        }
    });
    listed(ui, desk, at, found);
    ui.separator();
}

fn listed(ui: &mut Ui, desk: &mut Desk, at: LampAt, found: &Proposals) {
    for (number, proposal) in found.proposals.iter().enumerate() {
        let Some(placed) = proposal.placed.first() else { continue };
        let passes = if proposal.passes() { "passes" } else { "falls short" };
        let title = format!("{}  {passes}, {}", number + 1, band_words(proposal.band));
        let tip = "Written as a new fit behind this one; undo takes it back.";
        let button = Button::new(bold(title)).min_size(vec2(ui.available_width(), 27.0));
        if ui.add(button).on_hover_text(tip).clicked() {
            desk.seeks.push(Seek::Take(number));
        }
        let words = format!("{}; {}", capital(&spot_words(desk.scene, placed)), bracket_words(placed));
        ui.add(Label::new(small(words)).wrap());
        if let Some((_, finding)) = proposal.faults.first() {
            ui.add(Label::new(small(&finding.what).color(cloth::amiss())).wrap());
        }
    }
    if let Some(fit) = desk.scene.fits.get(at.fit) {
        for help in &found.help {
            ui.add(Label::new(small(capital(&help_words(desk.scene, fit, help)))).wrap());
        }
    }
    ui.add(Label::new(small("Hold the lamp there and look, before you drill.")).wrap());
}

/// A number in the picture; whether it was clicked.
pub fn number(context: &Context, number: usize, at: Pos2) -> bool {
    let area = Area::new(Id::new(("place", number))).fixed_pos(at).pivot(Align2::CENTER_BOTTOM).order(Order::Middle);
    let shown = area.show(context, |ui| {
        let button = Button::new(bold((number + 1).to_string()).color(cloth::ON_CHIP)).fill(cloth::accent());
        ui.add(button).on_hover_text("Put the lamp here, in a new fit.").clicked()
    });
    shown.inner
}
