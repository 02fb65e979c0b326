//! Passwords, PINs and random codes: how they are made, kept and tried.
//!
//! Hashing takes tens of milliseconds and 19 MiB: it runs on threads that may wait, a few at a time. An unknown name
//! costs the same as a known one and is locked in the same way, so that neither time nor words tell which names exist.

use crate::app::App;
use crate::problem::Problem;
use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher, PasswordVerifier};
use jiff::{SignedDuration, Timestamp};
use std::sync::{Arc, OnceLock};
use tokio::sync::Semaphore;

/// Wrong tries before a login is locked.
pub(crate) const TRIES: u64 = 5;
/// How long it is locked then.
pub(crate) const LOCKED: SignedDuration = SignedDuration::from_mins(15);
/// Unknown names whose tries are remembered at most.
const STRANGERS: usize = 1000;

/// How many hashes are worked out at once.
#[derive(Debug)]
pub(crate) struct Hashing(Arc<Semaphore>);

impl Default for Hashing {
    fn default() -> Self {
        Self(Arc::new(Semaphore::new(2)))
    }
}

/// Tries under a name that does not exist.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Tries {
    failed: u64,
    until: Option<Timestamp>,
}

/// Which secret is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Secret {
    /// The password of the log-in.
    Password,
    /// The PIN of a signature.
    Pin,
}

/// What came of a try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tried {
    /// It is the right one.
    Right,
    /// It is not; so many tries are left.
    Wrong {
        /// Before the login is locked.
        left: u64,
    },
    /// Too many wrong tries: none is taken until then.
    Locked {
        /// Until when.
        until: Timestamp,
    },
    /// The person has none.
    NotSet,
}

/// The hash of a secret, with its method and salt.
pub(crate) async fn hash(app: &App, secret: &str) -> Result<String, Problem> {
    let secret = secret.to_owned();
    let hashed = heavy(app, move || make(&secret)).await?;
    hashed.ok_or_else(|| Problem::Defect { what: "the password hasher failed".to_owned() })
}

/// The same, on a thread of the caller that may wait.
pub(crate) fn make(secret: &str) -> Option<String> {
    Argon2::default()
        .hash_password(secret.as_bytes())
        .ok()
        .map(|hash: argon2::password_hash::phc::PasswordHash| hash.to_string())
}

async fn heavy<T: Send + 'static>(
    app: &App,
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Problem> {
    let defect = |what: String| Problem::Defect { what };
    let permit = Arc::clone(&app.hashing().0).acquire_owned().await.map_err(|e| defect(e.to_string()))?;
    let done = tokio::task::spawn_blocking(move || {
        let done = work();
        drop(permit);
        done
    });
    done.await.map_err(|error| defect(error.to_string()))
}

/// A hash that nothing fits, for names that do not exist.
fn nobody() -> &'static str {
    static NOBODY: OnceLock<String> = OnceLock::new();
    NOBODY.get_or_init(|| make(&token()).unwrap_or_default())
}

fn fits(secret: &str, hash: &str) -> bool {
    PasswordHash::new(hash)
        .is_ok_and(|hash| Argon2::default().verify_password(secret.as_bytes(), &hash).is_ok())
}

/// Tries a secret of a login, counts a wrong try, and forgets the wrong ones after a right one.
pub(crate) async fn attempt(app: &App, login: &str, which: Secret, given: &str) -> Result<Tried, Problem> {
    let (name, given) = (login.to_owned(), given.to_owned());
    let credential = app.ask(move |store| store.credential(&name)).await?;
    let now = app.clock().now();
    let known = credential.is_some();
    let until = credential.as_ref().map_or_else(|| stranger(app, login).until, |it| it.locked_until);
    if let Some(until) = until.filter(|until| *until > now) {
        return Ok(Tried::Locked { until });
    }
    let set = credential.and_then(|it| match which {
        Secret::Password => it.password,
        Secret::Pin => it.pin,
    });
    if which == Secret::Pin && set.is_none() {
        return Ok(Tried::NotSet);
    }
    let right = heavy(app, move || match set {
        Some(hash) => fits(&given, &hash),
        None => {
            // As much work as for a known name, so that the time tells nothing.
            let _ = fits(&given, nobody());
            false
        }
    });
    if right.await? {
        let name = login.to_owned();
        app.ask(move |store| store.succeeded(&name)).await?;
        return Ok(Tried::Right);
    }
    if known { count(app, login, now).await } else { Ok(count_stranger(app, login, now)) }
}

async fn count(app: &App, login: &str, now: Timestamp) -> Result<Tried, Problem> {
    let (name, until) = (login.to_owned(), now.saturating_add(LOCKED).unwrap_or(Timestamp::MAX));
    // A lock that has run out begins a new count.
    let again = app.ask(move |store| {
        if store.credential(&name)?.is_some_and(|it| it.locked_until.is_some_and(|until| until <= now)) {
            store.succeeded(&name)?;
        }
        store.failed(&name, TRIES, until)
    });
    let failed = again.await?.map_or(TRIES, |it| it.failed);
    Ok(after(failed, until))
}

fn after(failed: u64, until: Timestamp) -> Tried {
    if failed < TRIES { Tried::Wrong { left: TRIES - failed } } else { Tried::Locked { until } }
}

fn stranger(app: &App, login: &str) -> Tries {
    let strangers = app.strangers().lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    strangers.get(login).copied().unwrap_or_default()
}

fn count_stranger(app: &App, login: &str, now: Timestamp) -> Tried {
    let mut strangers = app.strangers().lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    if strangers.len() >= STRANGERS && !strangers.contains_key(login) {
        strangers.clear();
    }
    let until = now.saturating_add(LOCKED).unwrap_or(Timestamp::MAX);
    let tries = strangers.entry(login.to_owned()).or_default();
    if tries.until.is_some_and(|until| until <= now) {
        *tries = Tries::default();
    }
    tries.failed += 1;
    let tried = after(tries.failed, until);
    tries.until = matches!(tried, Tried::Locked { .. }).then_some(until);
    tried
}

/// A random token, 32 bytes in hexadecimal.
pub(crate) fn token() -> String {
    random::<32>().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A code that a person copies from the terminal: three groups of four signs.
pub(crate) fn code() -> String {
    const SIGNS: &[u8; 32] = b"abcdefghjkmnpqrstuvwxyz234567899";
    let signs = random::<12>().map(|byte| char::from(SIGNS[usize::from(byte) % SIGNS.len()]));
    let groups: Vec<String> = signs.chunks(4).map(|group| group.iter().collect()).collect();
    groups.join("-")
}

fn random<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    // Without the system's random numbers nothing here may go on: a guessable token would let anybody in.
    #[allow(
        clippy::expect_used,
        reason = "no token may be made of anything else, and no caller could do better"
    )]
    getrandom::fill(&mut bytes).expect("the system gives random numbers");
    bytes
}

/// What to say beside the field of a PIN that was tried; nothing where it is right.
pub(crate) fn said_of_pin(visit: &crate::visit::Visit, tried: Tried) -> Option<crate::form::Said> {
    use crate::form::Said;
    match tried {
        Tried::Right => None,
        Tried::Wrong { left } => Some(
            Said::new("the PIN is wrong")
                .hint(format!("after {TRIES} wrong tries the login is locked; {left} left")),
        ),
        Tried::Locked { until } => Some(
            Said::new(format!("too many wrong tries: locked until {}", visit.local(&until.to_string())))
                .hint("wait until then, or ask an administrator to set a new password"),
        ),
        Tried::NotSet => {
            Some(Said::new("you have no PIN yet").hint("set one on your own page:").at("/me", "set a PIN"))
        }
    }
}
