//! The check of a scale before a weighing: zero, check weight, and how far it moved since its last check.
//!
//! Main functions: [`judge`], [`failed`]. A check has two halves, what the scale reads empty and what its check weight
//! reads beyond that; either can fail, and either stands until it is read again. Empty, a scale may read off by as much
//! as its check weight may, or by five steps of the scale where no bound is stated: the readings of a surface are taken
//! as they are, so a scale that is not at zero shifts every one of them. A check beyond its bound does not stop a
//! weighing; a weighing with a scale whose last check failed is not valid for release.

use super::deed::{BeforeWeighing, Field, Fields};
use super::shop::{Check, Instrument};
use crate::with_unit;
use hingeline_quantity::{Entered, Mass, ParseError, Quantity, Unit, decimals, places, signed};

/// Steps of a scale that it may read empty, where no bound is stated.
const ZERO_STEPS: f64 = 5.0;

/// What a check of a scale shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Checked {
    /// How far the check weight reads off, its zero taken away; none without a check weight or its reading.
    pub off: Option<Mass>,
    /// Whether the check is passed: false where it fails in either half; none where nothing bounds it, or where the
    /// check weight was not read.
    pub within: Option<bool>,
    /// How far the check weight may read off.
    pub bound: Option<Mass>,
    /// What it reads empty.
    empty: Option<Mass>,
    /// How far from zero it may read empty.
    empty_bound: Option<Mass>,
    /// How far the scale moved since its last check; none where there was none like it.
    pub drift: Option<Mass>,
    /// The unit of the scale.
    pub unit: &'static Unit,
    /// Decimal places of its step.
    places: usize,
}

impl Checked {
    /// A mass of the check, with its sign.
    fn signed(&self, mass: Mass) -> String {
        format!("{} {}", signed(mass.in_unit(self.unit), self.places), self.unit.symbol)
    }
    /// A bound, which has no sign.
    fn plain(&self, mass: Mass) -> String {
        format!("{} {}", decimals(mass.in_unit(self.unit), self.places), self.unit.symbol)
    }
    /// Whether the check weight lies within its bound; none where it was not read, or has no bound.
    fn weight_within(&self) -> Option<bool> {
        self.off.zip(self.bound).map(|(off, bound)| lies_within(off, bound))
    }
    /// Whether it reads zero empty; none where nobody read that, unless the check weight reads right without it.
    fn zero_within(&self) -> Option<bool> {
        match self.empty {
            Some(_) => self.empty.zip(self.empty_bound).map(|(empty, bound)| lies_within(empty, bound)),
            None => self.weight_within().filter(|within| *within),
        }
    }
    /// What a scale that is not at zero reads empty, and what is to be done; none where it is.
    #[must_use]
    pub fn not_zero(&self) -> Option<String> {
        let (empty, bound) = self.empty.zip(self.empty_bound)?;
        (!lies_within(empty, bound)).then(|| {
            let empty = format!("{} {}", decimals(empty.in_unit(self.unit), self.places), self.unit.symbol);
            format!(
                "empty it reads {empty}, where {} is allowed; set it to zero and weigh again",
                self.plain(bound)
            )
        })
    }
    /// What the check weight read off, and what is allowed; none where it lay within, or has no bound.
    fn weight_beyond(&self) -> Option<String> {
        let (off, bound) = self.off.zip(self.bound)?;
        let beyond = self.weight_within() == Some(false);
        beyond.then(|| {
            format!("the check weight read {} off, {} is allowed", self.signed(off), self.plain(bound))
        })
    }
    /// In words: what it reads empty where that is too much, what the check weight reads off, and how far it moved.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let off = self.off.map(|off| format!("the check weight reads {} off", self.signed(off)));
        let drift = self.drift.map(|drift| format!("{} since its last check", self.signed(drift)));
        self.not_zero().into_iter().chain(off).chain(drift).collect()
    }
}

fn lies_within(off: Mass, bound: Mass) -> bool {
    off.abs().si() <= bound.si() * (1.0 + 1e-9)
}

/// What the newest readings of zero and check weight said, where one of them lay beyond its bound; none where both lay
/// within, or none has a bound.
#[must_use]
pub fn failed(instrument: &Instrument) -> Option<String> {
    beyond(instrument, None)
}

/// The same with a check that was typed since, which is told as it was typed.
fn beyond(instrument: &Instrument, typed: Option<(&Checked, &BeforeWeighing)>) -> Option<String> {
    let earlier: Vec<Checked> =
        (0..instrument.checks.len()).rev().filter_map(|index| stored(instrument, index)).collect();
    let now = typed.map(|(checked, _)| checked);
    let newest = |says: fn(&Checked) -> Option<bool>| {
        now.into_iter().chain(&earlier).find(|checked| says(checked).is_some())
    };
    let zero = newest(Checked::zero_within).and_then(Checked::not_zero);
    let weight = newest(Checked::weight_within).and_then(|last| {
        let said = last.weight_beyond()?;
        let typed = typed.filter(|(checked, _)| std::ptr::eq(*checked, last));
        Some(typed.map_or(said, |(_, before)| shown(instrument, before)))
    });
    let said: Vec<String> = weight.into_iter().chain(zero).collect();
    (!said.is_empty()).then(|| said.join("; "))
}

/// What a check of the record said on its day: by the check weight and the bound of that day, beside those before it.
#[must_use]
pub fn stored(instrument: &Instrument, index: usize) -> Option<Checked> {
    let check = instrument.checks.get(index)?;
    let by = By { weight: &check.weight, within: &check.within, earlier: &instrument.checks[..index] };
    judge_by(instrument, &check.before, &by).ok().flatten()
}

/// The table of an instrument for a weighing that it was checked with: that check is its newest, and says more than the
/// one before where it has a bound.
pub(super) fn table(instrument: &Instrument, check: &BeforeWeighing) -> Fields {
    checked(instrument.table(), instrument, check)
}

/// A table of an instrument, with what a check typed beside it says in place of the one before.
pub(super) fn checked(mut table: Fields, instrument: &Instrument, check: &BeforeWeighing) -> Fields {
    let Some(now) = judge(instrument, check).ok().flatten() else { return table };
    table.remove("failed_check");
    if let Some(said) = beyond(instrument, Some((&now, check))) {
        table.insert("failed_check".to_owned(), Field::Text(said));
    }
    table
}

/// A check beside what it should have been, as typed: "5.10 lb for 5.00 lb ± 0.02 lb".
fn shown(instrument: &Instrument, check: &BeforeWeighing) -> String {
    let empty = check.zero.trim();
    let empty = if empty.is_empty() { String::new() } else { format!(", {empty} when empty,") };
    let (weight, within) = (instrument.check_weight.trim(), instrument.check_within.trim());
    format!("{}{empty} for {weight} ± {within}", check.check.trim())
}

/// Whether a scale has a check weight that was read neither with this weighing nor, by its last check, on this day.
/// `is_today` says it of a time of the record.
#[must_use]
pub fn not_checked(
    instrument: &Instrument,
    check: Option<&BeforeWeighing>,
    is_today: impl Fn(&str) -> bool,
) -> bool {
    let read = |before: &BeforeWeighing| !before.check.trim().is_empty();
    let has_weight = !instrument.check_weight.trim().is_empty();
    let today = instrument.checks.iter().any(|check| read(&check.before) && is_today(&check.at));
    has_weight && !today && !check.is_some_and(read)
}

/// A field of the check that cannot be read: "zero" or "check", and why.
pub type NotRead = (&'static str, ParseError);

/// Reads and compares a check; nothing where both fields are empty.
///
/// # Errors
/// - one [`NotRead`] a field that is no mass
pub fn judge(instrument: &Instrument, before: &BeforeWeighing) -> Result<Option<Checked>, Vec<NotRead>> {
    let (weight, within) = (&instrument.check_weight, &instrument.check_within);
    judge_by(instrument, before, &By { weight, within, earlier: &instrument.checks })
}

/// What a check is judged by.
struct By<'c> {
    /// The check weight, as typed.
    weight: &'c str,
    /// How far it may be off, as typed.
    within: &'c str,
    /// The checks before it.
    earlier: &'c [Check],
}

fn judge_by(
    instrument: &Instrument,
    before: &BeforeWeighing,
    by: &By<'_>,
) -> Result<Option<Checked>, Vec<NotRead>> {
    let mut wrong = Vec::new();
    let mut read = |field: &'static str, text: &str| match maybe(text) {
        Ok(read) => read,
        Err(error) => {
            wrong.push((field, error));
            None
        }
    };
    let (zero, check) = (read("zero", &before.zero), read("check", &before.check));
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let Some(first) = check.as_ref().or(zero.as_ref()) else { return Ok(None) };
    let [weight, bound] = [by.weight, by.within].map(|text| maybe(text).ok().flatten());
    let step = maybe(instrument.text("resolution")).ok().flatten();
    let unit = step.as_ref().or(weight.as_ref()).map_or(first.unit, |of| of.unit);
    let bound = bound.map(|bound| bound.value);
    let few = step.as_ref().map(|step| Mass::from_si(step.value.si() * ZERO_STEPS));
    let off = off(weight.as_ref(), zero.as_ref(), check.as_ref());
    let drift = off.zip(last_off(by.earlier, weight.as_ref())).map(|(now, then)| now - then);
    let mut checked = Checked {
        off,
        within: None,
        bound,
        empty: zero.map(|zero| zero.value),
        empty_bound: bound.or(few),
        drift,
        unit,
        places: places(step.map_or(0.001, |step| step.value.in_unit(unit)), 1).min(6),
    };
    let (zero, read) = (checked.zero_within(), checked.weight_within());
    checked.within = match (zero, read) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (zero, None) if weight.is_none() => zero,
        (_, read) => read,
    };
    Ok(Some(checked))
}

/// What a scale shows with nothing on it, in its own unit and to its own step: "0.00 lb"; none without a step.
#[must_use]
pub fn shown_zero(instrument: &Instrument) -> Option<String> {
    let step = maybe(instrument.text("resolution")).ok().flatten()?;
    let zero = decimals(0.0, places(step.value.in_unit(step.unit), 1).min(6));
    Some(format!("{zero} {}", step.unit.symbol))
}

/// The unit that a scale shows, which stands beside the fields of its check; none without a step.
#[must_use]
pub fn unit_of(instrument: &Instrument) -> Option<&'static Unit> {
    Some(maybe(instrument.text("resolution")).ok().flatten()?.unit)
}

/// A reading that was typed without a unit, in the unit that its scale shows. Any other text stays.
#[must_use]
pub fn with_unit_of_scale(instrument: &Instrument, text: &str) -> String {
    unit_of(instrument).map_or_else(|| text.to_owned(), |unit| with_unit(text, unit))
}

/// Whether a mass as typed is more than a scale can weigh; not where either cannot be read.
#[must_use]
pub fn over_capacity(capacity: &str, mass: &str) -> bool {
    let [most, mass] = [capacity, mass].map(|text| maybe(text).ok().flatten());
    most.zip(mass).is_some_and(|(most, mass)| most.value < mass.value)
}

/// Whether a text is a mass above nothing, as a check weight and its bound have to be.
///
/// # Errors
/// - [`ParseError`]: it is no mass
pub fn is_positive(text: &str) -> Result<bool, ParseError> {
    Ok(maybe(text)?.is_none_or(|mass| Mass::ZERO < mass.value))
}

fn maybe(text: &str) -> Result<Option<Entered<Mass>>, ParseError> {
    if text.trim().is_empty() { Ok(None) } else { Entered::parse(text).map(Some) }
}

/// What the check weight reads beyond its mass, the zero taken away.
fn off(
    weight: Option<&Entered<Mass>>,
    zero: Option<&Entered<Mass>>,
    check: Option<&Entered<Mass>>,
) -> Option<Mass> {
    let zero = zero.map_or(Mass::ZERO, |zero| zero.value);
    Some(check?.value - zero - weight?.value)
}

/// The same of the newest check with the same weight that can be read: with another one a scale reads off by another amount.
fn last_off(checks: &[Check], weight: Option<&Entered<Mass>>) -> Option<Mass> {
    let mass = weight?.value.si();
    checks.iter().rev().find_map(|check| {
        let then = maybe(&check.weight).ok()?.filter(|then| (then.value.si() - mass).abs() <= 1e-9 * mass)?;
        let (zero, read) = (maybe(&check.before.zero).ok()?, maybe(&check.before.check).ok()?);
        off(Some(&then), zero.as_ref(), read.as_ref())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale() -> Instrument {
        let mut scale = Instrument {
            check_weight: "5 lb".to_owned(),
            check_within: "0.02 lb".to_owned(),
            ..Instrument::default()
        };
        scale.fields.insert("resolution".to_owned(), Field::Text("0.01 lb".to_owned()));
        scale
    }
    fn before(zero: &str, check: &str) -> BeforeWeighing {
        BeforeWeighing { zero: zero.to_owned(), check: check.to_owned() }
    }
    /// Enters a check, as the fold does.
    fn push(scale: &mut Instrument, at: &str, before: BeforeWeighing) {
        scale.checks.push(Check {
            at: at.to_owned(),
            by: "M. Tarn".to_owned(),
            before,
            weight: scale.check_weight.clone(),
            within: scale.check_within.clone(),
        });
    }
    fn judged(scale: &Instrument, zero: &str, check: &str) -> Checked {
        judge(scale, &before(zero, check)).expect("readable").expect("a check")
    }

    #[test]
    fn a_check_is_what_it_reads_beyond_zero_and_weight() {
        let checked = judged(&scale(), "0.01 lb", "5.03 lb");
        assert_eq!(checked.within, Some(true), "the bound itself is allowed");
        assert_eq!(checked.words(), ["the check weight reads +0.02 lb off"]);
        assert_eq!(judged(&scale(), "0 lb", "4.97 lb").within, Some(false));
    }

    #[test]
    fn a_scale_that_is_not_at_zero_empty_has_failed() {
        let checked = judged(&scale(), "0.50 lb", "5.50 lb");
        assert_eq!(checked.within, Some(false), "the check weight alone reads right");
        let said = "empty it reads 0.50 lb, where 0.02 lb is allowed; set it to zero and weigh again";
        assert_eq!(checked.words()[0], said);
        assert_eq!(judged(&scale(), "0.02 lb", "5.02 lb").within, Some(true), "the bound itself is allowed");
        let mut plain = Instrument::default();
        plain.fields.insert("resolution".to_owned(), Field::Text("0.1 g".to_owned()));
        assert_eq!(judged(&plain, "0.5 g", "").within, Some(true), "five steps where no bound is stated");
        let checked = judged(&plain, "-0.6 g", "");
        assert_eq!(checked.within, Some(false));
        assert!(checked.words()[0].starts_with("empty it reads \u{2212}0.6 g, where 0.5 g is allowed"));
    }

    #[test]
    fn a_failed_zero_stands_until_zero_is_read_again() {
        let mut scale = scale();
        let mut check = |zero: &str, check: &str| {
            push(&mut scale, "2026-10-01T08:00:00Z", before(zero, check));
            failed(&scale).is_some()
        };
        assert!(check("0.50 lb", "") && check("", "5.50 lb"), "neither half is right yet");
        assert!(check("0 lb", ""), "the check weight is still to be read");
        assert!(!check("0 lb", "5.00 lb"));
        assert!(check("0.50 lb", "5.50 lb") && !check("0 lb", ""), "only the zero had failed");
        assert!(check("0.50 lb", "5.50 lb") && !check("", "5.00 lb"), "right without its zero");
    }

    #[test]
    fn a_scale_is_told_of_in_its_own_unit() {
        let mut scale = scale();
        scale.fields.insert("resolution".to_owned(), Field::Text("0.1 g".to_owned()));
        scale.check_weight = "0.2 kg".to_owned();
        scale.check_within = "0.0005 kg".to_owned();
        assert_eq!(judged(&scale, "0 g", "201.0 g").words(), ["the check weight reads +1.0 g off"]);
    }

    #[test]
    fn it_is_compared_with_the_last_check() {
        let mut scale = scale();
        push(&mut scale, "2026-10-01T08:00:00Z", before("0 lb", "5.00 lb"));
        let words = judged(&scale, "0 lb", "5.01 lb").words();
        assert_eq!(words[1], "+0.01 lb since its last check");
    }

    #[test]
    fn a_failed_check_stands_until_a_good_one() {
        let mut scale = scale();
        let mut check = |zero: &str, check: &str| {
            push(&mut scale, "2026-10-01T08:00:00Z", before(zero, check));
            failed(&scale)
        };
        let beyond = "the check weight read +0.10 lb off, 0.02 lb is allowed";
        assert_eq!(check("0 lb", "5.01 lb"), None);
        assert_eq!(check("0 lb", "5.10 lb").as_deref(), Some(beyond));
        assert_eq!(check("0 lb", "").as_deref(), Some(beyond), "a zero alone says nothing of the weight");
        assert_eq!(check("0 lb", "5.00 lb"), None);
    }

    #[test]
    fn a_check_is_judged_by_the_weight_and_the_bound_of_its_day() {
        let mut scale = scale();
        push(&mut scale, "2026-10-01T08:00:00Z", before("0 lb", "5.00 lb"));
        scale.check_weight = "2 lb".to_owned();
        assert!(failed(&scale).is_none(), "a new check weight makes no old check fail");
        let checked = judged(&scale, "0 lb", "2.01 lb");
        assert_eq!(checked.drift, None, "there was no check with this weight");
        scale.check_weight = "5 lb".to_owned();
        push(&mut scale, "2026-10-02T08:00:00Z", before("0 lb", "5.10 lb"));
        scale.check_within = "1 lb".to_owned();
        assert!(failed(&scale).is_some(), "a wider bound makes no failed check pass");
    }

    #[test]
    fn a_weighing_takes_the_failed_check_with_the_scale() {
        let mut scale = scale();
        assert!(!scale.table().contains_key("failed_check"));
        push(&mut scale, "2026-10-01T08:00:00Z", before("0 lb", "4.90 lb"));
        let said = Field::Text("the check weight read −0.10 lb off, 0.02 lb is allowed".to_owned());
        assert_eq!(scale.table().get("failed_check"), Some(&said));
    }

    #[test]
    fn a_check_typed_with_a_weighing_is_the_newest() {
        let mut scale = scale();
        let failed = |scale: &Instrument, zero: &str, check: &str| {
            table(scale, &before(zero, check)).get("failed_check").cloned()
        };
        let said = |text: &str| Some(Field::Text(text.to_owned()));
        assert_eq!(failed(&scale, "", "5.10 lb"), said("5.10 lb for 5 lb ± 0.02 lb"));
        assert_eq!(failed(&scale, "0 lb", "5.10 lb"), said("5.10 lb, 0 lb when empty, for 5 lb ± 0.02 lb"));
        assert_eq!(failed(&scale, "0 lb", "5.01 lb"), None);
        push(&mut scale, "2026-10-01T08:00:00Z", before("0 lb", "4.90 lb"));
        assert_eq!(failed(&scale, "", "5.00 lb"), None, "a good one takes the place of a failed one");
        assert!(failed(&scale, "0 lb", "").is_some(), "a zero alone does not");
    }

    #[test]
    fn a_check_weight_that_nobody_read_today_is_missed() {
        let mut scale = scale();
        let today = |at: &str| at.starts_with("2026-10-02");
        assert!(not_checked(&scale, None, today) && not_checked(&scale, Some(&before("0 lb", "")), today));
        assert!(!not_checked(&scale, Some(&before("", "5.00 lb")), today));
        let mut check = |at: &str| {
            push(&mut scale, at, before("0 lb", "5.00 lb"));
            not_checked(&scale, None, today)
        };
        assert!(check("2026-10-01T08:00:00Z") && !check("2026-10-02T08:00:00Z"));
        assert!(!not_checked(&Instrument::default(), None, today), "no check weight");
    }

    #[test]
    fn a_bare_reading_is_one_of_the_scale() {
        let scale = scale();
        assert_eq!(shown_zero(&scale).as_deref(), Some("0.00 lb"));
        for (typed, read) in
            [("0", "0 lb"), ("0,00", "0,00 lb"), ("0 kg", "0 kg"), ("5.00", "5.00 lb"), ("x", "x"), ("", "")]
        {
            assert_eq!(with_unit_of_scale(&scale, typed), read);
        }
    }

    #[test]
    fn a_scale_weighs_no_more_than_its_capacity() {
        assert!(over_capacity("25 kg", "50 kg") && over_capacity("25 kg", "56 lb"));
        assert!(
            !over_capacity("25 kg", "25 kg") && !over_capacity("", "25 kg") && !over_capacity("25 kg", "x")
        );
        assert!(is_positive("0.02 kg").expect("a mass") && is_positive("").expect("nothing"));
        assert!(!is_positive("-0.02 kg").expect("a mass") && !is_positive("0 kg").expect("a mass"));
    }

    #[test]
    fn what_is_no_mass_is_named_and_nothing_is_nothing() {
        let wrong = judge(&scale(), &before("0", "five")).expect_err("two faults");
        assert_eq!(wrong.iter().map(|(field, _)| *field).collect::<Vec<_>>(), ["zero", "check"]);
        assert_eq!(judge(&scale(), &before("", " ")).expect("nothing"), None);
        assert_eq!(judged(&scale(), "0 lb", "").off, None);
    }
}
