//! The tools to read one struct of a scene or lesson file: its fields by name, each by a reader, every fault collected.
//!
//! A reader takes a node and gives the value, or adds a fault to the [`Desk`] and gives `None`; [`filled!`] builds a
//! struct from readers. Must never know which structs a scene has.

use std::path::Path;

use super::{
    fault::{Faults, Span},
    shelf::Shelf,
    text::{Field, Node, Value},
    units::{self, figure_of, metres_of, slip_of_unit},
};
use crate::{boat::Vessel, measure::trimmed};

/// What every reader has before it: the list of faults, and what the file has told so far.
pub(crate) struct Desk<'f> {
    pub faults: &'f mut Faults,
    /// Read first, so that places can be held against it.
    pub vessel: Option<Vessel>,
    /// Where mesh files are looked for.
    pub folder: Option<&'f Path>,
    /// Keeps what is read of files that the scene names, where anything does.
    pub shelf: Option<&'f Shelf>,
    /// The field that is being read, to be named where a message would not.
    pub field: Option<&'static str>,
}

impl Desk<'_> {
    pub fn fault(&mut self, span: Span, what: impl Into<String>, mend: impl Into<String>) {
        self.faults.add(span, what, mend);
    }

    /// Reads a field, which messages can name meanwhile.
    pub fn in_field<T>(&mut self, field: &'static str, read: impl FnOnce(&mut Self) -> T) -> T {
        let around = self.field.replace(field);
        let value = read(self);
        self.field = around;
        value
    }

    /// " in `height`" for the field being read, unless what is said names it anyway.
    fn field_words(&self, said: &str) -> String {
        let field = self.field.filter(|field| !said.contains(&field.replace('_', " ")) || field.len() < 3);
        field.map_or_else(String::new, |field| format!(" in `{field}`"))
    }

    /// A fault where one kind of value stands and another is wanted.
    pub fn wrong(&mut self, node: &Node, wanted: &str, mend: impl Into<String>) {
        if node.value != Value::Broken {
            self.fault(node.head_span(), format!("expected {wanted}, found {}", found(node)), mend);
        }
    }
}

/// A value in words, short.
pub(crate) fn found(node: &Node) -> String {
    match &node.value {
        Value::Unit => "empty brackets `()`".into(),
        Value::Bool(value) => format!("`{value}`"),
        Value::Number(number) => format!("the number {}", trimmed(*number, 6)),
        Value::Text(text) => format!("the text \"{}\"", shortened(text)),
        Value::Character(character) => format!("the character '{}'", character.escape_debug()),
        Value::Bytes => "a byte string".into(),
        Value::Word(word) => format!("the word `{}`", shortened(word)),
        Value::Optional(None) => "`None`".into(),
        Value::Optional(Some(inner)) => found(inner),
        Value::List(_) => "a list in square brackets".into(),
        Value::Map(_) => "a map in curly brackets".into(),
        Value::Tuple { name: Some(name), .. } | Value::Struct { name: Some(name), .. } => {
            format!("`{}(...)`", shortened(&name.text))
        }
        Value::Tuple { .. } => "values in round brackets without field names".into(),
        Value::Struct { .. } => "fields in round brackets".into(),
        Value::Broken => "something that cannot be read".into(),
    }
}

pub(crate) fn shortened(text: &str) -> String {
    let short: String = text.chars().take(40).collect();
    let tail = if short.len() < text.len() { "..." } else { "" };
    format!("{}{tail}", short.escape_debug())
}

/// The known word nearest to one that is not known, if any is near.
pub(crate) fn nearest<'k>(word: &str, known: &[&'k str]) -> Option<&'k str> {
    let plain = |text: &str| text.to_lowercase().replace(['_', '-', ' '], "");
    let wanted = plain(word);
    let distance = |other: &str| strsim::damerau_levenshtein(&wanted, &plain(other));
    let best = known.iter().min_by_key(|other| distance(other))?;
    let length = if wanted.contains(|letter: char| letter.is_ascii_digit()) {
        // What figures have before them is often the same for all, as in "Rule 24(a)", and makes none of them nearer.
        let same = wanted.chars().zip(plain(best).chars()).take_while(|(a, b)| a == b).count();
        wanted.chars().count() - same
    } else {
        wanted.chars().count()
    };
    if distance(best) <= (length / 3).max(1) {
        return Some(best);
    }
    // A word cut short is near as well, when only one begins so.
    let mut longer = known.iter().filter(|other| wanted.len() >= 3 && plain(other).starts_with(&wanted));
    longer.next().filter(|_| longer.next().is_none()).copied()
}

/// A longer choice is not told whole where the word meant is known: it would bury it.
const SHORT_CHOICE: usize = 12;

/// "did you mean `x`? ", or nothing, and then the whole choice, unless it is long and the guess does without it.
pub(crate) fn choice_words(word: &str, known: &[&str]) -> String {
    choice_of(word, known, &|one| format!("`{one}`"), "the choice is")
}

/// The same for names, which stand in double quotes; `before` leads the choice.
pub(crate) fn choice_names(name: &str, known: &[&str], before: &str) -> String {
    choice_of(name, known, &|one| format!("\"{one}\""), before)
}

fn choice_of(word: &str, known: &[&str], marked: &dyn Fn(&str) -> String, before: &str) -> String {
    let guess = nearest(word, known).map(|near| format!("did you mean {}?", marked(near)));
    let choice = || known.iter().map(|one| marked(one)).collect::<Vec<_>>().join(", ");
    match guess {
        Some(guess) if known.len() > SHORT_CHOICE => guess,
        Some(guess) => format!("{guess} {before} {}", choice()),
        None => format!("{before} {}", choice()),
    }
}

/// `true` or `false`.
pub(crate) fn yes_or_no(node: &Node, desk: &mut Desk) -> Option<bool> {
    if let Value::Bool(value) = bare(node).value {
        return Some(value);
    }
    desk.wrong(node, "`true` or `false`", "write one of the two");
    None
}

/// Reads a node into a value, or adds a fault and gives `None`.
pub(crate) type Reader<T> = fn(&Node, &mut Desk) -> Option<T>;

/// The fields of one struct while they are read.
pub(crate) struct Fields<'n> {
    /// What the struct is called in messages, such as `Stanchion`.
    pub title: String,
    node: &'n Node,
    fields: &'n [Field],
    known: Vec<&'static str>,
    /// Asked for, needed and not there.
    missing: Vec<&'static str>,
}

/// How the fields of a struct are written: in full for the small ones that are typed by heart.
fn example(title: &str) -> &'static str {
    match title {
        "Cowling" => "(length: 0.6, width: 0.4, height: 0.5)",
        "Face" => "(width: 0.03, height: 0.03)",
        "Measured" => "(colour: White, x: 0.45, y: 0.41)",
        "Joint" => "(now: 0, most: 35)",
        "Supply" => "(at: 11.6, light: Filament(rated: 12))",
        "Filament" => "(rated: 12)",
        "Constant" => "(from: 9, to: 32)",
        "Trim" => "(least: 0, most: 4)",
        "Deck" => "(thickness: 6, material: \"GRP\")",
        "Wiring" => "(battery: (at: (forward: 0.5), volts: 12, amp_hours: 80), panel: (forward: 2.5), circuits: [...])",
        "Battery" => "(at: (forward: 0.5), volts: 12, amp_hours: 80)",
        "Circuit" => "(name: \"sidelights\", fuse: 3, lamps: [\"port sidelight\"])",
        "Route" => "(lamp: \"port sidelight\", through: [(forward: 3, port: 0.9)])",
        "Feed" => "(through: [(forward: 1.5, port: 0.4)])",
        "Conductors" => "(sizes: Awg, copper: Tinned, insulation: 105)",
        "Screws" => "(size: 6, apart: 30)",
        _ => "(name_of_field: value, ...)",
    }
}

impl<'n> Fields<'n> {
    /// Opens a struct called `title`, whose name may be left out.
    pub fn open(node: &'n Node, title: &str, desk: &mut Desk) -> Option<Self> {
        let node = bare(node);
        let example = format!("write `{title}{}`", example(title));
        if let Some(head) = node.head().filter(|head| *head != title) {
            desk.fault(node.head_span(), format!("expected `{title}(...)`, found `{head}`"), example);
            return None;
        }
        Self::opened(node, title, desk)
    }

    /// Opens a struct whatever its name.
    pub fn opened(node: &'n Node, title: &str, desk: &mut Desk) -> Option<Self> {
        let fields: &[Field] = match &node.value {
            Value::Struct { fields, .. } => fields,
            Value::Tuple { items, .. } if items.is_empty() => &[],
            Value::Unit | Value::Word(_) => &[],
            Value::Tuple { items, .. } => {
                let span = items.first().map_or(node.head_span(), Node::head_span);
                let what = format!("the fields of `{title}` are written without their names");
                desk.fault(span, what, format!("name each, as in `{}`", example(title)));
                return None;
            }
            _ => {
                desk.wrong(
                    node,
                    &format!("`{title}` with its fields in round brackets"),
                    format!("write them as in `{}`", example(title)),
                );
                return None;
            }
        };
        Some(Self { title: title.into(), node, fields, known: Vec::new(), missing: Vec::new() })
    }

    fn find(&mut self, name: &'static str) -> Option<&'n Node> {
        if !self.known.contains(&name) {
            self.known.push(name);
        }
        let field = self.fields.iter().find(|field| field.name.text == name)?;
        match &field.value.value {
            Value::Optional(None) => None,
            _ => Some(bare(&field.value)),
        }
    }

    /// The node of a field that may be left out.
    pub fn node(&mut self, name: &'static str) -> Option<&'n Node> {
        self.find(name)
    }

    /// A field that must be there.
    pub fn need<T>(&mut self, name: &'static str, read: Reader<T>, desk: &mut Desk) -> Option<T> {
        if let Some(node) = self.find(name) {
            return desk.in_field(name, |desk| read(node, desk));
        }
        self.missing.push(name);
        None
    }

    /// A field that has a default when left out.
    pub fn or<T>(&mut self, name: &'static str, read: Reader<T>, default: T, desk: &mut Desk) -> Option<T> {
        match self.find(name) {
            Some(node) => desk.in_field(name, |desk| read(node, desk)),
            None => Some(default),
        }
    }

    /// Where to point when the struct as a whole is meant.
    pub fn head(&self) -> Span {
        self.node.head_span()
    }

    /// Where a field's value stands, or the head of the struct when it has none.
    pub fn span(&self, name: &str) -> Span {
        let field = self.fields.iter().find(|field| field.name.text == name);
        field.map_or(self.node.head_span(), |field| field.value.head_span())
    }

    /// To be called when every field was asked for: reports the missing, the unknown and the repeated ones.
    pub fn finish(self, desk: &mut Desk) {
        self.finish_but(&[], desk);
    }

    /// The same, but says nothing of the missing among `others`: gives them, for whoever knows more to say of them.
    pub fn finish_but(mut self, others: &[&str], desk: &mut Desk) -> Vec<&'static str> {
        if !self.known.contains(&"note") {
            self.known.push("note");
        }
        self.unknown_or_repeated(desk);
        // Where something could not be read, what seems missing may only be lost.
        if self.node.damaged {
            return Vec::new();
        }
        let (left, missing): (Vec<_>, Vec<_>) = self.missing.iter().partition(|name| others.contains(name));
        for name in missing {
            let what = format!("`{}` lacks its field `{name}`", self.title);
            desk.fault(self.node.head_span(), what, format!("add `{name}: ...` to it"));
        }
        left
    }

    fn unknown_or_repeated(&mut self, desk: &mut Desk) {
        if let Some(note) = self.fields.iter().find(|field| field.name.text == "note") {
            text(&note.value, desk);
        }
        for (index, field) in self.fields.iter().enumerate() {
            let name = &field.name;
            if !self.known.contains(&name.text.as_str()) {
                let what = format!("`{}` has no field `{}`", self.title, shortened(&name.text));
                desk.fault(name.span, what, choice_words(&name.text, &self.known));
                // A misspelt field is not missing as well.
                let meant = nearest(&name.text, &self.known);
                self.missing.retain(|missing| meant != Some(*missing));
            } else if let Some(first) = self.fields[..index].iter().find(|first| first.name.text == name.text) {
                let line = desk.faults.lines.line(first.name.span.start);
                let what = format!("the field `{}` is given twice; first on line {line}", name.text);
                desk.fault(name.span, what, "keep one of the two");
            }
        }
    }
}

/// A field that may be left out and then follows from others; the outer `None` is a fault.
#[allow(clippy::option_option)]
pub(super) fn maybe<T>(fields: &mut Fields, name: &'static str, read: Reader<T>, desk: &mut Desk) -> Option<Option<T>> {
    match fields.node(name) {
        Some(node) => desk.in_field(name, |desk| read(node, desk)).map(Some),
        None => Some(None),
    }
}

/// A value without a `Some(...)` around it.
pub(crate) fn bare(node: &Node) -> &Node {
    match &node.value {
        Value::Optional(Some(inner)) => bare(inner),
        _ => node,
    }
}

/// Builds a struct from its fields: `name: reader` for one that is needed, `name: reader; or default` for one that may
/// be left out. All are read, and all their faults found, before the first failure tells.
macro_rules! filled {
    ($fields:ident, $desk:ident, $($path:ident)::+ { $($name:ident : $read:expr $(; or $default:expr)?),* $(,)? }) => {{
        let mut fields = $fields;
        $(let $name = filled!(@read fields, $desk, $name, $read $(, $default)?);)*
        fields.finish($desk);
        Some($($path)::+ { $($name: $name?),* })
    }};
    (@read $fields:ident, $desk:ident, $name:ident, $read:expr) => {
        $fields.need(stringify!($name), $read, $desk)
    };
    (@read $fields:ident, $desk:ident, $name:ident, $read:expr, $default:expr) => {
        $fields.or(stringify!($name), $read, $default, $desk)
    };
}
pub(super) use filled;

/// Any number, finite or not.
pub(crate) fn number(node: &Node, desk: &mut Desk) -> Option<f64> {
    match &node.value {
        Value::Number(number) => Some(*number),
        Value::Text(text) if text.trim().parse::<f64>().is_ok() => {
            desk.wrong(node, "a number", format!("write {} without quotes", text.trim()));
            None
        }
        Value::Text(text) if metres_of(text).is_some() || figure_of(text).is_some() => {
            desk.wrong(node, "a number", units::mend(&[text]));
            None
        }
        _ => {
            desk.wrong(node, "a number", "write a plain number such as `0.25`");
            None
        }
    }
}

/// The range a number must lie in, and what it measures.
pub(crate) struct Limits {
    pub what: &'static str,
    pub unit: &'static str,
    pub least: f64,
    pub most: f64,
    /// Whether the least itself is refused.
    pub above: bool,
}

impl Limits {
    pub const fn above(least: f64, most: f64, what: &'static str, unit: &'static str) -> Self {
        Self { what, unit, least, most, above: true }
    }

    pub const fn within(least: f64, most: f64, what: &'static str, unit: &'static str) -> Self {
        Self { what, unit, least, most, above: false }
    }

    fn hold(&self, value: f64) -> bool {
        value <= self.most && if self.above { value > self.least } else { value >= self.least }
    }

    fn in_words(&self) -> String {
        let from = if self.above { "more than" } else { "from" };
        let to = if self.above { "and at most" } else { "to" };
        format!("{from} {} {to} {}{}", trimmed(self.least, 3), trimmed(self.most, 3), self.unit)
    }

    /// Reads a number and holds it against the limits.
    pub fn read(&self, node: &Node, desk: &mut Desk) -> Option<f64> {
        let value = number(node, desk)?;
        if self.hold(value) {
            return Some(value);
        }
        if !value.is_finite() {
            let what = format!("{} must be a finite number", self.what);
            desk.fault(node.span, what, format!("write a number {}", self.in_words()));
            return None;
        }
        let mut mend = format!("it must be {}", self.in_words());
        if let Some(words) = slip_of_unit(value, &|metres| self.hold(metres)).filter(|_| self.unit == " m") {
            mend.push_str(&format!("; lengths are in metres: {words}"));
        }
        // Brackets are the one thing that is measured otherwise.
        if self.unit == " mm" && value > 0.0 && self.hold(value * 1000.0) {
            let (metres, millimetres) = (trimmed(value, 6), trimmed(value * 1000.0, 3));
            mend.push_str(&format!("; brackets are measured in millimetres: {metres} m is {millimetres}"));
        }
        let place = desk.field_words(self.what);
        let what = format!("{} of {}{}{place} is out of range", self.what, trimmed(value, 6), self.unit);
        desk.fault(node.span, what, mend);
        None
    }
}

/// Text in double quotes.
pub(crate) fn text(node: &Node, desk: &mut Desk) -> Option<String> {
    match &bare(node).value {
        Value::Text(text) => Some(text.clone()),
        Value::Word(word) => {
            desk.wrong(node, "text in double quotes", format!("write \"{word}\""));
            None
        }
        Value::Optional(None) => Some(String::new()),
        _ => {
            desk.wrong(node, "text in double quotes", "write it as \"...\"");
            None
        }
    }
}

/// A name: text that is not blank.
pub(crate) fn name(node: &Node, desk: &mut Desk) -> Option<String> {
    let name = text(node, desk)?;
    if name.trim().is_empty() {
        desk.fault(node.span, "the name is empty", "give it a name of its own; findings call it by that");
        return None;
    }
    Some(name)
}

/// One word of a fixed choice.
pub(crate) fn word<T: Copy>(node: &Node, desk: &mut Desk, what: &str, choice: &[(&str, T)]) -> Option<T> {
    let words: Vec<_> = choice.iter().map(|(word, _)| *word).collect();
    match &node.value {
        Value::Word(word) => {
            let known = choice.iter().find(|(known, _)| known == word);
            if known.is_none() {
                let place = desk.field_words(what);
                let said = format!("there is no {what} `{}`{place}", shortened(word));
                desk.fault(node.span, said, choice_words(word, &words));
            }
            known.map(|(_, value)| *value)
        }
        Value::Text(text) if words.contains(&text.as_str()) => {
            desk.wrong(node, &format!("a {what}"), format!("write {text} without quotes"));
            None
        }
        Value::Text(text) => {
            desk.wrong(node, &format!("a {what}"), format!("{}, without quotes", choice_words(text, &words)));
            None
        }
        _ => {
            desk.wrong(node, &format!("a {what}"), choice_words("", &words));
            None
        }
    }
}

/// Every item of a list by one reader; `None` as soon as one of them fails, but all are read.
pub(crate) fn list<T>(node: &Node, desk: &mut Desk, what: &str, read: Reader<T>) -> Option<Vec<T>> {
    let Value::List(items) = &node.value else {
        desk.wrong(node, &format!("a list of {what}"), "put them in square brackets: `[..., ...]`");
        return None;
    };
    let values: Vec<_> = items.iter().map(|item| read(bare(item), desk)).collect();
    values.into_iter().collect()
}
