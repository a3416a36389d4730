//! The shadows of a survey as arcs, and the names of what casts them, led to from inside the rings.

use std::{cmp::Ordering, collections::BTreeMap};

use super::{layout::Layout, page, runs::runs, track::Track};
use crate::{
    boat::Owner,
    measure::Arc,
    sheet::{
        Surveyed,
        pen::{INK, Pen, SMALL, Spot, spot, width_of},
        wrap,
    },
    survey::LightSurvey,
};

/// A lamp counts as shadowed when less than this share of its face is seen.
const SEEN: f64 = 0.9;

/// From one baseline of a name to the next, millimetres.
const LINE: f64 = 3.9;

/// An arc of one light in which the boat's own solids hide it.
pub(super) struct Shadow {
    pub track: Track,
    pub arc: Arc,
    by: Owner,
}

impl Shadow {
    /// What it takes of the room on a ring: its arc on its own, its leader on those within, nothing on those outside.
    pub fn on(&self, track: Track) -> Option<Arc> {
        match self.track.cmp(&track) {
            Ordering::Equal => Some(self.arc),
            Ordering::Less => Some(Arc { from: self.arc.middle().turned(-1.0), width: 2.0 }),
            Ordering::Greater => None,
        }
    }
}

/// Every shadow that takes light which would otherwise be made out.
pub(super) fn shadows(surveyed: &Surveyed) -> Vec<Shadow> {
    let survey = surveyed.survey;
    let of_light = |light: &LightSurvey| {
        let owners = light.samples.iter().map(|sample| {
            let hidden = sample.visible < SEEN && survey.made_out_afar(sample.bare);
            sample.by.filter(|_| hidden)
        });
        let track = Track::of(surveyed, light);
        let runs = runs(&survey.bearings, owners.collect());
        runs.into_iter().filter_map(move |(arc, by)| Some(Shadow { track, arc, by: by? }))
    };
    survey.lights.iter().flat_map(of_light).collect()
}

/// A name inside the rings and the arcs it leads to.
struct Name {
    lines: Vec<String>,
    /// For each arc, the elbow of its leader inside the rings and its end on the arc.
    ends: Vec<(Spot, Spot)>,
    /// Where it would best stand, down the page from the middle of the plot.
    y: f64,
}

impl Name {
    /// Down the page; of names at about one height, the one that leads further out stands nearer the end of the boat
    /// it belongs to, so that leaders do not run through each other's names.
    fn order(&self) -> f64 {
        let count = self.ends.len().max(1) as f64;
        let down = self.ends.iter().map(|(elbow, _)| elbow.1 - page::MIDDLE.1).sum::<f64>() / count;
        let out = self.ends.iter().map(|(elbow, _)| (elbow.0 - page::MIDDLE.0).abs()).fold(0.0, f64::max);
        down + down.signum() * 0.5 * out
    }
}

/// The names of what casts the shadows, beside the boat, each with leaders to its arcs.
pub(super) fn shadow_names(pen: &mut Pen, surveyed: &Surveyed, layout: &Layout) {
    let inside = layout.inside();
    let beside = layout.boat().1 / 2.0 + 2.0;
    for to_starboard in [true, false] {
        let mut by_owner: BTreeMap<Owner, Vec<Shadow>> = BTreeMap::new();
        for shadow in shadows(surveyed) {
            if (shadow.arc.middle().degrees() < 180.0) == to_starboard {
                by_owner.entry(shadow.by).or_default().push(shadow);
            }
        }
        let mut names: Vec<Name> = by_owner
            .into_iter()
            .map(|(owner, shadows)| {
                let leader = |shadow: &Shadow| {
                    let bearing = shadow.arc.middle();
                    (pen.at(inside - 1.0, bearing), pen.at(layout.shown(shadow.track).middle(), bearing))
                };
                let ends: Vec<(Spot, Spot)> = shadows.iter().map(leader).collect();
                let name = surveyed.scene.owner_name(surveyed.fit, owner);
                let mean = ends.iter().map(|end| end.1.1 - page::MIDDLE.1).sum::<f64>() / ends.len() as f64;
                Name {
                    lines: wrap::lines(&name, inside - beside - 3.0, |piece| width_of(piece, SMALL)),
                    ends,
                    y: mean * 0.6,
                }
            })
            .collect();
        names.sort_by(|a, b| a.order().total_cmp(&b.order()));
        spread(&mut names, inside - 9.0);
        names.iter().for_each(|name| draw_name(pen, name, to_starboard, beside));
    }
}

/// Moves names apart so that none touches the next, and keeps them within `reach` of the middle.
fn spread(names: &mut [Name], reach: f64) {
    let tall = |name: &Name| LINE * name.lines.len() as f64 + 0.8;
    let mut floor = -reach;
    for name in names.iter_mut() {
        name.y = name.y.max(floor);
        floor = name.y + tall(name);
    }
    let mut ceiling = reach;
    for name in names.iter_mut().rev() {
        name.y = name.y.min(ceiling - tall(name));
        ceiling = name.y;
    }
}

fn draw_name(pen: &mut Pen, name: &Name, to_starboard: bool, beside: f64) {
    let (side, anchor) = if to_starboard { (1.0, "start") } else { (-1.0, "end") };
    let x = page::MIDDLE.0 + side * beside;
    let y = page::MIDDLE.1 + name.y;
    let widest = name.lines.iter().map(|line| width_of(line, SMALL)).fold(0.0, f64::max);
    for (elbow, end) in &name.ends {
        // From whichever end of the name lies nearer, so that no leader runs through its own name.
        let beyond = (elbow.0 - x) * side > widest / 2.0;
        let start = (x + side * if beyond { widest + 1.2 } else { -1.0 }, y + 1.9);
        pen.path(format!("M{} L{} L{}", spot(start), spot(*elbow), spot(*end)), "none", INK, 0.25);
        pen.dot(*end, 0.7, INK, "#ffffff");
    }
    for (index, line) in name.lines.iter().enumerate() {
        pen.words((x, y + 3.0 + LINE * index as f64), SMALL, anchor, line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_at_one_height_are_spread_without_touching() {
        let name = |y: f64| Name { lines: vec!["post".into(), "aft".into()], ends: Vec::new(), y };
        let mut names = vec![name(-40.0), name(18.0), name(18.5), name(19.0)];
        spread(&mut names, 24.0);
        assert!(names.windows(2).all(|pair| pair[1].y - pair[0].y >= 2.0 * LINE));
        assert!(names[0].y >= -24.0 && names[3].y + 2.0 * LINE <= 24.0);
    }
}
