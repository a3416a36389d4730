//! The stripes of every light all the way round, held against the survey, the rules' figures and the findings.

mod support;

use std::path::Path;

use lampwalk::{
    boat::{Fit, Owner, Role, Scene, Status, read::scene_file},
    light::{Colour, Colours},
    measure::{Arc, Bearing, Degrees},
    rules::{Judgement, Kind, State, Stretch, Stripe, Why, international, judge, stripes},
    survey::{EDGE_TOLERANCE, Settings, Survey},
};
use support::{bare_boat, lamp, lawful_lamps, place, post};

const BOATS: [&str; 5] = ["sandpiper", "marigold", "harrier", "curlew", "petrel"];

fn boat(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(name).with_extension("ron");
    scene_file(&path).expect("the boat reads").scene
}

/// A fit surveyed and judged.
struct Judged<'a> {
    scene: &'a Scene,
    fit: &'a Fit,
    survey: Survey,
    judgement: Judgement<'static>,
    stripes: Vec<Stripe>,
}

impl<'a> Judged<'a> {
    fn new(scene: &'a Scene, fit: &'a Fit, status: Status) -> Self {
        let survey = Survey::of(scene, fit, status, &Settings::default());
        let judgement = judge(scene, fit, &survey, international());
        let stripes = stripes(scene, fit, &survey, &judgement);
        Self { scene, fit, survey, judgement, stripes }
    }

    fn under_way(scene: &'a Scene) -> Self {
        Self::new(scene, &scene.fits[0], Status::UnderWay)
    }

    /// The stripe that a lamp serves as, or is.
    fn stripe(&self, lamp: &str) -> &Stripe {
        let own = |stripe: &&Stripe| stripe.lights.iter().any(|light| self.fit.lamps[light.lamp].name == lamp);
        self.stripes.iter().find(own).expect("a stripe of that lamp")
    }
}

fn supplied(test: impl Fn(&Judged)) {
    for name in BOATS {
        let scene = boat(name);
        for fit in &scene.fits {
            for status in &scene.vessel.statuses {
                test(&Judged::new(&scene, fit, *status));
            }
        }
    }
}

/// Bearings in no order that any step or edge knows: multiples of the golden angle.
fn scattered() -> impl Iterator<Item = Bearing> {
    (0..360u16).map(|n| Bearing::new(f64::from(n) * 137.507_764_050_037_85 + 0.123))
}

/// Whether any edge of a stripe is so near that a look may fall to either side of it.
fn near_an_edge(stripe: &Stripe, bearing: Bearing) -> bool {
    let off = |edge: Bearing| bearing.clockwise_of(edge).abs() < EDGE_TOLERANCE;
    stripe.stretches.iter().any(|stretch| stretch.arc.width < 360.0 && (off(stretch.arc.from) || off(stretch.arc.to())))
}

#[test]
fn every_bearing_stands_as_the_survey_and_the_figures_of_the_rules_say() {
    supplied(|judged| {
        let rules = judged.judgement.rules;
        let rest = judged.survey.rest();
        for stripe in judged.stripes.iter().filter(|stripe| !stripe.lights.is_empty()) {
            let Some(kind) = stripe.kind else { continue };
            let row = rules.sector(kind).expect("a sector");
            let range = rules.range(kind, judged.scene.vessel.length.0).expect("a range");
            let minimum = rules.intensity(range).expect("an intensity").0;
            for bearing in scattered().filter(|bearing| !near_an_edge(stripe, *bearing)) {
                let reaches = stripe.lights.iter().map(|light| rest.toward(*light, bearing, Degrees(0.0)));
                let best =
                    reaches.max_by(|a, b| a.candela().0.total_cmp(&b.candela().0).then(a.bare.0.total_cmp(&b.bare.0)));
                let best = best.expect("a light");
                let due = match row.arc().contains(bearing) {
                    true if rules.whole_due(row, bearing) => minimum,
                    true => minimum * rules.cutoff.aft_share,
                    false => 0.0,
                };
                let context = || format!("{} {} {kind:?} {bearing}", judged.scene.name, judged.fit.name);
                let enough = |candela: f64| candela >= due * (1.0 - 1e-6);
                match stripe.at(bearing).map(|stretch| stretch.state) {
                    Some(State::Shows) => assert!(due > 0.0 && enough(best.candela().0), "{}", context()),
                    Some(State::Shadow { by }) => {
                        assert!(due > 0.0 && !enough(best.candela().0), "{}", context());
                        assert!(best.visible.fraction < 1.0, "{}", context());
                        assert_eq!(by, best.visible.by, "{}", context());
                    }
                    Some(State::Dark(_)) => assert!(due > 0.0 && !enough(best.bare.0), "{}", context()),
                    Some(State::Spill) => {
                        assert!(due == 0.0 && best.candela().0 > 0.0, "{}", context());
                        assert!(-row.arc().depth(bearing) > rules.allowed_outside(row, bearing), "{}", context());
                    }
                    None => assert_eq!(due, 0.0, "{}", context()),
                }
            }
        }
    });
}

#[test]
fn what_is_due_on_a_bearing_is_what_the_judgement_expects() {
    supplied(|judged| {
        for bearing in scattered() {
            let due = judged.stripes.iter().filter(|stripe| stripe.due.is_some_and(|arc| arc.contains(bearing)));
            let due: Colours = due.filter(|stripe| stripe.kind.is_some()).map(|stripe| stripe.colour).collect();
            let expected = judged.judgement.expected(bearing);
            // Lights that may be shown and are have a stripe too.
            assert_eq!(expected.must.without(due), Colours::NONE, "{} {bearing}", judged.fit.name);
            assert_eq!(due.without(expected.must.or(expected.may)), Colours::NONE, "{} {bearing}", judged.fit.name);
        }
    });
}

#[test]
fn within_its_sector_a_light_leaves_no_gap() {
    supplied(|judged| {
        for stripe in &judged.stripes {
            let Some(due) = stripe.due else { continue };
            let inside = stripe.stretches.iter().filter(|stretch| stretch.state != State::Spill);
            let width: f64 = inside.map(|stretch| stretch.arc.width).sum();
            assert!((width - due.width).abs() < 1e-4, "{:?} {width}", stripe.kind);
        }
    });
}

/// The arcs of stretches that are picked, those that follow one another as one.
fn joined(stripe: &Stripe, picked: impl Fn(&Stretch) -> bool) -> Vec<Arc> {
    let mut arcs: Vec<Arc> = Vec::new();
    for stretch in stripe.stretches.iter().filter(|stretch| picked(stretch)) {
        match arcs.last_mut() {
            Some(last) if stretch.arc.from.clockwise_of(last.to()).abs() < EDGE_TOLERANCE => {
                last.width += stretch.arc.width;
            }
            _ => arcs.push(stretch.arc),
        }
    }
    if let [first, .., last] = arcs.as_slice()
        && first.from.clockwise_of(last.to()).abs() < EDGE_TOLERANCE
    {
        arcs[0] = Arc { from: last.from, width: last.width + first.width };
        arcs.pop();
    }
    arcs
}

fn same(one: Arc, other: Arc) -> bool {
    one.from.clockwise_of(other.from).abs() < 2.0 * EDGE_TOLERANCE
        && (one.width - other.width).abs() < 2.0 * EDGE_TOLERANCE
}

#[test]
fn shadows_and_spill_are_those_that_the_findings_name() {
    let mut told = 0;
    for name in BOATS {
        let scene = boat(name);
        for fit in &scene.fits {
            let judged = Judged::new(&scene, fit, Status::UnderWay);
            let misfit = |stripe: &Stripe| {
                judged.judgement.findings.iter().any(|finding| {
                    let own = |lamp: &String| stripe.lights.iter().any(|light| fit.lamps[light.lamp].name == *lamp);
                    finding.kind == Kind::WrongLamp && finding.lamp.as_ref().is_some_and(own)
                })
            };
            for stripe in judged.stripes.iter().filter(|stripe| stripe.kind.is_some() && !misfit(stripe)) {
                let own = |lamp: &str| stripe.lights.iter().any(|light| fit.lamps[light.lamp].name == lamp);
                let arcs = |kinds: &[Kind]| -> Vec<Arc> {
                    let findings = judged.judgement.findings.iter();
                    findings
                        .filter(|one| {
                            kinds.contains(&one.kind) && one.case.is_none() && !one.what.starts_with("To an eye")
                        })
                        .filter(|one| one.lamp.as_deref().is_some_and(own))
                        .filter_map(|one| one.arc)
                        // Both colours of one lantern go by its name.
                        .filter(|arc| {
                            stripe.due.is_some_and(|due| due.contains(arc.middle())) != (kinds == [Kind::Spill])
                        })
                        .collect()
                };
                let mut agree = |mut found: Vec<Arc>, named: Vec<Arc>| {
                    for arc in named {
                        let place = found.iter().position(|one| same(*one, arc));
                        found.remove(place.unwrap_or_else(|| panic!("{} {name}: no stretch {arc}", fit.name)));
                        told += 1;
                    }
                    assert!(found.is_empty(), "{name} {} {:?}: {found:?} is not told", fit.name, stripe.kind);
                };
                let hidden = |stretch: &Stretch| matches!(stretch.state, State::Shadow { .. });
                agree(joined(stripe, hidden), arcs(&[Kind::Shadowed, Kind::AllRoundObscured]));
                agree(joined(stripe, |stretch| stretch.state == State::Spill), arcs(&[Kind::Spill]));
            }
        }
    }
    assert!(told > 15, "{told}");
}

#[test]
fn the_workboat_as_found_lies_flat_and_hides_her_sternlight_and_as_proposed_is_whole() {
    let scene = boat("sandpiper");
    let found = Judged::new(&scene, scene.fit("as found").expect("a fit"), Status::UnderWay);
    for side in ["starboard sidelight", "port sidelight"] {
        let stripe = found.stripe(side);
        assert!(stripe.stretches.iter().all(|stretch| stretch.state == State::Dark(Why::Lean)), "{stripe:?}");
    }
    let outboard = scene.parts.iter().position(|part| part.name == "outboard").expect("an outboard");
    let stern = found.stripe("sternlight");
    let shadow = stern.stretches.iter().find(|one| one.state == State::Shadow { by: Some(Owner::Part(outboard)) });
    let shadow = shadow.expect("the engine's shadow");
    assert!((shadow.arc.from.degrees() - 112.5).abs() < 1e-9, "an edge that the rules name is exact");
    assert!(shadow.arc.width > 40.0 && !shadow.excused);
    let proposed = Judged::new(&scene, scene.fit("proposed").expect("a fit"), Status::UnderWay);
    for stripe in &proposed.stripes {
        let [only] = stripe.stretches.as_slice() else { panic!("{stripe:?}") };
        assert_eq!((only.state, Some(only.arc.width)), (State::Shows, stripe.due.map(|due| due.width)));
    }
}

#[test]
fn the_launch_as_found_spills_across_her_bow() {
    let scene = boat("marigold");
    let judged = Judged::new(&scene, scene.fit("as found").expect("a fit"), Status::UnderWay);
    let stripe = judged.stripe("starboard sidelight");
    let spill: Vec<Arc> = joined(stripe, |stretch| stretch.state == State::Spill);
    assert_eq!((spill.len(), stripe.colour), (1, Colour::Green));
    // The limit of what may show past right ahead is exact.
    assert!((spill[0].to().clockwise_of(Bearing::AHEAD) + 3.0).abs() < 1e-4, "{}", spill[0]);
    assert!(stripe.stretches.iter().any(|stretch| stretch.state == State::Dark(Why::Turn)));
}

#[test]
fn a_light_that_is_not_there_is_dark_over_its_sector_and_one_too_many_spills() {
    let mut scene = bare_boat();
    let mut lamps = lawful_lamps();
    lamps[1].lit.clear();
    lamps.push(lamp("red globe", Role::AllRoundRed, "all-round red 2 nm", place(3.0, 0.0, 2.4)));
    scene.fits[0].lamps = lamps;
    let judged = Judged::under_way(&scene);
    let missing = judged.stripes.iter().find(|stripe| stripe.lights.is_empty()).expect("the missing one");
    let over = Stretch { arc: Arc::between(247.5, 0.0), state: State::Dark(Why::Missing), excused: false };
    assert_eq!((missing.colour, missing.stretches.as_slice()), (Colour::Red, [over].as_slice()));
    let stray = judged.stripe("red globe");
    assert_eq!((stray.kind, stray.due), (None, None));
    assert!(!stray.stretches.is_empty() && stray.stretches.iter().all(|stretch| stretch.state == State::Spill));
}

#[test]
fn a_post_before_an_all_round_light_is_excused_up_to_six_degrees() {
    let hides = |diameter: f64| {
        let mut scene = bare_boat();
        scene.fits[0].lamps = lawful_lamps();
        scene.parts.push(post("post", 2.0, 0.0, diameter));
        let judged = Judged::under_way(&scene);
        let stripe = judged.stripe("all-round white");
        let by = State::Shadow { by: Some(Owner::Part(0)) };
        let shadows: Vec<Stretch> = stripe.stretches.iter().filter(|one| one.state == by).copied().collect();
        let [shadow] = shadows.as_slice() else { panic!("{shadows:?}") };
        (shadow.arc.width, shadow.excused)
    };
    let (narrow, wide) = (hides(0.08), hides(0.16));
    assert!(narrow.0 < 6.0 && narrow.1, "{narrow:?}");
    assert!(wide.0 > 6.0 && !wide.1, "{wide:?}");
}
