//! One lamp's strip: its heading and caption, the names of silhouettes, the view itself, the sector, the scale of bearings.

use svg::node::element::{Path, Rectangle, Title};

use super::{
    cells::Frame,
    names::Names,
    page::{HATCH, HIDDEN, LEFT, LINE, MARGIN, PALE, ROOM, SEA, SHADES, SKY, SOLID, VEIL, WIDTH},
};
use crate::{
    light::Colour,
    measure::{Arc, Bearing, Degrees, listed, trimmed},
    rules::{Service, services},
    sheet::{
        Surveyed, capitalised,
        figure::inks,
        pen::{INK, Pen, SMALL, two, width_of},
        wrap,
    },
    survey::{LightSurvey, Outlook, Shadow},
};

/// Height of the view, millimetres: the least, and the most where there is room.
pub(super) const TALL: (f64, f64) = (24.0, 36.0);
/// Height of the bar beneath it that shows where the light is due.
const BAR: f64 = 4.4;
/// Of a bar that nothing is due on.
const GROUND: &str = "#e6e8ea";
/// At most so many shadows are told in a caption.
const TOLD: usize = 4;

/// See the module.
pub(super) struct Strip<'a> {
    name: &'a str,
    /// What it serves as, where its name does not say so.
    heading: String,
    caption: Vec<String>,
    outlook: Outlook,
    services: Vec<Service<'a>>,
    names: Names,
}

/// A strip for each lamp that is lit, in the order of the fit.
pub(super) fn strips<'a>(surveyed: &Surveyed<'a>) -> Vec<Strip<'a>> {
    let Surveyed { scene, fit, survey, judgement } = *surveyed;
    let all = services(scene, fit, survey, judgement);
    let lit = fit.lamps.iter().enumerate().filter(|(_, lamp)| lamp.lit.contains(&survey.status));
    lit.map(|(index, lamp)| {
        let services: Vec<Service> = all.iter().filter(|one| one.light.lamp == index).copied().collect();
        let outlook = survey.rest().outlook(index);
        let matters = |bearing, elevation| is_due(&services, bearing, elevation);
        let kept: Vec<Bearing> = services.iter().flat_map(edges).collect();
        let names = Names::of(surveyed, &outlook, &frame(0.0, TALL.0), &matters, &kept);
        let caption = wrap::lines(&caption(surveyed, index, &services), ROOM, |piece| width_of(piece, SMALL));
        let heading = heading(&lamp.name, lamp.role.in_words(), &services);
        Strip { name: &lamp.name, heading, caption, outlook, services, names }
    })
    .collect()
}

/// Whether light is asked for in a direction, within the elevations of Annex I 10.
fn is_due(services: &[Service], bearing: Bearing, elevation: Degrees) -> bool {
    let due =
        |one: &Service| one.sector.arc().contains(bearing) && elevation.0.abs() <= one.vertical.reach(bearing).0 + 1e-9;
    services.iter().any(due)
}

fn frame(top: f64, height: f64) -> Frame {
    Frame { left: LEFT, top, width: WIDTH - MARGIN - LEFT, height }
}

/// How much taller heights are drawn than bearings wide.
pub(super) fn stretch(tall: f64) -> f64 {
    let frame = frame(0.0, tall);
    frame.height / (2.0 * Outlook::HIGHEST) / (frame.width / 360.0)
}

/// "pole top: all-round white light"; the name alone where it says as much.
fn heading(name: &str, role: &str, services: &[Service]) -> String {
    let kinds: Vec<&str> = services.iter().map(|one| one.kind.in_words()).collect();
    let told = if kinds.is_empty() { format!("{role}, no light of this display") } else { listed(&kinds) };
    let known = name.to_lowercase();
    let says = kinds.len() == 1 && told.trim_end_matches(" light").split(' ').all(|word| known.contains(word));
    capitalised(&if says { name.to_owned() } else { format!("{name}: {told}") })
}

/// What hides the lamp level with the horizon, in the survey's own figures.
fn caption(surveyed: &Surveyed, lamp: usize, services: &[Service]) -> String {
    let lights: Vec<&LightSurvey> = surveyed.survey.lights.iter().filter(|light| light.light.lamp == lamp).collect();
    let told = |light: &LightSurvey| {
        let sectors: Vec<Arc> =
            services.iter().filter(|one| one.light == light.light).map(|one| one.sector.arc()).collect();
        let within =
            |shadow: &&Shadow| services.is_empty() || sectors.iter().any(|sector| overlap(*sector, shadow.arc));
        let shadows: Vec<&Shadow> = light.shadows.iter().filter(within).collect();
        let mut darkest = shadows.clone();
        // The darkest are told, of those alike the widest, in the order of their bearings.
        darkest.sort_by(|a, b| a.least_visible.total_cmp(&b.least_visible).then(b.arc.width.total_cmp(&a.arc.width)));
        darkest.truncate(TOLD);
        let told = shadows.iter().filter(|shadow| darkest.contains(shadow));
        let mut pieces: Vec<String> = told.map(|shadow| in_words(surveyed, shadow)).collect();
        match shadows.len() - darkest.len() {
            0 => {}
            1 => pieces.push("and on 1 more arc".into()),
            more => pieces.push(format!("and on {more} more arcs")),
        }
        pieces
    };
    let colour =
        |light: &LightSurvey| if lights.len() > 1 { format!("{}: ", light.colour.name()) } else { String::new() };
    let hidden: Vec<String> = lights
        .iter()
        .filter_map(|light| {
            let pieces = told(light);
            (!pieces.is_empty()).then(|| format!("{}hidden by {}", colour(light), pieces.join("; ")))
        })
        .collect();
    match (hidden.is_empty(), services.is_empty()) {
        (false, _) => format!("Level with the horizon, {}.", hidden.join("; ")),
        (true, false) => "Level with the horizon, nothing aboard hides it where it must show.".into(),
        (true, true) => "Level with the horizon, nothing aboard hides it.".into(),
    }
}

/// "port bow stanchion from 3.1 to 5.9 degrees on the starboard bow, at most 40 percent".
fn in_words(surveyed: &Surveyed, shadow: &Shadow) -> String {
    let names: Vec<String> = shadow.by.iter().map(|owner| surveyed.scene.owner_name(surveyed.fit, *owner)).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).take(TOLD).collect();
    let by = if names.is_empty() { "the boat's own solids".into() } else { listed(&names) };
    let percent = match (1.0 - shadow.least_visible) * 100.0 {
        all if all >= 99.5 => "wholly at worst".into(),
        some if some < 1.0 => "by less than 1 percent".into(),
        some => format!("at most {} percent", trimmed(some, 0)),
    };
    format!("{by} {}, {percent}", shadow.arc.in_words())
}

/// Whether two arcs share more than an edge.
fn overlap(one: Arc, other: Arc) -> bool {
    const EDGE: f64 = 0.02;
    let ahead = (other.from.degrees() - one.from.degrees()).rem_euclid(360.0);
    ahead < one.width - EDGE || ahead + other.width > 360.0 + EDGE
}

impl Strip<'_> {
    fn above(&self) -> f64 {
        4.6 + LINE * self.caption.len() as f64 + self.names.depth() + 0.6
    }

    /// What it takes of the page besides the view, millimetres.
    pub fn around(&self) -> f64 {
        self.above() + BAR + 9.0
    }

    /// Draws it from `top` down, the view being `tall`.
    pub fn draw(&self, pen: &mut Pen, top: f64, tall: f64) {
        let size = (3.9 * ROOM / width_of(&self.heading, 4.2)).min(3.9);
        pen.heavy_words((MARGIN, top + 3.6), size, "start", &self.heading);
        for (index, line) in self.caption.iter().enumerate() {
            pen.words((MARGIN, top + 8.0 + LINE * index as f64), SMALL, "start", line);
        }
        let frame = frame(top + self.above(), tall);
        self.view(pen, &frame);
        self.veil(pen, &frame);
        self.sector(pen, &frame);
        self.bar(pen, &frame);
        elevations(pen, &frame);
        scale(pen, &frame);
        self.names.draw(pen, &frame);
    }

    /// Sky, sea, and the silhouettes before them: paler where only some of the face is hidden.
    fn view(&self, pen: &mut Pen, frame: &Frame) {
        let horizon = frame.y(Degrees(0.0));
        for (top, bottom, fill) in [(frame.top, horizon, SKY), (horizon, frame.bottom(), SEA)] {
            let place = Rectangle::new().set("x", two(frame.left)).set("y", two(top)).set("width", two(frame.width));
            pen.add(place.set("height", two(bottom - top)).set("fill", fill));
        }
        let hidden = |column: u32, row: u32| self.outlook.hidden(column, row);
        let due = |column: u32, row: u32| is_due(&self.services, Outlook::bearing(column), Outlook::elevation(row));
        for (least, opacity) in SHADES {
            let held = |column, row| hidden(column, row) >= least && !due(column, row);
            shade(pen, frame.outline(held), SOLID, opacity);
            let held = |column, row| hidden(column, row) >= least && due(column, row);
            shade(pen, frame.outline(held), HIDDEN, opacity);
        }
        let hatched = frame.outline(|column, row| hidden(column, row) >= SHADES[0].0 && due(column, row));
        shade(pen, hatched, HATCH, 1.0);
        let owner = |(column, row): (u32, u32)| self.outlook.owner(column, row);
        let parted = |one, other| matches!((owner(one), owner(other)), (Some(one), Some(other)) if one != other);
        pen.path(frame.borders(2, parted), "none", "#ffffff", 0.16);
        pen.path(format!("M{} {} H{}", two(frame.left), two(horizon), two(frame.right())), "none", "#ffffff", 0.2);
    }

    /// Pales what lies outside every sector.
    fn veil(&self, pen: &mut Pen, frame: &Frame) {
        let mut lit: Vec<(f64, f64)> = self.services.iter().flat_map(|one| frame.stretches(one.sector.arc())).collect();
        lit.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut from = frame.left;
        if lit.is_empty() {
            return;
        }
        for (start, end) in lit.into_iter().chain([(frame.right(), frame.right())]) {
            if start > from + 1e-6 {
                let place = Rectangle::new().set("x", two(from)).set("y", two(frame.top));
                let place = place.set("width", two(start - from)).set("height", two(frame.height));
                pen.add(place.set("fill", PALE).set("fill-opacity", VEIL));
            }
            from = from.max(end);
        }
    }

    /// Edges in bearings, and the elevations of Annex I 10.
    fn sector(&self, pen: &mut Pen, frame: &Frame) {
        let outline = format!(
            "M{} {} H{} V{} H{} Z",
            two(frame.left),
            two(frame.top),
            two(frame.right()),
            two(frame.bottom()),
            two(frame.left)
        );
        let path = Path::new().set("d", outline).set("fill", "none").set("stroke", INK).set("stroke-width", 0.3);
        pen.add(path.add(Title::new(format!("What {} looks out on", self.name))));
        for one in &self.services {
            for (from, to) in frame.stretches(one.sector.arc()) {
                for elevation in [one.vertical.full, -one.vertical.full].map(Degrees) {
                    let y = two(frame.y(elevation));
                    let line = Path::new().set("d", format!("M{} {y} H{}", two(from), two(to))).set("fill", "none");
                    pen.add(line.set("stroke", "#ffffff").set("stroke-width", 0.35).set("stroke-dasharray", "1.6 1"));
                }
            }
            for edge in edges(one) {
                let data = format!("M{} {} V{}", two(frame.x(edge)), two(frame.top - 0.8), two(frame.bottom() + BAR));
                let path = Path::new().set("d", data).set("fill", "none").set("stroke", INK).set("stroke-width", 0.6);
                let words = format!("{}: edge of the {} at {edge}", self.name, one.kind.in_words());
                pen.add(path.add(Title::new(words)));
            }
        }
    }

    /// Where the light is due, in its own colour, with the bearings of its edges.
    fn bar(&self, pen: &mut Pen, frame: &Frame) {
        let top = frame.bottom();
        block(pen, (frame.left, frame.right()), top, GROUND);
        if self.services.is_empty() {
            let middle = frame.left + frame.width / 2.0;
            pen.words((middle, top + 3.3), SMALL, "middle", "no light of this display: nothing is asked of it");
        }
        for one in &self.services {
            let (tint, _) = inks(one.sector.colour);
            let edges = edges(one);
            for (from, to) in frame.stretches(one.sector.arc()) {
                block(pen, (from, to), top, tint);
                hatching(pen, (from, to), top, one.sector.colour);
                // The words stand between the bearings of whichever edges this piece has.
                let (mut start, mut end) = (from + 1.0, to - 1.0);
                for edge in &edges {
                    let (x, words) = (frame.x(*edge), edge.to_string());
                    let width = width_of(&words, SMALL);
                    if (x - from).abs() < 0.01 {
                        bar_words(pen, (from + 1.2, top), "start", tint, &words);
                        start = from + 2.6 + width;
                    } else if (x - to).abs() < 0.01 {
                        bar_words(pen, (to - 1.2, top), "end", tint, &words);
                        end = to - 2.6 - width;
                    }
                }
                let [short, long] = [one.kind.in_words().to_owned(), format!("{} must show", one.kind.in_words())];
                if let Some(words) = [long, short].into_iter().find(|words| width_of(words, SMALL) + 2.0 <= end - start)
                {
                    bar_words(pen, ((start + end) / 2.0, top), "middle", tint, &words);
                }
            }
        }
    }
}

/// Words within a bar, on a plain ground that stops the hatching.
fn bar_words(pen: &mut Pen, (x, top): (f64, f64), anchor: &str, ground: &str, words: &str) {
    let wide = width_of(words, SMALL) + 1.2;
    let left = match anchor {
        "start" => x - 0.6,
        "end" => x + 0.6 - wide,
        _ => x - wide / 2.0,
    };
    pen.path(
        format!("M{} {} h{} v{} h-{} Z", two(left), two(top + 0.4), two(wide), BAR - 0.8, two(wide)),
        ground,
        "none",
        0.0,
    );
    pen.words((x, top + 3.3), SMALL, anchor, words);
}

/// The edges of a sector, the one it starts from first; none of an all-round light.
fn edges(service: &Service) -> Vec<Bearing> {
    let arc = service.sector.arc();
    if service.sector.is_all_round() { Vec::new() } else { vec![arc.from, arc.to()] }
}

fn shade(pen: &mut Pen, data: String, fill: &str, opacity: f64) {
    if !data.is_empty() {
        pen.add(Path::new().set("d", data).set("fill", fill).set("fill-opacity", opacity));
    }
}

fn block(pen: &mut Pen, (from, to): (f64, f64), top: f64, fill: &str) {
    pen.path(format!("M{} {} H{} v{BAR} H{} Z", two(from), two(top), two(to), two(from)), fill, INK, 0.3);
}

/// The hatching of a colour over a bar, as in the other drawings.
fn hatching(pen: &mut Pen, (from, to): (f64, f64), top: f64, colour: Colour) {
    let (_, line) = inks(colour);
    let across = |gap: f64| (1..).map(move |n| from + gap * f64::from(n)).take_while(move |x| *x < to - 0.4);
    let (data, width): (String, f64) = match colour {
        Colour::Red => {
            let levels = [0.25, 0.5, 0.75].map(|share| two(top + BAR * share));
            (levels.map(|y| format!("M{} {y} H{} ", two(from), two(to))).concat(), 0.25)
        }
        Colour::Green => (across(1.5).map(|x| format!("M{} {} v{BAR} ", two(x), two(top))).collect(), 0.25),
        Colour::White => return,
        Colour::Yellow => (across(2.0).map(|x| format!("M{} {} h0.8 ", two(x), two(top + BAR / 2.0))).collect(), 0.8),
    };
    pen.path(data, "none", line, width);
}

/// Degrees up and down, beside the strip.
fn elevations(pen: &mut Pen, frame: &Frame) {
    let highest = trimmed(Outlook::HIGHEST, 1);
    let marks = [
        (Outlook::HIGHEST, format!("{highest} up")),
        (5.0, "5".into()),
        (0.0, "level".into()),
        (-5.0, "5".into()),
        (-Outlook::HIGHEST, format!("{highest} down")),
    ];
    for (up, words) in marks {
        let y = frame.y(Degrees(up));
        pen.line((frame.left - 1.2, y), (frame.left, y), 0.3, "");
        pen.words((frame.left - 1.8, y + 1.1), SMALL, "end", &words);
    }
}

/// Bearings under the strip: a tick every two points, figures every four, words at the quarters.
fn scale(pen: &mut Pen, frame: &Frame) {
    let top = frame.bottom() + BAR;
    for n in 0..=16u32 {
        let round = f64::from(n) * 22.5;
        let bearing = Bearing::new(180.0 + round);
        let x = frame.across(round);
        pen.line((x, top), (x, top + if n % 2 == 0 { 1.8 } else { 1.0 }), 0.3, "");
        if n % 2 != 0 {
            continue;
        }
        let words = match n {
            0 | 16 => format!("{bearing} astern"),
            4 => format!("{bearing} port beam"),
            8 => format!("{bearing} ahead"),
            12 => format!("{bearing} starboard beam"),
            _ => bearing.to_string(),
        };
        let anchor = match n {
            0 => "start",
            16 => "end",
            _ => "middle",
        };
        pen.words((x, top + 5.0), SMALL, anchor, &words);
    }
}
