//! A certificate of the shop's own for an encrypted connection in its own network. Main function: [`generated`].
//!
//! It vouches for nothing but itself: each tablet asks once whether to trust it, or is given `tls/certificate.pem`.

use crate::server::Pem;
use hingeline_store::{ReadBy, write_whole};
use jiff::civil::Date;
use rcgen::{CertificateParams, DnType, KeyPair, date_time_ymd};
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// How long a certificate lasts. Longer ones are refused by some tablets.
const DAYS: i32 = 800;
/// How many days before its end it is made anew.
const BEFORE: i32 = 30;

/// Why there is no certificate.
#[derive(Debug, thiserror::Error)]
pub enum TlsError {
    /// A name that no certificate can hold.
    #[error("{name} cannot stand in a certificate")]
    Name {
        /// The name.
        name: String,
        /// What the maker of certificates says.
        source: rcgen::Error,
    },
    /// The maker of certificates failed.
    #[error("no certificate was made")]
    Maker {
        /// What it says.
        #[from]
        source: rcgen::Error,
    },
    /// A file cannot be read or written.
    #[error("{} cannot be read or written", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// What the system says.
        source: io::Error,
    },
}

/// The certificate of a folder for these names, made where there is none, where it is for others, or where it ends
/// within a month.
///
/// # Errors
/// - [`TlsError`]: a name cannot stand in it, or a file cannot be read or written
pub fn generated(folder: &Path, names: &[String], today: Date) -> Result<Pem, TlsError> {
    let folder = folder.join("tls");
    let path = |name: &str| folder.join(name);
    let read = |name: &str| fs::read_to_string(path(name)).ok();
    if let (Some(meant), Some(certificate), Some(key)) =
        (read("for"), read("certificate.pem"), read("key.pem"))
        && still_good(&meant, names, today)
    {
        return Ok(Pem { certificate, key });
    }
    let until = today.saturating_add(jiff::Span::new().days(DAYS));
    let pem = make(names, today, until)?;
    let failed = |path: &Path| {
        let path = path.to_owned();
        |source| TlsError::File { path, source }
    };
    fs::create_dir_all(&folder).map_err(failed(&folder))?;
    for (name, text) in
        [("key.pem", &pem.key), ("certificate.pem", &pem.certificate), ("for", &meant(names, until))]
    {
        let path = path(name);
        write_whole(&path, ReadBy::Owner, |file| file.write_all(text.as_bytes())).map_err(failed(&path))?;
    }
    Ok(pem)
}

/// What the certificate is for, kept beside it: its last day and its names.
fn meant(names: &[String], until: Date) -> String {
    format!("{until}\n{}\n", names.join("\n"))
}

fn still_good(text: &str, names: &[String], today: Date) -> bool {
    let until = text.lines().next().and_then(|line| line.parse::<Date>().ok());
    let soon = today.saturating_add(jiff::Span::new().days(BEFORE));
    until.is_some_and(|until| until > soon && text == meant(names, until))
}

fn make(names: &[String], from: Date, until: Date) -> Result<Pem, TlsError> {
    let name = names.first().cloned().unwrap_or_default();
    let mut params =
        CertificateParams::new(names.to_vec()).map_err(|source| TlsError::Name { name, source })?;
    params.distinguished_name.push(DnType::CommonName, "Hingeline, this shop");
    let day =
        |day: Date| date_time_ymd(day.year().into(), day.month().unsigned_abs(), day.day().unsigned_abs());
    params.not_before = day(from.saturating_sub(jiff::Span::new().days(1)));
    params.not_after = day(until);
    let key = KeyPair::generate()?;
    let certificate = params.self_signed(&key)?;
    Ok(Pem { certificate: certificate.pem(), key: key.serialize_pem() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn it_is_made_once_and_anew_for_other_names_or_near_its_end() {
        let folder = tempfile::tempdir().expect("a folder");
        let names = |name: &str| vec![name.to_owned(), "127.0.0.1".to_owned()];
        let made = |name: &str, today| {
            generated(folder.path(), &names(name), today).expect("a certificate").certificate
        };
        let first = made("bench.test", date(2026, 10, 2));
        assert_eq!(made("bench.test", date(2028, 10, 2)), first);
        let other = made("hall.test", date(2026, 10, 2));
        assert_ne!(other, first);
        assert_ne!(made("hall.test", date(2028, 12, 1)), other);
    }

    #[test]
    fn a_name_that_no_certificate_holds_is_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        let names = ["bänch.test".to_owned()];
        assert!(generated(folder.path(), &names, date(2026, 10, 2)).is_err());
    }
}
