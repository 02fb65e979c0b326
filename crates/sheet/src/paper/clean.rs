//! Making texts printable, whatever was typed.
//!
//! [`printable`] shows characters that the embedded faces lack as `[U+XXXX]` and turns line ends into spaces;
//! [`breakable`] lets words too long for a column break inside. Both walk the data as JSON, so that no field
//! can be forgotten.

use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::Paper;
use super::press;
use crate::SheetError;

/// The longest word that is left whole.
const LONGEST_WORD: usize = 24;

/// Pieces that a longer word may break into.
const PIECE: usize = 8;

/// A place where a word may break, without a mark.
const BREAK: char = '\u{200b}';

/// Subscripts that the template sets by a feature of the face.
const SUBSCRIPTS: [char; 4] = ['ᵢ', 'ₙ', 'ₐ', 'ₓ'];

/// The sheet with every character printable, in its texts and in its drawings.
pub(super) fn printable(paper: &Paper) -> Result<Paper, SheetError> {
    let mut printed = rewrite(paper, |text| shown(text, &SUBSCRIPTS))?;
    printed.bench = rewrite(&paper.bench, |text| shown(text, &[]))?;
    printed.band = rewrite(&paper.band, |text| shown(text, &[]))?;
    Ok(printed)
}

/// Texts of any shape with every character printable and long words breakable.
pub(super) fn texts<T: Serialize + DeserializeOwned>(data: &T) -> Result<T, SheetError> {
    rewrite(data, |text| {
        let words: Vec<_> = shown(text, &[]).split(' ').map(break_word).collect();
        words.join(" ")
    })
}

/// Texts of drawings with every character printable.
pub(super) fn labels<T: Serialize + DeserializeOwned>(data: &T) -> Result<T, SheetError> {
    rewrite(data, |text| shown(text, &[]))
}

/// A text with characters that have no glyph, except some, shown by their number.
fn shown(text: &str, except: &[char]) -> String {
    let mut printed = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\n' | '\r' | '\t' => printed.push(' '),
            _ if press::has_glyph(character) || except.contains(&character) => printed.push(character),
            _ => printed.push_str(&format!("[U+{:04X}]", u32::from(character))),
        }
    }
    printed
}

/// The sheet with long words made breakable.
pub(super) fn breakable(paper: Paper) -> Result<Paper, SheetError> {
    rewrite(&paper, |text| {
        let words: Vec<_> = text.split(' ').map(break_word).collect();
        words.join(" ")
    })
}

fn break_word(word: &str) -> String {
    if word.chars().count() <= LONGEST_WORD {
        return word.to_owned();
    }
    let characters: Vec<char> = word.chars().collect();
    let pieces: Vec<String> = characters.chunks(PIECE).map(|piece| piece.iter().collect()).collect();
    pieces.join(&BREAK.to_string())
}

fn rewrite<T: Serialize + DeserializeOwned>(
    data: &T,
    change: impl Fn(&str) -> String,
) -> Result<T, SheetError> {
    let failed = |error: serde_json::Error| SheetError::Data { why: error.to_string() };
    let mut value = serde_json::to_value(data).map_err(failed)?;
    walk(&mut value, &change);
    serde_json::from_value(value).map_err(failed)
}

fn walk(value: &mut Value, change: &impl Fn(&str) -> String) {
    match value {
        Value::String(text) => *text = change(text),
        Value::Array(values) => values.iter_mut().for_each(|value| walk(value, change)),
        Value::Object(fields) => fields.values_mut().for_each(|value| walk(value, change)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note(text: &str) -> Paper {
        Paper { cautions: vec![text.into()], ..Paper::default() }
    }

    #[test]
    fn characters_without_a_glyph_are_named() {
        let paper = printable(&note("翼 ± 2\u{7}")).unwrap();
        assert_eq!(paper.cautions, ["[U+7FFC] ± 2[U+0007]"]);
    }

    #[test]
    fn line_ends_become_spaces() {
        assert_eq!(printable(&note("a\nb\tc")).unwrap().cautions, ["a b c"]);
    }

    #[test]
    fn only_long_words_get_breaks() {
        let paper = breakable(note("SK12-55-210 abcdefghijklmnopqrstuvwxyz")).unwrap();
        assert_eq!(paper.cautions, ["SK12-55-210 abcdefgh\u{200b}ijklmnop\u{200b}qrstuvwx\u{200b}yz"]);
    }
}
