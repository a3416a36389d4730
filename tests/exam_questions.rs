//! Questions set in public examinations on which lights a vessel shows, against the displays of the rules.
//!
//! `exam_questions/questions.ron` names the question and where it was read beside each row; the README beside it says
//! which sets they are from. The published answer is the expectation; the displays are this program's data.

mod support;

use std::collections::BTreeMap;

use lampwalk::{
    boat::{Propulsion, Status, Vessel},
    measure::{Knots, Metres},
    rules::{Display, LightKind, Rules, inland, international},
};
use serde::Deserialize;
use support::boat_of;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Question {
    source: String,
    rules: String,
    asks: String,
    length: f64,
    propulsion: Propulsion,
    status: Status,
    lights: Vec<LightKind>,
    lines: Vec<Vec<LightKind>>,
    answer: Answer,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
enum Answer {
    /// The vessel with exactly these lights is a lawful display in that status.
    Shows,
    /// She is not.
    Not,
    /// A vessel that shows exactly these lights has that status.
    Means,
}

fn questions() -> Vec<Question> {
    ron::from_str(include_str!("exam_questions/questions.ron")).expect("the questions")
}

impl Question {
    fn rules(&self) -> &'static Rules {
        match self.rules.as_str() {
            "international" => international(),
            "inland" => inland(),
            other => panic!("{}: there is no rule set {other}", self.source),
        }
    }

    fn vessel(&self) -> Vessel {
        let scene = boat_of(self.length);
        // The README of the questions: the row of a vessel under 7 m is for a top speed of 7 knots or less. A vessel
        // that may be towed or anchored may have any means.
        Vessel {
            length: Metres(self.length),
            propulsion: self.propulsion,
            also: vec![Propulsion::Power],
            top_speed: Knots(if self.length < 7.0 { 7.0 } else { 20.0 }),
            ..scene.vessel
        }
    }

    /// Whether a display is just these lights, with or without those that it leaves open.
    fn is(&self, display: &Display) -> bool {
        // The README of the questions: a lantern kept ready to hand stands as an all-round white light.
        if display.ready.is_some() && self.lights == [LightKind::AllRoundWhite] {
            return true;
        }
        let mut lines = display.lines.clone();
        let mut own = self.lines.clone();
        lines.sort();
        own.sort();
        let mut rest = count(&self.lights);
        let fixed = display.lights.iter().all(|kind| take(&mut rest, *kind));
        for kind in display.may.iter().chain(&display.if_practicable) {
            take(&mut rest, *kind);
        }
        lines == own && fixed && rest.values().all(|left| *left == 0)
    }

    fn at(&self) -> String {
        format!("{}\n  {}", self.source, self.asks)
    }
}

fn count(kinds: &[LightKind]) -> BTreeMap<LightKind, usize> {
    kinds.iter().fold(BTreeMap::new(), |mut counts, kind| {
        *counts.entry(*kind).or_default() += 1;
        counts
    })
}

fn take(counts: &mut BTreeMap<LightKind, usize>, kind: LightKind) -> bool {
    match counts.get_mut(&kind) {
        Some(left) if *left > 0 => {
            *left -= 1;
            true
        }
        _ => false,
    }
}

fn lawful(question: &Question) -> Vec<&'static Display> {
    question.rules().displays(&question.vessel(), question.status, &[])
}

#[test]
fn what_the_examiners_call_right_is_a_lawful_display() {
    for question in questions().iter().filter(|question| question.answer == Answer::Shows) {
        let lawful = lawful(question);
        let names: Vec<_> = lawful.iter().map(|display| &display.name).collect();
        assert!(lawful.iter().any(|display| question.is(display)), "{}\n  lawful are {names:?}", question.at());
    }
}

#[test]
fn what_the_examiners_call_wrong_is_no_lawful_display() {
    for question in questions().iter().filter(|question| question.answer == Answer::Not) {
        let same = lawful(question).into_iter().find(|display| question.is(display));
        assert!(same.is_none(), "{}\n  is {:?}", question.at(), same.map(|display| &display.name));
    }
}

#[test]
fn what_a_set_of_lights_means_is_among_the_displays_that_it_is() {
    for question in questions().iter().filter(|question| question.answer == Answer::Means) {
        let meant: Vec<Status> = question
            .rules()
            .displays
            .iter()
            .filter(|display| display.length.holds(question.length) && question.is(display))
            .map(|display| display.status)
            .collect();
        assert!(meant.contains(&question.status), "{}\n  they mean {meant:?}", question.at());
    }
}

#[test]
fn questions_of_both_rule_sets_and_of_each_answer_are_asked() {
    let questions = questions();
    for answer in [Answer::Shows, Answer::Not, Answer::Means] {
        assert!(questions.iter().filter(|question| question.answer == answer).count() > 10);
    }
    assert!(questions.iter().filter(|question| question.rules == "inland").count() > 20);
    assert!(questions.iter().all(|question| !question.source.is_empty()));
}
