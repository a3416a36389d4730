//! What somebody on another vessel sees from one bearing, what he takes it for, and whether it is as it must be: in one
//! or two plain sentences.
//!
//! Takes a judged survey and a bearing; gives words. Colours come from the survey, what must show from the judgement and
//! its stripes; nothing is worked out here but how to say it.

use serde::Serialize;

use super::words::words;
use crate::{
    boat::{Role, Status},
    light::{Colour, Colours},
    measure::{Bearing, Metres, listed},
    rules::{Expected, LightKind, State, Stripe, Why, stripes},
    sheet::{Surveyed, Verdict, figure::overtaking_sector},
    survey::{Station, showing},
};

/// How what shows on a bearing stands to what must.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Stand {
    Right,
    /// Not all that the display asks for, and lawful all the same.
    Allowed,
    Wrong,
    /// There is no display to hold it against.
    Unjudged,
}

impl Stand {
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Right => "as it should be",
            Self::Allowed => "allowed",
            Self::Wrong => "not as it should be",
            Self::Unjudged => "not judged",
        }
    }
}

/// What is said of one bearing.
#[derive(Clone, Debug)]
pub(super) struct Told {
    pub shows: Colours,
    pub stand: Stand,
    pub said: String,
}

/// How near the edge of a stretch a bearing counts as neither side of it, degrees.
const ON_EDGE: f64 = 0.05;

/// Says what is seen of one fit.
pub(super) struct Teller<'a> {
    surveyed: Surveyed<'a>,
    stripes: Vec<Stripe>,
    /// Whether strangers read the lights by colour alone: under way, and nothing shown but what Rules 23(a) and 25 name.
    plain: bool,
    /// From where the pictures are drawn: how far off, and how high the eye is.
    close: Option<(Metres, Metres)>,
}

impl<'a> Teller<'a> {
    pub fn new(surveyed: Surveyed<'a>, close: Option<(Metres, Metres)>) -> Self {
        let Surveyed { scene, fit, survey, judgement } = surveyed;
        let stripes = stripes(scene, fit, survey, judgement);
        Self { surveyed, stripes, plain: is_plain(&surveyed), close }
    }

    pub fn tell(&self, bearing: Bearing) -> Told {
        let shows = self.surveyed.shows_afar(bearing);
        let expected = self.surveyed.expected(bearing);
        let (stand, judged) = self.judged(bearing, shows, expected);
        let sees = format!("From here he sees {}", seen(shows));
        let taken = words().reading(shows).filter(|_| self.plain);
        let said = match (taken, stand) {
            (Some(reading), Stand::Wrong) => format!("{sees}: he takes you for {reading}."),
            (Some(reading), _) => format!("{sees}: he knows you for {reading}."),
            (None, _) => format!("{sees}."),
        };
        Told { shows, stand, said: format!("{said}{judged}{}", self.close_by(bearing, shows)) }
    }

    /// How it stands, with what there is to say of that, a blank before it.
    fn judged(&self, bearing: Bearing, shows: Colours, expected: Expected) -> (Stand, String) {
        if self.surveyed.verdict() == Verdict::NotJudged {
            return (Stand::Unjudged, " What must show from here could not be judged.".into());
        }
        let (missing, extra) = (expected.missing(shows), expected.extra(shows));
        let weak = self.amiss(bearing);
        if missing.is_empty() && extra.is_empty() && weak.is_empty() {
            return (Stand::Right, self.well(bearing, shows, expected));
        }
        // Where nothing is a fault, the rules excuse what lacks: a narrow gap, a vessel or waters without the duty.
        if self.surveyed.verdict() == Verdict::Passes || (extra.is_empty() && self.excused(bearing, missing)) {
            return (
                Stand::Allowed,
                " Not all is as the rules have it, but they do not count that as wrong here.".into(),
            );
        }
        let mut said = String::new();
        if !missing.is_empty() {
            said += &format!(" Your {} must show here and {} not.", lights(missing), does(missing));
            said += &self.danger(bearing, shows, expected);
        }
        if !extra.is_empty() {
            said += &format!(" Your {} shows where it must not.", lights(extra));
        }
        if said.is_empty() {
            said = format!(" The colours are right, but {}.", weak[0]);
        }
        (Stand::Wrong, said)
    }

    /// What it means that all is well.
    fn well(&self, bearing: Bearing, shows: Colours, expected: Expected) -> String {
        let white = [Colour::White].into_iter().collect();
        if !self.plain && !shows.is_empty() {
            let doing = self.surveyed.survey.status.told_of(&self.surveyed.scene.vessel);
            format!(" That is what a vessel {doing} must show here.")
        } else if shows.is_empty() {
            " None of your lights need show here.".into()
        } else if self.plain && expected.must == white && overtaking_sector().contains(bearing) {
            // COLREGs 1972 Rule 13, from memory.
            " That is right: whoever comes up from here overtakes you, and keeps out of your way.".into()
        } else {
            " That is as it should be.".into()
        }
    }

    /// What may come of what is missing.
    fn danger(&self, bearing: Bearing, shows: Colours, expected: Expected) -> String {
        let missing = expected.missing(shows);
        let has = |colours: Colours, colour| colours.contains(colour);
        let sides = |colours: Colours| has(colours, Colour::Red) || has(colours, Colour::Green);
        let both = has(expected.must, Colour::Red) && has(expected.must, Colour::Green);
        let danger = if shows.is_empty() {
            if overtaking_sector().contains(bearing) {
                "Whoever comes up from behind has no warning of you."
            } else {
                "In the dark you are not there for him."
            }
        } else if !self.plain {
            "He cannot tell what you are doing."
        } else if both && sides(missing) {
            "He cannot tell that you are heading straight at him."
        } else if sides(missing) {
            "He cannot tell which way you are heading, nor which of you must give way."
        } else {
            "He cannot tell that you are under engine."
        };
        format!(" {danger}")
    }

    /// What is amiss with a light on a bearing, for each: enough is made out here, but not what is due.
    fn amiss(&self, bearing: Bearing) -> Vec<String> {
        let within = |stripe: &&Stripe| stripe.at(bearing).is_some_and(|one| one.arc.depth(bearing) > ON_EDGE);
        let told = |stripe: &Stripe| {
            let stretch = stripe.at(bearing).filter(|stretch| !stretch.excused)?;
            let light = stripe.kind.map(LightKind::in_words);
            Some(match (light, stretch.state) {
                (_, State::Shows) => return None,
                (None, _) => format!("another {} light shows, which does not belong", stripe.colour.name()),
                (Some(light), State::Spill) => format!("your {light} shines where it should not"),
                (Some(light), State::Dark(Why::Missing)) => format!("your {light} is missing"),
                (Some(light), _) => format!("your {light} is too dim: from further off, or in haze, it is not seen"),
            })
        };
        self.stripes.iter().filter(within).filter_map(told).collect()
    }

    /// Whether every colour that is missing lacks only as the rules allow.
    fn excused(&self, bearing: Bearing, missing: Colours) -> bool {
        let excused: Colours = self
            .stripes
            .iter()
            .filter(|stripe| stripe.at(bearing).is_some_and(|stretch| stretch.excused))
            .map(|stripe| stripe.colour)
            .collect();
        !excused.is_empty() && missing.without(excused).is_empty() && self.amiss(bearing).is_empty()
    }

    /// What an eye gets where the pictures are drawn from, if that is anything else.
    fn close_by(&self, bearing: Bearing, afar: Colours) -> String {
        let Some((distance, eye)) = self.close else { return String::new() };
        let Surveyed { scene, fit, survey, .. } = self.surveyed;
        let point = Station { bearing, distance, eye }.point(scene.middle());
        let close = showing(&survey.rest().look(fit, survey.status, point, survey.weather));
        if close == afar {
            return String::new();
        }
        format!(" Close by, as in the picture, he sees {}.", seen(close))
    }
}

/// See [`Teller::plain`].
fn is_plain(surveyed: &Surveyed) -> bool {
    let under_way = matches!(
        surveyed.survey.status,
        Status::UnderWay | Status::UnderEngine | Status::UnderSail | Status::UnderOars
    );
    let usual = |kind: LightKind| {
        kind.is_sidelight() || matches!(kind, LightKind::Masthead | LightKind::Sternlight | LightKind::AllRoundWhite)
    };
    let unusual = |role: Role| {
        matches!(
            role,
            Role::AllRoundRed | Role::AllRoundGreen | Role::FlashingYellow | Role::SpecialFlashing | Role::TowingLight
        )
    };
    let mut asked = surveyed.judgement.display.iter().flat_map(|display| display.required());
    let mut lit = surveyed.survey.lights.iter().map(|light| surveyed.fit.lamps[light.light.lamp].role);
    under_way && asked.all(usual) && !lit.any(unusual)
}

/// "nothing at all", "a white light only", "a red and a white light".
fn seen(shows: Colours) -> String {
    let names: Vec<String> = shows.iter().map(|colour| format!("a {}", colour.name())).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    match names.len() {
        0 => "nothing at all".into(),
        1 => format!("{} light only", names[0]),
        _ => format!("{} light", listed(&names)),
    }
}

/// "white light", "red and white lights".
fn lights(colours: Colours) -> String {
    let plural = if colours.iter().count() > 1 { "s" } else { "" };
    format!("{} light{plural}", colours.in_words())
}

fn does(colours: Colours) -> &'static str {
    if colours.iter().count() > 1 { "do" } else { "does" }
}

/// A direction off the boat in everyday words; right and left are the boat's own.
pub(super) fn direction(bearing: Bearing) -> String {
    let off_ahead = bearing.clockwise_of(Bearing::AHEAD);
    let side = if off_ahead > 0.0 { "right" } else { "left" };
    // Between straight ahead and straight behind, bounds at two, six, ten and fourteen points: the program's own words.
    match off_ahead.abs() {
        off if off < 2.5 => "straight ahead".into(),
        off if off < 22.5 => format!("ahead, a little to the {side}"),
        off if off < 67.5 => format!("ahead on the {side}"),
        off if off <= 112.5 => format!("on the {side}"),
        off if off < 157.5 => format!("behind on the {side}"),
        off if off < 177.5 => format!("behind, a little to the {side}"),
        _ => "straight behind".into(),
    }
}

/// The same as a place to stand: "the right side", "ahead on the right".
pub(super) fn place(bearing: Bearing) -> String {
    let direction = direction(bearing);
    match direction.strip_prefix("on the ") {
        Some(side) => format!("the {side} side"),
        None => direction,
    }
}

/// An arc off the boat in everyday words.
pub(super) fn stretch(arc: crate::measure::Arc) -> String {
    if arc.width >= 350.0 {
        return "all round the boat".into();
    }
    let (from, to) = (place(arc.from), place(arc.to()));
    let wide = (arc.width.round()).max(1.0);
    let degrees = if wide <= 1.0 { "1 degree or less".into() } else { format!("{wide} degrees") };
    if from == to && arc.width < 180.0 {
        format!("{}, over {degrees}", direction(arc.from))
    } else {
        format!("from {from} round to {to}, over {degrees}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Arc;

    #[test]
    fn directions_are_told_without_the_terms_of_the_trade() {
        for (degrees, words) in [
            (0.0, "straight ahead"),
            (358.0, "straight ahead"),
            (10.0, "ahead, a little to the right"),
            (315.0, "ahead on the left"),
            (90.0, "on the right"),
            (225.0, "behind on the left"),
            (190.0, "behind, a little to the left"),
            (180.0, "straight behind"),
        ] {
            assert_eq!(direction(Bearing::new(degrees)), words);
        }
        assert_eq!(stretch(Arc::between(247.5, 0.0)), "from the left side round to straight ahead, over 113 degrees");
        assert_eq!(stretch(Arc::between(30.0, 35.0)), "ahead on the right, over 5 degrees");
        assert_eq!(stretch(Arc::ALL_ROUND), "all round the boat");
    }

    #[test]
    fn what_is_seen_is_told_as_one_would() {
        let told = |colours: &[Colour]| seen(colours.iter().copied().collect());
        assert_eq!(told(&[]), "nothing at all");
        assert_eq!(told(&[Colour::White]), "a white light only");
        assert_eq!(told(&[Colour::White, Colour::Red]), "a red and a white light");
        assert_eq!(told(&Colour::ALL), "a red, a green, a white and a yellow light");
    }
}
