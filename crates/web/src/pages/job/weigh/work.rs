//! What the fields come to: the preview of the bench, with its faults brought to their fields.
//!
//! Main type: [`Worked`]. What is only missing yet is told apart from what is wrong: the first is said calmly.

use super::typed;
use super::ways::{SECOND_SETS, SETS, Way};
use crate::form::{Said, Typed, Wrong};
use hingeline_balance::Outlier;
use hingeline_bench::record::check::{self, Checked};
use hingeline_bench::record::deed::{BeforeWeighing, Field, Fields, Struck};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::shop::{Instrument, Shop};
use hingeline_bench::record::weigh::{self, Occasion, Preview};
use hingeline_bench::{Assessment, Fault};

/// What the fields of the page come to.
#[derive(Debug)]
pub(super) struct Worked {
    /// The table `[[weighing]]`.
    pub(super) fields: Fields,
    /// The job with it; none while there are faults.
    pub(super) assessment: Option<Assessment>,
    /// Readings that stand out.
    pub(super) outliers: Vec<(&'static str, Outlier)>,
    /// Readings of small sets that lie far from the others.
    pub(super) strays: Vec<(&'static str, usize)>,
    /// What is wrong, by field.
    pub(super) wrong: Wrong,
    /// What is still to come: field and label.
    pub(super) missing: Vec<(String, String)>,
    /// What may still be given, and what is not confirmed yet; it can be entered without.
    pub(super) open: Vec<String>,
    /// Zero and check weight as typed.
    pub(super) before: Option<BeforeWeighing>,
    /// Fields that are to be looked at, and why; they can be entered as they are.
    pub(super) looks: Vec<(&'static str, String)>,
    /// Whether the scale has a check weight that nobody read today.
    pub(super) unchecked: bool,
    /// What they show.
    pub(super) checked: Option<Checked>,
    /// Readings that do not count.
    pub(super) struck: Vec<Struck>,
}

/// Works the fields out on top of a job.
pub(super) fn work(
    job: &Job,
    shop: &Shop,
    (way, stage): (&Way, &str),
    typed: &Typed,
    when: Occasion<'_>,
) -> Worked {
    let (fields, before) = (typed::weighing(typed, way, stage), typed::before(typed));
    let Preview { assessment, faults, outliers, strays } =
        weigh::preview(job, shop, &fields, before.as_ref(), when);
    let mut worked = Worked {
        fields,
        assessment,
        outliers,
        strays,
        wrong: Wrong::default(),
        missing: Vec::new(),
        open: Vec::new(),
        before,
        looks: Vec::new(),
        unchecked: false,
        checked: None,
        struck: Vec::new(),
    };
    let places = Places::of(job, way, typed);
    for fault in &faults {
        worked.take(fault, &places, way, typed);
    }
    worked.take_open(job, way);
    worked.take_struck(typed);
    worked.take_check(shop, when);
    worked
}

/// The scale that a weighing names, while it is in use.
pub(super) fn scale<'s>(shop: &'s Shop, fields: &Fields) -> Option<&'s Instrument> {
    let Some(Field::Text(id)) = fields.get("scale") else { return None };
    shop.instruments.get(id).filter(|scale| scale.retired.is_none())
}

impl Worked {
    fn take(&mut self, fault: &Fault, places: &Places, way: &Way, typed: &Typed) {
        let field = places.field(fault);
        let said = plainly(fault, way);
        let half = fault.what.contains(" but no ") || fault.what.contains("the levelling has no ");
        if half || (fault.what.contains(" has no ") && !typed.has(&field)) {
            for field in places_of_missing(fault, field, way, typed) {
                let label = missing_label(fault, &field, way);
                self.missing.push((field, label));
            }
            return;
        }
        self.wrong.say(field, said);
    }

    fn take_open(&mut self, job: &Job, way: &Way) {
        if way.defs().any(|def| def.key == "tare") && !self.fields.contains_key("tare") {
            self.open.push("tare: without it the sling counts as part of the surface".to_owned());
        }
        let items = weigh::not_confirmed(job, &self.fields);
        self.open.extend(items.into_iter().map(|item| format!("not confirmed: {item}")));
    }

    fn take_struck(&mut self, typed: &Typed) {
        for (row, struck) in typed::struck(typed) {
            if struck.reason.is_empty() {
                let said = Said::new(format!("the reading {} is struck without a reason", struck.reading));
                let field = format!("struck.{row}.reason");
                self.wrong.say(field, said.hint("say why it does not count, or let it count again"));
            }
            self.struck.push(struck);
        }
    }

    fn take_check(&mut self, shop: &Shop, when: Occasion<'_>) {
        let Some(before) = &self.before else { return };
        let Some(id) = scale(shop, &self.fields).map(|scale| scale.text("id")) else { return };
        let Some(scale) = when.instrument(shop, id, &self.fields) else { return };
        match check::judge(&scale, before) {
            Ok(checked) => self.checked = checked,
            Err(faults) => {
                for (field, error) in faults {
                    let said = Said::new(format!("{field}: {error}")).allowed(error.problem.allowed());
                    self.wrong.say(field, said.hint(error.problem.hint()));
                }
            }
        }
    }

    /// Whether it can be entered.
    pub(super) fn whole(&self) -> bool {
        self.assessment.is_some() && self.wrong.is_empty()
    }

    /// What is wrong with what is missing beside it: for an entry that is refused.
    pub(super) fn refusal(&self) -> Wrong {
        let mut wrong = self.wrong.clone();
        for (field, label) in &self.missing {
            wrong.say(field.clone(), Said::new(format!("{label}: not given yet")).hint("fill it in"));
        }
        wrong
    }
}

/// Which tables of the sheet the fields of the page stand in.
struct Places {
    /// Which `[[weighing]]`, from 1.
    weighing: usize,
    /// How many `[[weighing.part]]` stand before.
    parts: usize,
    /// The rows of the form.
    rows: Vec<usize>,
}

impl Places {
    fn of(job: &Job, way: &Way, typed: &Typed) -> Self {
        let parts = |fields: &Fields| match fields.get("part") {
            Some(Field::Parts(parts)) => parts.len(),
            _ => 0,
        };
        Self {
            weighing: job.weighings.len() + 1,
            parts: job.weighings.iter().map(|weighing| parts(&weighing.fields)).sum(),
            rows: typed::rows(typed, way),
        }
    }

    /// The field that a fault is about; empty for the form as a whole.
    fn field(&self, fault: &Fault) -> String {
        let key = fault.key.clone().unwrap_or_default();
        match &fault.table {
            Some((table, count)) if table == "weighing" && *count == self.weighing => key,
            Some((table, count)) if table == "weighing.part" && self.parts < *count => {
                let row = self.rows.get(count - self.parts - 1).copied().unwrap_or_default();
                format!("part.{row}.{key}")
            }
            _ => String::new(),
        }
    }
}

/// A fault in the words of the page: without the table's name, with labels in place of keys.
fn plainly(fault: &Fault, way: &Way) -> Said {
    let words = |text: &str| {
        way.defs()
            .filter(|def| def.key.contains('_'))
            .fold(without_table(text).to_owned(), |text, def| text.replace(def.key, def.label))
    };
    let hint = fault.hint.as_deref().filter(|hint| !hint.starts_with("add ") && !hint.contains(" = "));
    Said {
        what: words(&fault.what),
        allowed: fault.allowed.as_deref().map(words),
        hint: hint.map(words),
        ..Said::default()
    }
}

/// "arm is 900 in" of "weighing 1 (as found), arm is 900 in".
fn without_table(text: &str) -> &str {
    let rest = text.strip_prefix("weighing ").and_then(|rest| rest.split_once(')'));
    rest.map_or(text, |(_, rest)| rest.trim_start_matches([',', ':', ' ']))
}

/// The fields that something missing belongs into: of one half the other, of readings the sets that are asked for.
fn places_of_missing(fault: &Fault, field: String, way: &Way, typed: &Typed) -> Vec<String> {
    let other = fault.what.rsplit_once(" but no ").map(|(_, gone)| gone);
    if let Some(gone) = other.filter(|gone| way.label(gone).is_some()) {
        return vec![gone.to_owned()];
    }
    let turning = typed.get("way") != "rest";
    match [SETS, SECOND_SETS].into_iter().find(|sets| sets[0] == field && turning) {
        Some(sets) => sets[1..].iter().map(|set| (*set).to_owned()).collect(),
        None => vec![field],
    }
}

fn missing_label(fault: &Fault, field: &str, way: &Way) -> String {
    if let Some((_, gone)) = fault.what.rsplit_once(" but no ") {
        return way.label(gone).unwrap_or_else(|| gone.to_owned());
    }
    if fault.what.contains("the levelling has no") {
        return plainly(fault, way).what;
    }
    if let Some(label) = way.label(field) {
        return label;
    }
    match field.rsplit_once('.') {
        Some((_, key)) => format!("{} of a part", key.replace('_', " ")),
        None if field.is_empty() => fault.what.clone(),
        None => field.replace('_', " "),
    }
}
