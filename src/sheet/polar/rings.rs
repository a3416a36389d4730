//! The plot itself: thin rings for each kind of light, the differences between, and the boat in the middle.

use super::{
    page,
    runs::runs,
    shadows::{shadow_names, shadows},
};
use crate::{
    boat::Role,
    light::{Colour, Colours},
    measure::{Arc, Bearing, trimmed},
    rules::LightKind,
    sheet::{
        Surveyed,
        figure::{fill, hull, overtaking_sector},
        pen::{INK, Pen, SMALL, width_of},
    },
    survey::LightSurvey,
};

/// Radius of the outermost ring, in millimetres.
const OUTSIDE: f64 = 79.0;
pub(super) const RING: f64 = 5.4;
pub(super) const GAP: f64 = 0.8;
/// Room between the outer and the inner rings for the differences.
const BETWEEN: f64 = 9.6;
/// Of an empty ring.
const GROUND: &str = "#eceeef";
pub(super) const HATCH: &str = "url(#shadow)";

/// A ring: lights that never overlap when all is well. Outermost first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Track {
    Masthead,
    AllRound,
    AllRoundRed,
    AllRoundGreen,
    Flashing,
    Sidelights,
    Stern,
    Towing,
}

impl Track {
    fn of_role(role: Role) -> Self {
        match role {
            Role::Masthead => Self::Masthead,
            Role::AllRoundWhite => Self::AllRound,
            Role::AllRoundRed => Self::AllRoundRed,
            Role::AllRoundGreen => Self::AllRoundGreen,
            Role::FlashingYellow | Role::SpecialFlashing => Self::Flashing,
            Role::StarboardSidelight | Role::PortSidelight | Role::CombinedSidelights | Role::ThreeColourLantern => {
                Self::Sidelights
            }
            Role::Sternlight => Self::Stern,
            Role::TowingLight => Self::Towing,
        }
    }

    fn of_kind(kind: LightKind) -> Self {
        match kind {
            LightKind::Masthead => Self::Masthead,
            LightKind::AllRoundWhite => Self::AllRound,
            LightKind::AllRoundRed => Self::AllRoundRed,
            LightKind::AllRoundGreen => Self::AllRoundGreen,
            LightKind::FlashingYellow | LightKind::SpecialFlashing => Self::Flashing,
            LightKind::StarboardSidelight | LightKind::PortSidelight => Self::Sidelights,
            LightKind::Sternlight => Self::Stern,
            LightKind::TowingLight => Self::Towing,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Masthead => "masthead",
            Self::AllRound => "all-round",
            Self::AllRoundRed => "all-round red",
            Self::AllRoundGreen => "all-round green",
            Self::Flashing => "flashing",
            Self::Sidelights => "sidelight",
            Self::Stern => "sternlight",
            Self::Towing => "towing light",
        }
    }
}

pub(super) fn draw(pen: &mut Pen, surveyed: &Surveyed) {
    let tracks = tracks(surveyed);
    let band = tracks.len() as f64 * (RING + GAP);
    let inner_top = OUTSIDE - band - BETWEEN;
    let inside = inner_top - band;
    overtaking(pen, inside);
    for (index, track) in tracks.iter().enumerate() {
        let down = index as f64 * (RING + GAP);
        required(pen, surveyed, *track, OUTSIDE - down);
        shown(pen, surveyed, *track, inner_top - down);
    }
    differences(pen, surveyed, inner_top + GAP);
    page::bearings(pen, OUTSIDE);
    boat(pen, surveyed);
    shadow_names(pen, surveyed, &tracks, inner_top, inside);
}

/// The rings that the display or the lamps need, outermost first.
fn tracks(surveyed: &Surveyed) -> Vec<Track> {
    let asked = surveyed.judgement.display.iter().flat_map(|display| display.required()).map(Track::of_kind);
    let lit = surveyed.survey.lights.iter().map(|light| track_of(surveyed, light));
    let mut tracks: Vec<Track> = asked.chain(lit).collect();
    tracks.sort();
    tracks.dedup();
    tracks
}

pub(super) fn track_of(surveyed: &Surveyed, light: &LightSurvey) -> Track {
    Track::of_role(surveyed.fit.lamps[light.light.lamp].role)
}

/// Every colour that the drawing holds.
pub(super) fn colours_used(surveyed: &Surveyed) -> Colours {
    let must = surveyed.survey.bearings.iter().map(|bearing| surveyed.expected(*bearing).must);
    must.chain(surveyed.survey.far_showings()).fold(Colours::NONE, Colours::or)
}

/// The arcs that the display asks for, on one ring.
fn required(pen: &mut Pen, surveyed: &Surveyed, track: Track, outer: f64) {
    empty_ring(pen, outer);
    let mut kinds: Vec<LightKind> = surveyed.judgement.display.iter().flat_map(|display| display.required()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let mut arcs = Vec::new();
    let own = kinds.into_iter().filter(|kind| Track::of_kind(*kind) == track);
    for row in own.filter_map(|kind| surveyed.judgement.rules.sector(kind)) {
        fill(pen, outer - RING, outer, row.arc(), row.colour);
        arcs.push((row.arc(), row.colour));
    }
    let words = if surveyed.judgement.display.is_none() {
        format!("{} ring: not judged", track.name())
    } else if arcs.is_empty() {
        format!("{} ring: not asked for", track.name())
    } else {
        format!("{} ring: what must show", track.name())
    };
    label(pen, outer - RING / 2.0, &words, &arcs, &[]);
}

/// What is made out on the far ring of the lights of one ring, and the shadows on them.
fn shown(pen: &mut Pen, surveyed: &Surveyed, track: Track, outer: f64) {
    empty_ring(pen, outer);
    let survey = surveyed.survey;
    let lights: Vec<&LightSurvey> = survey.lights.iter().filter(|light| track_of(surveyed, light) == track).collect();
    let values: Vec<Colours> = (0..survey.bearings.len())
        .map(|index| {
            let made_out = lights.iter().filter(|light| survey.made_out_afar(light.samples[index].rest));
            made_out.map(|light| light.colour).collect()
        })
        .collect();
    let mut arcs = Vec::new();
    for (arc, colours) in runs(&survey.bearings, values) {
        // Two colours at once share the depth of the ring.
        let depth = RING / colours.iter().count().max(1) as f64;
        for (index, colour) in colours.iter().enumerate() {
            let top = outer - index as f64 * depth;
            fill(pen, top - depth, top, arc, colour);
        }
        arcs.extend(colours.iter().map(|colour| (arc, colour)).filter(|_| depth == RING));
    }
    let shadows = shadows(surveyed);
    for shadow in shadows.iter().filter(|shadow| shadow.track == track) {
        pen.path(pen.piece(outer - RING, outer, shadow.arc), HATCH, INK, 0.2);
    }
    let far = trimmed(survey.far.0, 2);
    let words = if lights.is_empty() {
        format!("{} ring: none lit", track.name())
    } else {
        format!("{} ring: what shows at {far} nm", track.name())
    };
    let shadowed: Vec<Arc> = shadows.iter().filter_map(|shadow| shadow.on(track)).collect();
    label(pen, outer - RING / 2.0, &words, &arcs, &shadowed);
}

/// Where no light is: grey enough to set off the white of a white light, pale enough to spare ink.
fn empty_ring(pen: &mut Pen, outer: f64) {
    pen.path(pen.piece(outer - RING, outer, Arc::ALL_ROUND), GROUND, "none", 0.0);
}

/// Bearings at which the name of a ring may stand, best first.
const NAME_PLACES: [f64; 14] =
    [180.0, 0.0, 165.0, 195.0, 150.0, 210.0, 45.0, 315.0, 60.0, 300.0, 75.0, 285.0, 135.0, 225.0];

/// The name of a ring where it is empty, or at least clear of shadows and of the leaders to them; then the letters of
/// its arcs clear of both.
fn label(pen: &mut Pen, radius: f64, words: &str, arcs: &[(Arc, Colour)], shadows: &[Arc]) {
    let half = (width_of(words, SMALL) / 2.0 / radius).to_degrees();
    let apart = |arc: &Arc, centre: Bearing, margin: f64| {
        centre.clockwise_of(arc.middle()).abs() > arc.width / 2.0 + half + margin
    };
    let places = || NAME_PLACES.into_iter().map(Bearing::new);
    let unshadowed = |centre: &Bearing| shadows.iter().all(|arc| apart(arc, *centre, 6.0));
    let empty = |centre: &Bearing| arcs.iter().all(|(arc, _)| apart(arc, *centre, 0.0));
    let centre = places()
        .find(|centre| unshadowed(centre) && empty(centre))
        .or_else(|| places().find(unshadowed))
        .or_else(|| places().find(empty))
        .unwrap_or(Bearing::ASTERN);
    let letter = (3.0 / radius).to_degrees();
    for (arc, colour) in arcs {
        letters_along(pen, radius, *arc, *colour, |bearing| {
            bearing.clockwise_of(centre).abs() > half + letter && shadows.iter().all(|arc| arc.depth(bearing) < -letter)
        });
    }
    pen.bent(radius, centre, SMALL, words);
}

fn letters_along(pen: &mut Pen, radius: f64, arc: Arc, colour: Colour, clear: impl Fn(Bearing) -> bool) {
    let length = arc.width.to_radians() * radius;
    if length < 5.0 {
        return;
    }
    let count = (length / 42.0).round().max(1.0) as u32;
    for n in 0..count {
        let bearing = arc.from.turned((f64::from(n) + 0.5) / f64::from(count) * arc.width);
        if clear(bearing) {
            let at = pen.at(radius, bearing);
            // White needs no ground of its own.
            if colour != Colour::White {
                pen.dot(at, 2.2, "#ffffff", INK);
            }
            pen.letters(at, 3.4, &colour.letter().to_string());
        }
    }
}

/// Fill and edge of the bar that marks a difference: hollow where something is missing, solid where too much shows.
pub(super) fn difference_ink(missing: bool) -> (&'static str, &'static str) {
    if missing { ("#ffffff", INK) } else { (INK, INK) }
}

/// Where what shows is not what must: a bar along the arc, and below it a sign and the letters.
fn differences(pen: &mut Pen, surveyed: &Surveyed, floor: f64) {
    if surveyed.judgement.display.is_none() {
        return;
    }
    let survey = surveyed.survey;
    let showings = survey.far_showings();
    let mut tags: Vec<(Bearing, String)> = Vec::new();
    for (is_missing, sign, low) in [(true, '\u{2212}', floor + 6.2), (false, '+', floor + 7.7)] {
        let differs = |bearing: &Bearing, shows: &Colours| {
            let expected = surveyed.expected(*bearing);
            if is_missing { expected.missing(*shows) } else { expected.extra(*shows) }
        };
        let differing: Vec<Colours> = survey.bearings.iter().zip(&showings).map(|(b, s)| differs(b, s)).collect();
        for colour in Colour::ALL {
            let values = differing.iter().map(|colours| colours.contains(colour)).collect();
            for (arc, _) in runs(&survey.bearings, values).into_iter().filter(|(_, differs)| *differs) {
                let (fill, edge) = difference_ink(is_missing);
                pen.path(pen.piece(low, low + 1.1, arc), fill, edge, 0.35);
                tags.push((arc.middle(), format!("{sign}{}", colour.letter())));
            }
        }
    }
    tags.sort_by(|a, b| a.0.degrees().total_cmp(&b.0.degrees()));
    difference_tags(pen, tags, floor + 2.7);
}

/// Tags at their bearings, moved on clockwise where they would touch; the same tag close by is not said twice.
fn difference_tags(pen: &mut Pen, tags: Vec<(Bearing, String)>, radius: f64) {
    let mut placed: Vec<(f64, f64, String)> = Vec::new();
    for (bearing, words) in tags {
        let half = ((width_of(&words, 3.7) / 2.0 + 0.6) / radius).to_degrees();
        let mut at = bearing.degrees();
        if let Some((before, reach, same)) = placed.last() {
            if *same == words && at - before < reach + half {
                continue;
            }
            at = at.max(before + reach + half);
        }
        let spot = pen.at(radius, Bearing::new(at));
        pen.letters(spot, 3.7, &words);
        placed.push((at, half, words));
    }
}

/// The overtaking sector: its edges across the rings, a bracket outside them, and its name in words.
fn overtaking(pen: &mut Pen, inside: f64) {
    let sector = overtaking_sector();
    let bracket = OUTSIDE + 10.6;
    for edge in [sector.from, sector.to()] {
        pen.line(pen.at(inside + GAP, edge), pen.at(bracket + 1.2, edge), 0.3, "1.6 1");
        let at = pen.at(bracket + 5.8, edge);
        pen.words((at.0, at.1 + 1.2), 3.5, "middle", &edge.to_string());
    }
    pen.path(pen.along(bracket, sector), "none", INK, 0.3);
    let words = "overtaking sector: a vessel coming up from here, more than 22.5 degrees abaft the beam, is overtaking";
    pen.bent(bracket + 3.2, Bearing::ASTERN, SMALL, words);
}

/// The boat in plan, her lamps as dots.
fn boat(pen: &mut Pen, surveyed: &Surveyed) {
    let place = hull(pen, &surveyed.scene.vessel, page::MIDDLE, (36.0, 15.0));
    for light in &surveyed.survey.lights {
        let at = surveyed.posed(light).centre;
        pen.dot(place(at.x, -at.y), 0.75, INK, "#ffffff");
    }
}
