//! A quantity together with the text it was typed as, and what can be wrong with such a text.

use crate::number::Cursor;
use crate::unit::{self, Kind, Unit};
use crate::{Quantity, Side};
use std::ops::Range;

/// A quantity as it was typed: its value, the text (kept for ever, printed back), and the unit it was typed in.
#[derive(Debug, Clone, PartialEq)]
pub struct Entered<Q> {
    /// The value.
    pub value: Q,
    /// What was typed, trimmed.
    pub text: String,
    /// The (first) unit that was typed.
    pub unit: &'static Unit,
    /// For a moment: the side named in words, if one was.
    pub side: Option<Side>,
}

/// What was wrong with a typed quantity, and where in its text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{problem}")]
pub struct ParseError {
    /// What was wrong.
    pub problem: Problem,
    /// The bytes of the typed text that it concerns.
    pub at: Range<usize>,
}

/// The ways in which a typed quantity can be wrong.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Problem {
    /// Nothing was typed.
    #[error("nothing is entered")]
    Empty,
    /// No number where one was expected: text, NaN, infinity, or more digits than a number can hold.
    #[error("“{text}” is not a number")]
    NotANumber {
        /// As typed.
        text: String,
    },
    /// More than one decimal mark.
    #[error("“{number}” has more than one decimal mark")]
    TwoDecimalMarks {
        /// As typed.
        number: String,
    },
    /// A comma that may part thousands or decimals.
    #[error("the comma in “{number}” can be read in two ways")]
    AmbiguousComma {
        /// As typed.
        number: String,
    },
    /// A mixed number that is none: "17.5 3/32" or "17 40/32".
    #[error("“{text}” is not a mixed number")]
    BadMixedNumber {
        /// As typed.
        text: String,
    },
    /// A fraction over zero.
    #[error("“{text}” is a fraction over zero")]
    FractionOverZero {
        /// As typed.
        text: String,
    },
    /// A number with a space in it: thousands that are parted, or a fraction without its bar.
    #[error("“{number}” has a space between its digits")]
    PartedNumber {
        /// As typed.
        number: String,
    },
    /// A number without its unit.
    #[error("“{number}” has no unit")]
    NoUnit {
        /// As typed.
        number: String,
        /// The kind that is wanted.
        wanted: Kind,
    },
    /// A unit nobody knows.
    #[error("“{unit}” is not a known unit")]
    UnknownUnit {
        /// As typed.
        unit: String,
        /// The kind that is wanted.
        wanted: Kind,
    },
    /// A unit of another kind.
    #[error("“{unit}” is a unit of {}, but {} is wanted", kind_word(*.found), wanted.with_article())]
    WrongKind {
        /// As typed.
        unit: String,
        /// The kind it belongs to.
        found: Kind,
        /// The kind that is wanted.
        wanted: Kind,
    },
    /// Two units that do not follow each other.
    #[error("“{text}” does not follow from the unit before it")]
    BadCompound {
        /// The second part as typed.
        text: String,
    },
    /// A side word on something that has no side.
    #[error("“{word}” can only stand behind a moment")]
    SideWithoutMoment {
        /// The word.
        word: &'static str,
    },
    /// A sign and a side word that say different things.
    #[error("a sign and “{word}” stand side by side and may contradict each other")]
    SignAgainstSide {
        /// The word.
        word: &'static str,
    },
}

fn kind_word(kind: Kind) -> &'static str {
    kind.with_article().split_once(' ').map_or("", |(_, word)| word)
}

/// "1 250", "12 500.5": groups of three behind the first.
fn is_parted_in_thousands(number: &str) -> bool {
    let mut groups = number.split_whitespace();
    let first = groups.next().is_some_and(|group| group.len() <= 3 && !group.contains(['.', ',']));
    first && groups.all(|group| group.split(['.', ',']).next().is_some_and(|whole| whole.len() == 3))
}

impl ParseError {
    pub(crate) fn shifted(mut self, by: usize) -> Self {
        self.at = self.at.start + by..self.at.end + by;
        self
    }
}

impl Problem {
    /// What would be right, for the "allowed" line of a message.
    #[must_use]
    pub fn allowed(&self) -> String {
        match self {
            Self::NoUnit { wanted, .. }
            | Self::UnknownUnit { wanted, .. }
            | Self::WrongKind { wanted, .. } => {
                format!("a number with one of {}", wanted.symbols())
            }
            Self::SideWithoutMoment { .. } => "“tail-heavy” and “nose-heavy” on moments only".to_owned(),
            Self::SignAgainstSide { .. } => "a number without a sign, and the side in words".to_owned(),
            Self::BadCompound { .. } => {
                "whole feet with inches below 12, or whole pounds with ounces below 16".to_owned()
            }
            _ => {
                "a decimal with one point or comma, a fraction, or a mixed number such as 17 3/32".to_owned()
            }
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn hint(&self) -> String {
        match self {
            Self::Empty => "enter a number with its unit".to_owned(),
            Self::NotANumber { .. } => "enter digits, then the unit".to_owned(),
            Self::TwoDecimalMarks { .. } => "leave one point or comma; do not part thousands".to_owned(),
            Self::AmbiguousComma { number } => {
                format!("write {} or {}", number.replace(',', "."), number.replace(',', ""))
            }
            Self::BadMixedNumber { .. } => {
                "write the whole number, a space, then a fraction smaller than one".to_owned()
            }
            Self::FractionOverZero { .. } => "write the number of parts under the line".to_owned(),
            Self::PartedNumber { number } if is_parted_in_thousands(number) => {
                let plain: String = number.chars().filter(|sign| !sign.is_whitespace()).collect();
                format!("write {plain}: do not part thousands")
            }
            Self::PartedNumber { .. } => "write one number; a fraction has its bar, as in 17 3/32".to_owned(),
            Self::NoUnit { number, wanted } => {
                let first = wanted.units().first().map_or("", |unit| unit.symbol);
                format!("write {number} {first}, or another unit of {}", kind_word(*wanted))
            }
            Self::UnknownUnit { wanted, .. } | Self::WrongKind { wanted, .. } => {
                format!("use a unit of {}", kind_word(*wanted))
            }
            Self::BadCompound { .. } => "use one unit, or 3 ft 2 1/2 in, or 1 lb 3.5 oz".to_owned(),
            Self::SideWithoutMoment { .. } => "leave the word out".to_owned(),
            Self::SignAgainstSide { .. } => "leave the sign out: the word says the side".to_owned(),
        }
    }
}

impl<Q: Quantity> Entered<Q> {
    /// Reads a quantity as a shop writes it.
    ///
    /// # Inputs
    /// `text`: sign (optional), number, unit; feet with inches and pounds with ounces may stand together; a
    /// moment may end in "tail-heavy" (positive) or "nose-heavy" (negative). Decimal point or comma.
    /// # Gives
    /// The quantity with its text and unit.
    /// # Errors
    /// - one [`Problem`] per way of being wrong, with its place in `text`
    ///
    /// # Example
    /// ```
    /// use hingeline_quantity::{Entered, Length, Mass, Moment, Quantity, unit};
    /// let arm = Entered::<Length>::parse("17 3/32 in")?;
    /// assert!((arm.value.in_unit(&unit::INCH) - 17.09375).abs() < 1e-12);
    /// let mass = Entered::<Mass>::parse("1 lb 3.5 oz")?;
    /// assert!((mass.value.in_unit(&unit::OUNCE) - 19.5).abs() < 1e-12);
    /// let moment = Entered::<Moment>::parse("3.4 in-lb nose-heavy")?;
    /// assert!(moment.value.si() < 0.0);
    /// # Ok::<(), hingeline_quantity::ParseError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, ParseError> {
        let (body, side) = split_side(text);
        check_side::<Q>(text, body, side)?;
        let mut cursor = Cursor { text: body, at: 0 };
        cursor.skip_spaces();
        if cursor.rest().is_empty() {
            return Err(ParseError { problem: Problem::Empty, at: 0..text.len() });
        }
        let sign = read_sign(&mut cursor);
        let (size, first) = read_terms::<Q>(&mut cursor)?;
        let turn = side.map_or(sign, Side::sign);
        let value = turn * size;
        if !value.is_finite() {
            let number = body.trim().to_owned();
            return Err(ParseError { problem: Problem::NotANumber { text: number }, at: 0..body.len() });
        }
        // "0 nose-heavy" is plain zero, not minus zero.
        let value = if size > 0.0 { value } else { 0.0 };
        Ok(Self { value: Q::from_si(value), text: text.trim().to_owned(), unit: first, side })
    }

    /// The value in the unit it was typed in.
    #[must_use]
    pub fn number(&self) -> f64 {
        self.value.in_unit(self.unit)
    }
}

/// Parts "… tail-heavy" from what stands before it.
fn split_side(text: &str) -> (&str, Option<Side>) {
    let trimmed = text.trim_end();
    for (word, side) in [("tail", Side::TailHeavy), ("nose", Side::NoseHeavy)] {
        for joint in ["-", " ", "\u{2011}"] {
            let ending = format!("{word}{joint}heavy");
            let cut = trimmed.len().saturating_sub(ending.len());
            if trimmed.is_char_boundary(cut) && trimmed[cut..].eq_ignore_ascii_case(&ending) {
                return (&trimmed[..cut], Some(side));
            }
        }
    }
    for (word, side) in [("underbalanced", Side::TailHeavy), ("overbalanced", Side::NoseHeavy)] {
        let cut = trimmed.len().saturating_sub(word.len());
        if trimmed.is_char_boundary(cut) && trimmed[cut..].eq_ignore_ascii_case(word) {
            return (&trimmed[..cut], Some(side));
        }
    }
    (trimmed, None)
}

fn check_side<Q: Quantity>(text: &str, body: &str, side: Option<Side>) -> Result<(), ParseError> {
    let Some(side) = side else { return Ok(()) };
    if Q::KIND != Kind::Moment {
        let at = body.len()..text.trim_end().len();
        return Err(ParseError { problem: Problem::SideWithoutMoment { word: side.word() }, at });
    }
    // Whichever of the two is right, a sign beside a word may say the other side in some manual.
    let against = body.trim_start().starts_with(['-', '−', '+']);
    if against {
        let at = text.len() - text.trim_start().len();
        return Err(ParseError {
            problem: Problem::SignAgainstSide { word: side.word() },
            at: at..text.trim_end().len(),
        });
    }
    Ok(())
}

fn read_sign(cursor: &mut Cursor<'_>) -> f64 {
    let sign = match cursor.rest().chars().next() {
        Some('-' | '−') => -1.0,
        Some('+') => 1.0,
        _ => return 1.0,
    };
    cursor.at += cursor.rest().chars().next().map_or(0, char::len_utf8);
    cursor.skip_spaces();
    sign
}

/// Reads "3 ft 2 1/2 in" or "434 mm": the sum in SI, and the first unit.
fn read_terms<Q: Quantity>(cursor: &mut Cursor<'_>) -> Result<(f64, &'static Unit), ParseError> {
    let (number, mut whole, first) = read_term::<Q>(cursor)?;
    let mut sum = number * first.factor;
    let mut above = first;
    loop {
        cursor.skip_spaces();
        if cursor.rest().is_empty() {
            return Ok((sum, first));
        }
        let start = cursor.at;
        let (number, is_whole, unit) = read_term::<Q>(cursor)?;
        let follows = above
            .smaller
            .is_some_and(|(smaller, count)| whole && smaller.symbol == unit.symbol && number < count);
        if !follows {
            let text = cursor.text[start..cursor.at].trim_end().to_owned();
            return Err(ParseError { at: start..start + text.len(), problem: Problem::BadCompound { text } });
        }
        sum += number * unit.factor;
        whole = is_whole;
        above = unit;
    }
}

fn read_term<Q: Quantity>(cursor: &mut Cursor<'_>) -> Result<(f64, bool, &'static Unit), ParseError> {
    let start = cursor.at;
    let (number, whole) = cursor.number()?;
    let number_text = cursor.text[start..cursor.at].trim_end();
    cursor.skip_spaces();
    let begins = cursor.at;
    let rest = cursor.rest();
    let end = rest.find(|c: char| c.is_ascii_digit() || "¼½¾⅛⅜⅝⅞".contains(c)).unwrap_or(rest.len());
    let typed = rest[..end].trim_end().trim_end_matches(',').trim_end();
    cursor.at = begins + end;
    let at = begins..begins + typed.len();
    if rest.starts_with(|c: char| c.is_ascii_digit()) {
        let parted = |c: char| c.is_ascii_digit() || c.is_whitespace() || matches!(c, '.' | ',');
        let end = rest.find(|c: char| !parted(c)).unwrap_or(rest.len());
        let number = cursor.text[start..begins + end].trim_end().trim_end_matches(',').to_owned();
        let at = start..start + number.len();
        return Err(ParseError { problem: Problem::PartedNumber { number }, at });
    }
    if typed.is_empty() {
        let problem = Problem::NoUnit { number: number_text.to_owned(), wanted: Q::KIND };
        return Err(ParseError { problem, at: start..start + number_text.len() });
    }
    let Some(unit) = unit::find(typed) else {
        let problem = Problem::UnknownUnit { unit: typed.to_owned(), wanted: Q::KIND };
        return Err(ParseError { problem, at });
    };
    if unit.kind != Q::KIND {
        let problem = Problem::WrongKind { unit: typed.to_owned(), found: unit.kind, wanted: Q::KIND };
        return Err(ParseError { problem, at });
    }
    Ok((number, whole, unit))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::{GRAM, INCH, INCH_POUND, KILOGRAM, MILLIMETRE, OUNCE, POUND};
    use crate::{Angle, Length, Mass, Moment};
    use proptest::prelude::*;

    fn reads<Q: Quantity + std::fmt::Debug>(text: &str, unit: &Unit, number: f64) {
        let entered = Entered::<Q>::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!((entered.value.in_unit(unit) - number).abs() < 1e-9, "{text}: {:?}", entered.value);
        assert_eq!(entered.text, text.trim());
    }

    fn refuses<Q: Quantity + std::fmt::Debug>(text: &str, message: &str) {
        let error = Entered::<Q>::parse(text).expect_err(text);
        assert_eq!(error.to_string(), message, "{text}");
        assert!(error.at.end <= text.len(), "{text}");
        assert!(text.get(error.at.clone()).is_some(), "{text}: {:?}", error.at);
    }

    #[test]
    fn lengths_as_shops_write_them() {
        for (text, inches) in [
            ("17 3/32 in", 17.09375),
            ("17-3/32in", 17.09375),
            ("17.09in", 17.09),
            ("3' 2 1/2\"", 38.5),
            ("3 ft 2½ in", 38.5),
            ("3’ 2″", 38.0),
            ("3/8\"", 0.375),
            ("17½ IN", 17.5),
            ("½ in", 0.5),
            (" 12 inches ", 12.0),
            (".5 in", 0.5),
        ] {
            reads::<Length>(text, &INCH, inches);
        }
        reads::<Length>("434 mm", &MILLIMETRE, 434.0);
        reads::<Length>("43,4 cm", &MILLIMETRE, 434.0);
    }

    #[test]
    fn masses_and_forces_as_shops_write_them() {
        reads::<Mass>("1 lb 3.5 oz", &OUNCE, 19.5);
        reads::<Mass>("1 lb, 3.5 oz", &OUNCE, 19.5);
        reads::<Mass>("0,62 kg", &KILOGRAM, 0.62);
        reads::<Mass>("12.5 N", &KILOGRAM, 12.5 / 9.80665);
        reads::<Mass>("-0.25 lb", &POUND, -0.25);
        reads::<Mass>("7000 grain", &POUND, 1.0);
        reads::<Mass>("0,250 kg", &GRAM, 250.0);
        reads::<Angle>("0.5°", &unit::DEGREE, 0.5);
    }

    #[test]
    fn moments_with_their_side() {
        reads::<Moment>("3.4 in-lb tail-heavy", &INCH_POUND, 3.4);
        reads::<Moment>("4.0 in-lb Nose Heavy", &INCH_POUND, -4.0);
        reads::<Moment>("48 in-oz nose-heavy", &INCH_POUND, -3.0);
        reads::<Moment>("0 in-lb", &INCH_POUND, 0.0);
        reads::<Moment>("4 in-lb overbalanced", &INCH_POUND, -4.0);
        reads::<Moment>("4 in-lb Underbalanced", &INCH_POUND, 4.0);
        reads::<Moment>("1 N·m tail-heavy", &unit::NEWTON_CENTIMETRE, 100.0);
        reads::<Moment>("1 kg·cm nose-heavy", &unit::GRAM_CENTIMETRE, -1000.0);
        assert_eq!(Entered::<Moment>::parse("3 in-lb").map(|e| e.side), Ok(None));
    }

    #[test]
    fn wrong_texts_say_what_is_wrong() {
        refuses::<Mass>("12 in", "“in” is a unit of length, but a mass is wanted");
        refuses::<Length>("7", "“7” has no unit");
        refuses::<Length>("7 furlong", "“furlong” is not a known unit");
        refuses::<Mass>("1.2.3 kg", "“1.2.3” has more than one decimal mark");
        refuses::<Mass>("1.234,5 kg", "“1.234,5” has more than one decimal mark");
        refuses::<Mass>("1,250 kg", "the comma in “1,250” can be read in two ways");
        refuses::<Mass>("NaN kg", "“NaN” is not a number");
        refuses::<Mass>("inf kg", "“inf” is not a number");
        refuses::<Mass>("kg", "“kg” is not a number");
        refuses::<Mass>("", "nothing is entered");
        refuses::<Length>("17 3/0 in", "“3/0” is a fraction over zero");
        refuses::<Length>("17.5 3/32 in", "“17.5 3/32” is not a mixed number");
        refuses::<Length>("17 40/32 in", "“17 40/32” is not a mixed number");
        refuses::<Length>("3 in 2 ft", "“2 ft” does not follow from the unit before it");
        refuses::<Mass>("1 lb 17 oz", "“17 oz” does not follow from the unit before it");
        refuses::<Mass>("1.5 lb 3 oz", "“3 oz” does not follow from the unit before it");
        refuses::<Mass>("3 lb tail-heavy", "“tail-heavy” can only stand behind a moment");
        refuses::<Moment>(
            "-3 in-lb tail-heavy",
            "a sign and “tail-heavy” stand side by side and may contradict each other",
        );
        refuses::<Moment>(
            "+3 in-lb nose-heavy",
            "a sign and “nose-heavy” stand side by side and may contradict each other",
        );
        refuses::<Mass>(
            &format!("1{} kg", "0".repeat(400)),
            &format!("“1{}” is not a number", "0".repeat(400)),
        );
    }

    #[test]
    fn a_number_with_a_space_says_how_to_write_it() {
        for (text, number, hint) in [
            ("1 250 mm", "1 250", "write 1250: do not part thousands"),
            ("1\u{202f}250,5 mm", "1\u{202f}250,5", "write 1250,5: do not part thousands"),
            ("12 500 300 mm", "12 500 300", "write 12500300: do not part thousands"),
            ("17 3 in", "17 3", "write one number; a fraction has its bar, as in 17 3/32"),
            ("1.5 250 mm", "1.5 250", "write one number; a fraction has its bar, as in 17 3/32"),
        ] {
            refuses::<Length>(text, &format!("“{number}” has a space between its digits"));
            assert_eq!(Entered::<Length>::parse(text).expect_err(text).problem.hint(), hint, "{text}");
        }
        reads::<Length>("1 ft 250/300 in", &INCH, 12.0 + 250.0 / 300.0);
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused_with_a_place_inside_it(text in "\\PC{0,24}") {
            if let Err(error) = Entered::<Length>::parse(&text) {
                prop_assert!(text.get(error.at.clone()).is_some(), "{:?} in {text:?}", error.at);
                prop_assert!(!error.problem.hint().is_empty());
            }
        }

        #[test]
        fn texts_made_of_the_right_pieces_never_panic(text in "[-+−]?( ?([0-9]{1,3}|[0-9]/[0-9]|½|[.,]|in|lb|oz|'|\"|N·m|tail-heavy| )){0,6}") {
            let _ = Entered::<Length>::parse(&text);
            let _ = Entered::<Mass>::parse(&text);
            if let Err(error) = Entered::<Moment>::parse(&text) {
                prop_assert!(text.get(error.at.clone()).is_some(), "{:?} in {text:?}", error.at);
            }
        }

        #[test]
        fn print_and_parse_again_gives_the_same(number in 0.0..1000.0f64, index in 0usize..5) {
            let unit = Kind::Length.units()[index];
            let printed = format!("{number} {}", unit.symbol);
            let read = Entered::<Length>::parse(&printed).expect("reads");
            let again = Entered::<Length>::parse(&read.text).expect("reads again");
            prop_assert_eq!(&read, &again);
            prop_assert!((read.number() - number).abs() <= 1e-12 * number.abs());
        }

        #[test]
        fn whole_and_fraction_equal_their_sum(whole in 0u32..100, top in 0u32..64) {
            let mixed = Entered::<Length>::parse(&format!("{whole} {top}/64 in")).expect("reads");
            let plain = Entered::<Length>::parse(&format!("{} in", f64::from(whole) + f64::from(top) / 64.0)).expect("reads");
            prop_assert!((mixed.value.si() - plain.value.si()).abs() < 1e-12);
        }
    }
}
