//! The entries between two brackets, and where one is put in or taken out so that the rest keeps its look.
//!
//! Takes a text and a bracketed value of it; gives the few replacements to make. Comments are never lost, but for those
//! that belong to an entry taken out: at the end of its lines, and directly above it. Must never know what entries mean.

use super::gap::{Kind, Piece, first_on_line, indent, line_end, line_start, pieces};
use crate::boat::read::{
    Span,
    text::{Node, Value},
};

/// A stretch of the text, and what takes its place.
pub type Replacement = (Span, String);

/// Brackets and what stands in them.
pub struct Body {
    /// The opening and the closing bracket.
    open: usize,
    close: usize,
    entries: Vec<Span>,
    is_list: bool,
}

/// What is put in.
#[derive(Clone, Debug, PartialEq)]
pub enum Written {
    /// Lines without their indentation; those after the first stand one step deeper, but for one that closes.
    Lines(Vec<String>),
    /// As it stands, whatever lines it has.
    Verbatim(String),
}

impl Written {
    pub fn line(text: impl Into<String>) -> Self {
        Self::Lines(vec![text.into()])
    }

    fn at(&self, indent: &str, step: &str, line_end: &str) -> String {
        match self {
            Self::Verbatim(text) => text.clone(),
            Self::Lines(lines) => {
                let deeper = |(nth, line): (usize, &String)| match line.as_str() {
                    line if nth == 0 => line.to_owned(),
                    line @ (")" | "]") => format!("{indent}{line}"),
                    line => format!("{indent}{step}{line}"),
                };
                lines.iter().enumerate().map(deeper).collect::<Vec<_>>().join(line_end)
            }
        }
    }
}

impl Body {
    /// The brackets of a list or a struct; `None` for anything else, such as a struct written as a word alone.
    pub fn of(text: &str, node: &Node) -> Option<Self> {
        let (entries, from, is_list) = match &node.value {
            Value::List(items) => (items.iter().map(|item| item.span).collect(), node.span.start, true),
            Value::Struct { name, fields } => {
                let from = name.as_ref().map_or(node.span.start, |name| name.span.end);
                (fields.iter().map(|field| field.span()).collect(), from, false)
            }
            Value::Tuple { name, items } => {
                let from = name.as_ref().map_or(node.span.start, |name| name.span.end);
                (items.iter().map(|item| item.span).collect(), from, false)
            }
            Value::Unit => (Vec::new(), node.span.start, false),
            _ => return None,
        };
        let bracket = pieces(text, from..node.span.end).into_iter().find(|piece| piece.kind == Kind::Other)?;
        Some(Self { open: bracket.start, close: node.span.end.checked_sub(1)?, entries, is_list })
    }

    /// Where the entry before one ends, or the brackets open.
    fn before(&self, index: usize) -> usize {
        index.checked_sub(1).and_then(|index| self.entries.get(index)).map_or(self.open + 1, |entry| entry.end)
    }

    /// Where the entry after one begins, or the brackets close.
    fn after(&self, index: usize) -> usize {
        self.entries.get(index + 1).map_or(self.close, |entry| entry.start)
    }

    fn gap_after(&self, text: &str, index: usize) -> Vec<Piece> {
        self.entries.get(index).map_or_else(Vec::new, |entry| pieces(text, entry.end..self.after(index)))
    }

    fn comma_after(&self, text: &str, index: usize) -> Option<Piece> {
        self.gap_after(text, index).into_iter().find(|piece| piece.kind == Kind::Comma)
    }

    /// Where the line of an entry ends with all that belongs to it: its comma, and comments behind that on the same
    /// line. `None` where something else stands there.
    fn line_of_entry(&self, text: &str, index: usize) -> Option<usize> {
        let tail = self.comma_after(text, index).map_or(self.entries.get(index)?.end, |comma| comma.end);
        let mut end = tail;
        for piece in self.gap_after(text, index).into_iter().filter(|piece| piece.start >= tail) {
            match piece.kind {
                Kind::Blank if piece.breaks(text) => return Some(end),
                Kind::Line => end = piece.end,
                Kind::Block if !piece.breaks(text) => end = piece.end,
                Kind::Blank => {}
                _ => return None,
            }
        }
        None
    }

    /// Where the comments begin that stand directly above an entry, each on lines of its own; the entry's line itself
    /// where there are none.
    fn with_own_comments(&self, text: &str, index: usize) -> usize {
        let Some(entry) = self.entries.get(index) else { return self.close };
        let gap = pieces(text, self.before(index)..entry.start);
        let mut start = line_start(text, entry.start);
        let mut above = gap.iter().rev().peekable();
        while let Some(blank) = above.next().filter(|piece| piece.kind == Kind::Blank) {
            let one_line = text[blank.start..blank.end].matches('\n').count() == 1;
            match above.next() {
                Some(comment) if one_line && comment.is_comment() && first_on_line(text, comment.start) => {
                    start = line_start(text, comment.start);
                }
                _ => break,
            }
        }
        start
    }

    /// Whether entries put in behind this one go on lines of their own.
    fn own_line_after(&self, text: &str, index: usize) -> bool {
        let first = |index: usize| self.entries.get(index).is_some_and(|entry| first_on_line(text, entry.start));
        if self.line_of_entry(text, index).is_none() && index + 1 < self.entries.len() {
            return false;
        }
        if !first(index) {
            return index + 1 < self.entries.len() && first(index + 1) && self.is_list;
        }
        if index + 1 < self.entries.len() {
            return first(index + 1);
        }
        first_on_line(text, self.close) || self.is_list || index.checked_sub(1).is_some_and(first)
    }

    /// Puts an entry in so that it becomes the one of this index. `step` is how much deeper inner lines stand; `roomy`
    /// entries get lines of their own where nothing tells otherwise.
    pub fn insert(&self, text: &str, index: usize, written: &Written, step: &str, roomy: bool) -> Vec<Replacement> {
        if self.entries.is_empty() {
            return vec![self.insert_alone(text, written, step, roomy)];
        }
        match index.min(self.entries.len()).checked_sub(1) {
            Some(last) => self.insert_after(text, last, written, step),
            None => vec![self.insert_first(text, written, step)],
        }
    }

    fn insert_alone(&self, text: &str, written: &Written, step: &str, roomy: bool) -> Replacement {
        let inside = Span::new(self.open + 1, self.close);
        let end = line_end(text, self.open);
        let around = indent(text, self.open);
        let deeper = format!("{around}{step}");
        let entry = written.at(&deeper, step, end);
        let last = pieces(text, inside.range()).pop();
        let broken = text[inside.range()].contains('\n');
        if broken && first_on_line(text, self.close) {
            let own = indent(text, self.close);
            let entry = written.at(&format!("{own}{step}"), step, end);
            let at = line_start(text, self.close);
            return (Span::new(at, at), format!("{own}{step}{entry},{end}"));
        }
        let from = last.filter(|last| last.kind == Kind::Blank).map_or(self.close, |blank| blank.start);
        if roomy || matches!(last, Some(Piece { kind: Kind::Line, .. })) {
            return (Span::new(from, self.close), format!("{end}{deeper}{entry},{end}{around}"));
        }
        (Span::new(self.close, self.close), entry)
    }

    fn insert_first(&self, text: &str, written: &Written, step: &str) -> Replacement {
        let first = self.entries[0];
        let end = line_end(text, first.start);
        let own = indent(text, first.start);
        let entry = written.at(own, step, end);
        if first_on_line(text, first.start) {
            let at = self.with_own_comments(text, 0);
            return (Span::new(at, at), format!("{own}{entry},{end}"));
        }
        (Span::new(first.start, first.start), format!("{entry}, "))
    }

    fn insert_after(&self, text: &str, index: usize, written: &Written, step: &str) -> Vec<Replacement> {
        let before = self.entries[index];
        let end = line_end(text, before.end);
        let comma = self.comma_after(text, index);
        let own_line = self.own_line_after(text, index);
        let lead = match self.entries.get(index + 1) {
            Some(next) if own_line && !first_on_line(text, before.start) => indent(text, next.start),
            _ => indent(text, before.start),
        };
        let entry = written.at(lead, step, end);
        let point = |at: usize| Span::new(at, at);
        match (comma, own_line) {
            (Some(comma), false) => vec![(point(comma.end), format!(" {entry},"))],
            (None, false) => vec![(point(before.end), format!(", {entry}"))],
            (Some(comma), true) => {
                let at = self.line_of_entry(text, index).unwrap_or(comma.end);
                vec![(point(at), format!("{end}{lead}{entry},"))]
            }
            (None, true) => match self.line_of_entry(text, index) {
                Some(at) if at > before.end => {
                    vec![(point(before.end), ",".into()), (point(at), format!("{end}{lead}{entry}"))]
                }
                _ => vec![(point(before.end), format!(",{end}{lead}{entry}"))],
            },
        }
    }

    fn is_last(&self, index: usize) -> bool {
        index + 1 == self.entries.len()
    }

    /// Takes an entry out.
    pub fn remove(&self, text: &str, index: usize) -> Vec<Replacement> {
        let Some(entry) = self.entries.get(index) else { return Vec::new() };
        let alone = first_on_line(text, entry.start).then(|| self.line_of_entry(text, index)).flatten();
        match alone {
            Some(end) => self.remove_lines(text, index, end),
            None => self.remove_among_others(text, index),
        }
    }

    /// Takes out the lines of an entry that has them for itself.
    fn remove_lines(&self, text: &str, index: usize, end: usize) -> Vec<Replacement> {
        let start = self.with_own_comments(text, index);
        let end = text[end..].find('\n').map_or(text.len(), |feed| end + feed + 1);
        let mut made = vec![(Span::new(start, end), String::new())];
        // Without a comma behind the last entry, the one that becomes the last has none either.
        let dangling = self.is_last(index) && self.comma_after(text, index).is_none();
        if let Some(comma) = index.checked_sub(1).filter(|_| dangling).and_then(|last| self.comma_after(text, last)) {
            made.insert(0, (Span::new(comma.start, comma.end), String::new()));
        }
        made
    }

    /// Takes out an entry that shares its line with something else.
    fn remove_among_others(&self, text: &str, index: usize) -> Vec<Replacement> {
        let entry = self.entries[index];
        let comma = self.comma_after(text, index);
        let tail = comma.map_or(entry.end, |comma| comma.end);
        let nothing = |from: usize, to: usize| vec![(Span::new(from, to), String::new())];
        let mut behind = self.gap_after(text, index).into_iter().filter(|piece| piece.start >= tail);
        let next = behind.next();
        let has_next = !self.is_last(index);
        // Blanks between it and what follows go with it, unless the line ends there.
        if has_next && next.is_some_and(|blank| blank.kind == Kind::Blank && !blank.breaks(text)) {
            return nothing(entry.start, next.map_or(tail, |blank| blank.end));
        }
        let gap = pieces(text, self.before(index)..entry.start);
        let bare = gap.iter().all(|piece| matches!(piece.kind, Kind::Blank | Kind::Comma));
        let last_comma = gap.iter().find(|piece| piece.kind == Kind::Comma);
        match last_comma {
            // The comma that is left is the one before it, or none where none stood behind it.
            Some(before) if !has_next && bare && comma.is_none() => nothing(before.start, entry.end),
            Some(before) if bare && !first_on_line(text, entry.start) => nothing(before.end, tail),
            Some(before) if bare && !has_next => nothing(before.end, tail),
            _ => {
                let blank = gap.last().filter(|last| last.kind == Kind::Blank && !last.breaks(text));
                let from = blank.filter(|_| index > 0 || gap.len() > 1).map_or(entry.start, |blank| blank.start);
                nothing(from, tail)
            }
        }
    }
}
