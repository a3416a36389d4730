//! The supplied boats: fits drawn to fail do so for the reasons they were drawn with, and the others pass.

use std::path::Path;

use lampwalk::{
    boat::{Role, Scene, Status, read::scene_file},
    rules::{Judgement, Kind, Severity, international, judge},
    survey::{Settings, Survey},
};

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    match scene_file(&path) {
        Ok(read) => read.scene,
        Err(error) => panic!("{error}"),
    }
}

fn judged(scene: &Scene, fit: &str, status: Status) -> Judgement<'static> {
    let fit = scene.fit(fit).expect("a fit of this name");
    let survey = Survey::of(scene, fit, status, &Settings::default());
    judge(scene, fit, &survey, international())
}

/// Whether there is a fault of a kind for a lamp, hidden by a part (empty: any).
fn has(judgement: &Judgement, kind: Kind, lamp: &str, by: &str) -> bool {
    judgement.findings.iter().any(|finding| {
        finding.kind == kind
            && finding.severity == Severity::Fault
            && (lamp.is_empty() || finding.lamp.as_deref() == Some(lamp))
            && (by.is_empty() || finding.by.as_deref().is_some_and(|owner| owner.contains(by)))
    })
}

fn report(judgement: &Judgement) -> String {
    judgement
        .findings
        .iter()
        .map(|finding| format!("{:?} {:?}: {} {}\n", finding.severity, finding.kind, finding.what, finding.how_bad))
        .collect()
}

#[test]
fn proposed_fits_pass_with_no_finding() {
    for name in ["sandpiper", "marigold", "harrier", "petrel"] {
        let scene = scene(name);
        for status in [Status::UnderWay, Status::AtAnchor] {
            let judgement = judged(&scene, "proposed", status);
            assert!(judgement.display.is_some());
            assert!(judgement.findings.is_empty(), "{name} {}:\n{}", status.in_words(), report(&judgement));
        }
    }
}

#[test]
fn curlews_proposed_fit_passes_in_all_that_she_does() {
    let scene = scene("curlew");
    assert_eq!(scene.vessel.statuses, [Status::UnderWay, Status::UnderEngine, Status::AtAnchor]);
    for (status, clause) in scene.vessel.statuses.iter().zip(["Rule 25(a)", "Rule 23(a)", "Rule 30(b)"]) {
        let judgement = judged(&scene, "proposed", *status);
        assert_eq!(judgement.display.map(|display| display.clause.as_str()), Some(clause));
        assert!(judgement.findings.is_empty(), "{}:\n{}", status.in_words(), report(&judgement));
    }
}

#[test]
fn every_setting_of_curlews_proposed_switch_shows_one_display_whole() {
    let scene = scene("curlew");
    let fit = scene.fit("proposed").expect("a fit of this name");
    let lit = |status: Status| (0..fit.lamps.len()).filter(move |lamp| fit.lamps[*lamp].lit.contains(&status));
    let position = |name: &str| {
        let mut positions = fit.switches.iter().flat_map(|switch| &switch.positions);
        positions.find(|position| position.name == name).expect("a position of this name").lamps.clone()
    };
    assert_eq!(position("engine"), lit(Status::UnderEngine).collect::<Vec<_>>());
    assert_eq!(position("sail"), lit(Status::UnderWay).collect::<Vec<_>>());
    assert_eq!(position("anchor"), lit(Status::AtAnchor).collect::<Vec<_>>());
    let aloft = position("sail, lantern aloft");
    assert!(matches!(aloft.as_slice(), [one] if fit.lamps[*one].role == Role::ThreeColourLantern));
}

#[test]
fn curlew_fails_for_a_lantern_lit_under_engine_sidelights_behind_stanchions_and_an_anchor_light_before_the_mast() {
    let scene = scene("curlew");
    let engine = judged(&scene, "as found", Status::UnderEngine);
    let told = report(&engine);
    assert!(has(&engine, Kind::LightNotAllowed, "three-colour lantern", ""), "{told}");
    assert!(
        engine.findings.iter().any(|one| one.kind == Kind::LightMissing && one.what.contains("sternlight")),
        "{told}"
    );
    for side in ["starboard", "port"] {
        assert!(
            has(&engine, Kind::Shadowed, &format!("{side} sidelight"), &format!("{side} forward stanchion")),
            "{told}"
        );
    }
    let anchor = judged(&scene, "as found", Status::AtAnchor);
    assert!(has(&anchor, Kind::AllRoundObscured, "anchor light", "mast"), "{}", report(&anchor));
    let sail = judged(&scene, "as found", Status::UnderWay);
    assert_eq!(sail.display.map(|display| display.clause.as_str()), Some("Rule 25(b)"));
    let lights = sail.findings.iter().filter(|one| one.kind != Kind::Switching);
    assert_eq!(lights.count(), 0, "the lantern alone is lawful under sail:\n{}", report(&sail));
    // Her switches are wrong whatever she does: no setting lights a sternlight under engine, and one lights the lantern
    // together with the steaming light.
    let switching = |words: &[&str]| {
        sail.findings.iter().any(|one| one.kind == Kind::Switching && words.iter().all(|word| one.what.contains(word)))
    };
    assert!(switching(&["No setting", "under way by engine"]), "{}", report(&sail));
    assert!(switching(&["lantern on and steaming on", "neither sail nor power"]), "{}", report(&sail));
}

#[test]
fn sandpiper_fails_for_lamps_flat_on_deck_and_a_sternlight_beside_the_outboard() {
    let judgement = judged(&scene("sandpiper"), "as found", Status::UnderWay);
    let report = report(&judgement);
    for side in ["starboard sidelight", "port sidelight"] {
        assert!(has(&judgement, Kind::NotUpright, side, ""), "{report}");
    }
    assert!(has(&judgement, Kind::Shadowed, "sternlight", "outboard"), "{report}");
    assert!(
        has(&judgement, Kind::Shadowed, "masthead light", "") || !has(&judgement, Kind::TooLow, "", ""),
        "{report}"
    );
}

#[test]
fn marigold_fails_for_lamps_along_the_gunwale_and_a_white_light_behind_the_arch() {
    let judgement = judged(&scene("marigold"), "as found", Status::UnderWay);
    let report = report(&judgement);
    for side in ["starboard sidelight", "port sidelight"] {
        assert!(has(&judgement, Kind::NotParallel, side, ""), "{report}");
        assert!(has(&judgement, Kind::Spill, side, ""), "{report}");
    }
    assert!(has(&judgement, Kind::DoubleLane, "", ""), "{report}");
    assert!(has(&judgement, Kind::AllRoundObscured, "all-round white", "towing arch"), "{report}");
}

#[test]
fn harrier_fails_for_weak_lamps_behind_posts_and_a_sternlight_behind_the_deckhand() {
    let judgement = judged(&scene("harrier"), "as found", Status::UnderWay);
    let report = report(&judgement);
    assert!(has(&judgement, Kind::TooWeak, "starboard sidelight", ""), "{report}");
    assert!(has(&judgement, Kind::TooWeak, "port sidelight", ""), "{report}");
    for (side, post) in [("starboard sidelight", "starboard awning post"), ("port sidelight", "port awning post")] {
        assert!(has(&judgement, Kind::Shadowed, side, post), "{report}");
    }
    assert!(has(&judgement, Kind::Shadowed, "sternlight", "deckhand"), "{report}");
}

#[test]
fn petrel_fails_for_a_lantern_behind_a_post_and_a_white_light_under_the_bimini_each_named_in_her_mesh() {
    let judgement = judged(&scene("petrel"), "as found", Status::UnderWay);
    let report = report(&judgement);
    assert!(has(&judgement, Kind::Shadowed, "two-colour lantern", "samson_post"), "{report}");
    assert!(has(&judgement, Kind::Shadowed, "all-round white", "bimini_cloth"), "{report}");
    assert!(has(&judgement, Kind::AllRoundObscured, "all-round white", "helmsman"), "{report}");
    assert!(report.contains("is hidden by bimini_frame"), "{report}");
    assert!(!has(&judgement, Kind::Shadowed, "", "windscreen_glass"), "a pane lets most of it through:\n{report}");
    assert!(judgement.findings.iter().all(|one| one.kind != Kind::HullDiffers), "{report}");
}
