//! The card of the boat: her fits and how each fares, what she is doing, what she is judged against, how she lies.

use bevy_egui::egui::{Align, Layout, Rect, RichText, Slider, Ui, pos2, vec2};

use super::{
    Desk,
    cloth::{self, bold, dim, heading, small},
    glossary, marks,
    reading::FitLine,
    words::Outcome,
};
use crate::{
    boat::{Attitude, Joint, Part, PartKind, Pose, Posture},
    measure::Degrees,
    night::Act,
};

pub fn show(ui: &mut Ui, desk: &mut Desk) {
    let reading = desk.reading;
    ui.horizontal(|ui| {
        ui.label(heading(&reading.boat)).on_hover_text(&reading.boat_note);
        if reading.fits.len() > 1 {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                let tip = "Fit her with the next arrangement of lamps; the eye stays where it is.";
                if marks::switch(ui, false, "Next fit", "F").on_hover_text(tip).clicked() {
                    desk.acts.push(Act::NextFit);
                }
            });
        }
    });
    for (index, fit) in reading.fits.iter().enumerate() {
        if fit_row(ui, fit) {
            desk.acts.push(Act::Fit(index));
        }
    }
    ui.add_space(2.0);
    ui.horizontal_wrapped(|ui| {
        for status in desk.choice.statuses(desk.scene) {
            let on = reading.status == status;
            let key = if on { "" } else { "L" };
            let vessel = &desk.scene.vessel;
            let told = status.told_of(vessel);
            let name = super::words::capital(told);
            if marks::switch(ui, on, &name, key)
                .on_hover_text(format!("What she shows {}.\n{}", told, glossary::explained(told)))
                .clicked()
            {
                desk.acts.push(Act::Status(status));
            }
        }
    });
    display(ui, desk);
    lie(ui, desk);
}

fn tip(word: &str) -> &'static str {
    glossary::meaning(word).unwrap_or_default()
}

fn fit_row(ui: &mut Ui, fit: &FitLine) -> bool {
    let verdict = fit.verdict();
    let (rect, response) = marks::row(ui, 48.0, fit.chosen, &format!("{}: {verdict}", fit.name));
    let outcome = match fit.tally {
        Some(tally) if tally.judged && tally.faults > 0 => Outcome::Wrong,
        Some(tally) if tally.judged => Outcome::Right,
        _ => Outcome::Open,
    };
    let mark = Rect::from_center_size(rect.left_center() + vec2(19.0, 0.0), vec2(18.0, 18.0));
    marks::paint_outcome(ui.painter(), mark, outcome);
    let left = rect.left() + 38.0;
    let width = rect.right() - left - 8.0;
    marks::cut_text(ui, pos2(left, rect.top() + 15.0), width, bold(&fit.name));
    let tone = if fit.chosen { cloth::INK } else { cloth::DIM };
    let line = RichText::new(verdict).size(cloth::SMALL + 0.5).color(tone);
    marks::cut_text(ui, pos2(left, rect.top() + 34.0), width, line);
    marks::beside(&response, |ui| {
        ui.label(&fit.note);
    });
    response.clicked()
}

fn display(ui: &mut Ui, desk: &Desk) {
    match &desk.reading.display {
        Some((name, clause)) => {
            let meaning = glossary::explained(name);
            ui.label(small(format!("Judged as: {name} ({clause})"))).on_hover_text(meaning);
        }
        None if desk.reading.judged => {
            ui.label(small("Judged as: the rules here hold no display for her."));
        }
        None => {
            ui.label(small("Her survey is running..."));
        }
    }
}

/// The sliders of trim, heel and joints, behind one line that says how she lies now.
fn lie(ui: &mut Ui, desk: &mut Desk) {
    let moved = desk.choice.attitude != Attitude::default() || desk.choice.pose != Pose::default();
    let title = if moved { "How she lies: moved" } else { "How she lies: at rest" };
    if super::fold(ui, "lie", title, &mut desk.folds.lie) {
        attitude(ui, desk);
        joints(ui, desk);
        if moved && ui.button("Back to rest").clicked() {
            desk.acts.extend([Act::Attitude(Attitude::default()), Act::Pose(Pose::default())]);
        }
    }
}

/// A slider with its name before it; gives the new value when it was moved.
fn slide(ui: &mut Ui, name: &str, meaning: &str, value: f64, range: (f64, f64)) -> Option<f64> {
    if range.0 >= range.1 {
        return None;
    }
    let mut now = value;
    let mut changed = false;
    ui.horizontal(|ui| {
        ui.allocate_ui_with_layout(vec2(66.0, 27.0), Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(66.0);
            ui.label(dim(name)).on_hover_text(meaning);
        });
        ui.spacing_mut().slider_width = (ui.available_width() - 66.0).max(60.0);
        let slider = Slider::new(&mut now, range.0..=range.1).step_by(0.5).max_decimals(1).suffix("\u{b0}");
        changed = ui.add(slider).on_hover_text(meaning).changed();
    });
    changed.then_some(now)
}

fn attitude(ui: &mut Ui, desk: &mut Desk) {
    let conditions = &desk.scene.conditions;
    let now = desk.choice.attitude;
    let trim = (conditions.trim.0.0.min(0.0), conditions.trim.1.0.max(0.0));
    if let Some(trim) = slide(ui, "Bow up", tip("trim"), now.trim.0, trim) {
        desk.acts.push(Act::Attitude(Attitude { trim: Degrees(trim), ..now }));
    }
    let heel = (-conditions.heel.0, conditions.heel.0);
    if let Some(heel) = slide(ui, "Heel", "To starboard; to port below nought.", now.heel.0, heel) {
        desk.acts.push(Act::Attitude(Attitude { heel: Degrees(heel), ..now }));
    }
}

fn joints(ui: &mut Ui, desk: &mut Desk) {
    let pose = desk.choice.pose;
    let first = |pick: fn(&PartKind) -> Option<Joint>| desk.scene.parts.iter().find_map(|part: &Part| pick(&part.kind));
    let steering = first(|kind| if let PartKind::Outboard { steering, .. } = kind { Some(*steering) } else { None });
    let tilt = first(|kind| if let PartKind::Outboard { tilt, .. } = kind { Some(*tilt) } else { None });
    let fold = first(|kind| if let PartKind::Mast { fold, .. } = kind { Some(*fold) } else { None });
    let turn = |ui: &mut Ui, name: &str, meaning: &str, joint: Option<Joint>, now: Option<f64>| {
        let joint = joint?;
        slide(ui, name, meaning, now.unwrap_or(joint.now), (joint.least, joint.most))
    };
    if let Some(angle) = turn(ui, "Steering", "The outboard turned, clockwise from above.", steering, pose.steering) {
        desk.acts.push(Act::Pose(Pose { steering: Some(angle), ..pose }));
    }
    if let Some(angle) = turn(ui, "Tilt", "The outboard tilted up.", tilt, pose.tilt) {
        desk.acts.push(Act::Pose(Pose { tilt: Some(angle), ..pose }));
    }
    if let Some(angle) = turn(ui, "Mast", "The mast or pole folded aft.", fold, pose.fold) {
        desk.acts.push(Act::Pose(Pose { fold: Some(angle), ..pose }));
    }
    let may_move = |part: &Part| matches!(&part.kind, PartKind::Person { postures, .. } if postures.len() > 1);
    if desk.scene.parts.iter().any(may_move) {
        ui.horizontal(|ui| {
            ui.label(dim("People"));
            for (posture, name) in [(Posture::Standing, "standing"), (Posture::Seated, "seated")] {
                let on = pose.posture == Some(posture);
                if marks::switch(ui, on, name, "").clicked() {
                    desk.acts.push(Act::Pose(Pose { posture: (!on).then_some(posture), ..pose }));
                }
            }
        });
    }
}
