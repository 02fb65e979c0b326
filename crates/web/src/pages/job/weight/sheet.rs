//! What the two forms of a sheet share, that of a new piece and that of holes in the old one: how they begin, where they
//! go, and what the job tells beside them.

use super::fields;
use crate::form::{Filled, Typed};
use crate::pages::job::{at, correction};
use crate::parts::{self, Field, Tone};
use hingeline_bench::record::job::Job;
use maud::{Markup, html};

/// What a job asks of a sheet: its keys with their texts, and the weighing that they come from.
pub(super) type Asked = (Option<u64>, Vec<(&'static str, String)>);

/// The place that a form is for: the one of the address, else the first of the card.
pub(super) fn station(job: &Job, of_address: &str) -> String {
    let first = || correction::stations(job).into_iter().next().unwrap_or_default();
    if of_address.is_empty() { first() } else { of_address.to_owned() }
}

/// A form as the job fills it, with what is usual.
pub(super) fn begun(station: &str, asked: Asked, usual: &[(&str, &str)]) -> Typed {
    let mut typed = Typed::of(asked.1);
    typed.set("station", station);
    for (key, value) in usual {
        typed.set(key, *value);
    }
    typed
}

/// A form as a sheet fills it.
pub(super) fn again(job: &Job, sheet: &str, station: &str) -> Typed {
    let mut typed = Typed::of(fields::filled(sheet));
    typed.set("station", station);
    typed.set("weight.job", job.text("number"));
    typed
}

/// The weighing that the wanted moment comes from: the last one, where it stands in the form as that says it.
pub(super) fn weighing((entry, pairs): &Asked, typed: &Typed) -> Option<u64> {
    let same = |key: &str| pairs.iter().any(|(known, value)| *known == key && typed.get(key) == value);
    entry.filter(|_| same("weight.measured") && !typed.has("weight.moment"))
}

/// What stands over a form where the last weighing is not the last that was done.
pub(super) fn overtaken(job: &Job) -> Markup {
    let worked = job.assessment().and_then(Result::ok).is_some_and(|assessment| assessment.worked_on_since);
    html! {
        @if worked {
            (parts::notice(Tone::Doubt, "Work was done since the last weighing.", &html! { p { "The measured moment below does not know of it: weigh first." } }))
        }
    }
}

/// Where the numbers that the job filled in come from.
pub(super) fn source(job: &Job, from: Option<u64>) -> Markup {
    let number = job.text("number");
    let weighed = job.weighings.iter().find(|weighing| Some(weighing.entry) == from);
    html! {
        input type="hidden" name="weight.job" value=(number);
        @if let Some(weighing) = weighed {
            p.hint { "Measured and aim come from the weighing " (weighing.stage()) ", "
                a href={ (at(number, "/ledger")) "#entry-" (weighing.entry) } { "entry " (weighing.entry) } ", and the limits of this job." }
        }
    }
}

/// The choice of a place of the card.
pub(super) fn place(job: &Job, label: &str, hint: &str, filled: &Filled) -> Markup {
    let stations = correction::stations(job);
    let mut places: Vec<(&str, &str)> = vec![("", "no place of the card")];
    places.extend(stations.iter().map(|name| (name.as_str(), name.as_str())));
    let field = Field::choice("station", label, &places);
    html! { div.full { @if hint.is_empty() { (field.show(filled)) } @else { (field.hint(hint).show(filled)) } } }
}
