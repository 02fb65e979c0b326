//! Credentials and sessions: what lets a person in. Never in the record. Main types: [`Credential`], [`Session`].
//!
//! The store keeps hashes only and decides nothing: how a password is hashed and checked, how many failures lock and
//! how long a session lasts is decided by who calls.

use crate::error::StoreError;
use crate::reader::Reader;
use crate::store::Store;
use jiff::Timestamp;
use rusqlite::types::Type;
use rusqlite::{Connection, OptionalExtension, Row};

/// What a person shows to be let in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Credential {
    /// The login name.
    pub login: String,
    /// The hash of the password, with its method and salt.
    pub password: Option<String>,
    /// The hash of the short number for a change of person at a tablet.
    pub pin: Option<String>,
    /// How many attempts failed since the last good one.
    pub failed: u64,
    /// Until when no attempt is taken.
    pub locked_until: Option<Timestamp>,
}

/// What came of asking for a try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Try {
    /// It is taken.
    Taken {
        /// How many failed since the last good one, this one counted.
        failed: u64,
    },
    /// None is taken.
    Locked {
        /// Until then.
        until: Timestamp,
    },
}

/// A person who is logged in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// The login name.
    pub login: String,
    /// Since when.
    pub created: Timestamp,
    /// The last use, to the minute.
    pub last_seen: Timestamp,
    /// When it ends.
    pub expires: Timestamp,
}

/// How often the last use of a session is written, s.
const TOUCH_S: i64 = 60;

const END_ALL: &str = "DELETE FROM session WHERE login = ?1";
const CREDENTIAL: &str = "SELECT login, password, pin, failed, locked_until FROM credential WHERE login = ?1";

impl Reader {
    /// What a person shows to be let in; none where nothing is set.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn credential(&self, login: &str) -> Result<Option<Credential>, StoreError> {
        self.read(|connection| read_credential(connection, login))
    }

    /// The session of a token, while it lasts.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn session(&self, token: &str, at: Timestamp) -> Result<Option<Session>, StoreError> {
        let query =
            "SELECT login, created, last_seen, expires FROM session WHERE token = ?1 AND expires > ?2";
        self.read(|connection| {
            let mut query = connection.prepare_cached(query)?;
            Ok(query.query_row((seal(token), at.as_second()), session).optional()?)
        })
    }
}

impl Store {
    /// Sets the hash of a password.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn set_password(&self, login: &str, hash: &str) -> Result<(), StoreError> {
        let set = "INSERT INTO credential (login, password) VALUES (?1, ?2)
            ON CONFLICT (login) DO UPDATE SET password = excluded.password, failed = 0, locked_until = NULL";
        self.run(set, (login, hash))
    }

    /// Sets the hash of a PIN, or takes it away.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn set_pin(&self, login: &str, hash: Option<&str>) -> Result<(), StoreError> {
        let set = "INSERT INTO credential (login, pin) VALUES (?1, ?2)
            ON CONFLICT (login) DO UPDATE SET pin = excluded.pin";
        self.run(set, (login, hash))
    }

    /// Takes a try, before it is known what comes of it: it counts as failed until [`Store::succeeded`] takes it back, so
    /// that tries made at the same moment are counted as well. From the last allowed one on, no other is taken until
    /// the time given; a lock that has run out begins a new count. None where the login name is not known.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn begin_try(
        &self,
        login: &str,
        allowed: u64,
        at: Timestamp,
        until: Timestamp,
    ) -> Result<Option<Try>, StoreError> {
        let count = "UPDATE credential SET failed = ?2, locked_until = ?3 WHERE login = ?1";
        self.write(|transaction| {
            let Some(known) = read_credential(transaction, login)? else { return Ok(None) };
            let failed = match known.locked_until {
                Some(locked) if at < locked => return Ok(Some(Try::Locked { until: locked })),
                Some(_) => 1,
                None => known.failed + 1,
            };
            let locked = (allowed <= failed).then_some(until);
            transaction.execute(count, (login, failed, locked.map(Timestamp::as_second)))?;
            Ok(Some(Try::Taken { failed }))
        })
    }

    /// Forgets the attempts that failed.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn succeeded(&self, login: &str) -> Result<(), StoreError> {
        self.run("UPDATE credential SET failed = 0, locked_until = NULL WHERE login = ?1", [login])
    }

    /// Starts a session. Only the hash of its token is kept.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused, or the token is in use
    pub fn start_session(
        &self,
        token: &str,
        login: &str,
        at: Timestamp,
        expires: Timestamp,
    ) -> Result<(), StoreError> {
        let start =
            "INSERT INTO session (token, login, created, last_seen, expires) VALUES (?1, ?2, ?3, ?3, ?4)";
        self.run(start, (seal(token), login, at.as_second(), expires.as_second()))
    }

    /// The session of a token, while it lasts, and a note that it was used and when it ends now. It may be called on
    /// every request: it writes once a minute.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn use_session(
        &self,
        token: &str,
        at: Timestamp,
        expires: Timestamp,
    ) -> Result<Option<Session>, StoreError> {
        let Some(session) = self.session(token, at)? else { return Ok(None) };
        if at.as_second() < session.last_seen.as_second() + TOUCH_S {
            return Ok(Some(session));
        }
        let touch = "UPDATE session SET last_seen = ?2, expires = ?3 WHERE token = ?1";
        self.run(touch, (seal(token), at.as_second(), expires.as_second()))?;
        Ok(Some(Session { last_seen: at, expires, ..session }))
    }

    /// Ends a session.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn end_session(&self, token: &str) -> Result<(), StoreError> {
        self.run("DELETE FROM session WHERE token = ?1", [seal(token)])
    }

    /// Ends all sessions of a person.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn end_sessions_of(&self, login: &str) -> Result<(), StoreError> {
        self.run(END_ALL, [login])
    }

    /// Removes the sessions that have run out.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn end_sessions_past(&self, at: Timestamp) -> Result<(), StoreError> {
        self.run("DELETE FROM session WHERE expires <= ?1", [at.as_second()])
    }

    fn run(&self, query: &str, params: impl rusqlite::Params) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction.prepare_cached(query)?.execute(params)?;
            Ok(())
        })
    }
}

/// What is kept of a token.
fn seal(token: &str) -> [u8; 32] {
    blake3::derive_key("hingeline session token 1", token.as_bytes())
}

/// Sets all that a person shows to be let in and ends the sessions that began with something else, in a transaction of
/// the caller.
pub(crate) fn set(connection: &Connection, credential: &Credential) -> Result<(), StoreError> {
    let Credential { login, password, pin, failed, locked_until } = credential;
    let set = "INSERT OR REPLACE INTO credential (login, password, pin, failed, locked_until)
        VALUES (?1, ?2, ?3, ?4, ?5)";
    connection.execute(set, (login, password, pin, failed, locked_until.map(Timestamp::as_second)))?;
    connection.execute(END_ALL, [login])?;
    Ok(())
}

fn read_credential(connection: &Connection, login: &str) -> Result<Option<Credential>, StoreError> {
    let mut query = connection.prepare_cached(CREDENTIAL)?;
    let credential = query.query_row([login], |row| {
        let locked: Option<i64> = row.get(4)?;
        Ok(Credential {
            login: row.get(0)?,
            password: row.get(1)?,
            pin: row.get(2)?,
            failed: row.get(3)?,
            locked_until: locked.map(|second| timestamp(4, second)).transpose()?,
        })
    });
    Ok(credential.optional()?)
}

fn session(row: &Row<'_>) -> rusqlite::Result<Session> {
    let time = |column: usize| timestamp(column, row.get(column)?);
    Ok(Session { login: row.get(0)?, created: time(1)?, last_seen: time(2)?, expires: time(3)? })
}

fn timestamp(column: usize, second: i64) -> rusqlite::Result<Timestamp> {
    Timestamp::from_second(second)
        .map_err(|error| rusqlite::Error::FromSqlConversionFailure(column, Type::Integer, Box::new(error)))
}
