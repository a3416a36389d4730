//! Which scenes are offered to be opened, and how a mesh becomes a part of one.

use std::{fs, path::Path};

use lampwalk::{
    boat::{Height, PartKind, read::offer_mesh},
    edit::{Document, Edit, MOST_RECENT, Spot, recent, remember, scenes_in},
};

const BOAT: &str = r#"Scene(name: "Skiff",
    vessel: Vessel(length: 5, beam: 1.9, freeboard: 0.5, depth: 0.8, propulsion: Power, top_speed: 6),
    parts: [
        Mast(name: "mast", at: (forward: 2), height: 1, diameter: 0.03), // hers
    ],
    fits: [Fit(name: "as found")],
)
"#;

#[test]
fn scenes_opened_last_come_first_and_those_that_have_gone_are_left_out() {
    let folder = tempfile::tempdir().unwrap();
    let state = folder.path().join("state");
    assert!(recent(Some(&state)).is_empty());
    let scenes: Vec<_> = (0..15).map(|n| folder.path().join(format!("{n}.ron"))).collect();
    for scene in &scenes {
        fs::write(scene, BOAT).unwrap();
        remember(Some(&state), scene);
    }
    let newest: Vec<_> = scenes.iter().rev().take(MOST_RECENT).cloned().collect();
    assert_eq!(recent(Some(&state)), newest);
    remember(Some(&state), &scenes[5]);
    assert_eq!(recent(Some(&state)).first(), Some(&scenes[5]));
    assert_eq!(recent(Some(&state)).len(), MOST_RECENT, "none stands there twice");
    fs::remove_file(&scenes[5]).unwrap();
    assert_eq!(recent(Some(&state)).first(), Some(&scenes[14]));
    fs::write(&scenes[5], BOAT).unwrap();
    assert_eq!(recent(Some(&state)).first(), Some(&scenes[5]), "it may come back");
}

#[test]
fn a_list_that_is_no_list_counts_as_empty_and_is_written_anew() {
    let folder = tempfile::tempdir().unwrap();
    let scene = folder.path().join("boat.ron");
    fs::write(&scene, BOAT).unwrap();
    fs::write(folder.path().join("recent"), b"\xff\xfe\0\nboat.ron\n../boat.ron\n/nowhere/at/all.ron\n").unwrap();
    assert!(recent(Some(folder.path())).is_empty());
    remember(Some(folder.path()), &scene);
    assert_eq!(recent(Some(folder.path())), std::slice::from_ref(&scene));
    // Where it cannot be written, nothing happens.
    remember(Some(&scene), &scene);
    remember(None, &scene);
    assert!(recent(Some(&scene)).is_empty() && recent(None).is_empty());
    assert_eq!(fs::read_to_string(&scene).unwrap(), BOAT);
}

#[test]
fn the_scenes_of_a_folder_are_its_ron_files_but_for_rules() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write("b.ron", BOAT);
    write("a.RON", "// Rules( are not meant here\nScene(");
    write("c.ron", "no scene, but perhaps meant as one");
    write("rules.ron", "/* mine */ Rules(name: \"mine\")");
    write("b.ron~", BOAT);
    write("b.ron.recovery", BOAT);
    fs::create_dir(folder.path().join("folder.ron")).unwrap();
    let names: Vec<_> =
        scenes_in(folder.path()).unwrap().iter().map(|path| path.file_name().unwrap().to_owned()).collect();
    assert_eq!(names, ["a.RON", "b.ron", "c.ron"]);
    assert!(scenes_in(&folder.path().join("nowhere")).is_err());
}

/// A box as an OBJ file, from corner to corner.
fn block(low: [f64; 3], high: [f64; 3]) -> String {
    let corner = |n: usize| (0..3).map(move |axis| if n >> axis & 1 == 1 { high[axis] } else { low[axis] });
    let points = (0..8).map(|n| format!("v {}\n", corner(n).map(|at| at.to_string()).collect::<Vec<_>>().join(" ")));
    let faces = "f 1 2 4 3\nf 5 6 8 7\nf 1 2 6 5\nf 3 4 8 7\nf 1 3 7 5\nf 2 4 8 6\n";
    points.collect::<String>() + faces
}

fn boat_with(mesh: &str) -> (tempfile::TempDir, Document) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("boat.ron");
    fs::write(&path, BOAT).unwrap();
    fs::write(folder.path().join("block.obj"), mesh).unwrap();
    let document = Document::open(&path).unwrap();
    (folder, document)
}

#[test]
fn a_mesh_round_an_origin_of_its_own_is_put_on_deck_amidships_and_moves() {
    // Millimetres, z up: 600 long, 400 wide, 300 high.
    let (folder, mut document) = boat_with(&block([-300.0, -200.0, 0.0], [300.0, 200.0, 300.0]));
    let mesh = offer_mesh("block.obj", Some(folder.path()), document.scene()).unwrap();
    assert_eq!((mesh.name.as_str(), mesh.unit, mesh.up, mesh.forward), ("block", "mm", "+z", "+x"));
    assert!(mesh.amidships && !mesh.as_hull && !mesh.by_shape);
    document.apply(Edit::AddMesh { at: 1, mesh: Box::new(mesh) }).unwrap();
    let line = document.text().lines().find(|line| line.contains("Mesh(")).unwrap().trim();
    let deck = document.scene().vessel.deck_height(2.5, 0.0);
    assert!(line.starts_with(r#"Mesh(name: "block", file: "block.obj", unit: "mm", up: "+z", forward: "+x", at: (forward: 2.5, above_waterline: "#));
    let PartKind::Mesh { surface, at, .. } = &document.scene().parts[1].kind else { panic!("no mesh") };
    let (low, high) = surface.bounds().unwrap();
    assert!((low.x - 2.2).abs() < 1e-3 && (high.x - 2.8).abs() < 1e-3, "{low} {high}");
    assert!((low.z - deck).abs() < 1e-3 && (high.z - deck - 0.3).abs() < 1e-3, "{low} {high}");
    let what = Spot::Part { part: 1, nth: 0 };
    let mut to = *at;
    (to.forward, to.height) = (1.0, Height::AboveWaterline(1.0));
    document.apply(Edit::Move { what, to }).unwrap();
    let PartKind::Mesh { surface, .. } = &document.scene().parts[1].kind else { panic!("no mesh") };
    assert!((surface.bounds().unwrap().0.x - 0.7).abs() < 1e-9);
    document.undo().unwrap();
    document.undo().unwrap();
    assert_eq!(document.text(), BOAT);
}

#[test]
fn a_mesh_drawn_in_its_place_stays_there() {
    let (folder, document) = boat_with(&block([3000.0, -200.0, 500.0], [3600.0, 200.0, 800.0]));
    let mesh = offer_mesh("block.obj", Some(folder.path()), document.scene()).unwrap();
    assert!(!mesh.amidships);
    assert_eq!((mesh.at.forward, mesh.at.starboard, mesh.at.height), (0.0, 0.0, Height::AboveWaterline(0.0)));
}

#[test]
fn a_mesh_of_her_own_shape_becomes_her_hull_and_only_one_does() {
    let folder = tempfile::tempdir().unwrap();
    let scenes = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes");
    fs::copy(scenes.join("petrel.glb"), folder.path().join("petrel.glb")).unwrap();
    let petrel = fs::read_to_string(scenes.join("petrel.ron")).unwrap();
    let before = Document::open(&scenes.join("petrel.ron")).unwrap();
    let again = offer_mesh("petrel.glb", Some(folder.path()), before.scene()).unwrap();
    assert!(!again.as_hull, "she has one");
    // The same boat without her mesh.
    let (from, to) = (petrel.find("        Mesh(").unwrap(), petrel.find("        Outboard(").unwrap());
    let path = folder.path().join("petrel.ron");
    fs::write(&path, format!("{}{}", &petrel[..from], &petrel[to..])).unwrap();
    let mut document = Document::open(&path).unwrap();
    let mesh = offer_mesh("petrel.glb", Some(folder.path()), document.scene()).unwrap();
    assert_eq!((mesh.unit, mesh.up, mesh.forward, mesh.as_hull), ("m", "+y", "+z", true));
    let at = document.scene().parts.len();
    document.apply(Edit::AddMesh { at, mesh: Box::new(mesh) }).unwrap();
    assert!(document.scene().own_hull().is_some());
}

#[test]
fn a_mesh_that_cannot_be_read_is_told_of_in_the_readers_words() {
    let (folder, document) = boat_with("v 0 0 zero\n");
    let error = offer_mesh("block.obj", Some(folder.path()), document.scene()).unwrap_err();
    assert!(error.what.contains("block.obj") && !error.mend.is_empty(), "{error:?}");
    let error = offer_mesh("gone.obj", Some(folder.path()), document.scene()).unwrap_err();
    assert_eq!(error.what, "there is no mesh file \"gone.obj\"");
}
