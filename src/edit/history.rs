//! Steps that were made, to be undone and made again without limit.
//!
//! Holds differences of the text, a few bytes for each step. Must never know what a scene is.

/// A stretch of the text and what took its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    at: usize,
    old: String,
    new: String,
}

impl Change {
    /// What differs between two stretches, the first of which begins at a byte of the text; `None` where nothing does.
    pub fn between(at: usize, old: &str, new: &str) -> Option<Self> {
        if old == new {
            return None;
        }
        let same = |(a, b): &(char, char)| a == b;
        let before: usize = old.chars().zip(new.chars()).take_while(same).map(|(one, _)| one.len_utf8()).sum();
        let (old, new) = (&old[before..], &new[before..]);
        let after: usize =
            old.chars().rev().zip(new.chars().rev()).take_while(same).map(|(one, _)| one.len_utf8()).sum();
        let (old, new) = (&old[..old.len() - after], &new[..new.len() - after]);
        Some(Self { at: at + before, old: old.into(), new: new.into() })
    }

    pub fn make(&self, text: &mut String) {
        put(text, self.at, &self.old, &self.new);
    }

    pub fn take_back(&self, text: &mut String) {
        put(text, self.at, &self.new, &self.old);
    }
}

fn put(text: &mut String, at: usize, old: &str, new: &str) {
    let range = at..at + old.len();
    debug_assert_eq!(text.get(range.clone()), Some(old), "a change is made in the text it was found in");
    if text.get(range.clone()).is_some() {
        text.replace_range(range, new);
    }
}

/// Something that was done, as the user thinks of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// In plain words, such as "Move starboard sidelight".
    pub label: String,
    /// In the order they were made.
    pub changes: Vec<Change>,
}

/// All steps of a session.
#[derive(Clone, Debug, Default)]
pub struct History {
    steps: Vec<Step>,
    /// How many of them are made; those after are undone.
    made: usize,
}

impl History {
    /// Adds a step. Those that were undone before it are gone.
    pub fn add(&mut self, step: Step) {
        self.steps.truncate(self.made);
        self.steps.push(step);
        self.made = self.steps.len();
    }

    /// All steps in order, and how many of them are made.
    pub fn steps(&self) -> (&[Step], usize) {
        (&self.steps, self.made)
    }

    pub fn to_undo(&self) -> Option<&Step> {
        self.made.checked_sub(1).and_then(|last| self.steps.get(last))
    }

    pub fn to_redo(&self) -> Option<&Step> {
        self.steps.get(self.made)
    }

    pub fn undone(&mut self) {
        self.made = self.made.saturating_sub(1);
    }

    pub fn redone(&mut self) {
        self.made = (self.made + 1).min(self.steps.len());
    }
}

impl Step {
    pub fn make(&self, text: &mut String) {
        self.changes.iter().for_each(|change| change.make(text));
    }

    pub fn take_back(&self, text: &mut String) {
        self.changes.iter().rev().for_each(|change| change.take_back(text));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_holds_only_what_differs() {
        assert_eq!(
            Change::between(5, "port: 0.70", "port: 0.75"),
            Some(Change { at: 14, old: "0".into(), new: "5".into() })
        );
        assert_eq!(Change::between(0, "aa", "aaa"), Some(Change { at: 2, old: String::new(), new: "a".into() }));
        assert_eq!(Change::between(0, "é", "è"), Some(Change { at: 0, old: "é".into(), new: "è".into() }));
        assert_eq!(Change::between(3, "same", "same"), None);
    }

    #[test]
    fn what_was_undone_is_gone_after_a_new_step() {
        let step = |label: &str| Step { label: label.into(), changes: Vec::new() };
        let mut history = History::default();
        for label in ["one", "two", "three"] {
            history.add(step(label));
        }
        history.undone();
        history.undone();
        assert_eq!(history.to_redo().map(|step| step.label.as_str()), Some("two"));
        history.add(step("four"));
        let labels: Vec<&str> = history.steps().0.iter().map(|step| step.label.as_str()).collect();
        assert_eq!((labels, history.to_redo()), (vec!["one", "four"], None));
    }
}
