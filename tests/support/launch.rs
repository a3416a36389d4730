//! The mesh of the supplied launch Petrel, made from the figures of her scene and from what is invented here.

use glam::DVec3;
use lampwalk::boat::{
    Vessel,
    shape::{Shape, Triangles},
};

use super::meshes::{Named, as_filed, block, glb, named};

/// Fore end and after end of the foredeck, metres forward of the transom; and its rise on the centreline.
const FOREDECK: (f64, f64) = (5.32, 3.9);
const CAMBER: f64 = 0.04;
/// Height of the middle of the awning above the water, and what its edges lie lower.
const AWNING: f64 = 2.08;
const AWNING_DROP: f64 = 0.06;
/// Its ends, metres forward of the transom, and half its width.
const AWNING_ENDS: (f64, f64) = (0.9, 2.5);
const AWNING_HALF: f64 = 0.8;

/// The whole file: metres, +Y up, +Z forward, as glTF 2.0 section 3.4 has it; points to the millimetre.
pub fn petrel(vessel: &Vessel) -> Vec<u8> {
    let sole = vessel.deck_height(2.0, 0.0);
    let pieces = [
        named("hull", hull(vessel)),
        named("foredeck", foredeck(vessel)),
        named("rubbing_strake", strake(vessel)),
        named(
            "samson_post",
            bar([4.75, 0.0, foredeck_height(vessel, 4.75)], [4.75, 0.0, foredeck_height(vessel, 4.75) + 0.28], 0.09),
        ),
        named("console", block([2.4, 0.0, sole], 0.5, 0.7, 0.8)),
        named(
            "windscreen_glass",
            sheet([
                [2.6, 0.34, sole + 0.8],
                [2.6, -0.34, sole + 0.8],
                [2.45, -0.3, sole + 1.15],
                [2.45, 0.3, sole + 1.15],
            ]),
        ),
        named("helm_seat", block([1.5, 0.0, sole], 0.4, 0.9, 0.45)),
        named("bimini_frame", frame(vessel)),
        named("bimini_cloth", cloth()),
    ];
    let filed: Vec<Named> = pieces
        .iter()
        .map(|piece| named(piece.name, to_the_millimetre(&as_filed(&piece.mesh, 1.0, "+y", "+z"))))
        .collect();
    glb(&filed)
}

/// The hull of the figures, its sole drawn back from the foremost point to the raked stem.
fn hull(vessel: &Vessel) -> Triangles {
    let mut mesh = Triangles::clone(&vessel.hull_mesh());
    let stem = vessel.length.0;
    let sole = |point: &&mut DVec3| point.x > stem - 0.01 && point.z < vessel.gunwale_height(stem) - 0.1;
    mesh.points.iter_mut().filter(sole).for_each(|point| point.x = stem - 0.2);
    mesh
}

fn to_the_millimetre(mesh: &Triangles) -> Triangles {
    let points = mesh.points.iter().map(|point| (*point * 1000.0).round() / 1000.0 + DVec3::ZERO).collect();
    Triangles { points, corners: mesh.corners.clone() }
}

fn bar(from: [f64; 3], to: [f64; 3], diameter: f64) -> Triangles {
    Shape::Cylinder { from: DVec3::from_array(from), to: DVec3::from_array(to), radius: diameter / 2.0 }.triangles()
}

fn sheet(corners: [[f64; 3]; 4]) -> Triangles {
    let mut mesh = Triangles::default();
    let quad = corners.map(|corner| mesh.point(DVec3::from_array(corner)));
    mesh.quad(quad);
    mesh
}

fn foredeck_height(vessel: &Vessel, forward: f64) -> f64 {
    vessel.gunwale_height(forward) + CAMBER
}

/// From gunwale to gunwale, and the bulkhead under its after edge.
fn foredeck(vessel: &Vessel) -> Triangles {
    let mut mesh = Triangles::default();
    let stations: Vec<Vec<u32>> = (0..=8)
        .map(|n| {
            let forward = FOREDECK.1 + (FOREDECK.0 - FOREDECK.1) * f64::from(n) / 8.0;
            let edge = vessel.half_breadth(forward);
            let across = (-3..=3).map(|strip| f64::from(strip) / 3.0);
            let height = |share: f64| vessel.gunwale_height(forward) + CAMBER * (1.0 - share * share);
            across.map(|share| mesh.point(DVec3::new(forward, edge * share, height(share)))).collect()
        })
        .collect();
    for pair in stations.windows(2) {
        for n in 1..pair[0].len() {
            mesh.quad([pair[0][n - 1], pair[1][n - 1], pair[1][n], pair[0][n]]);
        }
    }
    let edge = vessel.half_breadth(FOREDECK.1);
    let (top, foot) = (vessel.gunwale_height(FOREDECK.1), vessel.deck_height(FOREDECK.1, 0.0));
    let inset = edge - (top - foot) * vessel.hull.flare.0.to_radians().tan();
    let corner = |to_port: f64, height: f64| [FOREDECK.1, to_port, height];
    mesh.append(&sheet([corner(edge, top), corner(-edge, top), corner(-inset, foot), corner(inset, foot)]));
    mesh
}

/// A rail of square section along both gunwales, meeting at the stem.
fn strake(vessel: &Vessel) -> Triangles {
    const OUT: f64 = 0.025;
    const DEEP: f64 = 0.06;
    let mut mesh = Triangles::default();
    for side in [1.0, -1.0] {
        let sections: Vec<[u32; 4]> = (0..=24)
            .map(|n| {
                let forward = vessel.length.0 * f64::from(n) / 24.0;
                let (edge, height) = (vessel.half_breadth(forward), vessel.gunwale_height(forward));
                [(edge, height), (edge + OUT, height), (edge + OUT, height - DEEP), (edge, height - DEEP)]
                    .map(|(off, height)| mesh.point(DVec3::new(forward, side * off, height)))
            })
            .collect();
        for pair in sections.windows(2) {
            for n in 0..4 {
                let next = (n + 1) % 4;
                let face = [pair[0][n], pair[0][next], pair[1][next], pair[1][n]];
                mesh.quad(if side > 0.0 { [face[3], face[2], face[1], face[0]] } else { face });
            }
        }
    }
    mesh
}

/// Three hoops from one foot on either gunwale.
fn frame(vessel: &Vessel) -> Triangles {
    const TUBE: f64 = 0.028;
    let foot = |side: f64| [1.6, side * (vessel.half_breadth(1.6) - 0.05), vessel.gunwale_height(1.6)];
    let mut mesh = Triangles::default();
    for forward in [AWNING_ENDS.0, (AWNING_ENDS.0 + AWNING_ENDS.1) / 2.0, AWNING_ENDS.1] {
        let corner = |side: f64| [forward, side * AWNING_HALF, AWNING - AWNING_DROP - TUBE];
        for side in [1.0, -1.0] {
            mesh.append(&bar(foot(side), corner(side), TUBE));
        }
        mesh.append(&bar(corner(1.0), corner(-1.0), TUBE));
    }
    mesh
}

fn cloth() -> Triangles {
    let mut mesh = Triangles::default();
    let at = |forward: f64, share: f64| DVec3::new(forward, share * AWNING_HALF, AWNING - AWNING_DROP * share * share);
    for strip in -4..4 {
        let (right, left) = (f64::from(strip) / 4.0, f64::from(strip + 1) / 4.0);
        let (aft, fore) = AWNING_ENDS;
        let corners = [at(aft, right), at(fore, right), at(fore, left), at(aft, left)];
        let quad = corners.map(|corner| mesh.point(corner));
        mesh.quad(quad);
    }
    mesh
}
