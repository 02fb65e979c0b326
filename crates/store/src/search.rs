//! Finding a job by any part of what it is known by.
//!
//! Every word of the number, surface, part, serial number, aircraft and work order is kept with all its endings, so
//! that a word of the search is found at its beginning and in its middle alike ("231" finds HP-0231).

use crate::error::StoreError;
use crate::lists::{COLUMNS, JobRow, job_row};
use crate::reader::Reader;
use crate::rows::all;
use std::collections::BTreeSet;

/// How many signs of a word are kept.
const LONGEST: usize = 40;

/// How many signs of a word the index looks up at once: the longest prefix that it keeps (see schema.sql). Beyond
/// that it would read through every word with that beginning.
const AT_ONCE: usize = 12;

impl Reader {
    /// Jobs in which every word of a text occurs: first those whose number, serial number, aircraft or work order is
    /// the text itself, then the newest. A text without a letter or digit finds nothing.
    ///
    /// # Errors
    /// - [`StoreError::Database`]: the database refused
    pub fn search(&self, text: &str, limit: u64) -> Result<Vec<JobRow>, StoreError> {
        let wanted: Vec<String> =
            words(text).flat_map(|word| pieces(&word)).map(|piece| format!("\"{piece}\"*")).collect();
        if wanted.is_empty() {
            return Ok(Vec::new());
        }
        let by = |column: &str| {
            let id = "SELECT id FROM job WHERE";
            format!("SELECT * FROM ({id} {column} = ?1 ORDER BY id DESC LIMIT ?2)")
        };
        let exact = ["number COLLATE NOCASE", "serial", "aircraft", "work_order"].map(by).join(" UNION ");
        let exact = format!(
            "SELECT {COLUMNS} FROM job WHERE id IN ({exact})
             ORDER BY number <> ?1 COLLATE NOCASE, id DESC LIMIT ?2"
        );
        let found = format!(
            "SELECT {COLUMNS} FROM (SELECT rowid AS found FROM search WHERE search MATCH ?1
             ORDER BY rowid DESC LIMIT ?2) JOIN job ON id = found ORDER BY id DESC"
        );
        self.read(|connection| {
            let mut rows = all(connection, &exact, (text.trim(), limit), job_row)?;
            let numbers: BTreeSet<String> = rows.iter().map(|row| row.number.clone()).collect();
            let found = all(connection, &found, (wanted.join(" "), limit), job_row)?;
            rows.extend(found.into_iter().filter(|row| !numbers.contains(&row.number)));
            rows.truncate(usize::try_from(limit).unwrap_or(usize::MAX));
            Ok(rows)
        })
    }
}

/// The words of a text, in small letters.
fn words(text: &str) -> impl Iterator<Item = String> {
    let lower = text.to_lowercase();
    let words: Vec<String> = lower
        .split(|sign: char| !sign.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| word.chars().take(LONGEST).collect())
        .collect();
    words.into_iter()
}

/// A word of the search in pieces that the index looks up at once; together they cover the word.
fn pieces(word: &str) -> Vec<String> {
    let signs: Vec<char> = word.chars().collect();
    let last = signs.len().saturating_sub(AT_ONCE);
    let starts = (0..last).step_by(AT_ONCE).chain([last]);
    starts.map(|start| signs[start..].iter().take(AT_ONCE).collect()).collect()
}

/// What a job is found by: its words and all their endings, each once.
pub(crate) fn terms(row: &JobRow) -> String {
    let fields = [&row.number, &row.surface, &row.part, &row.serial, &row.aircraft, &row.work_order];
    let mut terms = BTreeSet::new();
    for word in fields.into_iter().flat_map(|field| words(field)) {
        terms.extend(word.char_indices().map(|(at, _)| word[at..].to_owned()));
    }
    terms.into_iter().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_letters_and_digits_in_small_letters() {
        let words: Vec<String> = words(" HP-0231/Élevon \"x\"* ").collect();
        assert_eq!(words, ["hp", "0231", "élevon", "x"]);
    }

    #[test]
    fn the_pieces_of_a_word_cover_it() {
        assert_eq!(pieces("é"), ["é"]);
        assert_eq!(pieces("abcdefghijkl"), ["abcdefghijkl"]);
        assert_eq!(pieces("abcdefghijklm"), ["abcdefghijkl", "bcdefghijklm"]);
        let long = pieces("0123456789abcdefghijklmnopqrstuv");
        assert_eq!(long, ["0123456789ab", "cdefghijklmn", "klmnopqrstuv"]);
    }
}
