//! The overview of a job: where it stands, what comes next, and everything that was done.

use super::{at, at_step, correction, head, mend, name, photo, release, rounds, say, sign, weigh, weight};
use crate::parts::{self, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use hingeline_bench::record::card::{self, Standing};
use hingeline_bench::record::concern;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::{Job, Line};
use hingeline_bench::record::way::{LOOK, Step};
use hingeline_bench::words::{self, Voice};
use hingeline_bench::{Assessment, Faults, arithmetic};
use hingeline_sheet::drawing::{Canvas, band, bench};
use hingeline_sheet::{Palette, SheetError, band_drawing, bench_drawing};
use hingeline_store::Unfinished;
use maud::{Markup, html};

/// GET /jobs/{number}
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let title = name(&job, job.text("surface"));
    let mut unfinished = visit.app.ask(|store| store.unfinished()).await?;
    unfinished.retain(|form| form.job == number);
    visit.page(&title, content(&visit, &job, &unfinished))
}

fn content(visit: &Visit, job: &Job, unfinished: &[Unfinished]) -> Markup {
    let judged = job.assessment();
    let assessment = judged.as_ref().and_then(|judged| judged.as_ref().ok());
    html! {
        (head(job, None))
        h1.unseen { (job.text("surface")) ", job " (job.text("number")) }
        (sent_back(visit, job))
        (banner(visit, job, judged.as_ref()))
        (super::limits::standing_of(visit, job))
        @if let Some(assessment) = assessment { (rounds::look_first(&concern::concerns(job, assessment))) }
        (drafts(visit, job, unfinished))
        (next(visit, job, &first(job, assessment)))
        div.split {
            div {
                @if let Some(assessment) = assessment { (drawings(assessment)) }
                section { h2 { "Rounds" } (rounds::list(visit, job, assessment)) }
                (weight::on_job(job))
                (findings(visit, job))
                (signatures(visit, job))
                (photos(visit, job))
                (remarks(visit, job))
            }
            aside {
                @if job.released.is_none() { (steps(job)) }
                (identity(visit, job))
                (limits(visit, job))
                (release::sheets(job))
            }
        }
    }
}

/// The weighings that somebody began and did not enter, each leading back to its page.
fn drafts(visit: &Visit, job: &Job, unfinished: &[Unfinished]) -> Markup {
    let pages: Vec<(&Unfinished, String, String)> = unfinished
        .iter()
        .filter_map(|form| weigh::draft_page(job, &form.form).map(|(what, to)| (form, what, to)))
        .collect();
    html! {
        @for (form, what, to) in &pages {
            (parts::notice(Tone::Doubt, "A weighing is typed and not entered yet.", &html! {
                p { (say::capital(what)) ", last changed " (visit.local(&form.at)) " by " (form.by) "." }
                div.row { a.button.quiet href=(to) { "Go on with it" } }
            }))
        }
    }
}

/// Why an inspector sent the job back, until it is signed off anew.
pub(super) fn sent_back(visit: &Visit, job: &Job) -> Markup {
    html! {
        @if let Some((line, reason)) = job.sent_back() {
            (parts::notice(Tone::Bad, "Sent back by the inspector", &html! {
                p { strong { (reason) } }
                p { (line.by) ", " (visit.local(&line.at)) ", entry " (line.number) ". It stands here until the job is signed off anew." }
            }))
        }
    }
}

/// The verdict of the last weighing, as the one big sentence.
fn banner(visit: &Visit, job: &Job, judged: Option<&Result<Assessment, Faults>>) -> Markup {
    match judged {
        Some(Ok(assessment)) => verdict(visit, job, assessment),
        Some(Err(faults)) => parts::notice(
            Tone::Bad,
            "The weighings cannot be judged by the limits of this job.",
            &html! {
                ul { @for fault in &faults.faults { li { (fault.what) } } }
            },
        ),
        None => parts::verdict(
            Tone::Plain,
            "Not weighed yet",
            if job.card.is_some() { "" } else { "and no approved limits are chosen" },
            &html! {},
        ),
    }
}

fn verdict(visit: &Visit, job: &Job, assessment: &Assessment) -> Markup {
    let last = assessment.last();
    let voice = Voice::of(last, assessment.sheet.limits.units);
    let sum = arithmetic::moment(last, assessment.sheet.limits.units);
    let working = html! {
        p.hint { (last.taken.stage.word()) ", " (last.taken.date) }
        @if let Some(step) = sum.iter().find(|step| step.formula.starts_with("S = ")) { p.sum { (step.line()) } }
        @if !last.reasons.is_empty() {
            (parts::notice(Tone::Bad, "Not valid for release", &html! { ul { @for reason in &last.reasons { li { (words::reason(reason)) } } } }))
        }
        @if job.changed_since_weighing() {
            (parts::notice(Tone::Doubt, "Work was done since this weighing.", &html! { p { "The surface is not as it was weighed; weigh it again." } }))
        }
    };
    let tone = match rounds::tone(last) {
        Tone::Good if job.changed_since_weighing() || card::stop(&visit.shop, job).is_some() => Tone::Doubt,
        tone => tone,
    };
    parts::verdict(tone, &words::verdict(last, &voice), &words::doubt(last, &voice), &working)
}

/// What is done before the last weighing is corrected; empty where nothing comes before, or another step is next.
fn first(job: &Job, assessment: Option<&Assessment>) -> Vec<String> {
    let last = assessment.filter(|_| job.now() == Step::Correction).map(Assessment::last);
    last.map_or_else(Vec::new, words::before_correcting)
}

/// What comes next, as large buttons.
fn next(visit: &Visit, job: &Job, first: &[String]) -> Markup {
    let number = job.text("number");
    if let Some(stop) = card::stop(&visit.shop, job) {
        return another_card(visit, job, &stop);
    }
    let step = job.now();
    let missing = job.missing(step);
    html! {
        section.next {
            div {
                h2 { @if missing.is_empty() { "Released" } @else if !first.is_empty() { "Next: another weighing" } @else { "Next: " (step.task()) } }
                @if !first.is_empty() { (correction::do_first(first)) }
                @else if missing.len() > 1 { ul.tight { @for what in &missing { li { (what) } } } }
                @else if let Some(what) = missing.first() { p { (say::capital(what)) } }
                @if let Some((_, reason)) = job.sent_back() { p { "First what the inspector asks for: " strong { (reason) } } }
            }
            div.row {
                @if job.released.is_some() { a.button href=(at(number, "/release.pdf")) { "Release sheet (PDF)" } }
                @if visit.may(Who::Worker) { (buttons(visit, job, step, first)) }
                @else if job.released.is_none() { p.hint { "A technician or an inspector goes on from here." } }
                @if visit.may(Who::Worker) {
                    a.button.quiet href=(at(number, "/note")) { "Remark" }
                    a.button.quiet href=(at(number, "/photo")) { "Photograph" }
                }
                a.button.quiet href=(at(number, "/ledger")) { "Ledger" }
            }
            @if step == Step::Inspection && visit.may(Who::Worker) {
                div.voids { p.hint { "These take the performer’s signature away:" } div.row { (on_the_bench(job)) } }
            }
        }
    }
}

/// What comes next where nothing may be signed by the card: another card, before anything else.
fn another_card(visit: &Visit, job: &Job, stop: &Standing) -> Markup {
    let number = job.text("number");
    html! {
        section.next {
            div { h2 { "Next: another card" } p { (say::capital(&stop.words())) "." } }
            div.row {
                @if visit.may(Who::Worker) {
                    a.button href=(at_step(job, Step::Limits)) { "Choose another card" }
                    a.button.quiet href=(at(number, "/note")) { "Remark" }
                    a.button.quiet href=(at(number, "/photo")) { "Photograph" }
                } @else { p.hint { "A technician or an inspector goes on from here." } }
                a.button.quiet href=(at(number, "/ledger")) { "Ledger" }
            }
        }
    }
}

/// The buttons of a step: the one that the record asks for, then what else the bench does here.
fn buttons(visit: &Visit, job: &Job, step: Step, first: &[String]) -> Markup {
    let number = job.text("number");
    let to = |step: Step, word: &str| html! { a.button href=(at_step(job, step)) { (word) } };
    let quiet = |to: String, word: &str| html! { a.button.quiet href=(to) { (word) } };
    match step {
        Step::Receive => {
            html! { (to(step, "Look it over")) @if job.card.is_none() { (quiet(at_step(job, Step::Limits), "Choose the limits")) } @else { (quiet(at_step(job, Step::AsFound), "Weigh as found")) } }
        }
        Step::Limits => to(step, "Choose the limits"),
        Step::AsFound => html! { (to(step, "Weigh as found")) (quiet(at(number, "/work"), "Work")) },
        Step::Correction if !first.is_empty() => {
            html! { (to(weighed(job), "Weigh again")) (quiet(at(number, "/work"), "Work")) (quiet(at_step(job, step), "Correct it all the same")) }
        }
        Step::Correction => {
            html! { (to(step, "Correct it")) (quiet(at(number, "/work"), "Work")) (quiet(at_step(job, weighed(job)), "Weigh again")) }
        }
        Step::AsLeft => {
            html! { (to(step, "Weigh as left")) (quiet(at_step(job, Step::Correction), "Correction")) (quiet(at(number, "/work"), "Work")) }
        }
        Step::SignOff => html! { (to(step, "Sign off")) (on_the_bench(job)) },
        Step::Inspection if may_inspect(visit, job) => to(step, "Inspect"),
        Step::Inspection => html! {
            p.hint { "An inspector who took no part in the work goes on from here. " a href=(at_step(job, step)) { "What is inspected" } }
        },
        Step::Release => {
            html! { @if job.released.is_none() { (to(step, "Release")) } @else { (quiet(at_step(job, Step::Release), "Log-book text")) } }
        }
    }
}

/// The step of the last weighing.
fn weighed(job: &Job) -> Step {
    if job.as_left().is_some() { Step::AsLeft } else { Step::AsFound }
}

/// What may still be done to the surface after its last weighing.
fn on_the_bench(job: &Job) -> Markup {
    let number = job.text("number");
    let quiet = |to: String, word: &str| html! { a.button.quiet href=(to) { (word) } };
    html! {
        @if !job.weighings.is_empty() { (quiet(at_step(job, Step::Correction), "Correction")) }
        (quiet(at(number, "/work"), "Work"))
        @if !job.weighings.is_empty() { (quiet(at_step(job, Step::AsLeft), "Weigh again")) }
    }
}

/// Whether the person who is logged in may inspect this job.
fn may_inspect(visit: &Visit, job: &Job) -> bool {
    let deed = Deed::SentBack { reason: String::new() };
    visit.me.as_ref().is_some_and(|me| visit.shop.allows_in(job, &deed, &me.person).is_ok())
}

/// Bench and band, for a desk and for a phone.
fn drawings(assessment: &Assessment) -> Markup {
    let (stand, band_of) = (bench_drawing(assessment), band_drawing(assessment));
    let both = |draw: &dyn Fn(Canvas) -> Result<Markup, SheetError>| {
        html! {
            @for (class, canvas) in [("wide-only", Canvas::WIDE), ("phone-only", Canvas::PHONE)] {
                @match draw(canvas) {
                    Ok(svg) => div class=(class) { (svg) },
                    Err(error) => p class=(class) { "The drawing cannot be made: " (error) },
                }
            }
        }
    };
    let palette = Palette::page();
    html! {
        figure.drawing { (both(&|canvas| bench(&stand, &palette, canvas))) figcaption { "The stand of the last weighing, to scale" } }
        figure.drawing { (both(&|canvas| band(&band_of, &palette, canvas))) figcaption { "The approved band with every weighing and its uncertainty" } }
    }
}

/// What every step still misses.
fn steps(job: &Job) -> Markup {
    html! {
        div.card {
            h2 { "The way" }
            ol.misses {
                @for (step, _, word) in Step::ALL {
                    @let missing = job.missing(step);
                    li class=(if missing.is_empty() { "done" } else { "open" }) {
                        a href=(at_step(job, step)) { (word) }
                        @if missing.is_empty() { span.unseen { ", done" } }
                        @else if step <= job.now() { ul.tight { @for what in &missing { li { (what) } } } }
                        @else { span.hint { " " (missing.join("; ")) } }
                    }
                }
            }
        }
    }
}

fn identity(visit: &Visit, job: &Job) -> Markup {
    let received = job.lines.iter().find(|line| matches!(line.deed, Deed::Received { .. }));
    let facts: Vec<(&str, Markup)> = say::IDENTITY
        .into_iter()
        .filter(|(key, _)| !job.text(key).is_empty())
        .map(|(key, word)| (word, html! { (job.text(key)) }))
        .collect();
    let history = crate::pages::jobs::history_link(job.text("part"), job.text("serial"));
    html! {
        div.card {
            h2 { "Surface" }
            (parts::facts(&facts))
            p { a href=(history) { "History of this surface" } " · " a href=(at(job.text("number"), "/tag")) { "Tag" } @if let Some(to) = received.and_then(|line| mend::offered(visit, job, line)) { " · " a.mend href=(to) { "mend" } } }
        }
    }
}

fn limits(visit: &Visit, job: &Job) -> Markup {
    let Some((number, content)) = &job.card else { return html! {} };
    html! {
        div.card {
            h2 { "Limits: card " (number) }
            (super::limits::card(content))
            @if visit.may(Who::Worker) && job.released.is_none() { p { a href=(at_step(job, Step::Limits)) { "Choose another card" } } }
        }
    }
}

fn findings(visit: &Visit, job: &Job) -> Markup {
    html! {
        @if !job.findings.is_empty() {
            section {
                h2 { "Incoming look" }
                ul.findings { @for (item, word) in LOOK {
                    @if let Some(finding) = job.findings.get(item) {
                        @let tone = match finding.state.as_str() { "in order" => Tone::Good, "finding" => Tone::Doubt, _ => Tone::Plain };
                        li { (parts::badge(tone, &finding.state)) " " (word) @if !finding.text.is_empty() { ": " (finding.text) } }
                    }
                } }
                @if visit.may(Who::Worker) && job.released.is_none() { p { a href=(at(job.text("number"), "/look")) { "Look again" } } }
            }
        }
    }
}

fn signatures(visit: &Visit, job: &Job) -> Markup {
    let signatures = job.signatures();
    html! {
        @if !signatures.is_empty() {
            section { h2 { "Signatures" } div.cards { @for signed in &signatures { (sign::given(visit, signed)) } } }
        }
    }
}

fn photos(visit: &Visit, job: &Job) -> Markup {
    let photos: Vec<Markup> = job.lines.iter().filter_map(|line| photo_of(visit, job, line)).collect();
    html! {
        @if !photos.is_empty() { section { h2 { "Photographs" } div.photos { @for photo in &photos { (photo) } } } }
    }
}

fn photo_of(visit: &Visit, job: &Job, line: &Line) -> Option<Markup> {
    let Some(Deed::Photographed { file, caption, .. }) = job.stands(line.number) else { return None };
    let by = html! { small { " " (visit.local(&line.at)) ", " (line.by) } };
    Some(photo::thumbnail(job, file, caption, &by))
}

fn remarks(visit: &Visit, job: &Job) -> Markup {
    let noted = |line: &&Line| matches!(line.deed, Deed::Noted { .. });
    let lines: Vec<&Line> = job.lines.iter().filter(noted).collect();
    html! {
        @if !lines.is_empty() {
            section { h2 { "Remarks" } ol.remarks { @for line in lines { li {
                @match job.stands(line.number) {
                    Some(Deed::Noted { text }) => p { (text) },
                    _ => p { del { (say::deed(job, &line.deed)) } },
                }
                p.by { (visit.local(&line.at)) " · " (line.by) " · entry " (line.number) @if let Some(to) = mend::offered(visit, job, line) { " · " a.mend href=(to) { "mend" } } }
            } } } }
        }
    }
}
