//! The file after an edit equals the one edited by hand: each test says what a person with a text editor would have
//! changed, and nothing else may differ.

mod support;

use std::fs;

use lampwalk::{
    boat::{Along, Face, Form, Height, Joint, Mount, Part, PartKind, Place, Posture, Role, Status},
    edit::{Document, Edit, Figure, LampAt, Refusal, Spot, Subject},
    measure::{Degrees, Metres},
};

/// A boat written by somebody with habits of his own.
const SKIFF: &str = r##"// The skiff.  /* not the end ) */
Scene(
    name: "Skiff", note: r#"says "// no comment" ]"#,   // mine )
    vessel: Vessel(length: 5, beam: 1.90, freeboard: 0.5, depth: 0.8, propulsion: Power, top_speed: 6),
    conditions: Conditions(
        visibility: 13.40,   // nm
        eyes: [2.0, /* dinghy */ 1.0],
    ),

    parts: [
        Mast(name: "pole", at: (forward: 0.30), height: 2.1, diameter: 0.03),
        // Where he steers from.
        // Bolted down.
        Person(name: "Jo", at: (forward: 1.2, port: 0.20), height: 1.70, posture: [Seated, Standing]), // owner

        // Spare.
        Stanchion(name: "post", at: (forward: 4.5), height: 0.4, diameter: 0.025)
    ],
    fits: [
        Fit(name: "as found", lamps: [
            Lamp(name: "port", role: PortSidelight, at: (forward: 3.50, port: 0.70, above_deck: 0.10),
                mount: Bracket, optics: "port 1 nm"), /* red */
            Lamp(name: "white", role: AllRoundWhite, mount: Pole("pole"), optics: "all-round 2 nm"),
        ], switches: [
            Switch(name: "side", lamps: ["port"]),
            Switch(name: "both", lamps: ["white", "port"]),
        ]),
    ],
    helm: "Jo",
)
"##;

const PORT: LampAt = LampAt { fit: 0, lamp: 0 };
const WHITE: LampAt = LampAt { fit: 0, lamp: 1 };

fn by_hand(text: &str, hand: &[(&str, &str)]) -> String {
    hand.iter().fold(text.to_owned(), |text, (old, new)| {
        assert_eq!(text.matches(old).count(), 1, "{old:?} stands once in the scene");
        text.replacen(old, new, 1)
    })
}

/// Makes an edit in a text, and holds what comes of it against the same done by hand; then undoes it.
fn edited(text: &str, edit: Edit, hand: &[(&str, &str)]) {
    let mut document = Document::of_text(text).expect("the scene is sound");
    let plain = text.trim_start_matches('\u{feff}');
    document.apply(edit).expect("the edit can be made");
    assert_eq!(document.text(), by_hand(plain, hand));
    document.undo().expect("what was sound is sound");
    assert_eq!(document.text(), plain);
}

fn skiff(edit: Edit, hand: &[(&str, &str)]) {
    edited(SKIFF, edit.clone(), hand);
    // The same with the lines of another system, tabs, and a byte-order mark.
    let other = |words: &str| words.replace("    ", "\t").replace('\n', "\r\n");
    let hand: Vec<_> = hand.iter().map(|(old, new)| (other(old), other(new))).collect();
    let hand: Vec<_> = hand.iter().map(|(old, new)| (old.as_str(), new.as_str())).collect();
    edited(&format!("\u{feff}{}", other(SKIFF)), edit, &hand);
}

fn refused(text: &str, edit: Edit) -> Refusal {
    let mut document = Document::of_text(text).expect("the scene is sound");
    let refusal = document.apply(edit).expect_err("the edit is refused");
    assert_eq!(document.text(), text, "what is refused changes nothing");
    assert_eq!(document.steps().0.len(), 0);
    refusal
}

fn deck(forward: f64, starboard: f64, up: f64) -> Place {
    Place { forward, starboard, height: Height::AboveDeck(up) }
}

fn moved(to: Place) -> Edit {
    Edit::Move { what: Spot::Lamp(PORT), to }
}

fn set(what: Subject, figure: Figure, to: f64) -> Edit {
    Edit::Set { what, figure, to }
}

fn renamed(what: Subject, name: &str) -> Edit {
    Edit::Rename { what, name: name.into() }
}

#[test]
fn a_lamp_moved_keeps_the_words_and_figures_that_still_hold() {
    skiff(moved(deck(3.5, -0.62, 0.1)), &[("port: 0.70,", "port: 0.62,")]);
    skiff(moved(deck(3.5004, -0.7, 0.1)), &[]);
    skiff(moved(deck(3.5126, -0.7, 0.1)), &[("3.50,", "3.513,")]);
}

#[test]
fn a_lamp_that_crosses_the_centreline_changes_its_word_and_one_that_stops_on_it_does_not() {
    skiff(moved(deck(3.5, 0.7, 0.1)), &[("port: 0.70,", "starboard: 0.70,")]);
    skiff(moved(deck(3.5, 0.25, 0.1)), &[("port: 0.70,", "starboard: 0.25,")]);
    skiff(moved(deck(3.5, 0.0, 0.1)), &[("port: 0.70,", "port: 0,")]);
}

#[test]
fn a_height_keeps_its_level_unless_it_is_measured_from_another() {
    let at = |height| Place { height, ..deck(3.5, -0.7, 0.0) };
    skiff(moved(at(Height::AboveDeck(0.35))), &[("above_deck: 0.10", "above_deck: 0.35")]);
    skiff(moved(at(Height::AboveGunwale(0.2))), &[("above_deck: 0.10", "above_gunwale: 0.2")]);
}

#[test]
fn what_a_place_did_not_say_is_added_in_order() {
    let to = Place { height: Height::AboveGunwale(0.1), ..deck(4.4, 0.3, 0.0) };
    let hand = [("(forward: 4.5)", "(forward: 4.4, starboard: 0.3, above_gunwale: 0.1)")];
    skiff(Edit::Move { what: Spot::Part { part: 2, nth: 0 }, to }, &hand);
}

#[test]
fn a_new_field_goes_behind_its_neighbour_on_the_same_line() {
    skiff(set(Subject::Lamp(PORT), Figure::Yaw, 4.256), &[("mount: Bracket, ", "mount: Bracket, yaw: 4.26, ")]);
    skiff(set(Subject::Lamp(WHITE), Figure::Tilt, -2.0), &[("Pole(\"pole\"), ", "Pole(\"pole\"), tilt: -2, ")]);
    skiff(set(Subject::Lamp(PORT), Figure::Yaw, 0.001), &[]);
}

#[test]
fn a_new_field_among_fields_on_lines_of_their_own_gets_one() {
    skiff(set(Subject::Scene, Figure::Heel, 5.0), &[("1.0],\n    ),", "1.0],\n        heel: 5,\n    ),")]);
    skiff(set(Subject::Scene, Figure::Visibility, 2.5), &[("13.40,", "2.5,")]);
    let trim = Edit::Trim { least: Degrees(-1.0), most: Degrees(3.5) };
    skiff(trim, &[("1.0],\n    ),", "1.0],\n        trim: (least: -1, most: 3.5),\n    ),")]);
    skiff(set(Subject::Scene, Figure::Sheer, 0.1), &[("top_speed: 6)", "top_speed: 6, hull: Hull(sheer: 0.1))")]);
}

#[test]
fn lists_change_item_by_item() {
    let eyes = |heights: &[f64]| Edit::Eyes(heights.iter().copied().map(Metres).collect());
    skiff(eyes(&[2.0, 1.2]), &[("*/ 1.0]", "*/ 1.2]")]);
    skiff(eyes(&[2.0, 1.0, 12.0]), &[("*/ 1.0]", "*/ 1.0, 12]")]);
    skiff(eyes(&[2.0]), &[("[2.0, /* dinghy */ 1.0]", "[2.0, /* dinghy */]")]);
    let stand = Edit::Postures { part: 1, postures: vec![Posture::Standing, Posture::Seated] };
    skiff(stand, &[("[Seated, Standing]", "[Standing, Seated]")]);
    skiff(Edit::Postures { part: 1, postures: vec![Posture::Seated] }, &[("[Seated, Standing]", "[Seated]")]);
}

#[test]
fn an_entry_deleted_takes_its_lines_and_the_comments_that_are_its_own() {
    let gone = "        // Where he steers from.\n        // Bolted down.\n        Person(name: \"Jo\", at: (forward: 1.2, port: 0.20), height: 1.70, posture: [Seated, Standing]), // owner\n";
    skiff(Edit::Remove(Subject::Part(1)), &[(gone, ""), ("    helm: \"Jo\",\n", "")]);
    let spare =
        "        // Spare.\n        Stanchion(name: \"post\", at: (forward: 4.5), height: 0.4, diameter: 0.025)\n";
    skiff(Edit::Remove(Subject::Part(2)), &[(spare, ""), ("Standing]), //", "Standing]) //")]);
}

#[test]
fn a_lamp_deleted_is_fed_by_no_switch_any_more() {
    let lamp = "            Lamp(name: \"port\", role: PortSidelight, at: (forward: 3.50, port: 0.70, above_deck: 0.10),\n                mount: Bracket, optics: \"port 1 nm\"), /* red */\n";
    let hand = [
        (lamp, ""),
        ("            Switch(name: \"side\", lamps: [\"port\"]),\n", ""),
        ("[\"white\", \"port\"]", "[\"white\"]"),
    ];
    skiff(Edit::Remove(Subject::Lamp(PORT)), &hand);
}

#[test]
fn an_entry_added_looks_like_its_neighbours() {
    let post = |kind| Box::new(Part::new("new", kind));
    let height = 0.5;
    let stanchion = PartKind::Stanchion { at: deck(4.0, -0.5, 0.0), height, diameter: 0.0254 };
    let line = "Stanchion(name: \"new\", at: (forward: 4, port: 0.5), height: 0.5, diameter: 0.0254)";
    skiff(
        Edit::AddPart { at: 1, part: post(stanchion.clone()) },
        &[("diameter: 0.03),\n", &format!("diameter: 0.03),\n        {line},\n"))],
    );
    skiff(
        Edit::AddPart { at: 3, part: post(stanchion.clone()) },
        &[("diameter: 0.025)\n", &format!("diameter: 0.025),\n        {line}\n"))],
    );
    skiff(
        Edit::AddPart { at: 0, part: post(stanchion) },
        &[("    parts: [\n", &format!("    parts: [\n        {line},\n"))],
    );
}

#[test]
fn a_lamp_added_is_written_as_the_lamps_of_its_fit_are() {
    let mut lamp = support::lamp("stern", Role::Sternlight, "stern 2 nm", deck(0.1, 0.0, 0.6));
    lamp.lit = vec![Status::UnderWay];
    lamp.yaw = Degrees(1.5);
    let words = "            Lamp(name: \"stern\", role: Sternlight, at: (forward: 0.1, above_deck: 0.6),\n                mount: Bracket, yaw: 1.5, optics: \"stern 2 nm\"),\n";
    let added = |lamp| Edit::AddLamp { at: LampAt { fit: 0, lamp: 1 }, lamp: Box::new(lamp) };
    skiff(added(lamp.clone()), &[("/* red */\n", &format!("/* red */\n{words}"))]);
    lamp.lit = vec![Status::AtAnchor];
    let words = words.replace("nm\")", "nm\", lit: [AtAnchor])");
    skiff(added(lamp), &[("/* red */\n", &format!("/* red */\n{words}"))]);
}

#[test]
fn a_lamp_goes_into_a_fit_without_any() {
    let text = by_hand(SKIFF, &[("    helm: \"Jo\",\n", "")]);
    let empty = |list: &str| {
        text.replacen("        Fit(name", &format!("        Fit(name: \"bare\"{list}),\n        Fit(name"), 1)
    };
    let mut lamp = support::lamp("stern", Role::Sternlight, "stern 2 nm", deck(0.1, 0.0, 0.6));
    lamp.lit = vec![Status::UnderWay];
    let edit = Edit::AddLamp { at: LampAt { fit: 0, lamp: 0 }, lamp: Box::new(lamp) };
    let words = "\n            Lamp(name: \"stern\", role: Sternlight, at: (forward: 0.1, above_deck: 0.6),\n                mount: Bracket, optics: \"stern 2 nm\"),\n        ]";
    for list in ["", ", lamps: []", ", lamps: [ ]"] {
        edited(&empty(list), edit.clone(), &[(&format!("\"bare\"{list})"), &format!("\"bare\", lamps: [{words})"))]);
    }
    let list = ", lamps: [ // none ]\n        ]";
    edited(&empty(list), edit, &[("none ]\n        ]", &format!("none ]{words}"))]);
}

#[test]
fn a_rename_goes_wherever_the_name_stands() {
    skiff(
        renamed(Subject::Lamp(PORT), "red"),
        &[
            ("Lamp(name: \"port\"", "Lamp(name: \"red\""),
            ("lamps: [\"port\"]", "lamps: [\"red\"]"),
            ("\"white\", \"port\"", "\"white\", \"red\""),
        ],
    );
    skiff(
        renamed(Subject::Part(0), "stick \"1\""),
        &[("Mast(name: \"pole\"", r#"Mast(name: "stick \"1\"""#), ("Pole(\"pole\")", r#"Pole("stick \"1\"")"#)],
    );
    skiff(renamed(Subject::Part(1), "Al"), &[("name: \"Jo\"", "name: \"Al\""), ("helm: \"Jo\"", "helm: \"Al\"")]);
}

#[test]
fn a_lamp_goes_from_a_bracket_to_a_pole_and_back() {
    skiff(
        Edit::Remount { lamp: PORT, mount: Mount::Pole("pole".into()), at: None },
        &[(" at: (forward: 3.50, port: 0.70, above_deck: 0.10),\n", "\n"), ("mount: Bracket", "mount: Pole(\"pole\")")],
    );
    let mount = Mount::Bracket(Along::Gunwale);
    skiff(
        Edit::Remount { lamp: WHITE, mount, at: Some(deck(1.0, 0.0, 1.5)) },
        &[(
            "AllRoundWhite, mount: Pole(\"pole\")",
            "AllRoundWhite, at: (forward: 1, above_deck: 1.5), mount: Bracket(along: Gunwale)",
        )],
    );
    let flat = Edit::Remount { lamp: PORT, mount: Mount::FlatOnDeck(Along::Centreline), at: None };
    skiff(flat, &[("mount: Bracket", "mount: FlatOnDeck")]);
}

#[test]
fn a_copy_of_a_fit_has_all_that_the_fit_has() {
    let start = SKIFF.find("Fit(name").unwrap();
    let end = SKIFF.find("    ],\n    helm").unwrap();
    let fit = SKIFF[start..end].trim_end().trim_end_matches(',');
    let copy = fit.replacen("as found", "proposed", 1);
    let edit = Edit::Copy { what: Subject::Fit(0), name: "proposed".into() };
    skiff(edit, &[("        ]),\n    ],", &format!("        ]),\n        {copy},\n    ],"))]);
}

#[test]
fn the_rest_of_a_lamp_is_changed_in_place() {
    let face = Face { form: Form::Globe, ..Face::column(0.05, 0.03) };
    skiff(
        Edit::Face { lamp: PORT, face },
        &[("\"port 1 nm\")", "\"port 1 nm\", face: (width: 0.05, height: 0.03, form: Globe))")],
    );
    skiff(Edit::Face { lamp: PORT, face: Face::column(0.03, 0.03) }, &[]);
    skiff(Edit::Role { lamp: WHITE, role: Role::Masthead }, &[("AllRoundWhite", "Masthead")]);
    skiff(Edit::Optics { lamp: PORT, name: "port 2 nm".into() }, &[("\"port 1 nm\"", "\"port 2 nm\"")]);
    let lit = vec![Status::UnderWay];
    skiff(Edit::Lit { lamp: WHITE, lit }, &[("\"all-round 2 nm\")", "\"all-round 2 nm\", lit: [UnderWay])")]);
    skiff(
        Edit::Note { what: Subject::Fit(0), note: "old".into() },
        &[("\"as found\",", "\"as found\", note: \"old\",")],
    );
    skiff(Edit::Helm(None), &[("    helm: \"Jo\",\n", "")]);
}

#[test]
fn values_wrapped_or_written_as_none_stay_one_field() {
    let text = by_hand(
        SKIFF,
        &[
            ("port: 0.70", "port: Some(0.70), starboard: None"),
            ("        eyes: [2.0, /* dinghy */ 1.0],\n", "        swell: None,\n"),
        ],
    );
    edited(&text, moved(deck(3.5, -0.8, 0.1)), &[("Some(0.70)", "Some(0.8)")]);
    edited(&text, moved(deck(3.5, 0.8, 0.1)), &[("port: Some(0.70), starboard: None", "starboard: 0.8")]);
    edited(&text, set(Subject::Scene, Figure::Swell, 0.5), &[("swell: None", "swell: 0.5")]);
}

#[test]
fn a_file_on_one_line_stays_on_one_line() {
    let line: String = SKIFF.lines().map(|line| line.split("//").next().unwrap_or(line).trim()).collect();
    let text = line.replace("note: r#\"says \"", "").replace("propulsion", " propulsion");
    assert!(!text.contains('\n'));
    edited(&text, set(Subject::Lamp(WHITE), Figure::Yaw, 3.0), &[("Pole(\"pole\"), ", "Pole(\"pole\"), yaw: 3, ")]);
    edited(
        &text,
        Edit::Remove(Subject::Part(2)),
        &[(",Stanchion(name: \"post\", at: (forward: 4.5), height: 0.4, diameter: 0.025)]", "]")],
    );
    let helmsman = "Person(name: \"Jo\", at: (forward: 1.2, port: 0.20), height: 1.70, posture: [Seated, Standing]),";
    edited(&text, Edit::Remove(Subject::Part(1)), &[(helmsman, ""), ("helm: \"Jo\",", "")]);
}

#[test]
fn an_outboard_is_steered_and_tilted() {
    let engine = "        Outboard(name: \"engine\", at: (forward: 0, above_waterline: 0.5),\n            cowling: (length: 0.5, width: 0.3, height: 0.4), leg: 0.9, steering: (most: 30), tilt: (now: 0, most: 70)),\n";
    let text = by_hand(SKIFF, &[("    parts: [\n", &format!("    parts: [\n{engine}"))]);
    edited(&text, set(Subject::Part(0), Figure::Steered, 12.5), &[("(most: 30)", "(now: 12.5, most: 30)")]);
    edited(&text, set(Subject::Part(0), Figure::TiltedUp, 45.0), &[("(now: 0, most: 70)", "(now: 45, most: 70)")]);
    let refusal = refused(&text, set(Subject::Part(0), Figure::TiltedUp, 80.0));
    assert!(refusal.what.contains("outside its limits"), "{refusal}");
    assert!(refusal.mend.contains("0 to 70"), "{refusal}");
    let fixed = PartKind::Outboard {
        at: Place { height: Height::AboveWaterline(0.5), ..deck(0.0, 0.6, 0.0) },
        cowling: glam::DVec3::new(0.5, 0.3, 0.4),
        leg: 0.9,
        steering: Joint { now: 0.0, least: -30.0, most: 30.0 },
        tilt: Joint { now: 10.0, least: -5.0, most: 60.0 },
    };
    let words = "        Outboard(name: \"second\", at: (forward: 0, starboard: 0.6, above_waterline: 0.5), cowling: (length: 0.5, width: 0.3, height: 0.4), leg: 0.9, steering: (now: 0, most: 30), tilt: (now: 10, least: -5, most: 60)),\n";
    let part = Box::new(Part::new("second", fixed));
    edited(&text, Edit::AddPart { at: 1, part }, &[("most: 70)),\n", &format!("most: 70)),\n{words}"))]);
}

#[test]
fn what_the_reader_would_refuse_is_refused_in_its_words() {
    let refusal = refused(SKIFF, moved(deck(3.5, -9.0, 0.1)));
    assert!(refusal.what.contains("far off a boat"), "{refusal}");
    assert_eq!(refusal.faults.len(), 1);
    let refusal = refused(SKIFF, moved(deck(3.5, -0.2, -0.1)));
    assert!(refusal.what.contains("\"port\" is inside the hull") && refusal.mend.contains("up"), "{refusal}");
    let refusal = refused(SKIFF, renamed(Subject::Lamp(PORT), "white"));
    assert!(refusal.what.contains("already a lamp named \"white\""), "{refusal}");
    let refusal = refused(SKIFF, Edit::Remove(Subject::Part(0)));
    assert!(refusal.what.contains("no part named \"pole\""), "{refusal}");
    let refusal = refused(SKIFF, set(Subject::Part(2), Figure::Rake, 3.0));
    assert!(refusal.what.contains("`Stanchion` has no field `rake`"), "{refusal}");
    let refusal = refused(SKIFF, Edit::Remove(Subject::Part(7)));
    assert!(refusal.faults.is_empty() && refusal.what.contains("not there"), "{refusal}");
}

#[test]
fn several_edits_at_once_are_one_step_and_all_or_none() {
    let both = |up| {
        let edits = vec![moved(deck(3.5, -0.6, up)), set(Subject::Lamp(PORT), Figure::Yaw, 2.0)];
        Edit::All { label: "Shift port".into(), edits }
    };
    skiff(both(0.1), &[("port: 0.70", "port: 0.6"), ("mount: Bracket, ", "mount: Bracket, yaw: 2, ")]);
    refused(SKIFF, both(-0.3));
}

#[test]
fn a_drag_is_one_step_whatever_it_passes_through() {
    let mut document = Document::of_text(SKIFF).unwrap();
    document.begin_drag();
    for starboard in [-0.6, -0.3, 0.0, 0.4, 0.8] {
        document.apply(moved(deck(3.5, starboard, 0.1))).unwrap();
    }
    assert!(document.apply(moved(deck(3.5, 9.0, 0.1))).is_err());
    assert!(document.text().contains("starboard: 0.8,"), "a place that cannot be leaves the last that can");
    document.apply(set(Subject::Lamp(PORT), Figure::Yaw, 5.0)).unwrap();
    document.apply(set(Subject::Lamp(PORT), Figure::Yaw, 0.0)).unwrap();
    document.apply(moved(deck(3.5, -0.65, 0.1))).unwrap();
    document.end_drag();
    assert_eq!(document.text(), by_hand(SKIFF, &[("port: 0.70", "port: 0.65")]), "nothing is left of the way");
    let labels: Vec<_> = document.steps().0.iter().map(|step| step.label.clone()).collect();
    assert_eq!(labels, ["Move port"]);
    document.undo().unwrap();
    assert_eq!(document.text(), SKIFF);
    document.begin_drag();
    document.apply(moved(deck(3.5, 0.5, 0.1))).unwrap();
    document.cancel_drag();
    assert_eq!(document.text(), SKIFF);
    document.begin_drag();
    document.end_drag();
    assert_eq!((document.steps().0.len(), document.steps().1), (1, 0), "a drag that moved nothing is no step");
}

#[test]
fn steps_are_called_what_was_done() {
    let document = Document::of_text(SKIFF).unwrap();
    let label = |edit: Edit| edit.label(document.scene());
    assert_eq!(label(moved(deck(0.0, 0.0, 0.0))), "Move port");
    assert_eq!(label(set(Subject::Lamp(WHITE), Figure::Roll, 0.0)), "Turn white");
    assert_eq!(label(set(Subject::Part(0), Figure::Height, 0.0)), "Resize pole");
    assert_eq!(label(set(Subject::Scene, Figure::Swell, 0.0)), "Set swell");
    assert_eq!(label(Edit::Postures { part: 1, postures: vec![Posture::Standing] }), "Stand up Jo");
    assert_eq!(label(Edit::Remove(Subject::Fit(0))), "Delete as found");
    assert_eq!(label(Edit::Copy { what: Subject::Fit(0), name: "b".into() }), "Copy as found as b");
}

#[test]
fn a_great_mesh_is_read_once_and_anew_when_it_changes() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("petrel.ron");
    for file in ["petrel.ron", "petrel.glb"] {
        fs::copy(format!("{}/scenes/{file}", env!("CARGO_MANIFEST_DIR")), folder.path().join(file)).unwrap();
    }
    let mut document = Document::open(&path).unwrap();
    let surface = |document: &Document| match &document.scene().parts[0].kind {
        PartKind::Mesh { surface, .. } => std::sync::Arc::clone(surface),
        other => panic!("{other:?}"),
    };
    let first = surface(&document);
    let lower = Edit::Move { what: Spot::Lamp(LampAt { fit: 0, lamp: 0 }), to: deck(4.5, 0.0, 0.6) };
    document.apply(lower).unwrap();
    assert!(std::sync::Arc::ptr_eq(&first, &surface(&document)), "the same surface, not one like it");
    let mesh = folder.path().join("petrel.glb");
    fs::remove_file(&mesh).unwrap();
    document.undo().unwrap();
    assert!(std::sync::Arc::ptr_eq(&first, &surface(&document)), "a mesh that has gone stays as it was read");
    fs::write(&mesh, "no mesh").unwrap();
    let refusal = document.redo().expect_err("the mesh is spoilt");
    assert!(refusal.what.contains("petrel.glb"), "{refusal}");
}

#[test]
fn a_measured_lamp_is_copied_and_not_spelt_out_anew() {
    let folder = tempfile::tempdir().unwrap();
    let sample = format!("{}/tests/lamp_library/c_whole.ies", env!("CARGO_MANIFEST_DIR"));
    fs::copy(sample, folder.path().join("lamp.ies")).unwrap();
    let measured = "Measured(file: \"lamp.ies\", colour: White, back: Below, ahead: 0)";
    let text = by_hand(SKIFF, &[("\"all-round 2 nm\"", measured)]);
    let path = folder.path().join("skiff.ron");
    fs::write(&path, &text).unwrap();
    let mut document = Document::open(&path).unwrap();
    let lamp = document.scene().fits[0].lamps[1].clone();
    let refusal = document.apply(Edit::AddLamp { at: WHITE, lamp: Box::new(lamp) }).expect_err("a file tells it");
    assert!(refusal.mend.contains("copy one"), "{refusal}");
    document.apply(Edit::Copy { what: Subject::Lamp(WHITE), name: "second".into() }).unwrap();
    let line =
        format!("            Lamp(name: \"white\", role: AllRoundWhite, mount: Pole(\"pole\"), optics: {measured}),\n");
    let both = format!("{line}{}", line.replace("white", "second"));
    assert_eq!(document.text(), by_hand(&text, &[(&line, &both)]));
    let generic = Edit::Optics { lamp: WHITE, name: "all-round 3 nm".into() };
    document.apply(generic).unwrap();
    document.undo().unwrap();
    document.undo().unwrap();
    assert_eq!(document.text(), text);
}

#[test]
fn a_mesh_is_moved_by_the_place_of_its_origin() {
    let scenes = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let mut document = Document::open(&scenes.join("petrel.ron")).unwrap();
    let before = document.text().to_owned();
    let to = Place { height: Height::AboveWaterline(0.012), ..deck(0.0, 0.0, 0.0) };
    document.apply(Edit::Move { what: Spot::Part { part: 0, nth: 0 }, to }).unwrap();
    let hand = [("(forward: 0, above_waterline: 0),\n", "(forward: 0, above_waterline: 0.012),\n")];
    assert_eq!(document.text(), by_hand(&before, &hand));
}

/// The skiff with her lamps wired, one circuit a switch.
fn wired() -> String {
    by_hand(
        SKIFF,
        &[(
            "            Switch(name: \"both\", lamps: [\"white\", \"port\"]),\n        ]),",
            "            Switch(name: \"both\", lamps: [\"white\", \"port\"]),\n        ],\n        wiring: (\n            \
             battery: (at: (forward: 0.5), volts: 12, amp_hours: 40), // under the thwart\n            \
             main_fuse: 5, panel: (forward: 1.6, above_deck: 0.3),\n            circuits: [\n                \
             (name: \"red\", switch: \"side\", fuse: 2, lamps: [\"port\"]), // spare fuse taped in\n                \
             (name: \"rest\", switch: \"both\", fuse: 2, lamps: [\"white\"]),\n            ],\n            \
             routes: [\n                (lamp: \"port\", spare: 0.4),\n            ],\n        )),",
        )],
    )
}

#[test]
fn a_lamp_renamed_is_renamed_in_its_wiring() {
    let white = [
        ("Lamp(name: \"white\"", "Lamp(name: \"stern\""),
        ("[\"white\", \"port\"]", "[\"stern\", \"port\"]"),
        ("fuse: 2, lamps: [\"white\"]", "fuse: 2, lamps: [\"stern\"]"),
    ];
    edited(&wired(), renamed(Subject::Lamp(WHITE), "stern"), &white);
    let port = [
        ("Lamp(name: \"port\"", "Lamp(name: \"red one\""),
        ("Switch(name: \"side\", lamps: [\"port\"]", "Switch(name: \"side\", lamps: [\"red one\"]"),
        ("[\"white\", \"port\"]", "[\"white\", \"red one\"]"),
        ("fuse: 2, lamps: [\"port\"]", "fuse: 2, lamps: [\"red one\"]"),
        ("(lamp: \"port\", spare", "(lamp: \"red one\", spare"),
    ];
    edited(&wired(), renamed(Subject::Lamp(PORT), "red one"), &port);
}

#[test]
fn a_lamp_removed_takes_its_circuit_and_its_route_with_it() {
    let hand = [
        (
            "            Lamp(name: \"port\", role: PortSidelight, at: (forward: 3.50, port: 0.70, above_deck: 0.10),\n                \
             mount: Bracket, optics: \"port 1 nm\"), /* red */\n",
            "",
        ),
        ("            Switch(name: \"side\", lamps: [\"port\"]),\n", ""),
        ("[\"white\", \"port\"]", "[\"white\"]"),
        ("                (name: \"red\", switch: \"side\", fuse: 2, lamps: [\"port\"]), // spare fuse taped in\n", ""),
        ("                (lamp: \"port\", spare: 0.4),\n", ""),
    ];
    edited(&wired(), Edit::Remove(Subject::Lamp(PORT)), &hand);
}

#[test]
fn a_circuit_forgets_a_switch_that_went_with_its_last_lamp() {
    // The white light, too, is in the circuit behind the switch of the port light alone.
    let text = by_hand(&wired(), &[("fuse: 2, lamps: [\"port\"]", "fuse: 2, lamps: [\"port\", \"white\"]")]);
    let mut document = Document::of_text(&text).expect("sound");
    document.apply(Edit::Remove(Subject::Lamp(PORT))).expect("can be done");
    assert!(document.text().contains("(name: \"red\", fuse: 2, lamps: [\"white\"])"), "{}", document.text());
}
