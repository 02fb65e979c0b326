//! The program, serving its demo shop. Main type: [`Server`].

use crate::child::Child;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tempfile::TempDir;

/// The built program beside this test: target/PROFILE/hingeline.
///
/// # Panics
/// Where it is not built.
#[must_use]
pub fn program() -> PathBuf {
    let here = std::env::current_exe().expect("the path of this test");
    let folder = here.ancestors().nth(2).expect("the folder of the profile");
    let program = folder.join("hingeline");
    assert!(program.exists(), "the program is not built: cargo build -p hingeline-cli");
    program
}

/// A shop of its own in a folder of its own.
#[derive(Debug)]
pub struct Server {
    _child: Child,
    _folder: TempDir,
    address: String,
}

/// Somebody of the demo shop, as its log-in page shows them.
#[derive(Debug, Clone, Copy)]
pub struct Person {
    /// Login name.
    pub login: &'static str,
    /// Password.
    pub password: &'static str,
    /// What stands for the signature.
    pub pin: &'static str,
}

impl Server {
    /// Starts the program with its demo shop and waits until it listens.
    #[must_use]
    pub fn demo() -> Self {
        Self::start(&["--demo"])
    }
    /// Starts the program with a shop that has nobody in it.
    #[must_use]
    pub fn empty() -> Self {
        Self::start(&[])
    }
    fn start(more: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let mut command = Command::new(program());
        command.arg("serve").args(more).arg("--folder").arg(folder.path().join("shop"));
        command.args(["--listen", "127.0.0.1:0"]);
        let child = Child::start(&mut command);
        let address = child.says(address_in);
        Self { _child: child, _folder: folder, address }
    }
    /// The address of a path.
    #[must_use]
    pub fn at(&self, path: &str) -> String {
        format!("{}{path}", self.address)
    }
}

/// "http://127.0.0.1:PORT" out of a line.
fn address_in(line: &str) -> Option<String> {
    let rest = &line[line.find("http://127.0.0.1:")?..];
    let end = rest["http://".len()..].find(|sign: char| !(sign.is_ascii_digit() || ".:".contains(sign)));
    let address = end.map_or(rest, |end| &rest[..end + "http://".len()]);
    Some(address.trim_end_matches(['.', ':']).to_owned())
}

/// Runs the program's `balance` on a job sheet.
///
/// # Panics
/// Where it cannot be started.
#[must_use]
pub fn balance(sheet: &Path, more: &[&str]) -> Output {
    Command::new(program()).arg("balance").arg(sheet).args(more).output().expect("the program runs")
}
