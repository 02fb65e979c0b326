//! Entries as they lie in the table.

use hingeline_bench::record::ledger::{Entry, Hash, Stored};
use rusqlite::{Params, Row};

/// A query for whole entries; the argument is what follows FROM entry.
macro_rules! entry_query {
    ($rest:literal) => {
        concat!("SELECT place, ledger, number, at, \"by\", body, hash, shop_hash FROM entry ", $rest)
    };
}
pub(crate) use entry_query;

/// An entry, as sealed.
pub(crate) fn stored(row: &Row<'_>) -> rusqlite::Result<Stored> {
    Ok(Stored {
        place: row.get(0)?,
        entry: Entry {
            ledger: row.get(1)?,
            number: row.get(2)?,
            at: row.get(3)?,
            by: row.get(4)?,
            body: row.get(5)?,
            hash: Hash(row.get(6)?),
        },
        shop_hash: Hash(row.get(7)?),
    })
}

/// All rows of a query, in its order.
pub(crate) fn all<T>(
    connection: &rusqlite::Connection,
    query: &str,
    params: impl Params,
    read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
) -> rusqlite::Result<Vec<T>> {
    connection.prepare_cached(query)?.query_map(params, read)?.collect()
}

/// The entries of one ledger, in their order.
pub(crate) fn of_ledger(connection: &rusqlite::Connection, ledger: &str) -> rusqlite::Result<Vec<Stored>> {
    all(connection, entry_query!("WHERE ledger = ?1 ORDER BY number"), [ledger], stored)
}
