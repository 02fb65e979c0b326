//! Work between weighings: paint, repair, cover.

use super::{at, closed, name, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::words::CAUTIONS;
use maud::{Markup, html};

/// The kinds of work with their words.
pub(super) const KINDS: [(&str, &str); 4] =
    [("paint", "paint"), ("repair", "repair"), ("cover", "new cover"), ("other", "other work")];
/// Characters of a text at most.
const LONGEST: usize = 1000;

/// GET /jobs/{number}/work
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    visit.page(&name(&job, "Work"), content(&job, &Filled::with([("kind", visit.query.get("kind"))])))
}

/// POST /jobs/{number}/work
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let deed = read(&typed, &mut wrong);
    if !wrong.is_empty() {
        return visit.refused(&name(&job, "Work"), content(&job, &Filled::refused(typed, wrong)));
    }
    visit.enter_job(&number, &[deed], &typed).await?;
    go_saying(&at(&number, ""), "worked")
}

/// What was typed, with everything that is wrong with it.
pub(super) fn read(typed: &Typed, wrong: &mut Wrong) -> Deed {
    let kind = typed.get("kind").to_owned();
    if !KINDS.iter().any(|(known, _)| *known == kind) {
        wrong.say(
            "kind",
            Said::new("no kind of work is chosen")
                .allowed(KINDS.map(|(_, word)| word).join(", "))
                .hint("choose one"),
        );
    }
    let what = wrong.need(typed, "what", "what was done").to_owned();
    if what.chars().count() > LONGEST {
        wrong.say(
            "what",
            Said::new("the text is too long")
                .allowed(format!("up to {LONGEST} characters"))
                .hint("put the rest into a remark"),
        );
    }
    Deed::Worked { kind, what }
}

/// The inputs, for this form and for mending it.
pub(super) fn fields(filled: &Filled) -> Markup {
    html! {
        (Field::radio("kind", "Kind of work", &KINDS).needed().show(filled))
        (Field::area("what", "What was done", 4).hint("with the data it was done to: repair manual, paint scheme, coats").needed().show(filled))
    }
}

fn content(job: &Job, filled: &Filled) -> Markup {
    let number = job.text("number");
    let form = html! {
        @if let Some(closed) = closed(job) { (closed) }
        @else { div.split {
            form.card.flow method="post" action=(at(number, "/work")) {
                (parts::seen(job.entries))
                (parts::form_summary(filled))
                (fields(filled))
                div.row { button type="submit" { "Enter the work" } a.button.quiet href=(at(number, "")) { "Back to the job" } }
            }
            aside { (parts::caution(CAUTIONS[4])) }
        } }
    };
    let lead = "A repair, a cover or paint changes the balance: after it the surface is weighed again.";
    step(job, Some(Step::Correction), "Work between weighings", lead, &form)
}
