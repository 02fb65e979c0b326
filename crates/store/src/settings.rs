//! Settings of the shop by name: what is printed at the head of a sheet, and the like.

use crate::error::StoreError;
use crate::reader::Reader;
use crate::rows::all;
use crate::store::Store;
use rusqlite::OptionalExtension;
use std::collections::BTreeMap;

impl Reader {
    /// A setting; none where it is not set.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached("SELECT value FROM setting WHERE key = ?1")?;
            Ok(query.query_row([key], |row| row.get(0)).optional()?)
        })
    }

    /// All settings.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn settings(&self) -> Result<BTreeMap<String, String>, StoreError> {
        self.read(|connection| {
            let query = "SELECT key, value FROM setting";
            Ok(all(connection, query, [], |row| Ok((row.get(0)?, row.get(1)?)))?.into_iter().collect())
        })
    }
}

impl Store {
    /// Sets a setting.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn set_setting(&self, key: &str, value: &str) -> Result<(), StoreError> {
        self.write(|transaction| {
            let set = "INSERT OR REPLACE INTO setting (key, value) VALUES (?1, ?2)";
            transaction.execute(set, [key, value])?;
            Ok(())
        })
    }
}
