//! That no clause is silently absent: every clause that a row of the rules names has a row in the table of clauses.
//!
//! Takes a whole set; gives what the table lacks or says twice, each with its place.

use super::{
    Rules,
    place::{Doubt, Path},
};
use crate::boat::read::nearest;

/// What is wrong with the table of clauses.
pub(super) fn doubts(rules: &Rules) -> Vec<Doubt> {
    let used = used(rules);
    let mut found: Vec<Doubt> = used.iter().flat_map(|(path, clauses)| absent(rules, path, clauses)).collect();
    let names = |clause: &str| used.iter().any(|(_, clauses)| split(clauses).any(|one| one == clause));
    for (index, row) in rules.clauses.iter().enumerate() {
        let path = Path::row("clauses", index).field("clause");
        if rules.clauses[..index].iter().any(|other| other.clause == row.clause) {
            let what = format!("the clause \"{}\" has two rows", row.clause);
            found.push(Doubt { path, what, mend: "keep one of the two".into() });
        } else if !row.beyond.is_empty() && names(&row.clause) {
            let what = format!("the clause \"{}\" is said to be beyond this program, and a row names it", row.clause);
            let mend = "take `beyond` out, or name another clause in that row";
            found.push(Doubt { path: Path::row("clauses", index).field("beyond"), what, mend: mend.into() });
        }
    }
    found
}

fn split(clauses: &str) -> impl Iterator<Item = &str> {
    clauses.split(", ").map(str::trim)
}

/// Clauses of one field that the table does not have.
fn absent(rules: &Rules, path: &Path, clauses: &str) -> Vec<Doubt> {
    let known: Vec<&str> = rules.clauses.iter().map(|row| row.clause.as_str()).collect();
    let lacking = split(clauses).filter(|clause| !known.contains(clause));
    let doubts = lacking.map(|clause| {
        let (what, mend) = if clause.is_empty() {
            ("the clause is empty".into(), "name the clause this is from".into())
        } else {
            let near = nearest(clause, &known).map_or(String::new(), |near| format!("did you mean \"{near}\"? "));
            let mend = format!("{near}otherwise add `(clause: \"{clause}\", about: \"...\")` to `clauses`");
            (format!("the clause \"{clause}\" has no row in `clauses`"), mend)
        };
        Doubt { path: path.clone(), what, mend }
    });
    doubts.collect()
}

/// Every clause that a row names. A clause may be empty where its figure is nought and nothing is asked.
fn used(rules: &Rules) -> Vec<(Path, &str)> {
    fn rows<'r, T>(
        list: &'static str,
        field: &'static str,
        rows: &'r [T],
        clause: fn(&T) -> &String,
    ) -> impl Iterator<Item = (Path, &'r str)> {
        let named = rows.iter().map(clause).enumerate();
        named.map(move |(index, clause)| (Path::row(list, index).field(field), clause.as_str()))
    }
    let exempt = rules.displays.iter().enumerate().filter_map(|(index, display)| {
        let exempt = display.exempt.as_ref()?;
        Some((Path::row("displays", index).field("exempt").field("clause"), exempt.clause.as_str()))
    });
    rows("sectors", "clause", &rules.sectors, |row| &row.clause)
        .chain(rows("ranges", "clause", &rules.ranges, |row| &row.clause))
        .chain(rows("colours", "clause", &rules.colours, |row| &row.clause))
        .chain(rows("vertical", "clause_full", &rules.vertical, |row| &row.clause_full))
        .chain(rows("vertical", "clause_wide", &rules.vertical, |row| &row.clause_wide))
        .chain(rows("limits", "clause", &rules.limits, |row| &row.clause))
        .chain(rows("displays", "clause", &rules.displays, |row| &row.clause))
        .chain(exempt)
        .chain(single(rules))
        .collect()
}

/// Clauses of what stands once in a set.
fn single(rules: &Rules) -> Vec<(Path, &str)> {
    let Rules { cutoff, places, screens, evenness, glare, .. } = rules;
    fn of<'r>(top: &'static str, field: &'static str, clause: &'r str) -> (Path, &'r str) {
        (Path::top(top).field(field), clause)
    }
    let mut single = vec![
        (Path::top("intensity_clause"), rules.intensity_clause.as_str()),
        of("cutoff", "clause_forward", &cutoff.clause_forward),
        of("cutoff", "clause_edges", &cutoff.clause_edges),
        of("cutoff", "clause_all_round", &cutoff.clause_all_round),
        of("cutoff", "clause_pair", &cutoff.clause_pair),
        of("places", "clause_masthead", &places.clause_masthead),
        of("places", "clause_sides", &places.clause_sides),
        of("places", "clause_stern", &places.clause_stern),
        of("screens", "clause", &screens.clause),
        of("evenness", "clause_horizontal", &evenness.clause_horizontal),
        of("evenness", "clause_vertical", &evenness.clause_vertical),
        of("glare", "clause_glare", &glare.clause_glare),
        of("glare", "clause_lookout", &glare.clause_lookout),
    ];
    if places.off_centre_under > 0.0 || !places.clause_off_centre.is_empty() {
        single.push(of("places", "clause_off_centre", &places.clause_off_centre));
    }
    if glare.screen_under > 0.0 || !glare.clause_screen.is_empty() {
        single.push(of("glare", "clause_screen", &glare.clause_screen));
    }
    single
}
