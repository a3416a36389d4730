//! Reads rule files: the built-in sets and the user's own.

use std::{path::Path, sync::LazyLock};

use super::Rules;

static INTERNATIONAL: LazyLock<Rules> = LazyLock::new(|| {
    let text = include_str!("../../../assets/rules/international.ron");
    ron::from_str(text).unwrap_or_else(|error| panic!("the built-in rules: {error}"))
});

/// The international regulations of 1972 as amended, as far as this program goes.
pub fn international() -> &'static Rules {
    &INTERNATIONAL
}

/// Reads a rule file of the user's own, in the format of `assets/rules/international.ron`.
///
/// # Errors
/// A sentence with file, line and column when it cannot be read, lacks a light, or holds an impossible figure.
pub fn rules_file(path: &Path) -> Result<Rules, String> {
    let name = path.display();
    let text = std::fs::read_to_string(path).map_err(|error| {
        format!("there is no rule set or readable rule file \"{name}\" ({error}); `international` is built in")
    })?;
    let rules: Rules = ron::from_str(&text)
        .map_err(|error| format!("{name}:{}:{}: {}", error.span.start.line, error.span.start.col, error.code))?;
    rules.check().map_err(|why| format!("{name}: {why}"))?;
    Ok(rules)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_rules_are_sound_and_every_row_names_its_source() {
        let rules = international();
        assert_eq!(rules.check(), Ok(()));
        let sources = rules.sectors.iter().map(|row| &row.source);
        let sources = sources.chain(rules.ranges.iter().map(|row| &row.source));
        let sources = sources.chain(rules.limits.iter().map(|row| &row.source));
        let mut sources = sources.chain(rules.displays.iter().map(|row| &row.source));
        assert!(sources.all(|source| source.contains("COLREGs 1972") || source.contains("the program's own")));
    }
}
