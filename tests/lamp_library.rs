//! Lamp files against photompy (IES LM-63) and eulumdat-py (EULUMDAT), general libraries for photometric files, and
//! sample files that others published.
//!
//! `tests/lamp_library` holds invented files of every type and symmetry, the libraries' answers and how they were made;
//! `tests/lamp_samples` the samples, with their sources. photompy knows neither the files before 1995 nor those that
//! are symmetric across the plane 90 to 270: `lamp_files.rs` has those. What the libraries leave open is how the
//! angles of a file lie in a lamp; that is worked out here from the plane geometry of each type.

use std::{collections::BTreeMap, fs};

use lampwalk::{
    light::measured::{Besides, Flaw, Format, Mapping, Reading, read},
    measure::{Bearing, Degrees},
};

/// Rounding of the libraries' answers, which are given to six decimals, and of their single steps.
const ROUNDING: f64 = 2e-6;

fn text_of(file: &str) -> String {
    let folder = if file.starts_with("type_") || file.starts_with("lm_63") || file.starts_with("measured") {
        "lamp_samples"
    } else {
        "lamp_library"
    };
    let path = format!("{}/tests/{folder}/{file}", env!("CARGO_MANIFEST_DIR"));
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn opened(file: &str) -> Result<Reading, Flaw> {
    let ending = file.rsplit('.').next().unwrap_or_default();
    let format = Format::of_ending(ending).expect("a known ending");
    read(&text_of(file), format, Mapping::default(), Besides::Nothing).map_err(|refusal| refusal.flaw)
}

/// Candela toward angles of the file, which become a bearing and elevation of a lamp whose ahead is nought.
fn candela(reading: &Reading, file: &str, horizontal: f64, vertical: f64) -> f64 {
    let (bearing, elevation) = if file.contains("b_halves") || file.contains("b_whole") || file.contains("b_below") {
        // Aside is the sine of the horizontal angle; the rest of the light swings from down through ahead.
        let (aside, within) = horizontal.to_radians().sin_cos();
        let (ahead, down) = vertical.to_radians().sin_cos();
        let (ahead, up) = (within * ahead, -within * down);
        (aside.atan2(ahead).to_degrees(), up.atan2(aside.hypot(ahead)).to_degrees())
    } else if file.contains("a_halves") || file.contains("a_whole") {
        (horizontal, vertical)
    } else {
        (-horizontal, vertical - 90.0)
    };
    reading.grid.at(Bearing::new(bearing), Degrees(elevation)).0
}

/// The libraries' answers by file: horizontal and vertical angle, candela.
fn answers() -> BTreeMap<String, Vec<(f64, f64, f64)>> {
    let mut all: BTreeMap<String, Vec<(f64, f64, f64)>> = BTreeMap::new();
    for line in text_of("directions.csv").lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let number = |index: usize| -> f64 { fields[index].parse().expect("a number") };
        all.entry(fields[0].into()).or_default().push((number(1), number(2), number(3)));
    }
    all
}

/// At the poles of a file all its planes meet, and its own values need not: there the direction tells no plane.
fn is_pole(file: &str, horizontal: f64, vertical: f64) -> bool {
    if file.contains("b_") {
        horizontal.abs() == 90.0
    } else if file.contains("a_halves") || file.contains("a_whole") {
        vertical.abs() == 90.0
    } else {
        vertical == 0.0 || vertical == 180.0
    }
}

#[test]
fn every_file_gives_what_a_general_library_reads_in_it() {
    let all = answers();
    assert_eq!(all.len(), 16, "{:?}", all.keys());
    for (file, directions) in &all {
        let reading = opened(file).unwrap_or_else(|flaw| panic!("{file}: {flaw:?}"));
        let mut compared = 0;
        for (horizontal, vertical, wanted) in directions.iter().filter(|one| !is_pole(file, one.0, one.1)) {
            let found = candela(&reading, file, *horizontal, *vertical);
            let off = (found - wanted).abs();
            assert!(
                off <= ROUNDING * wanted.max(1.0),
                "{file} at {horizontal}, {vertical}: {found}, and they {wanted}"
            );
            compared += 1;
        }
        assert!(compared >= 20, "{file}: {compared}");
    }
}

/// The libraries do not answer with the same number everywhere, or the comparison would show little.
#[test]
fn the_answers_differ_from_direction_to_direction() {
    for (file, directions) in answers() {
        let mut seen: Vec<String> = directions.iter().map(|one| format!("{:.3}", one.2)).collect();
        seen.sort_unstable();
        seen.dedup();
        assert!(seen.len() >= 7, "{file}: {}", seen.len());
    }
}

fn near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() <= 1e-6 * wanted.abs().max(1.0), "{found} where {wanted} stands in the file");
}

#[test]
fn the_standards_example_is_refused_for_its_tilt_and_read_without() {
    let file = "lm_63_2002_type_c.ies";
    let flaw = opened(file).expect_err("a tilt");
    let text = text_of(file);
    assert_eq!(text[..flaw.start].matches('\n').count() + 1, 3, "{flaw:?}");
    assert!(flaw.what.contains("tilt"), "{flaw:?}");
    // Without the four lines of the tilt, what is left is a lamp whose quarters are alike.
    let (head, rest) = text.split_once("TILT=INCLUDE\n").expect("a tilt");
    let body: Vec<&str> = rest.lines().skip(4).collect();
    let plain = format!("{head}TILT=NONE\n{}\n", body.join("\n"));
    let reading = read(&plain, Format::Ies, Mapping::default(), Besides::Nothing).expect("a sound file");
    let rows = [
        (0.0, [100_000.0, 50_000.0, 25_000.0, 10_000.0, 5_000.0]),
        (45.0, [100_000.0, 35_000.0, 16_000.0, 8_000.0, 3_000.0]),
        (90.0, [100_000.0, 20_000.0, 10_000.0, 5_000.0, 1_000.0]),
    ];
    for (plane, row) in rows {
        for (gamma, wanted) in [0.0, 22.5, 45.0, 67.5, 90.0].into_iter().zip(row) {
            for mirror in [plane, 180.0 - plane, 180.0 + plane, 360.0 - plane] {
                near(candela(&reading, file, mirror, gamma), wanted);
            }
        }
    }
    assert_eq!(candela(&reading, file, 45.0, 91.0), 0.0, "nothing is measured above level");
}

/// Values as they stand in the file, times 5134 lumens over a thousand.
#[test]
fn a_published_measured_luminaire_gives_its_own_values() {
    let file = "measured_whole.ldt";
    let reading = opened(file).expect("a sound file");
    let per_thousand = [
        (0.0, 0.0, 270.1222),
        (0.0, 5.0, 273.82946),
        (18.0, 90.0, 4.64064),
        (18.0, 95.0, 6.14702),
        (180.0, 90.0, 6.30323),
        (342.0, 5.0, 273.52284),
        (342.0, 180.0, 97.45574),
        // Halfway round from the last plane to the first again.
        (351.0, 90.0, (5.36604 + 4.41149) / 2.0),
    ];
    for (plane, gamma, value) in per_thousand {
        near(candela(&reading, file, plane, gamma), value * 5.134);
    }
}

#[test]
fn published_files_of_types_a_and_b_give_their_own_values() {
    for (file, values) in [
        (
            "type_a_halves.ies",
            [(0.0, 0.0, 15_000.0), (22.5, 0.0, 14_000.0), (-22.5, 45.0, 7_500.0), (45.0, 22.5, 8_000.0)],
        ),
        (
            "type_b_halves.ies",
            [(0.0, 0.0, 25_000.0), (22.5, 0.0, 24_000.0), (-45.0, 22.5, 18_000.0), (67.5, 67.5, 4_500.0)],
        ),
        (
            "type_b_below.ies",
            [(0.0, 45.0, 8_000.0), (0.0, 0.0, 25_000.0), (22.5, -45.0, 7_500.0), (-45.0, 0.0, 20_000.0)],
        ),
    ] {
        let reading = opened(file).expect("a sound file");
        for (horizontal, vertical, wanted) in values {
            near(candela(&reading, file, horizontal, vertical), wanted);
        }
    }
}
