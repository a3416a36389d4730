//! Two vessels in sight of one another: overtaking, head-on or crossing, and who keeps out of whose way.
//!
//! Takes what each is doing, her speed, and where each has the other from her own head; gives the encounter and the duties
//! of Rules 13 to 18, with their clause. Risk of collision is taken as given wherever they draw together (Rule 7(a)). Must
//! never look at a boat's lamps, and knows nothing of channels, traffic schemes or fog (Rules 9, 10 and 19).

use std::sync::LazyLock;

use serde::Deserialize;

use super::{LightKind, Rules};
use crate::{
    boat::Status,
    measure::{Arc, Bearing, Knots, counted},
};

/// One of two vessels that meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Party {
    /// By its means (see [`Status::by_means`]); plainly "under way" counts as by engine.
    pub status: Status,
    /// Where she has the other, from her own head.
    pub bears: Bearing,
    /// Through the water.
    pub speed: Knots,
}

/// One of the two: the first is "you" in every sentence, the second "she".
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    You,
    She,
}

impl Side {
    fn other(self) -> Self {
        match self {
            Self::You => Self::She,
            Self::She => Self::You,
        }
    }
}

/// How two vessels meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encounter {
    /// Who comes up from abaft the limit of the other's sidelights.
    Overtaking(Side),
    HeadOn,
    Crossing,
    /// They draw together, but each goes down the same side of the other, and their bearings open.
    Passing,
    /// The distance between them does not shrink.
    Parting,
    /// One of them or both lie at anchor or aground.
    AtRest,
}

impl Encounter {
    /// "overtaking", "head-on", "crossing".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Overtaking(_) => "overtaking",
            Self::HeadOn => "head-on",
            Self::Crossing => "crossing",
            Self::Passing => "passing clear",
            Self::Parting => "drawing apart",
            Self::AtRest => "one of them not under way",
        }
    }
}

/// Who keeps out of the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeepsClear {
    One(Side),
    /// Each alters to starboard.
    Both,
    /// Nobody need.
    Neither,
    /// Rules 13 to 18 do not settle it.
    Open,
}

/// What one of them is to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    KeepClear,
    StandOn,
    AlterToStarboard,
    /// Nothing yet but to watch.
    Watch,
    /// Settled by no rule from 13 to 18.
    Open,
}

impl Duty {
    /// What to do, in words that follow "you".
    pub fn in_words(self) -> &'static str {
        match self {
            Self::KeepClear => "keep out of her way, early and well clear",
            Self::StandOn => "keep your course and speed, and watch that she keeps clear",
            Self::AlterToStarboard => "alter course to starboard, as she must too",
            Self::Watch => "keep a good lookout; no rule asks you to give way yet",
            Self::Open => "act early as good seamanship asks; these rules do not settle it",
        }
    }
}

/// See the module.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    pub encounter: Encounter,
    /// Whether it is so near a border that it is assumed and not certain (Rules 13(c), 14(c)).
    pub assumed: bool,
    pub keeps_clear: KeepsClear,
    pub clause: &'static str,
    /// Why, in a sentence to the first of the two.
    pub why: String,
}

impl Meeting {
    /// What one of the two is to do.
    pub fn duty(&self, side: Side) -> Duty {
        match self.keeps_clear {
            KeepsClear::One(one) if one == side => Duty::KeepClear,
            KeepsClear::One(_) => Duty::StandOn,
            KeepsClear::Both => Duty::AlterToStarboard,
            KeepsClear::Neither => Duty::Watch,
            KeepsClear::Open => Duty::Open,
        }
    }

    /// What the same two are to each other later: a vessel that was overtaking stays so until she is past and clear,
    /// whatever the bearing has become (Rule 13(d)).
    pub fn later(&self, now: Meeting, past_and_clear: bool) -> Meeting {
        let Encounter::Overtaking(side) = self.encounter else { return now };
        if past_and_clear {
            return now;
        }
        let why = match side {
            Side::You => "You were overtaking her, and stay the overtaking vessel until you are past and clear.",
            Side::She => "She was overtaking you, and stays the overtaking vessel until she is past and clear.",
        };
        Meeting { clause: "Rule 13(d)", why: why.into(), assumed: false, ..self.clone() }
    }
}

/// The figures of `assets/rules/meeting.ron`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Figures {
    nearly_ahead: f64,
    doubt_ahead: f64,
    #[allow(dead_code, reason = "read so that no figure stands without one")]
    source: String,
}

static FIGURES: LazyLock<Figures> = LazyLock::new(|| {
    let text = include_str!("../../assets/rules/meeting.ron");
    // A test has read it.
    ron::from_str(text).unwrap_or_else(|error| panic!("assets/rules/meeting.ron: {error}"))
});

/// The bearings from her from which whoever comes up is overtaking: the sector of a sternlight, its edges left out (Rule
/// 13(b): "more than" 22.5 degrees abaft her beam). `None` in a rule set that knows no sternlight.
pub fn overtaking_sector(rules: &Rules) -> Option<Arc> {
    rules.sector(LightKind::Sternlight).map(super::SectorRow::arc)
}

/// Degrees forward of that sector over which she may doubt: as far as sidelight and sternlight may overlap (Annex I 9(b)).
pub fn overtaking_doubt(rules: &Rules) -> f64 {
    rules.cutoff.aft_outside
}

/// Degrees either side of right ahead within which another is ahead or nearly so, and up to which one may doubt it.
pub fn ahead_figures() -> (f64, f64) {
    (FIGURES.nearly_ahead, FIGURES.doubt_ahead)
}

/// How two vessels meet and what each is to do.
pub fn meeting(you: &Party, she: &Party, rules: &Rules) -> Meeting {
    let (encounter, assumed) = encounter(you, she, rules);
    let (keeps_clear, clause, why) = duties(encounter, assumed, you, she);
    Meeting { encounter, assumed, keeps_clear, clause, why }
}

fn encounter(you: &Party, she: &Party, rules: &Rules) -> (Encounter, bool) {
    if [you, she].iter().any(|party| Standing::of(party.status) == Standing::AtRest) {
        return (Encounter::AtRest, false);
    }
    if !draw_together(you, she) {
        return (Encounter::Parting, false);
    }
    // You overtake her when you are where only her sternlight shows: that is told by where she has you.
    for (side, from) in [(Side::You, she.bears), (Side::She, you.bears)] {
        if let Some(certain) = is_abaft(from, rules) {
            return (Encounter::Overtaking(side), !certain);
        }
    }
    let off_ahead = |party: &Party| party.bears.clockwise_of(Bearing::AHEAD).abs();
    let widest = off_ahead(you).max(off_ahead(she));
    if widest <= FIGURES.doubt_ahead {
        return (Encounter::HeadOn, widest > FIGURES.nearly_ahead);
    }
    let encounter =
        if has_to_starboard(you) == has_to_starboard(she) { Encounter::Passing } else { Encounter::Crossing };
    (encounter, false)
}

/// Whether the distance between them shrinks: the speeds along the line that joins them, together.
fn draw_together(you: &Party, she: &Party) -> bool {
    let along = |party: &Party| party.speed.0 * party.bears.degrees().to_radians().cos();
    along(you) + along(she) > 1e-9
}

/// Whether a bearing from her lies abaft the limit: `Some(true)` beyond doubt, `Some(false)` within it, `None` not at all.
fn is_abaft(bearing: Bearing, rules: &Rules) -> Option<bool> {
    let depth = overtaking_sector(rules)?.depth(bearing);
    (depth > -overtaking_doubt(rules)).then_some(depth > 1e-9)
}

fn has_to_starboard(party: &Party) -> bool {
    let degrees = party.bears.degrees();
    degrees > 0.0 && degrees < 180.0
}

/// What a vessel is among those that Rule 18 ranks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Standing {
    Power,
    Sail,
    Fishing,
    Restricted,
    NotUnderCommand,
    Constrained,
    /// Under oars, or part of a tow: Rule 18 does not name her.
    Unnamed,
    AtRest,
}

impl Standing {
    fn of(status: Status) -> Self {
        match status {
            Status::UnderWay
            | Status::UnderEngine
            | Status::AirCushion
            | Status::Towing
            | Status::TowingLong
            | Status::Pushing
            | Status::Pilot => Self::Power,
            Status::UnderSail => Self::Sail,
            status if status.fishes() => Self::Fishing,
            Status::TowingRestricted
            | Status::Restricted
            | Status::RestrictedStopped
            | Status::Dredging
            | Status::DredgingStopped
            | Status::Diving => Self::Restricted,
            Status::NotUnderCommand | Status::NotUnderCommandStopped => Self::NotUnderCommand,
            Status::ConstrainedByDraught => Self::Constrained,
            Status::AtAnchor | Status::Aground | Status::PilotAtAnchor | Status::RestrictedAtAnchor => Self::AtRest,
            _ => Self::Unnamed,
        }
    }

    /// Whether she goes by engine as far as Rules 14 and 15 are concerned.
    fn by_engine(self) -> bool {
        matches!(self, Self::Power | Self::Constrained)
    }

    /// The clause by which a vessel of this standing keeps out of the way of another.
    fn yields_to(self, other: Self) -> Option<&'static str> {
        Some(match (self, other) {
            (Self::Power, Self::NotUnderCommand) | (Self::Constrained, Self::NotUnderCommand) => "Rule 18(a)(i)",
            (Self::Power, Self::Restricted) | (Self::Constrained, Self::Restricted) => "Rule 18(a)(ii)",
            (Self::Power, Self::Fishing) => "Rule 18(a)(iii)",
            (Self::Power, Self::Sail) => "Rule 18(a)(iv)",
            (Self::Sail, Self::NotUnderCommand) => "Rule 18(b)(i)",
            (Self::Sail, Self::Restricted) => "Rule 18(b)(ii)",
            (Self::Sail, Self::Fishing) => "Rule 18(b)(iii)",
            (Self::Fishing, Self::NotUnderCommand) => "Rule 18(c)(i)",
            (Self::Fishing, Self::Restricted) => "Rule 18(c)(ii)",
            // If the circumstances admit, and without loss of what each owes by the other rules.
            (Self::Power | Self::Sail | Self::Fishing, Self::Constrained) => "Rule 18(d)(i)",
            _ => return None,
        })
    }
}

fn duties(encounter: Encounter, assumed: bool, you: &Party, she: &Party) -> (KeepsClear, &'static str, String) {
    match encounter {
        Encounter::AtRest => at_rest(you, she),
        Encounter::Parting => {
            (KeepsClear::Neither, "Rule 7", "The distance between you does not shrink: there is no risk of collision.".into())
        }
        Encounter::Overtaking(side) => overtaking(side, assumed, you, she),
        Encounter::Passing => (
            KeepsClear::Neither,
            "Rule 7",
            "Each of you has the other on the same side, so that the bearing opens as you close. Watch the compass bearing: \
             if it hardly changes, there is risk of collision all the same."
                .into(),
        ),
        Encounter::HeadOn | Encounter::Crossing => by_rank(encounter, assumed, you, she),
    }
}

fn at_rest(you: &Party, she: &Party) -> (KeepsClear, &'static str, String) {
    let rests = |party: &Party| Standing::of(party.status) == Standing::AtRest;
    let (keeps, why) = match (rests(you), rests(she)) {
        (true, true) => (KeepsClear::Neither, "Neither of you is under way."),
        (true, false) => (KeepsClear::One(Side::She), "You lie still and she is under way: she keeps clear of you."),
        _ => (KeepsClear::One(Side::You), "She lies still and you are under way: you keep clear of her."),
    };
    // Rules 13 to 18 are for vessels under way; the duty is that of good seamanship.
    (keeps, "Rules 2 and 8", why.into())
}

fn overtaking(side: Side, assumed: bool, you: &Party, she: &Party) -> (KeepsClear, &'static str, String) {
    let (from, words) = match side {
        Side::You => (she.bears, "You come up with her from"),
        Side::She => (you.bears, "She comes up with you from"),
    };
    let whose = if side == Side::You { "her" } else { "your" };
    let abaft = counted(from.clockwise_of(Bearing::AHEAD).abs() - 90.0, 1, "degree");
    let keeper = if side == Side::You { "you keep out of her way" } else { "she keeps out of your way" };
    if assumed {
        let why = format!(
            "{words} {abaft} abaft {whose} beam, so near the limit that there is doubt. In doubt it is taken for overtaking: \
             {keeper} until past and clear."
        );
        return (KeepsClear::One(side), "Rule 13(c)", why);
    }
    let why = format!(
        "{words} {abaft} abaft {whose} beam, where only {whose} sternlight shows: {keeper} until past and clear, whatever each \
         of you is."
    );
    (KeepsClear::One(side), "Rule 13(a)", why)
}

/// Rule 18 first; between two that go by engine Rules 14 and 15.
fn by_rank(encounter: Encounter, assumed: bool, you: &Party, she: &Party) -> (KeepsClear, &'static str, String) {
    let (yours, hers) = (Standing::of(you.status), Standing::of(she.status));
    for (side, own, other) in [(Side::You, yours, hers), (Side::She, hers, yours)] {
        if let Some(clause) = own.yields_to(other) {
            return (KeepsClear::One(side), clause, ranked(side, clause, you, she));
        }
    }
    if !(yours.by_engine() && hers.by_engine()) {
        return open(yours, hers);
    }
    if encounter == Encounter::HeadOn {
        let (clause, doubt) =
            if assumed { ("Rule 14(c)", "In doubt it is taken for head-on: ") } else { ("Rule 14(a)", "") };
        let why = format!(
            "{doubt}{} has the other ahead or nearly ahead, on nearly opposite courses. Each alters to starboard, to pass port \
             side to port side.",
            if doubt.is_empty() { "Each" } else { "each" }
        );
        return (KeepsClear::Both, clause, why);
    }
    let side = if has_to_starboard(you) { Side::You } else { Side::She };
    let why = match side {
        Side::You => "You have her on your own starboard side: you keep out of her way, and do not cross ahead of her.",
        Side::She => "She has you on her own starboard side: she keeps out of your way; you keep course and speed.",
    };
    (KeepsClear::One(side), "Rule 15(a)", why.into())
}

fn ranked(side: Side, clause: &str, you: &Party, she: &Party) -> String {
    let (yields, stands) = match side {
        Side::You => (you.status, she.status),
        Side::She => (she.status, you.status),
    };
    let (yields, stands) = (kind(yields), kind(stands));
    let who = if side.other() == Side::She { "you keep out of her way" } else { "she keeps out of your way" };
    if clause == "Rule 18(d)(i)" {
        return format!(
            "A {yields} shall, if the circumstances of the case admit, avoid impeding a {stands}. The other rules still bind both."
        );
    }
    format!("A {yields} keeps out of the way of a {stands}: {who}.")
}

/// A vessel by her standing, in words that follow "a".
fn kind(status: Status) -> &'static str {
    match Standing::of(status) {
        Standing::Power => "power-driven vessel",
        Standing::Sail => "vessel under sail",
        Standing::Fishing => "vessel engaged in fishing",
        Standing::Restricted => "vessel restricted in her ability to manoeuvre",
        Standing::NotUnderCommand => "vessel not under command",
        Standing::Constrained => "vessel constrained by her draught",
        Standing::Unnamed => "vessel under oars or in tow",
        Standing::AtRest => "vessel not under way",
    }
}

fn open(yours: Standing, hers: Standing) -> (KeepsClear, &'static str, String) {
    if yours == Standing::Sail && hers == Standing::Sail {
        let why = "Both of you sail: Rule 12 turns on the wind, on which side each has it and who is to windward.";
        return (KeepsClear::Open, "Rule 12", why.into());
    }
    let why = "Rule 18 does not say which of two such vessels gives way: each acts early, as good seamanship asks.";
    (KeepsClear::Open, "Rule 2", why.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_figures_are_sound_and_say_where_they_are_from() {
        assert!(0.0 < FIGURES.nearly_ahead && FIGURES.nearly_ahead < FIGURES.doubt_ahead);
        assert!(FIGURES.source.contains("the program's own"));
    }
}
