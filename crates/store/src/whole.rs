//! A file is written beside its target and renamed: it is there whole or not at all. Main function: [`write_whole`].

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
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

/// Most links that a name leads through.
const MOST_LINKS: u32 = 40;

/// Writes a file whole or not at all, and makes sure that it outlasts a power cut. Where a name is a link, the file that
/// it leads to is written and the link stays.
///
/// # Errors
/// - where something else than a file stands there, which a file would take the place of
/// - the system's, where the file or its folder cannot be written; what stood there before stands there still
pub fn write_whole(
    path: &Path,
    read_by: ReadBy,
    write: impl FnOnce(&mut File) -> io::Result<()>,
) -> io::Result<()> {
    let path = &target(path)?;
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

/// The file that is meant: behind links, and no folder, pipe or device.
fn target(path: &Path) -> io::Result<PathBuf> {
    if fs::metadata(path).is_ok_and(|about| !about.is_file()) {
        return Err(io::Error::other("what stands there is no file"));
    }
    let mut at = path.to_owned();
    for _ in 0..MOST_LINKS {
        let Ok(to) = fs::read_link(&at) else { return Ok(at) };
        at = at.parent().unwrap_or(Path::new("")).join(to);
    }
    Err(io::Error::other("its links lead nowhere"))
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
    fn a_link_stays_and_what_is_no_file_is_not_replaced() {
        let folder = tempfile::tempdir().expect("a folder");
        let [file, link, device] = ["sheet.pdf", "link.pdf", "device"].map(|name| folder.path().join(name));
        let write = |path: &Path| write_whole(path, ReadBy::Anybody, |file| file.write_all(b"one"));
        std::os::unix::fs::symlink("sheet.pdf", &link).expect("a link");
        for _ in 0..2 {
            write(&link).expect("written");
            assert!(fs::symlink_metadata(&link).expect("a link").is_symlink());
            assert_eq!(fs::read(&file).expect("a file"), b"one");
        }
        std::os::unix::fs::symlink("/dev/null", &device).expect("a link");
        assert_eq!(write(&device).expect_err("a device").to_string(), "what stands there is no file");
        assert!(write(folder.path()).is_err());
        assert_eq!(names(folder.path()).len(), 3);
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
