//! Measured lamps: files written out here in each format, their axes, their symmetries, their mistakes.
//!
//! The layout of IES files is that of ANSI/IESNA LM-63-02 and that of EULUMDAT the published table of its lines, as said
//! where they are read. Every lamp is invented; none is a maker's. Published examples are in `lamp_library.rs`.

mod support;

use std::{
    path::PathBuf,
    process::{Command, Output},
    sync::Arc,
};

use lampwalk::{
    boat::{Role, Status},
    light::{
        Beam, Colour, Optics,
        measured::{Axis, Besides, Flaw, Format, Mapping, Reading, Turns, read},
        preset,
    },
    measure::{Bearing, Degrees},
    survey::{Settings, Survey},
};

/// A file of IES LM-63 of one type (1 to 3), values plane after plane.
fn ies(kind: u8, steps: &[f64], planes: &[f64], candela: &dyn Fn(f64, f64) -> f64) -> String {
    let line = |values: &[f64]| values.iter().map(f64::to_string).collect::<Vec<_>>().join(" ");
    let mut text = format!(
        "IESNA:LM-63-2002\n[TEST] invented\n[MANUFAC] nobody\nTILT=NONE\n1 -1 1 {} {} {kind} 2 0 0 0\n1 1 5\n{}\n{}\n",
        steps.len(),
        planes.len(),
        line(steps),
        line(planes)
    );
    for plane in planes {
        let values: Vec<f64> = steps.iter().map(|step| candela(*plane, *step)).collect();
        text += &format!("{}\n", line(&values));
    }
    text
}

/// A EULUMDAT file: the planes that its symmetry keeps are `kept`, its lumens 2000.
fn eulumdat(symmetry: u8, steps: &[f64], kept: &[f64], all: &[f64], candela: &dyn Fn(f64, f64) -> f64) -> String {
    let mut lines: Vec<String> = vec!["nobody".into(), "1".into(), symmetry.to_string()];
    lines.extend([all.len().to_string(), "0".into(), steps.len().to_string(), "0".into()]);
    lines.extend(["report", "invented", "1", "file", "date"].map(String::from));
    lines.extend(std::iter::repeat_n("0".into(), 9));
    lines.extend(["50", "100", "1", "0", "1", "1", "lamp", "2000", "white", "80", "5"].map(String::from));
    lines.extend(std::iter::repeat_n("0.5".into(), 10));
    lines.extend(all.iter().chain(steps).map(f64::to_string));
    // Per thousand lumens, and there are two thousand.
    lines
        .extend(kept.iter().flat_map(|plane| steps.iter().map(move |step| (candela(*plane, *step) / 2.0).to_string())));
    lines.join("\r\n") + "\r\n"
}

fn csv_grid(bearings: &[f64], elevations: &[f64], candela: &dyn Fn(f64, f64) -> f64) -> String {
    let mut text = String::from("bearing_degrees,elevation_degrees,candela\n");
    for bearing in bearings {
        for elevation in elevations {
            text += &format!("{bearing},{elevation},{}\n", candela(*bearing, *elevation));
        }
    }
    text
}

fn every(from: i32, to: i32, step: usize) -> Vec<f64> {
    (from..=to).step_by(step).map(f64::from).collect()
}

fn sound(text: &str, format: Format, mapping: Mapping) -> Reading {
    read(text, format, mapping, Besides::Nothing).unwrap_or_else(|refusal| panic!("{refusal:?}\n{text}"))
}

fn flaw(text: &str, format: Format) -> Flaw {
    read(text, format, Mapping::default(), Besides::Nothing).expect_err("a flaw").flaw
}

fn ahead(degrees: f64) -> Mapping {
    Mapping { ahead: Degrees(degrees), ..Mapping::default() }
}

fn candela(reading: &Reading, bearing: f64, elevation: f64) -> f64 {
    reading.grid.at(Bearing::new(bearing), Degrees(elevation)).0
}

/// Light in one direction of the file only.
fn one_hot(plane: f64, step: f64) -> impl Fn(f64, f64) -> f64 {
    move |at, over| if at == plane && over == step { 100.0 } else { 0.0 }
}

/// The single bright direction of a file ends up here, and nowhere else along the axes of the lamp.
fn shines_only(reading: &Reading, bearing: f64, elevation: f64) {
    for (one, up) in [(0.0, 0.0), (90.0, 0.0), (180.0, 0.0), (270.0, 0.0), (0.0, 90.0), (0.0, -90.0)] {
        let wanted = if (one, up) == (bearing, elevation) { 100.0 } else { 0.0 };
        let found = candela(reading, one, up);
        assert!(
            (found - wanted).abs() < 1e-6,
            "{found} cd on {one} at {up} where {wanted} is due: {:?}",
            reading.notes
        );
    }
}

fn type_c(plane: f64, step: f64, mapping: Mapping) -> Reading {
    let text = ies(1, &every(0, 180, 10), &every(0, 360, 10), &|at, over| one_hot(plane, step)(at % 360.0, over));
    sound(&text, Format::Ies, mapping)
}

#[test]
fn c_planes_run_anticlockwise_from_the_one_that_is_ahead_with_gamma_0_down() {
    shines_only(&type_c(0.0, 90.0, ahead(0.0)), 0.0, 0.0);
    shines_only(&type_c(90.0, 90.0, ahead(0.0)), 270.0, 0.0);
    shines_only(&type_c(90.0, 90.0, ahead(90.0)), 0.0, 0.0);
    shines_only(&type_c(0.0, 90.0, ahead(90.0)), 90.0, 0.0);
    let clockwise = Mapping { turns: Some(Turns::Clockwise), ..ahead(0.0) };
    shines_only(&type_c(90.0, 90.0, clockwise), 90.0, 0.0);
}

#[test]
fn a_lamp_measured_upside_down_is_rolled_over_about_its_datum_line() {
    let up = |degrees: f64| Mapping { axis: Some(Axis::Up), ..ahead(degrees) };
    shines_only(&type_c(0.0, 90.0, up(0.0)), 0.0, 0.0);
    shines_only(&type_c(90.0, 90.0, up(0.0)), 90.0, 0.0);
    shines_only(&type_c(270.0, 90.0, up(270.0)), 0.0, 0.0);
}

#[test]
fn a_lamp_measured_looking_down_is_tipped_up_until_it_looks_ahead() {
    let along = |degrees: f64| Mapping { axis: Some(Axis::Along), ..ahead(degrees) };
    shines_only(&type_c(0.0, 90.0, along(0.0)), 0.0, 90.0);
    shines_only(&type_c(180.0, 90.0, along(0.0)), 0.0, -90.0);
    shines_only(&type_c(90.0, 90.0, along(0.0)), 270.0, 0.0);
    shines_only(&type_c(270.0, 90.0, along(180.0)), 270.0, 0.0);
    // Gamma 0 is one direction on every plane.
    let text = ies(1, &every(0, 180, 10), &every(0, 360, 10), &|_, gamma| if gamma == 0.0 { 100.0 } else { 0.0 });
    shines_only(&sound(&text, Format::Ies, along(0.0)), 0.0, 0.0);
    shines_only(&sound(&text, Format::Ies, ahead(0.0)), 0.0, -90.0);
    shines_only(&sound(&text, Format::Ies, Mapping { axis: Some(Axis::Up), ..ahead(0.0) }), 0.0, 90.0);
}

#[test]
fn type_a_angles_are_bearing_and_elevation() {
    let steps = every(-90, 90, 10);
    let at = |plane: f64, step: f64| ies(3, &steps, &every(-90, 90, 10), &one_hot(plane, step));
    shines_only(&sound(&at(0.0, 0.0), Format::Ies, ahead(0.0)), 0.0, 0.0);
    shines_only(&sound(&at(90.0, 0.0), Format::Ies, ahead(0.0)), 90.0, 0.0);
    shines_only(&sound(&at(-90.0, 0.0), Format::Ies, ahead(0.0)), 270.0, 0.0);
    let reading = sound(&at(30.0, 20.0), Format::Ies, ahead(0.0));
    assert!((candela(&reading, 30.0, 20.0) - 100.0).abs() < 1e-6);
}

#[test]
fn type_b_planes_swing_from_down_through_ahead_about_an_axis_athwartships() {
    let at = |plane: f64, step: f64| ies(2, &every(-180, 180, 10), &every(-90, 90, 10), &one_hot(plane, step));
    shines_only(&sound(&at(0.0, 90.0), Format::Ies, ahead(0.0)), 0.0, 0.0);
    shines_only(&sound(&at(0.0, 0.0), Format::Ies, ahead(0.0)), 0.0, -90.0);
    let along = Mapping { axis: Some(Axis::Along), ..ahead(0.0) };
    shines_only(&sound(&at(0.0, 0.0), Format::Ies, along), 0.0, 0.0);
    shines_only(&sound(&at(0.0, 90.0), Format::Ies, along), 0.0, 90.0);
    // 30 degrees to the side in a plane 40 degrees over level: sin of the elevation is sin 40 cos 30, and the tangent
    // of the bearing is tan 30 over cos 40.
    let reading = sound(&at(30.0, 130.0), Format::Ies, ahead(0.0));
    let elevation = (40f64.to_radians().sin() * 30f64.to_radians().cos()).asin().to_degrees();
    let bearing = (30f64.to_radians().tan() / 40f64.to_radians().cos()).atan().to_degrees();
    assert!((candela(&reading, bearing, elevation) - 100.0).abs() < 1e-3);
}

/// A lamp that is different on every plane and at every height.
fn uneven(plane: f64, step: f64) -> f64 {
    10.0 + (plane - 20.0).to_radians().cos() * 4.0 + step / 100.0
}

#[test]
fn each_symmetry_of_type_c_gives_the_plane_that_mirrors_another() {
    let steps = every(0, 180, 30);
    let read = |from: i32, to: i32| sound(&ies(1, &steps, &every(from, to, 30), &uneven), Format::Ies, ahead(0.0));
    let gamma_60 = |reading: &Reading, plane: f64| candela(reading, -plane, -30.0);
    let same = |reading: &Reading, plane: f64, known: f64| {
        let (found, wanted) = (gamma_60(reading, plane), uneven(known, 60.0));
        assert!((found - wanted).abs() < 1e-9, "C{plane}: {found} where C{known} has {wanted}");
    };
    let round = read(0, 0);
    [0.0, 77.0, 211.0].into_iter().for_each(|plane| same(&round, plane, 0.0));
    let quarters = read(0, 90);
    [(60.0, 60.0), (120.0, 60.0), (240.0, 60.0), (300.0, 60.0)]
        .into_iter()
        .for_each(|(plane, known)| same(&quarters, plane, known));
    let halves = read(0, 180);
    [(150.0, 150.0), (210.0, 150.0), (330.0, 30.0)].into_iter().for_each(|(plane, known)| same(&halves, plane, known));
    let other = read(90, 270);
    [(120.0, 120.0), (60.0, 120.0), (300.0, 240.0), (0.0, 180.0)]
        .into_iter()
        .for_each(|(plane, known)| same(&other, plane, known));
    let whole = read(0, 360);
    [(30.0, 30.0), (330.0, 330.0)].into_iter().for_each(|(plane, known)| same(&whole, plane, known));
}

#[test]
fn half_a_lamp_of_type_a_is_mirrored_to_port() {
    let text = ies(3, &every(-90, 90, 10), &every(0, 90, 10), &|plane, _| 100.0 - plane);
    let reading = sound(&text, Format::Ies, ahead(0.0));
    assert!((candela(&reading, 40.0, 0.0) - 60.0).abs() < 1e-9);
    assert!((candela(&reading, 320.0, 0.0) - 60.0).abs() < 1e-9);
    assert_eq!(candela(&reading, 180.0, 0.0), 0.0, "what was not measured is dark");
    assert!(reading.notes.iter().any(|note| note.contains("counts as dark")), "{:?}", reading.notes);
}

#[test]
fn each_symmetry_of_eulumdat_gives_the_plane_that_mirrors_another() {
    let (steps, all) = (every(0, 180, 30), every(0, 330, 30));
    let kept: [Vec<f64>; 5] = [
        all.clone(),
        vec![0.0],
        every(0, 180, 30),
        [270, 300, 330, 0, 30, 60, 90].map(f64::from).to_vec(),
        every(0, 90, 30),
    ];
    let pairs: [&[(f64, f64)]; 5] = [
        &[(30.0, 30.0), (330.0, 330.0)],
        &[(30.0, 0.0), (200.0, 0.0)],
        &[(150.0, 150.0), (210.0, 150.0)],
        &[(300.0, 300.0), (240.0, 300.0), (60.0, 60.0), (120.0, 60.0), (180.0, 0.0)],
        &[(60.0, 60.0), (120.0, 60.0), (300.0, 60.0), (240.0, 60.0)],
    ];
    for (symmetry, (kept, pairs)) in (0u8..).zip(kept.iter().zip(pairs)) {
        let text = eulumdat(symmetry, &steps, kept, &all, &uneven);
        let reading = sound(&text, Format::Eulumdat, ahead(0.0));
        for (plane, known) in pairs {
            let (found, wanted) = (candela(&reading, -plane, -30.0), uneven(*known, 60.0));
            assert!((found - wanted).abs() < 1e-9, "Isym {symmetry}, C{plane}: {found}, and C{known} has {wanted}");
        }
    }
}

#[test]
fn one_lamp_written_in_each_format_reads_the_same() {
    let lamp = |bearing: f64, elevation: f64| 5.0 + bearing.to_radians().cos() + elevation / 90.0;
    let by_gamma = |plane: f64, gamma: f64| lamp(-plane, gamma - 90.0);
    let (steps, planes) = (every(0, 180, 10), every(0, 360, 10));
    let readings = [
        sound(&ies(1, &steps, &planes, &by_gamma), Format::Ies, ahead(0.0)),
        sound(&eulumdat(0, &steps, &planes[..36], &planes[..36], &by_gamma), Format::Eulumdat, ahead(0.0)),
        sound(&csv_grid(&planes, &every(-90, 90, 10), &lamp), Format::Csv, ahead(0.0)),
    ];
    for reading in &readings {
        for (bearing, elevation) in [(0.0, 0.0), (40.0, -20.0), (310.0, 70.0), (180.0, 10.0)] {
            let (found, wanted) = (candela(reading, bearing, elevation), lamp(bearing, elevation));
            assert!((found - wanted).abs() < 1e-9, "{found} and {wanted} on {bearing} at {elevation}");
        }
        // Halfway between two of its points it runs straight.
        let (found, wanted) = (candela(reading, 45.0, 0.0), (lamp(40.0, 0.0) + lamp(50.0, 0.0)) / 2.0);
        assert!((found - wanted).abs() < 1e-9, "{found} and {wanted}");
    }
}

#[test]
fn the_factors_of_an_ies_file_multiply_and_the_later_field_does_not() {
    let text = ies(1, &every(0, 180, 90), &[0.0], &|_, _| 3.0);
    let later = text.replace("1 -1 1 ", "1 -1 2 ").replace("\n1 1 5\n", "\n0.5 7 5\n");
    assert!((candela(&sound(&later, Format::Ies, ahead(0.0)), 0.0, 0.0) - 3.0).abs() < 1e-9);
    for header in ["IESNA:LM-63-1995", "IESNA91", "a lamp of 1986, without a header"] {
        let old = later.replace("IESNA:LM-63-2002", header);
        assert!((candela(&sound(&old, Format::Ies, ahead(0.0)), 0.0, 0.0) - 21.0).abs() < 1e-9, "{header}");
    }
    let last = later.replace("IESNA:LM-63-2002", "IES:LM-63-2019");
    assert!((candela(&sound(&last, Format::Ies, ahead(0.0)), 0.0, 0.0) - 3.0).abs() < 1e-9);
}

#[test]
fn a_cut_alone_is_refused_and_two_cuts_multiply() {
    let across = "bearing_degrees,candela\n-90,0\n0,10\n90,4\n180,0\n";
    let upright = "elevation_degrees,candela\n-10,1\n0,2\n10,1\n";
    assert!(flaw(across, Format::Csv).what.contains("horizontal cut alone"));
    assert!(flaw(upright, Format::Csv).what.contains("vertical cut alone"));
    let both = read(across, Format::Csv, ahead(0.0), Besides::VerticalCut(upright)).expect("two cuts");
    assert!((candela(&both, 90.0, 0.0) - 4.0).abs() < 1e-9);
    assert!((candela(&both, 90.0, 5.0) - 3.0).abs() < 1e-9);
    assert_eq!(candela(&both, 90.0, 11.0), 0.0);
    let round = read(upright, Format::Csv, ahead(0.0), Besides::SameAllRound).expect("an all-round lamp");
    assert!((candela(&round, 217.0, -5.0) - 1.5).abs() < 1e-9);
}

/// A text with one mistake, and the line and words of what is said of it.
#[test]
fn a_mistake_is_told_with_its_line() {
    let good = ies(1, &every(0, 180, 90), &every(0, 360, 90), &|_, _| 1.0);
    let ldt = eulumdat(1, &every(0, 180, 90), &[0.0], &[0.0, 180.0], &|_, _| 1.0);
    let grid = csv_grid(&[0.0, 90.0], &[0.0, 5.0], &|_, _| 1.0);
    let mistakes: Vec<(Format, String, usize, &str)> = vec![
        (Format::Ies, good.replace("TILT=NONE", "TILT=INCLUDE"), 4, "tilt"),
        (Format::Ies, good.replace("TILT=NONE\n", ""), 1, "TILT="),
        (Format::Ies, good.replace("0 90 180\n", "0 180 90\n"), 7, "must rise"),
        (Format::Ies, good.replace("0 90 180 270 360", "0 90 180 270 350"), 8, "tell no symmetry"),
        (Format::Ies, good.replacen("\n1 1 1\n", "\n1 -1 1\n", 1), 9, "negative"),
        (Format::Ies, good.replacen("\n1 1 1\n", "\n1 bright 1\n", 1), 9, "no number"),
        (Format::Ies, format!("{good}1 1\n"), 14, "more values"),
        (Format::Ies, good.trim_end().trim_end_matches('1').into(), 13, "the file ends"),
        (Format::Ies, good.replace(" 1 2 0 0 0", " 4 2 0 0 0"), 5, "type of photometry"),
        (Format::Ies, good.replace("1 -1 1 3 5 1", "1 -1 1 30000 50000 1"), 5, "million"),
        (Format::Ies, good.replace("1 -1 1 3 5 1", "1 -1 1 2.5 5 1"), 5, "whole number"),
        (Format::Eulumdat, ldt.replacen("\r\n1\r\n1\r\n", "\r\n1\r\n7\r\n", 1), 3, "no symmetry 7"),
        (Format::Eulumdat, ldt.trim_end().rsplit_once("\r\n").expect("lines").0.into(), 49, "the file ends"),
        (Format::Eulumdat, format!("{ldt}1\r\n"), 51, "more lines"),
        (Format::Csv, grid.replace("candela\n", "brightness\n"), 1, "columns"),
        (Format::Csv, grid.replace("90,5,1\n", "90,5\n"), 5, "2 values"),
        (Format::Csv, grid.replace("90,5,1\n", "90,0,1\n"), 5, "twice"),
        (Format::Csv, grid.replace("90,5,1\n", ""), 4, "no value"),
        (Format::Csv, grid.replace("90,5,1\n", "90,5,-2\n"), 5, "negative"),
        (Format::Csv, grid.replace("90,5,1\n", "90,95,2\n"), 5, "outside"),
        (Format::Csv, String::new(), 1, "columns"),
    ];
    for (format, text, line, words) in mistakes {
        let flaw = flaw(&text, format);
        let found = text[..flaw.start].matches('\n').count() + 1;
        assert_eq!(found, line, "{flaw:?} in\n{text}");
        assert!(flaw.what.contains(words) && !flaw.mend.is_empty(), "no \"{words}\" in {flaw:?}");
        assert!(text.get(flaw.start..flaw.end).is_some(), "{flaw:?}");
    }
}

/// A lamp of the library as a photometer would have written it down, on a grid that holds every bend of its profiles.
fn measured_csv(beam: &Beam) -> String {
    let bearings: Vec<f64> = (0..=720).map(|n| f64::from(n) / 2.0).collect();
    let elevations = every(-90, 90, 1);
    csv_grid(&bearings, &elevations, &|bearing, elevation| {
        beam.intensity_at(Bearing::new(bearing), Degrees(elevation)).0
    })
}

#[test]
fn a_lamp_and_its_own_measurement_give_the_same_survey() {
    let mut scene = support::bare_boat();
    scene.fits[0].lamps = support::lawful_lamps();
    let by_profile = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
    let mut other = scene.clone();
    for lamp in &mut other.fits[0].lamps {
        let beams = lamp
            .optics
            .beams
            .iter()
            .map(|beam| Beam::of_grid(beam.colour, sound(&measured_csv(beam), Format::Csv, ahead(0.0)).grid));
        lamp.optics = Arc::new(Optics { beams: beams.collect(), ..Optics::clone(&lamp.optics) });
    }
    let by_grid = Survey::of(&other, &other.fits[0], Status::UnderWay, &Settings::default());
    assert_eq!(by_profile.lights.len(), by_grid.lights.len());
    let mut lit = 0;
    for (one, same) in by_profile.lights.iter().zip(&by_grid.lights) {
        for (a, b) in one.reaches.iter().zip(&same.reaches) {
            let (a, b) = (a.candela().0, b.candela().0);
            assert!((a - b).abs() <= 0.01 * a.max(1e-3), "{a} and {b}");
            lit += usize::from(a > 0.0);
        }
    }
    assert!(lit > 1000, "{lit}");
}

fn lampwalk(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwalk")).args(arguments).output().expect("the program starts")
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("words in UTF-8")
}

/// Files in a scratch folder.
fn folder(files: &[(&str, &str)]) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a scratch folder");
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("a scratch file");
    }
    let path = folder.path().to_path_buf();
    (folder, path)
}

#[test]
fn the_command_tells_what_a_lamp_can_serve_as() {
    let beam = preset("starboard 2 nm").expect("a generic lamp").beams[0].clone();
    assert_eq!(beam.colour, Colour::Green);
    let dim = csv_grid(&every(0, 360, 10), &every(-90, 90, 10), &|_, _| 0.5);
    let (_kept, path) = folder(&[("side.csv", &measured_csv(&beam)), ("dim.csv", &dim), ("bad.ies", "a\nb\nTILT=x\n")]);
    let file = |name: &str| path.join(name).display().to_string();
    let plot = file("side.svg");
    let output = lampwalk(&["lamp", &file("side.csv"), "--colour", "green", "--svg", &plot]);
    let text = said(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{text}{}", said(&output.stderr));
    let (can, cannot) = text.split_once("Cannot serve as").expect("both lists");
    assert!(can.contains("starboard sidelight, 1 nm") && can.contains("starboard sidelight, 2 nm"), "{text}");
    assert!(cannot.contains("starboard sidelight, 3 nm") && cannot.contains("all-round green light, 2 nm"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let svg = std::fs::read_to_string(&plot).expect("the plot");
    assert!(svg.starts_with("<svg") && svg.contains("Starboard sidelight of 2 nm"), "{}", &svg[..200]);
    // The same lamp turned to port lights the wrong sector.
    let turned = lampwalk(&["lamp", &file("side.csv"), "--colour", "green", "--ahead", "90"]);
    assert_eq!(turned.status.code(), Some(1), "{}", said(&turned.stdout));
    assert_eq!(lampwalk(&["lamp", &file("dim.csv")]).status.code(), Some(1));
    for (name, words) in [("bad.ies", "bad.ies:3:1"), ("none.ies", "no such file"), ("side.svg", "no lamp file")] {
        let output = lampwalk(&["lamp", &file(name)]);
        assert_eq!(output.status.code(), Some(2));
        assert!(said(&output.stderr).contains(words), "{}", said(&output.stderr));
        assert!(output.stdout.is_empty());
    }
}

const SCENE: &str = r#"Scene(name: "boat", vessel: Vessel(length: 6, beam: 2.2, freeboard: 0.6, depth: 0.9,
    propulsion: Power, top_speed: 20),
    fits: [Fit(name: "fit", lamps: [Lamp(name: "side", role: StarboardSidelight, mount: Bracket,
        at: (forward: 4, starboard: 0.8, above_deck: 0.2),
        optics: OPTICS)])])"#;

#[test]
fn a_scene_fits_a_measured_lamp_and_tells_what_is_wrong_with_its_file() {
    let beam = preset("starboard 1 nm").expect("a generic lamp").beams[0].clone();
    let (_kept, path) = folder(&[("side.csv", &measured_csv(&beam)), ("bad.csv", "bearing_degrees,candela\n0,x\n")]);
    let read = |optics: &str| lampwalk::boat::read::scene_text(&SCENE.replace("OPTICS", optics), "scene", Some(&path));
    let scene = read(r#"Measured(file: "side.csv", colour: Green, back: Port, ahead: 0)"#).expect("a scene").scene;
    let lamp = &scene.fits[0].lamps[0];
    assert_eq!((lamp.role, lamp.optics.beams[0].colour), (Role::StarboardSidelight, Colour::Green));
    let found = lamp.optics.beams[0].intensity_at(Bearing::new(50.0), Degrees(2.0)).0;
    assert!((found - beam.intensity_at(Bearing::new(50.0), Degrees(2.0)).0).abs() < 1e-9);
    for (optics, words) in [
        (r#"Measured(file: "bad.csv", colour: Green, back: Port, ahead: 0)"#, "line 2"),
        (r#"Measured(file: "gone.ies", colour: Green, back: Port, ahead: 0)"#, "no such file"),
        (r#"Measured(file: "side.csv", colour: Green, back: Port)"#, "`ahead`"),
        (r#"Measured("side.csv")"#, "with its name"),
        (r#"Measured(file: "side.csv", colour: Green, back: Port, ahead: 0, axis: Up)"#, "an axis"),
        (r#"Measured(file: "side.csv", colour: Green, back: Port, ahead: 0, all_round: true)"#, "whole grid"),
    ] {
        let error = read(optics).expect_err("a fault");
        let fault = &error.faults()[0];
        assert!(fault.what.contains(words), "{fault:?}");
        assert_eq!(fault.line, 5, "{fault:?}");
    }
}
