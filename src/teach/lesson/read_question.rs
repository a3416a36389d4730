//! Reads one question of a lesson: what is asked, what is offered, and whether the boat has what it names.
//!
//! Takes the node and the situation it is asked of; gives the question, or adds faults. Must never look whether the answer is
//! right.

use super::{
    About, Control, Goal, Measure, Try,
    change::steering,
    question::{Asked, Question},
};
use crate::{
    boat::{
        Mount, Owner, Status,
        read::{
            colour,
            fields::{Desk, Fields, Limits, choice_names, choice_words, list, name, text, word},
            mount, optics, shortened, status_words,
            text::{Node, Value},
        },
    },
    light::Colours,
    measure::{Arc, Bearing, Knots},
    rules::{Kind, LightKind, Party},
    teach::{Situation, situation::colours_of},
};

const KINDS: [&str; 9] = ["Colours", "Stand", "Meets", "MoreShown", "ShadowOf", "Found", "Cure", "Number", "Change"];

pub(super) fn question(node: &Node, situation: &Situation, desk: &mut Desk) -> Option<Question> {
    let Some(head) = node.head().filter(|head| KINDS.contains(head)) else {
        let said = node.head().unwrap_or("");
        let what = format!("there is no question of the kind `{}`", shortened(said));
        desk.fault(node.head_span(), what, choice_words(said, &KINDS));
        return None;
    };
    let mut fields = Fields::opened(node, head, desk)?;
    let ask = fields.need("ask", name, desk);
    let asked = match head {
        "Colours" => fields.need("offer", offered_colours, desk).map(|offer| Asked::Colours { offer }),
        "Stand" => stand(&mut fields, desk),
        "Meets" => meets(&mut fields, desk),
        "MoreShown" => more_shown(&mut fields, situation, desk),
        "ShadowOf" => shadow_of(&mut fields, situation, desk),
        "Found" => found(&mut fields, situation, desk),
        "Cure" => cure(&mut fields, situation, desk),
        "Number" => measured(&mut fields, situation, desk),
        _ => change(&mut fields, situation, desk),
    };
    fields.finish(desk);
    Some(Question { ask: ask?, asked: asked? })
}

fn letters(node: &Node, desk: &mut Desk) -> Option<Colours> {
    let said = text(node, desk)?;
    let colours = colours_of(&said);
    if colours.is_none() {
        let what = format!("\"{}\" does not spell colours", shortened(&said));
        desk.fault(node.span, what, "write each letter once, of R, G, W and Y, as \"GW\"; or \"-\" for none");
    }
    colours
}

fn offered_colours(node: &Node, desk: &mut Desk) -> Option<Vec<Colours>> {
    enough(node, list(node, desk, "choices", letters)?, desk)
}

/// A choice is of two or more, and of no two alike.
fn enough<T: PartialEq>(node: &Node, offer: Vec<T>, desk: &mut Desk) -> Option<Vec<T>> {
    if offer.len() < 2 {
        desk.fault(node.head_span(), "a choice has at least two answers", "offer one more");
        return None;
    }
    if let Some(twice) = (1..offer.len()).find(|place| offer[..*place].contains(&offer[*place])) {
        let span = node.items().get(twice).map_or(node.head_span(), |item| item.span);
        desk.fault(span, "this choice is offered twice", "take one of the two out");
        return None;
    }
    Some(offer)
}

fn goal(node: &Node, desk: &mut Desk) -> Option<Goal> {
    const GOALS: [&str; 4] = ["Shows", "Includes", "Lacks", "Overtaking"];
    let head = node.head().unwrap_or("");
    let one = only(node);
    match (head, one) {
        ("Overtaking", None) => Some(Goal::Overtaking),
        ("Shows", Some(one)) => letters(one, desk).map(Goal::Shows),
        ("Includes", Some(one)) => letters(one, desk).map(Goal::Includes),
        ("Lacks", Some(one)) => letters(one, desk).map(Goal::Lacks),
        (known, _) if GOALS.contains(&known) => {
            let mend = if known == "Overtaking" {
                "write `Overtaking` alone".into()
            } else {
                format!("write `{known}(\"GW\")`")
            };
            desk.fault(node.head_span(), format!("`{known}` is not written so"), mend);
            None
        }
        _ => {
            let what = format!("there is nothing to see by the name `{}`", shortened(head));
            desk.fault(node.head_span(), what, choice_words(head, &GOALS));
            None
        }
    }
}

/// The one item in the brackets of a node.
fn only(node: &Node) -> Option<&Node> {
    match &node.value {
        Value::Tuple { items, .. } => items.first().filter(|_| items.len() == 1),
        _ => None,
    }
}

fn stand(fields: &mut Fields, desk: &mut Desk) -> Option<Asked> {
    let find = fields.need("find", goal, desk);
    let between = fields.or("between", |node, desk| pair(node, desk).map(Some), None, desk);
    let between = between?.map(|(from, to)| Arc::between(from, to));
    Some(Asked::Stand { find: find?, between })
}

/// Two numbers in round brackets.
fn pair(node: &Node, desk: &mut Desk) -> Option<(f64, f64)> {
    if let Value::Tuple { items, .. } = &node.value
        && let [first, second] = items.as_slice()
    {
        const ANY: Limits = Limits::within(-360.0, 360.0, "a number", "");
        return ANY.read(first, desk).zip(ANY.read(second, desk));
    }
    desk.wrong(node, "two numbers", "write them as `(340, 20)`");
    None
}

const SPEED: Limits = Limits::within(0.0, 60.0, "a speed", " knots");

fn meets(fields: &mut Fields, desk: &mut Desk) -> Option<Asked> {
    const BEARING: Limits = Limits::within(0.0, 360.0, "a bearing", " degrees");
    let about = fields.need(
        "about",
        |node, desk| {
            word(node, desk, "thing to ask", &[("Encounter", About::Encounter), ("GivesWay", About::GivesWay)])
        },
        desk,
    );
    let bears = fields.need("she_bears", |node, desk| BEARING.read(node, desk), desk);
    let speed = |node: &Node, desk: &mut Desk| SPEED.read(node, desk);
    let your_speed = fields.need("your_speed", speed, desk);
    let her_speed = fields.need("her_speed", speed, desk);
    let status = fields.or("you", |node, desk| word(node, desk, "status", &status_words()), Status::UnderEngine, desk);
    let you = Party { status: status?, bears: Bearing::new(bears?), speed: Knots(your_speed?) };
    Some(Asked::Meets { you, her_speed: Knots(her_speed?), about: about? })
}

fn more_shown(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<Asked> {
    let colour = fields.need("colour", colour, desk)?;
    let fits: Vec<String> = situation.scene.fits.iter().map(|fit| fit.name.clone()).collect();
    if fits.len() < 2 {
        desk.fault(fields.head(), "she has one fit only", "ask this of a boat with two fits");
        return None;
    }
    Some(Asked::MoreShown { colour, fits })
}

/// A lamp of the fit that is lit.
fn lamp(node: &Node, situation: &Situation, desk: &mut Desk) -> Option<String> {
    let said = name(node, desk)?;
    let lamps = situation.fit().lamps.iter();
    let names: Vec<&str> =
        lamps.filter(|lamp| lamp.lit.contains(&situation.status)).map(|lamp| lamp.name.as_str()).collect();
    if names.contains(&said.as_str()) {
        return Some(said);
    }
    let what = format!("\"{}\" has no lamp \"{}\" that is lit here", situation.fit().name, shortened(&said));
    desk.fault(node.span, what, choice_names(&said, &names, "lit are"));
    None
}

fn lamp_field(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<String> {
    let node = fields.need("lamp", |node, _| Some(node.clone()), desk)?;
    lamp(&node, situation, desk)
}

fn shadow_of(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<Asked> {
    let lamp = lamp_field(fields, situation, desk);
    let node = fields.need("offer", |node, _| Some(node.clone()), desk)?;
    let offer = enough(&node, list(&node, desk, "parts", name)?, desk)?;
    let known = solids(situation);
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    for (item, part) in node.items().iter().zip(&offer) {
        if !known.contains(&part.as_str()) {
            let what = format!("there is no part \"{}\" on {}", shortened(part), situation.scene.name);
            desk.fault(item.span, what, choice_names(part, &known, "the choice is"));
        }
    }
    Some(Asked::ShadowOf { lamp: lamp?, offer })
}

/// The names of all that can stand in the way.
fn solids(situation: &Situation) -> Vec<String> {
    let stance = situation.stance();
    let mut owners: Vec<Owner> = stance.posed().solids.iter().map(|solid| solid.owner).collect();
    owners.sort_unstable();
    owners.dedup();
    owners.into_iter().map(|owner| situation.scene.owner_name(situation.fit(), owner)).collect()
}

/// What a judgement can find of one lamp, and a lesson may offer.
const FOUND: [(&str, Kind); 12] = [
    ("WrongColour", Kind::WrongColour),
    ("WrongLamp", Kind::WrongLamp),
    ("Misplaced", Kind::Misplaced),
    ("NotUpright", Kind::NotUpright),
    ("NotParallel", Kind::NotParallel),
    ("TooWeak", Kind::TooWeak),
    ("Shadowed", Kind::Shadowed),
    ("AllRoundObscured", Kind::AllRoundObscured),
    ("Spill", Kind::Spill),
    ("CutTooSoon", Kind::CutTooSoon),
    ("TooBright", Kind::TooBright),
    ("TooLow", Kind::TooLow),
];

fn found(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<Asked> {
    let lamp = lamp_field(fields, situation, desk);
    let offer = fields.need(
        "offer",
        |node, desk| {
            enough(node, list(node, desk, "findings", |node, desk| word(node, desk, "finding", &FOUND))?, desk)
        },
        desk,
    );
    Some(Asked::Found { lamp: lamp?, offer: offer? })
}

fn cure(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<Asked> {
    let lamp = lamp_field(fields, situation, desk);
    let node = fields.need("offer", |node, _| Some(node.clone()), desk)?;
    let offer = list(&node, desk, "changes to try", tried)?;
    let words: Vec<&str> = offer.iter().map(|one| one.words.as_str()).collect();
    enough(&node, words, desk)?;
    for (item, one) in node.items().iter().zip(&offer) {
        if let Some(Mount::Pole(part) | Mount::Outboard(part)) = &one.mount
            && situation.scene.part(part).is_none()
        {
            let names: Vec<&str> = situation.scene.parts.iter().map(|part| part.name.as_str()).collect();
            let span = item.field("mount").map_or(item.head_span(), Node::head_span);
            desk.fault(
                span,
                format!("there is no part \"{}\"", shortened(part)),
                choice_names(part, &names, "there are"),
            );
        }
    }
    Some(Asked::Cure { lamp: lamp?, offer })
}

fn tried(node: &Node, desk: &mut Desk) -> Option<Try> {
    let metres = |node: &Node, desk: &mut Desk| Limits::within(-10.0, 10.0, "a move", " m").read(node, desk);
    let mut fields = Fields::open(node, "Try", desk)?;
    let words = fields.need("words", name, desk);
    let mount = fields.or("mount", |node, desk| mount(node, desk).map(Some), None, desk);
    let optics = fields.or("optics", |node, desk| optics(node, desk).map(Some), None, desk);
    let by = [
        fields.or("forward", metres, 0.0, desk),
        fields.or("starboard", metres, 0.0, desk),
        fields.or("up", metres, 0.0, desk),
    ];
    fields.finish(desk);
    let [forward, starboard, up] = by;
    Some(Try { words: words?, mount: mount?, by: (forward?, starboard?, up?), optics: optics? })
}

fn measured(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<Asked> {
    const WITHIN: Limits = Limits::above(0.0, 45.0, "a tolerance", "");
    let node = fields.need("measure", |node, _| Some(node.clone()), desk);
    let within = fields.need("within", |node, desk| WITHIN.read(node, desk), desk);
    let measure = measure(&node?, situation, desk);
    Some(Asked::Number { measure: measure?, within: within? })
}

fn measure(node: &Node, situation: &Situation, desk: &mut Desk) -> Option<Measure> {
    const MEASURES: [&str; 11] = [
        "Sector",
        "SectorPoints",
        "BearingPoints",
        "Shadow",
        "DarkLane",
        "DoubleLane",
        "From",
        "To",
        "Width",
        "Reach",
        "ToldApart",
    ];
    let head = node.head().unwrap_or("");
    let items: &[Node] = if let Value::Tuple { items, .. } = &node.value { items } else { &[] };
    match (head, items) {
        ("BearingPoints", []) => Some(Measure::BearingPoints),
        ("DarkLane", []) => Some(Measure::DarkLane),
        ("DoubleLane", []) => Some(Measure::DoubleLane),
        ("Sector", [one]) => light(one, desk).map(Measure::Sector),
        ("SectorPoints", [one]) => light(one, desk).map(Measure::SectorPoints),
        ("Shadow", [one]) => lamp(one, situation, desk).map(Measure::Shadow),
        ("Reach", [one]) => lamp(one, situation, desk).map(Measure::Reach),
        ("From", [one]) => colour(one, desk).map(Measure::From),
        ("To", [one]) => colour(one, desk).map(Measure::To),
        ("Width", [one]) => colour(one, desk).map(Measure::Width),
        ("ToldApart", [one, other]) => {
            let pair = (lamp(one, situation, desk), lamp(other, situation, desk));
            Some(Measure::ToldApart(pair.0?, pair.1?))
        }
        (known, _) if MEASURES.contains(&known) => {
            let mend = match known {
                "BearingPoints" | "DarkLane" | "DoubleLane" => format!("write `{known}` alone"),
                "Sector" | "SectorPoints" => format!("write `{known}(Sternlight)`"),
                "From" | "To" | "Width" => format!("write `{known}(Green)`"),
                "ToldApart" => "write `ToldApart(\"one lamp\", \"another\")`".into(),
                _ => format!("write `{known}(\"name of the lamp\")`"),
            };
            desk.fault(node.head_span(), format!("`{known}` is not written so"), mend);
            None
        }
        _ => {
            let what = format!("there is no measure `{}`", shortened(head));
            desk.fault(node.head_span(), what, choice_words(head, &MEASURES));
            None
        }
    }
}

fn light(node: &Node, desk: &mut Desk) -> Option<LightKind> {
    const LIGHTS: [(&str, LightKind); 5] = [
        ("Masthead", LightKind::Masthead),
        ("StarboardSidelight", LightKind::StarboardSidelight),
        ("PortSidelight", LightKind::PortSidelight),
        ("Sternlight", LightKind::Sternlight),
        ("AllRoundWhite", LightKind::AllRoundWhite),
    ];
    word(node, desk, "light", &LIGHTS)
}

fn change(fields: &mut Fields, situation: &Situation, desk: &mut Desk) -> Option<Asked> {
    let node = fields.need("control", |node, _| Some(node.clone()), desk);
    let range = fields.need("range", pair, desk);
    let until = fields.need("until", goal, desk);
    let span = fields.span("range");
    let control = control(&node?, situation, desk)?;
    let (least, most) = range?;
    if least >= most {
        desk.fault(span, "the range ends where it begins, or before", "write the least and then the most");
        return None;
    }
    let ends = if control == Control::Steer { steering(&situation.scene) } else { None };
    if let Some((low, high)) = ends.filter(|(low, high)| least < *low || most > *high) {
        desk.fault(span, format!("her outboard turns from {low} to {high} degrees"), "keep the range within that");
        return None;
    }
    Some(Asked::Change { control, least, most, until: until? })
}

fn control(node: &Node, situation: &Situation, desk: &mut Desk) -> Option<Control> {
    const CONTROLS: [&str; 6] = ["Steer", "Trim", "Heel", "Forward", "Starboard", "Up"];
    let head = node.head().unwrap_or("");
    let control = match (head, only(node)) {
        ("Steer", None) => Some(Control::Steer),
        ("Trim", None) => Some(Control::Trim),
        ("Heel", None) => Some(Control::Heel),
        ("Forward", Some(one)) => lamp(one, situation, desk).map(Control::Forward),
        ("Starboard", Some(one)) => lamp(one, situation, desk).map(Control::Starboard),
        ("Up", Some(one)) => lamp(one, situation, desk).map(Control::Up),
        (known, _) if CONTROLS.contains(&known) => {
            let mend = if matches!(known, "Steer" | "Trim" | "Heel") {
                format!("write `{known}` alone")
            } else {
                format!("write `{known}(\"name of the lamp\")`")
            };
            desk.fault(node.head_span(), format!("`{known}` is not written so"), mend);
            None
        }
        _ => {
            desk.fault(
                node.head_span(),
                format!("nothing goes by `{}`", shortened(head)),
                choice_words(head, &CONTROLS),
            );
            None
        }
    }?;
    if control == Control::Steer && steering(&situation.scene).is_none() {
        desk.fault(node.head_span(), "she has no outboard to steer", "change something else");
        return None;
    }
    let fixed = control.lamp().and_then(|name| situation.fit().lamps.iter().find(|lamp| lamp.name == name));
    if fixed.is_some_and(|lamp| lamp.at.is_none()) {
        desk.fault(
            node.head_span(),
            "this lamp stands on a pole, and has no place of its own to move",
            "name another lamp",
        );
        return None;
    }
    Some(control)
}
