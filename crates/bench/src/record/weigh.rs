//! The use case behind the bench page: the fields as typed, on top of a job, in; a preview, the faults beside their
//! fields, or the deed to enter, out. What the next weighing should show is worked out in [`super::expected`].
//!
//! Main functions: [`preview`], for every keystroke; [`deed`], to enter. Both write the job as a sheet and let the
//! reader of job sheets judge, so that page and file never differ.

use super::check::not_checked;
use super::deed::{BeforeWeighing, Deed, Field, Fields, Outcome, Struck, list, text};
use super::job::{Job, Weighing};
use super::shop::{Instrument, Shop};
use crate::job_sheet::InstrumentKind;
use crate::{Assessment, CardSheet, Fault, JobSheet, Weighed, assess, same_item, words};
use hingeline_balance::{Method, Outlier, Place, Readings, Series};
use hingeline_quantity::{Entered, Length, Quantity};
use jiff::civil::Date;
use std::borrow::Cow;

/// What the fields of a weighing come to.
#[derive(Debug)]
pub struct Preview {
    /// The job with this weighing as its last one; none while there are faults.
    pub assessment: Option<Assessment>,
    /// What is wrong, in the order of the sheet.
    pub faults: Vec<Fault>,
    /// Readings that stand out: the key of their set, and which.
    pub outliers: Vec<(&'static str, Outlier)>,
    /// Readings that lie far from the others where there are too few for that test: to be looked at, no more.
    pub strays: Vec<(&'static str, usize)>,
}

/// The keys of all sets of readings.
pub const SETS: [&str; 6] =
    ["readings", "raising", "lowering", "second_readings", "second_raising", "second_lowering"];

/// When a weighing was taken, as far as its instruments ask for it.
#[derive(Debug, Clone, Copy, Default)]
pub struct Occasion<'a> {
    /// The weighing that it mends; none for a new one.
    pub mends: Option<&'a Weighing>,
    /// The end of its day, UTC, as the record writes times, where that day is past; none for today.
    pub until: Option<&'a str>,
}

impl Occasion<'_> {
    /// The table of an instrument as the mended weighing has it.
    fn kept(&self, id: &str) -> Option<&Fields> {
        self.mends?.instruments.iter().find(|table| text(table, "id") == id)
    }
    /// An instrument of the shop as it stood then.
    #[must_use]
    pub fn instrument<'s>(&self, shop: &'s Shop, id: &str, weighing: &Fields) -> Option<Cow<'s, Instrument>> {
        let known = shop.instruments.get(id)?;
        let past = day_of(weighing).zip(self.until);
        Some(past.map_or(Cow::Borrowed(known), |(day, until)| Cow::Owned(known.as_of(day, until))))
    }
}

/// The instruments that a weighing names, as they stood when it was taken; one that is not there, or not in use any
/// more, is left to the reader. What a mended weighing has stays as it is: a scale that was past its due date then is not
/// in date because it was calibrated since. `before` is the check of its scale: being the newest, it says whether the last
/// one failed.
#[must_use]
pub fn instruments(
    shop: &Shop,
    weighing: &Fields,
    before: Option<&BeforeWeighing>,
    when: Occasion<'_>,
) -> Vec<Fields> {
    let table = |key: &str| {
        let Some(Field::Text(id)) = weighing.get(key) else { return None };
        let (then, kept) = (when.instrument(shop, id, weighing), when.kept(id));
        let in_use = then.as_deref().filter(|known| known.retired.is_none());
        let table = kept.cloned().or_else(|| Some(in_use?.table()))?;
        let checked = then.as_deref().zip(before.filter(|_| key == "scale"));
        Some(match checked {
            Some((scale, check)) => super::check::checked(table, scale, check),
            None => table,
        })
    };
    ["scale", "rule", "level"].into_iter().filter_map(table).collect()
}

/// Judges the fields of a weighing on top of a job: the weighings before it stay as they are. `check` is the check of
/// its scale, where one was typed with it.
///
/// A job without limits gives one fault that says so.
#[must_use]
pub fn preview(
    job: &Job,
    shop: &Shop,
    weighing: &Fields,
    check: Option<&BeforeWeighing>,
    when: Occasion<'_>,
) -> Preview {
    let Some(mut sheet) = job.sheet() else {
        return refused(Fault::new("the job has no approved limits yet", 0..0).hint("choose a card first"));
    };
    let before = sheet.weighing.len();
    sheet.add(&without_empty(weighing), &instruments(shop, weighing, check, when));
    let Ok(text) = sheet.text() else {
        return refused(Fault::new("the fields cannot be written as a sheet", 0..0));
    };
    match JobSheet::parse(&text) {
        Ok(sheet) => {
            let assessment = assess(sheet, None);
            let outliers = outliers(&assessment, before);
            let strays = strays(&assessment, before);
            let strays = strays.into_iter().filter(|(set, _)| outliers.iter().all(|(known, _)| known != set));
            Preview { strays: strays.collect(), assessment: Some(assessment), faults: Vec::new(), outliers }
        }
        Err(faults) => {
            Preview { assessment: None, faults: faults.faults, outliers: Vec::new(), strays: Vec::new() }
        }
    }
}

fn refused(fault: Fault) -> Preview {
    Preview { assessment: None, faults: vec![fault], outliers: Vec::new(), strays: Vec::new() }
}

/// How many days a weighing may be older than the entry that received its surface: a shop that writes on paper first
/// types the receipt later.
pub const PAPER_FIRST_DAYS: i32 = 31;

/// What is wrong with the day of a weighing: nobody has weighed tomorrow, nor a surface long before it came.
///
/// # Inputs
/// `entered`: the day on which the receipt of the job was entered; none where nobody knows.
#[must_use]
pub fn day(weighing: &Fields, entered: Option<Date>, today: Date) -> Option<Fault> {
    let day = day_of(weighing)?;
    let first = entered.map(|entered| entered.saturating_sub(jiff::Span::new().days(PAPER_FIRST_DAYS)));
    let early = first.is_some_and(|first| day < first);
    if day <= today && !early {
        return None;
    }
    let what = match entered {
        Some(entered) if early => {
            format!("more than {PAPER_FIRST_DAYS} days before the job was entered, {entered}")
        }
        _ => "after today".to_owned(),
    };
    let allowed = match first {
        Some(first) => format!("{first} to today, {today}"),
        None => format!("{today} or earlier"),
    };
    let mut fault = Fault::new(format!("the day {day} is {what}"), 0..0)
        .allowed(allowed)
        .hint("type the day on which the surface was weighed");
    fault.key = Some("date".to_owned());
    Some(fault)
}

/// What is said of a weighing that is dated before its job was entered: right where it was on paper first; none where
/// it is not.
#[must_use]
pub fn dated_early(weighing: &Fields, entered: Option<Date>) -> Option<String> {
    let day = day_of(weighing)?;
    let entered = entered.filter(|entered| day < *entered)?;
    Some(format!(
        "dated {day}, before the job was entered here on {entered}: right only where it was on paper first"
    ))
}

/// What the sheet says of a weighing whose scale has a check weight that nobody read on its day; none where it was read,
/// with the weighing or by itself. `is_on` says whether a time of the record falls on a day.
#[must_use]
pub fn unchecked(shop: &Shop, weighing: &Weighing, is_on: impl Fn(&str, Date) -> bool) -> Option<String> {
    let Some(Field::Text(id)) = weighing.fields.get("scale") else { return None };
    let (scale, day) = (shop.instruments.get(id)?, day_of(&weighing.fields)?);
    not_checked(scale, weighing.before.as_ref(), |at| is_on(at, day))
        .then(|| format!("scale {id} was not checked with its check weight on the day of this weighing"))
}

fn day_of(weighing: &Fields) -> Option<Date> {
    text(weighing, "date").trim().parse().ok()
}

/// What is said of the arm of a weighing that reaches beyond the surface of a card; none where it does not, or where
/// the arm cannot be read yet.
#[must_use]
pub fn arm_to_look_at(card: &CardSheet, weighing: &Fields) -> Option<String> {
    let arm = Entered::<Length>::parse(text(weighing, "arm").trim()).ok()?.value;
    let forward = text(weighing, "side").trim() == Place::Forward.word();
    words::arm_beyond(card.outline, &card.limits, if forward { arm * -1.0 } else { arm })
}

/// The items of the configuration that the approved data ask for and this weighing does not confirm.
#[must_use]
pub fn not_confirmed(job: &Job, weighing: &Fields) -> Vec<String> {
    let asked = job.card.as_ref().map_or(&[][..], |(_, card)| list(&card.limits, "configuration"));
    let confirmed = list(weighing, "confirmed");
    let open = |item: &&String| !confirmed.iter().any(|known| same_item(known, item));
    asked.iter().filter(open).cloned().collect()
}

/// What was left empty was not typed.
pub(super) fn without_empty(fields: &Fields) -> Fields {
    let full = |field: &Field| match field {
        Field::Text(text) => !text.trim().is_empty(),
        Field::List(list) => list.iter().any(|text| !text.trim().is_empty()),
        Field::Parts(parts) => !parts.is_empty(),
    };
    let trimmed = |field: &Field| match field {
        Field::List(list) => {
            Field::List(list.iter().filter(|text| !text.trim().is_empty()).cloned().collect())
        }
        other => other.clone(),
    };
    fields.iter().filter(|(_, field)| full(field)).map(|(key, field)| (key.clone(), trimmed(field))).collect()
}

/// The sets of a weighing with their keys: each attitude for itself.
fn attitudes(weighed: &Weighed) -> Vec<Vec<(&'static str, &Series)>> {
    let method = &weighed.taken.weighing.method;
    let [rest, raising, lowering, second_rest, second_raising, second_lowering] = SETS;
    let mut all = Vec::new();
    if let Some(readings) = method.readings() {
        all.push(sets_of(readings, [rest, raising, lowering]));
    }
    if let Method::TwoAttitudes(two) = method {
        all.push(sets_of(&two.tilted, [second_rest, second_raising, second_lowering]));
    }
    all
}

fn outliers(assessment: &Assessment, index: usize) -> Vec<(&'static str, Outlier)> {
    let Some(weighed) = assessment.weighings.get(index) else { return Vec::new() };
    let step = step(assessment, weighed);
    let stands_out = |series: &Series| {
        let outlier = series.outlier()?;
        let far = (series.values().get(outlier.index)? - series.mean()).abs();
        (step * (1.0 + 1e-6) < far).then_some(outlier)
    };
    let sets = attitudes(weighed).into_iter().flatten();
    sets.filter_map(|(key, series)| Some((key, stands_out(series)?))).collect()
}

/// So few readings tell no scatter, and a slip among them is judged by a plain rule instead.
const FEW: usize = 3;

/// Readings of small sets that lie more than ten steps and more than half of the median away from the median of the
/// set. A pair has no middle: the readings of the other set beside it say which of the two is far off.
fn strays(assessment: &Assessment, index: usize) -> Vec<(&'static str, usize)> {
    let Some(weighed) = assessment.weighings.get(index) else { return Vec::new() };
    let step = step(assessment, weighed);
    let mut strays = Vec::new();
    for sets in attitudes(weighed) {
        let all: Vec<f64> = sets.iter().flat_map(|(_, series)| series.values()).copied().collect();
        for (key, series) in sets {
            let values = series.values();
            if values.len() < 2 || FEW < values.len() {
                continue;
            }
            let middle = median(if values.len() == 2 { all.clone() } else { values.to_vec() });
            let bound = (10.0 * step).max(0.5 * middle.abs()) * (1.0 + 1e-6);
            let far = |value: &f64| bound < (value - middle).abs();
            let mut found = values.iter().enumerate().filter(|(_, value)| far(value));
            if let (Some((index, _)), None) = (found.next(), found.next()) {
                strays.push((key, index));
            }
        }
    }
    strays
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    match (values.get(half.saturating_sub(1)), values.get(half)) {
        (Some(low), Some(high)) if values.len().is_multiple_of(2) => f64::midpoint(*low, *high),
        (_, Some(middle)) => *middle,
        _ => 0.0,
    }
}

fn sets_of<'r>(readings: &'r Readings, keys: [&'static str; 3]) -> Vec<(&'static str, &'r Series)> {
    match readings {
        Readings::AtRest(series) => vec![(keys[0], series)],
        Readings::Turning { raising, lowering } => vec![(keys[1], raising), (keys[2], lowering)],
    }
}

/// The step of what was read, SI: nothing stands out that lies within one step of the mean.
fn step(assessment: &Assessment, weighed: &Weighed) -> f64 {
    let slides = matches!(weighed.taken.weighing.method, Method::BalanceBeam(_));
    let used = weighed.taken.instruments.iter().filter_map(|&index| assessment.sheet.instruments.get(index));
    let steps = used.filter_map(|instrument| match &instrument.kind {
        InstrumentKind::Scale(scale, _) if !slides => Some(scale.resolution.si()),
        InstrumentKind::Rule(rule) if slides => Some(rule.resolution.si()),
        _ => None,
    });
    steps.fold(0.0, f64::max)
}

/// The deed that enters a weighing.
///
/// # Errors
/// - the faults of the fields, all at once
pub fn deed(
    job: &Job,
    shop: &Shop,
    weighing: &Fields,
    before: Option<BeforeWeighing>,
    struck: Vec<Struck>,
    when: Occasion<'_>,
) -> Result<Deed, Vec<Fault>> {
    let preview = preview(job, shop, weighing, before.as_ref(), when);
    let Some(assessment) = preview.assessment else { return Err(preview.faults) };
    Ok(Deed::Weighed {
        instruments: instruments(shop, weighing, before.as_ref(), when),
        weighing: without_empty(weighing),
        before,
        struck,
        outcome: Outcome::of(&assessment),
    })
}
