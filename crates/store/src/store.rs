//! The one writer of a shop's folder. Main types: [`Store`], [`Write`].

use crate::derive;
use crate::drafts;
use crate::error::StoreError;
use crate::files;
use crate::folder::Folder;
use crate::reader::{Reader, entries_of, head, lock};
use crate::secrets::{self, Credential};
use hingeline_bench::record::ledger::{Draft, Hash, Heads, Stored};
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::ops::Deref;
use std::path::Path;
use std::sync::Mutex;

/// A shop's folder, to write and to read.
///
/// There is one in all processes at a time. It gives everything that a [`Reader`] gives.
///
/// # Example
/// ```
/// use hingeline_bench::record::{deed::Deed, ledger::Draft};
/// use hingeline_store::{Store, Write};
/// # let folder = tempfile::tempdir()?;
/// let store = Store::open(folder.path())?;
/// let draft = Draft {
///     ledger: "job HP-0231".to_owned(),
///     at: "2026-10-02T08:00:00Z".to_owned(),
///     by: "M. Tarn".to_owned(),
///     body: serde_json::to_string(&Deed::Noted { text: "came in wet".to_owned() })?,
/// };
/// let stored = store.append(&[Write { draft, seen: 0 }])?;
/// assert_eq!(stored[0].place, 1);
/// assert_eq!(store.job("HP-0231")?.map(|job| job.entries), Some(1));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug)]
pub struct Store {
    reader: Reader,
    writer: Mutex<Connection>,
    _lock: File,
}

impl Deref for Store {
    type Target = Reader;
    fn deref(&self) -> &Reader {
        &self.reader
    }
}

/// An entry to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Write {
    /// What it is written from.
    pub draft: Draft,
    /// How many entries of its ledger were known when it was decided. Several writes to one ledger in one append
    /// all state the number before the append.
    pub seen: u64,
}

impl Store {
    /// Opens the folder of a shop to write to it; makes it where it is not there, and brings it
    /// up to date. The first time after the program changed, the lists are rebuilt.
    ///
    /// # Errors
    /// - [`StoreError::InUse`]: another store is open on this folder
    /// - [`StoreError::Newer`]: written by a newer version
    /// - [`StoreError::Foreign`]: another program's database
    /// - [`StoreError::File`], [`StoreError::Database`]: the folder cannot be used
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        let folder = Folder::new(folder);
        folder.make()?;
        let lock = folder.lock()?;
        files::clean(&folder)?;
        let writer = Mutex::new(folder.writer()?);
        let store = Self { reader: Reader::new(folder), writer, _lock: lock };
        if store.read(derive::is_of_another_version)? {
            store.rebuild()?;
        }
        Ok(store)
    }

    /// Writes entries: all of them, durably, or none.
    ///
    /// # Errors
    /// - [`StoreError::Stale`]: a ledger has other entries than the writer knew
    /// - [`StoreError::UnknownLedger`]: the name of a ledger is neither that of the shop nor that of a job
    /// - [`StoreError::Unreadable`], [`StoreError::NotANumber`]: a body is no deed, or its outcome no number
    /// - [`StoreError::Database`]: the database refused
    pub fn append(&self, writes: &[Write]) -> Result<Vec<Stored>, StoreError> {
        self.write(|transaction| append(transaction, writes))
    }

    /// Writes entries and empties forms of a job that are at an end with them: both or none.
    ///
    /// # Errors
    /// - as [`Store::append`]
    pub fn enter(&self, writes: &[Write], job: &str, forms: &[String]) -> Result<Vec<Stored>, StoreError> {
        self.write(|transaction| {
            let stored = append(transaction, writes)?;
            forms.iter().try_for_each(|form| drafts::clear(transaction, job, form))?;
            Ok(stored)
        })
    }

    /// Writes entries, and what the people that they enter show to be let in: both or none, so that nobody stands in
    /// the record of a new shop and is shut out of it.
    ///
    /// # Errors
    /// - as [`Store::append`]
    pub fn begin(&self, writes: &[Write], credentials: &[Credential]) -> Result<Vec<Stored>, StoreError> {
        self.write(|transaction| {
            let stored = append(transaction, writes)?;
            for credential in credentials {
                secrets::set(transaction, credential)?;
            }
            Ok(stored)
        })
    }

    /// Works the lists, histories and the search out of the entries again; gives the number of jobs.
    ///
    /// # Errors
    /// - [`StoreError::Unreadable`], [`StoreError::NotANumber`]: an entry of a newer version
    /// - [`StoreError::Database`]: the database refused
    pub fn rebuild(&self) -> Result<u64, StoreError> {
        self.write(|transaction| derive::rebuild(transaction))
    }

    /// One write: it is kept when the function gives a result, and undone when it gives an error.
    pub(crate) fn write<T>(
        &self,
        write: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut writer = lock(&self.writer);
        let transaction = writer.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let result = write(&transaction)?;
        transaction.commit()?;
        Ok(result)
    }
}

fn append(transaction: &Connection, writes: &[Write]) -> Result<Vec<Stored>, StoreError> {
    let mut heads = known_heads(transaction, writes)?;
    let insert = "INSERT INTO entry (place, ledger, number, at, \"by\", body, hash, shop_hash)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
    let mut insert = transaction.prepare_cached(insert)?;
    let mut all = Vec::with_capacity(writes.len());
    for write in writes {
        let stored = heads.append(write.draft.clone());
        let entry = &stored.entry;
        derive::deed(entry)?;
        let (hash, shop_hash) = (&entry.hash.0[..], &stored.shop_hash.0[..]);
        let (ledger, number, at, by) = (&entry.ledger, entry.number, &entry.at, &entry.by);
        insert.execute((stored.place, ledger, number, at, by, &entry.body, hash, shop_hash))?;
        all.push(stored);
    }
    let ledgers: BTreeSet<&str> = writes.iter().map(|write| write.draft.ledger.as_str()).collect();
    for ledger in ledgers {
        derive::renew(transaction, ledger)?;
    }
    Ok(all)
}

/// The heads that the writes go on from: that of the shop, and those of their own ledgers.
fn known_heads(transaction: &Connection, writes: &[Write]) -> Result<Heads, StoreError> {
    let head = head(transaction)?;
    let mut ledgers = BTreeMap::new();
    for Write { draft: Draft { ledger, .. }, seen } in writes {
        derive::job_of(ledger)?;
        let entries = entries_of(transaction, ledger)?;
        if entries != *seen {
            return Err(StoreError::Stale { ledger: ledger.clone(), seen: *seen, entries });
        }
        let mut query =
            transaction.prepare_cached("SELECT hash FROM entry WHERE ledger = ?1 AND number = ?2")?;
        let hash = query.query_row((ledger, entries), |row| row.get(0)).optional()?;
        if let Some(hash) = hash {
            ledgers.insert(ledger.clone(), (entries, Hash(hash)));
        }
    }
    Ok(Heads { entries: head.entries, shop: head.hash, ledgers })
}
