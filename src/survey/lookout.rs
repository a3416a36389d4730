//! The boat's own lights as they hinder her lookout: what of each reaches the eyes of whoever is at the helm, and what
//! falls on the deck ahead that he sees.
//!
//! Takes a scene and its survey; gives lux, the boat at rest. Parts in view that are lit (cabin tops, rails) are not
//! counted, only the deck. Must never judge how much is too much.

use glam::DVec3;

use super::{LightId, Stance, Survey};
use crate::{
    boat::{Attitude, Height, PartKind, Place, Pose, Posture, Scene, Vessel},
    light::{Transmissivity, illuminance},
    measure::{Lux, Metres},
    shadow::Ray,
};

/// The greatest illuminance found, and where.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glow<T> {
    pub lux: Lux,
    /// `None` when no light comes at all.
    pub at: Option<T>,
    /// The light that gives the most of it.
    pub most: Option<LightId>,
}

impl<T> Default for Glow<T> {
    /// No light.
    fn default() -> Self {
        Self { lux: Lux(0.0), at: None, most: None }
    }
}

impl<T> Glow<T> {
    /// Keeps what lights give together at one place, if it is more than was found before.
    fn raise(&mut self, given: &[(LightId, Lux)], at: T) {
        let lux = Lux(given.iter().map(|(_, lux)| lux.0).sum());
        if lux > self.lux {
            let most = given.iter().max_by(|a, b| a.1.0.total_cmp(&b.1.0)).map(|(light, _)| *light);
            *self = Self { lux, at: Some(at), most };
        }
    }
}

/// One light as it hinders the lookout.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LookoutLight {
    pub light: LightId,
    /// On a plane that faces the lamp, for the eye turns to it; the worst of the helm's postures.
    pub eyes: Glow<Posture>,
    /// On the level deck where it is greatest.
    pub deck: Glow<Place>,
}

/// All lights of a survey as they hinder the lookout.
#[derive(Clone, Debug, PartialEq)]
pub struct Lookout {
    /// Who is at the helm: index into [`Scene::parts`].
    pub helm: usize,
    /// All lights together, in the posture where that is most.
    pub eyes: Glow<Posture>,
    /// All lights together, at the place where that is most.
    pub deck: Glow<Place>,
    /// In the order of [`Survey::lights`].
    pub lights: Vec<LookoutLight>,
}

/// Distance between the places on deck that are tried, metres, and the most of them along one line.
const STEP: f64 = 0.25;
const MOST_PLACES: f64 = 80.0;
/// How far above the deck light is measured, as by a lux meter laid on it, metres: clear of the deck's own surface.
const METER: f64 = 0.02;
/// Over a boat's length the air takes nothing.
const NO_AIR: Transmissivity = Transmissivity(1.0);

/// What her lit lights do to her lookout; `None` when there is nobody aboard. His own head is in the way of light from
/// behind him, whatever else stands there. The deck is looked at along the centreline and half-way to either gunwale,
/// from the helm to the stem, wherever a line of sight from his eyes is clear or passes only through panes.
pub fn lookout(scene: &Scene, survey: &Survey) -> Option<Lookout> {
    let (helm, at, postures) = helm(scene)?;
    let places = deck_ahead(&scene.vessel, at.forward);
    let dark =
        |one: &super::LightSurvey| LookoutLight { light: one.light, eyes: Glow::default(), deck: Glow::default() };
    let mut lookout = Lookout {
        helm,
        eyes: Glow::default(),
        deck: Glow::default(),
        lights: survey.lights.iter().map(dark).collect(),
    };
    for posture in postures {
        let Some(stance) = at_rest(survey, *posture, postures) else { continue };
        let eyes = scene.parts[helm].kind.eyes(&scene.vessel, *posture)?;
        let watch = Watch { stance, eyes };
        lookout.look(*posture, |light| watch.at_eyes(light));
        for place in &places {
            let point = scene.vessel.locate(place) + DVec3::Z * METER;
            if watch.sees(point) {
                lookout.light_deck(*place, |light| watch.on_deck(light, point));
            }
        }
    }
    Some(lookout)
}

impl Lookout {
    fn look(&mut self, posture: Posture, lux: impl Fn(LightId) -> Lux) {
        let given = self.given(lux);
        self.eyes.raise(&given, posture);
        for (one, lux) in self.lights.iter_mut().zip(&given) {
            one.eyes.raise(&[*lux], posture);
        }
    }

    fn light_deck(&mut self, place: Place, lux: impl Fn(LightId) -> Lux) {
        let given = self.given(lux);
        self.deck.raise(&given, place);
        for (one, lux) in self.lights.iter_mut().zip(&given) {
            one.deck.raise(&[*lux], place);
        }
    }

    fn given(&self, lux: impl Fn(LightId) -> Lux) -> Vec<(LightId, Lux)> {
        self.lights.iter().map(|one| (one.light, lux(one.light))).collect()
    }
}

/// Who keeps the lookout: the person that the scene names, or the first there is; where he is, and how.
fn helm(scene: &Scene) -> Option<(usize, &Place, &[Posture])> {
    let mut people = scene.parts.iter().enumerate().filter_map(|(index, part)| match &part.kind {
        PartKind::Person { at, postures, .. } => Some((index, at, postures.as_slice())),
        _ => None,
    });
    let named = scene.helm.as_ref().and_then(|name| people.clone().find(|one| scene.parts[one.0].name == *name));
    let (index, at, postures) = named.or_else(|| people.next())?;
    Some((index, at, if postures.is_empty() { &[Posture::Standing] } else { postures }))
}

/// The boat at rest with her people in a posture, from among the cases of a survey.
fn at_rest<'a>(survey: &'a Survey, posture: Posture, postures: &[Posture]) -> Option<&'a Stance> {
    if postures.first() == Some(&posture) {
        return Some(survey.rest());
    }
    let pose = Pose { posture: Some(posture), ..Pose::default() };
    let mut still = survey.cases.iter().filter(|case| case.stance.attitude() == Attitude::default());
    still.find(|case| case.pose == pose).map(|case| &case.stance)
}

/// Places on the deck ahead of the helm, as far as the stem.
fn deck_ahead(vessel: &Vessel, helm: f64) -> Vec<Place> {
    let ahead = (vessel.length.0 - helm).max(0.0);
    let step = (ahead / MOST_PLACES).max(STEP);
    // At most 80, so the cast is exact.
    (1..=(ahead / step + 1e-9) as u32)
        .flat_map(|n| {
            let forward = helm + f64::from(n) * step;
            let half = vessel.half_breadth(forward) / 2.0;
            [0.0, half, -half].map(|starboard| Place { forward, starboard, height: Height::AboveDeck(0.0) })
        })
        .collect()
}

/// Whoever is at the helm, in one posture.
struct Watch<'a> {
    stance: &'a Stance,
    /// In the vessel frame.
    eyes: DVec3,
}

impl Watch<'_> {
    fn at_eyes(&self, light: LightId) -> Lux {
        self.facing(light, self.eyes)
    }

    /// On the level deck: what falls aslant spreads over more of it.
    fn on_deck(&self, light: LightId, point: DVec3) -> Lux {
        let lamp = &self.stance.posed().lamps[light.lamp];
        let away = point - lamp.centre;
        let falls = -away.z / away.length().max(lamp.face.radius());
        // Most of the deck lies outside the beam of most lamps, and needs no rays.
        if falls <= 0.0 || lamp.optics.beams[light.beam].intensity(lamp.own(away)).0 <= 0.0 {
            return Lux(0.0);
        }
        Lux(self.facing(light, point).0 * falls)
    }

    /// On a plane that faces the lamp, at a point of the vessel frame.
    fn facing(&self, light: LightId, point: DVec3) -> Lux {
        let lamp = &self.stance.posed().lamps[light.lamp];
        let distance = Metres(lamp.centre.distance(point).max(lamp.face.radius()));
        illuminance(self.stance.to_point(light, self.stance.level(point)).candela(), distance, NO_AIR)
    }

    /// Whether nothing solid stands between the eyes and a point.
    fn sees(&self, point: DVec3) -> bool {
        let away = point - self.eyes;
        let length = away.length();
        let ray = Ray { origin: self.eyes, direction: away / length, length };
        self.stance.obstacles().transmitted(&ray) > 0.0
    }
}
