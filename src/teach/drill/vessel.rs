//! A vessel of the drill: a supplied boat as the survey has her, or any vessel that shows a display of the rules.
//!
//! Takes a status or a boat; gives the lights that are seen from a bearing, and whether another status could look the same.
//! Lights of a display stand where a plain sketch has them, not to scale; which of them show is the rules' own sectors.

use std::sync::Arc as Shared;

use serde::{Deserialize, Serialize};

use super::Dice;
use crate::{
    boat::{Attitude, Pose, Status},
    light::Colour,
    measure::{Bearing, Metres, NauticalMiles, trimmed},
    rules::{Display, LightKind, Rules, international},
    survey::Station,
    teach::{Situation, boat},
};

/// What a vessel is made from.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Subject {
    /// A built-in boat with her proposed fit.
    Boat(String, Status),
    /// Any vessel that shows the lights of a status.
    Display(Status),
}

/// From which side of her the learner looks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Region {
    Ahead,
    Starboard,
    Abaft,
    Port,
}

impl Region {
    pub const ALL: [Self; 4] = [Self::Ahead, Self::Starboard, Self::Abaft, Self::Port];

    /// Where you are, in words.
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Ahead => "right ahead of her",
            Self::Starboard => "on her starboard side, forward of the overtaking sector",
            Self::Abaft => "abaft, in the overtaking sector",
            Self::Port => "on her port side, forward of the overtaking sector",
        }
    }

    /// Whole degrees well inside it, clear of the edges where lights may overlap (Annex I 9).
    pub(super) fn ends(self) -> (i32, i32) {
        match self {
            Self::Ahead => (0, 0),
            Self::Starboard => (8, 105),
            Self::Abaft => (120, 240),
            Self::Port => (255, 352),
        }
    }

    /// Bearings all over it.
    fn samples(self) -> impl Iterator<Item = Bearing> {
        const PARTS: u32 = 8;
        let (least, most) = self.ends();
        (0..=PARTS).map(move |part| {
            Bearing::new(f64::from(least) + f64::from(most - least) * f64::from(part) / f64::from(PARTS))
        })
    }
}

/// A light as it is seen: metres to the onlooker's right and up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    pub right: f64,
    pub up: f64,
    pub colour: Colour,
}

/// See the module.
#[derive(Clone, Debug)]
pub struct Vessel {
    /// By her means.
    pub status: Status,
    pub length: Metres,
    shown: Shown,
}

#[derive(Clone, Debug)]
enum Shown {
    Boat(Box<Situation>),
    Display(&'static Display),
}

/// Lengths that displays are drawn for.
const LENGTHS: [f64; 6] = [6.0, 9.0, 11.0, 16.0, 30.0, 60.0];
const FIT: &str = "proposed";

/// Everything that a vessel can be made from.
pub(super) fn subjects() -> Vec<Subject> {
    let boats = crate::teach::BOATS.iter().filter_map(|name| Some((*name, boat(name)?)));
    let of_boats = boats.flat_map(|(name, scene)| {
        let statuses = scene.vessel.statuses.clone();
        statuses.into_iter().map(move |status| Subject::Boat(name.into(), status))
    });
    let displays = Status::ALL.iter().filter(|status| **status != Status::UnderWay && !drawable(**status).is_empty());
    of_boats.chain(displays.map(|status| Subject::Display(*status))).collect()
}

/// The displays of a status that say what she is, and can be drawn: nothing flashes on paper, and nothing kept ready shows.
fn drawable(status: Status) -> Vec<&'static Display> {
    let rows = international().displays.iter();
    rows.filter(|row| {
        let flashes = row.required().any(|kind| kind == LightKind::FlashingYellow);
        row.status == status && row.waters.is_none() && row.ready.is_none() && !row.unsaid && !flashes
    })
    .collect()
}

impl Vessel {
    /// A vessel of the subject; `None` where the boat has no such status.
    pub(super) fn of(subject: &Subject, dice: &mut Dice) -> Option<Self> {
        match subject {
            Subject::Boat(name, status) => Self::of_boat(name, *status),
            Subject::Display(status) => {
                let rows = drawable(*status);
                let display: &'static Display = dice.one(&rows)?;
                let fits =
                    |length: &&f64| display.length.holds(**length) && (display.top_speed.is_none() || **length < 7.0);
                let lengths: Vec<&f64> = LENGTHS.iter().filter(fits).collect();
                let length = **dice.one(&lengths)?;
                Some(Self { status: *status, length: Metres(length), shown: Shown::Display(display) })
            }
        }
    }

    fn of_boat(name: &str, status: Status) -> Option<Self> {
        let scene = boat(name)?;
        let fit = scene.fits.iter().position(|fit| fit.name == FIT)?;
        let plain = status.plain(scene.vessel.propulsion);
        if !scene.fits[fit].lamps.iter().any(|lamp| lamp.lit.contains(&plain)) {
            return None;
        }
        let station = Station { bearing: Bearing::AHEAD, distance: NauticalMiles(0.25).metres(), eye: Metres(2.0) };
        let (length, by_means) = (scene.vessel.length, status.by_means(&scene.vessel));
        let (pose, attitude) = (Pose::default(), Attitude::default());
        let situation = Situation { scene: Shared::clone(&scene), fit, status: plain, pose, attitude, station };
        Some(Self { status: by_means, length, shown: Shown::Boat(Box::new(situation)) })
    }

    /// "a vessel of 16 m, trawling and making way".
    pub fn in_words(&self) -> String {
        format!("a vessel of {} m, {}", trimmed(self.length.0, 1), self.status.in_words())
    }

    /// What her lights are from: "the survey of Sandpiper, as proposed", or the clause of the display.
    pub(super) fn source(&self) -> String {
        match &self.shown {
            Shown::Boat(situation) => format!("the survey of {} ({FIT})", situation.scene.name),
            Shown::Display(display) => format!("{}, {}", display.name, display.clause),
        }
    }

    /// The lights that show on a bearing.
    pub fn seen(&self, bearing: Bearing) -> Vec<Dot> {
        let (sin, cos) = bearing.degrees().to_radians().sin_cos();
        let mut dots: Vec<Dot> = match &self.shown {
            // Looking at her from there, what is to port of her centreline stands to the right when she comes on.
            Shown::Boat(situation) => {
                let sightings = situation.seen_from(bearing).sightings().into_iter();
                let made_out = sightings.filter(|one| one.made_out);
                made_out
                    .map(|one| Dot { right: one.at.x * sin + one.at.y * cos, up: one.at.z, colour: one.colour })
                    .collect()
            }
            Shown::Display(display) => sketched(display, self.length.0, international())
                .into_iter()
                .filter(|light| shows(light.kind, bearing))
                .filter_map(|light| {
                    let colour = international().sector(light.kind)?.colour;
                    Some(Dot { right: light.forward * sin - light.starboard * cos, up: light.up, colour })
                })
                .collect(),
        };
        dots.sort_by(|a, b| b.up.total_cmp(&a.up).then(a.right.total_cmp(&b.right)));
        dots
    }

    /// What can be told of her from a bearing: colours, and the order of lines of several colours.
    pub(super) fn look(&self, bearing: Bearing) -> Look {
        match &self.shown {
            Shown::Boat(_) => {
                Look { colours: sorted(self.seen(bearing).iter().map(|dot| dot.colour)), lines: Vec::new() }
            }
            Shown::Display(display) => Look {
                colours: sorted(display.required().filter(|kind| shows(*kind, bearing)).filter_map(colour)),
                lines: lines(display, bearing),
            },
        }
    }

    /// Whether she looks the same from somewhere in a region as she does from a bearing.
    pub(super) fn looks_so_from(&self, look: &Look, region: Region) -> bool {
        region.samples().any(|bearing| self.look(bearing) == *look)
    }
}

/// What can be told of a vessel by her lights.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Look {
    colours: Vec<Colour>,
    /// Lines of more than one colour, each from the top down. A line of one colour may be lights one behind the other.
    lines: Vec<Vec<Colour>>,
}

impl Look {
    pub fn is_dark(&self) -> bool {
        self.colours.is_empty()
    }

    /// Whether a vessel in a status can look so from anywhere, with whatever she may show besides.
    pub fn can_be(&self, status: Status) -> bool {
        Region::ALL.into_iter().flat_map(Region::samples).any(|bearing| self.can_be_from(status, bearing))
    }

    fn can_be_from(&self, status: Status, bearing: Bearing) -> bool {
        let rows = international().displays.iter().filter(|row| row.status == status);
        rows.into_iter().any(|row| {
            let mut rest = self.colours.clone();
            let due = row.required().filter(|kind| shows(*kind, bearing)).filter_map(colour);
            let all = due.into_iter().all(|colour| take(&mut rest, colour));
            for kind in row.may.iter().chain(&row.if_practicable).filter(|kind| shows(**kind, bearing)) {
                if let Some(colour) = colour(*kind) {
                    take(&mut rest, colour);
                }
            }
            all && rest.is_empty() && lines(row, bearing) == self.lines
        })
    }
}

fn take(rest: &mut Vec<Colour>, colour: Colour) -> bool {
    rest.iter().position(|one| *one == colour).map(|at| rest.remove(at)).is_some()
}

fn sorted(colours: impl Iterator<Item = Colour>) -> Vec<Colour> {
    let mut colours: Vec<Colour> = colours.collect();
    colours.sort_unstable();
    colours
}

fn colour(kind: LightKind) -> Option<Colour> {
    international().sector(kind).map(|row| row.colour)
}

fn shows(kind: LightKind, bearing: Bearing) -> bool {
    international().sector(kind).is_some_and(|row| row.arc().contains(bearing))
}

fn lines(display: &Display, bearing: Bearing) -> Vec<Vec<Colour>> {
    let seen = |line: &Vec<LightKind>| -> Vec<Colour> {
        line.iter().filter(|kind| shows(**kind, bearing)).filter_map(|kind| colour(*kind)).collect()
    };
    let several = |line: &Vec<Colour>| line.iter().any(|colour| *colour != line[0]);
    let mut lines: Vec<Vec<Colour>> = display.lines.iter().map(seen).filter(several).collect();
    lines.sort();
    lines
}

/// A light where the sketch has it, metres.
struct Sketched {
    kind: LightKind,
    forward: f64,
    starboard: f64,
    up: f64,
}

/// A plain sketch: lines on a mast amidships, masthead lights forward of it and a second abaft and higher, sidelights low,
/// the sternlight at her end. Proportions are the program's own and say nothing of Annex I.
fn sketched(display: &Display, length: f64, rules: &Rules) -> Vec<Sketched> {
    let stern = -0.48;
    let at = |kind, forward: f64, starboard: f64, up: f64| Sketched {
        kind,
        forward: forward * length,
        starboard: starboard * length,
        up: up * length,
    };
    let mut all = Vec::new();
    for (index, line) in display.lines.iter().enumerate() {
        let astern = line.iter().any(|kind| {
            rules.sector(*kind).is_some_and(|row| row.arc().contains(Bearing::ASTERN) && !row.is_all_round())
        });
        let masthead = line.first() == Some(&LightKind::Masthead);
        let (forward, starboard, top) = match (astern, masthead, index) {
            (true, ..) => (stern, 0.0, 0.28),
            (_, true, _) => (0.2, 0.0, 0.75),
            (_, _, 1) => (0.0, -0.25, 0.5),
            (_, _, 2) => (0.0, 0.25, 0.5),
            _ => (0.0, 0.0, 0.62),
        };
        let each = |(place, kind): (usize, &LightKind)| at(*kind, forward, starboard, top - 0.1 * place as f64);
        all.extend(line.iter().enumerate().map(each));
    }
    let mut counts: Vec<LightKind> = Vec::new();
    let lined = !display.lines.is_empty();
    for kind in &display.lights {
        let before = counts.iter().filter(|one| *one == kind).count();
        counts.push(*kind);
        all.push(match (kind, before) {
            (LightKind::Masthead, 0) => at(*kind, 0.25, 0.0, 0.68),
            (LightKind::Masthead, _) => at(*kind, -0.2, 0.0, 0.85),
            (LightKind::StarboardSidelight, _) => at(*kind, 0.22, 0.1, 0.2),
            (LightKind::PortSidelight, _) => at(*kind, 0.22, -0.1, 0.2),
            (LightKind::Sternlight, _) => at(*kind, stern, 0.0, 0.18),
            // Of a vessel at anchor the first is forward and higher; beside a line it is the light towards the gear.
            (LightKind::AllRoundWhite, 0) if lined && !display.status_at_rest() => at(*kind, 0.0, 0.2, 0.42),
            (LightKind::AllRoundWhite, 0) => at(*kind, if lined { 0.4 } else { 0.1 }, 0.0, 0.5),
            _ => at(*kind, -0.4, 0.0, 0.3),
        });
    }
    all
}

impl Display {
    /// Whether it is shown at anchor or aground.
    fn status_at_rest(&self) -> bool {
        matches!(self.status, Status::AtAnchor | Status::Aground | Status::PilotAtAnchor | Status::RestrictedAtAnchor)
    }
}

/// Whether the drill asks what to do about her: not where Rule 18 does not name her, and not where she is only not to be
/// impeded.
pub(super) fn may_be_met(status: Status) -> bool {
    !matches!(status, Status::UnderOars | Status::ConstrainedByDraught)
}

/// Whether she moves through the water.
pub(super) fn makes_way(status: Status) -> bool {
    !matches!(
        status,
        Status::TrawlingStopped
            | Status::FishingStopped
            | Status::FishingGearStopped
            | Status::NotUnderCommandStopped
            | Status::RestrictedStopped
            | Status::RestrictedAtAnchor
            | Status::DredgingStopped
            | Status::Diving
            | Status::PilotAtAnchor
            | Status::AtAnchor
            | Status::Aground
    )
}
