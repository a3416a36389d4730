//! How much of the time the swell hides a light from an eye far off.
//!
//! Takes the heights of a light and an eye above still water and the height of the swell; gives a share of the time.
//! Must never judge: no rule asks anything of it.

use crate::measure::Metres;

/// The share of the time, in `[0, 1]`, that a swell so high (crest to trough, not negative) hides a light from an eye.
///
/// A closed form of this program's own. The swell is a sine; light and eye rise and fall with it, each at a phase of its
/// own that is as likely as any other. Far off, many crests lie between, and the line of sight is so nearly level that
/// it clears them only when both its ends are above the crests, half the swell above still water. An end that is h high
/// is above them when sin(phase) exceeds 1 - h / (swell / 2): for arccos(1 - 2h / swell) / pi of the time.
///
/// Left out: crests higher than others, the length of the swell and how steep it is, the boat's own pitch and roll, the
/// curve of the sea, and that a crest hides a light for seconds only. An end closer than a few lengths of the swell
/// does better.
pub fn hidden_by_swell(light: Metres, eye: Metres, swell: Metres) -> f64 {
    1.0 - above_crests(light, swell) * above_crests(eye, swell)
}

/// The share of the time that a point so high above still water is above the crests.
fn above_crests(height: Metres, swell: Metres) -> f64 {
    if height.0 >= swell.0 {
        return 1.0;
    }
    (1.0 - 2.0 * height.0.max(0.0) / swell.0).acos() / std::f64::consts::PI
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hidden(light: f64, eye: f64, swell: f64) -> f64 {
        hidden_by_swell(Metres(light), Metres(eye), Metres(swell))
    }

    #[test]
    fn without_swell_nothing_is_hidden() {
        assert_eq!(hidden(0.0, 0.0, 0.0), 0.0);
        assert_eq!(hidden(1.0, 2.0, 0.0), 0.0);
    }

    #[test]
    fn what_is_above_the_crests_even_in_a_trough_is_never_hidden() {
        assert_eq!(hidden(1.5, 2.0, 1.5), 0.0);
        assert!(hidden(1.49, 2.0, 1.5) > 0.0);
    }

    #[test]
    fn low_in_a_great_swell_a_light_is_hidden_nearly_always() {
        assert!(hidden(0.05, 0.05, 15.0) > 0.99);
        assert_eq!(hidden(0.0, 2.0, 1.5), 1.0);
    }

    #[test]
    fn a_light_half_as_high_as_the_swell_is_hidden_half_the_time_from_an_eye_above_the_crests() {
        assert!((hidden(0.75, 3.0, 1.5) - 0.5).abs() < 1e-12);
        // And three quarters of it from an eye no higher: each is above the crests half the time.
        assert!((hidden(0.75, 0.75, 1.5) - 0.75).abs() < 1e-12);
    }

    #[test]
    fn higher_is_hidden_less_and_more_swell_hides_more() {
        let heights = (0..30).map(|tenths| f64::from(tenths) / 10.0);
        let by_height: Vec<f64> = heights.map(|height| hidden(height, 1.0, 2.5)).collect();
        assert!(by_height.windows(2).take(24).all(|pair| pair[1] < pair[0]), "{by_height:?}");
        let by_swell: Vec<f64> = (2..15).map(|swell| hidden(1.0, 1.5, f64::from(swell))).collect();
        assert!(by_swell.windows(2).all(|pair| pair[1] > pair[0]), "{by_swell:?}");
    }

    #[test]
    fn counting_over_every_phase_of_light_and_eye_gives_the_same_share() {
        const STEPS: u32 = 1000;
        let rise = |height: f64, step: u32| {
            height + 0.9 * (std::f64::consts::TAU * (f64::from(step) + 0.5) / f64::from(STEPS)).sin()
        };
        for (light, eye) in [(0.4, 1.0), (1.2, 0.6), (1.7, 1.7)] {
            let clear = |height: f64| (0..STEPS).filter(|step| rise(height, *step) > 0.9).count();
            let seen = clear(light) * clear(eye);
            let counted = 1.0 - seen as f64 / f64::from(STEPS * STEPS);
            assert!((counted - hidden(light, eye, 1.8)).abs() < 0.005, "{light} {eye}: {counted}");
        }
    }
}
