//! The light and the rules against the International Regulations for Preventing Collisions at Sea, 1972.
//!
//! Each value stands beside the clause it is from. The copies in which they were read are named in
//! `assets/rules/international.ron`; no official publication was open to the authors.

mod support;

use lampwalk::{
    boat::{Height, Lamp, Part, PartKind, Place, Role, Scene, Status},
    light::{Beam, Colour, Optics, Weather, library, needed_candela, preset},
    measure::{Arc, Bearing, Degrees, Metres, NauticalMiles},
    rules::{Judgement, Kind, LightKind, Severity, international, judge},
    survey::{Settings, Survey},
};
use support::{bare_boat, boat_of, lamp, lawful_lamps, place};

fn judged(scene: &mut Scene, lamps: Vec<Lamp>, status: Status) -> Judgement<'static> {
    scene.fits[0].lamps = lamps;
    let survey = Survey::of(scene, &scene.fits[0], status, &Settings::default());
    judge(scene, &scene.fits[0], &survey, international())
}

fn kinds(judgement: &Judgement) -> Vec<Kind> {
    let mut kinds: Vec<_> = judgement.findings.iter().map(|finding| finding.kind).collect();
    kinds.sort();
    kinds.dedup();
    kinds
}

/// Rule 21(a) to (e): arcs in degrees of the horizon.
#[test]
fn rule_21_sectors() {
    let rules = international();
    for (light, from, width) in [
        (LightKind::Masthead, 247.5, 225.0), // 21(a): 225, to 22.5 abaft the beam on either side
        (LightKind::StarboardSidelight, 0.0, 112.5), // 21(b): 112.5, from right ahead to 22.5 abaft the beam
        (LightKind::PortSidelight, 247.5, 112.5), // 21(b)
        (LightKind::Sternlight, 112.5, 135.0), // 21(c): 135, 67.5 from right astern on each side
        (LightKind::AllRoundWhite, 0.0, 360.0), // 21(e): 360
    ] {
        let arc = rules.sector(light).expect("a row for each light").arc();
        assert_eq!((arc.from.degrees(), arc.width), (from, width), "{light:?}");
    }
}

/// Rule 22(b) and (c): ranges in nautical miles, on both sides of each border of length.
#[test]
fn rule_22_ranges() {
    let rules = international();
    for (length, masthead, sidelight, sternlight, all_round) in [
        (5.0, 2.0, 1.0, 2.0, 2.0),
        (11.99, 2.0, 1.0, 2.0, 2.0), // 22(c): under 12 m
        (12.0, 3.0, 2.0, 2.0, 2.0),  // 22(b): 12 m or more but under 20 m, masthead light 3
        (19.99, 3.0, 2.0, 2.0, 2.0),
        (20.0, 5.0, 2.0, 2.0, 2.0), // 22(b): under 50 m
        (49.99, 5.0, 2.0, 2.0, 2.0),
    ] {
        for (light, miles) in [
            (LightKind::Masthead, masthead),
            (LightKind::StarboardSidelight, sidelight),
            (LightKind::PortSidelight, sidelight),
            (LightKind::Sternlight, sternlight),
            (LightKind::AllRoundWhite, all_round),
        ] {
            assert_eq!(rules.range(light, length), Some(NauticalMiles(miles)), "{light:?} at {length} m");
        }
    }
}

/// Annex I section 8(b): the table of luminous intensities, each to its printed precision, and 8(a): the formula that
/// it is rounded from (T 2e-7 lux, K 0.8).
#[test]
fn annex_i_8_intensities() {
    for (miles, printed, decimals) in
        [(1.0, 0.9, 1), (2.0, 4.3, 1), (3.0, 12.0, 0), (4.0, 27.0, 0), (5.0, 52.0, 0), (6.0, 94.0, 0)]
    {
        let needed = needed_candela(NauticalMiles(miles), Weather::PRESCRIBED);
        assert_eq!(format!("{:.decimals$}", needed.0), format!("{printed:.decimals$}"), "by formula at {miles} nm");
        let tabled = international().intensity(NauticalMiles(miles)).expect("a row for each mile");
        assert_eq!(tabled.0, printed, "in the table at {miles} nm");
    }
    // 8(a) prints 3.43e6, which is 1852 squared to three figures.
    assert_eq!(format!("{:.2}", 1852.0 * 1852.0 / 1e6), "3.43");
}

/// Annex I section 9(a)(i): sidelights reach cut-off between 1 and 3 degrees outside, ahead; (a)(ii): other edges keep
/// all to 5 degrees inside, half to the limit, and are cut off at most 5 degrees outside; (b)(i): 6 degrees hidden.
/// Section 10(a): all of the minimum within 5 degrees of level, three fifths within 7.5.
#[test]
fn annex_i_9_and_10_limits() {
    let cutoff = &international().cutoff;
    assert_eq!((cutoff.forward_least, cutoff.forward_outside), (1.0, 3.0));
    assert_eq!((cutoff.aft_inside, cutoff.aft_share, cutoff.aft_outside), (5.0, 0.5, 5.0));
    assert_eq!(cutoff.all_round_hidden, 6.0);
    let scene = bare_boat();
    let vertical = international().vertical(&scene.vessel, Status::UnderWay).expect("a row");
    assert_eq!((vertical.full, vertical.share, vertical.wide), (5.0, 0.6, 7.5));
}

/// What a beam of a generic lamp is there to be, over which arc, and the range it must reach: the last from its name, or
/// for a lantern of three colours from Rule 22(b) and (c).
fn duty(lamp: &str, colour: Colour) -> (Arc, f64, bool) {
    let words: Vec<_> = lamp.split(' ').collect();
    let named = || words.iter().rev().nth(1).and_then(|word| word.parse().ok()).expect("a range in the name");
    let (kind, miles) = match (words.as_slice(), colour) {
        (["three-colour", "under", "12", "m"], Colour::Green) => (LightKind::StarboardSidelight, 1.0),
        (["three-colour", "under", "12", "m"], Colour::Red) => (LightKind::PortSidelight, 1.0),
        (["three-colour", "under", "20", "m"], Colour::Green) => (LightKind::StarboardSidelight, 2.0),
        (["three-colour", "under", "20", "m"], Colour::Red) => (LightKind::PortSidelight, 2.0),
        (["three-colour", ..], Colour::White) => (LightKind::Sternlight, 2.0),
        (["starboard", ..] | ["bicolour", ..], Colour::Green) => (LightKind::StarboardSidelight, named()),
        (["port", ..] | ["bicolour", ..], Colour::Red) => (LightKind::PortSidelight, named()),
        (["masthead", ..], Colour::White) => (LightKind::Masthead, named()),
        (["stern", ..], Colour::White) => (LightKind::Sternlight, named()),
        (["towing", ..], Colour::Yellow) => (LightKind::TowingLight, named()),
        (["all-round", "red", ..], Colour::Red) => (LightKind::AllRoundRed, named()),
        (["all-round", "green", ..], Colour::Green) => (LightKind::AllRoundGreen, named()),
        (["all-round", "yellow", ..], Colour::Yellow) => (LightKind::FlashingYellow, named()),
        (["all-round", _, "nm"], Colour::White) => (LightKind::AllRoundWhite, named()),
        // 33 CFR 83.21(g), from memory: 180 to 225 degrees, centred ahead; the lamp takes 200.
        (["special", "flashing", ..], Colour::Yellow) => return (Arc::between(260.0, 100.0), named(), false),
        _ => panic!("{lamp} shows {colour}, and this test knows no duty for that"),
    };
    (international().sector(kind).expect("a sector").arc(), miles, kind.is_sidelight())
}

/// Every generic lamp alone with each of its beams: the arc it must fill, its least intensity, whether it is a sidelight.
fn each_generic_beam() -> impl Iterator<Item = (&'static Optics, &'static Beam, Arc, f64, bool)> {
    library().iter().flat_map(|optics| {
        optics.beams.iter().map(move |beam| {
            let (arc, miles, side) = duty(&optics.name, beam.colour);
            let least = international().intensity(NauticalMiles(miles)).expect("a tabled range").0;
            (&**optics, beam, arc, least, side)
        })
    })
}

fn all_round() -> impl Iterator<Item = Bearing> {
    (0..3600).map(|tenths| Bearing::new(f64::from(tenths) / 10.0))
}

/// How far inside the edge of its sector a light owes all of its minimum, and how far outside it must be dark (Annex I
/// section 9(a)): 9(a)(i) for a sidelight ahead, 9(a)(ii) for every other edge.
fn edge(side: bool, bearing: Bearing) -> (f64, f64) {
    let forward = side && bearing.clockwise_of(Bearing::AHEAD).abs() < 45.0;
    if forward { (0.0, 3.0) } else { (5.0, 5.0) }
}

/// Annex I sections 8, 9 and 10 for every generic lamp alone: what is said of them in their file holds.
#[test]
fn every_generic_lamp_keeps_the_limits_of_its_range() {
    for (optics, beam, sector, least, side) in each_generic_beam() {
        for bearing in all_round() {
            let (inside, outside) = edge(side, bearing);
            let depth = sector.depth(bearing);
            let at = |elevation: f64| beam.intensity_at(bearing, Degrees(elevation)).0;
            let name = &optics.name;
            if depth >= inside {
                assert!([-5.0, 0.0, 5.0].iter().all(|elevation| at(*elevation) >= least), "{name} {bearing}");
                assert!([-7.5, 7.5].iter().all(|elevation| at(*elevation) >= 0.6 * least), "{name} {bearing}");
            } else if depth >= 0.0 {
                assert!(at(0.0) >= 0.5 * least, "{name} {bearing}");
            } else if depth <= -outside {
                assert_eq!(at(0.0), 0.0, "{name} {bearing}");
            }
        }
    }
}

/// Annex I section 10(b): on a sailing vessel under way, half of the minimum within 25 degrees of level. Every generic
/// lamp keeps it, since a lantern at a masthead heels as much as any.
#[test]
fn every_generic_lamp_keeps_half_its_minimum_at_25_degrees() {
    for (optics, beam, sector, least, side) in each_generic_beam() {
        for bearing in all_round().filter(|bearing| sector.depth(*bearing) >= edge(side, *bearing).0) {
            for elevation in [-25.0, -20.0, -10.0, 10.0, 20.0, 25.0] {
                let there = beam.intensity_at(bearing, Degrees(elevation)).0;
                assert!(there >= 0.5 * least, "{} {bearing} {elevation}: {there} cd", optics.name);
            }
        }
    }
}

/// Rule 22(a) to (c): there is a generic lamp of each range for each light that a vessel of any length may owe.
#[test]
fn there_is_a_generic_lamp_for_every_range_of_rule_22() {
    for (what, ranges) in [
        ("masthead", &[2, 3, 5, 6][..]),
        ("starboard", &[1, 2, 3]),
        ("port", &[1, 2, 3]),
        ("bicolour", &[1, 2]),
        ("stern", &[2, 3]),
        ("towing", &[2, 3]),
        ("all-round", &[2, 3]),
        ("all-round red", &[2, 3]),
        ("all-round green", &[2, 3]),
        ("all-round yellow", &[2, 3]),
    ] {
        for miles in ranges {
            let name = format!("{what} {miles} nm");
            assert!(preset(&name).is_some(), "{name}");
        }
    }
}

/// Rule 23(d)(i): a power-driven vessel under 12 m may show an all-round white light and sidelights. The showing on
/// the eight principal bearings follows from Rule 21.
#[test]
fn rule_23_d_i_all_round_white_and_sidelights() {
    let mut scene = bare_boat();
    let judgement = judged(&mut scene, lawful_lamps(), Status::UnderWay);
    assert!(judgement.findings.is_empty(), "{:#?}", judgement.findings);
    assert_eq!(judgement.display.map(|display| display.clause.as_str()), Some("Rule 23(d)(i)"));
    let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings { step: 45.0, ..Settings::default() });
    let letters: Vec<_> = survey.far_showings().iter().map(|showing| showing.letters()).collect();
    assert_eq!(letters, ["RGW", "GW", "GW", "W", "W", "W", "RW", "RW"]);
}

/// Rule 23(a): masthead light, sidelights, sternlight; the eight principal bearings follow from Rule 21.
#[test]
fn rule_23_a_masthead_sidelights_sternlight() {
    let mut scene = bare_boat();
    let mut lamps = lawful_lamps();
    lamps.truncate(2);
    lamps.push(lamp("masthead light", Role::Masthead, "masthead 2 nm", place(2.0, 0.0, 3.0)));
    lamps.push(lamp("sternlight", Role::Sternlight, "stern 2 nm", place(-0.2, 0.0, 1.0)));
    let judgement = judged(&mut scene, lamps, Status::UnderWay);
    assert!(judgement.findings.is_empty(), "{:#?}", judgement.findings);
    assert_eq!(judgement.display.map(|display| display.clause.as_str()), Some("Rule 23(a)"));
    for (degrees, letters) in [
        (0.0, "RGW"),
        (45.0, "GW"),
        (90.0, "GW"),
        (135.0, "W"),
        (180.0, "W"),
        (225.0, "W"),
        (270.0, "RW"),
        (315.0, "RW"),
    ] {
        assert_eq!(judgement.expected(Bearing::new(degrees)).must.letters(), letters, "on {degrees}");
    }
}

/// Rule 23(d)(ii): under 7 m and at most 7 knots an all-round white light alone; a faster boat owes sidelights.
#[test]
fn rule_23_d_ii_turns_on_length_and_top_speed() {
    let white = || vec![lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 3.0))];
    for (length, knots, lawful) in [(6.99, 7.0, true), (7.0, 7.0, false), (6.99, 7.01, false)] {
        let mut scene = boat_of(length);
        scene.vessel.top_speed.0 = knots;
        let judgement = judged(&mut scene, white(), Status::UnderWay);
        assert_eq!(
            judgement.worst() != Some(Severity::Fault),
            lawful,
            "{length} m, {knots} kn: {:#?}",
            judgement.findings
        );
    }
}

/// Rule 23(d) ends at 12 m: from there a masthead light and a sternlight are owed, and the masthead light must reach
/// 3 miles (Rule 22(b)).
#[test]
fn rule_23_d_ends_at_12_metres() {
    for (length, expected) in [(11.99, vec![]), (12.0, vec![Kind::LightMissing, Kind::LightNotAllowed, Kind::TooWeak])]
    {
        let mut scene = boat_of(length);
        let side = scene.vessel.beam.0 / 2.0 + 0.1;
        let lamps = vec![
            lamp("starboard sidelight", Role::StarboardSidelight, "starboard 1 nm", place(length * 0.7, side, 1.2)),
            lamp("port sidelight", Role::PortSidelight, "port 1 nm", place(length * 0.7, -side, 1.2)),
            lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 4.0)),
        ];
        assert_eq!(kinds(&judged(&mut scene, lamps, Status::UnderWay)), expected, "{length} m");
    }
}

/// Rule 30(b): at anchor one all-round white light.
#[test]
fn rule_30_b_at_anchor() {
    let mut scene = bare_boat();
    let mut anchor = lamp("anchor light", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 3.0));
    assert_eq!(kinds(&judged(&mut scene, vec![anchor.clone()], Status::AtAnchor)), [Kind::LightMissing]);
    anchor.lit = vec![Status::AtAnchor];
    assert!(judged(&mut scene, vec![anchor], Status::AtAnchor).findings.is_empty());
}

/// Annex I section 2(d): under 12 m the white light stands at least 1 m above the sidelights.
#[test]
fn annex_i_2_d_white_light_one_metre_above_the_sidelights() {
    for (height, expected) in [(2.2, vec![]), (2.19, vec![Kind::TooLow])] {
        let mut scene = bare_boat();
        let mut lamps = lawful_lamps();
        lamps[2].at = Some(place(1.0, 0.0, height));
        assert_eq!(kinds(&judged(&mut scene, lamps, Status::UnderWay)), expected, "white light at {height} m");
    }
}

/// Annex I section 9(b)(i): an all-round light may be hidden over sectors of up to 6 degrees.
#[test]
fn annex_i_9_b_i_all_round_light_behind_a_mast() {
    // A post of diameter d at 1 m hides the light where too little is left of the face.
    for (diameter, severity) in [(0.08, Severity::Note), (0.16, Severity::Fault)] {
        let mut scene = bare_boat();
        scene.parts.push(support::post("mast", 2.0, 0.0, diameter));
        let judgement = judged(&mut scene, lawful_lamps(), Status::UnderWay);
        let [finding] = judgement.findings.as_slice() else { panic!("{diameter} m: {:#?}", judgement.findings) };
        assert_eq!((finding.kind, finding.severity), (Kind::AllRoundObscured, severity));
        assert_eq!(finding.by.as_deref(), Some("mast"));
        let wide = finding.arc.is_some_and(|arc: Arc| arc.contains(Bearing::AHEAD) && arc.width > 6.0);
        assert_eq!(wide, severity == Severity::Fault, "{diameter} m");
    }
}

/// Annex I section 8 as fitted: 1-mile sidelights on a vessel of 12 m are too weak all through their sectors.
#[test]
fn rule_22_b_one_mile_sidelights_at_12_metres_are_too_weak() {
    let mut scene = boat_of(12.0);
    scene.vessel.freeboard = Metres(1.0);
    let lamps = vec![
        lamp("starboard sidelight", Role::StarboardSidelight, "starboard 1 nm", place(8.0, 2.3, 2.0)),
        lamp("port sidelight", Role::PortSidelight, "port 2 nm", place(8.0, -2.3, 2.0)),
        lamp("masthead light", Role::Masthead, "masthead 3 nm", place(6.0, 0.0, 4.5)),
        lamp("sternlight", Role::Sternlight, "stern 2 nm", place(-0.2, 0.0, 1.4)),
    ];
    let judgement = judged(&mut scene, lamps, Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::TooWeak], "{:#?}", judgement.findings);
    assert_eq!(judgement.findings[0].lamp.as_deref(), Some("starboard sidelight"));
    assert!((judgement.findings[0].arc.expect("an arc").width - 112.5).abs() < 0.05);
}

/// Sidelights turned outward (positive) or inward by some degrees, each to its own side.
fn toed_out(degrees: f64) -> Judgement<'static> {
    let mut scene = bare_boat();
    let mut lamps = lawful_lamps();
    lamps[0].yaw = Degrees(degrees);
    lamps[1].yaw = Degrees(-degrees);
    judged(&mut scene, lamps, Status::UnderWay)
}

/// Annex I section 9(a)(i): full light up to right ahead, cut off between 1 and 3 degrees outside. Toed out, a dark
/// lane opens ahead; toed in by more than the cut-off leaves, both show in a lane wider than twice 3 degrees.
#[test]
fn annex_i_9_a_i_sidelights_toed_out_or_in() {
    let lane = |judgement: &Judgement, kind| {
        judgement.findings.iter().find(|finding| finding.kind == kind).and_then(|finding| finding.arc)
    };
    let out = toed_out(3.0);
    // The after edges swing past what Annex I 9(a)(ii) allows as well.
    assert_eq!(kinds(&out), [Kind::NotParallel, Kind::DarkLane, Kind::Spill], "{:#?}", out.findings);
    let dark = lane(&out, Kind::DarkLane).expect("an arc");
    assert!(dark.contains(Bearing::AHEAD) && dark.width > 2.0 && dark.width < 6.0, "{dark}");
    let inward = toed_out(-4.0);
    assert_eq!(kinds(&inward), [Kind::NotParallel, Kind::DoubleLane, Kind::Spill], "{:#?}", inward.findings);
    let double = lane(&inward, Kind::DoubleLane).expect("an arc");
    // The generic sidelights reach their cut-off just under 2 degrees past their datum line.
    assert!((double.width - 2.0 * (4.0 + 1.8)).abs() < 0.5, "{double}");
    assert!(toed_out(0.4).findings.is_empty());
}

/// Rule 21(b) with both sidelights dark: the lane is told to where the sidelights end.
#[test]
fn sidelights_that_lie_flat_are_dark_from_end_to_end() {
    let mut scene = bare_boat();
    // The deck rises towards the bow and tips the lamps back, so that even their edges miss the sea ahead.
    scene.vessel.hull.sheer = Metres(0.4);
    scene.vessel.hull.deck_camber = Metres(0.05);
    let mut lamps = lawful_lamps();
    for (lamp, side) in lamps.iter_mut().zip([0.7, -0.7]) {
        lamp.at = Some(Place { forward: 4.0, starboard: side, height: Height::AboveDeck(0.05) });
        lamp.mount = lampwalk::boat::Mount::FlatOnDeck(lampwalk::boat::Along::Centreline);
    }
    let judgement = judged(&mut scene, lamps, Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::NotUpright, Kind::DarkLane], "{:#?}", judgement.findings);
    let lane = judgement.findings.iter().find(|finding| finding.kind == Kind::DarkLane).and_then(|finding| finding.arc);
    // Both lie dark from beam to beam and on to where they would end.
    assert!(lane.is_some_and(|arc| arc.width > 200.0 && arc.width <= 226.0));
}

/// Rule 21(b): green to starboard, red to port. Lamps swapped show the wrong colours, and nothing else is amiss.
#[test]
fn rule_21_b_sidelights_swapped() {
    let mut scene = bare_boat();
    let mut lamps = lawful_lamps();
    let (first, rest) = lamps.split_at_mut(1);
    std::mem::swap(&mut first[0].optics, &mut rest[0].optics);
    let judgement = judged(&mut scene, lamps, Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::WrongColour], "{:#?}", judgement.findings);
    assert_eq!(judgement.findings.len(), 2);
}

/// Rule 20(b): no light that may be mistaken for those prescribed. A sternlight beside the all-round white light of
/// Rule 23(d)(i) is no part of that display.
#[test]
fn rule_20_b_a_sternlight_beside_an_all_round_light() {
    let mut scene = bare_boat();
    let mut lamps = lawful_lamps();
    lamps.push(lamp("sternlight", Role::Sternlight, "stern 2 nm", place(-0.2, 0.0, 1.0)));
    let judgement = judged(&mut scene, lamps, Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::LightNotAllowed], "{:#?}", judgement.findings);
    assert_eq!(judgement.findings[0].lamp.as_deref(), Some("sternlight"));
}

/// Rule 21(b): a sidelight shows an unbroken light. A stanchion in front of it breaks it, over twice the arcsine of
/// the half width that still leaves too little.
#[test]
fn rule_21_b_a_stanchion_before_a_sidelight() {
    let mut scene = bare_boat();
    let stanchion = PartKind::Stanchion { at: place(4.3, 1.4, 0.0), height: 2.0, diameter: 0.05 };
    scene.parts.push(Part::new("stanchion", stanchion));
    let judgement = judged(&mut scene, lawful_lamps(), Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::Shadowed], "{:#?}", judgement.findings);
    let finding = &judgement.findings[0];
    assert_eq!((finding.lamp.as_deref(), finding.by.as_deref()), (Some("starboard sidelight"), Some("stanchion")));
    // Seen from the lamp at (4, 1.2) the post stands 0.36 m off on 33.7; a face 0.03 m wide is short of its 0.9 cd
    // (of 1.62) when the post covers more than four ninths of it.
    let arc = finding.arc.expect("an arc");
    let distance = f64::hypot(0.3, 0.2);
    let aside = 0.05 / 2.0 + 0.03 / 2.0 - 0.03 * (1.0 - 0.9 / 1.62);
    assert!((arc.width - 2.0 * (aside / distance).asin().to_degrees()).abs() < 0.3, "{arc}");
    assert!((arc.middle().degrees() - 33.69).abs() < 0.2, "{arc}");
}

/// Annex I section 10(a): upright, a lamp keeps its light 7.5 degrees up and down; leaning, it loses it. The generic
/// lamps keep three fifths of 1.8 times the minimum at 15 degrees, so a lean of 3 is a note and one of 25 a fault.
#[test]
fn annex_i_10_a_a_leaning_lamp() {
    for (tilt, severity) in [(3.0, Severity::Note), (25.0, Severity::Fault)] {
        let mut scene = bare_boat();
        let mut lamps = lawful_lamps();
        lamps[2].tilt = Degrees(tilt);
        let judgement = judged(&mut scene, lamps, Status::UnderWay);
        let [finding] = judgement.findings.as_slice() else { panic!("{tilt}: {:#?}", judgement.findings) };
        assert_eq!((finding.kind, finding.severity), (Kind::NotUpright, severity), "{finding:#?}");
    }
}

/// Rule 23(d)(iii): under 12 m the white light may stand off the centreline only if the sidelights are combined in one
/// lantern on the same fore-and-aft line.
#[test]
fn rule_23_d_iii_a_white_light_off_the_centreline() {
    let lantern = |side: f64| lamp("lantern", Role::CombinedSidelights, "bicolour 1 nm", place(5.5, side, 1.2));
    let white = |side: f64| lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, side, 3.0));
    let faults = |lamps: Vec<Lamp>| {
        let judgement = judged(&mut bare_boat(), lamps, Status::UnderWay);
        let found: Vec<_> = judgement.findings.iter().map(|one| (one.kind, one.severity)).collect();
        found
    };
    let mut apart = lawful_lamps();
    apart[2].at = Some(place(1.0, 0.75, 3.0));
    assert_eq!(faults(apart), [(Kind::Misplaced, Severity::Fault)]);
    assert_eq!(faults(vec![lantern(0.0), white(0.0)]), []);
    assert_eq!(faults(vec![lantern(0.0), white(0.5)]), []);
    assert_eq!(faults(vec![lantern(0.5), white(0.5)]), [(Kind::Misplaced, Severity::Caution)]);
    assert_eq!(faults(vec![lantern(0.5), white(0.0)]), [(Kind::Misplaced, Severity::Fault)]);
}

/// Rule 21(b): the green light is on the starboard side and the red on the port side.
#[test]
fn rule_21_b_each_sidelight_on_its_own_side() {
    let mut lamps = lawful_lamps();
    lamps[0].at = Some(place(4.0, -1.2, 1.2));
    lamps[1].at = Some(place(4.0, 1.2, 1.2));
    let judgement = judged(&mut bare_boat(), lamps, Status::UnderWay);
    assert!(kinds(&judgement).contains(&Kind::Misplaced), "{:#?}", judgement.findings);
}

/// Rule 21(c): as nearly as practicable at the stern.
#[test]
fn rule_21_c_a_sternlight_amidships() {
    let mut lamps = lawful_lamps();
    lamps.truncate(2);
    lamps.push(lamp("masthead light", Role::Masthead, "masthead 2 nm", place(3.0, 0.0, 3.0)));
    lamps.push(lamp("sternlight", Role::Sternlight, "stern 2 nm", place(2.5, 0.0, 2.0)));
    let judgement = judged(&mut bare_boat(), lamps, Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::Misplaced], "{:#?}", judgement.findings);
    assert_eq!(judgement.worst(), Some(Severity::Caution));
}

/// Rule 20(b): the verdict does not turn on the order in which lamps are written, and whatever shows where it may not
/// is a fault.
#[test]
fn rule_20_b_a_second_lamp_of_another_colour() {
    let second = || {
        let mut red = lamp("second", Role::StarboardSidelight, "port 1 nm", place(3.5, 1.3, 1.2));
        red.yaw = Degrees(120.0);
        red
    };
    let mut last = lawful_lamps();
    last.push(second());
    let mut first = lawful_lamps();
    first.insert(0, second());
    for lamps in [last, first] {
        let mut scene = bare_boat();
        let judgement = judged(&mut scene, lamps, Status::UnderWay);
        let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
        let extra = survey.bearings.iter().zip(survey.far_showings());
        assert!(extra.clone().any(|(bearing, showing)| !judgement.expected(*bearing).extra(showing).is_empty()));
        assert_eq!(judgement.worst(), Some(Severity::Fault), "{:#?}", judgement.findings);
        assert!(kinds(&judgement).contains(&Kind::WrongColour));
    }
}

/// Rule 20(b): one more light of a kind than is asked for is a caution; a pair so close that it looks like one is not.
#[test]
fn rule_20_b_one_light_too_many() {
    for (height, expected) in [(3.6, vec![Kind::LightNotAllowed]), (3.05, vec![])] {
        let mut lamps = lawful_lamps();
        lamps.push(lamp("second white", Role::AllRoundWhite, "all-round 2 nm", place(1.2, 0.0, height)));
        assert_eq!(kinds(&judged(&mut bare_boat(), lamps, Status::UnderWay)), expected, "second at {height} m");
    }
}

/// Rule 21(a): a sternlight fitted as a masthead light is strong enough and looks the wrong way.
#[test]
fn rule_21_a_a_sternlight_fitted_as_masthead_light() {
    let mut lamps = lawful_lamps();
    lamps.truncate(2);
    lamps.push(lamp("masthead light", Role::Masthead, "stern 2 nm", place(2.0, 0.0, 3.0)));
    lamps.push(lamp("sternlight", Role::Sternlight, "stern 2 nm", place(-0.2, 0.0, 1.0)));
    let judgement = judged(&mut bare_boat(), lamps, Status::UnderWay);
    assert_eq!(kinds(&judgement), [Kind::WrongLamp], "{:#?}", judgement.findings);
    assert!(judgement.findings[0].mend.contains("made as a masthead light"));
}

/// Rule 23(d)(ii): with the all-round white light alone, sidelights are owed if practicable.
#[test]
fn rule_23_d_ii_sidelights_if_practicable() {
    let mut scene = boat_of(6.0);
    scene.vessel.top_speed.0 = 6.0;
    let white = lamp("white", Role::AllRoundWhite, "all-round 2 nm", place(1.0, 0.0, 3.0));
    let judgement = judged(&mut scene, vec![white], Status::UnderWay);
    assert_eq!(judgement.worst(), Some(Severity::Caution), "{:#?}", judgement.findings);
    assert_eq!(kinds(&judgement), [Kind::LightMissing]);
}

/// Rule 30(e): under 7 m no anchor light is required away from where others pass; from 7 m one is.
#[test]
fn rule_30_e_ends_at_7_metres() {
    for (length, severity) in [(6.99, Severity::Caution), (7.0, Severity::Fault)] {
        assert_eq!(judged(&mut boat_of(length), vec![], Status::AtAnchor).worst(), Some(severity), "{length} m");
    }
}

/// Annex I section 2(c): from 12 m the masthead light stands at least 2.5 m above the gunwale.
#[test]
fn annex_i_2_c_masthead_light_above_the_gunwale() {
    for (above, expected) in [(2.5, vec![]), (2.49, vec![Kind::TooLow])] {
        let mut scene = boat_of(14.0);
        scene.vessel.freeboard = Metres(1.0);
        let lamps = vec![
            lamp("starboard sidelight", Role::StarboardSidelight, "starboard 2 nm", place(9.0, 2.6, 1.8)),
            lamp("port sidelight", Role::PortSidelight, "port 2 nm", place(9.0, -2.6, 1.8)),
            lamp("masthead light", Role::Masthead, "masthead 3 nm", place(7.0, 0.0, 1.0 + above)),
            lamp("sternlight", Role::Sternlight, "stern 2 nm", place(-0.2, 0.0, 1.4)),
        ];
        assert_eq!(kinds(&judged(&mut scene, lamps, Status::UnderWay)), expected, "{above} m above the gunwale");
    }
}

/// Annex I section 10(a) in normal operating trim: what she loses only when she leans is a caution that names the way.
#[test]
fn annex_i_10_a_a_light_lost_only_when_she_heels() {
    let mut scene = bare_boat();
    scene.conditions.heel = Degrees(30.0);
    let judgement = judged(&mut scene, lawful_lamps(), Status::UnderWay);
    assert_eq!(judgement.worst(), Some(Severity::Caution), "{:#?}", judgement.findings);
    assert!(judgement.findings.iter().any(|finding| finding.what.contains("when heeled 30 degrees")));
}
