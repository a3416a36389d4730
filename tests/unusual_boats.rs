//! Boats that are lit in unusual ways, lawful or not, against the International Regulations for Preventing Collisions at
//! Sea, 1972: what a judgement by habit would get wrong.

mod support;

use lampwalk::{
    boat::{
        Part, PartKind,
        Propulsion::{Oars, Power, Sail},
        Role::{self, *},
        Status,
    },
    rules::{Kind, Severity, Standing, clause_table, inland, international},
};
use support::{
    displays::{anchors, judged, kinds, rows, told},
    place,
    rig::{Rig, Spot},
};

fn faults(rig: &Rig) -> Vec<Kind> {
    let judgement = judged(rig);
    let mut kinds: Vec<Kind> =
        judgement.findings.iter().filter(|one| one.severity == Severity::Fault).map(|one| one.kind).collect();
    kinds.sort();
    kinds.dedup();
    kinds
}

/// Rule 27(g): under 12 m the lights of Rule 27 are not required, those of Rules 23 to 25 and 30 still are.
#[test]
fn under_12_m_a_vessel_not_under_command_may_show_what_she_shows_under_way() {
    for status in [Status::NotUnderCommand, Status::NotUnderCommandStopped, Status::Restricted] {
        let ordinary = |length: f64| Rig::of(length, Power, status).masthead().sidelights().sternlight();
        assert_eq!(faults(&ordinary(11.99)), [], "{}{}", status.in_words(), told(&judged(&ordinary(11.99))));
        assert!(faults(&ordinary(12.0)).contains(&Kind::LightMissing));
        // Dark she may not be.
        assert!(faults(&Rig::of(11.99, Power, status)).contains(&Kind::LightMissing));
    }
    let anchored = anchors(Rig::of(11.99, Power, Status::RestrictedAtAnchor));
    assert_eq!(kinds(&judged(&anchored)), []);
}

/// The verdict does not turn on the order in which lamps stand in the file.
#[test]
fn three_masthead_lights_in_a_line_are_one_too_many_for_a_short_tow_in_any_order() {
    let long = rows().into_iter().find(|row| row.status == Status::TowingLong).expect("a row");
    let rig = long.rigged(15.0);
    let lamps = rig.scene.fits[0].lamps.clone();
    let mut verdicts = Vec::new();
    for turn in 0..lamps.len() {
        let mut short = long.rigged(15.0).doing(Status::Towing);
        short.scene.fits[0].lamps = lamps.clone();
        short.scene.fits[0].lamps.rotate_left(turn);
        for lamp in &mut short.scene.fits[0].lamps {
            lamp.lit = vec![Status::Towing];
        }
        let judgement = judged(&short);
        let mut found: Vec<String> = judgement.findings.iter().map(|one| one.what.clone()).collect();
        found.sort();
        verdicts.push(found);
    }
    assert!(!verdicts[0].is_empty());
    assert!(verdicts.iter().all(|one| *one == verdicts[0]), "{verdicts:#?}");
}

/// Rule 21(b): one lantern or a lamp for each side; two green lights are one too many.
#[test]
fn a_lantern_with_a_sidelight_beside_it_shows_one_light_too_many() {
    let rig = Rig::of(11.0, Power, Status::UnderWay).masthead().sternlight();
    let lantern = Spot { forward: 9.0, starboard: 0.0, above: 1.2 };
    let aside = Spot { forward: 9.5, starboard: 0.6, above: 0.9 };
    let rig = rig.light("lantern", CombinedSidelights, lantern).light("green", StarboardSidelight, aside);
    let judgement = judged(&rig);
    assert_eq!(kinds(&judgement), [Kind::LightNotAllowed], "{}", told(&judgement));
    assert!(judgement.findings[0].what.contains("lantern") && judgement.findings[0].lamp.as_deref() == Some("green"));
}

/// Rule 25(d)(ii) leaves the lights open, not half of them.
#[test]
fn one_sidelight_alone_is_a_fault_even_under_oars() {
    let one = |by| Rig::of(6.0, by, Status::UnderWay).sidelights().without("port sidelight");
    for by in [Oars, Sail] {
        assert_eq!(faults(&one(by)), [Kind::LightMissing]);
    }
    assert_eq!(faults(&Rig::of(6.0, Oars, Status::UnderWay)), []);
}

/// Annex I 3(b) speaks of power-driven vessels.
#[test]
fn sidelights_may_stand_inboard_on_a_sailing_vessel() {
    let inboard = |rig: Rig| {
        let mut rig = rig.moved("starboard sidelight", 0.0, -1.2).moved("port sidelight", 0.0, 1.2);
        for part in &mut rig.scene.parts {
            let PartKind::Screen { at, .. } = &mut part.kind else { continue };
            at.starboard -= 1.2 * at.starboard.signum();
        }
        rig
    };
    let sail = inboard(Rig::of(25.0, Sail, Status::UnderWay).sidelights().sternlight());
    assert!(!faults(&sail).contains(&Kind::Misplaced), "{}", told(&judged(&sail)));
    let power = inboard(Rig::of(25.0, Power, Status::UnderWay).mastheads().sidelights().sternlight());
    assert!(faults(&power).contains(&Kind::Misplaced));
}

/// Annex I 9(b)(ii): two lights that look like one serve as one, also beside a second anchor light.
#[test]
fn a_pair_forward_and_one_aft_are_two_anchor_lights() {
    let rig = anchors(Rig::of(55.0, Power, Status::AtAnchor));
    let fore = Spot { forward: 55.0 * 0.9 - 0.4, starboard: 0.0, above: 12.05 };
    let rig = rig.light("second anchor light", AllRoundWhite, fore);
    assert_eq!(kinds(&judged(&rig)), [], "{}", told(&judged(&rig)));
}

/// Annex I 5: a plate at the lamp's feet is no screen.
#[test]
fn a_screen_stands_as_high_as_the_lamp() {
    let mut rig = Rig::of(25.0, Power, Status::UnderWay).mastheads().sidelights().sternlight();
    assert_eq!(kinds(&judged(&rig)), []);
    for part in &mut rig.scene.parts {
        let PartKind::Screen { at, .. } = &mut part.kind else { continue };
        at.height = lampwalk::boat::Height::AboveDeck(0.05);
    }
    assert_eq!(kinds(&judged(&rig)), [Kind::ScreenMissing]);
}

/// Annex I 2(i): two lights at one height have no gap; no order of theirs is wrong.
#[test]
fn two_red_lights_abreast_have_no_gap_between_them() {
    let abreast = [-0.3, 0.3].into_iter().fold(Rig::of(12.0, Power, Status::NotUnderCommandStopped), |rig, side| {
        let name = if side < 0.0 { "port red" } else { "starboard red" };
        rig.light(name, AllRoundRed, Spot { forward: 6.0, starboard: side, above: 5.0 })
    });
    let judgement = judged(&abreast);
    assert_eq!(kinds(&judgement), [Kind::TooClose], "{}", told(&judgement));
}

/// Rules 25(b) and 25(c), 29(a): how near the masthead cannot be told without a mast.
#[test]
fn without_a_mast_the_top_of_the_mast_is_left_open() {
    let row = rows().into_iter().find(|row| row.clause == "Rule 25(b)").expect("a row");
    for (masts, standing) in [(1, true), (0, false)] {
        let mut rig = row.rigged(12.0);
        rig.scene.parts.truncate(masts);
        let judgement = judged(&rig);
        let table = clause_table(&[(rig.status, &judgement)]);
        let line = table.iter().find(|line| line.row.clause == "Rule 25(b)").expect("a line");
        assert_eq!(line.standing == Standing::Met, standing, "{:?}", line.standing);
        assert_eq!(matches!(line.standing, Standing::NotCheckable(_)), !standing);
    }
}

/// A lamp made for another light leaves open what it cannot be held against, and no lamp at all has no colour to measure.
#[test]
fn what_was_not_held_against_a_lamp_is_not_met() {
    let mut wrong = Rig::of(11.0, Power, Status::UnderWay).masthead();
    let stern = support::rig::optics(Role::Sternlight, 11.0);
    wrong.scene.fits[0].lamps[0].optics = std::sync::Arc::new(stern);
    let judgement = judged(&wrong);
    let table = clause_table(&[(wrong.status, &judgement)]);
    let standing = |clause: &str| &table.iter().find(|line| line.row.clause == clause).expect("a line").standing;
    for clause in ["Rule 22(c)", "Annex I 8", "Annex I 10(a)(i)"] {
        assert!(matches!(standing(clause), Standing::NotCheckable(_)), "{clause}: {:?}", standing(clause));
    }
    let dark = judged(&Rig::of(11.0, Power, Status::UnderWay));
    assert!(!dark.asked.contains("Annex I 7"));
}

/// The inland set has no figures of its own for what dazzles.
#[test]
fn the_lookout_is_held_against_the_same_figures_inland() {
    let [own, other] =
        [&international().glare, &inland().glare].map(|glare| (glare.times, glare.eye_lux, glare.deck_lux));
    assert_eq!(own, other);
}

/// Words that a sentence is made of fit one another.
#[test]
fn a_red_lamp_in_a_white_light_s_place_is_told_in_good_english() {
    let mut rig = Rig::of(13.0, Power, Status::AtAnchor);
    rig = rig.light("anchor light", AllRoundWhite, Spot { forward: 6.0, starboard: 0.0, above: 4.0 });
    rig.scene.fits[0].lamps[0].optics = std::sync::Arc::new(support::rig::optics(Role::AllRoundRed, 13.0));
    let found = told(&judged(&rig));
    assert!(found.contains("where an all-round white light shows white"), "{found}");
}

/// Rule 23(d)(i) and a post: parts that stand in no lamp's way change nothing.
#[test]
fn a_post_far_outboard_hides_nothing() {
    let mut rig = Rig::of(11.0, Power, Status::UnderWay).masthead().sidelights().sternlight();
    let kind = PartKind::Stanchion { at: place(5.0, 3.0, -2.0), height: 1.5, diameter: 0.05 };
    rig.scene.parts.push(Part::new("low post", kind));
    assert_eq!(kinds(&judged(&rig)), []);
}
