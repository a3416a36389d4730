//! What settings of the switches announce, against the International Regulations for Preventing Collisions at Sea, 1972.
//!
//! Each expectation stands beside its rule. The copies in which the rules were read are named in
//! `assets/rules/international.ron`.

mod support;

use std::collections::BTreeSet;

use lampwalk::{
    boat::{Lamp, Position, Propulsion, Role, Scene, Status, Switch},
    measure::Knots,
    rules::{Finding, Kind, SettingReading, Severity, Switching, Whose, international, judge, switching},
    sheet::{self, Surveyed},
    survey::{Settings, Survey},
};
use support::{boat_of, lamp, place};

/// A lamp lit in some statuses; its optics do not matter to the switches.
fn fitted(name: &str, role: Role, height: f64, lit: &[Status]) -> Lamp {
    let optics = match role {
        Role::StarboardSidelight => "starboard 1 nm",
        Role::PortSidelight => "port 1 nm",
        Role::Masthead => "masthead 3 nm",
        Role::Sternlight => "stern 2 nm",
        _ => "all-round 2 nm",
    };
    Lamp { lit: lit.into(), ..lamp(name, role, optics, place(2.0, 0.0, height)) }
}

fn position(scene: &Scene, name: &str, lamps: &[&str]) -> Position {
    let index = |wanted: &&str| scene.fits[0].lamps.iter().position(|lamp| lamp.name == *wanted).expect("such a lamp");
    let mut lamps: Vec<usize> = lamps.iter().map(index).collect();
    lamps.sort_unstable();
    Position { name: name.into(), lamps }
}

/// Gives the boat a switch with positions that light these lamps.
fn add_switch(scene: &mut Scene, name: &str, positions: &[(&str, &[&str])]) {
    let positions = positions.iter().map(|(name, lamps)| position(scene, name, lamps)).collect();
    scene.fits[0].switches.push(Switch { name: name.into(), positions });
}

/// A sailing yacht of 13 m with an engine: too long for an all-round white light under way (Rule 23(d)(i): under 12 m),
/// short enough for the one lantern (Rule 25(b): under 20 m). One switch with a position for each status.
fn yacht() -> Scene {
    let mut scene = boat_of(13.0);
    scene.vessel.propulsion = Propulsion::Sail;
    scene.vessel.also = vec![Propulsion::Power];
    scene.vessel.statuses = vec![Status::UnderWay, Status::UnderEngine, Status::AtAnchor];
    let engine = &[Status::UnderEngine];
    scene.fits[0].lamps = vec![
        fitted("starboard", Role::StarboardSidelight, 1.5, engine),
        fitted("port", Role::PortSidelight, 1.5, engine),
        fitted("steaming", Role::Masthead, 9.0, engine),
        fitted("stern", Role::Sternlight, 1.2, engine),
        fitted("lantern", Role::ThreeColourLantern, 15.2, &[Status::UnderWay]),
        fitted("anchor", Role::AllRoundWhite, 15.0, &[Status::AtAnchor]),
        fitted("red", Role::AllRoundRed, 14.5, &[]),
        fitted("green", Role::AllRoundGreen, 13.0, &[]),
    ];
    add_switch(
        &mut scene,
        "lights",
        &[
            ("sail", &["lantern"]),                                         // Rule 25(b)
            ("sail low", &["starboard", "port", "stern"]),                  // Rule 25(a)
            ("sail high", &["red", "green", "starboard", "port", "stern"]), // Rule 25(c)
            ("engine", &["steaming", "starboard", "port", "stern"]),        // Rule 23(a)
            ("anchor", &["anchor"]),                                        // Rule 30(b)
        ],
    );
    scene
}

/// An open motorboat of 8 m: all-round white and sidelights under way (Rule 23(d)(i)), the white alone at anchor
/// (Rule 30(b)). Long enough to owe an anchor light anywhere (Rule 30(e): under 7 m).
fn motorboat() -> Scene {
    let mut scene = boat_of(8.0);
    scene.fits[0].lamps = vec![
        fitted("starboard", Role::StarboardSidelight, 1.2, &[Status::UnderWay]),
        fitted("port", Role::PortSidelight, 1.2, &[Status::UnderWay]),
        fitted("white", Role::AllRoundWhite, 3.0, &[Status::UnderWay, Status::AtAnchor]),
    ];
    add_switch(&mut scene, "lights", &[("running", &["starboard", "port", "white"]), ("anchor", &["white"])]);
    scene
}

fn read(scene: &Scene) -> Switching<'static> {
    switching(scene, &scene.fits[0], international()).expect("a switch plan")
}

/// Each needed status with the setting that gives it and the clause of the display.
fn needed(switching: &Switching) -> Vec<(Status, Option<(String, String)>)> {
    let setting = |index: usize| switching.settings[index].words.clone();
    let each = switching.needed.iter();
    each.map(|one| (one.status, one.setting().map(|(index, display)| (setting(index), display.clause.clone()))))
        .collect()
}

fn given(status: Status, setting: &str, clause: &str) -> (Status, Option<(String, String)>) {
    (status, Some((setting.into(), clause.into())))
}

/// The one reading that lights these lamps.
fn reading<'a>(scene: &Scene, switching: &'a Switching<'static>, lamps: &[&str]) -> &'a SettingReading<'static> {
    let wanted = position(scene, "", lamps).lamps;
    switching.settings.iter().find(|one| one.setting.lamps == wanted).expect("such a setting")
}

/// The statuses and clauses that a setting announces, of one standing.
fn announced(reading: &SettingReading, standing: Whose) -> BTreeSet<(Status, String)> {
    let of_it = reading.announced.iter().filter(|one| one.standing == standing);
    of_it.map(|one| (one.display.status, one.display.clause.clone())).collect()
}

fn set(of: &[(Status, &str)]) -> BTreeSet<(Status, String)> {
    of.iter().map(|(status, clause)| (*status, (*clause).into())).collect()
}

/// The one finding of a plan.
fn only(switching: &Switching) -> Finding {
    let [one] = switching.findings.as_slice() else { panic!("{:#?}", switching.findings) };
    assert_eq!(one.kind, Kind::Switching);
    one.clone()
}

/// Rules 25(a) to (c), 23(a) and 30(b): each position of the yacht's switch is a display of hers.
#[test]
fn a_switch_with_a_position_for_each_status_has_no_finding() {
    let scene = yacht();
    let switching = read(&scene);
    assert!(switching.findings.is_empty(), "{:#?}", switching.findings);
    assert_eq!(
        needed(&switching),
        [
            given(Status::UnderWay, "lights sail", "Rule 25(b)"),
            given(Status::UnderEngine, "lights engine", "Rule 23(a)"),
            given(Status::AtAnchor, "lights anchor", "Rule 30(b)"),
        ]
    );
    // Under sail she may show any of three displays: Rule 25(a), (b), (c).
    assert_eq!(switching.needed[0].given.iter().map(|(index, _)| *index).collect::<Vec<_>>(), [1, 2, 3]);
    let scene = motorboat();
    let switching = read(&scene);
    assert!(switching.findings.is_empty(), "{:#?}", switching.findings);
    assert_eq!(
        needed(&switching),
        [
            given(Status::UnderWay, "lights running", "Rule 23(d)(i)"),
            given(Status::AtAnchor, "lights anchor", "Rule 30(b)"),
        ]
    );
}

#[test]
fn all_off_announces_nothing_and_is_no_mistake() {
    let scene = yacht();
    let switching = read(&scene);
    let off = &switching.settings[0];
    assert!(off.dark() && off.announced.is_empty() && off.amiss.is_none());
}

/// What each near miss of the yacht's offends, and words that its finding must hold.
#[test]
fn each_mistake_of_the_yacht_gives_its_one_finding() {
    for (lamps, clause, words) in [
        // 25(b) is for a vessel under sail; under engine she shows the lights of 23(a).
        (&["lantern", "steaming"][..], "Rule 20(b), Rule 23(a), Rule 25(b)", "neither sail nor power"),
        (&["lantern", "starboard", "port", "steaming", "stern"], "Rule 20(b), Rule 23(a), Rule 25(b)", "neither sail"),
        // 25(c): the lights of this paragraph are not shown with the lantern of 25(b).
        (&["lantern", "red", "green"], "Rule 20(b), Rule 25(c)", "never with the one lantern"),
        // 25(b): one lantern combines what 25(a) asks for.
        (&["lantern", "stern"], "Rule 20(b), Rule 25(b)", "shows twice"),
        (&["lantern", "anchor"], "Rule 20(b), Rule 25(b), Rule 30(b)", "at anchor"),
        // 23(d)(i): the all-round white light is in lieu of masthead light and sternlight.
        (&["starboard", "port", "stern", "anchor"], "Rule 20(b), Rule 23(d)(i)", "two whites show astern"),
        (&["steaming", "starboard", "port", "stern", "anchor"], "Rule 20(b), Rule 23(d)(i)", "two whites show astern"),
        (&["steaming", "anchor"], "Rule 20(b), Rule 23(a)", "two whites show ahead"),
        // 30(b): at anchor one all-round white light; 23(d)(i) is for vessels under 12 m.
        (&["starboard", "port", "anchor"], "Rule 20(b), Rule 23(d)(i), Rule 30(b)", "anchor light with sidelights"),
        (&["stern", "anchor"], "Rule 20(b), Rule 30(b)", "sternlight with the anchor light"),
        // 24(f)(i): sidelights alone are those of a vessel pushed ahead.
        (&["starboard", "port"], "Rule 20(b), Rule 24(f)(i)", "dark astern"),
        (&["port", "steaming", "stern"], "Rule 20(b), Rule 21(b)", "one sidelight"),
        (&["steaming", "starboard", "port"], "Rule 20(b), Rule 21(c), Rule 23(a)", "nothing shows astern"),
        (&["steaming"], "Rule 20(b), Rule 23(a)", "which way she heads"),
        (&["stern"], "Rule 20(b), Rule 21(c)", "sternlight alone"),
    ] {
        let mut scene = yacht();
        let wrong = position(&scene, "wrong", lamps);
        scene.fits[0].switches[0].positions.push(wrong);
        let finding = only(&read(&scene));
        assert_eq!((finding.severity, finding.clause.as_str()), (Severity::Caution, clause), "{lamps:?}");
        assert!(finding.what.starts_with("With lights wrong: ") && finding.what.contains(words), "{}", finding.what);
    }
}

/// The same for the motorboat, given the lamps of longer vessels besides.
#[test]
fn each_mistake_of_the_motorboat_gives_its_one_finding() {
    for (lamps, clause, words) in [
        // 23(d)(i), and 30(b) at anchor.
        (&["starboard", "port", "white", "stern"][..], "Rule 20(b), Rule 23(d)(i)", "two whites show astern"),
        (&["white", "stern"], "Rule 20(b), Rule 30(b)", "two whites astern and one ahead"),
        (&["starboard", "port"], "Rule 20(b), Rule 24(f)(i)", "dark astern"),
        // 25(a): sidelights and sternlight are the lights of a vessel under sail.
        (&["starboard", "port", "stern"], "Rule 20(b), Rule 23(a), Rule 25(a)", "by sail"),
    ] {
        let mut scene = motorboat();
        scene.fits[0].lamps.push(fitted("stern", Role::Sternlight, 1.0, &[]));
        let wrong = position(&scene, "wrong", lamps);
        scene.fits[0].switches[0].positions.push(wrong);
        if !lamps.contains(&"stern") {
            scene.fits[0].lamps.pop();
        }
        let finding = only(&read(&scene));
        assert_eq!((finding.severity, finding.clause.as_str()), (Severity::Caution, clause), "{lamps:?}");
        assert!(finding.what.contains(words), "{}", finding.what);
    }
}

/// Two switches that can be on together make settings of their own: Rules 23(a) and 25(b).
#[test]
fn two_switches_on_together_make_a_false_setting() {
    let mut scene = yacht();
    scene.fits[0].switches.clear();
    scene.fits[0].lamps.retain(|lamp| !["red", "green", "anchor"].contains(&lamp.name.as_str()));
    scene.vessel.statuses.pop();
    add_switch(&mut scene, "sail", &[("on", &["lantern"])]);
    add_switch(&mut scene, "engine", &[("on", &["steaming", "starboard", "port", "stern"])]);
    let switching = read(&scene);
    let finding = only(&switching);
    assert!(finding.what.starts_with("With sail on and engine on: "), "{}", finding.what);
    assert!(finding.how_bad.contains("lantern, ") || finding.how_bad.contains("and lantern"), "{}", finding.how_bad);
    assert_eq!(switching.settings[3].words, "sail on, engine on");
}

/// Rule 30(b) asks a vessel of 8 m for an all-round white light at anchor; Rule 30(e) excuses those under 7 m away
/// from where others pass.
#[test]
fn a_plan_without_an_anchor_setting_is_a_fault_that_names_it() {
    for (length, severity) in [(8.0, Severity::Fault), (7.0, Severity::Fault), (6.9, Severity::Caution)] {
        let mut scene = motorboat();
        scene.vessel.length.0 = length;
        scene.fits[0].switches[0].positions.pop();
        let switching = read(&scene);
        let finding = only(&switching);
        assert_eq!((finding.severity, finding.clause.as_str()), (severity, "Rule 20(b), Rule 30(b)"));
        assert!(finding.what.contains("a vessel at anchor"), "{}", finding.what);
        assert!(finding.how_bad.contains("too many: starboard and port"), "{}", finding.how_bad);
        assert!(finding.mend.contains("lights white and nothing else"), "{}", finding.mend);
        assert_eq!(finding.how_bad.contains("Rule 30(e)"), length < 7.0);
        assert!(switching.needed[1].setting().is_none());
    }
}

/// Rule 30(b) again, of a yacht that carries no all-round light at all: one must be fitted.
#[test]
fn a_lamp_that_is_not_there_is_to_be_fitted() {
    let mut scene = yacht();
    scene.fits[0].switches[0].positions.pop();
    scene.fits[0].lamps.remove(5);
    scene.fits[0].switches[0].positions[2] =
        position(&scene, "sail high", &["red", "green", "starboard", "port", "stern"]);
    let finding = only(&read(&scene));
    assert_eq!(finding.severity, Severity::Fault);
    assert!(finding.mend.starts_with("Fit what is not there (all-round white light)"), "{}", finding.mend);
}

/// One all-round white light is, of a vessel of 6 m and 7 knots, the anchor light of Rule 30(b), the lights under way of
/// Rule 23(d)(ii), and those aground of Rule 30(f).
#[test]
fn one_all_round_white_is_at_anchor_or_slow_under_way() {
    let mut scene = motorboat();
    scene.vessel.length.0 = 6.0;
    scene.vessel.top_speed = Knots(7.0);
    let switching = read(&scene);
    let white = reading(&scene, &switching, &["white"]);
    assert_eq!(
        announced(white, Whose::Hers),
        set(&[(Status::UnderEngine, "Rule 23(d)(ii)"), (Status::AtAnchor, "Rule 30(b)")])
    );
    assert_eq!(announced(white, Whose::Otherwise), set(&[(Status::Aground, "Rule 30(f)")]));
    // Faster than 7 knots it is a display of other vessels.
    scene.vessel.top_speed = Knots(7.1);
    let switching = read(&scene);
    let white = reading(&scene, &switching, &["white"]);
    assert_eq!(announced(white, Whose::Others), set(&[(Status::UnderEngine, "Rule 23(d)(ii)")]));
    assert!(switching.findings.is_empty());
}

/// Sidelights and sternlight: under sail (Rule 25(a)), towed (24(e), (f)(ii)), or under oars (25(d)(ii)).
#[test]
fn sidelights_and_sternlight_are_sail_tow_or_oars() {
    let scene = yacht();
    let switching = read(&scene);
    let low = reading(&scene, &switching, &["starboard", "port", "stern"]);
    assert_eq!(announced(low, Whose::Hers), set(&[(Status::UnderSail, "Rule 25(a)")]));
    assert_eq!(
        announced(low, Whose::Otherwise),
        set(&[(Status::TowedAstern, "Rule 24(e)"), (Status::TowedAlongside, "Rule 24(f)(ii)")])
    );
    assert_eq!(announced(low, Whose::Others), set(&[(Status::UnderOars, "Rule 25(d)(ii)")]));
    assert!(low.lawful() && low.amiss.is_none());
}

/// A motorboat that is towed by trade may show sidelights and sternlight (Rule 24(e)).
#[test]
fn a_status_that_she_names_makes_its_display_hers() {
    let mut scene = motorboat();
    scene.vessel.statuses.push(Status::TowedAstern);
    scene.fits[0].lamps.push(fitted("stern", Role::Sternlight, 1.0, &[Status::TowedAstern]));
    (0..2).for_each(|side| scene.fits[0].lamps[side].lit.push(Status::TowedAstern));
    let towed = position(&scene, "towed", &["starboard", "port", "stern"]);
    scene.fits[0].switches[0].positions.push(towed);
    let switching = read(&scene);
    assert!(switching.findings.is_empty(), "{:#?}", switching.findings);
    assert_eq!(needed(&switching)[2], given(Status::TowedAstern, "lights towed", "Rule 24(e)"));
}

/// Rule 25(b) holds under 20 m: the one lantern of a longer vessel is taken for a shorter one's.
#[test]
fn a_display_of_shorter_vessels_only_is_false_for_a_longer_one() {
    for (length, count) in [(19.9, 0), (20.0, 1)] {
        let mut scene = yacht();
        scene.vessel.length.0 = length;
        (0..4).for_each(|lamp| scene.fits[0].lamps[lamp].lit.push(Status::UnderWay));
        scene.fits[0].lamps[2].lit = vec![Status::UnderEngine];
        scene.fits[0].lamps[4].lit.clear();
        let switching = read(&scene);
        assert_eq!(switching.findings.len(), count, "{:#?}", switching.findings);
        for finding in &switching.findings {
            assert_eq!(finding.clause, "Rule 20(b), Rule 25(b)");
            assert!(finding.what.contains("of a length under 20 m"), "{}", finding.what);
        }
    }
}

/// Rule 26(c): red over white is fishing; Rule 29(a): white over red is a pilot vessel.
#[test]
fn the_order_of_a_vertical_line_tells_fishing_from_pilotage() {
    for (red, white, status) in [(5.0, 4.0, Status::FishingStopped), (4.0, 5.0, Status::Pilot)] {
        let mut scene = motorboat();
        scene.vessel.statuses = vec![status];
        scene.fits[0].lamps = vec![
            fitted("starboard", Role::StarboardSidelight, 1.2, &[Status::Pilot]),
            fitted("port", Role::PortSidelight, 1.2, &[Status::Pilot]),
            fitted("stern", Role::Sternlight, 1.2, &[Status::Pilot]),
            fitted("red", Role::AllRoundRed, red, &[status]),
            fitted("white", Role::AllRoundWhite, white, &[status]),
        ];
        scene.fits[0].switches.clear();
        add_switch(
            &mut scene,
            "work",
            &[("stopped", &["red", "white"]), ("making way", &["red", "white", "starboard", "port", "stern"])],
        );
        let switching = read(&scene);
        let fishing = red > white;
        let stopped = reading(&scene, &switching, &["red", "white"]);
        assert_eq!(
            stopped.announced.iter().any(|one| one.display.status == Status::FishingStopped),
            fishing,
            "red at {red} m, white at {white} m"
        );
        let under_way = reading(&scene, &switching, &["red", "white", "starboard", "port", "stern"]);
        let statuses: Vec<Status> = under_way.announced.iter().map(|one| one.display.status).collect();
        assert_eq!(statuses, [if fishing { Status::Fishing } else { Status::Pilot }]);
        assert!(switching.needed[0].setting().is_some());
    }
}

/// Rule 25(d)(ii): a vessel under oars may keep a torch ready to hand instead.
#[test]
fn a_rowing_boat_may_do_with_all_off_and_a_torch() {
    let mut scene = motorboat();
    scene.vessel.propulsion = Propulsion::Oars;
    scene.fits[0].lamps.drain(..2);
    scene.fits[0].lamps[0].lit = vec![Status::AtAnchor];
    scene.fits[0].switches.clear();
    add_switch(&mut scene, "anchor", &[("on", &["white"])]);
    let switching = read(&scene);
    assert!(switching.findings.is_empty(), "{:#?}", switching.findings);
    assert_eq!(needed(&switching)[0], given(Status::UnderWay, "anchor off", "Rule 25(d)(ii)"));
}

#[test]
fn a_lamp_on_two_switches_is_lit_by_either_and_counted_once() {
    let mut scene = motorboat();
    scene.fits[0].switches.clear();
    add_switch(&mut scene, "running", &[("on", &["starboard", "port", "white"])]);
    add_switch(&mut scene, "anchor", &[("on", &["white"])]);
    let switching = read(&scene);
    assert!(switching.findings.is_empty(), "{:#?}", switching.findings);
    let lamps: Vec<&[usize]> = switching.settings.iter().map(|one| one.setting.lamps.as_slice()).collect();
    assert_eq!(lamps, [&[][..], &[2], &[0, 1, 2], &[0, 1, 2]]);
    // Rule 23(d)(i) whether the anchor switch is on or not.
    assert_eq!(switching.needed[0].given.iter().map(|(index, _)| *index).collect::<Vec<_>>(), [2, 3]);
}

#[test]
fn a_lamp_that_no_switch_feeds_is_noted() {
    let mut scene = motorboat();
    scene.fits[0].lamps.push(fitted("deck stern", Role::Sternlight, 1.0, &[]));
    let finding = only(&read(&scene));
    assert_eq!((finding.severity, finding.lamp.as_deref()), (Severity::Note, Some("deck stern")));
}

/// What the scene says is lit at anchor is not what the anchor setting lights; Rule 30(b).
#[test]
fn lamps_lit_otherwise_than_the_switches_light_them_are_noted_by_name() {
    let mut scene = motorboat();
    scene.fits[0].lamps[1].lit.push(Status::AtAnchor);
    let finding = only(&read(&scene));
    assert_eq!((finding.severity, finding.clause.as_str()), (Severity::Note, "Rule 20(b), Rule 30(b)"));
    assert!(finding.how_bad.contains("leaves dark port."), "{}", finding.how_bad);
    scene.fits[0].lamps[1].lit.pop();
    scene.fits[0].lamps[2].lit.pop();
    let finding = only(&read(&scene));
    assert!(finding.how_bad.contains("lights besides white."), "{}", finding.how_bad);
}

/// Eight switches of one lamp each have 256 settings, most of them false; six are told and the rest counted.
#[test]
fn no_more_than_six_false_settings_are_told_and_the_rest_counted() {
    let mut scene = yacht();
    scene.fits[0].switches.clear();
    for name in ["starboard", "port", "steaming", "stern", "lantern", "anchor", "red", "green"] {
        add_switch(&mut scene, name, &[("on", &[name])]);
    }
    let switching = read(&scene);
    assert_eq!(switching.settings.len(), 256);
    let amiss = switching.settings.iter().filter(|one| one.amiss.is_some()).count();
    let cautions: Vec<_> = switching.findings.iter().filter(|one| one.severity == Severity::Caution).collect();
    assert_eq!(cautions.len(), 7);
    assert_eq!(cautions[6].what, format!("{} more settings of the switches announce something false.", amiss - 6));
    let mut told: Vec<&str> = cautions[..6].iter().map(|one| one.what.split_once(": ").unwrap().1).collect();
    told.sort_unstable();
    told.dedup();
    assert_eq!(told.len(), 6, "each told is a mistake of another sort");
}

#[test]
fn a_plan_of_more_settings_than_are_read_says_so() {
    let mut scene = motorboat();
    scene.fits[0].switches.clear();
    for number in 0..64 {
        add_switch(&mut scene, &format!("switch {number}"), &[("on", &["white"])]);
    }
    let switching = read(&scene);
    assert!(switching.settings.is_empty());
    assert_eq!(only(&switching).severity, Severity::Caution);
}

fn with_sheets(scene: &Scene, status: Status, look: impl FnOnce(&Surveyed)) {
    let survey = Survey::of(scene, &scene.fits[0], status, &Settings { step: 10.0, ..Settings::default() });
    let judgement = judge(scene, &scene.fits[0], &survey, international());
    look(&Surveyed { scene, fit: &scene.fits[0], survey: &survey, judgement: &judgement });
}

/// In every status the judgement holds what falls short in the switches once.
#[test]
fn a_judgement_holds_the_findings_of_the_switches_once() {
    let mut scene = motorboat();
    scene.fits[0].switches[0].positions.pop();
    let [fault] = read(&scene).findings.try_into().unwrap();
    // The rules hold no display for her under sail: she is told of the switches all the same.
    for status in [Status::UnderWay, Status::AtAnchor, Status::UnderSail] {
        with_sheets(&scene, status, |surveyed| {
            let told: Vec<_> =
                surveyed.judgement.findings.iter().filter(|finding| finding.kind == Kind::Switching).collect();
            assert_eq!(told, [&fault], "{status:?}");
            assert!(surveyed.judgement.asked.contains("Rule 20(b)"));
        });
    }
}

#[test]
fn the_sheets_tell_every_setting_and_every_needed_status() {
    for scene in [yacht(), motorboat()] {
        let switching = read(&scene);
        with_sheets(&scene, Status::UnderWay, |surveyed| {
            let text = sheet::text(surveyed, false);
            assert!(text.lines().all(|line| line.chars().count() <= 80 && line.trim_end() == line));
            let section = text.split("\nSwitches: ").nth(1).expect("a section");
            let flat: String = section.split_whitespace().collect::<Vec<_>>().join(" ");
            let whole: serde_json::Value = serde_json::from_str(&sheet::json(&[*surveyed])).unwrap();
            let told = &whole["surveys"][0]["switches"];
            assert_eq!(told["settings"].as_array().unwrap().len(), switching.settings.len());
            for (index, one) in switching.settings.iter().enumerate() {
                assert!(flat.contains(&format!("{}. {} shows ", index + 1, one.words)), "{}", one.words);
                let json = &told["settings"][index];
                assert_eq!(json["setting"], one.words.as_str());
                assert_eq!(json["lamps"].as_array().unwrap().len(), one.setting.lamps.len());
                assert_eq!(json["announces"].as_array().unwrap().len(), one.announced.len());
                assert_eq!((&json["lawful"], &json["amiss"]), (&one.lawful().into(), &serde_json::Value::Null));
            }
            for (json, one) in told["needed"].as_array().unwrap().iter().zip(&switching.needed) {
                let (setting, display) = one.setting().unwrap();
                assert_eq!(json["status"], one.status.key());
                assert_eq!((&json["setting"], &json["clause"]), (&setting.into(), &display.clause.as_str().into()));
            }
        });
    }
}

#[test]
fn without_a_switch_plan_nothing_is_said_of_switches() {
    let mut scene = motorboat();
    scene.fits[0].switches.clear();
    assert!(switching(&scene, &scene.fits[0], international()).is_none());
    with_sheets(&scene, Status::UnderWay, |surveyed| {
        assert!(!sheet::text(surveyed, false).contains("witch"));
        let whole: serde_json::Value = serde_json::from_str(&sheet::json(&[*surveyed])).unwrap();
        assert!(whole["surveys"][0].as_object().unwrap().contains_key("switches"));
        assert_eq!(whole["surveys"][0]["switches"], serde_json::Value::Null);
        assert!(!surveyed.judgement.findings.iter().any(|finding| finding.kind == Kind::Switching));
    });
}
