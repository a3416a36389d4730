//! Areas of the colour diagram against colour-science and shapely, general libraries for colours and for plane shapes.
//!
//! `tests/colour_library` holds their answers, the corners of COLREGs 1972 Annex I section 7, and how they were made.

use std::{collections::HashMap, fs};

use lampwalk::light::{Chromaticity, Colour, ColourArea};

/// Chromaticities and distances are given to twelve decimals.
const ROUNDING: f64 = 1e-11;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Verdict {
    Inside,
    Border,
    Outside,
}

/// A row of `points.csv`.
struct Point {
    name: String,
    colour: Chromaticity,
    /// Verdict and distance outside for each area.
    expected: HashMap<Colour, (Verdict, f64)>,
}

/// The rows of a file of the folder as column names to values, without the remarks above the heading.
fn rows(file: &str) -> Vec<HashMap<String, String>> {
    let path = format!("{}/tests/colour_library/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(path).expect("a file of the folder");
    let mut lines = text.lines().filter(|line| !line.starts_with('#')).map(|line| line.split(',').map(String::from));
    let heading: Vec<_> = lines.next().expect("a heading").collect();
    lines.map(|line| heading.iter().cloned().zip(line).collect()).collect()
}

fn number(row: &HashMap<String, String>, column: &str) -> f64 {
    row[column].parse().expect("a number")
}

fn corners(colour: Colour) -> Vec<(f64, f64)> {
    let own = rows("corners.csv").into_iter().filter(|row| row["colour"] == colour.name());
    own.map(|row| (number(&row, "x"), number(&row, "y"))).collect()
}

fn area(colour: Colour) -> ColourArea {
    ColourArea::new(corners(colour)).expect("a simple border")
}

fn areas() -> [(Colour, ColourArea); 4] {
    Colour::ALL.map(|colour| (colour, area(colour)))
}

fn points() -> Vec<Point> {
    rows("points.csv")
        .into_iter()
        .map(|row| {
            let expected = |colour: Colour| {
                let verdict = match row[colour.name()].as_str() {
                    "inside" => Verdict::Inside,
                    "border" => Verdict::Border,
                    "outside" => Verdict::Outside,
                    other => panic!("no verdict: {other}"),
                };
                (colour, (verdict, number(&row, &format!("{colour}_distance"))))
            };
            Point {
                name: row["name"].clone(),
                colour: Chromaticity { x: number(&row, "x"), y: number(&row, "y") },
                expected: Colour::ALL.map(expected).into(),
            }
        })
        .collect()
}

fn point(name: &str) -> Point {
    points().into_iter().find(|point| point.name == name).unwrap_or_else(|| panic!("no row for {name}"))
}

/// The colours whose areas hold the light.
fn counts_as(light: Chromaticity) -> Vec<Colour> {
    areas().into_iter().filter(|(_, area)| area.holds(light)).map(|(colour, _)| colour).collect()
}

#[test]
fn an_area_holds_what_the_library_finds_inside_or_on_its_border() {
    let areas = areas();
    for point in points() {
        for (colour, area) in &areas {
            let (verdict, _) = point.expected[colour];
            assert_eq!(area.holds(point.colour), verdict != Verdict::Outside, "{} and {colour}", point.name);
        }
    }
}

#[test]
fn a_light_outside_an_area_is_as_far_off_as_the_library_finds() {
    let areas = areas();
    for point in points() {
        for (colour, area) in &areas {
            let (verdict, expected) = point.expected[colour];
            let found = area.distance_outside(point.colour);
            assert!((found - expected).abs() < ROUNDING, "{} and {colour}: {found}, not {expected}", point.name);
            assert_eq!(found > 0.0, verdict == Verdict::Outside, "{} and {colour}", point.name);
        }
    }
}

#[test]
fn every_area_is_tried_inside_on_its_border_just_outside_and_far_off() {
    let points = points();
    for colour in Colour::ALL {
        let count = |wanted: Verdict| points.iter().filter(|point| point.expected[&colour].0 == wanted).count();
        let near = points.iter().filter(|point| (1e-5..2e-4).contains(&point.expected[&colour].1)).count();
        let far = points.iter().filter(|point| point.expected[&colour].1 > 0.1).count();
        assert!(count(Verdict::Inside) >= 50, "{colour}: {} inside", count(Verdict::Inside));
        assert!(count(Verdict::Border) >= 24, "{colour}: {} on the border", count(Verdict::Border));
        assert!(near >= 20 && far >= 100, "{colour}: {near} just outside, {far} far outside");
    }
}

#[test]
fn real_lights_of_every_colour_are_among_the_points() {
    let is_made = |name: &str| [" corner ", " side "].iter().any(|word| name.contains(word));
    let lights: Vec<_> = points().into_iter().filter(|point| !is_made(&point.name)).collect();
    assert!(lights.len() > 400);
    for colour in Colour::ALL {
        let inside = lights.iter().filter(|light| light.expected[&colour].0 == Verdict::Inside).count();
        assert!(inside >= 30, "{inside} lights are {colour}");
    }
    assert!(lights.iter().all(|light| light.colour.lies_in_the_diagram()));
}

#[test]
fn no_chromaticity_counts_as_two_colours() {
    let areas = areas();
    let grid = (0..=1000).flat_map(|x| (0..=1000 - x).map(move |y| (f64::from(x) / 1000.0, f64::from(y) / 1000.0)));
    let lights = grid.map(|(x, y)| Chromaticity { x, y }).chain(points().into_iter().map(|point| point.colour));
    for light in lights {
        assert!(areas.iter().filter(|(_, area)| area.holds(light)).count() <= 1, "{light:?}");
    }
}

#[test]
fn every_corner_is_on_the_border_of_its_own_area_alone() {
    for colour in Colour::ALL {
        for (x, y) in corners(colour) {
            assert_eq!(counts_as(Chromaticity { x, y }), [colour], "({x}, {y})");
        }
    }
}

/// Annex I section 7 lists red's corners in an order that does not go round: its third and fourth must change places.
#[test]
fn red_s_corners_in_the_order_of_the_regulation_s_table_are_refused() {
    let mut as_tabled = corners(Colour::Red);
    as_tabled.swap(2, 3);
    assert_eq!(as_tabled, [(0.680, 0.320), (0.660, 0.320), (0.735, 0.265), (0.721, 0.259)]);
    assert_eq!(ColourArea::new(as_tabled), None);
}

/// White's border turns inward at (0.443, 0.382): a line from there to the corner before it would take in more.
#[test]
fn white_does_not_reach_across_the_bay_in_its_lower_border() {
    let bay = Chromaticity { x: 0.443, y: 0.370 };
    assert!(!area(Colour::White).holds(bay));
    let filled = corners(Colour::White).into_iter().filter(|&corner| corner != (0.443, 0.382)).collect();
    assert!(ColourArea::new(filled).expect("a simple border").holds(bay));
}

#[test]
fn filament_lamps_and_daylight_are_white() {
    for name in ["CIE illuminant A", "CIE illuminant D50", "CIE illuminant D65", "CIE illuminant E"] {
        assert_eq!(counts_as(point(name).colour), [Colour::White], "{name}");
    }
}

#[test]
fn the_rules_hold_the_same_corners() {
    for rules in [lampwalk::rules::international(), lampwalk::rules::inland()] {
        for colour in Colour::ALL {
            let row = rules.colours.iter().find(|row| row.colour == colour).expect("a row for each colour");
            let held: Vec<_> = row.corners.corners().map(|corner| (corner.x, corner.y)).collect();
            assert_eq!(held, corners(colour), "{colour} in {}", rules.name);
        }
    }
}
