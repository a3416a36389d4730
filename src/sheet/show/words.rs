//! What the sheet says in everyday words, as `assets/show/words.ron` has it: of each kind of finding, and of each set of
//! colours.
//!
//! Takes the file that is built in; gives phrases with the names filled in. Must never know of surveys.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::{
    light::{Colour, Colours},
    rules::{Finding, Kind},
    sheet::capitalised,
};

/// The whole file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Words {
    plain: Vec<Plain>,
    readings: Vec<Reading>,
    /// Words of the trade, each with what it means.
    pub words: Vec<(String, String)>,
}

/// A kind of finding.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Plain {
    /// By the kind's name in the program.
    kind: String,
    heading: String,
    means: String,
}

/// What a stranger takes a vessel for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Reading {
    sees: Vec<Colour>,
    takes: String,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    ron::from_str(include_str!("../../../assets/show/words.ron"))
        .unwrap_or_else(|error| panic!("the built-in words of the customer sheet: {error}"))
});

/// The words, which a test has read.
pub(super) fn words() -> &'static Words {
    &WORDS
}

/// A finding in everyday words.
pub(super) struct Said {
    pub heading: String,
    pub means: String,
}

impl Words {
    /// A finding in everyday words; a kind without any keeps its own.
    pub fn of(&self, finding: &Finding) -> Said {
        match self.plain(finding.kind) {
            Some(plain) => Said { heading: filled(&plain.heading, finding), means: filled(&plain.means, finding) },
            None => Said { heading: capitalised(finding.kind.in_words()), means: finding.what.clone() },
        }
    }

    /// What a vessel under way is taken for by the colours that she shows; `None` where they say nothing plain.
    pub fn reading(&self, shows: Colours) -> Option<&str> {
        let same = |row: &&Reading| row.sees.iter().copied().collect::<Colours>() == shows;
        self.readings.iter().find(same).map(|row| row.takes.as_str())
    }

    fn plain(&self, kind: Kind) -> Option<&Plain> {
        self.plain.iter().find(|row| row.kind == kind.name())
    }
}

/// A phrase with the finding's own names in it.
fn filled(phrase: &str, finding: &Finding) -> String {
    let lamp = finding.lamp.as_deref().unwrap_or("a light");
    let by = finding.by.as_deref().unwrap_or("the boat herself");
    // In one pass, so that a name with such a mark in it stays as it is.
    let mut out = String::new();
    let mut rest = phrase;
    while let Some((before, after)) = rest.split_once('{') {
        out += before;
        let (mark, behind) = after.split_once('}').unwrap_or((after, ""));
        let value = match mark {
            "lamp" => lamp,
            "by" => by,
            _ => &finding.what,
        };
        out += &if out.is_empty() { apart(&capitalised(value)) } else { apart(value) };
        rest = behind;
    }
    out + rest
}

/// Text of the user's kept apart from the words around it, where it may run from right to left.
pub(super) fn apart(text: &str) -> String {
    if text.is_ascii() { text.into() } else { format!("\u{2068}{text}\u{2069}") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Severity;

    #[test]
    fn every_kind_has_one_row_and_every_row_a_kind() {
        for kind in Kind::ALL {
            let rows: Vec<_> = words().plain.iter().filter(|row| row.kind == kind.name()).collect();
            assert_eq!(rows.len(), 1, "{}", kind.name());
            let row = rows[0];
            assert!(row.heading.chars().count() > 8 && row.means.ends_with('.') && row.means != row.heading);
            for phrase in [&row.heading, &row.means] {
                for mark in phrase.split('{').skip(1).map(|after| after.split('}').next()) {
                    assert!(matches!(mark, Some("lamp" | "by" | "what")), "{phrase}");
                }
            }
        }
        assert_eq!(words().plain.len(), Kind::ALL.len());
    }

    #[test]
    fn no_phrase_uses_the_terms_of_the_trade() {
        let told: String = words().plain.iter().map(|row| format!("{} {} ", row.heading, row.means)).collect();
        let told = told.to_lowercase();
        for term in
            ["abaft", "candela", "datum", "sector", "cut-off", "obscured", "bearing", "annex", "rule ", "luminous"]
        {
            assert!(!told.contains(term), "{term}");
        }
    }

    #[test]
    fn names_are_filled_in_once_and_as_they_are() {
        let finding = Finding {
            kind: Kind::Shadowed,
            severity: Severity::Fault,
            clause: String::new(),
            lamp: Some("stern {by} lamp".into()),
            arc: None,
            by: Some("موتور".into()),
            what: String::new(),
            how_bad: String::new(),
            mend: String::new(),
            case: None,
        };
        let said = words().of(&finding);
        assert_eq!(said.heading, "Stern {by} lamp is hidden by \u{2068}موتور\u{2069}");
    }

    #[test]
    fn a_set_of_colours_is_read_as_a_whole() {
        let set = |colours: &[Colour]| colours.iter().copied().collect::<Colours>();
        let read = |colours: &[Colour]| words().reading(set(colours)).unwrap_or("nothing");
        assert!(read(&[Colour::White]).contains("behind"));
        assert!(read(&[Colour::Red, Colour::White]).contains("left side"));
        assert!(read(&[Colour::Green]).contains("right side") && read(&[Colour::Green]).contains("sail"));
        assert_eq!(read(&[Colour::Yellow, Colour::White]), "nothing");
        assert_eq!(read(&[]), "nothing");
    }
}
