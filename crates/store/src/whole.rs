//! A file is written beside its target and renamed: it is there whole or not at all. Main function: [`write_whole`].

use std::fs::{self, File};
use std::io;
use std::path::Path;
use std::sync::atomic::{AtomicU64, Ordering};

/// Who may read a file that is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadBy {
    /// Whoever may read any new file of its owner.
    Anybody,
    /// Its owner alone, from the first byte on.
    Owner,
}

/// How many files this process began to write: each has its own name until it is whole.
static WRITTEN: AtomicU64 = AtomicU64::new(0);

/// Writes a file whole or not at all, and makes sure that it outlasts a power cut.
///
/// # Errors
/// - the system's, where the file or its folder cannot be written; what stood there before stands there still
pub fn write_whole(
    path: &Path,
    read_by: ReadBy,
    write: impl FnOnce(&mut File) -> io::Result<()>,
) -> io::Result<()> {
    let number = WRITTEN.fetch_add(1, Ordering::Relaxed);
    let beside = path.with_extension(format!("{}-{number}.part", std::process::id()));
    // Of a process of the same number that was stopped.
    fs::remove_file(&beside).ok();
    let written = options(read_by).open(&beside).and_then(|mut file| {
        write(&mut file)?;
        file.sync_all()?;
        fs::rename(&beside, path)
    });
    if written.is_err() {
        // Why it was not written says more than why its remains could not be removed.
        fs::remove_file(&beside).ok();
        return written;
    }
    sync_folder_of(path)
}

fn options(read_by: ReadBy) -> fs::OpenOptions {
    let mut options = File::options();
    options.write(true).create_new(true);
    #[cfg(unix)]
    if read_by == ReadBy::Owner {
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    }
    options
}

/// Makes sure that the name of a file outlasts a power cut.
pub(crate) fn sync_folder_of(path: &Path) -> io::Result<()> {
    sync(path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new(".")))
}

/// Makes sure that the names in a folder outlast a power cut.
pub(crate) fn sync(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    fn names(folder: &Path) -> Vec<String> {
        let inside = fs::read_dir(folder).expect("a folder");
        inside.map(|file| file.expect("a file").file_name().to_string_lossy().into_owned()).collect()
    }

    #[test]
    fn a_file_is_there_whole_or_as_it_was() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("sheet.pdf");
        write_whole(&path, ReadBy::Anybody, |file| file.write_all(b"one")).expect("written");
        let failed = write_whole(&path, ReadBy::Anybody, |file| {
            file.write_all(b"tw")?;
            Err(io::Error::other("the disk is full"))
        });
        assert_eq!(failed.expect_err("not written").to_string(), "the disk is full");
        assert_eq!(fs::read(&path).expect("a file"), b"one");
        assert_eq!(names(folder.path()), ["sheet.pdf"]);
    }

    #[cfg(unix)]
    #[test]
    fn what_only_the_owner_reads_is_so_from_the_start_and_where_it_was_not() {
        use std::os::unix::fs::PermissionsExt;
        let mode = |file: &File| file.metadata().expect("its data").permissions().mode() & 0o777;
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("key.pem");
        fs::write(&path, b"old").expect("written");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).expect("for all");
        write_whole(&path, ReadBy::Owner, |file| {
            assert_eq!(mode(file), 0o600);
            file.write_all(b"new")
        })
        .expect("written");
        assert_eq!(mode(&File::open(&path).expect("a file")), 0o600);
    }
}
