//! A surface comes in: who and what. The reader of job sheets judges the fields, as it will judge the sheet.

use super::at;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field};
use crate::problem::Problem;
use crate::sheet_faults;
use crate::visit::{Answer, Visit, go_saying};
use hingeline_bench::JobSheet;
use hingeline_bench::record::capitals;
use hingeline_bench::record::deed::{Deed, Fields};
use hingeline_bench::record::sheet::{SheetFields, text};
use hingeline_bench::words::CAUTIONS;
use hingeline_store::{Filter, Store, StoreError};
use maud::{Markup, html};

/// Characters of a job number at most: it stands in addresses and on every sheet.
const LONGEST_NUMBER: usize = 40;
/// Characters of another field at most.
const LONGEST: usize = 200;

/// The fields of a surface, besides the number of the job.
pub(super) const FIELDS: [(&str, &str, &str, bool); 6] = [
    ("surface", "Surface", "as the shop calls it: right elevator half", true),
    ("part", "Part number", "from the data plate; the limits are found by it", true),
    ("serial", "Serial number", "from the data plate; “none” where it has none", true),
    ("aircraft", "Aircraft", "type and serial or registration", false),
    ("work_order", "Work order", "", false),
    ("reason", "Reason", "why it is on the bench: repaired, painted, part of its weight lost", false),
];

/// GET /jobs/new
pub(crate) async fn page(visit: Visit) -> Answer {
    let number = visit.app.ask(proposed).await?;
    let filled = Filled::with([
        ("number", number.as_str()),
        ("part", visit.query.get("part")),
        ("serial", visit.query.get("serial")),
        ("surface", visit.query.get("surface")),
        ("aircraft", visit.query.get("aircraft")),
    ]);
    visit.page("Receive a surface", content(&filled))
}

/// POST /jobs
pub(crate) async fn enter(visit: Visit, mut typed: Typed) -> Answer {
    let mut wrong = Wrong::default();
    let number = number(&mut wrong, &typed);
    in_capitals(&mut typed, &mut wrong);
    let mut job = identity(&mut wrong, &typed);
    if !wrong.is_empty() {
        return refused(&visit, typed, wrong);
    }
    job.insert("number".to_owned(), text(number.as_str()));
    let shop = visit.shop.printed();
    if !shop.is_empty() {
        job.insert("shop".to_owned(), text(shop));
    }
    match visit.open_job(&number, &Deed::Received { job }, &typed).await {
        Ok(_) => go_saying(&at(&number, "/look"), "received"),
        Err(Problem::Stale { .. }) => {
            let free = visit.app.ask(proposed).await?;
            let said = Said::new(format!("job number {number} is taken"));
            wrong.say(
                "number",
                said.allowed("a number that no other job has").hint(format!("the next free one is {free}")),
            );
            refused(&visit, typed, wrong)
        }
        Err(problem) => Err(problem),
    }
}

fn refused(visit: &Visit, typed: Typed, wrong: Wrong) -> Answer {
    visit.refused("Receive a surface", content(&Filled::refused(typed, wrong)))
}

fn content(filled: &Filled) -> Markup {
    html! {
        h1 { "Receive a surface" }
        p.lead { "Write down what the data plate and the work order say. The incoming look comes next." }
        div.split {
            form.card.flow method="post" action="/jobs" {
                (parts::form_summary(filled))
                div.fields {
                    (Field::line("number", "Job number").hint("proposed; change it where your shop numbers otherwise").needed().show(filled))
                    (fields(filled))
                }
                div.row { button type="submit" { "Receive it" } a.button.quiet href="/jobs" { "Back to the jobs" } }
            }
            aside {
                (parts::caution(CAUTIONS[1]))
                (parts::caution(CAUTIONS[0]))
            }
        }
    }
}

/// The inputs of a surface, for this form and for mending it.
pub(super) fn fields(filled: &Filled) -> Markup {
    html! {
        @for (key, label, hint, needed) in FIELDS {
            @let field = Field::line(key, label).hint(hint);
            @let field = if PLATE.contains(&key) { field.capitals() } else { field };
            (if needed { field.needed() } else { field }.show(filled))
        }
        @if filled.typed.ticked(AS_TYPED, "yes") || PLATE.iter().any(|key| filled.wrong.of(key).iter().any(|said| said.what.ends_with(SMALL))) {
            (Field::tick(AS_TYPED, "The small letters are right: the data plate has them.", "yes").show(filled))
        }
    }
}

/// The fields whose numbers stand in capitals.
const PLATE: [&str; 3] = ["part", "serial", "aircraft"];
/// The box that keeps small letters, and what is said of them.
const AS_TYPED: &str = "as-typed";
const SMALL: &str = "has small letters";

/// Puts capitals where a data plate has them, and says so: what is entered is only what a person saw.
pub(super) fn in_capitals(typed: &mut Typed, wrong: &mut Wrong) {
    if typed.ticked(AS_TYPED, "yes") {
        return;
    }
    for key in PLATE {
        let Some(capitals) = capitals::proposed(typed.get(key)) else { continue };
        let said = Said::new(format!("“{}” {SMALL}", typed.get(key)))
            .allowed(format!("“{capitals}”, as it stands now"));
        wrong.say(
            key,
            said.hint("look at it and send the form again; or type the small letters again and tick the box"),
        );
        typed.set(key, capitals);
    }
}

/// The number of a job, where it can stand in an address.
fn number(wrong: &mut Wrong, typed: &Typed) -> String {
    let number = wrong.need(typed, "number", "the job number").to_owned();
    let signs = |sign: char| sign.is_ascii_alphanumeric() || "-._/".contains(sign);
    let starts = number.starts_with(|sign: char| sign.is_ascii_alphanumeric());
    let has_digit = number.bytes().any(|sign| sign.is_ascii_digit());
    let sound = starts && has_digit && number.chars().all(signs) && number.len() <= LONGEST_NUMBER;
    if !sound && wrong.is_empty() {
        wrong.say(
            "number",
            Said::new(format!("“{number}” cannot be a job number"))
                .allowed(format!(
                    "letters, digits and - . _ /, with a digit, at most {LONGEST_NUMBER} characters"
                ))
                .hint("write it as on the work order, without spaces"),
        );
    }
    number
}

/// The table `[job]` without its number, with everything that is wrong with it.
pub(super) fn identity(wrong: &mut Wrong, typed: &Typed) -> Fields {
    let mut job = Fields::new();
    for (key, label, _, needed) in FIELDS {
        let value = if needed { wrong.need(typed, key, &label.to_lowercase()) } else { typed.get(key) };
        if value.chars().count() > LONGEST {
            let said =
                Said::new(format!("{} has {} characters", label.to_lowercase(), value.chars().count()));
            wrong.say(
                key,
                said.allowed(format!("up to {LONGEST} characters"))
                    .hint("shorten it; a remark can hold more"),
            );
        } else if !value.is_empty() {
            job.insert(key.to_owned(), text(value));
        }
    }
    judge(wrong, &job);
    job
}

/// What the reader of job sheets says about the table, beside its fields; what is empty was said already.
fn judge(wrong: &mut Wrong, job: &Fields) {
    let mut job = job.clone();
    job.insert("number".to_owned(), text("1"));
    let Ok(written) = (SheetFields { job, ..SheetFields::default() }).text() else { return };
    let Err(faults) = JobSheet::parse(&written) else { return };
    for (place, said) in sheet_faults::by_key(&faults, |_| None) {
        if place.table == "job" && wrong.of(&place.key).is_empty() {
            wrong.say(place.key, said);
        }
    }
}

/// The number after that of the newest job, its last digits counted on until nobody has it.
fn proposed(store: &Store) -> Result<String, StoreError> {
    let newest = store.jobs(&Filter::All, 1, 0)?;
    let mut number = newest.first().map_or_else(|| "J-0000".to_owned(), |job| job.number.clone());
    loop {
        number = next(&number);
        if store.job(&number)?.is_none() {
            return Ok(number);
        }
    }
}

/// The number with its last digits counted on by one; as many digits as before, or one more.
fn next(number: &str) -> String {
    let (head, digits) = number.split_at(number.trim_end_matches(|sign: char| sign.is_ascii_digit()).len());
    match digits.parse::<u64>().ok().and_then(|count| count.checked_add(1)) {
        Some(count) => format!("{head}{count:0width$}", width = digits.len()),
        None => format!("{number}-1"),
    }
}

#[cfg(test)]
mod tests {
    use super::next;

    #[test]
    fn the_last_digits_count_on() {
        let check = |from: &str, to: &str| assert_eq!(next(from), to);
        check("HP-0231", "HP-0232");
        check("HP-0999", "HP-1000");
        check("99", "100");
        check("2026/A", "2026/A-1");
        check("W-18446744073709551615", "W-18446744073709551615-1");
    }
}
