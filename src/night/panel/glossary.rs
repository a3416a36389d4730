//! The trade's words in plain words, for whoever meets them here for the first time. Must never draw.

/// A word of the trade and what it means. A longer one stands before any shorter one it contains.
pub const GLOSSARY: &[(&str, &str)] = &[
    ("right ahead", "Straight in front of the boat: bearing 000."),
    ("right astern", "Straight behind the boat: bearing 180."),
    ("bow", "The fore end. On the bow: within 45 degrees of right ahead, to port or to starboard."),
    ("beam", "Her side, square off: 90 degrees from right ahead."),
    ("quarter", "The after corner of her side: within 45 degrees of right astern."),
    ("abaft", "Further aft than. Abaft the beam: behind the line square off her side."),
    ("before", "Further forward than. Before the beam: ahead of the line square off her side."),
    ("starboard", "Her right-hand side, looking forward. Its sidelight is green."),
    ("port", "Her left-hand side, looking forward. Its sidelight is red."),
    ("point", "One thirty-second of a circle: 11.25 degrees."),
    (
        "overtaking",
        "Coming up from more than 22.5 degrees abaft her beam, where only a white light shows. Whoever overtakes keeps clear.",
    ),
    (
        "practical cut-off",
        "No lamp stops dead at the edge of its sector: the rules give it a few degrees to fade out in.",
    ),
    ("sector", "The arc of bearings over which a light must show."),
    ("luminous range", "How far off a light can be made out, from its strength and the clearness of the air."),
    (
        "masthead light",
        "White, high up on the centreline, over the foremost 225 degrees. A power-driven vessel under way shows it.",
    ),
    ("sidelights", "Green to starboard and red to port, each from right ahead to 22.5 degrees abaft the beam."),
    ("sidelight", "Green to starboard and red to port, each from right ahead to 22.5 degrees abaft the beam."),
    ("sternlight", "White, over the aftermost 135 degrees."),
    ("all-round", "Shows over the whole circle."),
    ("towing light", "Yellow, over the arc of the sternlight and above it: she has a vessel in tow."),
    ("three-colour lantern", "Sidelights and sternlight in one lantern aloft, for a boat under sail alone."),
    ("not under command", "Unable to keep out of another's way, by some mishap."),
    ("restricted in her ability to manoeuvre", "Unable to keep out of another's way, by the work she does."),
    ("constrained by her draught", "Deep for the water she is in, and hardly able to leave her course."),
    ("making way", "Moving through the water."),
    ("gunwale", "The upper edge of her side."),
    ("vertical line", "Lights one above the other, in an order that says what she is doing."),
    ("under way", "Not anchored, not made fast, not aground. She need not be moving."),
    ("trim", "Bow up or bow down. A fast boat runs bow up, and her lamps tip with her."),
    ("heel", "Leaning over to one side."),
    ("operating trim", "The ways she lies in normal use: bow up or down, heeled, steered."),
    ("fit", "One arrangement of lamps on the boat."),
    ("shadow", "An arc in which something on the boat hides a lamp."),
    ("spill", "Light that shows outside its sector."),
    ("dark lane", "A strip ahead in which neither sidelight shows."),
    ("double lane", "A strip ahead in which both sidelights show, wider than is allowed."),
    ("candela", "How strong a light is in one direction."),
    ("lux", "How much of a light arrives at the eye. On a dark night the eye makes out 0.2 millionths of a lux."),
    ("clause", "The place in the rules."),
    ("fault", "A rule is not met, the boat at rest."),
    ("caution", "Lawful at rest and lost in normal use, or not judged, or likely to mislead."),
    ("note", "Worth knowing."),
    (
        "special flashing light",
        "Yellow and flashing, at the head of a tow that is pushed on United States inland waters.",
    ),
    ("air cushion", "Carried by air and not by the water, so that the wind may drive her aside."),
    ("towing", "Pulling another vessel."),
    ("towed", "Pulled by another vessel."),
    ("pushing", "Driving another vessel before her."),
    ("pushed", "Driven by a vessel behind her."),
    ("trawling", "Fishing by pulling a net through the water."),
    ("fishing", "With nets, lines or trawls that hinder her from keeping out of another's way; a few rods do not."),
    (
        "dredging",
        "Working at the bottom; the side on which she is obstructed, and the clear one, have lights of their own.",
    ),
    ("diving", "With divers down."),
    ("pilotage duty", "Bringing pilots to ships and fetching them."),
    ("at anchor", "Held by her anchor."),
    ("aground", "Fast on the bottom."),
];

/// What one word means; `None` for a word that is not of the trade.
pub fn meaning(word: &str) -> Option<&'static str> {
    GLOSSARY.iter().find(|(term, _)| *term == word).map(|(_, meaning)| *meaning)
}

/// Every word of the trade in a text, each with its meaning on a line of its own; empty when there is none.
pub fn explained(text: &str) -> String {
    let text = text.to_lowercase();
    let mut told: Vec<&str> = Vec::new();
    let mut lines: Vec<String> = Vec::new();
    for (term, meaning) in GLOSSARY {
        let inside_another = told.iter().any(|longer| longer.contains(term));
        if stands_in(&text, term) && !inside_another {
            told.push(term);
            lines.push(format!("{term}: {meaning}"));
        }
    }
    lines.join("\n")
}

/// Whether a word stands in a text by itself or with a plural s, not as a piece of another word.
fn stands_in(text: &str, term: &str) -> bool {
    text.match_indices(term).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + term.len()..].trim_start_matches('s').chars().next();
        let apart = |neighbour: Option<char>| neighbour.is_none_or(|letter| !letter.is_alphanumeric());
        apart(before) && apart(after)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bearing_in_words_explains_each_of_its_words() {
        let told = explained("2 points abaft the starboard beam");
        for word in ["point:", "abaft:", "starboard:", "beam:"] {
            assert!(told.contains(word), "{word} in {told}");
        }
    }

    #[test]
    fn every_role_status_and_severity_that_a_card_names_is_explained() {
        let vessel = crate::night::trial::scene().vessel;
        let roles = crate::boat::Role::ALL.iter().map(|role| role.in_words());
        let statuses = crate::boat::Status::ALL.iter().map(|status| status.told_of(&vessel));
        use crate::rules::Severity::{Caution, Fault, Note};
        let severities = [Fault, Caution, Note].into_iter().map(|severity| severity.in_words());
        let unexplained: Vec<&str> =
            roles.chain(statuses).chain(severities).filter(|words| explained(words).is_empty()).collect();
        assert_eq!(unexplained, Vec::<&str>::new());
    }

    #[test]
    fn a_piece_of_a_word_is_not_explained() {
        assert_eq!(explained("a report on the bowsprit of the transport"), "");
    }

    #[test]
    fn a_longer_word_speaks_for_the_shorter_ones_in_it() {
        assert_eq!(explained("the sidelights").lines().count(), 1);
    }

    #[test]
    fn no_word_is_explained_twice() {
        for (index, (term, _)) in GLOSSARY.iter().enumerate() {
            assert!(GLOSSARY[index + 1..].iter().all(|(other, _)| other != term), "{term}");
        }
    }
}
