//! Mistakes that a teacher makes in a lesson file, each told at its line and column with a way to mend it.

use std::path::Path;

use lampwalk::{boat::read::Fault, teach::lesson::read};

/// A sound lesson; the tests spoil one line of it at a time.
const SOUND: &str = r#"Lesson(
    title: "A lesson",
    teaches: "How a lesson is written.",
    minutes: 3,
    steps: [
        Step(
            title: "First",
            boat: "marigold", fit: "proposed", status: UnderWay,
            view: Afloat, sight: Bare, draw: [Ring],
            eye: Eye(bearing: 45, miles: 0.25),
            words: ["You are on her starboard bow."],
            question: Colours(ask: "Which colours?", offer: ["GW", "RW", "W"]),
        ),
        Step(
            title: "Second",
            words: ["Walk round."],
            question: Stand(ask: "Stand where you see red and white.", find: Shows("RW")),
        ),
        Step(
            title: "Third",
            words: ["Two vessels meet."],
            question: Meets(ask: "Who gives way?", about: GivesWay, she_bears: 315, your_speed: 8, her_speed: 8),
        ),
        Step(
            title: "Fourth",
            words: ["A number."],
            question: Number(ask: "How many degrees?", measure: Sector(Sternlight), within: 2),
        ),
    ],
)
"#;

fn lesson(text: &str) -> Result<lampwalk::teach::lesson::Lesson, lampwalk::boat::read::ReadError> {
    read(text, Path::new("lesson.ron"))
}

fn faults(from: &str, to: &str) -> Vec<Fault> {
    assert_eq!(SOUND.matches(from).count(), 1, "{from}");
    match lesson(&SOUND.replacen(from, to, 1)) {
        Ok(_) => panic!("nothing is wrong with {to}"),
        Err(error) => error.faults().to_vec(),
    }
}

/// That the one thing wrong is told on a line and column, in these words, with this mend.
fn refused(from: &str, to: &str, line: usize, what: &str, mend: &str) {
    let faults = faults(from, to);
    let told: Vec<_> =
        faults.iter().map(|fault| format!("{}:{} {} | {}", fault.line, fault.column, fault.what, fault.mend)).collect();
    assert_eq!(faults.len(), 1, "{to}: {told:?}");
    assert!(faults[0].line == line && faults[0].column > 1, "{to}: {told:?}");
    assert!(faults[0].what.contains(what) && faults[0].mend.contains(mend), "{to}: {told:?}");
}

#[test]
fn the_lesson_that_is_spoilt_below_is_sound() {
    let lesson = lesson(SOUND).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!((lesson.name.as_str(), lesson.steps.len()), ("lesson", 4));
    // What a step leaves out stays as before.
    assert_eq!(lesson.steps[3].situation.station.bearing.degrees(), 45.0);
    assert_eq!(lesson.steps[3].boat, "marigold");
}

#[test]
fn what_a_step_names_must_be_there() {
    refused("\"marigold\"", "\"marygold\"", 8, "no built-in boat \"marygold\"", "did you mean \"marigold\"?");
    refused("\"marigold\"", "\"nowhere.ron\"", 8, "cannot be read", "beside the lesson");
    refused("\"proposed\"", "\"propsed\"", 8, "has no fit \"propsed\"", "did you mean \"proposed\"?");
    refused("UnderWay,", "UnderWey,", 8, "no status `UnderWey`", "UnderWay");
    refused("UnderWay,", "Fishing,", 8, "no lamp of \"proposed\" is lit", "another status or fit");
    refused("boat: \"marigold\", ", "", 6, "does not say which boat", "add `boat");
    refused("view: Afloat", "view: Afloot", 9, "no view `Afloot`", "Afloat");
    refused("sight: Bare", "sight: Spyglass", 9, "no sight `Spyglass`", "Glasses");
    refused("[Ring]", "[Rings]", 9, "no thing to draw `Rings`", "Ring");
}

#[test]
fn figures_keep_their_limits() {
    refused("bearing: 45", "bearing: 450", 10, "bearing of 450", "from 0 to 360");
    refused("miles: 0.25", "miles: 0.25, metres: 400", 10, "twice", "keep");
    refused("miles: 0.25", "metres: 8.5", 10, "nearer than the boat is long", "further off");
    refused("minutes: 3", "minutes: 300", 4, "time of 300", "from 1 to 30");
    refused("her_speed: 8", "her_speed: 800", 22, "speed of 800", "from 0 to 60");
    refused("within: 2", "within: 0", 27, "tolerance of 0", "more than 0");
    refused("within: 2", "within: 2, extra: 1", 27, "has no field `extra`", "");
    refused("words: [\"Walk round.\"],", "", 14, "lacks its field `words`", "add `words");
}

/// With a wrong preset no choice is right, or more than one: an unanswerable question and an ambiguous one.
#[test]
fn a_question_has_exactly_one_right_answer() {
    refused(
        "bearing: 45",
        "bearing: 0",
        12,
        "none of the choices is right: From 0 degrees red, green and white (RGW)",
        "offer the right one",
    );
    refused("[\"GW\", \"RW\", \"W\"]", "[\"RW\", \"W\"]", 12, "none of the choices is right", "offer the right one");
    refused("[\"GW\", \"RW\", \"W\"]", "[\"GW\", \"WG\", \"W\"]", 12, "offered twice", "take one");
    refused("[\"GW\", \"RW\", \"W\"]", "[\"GW\"]", 12, "at least two", "offer one more");
    refused("[\"GW\", \"RW\", \"W\"]", "[\"GW\", \"BW\"]", 12, "\"BW\" does not spell colours", "R, G, W and Y");
    refused("Shows(\"RW\")", "Shows(\"Y\")", 17, "no bearing from which that is seen", "somewhere");
    refused("Shows(\"RW\")", "Includes(\"W\")", 17, "from every bearing", "ask for less");
    refused("Shows(\"RW\")", "Sees(\"RW\")", 17, "nothing to see by the name `Sees`", "Shows");
    refused("Shows(\"RW\")", "Shows(RW)", 17, "expected text in double quotes", "\"RW\"");
    refused("she_bears: 315", "she_bears: 45", 22, "passing clear", "change where each has the other");
    refused("she_bears: 315", "she_bears: 180", 22, "none of the answers is right", "change where");
    refused("within: 2", "within: 140", 27, "tolerance of 140", "at most 45");
    refused("Sector(Sternlight)", "Shadow(\"sternlight\")", 27, "nothing hides \"sternlight\"", "another lamp or fit");
    refused(
        "Sector(Sternlight)",
        "Shadow(\"stern light\")",
        27,
        "no lamp \"stern light\"",
        "did you mean \"sternlight\"?",
    );
    refused("Sector(Sternlight)", "Sector(Stern)", 27, "no light `Stern`", "Sternlight");
    refused("Sector(Sternlight)", "To(White)", 27, "all round and has no edge", "another colour");
    refused("Sector(Sternlight)", "DarkLane", 27, "nothing of that kind here", "another boat");
    refused("Sector(Sternlight)", "Length", 27, "no measure `Length`", "Sector");
    refused("Sector(Sternlight)", "Sector", 27, "not written so", "Sector(Sternlight)");
    refused("question: Number(", "question: Guess(", 27, "no question of the kind `Guess`", "Colours");
}

/// Questions of the other kinds, in place of the last.
#[test]
fn questions_about_lamps_parts_and_changes_are_held_against_the_boat() {
    let from = "Number(ask: \"How many degrees?\", measure: Sector(Sternlight), within: 2)";
    let refused = |to: &str, what: &str, mend: &str| refused(from, to, 27, what, mend);
    let shadow = |lamp: &str, offer: &str| format!("ShadowOf(ask: \"?\", lamp: \"{lamp}\", offer: [{offer}])");
    refused(
        &shadow("sternlight", "\"whip\", \"towing arch\""),
        "The sternlight sends no light that way",
        "offer the right one",
    );
    refused(
        &shadow("sternlight", "\"whip\", \"towng arch\""),
        "no part \"towng arch\"",
        "did you mean \"towing arch\"?",
    );
    refused(&shadow("anchor light", "\"whip\", \"towing arch\""), "no lamp \"anchor light\" that is lit", "lit are");
    let found = |offer: &str| format!("Found(ask: \"?\", lamp: \"sternlight\", offer: [{offer}])");
    refused(&found("NotUpright, Shadowed"), "None of these is amiss", "offer the right one");
    refused(&found("NotUpright, Shaded"), "no finding `Shaded`", "Shadowed");
    let cure = |offer: &str| format!("Cure(ask: \"?\", lamp: \"sternlight\", offer: [{offer}])");
    let two = "Try(words: \"leave it\"), Try(words: \"raise it\", up: 0.1)";
    refused(&cure(two), "more than one choice is right: \"leave it\", \"raise it\"", "take all but one");
    refused(
        &cure("Try(words: \"a\", mount: Pole(\"flagpole\")), Try(words: \"b\")"),
        "no part \"flagpole\"",
        "there are",
    );
    refused(&cure("Try(words: \"a\"), Try(words: \"a\", up: 0.1)"), "offered twice", "take one");
    let change = |control: &str, range: &str, until: &str| {
        format!("Change(ask: \"?\", control: {control}, range: {range}, until: {until})")
    };
    refused(&change("Heel", "(-10, 10)", "Includes(\"G\")"), "seen already", "lie otherwise");
    refused(&change("Heel", "(-10, 10)", "Shows(\"Y\")"), "nothing within this range", "widen the range");
    refused(&change("Heel", "(10, -10)", "Lacks(\"G\")"), "ends where it begins", "the least and then the most");
    refused(&change("Heel", "10", "Lacks(\"G\")"), "expected two numbers", "(340, 20)");
    refused(&change("Steer", "(-10, 10)", "Lacks(\"G\")"), "no outboard", "something else");
    refused(&change("Yaw", "(-10, 10)", "Lacks(\"G\")"), "nothing goes by `Yaw`", "Steer");
}

#[test]
fn what_is_no_lesson_at_all_is_told_so() {
    for (text, what) in [
        ("", "nothing in this file"),
        ("Scene(name: \"x\")", "expected `Lesson(...)`, found `Scene`"),
        ("Lesson(title: \"x\", teaches: \"y\", steps: [])", "at least one step"),
        ("Lesson(title: \"x\", teaches: \"y\", steps: [Step(title: \"z\"", "never closed"),
    ] {
        let error = lesson(text).expect_err(text);
        assert!(error.faults().iter().any(|fault| fault.what.contains(what)), "{text}: {error}");
    }
}

#[test]
fn several_mistakes_are_told_at_once() {
    let text = SOUND.replace("UnderWay,", "UnderWey,").replace("within: 2", "within: 0");
    let error = lesson(&text).expect_err("two mistakes");
    assert_eq!(error.faults().iter().map(|fault| fault.line).collect::<Vec<_>>(), [8, 27]);
    assert!(error.report(false).contains("lesson.ron:8:"));
}
