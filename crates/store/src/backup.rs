//! Copying a whole shop: a backup while the server runs, and back.
//!
//! A copy is made beside its target, verified there, and renamed: a folder with the name that was asked for is a
//! good copy. It opens like any shop; sessions are not copied.

use crate::error::StoreError;
use crate::files;
use crate::folder::{self, Folder};
use crate::migrate;
use crate::reader::Reader;
use crate::store::Store;
use crate::whole;
use hingeline_bench::record::ledger::Heads;
use rusqlite::Connection;
use rusqlite::backup::Backup;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

impl Reader {
    /// Copies the shop as it stands at one moment into a folder that is empty or not there yet; others may write
    /// meanwhile. Gives the newest hashes of the copy, which was verified.
    ///
    /// # Errors
    /// - [`StoreError::NotEmpty`]: the folder holds something
    /// - [`StoreError::NotVerified`]: the shop, and so its copy, does not verify
    /// - [`StoreError::File`], [`StoreError::Database`]: it cannot be read or written
    pub fn backup(&self, to: &Path) -> Result<Heads, StoreError> {
        copy(&self.folder, to, |copied| verified(&Reader::open(copied)?))
    }
}

/// Copies a backup into a folder that is empty or not there yet, brings it up to date and verifies it.
///
/// # Errors
/// - [`StoreError::NoShop`], [`StoreError::Foreign`]: there is no backup
/// - [`StoreError::NotEmpty`]: the target holds something
/// - [`StoreError::NotVerified`]: the backup does not verify
/// - [`StoreError::Newer`]: it was made by a newer version
/// - [`StoreError::File`], [`StoreError::Database`]: it cannot be read or written
pub fn restore(from: &Path, to: &Path) -> Result<Heads, StoreError> {
    copy(&Folder::new(from), to, |copied| verified(&*Store::open(copied)?))
}

fn verified(reader: &Reader) -> Result<Heads, StoreError> {
    reader.verify().map_err(|source| StoreError::NotVerified { source: Box::new(source) })
}

fn copy(
    from: &Folder,
    to: &Path,
    verify: impl FnOnce(&Path) -> Result<Heads, StoreError>,
) -> Result<Heads, StoreError> {
    let beside = beside(to)?;
    for target in [to, &beside] {
        if !folder::is_free(target)? {
            return Err(StoreError::NotEmpty { folder: target.to_path_buf() });
        }
    }
    let source = from.existing()?;
    migrate::check_owner(&source, &from.database())?;
    let copied = copy_into(from, &source, &Folder::new(&beside)).and_then(|()| verify(&beside));
    if copied.is_err() {
        // Why the copy failed says more than why its remains could not be removed.
        fs::remove_dir_all(&beside).ok();
        return copied;
    }
    if to.exists() {
        fs::remove_dir(to).map_err(StoreError::file(to))?;
    }
    fs::rename(&beside, to).map_err(StoreError::file(to))?;
    whole::sync_folder_of(to).map_err(StoreError::file(to))?;
    copied
}

/// The name of a copy that is not finished.
fn beside(to: &Path) -> Result<PathBuf, StoreError> {
    let Some(name) = to.file_name() else {
        return Err(StoreError::file(to)(io::Error::from(io::ErrorKind::InvalidInput)));
    };
    let mut name = name.to_os_string();
    name.push(".part");
    Ok(to.with_file_name(name))
}

fn copy_into(from: &Folder, source: &Connection, to: &Folder) -> Result<(), StoreError> {
    to.make()?;
    let mut copied = Connection::open(to.database())?;
    // All pages in one step: one moment of the shop, which writers neither wait for nor start again.
    Backup::new(source, &mut copied)?.run_to_completion(i32::MAX, Duration::from_millis(10), None)?;
    copied.execute_batch("DELETE FROM session")?;
    copied.pragma_update(None, "journal_mode", "DELETE")?;
    // The files last: every entry that was copied has its files by now.
    files::copy_all(from, to)?;
    folder::sync(to.root())
}
