//! Screens tried by the program, against Annex I sections 5 and 9(a)(i) of the International Regulations for Preventing
//! Collisions at Sea, 1972: matt black inboard screens, so that a sidelight is cut off between 1 and 3 degrees past right
//! ahead and loses nothing on its own side.

mod support;

use std::sync::Arc;

use lampwalk::{
    boat::{PartKind, Propulsion::Power, Status, read::scene_text},
    light::{Optics, Profile},
    rules::{Judgement, Kind, international, judge, screens_to_try},
    sheet::screen_in_ron,
    survey::{Settings, Survey},
};
use support::rig::Rig;

/// Sidelights of soft edges, that show 8 degrees across the bow.
fn soft(length: f64) -> Rig {
    let rig = Rig::of(length, Power, Status::UnderWay).mastheads().sidelights().sternlight();
    let mut rig = ["starboard sidelight", "port sidelight"].into_iter().fold(rig, |rig, name| {
        rig.with(name, |lamp| {
            let mut optics = Optics::clone(&lamp.optics);
            let points = if name.starts_with("starboard") {
                vec![(-9.0, 0.0), (-6.0, 1.0), (108.0, 1.0), (112.5, 0.6), (116.0, 0.0)]
            } else {
                vec![(244.0, 0.0), (247.5, 0.6), (252.0, 1.0), (366.0, 1.0), (369.0, 0.0)]
            };
            optics.beams[0].horizontal = Profile::new(points).expect("a sound profile");
            lamp.optics = Arc::new(optics);
        })
    });
    rig.scene.parts.clear();
    rig
}

fn surveyed(rig: &Rig) -> (Survey, Judgement<'static>) {
    let survey = Survey::of(&rig.scene, &rig.scene.fits[0], rig.status, &Settings::default());
    let judgement = judge(&rig.scene, &rig.scene.fits[0], &survey, international());
    (survey, judgement)
}

fn kinds(judgement: &Judgement) -> Vec<Kind> {
    let mut kinds: Vec<_> = judgement.findings.iter().map(|one| one.kind).collect();
    kinds.dedup();
    kinds
}

fn screened(mut rig: Rig) -> Rig {
    let (survey, judgement) = surveyed(&rig);
    let screens = screens_to_try(&rig.scene, &rig.scene.fits[0], &survey, &judgement);
    assert_eq!(screens.len(), 2, "{:?}", kinds(&judgement));
    rig.scene.parts.extend(screens);
    rig
}

#[test]
fn sidelights_that_show_across_the_bow_keep_their_edge_behind_screens() {
    let bare = soft(12.0);
    let found = kinds(&surveyed(&bare).1);
    assert_eq!(found, [Kind::DoubleLane, Kind::Spill]);
    let judgement = surveyed(&screened(bare)).1;
    assert!(judgement.findings.is_empty(), "{:#?}", judgement.findings);
}

#[test]
fn screens_owed_from_20_metres_are_proposed_and_then_there() {
    let bare = Rig::of(20.0, Power, Status::UnderWay).mastheads().sidelights().sternlight();
    let bare = Rig { scene: lampwalk::boat::Scene { parts: Vec::new(), ..bare.scene }, ..bare };
    assert_eq!(kinds(&surveyed(&bare).1), [Kind::ScreenMissing]);
    let judgement = surveyed(&screened(bare)).1;
    assert!(judgement.findings.is_empty(), "{:#?}", judgement.findings);
}

#[test]
fn no_screen_is_tried_on_lamps_that_keep_their_edge_or_are_set_wrong() {
    let sound = Rig::of(12.0, Power, Status::UnderWay).mastheads().sidelights().sternlight();
    let turned = soft(12.0).with("port sidelight", |lamp| lamp.yaw = support::rig::degrees(10.0));
    for (rig, count) in [(sound, 0), (turned, 1)] {
        let (survey, judgement) = surveyed(&rig);
        assert_eq!(screens_to_try(&rig.scene, &rig.scene.fits[0], &survey, &judgement).len(), count);
    }
}

#[test]
fn what_is_told_of_a_screen_reads_back_as_that_screen() {
    let rig = screened(soft(12.0));
    for screen in &rig.scene.parts {
        let line = screen_in_ron(screen).expect("a screen");
        let text = format!(
            "Scene(name: \"x\", vessel: Vessel(length: 12, beam: 3, freeboard: 1, depth: 1.5, propulsion: Power, \
             top_speed: 7), parts: [{line}], fits: [Fit(name: \"f\", lamps: [])])"
        );
        let read = scene_text(&text, "test", None).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(&read.scene.parts[0], screen);
    }
    assert!(rig.scene.parts.iter().all(|part| matches!(part.kind, PartKind::Screen { .. })));
}
