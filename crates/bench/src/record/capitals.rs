//! Part numbers, serial numbers and registrations in capitals, as data plates print them: so one surface is not two in
//! the lists because it was typed twice.
//!
//! Main function: [`proposed`]. It proposes; what is entered is what a person saw.

/// The text with capitals where it holds a number of a plate or a registration; none where it has them already.
///
/// A word with a digit is such a number ("sk12-55-210", "0087b"); one or two letters, a dash and three or four letters
/// are a registration ("g-abcd"). Every other word stays: "Skerry", "none".
#[must_use]
pub fn proposed(text: &str) -> Option<String> {
    let capitals: String = text.split_inclusive(char::is_whitespace).map(word).collect();
    (capitals != text).then_some(capitals)
}

fn word(word: &str) -> String {
    if word.bytes().any(|byte| byte.is_ascii_digit()) || is_registration(word) {
        return word.to_uppercase();
    }
    word.to_owned()
}

fn is_registration(word: &str) -> bool {
    let letters = |part: &str, count: std::ops::RangeInclusive<usize>| {
        count.contains(&part.chars().count()) && part.chars().all(char::is_alphabetic)
    };
    let plain = word.trim_end_matches([',', ';', '.', ' ', '\t']);
    plain.split_once('-').is_some_and(|(state, own)| letters(state, 1..=2) && letters(own, 3..=4))
}

#[cfg(test)]
mod tests {
    use super::proposed;

    #[test]
    fn numbers_and_registrations_get_capitals_and_words_stay() {
        let check = |typed: &str, capitals: Option<&str>| {
            assert_eq!(proposed(typed).as_deref(), capitals, "{typed}");
        };
        check("sk12-55-210", Some("SK12-55-210"));
        check("SK12-55-210", None);
        check("0087b", Some("0087B"));
        check("none", None);
        check("", None);
        check("Skerry sk12, serial 0019", Some("Skerry SK12, serial 0019"));
        check("g-abcd, spare", Some("G-ABCD, spare"));
        check("leading-edge", None);
    }
}
