//! Passwords, PINs and random codes: how they are made, kept and tried.
//!
//! Hashing is heavy: it runs on threads that may wait, a few at a time. An unknown name
//! costs the same as a known one and is locked in the same way, so that neither time nor words tell which names exist.

use crate::app::{App, Heavy};
use crate::form::Said;
use crate::problem::Problem;
use crate::visit::Visit;
use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher, PasswordVerifier};
use hingeline_store::Try;
use jiff::{SignedDuration, Timestamp};
use std::sync::OnceLock;

/// Wrong tries before a login is locked.
pub(crate) const TRIES: u64 = 5;
/// How long it is locked then.
pub(crate) const LOCKED: SignedDuration = SignedDuration::from_mins(15);
/// Unknown names whose tries are remembered at most.
const STRANGERS: usize = 1000;

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
    let hashed = app.heavy(Heavy::Hash, move || make(&secret)).await?;
    hashed.ok_or_else(|| Problem::Defect { what: "the password hasher failed".to_owned() })
}

/// The same, on a thread of the caller that may wait.
pub(crate) fn make(secret: &str) -> Option<String> {
    Argon2::default()
        .hash_password(secret.as_bytes())
        .ok()
        .map(|hash: argon2::password_hash::phc::PasswordHash| hash.to_string())
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

/// Tries a secret of a login. The try counts as a wrong one before the secret is hashed, so that many at the same moment
/// are no more than the lock allows; a right one takes the count back.
pub(crate) async fn attempt(app: &App, login: &str, which: Secret, given: &str) -> Result<Tried, Problem> {
    let (name, given) = (login.to_owned(), given.to_owned());
    let now = app.clock().now();
    let end = now.saturating_add(LOCKED).unwrap_or(Timestamp::MAX);
    let asked = app.ask(move |store| {
        let set = store.credential(&name)?.and_then(|it| match which {
            Secret::Password => it.password,
            Secret::Pin => it.pin,
        });
        if which == Secret::Pin && set.is_none() {
            return Ok(None);
        }
        Ok(Some((set, store.begin_try(&name, TRIES, now, end)?)))
    });
    let Some((set, begun)) = asked.await? else { return Ok(Tried::NotSet) };
    let failed = match begun.unwrap_or_else(|| stranger(app, login, now, end)) {
        Try::Taken { failed } => failed,
        Try::Locked { until } => return Ok(Tried::Locked { until }),
    };
    let right = app.heavy(Heavy::Hash, move || match set {
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
    Ok(if failed < TRIES { Tried::Wrong { left: TRIES - failed } } else { Tried::Locked { until: end } })
}

/// A try under a name that does not exist, counted as that of a name that does.
fn stranger(app: &App, login: &str, now: Timestamp, end: Timestamp) -> Try {
    let mut strangers = app.strangers().lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    if STRANGERS <= strangers.len() && !strangers.contains_key(login) {
        strangers.clear();
    }
    let tries = strangers.entry(login.to_owned()).or_default();
    match tries.until {
        Some(until) if now < until => return Try::Locked { until },
        Some(_) => *tries = Tries::default(),
        None => {}
    }
    tries.failed += 1;
    tries.until = (TRIES <= tries.failed).then_some(end);
    Try::Taken { failed: tries.failed }
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

/// What to say beside the field of a secret that was tried; nothing where it is right.
pub(crate) fn said(visit: &Visit, which: Secret, tried: Tried) -> Option<Said> {
    let (wrong, not_set) = match which {
        Secret::Password => (
            "this is not your password",
            Said::new("you have no password").hint("ask an administrator to set one"),
        ),
        Secret::Pin => (
            "the PIN is wrong",
            Said::new("you have no PIN yet").hint("set one on your own page:").at("/me", "set a PIN"),
        ),
    };
    match tried {
        Tried::Right => None,
        Tried::Wrong { left } => {
            let hint = format!("after {TRIES} wrong tries the login is locked; {left} left");
            Some(Said::new(wrong).hint(hint))
        }
        Tried::Locked { until } => Some(locked(visit, until)),
        Tried::NotSet => Some(not_set),
    }
}

/// Too many wrong tries.
pub(crate) fn locked(visit: &Visit, until: Timestamp) -> Said {
    let until = visit.local(&until.to_string());
    Said::new(format!("too many wrong tries: this login is locked until {until}"))
        .hint("wait until then, or ask an administrator to set a new password")
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::Arc;
    use std::time::Duration;
    use tokio::task::JoinSet;

    /// Longer than any machine needs to refuse what is locked.
    const LONG: Duration = Duration::from_secs(60);

    #[tokio::test]
    async fn of_fifty_tries_at_the_same_moment_five_are_hashed() {
        let folder = tempfile::tempdir().expect("a folder");
        let app = crate::app::tests::empty(folder.path());
        app.store().set_pin("tarn", Some(&make("4471").expect("a hash"))).expect("set");
        for (login, which) in [("tarn", Secret::Pin), ("nobody", Secret::Password)] {
            let all = u32::try_from(Heavy::Hash.at_once()).expect("a few");
            let busy =
                Arc::clone(app.permits(Heavy::Hash)).acquire_many_owned(all).await.expect("all permits");
            let mut tries = JoinSet::new();
            for _ in 0..50 {
                let app = app.clone();
                tries.spawn(async move { attempt(&app, login, which, "0000").await });
            }
            let next = async |tries: &mut JoinSet<Result<Tried, Problem>>| {
                let tried = tokio::time::timeout(LONG, tries.join_next()).await.expect("no try waits");
                tried.expect("a try").expect("no panic").expect("an answer")
            };
            for _ in 0..45 {
                // Nothing can be hashed yet, so these are refused without it.
                assert!(matches!(next(&mut tries).await, Tried::Locked { .. }), "{login}");
            }
            drop(busy);
            let mut left = Vec::new();
            while !tries.is_empty() {
                left.push(match next(&mut tries).await {
                    Tried::Wrong { left } => left,
                    Tried::Locked { .. } => 0,
                    other => panic!("{other:?}"),
                });
            }
            left.sort_unstable();
            assert_eq!(left, [0, 1, 2, 3, 4], "{login}");
        }
    }
}
