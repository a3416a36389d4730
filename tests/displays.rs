//! The look-up of lawful displays: what is listed on each side of every border of length and speed, that it is legible,
//! and what the command says to wrong input. Clauses are those of the International Regulations for Preventing Collisions
//! at Sea, 1972, as amended; the copies read are named in `assets/rules/international.ron`.

use std::process::{Command, Output};

use lampwalk::{
    boat::{Propulsion, Status, Vessel},
    measure::{Knots, Metres},
    rules::{Date, LightKind, Rules, international, rules_text},
    sheet::displays::{Lookup, drawing, json, text, vessel_of},
};
use serde_json::Value;
use svg::parser::Event;

fn vessel(length: f64, propulsion: Propulsion, top_speed: f64) -> Vessel {
    vessel_of(Metres(length), propulsion, Vec::new(), Knots(top_speed))
}

fn look<T>(vessel: &Vessel, status: Status, look: impl FnOnce(&Lookup) -> T) -> T {
    look(&Lookup { rules: international(), vessel, status, waters: &[] })
}

/// The clauses of the displays listed.
fn clauses(length: f64, propulsion: Propulsion, top_speed: f64, status: Status) -> Vec<String> {
    look(&vessel(length, propulsion, top_speed), status, |lookup| {
        lookup.lawful().iter().map(|display| display.clause.clone()).collect()
    })
}

fn power(length: f64, status: Status) -> Vec<String> {
    clauses(length, Propulsion::Power, 20.0, status)
}

fn text_of(length: f64, propulsion: Propulsion, top_speed: f64, status: Status) -> String {
    look(&vessel(length, propulsion, top_speed), status, text)
}

/// The text with its lines run together, so that no break hides a phrase.
fn run_on(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn power_text(length: f64, status: Status) -> String {
    run_on(&text_of(length, Propulsion::Power, 20.0, status))
}

#[test]
fn rule_23_d_i_all_round_white_in_place_of_masthead_and_sternlight_under_12_m() {
    assert_eq!(power(11.99, Status::UnderWay), ["Rule 23(a)", "Rule 23(d)(i)"]);
    assert_eq!(power(12.0, Status::UnderWay), ["Rule 23(a)"]);
}

#[test]
fn rule_23_d_ii_all_round_white_alone_under_7_m_and_at_most_7_knots() {
    let listed = |length: f64, knots: f64| {
        clauses(length, Propulsion::Power, knots, Status::UnderWay).contains(&"Rule 23(d)(ii)".to_string())
    };
    assert!(listed(6.99, 7.0));
    assert!(!listed(6.99, 7.01), "she is too fast");
    assert!(!listed(7.0, 7.0), "she is too long");
    let slow = run_on(&text_of(6.99, Propulsion::Power, 7.0, Status::UnderWay));
    assert!(slow.contains("And if practicable:") && slow.contains("(G2) starboard sidelight"), "{slow}");
}

#[test]
fn rule_23_a_ii_a_second_masthead_light_is_owed_from_50_m() {
    let mastheads = |length: f64| {
        look(&vessel(length, Propulsion::Power, 20.0), Status::UnderWay, |lookup| {
            lookup.lawful().iter().map(|display| display.count(LightKind::Masthead)).collect::<Vec<_>>()
        })
    };
    assert_eq!(mastheads(49.99), [1]);
    assert_eq!(mastheads(50.0), [2]);
    assert!(power_text(49.99, Status::UnderWay).contains("May be shown besides: a second masthead light."));
    assert!(power_text(50.0, Status::UnderWay).contains("masthead light, abaft and higher"));
}

#[test]
fn rule_22_ranges_change_at_12_20_and_50_m() {
    // Miles of masthead light and sidelight; Rule 22(c), (b), (b), (a).
    for (length, masthead, sidelight) in [
        (6.99, 2, 1),
        (7.0, 2, 1),
        (11.99, 2, 1),
        (12.0, 3, 2),
        (19.99, 3, 2),
        (20.0, 5, 2),
        (49.99, 5, 2),
        (50.0, 6, 3),
    ] {
        let told = power_text(length, Status::UnderWay);
        let masthead = format!("to 2 points abaft the starboard beam; seen {masthead} nm off");
        let sidelight = format!("from right ahead to 2 points abaft the starboard beam; seen {sidelight} nm off");
        assert!(told.contains(&masthead) && told.contains(&sidelight), "{length} m: {told}");
    }
}

#[test]
fn annex_i_8_candela_stand_beside_the_ranges() {
    // 1 nm 0.9 cd, 2 nm 4.3, 3 nm 12, 5 nm 52, 6 nm 94.
    for (length, pairs) in [
        (11.99, ["seen 1 nm off, at least 0.9 cd", "seen 2 nm off, at least 4.3 cd"]),
        (12.0, ["seen 2 nm off, at least 4.3 cd", "seen 3 nm off, at least 12 cd"]),
        (20.0, ["seen 2 nm off, at least 4.3 cd", "seen 5 nm off, at least 52 cd"]),
        (50.0, ["seen 3 nm off, at least 12 cd", "seen 6 nm off, at least 94 cd"]),
    ] {
        let told = power_text(length, Status::UnderWay);
        assert!(pairs.iter().all(|pair| told.contains(pair)), "{length} m: {told}");
    }
}

#[test]
fn rule_25_one_lantern_under_20_m_and_a_torch_under_7_m() {
    let sail = |length: f64| clauses(length, Propulsion::Sail, 8.0, Status::UnderWay);
    assert_eq!(sail(6.99), ["Rule 25(a)", "Rule 25(b)", "Rule 25(c)", "Rule 25(d)(i)"]);
    assert_eq!(sail(7.0), ["Rule 25(a)", "Rule 25(b)", "Rule 25(c)"]);
    assert_eq!(sail(19.99), ["Rule 25(a)", "Rule 25(b)", "Rule 25(c)"]);
    assert_eq!(sail(20.0), ["Rule 25(a)", "Rule 25(c)"]);
    let small = run_on(&text_of(6.99, Propulsion::Sail, 8.0, Status::UnderWay));
    assert!(small.contains("Ready to hand") && small.contains("torch"), "{small}");
}

#[test]
fn rule_25_d_ii_under_oars_a_torch_will_do_at_any_length() {
    let told = run_on(&text_of(30.0, Propulsion::Oars, 4.0, Status::UnderWay));
    assert!(told.contains("Rule 25(d)(ii)") && told.contains("Ready to hand"), "{told}");
}

#[test]
fn rule_26_b_trawling_a_masthead_light_is_owed_from_50_m() {
    assert!(power_text(49.99, Status::Trawling).contains("May be shown besides: a masthead light."));
    assert!(power_text(50.0, Status::Trawling).contains("W3 masthead light: white"));
}

#[test]
fn rule_27_g_excuses_vessels_under_12_m() {
    // What they may show instead are the lights of a vessel simply under way.
    assert!(power_text(11.99, Status::NotUnderCommand).contains("Rule 27(g)"));
    assert!(!power_text(12.0, Status::NotUnderCommand).contains("Rule 27(g)"));
}

#[test]
fn rule_30_anchor_lights_change_at_7_and_50_m_and_aground_at_12_m() {
    assert!(power_text(6.99, Status::AtAnchor).contains("(Rule 30(e))"));
    assert!(!power_text(7.0, Status::AtAnchor).contains("(Rule 30(e))"));
    assert_eq!(power(49.99, Status::AtAnchor), ["Rule 30(b)", "Rule 30(a)"]);
    assert_eq!(power(50.0, Status::AtAnchor), ["Rule 30(a)"]);
    assert!(power(11.99, Status::Aground).contains(&"Rule 30(f)".to_string()));
    assert!(!power(12.0, Status::Aground).contains(&"Rule 30(f)".to_string()));
}

#[test]
fn annex_i_limits_hold_in_their_own_bands_of_length() {
    for (length, told, clause) in [
        (11.99, "at least 1 m above the sidelights", "(Annex I 2(d))"),
        (12.0, "Masthead light: at least 2.5 m above the gunwale", "(Annex I 2(c))"),
        (19.99, "Masthead light: at least 2.5 m above the gunwale", "(Annex I 2(c))"),
        (
            20.0,
            "at least 6 m above the hull beneath it, or her beam where that is more, up to 12 m",
            "(Annex I 2(a)(i))",
        ),
        (20.0, "After masthead light: at least 4.5 m above the forward one (", "(Annex I 2(a)(ii))"),
        (50.0, "After masthead light: at least 4.5 m above the forward one (", "(Annex I 2(a)(ii))"),
        (50.0, "at least half of her length apart, fore and aft, or 100 m where that is less", "(Annex I 3(a))"),
    ] {
        let whole = power_text(length, Status::UnderWay);
        assert!(whole.contains(told) && whole.contains(clause), "{length} m: no \"{told}\" in {whole}");
    }
    assert!(!power_text(11.99, Status::UnderWay).contains("2.5 m"));
    assert!(!power_text(12.0, Status::UnderWay).contains("(Annex I 2(d))"));
    assert!(!power_text(20.0, Status::UnderWay).contains("2.5 m"));
    assert!(!power_text(49.99, Status::UnderWay).contains("(Annex I 3(a))"));
}

#[test]
fn annex_i_2_i_lights_in_a_line_stand_1_m_apart_under_20_m_and_2_m_from_there() {
    let short = power_text(19.99, Status::NotUnderCommand);
    assert!(short.contains("at least 1 m from one to the next (Annex I 2(i)(ii))"), "{short}");
    assert!(short.contains("at least 2 m above the gunwale"), "{short}");
    let long = power_text(20.0, Status::NotUnderCommand);
    assert!(long.contains("at least 2 m from one to the next (Annex I 2(i)(i))"), "{long}");
    assert!(long.contains("at least 4 m above the hull beneath it"), "{long}");
}

#[test]
fn annex_i_4_the_light_towards_the_gear_stands_2_to_6_m_away() {
    let told = power_text(18.0, Status::FishingGear);
    assert!(told.contains("Light towards the gear: 2 m to 6 m away from the pair, level distance (Annex I 4(a))"));
    assert!(
        told.contains("no higher than the white of the pair")
            && told.contains("at least twice as far above the sidelights as the two lights of the pair stand apart"),
        "{told}"
    );
}

#[test]
fn a_figure_that_the_rules_do_not_give_is_called_the_program_s_own() {
    assert!(power_text(6.0, Status::UnderWay).contains("Rule 23(a); the figure is the program's own"));
}

#[test]
fn she_cannot_be_what_she_has_no_means_for() {
    let told = text_of(9.0, Propulsion::Power, 20.0, Status::UnderSail);
    assert!(told.contains("She has no sails, and cannot be under way by sail."), "{told}");
    let told = text_of(9.0, Propulsion::Oars, 4.0, Status::Towing);
    assert!(told.contains("She has no engine"), "{told}");
}

#[test]
fn every_status_at_every_length_is_told_legibly() {
    for length in [10.0, 15.0, 30.0] {
        for propulsion in [Propulsion::Power, Propulsion::Sail, Propulsion::Oars] {
            let vessel = vessel(length, propulsion, 20.0);
            for status in Status::ALL {
                let (told, lawful, none) =
                    look(&vessel, *status, |lookup| (text(lookup), lookup.lawful().len(), lookup.why_none()));
                let place = format!("{length} m, {propulsion:?}, {status:?}:\n{told}");
                assert!(told.lines().all(|line| line.chars().count() <= 80), "{place}");
                let listed = told.lines().filter(|line| line.trim_start().starts_with(|c: char| c.is_ascii_digit()));
                let numbered = listed.filter(|line| line.contains(". ") && line.find(". ") < Some(4)).count();
                assert_eq!(numbered, lawful, "{place}");
                assert_eq!(lawful == 0, none.is_some(), "{place}");
                if let Some(why) = none {
                    assert!(run_on(&told).contains(&why), "{place}");
                }
            }
        }
    }
}

/// All the words that a drawing holds, after it has been parsed to its end with every element closed.
fn words(drawing: &str) -> Vec<String> {
    let (mut open, mut words) = (0, Vec::new());
    for event in svg::read(drawing).expect("an SVG document") {
        match event {
            Event::Error(error) => panic!("{error}"),
            Event::Tag(_, svg::node::element::tag::Type::Start, _) => open += 1,
            Event::Tag(_, svg::node::element::tag::Type::End, _) => open -= 1,
            Event::Text(text) => words.push(text.trim().to_string()),
            _ => {}
        }
    }
    assert_eq!(open, 0, "every element is closed");
    words
}

#[test]
fn every_drawing_parses_and_marks_each_light_in_plan_in_the_stack_and_in_words() {
    for length in [6.5, 10.0, 15.0, 30.0, 55.0] {
        for propulsion in [Propulsion::Power, Propulsion::Sail] {
            let vessel = vessel(length, propulsion, 7.0);
            for status in Status::ALL {
                look(&vessel, *status, |lookup| {
                    let Some(drawn) = drawing(lookup) else {
                        assert!(lookup.why_none().is_some());
                        return;
                    };
                    let words = words(&drawn);
                    for display in lookup.lawful() {
                        assert!(words.contains(&display.clause), "{length} m, {status:?}: {}", display.clause);
                        for (index, kind) in display.required().enumerate() {
                            let row = international().sector(kind).expect("a sector");
                            let tag = format!("{}{}", row.colour.letter(), index + 1);
                            // One display's tags are the next one's too: at least in plan and in the stack.
                            let marked = words.iter().filter(|one| **one == tag).count();
                            assert!(marked >= 2, "{length} m, {status:?}: {tag} stands {marked} times");
                            let named = words.iter().any(|one| one.split(' ').any(|piece| piece == tag));
                            assert!(named, "{length} m, {status:?}: {tag}");
                        }
                    }
                });
            }
        }
    }
}

/// A lettering: left, right, how far down, and its words.
type Lettering = (f64, f64, f64, String);

/// The page's size, and each lettering on it, taking letters for 0.45 times as wide as their size.
fn letterings(drawing: &str) -> ((f64, f64), Vec<Lettering>) {
    let (mut page, mut open, mut found) = ((0.0, 0.0), None, Vec::new());
    for event in svg::read(drawing).expect("an SVG document") {
        match event {
            Event::Tag(name, svg::node::element::tag::Type::Start, attributes) => {
                let number = |key: &str| {
                    let value = attributes.get(key).and_then(|value| value.trim_end_matches("mm").parse::<f64>().ok());
                    value.expect("a number")
                };
                match name {
                    "svg" => page = (number("width"), number("height")),
                    "text" => {
                        let anchor = attributes.get("text-anchor").expect("an anchor").to_string();
                        open = Some((number("x"), number("y"), number("font-size"), anchor));
                    }
                    _ => {}
                }
            }
            Event::Text(words) => {
                let Some((x, y, size, anchor)) = open.take() else { continue };
                let wide = words.trim().chars().count() as f64 * size * 0.45;
                let left = match anchor.as_str() {
                    "end" => x - wide,
                    "middle" => x - wide / 2.0,
                    _ => x,
                };
                found.push((left, left + wide, y, words.trim().to_string()));
            }
            _ => {}
        }
    }
    (page, found)
}

#[test]
fn no_lettering_of_a_drawing_runs_off_its_page() {
    for length in [6.5, 11.0, 18.0, 30.0, 55.0] {
        for status in Status::ALL {
            let Some(drawn) = look(&vessel(length, Propulsion::Power, 7.0), *status, drawing) else { continue };
            let (page, letterings) = letterings(&drawn);
            assert!(letterings.len() > 5);
            for (left, right, y, words) in letterings {
                let inside = left >= 5.0 && right <= page.0 - 5.0 && y >= 5.0 && y <= page.1 - 5.0;
                assert!(inside, "{length} m, {status:?}: \"{words}\" from {left} to {right} at {y} of {page:?}");
            }
        }
    }
}

/// An upright rectangle: left, top, right, bottom.
type Area = [f64; 4];

/// What may meet what on a drawing.
#[derive(Default)]
struct Drawn {
    /// Letterings with their words; none is turned by much.
    words: Vec<(Area, String)>,
    /// Straight lines.
    lines: Vec<Area>,
    /// Tags and discs.
    tags: Vec<Area>,
    /// Discs of what is seen: middle and letter.
    discs: Vec<(f64, f64, char)>,
}

/// About how wide letters of a common sans-serif face are, as a share of their size.
fn wide(letter: char) -> f64 {
    match letter {
        ' ' | '.' | ',' | ':' | ';' | 'i' | 'j' | 'l' | 't' | 'f' | 'I' => 0.278,
        '(' | ')' | 'r' | '-' => 0.333,
        'm' | 'M' => 0.833,
        'W' => 0.944,
        '\u{2265}' | '\u{d7}' => 0.57,
        letter if letter.is_uppercase() => 0.72,
        _ => 0.556,
    }
}

fn drawn(drawing: &str) -> Drawn {
    let (mut drawn, mut open, mut last_disc) = (Drawn::default(), None, None);
    for event in svg::read(drawing).expect("an SVG document") {
        match event {
            Event::Tag(name, _, attributes) => {
                let number =
                    |key: &str| attributes.get(key).and_then(|value| value.parse::<f64>().ok()).unwrap_or(f64::NAN);
                match name {
                    "line" => {
                        let [x1, x2, y1, y2] = ["x1", "x2", "y1", "y2"].map(number);
                        drawn.lines.push([x1.min(x2), y1.min(y2), x1.max(x2), y1.max(y2)]);
                    }
                    // Rounded, it is a tag.
                    "rect" if attributes.contains_key("rx") => {
                        let [x, y, width, height] = ["x", "y", "width", "height"].map(number);
                        drawn.tags.push([x, y, x + width, y + height]);
                    }
                    "circle" if number("r") > 2.0 => {
                        let [x, y, r] = ["cx", "cy", "r"].map(number);
                        drawn.tags.push([x - r, y - r, x + r, y + r]);
                        last_disc = Some((x, y));
                    }
                    "text" if attributes.contains_key("x") => {
                        let anchor = attributes.get("text-anchor").expect("an anchor").to_string();
                        open = Some((number("x"), number("y"), number("font-size"), anchor));
                    }
                    _ => {}
                }
            }
            Event::Text(words) => {
                let Some((x, y, size, anchor)) = open.take() else { continue };
                let words = words.trim().to_string();
                if let (Some((x, y)), [letter]) = (last_disc.take(), words.chars().collect::<Vec<_>>().as_slice()) {
                    drawn.discs.push((x, y, *letter));
                }
                let wide: f64 = words.chars().map(wide).sum::<f64>() * size;
                let left = match anchor.as_str() {
                    "end" => x - wide,
                    "middle" => x - wide / 2.0,
                    _ => x,
                };
                drawn.words.push(([left, y - 0.72 * size, left + wide, y], words));
            }
            _ => {}
        }
    }
    drawn
}

fn meet(one: &Area, other: &Area) -> bool {
    one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]
}

/// Whether a lettering is the label of a measure: "≥ 2 m", "2 to 6 m", "or beam".
fn is_label(words: &str) -> bool {
    let short = words.chars().count() < 14;
    short && (words.contains('\u{2265}') || words.contains(" to ") || words == "or beam")
}

#[test]
fn no_label_of_a_measure_meets_a_line_a_tag_or_other_lettering() {
    let mut labels = 0;
    for length in [6.0, 9.0, 15.0, 18.0, 30.0, 50.0] {
        for propulsion in [Propulsion::Power, Propulsion::Sail] {
            for status in Status::ALL {
                let vessel = vessel(length, propulsion, 7.0);
                let Some(svg) = look(&vessel, *status, drawing) else { continue };
                let drawn = drawn(&svg);
                let place = format!("{length} m, {propulsion:?}, {status:?}");
                for (index, (area, words)) in drawn.words.iter().enumerate() {
                    for (other, others) in &drawn.words[..index] {
                        assert!(!meet(area, other), "{place}: \"{words}\" and \"{others}\"");
                    }
                    if !is_label(words) {
                        continue;
                    }
                    labels += 1;
                    assert!(!drawn.lines.iter().any(|line| meet(area, line)), "{place}: a line meets \"{words}\"");
                    assert!(!drawn.tags.iter().any(|tag| meet(area, tag)), "{place}: a tag meets \"{words}\"");
                }
            }
        }
    }
    assert!(labels > 500, "only {labels} labels were looked at");
}

/// The discs of the first display, one list for each of the four directions, each disc by its place and letter.
fn seen(length: f64, status: Status) -> [Vec<(f64, f64, char)>; 4] {
    let svg = look(&vessel(length, Propulsion::Power, 20.0), status, drawing).expect("a drawing");
    let drawn = drawn(&svg);
    let title = |words: &str| drawn.words.iter().find(|(_, one)| one == words).expect("a title").0;
    ["from ahead", "off her starboard bow", "off her port bow", "from astern"].map(|words| {
        let [left, top, right, _] = title(words);
        let middle = (left + right) / 2.0;
        let own = drawn.discs.iter().filter(|(x, y, _)| (x - middle).abs() < 22.0 && *y > top && *y < top + 50.0);
        own.copied().collect()
    })
}

/// The letters of the discs in one upright column, from the top down.
fn column(discs: &[(f64, f64, char)], x: f64) -> String {
    let mut own: Vec<_> = discs.iter().filter(|disc| (disc.0 - x).abs() < 0.1).collect();
    own.sort_by(|a, b| a.1.total_cmp(&b.1));
    own.iter().map(|disc| disc.2).collect()
}

fn place_of(discs: &[(f64, f64, char)], letter: char) -> (f64, f64) {
    let (x, y, _) = discs.iter().find(|disc| disc.2 == letter).expect("a disc");
    (*x, *y)
}

#[test]
fn towing_two_whites_one_above_the_other_from_ahead_and_yellow_over_white_from_astern() {
    let [ahead, starboard, port, astern] = seen(15.0, Status::Towing);
    assert_eq!(column(&ahead, place_of(&ahead, 'W').0), "WW");
    assert_eq!(column(&astern, place_of(&astern, 'Y').0), "YW");
    assert!(starboard.iter().all(|disc| disc.2 != 'R') && port.iter().all(|disc| disc.2 != 'G'));
}

#[test]
fn from_ahead_her_red_sidelight_is_on_the_onlooker_s_right_and_both_are_below_the_white() {
    let [ahead, ..] = seen(9.0, Status::UnderWay);
    let [red, green, white] = ['R', 'G', 'W'].map(|letter| place_of(&ahead, letter));
    assert!(green.0 < white.0 && white.0 < red.0, "green, white, red from left to right");
    assert!(red.1 == green.1 && red.1 > white.1, "further down the page");
}

#[test]
fn two_anchor_lights_are_drawn_as_two_from_everywhere_and_one_as_one() {
    assert!(seen(50.0, Status::AtAnchor).iter().all(|discs| discs.len() == 2));
    assert!(seen(6.5, Status::AtAnchor).iter().all(|discs| discs.len() == 1));
}

#[test]
fn towing_at_15_m_both_the_line_s_2_m_and_the_masthead_light_s_2_5_m_are_marked() {
    // Annex I 2(i)(ii) and 2(c).
    let words = words(&look(&vessel(15.0, Propulsion::Power, 20.0), Status::Towing, drawing).expect("a drawing"));
    assert!(["\u{2265} 2 m", "\u{2265} 2.5 m"].iter().all(|mark| words.iter().any(|one| one == mark)), "{words:?}");
}

#[test]
fn limits_that_need_a_second_masthead_light_stand_last_under_its_name() {
    let told = power_text(6.0, Status::UnderWay);
    let place = |words: &str| told.find(words).unwrap_or_else(|| panic!("no \"{words}\" in {told}"));
    let heading = place("If a second masthead light is shown:");
    assert!(place("Masthead or all-round white light: at least 1 m above the sidelights") < heading);
    assert!(place("After masthead light: at least 0.1 m above the forward one") > heading);
    assert!(!power_text(50.0, Status::UnderWay).contains("If a second masthead light is shown"));
}

#[test]
fn a_display_that_only_a_waiver_makes_lawful_is_marked() {
    let waiver = |expires: &str| {
        let text = format!(
            r#"Rules(from: "international", name: "mill reach",
                waiver: (authority: "Mill Reach Office (invented)", area: "the reach (invented)", reference: "Order 2 (invented)", expires: "{expires}"),
                displays: [(name: "all-round white light alone", status: UnderEngine, length: (under: 8), lights: [AllRoundWhite],
                    clause: "Order 2", source: "Order 2 (invented)")],
                clauses: [(clause: "Order 2", about: "all-round white light alone")])"#
        );
        rules_text(&text, "mill.ron", Date::read("2026-01-01").expect("a day"))
            .unwrap_or_else(|error| panic!("{error}"))
    };
    let vessel = vessel(6.5, Propulsion::Power, 20.0);
    let whole = |rules: &Rules| -> (String, String, Value) {
        let lookup = Lookup { rules, vessel: &vessel, status: Status::UnderWay, waters: &[] };
        let told = json(rules, &vessel, &[], &[lookup]);
        (run_on(&text(&lookup)), drawing(&lookup).expect("a drawing"), serde_json::from_str(&told).expect("JSON"))
    };
    let (told, drawn, object) = whole(&waiver("2027-12-31"));
    assert!(told.contains("Order 2, by the waiver only") && !told.contains("Rule 23(a), by"), "{told}");
    assert!(drawn.contains("Order 2, by the waiver only"));
    let displays = object["statuses"][0]["displays"].as_array().expect("displays");
    let marked: Vec<_> =
        displays.iter().filter(|one| one["only_by_waiver"] == true).map(|one| &one["clause"]).collect();
    assert_eq!(marked, ["Order 2"]);
    let (told, ..) = whole(&waiver("2025-12-31"));
    assert!(!told.contains("by the waiver only"), "{told}");
}

#[test]
fn each_limit_in_json_says_what_it_is_counted_in() {
    let vessel = vessel(50.0, Propulsion::Power, 20.0);
    let whole: Value = look(&vessel, Status::UnderWay, |lookup| {
        serde_json::from_str(&json(lookup.rules, &vessel, &[], &[*lookup])).expect("JSON")
    });
    let limits = whole["statuses"][0]["displays"][0]["limits"].as_array().expect("limits");
    let unit = |clause: &str, words: &str| {
        let row = limits
            .iter()
            .find(|one| one["clause"] == clause && one["words"].as_str().is_some_and(|one| one.contains(words)));
        row.unwrap_or_else(|| panic!("no {clause}"))["unit"].clone()
    };
    assert_eq!(unit("Annex I 2(a)(ii)", "After masthead light"), "m");
    assert_eq!(unit("Annex I 2(b)", "minute of arc"), "minutes of arc");
    assert_eq!(unit("Annex I 3(a)", "apart"), "share");
}

#[test]
fn json_holds_the_same_displays() {
    let vessel = vessel(15.0, Propulsion::Power, 20.0);
    let whole: Value = look(&vessel, Status::Towing, |lookup| {
        serde_json::from_str(&json(lookup.rules, &vessel, &[], &[*lookup])).expect("JSON")
    });
    assert_eq!(whole["schema"], 1);
    let display = &whole["statuses"][0]["displays"][0];
    assert_eq!(display["clause"], "Rule 24(a)");
    let lines: Vec<_> =
        display["lights"].as_array().expect("lights").iter().map(|light| light["line"].as_u64()).collect();
    assert_eq!(lines, [Some(0), Some(0), Some(1), Some(1), None, None]);
    // Rule 21(d): the towing light is yellow and shows over 135 degrees.
    assert_eq!(display["lights"][2]["colour"], "yellow");
    assert_eq!(display["lights"][2]["width_degrees"], 135.0);
}

fn lampwalk(arguments: &[&str]) -> Output {
    let mut whole = vec!["displays"];
    whole.extend(arguments);
    Command::new(env!("CARGO_BIN_EXE_lampwalk"))
        .args(whole)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts")
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("words in UTF-8")
}

fn refused(arguments: &[&str], words: &[&str]) {
    let output = lampwalk(arguments);
    let message = said(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{arguments:?}: {message}");
    assert!(output.stdout.is_empty(), "{arguments:?}");
    for word in words {
        assert!(message.contains(word), "{arguments:?}: no \"{word}\" in:\n{message}");
    }
}

#[test]
fn wrong_input_is_refused_with_a_way_to_mend_it() {
    refused(&[], &["--length"]);
    refused(&["--length", "0"], &["more than 1 and at most 60 metres"]);
    refused(&["--length", "-6"], &["more than 1 and at most 60 metres"]);
    refused(&["--length", "6200"], &["6200 mm is 6.2"]);
    refused(&["--length", "nan"], &["more than 1 and at most 60 metres"]);
    refused(&["--length", "long"], &["a number of metres is wanted"]);
    refused(&["--length", "6", "--status", "sailing"], &["sailing", "under-sail"]);
    refused(&["--length", "6", "--propulsion", "steam"], &["steam", "power"]);
    refused(&["--length", "6", "--top-speed", "-1"], &["0 to 100 knots"]);
    refused(&["--length", "6", "--rules", "lake"], &["lake", "international"]);
    refused(&["--length", "6", "--svg", "x.svg"], &["--status"]);
    refused(&["--length", "6", "--status", "at-anchor", "--svg", "x.png"], &[".svg"]);
}

#[test]
fn a_lawful_display_gives_0_and_none_gives_1() {
    let found = lampwalk(&["--length", "6", "--status", "under-way"]);
    assert_eq!(found.status.code(), Some(0));
    assert!(said(&found.stdout).contains("Rule 23(d)(i)"));
    let none = lampwalk(&["--length", "9", "--status", "under-sail", "--propulsion", "power"]);
    assert_eq!(none.status.code(), Some(1));
    assert!(said(&none.stdout).contains("She has no sails"));
    let none = lampwalk(&["--length", "9", "--status", "under-sail", "--propulsion", "power", "--also", "sail"]);
    assert_eq!(none.status.code(), Some(0), "with sails she can");
}

#[test]
fn a_status_under_way_by_one_means_implies_that_means() {
    let output = lampwalk(&["--length", "9", "--status", "under-sail"]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    assert!(said(&output.stdout).contains("Rule 25(b)"));
}

#[test]
fn without_a_status_everything_she_can_be_doing_is_listed_once() {
    let output = lampwalk(&["--length", "9"]);
    assert_eq!(output.status.code(), Some(0));
    let text = said(&output.stdout);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    for status in ["under-way", "towing", "at-anchor", "aground"] {
        assert_eq!(text.lines().filter(|line| *line == status).count(), 1, "{status} in {text}");
    }
    for status in ["under-engine", "under-sail", "under-oars"] {
        assert!(!text.lines().any(|line| line == status), "{status} in {text}");
    }
    let whole: Value = serde_json::from_str(&said(&lampwalk(&["--length", "9", "--json"]).stdout)).expect("JSON");
    let keys: Vec<_> = whole["statuses"].as_array().expect("statuses").iter().map(|one| &one["status"]).collect();
    assert_eq!(keys.len(), text.lines().filter(|line| Status::ALL.iter().any(|one| one.key() == *line)).count());
}

#[test]
fn a_drawing_is_written_whole_and_none_where_there_is_nothing_to_draw() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let file = folder.path().join("her.svg").display().to_string();
    let output = lampwalk(&["--length", "15", "--status", "under-sail", "--propulsion", "power", "--svg", &file]);
    assert_eq!(output.status.code(), Some(1));
    assert!(!std::path::Path::new(&file).exists() && said(&output.stderr).contains("not written"));
    let output = lampwalk(&["--length", "15", "--status", "towing", "--svg", &file]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output.stderr));
    words(&std::fs::read_to_string(&file).expect("the drawing"));
}
