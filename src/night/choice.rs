//! What the user has chosen, and the one way to change it: messages of [`Act`].
//!
//! Keys, panel buttons and tests all send the same acts. Takes acts; gives the [`Choice`]. Must never compute light.

use std::sync::Arc;

use bevy::prelude::*;

use super::{Steps, Workbench};
use crate::{
    boat::{Attitude, Pose, Scene, Status},
    light::{Background, Transmissivity, Weather},
    measure::{Bearing, DEGREES_PER_POINT, Degrees, Metres, NauticalMiles},
    survey::Station,
};

/// The scene that is shown.
#[derive(Resource, Clone, Debug)]
pub struct Shown(pub Arc<Scene>);

/// Where the picture is taken from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum View {
    /// From above, turning round the boat.
    #[default]
    Aloft,
    /// From an observer's eye on the water.
    Afloat,
    /// Close by, turning round her lamps.
    Deck,
}

impl View {
    pub const ALL: [Self; 3] = [Self::Aloft, Self::Afloat, Self::Deck];

    /// The name used on the command line and in panels.
    pub fn key(self) -> &'static str {
        match self {
            Self::Aloft => "aloft",
            Self::Afloat => "afloat",
            Self::Deck => "deck",
        }
    }
}

/// What the observer afloat looks through.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Sight {
    /// The bare eye: a view 40 degrees high.
    #[default]
    Eye,
    /// Glasses that magnify seven times.
    Glasses,
    /// As near as fills the picture with the boat, however far off she is.
    Filled,
}

impl Sight {
    /// In words, as it stands on a button.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Eye => "bare eye",
            Self::Glasses => "glasses x7",
            Self::Filled => "boat fills the view",
        }
    }

    fn next(self) -> Self {
        match self {
            Self::Eye => Self::Glasses,
            Self::Glasses => Self::Filled,
            Self::Filled => Self::Eye,
        }
    }
}

/// A place to look from on a ball round what is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orbit {
    /// Where the eye is, seen from the boat.
    pub bearing: Bearing,
    /// How high the eye stands, in `[5, 88]`.
    pub up: Degrees,
    /// Metres off.
    pub away: Metres,
}

/// Where the observer afloat is, and with it the distance and height of eye of the whole ring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Watch {
    pub bearing: Bearing,
    /// From midships.
    pub distance: Metres,
    /// Above the water.
    pub eye: Metres,
}

impl Watch {
    /// The same observer's place in the survey's terms.
    pub fn station(self) -> Station {
        Station { bearing: self.bearing, distance: self.distance, eye: self.eye }
    }
}

/// What the night is like. The rules ask nothing of it; what is made out does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sky {
    /// How far off things are made out by day; `None`: as the scene says.
    pub visibility: Option<NauticalMiles>,
    /// What shines behind her.
    pub background: Background,
    pub moon: bool,
}

impl Default for Sky {
    /// An open sea under a moon.
    fn default() -> Self {
        Self { visibility: None, background: Background::Dark, moon: true }
    }
}

impl Sky {
    pub fn visibility(&self, scene: &Scene) -> NauticalMiles {
        self.visibility.unwrap_or(scene.conditions.visibility)
    }

    /// The air and the eye in it.
    pub fn weather(&self, scene: &Scene) -> Weather {
        Weather {
            transmissivity: Transmissivity::from_visibility(self.visibility(scene)),
            threshold: self.background.threshold(),
        }
    }
}

/// Everything the user has chosen.
#[derive(Resource, Clone, Debug, PartialEq)]
pub struct Choice {
    /// Index into [`Scene::fits`].
    pub fit: usize,
    pub status: Status,
    /// A status that was asked for and that the scene does not list; it may be chosen like those that are.
    pub asked: Option<Status>,
    pub pose: Pose,
    pub attitude: Attitude,
    pub view: View,
    pub sight: Sight,
    /// The observer afloat: bearing, distance from midships and height of eye. The whole ring shares the last two.
    pub watch: Watch,
    pub aloft: Orbit,
    pub deck: Orbit,
    /// On deck: whether what is chosen aboard is looked at from close by, to see what is in its way.
    pub close: bool,
    /// Whether the ring of observers is drawn.
    pub ring: bool,
    /// Whether the overtaking sector is drawn.
    pub sector: bool,
    /// Whether the band of what must show and does, and the fan of a chosen lamp, are drawn.
    pub arcs: bool,
    /// Whether the sea moves, and in a swell the eye afloat with it.
    pub sea: bool,
    pub sky: Sky,
    /// Whether the next fit is seen beside the chosen one, both by the same eye.
    pub split: bool,
    /// Whether all is shown in shades of red, for use aboard.
    pub red: bool,
    /// Whether the list of keys is wanted.
    pub help: bool,
}

/// Nearest and farthest an observer may be.
const NEAREST: Metres = Metres(3.0);
const FARTHEST: NauticalMiles = NauticalMiles(6.0);
/// Nor nearer to her ends than this.
const CLEAR_OF_HER: Metres = Metres(1.0);
/// Thickest and clearest air.
const VISIBILITIES: (f64, f64) = (0.5, 20.0);
/// Lowest and highest eye.
const EYES: (f64, f64) = (0.3, 30.0);

impl Choice {
    /// What is chosen when a scene opens: its first fit, under way, from aloft.
    pub fn opening(scene: &Scene) -> Self {
        let length = scene.vessel.length.0;
        Self {
            fit: 0,
            status: Status::UnderWay,
            asked: None,
            pose: Pose::default(),
            attitude: Attitude::default(),
            view: View::Aloft,
            sight: Sight::Eye,
            watch: Watch {
                bearing: Bearing::new(4.0 * DEGREES_PER_POINT),
                distance: scene.conditions.far.metres(),
                eye: scene.conditions.eyes.first().copied().unwrap_or(Metres(2.0)),
            },
            // Far enough that the ring finds room between the panels.
            aloft: Orbit { bearing: Bearing::new(32.0), up: Degrees(42.0), away: Metres(6.0 * length) },
            deck: Orbit { bearing: Bearing::new(40.0), up: Degrees(16.0), away: Metres(1.35 * length) },
            close: false,
            ring: true,
            sector: true,
            arcs: true,
            sea: true,
            sky: Sky::default(),
            split: false,
            red: false,
            help: false,
        }
    }

    /// What is chosen when another scene opens: as for the first, but what is drawn round the boat stays as it is.
    pub fn for_another(&self, scene: &Scene) -> Self {
        let sky = Sky { visibility: None, ..self.sky };
        Self { ring: self.ring, sector: self.sector, sea: self.sea, sky, ..Self::opening(scene) }
    }

    /// The fit that is seen beside the chosen one.
    pub fn beside(&self, scene: &Scene) -> Option<usize> {
        (self.split && scene.fits.len() > 1).then(|| (self.fit + 1) % scene.fits.len())
    }

    /// How near an observer may come: three metres from midships, and a metre from her ends.
    pub fn nearest(scene: &Scene) -> Metres {
        Metres(NEAREST.0.max(scene.vessel.length.0 / 2.0 + CLEAR_OF_HER.0))
    }

    /// Every status that may be chosen.
    pub fn statuses(&self, scene: &Scene) -> Vec<Status> {
        let asked = self.asked.filter(|asked| !scene.vessel.statuses.contains(asked));
        scene.vessel.statuses.iter().copied().chain(asked).collect()
    }

    /// Number of the ring's observer nearest to the chosen bearing, 0 to 31 clockwise from right ahead.
    pub fn observer(&self) -> usize {
        // In [0, 32) after the remainder, so the cast is exact.
        self.watch.bearing.in_points().round().rem_euclid(32.0) as usize
    }
}

/// Everything that can be done.
#[derive(Message, Clone, Copy, Debug, PartialEq)]
pub enum Act {
    /// The next fit of the scene; the eye stays where it is.
    NextFit,
    /// A fit by its index; nothing happens when there is none such.
    Fit(usize),
    /// Under way to at anchor, and back.
    OtherStatus,
    Status(Status),
    /// To a place to stand; on deck already, close to what is chosen, and back.
    View(View),
    /// To the ring's observer of this number, 0 to 31 clockwise from right ahead.
    Observer(usize),
    /// So many observers further clockwise.
    NextObserver(isize),
    /// Round the boat, degrees clockwise; in [`View::Afloat`] the observer walks.
    Round(f64),
    /// Eye up or down, degrees; afloat it changes the distance instead, up being nearer.
    Raise(f64),
    /// Distance times this.
    Away(f64),
    /// The observers' distance.
    Distance(Metres),
    /// The observers' height of eye.
    EyeHeight(Metres),
    /// The next of bare eye, glasses, filled view.
    NextSight,
    Sight(Sight),
    Attitude(Attitude),
    Pose(Pose),
    /// Ring shown or hidden.
    Ring,
    /// Overtaking sector shown or hidden.
    Sector,
    /// Band and fan shown or hidden.
    Arcs,
    /// The sea moves or is held.
    Sea,
    /// How clear the air is.
    Visibility(NauticalMiles),
    /// What shines behind her.
    Background(Background),
    /// Moon or none.
    Moon,
    /// The next fit beside the chosen one, or the chosen one alone.
    Split,
    /// All in shades of red, or in its colours.
    Red,
    /// List of keys shown or hidden.
    Help,
    Leave,
}

/// Turns acts into choices.
pub struct ChoicePlugin;

impl Plugin for ChoicePlugin {
    fn build(&self, app: &mut App) {
        app.add_message::<Act>().add_message::<AppExit>().add_systems(Update, perform.in_set(Steps::Act));
    }
}

pub(super) fn perform(
    mut acts: MessageReader<Act>,
    shown: Res<Shown>,
    bench: Option<Res<Workbench>>,
    mut choice: ResMut<Choice>,
    mut leave: MessageWriter<AppExit>,
) {
    for act in acts.read() {
        let mut changed = choice.clone();
        changed.perform(*act, &shown.0);
        choice.set_if_neq(changed);
        // Where a scene is worked on, what is not saved is asked about first.
        if *act == Act::Leave && bench.is_none() {
            leave.write(AppExit::Success);
        }
    }
}

impl Choice {
    /// The choice after an act.
    pub fn perform(&mut self, act: Act, scene: &Scene) {
        match act {
            Act::NextFit => self.fit = (self.fit + 1) % scene.fits.len().max(1),
            Act::Fit(fit) if fit < scene.fits.len() => self.fit = fit,
            Act::OtherStatus => {
                let statuses = self.statuses(scene);
                let next = statuses.iter().position(|status| *status == self.status).map_or(0, |at| at + 1);
                self.status = statuses.get(next % statuses.len().max(1)).copied().unwrap_or(self.status);
            }
            Act::Status(status) => self.status = status,
            Act::View(view) => {
                self.close = view == View::Deck && self.view == View::Deck && !self.close;
                self.view = view;
            }
            Act::Observer(number) => self.go_to(number),
            Act::NextObserver(by) => {
                self.go_to((self.observer() as isize + by).rem_euclid(32).unsigned_abs());
            }
            Act::Round(degrees) => self.round(degrees),
            Act::Raise(degrees) => self.raise(degrees, scene),
            Act::Away(times) => self.away(times, scene),
            Act::Distance(distance) => self.stand_off(distance.0, scene),
            Act::EyeHeight(eye) => self.watch.eye = within(eye.0, EYES.0, EYES.1),
            Act::NextSight => self.sight = self.sight.next(),
            Act::Sight(sight) => self.sight = sight,
            Act::Attitude(attitude) => self.attitude = attitude,
            Act::Pose(pose) => self.pose = pose,
            Act::Ring => self.ring = !self.ring,
            Act::Sector => self.sector = !self.sector,
            Act::Arcs => self.arcs = !self.arcs,
            Act::Sea => self.sea = !self.sea,
            Act::Visibility(miles) => {
                let miles = within(miles.0, VISIBILITIES.0, VISIBILITIES.1).0;
                self.sky.visibility = Some(NauticalMiles(miles));
            }
            Act::Background(background) => self.sky.background = background,
            Act::Moon => self.sky.moon = !self.sky.moon,
            Act::Split => self.split = !self.split,
            Act::Red => self.red = !self.red,
            Act::Help => self.help = !self.help,
            Act::Fit(_) | Act::Leave => {}
        }
    }

    fn go_to(&mut self, number: usize) {
        self.watch.bearing = Bearing::new(number as f64 * DEGREES_PER_POINT);
        self.view = View::Afloat;
    }

    fn round(&mut self, degrees: f64) {
        match self.view {
            View::Afloat => self.watch.bearing = self.watch.bearing.turned(degrees),
            View::Aloft => self.aloft.bearing = self.aloft.bearing.turned(degrees),
            View::Deck => self.deck.bearing = self.deck.bearing.turned(degrees),
        }
    }

    fn stand_off(&mut self, distance: f64, scene: &Scene) {
        self.watch.distance = within(distance, Self::nearest(scene).0, FARTHEST.metres().0);
    }

    fn raise(&mut self, degrees: f64, scene: &Scene) {
        match self.view {
            // A step of the keys, three degrees, nears by about a tenth.
            View::Afloat => self.stand_off(self.watch.distance.0 * (-degrees / 30.0).exp(), scene),
            View::Aloft => self.aloft.up = Degrees((self.aloft.up.0 + degrees).clamp(8.0, 88.0)),
            View::Deck => self.deck.up = Degrees((self.deck.up.0 + degrees).clamp(5.0, 88.0)),
        }
    }

    fn away(&mut self, times: f64, scene: &Scene) {
        let length = scene.vessel.length.0;
        match self.view {
            View::Afloat => self.stand_off(self.watch.distance.0 * times, scene),
            View::Aloft => self.aloft.away = within(self.aloft.away.0 * times, 1.5 * length, 20.0 * length),
            View::Deck => self.deck.away = within(self.deck.away.0 * times, 0.2 * length, 2.0 * length),
        }
    }
}

/// A number that is none stays at the least.
fn within(value: f64, least: f64, most: f64) -> Metres {
    Metres(if value.is_nan() { least } else { value.clamp(least, most) })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::night::trial;

    #[test]
    fn switching_fits_leaves_the_eye_where_it_is() {
        let scene = trial::scene();
        let mut choice = Choice::opening(&scene);
        choice.perform(Act::Observer(5), &scene);
        let before = choice.clone();
        choice.perform(Act::NextFit, &scene);
        assert_eq!(choice, Choice { fit: 1, ..before.clone() });
        choice.perform(Act::NextFit, &scene);
        assert_eq!(choice, before);
    }

    #[test]
    fn the_observer_before_right_ahead_is_the_thirty_second() {
        let scene = trial::scene();
        let mut choice = Choice::opening(&scene);
        choice.perform(Act::Observer(0), &scene);
        choice.perform(Act::NextObserver(-1), &scene);
        assert_eq!(choice.observer(), 31);
        assert_eq!(choice.watch.bearing.degrees(), 348.75);
    }

    #[test]
    fn an_observer_comes_as_near_as_three_metres_and_never_aboard() {
        let mut scene = trial::scene();
        assert_eq!(Choice::nearest(&scene).0, scene.vessel.length.0 / 2.0 + 1.0);
        scene.vessel.length = Metres(3.9);
        let mut choice = Choice::opening(&scene);
        choice.perform(Act::View(View::Afloat), &scene);
        choice.perform(Act::Away(1e-9), &scene);
        assert_eq!(choice.watch.distance, Metres(3.0));
        choice.perform(Act::Distance(Metres(f64::NAN)), &scene);
        assert_eq!(choice.watch.distance, Metres(3.0));
    }
}
