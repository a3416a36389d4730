//! The supplied boats: fits drawn to fail do so for the reasons they were drawn with, and the others pass.

use std::path::Path;

use lampwalk::{
    boat::{Scene, Status, read::scene_file},
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
    for name in ["sandpiper", "marigold", "harrier"] {
        let scene = scene(name);
        for status in [Status::UnderWay, Status::AtAnchor] {
            let judgement = judged(&scene, "proposed", status);
            assert!(judgement.display.is_some());
            assert!(judgement.findings.is_empty(), "{name} {}:\n{}", status.in_words(), report(&judgement));
        }
    }
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
