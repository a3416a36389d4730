//! How long it takes to see all round four lamps past a boat of many triangles.
//!
//! With `LAMPWALK_EXPORT=FOLDER` nothing is timed by criterion; instead the meshes, the lamps, our answers and our own times are
//! written into the folder for `against_embree.py`.

#[path = "../support/meshed.rs"]
mod meshed;

use std::{
    fs,
    hint::black_box,
    path::Path,
    sync::Arc,
    time::{Duration, Instant},
};

use criterion::{Criterion, criterion_group};
use glam::DMat3;
use lampwalk::{
    measure::Degrees,
    shadow::{Grid, Obstacles, Panorama, Points, Ray},
};
use meshed::{MeshedBoat, damaged, meshed_boat};
use parry3d_f64::{
    math::{Pose as Isometry, Vector},
    query::{Ray as TheirRay, RayCast},
    shape::TriMesh,
};
use rayon::prelude::*;

const SIZES: [usize; 3] = [2_000, 50_000, 1_000_000];

/// What is compared with Embree: the sizes that are timed, and other boats, the last with a careless mesh.
fn boats() -> Vec<(String, MeshedBoat)> {
    let sized = SIZES.map(|size| (format!("harrier {size}"), meshed_boat("harrier", size)));
    let mut careless = meshed_boat("marigold", 30_000);
    careless.mesh = Arc::new(damaged(&careless.mesh));
    let others = [("sandpiper 20000".into(), meshed_boat("sandpiper", 20_000)), ("marigold careless".into(), careless)];
    sized.into_iter().chain(others).collect()
}

/// 1440 bearings, 31 elevations and 16 points for each of four lamps: 2.86 million samples.
fn standard() -> Grid {
    Grid::new(1440, Degrees(-7.5), Degrees(7.5), 31).expect("within the ranges of a grid")
}

/// A ring while a lamp is dragged: 360 bearings, 11 elevations, 4 points.
fn live() -> Grid {
    Grid::new(360, Degrees(-7.5), Degrees(7.5), 11).expect("within the ranges of a grid")
}

fn look_round(boat: &MeshedBoat, obstacles: &Obstacles, grid: Grid, points: Points) -> Vec<Panorama> {
    boat.lamps.par_iter().map(|lamp| Panorama::of(obstacles, lamp, &DMat3::IDENTITY, grid, points)).collect()
}

fn in_threads<T: Send>(threads: usize, work: impl FnOnce() -> T + Send) -> T {
    rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads").install(work)
}

fn standard_survey(bench: &mut Criterion) {
    for size in SIZES {
        let boat = meshed_boat("harrier", size);
        bench.bench_function(&format!("standard survey, {size} triangles, made ready, one thread"), |timer| {
            in_threads(1, || {
                timer.iter(|| black_box(look_round(&boat, &boat.obstacles(), standard(), Points::Sixteen)));
            });
        });
        let obstacles = boat.obstacles();
        bench.bench_function(&format!("standard survey, {size} triangles, one thread"), |timer| {
            in_threads(1, || timer.iter(|| black_box(look_round(&boat, &obstacles, standard(), Points::Sixteen))));
        });
    }
}

fn dragged_lamp(bench: &mut Criterion) {
    let boat = meshed_boat("harrier", 100_000);
    let obstacles = boat.obstacles();
    bench.bench_function("ring while a lamp is dragged, 100000 triangles, one thread", |timer| {
        in_threads(1, || timer.iter(|| black_box(look_round(&boat, &obstacles, live(), Points::Four))));
    });
}

criterion_group!(benches, standard_survey, dragged_lamp);

/// The middle one of several times.
fn median(mut work: impl FnMut(), runs: usize) -> Duration {
    let mut times: Vec<_> = (0..runs)
        .map(|_| {
            let start = Instant::now();
            work();
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[runs / 2]
}

/// Seconds that parry3d would take for all samples, judged by every 29th of them.
fn parry_seconds(boat: &MeshedBoat) -> (f64, f64) {
    let vector = |at: glam::DVec3| Vector::new(at.x, at.y, at.z);
    let start = Instant::now();
    let points = boat.mesh.points.iter().map(|point| vector(*point)).collect();
    let surface = TriMesh::new(points, boat.mesh.corners.clone()).expect("a surface with triangles");
    let built = start.elapsed().as_secs_f64();
    let (grid, turn) = (standard(), DMat3::IDENTITY);
    let mut rays = Vec::new();
    for (n, lamp) in boat.lamps.iter().enumerate() {
        for column in 0..grid.bearings() {
            let starts = Panorama::starts(lamp, &turn, grid.bearing(column), Points::Sixteen);
            for (point, origin) in (0..).zip(starts) {
                for row in 0..grid.elevations() {
                    if (n as u32 + column * 31 * 16 + point * 31 + row) % 29 == 0 {
                        let direction = grid.bearing(column).direction_at(grid.elevation(row));
                        rays.push(Ray { origin, direction, length: 1e4 });
                    }
                }
            }
        }
    }
    let place = Isometry::IDENTITY;
    let start = Instant::now();
    let met = rays
        .iter()
        .filter(|ray| surface.intersects_ray(&place, &TheirRay::new(vector(ray.origin), vector(ray.direction)), 1e4))
        .count();
    black_box(met);
    let all = 4.0 * f64::from(grid.bearings() * grid.elevations() * 16);
    (built, start.elapsed().as_secs_f64() * all / rays.len() as f64)
}

fn export(folder: &Path) {
    fs::create_dir_all(folder).expect("a folder to write into");
    let write = |name: String, bytes: Vec<u8>| fs::write(folder.join(name), bytes).expect("a file written");
    let mut written = Vec::new();
    for (name, boat) in boats() {
        let points: Vec<u8> =
            boat.mesh.points.iter().flat_map(|point| point.as_vec3().to_array()).flat_map(f32::to_le_bytes).collect();
        let corners: Vec<u8> = boat.mesh.corners.iter().flatten().flat_map(|index| index.to_le_bytes()).collect();
        write(format!("{name}.points"), points);
        write(format!("{name}.corners"), corners);
        let runs = if boat.mesh.corners.len() > 100_000 { 7 } else { 21 };
        let times: Vec<_> = [1, 2]
            .map(|threads| {
                in_threads(threads, || {
                    let build = median(|| drop(black_box(boat.obstacles())), runs).as_secs_f64();
                    let obstacles = boat.obstacles();
                    let look = || drop(black_box(look_round(&boat, &obstacles, standard(), Points::Sixteen)));
                    (build, median(look, runs).as_secs_f64())
                })
            })
            .into();
        let answers = look_round(&boat, &boat.obstacles(), standard(), Points::Sixteen);
        let grid = standard();
        // A byte for each sample: lamps, then bearings, then points, then elevations.
        let stopped = answers.iter().flat_map(|seen| {
            (0..grid.bearings()).flat_map(move |column| {
                (0..16).flat_map(move |point| {
                    (0..grid.elevations()).map(move |row| u8::from(seen.stopped(column, row, point)))
                })
            })
        });
        write(format!("{name}.stopped"), stopped.collect());
        let lamps: Vec<_> = (boat.lamps.iter())
            .map(|lamp| {
                serde_json::json!({
                    "centre": lamp.centre.to_array(), "axis": lamp.frame.z_axis.to_array(),
                    "width": lamp.face.width, "height": lamp.face.height,
                })
            })
            .collect();
        let (parry_build, parry_look) = parry_seconds(&boat);
        written.push(serde_json::json!({
            "name": name, "triangles": boat.mesh.corners.len(), "lamps": lamps,
            "build": times.iter().map(|time| time.0).collect::<Vec<_>>(),
            "look": times.iter().map(|time| time.1).collect::<Vec<_>>(),
            "parry_build": parry_build, "parry_look": parry_look,
        }));
    }
    write("boats.json".into(), serde_json::to_vec_pretty(&written).expect("plain numbers"));
}

fn main() {
    match std::env::var_os("LAMPWALK_EXPORT") {
        Some(folder) => export(Path::new(&folder)),
        None => {
            benches();
            Criterion::default().configure_from_args().final_summary();
        }
    }
}
