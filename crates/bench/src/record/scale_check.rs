//! The check of the scale that a weighing was taken on, as an inspector asks for it: what the scale read, what it should
//! have read, and whether that was within its bound.
//!
//! Main function: [`scale_check`]. A check typed with the weighing counts; without one, the last that the record holds of
//! that day. Rules: [`super::check`].

use super::check::{Checked, judge, stored};
use super::deed::{BeforeWeighing, text};
use super::job::Weighing;
use super::shop::{Check, Instrument, Shop};
use jiff::civil::Date;

/// The check of the scale of a weighing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ScaleCheck {
    /// How it came out.
    pub state: CheckState,
    /// In words.
    pub words: String,
    /// Where it was made by itself, and not typed with the weighing: when, and by whom.
    pub entered: Option<(String, String)>,
}

/// How a check of a scale came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckState {
    /// Within its bound.
    Within,
    /// Beyond its bound.
    Beyond,
    /// It was read, and nothing says how far it may be off.
    NoBound,
    /// The check weight was not read on the day of the weighing.
    NotRead,
}

impl CheckState {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Within => "check within its bound",
            Self::Beyond => "check beyond its bound",
            Self::NoBound => "check not judged",
            Self::NotRead => "not checked",
        }
    }
}

/// The check of the scale of a weighing; none where it names no scale that the shop knows. `is_on` says whether a time of
/// the record falls on a day.
#[must_use]
pub fn scale_check(
    shop: &Shop,
    weighing: &Weighing,
    is_on: impl Fn(&str, Date) -> bool,
) -> Option<ScaleCheck> {
    let id = text(&weighing.fields, "scale");
    let scale = shop.instruments.get(id)?;
    let read = |before: &BeforeWeighing| !before.check.trim().is_empty();
    if let Some(before) = weighing.before.as_ref().filter(|before| read(before)) {
        let entry = scale.checks.iter().rposition(|check| check.before == *before && check.at == weighing.at);
        let checked = entry.map_or_else(|| judge(scale, before).ok().flatten(), |index| stored(scale, index));
        let by = entry.map_or_else(|| now(scale), |index| of_its_day(&scale.checks[index]));
        return Some(told(before, checked, by, None));
    }
    let day = text(&weighing.fields, "date").trim().parse::<Date>().ok();
    let on_the_day = |check: &Check| read(&check.before) && day.is_some_and(|day| is_on(&check.at, day));
    let earlier = |check: &Check| check.at <= weighing.at && on_the_day(check);
    let entry = scale.checks.iter().rposition(earlier).or_else(|| scale.checks.iter().rposition(on_the_day));
    if let Some(index) = entry {
        let check = &scale.checks[index];
        let entered = Some((check.at.clone(), check.by.clone()));
        return Some(told(&check.before, stored(scale, index), of_its_day(check), entered));
    }
    Some(ScaleCheck { state: CheckState::NotRead, words: not_read(scale, id, read), entered: None })
}

/// What is said of a scale whose check weight was not read on the day.
fn not_read(scale: &Instrument, id: &str, read: impl Fn(&BeforeWeighing) -> bool) -> String {
    let before = scale.checks.iter().any(|check| read(&check.before));
    match (scale.check_weight.trim(), before) {
        ("", _) => format!("the record knows no check weight of scale {id}"),
        (_, false) => format!("scale {id} was never checked with its check weight"),
        (_, true) => format!("scale {id} was not checked with its check weight on the day of this weighing"),
    }
}

fn now(scale: &Instrument) -> (&str, &str) {
    (&scale.check_weight, &scale.check_within)
}

fn of_its_day(check: &Check) -> (&str, &str) {
    (&check.weight, &check.within)
}

fn told(
    before: &BeforeWeighing,
    checked: Option<Checked>,
    (weight, within): (&str, &str),
    entered: Option<(String, String)>,
) -> ScaleCheck {
    let state = match checked.and_then(|checked| checked.within) {
        Some(true) => CheckState::Within,
        Some(false) => CheckState::Beyond,
        None => CheckState::NoBound,
    };
    let empty = before.zero.trim();
    let empty = if empty.is_empty() { String::new() } else { format!("empty it showed {empty}; ") };
    let allowed = match (weight.trim(), within.trim()) {
        ("", _) => "no check weight is stated".to_owned(),
        (weight, "") => format!("the weight is {weight}, and no bound is stated"),
        (weight, within) => format!("the weight is {weight}, and ± {within} is allowed"),
    };
    let off: String = checked.iter().flat_map(Checked::words).map(|words| format!("; {words}")).collect();
    let words = format!("{empty}with its check weight it showed {}; {allowed}{off}", before.check.trim());
    ScaleCheck { state, words, entered }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::deed::{Field, Fields, Outcome};

    fn shop() -> Shop {
        let mut scale = Instrument {
            check_weight: "5 lb".to_owned(),
            check_within: "0.02 lb".to_owned(),
            ..Instrument::default()
        };
        scale.fields.insert("resolution".to_owned(), Field::Text("0.01 lb".to_owned()));
        let mut shop = Shop::default();
        shop.instruments.insert("S-2".to_owned(), scale);
        shop
    }
    fn weighing(check: &str) -> Weighing {
        let typed = [("scale", "S-2"), ("date", "2026-10-02")];
        let fields: Fields =
            typed.iter().map(|(key, value)| ((*key).to_owned(), Field::Text((*value).to_owned()))).collect();
        Weighing {
            entry: 4,
            at: "2026-10-02T09:00:00Z".to_owned(),
            by: "M. Tarn".to_owned(),
            fields,
            instruments: Vec::new(),
            before: (!check.is_empty()).then(|| before(check)),
            struck: Vec::new(),
            outcome: Outcome {
                moment_kg_m: "0".to_owned(),
                expanded_kg_m: "0".to_owned(),
                verdict: "within".to_owned(),
                doubt: "clear".to_owned(),
                band_kg_m: ("-1".to_owned(), "1".to_owned()),
                reasons: Vec::new(),
            },
        }
    }
    fn before(check: &str) -> BeforeWeighing {
        BeforeWeighing { zero: "0.00 lb".to_owned(), check: check.to_owned() }
    }
    fn said(shop: &Shop, check: &str) -> ScaleCheck {
        let on = |at: &str, day: Date| at.starts_with(&day.to_string());
        scale_check(shop, &weighing(check), on).expect("a scale")
    }

    #[test]
    fn a_check_typed_with_the_weighing_says_weight_bound_and_how_it_came_out() {
        let good = said(&shop(), "5.01 lb");
        assert_eq!(good.state, CheckState::Within);
        let words = "empty it showed 0.00 lb; with its check weight it showed 5.01 lb; the weight is 5 lb, and ± 0.02 lb \
                     is allowed; the check weight reads +0.01 lb off";
        assert_eq!(good.words, words);
        assert_eq!(said(&shop(), "5.10 lb").state, CheckState::Beyond);
    }

    #[test]
    fn a_check_of_that_day_counts_and_an_older_one_does_not() {
        let mut shop = shop();
        assert_eq!(said(&shop, "").words, "scale S-2 was never checked with its check weight");
        let mut check = |at: &str| {
            let scale = shop.instruments.get_mut("S-2").expect("a scale");
            scale.checks.push(Check {
                at: at.to_owned(),
                by: "J. Osterby".to_owned(),
                before: before("5.00 lb"),
                weight: "5 lb".to_owned(),
                within: "0.02 lb".to_owned(),
            });
            said(&shop, "")
        };
        let old = check("2026-10-01T08:00:00Z");
        assert_eq!(old.state, CheckState::NotRead);
        assert!(old.words.ends_with("on the day of this weighing"), "{}", old.words);
        let today = check("2026-10-02T08:00:00Z");
        assert_eq!(today.state, CheckState::Within);
        assert_eq!(today.entered, Some(("2026-10-02T08:00:00Z".to_owned(), "J. Osterby".to_owned())));
    }

    #[test]
    fn a_scale_without_a_check_weight_is_not_checked() {
        let mut shop = shop();
        shop.instruments.get_mut("S-2").expect("a scale").check_weight.clear();
        let none = said(&shop, "");
        assert_eq!(
            (none.state, none.words.as_str()),
            (CheckState::NotRead, "the record knows no check weight of scale S-2")
        );
    }
}
