//! The balance weights of a job: meant, cast, trimmed, fitted, and what the surface weighed after that.
//!
//! Here: the list of a job's weights, and one weight with its picture and files. [`design`] designs one, [`trim`] has the
//! casting on the scale, [`fit`] fits it, [`files`] are its papers. Every number comes from crate bench.

pub(crate) mod design;
mod fields;
pub(crate) mod files;
pub(crate) mod fit;
mod show;
pub(crate) mod trim;

use super::{at, mend, name, step};
use crate::form::{Filled, Wrong};
use crate::parts::{self, Field, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_bench::record::deed::{Deed, Fields};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::told;
use hingeline_bench::record::way::Step;
use hingeline_bench::record::weight::{BalanceWeight, Compared};
use hingeline_bench::weight::{Worked, words};
use hingeline_sheet::weight::{Poured, shrink_rows};
use maud::{Markup, html};

/// The weight of an address with its job.
async fn weight_at(visit: &Visit, number: &str, entry: &str) -> Result<(Job, BalanceWeight), Problem> {
    let job = visit.job(number).await?;
    let weight = job.weight(design::entry_of(entry)?);
    let weight = weight.ok_or_else(|| Problem::not_found(format!("weight {entry} in job {number}")))?;
    Ok((job, weight))
}

/// GET /jobs/{number}/weights
pub(crate) async fn list(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let weights = job.weights();
    let body = html! {
        @if let Some(closed) = super::closed(&job) { (closed) }
        @if weights.is_empty() {
            p.empty { "No weight is designed for this job yet. Say what it must give, where it goes and what form it has: the program finds its size, draws it with templates at true size, and leads through trimming its casting." }
        } @else { (table(&job, &weights)) @for weight in &weights { (prediction(&job, weight)) } }
        (ways_on(&visit, &job, &weights))
    };
    let lead = "What was meant, what was cast, what was fitted, and what the surface weighed after it.";
    visit.page(
        &name(&job, "Balance weights"),
        step(&job, Some(Step::Correction), "Balance weights", lead, &body),
    )
}

/// The way on from the list: what was fitted is weighed first, and a closed job takes no weight.
fn ways_on(visit: &Visit, job: &Job, weights: &[BalanceWeight]) -> Markup {
    let open = visit.may(Who::Worker) && job.released.is_none();
    let to_weigh = |weight: &BalanceWeight| {
        let last = weight.fitted.last();
        last.is_some_and(|piece| {
            job.weighings.last().is_none_or(|weighing| weighing.entry < piece.correction)
        })
    };
    let weigh = open && weights.iter().any(to_weigh);
    let design = at(job.text("number"), "/weights/new");
    html! {
        div.row {
            @if weigh { a.button href=(super::at_step(job, Step::AsLeft)) { "Weigh as left" } }
            @if weigh { a.button.quiet href=(design) { "Design a weight" } }
            @else if open { a.button href=(design) { "Design a weight" } }
            a.button.quiet href=(at(job.text("number"), "")) { "Back to the job" }
        }
    }
}

/// Meant, cast, fitted, predicted, weighed.
fn table(job: &Job, weights: &[BalanceWeight]) -> Markup {
    let rows: Vec<Vec<Markup>> = weights
        .iter()
        .map(|weight| {
            let compared = job.compared(weight);
            let compared = compared.as_ref();
            let none = || html! { span.hint { "–" } };
            vec![
                html! { a href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) { (title(weight)) } " " span.hint { "entry " (weight.entry) } },
                super::kept(&meant(job, weight)),
                cast(weight).unwrap_or_else(none),
                fitted(weight).unwrap_or_else(none),
                compared.map_or_else(none, |compared| super::kept(&compared.predicted_words())),
                compared.and_then(Compared::weighed_words).map_or_else(none, |words| super::kept(&words)),
            ]
        })
        .collect();
    parts::table(
        "Weights of this job",
        &["weight", "intended", "cast", "fitted", "predicted", "weighed"],
        &rows,
    )
}

/// What a weight is called.
fn title(weight: &BalanceWeight) -> String {
    let worked = weight.worked().ok();
    worked.map_or_else(|| format!("weight of entry {}", weight.entry), |worked| worked.sheet.name)
}

/// "0.6129 lb, 3.78 in-lb nose-heavy".
fn meant(job: &Job, weight: &BalanceWeight) -> String {
    let units = told::units(job);
    let said = [weight.outcome.mass(units.mass), weight.outcome.moment(units)];
    said.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The last casting on the scale, and where it stands.
fn cast(weight: &BalanceWeight) -> Option<Markup> {
    let last = weight.casts.last()?;
    let state = weight.worked().ok().and_then(|worked| trim::state(&worked));
    Some(
        html! { (super::say::text(&last.fields, "mass")) @if let Some((tone, word)) = state { " " (parts::badge(tone, word)) } },
    )
}

fn fitted(weight: &BalanceWeight) -> Option<Markup> {
    let said: Vec<String> = weight
        .fitted
        .iter()
        .map(|piece| format!("{}, {}, {}", piece.mass, piece.piece, piece.station))
        .collect();
    (!said.is_empty()).then(|| html! { (said.join("; ")) })
}

/// The weights that are designed for a station and not fitted yet, for the page of the correction.
pub(super) fn ready(job: &Job, station: &str) -> Markup {
    let weights = job.weights();
    let ready = weights.iter().filter(|weight| weight.station == station && weight.fitted.is_empty());
    html! {
        @for weight in ready {
            @let kind = weight.worked().map_or("weight", |worked| worked.sheet.kind);
            @let mass = weight.outcome.mass(told::units(job).mass).unwrap_or_default();
            p { a href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) {
                "The " (kind) " designed for it: " (mass)
            } }
        }
    }
}

/// The prediction of a fitted weight beside the weighing after it.
fn prediction(job: &Job, weight: &BalanceWeight) -> Markup {
    let Some(compared) = job.compared(weight) else { return html! {} };
    html! {
        section.card {
            h2 { "Predicted and weighed: " (title(weight)) }
            (told_of(&compared))
        }
    }
}

fn told_of(compared: &Compared) -> Markup {
    html! {
        @match compared.explained() {
            Some(true) => p { (parts::badge(Tone::Good, "agrees")) " " (compared.meaning().unwrap_or_default()) },
            Some(false) => p { (parts::badge(Tone::Doubt, "differs")) " " (compared.meaning().unwrap_or_default()) },
            None => p { (parts::badge(Tone::Plain, "not weighed yet")) " Weigh the surface as left to see how good the weight is." },
        }
        p.sum { (compared.sum().join("\n")) }
    }
}

/// The weights of a job for its own page: where each stands, and how good the fitted ones are.
pub(in crate::pages) fn on_job(job: &Job) -> Markup {
    let weights = job.weights();
    html! {
        @if job.card.is_some() && (!weights.is_empty() || job.released.is_none()) {
            section.weights-of-job {
                h2 { "Balance weights" }
                @if weights.is_empty() { p { "None is designed for this job. " a href=(at(job.text("number"), "/weights/new")) { "Design a weight" } } }
                @for weight in &weights {
                    div.card {
                        p { a href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) { (title(weight)) } ": " (super::kept(&meant(job, weight))) }
                        @if let Some(cast) = cast(weight) { p { "cast: " (cast) } }
                        @if let Some(fitted) = fitted(weight) { p { "fitted: " (fitted) } }
                        @if let Some(compared) = job.compared(weight) { (told_of(&compared)) }
                    }
                }
                @if !weights.is_empty() { p { a href=(at(job.text("number"), "/weights")) { "All weights of this job" } } }
            }
        }
    }
}

/// GET /jobs/{number}/weights/{entry}
pub(crate) async fn page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let worked = files::worked(&weight)?;
    let mut wrong = Wrong::default();
    files::shrinkage(&visit.query, &mut wrong);
    let mut typed = visit.query.clone();
    if !typed.has("shrinkage") {
        typed.set("shrinkage", "1 %");
    }
    let filled = Filled { typed, wrong };
    visit.page(&name(&job, "Balance weight"), one(&visit, &job, &weight, &worked, &filled))
}

fn one(visit: &Visit, job: &Job, weight: &BalanceWeight, worked: &Worked, filled: &Filled) -> Markup {
    let at = |rest: &str| at(job.text("number"), &format!("/weights/{}{rest}", weight.entry));
    let may = visit.may(Who::Worker) && job.released.is_none();
    let line = job.lines.iter().find(|line| line.number == weight.entry);
    let body = html! {
        @if let Some(closed) = super::closed(job) { (closed) }
        (show::headline(worked))
        @if may {
            div.row {
                (trim::next(job, weight, worked))
                a.button.quiet href={ (super::at(job.text("number"), "/weights/new")) "?from=" (weight.entry) } { "Design another from it" }
            }
        }
        div.split {
            div {
                (show::naive(worked))
                (show::drawing(worked))
                @if !weight.casts.is_empty() { (trim::judged(worked)) (trim::ways(worked)) (trim::steps(visit, weight)) }
                (prediction(job, weight))
                (show::rest(worked))
            }
            aside {
                (show::picture(worked))
                (papers(&at, worked, filled))
                div.card {
                    h2 { "In the record" }
                    p { "Entry " (weight.entry) ", " (visit.local(&weight.at)) ", " (weight.by) "." }
                    @if !weight.station.is_empty() { p { "For " (weight.station) "." } }
                    @if let Some(weighing) = weight.weighing {
                        p { "Its moment comes from the weighing of " a href={ (super::at(job.text("number"), "/ledger")) "#entry-" (weighing) } { "entry " (weighing) } "." }
                    }
                    p { "Asked for: " (words::asked(worked)) "." }
                    @if let Some(to) = line.and_then(|line| mend::offered(visit, job, line)) { p { a.mend href=(to) { "strike it" } } }
                }
                (show::cautions(Some(worked)))
            }
        }
    };
    step(job, Some(Step::Correction), &worked.sheet.name, "", &body)
}

/// The files to take along.
fn papers(at: &impl Fn(&str) -> String, worked: &Worked, filled: &Filled) -> Markup {
    let mut wrong = Wrong::default();
    let percent = files::shrinkage(&filled.typed, &mut wrong);
    let poured = Poured::of(worked);
    let pattern = |part: &str, reserve: &str| {
        let part = parts::escape(part);
        format!("{}?part={part}&shrinkage={percent}&reserve={reserve}", at("/pattern.stl"))
    };
    let drawing = |more: &str| format!("{}{more}", at("/drawing.pdf"));
    let halves = worked.solution().map_or(&[][..], |piece| piece.halves.as_slice());
    let rows: Vec<Vec<Markup>> = shrink_rows()
        .into_iter()
        .map(|row| {
            vec![
                html! { (row.percent) },
                html! { (row.printed) ": " (row.source) @if !row.remark.is_empty() { ". " (row.remark) } },
            ]
        })
        .collect();
    html! {
        div.card {
            h2 { "Drawing and templates" }
            p { a href=(at("/drawing.pdf")) { "PDF, A4" } " · " a href=(drawing("?paper=letter")) { "PDF, Letter" } }
            @if let Some(poured) = &poured {
                p.hint { "templates exact, of the trimmed piece" }
                p { a href=(drawing("?reserve=with")) { "PDF with the reserve, A4" } " · " a href=(drawing("?paper=letter&reserve=with")) { "PDF with the reserve, Letter" } }
                p.hint { "templates " (poured.words) ", as poured" }
            }
            p.hint { "Print it at 100 %: the check bars say whether the templates came out at true size." }
            p { a href=(at("/sheet.toml")) { "Weight sheet (TOML)" } }
        }
        div.card #pattern {
            h2 { "Pattern (STL)" }
            form.flow method="get" action={ (at("")) "#pattern" } {
                (Field::line("shrinkage", "Grown by the shrinkage of the metal").hint("1 %; published figures contradict each other, see below").keyboard("decimal").show(filled))
                div.row { button.quiet type="submit" { "Use this" } }
            }
            ul.tight {
                li { a href=(pattern("whole", "with")) { "Whole piece" } }
                @for half in halves { li { a href=(pattern(half.name, "with")) { (super::say::capital(half.name)) " half" } } }
            }
            @if let Some(poured) = &poured {
                p.hint { (poured.words) ": a pattern must give metal to trim" }
                ul.tight {
                    li { a href=(pattern("whole", "without")) { "Whole piece, exact" } }
                    @for half in halves { li { a href=(pattern(half.name, "without")) { (super::say::capital(half.name)) " half, exact" } } }
                }
            }
            p.hint { "grown by " (hingeline_bench::words::plain(percent)) " %, one unit of the file is 1 " (show::units(worked).length.symbol) }
            details { summary { "Published allowances" } (parts::table("They contradict each other", &["growth", "as printed"], &rows)) }
        }
    }
}

/// What stands over the pages of one weight.
fn strip(job: &Job, weight: &BalanceWeight) -> Markup {
    html! {
        p.weight-strip {
            a href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) { (title(weight)) }
            ": " (super::kept(&meant(job, weight))) " finished"
        }
    }
}

/// A deed of a weight in plain words.
pub(super) fn said(job: &Job, deed: &Deed) -> Markup {
    let of = |weight: u64| match job.weight(weight) {
        Some(known) => format!("{} (entry {weight})", title(&known)),
        None => format!("the weight of entry {weight}"),
    };
    match deed {
        Deed::WeightIntended { sheet, station, outcome, .. } => {
            let units = told::units(job);
            let comes = [outcome.mass(units.mass), outcome.moment(units)];
            let comes = comes.into_iter().flatten().collect::<Vec<_>>().join(", ");
            html! {
                "Balance weight intended" @if !station.is_empty() { " for " (station) } ": " (comes) " finished"
                details { summary { "Its sheet" } pre { (sheet) } }
            }
        }
        Deed::WeightWeighed { weight, step, cast } => {
            html! { "Casting of " (of(*weight)) " on the scale, " (step) ": " (casting(cast)) }
        }
        Deed::WeightFitted { weight, correction, piece } => {
            html! { "Fitted: " (piece) " of " (of(*weight)) "; its mass stands in entry " (correction) }
        }
        _ => html! {},
    }
}

fn casting(cast: &Fields) -> String {
    let text = |key: &str| super::say::text(cast, key);
    let arm = text("arm");
    if arm.is_empty() {
        text("mass").to_owned()
    } else {
        format!("{}, centre {arm} {}", text("mass"), text("side"))
    }
}
