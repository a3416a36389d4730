//! Writes files whole or not at all: beside their place first, then moved there.
//!
//! Takes a path and all of its bytes; a failure leaves what was there before. Must never know what is in them.

use std::{
    fs::{self, File, Permissions},
    io::{self, Write},
    path::{Path, PathBuf},
};

use tempfile::NamedTempFile;

/// The folder that a file lies in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Writes a file whole. It is open to readers, unless it is to have permissions of its own.
///
/// # Errors
/// When the folder or the file cannot be written.
pub(crate) fn write(path: &Path, bytes: &[u8], permissions: Option<Permissions>) -> io::Result<()> {
    let folder = folder_of(path);
    // The name of the file beside would only puzzle whoever reads of the failure.
    let mut beside = NamedTempFile::new_in(folder).map_err(|error| io::Error::from(error.kind()))?;
    beside.write_all(bytes)?;
    match permissions {
        Some(permissions) => beside.as_file().set_permissions(permissions)?,
        None => open_to_readers(beside.as_file())?,
    }
    beside.as_file().sync_all()?;
    beside.persist(path).map_err(|error| error.error)?;
    flush_folder(folder);
    Ok(())
}

/// Temporary files are made for their owner's eyes only; a picture or a plot is for others too.
#[cfg(unix)]
fn open_to_readers(file: &File) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    file.set_permissions(Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn open_to_readers(_file: &File) -> io::Result<()> {
    Ok(())
}

/// Has the new name outlast a power cut, where the system can; the file is whole without.
fn flush_folder(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

/// The file that a path leads to through any links, be it there or not; the path itself where that cannot be told.
pub(crate) fn target_of(path: &Path) -> PathBuf {
    const MOST_LINKS: usize = 40;
    if let Ok(target) = fs::canonicalize(path) {
        return target;
    }
    let mut target = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = folder_of(&target).join(next),
            Err(_) => break,
        }
    }
    match (fs::canonicalize(folder_of(&target)), target.file_name()) {
        (Ok(folder), Some(name)) => folder.join(name),
        _ => target,
    }
}
