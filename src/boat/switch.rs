//! The switch plan of a fit: which position of which switch feeds which lamps.
//!
//! Gives every setting of all switches together with the lamps lit in it. Must never know what the lights announce.

use serde::Serialize;

/// A switch with the positions it has besides off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Switch {
    pub name: String,
    /// At least one.
    pub positions: Vec<Position>,
}

/// One position of a switch.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Position {
    /// "on" for a plain switch.
    pub name: String,
    /// Indices into [`super::Fit::lamps`], rising, each once.
    pub lamps: Vec<usize>,
}

/// One setting of all switches of a fit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// For each switch, in order: the index of its position, or `None` for off.
    pub positions: Vec<Option<usize>>,
    /// The lamps lit, rising, each once.
    pub lamps: Vec<usize>,
}

/// The greatest number of settings that a plan may have: each is judged.
pub const MOST_SETTINGS: usize = 512;

/// How many settings a plan has, all off included; saturating.
pub fn setting_count(switches: &[Switch]) -> usize {
    switches.iter().fold(1, |count, switch| count.saturating_mul(switch.positions.len() + 1))
}

/// Every setting of the switches, all off first; the last switch turns fastest.
pub fn settings(switches: &[Switch]) -> Vec<Setting> {
    let mut settings = vec![Setting { positions: Vec::new(), lamps: Vec::new() }];
    for switch in switches {
        settings = settings.iter().flat_map(|setting| with_each_position(setting, switch)).collect();
    }
    settings
}

fn with_each_position(setting: &Setting, switch: &Switch) -> Vec<Setting> {
    let choices = std::iter::once(None).chain((0..switch.positions.len()).map(Some));
    choices
        .map(|choice| {
            let mut next = setting.clone();
            next.positions.push(choice);
            next.lamps.extend(choice.iter().flat_map(|index| &switch.positions[*index].lamps));
            next.lamps.sort_unstable();
            next.lamps.dedup();
            next
        })
        .collect()
}

impl Setting {
    /// "sidelights on, anchor light off"; the switches must be those the setting was made from.
    pub fn in_words(&self, switches: &[Switch]) -> String {
        let words = switches.iter().zip(&self.positions).map(|(switch, position)| {
            let at = position.and_then(|index| switch.positions.get(index)).map_or("off", |one| one.name.as_str());
            format!("{} {at}", switch.name)
        });
        words.collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn switch(name: &str, positions: &[&[usize]]) -> Switch {
        let positions = positions.iter().enumerate().map(|(n, lamps)| Position {
            name: if positions.len() == 1 { "on".into() } else { format!("at {n}") },
            lamps: lamps.to_vec(),
        });
        Switch { name: name.into(), positions: positions.collect() }
    }

    #[test]
    fn two_switches_of_one_and_two_positions_have_six_settings() {
        let switches = [switch("side", &[&[0, 1]]), switch("white", &[&[2], &[1, 2]])];
        let settings = settings(&switches);
        assert_eq!((settings.len(), setting_count(&switches)), (6, 6));
        assert!(settings[0].lamps.is_empty());
        assert_eq!(settings[5].lamps, [0, 1, 2]);
        assert_eq!(settings[5].in_words(&switches), "side on, white at 1");
    }
}
