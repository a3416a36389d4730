//! The list of lessons, and the card of the lesson that is had: its words, its question, and what the simulation says of
//! the answer.
//!
//! Takes the [`School`]; gives messages of [`Study`]. Must never know which answer is right.

use std::sync::Arc;

use bevy_egui::egui::{
    Align, Align2, Area, Button, Color32, Context, DragValue, Frame, Id, Label, Layout, Margin, Order, RichText,
    ScrollArea, Slider, Stroke, Ui, vec2,
};

use super::{
    cloth::{self, bold, dim, heading, small},
    marks,
};
use crate::{
    edit::state_folder,
    measure::trimmed,
    night::{Had, School, Study, View, done},
    teach::{
        CAUTION,
        lesson::{Answer, Question, Way, supplied},
    },
};

/// What is being reckoned, and what was had.
#[derive(Debug, Default)]
pub struct Slate {
    reckoned: f64,
    /// The step that it was reckoned for.
    of: Option<(String, usize)>,
    /// Names of the lessons that were had to their end; read when the list opens.
    done: Vec<String>,
}

impl Slate {
    /// Reads anew which lessons were had.
    pub fn look(&mut self) {
        self.done = done(state_folder().as_deref());
    }
}

/// Breadth of the card of a lesson.
pub const BREADTH: f32 = 372.0;

/// The list of lessons; false when it is closed.
pub fn list(context: &Context, slate: &Slate, studies: &mut Vec<Study>) -> bool {
    let screen = context.content_rect();
    let mut open = true;
    Area::new(Id::new("lessons")).anchor(Align2::CENTER_CENTER, vec2(0.0, 0.0)).order(Order::Foreground).show(
        context,
        |ui| {
            cloth::card().inner_margin(Margin::symmetric(22, 18)).show(ui, |ui| {
                ui.set_width(660.0_f32.min(screen.width() - 80.0));
                ui.horizontal(|ui| {
                    ui.label(heading("Lessons"));
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        open &= !marks::switch(ui, false, "Close", "T").clicked();
                    });
                });
                ui.add(
                    Label::new(small(format!(
                        "A few minutes each. Every answer is worked out by the simulation. {CAUTION}"
                    )))
                    .wrap(),
                );
                ui.add_space(2.0);
                ScrollArea::vertical().max_height(screen.height() - 190.0).show(ui, |ui| {
                    for lesson in supplied() {
                        ui.horizontal(|ui| {
                            if ui.add(Button::new(bold(&lesson.title)).min_size(vec2(250.0, 30.0))).clicked() {
                                studies.push(Study::Begin(Arc::new(lesson.clone())));
                                open = false;
                            }
                            let had = slate.done.contains(&lesson.name);
                            let length =
                                format!("{} min{}", trimmed(lesson.minutes, 0), if had { ", had" } else { "" });
                            ui.add_sized(vec2(76.0, 26.0), Label::new(small(length)));
                            ui.add(Label::new(small(&lesson.teaches)).wrap());
                        });
                    }
                });
            });
        },
    );
    open
}

/// The step of the lesson that is had.
pub fn show(ui: &mut Ui, school: &School, view: View, slate: &mut Slate, studies: &mut Vec<Study>) {
    let Some(had) = school.had() else { return };
    let step = had.step();
    ui.horizontal(|ui| {
        ui.label(small(format!("{}, {} of {}", had.lesson().title, had.number() + 1, had.lesson().steps.len())));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            if marks::switch(ui, false, "Leave", "").on_hover_text("Back to the boat you worked on.").clicked() {
                studies.push(Study::Leave);
            }
        });
    });
    ui.label(heading(&step.title));
    for words in &step.words {
        ui.add(Label::new(words).wrap());
    }
    if let Some(question) = &step.question {
        ui.separator();
        ui.add(Label::new(bold(&question.ask)).wrap());
        ask(ui, had, question, view, slate, studies);
        verdict(ui, had);
    }
    ui.add_space(2.0);
    foot(ui, had, studies);
}

/// The ways to answer.
fn ask(ui: &mut Ui, had: &Had, question: &Question, view: View, slate: &mut Slate, studies: &mut Vec<Study>) {
    match question.way() {
        Way::Choose => {
            let given = had.verdict().map(|(answer, verdict)| (*answer, verdict.right));
            for (index, choice) in question.choices().into_iter().enumerate() {
                let chosen = given.filter(|(answer, _)| *answer == Answer::Choice(index));
                let line = match chosen {
                    Some((_, true)) => Stroke::new(1.6, cloth::accent()),
                    Some((_, false)) => Stroke::new(1.6, cloth::amiss()),
                    None => Stroke::new(1.0, cloth::LINE),
                };
                let button =
                    Button::new(RichText::new(choice)).wrap().stroke(line).min_size(vec2(ui.available_width(), 29.0));
                if ui.add(button).clicked() {
                    studies.push(Study::Answer(Answer::Choice(index)));
                }
            }
        }
        Way::Stand => {
            ui.add(
                Label::new(dim("Walk round her with the arrow keys, or aloft click a mark on the water. Then:")).wrap(),
            );
            let there = view == View::Afloat;
            let button = ui.add_enabled(there, Button::new("Here"));
            if button.on_disabled_hover_text("First stand on the water: press 2.").clicked() {
                studies.push(Study::Here);
            }
        }
        Way::Reckon { unit } => {
            let of = Some((had.lesson().name.clone(), had.number()));
            if slate.of != of {
                (slate.of, slate.reckoned) = (of, 0.0);
            }
            ui.horizontal(|ui| {
                ui.add(DragValue::new(&mut slate.reckoned).speed(0.5).range(0.0..=100_000.0).max_decimals(2))
                    .on_hover_text("Drag, or click and type.");
                ui.label(unit);
                if ui.button("Answer").clicked() {
                    studies.push(Study::Answer(Answer::Number(slate.reckoned)));
                }
            });
        }
        Way::Set { control, least, most } => {
            ui.add(Label::new(dim(control.in_words())).wrap());
            ui.horizontal(|ui| {
                let mut value = had.set();
                if ui.add(Slider::new(&mut value, least..=most).max_decimals(2)).changed() {
                    studies.push(Study::Set(value));
                }
                if ui.button("Answer").clicked() {
                    studies.push(Study::Answer(Answer::Number(value)));
                }
            });
        }
    }
}

/// What the simulation says of the answer.
fn verdict(ui: &mut Ui, had: &Had) {
    let Some((_, verdict)) = had.verdict() else { return };
    let (word, line) = if verdict.right { ("Right.", cloth::accent()) } else { ("Not so.", cloth::amiss()) };
    Frame::new().stroke(Stroke::new(1.4, line)).corner_radius(7).inner_margin(Margin::symmetric(10, 7)).show(
        ui,
        |ui| {
            ui.set_width(ui.available_width());
            ui.label(bold(word).color(if verdict.right { cloth::INK } else { line }));
            ui.add(Label::new(&verdict.why).wrap());
            if !verdict.right {
                ui.label(small("Try again, or go on."));
            }
        },
    );
}

fn foot(ui: &mut Ui, had: &Had, studies: &mut Vec<Study>) {
    let right = had.verdict().is_some_and(|(_, verdict)| verdict.right);
    if had.is_last() && (right || had.step().question.is_none()) {
        let (first, asked) = had.score();
        ui.add(Label::new(dim(format!("That is the lesson: {first} of {asked} answered at the first try."))).wrap());
    }
    ui.horizontal(|ui| {
        if ui.add_enabled(had.number() > 0, Button::new("Back")).clicked() {
            studies.push(Study::Step(had.number() - 1));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let (words, next) = match had.is_last() {
                true => ("Done", Study::Leave),
                false => (
                    if had.step().question.is_some() && !right { "Skip" } else { "Next" },
                    Study::Step(had.number() + 1),
                ),
            };
            let fill = if right { cloth::accent().gamma_multiply(0.35) } else { Color32::TRANSPARENT };
            if ui.add(Button::new(bold(words)).fill(fill).min_size(vec2(84.0, 29.0))).clicked() {
                studies.push(next);
            }
        });
    });
}
