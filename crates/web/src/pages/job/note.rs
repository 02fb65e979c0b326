//! A remark on the job; nothing that was signed is touched by it.

use super::{at, name, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field};
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use maud::{Markup, html};

/// Characters of a remark at most.
const LONGEST: usize = 4000;

/// GET /jobs/{number}/note
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    visit.page(&name(&job, "Remark"), content(&job, &Filled::default()))
}

/// POST /jobs/{number}/note
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let deed = read(&typed, &mut wrong);
    if !wrong.is_empty() {
        return visit.refused(&name(&job, "Remark"), content(&job, &Filled::refused(typed, wrong)));
    }
    visit.enter_job(&number, &[deed], &typed).await?;
    go_saying(&at(&number, ""), "noted")
}

/// What was typed, with everything that is wrong with it.
pub(super) fn read(typed: &Typed, wrong: &mut Wrong) -> Deed {
    let text = wrong.need(typed, "text", "the remark").to_owned();
    let signs = text.chars().count();
    if signs > LONGEST {
        wrong.say(
            "text",
            Said::new(format!("the remark has {signs} characters"))
                .allowed(format!("up to {LONGEST} characters"))
                .hint("make two of it"),
        );
    }
    Deed::Noted { text }
}

/// The inputs, for this form and for mending it.
pub(super) fn fields(filled: &Filled) -> Markup {
    Field::area("text", "Remark", 5).hint("what the next person has to know").needed().show(filled)
}

fn content(job: &Job, filled: &Filled) -> Markup {
    let number = job.text("number");
    let form = html! {
        form.card.flow.column method="post" action=(at(number, "/note")) {
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            (fields(filled))
            div.row { button type="submit" { "Enter the remark" } a.button.quiet href=(at(number, "")) { "Back to the job" } }
        }
    };
    step(job, None, "Remark", "It stands in the record with your name; signatures stay as they are.", &form)
}
