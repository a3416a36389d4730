//! What falls short of one fit, in everyday words, with where to stand to see it.
//!
//! Takes a judgement and the bearings of the walk; gives one entry a finding, worst first as judged. The fitter's own
//! words stay beside. Must never judge.

use super::{sight::stretch, words::words};
use crate::{
    measure::{Arc, Bearing},
    rules::{Finding, Severity},
};

/// One finding, told to a customer.
pub(super) struct Wrong<'a> {
    pub finding: &'a Finding,
    pub heading: String,
    pub means: String,
    /// Where from, in everyday words.
    pub place: Option<String>,
    /// Places in the walk from which it is seen, the most telling first.
    pub stands: Vec<usize>,
}

impl Wrong<'_> {
    /// A word for how bad it is.
    pub fn weight(&self) -> &'static str {
        match self.finding.severity {
            Severity::Fault => "Wrong",
            Severity::Caution => "To watch",
            Severity::Note => "Good to know",
        }
    }
}

/// Every finding of a judgement.
pub(super) fn wrongs<'a>(findings: &'a [Finding], bearings: &[Bearing]) -> Vec<Wrong<'a>> {
    findings
        .iter()
        .map(|finding| {
            let said = words().of(finding);
            Wrong {
                finding,
                heading: said.heading,
                means: said.means,
                place: finding.arc.map(stretch),
                stands: finding.arc.map_or_else(Vec::new, |arc| stands(arc, bearings)),
            }
        })
        .collect()
}

/// Arcs wider than this are worth a look from both ends, degrees.
const WIDE: f64 = 60.0;

/// The place in the walk nearest the middle of an arc, then those just inside its ends where it is wide.
fn stands(arc: Arc, bearings: &[Bearing]) -> Vec<usize> {
    let nearest = |to: Bearing, among: &mut dyn Iterator<Item = usize>| {
        let off = |index: &usize| bearings[*index].clockwise_of(to).abs();
        among.min_by(|a, b| off(a).total_cmp(&off(b)))
    };
    let inside: Vec<usize> = (0..bearings.len()).filter(|index| arc.contains(bearings[*index])).collect();
    let mut stands: Vec<usize> = if inside.is_empty() {
        nearest(arc.middle(), &mut (0..bearings.len())).into_iter().collect()
    } else {
        nearest(arc.middle(), &mut inside.iter().copied()).into_iter().collect()
    };
    if arc.width > WIDE && arc.width < 350.0 {
        let ends = [arc.from, arc.to()].map(|end| nearest(end, &mut inside.iter().copied()));
        for end in ends.into_iter().flatten().filter(|end| !stands.contains(end)).collect::<Vec<_>>() {
            stands.push(end);
        }
        stands.dedup();
    }
    stands
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tens() -> Vec<Bearing> {
        (0..36u8).map(|n| Bearing::new(f64::from(n) * 10.0)).collect()
    }

    #[test]
    fn a_wide_arc_is_looked_at_from_its_middle_and_from_both_ends() {
        assert_eq!(stands(Arc::between(0.0, 112.5), &tens()), [6, 0, 11]);
        assert_eq!(stands(Arc::between(247.5, 0.0), &tens()), [30, 25, 0]);
    }

    #[test]
    fn an_arc_between_two_places_is_looked_at_from_the_nearer() {
        assert_eq!(stands(Arc::between(42.0, 46.0), &tens()), [4]);
        assert_eq!(stands(Arc::between(112.5, 162.5), &tens()), [14]);
        assert_eq!(stands(Arc::between(0.0, 90.0), &[]), [] as [usize; 0]);
    }
}
