//! What every page shares, and the router over it. Main types: [`Config`], [`App`].

use crate::clock::Clock;
use crate::problem::Problem;
use crate::{checks, guard, routes, secrets};
use axum::Router;
use hingeline_bench::record::deed::NamedFile;
use hingeline_store::{Store, StoreError};
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use tokio::sync::{Semaphore, watch};

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

/// Work that would take the whole machine if everybody could ask for it at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heavy {
    /// The hash of a password or a PIN: tens of milliseconds, 19 MiB.
    Hash,
    /// A printed sheet, or the check of a ledger with its files: up to seconds.
    Paper,
    /// A piece that was drawn elsewhere: its file may take seconds, and a gigabyte while it is read.
    Mesh,
}

impl Heavy {
    /// How many at once.
    pub(crate) fn at_once(self) -> usize {
        match self {
            Self::Hash => 2,
            Self::Paper | Self::Mesh => 1,
        }
    }
}

/// What every page shares.
#[derive(Debug, Clone)]
pub struct App(Arc<Inner>);

#[derive(Debug)]
struct Inner {
    store: Arc<Store>,
    config: Config,
    hashes: Arc<Semaphore>,
    papers: Arc<Semaphore>,
    meshes: Arc<Semaphore>,
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
            hashes: Arc::new(Semaphore::new(Heavy::Hash.at_once())),
            papers: Arc::new(Semaphore::new(Heavy::Paper.at_once())),
            meshes: Arc::new(Semaphore::new(Heavy::Mesh.at_once())),
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
    /// The permits of a kind of heavy work.
    pub(crate) fn permits(&self, kind: Heavy) -> &Arc<Semaphore> {
        match kind {
            Heavy::Hash => &self.0.hashes,
            Heavy::Paper => &self.0.papers,
            Heavy::Mesh => &self.0.meshes,
        }
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

    /// Does heavy work on a thread that may wait, once there is a permit for it. Whoever leaves before it begins leaves
    /// no work behind; what has begun keeps its permit to its end.
    pub(crate) async fn heavy<T: Send + 'static>(
        &self,
        kind: Heavy,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Problem> {
        let defect = |what: String| Problem::Defect { what };
        let permit = Arc::clone(self.permits(kind)).acquire_owned().await;
        let permit = permit.map_err(|error| defect(error.to_string()))?;
        let done = tokio::task::spawn_blocking(move || {
            let done = work();
            drop(permit);
            done
        });
        done.await.map_err(|error| defect(error.to_string()))
    }

    /// Works a weight out on a thread that may wait; those from a file one at a time.
    pub(crate) async fn work_out<T: Send + 'static>(
        &self,
        mesh: Option<&NamedFile>,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Problem> {
        match mesh {
            Some(_) => self.heavy(Heavy::Mesh, work).await,
            None => self.ask(move |_| Ok(work())).await,
        }
    }
}

/// The router, for a server or for a test without a socket.
pub fn app(state: App) -> Router {
    checks::start();
    guard::around(routes::router(), &state)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use jiff::Timestamp;
    use jiff::tz::TimeZone;
    use std::sync::atomic::{AtomicU32, Ordering};

    /// A shop of nobody.
    pub(crate) fn empty(folder: &std::path::Path) -> App {
        let clock = Clock::new(Timestamp::default, TimeZone::UTC);
        let folder = folder.to_owned();
        App::open(Config { folder, names: Vec::new(), secure: false, demo: false, clock }).expect("a shop")
    }

    #[tokio::test]
    async fn heavy_work_waits_its_turn_and_never_begins_for_who_left() {
        let folder = tempfile::tempdir().expect("a folder");
        let app = empty(folder.path());
        let begun = Arc::new(AtomicU32::new(0));
        let ask = || {
            let (app, begun) = (app.clone(), Arc::clone(&begun));
            tokio::spawn(async move {
                app.heavy(Heavy::Paper, move || begun.fetch_add(1, Ordering::SeqCst)).await
            })
        };
        let busy = Arc::clone(app.permits(Heavy::Paper)).acquire_owned().await.expect("a permit");
        let left = ask();
        tokio::task::yield_now().await;
        left.abort();
        assert!(left.await.expect_err("it was left").is_cancelled());
        drop(busy);
        assert_eq!(ask().await.expect("no panic").expect("done"), 0, "the first that begins");
    }

    #[tokio::test]
    async fn weights_from_files_are_worked_out_one_at_a_time() {
        let folder = tempfile::tempdir().expect("a folder");
        let app = empty(folder.path());
        let busy = Arc::clone(app.permits(Heavy::Mesh)).acquire_owned().await.expect("a permit");
        let of_file = tokio::spawn({
            let app = app.clone();
            let mesh = NamedFile { name: "horn.stl".to_owned(), file: String::new() };
            async move { app.work_out(Some(&mesh), || 1).await }
        });
        assert_eq!(app.work_out(None, || 2).await.expect("done"), 2, "no file, no wait");
        assert!(!of_file.is_finished());
        drop(busy);
        assert_eq!(of_file.await.expect("no panic").expect("done"), 1);
    }
}
