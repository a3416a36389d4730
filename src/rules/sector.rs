//! One light inside and outside its sector: shadows, leaning, turning, weakness, spill; at rest and under way.

use super::{
    Finding, Kind, LightKind, Severity, even,
    judge::{Asked, split_clauses},
    low_volts::{self, LowVolts, low_volts},
    under_way,
    view::{Cause, View},
};
use crate::{
    boat::{Along, Fit, Lamp, Mount, Owner, PartKind, PosedLamp, Scene},
    measure::{Arc, Bearing, Candela, Degrees, counted, trimmed},
    survey::{LightId, most_often},
};

/// Everything to say of one light of the display.
pub(super) fn findings(scene: &Scene, fit: &Fit, view: &View, asked: &mut Asked) -> Vec<Finding> {
    let talk = Talk::of(scene, fit, view);
    if talk.wrong_lamp() {
        talk.leave_open(asked);
        return talk.misfit().into_iter().collect();
    }
    talk.note(asked);
    let mut findings = talk.shadows();
    let vertical = talk.vertical();
    findings.extend(talk.vertical_shadows(&vertical));
    findings.extend(talk.leaning(&vertical));
    findings.extend(talk.turned());
    findings.extend(talk.weak(&vertical));
    findings.extend(talk.spill());
    findings.extend(talk.cut_too_soon());
    findings.extend(even::findings(&talk, asked));
    if findings.is_empty() {
        findings.extend(talk.harmlessly_set());
    }
    findings.extend(under_way::findings(&talk));
    findings
}

/// Degrees askew from which a lamp that keeps its arcs is worth a note.
const NOTED: f64 = 1.0;

/// One light of the display, with what is needed to speak of it.
pub(super) struct Talk<'a> {
    pub scene: &'a Scene,
    pub fit: &'a Fit,
    pub view: &'a View<'a>,
    /// Arcs that fall short, level and at rest, by cause.
    hidden: Vec<Arc>,
    leaning: Vec<Arc>,
    turned: Vec<Arc>,
    weak: Vec<Arc>,
    /// Arcs outside the sector, past where it must be cut off, that still get light.
    spilt: Vec<Arc>,
}

/// An elevation at which a share of the minimum is due (Annex I 10), and the arcs lost there by cause.
struct Vertical {
    elevation: Degrees,
    shadowed: Vec<Arc>,
    leaning: Vec<Arc>,
    weak: Vec<Arc>,
}

impl<'a> Talk<'a> {
    fn of(scene: &'a Scene, fit: &'a Fit, view: &'a View<'a>) -> Self {
        Self {
            scene,
            fit,
            view,
            hidden: view.lost(Cause::is_hidden),
            leaning: view.lost(|cause| cause == Cause::Lean),
            turned: view.lost(|cause| cause == Cause::Turn),
            weak: view.lost(|cause| matches!(cause, Cause::Weak { .. })),
            spilt: view.arcs_by_candela(|bearing, got| view.spills(bearing, got)),
        }
    }

    /// The light that an arc is about: where several serve, the one that gives the most (or would, unhidden) there.
    fn light(&self, arc: Option<Arc>) -> LightId {
        arc.map_or(self.view.lights[0], |arc| self.view.at(self.view.survey.rest(), arc.middle(), Degrees(0.0)).0)
    }

    fn lamp(&self, arc: Option<Arc>) -> &Lamp {
        &self.fit.lamps[self.light(arc).lamp]
    }

    fn posed(&self, light: LightId) -> &PosedLamp {
        &self.view.survey.rest().posed().lamps[light.lamp]
    }

    pub(super) fn finding(&self, kind: Kind, clause: String, arc: Option<Arc>) -> Finding {
        Finding { lamp: Some(self.lamp(arc).name.clone()), arc, ..Finding::new(kind, &clause) }
    }

    /// The clauses that this light is held against.
    fn note(&self, asked: &mut Asked) {
        let rules = self.view.rules;
        asked.note(&self.view.sector.clause);
        asked.note(&self.range_clause());
        let arc = self.view.arc();
        for bearing in [arc.from, arc.to(), arc.middle()] {
            asked.note(rules.edge_clause(self.view.sector, bearing));
        }
        if self.view.lights.len() > 1 && self.view.sector.is_all_round() {
            asked.note(&rules.cutoff.clause_pair);
        }
        asked.note(&self.view.vertical.clause_full);
        asked.note(&self.view.vertical.clause_wide);
    }

    /// What cannot be held against a lamp that is not made for this light.
    fn leave_open(&self, asked: &mut Asked) {
        asked.note(&self.horizontal_clause(None));
        let vertical = self.view.vertical;
        let why = format!(
            "{} is not made as {} {}",
            self.lamp(None).name,
            self.view.kind.article(),
            self.view.kind.in_words()
        );
        for clause in split_clauses(&self.range_clause()).chain([vertical.clause_full.as_str(), &vertical.clause_wide])
        {
            asked.leave_open(clause, why.clone());
        }
    }

    /// "Rule 22(c), Annex I 8".
    fn range_clause(&self) -> String {
        let rules = self.view.rules;
        let row = rules.range_row(self.scene.vessel.length.0).map_or("Rule 22", |row| row.clause.as_str());
        format!("{row}, {}", rules.intensity_clause)
    }

    /// The clauses on the sector and on the edge of it that an arc is about.
    pub(super) fn horizontal_clause(&self, arc: Option<Arc>) -> String {
        let about = arc.unwrap_or(self.view.arc());
        format!("{}, {}", self.view.sector.clause, self.view.rules.edge_clause(self.view.sector, about.middle()))
    }

    fn vertical_clause(&self, elevation: Degrees) -> String {
        format!("{}, {}", self.view.sector.clause, self.elevation_clause(elevation))
    }

    /// The clause that asks for light at an elevation.
    fn elevation_clause(&self, elevation: Degrees) -> &str {
        let vertical = self.view.vertical;
        if elevation.0.abs() <= vertical.full { &vertical.clause_full } else { &vertical.clause_wide }
    }

    /// "0.3 of the 0.9 cd due", at the worst bearing of an arc.
    fn shortfall(&self, arc: Arc) -> String {
        let worst = within(arc)
            .map(|bearing| (self.view.candela(bearing), self.view.due(bearing), bearing))
            .filter(|(_, due, _)| due.0 > 0.0)
            // Of bearings equally dark, the one where the most is due, and then the middle of the arc, tells the most.
            .min_by(|a, b| {
                let share = (a.0.0 / a.1.0).total_cmp(&(b.0.0 / b.1.0));
                let aside = |bearing: Bearing| bearing.clockwise_of(arc.middle()).abs();
                share.then(b.1.0.total_cmp(&a.1.0)).then(aside(a.2).total_cmp(&aside(b.2)))
            });
        match worst {
            Some((got, due, bearing)) => format!(
                "At worst {} cd of the {} cd due, {}.",
                trimmed(got.0, 2),
                trimmed(due.0, 2),
                bearing.in_words()
            ),
            None => String::new(),
        }
    }

    /// Hidden level with the horizon. An all-round light may be so a little (Annex I 9(b)(i)): that is a note.
    fn shadows(&self) -> Vec<Finding> {
        let all_round = self.view.sector.is_all_round();
        let allowed = self.view.allowed_hidden();
        let kind = if all_round { Kind::AllRoundObscured } else { Kind::Shadowed };
        let anchor = self.view.is_anchor_light();
        let one = |arc: &Arc| {
            let owners = self.hiders(*arc, Degrees(0.0));
            let by = self.names(&owners);
            let width = degrees(arc.width);
            let may = trimmed(allowed, 1);
            let excused = arc.width <= allowed;
            let clause = self.horizontal_clause(Some(*arc));
            Finding {
                severity: if excused { Severity::Note } else { Severity::Fault },
                what: format!("{} is hidden by {by} {}.", self.lamp(Some(*arc)).name, arc.in_words()),
                how_bad: match (all_round, excused) {
                    (true, true) => format!("{width}; up to {may} are allowed."),
                    (true, false) if anchor => format!(
                        "{width}, more than the {may} allowed; an anchor light is excepted only where a height that \
                         clears it is impracticable. {}",
                        self.shortfall(*arc)
                    ),
                    (true, false) => format!("{width}, more than the {may} allowed. {}", self.shortfall(*arc)),
                    (false, _) => format!("{width}. {}", self.shortfall(*arc)),
                },
                mend: self.mend_shadow(&owners),
                by: Some(by),
                ..self.finding(kind, clause, Some(*arc))
            }
        };
        self.hidden.iter().map(one).collect()
    }

    /// Whose solids hide the light within an arc, those that hide most bearings first.
    fn hiders(&self, arc: Arc, elevation: Degrees) -> Vec<Owner> {
        let rest = self.view.survey.rest();
        most_often(within(arc).filter_map(|bearing| self.view.at(rest, bearing, elevation).1.visible.by))
    }

    pub(super) fn names(&self, owners: &[Owner]) -> String {
        let names: Vec<_> = owners.iter().map(|owner| self.scene.owner_name(self.fit, *owner)).collect();
        match names.as_slice() {
            [] => "the boat's own solids".into(),
            [one] => one.clone(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }

    pub(super) fn mend_shadow(&self, owners: &[Owner]) -> String {
        let Some(owner) = owners.first() else { return "Move the lamp clear.".into() };
        let name = self.scene.owner_name(self.fit, *owner);
        // Only sidelights may go outboard, only a sternlight aft; what belongs on the centreline can but rise.
        let kind = self.view.kind;
        match owner {
            Owner::Hull if kind.is_sidelight() => {
                "Raise the lamp on a bracket, or bring it nearer the side, until it clears the hull.".into()
            }
            Owner::Hull if kind == LightKind::Sternlight => {
                "Raise the lamp, or bring it further aft, until it clears the hull.".into()
            }
            Owner::Hull => "Raise the lamp until it clears the hull.".into(),
            Owner::Mount(_) => "Shorten or move the bracket plate that stands in front of the lamp.".into(),
            Owner::Part(index) | Owner::Piece { part: index, .. } => {
                match self.scene.parts.get(*index).map(|part| &part.kind) {
                    Some(PartKind::Person { .. }) => {
                        format!("Raise the lamp above the head of {name}, or put it where nobody stands.")
                    }
                    Some(PartKind::Outboard { .. }) => format!("Raise the lamp above the cowling of {name}."),
                    _ if kind.is_sidelight() => format!("Move the lamp outboard or ahead of {name}, or above it."),
                    _ if kind == LightKind::Sternlight => format!("Move the lamp abaft {name}, or above it."),
                    _ => format!("Raise the lamp above {name}, or move it further from it so that it hides less."),
                }
            }
        }
    }

    /// The elevations of Annex I 10 at which something is lost that is not lost already level with the horizon.
    fn vertical(&self) -> Vec<Vertical> {
        let vertical = self.view.vertical;
        [(vertical.full, 1.0), (vertical.wide, vertical.share)]
            .into_iter()
            .flat_map(|(angle, share)| [(Degrees(angle), share), (Degrees(-angle), share)])
            .map(|(elevation, share)| self.vertical_at(elevation, Candela(self.view.minimum.0 * share)))
            .collect()
    }

    fn vertical_at(&self, elevation: Degrees, due: Candela) -> Vertical {
        let level_is_well = |bearing: Bearing| self.view.candela(bearing).0 >= self.view.due(bearing).0 * (1.0 - 1e-6);
        let lost = |wanted: fn(Cause) -> bool, raised: &(dyn Fn(Bearing) -> Degrees + Sync)| {
            self.view.arcs(|bearing| {
                self.view.core(bearing)
                    && self.view.loss(bearing, raised(bearing), due).is_some_and(wanted)
                    && level_is_well(bearing)
            })
        };
        Vertical {
            elevation,
            shadowed: lost(|cause| matches!(cause, Cause::Shadow(_)), &|bearing| self.reached(elevation, bearing)),
            leaning: lost(|cause| matches!(cause, Cause::Lean | Cause::Turn), &|_| elevation),
            weak: lost(|cause| matches!(cause, Cause::Weak { .. }), &|_| elevation),
        }
    }

    /// The elevation of Annex I 10 at which her own solids are looked for on a bearing.
    fn reached(&self, elevation: Degrees, bearing: Bearing) -> Degrees {
        let vertical = self.view.vertical;
        if elevation.0.abs() <= vertical.full {
            return elevation;
        }
        Degrees(vertical.reach(bearing).0.copysign(elevation.0))
    }

    /// Hidden to an eye above or below: one finding for below and one for above, at the worst elevation of each.
    fn vertical_shadows(&self, vertical: &[Vertical]) -> Vec<Finding> {
        let allowed = self.view.allowed_hidden();
        let side = |up: bool| {
            vertical
                .iter()
                .filter(|one| (one.elevation.0 > 0.0) == up)
                .flat_map(|one| one.shadowed.iter().map(move |arc| (one.elevation, *arc)))
                .filter(|(_, arc)| arc.width > allowed)
                .max_by(|a, b| a.1.width.total_cmp(&b.1.width))
        };
        [true, false]
            .into_iter()
            .filter_map(|up| side(up).map(|found| (up, found)))
            .map(|(up, (elevation, arc))| {
                let owners = self.hiders(arc, elevation);
                let by = self.names(&owners);
                let place = if up { "above" } else { "below" };
                Finding {
                    what: format!(
                        "To an eye {} {place} level, {} is hidden by {by} {}.",
                        degrees(elevation.0.abs()),
                        self.lamp(Some(arc)).name,
                        arc.in_words()
                    ),
                    how_bad: format!("{} wide; level with the horizon it shows.", degrees(arc.width)),
                    mend: self.mend_shadow(&owners),
                    by: Some(by),
                    ..self.finding(Kind::Shadowed, self.elevation_clause(elevation).into(), Some(arc))
                }
            })
            .collect()
    }

    /// Lamps that are set askew and still keep their arcs: nothing is lost yet, and less is left for trim and heel.
    fn harmlessly_set(&self) -> Vec<Finding> {
        self.view.lights.iter().filter_map(|light| self.harmlessly_askew(*light)).collect()
    }

    fn harmlessly_askew(&self, light: LightId) -> Option<Finding> {
        let posed = self.posed(light);
        let lean = posed.lean().0;
        let turned = posed.turned().map_or(0.0, |turned| turned.0.abs());
        // An all-round light has no heading to be wrong.
        let turned = if self.view.arc().width < 360.0 { turned } else { 0.0 };
        let (kind, askew, how, clause) = if lean >= NOTED && lean >= turned {
            (Kind::NotUpright, lean, "leans", self.vertical_clause(Degrees(0.0)))
        } else if turned >= NOTED {
            (Kind::NotParallel, turned, "is turned", self.horizontal_clause(None))
        } else {
            return None;
        };
        let name = self.fit.lamps[light.lamp].name.clone();
        Some(Finding {
            severity: Severity::Note,
            what: format!("{name} {how} {}.", degrees(askew)),
            how_bad: "It keeps its arcs at rest; the less is left for trim and heel.".into(),
            mend: "Set it upright and parallel to the centreline all the same.".into(),
            lamp: Some(name),
            ..self.finding(kind, clause, None)
        })
    }

    fn leaning(&self, vertical: &[Vertical]) -> Option<Finding> {
        let level = widest(&self.leaning);
        let tilted = vertical
            .iter()
            .flat_map(|one| one.leaning.iter().map(move |arc| (one.elevation, *arc)))
            .max_by(|a, b| a.1.width.total_cmp(&b.1.width));
        let about = level.or(tilted.map(|(_, arc)| arc))?;
        let light = self.light(Some(about));
        let lamp = &self.fit.lamps[light.lamp];
        let lean = degrees(self.posed(light).lean().0);
        let name = &lamp.name;
        let clause = match (level, tilted) {
            (None, Some((elevation, _))) => self.vertical_clause(elevation),
            _ => self.vertical_clause(Degrees(0.0)),
        };
        let (what, how_bad) = match (level, tilted) {
            (None, Some((elevation, arc))) => (
                format!("{name} leans {lean} from upright."),
                format!(
                    "Too little light {} to an eye {} {} level.",
                    arc.in_words(),
                    degrees(elevation.0.abs()),
                    if elevation.0 > 0.0 { "above" } else { "below" }
                ),
            ),
            _ => (
                format!("{name} leans {lean} from upright, and its light is lost {}.", about.in_words()),
                self.shortfall(about),
            ),
        };
        Some(Finding {
            what,
            how_bad,
            mend: match lamp.mount {
                Mount::FlatOnDeck(_) => "Take it off the deck and stand it upright on a bracket.".into(),
                Mount::Flush => format!("Put a wedge of {lean} behind it, or stand it on a bracket."),
                Mount::Pole(_) => "Stand the pole upright, or put a wedge under the lamp.".into(),
                Mount::Outboard(_) => "Take the lamp off the engine: it leans and turns with it.".into(),
                Mount::Bracket(_) => {
                    format!("Bend or shim its bracket by {lean} so that the lamp stands upright.")
                }
            },
            ..self.finding(Kind::NotUpright, clause, Some(about))
        })
    }

    fn turned(&self) -> Option<Finding> {
        let askew = |arc: &Arc| self.posed(self.light(Some(*arc))).turned().is_some_and(|turned| turned.0.abs() > 0.05);
        let lost = widest(&self.turned);
        let arc = lost.or_else(|| widest(&self.spilt)).filter(askew)?;
        let light = self.light(Some(arc));
        let lamp = &self.fit.lamps[light.lamp];
        let turned = self.posed(light).turned()?;
        let angle = degrees(turned.0.abs());
        let (way, back) = if turned.0 > 0.0 { ("to starboard", "anticlockwise") } else { ("to port", "clockwise") };
        let along =
            matches!(lamp.mount, Mount::Bracket(Along::Gunwale) | Mount::FlatOnDeck(Along::Gunwale) | Mount::Flush);
        let why = if along { ", along the gunwale" } else { "" };
        Some(Finding {
            what: format!("{} is not parallel to the centreline: it is turned {angle} {way}{why}.", lamp.name),
            how_bad: match lost {
                Some(arc) => format!("Its light is lost {}. {}", arc.in_words(), self.shortfall(arc)),
                None => format!("It shows {}, outside its sector.", arc.in_words()),
            },
            mend: match lamp.mount {
                Mount::Bracket(_) | Mount::FlatOnDeck(_) => format!(
                    "Turn it {angle} {back} seen from above. Set it out from a line athwartships, not from \
                     the gunwale."
                ),
                Mount::Flush => format!(
                    "Put a wedge behind it that turns it {angle} {back} seen from above, or stand it on a bracket."
                ),
                Mount::Pole(_) => format!("Turn it {angle} {back} on its pole, seen from above."),
                Mount::Outboard(_) => "Take the lamp off the engine: its arc swings with the steering.".into(),
            },
            ..self.finding(Kind::NotParallel, self.horizontal_clause(Some(arc)), Some(arc))
        })
    }

    /// Whether the lamps at their best are strong enough somewhere and still leave part of the sector dark: made for
    /// another role.
    fn wrong_lamp(&self) -> bool {
        self.weak.iter().any(|arc| {
            let light = self.light(Some(*arc));
            let beam = &self.posed(light).optics.beams[light.beam];
            beam.full.0 >= self.view.minimum.0 && self.low_volts(*arc, Degrees(0.0)).is_none()
        })
    }

    /// One finding for a lamp whose optics do not fill the sector, in place of many on where it is dark or spills.
    fn misfit(&self) -> Option<Finding> {
        let arc = widest(&self.weak)?;
        let lamp = self.lamp(Some(arc));
        Some(Finding {
            what: format!(
                "{} is a {}, and does not fill the sector of {} {}.",
                lamp.name,
                lamp.optics.what,
                self.view.kind.article(),
                self.view.kind.in_words()
            ),
            how_bad: format!("Dark {}. {}", arc.in_words(), self.shortfall(arc)),
            mend: format!(
                "Fit a lamp made as {} {} in its place.",
                self.view.kind.article(),
                self.view.kind.in_words()
            ),
            ..self.finding(Kind::WrongLamp, self.horizontal_clause(Some(arc)), Some(arc))
        })
    }

    fn low_volts(&self, arc: Arc, elevation: Degrees) -> Option<LowVolts> {
        let light = self.light(Some(arc));
        low_volts(self.view, self.posed(light).optics.supply.as_ref()?, arc, elevation)
    }

    fn weak(&self, vertical: &[Vertical]) -> Vec<Finding> {
        let level = self.weak.iter().map(|&arc| {
            let range = self.view.rules.range(self.view.kind, self.scene.vessel.length.0).map_or(0.0, |range| range.0);
            let lamp = format!("a lamp made for {} nautical miles", trimmed(range, 1));
            let low = self.low_volts(arc, Degrees(0.0));
            Finding {
                what: format!("{} is too weak {}{}.", self.lamp(Some(arc)).name, arc.in_words(), low_volts::what(low)),
                how_bad: self.shortfall(arc),
                mend: low_volts::mend(low, &lamp),
                ..self.finding(Kind::TooWeak, self.range_clause(), Some(arc))
            }
        });
        let mut found: Vec<_> = level.collect();
        if found.is_empty() {
            let worst = vertical.iter().find_map(|one| Some((one.elevation, widest(&one.weak)?)));
            found.extend(worst.map(|(elevation, arc)| {
                let low = self.low_volts(arc, elevation);
                Finding {
                    what: format!(
                        "{} gives too little light {} {} level{}.",
                        self.lamp(Some(arc)).name,
                        degrees(elevation.0.abs()),
                        if elevation.0 > 0.0 { "above" } else { "below" },
                        low_volts::what(low)
                    ),
                    how_bad: format!("It falls short {}.", arc.in_words()),
                    mend: low_volts::mend(low, "a lamp with a taller vertical sector"),
                    ..self.finding(Kind::TooWeak, self.elevation_clause(elevation).into(), Some(arc))
                }
            }));
        }
        found
    }

    fn spill(&self) -> Vec<Finding> {
        self.spilt
            .iter()
            .map(|&arc| {
                let outside = [arc.from, arc.middle(), arc.to()].map(|bearing| -self.view.arc().depth(bearing));
                let light = self.light(Some(arc));
                let posed = self.posed(light);
                let askew = posed.lean().0 > 0.5 || posed.turned().is_none_or(|turned| turned.0.abs() > 0.5);
                let mut clause = self.horizontal_clause(Some(arc));
                // A lamp set right that shows across the bow is one that needs a screen, however short the boat.
                if !askew && self.view.rules.near_forward_edge(self.view.sector, arc.middle()) {
                    clause = format!("{clause}, {}", self.view.rules.screens.clause);
                }
                Finding {
                    what: format!("{} shows outside its sector, {}.", self.fit.lamps[light.lamp].name, arc.in_words()),
                    how_bad: format!(
                        "Up to {} past its edge, where it must be cut off.",
                        degrees(outside.into_iter().fold(0.0, f64::max))
                    ),
                    mend: if askew {
                        "Set the lamp upright and parallel to the centreline; if it still spills, fit a matt black screen."
                    } else {
                        "Fit a matt black screen, or a lamp with a sharper cut-off."
                    }
                    .into(),
                    ..self.finding(Kind::Spill, clause, Some(arc))
                }
            })
            .collect()
    }

    /// A sidelight that is cut off ahead before it should be: a vessel right ahead could lose it as she yaws.
    fn cut_too_soon(&self) -> Option<Finding> {
        let side = match self.view.kind {
            LightKind::StarboardSidelight => -1.0,
            LightKind::PortSidelight => 1.0,
            _ => return None,
        };
        let least = self.view.rules.cutoff.forward_least;
        let shown = |outside: f64| self.view.candela(Bearing::new(side * outside)).0 > self.view.cut.0;
        // Where right ahead itself lacks light, that is what there is to say.
        let whole = self.view.candela(Bearing::AHEAD).0 >= self.view.minimum.0 * (1.0 - 1e-6);
        if !whole || shown(least - 1e-6) {
            return None;
        }
        let ends = (0..100).map(|n| f64::from(n) / 100.0 * least).find(|outside| !shown(*outside)).unwrap_or(0.0);
        let arc = Arc { from: Bearing::AHEAD, width: 1.0 };
        let clause = self.horizontal_clause(Some(arc));
        Some(Finding {
            what: format!("{} is cut off {} past right ahead.", self.lamp(None).name, degrees(ends)),
            how_bad: format!(
                "It must show {} past it, so that a vessel right ahead sees both sidelights as she yaws.",
                trimmed(least, 1)
            ),
            mend: "Shorten the screen beside it, or fit a lamp with a softer edge.".into(),
            ..Finding { arc: None, ..self.finding(Kind::CutTooSoon, clause, None) }
        })
    }
}

pub(super) fn degrees(angle: f64) -> String {
    counted(angle, 1, "degree")
}

pub(super) fn widest(arcs: &[Arc]) -> Option<Arc> {
    arcs.iter().copied().max_by(|a, b| a.width.total_cmp(&b.width))
}

/// Bearings spread over an arc, a quarter of a degree apart or closer, its very edges left out.
pub(super) fn within(arc: Arc) -> impl Iterator<Item = Bearing> {
    let count = (arc.width / 0.25).ceil().clamp(4.0, 1440.0) as u32;
    (0..count).map(move |n| arc.from.turned((f64::from(n) + 0.5) / f64::from(count) * arc.width))
}
