//! Boats from mesh files: hulls of their own beside parts from figures, the names of their pieces in findings, and what
//! is said where unit and axes do not fit or are not told.

mod support;

use std::{
    fs,
    path::Path,
    process::{Command, Output},
};

use lampwalk::{
    boat::{
        Owner, PartKind, Pose, Scene, Status, Vessel,
        mesh::Surface,
        read::{Fault, Read, ReadError, scene_file, scene_text},
        shape::Triangles,
    },
    measure::Bearing,
    rules::{Kind, Severity, international, judge},
    survey::{Settings, Survey},
};
use support::meshes::{Named, as_filed, block, every_lie, glb, glb_of, named, obj, stl_in_words};
use tempfile::TempDir;

const SCENE: &str = r#"Scene(
    name: "Test boat",
    vessel: Vessel(length: 6.2, beam: 2.3, freeboard: 0.65, depth: 0.95, propulsion: Power, top_speed: 6,
        hull: Hull(sheer: 0.25, flare: 12, transom: 0.85)),
    parts: [PARTS],
    fits: [Fit(name: "fit", lamps: [LAMPS])],
)
"#;

const WHITE: &str = r#"Lamp(name: "white", role: AllRoundWhite, at: (forward: 1.5, above_waterline: 1.5), mount: Bracket,
    optics: "all-round 2 nm")"#;

/// A scene with its mesh files in a folder of its own.
struct Files {
    folder: TempDir,
}

impl Files {
    fn of(parts: &str, lamps: &str, files: &[(&str, &[u8])]) -> Self {
        let folder = tempfile::tempdir().expect("a folder for the test");
        for (name, bytes) in files {
            fs::write(folder.path().join(name), bytes).expect("a file for the test");
        }
        let text = SCENE.replace("PARTS", parts).replace("LAMPS", lamps);
        fs::write(folder.path().join("boat.ron"), text).expect("a file for the test");
        Self { folder }
    }

    fn read(&self) -> Result<Read, ReadError> {
        scene_file(&self.folder.path().join("boat.ron"))
    }

    fn scene(&self) -> Scene {
        self.read().unwrap_or_else(|error| panic!("{error}")).scene
    }

    fn faults(&self) -> Vec<Fault> {
        self.read().expect_err("the scene has a fault").faults().to_vec()
    }

    fn fault(&self) -> Fault {
        let faults = self.faults();
        assert_eq!(faults.len(), 1, "{faults:#?}");
        faults[0].clone()
    }

    fn survey(&self, options: &[&str]) -> Output {
        let scene = self.folder.path().join("boat.ron");
        let mut command = Command::new(env!("CARGO_BIN_EXE_lampwalk"));
        command.args(["survey", "--step", "2"]).args(options).arg(scene).output().expect("the program starts")
    }
}

/// The hull of the scene's own vessel, as triangles.
fn her_hull() -> Triangles {
    Triangles::clone(&Files::of("", "", &[]).scene().vessel.hull_mesh())
}

/// The mesh part of a file in metres in the vessel frame, with more fields.
fn mesh(file: &str, more: &str) -> String {
    format!(
        r#"Mesh(name: "fitted mesh", file: "{file}", unit: "m", up: "+z", forward: "+x",
        at: (forward: 0, above_waterline: 0){more})"#
    )
}

fn surface(scene: &Scene) -> &Surface {
    let mut surfaces = scene.parts.iter().filter_map(|part| match &part.kind {
        PartKind::Mesh { surface, .. } => Some(surface.as_ref()),
        _ => None,
    });
    surfaces.next_back().expect("a mesh among the parts")
}

fn names(scene: &Scene) -> Vec<&str> {
    surface(scene).pieces.iter().map(|piece| piece.name.as_deref().unwrap_or("-")).collect()
}

/// A post of the frame of an awning, right ahead of the white lamp, and a chair behind it and below.
fn bimini() -> [Named<'static>; 2] {
    [
        named("bimini_frame", block([2.0, 0.0, 0.6], 0.06, 0.12, 1.4)),
        named("chair", block([0.7, 0.3, 0.6], 0.3, 0.3, 0.3)),
    ]
}

#[test]
fn a_finding_names_the_piece_that_hides_the_lamp() {
    let files = Files::of(&mesh("bimini.glb", ""), WHITE, &[("bimini.glb", &glb(&bimini()))]);
    let told = String::from_utf8(files.survey(&[]).stdout).expect("words");
    assert!(told.contains("bimini_frame") && !told.contains("chair") && !told.contains("fitted mesh"), "{told}");
    let json: serde_json::Value = serde_json::from_slice(&files.survey(&["--json"]).stdout).expect("JSON");
    let found = json["surveys"][0]["findings"].as_array().expect("findings");
    assert!(found.iter().any(|one| one["by"] == "bimini_frame"), "{found:#?}");
    assert_eq!(json["surveys"][0]["lights"][0]["shadows"][0]["by"][0], "bimini_frame");
    let plot = files.folder.path().join("plot.svg");
    files.survey(&["--svg", plot.to_str().expect("a name in UTF-8")]);
    assert!(fs::read_to_string(plot).expect("a plot").contains("bimini_frame"));
}

#[test]
fn a_piece_that_shares_its_name_with_a_part_is_told_with_its_own_part() {
    let parts = mesh("a.glb", "") + r#", Stanchion(name: "chair", at: (forward: 3), height: 1, diameter: 0.1)"#;
    let scene = Files::of(&parts, "", &[("a.glb", &glb(&bimini()))]).scene();
    let name = |owner| scene.owner_name(&scene.fits[0], owner);
    assert_eq!(name(Owner::Piece { part: 0, piece: 0 }), "bimini_frame");
    assert_eq!(name(Owner::Piece { part: 0, piece: 1 }), "chair of fitted mesh");
    assert_eq!(name(Owner::Part(1)), "chair");
}

#[test]
fn pieces_have_the_names_of_objects_groups_and_solids() {
    let [frame, chair] = bimini();
    let pieces = [frame, chair, named("bimini_frame", block([3.0, 0.0, 0.6], 0.1, 0.1, 0.2))];
    for (file, bytes) in
        [("a.obj", obj(&pieces).into_bytes()), ("a.STL", stl_in_words(&pieces).into_bytes()), ("a.glb", glb(&pieces))]
    {
        let scene = Files::of(&mesh(file, ""), "", &[(file, &bytes)]).scene();
        assert_eq!(names(&scene), ["bimini_frame", "chair"], "two of one name are one piece: {file}");
        let counts: Vec<_> = surface(&scene).pieces.iter().map(|piece| piece.triangles.corners.len()).collect();
        assert_eq!(counts, [24, 12], "{file}");
        let points: Vec<_> = surface(&scene).pieces.iter().map(|piece| piece.triangles.points.len()).collect();
        assert_eq!(points, [16, 8], "corners that coincide are one point: {file}");
    }
}

#[test]
fn groups_within_objects_come_before_them_and_unnamed_ones_fall_back() {
    let text = "v 0 0 1\nv 1 0 1\nv 0 1 1\nv 1 1 \\\n1\nf 1 2 3\no tub\nf 1 2 3\ng seat aft\nf 1/1 2/2/2 3//3\ng\nf 2 4 3\n\
                g default\nf -4 -3 -2 -1\no\nf 1 2 4\n";
    let scene = Files::of(&mesh("a.obj", ""), "", &[("a.obj", text.as_bytes())]).scene();
    assert_eq!(names(&scene), ["-", "tub", "seat aft"]);
    let counts: Vec<_> = surface(&scene).pieces.iter().map(|piece| piece.triangles.corners.len()).collect();
    assert_eq!(counts, [2, 4, 1]);
    let fit = &scene.fits[0];
    let owners: Vec<_> = scene.posed(fit, &Pose::default()).solids.iter().map(|solid| solid.owner).collect();
    let told: Vec<_> = owners.iter().map(|owner| scene.owner_name(fit, *owner)).collect();
    assert_eq!(told, ["the hull", "fitted mesh", "tub", "seat aft"]);
}

#[test]
fn a_node_without_a_name_goes_by_the_one_around_it_then_by_its_shape_then_by_the_part() {
    let pieces = [named("", block([1.0, 0.0, 1.0], 0.1, 0.1, 0.1))];
    let nodes = r#"{"name":"frame","children":[1]},{"children":[2]},{"mesh":0},{"mesh":0,"translation":[1,0,0]}"#;
    let read = |besides: &str| {
        let bytes = glb_of(&pieces, nodes, "0,3", besides);
        Files::of(&mesh("a.glb", ""), "", &[("a.glb", &bytes)]).scene()
    };
    assert_eq!(names(&read(r#""name":"shape","#)), ["frame", "shape"]);
    assert_eq!(names(&read("")), ["frame", "-"]);
}

/// What a stranger may write into a file: letters that steer a terminal, turn the writing round, or never end.
#[test]
fn names_from_files_are_made_harmless() {
    let long = "x".repeat(5000);
    let [frame, _] = bimini();
    for (written, kept) in [
        (r"\u001b[31mred\u0007", "[31mred".to_owned()),
        (r"a\u202eb\u2066 c\nd", "a b c d".to_owned()),
        (long.as_str(), format!("{}...", "x".repeat(60))),
        (r"<script>&\u0000</script>", "<script>& </script>".to_owned()),
        (r"\u200b \t", "-".to_owned()),
    ] {
        let bytes = glb(&[named(written, frame.mesh.clone())]);
        let files = Files::of(&mesh("a.glb", ""), WHITE, &[("a.glb", &bytes)]);
        assert_eq!(names(&files.scene()), [kept.as_str()]);
        let told = files.survey(&[]);
        assert!(!told.stdout.iter().any(|byte| *byte == 0x1b || *byte == 7), "{written}");
        let plot = files.folder.path().join("plot.svg");
        files.survey(&["--svg", plot.to_str().expect("a name in UTF-8")]);
        assert!(!fs::read_to_string(plot).expect("a plot").contains("<script>"));
    }
}

#[test]
fn names_that_begin_alike_are_told_apart_by_their_full_length() {
    let begin = "x".repeat(70);
    let pane = |key: &str| {
        let [frame, chair] = bimini();
        let (one, other) = (format!("{begin}one"), format!("{begin}other"));
        let bytes = glb(&[named(&one, frame.mesh), named(&other, chair.mesh)]);
        Files::of(&mesh("a.glb", &format!(", panes: {{\"{key}\": 0.8}}")), "", &[("a.glb", &bytes)])
    };
    let scene = pane(&format!("{begin}other")).scene();
    let shares: Vec<_> = surface(&scene).pieces.iter().map(|piece| piece.transmits).collect();
    assert_eq!(shares, [0.0, 0.8]);
    let short = format!("{}...", "x".repeat(60));
    assert_eq!(names(&scene), [short.as_str(), short.as_str()]);
    let fault = pane(&short).fault();
    assert!(fault.what.starts_with("2 pieces of the mesh are shown as") && fault.mend.contains("full length"));
    let alone = glb(&[named(&format!("{begin}one"), block([2.0, 0.0, 0.6], 0.1, 0.1, 0.1))]);
    let part = mesh("a.glb", &format!(", panes: {{\"{short}\": 0.8}}"));
    assert_eq!(surface(&Files::of(&part, "", &[("a.glb", &alone)]).scene()).pieces[0].transmits, 0.8);
}

#[test]
fn beyond_ten_thousand_names_the_rest_goes_by_the_part() {
    let faces = (0..10_500).map(|n| format!("o piece {n}\nf 1 2 3\n")).collect::<String>();
    let text = format!("v 0 0 1\nv 1 0 1\nv 0 1 1\n{faces}o piece 7\nf 1 2 3\n");
    let scene = Files::of(&mesh("a.obj", ""), "", &[("a.obj", text.as_bytes())]).scene();
    let pieces = &surface(&scene).pieces;
    assert_eq!(pieces.len(), 10_001);
    let count = |name: Option<&str>| {
        let of_name = pieces.iter().filter(|piece| piece.name.as_deref() == name);
        of_name.map(|piece| piece.triangles.corners.len()).sum::<usize>()
    };
    assert_eq!((count(None), count(Some("piece 7"))), (500, 2));
}

#[test]
fn damaged_files_are_told_and_stop_nothing() {
    let whole = glb(&bimini());
    let wrong = |name: &str, bytes: &[u8]| Files::of(&mesh(name, ""), "", &[(name, bytes)]).fault().what;
    for cut in [0, 4, 11, 15, 19, 40, whole.len() - 400, whole.len() - 1] {
        assert!(wrong("a.glb", &whole[..cut]).contains("is damaged"), "cut at {cut}");
    }
    // It says that its parts are larger than the file.
    for at in [12, 20 + 3 + u32::from_le_bytes([whole[12], whole[13], whole[14], whole[15]]) as usize] {
        let mut lying = whole.clone();
        lying[at..at + 4].copy_from_slice(&[0xff; 4]);
        assert!(wrong("a.glb", &lying).contains("is damaged"));
    }
    let written = stl_in_words(&bimini());
    assert!(wrong("a.stl", &written.as_bytes()[..written.len() - 20]).contains("before its last triangle"));
    assert!(wrong("a.stl", written.replacen("vertex", "vertex x", 1).as_bytes()).contains("names no corner"));
    assert!(wrong("a.obj", b"v 0 0 0\nv 1 0 0\nf 1 2 9999999999999999999\n").contains("is not there"));
    assert!(wrong("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 -4\n").contains("is not there"));
    assert!(wrong("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 0 1 2\n").contains("is not there"));
}

/// A plain glTF file of one triangle named "sail", with more fields or others in place of its own.
fn gltf(fields: &[(&str, &str)]) -> Vec<u8> {
    let mut file: serde_json::Value = serde_json::from_str(
        r#"{"asset":{"version":"2.0"},"scene":0,"scenes":[{"nodes":[0]}],"nodes":[{"mesh":0,"name":"sail"}],
        "buffers":[{"byteLength":36,"uri":"data:application/octet-stream;base64,AABAQAAAgL8AAIA/AABAQAAAgD8AAIA/AABAQAAAAAAAAABA"}],
        "bufferViews":[{"buffer":0,"byteLength":36}],
        "accessors":[{"bufferView":0,"componentType":5126,"count":3,"type":"VEC3","min":[3,-1,1],"max":[3,1,2]}],
        "meshes":[{"primitives":[{"attributes":{"POSITION":0}}]}]}"#,
    )
    .expect("JSON");
    for (field, value) in fields {
        file[*field] = serde_json::from_str(value).expect("JSON");
    }
    file.to_string().into_bytes()
}

fn gltf_fault(fields: &[(&str, &str)]) -> Fault {
    Files::of(&mesh("a.gltf", ""), "", &[("a.gltf", &gltf(fields))]).fault()
}

/// glTF 2.0 section 3.5.2.
#[test]
fn nodes_are_a_tree() {
    let many = format!(r#"[{{"children":[{}0]}}]"#, "0,".repeat(600_000));
    for nodes in [many.as_str(), r#"[{"children":[1,1]},{"mesh":0}]"#, r#"[{"children":[1]},{"children":[0]}]"#] {
        assert!(gltf_fault(&[("nodes", nodes)]).what.contains("a node lies in itself or in two others"));
    }
}

#[test]
fn primitives_without_end_are_too_many() {
    let nodes = vec![r#"{"mesh":0}"#; 1001].join(",");
    let roots = (0..1001).map(|n| n.to_string()).collect::<Vec<_>>().join(",");
    let primitives = vec![r#"{"attributes":{"POSITION":0},"mode":0}"#; 2000].join(",");
    let fault = gltf_fault(&[
        ("nodes", &format!("[{nodes}]")),
        ("scenes", &format!(r#"[{{"nodes":[{roots}]}}]"#)),
        ("meshes", &format!(r#"[{{"primitives":[{primitives}]}}]"#)),
    ]);
    assert!(fault.what.contains("more than two million"), "{}", fault.what);
}

#[test]
fn a_description_of_more_than_64_megabytes_is_none() {
    let mut file = gltf(&[]);
    file.resize(65 << 20, b' ');
    let fault = Files::of(&mesh("a.gltf", ""), "", &[("a.gltf", &file)]).fault();
    assert!(fault.what.contains("larger than 64 megabytes"), "{}", fault.what);
}

#[test]
fn buffers_lie_in_the_folder_of_the_mesh_and_are_read_where_needed() {
    let point: Vec<u8> =
        [3.0f32, -1.0, 1.0, 3.0, 1.0, 1.0, 3.0, 0.0, 2.0].iter().flat_map(|x| x.to_le_bytes()).collect();
    let read = |buffers: &str| {
        let file = gltf(&[("buffers", buffers)]);
        Files::of(&mesh("a.gltf", ""), "", &[("a.gltf", &file), ("a b.bin", &point)]).read().map(|read| read.scene)
    };
    let sound = read(r#"[{"byteLength":36,"uri":"a%20b.bin"},{"byteLength":9,"uri":"not there, not needed"}]"#);
    assert_eq!(names(&sound.expect("a sound file")), ["sail"]);
    for uri in ["../a.bin", "/dev/zero", "%2e%2e/a.bin", "http://example.org/a.bin", "b/../../a.bin"] {
        let error = read(&format!(r#"[{{"byteLength":36,"uri":"{uri}"}}]"#)).expect_err("outside the folder");
        assert!(error.faults()[0].what.contains("outside its folder"), "{error}");
    }
}

/// One file named a thousand times would not fit in memory a thousand times.
#[test]
fn a_file_that_a_thousand_buffers_name_is_read_once() {
    let count = 1000;
    let all = |one: &dyn Fn(usize) -> String| format!("[{}]", (0..count).map(one).collect::<Vec<_>>().join(","));
    let accessor = r#""componentType":5126,"count":3,"type":"VEC3","min":[3,-1,1],"max":[3,1,2]"#;
    let file = gltf(&[
        ("buffers", &all(&|_| r#"{"byteLength":4000000,"uri":"a.bin"}"#.into())),
        ("bufferViews", &all(&|n| format!(r#"{{"buffer":{n},"byteLength":36}}"#))),
        ("accessors", &all(&|n| format!(r#"{{"bufferView":{n},{accessor}}}"#))),
        ("meshes", &format!(r#"[{{"primitives":{}}}]"#, all(&|n| format!(r#"{{"attributes":{{"POSITION":{n}}}}}"#)))),
    ]);
    let mut bytes: Vec<u8> =
        [3.0f32, -1.0, 1.0, 3.0, 1.0, 1.0, 3.0, 0.0, 2.0].iter().flat_map(|x| x.to_le_bytes()).collect();
    bytes.resize(4_000_000, 0);
    let scene = Files::of(&mesh("a.gltf", ""), "", &[("a.gltf", &file), ("a.bin", &bytes)]).scene();
    assert_eq!(surface(&scene).pieces[0].triangles.corners.len(), count);
}

#[test]
fn extensions_of_looks_are_passed_over_and_those_of_corners_are_named() {
    let needing = |extension: &str| {
        let list = format!(r#"["{extension}"]"#);
        let file = gltf(&[("extensionsUsed", &list), ("extensionsRequired", &list)]);
        Files::of(&mesh("a.gltf", ""), "", &[("a.gltf", &file)])
    };
    for looks in ["KHR_materials_unlit", "KHR_materials_clearcoat", "KHR_texture_transform", "EXT_texture_webp"] {
        assert_eq!(names(&needing(looks).scene()), ["sail"], "{looks}");
    }
    for (corners, word) in [
        ("KHR_draco_mesh_compression", "Draco"),
        ("EXT_meshopt_compression", "meshopt"),
        ("KHR_mesh_quantization", "quantisation"),
        ("EXT_mesh_gpu_instancing", "extensions"),
    ] {
        let fault = needing(corners).fault();
        assert!(fault.what.contains(corners) && !fault.what.contains("damaged"), "{}", fault.what);
        assert!(fault.mend.contains(word), "{}", fault.mend);
    }
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_file() {
    let buffer = gltf(&[("buffers", r#"[{"byteLength":36,"uri":"pipe.obj"}]"#)]);
    for part in [mesh("pipe.obj", ""), mesh("a.gltf", "")] {
        let files = Files::of(&part, "", &[("a.gltf", &buffer)]);
        let made = Command::new("mkfifo").arg(files.folder.path().join("pipe.obj")).status().expect("mkfifo");
        assert!(made.success());
        assert_eq!(files.fault().what, "\"pipe.obj\" is no plain file");
    }
    let lamp = r#"Lamp(name: "white", role: AllRoundWhite, at: (forward: 1.5, above_waterline: 1.5), mount: Bracket,
        optics: Measured(file: "lamp.ies", colour: White, back: Aft, ahead: 0))"#;
    let files = Files::of("", lamp, &[]);
    assert!(Command::new("mkfifo").arg(files.folder.path().join("lamp.ies")).status().expect("mkfifo").success());
    let error = files.read().expect_err("a pipe is no lamp");
    assert!(error.to_string().contains("pipe"), "{error}");
}

#[test]
fn a_mark_before_the_first_letter_is_passed_over() {
    let (obj, stl) = ("v 0 0 1\nv 1 0 1\nv 0 1 1\nv 1 1 1\nf 1 2 3\n", stl_in_words(&bimini()));
    for (file, text, count) in [("a.obj", obj, 1), ("a.stl", stl.as_str(), 12)] {
        let marked = format!("\u{feff}{text}");
        let scene = Files::of(&mesh(file, ""), "", &[(file, marked.as_bytes())]).scene();
        assert_eq!(surface(&scene).pieces[0].triangles.corners.len(), count, "{file}");
        assert!(file == "a.obj" || names(&scene) == ["bimini_frame", "chair"]);
    }
}

#[test]
fn a_unit_or_axis_that_is_none_is_told_with_the_one_meant() {
    let bytes = obj(&bimini());
    let mend = |from: &str, to: &str| {
        let part = mesh("a.obj", "").replace(from, to);
        Files::of(&part, "", &[("a.obj", bytes.as_bytes())]).fault().mend
    };
    assert!(mend("up: \"+z\"", "up: \"z\"").starts_with("did you mean \"+z\"? the choice is \"+x\""));
    assert!(mend("unit: \"m\"", "unit: \"MM\"").starts_with("did you mean \"mm\"?"));
    assert!(mend("unit: \"m\"", "unit: \"furlong\"").starts_with("the choice is \"mm\", \"cm\""));
}

/// Slivers, doubled faces, cracks and open edges are the way of meshes, and no fault.
#[test]
fn a_mesh_need_not_be_sound() {
    let text = "v 0 0 1\nv 1 0 1\nv 0 1 1\nv 0.5 0 1\nf 1 2 3\nf 1 2 3\nf 3 2 1\nf 1 4 2\nf 1 1 2\n";
    let scene = Files::of(&mesh("a.obj", ""), "", &[("a.obj", text.as_bytes())]).scene();
    assert_eq!(surface(&scene).pieces[0].triangles.corners.len(), 3);
}

/// A gate across the bow: a light may look through between its posts.
#[test]
fn a_face_with_inward_corners_hides_nothing_beside_it() {
    let text = "o gate\nv 3 -0.5 0.7\nv 3 0.5 0.7\nv 3 0.5 3\nv 3 0.3 3\nv 3 0.3 1\nv 3 -0.3 1\nv 3 -0.3 3\nv 3 -0.5 3\n\
                f 1 2 3 4 5 6 7 8\n";
    let scene = Files::of(&mesh("gate.obj", ""), WHITE, &[("gate.obj", text.as_bytes())]).scene();
    let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
    let ahead = |bearing: f64| {
        let at = survey.bearings.iter().position(|one| *one == Bearing::new(bearing)).expect("a bearing of the survey");
        survey.lights[0].samples[at].visible
    };
    assert!(ahead(0.0) > 0.99, "{}", ahead(0.0));
    // The posts stand 11 to 18 degrees off.
    assert!(ahead(15.0) < 0.01 && ahead(345.0) < 0.01, "{} {}", ahead(15.0), ahead(345.0));
}

#[test]
fn a_pane_lets_light_through_and_names_a_piece_that_is_there() {
    let [frame, chair] = bimini();
    let bytes = glb(&[frame, chair]);
    let fraction = |panes: &str| {
        let scene = Files::of(&mesh("a.glb", panes), WHITE, &[("a.glb", &bytes)]).scene();
        let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
        survey.lights[0].samples[0].visible
    };
    assert!(fraction("") < 0.01, "{}", fraction(""));
    assert!((fraction(r#", panes: {"bimini_frame": 0.8}"#) - 0.8).abs() < 0.01, "front and back of it are one pane");
    assert!(fraction(r#", panes: {"bimini_frame": 1}"#) > 0.99, "a pane may let all of it through");
    assert!(fraction(r#", panes: {"bimini_frame": 0}"#) < 0.01, "and none");
    let wrong = |panes: &str| Files::of(&mesh("a.glb", panes), WHITE, &[("a.glb", &bytes)]).fault();
    let fault = wrong(r#", panes: {"bimini_frane": 0.8}"#);
    assert_eq!(fault.what, "the mesh has no piece named \"bimini_frane\"");
    assert!(fault.mend.starts_with("did you mean \"bimini_frame\"?"), "{}", fault.mend);
    let twice = wrong(r#", panes: {"chair": 0.5, "chair": 0.6}"#);
    assert_eq!(twice.what, "\"chair\" is among the panes already");
    assert!(wrong(r#", panes: {"chair": 1.5}"#).what.contains("out of range"));
    assert!(wrong(r#", panes: ["chair"]"#).mend.contains("{\"windscreen\": 0.8}"));
}

/// A lamp low down aft looks over a flat mesh where the bow of the figures would be in its way.
#[test]
fn a_hull_of_her_own_stands_in_place_of_the_one_from_figures() {
    let low = r#"Lamp(name: "white", role: AllRoundWhite, at: (forward: 1, above_waterline: 0.75), mount: Bracket,
        optics: "all-round 2 nm")"#;
    let mut flat = her_hull();
    flat.points.iter_mut().for_each(|point| point.z = point.z.min(0.66));
    let ahead = |hull: &str| {
        let files = [("hull.obj", obj(&[named("", flat.clone())]).into_bytes())];
        let scene = Files::of(&mesh("hull.obj", hull), low, &[(files[0].0, &files[0].1)]).scene();
        let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
        let sample = &survey.lights[0].samples[0];
        assert_eq!(survey.bearings[0], Bearing::new(0.0));
        (sample.visible > 0.99, sample.by)
    };
    assert_eq!(ahead(""), (false, Some(Owner::Hull)));
    assert_eq!(ahead(", as_hull: true"), (true, None));
}

#[test]
fn what_a_hull_leaves_unnamed_is_the_hull_and_parts_from_figures_stand_on_it() {
    let [frame, _] = bimini();
    let bytes = glb(&[named("", her_hull()), frame]);
    let post = r#"Stanchion(name: "post", at: (forward: 1.2), height: 1.5, diameter: 0.1)"#;
    let parts = format!("{post}, {}", mesh("boat.glb", ", as_hull: true"));
    let scene = Files::of(&parts, WHITE, &[("boat.glb", &bytes)]).scene();
    let fit = &scene.fits[0];
    let solids = scene.posed(fit, &Pose::default()).solids;
    let told: Vec<_> = solids.iter().map(|solid| scene.owner_name(fit, solid.owner)).collect();
    assert_eq!(told, ["post", "the hull", "bimini_frame"]);
    let survey = Survey::of(&scene, fit, Status::UnderWay, &Settings::default());
    let hiders: Vec<_> = survey.lights[0].samples.iter().filter_map(|sample| sample.by).collect();
    for owner in [Owner::Part(0), Owner::Piece { part: 1, piece: 1 }] {
        assert!(hiders.contains(&owner), "{owner:?}");
    }
}

#[test]
fn a_hull_in_the_wrong_unit_is_told_with_the_right_one() {
    let bytes = obj(&[named("hull", as_filed(&her_hull(), 0.001, "+z", "+x"))]);
    let files = Files::of(&mesh("hull.obj", ", as_hull: true"), "", &[("hull.obj", bytes.as_bytes())]);
    let fault = files.fault();
    assert!(fault.what.contains("would be 6200 m long and 2300 m wide"), "{}", fault.what);
    assert!(fault.what.contains("the vessel is 6.2 m long and 2.3 m wide"), "{}", fault.what);
    assert_eq!(fault.mend, "in mm it would be 6.2 m long and 2.3 m wide, as she is: write `unit: \"mm\"`");
    let line = SCENE.lines().position(|line| line.contains("PARTS")).expect("the line of the parts") + 1;
    assert_eq!(fault.line, line);
}

#[test]
fn a_hull_on_the_wrong_axes_is_told_with_the_right_ones() {
    let bytes = obj(&[named("hull", as_filed(&her_hull(), 0.3048, "+y", "-z"))]);
    let fault = Files::of(&mesh("hull.obj", ", as_hull: true"), "", &[("hull.obj", bytes.as_bytes())]).fault();
    assert!(fault.mend.contains("`unit: \"ft\", up: \"+y\", forward: \"-z\"`"), "{}", fault.mend);
    assert!(fault.mend.contains("look at it before trusting it"), "{}", fault.mend);
}

#[test]
fn a_hull_of_another_boat_fits_in_no_unit() {
    let mut longer = her_hull();
    longer.points.iter_mut().for_each(|point| point.x *= 1.04);
    let wrong = |hull: &Triangles| {
        let bytes = obj(&[named("hull", hull.clone())]);
        Files::of(&mesh("hull.obj", ", as_hull: true"), "", &[("hull.obj", bytes.as_bytes())]).read().map(|_| ())
    };
    let error = wrong(&longer).expect_err("4 % too long");
    assert!(error.faults()[0].mend.contains("correct `length` and `beam` of the vessel"), "{error}");
    longer.points.iter_mut().for_each(|point| point.x *= 1.02 / 1.04);
    assert!(wrong(&longer).is_ok(), "2 % is within a tape's doubt");
    longer.points.iter_mut().for_each(|point| point.y *= 0.85);
    assert!(wrong(&longer).is_err(), "15 % too narrow");
}

#[test]
fn a_hull_that_lies_off_is_told_where_its_origin_goes() {
    let moved = |by: [f64; 3]| {
        let mut hull = her_hull();
        hull.points.iter_mut().for_each(|point| *point += glam::DVec3::from_array(by));
        let bytes = obj(&[named("hull", hull)]);
        Files::of(&mesh("hull.obj", ", as_hull: true"), "", &[("hull.obj", bytes.as_bytes())]).fault()
    };
    let midships = moved([-3.1, 0.0, 0.0]);
    assert!(midships.what.contains("end 3.1 m abaft the transom"), "{}", midships.what);
    assert!(midships.mend.contains("`forward: 3.1`"), "{}", midships.mend);
    let aside = moved([0.0, 1.15, 0.0]);
    assert!(aside.what.contains("1.15 m to port") && aside.mend.contains("`starboard: 1.15`"), "{aside:?}");
    let afloat = moved([0.0, 0.0, 0.3]);
    assert!(afloat.what.contains("float above the water"), "{}", afloat.what);
    assert!(afloat.mend.contains("`above_waterline: -0.3`"), "{}", afloat.mend);
}

#[test]
fn she_has_one_hull() {
    let bytes = obj(&[named("hull", her_hull())]);
    let one = mesh("hull.obj", ", as_hull: true");
    let parts = format!("{one}, {}", one.replace("fitted mesh", "another"));
    let fault = Files::of(&parts, "", &[("hull.obj", bytes.as_bytes())]).fault();
    assert_eq!(fault.what, "\"fitted mesh\" is her hull already");
}

#[test]
fn a_part_may_be_anything_but_absurd() {
    let part = |foot: [f64; 3], length: f64| {
        let bytes = obj(&[named("raft", block(foot, length, 0.5, 0.2))]);
        Files::of(&mesh("raft.obj", ""), "", &[("raft.obj", bytes.as_bytes())]).read().map(|_| ())
    };
    assert!(part([-8.0, 0.0, 0.0], 15.0).is_ok(), "a tow is long and lies off");
    let long = part([3.0, 0.0, 0.0], 19.0).expect_err("over three times her length");
    assert!(long.faults()[0].what.contains("19 m large, and the vessel is 6.2 m"), "{long}");
    assert!(long.faults()[0].mend.contains("in cm it would be 0.19 m"), "{long}");
    let far = part([0.0, 10.0, 0.0], 1.0).expect_err("further off than her length");
    assert!(far.faults()[0].what.contains("away from the vessel"), "{far}");
}

/// Whatever way the hull lies in its file, the guess for what the scene leaves out is the way it lies.
#[test]
fn a_guess_is_offered_for_what_is_not_told_and_is_right_for_a_plain_hull() {
    let units = [("mm", 0.001), ("cm", 0.01), ("m", 1.0), ("in", 0.0254), ("ft", 0.3048)];
    let boat = [named("hull", her_hull()), named("console", block([2.5, 0.2, 0.6], 0.8, 0.7, 1.2))];
    for (n, (up, forward)) in every_lie().into_iter().enumerate() {
        let (unit, metres) = units[n % units.len()];
        let pieces: Vec<_> = boat.iter().map(|one| named(one.name, as_filed(&one.mesh, metres, up, forward))).collect();
        let files = [("boat.obj", obj(&pieces).into_bytes()), ("boat.glb", glb(&pieces))];
        let fields = [format!("unit: \"{unit}\""), format!("up: \"{up}\""), format!("forward: \"{forward}\"")];
        for (file, bytes) in &files {
            let offered = |left_out: &[usize]| {
                let (out, told): (Vec<_>, Vec<_>) = (0..3).partition(|n| left_out.contains(n));
                let words = |these: &[usize]| these.iter().map(|n| fields[*n].as_str()).collect::<Vec<_>>().join(", ");
                let part =
                    format!("Mesh(name: \"m\", file: \"{file}\", at: (forward: 0), as_hull: true, {})", words(&told));
                let fault = Files::of(&part, "", &[(*file, bytes)]).fault();
                assert!(fault.what.starts_with("`Mesh` lacks its field"), "{}", fault.what);
                let due = format!("add `{}` (a guess from its size and shape", words(&out));
                assert!(fault.mend.starts_with(&due), "{file} {unit} {up} {forward}: {}", fault.mend);
            };
            for left_out in [&[0, 1, 2][..], &[0], &[1], &[2], &[1, 2]] {
                offered(left_out);
            }
        }
    }
}

/// glTF 2.0 section 3.4: metres, +Y up, and the front of an asset faces +Z.
#[test]
fn for_a_part_that_is_no_hull_the_guess_is_how_such_files_mostly_lie() {
    let seat = block([0.0, 0.0, 0.0], 0.4, 0.5, 0.9);
    let offered = |file: &str, bytes: &[u8]| {
        let part = format!("Mesh(name: \"seat\", file: \"{file}\", at: (forward: 2))");
        let fault = Files::of(&part, "", &[(file, bytes)]).fault();
        assert_eq!(fault.what, "`Mesh` lacks its fields `unit`, `up` and `forward`");
        fault.mend
    };
    let from = "(a guess from its size and how such files mostly lie: look at it before trusting it)";
    let gltf = offered("seat.glb", &glb(&[named("seat", seat.clone())]));
    assert_eq!(gltf, format!("add `unit: \"m\", up: \"+y\", forward: \"+z\"` {from}"));
    let millimetres = obj(&[named("seat", as_filed(&seat, 0.001, "+z", "+x"))]);
    let printed = offered("seat.obj", millimetres.as_bytes());
    assert_eq!(printed, format!("add `unit: \"mm\", up: \"+z\", forward: \"+x\"` {from}"));
    let like_her = obj(&[named("hull", as_filed(&her_hull(), 0.01, "-y", "+z"))]);
    let hers = offered("hull.obj", like_her.as_bytes());
    assert!(
        hers.starts_with("add `unit: \"cm\", up: \"-y\", forward: \"+z\"` (a guess from its size and shape"),
        "{hers}"
    );
}

#[test]
fn a_guess_needs_the_file() {
    let part = r#"Mesh(name: "seat", file: "seat.glb", up: "+z", at: (forward: 2))"#;
    let faults = Files::of(part, "", &[]).faults();
    let told: Vec<_> = faults.iter().map(|fault| fault.what.as_str()).collect();
    assert_eq!(told, ["`Mesh` lacks its fields `unit` and `forward`", "there is no mesh file \"seat.glb\""]);
    assert_eq!(faults[0].mend, "add `unit: ...`, `forward: ...` to it");
    let misspelt = r#"Mesh(name: "seat", file: "a.obj", unnit: "m", up: "+z", forward: "+x", at: (forward: 2))"#;
    let triangle: &[u8] = b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n";
    let fault = Files::of(misspelt, "", &[("a.obj", triangle)]).fault();
    assert!(fault.what.contains("no field `unnit`"), "{}", fault.what);
}

/// Heights above deck and gunwale are measured from the lines of the vessel's figures.
#[test]
fn where_hull_and_lines_differ_under_a_lamp_there_is_a_caution() {
    let lamps = |at: &str, mount: &str| {
        format!(
            "Lamp(name: \"white\", role: AllRoundWhite, at: (forward: 2.5, {at}), mount: {mount}, optics: \"{}\")",
            if mount == "Flush" { "stern 2 nm" } else { "all-round 2 nm" }
        )
    };
    let cautions = |raised: f64, at: &str, mount: &str| {
        let mut hull = her_hull();
        hull.points.iter_mut().for_each(|point| point.z += if point.z > 0.3 { raised } else { 0.0 });
        let bytes = obj(&[named("hull", hull)]);
        let files =
            Files::of(&mesh("hull.obj", ", as_hull: true"), &lamps(at, mount), &[("hull.obj", bytes.as_bytes())]);
        let scene = files.scene();
        let fit = &scene.fits[0];
        let survey = Survey::of(&scene, fit, Status::UnderWay, &Settings::default());
        let found = judge(&scene, fit, &survey, international()).findings;
        let own = found.into_iter().filter(|one| one.kind == Kind::HullDiffers);
        own.map(|one| (one.severity, one.what, one.how_bad)).collect::<Vec<_>>()
    };
    for at in ["above_deck: 1", "above_gunwale: 1"] {
        assert_eq!(cautions(0.03, at, "Bracket"), [], "{at}");
        let told = cautions(0.12, at, "Bracket");
        let [(Severity::Caution, what, how_bad)] = told.as_slice() else { panic!("{told:?}") };
        assert!(what.contains(if at.contains("deck") { "deck" } else { "gunwale" }), "{what}");
        assert!(how_bad.contains("0.12 m higher"), "{how_bad}");
    }
    assert_eq!(cautions(0.12, "above_waterline: 1.6", "Bracket"), [], "such a height owes nothing to the lines");
}

/// A deck that is 0.12 m higher than the lines, under a masthead light and two sidelights, a sternlight and a lamp over a
/// hole, on a boat of 6.2 m: COLREGs 1972 Annex I 2(d) asks for the height of the first over the second, and nothing for
/// that of the third.
#[test]
fn a_hull_that_differs_is_filed_under_the_clause_that_the_lamps_place_bears_on() {
    let lamp = |name: &str, role: &str, at: &str, mount: &str, optics: &str| {
        format!("Lamp(name: \"{name}\", role: {role}, at: ({at}), mount: {mount}, optics: \"{optics}\")")
    };
    let lamps = [
        lamp("top", "Masthead", "forward: 3, above_deck: 1.6", "Bracket", "masthead 2 nm"),
        lamp("stern", "Sternlight", "forward: 0.4, above_deck: 0.3", "Bracket", "stern 2 nm"),
        lamp(
            "starboard",
            "StarboardSidelight",
            "forward: 4, starboard: 0.5, above_deck: 0.4",
            "Bracket",
            "starboard 1 nm",
        ),
        lamp("port", "PortSidelight", "forward: 4, port: 0.5, above_deck: 0.4", "Bracket", "port 1 nm"),
    ];
    let found = |change: &dyn Fn(&mut Triangles)| {
        let mut hull = her_hull();
        change(&mut hull);
        let bytes = obj(&[named("hull", hull)]);
        let part = mesh("hull.obj", ", as_hull: true");
        let files = Files::of(&part, &lamps.join(", "), &[("hull.obj", bytes.as_bytes())]);
        let scene = files.scene();
        let survey = Survey::of(&scene, &scene.fits[0], Status::UnderWay, &Settings::default());
        let judgement = judge(&scene, &scene.fits[0], &survey, international());
        let own = judgement.findings.into_iter().filter(|one| one.kind == Kind::HullDiffers);
        let told = own.map(|one| (one.lamp.unwrap_or_default(), one.clause, one.what)).collect::<Vec<_>>();
        let said = |options: &[&str]| String::from_utf8_lossy(&files.survey(options).stdout).into_owned();
        (told, said(&[]), said(&["--json"]))
    };
    let (told, text, json) =
        found(&|hull| hull.points.iter_mut().for_each(|p| p.z += if p.z > 0.3 { 0.12 } else { 0.0 }));
    let clause = |lamp: &str| told.iter().find(|(of, _, _)| of == lamp).map(|(_, clause, _)| clause.as_str());
    assert!(clause("top").is_some_and(|clause| clause.contains("Annex I 2(d)")), "{told:?}");
    assert_eq!(clause("stern"), Some(""), "{told:?}");
    assert!(text.contains("hull and lines differ\n") && !text.contains("()"), "{text}");
    assert!(json.contains("\"clause\": null"), "{json}");
    // Nothing is left of her over the aftermost metre but the transom.
    let (holed, ..) = found(&|hull| {
        let points = hull.points.clone();
        let aft = |corner: &u32| (0.05..1.0).contains(&points[*corner as usize].x);
        hull.corners.retain(|corners| !corners.iter().any(aft));
    });
    let [(lamp, _, what)] = holed.as_slice() else { panic!("{holed:?}") };
    assert_eq!((lamp.as_str(), what.as_str()), ("stern", "Her hull's mesh has no deck at stern."));
}

/// The launch that is supplied as an example. `LAMPWALK_RENEW=1` writes her mesh again after a change on purpose.
#[test]
fn the_mesh_of_petrel_is_the_one_that_is_made_from_her_figures() {
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    let file = scenes.join("petrel.glb");
    let scene = scene_file(&scenes.join("petrel.ron"));
    let made = support::launch::petrel(&petrel_figures());
    if std::env::var_os("LAMPWALK_RENEW").is_some() {
        fs::write(&file, &made).expect("the mesh is written");
    }
    assert!(made == fs::read(&file).expect("the mesh is there"), "the file differs from what is made");
    assert!(made.len() < 60_000, "{} bytes", made.len());
    let scene = scene.unwrap_or_else(|error| panic!("{error}")).scene;
    assert_eq!(scene.vessel, petrel_figures(), "the mesh is made from the figures of the scene");
    assert!(names(&scene).contains(&"bimini_frame"));
}

/// The vessel of `petrel.ron`, read without her mesh.
fn petrel_figures() -> Vessel {
    let text = include_str!("../scenes/petrel.ron");
    let (before, after) = text.split_once("parts: [").expect("her parts");
    let fits = "fits: [Fit(name: \"bare\", lamps: [])],\n)";
    assert!(after.contains("petrel.glb"));
    let bare = format!("{before}{fits}");
    scene_text(&bare, "petrel.ron", None).unwrap_or_else(|error| panic!("{error}")).scene.vessel
}
