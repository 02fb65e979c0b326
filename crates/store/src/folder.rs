//! The folder of a shop: its files, its lock, its connections.
//!
//! Holds `hingeline.db` (with its `-wal` and `-shm` while in use), `files/` and `hingeline.lock`. Main type:
//! [`Folder`]. The lock is held by the operating system for as long as the writer lives, so a crash frees it.

use crate::error::StoreError;
use crate::migrate;
use crate::whole;
use rusqlite::{Connection, OpenFlags};
use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// The paths of a shop's folder.
#[derive(Debug, Clone)]
pub(crate) struct Folder {
    root: PathBuf,
}

/// How long a connection waits for another one.
const PATIENCE: Duration = Duration::from_secs(10);

impl Folder {
    pub(crate) fn new(root: &Path) -> Self {
        Self { root: root.to_path_buf() }
    }
    pub(crate) fn root(&self) -> &Path {
        &self.root
    }
    pub(crate) fn database(&self) -> PathBuf {
        self.root.join("hingeline.db")
    }
    pub(crate) fn files(&self) -> PathBuf {
        self.root.join("files")
    }

    /// Makes what is not there yet.
    pub(crate) fn make(&self) -> Result<(), StoreError> {
        let files = self.files();
        fs::create_dir_all(&files).map_err(StoreError::file(&files))?;
        sync(&self.root)
    }

    /// The right to write, held until the file is dropped.
    pub(crate) fn lock(&self) -> Result<File, StoreError> {
        let path = self.root.join("hingeline.lock");
        let file = File::options().create(true).truncate(false).write(true).open(&path);
        let file = file.map_err(StoreError::file(&path))?;
        match file.try_lock() {
            Ok(()) => Ok(file),
            Err(TryLockError::WouldBlock) => Err(StoreError::InUse { folder: self.root.clone() }),
            Err(TryLockError::Error(source)) => Err(StoreError::File { path, source }),
        }
    }

    /// The connection that writes; brings the database up to date.
    pub(crate) fn writer(&self) -> Result<Connection, StoreError> {
        let mut connection = Connection::open(self.database())?;
        settle(&connection)?;
        migrate::run(&mut connection, &migrate::STEPS, &self.database())?;
        connection.pragma_update(None, "journal_mode", "WAL")?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        connection.pragma_update(None, "fullfsync", true)?;
        connection.pragma_update(None, "checkpoint_fullfsync", true)?;
        sync(&self.root)?;
        Ok(connection)
    }

    /// A connection that may not write.
    pub(crate) fn reader(&self) -> Result<Connection, StoreError> {
        let connection = self.existing()?;
        connection.pragma_update(None, "query_only", true)?;
        Ok(connection)
    }

    /// A connection to the database where there is one, of whatever layout.
    pub(crate) fn existing(&self) -> Result<Connection, StoreError> {
        let path = self.database();
        if !path.is_file() {
            return Err(StoreError::NoShop { folder: self.root.clone() });
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags)?;
        settle(&connection)?;
        Ok(connection)
    }
}

fn settle(connection: &Connection) -> Result<(), StoreError> {
    connection.busy_timeout(PATIENCE)?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.pragma_update(None, "trusted_schema", false)?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(())
}

/// Makes sure that the names in a folder outlast a power cut.
pub(crate) fn sync(folder: &Path) -> Result<(), StoreError> {
    whole::sync(folder).map_err(StoreError::file(folder))
}

/// Whether a folder is missing or holds nothing.
pub(crate) fn is_free(folder: &Path) -> Result<bool, StoreError> {
    match fs::read_dir(folder) {
        Ok(mut inside) => Ok(inside.next().is_none()),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(true),
        Err(error) => Err(StoreError::file(folder)(error)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn setting(connection: &Connection, name: &str) -> String {
        let get = format!("SELECT CAST({name} AS TEXT) FROM pragma_{name}");
        connection.query_row(&get, [], |row| row.get(0)).expect("a setting")
    }

    #[test]
    fn the_writer_waits_for_the_disk_and_readers_cannot_write() {
        let root = tempfile::tempdir().expect("a folder");
        let folder = Folder::new(root.path());
        let writer = folder.writer().expect("a writer");
        let names = ["journal_mode", "synchronous", "foreign_keys", "query_only"];
        assert_eq!(names.map(|name| setting(&writer, name)), ["wal", "2", "1", "0"]);
        let reader = folder.reader().expect("a reader");
        assert_eq!(setting(&reader, "query_only"), "1");
        let refused = reader.execute("INSERT INTO setting (key, value) VALUES ('a', 'b')", []);
        assert!(refused.expect_err("refused").to_string().contains("readonly"));
    }
}
