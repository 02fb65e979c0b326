//! A number as a source prints it: its value, its last digit, and how far a computed value follows it.
//!
//! Main type: [`Printed`]. The tolerance of a check comes from here: half a unit of the last printed digit.

/// A printed number.
#[derive(Debug, Clone, PartialEq)]
pub struct Printed {
    text: String,
    value: f64,
    /// Power of ten of the last printed digit.
    place: i32,
    digits: usize,
}

/// Rounding of the comparison itself: a value that sits on the edge of its tolerance is inside.
const EDGE: f64 = 1e-9;

impl Printed {
    /// Reads `0.071`, `-0.1712`, `50 000 838` or `2.9e-6`; nothing for anything else.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let plain: String = text.trim().replace(' ', "").replace('−', "-");
        let (mantissa, exponent) = plain.split_once('e').unwrap_or((&plain, "0"));
        let exponent: i32 = exponent.parse().ok().filter(|e: &i32| e.abs() < 300)?;
        let unsigned = mantissa.trim_start_matches(['-', '+']);
        let (whole, decimals) = unsigned.split_once('.').unwrap_or((unsigned, ""));
        let all_digits = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
        if unsigned.len() + 1 < mantissa.len()
            || whole.is_empty()
            || !all_digits(whole)
            || !all_digits(decimals)
        {
            return None;
        }
        let value: f64 = plain.parse().ok().filter(|value: &f64| value.is_finite())?;
        let significant = format!("{whole}{decimals}").trim_start_matches('0').len();
        Some(Self {
            text: text.trim().to_owned(),
            value,
            place: exponent - i32::try_from(decimals.len()).ok()?,
            digits: significant.max(1),
        })
    }

    /// As printed.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
    /// Its value.
    #[must_use]
    pub fn value(&self) -> f64 {
        self.value
    }
    /// How many digits it prints, leading zeros left out; a plain zero has one.
    #[must_use]
    pub fn digits(&self) -> usize {
        self.digits
    }
    /// How many decimal places it prints.
    #[must_use]
    pub fn decimals(&self) -> usize {
        usize::try_from(-self.place).unwrap_or(0)
    }
    /// Half a unit of the last printed digit.
    #[must_use]
    pub fn half_unit(&self) -> f64 {
        half_of_place(self.place)
    }

    /// How many of the printed digits a computed value follows, counted from the left.
    #[must_use]
    pub fn matching_digits(&self, computed: f64) -> usize {
        (self.place..)
            .zip((1..=self.digits).rev())
            .find(|(place, _)| within(computed, self.value, half_of_place(*place)))
            .map_or(0, |(_, digits)| digits)
    }
}

/// 5 × 10^(place − 1), read as a decimal, so that it is the nearest number to it.
fn half_of_place(place: i32) -> f64 {
    format!("5e{}", place - 1).parse().unwrap_or(f64::NAN)
}

/// Whether a computed value lies within a tolerance of a target; NaN never does.
#[must_use]
pub(crate) fn within(computed: f64, target: f64, tolerance: f64) -> bool {
    (computed - target).abs() <= tolerance * (1.0 + EDGE)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, value: f64, half_unit: f64, digits: usize) {
        let printed = Printed::parse(text).unwrap_or_else(|| panic!("{text}"));
        assert!(within(printed.value(), value, 1e-12 * value.abs()), "{text}");
        assert!(within(printed.half_unit(), half_unit, 1e-15), "{text}");
        assert_eq!(printed.digits(), digits, "{text}");
    }

    #[test]
    fn the_last_printed_digit_is_found() {
        check("0.071", 0.071, 0.0005, 2);
        check("-0.1712", -0.1712, 0.00005, 4);
        check("50 000 838", 50_000_838.0, 0.5, 8);
        check("13.97", 13.97, 0.005, 4);
        check("2.9e-6", 2.9e-6, 0.05e-6, 2);
        check("1.7266e-5", 1.7266e-5, 0.5e-9, 5);
        check("2.0", 2.0, 0.05, 2);
        check("0.00", 0.0, 0.005, 1);
        check("−3", -3.0, 0.5, 1);
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in
            ["", "NaN", "nan", "inf", "-inf", "1.2.3", "abc", "--1", "1e", ".", "e5", "1,5", "1e999", "0x10"]
        {
            assert_eq!(Printed::parse(text), None, "{text}");
        }
    }

    #[test]
    fn digits_are_counted_from_the_left() {
        let printed = Printed::parse("0.1712").expect("a number");
        assert_eq!(printed.matching_digits(0.171_24), 4);
        assert_eq!(printed.matching_digits(0.1715), 3);
        assert_eq!(printed.matching_digits(0.175), 2);
        assert_eq!(printed.matching_digits(0.21), 1);
        assert_eq!(printed.matching_digits(0.4), 0);
        assert_eq!(printed.matching_digits(f64::NAN), 0);
    }
}
