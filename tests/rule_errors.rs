//! Mistakes a user makes in a rule file, each with the spot it is told at, what is wrong and how to mend it.

use lampwalk::{
    boat::read::{Fault, ReadError},
    rules::{Date, Rules, rules_text},
};

const INTERNATIONAL: &str = include_str!("../assets/rules/international.ron");

fn read(text: &str) -> Result<Rules, ReadError> {
    rules_text(text, "own.ron", Date::new(2026, 1, 1).expect("a day"))
}

fn faults(text: &str) -> Vec<Fault> {
    match read(text) {
        Ok(_) => Vec::new(),
        Err(error) => error.faults().to_vec(),
    }
}

/// A small file made from the international rules.
fn made(fields: &str) -> String {
    format!("Rules(\n    from: \"international\",\n    name: \"own\",\n    {fields}\n)\n")
}

/// Asserts that a file has one fault only: at this spot of this line, with these words.
fn told(text: &str, spot: &str, words: &[&str]) {
    let faults = faults(text);
    let [fault] = faults.as_slice() else { panic!("{words:?}: {faults:#?}") };
    assert!(
        text[fault.span.start..].starts_with(spot),
        "{words:?}: {fault:?} points at {:?}",
        &text[fault.span.range()]
    );
    let line = text[..fault.span.start].matches('\n').count() + 1;
    assert_eq!(fault.line, line);
    let all = format!("{}; {}", fault.what, fault.mend);
    assert!(words.iter().all(|word| all.contains(word)), "{words:?}: {all}");
    assert!(!fault.mend.is_empty());
}

/// The international rules with one thing changed, and the fault of that.
fn changed(from: &str, to: &str, spot: &str, words: &[&str]) {
    assert!(INTERNATIONAL.contains(from), "{from}");
    told(&INTERNATIONAL.replacen(from, to, 1), spot, words);
}

#[test]
fn the_international_rules_are_read_from_their_text() {
    assert!(faults(INTERNATIONAL).is_empty(), "{:#?}", faults(INTERNATIONAL));
    assert!(faults(&made("")).is_empty());
    assert!(faults(&format!("\u{feff}{}", made(""))).is_empty());
}

#[test]
fn unknown_words_are_told_with_what_may_have_been_meant() {
    changed(
        "light: Masthead, colour",
        "light: Mastheed, colour",
        "Mastheed",
        &["no light `Mastheed`", "did you mean `Masthead`?"],
    );
    changed("colour: White", "colour: Whit", "Whit,", &["no colour `Whit`", "did you mean `White`?"]);
    changed("may: [Masthead]", "may: [Masthed]", "Masthed]", &["no light `Masthed`", "did you mean `Masthead`?"]);
    changed("status: AtAnchor", "status: AtAnker", "AtAnker", &["no status `AtAnker`", "`AtAnchor`"]);
    changed("asks: LineGap,", "asks: LineGapp,", "LineGapp", &["`LineGapp`", "did you mean `LineGap`?"]);
    changed("propulsion: [Power]", "propulsion: [Powr]", "Powr", &["no propulsion `Powr`", "did you mean `Power`?"]);
    changed("of: Average", "of: Mean", "Mean", &["`Mean`", "`Average`, `Minimum`"]);
    changed(
        "    sectors: [",
        "    sectores: [], sectors: [",
        "sectores",
        &["no field `sectores`", "did you mean `sectors`?"],
    );
    changed("from: 247.5, to: 112.5", "from: 247.5, till: 112.5", "till", &["no field `till` here"]);
    told(
        &made("limits: [(asks: LineGap, leest: 1, clause: \"Rule 23(a)\", source: \"own\")],"),
        "leest",
        &["`leest`", "did you mean `least`?"],
    );
}

#[test]
fn what_is_missing_is_told_at_the_row_that_lacks_it() {
    let source = "source: \"COLREGs 1972 Rule 21(a); seen in a public copy of the Rules\"";
    changed(&format!("\n            {source}"), "", "(light: Masthead", &["`source` is missing", "source: \"...\""]);
    changed(source, "source: \"\"", "\"\")", &["the source is empty", "where this was read"]);
    changed(source, "source: \"  \"", "\"  \")", &["the source is empty"]);
    changed("sidelight: 1, ", "", "(length: (under: 12)", &["the field `sidelight` is missing"]);
    changed("    name: \"international\",\n", "", "Rules", &["lacks its field `name`"]);
    changed("name: \"international\"", "name: \" \"", "\" \"", &["the name is empty"]);
    changed(
        "    intensity_clause: \"Annex I 8\",\n",
        "",
        "Rules",
        &["lacks its field `intensity_clause`", "from: \"international\""],
    );
    let exempt = "source: \"COLREGs 1972 Rule 30(e); seen in a sailing course copy of the Rules\"";
    changed(exempt, "source: \"\"", "\"\"", &["the source is empty"]);
    let cutoff = "all_round_hidden: 6,";
    changed(cutoff, "", "(\n        forward_least", &["`all_round_hidden` is missing"]);
}

/// Every row that says where it was read is refused without, whichever list it stands in.
#[test]
fn no_source_may_be_empty_or_absent() {
    let mut at = 0;
    let mut tried = 0;
    while let Some(found) = INTERNATIONAL[at..].find("source: \"") {
        let start = at + found;
        let end = start + 9 + INTERNATIONAL[start + 9..].find('"').expect("its end") + 1;
        let line = INTERNATIONAL[..start].matches('\n').count() + 1;
        let empty = format!("{}source: \"\"{}", &INTERNATIONAL[..start], &INTERNATIONAL[end..]);
        let told = faults(&empty);
        assert!(told.len() == 1 && told[0].line == line && told[0].what == "the source is empty", "{line}: {told:?}");
        at = end;
        tried += 1;
    }
    assert_eq!(tried, INTERNATIONAL.matches("source: \"").count());
    assert!(tried > 100);
}

#[test]
fn impossible_sectors_are_told_at_their_edge() {
    changed("from: 247.5, to: 112.5", "from: 2475, to: 112.5", "2475", &["2475 degrees is no edge", "0 to 360"]);
    changed("from: 247.5, to: 112.5", "from: 247.5, to: -112.5", "-112.5", &["-112.5 degrees", "masthead light"]);
    changed("from: 247.5, to: 112.5", "from: NaN, to: 112.5", "NaN", &["no edge"]);
    changed("from: 247.5, to: 112.5", "from: 247.5, to: 112.5, wider: 200", "200", &["200 degrees wider"]);
    changed(
        "from: 247.5, to: 112.5",
        "from: \"abaft\", to: 112.5",
        "\"abaft\"",
        &["expected a number, found the text \"abaft\""],
    );
    for edges in ["from: 112.5, to: 112.5", "from: 0, to: 0", "from: 360, to: 0"] {
        let spot = &edges["from: ".len()..];
        changed("from: 247.5, to: 112.5", edges, spot, &["masthead light", "degrees is none", "`from: 0, to: 360`"]);
    }
    let twice = "(light: Masthead, colour: White, from: 240, to: 120, clause: \"Rule 21(a)\", source: \"own\"),";
    told(&made(&format!("sectors: [{twice} {twice}],")), "Masthead", &["the masthead light is given twice"]);
}

#[test]
fn lengths_that_two_rows_hold_or_none_are_told() {
    changed(
        "length: (from: 12, under: 20), masthead",
        "length: (from: 11, under: 20), masthead",
        "(from: 11",
        &["\"11 m to under 20 m\" overlaps", "\"under 12 m\""],
    );
    changed(
        "length: (from: 12, under: 20), masthead",
        "length: (from: 20, under: 12), masthead",
        "(from: 20, under: 12)",
        &["holds no length"],
    );
    changed(
        "high_speed: Some(false), length: (from: 20)",
        "high_speed: Some(false), length: (from: -1)",
        "(from: -1",
        &["holds no length"],
    );
    changed(
        "length: (under: 12), masthead",
        "length: (from: 2, under: 12), masthead",
        "[",
        &["`ranges` has no row for a vessel of 0 m"],
    );
    changed(
        "length: (from: 12, under: 20), masthead",
        "length: (from: 12, under: 19), masthead",
        "[",
        &["`ranges` has no row for a vessel of 19 m"],
    );
}

#[test]
fn figures_that_nothing_can_have_are_told() {
    changed("all_round_hidden: 6", "all_round_hidden: 400", "400", &["`all_round_hidden`", "0 to 45 degrees"]);
    changed("aft_share: 0.5", "aft_share: 1.5", "1.5", &["`aft_share` of `cutoff` cannot be 1.5"]);
    changed("share: 0.1, of", "share: 0, of", "0, of", &["`share` of `cut` cannot be 0"]);
    changed("full: 5, share: 0.6", "full: 8, share: 0.6", "8, share", &["from 8 to 7.5 degrees"]);
    changed("(range: 1, candela: 0.9)", "(range: 1, candela: -0.9)", "-0.9", &["`candela` of -0.9"]);
    changed("sidelight: 1,", "sidelight: 1.5,", "1.5", &["no row for the range of 1.5"]);
    changed("centreline: 0.1", "centreline: 0", "0, stern", &["impossible"]);
    changed("times: 20", "times: 0.5", "0.5", &["impossible", "1 or more"]);
    changed(
        "asks: SidelightShareOfMasthead, most: Some(0.75)",
        "asks: SidelightShareOfMasthead",
        "(asks: Side",
        &["neither `least` nor `most`"],
    );
    changed(
        "asks: GearLightAside, least: Some(2)",
        "asks: GearLightAside, least: Some(9)",
        "9), most",
        &["least is more than its most"],
    );
    let calm = "(sailing: true, full: 5, share: 0.5, wide: 25, clause_full: \"Annex I 10(b)(i)\", \
                clause_wide: \"Annex I 10(b)(ii)\", source: \"own\"),";
    told(&made(&format!("vertical: [{calm} {calm}],")), "[(sailing", &["`vertical` has 2 rows for sailing vessels"]);
}

#[test]
fn displays_name_only_lights_that_the_set_defines() {
    let yellow = "FlashingYellow], may";
    assert!(INTERNATIONAL.contains(yellow));
    changed(
        yellow,
        "SpecialFlashing], may",
        "(name: \"masthead light, sidelights, sternlight and flashing",
        &["no row for a special flashing light"],
    );
    changed("status: UnderSail,", "status: UnderWay,", "UnderWay", &["`UnderSail`"]);
}

#[test]
fn no_clause_may_be_silently_absent() {
    changed(
        "clause: \"Rule 21(a)\",\n",
        "clause: \"Rule 12(a)\",\n",
        "\"Rule 12(a)\"",
        &["\"Rule 12(a)\" has no row in `clauses`", "did you mean \"Rule 21(a)\"?"],
    );
    changed("clause_pair: \"Annex I 9(b)(ii)\"", "clause_pair: \"\"", "\"\"", &["the clause is empty"]);
    let row = "        (clause: \"Rule 28\", about: \"constrained by draught\", for: \"power-driven vessels constrained by their draught\"),\n";
    assert!(INTERNATIONAL.contains(row));
    let without = faults(&INTERNATIONAL.replacen(row, "", 1));
    assert_eq!(without.len(), 2, "{without:#?}");
    assert!(without.iter().all(|fault| fault.what.contains("\"Rule 28\" has no row")));
    changed(row, &format!("{row}{row}"), "\"Rule 28\"", &["has two rows"]);
    let beyond = "power-driven vessels constrained by their draught\", beyond: \"no reason\"";
    changed("power-driven vessels constrained by their draught\"", beyond, "\"no reason\"", &["beyond this program"]);
}

#[test]
fn rows_that_cannot_be_read_are_all_told_at_once() {
    let text = INTERNATIONAL.replacen("light: Masthead, colour", "light: Mast, colour", 1).replacen(
        "sidelight: 1,",
        "sidelight: one,",
        1,
    );
    let told = faults(&text);
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(text[told[0].span.start..].starts_with("Mast,") && text[told[1].span.start..].starts_with("one,"));
    let text = INTERNATIONAL.replacen("all_round_hidden: 6", "all_round_hidden: 60", 1).replacen(
        "from: 0, to: 112.5",
        "from: 0, to: 1125",
        1,
    );
    assert_eq!(
        faults(&text).iter().map(|fault| fault.span.start).collect::<Vec<_>>(),
        [text.find("1125").expect("there"), text.find("60,\n").expect("there")]
    );
}

#[test]
fn what_is_no_rule_file_is_told_so() {
    told("", "", &["nothing in this file", "`Rules(`"]);
    told("Scene(name: \"x\")", "Scene", &["expected `Rules(...)`"]);
    told("[1, 2]", "[", &["expected `Rules(...)`", "a list"]);
    told(&made("limits: 3,"), "3", &["expected a list in `limits`"]);
    told(&made("glare: 3,"), "3", &["fields in round brackets"]);
    told(&made("name: \"again\","), "name: \"again\"", &["given twice"]);
    assert!(!faults(&INTERNATIONAL[..3000]).is_empty());
    let error = read("Rules(from: \"international\", name: \"own\", sectors: [(").expect_err("a fault");
    assert!(error.report(false).contains("own.ron:1:"));
}

/// Whatever is cut off or taken out, the file is read or its faults are told inside it.
#[test]
fn damaged_files_are_told_of_and_upset_nothing() {
    let inland = include_str!("../assets/rules/inland.ron");
    for text in [INTERNATIONAL, inland] {
        for at in (0..text.trim_end().len()).step_by(211).filter(|at| text.is_char_boundary(*at)) {
            let cut = faults(&text[..at]);
            assert!(!cut.is_empty() && cut.iter().all(|fault| fault.span.end <= at), "cut at {at}: {cut:?}");
            let holed = format!("{}{}", &text[..at], text[at..].trim_start_matches(|letter| letter != '\n'));
            assert!(faults(&holed).iter().all(|fault| fault.span.end <= holed.len()), "a hole at {at}");
        }
    }
}

#[test]
fn a_set_made_from_another_says_which_and_what_it_drops() {
    told(
        "Rules(from: \"internationl\", name: \"own\")",
        "\"internationl\"",
        &["no built-in set", "did you mean `international`?"],
    );
    told("Rules(from: \"international\", name: \"international\")", "\"international\")", &["cannot bear its name"]);
    told(&made("drop: [\"Rule 28\", \"Rule 82\"],"), "\"Rule 82\"", &["takes nothing away", "did you mean \"Rule"]);
    told(&made("drop: [\"Rule 21(d)\"],"), "[\"Rule 21(d)\"]", &["\"Rule 21(d)\" has no row in `clauses`"]);
    told(
        &made(
            "sectors: [(light: Masthead, colour: White, from: 270, to: 900, clause: \"Rule 21(a)\", source: \"own\")],",
        ),
        "900",
        &["no edge"],
    );
    told(
        &made("ranges: [(length: (from: 10, under: 15), masthead: 2, sidelight: 1, sternlight: 2, towing: 2, all_round: 2, clause: \"Rule 22(c)\", source: \"own\")],")
            .replace("(from: 10, under: 15)", "(from: 15, under: 20)"),
        "(from: 15",
        &["overlaps"],
    );
    let twice = "(colour: Red, corners: [(0.68, 0.32), (0.66, 0.32), (0.721, 0.259), (0.735, 0.265)], clause: \"Annex I 7\", source: \"own\"),";
    told(&made(&format!("colours: [{twice} {twice}],")), "Red", &["red is given twice"]);
}

#[test]
fn what_a_set_made_from_another_gives_is_added_or_takes_the_place() {
    let rules = read(&made(
        "drop: [\"Rule 28\", \"Rule 27(g)\"],
    limits: [(asks: WhiteAboveSidelights, least: 0.5, clause: \"By-law 1\", source: \"own\")],
    cut: [(length: (under: 12), share: 0.2, of: Minimum, source: \"own\")],
    vertical: [(sailing: true, full: 6, share: 0.5, wide: 25, clause_full: \"Annex I 10(b)(i)\", clause_wide: \"Annex I 10(b)(ii)\", source: \"own\")],
    sectors: [(light: Masthead, colour: White, from: 240, to: 120, clause: \"Rule 21(a)\", source: \"own\")],
    screens: (from: 15, near: 0.3, clause: \"Annex I 5\", source: \"own\"),
    clauses: [(clause: \"Annex I 2(d)\", about: \"changed\"), (clause: \"By-law 1\", about: \"new\")],",
    ))
    .expect("a sound set");
    let base = rules.base.expect("a base");
    assert_eq!(base.name, "international");
    assert!(rules.displays.iter().all(|row| row.clause != "Rule 28"));
    assert!(rules.clauses.iter().all(|row| row.clause != "Rule 28" && row.clause != "Rule 27(g)"));
    assert!(rules.displays.iter().filter_map(|row| row.exempt.as_ref()).all(|exempt| exempt.clause != "Rule 27(g)"));
    assert_eq!(rules.limits.len(), base.limits.len() + 1);
    assert_eq!(rules.cut(11.0).map(|row| row.share), Some(0.2));
    assert_eq!(rules.cut(12.0).map(|row| row.share), Some(0.1));
    assert_eq!(rules.vertical.iter().map(|row| row.full).collect::<Vec<_>>(), [5.0, 6.0]);
    assert_eq!(rules.sectors.len(), base.sectors.len());
    assert_eq!(rules.sectors[0].from, 240.0);
    assert_eq!(rules.screens.from, 15.0);
    let place = |clause: &str| rules.clauses.iter().position(|row| row.clause == clause).expect("its row");
    assert_eq!(rules.clauses[place("Annex I 2(d)")].about, "changed");
    assert_eq!(place("By-law 1"), place("Annex I 2(d)") + 1);
}

#[test]
fn sidelights_have_the_colour_of_their_side() {
    for (light, wrong, right) in [("PortSidelight", "Green", "Red"), ("StarboardSidelight", "Red", "Green")] {
        let row = format!("light: {light}, colour: {right}");
        let spoilt = row.replace(right, wrong);
        let text = INTERNATIONAL.replacen(&row, &spoilt, 1);
        let told = faults(&text);
        let at = text.find(&spoilt).expect("its row") + spoilt.len() - wrong.len();
        assert!(told.len() == 1 && told[0].span.start == at, "{told:#?}");
        assert!(told[0].what.contains(&format!("cannot be {}", wrong.to_lowercase())), "{}", told[0].what);
        assert!(told[0].mend.contains(&format!("write `{right}`")) && told[0].mend.contains("in every set of rules"));
    }
}

#[test]
fn a_clause_that_is_far_from_all_is_not_guessed_at() {
    let text = made("drop: [\"Rule 99(z)\"],");
    told(&text, "\"Rule 99(z)\"", &["takes nothing away", "take it out of `drop`"]);
    assert!(!faults(&text)[0].mend.contains("did you mean"));
}

#[test]
fn a_built_in_set_is_named_in_capitals_or_not() {
    assert!(faults(&made("").replace("\"international\"", "\"International\"")).is_empty());
    let own = "Rules(from: \"INLAND\", name: \"Inland\")";
    told(own, "\"Inland\"", &["cannot bear its name"]);
}

#[test]
fn a_list_that_is_not_closed_is_told_where_the_next_field_begins() {
    changed("    ],\n    ranges: [", "    ranges: [", "ranges: [", &["still open here", "put a `]` before this"]);
    changed("may: [Masthead],", "may: [Masthead,", "", &["still open here", "put a `]` before this"]);
}

#[test]
fn a_word_with_a_hyphen_is_told_as_it_stands_with_the_one_meant() {
    let sail = "status: UnderSail,";
    changed(sail, "status: under-sail,", "under-sail", &["no status `under-sail`", "did you mean `UnderSail`?"]);
    changed("forward_least: ", "forward-least: ", "forward-least", &["no field `forward-least`", "`forward_least`"]);
    changed("forward_least: ", "forward-leest: ", "forward-leest", &["no field `forward-leest`", "`forward_least`?"]);
}
