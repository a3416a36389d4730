//! Fasteners through a bracket and a deck: how long, which drill, and what two metals do to one another in sea water.
//!
//! Takes thicknesses and materials; gives lengths and findings. Millimetres. Must never know of a scene or a lamp.

use serde::Serialize;

use super::{
    Finding,
    data::{bolt, bolt_lengths, bolts, inert, materials, metal, rivet, rivets, rules},
};
use crate::{
    boat::bracket::{Fastener, Fixing},
    measure::trimmed,
};

/// One fastener with all that it closes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Joint {
    pub fastener: Fastener,
    pub metal: String,
    /// What lies between its heads once closed, with the gap that it must close first.
    pub grip: f64,
    /// What the grip is made of, in words with figures.
    pub layers: String,
    /// By rule of thumb: grip and 1.5 diameters for a rivet; grip, washers, nut and two threads for a bolt.
    pub wanted: f64,
    /// The length to buy; `None` where none is sold that fits.
    pub length: Option<f64>,
    /// Least and most grip of a rivet of that length.
    pub range: Option<(f64, f64)>,
    /// The drill for its hole, from and to.
    pub drill: (f64, f64),
}

fn mm(value: f64) -> String {
    format!("{} mm", trimmed(value, 2))
}

/// The fastener that closes a plate of this thickness on its deck, and what is wrong with it.
pub fn joint(fixing: &Fixing, plate: f64) -> (Joint, Vec<Finding>) {
    let grip = plate + fixing.sealant + fixing.gap + fixing.deck.thickness + fixing.washer;
    let named = [
        ("plate", plate),
        ("sealant", fixing.sealant),
        ("gap", fixing.gap),
        ("deck", fixing.deck.thickness),
        ("washer behind", fixing.washer),
    ];
    let layers: Vec<String> = named
        .iter()
        .filter(|(_, size)| *size > 0.0)
        .map(|(name, size)| format!("{name} {}", trimmed(*size, 2)))
        .collect();
    let mut joint = Joint {
        fastener: fixing.fastener,
        metal: fixing.metal().into(),
        grip,
        layers: layers.join(" + "),
        wanted: grip,
        length: None,
        range: None,
        drill: (0.0, 0.0),
    };
    let findings = match fixing.fastener {
        Fastener::Rivet { diameter, length } => riveted(&mut joint, diameter, length, fixing),
        Fastener::Bolt { diameter, length } => bolted(&mut joint, diameter, length),
    };
    (joint, findings)
}

fn unknown(what: &str, diameter: f64, known: &[f64]) -> Finding {
    let sizes: Vec<String> = known.iter().map(|size| trimmed(*size, 1)).collect();
    let said = format!("there is no {what} of {} in the table", mm(diameter));
    Finding::fault("fastener", said, format!("write one of {} mm", sizes.join(", ")))
}

fn riveted(joint: &mut Joint, diameter: f64, asked: Option<f64>, fixing: &Fixing) -> Vec<Finding> {
    let rules = rules();
    joint.wanted = joint.grip + rules.rivet_over.value * diameter;
    let Some(row) = rivet(diameter) else {
        joint.drill = (diameter + 0.1, diameter + 0.2);
        let known: Vec<f64> = rivets().iter().map(|rivet| rivet.diameter).collect();
        return vec![unknown("blind rivet", diameter, &known)];
    };
    joint.drill = row.hole;
    let grip = joint.grip;
    let closes = |(_, least, most): &&(f64, f64, f64)| grip >= *least - 1e-9 && grip <= *most + 1e-9;
    let fits = row.lengths.iter().find(closes);
    let mut findings = Vec::new();
    let chosen = match asked {
        None => fits,
        Some(length) => row.lengths.iter().find(|(stock, ..)| (stock - length).abs() < 1e-6),
    };
    joint.length = chosen.map(|(length, ..)| *length).or(asked);
    joint.range = chosen.map(|(_, least, most)| (*least, *most));
    let better = || match fits {
        Some((length, ..)) => format!("take {} mm", trimmed(*length, 1)),
        None => "take a bolt, or a rivet of another diameter".into(),
    };
    match (asked, chosen) {
        (None, None) => {
            let most = row.lengths.last().map_or(0.0, |(_, _, most)| *most);
            let least = row.lengths.first().map_or(0.0, |(_, least, _)| *least);
            let what = format!(
                "no blind rivet of {} closes a grip of {}: those sold close {} to {}",
                mm(diameter),
                mm(grip),
                mm(least),
                mm(most)
            );
            findings.push(Finding::fault(
                if grip > most { "rivet too short" } else { "rivet too long" },
                what,
                "write `fasteners: Bolt(6)`, or a rivet of another diameter",
            ));
        }
        (Some(length), None) => {
            let what = format!("a rivet of {} is not sold {} long", mm(diameter), mm(length));
            findings.push(Finding::fault("rivet length", what, better()));
        }
        (Some(length), Some((_, least, most))) if grip > *most + 1e-9 || grip < *least - 1e-9 => {
            let short = grip > *most;
            let what = format!(
                "a rivet {} long closes {} to {}, and the grip is {}",
                mm(length),
                mm(*least),
                mm(*most),
                mm(grip)
            );
            findings.push(Finding::fault(if short { "rivet too short" } else { "rivet too long" }, what, better()));
        }
        _ => {}
    }
    let soft = inert(&fixing.deck.material).is_some_and(|deck| deck.soft);
    if soft && fixing.washer == 0.0 {
        let what = format!("a blind rivet pulls through {} without a washer behind it", fixing.deck.material);
        findings.push(
            Finding::caution("no washer", what, "write `washer: 1`, and put one over each rivet before it is set")
                .by("fastenermart.com/understanding-blind-rivets.html, on soft materials"),
        );
    }
    findings
}

fn bolted(joint: &mut Joint, diameter: f64, asked: Option<f64>) -> Vec<Finding> {
    let Some(row) = bolt(diameter) else {
        joint.drill = (diameter + 0.5, diameter + 0.5);
        let known: Vec<f64> = bolts().iter().map(|bolt| bolt.diameter).collect();
        return vec![unknown("bolt", diameter, &known)];
    };
    joint.drill = (row.hole, row.hole);
    joint.wanted = joint.grip + 2.0 * row.washer + row.nut + rules().threads_out.value * row.pitch;
    let fits = bolt_lengths().iter().copied().find(|length| *length >= joint.wanted - 1e-9);
    joint.length = asked.or(fits);
    let longest = bolt_lengths().last().copied().unwrap_or_default();
    match (asked, fits) {
        (Some(length), _) if length < joint.wanted - 1e-9 => {
            let what = format!(
                "a bolt {} long is too short: grip, two washers, nut and two threads come to {}",
                mm(length),
                mm(joint.wanted)
            );
            let mend = fits.map_or("take studding".into(), |length| format!("take {} mm", trimmed(length, 1)));
            vec![Finding::fault("bolt too short", what, mend)]
        }
        (None, None) => {
            let what =
                format!("{} of bolt are needed, and the longest in the table is {}", mm(joint.wanted), mm(longest));
            vec![Finding::fault("bolt too short", what, "take studding, and write its length")]
        }
        _ => Vec::new(),
    }
}

/// A part of a joint and what it is of.
#[derive(Clone, Copy, Debug)]
pub struct Piece<'a> {
    /// "plate", "deck", "fasteners", "lamp screws".
    pub name: &'a str,
    pub material: &'a str,
    /// Whether it is small beside what it touches.
    pub small: bool,
}

/// What the pieces of a joint do to one another in sea water: every two that touch.
pub fn galvanic(pairs: &[[Piece; 2]]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for pair in pairs {
        for piece in pair {
            let known = metal(piece.material).is_some() || inert(piece.material).is_some();
            let said = format!("nothing is known of the {} of \"{}\"", piece.name, piece.material);
            if !known && findings.iter().all(|told: &Finding| told.what != said) {
                let names: Vec<&str> = materials().collect();
                let mend = format!("what is known: {}", names.join(", "));
                findings.push(Finding::caution("unknown material", said, mend));
            }
        }
        findings.extend(eaten(pair));
    }
    findings
}

fn eaten([one, other]: &[Piece; 2]) -> Option<Finding> {
    let rules = rules();
    let (first, second) = (metal(one.material)?, metal(other.material)?);
    let apart = (first.volts - second.volts).abs();
    if apart <= rules.galvanic.value {
        return None;
    }
    let (lesser, nobler) = if first.volts < second.volts { (one, other) } else { (other, one) };
    let verb = |piece: &Piece| if piece.name.ends_with('s') { "are" } else { "is" };
    let what = format!(
        "the {} ({}) and the {} ({}) differ by {} V in sea water: the {} {} eaten",
        lesser.name,
        lesser.material,
        nobler.name,
        nobler.material,
        trimmed(apart, 2),
        lesser.name,
        verb(lesser)
    );
    Some(if lesser.small && !nobler.small {
        let mend = format!(
            "a small lesser metal beside a large nobler one goes fast: take {} of {} or of a nobler metal",
            lesser.name, nobler.material
        );
        Finding::fault("metals", what, mend)
            .by("MIL-STD-1250A, 5.6 f and 5.7 a, at metalfinishesandfinishingprocessesa.emilspec.com")
    } else if nobler.small {
        let mend = format!(
            "isolate the {} from the {}: sleeves and washers of nylon, all bedded in sealant, bare metal painted",
            nobler.name, lesser.name
        );
        Finding::caution("metals", what, mend).by(&rules.galvanic.source)
    } else {
        let mend = format!(
            "isolate the {} from the {}: a gasket or a full bed of sealant between, both painted first",
            lesser.name, nobler.name
        );
        Finding::caution("metals", what, mend).by(&rules.galvanic.source)
    })
}
