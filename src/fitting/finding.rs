//! One thing that cannot be made as it is asked for, or is better made otherwise.

use serde::Serialize;

use crate::rules::Severity;

/// See the module.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    pub severity: Severity,
    /// What it is about, as a heading: "inside radius".
    pub about: &'static str,
    /// What is wrong, with its figures, in one plain sentence.
    pub what: String,
    /// How to mend it.
    pub mend: String,
    /// Where the figure is from that is not kept; empty where none bears on it.
    pub source: String,
}

impl Finding {
    pub fn fault(about: &'static str, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::of(Severity::Fault, about, what, mend)
    }

    pub fn caution(about: &'static str, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self::of(Severity::Caution, about, what, mend)
    }

    fn of(severity: Severity, about: &'static str, what: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { severity, about, what: what.into(), mend: mend.into(), source: String::new() }
    }

    /// The same, with where its figure is from.
    pub fn by(self, source: &str) -> Self {
        Self { source: source.into(), ..self }
    }

    pub fn is_fault(&self) -> bool {
        self.severity == Severity::Fault
    }
}
