//! Where words go: results to standard output, messages to standard error, files whole or not at all.

use std::{
    io::{self, ErrorKind, IsTerminal, Write},
    path::Path,
};

use tempfile::NamedTempFile;

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
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    // The name of the file beside would only puzzle whoever reads of the failure.
    let mut beside = NamedTempFile::new_in(folder).map_err(|error| io::Error::from(error.kind()))?;
    beside.write_all(bytes)?;
    open_to_readers(beside.as_file())?;
    beside.as_file().sync_all()?;
    beside.persist(path).map(drop).map_err(|error| error.error)
}

/// Temporary files are made for their owner's eyes only; a picture or a plot is for others too.
#[cfg(unix)]
fn open_to_readers(file: &std::fs::File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn open_to_readers(_file: &std::fs::File) -> io::Result<()> {
    Ok(())
}

/// Whether colour belongs on a stream: a terminal, and nobody asked for none (the NO_COLOR convention).
pub(super) fn colourful(stream: &impl IsTerminal) -> bool {
    stream.is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}
