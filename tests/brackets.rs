//! Brackets of lamps in a scene: where they come out, what is found wrong with them, and the files they are drawn into.

mod support;

use std::{fs, process::Command};

use dxf::{Drawing, entities::EntityType, enums::AcadVersion};
use glam::{DVec2, DVec3};
use lampwalk::{
    boat::{
        Owner, Pose, Scene,
        bracket::MM,
        read::{Fault, scene_text},
        shape::Shape,
    },
    fitting::{
        Finding,
        bracket::{Bracket, NoBracket, Purpose, for_lamp, outline::distance},
    },
    rules::Severity,
    shadow::{Obstacles, Toward, visible_fraction},
    sheet::bracket::{drawing, dxf, text},
};
use proptest::prelude::*;

/// A boat with a flat level deck but for what `hull` says, and one lamp with what `lamp` says of it.
fn boat(hull: &str, lamp: &str) -> String {
    format!(
        r#"Scene(
    name: "Test boat",
    vessel: Vessel(length: 6, beam: 2.4, freeboard: 0.6, depth: 0.9, propulsion: Power, top_speed: 20,
        hull: Hull({hull})),
    parts: [
        Mast(name: "pole", at: (forward: 0.5), height: 1.5, diameter: 0.03),
        Outboard(name: "engine", at: (forward: 0, above_waterline: 0.6), cowling: (length: 0.6, width: 0.4, height: 0.5),
            leg: 0.9, steering: (now: 0, most: 30)),
        Box(name: "locker", at: (forward: 1.5), length: 0.6, width: 0.6, height: 0.3),
    ],
    fits: [Fit(name: "fit", lamps: [
        Lamp(name: "lamp",
            {lamp}),
    ])],
)
"#
    )
}

const LEVEL: &str = "sheer: 0, deck_camber: 0";
const SLOPED: &str = "sheer: 0.4, deck_camber: 0.12";

/// A starboard sidelight so high above the deck, in millimetres, with a bracket.
fn sidelight(hull: &str, above: f64, bracket: &str) -> Scene {
    let above = above * MM;
    read(&boat(
        hull,
        &format!(
            "role: StarboardSidelight, at: (forward: 4.2, starboard: 0.7, above_deck: {above}), mount: Bracket, \
             optics: \"starboard 1 nm\", bracket: {bracket}"
        ),
    ))
}

/// A combined lantern, which stands on its foot.
fn lantern(hull: &str, above: f64, bracket: &str) -> Scene {
    let above = above * MM;
    read(&boat(
        hull,
        &format!(
            "role: CombinedSidelights, at: (forward: 4.2, starboard: 0.2, above_deck: {above}), mount: Bracket, \
             optics: \"bicolour 1 nm\", bracket: {bracket}"
        ),
    ))
}

fn read(text: &str) -> Scene {
    scene_text(text, "boat.ron", None).unwrap_or_else(|error| panic!("{error}")).scene
}

fn of(scene: &Scene) -> Bracket {
    for_lamp(scene, &scene.fits[0], 0).unwrap_or_else(|why| panic!("{why}"))
}

fn told(bracket: &Bracket) -> Vec<String> {
    bracket.findings.iter().map(|finding| format!("{}: {}", finding.about, finding.what)).collect()
}

/// The one fault about something.
fn fault<'b>(bracket: &'b Bracket, about: &str) -> &'b Finding {
    let found = bracket.findings.iter().find(|finding| finding.about == about);
    let finding = found.unwrap_or_else(|| panic!("no \"{about}\" among {:#?}", told(bracket)));
    assert_eq!(finding.severity, Severity::Fault, "{}", finding.what);
    assert!(!finding.mend.is_empty());
    finding
}

/// A fault of the shape: told, and nothing is drawn.
fn refused(scene: &Scene, about: &str, words: &str) {
    let bracket = of(scene);
    let finding = fault(&bracket, about);
    assert!(finding.what.contains(words), "{words:?} in {:?}", finding.what);
    assert!(
        bracket.pieces.is_empty() && bracket.profile.is_none(),
        "something is drawn in spite of {:?}",
        finding.what
    );
    assert!(text(&bracket).contains("nothing is drawn"));
}

fn no_faults(bracket: &Bracket) {
    assert!(!bracket.is_faulty(), "{:#?}", told(bracket));
    assert!(!bracket.pieces.is_empty());
}

/// The corners of a box.
fn corners(shape: &Shape) -> Vec<DVec3> {
    let Shape::Cuboid { centre, axes, half } = shape else { panic!("a plate is a box") };
    let signs = [-1.0, 1.0];
    let each = signs.iter().flat_map(|x| signs.iter().flat_map(move |y| signs.map(|z| DVec3::new(*x, *y, z))));
    each.map(|sign| *centre + *axes * (*half * sign)).collect()
}

#[test]
fn the_foot_lies_on_the_deck_and_the_lamp_comes_out_where_the_scene_says() {
    for hull in [LEVEL, SLOPED] {
        for turn in ["Away", "Under"] {
            let scene = sidelight(hull, 60.0, &format!("Folded(turn: {turn}, sealant: 0.5)"));
            let bracket = of(&scene);
            no_faults(&bracket);
            let (standing, plate) = bracket.folded.as_ref().expect("a folded plate");
            let posed = scene.posed_lamp(&scene.fits[0].lamps[0], &Pose::default());
            let wanted = scene.vessel.locate(&scene.fits[0].lamps[0].at.unwrap());
            // The face is half as deep as it is wide, and 15 mm of lens and base stand behind it.
            let face = standing.place(DVec3::new(0.0, 0.0, 30.0));
            assert!(face.distance(wanted) < 1e-12 && posed.centre.distance(wanted) < 1e-12, "{hull} {turn}");
            // Every corner of the foot's underside, folded up from the flat sheet, is a bed of sealant above the deck.
            let outer = if standing.way < 0.0 { 0.0 } else { -plate.thickness };
            for along in [-10.0, 10.0] {
                for away in [plate.foot.fold.allowance(), plate.foot.reach()] {
                    let under = standing.place(plate.folded(plate.foot.point(DVec2::new(along, away)), outer));
                    let above = standing.seat.normal.dot(under - standing.seat.point);
                    assert!((above - 0.0005).abs() < 1e-12, "{hull} {turn}: {above} m above the deck");
                }
            }
            let deck = scene.vessel.deck_height(standing.seat.point.x, standing.seat.point.y);
            assert!((standing.seat.point.z - deck).abs() < 1e-12);
        }
    }
}

#[test]
fn on_a_level_deck_the_fold_is_square_and_the_upright_as_high_as_the_lamp() {
    let bracket = of(&sidelight(LEVEL, 60.0, "Folded(sealant: 0)"));
    let (standing, plate) = bracket.folded.as_ref().unwrap();
    assert!((plate.foot.fold.angle.to_degrees() - 90.0).abs() < 1e-6 && standing.skew.abs() < 1e-9);
    assert!((standing.drop / MM - 60.0).abs() < 1e-6);
    // 30 mm stand above the lamp's middle, in whole millimetres.
    assert!((plate.upright_outside() - 90.0).abs() < 1.0 + 1e-6);
}

#[test]
fn a_deck_that_slopes_athwartships_opens_or_closes_the_fold_by_its_angle() {
    let bracket = of(&sidelight("sheer: 0, deck_camber: 0.12", 60.0, "Folded()"));
    let (standing, _) = bracket.folded.as_ref().unwrap();
    let normal = standing.seat.normal;
    let athwart = (normal.y / normal.z).atan();
    // Starboard of the centreline the deck falls outboard, so that the foot, which goes inboard, goes uphill.
    assert!(athwart < -0.05);
    assert!((standing.bend.to_degrees() - 90.0 - (-athwart).to_degrees() * standing.skew.cos()).abs() < 0.05);
}

#[test]
fn folded_up_the_sheet_fills_the_solids_that_throw_shadows() {
    for turn in ["Away", "Under"] {
        let bracket = of(&sidelight(SLOPED, 60.0, &format!("Folded(turn: {turn}, corner: 0)")));
        let (standing, plate) = bracket.folded.as_ref().unwrap();
        let [upright, foot] = bracket.shapes() else { panic!("an upright and a foot") };
        let is_corner = |shape: &Shape, at: DVec3| corners(shape).iter().any(|corner| corner.distance(at) < 1e-9);
        let outer = if standing.way < 0.0 { 0.0 } else { -plate.thickness };
        for side in [-1.0, 1.0] {
            for deep in [0.0, -plate.thickness] {
                let top = plate.folded(DVec2::new(side * plate.width / 2.0, plate.end), deep);
                assert!(is_corner(upright, standing.place(top)), "{turn}: {top}");
            }
            // The box has sharp corners where the sheet has a fold, and lies along it a fraction of a millimetre aside.
            let half = plate.width / 2.0 / plate.foot.skew.cos();
            let end = plate.folded(plate.foot.point(DVec2::new(side * half, plate.foot.reach())), outer);
            let Shape::Cuboid { centre, axes, half } = foot else { panic!("a plate is a box") };
            let own = axes.transpose() * (standing.place(end) - *centre);
            assert!((own.y - half.y).abs() < 1e-9 && (own.z.abs() - half.z).abs() < 1e-9, "{turn}: {own}");
            assert!((own.x - side * half.x).abs() < 0.0005, "{turn}: {own}");
        }
    }
}

#[test]
fn a_z_carries_a_lantern_on_its_top() {
    let scene = lantern(SLOPED, 120.0, "Folded(form: Z)");
    let bracket = of(&scene);
    no_faults(&bracket);
    let (standing, plate) = bracket.folded.as_ref().unwrap();
    let top = plate.top.as_ref().expect("a Z has a top");
    let middle = top.point(DVec2::new(0.0, top.fold.allowance() + top.outside / 2.0 - top.fold.setback()));
    let surface = standing.place(plate.folded(middle, -plate.thickness));
    let lamp = scene.posed_lamp(&scene.fits[0].lamps[0], &Pose::default()).centre;
    // Half the height of the face, and 15 mm of lens and base.
    assert!((lamp - surface).distance(DVec3::Z * 0.03) < 1e-9, "{}", lamp - surface);
    assert_eq!(bracket.shapes().len(), 3);
    assert_eq!(bracket.pieces[0].folds.len(), 2);
}

#[test]
fn a_bracket_on_a_locker_stands_on_its_lid() {
    let lamp = "role: AllRoundWhite, at: (forward: 1.5, above_deck: 0.42), mount: Bracket, optics: \"all-round 2 nm\", \
        bracket: Folded(form: Z)";
    let bracket = of(&read(&boat(SLOPED, lamp)));
    let (standing, _) = bracket.folded.as_ref().unwrap();
    assert_eq!(standing.seat.on.as_deref(), Some("locker"));
    // 0.42 m above the deck, less 0.3 m of locker and a bed of sealant; the deck's camber lies under the locker too.
    assert!((standing.drop - 0.1195).abs() < 0.002, "{}", standing.drop);
}

#[test]
fn the_solids_of_a_bracket_stand_in_place_of_the_plain_plate() {
    let with = sidelight(LEVEL, 120.0, "Folded()");
    let without = {
        let mut scene = with.clone();
        scene.fits[0].lamps[0].bracket = None;
        scene
    };
    let mounts = |scene: &Scene| -> Vec<_> {
        let posed = scene.posed(&scene.fits[0], &Pose::default());
        posed.solids.into_iter().filter(|solid| solid.owner == Owner::Mount(0)).collect()
    };
    assert_eq!((mounts(&with).len(), mounts(&without).len()), (2, 1));
    let seen = |scene: &Scene, toward: DVec3| {
        let lamp = &scene.posed(&scene.fits[0], &Pose::default()).lamps[0];
        visible_fraction(&Obstacles::new(&mounts(scene)), lamp, Toward::Direction(toward.normalize())).fraction
    };
    // Inboard and steeply down, below the plain plate of 30 mm and onto the upright of 120 mm.
    let down = DVec3::new(0.0, 1.0, -2.4);
    assert_eq!((seen(&with, down), seen(&without, down)), (0.0, 1.0));
    // Outboard nothing of it is in the way.
    assert_eq!(seen(&with, DVec3::NEG_Y), 1.0);
}

#[test]
fn a_bracket_asked_of_another_mount_is_told_and_the_plain_plate_stays() {
    let lamp = "role: StarboardSidelight, at: (forward: 4.2, starboard: 0.7, above_deck: 0.1), mount: FlatOnDeck, \
        optics: \"starboard 1 nm\", bracket: Folded()";
    refused(&read(&boat(LEVEL, lamp)), "mount", "cannot hold");
    refused(&lantern(LEVEL, 120.0, "Folded(form: L)"), "mount", "cannot hold");
    refused(&sidelight(LEVEL, 60.0, "Folded(form: Z)"), "mount", "cannot hold");
    refused(&sidelight(LEVEL, 60.0, "Wedge()"), "mount", "cannot hold");
    let scene = sidelight(LEVEL, 60.0, "Folded(form: Z)");
    assert_eq!(
        scene.posed(&scene.fits[0], &Pose::default()).solids.iter().filter(|s| s.owner == Owner::Mount(0)).count(),
        1
    );
}

#[test]
fn a_lamp_without_a_bracket_field_has_none() {
    let mut scene = sidelight(LEVEL, 60.0, "Folded()");
    scene.fits[0].lamps[0].bracket = None;
    let why = for_lamp(&scene, &scene.fits[0], 0).expect_err("nothing is said");
    assert_eq!(why, NoBracket::NotAsked("lamp".into()));
    assert!(why.to_string().contains("Folded(form: L)"));
    assert_eq!(for_lamp(&scene, &scene.fits[0], 5).expect_err("no such lamp"), NoBracket::NoSuchLamp);
}

#[test]
fn faults_of_the_sheet_are_told_and_nothing_is_drawn() {
    // Aluminum Design Manual 2005, table 3-1: 5052-H32 takes 1 t at 1/16 inch, 6061-T6 1.5 t.
    refused(&sidelight(LEVEL, 60.0, "Folded(inside_radius: 1)"), "inside radius", "less than the 1.5 mm");
    refused(&sidelight(LEVEL, 60.0, "Folded(alloy: \"6061-T6\", inside_radius: 2)"), "inside radius", "2.25 mm");
    no_faults(&of(&sidelight(LEVEL, 60.0, "Folded(alloy: \"6061-T6\", inside_radius: 2.25)")));
    refused(&sidelight(LEVEL, 60.0, "Folded(alloy: \"unobtainium\")"), "alloy", "nothing is known");
    refused(&sidelight(LEVEL, 60.0, "Folded(alloy: \"316\", sheet: 4)"), "sheet", "ends at 3 mm");
    refused(&sidelight(LEVEL, 60.0, "Folded(corner: 25)"), "corners", "do not fit");
}

#[test]
fn an_upright_or_a_flange_too_short_is_told() {
    refused(&sidelight(LEVEL, 60.0, "Folded(upright: 40)"), "upright too short", "59.5 mm above the foot");
    refused(&sidelight(LEVEL, 60.0, "Folded(foot: 5.5)"), "flange too short", "6 mm is the least");
    refused(&lantern(LEVEL, 34.0, "Folded(form: Z)"), "flange too short", "upright");
}

#[test]
fn holes_near_edges_folds_and_one_another_are_told() {
    // 8 mm of cable ask 16 mm to the edge; half of 30 mm is 15.
    refused(&sidelight(LEVEL, 60.0, "Folded(width: 30)"), "hole near an edge", "cable hole of 8 mm");
    // A rivet of 5 mm asks 10 mm to either side and 15 mm between: 35 mm at least.
    refused(&sidelight(LEVEL, 60.0, "Folded(width: 34, gland: 0)"), "fasteners near one another", "15 mm is the least");
    no_faults(&of(&sidelight(LEVEL, 60.0, "Folded(width: 35, gland: 0)")));
    refused(&sidelight(LEVEL, 60.0, "Folded(screws: (apart: 18))"), "holes near one another", "between a");
    // The lower screw of a lamp 20 mm up lies 5 mm from the deck, where the fold begins at 3.
    refused(&sidelight(LEVEL, 20.0, "Folded()"), "hole near a fold", "lamp screw");
    let hole = |from_edge: f64| {
        sidelight(
            LEVEL,
            60.0,
            &format!("Folded(fastener_rows: 1, holes: [Hole(on: Foot, from_edge: {from_edge}, diameter: 4)])"),
        )
    };
    refused(&hole(4.0), "hole near an edge", "as asked for");
    refused(&hole(35.0), "hole near a fold", "as asked for");
    refused(&hole(38.0), "hole near a fold", "lies in the fold");
}

#[test]
fn a_hole_that_is_drawn_keeps_its_distances() {
    for scene in [
        sidelight(SLOPED, 60.0, "Folded()"),
        sidelight(SLOPED, 90.0, "Folded(turn: Under, fasteners: Bolt(6), width: 50, foot: 50)"),
    ] {
        let bracket = of(&scene);
        no_faults(&bracket);
        let piece = &bracket.pieces[0];
        for hole in &piece.holes {
            assert!(distance(&piece.outline, hole.at) >= 2.0 * hole.size - 1e-6, "{hole:?}");
        }
        let fasteners = piece.holes.iter().filter(|hole| hole.purpose == Purpose::Fastener);
        assert_eq!(fasteners.count(), 4);
    }
}

#[test]
fn a_foot_outboard_of_the_deck_is_told() {
    let lamp = "role: StarboardSidelight, at: (forward: 3, starboard: 1.2, above_deck: 0.1), mount: Bracket, \
        optics: \"starboard 1 nm\", bracket: Folded(turn: Under)";
    refused(&read(&boat(LEVEL, lamp)), "nothing to stand on", "outboard");
}

#[test]
fn the_length_of_a_rivet_follows_from_its_grip() {
    // ISO 15981:2002: a rivet of 5 mm that is 16 mm long closes 8 to 12 mm, one of 12 mm 6 to 8, one of 30 mm 20 to 25.
    for (fixing, grip, length) in [
        ("deck: (thickness: 6, material: \"GRP\")", 9.0, 16.0),
        ("deck: (thickness: 3.5, material: \"GRP\")", 6.5, 12.0),
        ("deck: (thickness: 6, material: \"GRP\"), gap: 4", 13.0, 20.0),
        ("deck: (thickness: 20, material: \"plywood\")", 23.0, 30.0),
    ] {
        let bracket = of(&sidelight(LEVEL, 60.0, &format!("Folded({fixing})")));
        no_faults(&bracket);
        let joint = bracket.joint.as_ref().unwrap();
        assert!((joint.grip - grip).abs() < 1e-9, "{fixing}: {}", joint.grip);
        assert_eq!(joint.length, Some(length), "{fixing}");
        assert!((joint.wanted - grip - 7.5).abs() < 1e-9, "grip and 1.5 diameters");
        assert_eq!(joint.drill, (5.1, 5.2));
    }
}

#[test]
fn a_fastener_that_does_not_close_is_told_and_the_plate_still_drawn() {
    for (fasteners, about) in [
        ("Rivet(diameter: 5, length: 12)", "rivet too short"),
        ("Rivet(diameter: 5, length: 30)", "rivet too long"),
        ("Rivet(diameter: 5, length: 13)", "rivet length"),
        ("Rivet(5.5)", "fastener"),
        ("Bolt(7)", "fastener"),
        ("Bolt(diameter: 6, length: 16)", "bolt too short"),
    ] {
        let bracket = of(&sidelight(LEVEL, 60.0, &format!("Folded(width: 50, foot: 50, fasteners: {fasteners})")));
        fault(&bracket, about);
        assert!(!bracket.pieces.is_empty(), "{fasteners}");
    }
    let thick = of(&sidelight(LEVEL, 60.0, "Folded(deck: (thickness: 40, material: \"wood\"))"));
    assert!(
        fault(&thick, "rivet too short").what.contains("20 to 25")
            || fault(&thick, "rivet too short").what.contains("25 mm")
    );
    let bare = of(&sidelight(LEVEL, 60.0, "Folded(washer: 0)"));
    assert!(bare.findings.iter().any(|finding| finding.about == "no washer" && !finding.is_fault()));
}

#[test]
fn the_length_of_a_bolt_takes_in_washers_nut_and_two_threads() {
    let bracket = of(&sidelight(LEVEL, 60.0, "Folded(width: 50, fasteners: Bolt(6))"));
    let joint = bracket.joint.as_ref().unwrap();
    // 9 mm of grip, two washers of 1.6, a nut of 5.2 and two threads of 1 mm.
    assert!((joint.wanted - (9.0 + 3.2 + 5.2 + 2.0)).abs() < 1e-9);
    assert_eq!((joint.length, joint.drill), (Some(20.0), (6.6, 6.6)));
}

#[test]
fn metals_far_apart_in_the_series_are_told_with_what_to_isolate() {
    let found = |bracket: &str| of(&sidelight(LEVEL, 60.0, bracket));
    let metals = |bracket: &Bracket| -> Vec<Finding> {
        bracket.findings.iter().filter(|finding| finding.about == "metals").cloned().collect()
    };
    let plain = "screws: (metal: \"nylon\")";
    assert!(metals(&found(&format!("Folded({plain})"))).is_empty(), "aluminium on aluminium on GRP");
    // Stainless bolts through aluminium: the plate is eaten, slowly, and is isolated.
    let stainless = metals(&found(&format!("Folded({plain}, width: 50, fasteners: Bolt(6))")));
    assert_eq!(stainless.len(), 1);
    assert!(stainless[0].what.contains("the plate is eaten") && stainless[0].mend.contains("nylon"));
    assert_eq!(stainless[0].severity, Severity::Caution);
    // A small aluminium rivet in stainless plate goes fast (MIL-STD-1250A 5.7 a: not the reverse).
    let reversed = metals(&found(&format!("Folded({plain}, alloy: \"316\")")));
    assert!(reversed.iter().any(|finding| finding.is_fault() && finding.what.contains("fasteners are eaten")));
    // On steel both are told: the plate against the deck, and the rivets against the deck.
    let steel = metals(&found(&format!("Folded({plain}, deck: (thickness: 4, material: \"steel\"))")));
    assert!(steel.is_empty(), "0.18 V apart is under the limit");
    let bronze = metals(&found(&format!("Folded({plain}, deck: (thickness: 4, material: \"bronze\"))")));
    assert_eq!(bronze.len(), 2);
    let unknown = found("Folded(deck: (thickness: 4, material: \"adamant\"))");
    assert!(unknown.findings.iter().any(|finding| finding.about == "unknown material" && finding.mend.contains("GRP")));
}

#[test]
fn a_wedge_takes_the_slope_out_of_the_deck() {
    let scene = lantern(SLOPED, 60.0, "Wedge(sealant: 0, fasteners: Bolt(6))");
    let bracket = of(&scene);
    no_faults(&bracket);
    assert_eq!(bracket.pieces.len(), 5, "plan and four sides");
    // Its corners stand on the plane of the deck under the lamp.
    let foot = scene.posed_lamp(&scene.fits[0].lamps[0], &Pose::default()).centre - DVec3::Z * 0.03;
    let normal = scene.vessel.deck_normal(foot.x, -foot.y);
    let deck = DVec3::new(foot.x, foot.y, scene.vessel.deck_height(foot.x, foot.y));
    let fore_starboard = foot + DVec3::new(0.03, -0.03, 0.0);
    let thick = normal.dot(fore_starboard - deck) / normal.z / MM;
    let plan = &bracket.pieces[0];
    let mark = plan.marks.iter().find(|(at, _)| at.x > 0.0 && at.y > 0.0).expect("fore and to starboard");
    assert!((mark.1.parse::<f64>().unwrap() - thick).abs() < 0.051, "{} for {thick}", mark.1);
    refused(&lantern(SLOPED, 34.0, "Wedge(least: 5)"), "too thin", "5 mm is the least");
}

#[test]
fn a_socket_slides_over_its_pole_and_holds_by_threads() {
    let pole = |bracket: &str| {
        let lamp =
            format!("role: AllRoundWhite, mount: Pole(\"pole\"), optics: \"all-round 2 nm\", bracket: {bracket}");
        read(&boat(LEVEL, &lamp))
    };
    let scene = pole("Socket()");
    let bracket = of(&scene);
    no_faults(&bracket);
    assert_eq!(bracket.pieces[0].holes.len(), 3);
    // Thirds of the way round a tube of 30 + 0.4 + 2 times 2 mm.
    let round = std::f64::consts::PI * 34.4;
    assert!((bracket.pieces[0].holes[1].at.x - bracket.pieces[0].holes[0].at.x - round / 3.0).abs() < 1e-9);
    let [Shape::Cylinder { radius, .. }] = bracket.shapes() else { panic!("a tube") };
    assert!((radius - 0.0172).abs() < 1e-12);
    refused(&pole("Socket(wall: 1)"), "set screws", "less than 2 threads");
    refused(&pole("Socket(clearance: 0)"), "clearance", "does not slide");
    refused(&pole("Folded()"), "mount", "cannot hold");
}

#[test]
fn a_pad_lies_on_the_cowling_with_its_like_inside() {
    // The top of the cowling is 1.1 m above the water; a pad of 3, a bed of 0.5 and 30 mm of lamp stand on it.
    let pad = |up: f64, pad: &str| {
        let lamp = format!(
            "role: AllRoundWhite, at: (forward: -0.3, above_waterline: {up}), mount: Outboard(\"engine\"), optics: \
             \"all-round 2 nm\", bracket: Pad({pad})"
        );
        read(&boat(LEVEL, &lamp))
    };
    let shell = "deck: (thickness: 3, material: \"GRP\"), washer: 2";
    let bracket = of(&pad(1.1335, shell));
    no_faults(&bracket);
    assert_eq!(bracket.pieces.len(), 2);
    assert_eq!(bracket.pieces[1].holes.len(), bracket.pieces[0].holes.len() - 2, "the lamp's screws stop at the pad");
    refused(&pad(1.18, shell), "off the cowling", "above the top");
    refused(&pad(1.1335, "washer: 0"), "no backing", "behind");
}

/// The shapes of a layer of a drawing that was read back: lines and arcs by their ends, circles by middle and radius.
struct Layer {
    strokes: Vec<[DVec2; 2]>,
    circles: Vec<(DVec2, f64)>,
}

fn layer(drawing: &Drawing, name: &str) -> Layer {
    let mut layer = Layer { strokes: Vec::new(), circles: Vec::new() };
    for entity in drawing.entities().filter(|entity| entity.common.layer == name) {
        match &entity.specific {
            EntityType::Line(line) => {
                layer.strokes.push([DVec2::new(line.p1.x, line.p1.y), DVec2::new(line.p2.x, line.p2.y)]);
            }
            EntityType::Arc(arc) => {
                let end = |angle: f64| {
                    DVec2::new(arc.center.x, arc.center.y) + DVec2::from_angle(angle.to_radians()) * arc.radius
                };
                layer.strokes.push([end(arc.start_angle), end(arc.end_angle)]);
            }
            EntityType::Circle(circle) => {
                layer.circles.push((DVec2::new(circle.center.x, circle.center.y), circle.radius));
            }
            EntityType::Text(_) => {}
            other => panic!("nothing else is written: {other:?}"),
        }
    }
    layer
}

#[test]
fn a_general_library_reads_the_dxf_back_stroke_by_stroke() {
    let bracket = of(&sidelight(SLOPED, 60.0, "Folded()"));
    let written = dxf(&bracket);
    assert!(written.is_ascii() && written.ends_with("EOF\n"));
    let read = Drawing::load(&mut written.as_bytes()).expect("a sound DXF");
    assert_eq!(read.header.version, AcadVersion::R12);
    let layers: Vec<_> = read.layers().map(|layer| (layer.name.clone(), layer.color.index())).collect();
    for (name, colour) in [("CUT", 7), ("FOLD", 1), ("MARK", 3)] {
        assert!(layers.contains(&(name.into(), Some(colour))), "{layers:?}");
    }
    let piece = &bracket.pieces[0];
    let cut = layer(&read, "CUT");
    // The outline closes: each end is met by one other.
    assert_eq!(cut.strokes.len(), piece.outline.len());
    for [from, to] in &cut.strokes {
        for end in [from, to] {
            let met = cut.strokes.iter().flatten().filter(|other| other.distance(*end) < 1e-5).count();
            assert_eq!(met, 2, "{end}");
        }
    }
    // Holes lie as they do in the piece, one from another.
    assert_eq!(cut.circles.len(), piece.holes.len());
    for (hole, (at, radius)) in piece.holes.iter().zip(&cut.circles) {
        let moved = *at - cut.circles[0].0 - (hole.at - piece.holes[0].at);
        assert!(moved.length() < 1e-5 && (radius - hole.drill / 2.0).abs() < 1e-6);
    }
    let folds = layer(&read, "FOLD");
    assert_eq!(folds.strokes.len(), 1);
    let [from, to] = folds.strokes[0];
    let [left, right] = piece.folds[0].lines[1];
    assert!((from.distance(to) - left.distance(right)).abs() < 1e-5);
    let words = read.entities().filter_map(|entity| match &entity.specific {
        EntityType::Text(text) => Some(text.value.clone()),
        _ => None,
    });
    assert!(words.into_iter().any(|words| words.contains("Millimetres")));
}

#[test]
fn every_form_is_written_as_dxf_and_svg_that_can_be_read() {
    for scene in [
        sidelight(LEVEL, 60.0, "Folded(turn: Under)"),
        lantern(SLOPED, 120.0, "Folded(form: Z)"),
        lantern(SLOPED, 60.0, "Wedge()"),
    ] {
        let bracket = of(&scene);
        let read = Drawing::load(&mut dxf(&bracket).as_bytes()).expect("a sound DXF");
        assert!(read.entities().count() > 4);
        let svg = drawing(&bracket);
        assert!(
            svg.trim_end().ends_with("</svg>") && !svg.contains("NaN") && !svg.contains("inf"),
            "{}",
            bracket.title
        );
    }
}

/// The value of an attribute of the first element that has it.
fn attribute<'s>(svg: &'s str, name: &str) -> &'s str {
    let start = svg.find(&format!("{name}=\"")).unwrap_or_else(|| panic!("no {name}")) + name.len() + 2;
    &svg[start..start + svg[start..].find('"').expect("its end")]
}

#[test]
fn the_svg_is_in_true_scale_with_a_bar_to_check_the_print_by() {
    let bracket = of(&sidelight(LEVEL, 60.0, "Folded()"));
    let svg = drawing(&bracket);
    let (width, height) = (attribute(&svg, " width"), attribute(&svg, " height"));
    let view: Vec<f64> = attribute(&svg, "viewBox").split([' ', ',']).map(|n| n.parse().unwrap()).collect();
    assert_eq!(width, format!("{}mm", view[2]));
    assert_eq!(height, format!("{}mm", view[3]));
    assert_eq!(view[..2], [0.0, 0.0]);
    let bar = svg.split("<line").find(|line| line.contains("stroke-width=\"0.5\"")).expect("the bar");
    let [from, to] = ["x1", "x2"].map(|name| attribute(bar, name).parse::<f64>().unwrap());
    assert!((to - from - 100.0).abs() < 1e-9);
    assert!(svg.contains("100 mm: measure this bar"));
    // The widest stretch between two points of the outline is the plate's own width.
    let outline = svg.split("<path").find(|path| path.contains("stroke-width=\"0.35\"")).expect("the outline");
    let data = attribute(outline, " d");
    let ends = data.split(['M', 'L', 'A']).filter_map(|piece| {
        let numbers: Vec<f64> = piece.split([' ', 'Z']).filter_map(|n| n.parse().ok()).collect();
        numbers.len().checked_sub(2).map(|from| (numbers[from], numbers[from + 1]))
    });
    let (xs, ys): (Vec<f64>, Vec<f64>) = ends.unzip();
    let stretch =
        |all: &[f64]| all.iter().copied().fold(f64::MIN, f64::max) - all.iter().copied().fold(f64::MAX, f64::min);
    assert!((stretch(&xs) - 40.0).abs() < 0.02, "{}", stretch(&xs));
    let (_, plate) = bracket.folded.as_ref().unwrap();
    assert!((stretch(&ys) - plate.flat_length()).abs() < 0.02);
}

#[test]
fn a_faulty_bracket_is_drawn_as_its_findings_alone() {
    let svg = drawing(&of(&sidelight(LEVEL, 60.0, "Folded(inside_radius: 0.5)")));
    assert!(svg.contains("inside radius") && svg.contains("nothing is drawn") && !svg.contains("100 mm: measure"));
}

#[test]
fn text_keeps_to_eighty_columns_and_says_all_there_is() {
    let told = text(&of(&sidelight(SLOPED, 60.0, "Folded()")));
    assert!(told.lines().all(|line| line.chars().count() <= 80), "{told}");
    for words in ["allowance", "setback", "deduction", "drill 5.1", "grip", "Deburr", "K 0.4", "5052-H32", "askew"] {
        assert!(told.contains(words), "no {words:?} in:\n{told}");
    }
}

/// The one fault of a scene whose lamp has this bracket: line, column and words.
fn spoilt(bracket: &str, spot: &str, what: &str, mend: &str) {
    let lamp = format!(
        "role: StarboardSidelight, at: (forward: 4.2, starboard: 0.7), mount: Bracket, optics: \"starboard 1 nm\",\n            \
         bracket: {bracket}"
    );
    let text = boat(LEVEL, &lamp);
    let at = text.find("bracket: ").unwrap();
    let at = at + text[at..].find(spot).expect("the spot");
    let line = text[..at].matches('\n').count() + 1;
    let column = at - text[..at].rfind('\n').unwrap();
    let error = scene_text(&text, "boat.ron", None).expect_err("the scene has a fault");
    let faults: &[Fault] = error.faults();
    assert_eq!(faults.len(), 1, "{bracket}: {faults:#?}");
    assert_eq!((faults[0].line, faults[0].column), (line, column), "{bracket}: {:?}", faults[0]);
    assert!(faults[0].what.contains(what), "{what:?} in {:?}", faults[0].what);
    assert!(faults[0].mend.contains(mend), "{mend:?} in {:?}", faults[0].mend);
}

#[test]
fn slips_in_a_bracket_are_told_at_their_place() {
    spoilt("Foldet()", "Foldet", "expected a bracket", "did you mean `Folded`?");
    spoilt("Folded(form: U)", "U)", "no form of a plate `U`", "`L`, `Z`");
    spoilt("Folded(form: Wedge)", "Wedge", "is not folded", "bracket: Wedge(");
    spoilt("Folded(sheet: 0.0015)", "0.0015", "a thickness of the sheet of 0.0015 mm", "0.0015 m is 1.5");
    spoilt("Folded(foot: 0.04)", "0.04", "a size of a bracket", "millimetres: 0.04 m is 40");
    spoilt("Folded(k: 1.5)", "1.5", "a K factor", "at most 1");
    spoilt("Folded(shet: 1.5)", "shet", "no field `shet`", "`sheet`?");
    spoilt("Folded(fasteners: Screw(5))", "Screw", "expected `Rivet(5)`", "`Rivet`, `Bolt`");
    spoilt("Folded(fasteners: Rivet(500))", "500", "a diameter of a fastener", "from 1 to 20 mm");
    spoilt("Folded(fasteners: Rivet)", "Rivet", "lacks its field `diameter`", "diameter");
    spoilt("Folded(fasteners_across: 1.5)", "1.5", "no 1.5 fasteners", "whole number");
    spoilt("Folded(deck: (6, \"GRP\"))", "6", "without their names", "thickness: 6");
    spoilt("Folded(holes: [Hole(on: Leg, from_edge: 5, diameter: 4)])", "Leg", "no part of a plate `Leg`", "`Upright`");
    spoilt("Folded(turn: Inboard)", "Inboard", "no turn of the foot", "`Away`, `Under`");
    spoilt("5", "5", "expected a bracket", "`Folded`");
}

fn lampwalk(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_lampwalk"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program starts");
    let words = |bytes: Vec<u8>| String::from_utf8(bytes).expect("words");
    (output.status.code(), words(output.stdout), words(output.stderr))
}

#[test]
fn the_command_tells_draws_and_gives_its_exit_status() {
    let folder = tempfile::tempdir().expect("a scratch folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let lamp = "role: StarboardSidelight, at: (forward: 4.2, starboard: 0.7, above_deck: 0.06), mount: Bracket, optics: \
        \"starboard 1 nm\", bracket: ";
    fs::write(path("fine.ron"), boat(LEVEL, &format!("{lamp}Folded()"))).unwrap();
    fs::write(path("faulty.ron"), boat(LEVEL, &format!("{lamp}Folded(inside_radius: 0)"))).unwrap();
    fs::write(path("slip.ron"), boat(LEVEL, &format!("{lamp}Folded(sheet: -1)"))).unwrap();
    let plain = boat(LEVEL, &format!("{lamp}Folded()")).replace(", bracket: Folded()", "");
    fs::write(path("plain.ron"), plain).unwrap();
    for kind in ["svg", "dxf"] {
        let file = path(&format!("bracket.{kind}"));
        let (code, told, said) = lampwalk(&["bracket", &path("fine.ron"), "--lamp", "lamp", "-o", &file]);
        assert_eq!(code, Some(0), "{told}{said}");
        assert!(told.contains("Can be made so") && said.contains("wrote"));
        assert!(fs::read_to_string(&file).is_ok());
    }
    let file = path("none.svg");
    let (code, told, said) = lampwalk(&["bracket", &path("faulty.ron"), "--lamp", "lamp", "-o", &file]);
    assert_eq!(code, Some(1));
    assert!(told.contains("Cannot be made so") && said.contains("was not written") && fs::metadata(&file).is_err());
    for (arguments, words) in [
        (vec!["bracket", &path("slip.ron"), "--lamp", "lamp"], "a thickness of the sheet"),
        (vec!["bracket", &path("plain.ron"), "--lamp", "lamp"], "Folded(form: L)"),
        (vec!["bracket", &path("fine.ron"), "--lamp", "lmp"], "did you mean \"lamp\"?"),
        (vec!["bracket", &path("fine.ron"), "--lamp", "lamp", "--fit", "other"], "no fit named"),
        (vec!["bracket", &path("fine.ron"), "--lamp", "lamp", "-o", "bracket.pdf"], ".svg"),
        (vec!["bracket", &path("fine.ron")], "--lamp"),
    ] {
        let (code, told, said) = lampwalk(&arguments);
        assert_eq!((code, told.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(said.contains(words), "{words:?} in {said}");
    }
}

#[test]
fn the_proposed_side_lamps_of_sandpiper_have_brackets_that_can_be_made() {
    let text = include_str!("../scenes/sandpiper.ron");
    let scene = read(text);
    let fit = scene.fit("proposed").expect("the fit");
    for (index, _) in fit.lamps.iter().enumerate().filter(|(_, lamp)| lamp.bracket.is_some()) {
        no_faults(&for_lamp(&scene, fit, index).expect("a bracket"));
    }
    assert_eq!(fit.lamps.iter().filter(|lamp| lamp.bracket.is_some()).count(), 2);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn whatever_is_asked_is_either_drawn_whole_or_told_to_be_faulty(
        (above, turned, leant) in (20.0..400.0f64, -180.0..180.0f64, -30.0..30.0f64),
        (sheet, radius, width, foot) in (0.3..4.0f64, 0.0..12.0f64, 20.0..120.0f64, 20.0..120.0f64),
        (corner, apart, gland, gap) in (0.0..20.0f64, 15.0..50.0f64, 0.0..10.0f64, 0.0..20.0f64),
        (z, under, bolt, across, rows) in (any::<bool>(), any::<bool>(), any::<bool>(), 1..4u32, 1..4u32),
    ) {
        let form = if z { "Z" } else { "L" };
        let turn = if under { "Under" } else { "Away" };
        let fastener = if bolt { "Bolt(6)" } else { "Rivet(4.8)" };
        let bracket = format!(
            "Folded(form: {form}, turn: {turn}, sheet: {sheet}, inside_radius: {radius}, width: {width}, foot: {foot}, \
             corner: {corner}, screws: (apart: {apart}), gland: {gland}, gap: {gap}, fasteners: {fastener}, \
             fasteners_across: {across}, fastener_rows: {rows})"
        );
        let mut scene = if z { lantern(SLOPED, above, &bracket) } else { sidelight(SLOPED, above, &bracket) };
        let lamp = &mut scene.fits[0].lamps[0];
        (lamp.yaw.0, lamp.tilt.0, lamp.roll.0) = (turned, leant, -leant / 2.0);
        let made = of(&scene);
        let written = [drawing(&made), dxf(&made), text(&made)];
        prop_assert!(written.iter().all(|file| !file.contains("NaN") && !file.contains("inf,") && !file.contains(" inf ")));
        for piece in &made.pieces {
            for (n, stroke) in piece.outline.iter().enumerate() {
                let next = piece.outline[(n + 1) % piece.outline.len()];
                prop_assert!(stroke.ends()[1].distance(next.ends()[0]) < 1e-6, "the outline is open");
            }
            for hole in &piece.holes {
                prop_assert!(distance(&piece.outline, hole.at) >= 2.0 * hole.size - 1e-6);
            }
        }
        prop_assert_eq!(made.pieces.is_empty(), made.profile.is_none());
        prop_assert!(!made.pieces.is_empty() || made.is_faulty());
        prop_assert!(Drawing::load(&mut written[1].as_bytes()).is_ok());
    }
}
