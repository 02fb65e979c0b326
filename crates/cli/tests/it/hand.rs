//! The arithmetic that is printed can be checked by hand: this test is the hand. It reads every line of the form
//! "… = numbers = result" from the terminal's answer, works the numbers out as printed, and compares.

use crate::calls::{call, demo, hingeline};

/// The value of "(1.34 + 1.35) ÷ 2" and the like, units left out; none where words stand in it.
fn worked(text: &str) -> Option<f64> {
    let mut tokens: Vec<String> = Vec::new();
    for word in text.replace('(', " ( ").replace(')', " ) ").replace('√', " √ ").split_whitespace() {
        let number = word.replace('−', "-");
        if number.parse::<f64>().is_ok() || ["(", ")", "+", "−", "×", "÷"].contains(&word) {
            tokens.push(number);
        } else if ![
            "lb", "in", "oz", "mm", "g", "kg", "N", "m", "cm", "in-lb", "in-oz", "g·cm", "N·m", "g·mm",
            "kg·mm", "m/s²",
        ]
        .contains(&word)
        {
            return None;
        }
    }
    let mut place = 0;
    let value = sum(&tokens, &mut place)?;
    (place == tokens.len() && tokens.len() > 2).then_some(value)
}

fn sum(tokens: &[String], place: &mut usize) -> Option<f64> {
    let mut value = product(tokens, place)?;
    while let Some(sign) = tokens.get(*place).filter(|token| ["+", "-"].contains(&token.as_str())) {
        *place += 1;
        let next = product(tokens, place)?;
        value += if sign == "+" { next } else { -next };
    }
    Some(value)
}

fn product(tokens: &[String], place: &mut usize) -> Option<f64> {
    let mut value = factor(tokens, place)?;
    while let Some(sign) = tokens.get(*place).filter(|token| ["×", "÷"].contains(&token.as_str())) {
        *place += 1;
        let next = factor(tokens, place)?;
        value = if sign == "×" { value * next } else { value / next };
    }
    Some(value)
}

fn factor(tokens: &[String], place: &mut usize) -> Option<f64> {
    let token = tokens.get(*place)?;
    *place += 1;
    if token == "-" {
        return factor(tokens, place).map(|value| -value);
    }
    if token == "(" {
        let value = sum(tokens, place)?;
        (tokens.get(*place)? == ")").then(|| *place += 1)?;
        return Some(value);
    }
    token.parse().ok()
}

/// The first number of a text, with the size of half of its last printed digit.
fn printed(text: &str) -> Option<(f64, f64)> {
    let word = text.split_whitespace().next()?.trim_end_matches(',').replace('−', "-");
    let value = word.parse().ok()?;
    let places = word.split_once('.').map_or(0, |(_, after)| after.len());
    Some((value, 0.5 * 10f64.powi(-i32::try_from(places).ok()?)))
}

/// How far a hand may be off, in halves of the last printed digit: where it starts from rounded partial results by the
/// last digit.
const ROUNDED: f64 = 2.1;
/// Where the numbers that go in are printed to as many digits as it takes, not at all.
pub(crate) const EXACT: f64 = 1.0;

/// Works every written-out sum of an answer out again; how many there were. Lines that were wrapped with so much
/// indent are joined first.
pub(crate) fn worked_again(out: &str, indent: usize, halves: f64) -> usize {
    let mut checked = 0;
    for line in out.replace(&format!("\n{}", " ".repeat(indent)), " ").lines() {
        let parts: Vec<&str> = line.trim().split(" = ").collect();
        let [.., numbers, result] = parts.as_slice() else { continue };
        let (Some(value), Some((number, half))) = (worked(numbers), printed(result)) else { continue };
        assert!((value.abs() - number.abs()).abs() <= halves * half + 1e-9, "{line}: {value}\n{out}");
        checked += 1;
    }
    checked
}

#[test]
fn printed_arithmetic_can_be_checked_by_hand() {
    let mut checked = 0;
    for item in std::fs::read_dir(demo("")).expect("the demo") {
        let (_, out, _) = call(hingeline().arg("balance").arg(item.expect("an entry").path()));
        checked += worked_again(&out, 6, ROUNDED);
    }
    assert!(checked >= 40, "only {checked} lines were checked");
}
