//! What a chosen lamp is and how it is held, as lists to choose from: its name, what it serves as, its optics, its mount, and
//! when it is lit.
//!
//! Takes the scene; gives messages of [`Work`]. Must never change anything itself.

use bevy_egui::egui::{Align, ComboBox, Id, Layout, TextEdit, Ui};

use super::{Desk, cloth::dim, glossary, marks, words::capital};
use crate::{
    boat::{Along, Lamp, Mount, PartKind, Role, Scene, Status},
    edit::{Edit, LampAt, Subject, kit},
    light::library,
    night::Work,
};

/// Every list of a lamp.
pub fn show(ui: &mut Ui, desk: &mut Desk, at: LampAt, lamp: &Lamp) {
    name(ui, desk, Subject::Lamp(at), &lamp.name);
    let role = row(ui, "serves as", lamp.role.in_words(), Role::ALL.iter().map(|role| (role.in_words().into(), *role)));
    if let Some(role) = role.filter(|role| *role != lamp.role) {
        desk.works.push(Work::Do(Edit::Role { lamp: at, role }));
    }
    let optics = library().iter().filter(|optics| kit::role_of(optics) == Some(lamp.role));
    let optics = row(ui, "optics", &lamp.optics.name, optics.map(|optics| (optics.name.clone(), optics.name.clone())));
    if let Some(name) = optics.filter(|name| *name != lamp.optics.name) {
        desk.works.push(Work::Do(Edit::Optics { lamp: at, name }));
    }
    let mount =
        row(ui, "mount", &mount_in_words(&lamp.mount), mounts(desk.scene).map(|mount| (mount_in_words(&mount), mount)));
    if let Some(mount) = mount.filter(|mount| *mount != lamp.mount) {
        // A lamp that a pole placed needs a place of its own: where it is now.
        let now = desk.scene.posed_lamp(lamp, &desk.choice.pose).centre;
        let like = crate::boat::Height::AboveDeck(0.0);
        let place = lamp.at.unwrap_or_else(|| crate::edit::snap::place_at(&desk.scene.vessel, now, like));
        let own = !matches!(mount, Mount::Pole(_));
        desk.works.push(Work::Do(Edit::Remount { lamp: at, mount, at: own.then_some(place) }));
    }
    lit(ui, desk, at, lamp);
}

/// A name that can be typed anew.
pub fn name(ui: &mut Ui, desk: &mut Desk, subject: Subject, now: &str) {
    let id = Id::new(("name", subject));
    let mut typed = ui.data_mut(|data| data.get_temp::<String>(id)).unwrap_or_else(|| now.to_string());
    ui.horizontal(|ui| {
        let label = ui.label(dim("name"));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let field = ui.add(TextEdit::singleline(&mut typed).desired_width(168.0)).labelled_by(label.id);
            if field.changed() {
                ui.data_mut(|data| data.insert_temp(id, typed.clone()));
            }
            if field.lost_focus() {
                ui.data_mut(|data| data.remove_temp::<String>(id));
                let name = typed.trim().to_string();
                if !name.is_empty() && name != now {
                    desk.works.push(Work::Do(Edit::Rename { what: subject, name }));
                }
            }
        });
    });
}

/// A list to choose from; what was chosen now.
fn row<T>(ui: &mut Ui, label: &str, now: &str, all: impl Iterator<Item = (String, T)>) -> Option<T> {
    let mut chosen = None;
    ui.horizontal(|ui| {
        let meaning = glossary::explained(now);
        ui.label(dim(label));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let list = ComboBox::from_id_salt(label).width(168.0).selected_text(now).truncate();
            let shown = list.show_ui(ui, |ui| {
                for (words, value) in all {
                    if ui.selectable_label(words == now, words).clicked() {
                        chosen = Some(value);
                    }
                }
            });
            if !meaning.is_empty() {
                shown.response.on_hover_text(meaning);
            }
        });
    });
    chosen
}

/// Every way to hold a lamp on this boat.
fn mounts(scene: &Scene) -> impl Iterator<Item = Mount> {
    let plain = [
        Mount::Bracket(Along::Centreline),
        Mount::Bracket(Along::Gunwale),
        Mount::FlatOnDeck(Along::Centreline),
        Mount::FlatOnDeck(Along::Gunwale),
        Mount::Flush,
    ];
    let on_parts = scene.parts.iter().filter_map(|part| match part.kind {
        PartKind::Mast { .. } => Some(Mount::Pole(part.name.clone())),
        PartKind::Outboard { .. } => Some(Mount::Outboard(part.name.clone())),
        _ => None,
    });
    plain.into_iter().chain(on_parts)
}

fn mount_in_words(mount: &Mount) -> String {
    let along = |along: &Along| match along {
        Along::Centreline => "",
        Along::Gunwale => ", along the gunwale",
    };
    match mount {
        Mount::Bracket(line) => format!("upright on a bracket{}", along(line)),
        Mount::FlatOnDeck(line) => format!("flat on deck{}", along(line)),
        Mount::Flush => "flush with the side".into(),
        Mount::Pole(name) => format!("on top of {name}"),
        Mount::Outboard(name) => format!("on {name}"),
    }
}

/// A switch for each status in which it may be lit.
fn lit(ui: &mut Ui, desk: &mut Desk, at: LampAt, lamp: &Lamp) {
    ui.label(dim("lit"));
    ui.horizontal_wrapped(|ui| {
        let vessel = &desk.scene.vessel;
        let mut statuses: Vec<Status> = vessel.statuses.iter().map(|status| status.plain(vessel.propulsion)).collect();
        statuses.extend(lamp.lit.iter().copied().filter(|status| !statuses.contains(status)).collect::<Vec<_>>());
        for status in statuses {
            let on = lamp.lit.contains(&status);
            if marks::plain_switch(ui, on, &capital(status.told_of(vessel))).clicked() {
                let mut lit: Vec<Status> = lamp.lit.iter().copied().filter(|other| *other != status).collect();
                if !on {
                    lit.push(status);
                }
                desk.works.push(Work::Do(Edit::Lit { lamp: at, lit }));
            }
        }
    });
}
