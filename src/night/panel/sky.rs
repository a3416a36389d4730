//! What the night is like: how clear the air is, what shines behind her, moon or none; all in red, for use aboard.

use bevy_egui::egui::{DragValue, Ui};

use super::{
    Desk,
    cloth::{dim, small},
    marks,
};
use crate::{light::Background, measure::NauticalMiles, night::Act};

pub fn show(ui: &mut Ui, desk: &mut Desk) {
    let sky = desk.choice.sky;
    ui.horizontal(|ui| {
        ui.label(dim("Clear for"));
        let mut miles = sky.visibility(desk.scene).0;
        let drag = DragValue::new(&mut miles).speed(0.1).max_decimals(1).suffix(" nm").update_while_editing(false);
        let tip = "The visibility: how far off a dark thing can just be told by day. Haze takes light as well.";
        if ui.add(drag).on_hover_text(tip).changed() {
            desk.acts.push(Act::Visibility(NauticalMiles(miles)));
        }
        let tip = "Moonlight shapes her and the sea. It changes nothing of what is made out.";
        if marks::plain_switch(ui, sky.moon, "moon").on_hover_text(tip).clicked() {
            desk.acts.push(Act::Moon);
        }
        let tip = "Everything in shades of red, so that eyes aboard stay used to the dark. Colours are not true then: go by \
                   the letters. R.";
        if marks::plain_switch(ui, desk.choice.red, "red").on_hover_text(tip).clicked() {
            desk.acts.push(Act::Red);
        }
    });
    ui.label(dim("What shines behind her"));
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        for background in Background::ALL {
            let on = sky.background == background;
            let tip = format!("The eye makes out {:.0e} lux before it.", background.threshold().0);
            if marks::plain_switch(ui, on, background.in_words()).on_hover_text(tip).clicked() {
                desk.acts.push(Act::Background(background));
            }
        }
    });
    ui.label(small("The rules ask for strength, not for this: findings stay as they are."));
}
