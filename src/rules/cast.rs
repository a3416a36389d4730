//! Which lamp is there to be which light of a display.
//!
//! Takes a display and the lamps that are lit; gives each light of the display the lamps that serve as it, and the lamps
//! left over. Lamps that serve as lights in a vertical line are chosen so that the line is as upright and as rightly
//! ordered as can be. Must never judge.

use super::{Asks, Display, LightKind, Rules};
use crate::{
    boat::{Lamp, PosedLamp, Role},
    light::Colours,
};

/// A lamp that is lit, and how it sits at rest.
#[derive(Clone, Copy)]
pub(super) struct Lit<'a> {
    /// Index into [`crate::boat::Fit::lamps`].
    pub index: usize,
    pub lamp: &'a Lamp,
    pub posed: &'a PosedLamp,
}

impl Lit<'_> {
    /// Height above the water at rest, metres.
    pub fn height(&self) -> f64 {
        self.posed.centre.z
    }
}

/// How far a light is owed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Need {
    Must,
    IfPracticable,
    May,
}

/// One light of the display with the lamps that serve as it: none where it is missing, two where a pair is to look like
/// one.
#[derive(Clone)]
pub(super) struct Seat<'a> {
    pub kind: LightKind,
    pub need: Need,
    /// Which vertical line it stands in.
    pub line: Option<usize>,
    pub lamps: Vec<Lit<'a>>,
}

/// See the module.
pub(super) struct Cast<'a> {
    /// In the order of the display: lines from the top down, then the other lights, those forward first.
    pub seats: Vec<Seat<'a>>,
    /// Lamps that are no light of the display, or one too many.
    pub spare: Vec<Lit<'a>>,
}

impl<'a> Cast<'a> {
    pub fn of(display: &Display, lit: &[Lit<'a>], rules: &Rules) -> Self {
        let mut casting = Casting { display, rules, lit, seats: Vec::new() };
        for (index, line) in display.lines.iter().enumerate() {
            casting.line(index, line);
        }
        display.lights.iter().for_each(|kind| casting.single(*kind, Need::Must));
        casting.fill_lines();
        display.if_practicable.iter().for_each(|kind| casting.single(*kind, Need::IfPracticable));
        display.may.iter().for_each(|kind| casting.single(*kind, Need::May));
        casting.join_pairs();
        let spare = lit.iter().filter(|one| !casting.seated(one)).copied().collect();
        Self { seats: casting.seats, spare }
    }

    /// Lamps that serve as a light of a kind, in a line or not.
    pub fn serving(&self, kind: LightKind) -> impl Iterator<Item = Lit<'a>> + '_ {
        self.seats.iter().filter(move |seat| seat.kind == kind).flat_map(|seat| seat.lamps.iter().copied())
    }

    /// Lamps of a kind that stand in no line, those forward first.
    pub fn alone(&self, kind: LightKind) -> Vec<Lit<'a>> {
        let seats = self.seats.iter().filter(|seat| seat.kind == kind && seat.line.is_none());
        seats.filter_map(|seat| seat.lamps.first().copied()).collect()
    }

    /// Lamps of either sidelight.
    pub fn sidelights(&self) -> impl Iterator<Item = Lit<'a>> + '_ {
        self.seats.iter().filter(|seat| seat.kind.is_sidelight()).flat_map(|seat| seat.lamps.iter().copied())
    }

    /// The lamps of a vertical line as the display orders them, those missing left out.
    pub fn line(&self, line: usize) -> Vec<Lit<'a>> {
        let seats = self.seats.iter().filter(|seat| seat.line == Some(line));
        seats.filter_map(|seat| seat.lamps.first().copied()).collect()
    }

    /// Whether the lamps of a line stand in the order that the display gives. Lights of one kind have none among
    /// themselves.
    pub fn in_order(&self, line: usize) -> bool {
        let seats = self.seats.iter().filter(|seat| seat.line == Some(line));
        let lamps: Vec<(LightKind, Lit)> = seats.filter_map(|seat| Some((seat.kind, *seat.lamps.first()?))).collect();
        lamps.windows(2).all(|pair| pair[0].0 == pair[1].0 || pair[0].1.height() > pair[1].1.height())
    }

    /// Whether these lamps are the display and nothing else.
    pub fn is_whole(&self) -> bool {
        self.mismatch() == (0, 0)
    }

    /// How many lights would have to be added or taken away to make this the display, and how many taken away: who has
    /// fitted a light means to show it.
    pub fn mismatch(&self) -> (usize, usize) {
        let missing = self.seats.iter().filter(|seat| seat.need == Need::Must && seat.lamps.is_empty());
        (missing.count() + self.spare.len(), self.spare.len())
    }
}

struct Casting<'a, 'b> {
    display: &'b Display,
    rules: &'b Rules,
    lit: &'b [Lit<'a>],
    seats: Vec<Seat<'a>>,
}

impl<'a> Casting<'a, '_> {
    fn seated(&self, lamp: &Lit) -> bool {
        self.seats.iter().any(|seat| seat.lamps.iter().any(|one| one.index == lamp.index))
    }

    /// Lamps that may serve as a kind and do not serve as one of that kind yet, those of the right colour first and
    /// then those forward.
    fn candidates(&self, kind: LightKind) -> Vec<Lit<'a>> {
        let free = |lamp: &&Lit| {
            let taken = |seat: &Seat| {
                // One lantern may be several lights, but each of them once.
                (seat.kind == kind || seat.line.is_some()) && seat.lamps.iter().any(|one| one.index == lamp.index)
            };
            let fits = self.display.serves(kind, lamp.lamp.role) && !(kind.is_sidelight() && self.is_other_way(lamp));
            fits && !self.seats.iter().any(taken)
        };
        let colour = self.rules.sector(kind).map(|row| row.colour);
        let wrong = |lamp: &Lit| {
            let shown: Colours = lamp.lamp.optics.beams.iter().map(|beam| beam.colour).collect();
            colour.is_some_and(|colour| !shown.contains(colour))
        };
        let mut candidates: Vec<_> = self.lit.iter().filter(free).copied().collect();
        // Never by the order in the file: the verdict must not turn on it.
        let places = |a: &Lit, b: &Lit| {
            let (a, b) = (a.posed.centre, b.posed.centre);
            b.x.total_cmp(&a.x).then(b.z.total_cmp(&a.z)).then(b.y.total_cmp(&a.y))
        };
        candidates.sort_by(|a, b| {
            wrong(a).cmp(&wrong(b)).then_with(|| places(a, b)).then_with(|| a.lamp.name.cmp(&b.lamp.name))
        });
        candidates
    }

    /// Sidelights come from one lantern or from a lamp for each side, not from both: a lantern with one lamp beside it is
    /// one lamp too many.
    fn is_other_way(&self, lamp: &Lit) -> bool {
        let there = |role: Role| self.lit.iter().any(|one| one.lamp.role == role);
        let apart = there(Role::StarboardSidelight) && there(Role::PortSidelight);
        let combined = there(Role::CombinedSidelights) && !apart;
        match lamp.lamp.role {
            Role::CombinedSidelights => !combined,
            Role::StarboardSidelight | Role::PortSidelight => combined,
            _ => false,
        }
    }

    fn single(&mut self, kind: LightKind, need: Need) {
        // Where several are asked for, the forward one is seated first and keeps its place; one so close to another
        // that the two look like one is not a second.
        let seated: Vec<Lit> = self
            .seats
            .iter()
            .filter(|seat| seat.kind == kind && seat.line.is_none())
            .flat_map(|seat| seat.lamps.clone())
            .collect();
        let apart = self.pair_distance();
        let same = |lamp: &Lit| {
            let near = |one: &Lit| one.posed.centre.distance(lamp.posed.centre) <= apart;
            lamp.lamp.role.is_all_round() && seated.iter().any(near)
        };
        let lamps = self.candidates(kind).into_iter().filter(|lamp| !same(lamp)).take(1).collect();
        self.seats.push(Seat { kind, need, line: None, lamps });
    }

    fn line(&mut self, index: usize, kinds: &[LightKind]) {
        let choices: Vec<Vec<Lit<'a>>> = kinds.iter().map(|kind| self.candidates(*kind)).collect();
        // Where there are too few of a kind, one of those is what is missing.
        let missing = |kind: LightKind| {
            let there = self.lit.iter().filter(|lamp| self.display.serves(kind, lamp.lamp.role)).count();
            if there < self.display.count(kind) { 1e6 } else { 1.1e6 }
        };
        let slope = self.slope();
        let cost = |way: &[Option<Lit>]| {
            let vacant = kinds.iter().zip(way).filter(|(_, lamp)| lamp.is_none());
            vacant.map(|(kind, _)| missing(*kind)).sum::<f64>() + untidiness(way, slope)
        };
        let best = combinations(&choices).into_iter().min_by(|a, b| cost(a).total_cmp(&cost(b)));
        let best = best.unwrap_or_default();
        for (place, kind) in kinds.iter().enumerate() {
            let lamps = best.get(place).copied().flatten().into_iter().collect();
            self.seats.push(Seat { kind: *kind, need: Need::Must, line: Some(index), lamps });
        }
    }

    /// Lamps left over fill what is vacant in the lines, however far aside they stand: better told of that than that
    /// one is missing and another too many.
    fn fill_lines(&mut self) {
        for vacant in 0..self.seats.len() {
            let Seat { kind, line: Some(line), .. } = self.seats[vacant] else { continue };
            if !self.seats[vacant].lamps.is_empty() {
                continue;
            }
            let spare = self.candidates(kind).into_iter().find(|lamp| !self.seated(lamp));
            self.seats[vacant].lamps.extend(spare);
            self.order(line, kind);
        }
    }

    /// Seats the lamps of one kind in a line from the top down.
    fn order(&mut self, line: usize, kind: LightKind) {
        let own = |seat: &&mut Seat| seat.line == Some(line) && seat.kind == kind && !seat.lamps.is_empty();
        let mut seats: Vec<_> = self.seats.iter_mut().filter(own).collect();
        let mut lamps: Vec<_> = seats.iter_mut().map(|seat| std::mem::take(&mut seat.lamps)).collect();
        lamps.sort_by(|a, b| b[0].height().total_cmp(&a[0].height()));
        seats.into_iter().zip(lamps).for_each(|(seat, lamps)| seat.lamps = lamps);
    }

    /// A second all-round lamp close enough to look like one with a first serves with it (Annex I 9(b)(ii)).
    fn join_pairs(&mut self) {
        let spare: Vec<_> = self.lit.iter().filter(|lamp| !self.seated(lamp)).copied().collect();
        let apart = self.pair_distance();
        for lamp in spare.into_iter().filter(|lamp| lamp.lamp.role.is_all_round()) {
            let partner = self.seats.iter_mut().find(|seat| {
                matches!(seat.lamps.as_slice(), [one] if one.lamp.role == lamp.lamp.role
                    && one.posed.centre.distance(lamp.posed.centre) <= apart)
            });
            if let Some(seat) = partner {
                seat.lamps.push(lamp);
            }
        }
    }

    /// Aside over height from which two lamps are no neighbours in a line: the limit of the rules, or any slope where
    /// they have none.
    fn slope(&self) -> f64 {
        let row = self.rules.limits.iter().find(|row| row.asks == Asks::LineAside);
        row.and_then(|row| row.most).unwrap_or(f64::INFINITY)
    }

    /// How far apart two lights may stand that look like one, metres.
    fn pair_distance(&self) -> f64 {
        let cutoff = &self.rules.cutoff;
        crate::measure::NauticalMiles(cutoff.pair_range).metres().0 * (cutoff.pair_minutes / 60.0).to_radians().tan()
    }
}

/// The most lamps of a kind that are tried in each place of a line; more than any boat carries.
const MOST_TRIED: usize = 6;

/// Every way to take one lamp, or none, from each list, none of them twice.
fn combinations<'a>(choices: &[Vec<Lit<'a>>]) -> Vec<Vec<Option<Lit<'a>>>> {
    let mut ways: Vec<Vec<Option<Lit<'a>>>> = vec![Vec::new()];
    for choice in choices {
        ways = ways
            .into_iter()
            .flat_map(|way| {
                let free = choice
                    .iter()
                    .take(MOST_TRIED)
                    .filter(|lamp| !way.iter().flatten().any(|taken: &Lit| taken.index == lamp.index));
                let with: Vec<_> = free.map(|lamp| Some(*lamp)).chain([None]).collect();
                with.into_iter().map(move |lamp| {
                    let mut longer = way.clone();
                    longer.push(lamp);
                    longer
                })
            })
            .collect();
    }
    ways
}

/// How far lamps are from an upright line in this order: pairs that are no line weigh more than lamps missing, then
/// comes order, then metres aside.
fn untidiness(line: &[Option<Lit>], slope: f64) -> f64 {
    let there: Vec<&Lit> = line.iter().flatten().collect();
    let pairs = || there.windows(2).map(|pair| pair[0].posed.centre - pair[1].posed.centre);
    let upside_down = pairs().filter(|down| down.z <= 0.0).count() as f64;
    let stray = pairs().filter(|down| down.truncate().length() > slope * down.z.abs()).count() as f64;
    let aside: f64 = pairs().map(|down| down.truncate().length()).sum();
    stray * 1e8 + upside_down * 1e3 + aside
}
