//! Mesh files for the tests, written by hand: surfaces with names, laid in the file as a scene says that they are.

use glam::{DMat3, DVec3};
use lampwalk::boat::shape::{Shape, Triangles};

/// A surface as a file names it.
pub struct Named<'a> {
    pub name: &'a str,
    pub mesh: Triangles,
}

pub fn named(name: &str, mesh: Triangles) -> Named<'_> {
    Named { name, mesh }
}

/// An upright box on its foot, vessel frame.
pub fn block(foot: [f64; 3], length: f64, width: f64, height: f64) -> Triangles {
    Shape::standing_box(DVec3::from_array(foot), length, width, height).triangles()
}

fn axis(word: &str) -> DVec3 {
    let axis = [DVec3::X, DVec3::Y, DVec3::Z][usize::from(word.as_bytes()[1] - b'x')];
    if word.starts_with('-') { -axis } else { axis }
}

/// What a file in this unit and with these axes holds for a surface in the vessel frame.
pub fn as_filed(mesh: &Triangles, metres: f64, up: &str, forward: &str) -> Triangles {
    let (up, forward) = (axis(up), axis(forward));
    let turn = DMat3::from_cols(forward, up.cross(forward), up) * (1.0 / metres);
    Triangles { points: mesh.points.iter().map(|point| turn * *point).collect(), corners: mesh.corners.clone() }
}

/// Both axes of every way that a file may lie.
pub fn every_lie() -> Vec<(&'static str, &'static str)> {
    let axes = ["+x", "-x", "+y", "-y", "+z", "-z"];
    let pairs = axes.iter().flat_map(|up| axes.iter().map(move |forward| (*up, *forward)));
    pairs.filter(|(up, forward)| up[1..] != forward[1..]).collect()
}

pub fn obj(pieces: &[Named]) -> String {
    let mut text = String::new();
    let mut before = 1;
    for Named { name, mesh } in pieces {
        text += &format!("o {name}\n");
        text.extend(mesh.points.iter().map(|point| format!("v {} {} {}\n", point.x, point.y, point.z)));
        let corner = |index: u32| format!(" {}", before + index);
        text.extend(mesh.corners.iter().map(|corners| format!("f{}\n", corners.map(corner).concat())));
        before += u32::try_from(mesh.points.len()).expect("a small mesh");
    }
    text
}

pub fn stl_in_words(pieces: &[Named]) -> String {
    let mut text = String::new();
    for Named { name, mesh } in pieces {
        text += &format!("solid {name}\n");
        for corners in mesh.iter() {
            let vertices = corners.map(|corner| format!("vertex {} {} {}\n", corner.x, corner.y, corner.z)).concat();
            text += &format!("facet normal 0 0 0\nouter loop\n{vertices}endloop\nendfacet\n");
        }
        text += &format!("endsolid {name}\n");
    }
    text
}

/// A GLB file with one node and one nameless shape for each piece. A name is written as JSON has it.
pub fn glb(pieces: &[Named]) -> Vec<u8> {
    let nodes = pieces.iter().enumerate().map(|(n, piece)| format!(r#"{{"name":"{}","mesh":{n}}}"#, piece.name));
    let roots = (0..pieces.len()).map(|n| n.to_string()).collect::<Vec<_>>().join(",");
    glb_of(pieces, &nodes.collect::<Vec<_>>().join(","), &roots, "")
}

/// The same with nodes as they stand in JSON, those that are roots, and what each shape has besides its triangles.
pub fn glb_of(pieces: &[Named], nodes: &str, roots: &str, besides: &str) -> Vec<u8> {
    let (mut bytes, mut views, mut accessors, mut meshes) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for (n, Named { mesh, .. }) in pieces.iter().enumerate() {
        let mut view = |part: Vec<u8>| {
            views.push(format!(r#"{{"buffer":0,"byteOffset":{},"byteLength":{}}}"#, bytes.len(), part.len()));
            bytes.extend(part);
        };
        view(mesh.points.iter().flat_map(|point| point.as_vec3().to_array()).flat_map(f32::to_le_bytes).collect());
        view(mesh.corners.iter().flatten().flat_map(|index| index.to_le_bytes()).collect());
        let (low, high) = mesh.bounds().expect("a surface has points");
        accessors.push(format!(
            r#"{{"bufferView":{},"componentType":5126,"count":{},"type":"VEC3","min":{:?},"max":{:?}}}"#,
            2 * n,
            mesh.points.len(),
            low.as_vec3().to_array(),
            high.as_vec3().to_array()
        ));
        let count = 3 * mesh.corners.len();
        accessors
            .push(format!(r#"{{"bufferView":{},"componentType":5125,"count":{count},"type":"SCALAR"}}"#, 2 * n + 1));
        let (points, corners) = (2 * n, 2 * n + 1);
        meshes.push(format!(
            r#"{{{besides}"primitives":[{{"attributes":{{"POSITION":{points}}},"indices":{corners}}}]}}"#
        ));
    }
    let json = format!(
        r#"{{"asset":{{"version":"2.0"}},"scene":0,"scenes":[{{"nodes":[{roots}]}}],"nodes":[{nodes}],"meshes":[{}],
        "accessors":[{}],"bufferViews":[{}],"buffers":[{{"byteLength":{}}}]}}"#,
        meshes.join(","),
        accessors.join(","),
        views.join(","),
        bytes.len()
    );
    packed(json.into_bytes(), bytes)
}

fn packed(mut json: Vec<u8>, bytes: Vec<u8>) -> Vec<u8> {
    while !json.len().is_multiple_of(4) {
        json.push(b' ');
    }
    let size = |length: usize| u32::try_from(length).expect("a small file").to_le_bytes();
    let mut file = b"glTF\x02\0\0\0".to_vec();
    file.extend(size(28 + json.len() + bytes.len()));
    file.extend(size(json.len()));
    file.extend(b"JSON");
    file.extend(json);
    file.extend(size(bytes.len()));
    file.extend(b"BIN\0");
    file.extend(bytes);
    file
}
