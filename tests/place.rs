//! Places for lamps: the one opening is found, what is written passes, what is to be kept clear is, what is said to help does,
//! and nothing turns on a millimetre or on the number of threads.

mod support;

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use lampwalk::{
    boat::{
        Height, Mount, Part, PartKind, Place, Scene, Status,
        read::{scene_file, scene_text},
    },
    edit::{Document, Edit, LampAt, Spot, Subject},
    fitting::place::{Help, Proposals, Region, Verdict, Wish, proposals},
    measure::{Degrees, Metres},
    rules::{Severity, international, judge, standing},
    survey::{Settings, Survey, at_rest, cases},
};
use support::{bare_boat, lawful_lamps};

/// Curlew is left out: she needs so many lights in so many statuses that her search takes minutes in a build for tests.
const BOATS: [(&str, &str); 4] =
    [("sandpiper", "as found"), ("marigold", "as found"), ("harrier", "proposed"), ("petrel", "as found")];

fn path_of(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron")
}

fn scene(name: &str) -> Scene {
    scene_file(&path_of(name)).unwrap_or_else(|error| panic!("{error}")).scene
}

fn fit_index(scene: &Scene, name: &str) -> usize {
    scene.fits.iter().position(|fit| fit.name == name).expect("a fit of this name")
}

fn box_at(name: &str, forward: f64, starboard: f64, [length, width, height]: [f64; 3]) -> Part {
    let at = Place { forward, starboard, height: Height::AboveDeck(0.0) };
    Part::new(name, PartKind::Box { at, length, width, height, yaw: Degrees(0.0) })
}

fn lamp_index(scene: &Scene, name: &str) -> usize {
    scene.fits[0].lamps.iter().position(|lamp| lamp.name == name).expect("a lamp of this name")
}

/// A boat with lawful lamps and nothing in their way.
fn lit_boat() -> Scene {
    let mut scene = bare_boat();
    scene.fits[0].lamps = lawful_lamps();
    scene
}

fn for_starboard(scene: &Scene) -> Wish<'static> {
    Wish::for_lamp(scene, 0, lamp_index(scene, "starboard sidelight"), international())
}

#[test]
fn the_one_opening_is_found() {
    let mut scene = lit_boat();
    // A wall across her starboard side: from abaft of it no starboard sidelight shows ahead.
    scene.parts.push(box_at("wall", 4.6, 0.65, [0.05, 1.5, 3.0]));
    let found = proposals(&scene, &for_starboard(&scene));
    assert!(found.passes() && !found.proposals.is_empty());
    assert!(found.proposals.iter().all(|one| one.placed[0].spot.centre.x > 4.6));
    let clear = found.ghosts.iter().filter(|ghost| ghost.verdict != Verdict::Hidden);
    assert!(clear.clone().count() > 10 && clear.into_iter().all(|ghost| ghost.centre.x > 4.6));
    assert!(found.ghosts.iter().any(|ghost| ghost.verdict == Verdict::Hidden && ghost.centre.x < 4.6));
}

#[test]
fn a_white_light_goes_up_the_only_pole_there_is() {
    let mut scene = lit_boat();
    // It needs a metre over the sidelights (Annex I 2(d)), more than any bracket gives.
    let found = proposals(&scene, &Wish::for_all(&scene, 0, international()));
    assert!(!found.passes());
    let at = Place { forward: 1.0, starboard: 0.0, height: Height::AboveDeck(0.0) };
    let pole = PartKind::Mast { at, height: 2.0, diameter: 0.04, fold: lampwalk::boat::Joint::default() };
    scene.parts.push(Part::new("pole", pole));
    let found = proposals(&scene, &Wish::for_all(&scene, 0, international()));
    assert!(found.passes() && found.proposals[0].is_whole());
    let white = lamp_index(&scene, "all-round white");
    for proposal in &found.proposals {
        let placed = proposal.placed.iter().find(|placed| placed.lamp == white).expect("it was asked for");
        assert_eq!(placed.spot.mount, Mount::Pole("pole".into()));
        let tightest = proposal.tightest.as_ref().expect("a figure of Annex I");
        assert!(tightest.metres >= 0.0 && tightest.clause == "Annex I 2(d)", "{tightest:?}");
    }
}

#[test]
fn proposals_differ_and_the_best_comes_first() {
    let scene = scene("marigold");
    let found = proposals(&scene, &Wish::for_all(&scene, 0, international()));
    assert!(found.proposals.len() > 1);
    let bands: Vec<usize> = found.proposals.iter().map(|one| one.band).collect();
    assert!(bands.windows(2).all(|pair| pair[0] >= pair[1]), "{bands:?}");
    for (n, one) in found.proposals.iter().enumerate() {
        for other in &found.proposals[n + 1..] {
            let pairs = || one.placed.iter().zip(&other.placed);
            let apart = |(a, b): (&_, &_)| {
                let (a, b): (&lampwalk::fitting::place::Placed, &lampwalk::fitting::place::Placed) = (a, b);
                a.spot.ground != b.spot.ground || a.spot.centre.distance(b.spot.centre) >= 0.5
            };
            assert!(pairs().any(apart));
        }
    }
}

#[test]
fn no_direct_look_finds_a_solid_nearer_than_is_told() {
    let scene = scene("sandpiper");
    let found = proposals(&scene, &for_lamp_named(&scene, "starboard sidelight"));
    for proposal in &found.proposals {
        let clear = proposal.placed[0].clear.expect("a place that passes is clear");
        let light =
            at_rest(&scene, &proposal.fit).lights().find(|light| light.lamp == proposal.placed[0].lamp).unwrap();
        // The grid's own coarseness is in what is told; a degree is left besides.
        let spared = (clear - 1.0).max(0.0);
        for case in cases(&scene, &proposal.fit) {
            for tenth in 0..=1125 {
                let bearing = lampwalk::measure::Bearing::new(f64::from(tenth) / 10.0);
                for up in [-spared, 0.0, spared] {
                    let seen = case.stance.toward(light, bearing, Degrees(up)).visible;
                    let own = matches!(seen.by, Some(lampwalk::boat::Owner::Mount(_)));
                    assert!(seen.fraction > 0.7 || own, "{} {bearing} {up}: {seen:?}", case.words);
                }
            }
        }
    }
}

fn for_lamp_named(scene: &Scene, name: &str) -> Wish<'static> {
    Wish::for_lamp(scene, 0, lamp_index(scene, name), international())
}

#[test]
fn how_lamps_stand_is_what_a_judgement_says_of_it() {
    for (name, _) in BOATS {
        let scene = scene(name);
        for fit in &scene.fits {
            for status in &scene.vessel.statuses {
                let survey = Survey::of(&scene, fit, *status, &Settings { step: 10.0, ..Settings::default() });
                let judged = judge(&scene, fit, &survey, international());
                let stand = standing(&scene, fit, at_rest(&scene, fit), *status, international());
                for finding in &stand.findings {
                    assert!(judged.findings.iter().any(|one| one == finding), "{name} {}: {}", fit.name, finding.what);
                }
                let missed = stand.tightest.is_some_and(|tight| tight.metres < -1e-6);
                let told = stand.findings.iter().any(|one| one.severity == Severity::Fault);
                assert!(!missed || told, "{name} {}: a figure missed and not told", fit.name);
            }
        }
    }
}

#[test]
fn what_is_to_be_kept_clear_is() {
    let mut scene = lit_boat();
    let (forward, starboard, room) = (4.0, 0.5, 0.4);
    scene.parts.push(Part { keep_clear: Metres(room), ..box_at("hatch", forward, starboard, [0.4, 0.4, 0.03]) });
    let near = |found: &Proposals| {
        let off = |ghost: &lampwalk::fitting::place::Ghost| {
            let aside = |value: f64, middle: f64| ((value - middle).abs() - 0.2).max(0.0);
            let level = aside(ghost.centre.x, forward).hypot(aside(-ghost.centre.y, starboard));
            level.hypot((ghost.centre.z - 0.63).max(0.0))
        };
        found.ghosts.iter().filter(|ghost| off(ghost) < room - 1e-6).count()
    };
    assert_eq!(near(&proposals(&scene, &for_starboard(&scene))), 0);
    scene.parts[0].keep_clear = Metres(0.0);
    assert!(near(&proposals(&scene, &for_starboard(&scene))) > 0, "without it, lamps would stand there");
}

/// A small region with a thick post before it, so that no place in it will do.
fn blocked() -> (Scene, Wish<'static>) {
    let mut scene = lit_boat();
    let at = Place { forward: 4.2, starboard: 0.9, height: Height::AboveDeck(0.0) };
    scene.parts.push(Part::new("post", PartKind::Cylinder { at, height: 3.0, diameter: 0.3 }));
    let region =
        Region::read("forward 3..3.2, starboard 0.8..0.9, above deck 0.1..0.4", &scene.vessel).expect("a region");
    let wish = Wish { region: Some(region), ..for_starboard(&scene) };
    (scene, wish)
}

#[test]
fn where_nothing_passes_the_move_that_is_told_lets_it_pass() {
    let (scene, wish) = blocked();
    let found = proposals(&scene, &wish);
    assert!(!found.passes());
    let faults = &found.proposals[0].faults;
    assert!(faults.iter().any(|(_, finding)| finding.by.as_deref() == Some("post")), "{faults:#?}");
    let told = found.help.iter().find_map(|help| match help {
        Help::Move { part, way, metres, with } => Some((*part, *way, *metres, with)),
        _ => None,
    });
    let (part, way, metres, with) = told.expect("a move that helps");
    let mut moved = scene.clone();
    let PartKind::Cylinder { at, .. } = &mut moved.parts[part].kind else { panic!("the post was to be moved") };
    match way {
        "forward" => at.forward += metres,
        "aft" => at.forward -= metres,
        "to starboard" => at.starboard += metres,
        _ => at.starboard -= metres,
    }
    let survey = Survey::of(&moved, &with.fit, Status::UnderWay, &Settings::default());
    let findings = judge(&moved, &with.fit, &survey, international()).findings;
    // The post still stands before the all-round light, which was not asked about.
    let others = |name: &str| name == "all-round white";
    let asked = findings.iter().filter(|one| !one.lamp.as_deref().is_some_and(others));
    assert!(asked.clone().all(|one| one.severity != Severity::Fault), "{findings:#?}");
    assert!(proposals(&moved, &wish).passes());
}

#[test]
fn lamps_too_weak_are_told_with_one_that_would_do() {
    let harrier = scene("harrier");
    let found = proposals(&harrier, &Wish::for_all(&harrier, 0, international()));
    assert!(!found.passes());
    assert!(
        found.help.iter().any(|help| matches!(help, Help::NotByPlace(finding) if finding.what.contains("starboard")))
    );
    let stronger = found.help.iter().find_map(|help| match help {
        Help::Lamp { optics, with, .. } if optics.starts_with("starboard") => Some((optics.as_str(), with)),
        _ => None,
    });
    let (optics, with) = stronger.expect("a lamp that would do");
    assert_eq!(optics, "starboard 2 nm");
    assert!(with.passes());
}

#[test]
fn a_millimetre_changes_nothing() {
    for (name, fit) in BOATS {
        let plain = scene(name);
        let at = fit_index(&plain, fit);
        let best = |scene: &Scene| {
            let found = proposals(scene, &Wish::for_all(scene, at, international()));
            found.proposals.into_iter().next().expect("a proposal")
        };
        let expected = best(&plain);
        let mut wider = plain.clone();
        wider.vessel.beam.0 += 0.001;
        for other in [shifted(&plain, 0.001), wider] {
            let got = best(&other);
            for (a, b) in expected.placed.iter().zip(&got.placed) {
                assert_eq!(a.spot.ground, b.spot.ground, "{name}");
                let off = a.spot.centre.distance(b.spot.centre);
                assert!(off < 0.004, "{name}: {} moved by {off} m", plain.fits[at].lamps[a.lamp].name);
            }
        }
    }
}

/// Every part but her hull a little further forward and to starboard.
fn shifted(scene: &Scene, by: f64) -> Scene {
    let mut moved = scene.clone();
    let shift = |place: &mut Place| {
        place.forward += by;
        place.starboard += by;
    };
    for part in &mut moved.parts {
        match &mut part.kind {
            PartKind::Rail { through, .. } => through.iter_mut().for_each(shift),
            PartKind::Capsule { from, to, .. } => [from, to].into_iter().for_each(shift),
            PartKind::Stanchion { at, .. } | PartKind::Cabin { at, .. } | PartKind::Person { at, .. } => shift(at),
            PartKind::Antenna { at, .. } | PartKind::Cylinder { at, .. } | PartKind::Box { at, .. } => shift(at),
            // Masts, arches and engines stay: a lamp over the centreline has to stay there.
            _ => {}
        }
    }
    moved
}

fn lampwalk(arguments: &[&str], threads: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwalk"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("RAYON_NUM_THREADS", threads)
        .output()
        .expect("the program starts")
}

fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("words in UTF-8")
}

#[test]
fn what_is_written_passes_and_leaves_the_rest_of_the_file_alone() {
    for (name, fit) in BOATS {
        let folder = tempfile::tempdir().expect("a scratch folder");
        fs::read_dir(path_of(name).parent().unwrap()).unwrap().flatten().for_each(|file| {
            fs::copy(file.path(), folder.path().join(file.file_name())).expect("a copy");
        });
        let copy = folder.path().join(name).with_extension("ron");
        let before = fs::read_to_string(&copy).expect("a scene");
        let path = copy.display().to_string();
        let output = lampwalk(&["place", &path, "--all", "--fit", fit, "--write", "--as", "searched"], "2");
        assert_eq!(output.status.code(), Some(0), "{name}: {}{}", said(&output.stdout), said(&output.stderr));
        let after = fs::read_to_string(&copy).expect("a scene");
        let kept = before.lines().filter(|line| !after.contains(line)).count();
        assert_eq!(kept, 0, "{name}: every line of before is there");
        let read = scene_file(&copy).unwrap_or_else(|error| panic!("{error}")).scene;
        let old = read.fits.iter().find(|one| one.name == fit).expect("the fit it came from");
        let new = read.fit("searched").expect("the new fit");
        for (a, b) in old.lamps.iter().zip(&new.lamps) {
            assert_eq!((&a.name, a.role, &a.optics.name, &a.lit), (&b.name, b.role, &b.optics.name, &b.lit));
            assert!(!matches!(b.mount, Mount::FlatOnDeck(_) | Mount::Flush) || b.lit.is_empty());
        }
        for status in
            read.vessel.statuses.iter().filter(|status| new.lamps.iter().any(|lamp| lamp.lit.contains(status)))
        {
            let checked = lampwalk(&["survey", &path, "--fit", "searched", "--status", status.key()], "2");
            assert_eq!(checked.status.code(), Some(0), "{name} {}: {}", status.key(), said(&checked.stdout));
        }
    }
}

#[test]
fn the_number_of_threads_changes_nothing() {
    let arguments = ["place", "scenes/marigold.ron", "--all", "--json"];
    let alone = lampwalk(&arguments, "1");
    assert_eq!(alone.status.code(), Some(0), "{}", said(&alone.stderr));
    for threads in ["2", "8"] {
        // Not assert_eq, which would print all of both.
        assert!(alone.stdout == lampwalk(&arguments, threads).stdout, "{threads} threads");
    }
    let whole: serde_json::Value = serde_json::from_str(&said(&alone.stdout)).expect("one JSON object");
    assert_eq!((whole["schema"].as_u64(), whole["passes"].as_bool()), (Some(1), Some(true)));
    assert!(whole["proposals"][0]["lamps"][0]["forward_m"].is_number());
}

#[test]
fn wrong_inputs_are_told_with_a_mend() {
    for (arguments, words) in [
        (&["--lamp", "starboard sidelite"][..], "did you mean \"starboard sidelight\""),
        (&["--all", "--fit", "as fund"], "did you mean"),
        (&["--lamp", "sternlight", "--within", "forwrad 0..1"], "did you mean `forward`"),
        (&["--lamp", "sternlight", "--within", "forward 1..0"], "runs backwards"),
        (&["--lamp", "sternlight", "--within", "forward 90..95"], "0 to 6.2 m"),
        // Inside the console.
        (
            &["--lamp", "sternlight", "--within", "forward 2.6..2.7, starboard 0..0.1, above deck 0.1..0.5"],
            "holds no place",
        ),
        (&["--all", "--panel", "forward 5.9, port 1"], "outboard"),
        (&["--all", "--panel", "forward 6.5"], "not aboard"),
        (&["--all", "--panel", "forward 1..2"], "one place is wanted"),
        (&["--all", "--as", "new"], "--write"),
        (&["--all", "--write", "--as", "proposed"], "already a fit"),
        (&["--lamp", "sternlight", "--all"], "cannot be used with"),
        (&[], "--all"),
        (&["--all", "--write"], "--as"),
        (&["--all", "--choose", "0"], "0 is not in"),
    ] {
        let all: Vec<&str> = ["place", "scenes/sandpiper.ron"].into_iter().chain(arguments.iter().copied()).collect();
        let output = lampwalk(&all, "2");
        let message = said(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {message}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert!(message.contains(words), "{arguments:?}: no \"{words}\" in:\n{message}");
    }
}

const SKIFF: &str = r#"Scene(name: "Skiff",
    vessel: Vessel(length: 5, beam: 1.9, freeboard: 0.5, depth: 0.8, propulsion: Power, top_speed: 6),
    parts: [
        Box(name: "hatch", at: (forward: 3), length: 0.5, width: 0.5, height: 0.03, keep_clear: 0.25), // foot room
    ],
    fits: [Fit(name: "as found", lamps: [
        // On its own post.
        Lamp(name: "white", role: AllRoundWhite, at: (forward: 1, above_deck: 1), mount: Bracket, bracket: Wedge(),
            yaw: 3, optics: "all-round 2 nm"),
    ])])"#;

#[test]
fn a_room_to_keep_clear_is_read_and_kept_through_edits() {
    let mut skiff = Document::of_text(SKIFF).expect("a sound scene");
    assert_eq!(skiff.scene().parts[0].keep_clear, Metres(0.25));
    let to = Place { forward: 3.5, ..Place::default() };
    skiff.apply(Edit::Move { what: Spot::Part { part: 0, nth: 0 }, to }).expect("it can be moved");
    assert!(
        skiff
            .text()
            .contains("at: (forward: 3.5), length: 0.5, width: 0.5, height: 0.03, keep_clear: 0.25), // foot room")
    );
    let part = Part { keep_clear: Metres(0.1), ..box_at("cleat", 4.0, 0.5, [0.1, 0.05, 0.05]) };
    skiff.apply(Edit::AddPart { at: 1, part: Box::new(part) }).expect("it can be added");
    assert_eq!(skiff.scene().parts[1].keep_clear, Metres(0.1));
}

#[test]
fn a_room_that_cannot_be_is_told_at_its_place() {
    for (slip, words) in [
        ("keep_clear: -1", "a room to keep clear"),
        ("keep_clear: \"0.25\"", "a number"),
        ("keep_claer: 0.25", "did you mean `keep_clear`"),
        ("keep_clear: 0.25, keep_clear: 0.3", "given twice"),
    ] {
        let text = SKIFF.replace("keep_clear: 0.25", slip);
        let error = scene_text(&text, "skiff", None).expect_err(slip);
        let fault = &error.faults()[0];
        assert!(format!("{} {}", fault.what, fault.mend).contains(words), "{slip}: {} {}", fault.what, fault.mend);
        assert_eq!(error.report(false).matches("skiff:4:").count().min(1), 1, "{}", error.report(false));
    }
}

#[test]
fn a_bracket_that_goes_with_no_mount_is_taken_out() {
    let mut skiff = Document::of_text(SKIFF).expect("a sound scene");
    skiff.apply(Edit::DropBracket(LampAt { fit: 0, lamp: 0 })).expect("it can be taken out");
    assert_eq!(skiff.text(), SKIFF.replace(" bracket: Wedge(),", ""));
    skiff.undo().expect("it can be taken back");
    let mut fit = skiff.scene().fits[0].clone();
    let lamp = &mut fit.lamps[0];
    (lamp.at, lamp.bracket, lamp.yaw) =
        (Some(Place { forward: 2.0, starboard: 0.0, height: Height::AboveDeck(1.2) }), None, Degrees(0.0));
    let edit = lampwalk::edit::as_new_fit(skiff.scene(), 0, &fit, "new", "Invented.").expect("the same lamps");
    skiff.apply(edit).expect("it can be written");
    assert_eq!(skiff.scene().fits[1].lamps, fit.lamps);
    assert_eq!(skiff.scene().fits[1].note, "Invented.");
    assert!(skiff.text().matches("// On its own post.").count() == 2, "comments go with the copy");
    assert_eq!(skiff.undo().expect("a step").as_deref(), Some("Add new"));
    assert_eq!(skiff.text(), SKIFF);
    let missing = skiff.apply(Edit::Remove(Subject::Fit(7)));
    assert!(missing.is_err());
}
