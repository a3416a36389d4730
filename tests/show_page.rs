//! The customer sheet says what the survey holds, in one file that asks for nothing outside itself, and no name in it can
//! do harm. `LAMPWALK_KEEP_PAGES=FOLDER` keeps the pages, for a look at them and for `show_page/drive.mjs`.

#[path = "show_page/placeholder.rs"]
mod placeholder;

use std::{path::Path, sync::LazyLock};

use lampwalk::{
    boat::{Fit, Scene, Status, read},
    light::Colours,
    measure::{Bearing, Metres},
    rules::{self, Date, Judgement, Severity},
    sheet::{
        CAUTIONS, Surveyed, Verdict,
        show::{Pictures, Visit, page},
    },
    survey::{Settings, Station, Survey, showing},
};
use serde_json::Value;

fn scene(name: &str) -> Scene {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(format!("{name}.ron"));
    read::scene_file(&path).map_or_else(|error| panic!("{name}: {error:?}"), |read| read.scene)
}

fn tens() -> Vec<Bearing> {
    (0..36u8).map(|n| Bearing::new(f64::from(n) * 10.0)).collect()
}

/// A boat's fits in one status, surveyed and judged: what a visit borrows from.
struct Known<'a> {
    scene: &'a Scene,
    done: Vec<(&'a Fit, Survey, Judgement<'static>)>,
}

impl<'a> Known<'a> {
    fn of(scene: &'a Scene, status: Status) -> Self {
        let one = |fit: &'a Fit| {
            let survey = Survey::of(scene, fit, status, &Settings { step: 2.5, ..Settings::default() });
            let judgement = rules::judge(scene, fit, &survey, rules::international());
            (fit, survey, judgement)
        };
        Self { scene, done: scene.fits.iter().take(2).map(one).collect() }
    }

    fn surveyed(&self, index: usize) -> Option<Surveyed<'_>> {
        let (fit, survey, judgement) = self.done.get(index)?;
        Some(Surveyed { scene: self.scene, fit, survey, judgement })
    }

    /// A visit with a picture on every bearing.
    fn visit(&self) -> Visit<'_> {
        let bearings = tens();
        let pictures = |index: usize| {
            let drawn = |surveyed: Surveyed| {
                bearings
                    .iter()
                    .map(|bearing| placeholder::picture(surveyed.shows_afar(*bearing), bearing.degrees()))
                    .collect()
            };
            self.surveyed(index).map_or_else(Vec::new, drawn)
        };
        Visit {
            before: self.surveyed(0).expect("a fit"),
            after: self.surveyed(1),
            pictures: Some(Pictures {
                before: pictures(0),
                after: pictures(1),
                size: placeholder::SIZE,
                distance: Metres(60.0),
                eye: Metres(2.0),
            }),
            bearings,
            by: Some("Ada Example, boat electrician (invented)"),
            note: Some("The brackets take a morning.\nThe mast stays as it is."),
            date: Date::read("2026-11-30").expect("a day"),
            version: "0.1.0",
        }
    }
}

fn keep(name: &str, page: &str) {
    if let Some(folder) = std::env::var_os("LAMPWALK_KEEP_PAGES") {
        std::fs::write(Path::new(&folder).join(format!("{name}.html")), page).expect("the page is written");
    }
}

/// What lies between two marks, the first time.
fn between<'p>(page: &'p str, from: &str, to: &str) -> &'p str {
    let (_, after) = page.split_once(from).unwrap_or_else(|| panic!("no {from}"));
    after.split_once(to).unwrap_or_else(|| panic!("no {to}")).0
}

fn data(page: &str) -> Value {
    let json = between(page, "<script type=\"application/json\" id=\"walk-data\">", "</script>");
    serde_json::from_str(json).expect("the page's data")
}

/// Text as the page writes it.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;").replace('\'', "&#39;")
}

/// The words a reader sees, without tags.
fn words(html: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for letter in html.chars() {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                out.push(' ');
            }
            other if !inside => out.push(other),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A supplied boat in one status, with the page about her.
struct Supplied {
    name: String,
    known: Known<'static>,
    page: String,
}

/// Every supplied boat in every status she needs lights for, surveyed once for all tests.
static SUPPLIED: LazyLock<Vec<Supplied>> = LazyLock::new(|| {
    let mut all = Vec::new();
    for name in ["sandpiper", "curlew", "harrier", "marigold"] {
        let scene: &'static Scene = Box::leak(Box::new(scene(name)));
        for status in &scene.vessel.statuses {
            let known = Known::of(scene, *status);
            let page = page(&known.visit());
            let name = format!("{name}-{}", status.key());
            keep(&name, &page);
            all.push(Supplied { name, known, page });
        }
    }
    all
});

fn every_visit(mut look: impl FnMut(&Known, &Visit, &str, &str)) {
    for Supplied { name, known, page } in SUPPLIED.iter() {
        look(known, &known.visit(), page, name);
    }
}

#[test]
fn a_page_is_one_file_that_asks_for_nothing_and_stays_small() {
    every_visit(|_, _, page, name| {
        assert!(page.starts_with("<!DOCTYPE html>") && page.trim_end().ends_with("</html>"), "{name}");
        for outside in
            ["http:", "https:", "url(", "@import", "<link", "<iframe", "<object", "fetch(", "XMLHttp", "import("]
        {
            assert!(!page.contains(outside), "{name} has {outside}");
        }
        for (index, _) in page.match_indices(" src=\"") {
            assert!(page[index..].starts_with(" src=\"data:image/png;base64,"), "{name}");
        }
        assert!(!page.contains(" href="), "{name}");
        assert_eq!(data(page)["fits"][0]["pictures"].as_array().map(Vec::len), Some(36), "{name}");
    });
    // Seventy-two pictures of 20 kB, as large as they are expected to be.
    let scene = scene("sandpiper");
    let known = Known::of(&scene, Status::UnderWay);
    let mut visit = known.visit();
    let pictures = visit.pictures.as_mut().expect("pictures");
    for picture in pictures.before.iter_mut().chain(&mut pictures.after) {
        picture.bytes = vec![0xa5; 20_000];
    }
    let length = page(&visit).len();
    assert!(length < 6_000_000, "{length}");
    assert!(length > 72 * 20_000, "the pictures are in it: {length}");
}

/// Colours made out by the arcs of the survey, whose edges were sought otherwise than a single look; `None` near an edge.
fn by_arcs(survey: &Survey, bearing: Bearing) -> Option<Colours> {
    let mut colours = Colours::NONE;
    for light in &survey.lights {
        if light.shown.iter().any(|arc| arc.depth(bearing).abs() < 0.02) {
            return None;
        }
        if light.shown.iter().any(|arc| arc.contains(bearing)) {
            colours.add(light.colour);
        }
    }
    Some(colours)
}

/// The first sentence must name these colours and no others.
fn names_only(said: &str, colours: Colours) -> bool {
    let first = said.split(['.', ':']).next().unwrap_or_default();
    let named = |word: &str| first.split([' ', ',']).any(|one| one == word);
    lampwalk::light::Colour::ALL.iter().all(|colour| named(colour.name()) == colours.contains(*colour))
        && colours.is_empty() == first.ends_with("nothing at all")
}

#[test]
fn every_sentence_agrees_with_the_survey_on_its_bearing() {
    let mut checked = 0;
    every_visit(|known, visit, page, name| {
        let data = data(page);
        for (index, (_, survey, judgement)) in known.done.iter().enumerate() {
            let surveyed = known.surveyed(index).expect("a fit");
            for (place, bearing) in visit.bearings.iter().enumerate() {
                let Some(colours) = by_arcs(survey, *bearing) else { continue };
                let line = &data["fits"][index]["told"][place];
                let said = line["said"].as_str().expect("a sentence");
                let at = format!("{name}, fit {index}, {bearing}: {said}");
                assert!(names_only(said, colours), "{at}");
                let letters = line["letters"].as_str().expect("letters");
                assert_eq!(letters, if colours.is_empty() { String::new() } else { colours.letters() }, "{at}");
                let stand = line["stand"].as_str().expect("a stand");
                let met = judgement.expected(*bearing).met_by(colours);
                match surveyed.verdict() {
                    Verdict::NotJudged => assert_eq!(stand, "unjudged", "{at}"),
                    Verdict::Passes => assert_eq!(stand == "right", met, "{at}"),
                    Verdict::Fails => assert!(stand != "right" || met, "{at}"),
                }
                assert!(surveyed.verdict() != Verdict::Passes || stand != "wrong", "{at}");
                if stand == "wrong" && met {
                    assert!(said.contains(" The colours are right, but "), "{at}");
                }
                for colour in judgement.expected(*bearing).missing(colours).iter().filter(|_| stand == "wrong") {
                    let lost = said.split_once("must show here").map(|(before, _)| before).unwrap_or_default();
                    assert!(lost.rsplit("Your").next().is_some_and(|lost| lost.contains(colour.name())), "{at}");
                }
                checked += 1;
            }
        }
    });
    assert!(checked > 500, "{checked}");
}

#[test]
fn what_is_seen_close_by_is_told_where_it_differs() {
    let (mut same, mut other) = (0, 0);
    every_visit(|known, visit, page, name| {
        let data = data(page);
        for (index, (fit, survey, _)) in known.done.iter().enumerate() {
            for (place, bearing) in visit.bearings.iter().enumerate() {
                let station = Station { bearing: *bearing, distance: Metres(60.0), eye: Metres(2.0) };
                let eye = station.point(known.scene.middle());
                let close = showing(&survey.rest().look(fit, survey.status, eye, survey.weather));
                let line = &data["fits"][index]["told"][place];
                let said = line["said"].as_str().expect("a sentence");
                let letters = line["letters"].as_str().expect("letters");
                match said.split_once("Close by, as in the picture, he sees ") {
                    None => {
                        assert_eq!(close.letters().replace('-', ""), letters, "{name} {bearing}: {said}");
                        same += 1;
                    }
                    Some((_, told)) => {
                        assert_ne!(close.letters().replace('-', ""), letters, "{name} {bearing}: {said}");
                        assert!(close.iter().all(|colour| told.contains(colour.name())), "{name} {bearing}: {said}");
                        other += 1;
                    }
                }
            }
        }
    });
    assert!(same > 0 && other > 0, "{same} alike, {other} not");
}

#[test]
fn the_workboat_is_told_as_a_customer_would_understand_her() {
    let scene = scene("sandpiper");
    let known = Known::of(&scene, Status::UnderWay);
    let page = page(&known.visit());
    let data = data(&page);
    let said = |fit: usize, place: usize| data["fits"][fit]["told"][place]["said"].as_str().expect("a sentence");
    assert_eq!(
        said(0, 6),
        "From here he sees a white light only: he takes you for a vessel seen from behind, or one at anchor. Your green light must \
         show here and does not. He cannot tell which way you are heading, nor which of you must give way."
    );
    assert_eq!(
        said(0, 14),
        "From here he sees nothing at all. Your white light must show here and does not. Whoever comes up from behind has no \
         warning of you."
    );
    assert_eq!(
        said(1, 6),
        "From here he sees a green and a white light: he knows you for a vessel under engine that shows him her right side. That is \
         as it should be."
    );
    let head = words(between(&page, "<header>", "</header>"));
    assert!(head.contains("As found 4 things wrong, 2 to watch"), "{head}");
    assert!(head.contains("Proposed nothing wrong"), "{head}");
    // The findings of the text: sidelights lost over 0 to 112.5 and 247.5 to 360, the sternlight over 112.5 to 162.5. Of
    // tens, that is 12, 11 and 5.
    assert!(
        head.contains(
            "Hers are not as they should be from 28 of 36 places around her ( as found ), from none ( proposed )."
        ),
        "{head}"
    );
}

#[test]
fn every_finding_is_told_and_leads_to_where_it_is_seen() {
    every_visit(|known, visit, page, name| {
        for (index, (_, _, judgement)) in known.done.iter().enumerate() {
            let list = between(page, &format!("aria-labelledby=\"found-{index}\""), "</section>");
            assert_eq!(list.matches("<li ").count(), judgement.findings.len(), "{name}");
            let items: Vec<&str> = list.split("<li ").skip(1).collect();
            for (finding, item) in judgement.findings.iter().zip(items) {
                for own in [&finding.what, &finding.how_bad, &finding.mend, &finding.clause] {
                    // As a sentence begins.
                    let own: String = own.chars().skip(1).collect();
                    assert!(item.contains(&escaped(&own)), "{name}: {own}");
                }
                let weight = match finding.severity {
                    Severity::Fault => "Wrong",
                    Severity::Caution => "To watch",
                    Severity::Note => "Good to know",
                };
                assert!(item.contains(&format!("<span class=\"weight\">{weight}</span>")), "{name}");
                leads_there(finding.arc, item, &visit.bearings);
                assert!(finding.case.as_ref().is_none_or(|case| item.contains(&escaped(case))), "{name}");
            }
        }
    });
}

fn leads_there(arc: Option<lampwalk::measure::Arc>, item: &str, bearings: &[Bearing]) {
    let places: Vec<usize> =
        item.split("data-place=\"").skip(1).map(|rest| rest.split('"').next().unwrap().parse().unwrap()).collect();
    let Some(arc) = arc else {
        assert!(places.is_empty());
        return;
    };
    assert!(!places.is_empty(), "{item}");
    // None of the walk's places may lie in a narrow arc; then it is the nearest.
    let any = bearings.iter().any(|bearing| arc.contains(*bearing));
    for place in places {
        let off = arc.depth(bearings[place]);
        assert!(if any { off >= -1e-9 } else { off > -10.0 }, "{item}");
    }
}

#[test]
fn without_a_script_the_most_telling_places_are_all_there() {
    every_visit(|known, visit, page, name| {
        assert!(page.contains("<html lang=\"en\" class=\"still\">"), "{name}: the script alone makes it live");
        let stills = between(page, "<section class=\"stills\"", "</section>");
        let articles: Vec<&str> = stills.split("<article").skip(1).collect();
        assert!((3..=4).contains(&articles.len()), "{name}: {}", articles.len());
        let data = data(page);
        for article in articles {
            let place: usize = between(article, "data-place=\"", "\"").parse().expect("a place");
            assert_eq!(article.matches("<img ").count(), known.done.len(), "{name}");
            for fit in data["fits"].as_array().expect("fits") {
                let said = fit["told"][place]["said"].as_str().expect("a sentence");
                assert!(article.contains(&escaped(said)), "{name}: {said}");
                assert!(article.contains(fit["pictures"][place].as_str().expect("a picture")), "{name}");
            }
        }
        // The worst finding that has a direction is among them.
        let worst = known.done[0].2.findings.iter().find_map(|finding| finding.arc);
        if let Some(arc) = worst.filter(|arc| visit.bearings.iter().any(|bearing| arc.contains(*bearing))) {
            let first: usize = between(stills, "data-place=\"", "\"").parse().expect("a place");
            assert!(arc.contains(visit.bearings[first]), "{name}");
        }
    });
}

#[test]
fn names_and_notes_are_shown_as_written_and_never_run() {
    let mut scene = scene("sandpiper");
    let evil = "</script><img src=x onerror=alert(1)>\"'&{lamp}";
    scene.name = format!("קורמורן {evil}");
    scene.note = format!("Not hers. {evil}");
    for fit in &mut scene.fits {
        fit.name = format!("{} {evil} \u{202e}abc", fit.name);
        fit.note = format!("ملاحظة {evil}");
        for lamp in &mut fit.lamps {
            lamp.name = format!("{} {evil} 灯", lamp.name);
        }
    }
    for part in &mut scene.parts {
        part.name = if part.name == "light pole" { part.name.clone() } else { format!("{} {evil}", part.name) };
    }
    let known = Known::of(&scene, Status::UnderWay);
    let (by, note) = (format!("بحار {evil}"), format!("{evil}\u{0}\u{1b}\nline two"));
    let visit = Visit { by: Some(&by), note: Some(&note), version: "0.1.0<b>", ..known.visit() };
    let page = page(&visit);
    keep("hostile", &page);
    assert!(!page.contains("<img src=x"), "no tag of the user's");
    assert!(!page.contains("onerror=alert(1)>"), "not even its end");
    assert_eq!(page.matches("</script>").count(), 2, "the page's own");
    assert_eq!(page.matches("<script").count(), 2);
    assert!(page.contains("<bdi>קורמורן &lt;/script&gt;"), "the name is there, safe and apart");
    assert!(page.contains("بحار") && page.contains("灯") && page.contains("line two"));
    assert!(!page.contains('\u{0}') && !page.contains('\u{1b}'));
    assert_eq!(
        data(&page)["fits"][0]["name"].as_str(),
        Some(scene.fits[0].name.as_str()),
        "the script gets the name itself"
    );
    // Whatever stands in an attribute cannot end it.
    for attribute in page.split("alt=\"").skip(1) {
        let value = attribute.split('"').next().unwrap_or_default();
        assert!(value.starts_with("The boat at night from ") && !value.contains('<'), "{value}");
    }
}

#[test]
fn a_page_without_pictures_or_with_one_fit_is_whole() {
    let scene = scene("sandpiper");
    let known = Known::of(&scene, Status::UnderWay);
    let bare = page(&Visit { pictures: None, bearings: Vec::new(), ..known.visit() });
    keep("bare", &bare);
    assert!(!bare.contains("<img ") && !bare.contains("made by a program"));
    assert!(bare.contains("<svg class=\"plot\""));
    assert_eq!(data(&bare)["places"].as_array().map(Vec::len), Some(32), "the points");
    assert!(words(&bare).contains("From here he sees nothing at all."));

    let alone = page(&Visit { after: None, by: None, note: None, ..known.visit() });
    keep("alone", &alone);
    assert_eq!(data(&alone)["fits"].as_array().map(Vec::len), Some(1));
    assert!(!alone.contains("id=\"compare\"") && !alone.contains("type=\"radio\""));
    assert!(!alone.contains("note-from\""));

    // Fewer pictures than places: what there is, is shown.
    let mut few = known.visit();
    few.pictures.as_mut().expect("pictures").before.truncate(3);
    assert_eq!(data(&page(&few))["fits"][0]["pictures"].as_array().map(Vec::len), Some(3));
}

#[test]
fn what_it_rests_on_is_told() {
    let scene = scene("sandpiper");
    let known = Known::of(&scene, Status::UnderWay);
    let html = page(&known.visit());
    let told = words(&html);
    for line in [
        "The boat is invented.",
        "a picture made by a program from measurements, not a photograph, as from about 60 m off",
        "about 930 m off",
        "Not looked at here: the boat at anchor.",
        "From Ada Example, boat electrician (invented)",
        "with lampwalk 0.1.0",
        "2026-11-30",
        &escaped(CAUTIONS),
    ] {
        assert!(told.contains(line), "{line}");
    }
    let mut own = scene.clone();
    own.note = "An open workboat.".into();
    let known = Known::of(&own, Status::UnderWay);
    assert!(!words(&page(&known.visit())).contains("The boat is invented."));
}

#[test]
fn a_vessel_that_cannot_be_judged_is_told_so() {
    let scene = scene("sandpiper");
    let known = Known::of(&scene, Status::UnderSail);
    let html = page(&Visit { pictures: None, ..known.visit() });
    let told = words(&html);
    assert!(told.contains("could not be judged"), "{told}");
    assert!(told.contains("What must show from here could not be judged."));
    assert!(!told.contains("nothing wrong") && !told.contains("Hers are not"));
}
