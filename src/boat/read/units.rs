//! Lengths written in another unit than metres: what they are in metres, and how to say so.
//!
//! Takes figures and the units people write; gives numbers in metres and words. Must never know of files or fields.

use super::lex::{NO_UNITS, number_of};
use crate::measure::trimmed;

/// Metres in one of a unit of length; `None` for a unit that measures none, or is not known.
fn metres_in(unit: &str) -> Option<f64> {
    match unit.to_lowercase().as_str() {
        "mm" => Some(0.001),
        "cm" => Some(0.01),
        "in" | "inch" | "inches" => Some(0.0254),
        "ft" | "foot" | "feet" => Some(0.3048),
        "m" | "metre" | "metres" => Some(1.0),
        _ => None,
    }
}

/// Whether figures stand in this unit anyway, so that only the unit is too much.
fn is_own(unit: &str) -> bool {
    ["", "m", "metre", "metres", "°", "deg", "degree", "degrees", "kn", "kt", "kts", "knot", "knots", "nm"]
        .contains(&unit.to_lowercase().as_str())
}

/// A figure and the unit written behind it, with or without a blank; `None` where no number stands first.
fn figure_and_unit(written: &str) -> Option<(String, &str)> {
    let written = written.trim();
    let digits = written.trim_end_matches(|letter: char| !letter.is_ascii_digit() && letter != '.');
    let figure = digits.replace(['−', '–'], "-");
    number_of(&figure)?;
    Some((figure, written[digits.len()..].trim()))
}

/// The metres that `20ft` or `620 mm` are; `None` unless a number and a unit of length stand there.
pub(crate) fn metres_of(written: &str) -> Option<f64> {
    let (figure, unit) = figure_and_unit(written)?;
    Some(number_of(&figure)? * metres_in(unit)?)
}

/// The figure of one that is written with a unit which is only too much: `7` of `7 kn`.
pub(crate) fn figure_of(written: &str) -> Option<String> {
    figure_and_unit(written).filter(|(_, unit)| is_own(unit)).map(|(figure, _)| figure)
}

/// How to mend numbers that have units behind them, such as `550mm`, or `17 ft` and `6 in` together.
pub(super) fn mend(written: &[&str]) -> String {
    if let [one] = written
        && let Some(figure) = figure_of(one)
    {
        return format!("write `{figure}`: {NO_UNITS}");
    }
    let metres: Option<f64> = written.iter().map(|one| metres_of(one)).sum();
    match (metres, written) {
        (Some(metres), _) => {
            format!("write `{}`: lengths are in metres, and no unit is written", trimmed(metres, 5))
        }
        (None, [one]) if figure_and_unit(one).is_none() => "write a plain number such as `0.25`".into(),
        (None, _) => format!("write the number alone: {NO_UNITS}"),
    }
}

/// What is said of a length that cannot be: the metres it is when it was written in millimetres or centimetres, where
/// those can be: "550 mm is 0.55".
pub(crate) fn slip_of_unit(value: f64, possible: &dyn Fn(f64) -> bool) -> Option<String> {
    // Fewer are no slip of the unit: nothing on a boat is measured so.
    const FEWEST: f64 = 10.0;
    if value.abs() < FEWEST {
        return None;
    }
    let read = |unit, share: f64| {
        let metres = value / share;
        possible(metres).then(|| format!("{} {unit} is {}", trimmed(value, 3), trimmed(metres, 6)))
    };
    let words: Vec<String> = [read("mm", 1000.0), read("cm", 100.0)].into_iter().flatten().collect();
    (!words.is_empty()).then(|| words.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_in_other_units_are_told_in_metres() {
        for (written, metres) in
            [("550mm", "0.55"), ("55 cm", "0.55"), ("17ft", "5.1816"), ("2.5 in", "0.0635"), ("6.2 m", "6.2")]
        {
            assert_eq!(metres_of(written).map(|metres| trimmed(metres, 5)).as_deref(), Some(metres), "{written}");
        }
        assert_eq!(metres_of("7 kn"), None);
        assert_eq!(metres_of("long"), None);
        assert!(mend(&["17 ft", "6 in"]).starts_with("write `5.334`"));
        assert!(mend(&["12°"]).starts_with("write `12`"));
        assert!(mend(&["20mph"]).starts_with("write the number alone"), "20 mph are not 20 knots");
    }
}
