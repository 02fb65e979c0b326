//! Designing a weight: the fields of its sheet, and what they come to.
//!
//! The form is a weight sheet in pieces ([`super::fields`]); every entry is written as one and worked out by crate bench.
//! Handlers: [`page`] shows it, [`preview`] answers an entry for the script, [`act`] takes the whole form.

use super::fields::{self, Def, Kind};
use super::read::Read;
use super::{files, mesh, sheet, show};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::pages::job::{at, closed, name, step};
use crate::parts::{self, Field, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use hingeline_bench::record::deed::{Deed, NamedFile, WeightOutcome};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::record::weight::asked;
use hingeline_bench::weight::{WeightSheet, Worked, work};
use hingeline_sheet::PaperSize;
use maud::{Markup, html};
use std::sync::Arc;

/// The largest sheet that may be pasted, in bytes.
const LARGEST: usize = 100_000;

/// What a form comes to: its piece is worked out apart, since a file may be large.
async fn read(visit: &Visit, typed: &Typed) -> Result<Read<Worked>, Problem> {
    let (typed, named) = (typed.clone(), mesh::named(typed));
    let (shelf, mesh) = (visit.app.store().shelf(), named.clone());
    let read = move || {
        let files = |_: &str| shelf.read(named.as_ref());
        Read::of(&typed, fields::PIECE, |text| WeightSheet::parse_with(text, &files).map(work))
    };
    visit.app.work_out(mesh.as_ref(), read).await
}

fn shown(read: &Read<Worked>) -> [(&'static str, Markup); 5] {
    match read.piece() {
        Some(worked) => show::whole(worked),
        None => show::open(&read.missing, &read.wrong_fields()),
    }
}

/// Nothing of a file varies.
fn settled(mut typed: Typed) -> Typed {
    if typed.get("form.kind") == "mesh" {
        typed.set("vary.what", "nothing");
    }
    typed
}

/// GET /jobs/{number}/weights/new
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let typed = match visit.query.number("from").and_then(|entry| job.weight(entry)) {
        Some(weight) => {
            let mut typed = sheet::again(&job, &weight.sheet, &weight.station);
            mesh::put(&mut typed, weight.mesh.as_ref());
            typed
        }
        None => begun(&job, visit.query.get("station")),
    };
    let read = read(&visit, &typed).await?;
    let filled = Filled { wrong: read.so_far(), typed };
    visit.page(&name(&job, "Design a weight"), content(&visit, &job, &filled, &read))
}

/// The form as the job fills it.
fn begun(job: &Job, of_address: &str) -> Typed {
    let usual = [
        ("weight.material", "lead"),
        ("form.kind", "cap"),
        ("vary.what", "thickness"),
        ("trim.tolerance", "0.5 g"),
        ("trim.for_the_file", "1 g"),
        ("trim.resolution", "0.1 g"),
        ("tool.0.kind", "saw"),
        ("tool.0.kerf", "1 mm"),
        ("tool.0.ends", "2"),
        ("tool.0.most", "1/2 in"),
        ("tool.1.kind", "file"),
        ("tool.1.most", "0.03 in"),
    ];
    let station = sheet::station(job, of_address);
    sheet::begun(&station, asked(job, &station), &usual)
}

/// POST /jobs/{number}/weights/preview
pub(crate) async fn preview(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    visit.job(&number).await?;
    let read = read(&visit, &settled(typed)).await?;
    read.preview(shown(&read))
}

/// POST /jobs/{number}/weights/new
pub(crate) async fn act(visit: Visit, Path(number): Path<String>, typed: Result<Typed, Problem>) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let mut typed = match typed {
        Err(Problem::TooLarge { typed }) => {
            wrong.say("form.file", mesh::too_large("the file is larger than this page takes"));
            let page = refuse(&visit, &job, settled(*typed), wrong).await?;
            return Ok((StatusCode::PAYLOAD_TOO_LARGE, page).into_response());
        }
        typed => settled(typed?),
    };
    mesh::take(&visit, &job, &mut typed, &mut wrong).await?;
    if !wrong.is_empty() {
        return refuse(&visit, &job, typed, wrong).await;
    }
    let pressed = typed.get("do").to_owned();
    typed.set("do", "");
    match pressed.split_once(' ').unwrap_or((pressed.as_str(), "")) {
        ("add", table) => add(&mut typed, table),
        ("without", row) => without(&mut typed, row),
        ("read-sheet", _) => return read_sheet(&visit, &job, &typed).await,
        ("toml", _) => return files::toml(&job, &fields::sheet(&typed, fields::PIECE)),
        ("pdf", paper) => return print(&visit, &job, typed, paper).await,
        ("enter", _) => return enter(&visit, &job, typed).await,
        _ => {}
    }
    let read = read(&visit, &typed).await?;
    let filled = Filled { wrong: read.so_far(), typed };
    visit.page(&name(&job, "Design a weight"), content(&visit, &job, &filled, &read))
}

fn add(typed: &mut Typed, what: &str) {
    let (table, kind) = what.split_once('.').unwrap_or((what, ""));
    if !fields::ROWS.iter().any(|(known, _)| *known == table) {
        return;
    }
    // A row that no page made has no next one.
    let Some(row) = fields::rows(typed, table).last().map_or(Some(0), |last| last.checked_add(1)) else {
        return;
    };
    let first = match table {
        "tool" => "kind",
        "bolt" => "arm",
        "insert" => "material",
        _ => "name",
    };
    typed.set(&format!("{table}.{row}.{first}"), if table == "tool" { kind } else { "" });
}

fn without(typed: &mut Typed, row: &str) {
    let start = format!("{row}.");
    let rest: Vec<(String, String)> =
        typed.pairs().iter().filter(|(key, _)| !key.starts_with(&start)).cloned().collect();
    *typed = Typed::of(rest);
}

/// A sheet that was pasted or uploaded takes the place of what stands in the form.
async fn read_sheet(visit: &Visit, job: &Job, typed: &Typed) -> Answer {
    let mut wrong = Wrong::default();
    let text = match typed.file("file") {
        Some(file) => String::from_utf8(file.bytes.to_vec()).unwrap_or_else(|_| {
            wrong.say("file", Said::new("the file is no text").hint("choose a weight sheet, a TOML file"));
            String::new()
        }),
        None => typed.get("sheet").to_owned(),
    };
    if text.len() > LARGEST {
        let said = Said::new("the sheet is too long").allowed(format!("up to {LARGEST} bytes"));
        wrong.say("sheet", said.hint("choose a weight sheet"));
    } else if text.trim().is_empty() && wrong.is_empty() {
        let said = Said::new("there is no sheet").hint("paste the text of one, or choose its file");
        wrong.say("sheet", said);
    } else if let Err(faults) = WeightSheet::parse(&text) {
        // A file that the sheet names is chosen in the form.
        for fault in faults.faults.iter().filter(|fault| fault.key.as_deref() != Some("file")) {
            let mut said = Said::from(fault);
            said.what = format!("line {}: {}", fault.line, said.what);
            wrong.say("sheet", said);
        }
    }
    if wrong.is_empty() {
        let typed = sheet::again(job, &text, typed.get("station"));
        let read = read(visit, &typed).await?;
        let filled = Filled { wrong: read.so_far(), typed };
        return visit.page(&name(job, "Design a weight"), content(visit, job, &filled, &read));
    }
    let mut kept = begun(job, typed.get("station"));
    kept.set("sheet", text);
    let read = read(visit, &kept).await?;
    visit.refused(&name(job, "Design a weight"), content(visit, job, &Filled::refused(kept, wrong), &read))
}

/// The paper of a design that is not entered.
async fn print(visit: &Visit, job: &Job, typed: Typed, paper: &str) -> Answer {
    let size = if paper == "letter" { PaperSize::Letter } else { PaperSize::A4 };
    match read(visit, &typed).await?.worked {
        Ok(worked) if worked.solution().is_some() => {
            let (state, day) = ("not entered in the record".to_owned(), visit.today.to_string());
            files::paper(visit, job, Arc::from(worked), files::Made { state, day }, size).await
        }
        _ => refuse(visit, job, typed, Wrong::default()).await,
    }
}

/// The form again, with what was found wrong already and all else that is wrong with it.
async fn refuse(visit: &Visit, job: &Job, typed: Typed, mut wrong: Wrong) -> Answer {
    let read = read(visit, &typed).await?;
    match &read.worked {
        Err(all) => all.all().for_each(|(field, said)| {
            if wrong.of(field).is_empty() {
                wrong.say(field, said.clone());
            }
        }),
        Ok(worked) if worked.solution().is_none() => {
            let lines = hingeline_bench::weight::words::stopped(worked);
            let said = Said::new(lines.first().cloned().unwrap_or_default());
            wrong.say("", said.hint("change the form or the space until there is a piece"));
        }
        Ok(_) => {}
    }
    visit.refused(&name(job, "Design a weight"), content(visit, job, &Filled::refused(typed, wrong), &read))
}

async fn enter(visit: &Visit, job: &Job, typed: Typed) -> Answer {
    let read = read(visit, &typed).await?;
    let Some((worked, outcome)) = read.piece().and_then(|worked| Some((worked, WeightOutcome::of(worked)?)))
    else {
        return refuse(visit, job, typed, Wrong::default()).await;
    };
    let mesh = worked.sheet.mesh.as_ref();
    let mesh = mesh.map(|mesh| NamedFile { name: mesh.name.clone(), file: mesh.fingerprint.clone() });
    let station = typed.get("station").to_owned();
    let deed = Deed::WeightIntended {
        weighing: sheet::weighing(&asked(job, &station), &typed),
        sheet: read.text,
        station,
        outcome,
        mesh,
    };
    let number = job.text("number");
    let stored = visit.enter_job(number, &[deed], &typed).await?;
    go_saying(&at(number, &format!("/weights/{}", stored.entry.number)), "weight-intended")
}

/// Where the form goes: with what it was begun from, so that its answer has the same address.
fn address(visit: &Visit, number: &str) -> String {
    let of = |key: &str| {
        let value = visit.query.get(key);
        (!value.is_empty()).then(|| format!("{key}={}", parts::escape(value)))
    };
    let query: Vec<String> = ["station", "from"].into_iter().filter_map(of).collect();
    let mark = if query.is_empty() { "" } else { "?" };
    format!("{}{mark}{}", at(number, "/weights/new"), query.join("&"))
}

fn content(visit: &Visit, job: &Job, filled: &Filled, read: &Read<Worked>) -> Markup {
    let number = job.text("number");
    let may = visit.may(Who::Worker);
    let body = html! {
        @if let Some(closed) = closed(job) { (closed) }
        @if !may { (to_read("A technician or an inspector enters a weight. You may work one out here, and screen its fastening; nothing of it is kept.")) }
        (sheet::overtaken(job))
        (parts::form_summary(filled))
        div.weight-design {
            form.flow.weight-form #weight-form method="post" enctype="multipart/form-data" action=(address(visit, number))
                data-whole[may] data-unkept[!may] data-preview=(at(number, "/weights/preview")) {
                (parts::seen(job.entries))
                // What the return key does.
                button.unseen type="submit" name="do" value="redraw" tabindex="-1" { "Work it out" }
                (form(job, filled, read.piece()))
                div.row.weight-actions {
                    @if may && job.released.is_none() { button type="submit" name="do" value="enter" { "Enter as intended" } }
                    button.quiet type="submit" name="do" value="redraw" { "Work it out" }
                    button.quiet type="submit" name="do" value="toml" { "Weight sheet (TOML)" }
                    button.quiet type="submit" name="do" value="pdf a4" { "Drawing, A4" }
                    button.quiet type="submit" name="do" value="pdf letter" { "Drawing, Letter" }
                    a.button.quiet href=(at(number, "/weights")) { "Back to the weights" }
                }
            }
            div.weight-shown aria-live="off" {
                @for (part, markup) in shown(read) { div data-shows=(part) { (markup) } }
            }
        }
        (show::cautions(read.piece()))
        (paste(job, filled))
    };
    let lead = "Say what the piece must give, what it is and what may vary; the program finds the size that gives it.";
    step(job, Some(Step::Correction), "Design a weight", lead, &body)
}

/// Said at the top where somebody may work out and not enter.
pub(super) fn to_read(why: &str) -> Markup {
    parts::notice(Tone::Plain, "To read only", &html! { p { (why) } })
}

/// A sheet from a file, and what the form is as one.
fn paste(job: &Job, filled: &Filled) -> Markup {
    let open = !filled.wrong.of("sheet").is_empty() || !filled.wrong.of("file").is_empty();
    html! {
        details.card open[open] {
            summary { "Take a weight sheet from a file" }
            form.flow method="post" enctype="multipart/form-data" action=(at(job.text("number"), "/weights/new")) {
                input type="hidden" name="station" value=(filled.typed.get("station"));
                (Field::area("sheet", "The text of a weight sheet", 8).hint("it takes the place of what stands in the form; its remarks are not kept").show(filled))
                div.field { label for="f-file" { "Or its file" } input #f-file type="file" name="file" accept=".toml,text/plain"; }
                div.row { button.quiet type="submit" name="do" value="read-sheet" { "Read it" } }
            }
        }
    }
}

/// The fields, table by table.
fn form(job: &Job, filled: &Filled, worked: Option<&Worked>) -> Markup {
    let typed = &filled.typed;
    html! {
        (wanted(job, filled))
        (of_form(filled, worked))
        fieldset.group {
            legend { "Space that it must keep" }
            p.hint { "What is left empty is free." }
            (grid(filled, "space", "space"))
        }
        (many(filled, "hardware", "Hardware", "Screws, inserts, washers: they count with their moment."))
        (many(filled, "hole", "Holes", "Their metal is gone. An insert is a hole and a piece of hardware."))
        (many(filled, "coating", "Coatings", "Primer and paint on the outside."))
        fieldset.group {
            legend { "Casting and trimming" }
            (grid(filled, "trim", "trim"))
            @for row in fields::rows(typed, "tool") { (row_of(filled, "tool", row)) }
            div.row { @for tool in fields::TOOLS {
                button.quiet type="submit" name="do" value={ "add tool." (tool) } { "Add a " (tool) }
            } }
            p.hint { "An insert of a denser metal is of use only where a casting comes out too light." }
            @for row in fields::rows(typed, "insert") { (row_of(filled, "insert", row)) }
            div.row { button.quiet type="submit" name="do" value="add insert" { "Add an insert" } }
        }
        details.group open[typed.has("fastening.bolt")] {
            summary { "Fastening, screened for an engineer to confirm" }
            (grid(filled, "fastening", "fastening"))
            @for table in ["bolt", "plate", "thread"] {
                @for row in fields::rows(typed, table) { (row_of(filled, table, row)) }
                div.row { button.quiet type="submit" name="do" value={ "add " (table) } { "Add a " (table) } }
            }
            details open[fields::defs(typed, "root", "root").iter().any(|def| typed.has(&format!("root.{}", def.key)))] {
                summary { "Root of the arm that the weight stands on" }
                (grid(filled, "root", "root"))
            }
        }
        (parts::hidden(&unused(typed), &[]))
    }
}

/// What is typed into fields that this form does not show: kept in the page, for another form.
fn unused(typed: &Typed) -> Typed {
    let shown = |key: &str| {
        let parts: Vec<&str> = key.split('.').collect();
        match parts.as_slice() {
            // The hash of a file waits for its form, as the file's name does.
            ["mesh"] => typed.get("form.kind") == "mesh",
            [] | [_] => true,
            ["weight", "job"] => true,
            ["form", "kind"] | ["vary", "what"] => true,
            ["tool", _, "kind"] => true,
            [table, rest @ ..] => {
                let row = key.rsplit_once('.').map_or(*table, |(row, _)| row);
                let last = rest.last().copied().unwrap_or("");
                fields::defs(typed, table, row).iter().any(|def| def.key == last)
            }
        }
    };
    Typed::of(typed.pairs().iter().filter(|(key, _)| !shown(key)).cloned())
}

/// What the piece must give: filled from the job.
fn wanted(job: &Job, filled: &Filled) -> Markup {
    let from = sheet::weighing(&asked(job, filled.typed.get("station")), &filled.typed);
    html! {
        fieldset.group {
            legend { "What it must give" }
            (sheet::source(job, from))
            div.fields {
                (sheet::place(job, "Place", "where it is to be fitted", filled))
                @for def in fields::WEIGHT.iter().filter(|def| !["job", "density", "density_uncertainty", "coverage_factor"].contains(&def.key)) {
                    (field(filled, "weight", def))
                }
            }
            details open[filled.typed.has("weight.density")] {
                summary { "Density and reserve of your own" }
                div.fields { @for def in fields::WEIGHT.iter().filter(|def| ["density", "density_uncertainty", "coverage_factor"].contains(&def.key)) {
                    (field(filled, "weight", def))
                } }
            }
        }
    }
}

/// The form and what may vary of it.
fn of_form(filled: &Filled, worked: Option<&Worked>) -> Markup {
    let kind = filled.typed.get("form.kind");
    let kinds: Vec<(&str, &str)> = fields::FORMS.iter().map(|word| (*word, *word)).collect();
    let mut free: Vec<(&str, &str)> = fields::free(kind)
        .into_iter()
        .map(|word| (word, if word == "count" { "the number of plates" } else { word }))
        .collect();
    let what = filled.typed.get("vary.what");
    if !what.is_empty() && !free.iter().any(|(known, _)| *known == what) {
        free.push((what, what));
    }
    html! {
        fieldset.group {
            legend { "The piece" }
            div.fields {
                div.again { (Field::choice("form.kind", "Form", &kinds).needed().show(filled)) }
                div.again { (Field::choice("vary.what", "What may vary", &free).needed().show(filled)) }
            }
            div.row.no-script { button.quiet type="submit" name="do" value="redraw" { "Show the fields of this form" } }
            (grid(filled, "vary", "vary"))
            @if kind == "mesh" { (of_file(filled, worked)) } @else { (grid(filled, "form", "form")) }
        }
    }
}

/// The fields of a piece that was drawn elsewhere: the unit first, then the file, then where it stands.
fn of_file(filled: &Filled, worked: Option<&Worked>) -> Markup {
    html! {
        div.fields {
            @for def in &fields::defs(&filled.typed, "form", "form") {
                @if matches!(def.kind, Kind::File) { (mesh::field(filled, def.label, worked)) }
                @else { (field(filled, "form", def)) }
            }
        }
    }
}

fn many(filled: &Filled, table: &str, title: &str, what: &str) -> Markup {
    html! {
        fieldset.group {
            legend { (title) }
            p.hint { (what) }
            @for row in fields::rows(&filled.typed, table) { (row_of(filled, table, row)) }
            div.row { button.quiet type="submit" name="do" value={ "add " (table) } { "Add " (one(table)) } }
        }
    }
}

fn one(table: &str) -> &'static str {
    match table {
        "hole" => "a hole",
        "coating" => "a coating",
        _ => "hardware",
    }
}

fn row_of(filled: &Filled, table: &str, row: usize) -> Markup {
    let named = format!("{table}.{row}");
    let word = fields::ROWS.iter().find(|(known, _)| *known == table).map_or("", |(_, word)| word);
    let tool = filled.typed.get(&format!("{named}.kind"));
    // A tool of no known kind shows what it may be; what was typed of it waits in the page.
    let known = fields::TOOLS.contains(&tool);
    let title =
        if known { super::super::say::capital(tool) } else { format!("{word} {}", row.saturating_add(1)) };
    let kind = format!("{named}.kind");
    let mut kinds: Vec<(&str, &str)> = vec![("", "choose a tool")];
    kinds.extend(fields::TOOLS.iter().map(|word| (*word, *word)));
    html! {
        fieldset.weight-row {
            legend { (title) }
            @if table == "tool" && known { input type="hidden" name=(kind) value=(tool); }
            @else if table == "tool" { div.again { (Field::choice(&kind, "Tool", &kinds).needed().show(filled)) } }
            (grid(filled, table, &named))
            div.row { button.quiet type="submit" name="do" value={ "without " (named) } { "Take out " (title.to_lowercase()) } }
        }
    }
}

pub(super) fn grid(filled: &Filled, table: &str, row: &str) -> Markup {
    let defs = fields::defs(&filled.typed, table, row);
    html! { @if !defs.is_empty() { div.fields { @for def in &defs { (field(filled, row, def)) } } } }
}

pub(super) fn field(filled: &Filled, row: &str, def: &Def) -> Markup {
    let name = format!("{row}.{}", def.key);
    let fix = |field: Field<'_>| {
        let field = if def.hint.is_empty() { field } else { field.hint(def.hint) };
        let field = if def.needed { field.needed() } else { field };
        field.show(filled)
    };
    match def.kind {
        Kind::Text if name == "weight.name" => html! { div.full { (fix(Field::line(&name, def.label))) } },
        Kind::Text | Kind::File => fix(Field::line(&name, def.label)),
        Kind::Number => fix(Field::line(&name, def.label).keyboard("decimal")),
        Kind::List(rows) => html! { div.full { (fix(Field::area(&name, def.label, rows))) } },
        Kind::Choice(words) => {
            let mut choices: Vec<(&str, &str)> = vec![("", "–")];
            choices.extend(words.iter().map(|word| (*word, *word)));
            let again = ["from", "bolt", "unit", "axes"].contains(&def.key);
            html! { div.again[again] { (fix(Field::choice(&name, def.label, &choices))) } }
        }
    }
}

/// What the store says of an entry in an address.
pub(super) fn entry_of(word: &str) -> Result<u64, Problem> {
    word.parse().map_err(|_| Problem::not_found(format!("weight {word}")))
}
