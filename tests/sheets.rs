//! Every sheet says what the survey holds, no more and no less, and says it legibly.

mod support;

use std::path::Path;

use lampwalk::{
    boat::{Fit, Propulsion, Scene, Status, read},
    measure::Bearing,
    rules::{self, Judgement},
    sheet::{self, CAUTIONS, Surveyed, Verdict},
    survey::{Settings, Survey},
};
use serde_json::Value;
use support::{displays, rig::Rig};

const SCENES: [&str; 3] = ["sandpiper", "marigold", "harrier"];

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(format!("{name}.ron"));
    match read::scene_file(&path) {
        Ok(read) => read.scene,
        Err(error) => panic!("{name}: {error:?}"),
    }
}

/// Coarse enough to be quick; the sheets do not care.
fn settings() -> Settings {
    Settings { step: 2.5, ..Settings::default() }
}

fn with<T>(scene: &Scene, fit: &Fit, status: Status, settings: &Settings, look: impl FnOnce(&Surveyed) -> T) -> T {
    let survey = Survey::of(scene, fit, status, settings);
    let judgement = rules::judge(scene, fit, &survey, rules::international());
    look(&Surveyed { scene, fit, survey: &survey, judgement: &judgement })
}

fn with_each(mut look: impl FnMut(&Surveyed)) {
    for name in SCENES {
        let scene = scene(name);
        for fit in &scene.fits {
            for status in [Status::UnderWay, Status::AtAnchor] {
                with(&scene, fit, status, &settings(), &mut look);
            }
        }
    }
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|one| one.as_f64().unwrap()).collect()
}

fn colours(value: &Value) -> Vec<&str> {
    value.as_array().unwrap().iter().map(|one| one.as_str().unwrap()).collect()
}

#[test]
fn the_text_of_the_workboat_as_found() {
    let scene = scene("sandpiper");
    let text =
        with(&scene, &scene.fits[0], Status::UnderWay, &Settings::default(), |surveyed| sheet::text(surveyed, false));
    insta::assert_snapshot!(text);
}

#[test]
fn text_fits_eighty_columns_and_ends_with_the_cautions() {
    with_each(|surveyed| {
        let text = sheet::text(surveyed, false);
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
            assert_eq!(line.trim_end(), line, "blanks at the end of a line");
        }
        let told: Vec<&str> = text.split_whitespace().collect();
        let cautions: Vec<&str> = CAUTIONS.split_whitespace().collect();
        assert!(told.ends_with(&cautions));
    });
}

#[test]
fn colour_on_a_terminal_adds_nothing_to_the_words() {
    with_each(|surveyed| {
        let coloured = sheet::text(surveyed, true);
        let mut plain = String::new();
        for piece in coloured.split('\x1b') {
            plain.push_str(match piece.strip_prefix('[') {
                Some(code) => code.split_once('m').unwrap().1,
                None => piece,
            });
        }
        assert_eq!(plain, sheet::text(surveyed, false));
        assert!(coloured.len() > plain.len());
    });
}

#[test]
fn text_tells_every_finding_in_full() {
    with_each(|surveyed| {
        let text: Vec<String> = sheet::text(surveyed, false).split_whitespace().map(String::from).collect();
        let text = text.join(" ");
        for finding in &surveyed.judgement.findings {
            for words in [&finding.clause, &finding.what, &finding.how_bad, &finding.mend] {
                assert!(text.contains(words.as_str()), "{words}");
            }
        }
    });
}

#[test]
fn the_swell_is_told_as_a_share_of_the_time_and_changes_no_finding() {
    let still = scene("sandpiper");
    let mut swollen = still.clone();
    swollen.conditions.swell = lampwalk::measure::Metres(1.5);
    let told = |scene: &Scene| {
        with(scene, &scene.fits[0], Status::UnderWay, &settings(), |surveyed| {
            let json: Value = serde_json::from_str(&sheet::json(&[*surveyed])).unwrap();
            (sheet::text(surveyed, false), json["surveys"][0].clone())
        })
    };
    let ((flat, calm), (text, json)) = (told(&still), told(&swollen));
    assert!(!flat.contains("Swell") && text.contains("Swell: 1.5 m from crest to trough"), "{text}");
    assert_eq!(json["findings"], calm["findings"]);
    assert_eq!(
        (json["conditions"]["swell_m"].as_f64(), calm["conditions"]["swell_m"].as_f64()),
        (Some(1.5), Some(0.0))
    );
    for (light, calm) in json["lights"].as_array().unwrap().iter().zip(calm["lights"].as_array().unwrap()) {
        assert_eq!(calm["hidden_by_swell_share"].as_f64(), Some(0.0));
        // Her observers' eyes are two metres up, above every crest: what is hidden is so by the low place of the light alone.
        let height = light["height_m"].as_f64().unwrap();
        let due = if height >= 1.5 { 0.0 } else { 1.0 - (1.0 - 2.0 * height / 1.5).acos() / std::f64::consts::PI };
        let share = light["hidden_by_swell_share"].as_f64().unwrap();
        assert!((share - due).abs() < 0.001, "{share} at {height} m");
    }
    assert!(json["lights"].as_array().unwrap().iter().any(|light| light["hidden_by_swell_share"].as_f64() > Some(0.1)));
}

#[test]
fn a_point_is_marked_where_what_shows_is_not_as_it_should_be_and_nowhere_else() {
    with_each(|surveyed| {
        let text = sheet::text(surveyed, false);
        let far = text.split("The far ring").nth(1).unwrap().split("\nR red").next().unwrap();
        let rows: Vec<&str> = far.lines().skip(2).collect();
        assert_eq!(rows.len(), 32);
        for (row, bearing) in rows.iter().zip(Bearing::points()) {
            assert!(row.starts_with(&bearing.to_string()), "{row}");
            let met = surveyed.judgement.expected(bearing).met_by(surveyed.shows_afar(bearing));
            assert_eq!(row.contains('*'), !met, "{row}");
        }
    });
}

#[test]
fn the_verdict_follows_the_findings() {
    with_each(|surveyed| {
        let fault = surveyed.judgement.findings.iter().any(|finding| finding.severity == rules::Severity::Fault);
        assert_eq!(surveyed.verdict() == Verdict::Fails, fault);
    });
    let scene = scene("sandpiper");
    let fit = &scene.fits[0];
    let survey = Survey::of(&scene, fit, Status::UnderWay, &settings());
    let judgement = Judgement {
        display: None,
        rules: rules::international(),
        findings: Vec::new(),
        asked: rules::Asked::default(),
    };
    let surveyed = Surveyed { scene: &scene, fit, survey: &survey, judgement: &judgement };
    assert_eq!(surveyed.verdict(), Verdict::NotJudged);
    assert!(sheet::text(&surveyed, false).contains("NOT JUDGED"));
}

#[test]
fn json_begins_with_its_schema_and_holds_the_survey_s_numbers() {
    with_each(|surveyed| {
        let text = sheet::json(&[*surveyed]);
        assert!(text.starts_with("{\n  \"schema\": 1,"));
        let whole: Value = serde_json::from_str(&text).unwrap();
        let one = &whole["surveys"][0];
        assert_eq!(whole["cautions"], CAUTIONS);
        assert_eq!(one["boat"], surveyed.scene.name.as_str());
        assert_eq!(one["status"], surveyed.survey.status.key());
        let bearings = numbers(&one["bearings_degrees"]);
        assert_eq!(bearings, surveyed.survey.bearings.iter().map(|one| one.degrees()).collect::<Vec<_>>());
        let lights = one["lights"].as_array().unwrap();
        assert_eq!(lights.len(), surveyed.survey.lights.len());
        for (told, light) in lights.iter().zip(&surveyed.survey.lights) {
            same_samples(told, light, surveyed);
        }
        assert_eq!(one["findings"].as_array().unwrap().len(), surveyed.judgement.findings.len());
    });
}

/// Rounding to four decimals (three for ranges) is all that may come between.
fn same_samples(told: &Value, light: &lampwalk::survey::LightSurvey, surveyed: &Surveyed) {
    assert_eq!(told["lamp"], surveyed.fit.lamps[light.light.lamp].name.as_str());
    assert_eq!(told["colour"], light.colour.name());
    let [rest, worst, visible, range] =
        ["rest_candela", "worst_candela", "visible_fraction", "range_nm"].map(|key| numbers(&told[key]));
    for (index, sample) in light.samples.iter().enumerate() {
        assert!((rest[index] - sample.rest.0).abs() <= 5.1e-5);
        assert!((worst[index] - sample.worst.0).abs() <= 5.1e-5);
        assert!((visible[index] - sample.visible).abs() <= 5.1e-5);
        assert!((range[index] - sample.range.0).abs() <= 5.1e-4);
        assert_eq!(told["worst_case"][index], sample.worst_case);
        let by = sample.by.map(|owner| surveyed.scene.owner_name(surveyed.fit, owner));
        assert_eq!(told["hidden_by"][index].as_str(), by.as_deref());
    }
}

#[test]
fn json_tells_what_each_ring_shows() {
    with_each(|surveyed| {
        let whole: Value = serde_json::from_str(&sheet::json(&[*surveyed])).unwrap();
        let one = &whole["surveys"][0];
        for (index, shows) in surveyed.survey.far_showings().iter().enumerate() {
            let names: Vec<&str> = shows.iter().map(|colour| colour.name()).collect();
            assert_eq!(colours(&one["far"]["shows"][index]), names);
        }
        for (index, bearing) in Bearing::points().enumerate() {
            let expected = surveyed.judgement.expected(bearing);
            for (ring, shows) in
                [("far_ring", surveyed.shows_afar(bearing)), ("near_ring", surveyed.shows_close(bearing))]
            {
                let point = &one[ring][index];
                assert_eq!(point["bearing_degrees"], bearing.degrees());
                for (key, set) in [("must", expected.must), ("may", expected.may), ("shows", shows)] {
                    let names: Vec<&str> = set.iter().map(|colour| colour.name()).collect();
                    assert_eq!(colours(&point[key]), names, "{ring} {bearing} {key}");
                }
            }
        }
    });
}

#[test]
fn several_surveys_are_one_json_object_and_the_same_twice() {
    let scene = scene("sandpiper");
    let surveys: Vec<Survey> =
        scene.fits.iter().map(|fit| Survey::of(&scene, fit, Status::UnderWay, &settings())).collect();
    let judged = scene.fits.iter().zip(&surveys);
    let judgements: Vec<Judgement> =
        judged.map(|(fit, survey)| rules::judge(&scene, fit, survey, rules::international())).collect();
    let all: Vec<Surveyed> = (0..surveys.len())
        .map(|n| Surveyed { scene: &scene, fit: &scene.fits[n], survey: &surveys[n], judgement: &judgements[n] })
        .collect();
    let text = sheet::json(&all);
    let whole: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(whole["surveys"].as_array().unwrap().len(), scene.fits.len());
    assert_eq!(text, sheet::json(&all));
}

#[test]
fn csv_has_a_row_for_each_bearing_and_light() {
    with_each(|surveyed| {
        let text = sheet::csv(&[*surveyed]);
        let lines: Vec<&str> = text.split_terminator("\r\n").collect();
        let survey = surveyed.survey;
        assert_eq!(lines.len(), 1 + survey.bearings.len() * survey.lights.len());
        let columns: Vec<&str> = lines[0].split(',').collect();
        let rest = columns.iter().position(|name| *name == "rest_candela").unwrap();
        // The demonstration scenes' names hold no comma; the first quoted cell is the words of a case, further on.
        let mut rows = lines[1..].iter();
        for index in 0..survey.bearings.len() {
            for light in &survey.lights {
                let cells: Vec<&str> = rows.next().unwrap().split(',').collect();
                let told: f64 = cells[rest].parse().unwrap();
                assert!((told - light.samples[index].rest.0).abs() <= 5.1e-5);
            }
        }
    });
}

#[test]
fn the_polar_plot_names_what_hides_a_lamp_and_says_the_verdict() {
    let scene = scene("sandpiper");
    let svg = with(&scene, &scene.fits[0], Status::UnderWay, &settings(), |surveyed| {
        assert!(surveyed.survey.lights.iter().any(|light| light.samples.iter().any(|one| one.visible < 0.5)));
        let svg = sheet::polar(surveyed);
        assert!(svg.contains("\nFails: "));
        svg
    });
    assert!(svg.contains("\noutboard\n"));
    assert!(svg.contains("\n112.5\n") && svg.contains("\n247.5\n"));
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
}

/// What the marks of a plot say of themselves, edges left out.
fn marks(rig: &Rig) -> Vec<String> {
    with(&rig.scene, &rig.scene.fits[0], rig.status, &settings(), |surveyed| {
        let svg = sheet::polar(surveyed);
        let titles = svg.split("<title>").skip(2).filter_map(|rest| rest.split("</title>").next());
        titles.map(|title| title.trim().rsplit_once(' ').unwrap().0.to_string()).collect()
    })
}

fn trawler() -> Rig {
    displays::trawl(Rig::of(14.0, Propulsion::Power, Status::Trawling)).sidelights().sternlight()
}

#[test]
fn a_light_missing_under_an_all_round_light_of_its_colour_is_marked_on_its_ring() {
    assert_eq!(marks(&trawler()), [""; 0]);
    for (lamp, told) in [
        ("starboard sidelight", "sidelights, green: not shown"),
        ("port sidelight", "sidelights, red: not shown"),
        ("sternlight", "sternlight, white: not shown"),
    ] {
        let rig = trawler().without(lamp);
        assert_eq!(marks(&rig), [told], "{lamp}");
    }
}

#[test]
fn one_of_two_lights_missing_is_marked_as_too_few() {
    let rig = displays::two_red(Rig::of(14.0, Propulsion::Power, Status::NotUnderCommandStopped));
    assert_eq!(marks(&rig), [""; 0]);
    let one = rig.lamps()[0].clone();
    assert_eq!(marks(&rig.without(&one)), ["all-round red light, red: too few shown"]);
}

#[test]
fn a_lawful_display_has_no_mark_on_its_plot() {
    for row in displays::rows() {
        for length in row.lengths().take(1) {
            assert_eq!(marks(&row.rigged(length)), [""; 0], "{}", row.at(length));
        }
    }
}

#[test]
fn the_plot_says_so_when_what_was_found_is_not_on_it() {
    let scene = scene("curlew");
    with(&scene, &scene.fits[0], Status::UnderWay, &settings(), |surveyed| {
        assert!(surveyed.judgement.findings.iter().all(|finding| finding.arc.is_none()));
        assert_eq!(surveyed.verdict(), Verdict::Fails);
        let svg = sheet::polar(surveyed);
        assert!(svg.contains("Nothing on this plot is wrong. What was found is not on it: switches."));
        // The lantern's white is on the ring of the sternlight: nothing there is not shown.
        assert!(!svg.contains("not shown"));
    });
}

#[test]
fn no_lettering_of_the_polar_plot_is_smaller_than_nine_points() {
    const POINT_IN_MILLIMETRES: f64 = 25.4 / 72.0;
    with_each(|surveyed| {
        let svg = sheet::polar(surveyed);
        let sizes = svg.split("font-size=\"").skip(1).map(|rest| rest.split('"').next().unwrap());
        for size in sizes {
            assert!(size.parse::<f64>().unwrap() >= 9.0 * POINT_IN_MILLIMETRES, "{size}");
        }
    });
}

#[test]
fn names_with_markup_in_them_stay_words() {
    let mut scene = scene("sandpiper");
    scene.name = "<b>Kate & \"Co\"</b>".into();
    let fit = scene.fits[0].clone();
    with(&scene, &fit, Status::UnderWay, &settings(), |surveyed| {
        assert!(!sheet::polar(surveyed).contains("<b>"));
        let whole: Value = serde_json::from_str(&sheet::json(&[*surveyed])).unwrap();
        assert_eq!(whole["surveys"][0]["boat"], scene.name.as_str());
        assert!(sheet::csv(&[*surveyed]).contains("\"<b>Kate & \"\"Co\"\"</b>\""));
    });
}
