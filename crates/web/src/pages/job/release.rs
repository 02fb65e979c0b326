//! The release: the text for the log book, checked by a person, and the sheet as a PDF.

use super::weigh::received_on;
use super::{at, name, rounds, say, sign, step};
use crate::app::Heavy;
use crate::checks;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::problem::{Problem, chain};
use crate::routes::Who;
use crate::visit::{Answer, Given, Visit, file, go_saying};
use axum::extract::Path;
use hingeline_bench::Assessment;
use hingeline_bench::record::card;
use hingeline_bench::record::concern;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::fitted_weight::FittedWeight;
use hingeline_bench::record::job::{Job, Weighing};
use hingeline_bench::record::log::log_text;
use hingeline_bench::record::signed::{Act, Signed};
use hingeline_bench::record::way::{LOOK, Step};
use hingeline_bench::record::weigh as rules;
use hingeline_sheet::paper::{Line, Signature};
use hingeline_sheet::{Beside, PaperSize, Record, recorded_paper};
use maud::{Markup, html};

/// Characters of a text for the log book at most.
const LONGEST: usize = 4000;

/// GET /jobs/{number}/release
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let text = job.released.clone().unwrap_or_else(|| made(&visit, &job));
    visit.page(&name(&job, "Release"), content(&visit, &job, &Filled::with([("log_text", text)])))
}

/// The text that the record makes.
fn made(visit: &Visit, job: &Job) -> String {
    match job.assessment() {
        Some(Ok(assessment)) => log_text(job, &assessment, &card::standing(&visit.shop, job)),
        _ => String::new(),
    }
}

/// POST /jobs/{number}/release
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    if typed.get("do") == "made" {
        let made = Filled::with([("log_text", made(&visit, &job))]);
        return visit.page(&name(&job, "Release"), content(&visit, &job, &made));
    }
    let mut wrong = Wrong::default();
    let log_text = wrong.need(&typed, "log_text", "the text for the log book").to_owned();
    let signs = log_text.chars().count();
    if signs > LONGEST {
        wrong.say(
            "log_text",
            Said::new(format!("the text has {signs} characters"))
                .allowed(format!("up to {LONGEST} characters"))
                .hint("a log-book entry is short"),
        );
    }
    if !wrong.is_empty() {
        return visit.refused(&name(&job, "Release"), content(&visit, &job, &Filled::refused(typed, wrong)));
    }
    visit.enter_job(&number, &[Deed::Released { log_text }], &typed).await?;
    go_saying(&at(&number, "/release"), "released")
}

fn content(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    let waiting = job.inspected.is_none();
    let body = html! {
        div.split {
            div {
                (super::limits::standing_of(visit, job))
                (rounds::look_first(&sign::first(job)))
                @for signed in [Act::SignOff, Act::Inspection].into_iter().filter_map(|act| job.standing(act)) { (sign::given(visit, &signed)) }
                @if let Some(text) = &job.released { (released(job, text)) }
                @else if waiting { (sign::before("Before the release", &missing(visit, job))) (parts::form_summary(filled)) }
                @else if visit.may(Who::Worker) { (form(job, filled)) }
            }
            aside { (sheets(job)) (parts::caution(hingeline_bench::words::CAUTIONS[0])) }
        }
    };
    step(
        job,
        Some(Step::Release),
        "Release",
        "The text for the log book and the sheet that goes with the surface.",
        &body,
    )
}

fn missing(visit: &Visit, job: &Job) -> Vec<String> {
    let mut missing = card::before_sign_off(&visit.shop, job);
    if job.signed.is_none() {
        missing.push("the performer's signature".to_owned());
    }
    missing.push("the independent inspection".to_owned());
    missing
}

fn form(job: &Job, filled: &Filled) -> Markup {
    html! {
        form.card.flow method="post" action=(at(job.text("number"), "/release")) {
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            (Field::area("log_text", "Text for the log book", 8).hint("made from the record: check it, change it, and copy it; local rules come first").needed().show(filled))
            div.row { button type="submit" { "Release the job" } button.quiet type="submit" name="do" value="made" { "Put the made text back" } a.button.quiet href=(at(job.text("number"), "")) { "Not yet" } }
        }
    }
}

fn released(job: &Job, text: &str) -> Markup {
    html! {
        (parts::notice(Tone::Good, "The job is released.", &html! { p { "Its record stays as it is. Mending an entry takes the signatures and the release away." } }))
        section.card {
            h2 { "For the log book" }
            p.log #log-text { (text) }
            div.row { button.quiet.copy type="button" data-copy="log-text" hidden { "Copy the text" } }
        }
        div.row { a.button href=(at(job.text("number"), "/release.pdf")) { "Release sheet (PDF)" } }
    }
}

/// The sheet in both sizes.
pub(super) fn sheets(job: &Job) -> Markup {
    let number = job.text("number");
    html! {
        @if !job.weighings.is_empty() {
            div.card {
                h2 { (if job.released.is_some() { "Release sheet" } else { "Sheet so far, not released" }) }
                p { a href=(at(number, "/release.pdf")) { "PDF, A4" } " · " a href=(at(number, "/release.pdf?paper=letter")) { "PDF, Letter" } }
                p.hint { "with every weighing and its working, the signatures that stand, and the newest hash of this job's record" }
            }
        }
    }
}

/// GET /jobs/{number}/release.pdf
pub(crate) async fn pdf(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let size = match visit.query.get("paper") {
        "letter" => PaperSize::Letter,
        _ => PaperSize::A4,
    };
    let assessment = match job.assessment() {
        Some(Ok(assessment)) => assessment,
        Some(Err(faults)) => {
            return Err(Problem::Unreadable { what: format!("the weighings of this job: {faults}") });
        }
        None => return Err(Problem::not_found(format!("sheet of job {number} before its first weighing"))),
    };
    let record = record(&visit, &job);
    let bytes = visit.app.heavy(Heavy::Paper, move || print(&assessment, record, size)).await??;
    file(Given::ToSee, "application/pdf", &format!("{number}.pdf"), bytes)
}

fn print(assessment: &Assessment, record: Record, size: PaperSize) -> Result<Vec<u8>, Problem> {
    let checks = checks::agree()?;
    recorded_paper(assessment, record, checks, size).map_err(|error| Problem::Defect { what: chain(&error) })
}

/// What the record adds to the sheet.
fn record(visit: &Visit, job: &Job) -> Record {
    let signature = |act: Act| job.standing(act).map(|signed| self::signature(visit, &signed));
    let state = if job.released.is_some() { "released" } else { "not released" };
    let lines =
        |found: Vec<(String, String)>| found.into_iter().map(|(name, value)| Line { name, value }).collect();
    let assessment = job.assessment().and_then(Result::ok);
    let (stops, newer): (Vec<_>, Vec<_>) =
        card::standing(&visit.shop, job).into_iter().partition(card::Standing::stops);
    let concerns = assessment.map_or_else(Vec::new, |judged| concern::concerns(job, &judged));
    Record {
        not_valid: stops.iter().map(card::Standing::words).collect(),
        first: newer.iter().map(card::Standing::words).chain(concerns).collect(),
        look: lines(look(job)),
        remarks: remarks(visit, job),
        weighings: job.weighings.iter().map(|weighing| beside(visit, job, weighing)).collect(),
        performed: signature(Act::SignOff),
        inspected: signature(Act::Inspection),
        done: done(visit, job),
        fitted: fitted(job),
        painted: painted(job),
        log: job.released.clone().unwrap_or_default(),
        head: format!("{state} · record entry {}, hash {}", job.entries, job.head.hex()),
    }
}

fn signature(visit: &Visit, signed: &Signed) -> Signature {
    Signature {
        role: String::new(),
        statement: signed.signature.statement.clone(),
        name: signed.signature.name.clone(),
        certificate: signed.signature.certificate.clone(),
        certificate_kind: signed.signature.kind.clone(),
        date: visit.day_of(&signed.at),
        signed: format!("signed in the record, entry {}", signed.entry),
    }
}

/// Whether paint or primer was part of what was done.
fn painted(job: &Job) -> bool {
    let says = |text: &String| {
        let text = text.to_lowercase();
        text.contains("paint") || text.contains("primer")
    };
    job.works.iter().flat_map(|(_, texts)| texts).any(says)
        || job.corrections.iter().any(|(_, texts)| says(&texts[3]))
}

/// The incoming look, item by item.
fn look(job: &Job) -> Vec<(String, String)> {
    let item = |(item, word): &(&str, &str)| {
        let finding = job.findings.get(*item)?;
        let words = if finding.text.is_empty() {
            finding.state.clone()
        } else {
            format!("{}: {}", finding.state, finding.text)
        };
        Some(((*word).to_owned(), words))
    };
    LOOK.iter().filter_map(item).collect()
}

/// The remarks that count, and how many photographs there are.
fn remarks(visit: &Visit, job: &Job) -> Vec<Line> {
    let standing = || job.lines.iter().filter_map(|line| Some((line, job.stands(line.number)?)));
    let mut remarks: Vec<Line> = standing()
        .filter_map(|(line, deed)| match deed {
            Deed::Noted { text } => Some(said_by(visit, job, line, text.clone())),
            _ => None,
        })
        .collect();
    let back = job.send_backs();
    remarks.extend(back.into_iter().map(|(line, reason)| {
        said_by(visit, job, line, format!("sent back by the inspector, because {reason}"))
    }));
    let captions: Vec<&str> = standing()
        .filter_map(|(_, deed)| match deed {
            Deed::Photographed { caption, .. } => Some(caption.as_str()),
            _ => None,
        })
        .collect();
    let card = card::standing(&visit.shop, job);
    remarks.extend(
        card.iter().map(|standing| Line { name: "approved data".to_owned(), value: standing.words() }),
    );
    if !captions.is_empty() {
        let name = match captions.len() {
            1 => "1 photograph in the record".to_owned(),
            count => format!("{count} photographs in the record"),
        };
        remarks.push(Line { name, value: captions.join("; ") });
    }
    remarks
}

/// A line of the record with who and when, and that it was mended.
fn said_by(visit: &Visit, job: &Job, line: &hingeline_bench::record::job::Line, said: String) -> Line {
    let value = match rounds::mended(job, line.number) {
        Some(mended) => format!("{said} ({mended})"),
        None => said,
    };
    Line { name: format!("{}, {}", visit.local(&line.at), line.by), value }
}

/// What the record knows of a weighing beyond its sheet.
fn beside(visit: &Visit, job: &Job, weighing: &Weighing) -> Beside {
    let before = weighing.before.clone().unwrap_or_default();
    let readings = [("scale empty before", before.zero), ("with its check weight", before.check)];
    let struck = weighing
        .struck
        .iter()
        .map(|struck| format!("{} does not count, because {}", struck.reading, struck.reason));
    let early = rules::dated_early(&weighing.fields, received_on(visit, job));
    let unchecked =
        rules::unchecked(&visit.shop, weighing, |at, day| visit.local(at).starts_with(&day.to_string()));
    Beside {
        readings: readings
            .into_iter()
            .filter(|(_, reading)| !reading.is_empty())
            .map(|(name, value)| Line { name: name.to_owned(), value })
            .collect(),
        notes: struck.chain(unchecked).chain(early).chain(rounds::mended(job, weighing.entry)).collect(),
    }
}

/// The balance weights that were fitted, each under the line of its name.
fn fitted(job: &Job) -> Vec<Line> {
    let lines = |weight: FittedWeight| {
        let name = Line { name: weight.made.words().0.to_owned(), value: weight.name };
        let rest = weight.lines.into_iter().map(|(name, value)| Line { name: name.to_owned(), value });
        std::iter::once(name).chain(rest)
    };
    job.fitted_weights().into_iter().flat_map(lines).collect()
}

/// The corrections and the work that count, in their order.
fn done(visit: &Visit, job: &Job) -> Vec<Line> {
    let lines = job.lines.iter().filter_map(|line| {
        let value = match job.stands(line.number)? {
            Deed::Corrected { station, action, mass, what } => {
                format!("{}; {what}", say::correction(station, action, mass))
            }
            Deed::Worked { kind, what } => format!("{}: {what}", say::work(kind)),
            _ => return None,
        };
        Some(said_by(visit, job, line, value))
    });
    lines.collect()
}
