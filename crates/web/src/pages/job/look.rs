//! The incoming look: each item in order, a finding, or not looked at.

use super::{at, closed, name, say, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::{Deed, Finding};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::{LOOK, Step};
use hingeline_bench::words::CAUTIONS;
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The states of an item.
const STATES: [(&str, &str); 3] =
    [("in order", "in order"), ("finding", "finding"), ("not looked", "not looked at")];

/// GET /jobs/{number}/look
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    visit.page(&name(&job, "Incoming look"), content(&visit, &job, &standing(&job.findings)))
}

/// POST /jobs/{number}/look
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let findings = findings(&mut wrong, &typed);
    if !wrong.is_empty() {
        return visit
            .refused(&name(&job, "Incoming look"), content(&visit, &job, &Filled::refused(typed, wrong)));
    }
    visit.enter_job(&number, &[Deed::Looked { findings }], &typed).await?;
    go_saying(&at(&number, ""), "looked")
}

/// The form as the job's findings fill it.
pub(super) fn standing(findings: &BTreeMap<String, Finding>) -> Filled {
    Filled::with(LOOK.iter().flat_map(|(item, _)| {
        let finding = findings.get(*item);
        let state = finding.map_or("not looked", |finding| finding.state.as_str());
        let text = finding.map_or("", |finding| finding.text.as_str());
        [(format!("state.{item}"), state.to_owned()), (format!("text.{item}"), text.to_owned())]
    }))
}

/// What was typed, with everything that is wrong with it.
pub(super) fn findings(wrong: &mut Wrong, typed: &Typed) -> BTreeMap<String, Finding> {
    let mut findings = BTreeMap::new();
    for (item, word) in LOOK {
        let (state, text) = (typed.get(&format!("state.{item}")), typed.get(&format!("text.{item}")));
        let field = format!("state.{item}");
        if !STATES.iter().any(|(known, _)| *known == state) {
            let given = if state.is_empty() {
                format!("“{word}”: nothing is chosen")
            } else {
                format!("“{word}”: “{state}” is no state")
            };
            wrong.say(field, Said::new(given).allowed("in order, finding, not looked at").hint("choose one"));
            continue;
        }
        if state == "finding" && text.is_empty() {
            let said = Said::new(format!("“{word}”: the finding has no words"));
            wrong.say(format!("text.{item}"), said.hint("say what was found, and where"));
        }
        findings.insert(item.to_owned(), Finding { state: state.to_owned(), text: text.to_owned() });
    }
    let looked = findings.values().any(|finding| finding.state != "not looked");
    if wrong.is_empty() && !looked {
        wrong.say("", Said::new("nothing was looked at").hint("look at the surface, then say what you saw"));
    }
    findings
}

fn content(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    let number = job.text("number");
    let form = html! {
        @if let Some(closed) = closed(job) { (closed) }
        div.split {
            form.flow method="post" action=(at(number, "/look")) {
                (parts::seen(job.entries))
                (parts::form_summary(filled))
                (items(filled))
                div.row { @if visit.may(Who::Worker) && job.released.is_none() { button type="submit" { "Enter the look" } } a.button.quiet href=(at(number, "")) { "Later" } }
            }
            aside {
                (parts::caution(CAUTIONS[1]))
                div.card {
                    h2 { "Why look first" }
                    p { "Water in the surface, a stiff bearing or a loose weight changes what the scale reads. What is found here is found before it is weighed." }
                    p { a href=(at(number, "/photo")) { "Take a photograph of a finding" } }
                }
            }
        }
    };
    step(
        job,
        Some(Step::Receive),
        "Incoming look",
        "Each item: in order, a finding in words, or not looked at.",
        &form,
    )
}

/// The inputs of all items, for this form and for mending it.
pub(super) fn items(filled: &Filled) -> Markup {
    html! {
        div.look {
            @for (item, word) in LOOK {
                @let (state, text) = (format!("state.{item}"), format!("text.{item}"));
                div.card.look-item {
                    (Field::radio(&state, &say::capital(word), &STATES).needed().show(filled))
                    (Field::line(&text, "Finding in words").hint("needed where “finding” is chosen").sometimes().show(filled))
                }
            }
        }
    }
}
