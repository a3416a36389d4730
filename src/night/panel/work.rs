//! The cards of the scene file and of what is chosen aboard: where it stands, how it is turned, how large it is.
//!
//! Takes the workbench; gives messages of [`Work`]. Must never change anything itself.

use bevy_egui::egui::{
    self, Align, Color32, DragValue, Id, LayerId, Layout, Order, Pos2, Rect, Response, ScrollArea, Stroke, Ui, pos2,
    vec2,
};

use super::{
    Desk,
    cloth::{self, bold, dim, heading, small},
    fitting, marks, seeking,
    words::capital,
};
use crate::{
    boat::{Height, PartKind, Place, Posture, Role, Scene},
    edit::{Edit, Figure, LampAt, Spot, Subject, kit, places, snap},
    measure::Degrees,
    night::{Work, Workbench, surroundings},
};

/// The file, what can be undone, and what was said last.
pub fn file(ui: &mut Ui, desk: &mut Desk, bench: &Workbench) {
    let (steps, made) = bench.document().steps();
    let changed = bench.document().is_changed();
    let name = if changed { format!("{}, changed", bench.name()) } else { bench.name() };
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            button(ui, desk, "Open", true, "Ctrl O: another scene.", Work::AskOpen);
            button(ui, desk, "Save", changed, "Ctrl S: the version before stays beside it.", Work::Save);
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                ui.add(egui::Label::new(if changed { bold(name) } else { dim(name) }).truncate());
            });
        });
    });
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let last = made.checked_sub(1).and_then(|last| steps.get(last)).map(|step| step.label.as_str());
        button(ui, desk, "Undo", last.is_some(), last.unwrap_or("Ctrl Z"), Work::Undo);
        let next = steps.get(made).map(|step| step.label.as_str());
        button(ui, desk, "Redo", next.is_some(), next.unwrap_or("Ctrl Y"), Work::Redo);
        add(ui, desk);
        aboard(ui, desk);
    });
    if let Some(said) = bench.said() {
        let colour = if said.wrong { cloth::amiss() } else { cloth::DIM };
        ui.label(small(&said.words).color(colour));
    }
    if bench.is_in_conflict() {
        ui.label(small("Another program changed the file while you changed it here."));
        ui.horizontal(|ui| {
            button(ui, desk, "Keep mine", true, "The next save writes over theirs.", Work::KeepMine);
            button(ui, desk, "Take theirs", true, "Undo brings yours back.", Work::TakeTheirs);
        });
    }
    if let Some(offer) = bench.offer() {
        ui.label(small(if offer.file_is_newer {
            "Work of an earlier session was not saved; the file was changed after it."
        } else {
            "Work of an earlier session was not saved."
        }));
        ui.horizontal(|ui| {
            button(ui, desk, "Take it", offer.text.is_ok(), "Undo brings back what the file holds.", Work::Recover);
            button(ui, desk, "Throw it away", true, "It cannot be brought back.", Work::Discard);
        });
    }
}

/// What can be put aboard.
fn add(ui: &mut Ui, desk: &mut Desk) {
    let menu = ui.menu_button(small("Add"), |ui| {
        ui.menu_button("Lamp", |ui| {
            for role in Role::ALL {
                ui.menu_button(capital(role.in_words()), |ui| {
                    for optics in kit::lamps_for(*role) {
                        if ui.button(&optics.name).on_hover_text(&optics.what).clicked() {
                            desk.works.push(Work::Add(kit::lamp(desk.scene, desk.choice.fit, optics)));
                        }
                    }
                });
            }
        });
        ui.menu_button("Part", |ui| {
            for (kind, what) in kit::PARTS {
                if ui.button(capital(kind)).on_hover_text(*what).clicked() {
                    desk.works.push(Work::Add(kit::part(desk.scene, kind)));
                }
            }
        });
        let fit = Subject::Fit(desk.choice.fit);
        if ui.button("Copy of this fit").on_hover_text("To change, and to compare with this one.").clicked() {
            let own = name(desk.scene, fit);
            let name = kit::free(&format!("{own}, changed"), |name| desk.scene.fit(name).is_some());
            desk.works.push(Work::Do(Edit::Copy { what: fit, name }));
        }
        let last = desk.scene.fits.len() < 2;
        if ui.add_enabled(!last, egui::Button::new("Delete this fit")).on_hover_text("Undo brings it back.").clicked() {
            desk.works.push(Work::Do(Edit::Remove(fit)));
        }
    });
    menu.response.on_hover_text("A lamp, a part, or a copy of this fit.");
}

/// Everything that can be chosen, for those who would not point at it.
fn aboard(ui: &mut Ui, desk: &mut Desk) {
    let (scene, fit) = (desk.scene, desk.choice.fit);
    let lamps = scene.fits.get(fit).map_or(0, |fit| fit.lamps.len());
    let lamps = (0..lamps).map(|lamp| Subject::Lamp(LampAt { fit, lamp }));
    let parts = (0..scene.parts.len()).map(Subject::Part);
    let all: Vec<Subject> = lamps.chain(parts).chain([Subject::Fit(fit), Subject::Scene]).collect();
    let menu = ui.menu_button(small("Choose"), |ui| {
        ScrollArea::vertical().max_height(420.0).show(ui, |ui| {
            for subject in all {
                let words = match subject {
                    Subject::Scene => "the boat and her conditions".into(),
                    Subject::Fit(_) => format!("the fit: {}", name(scene, subject)),
                    Subject::Part(_) | Subject::Lamp(_) => name(scene, subject),
                };
                if ui.button(words).clicked() {
                    desk.works.push(Work::Choose(Some(subject)));
                    ui.close();
                }
            }
        });
    });
    menu.response.on_hover_text("A lamp, a part, or the boat herself, to see and change her figures.");
}

fn button(ui: &mut Ui, desk: &mut Desk, name: &str, enabled: bool, tip: &str, work: Work) {
    let button = ui.add_enabled(enabled, egui::Button::new(small(name)));
    if button.on_hover_text(tip).on_disabled_hover_text(tip).clicked() {
        desk.works.push(work);
    }
}

/// What is chosen.
pub fn chosen(ui: &mut Ui, desk: &mut Desk, subject: Subject, room: f32) {
    let scene = desk.scene;
    ui.horizontal(|ui| {
        let kind = kind(scene, subject);
        ui.label(heading(name(scene, subject))).on_hover_text(&kind);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if marks::switch(ui, false, "Done", "").on_hover_text("Choose nothing.").clicked() {
                desk.works.push(Work::Choose(None));
            }
        });
    });
    ScrollArea::vertical().id_salt("chosen").max_height((room - 84.0).max(80.0)).show(ui, |ui| {
        match subject {
            Subject::Part(part) => postures(ui, desk, part),
            Subject::Lamp(at) => seeking::show(ui, desk, at),
            Subject::Scene | Subject::Fit(_) => {}
        }
        for spot in spots(scene, subject) {
            place(ui, desk, spot, spot.of(scene).unwrap_or_default());
        }
        for figure in Figure::ALL.iter().copied() {
            if let Some(now) = figure.of(scene, subject) {
                set(ui, desk, subject, figure, now);
            }
        }
        match subject {
            Subject::Lamp(at) => at.of(scene).into_iter().for_each(|lamp| fitting::show(ui, desk, at, lamp)),
            Subject::Part(_) | Subject::Fit(_) => fitting::name(ui, desk, subject, &name(scene, subject)),
            Subject::Scene => {}
        }
    });
    ui.horizontal_wrapped(|ui| actions(ui, desk, subject));
}

fn name(scene: &Scene, subject: Subject) -> String {
    match subject {
        Subject::Scene => scene.name.clone(),
        Subject::Part(part) => scene.parts[part].name.clone(),
        Subject::Fit(fit) => scene.fits[fit].name.clone(),
        Subject::Lamp(at) => at.of(scene).map_or_else(String::new, |lamp| lamp.name.clone()),
    }
}

fn kind(scene: &Scene, subject: Subject) -> String {
    match subject {
        Subject::Scene => "the boat, and the conditions she meets".into(),
        Subject::Part(part) => scene.parts[part].kind.in_words().into(),
        Subject::Fit(_) => "a fit".into(),
        Subject::Lamp(at) => at.of(scene).map_or_else(String::new, |lamp| lamp.role.in_words().into()),
    }
}

/// The places of it that can be moved.
fn spots(scene: &Scene, subject: Subject) -> Vec<Spot> {
    match subject {
        Subject::Lamp(at) => vec![Spot::Lamp(at)].into_iter().filter(|spot| spot.of(scene).is_some()).collect(),
        Subject::Part(part) => (0..places(&scene.parts[part].kind).len()).map(|nth| Spot::Part { part, nth }).collect(),
        Subject::Scene | Subject::Fit(_) => Vec::new(),
    }
}

/// Whether somebody sits or stands when at rest, as the file has it.
fn postures(ui: &mut Ui, desk: &mut Desk, part: usize) {
    let PartKind::Person { postures, .. } = &desk.scene.parts[part].kind else { return };
    ui.horizontal(|ui| {
        ui.label(dim("at rest")).on_hover_text("As the scene file has it; how she lies can still be tried above.");
        for posture in [Posture::Standing, Posture::Seated] {
            let on = postures.first() == Some(&posture);
            if marks::plain_switch(ui, on, posture.in_words()).clicked() && !on {
                let others = postures.iter().copied().filter(|other| *other != posture);
                let postures = std::iter::once(posture).chain(others).collect();
                desk.works.push(Work::Do(Edit::Postures { part, postures }));
            }
        }
    });
}

fn place(ui: &mut Ui, desk: &mut Desk, spot: Spot, now: Place) {
    let mut to = now;
    let forward = number(ui, "forward", "From the transom.", &mut to.forward, 3, "m", 0.005);
    let starboard =
        number(ui, "to starboard", "From the centreline; to port below nought.", &mut to.starboard, 3, "m", 0.005);
    let (from, up) = match &mut to.height {
        Height::AboveDeck(up) => ("above deck", up),
        Height::AboveGunwale(up) => ("above gunwale", up),
        Height::AboveWaterline(up) => ("above water", up),
    };
    let height = number(ui, from, "As the scene file measures it.", up, 3, "m", 0.005);
    for response in [forward, starboard, height] {
        follow(desk, &response, Edit::Move { what: spot, to });
    }
}

fn set(ui: &mut Ui, desk: &mut Desk, subject: Subject, figure: Figure, now: f64) {
    let mut to = now;
    // A pixel is worth more of what is written coarsely.
    let pace = if figure.places() == 2 { 0.1 } else { 0.002 };
    let response = number(ui, figure.in_words(), "", &mut to, figure.places(), figure.unit(), pace);
    follow(desk, &response, Edit::Set { what: subject, figure, to });
}

/// A named number that can be dragged or typed.
fn number(ui: &mut Ui, name: &str, meaning: &str, value: &mut f64, places: usize, unit: &str, pace: f64) -> Response {
    ui.horizontal(|ui| {
        let label = ui.label(dim(name));
        if !meaning.is_empty() {
            label.clone().on_hover_text(meaning);
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            // Only the sign of degrees stands close to its number.
            let suffix = if unit == "\u{b0}" { unit.to_string() } else { format!(" {unit}") };
            let field =
                DragValue::new(value).speed(pace).max_decimals(places).suffix(suffix).update_while_editing(false);
            ui.add_sized(vec2(96.0, 24.0), field).labelled_by(label.id)
        })
        .inner
    })
    .inner
}

/// One drag of a field is one step.
fn follow(desk: &mut Desk, response: &Response, edit: Edit) {
    if response.drag_started() {
        desk.works.push(Work::BeginDrag);
    }
    if response.changed() {
        desk.works.push(Work::Do(edit));
    }
    if response.drag_stopped() {
        desk.works.push(Work::EndDrag);
    }
}

fn actions(ui: &mut Ui, desk: &mut Desk, subject: Subject) {
    let scene = desk.scene;
    let lamp = if let Subject::Lamp(at) = subject { at.of(scene) } else { None };
    if let Some(lamp) = lamp {
        let parallel = snap::parallel(scene, lamp, Degrees(180.0));
        let set = parallel.map(|yaw| Work::Do(Edit::Set { what: subject, figure: Figure::Yaw, to: yaw.0 }));
        let tip = "Turn it parallel with the centreline.";
        button(ui, desk, "Parallel", set.is_some(), tip, set.unwrap_or(Work::EndDrag));
        button(ui, desk, "Upright", true, "Take out tilt and roll.", Work::Do(upright(subject)));
    }
    if let [spot] = spots(scene, subject)[..]
        && let Some(now) = spot.of(scene)
    {
        let to = Place { starboard: 0.0, ..now };
        button(ui, desk, "Centreline", now != to, "Onto the centreline.", Work::Do(Edit::Move { what: spot, to }));
    }
    if matches!(subject, Subject::Lamp(_) | Subject::Part(_)) {
        let name = free_name(scene, subject);
        button(ui, desk, "Copy", true, "Another one like it.", Work::Do(Edit::Copy { what: subject, name }));
        button(ui, desk, "Delete", true, "Undo brings it back.", Work::Do(Edit::Remove(subject)));
    }
}

fn upright(subject: Subject) -> Edit {
    let straight = |figure| Edit::Set { what: subject, figure, to: 0.0 };
    Edit::All { label: "Set upright".into(), edits: vec![straight(Figure::Tilt), straight(Figure::Roll)] }
}

/// A name that nothing of its kind has yet.
fn free_name(scene: &Scene, subject: Subject) -> String {
    let taken = |name: &str| match subject {
        Subject::Lamp(LampAt { fit, .. }) => scene.fits[fit].lamps.iter().any(|lamp| lamp.name == name),
        _ => scene.part(name).is_some(),
    };
    kit::free(&name(scene, subject), taken)
}

/// Corners round what is chosen, with its name, over the night and under the cards.
pub fn outline(context: &egui::Context, middle: Pos2, radius: f32, name: &str) {
    let painter = context.layer_painter(LayerId::new(Order::Background, Id::new("chosen")));
    let stroke = Stroke::new(1.6, cloth::accent());
    let rect = Rect::from_center_size(middle, vec2(2.0, 2.0) * radius);
    let arm = (radius * 0.35).clamp(5.0, 14.0);
    for (corner, x, y) in [
        (rect.left_top(), 1.0, 1.0),
        (rect.right_top(), -1.0, 1.0),
        (rect.left_bottom(), 1.0, -1.0),
        (rect.right_bottom(), -1.0, -1.0),
    ] {
        painter.line_segment([corner, corner + vec2(x * arm, 0.0)], stroke);
        painter.line_segment([corner, corner + vec2(0.0, y * arm)], stroke);
    }
    let at = pos2(rect.center().x, rect.bottom() + 4.0);
    let font = egui::FontId::new(cloth::SMALL, egui::FontFamily::Proportional);
    let galley = painter.layout_no_wrap(name.into(), font, cloth::INK);
    let back = Rect::from_center_size(at + vec2(0.0, galley.size().y / 2.0), galley.size() + vec2(10.0, 4.0));
    painter.rect_filled(back, 4.0, Color32::from_black_alpha(170));
    painter.galley(back.min + vec2(5.0, 2.0), galley, cloth::INK);
}

/// What the outline is drawn round: middle and radius in the vessel frame, and the name.
pub fn place_of(bench: &Workbench, stance: &crate::survey::Stance, fit: usize) -> Option<(glam::DVec3, f64, String)> {
    let subject = bench.chosen()?;
    if matches!(subject, Subject::Lamp(at) if at.fit != fit) {
        return None;
    }
    let (middle, radius) = surroundings(stance, subject)?;
    Some((middle, radius, name(bench.document().scene(), subject)))
}
