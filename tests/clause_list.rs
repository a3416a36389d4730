//! The clauses of Part C and Annex I of the International Regulations for Preventing Collisions at Sea, 1972, written out
//! here once more, so that none can fall out of the rules' data unseen. The letters of Rules 20 to 31 and the numbers of
//! the annex are as in the public copies named in `assets/rules/international.ron`; Rules 20(a), (d) and (e), 23(b) and
//! (c), 26(a) and (e), 27(c), (d), (f) and (h) and 29(b) are from memory.

use lampwalk::rules::international;

/// Each rule or section with the letters and numbers that stand under it; an empty one is a clause without any.
const CLAUSES: &[(&str, &[&str])] = &[
    ("Rule 20", &["(a)", "(b)", "(c)", "(d)", "(e)"]),
    ("Rule 21", &["(a)", "(b)", "(c)", "(d)", "(e)", "(f)"]),
    ("Rule 22", &["(a)", "(b)", "(c)", "(d)"]),
    ("Rule 23", &["(a)", "(b)", "(c)", "(d)(i)", "(d)(ii)", "(d)(iii)"]),
    ("Rule 24", &["(a)", "(b)", "(c)", "(d)", "(e)", "(f)(i)", "(f)(ii)", "(g)", "(h)", "(i)"]),
    ("Rule 25", &["(a)", "(b)", "(c)", "(d)(i)", "(d)(ii)", "(e)"]),
    ("Rule 26", &["(a)", "(b)", "(c)", "(d)", "(e)"]),
    ("Rule 27", &["(a)", "(b)", "(c)", "(d)", "(e)", "(f)", "(g)", "(h)"]),
    ("Rule 28", &[""]),
    ("Rule 29", &["(a)", "(b)"]),
    ("Rule 30", &["(a)", "(b)", "(c)", "(d)", "(e)", "(f)"]),
    ("Rule 31", &[""]),
    ("Annex I 1", &[""]),
    (
        "Annex I 2",
        &["(a)(i)", "(a)(ii)", "(b)", "(c)", "(d)", "(e)", "(f)", "(g)", "(h)", "(i)(i)", "(i)(ii)", "(i)(iii)"],
    ),
    ("Annex I 2", &["(j)", "(k)"]),
    ("Annex I 3", &["(a)", "(b)", "(c)", "(d)"]),
    ("Annex I 4", &["(a)", "(b)"]),
    ("Annex I 5", &[""]),
    ("Annex I 6", &[""]),
    ("Annex I 7", &[""]),
    ("Annex I 8", &[""]),
    ("Annex I 9", &["(a)(i)", "(a)(ii)", "(b)(i)", "(b)(ii)"]),
    ("Annex I 10", &["(a)(i)", "(a)(ii)", "(b)(i)", "(b)(ii)", "(c)"]),
    ("Annex I 11", &[""]),
    ("Annex I 12", &[""]),
    ("Annex I 13", &["(a)", "(b)"]),
    ("Annex I 14", &[""]),
];

fn written() -> Vec<String> {
    CLAUSES.iter().flat_map(|(rule, letters)| letters.iter().map(move |letter| format!("{rule}{letter}"))).collect()
}

#[test]
fn every_clause_of_the_lights_is_in_the_rules() {
    let held: Vec<&str> = international().clauses.iter().map(|row| row.clause.as_str()).collect();
    for clause in written() {
        assert!(held.contains(&clause.as_str()), "{clause} has no row");
    }
}

#[test]
fn the_rules_hold_no_clause_that_is_not_there() {
    let written = written();
    // Rule 3 defines what a vessel is; 2(i) asks for a vertical line before its numbers say how; the resolution is the
    // organisation's own.
    let besides = ["Rule 3", "Annex I 2(i)", "IMO MSC.253(83) 4.2.2", "IMO MSC.253(83) 4.2.3"];
    for row in &international().clauses {
        assert!(written.contains(&row.clause) || besides.contains(&row.clause.as_str()), "{}", row.clause);
    }
}
