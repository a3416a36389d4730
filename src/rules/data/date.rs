//! A day of the calendar, for waivers that expire.
//!
//! Takes `2027-12-31`; gives a day that can be held against another. Must never ask a clock: today is an argument.

use std::fmt;

use serde::{Deserialize, Deserializer, de::Error};

/// A day of the Gregorian calendar, years 1 to 9999. The later day is the greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    year: u32,
    month: u32,
    day: u32,
}

impl Date {
    /// A day that exists; `None` for one that does not, such as 29 February of a common year.
    pub fn new(year: u32, month: u32, day: u32) -> Option<Self> {
        let real = (1..=9999).contains(&year) && (1..=12).contains(&month);
        (real && (1..=days_in(year, month)).contains(&day)).then_some(Self { year, month, day })
    }

    /// Reads `2027-12-31`: four figures, two and two.
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut part = |figures: usize| {
            let part = parts.next().filter(|part| part.len() == figures && part.bytes().all(|b| b.is_ascii_digit()))?;
            part.parse().ok()
        };
        let (year, month, day) = (part(4)?, part(2)?, part(2)?);
        if parts.next().is_some() { None } else { Self::new(year, month, day) }
    }

    /// The day, at Greenwich, so many seconds after the beginning of 1970.
    pub fn of_seconds(seconds: u64) -> Self {
        let mut left = seconds / 86_400;
        let mut date = Self { year: 1970, month: 1, day: 1 };
        while left >= days_of(date.year) && date.year < 9999 {
            left -= days_of(date.year);
            date.year += 1;
        }
        while date.month < 12 && left >= u64::from(days_in(date.year, date.month)) {
            left -= u64::from(days_in(date.year, date.month));
            date.month += 1;
        }
        // Nothing is left over but days of this month, unless the clock stands past the last year.
        date.day = u32::try_from(left).unwrap_or(30).min(30) + 1;
        date
    }
}

fn is_leap(year: u32) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

fn days_in(year: u32, month: u32) -> u32 {
    match month {
        2 if is_leap(year) => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

fn days_of(year: u32) -> u64 {
    if is_leap(year) { 366 } else { 365 }
}

impl fmt::Display for Date {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::read(&text).ok_or_else(|| {
            D::Error::custom(format!(
                "\"{text}\" is no day of the calendar; write year, month and day as \"2027-12-31\""
            ))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_days_of_the_calendar_are_read() {
        for real in ["2027-12-31", "2028-02-29", "2000-02-29", "0001-01-01"] {
            assert_eq!(Date::read(real).map(|date| date.to_string()).as_deref(), Some(real));
        }
        for unreal in [
            "",
            "2027",
            "2027-12",
            "2027-02-29",
            "2100-02-29",
            "2027-04-31",
            "2027-13-01",
            "2027-00-10",
            "2027-01-00",
            "0000-01-01",
            "27-12-31",
            "2027-1-1",
            "2027-12-31-",
            "31-12-2027",
            "2027/12/31",
            "+027-12-31",
            "２027-12-31",
        ] {
            assert_eq!(Date::read(unreal), None, "{unreal}");
        }
    }

    #[test]
    fn the_later_day_is_the_greater() {
        let days = ["2026-12-31", "2027-01-01", "2027-01-31", "2027-02-01"].map(|day| Date::read(day).expect("a day"));
        assert!(days.is_sorted_by(|a, b| a < b));
    }

    /// Seconds of known days: the year 2000 began 946684800 seconds after 1970, by general knowledge of the trade.
    #[test]
    fn days_are_told_from_seconds() {
        for (seconds, day) in [
            (0, "1970-01-01"),
            (86_399, "1970-01-01"),
            (86_400, "1970-01-02"),
            (946_684_799, "1999-12-31"),
            (946_684_800, "2000-01-01"),
            (951_782_400, "2000-02-29"),
            (1_735_603_200, "2024-12-31"),
        ] {
            assert_eq!(Date::of_seconds(seconds).to_string(), day);
        }
        assert_eq!(Date::of_seconds(u64::MAX).to_string().len(), 10);
    }
}
