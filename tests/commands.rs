//! The command line as a user types it: exit status, what goes where, and wrong inputs.

use std::{
    path::{Path, PathBuf},
    process::{Command, Output},
};

fn lampwalk(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwalk"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .output()
        .expect("the program starts")
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("words in UTF-8")
}

/// Exit status 2, nothing on standard output, and a message that holds each of some words.
fn refused(arguments: &[&str], words: &[&str]) {
    let output = lampwalk(arguments);
    let message = said(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {message}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    for word in words {
        assert!(message.contains(word), "{arguments:?}: no \"{word}\" in:\n{message}");
    }
}

fn scratch(name: &str, text: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let path = folder.path().join(name);
    std::fs::write(&path, text).expect("a scratch file");
    (folder, path)
}

#[test]
fn a_fit_that_passes_gives_0_and_one_that_fails_1() {
    assert_eq!(lampwalk(&["survey", "scenes/sandpiper.ron", "--fit", "proposed"]).status.code(), Some(0));
    let failing = lampwalk(&["survey", "scenes/sandpiper.ron", "--fit", "as found"]);
    assert_eq!(failing.status.code(), Some(1));
    let text = said(&failing.stdout);
    assert!(text.contains("not upright") && text.contains("Rule 21(b)"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "a line is wider than a terminal of 80 columns");
    assert!(!text.contains('\u{1b}'), "colour is for terminals only");
}

#[test]
fn several_scenes_come_in_one_json_object() {
    let output = lampwalk(&[
        "survey",
        "--json",
        "--step",
        "5",
        "scenes/sandpiper.ron",
        "scenes/marigold.ron",
        "scenes/harrier.ron",
    ]);
    assert_eq!(output.status.code(), Some(1));
    let text = said(&output.stdout);
    assert!(
        text.trim_start().starts_with("{\n  \"schema\": 1") || text.trim_start().starts_with("{\"schema\":1"),
        "{}",
        &text[..60]
    );
    let whole: serde_json::Value = serde_json::from_str(&text).expect("one JSON object");
    assert_eq!(whole["surveys"].as_array().map(Vec::len), Some(6));
}

#[test]
fn the_same_survey_gives_the_same_bytes() {
    let arguments = ["survey", "--json", "--step", "2", "scenes/harrier.ron"];
    assert_eq!(lampwalk(&arguments).stdout, lampwalk(&arguments).stdout);
}

#[test]
fn csv_has_a_row_for_each_bearing_and_light() {
    let output = lampwalk(&["survey", "--csv", "--step", "10", "scenes/sandpiper.ron", "--fit", "proposed"]);
    // A heading, and 36 bearings of three lights.
    assert_eq!(said(&output.stdout).lines().count(), 1 + 36 * 3);
}

#[test]
fn a_plot_is_written_whole_for_each_fit() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let plot = folder.path().join("plot.svg");
    let output = lampwalk(&["survey", "scenes/sandpiper.ron", "--svg", &plot.display().to_string()]);
    assert_eq!(output.status.code(), Some(1), "{}", said(&output.stderr));
    for name in ["plot-sandpiper-as-found.svg", "plot-sandpiper-proposed.svg"] {
        let text = std::fs::read_to_string(folder.path().join(name)).expect("a plot of each fit");
        assert!(text.contains("<svg") && text.trim_end().ends_with("</svg>"));
    }
}

#[test]
fn at_anchor_the_first_fit_lacks_its_light() {
    let output = lampwalk(&["survey", "scenes/harrier.ron", "--fit", "as found", "--status", "at-anchor"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(said(&output.stdout).contains("No all-round white light is fitted"));
}

#[test]
fn without_a_display_the_bare_command_surveys_the_built_in_boat_and_says_so() {
    let output = lampwalk(&[]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    assert!(said(&output.stderr).contains("here is the survey of the built-in boat instead"));
    assert!(said(&output.stdout).contains("Sandpiper"));
}

#[test]
fn wrong_inputs_are_told_with_a_way_to_mend_them() {
    refused(&["survey", "scenes/nowhere.ron"], &["nowhere.ron"]);
    refused(&["survey", "scenes"], &["scenes", "folder"]);
    refused(&["survey"], &["SCENE"]);
    refused(&["survey", "scenes/sandpiper.ron", "--fit", "propsed"], &["propsed", "\"proposed\""]);
    refused(&["survey", "scenes/sandpiper.ron", "--status", "sailing"], &["sailing", "did you mean `under-sail`?"]);
    refused(&["survey", "scenes/sandpiper.ron", "--step", "0"], &["0.05 to 45"]);
    refused(&["survey", "scenes/sandpiper.ron", "--rules", "lake"], &["lake", "international"]);
    refused(&["survey", "README.md"], &["README.md:1:"]);
    refused(&["surveys", "x"], &["surveys", "survey"]);
    refused(&["scenes/sandpiper.ron"], &["lampwalk survey SCENE"]);
    refused(&["survey", "scenes/sandpiper.ron", "--svg", "plot.png"], &[".svg"]);
    refused(&["survey", "scenes/sandpiper.ron", "--svg", "nowhere/plot.svg"], &["no such folder"]);
    refused(&["survey", "scenes/sandpiper.ron", "--outlook", "view.png"], &[".svg"]);
    refused(&["survey", "scenes/sandpiper.ron", "--outlook", "view.svg", "--svg", "view.svg"], &["same file"]);
}

#[test]
fn every_fault_of_a_scene_is_told_at_its_place() {
    let sound =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/sandpiper.ron")).expect("the scene");
    let broken = sound.replacen("length: 6.2", "length: -6.2", 1).replacen("role: Masthead", "role: Mast", 1);
    let (_folder, path) = scratch("broken.ron", &broken);
    let line_of = |word: &str| broken.lines().position(|line| line.contains(word)).expect("the line") + 1;
    let name = path.display().to_string();
    let (first, second) =
        (format!("{name}:{}:", line_of("length: -6.2")), format!("{name}:{}:", line_of("role: Mast,")));
    refused(&["survey", &name], &[&first, &second, "Masthead"]);
}

#[test]
fn a_sound_scene_is_still_surveyed_beside_a_broken_one() {
    let (_folder, path) = scratch("broken.ron", "Scene(name: ");
    let output = lampwalk(&["survey", &path.display().to_string(), "scenes/sandpiper.ron", "--fit", "proposed"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(said(&output.stdout).contains("PASSES"));
}

#[test]
fn a_rule_file_of_one_s_own_is_used_and_a_broken_one_refused_with_its_line() {
    let rules = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/rules/international.ron"))
        .expect("the rules");
    let (_folder, stricter) = scratch(
        "harbour.ron",
        &rules.replacen("\"international\"", "\"harbour\"", 1).replacen("sidelight: 1,", "sidelight: 2,", 1),
    );
    let output =
        lampwalk(&["survey", "scenes/sandpiper.ron", "--fit", "proposed", "--rules", &stricter.display().to_string()]);
    assert_eq!(output.status.code(), Some(1), "{}", said(&output.stderr));
    let text = said(&output.stdout);
    assert!(text.contains("harbour") && text.contains("too weak"), "{text}");
    let (_other, broken) = scratch("rules.ron", &rules.replacen("colour: White", "colour: Whit", 1));
    let name = broken.display().to_string();
    refused(&["survey", "scenes/sandpiper.ron", "--rules", &name], &[&format!("{name}:"), "Whit"]);
}

#[cfg(feature = "night")]
#[test]
fn wrong_pictures_are_refused_before_anything_is_drawn() {
    refused(&["still", "scenes/sandpiper.ron"], &["--output"]);
    refused(&["still", "scenes/nowhere.ron", "-o", "x.png"], &["nowhere.ron"]);
    refused(&["still", "scenes/sandpiper.ron", "-o", "x.png", "--size", "wide"], &["1280x720"]);
    refused(&["still", "scenes/sandpiper.ron", "-o", "x.png", "--range", "far"], &["0.25", "400m"]);
    refused(&["still", "scenes/sandpiper.ron", "-o", "x.png", "--fit", "new"], &["\"proposed\""]);
    refused(&["still", "scenes/sandpiper.ron", "-o", "x.png", "--size", "9x9"], &["16"]);
    refused(&["still", "scenes/sandpiper.ron", "-o", "x.png", "--eye", "-2"], &["eye"]);
}

#[cfg(feature = "night")]
#[test]
fn the_window_without_a_display_says_so_and_names_the_survey() {
    refused(&["night", "scenes/sandpiper.ron"], &["display", "lampwalk survey"]);
}

#[cfg(not(feature = "night"))]
#[test]
fn a_program_built_without_pictures_says_so() {
    refused(&["night"], &["without pictures", "lampwalk survey"]);
    refused(&["still", "scenes/sandpiper.ron", "-o", "x.png"], &["without pictures"]);
}

#[test]
fn a_status_she_cannot_have_has_not_passed() {
    let output = lampwalk(&["survey", "scenes/sandpiper.ron", "--fit", "proposed", "--status", "under-sail"]);
    assert_eq!(output.status.code(), Some(1));
    let text = said(&output.stdout);
    assert!(text.contains("NOT JUDGED") && text.contains("She has no sails"), "{text}");
}

#[test]
fn the_inland_rules_are_chosen_by_their_name() {
    let output = lampwalk(&[
        "survey",
        "scenes/sandpiper.ron",
        "--fit",
        "proposed",
        "--rules",
        "inland",
        "--json",
        "--step",
        "45",
    ]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(json["surveys"][0]["rules"], "inland");
    refused(&["survey", "scenes/sandpiper.ron", "--rules", "inlnd"], &["`inland`", "did you mean"]);
}

/// The clock of this machine stands somewhere between the two days.
#[test]
fn a_waiver_is_held_against_the_clock_and_told_beside_every_output() {
    for (expires, words) in [("9999-12-31", "until 9999-12-31"), ("2020-02-29", "It expired on 2020-02-29")] {
        let waiver = format!(
            "Rules(from: \"international\", name: \"reach\", waiver: (authority: \"Reach Board (invented)\", area: \"the \\
             reach\", reference: \"Notice 1\", expires: \"{expires}\"))"
        );
        let (_folder, path) = scratch("reach.ron", &waiver);
        let rules = path.display().to_string();
        let survey = ["survey", "scenes/sandpiper.ron", "--fit", "proposed", "--step", "45", "--rules", &rules];
        let text = lampwalk(&survey);
        let plain = said(&text.stdout).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(plain.contains("Reach Board") && plain.contains(words), "{plain}");
        let csv = lampwalk(&[&survey[..], &["--csv"]].concat());
        assert!(said(&csv.stderr).contains("Reach Board") && said(&csv.stderr).contains(words));
        assert!(said(&csv.stdout).starts_with("boat,fit,"), "the rows stay plain CSV");
        let careful = lampwalk(&[&survey[..], &["--fail-on", "caution"]].concat());
        assert_eq!(careful.status.code() == Some(1), plain.contains("the waiver has expired"), "{plain}");
    }
}

#[test]
fn rule_files_that_would_pass_anything_are_refused() {
    let rules = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/rules/international.ron"))
        .expect("the rules");
    for (from, to, word) in [
        ("sidelight: 1,", "sidelight: 1.5,", "1.5 nautical miles"),
        ("(length: (under: 12), masthead", "(length: (from: 7, under: 12), masthead", "no row for a vessel of 0 m"),
        ("(share: 0.1, of: Average", "(share: -1, of: Average", "cut"),
        ("forward_outside: 3", "forward_outside: -50", "forward_outside"),
        ("least: Some(2.5)", "least: None", "MastheadAboveGunwale"),
        ("(under: 12), masthead", "(under: 15), masthead", "overlap"),
    ] {
        assert!(rules.contains(from), "{from}");
        let (_folder, path) = scratch("rules.ron", &rules.replacen(from, to, 1));
        refused(&["survey", "scenes/sandpiper.ron", "--rules", &path.display().to_string()], &["rules.ron", word]);
    }
}

#[test]
fn a_status_is_named_as_people_write_it() {
    let told = |status: &str| {
        let output = lampwalk(&["displays", "--length", "9", "--status", status]);
        assert_eq!(output.status.code(), Some(0), "{status}: {}", said(&output.stderr));
        said(&output.stdout)
    };
    for status in ["UnderSail", "under sail", "under_sail", "UNDER-SAIL"] {
        assert_eq!(told(status), told("under-sail"), "{status}");
    }
}

#[test]
fn an_unknown_status_is_told_in_few_words() {
    refused(&["displays", "--length", "9", "--status", "at-ancor"], &["did you mean `at-anchor`?"]);
    let arguments = ["displays", "--length", "9", "--status", "moored"];
    refused(&arguments, &["no such status", "`lampwalk displays --length 9` lists the names"]);
    let message = said(&lampwalk(&arguments).stderr);
    assert!(!message.contains("under-way") && message.lines().count() < 5, "{message}");
}

#[test]
fn lengths_and_speeds_with_units_or_commas_are_told_how_to_write() {
    refused(&["displays", "--length", "6,2"], &["with a point: 6.2"]);
    refused(&["displays", "--length", "20ft"], &["20ft is 6.1"]);
    refused(&["displays", "--length", "20 ft"], &["20 ft is 6.1"]);
    refused(&["displays", "--length", "6.2m"], &["write 6.2, without a unit"]);
    refused(&["displays", "--length", "6200mm"], &["6200mm is 6.2"]);
    refused(&["displays", "--length", "620"], &["620 cm is 6.2"]);
    refused(&["displays", "--length", "6", "--top-speed", "7,5"], &["with a point: 7.5"]);
    refused(&["displays", "--length", "6", "--top-speed", "7 kn"], &["write 7, without a unit"]);
}

#[test]
fn mistakes_in_a_file_are_not_called_faults_of_the_lights() {
    let (_folder, path) = scratch("broken.ron", "Scene(name: \"broken\", fits: [], vessel: 6.2)");
    refused(&["survey", &path.display().to_string()], &["2 mistakes in "]);
    let (_other, path) = scratch("empty.ron", "");
    refused(&["survey", &path.display().to_string()], &["1 mistake in "]);
}

#[test]
fn built_in_rules_and_waters_are_named_in_capitals_or_not() {
    let displays = |rules: &str, waters: &str| {
        let output = lampwalk(&["displays", "--length", "9", "--rules", rules, "--waters", waters, "--json"]);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
        said(&output.stdout)
    };
    assert_eq!(displays("Inland", "Great Lakes"), displays("inland", "great lakes"));
}

#[test]
fn waters_that_the_rules_do_not_have_are_refused() {
    let refused = |rules: &str, waters: &str, words: &[&str]| {
        refused(&["displays", "--length", "9", "--rules", rules, "--waters", waters], words);
    };
    refused("inland", "great lake", &["no waters named \"great lake\"", "did you mean \"great lakes\"?"]);
    refused("inland", "lagoon", &["it has \"great lakes\", \"special anchorage area\", \"western rivers\""]);
    refused("international", "great lakes", &["it has no rules for waters of their own"]);
}

#[test]
fn waters_of_a_scene_that_the_rules_do_not_have_are_told_of() {
    let scene =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/sandpiper.ron")).expect("it");
    let told = |waters: &str, rules: &str| {
        let text = scene.replacen("heel: 5,", &format!("heel: 5, waters: [\"{waters}\"],"), 1);
        let (_folder, path) = scratch("boat.ron", &text);
        let path = path.display().to_string();
        let survey = lampwalk(&["survey", &path, "--fit", "proposed", "--step", "45", "--rules", rules]);
        let clauses = lampwalk(&["rules", &path, "--fit", "proposed", "--status", "under-way", "--rules", rules]);
        assert_eq!(said(&survey.stderr), said(&clauses.stderr));
        (said(&survey.stderr), said(&survey.stdout))
    };
    assert!(told("great lake", "inland").0.contains("no waters named \"great lake\"; did you mean \"great lakes\"?"));
    let capitals = told("Great Lakes", "inland");
    assert_eq!(capitals, told("great lakes", "inland"));
    assert_eq!(capitals.0, "");
    assert_eq!(told("great lake", "international").0, "", "no waters of any name matter there");
}
