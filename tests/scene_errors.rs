//! What a fitter gets to read when something in a scene file is wrong: the place in the file, to the character, and
//! words that say what is wrong and how to mend it.

use std::{fs, path::Path};

use lampwalk::boat::{
    Status,
    read::{Fault, ReadError, scene_file, scene_text},
};

/// A sound scene; each test spoils it.
const BOAT: &str = r#"Scene(
    name: "Test boat",
    vessel: Vessel(length: 6.2, beam: 2.3, freeboard: 0.65, depth: 0.95, propulsion: Power, top_speed: 22),
    conditions: Conditions(visibility: 10, eyes: [2.0, 1.2], near: 10, far: 0.5, trim: (least: 0, most: 4), heel: 5),
    parts: [
        Stanchion(name: "bow stanchion", at: (forward: 4.9, port: 0.5), height: 0.6, diameter: 0.025),
        Mast(name: "pole", at: (forward: 0.4, above_deck: 0), height: 1.2, diameter: 0.03, fold: (now: 0, most: 90)),
        Outboard(name: "engine", at: (forward: 0, above_waterline: 0.5),
            cowling: (length: 0.6, width: 0.35, height: 0.5), leg: 0.9, steering: (now: 0, most: 35)),
        Cabin(name: "console", at: (forward: 2.5), length: 1.0, width: 0.8, height: 1.1),
        Person(name: "helmsman", at: (forward: 1.6), height: 1.75, posture: [Seated, Standing]),
    ],
    fits: [
        Fit(name: "as found", lamps: [
            Lamp(name: "port sidelight", role: PortSidelight, at: (forward: 4.4, port: 0.9, above_deck: 0.12),
                mount: Bracket, optics: "port 1 nm"),
            Lamp(name: "all-round", role: AllRoundWhite, mount: Pole("pole"), optics: "all-round 2 nm"),
        ]),
    ],
)
"#;

fn error_of(text: &str) -> ReadError {
    scene_text(text, "boat.ron", None).expect_err("the scene has a fault")
}

fn faults_of(text: &str) -> Vec<Fault> {
    error_of(text).faults().to_vec()
}

/// Puts `wrong` in place of `right` in the sound scene, and holds the one fault against a place and words. The place
/// is that of `spot` in the spoilt text.
fn spoilt(right: &str, wrong: &str, spot: &str, what: &str, mend: &str) {
    assert_eq!(BOAT.matches(right).count(), 1, "{right:?} stands once in the scene");
    let text = BOAT.replacen(right, wrong, 1);
    let around = BOAT.find(right).unwrap();
    let at = around + text[around..].find(spot).unwrap_or_else(|| panic!("{spot:?} in {wrong:?}"));
    let line = text[..at].matches('\n').count() + 1;
    let column = at - text[..at].rfind('\n').map_or(0, |feed| feed + 1) + 1;
    let faults = faults_of(&text);
    assert_eq!(faults.len(), 1, "{wrong:?}: {faults:#?}");
    let fault = &faults[0];
    assert_eq!((fault.line, fault.column), (line, column), "{wrong:?}: {fault:?}");
    assert!(fault.what.contains(what), "{what:?} in {:?}", fault.what);
    assert!(fault.mend.contains(mend), "{mend:?} in {:?}", fault.mend);
}

#[test]
fn the_sound_scene_is_read_whole() {
    let read = scene_text(BOAT, "boat.ron", None).unwrap();
    assert_eq!(read.scene.parts.len(), 5);
    assert_eq!(read.scene.fits[0].lamps.len(), 2);
    assert_eq!(read.scene.fits[0].lamps[1].lit.len(), 2, "an all-round white light burns under way and at anchor");
    let lamp = read.spans.lamp(0, 1).unwrap();
    assert_eq!(read.spans.line(lamp.span), 17);
    assert_eq!(&read.text[lamp.field("optics").unwrap().span.range()], "\"all-round 2 nm\"");
}

#[test]
fn a_misspelt_field_is_named_with_the_one_meant() {
    spoilt("height: 0.6,", "hieght: 0.6,", "hieght", "`Stanchion` has no field `hieght`", "`height`?");
}

#[test]
fn a_missing_field_is_told_at_the_head_of_its_struct() {
    spoilt(
        "Stanchion(name: \"bow stanchion\", at: (forward: 4.9, port: 0.5), height: 0.6, ",
        "Stanchion(name: \"bow stanchion\", at: (forward: 4.9, port: 0.5), ",
        "Stanchion",
        "`Stanchion` lacks its field `height`",
        "`height: ...`",
    );
    spoilt("(forward: 2.5)", "(starboard: 0)", "(", "`Place` lacks its field `forward`", "forward");
}

#[test]
fn wrong_kinds_of_value_are_told_with_what_was_found() {
    spoilt("beam: 2.3", "beam: \"2.3\"", "\"2.3\"", "expected a number, found the text \"2.3\"", "without quotes");
    spoilt("beam: 2.3", "beam: wide", "wide", "expected a number, found the word `wide`", "plain number");
    spoilt("name: \"pole\"", "name: pole", "pole", "expected text in double quotes", "\"pole\"");
    spoilt("role: PortSidelight", "role: \"PortSidelight\"", "\"", "expected a role", "without quotes");
    spoilt("eyes: [2.0, 1.2]", "eyes: 2.0", "2.0", "expected a list of heights of eye", "square brackets");
    spoilt("at: (forward: 2.5)", "at: (2.5, 0)", "2.5", "without their names", "name_of_field: value");
    spoilt(
        "at: (forward: 2.5)",
        "at: 2.5",
        "2.5",
        "expected `Place` with its fields in round brackets",
        "name_of_field: value",
    );
}

#[test]
fn unknown_words_are_told_with_the_choice() {
    spoilt("Stanchion(", "Stantion(", "Stantion", "there is no part `Stantion`", "did you mean `Stanchion`?");
    spoilt("propulsion: Power", "propulsion: Diesel", "Diesel", "no propulsion `Diesel`", "`Power`, `Sail`, `Oars`");
    spoilt("role: PortSidelight", "role: PortSidelite", "PortSidelite", "no role", "did you mean `PortSidelight`?");
    spoilt("mount: Bracket", "mount: Braket", "Braket", "no mount `Braket`", "did you mean `Bracket`?");
    spoilt(
        "mount: Bracket",
        "mount: Bracket(along: Keel)",
        "Keel",
        "no line `Keel` in `along`",
        "`Centreline`, `Gunwale`",
    );
    spoilt("[Seated, Standing]", "[Sitting]", "Sitting", "no posture `Sitting`", "`Seated`");
    spoilt("\"port 1 nm\"", "\"port 1nm\"", "\"", "no lamp by the name of \"port 1nm\"", "did you mean \"port 1 nm\"?");
}

#[test]
fn a_field_given_twice_is_told_with_the_line_of_the_first() {
    spoilt(
        "depth: 0.95,",
        "depth: 0.95,\n    beam: 2.4,",
        "beam",
        "`beam` is given twice; first on line 3",
        "one of the two",
    );
}

#[test]
fn impossible_lengths_are_told_with_their_limits() {
    spoilt("length: 6.2", "length: -6.2", "-6.2", "a length of the vessel of -6.2 m", "more than 1 and at most 60 m");
    spoilt("length: 6.2", "length: 6200", "6200", "out of range", "6200 mm is 6.2");
    spoilt("diameter: 0.025", "diameter: 0", "0", "a diameter of 0 m", "more than 0");
    spoilt("freeboard: 0.65", "freeboard: NaN", "NaN", "must be a finite number", "more than 0 and at most 6 m");
    spoilt("height: 1.1", "height: -inf", "-inf", "must be a finite number", "at most 40 m");
    spoilt("beam: 2.3", "beam: 7", "7", "exceeds her length", "exchanged");
    spoilt("depth: 0.95", "depth: 0.5", "0.5", "less than her freeboard", "gunwale down to the keel");
    spoilt("top_speed: 22", "top_speed: 22, hull: (flare: 50)", "50", "a flare of 50 degrees", "from 0 to 45 degrees");
    spoilt("top_speed: 22", "top_speed: 22, hull: Hull(transom: 1.2)", "1.2", "a transom's share", "at most 1");
    spoilt("height: 1.75", "height: 175", "175", "a person's height", "from 0.5 to 2.5 m");
    spoilt("height: 1.1", "height: 160", "160", "a size of 160 m in `height`", "160 mm is 0.16, 160 cm is 1.6");
    spoilt(
        "length: 6.2",
        "length: 520",
        "520",
        "a length of the vessel of 520 m",
        "lengths are in metres: 520 cm is 5.2",
    );
    spoilt("length: 6.2", "length: 200", "200", "out of range", "200 cm is 2");
    spoilt("above_deck: 0.12", "above_deck: 120", "120", "a distance of 120 m in `above_deck`", "120 cm is 1.2");
    spoilt("port: 0.5", "port: 500", "500", "a distance of 500 m in `port`", "500 mm is 0.5");
}

#[test]
fn impossible_places_are_told() {
    spoilt("forward: 2.5", "forward: 25", "25", "far off a boat 6.2 m long", "from -5 to 11.2");
    spoilt("port: 0.5)", "port: 5)", "5", "far off a boat 2.3 m wide", "from the centreline");
    spoilt("port: 0.5)", "starboard: -0.5)", "-0.5", "by the word, not by a sign", "`port: 0.5`");
    spoilt("port: 0.5)", "port: 0.5, starboard: 0)", "0.5", "either to starboard or to port", "keep one");
    spoilt("above_deck: 0.12)", "above_deck: 0.12, above_gunwale: 0)", "0)", "from two levels", "`above_waterline`");
}

#[test]
fn impossible_conditions_are_told() {
    spoilt("visibility: 10", "visibility: 0", "0", "a visibility of 0 nm", "from 0.1 to 50 nm");
    spoilt("[2.0, 1.2]", "[]", "[", "no eye to look from", "at least one height");
    spoilt("[2.0, 1.2]", "[2.0, 120]", "120", "a height of eye of 120 m", "from 0 to 50 m");
    spoilt("near: 10", "near: 3.05", "3.05", "does not clear a boat 6.2 m long", "more than 3.1 m");
    spoilt("far: 0.5", "far: 10", "10", "far ring", "at most 6 nm".trim_start_matches("at most "));
    spoilt("(least: 0, most: 4)", "(least: 6, most: 4)", "6", "exceeds the most", "exchange");
    spoilt("heel: 5", "heel: 60", "60", "a heel of 60 degrees", "from 0 to 45 degrees");
    spoilt("heel: 5)", "heel: 5, swell: 16)", "16", "a height of the swell of 16 m", "from 0 to 15 m");
    spoilt("heel: 5)", "heel: 5, swell: -1)", "-1", "a height of the swell of -1 m", "from 0 to 15 m");
}

#[test]
fn joints_outside_their_limits_are_told() {
    spoilt("(now: 0, most: 35)", "(now: 40, most: 35)", "40", "stands at 40 degrees", "within -35 to 35 degrees");
    spoilt("(now: 0, most: 90)", "(now: -5, most: 90)", "-5", "outside its limits", "0 to 90");
    spoilt("(now: 0, most: 90)", "(now: 0, most: 120)", "120", "a joint's angle", "from -90 to 90");
    spoilt("(now: 0, most: 90)", "(now: 0, least: 10, most: 5)", "5", "runs backwards", "`least` must not exceed");
}

#[test]
fn twin_names_are_told_with_the_line_of_the_first() {
    spoilt(
        "name: \"console\"",
        "name: \"pole\"",
        "\"pole\"",
        "already a part named \"pole\", on line 7",
        "name of its own",
    );
    spoilt("name: \"all-round\"", "name: \"port sidelight\"", "\"port", "already a lamp named", "name of its own");
    spoilt("name: \"console\"", "name: \" \"", "\" \"", "the name is empty", "name of its own");
}

#[test]
fn mounts_must_name_a_part_that_can_carry_them() {
    spoilt("Pole(\"pole\")", "Pole(\"Poles\")", "\"Poles\"", "no part named \"Poles\"", "did you mean \"pole\"?");
    spoilt(
        "Pole(\"pole\")",
        "Pole(\"engine\")",
        "\"engine\"",
        "is a `Outboard`, and `Pole` needs a `Mast`",
        "kind `Mast`",
    );
    spoilt("Pole(\"pole\")", "Pole", "Pole", "does not say on which part", "`Pole(\"name of the part\")`");
    spoilt("mount: Pole", "at: (forward: 1), mount: Pole", "(", "has no place of its own", "leave `at` out");
}

#[test]
fn a_lamp_without_a_place_is_told_at_its_head() {
    let text = BOAT.replace("at: (forward: 4.4, port: 0.9, above_deck: 0.12),", "");
    let faults = faults_of(&text);
    assert_eq!(faults.len(), 1);
    assert_eq!((faults[0].line, faults[0].column), (15, 13));
    assert!(faults[0].what.contains("`Lamp` lacks its field `at`"));
}

#[test]
fn a_lamp_inside_a_solid_is_told_with_the_way_out() {
    let place = "(forward: 4.4, port: 0.9, above_deck: 0.12)";
    spoilt(place, "(forward: 2.5, above_deck: 1.0)", "(", "\"port sidelight\" is inside the cabin \"console\"", "m up");
    spoilt(place, "(forward: 3.0, above_deck: -0.2)", "(", "inside the hull", "m up");
    spoilt(
        place,
        "(forward: 4.9, port: 0.505, above_deck: 0.3)",
        "(",
        "inside the stanchion \"bow stanchion\"",
        "0.03 m to port",
    );
}

#[test]
fn a_face_has_a_size_a_lamp_can_have() {
    let with_face = |face: &str| format!("mount: Bracket, face: {face}");
    spoilt("mount: Bracket", &with_face("(width: 30, height: 0.03)"), "30", "a luminous face of 30 m", "30 mm is 0.03");
    spoilt("mount: Bracket", &with_face("(width: 0.03, height: 0)"), "0)", "a luminous face of 0 m", "at most 0.5 m");
    for form in ["Globe", "Column"] {
        let mend = format!("write `Face(width: 0.03, height: 0.03, form: {form})`");
        spoilt("mount: Bracket", &with_face(form), form, "expected `Face(...)`", &mend);
    }
    let more = |more: &str| with_face(&format!("(width: 0.03, height: 0.03, {more})"));
    spoilt("mount: Bracket", &more("form: Glob"), "Glob", "form of a luminous face `Glob`", "did you mean `Globe`?");
    spoilt("mount: Bracket", &more("form: \"Globe\""), "\"Globe", "expected a form", "write Globe without quotes");
    spoilt("mount: Bracket", &more("bright: Centre"), "Centre", "no spread of brightness `Centre`", "`Even`, `Middle`");
    spoilt("mount: Bracket", &more("brightness: Middle"), "brightness", "no field `brightness`", "`bright`");
}

#[test]
fn a_scene_without_fits_is_refused_and_a_fit_without_lamps_is_not() {
    let before = &BOAT[..BOAT.find("fits:").unwrap()];
    let faults = faults_of(&format!("{before})"));
    assert_eq!((faults.len(), faults[0].line, faults[0].column), (1, 1, 1));
    assert!(faults[0].what.contains("no fit"));
    assert!(scene_text(&format!("{before} fits: [Fit(name: \"dark\", lamps: [])])"), "dark.ron", None).is_ok());
}

#[test]
fn slips_of_the_pen_are_told_where_they_are() {
    spoilt("length: 6.2, beam", "length: 6.2 beam", " beam", "a comma is missing here", "`,`");
    spoilt("beam: 2.3", "beam = 2.3", "=", "`=` where a colon should be", "`:`");
    spoilt("beam: 2.3,", "beam: 2.3;", ";", "`;` where a comma should be", "`,`");
    spoilt("beam: 2.3", "beam: 2,3", "2,3", "`2,3` is not a number", "write `2.3`, with a point");
    spoilt("beam: 2.3", "beam: 2.3m", "2.3m", "`2.3m` is not a number", "`2.3`");
    spoilt("beam: 2.3", "beam: 2.3 m", "m,", "`m` after a number", "metres");
    spoilt("beam: 2.3,", "beam: ,", ",", "a value is missing", "write the value");
    spoilt("\"Test boat\",", "“Test boat”,", "“", "typographic quote", "plain double quotes");
    spoilt("\"Test boat\",", "'Test boat',", "'", "single quotes", "\"Test boat\"");
    spoilt("\"Test boat\",", "\"Test boat,", "\"", "never closed", "at its end");
    spoilt("beam: 2.3", "\"beam\": 2.3", "\"beam\"", "stands in quotes", "without quotes");
    spoilt("Vessel(length", "Vessel{length", "{", "round brackets", "in place of");
    spoilt("    parts: [", "    # all parts\n    parts: [", "#", "a comment does not begin with `#`", "`//`");
}

#[test]
fn a_bracket_that_is_not_closed_is_told_once() {
    let told = |right: &str, wrong: &str| {
        let faults = faults_of(&BOAT.replacen(right, wrong, 1));
        assert_eq!(faults.len(), 1, "{faults:#?}");
        (faults[0].line, faults[0].column, faults[0].what.clone())
    };
    let lamp = told("optics: \"port 1 nm\"),", "optics: \"port 1 nm\",");
    assert_eq!(lamp, (17, 13, "the bracket opened on line 15 is still open here".into()));
    let lamps = told("        ]),\n    ],\n)", "        ),\n    ],\n)");
    assert_eq!(lamps, (18, 9, "`)` where a `]` should close the bracket opened on line 14".into()));
    let scene = told("        ]),\n    ],\n)", "        ]),\n    ],\n");
    assert_eq!(scene, (1, 6, "this bracket is never closed".into()));
    let extra = told("        ]),\n    ],\n)", "        ]),\n    ],\n))");
    assert_eq!(extra, (20, 2, "nothing is open that this `)` could close".into()));
    let comment = told("    parts: [", "    /* all parts\n    parts: [");
    assert_eq!((comment.0, comment.1), (5, 5));
}

#[test]
fn several_mistakes_are_all_told_in_the_order_of_the_file() {
    let text = BOAT
        .replace("length: 6.2", "length: -6.2")
        .replace("propulsion: Power", "propulsion: Steam")
        .replace("height: 1.1", "hight: 1.1")
        .replace("now: 0, most: 35", "now: 50, most: 35")
        .replace("\"port 1 nm\"", "\"red\"")
        .replace("Pole(\"pole\")", "Pole(\"mast\")");
    let faults = faults_of(&text);
    let told: Vec<_> = faults.iter().map(|fault| (fault.line, fault.what.as_str())).collect();
    assert_eq!(told.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [3, 3, 9, 10, 16, 17], "{told:#?}");
    let report = error_of(&text).to_string();
    for fault in &faults {
        assert!(report.contains(&format!("boat.ron:{}:{}", fault.line, fault.column)), "{report}");
        assert!(report.contains(&fault.what), "{report}");
    }
    assert!(report.contains("Cabin(name: \"console\""), "the line itself is shown:\n{report}");
    assert!(report.ends_with("6 mistakes in boat.ron"));
}

#[test]
fn a_slip_of_the_pen_does_not_hide_what_else_is_wrong() {
    let text = BOAT.replace("length: 6.2, beam", "length: 6.2 beam").replace("height: 1.1", "height: -1.1");
    let lines: Vec<_> = faults_of(&text).iter().map(|fault| fault.line).collect();
    assert_eq!(lines, [3, 10]);
}

#[test]
fn columns_stay_right_behind_tabs_carriage_returns_marks_and_foreign_letters() {
    let text = BOAT
        .replace("name: \"console\"", "name: \"Führerstand 操舵室\"")
        .replace("length: 1.0,", "\tlength: -1.0,")
        .replace('\n', "\r\n");
    let faults = faults_of(&format!("\u{feff}{text}"));
    let line = text.lines().nth(9).unwrap();
    let column = line[..line.find("-1.0").unwrap()].chars().count() + 1;
    assert_eq!((faults.len(), faults[0].line, faults[0].column), (1, 10, column));
    let report = error_of(&text).to_string();
    assert!(report.contains(&format!("boat.ron:10:{column}")), "{report}");
    assert!(scene_text(&format!("\u{feff}{}", BOAT.replace('\n', "\r\n")), "boat.ron", None).is_ok());
}

fn sentence(path: &Path) -> String {
    let error = scene_file(path).expect_err("no scene here");
    assert!(error.faults().is_empty());
    error.to_string()
}

#[test]
fn files_that_give_no_text_are_told_in_one_sentence() {
    let folder = tempfile::tempdir().unwrap();
    assert!(sentence(&folder.path().join("nowhere.ron")).contains("nowhere.ron: there is no such file"));
    assert!(sentence(folder.path()).contains("this is a folder; name the scene file in it"));
    let latin = folder.path().join("latin.ron");
    fs::write(&latin, b"Scene(\n  name: \"F\xfchrer\")").unwrap();
    assert!(sentence(&latin).contains("not UTF-8 text, from line 2, column 11"));
}

#[test]
fn an_empty_file_is_told_as_such() {
    for text in ["", "  \n", "// nothing yet\n"] {
        let faults = faults_of(text);
        assert_eq!(faults.len(), 1);
        assert!(faults[0].what.contains("nothing in this file") && faults[0].mend.contains("Scene("));
    }
}

const TRIANGLE: &str = "v 0 0 0\nv 1000 0 0\nv 0 1000 0\nf 1 2 3\n";

fn with_mesh(part: &str, files: &[(&str, &[u8])]) -> Result<(), String> {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        fs::write(folder.path().join(name), bytes).unwrap();
    }
    let scene = folder.path().join("boat.ron");
    fs::write(&scene, BOAT.replace("parts: [", &format!("parts: [\n        {part},"))).unwrap();
    match scene_file(&scene) {
        Ok(_) => Ok(()),
        Err(error) => {
            assert_eq!(error.faults().len(), 1, "{error}");
            Err(format!("{}:{} {}", error.faults()[0].line, error.faults()[0].column, error.faults()[0].what))
        }
    }
}

#[test]
fn faults_of_mesh_files_are_told_where_the_file_is_named() {
    let part = r#"Mesh(name: "tub", file: "tub.obj", unit: "mm", up: "+z", forward: "+x", at: (forward: 1))"#;
    let read = |bytes: &[u8]| with_mesh(part, &[("tub.obj", bytes)]);
    assert_eq!(read(TRIANGLE.as_bytes()), Ok(()));
    assert!(with_mesh(part, &[]).unwrap_err().starts_with("6:33 there is no mesh file \"tub.obj\""));
    assert!(read(b"v 0 0 0\nf 1 2 3\n").unwrap_err().starts_with("6:33 mesh file \"tub.obj\" is damaged"));
    assert!(read(b"").unwrap_err().contains("holds no triangle"));
    assert!(read(b"v 0 0 0\nv nan 0 0\nv 0 1 0\nf 1 2 3\n").unwrap_err().contains("no finite number"));
    let metres = part.replace("\"mm\"", "\"m\"");
    let large = with_mesh(&metres, &[("tub.obj", TRIANGLE.as_bytes())]).unwrap_err();
    assert!(large.contains("1000 m large"), "{large}");
}

#[test]
fn a_mesh_must_say_its_unit_and_axes() {
    let bare = r#"Mesh(name: "tub", file: "tub.obj", up: "+z", forward: "+x", at: (forward: 1))"#;
    let files: &[(&str, &[u8])] = &[("tub.obj", TRIANGLE.as_bytes())];
    assert_eq!(with_mesh(bare, files).unwrap_err(), "6:9 `Mesh` lacks its field `unit`");
    let yard = bare.replace("up:", "unit: \"yd\", up:");
    assert_eq!(with_mesh(&yard, files).unwrap_err(), "6:50 there is no unit \"yd\"");
    let same = bare.replace("forward: \"+x\"", "unit: \"mm\", forward: \"-z\"");
    assert!(with_mesh(&same, files).unwrap_err().contains("along the same axis"));
    let other = bare.replace("tub.obj", "tub.step").replace("up:", "unit: \"mm\", up:");
    assert!(with_mesh(&other, files).unwrap_err().contains("no kind that can be read"));
}

#[test]
fn small_structs_are_shown_as_they_are_written() {
    let steering = "steering: (now: 0, most: 35)";
    spoilt(steering, "steering: 35", "35", "expected `Joint`", "(now: 0, most: 35)");
    let cowling = "cowling: (length: 0.6, width: 0.35, height: 0.5)";
    spoilt(
        cowling,
        "cowling: (0.6, 0.35, 0.5)",
        "0.6",
        "without their names",
        "(length: 0.6, width: 0.4, height: 0.5)",
    );
}

#[test]
fn she_is_steered_no_further_than_her_outboard_turns() {
    spoilt("heel: 5)", "heel: 5, steering: 60)", "60", "where \"engine\" turns 35", "write 35 or less");
}

#[test]
fn a_lamp_under_water_or_flush_in_the_air_is_refused() {
    let (there, at) = ("port: 0.9, above_deck: 0.12)", "(forward: 4.4");
    assert!(BOAT.contains(there));
    let whole = "at: (forward: 4.4, port: 0.9, above_deck: 0.12),\n                mount: Bracket";
    let wet = "at: (forward: 4.4, port: 1.3, above_waterline: -0.3),\n                mount: Bracket";
    spoilt(whole, wet, at, "0.3 m under water", "raise it");
    let air = "at: (forward: 4.4, port: 0.9, above_gunwale: 0.2),\n                mount: Flush";
    spoilt(whole, air, at, "above the gunwale there is none", "lower it");
}

/// The end of the fit's lamps, where a switch plan follows.
const LAMPS_END: &str = "        ]),\n    ],\n)";

fn with_switches(switches: &str, spot: &str, what: &str, mend: &str) {
    spoilt(LAMPS_END, &format!("        ], switches: [{switches}]),\n    ],\n)"), spot, what, mend);
}

#[test]
fn a_switch_feeds_lamps_that_are_there() {
    let unknown = r#"Switch(name: "side", lamps: ["all-round", "port sidelite"])"#;
    with_switches(unknown, "\"port", "no lamp named \"port sidelite\"", "did you mean \"port sidelight\"?");
    let other = r#"Switch(name: "mode", positions: [Position(name: "run", lamps: ["steaming"])])"#;
    with_switches(other, "\"steaming", "no lamp named", "the lamps are \"port sidelight\", \"all-round\"");
    let word = r#"Switch(name: "side", lamps: [sidelights])"#;
    with_switches(word, "sidelights]", "expected text in double quotes", "\"sidelights\"");
    let twice = r#"Switch(name: "side", lamps: ["all-round", "all-round"])"#;
    with_switches(twice, "\"all-round\"])", "named twice", "whether another was meant");
    with_switches(r#"Switch(name: "side", lamps: [])"#, "[])", "nothing is fed", "every switch can be off");
}

#[test]
fn a_switch_has_either_lamps_or_positions() {
    with_switches(
        r#"Switch(name: "side")"#,
        "Switch",
        "neither `lamps` nor `positions`",
        "lamps: [\"name of the lamp\"]",
    );
    let both =
        r#"Switch(name: "side", lamps: ["all-round"], positions: [Position(name: "run", lamps: ["all-round"])])"#;
    with_switches(both, "[Position", "either `lamps` or `positions`", "keep `lamps`");
    with_switches(r#"Switch(name: "side", positions: [])"#, "[])", "no position to turn it to", "Position(name:");
    let off = r#"Switch(name: "side", positions: [Position(name: "Off", lamps: ["all-round"])])"#;
    with_switches(off, "\"Off\"", "off without a position", "leave this position out");
    let empty = r#"Switch(name: "side", positions: [Position(name: "run")])"#;
    with_switches(empty, "Position", "`Position` lacks its field `lamps`", "`lamps: ...`");
}

#[test]
fn twin_switches_and_twin_positions_are_told() {
    let switches = r#"Switch(name: "side", lamps: ["all-round"]), Switch(name: "side", lamps: ["port sidelight"])"#;
    with_switches(
        switches,
        "\"side\", lamps: [\"port",
        "already a switch named \"side\", on line 18",
        "name of its own",
    );
    let positions = r#"Switch(name: "mode", positions: [Position(name: "run", lamps: ["all-round"]),
        Position(name: "run", lamps: ["port sidelight"])])"#;
    with_switches(positions, "\"run\", lamps: [\"port", "already a position named \"run\"", "name of its own");
}

#[test]
fn a_lamp_that_no_switch_feeds_is_no_matter_of_reading() {
    let text = BOAT.replace(LAMPS_END, r#"], switches: [Switch(name: "side", lamps: ["port sidelight"])])])"#);
    let read = scene_text(&text, "boat.ron", None).unwrap();
    assert_eq!(read.scene.fits[0].switches[0].positions[0].lamps, [0]);
}

#[test]
fn a_plan_of_more_settings_than_can_be_judged_is_refused() {
    let plain = |count: usize| {
        let each = (0..count).map(|n| format!("Switch(name: \"{n}\", lamps: [\"all-round\"])"));
        each.collect::<Vec<_>>().join(", ")
    };
    with_switches(&plain(10), "[Switch(name: \"0\"", "1024 settings together, and 512 at most", "leave out");
    let nine = BOAT.replace(LAMPS_END, &format!("], switches: [{}])])", plain(9)));
    assert!(scene_text(&nine, "boat.ron", None).is_ok());
}

#[test]
fn the_helm_is_a_persons() {
    let helm = |name: &str| format!("    helm: \"{name}\",\n    fits: [\n");
    let told =
        |name: &str, what: &str, mend: &str| spoilt("    fits: [\n", &helm(name), &format!("\"{name}"), what, mend);
    told("helmsmann", "no part named \"helmsmann\"", "did you mean \"helmsman\"?");
    told("console", "\"console\" is a `Cabin`, and `helm` needs a `Person`", "leave `helm` out");
    let read = scene_text(&BOAT.replace("    fits: [\n", &helm("helmsman")), "boat.ron", None).unwrap();
    assert_eq!(read.scene.helm.as_deref(), Some("helmsman"));
}

#[test]
fn a_measured_colour_is_one_of_the_lamps_and_of_the_diagram() {
    let measured = |list: &str, spot: &str, what: &str, mend: &str| {
        let with = format!("optics: \"port 1 nm\", chromaticity: {list}");
        spoilt("optics: \"port 1 nm\"", &with, spot, what, mend);
    };
    measured("[(colour: Green, x: 0.2, y: 0.5)]", "Green", "\"port 1 nm\" shows no green", "what it shows: red");
    let twice = "[(colour: Red, x: 0.7, y: 0.3), (colour: Red, x: 0.69, y: 0.3)]";
    measured(twice, "Red, x: 0.69", "the red of this lamp is given twice", "keep one");
    measured("[(colour: Red, x: 0.7, y: 0.31)]", "0.31", "x 0.7 and y 0.31 lie outside", "at most 1");
    measured("[(colour: Red, x: 70, y: 0.3)]", "70", "a coordinate of the colour diagram of 70", "from 0 to 1");
    measured("[(colour: Pink, x: 0.5, y: 0.3)]", "Pink", "no colour `Pink`", "`Red`, `Green`, `White`, `Yellow`");
    measured("[(0.7, 0.3)]", "0.7", "without their names", "(colour: White, x: 0.45, y: 0.41)");
}

#[test]
fn lamps_of_roles_that_go_with_no_one_status_say_when_they_are_lit() {
    for (role, words, example) in [
        ("TowingLight", "towing light", "`lit: [Towing]`"),
        ("AllRoundRed", "all-round red light", "`lit: [NotUnderCommand]`"),
        ("AllRoundGreen", "all-round green light", "`lit: [Trawling]`"),
        ("FlashingYellow", "all-round flashing yellow light", "`lit: [AirCushion]`"),
        ("SpecialFlashing", "special flashing light", "`lit: [PushedAhead]`"),
    ] {
        let lamp = "Lamp(name: \"all-round\", role: AllRoundWhite";
        let wrong = format!("Lamp(name: \"all-round\", role: {role}");
        spoilt(lamp, &wrong, "Lamp", &format!("nothing tells when the {words} is lit"), example);
        let text = BOAT.replace(lamp, &format!("{wrong}, lit: [AtAnchor]"));
        assert!(scene_text(&text, "boat.ron", None).is_ok(), "{role}");
    }
}

#[test]
fn sidelights_are_lit_by_every_means_she_has() {
    let lit = |also: &str| {
        let text = BOAT.replace("top_speed: 22", &format!("top_speed: 22, also: [{also}]"));
        scene_text(&text, "boat.ron", None).unwrap().scene.fits[0].lamps[0].lit.clone()
    };
    assert_eq!(lit(""), [Status::UnderWay]);
    assert_eq!(lit("Sail, Oars"), [Status::UnderWay, Status::UnderSail, Status::UnderOars]);
}

#[test]
fn she_does_something() {
    spoilt("top_speed: 22", "top_speed: 22, statuses: []", "[]", "nothing at all", "leave `statuses` out");
}

#[test]
fn an_unknown_status_is_told_in_few_words() {
    let report = |status: &str| {
        let error = error_of(&BOAT.replace("\"port 1 nm\"", &format!("\"port 1 nm\", lit: [{status}]")));
        let fault = &error.faults()[0];
        (fault.what.clone(), fault.mend.clone())
    };
    assert_eq!(
        report("UnderWays"),
        ("there is no status `UnderWays` in `lit`".into(), "did you mean `UnderWay`?".into())
    );
    let (_, mend) = report("Drifting");
    assert!(Status::ALL.iter().all(|status| mend.contains(status.name())), "{mend}");
    assert!(mend.chars().count() < 6 * 100, "six lines of a hundred letters at most: {}", mend.chars().count());
}

#[test]
fn lengths_in_other_units_are_told_in_metres() {
    spoilt("height: 0.6", "height: 550mm", "550mm", "`550mm` is not a number", "write `0.55`");
    spoilt("height: 0.6", "height: 55cm", "55cm", "`55cm` is not a number", "write `0.55`");
    spoilt("length: 6.2", "length: 17ft", "17ft", "`17ft` is not a number", "write `5.1816`");
    spoilt("length: 6.2", "length: 17 ft", "ft", "`ft` after a number", "write `5.1816`");
    spoilt("length: 6.2", "length: 17 ft 6 in", "ft", "`ft` after a number", "write `5.334`");
    spoilt("diameter: 0.025", "diameter: 1in", "1in", "`1in` is not a number", "write `0.0254`");
    spoilt("length: 6.2", "length: \"17 ft\"", "\"17 ft\"", "expected a number", "write `5.1816`");
    spoilt("top_speed: 22", "top_speed: 22mph", "22mph", "`22mph` is not a number", "write the number alone");
}

#[test]
fn a_word_with_a_hyphen_is_one_mistake() {
    let lit = |status: &str| format!("\"port 1 nm\", lit: [{status}]");
    let optics = "\"port 1 nm\"";
    spoilt(optics, &lit("under-sail"), "under-sail", "no status `under-sail`", "did you mean `UnderSail`?");
    spoilt("top_speed: 22", "top-speed: 22", "top-speed", "no field `top-speed`", "did you mean `top_speed`?");
}

#[test]
fn typographic_quotes_are_told_once_and_counted() {
    let text = BOAT.replace("\"port 1 nm\"", "“port 1 nm”").replace("\"pole\"", "‘pole’");
    let faults = faults_of(&text);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    let line = BOAT.lines().position(|line| line.contains("\"pole\"")).unwrap() + 1;
    assert_eq!((faults[0].line, faults[0].column), (line, 20));
    assert!(faults[0].what.ends_with("and 2 more texts stand in such quotes"), "{}", faults[0].what);
    assert!(faults[0].mend.contains("plain double quotes"));
}

#[test]
fn a_list_that_is_not_closed_is_told_where_the_next_field_begins() {
    let text = BOAT.replace("    ],\n    fits", "    fits");
    let faults = faults_of(&text);
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!((faults[0].line, faults[0].column), (12, 5));
    assert_eq!(faults[0].what, "the bracket opened on line 5 is still open here");
    spoilt("eyes: [2.0, 1.2], near", "eyes: [2.0, 1.2, near", "near", "still open here", "put a `]` before this");
}

#[test]
fn what_names_one_of_two_twins_is_not_missing_as_well() {
    let switches = r#"], switches: [Switch(name: "side", lamps: ["all-round"])])])"#;
    let faults =
        faults_of(&BOAT.replace("name: \"all-round\"", "name: \"port sidelight\"").replace(LAMPS_END, switches));
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].what.contains("already a lamp named \"port sidelight\""));
    let faults = faults_of(&BOAT.replace("name: \"pole\"", "name: \"engine\""));
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].what.contains("already a part named \"engine\""));
}

#[test]
fn a_lamp_of_another_range_is_no_spelling_of_the_one_named() {
    let pair = "of that kind there are \"all-round 2 nm\" and \"all-round 3 nm\"";
    spoilt("\"all-round 2 nm\"", "\"all-round 4 nm\"", "\"", "no lamp by the name of \"all-round 4 nm\"", pair);
    spoilt("\"all-round 2 nm\"", "\"al-round\"", "\"", "no lamp by the name of \"al-round\"", pair);
    spoilt("\"all-round 2 nm\"", "\"al-round 2 nm\"", "\"", "no lamp", "did you mean \"all-round 2 nm\"?");
}
