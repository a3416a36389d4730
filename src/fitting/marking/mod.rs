//! Marking out: where the foot of each lamp goes, measured as one measures on a boat.
//!
//! Takes a scene and a fit of it; gives for every lamp the spot on what it stands on, two tapes from named points that
//! cross there, a line parallel to the centreline squared off, the slope that a shim takes out, and checks. Lengths are
//! metres; a tape is a taut one, on the real deck. Must never draw, and never compute light.

mod choose;
mod fixed;
mod footing;
mod squaring;
mod tape;

use glam::DVec3;

pub use choose::Crossing;
pub use fixed::{FixedPoint, fixed_points};
pub use footing::Footing;
pub use squaring::Squaring;
pub use tape::{Tape, taut};

use super::Finding;
use crate::{
    boat::{Along, Fit, Lamp, Mount, Pose, PosedLamp, Role, Scene},
    measure::{Degrees, Metres, trimmed},
    shadow::Obstacles,
};

/// Where one lamp's foot goes.
#[derive(Clone, Debug)]
pub struct Mark {
    /// Index into [`Fit::lamps`].
    pub lamp: usize,
    pub name: String,
    pub footing: Footing,
    /// The spot to mark, in the vessel frame.
    pub at: DVec3,
    /// Forward of the transom, the tape held level.
    pub forward: Metres,
    /// To starboard of the centreline, the tape held level; to port negative.
    pub starboard: Metres,
    /// The middle of the lamp's face above the spot.
    pub lamp_above: Metres,
    /// The line that the bracket or lamp is set along; `None` where there is nothing to set along one.
    pub line: Option<BracketLine>,
    /// The same line squared off from an athwartships one; `None` where it does not lie on deck.
    pub squaring: Option<Squaring>,
    /// Two tapes that cross at the spot; `None` where no two points will do.
    pub crossing: Option<Crossing>,
    /// The lamp of the other side and the tape to its spot.
    pub twin: Option<Tape>,
    /// How far the gunwale abreast runs off the centreline, inward going forward positive.
    pub toe_in: Degrees,
    /// What it stands on, off level; `None` for what has no foot.
    pub slope: Option<Slope>,
    pub findings: Vec<Finding>,
}

/// The line through the spot that a bracket is set along.
#[derive(Clone, Debug, PartialEq)]
pub struct BracketLine {
    /// Both ends of the bracket, the after one or the one to port first.
    pub ends: [DVec3; 2],
    /// To starboard of the centreline going forward, from -90 to 90 degrees; 90 is square to it.
    pub angle: Degrees,
    /// Whether the ends are those of a bracket that the scene describes.
    pub of_bracket: bool,
}

/// How what a lamp stands on is off level, the boat floating at rest, and how she trims in use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slope {
    /// Rising going forward.
    pub forward: Degrees,
    /// Rising going to port.
    pub port: Degrees,
    /// The middle of her running trim, bow up.
    pub trim: Degrees,
}

impl Slope {
    /// The shim that stands the lamp upright at rest: thick end aft positive.
    pub fn shim_at_rest(&self) -> Degrees {
        self.forward
    }

    /// The shim that stands it upright in the middle of her running trim: thick end aft positive.
    pub fn shim_under_way(&self) -> Degrees {
        Degrees(self.forward.0 + self.trim.0)
    }
}

/// A crossing flatter than this is a poor one (common practice, no source).
const POOR_CROSSING: f64 = 30.0;
/// A line set off by more than this shifts the sector's edges by as much (the program's own figure).
const OFF_LINE: f64 = 0.5;

/// Marks for every lamp of a fit, in its order.
pub fn marking(scene: &Scene, fit: &Fit) -> Vec<Mark> {
    let points = fixed_points(scene);
    let solid = solids_in_the_way(scene, fit);
    let feet: Vec<_> = fit.lamps.iter().map(|lamp| footing::of(scene, lamp)).collect();
    let all = fit.lamps.iter().zip(&feet).enumerate();
    all.map(|(index, (lamp, foot))| {
        let twin = twin_of(fit, index).map(|other| {
            let name = format!("the spot of \"{}\"", fit.lamps[other].name);
            let to = FixedPoint { name, at: feet[other].at, part: None };
            Tape::between(&scene.vessel, to, foot.at)
        });
        let crossing = if foot.footing.can_be_taped() { choose::crossing(scene, &points, &solid, foot) } else { None };
        one(scene, lamp, index, foot, crossing, twin.filter(|_| foot.footing.can_be_taped()))
    })
    .collect()
}

fn one(
    scene: &Scene,
    lamp: &Lamp,
    index: usize,
    foot: &footing::Foot,
    crossing: Option<Crossing>,
    twin: Option<Tape>,
) -> Mark {
    let at = foot.at;
    let on_deck = matches!(foot.footing, Footing::Deck);
    let squaring = foot.line.as_ref().filter(|_| on_deck).map(|line| Squaring::of(&scene.vessel, line));
    let trim = scene.conditions.trim;
    let slope = foot.normal.map(|normal| Slope {
        forward: Degrees((-normal.x / normal.z).atan().to_degrees() + 0.0),
        port: Degrees((-normal.y / normal.z).atan().to_degrees() + 0.0),
        trim: Degrees((trim.0.0 + trim.1.0) / 2.0),
    });
    let mut mark = Mark {
        lamp: index,
        name: lamp.name.clone(),
        footing: foot.footing.clone(),
        at,
        forward: Metres(at.x),
        starboard: Metres(-at.y + 0.0),
        lamp_above: Metres(foot.posed.centre.z - at.z),
        line: foot.line.clone(),
        squaring,
        crossing,
        twin,
        toe_in: Degrees(-scene.vessel.gunwale_angle(at.x).0),
        slope,
        findings: Vec::new(),
    };
    mark.findings = findings(scene, lamp, &mark, foot);
    mark
}

/// What a tape cannot go through: everything but the hull, the lamps' own mounts and people.
fn solids_in_the_way(scene: &Scene, fit: &Fit) -> Obstacles {
    let mut solids = scene.posed(fit, &Pose::default()).solids;
    solids.retain(|solid| match solid.owner {
        crate::boat::Owner::Part(index) => scene.parts.get(index).is_some_and(|part| fixed::stops_a_tape(&part.kind)),
        _ => false,
    });
    Obstacles::new(&solids)
}

/// The lamp that is this one's mirror: the sidelight of the other side, as far off the centreline to a hand's breadth.
fn twin_of(fit: &Fit, index: usize) -> Option<usize> {
    let lamp = fit.lamps.get(index)?;
    let other = match lamp.role {
        Role::StarboardSidelight => Role::PortSidelight,
        Role::PortSidelight => Role::StarboardSidelight,
        _ => return None,
    };
    let near = |a: f64, b: f64| (a - b).abs() < 0.1;
    let at = lamp.at?;
    fit.lamps.iter().position(|one| {
        one.role == other
            && one.at.is_some_and(|place| near(place.forward, at.forward) && near(place.starboard, -at.starboard))
    })
}

fn findings(scene: &Scene, lamp: &Lamp, mark: &Mark, foot: &footing::Foot) -> Vec<Finding> {
    let mut findings = Vec::new();
    if let Mount::Bracket(Along::Gunwale) | Mount::FlatOnDeck(Along::Gunwale) = lamp.mount {
        let what = format!(
            "it is set along the gunwale, which runs {} degrees off the centreline here",
            trimmed(mark.toe_in.0.abs(), 1)
        );
        findings.push(Finding::fault("line", what, "set it along a line squared off the centreline: `mount: Bracket`"));
    } else if let Some(off) = mark.line.as_ref().map(off_square).filter(|off| off.abs() > OFF_LINE) {
        let what =
            format!("the scene turns it {} degrees off the centreline or off square to it", trimmed(off.abs(), 1));
        findings.push(Finding::caution("line", what, "leave `yaw` out of the scene unless it is meant"));
    }
    if matches!(lamp.mount, Mount::FlatOnDeck(_)) && foot.posed.turned().is_none() {
        let what = "it lies on its back, so that no line on deck sets its sector";
        findings.push(Finding::fault("upright", what, "stand it upright: `mount: Bracket` in the scene"));
    }
    if !foot.aboard {
        let what = "there is no deck under it: the spot lies outboard of the deck's edge";
        findings.push(Finding::caution("nothing to stand on", what, "move it inboard, or fix it to a rail or post"));
    }
    if foot.guessed {
        let what = match &mark.footing {
            Footing::Beside(part) => format!("the scene does not say what holds it; \"{part}\" is nearest"),
            _ => format!("the scene does not say what holds it {} m up", trimmed(mark.lamp_above.0, 2)),
        };
        findings.push(Finding::caution(
            "bracket",
            what,
            "describe it in the lamp's `bracket` field, or measure on board",
        ));
    }
    match &mark.crossing {
        Some(crossing) if crossing.angle.0.min(180.0 - crossing.angle.0) < POOR_CROSSING => {
            let what = format!("the tapes cross at only {} degrees", trimmed(crossing.angle.0, 0));
            findings.push(Finding::caution("tapes", what, "trust the squared line and the check tape more"));
        }
        None if mark.footing.can_be_taped() => {
            let what = "no two named points on board are in reach of a straight tape and cross well at it";
            findings.push(Finding::caution("tapes", what, "use the squared line and the level measures"));
        }
        _ => {}
    }
    if let Footing::Cowling(part) = &mark.footing {
        let what = format!("it turns and tilts with \"{part}\", and its sector with it");
        findings.push(Finding::caution("moves", what, "fix it to the boat herself if you can"));
    }
    if scene.own_hull().is_some() && foot.normal.is_some() {
        let what = "deck, gunwale, transom and stem are taken from the vessel's figures, not from the mesh of her hull";
        findings.push(Finding::caution("deck", what, "measure on board before drilling"));
    }
    findings
}

/// How far a line is from being parallel or square to the centreline, degrees.
fn off_square(line: &BracketLine) -> f64 {
    let angle = line.angle.0;
    if angle.abs() <= 45.0 { angle } else { angle - 90.0_f64.copysign(angle) }
}

/// A lamp in its place.
fn posed(scene: &Scene, lamp: &Lamp) -> PosedLamp {
    scene.posed_lamp(lamp, &Pose::default())
}
