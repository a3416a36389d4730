//! The pictures tell the truth: the colours found in software-rendered stills are the ones the survey says show.
//!
//! Colours are found here by the hue of bright pixels, knowing nothing of how lights are drawn.
#![cfg(feature = "night")]

use std::{collections::BTreeSet, path::Path, sync::Arc};

use image::{Rgba, RgbaImage};
use lampwalk::{
    boat::{Height, Place, Role, Scene, Status, read::scene_file},
    light::{Background, Colour, Colours, preset},
    measure::{Bearing, Degrees, Metres, NauticalMiles},
    night::{Shot, Sky, StillError, adapter_available, still, stills},
    survey::{Station, at_rest, showing, weather},
};

const SIZE: (u32, u32) = (320, 180);

fn boat(name: &str) -> Arc<Scene> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    Arc::new(scene_file(&path).expect("the boat reads").scene)
}

fn workboat() -> Arc<Scene> {
    boat("sandpiper")
}

/// Whether there is anything to draw with. Without it the test is left out, unless it was asked for.
fn can_draw() -> bool {
    if adapter_available() {
        return true;
    }
    assert!(std::env::var_os("LAMPWALK_REQUIRE_GPU").is_none(), "LAMPWALK_REQUIRE_GPU is set and there is no adapter");
    eprintln!("skipped: no graphics adapter to draw with");
    false
}

/// The signal colour of a pixel: by its hue when it is bright and strongly coloured, white when bright and pale.
fn colour_of(pixel: Rgba<u8>) -> Option<Colour> {
    let [red, green, blue] = [pixel[0], pixel[1], pixel[2]].map(f64::from);
    let most = red.max(green).max(blue);
    let range = most - red.min(green).min(blue);
    if most < 190.0 {
        return None;
    }
    let saturation = range / most;
    if saturation < 0.25 {
        return Some(Colour::White);
    }
    let hue = if most == red {
        60.0 * ((green - blue) / range).rem_euclid(6.0)
    } else if most == green {
        60.0 * ((blue - red) / range + 2.0)
    } else {
        60.0 * ((red - green) / range + 4.0)
    };
    match hue {
        _ if saturation < 0.6 => None,
        hue if !(20.0..=340.0).contains(&hue) => Some(Colour::Red),
        hue if (90.0..=170.0).contains(&hue) => Some(Colour::Green),
        hue if (35.0..=65.0).contains(&hue) => Some(Colour::Yellow),
        _ => None,
    }
}

/// Colours of which a picture holds at least four pixels.
fn colours_found(picture: &RgbaImage) -> Colours {
    Colour::ALL
        .into_iter()
        .filter(|colour| picture.pixels().filter(|pixel| colour_of(**pixel) == Some(*colour)).count() >= 4)
        .collect()
}

fn said(scene: &Scene, shot: &Shot) -> Colours {
    let fit = &scene.fits[shot.fit];
    let stance = at_rest(scene, fit);
    let station = Station { bearing: shot.bearing, distance: shot.range, eye: shot.eye };
    showing(&stance.look(fit, shot.status, station.point(stance.middle()), shot.sky.weather(scene)))
}

#[test]
fn the_colours_in_the_pictures_are_the_colours_that_show() {
    if !can_draw() {
        return;
    }
    let scene = workboat();
    let mut shots = Vec::new();
    for fit in 0..scene.fits.len() {
        for number in 0..24 {
            // Every fifteen degrees and a little: no bearing lies on an edge by design.
            let bearing = Bearing::new(f64::from(number) * 15.0 + 0.5);
            shots.push(Shot::afloat(fit, Status::UnderWay, bearing));
        }
        // Far off, close by, from a high bridge, and at anchor.
        let beam = Shot::afloat(fit, Status::UnderWay, Bearing::new(60.0));
        shots.push(Shot { range: NauticalMiles(0.9).metres(), ..beam.clone() });
        shots.push(Shot { range: NauticalMiles(2.5).metres(), ..beam.clone() });
        shots.push(Shot { range: Metres(25.0), ..beam.clone() });
        shots.push(Shot { eye: Metres(12.0), ..beam.clone() });
        shots.push(Shot { status: Status::AtAnchor, ..beam.clone() });
        // In fog, without a moon, and before a lit shore, whose lights are not hers.
        let sky = |visibility, background, moon| Sky { visibility, background, moon };
        for sky in [
            sky(Some(NauticalMiles(0.5)), Background::Dark, true),
            sky(None, Background::Minor, false),
            sky(None, Background::Substantial, true),
        ] {
            for range in [0.2, 0.9, 2.5] {
                shots.push(Shot { range: NauticalMiles(range).metres(), sky, ..beam.clone() });
            }
        }
    }
    let sets = agree(&scene, &shots);
    assert!(sets.len() >= 4, "pictures that all show the same would prove little: {sets:?}");
}

#[test]
fn so_they_are_on_the_launch_and_the_fishing_boat() {
    if !can_draw() {
        return;
    }
    for name in ["marigold", "harrier"] {
        let scene = boat(name);
        let numbers = (0..scene.fits.len()).flat_map(|fit| (0..12).map(move |number| (fit, number)));
        let shots: Vec<Shot> = numbers
            .map(|(fit, number)| Shot::afloat(fit, Status::UnderWay, Bearing::new(f64::from(number) * 30.0 + 7.0)))
            .collect();
        let sets = agree(&scene, &shots);
        assert!(sets.len() >= 3, "{name}: {sets:?}");
    }
}

#[test]
fn both_colours_of_one_lantern_are_told_apart_from_right_ahead() {
    if !can_draw() {
        return;
    }
    let mut scene = Scene::clone(&workboat());
    let fit = &mut scene.fits[1];
    fit.lamps.retain(|lamp| lamp.role != Role::PortSidelight);
    let lantern = fit.lamps.iter_mut().find(|lamp| lamp.role == Role::StarboardSidelight).expect("a sidelight");
    lantern.role = Role::CombinedSidelights;
    lantern.optics = preset("bicolour 1 nm").expect("a generic lamp");
    lantern.at = Some(Place { forward: 5.4, starboard: 0.0, height: Height::AboveDeck(1.0) });
    let shots = [0.0, 1.0, 60.0, 300.0].map(|bearing| Shot::afloat(1, Status::UnderWay, Bearing::new(bearing)));
    let sets = agree(&Arc::new(scene), &shots);
    assert!(sets.contains("RGW") && sets.contains("GW") && sets.contains("RW"), "{sets:?}");
}

/// Holds each picture against the survey, and gives the different sets of colours met with. Pictures that disagree
/// are kept in the folder that LAMPWALK_KEEP_STILLS names.
fn agree(scene: &Arc<Scene>, shots: &[Shot]) -> BTreeSet<String> {
    let pictures = stills(scene, SIZE, shots).expect("pictures");
    assert_eq!(pictures.len(), shots.len());
    let mut sets = BTreeSet::new();
    for (shot, picture) in shots.iter().zip(&pictures) {
        let (said, found) = (said(scene, shot), colours_found(picture));
        if let (true, Some(folder)) = (found != said, std::env::var_os("LAMPWALK_KEEP_STILLS")) {
            let name = format!("{} fit {} bearing {} range {}.png", scene.name, shot.fit, shot.bearing, shot.range);
            picture.save(Path::new(&folder).join(name)).expect("kept");
        }
        assert_eq!(found.letters(), said.letters(), "{}: {shot:?}", scene.name);
        sets.insert(said.letters());
    }
    sets
}

/// Even numbers in `[0, 1)`, the same in every run. Source: G. Marsaglia, "Xorshift RNGs", J. Stat. Software 8 (2003).
struct Lots(u64);

impl Lots {
    fn draw(&mut self) -> f64 {
        for (left, by) in [(true, 13), (false, 7), (true, 17)] {
            self.0 ^= if left { self.0 << by } else { self.0 >> by };
        }
        // The upper 53 bits, which a double holds exactly.
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.draw()
    }
}

#[test]
fn forty_eight_observers_anywhere_see_in_the_picture_what_the_survey_says() {
    if !can_draw() {
        return;
    }
    let mut lots = Lots(0x9E37_79B9_7F4A_7C15);
    for (name, fits) in [("sandpiper", 2), ("petrel", 1)] {
        let scene = boat(name);
        for fit in 0..fits {
            let shots: Vec<Shot> = (0..48)
                .map(|_| Shot {
                    // Evenly in the logarithm, from a stone's throw to farther than most of her lights carry.
                    range: Metres(14.0 * 330.0_f64.powf(lots.draw())),
                    eye: Metres(lots.between(0.6, 15.0)),
                    ..Shot::afloat(fit, Status::UnderWay, Bearing::new(lots.between(0.0, 360.0)))
                })
                .collect();
            let sets = agree(&scene, &shots);
            assert!(sets.len() >= 4, "{name}: {sets:?}");
        }
    }
}

/// Light of a picture, as the screen sends it out, all pixels together.
fn light(picture: &RgbaImage) -> f64 {
    let sent = |value: u8| (f64::from(value) / 255.0).powf(2.2);
    picture.pixels().map(|pixel| sent(pixel[0]) + sent(pixel[1]) + sent(pixel[2])).sum()
}

#[test]
fn the_stronger_a_light_at_the_eye_the_more_light_it_adds_to_the_picture() {
    if !can_draw() {
        return;
    }
    let mut scene = Scene::clone(&workboat());
    // The same boat dark, to take away all but her lights.
    let mut dark = scene.fits[1].clone();
    dark.name = "dark".into();
    dark.lamps.iter_mut().for_each(|lamp| lamp.lit.clear());
    scene.fits.push(dark);
    let scene = Arc::new(scene);
    let dark = scene.fits.len() - 1;
    let ranges = [40.0, 90.0, 200.0, 450.0, 1000.0, 2200.0, 3600.0];
    let shots = |fit| {
        ranges.map(|range| Shot {
            range: Metres(range),
            field_of_view: Some(Degrees(40.0)),
            ..Shot::afloat(fit, Status::AtAnchor, Bearing::new(60.0))
        })
    };
    let (lit, unlit) = (stills(&scene, SIZE, &shots(1)), stills(&scene, SIZE, &shots(dark)));
    let (lit, unlit) = (lit.expect("pictures"), unlit.expect("pictures"));
    let added: Vec<f64> = lit.iter().zip(&unlit).map(|(lit, unlit)| light(lit) - light(unlit)).collect();
    let lux: Vec<f64> = shots(1)
        .iter()
        .map(|shot| {
            let (fit, stance) = (&scene.fits[1], at_rest(&scene, &scene.fits[1]));
            let station = Station { bearing: shot.bearing, distance: shot.range, eye: shot.eye };
            let seen = stance.look(fit, shot.status, station.point(stance.middle()), weather(&scene));
            seen.iter().filter(|one| one.made_out).map(|one| one.illuminance.0).sum()
        })
        .collect();
    for (lux, added) in lux.windows(2).zip(added.windows(2)) {
        assert!(lux[0] > lux[1], "{lux:?}");
        assert!(added[0] > added[1], "{added:?} for {lux:?}");
    }
    assert!(added.last().is_some_and(|added| *added > 0.5), "the faintest is drawn: {added:?}");
}

#[test]
fn the_same_picture_twice_is_the_same_to_the_pixel() {
    if !can_draw() {
        return;
    }
    let scene = workboat();
    let shot = Shot::afloat(1, Status::UnderWay, Bearing::new(40.0));
    let other = Shot::afloat(0, Status::UnderWay, Bearing::new(200.0));
    let pictures = stills(&scene, SIZE, &[shot.clone(), other, shot]).expect("pictures");
    assert!(pictures[0] == pictures[2]);
    assert!(pictures[0] != pictures[1]);
}

#[test]
fn it_is_night_and_the_boat_can_be_made_out() {
    if !can_draw() {
        return;
    }
    let scene = workboat();
    let picture = still(&scene, SIZE, &Shot::afloat(1, Status::AtAnchor, Bearing::new(90.0))).expect("a picture");
    let brightness = |pixel: &Rgba<u8>| u32::from(pixel[0]) + u32::from(pixel[1]) + u32::from(pixel[2]);
    let mut all: Vec<u32> = picture.pixels().map(brightness).collect();
    all.sort_unstable();
    assert!(all[all.len() / 2] < 3 * 60, "half of the picture is darker than this");
    // The hull differs from the water beside it.
    let row = |x: u32| brightness(picture.get_pixel(x, SIZE.1 * 62 / 100)).cast_signed();
    assert!((row(SIZE.0 / 2) - row(4)).abs() > 12, "{} against {}", row(SIZE.0 / 2), row(4));
}

#[test]
fn a_picture_that_cannot_be_is_refused_in_words() {
    let scene = workboat();
    let shot = Shot::afloat(0, Status::UnderWay, Bearing::AHEAD);
    assert_eq!(still(&scene, (8, 180), &shot).unwrap_err(), StillError::BadSize(8, 180));
    let no_fit = Shot { fit: 99, ..shot.clone() };
    assert_eq!(still(&scene, SIZE, &no_fit).unwrap_err().to_string(), "the scene has no fit number 100");
    for range in [0.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            still(&scene, SIZE, &Shot { range: Metres(range), ..shot.clone() }).unwrap_err(),
            StillError::BadShot
        );
    }
}
