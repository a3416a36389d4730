//! The sheet of a bracket as text for a terminal of eighty columns.

use super::{CAUTIONS, HOLE_DATUM, HOLE_HEADS, finding_words, fold_words, heading, hole_rows, joint_words, verdict};
use crate::{
    fitting::bracket::{Bracket, Piece},
    sheet::{capitalised, wrap},
};

const COLUMNS: usize = 80;

/// Everything that is told of the bracket.
pub fn text(bracket: &Bracket) -> String {
    let mut out = wrap::hanging("", &heading(bracket), COLUMNS);
    out.push_str(&wrap::hanging("", &bracket.title, COLUMNS));
    out.push_str(&wrap::hanging("", &verdict(bracket), COLUMNS));
    out.push('\n');
    for (name, words) in &bracket.facts {
        out.push_str(&row(name, words));
    }
    for piece in &bracket.pieces {
        out.push_str(&piece_words(piece));
    }
    if let Some(joint) = &bracket.joint {
        out.push_str("\nFastened down\n");
        joint_words(joint).iter().for_each(|(name, words)| out.push_str(&row(name, words)));
    }
    if !bracket.findings.is_empty() {
        out.push_str("\nFindings\n");
    }
    for finding in &bracket.findings {
        let (what, mend) = finding_words(finding);
        out.push_str(&wrap::hanging("  ", &what, COLUMNS));
        out.push_str(&wrap::hanging("    ", &mend, COLUMNS));
    }
    if !bracket.notes.is_empty() {
        out.push_str("\nNotes\n");
    }
    for note in &bracket.notes {
        out.push_str(&wrap::hanging("  ", note, COLUMNS));
    }
    out.push('\n');
    out.push_str(&wrap::hanging("", CAUTIONS, COLUMNS));
    out
}

fn row(name: &str, words: &str) -> String {
    wrap::hanging(&format!("{name:<11}"), words, COLUMNS)
}

fn piece_words(piece: &Piece) -> String {
    let mut out = format!("\n{}\n", capitalised(&piece.name));
    for fold in &piece.folds {
        out.push_str(&wrap::hanging("  ", &fold_words(fold), COLUMNS));
    }
    if piece.holes.is_empty() {
        return out;
    }
    let line = |[hole, drill, purpose, right, down]: [&str; 5]| {
        format!("  {hole:>4}  {drill:>5}  {right:>7}  {down:>7}  {purpose}\n")
    };
    out.push_str(&line(HOLE_HEADS));
    for row in hole_rows(piece) {
        out.push_str(&line(row.each_ref().map(String::as_str)));
    }
    out.push_str(&wrap::hanging("  ", HOLE_DATUM, COLUMNS));
    out
}
