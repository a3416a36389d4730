//! How a lamp's light depends on the voltage at its terminals.
//!
//! Takes a law, or a table that was measured, and a voltage; gives the share of the lamp's full light. Full light is
//! what its beams are stated for. Must never know of wires or of what a beam is for, and answers no voltage that the
//! law or the table was not made for.

use crate::measure::{Volts, trimmed};

/// Light of a filament lamp goes with this power of the voltage: common practice, no source. The trade's rule of thumb
/// is 3.4 to 3.5; the lower one dims the lamp less.
pub const FILAMENT_POWER: f64 = 3.4;

/// How far off its rated voltage the law of the filament is believed, as shares of it. The law is told for slight
/// changes; these bounds are this program's own.
const FILAMENT_REACH: (f64, f64) = (0.7, 1.2);

/// Shares that count as equal.
const TOLERANCE: f64 = 1e-9;

/// A way of depending on voltage.
#[derive(Clone, Debug, PartialEq)]
pub enum Dependence {
    /// A bare filament that gives its full light at the rated voltage.
    Filament { rated: Volts },
    /// A driver that holds the light the same from one voltage to another.
    Constant { from: Volts, to: Volts },
    /// As it was measured.
    Measured(Table),
}

/// Shares of the full light against rising voltages, straight in between.
#[derive(Clone, Debug, PartialEq)]
pub struct Table(Vec<(f64, f64)>);

/// What is wrong with a table, in which of its rows (counted from 0), and how to mend it.
#[derive(Clone, Debug, PartialEq)]
pub struct Unsound {
    pub row: usize,
    pub what: String,
    pub mend: &'static str,
}

impl Table {
    /// Volts and shares: at least two rows, rising and positive voltages, shares from 0 to 3, and one row of share 1,
    /// which tells at which voltage the candela of the lamp hold.
    ///
    /// # Errors
    /// With the first row that is not so.
    pub fn new(rows: Vec<(f64, f64)>) -> Result<Self, Unsound> {
        let wrong = |row: usize, what: String, mend: &'static str| Err(Unsound { row, what, mend });
        for (row, (volts, share)) in rows.iter().enumerate() {
            if !(volts.is_finite() && *volts > 0.0) {
                return wrong(row, format!("a voltage of {} is none of a lamp's", trimmed(*volts, 4)), "write volts");
            }
            if !(0.0..=3.0).contains(share) {
                let what = format!("a share of light of {} is outside 0 to 3", trimmed(*share, 4));
                return wrong(row, what, "write what share of its full light the lamp gives: 1 is all of it");
            }
        }
        if let Some(row) = rows.windows(2).position(|pair| pair[0].0 >= pair[1].0) {
            let what = format!("{} V follows {} V", trimmed(rows[row + 1].0, 4), trimmed(rows[row].0, 4));
            return wrong(row + 1, what, "put the voltages in rising order, each once");
        }
        if rows.len() < 2 {
            let what = "the light at one voltage alone tells nothing of others".into();
            return wrong(0, what, "measure it at two voltages or more");
        }
        if !rows.iter().any(|(_, share)| (share - 1.0).abs() < TOLERANCE) {
            let what = "at no voltage is the share of light 1".into();
            return wrong(0, what, "give the voltage at which the lamp's candela were measured the share 1");
        }
        Ok(Self(rows))
    }

    fn at(&self, volts: f64) -> Option<f64> {
        let after = self.0.partition_point(|(known, _)| *known < volts).max(1);
        let (low, high) = (self.0.get(after - 1)?, self.0.get(after)?);
        Some(low.1 + (high.1 - low.1) * (volts - low.0) / (high.0 - low.0))
    }

    /// The least voltage from which on, up to that of full light, it gives a share.
    fn least_for(&self, share: f64) -> Option<f64> {
        let full = self.0.iter().position(|(_, known)| (known - 1.0).abs() < TOLERANCE)?;
        if share > 1.0 {
            let stronger = self.0[full..].windows(2).find(|pair| pair[1].1 >= share)?;
            return Some(crossing(stronger[0], stronger[1], share));
        }
        let weaker = self.0[..=full].windows(2).rfind(|pair| pair[0].1 < share);
        Some(weaker.map_or(self.0[0].0, |pair| crossing(pair[0], pair[1], share)))
    }
}

/// Where the line between two rows comes to a share.
fn crossing(low: (f64, f64), high: (f64, f64), share: f64) -> f64 {
    low.0 + (high.0 - low.0) * ((share - low.1) / (high.1 - low.1)).clamp(0.0, 1.0)
}

impl Dependence {
    /// The least and the most voltage that it tells of.
    pub fn reach(&self) -> (Volts, Volts) {
        match self {
            Self::Filament { rated } => (Volts(rated.0 * FILAMENT_REACH.0), Volts(rated.0 * FILAMENT_REACH.1)),
            Self::Constant { from, to } => (*from, *to),
            Self::Measured(Table(rows)) => {
                let volts = |row: Option<&(f64, f64)>| Volts(row.map_or(0.0, |row| row.0));
                (volts(rows.first()), volts(rows.last()))
            }
        }
    }

    /// The least voltage at which it gives its full light.
    pub fn full(&self) -> Volts {
        match self {
            Self::Filament { rated } => *rated,
            Self::Constant { from, .. } => *from,
            Self::Measured(Table(rows)) => {
                let full = rows.iter().find(|(_, share)| (share - 1.0).abs() < TOLERANCE);
                Volts(full.map_or(0.0, |row| row.0))
            }
        }
    }

    /// The share of its full light at a voltage; `None` beyond its [reach](Self::reach).
    pub fn share(&self, at: Volts) -> Option<f64> {
        let (least, most) = self.reach();
        if at.0 < least.0 * (1.0 - TOLERANCE) || at.0 > most.0 * (1.0 + TOLERANCE) {
            return None;
        }
        match self {
            Self::Filament { rated } => Some((at.0 / rated.0).powf(FILAMENT_POWER)),
            Self::Constant { .. } => Some(1.0),
            Self::Measured(table) => table.at(at.0.clamp(least.0, most.0)),
        }
    }

    /// The least voltage that keeps at least a share of the full light; `None` where none within its reach does.
    pub fn least_for(&self, share: f64) -> Option<Volts> {
        let (least, most) = self.reach();
        let volts = match self {
            Self::Filament { rated } => rated.0 * share.max(0.0).powf(1.0 / FILAMENT_POWER),
            Self::Constant { from, .. } => (share <= 1.0 + TOLERANCE).then_some(from.0)?,
            Self::Measured(table) => table.least_for(share)?,
        };
        (volts <= most.0).then_some(Volts(volts.max(least.0)))
    }

    /// A round figure for a voltage that is the least of something: rounded up, so that it is enough, to the fewest
    /// decimals that do not pass the end of what is told.
    pub fn rounded_up(&self, least: Volts) -> Volts {
        let most = self.reach().1;
        let round = [10.0, 100.0, 1000.0].map(|parts| Volts((least.0 * parts - 1e-6).ceil() / parts));
        round.into_iter().find(|round| round.0 <= most.0 * (1.0 + TOLERANCE)).unwrap_or(most)
    }

    /// How it depends, as a clause: "goes with the 3.4th power of the voltage, full at 12 V".
    pub fn in_words(&self) -> String {
        match self {
            Self::Filament { rated } => {
                format!("goes with the voltage to the power {FILAMENT_POWER}, full at {}", volts(*rated))
            }
            Self::Constant { from, to } => format!("is held the same from {} to {}", volts(*from), volts(*to)),
            Self::Measured(_) => {
                let (least, most) = self.reach();
                format!("was measured from {} to {}, full at {}", volts(least), volts(most), volts(self.full()))
            }
        }
    }
}

/// "11.6 V". To the last decimal that anyone writes, since the end of what is told must not be rounded past itself.
pub fn volts(volts: Volts) -> String {
    format!("{} V", trimmed(volts.0, 6))
}

/// A dependence, and the voltage that the lamp gets.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    dependence: Dependence,
    at: Volts,
    share: f64,
}

/// A voltage at which nothing is known of the light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutOfReach {
    pub at: Volts,
    pub least: Volts,
    pub most: Volts,
}

impl OutOfReach {
    /// What is wrong, as a clause.
    pub fn what(&self) -> String {
        format!("at {} nothing is known of the lamp's light", volts(self.at))
    }

    /// How to mend it.
    pub fn mend(&self) -> String {
        format!("it is told from {} to {}, and nothing is taken beyond", volts(self.least), volts(self.most))
    }
}

impl Supply {
    /// What the lamp gets at its terminals.
    ///
    /// # Errors
    /// When the dependence tells nothing of that voltage.
    pub fn new(dependence: Dependence, at: Volts) -> Result<Self, OutOfReach> {
        let (least, most) = dependence.reach();
        let share = dependence.share(at).ok_or(OutOfReach { at, least, most })?;
        Ok(Self { dependence, at, share })
    }

    /// At the least voltage that gives the full light, which its dependence always tells of.
    pub fn full(dependence: Dependence) -> Self {
        let at = dependence.full();
        Self { dependence, at, share: 1.0 }
    }

    pub fn dependence(&self) -> &Dependence {
        &self.dependence
    }

    /// At the lamp's terminals.
    pub fn at(&self) -> Volts {
        self.at
    }

    /// Of the full light, at that voltage; 0 to about 3.
    pub fn share(&self) -> f64 {
        self.share
    }

    /// The least voltage at which the lamp gives `times` what it gives now.
    pub fn least_for_times(&self, times: f64) -> Option<Volts> {
        let share = self.share * times;
        share.is_finite().then(|| self.dependence.least_for(share)).flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(rows: &[(f64, f64)]) -> Result<Table, Unsound> {
        Table::new(rows.to_vec())
    }

    fn near(found: Option<f64>, wanted: f64) {
        assert!(found.is_some_and(|found| (found - wanted).abs() < 1e-9), "{found:?} where {wanted} is due");
    }

    fn near_volts(found: Option<Volts>, wanted: f64) {
        near(found.map(|volts| volts.0), wanted);
    }

    #[test]
    fn a_filament_a_twentieth_low_loses_a_sixth_of_its_light() {
        let bulb = Dependence::Filament { rated: Volts(12.0) };
        near(bulb.share(Volts(12.0)), 1.0);
        // 0.95 to the power 3.4, by pocket calculator.
        assert!((bulb.share(Volts(11.4)).unwrap() - 0.839_97).abs() < 1e-4);
        near_volts(bulb.least_for(bulb.share(Volts(11.4)).unwrap()), 11.4);
    }

    #[test]
    fn a_filament_far_off_its_rating_is_not_answered() {
        let bulb = Dependence::Filament { rated: Volts(10.0) };
        assert_eq!((bulb.share(Volts(6.9)), bulb.share(Volts(12.1))), (None, None));
        assert!(bulb.share(Volts(7.0)).is_some() && bulb.share(Volts(12.0)).is_some());
        assert_eq!(bulb.least_for(2.0), None, "it would need 12.26 V");
        near_volts(bulb.least_for(0.01), 7.0);
    }

    #[test]
    fn a_driver_holds_the_light_between_its_ends_and_tells_nothing_beyond() {
        let driver = Dependence::Constant { from: Volts(9.0), to: Volts(32.0) };
        near(driver.share(Volts(9.0)), 1.0);
        near(driver.share(Volts(32.0)), 1.0);
        assert_eq!((driver.share(Volts(8.9)), driver.share(Volts(32.1))), (None, None));
        near_volts(driver.least_for(1.0), 9.0);
        assert_eq!(driver.least_for(1.01), None);
    }

    #[test]
    fn a_table_runs_straight_between_its_rows_and_no_further() {
        let lamp = Dependence::Measured(table(&[(10.0, 0.5), (12.0, 1.0), (13.0, 1.2)]).unwrap());
        near(lamp.share(Volts(10.0)), 0.5);
        near(lamp.share(Volts(11.0)), 0.75);
        near(lamp.share(Volts(12.5)), 1.1);
        near(lamp.share(Volts(13.0)), 1.2);
        assert_eq!((lamp.share(Volts(9.9)), lamp.share(Volts(13.1))), (None, None));
        assert_eq!(lamp.full(), Volts(12.0));
        near_volts(lamp.least_for(0.75), 11.0);
        near_volts(lamp.least_for(1.1), 12.5);
        near_volts(lamp.least_for(0.2), 10.0);
        assert_eq!(lamp.least_for(1.3), None);
    }

    #[test]
    fn what_is_told_to_be_enough_is_rounded_up_and_not_past_the_end() {
        for (end, least, told) in [
            (13.0, 12.01, "12.1 V"),
            (12.05, 12.01, "12.01 V"),
            (12.05, 12.05, "12.05 V"),
            (12.055, 12.051, "12.051 V"),
            (12.0554, 12.0552, "12.0554 V"),
            (12.1, 12.1, "12.1 V"),
        ] {
            let lamp = Dependence::Measured(table(&[(10.0, 0.5), (end, 1.0)]).unwrap());
            let round = lamp.rounded_up(Volts(least));
            assert_eq!(volts(round), told);
            assert!(round.0 >= least && lamp.share(round).is_some(), "{told}");
        }
        let bulb = Dependence::Filament { rated: Volts(12.0) };
        assert_eq!(volts(bulb.rounded_up(Volts(14.39))), "14.4 V");
    }

    #[test]
    fn a_table_with_a_plateau_is_full_from_where_it_begins() {
        let lamp = Dependence::Measured(table(&[(8.0, 0.2), (9.0, 1.0), (30.0, 1.0)]).unwrap());
        assert_eq!(lamp.full(), Volts(9.0));
        near(lamp.share(Volts(20.0)), 1.0);
        near_volts(lamp.least_for(0.6), 8.5);
    }

    #[test]
    fn an_unsound_table_is_refused_at_its_row() {
        type Case<'c> = (&'c [(f64, f64)], usize, &'c str);
        let rows: [Case; 6] = [
            (&[(12.0, 1.0), (11.0, 0.8)], 1, "11 V follows 12 V"),
            (&[(12.0, 1.0), (12.0, 0.8)], 1, "follows"),
            (&[(12.0, 1.0), (13.0, -0.1)], 1, "outside 0 to 3"),
            (&[(0.0, 0.0), (12.0, 1.0)], 0, "a voltage of 0"),
            (&[(12.0, 1.0)], 0, "one voltage alone"),
            (&[(11.0, 0.8), (12.0, 0.9)], 0, "at no voltage"),
        ];
        for (table_rows, row, words) in rows {
            let unsound = table(table_rows).expect_err(words);
            assert!(unsound.row == row && unsound.what.contains(words), "{unsound:?}");
        }
    }

    #[test]
    fn a_supply_tells_what_more_light_would_take() {
        let supply = Supply::new(Dependence::Filament { rated: Volts(12.0) }, Volts(10.8)).unwrap();
        near(Some(supply.share()), 0.9f64.powf(3.4));
        near_volts(supply.least_for_times(1.0 / supply.share()), 12.0);
        let refused = Supply::new(supply.dependence().clone(), Volts(6.0)).unwrap_err();
        assert_eq!((refused.least, refused.most), (Volts(8.399_999_999_999_999), Volts(14.399_999_999_999_999)));
    }
}
