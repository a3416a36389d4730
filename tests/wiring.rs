//! The wiring of fits: lengths from places, drops by hand, loops by plane geometry, each finding, slips in scenes, and the
//! schematic on paper.

use std::{fs, process::Command};

use lampwalk::{
    boat::{
        Scene,
        read::{Fault, scene_text},
        wiring::Size,
    },
    measure::{Hours, Volts},
    sheet::wiring::{LAMP_HEADS, drawing, json, lamp_rows, text},
    wiring::{Fed, Plan, conductor::drop, planned},
};

/// A sound wiring; each test spoils it or asks of it.
const WIRING: &str = r#"(
            battery: (at: (forward: 1, above_deck: 0.1), volts: 12, amp_hours: 60),
            main_fuse: 10,
            panel: (forward: 3, above_deck: 0.5),
            circuits: [
                (name: "running", switch: "run", fuse: 3, lamps: ["green", "red"]),
                (name: "white", switch: "white", fuse: 2, lamps: ["white"]),
            ],
            conductors: (insulation: 105, spare: 0.5),
        )"#;

/// A flat boat of 6 m with side lamps and a white light on a folding pole.
fn boat(wiring: &str, switches: &str) -> String {
    format!(
        r#"Scene(
    name: "Test boat",
    vessel: Vessel(length: 6, beam: 2.2, freeboard: 0.6, depth: 0.9, propulsion: Power, top_speed: 15,
        hull: Hull(sheer: 0, deck_camber: 0)),
    parts: [
        Mast(name: "pole", at: (forward: 0.5), height: 2, diameter: 0.03, fold: (now: 0, most: 90)),
        Outboard(name: "engine", at: (forward: 0, above_waterline: 0.62), cowling: (length: 0.5, width: 0.35, height: 0.5),
            leg: 0.9, steering: (now: 0, most: 35), tilt: (now: 0, most: 60)),
    ],
    fits: [
        Fit(name: "fit",
            lamps: [
                Lamp(name: "green", role: StarboardSidelight, at: (forward: 4, starboard: 0.8, above_deck: 0.3),
                    mount: Bracket, optics: "starboard 1 nm", takes: Watts(6)),
                Lamp(name: "red", role: PortSidelight, at: (forward: 4, port: 0.8, above_deck: 0.3),
                    mount: Bracket, optics: "port 1 nm", takes: Amps(0.5)),
                Lamp(name: "white", role: AllRoundWhite, mount: Pole("pole"), optics: "all-round 2 nm", takes: Watts(12)),
            ],
            switches: [{switches}],
            wiring: {wiring},
        ),
    ],
)
"#
    )
}

const SWITCHES: &str = r#"Switch(name: "run", lamps: ["green", "red"]), Switch(name: "white", lamps: ["white"])"#;

fn read(text: &str) -> Scene {
    scene_text(text, "boat.ron", None).unwrap_or_else(|error| panic!("{}", error.report(false))).scene
}

fn plan_of(text: &str) -> Plan {
    let scene = read(text);
    planned(&scene, &scene.fits[0])
}

fn sound() -> Plan {
    plan_of(&boat(WIRING, SWITCHES))
}

/// The plan with one piece of the wiring in another's place.
fn with(old: &str, new: &str) -> Plan {
    assert_eq!(WIRING.matches(old).count(), 1, "{old:?} stands once");
    plan_of(&boat(&WIRING.replace(old, new), SWITCHES))
}

fn fed<'p>(plan: &'p Plan, lamp: &str) -> &'p Fed {
    plan.feeds().find(|fed| fed.name == lamp).expect("the lamp is fed")
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "{found} instead of {expected}");
}

#[test]
fn a_sound_wiring_has_no_findings() {
    let plan = sound();
    assert!(plan.findings.is_empty(), "{:#?}", plan.findings);
    assert!(!plan.assumed_whole);
}

#[test]
fn lengths_run_along_the_boat_across_and_up_with_the_spare_on_top() {
    let plan = sound();
    // Battery to panel: 2 m along, 0.4 m up. Panel to the green light: 1 along, 0.8 across, 0.2 down.
    near(plan.feed.one_way.0, 2.4);
    near(plan.feed.cut().0, 2.9);
    near(plan.feed.out_and_back().0, 5.8);
    near(fed(&plan, "green").cable.one_way.0, 2.0);
    near(fed(&plan, "green").cable.out_and_back().0, 5.0);
    // To the pole's foot 2.5 along and 0.5 down, then up the pole to the lamp's middle (2 m, half a face and its base).
    near(fed(&plan, "white").cable.one_way.0, 2.5 + 0.5 + 2.0 + 0.015 + 0.015);
}

#[test]
fn places_that_a_cable_passes_are_joined_by_straight_lines() {
    let plan = with(
        "conductors:",
        "routes: [(lamp: \"green\", through: [(forward: 3, starboard: 0.8, above_deck: 0.5)], spare: 0.2)],\n conductors:",
    );
    near(fed(&plan, "green").cable.one_way.0, 0.8 + 1f64.hypot(0.2));
    near(fed(&plan, "green").cable.spare.0, 0.2);
    near(fed(&plan, "red").cable.spare.0, 0.5);
}

#[test]
fn volts_at_a_lamp_are_the_battery_s_less_both_drops() {
    let plan = sound();
    let green = fed(&plan, "green");
    // 6 W and 12 W at 12 V, and 0.5 A: two amperes from the battery, half an ampere to the green light. 14 AWG has at
    // least 3702 circular mils, 16 AWG 2336; K I L / CM with L in feet.
    near(plan.feed.amps.0, 2.0);
    assert_eq!((plan.feed.size, green.cable.size), (Size::Awg(14), Size::Awg(16)));
    let feed = 10.75 * 2.0 * (5.8 / 0.3048) / 3702.0;
    let own = 10.75 * 0.5 * (5.0 / 0.3048) / 2336.0;
    near(plan.feed.drop.0, feed);
    near(green.drop.0, feed + own);
    near(green.volts.0, 12.0 - feed - own);
    // A filament rated 12 V is assumed: light by the power 3.4.
    near(green.light.expect("known").share, (green.volts.0 / 12.0).powf(3.4));
}

#[test]
fn the_least_sizes_are_16_awg_and_1_square_millimetre() {
    let plan = sound();
    for fed in plan.feeds() {
        assert_eq!(fed.cable.least_awg, Some(Size::Awg(16)));
        assert_eq!(fed.cable.least_metric, Some(Size::Metric(1.0)));
    }
}

#[test]
fn conductors_grow_until_no_lamp_loses_more_than_three_percent() {
    let plan = with("amp_hours: 60)", "amp_hours: 60), feed: (through: [(forward: 5), (forward: 0), (forward: 5)])");
    assert!(plan.findings.is_empty(), "{:#?}", plan.findings);
    assert!(plan.feed.drop.0 <= 0.36 / 3.0 && plan.feed.size != Size::Awg(16));
    for fed in plan.feeds() {
        assert!(fed.drop.0 <= 0.36 + 1e-9, "{}", fed.name);
    }
    // The next thinner one would lose more than its third.
    let thinner = match plan.feed.size {
        Size::Awg(gauge) => Size::Awg(gauge + 2),
        Size::Metric(_) => panic!("gauges are asked for"),
    };
    let lost = drop(thinner, plan.copper, plan.feed.amps, plan.feed.out_and_back()).expect("a gauge");
    assert!(lost.0 > 0.12);
}

#[test]
fn metric_sizes_are_chosen_where_they_are_asked_for() {
    let plan = with("(insulation: 105", "(sizes: Metric, copper: Plain, insulation: 105");
    assert_eq!(plan.feed.size, Size::Metric(2.5));
    near(plan.feed.drop.0, 7.98 / 0.962 / 1000.0 * 5.8 * 2.0);
}

#[test]
fn the_battery_is_asked_for_no_more_than_one_setting_of_the_switches_lights() {
    let switches = r#"Switch(name: "lights", positions: [
        Position(name: "run", lamps: ["green", "red", "white"]), Position(name: "anchor", lamps: ["white"])])"#;
    let wiring = WIRING.replace("switch: \"run\", ", "").replace("switch: \"white\", ", "");
    let plan = plan_of(&boat(&wiring, switches));
    near(plan.feed.amps.0, 2.0);
    assert_eq!(fed(&plan, "white").positions, ["run", "anchor"]);
    assert_eq!(plan.circuits[0].switch.as_deref(), Some("lights"));
    let other = r#"Switch(name: "lights", positions: [
        Position(name: "run", lamps: ["green", "red"]), Position(name: "anchor", lamps: ["white"])])"#;
    near(plan_of(&boat(&wiring, other)).feed.amps.0, 1.0);
}

#[test]
fn a_loop_at_a_folding_pole_is_long_enough_for_its_fold() {
    let plan = sound();
    let [one] = plan.loops.as_slice() else { panic!("{:?}", plan.loops) };
    // Clips 0.2 m from the joint, toward the panel and up the pole: a right angle apart when it stands, opposite when it
    // lies aft.
    near(one.at_rest.0, 0.2 * 2f64.sqrt());
    near(one.greatest.0, 0.4);
    near(one.between_clips().0, 0.5);
    near(fed(&plan, "white").cable.looped.0, 0.5 - 0.2 * 2f64.sqrt());
}

#[test]
fn a_loop_at_an_outboard_reaches_every_corner_of_its_travel() {
    let text = boat(WIRING, SWITCHES)
        .replace("mount: Pole(\"pole\")", "at: (forward: -0.3, above_waterline: 1.3), mount: Outboard(\"engine\")");
    let plan = plan_of(&text);
    let [one] = plan.loops.as_slice() else { panic!("{:?}", plan.loops) };
    // The clip on the cowling stands 0.2 m from the clamp toward the lamp: 0.3 aft and 0.68 up. Steered by s about the
    // upright and then tilted by t about the beam, it lies at these places; the other clip is 0.2 m ahead.
    let reach = 0.2 / 0.3f64.hypot(0.68);
    let (aft, up) = (0.3 * reach, 0.68 * reach);
    let apart = |steered: f64, tilted: f64| {
        let (x, y) = (-aft * steered.to_radians().cos(), aft * steered.to_radians().sin());
        let (sin, cos) = tilted.to_radians().sin_cos();
        let place = [x * cos + up * sin, y, -x * sin + up * cos];
        ((place[0] - 0.2).powi(2) + place[1].powi(2) + place[2].powi(2)).sqrt()
    };
    let corners = [-35.0, 0.0, 35.0].into_iter().flat_map(|s| [0.0, 60.0].map(|t| apart(s, t)));
    near(one.at_rest.0, apart(0.0, 0.0));
    near(one.greatest.0, corners.fold(0.0, f64::max));
    assert!(one.travel.contains("70 degrees") && one.travel.contains("60 degrees"), "{}", one.travel);
}

#[test]
fn a_night_at_anchor_takes_what_is_lit_then_for_as_long_as_it_lasts() {
    let plan = sound();
    // The white light alone is lit at anchor: 1 A for 14 h, half of 60 Ah.
    assert_eq!(plan.night.lamps, ["white"]);
    near(plan.night.needs.0, 14.0);
    near(plan.night.has.0, 30.0);
    assert_eq!(plan.night.feeds_for(), Some(Hours(30.0)));
    assert!(plan.night.lasts() && plan.night.hours_assumed && plan.night.discharge_assumed);
    let long = with("conductors:", "night: 16, discharge: 0.2, conductors:");
    assert!(!long.night.lasts() && !long.night.hours_assumed);
    finding(&long, "night at anchor", "16 h takes 16 Ah, and 12 Ah", "80 Ah", false);
}

/// The one finding of a kind: its words, and whether it is a fault.
fn finding(plan: &Plan, about: &str, what: &str, mend: &str, fault: bool) {
    let found: Vec<_> = plan.findings.iter().filter(|finding| finding.about == about).collect();
    let told = found.iter().find(|finding| finding.what.contains(what));
    let told = told.unwrap_or_else(|| panic!("no {about:?} with {what:?}: {:#?}", plan.findings));
    assert!(told.mend.contains(mend), "{mend:?} in {:?}", told.mend);
    assert_eq!(told.is_fault(), fault, "{told:?}");
}

#[test]
fn what_has_no_fuse_is_told() {
    finding(&with("main_fuse: 10,", ""), "main fuse", "nothing protects the cable", "within 0.178 m", true);
    finding(&with("fuse: 3, ", ""), "fuse", "\"running\" has no fuse", "2 A", true);
}

#[test]
fn a_fuse_that_its_lamps_blow_is_told() {
    finding(&with("fuse: 2,", "fuse: 0.5,"), "fuse", "0.5 A in \"white\" blows", "take 2 A", true);
    finding(&with("fuse: 2,", "fuse: 1.1,"), "fuse", "1.1 A is little for the 1 A", "take 2 A", false);
    finding(&with("main_fuse: 10", "main_fuse: 2"), "main fuse", "2 A is little", "take", false);
}

#[test]
fn a_fuse_larger_than_its_conductor_may_carry_is_told() {
    let route = |size: &str| format!("routes: [(lamp: \"white\", size: {size})],\n conductors:");
    let wiring = WIRING.replace("fuse: 2,", "fuse: 30,").replace("conductors:", &route("Awg(16)"));
    finding(&plan_of(&boat(&wiring, SWITCHES)), "fuse", "30 A lets more through 16 AWG", "fuse of 25 A or less", true);
    // Where the size is left to be chosen it is chosen for the fuse.
    assert_eq!(fed(&with("fuse: 2,", "fuse: 30,"), "white").cable.size, Size::Awg(14));
    // In an engine space 16 AWG carries 21.25 A.
    let hot = WIRING
        .replace("fuse: 2,", "fuse: 25,")
        .replace("conductors:", "routes: [(lamp: \"white\", size: Awg(16), engine_space: true)],\n conductors:");
    finding(&plan_of(&boat(&hot, SWITCHES)), "fuse", "21.25 A it may carry", "20 A or less", true);
}

#[test]
fn a_conductor_too_small_is_told() {
    let route = |leg: &str| with("conductors:", &format!("routes: [(lamp: \"white\", {leg})],\n conductors:"));
    finding(&route("size: Awg(18)"), "conductor", "18 AWG to \"white\" is thinner", "16 AWG or more", true);
    finding(&route("size: Mm2(0.75)"), "conductor", "0.75 mm²", "1 mm² or more", true);
    let long = "spare: 18, size: Awg(16)";
    finding(&route(long), "drop", "\"white\" loses", "10 AWG", true);
    finding(&route("size: Awg(15)"), "conductor", "15 AWG to \"white\" is in no table", "16 AWG", true);
    let feed = with("amp_hours: 60)", "amp_hours: 60), feed: (size: Awg(16), spare: 20)");
    finding(&feed, "drop", "loses", "before the panel", true);
}

#[test]
fn a_lamp_that_loses_too_much_light_is_told_with_the_volts_that_would_do() {
    // 14 A through 16 AWG: 9.4 V are left, and 44 percent of the 7.74 cd that the generic lamp has for the 4.3 due.
    let weak = boat(WIRING, SWITCHES).replace("takes: Watts(12)", "takes: Amps(14)").replace("fuse: 2,", "fuse: 20,");
    let plan = plan_of(&weak.replace("conductors:", "routes: [(lamp: \"white\", size: Awg(16))],\n conductors:"));
    finding(&plan, "light", "\"white\" keeps", "to it", true);
}

#[test]
fn a_cable_without_length_is_told() {
    let plan = with("panel: (forward: 3, above_deck: 0.5)", "panel: (forward: 1, above_deck: 0.1)");
    finding(&plan, "length", "the cable to the panel has no length", "through", true);
    let plan = with("panel: (forward: 3, above_deck: 0.5)", "panel: (forward: 4, starboard: 0.8, above_deck: 0.3)");
    finding(&plan, "length", "\"green\" has no length", "same by mistake", true);
}

#[test]
fn a_lamp_on_two_switches_or_circuits_or_none_is_told() {
    let two = format!("{SWITCHES}, Switch(name: \"spare\", lamps: [\"white\"])");
    finding(&plan_of(&boat(WIRING, &two)), "two switches", "\"white\" and \"spare\"", "one switch", true);
    let lone = SWITCHES.replace(", Switch(name: \"white\", lamps: [\"white\"])", "");
    let wiring = WIRING.replace("switch: \"white\", ", "");
    finding(&plan_of(&boat(&wiring, &lone)), "switch", "no switch lights \"white\"", "lamps", true);
    finding(&with("[\"white\"]", "[\"red\"]"), "no circuit", "\"white\" is on no circuit", "circuit", true);
    finding(
        &with("[\"white\"]", "[\"white\", \"red\"]"),
        "two circuits",
        "\"running\" and \"white\"",
        "one of them",
        true,
    );
    finding(
        &with("[\"white\"]", "[\"white\", \"red\"]"),
        "switch",
        "\"red\" behind the switch \"white\"",
        "move it",
        true,
    );
    let both =
        WIRING.replace("switch: \"run\", ", "").replace("[\"green\", \"red\"]", "[\"green\", \"red\", \"white\"]");
    finding(&plan_of(&boat(&both, SWITCHES)), "switch", "not all on one switch", "circuit of its own", true);
}

#[test]
fn a_voltage_that_does_not_match_a_lamp_is_told() {
    let lamp = |supply: &str| {
        let optics = "optics: \"all-round 2 nm\"";
        boat(WIRING, SWITCHES).replace(optics, &format!("{optics}, supply: (at: {supply})"))
    };
    let text = lamp("24, light: Filament(rated: 24)");
    finding(&plan_of(&text), "voltage", "told from 16.8 V to 28.8 V, and the battery has 12 V", "battery", true);
    let text = lamp("12, light: Constant(from: 11.999, to: 32)");
    finding(&plan_of(&text), "voltage", "less than the 11.999 V", "or more", true);
    let text = lamp("12, light: Filament(rated: 12)");
    finding(&plan_of(&text), "supply", "says that \"white\" gets 12 V", "supply: (at: 11.", false);
    let held = lamp("12, light: Constant(from: 9, to: 32)");
    near(fed(&plan_of(&held), "white").light.expect("known").share, 1.0);
}

#[test]
fn the_survey_s_volts_do_not_count_twice() {
    let lamp = |at: &str| {
        let optics = "optics: \"all-round 2 nm\"";
        plan_of(
            &boat(WIRING, SWITCHES)
                .replace(optics, &format!("{optics}, supply: (at: {at}, light: Filament(rated: 12))")),
        )
    };
    let [full, low] = ["12", "11"].map(|at| fed(&lamp(at), "white").light.expect("known"));
    near(full.keeps.0, low.keeps.0);
}

#[test]
fn a_metal_hull_is_cautioned() {
    let plan = with("conductors:", "metal_hull: true, conductors:");
    assert!(text(&plan).contains("bare positive") && drawing(&plan).contains("bare positive"));
    assert!(!text(&sound()).contains("Metal hull"));
}

#[test]
fn where_nothing_is_said_a_plain_wiring_is_assumed_and_said_to_be() {
    let bare = boat(WIRING, SWITCHES).replace(&format!("wiring: {WIRING},"), "");
    let plan = plan_of(&bare.replace(", takes: Watts(6)", ""));
    assert!(plan.assumed_whole && plan.feeds().count() == 3 && !plan.is_faulty(), "{:#?}", plan.findings);
    let told = text(&plan).split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "says nothing of the wiring",
        "12 V and 80 Ah",
        "10 W each is assumed",
        "(proposed)",
        "filaments of 12 V",
        "60 degrees",
    ] {
        assert!(told.contains(words), "no {words:?} in {told}");
    }
    assert!(plan.feeds().all(|fed| fed.takes.assumed == (fed.name == "green")));
}

#[test]
fn terminals_are_counted() {
    let plan = sound();
    let count = |kind: &str| plan.terminals.iter().filter(|one| one.kind == kind).map(|one| one.count).sum::<usize>();
    // Two at the battery, the main fuse and the panel's bars; two at the panel and two joints for each of three lamps.
    assert_eq!((count("ring terminal"), count("sealed crimped joint")), (12, 6));
}

#[test]
fn text_keeps_to_eighty_columns_and_says_all_there_is() {
    let told = text(&sound());
    assert!(told.lines().all(|line| line.chars().count() <= 80), "{told}");
    for words in
        ["Can be wired so.", "16 AWG", "1 mm²", "percent", "main fuse", "Loops at joints", "Colours", "Terminals", "nm"]
    {
        assert!(told.contains(words), "no {words:?} in:\n{told}");
    }
    let rows = lamp_rows(&sound());
    assert_eq!((rows.len(), LAMP_HEADS.len()), (3, rows[0].len()));
}

#[test]
fn json_is_one_object_that_begins_with_its_schema() {
    let text = json(&[sound()]);
    assert!(text.starts_with("{\n  \"schema\": 1,"));
    let whole: serde_json::Value = serde_json::from_str(&text).expect("sound JSON");
    let plan = &whole["plans"][0];
    assert_eq!(plan["feed"]["out_and_back_m"], 5.8);
    assert_eq!(plan["circuits"][0]["lamps"][0]["lamp"], "green");
    assert_eq!(plan["circuits"][0]["fuse"]["amps"], 3.0);
    assert!(plan["findings"].as_array().is_some_and(Vec::is_empty));
}

/// The words of a drawing with the box that each fills: left, right, top, bottom.
fn boxes(svg: &str) -> Vec<(f64, f64, f64, f64, String)> {
    let value = |element: &str, name: &str| {
        let start = element.find(&format!(" {name}=\"")).map(|at| at + name.len() + 3);
        start.map(|start| element[start..].split('"').next().unwrap_or_default().to_owned())
    };
    svg.split("<text")
        .skip(1)
        .map(|element| {
            let (head, rest) = element.split_once('>').expect("an element");
            let words = rest.split_once("</text>").expect("its end").0.trim().to_owned();
            let number = |name: &str| value(head, name).expect(name).parse::<f64>().expect("a number");
            let (x, y, size) = (number("x"), number("y"), number("font-size"));
            // Narrower than most faces run, so that only true overlaps count.
            let width = 0.42 * size * words.chars().count() as f64;
            let left = match value(head, "text-anchor").as_deref() {
                Some("middle") => x - width / 2.0,
                Some("end") => x - width,
                _ => x,
            };
            (left, left + width, y - 0.7 * size, y, words)
        })
        .collect()
}

#[test]
fn no_words_stand_on_others_and_none_off_the_paper() {
    let long = "a lamp whose name is so long that it has to be broken over two lines of the drawing at the very least";
    let renamed = boat(
        &WIRING.replace("\"white\"]", &format!("\"{long}\"]")),
        &SWITCHES.replace("[\"white\"]", &format!("[\"{long}\"]")),
    )
    .replace("name: \"white\", role", &format!("name: \"{long}\", role"));
    let scenes = ["sandpiper", "marigold", "harrier", "curlew", "petrel"].map(|name| {
        let path = format!("{}/scenes/{name}.ron", env!("CARGO_MANIFEST_DIR"));
        lampwalk::boat::read::scene_file(path.as_ref()).expect("a sound scene").scene
    });
    for scene in scenes.iter().chain([&read(&renamed), &read(&boat(&WIRING.replace("fuse: 3, ", ""), SWITCHES))]) {
        for fit in &scene.fits {
            let svg = drawing(&planned(scene, fit));
            assert!(svg.trim_end().ends_with("</svg>") && !svg.contains("NaN") && !svg.contains("inf\""));
            let boxes = boxes(&svg);
            assert!(boxes.len() > 15);
            for (n, one) in boxes.iter().enumerate() {
                assert!(one.0 > 5.0 && one.1 < 292.0, "{} runs off the paper", one.4);
                for other in &boxes[n + 1..] {
                    let apart = one.1 <= other.0 || other.1 <= one.0 || one.3 <= other.2 || other.3 <= one.2;
                    assert!(apart, "{:?} on {:?} in {}, {}", one.4, other.4, scene.name, fit.name);
                }
            }
        }
    }
}

/// How many contacts are drawn: short strokes that rise to the right.
fn contacts(svg: &str) -> usize {
    let number = |element: &str, name: &str| {
        let (_, rest) = element.split_once(&format!(" {name}=\"")).expect(name);
        rest.split('"').next().expect("a value").parse::<f64>().expect("a number")
    };
    let is_contact = |element: &&str| {
        let [x1, y1, x2, y2] = ["x1", "y1", "x2", "y2"].map(|name| number(element, name));
        (x2 - x1 - 7.2).abs() < 0.02 && (y2 - y1 + 2.8).abs() < 0.02
    };
    svg.split("<line").skip(1).filter(is_contact).count()
}

#[test]
fn a_switch_of_several_positions_has_a_contact_for_each_lamp_and_a_plain_one_for_its_circuit() {
    assert_eq!(contacts(&drawing(&sound())), 2);
    let path = format!("{}/scenes/curlew.ron", env!("CARGO_MANIFEST_DIR"));
    let curlew = lampwalk::boat::read::scene_file(path.as_ref()).expect("a sound scene").scene;
    let plan = planned(&curlew, curlew.fit("proposed").expect("the fit"));
    assert_eq!(contacts(&drawing(&plan)), plan.feeds().count());
    assert!(drawing(&plan).contains("masthead light (in engine)"));
}

#[test]
fn the_demonstration_boats_can_be_wired_as_they_tell() {
    for name in ["sandpiper", "marigold", "harrier"] {
        let path = format!("{}/scenes/{name}.ron", env!("CARGO_MANIFEST_DIR"));
        let scene = lampwalk::boat::read::scene_file(path.as_ref()).expect("a sound scene").scene;
        let plan = planned(&scene, scene.fit("proposed").expect("the fit"));
        assert!(!plan.assumed_whole && !plan.is_faulty(), "{name}: {:#?}", plan.findings);
        assert!(plan.feeds().all(|fed| fed.volts > Volts(plan.battery.volts.0 * 0.97 - 1e-9)), "{name}");
    }
}

/// The one fault of a scene whose wiring has this in place of that: where, and its words.
fn spoilt(old: &str, new: &str, spot: &str, what: &str, mend: &str) {
    assert_eq!(WIRING.matches(old).count(), 1, "{old:?} stands once");
    fault_in(&boat(&WIRING.replace(old, new), SWITCHES), &format!("{new}¦{spot}"), what, mend);
}

fn fault_in(text: &str, place: &str, what: &str, mend: &str) {
    let (piece, spot) = place.split_once('¦').expect("a piece and a spot in it");
    let at = text.find(piece).expect("the piece") + piece.find(spot).expect("the spot");
    let (line, column) = (text[..at].matches('\n').count() + 1, at - text[..at].rfind('\n').unwrap());
    let error = scene_text(text, "boat.ron", None).expect_err("the scene has a fault");
    let faults: &[Fault] = error.faults();
    assert_eq!(faults.len(), 1, "{place}: {faults:#?}");
    assert_eq!((faults[0].line, faults[0].column), (line, column), "{place}: {:?}", faults[0]);
    assert!(faults[0].what.contains(what), "{what:?} in {:?}", faults[0].what);
    assert!(faults[0].mend.contains(mend), "{mend:?} in {:?}", faults[0].mend);
}

#[test]
fn slips_in_a_wiring_are_told_at_their_place() {
    spoilt("[\"white\"]", "[\"wite\"]", "\"wite\"", "no lamp named \"wite\"", "did you mean \"white\"?");
    spoilt("switch: \"white\"", "switch: \"whit\"", "\"whit\"", "no switch named \"whit\"", "\"white\"");
    spoilt("volts: 12", "volts: 0", "0", "a voltage of 0 V", "more than 0");
    let lacking = boat(&WIRING.replace("volts: 12, ", ""), SWITCHES);
    fault_in(&lacking, "(at: (forward: 1, above_deck: 0.1), amp¦(at", "lacks its field `volts`", "volts: ...");
    spoilt("main_fuse: 10", "main_fuse: -3", "-3", "a rating of a fuse of -3 A", "more than 0");
    spoilt("insulation: 105", "insulation: \"105\"", "\"105\"", "expected a number", "without quotes");
    spoilt("insulation: 105", "isolation: 105", "isolation", "no field `isolation`", "`insulation`?");
    let twice = boat(&WIRING.replace("(name: \"white\"", "(name: \"running\""), SWITCHES);
    fault_in(&twice, "\"running\", switch: \"white\"¦\"running\"", "already a circuit named", "name of its own");
    spoilt("[\"white\"]", "[]", "[]", "nothing is fed here", "name the lamps");
    spoilt(
        "conductors:",
        "routes: [(lamp: \"white\", size: Awg(\"5/0\"))], conductors:",
        "\"5/0\"",
        "no wire gauge",
        "Awg(14)",
    );
    spoilt(
        "conductors:",
        "routes: [(lamp: \"white\", size: 14)], conductors:",
        "14)",
        "expected a size",
        "`Awg`, `Mm2`",
    );
    spoilt(
        "conductors:",
        "routes: [(lamp: \"red\"), (lamp: \"red\")], conductors:",
        "\"red\")], ",
        "already a route",
        "one of the two",
    );
    spoilt("panel: (forward: 3", "panel: (forward: 30", "30", "far off a boat", "from -5 to 11");
    spoilt("conductors: (", "conductors: (sizes: Inches, ", "Inches", "no series of sizes `Inches`", "`Awg`, `Metric`");
    let text = boat(WIRING, SWITCHES);
    let lamp = |takes: &str| text.replace("takes: Watts(12)", &format!("takes: {takes}"));
    fault_in(&lamp("Wats(12)"), "takes: Wats(12)¦Wats", "what the lamp takes", "did you mean `Watts`?");
    fault_in(&lamp("12"), "takes: 12¦12", "what the lamp takes", "`Watts`, `Amps`");
    fault_in(&lamp("Watts(0)"), "takes: Watts(0)¦0", "a power of a lamp of 0 W", "more than 0");
}

fn lampwalk(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_lampwalk"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts");
    let words = |bytes: Vec<u8>| String::from_utf8(bytes).expect("words");
    (output.status.code(), words(output.stdout), words(output.stderr))
}

#[test]
fn the_command_tells_draws_and_gives_its_exit_status() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    fs::write(path("fine.ron"), boat(WIRING, SWITCHES)).unwrap();
    fs::write(path("faulty.ron"), boat(&WIRING.replace("fuse: 3, ", ""), SWITCHES)).unwrap();
    fs::write(path("slip.ron"), boat(&WIRING.replace("volts: 12", "volts: -12"), SWITCHES)).unwrap();
    let (code, told, said) = lampwalk(&["wiring", &path("fine.ron"), "--svg", &path("plan.svg")]);
    assert_eq!(code, Some(0), "{told}{said}");
    assert!(told.contains("Can be wired so.") && said.contains("wrote") && fs::metadata(path("plan.svg")).is_ok());
    let (code, told, _) = lampwalk(&["wiring", &path("faulty.ron")]);
    assert!(code == Some(1) && told.contains("has no fuse"), "{told}");
    let (code, told, _) = lampwalk(&["wiring", &path("fine.ron"), "--fit", "fit", "--json"]);
    assert!(code == Some(0) && told.starts_with("{\n  \"schema\": 1"));
    for (arguments, words) in [
        (vec!["wiring", &path("slip.ron")], "a voltage of -12"),
        (vec!["wiring", &path("gone.ron")], "no such file"),
        (vec!["wiring", &path("fine.ron"), "--fit", "other"], "no fit named"),
        (vec!["wiring", &path("fine.ron"), "--svg", "plan.pdf"], ".svg"),
        (vec!["wiring"], "SCENE"),
    ] {
        let (code, told, said) = lampwalk(&arguments);
        assert_eq!((code, told.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(said.contains(words), "{words:?} in {said}");
    }
}
