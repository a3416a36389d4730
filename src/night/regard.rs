//! What the pointer is over, and what hangs together with it: a shadow on the band and the part that throws it.
//!
//! Takes where the pointer aims, what is known and judged; gives what is [`Regarded`], with its words. Runs without any
//! rendering. Must never compute light: stretches and who hides them come with the verdict.

use std::sync::Arc;

use bevy::prelude::*;
use glam::DVec3;

use super::{Choice, Judged, Known, Steps, Verdict, View, band, grip::Lens};
use crate::{
    boat::Owner,
    light::Colour,
    measure::{Bearing, listed},
    rules::{State, Stretch, Stripe, Why},
    shadow::Ray,
    survey::Stance,
};

/// A line of sight through the picture: from a point along a unit vector, level frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    pub from: DVec3,
    pub toward: DVec3,
}

impl Line {
    /// The line through a place in a picture.
    pub fn through(lens: &Lens, at: Vec2) -> Self {
        let (from, toward) = lens.rig.line(lens.size, at);
        Self { from, toward }
    }

    /// Whose solid it meets first, within so many metres.
    pub fn first_met(&self, stance: &Stance, length: f64) -> Option<Owner> {
        let (origin, beyond) = (stance.aboard(self.from), stance.aboard(self.from + self.toward));
        stance.obstacles().first_met(&Ray { origin, direction: (beyond - origin).normalize(), length })
    }
}

/// Where the pointer aims; `None` while it is elsewhere.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Aim(pub Option<Line>);

/// A stretch of the band: indices into [`Verdict::stripes`] and its stretches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    pub stripe: usize,
    pub stretch: usize,
}

/// What is looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Regard {
    /// The part that throws the shadows; `None` where nothing is hidden.
    pub owner: Option<Owner>,
    /// Its shadows, or the one stretch that is pointed at.
    pub spots: Vec<Spot>,
    /// The name of the part, or of the light.
    pub title: String,
    /// What is so of each stretch, with the colour of its light.
    pub lines: Vec<(Colour, String)>,
}

/// What the pointer is over.
#[derive(Resource, Clone, Debug, Default, PartialEq)]
pub struct Regarded(pub Option<Regard>);

/// Keeps [`Regarded`] true to [`Aim`].
pub struct RegardPlugin;

impl Plugin for RegardPlugin {
    fn build(&self, app: &mut App) {
        app.init_resource::<Aim>()
            .init_resource::<Regarded>()
            .add_systems(Update, regard.in_set(Steps::Tell).run_if(anything_new));
    }
}

fn anything_new(aim: Res<Aim>, choice: Res<Choice>, known: Res<Known>, judged: Res<Judged>) -> bool {
    aim.is_changed() || choice.is_changed() || known.is_changed() || judged.is_changed()
}

fn regard(aim: Res<Aim>, choice: Res<Choice>, known: Res<Known>, judged: Res<Judged>, mut regarded: ResMut<Regarded>) {
    let wanted = choice.arcs && choice.view == View::Aloft && !choice.split;
    let look = Look { known: &known, verdict: judged.0.as_ref() };
    let now = aim.0.filter(|_| wanted).and_then(|line| look.regard(line));
    regarded.set_if_neq(Regarded(now));
}

/// How far off something aboard is looked for, metres.
const FAR: f64 = 1e4;
/// Degrees beside a narrow stretch that still point at it.
const BESIDE: f64 = 0.8;

struct Look<'a> {
    known: &'a Known,
    verdict: Option<&'a Arc<Verdict>>,
}

impl Look<'_> {
    fn stripes(&self) -> &[Stripe] {
        self.verdict.map_or(&[], |verdict| &verdict.stripes)
    }

    fn stretch(&self, spot: Spot) -> (&Stripe, &Stretch) {
        let stripe = &self.stripes()[spot.stripe];
        (stripe, &stripe.stretches[spot.stretch])
    }

    /// What a line of sight meets first: something aboard, or the band on the water.
    fn regard(&self, line: Line) -> Option<Regard> {
        let down = (line.toward.z < 0.0).then(|| -line.from.z / line.toward.z).filter(|along| *along > 0.0);
        match (line.first_met(&self.known.stance, down.unwrap_or(FAR)), down) {
            (Some(owner), _) => self.shadows_of(owner),
            (None, Some(along)) => self.on_water(line.from + line.toward * along),
            (None, None) => None,
        }
    }

    /// `None` for a part that throws none.
    fn shadows_of(&self, owner: Owner) -> Option<Regard> {
        let spots: Vec<Spot> =
            spots(self.stripes()).filter(|spot| thrown_by(self.stretch(*spot).1) == Some(owner)).collect();
        (!spots.is_empty()).then(|| self.told(Some(owner), spots))
    }

    fn on_water(&self, place: DVec3) -> Option<Regard> {
        let away = place - self.known.stance.middle();
        let lengths = away.truncate().length() / self.known.scene().vessel.length.0;
        let bearing = Bearing::of(away);
        let stripe = band::stripe_at(lengths as f32, self.stripes().len())?;
        let stretches = self.stripes().get(stripe)?.stretches.iter().enumerate();
        // What is amiss may be a sliver among what is right.
        let depth = |stretch: &Stretch| match stretch.state {
            State::Shows => stretch.arc.depth(bearing).min(0.0) - 1e-9,
            _ => stretch.arc.depth(bearing) + BESIDE,
        };
        let reached = stretches.map(|(index, stretch)| (index, stretch, depth(stretch))).filter(|one| one.2 >= -1e-8);
        let (stretch, found, _) = reached.max_by(|a, b| a.2.total_cmp(&b.2))?;
        Some(self.told(thrown_by(found), vec![Spot { stripe, stretch }]))
    }

    fn told(&self, owner: Option<Owner>, spots: Vec<Spot>) -> Regard {
        let fit = self.known.fit();
        let title = match (owner, spots.first()) {
            (Some(owner), _) => self.known.scene().owner_name(fit, owner),
            (None, Some(spot)) => self.name(self.stretch(*spot).0),
            (None, None) => String::new(),
        };
        let lines = spots.iter().map(|spot| {
            let (stripe, stretch) = self.stretch(*spot);
            (stripe.colour, self.words(stripe, stretch))
        });
        let lines = lines.collect();
        Regard { owner, spots, title, lines }
    }

    /// The lamps that serve as a light, or, where there are none, what is missing.
    fn name(&self, stripe: &Stripe) -> String {
        let lamps = &self.known.fit().lamps;
        let mut names: Vec<&str> =
            stripe.lights.iter().filter_map(|light| lamps.get(light.lamp)).map(|lamp| lamp.name.as_str()).collect();
        names.dedup();
        match (names.is_empty(), stripe.kind) {
            (true, Some(kind)) => kind.in_words().into(),
            _ => listed(&names),
        }
    }

    fn words(&self, stripe: &Stripe, stretch: &Stretch) -> String {
        let arc = stretch.arc.in_words();
        match stretch.state {
            State::Shows => format!("shows {arc}, as it must"),
            State::Shadow { .. } => {
                let allowed = if stretch.excused { "; so much is allowed" } else { "" };
                format!("{} is hidden {arc}{allowed}", self.name(stripe))
            }
            State::Dark(why) => format!("must show {arc}: {}", because(why)),
            State::Spill if stripe.kind.is_none() => format!("shows {arc}, and is no part of the display"),
            State::Spill => format!("shows {arc}, outside its sector"),
        }
    }
}

fn because(why: Why) -> &'static str {
    match why {
        Why::Missing => "no lit lamp is there to do it",
        Why::Lean => "dark, because the lamp leans",
        Why::Turn => "dark, because the lamp is not parallel to the centreline",
        Why::Weak => "the lamp gives too little light",
    }
}

fn spots(stripes: &[Stripe]) -> impl Iterator<Item = Spot> + '_ {
    let of = |(stripe, one): (usize, &Stripe)| (0..one.stretches.len()).map(move |stretch| Spot { stripe, stretch });
    stripes.iter().enumerate().flat_map(of)
}

/// Who throws a shadow; `None` for what is none.
pub fn thrown_by(stretch: &Stretch) -> Option<Owner> {
    match stretch.state {
        State::Shadow { by } => by,
        _ => None,
    }
}
