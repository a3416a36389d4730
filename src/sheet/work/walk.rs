//! The walk-round test as a sheet to be filled in: marks to chalk, what must be seen at each, edges from both sides,
//! and who saw it.

use super::{Work, plan};
use crate::{
    fitting::walk_round::{Chalk, Due, EdgeCheck, Glow, Round, Sight, Station, WalkRound, walk_round},
    light::Colours,
    measure::trimmed,
    sheet::{
        capitalised,
        paper::{Block, Cell, Section, Table},
    },
};

const PLAN: f64 = 174.0;
/// Farther than this is no walk round a boat, metres (the program's own figure).
const FARTHEST: f64 = 60.0;

pub(super) fn section(work: &Work) -> Section {
    let surveyed = &work.surveyed;
    let walk = walk_round(surveyed.scene, surveyed.fit, surveyed.judgement.rules, Round::of(surveyed.scene));
    let mut blocks = vec![
        Block::Words(how(work, &walk)),
        Block::Beware(
            "Prove the lights on the water at night as well, from half a mile and more: this walk proves sectors and screens, and \
             not how far she is seen."
                .into(),
        ),
        Block::Ticks(before(work, &walk)),
        Block::Drawings(vec![plan::ground(surveyed.scene, &walk, PLAN)]),
        Block::Heading("Chalk these marks".into()),
        Block::Words(
            "Along and out are from the corner of the transom that is named: along is parallel to the centreline, out is square to \
             it and away from her."
                .into(),
        ),
        Block::Table(places(work, walk.stations.iter().map(|station| &station.chalk))),
    ];
    let mut notes = Notes::default();
    for (nth, setting) in walk.settings.iter().enumerate() {
        let lead = if surveyed.fit.switches.is_empty() { "Lights for being" } else { "Switches:" };
        blocks.push(Block::Heading(format!("{lead} {}", setting.words)));
        blocks.push(Block::Table(seen(work, &walk, nth, &mut notes)));
    }
    if walk.left_out > 0 {
        blocks.push(Block::Words(format!(
            "{} settings more light something; walk those that will be used too.",
            walk.left_out
        )));
    }
    if !notes.told.is_empty() {
        blocks.push(Block::Heading("Where the model does not see what is due".into()));
        let numbered = notes.told.iter().enumerate().map(|(n, note)| format!("{}. {note}", n + 1));
        blocks.push(Block::Points(numbered.collect()));
    }
    blocks.push(Block::Heading("What standing so near does".into()));
    blocks.push(Block::Table(near(work, &walk)));
    blocks.push(Block::Words(near_words(work, &walk)));
    if !walk.edges.is_empty() {
        blocks.push(Block::Heading("Edges of sectors, from both sides".into()));
        blocks.push(Block::Words(
            "Each mark lies on a line from the lamp itself. Walk from a to c and back, eye at the same height: at a the light is \
             whole, at c it must be gone. Note where it goes."
                .into(),
        ));
        blocks.push(Block::Table(edges(&walk)));
        blocks.push(Block::Table(places(work, walk.edges.iter().flat_map(|edge| &edge.chalks))));
    }
    blocks.push(Block::Heading("Seen by".into()));
    let lines = [
        "Name",
        "Signature",
        "Date and time",
        "Weather, and how dark",
        "Battery voltage at the lamps",
        "For the owner",
    ];
    blocks.push(Block::Lines(lines.map(String::from).to_vec()));
    Section::new("Walk-round test", blocks).on_its_own_page()
}

fn how(work: &Work, walk: &WalkRound) -> String {
    format!(
        "At dusk or in the dark, with the boat level on her trailer or lying still at a quay. Chalk the marks {} from her middle, \
         and hold your eye {} above her waterline at each: measure that up from her waterline, not from the ground. Put each \
         setting of the switches on in turn, walk once round, and tick what you see. R red, G green, W white, Y yellow; in \
         brackets, near an edge: it may show or not.",
        work.units.ground(walk.round.distance.0),
        work.units.plain(walk.round.eye.0)
    )
}

fn before(work: &Work, walk: &WalkRound) -> Vec<String> {
    let mut ticks = vec![
        "Level her: the waterline marks alike fore and aft, and on both sides.".into(),
        "Each lamp upright: a level, or a telephone's, on its flat top reads nought both ways. Or hold a pocket mirror flat on \
         its top: seen in it, the lamp's sides run on straight."
            .into(),
        "Lenses clean, outboard straight ahead and down, gear stowed as at sea, nobody in the way. Battery under load.".into(),
    ];
    let reachable = walk.lights.iter().map(|light| light.least.0).filter(|least| *least <= FARTHEST);
    let least = reachable.fold(0.0, f64::max);
    if least > walk.round.distance.0 {
        ticks.push(format!(
            "For the lights told further on as too high for this distance: step back to {}, or raise your eye.",
            work.units.ground(least)
        ));
    }
    ticks
}

fn places<'c>(work: &Work, chalks: impl Iterator<Item = &'c Chalk>) -> Table {
    let rows = chalks.map(|chalk| {
        let along = if chalk.along.0 < 0.0 { "abaft" } else { "forward" };
        let out = if chalk.out.0 < 0.0 { "inboard" } else { "out" };
        vec![
            Cell::Tick(chalk.name.clone()),
            format!("{:05.1}°", chalk.bearing.degrees() + 0.0).into(),
            work.units.ground(chalk.distance.0).into(),
            capitalised(chalk.corner.in_words()).into(),
            format!("{} {along}", work.units.ground(chalk.along.0.abs())).into(),
            format!("{} {out}", work.units.ground(chalk.out.0.abs())).into(),
        ]
    });
    let heads = ["Mark", "Bearing", "Distance", "Corner", "Along", "Out"].map(String::from).to_vec();
    Table { heads, shares: vec![1.5, 1.6, 1.9, 1.9, 2.8, 2.8], rows: rows.collect() }
}

/// What differs from what is due, each told once.
#[derive(Default)]
struct Notes {
    told: Vec<String>,
}

impl Notes {
    fn number(&mut self, note: String) -> usize {
        if let Some(known) = self.told.iter().position(|one| *one == note) {
            return known + 1;
        }
        self.told.push(note);
        self.told.len()
    }
}

fn seen(work: &Work, walk: &WalkRound, nth: usize, notes: &mut Notes) -> Table {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for station in &walk.stations {
        let Some(sights) = station.sights.get(nth) else { continue };
        let (due, sees) = (due_words(sights), sees_words(sights));
        let differing = sights.iter().filter(|sight| sight.differs());
        let mut numbers: Vec<String> =
            differing.map(|sight| notes.number(note(work, sight, walk)).to_string()).collect();
        numbers.dedup();
        let model = if numbers.is_empty() { sees } else { format!("{sees}, note {}", numbers.join(", ")) };
        rows.push(vec![
            station.chalk.name.clone().into(),
            where_words(station).into(),
            Cell::Tick(due),
            model.into(),
            "".into(),
        ]);
    }
    let heads = ["Mark", "Stand", "Must be seen", "The model sees", "You saw"].map(String::from).to_vec();
    Table { heads, shares: vec![1.1, 4.4, 2.4, 2.9, 2.4], rows }
}

fn where_words(station: &Station) -> String {
    capitalised(&station.chalk.bearing.in_words())
}

/// "G W", "G (W)", "nothing".
fn due_words(sights: &[Sight]) -> String {
    let of =
        |due: Due| sights.iter().filter(move |sight| sight.due == due).map(|sight| sight.colour).collect::<Colours>();
    let (must, may) = (of(Due::Must), of(Due::May));
    let may = may.without(must);
    let words = [letters(must), if may.is_empty() { String::new() } else { format!("({})", letters(may)) }];
    let words = words.join(" ").trim().to_owned();
    if words.is_empty() { "nothing".into() } else { words }
}

fn sees_words(sights: &[Sight]) -> String {
    let of = |glow: Glow| {
        sights.iter().filter(move |sight| sight.glow == glow).map(|sight| sight.colour).collect::<Colours>()
    };
    let (bright, faint) = (of(Glow::Bright), of(Glow::Faint));
    let faint = faint.without(bright);
    let mut words: Vec<String> = Vec::new();
    words.extend((!bright.is_empty()).then(|| letters(bright)));
    words.extend((!faint.is_empty()).then(|| format!("{} faint", letters(faint))));
    if words.is_empty() { "nothing".into() } else { words.join(", ") }
}

fn letters(colours: Colours) -> String {
    let each: Vec<String> =
        colours.letters().chars().filter(|letter| letter.is_alphabetic()).map(String::from).collect();
    each.join(" ")
}

fn note(work: &Work, sight: &Sight, walk: &WalkRound) -> String {
    let lamp = &work.surveyed.fit.lamps[sight.light.lamp].name;
    let high = walk.lights.get(sight.light.lamp).is_some_and(|light| light.least > walk.round.distance);
    match (sight.due, &sight.hidden_by) {
        (Due::Must, Some(by)) => format!("{}: {}, hidden by {by}.", capitalised(lamp), sight.glow.in_words()),
        (Due::Must, None) if high => format!(
            "{}: {}, for you look up at it or down on it too steeply from here. Step back.",
            capitalised(lamp),
            sight.glow.in_words()
        ),
        (Due::Must, None) => format!(
            "{}: {}, though nothing hides it: it is set or aimed wrong.",
            capitalised(lamp),
            sight.glow.in_words()
        ),
        _ => format!("{}: {}, and must not show here.", capitalised(lamp), sight.glow.in_words()),
    }
}

fn near_words(work: &Work, walk: &WalkRound) -> String {
    format!(
        "From {} a lamp bears otherwise than her middle does, so the tables go by the bearing from each lamp: right ahead you may \
         stand between the sidelights and see neither. A light is asked \
         whole only up to {} degrees above and below its level (Annex I 10): nearer than the distance above, your eye is outside \
         that. An edge is no sharper than its lamp's window looks wide.",
        work.units.ground(walk.round.distance.0),
        trimmed(walk.upright.0, 1)
    )
}

fn near(work: &Work, walk: &WalkRound) -> Table {
    let lamps = &work.surveyed.fit.lamps;
    let rows = walk.lights.iter().map(|light| {
        let name = lamps.get(light.lamp).map_or_else(String::new, |lamp| capitalised(&lamp.name));
        let from = if light.least.0 > FARTHEST {
            format!("{}: look from afar", work.units.ground(light.least.0))
        } else if light.least > walk.round.distance {
            format!("{}: too high from here", work.units.ground(light.least.0))
        } else {
            work.units.ground(light.least.0)
        };
        vec![
            name.into(),
            work.units.plain(light.height.0).into(),
            from.into(),
            format!("{}°", trimmed(light.parallax.0, 1)).into(),
            format!("{}°", trimmed(light.blur.0, 1)).into(),
        ]
    });
    let heads =
        ["Lamp", "Height", "Meaningful from", "Bears otherwise by", "Edge blurred by"].map(String::from).to_vec();
    Table { heads, shares: vec![3.0, 1.8, 3.2, 2.4, 2.2], rows: rows.collect() }
}

fn edges(walk: &WalkRound) -> Table {
    let row = |edge: &EdgeCheck| {
        let [inside, _, outside] = &edge.sights;
        vec![
            Cell::Tick(format!(
                "{} {}, {}",
                edge.chalks[1].name.trim_end_matches('b'),
                edge.kind,
                edge.edge.in_words()
            )),
            format!("{}° inside", trimmed(edge.inside.0, 1)).into(),
            format!("{}° outside", trimmed(edge.outside.0, 1)).into(),
            format!("a {}, c {}", inside.glow.in_words(), outside.glow.in_words()).into(),
            edge.clause.clone().into(),
            "".into(),
        ]
    };
    let heads = ["Edge", "a, whole", "c, gone", "The model", "Clause", "Gone at"].map(String::from).to_vec();
    Table { heads, shares: vec![4.0, 1.9, 2.0, 2.4, 2.6, 1.6], rows: walk.edges.iter().map(row).collect() }
}
