//! Taking hold of what is chosen, in the picture: along the boat, athwart, up, over the deck, and round.
//!
//! Takes the pointer and the scene; gives handles as places in the picture, and messages of [`Work`], one step for each
//! pull. Must never change anything itself, and never draw.

use bevy::{ecs::system::SystemParam, prelude::*, window::PrimaryWindow};
use glam::DVec3;

use super::{
    Canvas, Choice, Known, Rig, View, Work, Workbench,
    frame::drawn,
    hands::Taken,
    nudge::{spots_of, together},
};
use crate::{
    boat::{Height, Place, Scene},
    edit::{Edit, Figure, Spot, Subject, places, snap},
    measure::Degrees,
    survey::Stance,
};

/// Which way a handle pulls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Hold {
    Forward,
    Athwart,
    Up,
    /// Over the deck, or at whatever height it stands.
    Deck,
    /// Round, as seen from above.
    Turn,
}

impl Hold {
    /// In words, for whoever hovers over it.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Forward => "forward, aft",
            Self::Athwart => "to port, to starboard",
            Self::Up => "up, down",
            Self::Deck => "over the deck",
            Self::Turn => "turn",
        }
    }

    fn axis(self) -> Option<DVec3> {
        match self {
            Self::Forward => Some(DVec3::X),
            Self::Athwart => Some(DVec3::NEG_Y),
            Self::Up => Some(DVec3::Z),
            Self::Deck | Self::Turn => None,
        }
    }
}

/// What a handle moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Thing {
    Spot(Spot),
    /// All places of a part together.
    Part(usize),
    /// Turns it where it stands.
    Turned(Subject),
}

/// A handle in the picture: a stroke to take hold of, or a point where both ends are one. Logical pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handle {
    pub thing: Thing,
    pub hold: Hold,
    pub from: Vec2,
    pub to: Vec2,
    /// Where it pulls at, vessel frame.
    origin: DVec3,
}

impl Handle {
    /// How far a pointer is from it, logical pixels.
    fn off(&self, pointer: Vec2) -> f32 {
        let way = self.to - self.from;
        let along = (pointer - self.from).dot(way) / way.length_squared().max(1e-6);
        // The inner part of a stroke is left to what it starts from.
        let least = if self.from == self.to { 0.0 } else { 0.35 };
        (self.from + way * along.clamp(least, 1.0)).distance(pointer)
    }
}

/// What a pull was drawn to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Caught {
    Centreline,
    Deck,
    /// A bar of the part of this index.
    Bar(usize),
    Parallel,
}

/// What of the chosen thing can be taken hold of now, what the pointer is over, and what is held.
#[derive(Resource, Clone, Debug, Default)]
pub struct Grip {
    pub handles: Vec<Handle>,
    pub over: Option<Handle>,
    held: Option<Pull>,
}

impl Grip {
    /// The handle that is held, and what it was drawn to.
    pub fn held(&self) -> Option<(&Handle, Option<Caught>)> {
        self.held.as_ref().map(|pull| (&pull.handle, pull.caught))
    }

    /// Whether the pointer has something else to do than to turn the picture.
    pub fn is_busy(&self) -> bool {
        self.held.is_some()
    }
}

/// Length of a stroke, and where the knob that turns stands, logical pixels.
const STROKE: f64 = 62.0;
const KNOB: f64 = 92.0;
/// How near the pointer must come.
const REACH: f32 = 10.0;
/// How far the pointer strays before a pull begins.
const STRAY: f32 = 3.0;
/// Moves and turns go by these unless Alt is held.
const STEP: f64 = 0.005;
const TURN_STEP: f64 = 0.5;
/// How near the centreline, the deck and a bar draw, metres, and the centreline's direction, degrees.
const TO_CENTRELINE: f64 = 0.03;
const TO_DECK: f64 = 0.02;
const TO_BAR: f64 = 0.05;
const TO_PARALLEL: Degrees = Degrees(3.0);

/// How the picture is taken.
pub struct Lens<'a> {
    pub rig: &'a Rig,
    /// Logical pixels.
    pub size: Vec2,
    pub stance: &'a Stance,
}

impl Lens<'_> {
    fn project(&self, point: DVec3) -> Option<Vec2> {
        self.rig.project(self.size, drawn(self.stance.level(point)))
    }

    /// The line from the eye through a place in the picture, vessel frame.
    pub fn line(&self, at: Vec2) -> (DVec3, DVec3) {
        let (from, way) = self.rig.line(self.size, at);
        let start = self.stance.aboard(from);
        (start, (self.stance.aboard(from + way) - start).normalize())
    }

    /// Metres that a logical pixel spans at a point.
    fn metres(&self, point: DVec3) -> f64 {
        let far = f64::from(drawn(self.stance.level(point)).distance(self.rig.eye));
        far * 2.0 * f64::from(self.rig.field_of_view / 2.0).tan() / f64::from(self.size.y.max(1.0))
    }
}

/// Every handle of what is chosen.
pub fn handles(scene: &Scene, subject: Subject, lens: &Lens) -> Vec<Handle> {
    let mut all = Vec::new();
    let mut strokes = |thing: Thing, origin: DVec3, arrows: bool| {
        let Some(from) = lens.project(origin) else { return };
        all.push(Handle { thing, hold: Hold::Deck, from, to: from, origin });
        if !arrows {
            return;
        }
        for hold in [Hold::Forward, Hold::Athwart, Hold::Up] {
            let axis = hold.axis().unwrap_or_default() * STROKE * lens.metres(origin);
            // An axis that points at the eye cannot be pulled along.
            if let Some(to) = lens.project(origin + axis).filter(|to| to.distance(from) > 12.0) {
                all.push(Handle { thing, hold, from, to, origin });
            }
        }
    };
    match subject {
        Subject::Lamp(at) => {
            let posed = lens.stance.posed().lamps.get(at.lamp);
            if let (Some(posed), Some(_)) = (posed, Spot::Lamp(at).of(scene)) {
                strokes(Thing::Spot(Spot::Lamp(at)), posed.centre, true);
            }
        }
        Subject::Part(part) => {
            let Some(kind) = scene.parts.get(part).map(|part| &part.kind) else { return all };
            let spots: Vec<DVec3> = places(kind).iter().map(|place| scene.vessel.locate(place)).collect();
            match spots.as_slice() {
                [] => {}
                [one] => strokes(Thing::Spot(Spot::Part { part, nth: 0 }), *one, true),
                many => {
                    let middle = many.iter().sum::<DVec3>() / many.len() as f64;
                    strokes(Thing::Part(part), middle, true);
                    for (nth, spot) in many.iter().enumerate() {
                        strokes(Thing::Spot(Spot::Part { part, nth }), *spot, false);
                    }
                }
            }
        }
        Subject::Scene | Subject::Fit(_) => {}
    }
    all.extend(knob(scene, subject, lens));
    all
}

/// The knob that turns it, on the side to which it looks.
fn knob(scene: &Scene, subject: Subject, lens: &Lens) -> Option<Handle> {
    let yaw = Figure::Yaw.of(scene, subject)?;
    let (origin, ahead) = match subject {
        Subject::Lamp(at) => {
            let lamp = lens.stance.posed().lamps.get(at.lamp)?;
            (lamp.centre, lamp.frame.x_axis.with_z(0.0).try_normalize()?)
        }
        Subject::Part(part) => {
            let place = places(&scene.parts.get(part)?.kind).first().copied()?;
            (scene.vessel.locate(&place), DVec3::new(yaw.to_radians().cos(), -yaw.to_radians().sin(), 0.0))
        }
        Subject::Scene | Subject::Fit(_) => return None,
    };
    let to = lens.project(origin + ahead * KNOB * lens.metres(origin))?;
    let thing = Thing::Turned(subject);
    Some(Handle { thing, hold: Hold::Turn, from: to, to, origin })
}

/// The handle that is nearest to the pointer, when any is near; a point goes before the strokes that start from it.
pub fn handle_at(handles: &[Handle], pointer: Vec2) -> Option<&Handle> {
    let near = handles.iter().map(|handle| (handle, handle.off(pointer))).filter(|(_, off)| *off < REACH);
    near.min_by(|one, other| one.1.total_cmp(&other.1)).map(|(handle, _)| handle)
}

/// A pull under way.
#[derive(Clone, Debug)]
struct Pull {
    handle: Handle,
    /// Where the pointer took hold; until it has strayed from there nothing is moved.
    taken: Vec2,
    /// Where the line of sight met what it pulls along when it was taken, vessel frame.
    grabbed: DVec3,
    /// Every place as it was.
    before: Vec<(Spot, Place)>,
    /// The turn as it was.
    yaw: f64,
    caught: Option<Caught>,
    last: Option<Edit>,
}

impl Pull {
    fn begin(handle: Handle, scene: &Scene, lens: &Lens, pointer: Vec2) -> Option<Self> {
        let grabbed = met(&handle, lens.line(pointer))?;
        let before = match handle.thing {
            Thing::Spot(spot) => vec![(spot, spot.of(scene)?)],
            Thing::Part(part) => spots_of(scene, Subject::Part(part)),
            Thing::Turned(_) => Vec::new(),
        };
        let yaw = match handle.thing {
            Thing::Turned(subject) => Figure::Yaw.of(scene, subject)?,
            Thing::Spot(_) | Thing::Part(_) => 0.0,
        };
        Some(Self { handle, taken: pointer, grabbed, before, yaw, caught: None, last: None })
    }

    /// What is to be done with the pointer here; `None` where nothing new is.
    fn to(&mut self, scene: &Scene, lens: &Lens, pointer: Vec2, free: bool) -> Option<Edit> {
        if self.last.is_none() && pointer.distance(self.taken) < STRAY {
            return None;
        }
        let here = met(&self.handle, lens.line(pointer))?;
        let (edit, caught) = match self.handle.thing {
            Thing::Turned(subject) => self.turned(scene, subject, here, free),
            Thing::Spot(_) | Thing::Part(_) => self.moved(scene, here - self.grabbed, free)?,
        };
        self.caught = caught;
        (self.last.as_ref() != Some(&edit)).then(|| self.last.insert(edit).clone())
    }

    fn turned(&self, scene: &Scene, subject: Subject, here: DVec3, free: bool) -> (Edit, Option<Caught>) {
        let heading =
            |point: DVec3| -(point.y - self.handle.origin.y).atan2(point.x - self.handle.origin.x).to_degrees();
        let by = (heading(here) - heading(self.grabbed) + 180.0).rem_euclid(360.0) - 180.0;
        let plain = (self.yaw + by + 180.0).rem_euclid(360.0) - 180.0;
        let set = |to| Edit::Set { what: subject, figure: Figure::Yaw, to };
        if free {
            return (set(snap::to_step(plain, 0.01)), None);
        }
        let straight = match subject {
            Subject::Lamp(at) => at.of(scene).and_then(|lamp| {
                let mut turned = lamp.clone();
                turned.yaw = Degrees(plain);
                snap::parallel(scene, &turned, TO_PARALLEL)
            }),
            _ => (plain.abs() <= TO_PARALLEL.0).then_some(Degrees(0.0)),
        };
        match straight {
            Some(straight) => (set(straight.0), Some(Caught::Parallel)),
            None => (set(snap::to_step(plain, TURN_STEP)), None),
        }
    }

    fn moved(&self, scene: &Scene, by: DVec3, free: bool) -> Option<(Edit, Option<Caught>)> {
        let alone = self.before.len() == 1;
        let mut caught = None;
        let moves: Vec<Edit> = self
            .before
            .iter()
            .map(|(what, place)| {
                let (to, by_what) = self.moved_place(scene, *what, place, by, free || !alone);
                caught = by_what;
                Edit::Move { what: *what, to }
            })
            .collect();
        Some((together(scene, moves)?, caught))
    }

    fn moved_place(&self, scene: &Scene, what: Spot, place: &Place, by: DVec3, free: bool) -> (Place, Option<Caught>) {
        let mut to = *place;
        let step = if free { 0.001 } else { STEP };
        match self.handle.hold {
            Hold::Up => {
                let (Height::AboveDeck(up) | Height::AboveGunwale(up) | Height::AboveWaterline(up)) = &mut to.height;
                *up = snap::to_step(*up + by.z, step);
            }
            Hold::Forward | Hold::Athwart | Hold::Deck => {
                // Of a lamp that keeps its height over the deck, the camber takes care.
                if self.handle.hold != Hold::Athwart {
                    to.forward = snap::to_step(to.forward + by.x, step);
                }
                if self.handle.hold != Hold::Forward {
                    to.starboard = snap::to_step(to.starboard - by.y, step);
                }
            }
            Hold::Turn => {}
        }
        if free { (to, None) } else { self.drawn_to(scene, what, to) }
    }

    /// The place that it is drawn to, if any is near.
    fn drawn_to(&self, scene: &Scene, what: Spot, to: Place) -> (Place, Option<Caught>) {
        match (self.handle.hold, to.height) {
            (Hold::Up, Height::AboveDeck(up)) if up.abs() <= TO_DECK => {
                return (Place { height: Height::AboveDeck(0.0), ..to }, Some(Caught::Deck));
            }
            (Hold::Athwart | Hold::Deck, _) => {
                if let Some(straight) = snap::on_centreline(&to, TO_CENTRELINE) {
                    return (straight, Some(Caught::Centreline));
                }
            }
            _ => {}
        }
        let own = if let Spot::Part { part, .. } = what { Some(part) } else { None };
        let bar = snap::on_bar(scene, scene.vessel.locate(&to), TO_BAR).filter(|bar| Some(bar.part) != own);
        match bar {
            // Right over the bar, at the height that it has.
            Some(bar) if self.handle.hold == Hold::Deck => {
                (Place { forward: bar.axis.x, starboard: -bar.axis.y, ..to }, Some(Caught::Bar(bar.part)))
            }
            _ => (to, None),
        }
    }
}

/// Where a line of sight meets what a handle pulls along: its axis, or the level it is on. Vessel frame.
fn met(handle: &Handle, (from, way): (DVec3, DVec3)) -> Option<DVec3> {
    let origin = handle.origin;
    match handle.hold.axis() {
        Some(axis) => {
            // The point of the axis that comes nearest to the line.
            let slant = axis.dot(way);
            let rest = 1.0 - slant * slant;
            let off = from - origin;
            (rest > 1e-4).then(|| origin + axis * ((off.dot(axis) - slant * off.dot(way)) / rest))
        }
        None => {
            let far = (origin.z - from.z) / way.z;
            (far.is_finite() && far > 0.0 && far < 1e3).then(|| from + way * far)
        }
    }
}

/// What is needed to know the handles.
#[derive(SystemParam)]
pub(super) struct Picture<'w, 's> {
    window: Option<Single<'w, 's, &'static Window, With<PrimaryWindow>>>,
    rig: Res<'w, Rig>,
    canvas: Res<'w, Canvas>,
    pub choice: Res<'w, Choice>,
    pub known: Res<'w, Known>,
    bench: Option<Res<'w, Workbench>>,
}

impl Picture<'_, '_> {
    pub fn pointer(&self) -> Option<Vec2> {
        self.window.as_ref()?.cursor_position()
    }

    /// Whether a click can choose something aboard. Afloat it is a miss more often than a wish.
    pub fn may_choose(&self) -> bool {
        self.bench.is_some() && self.choice.view != View::Afloat && !self.choice.split
    }

    pub fn lens(&self) -> Lens<'_> {
        let scale = self.window.as_ref().map_or(1.0, |window| window.scale_factor());
        Lens { rig: &self.rig, size: self.canvas.0 / scale, stance: &self.known.stance }
    }

    /// What is chosen, where it can be taken hold of: aloft and on deck, one fit alone.
    fn subject(&self) -> Option<Subject> {
        let subject = self.bench.as_ref()?.chosen()?;
        let here = !matches!(subject, Subject::Lamp(at) if at.fit != self.choice.fit);
        (here && self.may_choose()).then_some(subject)
    }
}

/// Takes hold, pulls and lets go.
pub(super) fn grip(
    taken: Taken,
    buttons: Res<ButtonInput<MouseButton>>,
    keys: Res<ButtonInput<KeyCode>>,
    picture: Picture,
    mut grip: ResMut<Grip>,
    mut works: MessageWriter<Work>,
) {
    let (scene, lens) = (picture.known.scene(), picture.lens());
    let quiet = grip.bypass_change_detection();
    let handles = picture.subject().map_or_else(Vec::new, |subject| handles(scene, subject, &lens));
    let pointer = picture.pointer();
    let over = pointer.filter(|_| !taken.pointer()).and_then(|pointer| handle_at(&handles, pointer).copied());
    let mut changed = quiet.handles != handles || quiet.over != over;
    (quiet.handles, quiet.over) = (handles, over);
    if buttons.just_pressed(MouseButton::Left)
        && let (Some(handle), Some(pointer)) = (over, pointer)
    {
        quiet.held = Pull::begin(handle, scene, &lens, pointer);
        if quiet.held.is_some() {
            works.write(Work::BeginDrag);
        }
        changed = true;
    }
    let free = keys.any_pressed([KeyCode::AltLeft, KeyCode::AltRight]);
    if let (Some(pull), Some(pointer)) = (&mut quiet.held, pointer) {
        let was = pull.caught;
        let edit = pull.to(scene, &lens, pointer, free);
        changed |= was != pull.caught;
        works.write_batch(edit.map(Work::Do));
    }
    if quiet.held.is_some() && !buttons.pressed(MouseButton::Left) {
        quiet.held = None;
        works.write(Work::EndDrag);
        changed = true;
    }
    if changed {
        grip.set_changed();
    }
}
