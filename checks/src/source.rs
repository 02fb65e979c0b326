//! Where the checked figures come from: the list in `sources.toml`.
//!
//! Main type: [`Sources`], in the order of the list, which is the order of the report.

use crate::fault::{CheckError, Fault};
use serde::Deserialize;

/// A source with its citation.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The key that cases and documentation cite it by.
    pub key: String,
    /// Title, as on its first page.
    pub title: String,
    /// Edition, number or amendment.
    pub edition: Option<String>,
    /// Year of that edition.
    pub year: Option<u16>,
    /// Who publishes it.
    pub publisher: Option<String>,
}

impl Source {
    /// The citation in one line: title, edition, publisher, year.
    #[must_use]
    pub fn citation(&self) -> String {
        let year = self.year.map(|year| year.to_string());
        let parts = [Some(&self.title), self.edition.as_ref(), self.publisher.as_ref(), year.as_ref()];
        let parts: Vec<&str> = parts.into_iter().flatten().map(String::as_str).collect();
        parts.join(", ")
    }

    /// The first field that is empty although it is there.
    fn empty_field(&self) -> Option<&'static str> {
        let empty = |text: &str| text.trim().is_empty();
        let fields = [
            ("key", Some(&self.key)),
            ("title", Some(&self.title)),
            ("edition", self.edition.as_ref()),
            ("publisher", self.publisher.as_ref()),
        ];
        fields.into_iter().find(|(_, text)| text.is_some_and(|text| empty(text))).map(|(name, _)| name)
    }
}

/// The list of sources.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sources {
    source: Vec<Source>,
}

impl Sources {
    /// Reads the list: each source complete, and each key once.
    pub(crate) fn read(text: &str) -> Result<Self, CheckError> {
        let error = |fault| CheckError { fault, file: "sources.toml".to_owned(), case: None };
        let sources: Self =
            toml::from_str(text).map_err(|fault| error(Fault::Unreadable { message: fault.to_string() }))?;
        for (place, source) in sources.source.iter().enumerate() {
            let key = source.key.clone();
            if let Some(field) = source.empty_field() {
                return Err(error(Fault::EmptySource { key, field }));
            }
            if sources.place(&key) != Some(place) {
                return Err(error(Fault::SameKey { key }));
            }
        }
        Ok(sources)
    }

    /// The source of a key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Source> {
        self.source.iter().find(|source| source.key == key)
    }

    /// Its place in the list.
    pub(crate) fn place(&self, key: &str) -> Option<usize> {
        self.source.iter().position(|source| source.key == key)
    }

    /// All of them.
    #[must_use]
    pub fn all(&self) -> &[Source] {
        &self.source
    }
}
