//! Takes the measure of lights in place: one function for each thing the rules ask. Metres, degrees, minutes of arc and
//! shares, as `Asks` says. Gives nothing where there is nothing to measure.

use glam::DVec3;

use crate::{
    boat::{PartKind, Role, Status},
    rules::{
        Asks, LightKind, LimitRow,
        cast::{Lit, Seat},
        judge::Stage,
        may_stand_above_mastheads,
        places::white_light,
    },
};

/// One thing measured.
pub(super) struct Measure {
    /// The lamp to move, by name.
    pub lamp: String,
    pub value: f64,
    /// What it was measured against, by name, where it was another lamp.
    pub against: Option<String>,
    /// The way she lies in which it was measured, where that is not at rest and all is well at rest.
    pub case: Option<String>,
}

fn one(lamp: &Lit, value: f64) -> Measure {
    Measure { lamp: lamp.lamp.name.clone(), value, against: None, case: None }
}

fn from(lamp: &Lit, other: &Lit, value: f64) -> Measure {
    Measure { against: Some(other.lamp.name.clone()), ..one(lamp, value) }
}

/// Everything that a row asks for.
pub(super) fn all(stage: &Stage, row: &LimitRow) -> Vec<Measure> {
    let single = match row.asks {
        Asks::LineGap => return lines(stage, gap),
        Asks::LineUnevenness => return lines(stage, unevenness),
        Asks::LineAside => return lines(stage, aside),
        Asks::LowestOfLineAboveHull => return lowest(stage, above_hull),
        Asks::LowestOfLineAboveGunwale => return lowest(stage, above_gunwale),
        Asks::SideSignalsAside => side_signals_aside(stage),
        Asks::SideSignalsAboveLine => side_signals_above(stage),
        Asks::LineOffCentre => return lines_between_mastheads(stage),
        Asks::ForwardMastheadAboveHull => forward_masthead(stage).map(|top| one(&top, above_hull(stage, &top))),
        Asks::MastheadAboveGunwale => forward_masthead(stage).map(|top| one(&top, above_gunwale(stage, &top))),
        Asks::AfterAboveForwardMasthead => after_above_forward(stage),
        Asks::MastheadsApartFromAhead => apart_from_ahead(stage, row.at.unwrap_or(1000.0), row.least.unwrap_or(0.0)),
        Asks::WhiteAboveSidelights => white_light(stage).and_then(|white| above_sidelights(stage, &white)),
        Asks::MastheadAboveCombined => above_combined(stage),
        Asks::MastheadAboveOthers => above_others(stage),
        Asks::SidelightShareOfMasthead => sidelight_share(stage),
        Asks::SidelightsBelowMasthead => forward_masthead(stage).and_then(|top| above_sidelights(stage, &top)),
        Asks::TowLineAboveForwardMasthead => tow_line(stage),
        Asks::FishingAboveSidelights => fishing_pair(stage),
        Asks::ForwardAnchorAboveAfter => {
            anchors(stage).map(|[fore, aft]| from(&fore, &aft, fore.height() - aft.height()))
        }
        Asks::ForwardAnchorAboveHull => forward_anchor(stage),
        Asks::MastheadsApart => {
            two_mastheads(stage).map(|(fore, aft)| from(&aft, &fore, share(stage, fore.x() - aft.x())))
        }
        Asks::ForwardMastheadFromStem => two_mastheads(stage).map(|(fore, _)| one(&fore, from_stem(stage, &fore))),
        Asks::OnlyMastheadFromStem => only_masthead(stage).map(|top| one(&top, from_stem(stage, &top))),
        Asks::SidelightsBeforeMasthead => sidelights_before_masthead(stage),
        Asks::SidelightsFromStem => sidelights_from_stem(stage),
        Asks::SidelightsInboard => sidelights_inboard(stage),
        Asks::TopBelowMast => top_below_mast(stage, &row.clause),
        Asks::TrawlMastheadAbaft => trawl_masthead(stage),
        Asks::GearLightAside => gear_light(stage, level_distance),
        Asks::GearLightAboveWhite => gear_light_above_white(stage),
        Asks::GearLightAboveSidelights => gear(stage).and_then(|gear| above_sidelights(stage, &gear)),
        Asks::TriangleAngle => triangle(stage),
    };
    single.into_iter().collect()
}

/// How many metres one of the unit of a measure is; `None` for those that no length goes with, such as angles.
pub(super) fn metres_in(stage: &Stage, asks: Asks) -> Option<f64> {
    match asks {
        Asks::MastheadsApart
        | Asks::ForwardMastheadFromStem
        | Asks::OnlyMastheadFromStem
        | Asks::SidelightsFromStem => Some(stage.length()),
        Asks::SidelightsInboard => Some(stage.scene.vessel.beam.0),
        Asks::SidelightShareOfMasthead => forward_masthead(stage).map(|top| above_hull(stage, &top).max(0.0)),
        Asks::TopBelowMast => highest_mast(stage).map(|(foot, top)| top - foot),
        Asks::LineUnevenness
        | Asks::LineAside
        | Asks::FishingAboveSidelights
        | Asks::MastheadsApartFromAhead
        | Asks::TriangleAngle => None,
        _ => Some(1.0),
    }
}

trait Placed {
    fn x(&self) -> f64;
}

impl Placed for Lit<'_> {
    fn x(&self) -> f64 {
        self.posed.centre.x
    }
}

/// Metres above the uppermost continuous deck beneath.
fn above_hull(stage: &Stage, lamp: &Lit) -> f64 {
    let DVec3 { x, y, z } = lamp.posed.centre;
    z - stage.scene.vessel.deck_height(x, y)
}

fn above_gunwale(stage: &Stage, lamp: &Lit) -> f64 {
    lamp.height() - stage.scene.vessel.gunwale_height(lamp.x())
}

fn share(stage: &Stage, metres: f64) -> f64 {
    metres / stage.length()
}

fn from_stem(stage: &Stage, lamp: &Lit) -> f64 {
    share(stage, stage.length() - lamp.x())
}

fn level_distance(a: &Lit, b: &Lit) -> f64 {
    (a.posed.centre - b.posed.centre).truncate().length()
}

fn highest<'a>(lamps: impl Iterator<Item = Lit<'a>>) -> Option<Lit<'a>> {
    lamps.max_by(|a, b| a.height().total_cmp(&b.height()))
}

/// Masthead lights that stand together, from the top down; groups forward first.
fn masthead_groups<'a>(stage: &Stage<'a>) -> Vec<Vec<Lit<'a>>> {
    let of_mastheads = |line: &usize| stage.display.lines[*line].iter().all(|kind| *kind == LightKind::Masthead);
    let in_lines = (0..stage.display.lines.len()).filter(of_mastheads).map(|line| stage.cast.line(line));
    let alone = stage.cast.alone(LightKind::Masthead).into_iter().map(|lamp| vec![lamp]);
    let mut groups: Vec<Vec<Lit>> = in_lines.chain(alone).filter(|group| !group.is_empty()).collect();
    // Of two at one place the lower counts as the forward one, which it ought to be.
    let lowest = |group: &[Lit]| group.iter().map(|lamp| lamp.height()).fold(f64::INFINITY, f64::min);
    groups.sort_by(|a, b| b[0].x().total_cmp(&a[0].x()).then(lowest(a).total_cmp(&lowest(b))));
    // On the Great Lakes an all-round white light stands in place of the after masthead light.
    let by_engine = stage.status().by_means(&stage.scene.vessel) == Status::UnderEngine;
    if by_engine && stage.display.lights.contains(&LightKind::Masthead) {
        groups.extend(stage.cast.alone(LightKind::AllRoundWhite).into_iter().map(|lamp| vec![lamp]));
    }
    groups
}

/// Whether no line that a kind of light belongs to lacks a lamp: where one does, which lamp is which cannot be told.
fn lines_whole(stage: &Stage, kind: LightKind) -> bool {
    let lines = stage.display.lines.iter().enumerate().filter(|(_, kinds)| kinds.contains(&kind));
    lines.into_iter().all(|(line, kinds)| stage.cast.line(line).len() == kinds.len())
}

/// The forward or only masthead light; of several in a line, the uppermost.
fn forward_masthead<'a>(stage: &Stage<'a>) -> Option<Lit<'a>> {
    if !lines_whole(stage, LightKind::Masthead) {
        return None;
    }
    highest(masthead_groups(stage).into_iter().next()?.into_iter())
}

fn only_masthead<'a>(stage: &Stage<'a>) -> Option<Lit<'a>> {
    let groups = masthead_groups(stage);
    if groups.len() == 1 { forward_masthead(stage) } else { None }
}

/// The forward masthead light, the lowest where several stand in a line, and the uppermost of the after ones.
fn two_mastheads<'a>(stage: &Stage<'a>) -> Option<(Lit<'a>, Lit<'a>)> {
    let groups = masthead_groups(stage);
    let (fore, aft) = (groups.first()?, groups.get(1)?);
    let lowest = fore.iter().copied().min_by(|a, b| a.height().total_cmp(&b.height()))?;
    Some((lowest, highest(aft.iter().copied())?))
}

fn after_above_forward(stage: &Stage) -> Option<Measure> {
    let (fore, aft) = two_mastheads(stage)?;
    Some(from(&aft, &fore, aft.height() - fore.height()))
}

/// Where the towing lights stand in a line abaft the forward masthead light.
fn tow_line(stage: &Stage) -> Option<Measure> {
    let groups = masthead_groups(stage);
    let (fore, aft) = (groups.first()?, groups.get(1)?);
    let lowest = aft.iter().min_by(|a, b| a.height().total_cmp(&b.height()))?;
    (aft.len() > 1).then(|| from(lowest, &fore[0], lowest.height() - fore[0].height()))
}

/// The least angle in minutes over every way she lies; the way is named where all is well at rest only.
fn apart_from_ahead(stage: &Stage, ahead: f64, least: f64) -> Option<Measure> {
    let (fore, aft) = two_mastheads(stage)?;
    let eye = DVec3::new(stage.length() + ahead, 0.0, 0.0);
    let cases = &stage.survey.cases;
    let angle = |index: usize| {
        let raised = |lamp: &Lit| {
            let line = cases[index].stance.level(lamp.posed.centre) - eye;
            line.z.atan2(line.truncate().length()).to_degrees() * 60.0
        };
        raised(&aft) - raised(&fore)
    };
    let rest = angle(0);
    let worst = (0..cases.len()).min_by(|a, b| angle(*a).total_cmp(&angle(*b)))?;
    let well_at_rest = rest >= least && worst != 0;
    Some(Measure {
        case: well_at_rest.then(|| cases[worst].words.clone()),
        ..from(&aft, &fore, if well_at_rest { angle(worst) } else { rest })
    })
}

fn above_sidelights(stage: &Stage, lamp: &Lit) -> Option<Measure> {
    let side = highest(stage.cast.sidelights())?;
    Some(from(lamp, &side, lamp.height() - side.height()))
}

fn above_combined(stage: &Stage) -> Option<Measure> {
    let white = forward_masthead(stage)?;
    let lantern = stage.cast.sidelights().find(|one| one.lamp.role == Role::CombinedSidelights)?;
    Some(from(&white, &lantern, white.height() - lantern.height()))
}

fn above_others(stage: &Stage) -> Option<Measure> {
    let lowest = stage.cast.serving(LightKind::Masthead).min_by(|a, b| a.height().total_cmp(&b.height()))?;
    let excepted = |seat: &&Seat| match seat.line {
        Some(_) => may_stand_above_mastheads(stage.status()),
        // On the Great Lakes an all-round white light stands in place of the after masthead light.
        None => {
            stage.status().by_means(&stage.scene.vessel) == Status::UnderEngine && seat.kind == LightKind::AllRoundWhite
        }
    };
    let others = stage.cast.seats.iter().filter(|seat| seat.kind != LightKind::Masthead && !excepted(seat));
    let other = highest(others.flat_map(|seat| seat.lamps.iter().copied()))?;
    Some(from(&lowest, &other, lowest.height() - other.height()))
}

fn sidelight_share(stage: &Stage) -> Option<Measure> {
    let masthead = forward_masthead(stage)?;
    let height = above_hull(stage, &masthead);
    let side = stage.cast.sidelights().max_by(|a, b| above_hull(stage, a).total_cmp(&above_hull(stage, b)))?;
    let value = if height > 0.0 { above_hull(stage, &side) / height } else { f64::INFINITY };
    Some(from(&side, &masthead, value))
}

/// Every line that stands in order, measured.
fn lines(stage: &Stage, measured: fn(&[Lit]) -> Option<Measure>) -> Vec<Measure> {
    let sound = (0..stage.display.lines.len()).filter(|line| stage.cast.in_order(*line));
    sound.filter_map(|line| measured(&stage.cast.line(line))).collect()
}

fn pairs<'a, 'b>(line: &'b [Lit<'a>]) -> impl Iterator<Item = (&'b Lit<'a>, &'b Lit<'a>, f64)> {
    line.windows(2).map(|pair| (&pair[0], &pair[1], pair[0].height() - pair[1].height()))
}

fn gap(line: &[Lit]) -> Option<Measure> {
    let (upper, lower, gap) = pairs(line).min_by(|a, b| a.2.total_cmp(&b.2))?;
    Some(from(upper, lower, gap))
}

/// Metres below which a gap is none.
const LEAST_GAP: f64 = 0.01;

fn unevenness(line: &[Lit]) -> Option<Measure> {
    let gaps: Vec<f64> = pairs(line).map(|(_, _, gap)| gap).collect();
    let [upper, lower] = gaps.as_slice() else { return None };
    let mean = (upper + lower) / 2.0;
    (mean > LEAST_GAP).then(|| one(&line[1], (upper - lower).abs() / mean))
}

fn aside(line: &[Lit]) -> Option<Measure> {
    // Lamps at one height stand beside one another: that they have no gap is told.
    let one_above_another = pairs(line).filter(|(_, _, gap)| *gap > LEAST_GAP);
    let asides = one_above_another.map(|(upper, lower, gap)| from(upper, lower, level_distance(upper, lower) / gap));
    asides.max_by(|a, b| a.value.total_cmp(&b.value))
}

/// The lowest light of every line that has no towing light.
fn lowest(stage: &Stage, height: fn(&Stage, &Lit) -> f64) -> Vec<Measure> {
    let lines = stage.display.lines.iter().enumerate();
    let without = lines.filter(|(_, kinds)| !kinds.contains(&LightKind::TowingLight));
    let lowest = without.filter_map(|(line, kinds)| {
        let lamps = stage.cast.line(line);
        if lamps.len() < kinds.len() { None } else { lamps.last().copied() }
    });
    lowest.map(|lamp| one(&lamp, height(stage, &lamp))).collect()
}

/// The pair of lights of a vessel fishing, in order, and their gap.
fn fishing<'a>(stage: &Stage<'a>) -> Option<(Lit<'a>, Lit<'a>)> {
    match stage.cast.line(0).as_slice() {
        [upper, lower] if stage.status().fishes() && stage.cast.in_order(0) => Some((*upper, *lower)),
        _ => None,
    }
}

fn fishing_pair(stage: &Stage) -> Option<Measure> {
    let (upper, lower) = fishing(stage)?;
    let side = highest(stage.cast.sidelights())?;
    let gap = upper.height() - lower.height();
    (gap > LEAST_GAP).then(|| from(&lower, &side, (lower.height() - side.height()) / gap))
}

fn trawl_masthead(stage: &Stage) -> Option<Measure> {
    let (green, _) = fishing(stage)?;
    let masthead = forward_masthead(stage)?;
    Some(from(&masthead, &green, green.x() - masthead.x()))
}

/// The lantern, or the uppermost of a line, against the highest mast: only in displays of the row's own clause.
fn top_below_mast(stage: &Stage, clause: &str) -> Option<Measure> {
    if stage.display.clause != clause {
        return None;
    }
    let (foot, top) = highest_mast(stage)?;
    let lantern = stage.cast.serving(LightKind::Sternlight).find(|one| one.lamp.role == Role::ThreeColourLantern);
    let light = lantern.or_else(|| stage.cast.line(0).first().copied())?;
    Some(one(&light, (top - light.height()) / (top - foot)))
}

/// Heights of the foot and of the top of the highest mast.
pub(super) fn highest_mast(stage: &Stage) -> Option<(f64, f64)> {
    let masts = stage.scene.parts.iter().filter_map(|part| match &part.kind {
        PartKind::Mast { at, height, .. } => {
            let foot = stage.scene.vessel.locate(at).z;
            Some((foot, foot + height))
        }
        _ => None,
    });
    masts.max_by(|a, b| a.1.total_cmp(&b.1))
}

fn gear<'a>(stage: &Stage<'a>) -> Option<Lit<'a>> {
    let out = stage.status().has_gear_out() && lines_whole(stage, LightKind::AllRoundWhite);
    out.then(|| stage.cast.alone(LightKind::AllRoundWhite).first().copied()).flatten()
}

fn gear_light(stage: &Stage, measured: fn(&Lit, &Lit) -> f64) -> Option<Measure> {
    let (gear, (_, white)) = (gear(stage)?, fishing(stage)?);
    Some(from(&gear, &white, measured(&gear, &white)))
}

fn gear_light_above_white(stage: &Stage) -> Option<Measure> {
    gear_light(stage, |gear, white| gear.height() - white.height())
}

/// Two anchor lights, the forward one first.
fn anchors<'a>(stage: &Stage<'a>) -> Option<[Lit<'a>; 2]> {
    match stage.cast.alone(LightKind::AllRoundWhite).as_slice() {
        [fore, aft] if lines_whole(stage, LightKind::AllRoundWhite) => Some([*fore, *aft]),
        _ => None,
    }
}

fn forward_anchor(stage: &Stage) -> Option<Measure> {
    let [fore, _] = anchors(stage)?;
    Some(one(&fore, above_hull(stage, &fore)))
}

fn sidelights_before_masthead(stage: &Stage) -> Option<Measure> {
    let masthead = forward_masthead(stage)?;
    // Where a masthead light is missing, which of them is the forward one cannot be told.
    if stage.cast.serving(LightKind::Masthead).count() < stage.display.count(LightKind::Masthead) {
        return None;
    }
    let side = stage.cast.sidelights().max_by(|a, b| a.x().total_cmp(&b.x()))?;
    Some(from(&side, &masthead, side.x() - masthead.x()))
}

fn sidelights_from_stem(stage: &Stage) -> Option<Measure> {
    let side = stage.cast.sidelights().min_by(|a, b| a.x().total_cmp(&b.x()))?;
    Some(one(&side, from_stem(stage, &side)))
}

fn sidelights_inboard(stage: &Stage) -> Option<Measure> {
    // The clause is for power-driven vessels, which have a masthead light.
    forward_masthead(stage)?;
    let vessel = &stage.scene.vessel;
    let inboard = |lamp: &Lit| vessel.half_breadth(lamp.x()) - lamp.posed.centre.y.abs();
    let own = stage.cast.sidelights().filter(|one| one.lamp.role != Role::CombinedSidelights);
    let worst = own.max_by(|a, b| inboard(a).total_cmp(&inboard(b)))?;
    Some(one(&worst, inboard(&worst).max(0.0) / vessel.beam.0))
}

/// Lines of Rules 27(b) and 28 that stand, in height, between two masthead lights.
fn lines_between_mastheads(stage: &Stage) -> Vec<Measure> {
    let Some((fore, aft)) = two_mastheads(stage).filter(|_| may_stand_above_mastheads(stage.status())) else {
        return Vec::new();
    };
    let line = stage.cast.line(0);
    let between = line.iter().all(|one| one.height() > fore.height() && one.height() < aft.height());
    let inmost = line.iter().min_by(|a, b| a.posed.centre.y.abs().total_cmp(&b.posed.centre.y.abs()));
    inmost.filter(|_| between).map(|lamp| one(lamp, lamp.posed.centre.y.abs())).into_iter().collect()
}

/// The lowest of red, white and red, and the lights of the obstructed and of the clear side.
fn side_signals<'a>(stage: &Stage<'a>) -> Option<(Lit<'a>, Vec<Lit<'a>>)> {
    let lowest = stage.cast.line(0).last().copied().filter(|_| stage.status().obstructs_one_side())?;
    Some((lowest, [1, 2].iter().flat_map(|line| stage.cast.line(*line)).collect()))
}

fn side_signals_aside(stage: &Stage) -> Option<Measure> {
    let (lowest, lamps) = side_signals(stage)?;
    let nearest = lamps.iter().min_by(|a, b| level_distance(a, &lowest).total_cmp(&level_distance(b, &lowest)))?;
    Some(from(nearest, &lowest, level_distance(nearest, &lowest)))
}

fn side_signals_above(stage: &Stage) -> Option<Measure> {
    let (lowest, lamps) = side_signals(stage)?;
    let top = highest(lamps.into_iter())?;
    Some(from(&top, &lowest, top.height() - lowest.height()))
}

/// The lower base angle, seen end on, of the triangle that the sidelights make with the masthead light.
fn triangle(stage: &Stage) -> Option<Measure> {
    let masthead = forward_masthead(stage)?;
    let angle = |side: &Lit| {
        let up = masthead.posed.centre - side.posed.centre;
        up.z.atan2(up.y.abs()).to_degrees()
    };
    let side = stage.cast.sidelights().min_by(|a, b| angle(a).total_cmp(&angle(b)))?;
    Some(from(&masthead, &side, angle(&side)))
}
