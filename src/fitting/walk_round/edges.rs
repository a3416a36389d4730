//! The edges of sectors, each approached from both sides: three marks on lines from the lamp itself.
//!
//! Takes the sectors and Annex I 9 from the rules; gives for each edge a mark inside, one on it and one outside, and what
//! the model sees at each.

use super::{Chalk, Near, seen::Sight};
use crate::{
    measure::{Bearing, Degrees, Metres},
    rules::SectorRow,
    survey::LightId,
};

/// One edge of one light.
#[derive(Clone, Debug)]
pub struct EdgeCheck {
    pub light: LightId,
    /// The kind of light in words, such as "starboard sidelight".
    pub kind: &'static str,
    /// Where the sector ends.
    pub edge: Bearing,
    /// The whole light shows from so far inside, ...
    pub inside: Degrees,
    /// ... and must be cut off by so far outside.
    pub outside: Degrees,
    /// The clause on this edge.
    pub clause: String,
    /// Inside, on the edge, outside.
    pub chalks: [Chalk; 3],
    pub sights: [Sight; 3],
    /// From the inner mark to the outer one.
    pub walk: Metres,
}

/// Where the whole light is due to the very edge, the inner mark lies this far inside, so that there is a side to come
/// from (the program's own figure).
const FROM: f64 = 1.0;

impl Near<'_> {
    pub(super) fn edges(&self) -> Vec<EdgeCheck> {
        let lights = self.stance.lights().filter_map(|light| Some((light, self.row(light)?)));
        let cut = lights.filter(|(_, row)| !row.is_all_round());
        let mut all: Vec<EdgeCheck> = Vec::new();
        for (light, row) in cut {
            for (edge, way) in [(row.arc().from, -1.0), (row.arc().to(), 1.0)] {
                let name = format!("E{}", all.len() + 1);
                all.push(self.edge(name, light, row, (edge, way)));
            }
        }
        all
    }

    /// `way` is 1 where going clockwise leaves the sector.
    fn edge(&self, name: String, light: LightId, row: &SectorRow, (edge, way): (Bearing, f64)) -> EdgeCheck {
        let forward = self.rules.near_forward_edge(row, edge);
        let inside = if forward { FROM } else { self.rules.cutoff.aft_inside };
        let outside = self.rules.allowed_outside(row, edge);
        let lamp = self.stance.level(self.stance.posed().lamps[light.lamp].centre);
        let spots = [-inside, 0.0, outside].map(|off| {
            let bearing = edge.turned(way * off);
            lamp + bearing.direction() * self.round.distance.0
        });
        let letters = ["a", "b", "c"];
        let chalks = [0, 1, 2].map(|n| Chalk::new(format!("{name}{}", letters[n]), self.scene, spots[n]));
        EdgeCheck {
            light,
            kind: row.light.in_words(),
            edge,
            inside: Degrees(inside),
            outside: Degrees(outside),
            clause: self.rules.edge_clause(row, edge).into(),
            sights: spots.map(|at| self.sight(light, at)),
            walk: Metres(spots[0].distance(spots[2])),
            chalks,
        }
    }
}
