//! Reads RON text into a tree whose every value, field and name knows the bytes it stands on.
//!
//! Takes any text; gives a tree and adds what is wrong to the list of faults, going on after each. What could not be
//! read is [`Value::Broken`]. Must never know what a scene is.

use super::{
    fault::{Faults, Span},
    lex::{Spanned, Token, number_of, tokens},
    units,
};

/// A name with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Name {
    pub text: String,
    pub span: Span,
}

/// A named field of a struct.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    pub name: Name,
    pub value: Node,
}

impl Field {
    /// From its name to the end of its value.
    pub fn span(&self) -> Span {
        self.name.span.to(self.value.span)
    }
}

/// A value with its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    pub span: Span,
    pub value: Value,
    /// Whether something directly inside could not be read, so that what seems missing may only be lost.
    pub damaged: bool,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    Unit,
    Bool(bool),
    Number(f64),
    Text(String),
    Character(char),
    /// A byte string; nothing here needs its content.
    Bytes,
    /// A bare word: a variant or a struct without fields.
    Word(String),
    Optional(Option<Box<Node>>),
    List(Vec<Node>),
    Map(Vec<(Node, Node)>),
    Tuple {
        name: Option<Name>,
        items: Vec<Node>,
    },
    Struct {
        name: Option<Name>,
        fields: Vec<Field>,
    },
    /// Could not be read; already reported.
    Broken,
}

impl Node {
    fn new(span: Span, value: Value) -> Self {
        Self { span, value, damaged: false }
    }

    /// The name in front of the brackets, or the bare word.
    pub fn head(&self) -> Option<&str> {
        match &self.value {
            Value::Word(word) => Some(word),
            Value::Tuple { name, .. } | Value::Struct { name, .. } => name.as_ref().map(|name| name.text.as_str()),
            _ => None,
        }
    }

    /// Where to point when the value as a whole is meant: its name, or its first byte.
    pub fn head_span(&self) -> Span {
        match &self.value {
            Value::Tuple { name: Some(name), .. } | Value::Struct { name: Some(name), .. } => name.span,
            Value::Tuple { .. } | Value::Struct { .. } | Value::List(_) | Value::Map(_) => {
                Span::new(self.span.start, self.span.start + 1)
            }
            _ => self.span,
        }
    }

    /// The fields of a struct; empty for anything else.
    pub fn fields(&self) -> &[Field] {
        if let Value::Struct { fields, .. } = &self.value { fields } else { &[] }
    }

    /// The value of a field; `None` when there is none or this is no struct.
    pub fn field(&self, name: &str) -> Option<&Node> {
        self.fields().iter().find(|field| field.name.text == name).map(|field| &field.value)
    }

    /// The values of a list; empty for anything else.
    pub fn items(&self) -> &[Node] {
        if let Value::List(items) = &self.value { items } else { &[] }
    }
}

/// The tree of a text that should hold a struct called `title`.
pub(crate) fn parse<'t>(text: &'t str, title: &str, faults: &'t mut Faults) -> Node {
    let (tokens, unclosed) = tokens(text, faults);
    let mut parser = Parser { text, tokens, at: 0, open: Vec::new(), faults, unclosed };
    if parser.tokens.is_empty() {
        let end = Span::new(0, 0);
        let mend = format!("begin it with `{title}(` and end it with `)`");
        parser.faults.add(end, "there is nothing in this file", mend);
        return Node::new(end, Value::Broken);
    }
    let mut node = parser.value();
    node.damaged |= parser.something_more();
    node
}

/// The tree of a text when nothing in it is wrong.
pub fn tree(text: &str) -> Option<Node> {
    let mut faults = Faults::of(text);
    let node = parse(text, "Scene", &mut faults);
    (faults.count() == 0).then_some(node)
}

/// Brackets within brackets beyond this are no scene, and would only fill the stack.
const DEEPEST: usize = 128;

struct Open {
    opener: Span,
    close: char,
}

enum Entry {
    Item(Node),
    Field(Field),
    Pair(Node, Node),
}

/// What stands between two brackets.
#[derive(Default)]
struct Inside {
    entries: Vec<Entry>,
    damaged: bool,
}

struct Parser<'f> {
    text: &'f str,
    tokens: Vec<Spanned>,
    at: usize,
    open: Vec<Open>,
    faults: &'f mut Faults,
    /// Whether something never closed has been reported: the brackets around it follow from it.
    unclosed: bool,
}

impl Parser<'_> {
    fn token(&self, ahead: usize) -> Option<&Token> {
        self.tokens.get(self.at + ahead).map(|(token, _)| token)
    }

    fn mark(&self, ahead: usize) -> Option<char> {
        if let Some(Token::Mark(mark)) = self.token(ahead) { Some(*mark) } else { None }
    }

    fn span(&self) -> Span {
        self.tokens.get(self.at).map_or(Span::new(self.text.len(), self.text.len()), |(_, span)| *span)
    }

    /// The token just passed.
    fn passed(&self) -> Span {
        self.at.checked_sub(1).and_then(|at| self.tokens.get(at)).map_or(Span::default(), |(_, span)| *span)
    }

    /// Whether something is left over; reported unless it follows from what was reported before.
    fn something_more(&mut self) -> bool {
        let left = self.at < self.tokens.len();
        if left && !self.unclosed {
            let (what, mend) = match self.mark(0) {
                Some(mark @ (')' | ']' | '}')) => (
                    format!("nothing is open that this `{mark}` could close"),
                    "take it out, or look for one too many above",
                ),
                _ => (
                    "the file has already ended before this".into(),
                    "take it out, or look above for a bracket closed too early",
                ),
            };
            self.faults.add(self.span(), what, mend);
        }
        left
    }

    fn value(&mut self) -> Node {
        let here = self.span();
        let Some((token, _)) = self.tokens.get(self.at).cloned() else {
            self.faults.add(here, "the file ends where a value should be", "write the value");
            return Node::new(here, Value::Broken);
        };
        if let Token::Mark(mark) = token {
            return self.marked(mark);
        }
        self.at += 1;
        let value = match token {
            Token::Word(word) => return self.worded(Name { text: word, span: here }),
            Token::Text(text) => Value::Text(text),
            Token::Character(character) => Value::Character(character),
            Token::Bytes => Value::Bytes,
            Token::Number(number) => Value::Number(number),
            Token::Mark(_) | Token::Broken => Value::Broken,
        };
        Node::new(here, value)
    }

    /// A value that begins with a mark: a bracket, if it is a value at all.
    fn marked(&mut self, mark: char) -> Node {
        let here = self.span();
        match mark {
            '(' => self.grouped(None, ')'),
            '[' => {
                let inside = self.between(']', Self::item);
                let items = inside.entries.into_iter().filter_map(Entry::item).collect();
                Node { span: here.to(self.passed()), value: Value::List(items), damaged: inside.damaged }
            }
            '{' => {
                let inside = self.between('}', Self::pair);
                let pairs = inside.entries.into_iter().filter_map(Entry::pair).collect();
                Node { span: here.to(self.passed()), value: Value::Map(pairs), damaged: inside.damaged }
            }
            _ => {
                self.faults.add(here, format!("a value is missing before this `{mark}`"), "write the value");
                Node::new(Span::new(here.start, here.start), Value::Broken)
            }
        }
    }

    fn worded(&mut self, name: Name) -> Node {
        let span = name.span;
        match (self.mark(0), name.text.as_str()) {
            (Some('('), "Some") => {
                let inner = self.grouped(None, ')');
                let span = span.to(inner.span);
                let single = match inner.value {
                    Value::Tuple { name: None, mut items } if items.len() == 1 => items.pop(),
                    value => Some(Node { value, ..inner }),
                };
                Node::new(span, Value::Optional(single.map(Box::new)))
            }
            (Some('('), _) => self.grouped(Some(name), ')'),
            (Some('{'), word) => {
                let what = format!("the fields of `{word}` go in round brackets");
                self.faults.add(self.span(), what, "use `(` and `)` in place of `{` and `}`");
                self.grouped(Some(name), '}')
            }
            (_, "true") => Node::new(span, Value::Bool(true)),
            (_, "false") => Node::new(span, Value::Bool(false)),
            (_, "None") => Node::new(span, Value::Optional(None)),
            (_, word) => match Self::number_word(word) {
                Some(number) => Node::new(span, Value::Number(number)),
                None => Node::new(span, Value::Word(name.text)),
            },
        }
    }

    fn number_word(word: &str) -> Option<f64> {
        if word.starts_with("inf") || word.starts_with("NaN") { number_of(word) } else { None }
    }

    /// A struct or tuple, standing on its opening bracket.
    fn grouped(&mut self, name: Option<Name>, close: char) -> Node {
        let start = name.as_ref().map_or(self.span(), |name| name.span);
        let Inside { entries, mut damaged } = self.between(close, Self::item_or_field);
        let span = start.to(self.passed());
        if entries.is_empty() && name.is_none() && !damaged {
            return Node::new(span, Value::Unit);
        }
        if !entries.iter().any(|entry| matches!(entry, Entry::Field(_))) {
            let items = entries.into_iter().filter_map(Entry::item).collect();
            return Node { span, value: Value::Tuple { name, items }, damaged };
        }
        let mut fields = Vec::new();
        for entry in entries {
            match entry {
                Entry::Field(field) => fields.push(field),
                Entry::Item(node) if node.value == Value::Broken => damaged = true,
                Entry::Item(node) => {
                    damaged = true;
                    let mend = match node.value {
                        Value::Number(_) => {
                            "write its name and a colon before it; a decimal is written with a point, as `6.2`"
                        }
                        _ => "write its name and a colon before it",
                    };
                    self.faults.add(node.head_span(), "the name of the field is missing before this", mend);
                }
                Entry::Pair(..) => {}
            }
        }
        Node { span, value: Value::Struct { name, fields }, damaged }
    }

    /// Everything up to the closing bracket, standing on the opening one.
    fn between(&mut self, close: char, read: fn(&mut Self) -> Entry) -> Inside {
        let opener = self.span();
        self.at += 1;
        let mut inside = Inside::default();
        if self.open.len() >= DEEPEST {
            self.faults.add(
                opener,
                "brackets are nested too deep here",
                format!("keep to {DEEPEST} within one another"),
            );
            self.skip_to_close();
            inside.damaged = true;
            return inside;
        }
        self.open.push(Open { opener, close });
        while !self.closed(&mut inside) {
            if self.mark(0) == Some(',') {
                self.faults.add(self.span(), "a comma with nothing before it", "take it out, or write what is missing");
                self.at += 1;
                inside.damaged = true;
                continue;
            }
            let before = self.at;
            let mut entry = read(self);
            self.decimal_comma(&mut entry);
            // What cannot begin a value must still be passed.
            if self.at == before {
                self.at += 1;
            }
            inside.damaged |= matches!(&entry, Entry::Item(node) | Entry::Field(Field { value: node, .. }) if node.value == Value::Broken);
            inside.entries.push(entry);
            self.separator(&mut inside);
        }
        self.open.pop();
        inside
    }

    /// Whether the bracket ends here: by its own mark, by one that closes a bracket around it, or by the file's end.
    fn closed(&mut self, inside: &mut Inside) -> bool {
        let Some(open) = self.open.last() else { return true };
        let (opener, close) = (open.opener, open.close);
        let opened_on = self.faults.lines.line(opener.start);
        if self.at >= self.tokens.len() {
            inside.damaged = true;
            if !self.unclosed {
                self.unclosed = true;
                self.faults.add(opener, "this bracket is never closed", format!("put a `{close}` where it ends"));
            }
            return true;
        }
        match self.mark(0) {
            Some(mark) if mark == close => {
                self.at += 1;
                true
            }
            // A struct in curly brackets has been reported already, however it ends.
            Some(')') if close == '}' && self.struct_in_curly(opener) => {
                self.at += 1;
                true
            }
            Some(mark @ (')' | ']' | '}')) => {
                inside.damaged = true;
                let around = self.open.iter().rev().skip(1).any(|open| open.close == mark);
                let what = format!("`{mark}` where a `{close}` should close the bracket opened on line {opened_on}");
                let mend = if around {
                    format!("put a `{close}` before it")
                } else {
                    self.at += 1;
                    format!("put a `{close}` in place of it")
                };
                self.faults.add(if around { self.span() } else { self.passed() }, what, mend);
                true
            }
            _ if self.next_of_the_list_around(inside) || self.next_field_of_the_struct_around(inside) => {
                inside.damaged = true;
                self.faults.add(
                    self.span(),
                    format!("the bracket opened on line {opened_on} is still open here"),
                    format!("put a `{close}` before this"),
                );
                true
            }
            _ => false,
        }
    }

    /// Whether the bracket at `opener` is a curly one right behind a name.
    fn struct_in_curly(&self, opener: Span) -> bool {
        let at = self.tokens.partition_point(|(_, span)| span.start < opener.start);
        at.checked_sub(1).is_some_and(|before| matches!(self.tokens[before].0, Token::Word(_)))
    }

    /// Whether, among the fields of a struct in a list, another `Name(` begins: then the struct was not closed.
    fn next_of_the_list_around(&self, inside: &Inside) -> bool {
        let among_fields = matches!(inside.entries.last(), Some(Entry::Field(_)));
        let begins_struct = matches!(self.token(0), Some(Token::Word(_))) && self.mark(1) == Some('(');
        let in_list = self.open.iter().rev().nth(1).is_some_and(|around| around.close == ']');
        among_fields && begins_struct && in_list
    }

    /// Whether, among the items of a list in a struct, another `field:` begins: then the list was not closed.
    fn next_field_of_the_struct_around(&self, inside: &Inside) -> bool {
        let in_list = self.open.last().is_some_and(|open| open.close == ']');
        let in_struct = self.open.iter().rev().nth(1).is_some_and(|around| around.close == ')');
        let begins_field = matches!(self.token(0), Some(Token::Word(_))) && self.mark(1) == Some(':');
        in_list && in_struct && begins_field && !inside.entries.is_empty() && !inside.damaged
    }

    /// Passes over the rest of `0,65`: in a field, where two numbers cannot follow one another, it is one number
    /// written with a comma.
    fn decimal_comma(&mut self, entry: &mut Entry) {
        let Entry::Field(Field { value: node, .. }) = entry else { return };
        let (Value::Number(_), Some(','), Some(Token::Number(_))) = (&node.value, self.mark(0), self.token(1)) else {
            return;
        };
        let whole = node.span.to(self.tokens[self.at + 1].1);
        let written = self.text.get(whole.range()).unwrap_or_default();
        if written.contains(char::is_whitespace) || self.mark(2) == Some(':') {
            return;
        }
        let mend = format!("write `{}`, with a point", written.replacen(',', ".", 1));
        self.faults.add(whole, format!("`{written}` is not a number"), mend);
        self.at += 2;
        *node = Node::new(whole, Value::Broken);
    }

    /// Passes the comma after an entry, or says that it is missing.
    fn separator(&mut self, inside: &mut Inside) {
        let after = self.passed();
        match self.token(0) {
            None | Some(Token::Mark(')' | ']' | '}')) => {}
            Some(Token::Mark(',')) => self.at += 1,
            Some(Token::Mark(';')) => {
                self.faults.add(self.span(), "`;` where a comma should be", "write `,`");
                self.at += 1;
            }
            // A struct that was not closed has already passed the comma, or a broken text has swallowed it.
            _ if matches!(self.passed_token(), Some(Token::Mark(',') | Token::Broken)) => {}
            Some(Token::Word(unit))
                if matches!(self.passed_token(), Some(Token::Number(_)))
                    && !matches!(self.mark(1), Some(':' | '(' | '=')) =>
            {
                let what = format!("`{unit}` after a number");
                self.units(what);
            }
            Some(Token::Mark(':' | '=')) => {
                self.faults.add(self.span(), "no field can begin here", "look for a bracket closed too early above");
                self.at += 1;
                inside.damaged = true;
            }
            Some(_) => {
                let gap = Span::new(after.end, after.end);
                self.faults.add(gap, "a comma is missing here", "write `,` between one entry and the next");
            }
        }
    }

    /// Passes a unit behind the number just passed, and what belongs to it, as in `17 ft 6 in`.
    fn units(&mut self, what: String) {
        let first = self.span();
        let mut number = self.passed();
        let mut written = Vec::new();
        loop {
            written.push(self.text.get(number.to(self.span()).range()).unwrap_or_default());
            self.at += 1;
            let (Some(Token::Number(_)), Some(Token::Word(_))) = (self.token(0), self.token(1)) else { break };
            number = self.span();
            self.at += 1;
        }
        self.faults.add(first, what, units::mend(&written));
        if self.mark(0) == Some(',') {
            self.at += 1;
        }
    }

    fn passed_token(&self) -> Option<&Token> {
        self.tokens.get(self.at.checked_sub(1)?).map(|(token, _)| token)
    }

    fn item(&mut self) -> Entry {
        Entry::Item(self.value())
    }

    fn pair(&mut self) -> Entry {
        let key = self.value();
        if self.colon() {
            return Entry::Pair(key, self.value());
        }
        self.faults.add(self.span(), "a colon is missing before this", "write `key: value`");
        let nothing = Node::new(self.span(), Value::Broken);
        Entry::Pair(key, nothing)
    }

    fn item_or_field(&mut self) -> Entry {
        let here = self.span();
        let keyed = matches!(self.mark(1), Some(':' | '='));
        let name = match self.token(0) {
            Some(Token::Word(word)) if keyed => word.clone(),
            Some(Token::Text(word)) if keyed => {
                let word = word.clone();
                let what = format!("the name of the field `{word}` stands in quotes");
                self.faults.add(here, what, format!("write `{word}:` without quotes"));
                word
            }
            _ => return self.item(),
        };
        self.at += 1;
        self.colon();
        Entry::Field(Field { name: Name { text: name, span: here }, value: self.value() })
    }

    fn colon(&mut self) -> bool {
        match self.mark(0) {
            Some(':') => self.at += 1,
            Some('=') => {
                self.faults.add(self.span(), "`=` where a colon should be", "write `:`");
                self.at += 1;
            }
            _ => return false,
        }
        true
    }

    fn skip_to_close(&mut self) {
        let mut depth = 1;
        while depth > 0 && self.at < self.tokens.len() {
            match self.mark(0) {
                Some('(' | '[' | '{') => depth += 1,
                Some(')' | ']' | '}') => depth -= 1,
                _ => {}
            }
            self.at += 1;
        }
    }
}

impl Entry {
    fn item(self) -> Option<Node> {
        if let Self::Item(node) = self { Some(node) } else { None }
    }

    fn pair(self) -> Option<(Node, Node)> {
        if let Self::Pair(key, value) = self { Some((key, value)) } else { None }
    }
}
