//! Names of materials as a shop writes them: words in any order, “aluminum” or “aluminium”, tempers left out,
//! antimony read as a percentage.

use super::{Material, MaterialError};
use hingeline_quantity::parse_decimal;

/// Below this likeness (Jaro–Winkler) a name is not offered as a hint.
const LIKE: f64 = 0.75;
const HINTS: usize = 3;

pub(super) fn find(text: &str) -> Result<Material, MaterialError> {
    let words = words(text);
    if words.is_empty() {
        return Err(unknown(text));
    }
    if is_antimonial(&words) {
        return antimonial(text, &words);
    }
    let wanted = sorted(&words);
    Material::all()
        .iter()
        .find(|material| names(material).any(|name| sorted(&self::words(name)) == wanted))
        .cloned()
        .ok_or_else(|| unknown(text))
}

fn names(material: &Material) -> impl Iterator<Item = &str> {
    let own = [material.key.as_str(), material.name.as_str()];
    own.into_iter().chain(material.aliases.iter().map(String::as_str))
}

/// Lead and antimony both, however said: “antimonial lead”, “lead 4% Sb”, “Pb-4Sb”.
fn is_antimonial(words: &[String]) -> bool {
    let lead = words.iter().any(|word| word == "lead" || word == "pb");
    let antimony = words.iter().any(|word| word.starts_with("antimon") || word == "sb");
    lead && antimony
}

fn antimonial(text: &str, words: &[String]) -> Result<Material, MaterialError> {
    let mut numbers = words.iter().filter_map(|word| parse_decimal(word).ok());
    let percent = numbers.next().ok_or_else(|| MaterialError::NoAntimony { text: text.trim().to_owned() })?;
    let others = ["lead", "pb", "sb", "percent", "with", "of", "by", "mass", "weight"];
    let strange = |word: &&String| {
        !others.contains(&word.as_str()) && !word.starts_with("antimon") && parse_decimal(word).is_err()
    };
    if numbers.next().is_some() || words.iter().any(|word| strange(&word)) {
        return Err(unknown(text));
    }
    Material::antimonial_lead(percent / 100.0)
}

/// Words of letters or of digits, in lower case; a point or comma between digits stays inside its number.
fn words(text: &str) -> Vec<String> {
    let letters: Vec<char> = text.to_lowercase().chars().collect();
    let mut words: Vec<String> = Vec::new();
    let mut before = Kind::Gap;
    for (index, &letter) in letters.iter().enumerate() {
        let kind = kind(&letters, index, before);
        match words.last_mut() {
            Some(word) if kind == before && kind != Kind::Gap => word.push(letter),
            _ if kind != Kind::Gap => words.push(letter.to_string()),
            _ => {}
        }
        before = kind;
    }
    tidy(words)
}

#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Letter,
    Digit,
    Gap,
}

fn kind(letters: &[char], index: usize, before: Kind) -> Kind {
    let letter = letters[index];
    let digit_follows = letters.get(index + 1).is_some_and(char::is_ascii_digit);
    if letter.is_ascii_digit() || matches!(letter, '.' | ',') && before == Kind::Digit && digit_follows {
        Kind::Digit
    } else if letter.is_alphabetic() || letter == '\'' {
        Kind::Letter
    } else {
        Kind::Gap
    }
}

/// One spelling of aluminium; a temper (T6, T651) is no part of the name.
fn tidy(words: Vec<String>) -> Vec<String> {
    let mut tidied: Vec<String> = Vec::new();
    let mut words = words.into_iter().peekable();
    while let Some(word) = words.next() {
        let number_follows = words.peek().is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit()));
        if word == "t" && number_follows {
            words.next();
            continue;
        }
        tidied.push(if word == "aluminum" { "aluminium".to_owned() } else { word });
    }
    tidied
}

fn sorted(words: &[String]) -> Vec<&str> {
    let mut sorted: Vec<&str> = words.iter().map(String::as_str).collect();
    sorted.sort_unstable();
    sorted
}

fn unknown(text: &str) -> MaterialError {
    let typed = words(text).join(" ");
    let mut ranked: Vec<(f64, &str)> = Material::all()
        .iter()
        .map(|material| {
            let like = names(material).map(|name| strsim::jaro_winkler(&typed, &words(name).join(" ")));
            (like.fold(0.0, f64::max), material.name.as_str())
        })
        .filter(|(like, _)| LIKE <= *like)
        .collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    MaterialError::Unknown {
        text: text.trim().to_owned(),
        nearest: ranked.into_iter().take(HINTS).map(|(_, name)| name.to_owned()).collect(),
    }
}
