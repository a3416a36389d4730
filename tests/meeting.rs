//! Two vessels in sight of one another, against Rules 13 to 18 of the COLREGs 1972 as written out below, and against
//! published examination questions (`meeting/questions.ron`; the README beside it says where they were read).
//!
//! The text of the Rules is quoted from memory. Expectations are written by hand from it, not taken from the program.

use lampwalk::{
    boat::Status::{self, *},
    measure::{Bearing, Knots},
    rules::{
        Duty, Encounter, KeepsClear, Meeting, Party, Side, ahead_figures, inland, international, meeting,
        overtaking_doubt, overtaking_sector,
    },
};
use serde::Deserialize;

fn party((status, bears, speed): (Status, f64, f64)) -> Party {
    Party { status, bears: Bearing::new(bears), speed: Knots(speed) }
}

fn met(you: (Status, f64, f64), she: (Status, f64, f64)) -> Meeting {
    meeting(&party(you), &party(she), international())
}

const YOU: KeepsClear = KeepsClear::One(Side::You);
const SHE: KeepsClear = KeepsClear::One(Side::She);

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Question {
    source: String,
    asks: String,
    filled: String,
    you: (Status, f64, f64),
    she: (Status, f64, f64),
    encounter: Asked,
    keeps: Keeps,
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
enum Asked {
    YouOvertake,
    SheOvertakes,
    HeadOn,
    Crossing,
    Passing,
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
enum Keeps {
    You,
    She,
    Both,
    Neither,
}

#[test]
fn examination_questions_are_answered_as_published() {
    let questions: Vec<Question> = ron::from_str(include_str!("meeting/questions.ron")).expect("the questions");
    assert!(questions.len() >= 30);
    for question in questions {
        let met = met(question.you, question.she);
        let encounter = match met.encounter {
            Encounter::Overtaking(Side::You) => Asked::YouOvertake,
            Encounter::Overtaking(Side::She) => Asked::SheOvertakes,
            Encounter::HeadOn => Asked::HeadOn,
            Encounter::Crossing => Asked::Crossing,
            Encounter::Passing => Asked::Passing,
            other => panic!("{}: {other:?}", question.source),
        };
        let keeps = match met.keeps_clear {
            KeepsClear::One(Side::You) => Keeps::You,
            KeepsClear::One(Side::She) => Keeps::She,
            KeepsClear::Both => Keeps::Both,
            KeepsClear::Neither => Keeps::Neither,
            KeepsClear::Open => panic!("{}: open", question.source),
        };
        let name = format!("question {}: {} (filled in: {})", question.source, question.asks, question.filled);
        assert_eq!((encounter, keeps), (question.encounter, question.keeps), "{name}: {}", met.why);
        assert!(!met.assumed, "{name}");
    }
}

/// Rule 13(b): "coming up with another vessel from a direction more than 22.5 degrees abaft her beam".
#[test]
fn overtaking_begins_beyond_two_points_abaft_either_beam_and_not_at_them() {
    for (bears, certain) in
        [(112.6, true), (120.0, true), (180.0, true), (240.0, true), (247.4, true), (112.5, false), (247.5, false)]
    {
        let met = met((UnderEngine, 0.0, 12.0), (UnderEngine, bears, 6.0));
        assert_eq!(met.encounter, Encounter::Overtaking(Side::You), "{bears}");
        assert_eq!(met.assumed, !certain, "{bears}");
        assert_eq!(met.clause, if certain { "Rule 13(a)" } else { "Rule 13(c)" });
    }
}

/// Rule 13(c): in any doubt she shall assume that it is overtaking. The doubt is as wide as lights may overlap (Annex I 9(b):
/// 5 degrees).
#[test]
fn near_the_limit_overtaking_is_assumed_and_further_forward_it_is_not() {
    for bears in [108.0, 252.0] {
        let near = met((UnderEngine, 0.0, 12.0), (UnderEngine, bears, 6.0));
        assert_eq!((near.encounter, near.assumed), (Encounter::Overtaking(Side::You), true), "{bears}");
    }
    for bears in [107.0, 253.0] {
        let past = met((UnderEngine, 360.0 - 26.0, 12.0), (UnderEngine, bears, 6.0));
        assert!(!matches!(past.encounter, Encounter::Overtaking(_)), "{bears}");
    }
}

/// The limit is the sternlight's sector of the rule data, in both sets (Rule 21(c)).
#[test]
fn the_sector_is_that_of_the_sternlight() {
    for rules in [international(), inland()] {
        let sector = overtaking_sector(rules).expect("a sternlight");
        assert_eq!((sector.from.degrees(), sector.width), (112.5, 135.0));
        assert_eq!(overtaking_doubt(rules), 5.0);
    }
}

/// Rule 13(d): "Any subsequent alteration of the bearing [...] shall not make the overtaking vessel a crossing vessel [...]
/// until she is finally past and clear."
#[test]
fn an_overtaking_vessel_stays_so_until_past_and_clear() {
    let before = met((UnderEngine, 350.0, 12.0), (UnderEngine, 150.0, 6.0));
    assert_eq!(before.encounter, Encounter::Overtaking(Side::You));
    // Drawn up to her beam and closing: by the bearing alone she would be the one to give way.
    let now = met((UnderEngine, 300.0, 12.0), (UnderEngine, 60.0, 12.0));
    assert_eq!(now.keeps_clear, SHE);
    let kept = before.later(now.clone(), false);
    assert_eq!((kept.encounter, kept.keeps_clear, kept.clause), (Encounter::Overtaking(Side::You), YOU, "Rule 13(d)"));
    assert_eq!(before.later(now.clone(), true), now);
    // What was no overtaking binds nobody later.
    let crossing = met((UnderEngine, 50.0, 8.0), (UnderEngine, 310.0, 8.0));
    assert_eq!(crossing.later(now.clone(), false), now);
}

/// Rule 13(a): "Notwithstanding anything contained in the Rules of part B, sections I and II, any vessel overtaking any other
/// shall keep out of the way". It goes before Rule 18, whose opening excepts Rule 13.
#[test]
fn whoever_overtakes_keeps_clear_whatever_both_are() {
    for own in Status::ALL.iter().filter(|status| under_way(**status)) {
        for other in Status::ALL.iter().filter(|status| under_way(**status)) {
            let met = met((*own, 0.0, 12.0), (*other, 180.0, 3.0));
            assert_eq!((met.encounter, met.keeps_clear), (Encounter::Overtaking(Side::You), YOU), "{own:?} {other:?}");
            assert_eq!((met.duty(Side::You), met.duty(Side::She)), (Duty::KeepClear, Duty::StandOn));
        }
    }
}

fn under_way(status: Status) -> bool {
    !matches!(status, AtAnchor | Aground | PilotAtAnchor | RestrictedAtAnchor)
}

/// Rule 14(a) and (b): nearly reciprocal courses, the other ahead or nearly ahead. How near is the program's own: half a point;
/// to one point it is assumed (14(c)).
#[test]
fn head_on_is_ahead_or_nearly_ahead_of_both() {
    assert_eq!(ahead_figures(), (11.25 / 2.0, 11.25));
    for (you, she, assumed) in
        [(0.0, 0.0, false), (5.0, 355.0, false), (355.0, 5.0, false), (8.0, 352.0, true), (4.0, 11.0, true)]
    {
        let met = met((UnderEngine, you, 8.0), (UnderEngine, she, 8.0));
        assert_eq!(
            (met.encounter, met.keeps_clear, met.assumed),
            (Encounter::HeadOn, KeepsClear::Both, assumed),
            "{you} {she}"
        );
        assert_eq!(met.clause, if assumed { "Rule 14(c)" } else { "Rule 14(a)" });
        assert_eq!(met.duty(Side::You), Duty::AlterToStarboard);
    }
    let crossing = met((UnderEngine, 12.0, 8.0), (UnderEngine, 340.0, 8.0));
    assert_eq!(crossing.encounter, Encounter::Crossing);
}

/// Rule 15(a): "the vessel which has the other on her own starboard side shall keep out of the way". All round both bows.
#[test]
fn crossing_the_one_with_the_other_to_starboard_keeps_clear() {
    for degrees in (15..=100).step_by(5).map(f64::from) {
        // Steady bearings: equal speeds across the line that joins them.
        let (you, she) = ((UnderEngine, degrees, 8.0), (UnderEngine, 360.0 - degrees, 8.0));
        let one = met(you, she);
        if degrees < 90.0 {
            assert_eq!(
                (one.encounter, one.keeps_clear, one.clause),
                (Encounter::Crossing, YOU, "Rule 15(a)"),
                "{degrees}"
            );
            assert_eq!(one.duty(Side::She), Duty::StandOn);
            assert_eq!(met(she, you).keeps_clear, SHE);
        } else {
            assert_eq!(one.encounter, Encounter::Parting, "{degrees}");
        }
    }
}

/// Rule 18 written out: (a) power gives way to not under command (i), restricted (ii), fishing (iii), sailing (iv); (b) sailing
/// to not under command (i), restricted (ii), fishing (iii); (c) fishing to not under command (i), restricted (ii), so far as
/// possible; (d)(i) all but not under command and restricted avoid impeding one constrained by her draught.
#[test]
fn rule_18_ranks_vessels() {
    let rows = [
        (UnderEngine, NotUnderCommand, "Rule 18(a)(i)"),
        (UnderEngine, Restricted, "Rule 18(a)(ii)"),
        (UnderEngine, Fishing, "Rule 18(a)(iii)"),
        (UnderEngine, UnderSail, "Rule 18(a)(iv)"),
        (UnderSail, NotUnderCommand, "Rule 18(b)(i)"),
        (UnderSail, Restricted, "Rule 18(b)(ii)"),
        (UnderSail, Trawling, "Rule 18(b)(iii)"),
        (Trawling, NotUnderCommand, "Rule 18(c)(i)"),
        (Fishing, Dredging, "Rule 18(c)(ii)"),
        (UnderEngine, ConstrainedByDraught, "Rule 18(d)(i)"),
        (UnderSail, ConstrainedByDraught, "Rule 18(d)(i)"),
        (Fishing, ConstrainedByDraught, "Rule 18(d)(i)"),
        // Towing, pushing, pilotage and an air cushion leave her a power-driven vessel (Rule 3(b)).
        (Towing, UnderSail, "Rule 18(a)(iv)"),
        (Pushing, Fishing, "Rule 18(a)(iii)"),
        (Pilot, UnderSail, "Rule 18(a)(iv)"),
        (AirCushion, Restricted, "Rule 18(a)(ii)"),
        (ConstrainedByDraught, Restricted, "Rule 18(a)(ii)"),
    ];
    for (yields, stands, clause) in rows {
        // From either side: Rule 18 asks nothing of port and starboard.
        for (bears, back) in [(50.0, 310.0), (310.0, 50.0), (0.0, 0.0)] {
            let one = met((yields, bears, 6.0), (stands, back, 6.0));
            assert_eq!((one.keeps_clear, one.clause), (YOU, clause), "{yields:?} {stands:?}");
            let other = met((stands, back, 6.0), (yields, bears, 6.0));
            assert_eq!((other.keeps_clear, other.clause), (SHE, clause), "{yields:?} {stands:?}");
        }
    }
}

/// Neither Rule 18 nor any from 13 to 15 says who gives way: both sailing (Rule 12 asks for the wind), both fishing, two that
/// cannot manoeuvre, oars.
#[test]
fn what_the_rules_leave_open_is_left_open() {
    for (one, other, clause) in [
        (UnderSail, UnderSail, "Rule 12"),
        (Fishing, Trawling, "Rule 2"),
        (NotUnderCommand, Restricted, "Rule 2"),
        (UnderOars, UnderEngine, "Rule 2"),
    ] {
        let met = met((one, 50.0, 5.0), (other, 310.0, 5.0));
        assert_eq!((met.keeps_clear, met.clause, met.duty(Side::You)), (KeepsClear::Open, clause, Duty::Open));
    }
}

#[test]
fn nothing_is_asked_where_there_is_no_risk_of_collision() {
    // Back to back; abreast on one course; green to green.
    for (you, she) in [(180.0, 180.0), (90.0, 270.0)] {
        let met = met((UnderEngine, you, 8.0), (UnderEngine, she, 8.0));
        assert_eq!((met.encounter, met.keeps_clear), (Encounter::Parting, KeepsClear::Neither), "{you}");
    }
    let met = met((UnderEngine, 30.0, 8.0), (UnderEngine, 30.0, 8.0));
    assert_eq!((met.encounter, met.duty(Side::You)), (Encounter::Passing, Duty::Watch));
}

/// Rules 13 to 18 bind vessels under way; who is at anchor can do nothing (Rules 2 and 8).
#[test]
fn who_is_under_way_keeps_clear_of_who_is_at_anchor() {
    let she_lies = met((UnderSail, 0.0, 6.0), (AtAnchor, 40.0, 0.0));
    assert_eq!((she_lies.encounter, she_lies.keeps_clear), (Encounter::AtRest, YOU));
    assert_eq!(met((Aground, 0.0, 0.0), (UnderEngine, 0.0, 6.0)).keeps_clear, SHE);
    assert_eq!(met((Aground, 0.0, 0.0), (AtAnchor, 0.0, 0.0)).keeps_clear, KeepsClear::Neither);
}

/// The two may be exchanged: what is your duty then is hers.
#[test]
fn exchanging_the_two_exchanges_their_duties() {
    for your in (0..360).step_by(7) {
        for hers in (0..360).step_by(11) {
            let (you, she) = ((UnderEngine, f64::from(your), 9.0), (UnderSail, f64::from(hers), 6.0));
            let (one, other) = (met(you, she), met(she, you));
            assert_eq!(one.duty(Side::You), other.duty(Side::She), "{your} {hers}");
            assert_eq!(one.duty(Side::She), other.duty(Side::You), "{your} {hers}");
            assert!(one.why.ends_with('.'), "{}", one.why);
        }
    }
}
