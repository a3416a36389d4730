//! What no set of rules may lack or say.

use std::cmp::Ordering;

use super::{Band, LightKind, Rules};
use crate::measure::NauticalMiles;

impl Rules {
    /// What no set of rules may lack or say.
    pub(super) fn check(&self) -> Result<(), String> {
        let shown = self
            .displays
            .iter()
            .flat_map(|display| display.required().chain(display.may.iter().chain(&display.if_practicable).copied()));
        for light in shown {
            if self.sector(light).is_none() {
                return Err(format!("`sectors` has no row for {light:?}"));
            }
        }
        let possible = |degrees: f64| (0.0..=360.0).contains(&degrees);
        if let Some(row) = self.sectors.iter().find(|row| !possible(row.from) || !possible(row.to)) {
            return Err(format!("the sector of {:?} must run from 0 to 360 degrees", row.light));
        }
        let mut bands: Vec<_> = self.ranges.iter().map(|row| row.length).collect();
        bands.sort_by(|a, b| a.from.total_cmp(&b.from));
        if let Some(band) = bands.iter().find(|band| band.from.partial_cmp(&band.under) != Some(Ordering::Less)) {
            return Err(format!("the length band from {} to under {} m holds no length", band.from, band.under));
        }
        if let Some(pair) = bands.windows(2).find(|pair| pair[1].from < pair[0].under) {
            return Err(format!("the length bands from {} m and from {} m overlap", pair[0].from, pair[1].from));
        }
        if self.intensities.iter().any(|row| !(row.range > 0.0 && row.candela > 0.0)) {
            return Err("every row of `intensities` needs a range and candela above nought".into());
        }
        for row in &self.ranges {
            for range in LightKind::ALL.iter().filter_map(|light| row.range(*light)) {
                if self.intensity(NauticalMiles(range)).is_none() {
                    return Err(format!("`intensities` has no row for the range of {range} nautical miles"));
                }
            }
        }
        let ranged = |length: f64| self.ranges.iter().any(|row| row.length.holds(length));
        let ends = |band: &Band| [band.from, band.under.min(1e4) - 1e-6];
        if let Some(display) = self.displays.iter().find(|display| !ends(&display.length).into_iter().all(ranged)) {
            return Err(format!("`ranges` has no row for some lengths of the display \"{}\"", display.name));
        }
        self.check_limits()
    }

    /// Angles and shares that no set of limits can have.
    fn check_limits(&self) -> Result<(), String> {
        let cutoff = &self.cutoff;
        let angles = [
            ("forward_outside", cutoff.forward_outside),
            ("aft_inside", cutoff.aft_inside),
            ("aft_outside", cutoff.aft_outside),
            ("all_round_hidden", cutoff.all_round_hidden),
        ];
        if let Some((name, _)) = angles.iter().find(|(_, degrees)| !(0.0..=45.0).contains(degrees)) {
            return Err(format!("`{name}` of `cutoff` must be 0 to 45 degrees"));
        }
        if !(cutoff.aft_share > 0.0 && cutoff.aft_share <= 1.0) {
            return Err("`aft_share` of `cutoff` must be above 0 and at most 1".into());
        }
        if self.cut.iter().any(|row| !(row.share > 0.0 && row.share <= 1.0)) {
            return Err("`share` of each row of `cut` must be above 0 and at most 1".into());
        }
        if let Some(row) = self.limits.iter().find(|row| row.least.is_none() && row.most.is_none()) {
            return Err(format!("the limit {:?} has neither `least` nor `most`", row.asks));
        }
        let places = &self.places;
        if !(places.centreline > 0.0
            && places.centreline < 5.0
            && places.stern_share > 0.0
            && places.stern_share <= 1.0)
        {
            return Err("`places` needs a `centreline` of 0 to 5 metres and a `stern_share` of 0 to 1".into());
        }
        Ok(())
    }
}
