//! The supplied lessons: every answer worked out once more from the stance and the rules by code of its own, and what may be
//! wrong in a lesson file, each at its line and column.

use std::path::Path;

use lampwalk::{
    boat::{Mount, Scene, Status},
    light::{Colour, Colours, Transmissivity, Weather},
    measure::{Bearing, Degrees},
    rules::{Severity, international, judge},
    survey::{LightId, Settings, Stance, Station, Survey, showing},
    teach::{
        Situation,
        lesson::{About, Answer, Asked, Control, Goal, Lesson, Measure, Question, Step, TEXTS, read, supplied},
    },
};

/// Every question of the supplied lessons, with its step.
fn questions() -> Vec<(&'static Lesson, &'static Step, &'static Question)> {
    let steps = supplied().iter().flat_map(|lesson| lesson.steps.iter().map(move |step| (lesson, step)));
    steps.filter_map(|(lesson, step)| Some((lesson, step, step.question.as_ref()?))).collect()
}

fn name(lesson: &Lesson, step: &Step) -> String {
    format!("{}, \"{}\"", lesson.name, step.title)
}

fn stance(situation: &Situation) -> Stance {
    Stance::new(&situation.scene, situation.fit(), &situation.pose, situation.attitude)
}

/// What an eye on a bearing makes out, from the survey's own look.
fn seen(situation: &Situation, stance: &Stance, bearing: f64) -> Colours {
    let station = Station { bearing: Bearing::new(bearing), ..situation.station };
    let weather = Weather {
        transmissivity: Transmissivity::from_visibility(situation.scene.conditions.visibility),
        ..Weather::PRESCRIBED
    };
    showing(&stance.look(situation.fit(), situation.status, station.point(situation.scene.middle()), weather))
}

fn meets_goal(goal: Goal, bearing: f64, seen: Colours) -> bool {
    match goal {
        Goal::Shows(colours) => seen == colours,
        Goal::Includes(colours) => Colour::ALL.iter().all(|one| !colours.contains(*one) || seen.contains(*one)),
        Goal::Lacks(colours) => Colour::ALL.iter().all(|one| !colours.contains(*one) || !seen.contains(*one)),
        // Rule 13(b): more than 22.5 degrees abaft either beam.
        Goal::Overtaking => bearing > 112.5 && bearing < 247.5,
    }
}

/// The supplied lessons were read without proof for the window's sake: here they are proved.
#[test]
fn every_supplied_lesson_is_sound_and_of_a_good_length() {
    assert!(TEXTS.len() >= 12);
    for (name, text) in TEXTS {
        let lesson = read(text, Path::new(name)).unwrap_or_else(|error| panic!("{error}"));
        assert!((3..=8).contains(&lesson.steps.len()), "{name}: {} steps", lesson.steps.len());
        assert!((2.0..=5.0).contains(&lesson.minutes), "{name}");
        assert!(lesson.steps.iter().filter(|step| step.question.is_some()).count() >= 2, "{name}");
        for step in &lesson.steps {
            assert!(!step.words.is_empty(), "{name}: {}", step.title);
            assert!(step.words.iter().all(|words| words.len() < 260), "{name}: {} is long-winded", step.title);
        }
    }
}

#[test]
fn every_kind_of_question_is_asked_somewhere() {
    let kinds: std::collections::HashSet<_> =
        questions().iter().map(|(_, _, question)| std::mem::discriminant(&question.asked)).collect();
    assert_eq!(kinds.len(), 9);
}

#[test]
fn the_right_answer_is_right_every_other_choice_is_wrong_and_each_verdict_says_why() {
    for (lesson, step, question) in questions() {
        let name = name(lesson, step);
        let answer = question.answer(&step.situation).unwrap_or_else(|| panic!("{name}: no answer"));
        let verdict = question.check(&answer, &step.situation);
        assert!(verdict.right, "{name}: {}", verdict.why);
        assert!(verdict.why.ends_with(['.', ')']), "{name}: {}", verdict.why);
        if let Answer::Choice(right) = answer {
            for other in (0..question.choices().len()).filter(|choice| *choice != right) {
                assert!(!question.check(&Answer::Choice(other), &step.situation).right, "{name}");
            }
        }
        assert!(!question.check(&Answer::Choice(99), &step.situation).right, "{name}");
        assert!(!question.check(&Answer::Number(f64::NAN), &step.situation).right, "{name}");
    }
}

#[test]
fn colours_are_those_that_the_survey_has_made_out() {
    for (lesson, step, question) in questions() {
        let Asked::Colours { offer } = &question.asked else { continue };
        let stance = stance(&step.situation);
        let seen = seen(&step.situation, &stance, step.situation.station.bearing.degrees());
        for (place, offered) in offer.iter().enumerate() {
            let right = question.check(&Answer::Choice(place), &step.situation).right;
            assert_eq!(right, *offered == seen, "{}", name(lesson, step));
        }
    }
}

#[test]
fn where_to_stand_is_where_the_survey_says_so() {
    for (lesson, step, question) in questions() {
        let Asked::Stand { find, between } = &question.asked else { continue };
        let stance = stance(&step.situation);
        for degrees in (0..720).map(|half| f64::from(half) / 2.0) {
            let inside = between.is_none_or(|arc| (degrees - arc.from.degrees()).rem_euclid(360.0) <= arc.width);
            let right = inside && meets_goal(*find, degrees, seen(&step.situation, &stance, degrees));
            let verdict = question.check(&Answer::Bearing(Bearing::new(degrees)), &step.situation);
            assert_eq!(verdict.right, right, "{} at {degrees}: {}", name(lesson, step), verdict.why);
        }
    }
}

/// Rules 13 to 15 and 18(a)(iv) in a few lines, for what the supplied lessons ask.
fn by_the_rules(you: Status, yours: f64, she: Status, hers: f64, about: About) -> &'static str {
    let ahead = |bearing: f64| bearing.min(360.0 - bearing) <= 5.625;
    let overtaking = hers > 107.5 && hers < 252.5;
    let encounter = if overtaking {
        "you are overtaking her"
    } else if ahead(yours) && ahead(hers) {
        "head-on"
    } else {
        "crossing"
    };
    let sails = |status: Status| status == Status::UnderSail;
    match about {
        About::Encounter => encounter,
        About::GivesWay if overtaking => "you give way to her",
        About::GivesWay if encounter == "head-on" => "both turn to starboard",
        About::GivesWay if sails(she) && !sails(you) => "you give way to her",
        About::GivesWay if yours < 180.0 => "you give way to her",
        About::GivesWay => "she gives way to you",
    }
}

#[test]
fn who_gives_way_is_as_the_rules_have_it() {
    let mut count = 0;
    for (lesson, step, question) in questions() {
        let Asked::Meets { you, about, .. } = &question.asked else { continue };
        let situation = &step.situation;
        let she = situation.status.by_means(&situation.scene.vessel);
        let right = by_the_rules(you.status, you.bears.degrees(), she, situation.station.bearing.degrees(), *about);
        let Some(Answer::Choice(choice)) = question.answer(situation) else { panic!("{}", name(lesson, step)) };
        assert_eq!(question.choices()[choice], right, "{}", name(lesson, step));
        count += 1;
    }
    assert!(count >= 6);
}

/// Total width in degrees of the bearings at which something holds, on a grid of a twentieth of a degree.
fn width(holds: impl Fn(f64) -> bool) -> f64 {
    f64::from((0..7200u32).map(|n| u32::from(holds(f64::from(n) / 20.0))).sum::<u32>()) / 20.0
}

fn light(situation: &Situation, lamp: &str) -> LightId {
    let lamp = situation.fit().lamps.iter().position(|one| one.name == lamp).expect("the lamp");
    LightId { lamp, beam: 0 }
}

fn expected(measure: &Measure, situation: &Situation) -> f64 {
    let stance = stance(situation);
    let shows = |bearing: f64, colour: Colour| seen(situation, &stance, bearing).contains(colour);
    let ahead = |bearing: f64| !(45.0..=315.0).contains(&bearing);
    match measure {
        // Rule 21(a) and (c), in degrees and in points of 11.25.
        Measure::Sector(kind) => match format!("{kind:?}").as_str() {
            "Masthead" => 225.0,
            "Sternlight" => 135.0,
            other => panic!("no figure for {other}"),
        },
        Measure::SectorPoints(kind) => match format!("{kind:?}").as_str() {
            "Sternlight" => 12.0,
            other => panic!("no figure for {other}"),
        },
        Measure::BearingPoints => situation.station.bearing.degrees() / 11.25,
        Measure::Shadow(lamp) => {
            let light = light(situation, lamp);
            let dimmed = |bearing: f64| {
                let reach = stance.toward(light, Bearing::new(bearing), Degrees(0.0));
                reach.bare.0 > 0.0 && reach.visible.fraction < 1.0
            };
            widest(dimmed)
        }
        Measure::DarkLane => {
            width(|bearing| ahead(bearing) && !shows(bearing, Colour::Red) && !shows(bearing, Colour::Green))
        }
        Measure::DoubleLane => {
            width(|bearing| ahead(bearing) && shows(bearing, Colour::Red) && shows(bearing, Colour::Green))
        }
        Measure::Width(colour) => width(|bearing| shows(bearing, *colour)),
        Measure::From(colour) => edge(|bearing| shows(bearing, *colour), false),
        Measure::To(colour) => edge(|bearing| shows(bearing, *colour), true),
        Measure::Reach(lamp) => {
            let candela = stance.toward(light(situation, lamp), situation.station.bearing, Degrees(0.0)).candela().0;
            allard(candela, 0.05f64.powf(1.0 / situation.scene.conditions.visibility.0))
        }
        Measure::ToldApart(lamp, other) => {
            let centre = |lamp: &str| stance.posed().lamps[light(situation, lamp).lamp].centre;
            let sight = situation.station.bearing.direction();
            let apart = centre(lamp) - centre(other);
            let across = apart.cross(sight).length();
            across / (1.0f64 / 60.0).to_radians().tan() / 1852.0
        }
    }
}

fn widest(holds: impl Fn(f64) -> bool) -> f64 {
    let held: Vec<bool> = (0..7200u32).map(|n| holds(f64::from(n) / 20.0)).collect();
    let mut best = 0usize;
    let mut run = 0usize;
    for n in 0..2 * held.len() {
        run = if held[n % held.len()] { run + 1 } else { 0 };
        best = best.max(run.min(held.len()));
    }
    best as f64 / 20.0
}

fn edge(holds: impl Fn(f64) -> bool, down: bool) -> f64 {
    let at = |n: u32| holds(f64::from(n % 7200) / 20.0);
    let n = (0..7200).find(|n| at(*n) == down && at(*n + 1) != down).expect("an edge");
    f64::from(n) / 20.0
}

/// The distance in miles at which I T^D / d^2 falls to 2e-7 lux (Annex I 8(a)), by small steps.
fn allard(candela: f64, transmissivity: f64) -> f64 {
    let lux = |miles: f64| candela * transmissivity.powf(miles) / (miles * 1852.0).powi(2);
    let steps = (1..200_000u32).map(|n| f64::from(n) / 10_000.0);
    steps.take_while(|miles| lux(*miles) >= 2e-7).last().unwrap_or(0.0)
}

#[test]
fn figures_come_out_the_same_by_another_way() {
    let mut count = 0;
    for (lesson, step, question) in questions() {
        let Asked::Number { measure, within } = &question.asked else { continue };
        let value = measure.value(&step.situation).unwrap_or_else(|(why, _)| panic!("{}: {why}", name(lesson, step)));
        let expected = expected(measure, &step.situation);
        assert!((value - expected).abs() <= 0.12, "{}: {value} and {expected}", name(lesson, step));
        for (answer, right) in [
            (value, true),
            (value + within * 0.99, true),
            (value + within * 1.01, false),
            (value - within * 1.01, false),
        ] {
            assert_eq!(question.check(&Answer::Number(answer), &step.situation).right, right, "{}", name(lesson, step));
        }
        count += 1;
    }
    assert!(count >= 10);
}

/// The part whose taking away gives the observer the most of the lamp.
#[test]
fn the_part_in_the_way_is_the_one_whose_taking_away_helps_most() {
    for (lesson, step, question) in questions() {
        let Asked::ShadowOf { lamp, offer } = &question.asked else { continue };
        let situation = &step.situation;
        let eye = situation.station.point(situation.scene.middle());
        let seen_without = |part: &String| {
            let mut scene = Scene::clone(&situation.scene);
            // What a lamp stands on is moved out of sight and not taken away.
            scene.parts.retain(|one| one.name != *part || carries(&scene_fit(situation), &one.name));
            let fit = scene.fits[situation.fit].clone();
            let stance = Stance::new(&scene, &fit, &situation.pose, situation.attitude);
            stance.to_point(light(situation, lamp), eye).visible.fraction
        };
        let best = offer.iter().max_by(|a, b| seen_without(a).total_cmp(&seen_without(b))).expect("a part");
        let Some(Answer::Choice(choice)) = question.answer(situation) else { panic!("{}", name(lesson, step)) };
        assert_eq!(question.choices()[choice], *best, "{}", name(lesson, step));
    }
}

fn scene_fit(situation: &Situation) -> lampwalk::boat::Fit {
    situation.fit().clone()
}

fn carries(fit: &lampwalk::boat::Fit, part: &str) -> bool {
    fit.lamps.iter().any(|lamp| matches!(&lamp.mount, Mount::Pole(name) | Mount::Outboard(name) if name == part))
}

#[test]
fn what_is_found_and_what_cures_it_are_the_judgements_own() {
    for (lesson, step, question) in questions() {
        let situation = &step.situation;
        let findings = |scene: &Scene| {
            let fit = &scene.fits[situation.fit];
            let survey = Survey::of(scene, fit, situation.status, &Settings::default());
            judge(scene, fit, &survey, international()).findings
        };
        match &question.asked {
            Asked::Found { lamp, offer } => {
                let all = findings(&situation.scene);
                for (place, kind) in offer.iter().enumerate() {
                    let found = all.iter().any(|one| {
                        one.kind == *kind && one.lamp.as_deref() == Some(lamp.as_str()) && one.case.is_none()
                    });
                    let right = question.check(&Answer::Choice(place), situation).right;
                    assert_eq!(right, found, "{}: {kind:?}", name(lesson, step));
                }
            }
            Asked::Cure { lamp, offer } => {
                for (place, one) in offer.iter().enumerate() {
                    let mut scene = Scene::clone(&situation.scene);
                    let changed =
                        scene.fits[situation.fit].lamps.iter_mut().find(|own| own.name == *lamp).expect("the lamp");
                    if let Some(mount) = &one.mount {
                        changed.mount = mount.clone();
                    }
                    if let Some(optics) = &one.optics {
                        changed.optics = optics.clone();
                    }
                    let at = changed.at.as_mut().expect("a place");
                    at.forward += one.by.0;
                    at.starboard += one.by.1;
                    if let lampwalk::boat::Height::AboveDeck(up) = &mut at.height {
                        *up += one.by.2;
                    }
                    let left = findings(&scene)
                        .iter()
                        .any(|one| one.severity == Severity::Fault && one.lamp.as_deref() == Some(lamp.as_str()));
                    let right = question.check(&Answer::Choice(place), situation).right;
                    assert_eq!(right, !left, "{}: {}", name(lesson, step), one.words);
                }
            }
            _ => {}
        }
    }
}

#[test]
fn a_colour_is_wider_in_the_fit_that_is_said() {
    for (lesson, step, question) in questions() {
        let Asked::MoreShown { colour, fits } = &question.asked else { continue };
        let wide = |fit: &String| {
            let fit = step.situation.scene.fits.iter().position(|one| one.name == *fit).expect("the fit");
            let other = Situation { fit, ..step.situation.clone() };
            let stance = stance(&other);
            width(|bearing| seen(&other, &stance, bearing).contains(*colour))
        };
        let best = fits.iter().max_by(|a, b| wide(a).total_cmp(&wide(b))).expect("a fit");
        let Some(Answer::Choice(choice)) = question.answer(&step.situation) else { panic!("{}", name(lesson, step)) };
        assert_eq!(question.choices()[choice], *best, "{}", name(lesson, step));
    }
}

#[test]
fn a_change_is_right_where_the_survey_sees_what_was_asked_for() {
    let mut both = [0; 2];
    for (lesson, step, question) in questions() {
        let Asked::Change { control, least, most, until } = &question.asked else { continue };
        for part in 0..=40 {
            let value = least + (most - least) * f64::from(part) / 40.0;
            let mut changed = step.situation.clone();
            match control {
                Control::Steer => changed.pose.steering = Some(value),
                Control::Trim => changed.attitude.trim = Degrees(value),
                other => panic!("no lesson changes {other:?}"),
            }
            let bearing = changed.station.bearing.degrees();
            let right = meets_goal(*until, bearing, seen(&changed, &stance(&changed), bearing));
            let verdict = question.check(&Answer::Number(value), &step.situation);
            assert_eq!(verdict.right, right, "{} at {value}: {}", name(lesson, step), verdict.why);
            both[usize::from(right)] += 1;
        }
        let beyond = question.check(&Answer::Number(most + 1.0), &step.situation);
        assert!(!beyond.right && beyond.why.contains("not between"));
    }
    assert!(both[0] > 0 && both[1] > 0);
}
