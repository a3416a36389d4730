//! Whether the pieces of a scene can stand together: names, mounts, rings, and lamps clear of every solid.
//!
//! Takes the draft of a scene, faulty pieces left out, and adds a fault for each thing that cannot be. Must never
//! judge whether the lights are lawful.

use std::collections::{HashMap, HashSet};

use glam::DVec3;

use super::{
    decode::{Draft, FitDraft},
    fault::Span,
    fields::{Desk, choice_names},
    parts::PartDraft,
    switches::Named,
    text::{Node, Value},
};
use crate::{
    boat::{Conditions, Fit, Lamp, MOST_SETTINGS, Mount, Owner, Part, PartKind, Pose, Posed, Scene, setting_count},
    measure::{Metres, trimmed},
};

pub(super) fn scene(draft: &Draft, desk: &mut Desk) {
    no_twins("part", draft.parts.iter().map(|part| (part.name.as_deref(), part.node)), desk);
    no_twins("fit", draft.fits.iter().map(|fit| (fit.name.as_deref(), fit.node)), desk);
    near_ring(draft, desk);
    one_hull(draft, desk);
    steering(draft, desk);
    helm(draft, desk);
    for fit in &draft.fits {
        no_twins("lamp", fit.lamps.iter().map(|lamp| (lamp.name.as_deref(), lamp.node)), desk);
        for lamp in &fit.lamps {
            if let Some(mount) = &lamp.mount {
                carrier(mount, lamp.node, draft, desk);
            }
        }
        switches(fit, desk);
        wired(fit, desk);
    }
    lamps_in_the_open(draft, desk);
}

/// Where the name of a struct stands.
fn name_span(node: &Node) -> Span {
    node.field("name").map_or(node.head_span(), |name| name.span)
}

fn no_twins<'n>(what: &str, named: impl Iterator<Item = (Option<&'n str>, &'n Node)>, desk: &mut Desk) {
    let mut first: HashMap<&str, &Node> = HashMap::new();
    for (name, node) in named {
        let Some(name) = name else { continue };
        if let Some(earlier) = first.get(name) {
            let line = desk.faults.lines.line(name_span(earlier).start);
            let said = format!("there is already a {what} named \"{name}\", on line {line}");
            desk.fault(name_span(node), said, format!("give each {what} a name of its own"));
        } else {
            first.insert(name, node);
        }
    }
}

/// Whether one that cannot be found may be among these after all: it may be the one whose name could not be read, or one
/// of two that have the same.
fn may_be_misnamed(names: &[Option<&str>]) -> bool {
    let mut seen = HashSet::new();
    names.iter().any(|name| name.is_none() || !seen.insert(name))
}

/// An observer on the near ring must stand clear of the boat.
fn near_ring(draft: &Draft, desk: &mut Desk) {
    let (Some(vessel), Some(conditions)) = (&draft.vessel, &draft.conditions) else { return };
    let Conditions { near: Metres(near), .. } = conditions;
    let half = vessel.length.0 / 2.0;
    if *near > half {
        return;
    }
    let given = draft.conditions_node.and_then(|node| node.field("near"));
    let span = given.or(draft.vessel_node.field("length")).map_or(draft.vessel_node.head_span(), |node| node.span);
    let what = format!("the near ring of {} m does not clear a boat {} long", trimmed(*near, 3), vessel.length);
    desk.fault(span, what, format!("set `near` in `conditions` to more than {} m", trimmed(half, 2)));
}

/// She has one hull.
fn one_hull(draft: &Draft, desk: &mut Desk) {
    let hull = |part: &&PartDraft| matches!(&part.part, Some(Part { kind: PartKind::Mesh { as_hull: true, .. }, .. }));
    let mut hulls = draft.parts.iter().filter(hull);
    let Some(first) = hulls.next().and_then(|first| first.name.as_deref()) else { return };
    for another in hulls {
        let span = another.node.field("as_hull").map_or(another.node.head_span(), |node| node.span);
        let mend = "write `as_hull: true` for one mesh alone; what else belongs to her hull may be a mesh without it";
        desk.fault(span, format!("\"{first}\" is her hull already"), mend);
    }
}

/// She cannot be steered in use further than her outboard turns.
fn steering(draft: &Draft, desk: &mut Desk) {
    let Some(wanted) = draft.conditions.as_ref().map(|conditions| conditions.steering.0) else { return };
    for part in draft.parts.iter().filter_map(|part| part.part.as_ref()) {
        let PartKind::Outboard { steering, .. } = &part.kind else { continue };
        let limit = steering.most.min(-steering.least);
        let Some(given) = draft.conditions_node.and_then(|node| node.field("steering")) else { return };
        if wanted > limit {
            let (wanted, limit) = (trimmed(wanted, 1), trimmed(limit, 1));
            let what = format!("steering of {wanted} degrees to either side, where \"{}\" turns {limit}", part.name);
            desk.fault(given.span, what, format!("write {limit} or less, or give the outboard more"));
            return;
        }
    }
}

/// The part a mount names must be there and be of the kind that can carry it.
fn carrier(mount: &Mount, lamp: &Node, draft: &Draft, desk: &mut Desk) {
    let (name, wanted, word) = match mount {
        Mount::Pole(name) => (name, "Mast", "Pole"),
        Mount::Outboard(name) => (name, "Outboard", "Outboard"),
        _ => return,
    };
    let span = match lamp.field("mount").map(|mount| &mount.value) {
        Some(Value::Tuple { items, .. }) => items.first().map_or(lamp.head_span(), |item| item.span),
        _ => lamp.head_span(),
    };
    let need = Need { by: word, kind: wanted, otherwise: "choose another mount" };
    need.hold(name, span, draft, desk);
}

/// The helm must be a person's.
fn helm(draft: &Draft, desk: &mut Desk) {
    let (Some(name), Some(node)) = (&draft.helm, draft.helm_node) else { return };
    Need { by: "helm", kind: "Person", otherwise: "leave `helm` out" }.hold(name, node.span, draft, desk);
}

/// Something that names a part of one kind.
struct Need {
    /// What names it.
    by: &'static str,
    /// The kind the part must be of.
    kind: &'static str,
    /// What else may be done.
    otherwise: &'static str,
}

impl Need {
    fn hold(&self, name: &str, span: Span, draft: &Draft, desk: &mut Desk) {
        let all: Vec<_> = draft.parts.iter().map(|part| part.name.as_deref()).collect();
        let Self { by, kind: wanted, otherwise } = self;
        let part = draft.parts.iter().find(|part| part.name.as_deref() == Some(name));
        match part.map(|part| part.kind) {
            Some(Some(kind)) if kind != *wanted => {
                let mend = format!("name a part of kind `{wanted}`, or {otherwise}");
                desk.fault(span, format!("\"{name}\" is a `{kind}`, and `{by}` needs a `{wanted}`"), mend);
            }
            Some(_) => {}
            None if may_be_misnamed(&all) => {}
            None => {
                let fitting = draft.parts.iter().filter(|part| part.kind == Some(wanted));
                let names: Vec<_> = fitting.filter_map(|part| part.name.as_deref()).collect();
                let mend = match names.as_slice() {
                    [] => format!("add a `{wanted}(name: \"{name}\", ...)` to the parts"),
                    names => choice_names(name, names, "the choice is"),
                };
                desk.fault(span, format!("there is no part named \"{name}\""), mend);
            }
        }
    }
}

/// Switches and their positions have names of their own, feed lamps that are there, and are few enough to try all.
fn switches(fit: &FitDraft, desk: &mut Desk) {
    no_twins("switch", fit.switches.iter().map(|switch| (switch.name.as_deref(), switch.node)), desk);
    for positions in fit.switches.iter().filter_map(|switch| switch.positions.as_ref()) {
        no_twins("position", positions.iter().map(|position| (position.name.as_deref(), position.node)), desk);
        for named in positions.iter().filter_map(|position| position.lamps.as_ref()).flatten() {
            fed(named, fit, desk);
        }
    }
    let plan: Vec<_> = fit.switches.iter().filter_map(|switch| switch.switch(&fit.lamps)).collect();
    let count = setting_count(&plan);
    if let (Some(node), true) = (fit.switches_node, count > MOST_SETTINGS) {
        let what = format!("the switches have {count} settings together, and {MOST_SETTINGS} at most can be judged");
        desk.fault(
            node.head_span(),
            what,
            "leave out switches that feed no navigation light, or join what is always turned as one",
        );
    }
}

/// Circuits have names of their own, and all that the wiring names is there.
fn wired(fit: &FitDraft, desk: &mut Desk) {
    let Some(wiring) = &fit.wiring else { return };
    no_twins("circuit", wiring.circuits.iter().map(|circuit| (circuit.name.as_deref(), circuit.node)), desk);
    for circuit in &wiring.circuits {
        circuit.lamps.iter().for_each(|lamp| fed(lamp, fit, desk));
        if let Some(switch) = &circuit.switch {
            turned(switch, fit, desk);
        }
    }
    for (n, route) in wiring.routes.iter().enumerate() {
        let Some(lamp) = &route.lamp else { continue };
        fed(lamp, fit, desk);
        let earlier = wiring.routes[..n].iter().filter_map(|route| route.lamp.as_ref());
        if let Some(first) = earlier.into_iter().find(|first| first.lamp == lamp.lamp) {
            let line = desk.faults.lines.line(first.span.start);
            let what = format!("there is already a route to \"{}\", on line {line}", lamp.lamp);
            desk.fault(lamp.span, what, "keep one of the two");
        }
    }
}

/// A switch that a circuit names must be one of the fit's.
fn turned(named: &Named, fit: &FitDraft, desk: &mut Desk) {
    let all: Vec<_> = fit.switches.iter().map(|switch| switch.name.as_deref()).collect();
    if all.contains(&Some(named.lamp.as_str())) || may_be_misnamed(&all) {
        return;
    }
    let names: Vec<_> = all.into_iter().flatten().collect();
    let mend = match names.as_slice() {
        [] => "add it to the `switches` of the fit, or leave `switch` out".into(),
        names => choice_names(&named.lamp, names, "the switches are"),
    };
    desk.fault(named.span, format!("this fit has no switch named \"{}\"", named.lamp), mend);
}

/// A lamp that a switch names must be one of the fit's.
fn fed(named: &Named, fit: &FitDraft, desk: &mut Desk) {
    let all: Vec<_> = fit.lamps.iter().map(|lamp| lamp.name.as_deref()).collect();
    if all.contains(&Some(named.lamp.as_str())) || may_be_misnamed(&all) {
        return;
    }
    let names: Vec<_> = all.into_iter().flatten().collect();
    let mend = match names.as_slice() {
        [] => "add it to the lamps of the fit".into(),
        names => choice_names(&named.lamp, names, "the lamps are"),
    };
    desk.fault(named.span, format!("this fit has no lamp named \"{}\"", named.lamp), mend);
}

/// No lamp may have its middle inside a solid.
fn lamps_in_the_open(draft: &Draft, desk: &mut Desk) {
    let Some(vessel) = &draft.vessel else { return };
    let sound: Vec<Part> = draft.parts.iter().filter_map(|part| part.part.clone()).collect();
    let mut scene = Scene {
        name: String::new(),
        note: String::new(),
        vessel: vessel.clone(),
        conditions: Conditions::default(),
        parts: sound,
        helm: None,
        fits: Vec::new(),
    };
    for fit in &draft.fits {
        let (lamps, nodes) = placed_lamps(fit, &scene);
        let fit = Fit { name: String::new(), note: String::new(), lamps, switches: Vec::new(), wiring: None };
        let posed = scene.posed(&fit, &Pose::default());
        for (index, node) in nodes.iter().enumerate() {
            if let Some((what, mend)) = out_of_place(&fit.lamps[index], posed.lamps[index].centre, &scene) {
                desk.fault(node.field("at").unwrap_or(node).head_span(), what, mend);
                continue;
            }
            if let Some((owner, out)) = inside_of(index, &posed, &scene) {
                let what = format!("{} is inside {}", quoted(&fit.lamps[index].name), solid_words(&scene, &fit, owner));
                desk.fault(node.field("at").unwrap_or(node).head_span(), what, format!("move it about {out}"));
            }
        }
        scene.fits.clear();
    }
}

/// A lamp under water, or a flush one where there is no topside to be flush with: what is wrong and how to mend it.
fn out_of_place(lamp: &Lamp, centre: DVec3, scene: &Scene) -> Option<(String, String)> {
    let name = quoted(&lamp.name);
    if centre.z <= 0.0 {
        let deep = trimmed(-centre.z, 2);
        return Some((format!("{name} is {deep} m under water"), format!("raise it by more than {deep} m")));
    }
    let gunwale = scene.vessel.gunwale_height(centre.x);
    if lamp.mount == Mount::Flush && centre.z > gunwale {
        let over = trimmed(centre.z - gunwale, 2);
        let what = format!("{name} is flush in the topside, and {over} m above the gunwale there is none");
        return Some((what, format!("lower it by more than {over} m, or choose another mount")));
    }
    None
}

fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}

/// The lamps of a fit that can be placed, with their nodes: those without faults whose carrier is there.
fn placed_lamps<'n>(fit: &FitDraft<'n>, scene: &Scene) -> (Vec<Lamp>, Vec<&'n Node>) {
    let placeable = |lamp: &Lamp| match &lamp.mount {
        Mount::Pole(name) => matches!(scene.part(name), Some(Part { kind: PartKind::Mast { .. }, .. })),
        Mount::Outboard(name) => matches!(scene.part(name), Some(Part { kind: PartKind::Outboard { .. }, .. })),
        _ => true,
    };
    let sound = fit.lamps.iter().filter_map(|draft| Some((draft.lamp.clone()?, draft.node)));
    sound.filter(|(lamp, _)| placeable(lamp)).unzip()
}

fn solid_words(scene: &Scene, fit: &Fit, owner: Owner) -> String {
    let name = scene.owner_name(fit, owner);
    match owner {
        Owner::Part(index) => {
            let kind = scene.parts.get(index).map_or("part", |part| part.kind.in_words());
            format!("the {kind} \"{name}\"")
        }
        Owner::Piece { part, .. } => {
            let whole = scene.parts.get(part).map_or("", |part| part.name.as_str());
            format!("\"{name}\" of the mesh \"{whole}\"")
        }
        _ => name,
    }
}

/// The solid that a lamp's middle lies in, its own mount apart, and the shortest way into the open in words.
fn inside_of(lamp: usize, posed: &Posed, scene: &Scene) -> Option<(Owner, String)> {
    let placed = posed.lamps.get(lamp)?;
    let owner_at = |point: DVec3| {
        let mut others = posed.solids.iter().filter(|solid| solid.owner != Owner::Mount(lamp));
        let solid = others.find(|solid| solid.shape.contains(point)).map(|solid| solid.owner);
        // A mesh may be open, and then has no inside.
        let in_hull = scene.own_hull().is_none() && scene.vessel.contains(point);
        if in_hull { Some(Owner::Hull) } else { solid }
    };
    let owner = owner_at(placed.centre)?;
    Some((owner, way_out(placed.centre, placed.face.radius(), &|point| owner_at(point).is_some())))
}

/// The shortest of five straight ways out of every solid, and `clear` further: "0.15 m up".
fn way_out(from: DVec3, clear: f64, inside: &dyn Fn(DVec3) -> bool) -> String {
    const STEP: f64 = 0.01;
    let ways = [
        (DVec3::Z, "up"),
        (DVec3::Y, "to port"),
        (DVec3::NEG_Y, "to starboard"),
        (DVec3::X, "forward"),
        (DVec3::NEG_X, "aft"),
    ];
    let steps = |way: DVec3| (1..=4000u32).find(|step| !inside(from + way * f64::from(*step) * STEP));
    let shortest = ways.iter().filter_map(|(way, words)| Some((steps(*way)?, words))).min_by_key(|(steps, _)| *steps);
    match shortest {
        Some((steps, words)) => format!("{} m {words}", trimmed(f64::from(steps) * STEP + clear, 2)),
        None => "40 m".into(),
    }
}
