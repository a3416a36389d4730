//! Where a text was most likely meant to end, or to begin, when one of its quotes was forgotten.
//!
//! Takes what stands in a file from a quote on; gives places in it. Must never know what a scene is.

use super::lex::{begins_word, continues_word, is_blank};

/// Nothing further on than this, in bytes, is looked at: no text that wants its quote is so long.
const FARTHEST: usize = 4000;

fn near(text: &str) -> &str {
    &text[..text.floor_char_boundary(FARTHEST)]
}

/// Whether an odd number of quotes stands on what is left of the line: then one of them has no partner there.
pub(super) fn are_odd(rest: &str) -> bool {
    let line = near(rest).lines().next().unwrap_or_default();
    let escaped = |at: usize| line[..at].bytes().rev().take_while(|byte| *byte == b'\\').count() % 2 == 1;
    line.match_indices('"').filter(|(at, _)| !escaped(*at)).count() % 2 == 1
}

/// The length that a text which is never closed was meant to have, its opening quote left out: up to what looks like
/// the next entry of the file, or the end of what it stands in.
pub(super) fn meant_length(content: &str) -> usize {
    let looked_at = near(content);
    let ends = |(at, letter): (usize, char)| {
        let after = &looked_at[at + letter.len_utf8()..];
        match letter {
            ',' => begins_entry(after) || ends_something(after),
            '\n' => {
                begins_entry(after)
                    || ends_something(after)
                    || looked_at[..at].trim_end().ends_with(',') && names(after)
            }
            _ => false,
        }
    };
    let end = looked_at.char_indices().find(|place| ends(*place)).map_or(looked_at.len(), |(at, _)| at);
    without_brackets_around(looked_at[..end].trim_end_matches(is_blank)).len()
}

/// Whether a struct, a named field, or a text begins here.
fn begins_entry(rest: &str) -> bool {
    let rest = rest.trim_start_matches(is_blank);
    rest.starts_with(['"', '(', '[', '{']) || rest.starts_with("//") || names(rest)
}

/// Whether a word begins here, with the mark of a field or a struct behind it.
fn names(rest: &str) -> bool {
    let rest = rest.trim_start_matches(is_blank);
    let after = rest.trim_start_matches(continues_word);
    rest.starts_with(begins_word) && (after.starts_with('(') || after.trim_start_matches(is_blank).starts_with(':'))
}

fn ends_something(rest: &str) -> bool {
    let rest = rest.trim_start_matches(is_blank);
    rest.is_empty() || rest.starts_with([')', ']', '}'])
}

/// The text without the brackets at its end that close something around it, and the commas between them.
fn without_brackets_around(text: &str) -> &str {
    let mut open = 0usize;
    for (at, letter) in text.char_indices() {
        match letter {
            '(' | '[' | '{' => open += 1,
            ')' | ']' | '}' if open > 0 => open -= 1,
            ')' | ']' | '}' if text[at..].trim_matches([')', ']', '}', ',']).trim_matches(is_blank).is_empty() => {
                return text[..at].trim_end_matches([',', ' ']);
            }
            _ => {}
        }
    }
    text.trim_end_matches(',')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meant(content: &str) -> &str {
        &content[..meant_length(content)]
    }

    #[test]
    fn a_text_without_its_end_ends_before_the_next_entry() {
        assert_eq!(meant("port, role: PortSidelight, at: (forward: 4.4,\n"), "port");
        assert_eq!(meant("port 1 nm),\n    Lamp(name: \"x\")"), "port 1 nm");
        assert_eq!(meant("side, \"stern\"]),"), "side");
        assert_eq!(meant("pole), optics: \"all-round 2 nm\")"), "pole");
        assert_eq!(meant("light (aft)),\n"), "light (aft)");
        assert_eq!(meant("Invented, all of\n    it,\n    vessel: Vessel("), "Invented, all of\n    it");
        assert_eq!(meant("never"), "never");
    }

    #[test]
    fn quotes_are_counted_to_the_end_of_the_line() {
        assert!(are_odd("\"a, \"b\"\n\""));
        assert!(!are_odd("\"a\" b: \"c \\\" d\"\n\""));
    }
}
