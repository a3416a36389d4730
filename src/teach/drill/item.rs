//! One question of the drill: its words, what is drawn, what is offered, and the choice that the rules or the survey say is
//! right.
//!
//! Takes a key (what is asked of which vessel, from where) and dice for the rest; gives the item, or nothing where the key
//! has no question with just one right choice. Must never know what the learner answered.

use serde::{Deserialize, Serialize};

use super::{
    Dice,
    vessel::{Dot, Region, Subject, Vessel, makes_way, may_be_met, subjects},
};
use crate::{
    boat::Status,
    light::{Colour, Colours},
    measure::{Bearing, Knots, trimmed},
    rules::{Duty, LightKind, Party, Side, international, meeting},
};

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Topic {
    /// What do you see?
    Colours,
    /// What is she?
    Vessel,
    /// Where are you?
    Place,
    /// What do you do?
    Action,
    /// How wide is the sector?
    Sector,
}

impl Topic {
    pub const ALL: &[Self] = &[Self::Colours, Self::Vessel, Self::Place, Self::Action, Self::Sector];

    pub fn in_words(self) -> &'static str {
        match self {
            Self::Colours => "what do you see",
            Self::Vessel => "what is she",
            Self::Place => "where are you",
            Self::Action => "what do you do",
            Self::Sector => "how wide is the sector",
        }
    }
}

/// What is asked of which vessel, seen from where. What was got wrong comes again by its key, with other figures.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Key {
    pub topic: Topic,
    pub subject: Subject,
    pub region: Region,
}

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    pub key: Key,
    pub ask: String,
    /// The lights as you see them; none are drawn where they are what is asked.
    pub lights: Vec<Dot>,
    pub choices: Vec<String>,
    /// Its place in the choices.
    pub right: usize,
    pub why: String,
}

/// So many are offered, where there are as many.
const OFFERED: usize = 4;

/// Any key of one of the topics.
pub(super) fn any_key(dice: &mut Dice, topics: &[Topic]) -> Key {
    let subjects = subjects();
    let topic = dice.one(topics).copied().unwrap_or(Topic::Sector);
    let region = dice.one(&Region::ALL).copied().unwrap_or(Region::Ahead);
    let subject = dice.one(&subjects).cloned().unwrap_or(Subject::Display(Status::UnderEngine));
    // A sector is one of five, whatever the vessel.
    if topic == Topic::Sector { sector_key(dice.below(SECTORS.len())) } else { Key { topic, subject, region } }
}

/// The item of a key; `None` where the vessel cannot be asked that.
pub(super) fn item(key: &Key, dice: &mut Dice) -> Option<Item> {
    match key.topic {
        Topic::Colours => colours(key, dice),
        Topic::Vessel => vessel(key, dice),
        Topic::Place => place(key, dice),
        Topic::Action => action(key, dice),
        Topic::Sector => sector(key, dice),
    }
}

/// Puts the choices in any order and notes where the right one, the first, has gone.
fn made(
    key: &Key,
    ask: String,
    lights: Vec<Dot>,
    mut choices: Vec<String>,
    why: String,
    dice: &mut Dice,
) -> Option<Item> {
    let first = choices.first()?.clone();
    dice.shuffle(&mut choices);
    let right = choices.iter().position(|choice| *choice == first)?;
    Some(Item { key: key.clone(), ask, lights, choices, right, why })
}

fn bearing_in(region: Region, dice: &mut Dice) -> Bearing {
    let (least, most) = region.ends();
    Bearing::new(dice.degrees(least, most))
}

fn shown(dots: &[Dot]) -> Colours {
    dots.iter().map(|dot| dot.colour).collect()
}

fn colours(key: &Key, dice: &mut Dice) -> Option<Item> {
    let vessel = Vessel::of(&key.subject, dice)?;
    let bearing = bearing_in(key.region, dice);
    let seen = shown(&vessel.seen(bearing));
    let ask = format!(
        "You look at {}. You are {} ({} degrees from right ahead of her). Which colours show?",
        vessel.in_words(),
        place_words(bearing),
        trimmed(bearing.degrees(), 0)
    );
    let mut others: Vec<Colours> = [(Colour::Green, Colour::Red), (Colour::Red, Colour::Green)]
        .into_iter()
        .flat_map(|(one, other)| {
            let white = Colour::White;
            [vec![one], vec![one, white], vec![white], vec![one, other], vec![one, other, white], vec![]]
        })
        .map(|colours| colours.into_iter().collect())
        .filter(|colours: &Colours| *colours != seen)
        .collect();
    dice.shuffle(&mut others);
    let mut choices = vec![letters(seen)];
    for other in others {
        let other = letters(other);
        if choices.len() < OFFERED && !choices.contains(&other) {
            choices.push(other);
        }
    }
    let why =
        format!("From {} degrees she shows {}: {}.", trimmed(bearing.degrees(), 0), letters(seen), vessel.source());
    made(key, ask, Vec::new(), choices, why, dice)
}

fn letters(colours: Colours) -> String {
    format!("{} ({})", colours.in_words(), colours.letters())
}

/// "on her starboard beam", "22 degrees on her port quarter": where the onlooker is.
fn place_words(bearing: Bearing) -> String {
    let words = bearing.in_words();
    if words == "right ahead" || words == "right astern" {
        return format!("{words} of her");
    }
    words.replacen("the ", "her ", 1)
}

fn vessel(key: &Key, dice: &mut Dice) -> Option<Item> {
    let vessel = Vessel::of(&key.subject, dice)?;
    let bearing = bearing_in(key.region, dice);
    let look = vessel.look(bearing);
    if look.is_dark() || !look.can_be(vessel.status) {
        return None;
    }
    let mut others: Vec<Status> =
        Status::ALL.iter().copied().filter(|status| *status != Status::UnderWay && !look.can_be(*status)).collect();
    dice.shuffle(&mut others);
    let words = |status: Status| format!("a vessel {}", status.in_words());
    let choices: Vec<String> = std::iter::once(vessel.status).chain(others).take(OFFERED).map(words).collect();
    if choices.len() < 2 {
        return None;
    }
    let ask = "You see these lights. Which of these can she be?".into();
    let why = format!(
        "She is {}; you are {}. Her lights: {}. From nowhere do the others look so.",
        vessel.in_words(),
        place_words(bearing),
        vessel.source()
    );
    made(key, ask, vessel.seen(bearing), choices, why, dice)
}

fn place(key: &Key, dice: &mut Dice) -> Option<Item> {
    let vessel = Vessel::of(&key.subject, dice)?;
    let bearing = bearing_in(key.region, dice);
    let look = vessel.look(bearing);
    let others = Region::ALL.into_iter().filter(|region| *region != key.region);
    // Whoever looks the same from two sides is not asked about.
    if look.is_dark() || others.clone().any(|region| vessel.looks_so_from(&look, region)) {
        return None;
    }
    let choices = std::iter::once(key.region).chain(others).map(|region| region.in_words().into()).collect();
    let ask = format!("You see the lights of {}. Where are you?", vessel.in_words());
    let why = format!(
        "You are {} ({} degrees). From no other of these sides does she show so: {}.",
        place_words(bearing),
        trimmed(bearing.degrees(), 0),
        vessel.source()
    );
    made(key, ask, vessel.seen(bearing), choices, why, dice)
}

/// Her speed in a meeting where she makes way, and yours, of which one is chosen.
const HER_SPEED: Knots = Knots(6.0);
const YOUR_SPEEDS: [f64; 4] = [8.0, 10.0, 14.0, 18.0];

fn action(key: &Key, dice: &mut Dice) -> Option<Item> {
    let vessel = Vessel::of(&key.subject, dice)?;
    let bearing = bearing_in(key.region, dice);
    let lights = vessel.seen(bearing);
    if lights.is_empty() || !may_be_met(vessel.status) {
        return None;
    }
    let your_speed = Knots(*dice.one(&YOUR_SPEEDS)?);
    let her_speed = if makes_way(vessel.status) { HER_SPEED } else { Knots(0.0) };
    let your_bearing = steady(bearing, her_speed, your_speed)?;
    let you = Party { status: Status::UnderEngine, bears: your_bearing, speed: your_speed };
    let she = Party { status: vessel.status, bears: bearing, speed: her_speed };
    let met = meeting(&you, &she, international());
    let duty = met.duty(Side::You);
    if met.assumed || matches!(duty, Duty::Open | Duty::Watch) {
        return None;
    }
    let all = [Duty::KeepClear, Duty::StandOn, Duty::AlterToStarboard];
    let words = |duty: Duty| duty.in_words().to_owned();
    let choices = std::iter::once(duty).chain(all.into_iter().filter(|one| *one != duty)).map(words).collect();
    let ask = format!(
        "You are under way by engine, in clear weather and open water. You see these lights {}; the compass bearing does \
         not change and she draws nearer. She is {}. What do you do?",
        your_bearing.in_words(),
        vessel.in_words()
    );
    let why = format!("{} ({}) You are {}.", met.why, met.clause, place_words(bearing));
    made(key, ask, lights, choices, why, dice)
}

/// Where you have her, if she has you on a bearing and it does not change as you draw together: your speeds across the line
/// that joins you are the same. `None` where you are too slow for that.
fn steady(her_bearing: Bearing, her_speed: Knots, your_speed: Knots) -> Option<Bearing> {
    let across = -her_speed.0 * her_bearing.degrees().to_radians().sin() / your_speed.0;
    // To whole degrees, as a bearing is taken.
    (across.abs() < 0.95).then(|| Bearing::new(across.asin().to_degrees().round()))
}

/// The lights whose sectors are asked for.
const SECTORS: [LightKind; 5] = [
    LightKind::Masthead,
    LightKind::StarboardSidelight,
    LightKind::PortSidelight,
    LightKind::Sternlight,
    LightKind::TowingLight,
];

/// Sectors have no vessel: their key counts them by the regions and statuses it has.
fn sector_key(index: usize) -> Key {
    let region = Region::ALL[index % Region::ALL.len()];
    let status = if index < Region::ALL.len() { Status::UnderEngine } else { Status::Towing };
    Key { topic: Topic::Sector, subject: Subject::Display(status), region }
}

fn sector(key: &Key, dice: &mut Dice) -> Option<Item> {
    let index = (0..SECTORS.len()).find(|index| sector_key(*index) == *key)?;
    let kind = SECTORS[index];
    let row = international().sector(kind)?;
    let mut widths: Vec<f64> = international().sectors.iter().map(|row| row.arc().width).collect();
    widths.extend([90.0, 180.0]);
    widths.sort_by(f64::total_cmp);
    widths.dedup();
    widths.retain(|width| *width != row.arc().width);
    dice.shuffle(&mut widths);
    let words = |width: f64| format!("{} degrees", trimmed(width, 1));
    let choices = std::iter::once(row.arc().width).chain(widths).take(OFFERED).map(words).collect();
    let ask = format!("Over what arc does a {} show?", kind.in_words());
    let points = trimmed(row.arc().width / crate::measure::DEGREES_PER_POINT, 1);
    let why = format!("{}: {}, {points} points of the compass.", row.clause, words(row.arc().width));
    made(key, ask, Vec::new(), choices, why, dice)
}
