//! Every display of Rules 23 to 30 as lamps on a boat, with what its eight principal bearings show, written from the
//! words of the rule.

use lampwalk::{
    boat::{
        Propulsion::{self, Oars, Power, Sail},
        Role::{self, *},
        Status,
    },
    rules::{Judgement, Kind, international, judge},
    survey::{Settings, Survey},
};

use super::rig::{Rig, Spot};

/// Both sides of every border of length in the rules.
pub const BORDERS: [f64; 8] = [6.99, 7.0, 11.99, 12.0, 19.99, 20.0, 49.99, 50.0];

/// A display: the clause, the status, the means, the shortest and greatest length tried, the lights, and what the eight
/// principal bearings show, clockwise from right ahead.
pub struct Row {
    pub clause: &'static str,
    pub status: Status,
    pub by: Propulsion,
    pub from: f64,
    pub to: f64,
    pub rig: fn(Rig) -> Rig,
    pub shows: [&'static str; 8],
}

pub const WHITE_OVER_SIDES: [&str; 8] = ["RGW", "GW", "GW", "W", "W", "W", "RW", "RW"];
pub const SIDES_AND_STERN: [&str; 8] = ["RG", "G", "G", "W", "W", "W", "R", "R"];

pub fn rows() -> Vec<Row> {
    let row = |clause, status, by, rig, shows| Row { clause, status, by, from: 0.0, to: 50.0, rig, shows };
    vec![
        // 23(a): masthead light forward, from 50 m a second one abaft and higher, sidelights, sternlight.
        row("Rule 23(a)", Status::UnderWay, Power, |rig| rig.mastheads().sidelights().sternlight(), WHITE_OVER_SIDES),
        // 23(d)(i): under 12 m an all-round white light and sidelights instead.
        Row {
            to: 11.99,
            ..row("Rule 23(d)(i)", Status::UnderWay, Power, |rig| all_round(rig).sidelights(), WHITE_OVER_SIDES)
        },
        // 23(a) by a sailing vessel's engine: Rule 3(c) makes her a power-driven vessel.
        row("Rule 23(a)", Status::UnderEngine, Sail, |rig| rig.mastheads().sidelights().sternlight(), WHITE_OVER_SIDES),
        // 23(b): besides, an all-round flashing yellow light.
        row(
            "Rule 23(b)",
            Status::AirCushion,
            Power,
            |rig| {
                let above = rig.masthead_height() - 1.0;
                let spot = Spot { forward: rig.length() * 0.5, starboard: 0.0, above };
                rig.mastheads().sidelights().sternlight().light("flashing yellow", FlashingYellow, spot)
            },
            ["RGWY", "GWY", "GWY", "WY", "WY", "WY", "RWY", "RWY"],
        ),
        // 24(a): two masthead lights in a vertical line, sidelights, sternlight, and a towing light above it.
        row("Rule 24(a)", Status::Towing, Power, |rig| towing(rig, 2), TOWING),
        // 24(a)(i): three where the tow exceeds 200 m.
        row("Rule 24(a)", Status::TowingLong, Power, |rig| towing(rig, 3), TOWING),
        // 24(c): two masthead lights in a vertical line, sidelights, sternlight.
        row(
            "Rule 24(c)",
            Status::Pushing,
            Power,
            |rig| tow_mastheads(rig, 2).sidelights().sternlight(),
            WHITE_OVER_SIDES,
        ),
        // 24(e): sidelights, sternlight.
        row("Rule 24(e)", Status::TowedAstern, Power, |rig| rig.sidelights().sternlight(), SIDES_AND_STERN),
        // 24(f)(i): at the forward end, sidelights.
        row(
            "Rule 24(f)(i)",
            Status::PushedAhead,
            Power,
            |rig| rig.sidelights_at(0.8),
            ["RG", "G", "G", "-", "-", "-", "R", "R"],
        ),
        // 24(f)(ii): a sternlight and, at the forward end, sidelights.
        row(
            "Rule 24(f)(ii)",
            Status::TowedAlongside,
            Power,
            |rig| rig.sidelights_at(0.8).sternlight(),
            SIDES_AND_STERN,
        ),
        // 25(a): sidelights, sternlight.
        row("Rule 25(a)", Status::UnderWay, Sail, |rig| rig.sidelights().sternlight(), SIDES_AND_STERN),
        // 25(b): under 20 m the three in one lantern at or near the top of the mast.
        Row {
            to: 19.99,
            ..row(
                "Rule 25(b)",
                Status::UnderWay,
                Sail,
                |rig| {
                    let spot = Spot { above: 9.0, ..rig.mast() };
                    rig.with_mast(8.9).light("lantern", ThreeColourLantern, spot)
                },
                SIDES_AND_STERN,
            )
        },
        // 25(c): besides (a), two all-round lights in a vertical line, red over green.
        row(
            "Rule 25(c)",
            Status::UnderWay,
            Sail,
            |rig| {
                let spot = rig.mast();
                let rig = rig.with_mast(spot.above - 0.1).sidelights().sternlight();
                rig.line(spot, &[("red", AllRoundRed), ("green", AllRoundGreen)])
            },
            ["RG", "RG", "RG", "RGW", "RGW", "RGW", "RG", "RG"],
        ),
        // 25(d)(ii): under oars the lights of a sailing vessel.
        Row {
            to: 12.0,
            ..row("Rule 25(d)(ii)", Status::UnderWay, Oars, |rig| rig.sidelights().sternlight(), SIDES_AND_STERN)
        },
        // 26(b): green over white, from 50 m a masthead light abaft and higher; making way sidelights and sternlight.
        row(
            "Rule 26(b)",
            Status::Trawling,
            Power,
            |rig| trawl(rig).sidelights().sternlight(),
            ["RGW", "GW", "GW", "GW", "GW", "GW", "RGW", "RGW"],
        ),
        row("Rule 26(b)", Status::TrawlingStopped, Power, trawl, ["GW"; 8]),
        // 26(c): red over white; making way sidelights and sternlight.
        row("Rule 26(c)", Status::Fishing, Power, |rig| fish(rig).sidelights().sternlight(), RED_WHITE_AND_SIDES),
        row("Rule 26(c)", Status::FishingStopped, Power, fish, ["RW"; 8]),
        // 26(c)(ii): gear more than 150 m out, an all-round white light in its direction.
        row(
            "Rule 26(c)",
            Status::FishingGear,
            Power,
            |rig| gear(fish(rig)).sidelights().sternlight(),
            RED_WHITE_AND_SIDES,
        ),
        row("Rule 26(c)", Status::FishingGearStopped, Power, |rig| gear(fish(rig)), ["RW"; 8]),
        // 27(a): two all-round red lights in a vertical line; making way sidelights and sternlight.
        row(
            "Rule 27(a)",
            Status::NotUnderCommand,
            Power,
            |rig| two_red(rig).sidelights().sternlight(),
            ["RG", "RG", "RG", "RW", "RW", "RW", "R", "R"],
        ),
        row("Rule 27(a)", Status::NotUnderCommandStopped, Power, two_red, ["R"; 8]),
        // 27(b): red, white, red in a vertical line; making way masthead light or lights, sidelights, sternlight.
        row(
            "Rule 27(b)",
            Status::Restricted,
            Power,
            |rig| restricted(rig).mastheads().sidelights().sternlight(),
            RED_WHITE_AND_SIDES,
        ),
        row("Rule 27(b)", Status::RestrictedStopped, Power, restricted, ["RW"; 8]),
        // 27(b)(iv): at anchor the lights of Rule 30 besides.
        row("Rule 27(b)", Status::RestrictedAtAnchor, Power, |rig| anchors(restricted(rig)), ["RW"; 8]),
        // 27(c): the lights of 24(a) and of 27(b).
        row(
            "Rule 27(c)",
            Status::TowingRestricted,
            Power,
            |rig| towing(restricted(rig), 2),
            ["RGW", "RGW", "RGW", "RWY", "RWY", "RWY", "RW", "RW"],
        ),
        // 27(d): besides 27(b), two red lights on the obstructed and two green ones on the clear side.
        row(
            "Rule 27(d)",
            Status::Dredging,
            Power,
            |rig| dredging(rig).mastheads().sidelights().sternlight(),
            ["RGW"; 8],
        ),
        row("Rule 27(d)", Status::DredgingStopped, Power, dredging, ["RGW"; 8]),
        // 27(e): red, white, red alone where the vessel is too small for 27(d).
        Row { to: 12.0, ..row("Rule 27(e)", Status::Diving, Power, restricted, ["RW"; 8]) },
        // 28: three all-round red lights in a vertical line besides those of Rule 23.
        row(
            "Rule 28",
            Status::ConstrainedByDraught,
            Power,
            |rig| {
                let spot = rig.mast();
                let reds = [("upper red", AllRoundRed), ("middle red", AllRoundRed), ("lower red", AllRoundRed)];
                rig.line(spot, &reds).mastheads().sidelights().sternlight()
            },
            RED_WHITE_AND_SIDES,
        ),
        // 29(a): white over red at or near the masthead, under way sidelights and sternlight.
        row("Rule 29(a)", Status::Pilot, Power, |rig| pilot(rig).sidelights().sternlight(), RED_WHITE_AND_SIDES),
        // 29(a)(iii): at anchor the lights of Rule 30 besides.
        row("Rule 29(a)", Status::PilotAtAnchor, Power, |rig| anchors(pilot(rig)), ["RW"; 8]),
        // 30(b): under 50 m one all-round white light.
        Row { to: 49.99, ..row("Rule 30(b)", Status::AtAnchor, Power, anchors, ["W"; 8]) },
        // 30(a): from 50 m one forward and a lower one aft.
        Row { from: 50.0, ..row("Rule 30(a)", Status::AtAnchor, Power, anchors, ["W"; 8]) },
        // 30(d): besides, two all-round red lights in a vertical line.
        row("Rule 30(d)", Status::Aground, Power, |rig| anchors(two_red(rig)), ["RW"; 8]),
    ]
}

pub const TOWING: [&str; 8] = ["RGW", "GW", "GW", "WY", "WY", "WY", "RW", "RW"];
pub const RED_WHITE_AND_SIDES: [&str; 8] = ["RGW", "RGW", "RGW", "RW", "RW", "RW", "RW", "RW"];

pub fn all_round(rig: Rig) -> Rig {
    // Annex I 2(d): at least 1 m above the sidelights.
    let spot = Spot { forward: rig.length() * 0.4, starboard: 0.0, above: 1.85 };
    rig.light("all-round white", AllRoundWhite, spot)
}

/// Masthead lights of a towing vessel in a line forward, the uppermost at the height of a forward masthead light; from
/// 50 m the second masthead light of Rule 24(d) besides.
pub fn tow_mastheads(rig: Rig, count: usize) -> Rig {
    let above = (rig.masthead_height() - rig.gap()).max(4.05);
    let spot = Spot { forward: rig.length() * 0.76, starboard: 0.0, above };
    let names = ["upper masthead light", "lower masthead light", "lowest masthead light"];
    let lights: Vec<(&str, Role)> = names[..count].iter().map(|name| (*name, Masthead)).collect();
    let rig = rig.line(spot, &lights);
    if rig.length() < 50.0 { rig } else { rig.after_masthead() }
}

pub fn towing(rig: Rig, count: usize) -> Rig {
    let spot = Spot { forward: -0.1, starboard: 0.0, above: 0.5 };
    tow_mastheads(rig, count).sidelights().line(spot, &[("towing light", TowingLight), ("sternlight", Sternlight)])
}

pub fn trawl(rig: Rig) -> Rig {
    let spot = Spot { forward: rig.length() * 0.9, ..rig.mast() };
    let rig = rig.line(spot, &[("green", AllRoundGreen), ("white", AllRoundWhite)]);
    if rig.length() < 50.0 {
        return rig;
    }
    let above = (spot.above + rig.gap() + 0.1).max(rig.masthead_height());
    let masthead = Spot { forward: rig.length() * 0.7, starboard: 0.0, above };
    rig.light("masthead light", Masthead, masthead)
}

pub fn fish(rig: Rig) -> Rig {
    let spot = rig.mast();
    rig.line(spot, &[("red", AllRoundRed), ("white", AllRoundWhite)])
}

/// Annex I 4(a): 2 to 6 m away, no higher than the white light, no lower than the sidelights.
pub fn gear(rig: Rig) -> Rig {
    let pair = rig.mast();
    let spot = Spot { forward: pair.forward - 2.05, starboard: 0.0, above: pair.above - 0.02 };
    rig.light("gear light", AllRoundWhite, spot)
}

pub fn two_red(rig: Rig) -> Rig {
    let spot = rig.mast();
    rig.line(spot, &[("upper red", AllRoundRed), ("lower red", AllRoundRed)])
}

pub fn restricted(rig: Rig) -> Rig {
    let spot = rig.mast();
    rig.line(spot, &[("upper red", AllRoundRed), ("middle white", AllRoundWhite), ("lower red", AllRoundRed)])
}

/// Annex I 4(b): the lights of either side 2 m away and no higher than the lowest of the three.
pub fn dredging(rig: Rig) -> Rig {
    let side = rig.mast();
    let middle = Spot { above: side.above + rig.gap() + 0.02, ..side };
    let three = [("upper red", AllRoundRed), ("middle white", AllRoundWhite), ("lower red", AllRoundRed)];
    let red = [("upper obstructed red", AllRoundRed), ("lower obstructed red", AllRoundRed)];
    let green = [("upper clear green", AllRoundGreen), ("lower clear green", AllRoundGreen)];
    rig.line(middle, &three)
        .line(Spot { starboard: 2.05, ..side }, &red)
        .line(Spot { starboard: -2.05, ..side }, &green)
}

pub fn pilot(rig: Rig) -> Rig {
    let spot = rig.mast();
    rig.with_mast(spot.above - 0.1).line(spot, &[("white", AllRoundWhite), ("red", AllRoundRed)])
}

/// One anchor light under 50 m; from there two, the forward one 4.5 m higher and 6 m above the hull (Annex I 2(k)).
pub fn anchors(rig: Rig) -> Rig {
    // So high that the hull does not hide the after one from below.
    let fore = Spot { forward: rig.length() * 0.9, starboard: 0.0, above: 12.05 };
    let aft = Spot { forward: rig.length() * 0.1, starboard: 0.0, above: 7.5 };
    if rig.length() < 50.0 {
        return rig.light("anchor light", AllRoundWhite, fore);
    }
    rig.light("anchor light", AllRoundWhite, fore).light("after anchor light", AllRoundWhite, aft)
}

impl Row {
    pub fn lengths(&self) -> impl Iterator<Item = f64> + '_ {
        BORDERS.into_iter().filter(|length| (self.from..=self.to).contains(length))
    }

    pub fn rigged(&self, length: f64) -> Rig {
        let mut rig = Rig::of(length, self.by, self.status);
        if self.status == Status::UnderEngine {
            rig.scene.vessel.also.push(Power);
        }
        (self.rig)(rig)
    }

    pub fn at(&self, length: f64) -> String {
        format!("{} {} at {length} m", self.clause, self.status.in_words())
    }
}

/// A coarse survey: edges are looked for half a degree apart all the same.
pub fn survey(rig: &Rig) -> Survey {
    let settings = Settings { step: 45.0, ..Settings::default() };
    Survey::of(&rig.scene, &rig.scene.fits[0], rig.status, &settings)
}

pub fn judged(rig: &Rig) -> Judgement<'static> {
    judge(&rig.scene, &rig.scene.fits[0], &survey(rig), international())
}

pub fn kinds(judgement: &Judgement) -> Vec<Kind> {
    let mut kinds: Vec<_> = judgement.findings.iter().map(|finding| finding.kind).collect();
    kinds.sort();
    kinds.dedup();
    kinds
}

pub fn told(judgement: &Judgement) -> String {
    judgement
        .findings
        .iter()
        .map(|one| format!("\n  {:?} {} {} {}", one.kind, one.clause, one.what, one.how_bad))
        .collect()
}
