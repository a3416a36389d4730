//! A line parallel to the centreline, struck by squaring off an athwartships one.
//!
//! The athwartships line runs from gunwale to gunwale abreast of the bracket's after end; that it lies square is
//! proved by two crossed tapes of one length from the corners of the transom. Takes the vessel's lines and a bracket's
//! line; gives lengths in metres, level ones but for the tapes.

use glam::DVec3;

use super::{BracketLine, taut};
use crate::{boat::Vessel, measure::Metres};

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Squaring {
    /// The athwartships line, forward of the transom.
    pub abreast: Metres,
    /// From either corner of the transom to where the line meets the gunwale of the other side.
    pub crossed: Metres,
    /// Both ends of the bracket, forward of the athwartships line and to starboard of the centreline.
    pub ends: [(Metres, Metres); 2],
    /// How far forward the line is carried on to be struck well.
    pub leg: Metres,
    /// Its end there, to starboard of the centreline.
    pub far_offset: Metres,
    /// From where the athwartships line crosses the centreline to that end, on the deck.
    pub diagonal: Metres,
}

/// A line is struck this long (common practice: longer than the bracket, no source).
const LEG: f64 = 0.5;

impl Squaring {
    pub(super) fn of(vessel: &Vessel, line: &BracketLine) -> Self {
        let [after, fore] = line.ends;
        let abreast = after.x.min(fore.x);
        let half = vessel.half_breadth(abreast);
        let corner = DVec3::new(0.0, vessel.half_breadth(0.0), vessel.gunwale_height(0.0));
        let gunwale = DVec3::new(abreast, -half, vessel.gunwale_height(abreast));
        let on_deck = |forward: f64, port: f64| DVec3::new(forward, port, vessel.deck_height(forward, port));
        let way = fore - after;
        // Square across, there is nothing to carry forward: the leg is then parallel to the centreline from the middle.
        let slope = if way.x.abs() > way.y.abs() { way.y / way.x } else { 0.0 };
        let leg = LEG.min(vessel.length.0 - abreast).max(0.0);
        let far = on_deck(abreast + leg, after.y + slope * leg);
        let offset = |at: DVec3| (Metres(at.x - abreast), Metres(-at.y + 0.0));
        Self {
            abreast: Metres(abreast),
            crossed: taut(vessel, corner, gunwale).0,
            ends: [offset(after), offset(fore)],
            leg: Metres(leg),
            far_offset: Metres(-far.y + 0.0),
            diagonal: taut(vessel, on_deck(abreast, 0.0), far).0,
        }
    }
}
