//! Every display of Rules 23 to 30, on both sides of each border of length: what the eight principal bearings show,
//! written from the words of the rule, and near misses that give exactly their finding.
//!
//! Sources: the International Regulations for Preventing Collisions at Sea, 1972; the copies in which the rules were
//! read are named beside each row of `assets/rules/international.ron`. Rules 23(b), 27(c) and 27(d) are from memory.

mod support;

use lampwalk::{
    boat::{
        Propulsion::{Oars, Sail},
        Role::Masthead,
        Status,
    },
    rules::{Kind, Severity},
};
use support::displays::{Row, judged, kinds, rows, survey, told};

#[test]
fn every_display_passes_with_no_finding_on_both_sides_of_every_border() {
    for row in rows() {
        for length in row.lengths() {
            let rig = row.rigged(length);
            let judgement = judged(&rig);
            let at = row.at(length);
            assert_eq!(
                judgement.display.and_then(|display| display.clause.split(", ").next()),
                Some(row.clause),
                "{at}{}",
                told(&judgement)
            );
            assert!(judgement.findings.is_empty(), "{at}{}", told(&judgement));
        }
    }
}

#[test]
fn the_eight_principal_bearings_show_what_the_rule_says() {
    for row in rows() {
        for length in row.lengths() {
            let rig = row.rigged(length);
            let shown: Vec<_> = survey(&rig).far_showings().iter().map(|showing| showing.letters()).collect();
            assert_eq!(shown, row.shows, "{}", row.at(length));
            let judgement = judged(&rig);
            for (eighth, letters) in row.shows.iter().enumerate() {
                let expected = judgement.expected(lampwalk::measure::Bearing::new(eighth as f64 * 45.0));
                assert_eq!(expected.must.letters(), *letters, "{} must show on bearing {eighth} of 8", row.at(length));
            }
        }
    }
}

#[test]
fn a_light_taken_away_is_missing_and_nothing_else_is_said() {
    for row in rows() {
        for length in row.lengths() {
            for lamp in row.rigged(length).lamps() {
                let judgement = judged(&row.rigged(length).without(&lamp));
                let wanted = without_one(&row, length, &lamp);
                assert_eq!(kinds(&judgement), wanted, "{} without {lamp}{}", row.at(length), told(&judgement));
            }
        }
    }
}

/// Rule 25(d): a sailing vessel under 7 m owes her lights if practicable, a vessel under oars may show them, and either
/// keeps a torch or lantern ready.
fn without_one(row: &Row, length: f64, lamp: &str) -> Vec<Kind> {
    let small_sail = row.by == Sail && row.status == Status::UnderWay && length < 7.0 && row.clause != "Rule 25(c)";
    match row.by {
        // One sidelight alone is never lawful.
        Oars if lamp == "sternlight" => vec![Kind::ReadyToHand],
        Oars => vec![Kind::LightMissing, Kind::ReadyToHand],
        _ if small_sail => vec![Kind::LightMissing, Kind::ReadyToHand],
        _ => vec![Kind::LightMissing],
    }
}

#[test]
fn neighbours_in_a_line_exchanged_stand_in_the_wrong_order_and_nothing_else_is_said() {
    let mut tried = 0;
    for row in rows() {
        for length in row.lengths() {
            let judgement = judged(&row.rigged(length));
            let lines = judgement.display.map_or(Vec::new(), |display| display.lines.clone());
            // Only lines of different kinds have an order that can be wrong.
            for pair in lines.iter().flat_map(|line| line.windows(2)).filter(|pair| pair[0] != pair[1]) {
                let lamps = row.rigged(length).scene.fits[0].lamps.clone();
                let in_line = |name: &&String| lamps.iter().any(|lamp| lamp.name == **name && lamp.role != Masthead);
                let names = row.rigged(length).lamps();
                let of = |kind: lampwalk::rules::LightKind| {
                    names
                        .iter()
                        .filter(in_line)
                        .find(|name| lamps.iter().any(|lamp| lamp.name == **name && kind.served_by(lamp.role)))
                };
                let (Some(upper), Some(lower)) = (of(pair[0]), of(pair[1])) else { continue };
                if row.status == Status::Dredging || row.status == Status::DredgingStopped {
                    // Its first green and red lights are not of one line.
                    continue;
                }
                let judgement = judged(&row.rigged(length).swapped(upper, lower));
                tried += 1;
                assert_eq!(
                    kinds(&judgement),
                    [Kind::WrongOrder],
                    "{} with {upper} and {lower} exchanged{}",
                    row.at(length),
                    told(&judgement)
                );
            }
        }
    }
    assert!(tried > 60, "{tried} exchanges were tried");
}

#[test]
fn sidelights_exchanged_stand_on_the_wrong_side() {
    for row in rows() {
        for length in row.lengths() {
            let rig = row.rigged(length);
            if !rig.lamps().iter().any(|name| name == "port sidelight") {
                continue;
            }
            let mut rig = rig.swapped("port sidelight", "starboard sidelight");
            // A screen would stand outboard of the wrong lamp and be told of besides.
            rig.scene.parts.clear();
            let judgement = judged(&rig);
            let mut wanted = vec![Kind::Misplaced];
            if length >= 20.0 {
                wanted.push(Kind::ScreenMissing);
            }
            // What now shines across the whole deck, the deck may hide from below.
            let by_the_deck = |kind: &Kind| *kind == Kind::Shadowed;
            let mut found = kinds(&judgement);
            found.retain(|kind| !by_the_deck(kind));
            assert_eq!(found, wanted, "{}{}", row.at(length), told(&judgement));
            assert_eq!(judgement.worst(), Some(Severity::Fault), "{}", row.at(length));
        }
    }
}
