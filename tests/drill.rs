//! The drill: the same paper from the same seed, every question answerable from the rules as written out here, what was got
//! wrong comes again sooner, and papers that print.

use std::{
    collections::{BTreeMap, HashSet},
    sync::LazyLock,
};

use lampwalk::{
    boat::Status,
    light::Colour,
    sheet::exam::{Paper, html, text},
    teach::{
        CAUTION,
        drill::{Dice, Drill, Item, Key, Progress, Region, Subject, Topic, paper},
    },
};

/// Six hundred items.
fn many() -> Vec<Item> {
    static MANY: LazyLock<Vec<Item>> = LazyLock::new(|| (0..30).flat_map(|seed| paper(seed, 20)).collect());
    MANY.clone()
}

#[test]
fn the_same_seed_gives_the_same_paper_and_another_another() {
    assert_eq!(paper(7, 20), paper(7, 20));
    assert_ne!(paper(7, 20), paper(8, 20));
    // A longer paper begins as a shorter one does.
    assert_eq!(paper(7, 20)[..8], paper(7, 8)[..]);
}

/// Pinned, so that a printed paper can be set again from its number by any later version.
#[test]
fn the_first_questions_of_paper_one_stay_what_they_are() {
    let told: Vec<String> =
        paper(1, 5).iter().map(|item| format!("{} | {}", item.ask, item.choices[item.right])).collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn every_question_has_choices_one_of_which_is_right_and_says_why() {
    for item in many() {
        assert!((2..=4).contains(&item.choices.len()), "{item:?}");
        assert!(item.right < item.choices.len());
        let different: HashSet<&String> = item.choices.iter().collect();
        assert_eq!(different.len(), item.choices.len(), "{item:?}");
        assert!(item.why.len() > 20 && item.ask.ends_with('?') || item.ask.ends_with('.'), "{item:?}");
        let drawn = matches!(item.key.topic, Topic::Vessel | Topic::Place | Topic::Action);
        assert_eq!(!item.lights.is_empty(), drawn, "{item:?}");
    }
}

#[test]
fn every_topic_region_and_many_vessels_come_up() {
    let items = many();
    let topics: HashSet<Topic> = items.iter().map(|item| item.key.topic).collect();
    assert_eq!(topics.len(), Topic::ALL.len());
    let regions: HashSet<Region> = items.iter().map(|item| item.key.region).collect();
    assert_eq!(regions.len(), 4);
    let subjects: HashSet<&Subject> = items.iter().map(|item| &item.key.subject).collect();
    assert!(subjects.len() > 25, "{}", subjects.len());
    assert!(subjects.iter().any(|subject| matches!(subject, Subject::Boat(..))));
    // The right choice is not always in the same place.
    let mut places: BTreeMap<usize, usize> = BTreeMap::new();
    for item in items.iter().filter(|item| item.choices.len() == 4) {
        *places.entry(item.right).or_default() += 1;
    }
    assert!(places.len() == 4 && places.values().all(|count| *count > 30), "{places:?}");
}

/// Rules 21 to 30 as a stranger reads them: the lines and fixed lights of each status, by colour from the top down.
fn line_of(status: Status) -> Option<&'static str> {
    Some(match status {
        Status::Trawling | Status::TrawlingStopped => "GW",
        Status::Fishing | Status::FishingStopped | Status::FishingGear | Status::FishingGearStopped => "RW",
        Status::NotUnderCommand | Status::NotUnderCommandStopped => "RR",
        Status::Restricted | Status::RestrictedStopped | Status::RestrictedAtAnchor | Status::Diving => "RWR",
        Status::ConstrainedByDraught => "RRR",
        Status::Pilot | Status::PilotAtAnchor => "WR",
        _ => return None,
    })
}

/// The lights drawn of a vessel with a mark on her mast are that mark, and beside it sidelights and white by the bearing.
#[test]
fn the_lights_drawn_are_those_of_the_rule() {
    let mut checked = 0;
    for item in many() {
        let Subject::Display(status) = item.key.subject else { continue };
        let Some(line) = line_of(status).filter(|_| !item.lights.is_empty()) else { continue };
        let drawn = |colour: Colour| item.lights.iter().filter(|dot| dot.colour == colour).count();
        let in_line = |letter: char| line.chars().filter(|one| *one == letter).count();
        let making_way = matches!(
            status,
            Status::Trawling
                | Status::Fishing
                | Status::FishingGear
                | Status::NotUnderCommand
                | Status::Restricted
                | Status::ConstrainedByDraught
                | Status::Pilot
        );
        let (red, green) = match item.key.region {
            _ if !making_way => (0, 0),
            Region::Ahead => (1, 1),
            Region::Starboard => (0, 1),
            Region::Port => (1, 0),
            Region::Abaft => (0, 0),
        };
        assert_eq!(drawn(Colour::Red), in_line('R') + red, "{item:?}");
        assert_eq!(drawn(Colour::Green), in_line('G') + green, "{item:?}");
        assert!(drawn(Colour::White) >= in_line('W'), "{item:?}");
        checked += 1;
    }
    assert!(checked > 60, "{checked}");
}

/// Rule 21: which side of a vessel under engine shows what.
#[test]
fn where_you_are_is_what_sidelights_say() {
    let mut checked = 0;
    for item in many().into_iter().filter(|item| item.key.topic == Topic::Place) {
        let has = |colour: Colour| item.lights.iter().any(|dot| dot.colour == colour);
        let plain = matches!(
            item.key.subject,
            Subject::Display(Status::UnderEngine | Status::Pushing)
                | Subject::Boat(_, Status::UnderWay | Status::UnderEngine | Status::UnderSail)
        );
        if !plain {
            continue;
        }
        let expected = match (has(Colour::Red), has(Colour::Green)) {
            (true, true) => "right ahead of her",
            (false, true) => "on her starboard side, forward of the overtaking sector",
            (true, false) => "on her port side, forward of the overtaking sector",
            (false, false) => "abaft, in the overtaking sector",
        };
        assert_eq!(item.choices[item.right], expected, "{item:?}");
        checked += 1;
    }
    assert!(checked > 5, "{checked}");
}

/// Rules 13 to 18 for one who goes by engine: abaft of her you overtake; a vessel that ranks higher, or whom you have on your
/// own starboard side, you keep clear of; right ahead of a vessel under engine both turn.
#[test]
fn what_you_do_is_what_the_rules_say() {
    let mut checked = 0;
    for item in many().into_iter().filter(|item| item.key.topic == Topic::Action) {
        let status = match &item.key.subject {
            Subject::Display(status) => *status,
            Subject::Boat(_, Status::UnderWay) => Status::UnderSail,
            Subject::Boat(_, status) => *status,
        };
        let Subject::Display(_) = item.key.subject else { continue };
        let power = matches!(
            status,
            Status::UnderEngine | Status::Towing | Status::TowingLong | Status::Pushing | Status::Pilot
        );
        let right = &item.choices[item.right];
        let keep = "keep out of her way";
        match item.key.region {
            Region::Abaft => assert!(right.starts_with(keep), "{item:?}"),
            // You see her green light, and she sees you to starboard.
            Region::Starboard if power => assert!(right.starts_with("keep your course"), "{item:?}"),
            Region::Port if power => assert!(right.starts_with(keep), "{item:?}"),
            Region::Ahead if power => assert!(right.starts_with("alter course to starboard"), "{item:?}"),
            _ => assert!(right.starts_with(keep), "{item:?}"),
        }
        checked += 1;
    }
    assert!(checked > 40, "{checked}");
}

/// Rule 21: 225, 112.5 and 135 degrees.
#[test]
fn sectors_are_those_of_rule_21() {
    for item in many().into_iter().filter(|item| item.key.topic == Topic::Sector) {
        let expected = if item.ask.contains("masthead") {
            "225 degrees"
        } else if item.ask.contains("sidelight") {
            "112.5 degrees"
        } else {
            "135 degrees"
        };
        assert_eq!(item.choices[item.right], expected, "{item:?}");
    }
}

/// Runs a drill for so many questions; gives the keys asked. Answers wrongly whenever `slips` says so.
fn run(seed: u64, count: usize, slips: impl Fn(usize, &Item) -> bool) -> (Vec<Key>, Progress) {
    let mut drill = Drill::new(seed, Progress::default());
    let mut keys = Vec::new();
    for number in 0..count {
        let item = drill.next().expect("a question");
        let wrong = (item.right + 1) % item.choices.len();
        let choice = if slips(number, &item) { wrong } else { item.right };
        assert_eq!(drill.answer(&item, choice), choice == item.right);
        keys.push(item.key);
    }
    (keys, drill.progress)
}

#[test]
fn what_was_got_wrong_comes_again_after_two_questions_and_then_less_often() {
    for seed in 0..5 {
        let (keys, progress) = run(seed, 60, |number, _| number == 0);
        let again: Vec<usize> = (1..keys.len()).filter(|number| keys[*number] == keys[0]).collect();
        // Asked first; due after 2, then 5, 12 and 30 more.
        for due in [3, 9, 22] {
            assert!(again.contains(&due), "seed {seed}: {again:?}");
        }
        assert_eq!((progress.asked, progress.right), (60, 59));
    }
}

#[test]
fn a_kind_missed_always_comes_far_oftener_than_one_that_is_known() {
    let is_place = |key: &Key| key.topic == Topic::Place;
    let count = |keys: &[Key]| keys.iter().filter(|key| is_place(key)).count();
    let (known, _) = run(3, 80, |_, _| false);
    let (missed, progress) = run(3, 80, |_, item| is_place(&item.key));
    assert!(count(&missed) > 2 * count(&known), "{} and {}", count(&missed), count(&known));
    let words = progress.in_words().join("\n");
    assert!(words.contains("where are you: 0 of"), "{words}");
    assert!(words.contains("to come again"), "{words}");
}

#[test]
fn a_record_kept_as_json_goes_on_where_it_stopped() {
    let (_, progress) = run(5, 25, |number, _| number % 4 == 0);
    let kept = serde_json::to_string(&progress).expect("a record");
    let read: Progress = serde_json::from_str(&kept).expect("the record");
    assert_eq!(read, progress);
    assert_eq!(Drill::new(5, read).next(), Drill::new(5, progress).next());
    // A record of a later version, or an empty one, is a beginning and no failure.
    assert_eq!(serde_json::from_str::<Progress>("{}").expect("empty"), Progress::default());
}

#[test]
fn dice_of_one_seed_differ_from_question_to_question() {
    let first: HashSet<u64> = (0..1000).map(|number| Dice::new(1).split(number).next_number()).collect();
    assert_eq!(first.len(), 1000);
}

#[test]
fn a_page_needs_nothing_else_and_holds_every_question() {
    let items = paper(4, 15);
    let page = html(&Paper::of_drill(4, &items, true));
    for never in ["<script", "http:", "https:", "url(", "@import", "<img", "<link"] {
        assert!(!page.contains(never), "{never}");
    }
    let drawn: usize = items.iter().map(|item| item.lights.len()).sum();
    assert_eq!(page.matches("<circle").count(), drawn);
    assert_eq!(page.matches("class=\"ask\"").count(), 15);
    assert!(page.contains(CAUTION) && page.contains("Answer sheet") && page.contains("Answers:"));
    let without = html(&Paper::of_drill(4, &items, false));
    assert!(!without.contains("Answers:"));
    for item in &items {
        assert!(!without.contains(&item.why), "the answer is given away");
    }
}

#[test]
fn plain_text_has_the_letters_of_every_light_and_keeps_its_width() {
    let items = paper(4, 15);
    let page = text(&Paper::of_drill(4, &items, true));
    let rows = page.lines().filter(|line| line.trim_start().starts_with('|'));
    let letters: usize = rows.map(|row| row.chars().filter(|one| "RGWY".contains(*one)).count()).sum();
    assert_eq!(letters, items.iter().map(|item| item.lights.len()).sum::<usize>());
    assert!(page.lines().all(|line| line.chars().count() <= 88), "{page}");
    assert!(page.contains(CAUTION) && page.contains("Answers\n-------"));
}
