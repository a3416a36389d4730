//! How long a search for places takes: all lamps of the supplied boats together.

use std::{hint::black_box, path::Path};

use criterion::{Criterion, criterion_group, criterion_main};
use lampwalk::{
    boat::read::scene_file,
    fitting::place::{Wish, proposals},
    rules::international,
};

fn all_lamps(bench: &mut Criterion) {
    for (name, fit) in [("sandpiper", 0), ("marigold", 1), ("harrier", 1)] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
        let scene = scene_file(&path).expect("a supplied scene is sound").scene;
        let wish = Wish::for_all(&scene, fit, international());
        let looked_at = proposals(&scene, &wish).looked_at;
        let lamps = wish.lamps.len();
        bench.bench_function(&format!("{lamps} lamps of {name}, {looked_at} places"), |timer| {
            timer.iter(|| black_box(proposals(&scene, &wish).proposals.len()));
        });
    }
}

criterion_group! {
    name = benches;
    config = Criterion::default().sample_size(10);
    targets = all_lamps
}
criterion_main!(benches);
