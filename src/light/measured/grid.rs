//! Measured candela against the two angles of a file, and how those angles lie in the lamp's own frame.
//!
//! Takes tables that were read already; gives candela toward a direction. Must never know how a file is written.

use glam::DVec3;

use super::Flaw;
use crate::measure::{Bearing, Candela, Degrees, trimmed};

/// Where vertical angle 0 (gamma 0) of a file of IES type B or C, or a EULUMDAT file, points when the lamp is held in
/// its own frame.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Axis {
    /// Down, as a lamp hangs in the room: vertical angle 90 is level. The C-plane named by `ahead` lies along the datum line.
    #[default]
    Down,
    /// Up: the lamp was measured upside down, rolled over about its datum line. The C-plane named by `ahead` still
    /// lies along it; the others have changed sides.
    Up,
    /// Ahead along the datum line: the lamp was measured looking down, and is tipped up by a right angle until it
    /// looks ahead. The C-plane named by `ahead`, which lay ahead before, then points up.
    Along,
}

/// Which way the horizontal angles of a file run, seen from above the lamp as it was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    Clockwise,
    Anticlockwise,
}

/// How the axes of a file lie in the lamp's own frame: x along its datum line, y to port, z up.
///
/// Think of the lamp in your hand, its datum line pointing away from you. `ahead` is the horizontal angle of the file
/// that points away from you as well. `turns` says whether the next greater angle then lies to your right (clockwise)
/// or to your left. `axis` says, for files whose vertical angles count from straight down, where their nought points.
///
/// The usual senses are those of LM-63-2002 (horizontal angles counterclockwise for type C, clockwise for A and B;
/// vertical angle 0 down for B and C, level for A), seen in public copies of its text. That C-planes of EULUMDAT run
/// anticlockwise too is from memory.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mapping {
    /// Degrees, in the file's own numbers.
    pub ahead: Degrees,
    /// `None` takes [`Axis::Down`]; files whose vertical angle 0 is level (IES type A, CSV) have none.
    pub axis: Option<Axis>,
    /// `None` takes what is usual for the file: anticlockwise for C-planes, otherwise clockwise.
    pub turns: Option<Turns>,
}

/// What the two angles of a table mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum System {
    /// Half-planes about the axis (C), and the angle from the axis (gamma): IES type C, EULUMDAT.
    AboutAxis,
    /// Bearing about an upright axis, and elevation: IES type A, CSV.
    Level,
    /// Planes swung from down through ahead about an axis athwartships, and the angle to the side within such a plane:
    /// IES type B.
    Tilted,
}

impl System {
    fn usual_turns(self) -> Turns {
        match self {
            Self::AboutAxis => Turns::Anticlockwise,
            Self::Level | Self::Tilted => Turns::Clockwise,
        }
    }
}

/// A table of candela, symmetries written out.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Table {
    pub system: System,
    /// Horizontal angles (C-planes), rising, degrees, over at most a whole circle. A table over the whole circle holds
    /// its first plane twice, 360 degrees apart.
    pub planes: Vec<f64>,
    /// Vertical angles (gamma, elevation or tilt), rising, degrees.
    pub steps: Vec<f64>,
    /// Candela, plane after plane.
    pub candela: Vec<f64>,
}

impl Table {
    pub fn is_whole_circle(&self) -> bool {
        self.span() >= 360.0 - 1e-6
    }

    fn span(&self) -> f64 {
        self.planes.last().zip(self.planes.first()).map_or(0.0, |(last, first)| last - first)
    }

    /// Adds planes of which each is the mirror of one that is there: at `mirror - angle`. A plane that is its own
    /// mirror, or there already, is kept once.
    pub fn mirrored(self, mirror: f64) -> Self {
        let each = self.steps.len();
        let plane = |index: usize| self.candela[index * each..(index + 1) * each].to_vec();
        let own = self.planes.iter().enumerate().map(|(index, angle)| (*angle, plane(index)));
        let other = self.planes.iter().enumerate().map(|(index, angle)| (mirror - angle, plane(index)));
        let mut all: Vec<(f64, Vec<f64>)> = own.chain(other).collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9);
        let (planes, candela): (Vec<f64>, Vec<Vec<f64>>) = all.into_iter().unzip();
        Self { planes, candela: candela.concat(), ..self }
    }

    /// The only plane of a table taken for every plane.
    pub fn all_round(self) -> Self {
        Self { planes: vec![0.0, 360.0], candela: self.candela.repeat(2), ..self }
    }

    /// Interpolated straight in both angles; `None` outside what is measured.
    fn at(&self, plane: f64, step: f64) -> Option<f64> {
        let (first, last) = (*self.planes.first()?, *self.planes.last()?);
        let plane = if self.is_whole_circle() {
            first + (plane - first).rem_euclid(360.0)
        } else {
            let middle = (first + last) / 2.0;
            middle + Bearing::new(plane).clockwise_of(Bearing::new(middle))
        };
        let (along, over) = (between(&self.planes, plane)?, between(&self.steps, step)?);
        let value = |plane: usize, step: usize| self.candela.get(plane * self.steps.len() + step).copied();
        let on = |plane: usize| Some(mixed(value(plane, over.0)?, value(plane, over.1)?, over.2));
        Some(mixed(on(along.0)?, on(along.1)?, along.2))
    }
}

fn mixed(from: f64, to: f64, share: f64) -> f64 {
    from + (to - from) * share
}

/// The known angles on either side of one, and how far it lies from the first to the second.
fn between(known: &[f64], angle: f64) -> Option<(usize, usize, f64)> {
    const TOLERANCE: f64 = 1e-7;
    let (first, last) = (*known.first()?, *known.last()?);
    if angle < first - TOLERANCE || angle > last + TOLERANCE {
        return None;
    }
    let angle = angle.clamp(first, last);
    let after = known.partition_point(|one| *one <= angle).min(known.len() - 1);
    let before = after.saturating_sub(1);
    let width = known[after] - known[before];
    Some((before, after, if width > 0.0 { (angle - known[before]) / width } else { 0.0 }))
}

/// A lamp's measured light. Between measured directions it runs straight in both angles of the file; outside them it
/// is dark.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    table: Table,
    ahead: f64,
    axis: Axis,
    turns: Turns,
}

impl Grid {
    /// Lays a table into the lamp's frame. `place` is where the file says what system it is of.
    pub(super) fn new(table: Table, mapping: Mapping, place: (usize, usize)) -> Result<Self, Flaw> {
        if mapping.axis.is_some() && table.system == System::Level {
            let what = "an axis is given for a file whose vertical angles count from level";
            return Err(Flaw::new(
                place,
                what,
                "leave `axis` out; it says where vertical angle 0 points if that was measured as down",
            ));
        }
        let turns = mapping.turns.unwrap_or(table.system.usual_turns());
        Ok(Self { table, ahead: mapping.ahead.0, axis: mapping.axis.unwrap_or_default(), turns })
    }

    /// The same lamp with a share of its light in every direction.
    pub fn dimmed(&self, share: f64) -> Self {
        let candela = self.table.candela.iter().map(|candela| candela * share).collect();
        Self { table: Table { candela, ..self.table.clone() }, ..self.clone() }
    }

    /// The most that it gives in any direction.
    pub fn peak(&self) -> Candela {
        Candela(self.table.candela.iter().copied().fold(0.0, f64::max))
    }

    /// Toward a direction (any length but nought) in the lamp's own frame.
    pub fn toward(&self, direction: DVec3) -> Candela {
        let (plane, step) = self.file_angles(direction);
        Candela(self.table.at(plane, step).unwrap_or(0.0))
    }

    /// Toward a bearing and elevation in the lamp's own frame.
    pub fn at(&self, bearing: Bearing, elevation: Degrees) -> Candela {
        let (up, level) = elevation.0.to_radians().sin_cos();
        self.toward(bearing.direction() * level + DVec3::Z * up)
    }

    /// A direction of the lamp's frame in the angles of the file.
    fn file_angles(&self, direction: DVec3) -> (f64, f64) {
        let DVec3 { x, y, z } = direction;
        let held = match self.axis {
            Axis::Down => direction,
            Axis::Up => DVec3::new(x, -y, -z),
            Axis::Along => DVec3::new(z, y, -x),
        };
        let way = if self.turns == Turns::Clockwise { -1.0 } else { 1.0 };
        let level = held.x.hypot(held.y);
        let elevation = held.z.atan2(level).to_degrees();
        let round = self.ahead + way * held.y.atan2(held.x).to_degrees();
        match self.table.system {
            System::AboutAxis => (round, 90.0 + elevation),
            System::Level => (round, elevation),
            System::Tilted => {
                let (aside, onward) = round.to_radians().sin_cos();
                let (aside, onward) = (aside * level, onward * level);
                let tilt = onward.atan2(-held.z).to_degrees();
                (aside.atan2(onward.hypot(held.z)).to_degrees(), tilt)
            }
        }
    }

    /// What was taken of the axes, and how far the file reaches, in sentences.
    pub(super) fn notes(&self) -> Vec<String> {
        let way = if self.turns == Turns::Clockwise { "clockwise" } else { "anticlockwise" };
        let (plane, step) = match self.table.system {
            System::AboutAxis => ("C-plane", "gamma"),
            System::Level => ("bearing", "elevation"),
            System::Tilted => ("horizontal angle", "vertical angle"),
        };
        let nought = match (self.table.system, self.axis) {
            (System::Level, _) => String::new(),
            (_, Axis::Down) => format!(", {step} 0 as down"),
            (_, Axis::Up) => format!(", {step} 0 as up"),
            (_, Axis::Along) => format!(", before the lamp is tipped up so that {step} 0 is ahead"),
        };
        let ahead = trimmed(self.ahead, 2);
        let mut notes = vec![format!(
            "The {plane} {ahead} is taken as ahead and the others {way} from it, seen from above{nought}."
        )];
        let mut dark = |name: &str, known: &[f64]| {
            if let (Some(first), Some(last)) = (known.first(), known.last()) {
                let (first, last) = (trimmed(*first, 2), trimmed(*last, 2));
                notes.push(format!("It is measured for {name} {first} to {last}; beyond that it counts as dark."));
            }
        };
        if !self.table.is_whole_circle() {
            dark(plane, &self.table.planes);
        }
        let reach = self.table.steps.last().zip(self.table.steps.first()).map_or(0.0, |(last, first)| last - first);
        if reach < 180.0 - 1e-6 {
            dark(step, &self.table.steps);
        }
        notes
    }
}
