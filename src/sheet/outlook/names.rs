//! The names of what a lamp sees of its own boat: a row of them over the strip, each led once to its silhouette.
//!
//! Names stand in the order of what they lead to, so that no leader crosses another. Takes an outlook and which of it
//! matters; gives names in place.

use std::collections::BTreeMap;

use super::{cells::Frame, page::MARGIN};
use crate::{
    boat::Owner,
    measure::{Bearing, Degrees},
    sheet::{
        Surveyed,
        pen::{INK, Pen, SMALL, Spot, spot, width_of},
        wrap,
    },
    survey::Outlook,
};

/// At most so many are named.
const MOST: usize = 12;
/// Every second bearing is counted, as owners are told.
const COARSE: u32 = 2;
/// The least that is worth a name, in square degrees: within a sector, and elsewhere.
const LEAST: (f64, f64) = (0.75, 15.0);
/// From one baseline to the next, millimetres.
const LINE: f64 = 3.6;
/// Leaders keep so many places from each other where they can: three degrees.
const CLEAR: u32 = 6;
/// Between the row of names and the strip.
const LEADERS: f64 = 5.0;
const GAP: f64 = 2.2;
/// How much wider heavy letters are.
const HEAVY: f64 = 1.06;
/// How near the upper and lower edge of a strip a leader ends, degrees from level.
const FURTHEST: f64 = 6.9;
/// How wide names may be set: the first of these at which all fit side by side.
const WIDTHS: [f64; 5] = [44.0, 32.0, 26.0, 20.0, 15.0];

/// What is seen of one owner.
#[derive(Default)]
struct Tally {
    owner: Option<Owner>,
    /// Square degrees, weighed by how much of the face they take: within the sector, and in all.
    inside: f64,
    whole: f64,
    /// Cells by place across the strip: those within the sector where there are any.
    columns: BTreeMap<u32, Vec<u32>>,
}

struct Name {
    lines: Vec<String>,
    /// What it leads to.
    bearing: Bearing,
    elevation: Degrees,
    matters: bool,
    /// Middle of the words, across the page.
    x: f64,
}

impl Name {
    fn width(&self) -> f64 {
        let plain = self.lines.iter().map(|line| width_of(line, SMALL)).fold(0.0, f64::max);
        if self.matters { plain * HEAVY } else { plain }
    }
}

/// See the module.
pub(super) struct Names(Vec<Name>);

impl Names {
    /// `matters` picks the cells within the sector; leaders keep clear of the bearings `kept`, where they can.
    pub fn of(
        surveyed: &Surveyed,
        outlook: &Outlook,
        frame: &Frame,
        matters: &impl Fn(Bearing, Degrees) -> bool,
        kept: &[Bearing],
    ) -> Self {
        let mut tallies = tallies(outlook, matters);
        tallies.truncate(MOST);
        let places = places(&tallies, kept);
        let told = |(tally, place): (&Tally, Option<(Bearing, Degrees)>)| {
            let (bearing, elevation) = place?;
            let name = surveyed.scene.owner_name(surveyed.fit, tally.owner?);
            Some((name, bearing, elevation, tally.inside >= LEAST.0))
        };
        let mut told: Vec<_> = tallies.iter().zip(places).filter_map(told).collect();
        let room = frame.right() - MARGIN;
        let names = loop {
            let set = |width: f64| -> Vec<Name> {
                told.iter()
                    .map(|(name, bearing, elevation, matters)| Name {
                        lines: wrap::lines(name, width, |piece| width_of(piece, SMALL)),
                        bearing: *bearing,
                        elevation: *elevation,
                        matters: *matters,
                        x: frame.x(*bearing),
                    })
                    .collect()
            };
            let fits = |names: &Vec<Name>| names.iter().map(|name| name.width() + GAP).sum::<f64>() <= room;
            if let Some(names) = WIDTHS.into_iter().map(set).find(fits) {
                break names;
            }
            // What hides the least is last.
            if told.pop().is_none() {
                break Vec::new();
            }
        };
        Self(spread(names, MARGIN, frame.right()))
    }

    /// What the names and their leaders take above the strip, millimetres.
    pub fn depth(&self) -> f64 {
        let lines = self.0.iter().map(|name| name.lines.len()).max().unwrap_or(0);
        if lines == 0 { 1.5 } else { LINE * lines as f64 + LEADERS }
    }

    pub fn draw(&self, pen: &mut Pen, frame: &Frame) {
        for name in &self.0 {
            let last = frame.top - LEADERS;
            let end = frame.at(name.bearing, name.elevation);
            let elbow: Spot = (end.0, frame.top - 0.8);
            let outside = format!("M{} L{} V{}", spot((name.x, last + 0.9)), spot(elbow), frame.top);
            pen.path(outside, "none", INK, if name.matters { 0.35 } else { 0.2 });
            pen.path(format!("M{} V{}", spot((end.0, frame.top)), end.1), "none", "#ffffff", 0.3);
            pen.dot(end, 0.75, "#ffffff", INK);
            let first = last - LINE * (name.lines.len() as f64 - 1.0);
            for (index, line) in name.lines.iter().enumerate() {
                let at = (name.x, first + LINE * index as f64);
                if name.matters {
                    pen.heavy_words(at, SMALL, "middle", line);
                } else {
                    pen.words(at, SMALL, "middle", line);
                }
            }
        }
    }
}

impl Tally {
    /// The widest stretch of its silhouette.
    fn widest(&self) -> Vec<u32> {
        let mut stretches: Vec<Vec<u32>> = Vec::new();
        for column in self.columns.keys() {
            match stretches.last_mut() {
                Some(stretch) if stretch.last().is_some_and(|last| last + 1 == *column) => stretch.push(*column),
                _ => stretches.push(vec![*column]),
            }
        }
        let cells = |stretch: &Vec<u32>| stretch.iter().map(|column| self.columns[column].len()).sum::<usize>();
        // Of stretches alike, the first.
        stretches.reverse();
        stretches.into_iter().max_by_key(cells).unwrap_or_default()
    }

    /// A place well within its widest stretch, a little below its head: as near the middle as may be where it is clear of
    /// `taken`, places across the strip.
    fn place(&self, taken: &[u32]) -> Option<u32> {
        let widest = self.widest();
        let cells = |columns: &[u32]| columns.iter().map(|column| self.columns[column].len()).sum::<usize>();
        let half = |n: &usize| 2 * cells(&widest[..=*n]) >= cells(&widest);
        let middle = widest[(0..widest.len()).find(half)?];
        // Thin ends of a silhouette are no place to point at.
        let stout = |column: &&u32| 2 * self.columns[column].len() >= self.columns[&middle].len();
        let clear = |column: &&u32| taken.iter().all(|one| one.abs_diff(**column) >= CLEAR);
        let nearest = widest.iter().filter(stout).filter(clear).min_by_key(|column| column.abs_diff(middle));
        Some(nearest.copied().unwrap_or(middle))
    }

    fn height(&self, column: u32) -> Option<Degrees> {
        let rows = self.columns.get(&column)?;
        // A degree and a half down, or half-way.
        let row = *rows.get(rows.len() - 1 - (rows.len() / 2).min(6))?;
        Some(Degrees(Outlook::elevation(row).0.clamp(-FURTHEST, FURTHEST)))
    }
}

/// Where each leader ends. Narrow silhouettes choose first, since they have the least choice.
fn places(tallies: &[Tally], kept: &[Bearing]) -> Vec<Option<(Bearing, Degrees)>> {
    let mut taken: Vec<u32> = kept.iter().map(|bearing| place_of(*bearing)).collect();
    let mut order: Vec<usize> = (0..tallies.len()).collect();
    order.sort_by_key(|n| tallies[*n].widest().len());
    let mut places = vec![None; tallies.len()];
    for n in order {
        let Some(column) = tallies[n].place(&taken) else { continue };
        taken.push(column);
        places[n] = tallies[n].height(column).map(|height| (Outlook::bearing(column_at(column)), height));
    }
    places
}

/// The place across the strip of a bearing.
fn place_of(bearing: Bearing) -> u32 {
    let round = (bearing.degrees() - 180.0).rem_euclid(360.0);
    // From 0 to 720, so the cast is exact enough.
    (round * f64::from(Outlook::BEARINGS / COARSE) / 360.0).round() as u32
}

/// The column at a place across the strip.
fn column_at(place: u32) -> u32 {
    (place * COARSE + Outlook::BEARINGS / 2) % Outlook::BEARINGS
}

/// Every owner that is worth a name, what hides the most within the sector first, then what hides the most elsewhere.
fn tallies(outlook: &Outlook, matters: &impl Fn(Bearing, Degrees) -> bool) -> Vec<Tally> {
    let mut tallies: BTreeMap<Owner, [Tally; 2]> = BTreeMap::new();
    let across = 360.0 / f64::from(Outlook::BEARINGS / COARSE);
    let area = across * 2.0 * Outlook::HIGHEST / f64::from(Outlook::ELEVATIONS - 1);
    for place in 0..Outlook::BEARINGS / COARSE {
        let column = column_at(place);
        for row in 0..Outlook::ELEVATIONS {
            let Some(owner) = outlook.owner(column, row) else { continue };
            let inside = matters(Outlook::bearing(column), Outlook::elevation(row));
            let tally = &mut tallies.entry(owner).or_default()[usize::from(!inside)];
            tally.whole += area * outlook.hidden(column, row);
            tally.columns.entry(place).or_default().push(row);
        }
    }
    let mut found: Vec<Tally> = tallies
        .into_iter()
        .map(|(owner, [within, without])| {
            let (inside, whole) = (within.whole, within.whole + without.whole);
            let columns = if inside >= LEAST.0 { within.columns } else { without.columns };
            Tally { owner: Some(owner), inside, whole, columns }
        })
        .filter(|tally| tally.inside >= LEAST.0 || tally.whole >= LEAST.1)
        .collect();
    found.sort_by(|a, b| b.inside.total_cmp(&a.inside).then(b.whole.total_cmp(&a.whole)).then(a.owner.cmp(&b.owner)));
    found
}

/// Names side by side in the order of what they lead to, each as near it as the others let it be.
fn spread(mut names: Vec<Name>, left: f64, right: f64) -> Vec<Name> {
    names.sort_by(|a, b| a.x.total_cmp(&b.x));
    let wanted: Vec<f64> = names.iter().map(|name| name.x).collect();
    let half: Vec<f64> = names.iter().map(|name| (name.width() + GAP) / 2.0).collect();
    let pushed_right = |from: &[f64]| -> Vec<f64> {
        let mut floor = left;
        from.iter()
            .zip(&half)
            .map(|(x, half)| {
                let x = x.max(floor + half);
                floor = x + half;
                x
            })
            .collect()
    };
    let pushed_left = |from: &[f64]| -> Vec<f64> {
        let mut ceiling = right;
        let mut placed: Vec<f64> = from
            .iter()
            .zip(&half)
            .rev()
            .map(|(x, half)| {
                let x = x.min(ceiling - half);
                ceiling = x - half;
                x
            })
            .collect();
        placed.reverse();
        placed
    };
    // Either alone leans to one side; half-way between two sound rows lies a sound row.
    let one = pushed_left(&pushed_right(&wanted));
    let other = pushed_right(&pushed_left(&wanted));
    for (name, (one, other)) in names.iter_mut().zip(one.into_iter().zip(other)) {
        name.x = (one + other) / 2.0;
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_side_by_side_without_touching() {
        let name = |x: f64| Name {
            lines: vec!["jack post".into()],
            bearing: Bearing::AHEAD,
            elevation: Degrees(0.0),
            matters: true,
            x,
        };
        let names = spread(vec![name(49.5), name(50.5), name(1.0), name(99.0), name(50.0)], 0.0, 100.0);
        let half = names[0].width() / 2.0;
        assert!(names.windows(2).all(|pair| pair[1].x - pair[0].x >= 2.0 * half + GAP - 1e-9));
        assert!(names[0].x >= half && names[4].x <= 100.0 - half);
        assert!((names[2].x - 50.0).abs() < 1e-9, "a crowd stays about its middle");
    }
}
