//! A shop to look round in: invented people, surfaces and numbers, those of the demo job sheets among them.
//!
//! Main function: [`fill`]. Everything happens some days before today, so that instruments are in date whenever the
//! demo is opened. Every deed goes through the same rules as on a page; all of it is written at once or not at all.

mod book;
mod data;
mod jobs;
mod past;
mod sheet;

use crate::app::App;
use crate::secrets;
use book::Book;
use hingeline_bench::Faults;
use hingeline_bench::record::deed::{Person, Role};
use hingeline_bench::record::job::{Refusal, Unreadable};
use hingeline_store::{Credential, StoreError};

/// The people of the demo: login, name, role, certificate, kind, PIN.
pub(crate) const PEOPLE: [(&str, &str, Role, &str, &str, &str); 4] = [
    ("tarn", "M. Tarn", Role::Technician, "T-4471", "airframe", "4471"),
    ("osterby", "J. Osterby", Role::Inspector, "I-0220", "inspector", "2207"),
    ("sandell", "K. Sandell", Role::DataKeeper, "", "", "8305"),
    ("admin", "R. Alder", Role::Administrator, "", "", "6190"),
];

/// The surface of a piece from a drawing program.
const HORN: &[u8] = include_bytes!("../../../../demo/weights/HP-0240-horn.stl");

/// The password of all of them.
pub(crate) const PASSWORD: &str = "hinge line level";

/// Why the demo was not made.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The store failed.
    #[error("the demo shop cannot be written")]
    Store {
        /// What it says.
        #[from]
        source: StoreError,
    },
    /// A deed is refused by the rules.
    #[error("the demo does what the rules refuse: {what}")]
    Refused {
        /// Which deed.
        what: String,
        /// Why.
        source: Refusal,
    },
    /// An entry cannot be read back.
    #[error("the demo cannot be read back")]
    Unreadable {
        /// Which.
        #[from]
        source: Unreadable,
    },
    /// A sheet of the demo has faults.
    #[error("a sheet of the demo has faults: {what}")]
    Faulty {
        /// What the reader says.
        what: String,
    },
    /// A password could not be hashed.
    #[error("the password hasher failed")]
    Hash,
}

impl From<Faults> for DemoError {
    fn from(faults: Faults) -> Self {
        let what: Vec<String> = faults.faults.into_iter().map(|fault| fault.what).collect();
        Self::Faulty { what: what.join("; ") }
    }
}

/// Fills an empty shop with the demo; leaves a shop that has people as it is.
///
/// # Errors
/// - [`DemoError`]: the store failed, or the demo breaks a rule, which is a defect of this module
pub fn fill(app: &App) -> Result<(), DemoError> {
    let store = app.store();
    if !store.shop()?.people.is_empty() {
        return Ok(());
    }
    let today = app.clock().day(app.clock().now());
    let mut book = Book::new(today);
    data::people(&mut book)?;
    data::shop(&mut book);
    past::jobs(&mut book)?;
    jobs::jobs(&mut book)?;
    store.put_file(HORN)?;
    store.begin(&book.written()?, &credentials()?)?;
    Ok(())
}

/// What the people of the demo show to be let in.
fn credentials() -> Result<Vec<Credential>, DemoError> {
    let hash = |secret: &str| secrets::make(secret).map(Some).ok_or(DemoError::Hash);
    let of = |(login, _, _, _, _, pin): (&str, &str, Role, &str, &str, &str)| {
        let login = login.to_owned();
        Ok(Credential { login, password: hash(PASSWORD)?, pin: hash(pin)?, ..Credential::default() })
    };
    PEOPLE.into_iter().map(of).collect()
}

/// A person of the demo.
fn person(login: &str) -> Option<Person> {
    let (_, name, role, certificate, kind, _) = PEOPLE.into_iter().find(|known| known.0 == login)?;
    let (name, certificate, kind) = (name.to_owned(), certificate.to_owned(), kind.to_owned());
    Some(Person { name, role, also: None, certificate, kind, active: true })
}
