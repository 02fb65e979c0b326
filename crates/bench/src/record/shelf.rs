//! Where the files that entries name are read from.
//!
//! Main type: [`Shelf`]. The bytes come from whoever keeps the record; here is only who asks for them. Files are named by
//! the hash of their bytes, so that what is read is what was meant. A file may be large: what a weight comes to is worked
//! out once for all who ask while a job is at hand.

use super::deed::NamedFile;
use crate::Faults;
use crate::weight::Worked;
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

/// Gives the bytes of a file by its hash, or says in words why it cannot.
type Reads = dyn Fn(&str) -> Result<Vec<u8>, String> + Send + Sync;

/// What weights came to: by their sheets with the castings, and the hash of the file.
type Known = BTreeMap<(String, Option<String>), Result<Arc<Worked>, Faults>>;

/// Where the files of a record are read.
#[derive(Clone)]
pub struct Shelf {
    reads: Arc<Reads>,
    known: Arc<Mutex<Known>>,
}

impl Shelf {
    /// A shelf that reads by a hash (BLAKE3, hexadecimal).
    pub fn new(reads: impl Fn(&str) -> Result<Vec<u8>, String> + Send + Sync + 'static) -> Self {
        Self { reads: Arc::new(reads), known: Arc::default() }
    }
    /// What a sheet and its file come to, worked out the first time that somebody asks.
    pub(super) fn once(
        &self,
        sheet: String,
        named: Option<&NamedFile>,
        work: impl FnOnce(&str) -> Result<Worked, Faults>,
    ) -> Result<Arc<Worked>, Faults> {
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        let key = (sheet, named.map(|named| named.file.clone()));
        if let Some(worked) = known().get(&key) {
            return worked.clone();
        }
        let worked = work(&key.0).map(Arc::new);
        known().insert(key, worked.clone());
        worked
    }
    /// The bytes of a file that an entry names.
    ///
    /// # Errors
    /// In words why it cannot be had: it is not there, it was changed, the entry names none.
    pub fn read(&self, named: Option<&NamedFile>) -> Result<Vec<u8>, String> {
        let named = named.ok_or("the entry holds no file")?;
        let bytes = (self.reads)(&named.file)?;
        if blake3::hash(&bytes).to_hex().as_str() == named.file {
            Ok(bytes)
        } else {
            Err("it is not the file that was entered".to_owned())
        }
    }
}

impl Default for Shelf {
    fn default() -> Self {
        Self::new(|_| Err("no files are read here".to_owned()))
    }
}

impl fmt::Debug for Shelf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Shelf")
    }
}

/// Where files are read is no part of what a record says.
impl PartialEq for Shelf {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}
