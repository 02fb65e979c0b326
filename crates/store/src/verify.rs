//! Checking a whole shop. Main type: [`VerifyError`].
//!
//! The entries are checked in the order of their places; then everything derived from them, the files that they
//! name, and the database as such. What was cut off from the end of the whole shop cannot be seen from inside: the
//! newest hash on paper shows it.

use crate::derive::{Derived, LEDGERS, deed, job_of};
use crate::error::StoreError;
use crate::files::{self, FileState};
use crate::folder::Folder;
use crate::reader::Reader;
use crate::rows::{all, entry_query, of_ledger};
use crate::search::terms;
use hingeline_bench::record::deed::{Deed, NamedFile};
use hingeline_bench::record::ledger::{Entry, Hash, Heads, Misfit, Stored, follows};
use hingeline_bench::record::shop::{LEDGER, Shop};
use rusqlite::types::ValueRef;
use rusqlite::{Connection, Row};
use std::collections::BTreeMap;

/// The first thing that is wrong with a shop.
#[derive(Debug, thiserror::Error)]
pub enum VerifyError {
    /// An entry does not fit its chain.
    #[error("the record was changed")]
    Entry {
        /// Which, and why.
        #[from]
        source: Misfit,
    },
    /// A table that follows from the entries says something else.
    #[error("the {table} of {whose} {} not what its entries give", if table.ends_with('s') { "are" } else { "is" })]
    Derived {
        /// What was compared.
        table: &'static str,
        /// Of which job, or of the whole shop.
        whose: String,
    },
    /// A file is not there.
    #[error("the file {hash} of entry {number} of {ledger} is missing")]
    FileMissing {
        /// Its hash.
        hash: String,
        /// The ledger that names it.
        ledger: String,
        /// The entry.
        number: u64,
    },
    /// A file has another content.
    #[error("the file {hash} of entry {number} of {ledger} was changed")]
    FileDamaged {
        /// The hash that it should have.
        hash: String,
        /// The ledger that names it.
        ledger: String,
        /// The entry.
        number: u64,
    },
    /// The database is damaged.
    #[error("the database is damaged: {what}")]
    Damaged {
        /// What its own check says.
        what: String,
    },
    /// It could not be checked.
    #[error("the check could not be finished")]
    Store {
        /// Why.
        #[from]
        source: StoreError,
    },
}

impl From<rusqlite::Error> for VerifyError {
    fn from(source: rusqlite::Error) -> Self {
        Self::Store { source: source.into() }
    }
}

impl VerifyError {
    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> Option<&'static str> {
        match self {
            Self::Derived { .. } => Some("rebuild the lists from the record"),
            Self::Store { source } => source.hint(),
            _ => Some("keep the folder as it is, and restore the last good backup into another one"),
        }
    }
}

impl Reader {
    /// Checks the whole shop, as it stands at the beginning of the check; gives its newest hashes.
    ///
    /// # Errors
    /// - [`VerifyError::Entry`]: the first entry that does not fit
    /// - [`VerifyError::Derived`]: lists, histories or the search differ from what the entries give
    /// - [`VerifyError::FileMissing`], [`VerifyError::FileDamaged`]: a file that an entry names
    /// - [`VerifyError::Damaged`]: the database as such
    /// - [`VerifyError::Store`]: it could not be checked
    pub fn verify(&self) -> Result<Heads, VerifyError> {
        let connection = self.folder.existing()?;
        connection
            .execute_batch("CREATE VIRTUAL TABLE temp.term USING fts5vocab('main', 'search', 'instance')")?;
        let snapshot = connection.unchecked_transaction()?;
        let (heads, files) = entries(&snapshot)?;
        derived(&snapshot)?;
        all_whole(&self.folder, files)?;
        damage(&snapshot)?;
        Ok(heads)
    }
}

impl Reader {
    /// Checks one ledger and the files that it names; gives its entries and its newest hash. That the other ledgers and
    /// the lists fit as well, only [`Reader::verify`] says.
    ///
    /// # Errors
    /// - as [`Reader::verify`], of this ledger
    pub fn verify_ledger(&self, ledger: &str) -> Result<(u64, Hash), VerifyError> {
        let connection = self.folder.existing()?;
        let mut head = (0, Hash::default());
        let mut files = Files::new();
        let mut query = connection.prepare(entry_query!("WHERE ledger = ?1 ORDER BY number"))?;
        let mut rows = query.query([ledger])?;
        while let Some(row) = rows.next()? {
            let stored = as_found(row)?;
            follows(head, &stored)?;
            head = (stored.entry.number, stored.entry.hash);
            files_of(&stored.entry, &mut files)?;
        }
        all_whole(&self.folder, files)?;
        Ok(head)
    }
}

/// The files that entries name, each with the first that does.
type Files = BTreeMap<String, (String, u64)>;

fn entries(connection: &Connection) -> Result<(Heads, Files), VerifyError> {
    let mut heads = Heads::default();
    let mut files = Files::new();
    let mut query = connection.prepare(entry_query!("ORDER BY place"))?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let stored = as_found(row)?;
        heads.take(&stored)?;
        files_of(&stored.entry, &mut files)?;
    }
    Ok((heads, files))
}

/// The files that an entry names; only one that may name some is read whole.
fn files_of(entry: &Entry, files: &mut Files) -> Result<(), StoreError> {
    if ["photographed", "\"mesh\""].iter().any(|word| entry.body.contains(word)) {
        named(&deed(entry)?, entry, files);
    }
    Ok(())
}

/// Reads an entry that may have been changed into anything.
fn as_found(row: &Row<'_>) -> Result<Stored, VerifyError> {
    let count = |column: usize| Ok::<_, rusqlite::Error>(row.get_ref(column)?.as_i64().unwrap_or_default());
    let bytes = |column: usize| match row.get_ref(column) {
        Ok(ValueRef::Text(bytes) | ValueRef::Blob(bytes)) => bytes.to_vec(),
        _ => Vec::new(),
    };
    let (place, number) = (u64::try_from(count(0)?), u64::try_from(count(2)?));
    let unreadable = || Misfit {
        place: place.unwrap_or_default(),
        ledger: String::from_utf8_lossy(&bytes(1)).into_owned(),
        number: number.unwrap_or_default(),
        why: "it holds what was never written",
    };
    let text = |column: usize| String::from_utf8(bytes(column)).ok();
    let hash = |column: usize| bytes(column).try_into().ok().map(Hash);
    let stored = || {
        let (ledger, at, by, body) = (text(1)?, text(3)?, text(4)?, text(5)?);
        let entry = Entry { ledger, number: number.ok()?, at, by, body, hash: hash(6)? };
        Some(Stored { place: place.ok()?, entry, shop_hash: hash(7)? })
    };
    stored().ok_or_else(|| unreadable().into())
}

fn named(deed: &Deed, entry: &Entry, files: &mut Files) {
    match deed {
        Deed::Photographed { file, .. } | Deed::WeightIntended { mesh: Some(NamedFile { file, .. }), .. } => {
            files.entry(file.clone()).or_insert_with(|| (entry.ledger.clone(), entry.number));
        }
        Deed::Mended { with: Some(deed), .. } => named(deed, entry, files),
        _ => {}
    }
}

fn all_whole(folder: &Folder, files: Files) -> Result<(), VerifyError> {
    files.into_iter().try_for_each(|(hash, (ledger, number))| file(folder, hash, ledger, number))
}

fn file(folder: &Folder, hash: String, ledger: String, number: u64) -> Result<(), VerifyError> {
    match files::state(folder, &hash)? {
        FileState::Whole => Ok(()),
        FileState::Missing => Err(VerifyError::FileMissing { hash, ledger, number }),
        FileState::Damaged => Err(VerifyError::FileDamaged { hash, ledger, number }),
    }
}

fn derived(connection: &Connection) -> Result<(), VerifyError> {
    let of_all = |table: &'static str| VerifyError::Derived { table, whose: "the shop".to_owned() };
    let (mut jobs, mut points, mut events) = (0, 0, 0);
    let mut wanted = Fingerprints::new();
    for ledger in all(connection, LEDGERS, [], |row| row.get::<_, String>(0))? {
        let entries = of_ledger(connection, &ledger)?;
        let Some(number) = job_of(&ledger)? else {
            readable_shop(&entries)?;
            continue;
        };
        let Some(derived) = Derived::of(number, &entries)? else { continue };
        compare(connection, number, &derived)?;
        jobs += 1;
        points += derived.history.points.len();
        events += derived.history.events.len();
        for term in terms(&derived.row).split(' ').filter(|term| !term.is_empty()) {
            add(&mut wanted, derived.id, term);
        }
    }
    let count = |query: &str| connection.query_row(query, [], |row| row.get::<_, usize>(0));
    let counted = [
        ("list", jobs, count("SELECT count(*) FROM job")?),
        ("weighings", points, count("SELECT count(*) FROM point")?),
        ("works", events, count("SELECT count(*) FROM event")?),
    ];
    if let Some((table, ..)) = counted.into_iter().find(|(_, wanted, found)| wanted != found) {
        return Err(of_all(table));
    }
    if wanted == found(connection)? { Ok(()) } else { Err(of_all("search")) }
}

fn readable_shop(entries: &[Stored]) -> Result<(), StoreError> {
    Shop::fold(entries.iter().map(|stored| &stored.entry))
        .map(|_| ())
        .map_err(|source| StoreError::Unreadable { ledger: LEDGER.to_owned(), source })
}

fn compare(connection: &Connection, number: &str, wanted: &Derived) -> Result<(), VerifyError> {
    let differs = |table: &'static str| VerifyError::Derived { table, whose: format!("job {number}") };
    let found = Derived::read(connection, wanted.id).map_err(|_| differs("row"))?;
    match found {
        Some(found) if found.row != wanted.row => Err(differs("row")),
        Some(found) if found.history.points != wanted.history.points => Err(differs("weighings")),
        Some(found) if found.history.events != wanted.history.events => Err(differs("works")),
        Some(_) => Ok(()),
        None => Err(differs("row")),
    }
}

/// For every job, a sum over what it is found by: the index keeps no text to compare.
type Fingerprints = BTreeMap<u64, u64>;

fn add(sums: &mut Fingerprints, id: u64, term: &str) {
    let hash = blake3::hash(term.as_bytes());
    let mut eight = [0; 8];
    eight.copy_from_slice(&hash.as_bytes()[..8]);
    let sum = sums.entry(id).or_default();
    *sum = sum.wrapping_add(u64::from_le_bytes(eight));
}

fn found(connection: &Connection) -> Result<Fingerprints, VerifyError> {
    let mut sums = Fingerprints::new();
    let mut query = connection.prepare("SELECT doc, term FROM temp.term")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        add(&mut sums, row.get(0)?, row.get_ref(1)?.as_str().unwrap_or_default());
    }
    Ok(sums)
}

/// What the database's own check says.
fn damage(connection: &Connection) -> Result<(), VerifyError> {
    let what: String = connection.query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))?;
    if what == "ok" { Ok(()) } else { Err(VerifyError::Damaged { what }) }
}
