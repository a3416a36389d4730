//! Carries out edits: finds where in the file each is written, and has the pen write it there.
//!
//! Takes an edit and the scene that stood in the text; leaves the pen's text changed. Must never ask whether the scene
//! that comes of it can be.

use super::{
    body::Written,
    pen::{At, Done, NotThere, Pen, number, text},
    words,
};
use crate::{
    boat::{
        Along, Face, Lamp, Mount, Part, Place, Scene, Status,
        read::text::{Node, Value},
    },
    edit::{Edit, Figure, LampAt, Spot, Subject},
    measure::{Degrees, Metres},
};

/// Why an edit cannot be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// What it is about is not there.
    NotThere,
    /// A lamp that is none of the library's, or a mesh: told by a file, and so only copied.
    OnlyCopied,
}

impl From<NotThere> for Trouble {
    fn from(_: NotThere) -> Self {
        Self::NotThere
    }
}

type Outcome = Result<(), Trouble>;

const ROOT: &[&str] = &["name", "note", "vessel", "conditions", "parts", "helm", "fits"];
const VESSEL: &[&str] =
    &["length", "beam", "freeboard", "depth", "propulsion", "also", "top_speed", "high_speed", "statuses", "hull"];
const HULL: &[&str] = &["sheer", "flare", "deck_camber", "bulwark", "transom"];
const CONDITIONS: &[&str] = &["visibility", "eyes", "near", "far", "trim", "heel", "steering", "swell", "waters"];
const PART: &[&str] = &[
    "name",
    "note",
    "file",
    "unit",
    "up",
    "forward",
    "at",
    "from",
    "to",
    "through",
    "cowling",
    "leg",
    "length",
    "width",
    "height",
    "diameter",
    "thickness",
    "yaw",
    "rake",
    "lean",
    "transmits",
    "steering",
    "tilt",
    "fold",
    "posture",
];
const LAMP: &[&str] = &[
    "name",
    "note",
    "role",
    "at",
    "mount",
    "bracket",
    "yaw",
    "tilt",
    "roll",
    "optics",
    "supply",
    "takes",
    "chromaticity",
    "face",
    "lit",
];
const FIT: &[&str] = &["name", "note", "lamps", "switches", "wiring"];
const PLACE: &[&str] = &["forward", "starboard", "port", "above_deck", "above_gunwale", "above_waterline"];
const JOINT: &[&str] = &["now", "least", "most"];
const TRIM: &[&str] = &["least", "most"];
const FACE: &[&str] = &["width", "height", "form", "bright"];

/// A path with more of it.
fn on(path: &[At], more: &[At]) -> Vec<At> {
    [path, more].concat()
}

fn fit(index: usize) -> Vec<At> {
    vec![At::Field("fits"), At::Item(index)]
}

fn part(index: usize) -> Vec<At> {
    vec![At::Field("parts"), At::Item(index)]
}

fn lamp(at: LampAt) -> Vec<At> {
    on(&fit(at.fit), &[At::Field("lamps"), At::Item(at.lamp)])
}

/// A list in the wiring of a fit.
fn wired(index: usize, list: &'static str) -> Vec<At> {
    on(&fit(index), &[At::Field("wiring"), At::Field(list)])
}

fn subject(what: Subject) -> Vec<At> {
    match what {
        Subject::Scene => Vec::new(),
        Subject::Part(index) => part(index),
        Subject::Fit(index) => fit(index),
        Subject::Lamp(at) => lamp(at),
    }
}

/// The list that holds a part, a lamp or a fit, and its place there.
fn entry(what: Subject) -> Result<(Vec<At>, usize), Trouble> {
    match what {
        Subject::Scene => Err(Trouble::NotThere),
        Subject::Part(index) => Ok((vec![At::Field("parts")], index)),
        Subject::Fit(index) => Ok((vec![At::Field("fits")], index)),
        Subject::Lamp(at) => Ok((on(&fit(at.fit), &[At::Field("lamps")]), at.lamp)),
    }
}

/// The order in which the fields of something are written.
fn order(what: Subject) -> &'static [&'static str] {
    match what {
        Subject::Scene => ROOT,
        Subject::Part(_) => PART,
        Subject::Fit(_) => FIT,
        Subject::Lamp(_) => LAMP,
    }
}

/// Writes an edit. `scene` is what stood in the text.
///
/// # Errors
/// When what it is about is not there, or only a file could tell it. The text may then be half changed.
pub fn write(pen: &mut Pen, edit: &Edit, scene: &Scene) -> Outcome {
    Hand { pen, scene, moved: false }.write(edit)
}

struct Hand<'p> {
    pen: &'p mut Pen,
    scene: &'p Scene,
    /// Whether indices no longer count as they do in the scene.
    moved: bool,
}

impl Hand<'_> {
    fn write(&mut self, edit: &Edit) -> Outcome {
        match edit {
            Edit::Move { what, to } => self.go(*what, to)?,
            Edit::Set { what, figure, to } => self.set(*what, *figure, *to)?,
            Edit::Trim { least, most } => self.trim(*least, *most)?,
            Edit::Eyes(eyes) => self.eyes(eyes)?,
            Edit::Postures { part: index, postures } => {
                let path = on(&part(*index), &[At::Field("posture")]);
                self.pen.write_list(&path, &words::postures(postures), &is_word)?;
            }
            Edit::Helm(person) => self.helm(*person)?,
            Edit::Remount { lamp, mount, at } => self.remount(*lamp, mount, at.as_ref())?,
            Edit::Role { lamp: at, role } => self.word(&on(&lamp(*at), &[At::Field("role")]), role.name())?,
            Edit::Optics { lamp: at, name } => {
                self.pen.write_text(&on(&lamp(*at), &[At::Field("optics")]), name)?;
            }
            Edit::Lit { lamp, lit } => self.lit(*lamp, lit)?,
            Edit::Face { lamp, face } => self.face(*lamp, face)?,
            Edit::Rename { what, name } => self.rename(*what, name)?,
            Edit::Note { what, note } => self.note(*what, note)?,
            Edit::AddLamp { at, lamp } => self.add_lamp(*at, lamp)?,
            Edit::AddPart { at, part } => self.add_part(*at, part)?,
            Edit::AddMesh { at, mesh } => {
                let neighbour = [At::Field("parts"), At::Item(at.saturating_sub(1))];
                let written = words::mesh(mesh, self.pen.layout(&neighbour));
                self.add(&[], ROOT, "parts", *at, written)?;
            }
            Edit::Copy { what, name } => self.copy(*what, name)?,
            Edit::Remove(what) => self.remove(*what)?,
            Edit::All { edits, .. } => edits.iter().try_for_each(|edit| self.write(edit))?,
        }
        Ok(())
    }

    /// The scene, unless indices no longer count as they do there.
    fn known(&self) -> Option<&Scene> {
        (!self.moved).then_some(self.scene)
    }

    fn word(&mut self, path: &[At], word: &str) -> Done {
        match self.pen.node(path) {
            Some(node) if is_word(node, word) => Ok(()),
            _ => self.pen.write(path, word),
        }
    }

    fn go(&mut self, what: Spot, to: &Place) -> Done {
        let path = match what {
            Spot::Lamp(at) => on(&lamp(at), &[At::Field("at")]),
            Spot::Part { part: index, nth } => {
                let own = part(index);
                match self.pen.node(&own).and_then(Node::head) {
                    Some("Rail") => on(&own, &[At::Field("through"), At::Item(nth)]),
                    Some("Capsule") => on(&own, &[At::Field(["from", "to"].get(nth).ok_or(NotThere)?)]),
                    _ if nth == 0 => on(&own, &[At::Field("at")]),
                    _ => return Err(NotThere),
                }
            }
        };
        self.place(&path, to)
    }

    /// Writes a place in the words in which it is written already, as far as they still hold.
    fn place(&mut self, path: &[At], to: &Place) -> Done {
        let metres = Figure::Length.places();
        self.pen.write_number(&on(path, &[At::Field("forward")]), to.forward, metres)?;
        let sides = ["starboard", "port"];
        match (self.first_of(path, &sides), words::side(to.starboard)) {
            (None, None) => {}
            (Some(word), None) => self.pen.write_number(&on(path, &[At::Field(word)]), 0.0, metres)?,
            (old, Some((word, off))) => self.exchange(path, old, word, off)?,
        }
        let levels = ["above_deck", "above_gunwale", "above_waterline"];
        let (word, up) = words::level(to.height);
        match self.first_of(path, &levels) {
            None if word == "above_deck" && words::metres(up) == "0" => Ok(()),
            old => self.exchange(path, old, word, up),
        }
    }

    fn first_of(&self, path: &[At], names: &[&'static str]) -> Option<&'static str> {
        names.iter().copied().find(|name| self.pen.has(&on(path, &[At::Field(name)])))
    }

    /// Writes a length in the field `word`, in place of `old` where another stood there.
    fn exchange(&mut self, path: &[At], old: Option<&'static str>, word: &'static str, value: f64) -> Done {
        let metres = Figure::Length.places();
        match old {
            Some(old) if old != word && self.pen.names(path, word) => {
                self.pen.add_field(path, word, Written::line(words::metres(value)), PLACE)?;
                self.pen.remove_field(path, old)
            }
            Some(old) => {
                if old != word {
                    self.pen.rename_field(path, old, word)?;
                }
                self.pen.write_number(&on(path, &[At::Field(word)]), value, metres)
            }
            None => self.pen.add_field(path, word, Written::line(words::metres(value)), PLACE),
        }
    }

    fn set(&mut self, what: Subject, figure: Figure, to: f64) -> Done {
        let mut path = subject(what);
        let own = figure.path();
        let full = on(&path, &own.iter().map(|name| At::Field(name)).collect::<Vec<_>>());
        if self.pen.has(&full) {
            return self.pen.write_number(&full, to, figure.places());
        }
        let words = number(to, figure.places());
        let now = self.known().and_then(|scene| figure.of(scene, what));
        if now.is_some_and(|now| number(now, figure.places()) == words) {
            return Ok(());
        }
        let mut order = order(what);
        for (nth, name) in own.iter().enumerate() {
            let next = on(&path, &[At::Field(name)]);
            if !self.pen.has(&next) {
                let value = own[nth + 1..].iter().rev().fold(words.clone(), |inner, name| format!("({name}: {inner})"));
                let head = if nth + 1 < own.len() { struct_name(name) } else { "" };
                return self.pen.add_field(&path, name, Written::line(format!("{head}{value}")), order);
            }
            path = next;
            order = order_inside(name);
        }
        Ok(())
    }

    /// Adds a field to the conditions, and these to the scene where there are none.
    fn add_condition(&mut self, name: &'static str, words: String) -> Done {
        let path = [At::Field("conditions")];
        if self.pen.has(&path) {
            return self.pen.add_field(&path, name, Written::line(words), CONDITIONS);
        }
        self.pen.add_field(&[], "conditions", Written::line(format!("Conditions({name}: {words})")), ROOT)
    }

    fn trim(&mut self, least: Degrees, most: Degrees) -> Done {
        let places = Figure::Heel.places();
        let [low, high] = [least, most].map(|angle| number(angle.0, places));
        let path = [At::Field("conditions"), At::Field("trim")];
        if !self.pen.has(&path) {
            let same = |(old, new): (Degrees, &String)| number(old.0, places) == *new;
            let (old_least, old_most) = self.scene.conditions.trim;
            if same((old_least, &low)) && same((old_most, &high)) {
                return Ok(());
            }
            return self.add_condition("trim", format!("(least: {low}, most: {high})"));
        }
        let under = on(&path, &[At::Field("least")]);
        if self.pen.has(&under) {
            self.pen.write_number(&under, least.0, places)?;
        } else if low != "0" {
            self.pen.add_field(&path, "least", Written::line(low), TRIM)?;
        }
        self.pen.write_number(&on(&path, &[At::Field("most")]), most.0, places)
    }

    fn eyes(&mut self, eyes: &[Metres]) -> Done {
        let written: Vec<String> = eyes.iter().map(|eye| words::metres(eye.0)).collect();
        let path = [At::Field("conditions"), At::Field("eyes")];
        if self.pen.has(&path) {
            return self.pen.write_list(&path, &written, &is_length);
        }
        let now = self.scene.conditions.eyes.iter().map(|eye| words::metres(eye.0));
        if now.eq(written.iter().cloned()) { Ok(()) } else { self.add_condition("eyes", words::list(written)) }
    }

    fn helm(&mut self, person: Option<usize>) -> Done {
        let Some(person) = person else { return self.pen.remove_field(&[], "helm") };
        let name = self.name(&part(person))?;
        if self.pen.has(&[At::Field("helm")]) {
            return self.pen.write_text(&[At::Field("helm")], &name);
        }
        self.pen.add_field(&[], "helm", Written::line(text(&name)), ROOT)
    }

    fn name(&self, path: &[At]) -> Result<String, NotThere> {
        match self.pen.node(&on(path, &[At::Field("name")])).map(|node| &node.value) {
            Some(Value::Text(name)) => Ok(name.clone()),
            _ => Err(NotThere),
        }
    }

    fn remount(&mut self, at: LampAt, mount: &Mount, place: Option<&Place>) -> Done {
        let own = lamp(at);
        let path = on(&own, &[At::Field("mount")]);
        let head = self.pen.node(&path).and_then(Node::head).map(String::from);
        match (head.as_deref(), mount) {
            (Some("Bracket" | "FlatOnDeck"), Mount::Bracket(line)) => self.along(&path, "Bracket", *line)?,
            (Some("Bracket" | "FlatOnDeck"), Mount::FlatOnDeck(line)) => self.along(&path, "FlatOnDeck", *line)?,
            (Some(_), _) if self.pen.written(&path) == Some(&words::mount(mount)) => {}
            _ => self.pen.write(&path, &words::mount(mount))?,
        }
        if matches!(mount, Mount::Pole(_)) {
            return self.pen.remove_field(&own, "at");
        }
        match place {
            Some(place) if self.pen.has(&on(&own, &[At::Field("at")])) => {
                self.place(&on(&own, &[At::Field("at")]), place)
            }
            Some(place) => self.pen.add_field(&own, "at", Written::line(words::place(place)), LAMP),
            None => Ok(()),
        }
    }

    /// Writes a mount that is set along a line over another of that kind.
    fn along(&mut self, path: &[At], head: &str, line: Along) -> Done {
        if self.pen.node(path).and_then(Node::head) != Some(head) {
            self.pen.write_head(path, head)?;
        }
        let field = on(path, &[At::Field("along")]);
        match line {
            _ if self.pen.has(&field) => self.word(&field, words::along(line)),
            Along::Centreline => Ok(()),
            Along::Gunwale => self.pen.add_field(path, "along", Written::line(words::along(line)), &[]),
        }
    }

    fn lit(&mut self, at: LampAt, lit: &[Status]) -> Done {
        let path = on(&lamp(at), &[At::Field("lit")]);
        let propulsion = self.scene.vessel.propulsion;
        let statuses = words::statuses(lit);
        if self.pen.has(&path) {
            let status = |word: &str| Status::ALL.iter().find(|status| status.name() == word);
            let plain = |word: &str| status(word).map(|status| status.plain(propulsion));
            return self.pen.write_list(
                &path,
                &statuses,
                &|node, word| matches!(&node.value, Value::Word(old) if plain(old) == plain(word)),
            );
        }
        let now = self.known().and_then(|scene| at.of(scene));
        let plain = |lit: &[Status]| lit.iter().map(|status| status.plain(propulsion)).collect::<Vec<_>>();
        if now.is_some_and(|now| now.lit == plain(lit)) {
            return Ok(());
        }
        self.pen.add_field(&lamp(at), "lit", Written::line(words::list(statuses)), LAMP)
    }

    fn face(&mut self, at: LampAt, face: &Face) -> Done {
        let path = on(&lamp(at), &[At::Field("face")]);
        if !self.pen.has(&path) {
            if words::face(face) == words::face(&words::USUAL_FACE) {
                return Ok(());
            }
            return self.pen.add_field(&lamp(at), "face", Written::line(words::face(face)), LAMP);
        }
        let tenths = Figure::Diameter.places();
        self.pen.write_number(&on(&path, &[At::Field("width")]), face.width, tenths)?;
        self.pen.write_number(&on(&path, &[At::Field("height")]), face.height, tenths)?;
        let usual = words::USUAL_FACE;
        self.choice(&path, "form", words::form(face.form), words::form(usual.form))?;
        self.choice(&path, "bright", words::bright(face.bright), words::bright(usual.bright))
    }

    /// Writes a word of a face that may be left out where it is the usual one.
    fn choice(&mut self, path: &[At], field: &'static str, word: &str, usual: &str) -> Done {
        let own = on(path, &[At::Field(field)]);
        match word {
            _ if self.pen.has(&own) => self.word(&own, word),
            word if word == usual => Ok(()),
            word => self.pen.add_field(path, field, Written::line(word), FACE),
        }
    }

    fn rename(&mut self, what: Subject, name: &str) -> Done {
        let path = subject(what);
        let old = self.name(&path)?;
        self.pen.write_text(&on(&path, &[At::Field("name")]), name)?;
        match what {
            Subject::Part(_) => self.rename_carrier(&old, name),
            Subject::Lamp(at) => self.rename_fed(at.fit, &old, name),
            Subject::Scene | Subject::Fit(_) => Ok(()),
        }
    }

    fn is_text(&self, path: &[At], wanted: &str) -> bool {
        matches!(self.pen.node(path).map(|node| &node.value), Some(Value::Text(text)) if text == wanted)
    }

    /// Gives all that mention a part its new name: the helm, and mounts.
    fn rename_carrier(&mut self, old: &str, name: &str) -> Done {
        if self.is_text(&[At::Field("helm")], old) {
            self.pen.write_text(&[At::Field("helm")], name)?;
        }
        for index in 0..self.pen.count(&[At::Field("fits")]) {
            for nth in 0..self.pen.count(&on(&fit(index), &[At::Field("lamps")])) {
                let mount = on(&lamp(LampAt { fit: index, lamp: nth }), &[At::Field("mount")]);
                self.pen.write_inner_text(&mount, old, name)?;
            }
        }
        Ok(())
    }

    fn rename_fed(&mut self, index: usize, old: &str, name: &str) -> Done {
        for list in self.lists_of_lamps(index) {
            for nth in 0..self.pen.count(&list) {
                let item = on(&list, &[At::Item(nth)]);
                if self.is_text(&item, old) {
                    self.pen.write_text(&item, name)?;
                }
            }
        }
        let routes = wired(index, "routes");
        for nth in 0..self.pen.count(&routes) {
            let own = on(&routes, &[At::Item(nth), At::Field("lamp")]);
            if self.is_text(&own, old) {
                self.pen.write_text(&own, name)?;
            }
        }
        Ok(())
    }

    /// The lists in the switches and circuits of a fit that name lamps.
    fn lists_of_lamps(&self, index: usize) -> Vec<Vec<At>> {
        let switches = on(&fit(index), &[At::Field("switches")]);
        let each = |list: &[At]| (0..self.pen.count(list)).map(|nth| on(list, &[At::Item(nth)])).collect::<Vec<_>>();
        let positions = |switch: &Vec<At>| each(&on(switch, &[At::Field("positions")]));
        let all = each(&switches);
        let inner: Vec<_> = all.iter().flat_map(positions).collect();
        let circuits = each(&wired(index, "circuits"));
        all.into_iter().chain(inner).chain(circuits).map(|path| on(&path, &[At::Field("lamps")])).collect()
    }

    fn note(&mut self, what: Subject, note: &str) -> Done {
        let path = subject(what);
        let own = on(&path, &[At::Field("note")]);
        match note {
            "" => self.pen.remove_field(&path, "note"),
            note if self.pen.has(&own) => self.pen.write_text(&own, note),
            note => self.pen.add_field(&path, "note", Written::line(text(note)), order(what)),
        }
    }

    fn add_lamp(&mut self, at: LampAt, lamp: &Lamp) -> Outcome {
        let (list, index) = entry(Subject::Lamp(at))?;
        let neighbour = on(&list, &[At::Item(index.saturating_sub(1))]);
        let layout = self.pen.layout(&neighbour);
        let written = words::lamp(lamp, &self.scene.vessel, layout).ok_or(Trouble::OnlyCopied)?;
        Ok(self.add(&fit(at.fit), FIT, "lamps", index, written)?)
    }

    fn add_part(&mut self, index: usize, part: &Part) -> Outcome {
        let neighbour = [At::Field("parts"), At::Item(index.saturating_sub(1))];
        let written = words::part(part, self.pen.layout(&neighbour)).ok_or(Trouble::OnlyCopied)?;
        Ok(self.add(&[], ROOT, "parts", index, written)?)
    }

    /// Adds an entry to a list, and the list where there is none.
    fn add(&mut self, path: &[At], order: &[&str], list: &'static str, index: usize, written: Written) -> Done {
        self.moved = true;
        let own = on(path, &[At::Field(list)]);
        if !self.pen.has(&own) {
            self.pen.add_field(path, list, Written::line("[]"), order)?;
        }
        if index > self.pen.count(&own) {
            return Err(NotThere);
        }
        self.pen.insert_item(&own, index, &written, true)
    }

    fn copy(&mut self, what: Subject, name: &str) -> Outcome {
        self.moved = true;
        let (list, index) = entry(what)?;
        let copied = self.pen.with_text_exchanged(&subject(what), "name", name)?;
        Ok(self.pen.insert_item(&list, index + 1, &Written::Verbatim(copied), true)?)
    }

    fn remove(&mut self, what: Subject) -> Outcome {
        self.moved = true;
        let (list, index) = entry(what)?;
        let name = self.name(&subject(what))?;
        self.pen.remove_item(&list, index)?;
        match what {
            Subject::Part(_) if self.is_text(&[At::Field("helm")], &name) => self.pen.remove_field(&[], "helm")?,
            Subject::Lamp(at) => self.unfeed(at.fit, &name)?,
            _ => {}
        }
        Ok(())
    }

    /// Takes a lamp out of the switches, with positions and switches that feed nothing else.
    fn unfeed(&mut self, index: usize, name: &str) -> Done {
        let switches = on(&fit(index), &[At::Field("switches")]);
        for nth in (0..self.pen.count(&switches)).rev() {
            let positions = on(&switches, &[At::Item(nth), At::Field("positions")]);
            for position in (0..self.pen.count(&positions)).rev() {
                self.unfeed_one(&positions, position, name)?;
            }
            if self.pen.has(&positions) && self.pen.count(&positions) == 0 {
                self.pen.remove_item(&switches, nth)?;
            } else {
                self.unfeed_one(&switches, nth, name)?;
            }
        }
        self.unwire(index, name)
    }

    /// Takes a lamp out of the circuits and routes, with circuits that feed nothing else, and out of the circuits the
    /// names of switches that are there no more.
    fn unwire(&mut self, index: usize, name: &str) -> Done {
        let circuits = wired(index, "circuits");
        for nth in (0..self.pen.count(&circuits)).rev() {
            self.unfeed_one(&circuits, nth, name)?;
        }
        let routes = wired(index, "routes");
        for nth in (0..self.pen.count(&routes)).rev() {
            if self.is_text(&on(&routes, &[At::Item(nth), At::Field("lamp")]), name) {
                self.pen.remove_item(&routes, nth)?;
            }
        }
        let switches = on(&fit(index), &[At::Field("switches")]);
        let named: Vec<String> =
            (0..self.pen.count(&switches)).filter_map(|nth| self.name(&on(&switches, &[At::Item(nth)])).ok()).collect();
        for nth in 0..self.pen.count(&circuits) {
            let own = on(&circuits, &[At::Item(nth)]);
            let switch = on(&own, &[At::Field("switch")]);
            if self.pen.has(&switch) && !named.iter().any(|name| self.is_text(&switch, name)) {
                self.pen.remove_field(&own, "switch")?;
            }
        }
        Ok(())
    }

    /// Takes a lamp out of what one entry feeds, and the entry if it was all.
    fn unfeed_one(&mut self, list: &[At], index: usize, name: &str) -> Done {
        let lamps = on(list, &[At::Item(index), At::Field("lamps")]);
        let count = self.pen.count(&lamps);
        match (0..count).find(|nth| self.is_text(&on(&lamps, &[At::Item(*nth)]), name)) {
            Some(_) if count == 1 => self.pen.remove_item(list, index),
            Some(nth) => self.pen.remove_item(&lamps, nth),
            None => Ok(()),
        }
    }
}

fn is_word(node: &Node, word: &str) -> bool {
    matches!(&node.value, Value::Word(old) if old == word)
}

fn is_length(node: &Node, word: &str) -> bool {
    matches!(&node.value, Value::Number(old) if words::metres(*old) == word)
}

/// What stands before the brackets of a struct.
fn struct_name(field: &str) -> &'static str {
    match field {
        "conditions" => "Conditions",
        "hull" => "Hull",
        _ => "",
    }
}

fn order_inside(field: &str) -> &'static [&'static str] {
    match field {
        "conditions" => CONDITIONS,
        "vessel" => VESSEL,
        "hull" => HULL,
        _ => JOINT,
    }
}
