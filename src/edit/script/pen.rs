//! A pen over the text of a scene file: writes values, fields and entries, each with as few bytes as it takes.
//!
//! Takes paths into the tree of the text; keeps text and tree in step and every change it made. Must never know what the
//! values mean.

use super::{
    body::{Body, Replacement, Written},
    gap::{comments, first_on_line, indent, line_end},
};
use crate::boat::read::{
    Span, bare,
    text::{Node, Value, tree},
};
use crate::edit::history::Change;

/// One step of the way from the root of a text to a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum At {
    Field(&'static str),
    Item(usize),
}

/// Nothing stands where something should be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotThere;

pub type Done = Result<(), NotThere>;

pub struct Pen {
    text: String,
    root: Node,
    changes: Vec<Change>,
    /// How much deeper each level of brackets stands.
    step: String,
}

impl Pen {
    /// A pen over a sound text; `None` where it is not sound.
    pub fn over(text: &str) -> Option<Self> {
        let root = tree(text)?;
        let step = step_of(text, &root);
        Some(Self { text: text.into(), root, changes: Vec::new(), step })
    }

    /// The text as it is now, and what led there.
    pub fn finish(self) -> (String, Vec<Change>) {
        (self.text, self.changes)
    }

    /// The value at the end of a path, `Some(...)` around it left out; `None` where there is none, or it is `None`.
    pub fn node(&self, path: &[At]) -> Option<&Node> {
        let found = path.iter().try_fold(bare(&self.root), |node, at| match at {
            At::Field(name) => node.field(name).map(bare),
            At::Item(index) => node.items().get(*index).map(bare),
        })?;
        (found.value != Value::Optional(None)).then_some(found)
    }

    pub fn has(&self, path: &[At]) -> bool {
        self.node(path).is_some()
    }

    /// Whether a field stands there, be it as `None`.
    pub fn names(&self, path: &[At], field: &str) -> bool {
        self.node(path).is_some_and(|node| node.fields().iter().any(|one| one.name.text == field))
    }

    fn need(&self, path: &[At]) -> Result<&Node, NotThere> {
        self.node(path).ok_or(NotThere)
    }

    /// The words of a stretch as they stand.
    pub fn written(&self, path: &[At]) -> Option<&str> {
        self.text.get(self.node(path)?.span.range())
    }

    /// How many entries a list has; nought where there is no list.
    pub fn count(&self, path: &[At]) -> usize {
        self.node(path).map_or(0, |node| node.items().len())
    }

    /// Makes replacements that do not overlap, told in rising order.
    fn replace(&mut self, replacements: Vec<Replacement>) -> Done {
        for (span, new) in replacements.into_iter().rev() {
            let old = self.text.get(span.range()).ok_or(NotThere)?;
            if let Some(change) = Change::between(span.start, old, &new) {
                change.make(&mut self.text);
                self.changes.push(change);
            }
        }
        self.root = tree(&self.text).ok_or(NotThere)?;
        Ok(())
    }

    /// Writes a value in place of another. Comments inside the old one come to stand behind the new one.
    pub fn write(&mut self, path: &[At], words: &str) -> Done {
        let span = self.need(path)?.span;
        let kept = self.comments_of(span);
        self.replace(vec![(span, format!("{words}{kept}"))])
    }

    fn comments_of(&self, span: Span) -> String {
        let end = line_end(&self.text, span.start);
        let words = comments(&self.text, span.range()).into_iter().map(|piece| {
            let comment = &self.text[piece.start..piece.end];
            if comment.starts_with("//") { format!(" {comment}{end}") } else { format!(" {comment}") }
        });
        words.collect()
    }

    /// Writes a word in place of the name or bare word that a value begins with.
    pub fn write_head(&mut self, path: &[At], word: &str) -> Done {
        let span = self.need(path)?.head_span();
        self.replace(vec![(span, word.into())])
    }

    /// Writes a number, unless the one that stands there is the same to so many places.
    pub fn write_number(&mut self, path: &[At], value: f64, places: usize) -> Done {
        let words = number(value, places);
        match self.need(path)?.value {
            Value::Number(old) if number(old, places) == words => Ok(()),
            _ => self.write(path, &words),
        }
    }

    /// Writes a text, unless the same stands there already in whatever spelling.
    pub fn write_text(&mut self, path: &[At], value: &str) -> Done {
        match &self.need(path)?.value {
            Value::Text(old) if old == value => Ok(()),
            _ => self.write(path, &text(value)),
        }
    }

    /// Writes a text in place of another in what stands between the brackets of a value, as in `Pole("...")`.
    pub fn write_inner_text(&mut self, path: &[At], old: &str, new: &str) -> Done {
        let Some(Value::Tuple { items, .. }) = self.node(path).map(|node| &node.value) else { return Ok(()) };
        let item = items.iter().map(bare).find(|item| matches!(&item.value, Value::Text(text) if text == old));
        let made = item.map(|item| (item.span, text(new)));
        self.replace(made.into_iter().collect())
    }

    /// The words of an entry with the text of one of its fields exchanged.
    pub fn with_text_exchanged(&self, path: &[At], field: &'static str, new: &str) -> Result<String, NotThere> {
        let whole = self.need(path)?.span;
        let inner = self.need(&[path, &[At::Field(field)]].concat())?.span;
        let words = |from: usize, to: usize| self.text.get(from..to).ok_or(NotThere);
        Ok(format!("{}{}{}", words(whole.start, inner.start)?, text(new), words(inner.end, whole.end)?))
    }

    /// Gives a field another name and keeps its value.
    pub fn rename_field(&mut self, path: &[At], old: &str, new: &str) -> Done {
        let field = self.need(path)?.fields().iter().find(|field| field.name.text == old).ok_or(NotThere)?;
        let span = field.name.span;
        self.replace(vec![(span, new.into())])
    }

    /// Adds a field that is not there, behind those that come before it in `order`; gives a value to one that is there
    /// as `None`. `value` may have several lines.
    pub fn add_field(&mut self, path: &[At], name: &'static str, value: Written, order: &[&str]) -> Done {
        let node = self.need(path)?;
        let fields = node.fields();
        if let Some(field) = fields.iter().find(|field| field.name.text == name) {
            let words = match value {
                Written::Verbatim(words) => words,
                Written::Lines(lines) => lines.join(" "),
            };
            let span = field.value.span;
            return self.replace(vec![(span, words)]);
        }
        let named = match value {
            Written::Verbatim(words) => Written::Verbatim(format!("{name}: {words}")),
            Written::Lines(mut lines) => {
                if let Some(first) = lines.first_mut() {
                    *first = format!("{name}: {first}");
                }
                Written::Lines(lines)
            }
        };
        let rank = |name: &str| order.iter().position(|known| *known == name);
        let own = rank(name);
        let after = fields
            .iter()
            .rposition(|field| own.is_some_and(|own| rank(&field.name.text).is_some_and(|rank| rank < own)));
        let index = after.map_or(0, |index| index + 1);
        let Some(body) = Body::of(&self.text, node) else {
            // A struct written as its name alone.
            let at = node.span.end;
            let inside = match named {
                Written::Verbatim(words) => words,
                Written::Lines(lines) => lines.join(" "),
            };
            return self.replace(vec![(Span::new(at, at), format!("({inside})"))]);
        };
        let made = body.insert(&self.text, index, &named, &self.step, false);
        self.replace(made)
    }

    /// Takes a field out; nothing where there is none.
    pub fn remove_field(&mut self, path: &[At], name: &str) -> Done {
        let node = self.need(path)?;
        let Some(index) = node.fields().iter().position(|field| field.name.text == name) else { return Ok(()) };
        let made = Body::of(&self.text, node).ok_or(NotThere)?.remove(&self.text, index);
        self.replace(made)
    }

    /// Puts an entry into a list. `roomy` ones get lines of their own where the list does not tell.
    pub fn insert_item(&mut self, path: &[At], index: usize, written: &Written, roomy: bool) -> Done {
        let node = self.need(path)?;
        let body = Body::of(&self.text, node).ok_or(NotThere)?;
        let made = body.insert(&self.text, index, written, &self.step, roomy);
        self.replace(made)
    }

    /// Takes an entry out of a list.
    pub fn remove_item(&mut self, path: &[At], index: usize) -> Done {
        let node = self.need(path)?;
        let made = Body::of(&self.text, node).ok_or(NotThere)?.remove(&self.text, index);
        self.replace(made)
    }

    /// Makes a list hold these words, entry by entry; those that hold them already stay as they are written.
    pub fn write_list(&mut self, path: &[At], words: &[String], same: &dyn Fn(&Node, &str) -> bool) -> Done {
        for (index, word) in words.iter().enumerate().take(self.count(path)) {
            let item = [path, &[At::Item(index)]].concat();
            if !same(self.need(&item)?, word) {
                self.write(&item, word)?;
            }
        }
        for index in (words.len()..self.count(path)).rev() {
            self.remove_item(path, index)?;
        }
        for (index, word) in words.iter().enumerate().skip(self.count(path)) {
            self.insert_item(path, index, &Written::line(word.as_str()), false)?;
        }
        Ok(())
    }

    /// How an entry of a list is laid out on lines.
    pub fn layout(&self, path: &[At]) -> Option<Layout> {
        let node = self.node(path)?;
        let fields = node.fields();
        if !self.text.get(node.span.range())?.contains('\n') {
            return Some(Layout::OneLine);
        }
        let own = fields.iter().filter(|field| first_on_line(&self.text, field.name.span.start)).count();
        Some(if own == fields.len() { Layout::LineForEach } else { Layout::Broken })
    }
}

/// How the fields of an entry stand on lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    OneLine,
    /// Some on the first line, others on a second.
    Broken,
    LineForEach,
}

/// How much deeper the fields of the root stand than the root itself, where they stand on lines of their own.
fn step_of(text: &str, root: &Node) -> String {
    let own = bare(root).fields().iter().find(|field| first_on_line(text, field.name.span.start));
    let deeper = own.and_then(|field| indent(text, field.name.span.start).strip_prefix(indent(text, root.span.start)));
    deeper.filter(|step| !step.is_empty()).unwrap_or("    ").into()
}

/// A number without trailing noughts.
pub fn number(value: f64, places: usize) -> String {
    crate::measure::trimmed(value, places)
}

/// A text in double quotes.
pub fn text(value: &str) -> String {
    let mut words = String::from("\"");
    for one in value.chars() {
        match one {
            '"' | '\\' => words.extend(['\\', one]),
            '\n' => words.push_str("\\n"),
            '\r' => words.push_str("\\r"),
            '\t' => words.push_str("\\t"),
            one if one.is_control() => words.push_str(&format!("\\u{{{:x}}}", u32::from(one))),
            one => words.push(one),
        }
    }
    words.push('"');
    words
}
