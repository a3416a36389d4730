//! The lines of a written mesh file, one at a time, whatever bytes are in it.

use std::io::{BufRead, Read};

use super::{MeshError, gather::Gathered};

/// A line longer than this is none, bytes.
const LONGEST_LINE: u64 = 1 << 20;
/// Nor are more joined than make up this.
const LONGEST_JOINED: usize = 1 << 22;

pub(super) struct Lines<R> {
    file: R,
    bytes: Vec<u8>,
    text: String,
    /// Of the last line given, counted from 1.
    pub number: usize,
}

impl<R: BufRead> Lines<R> {
    pub fn of(file: R) -> Self {
        Self { file, bytes: Vec::new(), text: String::new(), number: 0 }
    }

    /// The next line without its end; one that ends in a backslash is joined with the one after it.
    pub fn next(&mut self, gathered: &Gathered) -> Result<Option<&str>, MeshError> {
        self.text.clear();
        loop {
            self.bytes.clear();
            let taken = (&mut self.file).take(LONGEST_LINE).read_until(b'\n', &mut self.bytes);
            if taken.map_err(|error| gathered.damaged(error))? == 0 {
                return Ok((!self.text.is_empty()).then_some(&self.text));
            }
            self.number += 1;
            if u64::try_from(self.bytes.len()).is_ok_and(|taken| taken >= LONGEST_LINE) {
                return Err(gathered.damaged(format!("line {} is far too long", self.number)));
            }
            let line = String::from_utf8_lossy(&self.bytes);
            // Some editors mark a file as Unicode by letters before the first.
            let line = if self.number == 1 { line.trim_start_matches('\u{feff}') } else { &line };
            let line = line.trim_end();
            match line.strip_suffix('\\') {
                Some(part) if self.text.len() < LONGEST_JOINED => {
                    self.text.push_str(part);
                    self.text.push(' ');
                }
                _ => {
                    self.text.push_str(line);
                    // An empty line is a line all the same.
                    if self.text.is_empty() {
                        self.text.push(' ');
                    }
                    return Ok(Some(&self.text));
                }
            }
        }
    }
}
