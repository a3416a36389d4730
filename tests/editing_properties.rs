//! Any run of edits on the supplied scenes: the file that comes of it reads as the scene edited in memory, keeps every
//! comment and every line that is not concerned, and goes back to what it was, byte for byte.

mod support;

use std::{
    cell::{Cell, RefCell},
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
};

use lampwalk::{
    boat::{
        Along, Bright, Face, Form, Height, Mount, Part, PartKind, Place, Posture, Role, Scene, Status,
        read::{Span, scene_text},
    },
    edit::{Document, Edit, Figure, LampAt, Spot, Subject},
    light::library,
    measure::{Degrees, Metres},
};
use proptest::{
    prelude::*,
    test_runner::{Config, TestRunner},
};
use support::edited;

fn scenes() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "ron"));
    paths.sort();
    assert!(paths.len() >= 5, "{paths:?}");
    paths
}

/// What the dice say: which kind of edit, about which thing, and three figures between 0 and 1.
type Throw = (usize, usize, usize, [f64; 3]);

fn throws() -> impl Strategy<Value = Vec<Throw>> {
    let figures = proptest::array::uniform3(0.0..1.0f64);
    proptest::collection::vec((0usize..1000, 0usize..1000, 0usize..1000, figures), 1..10)
}

/// The text in another dress: how lines end, how they are indented, and what comments stand in it.
fn dressed(text: &str, dress: usize) -> String {
    let mut text = text.to_owned();
    if dress & 1 != 0 {
        text = text.replace("    ", "\t");
    }
    if dress & 2 != 0 {
        text = text.replace("forward: ", "/* ( [ */ forward : ").replace(", mount: ", ", /* \" */ mount: ");
        text = text
            .replace("lamps: [\n", "lamps: [ // lamps ] )\n")
            .replace("),\n            ],", "), // last\n            ],");
    }
    if dress & 4 != 0 {
        text = text
            .replace("),\n                Lamp", "), /* a\n, b */\n                Lamp")
            .replace(",\n    ],", "\n    ],");
    }
    if dress & 8 != 0 {
        text = text.replace('\n', "\r\n");
    }
    text
}

fn place(like: &Place, figures: [f64; 3], kind: usize) -> Place {
    let [x, y, z] = figures;
    let starboard = match kind % 4 {
        0 => -like.starboard,
        1 => 0.0,
        _ => like.starboard + y - 0.5,
    };
    let up = z * 2.0;
    let height = match (kind % 7, like.height) {
        (0, _) => Height::AboveWaterline(up + 1.0),
        (1, _) => Height::AboveGunwale(up),
        (2, _) => Height::AboveDeck(up),
        (_, Height::AboveDeck(old)) => Height::AboveDeck(old + z - 0.5),
        (_, Height::AboveGunwale(old)) => Height::AboveGunwale(old + z - 0.5),
        (_, Height::AboveWaterline(old)) => Height::AboveWaterline(old + z - 0.5),
    };
    Place { forward: like.forward + x - 0.5, starboard, height }
}

fn lamp_of(scene: &Scene, about: usize) -> Option<LampAt> {
    let all =
        scene.fits.iter().enumerate().flat_map(|(fit, it)| (0..it.lamps.len()).map(move |lamp| LampAt { fit, lamp }));
    let all: Vec<_> = all.collect();
    all.get(about.checked_rem(all.len())?).copied()
}

fn subject(scene: &Scene, kind: usize, about: usize) -> Option<Subject> {
    Some(match kind % 3 {
        0 => Subject::Lamp(lamp_of(scene, about)?),
        1 => Subject::Part(about.checked_rem(scene.parts.len())?),
        _ => Subject::Fit(about.checked_rem(scene.fits.len())?),
    })
}

fn new_part(name: String, at: Place, [x, y, z]: [f64; 3], kind: usize) -> Part {
    let round = |value: f64| (value * 1000.0).round() / 1000.0;
    let [x, y, z] = [0.1 + round(x), 0.1 + round(y), 0.1 + round(z)].map(round);
    let kind = match kind % 5 {
        0 => PartKind::Stanchion { at, height: x, diameter: z },
        1 => PartKind::Box { at, length: x, width: y, height: z, yaw: Degrees(if x > 0.5 { 45.0 } else { 0.0 }) },
        2 => PartKind::Rail { through: vec![at, Place { forward: at.forward + 1.0, ..at }], diameter: z },
        3 => PartKind::Person { at, height: 1.8, postures: vec![Posture::Standing] },
        _ => PartKind::Windscreen { at, width: x, height: y, rake: Degrees(10.0), transmits: round(z / 2.0) },
    };
    Part::new(name, kind)
}

/// An edit of the scene as it is now, by a throw; `None` where there is nothing to edit so.
fn edit_of(scene: &Scene, (kind, about, more, figures): Throw) -> Option<Edit> {
    let [x, y, z] = figures;
    let name = format!("thing {about} \"é\" {more}");
    let spot = |scene: &Scene| {
        if more % 2 == 0 {
            return lamp_of(scene, about).map(Spot::Lamp);
        }
        let part = about.checked_rem(scene.parts.len())?;
        let count = lampwalk::edit::places(&scene.parts[part].kind).len();
        Some(Spot::Part { part, nth: more.checked_rem(count)? })
    };
    Some(match kind % 20 {
        0..=3 => {
            let what = spot(scene)?;
            Edit::Move { what, to: place(&what.of(scene)?, figures, more / 2) }
        }
        4..=6 => {
            let what = match more % 3 {
                0 => Subject::Scene,
                1 => Subject::Part(about.checked_rem(scene.parts.len())?),
                _ => Subject::Lamp(lamp_of(scene, about)?),
            };
            let has: Vec<_> = Figure::ALL.iter().filter(|figure| figure.of(scene, what).is_some()).collect();
            let figure = **has.get(more.checked_rem(has.len())?)?;
            if figure == Figure::SteeredMost {
                return None;
            }
            let old = figure.of(scene, what)?;
            Edit::Set { what, figure, to: if old == 0.0 { x * 10.0 } else { old * (0.5 + x) } }
        }
        7 => Edit::Trim { least: Degrees(-x * 3.0), most: Degrees(y * 5.0) },
        8 => Edit::Eyes((0..=more % 4).map(|n| Metres(1.0 + f64::from(u8::try_from(n).ok().unwrap()) + x)).collect()),
        9 => {
            let people = (0..scene.parts.len()).filter(|n| matches!(scene.parts[*n].kind, PartKind::Person { .. }));
            let part = people.collect::<Vec<_>>().first().copied()?;
            let both = [Posture::Seated, Posture::Standing];
            let postures = match more % 4 {
                0 => both.to_vec(),
                1 => vec![both[1], both[0]],
                n => vec![both[n - 2]],
            };
            if about % 2 == 0 { Edit::Postures { part, postures } } else { Edit::Helm((more % 2 == 0).then_some(part)) }
        }
        10 => {
            let lamp = lamp_of(scene, about)?;
            let poles = scene.parts.iter().filter(|part| matches!(part.kind, PartKind::Mast { .. }));
            let poles: Vec<_> = poles.map(|part| part.name.clone()).collect();
            let mount = match more % 4 {
                0 if !poles.is_empty() => Mount::Pole(poles[more / 4 % poles.len()].clone()),
                1 => Mount::FlatOnDeck(Along::Gunwale),
                2 => Mount::Bracket(Along::Centreline),
                _ => Mount::Bracket(Along::Gunwale),
            };
            let at = Place { forward: 2.0 + x, starboard: y - 0.5, height: Height::AboveDeck(1.0 + z) };
            Edit::Remount { lamp, mount, at: Some(at) }
        }
        11 => Edit::Optics { lamp: lamp_of(scene, about)?, name: library()[more % library().len()].name.clone() },
        12 => {
            let lit = [Status::UnderWay, Status::AtAnchor, Status::Aground];
            let lit = lit.map(|status| status.plain(scene.vessel.propulsion));
            Edit::Lit { lamp: lamp_of(scene, about)?, lit: lit[..more % 4].to_vec() }
        }
        13 => Edit::Face {
            lamp: lamp_of(scene, about)?,
            face: Face {
                width: 0.01 + x / 10.0,
                height: 0.01 + y / 10.0,
                form: if more % 2 == 0 { Form::Column } else { Form::Globe },
                bright: if more % 3 == 0 { Bright::Even } else { Bright::Middle },
            },
        },
        14 => Edit::Rename { what: subject(scene, more, about)?, name },
        15 => {
            Edit::Note { what: subject(scene, more, about)?, note: if about % 3 == 0 { String::new() } else { name } }
        }
        16 => {
            let fit = about.checked_rem(scene.fits.len())?;
            let index = more % (scene.fits[fit].lamps.len() + 1);
            let at = Place { forward: 2.0, starboard: -0.5, height: Height::AboveDeck(1.5) };
            let mut lamp = support::lamp(&name, Role::Sternlight, "stern 2 nm", at);
            lamp.lit = vec![Status::AtAnchor];
            lamp.yaw = Degrees((x * 100.0).round());
            Edit::AddLamp { at: LampAt { fit, lamp: index }, lamp: Box::new(lamp) }
        }
        17 => {
            let at = Place { forward: 2.0, starboard: 0.25, height: Height::AboveGunwale(0.5) };
            let part = new_part(name, at, figures, more);
            Edit::AddPart { at: about % (scene.parts.len() + 1), part: Box::new(part) }
        }
        18 => Edit::Copy { what: subject(scene, more, about)?, name },
        _ => Edit::Remove(subject(scene, more, about)?),
    })
}

/// Where an edit may change anything, when it is about one thing alone.
fn concerned(document: &Document, edit: &Edit) -> Option<Span> {
    let spans = document.spans();
    let node = match edit {
        Edit::Move { what: Spot::Lamp(at), .. }
        | Edit::Set { what: Subject::Lamp(at), .. }
        | Edit::Remount { lamp: at, .. }
        | Edit::Optics { lamp: at, .. }
        | Edit::Lit { lamp: at, .. }
        | Edit::Face { lamp: at, .. } => spans.lamp(at.fit, at.lamp),
        Edit::Move { what: Spot::Part { part, .. }, .. }
        | Edit::Set { what: Subject::Part(part), .. }
        | Edit::Postures { part, .. } => spans.part(*part),
        _ => None,
    };
    node.map(|node| node.span)
}

/// Holds two scenes against each other; where they differ, shows only that.
fn same(found: &Scene, wanted: &Scene, edit: &Edit) {
    if found != wanted {
        let (found, wanted) = (format!("{found:?}"), format!("{wanted:?}"));
        let at = found.bytes().zip(wanted.bytes()).take_while(|(one, other)| one == other).count();
        let part = |words: &str| words.chars().skip(at.saturating_sub(150)).take(300).collect::<String>();
        panic!("{edit:?}:\n{}\nis not\n{}", part(&found), part(&wanted));
    }
}

fn takes_out(edit: &Edit) -> bool {
    matches!(edit, Edit::Remove(_) | Edit::Copy { .. })
}

/// One run of edits; gives how many were made.
fn run(text: &str, folder: &Path, throws: &[Throw], kinds: &RefCell<BTreeSet<String>>) -> usize {
    let path = folder.join("edited.ron");
    let mut document = Document::of_text(text).or_else(|_| reopened(&path, text)).expect("the scene is sound");
    let mut texts = vec![document.text().to_owned()];
    for throw in throws {
        let Some(edit) = edit_of(document.scene(), *throw) else { continue };
        let (before, scene) = (document.text().to_owned(), document.scene().as_ref().clone());
        let steering = document.spans().root().field("conditions").and_then(|node| node.field("steering")).is_some();
        let span = concerned(&document, &edit);
        if document.apply(edit.clone()).is_err() {
            assert_eq!(document.text(), before, "what is refused changes nothing");
            assert_eq!(**document.scene(), scene);
            continue;
        }
        let after = document.text();
        let mut wanted = scene;
        edited::make(&mut wanted, &edit, steering);
        same(document.scene(), &wanted, &edit);
        let anew = scene_text(after, "edited", Some(folder)).expect("the text is sound");
        same(&anew.scene, &wanted, &edit);
        let (old, new) = (edited::comments(&before), edited::comments(after));
        if takes_out(&edit) {
            let (old, new): (BTreeSet<_>, BTreeSet<_>) = (old.into_iter().collect(), new.into_iter().collect());
            let made: Vec<_> = new.difference(&old).collect();
            assert!(made.is_empty(), "{edit:?} makes no comments: {made:?}");
        } else if !matches!(edit, Edit::Remount { .. }) {
            assert_eq!(old, new, "{edit:?}");
        }
        if let Some(span) = span {
            assert!(after.starts_with(&before[..span.start]), "{edit:?}");
            assert!(after.ends_with(&before[span.end..]), "{edit:?}");
        }
        if text.contains("\r\n") {
            assert_eq!(after.matches('\n').count(), after.matches("\r\n").count(), "{edit:?}");
        }
        if after != before {
            let kind = format!("{edit:?}").chars().take_while(char::is_ascii_alphabetic).collect();
            kinds.borrow_mut().insert(kind);
            texts.push(after.to_owned());
        }
    }
    let (steps, made) = document.steps();
    assert_eq!((steps.len(), made), (texts.len() - 1, texts.len() - 1));
    for text in texts.iter().rev().skip(1) {
        assert!(document.undo().expect("what was sound is sound").is_some());
        assert_eq!(document.text(), text);
    }
    assert!(document.undo().expect("there is nothing to undo").is_none());
    for text in texts.iter().skip(1) {
        assert!(document.redo().expect("what was sound is sound").is_some());
        assert_eq!(document.text(), text);
    }
    texts.len() - 1
}

fn reopened(path: &Path, text: &str) -> Result<Document, lampwalk::boat::read::ReadError> {
    fs::write(path, text).expect("the folder can be written");
    Document::open(path)
}

#[test]
fn any_run_of_edits_reads_as_the_scene_edited_in_memory_and_can_be_undone_byte_for_byte() {
    let folder = tempfile::tempdir().unwrap();
    fs::copy(Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/petrel.glb"), folder.path().join("petrel.glb"))
        .unwrap();
    let texts: Vec<_> = scenes().iter().map(|path| fs::read_to_string(path).unwrap()).collect();
    let (made, kinds) = (Cell::new(0), RefCell::new(BTreeSet::new()));
    let cases = 240;
    let mut runner = TestRunner::new(Config { cases, failure_persistence: None, ..Config::default() });
    let dice = (0..texts.len(), 0usize..16, throws());
    let outcome = runner.run(&dice, |(scene, dress, throws)| {
        made.set(made.get() + run(&dressed(&texts[scene], dress), folder.path(), &throws, &kinds));
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(kinds.borrow().len(), 16, "every kind of edit was made: {kinds:?}");
    assert!(made.get() > 2 * cases as usize, "{} edits were made in {cases} runs", made.get());
}
