//! Looks at every place coarsely: how clear it is over all the ways she lies, how sheltered, how far from the panel.
//!
//! Takes the boat with the lamps that stay; gives for each lamp, or pair of sidelights, its places in the order of their
//! worth. The solids of each position of her joints are made ready once for all places. Must never judge.

use std::{cmp::Reverse, mem::discriminant, sync::Arc};

use rayon::prelude::*;

use super::{
    Wish,
    figures::{Figures, band, figures},
    ground::{Spot, inboard, spots},
    is_pair,
};
use crate::{
    boat::{Fit, Lamp, Mount, Pose, Scene, Solid, Status, shape::Shape},
    measure::{self, Degrees},
    rules::{LightKind, Rules},
    shadow::Obstacles,
    survey::{Case, Clearance, Fineness, Stance, Wanted, cases},
};

/// All that a search goes by.
pub struct Search<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub wish: &'a Wish<'a>,
    pub statuses: &'a [Status],
    pub figures: &'static Figures,
    /// Every way she lies, with the lamps that stay.
    pub cases: Vec<Case>,
    /// One case for each position of her joints.
    positions: Vec<usize>,
    /// All that stands in the way in any position, round things cut coarsely, ...
    coarse: Obstacles,
    /// ... and as it is.
    exact: Obstacles,
    /// What stands there at rest, cut coarsely.
    coarse_at_rest: Obstacles,
}

/// How far the facets of round things may lie from their surface in a coarse look, metres: less than a face is wide.
const FLAT_ENOUGH: f64 = 0.002;

impl<'a> Search<'a> {
    pub fn of(scene: &'a Scene, fit: &'a Fit, wish: &'a Wish, statuses: &'a [Status]) -> Self {
        let staying = |(index, lamp): (usize, &Lamp)| (!wish.lamps.contains(&index)).then(|| lamp.clone());
        let lamps = fit.lamps.iter().enumerate().filter_map(staying).collect();
        let cases = cases(scene, &Fit { lamps, switches: Vec::new(), ..fit.clone() });
        let mut positions: Vec<usize> = Vec::new();
        for (index, case) in cases.iter().enumerate() {
            if !positions.iter().any(|known| cases[*known].pose == case.pose) {
                positions.push(index);
            }
        }
        let solids = in_any_position(positions.iter().map(|index| &cases[*index]));
        let (coarse, exact) = (Obstacles::new(&cut(&solids)), Obstacles::new(&solids));
        let coarse_at_rest = Obstacles::new(&cut(&cases[0].stance.posed().solids));
        Self { scene, fit, wish, statuses, figures: figures(), cases, positions, coarse, exact, coarse_at_rest }
    }

    pub fn rules(&self) -> &'a Rules {
        self.wish.rules
    }

    pub fn rest(&self) -> &Stance {
        &self.cases[0].stance
    }

    /// What a lamp must be seen from, if it serves as anything.
    fn wanted(&self, lamp: &Lamp) -> Option<Wanted> {
        let rules = self.rules();
        let length = self.scene.vessel.length.0;
        let kinds = || LightKind::ALL.iter().copied().filter(|kind| kind.served_by(lamp.role));
        let arcs: Vec<measure::Arc> = kinds().filter_map(|kind| Some(rules.sector(kind)?.arc())).collect();
        let share = kinds().filter_map(|kind| share_needed(rules, lamp, kind, length)).fold(0.0, f64::max);
        let lit = self.statuses.iter().filter(|status| lamp.lit.contains(status));
        let mut elevations: Vec<f64> = Vec::new();
        for row in lit.filter_map(|status| rules.vertical(&self.scene.vessel, *status)) {
            elevations.extend([-row.wide, -row.full, row.full, row.wide]);
        }
        elevations.sort_by(f64::total_cmp);
        elevations.dedup();
        let allowed = if lamp.role.is_all_round() { rules.cutoff.all_round_hidden } else { 0.0 };
        (!arcs.is_empty()).then(|| Wanted {
            arcs,
            elevations,
            share: if share > 0.0 { share.min(1.0) } else { 1.0 },
            allowed,
        })
    }

    /// The rings about what a lamp must be seen from.
    pub fn clearance(&self, lamp: &Lamp, rings: &[f64], fineness: Fineness) -> Option<Clearance> {
        Clearance::new(&self.wanted(lamp)?, &self.cases, rings, fineness)
    }

    /// What it must be seen from at rest.
    fn clearance_at_rest(&self, lamp: &Lamp) -> Option<Clearance> {
        Clearance::new(&self.wanted(lamp)?, &self.cases[..1], &[0.0], Fineness::COARSE)
    }

    /// How clear a lamp is in a place, over every position of her joints: by round things cut coarsely, ...
    pub fn clear_coarsely(&self, lamp: &Lamp, clearance: &Clearance) -> Option<f64> {
        if matches!(lamp.mount, Mount::Outboard(_)) {
            return self.clear_in_each(lamp, clearance);
        }
        clearance.of(std::iter::once((&self.coarse, self.scene.posed_lamp(lamp, &Pose::default()))))
    }

    /// Whether nothing takes what it must be seen from while she lies at rest; `at_rest` is for that alone.
    fn is_clear_at_rest(&self, lamp: &Lamp, at_rest: &Clearance) -> bool {
        at_rest.of(std::iter::once((&self.coarse_at_rest, self.scene.posed_lamp(lamp, &Pose::default())))).is_some()
    }

    /// ... and by things as they are.
    pub fn clear(&self, lamp: &Lamp, clearance: &Clearance) -> Option<f64> {
        if matches!(lamp.mount, Mount::Outboard(_)) {
            return self.clear_in_each(lamp, clearance);
        }
        let in_all = clearance.of(std::iter::once((&self.exact, self.scene.posed_lamp(lamp, &Pose::default()))));
        // What all positions together take of an all-round light may be more than any one of them does.
        in_all.or_else(|| lamp.role.is_all_round().then(|| self.clear_in_each(lamp, clearance)).flatten())
    }

    fn clear_in_each(&self, lamp: &Lamp, clearance: &Clearance) -> Option<f64> {
        let poses = self.positions.iter().map(|index| &self.cases[*index]);
        clearance.of(poses.map(|case| (case.stance.obstacles(), self.scene.posed_lamp(lamp, &case.pose))))
    }
}

/// The solids of all these cases, each once.
fn in_any_position<'c>(cases: impl Iterator<Item = &'c Case>) -> Vec<Solid> {
    let mut solids: Vec<Solid> = Vec::new();
    for solid in cases.flat_map(|case| &case.stance.posed().solids) {
        if !solids.iter().any(|known| known.owner == solid.owner && known.shape == solid.shape) {
            solids.push(solid.clone());
        }
    }
    solids
}

/// The same solids as surfaces, round ones with few facets.
fn cut(solids: &[Solid]) -> Vec<Solid> {
    let surface = |solid: &Solid| match &solid.shape {
        Shape::Mesh(_) => solid.clone(),
        shape => Solid { shape: Shape::Mesh(Arc::new(shape.triangles_within(FLAT_ENOUGH))), ..solid.clone() },
    };
    solids.iter().map(surface).collect()
}

/// The share of a lamp's light that is due where it gives least of it, as one kind of light.
pub fn share_needed(rules: &Rules, lamp: &Lamp, kind: LightKind, length: f64) -> Option<f64> {
    let row = rules.sector(kind)?;
    let due = rules.intensity(rules.range(kind, length)?)?.0;
    let arc = row.arc();
    let core = (0..=180u32).map(|n| arc.from.turned(f64::from(n) * arc.width / 180.0));
    let beams = || lamp.optics.beams.iter().filter(|beam| beam.colour == row.colour);
    let given = core
        .filter(|bearing| rules.whole_due(row, *bearing))
        .map(|bearing| beams().map(|beam| beam.intensity_at(bearing, Degrees(0.0)).0).fold(0.0, f64::max));
    let least = given.fold(f64::INFINITY, f64::min);
    (least > 0.0).then_some(due / least)
}

/// A place for a unit: one spot for each of its lamps.
#[derive(Clone, Debug)]
pub struct At {
    pub spots: Vec<Spot>,
    /// Degrees that solids keep off, coarsely; `None` where they take what must be seen.
    pub clear: Option<f64>,
    /// Whether nothing takes what must be seen while she lies at rest.
    pub clear_at_rest: bool,
    pub band: usize,
    pub shelter: usize,
    /// Heights of brackets together, in whole tenths of a metre.
    pub brackets: i64,
    /// Cables together, in whole metres.
    pub cable: i64,
}

impl At {
    /// The best come first: clear, sheltered, low, near the panel; then by where they are.
    pub fn order(&self) -> impl Ord + use<> {
        let hidden = (!self.clear_at_rest, self.clear.is_none());
        let places: Vec<[i64; 3]> = self.spots.iter().map(Spot::on_grid).collect();
        (hidden, Reverse(self.band), Reverse(self.shelter), self.brackets, self.cable, places)
    }
}

/// A lamp, or a pair of sidelights that are placed alike.
#[derive(Clone, Debug)]
pub struct Unit {
    /// Indices into [`Fit::lamps`].
    pub lamps: Vec<usize>,
    pub looked_at: usize,
    /// In order, see [`At::order`].
    pub places: Vec<At>,
}

/// Every lamp that is asked for, with all its places.
pub fn units(search: &Search) -> Vec<Unit> {
    let mut left = search.wish.lamps.clone();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    while let Some(lamp) = (!left.is_empty()).then(|| left.remove(0)) {
        let role = |index: usize| search.fit.lamps[index].role;
        let twins: Vec<usize> = left.iter().copied().filter(|other| is_pair(role(lamp), role(*other))).collect();
        let alone = left.iter().any(|other| role(*other) == role(lamp));
        match twins.as_slice() {
            [twin] if !alone => {
                left.retain(|other| other != twin);
                groups.push(vec![lamp, *twin]);
            }
            _ => groups.push(vec![lamp]),
        }
    }
    groups.into_iter().map(|lamps| unit(search, lamps)).collect()
}

fn unit(search: &Search, lamps: Vec<usize>) -> Unit {
    let region = search.wish.region.as_ref();
    let own = |index: &usize| spots(search.scene, &search.fit.lamps[*index], region, search.figures);
    let mut sets: Vec<Vec<Spot>> = lamps.iter().map(own).collect();
    let looked_at = sets.iter().map(Vec::len).sum();
    let mut places: Vec<Vec<Spot>> = match sets.as_mut_slice() {
        [one, other] => pairs(one, other),
        _ => sets.remove(0).into_iter().map(|spot| vec![spot]).collect(),
    };
    places.retain(|spots| spots.iter().all(|spot| is_free(search, spot)));
    let mut rings = vec![0.0];
    rings.extend(&search.figures.clear_bands);
    let looks = |lamp: &usize| {
        let lamp = &search.fit.lamps[*lamp];
        search.clearance(lamp, &rings, Fineness::COARSE).zip(search.clearance_at_rest(lamp))
    };
    let clearances: Vec<Option<(Clearance, Clearance)>> = lamps.iter().map(looks).collect();
    let mut places: Vec<At> = places.into_par_iter().map(|spots| looked(search, &lamps, spots, &clearances)).collect();
    places.sort_by_cached_key(At::order);
    Unit { lamps, looked_at, places }
}

/// Each place of one sidelight with its mirror image among those of the other.
fn pairs(one: &[Spot], other: &[Spot]) -> Vec<Vec<Spot>> {
    let mirrored = |spot: &Spot| {
        let image = spot.centre * glam::DVec3::new(1.0, -1.0, 1.0);
        let alike = other.iter().filter(|twin| discriminant(&twin.ground) == discriminant(&spot.ground));
        let off = |twin: &Spot| twin.centre.distance(image);
        alike.filter(|twin| off(twin) < ALIKE).min_by(|a, b| off(a).total_cmp(&off(b))).cloned()
    };
    one.par_iter().filter_map(|spot| Some(vec![spot.clone(), mirrored(spot)?])).collect()
}

/// Two places are each other's image when they differ by less, metres: she need not be built alike to the hair.
const ALIKE: f64 = 0.03;

/// Whether no lamp that stays is in the way.
fn is_free(search: &Search, spot: &Spot) -> bool {
    let staying = search.rest().posed().lamps.iter();
    staying.map(|lamp| lamp.centre.distance(spot.centre)).all(|off| off >= search.figures.apart)
}

fn looked(search: &Search, lamps: &[usize], spots: Vec<Spot>, clearances: &[Option<(Clearance, Clearance)>]) -> At {
    let figures = search.figures;
    let put = || lamps.iter().zip(&spots).map(|(index, spot)| spot.holds(&search.fit.lamps[*index]));
    let mut clear = Some(f64::INFINITY);
    for (lamp, clearance) in put().zip(clearances) {
        let own = clearance.as_ref().and_then(|(all, _)| search.clear_coarsely(&lamp, all));
        clear = clear.zip(own).map(|(a, b)| a.min(b));
        if clear.is_none() {
            break;
        }
    }
    let at_rest = |(lamp, clearance): (Lamp, &Option<(Clearance, Clearance)>)| {
        clearance.as_ref().is_some_and(|(_, at_rest)| search.is_clear_at_rest(&lamp, at_rest))
    };
    let clear_at_rest = clear.is_some() || put().zip(clearances).all(at_rest);
    let sheltered = spots.iter().map(|spot| inboard(search.scene, spot.centre)).fold(f64::INFINITY, f64::min);
    let total = |of: fn(&Search, &Spot) -> f64| spots.iter().map(|spot| of(search, spot)).sum::<f64>();
    // Metres and tenths of them, so the casts are exact.
    At {
        band: clear.map_or(0, |clear| band(clear, &figures.clear_bands)),
        clear,
        clear_at_rest,
        shelter: band(sheltered, &figures.shelter_bands),
        brackets: (total(|_, spot| spot.bracket) * 10.0).round() as i64,
        cable: total(|search, spot| search.wish.panel.cable(spot.centre)).round() as i64,
        spots,
    }
}

/// The lamps of a fit with some put elsewhere.
pub fn refitted(fit: &Fit, placed: impl Iterator<Item = (usize, Spot)>) -> Fit {
    let mut made = fit.clone();
    for (index, spot) in placed {
        made.lamps[index] = spot.holds(&fit.lamps[index]);
    }
    made
}

/// The boat at rest with another fit.
pub fn at_rest_with(search: &Search, fit: &Fit) -> Stance {
    search.rest().posed_otherwise(search.scene, fit, &Pose::default())
}
