//! A film's pictures are stills of the same places, and a film that was interrupted goes on where it stopped.
#![cfg(feature = "night")]

use std::{fs, path::Path, sync::Arc};

use lampwalk::{
    boat::{Scene, Status, read::scene_file},
    measure::Bearing,
    night::{Film, FilmError, Reel, Shot, adapter_available, still},
};

fn workboat() -> Arc<Scene> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes/sandpiper.ron");
    Arc::new(scene_file(&path).expect("the boat reads").scene)
}

fn turn() -> Film {
    let first = Shot::afloat(1, Status::UnderWay, Bearing::new(40.0));
    Film { first, size: (96, 54), pictures: 4, rate: 8 }
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

/// The pictures of an animated PNG as a general library reads them, and how long each stands, in milliseconds.
fn animation(path: &Path) -> Vec<(image::RgbaImage, u32)> {
    use image::{AnimationDecoder, codecs::png::PngDecoder};
    let file = std::io::BufReader::new(fs::File::open(path).expect("the film is there"));
    let decoder = PngDecoder::new(file).expect("a PNG").apng().expect("an animated one");
    let frames = decoder.into_frames().collect_frames().expect("whole pictures");
    let shown = |frame: image::Frame| {
        let (milliseconds, one) = frame.delay().numer_denom_ms();
        (frame.into_buffer(), milliseconds / one)
    };
    frames.into_iter().map(shown).collect()
}

#[test]
fn a_turn_goes_once_round_in_even_steps_while_the_waves_run_on() {
    let shots = turn().shots();
    let bearings: Vec<f64> = shots.iter().map(|shot| shot.bearing.degrees()).collect();
    assert_eq!(bearings, [40.0, 130.0, 220.0, 310.0]);
    assert_eq!(shots[1].waves - shots[0].waves, 0.125);
    assert_eq!(Shot { bearing: shots[0].bearing, waves: shots[0].waves, ..shots[3].clone() }, shots[0]);
}

#[test]
fn every_picture_of_a_film_is_the_still_of_its_place_and_the_animation_holds_them_in_order() {
    if !can_draw() {
        return;
    }
    let (scene, film) = (workboat(), turn());
    let folder = tempfile::tempdir().expect("a folder");
    let reel = Reel::open(&folder.path().join("pictures"), film.clone(), &scene).expect("a new folder");
    let mut told = 0;
    reel.draw(&scene, || told += 1).expect("drawn");
    assert_eq!((told, reel.missing().len()), (4, 0));
    let path = folder.path().join("turn.png");
    reel.join(&path).expect("joined");
    let shown = animation(&path);
    assert_eq!(shown.len(), 4);
    for (shot, (picture, milliseconds)) in film.shots().iter().zip(&shown) {
        assert!(still(&scene, film.size, shot).expect("a still") == *picture, "at {}", shot.bearing);
        assert_eq!(*milliseconds, 125);
    }
    assert!(shown[0].0 != shown[2].0, "the eye goes round");
    reel.discard().expect("taken away");
    let left: Vec<_> =
        fs::read_dir(folder.path()).expect("readable").flatten().map(|entry| entry.file_name()).collect();
    assert_eq!(left, ["turn.png"]);
}

#[test]
fn an_interrupted_film_draws_only_what_is_missing_and_never_mixes_two_films() {
    if !can_draw() {
        return;
    }
    let (scene, film) = (workboat(), turn());
    let folder = tempfile::tempdir().expect("a folder");
    let reel = Reel::open(folder.path(), film.clone(), &scene).expect("an empty folder");
    reel.draw(&scene, || {}).expect("drawn");
    let first = folder.path().join("0001.png");
    let kept = fs::metadata(&first).and_then(|about| about.modified()).expect("there");
    fs::remove_file(folder.path().join("0003.png")).expect("there");

    let again = Reel::open(folder.path(), film.clone(), &scene).expect("the same film");
    assert_eq!(again.missing(), [2]);
    let mut told = 0;
    again.draw(&scene, || told += 1).expect("drawn");
    assert_eq!((told, again.missing().len()), (1, 0));
    assert_eq!(fs::metadata(&first).and_then(|about| about.modified()).expect("there"), kept);

    let mut boat = Scene::clone(&scene);
    boat.vessel.length.0 += 0.001;
    let others = [(Film { rate: 9, ..film.clone() }, &*scene), (film, &boat)];
    for (film, scene) in others {
        assert!(matches!(Reel::open(folder.path(), film, scene), Err(FilmError::Taken(_))));
    }
}

#[test]
fn a_folder_with_something_else_in_it_is_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let letter = folder.path().join("letter.txt");
    fs::write(&letter, "dear all").expect("written");
    let refused = Reel::open(folder.path(), turn(), &workboat()).expect_err("taken");
    assert!(matches!(refused, FilmError::Taken(_)) && refused.to_string().contains("name another folder"));
    assert!(matches!(Reel::open(&letter, turn(), &workboat()), Err(FilmError::File(..))));
    assert_eq!(fs::read_to_string(letter).expect("there"), "dear all");
}
