//! The hand that writes in a scene file: where an [`super::Edit`] goes, and how little of the text it takes.
//!
//! `gap` knows blanks and comments, `body` puts entries between brackets and takes them out, `pen` writes at a place of the
//! tree, `words` spells new lamps and parts, `write` carries out an edit. Must never ask whether the scene that comes of it
//! can be.

mod body;
mod gap;
mod pen;
mod words;
mod write;

pub(super) use gap::first_word;
pub(super) use pen::Pen;
pub(super) use write::{Trouble, write};
