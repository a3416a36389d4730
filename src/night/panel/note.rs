//! The note beside the pointer: what it is over on the band, or what the part under it hides.

use bevy_egui::egui::{Align2, Area, Context, Id, Order, Pos2, Ui, vec2};

use super::{
    cloth::{self, bold, small},
    marks,
    reading::Stand,
    words::capital,
};
use crate::night::Regard;

/// Lines that are told; of more only their number is.
const MOST: usize = 6;

/// Draws the note by the pointer, on the side away from the boat in the middle.
pub fn show(context: &Context, at: Pos2, regard: &Regard) {
    let screen = context.content_rect();
    let (below, right) = (at.y > screen.center().y, at.x > screen.center().x);
    let corner = match (below, right) {
        (true, true) => Align2::LEFT_TOP,
        (true, false) => Align2::RIGHT_TOP,
        (false, true) => Align2::LEFT_BOTTOM,
        (false, false) => Align2::RIGHT_BOTTOM,
    };
    let aside = vec2(if right { 18.0 } else { -18.0 }, if below { 18.0 } else { -18.0 });
    Area::new(Id::new("note"))
        .fixed_pos(at + aside)
        .pivot(corner)
        .order(Order::Tooltip)
        .interactable(false)
        .show(context, |ui| cloth::card().show(ui, |ui| tell(ui, regard)));
}

fn tell(ui: &mut Ui, regard: &Regard) {
    ui.set_max_width(330.0);
    ui.label(bold(capital(&regard.title)));
    for (colour, line) in regard.lines.iter().take(MOST) {
        ui.horizontal(|ui| {
            marks::plain_chip(ui, *colour, Stand::Shows, 22.0);
            ui.add(bevy_egui::egui::Label::new(line.as_str()).wrap());
        });
    }
    if regard.lines.len() > MOST {
        ui.label(small(format!("and {} more", regard.lines.len() - MOST)));
    }
}
