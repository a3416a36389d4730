//! Where words go: results to standard output, messages to standard error, files whole or not at all.

use std::{
    io::{self, ErrorKind, IsTerminal, Write},
    path::Path,
};

use crate::whole_file;

/// A message to a person. A closed standard error is nobody to tell.
pub(super) fn say(message: &str) {
    let _ = writeln!(io::stderr().lock(), "{message}");
}

/// A result. A reader that has seen enough and closed the pipe is no error.
///
/// # Errors
/// When standard output cannot be written.
pub(super) fn give(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() == ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Writes a file whole: beside its place first, then moved there, so that a failure leaves what was before.
///
/// # Errors
/// When the folder or the file cannot be written.
pub(super) fn write_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    whole_file::write(path, bytes, None)
}

/// Whether colour belongs on a stream: a terminal, and nobody asked for none (the NO_COLOR convention).
pub(super) fn colourful(stream: &impl IsTerminal) -> bool {
    stream.is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}
