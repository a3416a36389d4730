//! The plot itself: a double ring for each kind of light, the marks where it is not as it should be, and the boat in the
//! middle.

use std::collections::BTreeMap;

use svg::node::element::{Path, Title};

use super::{
    labels::Lane,
    layout::{Layout, OUTSIDE, Strip},
    marks::{Amiss, Mark},
    page,
    runs::runs,
    shadows::{Shadow, shadow_names, shadows},
    track::{Track, optional, tracks},
};
use crate::{
    light::{Colour, Colours},
    measure::{Arc, Bearing, trimmed},
    rules::LightKind,
    sheet::{
        Surveyed,
        figure::{fill, hull, inks, overtaking_sector},
        pen::{INK, Pen, SMALL},
    },
    survey::LightSurvey,
};

/// Of an empty ring.
const GROUND: &str = "#e6e8ea";
pub(super) const HATCH: &str = "url(#shadow)";

pub(super) fn draw(pen: &mut Pen, surveyed: &Surveyed, marks: &[Mark]) {
    let layout = Layout::of(tracks(surveyed));
    let shadows = shadows(surveyed);
    overtaking(pen);
    // Leaders run under the letters, so that none is struck through.
    let lanes: Vec<Lane> = layout.tracks.iter().map(|track| shown(pen, surveyed, &layout, *track, &shadows)).collect();
    for track in &layout.tracks {
        ground(pen, layout.must(*track));
        asked(surveyed, *track).keys().filter_map(|kind| surveyed.judgement.rules.sector(*kind)).for_each(|row| {
            let strip = layout.must(*track);
            fill(pen, strip.inner, strip.outer, row.arc(), row.colour);
        });
    }
    page::bearings(pen, OUTSIDE);
    boat(pen, surveyed, &layout);
    shadow_names(pen, surveyed, &layout);
    for (track, mut lane) in layout.tracks.iter().zip(lanes) {
        let own: Vec<&Mark> = marks.iter().filter(|mark| mark.track == *track).collect();
        own.iter().for_each(|mark| outline(pen, layout.shown(*track), mark));
        label_must(pen, surveyed, &layout, *track, &shadows);
        label_shown(pen, surveyed, *track, &mut lane, &own);
    }
}

/// Every colour that the drawing holds.
pub(super) fn colours_used(surveyed: &Surveyed) -> Colours {
    let must = surveyed.survey.bearings.iter().map(|bearing| surveyed.expected(*bearing).must);
    must.chain(surveyed.survey.far_showings()).fold(Colours::NONE, Colours::or)
}

/// The lights of one ring that the display asks for, and how many of each.
fn asked(surveyed: &Surveyed, track: Track) -> BTreeMap<LightKind, usize> {
    let mut asked = BTreeMap::new();
    let kinds = surveyed.judgement.display.iter().flat_map(|display| display.required());
    for kind in kinds.filter(|kind| Track::of_kind(*kind) == track) {
        *asked.entry(kind).or_default() += 1;
    }
    asked
}

/// Names what must show on the arcs where it is due.
fn label_must(pen: &mut Pen, surveyed: &Surveyed, layout: &Layout, track: Track, shadows: &[Shadow]) {
    let crossed = shadows.iter().filter(|shadow| shadow.track != track).filter_map(|shadow| shadow.on(track));
    let mut lane = Lane::new(layout.must(track), crossed.collect());
    let asked = asked(surveyed, track);
    let rows: Vec<_> =
        asked.iter().filter_map(|(kind, count)| Some((surveyed.judgement.rules.sector(*kind)?, *count))).collect();
    for (row, count) in &rows {
        let name = counted(row.light, *count);
        let [long, short] = [format!("{name} must show"), format!("{name}: must")];
        lane.words(pen, row.arc(), inks(row.colour).0, &[&long, &short, &name]);
    }
    if rows.is_empty() {
        let standing = match surveyed.judgement.display {
            None => "not judged",
            Some(display) if optional(display).any(|kind| Track::of_kind(kind) == track) => "may show",
            Some(_) => "not asked for",
        };
        lane.words(pen, Arc::ALL_ROUND, GROUND, &[&format!("{}: {standing}", track.name())]);
    }
    rows.iter().for_each(|(row, _)| lane.letters(pen, row.arc(), row.colour));
}

/// "two all-round red lights".
fn counted(kind: LightKind, count: usize) -> String {
    match count {
        1 => kind.in_words().into(),
        2 => format!("two {}s", kind.in_words()),
        3 => format!("three {}s", kind.in_words()),
        many => format!("{many} {}s", kind.in_words()),
    }
}

/// What is made out on the far ring of the lights of one ring, and the shadows on them. Gives the strip, to be written
/// on.
fn shown(pen: &mut Pen, surveyed: &Surveyed, layout: &Layout, track: Track, shadows: &[Shadow]) -> Lane {
    let strip = layout.shown(track);
    ground(pen, strip);
    for (arc, colours) in shown_arcs(surveyed, track) {
        // Two colours at once share the depth of the ring.
        let depth = strip.depth() / colours.iter().count().max(1) as f64;
        for (index, colour) in colours.iter().enumerate() {
            let top = strip.outer - index as f64 * depth;
            fill(pen, top - depth, top, arc, colour);
        }
    }
    for shadow in shadows.iter().filter(|shadow| shadow.track == track) {
        pen.path(pen.piece(strip.inner, strip.outer, shadow.arc), HATCH, INK, 0.2);
    }
    Lane::new(strip, shadows.iter().filter_map(|shadow| shadow.on(track)).collect())
}

/// The colours of the lights of one ring that are made out on the far ring.
fn shown_arcs(surveyed: &Surveyed, track: Track) -> Vec<(Arc, Colours)> {
    let survey = surveyed.survey;
    let lights: Vec<&LightSurvey> = survey.lights.iter().filter(|light| Track::of(surveyed, light) == track).collect();
    let values: Vec<Colours> = (0..survey.bearings.len())
        .map(|index| {
            let made_out = lights.iter().filter(|light| survey.made_out_afar(light.samples[index].rest));
            made_out.map(|light| light.colour).collect()
        })
        .collect();
    runs(&survey.bearings, values)
}

/// Says what shows and what is amiss; then the letters of the colours, clear of both.
fn label_shown(pen: &mut Pen, surveyed: &Surveyed, track: Track, lane: &mut Lane, marks: &[&Mark]) {
    let mut told = false;
    for mark in marks {
        let ground = if mark.amiss == Amiss::Missing { GROUND } else { inks(mark.colour).0 };
        let words = mark.amiss.in_words();
        let by = mark.by.as_ref().map(|by| format!("{by} {words}"));
        let choices: Vec<&str> = by.as_deref().into_iter().chain([words]).collect();
        told |= lane.words(pen, mark.arc, ground, &choices) && !mark.amiss.is_missing();
    }
    for mark in marks {
        lane.sign(pen, mark.arc, &format!("{}{}", mark.amiss.sign(), mark.colour.letter()));
    }
    let arcs = shown_arcs(surveyed, track);
    let mut single: Vec<(Arc, Colour)> = Vec::new();
    for (arc, colours) in arcs {
        if let [colour] = colours.iter().collect::<Vec<_>>().as_slice() {
            single.push((arc, *colour));
        }
    }
    let far = trimmed(surveyed.survey.far.0, 2);
    let widest = single.iter().max_by(|a, b| a.0.width.total_cmp(&b.0.width));
    // "Shows" beside "may not show" would only puzzle; on thin rings the legend must do.
    if let Some((arc, colour)) = widest.filter(|_| !told && lane.is_roomy()) {
        lane.words(pen, *arc, inks(*colour).0, &[&format!("shows at {far} nm"), "shows"]);
    }
    single.into_iter().for_each(|(arc, colour)| lane.letters(pen, arc, colour));
}

/// Where no light is: grey enough to set off the white of a white light, pale enough to spare ink.
fn ground(pen: &mut Pen, strip: Strip) {
    pen.path(pen.piece(strip.inner, strip.outer, Arc::ALL_ROUND), GROUND, "none", 0.0);
}

/// A frame of dashes where something is missing, a solid bar along the inner edge where too much shows; each says in
/// its title what it is, for readers that speak.
fn outline(pen: &mut Pen, strip: Strip, mark: &Mark) {
    let words = format!("{}, {}: {} {}", mark.track.name(), mark.colour.name(), mark.amiss.in_words(), mark.arc);
    let path = Path::new().set("fill-rule", "evenodd").set("stroke", INK).add(Title::new(words));
    let path = if mark.amiss.is_missing() {
        let data = pen.piece(strip.inner + 0.5, strip.outer - 0.5, mark.arc);
        path.set("d", data).set("fill", "none").set("stroke-width", 0.6).set("stroke-dasharray", "2 1.1")
    } else {
        path.set("d", pen.piece(strip.inner, strip.inner + 1.1, mark.arc)).set("fill", INK).set("stroke-width", 0.35)
    };
    pen.add(path);
}

/// The overtaking sector: its edges outside the rings, a bracket, and its name in words.
fn overtaking(pen: &mut Pen) {
    let sector = overtaking_sector();
    let bracket = OUTSIDE + 10.6;
    for edge in [sector.from, sector.to()] {
        pen.line(pen.at(OUTSIDE + 0.8, edge), pen.at(bracket + 1.2, edge), 0.3, "1.6 1");
        let at = pen.at(bracket + 5.8, edge);
        pen.words((at.0, at.1 + 1.2), 3.5, "middle", &edge.to_string());
    }
    pen.path(pen.along(bracket, sector), "none", INK, 0.3);
    let words = "overtaking sector: a vessel coming up from here, more than 22.5 degrees abaft the beam, is overtaking";
    pen.bent(bracket + 3.2, Bearing::ASTERN, SMALL, words);
}

/// The boat in plan, her lamps as dots.
fn boat(pen: &mut Pen, surveyed: &Surveyed, layout: &Layout) {
    let place = hull(pen, &surveyed.scene.vessel, page::MIDDLE, layout.boat());
    for light in &surveyed.survey.lights {
        let at = surveyed.posed(light).centre;
        pen.dot(place(at.x, -at.y), 0.75, INK, "#ffffff");
    }
}
