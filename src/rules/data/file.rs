//! Reads rule files: the built-in sets and the user's own.

use std::{path::Path, sync::LazyLock};

use super::{
    Date, Rules, Waiver, check,
    draft::draft,
    merge::merged,
    place::{Doubt, Origins},
};
use crate::boat::read::{
    Faults, ReadError,
    text::{Node, parse},
    text_of,
};

/// The names of the built-in sets.
pub const BUILT_IN: [&str; 2] = ["international", "inland"];

static INTERNATIONAL: LazyLock<Rules> =
    LazyLock::new(|| built_in("international", include_str!("../../../assets/rules/international.ron")));

static INLAND: LazyLock<Rules> = LazyLock::new(|| built_in("inland", include_str!("../../../assets/rules/inland.ron")));

/// A set that is built in, which a test has read.
fn built_in(name: &str, text: &str) -> Rules {
    checked(text, name).unwrap_or_else(|error| panic!("the built-in rules: {error}"))
}

/// The international regulations of 1972 as amended, as far as this program goes.
pub fn international() -> &'static Rules {
    &INTERNATIONAL
}

/// The rules of the United States for their inland waters, as far as this program goes.
pub fn inland() -> &'static Rules {
    &INLAND
}

/// A built-in set by its name, in capitals or not; see [`BUILT_IN`].
pub fn named(name: &str) -> Option<&'static Rules> {
    match name.to_ascii_lowercase().as_str() {
        "international" => Some(international()),
        "inland" => Some(inland()),
        _ => None,
    }
}

/// Reads a rule file of the user's own: a whole set in the format of `assets/rules/international.ron`, or one made from
/// a built-in set. Where a waiver in it has expired `today`, these are the rules that it was to relieve from.
///
/// # Errors
/// When the file cannot be read as text, or with every fault found in it.
pub fn rules_file(path: &Path, today: Date) -> Result<Rules, ReadError> {
    rules_text(&text_of(path)?, &path.display().to_string(), today)
}

/// The same from text. `name` is what messages call it.
///
/// # Errors
/// With every fault found in the text.
pub fn rules_text(text: &str, name: &str, today: Date) -> Result<Rules, ReadError> {
    let rules = checked(text, name)?;
    Ok(match (rules.waiver, rules.base) {
        (Some(waiver), Some(base)) if waiver.expires < today => expired(rules.name, waiver, base),
        (waiver, base) => Rules { waiver, base, ..rules },
    })
}

/// A waiver that relieves from nothing any more: the rules it was to relieve from, under its own name.
fn expired(name: String, waiver: Waiver, base: &'static Rules) -> Rules {
    Rules { name, base: Some(base), waiver: Some(Waiver { expired: true, ..waiver }), ..base.clone() }
}

fn checked(text: &str, name: &str) -> Result<Rules, ReadError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut faults = Faults::of(text);
    let root = parse(text, "Rules", &mut faults);
    let rules = sound(text, &root, &mut faults);
    rules.ok_or_else(|| ReadError::faulty(name, text.into(), faults.in_order(text)))
}

/// The rules when nothing is wrong. What cannot be read hides what makes no sense, so the first is told alone.
fn sound(text: &str, root: &Node, faults: &mut Faults) -> Option<Rules> {
    if faults.count() > 0 {
        return None;
    }
    let draft = draft(text, root, faults)?;
    if faults.count() > 0 {
        return None;
    }
    let mut doubts = Vec::new();
    let merged = merged(draft, &mut doubts);
    doubts.extend(merged.iter().flat_map(|(rules, _)| check::doubts(rules)));
    let nowhere = Origins::default();
    let origins = merged.as_ref().map_or(&nowhere, |(_, origins)| origins);
    for Doubt { path, what, mend } in doubts {
        faults.add(origins.span(root, &path), what, mend);
    }
    merged.map(|(rules, _)| rules).filter(|_| faults.count() == 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With this the sets can be asked for without fear, and no clause of either is silently absent.
    #[test]
    fn the_built_in_rules_are_sound() {
        for name in BUILT_IN {
            let rules = named(name).expect("a built-in set");
            assert_eq!(rules.name, name);
            assert_eq!(check::doubts(rules), []);
        }
        assert!(named("lake").is_none());
    }

    #[test]
    fn every_row_of_the_built_in_rules_names_what_it_is_from() {
        for rules in BUILT_IN.into_iter().filter_map(named) {
            let known = |source: &str| {
                ["COLREGs 1972", "the program's own", "CFR 8", "USC 20", "Inland Rule", "IMO MSC.253(83)"]
                    .iter()
                    .any(|from| source.contains(from))
            };
            let sources = rules.sectors.iter().map(|row| &row.source);
            let sources = sources.chain(rules.ranges.iter().map(|row| &row.source));
            let sources = sources.chain(rules.cut.iter().map(|row| &row.source));
            let sources = sources.chain(rules.limits.iter().map(|row| &row.source));
            for source in sources.chain(rules.displays.iter().map(|row| &row.source)) {
                assert!(known(source), "{source}");
            }
        }
    }
}
