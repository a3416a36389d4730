//! What is asked about files, over everything else: which scene to open, under which name to save, and what is to become of
//! unsaved work.
//!
//! Takes the workbench; gives messages of [`Work`]. Must never touch a file.

use std::path::{Path, PathBuf};

use bevy_egui::egui::{
    Align2, Area, Color32, Context, CornerRadius, Id, Key, Label, Margin, Order, ScrollArea, Sense, TextEdit, Ui,
    text::{CCursor, CCursorRange},
    vec2,
};

use super::{
    cloth::{self, bold, dim, heading, small},
    marks,
};
use crate::night::{Answer, Card, Choices, Next, Said, Work, Workbench, typed, typed_scene};

/// What is typed, and the card that it is typed into.
#[derive(Debug, Default)]
pub struct Typing {
    text: String,
    card: Option<Card>,
    /// What was told last before the card was shown: it has nothing to do with it.
    told_before: Option<Said>,
}

impl Typing {
    /// Begins anew where another card is shown; whether it is.
    fn follow(&mut self, bench: &Workbench) -> bool {
        let new = self.card.as_ref() != bench.card();
        if new {
            self.card = bench.card().cloned();
            self.told_before = bench.said().cloned();
            self.text = match bench.card() {
                Some(Card::SaveAs { name, .. }) => name.clone(),
                _ => String::new(),
            };
        }
        new
    }

    /// What was told since.
    fn told<'b>(&self, bench: &'b Workbench) -> Option<&'b Said> {
        bench.said().filter(|said| self.told_before.as_ref() != Some(said))
    }
}

/// Draws the card, when there is one.
pub fn show(context: &Context, bench: &Workbench, typing: &mut Typing, works: &mut Vec<Work>) {
    let just_opened = typing.follow(bench);
    let Some(card) = bench.card() else { return };
    let screen = context.content_rect();
    Area::new(Id::new("files ground")).fixed_pos(screen.min).order(Order::Foreground).show(context, |ui| {
        ui.allocate_rect(screen, Sense::click_and_drag());
        ui.painter().rect_filled(screen, CornerRadius::ZERO, Color32::from_black_alpha(150));
    });
    let area = Area::new(Id::new("files")).anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0)).order(Order::Tooltip);
    area.sense(Sense::click()).show(context, |ui| {
        let frame = cloth::card().fill(Color32::from_rgb(0x0B, 0x0F, 0x1B)).inner_margin(Margin::symmetric(26, 20));
        frame.show(ui, |ui| match card {
            Card::Open(choices) => {
                ui.set_width(860.0_f32.min(screen.width() - 100.0));
                open(ui, bench, choices, typing, just_opened, works);
            }
            Card::SaveAs { folder, .. } => {
                ui.set_width(560.0);
                save_as(ui, bench, folder, typing, just_opened, works);
            }
            Card::Unsaved { next, lost } => {
                ui.set_width(460.0);
                unsaved(ui, bench, next, lost.as_deref(), just_opened, works);
            }
        });
    });
    if !just_opened && context.input(|input| input.key_pressed(Key::Escape)) {
        works.push(Work::Dismiss);
    }
}

fn open(ui: &mut Ui, bench: &Workbench, choices: &Choices, typing: &mut Typing, first: bool, works: &mut Vec<Work>) {
    ui.label(heading("Open a scene"));
    ui.add_space(2.0);
    let room = (ui.ctx().content_rect().height() - 330.0).clamp(120.0, 340.0);
    ui.columns(2, |columns| {
        columns[0].add(Label::new(small(format!("In {}", choices.folder.display()))).truncate());
        list(&mut columns[0], "here", &choices.here, bench, room, works, "There is no scene here.");
        columns[1].label(small("Opened before"));
        list(&mut columns[1], "recent", &choices.recent, bench, room, works, "None yet.");
    });
    ui.add_space(4.0);
    let struck = field(ui, &mut typing.text, "a scene or a folder, by its name or path", first);
    let path = typed(&choices.folder, &typing.text);
    said(ui, typing.told(bench));
    ui.horizontal(|ui| {
        let button = ui.add_enabled(path.is_some(), bevy_egui::egui::Button::new("Open"));
        if let Some(path) = path.filter(|_| struck || button.clicked()) {
            works.push(Work::Open(path));
        }
        if let Some(above) = choices.folder.parent()
            && ui.button("Folder above").clicked()
        {
            works.push(Work::Look(above.into()));
        }
        elsewhere(ui, "Ctrl O", works);
        close(ui, "Close", works);
    });
}

/// Scenes, a row each.
fn list(ui: &mut Ui, id: &str, scenes: &[PathBuf], bench: &Workbench, room: f32, works: &mut Vec<Work>, none: &str) {
    ScrollArea::vertical().id_salt(id).max_height(room).auto_shrink([false, true]).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        if scenes.is_empty() {
            ui.label(dim(none));
        }
        for scene in scenes {
            let name = scene.file_name().unwrap_or_default().display().to_string();
            let is_open = bench.document().path().is_some_and(|path| same(path, scene));
            let (rect, response) = marks::row(ui, 27.0, is_open, &name);
            let written = marks::cut_text(ui, rect.left_center() + vec2(10.0, 0.0), rect.width() - 16.0, bold(name));
            let left = rect.right() - written.right() - 18.0;
            if id == "recent" && left > 40.0 {
                let folder = scene.parent().unwrap_or(Path::new("")).display().to_string();
                marks::cut_text(ui, written.right_center() + vec2(10.0, 0.0), left, small(folder));
            }
            if response.on_hover_text(scene.display().to_string()).clicked() {
                works.push(Work::Open(scene.clone()));
            }
        }
    });
}

fn same(one: &Path, other: &Path) -> bool {
    std::path::absolute(one).is_ok_and(|one| one == other)
}

fn save_as(ui: &mut Ui, bench: &Workbench, folder: &Path, typing: &mut Typing, first: bool, works: &mut Vec<Work>) {
    ui.label(heading("Save under another name"));
    ui.add_space(2.0);
    ui.add(Label::new(small(format!("In {}", folder.display()))).truncate());
    let struck = field(ui, &mut typing.text, "a name or a path", first);
    let path = typed_scene(folder, &typing.text);
    let taken =
        path.as_ref().is_some_and(|path| path.exists() && !bench.document().path().is_some_and(|own| same(own, path)));
    if taken {
        ui.label(
            small("There is such a file. It would stay beside the new one, with a ~ behind its name.")
                .color(cloth::amiss()),
        );
    }
    said(ui, typing.told(bench));
    ui.horizontal(|ui| {
        let name = if taken { "Write over it" } else { "Save" };
        let button = ui.add_enabled(path.is_some(), bevy_egui::egui::Button::new(name));
        // Striking Enter is done sooner than a sentence is read.
        if let Some(path) = path.filter(|_| button.clicked() || (struck && !taken)) {
            works.push(Work::SaveAs(path));
        }
        elsewhere(ui, "Ctrl Shift S", works);
        close(ui, "Cancel", works);
    });
}

fn unsaved(ui: &mut Ui, bench: &Workbench, next: &Next, lost: Option<&str>, first: bool, works: &mut Vec<Work>) {
    let name = bench.name();
    ui.add(Label::new(heading(format!("{name} is changed and not saved"))).wrap());
    ui.add_space(2.0);
    let before = match next {
        Next::Open(path) => format!("Before {} is opened:", path.file_name().unwrap_or_default().display()),
        Next::Leave => "Before the window closes:".into(),
    };
    ui.label(before);
    match lost {
        None => ui.label(small(format!("What is not saved is kept apart, and offered when {name} is opened again."))),
        Some(why) => ui.label(small(format!("{why} Going on loses it.")).color(cloth::amiss())),
    };
    ui.horizontal(|ui| {
        let save = ui.button("Save");
        if first {
            save.request_focus();
        }
        let without = ui.button(if *next == Next::Leave { "Leave without saving" } else { "Open without saving" });
        let stay = ui.button("Stay");
        for (button, answer) in [(save, Answer::Save), (without, Answer::GoOn), (stay, Answer::Stay)] {
            if button.clicked() {
                works.push(Work::Answer(answer));
            }
        }
    });
}

/// A line to type into; whether Enter was struck in it. At first all but the ending is chosen, so that typing takes its place.
fn field(ui: &mut Ui, text: &mut String, hint: &str, first: bool) -> bool {
    let mut shown = TextEdit::singleline(text).desired_width(f32::INFINITY).hint_text(hint).show(ui);
    let line = shown.response.response;
    if first {
        line.request_focus();
        let stem = text.rfind('.').map_or(text.chars().count(), |dot| text[..dot].chars().count());
        let chosen = CCursorRange::two(CCursor::new(0), CCursor::new(stem));
        shown.state.cursor.set_char_range(Some(chosen));
        shown.state.store(ui.ctx(), line.id);
    }
    line.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter))
}

/// What was refused.
fn said(ui: &mut Ui, said: Option<&Said>) {
    if let Some(said) = said {
        let colour = if said.wrong { cloth::amiss() } else { cloth::DIM };
        ui.add(Label::new(small(&said.words).color(colour)).wrap());
    }
}

fn elsewhere(ui: &mut Ui, key: &str, works: &mut Vec<Work>) {
    if marks::switch(ui, false, "System's dialog", key).on_hover_text("Choose in the dialog of your system.").clicked()
    {
        works.push(Work::Browse);
    }
}

fn close(ui: &mut Ui, name: &str, works: &mut Vec<Work>) {
    if marks::switch(ui, false, name, "Esc").clicked() {
        works.push(Work::Dismiss);
    }
}
