//! Edits made in memory, without any text: what the scene read from an edited file must equal.

use std::sync::Arc;

use lampwalk::{
    boat::{Fit, Height, Lamp, Mount, Part, PartKind, Place, Scene},
    edit::{Edit, Figure, LampAt, Spot, Subject},
    light::preset,
    measure::{Degrees, Metres},
};

fn written(value: f64, places: usize) -> f64 {
    format!("{value:.places$}").parse::<f64>().unwrap() + 0.0
}

/// A figure as a file has it after it was set: one that is the same as written stays to the last digit.
fn settle(old: &mut f64, new: f64, places: usize) {
    let new = written(new, places);
    if written(*old, places) != new {
        *old = new;
    }
}

fn settle_place(old: &mut Place, new: &Place) {
    settle(&mut old.forward, new.forward, 3);
    settle(&mut old.starboard, new.starboard, 3);
    let (Height::AboveDeck(to) | Height::AboveGunwale(to) | Height::AboveWaterline(to)) = new.height;
    match (&mut old.height, new.height) {
        (Height::AboveDeck(up), Height::AboveDeck(_))
        | (Height::AboveGunwale(up), Height::AboveGunwale(_))
        | (Height::AboveWaterline(up), Height::AboveWaterline(_)) => settle(up, to, 3),
        (level, new) => {
            // The number stays as written where only the level it is measured from changes.
            let (Height::AboveDeck(was) | Height::AboveGunwale(was) | Height::AboveWaterline(was)) = *level;
            let mut up = was;
            settle(&mut up, to, 3);
            *level = match new {
                Height::AboveDeck(_) => Height::AboveDeck(up),
                Height::AboveGunwale(_) => Height::AboveGunwale(up),
                Height::AboveWaterline(_) => Height::AboveWaterline(up),
            };
        }
    }
}

fn lamp(scene: &mut Scene, at: LampAt) -> &mut Lamp {
    &mut scene.fits[at.fit].lamps[at.lamp]
}

fn place_of(kind: &mut PartKind, nth: usize) -> &mut Place {
    match kind {
        PartKind::Rail { through, .. } => &mut through[nth],
        PartKind::Capsule { from, to, .. } => [from, to].into_iter().nth(nth).unwrap(),
        PartKind::Stanchion { at, .. }
        | PartKind::Cabin { at, .. }
        | PartKind::Windscreen { at, .. }
        | PartKind::Outboard { at, .. }
        | PartKind::Mast { at, .. }
        | PartKind::Antenna { at, .. }
        | PartKind::Arch { at, .. }
        | PartKind::Person { at, .. }
        | PartKind::Fender { at, .. }
        | PartKind::Screen { at, .. }
        | PartKind::Box { at, .. }
        | PartKind::Cylinder { at, .. }
        | PartKind::Mesh { at, .. } => at,
    }
}

/// Makes an edit in a scene. `says_steering` tells whether its file says how far she is steered in use.
pub fn make(scene: &mut Scene, edit: &Edit, says_steering: bool) {
    make_one(scene, edit);
    let set = matches!(edit, Edit::Set { figure: Figure::SteeringInUse, .. });
    if !says_steering && !set {
        let limits = scene.parts.iter().filter_map(|part| match &part.kind {
            PartKind::Outboard { steering, .. } => Some(steering.most.min(-steering.least).max(0.0)),
            _ => None,
        });
        scene.conditions.steering = Degrees(limits.min_by(f64::total_cmp).unwrap_or(0.0));
    }
}

fn make_one(scene: &mut Scene, edit: &Edit) {
    match edit {
        Edit::Move { what: Spot::Lamp(at), to } => settle_place(lamp(scene, *at).at.as_mut().unwrap(), to),
        Edit::Move { what: Spot::Part { part, nth }, to } => {
            settle_place(place_of(&mut scene.parts[*part].kind, *nth), to);
        }
        Edit::Set { what, figure, to } => set(scene, *what, *figure, *to),
        Edit::Trim { least, most } => {
            settle(&mut scene.conditions.trim.0.0, least.0, 2);
            settle(&mut scene.conditions.trim.1.0, most.0, 2);
        }
        Edit::Eyes(eyes) => {
            let old = scene.conditions.eyes.clone();
            let settled = eyes.iter().enumerate().map(|(n, eye)| {
                let mut value = old.get(n).map_or(f64::NAN, |old| old.0);
                if value.is_nan() {
                    value = written(eye.0, 3);
                }
                settle(&mut value, eye.0, 3);
                Metres(value)
            });
            scene.conditions.eyes = settled.collect();
        }
        Edit::Postures { part, postures: new } => {
            let PartKind::Person { postures, .. } = &mut scene.parts[*part].kind else { panic!("no person") };
            postures.clone_from(new);
        }
        Edit::Helm(person) => scene.helm = person.map(|part| scene.parts[part].name.clone()),
        Edit::Remount { lamp: at, mount, at: place } => {
            let lamp = lamp(scene, *at);
            lamp.mount = mount.clone();
            match (mount, place, &mut lamp.at) {
                (Mount::Pole(_), _, at) => *at = None,
                (_, Some(place), Some(at)) => settle_place(at, place),
                (_, Some(place), at) => {
                    let mut settled = Place::default();
                    settle_place(&mut settled, place);
                    *at = Some(settled);
                }
                _ => {}
            }
        }
        Edit::Role { lamp: at, role } => lamp(scene, *at).role = *role,
        Edit::Optics { lamp: at, name } => {
            let old = lamp(scene, *at);
            let made = preset(name).unwrap();
            old.optics = match old.optics.supply.clone() {
                Some(supply) => Arc::new(made.fed(supply)),
                None => made,
            };
        }
        Edit::Lit { lamp: at, lit } => lamp(scene, *at).lit.clone_from(lit),
        Edit::Face { lamp: at, face } => {
            let old = &mut lamp(scene, *at).face;
            settle(&mut old.width, face.width, 4);
            settle(&mut old.height, face.height, 4);
            (old.form, old.bright) = (face.form, face.bright);
        }
        Edit::Rename { what, name } => rename(scene, *what, name),
        Edit::Note { what: Subject::Scene, note } => scene.note.clone_from(note),
        Edit::Note { what: Subject::Fit(fit), note } => scene.fits[*fit].note.clone_from(note),
        Edit::Note { .. } => {}
        Edit::AddLamp { at, lamp } => insert(&mut scene.fits[at.fit], at.lamp, lamp.as_ref().clone()),
        Edit::AddPart { at, part } => scene.parts.insert(*at, part.as_ref().clone()),
        Edit::AddMesh { .. } => panic!("what is in a mesh is told by its file"),
        Edit::Copy { what, name } => copy(scene, *what, name),
        Edit::Remove(what) => remove(scene, *what),
        Edit::All { edits, .. } => edits.iter().for_each(|edit| make_one(scene, edit)),
    }
}

fn set(scene: &mut Scene, what: Subject, figure: Figure, to: f64) {
    let places = figure.places();
    match what {
        Subject::Lamp(at) => {
            let lamp = lamp(scene, at);
            match figure {
                Figure::Yaw => settle(&mut lamp.yaw.0, to, places),
                Figure::Tilt => settle(&mut lamp.tilt.0, to, places),
                Figure::Roll => settle(&mut lamp.roll.0, to, places),
                _ => panic!("{figure:?} of a lamp"),
            }
        }
        Subject::Part(part) => settle(figure_of_part(&mut scene.parts[part].kind, figure), to, places),
        Subject::Scene => {
            let (vessel, conditions) = (&mut scene.vessel, &mut scene.conditions);
            let old = match figure {
                Figure::Visibility => &mut conditions.visibility.0,
                Figure::NearRing => &mut conditions.near.0,
                Figure::FarRing => &mut conditions.far.0,
                Figure::Heel => &mut conditions.heel.0,
                Figure::SteeringInUse => &mut conditions.steering.0,
                Figure::Swell => &mut conditions.swell.0,
                Figure::VesselLength => &mut vessel.length.0,
                Figure::Beam => &mut vessel.beam.0,
                Figure::Freeboard => &mut vessel.freeboard.0,
                Figure::Depth => &mut vessel.depth.0,
                Figure::TopSpeed => &mut vessel.top_speed.0,
                Figure::Sheer => &mut vessel.hull.sheer.0,
                Figure::Flare => &mut vessel.hull.flare.0,
                Figure::DeckCamber => &mut vessel.hull.deck_camber.0,
                Figure::Bulwark => &mut vessel.hull.bulwark.0,
                Figure::Transom => &mut vessel.hull.transom,
                _ => panic!("{figure:?} of the scene"),
            };
            settle(old, to, places);
        }
        Subject::Fit(_) => panic!("a fit has no figures"),
    }
}

fn figure_of_part(kind: &mut PartKind, figure: Figure) -> &mut f64 {
    use PartKind as Kind;
    match (figure, kind) {
        (
            Figure::Height,
            Kind::Stanchion { height, .. }
            | Kind::Cylinder { height, .. }
            | Kind::Cabin { height, .. }
            | Kind::Box { height, .. }
            | Kind::Windscreen { height, .. }
            | Kind::Mast { height, .. }
            | Kind::Antenna { height, .. }
            | Kind::Arch { height, .. }
            | Kind::Person { height, .. },
        ) => height,
        (
            Figure::Diameter,
            Kind::Stanchion { diameter, .. }
            | Kind::Cylinder { diameter, .. }
            | Kind::Rail { diameter, .. }
            | Kind::Capsule { diameter, .. }
            | Kind::Mast { diameter, .. }
            | Kind::Antenna { diameter, .. }
            | Kind::Arch { diameter, .. }
            | Kind::Fender { diameter, .. },
        ) => diameter,
        (Figure::Length, Kind::Cabin { length, .. } | Kind::Box { length, .. } | Kind::Fender { length, .. }) => length,
        (
            Figure::Width,
            Kind::Cabin { width, .. }
            | Kind::Box { width, .. }
            | Kind::Windscreen { width, .. }
            | Kind::Arch { width, .. },
        ) => width,
        (Figure::Yaw, Kind::Box { yaw, .. }) => &mut yaw.0,
        (Figure::Rake, Kind::Windscreen { rake, .. }) => &mut rake.0,
        (Figure::Lean, Kind::Antenna { lean, .. }) => &mut lean.0,
        (Figure::Transmits, Kind::Windscreen { transmits, .. }) => transmits,
        (Figure::Steered, Kind::Outboard { steering, .. }) => &mut steering.now,
        (Figure::TiltedUp, Kind::Outboard { tilt, .. }) => &mut tilt.now,
        (Figure::TiltedUpMost, Kind::Outboard { tilt, .. }) => &mut tilt.most,
        (Figure::Leg, Kind::Outboard { leg, .. }) => leg,
        (Figure::CowlingLength, Kind::Outboard { cowling, .. }) => &mut cowling.x,
        (Figure::CowlingWidth, Kind::Outboard { cowling, .. }) => &mut cowling.y,
        (Figure::CowlingHeight, Kind::Outboard { cowling, .. }) => &mut cowling.z,
        (Figure::Folded, Kind::Mast { fold, .. }) => &mut fold.now,
        (Figure::FoldedMost, Kind::Mast { fold, .. }) => &mut fold.most,
        (figure, kind) => panic!("{figure:?} of a {}", kind.in_words()),
    }
}

fn rename(scene: &mut Scene, what: Subject, name: &str) {
    match what {
        Subject::Scene => scene.name = name.into(),
        Subject::Fit(fit) => scene.fits[fit].name = name.into(),
        Subject::Lamp(at) => {
            let old = std::mem::replace(&mut lamp(scene, at).name, name.into());
            let Some(wiring) = &mut scene.fits[at.fit].wiring else { return };
            let fed = wiring.circuits.iter_mut().flat_map(|circuit| &mut circuit.lamps);
            let all = fed.chain(wiring.routes.iter_mut().map(|route| &mut route.lamp));
            all.filter(|named| **named == old).for_each(|named| *named = name.into());
        }
        Subject::Part(part) => {
            let old = std::mem::replace(&mut scene.parts[part].name, name.into());
            if scene.helm.as_ref() == Some(&old) {
                scene.helm = Some(name.into());
            }
            for lamp in scene.fits.iter_mut().flat_map(|fit| &mut fit.lamps) {
                if let Mount::Pole(carrier) | Mount::Outboard(carrier) = &mut lamp.mount
                    && *carrier == old
                {
                    *carrier = name.into();
                }
            }
        }
    }
}

fn insert(fit: &mut Fit, at: usize, lamp: Lamp) {
    fit.lamps.insert(at, lamp);
    for position in fit.switches.iter_mut().flat_map(|switch| &mut switch.positions) {
        position.lamps.iter_mut().filter(|lamp| **lamp >= at).for_each(|lamp| *lamp += 1);
    }
}

fn copy(scene: &mut Scene, what: Subject, name: &str) {
    match what {
        Subject::Part(part) => {
            let copied = Part { name: name.into(), ..scene.parts[part].clone() };
            scene.parts.insert(part + 1, copied);
        }
        Subject::Fit(fit) => {
            let copied = Fit { name: name.into(), ..scene.fits[fit].clone() };
            scene.fits.insert(fit + 1, copied);
        }
        Subject::Lamp(at) => {
            let copied = Lamp { name: name.into(), ..lamp(scene, at).clone() };
            insert(&mut scene.fits[at.fit], at.lamp + 1, copied);
        }
        Subject::Scene => panic!("the scene is not copied"),
    }
}

fn remove(scene: &mut Scene, what: Subject) {
    match what {
        Subject::Part(part) => {
            let gone = scene.parts.remove(part);
            scene.helm = scene.helm.take().filter(|helm| *helm != gone.name);
        }
        Subject::Fit(fit) => drop(scene.fits.remove(fit)),
        Subject::Lamp(LampAt { fit, lamp }) => {
            let fit = &mut scene.fits[fit];
            let gone = fit.lamps.remove(lamp);
            for switch in &mut fit.switches {
                for position in &mut switch.positions {
                    position.lamps.retain(|fed| *fed != lamp);
                    position.lamps.iter_mut().filter(|fed| **fed > lamp).for_each(|fed| *fed -= 1);
                }
                switch.positions.retain(|position| !position.lamps.is_empty());
            }
            fit.switches.retain(|switch| !switch.positions.is_empty());
            unwire(fit, &gone.name);
        }
        Subject::Scene => panic!("the scene is not removed"),
    }
}

fn unwire(fit: &mut Fit, lamp: &str) {
    let Some(wiring) = &mut fit.wiring else { return };
    for circuit in &mut wiring.circuits {
        circuit.lamps.retain(|fed| fed != lamp);
        circuit.switch = circuit.switch.take().filter(|name| fit.switches.iter().any(|switch| switch.name == *name));
    }
    wiring.circuits.retain(|circuit| !circuit.lamps.is_empty());
    wiring.routes.retain(|route| route.lamp != lamp);
}

/// Every comment of a text in order, told without the program's own reader.
pub fn comments(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let starts = |at: usize, word: &str| word.chars().enumerate().all(|(n, one)| letters.get(at + n) == Some(&one));
    let (mut found, mut at) = (Vec::new(), 0);
    while at < letters.len() {
        let from = at;
        if starts(at, "//") {
            while at < letters.len() && letters[at] != '\n' {
                at += 1;
            }
            found.push(letters[from..at].iter().collect::<String>().trim_end().to_owned());
        } else if starts(at, "/*") {
            let mut depth = 0;
            loop {
                if starts(at, "/*") {
                    depth += 1;
                    at += 1;
                } else if starts(at, "*/") {
                    depth -= 1;
                    at += 1;
                }
                at += 1;
                if depth == 0 {
                    break;
                }
            }
            found.push(letters[from..at].iter().collect());
        } else if letters[at] == '"' {
            at += 1;
            while letters[at] != '"' {
                at += if letters[at] == '\\' { 2 } else { 1 };
            }
            at += 1;
        } else {
            at += 1;
        }
    }
    found
}
