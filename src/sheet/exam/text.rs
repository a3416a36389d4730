//! A question paper as plain text.

use super::{Entry, Paper, dots, letter};
use crate::{sheet::wrap::hanging, teach::CAUTION};

const WIDTH: usize = 88;

/// The paper: questions, and behind them the answers where they are asked for.
pub fn text(paper: &Paper) -> String {
    let mut out = format!("{}\n{}\n\n", paper.title, "=".repeat(paper.title.chars().count()));
    put(&mut out, &paper.about, "");
    out.push('\n');
    let mut number = 0;
    for entry in &paper.entries {
        entry_text(&mut out, entry, &mut number);
    }
    if paper.answers {
        answers(&mut out, paper);
    }
    put(&mut out, CAUTION, "");
    out
}

fn put(out: &mut String, words: &str, before: &str) {
    out.push_str(&hanging(before, words, WIDTH));
}

fn entry_text(out: &mut String, entry: &Entry, number: &mut usize) {
    if let Some(heading) = &entry.heading {
        out.push_str(&format!("{heading}\n"));
    }
    for words in &entry.words {
        put(out, words, "");
    }
    let Some(question) = &entry.question else {
        out.push('\n');
        return;
    };
    *number += 1;
    out.push('\n');
    put(out, &question.ask, &format!("{number}. "));
    if !entry.lights.is_empty() {
        for row in dots::letters(&entry.lights) {
            out.push_str(&format!("     {row}\n"));
        }
    }
    for (place, choice) in question.choices.iter().enumerate() {
        put(out, choice, &format!("   {}  ", letter(place)));
    }
    if let Some(blank) = &question.blank {
        out.push_str(&format!("   {blank} ______\n"));
    }
    out.push('\n');
}

fn answers(out: &mut String, paper: &Paper) {
    out.push_str("Answers\n-------\n\n");
    for (index, question) in paper.entries.iter().filter_map(|entry| entry.question.as_ref()).enumerate() {
        put(out, &format!("{}.  {}", question.answer, question.why), &format!("{}. ", index + 1));
    }
    out.push('\n');
}
