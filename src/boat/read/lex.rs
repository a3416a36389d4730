//! Cuts RON text into words, numbers, strings and marks, each with its byte span.
//!
//! Reports what cannot be cut and goes on after it; never fails as a whole. Must never know what a scene is.

use super::{
    fault::{Faults, Span},
    quotes, units,
};

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    Word(String),
    Text(String),
    Character(char),
    Bytes,
    Number(f64),
    /// One of `( ) [ ] { } , : ; =`.
    Mark(char),
    /// Something that was reported and cannot be used.
    Broken,
}

/// What to say of a unit written where none belongs.
pub(super) const NO_UNITS: &str = "lengths are in metres, angles in degrees, speeds in knots, and no unit is written";

pub(super) type Spanned = (Token, Span);

/// All tokens of a text, comments and leading attributes left out; and whether something that was never closed has
/// swallowed the text's end.
pub(super) fn tokens(text: &str, faults: &mut Faults) -> (Vec<Spanned>, bool) {
    let mut lexer = Lexer { text, at: 0, faults, end_swallowed: false, pasted: None };
    let mut found: Vec<Spanned> = Vec::new();
    lexer.skip_blank();
    while lexer.rest().starts_with("#!") || lexer.rest().starts_with("# ![") {
        lexer.skip_attribute();
        lexer.skip_blank();
    }
    while let Some(next) = lexer.peek() {
        let start = lexer.at;
        if next == '"' && lexer.closes_what_was_not_opened(&mut found) {
            continue;
        }
        let token = lexer.token(next);
        if lexer.at == start {
            lexer.at += next.len_utf8();
        }
        found.push((token, Span::new(start, lexer.at)));
        lexer.skip_blank();
    }
    lexer.tell_pasted_quotes();
    (found, lexer.end_swallowed)
}

struct Lexer<'t, 'f> {
    text: &'t str,
    at: usize,
    faults: &'f mut Faults,
    end_swallowed: bool,
    /// The first text in typographic quotes, its quote, and how many more there are.
    pasted: Option<(Span, char, usize)>,
}

pub(crate) fn is_blank(character: char) -> bool {
    // The marks of writing direction count as blank in RON.
    character.is_whitespace() || matches!(character, '\u{200e}' | '\u{200f}' | '\u{feff}')
}

pub(super) fn begins_word(character: char) -> bool {
    character == '_' || character.is_alphabetic() || (!character.is_ascii() && continues_word(character))
}

/// Anything beyond ASCII that is not a mark people paste by mistake may be part of a word.
pub(super) fn continues_word(character: char) -> bool {
    let pasted = matches!(character, '“' | '”' | '„' | '‘' | '’' | '«' | '»' | '−' | '–' | '°' | '×');
    let beyond = !character.is_ascii() && !pasted && !is_blank(character) && !character.is_control();
    character == '_' || character.is_alphanumeric() || beyond
}

impl<'t> Lexer<'t, '_> {
    fn rest(&self) -> &'t str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn eat(&mut self, wanted: &str) -> bool {
        let there = self.rest().starts_with(wanted);
        if there {
            self.at += wanted.len();
        }
        there
    }

    fn eat_while(&mut self, wanted: impl Fn(char) -> bool) -> &'t str {
        let start = self.at;
        let length = self.rest().find(|character| !wanted(character)).unwrap_or(self.rest().len());
        self.at += length;
        &self.text[start..self.at]
    }

    fn skip_line(&mut self) {
        self.eat_while(|character| character != '\n');
    }

    /// Skips blanks and comments.
    fn skip_blank(&mut self) {
        loop {
            self.eat_while(is_blank);
            let start = self.at;
            if self.eat("//") {
                self.skip_line();
            } else if self.eat("/*") {
                self.skip_block_comment(start);
            } else if self.rest().starts_with('#') && !self.rest().starts_with("#!") {
                self.faults.add(Span::new(start, start + 1), "a comment does not begin with `#`", "begin it with `//`");
                self.skip_line();
            } else {
                return;
            }
        }
    }

    fn skip_block_comment(&mut self, start: usize) {
        let mut depth = 1;
        while depth > 0 {
            self.eat_while(|character| !matches!(character, '/' | '*'));
            if self.eat("/*") {
                depth += 1;
            } else if self.eat("*/") {
                depth -= 1;
            } else if self.rest().is_empty() {
                let opening = Span::new(start, start + 2);
                self.end_swallowed = true;
                self.faults.add(opening, "this comment is never closed", "close it with `*/`");
                return;
            } else {
                self.at += 1;
            }
        }
    }

    /// Skips `#![enable(...)]` and its like.
    fn skip_attribute(&mut self) {
        let start = self.at;
        let mut quoted = false;
        while let Some(next) = self.peek() {
            self.at += next.len_utf8();
            match next {
                '"' => quoted = !quoted,
                ']' if !quoted => return,
                _ => {}
            }
        }
        self.end_swallowed = true;
        self.faults.add(Span::new(start, start + 2), "this attribute is never closed", "close it with `]`");
    }

    fn token(&mut self, next: char) -> Token {
        match next {
            '(' | ')' | '[' | ']' | '{' | '}' | ',' | ':' | ';' | '=' => {
                self.at += 1;
                Token::Mark(next)
            }
            '"' => self.text_token(0),
            '\'' => self.character(),
            '“' | '”' | '„' | '«' | '»' | '‘' | '’' => self.pasted_quotes(next),
            '0'..='9' | '+' | '-' | '.' | '−' | '–' => self.number(),
            _ if self.begins_raw_text() => self.raw_text(),
            _ if self.rest().starts_with("b\"") => {
                self.text_token(1);
                Token::Bytes
            }
            _ if self.rest().starts_with("b'") => {
                self.at += 1;
                match self.character() {
                    Token::Character(byte) => Token::Number(f64::from(u32::from(byte))),
                    other => other,
                }
            }
            _ if self.rest().starts_with("r#") => {
                self.at += 2;
                let raw = |character| continues_word(character) || matches!(character, '.' | '+' | '-');
                Token::Word(self.eat_while(raw).into())
            }
            _ if begins_word(next) => Token::Word(self.word()),
            _ => self.strange(next),
        }
    }

    /// A word, with what hyphens join to it, so that `under-sail` is one mistake and not three.
    fn word(&mut self) -> String {
        let start = self.at;
        self.eat_while(continues_word);
        while self.rest().strip_prefix('-').is_some_and(|after| after.starts_with(begins_word)) {
            self.at += 1;
            self.eat_while(continues_word);
        }
        self.text[start..self.at].into()
    }

    fn strange(&mut self, found: char) -> Token {
        let start = self.at;
        self.at += found.len_utf8();
        self.faults.add(
            Span::new(start, self.at),
            format!("`{}` has no meaning here", found.escape_debug()),
            "take it out; text goes in double quotes, a comment begins with `//`",
        );
        Token::Broken
    }

    /// A number with all that is written on to it, so that `6.2m` is one mistake and not two.
    fn number(&mut self) -> Token {
        let start = self.at;
        let mut before = ' ';
        let unsigned = self.rest().strip_prefix(['+', '-']).unwrap_or(self.rest());
        let hexadecimal = unsigned.starts_with("0x");
        while let Some(next) = self.peek() {
            let exponent_sign = matches!(next, '+' | '-') && matches!(before, 'e' | 'E') && !hexadecimal;
            let sign = self.at == start && matches!(next, '+' | '-' | '−' | '–');
            if !(sign || exponent_sign || continues_word(next) || matches!(next, '.' | '°' | '%')) {
                break;
            }
            before = next;
            self.at += next.len_utf8();
        }
        let written = &self.text[start..self.at];
        if let Some(number) = number_of(written) {
            return Token::Number(number);
        }
        self.faults.add(Span::new(start, self.at), format!("`{written}` is not a number"), units::mend(&[written]));
        Token::Broken
    }

    fn begins_raw_text(&self) -> bool {
        let rest = self.rest();
        let after = rest.strip_prefix("br").or_else(|| rest.strip_prefix('r'));
        after.is_some_and(|after| after.trim_start_matches('#').starts_with('"'))
    }

    fn raw_text(&mut self) -> Token {
        let start = self.at;
        let bytes = self.eat("b");
        self.eat("r");
        let hashes = self.eat_while(|character| character == '#').to_owned();
        self.eat("\"");
        let content = self.at;
        let closing = format!("\"{hashes}");
        let Some(length) = self.rest().find(&closing) else {
            self.at = self.text.len();
            let opening = Span::new(start, content);
            self.end_swallowed = true;
            self.faults.add(opening, "this text is never closed", format!("close it with `{closing}`"));
            return Token::Broken;
        };
        self.at = content + length + closing.len();
        if bytes { Token::Bytes } else { Token::Text(self.text[content..content + length].into()) }
    }

    /// Text in typographic quotes, as a word processor makes them.
    fn pasted_quotes(&mut self, opening: char) -> Token {
        let start = self.at;
        self.at += opening.len_utf8();
        let closings: &[char] = match opening {
            '‘' | '’' => &['‘', '’', '\''],
            _ => &['“', '”', '«', '»', '"'],
        };
        let content = self.eat_while(|character| character != '\n' && !closings.contains(&character)).to_owned();
        if let Some(closing) = self.peek().filter(|next| closings.contains(next)) {
            self.at += closing.len_utf8();
        }
        let first = (Span::new(start, start + opening.len_utf8()), opening, 0);
        self.pasted = Some(self.pasted.map_or(first, |(span, quote, more)| (span, quote, more + 1)));
        Token::Text(content)
    }

    /// They come from one paste, and are one mistake.
    fn tell_pasted_quotes(&mut self) {
        let Some((span, quote, more)) = self.pasted else { return };
        let others = match more {
            0 => String::new(),
            1 => ", and 1 more text stands in such quotes".into(),
            more => format!(", and {more} more texts stand in such quotes"),
        };
        let what = format!("`{quote}` is a typographic quote{others}");
        self.faults.add(span, what, "use plain double quotes `\"`");
    }

    fn character(&mut self) -> Token {
        let start = self.at;
        self.at += 1;
        let mut bytes = Vec::new();
        match self.peek() {
            Some('\\') => self.escape(&mut bytes, false),
            Some(other) => {
                self.at += other.len_utf8();
                bytes.extend(other.encode_utf8(&mut [0; 4]).as_bytes());
            }
            None => {}
        }
        if self.eat("'") {
            // A byte such as '\xff' is no UTF-8; only its being a character matters here.
            return Token::Character(String::from_utf8_lossy(&bytes).chars().next().unwrap_or('\0'));
        }
        self.at = start + 1;
        self.eat_while(|character| !matches!(character, '\'' | '\n'));
        let content = self.text[start + 1..self.at].to_owned();
        self.eat("'");
        self.faults.add(
            Span::new(start, start + 1),
            "text does not go in single quotes",
            format!("put it in double quotes: `\"{}\"`", content.trim_end_matches([',', '\r'])),
        );
        Token::Text(content)
    }

    /// Text in double quotes; `prefix` bytes stand before the first quote.
    fn text_token(&mut self, prefix: usize) -> Token {
        let start = self.at;
        self.at += prefix + 1;
        let faults_before = self.faults.count();
        let mut bytes = Vec::new();
        loop {
            bytes.extend(self.eat_while(|character| !matches!(character, '"' | '\\')).as_bytes());
            match self.peek() {
                Some('"') => break,
                Some(_) => self.escape(&mut bytes, true),
                None => return self.unclosed(start, prefix),
            }
        }
        self.at += 1;
        if self.runs_into_the_next_text(start) && self.faults.count() == faults_before {
            return self.unclosed(start, prefix);
        }
        match String::from_utf8(bytes) {
            Ok(text) => Token::Text(text),
            Err(_) if prefix > 0 => Token::Bytes,
            Err(_) => {
                let span = Span::new(start, self.at);
                self.faults.add(span, "the `\\x` escapes make no character", "write the character itself");
                Token::Broken
            }
        }
    }

    /// Whether a text is followed by something no text can be followed by, and is closed on a later line or leaves a
    /// quote over on its own: then its end was forgotten, and what closed it is the opening of the next text.
    fn runs_into_the_next_text(&self, start: usize) -> bool {
        let after = self.rest().trim_start_matches(is_blank).chars().next();
        let followed = !matches!(after, None | Some(',' | ')' | ']' | '}' | ':' | '/'));
        followed && (self.text[start..self.at].contains('\n') || quotes::are_odd(&self.text[start..]))
    }

    /// Goes on from where a text that was not closed was most likely meant to end.
    fn unclosed(&mut self, start: usize, prefix: usize) -> Token {
        let content = start + prefix + 1;
        self.at = content + quotes::meant_length(&self.text[content..]);
        self.faults.add(Span::new(start, content), "this text is never closed", "put a `\"` at its end");
        Token::Broken
    }

    /// Whether the quote here closes words before it, the quote before them forgotten; if so it is passed, and they
    /// are taken for the text.
    fn closes_what_was_not_opened(&mut self, found: &mut Vec<Spanned>) -> bool {
        let opens = |token: &Token| matches!(token, Token::Mark('(' | '[' | '{' | ',' | ':' | '='));
        if found.last().is_none_or(|(token, _)| opens(token)) || !quotes::are_odd(self.rest()) {
            return false;
        }
        let Some(first) = value_begins(found) else { return false };
        let Some((Token::Word(_) | Token::Number(_), span)) = found.get(first).cloned() else { return false };
        self.at += 1;
        found.truncate(first);
        found.push((Token::Broken, Span::new(span.start, self.at)));
        self.faults.forget_from(span.start);
        let word = &self.text[span.range()];
        self.faults.add(span, "this text is never opened", format!("put a `\"` before `{word}`"));
        self.skip_blank();
        true
    }

    /// Reads one escape, standing on its backslash.
    fn escape(&mut self, bytes: &mut Vec<u8>, in_text: bool) {
        let start = self.at;
        self.at += 1;
        let Some(kind) = self.peek() else { return };
        if in_text && (self.eat("\n") || self.eat("\r\n")) {
            // A backslash at a line's end joins the next line to it.
            self.eat_while(|character| matches!(character, ' ' | '\t' | '\n' | '\r'));
            return;
        }
        self.at += kind.len_utf8();
        let plain = match kind {
            '\'' | '"' | '\\' => Some(kind),
            'n' => Some('\n'),
            'r' => Some('\r'),
            't' => Some('\t'),
            '0' => Some('\0'),
            'u' => self.unicode_escape(),
            'x' => {
                let digits = self.rest().get(..2).filter(|digits| digits.chars().all(|one| one.is_ascii_hexdigit()));
                if let Some(byte) = digits.and_then(|digits| u8::from_str_radix(digits, 16).ok()) {
                    self.at += 2;
                    bytes.push(byte);
                    return;
                }
                None
            }
            _ => None,
        };
        match plain {
            Some(character) => bytes.extend(character.encode_utf8(&mut [0; 4]).as_bytes()),
            None => self.faults.add(
                Span::new(start, self.at),
                format!("`\\{}` is no escape", kind.escape_debug()),
                "write a backslash as `\\\\`; in file names `/` serves everywhere",
            ),
        }
    }

    fn unicode_escape(&mut self) -> Option<char> {
        let digits = self.rest().strip_prefix('{')?.split_once('}')?.0;
        if digits.is_empty() || digits.len() > 6 || !digits.chars().all(|digit| digit.is_ascii_hexdigit()) {
            return None;
        }
        let character = u32::from_str_radix(digits, 16).ok().and_then(char::from_u32)?;
        self.at += digits.len() + 2;
        Some(character)
    }
}

/// Where among the tokens the value begins that the last of them belong to: behind the mark of its field, of a list, or
/// of what it is the name in, such as `Pole(`, or behind the text before it. `None` where it has none.
fn value_begins(found: &[Spanned]) -> Option<usize> {
    let mut closed = 0;
    for (at, (token, span)) in found.iter().enumerate().rev() {
        match token {
            Token::Text(_) if matches!(found.get(at + 1), Some((Token::Mark(','), _))) => return Some(at + 2),
            Token::Text(_) => return None,
            Token::Mark(':' | '[') => return Some(at + 1),
            Token::Mark(')') => closed += 1,
            Token::Mark('(') if closed > 0 => closed -= 1,
            Token::Mark('(') => {
                let before = at.checked_sub(1).and_then(|before| found.get(before));
                if before.is_some_and(|(name, there)| matches!(name, Token::Word(_)) && there.end == span.start) {
                    return Some(at + 1);
                }
            }
            _ => {}
        }
    }
    None
}

/// The value of a number as RON writes it: underscores, `0x`, `0o`, `0b`, type suffixes, `inf` and `NaN`.
pub(super) fn number_of(written: &str) -> Option<f64> {
    let (sign, unsigned) = match written.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, written.strip_prefix('+').unwrap_or(written)),
    };
    for (prefix, radix) in [("0x", 16), ("0o", 8), ("0b", 2)] {
        if let Some(digits) = unsigned.strip_prefix(prefix) {
            return whole_number(digits, radix).map(|value| sign * value);
        }
    }
    let bare = ["f32", "f64"].iter().find_map(|suffix| unsigned.strip_suffix(suffix)).unwrap_or(unsigned);
    match bare {
        "inf" => return Some(sign * f64::INFINITY),
        "NaN" => return Some(f64::NAN),
        _ => {}
    }
    let bare = without_whole_suffix(bare).replace('_', "");
    let sound = bare.starts_with(|first: char| first.is_ascii_digit() || first == '.')
        && bare.chars().all(|one| one.is_ascii_digit() || matches!(one, '.' | 'e' | 'E' | '+' | '-'));
    if sound { bare.parse::<f64>().ok().map(|value| sign * value) } else { None }
}

fn without_whole_suffix(digits: &str) -> &str {
    const SUFFIXES: [&str; 10] = ["i8", "i16", "i32", "i64", "i128", "u8", "u16", "u32", "u64", "u128"];
    SUFFIXES.iter().find_map(|suffix| digits.strip_suffix(suffix)).unwrap_or(digits)
}

fn whole_number(digits: &str, radix: u32) -> Option<f64> {
    let digits = without_whole_suffix(digits).replace('_', "");
    let value = u128::from_str_radix(&digits, radix).ok()?;
    // Beyond 53 bits the nearest value is near enough.
    #[allow(clippy::cast_precision_loss)]
    Some(value as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (Vec<Token>, usize) {
        let mut faults = Faults::of(text);
        let found = tokens(text, &mut faults).0.into_iter().map(|(token, _)| token).collect();
        (found, faults.count())
    }

    #[test]
    fn numbers_are_read_in_every_form_that_ron_writes() {
        for (written, value) in [
            ("6.2", 6.2),
            ("-0.5", -0.5),
            ("+.5", 0.5),
            ("1.", 1.0),
            ("1_000", 1000.0),
            ("0x1F", 31.0),
            ("-0b101", -5.0),
            ("0o17", 15.0),
            ("2.5e-3", 0.0025),
            ("1e3f64", 1000.0),
            ("7u8", 7.0),
            ("-inf", f64::NEG_INFINITY),
        ] {
            assert_eq!(read(written), (vec![Token::Number(value)], 0), "{written}");
        }
    }

    #[test]
    fn a_unit_written_on_to_a_number_is_one_fault() {
        for written in ["6.2m", "12°", "1.2.3", "−4", "0x", "--3", "5%"] {
            assert!(read(written).1 >= 1, "{written}");
        }
        assert_eq!(read("6.2m, 3"), (vec![Token::Broken, Token::Mark(','), Token::Number(3.0)], 1));
    }

    #[test]
    fn texts_keep_their_escapes_and_raw_texts_their_backslashes() {
        let text = |content: &str| (vec![Token::Text(content.into())], 0);
        assert_eq!(read(r#""a\n\"\\\u{e9}\xc3\xa9""#), text("a\n\"\\éé"));
        assert_eq!(read("\"joined \\\r\n   up\""), text("joined up"));
        assert_eq!(read(r##"r#"C:\"boat""#"##), text(r#"C:\"boat""#));
        assert_eq!(read(r#""C:\boat""#).1, 1);
    }

    #[test]
    fn comments_nest_and_attributes_are_passed_over() {
        let text = "#![enable(implicit_some)]\n/* one /* two */ still */ // three\nword";
        assert_eq!(read(text), (vec![Token::Word("word".into())], 0));
        assert_eq!(read("/* never").1, 1);
    }

    #[test]
    fn a_forgotten_quote_spoils_its_own_line_only() {
        let (found, faults) = read("name: \"port,\nrole: Port, optics: \"port 1 nm\",\n");
        assert_eq!(faults, 1);
        assert!(found.contains(&Token::Word("role".into())));
        assert!(found.contains(&Token::Text("port 1 nm".into())));
    }
}
