//! Makes a whole set of rules of a rule file and the set that it is made from.
//!
//! Takes a draft; gives the rules, and which row of the file each of their rows was. Must never judge whether they make
//! sense.

use super::{
    Rules,
    draft::Draft,
    place::{Doubt, Origins, Path},
    rows::{ClauseRow, Display},
};

/// The whole set; `None` when the draft lacks something, which was told of when it was read.
pub(super) fn merged(draft: Draft, doubts: &mut Vec<Doubt>) -> Option<(Rules, Origins)> {
    let base = draft.from;
    let mut origins = Origins::default();
    let dropped = |clause: &str| draft.drop.iter().any(|drop| drop == clause);
    if let Some(base) = base {
        idle_drops(base, &draft.drop, doubts);
    }
    let mut joining = Joining { origins: &mut origins };
    let rules = Rules {
        name: draft.name?,
        base,
        sectors: joining
            .replace("sectors", base.map(|base| &base.sectors), draft.sectors, |a, b| a.light == b.light)?,
        ranges: joining.replace("ranges", base.map(|base| &base.ranges), draft.ranges, |a, b| a.length == b.length)?,
        colours: joining
            .replace("colours", base.map(|base| &base.colours), draft.colours, |a, b| a.colour == b.colour)?,
        vertical: joining
            .replace("vertical", base.map(|base| &base.vertical), draft.vertical, |a, b| a.sailing == b.sailing)?,
        cut: joining.in_front("cut", base.map(|base| &base.cut), draft.cut)?,
        limits: joining.add(
            "limits",
            base.map(|base| base.limits.iter().filter(|row| !dropped(&row.clause)).cloned().collect()),
            draft.limits,
        )?,
        displays: joining.add("displays", base.map(|base| displays_without(base, &dropped)), draft.displays)?,
        clauses: joining.clauses(base.map(|base| &base.clauses), draft.clauses, draft.waiver.is_some(), &dropped)?,
        intensities: draft.intensities.or_else(|| Some(base?.intensities.clone()))?,
        intensity_clause: draft.intensity_clause.or_else(|| Some(base?.intensity_clause.clone()))?,
        intensity_source: draft.intensity_source.or_else(|| Some(base?.intensity_source.clone()))?,
        cutoff: draft.cutoff.or_else(|| Some(base?.cutoff.clone()))?,
        places: draft.places.or_else(|| Some(base?.places.clone()))?,
        screens: draft.screens.or_else(|| Some(base?.screens.clone()))?,
        evenness: draft.evenness.or_else(|| Some(base?.evenness.clone()))?,
        glare: draft.glare.or_else(|| Some(base?.glare.clone()))?,
        waiver: draft.waiver,
    };
    Some((rules, origins))
}

/// Displays of the set it is made from, without those dropped and without exemptions dropped.
fn displays_without(base: &Rules, dropped: &impl Fn(&str) -> bool) -> Vec<Display> {
    let kept = base.displays.iter().filter(|row| !dropped(&row.clause)).cloned();
    kept.map(|display| Display { exempt: display.exempt.filter(|exempt| !dropped(&exempt.clause)), ..display })
        .collect()
}

/// A drop that takes nothing away is a slip of the pen.
fn idle_drops(base: &Rules, drops: &[String], doubts: &mut Vec<Doubt>) {
    let known: Vec<&str> = base.clauses.iter().map(|row| row.clause.as_str()).collect();
    for (index, drop) in drops.iter().enumerate() {
        let displays = base.displays.iter();
        let exempt = |display: &Display| display.exempt.as_ref().is_some_and(|exempt| exempt.clause == *drop);
        let there = known.contains(&drop.as_str())
            || base.limits.iter().any(|row| row.clause == *drop)
            || displays.clone().any(|display| display.clause == *drop || exempt(display));
        if !there {
            let near = crate::boat::read::nearest(drop, &known);
            doubts.push(Doubt {
                path: Path::top("drop").item(index),
                what: format!("dropping \"{drop}\" takes nothing away: \"{}\" has no such clause", base.name),
                mend: near.map_or("take it out of `drop`".into(), |near| format!("did you mean \"{near}\"?")),
            });
        }
    }
}

struct Joining<'o> {
    origins: &'o mut Origins,
}

impl Joining<'_> {
    /// Rows of the file in the place of those that are of the same thing, the others behind.
    fn replace<T: Clone>(
        &mut self,
        list: &'static str,
        base: Option<&Vec<T>>,
        own: Option<Vec<T>>,
        same: fn(&T, &T) -> bool,
    ) -> Option<Vec<T>> {
        let Some(base) = base else { return own };
        let mut rows: Vec<(T, Option<usize>)> = base.iter().map(|row| (row.clone(), None)).collect();
        for (index, row) in own.into_iter().flatten().enumerate() {
            match rows.iter_mut().find(|(one, origin)| origin.is_none() && same(one, &row)) {
                Some(place) => *place = (row, Some(index)),
                None => rows.push((row, Some(index))),
            }
        }
        Some(self.noted(list, rows))
    }

    /// Rows of the file behind those taken over.
    fn add<T>(&mut self, list: &'static str, base: Option<Vec<T>>, own: Option<Vec<T>>) -> Option<Vec<T>> {
        let Some(base) = base else { return own };
        let taken = base.into_iter().map(|row| (row, None));
        let own = own.into_iter().flatten().enumerate().map(|(index, row)| (row, Some(index)));
        Some(self.noted(list, taken.chain(own).collect()))
    }

    /// Rows of the file before those taken over, so that they are found first.
    fn in_front<T: Clone>(&mut self, list: &'static str, base: Option<&Vec<T>>, own: Option<Vec<T>>) -> Option<Vec<T>> {
        let Some(base) = base else { return own };
        let taken = base.iter().map(|row| (row.clone(), None));
        let own = own.into_iter().flatten().enumerate().map(|(index, row)| (row, Some(index)));
        Some(self.noted(list, own.chain(taken).collect()))
    }

    /// A clause given again keeps its place in the table; a new one stands behind the one given before it.
    fn clauses(
        &mut self,
        base: Option<&Vec<ClauseRow>>,
        own: Option<Vec<ClauseRow>>,
        relief: bool,
        dropped: &impl Fn(&str) -> bool,
    ) -> Option<Vec<ClauseRow>> {
        let Some(base) = base else { return own };
        let mut rows: Vec<(ClauseRow, Option<usize>)> = base.iter().map(|row| (row.clone(), None)).collect();
        let mut last = None;
        for (index, row) in own.into_iter().flatten().enumerate() {
            let same = rows.iter().position(|(one, origin)| origin.is_none() && one.clause == row.clause);
            let place = same.unwrap_or_else(|| last.map_or(rows.len(), |last: usize| last + 1));
            if same.is_some() {
                rows[place] = (row, Some(index));
            } else {
                rows.insert(place, (row, Some(index)));
            }
            last = Some(place);
        }
        rows.retain(|(row, origin)| origin.is_some() || relief || !dropped(&row.clause));
        // What a waiver drops is still said of her in its notes, and stays in the table.
        for (row, _) in rows.iter_mut().filter(|(row, origin)| origin.is_none() && dropped(&row.clause)) {
            row.whom = "vessels without the waiver".into();
        }
        Some(self.noted("clauses", rows))
    }

    fn noted<T>(&mut self, list: &'static str, rows: Vec<(T, Option<usize>)>) -> Vec<T> {
        let (rows, origins) = rows.into_iter().unzip();
        self.origins.note(list, origins);
        rows
    }
}
