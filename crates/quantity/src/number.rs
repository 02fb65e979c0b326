//! One typed number: `17`, `17.09`, `0,62`, `3/32`, `17 3/32`, `17-3/32`, `17½`.

use crate::entered::{ParseError, Problem};

/// Reads a plain decimal number with a point or a comma as its only decimal mark.
///
/// # Errors
/// - [`Problem::NotANumber`], [`Problem::TwoDecimalMarks`], [`Problem::AmbiguousComma`]
pub fn parse_decimal(text: &str) -> Result<f64, ParseError> {
    let whole = 0..text.len();
    let fault = |problem| ParseError { problem, at: whole.clone() };
    let marks = text.bytes().filter(|byte| matches!(byte, b'.' | b',')).count();
    if marks > 1 {
        return Err(fault(Problem::TwoDecimalMarks { number: text.to_owned() }));
    }
    let plain = text.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    if !plain || !text.bytes().any(|byte| byte.is_ascii_digit()) {
        return Err(fault(Problem::NotANumber { text: text.to_owned() }));
    }
    if could_be_thousands(text) {
        return Err(fault(Problem::AmbiguousComma { number: text.to_owned() }));
    }
    let value: f64 =
        text.replace(',', ".").parse().map_err(|_| fault(Problem::NotANumber { text: text.to_owned() }))?;
    if value.is_finite() { Ok(value) } else { Err(fault(Problem::NotANumber { text: text.to_owned() })) }
}

/// "1,250" is 1.25 to one shop and 1250 to another; "0,250" and "1,25" can only be decimals.
fn could_be_thousands(text: &str) -> bool {
    text.split_once(',').is_some_and(|(before, after)| {
        after.len() == 3 && (1..=3).contains(&before.len()) && !before.starts_with('0')
    })
}

/// A cursor over the text of a quantity, which reads one number at a time.
pub(crate) struct Cursor<'a> {
    pub(crate) text: &'a str,
    pub(crate) at: usize,
}

impl<'a> Cursor<'a> {
    pub(crate) fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    pub(crate) fn skip_spaces(&mut self) {
        let trimmed = self.rest().trim_start();
        self.at = self.text.len() - trimmed.len();
    }

    /// Reads a number, mixed numbers included, and says whether it was a whole one.
    pub(crate) fn number(&mut self) -> Result<(f64, bool), ParseError> {
        let start = self.at;
        if let Some(value) = self.vulgar_fraction() {
            return Ok((value, false));
        }
        let first = self.digits();
        if first.is_empty() {
            return Err(self.not_a_number(start));
        }
        if self.rest().starts_with(['/', '⁄']) {
            self.at = start;
            return Ok((self.fraction(start)?, false));
        }
        let whole = parse_decimal(first).map_err(|fault| fault.shifted(start))?;
        let integer = first.bytes().all(|byte| byte.is_ascii_digit());
        match self.fraction_after(start, integer)? {
            Some(part) => Ok((whole + part, false)),
            None => Ok((whole, integer)),
        }
    }

    /// The fraction of a mixed number, where one follows: after a space or a hyphen, or as one sign (½).
    fn fraction_after(&mut self, start: usize, integer: bool) -> Result<Option<f64>, ParseError> {
        let back = self.at;
        self.skip_spaces();
        if self.rest().starts_with('-') {
            self.at += 1;
        }
        let begins = self.at;
        let part = if let Some(value) = self.vulgar_fraction() {
            value
        } else {
            let top = self.digits();
            if top.is_empty() || !self.rest().starts_with(['/', '⁄']) {
                self.at = back;
                return Ok(None);
            }
            self.at = begins;
            self.fraction(begins)?
        };
        if !integer || part >= 1.0 {
            let text = self.text[start..self.at].to_owned();
            return Err(ParseError { problem: Problem::BadMixedNumber { text }, at: start..self.at });
        }
        Ok(Some(part))
    }

    fn digits(&mut self) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == ',')).unwrap_or(rest.len());
        // "1 lb, 3 oz": a comma with no digit behind it belongs to the sentence, not to the number.
        let token = &rest[..end];
        self.at += token.len();
        token
    }

    /// Reads `3/32`, standing at its first digit.
    fn fraction(&mut self, start: usize) -> Result<f64, ParseError> {
        let top = self.digits();
        self.at += self.rest().chars().next().map_or(0, char::len_utf8);
        let bottom = self.digits();
        let text = self.text[start..self.at].to_owned();
        let fault = |problem| ParseError { problem, at: start..start + text.len() };
        let whole = |part: &str| match part.bytes().all(|byte| byte.is_ascii_digit()) && !part.is_empty() {
            true => part.parse::<f64>().ok().filter(|value| value.is_finite()),
            false => None,
        };
        let (Some(top), Some(bottom)) = (whole(top), whole(bottom)) else {
            return Err(fault(Problem::NotANumber { text: text.clone() }));
        };
        if bottom <= 0.0 {
            return Err(fault(Problem::FractionOverZero { text: text.clone() }));
        }
        Ok(top / bottom)
    }

    fn vulgar_fraction(&mut self) -> Option<f64> {
        let sign = self.rest().chars().next()?;
        let value = match sign {
            '¼' => 0.25,
            '½' => 0.5,
            '¾' => 0.75,
            '⅛' => 0.125,
            '⅜' => 0.375,
            '⅝' => 0.625,
            '⅞' => 0.875,
            _ => return None,
        };
        self.at += sign.len_utf8();
        Some(value)
    }

    fn not_a_number(&self, start: usize) -> ParseError {
        let rest = &self.text[start..];
        let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
        let text = rest[..end].to_owned();
        ParseError { at: start..start + end, problem: Problem::NotANumber { text } }
    }
}
