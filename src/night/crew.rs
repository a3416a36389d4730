//! The things aboard and around as entities: hull, parts and lamps by name, and the ring's thirty-two observers, each
//! with what it sees.
//!
//! Takes [`Known`] and the [`Choice`]; gives entities that the drawing plugins dress. Runs without any rendering.

use std::collections::HashMap;

use bevy::{camera::visibility::RenderLayers, prelude::*};

use super::{
    Choice, Judged, Known, Steps,
    known::{Both, Haste},
};
use crate::{
    boat::{Owner, Role, shape::Shape},
    light::Colours,
    measure::{Bearing, Metres},
    rules::Expected,
    survey::{Station, showing},
};

/// Which half of the picture something is in, when two fits are seen side by side; seen alone, the first is all of it.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Half {
    First,
    Second,
}

impl Half {
    pub const BOTH: [Self; 2] = [Self::First, Self::Second];

    /// The layer that only its own camera draws.
    pub fn layer(self) -> RenderLayers {
        RenderLayers::layer(self as usize)
    }
}

/// A solid body of the boat, and whose it is.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
pub struct Body(pub Owner);

/// A lamp of the chosen fit.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
pub struct FittedLamp {
    /// Index into the fit's lamps.
    pub index: usize,
    pub role: Role,
    /// Whether it is switched on in the chosen status.
    pub lit: bool,
}

/// One of the ring's observers.
#[derive(Component, Clone, Copy, Debug, PartialEq)]
pub struct Observer {
    /// 0 right ahead, clockwise to 31.
    pub number: usize,
    pub bearing: Bearing,
    /// From midships.
    pub distance: Metres,
    pub eye: Metres,
    /// The colours he makes out.
    pub showing: Colours,
    /// What he must and may see; `None` while the survey runs or when the rules know no display for her.
    pub expected: Option<Expected>,
}

impl Observer {
    /// What he must see and does not.
    pub fn missing(&self) -> Colours {
        self.expected.map_or(Colours::NONE, |expected| expected.missing(self.showing))
    }

    /// What he sees and must not.
    pub fn extra(&self) -> Colours {
        self.expected.map_or(Colours::NONE, |expected| expected.extra(self.showing))
    }
}

/// Keeps the entities true to what is known.
pub struct CrewPlugin;

impl Plugin for CrewPlugin {
    fn build(&self, app: &mut App) {
        app.add_systems(Startup, muster).add_systems(Update, (man, watch).chain().in_set(Steps::Tell));
    }
}

/// Sets the ring out; what each sees comes with the first update.
fn muster(mut commands: Commands, choice: Res<Choice>) {
    for (number, bearing) in Bearing::points().enumerate() {
        commands.spawn((
            Name::new(format!("observer {}", bearing.in_words())),
            Observer {
                number,
                bearing,
                distance: choice.watch.distance,
                eye: choice.watch.eye,
                showing: Colours::NONE,
                expected: None,
            },
            Transform::default(),
            Visibility::default(),
        ));
    }
}

/// Hull, parts and lamps.
type Aboard = Or<(With<Body>, With<FittedLamp>)>;

/// Whose shapes each half shows.
type Shapes = HashMap<Owner, Vec<Shape>>;

/// Puts hull, parts and lamps of the known boat in place of those before. While something is moved under the hand, what
/// has not moved stays, in the light that it was in; when the hand rests, all of it is lit anew.
fn man(
    mut commands: Commands,
    both: Both,
    haste: Res<Haste>,
    old: Query<(Entity, &Half, Option<&Body>), Aboard>,
    mut before: Local<[Shapes; 2]>,
) {
    let rested = haste.is_changed() && !haste.0;
    for half in Half::BOTH.into_iter().filter(|half| both.is_changed(*half) || rested) {
        let now = both.of(half).map_or_else(Shapes::new, shapes);
        let before = &mut before[half as usize];
        let stays = |owner: &Owner| haste.0 && before.get(owner) == now.get(owner);
        for (entity, _, body) in old.iter().filter(|(_, old, _)| **old == half) {
            if !body.is_some_and(|body| stays(&body.0)) {
                commands.entity(entity).despawn();
            }
        }
        if let Some(known) = both.of(half) {
            board(&mut commands, known, half, stays);
        }
        *before = now;
    }
}

fn shapes(known: &Known) -> Shapes {
    let mut shapes = Shapes::new();
    for solid in &known.stance.posed().solids {
        shapes.entry(solid.owner).or_default().push(solid.shape.clone());
    }
    shapes
}

fn board(commands: &mut Commands, known: &Known, half: Half, stays: impl Fn(&Owner) -> bool) {
    let (scene, fit) = (known.scene(), known.fit());
    let mut owners: Vec<Owner> = known.stance.posed().solids.iter().map(|solid| solid.owner).collect();
    owners.dedup();
    let place = (super::frame::lying(&known.stance), Visibility::default(), half, half.layer());
    for owner in owners.into_iter().filter(|owner| !stays(owner)) {
        commands.spawn((Name::new(scene.owner_name(fit, owner)), Body(owner), place.clone()));
    }
    for (index, lamp) in fit.lamps.iter().enumerate() {
        let fitted = FittedLamp { index, role: lamp.role, lit: lamp.lit.contains(&known.status()) };
        commands.spawn((Name::new(lamp.name.clone()), fitted, place.clone()));
    }
}

/// What each observer sees and ought to see.
fn watch(
    choice: Res<Choice>,
    known: Res<Known>,
    judged: Res<Judged>,
    mut before: Local<Option<(Metres, Metres)>>,
    mut observers: Query<&mut Observer>,
) {
    let (distance, eye) = (choice.watch.distance, choice.watch.eye);
    let moved = *before != Some((distance, eye));
    if !(moved || known.is_changed() || judged.is_changed()) {
        return;
    }
    *before = Some((distance, eye));
    for mut observer in &mut observers {
        let station = Station { bearing: observer.bearing, distance, eye };
        let showing = showing(&known.look(station.point(known.stance.middle())));
        let expected = judged
            .0
            .as_ref()
            .and_then(|verdict| verdict.judgement.display.map(|_| verdict.judgement.expected(observer.bearing)));
        observer.set_if_neq(Observer { distance, eye, showing, expected, ..*observer });
    }
}
