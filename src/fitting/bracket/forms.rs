//! Brackets that are not folded: wedges, pole sockets and cowling pads.
//!
//! Takes the job and what the scene asks for; gives pieces and what is wrong with them.

use std::f64::consts::PI;

use glam::DVec2;

use super::{
    Hole, Job, Made, Piece, Purpose, common_notes,
    holes::{checked, fastener_field, lamp_holes},
    metals,
    outline::{Stroke, circle, rounded},
};
use crate::{
    boat::{
        Mount, PartKind,
        bracket::{Fixing, MM, Pad, Screws, Socket, Wedge, foot_of},
    },
    fitting::{
        Finding,
        data::{bolt, bolts, metal, rules},
        fasteners::joint,
    },
    measure::trimmed,
};

fn mm(value: f64) -> String {
    format!("{} mm", trimmed(value, 1))
}

/// A rectangle about the origin, `across` wide and `along` high.
fn rectangle(across: f64, along: f64, corner: f64) -> Option<Vec<Stroke>> {
    let (x, y) = (across / 2.0, along / 2.0);
    rounded(&[(-x, -y), (x, -y), (x, y), (-x, y)].map(|(x, y)| (DVec2::new(x, y), corner)))
}

/// What a flat plate under a lamp has: screws, cable, and fasteners near its corners.
fn flat_holes(across: f64, along: f64, screws: &Screws, gland: f64, fixing: &Fixing) -> Vec<Hole> {
    let mut holes = lamp_holes(screws, gland, DVec2::ZERO, DVec2::Y);
    let margin = rules().edge.value * fixing.fastener.diameter();
    let far = DVec2::new(across, along) / 2.0 - margin;
    holes.extend(fastener_field(fixing, -far, far));
    holes
}

fn no_corners(corner: f64) -> Finding {
    Finding::fault("corners", format!("corners of {} do not fit", mm(corner)), "write a smaller `corner`")
}

pub(super) fn wedge(job: &Job, asked: &Wedge) -> Made {
    let mut made = Made { title: format!("Wedge of {}", asked.material), notes: common_notes(), ..Made::default() };
    let Some((thickness, seat)) = asked.thickness(job.scene, job.posed) else {
        let what = "what lies below the lamp is a wall to it: no wedge stands on it";
        made.shape.push(Finding::fault("nothing to stand on", what, "set the lamp upright over the deck"));
        return made;
    };
    let (ahead, port) = (asked.length / 2.0, asked.width / 2.0);
    // Anticlockwise seen from above, ahead up: aft to port, aft to starboard, ahead to starboard, ahead to port.
    let corners = [(-ahead, port), (-ahead, -port), (ahead, -port), (ahead, port)];
    let high = corners.map(|(ahead, port)| thickness(ahead, port));
    let thinnest = high.iter().copied().fold(f64::INFINITY, f64::min);
    if thinnest < asked.least - 1e-9 {
        let what = format!("its thinnest corner is {}, and {} is the least", mm(thinnest), mm(asked.least));
        let mend = format!("raise the lamp by {} in the scene", mm((asked.least - thinnest).ceil()));
        made.shape.push(Finding::fault("too thin", what, mend));
    }
    if !seat.aboard {
        let what = "it stands outboard of the deck's edge";
        made.shape.push(Finding::fault("nothing to stand on", what, "move the lamp inboard"));
    }
    let (joint, findings) = joint(&asked.fixing, thickness(0.0, 0.0));
    made.joint = Some(joint);
    made.fixing = findings;
    made.fixing.extend(metals(("wedge", &asked.material), &asked.fixing, &asked.screws));
    let slopes = [thickness(1.0, 0.0), thickness(0.0, -1.0)].map(|one| (one - thickness(0.0, 0.0)).atan().to_degrees());
    made.facts = vec![
        ("size", format!("{} fore-and-aft by {} athwartships", mm(asked.length), mm(asked.width))),
        (
            "slopes",
            format!(
                "its underside falls {} degrees going forward and {} going to starboard (minus: it rises)",
                trimmed(slopes[0], 1),
                trimmed(slopes[1], 1)
            ),
        ),
        (
            "corners",
            format!(
                "{} aft to port, {} aft to starboard, {} forward to starboard, {} forward to port",
                mm(high[0]),
                mm(high[1]),
                mm(high[2]),
                mm(high[3])
            ),
        ),
    ];
    wedge_pieces(&mut made, asked, high);
    made
}

fn wedge_pieces(made: &mut Made, asked: &Wedge, high: [f64; 4]) {
    let Some(outline) = rectangle(asked.width, asked.length, asked.corner) else {
        made.shape.push(no_corners(asked.corner));
        return;
    };
    let holes = flat_holes(asked.width, asked.length, &asked.screws, asked.gland, &asked.fixing);
    made.shape.extend(checked(&holes, &outline));
    let mut plan = Piece::plain("plan, seen from above, ahead up", outline, holes);
    let (x, y) = (asked.width / 2.0, asked.length / 2.0);
    plan.marks = [(-x, -y), (x, -y), (x, y), (-x, y)]
        .iter()
        .zip(high)
        .map(|((x, y), high)| (DVec2::new(x * 0.55, y * 0.8), trimmed(high, 1)))
        .collect();
    made.pieces.push(plan);
    let [aft_port, aft_starboard, fore_starboard, fore_port] = high;
    // Each side as it is seen from outside: left end, right end.
    for (name, length, left, right) in [
        ("starboard side", asked.length, aft_starboard, fore_starboard),
        ("port side", asked.length, fore_port, aft_port),
        ("after end", asked.width, aft_port, aft_starboard),
        ("fore end", asked.width, fore_starboard, fore_port),
    ] {
        let half = length / 2.0;
        let corners = [(-half, -left), (half, -right), (half, 0.0), (-half, 0.0)];
        if let Some(outline) = rounded(&corners.map(|(x, y)| (DVec2::new(x, y), 0.0))) {
            made.pieces.push(Piece::plain(name, outline, Vec::new()));
        }
    }
    made.notes
        .push("Scribe the four sides on the block and plane the underside to the lines; its top is level.".into());
}

pub(super) fn socket(job: &Job, asked: &Socket) -> Made {
    let rules = rules();
    let mut made = Made { title: format!("Pole socket of {}", asked.metal), notes: common_notes(), ..Made::default() };
    let Mount::Pole(name) = &job.lamp.mount else { return made };
    let Some(PartKind::Mast { diameter, height, .. }) = job.scene.part(name).map(|part| &part.kind) else {
        let what = format!("there is no pole \"{name}\"");
        made.shape.push(Finding::fault("nothing to stand on", what, "name the pole in the lamp's mount"));
        return made;
    };
    let (inside, outside) = asked.diameters(diameter / MM);
    if asked.depth * MM > *height {
        let what = format!("it reaches {} down a pole of {}", mm(asked.depth), mm(height / MM));
        made.shape.push(Finding::fault("too deep", what, "write a smaller `depth`"));
    }
    let Some(screw) = bolt(asked.screw) else {
        let sizes: Vec<String> = bolts().iter().map(|bolt| trimmed(bolt.diameter, 1)).collect();
        let what = format!("there is no screw of {} in the table", mm(asked.screw));
        made.shape.push(Finding::fault("set screws", what, format!("write one of {} mm", sizes.join(", "))));
        return made;
    };
    let due = rules.threads_in_wall.value * screw.pitch;
    if asked.wall < due - 1e-9 {
        let what = format!(
            "a wall of {} holds a set screw of {} by less than {} threads",
            mm(asked.wall),
            mm(asked.screw),
            trimmed(rules.threads_in_wall.value, 0)
        );
        let mend = format!("write `wall: {}`, or a smaller `screw`", trimmed(due, 1));
        made.shape.push(Finding::fault("set screws", what, mend).by(&rules.threads_in_wall.source));
    }
    if asked.clearance <= 0.0 {
        made.shape.push(Finding::fault(
            "clearance",
            "without clearance it does not slide over the pole",
            "write `clearance: 0.4`",
        ));
    }
    if metal(&asked.metal).is_none() {
        let what = format!("nothing is known of \"{}\" in sea water", asked.metal);
        made.fixing.push(Finding::caution("unknown material", what, "isolate it from the pole and the lamp"));
    }
    made.facts = vec![
        ("pole", format!("\"{name}\", {} through", mm(diameter / MM))),
        ("tube", format!("{} inside, {} outside, {} long", mm(inside), mm(outside), mm(asked.depth))),
        (
            "screws",
            format!(
                "{} of {}, {} degrees apart, half-way up; drill {} and tap",
                asked.set_screws,
                mm(asked.screw),
                trimmed(360.0 / f64::from(asked.set_screws), 1),
                mm(screw.tapping)
            ),
        ),
    ];
    socket_pieces(&mut made, asked, (inside, outside), screw.tapping);
    made
}

fn socket_pieces(made: &mut Made, asked: &Socket, (inside, outside): (f64, f64), drill: f64) {
    let round = PI * outside;
    let tapped = |x: f64| Hole { at: DVec2::new(x, 0.0), drill, size: asked.screw, purpose: Purpose::SetScrew };
    let count = f64::from(asked.set_screws);
    let places = (0..asked.set_screws).map(|n| (f64::from(n) + 0.5) / count * round - round / 2.0);
    let holes: Vec<Hole> = places.map(tapped).collect();
    let Some(wrap) = rectangle(round, asked.depth, 0.0) else { return };
    made.shape.extend(checked(&holes, &wrap));
    made.pieces.push(Piece::plain("template: cut from paper and wrap round the tube", wrap, holes));
    let mut end = Piece::plain("tube, seen on its end", circle(DVec2::ZERO, outside / 2.0), Vec::new());
    end.inner = circle(DVec2::ZERO, inside / 2.0);
    made.pieces.push(end);
    made.notes.push(
        "Close the upper end with a plate for the lamp, and lead the cable out below it with a drip loop.".into(),
    );
    made.notes.push("Dimple the pole under each set screw, so that the lamp cannot turn.".into());
}

pub(super) fn pad(job: &Job, asked: &Pad) -> Made {
    let rules = rules();
    let mut made = Made {
        title: format!("Cowling pad of {} {}", mm(asked.thickness), asked.metal),
        notes: common_notes(),
        ..Made::default()
    };
    let (joint, findings) = joint(&asked.fixing, asked.thickness);
    made.joint = Some(joint);
    made.fixing = findings;
    made.fixing.extend(metals(("pad", &asked.metal), &asked.fixing, &asked.screws));
    if asked.fixing.washer <= 0.0 {
        let what = "nothing stands behind the cowling's shell, which is thin and shakes";
        made.shape.push(Finding::fault("no backing", what, "write `washer: 2`: the thickness of the backing plate"));
    }
    if let Some(off) = off_cowling(job, asked).filter(|off| off.abs() > rules.off_cowling.value) {
        let (word, mend) = if off > 0.0 { ("above", "lower") } else { ("inside", "raise") };
        let what = format!("the pad comes out {} {word} the top of the cowling", mm(off.abs()));
        let mend = format!("{mend} the lamp by {} in the scene", mm(off.abs()));
        made.shape.push(Finding::fault("off the cowling", what, mend).by(&rules.off_cowling.source));
    }
    made.facts = vec![("size", format!("{} fore-and-aft by {} athwartships", mm(asked.length), mm(asked.width)))];
    let Some(outline) = rectangle(asked.width, asked.length, asked.corner) else {
        made.shape.push(no_corners(asked.corner));
        return made;
    };
    let holes = flat_holes(asked.width, asked.length, &asked.screws, asked.gland, &asked.fixing);
    made.shape.extend(checked(&holes, &outline));
    let behind: Vec<Hole> = holes.iter().filter(|hole| hole.purpose != Purpose::LampScrew).copied().collect();
    made.pieces = vec![
        Piece::plain("pad, seen from above, ahead up", outline.clone(), holes),
        Piece::plain(&format!("backing plate of {}, inside the shell", mm(asked.fixing.washer)), outline, behind),
    ];
    made.notes.push("The lamp turns with the engine: its sector is not held while she is steered.".into());
    made.notes.push("Leave slack in the cable for steering and tilting, and keep it clear of the flywheel.".into());
    made
}

/// How far above the top of its cowling a pad comes out, the engine at rest, millimetres.
fn off_cowling(job: &Job, asked: &Pad) -> Option<f64> {
    let Mount::Outboard(name) = &job.lamp.mount else { return None };
    let PartKind::Outboard { at, cowling, .. } = &job.scene.part(name)?.kind else { return None };
    let top = job.scene.vessel.locate(at).z + cowling.z;
    Some((foot_of(job.posed).z - top) / MM - asked.thickness - asked.fixing.sealant)
}
