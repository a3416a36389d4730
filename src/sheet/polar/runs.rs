//! Runs of bearings on which something stays the same, for drawing as arcs.

use crate::measure::{Arc, Bearing};

/// Neighbouring bearings with the same value, as arcs whose edges lie half-way between samples; clockwise. `bearings`
/// rise evenly from right ahead.
pub(in crate::sheet) fn runs<T: PartialEq>(bearings: &[Bearing], values: Vec<T>) -> Vec<(Arc, T)> {
    let count = bearings.len();
    let step = 360.0 / count.max(1) as f64;
    let mut runs: Vec<(Arc, T)> = Vec::new();
    for (bearing, value) in bearings.iter().zip(values) {
        match runs.last_mut() {
            Some((arc, known)) if *known == value => arc.width += step,
            _ => runs.push((Arc { from: bearing.turned(-step / 2.0), width: step }, value)),
        }
    }
    join_across_ahead(&mut runs);
    runs
}

fn join_across_ahead<T: PartialEq>(runs: &mut Vec<(Arc, T)>) {
    match runs.as_mut_slice() {
        [(only, _)] => *only = Arc::ALL_ROUND,
        [(first, value), .., (last, same)] if value == same => {
            *first = Arc { from: last.from, width: first.width + last.width };
            runs.pop();
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_run_across_right_ahead_is_one_run() {
        let bearings: Vec<_> = (0..8).map(|n| Bearing::new(f64::from(n) * 45.0)).collect();
        let found = runs(&bearings, vec![1, 1, 0, 0, 0, 0, 0, 1]);
        assert_eq!(found, [(Arc::between(292.5, 67.5), 1), (Arc::between(67.5, 292.5), 0)]);
        assert_eq!(runs(&bearings, vec![1; 8]), [(Arc::ALL_ROUND, 1)]);
    }
}
