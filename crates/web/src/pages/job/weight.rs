//! The balance weights of a job: meant, cast, trimmed, fitted, and what the surface weighed after that.
//!
//! Here: the list of a job's weights, and one weight with its picture and files. [`design`] designs one, [`trim`] has the
//! casting on the scale, [`fit`] fits it, [`files`] are its papers, [`mesh`] is the file of one drawn elsewhere. [`drill_out`]
//! and [`drilled`] are the holes in an old weight. Every number comes from crate bench.

pub(crate) mod design;
pub(crate) mod drill_out;
pub(crate) mod drilled;
mod fields;
pub(crate) mod files;
pub(crate) mod fit;
pub(crate) mod mesh;
mod read;
mod scale;
mod sheet;
mod show;
pub(crate) mod trim;

use super::{at, mend, name, step};
use crate::form::{Filled, Wrong};
use crate::parts::{self, Field, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_bench::record::casting;
use hingeline_bench::record::compared::Compared;
use hingeline_bench::record::deed::{Deed, Fields};
use hingeline_bench::record::drill_out::{DrillOutMeant, HolesDrilled};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::told;
use hingeline_bench::record::way::Step;
use hingeline_bench::record::weight::BalanceWeight;
use hingeline_bench::weight::{Hand, Worked, words};
use hingeline_sheet::weight::{Poured, shrink_rows};
use maud::{Markup, html};

/// The weight of an address with its job.
async fn weight_at(visit: &Visit, number: &str, entry: &str) -> Result<(Job, BalanceWeight), Problem> {
    let job = visit.job_and_weights(number).await?;
    let weight = job.weight(design::entry_of(entry)?);
    let weight = weight.ok_or_else(|| Problem::not_found(format!("weight {entry} in job {number}")))?;
    Ok((job, weight))
}

/// GET /jobs/{number}/weights
pub(crate) async fn list(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let (weights, holes) = (job.weights(), job.drill_outs());
    let body = html! {
        @if let Some(closed) = super::closed(&job) { (closed) }
        @if weights.is_empty() && holes.is_empty() {
            p.empty { "No weight is designed for this job yet. Say what it must give, where it goes and what form it has: the program finds its size, draws it with templates at true size, and leads through trimming its casting." }
        } @else {
            (table(&job, &weights, &holes))
            @for weight in &weights { (unreadable(&job, weight)) (prediction(&job, weight)) }
            @for meant in &holes { (prediction_of_holes(&job, meant)) }
        }
        (ways_on(&visit, &job, &weights, &holes))
    };
    let lead = "What was meant, what was cast, what was fitted, and what the surface weighed after it.";
    visit.page(
        &name(&job, "Balance weights"),
        step(&job, Some(Step::Correction), "Balance weights", lead, &body),
    )
}

/// The way on from the list: what was fitted is weighed first, and a closed job takes no weight.
fn ways_on(visit: &Visit, job: &Job, weights: &[BalanceWeight], holes: &[DrillOutMeant]) -> Markup {
    let open = visit.may(Who::Worker) && job.released.is_none();
    let fitted = weights.iter().filter_map(|weight| Some(weight.fitted.last()?.correction));
    let drilled = holes.iter().filter_map(|meant| Some(meant.done.last()?.correction));
    let weighed = job.weighings.last().map_or(0, |weighing| weighing.entry);
    let weigh = open && fitted.chain(drilled).any(|correction| weighed < correction);
    let design = at(job.text("number"), "/weights/new");
    html! {
        div.row {
            @if weigh { a.button href=(super::at_step(job, Step::AsLeft)) { "Weigh as left" } }
            @if weigh { a.button.quiet href=(design) { "Design a weight" } }
            @else if open { a.button href=(design) { "Design a weight" } }
            @if open { a.button.quiet href=(at(job.text("number"), "/drill-outs/new")) { "Drill out the old weight" } }
            a.button.quiet href=(at(job.text("number"), "")) { "Back to the job" }
        }
    }
}

/// Meant, cast, fitted, predicted, weighed.
fn table(job: &Job, weights: &[BalanceWeight], holes: &[DrillOutMeant]) -> Markup {
    let mut rows: Vec<Vec<Markup>> = weights
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
    rows.extend(holes.iter().map(|meant| row_of_holes(job, meant)));
    parts::table(
        "Weights of this job",
        &["weight", "intended", "cast", "fitted or drilled", "predicted (k = 2)", "weighed (k = 2)"],
        &rows,
    )
}

/// The same of holes in an old weight.
fn row_of_holes(job: &Job, meant: &DrillOutMeant) -> Vec<Markup> {
    let none = || html! { span.hint { "–" } };
    let compared = job.compared_drilled(meant);
    let compared = compared.as_ref();
    let done: Vec<String> = meant.done.iter().map(HolesDrilled::words).collect();
    vec![
        html! { a href=(address_of_holes(job, meant)) { (title_of_holes(meant)) } " " span.hint { "entry " (meant.entry) } },
        super::kept(&meant.outcome.words(told::units(job)).unwrap_or_default()),
        none(),
        if done.is_empty() {
            none()
        } else {
            html! { (done.join("; ")) }
        },
        compared.map_or_else(none, |compared| super::kept(&compared.predicted_words())),
        compared.and_then(Compared::weighed_words).map_or_else(none, |words| super::kept(&words)),
    ]
}

fn address_of_holes(job: &Job, meant: &DrillOutMeant) -> String {
    at(job.text("number"), &format!("/drill-outs/{}", meant.entry))
}

fn title_of_holes(meant: &DrillOutMeant) -> String {
    let worked = meant.worked().ok();
    worked.map_or_else(|| format!("drilling of entry {}", meant.entry), |worked| worked.sheet.name)
}

/// What a weight is called.
fn title(weight: &BalanceWeight) -> String {
    weight.name().unwrap_or_else(|| format!("weight of entry {}", weight.entry))
}

/// Why a weight cannot be worked out any more; nothing where it can.
fn unreadable(job: &Job, weight: &BalanceWeight) -> Markup {
    let Err(faults) = weight.worked() else { return html! {} };
    let to = at(job.text("number"), &format!("/weights/{}", weight.entry));
    parts::notice(
        Tone::Bad,
        &format!("{} cannot be worked out any more.", super::say::capital(&title(weight))),
        &html! {
            @for fault in &faults.faults { p { (fault.what) } }
            p { "What was worked out when it was " a href=(to) { "entered" } " stands: " (super::kept(&meant(job, weight))) "." }
        },
    )
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

/// The holes that are meant for a station and not drilled yet, for the page of the correction.
pub(super) fn holes_ready(job: &Job, station: &str) -> Markup {
    let holes = job.drill_outs();
    let ready = holes.iter().filter(|meant| meant.station == station && meant.done.is_empty());
    html! {
        @for meant in ready {
            p { a href=(address_of_holes(job, meant)) { "The holes meant for it: " (meant.outcome.words(told::units(job)).unwrap_or_default()) } }
        }
    }
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

/// The same of drilled holes.
fn prediction_of_holes(job: &Job, meant: &DrillOutMeant) -> Markup {
    let Some(compared) = job.compared_drilled(meant) else { return html! {} };
    html! { section.card { h2 { "Predicted and weighed: " (title_of_holes(meant)) } (told_of(&compared)) } }
}

fn told_of(compared: &Compared) -> Markup {
    html! {
        @match compared.explained() {
            Some(true) => p { (parts::badge(Tone::Good, "agrees")) " " (compared.meaning().unwrap_or_default()) },
            Some(false) => p { (parts::badge(Tone::Doubt, "differs")) " " (compared.meaning().unwrap_or_default()) },
            None if compared.weighed.is_some() => p { (parts::badge(Tone::Plain, "not told")) " " (compared.meaning().unwrap_or_default()) },
            None => p { (parts::badge(Tone::Plain, "not weighed yet")) " Weigh the surface as left to see how good the weight is." },
        }
        p.sum { (compared.sum().join("\n")) }
    }
}

/// The weights of a job for its own page: where each stands, and how good the fitted ones are.
pub(in crate::pages) fn on_job(job: &Job) -> Markup {
    let (weights, holes) = (job.weights(), job.drill_outs());
    let none = weights.is_empty() && holes.is_empty();
    html! {
        @if job.card.is_some() && (!none || job.released.is_none()) {
            section.weights-of-job {
                h2 { "Balance weights" }
                @if none { p { "None is designed for this job. " a href=(at(job.text("number"), "/weights/new")) { "Design a weight" } } }
                @for weight in &weights {
                    div.card {
                        p { a href=(at(job.text("number"), &format!("/weights/{}", weight.entry))) { (title(weight)) } ": " (super::kept(&meant(job, weight))) }
                        @if let Some(cast) = cast(weight) { p { "cast: " (cast) } }
                        @if let Some(fitted) = fitted(weight) { p { "fitted: " (fitted) } }
                        (unreadable(job, weight))
                        @if let Some(compared) = job.compared(weight) { (told_of(&compared)) }
                    }
                }
                @for meant in &holes {
                    div.card {
                        p { a href=(address_of_holes(job, meant)) { (title_of_holes(meant)) } ": " (super::kept(&meant.outcome.words(told::units(job)).unwrap_or_default())) }
                        @for done in &meant.done { p { "drilled: " (done.words()) } }
                        @if let Some(compared) = job.compared_drilled(meant) { (told_of(&compared)) }
                    }
                }
                @if !none { p { a href=(at(job.text("number"), "/weights")) { "All weights of this job" } } }
            }
        }
    }
}

/// GET /jobs/{number}/weights/{entry}
pub(crate) async fn page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let Ok(worked) = weight.worked() else {
        return visit.page(&name(&job, "Balance weight"), without_its_file(&visit, &job, &weight));
    };
    let mut wrong = Wrong::default();
    files::shrinkage(&visit.query, &mut wrong);
    let mut typed = visit.query.clone();
    if !typed.has("shrinkage") {
        typed.set("shrinkage", "1 %");
    }
    let filled = Filled { typed, wrong };
    visit.page(&name(&job, "Balance weight"), one(&visit, &job, &weight, &worked, &filled))
}

/// A weight that cannot be worked out any more: why, and what the record says of it.
fn without_its_file(visit: &Visit, job: &Job, weight: &BalanceWeight) -> Markup {
    let body = html! {
        @if let Some(closed) = super::closed(job) { (closed) }
        (unreadable(job, weight))
        div.split {
            div { (trim::steps(visit, weight)) }
            aside {
                @if let Some(file) = &weight.mesh { (mesh::card(&at(job.text("number"), &format!("/weights/{}/mesh", weight.entry)), file)) }
                (in_record(visit, job, weight, None))
            }
        }
    };
    step(job, Some(Step::Correction), &title(weight), "", &body)
}

/// The entry, and where its numbers come from.
fn in_record(visit: &Visit, job: &Job, weight: &BalanceWeight, worked: Option<&Worked>) -> Markup {
    let line = job.lines.iter().find(|line| line.number == weight.entry);
    html! {
        div.card {
            h2 { "In the record" }
            p { "Entry " (weight.entry) ", " (visit.local(&weight.at)) ", " (weight.by) "." }
            @if !weight.station.is_empty() { p { "For " (weight.station) "." } }
            @if let Some(weighing) = weight.weighing {
                p { "Its moment comes from the weighing of " a href={ (super::at(job.text("number"), "/ledger")) "#entry-" (weighing) } { "entry " (weighing) } "." }
            }
            @if let Some(worked) = worked { p { "Asked for: " (words::asked(worked)) "." } }
            @if let Some(to) = line.and_then(|line| mend::offered(visit, job, line)) { p { a.mend href=(to) { "strike it" } } }
        }
    }
}

fn one(visit: &Visit, job: &Job, weight: &BalanceWeight, worked: &Worked, filled: &Filled) -> Markup {
    let at = |rest: &str| at(job.text("number"), &format!("/weights/{}{rest}", weight.entry));
    let may = visit.may(Who::Worker) && job.released.is_none();
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
                @if let Some(file) = &weight.mesh { (mesh::card(&at("/mesh"), file)) }
                (papers(&at, worked, filled))
                (in_record(visit, job, weight, Some(worked)))
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
            p.hint { "grown by " (hingeline_bench::words::plain(percent)) " %, as cast, before holes" @if worked.sheet.hand == Hand::Left { ", of a left-hand surface" } "; one unit of the file is 1 " (worked.sheet.units.length.symbol) }
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
        Deed::WeightIntended { sheet, station, outcome, mesh, .. } => {
            let units = told::units(job);
            let comes = [outcome.mass(units.mass), outcome.moment(units)];
            let comes = comes.into_iter().flatten().collect::<Vec<_>>().join(", ");
            html! {
                "Balance weight intended" @if !station.is_empty() { " for " (station) } ": " (comes) " finished"
                @if let Some(file) = mesh { ", from the file " (file.name) " (BLAKE3 " span.mono { (file.file) } ")" }
                details { summary { "Its sheet" } pre { (sheet) } }
            }
        }
        Deed::WeightWeighed { weight, step, cast, scale, before } => {
            let on = scale.as_ref().map(casting::words).unwrap_or_default();
            let check = before.as_ref().map(casting::check_words).unwrap_or_default();
            html! {
                "Casting of " (of(*weight)) " on the scale, " (step) ": " (on_scale(cast))
                @if !on.is_empty() { "; " (on) }
                @if !check.is_empty() { "; " (check) }
            }
        }
        Deed::WeightFitted { weight, correction, piece } => {
            html! { "Fitted: " (piece) " of " (of(*weight)) "; its mass stands in entry " (correction) }
        }
        Deed::DrillOutIntended { sheet, station, outcome, .. } => {
            let words = outcome.words(told::units(job)).unwrap_or_default();
            html! {
                "Holes meant" @if !station.is_empty() { " at " (station) } ": " (words)
                details { summary { "Their sheet" } pre { (sheet) } }
            }
        }
        Deed::DrilledOut { drill_out, correction, holes, mass_from, within } => html! {
            "Drilled out: " (holes) " of entry " (drill_out) "; the mass stands in entry " (correction) ", " (mass_from)
            @if !within.is_empty() { ", known within " (within) }
        },
        _ => html! {},
    }
}

fn on_scale(cast: &Fields) -> String {
    let text = |key: &str| super::say::text(cast, key);
    let arm = text("arm");
    if arm.is_empty() {
        text("mass").to_owned()
    } else {
        format!("{}, centre {arm} {}", text("mass"), text("side"))
    }
}
