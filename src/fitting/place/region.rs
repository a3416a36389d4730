//! A place or a region of the boat as it is typed: `forward 4..6, starboard 0..1`.
//!
//! Takes words and the vessel; gives ranges, or a sentence on what is wrong and how to mend it. Must never look at lamps.

use glam::DVec3;

use crate::{
    boat::{Vessel, read::nearest},
    measure::trimmed,
};

/// A box aboard: each range from and to, in metres; `None` where nothing was said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    pub forward: Option<(f64, f64)>,
    /// To starboard positive.
    pub starboard: Option<(f64, f64)>,
    pub above_deck: Option<(f64, f64)>,
    pub above_waterline: Option<(f64, f64)>,
}

/// What may be said.
const WORDS: [&str; 5] = ["forward", "starboard", "port", "above deck", "above waterline"];
/// For places taken to the millimetre, metres.
const SLACK: f64 = 0.0006;

impl Region {
    /// Whether a point of the vessel frame lies in it.
    pub fn holds(&self, vessel: &Vessel, point: DVec3) -> bool {
        let within = |range: Option<(f64, f64)>, value: f64| {
            range.is_none_or(|(from, to)| (from - SLACK..=to + SLACK).contains(&value))
        };
        within(self.forward, point.x)
            && within(self.starboard, -point.y)
            && within(self.above_deck, point.z - vessel.deck_height(point.x, point.y))
            && within(self.above_waterline, point.z)
    }

    /// Reads a region such as `forward 4..6, starboard 0..1`. A single figure is a range of its own length.
    ///
    /// # Errors
    /// A sentence that says what is wrong and how to mend it.
    pub fn read(text: &str, vessel: &Vessel) -> Result<Self, String> {
        let mut region = Self::default();
        for piece in text.split(',').map(str::trim).filter(|piece| !piece.is_empty()) {
            let (word, range) = read_piece(piece)?;
            let (slot, range) = match word {
                "forward" => (&mut region.forward, range),
                "starboard" => (&mut region.starboard, range),
                "port" => (&mut region.starboard, (-range.1, -range.0)),
                "above deck" => (&mut region.above_deck, range),
                _ => (&mut region.above_waterline, range),
            };
            if slot.is_some() {
                let twice = if word == "port" || word == "starboard" { "the place athwart" } else { word };
                return Err(format!("{twice} is given twice in \"{text}\"; keep one of the two"));
            }
            *slot = Some(range);
        }
        if region == Self::default() {
            return Err(format!("\"{text}\" names no place; write such as `forward 4..6, starboard 0..1`"));
        }
        region.lies_on(vessel)?;
        Ok(region)
    }

    fn lies_on(&self, vessel: &Vessel) -> Result<(), String> {
        let length = vessel.length.0;
        let half = vessel.beam.0 / 2.0;
        let beside = |(from, to): (f64, f64), low: f64, high: f64| to < low || from > high;
        if self.forward.is_some_and(|range| beside(range, -1.0, length + 1.0)) {
            return Err(format!(
                "she reaches from 0 to {} m forward of the transom; name a place there",
                trimmed(length, 2)
            ));
        }
        if self.starboard.is_some_and(|range| beside(range, -half - 0.5, half + 0.5)) {
            return Err(format!(
                "she reaches {} m to either side of the centreline; name a place there",
                trimmed(half, 2)
            ));
        }
        Ok(())
    }

    /// The place in its middle, for what is a place and not a region; on deck where no height is said.
    ///
    /// # Errors
    /// Where it is a region after all, or not aboard.
    pub fn place(&self, text: &str, vessel: &Vessel) -> Result<DVec3, String> {
        let single =
            |range: Option<(f64, f64)>| range.map(|(from, to)| if from == to { Ok(from) } else { Err(()) }).transpose();
        let all = [self.forward, self.starboard, self.above_deck, self.above_waterline].map(single);
        let [Ok(forward), Ok(starboard), Ok(deck), Ok(water)] = all else {
            return Err(format!(
                "\"{text}\" is a region, and one place is wanted; write such as `forward 2.7, starboard 0.2`"
            ));
        };
        let forward =
            forward.ok_or_else(|| format!("\"{text}\" does not say how far forward; write such as `forward 2.7`"))?;
        let off = starboard.unwrap_or(0.0);
        let height = water.unwrap_or_else(|| vessel.deck_height(forward, off) + deck.unwrap_or(0.0));
        if !(0.0..=vessel.length.0).contains(&forward) {
            return Err(format!(
                "forward {} is not aboard; she reaches from 0 to {} m",
                trimmed(forward, 2),
                trimmed(vessel.length.0, 2)
            ));
        }
        let half = vessel.half_breadth(forward);
        if off.abs() > half {
            return Err(format!(
                "so far forward she is {} m wide to either side, and {} m is outboard; name a place aboard",
                trimmed(half, 2),
                trimmed(off.abs(), 2)
            ));
        }
        Ok(DVec3::new(forward, -off, height))
    }
}

/// One word and its range.
fn read_piece(piece: &str) -> Result<(&'static str, (f64, f64)), String> {
    let piece = piece.trim();
    let plain = piece.replace('_', " ").to_ascii_lowercase();
    let ends = |word: &&str| plain.strip_prefix(*word).is_some_and(|rest| !rest.starts_with(char::is_alphabetic));
    let figure = |letter: char| letter.is_ascii_digit() || letter == '-' || letter == '.';
    // A known word ends where it ends, another at the first figure.
    let cut = WORDS
        .iter()
        .find(|word| ends(word))
        .map_or_else(|| piece.find(figure).unwrap_or(piece.len()), |word| word.len());
    let (word, figures) = piece.split_at(cut);
    let figures = figures.trim_start_matches([':', ' ']);
    let plain = word.trim().trim_end_matches(':').replace('_', " ").to_lowercase();
    let Some(known) = WORDS.iter().copied().find(|known| *known == plain) else {
        let guess = nearest(&plain, &WORDS).map_or_else(String::new, |near| format!("did you mean `{near}`? "));
        let choice = WORDS.map(|word| format!("`{word}`")).join(", ");
        return Err(format!("\"{}\" is no word for a place; {guess}there is {choice}", word.trim()));
    };
    let (from, to) = figures.split_once("..").unwrap_or((figures, figures));
    let (Some(from), Some(to)) = (metres(from), metres(to)) else {
        return Err(format!(
            "\"{piece}\" has no figure that can be read; write metres, such as `{known} 0.5` or `{known} 0..1`"
        ));
    };
    if from > to {
        let (low, high) = (trimmed(to, 3), trimmed(from, 3));
        return Err(format!("\"{piece}\" runs backwards; write `{known} {low}..{high}`"));
    }
    Ok((known, (from, to)))
}

fn metres(text: &str) -> Option<f64> {
    let plain = text.trim().trim_end_matches('m').trim();
    plain.parse().ok().filter(|value: &f64| value.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{HullForm, Propulsion};
    use crate::measure::{Knots, Metres};

    fn vessel() -> Vessel {
        Vessel {
            length: Metres(6.0),
            beam: Metres(2.2),
            freeboard: Metres(0.6),
            depth: Metres(0.9),
            propulsion: Propulsion::Power,
            top_speed: Knots(20.0),
            also: Vec::new(),
            high_speed: false,
            statuses: Vec::new(),
            hull: HullForm::default(),
        }
    }

    #[test]
    fn a_region_is_read_as_a_tape_is_held() {
        let region = Region::read("forward 4..5.5, port 0..1, above_deck 0.1..0.4", &vessel()).unwrap();
        assert_eq!(region.forward, Some((4.0, 5.5)));
        assert_eq!(region.starboard, Some((-1.0, 0.0)));
        assert_eq!(region.above_deck, Some((0.1, 0.4)));
    }

    #[test]
    fn what_cannot_be_a_region_is_told_with_a_mend() {
        for (text, words) in [
            ("forwrad 4..5", "did you mean `forward`"),
            ("forward 5..4", "write `forward 4..5`"),
            ("forward x", "metres"),
            ("forward 40..50", "0 to 6 m"),
            ("starboard 3..4", "1.1 m to either side"),
            ("", "names no place"),
            ("port 0..1, starboard 0..1", "twice"),
        ] {
            let why = Region::read(text, &vessel()).unwrap_err();
            assert!(why.contains(words), "{text}: {why}");
        }
    }

    #[test]
    fn a_panel_is_one_place_aboard() {
        let place = |text: &str| Region::read(text, &vessel()).and_then(|region| region.place(text, &vessel()));
        assert!((place("forward 2, starboard 0.3, above deck 0.5").unwrap().y + 0.3).abs() < 1e-12);
        assert!(place("forward 2..3").unwrap_err().contains("one place"));
        assert!(place("forward 5.9, port 1").unwrap_err().contains("outboard"));
        assert!(place("starboard 0.3").unwrap_err().contains("how far forward"));
    }
}
