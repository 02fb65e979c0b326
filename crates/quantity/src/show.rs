//! Numbers as a person reads them: plain decimals, never an exponent, the minus as a true minus sign.

/// A number with so many decimal places.
#[must_use]
pub fn decimals(value: f64, places: usize) -> String {
    let text = format!("{:.places$}", value.abs());
    if value < 0.0 && !reads_zero(&text) { format!("−{text}") } else { text }
}

/// The same with its sign also where it is positive: "+0.10"; nothing has none.
#[must_use]
pub fn signed(value: f64, places: usize) -> String {
    let text = decimals(value, places);
    if value < 0.0 || reads_zero(&text) { text } else { format!("+{text}") }
}

/// Whether a number without sign reads as nothing: "0.00".
#[must_use]
pub fn reads_zero(text: &str) -> bool {
    text.bytes().all(|byte| matches!(byte, b'0' | b'.'))
}

/// A number with so many significant digits; trailing zeros stay, because they say how well it is known.
#[must_use]
pub fn significant(value: f64, digits: u8) -> String {
    decimals(value, places(value, digits))
}

/// The decimal places that show `value` with so many significant digits (0 where they end before the point).
#[must_use]
pub fn places(value: f64, digits: u8) -> usize {
    let digits = usize::from(digits.max(1));
    if value.abs() <= 0.0 || !value.is_finite() {
        return digits - 1;
    }
    // The exponent is taken from the printed form, so that 9.996 with three digits counts as 10.0.
    let printed = format!("{:.*e}", digits - 1, value.abs());
    let exponent: i32 = printed.split('e').nth(1).and_then(|text| text.parse().ok()).unwrap_or(0);
    let wanted = i32::try_from(digits).unwrap_or(i32::MAX) - 1 - exponent;
    usize::try_from(wanted).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn significant_digits_are_kept() {
        assert_eq!(significant(21.5625, 4), "21.56");
        assert_eq!(significant(0.001_234_5, 3), "0.00123");
        assert_eq!(significant(9.996, 3), "10.0");
        assert_eq!(significant(-3.0, 2), "−3.0");
        assert_eq!(significant(123_456.0, 3), "123456");
        assert_eq!(significant(0.0, 2), "0.0");
    }

    #[test]
    fn nothing_has_no_sign() {
        assert_eq!(decimals(-0.001, 2), "0.00");
        assert_eq!(
            [0.001, -0.001, 0.1, -0.1].map(|value| signed(value, 2)),
            ["0.00", "0.00", "+0.10", "−0.10"]
        );
    }
}
