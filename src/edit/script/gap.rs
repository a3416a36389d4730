//! What stands between the values of a scene file: blanks, comments and commas, each with its place.
//!
//! Takes any stretch of a sound text; gives its pieces and answers where lines begin and end. Must never know what the
//! values are.

use std::ops::Range;

use crate::boat::read::is_blank;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Blank,
    /// From `//` to the end of the line, which is not part of it.
    Line,
    /// From `/*` to the `*/` that closes it.
    Block,
    Comma,
    /// A text, or one character of anything else.
    Other,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    pub kind: Kind,
    pub start: usize,
    pub end: usize,
}

impl Piece {
    pub fn is_comment(&self) -> bool {
        matches!(self.kind, Kind::Line | Kind::Block)
    }

    /// Whether a line ends inside it.
    pub fn breaks(&self, text: &str) -> bool {
        text[self.start..self.end].contains('\n')
    }
}

/// The pieces of a stretch that begins outside texts and comments.
pub fn pieces(text: &str, range: Range<usize>) -> Vec<Piece> {
    let mut found = Vec::new();
    let mut at = range.start;
    while at < range.end {
        let rest = &text[at..range.end];
        let (kind, length) = first_piece(rest);
        found.push(Piece { kind, start: at, end: at + length });
        at += length;
    }
    found
}

fn first_piece(rest: &str) -> (Kind, usize) {
    let blank = rest.find(|one| !is_blank(one)).unwrap_or(rest.len());
    let next = rest.chars().next().map_or(1, char::len_utf8);
    match rest {
        _ if blank > 0 => (Kind::Blank, blank),
        _ if rest.starts_with("//") => (Kind::Line, line_comment(rest)),
        _ if rest.starts_with("/*") => (Kind::Block, block_comment(rest)),
        _ if rest.starts_with(',') => (Kind::Comma, 1),
        _ if rest.starts_with('"') => (Kind::Other, quoted(rest)),
        _ if rest.starts_with('\'') => (Kind::Other, character(rest)),
        _ if rest.starts_with(|one: char| one.is_alphanumeric() || one == '_') => (Kind::Other, word_or_raw(rest)),
        _ => (Kind::Other, next),
    }
}

fn line_comment(rest: &str) -> usize {
    let end = rest.find('\n').unwrap_or(rest.len());
    if rest[..end].ends_with('\r') { end - 1 } else { end }
}

/// Block comments nest.
fn block_comment(rest: &str) -> usize {
    let mut depth = 0usize;
    let mut at = 0;
    while at < rest.len() {
        match rest.as_bytes()[at..] {
            [b'/', b'*', ..] => (depth, at) = (depth + 1, at + 2),
            [b'*', b'/', ..] => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return at;
        }
    }
    rest.len()
}

fn quoted(rest: &str) -> usize {
    let mut escaped = false;
    for (at, one) in rest.char_indices().skip(1) {
        match one {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    rest.len()
}

/// `'"'` must not be taken for the beginning of a text.
fn character(rest: &str) -> usize {
    let escaped = rest[1..].starts_with('\\');
    let mut after = rest.char_indices().skip(if escaped { 3 } else { 2 });
    after.find(|(_, one)| *one == '\'').map_or(rest.len(), |(at, _)| at + 1)
}

/// A word, or a raw text such as `r#"..."#`.
fn word_or_raw(rest: &str) -> usize {
    let after = rest.strip_prefix("br").or_else(|| rest.strip_prefix('r'));
    let hashes = after.map_or(0, |after| after.len() - after.trim_start_matches('#').len());
    if let Some(content) = after.and_then(|after| after[hashes..].strip_prefix('"')) {
        let closing = format!("\"{}", "#".repeat(hashes));
        let head = rest.len() - content.len();
        return content.find(&closing).map_or(rest.len(), |at| head + at + closing.len());
    }
    rest.find(|one: char| !one.is_alphanumeric() && one != '_').unwrap_or(rest.len())
}

/// The first word of a text, or the first character of anything else; blanks, comments and a byte-order mark may come
/// before it. Empty where there is nothing else.
pub fn first_word(text: &str) -> &str {
    let mut rest = text.strip_prefix('\u{feff}').unwrap_or(text);
    while !rest.is_empty() {
        let (kind, length) = first_piece(rest);
        if kind == Kind::Other {
            return &rest[..length];
        }
        rest = &rest[length..];
    }
    rest
}

/// Where the line of a byte begins.
pub fn line_start(text: &str, at: usize) -> usize {
    text[..at].rfind('\n').map_or(0, |feed| feed + 1)
}

/// Whether nothing but blanks stands before a byte on its line.
pub fn first_on_line(text: &str, at: usize) -> bool {
    text[line_start(text, at)..at].chars().all(is_blank)
}

/// The blanks that the line of a byte begins with.
pub fn indent(text: &str, at: usize) -> &str {
    let line = &text[line_start(text, at)..];
    let length = line.find(|one| !is_blank(one) || one == '\n' || one == '\r').unwrap_or(line.len());
    &line[..length]
}

/// How the lines of a text end, told by the line of a byte, or else by the first line.
pub fn line_end(text: &str, at: usize) -> &'static str {
    let feed = text[at..].find('\n').map(|length| at + length).or_else(|| text.find('\n'));
    if feed.is_some_and(|feed| text[..feed].ends_with('\r')) { "\r\n" } else { "\n" }
}

/// All comments of a stretch, in order.
pub fn comments(text: &str, range: Range<usize>) -> Vec<Piece> {
    pieces(text, range).into_iter().filter(Piece::is_comment).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn comments_of(text: &str) -> Vec<&str> {
        comments(text, 0..text.len()).iter().map(|piece| &text[piece.start..piece.end]).collect()
    }

    #[test]
    fn comments_are_found_and_what_looks_like_one_in_a_text_is_not() {
        let text =
            "a: \"// no\", /* one /* two */ ) */ b: r#\"/* no \" */\"#, // three ]\r\nc: '\"', 'x', \"\\\"// no\"";
        assert_eq!(comments_of(text), ["/* one /* two */ ) */", "// three ]"]);
    }

    #[test]
    fn the_first_word_stands_behind_blanks_comments_and_a_byte_order_mark() {
        assert_eq!(first_word("\u{feff}// Rules\n/* Rules */ Scene(name: 1)"), "Scene");
        assert_eq!(first_word("Rules(a: 1)"), "Rules");
        assert_eq!((first_word("(name: 1)"), first_word(" // only this")), ("(", ""));
    }

    #[test]
    fn pieces_cover_a_text_without_gaps() {
        let text = " ,é /* ü */ // x\r\n\"q\\\"\" r\"z\" 0.5";
        let found = pieces(text, 0..text.len());
        assert!(found.windows(2).all(|pair| pair[0].end == pair[1].start), "{found:?}");
        assert_eq!(found.last().map(|last| last.end), Some(text.len()));
    }
}
