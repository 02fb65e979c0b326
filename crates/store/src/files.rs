//! Photographs, files of meshes and others of the record, each under its own hash in the folder `files`.

use crate::error::StoreError;
use crate::folder::Folder;
use crate::reader::Reader;
use crate::store::Store;
use crate::whole::{ReadBy, write_whole};
use hingeline_bench::record::ledger::Hash;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

impl Store {
    /// Keeps a file; gives its BLAKE3 in hexadecimal, which is its name. Put the file before the entry that names it.
    ///
    /// # Errors
    /// - [`StoreError::File`]: it cannot be written
    pub fn put_file(&self, bytes: &[u8]) -> Result<String, StoreError> {
        let hash = blake3::hash(bytes);
        let path = self.folder.files().join(hash.to_hex().as_str());
        if hash_of(&path)?.is_none_or(|found| found != hash) {
            write(&path, |file| file.write_all(bytes))?;
        }
        Ok(hash.to_hex().to_string())
    }
}

impl Reader {
    /// A file of the record; none where it is not there.
    ///
    /// # Errors
    /// - [`StoreError::BadHash`]: the name is no hash
    /// - [`StoreError::FileDamaged`]: its content has another hash
    /// - [`StoreError::File`]: it cannot be read
    pub fn file(&self, hash: &str) -> Result<Option<Vec<u8>>, StoreError> {
        read(&self.folder, hash)
    }
}

/// A file of the record, checked against its hash; none where it is not there.
pub(crate) fn read(folder: &Folder, hash: &str) -> Result<Option<Vec<u8>>, StoreError> {
    let path = path(folder, hash)?;
    let bytes = match fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(StoreError::file(&path)(error)),
    };
    if blake3::hash(&bytes).to_hex().as_str() == hash {
        Ok(Some(bytes))
    } else {
        Err(StoreError::FileDamaged { hash: hash.to_owned() })
    }
}

/// Where a file lies. The name must be a hash in small letters, so that no name leads out of the folder.
fn path(folder: &Folder, hash: &str) -> Result<PathBuf, StoreError> {
    let good = Hash::from_hex(hash).is_some_and(|read| read.hex() == hash);
    if good { Ok(folder.files().join(hash)) } else { Err(StoreError::BadHash { given: hash.to_owned() }) }
}

/// How a file of the record stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FileState {
    Whole,
    Missing,
    Damaged,
}

/// How a file of the record stands.
pub(crate) fn state(folder: &Folder, hash: &str) -> Result<FileState, StoreError> {
    Ok(match hash_of(&path(folder, hash)?)? {
        None => FileState::Missing,
        Some(found) if found.to_hex().as_str() == hash => FileState::Whole,
        Some(_) => FileState::Damaged,
    })
}

/// The hash of a file's content; none where it is not there.
fn hash_of(path: &Path) -> Result<Option<blake3::Hash>, StoreError> {
    let file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(StoreError::file(path)(error)),
    };
    let mut hasher = blake3::Hasher::new();
    hasher.update_reader(file).map_err(StoreError::file(path))?;
    Ok(Some(hasher.finalize()))
}

/// Writes a file of the record.
fn write(path: &Path, write: impl FnOnce(&mut File) -> io::Result<()>) -> Result<(), StoreError> {
    write_whole(path, ReadBy::Anybody, write).map_err(StoreError::file(path))
}

/// The names in the folder of files.
fn names(folder: &Folder) -> Result<Vec<String>, StoreError> {
    let files = folder.files();
    let inside = match fs::read_dir(&files) {
        Ok(inside) => inside,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(StoreError::file(&files)(error)),
    };
    let name = |file: io::Result<fs::DirEntry>| Ok(file?.file_name().to_string_lossy().into_owned());
    inside.map(name).collect::<io::Result<_>>().map_err(StoreError::file(&files))
}

/// Removes what a writer that was stopped left half written. Only for the holder of the lock.
pub(crate) fn clean(folder: &Folder) -> Result<(), StoreError> {
    for name in names(folder)?.iter().filter(|name| name.ends_with(".part")) {
        let path = folder.files().join(name);
        fs::remove_file(&path).map_err(StoreError::file(&path))?;
    }
    Ok(())
}

/// Copies all files of the record; one that is being written is left out.
pub(crate) fn copy_all(from: &Folder, to: &Folder) -> Result<(), StoreError> {
    for name in names(from)?.iter().filter(|name| Hash::from_hex(name).is_some()) {
        let source = from.files().join(name);
        let mut source_file = File::open(&source).map_err(StoreError::file(&source))?;
        write(&to.files().join(name), |file| io::copy(&mut source_file, file).map(|_| ()))?;
    }
    Ok(())
}
