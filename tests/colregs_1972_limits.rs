//! The figures of Annex I and of Rules 20 to 27, each tried a little on the wrong side: the boat of
//! `support::displays` keeps every one of them with a few centimetres to spare, and each change here gives exactly its
//! finding, under exactly its clause.
//!
//! Source: the International Regulations for Preventing Collisions at Sea, 1972; the copies in which the figures were
//! read are named beside each row of `assets/rules/international.ron`. IMO MSC.253(83) for evenness.

mod support;

use std::{collections::BTreeSet, sync::Arc};

use lampwalk::{
    boat::{
        Lamp, Measured, Part, PartKind,
        Propulsion::{Oars, Power, Sail},
        Role::{self, *},
        Status,
    },
    light::{Colour, Optics, Profile},
    measure::{Candela, Degrees},
    rules::{Kind, Severity, Standing, clause_table, international},
};
use support::{
    displays::{anchors, dredging, fish, gear, judged, restricted, rows, told, two_red},
    place,
    rig::{Rig, Spot},
};

/// What must be found, and nothing else: the kind, the clause, and how severe.
struct Miss {
    rig: Rig,
    kind: Kind,
    clause: &'static str,
    severity: Severity,
    /// What else follows of itself.
    also: Vec<Kind>,
}

fn miss(clause: &'static str, kind: Kind, rig: Rig) -> Miss {
    Miss { rig, kind, clause, severity: Severity::Fault, also: Vec::new() }
}

impl Miss {
    fn caution(self) -> Self {
        Self { severity: Severity::Caution, ..self }
    }

    fn note(self) -> Self {
        Self { severity: Severity::Note, ..self }
    }

    fn and(mut self, kind: Kind) -> Self {
        self.also.push(kind);
        self
    }
}

fn power(length: f64) -> Rig {
    Rig::of(length, Power, Status::UnderWay).mastheads().sidelights().sternlight()
}

fn of(length: f64, status: Status, rig: fn(Rig) -> Rig) -> Rig {
    rig(Rig::of(length, Power, status))
}

/// Lamps raised together.
fn raised(rig: Rig, names: &[&str], by: f64) -> Rig {
    names.iter().fold(rig, |rig, name| rig.raised(name, by))
}

fn all_round(rig: Rig) -> Rig {
    let spot = Spot { forward: rig.length() * 0.4, starboard: 0.0, above: 1.85 };
    rig.light("all-round white", AllRoundWhite, spot).sidelights()
}

/// A lamp whose optics are changed.
fn reworked(rig: Rig, name: &str, change: impl FnOnce(&mut Optics)) -> Rig {
    rig.with(name, |lamp: &mut Lamp| {
        let mut optics = Optics::clone(&lamp.optics);
        change(&mut optics);
        lamp.optics = Arc::new(optics);
    })
}

/// A round post taller than any light here.
fn tall_post(forward: f64, diameter: f64) -> Part {
    Part::new("post", PartKind::Stanchion { at: place(forward, 0.0, 0.0), height: 20.0, diameter })
}

/// A towing vessel with her towing lights in a line abaft the forward masthead light, the lowest so far above it.
fn tow_aft(lowest: f64) -> Rig {
    let rig = Rig::of(15.0, Power, Status::Towing).masthead().sidelights();
    let line = Spot { forward: 4.0, starboard: 0.0, above: rig.masthead_height() + lowest };
    let stern = Spot { forward: -0.1, starboard: 0.0, above: 0.5 };
    rig.line(line, &[("upper tow light", Masthead), ("lower tow light", Masthead)])
        .line(stern, &[("towing light", TowingLight), ("sternlight", Sternlight)])
}

/// Sidelights in one lantern, so far above the deck.
fn lantern(above: f64) -> Rig {
    let rig = Rig::of(12.0, Power, Status::UnderWay).masthead().sternlight();
    rig.light("lantern", CombinedSidelights, Spot { forward: 9.0, starboard: 0.0, above })
}

/// Lights of Rule 27(b) between the masthead lights in height, so far to starboard.
fn between(starboard: f64) -> Rig {
    let rig = Rig::of(50.0, Power, Status::Restricted).mastheads().sidelights().sternlight();
    let spot = Spot { forward: 25.0, starboard, above: rig.masthead_height() + 0.05 };
    rig.line(spot, &[("upper red", AllRoundRed), ("middle white", AllRoundWhite), ("lower red", AllRoundRed)])
}

/// A high-speed craft with her masthead light so far above the deck.
fn fast(above: f64) -> Rig {
    let mut rig = power(20.0);
    rig.scene.vessel.high_speed = true;
    let by = above - rig.masthead_height();
    rig.raised("masthead light", by)
}

/// Every colour measured, green at this place of the diagram.
fn measured(x: f64, y: f64) -> Rig {
    let rig = power(12.0).with("starboard sidelight", |lamp| {
        lamp.chromaticity = vec![Measured { colour: Colour::Green, x, y }];
    });
    let whites = ["masthead light", "sternlight"];
    let rig = whites.iter().fold(rig, |rig, name| {
        rig.with(name, |lamp| lamp.chromaticity = vec![Measured { colour: Colour::White, x: 0.4476, y: 0.4074 }])
    });
    rig.with("port sidelight", |lamp| lamp.chromaticity = vec![Measured { colour: Colour::Red, x: 0.7, y: 0.298 }])
}

/// Two anchor lights either side of a mast.
fn pair(apart: f64) -> Rig {
    let mut rig = of(12.0, Status::AtAnchor, anchors);
    let at = rig.scene.fits[0].lamps[0].at.expect("a place");
    rig.scene.parts.push(tall_post(at.forward - 0.2, 0.1));
    let spot = Spot { forward: at.forward - apart, starboard: 0.0, above: 12.05 };
    rig.light("second anchor light", AllRoundWhite, spot)
}

/// Boats that keep what those of `support::displays` have no occasion to.
fn kept() -> Vec<Rig> {
    let bare = |length, by, status| Rig::of(length, by, status);
    let aside = Spot { forward: 4.0, starboard: 0.5, above: 3.0 };
    let on_line = Spot { forward: 8.0, starboard: 0.0, above: 1.5 };
    vec![
        tow_aft(4.55),
        lantern(1.5),
        between(2.05),
        fast(4.4),
        measured(0.2, 0.5),
        pair(0.4),
        // 23(d)(iii): the white light aside, the sidelights combined on the centreline.
        bare(11.99, Power, Status::UnderWay).light("white", AllRoundWhite, aside).light(
            "lantern",
            CombinedSidelights,
            on_line,
        ),
        // 23(d)(ii), 25(d), 27(g), 30(e) and (f): what the smallest need not show.
        bare(6.99, Power, Status::UnderWay).light("white", AllRoundWhite, Spot { starboard: 0.0, ..aside }),
        bare(6.99, Sail, Status::UnderWay),
        bare(6.99, Oars, Status::UnderWay),
        bare(11.99, Power, Status::NotUnderCommand).masthead().sidelights().sternlight(),
        bare(6.99, Power, Status::AtAnchor),
        of(11.99, Status::Aground, anchors),
    ]
}

/// Annex I section 2: heights.
fn heights() -> Vec<Miss> {
    let two = |after: f64| {
        let rig = power(15.0);
        let above = rig.masthead_height() + after;
        rig.light("after masthead light", Masthead, Spot { forward: 4.0, starboard: 0.0, above })
    };
    assert_eq!(found(&two(0.6)), "");
    assert_eq!(found(&tow_aft(4.55)), "");
    assert_eq!(found(&lantern(1.5)), "");
    vec![
        // 2(a)(i): 6 m above the hull, or the beam where that is greater, but not more than 12 m.
        miss("Annex I 2(a)(i)", Kind::TooLow, power(20.0).raised("masthead light", -0.1)),
        miss("Annex I 2(a)(i)", Kind::TooLow, power(40.0).raised("masthead light", -0.1)),
        miss("Annex I 2(a)(i)", Kind::TooLow, power(50.0).raised("masthead light", -0.1)),
        // 2(a)(ii): the after one 4.5 m above the forward one.
        miss("Annex I 2(a)(ii)", Kind::TooLow, power(50.0).raised("after masthead light", -0.1)),
        // 23(a)(ii): higher than the forward one; 2(b): seen apart from 1000 m ahead. Half a metre at 1 km is 1.7
        // minutes of arc, a quarter of one 0.9.
        miss("Annex I 2(b)", Kind::TooClose, two(0.25)),
        miss("Rule 23(a)", Kind::TooLow, two(0.05)).and(Kind::TooClose),
        // 2(c): 2.5 m above the gunwale from 12 m to under 20 m.
        miss("Annex I 2(c)", Kind::TooLow, power(12.0).raised("masthead light", -0.1)),
        miss("Annex I 2(c)", Kind::TooLow, power(19.99).raised("masthead light", -0.1)),
        // 2(d): under 12 m the white light 1 m above the sidelights.
        miss("Annex I 2(d)", Kind::TooLow, of(11.99, Status::UnderWay, all_round).raised("all-round white", -0.1)),
        // 2(e): masthead lights of a towing vessel abaft the forward one 4.5 m above it.
        miss("Annex I 2(e)", Kind::TooLow, tow_aft(4.4)),
        // 2(f): above all other lights.
        miss("Annex I 2(f)", Kind::TooLow, power(12.0).raised("sternlight", 2.15)),
        // 2(g): sidelights not above three quarters of the masthead light's height. So near it they run together with it
        // within the two miles of Rule 22(b), which take 1.08 m.
        miss("Annex I 2(g)", Kind::TooHigh, raised(power(12.0), &["starboard sidelight", "port sidelight"], 1.2))
            .and(Kind::LightsMerge),
        // 2(h): 1 m above combined sidelights.
        miss("Annex I 2(h)", Kind::TooLow, lantern(1.6)).and(Kind::LightsMerge),
        // 2(i)(i): from 20 m lights in a line 2 m apart, the lowest 4 m above the hull.
        miss(
            "Annex I 2(i)(i)",
            Kind::TooClose,
            of(20.0, Status::NotUnderCommandStopped, two_red).raised("upper red", -0.05),
        ),
        miss(
            "Annex I 2(i)(i)",
            Kind::TooLow,
            raised(of(20.0, Status::NotUnderCommandStopped, two_red), &["upper red", "lower red"], -3.2),
        ),
        // 2(i)(ii): under 20 m lights in a line 1 m apart, the lowest 2 m above the gunwale.
        miss(
            "Annex I 2(i)(ii)",
            Kind::TooClose,
            of(12.0, Status::NotUnderCommandStopped, two_red).raised("upper red", -0.05),
        ),
        miss(
            "Annex I 2(i)(ii)",
            Kind::TooLow,
            raised(of(12.0, Status::NotUnderCommandStopped, two_red), &["upper red", "lower red"], -2.1),
        ),
        // 2(i)(iii): three lights equally spaced.
        miss(
            "Annex I 2(i)(iii)",
            Kind::Misplaced,
            of(12.0, Status::RestrictedStopped, restricted).raised("upper red", 0.5),
        ),
        // 2(i): in a vertical line.
        miss(
            "Annex I 2(i)",
            Kind::Misplaced,
            of(12.0, Status::RestrictedStopped, restricted).moved("lower red", 0.3, 0.0),
        ),
        // 2(j): the lower fishing light twice the gap above the sidelights.
        miss(
            "Annex I 2(j)",
            Kind::TooLow,
            raised(of(12.0, Status::Fishing, |rig| fish(rig).sidelights().sternlight()), &["red", "white"], -1.3),
        ),
        // 2(k): the forward anchor light 4.5 m above the after one, and 6 m above the hull from 50 m.
        miss("Annex I 2(k)", Kind::TooLow, of(50.0, Status::AtAnchor, anchors).raised("after anchor light", 0.1)),
        // So low, the hull hides the after one from below.
        miss(
            "Annex I 2(k)",
            Kind::TooLow,
            raised(of(50.0, Status::AtAnchor, anchors), &["anchor light", "after anchor light"], -6.2),
        )
        .and(Kind::Shadowed),
    ]
}

/// Annex I sections 3 and 4, 13, and what Rules 21 to 26 say of places.
fn places() -> Vec<Miss> {
    let with_gear = || of(12.0, Status::FishingGear, |rig| gear(fish(rig)).sidelights().sternlight());
    let dredger = || of(12.0, Status::DredgingStopped, dredging);
    let aft_masthead = || {
        let rig = Rig::of(20.0, Power, Status::UnderWay).masthead().sidelights_at(0.4).sternlight();
        rig.moved("masthead light", -20.0 * 0.3, 0.0)
    };
    let trawler = || of(50.0, Status::Trawling, |rig| support::displays::trawl(rig).sidelights().sternlight());
    let mut inboard = power(20.0);
    for part in &mut inboard.scene.parts {
        let PartKind::Screen { at, .. } = &mut part.kind else { continue };
        at.starboard -= 0.6 * at.starboard.signum();
    }
    assert_eq!(found(&between(2.05)), "");
    assert_eq!(found(&fast(4.4)), "");
    vec![
        // 3(a): half the length apart, the forward one in the first quarter of it.
        miss("Annex I 3(a)", Kind::TooClose, power(50.0).moved("after masthead light", 1.0, 0.0)),
        miss(
            "Annex I 3(a)",
            Kind::Misplaced,
            power(50.0).moved("masthead light", -1.0, 0.0).moved("after masthead light", -1.0, 0.0),
        ),
        // 3(b): sidelights not in front of the forward masthead light, at or near the side.
        miss(
            "Annex I 3(b)",
            Kind::Misplaced,
            Rig::of(20.0, Power, Status::UnderWay).mastheads().sidelights_at(0.78).sternlight(),
        ),
        miss(
            "Annex I 3(b)",
            Kind::Misplaced,
            inboard.moved("starboard sidelight", 0.0, -0.6).moved("port sidelight", 0.0, 0.6),
        ),
        // 3(c): lights of Rule 27(b) between the masthead lights 2 m off the centreline.
        miss("Annex I 3(c)", Kind::Misplaced, between(0.0)),
        // 3(d): from 20 m an only masthead light forward of amidships.
        miss("Annex I 3(d)", Kind::Misplaced, aft_masthead()),
        // 26(b)(ii): a trawler's masthead light abaft the green one.
        miss("Rule 26(b)", Kind::Misplaced, trawler().moved("masthead light", 11.0, 0.0)),
        // 4(a): 2 to 6 m from the pair, not above the white light, not below the sidelights.
        miss("Annex I 4(a)", Kind::TooClose, with_gear().moved("gear light", 0.1, 0.0)),
        miss("Annex I 4(a)", Kind::TooFar, with_gear().moved("gear light", -4.0, 0.0)),
        miss("Annex I 4(a)", Kind::TooHigh, with_gear().raised("gear light", 0.1)),
        miss("Annex I 4(a)", Kind::TooLow, with_gear().raised("gear light", -3.3))
            .and(Kind::Shadowed)
            .and(Kind::LightsMerge),
        // 4(b): 2 m from the three, none above the lowest of them.
        miss(
            "Annex I 4(b)",
            Kind::TooClose,
            dredger().moved("upper clear green", 0.0, 0.1).moved("lower clear green", 0.0, 0.1),
        ),
        miss("Annex I 4(b)", Kind::TooHigh, raised(dredger(), &["upper obstructed red", "lower obstructed red"], 0.1)),
        // 5: from 20 m matt black inboard screens.
        miss("Annex I 5", Kind::ScreenMissing, {
            let mut rig = power(20.0);
            rig.scene.parts.clear();
            rig
        }),
        // 13(a): a high-speed craft's masthead light may be lower, the base angle of the triangle at least 27 degrees.
        miss("Annex I 13(a)", Kind::TooLow, fast(4.2)),
        // 21(a): over the centreline.
        miss("Rule 21(a)", Kind::Misplaced, power(12.0).moved("masthead light", 0.0, 0.2)),
        // 21(b): combined sidelights under 20 m only.
        miss("Rule 21(b)", Kind::Misplaced, {
            let rig = Rig::of(20.0, Power, Status::UnderWay).mastheads().sternlight();
            rig.light("lantern", CombinedSidelights, Spot { forward: 14.0, starboard: 0.0, above: 3.0 })
        }),
        // 23(d)(iii): under 12 m off the centreline only with combined sidelights.
        miss(
            "Rule 23(d)(iii)",
            Kind::Misplaced,
            of(11.99, Status::UnderWay, all_round).moved("all-round white", 0.0, 0.2),
        ),
        // 24(f): sidelights at the forward end.
        miss("Rule 24(f)(i)", Kind::Misplaced, Rig::of(12.0, Power, Status::PushedAhead).sidelights_at(0.7)).caution(),
        miss(
            "Rule 24(f)(ii)",
            Kind::Misplaced,
            Rig::of(12.0, Power, Status::TowedAlongside).sidelights_at(0.7).sternlight(),
        )
        .caution(),
    ]
}

/// Rules 21 and 22 and Annex I sections 7 to 10: what each lamp gives.
fn optics() -> Vec<Miss> {
    let weaker = |rig: Rig, name: &'static str| {
        reworked(rig, name, |optics| optics.beams[0].full = Candela(optics.beams[0].full.0 * 0.6))
    };
    let narrow = |rig: Rig, name: &'static str, points: &'static [(f64, f64)]| {
        reworked(rig, name, move |optics| {
            optics.beams[0].vertical = Profile::new(points.to_vec()).expect("a sound profile");
        })
    };
    let edge = |points: &'static [(f64, f64)]| {
        reworked(power(12.0), "starboard sidelight", move |optics| {
            optics.beams[0].horizontal = Profile::new(points.to_vec()).expect("a sound profile");
        })
    };
    let sail = || Rig::of(12.0, Sail, Status::UnderWay).sidelights().sternlight();
    // CIE standard illuminant A is a signal white, and these are well inside green and red.
    assert_eq!(found(&measured(0.2, 0.5)), "");
    let hidden = |rig: Rig, width: f64| {
        // A post a metre from the light hides a degree for every 17.5 mm of its width, and the width of the face takes
        // off as much as it adds.
        let at = rig.scene.fits[0].lamps[0].at.expect("a place");
        let mut rig = rig;
        rig.scene.parts.push(tall_post(at.forward + 1.0, width));
        rig
    };
    let anchored = || of(12.0, Status::AtAnchor, anchors);
    assert!(!found(&hidden(anchored(), 0.05)).contains("Fault"));
    vec![
        // 22: too weak for the range, in each band of length.
        miss("Rule 22(c)", Kind::TooWeak, weaker(power(11.99), "port sidelight")),
        miss("Rule 22(b)", Kind::TooWeak, weaker(power(12.0), "port sidelight")),
        miss("Rule 22(b)", Kind::TooWeak, weaker(power(49.99), "sternlight")),
        miss("Rule 22(a)", Kind::TooWeak, weaker(power(50.0), "sternlight")),
        miss("Annex I 8", Kind::TooWeak, weaker(power(12.0), "masthead light")),
        // 8, note: no more than dazzles.
        miss(
            "Annex I 8",
            Kind::TooBright,
            reworked(power(12.0), "sternlight", |optics| optics.beams[0].full = Candela(4.3 * 21.0)),
        )
        .caution(),
        // 7: outside the corners of green.
        miss("Annex I 7", Kind::ColourOutside, measured(0.31, 0.5)),
        // 9(a)(i): cut off between 1 and 3 degrees past right ahead.
        miss(
            "Annex I 9(a)(i)",
            Kind::CutTooSoon,
            edge(&[(-0.5, 0.0), (0.0, 1.0), (108.0, 1.0), (112.5, 0.6), (116.0, 0.0)]),
        ),
        miss(
            "Annex I 9(a)(i)",
            Kind::Spill,
            edge(&[(-4.0, 0.0), (-3.5, 1.0), (108.0, 1.0), (112.5, 0.6), (116.0, 0.0)]),
        ),
        // 9(a)(ii): cut off 5 degrees outside the other edges.
        miss(
            "Annex I 9(a)(ii)",
            Kind::Spill,
            edge(&[(-2.0, 0.0), (0.0, 1.0), (108.0, 1.0), (118.0, 0.6), (122.0, 0.0)]),
        ),
        // 9(b)(i): an all-round light hidden over 6 degrees at most.
        miss("Annex I 9(b)(i)", Kind::AllRoundObscured, hidden(anchored(), 0.15)),
        miss("Rule 21(e)", Kind::AllRoundObscured, hidden(anchored(), 0.15)),
        // 10(a): all to 5 degrees, three fifths to 7.5. 10(b): all to 5 degrees, half to 25.
        miss(
            "Annex I 10(a)(i)",
            Kind::TooWeak,
            narrow(power(12.0), "masthead light", &[(4.0, 1.0), (5.0, 0.6), (7.5, 0.5), (8.0, 0.0)]),
        )
        .and(Kind::Uneven),
        miss(
            "Annex I 10(a)(ii)",
            Kind::TooWeak,
            narrow(power(12.0), "masthead light", &[(5.0, 0.7), (7.5, 0.3), (8.0, 0.0)]),
        ),
        miss("Annex I 10(b)(i)", Kind::TooWeak, narrow(sail(), "sternlight", &[(4.0, 1.0), (5.0, 0.6), (30.0, 0.5)]))
            .and(Kind::Uneven),
        miss("Annex I 10(b)(ii)", Kind::TooWeak, narrow(sail(), "sternlight", &[(8.0, 1.0), (25.0, 0.3), (30.0, 0.0)])),
        // IMO MSC.253(83) 4.2.2 and 4.2.3: not more than 1.5 to one within the sector, from 12 m.
        miss(
            "IMO MSC.253(83) 4.2.2",
            Kind::Uneven,
            reworked(power(12.0), "starboard sidelight", |optics| {
                let points = [(-2.0, 0.0), (0.0, 1.0), (50.0, 1.6), (108.0, 1.0), (112.5, 0.6), (116.0, 0.0)];
                optics.beams[0].horizontal = Profile::new(points.to_vec()).expect("a sound profile");
            }),
        )
        .note(),
        miss(
            "IMO MSC.253(83) 4.2.3",
            Kind::Uneven,
            narrow(power(12.0), "sternlight", &[(0.0, 1.6), (5.0, 1.0), (8.0, 1.0), (25.0, 0.6)]),
        )
        .note(),
        // 21(c): near the stern.
        miss("Rule 21(c)", Kind::Misplaced, power(12.0).moved("sternlight", 3.5, 0.0)).caution().and(Kind::Shadowed),
        // 21(c): all of 135 degrees, with a post abaft it.
        miss("Rule 21(c)", Kind::Shadowed, {
            let mut rig = power(12.0);
            rig.scene.parts.push(tall_post(-0.6, 0.1));
            rig
        }),
        // 20(b): a light that is no part of the display.
        miss("Rule 20(b)", Kind::LightNotAllowed, {
            let spot = Spot { forward: 6.0, starboard: 0.0, above: 2.0 };
            power(12.0).light("red", AllRoundRed, spot)
        }),
        // 25(b): one lantern under 20 m only, and instead of the separate lights, not with them.
        miss("Rule 25(b)", Kind::LightNotAllowed, {
            let rig = Rig::of(20.0, Sail, Status::UnderWay).sidelights().sternlight();
            rig.light("lantern", ThreeColourLantern, Spot { forward: 10.0, starboard: 0.0, above: 12.0 })
        }),
        // 3: what she is. She has no sails.
        miss("Rule 3", Kind::StatusImpossible, power(12.0).doing(Status::UnderSail)),
        // 23(a)(ii): the second masthead light abaft the first; right above it is that of a vessel towing.
        miss("Rule 23(a)", Kind::TooClose, {
            let rig = power(15.0);
            let above = rig.masthead_height() + 1.02;
            let spot = Spot { forward: rig.length() * 0.76, starboard: 0.0, above };
            rig.light("second masthead light", Masthead, spot)
        }),
        // 25(b), 25(c), 29(a): at or near the top of the mast.
        miss("Rule 25(b)", Kind::Misplaced, {
            let rig = Rig::of(12.0, Sail, Status::UnderWay).with_mast(12.0);
            rig.light("lantern", ThreeColourLantern, Spot { forward: 6.5, starboard: 0.0, above: 9.0 })
        })
        .caution()
        .and(Kind::Shadowed),
        // 27(g): under 12 m the lights of a vessel simply under way will do, whole.
        miss("Rule 27(g)", Kind::LightMissing, {
            let rig = Rig::of(11.99, Power, Status::NotUnderCommand).masthead().sidelights().sternlight();
            rig.without("sternlight")
        }),
        // 24(d): from 50 m the second masthead light besides.
        miss("Rule 24(d)", Kind::LightMissing, {
            let row = rows().into_iter().find(|row| row.status == Status::Towing).expect("a row");
            row.rigged(50.0).without("after masthead light")
        }),
        // 23(d)(ii): under 7 m and 7 knots an all-round white light alone; here not even that.
        miss("Rule 23(d)(ii)", Kind::LightMissing, Rig::of(6.99, Power, Status::UnderWay)),
        // 21(d): a towing light that looks ahead.
        miss("Rule 21(d)", Kind::NotParallel, {
            let row = rows().into_iter().find(|row| row.status == Status::Towing).expect("a row");
            row.rigged(12.0).with("towing light", |lamp| lamp.yaw = Degrees(180.0))
        })
        .and(Kind::Spill),
    ]
}

fn misses() -> Vec<Miss> {
    heights().into_iter().chain(places()).chain(optics()).collect()
}

/// All that is found, in words; empty for nothing.
fn found(rig: &Rig) -> String {
    let judgement = judged(rig);
    judgement
        .findings
        .iter()
        .map(|one| format!("\n  {:?} {:?} {} {}", one.severity, one.kind, one.clause, one.what))
        .collect()
}

fn speaks_of(clauses: &str, clause: &str) -> bool {
    clauses.split(", ").any(|one| one == clause)
}

#[test]
fn each_figure_just_missed_gives_its_finding_under_its_clause_and_no_other() {
    for miss in misses() {
        let judgement = judged(&miss.rig);
        let at = format!("{} at {} m{}", miss.clause, miss.rig.length(), told(&judgement));
        let own = |one: &&lampwalk::rules::Finding| one.kind == miss.kind && speaks_of(&one.clause, miss.clause);
        let (mine, others): (Vec<_>, Vec<_>) = judgement.findings.iter().partition(own);
        assert!(mine.iter().any(|one| one.severity == miss.severity), "{at}");
        // The same shortfall may be told of two lamps, or on two arcs, and what follows of itself.
        let follows = |kind: Kind| kind == miss.kind || miss.also.contains(&kind);
        assert!(others.iter().all(|one| follows(one.kind)), "{at}");
    }
}

#[test]
fn a_clause_just_missed_is_not_met_in_the_table_of_clauses() {
    for miss in misses().iter().filter(|miss| miss.severity == Severity::Fault) {
        let judgement = judged(&miss.rig);
        let table = clause_table(&[(miss.rig.status, &judgement)]);
        let line = table.iter().find(|line| line.row.clause == miss.clause);
        let line = line.unwrap_or_else(|| panic!("no line for {}", miss.clause));
        assert_eq!(line.standing, Standing::NotMet, "{}{}", miss.clause, told(&judgement));
    }
}

/// Clauses that give leave and ask nothing, so that nothing can fall short of them.
const GIVE_LEAVE: [&str; 2] = ["Rule 30(e)", "Rule 30(f)"];

/// The clauses that some boat here does not meet, and those that some boat here meets.
fn reached() -> (BTreeSet<String>, BTreeSet<String>) {
    let (mut missed, mut met) = (BTreeSet::new(), BTreeSet::new());
    let mut take = |rig: &Rig| {
        let judgement = judged(rig);
        for line in clause_table(&[(rig.status, &judgement)]) {
            match line.standing {
                Standing::NotMet => missed.insert(line.row.clause.clone()),
                Standing::Met | Standing::Cautioned => met.insert(line.row.clause.clone()),
                _ => false,
            };
        }
    };
    misses().iter().for_each(|miss| take(&miss.rig));
    kept().iter().for_each(&mut take);
    for row in rows() {
        for length in [row.from.max(12.0).min(row.to), row.from.max(6.99), row.from.max(20.0).min(row.to), row.to] {
            take(&row.rigged(length));
            for lamp in row.rigged(length).lamps() {
                take(&row.rigged(length).without(&lamp));
            }
        }
    }
    (missed, met)
}

#[test]
fn every_clause_that_this_program_checks_can_be_met_and_can_be_missed() {
    let (missed, met) = reached();
    for row in international().clauses.iter().filter(|row| row.beyond.is_empty()) {
        let clause = &row.clause;
        assert!(met.contains(clause), "nothing here meets {clause}");
        let leave = GIVE_LEAVE.contains(&clause.as_str());
        // Evenness is only ever a note, and a pair that does not look like one is simply two lights.
        let lenient = clause.starts_with("IMO") || clause == "Annex I 9(b)(ii)";
        assert!(leave || lenient || missed.contains(clause), "nothing here misses {clause}");
        assert!(!(leave && missed.contains(clause)), "{clause} gives leave and is missed");
    }
}

/// Annex I 9(b)(ii): two all-round lights that look like one a mile off serve for one that a mast would hide.
#[test]
fn a_pair_of_all_round_lights_serves_where_a_mast_hides_either() {
    let judgement = judged(&pair(0.4));
    assert!(judgement.findings.iter().all(|one| one.severity < Severity::Caution), "{}", told(&judgement));
    assert!(judgement.asked.contains("Annex I 9(b)(ii)"));
    // A mile off, one minute of arc is 0.54 m.
    assert!(found(&pair(0.6)).contains("AllRoundObscured"));
}

/// Annex I 2(b) "in all normal trim": apart at rest and not when the bow rises.
#[test]
fn masthead_lights_that_close_up_when_the_bow_rises_are_a_caution_that_names_the_trim() {
    let rig = power(15.0);
    let above = rig.masthead_height() + 0.8;
    let mut rig = rig.light("after masthead light", Masthead, Spot { forward: 4.0, starboard: 0.0, above });
    assert_eq!(found(&rig), "");
    rig.scene.conditions.trim = (Degrees(0.0), Degrees(5.0));
    let judgement = judged(&rig);
    let [finding] = judgement.findings.as_slice() else { panic!("{}", told(&judgement)) };
    assert_eq!((finding.kind, finding.severity), (Kind::TooClose, Severity::Caution));
    assert_eq!(finding.case.as_deref(), Some("bow up 5 degrees"));
}

/// A role that the test boats use for every light they carry.
#[test]
fn every_role_is_rigged_somewhere() {
    let rigged: BTreeSet<Role> = rows()
        .iter()
        .flat_map(|row| row.rigged(row.from.max(12.0).min(row.to)).scene.fits[0].lamps.clone())
        .map(|lamp| lamp.role)
        .collect();
    for role in Role::ALL {
        let elsewhere = [CombinedSidelights, SpecialFlashing].contains(role);
        assert!(elsewhere || rigged.contains(role), "{}", role.in_words());
    }
}
