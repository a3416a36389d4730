//! The panels of the window: the boat, the observer, the findings, the strips and the list of keys.
//!
//! Takes what is chosen, known and judged, by way of the [`Reading`]; gives messages of [`Act`] and nothing else.
//! Must never hold a second truth, and never compute light. Pictures without a window have no panels.

mod boat;
mod cloth;
mod findings;
mod fitting;
mod glossary;
mod guide;
mod handles;
mod help;
mod lesson;
mod marks;
mod note;
mod observer;
mod open;
mod reading;
mod seeking;
mod sky;
mod split;
mod strip;
mod words;
mod work;

use bevy::{
    ecs::system::SystemParam,
    input::{
        ButtonState,
        keyboard::{Key, KeyboardInput},
    },
    prelude::*,
    window::PrimaryWindow,
};
use bevy_egui::{
    EguiContexts, EguiPrimaryContextPass,
    egui::{self, Align2, Area, Id, Order, Ui, vec2},
    input::EguiWantsInput,
};

use guide::Walk;
pub use reading::{Reading, ReadingPlugin};

use super::{
    Act, Choice, Grip, Known, Places, Regarded, School, Seek, Shown, Steps, Study, View, Work, Workbench,
    eye::NightEye, frame::drawn, sea::Covered,
};
use crate::{boat::Scene, edit::Subject};

/// Draws the panels. Needs [`EguiPlugin`](bevy_egui::EguiPlugin).
pub struct PanelPlugin;

impl Plugin for PanelPlugin {
    fn build(&self, app: &mut App) {
        app.add_plugins(ReadingPlugin)
            .init_resource::<Panels>()
            .init_resource::<Covered>()
            .add_message::<Work>()
            .add_message::<Study>()
            .add_message::<Seek>()
            .add_systems(Update, (strike.in_set(Steps::Hands), greet.in_set(Steps::Tell)))
            .add_systems(EguiPrimaryContextPass, draw);
    }
}

/// What is the panels' own: whether they are shown, and what of them is open.
#[derive(Resource, Debug)]
pub struct Panels {
    pub hidden: bool,
    folds: Folds,
    /// From 1 while nothing has been done yet to 0 a moment after the first act.
    hint: f32,
    greeted: bool,
    help_was_open: bool,
    /// What is typed into a card about files.
    typing: open::Typing,
    dressed: Dressed,
    /// The guided walk, while it is had.
    walk: Option<Walk>,
    /// Whether the list of lessons is open, and was in the pass before.
    lessons: bool,
    lessons_were_open: bool,
    slate: lesson::Slate,
}

impl Panels {
    /// With the guided walk, unless the user has had it.
    pub fn of_a_window() -> Self {
        Self { walk: Walk::unless_walked(), ..Self::default() }
    }
}

impl Default for Panels {
    fn default() -> Self {
        Self {
            hidden: false,
            folds: Folds::default(),
            hint: 1.0,
            greeted: false,
            help_was_open: false,
            typing: open::Typing::default(),
            dressed: Dressed::No,
            walk: None,
            lessons: false,
            lessons_were_open: false,
            slate: lesson::Slate::default(),
        }
    }
}

impl Panels {
    /// As for someone who knows what to do first.
    pub fn after_the_first_hint() -> Self {
        Self { hint: 0.0, greeted: true, ..Self::default() }
    }
}

/// Letters handed to egui count from its next pass on; until then nothing can be written with them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Dressed {
    No,
    NextPass,
    Yes,
}

/// What is unfolded.
#[derive(Clone, Copy, Debug, Default)]
pub struct Folds {
    lie: bool,
    lights: bool,
    night: bool,
    /// By its place in the list.
    finding: Option<usize>,
}

/// What a card is drawn from, and where its acts go.
pub struct Desk<'a> {
    reading: &'a Reading,
    choice: &'a Choice,
    scene: &'a Scene,
    folds: &'a mut Folds,
    hide: &'a mut bool,
    lessons: &'a mut bool,
    /// Whether a lesson is had.
    taught: bool,
    places: Option<&'a Places>,
    acts: Vec<Act>,
    works: Vec<Work>,
    seeks: Vec<Seek>,
}

/// The keys that hide the panels and list the lessons.
fn strike(egui: Option<Res<EguiWantsInput>>, mut keys: MessageReader<KeyboardInput>, mut panels: ResMut<Panels>) {
    for key in keys.read() {
        let taken = egui.as_ref().is_some_and(|egui| egui.wants_any_keyboard_input());
        let Key::Character(letter) = &key.logical_key else { continue };
        if key.state != ButtonState::Pressed || key.repeat || taken {
            continue;
        }
        if letter.eq_ignore_ascii_case("p") {
            panels.hidden = !panels.hidden;
        } else if letter.eq_ignore_ascii_case("t") {
            panels.lessons = !panels.lessons;
        }
    }
}

/// Seconds in which the first hint fades.
const FADING: f32 = 1.6;

fn greet(time: Res<Time>, mut acts: MessageReader<Act>, mut panels: ResMut<Panels>) {
    if acts.read().count() > 0 {
        panels.greeted = true;
    }
    if panels.greeted && panels.hint > 0.0 {
        panels.hint = (panels.hint - time.delta_secs() / FADING).max(0.0);
    }
}

/// What the panels tell of.
#[derive(SystemParam)]
struct Told<'w, 's> {
    window: Option<Single<'w, 's, &'static Window, With<PrimaryWindow>>>,
    camera: Option<Single<'w, 's, (&'static Camera, &'static GlobalTransform), With<NightEye>>>,
    shown: Res<'w, Shown>,
    known: Res<'w, Known>,
    choice: Res<'w, Choice>,
    reading: Res<'w, Reading>,
    regarded: Res<'w, Regarded>,
    bench: Option<Res<'w, Workbench>>,
    grip: Option<Res<'w, Grip>>,
    school: Option<Res<'w, School>>,
    places: Option<Res<'w, Places>>,
}

impl Told<'_, '_> {
    /// Marks what is chosen, in the night itself.
    fn outline(&self, context: &egui::Context) {
        let (Some(bench), Some(camera)) = (&self.bench, &self.camera) else { return };
        let (camera, place) = **camera;
        let Some((middle, radius, name)) = work::place_of(bench, &self.known.stance, self.choice.fit) else { return };
        let middle = drawn(self.known.stance.level(middle));
        let Ok(at) = camera.world_to_viewport(place, middle) else { return };
        let beside = middle + place.right() * radius as f32;
        let size = camera.world_to_viewport(place, beside).map_or(0.0, |side| side.distance(at));
        // The camera counts in the window's points, the panels in their own.
        let zoom = context.zoom_factor();
        if let Some(grip) = self.grip.as_ref().filter(|grip| !grip.handles.is_empty()) {
            return handles::show(context, grip, &name, &self.shown.0);
        }
        work::outline(context, egui::pos2(at.x, at.y) / zoom, (size / zoom).clamp(12.0, 240.0), &name);
    }
}

impl Told<'_, '_> {
    /// The numbers of proposed places, to be clicked where they are.
    fn numbers(&self, context: &egui::Context, desk: &mut Desk) {
        let (Some(bench), Some(camera), Some(places)) = (&self.bench, &self.camera, &self.places) else { return };
        let Some(Subject::Lamp(at)) = bench.chosen() else { return };
        let (Some(found), true) = (places.found(at), self.choice.view != View::Afloat) else { return };
        let (camera, place) = **camera;
        for (number, proposal) in found.proposals.iter().enumerate() {
            let Some(placed) = proposal.placed.first() else { continue };
            let middle = drawn(self.known.stance.level(placed.spot.centre));
            let Ok(spot) = camera.world_to_viewport(place, middle) else { continue };
            let spot = egui::pos2(spot.x, spot.y) / context.zoom_factor();
            if seeking::number(context, number, spot) {
                desk.seeks.push(Seek::Take(number));
            }
        }
    }

    /// Tells what the pointer is over.
    fn note(&self, context: &egui::Context) {
        let pointer = self.window.as_ref().and_then(|window| window.cursor_position());
        if let (Some(regard), Some(at)) = (&self.regarded.0, pointer) {
            note::show(context, egui::pos2(at.x, at.y) / context.zoom_factor(), regard);
        }
    }
}

fn draw(
    mut contexts: EguiContexts,
    told: Told,
    mut panels: ResMut<Panels>,
    mut acts: MessageWriter<Act>,
    mut works: MessageWriter<Work>,
    (mut studies, mut seeks): (MessageWriter<Study>, MessageWriter<Seek>),
    mut night_covered: ResMut<Covered>,
) {
    let Ok(context) = contexts.ctx_mut() else { return };
    if let Some(window) = &told.window {
        context.set_zoom_factor(cloth::zoom(window.width(), window.height()));
    }
    match panels.dressed {
        Dressed::No => {
            cloth::dress(context);
            panels.dressed = Dressed::NextPass;
            return;
        }
        Dressed::NextPass => panels.dressed = Dressed::Yes,
        Dressed::Yes => {}
    }
    let panels = panels.into_inner();
    if told.reading.is_changed() && panels.folds.finding.is_some_and(|open| open >= told.reading.findings.len()) {
        panels.folds.finding = None;
    }
    let school = told.school.as_deref().filter(|school| school.had().is_some());
    let mut desk = Desk {
        reading: &told.reading,
        choice: &told.choice,
        scene: &told.shown.0,
        folds: &mut panels.folds,
        hide: &mut panels.hidden,
        lessons: &mut panels.lessons,
        taught: school.is_some(),
        places: told.places.as_deref(),
        acts: Vec::new(),
        works: Vec::new(),
        seeks: Vec::new(),
    };
    let mut studied = Vec::new();
    told.note(context);
    if !*desk.hide {
        strip::top(context, &mut desk);
        if let Some(school) = school {
            taught(context, desk.choice.view, school, &mut panels.slate, &mut studied);
        } else if desk.choice.split {
            split::show(context, &mut desk);
        } else {
            told.outline(context);
            told.numbers(context, &mut desk);
            cards(context, &mut desk, told.bench.as_deref());
        }
        if panels.walk.is_none() {
            strip::hint(context, panels.hint);
        }
    }
    strip::bottom(context, *desk.hide);
    let finding = desk.folds.finding.is_some();
    if told.choice.help {
        let asked = help::show(context, !panels.help_was_open);
        if asked.walk {
            panels.walk = Some(Walk::new());
        }
        if asked.close {
            desk.acts.push(Act::Help);
        }
    } else if let Some(walk) = panels.walk.as_mut().filter(|_| !*desk.hide) {
        let bench = told.bench.as_deref();
        let seen = guide::Seen::of(&told.choice, finding, bench);
        if !guide::show(context, walk, &seen, &told.shown.0, bench) {
            panels.walk = None;
        }
    }
    if let Some(bench) = told.bench.as_ref().filter(|_| school.is_none()) {
        open::show(context, bench, &mut panels.typing, &mut desk.works);
    }
    let (done, worked, sought) = (desk.acts, desk.works, desk.seeks);
    if panels.lessons && told.school.is_some() {
        if !panels.lessons_were_open {
            panels.slate.look();
        }
        panels.lessons = lesson::list(context, &panels.slate, &mut studied);
    }
    panels.lessons_were_open = panels.lessons;
    night_covered.set_if_neq(covered(context));
    panels.help_was_open = told.choice.help;
    acts.write_batch(done);
    works.write_batch(worked);
    studies.write_batch(studied);
    seeks.write_batch(sought);
}

/// The card of the lesson that is had, in place of all that would give its answers away.
fn taught(context: &egui::Context, view: View, school: &School, slate: &mut lesson::Slate, studied: &mut Vec<Study>) {
    let screen = context.content_rect();
    Area::new(Id::new("lesson")).fixed_pos(screen.min + vec2(MARGIN, MARGIN)).order(Order::Middle).show(
        context,
        |ui| {
            card(ui, lesson::BREADTH, |ui| {
                egui::ScrollArea::vertical().id_salt("lesson").max_height(screen.height() - 60.0).show(ui, |ui| {
                    lesson::show(ui, school, view, slate, studied);
                });
            });
        },
    );
}

/// Breadth of the cards at either side.
const LEFT: f32 = 284.0;
const RIGHT: f32 = 292.0;
/// From the window's edge.
const MARGIN: f32 = 12.0;
/// How far down the cards may reach, as a share of the window.
const REACH: f32 = 0.97;

fn cards(context: &egui::Context, desk: &mut Desk, bench: Option<&Workbench>) {
    let screen = context.content_rect();
    Area::new(Id::new("left")).fixed_pos(screen.min + vec2(MARGIN, MARGIN)).order(Order::Middle).show(context, |ui| {
        ui.spacing_mut().item_spacing.y = 10.0;
        card(ui, LEFT, |ui| {
            boat::show(ui, desk);
            if let Some(bench) = bench {
                ui.separator();
                work::file(ui, desk, bench);
            }
        });
        let room = screen.top() + screen.height() * REACH - ui.cursor().top() - 26.0;
        if room > 90.0 {
            card(ui, LEFT, |ui| findings::show(ui, desk, room));
        }
    });
    // What is chosen may be of a scene older than what is shown, for a frame.
    let chosen =
        bench.filter(|bench| std::ptr::eq(desk.scene, &**bench.document().scene())).and_then(Workbench::chosen);
    Area::new(Id::new("right")).anchor(Align2::RIGHT_TOP, vec2(-MARGIN, MARGIN)).order(Order::Middle).show(
        context,
        |ui| {
            ui.spacing_mut().item_spacing.y = 10.0;
            card(ui, RIGHT, |ui| observer::show(ui, desk, chosen.is_some()));
            if let Some(subject) = chosen {
                let room = screen.top() + screen.height() * REACH - ui.cursor().top() - 26.0;
                card(ui, RIGHT, |ui| work::chosen(ui, desk, subject, room));
            }
        },
    );
}

fn card(ui: &mut Ui, width: f32, contents: impl FnOnce(&mut Ui)) {
    let frame = cloth::card();
    let inner = width - frame.total_margin().sum().x;
    let shown = frame.show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 6.0;
        ui.set_width(inner);
        contents(ui);
    });
    let rect = shown.response.rect.shrink(ROUNDED);
    ui.data_mut(|data| data.get_temp_mut_or_default::<Vec<egui::Rect>>(cards_shown()).push(rect));
}

/// What a card's round corners leave open, from its edge.
const ROUNDED: f32 = 5.0;

/// Where the cards of a pass are kept.
fn cards_shown() -> Id {
    Id::new("cards shown")
}

/// What the cards cover, as the picture counts.
fn covered(context: &egui::Context) -> Covered {
    let screen = context.content_rect();
    let cards = context.data_mut(|data| data.remove_temp::<Vec<egui::Rect>>(cards_shown())).unwrap_or_default();
    let place = |at: egui::Pos2| {
        let share = (at - screen.min) / screen.size();
        Vec2::new(share.x * 2.0 - 1.0, 1.0 - share.y * 2.0)
    };
    Covered(cards.iter().map(|card| Rect::from_corners(place(card.min), place(card.max))).collect())
}

/// A line that opens and closes what follows it; whether it is open.
fn fold(ui: &mut Ui, id: &str, title: &str, open: &mut bool) -> bool {
    let response = ui
        .push_id(id, |ui| {
            let (rect, response) = marks::row(ui, 27.0, false, title);
            let turn = if *open { vec2(0.0, 1.0) } else { vec2(1.0, 0.0) };
            let centre = rect.left_center() + vec2(9.0, 0.0);
            let tip = centre + turn * 4.0;
            let side = turn.rot90() * 4.0;
            let line = egui::Stroke::new(1.6, cloth::DIM);
            ui.painter().add(egui::Shape::line(vec![tip - turn * 5.0 + side, tip, tip - turn * 5.0 - side], line));
            marks::cut_text(ui, rect.left_center() + vec2(22.0, 0.0), rect.width() - 26.0, cloth::dim(title));
            response
        })
        .inner;
    if response.clicked() {
        *open = !*open;
    }
    *open
}
