//! Arcs of bearings on which something holds, with their edges found by halving.

use rayon::prelude::*;

use crate::measure::{Arc, Bearing};

/// Edges are placed to within this many degrees.
pub const EDGE_TOLERANCE: f64 = 0.01;

/// The bearing between two others (going clockwise from `from`) at which `holds` changes from its value at `from`.
pub fn edge_between(from: Bearing, to: Bearing, holds: impl Fn(Bearing) -> bool) -> Bearing {
    let before = holds(from);
    let (mut low, mut high) = (0.0, (to.degrees() - from.degrees()).rem_euclid(360.0));
    while high - low > EDGE_TOLERANCE / 2.0 {
        let middle = (low + high) / 2.0;
        if holds(from.turned(middle)) == before { low = middle } else { high = middle }
    }
    from.turned((low + high) / 2.0)
}

/// The arcs on which `holds` is true, clockwise from the first that starts at or after right ahead. `held` is its value
/// at each of `bearings` (rising), so that what is known already is not asked again. What is narrower than the gaps
/// between bearings may be missed; edges are exact to [`EDGE_TOLERANCE`].
pub fn arcs_where(bearings: &[Bearing], held: &[bool], holds: impl Fn(Bearing) -> bool + Sync) -> Vec<Arc> {
    let count = bearings.len();
    if held.iter().all(|is| *is) {
        return if count == 0 { Vec::new() } else { vec![Arc::ALL_ROUND] };
    }
    let before = |n: usize| (n + count - 1) % count;
    // Each arc runs from a step up (between n - 1 and n) to the next step down.
    let starts: Vec<usize> = (0..count).filter(|n| held[*n] && !held[before(*n)]).collect();
    starts
        .into_par_iter()
        .map(|start| {
            let end = (1..=count).map(|ahead| (start + ahead) % count).find(|n| !held[*n]).unwrap_or(start);
            let from = edge_between(bearings[before(start)], bearings[start], &holds);
            let to = edge_between(bearings[before(end)], bearings[end], &holds);
            Arc { from, width: (to.degrees() - from.degrees()).rem_euclid(360.0) }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn arcs(holds: impl Fn(Bearing) -> bool + Sync) -> Vec<Arc> {
        let bearings: Vec<_> = (0..360u16).map(|degree| Bearing::new(f64::from(degree))).collect();
        let held: Vec<_> = bearings.iter().map(|bearing| holds(*bearing)).collect();
        arcs_where(&bearings, &held, holds)
    }

    #[test]
    fn edges_are_found_between_the_samples() {
        let sector = Arc::between(247.53, 112.47);
        let arcs = arcs(|bearing| sector.contains(bearing));
        assert_eq!(arcs.len(), 1);
        assert!((arcs[0].from.degrees() - 247.53).abs() < EDGE_TOLERANCE);
        assert!((arcs[0].to().degrees() - 112.47).abs() < EDGE_TOLERANCE);
    }

    #[test]
    fn always_and_never_have_no_edges() {
        assert_eq!(arcs(|_| true), vec![Arc::ALL_ROUND]);
        assert!(arcs(|_| false).is_empty());
    }

    #[test]
    fn several_arcs_come_clockwise() {
        let arcs = arcs(|bearing| (bearing.degrees() / 30.0).sin() > 0.0);
        assert!(arcs.windows(2).all(|pair| pair[0].from < pair[1].from));
        assert!(arcs.len() >= 2);
    }
}
