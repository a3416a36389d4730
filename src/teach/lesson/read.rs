//! Reads lesson files: text into a tree, the tree into steps, each step's question held against the simulation.
//!
//! Takes a text and the folder that scene files are looked for in; gives a [`Lesson`], or every fault of the file at its place.
//! What a step leaves out stays as in the step before. Must never let a question through that has not exactly one answer.

use std::{collections::HashMap, path::Path, sync::Arc as Shared};

use super::{Drawn, Lesson, Sight, Step, View, read_question, sound::doubt_of};
use crate::{
    boat::{
        Attitude, Pose, Posture, Scene, Status,
        read::{
            Faults, ReadError, Span,
            fields::{Desk, Fields, Limits, choice_names, list, name, text, word},
            scene_file, status_words,
            text::{Node, parse},
            text_of,
        },
    },
    measure::{Bearing, Degrees, Metres, NauticalMiles},
    survey::Station,
    teach::{BOATS, Situation, boat},
};

/// Reads a lesson file. Scene files that it names are looked for beside it.
///
/// # Errors
/// When the file cannot be read as text, or with every fault found in it.
pub fn read_file(path: &Path) -> Result<Lesson, ReadError> {
    read(&text_of(path)?, path)
}

/// Reads a lesson from its text. `path` is what messages call it, and where it lies.
///
/// # Errors
/// With every fault found in the text.
pub fn read(text: &str, path: &Path) -> Result<Lesson, ReadError> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    lesson_of(text, &path.display().to_string(), Some(folder), true)
}

/// Reads a supplied lesson, whose questions a test has proved.
pub(super) fn unproved(text: &str, name: &str) -> Result<Lesson, ReadError> {
    lesson_of(text, name, None, false)
}

fn lesson_of(text: &str, path: &str, folder: Option<&Path>, prove: bool) -> Result<Lesson, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut faults = Faults::of(text);
    let root = parse(text, "Lesson", &mut faults);
    let mut desk = Desk { faults: &mut faults, vessel: None, folder, shelf: None, field: None };
    let name = Path::new(path).file_stem().map_or_else(String::new, |stem| stem.to_string_lossy().into_owned());
    let lesson = lesson(&root, name, prove, &mut desk);
    match lesson.filter(|_| faults.count() == 0) {
        Some(lesson) => Ok(lesson),
        None => Err(ReadError::faulty(path, text.into(), faults.in_order(text))),
    }
}

const MINUTES: Limits = Limits::within(1.0, 30.0, "a time", " minutes");

fn lesson(root: &Node, name: String, prove: bool, desk: &mut Desk) -> Option<Lesson> {
    let mut fields = Fields::open(root, "Lesson", desk)?;
    let title = fields.need("title", self::name, desk);
    let teaches = fields.need("teaches", self::name, desk);
    let minutes = fields.or("minutes", |node, desk| MINUTES.read(node, desk), 3.0, desk);
    let nodes = fields.need("steps", |node, desk| list(node, desk, "steps", |node, _| Some(node.clone())), desk);
    let head = fields.span("steps");
    fields.finish(desk);
    let nodes = nodes?;
    if nodes.is_empty() {
        desk.fault(head, "a lesson has at least one step", "write `[Step(...)]`");
    }
    let mut carried = Carried::default();
    let mut boats = Boats::default();
    let steps: Vec<_> = nodes.iter().map(|node| step(node, &mut carried, &mut boats, prove, desk)).collect();
    let steps = steps.into_iter().collect::<Option<Vec<Step>>>()?;
    Some(Lesson { name, title: title?, teaches: teaches?, minutes: minutes?, steps })
}

/// What one step hands on to the next.
#[derive(Clone, Default)]
struct Carried {
    /// What was carried cannot stand together, which was told at the step that said so and need not be told again.
    lost: bool,
    boat: Option<(String, Shared<Scene>)>,
    fit: Option<String>,
    status: Option<Status>,
    lies: Lies,
    eye: Option<Eye>,
    visibility: Option<f64>,
    view: Option<View>,
    sight: Option<Sight>,
    draw: Vec<Drawn>,
}

#[derive(Clone, Copy, Default)]
struct Lies {
    pose: Pose,
    attitude: Attitude,
}

#[derive(Clone, Copy)]
struct Eye {
    bearing: f64,
    metres: f64,
    height: Option<f64>,
}

/// Scene files that were read, so that none is read for every step.
#[derive(Default)]
struct Boats(HashMap<String, Shared<Scene>>);

impl Boats {
    /// A boat by name; a fault at `span` where there is none.
    fn named(&mut self, name: &str, span: Span, desk: &mut Desk) -> Option<Shared<Scene>> {
        if let Some(scene) = boat(name).or_else(|| self.0.get(name).cloned()) {
            return Some(scene);
        }
        if !name.to_lowercase().ends_with(".ron") {
            let what = format!("there is no built-in boat \"{}\"", crate::boat::read::shortened(name));
            let mend = choice_names(name, &BOATS, "the choice is");
            desk.fault(span, what, format!("{mend}; or name a scene file beside the lesson, as \"mine.ron\""));
            return None;
        }
        let path = desk.folder.unwrap_or(Path::new(".")).join(name);
        match scene_file(&path) {
            Ok(read) => {
                let scene = Shared::new(read.scene);
                self.0.insert(name.into(), Shared::clone(&scene));
                Some(scene)
            }
            Err(error) if error.faults().is_empty() => {
                desk.fault(span, format!("this scene cannot be read: {error}"), "put the scene file beside the lesson");
                None
            }
            Err(error) => {
                let first = &error.faults()[0];
                let what = format!("the scene {name} has a mistake on line {}: {}", first.line, first.what);
                desk.fault(span, what, format!("mend it; `lampwalk survey {name}` tells all of them"));
                None
            }
        }
    }
}

fn step(node: &Node, carried: &mut Carried, boats: &mut Boats, prove: bool, desk: &mut Desk) -> Option<Step> {
    let mut fields = Fields::open(node, "Step", desk)?;
    let title = fields.need("title", name, desk);
    let words = fields.need("words", |node, desk| list(node, desk, "sentences", text), desk);
    let told = told(&mut fields, carried, boats, desk);
    let question = fields.node("question");
    let span = |name: &str| fields.span(name);
    let spans =
        Spans { boat: span("boat"), fit: span("fit"), status: span("status"), lies: span("lies"), eye: span("eye") };
    fields.finish(desk);
    if carried.lost {
        return None;
    }
    told?;
    let situation = situation(carried, &spans, desk);
    carried.lost = situation.is_none();
    let situation = situation?;
    let asked = question.map(|node| read_question::question(node, &situation, desk));
    if let (Some(node), Some(Some(question)), true) = (question, &asked, prove && desk.faults.count() == 0)
        && let Some(doubt) = doubt_of(question, &situation)
    {
        let at = node.field(doubt.field).map_or(node.head_span(), |field| field.span);
        desk.fault(at, doubt.what, doubt.mend);
    }
    let question = match asked {
        Some(question) => Some(question?),
        None => None,
    };
    Some(Step {
        title: title?,
        words: words?,
        boat: carried.boat.as_ref()?.0.clone(),
        situation,
        view: carried.view.unwrap_or(View::Aloft),
        sight: carried.sight.unwrap_or(Sight::Bare),
        draw: carried.draw.clone(),
        question,
    })
}

/// Takes what a step says into what is carried; `None` where some of it could not be read.
fn told(fields: &mut Fields, carried: &mut Carried, boats: &mut Boats, desk: &mut Desk) -> Option<()> {
    let before = desk.faults.count();
    if let Some(node) = fields.node("boat") {
        let boat = name(node, desk).and_then(|name| Some((name.clone(), boats.named(&name, node.span, desk)?)));
        carried.lost = boat.is_none();
        let before = carried.boat.as_ref().map(|(name, _)| name);
        if boat.as_ref().map(|(name, _)| name) != before {
            // Another boat lies upright, in her own weather.
            (carried.lies, carried.visibility) = (Lies::default(), None);
        }
        carried.boat = boat;
    }
    if let Some(node) = fields.node("fit") {
        carried.fit = name(node, desk);
    }
    if let Some(node) = fields.node("status") {
        carried.status = word(node, desk, "status", &status_words());
    }
    if let Some(lies) = fields.node("lies").and_then(|node| lies(node, desk)) {
        carried.lies = lies;
    }
    if let Some(eye) = fields.node("eye").and_then(|node| eye(node, desk)) {
        carried.eye = Some(eye);
    }
    if let Some(node) = fields.node("visibility") {
        const VISIBILITY: Limits = Limits::within(0.1, 50.0, "a visibility", " nautical miles");
        carried.visibility = VISIBILITY.read(node, desk);
    }
    if let Some(node) = fields.node("view") {
        let views = [("Aloft", View::Aloft), ("Afloat", View::Afloat), ("Deck", View::Deck)];
        carried.view = word(node, desk, "view", &views);
    }
    if let Some(node) = fields.node("sight") {
        let sights = [("Bare", Sight::Bare), ("Glasses", Sight::Glasses), ("Near", Sight::Near)];
        carried.sight = word(node, desk, "sight", &sights);
    }
    if let Some(node) = fields.node("draw") {
        carried.draw = list(node, desk, "things to draw", drawn).unwrap_or_default();
    }
    (desk.faults.count() == before).then_some(())
}

fn drawn(node: &Node, desk: &mut Desk) -> Option<Drawn> {
    word(node, desk, "thing to draw", &[("Ring", Drawn::Ring), ("Sector", Drawn::Sector), ("Band", Drawn::Band)])
}

fn degrees(node: &Node, desk: &mut Desk) -> Option<f64> {
    const ANGLE: Limits = Limits::within(-90.0, 90.0, "an angle", " degrees");
    ANGLE.read(node, desk)
}

fn lies(node: &Node, desk: &mut Desk) -> Option<Lies> {
    let mut fields = Fields::open(node, "Lies", desk)?;
    let trim = fields.or("trim", degrees, 0.0, desk);
    let heel = fields.or("heel", degrees, 0.0, desk);
    let some = |node: &Node, desk: &mut Desk| degrees(node, desk).map(Some);
    let steering = fields.or("steer", some, None, desk);
    let tilt = fields.or("tilt", some, None, desk);
    let fold = fields.or("fold", some, None, desk);
    let posture = fields.or("posture", posture, None, desk);
    fields.finish(desk);
    let pose = Pose { steering: steering?, tilt: tilt?, fold: fold?, posture: posture? };
    Some(Lies { pose, attitude: Attitude { trim: Degrees(trim?), heel: Degrees(heel?) } })
}

fn posture(node: &Node, desk: &mut Desk) -> Option<Option<Posture>> {
    word(node, desk, "posture", &[("Seated", Some(Posture::Seated)), ("Standing", Some(Posture::Standing))])
}

fn eye(node: &Node, desk: &mut Desk) -> Option<Eye> {
    const BEARING: Limits = Limits::within(0.0, 360.0, "a bearing", " degrees");
    const MILES: Limits = Limits::within(0.005, 12.0, "a distance", " nautical miles");
    const METRES: Limits = Limits::within(8.0, 20_000.0, "a distance", " m");
    const HEIGHT: Limits = Limits::within(0.2, 60.0, "a height", " m");
    let mut fields = Fields::open(node, "Eye", desk)?;
    let bearing = fields.need("bearing", |node, desk| BEARING.read(node, desk), desk);
    let both = fields.node("miles").is_some() && fields.node("metres").is_some();
    let usual = NauticalMiles(0.25).metres().0;
    let miles = fields.or("miles", |node, desk| MILES.read(node, desk).map(Some), None, desk);
    let metres = fields.or("metres", |node, desk| METRES.read(node, desk).map(Some), None, desk);
    let height = fields.or("height", |node, desk| HEIGHT.read(node, desk).map(Some), None, desk);
    let head = fields.head();
    fields.finish(desk);
    if both {
        desk.fault(head, "`Eye` says its distance twice", "keep `miles` or `metres`");
        return None;
    }
    let of_miles = miles?.map(|miles| NauticalMiles(miles).metres().0);
    Some(Eye { bearing: bearing?, metres: of_miles.or(metres?).unwrap_or(usual), height: height? })
}

/// Where the fields of a step stand, for what is found amiss in them together.
struct Spans {
    boat: Span,
    fit: Span,
    status: Span,
    lies: Span,
    eye: Span,
}

fn situation(carried: &Carried, spans: &Spans, desk: &mut Desk) -> Option<Situation> {
    let Some((boat, scene)) = &carried.boat else {
        desk.fault(spans.boat, "the first step does not say which boat", format!("add `boat: \"{}\"` to it", BOATS[0]));
        return None;
    };
    let fit = fit(carried.fit.as_deref(), boat, scene, spans.fit, desk)?;
    let propulsion = scene.vessel.propulsion;
    let status = carried.status.unwrap_or(Status::UnderWay).plain(propulsion);
    if !scene.fits[fit].lamps.iter().any(|lamp| lamp.lit.contains(&status)) {
        let what = format!("no lamp of \"{}\" is lit when she is {}", scene.fits[fit].name, status.in_words());
        desk.fault(spans.status, what, "choose another status or fit");
        return None;
    }
    steers(carried, scene, spans.lies, desk)?;
    let eye = carried.eye.unwrap_or(Eye { bearing: 0.0, metres: NauticalMiles(0.25).metres().0, height: None });
    if eye.metres < scene.vessel.length.0 {
        desk.fault(spans.eye, "the eye is nearer than the boat is long", "put it further off");
        return None;
    }
    let mut scene = Shared::clone(scene);
    if let Some(visibility) = carried.visibility {
        Shared::make_mut(&mut scene).conditions.visibility = NauticalMiles(visibility);
    }
    let height = eye.height.map(Metres).or(scene.conditions.eyes.first().copied()).unwrap_or(Metres(2.0));
    let station = Station { bearing: Bearing::new(eye.bearing), distance: Metres(eye.metres), eye: height };
    Some(Situation { scene, fit, status, pose: carried.lies.pose, attitude: carried.lies.attitude, station })
}

fn fit(name: Option<&str>, boat: &str, scene: &Scene, span: Span, desk: &mut Desk) -> Option<usize> {
    let names: Vec<&str> = scene.fits.iter().map(|fit| fit.name.as_str()).collect();
    let Some(name) = name else {
        let what = format!("the step does not say which fit of {boat}");
        desk.fault(span, what, choice_names("", &names, "add `fit`; the choice is"));
        return None;
    };
    let known = names.iter().position(|known| *known == name);
    if known.is_none() {
        let what = format!("{boat} has no fit \"{}\"", crate::boat::read::shortened(name));
        desk.fault(span, what, choice_names(name, &names, "the choice is"));
    }
    known
}

/// Whether she can turn her outboard as far as a step has her.
fn steers(carried: &Carried, scene: &Scene, span: Span, desk: &mut Desk) -> Option<()> {
    let Some(steering) = carried.lies.pose.steering else { return Some(()) };
    let joint = super::change::steering(scene);
    match joint {
        None => desk.fault(span, "she has no outboard to steer", "leave `steer` out"),
        Some((least, most)) if !(least..=most).contains(&steering) => {
            desk.fault(span, format!("her outboard turns from {least} to {most} degrees"), "steer within that");
        }
        Some(_) => return Some(()),
    }
    None
}
