//! Waivers: reliefs that a local authority gives from a set of rules. Every authority here is invented.

mod support;

use lampwalk::{
    boat::{Lamp, Role, Scene, Status, read::Fault},
    rules::{Date, Judgement, Kind, Rules, Severity, Standing, clause_table, international, judge, rules_text},
    sheet::{
        self, ClauseSheet, Surveyed, Verdict,
        displays::{self, Lookup},
    },
    survey::{Settings, Survey},
};
use support::{bare_boat, lamp, lawful_lamps, place, post};

const WAIVER: &str = r#"Rules(
    from: "international",
    name: "kestrel reach",
    waiver: (
        authority: "Kestrel Reach Harbour Board (invented)",
        area: "Kestrel Reach above the swing bridge",
        reference: "Notice 4 of 2025 (invented)",
        expires: "2027-12-31",
    ),
    displays: [
        (name: "all-round white light alone", status: UnderEngine, length: (under: 8),
            lights: [AllRoundWhite], clause: "Notice 4(2)", source: "Kestrel Reach Notice 4 of 2025, paragraph 2 (invented)"),
    ],
    clauses: [(clause: "Notice 4(2)", about: "all-round white light alone on the reach", for: "power-driven vessels under 8 m")],
)
"#;

/// A limit loosened.
const LOOSE: &str = r#"Rules(
    from: "international", name: "low bridges",
    waiver: (authority: "Canal Office (invented)", area: "the cut (invented)", reference: "Order 7 (invented)", expires: "2027-12-31"),
    drop: ["Annex I 2(d)"],
    limits: [(asks: WhiteAboveSidelights, least: 0.3, length: (under: 12), clause: "Order 7", source: "Order 7 (invented)")],
    clauses: [(clause: "Order 7", about: "white light 0.3 m above the sidelights")],
)"#;

fn on(day: &str) -> Date {
    Date::read(day).expect("a day")
}

fn rules(text: &str, today: &str) -> Rules {
    rules_text(text, "kestrel.ron", on(today)).unwrap_or_else(|error| panic!("{error}"))
}

fn the_fault(text: &str) -> Fault {
    let error = rules_text(text, "kestrel.ron", on("2026-01-01")).err().unwrap_or_else(|| panic!("no fault in {text}"));
    let [fault] = error.faults() else { panic!("{error}") };
    fault.clone()
}

fn with(mut scene: Scene, lamps: Vec<Lamp>) -> Scene {
    scene.fits[0].lamps = lamps;
    scene
}

fn white() -> Lamp {
    lamp("all-round white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 3.0))
}

fn survey(scene: &Scene) -> Survey {
    Survey::of(scene, &scene.fits[0], Status::UnderWay, &Settings { step: 5.0, ..Settings::default() })
}

fn judged<'a>(scene: &Scene, rules: &'a Rules) -> Judgement<'a> {
    judge(scene, &scene.fits[0], &survey(scene), rules)
}

fn told(judgement: &Judgement) -> Vec<(Severity, Kind, String)> {
    judgement.findings.iter().map(|finding| (finding.severity, finding.kind, finding.what.clone())).collect()
}

fn outputs(scene: &Scene, judgement: &Judgement) -> [String; 3] {
    let survey = survey(scene);
    let surveyed = Surveyed { scene, fit: &scene.fits[0], survey: &survey, judgement };
    [sheet::text(&surveyed, false), sheet::json(&[surveyed]), sheet::polar(&surveyed)]
}

#[test]
fn what_only_the_waiver_allows_is_told_as_a_note() {
    let scene = with(bare_boat(), vec![white()]);
    let waiver = rules(WAIVER, "2026-01-01");
    let strict = judged(&scene, international());
    let faults: Vec<_> = strict.findings.iter().filter(|finding| finding.severity == Severity::Fault).collect();
    assert_eq!(faults.iter().map(|fault| fault.kind).collect::<Vec<_>>(), [Kind::LightMissing; 2]);
    let relieved = judged(&scene, &waiver);
    assert_eq!(relieved.display.map(|display| display.clause.as_str()), Some("Notice 4(2)"));
    assert_eq!(relieved.worst(), Some(Severity::Note));
    assert_eq!(relieved.findings.len(), 2);
    for (note, fault) in relieved.findings.iter().zip(faults) {
        assert_eq!(note.what, format!("Would be a fault without the waiver: {}", fault.what));
        assert_eq!(
            (note.kind, &note.clause, note.arc, &note.mend),
            (fault.kind, &fault.clause, fault.arc, &fault.mend)
        );
    }
    let survey = survey(&scene);
    let surveyed = Surveyed { scene: &scene, fit: &scene.fits[0], survey: &survey, judgement: &relieved };
    assert_eq!(surveyed.verdict(), Verdict::Passes);
}

#[test]
fn a_boat_that_needs_no_relief_has_no_note() {
    let scene = with(bare_boat(), lawful_lamps());
    assert_eq!(told(&judged(&scene, &rules(WAIVER, "2026-01-01"))), []);
}

#[test]
fn a_waiver_removes_no_fault_that_it_does_not_speak_of() {
    let waiver = rules(WAIVER, "2026-01-01");
    // The white light behind a mast: the same fault under both, told once.
    let mut scene = with(bare_boat(), vec![white()]);
    scene.parts.push(post("mast", 2.0, 0.0, 0.16));
    let relieved = judged(&scene, &waiver);
    let faults: Vec<_> = relieved.findings.iter().filter(|finding| finding.severity == Severity::Fault).collect();
    assert_eq!(faults.iter().map(|fault| fault.kind).collect::<Vec<_>>(), [Kind::AllRoundObscured]);
    let notes: Vec<_> = relieved.findings.iter().filter(|finding| finding.severity == Severity::Note).collect();
    assert!(notes.iter().all(|note| note.kind == Kind::LightMissing) && notes.len() == 2, "{notes:#?}");
    // Nothing at all is no display of either.
    let dark = judged(&with(bare_boat(), vec![]), &waiver);
    assert_eq!(dark.worst(), Some(Severity::Fault));
    // Longer than the waiver says.
    let scene = with(support::boat_of(8.0), vec![white()]);
    assert_eq!(told(&judged(&scene, &waiver)), told(&judged(&scene, international())));
    // One sidelight only is less than either allows, and no note hides it.
    let mut lamps = lawful_lamps();
    lamps.remove(0);
    let one_side = judged(&with(bare_boat(), lamps), &waiver);
    assert_eq!(one_side.worst(), Some(Severity::Fault));
}

#[test]
fn what_a_waiver_makes_milder_than_a_fault_is_told_too() {
    let milder = WAIVER.replace(
        "lights: [AllRoundWhite],",
        "lights: [AllRoundWhite], if_practicable: [StarboardSidelight, PortSidelight],",
    );
    let scene = with(bare_boat(), vec![white()]);
    let waiver = rules(&milder, "2026-01-01");
    let found = judged(&scene, &waiver);
    let count = |severity| found.findings.iter().filter(|finding| finding.severity == severity).count();
    assert_eq!((count(Severity::Fault), count(Severity::Caution), count(Severity::Note)), (0, 2, 2));
}

#[test]
fn a_limit_that_a_waiver_loosens_is_told_with_what_the_rules_ask() {
    let waiver = rules(LOOSE, "2026-01-01");
    for (height, faults, notes) in [(2.2, 0, 0), (2.19, 0, 1), (1.5, 0, 1), (1.49, 1, 0)] {
        let mut lamps = lawful_lamps();
        lamps[2].at = Some(place(1.0, 0.0, height));
        let judgement = judged(&with(bare_boat(), lamps), &waiver);
        let count = |severity| {
            let of = |finding: &&lampwalk::rules::Finding| finding.severity == severity && finding.kind == Kind::TooLow;
            judgement.findings.iter().filter(of).count()
        };
        assert_eq!((count(Severity::Fault), count(Severity::Note)), (faults, notes), "{height} m");
    }
}

#[test]
fn a_waiver_holds_to_the_end_of_its_last_day_and_relieves_from_nothing_after() {
    let scene = with(bare_boat(), vec![white()]);
    let last = rules(WAIVER, "2027-12-31");
    assert_eq!(judged(&scene, &last).worst(), Some(Severity::Note));
    let after = rules(WAIVER, "2028-01-01");
    let judgement = judged(&scene, &after);
    assert_eq!(judgement.rules.displays.len(), international().displays.len());
    let strict = told(&judged(&scene, international()));
    let told = told(&judgement);
    assert!(strict.iter().all(|one| told.contains(one)));
    let others: Vec<_> = told.iter().filter(|one| !strict.contains(one)).collect();
    let [(Severity::Caution, Kind::WaiverExpired, words)] = others.as_slice() else { panic!("{others:#?}") };
    assert!(words.contains("kestrel reach") && words.contains("2027-12-31"), "{words}");
    assert!(told.windows(2).all(|pair| pair[0].0 >= pair[1].0), "worst first");
    for output in outputs(&scene, &judgement) {
        assert!(output.contains("expired"), "{output}");
    }
}

#[test]
fn every_output_names_the_waiver_and_asks_to_confirm_it() {
    let scene = with(bare_boat(), vec![white()]);
    let waiver = rules(WAIVER, "2026-01-01");
    let judgement = judged(&scene, &waiver);
    for output in outputs(&scene, &judgement) {
        // Lines are broken wherever there is room, in the plot between elements.
        let words: Vec<String> =
            output.split(['<', '>']).map(|piece| piece.split_whitespace().collect::<Vec<_>>().join(" ")).collect();
        let plain = words.join(" ");
        for part in [
            "Kestrel Reach Harbour Board",
            "above the swing bridge",
            "Notice 4 of 2025",
            "2027-12-31",
            "with the authority that it",
            "not judged",
        ] {
            assert!(plain.contains(part) || output.contains(part), "{part}: {plain}");
        }
    }
    let [text, json, polar] = outputs(&scene, &judged(&scene, international()));
    assert!(!text.contains("waiver") && json.contains("\"waiver\": null") && !polar.contains("Waiver"));
    let [_, json, _] = outputs(&scene, &judgement);
    let value: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let waiver = &value["surveys"][0]["waiver"];
    assert_eq!((&waiver["expires"], &waiver["expired"]), (&"2027-12-31".into(), &false.into()));
    assert_eq!(value["surveys"][0]["rules"], "kestrel reach");
}

/// The table of clauses keeps a clause that the waiver takes away: its note stands there.
#[test]
fn the_table_of_clauses_keeps_what_a_waiver_drops() {
    let waiver = rules(LOOSE, "2026-01-01");
    let mut lamps = lawful_lamps();
    lamps[2].at = Some(place(1.0, 0.0, 1.5));
    let scene = with(bare_boat(), lamps);
    let judgement = judged(&scene, &waiver);
    let lines = clause_table(&[(Status::UnderWay, &judgement)]);
    let line = |clause: &str| lines.iter().find(|line| line.row.clause == clause).expect("its row");
    assert_eq!(line("Order 7").standing, Standing::Met);
    assert_eq!(line("Annex I 2(d)").standing, Standing::NotApplicable("it is for vessels without the waiver".into()));
    let [(_, Severity::Note, words)] = line("Annex I 2(d)").remarks.as_slice() else { panic!("no note") };
    assert!(words.starts_with("Would be a fault without the waiver"), "{words}");
    let clauses = |rules: &Rules| rules.clauses.iter().map(|row| row.clause.clone()).collect::<Vec<_>>();
    assert!(clauses(international()).iter().all(|clause| clauses(&waiver).contains(clause)));
    let sheet = ClauseSheet {
        scene: &scene,
        fit: &scene.fits[0],
        rules: &waiver,
        statuses: vec![Status::UnderWay],
        lines,
        unjudged: Vec::new(),
    };
    assert!(sheet::clauses_text(&sheet).contains("Canal Office"));
    assert!(sheet::clauses_json(&[sheet]).contains("\"authority\": \"Canal Office (invented)\""));
}

#[test]
fn a_look_up_of_displays_names_the_waiver() {
    let waiver = rules(WAIVER, "2026-01-01");
    let scene = bare_boat();
    let lookup = Lookup { rules: &waiver, vessel: &scene.vessel, status: Status::UnderWay, waters: &[] };
    assert!(lookup.lawful().iter().any(|display| display.clause == "Notice 4(2)"));
    let drawing = displays::drawing(&lookup).expect("a drawing");
    let json = displays::json(&waiver, &scene.vessel, &[], &[lookup]);
    for output in [displays::text(&lookup), json, drawing] {
        assert!(output.contains("Kestrel Reach Harbour Board") && output.contains("2027-12-31"), "{output}");
    }
    let after = rules(WAIVER, "2028-01-01");
    let lookup = Lookup { rules: &after, ..lookup };
    assert!(lookup.lawful().iter().all(|display| display.clause != "Notice 4(2)"));
    assert!(displays::text(&lookup).contains("expired on 2027-12-31"));
}

#[test]
fn each_field_of_a_waiver_is_needed() {
    for (field, line) in [("authority", 5), ("area", 6), ("reference", 7), ("expires", 8)] {
        let start = WAIVER.find(&format!("        {field}:")).expect("the field");
        let end = start + WAIVER[start..].find('\n').expect("its line's end") + 1;
        let fault = the_fault(&format!("{}{}", &WAIVER[..start], &WAIVER[end..]));
        assert!(fault.what.contains(&format!("`{field}` is missing")) && fault.line == 4, "{fault:?}");
        let value = WAIVER[start..end].split('"').nth(1).expect("its text");
        let fault = the_fault(&WAIVER.replacen(&format!("\"{value}\""), "\" \"", 1));
        assert_eq!(fault.line, line, "{fault:?}");
    }
    let long = WAIVER.replacen("Notice 4 of 2025", &"Notice ".repeat(12), 1);
    assert!(the_fault(&long).what.contains("too long") && the_fault(&long).line == 7);
}

#[test]
fn a_waiver_expires_on_a_real_day() {
    for day in ["2027-02-29", "2027-13-01", "2027-04-31", "31.12.2027", "next year", "20271231"] {
        let fault = the_fault(&WAIVER.replacen("2027-12-31", day, 1));
        assert_eq!((fault.line, fault.column), (8, 18), "{day}: {fault:?}");
        assert!(fault.what.contains(day) && fault.mend.contains("2027-12-31"), "{fault:?}");
    }
    assert_eq!(
        rules(&WAIVER.replacen("2027-12-31", "2028-02-29", 1), "2026-01-01").waiver.map(|one| one.expired),
        Some(false)
    );
}

#[test]
fn a_waiver_is_a_relief_from_a_built_in_set() {
    let whole = include_str!("../assets/rules/international.ron");
    let waiver = "waiver: (authority: \"a\", area: \"b\", reference: \"c\", expires: \"2027-12-31\"),\n    sectors: [";
    let fault = the_fault(&whole.replacen("sectors: [", waiver, 1));
    assert!(fault.what.contains("relief from something") && fault.mend.contains("from: "), "{fault:?}");
    let inland = rules(&WAIVER.replacen("international", "inland", 1), "2026-01-01");
    assert_eq!(inland.base.map(|base| base.name.as_str()), Some("inland"));
    // An option may be written with or without `Some`.
    let with_some =
        WAIVER.replacen("waiver: (", "waiver: Some((", 1).replacen("    ),\n    displays", "    )),\n    displays", 1);
    assert!(rules(&with_some, "2026-01-01").waiver.is_some());
}

#[test]
fn the_example_in_the_readme_is_a_sound_waiver() {
    let readme = include_str!("../README.md");
    let start = readme.find("Rules(\n").expect("an example");
    let example = &readme[start..start + readme[start..].find("```").expect("its end")];
    let read = rules(example, "2026-01-01");
    assert!(read.waiver.is_some_and(|waiver| waiver.authority.contains("invented")));
}
