//! The words and figures that panels show. Takes what is known; gives text. Must never draw, and never compute light.

use crate::{
    light::Colours,
    measure::{Lux, Metres, NauticalMiles, trimmed},
    rules::Expected,
};

/// Below this, distances are told in metres.
const METRES_UNDER: NauticalMiles = NauticalMiles(0.2);

/// A distance as it is spoken: "120 m", "0.5 nm".
pub fn distance(distance: Metres) -> String {
    let miles = distance.nautical_miles();
    if miles < METRES_UNDER { format!("{} m", trimmed(distance.0, 0)) } else { format!("{} nm", trimmed(miles.0, 2)) }
}

/// A distance as it is typed: `120 m`, `0.5 nm`, or a bare number, which up to 6 counts as nautical miles and above
/// as metres: no observer is farther off than 6 nm, and few are as near as 6 m.
pub fn read_distance(text: &str) -> Option<Metres> {
    let text = text.trim().to_lowercase();
    let (figure, unit) = text.split_at(text.find(|letter: char| letter.is_alphabetic()).unwrap_or(text.len()));
    let value: f64 = figure.trim().replace(',', ".").parse().ok()?;
    match unit.trim() {
        "m" => Some(Metres(value)),
        "nm" => Some(NauticalMiles(value).metres()),
        "" if value <= 6.0 => Some(NauticalMiles(value).metres()),
        "" => Some(Metres(value)),
        _ => None,
    }
}

/// Illuminance with the unit that keeps its figures few: "31 \u{b5}lx", "1.4 mlx".
pub fn lux(lux: Lux) -> String {
    let figures = |value: f64| trimmed(value, if value < 10.0 { 1 } else { 0 });
    let micro = lux.0 * 1e6;
    if micro <= 0.0 {
        "0".into()
    } else if micro < 0.05 {
        "under 0.1 \u{b5}lx".into()
    } else if micro < 1e3 {
        format!("{} \u{b5}lx", figures(micro))
    } else if micro < 1e6 {
        format!("{} mlx", figures(micro / 1e3))
    } else {
        format!("{} lx", figures(lux.0))
    }
}

/// "no faults", "1 fault", "3 faults".
pub fn count(many: usize, thing: &str) -> String {
    match many {
        0 => format!("no {thing}s"),
        1 => format!("1 {thing}"),
        _ => format!("{many} {thing}s"),
    }
}

/// How many of each severity a judgement found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    pub faults: usize,
    pub cautions: usize,
    pub notes: usize,
    /// Whether the rules know a display to judge against.
    pub judged: bool,
}

impl Tally {
    /// A fit's verdict on one line.
    pub fn in_words(self) -> String {
        let besides = |lead: &str| match self.cautions {
            0 => lead.to_string(),
            some => format!("{lead}, {}", count(some, "caution")),
        };
        match self {
            Self { judged: false, .. } => "no rule here to judge by".into(),
            Self { faults: 0, .. } => besides("passes"),
            Self { faults, .. } => besides(&format!("fails: {}", count(faults, "fault"))),
        }
    }
}

/// Whether what shows is what must show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Outcome {
    Right,
    Wrong,
    /// Not judged yet, or nothing to judge by.
    #[default]
    Open,
}

/// One plain sentence on a showing. `expected` is `None` where there is nothing to judge by.
pub fn sentence(showing: Colours, expected: Option<Expected>, lit: bool) -> (Outcome, String) {
    let Some(expected) = expected else {
        return (Outcome::Open, "There is no rule here to judge by.".into());
    };
    let (missing, extra) = (expected.missing(showing), expected.extra(showing));
    let verb = |colours: Colours| if colours.iter().count() == 1 { "shows" } else { "show" };
    let also = showing.without(expected.must);
    match (missing.is_empty(), extra.is_empty()) {
        (true, true) if showing.is_empty() => (Outcome::Right, "Right: nothing shows, and nothing must.".into()),
        (true, true) if also.is_empty() => {
            (Outcome::Right, format!("Right: {} {}, as must be.", showing.in_words(), verb(showing)))
        }
        (true, true) => {
            (Outcome::Right, format!("Right: {} {}; {} may.", showing.in_words(), verb(showing), also.in_words()))
        }
        (false, true) if showing.is_empty() => {
            let cause = if lit { "" } else { ", for no lamp is lit" };
            (Outcome::Wrong, format!("She shows nothing{cause}; {} must show.", missing.in_words()))
        }
        (false, true) => (Outcome::Wrong, format!("She lacks {}.", missing.in_words())),
        (true, false) => (Outcome::Wrong, format!("{} {} and should not.", capital(&extra.in_words()), verb(extra))),
        (false, false) => (
            Outcome::Wrong,
            format!("She lacks {}, and {} {} that should not.", missing.in_words(), extra.in_words(), verb(extra)),
        ),
    }
}

/// The same with a capital first letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::Colour;

    fn of(colours: &[Colour]) -> Colours {
        colours.iter().copied().collect()
    }

    fn said(shows: &[Colour], must: &[Colour], may: &[Colour]) -> (Outcome, String) {
        sentence(of(shows), Some(Expected { must: of(must), may: of(may) }), true)
    }

    #[test]
    fn what_is_right_is_said_to_be_right() {
        use Colour::{Green, Red, White};
        assert_eq!(
            said(&[White, Red], &[White, Red], &[]),
            (Outcome::Right, "Right: red and white show, as must be.".into())
        );
        assert_eq!(said(&[White], &[White], &[]), (Outcome::Right, "Right: white shows, as must be.".into()));
        assert_eq!(
            said(&[White, Green], &[White], &[Green]),
            (Outcome::Right, "Right: green and white show; green may.".into())
        );
    }

    #[test]
    fn what_lacks_and_what_is_too_many_are_named() {
        use Colour::{Green, White};
        assert_eq!(said(&[White], &[Green, White], &[]), (Outcome::Wrong, "She lacks green.".into()));
        assert_eq!(said(&[White], &[], &[]), (Outcome::Wrong, "White shows and should not.".into()));
        assert_eq!(
            said(&[White], &[Green], &[]),
            (Outcome::Wrong, "She lacks green, and white shows that should not.".into())
        );
        assert_eq!(said(&[], &[White], &[]), (Outcome::Wrong, "She shows nothing; white must show.".into()));
    }

    #[test]
    fn distances_change_from_metres_to_miles_at_a_fifth_of_a_mile() {
        assert_eq!(distance(Metres(120.0)), "120 m");
        assert_eq!(distance(NauticalMiles(0.2).metres()), "0.2 nm");
        assert_eq!(distance(NauticalMiles(0.5).metres()), "0.5 nm");
    }

    #[test]
    fn what_is_typed_is_read_with_or_without_its_unit() {
        assert_eq!(read_distance("120 m"), Some(Metres(120.0)));
        assert_eq!(read_distance("0,5nm"), Some(Metres(926.0)));
        assert_eq!(read_distance("2"), Some(Metres(3704.0)));
        assert_eq!(read_distance("50"), Some(Metres(50.0)));
        assert_eq!(read_distance("far"), None);
    }

    #[test]
    fn the_eye_s_threshold_reads_as_a_fifth_of_a_millionth() {
        assert_eq!(lux(crate::light::DARK_NIGHT_THRESHOLD), "0.2 \u{b5}lx");
        assert_eq!(lux(Lux(0.0123)), "12 mlx");
        assert_eq!(lux(Lux(0.0)), "0");
    }

    #[test]
    fn a_tally_says_how_a_fit_fares() {
        let tally = |faults, cautions| Tally { faults, cautions, notes: 0, judged: true }.in_words();
        assert_eq!(tally(0, 0), "passes");
        assert_eq!(tally(0, 1), "passes, 1 caution");
        assert_eq!(tally(3, 2), "fails: 3 faults, 2 cautions");
        assert_eq!(Tally::default().in_words(), "no rule here to judge by");
    }
}
