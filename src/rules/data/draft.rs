//! What a rule file holds, read row by row before it is made a whole set.
//!
//! Takes the spanned tree of the file and its text; gives each row that can be read and adds a fault, with its place,
//! for each that cannot. Must never know what makes sense.

use std::any::type_name;

use ron::{
    Options,
    error::{Error, SpannedError},
    extensions::Extensions,
};
use serde::de::DeserializeOwned;

use super::{
    BUILT_IN, ClauseRow, ColourRow, CutRow, Cutoff, Display, Evenness, Glare, IntensityRow, LimitRow, Places, RangeRow,
    Rules, ScreenRow, SectorRow, VerticalRow, Waiver, named,
};
use crate::boat::read::{
    Faults, Span, choice_words, found, shortened,
    text::{Node, Value},
};

/// A rule file as it stands; `None` for what it leaves out.
pub(super) struct Draft {
    pub from: Option<&'static Rules>,
    pub name: Option<String>,
    pub drop: Vec<String>,
    pub sectors: Option<Vec<SectorRow>>,
    pub ranges: Option<Vec<RangeRow>>,
    pub intensities: Option<Vec<IntensityRow>>,
    pub intensity_clause: Option<String>,
    pub intensity_source: Option<String>,
    pub colours: Option<Vec<ColourRow>>,
    pub cutoff: Option<Cutoff>,
    pub cut: Option<Vec<CutRow>>,
    pub vertical: Option<Vec<VerticalRow>>,
    pub limits: Option<Vec<LimitRow>>,
    pub places: Option<Places>,
    pub screens: Option<ScreenRow>,
    pub evenness: Option<Evenness>,
    pub glare: Option<Glare>,
    pub displays: Option<Vec<Display>>,
    pub clauses: Option<Vec<ClauseRow>>,
    pub waiver: Option<Waiver>,
}

/// Fields that no set can do without.
const NEEDED: [&str; 16] = [
    "sectors",
    "ranges",
    "intensities",
    "intensity_clause",
    "intensity_source",
    "colours",
    "cutoff",
    "cut",
    "vertical",
    "limits",
    "places",
    "screens",
    "evenness",
    "glare",
    "displays",
    "clauses",
];

/// Fields that a set may have.
const OPTIONAL: [&str; 4] = ["from", "name", "drop", "waiver"];

/// Reads the tree of a rule file.
pub(super) fn draft(text: &str, root: &Node, faults: &mut Faults) -> Option<Draft> {
    let mut reader = Reader { text, root, faults };
    if !reader.is_rules() {
        return None;
    }
    reader.unknown_or_repeated();
    reader.missing();
    Some(Draft {
        from: reader.from(),
        name: reader.one("name"),
        drop: reader.list("drop").unwrap_or_default(),
        sectors: reader.list("sectors"),
        ranges: reader.list("ranges"),
        intensities: reader.list("intensities"),
        intensity_clause: reader.one("intensity_clause"),
        intensity_source: reader.one("intensity_source"),
        colours: reader.list("colours"),
        cutoff: reader.one("cutoff"),
        cut: reader.list("cut"),
        vertical: reader.list("vertical"),
        limits: reader.list("limits"),
        places: reader.one("places"),
        screens: reader.one("screens"),
        evenness: reader.one("evenness"),
        glare: reader.one("glare"),
        displays: reader.list("displays"),
        clauses: reader.list("clauses"),
        waiver: reader.one("waiver"),
    })
}

struct Reader<'t, 'f> {
    text: &'t str,
    root: &'t Node,
    faults: &'f mut Faults,
}

impl<'t> Reader<'t, '_> {
    fn is_rules(&mut self) -> bool {
        let root = self.root;
        let head = root.head();
        let sound = matches!(&root.value, Value::Struct { .. }) && head.is_none_or(|head| head == "Rules");
        if !sound && root.value != Value::Broken {
            let what = format!("expected `Rules(...)`, found {}", found(root));
            self.faults.add(root.head_span(), what, "a rule file is one `Rules(name: \"...\", ...)`");
        }
        sound
    }

    fn unknown_or_repeated(&mut self) {
        let known: Vec<&str> = OPTIONAL.iter().chain(&NEEDED).copied().collect();
        let fields = self.root.fields();
        for (index, field) in fields.iter().enumerate() {
            let name = &field.name;
            if !known.contains(&name.text.as_str()) {
                let what = format!("`Rules` has no field `{}`", shortened(&name.text));
                self.faults.add(name.span, what, choice_words(&name.text, &known));
            } else if fields[..index].iter().any(|first| first.name.text == name.text) {
                let what = format!("the field `{}` is given twice", name.text);
                self.faults.add(name.span, what, "keep one of the two");
            }
        }
    }

    fn missing(&mut self) {
        let root = self.root;
        let mut missing: Vec<&str> = Vec::new();
        if root.field("name").is_none() {
            missing.push("name");
        }
        if root.field("from").is_none() {
            missing.extend(NEEDED.iter().filter(|name| root.field(name).is_none()));
        }
        for name in missing.into_iter().filter(|_| !root.damaged) {
            let from =
                if name == "name" { "" } else { ", or begin from a built-in set with `from: \"international\"`" };
            self.faults.add(
                root.head_span(),
                format!("`Rules` lacks its field `{name}`"),
                format!("add `{name}: ...` to it{from}"),
            );
        }
    }

    fn from(&mut self) -> Option<&'static Rules> {
        let node = self.root.field("from")?;
        let name: String = self.one("from")?;
        let base = named(&name);
        if base.is_none() {
            let what = format!("there is no built-in set of rules \"{}\"", shortened(&name));
            self.faults.add(node.span, what, choice_words(&name, &BUILT_IN));
        }
        base
    }

    /// A field of the whole set.
    fn one<T: DeserializeOwned>(&mut self, name: &str) -> Option<T> {
        let node = self.root.field(name)?;
        if node.value == Value::Optional(None) {
            return None;
        }
        self.value(bare(node))
    }

    /// A list of the whole set; `None` unless every row can be read, but all are tried.
    fn list<T: DeserializeOwned>(&mut self, name: &str) -> Option<Vec<T>> {
        let node = bare(self.root.field(name)?);
        let Value::List(items) = &node.value else {
            if node.value != Value::Broken {
                let what = format!("expected a list in `{name}`, found {}", found(node));
                self.faults.add(node.head_span(), what, "put its rows in square brackets: `[(...), (...)]`");
            }
            return None;
        };
        let rows: Vec<Option<T>> = items.iter().map(|item| self.value(item)).collect();
        rows.into_iter().collect()
    }

    fn value<T: DeserializeOwned>(&mut self, node: &Node) -> Option<T> {
        let text = self.text.get(node.span.range())?;
        let options = Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
        match options.from_str(text) {
            Ok(value) => Some(value),
            Err(error) if matches!(error.code, Error::SuggestRawIdentifier(_)) => self.hyphened(node, &error.code),
            Err(error) => {
                let (span, what, mend) = located(node, text, type_name::<T>(), &error);
                self.faults.add(span, what, mend);
                None
            }
        }
    }

    /// Tells of a word with a hyphen as of what it was meant to be, for which it is read as if it had none.
    fn hyphened<T: DeserializeOwned>(&mut self, node: &Node, error: &Error) -> Option<T> {
        let Error::SuggestRawIdentifier(word) = error else { return None };
        let meant = unhyphened(word);
        let text = self.text.get(node.span.range())?.replace(word, &meant);
        let options = Options::default().with_default_extension(Extensions::IMPLICIT_SOME);
        let (span, what, mend) = match options.from_str::<T>(&text) {
            Ok(_) => (
                spot(node, node.span.end, |node| node.field(word).is_some(), |node| name_span(node, word)),
                format!("there is no field `{word}` here"),
                format!("write `{meant}`"),
            ),
            Err(error) => located(node, &text, type_name::<T>(), &error),
        };
        self.faults.add(span, what.replace(&format!("`{meant}`"), &format!("`{word}`")), mend);
        None
    }
}

/// An error of the reading of a row as [`told`].
fn located(row: &Node, text: &str, title: &str, error: &SpannedError) -> (Span, String, String) {
    let at = row.span.start + offset(text, error.span.end.line, error.span.end.col);
    told(row, title, at, &error.code)
}

/// A value without a `Some(...)` around it.
fn bare(node: &Node) -> &Node {
    match &node.value {
        Value::Optional(Some(inner)) => bare(inner),
        _ => node,
    }
}

/// The byte of a line and column, both counted from 1; columns count characters.
fn offset(text: &str, line: usize, column: usize) -> usize {
    let before: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let rest = text.get(before..).unwrap_or("");
    before + rest.char_indices().nth(column.saturating_sub(1)).map_or(rest.len(), |(at, _)| at)
}

/// Where a value could not be read, why, and how to mend it. `title` is the type that was wanted of the whole row, `at`
/// the byte the reading stopped at.
fn told(row: &Node, title: &str, at: usize, error: &Error) -> (Span, String, String) {
    match error {
        Error::NoSuchEnumVariant { expected, found, outer } => (
            spot(
                row,
                at,
                |node| matches!(&node.value, Value::Word(word) if unhyphened(word) == *found),
                Node::head_span,
            ),
            format!("there is no {} `{}`", kind_of(outer.as_deref()), shortened(found)),
            choice_words(found, expected),
        ),
        Error::NoSuchStructField { expected, found, .. } => (
            spot(row, at, |node| has_field(node, found), |node| name_span(node, found)),
            format!("there is no field `{}` here", shortened(found)),
            choice_words(found, expected),
        ),
        Error::MissingStructField { field, outer } => (
            if outer.as_deref().is_some_and(|outer| title.ends_with(outer)) {
                row.head_span()
            } else {
                spot(row, at, |node| is_struct(node) && node.field(field).is_none(), Node::head_span)
            },
            format!("the field `{field}` is missing here"),
            if *field == "source" {
                "say where this was read: `source: \"...\"`".into()
            } else {
                format!("add `{field}: ...`")
            },
        ),
        Error::DuplicateStructField { field, .. } => (
            spot(row, at, |node| node.field(field).is_some(), |node| name_span(node, field)),
            format!("the field `{field}` is given twice here"),
            "keep one of the two".into(),
        ),
        Error::Message(message) => {
            let (what, mend) = message.split_once("; ").unwrap_or((message, "compare it with a row of a built-in set"));
            (spot(row, at, |_| true, Node::head_span), what.into(), mend.into())
        }
        other => expected(row, at, other),
    }
}

/// One kind of value where another is wanted.
fn expected(row: &Node, at: usize, error: &Error) -> (Span, String, String) {
    let (wanted, mend) = match error {
        Error::ExpectedFloat | Error::ExpectedInteger => ("a number", "write a plain number such as `0.5`"),
        Error::ExpectedString => ("text in double quotes", "write it as \"...\""),
        Error::ExpectedBoolean => ("`true` or `false`", "write one of the two"),
        Error::ExpectedArray => ("a list", "put it in square brackets: `[..., ...]`"),
        Error::ExpectedIdentifier => ("a word without quotes", "write a word such as `Masthead`"),
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) => {
            ("fields in round brackets", "write them as in `(name_of_field: value, ...)`")
        }
        _ => ("", ""),
    };
    // The reading stops before what it cannot read.
    let node = at_or_after(row, at);
    if wanted.is_empty() {
        let what = format!("this cannot be read: {}", lowered(&error.to_string()));
        return (node.head_span(), what, "compare it with a row of a built-in set".into());
    }
    (node.head_span(), format!("expected {wanted}, found {}", found(node)), mend.into())
}

/// A word with its hyphens as the mark that words may have, of the same length.
fn unhyphened(word: &str) -> String {
    word.replace('-', "_")
}

fn lowered(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// What a word was to name.
fn kind_of(outer: Option<&str>) -> &'static str {
    match outer {
        Some("LightKind") => "light",
        Some("Colour") => "colour",
        Some("Status") => "status",
        Some("Propulsion") => "propulsion",
        Some("Asks") => "thing to measure",
        Some("CutOf") => "way to take the cut-off",
        _ => "choice",
    }
}

fn is_struct(node: &Node) -> bool {
    match &node.value {
        Value::Struct { .. } | Value::Unit => true,
        Value::Tuple { items, .. } => items.is_empty(),
        _ => false,
    }
}

fn has_field(node: &Node, name: &str) -> bool {
    node.fields().iter().any(|field| unhyphened(&field.name.text) == unhyphened(name))
}

fn name_span(node: &Node, name: &str) -> Span {
    let field = node.fields().iter().rev().find(|field| unhyphened(&field.name.text) == unhyphened(name));
    field.map_or(node.head_span(), |field| field.name.span)
}

/// Of the nodes that fit, the last that begins before `at`: the one being read; otherwise the row.
fn spot(row: &Node, at: usize, fits: impl Fn(&Node) -> bool, span: impl Fn(&Node) -> Span) -> Span {
    let mut nodes = Vec::new();
    collect(row, &mut nodes);
    let fitting = nodes.into_iter().filter(|node| fits(node) && node.span.start < at.max(row.span.start + 1));
    fitting.max_by_key(|node| node.span.start).map_or(row.head_span(), span)
}

/// The innermost value that holds a byte, or the first after it.
fn at_or_after(row: &Node, at: usize) -> &Node {
    let mut nodes = Vec::new();
    collect(row, &mut nodes);
    let holding = nodes.iter().filter(|node| node.span.start <= at && at < node.span.end);
    let innermost = holding.min_by_key(|node| node.span.end - node.span.start);
    let after = nodes.iter().filter(|node| node.span.start >= at).min_by_key(|node| node.span.start);
    match (innermost, after) {
        (Some(inner), Some(after)) if is_struct(inner) => after,
        (Some(inner), _) => inner,
        (None, Some(after)) => after,
        (None, None) => row,
    }
}

/// A node and all within it.
fn collect<'n>(node: &'n Node, into: &mut Vec<&'n Node>) {
    into.push(node);
    match &node.value {
        Value::Optional(Some(inner)) => collect(inner, into),
        Value::List(items) | Value::Tuple { items, .. } => items.iter().for_each(|item| collect(item, into)),
        Value::Struct { fields, .. } => fields.iter().for_each(|field| collect(&field.value, into)),
        Value::Map(pairs) => pairs.iter().for_each(|(key, value)| {
            collect(key, into);
            collect(value, into);
        }),
        _ => {}
    }
}
