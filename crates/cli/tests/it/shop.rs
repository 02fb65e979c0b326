//! A shop served, checked, copied and brought back, by the program itself.

use crate::server::{Server, hingeline};
use std::path::Path;
use std::process::Output;

fn run(args: &[&str], paths: &[&Path]) -> Output {
    hingeline().args(args).args(paths).output().expect("it runs")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

#[test]
fn a_demo_shop_is_served_checked_copied_and_brought_back() {
    let place = tempfile::tempdir().expect("a place");
    let (shop, copy, back) =
        (place.path().join("shop"), place.path().join("copy"), place.path().join("back"));
    let server = Server::start(&shop, &["--demo"]);
    assert!(server.get("/log-in").contains("This is a demo"));
    let verified = run(&["ledger", "verify", "--folder"], &[&shop]);
    assert!(verified.status.success() && said(&verified).contains("every entry fits"), "{}", said(&verified));
    let backup = run(&["backup", "--folder"], &[&shop, &copy]);
    assert!(backup.status.success(), "beside the server: {}", said(&backup));
    let second = run(&["serve", "--folder"], &[&shop]);
    assert_eq!(second.status.code(), Some(2), "one server a folder");
    assert_eq!(server.stop(), Some(0), "it ends by itself when it is asked");
    let restored = run(&["restore"], &[&copy, &back]);
    assert!(restored.status.success(), "{}", said(&restored));
    let again = run(&["ledger", "verify", "--folder"], &[&back]);
    assert_eq!(said(&again), said(&verified), "the same entries, the same hashes");
    let rebuilt = run(&["ledger", "rebuild", "--folder"], &[&back]);
    assert!(said(&rebuilt).contains("jobs"), "{}", said(&rebuilt));
    assert_eq!(run(&["restore"], &[&copy, &back]).status.code(), Some(2), "never over a shop that is there");
    change(&copy.join("hingeline.db"), b"{\"deed\":\"received\"", b"{\"deed\":\"receiveD\"");
    let changed = run(&["ledger", "verify", "--folder"], &[&copy]);
    assert_eq!(changed.status.code(), Some(1), "{}", said(&changed));
    assert!(said(&changed).starts_with("THE RECORD DOES NOT FIT: "), "{}", said(&changed));
    assert!(said(&changed).contains("\nhint: keep the folder as it is"), "{}", said(&changed));
}

/// Puts other bytes in the place of the first that are found in a file.
fn change(file: &Path, found: &[u8], put: &[u8]) {
    let mut bytes = std::fs::read(file).expect("a file");
    let at = bytes.windows(found.len()).position(|window| window == found).expect("the bytes");
    bytes[at..at + put.len()].copy_from_slice(put);
    std::fs::write(file, bytes).expect("written");
}

#[test]
fn a_new_shop_prints_the_code_of_its_first_administrator() {
    let place = tempfile::tempdir().expect("a place");
    let server = Server::start(&place.path().join("shop"), &["--name", "bench.test"]);
    assert!(server.get("/").contains("location: /set-up"), "{}", server.get("/"));
    assert!(!server.greeting.contains("demo"));
    server.stop();
}

#[test]
fn a_folder_without_a_shop_is_said_so() {
    let place = tempfile::tempdir().expect("a place");
    for args in [&["ledger", "verify", "--folder"][..], &["backup", "copy", "--folder"]] {
        let output = run(args, &[&place.path().join("nothing")]);
        assert_eq!(output.status.code(), Some(2), "{args:?}");
        assert!(said(&output).starts_with("error: "), "{}", said(&output));
    }
}
