//! Credentials and sessions.

use crate::shop::{bench, database, draft, noted, rows};
use hingeline_store::{Credential, StoreError, Try, Write};
use jiff::Timestamp;

fn at(second: i64) -> Timestamp {
    Timestamp::from_second(1_790_000_000 + second).expect("a time")
}

#[test]
fn hashes_are_set_and_read() {
    let bench = bench();
    assert_eq!(bench.store.credential("tarn").expect("read"), None);
    bench.store.set_password("tarn", "$one").expect("set");
    bench.store.set_pin("tarn", Some("$pin")).expect("set");
    let credential = bench.store.credential("tarn").expect("read").expect("set");
    assert_eq!(credential.password.as_deref(), Some("$one"));
    assert_eq!(credential.pin.as_deref(), Some("$pin"));
    bench.store.set_password("tarn", "$two").expect("set");
    bench.store.set_pin("tarn", None).expect("taken away");
    let credential = bench.store.credential("tarn").expect("read").expect("set");
    assert_eq!((credential.password.as_deref(), credential.pin), (Some("$two"), None));
}

#[test]
fn a_record_begins_with_what_lets_its_people_in_or_not_at_all() {
    let bench = bench();
    let credential = |login: &str| Credential {
        login: login.to_owned(),
        password: Some("$one".to_owned()),
        ..Credential::default()
    };
    let write = Write { draft: draft("shop", "M. Tarn", &noted("begun")), seen: 0 };
    bench.store.start_session("token", "tarn", at(0), at(1000)).expect("started");
    bench.store.begin(std::slice::from_ref(&write), &[credential("tarn")]).expect("begun");
    assert_eq!(bench.store.session("token", at(1)).expect("read"), None, "it began with something else");
    assert_eq!(bench.store.credential("tarn").expect("read"), Some(credential("tarn")));
    let again = bench.store.begin(&[write], &[credential("alder")]);
    assert!(matches!(again, Err(StoreError::Stale { .. })), "{again:?}");
    assert_eq!(bench.store.credential("alder").expect("read"), None);
}

#[test]
fn tries_are_counted_before_they_are_made_and_lock() {
    let bench = bench();
    bench.store.set_password("tarn", "$one").expect("set");
    let ask = |login: &str, second: i64| {
        bench.store.begin_try(login, 3, at(second), at(second + 900)).expect("asked")
    };
    let begin = |second: i64| ask("tarn", second).expect("known");
    assert_eq!([begin(0), begin(0), begin(1)], [1, 2, 3].map(|failed| Try::Taken { failed }));
    assert_eq!(begin(2), Try::Locked { until: at(901) }, "the third locked");
    assert_eq!(begin(901), Try::Taken { failed: 1 }, "a lock that has run out begins a new count");
    bench.store.succeeded("tarn").expect("forgotten");
    let credential = bench.store.credential("tarn").expect("read").expect("set");
    assert_eq!((credential.failed, credential.locked_until), (0, None));
    assert_eq!(ask("nobody", 0), None);
}

#[test]
fn a_new_password_unlocks() {
    let bench = bench();
    bench.store.set_password("tarn", "$one").expect("set");
    bench.store.begin_try("tarn", 1, at(0), at(900)).expect("counted");
    bench.store.set_password("tarn", "$two").expect("set");
    assert_eq!(bench.store.credential("tarn").expect("read").expect("set").locked_until, None);
}

#[test]
fn a_session_lasts_until_it_runs_out() {
    let bench = bench();
    bench.store.start_session("token one", "tarn", at(0), at(1000)).expect("started");
    assert_eq!(bench.store.session("token two", at(1)).expect("read"), None);
    let session = bench.store.session("token one", at(999)).expect("read").expect("lasts");
    assert_eq!((session.login.as_str(), session.created, session.expires), ("tarn", at(0), at(1000)));
    assert_eq!(bench.store.session("token one", at(1000)).expect("read"), None, "run out");
}

#[test]
fn the_use_of_a_session_is_written_once_a_minute() {
    let bench = bench();
    bench.store.start_session("token", "tarn", at(0), at(1000)).expect("started");
    let touched = |second: i64| {
        let used = bench.store.use_session("token", at(second), at(second + 1000)).expect("used");
        assert_eq!(used, bench.store.session("token", at(second)).expect("read"), "as it is written");
        used.expect("lasts")
    };
    assert_eq!(touched(59).last_seen, at(0));
    let later = touched(60);
    assert_eq!((later.last_seen, later.expires), (at(60), at(1060)));
    assert_eq!(bench.store.use_session("token", at(2000), at(9000)).expect("asked"), None);
    assert_eq!(bench.store.session("token", at(2000)).expect("read"), None, "what ran out stays so");
}

#[test]
fn sessions_end() {
    let bench = bench();
    for (token, login, expires) in
        [("a", "tarn", 10), ("b", "tarn", 99), ("c", "osterby", 99), ("d", "tarn", 99)]
    {
        bench.store.start_session(token, login, at(0), at(expires)).expect("started");
    }
    let count = || rows(&database(bench.folder.path()), "SELECT 1 FROM session").len();
    bench.store.end_session("d").expect("ended");
    assert_eq!(count(), 3);
    bench.store.end_sessions_past(at(10)).expect("ended");
    assert_eq!(count(), 2);
    bench.store.end_sessions_of("tarn").expect("ended");
    assert!(bench.store.session("c", at(1)).expect("read").is_some());
    assert_eq!(count(), 1);
}

#[test]
fn neither_token_nor_login_is_in_the_record() {
    let bench = bench();
    bench.store.start_session("the-token-itself", "tarn", at(0), at(10)).expect("started");
    let folder = std::fs::read_dir(bench.folder.path()).expect("a folder");
    for file in folder.map(|file| file.expect("a file").path()).filter(|path| path.is_file()) {
        let bytes = std::fs::read(&file).expect("bytes");
        assert!(!bytes.windows(16).any(|window| window == b"the-token-itself"), "{}", file.display());
    }
    assert_eq!(bench.store.head().expect("a head").entries, 0);
}
