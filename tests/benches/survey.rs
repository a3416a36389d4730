//! How long a survey and a judgement of the supplied boats take.

use std::{hint::black_box, path::Path};

use criterion::{Criterion, criterion_group, criterion_main};
use lampwalk::{
    boat::{Scene, Status, read::scene_file},
    measure::{Bearing, Degrees, Metres},
    rules::{international, judge},
    survey::{Settings, Station, Survey, at_rest, weather},
};

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    scene_file(&path).expect("a supplied scene is sound").scene
}

fn whole_survey(bench: &mut Criterion) {
    for name in ["sandpiper", "marigold", "harrier"] {
        let scene = scene(name);
        let fit = &scene.fits[1];
        bench.bench_function(&format!("survey and judge {name}"), |timer| {
            timer.iter(|| {
                let survey = Survey::of(&scene, fit, Status::UnderWay, &Settings::default());
                black_box(judge(&scene, fit, &survey, international()).findings.len())
            });
        });
    }
}

fn one_eye(bench: &mut Criterion) {
    let scene = scene("sandpiper");
    let fit = &scene.fits[1];
    let stance = at_rest(&scene, fit);
    let weather = weather(&scene);
    let eye = Station { bearing: Bearing::new(33.0), distance: Metres(40.0), eye: Metres(2.0) }.point(stance.middle());
    bench.bench_function("one look at every light", |timer| {
        timer.iter(|| black_box(stance.look(fit, Status::UnderWay, eye, weather)));
    });
    let light = stance.lights().next().expect("a light");
    bench.bench_function("one light toward one bearing", |timer| {
        timer.iter(|| black_box(stance.toward(light, Bearing::new(17.0), Degrees(-5.0))));
    });
}

criterion_group!(benches, whole_survey, one_eye);
criterion_main!(benches);
