//! The rules of the United States for their inland waters where they differ, for lights, from the international ones:
//! the same boat under each. The text that each difference was read in stands in `assets/rules/inland.ron`.

mod support;

use std::sync::Arc;

use lampwalk::{
    boat::{Lamp, Place, Role, Scene, Status},
    light::{Colour, Optics},
    measure::{Bearing, Candela, NauticalMiles},
    rules::{Finding, Judgement, Kind, LightKind, Rules, Severity, inland, international, judge},
    survey::{Settings, Survey},
};
use support::{boat_of, lamp, place};

/// The verdicts of the international rules and of the inland ones.
fn both(scene: &Scene, status: Status) -> [Judgement<'static>; 2] {
    let settings = Settings { step: 5.0, ..Settings::default() };
    let survey = Survey::of(scene, &scene.fits[0], status, &settings);
    [international(), inland()].map(|rules| judge(scene, &scene.fits[0], &survey, rules))
}

/// A judgement in short: severity, kind and clause of all that is worse than a note.
fn told(judgement: &Judgement) -> Vec<(Severity, Kind, String)> {
    let worse = judgement.findings.iter().filter(|finding| finding.severity > Severity::Note);
    worse.map(|Finding { severity, kind, clause, .. }| (*severity, *kind, clause.clone())).collect()
}

fn faults(judgement: &Judgement) -> Vec<(Kind, String)> {
    let faults = told(judgement).into_iter().filter(|(severity, ..)| *severity == Severity::Fault);
    faults.map(|(_, kind, clause)| (kind, clause)).collect()
}

fn display(judgement: &Judgement) -> (String, String) {
    judgement.display.map_or(Default::default(), |display| (display.clause.clone(), display.name.clone()))
}

fn with(mut scene: Scene, lamps: Vec<Lamp>) -> Scene {
    scene.fits[0].lamps = lamps;
    scene
}

/// A lamp of another strength and colour than the preset it is cloned from.
fn made(lamp: Lamp, colour: Colour, miles: f64) -> Lamp {
    let least = international().intensity(NauticalMiles(miles)).expect("a tabled range").0;
    let mut optics = Optics::clone(&lamp.optics);
    for beam in &mut optics.beams {
        if colour != Colour::White {
            beam.colour = colour;
        }
        beam.full = Candela(least * 1.8);
    }
    Lamp { optics: Arc::new(optics), ..lamp }
}

fn lit(lamp: Lamp, status: Status) -> Lamp {
    Lamp { lit: vec![status], ..lamp }
}

fn sidelights(scene: &Scene, height: f64, miles: f64, status: Status) -> Vec<Lamp> {
    let side = scene.vessel.beam.0 / 2.0 + 0.05;
    let forward = scene.vessel.length.0 * 0.8;
    [("starboard", Role::StarboardSidelight, Colour::Green, side), ("port", Role::PortSidelight, Colour::Red, -side)]
        .map(|(name, role, colour, side)| {
            let optics = format!("{name} 1 nm");
            lit(
                made(lamp(&format!("{name} sidelight"), role, &optics, place(forward, side, height)), colour, miles),
                status,
            )
        })
        .to_vec()
}

fn masthead(name: &str, at: Place, miles: f64, status: Status) -> Lamp {
    lit(made(lamp(name, Role::Masthead, "masthead 2 nm", at), Colour::White, miles), status)
}

fn stern(height: f64, miles: f64, status: Status) -> Lamp {
    lit(
        made(lamp("sternlight", Role::Sternlight, "stern 2 nm", place(-0.3, 0.0, height)), Colour::White, miles),
        status,
    )
}

fn towing_light(name: &str, height: f64, status: Status) -> Lamp {
    lit(made(lamp(name, Role::TowingLight, "stern 2 nm", place(-0.3, 0.0, height)), Colour::Yellow, 2.0), status)
}

fn all_round(name: &str, role: Role, at: Place, colour: Colour, status: Status) -> Lamp {
    lit(made(lamp(name, role, "all-round 2 nm", at), colour, 2.0), status)
}

fn white(at: Place, status: Status) -> Lamp {
    all_round("white", Role::AllRoundWhite, at, Colour::White, status)
}

/// Screens are owed from 20 m on under both sets, and are not what is asked here.
fn but_screens(faults: Vec<(Kind, String)>) -> Vec<(Kind, String)> {
    faults.into_iter().filter(|(kind, _)| *kind != Kind::ScreenMissing).collect()
}

fn is(kind: Kind, clause: &str) -> Vec<(Kind, String)> {
    vec![(kind, clause.into())]
}

/// Rule 21(a): under 12 m the white light stands as near the centreline as practicable, where the international rules
/// ask for the centreline (Rule 23(d)(iii) apart, which has no counterpart inland).
#[test]
fn rule_21_a_white_light_off_the_centreline_under_12_metres() {
    let off_centre = |length: f64| {
        let scene = boat_of(length);
        let mut lamps = sidelights(&scene, 1.2, if length < 12.0 { 1.0 } else { 2.0 }, Status::UnderWay);
        lamps.push(masthead("masthead light", place(length / 2.0, 0.4, 4.0), 3.0, Status::UnderWay));
        lamps.push(stern(1.0, 2.0, Status::UnderWay));
        both(&with(scene, lamps), Status::UnderWay)
    };
    let [international, inland] = off_centre(11.99);
    assert_eq!(told(&international), [(Severity::Fault, Kind::Misplaced, "Rule 23(d)(iii)".into())]);
    assert_eq!(told(&inland), [(Severity::Caution, Kind::Misplaced, "Rule 21(a)".into())]);
    let [international, inland] = off_centre(12.0);
    assert_eq!(faults(&international), is(Kind::Misplaced, "Rule 21(a)"));
    assert_eq!(faults(&inland), is(Kind::Misplaced, "Rule 21(a)"));
}

/// Rule 21(b): the same of combined sidelights.
#[test]
fn rule_21_b_combined_sidelights_off_the_centreline_under_12_metres() {
    let scene = boat_of(6.0);
    let lantern = lamp("lantern", Role::CombinedSidelights, "bicolour 1 nm", place(4.5, 0.3, 1.2));
    let [international, inland] =
        both(&with(scene, vec![lantern, white(place(1.0, 0.0, 3.0), Status::UnderWay)]), Status::UnderWay);
    assert_eq!(told(&international), [(Severity::Fault, Kind::Misplaced, "Rule 21(b)".into())]);
    assert_eq!(told(&inland), [(Severity::Caution, Kind::Misplaced, "Rule 21(b)".into())]);
}

/// Rule 22: the same ranges, and 2 miles for the special flashing light, which the international rules do not know.
#[test]
fn rule_22_ranges() {
    for length in [5.0, 11.99, 12.0, 19.99, 20.0, 49.99, 50.0] {
        for light in [
            LightKind::Masthead,
            LightKind::PortSidelight,
            LightKind::Sternlight,
            LightKind::TowingLight,
            LightKind::AllRoundRed,
        ] {
            assert_eq!(inland().range(light, length), international().range(light, length), "{light:?}, {length} m");
        }
        assert_eq!(inland().range(LightKind::SpecialFlashing, length), Some(NauticalMiles(2.0)));
        assert_eq!(international().range(LightKind::SpecialFlashing, length), None);
    }
}

/// Rule 23(d)(ii): an all-round light alone will not do inland, however small and slow she is.
#[test]
fn rule_23_d_ii_has_no_counterpart() {
    let mut scene = boat_of(6.0);
    scene.vessel.top_speed.0 = 7.0;
    let [international, inland] =
        both(&with(scene, vec![white(place(1.0, 0.0, 3.0), Status::UnderWay)]), Status::UnderWay);
    assert_eq!(faults(&international), []);
    assert_eq!(display(&international).0, "Rule 23(d)(ii)");
    assert_eq!(faults(&inland), [Kind::LightMissing; 2].map(|kind| (kind, "Rule 23(d)(i)".into())));
}

/// Rule 23(d)(i) is the same under both.
#[test]
fn rule_23_d_i_is_the_same() {
    let scene = with(boat_of(6.0), support::lawful_lamps());
    for judgement in both(&scene, Status::UnderWay) {
        assert_eq!((told(&judgement), display(&judgement).0.as_str()), (vec![], "Rule 23(d)(i)"));
    }
}

/// Rule 23, on the Great Lakes: an all-round white light in place of the second masthead light and the sternlight.
#[test]
fn rule_23_on_the_great_lakes() {
    let mut scene = boat_of(15.0);
    let mut lamps = sidelights(&scene, 1.4, 2.0, Status::UnderWay);
    lamps.push(masthead("masthead light", place(10.0, 0.0, 5.0), 3.0, Status::UnderWay));
    lamps.push(white(place(5.0, 0.0, 6.0), Status::UnderWay));
    scene = with(scene, lamps);
    let missing = [(Kind::LightMissing, "Rule 23(a)".to_string()), (Kind::LightNotAllowed, "Rule 20(b)".into())];
    let [_, elsewhere] = both(&scene, Status::UnderWay);
    assert!(missing.iter().all(|one| faults(&elsewhere).contains(one)), "{:?}", faults(&elsewhere));
    scene.conditions.waters = vec!["great lakes".into()];
    let [international, inland] = both(&scene, Status::UnderWay);
    assert!(missing.iter().all(|one| faults(&international).contains(one)), "{:?}", faults(&international));
    assert_eq!(display(&inland).0, "Rule 23 Great Lakes");
    assert_eq!(faults(&inland), []);
    // It stands where the second masthead light would: abaft the first and higher.
    scene.fits[0].lamps.last_mut().expect("a lamp").at = Some(place(12.0, 0.0, 4.5));
    let [_, forward] = both(&scene, Status::UnderWay);
    assert!(faults(&forward).iter().any(|(_, clause)| clause == "Rule 23(a)"), "{:?}", faults(&forward));
}

/// A 30 m pusher with one lamp after another at her stern.
fn pusher(stern: Vec<Lamp>, mastheads: bool) -> Scene {
    let scene = boat_of(30.0);
    let mut lamps = sidelights(&scene, 4.0, 2.0, Status::Pushing);
    if mastheads {
        lamps.push(masthead("upper masthead light", place(25.0, 0.0, 12.0), 5.0, Status::Pushing));
        lamps.push(masthead("lower masthead light", place(25.0, 0.0, 9.5), 5.0, Status::Pushing));
    }
    lamps.extend(stern);
    with(scene, lamps)
}

fn towing_pair() -> Vec<Lamp> {
    vec![
        towing_light("upper towing light", 7.5, Status::Pushing),
        towing_light("lower towing light", 5.0, Status::Pushing),
    ]
}

/// Rule 24(c): two towing lights, one above the other, in place of the sternlight.
#[test]
fn rule_24_c_towing_lights_in_place_of_the_sternlight() {
    let [international, inland] = both(&pusher(towing_pair(), true), Status::Pushing);
    assert!(faults(&international).contains(&(Kind::LightMissing, "Rule 24(c)".into())));
    assert_eq!(but_screens(faults(&inland)), []);
    let [international, inland] = both(&pusher(vec![stern(5.0, 2.0, Status::Pushing)], true), Status::Pushing);
    assert_eq!(but_screens(faults(&international)), []);
    let missing = faults(&inland).iter().filter(|one| **one == (Kind::LightMissing, "Rule 24(c)".into())).count();
    assert_eq!(missing, 2);
}

/// Rule 24(i), western rivers: sidelights and two towing lights, no masthead lights.
#[test]
fn rule_24_i_on_western_rivers() {
    let mut scene = pusher(towing_pair(), false);
    let [international, inland] = both(&scene, Status::Pushing);
    assert!(faults(&international).contains(&(Kind::LightMissing, "Rule 24(c)".into())));
    assert!(faults(&inland).contains(&(Kind::LightMissing, "Rule 24(c)".into())));
    scene.conditions.waters = vec!["western rivers".into()];
    let [international, inland] = both(&scene, Status::Pushing);
    assert!(faults(&international).contains(&(Kind::LightMissing, "Rule 24(c)".into())));
    assert_eq!((but_screens(faults(&inland)), display(&inland).0.as_str()), (vec![], "Rule 24(i)"));
}

/// A yellow light ahead, of the masthead's arc (225 degrees) or of 180 degrees.
fn special_flashing(forward: f64, width: f64, status: Status) -> Lamp {
    let mut one = made(
        lamp("special flashing light", Role::SpecialFlashing, "masthead 2 nm", place(forward, 0.0, 2.0)),
        Colour::Yellow,
        2.0,
    );
    if width < 225.0 {
        let narrower = |(degrees, share): (f64, f64)| (degrees + if degrees < 360.0 { 22.5 } else { -22.5 }, share);
        let mut optics = Optics::clone(&one.optics);
        for beam in &mut optics.beams {
            let points: Vec<_> = [(243.5, 0.0), (247.5, 0.6), (252.5, 1.0), (467.5, 1.0), (472.5, 0.6), (476.5, 0.0)]
                .map(narrower)
                .to_vec();
            beam.horizontal = lampwalk::light::Profile::new(points).expect("a profile");
        }
        one.optics = Arc::new(optics);
    }
    lit(one, status)
}

/// Rule 24(f): vessels pushed ahead or towed alongside show the special flashing light too. Its arc may be 180 to 225
/// degrees (Rule 21).
#[test]
fn rule_24_f_special_flashing_light() {
    for (status, clause, abaft) in [
        (Status::PushedAhead, "Rule 24(f)(i)", vec![]),
        (Status::TowedAlongside, "Rule 24(f)(ii)", vec![stern(1.5, 2.0, Status::TowedAlongside)]),
    ] {
        let barge = |special: Vec<Lamp>| {
            let scene = boat_of(18.0);
            let lamps = sidelights(&scene, 1.5, 2.0, status).into_iter().chain(abaft.clone()).chain(special).collect();
            both(&with(scene, lamps), status)
        };
        let [international, inland] = barge(vec![]);
        assert_eq!(faults(&international), []);
        assert_eq!(faults(&inland), is(Kind::LightMissing, clause));
        for width in [180.0, 225.0] {
            let [international, inland] = barge(vec![special_flashing(16.0, width, status)]);
            assert_eq!(faults(&inland), [], "{clause}, {width} degrees");
            assert!(faults(&international).contains(&(Kind::LightNotAllowed, "Rule 20(b)".into())));
        }
    }
    let sector = inland().sector(LightKind::SpecialFlashing).expect("a row");
    assert!([270.0, 0.0, 90.0].iter().all(|bearing| sector.arc().contains(Bearing::new(*bearing))));
    assert!(international().sector(LightKind::SpecialFlashing).is_none());
}

/// Rule 28: no lights for vessels constrained by their draught.
#[test]
fn rule_28_has_no_counterpart() {
    let scene = boat_of(30.0);
    let survey = Survey::of(
        &scene,
        &scene.fits[0],
        Status::ConstrainedByDraught,
        &Settings { step: 45.0, ..Settings::default() },
    );
    let judgement = judge(&scene, &scene.fits[0], &survey, inland());
    assert!(judgement.display.is_none());
    assert_eq!(told(&judgement).iter().map(|one| one.1).collect::<Vec<_>>(), [Kind::NotCovered]);
    assert!(judge(&scene, &scene.fits[0], &survey, international()).display.is_some());
    assert!(inland().clauses.iter().all(|row| row.clause != "Rule 28"));
}

/// Rule 30(d): aground, the two red lights are owed if practicable; where they show, they are judged as a line.
#[test]
fn rule_30_d_red_lights_aground_if_practicable() {
    let anchor = || white(place(10.0, 0.0, 5.0), Status::Aground);
    let [international, inland] = both(&with(boat_of(15.0), vec![anchor()]), Status::Aground);
    assert_eq!(faults(&international), [Kind::LightMissing; 2].map(|kind| (kind, "Rule 30(d)".into())));
    assert_eq!(told(&inland), [Kind::LightMissing; 2].map(|kind| (Severity::Caution, kind, "Rule 30(d)".into())));
    let red = |name: &str, height: f64| {
        all_round(name, Role::AllRoundRed, place(4.0, 0.0, height), Colour::Red, Status::Aground)
    };
    let close = with(boat_of(15.0), vec![anchor(), red("upper red", 4.5), red("lower red", 4.0)]);
    for judgement in both(&close, Status::Aground) {
        assert!(faults(&judgement).contains(&(Kind::TooClose, "Annex I 2(i)(ii)".into())), "{:?}", faults(&judgement));
    }
}

/// Rule 30(g): under 20 m, no anchor light is owed in a special anchorage area.
#[test]
fn rule_30_g_special_anchorage_area() {
    for (length, exempt) in [(7.0, true), (19.99, true), (20.0, false)] {
        let mut scene = boat_of(length);
        let [international, inland] = both(&scene, Status::AtAnchor);
        assert_eq!(faults(&international), is(Kind::LightMissing, "Rule 30(b)"), "{length} m");
        assert_eq!(faults(&inland), is(Kind::LightMissing, "Rule 30(b)"), "{length} m elsewhere");
        scene.conditions.waters = vec!["special anchorage area".into()];
        let [international, inland] = both(&scene, Status::AtAnchor);
        assert_eq!(faults(&international), is(Kind::LightMissing, "Rule 30(b)"), "{length} m");
        assert_eq!(faults(&inland).is_empty(), exempt, "{length} m");
        assert_eq!(told(&inland).len(), 1, "{length} m");
        assert_eq!(inland.findings[0].how_bad.contains("Rule 30(g)"), exempt, "{length} m");
        assert_eq!(inland.asked.contains("Rule 30(g)"), exempt, "{length} m");
    }
}

/// Annex I 1 (33 CFR 84.01(c)): from 20 m on, cut off below 12.5 percent of the tabled minimum; under 20 m no figure is
/// given and a tenth of the average is used, as internationally.
#[test]
fn annex_i_1_practical_cut_off() {
    use lampwalk::rules::CutOf;
    let cut = |rules: &Rules, length: f64| rules.cut(length).map(|row| (row.share, row.of)).expect("a row");
    assert_eq!(cut(inland(), 19.99), (0.1, CutOf::Average));
    assert_eq!(cut(inland(), 20.0), (0.125, CutOf::Minimum));
    assert_eq!(cut(international(), 20.0), (0.1, CutOf::Average));
}

/// A power-driven vessel of 20 m or more with her masthead light so high above her hull.
fn masthead_above_hull(length: f64, height: f64, second: Option<f64>) -> Scene {
    let scene = boat_of(length);
    let deck = scene.vessel.deck_height(length * 0.7, 0.0);
    let miles = if length < 50.0 { (5.0, 2.0) } else { (6.0, 3.0) };
    let mut lamps = sidelights(&scene, deck + 0.5, miles.1, Status::UnderWay);
    lamps.iter_mut().for_each(|lamp| lamp.at = lamp.at.map(|at| Place { forward: length * 0.5, ..at }));
    lamps.push(masthead("masthead light", place(length * 0.7, 0.0, deck + height), miles.0, Status::UnderWay));
    lamps.push(stern(1.5, miles.1, Status::UnderWay));
    if let Some(above) = second {
        lamps.push(masthead(
            "after masthead light",
            place(length * 0.35, 0.0, deck + height + above),
            miles.0,
            Status::UnderWay,
        ));
    }
    with(scene, lamps)
}

/// Annex I 2(a)(i): 6 m above the hull, or the beam to at most 12 m; inland 5 m, or the beam to at most 8 m.
#[test]
fn annex_i_2_a_i_height_of_the_masthead_light() {
    for (height, beam, international_keeps, inland_keeps) in [
        (4.99, 4.0, false, false),
        (5.0, 4.0, false, true),
        (5.99, 4.0, false, true),
        (6.0, 4.0, true, true),
        (7.5, 7.6, false, false),
        (7.99, 10.0, false, false),
        (8.0, 10.0, false, true),
        (10.0, 10.0, true, true),
    ] {
        let mut scene = masthead_above_hull(30.0, height, None);
        scene.vessel.beam.0 = beam;
        let keeps =
            both(&scene, Status::UnderWay).map(|one| !faults(&one).contains(&(Kind::TooLow, "Annex I 2(a)(i)".into())));
        assert_eq!(keeps, [international_keeps, inland_keeps], "{height} m, beam {beam} m");
    }
}

/// Annex I 2(a)(ii): the after masthead light 4.5 m above the forward one; inland 2 m.
#[test]
fn annex_i_2_a_ii_height_of_the_after_masthead_light() {
    for (above, expected) in [(1.99, [false, false]), (2.0, [false, true]), (4.49, [false, true]), (4.5, [true, true])]
    {
        let scene = masthead_above_hull(30.0, 12.0, Some(above));
        let keeps = both(&scene, Status::UnderWay)
            .map(|one| !faults(&one).contains(&(Kind::TooLow, "Annex I 2(a)(ii)".into())));
        assert_eq!(keeps, expected, "{above} m");
    }
}

/// Annex I 2(g): sidelights at most three quarters as high as the masthead light; inland at least 1 m below it.
#[test]
fn annex_i_2_g_sidelights_below_the_masthead_light() {
    let scene_with = |below: f64| {
        let mut scene = masthead_above_hull(30.0, 11.0, None);
        let deck = scene.vessel.deck_height(21.0, 0.0);
        for lamp in &mut scene.fits[0].lamps[..2] {
            lamp.at = lamp.at.map(|at| place(at.forward, at.starboard, deck + 11.0 - below));
        }
        scene
    };
    for (below, expected) in [(0.99, [false, false]), (1.0, [false, true]), (2.7, [false, true]), (2.8, [true, true])] {
        let keeps = both(&scene_with(below), Status::UnderWay)
            .map(|one| faults(&one).iter().all(|(_, clause)| clause != "Annex I 2(g)"));
        assert_eq!(keeps, expected, "{below} m");
    }
}

/// Annex I 2(i): from 20 m on, lights in a vertical line 2 m apart; inland 1 m. The lowest 4 m above the hull in both.
#[test]
fn annex_i_2_i_lights_in_a_vertical_line() {
    let aground = |gap: f64, lowest: f64| {
        let scene = boat_of(30.0);
        let deck = scene.vessel.deck_height(10.0, 0.0);
        let red = |name: &str, height: f64| {
            all_round(name, Role::AllRoundRed, place(10.0, 0.0, deck + height), Colour::Red, Status::Aground)
        };
        let lamps = vec![
            white(place(25.0, 0.0, 8.0), Status::Aground),
            red("upper red", lowest + gap),
            red("lower red", lowest),
        ];
        both(&with(scene, lamps), Status::Aground)
    };
    for (gap, expected) in [(0.99, [false, false]), (1.0, [false, true]), (1.99, [false, true]), (2.0, [true, true])] {
        let keeps = aground(gap, 4.5).map(|one| !faults(&one).contains(&(Kind::TooClose, "Annex I 2(i)(i)".into())));
        assert_eq!(keeps, expected, "{gap} m");
    }
    for (lowest, keeps) in [(3.99, false), (4.0, true)] {
        let found = aground(2.5, lowest).map(|one| !faults(&one).contains(&(Kind::TooLow, "Annex I 2(i)(i)".into())));
        assert_eq!(found, [keeps; 2], "{lowest} m");
    }
}

/// Annex I 3(a), 50 m or more: half her length apart (100 m is enough) and the forward one in the first quarter; inland
/// a quarter (50 m is enough), and in the first half.
#[test]
fn annex_i_3_a_masthead_lights_fore_and_aft() {
    for (forward, after, apart, from_stem) in [
        (50.0, 35.1, [false, false], [true, true]),
        (50.0, 35.0, [false, true], [true, true]),
        (50.0, 20.1, [false, true], [true, true]),
        (50.0, 20.0, [true, true], [true, true]),
        (44.0, 10.0, [true, true], [false, true]),
        (29.0, 10.0, [false, true], [false, false]),
    ] {
        let mut scene = masthead_above_hull(60.0, 12.0, Some(5.0));
        for (name, x) in [("masthead light", forward), ("after masthead light", after)] {
            let lamp = scene.fits[0].lamps.iter_mut().find(|lamp| lamp.name == name).expect("the lamp");
            lamp.at = lamp.at.map(|at| Place { forward: x, ..at });
        }
        let keeps = |lamp: &str| {
            both(&scene, Status::UnderWay).map(|judgement| {
                let of = |one: &Finding| one.clause == "Annex I 3(a)" && one.lamp.as_deref() == Some(lamp);
                !judgement.findings.iter().any(of)
            })
        };
        assert_eq!(keeps("after masthead light"), apart, "{after} m and {forward} m");
        assert_eq!(keeps("masthead light"), from_stem, "{forward} m");
    }
}

/// Annex I 5 (33 CFR 84.05(b)): inland, the white light of a power-driven vessel under 12 m is screened from the deck
/// ahead of the helm.
#[test]
fn annex_i_5_b_screen_below_the_white_light() {
    assert_eq!((inland().glare.screen_under, inland().glare.clause_screen.as_str()), (12.0, "Annex I 5(b)"));
    assert_eq!((international().glare.screen_under, international().glare.clause_screen.as_str()), (0.0, ""));
    let row = inland().clauses.iter().find(|row| row.clause == "Annex I 5(b)").expect("its row");
    assert!(row.whom.contains("31 July 1983") && row.beyond.is_empty());
}

/// Annex I 7, 8, 9 and 10 are the same: colours, intensities, and sectors of manned vessels.
#[test]
fn annex_i_7_to_10_are_the_same() {
    let [a, b] = [international(), inland()].map(|rules| {
        let Rules { colours, intensities, cutoff, vertical, .. } = rules;
        format!("{colours:?} {intensities:?} {cutoff:?} {vertical:?}")
    });
    assert_eq!(a, b);
}
