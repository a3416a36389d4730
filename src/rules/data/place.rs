//! Where in a rule file a check of sense points.
//!
//! Takes a path of fields and rows of the finished set; gives the spot of the file that it came from. Rows taken over
//! from another set stand in no file: then the spot is what brought them in.

use crate::boat::read::{
    Span,
    text::{Node, Value},
};

/// One step down into a rule file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Step {
    Field(&'static str),
    Row(usize),
}

/// A path into a set of rules, from its top.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Path(Vec<Step>);

impl Path {
    /// A field of the set.
    pub fn top(name: &'static str) -> Self {
        Self(vec![Step::Field(name)])
    }

    /// A row of one of its lists.
    pub fn row(list: &'static str, index: usize) -> Self {
        Self::top(list).step(Step::Row(index))
    }

    pub fn field(self, name: &'static str) -> Self {
        self.step(Step::Field(name))
    }

    pub fn item(self, index: usize) -> Self {
        self.step(Step::Row(index))
    }

    fn step(mut self, step: Step) -> Self {
        self.0.push(step);
        self
    }
}

/// Something in a set of rules that makes no sense.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Doubt {
    pub path: Path,
    pub what: String,
    pub mend: String,
}

/// Which row of the file each row of the finished lists was; `None` for those taken over. A list that is not here was
/// taken as it stands in the file.
#[derive(Debug, Default)]
pub(super) struct Origins(Vec<(&'static str, Vec<Option<usize>>)>);

impl Origins {
    pub fn note(&mut self, list: &'static str, rows: Vec<Option<usize>>) {
        self.0.push((list, rows));
    }

    /// The row of the file, if it stands there.
    fn row(&self, list: &str, index: usize) -> Option<usize> {
        match self.0.iter().find(|(name, _)| *name == list) {
            Some((_, rows)) => rows.get(index).copied().flatten(),
            None => Some(index),
        }
    }

    /// The spot of a file that a path speaks of, or the nearest there is above it.
    pub fn span(&self, root: &Node, path: &Path) -> Span {
        let [Step::Field(first), rest @ ..] = path.0.as_slice() else { return root.head_span() };
        let Some(mut node) = root.field(first) else { return brought_in(root) };
        for (depth, step) in rest.iter().enumerate() {
            let next = match step {
                Step::Field(name) => bare(node).field(name),
                Step::Row(index) if depth == 0 => match self.row(first, *index) {
                    Some(index) => bare(node).items().get(index),
                    None => return brought_in(root),
                },
                Step::Row(index) => bare(node).items().get(*index),
            };
            let Some(next) = next else { break };
            node = next;
        }
        bare(node).head_span()
    }
}

/// What changed the rows taken over, or named where they come from.
fn brought_in(root: &Node) -> Span {
    let named = root.field("drop").or_else(|| root.field("from"));
    named.map_or(root.head_span(), Node::head_span)
}

/// A value without a `Some(...)` around it.
fn bare(node: &Node) -> &Node {
    match &node.value {
        Value::Optional(Some(inner)) => bare(inner),
        _ => node,
    }
}
