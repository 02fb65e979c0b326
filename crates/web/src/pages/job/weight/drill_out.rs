//! Mass that must go: the holes to drill into the old weight, worked out on each entry as the form of a new piece is.
//!
//! The form is a drill sheet in pieces; [`super::drilled`] is the page of what is entered of it.

use super::fields::{self, Def, HOLES};
use super::read::Read;
use super::{design, files, show};
use crate::form::{Filled, Said, Typed};
use crate::pages::job::{at, closed, correction, name, step};
use crate::parts::{self, Field, Tone};
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
        Some(meant) => again(&job, &meant.sheet, &meant.station),
        None => begun(&job, visit.query.get("station")),
    };
    let read = read(&typed);
    let filled = Filled { wrong: read.so_far(), typed };
    visit.page(&name(&job, TITLE), content(&visit, &job, &filled, &read))
}

/// The form as the job fills it.
fn begun(job: &Job, station: &str) -> Typed {
    let stations = correction::stations(job);
    let station = Some(station).filter(|station| !station.is_empty());
    let station = station.or(stations.first().map(String::as_str)).unwrap_or("");
    let mut typed = Typed::of(asked(job, station).1);
    typed.set("station", station);
    let usual = [
        ("weight.material", "lead"),
        ("drill_out.diameters", "1/4 in\n5/16 in\n3/8 in"),
        ("drill_out.point", "118 deg"),
        ("drill_out.most_holes", "6"),
    ];
    for (key, value) in usual {
        typed.set(key, value);
    }
    typed
}

/// The form as a sheet fills it.
fn again(job: &Job, sheet: &str, station: &str) -> Typed {
    let mut typed = Typed::of(fields::filled(sheet));
    typed.set("station", station);
    typed.set("weight.job", job.text("number"));
    typed
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
        weighing: weighing(job, &station, &typed),
        sheet: read.text,
        station,
        outcome,
    };
    let number = job.text("number");
    let stored = visit.enter_job(number, &[deed], &typed).await?;
    go_saying(&at(number, &format!("/drill-outs/{}", stored.entry.number)), "holes-intended")
}

/// The weighing that the wanted change comes from: the last one, where it stands in the form as that says it.
fn weighing(job: &Job, station: &str, typed: &Typed) -> Option<u64> {
    let (entry, pairs) = asked(job, station);
    let same = |key: &str| pairs.iter().any(|(known, value)| *known == key && typed.get(key) == value);
    entry.filter(|_| same("weight.measured") && !typed.has("weight.moment"))
}

fn content(visit: &Visit, job: &Job, filled: &Filled, read: &Read<Drilled>) -> Markup {
    let number = job.text("number");
    let may = visit.may(Who::Worker);
    let body = html! {
        @if let Some(closed) = closed(job) { (closed) }
        @if job.assessment().and_then(Result::ok).is_some_and(|assessment| assessment.worked_on_since) {
            (parts::notice(Tone::Doubt, "Work was done since the last weighing.", &html! { p { "The measured moment below does not know of it: weigh first." } }))
        }
        (parts::form_summary(filled))
        div.weight-design {
            form.flow.weight-form #weight-form method="post" action=(at(number, "/drill-outs/new"))
                data-whole[may] data-unkept[!may] data-preview=[may.then(|| at(number, "/drill-outs/preview"))] {
                (parts::seen(job.entries))
                // What the return key does.
                button.unseen type="submit" name="do" value="redraw" tabindex="-1" { "Work it out" }
                (form(job, filled))
                div.row.weight-actions {
                    @if may && job.released.is_none() { button type="submit" name="do" value="enter" { "Enter as intended" } }
                    @if may {
                        button.quiet type="submit" name="do" value="redraw" { "Work it out" }
                        button.quiet type="submit" name="do" value="toml" { "Weight sheet (TOML)" }
                    }
                    a.button.quiet href=(at(number, "/weights")) { "Back to the weights" }
                }
                @if !may { p.hint { "A technician or an inspector works out what is drilled." } }
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
    let number = job.text("number");
    let stations = correction::stations(job);
    let mut places: Vec<(&str, &str)> = vec![("", "no place of the card")];
    places.extend(stations.iter().map(|name| (name.as_str(), name.as_str())));
    let from = weighing(job, filled.typed.get("station"), &filled.typed);
    let weighed = job.weighings.iter().find(|weighing| Some(weighing.entry) == from);
    let usual = |key: &str| key != "job" && key != "coverage_factor" && !OWN.contains(&key);
    html! {
        fieldset.group {
            legend { "What the holes must bring" }
            input type="hidden" name="weight.job" value=(number);
            @if let Some(weighing) = weighed {
                p.hint { "Measured and aim come from the weighing " (weighing.stage()) ", "
                    a href={ (at(number, "/ledger")) "#entry-" (weighing.entry) } { "entry " (weighing.entry) } ", and the limits of this job." }
            }
            div.fields {
                div.full { (Field::choice("station", "Place of the old weight", &places).show(filled)) }
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
