//! What the page's script turns the view with: every bearing's words and pictures, as JSON that no name can break out of.
//!
//! Takes the facts; gives the text of a data element. Must never say anything that the facts do not.

use serde::Serialize;

use super::{
    facts::Facts,
    sight::{Stand, direction},
};

#[derive(Serialize)]
struct Walk<'a> {
    /// Where the walk begins, by its place in the list.
    start: usize,
    places: Vec<Place>,
    fits: Vec<One<'a>>,
}

#[derive(Serialize)]
struct Place {
    degrees: f64,
    words: String,
}

#[derive(Serialize)]
struct One<'a> {
    name: &'a str,
    /// For each place.
    told: Vec<Line<'a>>,
    pictures: Vec<String>,
}

#[derive(Serialize)]
struct Line<'a> {
    letters: String,
    stand: Stand,
    stand_words: &'static str,
    said: &'a str,
}

pub(super) fn data(facts: &Facts) -> String {
    let place = |bearing: &crate::measure::Bearing| Place { degrees: bearing.degrees(), words: direction(*bearing) };
    let walk = Walk {
        start: facts.telling.first().copied().unwrap_or(0),
        places: facts.bearings.iter().map(place).collect(),
        fits: facts.fits.iter().enumerate().map(|(index, _)| one(facts, index)).collect(),
    };
    // Serialising numbers, strings and lists cannot fail; were it to, the page stays the static one.
    let json = serde_json::to_string(&walk).unwrap_or_default();
    json.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

fn one<'a>(facts: &'a Facts, index: usize) -> One<'a> {
    let fit = &facts.fits[index];
    let line = |told: &'a super::sight::Told| Line {
        letters: if told.shows.is_empty() { String::new() } else { told.shows.letters() },
        stand: told.stand,
        stand_words: told.stand.in_words(),
        said: &told.said,
    };
    One {
        name: &fit.surveyed.fit.name,
        told: fit.told.iter().map(line).collect(),
        pictures: facts.pictures(index).iter().map(super::Picture::address).collect(),
    }
}
