//! What a lamp gives at the voltage it gets: in a scene, in its own file, and on the command line; and its colour.
//!
//! A filament's light goes with the voltage to the power 3.4 (common practice, no source).
//! Every lamp is invented.

mod support;

use std::{
    path::PathBuf,
    process::{Command, Output},
    sync::Arc,
};

use lampwalk::{
    boat::{Scene, read::scene_text},
    light::{
        Beam, Chromaticity, Colour,
        measured::{Besides, Format, Mapping, Reading, Refusal, read},
        supply::{Dependence, Supply, Table},
    },
    measure::{Bearing, Degrees, Volts},
    rules::{Finding, Kind, international, judge, tint},
    sheet::{self, lamp::LampSheet},
    survey::{Settings, Survey},
};

const DIRECTIONS: &str = "bearing_degrees,elevation_degrees,candela\n0,-90,2\n0,90,2\n90,-90,2\n90,90,2\n180,-90,2\n\
    180,90,2\n270,-90,2\n270,90,2\n";
const BY_VOLTS: &str = "volts,share_of_light\n10.5,0.6\n12,1\n13.8,1.3\n";

fn csv(text: &str) -> Result<Reading, Refusal> {
    read(text, Format::Csv, Mapping::default(), Besides::Nothing)
}

#[test]
fn a_csv_file_may_tell_its_light_by_volts_and_its_colour_in_either_order() {
    let colour = "x,y\n0.31,0.33\n";
    for text in [format!("{BY_VOLTS}{colour}{DIRECTIONS}"), format!("{colour}\r\n{BY_VOLTS}\n{DIRECTIONS}")] {
        let reading = csv(&text).expect("a sound file");
        let by_volts = reading.by_volts.expect("a table");
        assert!((by_volts.share(Volts(11.25)).expect("a share") - 0.8).abs() < 1e-9);
        assert_eq!(reading.chromaticity, Some(Chromaticity { x: 0.31, y: 0.33 }));
        assert!((reading.grid.at(Bearing::new(200.0), Degrees(3.0)).0 - 2.0).abs() < 1e-9, "at full light");
    }
    let plain = csv(DIRECTIONS).expect("a sound file");
    assert_eq!((plain.by_volts, plain.chromaticity), (None, None));
}

#[test]
fn a_mistake_before_the_directions_is_told_with_its_line() {
    let mistakes = [
        (format!("volts,share_of_light\n12,1\n10.5,0.6\n{DIRECTIONS}"), 3, "10.5 V follows 12 V"),
        (format!("volts,share_of_light\n10,0.6\n12,0.9\n{DIRECTIONS}"), 2, "at no voltage"),
        (format!("volts,share_of_light\n12,1\n{DIRECTIONS}"), 2, "one voltage alone"),
        (format!("volts,share_of_light\n{DIRECTIONS}"), 1, "one voltage alone"),
        (format!("volts,share_of_light\n10,60%\n12,1\n{DIRECTIONS}"), 2, "no number"),
        (format!("volts,share_of_light\n10,0.6,1\n12,1\n{DIRECTIONS}"), 2, "3 values"),
        (format!("volts,share_of_light\n10,60\n12,100\n{DIRECTIONS}"), 2, "outside 0 to 3"),
        (format!("{BY_VOLTS}{BY_VOLTS}{DIRECTIONS}"), 5, "given twice"),
        (format!("{BY_VOLTS}volt,share\n{DIRECTIONS}"), 5, "does not say what the columns hold"),
        (format!("x,y\n0.8,0.4\n{DIRECTIONS}"), 2, "outside the colour diagram"),
        (format!("x,y\n0.3,0.3\n0.4,0.4\n{DIRECTIONS}"), 3, "2 colours"),
        (format!("x,y\n{DIRECTIONS}"), 1, "0 colours"),
        (format!("{BY_VOLTS}{DIRECTIONS}").replace(',', ";"), 1, "semicolons"),
        (DIRECTIONS.replace(',', ";"), 1, "semicolons"),
        (BY_VOLTS.into(), 1, "does not say what the columns hold"),
        (format!("volts,share_of_light\nnan,0.5\n12,1\n{DIRECTIONS}"), 2, "\"nan\" is no number"),
        (format!("volts,share_of_light\nn/a,0.5\n12,1\n{DIRECTIONS}"), 2, "\"n/a\" is no number"),
        (format!("x,y\ninf,nan\n{DIRECTIONS}"), 2, "\"inf\" is no number"),
        (format!("{DIRECTIONS}x, y\n0.31,0.33\n"), 10, "`x,y` stands after the directions"),
        (format!("bearing_degrees,candela\n0,10\n90,4\n{BY_VOLTS}"), 4, "stands after the directions"),
    ];
    for (text, line, words) in mistakes {
        let flaw = csv(&text).expect_err(words).flaw;
        assert!(flaw.what.contains(words) && !flaw.mend.is_empty(), "no \"{words}\" in {flaw:?}");
        assert_eq!(text[..flaw.start].matches('\n').count() + 1, line, "{flaw:?} in\n{text}");
    }
}

#[test]
fn a_heading_in_other_words_is_told_what_may_head_a_block() {
    for heading in ["Volts, share of light", "colour"] {
        let mend = csv(&format!("{heading}\n10,0.5\n12,1\n{DIRECTIONS}")).expect_err(heading).flaw.mend;
        assert!(mend.contains("`volts,share_of_light`") && mend.contains("`x,y`"), "{mend}");
    }
}

#[test]
fn a_vertical_cut_keeps_voltage_out_of_it() {
    let across = "bearing_degrees,candela\n0,10\n90,4\n180,0\n270,3\n";
    let upright = format!("{BY_VOLTS}elevation_degrees,candela\n-10,1\n0,2\n10,1\n");
    let refusal = read(across, Format::Csv, Mapping::default(), Besides::VerticalCut(&upright)).expect_err("a flaw");
    assert!(refusal.in_vertical_cut && refusal.flaw.what.contains("voltage"), "{refusal:?}");
}

const SCENE: &str = r#"Scene(name: "boat", vessel: Vessel(length: 6, beam: 2.2, freeboard: 0.6, depth: 0.9,
    propulsion: Power, top_speed: 20),
    fits: [Fit(name: "fit", lamps: [
        Lamp(name: "anchor light", role: AllRoundWhite, mount: Bracket, at: (forward: 3, above_deck: 1.5),
            optics: OPTICS, supply: SUPPLY, lit: [AtAnchor])])])"#;

fn scene(optics: &str, supply: &str, folder: Option<&std::path::Path>) -> Result<Scene, String> {
    let text = SCENE.replace("OPTICS", optics).replace("SUPPLY", supply);
    scene_text(&text, "scene", folder).map(|read| read.scene).map_err(|error| error.report(false))
}

fn level(scene: &Scene) -> f64 {
    scene.fits[0].lamps[0].optics.beams[0].intensity_at(Bearing::new(77.0), Degrees(0.0)).0
}

#[test]
fn a_scene_dims_a_lamp_by_the_law_that_it_names() {
    let full = level(&scene("\"all-round 2 nm\"", "None", None).expect("a scene"));
    let at = |supply: &str| level(&scene("\"all-round 2 nm\"", supply, None).expect(supply)) / full;
    for (supply, share) in [
        ("(at: 10.8, light: Filament(rated: 12))", 0.9f64.powf(3.4)),
        ("(at: 13, light: Filament(rated: 12.5))", (13.0f64 / 12.5).powf(3.4)),
        ("(at: 9.5, light: Constant(from: 9, to: 32))", 1.0),
        ("(at: 11, light: Table([(10, 0.5), (12, 1)]))", 0.75),
        ("Supply(at: 12, light: Table([(10, 0.5), (12, 1)]))", 1.0),
    ] {
        assert!((at(supply) - share).abs() < 1e-9, "{supply}: {} and not {share}", at(supply));
    }
}

#[test]
fn a_scene_takes_the_table_of_a_lamps_own_file() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    std::fs::write(folder.path().join("own.csv"), format!("{BY_VOLTS}x,y\n0.31,0.33\n{DIRECTIONS}")).expect("a file");
    std::fs::write(folder.path().join("plain.csv"), DIRECTIONS).expect("a file");
    let measured = |file: &str| format!("Measured(file: \"{file}\", colour: White, back: Below, ahead: 0)");
    let read = |file: &str, supply: &str| scene(&measured(file), supply, Some(folder.path()));
    let fed = read("own.csv", "(at: 10.5)").expect("a scene");
    assert!((level(&fed) - 1.2).abs() < 1e-9);
    let lamp = &fed.fits[0].lamps[0];
    assert_eq!((lamp.chromaticity[0].x, lamp.chromaticity[0].y), (0.31, 0.33));
    // Without a word of the voltage, the file's candela hold, and at which voltage is known.
    let full = read("own.csv", "None").expect("a scene");
    assert!((level(&full) - 2.0).abs() < 1e-9);
    assert_eq!(full.fits[0].lamps[0].optics.supply.as_ref().map(Supply::at), Some(Volts(12.0)));
    for (file, supply, words) in [
        ("own.csv", "(at: 11, light: Filament(rated: 12))", "tells itself"),
        ("plain.csv", "(at: 11)", "nothing tells how the light"),
        ("own.csv", "(at: 10.4)", "at 10.4 V nothing is known"),
    ] {
        let report = read(file, supply).expect_err(words);
        assert!(report.contains(words) && report.contains("scene:5:"), "no \"{words}\" in {report}");
    }
}

#[test]
fn a_mistake_in_a_supply_is_told_at_its_place() {
    for (supply, words) in [
        ("(at: 8, light: Filament(rated: 12))", "told from 8.4 V to 14.4 V"),
        ("(at: 33, light: Constant(from: 9, to: 32))", "told from 9 V to 32 V"),
        ("(at: 13, light: Table([(10, 0.5), (12, 1)]))", "told from 10 V to 12 V"),
        ("(at: 12, light: Filament)", "`rated`"),
        ("(light: Filament(rated: 12))", "`at`"),
        ("(at: 12, light: Filamant(rated: 12))", "did you mean `Filament`"),
        ("(at: 12, light: Constant(from: 32, to: 9))", "exchange the two"),
        ("(at: 12, light: Table([(12, 1), (10, 0.5)]))", "follows"),
        ("(at: 12, light: Table([(10, 0.5)]))", "one voltage alone"),
        ("(at: 12, light: Table([(10.5, 62), (12, 100)]))", "1 is all of it"),
        ("(at: 12, light: Table([(10.5, 0.62), (12, -1)]))", "a share of light of -1 is outside 0 to 3"),
        ("(at: 12, light: Table([]))", "one voltage alone"),
        ("(at: 12, light: Table([10, 12]))", "volts and a share"),
        ("(at: 12, light: Table((10, 0.5)))", "holds no list"),
        ("(at: -12, light: Filament(rated: 12))", "out of range"),
        ("12", "`Supply`"),
    ] {
        let report = scene("\"all-round 2 nm\"", supply, None).expect_err(words);
        assert!(report.contains(words) && report.contains("scene:5:"), "no \"{words}\" in {report}");
    }
}

/// A starboard sidelight, a tenth over what is due at full light, on a filament.
fn findings(at: f64) -> (Vec<Finding>, String) {
    fed_findings(Dependence::Filament { rated: Volts(12.0) }, at)
}

/// What is told to bring to the lamp.
fn told_volts(finding: &Finding) -> f64 {
    finding.mend.split(' ').nth(3).and_then(|volts| volts.parse().ok()).expect("volts")
}

/// The same on whatever its light depends on.
fn fed_findings(dependence: Dependence, at: f64) -> (Vec<Finding>, String) {
    let mut scene = support::bare_boat();
    scene.fits[0].lamps = support::lawful_lamps();
    let lamp = scene.fits[0].lamps.iter_mut().find(|lamp| lamp.name.contains("starboard")).expect("a sidelight");
    let full = lamp.optics.beams[0].intensity_at(Bearing::new(40.0), Degrees(0.0)).0;
    let even = lamp.optics.fed(Supply::new(dependence, Volts(at)).expect("in reach"));
    assert!(full > 0.9, "{full}");
    lamp.optics = Arc::new(even);
    let survey = Survey::of(&scene, &scene.fits[0], lampwalk::boat::Status::UnderWay, &Settings::default());
    let judgement = judge(&scene, &scene.fits[0], &survey, international());
    let all = sheet::Surveyed { scene: &scene, fit: &scene.fits[0], survey: &survey, judgement: &judgement };
    let json = sheet::json(&[all]);
    (judgement.findings.iter().filter(|finding| finding.kind == Kind::TooWeak).cloned().collect(), json)
}

#[test]
fn a_lamp_that_only_lacks_voltage_is_told_so() {
    let (well, _) = findings(12.0);
    assert!(well.is_empty(), "{well:?}");
    let (weak, json) = findings(8.5);
    let finding = weak.first().expect("a finding");
    assert!(finding.what.contains("at the 8.5 V that it gets; at full voltage it would do"), "{finding:?}");
    assert!(finding.mend.starts_with("Bring at least "), "{finding:?}");
    assert!(json.contains("\"supply_volts\": 8.5") && json.contains("\"supply_volts\": null"), "told in JSON");
    // And what it says to bring is enough, and a tenth of a volt less is not.
    let told = told_volts(finding);
    assert!(findings(told).0.is_empty(), "{told}");
    assert!(!findings(told - 0.1).0.is_empty(), "{told}");
}

fn lampwalk(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwalk")).args(arguments).output().expect("the program starts")
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("words in UTF-8")
}

/// On one line, however it was broken for the terminal.
fn unbroken(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// All-round lamps of 5 candela, one of whose files tells its light by volts.
fn lamps() -> (tempfile::TempDir, impl Fn(&str) -> String) {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let directions = DIRECTIONS.replace(",2\n", ",5\n");
    std::fs::write(folder.path().join("plain.csv"), &directions).expect("a file");
    std::fs::write(folder.path().join("own.csv"), format!("{BY_VOLTS}x,y\n0.31,0.33\n{directions}")).expect("a file");
    let path: PathBuf = folder.path().into();
    (folder, move |name: &str| path.join(name).display().to_string())
}

#[test]
fn the_sheet_of_a_lamp_holds_at_the_voltage_that_is_named() {
    let (_kept, file) = lamps();
    // 5 cd at 12 V; 4.3 cd are due for 2 miles, so its share must be 0.86, which it has from 11.475 V on.
    let full = lampwalk(&["lamp", &file("own.csv")]);
    let text = said(&full.stdout);
    assert_eq!(full.status.code(), Some(0), "{text}{}", said(&full.stderr));
    let text = unbroken(&text);
    assert!(text.contains("it does down to 11.5 V") && text.contains("hold at 12 V"), "{text}");
    let svg = file("low.svg");
    let low = lampwalk(&["lamp", &file("own.csv"), "--volts", "11.4", "--svg", &svg]);
    let text = said(&low.stdout);
    assert_eq!(low.status.code(), Some(1), "{text}{}", said(&low.stderr));
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let text = unbroken(&text);
    assert!(text.contains("Can serve as nothing") && text.contains("it would do from 11.5 V on"), "{text}");
    assert!(std::fs::read_to_string(svg).expect("a drawing").contains("at 11.4 V"));
    let bulb = lampwalk(&["lamp", &file("plain.csv"), "--filament", "12", "--volts", "11.4"]);
    assert_eq!(bulb.status.code(), Some(1), "5 cd times 0.84 are 4.2 cd");
    let driven = lampwalk(&["lamp", &file("plain.csv"), "--constant", "9,32", "--volts", "9.5"]);
    assert_eq!(driven.status.code(), Some(0), "{}", said(&driven.stdout));
}

/// The table ends within a tenth of a volt above what is due.
#[test]
fn a_voltage_that_is_told_to_do_is_taken_and_does() {
    let (_kept, file) = lamps();
    // 4.3 cd of 4.31 cd: a share of 0.9977, which it has from 12.0453 V on.
    let text = format!("volts,share_of_light\n10,0.5\n12.05,1\n{}", DIRECTIONS.replace(",2\n", ",4.31\n"));
    std::fs::write(file("ends.csv"), text).expect("a file");
    let low = unbroken(&said(&lampwalk(&["lamp", &file("ends.csv"), "--volts", "11"]).stdout));
    assert!(low.contains("it would do from 12.05 V on"), "{low}");
    let enough = lampwalk(&["lamp", &file("ends.csv"), "--volts", "12.05"]);
    assert_eq!(enough.status.code(), Some(0), "{}", said(&enough.stderr));
    let ends = Dependence::Measured(Table::new(vec![(10.0, 0.5), (12.05, 1.0)]).expect("a table"));
    let weak = fed_findings(ends.clone(), 10.2);
    let told = told_volts(weak.0.first().expect("a finding"));
    assert!(told <= 12.05 && fed_findings(ends, told).0.is_empty(), "{told}: {:?}", weak.0);
}

#[test]
fn a_colour_outside_its_limits_serves_as_nothing() {
    let (_kept, file) = lamps();
    // COLREGs 1972 Annex I 7: the white area holds x 0.31, y 0.33 and no red.
    let white = lampwalk(&["lamp", &file("plain.csv"), "--chromaticity", "0.31,0.33"]);
    assert_eq!(white.status.code(), Some(0), "{}", said(&white.stdout));
    assert!(said(&white.stdout).contains("lies within the limits of white"), "{}", said(&white.stdout));
    let red = lampwalk(&["lamp", &file("plain.csv"), "--chromaticity", "0.7,0.29"]);
    assert_eq!(red.status.code(), Some(1));
    assert!(said(&red.stdout).contains("outside the limits of white"), "{}", said(&red.stdout));
    let unknown = lampwalk(&["lamp", &file("plain.csv")]);
    assert!(said(&unknown.stdout).contains("was not measured"), "{}", said(&unknown.stdout));
}

/// The international set without its area for white.
#[test]
fn a_colour_for_which_the_rules_have_no_area_is_not_judged_and_not_hushed_up() {
    let mut rules = international().clone();
    rules.colours.retain(|row| row.colour != Colour::White);
    let beam = Beam::of_grid(Colour::White, csv(DIRECTIONS).expect("a sound file").grid);
    let measured = Chromaticity { x: 0.31, y: 0.33 };
    let told = |chromaticity: Option<Chromaticity>| {
        let sheet = LampSheet {
            name: "lamp.csv",
            rules: &rules,
            beam: &beam,
            supply: None,
            chromaticity,
            tint: chromaticity.and_then(|chromaticity| tint(chromaticity, Colour::White, &rules)),
            notes: &[],
            peak: beam.brightest(),
            offers: &[],
        };
        (unbroken(&sheet::lamp::text(&sheet)), sheet::lamp::json(&sheet))
    };
    let (text, json) = told(Some(measured));
    let words = "Its colour, x 0.31, y 0.33, is not judged: these rules have no area for white.";
    assert!(text.contains(words), "{text}");
    let whole: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let chromaticity = &whole["chromaticity"];
    assert_eq!(
        (&chromaticity["y"], &chromaticity["outside"], &chromaticity["clause"]),
        (&0.33.into(), &().into(), &().into())
    );
    assert!(told(None).0.contains("Its colour was not measured"));
}

#[test]
fn what_cannot_be_known_of_a_lamp_is_refused() {
    let (_kept, file) = lamps();
    for (arguments, words) in [
        (vec!["plain.csv", "--volts", "11.4"], "nothing is assumed"),
        (vec!["own.csv", "--volts", "10"], "told from 10.5 V to 13.8 V"),
        (vec!["own.csv", "--filament", "12"], "leave out --filament"),
        (vec!["own.csv", "--chromaticity", "0.3,0.3"], "leave out --chromaticity"),
        (vec!["plain.csv", "--filament", "12", "--volts", "24"], "told from 8.4 V to 14.4 V"),
        (vec!["plain.csv", "--filament", "12", "--constant", "9,32"], "cannot be used with"),
        (vec!["plain.csv", "--constant", "32,9"], "lower voltage comes first"),
        (vec!["plain.csv", "--constant", "9-32"], "with a comma between"),
        (vec!["plain.csv", "--volts", "twelve"], "such as 11.6"),
        (vec!["plain.csv", "--volts", "-12"], "more than 0"),
        (vec!["plain.csv", "--chromaticity", "0.8,0.4"], "together at most 1"),
    ] {
        let path = file(arguments[0]);
        let all: Vec<&str> = ["lamp", &path].into_iter().chain(arguments[1..].iter().copied()).collect();
        let output = lampwalk(&all);
        let told = said(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{all:?}: {told}{}", said(&output.stdout));
        assert!(told.contains(words), "no \"{words}\" in {told}");
        assert!(output.stdout.is_empty(), "{all:?}");
    }
}

#[test]
fn the_json_says_what_the_text_says() {
    let (_kept, file) = lamps();
    let output = lampwalk(&["lamp", &file("own.csv"), "--volts", "11.4", "--json"]);
    assert_eq!(output.status.code(), Some(1), "{}", said(&output.stderr));
    let text = said(&output.stdout);
    assert!(text.starts_with("{\n  \"schema\": 1,"), "{text}");
    let whole: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(whole["serves"], false);
    assert_eq!((&whole["lamp"], &whole["colour"]), (&"own.csv".into(), &"white".into()));
    assert_eq!((&whole["supply"]["volts"], &whole["supply"]["light_share"]), (&11.4.into(), &0.84.into()));
    assert_eq!((&whole["chromaticity"]["x"], &whole["chromaticity"]["outside"]), (&0.31.into(), &0.0.into()));
    assert!(whole["cautions"].as_str().is_some_and(|words| words.contains("licensed practice")));
    let count = |key: &str| whole[key].as_array().map_or(0, Vec::len);
    assert_eq!((count("bearings_degrees"), count("level_candela")), (720, 720));
    assert_eq!(whole["level_candela"][100], 4.2);
    let offers = whole["offers"].as_array().expect("a list");
    let offer = |light: &str, range: f64| {
        let found = offers.iter().find(|offer| offer["light"] == light && offer["range_nm"] == range);
        found.unwrap_or_else(|| panic!("no {light} of {range}"))
    };
    let round = offer("all-round white light", 2.0);
    assert_eq!((&round["due_candela"], &round["serves"], &round["edge"]), (&4.3.into(), &false.into(), &().into()));
    assert_eq!((&round["ratio"], &round["least_volts"]), (&0.9767.into(), &11.475.into()));
    assert_eq!((&round["dark"], &round["weakest"]["candela"]), (&().into(), &4.2.into()));
    let mast = offer("masthead light", 2.0);
    assert_eq!((&mast["edge"]["kind"], &mast["edge"]["candela"]), (&"spills".into(), &4.2.into()));
    assert_eq!(mast["least_volts"], serde_json::Value::Null);
    // Without a word of voltage or colour there is none.
    let plain = lampwalk(&["lamp", &file("plain.csv"), "--json"]);
    let whole: serde_json::Value = serde_json::from_str(&said(&plain.stdout)).expect("JSON");
    assert_eq!((&whole["supply"], &whole["chromaticity"]), (&().into(), &().into()));
    assert_eq!(whole["serves"], true);
}
