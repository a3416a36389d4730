//! One of the supplied boats as a single mesh of about as many triangles as wanted, for comparisons and benchmarks.

use std::{collections::HashMap, path::Path, sync::Arc};

use glam::DVec3;
use lampwalk::{
    boat::{
        Attitude, Owner, Pose, PosedLamp, Solid,
        read::scene_file,
        shape::{Shape, Triangles},
    },
    shadow::Obstacles,
    survey::Stance,
};

/// A boat made of triangles, and the first four of her lamps.
pub struct MeshedBoat {
    pub mesh: Arc<Triangles>,
    pub lamps: Vec<PosedLamp>,
}

impl MeshedBoat {
    /// Her surface, ready to be asked.
    pub fn obstacles(&self) -> Obstacles {
        let shape = Shape::Mesh(Arc::clone(&self.mesh));
        Obstacles::new(&[Solid { owner: Owner::Hull, shape, transmits: 0.0 }])
    }
}

/// A mesh as careless modelling leaves it: some triangles missing, some double, some as slivers, and corners that should
/// meet a little apart. Which ones is the same each time.
pub fn damaged(mesh: &Triangles) -> Triangles {
    let mut worse = Welder::default();
    for (n, corners) in mesh.iter().enumerate() {
        let [a, b, c] = corners;
        match n % 97 {
            0 => {}
            1 => {
                worse.add([a, b, c]);
                worse.add([a, b, c]);
            }
            2 => {
                worse.add([a, b, c]);
                worse.add([c, b, a]);
            }
            3 => {
                // A corner moved along the far side cuts off a sliver of a ten-thousandth of it.
                let along = a + (b - a) * 1e-4;
                worse.add([a, along, c]);
                worse.add([along, b, c]);
            }
            4 => worse.add([a, a + (b - a) * 0.999, a + (c - a) * 0.999]),
            5 => worse.add([a, a, b]),
            _ => worse.add([a, b, c]),
        }
    }
    worse.mesh
}

/// A supplied boat as her first fit leaves her, cut into about so many triangles of even size; `count` is at least
/// 2,000. Lamps stand as fitted, their own mounts left out.
pub fn meshed_boat(name: &str, count: usize) -> MeshedBoat {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    let scene = scene_file(&path).expect("a supplied scene is sound").scene;
    let stance = Stance::new(&scene, &scene.fits[0], &Pose::default(), Attitude::default());
    let solids: Vec<&Shape> =
        stance.posed().solids.iter().filter(|solid| solid.transmits == 0.0).map(|solid| &solid.shape).collect();
    let coarse = |deviation: f64| -> Vec<[DVec3; 3]> {
        solids.iter().flat_map(|shape| shape.triangles_within(deviation).iter().collect::<Vec<_>>()).collect()
    };
    // The roundest that leaves room below the least count; larger meshes are rounder too.
    let deviation = (0..40).map(|n| 2e-5 * 1.4f64.powi(n)).find(|deviation| coarse(*deviation).len() <= count / 2);
    let base = coarse(deviation.unwrap_or(0.05));
    let (mut low, mut high) = (1e-3, 10.0);
    for _ in 0..40 {
        let longest = f64::sqrt(low * high);
        if halved_count(&base, longest) > count { low = longest } else { high = longest }
    }
    let mut mesh = Welder::default();
    base.iter().for_each(|triangle| halve(*triangle, high, &mut |corners| mesh.add(corners)));
    MeshedBoat { mesh: Arc::new(mesh.mesh), lamps: stance.posed().lamps.iter().take(4).cloned().collect() }
}

fn halved_count(base: &[[DVec3; 3]], longest: f64) -> usize {
    let mut count = 0;
    base.iter().for_each(|triangle| halve(*triangle, longest, &mut |_| count += 1));
    count
}

/// Cuts a triangle in two across its longest edge until no edge is longer than `longest`. Neighbours cut a shared edge
/// alike, so no crack opens.
fn halve([a, b, c]: [DVec3; 3], longest: f64, keep: &mut impl FnMut([DVec3; 3])) {
    let [ab, bc, ca] = [a.distance(b), b.distance(c), c.distance(a)];
    let most = ab.max(bc).max(ca);
    if most <= longest {
        return keep([a, b, c]);
    }
    // Turned so that the longest edge comes first.
    let [a, b, c] = if ab == most {
        [a, b, c]
    } else if bc == most {
        [b, c, a]
    } else {
        [c, a, b]
    };
    let middle = (a + b) / 2.0;
    halve([a, middle, c], longest, keep);
    halve([middle, b, c], longest, keep);
}

/// Gathers triangles, each corner point once.
#[derive(Default)]
pub struct Welder {
    pub mesh: Triangles,
    known: HashMap<[u64; 3], u32>,
}

impl Welder {
    pub fn add(&mut self, corners: [DVec3; 3]) {
        let corners = corners.map(|corner| {
            let key = (corner + DVec3::ZERO).to_array().map(f64::to_bits);
            *self.known.entry(key).or_insert_with(|| self.mesh.point(corner))
        });
        self.mesh.corners.push(corners);
    }
}
