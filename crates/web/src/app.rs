//! What every page shares, and the router over it. Main types: [`Config`], [`App`].

use crate::clock::Clock;
use crate::problem::Problem;
use crate::secrets::Hashing;
use crate::{checks, guard, routes, secrets};
use axum::Router;
use hingeline_store::{Store, StoreError};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use tokio::sync::watch;

/// How the pages are served.
#[derive(Debug, Clone)]
pub struct Config {
    /// The folder of the shop.
    pub folder: PathBuf,
    /// Names that a browser may ask for, besides addresses and localhost.
    pub names: Vec<String>,
    /// Whether the connection is encrypted, so that cookies may say so.
    pub secure: bool,
    /// Whether this is the demo shop, whose passwords are printed on the page.
    pub demo: bool,
    /// The time.
    pub clock: Clock,
}

/// What every page shares.
#[derive(Debug, Clone)]
pub struct App(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    store: Arc<Store>,
    config: Config,
    hashing: Hashing,
    set_up_code: Option<String>,
    strangers: Mutex<BTreeMap<String, secrets::Tries>>,
    stop: watch::Sender<bool>,
}

impl App {
    /// Opens the folder of a shop. A shop without people gets a code for its first administrator.
    ///
    /// # Errors
    /// - [`StoreError`]: the folder cannot be opened
    pub fn open(config: Config) -> Result<Self, StoreError> {
        let store = Arc::new(Store::open(&config.folder)?);
        let set_up_code = if store.shop()?.people.is_empty() { Some(secrets::code()) } else { None };
        Ok(Self(Arc::new(Inner {
            store,
            config,
            hashing: Hashing::default(),
            set_up_code,
            strangers: Mutex::default(),
            stop: watch::Sender::new(false),
        })))
    }
    /// How it is served.
    #[must_use]
    pub fn config(&self) -> &Config {
        &self.0.config
    }
    /// The time.
    #[must_use]
    pub fn clock(&self) -> &Clock {
        &self.0.config.clock
    }
    /// The code that makes the first administrator; none where the shop has people.
    #[must_use]
    pub fn set_up_code(&self) -> Option<&str> {
        self.0.set_up_code.as_deref()
    }
    /// Tells every stream to end.
    pub(crate) fn stop(&self) {
        self.0.stop.send_replace(true);
    }
    /// The store itself, for a caller that may wait (not a handler).
    #[must_use]
    pub fn store(&self) -> &Arc<Store> {
        &self.0.store
    }
    pub(crate) fn hashing(&self) -> &Hashing {
        &self.0.hashing
    }
    pub(crate) fn strangers(&self) -> &Mutex<BTreeMap<String, secrets::Tries>> {
        &self.0.strangers
    }

    /// Asks the store, on a thread that may wait.
    pub(crate) async fn ask<T: Send + 'static>(
        &self,
        question: impl FnOnce(&Store) -> Result<T, StoreError> + Send + 'static,
    ) -> Result<T, Problem> {
        let store = Arc::clone(&self.0.store);
        let answer = tokio::task::spawn_blocking(move || question(&store)).await;
        answer.map_err(|error| Problem::Defect { what: error.to_string() })?.map_err(Problem::from)
    }
}

/// The router, for a server or for a test without a socket.
pub fn app(state: App) -> Router {
    checks::start();
    guard::around(routes::router(&state), &state)
}
