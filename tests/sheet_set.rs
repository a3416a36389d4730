//! The work sheets: what the PDF and the HTML hold, how their pages are set, and what wrong input is told.

mod support;

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
    sync::{Arc, OnceLock},
};

use hayro::{
    RenderSettings,
    hayro_interpret::InterpreterSettings,
    hayro_syntax::Pdf,
    render,
    vello_cpu::{Pixmap, color::palette::css::WHITE},
};
use lampwalk::{
    boat::{Scene, Status, read},
    fitting::{
        bracket::{for_lamp, outline::bounds},
        marking::marking,
        walk_round::{Round, walk_round},
    },
    rules::{Date, international, judge},
    sheet::{
        Surveyed,
        paper::{Block, Cell, Drawing, Paper, Section, Size, Table, html, pages, pdf},
        work::{Units, Work, paper},
    },
    survey::{Settings, Survey},
};
use ttf_parser::Face;

const SCENES: [&str; 5] = ["sandpiper", "marigold", "harrier", "curlew", "petrel"];

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenes").join(format!("{name}.ron"))
}

fn scene(name: &str) -> Scene {
    read::scene_file(&path(name)).expect("a sound scene").scene
}

fn set(scene: &Scene, fit: usize, units: Units, size: Size) -> Paper {
    let fit = &scene.fits[fit];
    let survey = Survey::of(scene, fit, Status::UnderWay, &Settings { step: 5.0, ..Settings::default() });
    let judgement = judge(scene, fit, &survey, international());
    let surveyed = Surveyed { scene, fit, survey: &survey, judgement: &judgement };
    paper(&Work { surveyed, units, size, date: Date::read("2027-05-04").expect("a day") })
}

/// Both fits of every supplied boat, in turn metric on A4 and US on Letter.
fn sets() -> &'static [(String, Scene, usize, Paper)] {
    static ALL: OnceLock<Vec<(String, Scene, usize, Paper)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = Vec::new();
        for name in SCENES {
            let scene = scene(name);
            for fit in 0..scene.fits.len() {
                let (units, size) = if fit == 0 { (Units::Us, Size::Letter) } else { (Units::Metric, Size::A4) };
                all.push((name.to_owned(), scene.clone(), fit, set(&scene, fit, units, size)));
            }
        }
        all
    })
}

fn width(words: &str, size: f64, bold: bool) -> f64 {
    const REGULAR: &[u8] = include_bytes!("../assets/fonts/AtkinsonHyperlegible-Regular.ttf");
    const BOLD: &[u8] = include_bytes!("../assets/fonts/AtkinsonHyperlegible-Bold.ttf");
    let face = Face::parse(if bold { BOLD } else { REGULAR }, 0).expect("a face");
    let each = |letter: char| {
        let glyph = face.glyph_index(letter).unwrap_or_else(|| panic!("the typeface has no {letter:?}: {words}"));
        f64::from(face.glyph_hor_advance(glyph).expect("an advance"))
    };
    words.chars().map(each).sum::<f64>() / f64::from(face.units_per_em()) * size
}

/// Words of a page with the box they stand in: left, top, right, bottom.
struct Written {
    words: String,
    at: [f64; 4],
}

fn attribute(element: &str, name: &str) -> Option<f64> {
    let (_, rest) = element.split_once(&format!(" {name}=\""))?;
    rest.split('"').next()?.parse().ok()
}

fn unescaped(words: &str) -> String {
    words.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&apos;", "'").replace("&amp;", "&")
}

/// Every text of a page, where it stands on the paper. Drawings in windows of their own are left out: these are cut, or lie on their side.
fn written(page: &str) -> Vec<Written> {
    let (mut shifts, mut out, mut windows) = (vec![(0.0, 0.0)], Vec::new(), 0);
    let mut rest = page.split_once('>').expect("an svg element").1;
    while let Some((_, after)) = rest.split_once('<') {
        let (tag, inside) = after.split_once('>').expect("a tag");
        rest = inside;
        // What is made smaller is such a drawing.
        if tag.starts_with("g ") && (windows > 0 || tag.contains("\"scale(")) {
            shifts.push(shifts[shifts.len() - 1]);
        } else if tag.starts_with("g ") {
            let (x, y) = shifts[shifts.len() - 1];
            let moved = tag.split_once("translate(").and_then(|(_, at)| at.split_once(')')).map(|(at, _)| at);
            let moved: Vec<f64> =
                moved.into_iter().flat_map(|at| at.split(' ')).filter_map(|one| one.parse().ok()).collect();
            let [dx, dy] = moved[..] else { panic!("only shifts: {tag}") };
            shifts.push((x + dx, y + dy));
        } else if tag == "/g" {
            shifts.pop();
        } else if tag.starts_with("svg ") {
            windows += 1;
        } else if tag == "/svg" {
            windows -= 1;
        } else if tag.starts_with("text ") && windows == 0 {
            let words = unescaped(inside.split_once("</text>").expect("its end").0.trim());
            let size = attribute(tag, "font-size").expect("a size");
            let wide = width(&words, size, tag.contains("bold"));
            let (dx, dy) = shifts[shifts.len() - 1];
            let (x, y) = (attribute(tag, "x").expect("x") + dx, attribute(tag, "y").expect("y") + dy);
            let left = if tag.contains("\"middle\"") {
                x - wide / 2.0
            } else if tag.contains("\"end\"") {
                x - wide
            } else {
                x
            };
            // From the height of a small letter to the line.
            out.push(Written { words, at: [left, y - 0.55 * size, left + wide, y] });
        }
    }
    out
}

fn all_words(page: &str) -> String {
    written(page).into_iter().map(|one| one.words).collect::<Vec<_>>().join(" ")
}

#[test]
fn no_words_stand_on_words_and_none_outside_the_margins() {
    let mut looked_at = 0;
    for (name, _, fit, paper) in sets() {
        let (wide, high) = paper.size.millimetres();
        for (n, page) in pages(paper).iter().enumerate() {
            let all = written(page);
            looked_at += all.len();
            for (m, one) in all.iter().enumerate() {
                let [left, top, right, bottom] = one.at;
                let place = format!("\"{}\" on page {} of {name}, fit {fit}", one.words, n + 1);
                assert!(
                    left >= 14.0 && right <= wide - 14.0 && top >= 8.0 && bottom <= high - 7.0,
                    "{place} at {:?}",
                    one.at
                );
                for other in &all[m + 1..] {
                    let apart = right <= other.at[0] + 0.05
                        || other.at[2] <= left + 0.05
                        || bottom <= other.at[1] + 0.05
                        || other.at[3] <= top + 0.05;
                    assert!(
                        apart || one.words.is_empty() || other.words.is_empty(),
                        "{place} stands on \"{}\"",
                        other.words
                    );
                }
            }
        }
    }
    assert!(looked_at > 5000, "{looked_at} pieces of text");
}

#[test]
fn every_page_tells_boat_fit_day_program_number_and_caution() {
    for (_, scene, fit, paper) in sets() {
        let all = pages(paper);
        for (n, page) in all.iter().enumerate() {
            let words = all_words(page);
            for needed in [
                scene.name.as_str(),
                &scene.fits[*fit].name,
                "2027-05-04",
                concat!("lampwalk ", env!("CARGO_PKG_VERSION")),
                &format!("page {} of {}", n + 1, all.len()),
                "Local rules, the lamp maker's instructions",
                "Isolate the battery before",
            ] {
                assert!(words.contains(needed), "no {needed:?} on page {}: {words}", n + 1);
            }
        }
    }
}

#[test]
fn the_pdf_has_the_pages_and_the_size_of_the_paper() {
    for (name, _, _, paper) in sets() {
        let bytes = pdf(paper).unwrap_or_else(|error| panic!("{error}"));
        let read = Pdf::new(Arc::new(bytes)).expect("a PDF that another program reads");
        let read = read.pages();
        assert_eq!(read.len(), pages(paper).len(), "{name}");
        let (wide, high) = paper.size.millimetres();
        for page in read.iter() {
            let (width, height) = page.render_dimensions();
            assert!((f64::from(width) / 72.0 * 25.4 - wide).abs() < 0.05, "{width}");
            assert!((f64::from(height) / 72.0 * 25.4 - high).abs() < 0.05, "{height}");
        }
    }
}

/// Pixels in a millimetre of a page rasterised to be measured.
const FINE: f64 = 20.0;

fn rasterised(paper: &Paper, page: usize) -> Pixmap {
    let read = Pdf::new(Arc::new(pdf(paper).expect("a PDF"))).expect("a PDF");
    let scale = (FINE * 25.4 / 72.0) as f32;
    let settings = RenderSettings { x_scale: scale, y_scale: scale, bg_color: WHITE, ..RenderSettings::default() };
    render(&read.pages()[page], &InterpreterSettings::default(), &settings)
}

/// The longest level run of dark pixels on a page, in millimetres, and where it begins across.
fn longest_dark_run(picture: &Pixmap) -> (f64, f64) {
    let wide = usize::from(picture.width());
    let mut best = (0, 0);
    for row in picture.data().chunks(wide) {
        let mut run = 0;
        for (x, pixel) in row.iter().enumerate() {
            let dark = u32::from(pixel.r) + u32::from(pixel.g) + u32::from(pixel.b) < 150;
            run = if dark { run + 1 } else { 0 };
            if run > best.0 {
                best = (run, x + 1 - run);
            }
        }
    }
    (best.0 as f64 / FINE, best.1 as f64 / FINE)
}

#[test]
fn the_check_bar_is_a_hundred_millimetres_on_the_print() {
    for size in [Size::A4, Size::Letter] {
        let bar = Section { blocks: vec![Block::CheckBar], ..Section::default() };
        let paper = Paper { size, sections: vec![bar], ..Paper::default() };
        // The rules at head and foot are not so dark.
        let (length, left) = longest_dark_run(&rasterised(&paper, 0));
        assert!((length - 100.0).abs() < 0.1, "{length} mm");
        assert!((left - 18.0).abs() < 0.1, "{left} mm");
    }
}

#[test]
fn a_bracket_s_sheet_holds_the_check_bar_and_the_piece_in_true_scale() {
    let (_, scene, fit, paper) =
        sets().iter().find(|(name, _, fit, _)| name == "sandpiper" && *fit == 1).expect("a boat with brackets");
    let page =
        pages(paper).iter().position(|page| all_words(page).contains("100 mm: measure this bar")).expect("its page");
    let picture = rasterised(paper, page);
    let (length, _) = longest_dark_run(&picture);
    assert!((length - 100.0).abs() < 0.1, "{length} mm");
    // Below the flat plate its width is drawn as a dimension: a level line with a tick at either end.
    let bracket = for_lamp(scene, &scene.fits[*fit], 0).expect("a bracket");
    let (low, high) = bounds(&bracket.pieces[0].outline);
    let run = high.x - low.x;
    let wide = usize::from(picture.width());
    let mut runs = Vec::new();
    for row in picture.data().chunks(wide) {
        let mut length = 0;
        for pixel in row.iter().chain(std::iter::once(&row[0])) {
            if u32::from(pixel.r) < 128 {
                length += 1;
            } else if length > 0 {
                runs.push(f64::from(length) / FINE);
                length = 0;
            }
        }
    }
    assert!(runs.iter().any(|length| (length - run).abs() < 0.3), "no line of {run} mm");
}

#[test]
fn the_html_holds_every_lamp_s_figures_and_needs_nothing_else() {
    for (name, scene, fit, paper) in sets() {
        let page = unescaped(&html(paper));
        let units = if *fit == 0 { Units::Us } else { Units::Metric };
        for mark in marking(scene, &scene.fits[*fit]) {
            let mut figures = vec![units.tape(mark.forward.0)];
            figures.extend((mark.lamp_above.0.abs() > 0.0005).then(|| units.tape(mark.lamp_above.0)));
            figures.extend(
                mark.crossing
                    .iter()
                    .flat_map(|one| one.tapes.iter().chain(&one.check))
                    .map(|tape| units.tape(tape.length.0)),
            );
            figures
                .extend(mark.squaring.iter().flat_map(|one| [units.tape(one.crossed.0), units.tape(one.diagonal.0)]));
            for figure in figures {
                assert!(page.contains(&figure), "{name}: no {figure} of {}", mark.name);
            }
        }
        for bracket in
            (0..scene.fits[*fit].lamps.len()).filter_map(|lamp| for_lamp(scene, &scene.fits[*fit], lamp).ok())
        {
            for hole in bracket.pieces.iter().flat_map(|piece| &piece.holes) {
                assert!(page.contains(&units.hole(hole.drill)));
            }
        }
        let walk = walk_round(scene, &scene.fits[*fit], international(), Round::of(scene));
        for chalk in walk.stations.iter().map(|one| &one.chalk).chain(walk.edges.iter().flat_map(|one| &one.chalks)) {
            assert!(
                page.contains(&units.ground(chalk.along.0.abs())) && page.contains(&units.ground(chalk.out.0.abs()))
            );
        }
        for setting in &walk.settings {
            assert!(page.contains(&setting.words), "{}", setting.words);
        }
        for outside in ["<script", "http:", "https:", "<link", "@import", "url(", " src="] {
            let found = page.replace("http://www.w3.org/2000/svg", "");
            assert!(!found.contains(outside), "{name}: {outside}");
        }
    }
}

#[test]
fn names_cannot_break_the_html_or_the_pages() {
    let mut scene = scene("sandpiper");
    let odd = "<b>&\"\u{1}";
    scene.name = odd.into();
    scene.fits[1].lamps[0].name = odd.into();
    let paper = set(&scene, 1, Units::Metric, Size::A4);
    assert!(!html(&paper).contains("<b>") && html(&paper).contains("&lt;b&gt;&amp;&quot;"));
    assert!(pdf(&paper).is_ok());
}

#[test]
fn the_same_sheets_give_the_same_bytes() {
    let (.., paper) = &sets()[0];
    assert_eq!(pdf(paper).expect("a PDF"), pdf(paper).expect("a PDF"));
}

#[test]
fn a_table_that_goes_on_has_its_heads_on_every_page_and_no_row_twice() {
    let rows: Vec<Vec<Cell>> =
        (0..150).map(|n| vec![format!("row number {n};").into(), Cell::Tick("done".into())]).collect();
    let table = Table { heads: vec!["First head".into(), "Second head".into()], shares: vec![1.0, 1.0], rows };
    let paper = Paper { sections: vec![Section::new("Long", vec![Block::Table(table)])], ..Paper::default() };
    let all = pages(&paper);
    assert!(all.len() > 2);
    assert!(all.iter().all(|page| page.matches("First head").count() == 1));
    let together = all.concat();
    for n in 0..150 {
        assert_eq!(together.matches(&format!("row number {n};")).count(), 1);
    }
}

#[test]
fn a_drawing_larger_than_the_paper_is_spread_over_sheets_that_overlap() {
    let elements = "<path d=\"M5 5 H395 V495 H5 Z\" fill=\"none\" stroke=\"#1d2126\" stroke-width=\"0.5\"/>";
    let drawing =
        Drawing { name: "plate".into(), width: 400.0, height: 500.0, elements: elements.into(), true_scale: true };
    let section = Section::new("Large", vec![Block::Drawings(vec![drawing])]);
    let paper = Paper { sections: vec![section], ..Paper::default() };
    let all = pages(&paper);
    let windows: Vec<[f64; 6]> = all
        .iter()
        .flat_map(|page| {
            page.match_indices("<svg x=")
                .map(|(at, _)| page[at..].split_once('>').expect("a tag").0)
                .collect::<Vec<_>>()
        })
        .map(|tag| {
            let view = tag.split_once("viewBox=\"").expect("a view").1.split('"').next().expect("figures");
            let view: Vec<f64> = view.split(' ').map(|one| one.parse().expect("a figure")).collect();
            let (wide, high) = (attribute(tag, "width").expect("width"), attribute(tag, "height").expect("height"));
            [view[0], view[1], view[2], view[3], wide, high]
        })
        .collect();
    assert_eq!(windows.len(), 9, "three by three");
    // True scale: what is seen is as large as its window. Together they cover the whole, with a strip in common.
    assert!(windows.iter().all(|one| one[2] == one[4] && one[3] == one[5]));
    for spot in [(1.0, 1.0), (399.0, 1.0), (200.0, 250.0), (399.0, 499.0), (1.0, 499.0)] {
        let sees = |one: &&[f64; 6]| {
            (one[0]..=one[0] + one[2]).contains(&spot.0) && (one[1]..=one[1] + one[3]).contains(&spot.1)
        };
        assert!(windows.iter().any(|one| sees(&one)), "{spot:?}");
    }
    let mut lefts: Vec<f64> = windows.iter().map(|one| one[0]).collect();
    lefts.sort_by(f64::total_cmp);
    lefts.dedup();
    assert!(lefts.windows(2).all(|pair| pair[1] - pair[0] < windows[0][2] - 5.0));
    // Crosses to lay the sheets by stand on every sheet, twice at least.
    assert!(
        all.iter()
            .filter(|page| page.contains("<svg x="))
            .all(|page| page.matches("r=\"1\" fill=\"none\"").count() >= 4)
    );
}

fn lampwalk(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lampwalk")).args(args).output().expect("the program runs")
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_command_writes_a_set_for_each_fit_or_for_the_one_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let (out, place) = (folder.path().join("made/for it"), path("sandpiper"));
    let (out_name, place) = (out.display().to_string(), place.display().to_string());
    let done = lampwalk(&["sheet", &place, "-o", &out_name, "--fit", "proposed", "--date", "2027-05-04"]);
    let mut names: Vec<String> = fs::read_dir(&out)
        .unwrap_or_else(|_| panic!("{}", told(&done)))
        .map(|one| one.expect("a file").file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(names, ["sandpiper-proposed-fit.html", "sandpiper-proposed-fit.pdf"]);
    assert_eq!(done.status.code(), Some(0), "{}", told(&done));
    assert!(fs::read_to_string(out.join(&names[0])).expect("text").contains("2027-05-04"));
    let both = lampwalk(&["sheet", &place, "-o", &out_name, "--units", "us", "--paper", "letter"]);
    assert_eq!(both.status.code(), Some(1), "what was found falls short: {}", told(&both));
    assert_eq!(fs::read_dir(&out).expect("a folder").count(), 4);
}

#[test]
fn wrong_input_is_told_with_how_to_mend_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let (place, out) = (path("sandpiper").display().to_string(), folder.path().join("out").display().to_string());
    let file = folder.path().join("taken");
    fs::write(&file, "mine").expect("a file");
    let taken = file.display().to_string();
    for (args, words) in [
        (vec!["sheet", &place, "-o", &out, "--fit", "propsed"], &["no fit named \"propsed\"", "\"proposed\""][..]),
        (vec!["sheet", &place, "-o", &taken], &["is a file", "name another"]),
        (vec!["sheet", &place, "-o", &out, "--date", "2027-02-30"], &["no such day", "2027-12-31"]),
        (vec!["sheet", &place, "-o", &out, "--paper", "foolscap"], &["foolscap", "a4", "letter"]),
        (vec!["sheet", &place, "-o", &out, "--units", "cubits"], &["cubits", "metric", "us"]),
        (vec!["sheet", &place, "-o", &out, "--rules", "nowhere"], &["no rule set", "international"]),
        (vec!["sheet", "nowhere.ron", "-o", &out], &["nowhere.ron"]),
        (vec!["sheet", &place], &["--output"]),
    ] {
        let output = lampwalk(&args);
        assert_eq!(output.status.code(), Some(2), "{args:?}: {}", told(&output));
        for needed in words {
            assert!(told(&output).contains(needed), "{args:?}: no {needed:?} in {}", told(&output));
        }
    }
    assert_eq!(fs::read_to_string(&file).expect("the file"), "mine");
    assert!(!Path::new(&out).exists(), "nothing is written for wrong input");
}
