//! Mass that must go: the holes to drill into the old weight, worked out on each entry as the form of a new piece is.
//!
//! The form is a drill sheet in pieces; [`super::drilled`] is the page of what is entered of it.

use super::fields::{self, Def, HOLES};
use super::read::Read;
use super::{design, files, sheet, show};
use crate::form::{Filled, Said, Typed};
use crate::pages::job::{at, closed, name, step};
use crate::parts;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::{Deed, DrillOutcome};
use hingeline_bench::record::drill_out::asked;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::weight::DrillSheet;
use hingeline_bench::weight::drill_out::{Drilled, work};
use maud::{Markup, html};

const TITLE: &str = "Drill out the old weight";
/// The keys of `[weight]` that few sheets need.
const OWN: [&str; 2] = ["density", "density_uncertainty"];

fn read(typed: &Typed) -> Read<Drilled> {
    Read::of(typed, HOLES, |text| DrillSheet::parse(text).map(work))
}

fn shown(read: &Read<Drilled>) -> [(&'static str, Markup); 2] {
    match read.piece() {
        Some(drilled) => show::holes(drilled),
        None => [("headline", show::to_come(&read.missing, &read.wrong_fields())), ("rest", html! {})],
    }
}

/// GET /jobs/{number}/drill-outs/new
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let typed = match visit.query.number("from").and_then(|entry| job.drill_out(entry)) {
        Some(meant) => sheet::again(&job, &meant.sheet, &meant.station),
        None => begun(&job, visit.query.get("station")),
    };
    let read = read(&typed);
    let filled = Filled { wrong: read.so_far(), typed };
    visit.page(&name(&job, TITLE), content(&visit, &job, &filled, &read))
}

/// The form as the job fills it.
fn begun(job: &Job, of_address: &str) -> Typed {
    let usual = [
        ("weight.material", "lead"),
        ("drill_out.diameters", "1/4 in\n5/16 in\n3/8 in"),
        ("drill_out.point", "118 deg"),
        ("drill_out.most_holes", "6"),
    ];
    let station = sheet::station(job, of_address);
    sheet::begun(&station, asked(job, &station), &usual)
}

/// POST /jobs/{number}/drill-outs/preview
pub(crate) async fn preview(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    visit.job(&number).await?;
    let read = read(&typed);
    read.preview(shown(&read))
}

/// POST /jobs/{number}/drill-outs/new
pub(crate) async fn act(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let read = read(&typed);
    match typed.get("do") {
        "toml" => return files::toml(&job, &read.text),
        "enter" => return enter(&visit, &job, typed, read).await,
        _ => {}
    }
    let filled = Filled { wrong: read.so_far(), typed };
    visit.page(&name(&job, TITLE), content(&visit, &job, &filled, &read))
}

async fn enter(visit: &Visit, job: &Job, typed: Typed, read: Read<Drilled>) -> Answer {
    let Some(outcome) = read.piece().and_then(DrillOutcome::of) else {
        let mut wrong = read.worked.as_ref().err().cloned().unwrap_or_default();
        if wrong.is_empty() {
            let said = Said::new("holes there will not do, so nothing is entered");
            wrong.say(
                "",
                said.hint("this page tells what stops it: change the holes, or take mass elsewhere too"),
            );
        }
        return visit.refused(&name(job, TITLE), content(visit, job, &Filled::refused(typed, wrong), &read));
    };
    let station = typed.get("station").to_owned();
    let deed = Deed::DrillOutIntended {
        weighing: sheet::weighing(&asked(job, &station), &typed),
        sheet: read.text,
        station,
        outcome,
    };
    let number = job.text("number");
    let stored = visit.enter_job(number, &[deed], &typed).await?;
    go_saying(&at(number, &format!("/drill-outs/{}", stored.entry.number)), "holes-intended")
}

fn content(visit: &Visit, job: &Job, filled: &Filled, read: &Read<Drilled>) -> Markup {
    let number = job.text("number");
    let may = visit.may(Who::Worker);
    let body = html! {
        @if let Some(closed) = closed(job) { (closed) }
        @if !may { (design::to_read("A technician or an inspector enters what is to be drilled. You may work it out here; nothing of it is kept.")) }
        (sheet::overtaken(job))
        (parts::form_summary(filled))
        div.weight-design {
            form.flow.weight-form #weight-form method="post" action=(at(number, "/drill-outs/new"))
                data-whole[may] data-unkept[!may] data-preview=(at(number, "/drill-outs/preview")) {
                (parts::seen(job.entries))
                // What the return key does.
                button.unseen type="submit" name="do" value="redraw" tabindex="-1" { "Work it out" }
                (form(job, filled))
                div.row.weight-actions {
                    @if may && job.released.is_none() { button type="submit" name="do" value="enter" { "Enter as intended" } }
                    button.quiet type="submit" name="do" value="redraw" { "Work it out" }
                    button.quiet type="submit" name="do" value="toml" { "Weight sheet (TOML)" }
                    a.button.quiet href=(at(number, "/weights")) { "Back to the weights" }
                }
            }
            div.weight-shown aria-live="off" {
                @for (part, markup) in shown(read) { div data-shows=(part) { (markup) } }
            }
        }
        (show::drill_cautions(read.piece()))
    };
    let lead = "Where mass must go: as few holes as will do, just as deep as is needed, and what the scale must say of it.";
    step(job, Some(Step::Correction), TITLE, lead, &body)
}

/// A field of `[weight]` in the words of holes.
fn of_holes(def: Def) -> Def {
    let (label, hint) = match def.key {
        "name" => (def.label, "in words: old horn weight drilled out"),
        "moment" => ("Or the change they must bring", "in place of measured and aim: 0.45 in-lb tail-heavy"),
        "moment_uncertainty" => ("Uncertainty of that change", def.hint),
        _ => (def.label, def.hint),
    };
    Def { label, hint, ..def }
}

fn form(job: &Job, filled: &Filled) -> Markup {
    let from = sheet::weighing(&asked(job, filled.typed.get("station")), &filled.typed);
    let usual = |key: &str| key != "job" && key != "coverage_factor" && !OWN.contains(&key);
    html! {
        fieldset.group {
            legend { "What the holes must bring" }
            (sheet::source(job, from))
            div.fields {
                (sheet::place(job, "Place of the old weight", "", filled))
                @for def in fields::WEIGHT.iter().filter(|def| usual(def.key)) { (design::field(filled, "weight", &of_holes(*def))) }
            }
            details open[filled.typed.has("weight.density")] {
                summary { "Density of your own" }
                div.fields { @for def in fields::WEIGHT.iter().filter(|def| OWN.contains(&def.key)) { (design::field(filled, "weight", def)) } }
            }
        }
        fieldset.group {
            legend { "Where it is drilled, and with what" }
            p.hint { "All holes lie at one arm. Nothing here knows how thick the metal is: the deepest hole must say it." }
            (design::grid(filled, "drill_out", "drill_out"))
        }
    }
}
