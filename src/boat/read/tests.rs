//! Properties of the reader: it never panics whatever it is given, and it accepts all RON that the `ron` crate does.

use std::{fs, path::Path};

use glam::DVec3;
use proptest::prelude::*;

use super::{
    fault::{Faults, Lines},
    mesh_file::{MeshError, Setting, laid, read},
    scene_text, text,
};
use crate::{
    boat::{Bright, Face, Form, Measured, mesh::Surface, shape::Triangles},
    light::Colour,
};

const BOAT: &str = r#"#![enable(implicit_some)]
Scene(
    name: "Properties", note: "invented /* not a comment */",
    vessel: Vessel(length: 6.2, beam: 2.3, freeboard: 0.65, depth: 0.95, propulsion: Power, top_speed: 22,
        hull: Hull(sheer: 0.25, flare: 12, deck_camber: 0.03, bulwark: 0.0, transom: 0.85)),
    conditions: Conditions(visibility: 10, eyes: [2.0, 1.2, 12.0], near: 10, far: 0.5, trim: (least: 0, most: 4)),
    parts: [ /* nested /* comment */ */
        Rail(name: "rail", through: [(forward: 4, port: 0.8, above_deck: 0.6), (forward: 5, port: 0.4)], diameter: 0.025),
        Windscreen(name: "screen", at: (forward: 3), width: 1.2, height: 0.5, rake: 30, transmits: 0.7),
        Outboard(name: "engine", at: (forward: 0, above_waterline: 0.5), cowling: (length: 0.6, width: 0.35,
            height: 0.5), leg: 0.9, steering: (now: 0, most: 35), tilt: (now: 0, most: 70)),
        Mast(name: "mast", at: (forward: 1), height: 1_5e-1, diameter: 0.05),
        Antenna(name: "whip", at: (forward: 1, starboard: 0.5), height: 2, diameter: 0.01, lean: 10),
        Arch(name: "arch", at: (forward: 2), width: 1.8, height: 1.9, diameter: 0.05),
        Person(name: "crew", at: (forward: 2), height: 1.75, posture: [Seated, Standing]),
        Fender(name: "fender", at: (forward: 3, port: 1.2, above_gunwale: 0), length: 0.5, diameter: 0.15),
        Box(name: "box", at: (forward: 4), length: 0.5, width: 0.5, height: 0.3, yaw: 45),
        Cylinder(name: "drum", at: (forward: 4.6), height: 0.4, diameter: 0.3),
        Capsule(name: "sail", from: (forward: 1), to: (forward: 3, above_deck: 0.2), diameter: 0.2),
        Cabin(name: "house", at: (forward: 3), length: 0.4, width: 0.3, height: 0.2), Stanchion(name: "post",
            at: (forward: 5), height: 0.6, diameter: 0x1), // a comment
    ],
    fits: [Fit(name: r"as found", note: Some("x"), lamps: [
        Lamp(name: "port", role: PortSidelight, at: (forward: 4.4, port: 1.0, above_deck: 0.12),
            mount: Bracket(along: Gunwale), yaw: 1, tilt: -2, roll: 3, face: (width: 0.03, height: 0.04, form: Globe, bright: Middle),
            optics: "port 1 nm", lit: [UnderWay]),
        Lamp(name: "stern", role: Sternlight, at: (forward: 0, port: 0.6, above_deck: -0.2), mount: Flush, optics: "stern 2 nm"),
        Lamp(name: "top", role: AllRoundWhite, mount: Pole("mast"), optics: "all-round 2 nm"),
        Lamp(name: "hood", role: AllRoundWhite, at: (forward: -0.3, above_waterline: 1.1), mount: Outboard("engine"),
            optics: "all-round 2 nm", chromaticity: [(colour: White, x: 0.45, y: 0.41)]),
    ], switches: [
        Switch(name: "sides", lamps: ["port", "stern"]),
        Switch(name: "mode", positions: [Position(name: "run", lamps: ["hood"]),
            Position(name: "anchor", note: "alone", lamps: ["top", "stern"])]),
    ])],
    helm: "crew",
)"#;

fn accepted(written: &str) -> bool {
    let mut faults = Faults::of(written);
    text::parse(written, "Scene", &mut faults);
    faults.count() == 0
}

#[test]
fn every_kind_of_part_and_mount_is_read() {
    let boat = BOAT.replace("diameter: 0x1)", "diameter: 0.03)");
    let read = scene_text(&boat, "properties.ron", None).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(read.scene.parts.len(), 13);
    assert_eq!(read.scene.fits[0].note, "x");
    let globe = Face { width: 0.03, height: 0.04, form: Form::Globe, bright: Bright::Middle };
    assert_eq!(read.scene.fits[0].lamps[0].face, globe);
    assert_eq!(read.scene.fits[0].lamps[1].face, Face::column(0.03, 0.03));
    let last = read.spans.part(12).unwrap();
    assert!(read.text[last.span.range()].starts_with("Stanchion(name: \"post\""));
    assert!(text::tree(&boat).is_some());
}

#[test]
fn the_switch_plan_is_read_with_its_lamps_as_indices() {
    let boat = BOAT.replace("diameter: 0x1)", "diameter: 0.03)");
    let read = scene_text(&boat, "properties.ron", None).unwrap_or_else(|error| panic!("{error}"));
    let fit = &read.scene.fits[0];
    let told: Vec<_> = fit.switches.iter().flat_map(|switch| &switch.positions).collect();
    assert_eq!(told.iter().map(|one| one.name.as_str()).collect::<Vec<_>>(), ["on", "run", "anchor"]);
    assert_eq!(told.iter().map(|one| one.lamps.as_slice()).collect::<Vec<_>>(), [&[0, 1][..], &[3], &[1, 2]]);
    assert_eq!(fit.lamps[3].chromaticity, [Measured { colour: Colour::White, x: 0.45, y: 0.41 }]);
    assert_eq!(read.scene.helm.as_deref(), Some("crew"));
    assert!(read.text[read.spans.switch(0, 1).unwrap().span.range()].starts_with("Switch(name: \"mode\""));
}

#[test]
fn unless_said_she_is_steered_as_far_as_all_her_outboards_turn() {
    let boat = BOAT.replace("diameter: 0x1)", "diameter: 0.03)");
    let steering = |text: &str| {
        let read = scene_text(text, "boat.ron", None).unwrap_or_else(|error| panic!("{error}"));
        read.scene.conditions.steering.0
    };
    assert_eq!(steering(&boat), 35.0);
    assert_eq!(steering(&boat.replace("most: 35", "least: -20, most: 35")), 20.0);
    assert_eq!(steering(&boat.replace("far: 0.5", "far: 0.5, steering: 0")), 0.0);
    assert_eq!(steering(&boat.replace("far: 0.5", "far: 0.5, steering: None")), 35.0);
    let conditions = boat.lines().find(|line| line.contains("conditions:")).expect("its line");
    assert_eq!(steering(&boat.replace(conditions, "")), 35.0, "nor need there be any conditions");
    assert_eq!(steering(&boat.replace("steering: (now: 0, most: 35), ", "")), 0.0, "a fixed engine");
    let spare = "Outboard(name: \"spare\", at: (forward: 0, starboard: 0.7, above_waterline: 0.5), \
                 cowling: (length: 0.3, width: 0.2, height: 0.3), leg: 0.6";
    let with = |joint: &str| boat.replace("Mast(name", &format!("{spare}{joint}), Mast(name"));
    assert_eq!(steering(&with(", steering: (most: 25)")), 25.0);
    assert_eq!(steering(&with("")), 0.0, "one of two is fixed");
}

/// Whichever quote of the scene is forgotten, that alone is told, on its own line.
#[test]
fn a_forgotten_quote_is_told_once() {
    let scene = include_str!("../../../scenes/sandpiper.ron");
    let mut closes = false;
    for (at, _) in scene.match_indices('"') {
        let text = format!("{}{}", &scene[..at], &scene[at + 1..]);
        let error = scene_text(&text, "boat.ron", None).expect_err("a quote is missing");
        let [fault] = error.faults() else { panic!("{error}") };
        let what = if closes { "this text is never closed" } else { "this text is never opened" };
        assert_eq!(fault.what, what, "{error}");
        let line = Lines::of(scene).line(at);
        // A text of several lines can only be told where it begins.
        assert!(if closes { fault.line <= line } else { fault.line == line }, "line {line}: {error}");
        closes = !closes;
    }
}

#[test]
fn what_ron_accepts_of_the_files_in_the_house_is_accepted() {
    let house = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut seen = 0;
    for folder in ["scenes", "assets/lamps", "assets/rules"] {
        for file in fs::read_dir(house.join(folder)).into_iter().flatten().flatten() {
            let Ok(written) = fs::read_to_string(file.path()) else { continue };
            if ron::from_str::<ron::Value>(&written).is_ok() {
                seen += 1;
                assert!(accepted(&written), "{}", file.path().display());
            }
        }
    }
    assert!(seen > 0);
}

#[test]
fn brackets_nested_without_end_fill_no_stack() {
    for opening in ["(", "[", "{a:", "Some(", "x(y:"] {
        assert!(!accepted(&opening.repeat(100_000)));
    }
    let deepest = format!("{}{}", "[".repeat(127), "]".repeat(127));
    assert!(accepted(&deepest));
}

/// Pieces of text that RON is made of, and pieces it is not.
fn piece() -> impl Strategy<Value = String> {
    let known = prop::sample::select(vec![
        "(", ")", "[", "]", "{", "}", ",", ":", ";", "=", "\"", "\\", "'", "//", "/*", "*/", "\n", "\r\n", "r#\"",
        "b'", "Some(", "None", "name", "Lamp(", "-", "0x", "1e9", "NaN", "\u{feff}", "“", "é", "#![", "-0.5", "1e999",
    ]);
    prop_oneof![known.prop_map(String::from), any::<String>(), "[ -~]{0,8}"]
}

/// RON as someone might write it: values within values, with blanks, comments and commas in every place.
fn written_value() -> impl Strategy<Value = String> {
    let blank = || prop::sample::select(vec!["", " ", "\n", "\t", " // c\n", "/* a /* b */ */"]);
    let plain = prop::sample::select(vec![
        "1",
        "-2.5",
        "1_000",
        "0xff",
        "0b11",
        "0o7",
        "1e-3",
        ".5",
        "5.",
        "+3",
        "inf",
        "-inf",
        "NaN",
        "true",
        "false",
        "()",
        "None",
        "\"text\"",
        "\"a\\n\\\"\\u{e9}\\x41\"",
        "r\"raw\\\"",
        "r#\"a\"b\"#",
        "'c'",
        "'\\''",
        "'''",
        "b'x'",
        "Word",
        "r#type",
        "_x",
        "7u8",
        "1.5f32",
        "\"joined \\\n  up\"",
        "Unit()",
        "naïve",
        "99999999999999999999",
    ]);
    plain.prop_map(String::from).prop_recursive(5, 40, 5, move |inner| {
        let spaced = (blank(), inner, blank()).prop_map(|(before, value, after)| format!("{before}{value}{after}"));
        let several = prop::collection::vec(spaced.clone(), 0..5);
        let trailing = prop::bool::ANY;
        let joined = |values: Vec<String>, comma: bool| {
            let end = if comma && !values.is_empty() { "," } else { "" };
            values.join(",") + end
        };
        let name = prop::sample::select(vec!["", "Name", "Some_thing", "r#raw"]);
        prop_oneof![
            (several.clone(), trailing).prop_map(move |(values, comma)| format!("[{}]", joined(values, comma))),
            (name.clone(), several.clone(), trailing)
                .prop_map(move |(name, values, comma)| format!("{name}({})", joined(values, comma))),
            (name, several.clone(), trailing).prop_map(move |(name, values, comma)| {
                let named = values.iter().enumerate().map(|(n, value)| format!("field_{n} :{value}")).collect();
                format!("{name}({})", joined(named, comma))
            }),
            (several, trailing).prop_map(move |(values, comma)| {
                let pairs = values.iter().enumerate().map(|(n, value)| format!("{n}:{value}")).collect();
                format!("{{{}}}", joined(pairs, comma))
            }),
            spaced.prop_map(|value| format!("Some({value})")),
        ]
    })
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let text = String::from_utf8_lossy(&bytes);
        if let Err(error) = scene_text(&text, "any", None) {
            prop_assert!(!error.report(true).is_empty());
        }
    }

    #[test]
    fn no_pieces_of_ron_make_the_reader_panic(pieces in prop::collection::vec(piece(), 0..40)) {
        if let Err(error) = scene_text(&pieces.concat(), "any", None) {
            prop_assert!(error.faults().iter().all(|fault| fault.line >= 1 && fault.column >= 1));
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn no_mutation_of_a_scene_makes_the_reader_panic(
        cuts in prop::collection::vec((any::<prop::sample::Index>(), 0usize..12, piece()), 1..5)
    ) {
        let mut text = BOAT.to_owned();
        for (at, length, new) in cuts {
            let start = text.floor_char_boundary(at.index(text.len()));
            let end = text.ceil_char_boundary((start + length).min(text.len()));
            text.replace_range(start..end, &new);
        }
        match scene_text(&text, "mutated", None) {
            Ok(read) => prop_assert_eq!(read.spans.root().span.end <= read.text.len(), true),
            Err(error) => prop_assert!(!error.to_string().is_empty()),
        }
    }

    #[test]
    fn what_ron_accepts_is_accepted(written in written_value()) {
        prop_assume!(ron::from_str::<ron::Value>(&written).is_ok());
        prop_assert!(accepted(&written), "{}", written);
    }

    #[test]
    fn no_bytes_make_a_mesh_reader_panic(
        bytes in prop::collection::vec(any::<u8>(), 0..300),
        kind in prop::sample::select(vec!["stl", "obj", "gltf", "glb"]),
        start in prop::sample::select(vec!["", "solid x\nendsolid", "v 0 0 0\nf 1 1 ", "glTF\x02\0\0\0", "{\"asset\":"]),
    ) {
        let whole = [start.as_bytes(), &bytes].concat();
        let read = mesh(&format!("any.{kind}"), &whole);
        prop_assert!(read.is_err());
    }
}

fn mesh(name: &str, bytes: &[u8]) -> Result<Surface, MeshError> {
    let folder = tempfile::tempdir().expect("a folder for the test");
    fs::write(folder.path().join(name), bytes).expect("a file for the test");
    let setting = Setting { metres: 0.001, up: DVec3::Y, forward: DVec3::NEG_Z, origin: DVec3::new(1.0, 0.0, 0.5) };
    Ok(laid(read(name, Some(folder.path()))?, &setting))
}

/// A block 3000 wide (x), 2000 high (y) and 1000 long (z) from the origin, as twelve triangles wound outward.
fn block() -> Vec<[[f32; 3]; 3]> {
    let corner = |n: u8| [f32::from(n & 1) * 3000.0, f32::from(n >> 1 & 1) * 2000.0, f32::from(n >> 2 & 1) * 1000.0];
    let faces: [[u8; 4]; 6] = [[0, 4, 6, 2], [1, 3, 7, 5], [0, 1, 5, 4], [2, 6, 7, 3], [0, 2, 3, 1], [4, 5, 7, 6]];
    faces.iter().flat_map(|[a, b, c, d]| [[*a, *b, *c], [*a, *c, *d]]).map(|corners| corners.map(corner)).collect()
}

/// The block lies in the vessel frame as it should: file up (y) is up, file -z is forward, file x is to starboard.
fn assert_is_the_block(surface: &Surface) {
    let mut mesh = Triangles::default();
    surface.pieces.iter().for_each(|piece| mesh.append(&piece.triangles));
    let (low, high) = mesh.bounds().expect("the block has points");
    assert!((low - DVec3::new(0.0, -3.0, 0.5)).length() < 1e-6, "{low}");
    assert!((high - DVec3::new(1.0, 0.0, 2.5)).length() < 1e-6, "{high}");
    assert_eq!((mesh.points.len(), mesh.corners.len()), (8, 12));
    let volume: f64 = mesh.iter().map(|[a, b, c]| a.dot(b.cross(c)) / 6.0).sum();
    assert!((volume - 6.0).abs() < 1e-6, "wound outward: {volume}");
}

#[test]
fn a_block_is_the_same_from_every_kind_of_mesh_file() {
    let mut binary = vec![0u8; 80];
    binary[..5].copy_from_slice(b"solid");
    binary.extend(12u32.to_le_bytes());
    let mut written = String::from("solid\n");
    let mut obj = String::new();
    let mut buffer = Vec::new();
    for (n, corners) in block().iter().enumerate() {
        binary.extend([0; 12]);
        written.push_str("facet normal 0 0 0\nouter loop\n");
        for corner in corners {
            for number in corner {
                binary.extend(number.to_le_bytes());
                buffer.extend(number.to_le_bytes());
            }
            let [x, y, z] = corner;
            written.push_str(&format!("vertex {x} {y} {z}\n"));
            obj.push_str(&format!("v {x} {y} {z}\n"));
        }
        binary.extend([0; 2]);
        written.push_str("endloop\nendfacet\n");
        obj.push_str(&format!("f {} {} {}\n", 3 * n + 1, 3 * n + 2, 3 * n + 3));
        if n == 5 {
            written.push_str("endsolid\nsolid\n");
        }
    }
    written.push_str("endsolid\n");
    assert_is_the_block(&mesh("block.stl", &binary).expect("a binary STL file"));
    assert_is_the_block(&mesh("block.stl", written.as_bytes()).expect("a written STL file"));
    assert_is_the_block(&mesh("block.obj", obj.as_bytes()).expect("an OBJ file"));
    assert_is_the_block(&mesh("block.glb", &glb(&buffer)).expect("a GLB file"));
    assert!(mesh("block.stl", &binary[..500]).is_err_and(|error| error.what.contains("ends before its last triangle")));
    let short = mesh("block.glb", &glb(&buffer[..100]));
    assert!(short.is_err());
}

/// A GLB file of 36 corners, its node turned half round by its scale and back by its rotation.
fn glb(buffer: &[u8]) -> Vec<u8> {
    let mut json = r#"{"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[0]}],"nodes":[{"children":[1],"scale":[-1,-1,1]},
        {"mesh":0,"rotation":[0,0,1,0]}],"meshes":[{"primitives":[{"attributes":{"POSITION":0}}]}],
        "accessors":[{"bufferView":0,"componentType":5126,"count":36,"type":"VEC3","min":[0,0,0],"max":[3000,2000,1000]}],
        "bufferViews":[{"buffer":0,"byteLength":432}],"buffers":[{"byteLength":432}]}"#
    .as_bytes()
    .to_vec();
    while !json.len().is_multiple_of(4) {
        json.push(b' ');
    }
    let mut file = b"glTF\x02\0\0\0".to_vec();
    let size = |bytes: &[u8]| u32::try_from(bytes.len()).expect("a small file").to_le_bytes();
    let total = u32::try_from(28 + json.len() + buffer.len()).expect("a small file");
    file.extend(total.to_le_bytes());
    file.extend(size(&json));
    file.extend(b"JSON");
    file.extend(&json);
    file.extend(size(buffer));
    file.extend(b"BIN\0");
    file.extend(buffer);
    file
}
