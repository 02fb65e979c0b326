//! Everything that only reads. Main type: [`Reader`].
//!
//! A reader needs no lock: it sees the last finished write, also while another process writes.

use crate::error::StoreError;
use crate::files;
use crate::folder::Folder;
use crate::migrate;
use crate::rows::{all, entry_query, of_ledger, stored};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::ledger::{Hash, Stored};
use hingeline_bench::record::shelf::Shelf;
use hingeline_bench::record::shop::{LEDGER, Shop};
use rusqlite::{Connection, OptionalExtension};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// How many idle connections are kept.
const KEPT: usize = 4;

/// A shop's folder, to read.
///
/// [`crate::Store`] gives everything that is here as well.
#[derive(Debug)]
pub struct Reader {
    pub(crate) folder: Folder,
    idle: Mutex<Vec<Connection>>,
    shop: Mutex<Arc<Shop>>,
}

/// The newest place of the shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Head {
    /// How many entries there are.
    pub entries: u64,
    /// The chain over all of them.
    pub hash: Hash,
}

impl Reader {
    /// Opens the folder of a shop to read it, also while a server writes to it.
    ///
    /// # Errors
    /// - [`StoreError::NoShop`]: no database there
    /// - [`StoreError::Older`], [`StoreError::Newer`]: written by another version
    /// - [`StoreError::Foreign`]: another program's database
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        let reader = Self::new(Folder::new(folder));
        let connection = reader.folder.reader()?;
        migrate::check(&connection, &reader.folder.database())?;
        lock(&reader.idle).push(connection);
        Ok(reader)
    }

    pub(crate) fn new(folder: Folder) -> Self {
        Self { folder, idle: Mutex::default(), shop: Mutex::default() }
    }

    /// The folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        self.folder.root()
    }

    /// Reads with an idle connection, or with a new one where all are in use: a reader never waits for another.
    pub(crate) fn read<T>(
        &self,
        read: impl FnOnce(&Connection) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let idle = lock(&self.idle).pop();
        let connection = match idle {
            Some(connection) => connection,
            None => self.folder.reader()?,
        };
        let result = read(&connection);
        let mut idle = lock(&self.idle);
        if idle.len() < KEPT {
            idle.push(connection);
        }
        result
    }

    /// A job as it stands, folded from its ledger; none where there is no such job.
    ///
    /// # Errors
    /// - [`StoreError::Unreadable`]: an entry of a newer version
    /// - [`StoreError::Database`]: the database refused
    pub fn job(&self, number: &str) -> Result<Option<Job>, StoreError> {
        let ledger = ledger_of(number);
        let entries = self.entries(&ledger)?;
        if entries.is_empty() {
            return Ok(None);
        }
        let job = fold_job(&ledger, &entries)?;
        Ok(Some(Job { shelf: self.shelf(), ..job }))
    }

    /// Where the files of this record are read.
    #[must_use]
    pub fn shelf(&self) -> Shelf {
        let folder = self.folder.clone();
        Shelf::new(move |hash| match files::read(&folder, hash) {
            Ok(Some(bytes)) => Ok(bytes),
            Ok(None) => {
                Err("the record does not have the file any more; restore it from a backup".to_owned())
            }
            Err(error @ StoreError::FileDamaged { .. }) => {
                Err(format!("the file in the record was changed since it was entered: {error}"))
            }
            Err(error) => Err(error.to_string()),
        })
    }

    /// The entries of a ledger, in their order; none where there is no such ledger.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn entries(&self, ledger: &str) -> Result<Vec<Stored>, StoreError> {
        self.read(|connection| Ok(of_ledger(connection, ledger)?))
    }

    /// The entries of the whole shop from a place on, in their order.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn entries_from(&self, place: u64, limit: u64) -> Result<Vec<Stored>, StoreError> {
        let query = entry_query!("WHERE place >= ?1 ORDER BY place LIMIT ?2");
        self.read(|connection| Ok(all(connection, query, (place, limit), stored)?))
    }

    /// The shop as it stands. It is folded anew only when its ledger has grown.
    ///
    /// # Errors
    /// - [`StoreError::Unreadable`]: an entry of a newer version
    /// - [`StoreError::Database`]: the database refused
    pub fn shop(&self) -> Result<Arc<Shop>, StoreError> {
        let known = lock(&self.shop).clone();
        if self.read(|connection| entries_of(connection, LEDGER))? == known.entries {
            return Ok(known);
        }
        let entries = self.entries(LEDGER)?;
        let shop = Shop::fold(entries.iter().map(|stored| &stored.entry))
            .map_err(|source| StoreError::Unreadable { ledger: LEDGER.to_owned(), source })?;
        let shop = Arc::new(shop);
        let mut kept = lock(&self.shop);
        if kept.entries < shop.entries {
            *kept = Arc::clone(&shop);
        }
        Ok(shop)
    }

    /// The newest place of the whole shop.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn head(&self) -> Result<Head, StoreError> {
        self.read(head)
    }
}

/// Folds a job's entries.
pub(crate) fn fold_job(ledger: &str, entries: &[Stored]) -> Result<Job, StoreError> {
    Job::fold(entries.iter().map(|stored| &stored.entry))
        .map_err(|source| StoreError::Unreadable { ledger: ledger.to_owned(), source })
}

/// How many entries a ledger has.
pub(crate) fn entries_of(connection: &Connection, ledger: &str) -> Result<u64, StoreError> {
    let mut query =
        connection.prepare_cached("SELECT coalesce(max(number), 0) FROM entry WHERE ledger = ?1")?;
    Ok(query.query_row([ledger], |row| row.get(0))?)
}

/// The newest place of the shop.
pub(crate) fn head(connection: &Connection) -> Result<Head, StoreError> {
    let mut query =
        connection.prepare_cached("SELECT place, shop_hash FROM entry ORDER BY place DESC LIMIT 1")?;
    let head = query.query_row([], |row| Ok(Head { entries: row.get(0)?, hash: Hash(row.get(1)?) }));
    Ok(head.optional()?.unwrap_or_default())
}

/// What a mutex holds; a thread that stopped in between has left it whole, as transactions roll back.
pub(crate) fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
