//! The tables that fitting goes by: sheet alloys, rivets, bolts, metals in sea water, and the figures that are kept.
//!
//! Read from `assets/fitting`, where each row has its source. All sizes are millimetres. Must never know of a scene.

use std::sync::LazyLock;

use serde::{Deserialize, de::DeserializeOwned};

/// A figure with where it is from.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    pub value: f64,
    pub source: String,
}

/// The figures that brackets are held against; the file says of each what it is a multiple of.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    pub edge: Figure,
    pub pitch: Figure,
    pub between: Figure,
    pub clear_of_fold: Figure,
    pub flange: Figure,
    pub sharp_fold_degrees: Figure,
    pub most_fold_degrees: Figure,
    pub thin_sheet: Figure,
    pub thick_sheet: Figure,
    pub tall: Figure,
    pub rivet_over: Figure,
    pub threads_out: Figure,
    pub galvanic: Figure,
    pub off_cowling: Figure,
    pub threads_in_wall: Figure,
}

/// A sheet alloy in one temper.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Alloy {
    pub name: String,
    /// Its name in the galvanic series.
    pub metal: String,
    /// Where the fibre lies that keeps its length, as a share of the thickness from the inside.
    pub k: f64,
    /// Thickness up to, and the least inside radius in thicknesses, in rising order.
    least_radius: Vec<(f64, f64)>,
    pub source: String,
}

/// Sheet is rolled a little over or under its name; so much more still counts as the thinner column (the program's own).
const NAMED: f64 = 1.03;

impl Alloy {
    /// The least inside radius of a fold of 90 degrees; `None` for sheet thicker than the table.
    pub fn least_radius(&self, thickness: f64) -> Option<f64> {
        let row = self.least_radius.iter().find(|(up_to, _)| thickness <= up_to * NAMED);
        row.map(|(_, times)| times * thickness)
    }

    /// The thickest sheet that the table covers.
    pub fn thickest(&self) -> f64 {
        self.least_radius.last().map_or(0.0, |(up_to, _)| *up_to)
    }
}

/// A blind rivet.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rivet {
    pub diameter: f64,
    /// The hole, from and to.
    pub hole: (f64, f64),
    /// Stock lengths with the least and most grip of each.
    pub lengths: Vec<(f64, f64, f64)>,
}

/// A bolt with its nut and washer.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bolt {
    pub diameter: f64,
    pub pitch: f64,
    pub nut: f64,
    pub washer: f64,
    pub hole: f64,
    /// Drill for a thread of its own.
    pub tapping: f64,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Bolts {
    sizes: Vec<Bolt>,
    lengths: Vec<f64>,
}

/// A metal in sea water.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Metal {
    pub name: String,
    /// Against a saturated calomel half-cell.
    pub volts: f64,
}

/// Something that is no metal.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inert {
    pub name: String,
    /// Whether a rivet pulls through it without a washer.
    pub soft: bool,
}

#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Series {
    metals: Vec<Metal>,
    inert: Vec<Inert>,
}

macro_rules! table {
    ($name:ident: $kind:ty = $file:literal) => {
        static $name: LazyLock<$kind> =
            LazyLock::new(|| read(include_str!(concat!("../../assets/fitting/", $file)), $file));
    };
}

table!(RULES: Rules = "rules.ron");
table!(ALLOYS: Vec<Alloy> = "alloys.ron");
table!(RIVETS: Vec<Rivet> = "rivets.ron");
table!(BOLTS: Bolts = "bolts.ron");
table!(SERIES: Series = "galvanic.ron");

fn read<T: DeserializeOwned>(text: &str, file: &str) -> T {
    ron::from_str(text).unwrap_or_else(|error| panic!("the built-in {file}: {error}"))
}

pub fn rules() -> &'static Rules {
    &RULES
}

pub fn alloys() -> &'static [Alloy] {
    &ALLOYS
}

/// An alloy by name, in capitals or not.
pub fn alloy(name: &str) -> Option<&'static Alloy> {
    ALLOYS.iter().find(|alloy| alloy.name.eq_ignore_ascii_case(name.trim()))
}

pub fn rivets() -> &'static [Rivet] {
    &RIVETS
}

pub fn rivet(diameter: f64) -> Option<&'static Rivet> {
    RIVETS.iter().find(|rivet| same(rivet.diameter, diameter))
}

pub fn bolts() -> &'static [Bolt] {
    &BOLTS.sizes
}

pub fn bolt(diameter: f64) -> Option<&'static Bolt> {
    BOLTS.sizes.iter().find(|bolt| same(bolt.diameter, diameter))
}

/// The lengths that bolts are sold in, in rising order.
pub fn bolt_lengths() -> &'static [f64] {
    &BOLTS.lengths
}

pub fn metal(name: &str) -> Option<&'static Metal> {
    SERIES.metals.iter().find(|metal| metal.name.eq_ignore_ascii_case(name.trim()))
}

pub fn inert(name: &str) -> Option<&'static Inert> {
    SERIES.inert.iter().find(|inert| inert.name.eq_ignore_ascii_case(name.trim()))
}

/// The names of all that a bracket, its fasteners and its deck can be of.
pub fn materials() -> impl Iterator<Item = &'static str> {
    let metals = SERIES.metals.iter().map(|metal| metal.name.as_str());
    metals.chain(SERIES.inert.iter().map(|inert| inert.name.as_str()))
}

fn same(one: f64, other: f64) -> bool {
    (one - other).abs() < 1e-6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_is_sound() {
        assert!(RULES.edge.value > 1.0);
        for alloy in alloys() {
            assert!(metal(&alloy.metal).is_some(), "{}", alloy.name);
            assert!((0.2..=0.5).contains(&alloy.k) && !alloy.source.is_empty(), "{}", alloy.name);
            assert!(alloy.least_radius.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1));
        }
        for rivet in rivets() {
            assert!(rivet.diameter < rivet.hole.0 && rivet.hole.0 < rivet.hole.1);
            let meets = |pair: &[(f64, f64, f64)]| pair[0].0 < pair[1].0 && same(pair[0].2, pair[1].1);
            assert!(rivet.lengths.windows(2).all(meets), "{}: grips without a gap between them", rivet.diameter);
            assert!(rivet.lengths.iter().all(|(length, least, most)| least < most && most < length));
        }
        assert!(bolts().iter().all(|bolt| bolt.tapping < bolt.diameter && bolt.diameter < bolt.hole));
        assert!(bolt_lengths().windows(2).all(|pair| pair[0] < pair[1]));
    }

    #[test]
    fn a_sheet_between_two_columns_takes_the_thicker_one() {
        let alloy = alloy("5052-h32").expect("a common one");
        assert_eq!(alloy.least_radius(1.5), Some(1.5));
        assert_eq!(alloy.least_radius(0.8), Some(0.0));
        assert_eq!(alloy.least_radius(2.0), Some(3.0));
        assert_eq!(alloy.least_radius(6.0), None);
    }
}
