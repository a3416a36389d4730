//! Faults found in a scene or rule file, and the report that shows each of them on its own line of the file.
//!
//! Takes byte spans of the text with words; gives line, column and the drawn report. Must never know what a scene is.

use std::{fmt, ops::Range};

use ariadne::{Color, Config, IndexType, Label, Report, ReportKind, Source};

/// Bytes of a text, from `start` up to but not including `end`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Span {
    pub start: usize,
    pub end: usize,
}

impl Span {
    pub fn new(start: usize, end: usize) -> Self {
        Self { start, end: end.max(start) }
    }

    /// From the start of one to the end of the other.
    pub fn to(self, other: Span) -> Self {
        Self::new(self.start, other.end)
    }

    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

/// Where each line of a text begins. Lines end with a line feed, with or without a carriage return before it.
#[derive(Clone, Debug, Default)]
pub struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    pub fn of(text: &str) -> Self {
        let after_feeds = text.match_indices('\n').map(|(at, _)| at + 1);
        Self { starts: std::iter::once(0).chain(after_feeds).collect() }
    }

    /// The line, counted from 1, that a byte stands on.
    pub fn line(&self, at: usize) -> usize {
        self.starts.partition_point(|start| *start <= at)
    }

    /// Line and column of a byte, both counted from 1; columns count characters, a tab being one.
    pub fn line_and_column(&self, text: &str, at: usize) -> (usize, usize) {
        let line = self.line(at);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let column = text.get(start..at.min(text.len())).map_or(0, |before| before.chars().count()) + 1;
        (line, column)
    }
}

/// One thing wrong in a scene or rule file.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    pub span: Span,
    /// Counted from 1.
    pub line: usize,
    /// In characters, counted from 1.
    pub column: usize,
    /// What is wrong.
    pub what: String,
    /// How to mend it.
    pub mend: String,
}

/// Gathers the faults of one text.
#[derive(Debug, Default)]
pub(crate) struct Faults {
    pub lines: Lines,
    list: Vec<(Span, String, String)>,
    count: usize,
}

/// A file with more faults than this is no scene at all; the rest are only counted.
const MOST_KEPT: usize = 1000;

impl Faults {
    pub fn of(text: &str) -> Self {
        Self { lines: Lines::of(text), ..Self::default() }
    }

    pub fn add(&mut self, span: Span, what: impl Into<String>, mend: impl Into<String>) {
        self.count += 1;
        if self.list.len() < MOST_KEPT {
            self.list.push((span, what.into(), mend.into()));
        }
    }

    /// Takes back what was said of anything from a byte on.
    pub fn forget_from(&mut self, start: usize) {
        let before = self.list.len();
        self.list.retain(|(span, ..)| span.start < start);
        self.count -= before - self.list.len();
    }

    pub fn count(&self) -> usize {
        self.count
    }

    /// In the order of the file.
    pub fn in_order(mut self, text: &str) -> Vec<Fault> {
        self.list.sort_by_key(|(span, ..)| (span.start, span.end));
        let placed = self.list.into_iter().map(|(span, what, mend)| {
            let (line, column) = self.lines.line_and_column(text, span.start);
            Fault { span, line, column, what, mend }
        });
        placed.collect()
    }
}

/// Why a scene or a set of rules could not be read.
#[derive(Clone, Debug)]
pub struct ReadError {
    name: String,
    reason: Reason,
}

#[derive(Clone, Debug)]
enum Reason {
    /// The file gives no text: what is wrong and how to mend it.
    NoText(String),
    Faulty {
        text: String,
        faults: Vec<Fault>,
    },
}

/// A report of more faults than this helps nobody.
const MOST_SHOWN: usize = 50;

impl ReadError {
    pub(crate) fn no_text(name: &str, why: impl Into<String>) -> Self {
        Self { name: name.into(), reason: Reason::NoText(why.into()) }
    }

    pub(crate) fn faulty(name: &str, text: String, faults: Vec<Fault>) -> Self {
        Self { name: name.into(), reason: Reason::Faulty { text, faults } }
    }

    /// Every fault, in the order of the file. Empty when the file could not be opened as text at all.
    pub fn faults(&self) -> &[Fault] {
        match &self.reason {
            Reason::NoText(_) => &[],
            Reason::Faulty { faults, .. } => faults,
        }
    }

    /// The whole report: each fault with file, line and column, the line itself with the spot marked, what is wrong
    /// and how to mend it.
    pub fn report(&self, colour: bool) -> String {
        let (text, faults) = match &self.reason {
            Reason::NoText(why) => return format!("{}: {why}", self.name),
            Reason::Faulty { text, faults } => (text, faults),
        };
        let shown_text = printable(text);
        let source = Source::from(shown_text.as_str());
        let mut report = String::new();
        for fault in faults.iter().take(MOST_SHOWN) {
            report.push_str(&self.drawn(fault, text, &source, colour));
        }
        match faults.len() {
            1 => report.push_str(&format!("1 mistake in {}", self.name)),
            many => report.push_str(&format!("{many} mistakes in {}", self.name)),
        }
        if faults.len() > MOST_SHOWN {
            report.push_str(&format!("; the first {MOST_SHOWN} are shown"));
        }
        report
    }

    fn drawn(&self, fault: &Fault, text: &str, source: &Source<&str>, colour: bool) -> String {
        let plain = || {
            let Fault { line, column, what, mend, .. } = fault;
            format!("Error: {what}\n  {}:{line}:{column}\n  Help: {mend}\n", self.name)
        };
        if line_length(text, fault.span.start) > LONGEST_LINE {
            return plain();
        }
        let span = (self.name.as_str(), on_one_line(text, fault.span).range());
        let config = Config::new().with_color(colour).with_index_type(IndexType::Byte).with_tab_width(4);
        let mut label = Label::new(span.clone()).with_message("here");
        if colour {
            label = label.with_color(Color::Yellow);
        }
        let mut drawn = Vec::new();
        let written = Report::build(ReportKind::Error, span)
            .with_config(config)
            .with_message(&fault.what)
            .with_label(label)
            .with_help(&fault.mend)
            .finish()
            .write((self.name.as_str(), source), &mut drawn);
        match written {
            Ok(()) => String::from_utf8_lossy(&drawn).into_owned(),
            Err(_) => plain(),
        }
    }
}

/// A line longer than this, in bytes, is not shown: it was written by a machine and would fill the screen.
const LONGEST_LINE: usize = 2000;

fn line_length(text: &str, at: usize) -> usize {
    let (before, after) = text.split_at_checked(at).unwrap_or((text, ""));
    before.len() - before.rfind('\n').unwrap_or(0) + after.find('\n').unwrap_or(after.len())
}

/// The part of a span on its first line, so that a long value is marked where it begins.
fn on_one_line(text: &str, span: Span) -> Span {
    let start = span.start.min(text.len());
    let end = span.end.clamp(start, text.len());
    let length = text.get(start..end).and_then(|part| part.find(['\r', '\n'])).unwrap_or(end - start);
    Span::new(start, start + length)
}

/// The text with what would upset a terminal, or would count as a line's end in one place and not in another, put
/// as spaces of the same number of bytes.
fn printable(text: &str) -> String {
    let mut after = text.chars().skip(1);
    let shown = text.chars().map(|character| {
        let next = after.next();
        match character {
            '\n' | '\t' => character,
            '\r' if next == Some('\n') => character,
            '\u{2028}' | '\u{2029}' => '\u{2003}',
            control if control.is_control() && control.len_utf8() == 2 => '\u{a0}',
            control if control.is_control() => ' ',
            _ => character,
        }
    });
    shown.collect()
}

impl fmt::Display for ReadError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.report(false))
    }
}

impl std::error::Error for ReadError {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_end_at_line_feeds_alone() {
        let text = "é\tx\r\nsecond\u{2028}still second\rstill\nthird";
        let lines = Lines::of(text);
        let place = |part: &str| lines.line_and_column(text, text.find(part).unwrap());
        assert_eq!(place("x"), (1, 3));
        assert_eq!(place("second"), (2, 1));
        assert_eq!(place("still\n"), (2, 21));
        assert_eq!(place("third"), (3, 1));
        assert_eq!(lines.line_and_column(text, text.len()), (3, 6));
    }

    #[test]
    fn printing_keeps_every_byte_where_it_was() {
        let text = "a\u{1b}[31m\u{85}b\u{2028}c\rd\r\ne\tf";
        let shown = printable(text);
        assert_eq!(shown.len(), text.len());
        assert_eq!(shown, "a [31m\u{a0}b\u{2003}c d\r\ne\tf");
    }

    #[test]
    fn a_line_too_long_to_show_is_told_by_its_place_alone() {
        let text = format!("{}bad", "x ".repeat(LONGEST_LINE));
        let mut faults = Faults::of(&text);
        faults.add(Span::new(text.len() - 3, text.len()), "bad", "mend");
        let report = ReadError::faulty("boat.ron", text.clone(), faults.in_order(&text)).to_string();
        assert!(report.contains("boat.ron:1:4001") && report.len() < 200, "{report}");
    }

    #[test]
    fn the_report_names_the_same_line_and_column_as_the_fault() {
        let text = "\u{c}\u{85}é\r\n\t\"Größe\": bad,\r\nlast";
        let at = text.find("bad").unwrap();
        let mut faults = Faults::of(text);
        faults.add(Span::new(at, at + 3), "bad", "mend");
        faults.add(Span::new(text.len(), text.len()), "the end", "go on");
        let error = ReadError::faulty("boat.ron", text.into(), faults.in_order(text));
        let report = error.report(false);
        assert_eq!((error.faults()[0].line, error.faults()[0].column), (2, 11));
        assert!(report.contains("boat.ron:2:11"), "{report}");
        assert!(report.contains("boat.ron:3:5"), "{report}");
        assert!(!report.contains('\u{1b}'));
        assert!(error.report(true).contains('\u{1b}'));
    }
}
