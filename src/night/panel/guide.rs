//! The guided walk of a first start: a few steps, each done by doing it, that can be left at any time.
//!
//! Takes what is chosen and worked on; gives the step to show. Whether it was walked stands in the user's state folder.

use std::fs;

use bevy_egui::egui::{Align, Align2, Area, Context, Id, Layout, Order, vec2};

use super::cloth::{self, bold, small};
use crate::{
    boat::Scene,
    edit::state_folder,
    night::{Choice, View, Workbench},
};

/// A step of the walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Step {
    Turn,
    Stand,
    OtherFit,
    Sector,
    Finding,
    Move,
    Undo,
    End,
}

/// What can be told of a session, to see whether a step is done.
#[derive(Clone, Debug)]
pub struct Seen {
    choice: Choice,
    /// Whether a finding is open, something aboard chosen, and the file changed.
    finding: bool,
    chosen: bool,
    changed: bool,
}

impl Seen {
    pub fn of(choice: &Choice, finding: bool, bench: Option<&Workbench>) -> Self {
        Self {
            choice: choice.clone(),
            finding,
            chosen: bench.is_some_and(|bench| bench.chosen().is_some()),
            changed: bench.is_some_and(|bench| bench.document().is_changed()),
        }
    }
}

impl Step {
    const ALL: [Self; 8] =
        [Self::Turn, Self::Stand, Self::OtherFit, Self::Sector, Self::Finding, Self::Move, Self::Undo, Self::End];

    fn words(self, seen: &Seen) -> &'static str {
        match self {
            Self::Turn => "Turn round her: drag, or hold an arrow key.",
            Self::Stand => {
                "Each mark on the water is an observer, with the letters of the colours he sees. Click a mark to stand there."
            }
            Self::OtherFit => "This is what he sees from there. Press F for her other fit, and look what changes.",
            Self::Sector => {
                "Press 1 to go aloft again. The violet wedge is the overtaking sector: whoever comes up inside it sees \
                 only a white light, and keeps clear. Press O to hide it."
            }
            Self::Finding => {
                "Each finding says what is wrong and how to mend it. Click one; F gives a fit that has some."
            }
            Self::Move if seen.choice.view == View::Afloat => {
                "Press 3 to go on deck, where lamps can be taken hold of."
            }
            Self::Move if !seen.chosen => "Click a lamp to choose it.",
            Self::Move => "Take an arrow of the lamp and pull: the picture, the ring and the findings follow.",
            Self::Undo => "Undo with Ctrl Z. Nothing is written to the file before you save it with Ctrl S.",
            Self::End => "That is the walk. H lists every key, and starts the walk again.",
        }
    }

    /// Whether it is done, since it began with `from`.
    fn done(self, from: &Seen, now: &Seen) -> bool {
        match self {
            Self::Turn => {
                let turned = now.choice.aloft.bearing.clockwise_of(from.choice.aloft.bearing).abs();
                turned > 15.0 || now.choice.view != from.choice.view
            }
            Self::Stand => now.choice.view == View::Afloat,
            Self::OtherFit => now.choice.fit != from.choice.fit,
            Self::Sector => now.choice.view == View::Aloft && now.choice.sector != from.choice.sector,
            Self::Finding => now.finding,
            Self::Move => now.changed,
            Self::Undo => !now.changed,
            Self::End => false,
        }
    }

    /// Whether the boat and the session allow it.
    fn possible(self, scene: &Scene, bench: Option<&Workbench>) -> bool {
        match self {
            Self::OtherFit => scene.fits.len() > 1,
            Self::Move | Self::Undo => bench.is_some(),
            _ => true,
        }
    }
}

/// A walk under way.
#[derive(Clone, Debug)]
pub struct Walk {
    step: usize,
    from: Option<Seen>,
}

impl Walk {
    /// From its first step.
    pub fn new() -> Self {
        Self { step: 0, from: None }
    }

    /// The walk, unless the user has had it.
    pub fn unless_walked() -> Option<Self> {
        let walked = mark().is_none_or(|mark| mark.exists());
        (!walked).then(Self::new)
    }

    /// The step to show now, after those that are done.
    fn advance(&mut self, now: &Seen, scene: &Scene, bench: Option<&Workbench>) -> Step {
        let from = self.from.get_or_insert_with(|| now.clone());
        let step = Step::ALL[self.step];
        if step.done(from, now) || !step.possible(scene, bench) {
            self.next(now);
        }
        Step::ALL[self.step]
    }

    fn next(&mut self, now: &Seen) {
        self.step = (self.step + 1).min(Step::ALL.len() - 1);
        self.from = Some(now.clone());
    }
}

/// Notes that the walk was had. Where that cannot be written it is offered again, which does no harm.
fn note() {
    if let Some(mark) = mark() {
        let _ = mark.parent().map(fs::create_dir_all);
        let _ = fs::write(mark, "The guided walk was shown.\n");
    }
}

fn mark() -> Option<std::path::PathBuf> {
    Some(state_folder()?.join("walked"))
}

/// Draws the step; false when the walk is left.
pub fn show(context: &Context, walk: &mut Walk, now: &Seen, scene: &Scene, bench: Option<&Workbench>) -> bool {
    let step = walk.advance(now, scene, bench);
    let mut stays = true;
    Area::new(Id::new("guide")).anchor(Align2::CENTER_BOTTOM, vec2(0.0, -34.0)).order(Order::Foreground).show(
        context,
        |ui| {
            cloth::card().show(ui, |ui| {
                ui.set_width(560.0_f32.min(context.content_rect().width() - 60.0));
                ui.horizontal(|ui| {
                    ui.label(bold("A walk round her"));
                    ui.label(small(format!("{} of {}", walk.step + 1, Step::ALL.len())));
                    ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                        let last = step == Step::End;
                        if ui.button(if last { "Done" } else { "Leave" }).clicked() {
                            stays = false;
                        }
                        if !last && ui.button("Next").clicked() {
                            walk.next(now);
                        }
                    });
                });
                ui.label(step.words(now));
            });
        },
    );
    if !stays {
        note();
    }
    stays
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        measure::Bearing,
        night::{Act, trial},
    };

    #[test]
    fn each_step_is_done_by_doing_it_and_the_last_stays() {
        let scene = trial::scene();
        let mut walk = Walk::new();
        let mut seen = Seen::of(&Choice::opening(&scene), false, None);
        assert_eq!(walk.advance(&seen, &scene, None), Step::Turn);
        seen.choice.aloft.bearing = Bearing::new(80.0);
        assert_eq!(walk.advance(&seen, &scene, None), Step::Stand);
        seen.choice.perform(Act::Observer(4), &scene);
        assert_eq!(walk.advance(&seen, &scene, None), Step::OtherFit);
        seen.choice.perform(Act::NextFit, &scene);
        assert_eq!(walk.advance(&seen, &scene, None), Step::Sector);
        seen.choice.perform(Act::Sector, &scene);
        assert_eq!(walk.advance(&seen, &scene, None), Step::Sector, "still afloat");
        seen.choice.perform(Act::View(View::Aloft), &scene);
        assert_eq!(walk.advance(&seen, &scene, None), Step::Finding);
        seen.finding = true;
        // Without a file to work on the steps of working on it are left out.
        let rest: Vec<Step> = (0..4).map(|_| walk.advance(&seen, &scene, None)).collect();
        assert_eq!(rest, [Step::Move, Step::Undo, Step::End, Step::End]);
    }
}
