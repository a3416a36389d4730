//! How much of a sheet's light a set of outlines covers, as an area.
//!
//! Along an upright line the stretches that solids cover are known exactly, and so is the light they take. Across, the
//! lines are summed by Gauss's and Kronrod's rules between the places where an outline begins, ends or turns, and halved
//! where the two rules disagree. Must never know what shape a solid has.

use super::{outline::Outline, sheet::Sheet};

/// Places and weights on [-1, 1] of the rule of five points that Kronrod added to Gauss's of two. Those at the second
/// and fourth place, taken alike, are Gauss's (Kronrod 1965; checked here by integrals of powers).
const PLACES: [f64; 5] =
    [-0.925_820_099_772_551_5, -0.577_350_269_189_625_8, 0.0, 0.577_350_269_189_625_8, 0.925_820_099_772_551_5];
const WEIGHTS: [f64; 5] = [98.0 / 495.0, 27.0 / 55.0, 28.0 / 45.0, 27.0 / 55.0, 98.0 / 495.0];
const GAUSS: [f64; 5] = [0.0, 1.0, 0.0, 1.0, 0.0];
/// Of the sheet's light: two rules that differ by no more over a panel are both right.
const TOLERANCE: f64 = 5e-5;
/// Of the sheet's light: a panel with less is left out, lest nought be divided by nought.
const NOTHING: f64 = 1e-13;
/// With more places to break at than this, those in a crowd count only a 128th of the width apart.
const MANY: usize = 64;

/// Share of the sheet's light that the outlines hide. One solid dims a line of sight once, however many of its facets
/// the line passes.
pub(super) fn hidden(sheet: &Sheet, outlines: &[&Outline]) -> f64 {
    if outlines.iter().any(|outline| outline.is_whole() && outline.transmits == 0.0) {
        return 1.0;
    }
    let mut cover = Cover { sheet, spans: Vec::new() };
    if outlines.iter().all(|outline| outline.is_whole()) {
        return cover.line(0.0, outlines);
    }
    cover.between(&breaks(sheet, outlines), outlines)
}

/// The places across the sheet between which what is hidden changes smoothly, its two sides included.
fn breaks(sheet: &Sheet, outlines: &[&Outline]) -> Vec<f64> {
    let side = sheet.half.x;
    let mut found = Vec::new();
    for outline in outlines {
        outline.breaks(sheet, &mut found);
    }
    found.retain(|place| place.abs() < side);
    found.extend([-side, side]);
    found.sort_by(f64::total_cmp);
    thin(&mut found, side * 1e-9);
    if found.len() > MANY {
        thin(&mut found, side / 64.0);
    }
    found
}

/// Drops what lies within the gap of its neighbours on both sides. The ends of a crowd stay, so that no wide panel has a
/// break hidden close to its end.
fn thin(places: &mut Vec<f64>, gap: f64) {
    let all = std::mem::take(places);
    for (index, place) in all.iter().enumerate() {
        let crowded = places.last().is_some_and(|before| place - before <= gap);
        let ends = all.get(index + 1).is_none_or(|next| next - place > gap);
        if !crowded || ends {
            places.push(*place);
        }
    }
}

/// A stretch of one upright line that one solid covers. All that let nothing through count as one solid.
#[derive(Clone, Copy)]
struct Span {
    solid: Option<usize>,
    from: f64,
    to: f64,
    transmits: f64,
}

struct Cover<'s> {
    sheet: &'s Sheet,
    /// Kept between lines, to spare making it anew.
    spans: Vec<Span>,
}

impl Cover<'_> {
    /// Hidden share of all light, from the first break to the last.
    fn between(&mut self, breaks: &[f64], outlines: &[&Outline]) -> f64 {
        let (Some(first), Some(last)) = (breaks.first(), breaks.last()) else { return 0.0 };
        let here: Vec<&Outline> =
            outlines.iter().filter(|outline| outline.left < *last && outline.right > *first).copied().collect();
        match breaks {
            _ if here.is_empty() => 0.0,
            [from, to] => self.panel(*from, *to, &here),
            _ => {
                let middle = breaks.len() / 2;
                self.between(&breaks[..=middle], &here) + self.between(&breaks[middle..], &here)
            }
        }
    }

    /// Hidden share of all light between two upright lines.
    fn panel(&mut self, from: f64, to: f64, outlines: &[&Outline]) -> f64 {
        let light = self.sheet.share_left_of(to) - self.sheet.share_left_of(from);
        if light < NOTHING {
            return 0.0;
        }
        let (middle, half) = ((from + to) / 2.0, (to - from) / 2.0);
        // Hidden and whole are summed alike, so that what is wholly hidden is so exactly.
        let (mut fine, mut coarse) = ((0.0, 0.0), (0.0, 0.0));
        for point in 0..PLACES.len() {
            let x = middle + half * PLACES[point];
            let bright = self.sheet.line_brightness(x);
            let dark = bright * self.line(x, outlines);
            fine = (fine.0 + WEIGHTS[point] * dark, fine.1 + WEIGHTS[point] * bright);
            coarse = (coarse.0 + GAUSS[point] * dark, coarse.1 + GAUSS[point] * bright);
        }
        let share = fine.0 / fine.1;
        if light <= TOLERANCE || light * (share - coarse.0 / coarse.1).abs() <= TOLERANCE {
            return light * share;
        }
        self.panel(from, middle, outlines) + self.panel(middle, to, outlines)
    }

    /// Hidden share of the light of the upright line at this x.
    fn line(&mut self, x: f64, outlines: &[&Outline]) -> f64 {
        let reach = self.sheet.reach(x);
        self.spans.clear();
        for outline in outlines.iter().filter(|outline| outline.left <= x && x <= outline.right) {
            if let Some((from, to)) = outline.along(self.sheet, x, reach) {
                let solid = (outline.transmits > 0.0).then_some(outline.solid);
                self.spans.push(Span { solid, from, to, transmits: outline.transmits });
            }
        }
        let light = |from: f64, to: f64| self.sheet.share_below(to / reach) - self.sheet.share_below(from / reach);
        match self.spans[..] {
            [] => return 0.0,
            [only] => return (1.0 - only.transmits) * light(only.from, only.to),
            _ => {}
        }
        join(&mut self.spans);
        let mut ends: Vec<f64> = self.spans.iter().flat_map(|span| [span.from, span.to]).collect();
        ends.sort_by(f64::total_cmp);
        let stretches = ends.windows(2).map(|pair| {
            let middle = (pair[0] + pair[1]) / 2.0;
            let over = self.spans.iter().filter(|span| span.from <= middle && middle <= span.to);
            (1.0 - over.map(|span| span.transmits).product::<f64>()) * light(pair[0], pair[1])
        });
        stretches.sum()
    }
}

/// Makes one of the spans of one solid that touch.
fn join(spans: &mut Vec<Span>) {
    spans.sort_by(|a, b| a.solid.cmp(&b.solid).then(a.from.total_cmp(&b.from)));
    spans.dedup_by(|later, kept| {
        let touching = later.solid == kept.solid && later.from <= kept.to;
        if touching {
            kept.to = kept.to.max(later.to);
        }
        touching
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_rules_integrate_the_powers_that_they_must() {
        for (weights, degree) in [(WEIGHTS, 7), (GAUSS, 3)] {
            for power in 0..=degree {
                let sum: f64 = PLACES.iter().zip(weights).map(|(place, weight)| weight * place.powi(power)).sum();
                let exact = if power % 2 == 0 { 2.0 / f64::from(power + 1) } else { 0.0 };
                assert!((sum - exact).abs() < 1e-14, "power {power}: {sum}");
            }
        }
    }
}
