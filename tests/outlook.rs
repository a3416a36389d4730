//! What each lamp looks out on: the drawing against the survey, the rules and the scene.

use std::{path::Path, sync::OnceLock};

use lampwalk::{
    boat::{Fit, Owner, Scene, Status, read},
    measure::{Bearing, Degrees},
    rules,
    shadow::{Obstacles, Ray},
    sheet::{self, Surveyed},
    survey::{Outlook, Settings, Stance, Survey, at_rest},
};

const SCENES: [&str; 5] = ["sandpiper", "marigold", "harrier", "petrel", "curlew"];

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(format!("{name}.ron"));
    read::scene_file(&path).expect("a sound scene").scene
}

fn with<T>(scene: &Scene, fit: &Fit, status: Status, look: impl FnOnce(&Surveyed) -> T) -> T {
    let survey = Survey::of(scene, fit, status, &Settings { step: 5.0, ..Settings::default() });
    let judgement = rules::judge(scene, fit, &survey, rules::international());
    look(&Surveyed { scene, fit, survey: &survey, judgement: &judgement })
}

fn drawn(scene: &Scene, fit: &Fit, status: Status) -> String {
    with(scene, fit, status, sheet::outlook)
}

/// A drawing of a supplied boat, and what it must agree with.
struct Drawn {
    scene: String,
    drawing: String,
    /// Every lamp by name, and whether it is lit.
    lamps: Vec<(String, bool)>,
    /// Shadows within sectors as a caption tells them.
    shadows: Vec<String>,
}

fn seen(surveyed: &Surveyed) -> Drawn {
    let Surveyed { scene, fit, survey, judgement } = *surveyed;
    let within = |service: rules::Service| {
        let light = survey.lights.iter().find(|one| one.light == service.light).expect("a light that is lit");
        let middle = move |bearing| service.sector.arc().contains(bearing);
        let all: Vec<_> = light.shadows.iter().filter(|shadow| middle(shadow.arc.middle())).collect();
        // Of more than four, not all are told.
        let told = if light.shadows.len() > 4 { Vec::new() } else { all };
        told.into_iter().map(|shadow| {
            let percent = (1.0 - shadow.least_visible) * 100.0;
            let most = if percent >= 99.5 { "wholly at worst".into() } else { format!("at most {percent:.0} percent") };
            format!("{}, {most}", shadow.arc.in_words())
        })
    };
    Drawn {
        scene: scene.name.clone(),
        drawing: sheet::outlook(surveyed),
        lamps: fit.lamps.iter().map(|lamp| (lamp.name.clone(), lamp.lit.contains(&survey.status))).collect(),
        shadows: rules::services(scene, fit, survey, judgement).into_iter().flat_map(within).collect(),
    }
}

/// Every fit of every supplied boat, under way and at anchor.
fn all() -> &'static [Drawn] {
    static ALL: OnceLock<Vec<Drawn>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut drawn = Vec::new();
        for name in SCENES {
            let scene = scene(name);
            for fit in &scene.fits {
                for status in [Status::UnderWay, Status::AtAnchor] {
                    drawn.push(with(&scene, fit, status, seen));
                }
            }
        }
        drawn
    })
}

/// Elements of a name with their attributes and what stands in them.
fn elements<'a>(drawing: &'a str, name: &str) -> Vec<(&'a str, &'a str)> {
    let (start, end) = (format!("<{name} "), format!("</{name}>"));
    let found = drawing.match_indices(&start).filter_map(|(place, _)| {
        let rest = &drawing[place + start.len()..];
        let (attributes, inside) = rest.split_once('>')?;
        Some((attributes, if attributes.ends_with('/') { "" } else { inside.split_once(&end)?.0.trim() }))
    });
    found.collect()
}

fn number(attributes: &str, name: &str) -> f64 {
    let (_, rest) = attributes.split_once(&format!("{name}=\"")).expect(name);
    rest.split('"').next().expect("a value").parse().expect("a number")
}

fn texts(drawing: &str) -> Vec<(f64, f64, &str)> {
    elements(drawing, "text").into_iter().map(|(at, words)| (number(at, "x"), number(at, "y"), words)).collect()
}

/// All words of the drawing, line after line.
fn words(drawing: &str) -> String {
    texts(drawing).into_iter().map(|(_, _, words)| words).collect::<Vec<_>>().join(" ")
}

/// The heavy lines that stand for edges, as millimetres across the page and the words of their titles.
fn edges(drawing: &str) -> Vec<(f64, String)> {
    let lines = elements(drawing, "path").into_iter().filter(|(_, inside)| inside.contains(": edge of the "));
    lines
        .map(|(attributes, inside)| {
            let x = attributes.split_once("d=\"M").expect("a line").1.split(' ').next().expect("x");
            (x.parse().expect("x"), inside.replace("<title>", "").replace("</title>", "").trim().to_owned())
        })
        .collect()
}

#[test]
fn sixteen_points_of_a_face_agree_with_its_exact_area() {
    let level = (Outlook::ELEVATIONS - 1) / 2;
    assert_eq!(Outlook::elevation(level), Degrees(0.0));
    let (mut hidden_somewhere, mut far_out, mut differing, mut lights) = (0, 0, 0.0, 0.0);
    for name in SCENES {
        let scene = scene(name);
        for fit in &scene.fits {
            let rest = at_rest(&scene, fit);
            for light in rest.lights().filter(|light| light.beam == 0) {
                let outlook = rest.outlook(light.lamp);
                let exact: Vec<f64> = (0..Outlook::BEARINGS)
                    .map(|column| 1.0 - rest.toward(light, Outlook::bearing(column), Degrees(0.0)).visible.fraction)
                    .collect();
                let place = |column: u32| format!("{name}, {}, {:?} on {}", fit.name, light, Outlook::bearing(column));
                let mut sum = 0.0;
                for column in 0..Outlook::BEARINGS {
                    let (points, area) = (outlook.hidden(column, level), exact[column as usize]);
                    sum += points - area;
                    differing += (points - area).abs() / f64::from(Outlook::BEARINGS);
                    // One edge across four upright rows of points is placed to half a row: an eighth. Two edges at once may
                    // each be that far out.
                    far_out += u32::from((points - area).abs() >= 0.13);
                    assert!((points - area).abs() < 0.25, "{}: {points} of {area}", place(column));
                    let round = |off: u32| (column + Outlook::BEARINGS + off - 2) % Outlook::BEARINGS;
                    let around = || (0..=4).map(round).map(|near| exact[near as usize]);
                    if around().all(|area| area <= 0.0) {
                        assert_eq!(points, 0.0, "{}", place(column));
                    }
                    if around().all(|area| area >= 1.0) {
                        assert_eq!(points, 1.0, "{}", place(column));
                        hidden_somewhere += 1;
                    }
                }
                let mean = sum / f64::from(Outlook::BEARINGS);
                lights += 1.0;
                // What steps of a sixteenth add on one edge of a half shadow they take on the next.
                assert!(mean.abs() < 0.01, "{name}, {}, {light:?}: {mean} on average", fit.name);
            }
        }
    }
    assert!(hidden_somewhere > 1000);
    println!("{far_out} far out of {lights} lights, {} on average", differing / lights);
    assert!(f64::from(far_out) < 0.001 * lights * f64::from(Outlook::BEARINGS), "{far_out} far out");
    assert!(differing / lights < 0.01, "{} on average", differing / lights);
}

#[test]
fn where_nothing_is_hidden_there_is_no_owner_and_what_is_hidden_has_one() {
    let scene = scene("sandpiper");
    let outlook = at_rest(&scene, &scene.fits[1]).outlook(0);
    let (mut owned, mut orphaned) = (0, 0);
    for column in (0..Outlook::BEARINGS).step_by(2) {
        for row in 0..Outlook::ELEVATIONS {
            let hidden = outlook.hidden(column, row).max(outlook.hidden(column + 1, row));
            match outlook.owner(column, row) {
                Some(_) => {
                    assert!(hidden > 0.0);
                    owned += 1;
                }
                None => orphaned += u32::from(hidden > 0.0),
            }
        }
    }
    // A ray along an edge may pass where the cell next to it is stopped.
    assert!(owned > 5000 && orphaned * 500 < owned, "{owned} with owners and {orphaned} without");
}

#[test]
fn the_solid_met_first_is_told() {
    let scene = scene("sandpiper");
    let rest: Stance = at_rest(&scene, &scene.fits[1]);
    let named = |name: &str| scene.parts.iter().position(|part| part.name == name).map(Owner::Part);
    let ray = |from: f64, length: f64| Ray {
        origin: glam::DVec3::new(from, 0.0, 1.2),
        direction: glam::DVec3::NEG_X,
        length,
    };
    let met = |from: f64, length: f64| Obstacles::first_met(rest.obstacles(), &ray(from, length));
    // From before the bow aft: the jack post, then past it the console, and abaft that the helmsman.
    assert_eq!(met(8.0, f64::INFINITY), named("jack post"));
    assert_eq!(met(5.5, f64::INFINITY), named("console"));
    assert_eq!(met(2.3, f64::INFINITY), named("helmsman"));
    assert_eq!(met(8.0, 1.0), None);
}

#[test]
fn each_lit_lamp_has_a_strip_and_no_other() {
    for Drawn { scene, drawing, lamps, .. } in all() {
        for (lamp, lit) in lamps {
            let strips = drawing.matches(&format!("What {lamp} looks out on")).count();
            assert_eq!(strips, usize::from(*lit), "{lamp} of {scene}");
        }
    }
    let lamps = || all().iter().flat_map(|one| &one.lamps);
    assert!(lamps().any(|(_, lit)| *lit) && lamps().any(|(_, lit)| !lit));
}

#[test]
fn edges_of_sectors_stand_at_the_bearings_of_the_rules() {
    let mut found = Vec::new();
    for Drawn { drawing, .. } in all() {
        let written = texts(drawing);
        let Some((ahead, ..)) = written.iter().find(|(_, _, words)| *words == "000 ahead") else { continue };
        let (beam, ..) = written.iter().find(|(_, _, words)| *words == "090 starboard beam").expect("a scale");
        for (x, words) in edges(drawing) {
            let drawn = Bearing::new((x - ahead) / (beam - ahead) * 90.0);
            // Rule 21: sidelights from right ahead to 22.5 degrees abaft the beam, the masthead light to there on both
            // sides, the sternlight over the rest.
            let asked: &[f64] = match words.split_once(": edge of the ").expect("a title").1 {
                kind if kind.starts_with("starboard sidelight") => &[0.0, 112.5],
                kind if kind.starts_with("port sidelight") => &[0.0, 247.5],
                _ => &[112.5, 247.5],
            };
            let off = asked.iter().map(|edge| Bearing::new(*edge).clockwise_of(drawn).abs()).fold(f64::MAX, f64::min);
            assert!(off < 0.03, "{words}, drawn at {drawn}");
            found.push(words);
        }
    }
    for kind in ["starboard sidelight", "port sidelight", "masthead light", "sternlight"] {
        assert!(found.iter().any(|words| words.contains(kind)), "{kind}");
    }
}

#[test]
fn what_hides_a_light_is_named_in_the_caption_and_over_its_silhouette() {
    for (name, fit, hiders) in [
        ("sandpiper", "as found", &["outboard"][..]),
        ("harrier", "as found", &["starboard awning post", "port awning post", "mast stay", "deckhand"]),
        ("marigold", "as found", &["towing arch", "signal mast"]),
        ("petrel", "as found", &["samson_post", "bimini_frame", "helmsman"]),
    ] {
        let scene = scene(name);
        let fit = scene.fits.iter().find(|one| one.name == fit).expect("the fit");
        let drawing = drawn(&scene, fit, Status::UnderWay);
        let told = words(&drawing);
        for hider in hiders {
            let led = ["hidden by ", "and ", "; ", ", "].map(|before| format!("{before}{hider} "));
            assert!(led.iter().any(|words| told.contains(words.as_str())), "{hider}: {told}");
            let mut rows: Vec<String> = texts(&drawing)
                .into_iter()
                .filter(|(_, _, words)| words == hider)
                .map(|(_, y, _)| y.to_string())
                .collect();
            let count = rows.len();
            rows.dedup();
            assert!(count > 0 && count == rows.len(), "{hider} is named once over each strip of {name}");
        }
    }
}

#[test]
fn captions_hold_the_survey_s_figures() {
    for Drawn { scene, drawing, shadows, .. } in all() {
        let told = words(drawing);
        for shadow in shadows {
            assert!(told.contains(shadow.as_str()), "{scene}: no \"{shadow}\" in {told}");
        }
    }
    assert!(all().iter().map(|one| one.shadows.len()).sum::<usize>() > 5);
}

#[test]
fn names_never_stand_on_one_another() {
    for Drawn { scene, drawing, .. } in all() {
        let boxes: Vec<(f64, f64, f64, f64, &str)> = elements(drawing, "text")
            .iter()
            .map(|(attributes, words)| {
                // Narrower than most faces run, so that only true overlaps count.
                let size = number(attributes, "font-size");
                let width = 0.42 * size * words.chars().count() as f64;
                let x = number(attributes, "x");
                let left = if attributes.contains("\"middle\"") {
                    x - width / 2.0
                } else if attributes.contains("\"end\"") {
                    x - width
                } else {
                    x
                };
                let y = number(attributes, "y");
                (left, left + width, y - 0.7 * size, y, *words)
            })
            .collect();
        for (n, one) in boxes.iter().enumerate() {
            for other in &boxes[n + 1..] {
                let apart = one.1 <= other.0 || other.1 <= one.0 || one.3 <= other.2 || other.3 <= one.2;
                assert!(apart, "{} on {} in {scene}", one.4, other.4);
            }
            assert!(one.0 > 5.0 && one.1 < 205.0, "{} runs off the paper", one.4);
        }
    }
}

#[test]
fn names_are_written_so_that_they_cannot_break_the_drawing() {
    let mut scene = scene("harrier");
    let odd = "<b>&\"";
    let place = scene.parts.iter().position(|part| part.name == "deckhand").expect("her deckhand");
    scene.parts[place].name = odd.into();
    scene.name = odd.into();
    let drawing = drawn(&scene, &scene.fits[0], Status::UnderWay);
    assert!(!drawing.contains(odd) && !drawing.contains("<b>"));
    assert!(drawing.matches("&lt;b&gt;&amp;").count() >= 4, "title, heading, caption and silhouette");
}

#[test]
fn thousands_of_pieces_are_named_sparingly() {
    let mut scene = scene("sandpiper");
    let plain = scene.parts.iter().find(|part| part.name == "jack post").expect("a post").clone();
    for n in 0..400 {
        let mut part = plain.clone();
        part.name = format!("reed {n}");
        let lampwalk::boat::PartKind::Stanchion { at, .. } = &mut part.kind else { panic!("a stanchion") };
        at.forward = 0.5 + 0.013 * f64::from(n);
        at.starboard = 1.0;
        scene.parts.push(part);
    }
    let drawing = drawn(&scene, &scene.fits[1], Status::UnderWay);
    let strips = drawing.matches(" looks out on</title>").count();
    let named =
        texts(&drawing).into_iter().filter(|(_, _, words)| words.starts_with("reed ") && words.len() < 9).count();
    assert!(named > 0 && named <= 12 * strips, "{named} reeds over {strips} strips");
}
