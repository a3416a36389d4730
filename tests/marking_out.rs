//! Marking out: tapes, squared offsets, slopes and checks bring the spot back to where the scene has it.

mod support;

use std::path::Path;

use glam::{DVec2, DVec3};
use lampwalk::{
    boat::{Scene, Vessel, read, read::scene_text, shape::Shape},
    fitting::{
        bracket::for_lamp,
        marking::{Footing, Mark, fixed_points, marking, taut},
    },
};
use support::{bare_boat, lamp, place};

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(format!("{name}.ron"));
    read::scene_file(&path).expect("a sound scene").scene
}

fn marks(name: &str, fit: &str) -> Vec<Mark> {
    let scene = scene(name);
    marking(&scene, scene.fit(fit).expect("the fit"))
}

fn named<'m>(marks: &'m [Mark], lamp: &str) -> &'m Mark {
    marks.iter().find(|mark| mark.name == lamp).expect("the lamp")
}

/// Numbers that look random and are the same every time (a linear congruential generator, Knuth's MMIX constants, from
/// memory; any would do).
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

/// A boat of any shape with a sidelight on a folded bracket somewhere on her foredeck.
fn any_boat(dice: &mut Dice) -> Scene {
    let length = dice.between(4.0, 14.0);
    let beam = length * dice.between(0.28, 0.4);
    let side = if dice.between(0.0, 1.0) < 0.5 { "port" } else { "starboard" };
    let role = if side == "port" { "PortSidelight" } else { "StarboardSidelight" };
    let posts: Vec<String> = (0..4)
        .map(|n| {
            let (forward, off) = (dice.between(0.1, 0.85) * length, dice.between(0.0, 0.3) * beam);
            let side = if n % 2 == 0 { "starboard" } else { "port" };
            format!(
                "Stanchion(name: \"post {n}\", at: (forward: {forward}, {side}: {off}), height: 0.6, diameter: 0.025)"
            )
        })
        .collect();
    let (forward, off) = (dice.between(0.5, 0.75) * length, dice.between(0.05, 0.18) * beam);
    let text = format!(
        "Scene(name: \"Any\", vessel: Vessel(length: {length}, beam: {beam}, freeboard: {}, depth: 1.8, propulsion: Power, \
         top_speed: 8, hull: Hull(sheer: {}, deck_camber: {}, bulwark: {}, transom: {})), parts: [{}], fits: [Fit(name: \
         \"fit\", lamps: [Lamp(name: \"lamp\", role: {role}, at: (forward: {forward}, {side}: {off}, above_deck: {}), yaw: {}, \
         mount: Bracket, bracket: Folded(form: L, sealant: 0), optics: \"{side} 1 nm\")])])",
        dice.between(0.5, 1.2),
        dice.between(0.0, 0.8),
        dice.between(0.0, 0.08),
        if dice.between(0.0, 1.0) < 0.5 { 0.0 } else { dice.between(0.02, 0.4) },
        dice.between(0.6, 1.0),
        posts.join(", "),
        dice.between(0.1, 0.25),
        dice.between(-15.0, 15.0),
    );
    scene_text(&text, "any.ron", None).unwrap_or_else(|error| panic!("{error}\n{text}")).scene
}

/// The middle of the line where upright and foot of the bracket meet, from the solids that stand in the light.
fn foot_line_middle(scene: &Scene) -> DVec3 {
    let bracket = for_lamp(scene, &scene.fits[0], 0).expect("a bracket");
    let Shape::Cuboid { centre, axes, half } = bracket.shapes()[1].clone() else { panic!("a foot") };
    let down = if axes.z_axis.z > 0.0 { -axes.z_axis } else { axes.z_axis };
    centre - axes.y_axis * half.y + down * half.z
}

fn on_deck(vessel: &Vessel, at: DVec2) -> DVec3 {
    at.extend(vessel.deck_height(at.x, at.y))
}

/// The place on deck whose two tapes come nearest to these, found by least squares from the side that is told.
fn taped(scene: &Scene, mark: &Mark, lengths: [f64; 2]) -> DVec3 {
    let crossing = mark.crossing.as_ref().expect("tapes");
    let [a, b] = crossing.tapes.each_ref().map(|tape| tape.from.at);
    let way = match crossing.side {
        "forward" => DVec2::X,
        "abaft" => -DVec2::X,
        "to port" => DVec2::Y,
        "to starboard" => -DVec2::Y,
        other => panic!("no side on deck: {other}"),
    };
    let misfit = |at: DVec2| {
        let spot = on_deck(&scene.vessel, at);
        DVec2::new(taut(&scene.vessel, a, spot).0.0 - lengths[0], taut(&scene.vessel, b, spot).0.0 - lengths[1])
    };
    let across = (b - a).truncate().perp().normalize();
    let across = if across.dot(way) < 0.0 { -across } else { across };
    let mut at = (a + b).truncate() / 2.0 + across * lengths[0].min(lengths[1]) * 0.5;
    let mut damping = 1e-3;
    for _ in 0..200 {
        let now = misfit(at);
        if now.length() < 1e-7 || damping > 1e6 {
            break;
        }
        let step = 1e-6;
        let by_x = (misfit(at + DVec2::X * step) - now) / step;
        let by_y = (misfit(at + DVec2::Y * step) - now) / step;
        let normal = glam::DMat2::from_cols(
            DVec2::new(by_x.dot(by_x) + damping, by_x.dot(by_y)),
            DVec2::new(by_x.dot(by_y), by_y.dot(by_y) + damping),
        );
        let next = at - normal.inverse() * DVec2::new(by_x.dot(now), by_y.dot(now));
        if misfit(next).length() < now.length() {
            (at, damping) = (next, damping * 0.3);
        } else {
            damping *= 4.0;
        }
    }
    on_deck(&scene.vessel, at)
}

/// The middle of the bracket's line from the crossed tape and the squared offsets alone.
fn squared(scene: &Scene, mark: &Mark) -> DVec3 {
    let (vessel, square) = (&scene.vessel, mark.squaring.as_ref().expect("a squared line"));
    let corner = DVec3::new(0.0, vessel.half_breadth(0.0), vessel.gunwale_height(0.0));
    let crossed = |forward: f64| {
        let gunwale = DVec3::new(forward, -vessel.half_breadth(forward), vessel.gunwale_height(forward));
        taut(vessel, corner, gunwale).0.0
    };
    let (mut low, mut high) = (0.0, vessel.length.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if crossed(middle) < square.crossed.0 { low = middle } else { high = middle }
    }
    let ends = square.ends.map(|(ahead, starboard)| DVec2::new(low + ahead.0, -starboard.0));
    on_deck(vessel, (ends[0] + ends[1]) / 2.0)
}

#[test]
fn tapes_and_squared_offsets_bring_back_the_foot_on_a_thousand_boats() {
    let mut dice = Dice(19_721_020);
    let (mut with_tapes, mut worst) = (0, [0.0_f64; 2]);
    for nth in 0..1000 {
        let scene = any_boat(&mut dice);
        let mark = &marking(&scene, &scene.fits[0])[0];
        let foot = foot_line_middle(&scene);
        let by_offsets = squared(&scene, mark).distance(foot);
        worst[0] = worst[0].max(by_offsets);
        assert!(by_offsets < 0.001, "boat {nth}: offsets are {} mm out", by_offsets * 1000.0);
        let Some(crossing) = &mark.crossing else { continue };
        with_tapes += 1;
        let by_tapes = taped(&scene, mark, crossing.tapes.each_ref().map(|tape| tape.length.0)).distance(foot);
        worst[1] = worst[1].max(by_tapes);
        assert!(by_tapes < 0.001, "boat {nth}: tapes are {} mm out: {crossing:#?}", by_tapes * 1000.0);
    }
    println!("tapes on {with_tapes} boats; worst {:?} mm", worst.map(|out| out * 1000.0));
    assert!(with_tapes > 950, "tapes on {with_tapes} boats");
}

#[test]
fn tapes_read_to_two_millimetres_err_by_no_more_than_is_told() {
    let mut dice = Dice(7);
    let mut nearest = 0.0_f64;
    for _ in 0..100 {
        let scene = any_boat(&mut dice);
        let mark = &marking(&scene, &scene.fits[0])[0];
        let Some(crossing) = &mark.crossing else { continue };
        let exact = crossing.tapes.each_ref().map(|tape| tape.length.0);
        for signs in [[1.0, 1.0], [1.0, -1.0]] {
            let out = taped(&scene, mark, [exact[0] + 0.002 * signs[0], exact[1] + 0.002 * signs[1]]).distance(mark.at);
            assert!(out < crossing.out.0 * 1.05 + 0.0005, "{} of {} mm", out * 1000.0, crossing.out.0 * 1000.0);
            nearest = nearest.max(out / crossing.out.0);
        }
    }
    assert!(nearest > 0.9, "the figure told is reached: {nearest}");
}

#[test]
fn a_taut_tape_is_no_shorter_than_a_straight_one_and_no_longer_than_the_deck() {
    let mut dice = Dice(3);
    let mut lifted = 0;
    for _ in 0..200 {
        let vessel = any_boat(&mut dice).vessel;
        let mut spot = || {
            let forward = dice.between(0.05, 0.9) * vessel.length.0;
            on_deck(&vessel, DVec2::new(forward, dice.between(-0.9, 0.9) * vessel.half_breadth(forward)))
        };
        let (a, b) = (spot(), spot());
        let (length, on) = taut(&vessel, a, b);
        let along: Vec<DVec3> =
            (0..=5000).map(|n| on_deck(&vessel, a.truncate().lerp(b.truncate(), f64::from(n) / 5000.0))).collect();
        let walked: f64 = along.windows(2).map(|pair| pair[0].distance(pair[1])).sum();
        assert!(a.distance(b) <= length.0 + 1e-9 && length.0 <= walked + 1e-6, "{length} of {walked}");
        lifted += u32::from(on);
        if !on {
            assert!(length.0 - a.distance(b) < 1e-5);
        }
    }
    assert!((20..180).contains(&lifted), "{lifted} of 200 bear on the deck");
}

#[test]
fn over_a_flat_deck_a_taut_tape_is_straight() {
    let scene = bare_boat();
    let (a, b) = (DVec3::new(1.0, -0.5, 0.6), DVec3::new(3.0, 0.8, 0.6));
    let (length, on) = taut(&scene.vessel, a, b);
    assert!((length.0 - 2.0_f64.hypot(1.3)).abs() < 1e-12 && !on);
}

/// A stretch of three, four and five: the squared line's diagonal on a flat deck is the hypotenuse.
#[test]
fn the_diagonal_proves_a_right_angle() {
    let mut scene = bare_boat();
    let at = place(3.0, 0.375, 0.72);
    scene.fits[0].lamps = vec![lamp("lamp", lampwalk::boat::Role::StarboardSidelight, "starboard 1 nm", at)];
    let mark = &marking(&scene, &scene.fits[0])[0];
    let square = mark.squaring.as_ref().expect("a squared line");
    assert!((square.leg.0 - 0.5).abs() < 1e-12 && (square.far_offset.0 - 0.375).abs() < 1e-9);
    assert!((square.diagonal.0 - 0.625).abs() < 1e-9, "{}", square.diagonal);
    let crossed = DVec3::new(0.0, scene.vessel.half_breadth(0.0), 0.6).distance(DVec3::new(
        square.abreast.0,
        -scene.vessel.half_breadth(square.abreast.0),
        0.6,
    ));
    assert!((square.crossed.0 - crossed).abs() < 1e-9);
}

#[test]
fn twins_are_marked_alike_and_measured_across() {
    let marks = marks("sandpiper", "proposed");
    let (one, other) = (named(&marks, "starboard sidelight"), named(&marks, "port sidelight"));
    assert!((one.starboard.0 + other.starboard.0).abs() < 1e-9 && (one.forward.0 - other.forward.0).abs() < 1e-9);
    let across = one.twin.as_ref().expect("a twin").length.0;
    assert!(across >= one.starboard.0 * 2.0 && across < one.starboard.0 * 2.0 + 0.01, "{across}");
    assert_eq!(one.twin.as_ref().map(|tape| tape.length), other.twin.as_ref().map(|tape| tape.length));
    let tapes = |mark: &Mark| mark.crossing.as_ref().expect("tapes").tapes.each_ref().map(|tape| tape.length.0);
    let (mut ours, mut theirs) = (tapes(one), tapes(other));
    ours.sort_by(f64::total_cmp);
    theirs.sort_by(f64::total_cmp);
    assert!(ours.iter().zip(&theirs).all(|(a, b)| (a - b).abs() < 1e-6), "{ours:?} {theirs:?}");
}

#[test]
fn the_bracket_s_line_runs_parallel_to_the_centreline_and_not_along_the_gunwale() {
    let marks = marks("sandpiper", "proposed");
    for mark in marks.iter().filter(|mark| mark.name.ends_with("sidelight")) {
        let line = mark.line.as_ref().expect("a line");
        assert!(line.of_bracket && line.angle.0.abs() < 0.01);
        let length = line.ends[0].distance(line.ends[1]);
        assert!((length - 0.04).abs() < 0.0005, "{length}: as wide as the bracket, 40 mm");
        // Her gunwale there, from the hull's own half-breadths 0.2 m apart.
        let vessel = scene("sandpiper").vessel;
        let run = (vessel.half_breadth(mark.forward.0 - 0.1) - vessel.half_breadth(mark.forward.0 + 0.1)) / 0.2;
        assert!((mark.toe_in.0 - run.atan().to_degrees()).abs() < 0.2, "{}", mark.toe_in);
        assert!(mark.toe_in.0 > 5.0);
    }
}

#[test]
fn along_the_gunwale_is_a_fault_that_tells_the_angle() {
    let marks = marks("marigold", "as found");
    for mark in marks.iter().filter(|mark| mark.name.ends_with("sidelight")) {
        let fault = mark.findings.iter().find(|finding| finding.is_fault()).expect("a fault");
        assert!(fault.what.contains(&format!("{:.1} degrees", mark.toe_in.0)), "{}", fault.what);
    }
}

#[test]
fn a_lamp_on_its_back_has_no_line_to_be_set_along() {
    let marks = marks("sandpiper", "as found");
    let flat = named(&marks, "port sidelight");
    assert!(flat.line.is_none() && flat.slope.is_none());
    assert!(flat.findings.iter().any(|finding| finding.is_fault() && finding.what.contains("on its back")));
}

#[test]
fn a_shim_takes_out_the_deck_s_slope_and_half_her_running_trim() {
    let mut scene = bare_boat();
    scene.vessel.hull.sheer.0 = 0.4;
    scene.vessel.hull.deck_camber.0 = 0.1;
    scene.conditions.trim.1.0 = 4.0;
    let at = place(4.5, 0.5, 1.0);
    scene.fits[0].lamps = vec![lamp("lamp", lampwalk::boat::Role::StarboardSidelight, "starboard 1 nm", at)];
    let slope = marking(&scene, &scene.fits[0])[0].slope.expect("a slope");
    let deck = |forward: f64, starboard: f64| scene.vessel.deck_height(forward, starboard);
    let rise = |a: f64, b: f64| ((a - b) / 0.02).atan().to_degrees();
    assert!((slope.forward.0 - rise(deck(4.51, 0.5), deck(4.49, 0.5))).abs() < 0.01);
    // To port is inboard here, and up the camber.
    assert!((slope.port.0 - rise(deck(4.5, 0.49), deck(4.5, 0.51))).abs() < 0.01 && slope.port.0 > 1.0);
    assert!((slope.shim_under_way().0 - slope.forward.0 - 2.0).abs() < 1e-12);
}

#[test]
fn each_lamp_is_marked_on_what_carries_it() {
    let sandpiper = marks("sandpiper", "proposed");
    assert_eq!(named(&sandpiper, "all-round white").footing, Footing::Pole("light pole".into()));
    assert_eq!(named(&sandpiper, "port sidelight").footing, Footing::Deck);
    let marigold = marks("marigold", "proposed");
    assert_eq!(named(&marigold, "port sidelight").footing, Footing::Beside("wheelhouse".into()));
    assert_eq!(named(&marigold, "masthead light").footing, Footing::Beside("signal mast".into()));
    let curlew = marks("curlew", "proposed");
    assert_eq!(named(&curlew, "masthead light").footing, Footing::Beside("mast".into()));
    assert!(
        named(&curlew, "masthead light").findings.iter().any(|finding| finding.what.contains("\"mast\" is nearest"))
    );
}

#[test]
fn a_tape_never_goes_through_a_cabin() {
    // A console stands between the lamp and every point but those ahead of it.
    let scene = scene("marigold");
    let marks = marking(&scene, scene.fit("proposed").expect("the fit"));
    let port = named(&marks, "port sidelight");
    let crossing = port.crossing.as_ref().expect("tapes");
    for tape in crossing.tapes.iter().chain(&crossing.check) {
        assert!(tape.from.at.y > 0.8, "from {} to the port side of the wheelhouse", tape.from.name);
    }
}

#[test]
fn points_to_tape_from_have_names_of_their_own() {
    for name in ["sandpiper", "marigold", "harrier", "curlew", "petrel"] {
        let points = fixed_points(&scene(name));
        let mut names: Vec<&str> = points.iter().map(|point| point.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        assert!(names.len() == points.len() && points.len() >= 3, "{name}");
    }
}
