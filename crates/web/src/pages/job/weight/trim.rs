//! The casting on the scale: how much must go, how, and what the scale must read then; step by step to inside its
//! tolerance. Each time on the scale is an entry.

use super::{files, scale, strip, weight_at};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::pages::job::correction::ANYWAY;
use crate::pages::job::{at, closed, name, step, weigh};
use crate::parts::{self, Field, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::Faults;
use hingeline_bench::record::deed::{Deed, Field as Told, Fields};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::way::Step;
use hingeline_bench::record::weight::{BalanceWeight, CAST_AGAIN, taken};
use hingeline_bench::weight::result::state_word;
use hingeline_bench::weight::{Worked, words};
use hingeline_bench::words::CAUTIONS;
use hingeline_quantity::{Entered, Mass, Quantity};
use maud::{Markup, html};

/// Characters of what was done at most.
const LONGEST: usize = 300;
const SIDES: [(&str, &str); 3] = [("", "–"), ("forward", "forward"), ("aft", "aft")];
const MASS: &str = "The scale reads";
const ARM: &str = "Arm of its centre";
const SIDE: &str = "On which side of the hinge line";
const TAKEN_ARM: &str = "Arm where mass went";
const TAKEN_SIDE: &str = "On which side";
/// The key of the holes that are in a casting.
const MADE: &str = "holes_made";
/// What is said of another casting in the place of the one before.
const ANOTHER: &str = "cast again";
/// What is said of a casting as it came from the mould.
pub(super) const AS_CAST: &str = "as cast";

/// GET /jobs/{number}/weights/{entry}/trim
pub(crate) async fn page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let worked = files::worked(&weight)?;
    let page = content(&visit, &job, &weight, (&worked, None), &Filled::default());
    visit.page(&name(&job, "Trim the casting"), page)
}

/// POST /jobs/{number}/weights/{entry}/trim
pub(crate) async fn enter(
    visit: Visit,
    Path((number, entry)): Path<(String, String)>,
    typed: Typed,
) -> Answer {
    let (job, weight) = weight_at(&visit, &number, &entry).await?;
    let before = files::worked(&weight)?;
    let mut wrong = Wrong::default();
    let (step, cast) = read(&weight, &before, &typed, &mut wrong);
    risen(&before, &typed, &mut wrong);
    let on = scale::read(&visit, &typed, &mut wrong);
    let (with, table, of) = (cast.clone(), on.table.clone(), weight.clone());
    let look = move || of.worked_with(&with, table.as_ref());
    let after = visit.app.work_out(weight.mesh.as_ref(), look).await?;
    if let (true, Err(faults)) = (wrong.is_empty(), &after) {
        told(faults, &mut wrong);
    }
    let title = name(&job, "Trim the casting");
    let (true, Ok(after)) = (wrong.is_empty(), after) else {
        let page = content(&visit, &job, &weight, (&before, None), &Filled::refused(typed, wrong));
        return visit.refused(&title, page);
    };
    if typed.get("do") == "look" {
        let page = content(&visit, &job, &weight, (&before, Some(&after)), &Filled { typed, wrong });
        return visit.page(&title, page);
    }
    let check = on.checked();
    let deed = Deed::WeightWeighed { weight: weight.entry, step, cast, scale: on.table, before: on.before };
    weigh::write(&visit, (&job, "trim"), &deed, check.as_ref(), &typed).await?;
    go_saying(&at(&number, &format!("/weights/{}/trim", weight.entry)), "cast-weighed")
}

/// What was typed: the step in words and the table `[[cast]]`.
fn read(weight: &BalanceWeight, before: &Worked, typed: &Typed, wrong: &mut Wrong) -> (String, Fields) {
    let mass = wrong.need(typed, "mass", "what the scale reads").to_owned();
    let mut cast = Fields::from([("mass".to_owned(), text(mass))]);
    for key in ["arm", "side"] {
        if typed.has(key) {
            cast.insert(key.to_owned(), text(typed.get(key)));
        }
    }
    let made = typed.all(MADE);
    if !made.is_empty() {
        cast.insert(MADE.to_owned(), Told::List(made.iter().map(|name| (*name).to_owned()).collect()));
    }
    if weight.casts.is_empty() {
        return (AS_CAST.to_owned(), cast);
    }
    let done = typed.get("done");
    if done.is_empty() {
        let said = Said::new("what was done is not chosen");
        wrong.say("done", said.hint("choose what was done since it was last on the scale"));
    }
    let line = words::tools(before).into_iter().find(|tool| tool.goes && tool.tool == done);
    let step = match (line, done) {
        (Some(tool), _) => {
            for (key, value) in taken(before, tool.tool) {
                cast.insert(key.to_owned(), text(value));
            }
            done_by(tool.tool, tool.line.split(": ").next().unwrap_or_default())
        }
        (None, "again") => "weighed again".to_owned(),
        (None, "holes") => {
            if made.is_empty() {
                let said = Said::new("no hole is ticked");
                wrong.say(MADE, said.hint("tick the holes that were made"));
            }
            format!("made: {}", made.join(", "))
        }
        (None, ANOTHER) => {
            cast.insert(CAST_AGAIN.to_owned(), text("true"));
            ANOTHER.to_owned()
        }
        (None, "other") => {
            let what = wrong.need(typed, "what", "what was done, in words").to_owned();
            if what.chars().count() > LONGEST {
                let said = Said::new("the text is too long").allowed(format!("up to {LONGEST} characters"));
                wrong.say("what", said.hint("shorten it"));
            }
            for key in ["taken_arm", "taken_side"] {
                if typed.has(key) {
                    cast.insert(key.to_owned(), text(typed.get(key)));
                }
            }
            what
        }
        (None, "") => String::new(),
        (None, other) => {
            let said = Said::new(format!("“{other}” cannot be done now"));
            wrong.say("done", said.hint("choose one of the ways, or say it in words"));
            String::new()
        }
    };
    (step, cast)
}

/// What was done, beside what was worked out for it: the scale tells how much went.
fn done_by(tool: &str, asked: &str) -> String {
    let done = match tool {
        "saw" => "sawn",
        "drill" => "drilled",
        _ => "filed",
    };
    format!("{done} (worked out: {asked})")
}

const RISEN: &str = "though metal was taken away";

/// A scale that reads more after metal was taken away: the number is asked about.
fn risen(before: &Worked, typed: &Typed, wrong: &mut Wrong) {
    if ["", "again", ANOTHER].contains(&typed.get("done")) || typed.ticked(ANYWAY, "yes") {
        return;
    }
    let Ok(now) = Entered::<Mass>::parse(typed.get("mass")) else { return };
    let trimming = before.sheet.trimming.as_ref();
    if let Some(was) = trimming.and_then(|trimming| trimming.risen(now.value.si())) {
        let said = Said::new(format!("{} is more than the {was} before, {RISEN}", now.text));
        wrong.say("mass", said.hint("look at the number and its unit; if it was so, tick the box below"));
    }
}

/// The holes of the sheet: those that the casting had when it was last on the scale, and those that it had not yet.
pub(super) fn holes(worked: &Worked) -> (Vec<&str>, Vec<&str>) {
    let made = worked.sheet.trimming.as_ref().and_then(|trimming| trimming.made.last());
    let is_made = |(index, _): &(usize, &str)| made.is_some_and(|made| made.contains(index));
    let names = worked.sheet.design.holes.iter().map(|hole| hole.name.as_str()).enumerate();
    let (made, open): (Vec<_>, Vec<_>) = names.partition(is_made);
    (made.into_iter().map(|(_, name)| name).collect(), open.into_iter().map(|(_, name)| name).collect())
}

/// The label of a field that the reader may speak of.
fn label(key: &str) -> &str {
    match key {
        "mass" => MASS,
        "arm" => ARM,
        "side" => SIDE,
        "taken_arm" => TAKEN_ARM,
        "taken_side" => TAKEN_SIDE,
        other => other,
    }
}

/// What the reader says of the new casting, beside its field.
fn told(faults: &Faults, wrong: &mut Wrong) {
    for fault in &faults.faults {
        let key = fault.key.as_deref().unwrap_or("");
        let field = if ["mass", "arm", "side", "taken_arm", "taken_side"].contains(&key) { key } else { "" };
        let mut said = Said::from(fault);
        if let Some((_, rest)) = said.what.split_once(&format!(", {key}: ")) {
            said.what = rest.to_owned();
        }
        if said.what.ends_with(&format!(" has no {key}")) {
            said.what = format!("{} is empty", label(key));
            said.hint = Some("fill in both, or neither".to_owned());
        }
        wrong.say(field, said);
    }
}

/// The state of the last casting: tone and word.
pub(super) fn state(worked: &Worked) -> Option<(Tone, &'static str)> {
    let trimmed = worked.trim.as_ref()?;
    let Ok(trim) = &trimmed.judged else { return Some((Tone::Bad, "not judged")) };
    let word = state_word(trim.state);
    let tone = match word {
        "inside tolerance" => Tone::Good,
        "too light" => Tone::Bad,
        _ => Tone::Doubt,
    };
    Some((tone, word))
}

fn content(
    visit: &Visit,
    job: &Job,
    weight: &BalanceWeight,
    (worked, looked): (&Worked, Option<&Worked>),
    filled: &Filled,
) -> Markup {
    let may = visit.may(Who::Worker) && job.released.is_none();
    let body = html! {
        (strip(job, weight))
        @if let Some(closed) = closed(job) { (closed) }
        @if let Some(looked) = looked {
            (parts::notice(Tone::Plain, "Worked out only: this mass is not entered yet.", &html! {}))
            (judged(looked))
            (ways(looked))
        } @else {
            (judged(worked))
            (scale::notice(&weight.casts))
            @if !may { (ways(worked)) }
            @if may && state(worked).is_some_and(|(tone, _)| tone == Tone::Good) && weight.fitted.is_empty() {
                div.row { a.button href=(at(job.text("number"), &format!("/weights/{}/fit", weight.entry))) { "It is fitted" } }
            }
        }
        div.split {
            div {
                (steps(visit, weight))
                @if may { (form(visit, (job, weight), worked, filled)) }
            }
            aside { (parts::caution(CAUTIONS[2])) (parts::caution(CAUTIONS[3])) }
        }
    };
    step(
        job,
        Some(Step::Correction),
        "Trim the casting",
        "Weigh the casting as it came from the mould, then take off what is too much, step by step.",
        &body,
    )
}

/// How much must go; too light is said at once, with what makes it good.
pub(super) fn judged(worked: &Worked) -> Markup {
    let Some((tone, _)) = state(worked) else { return html! {} };
    let sentence = words::standing(worked).unwrap_or_default();
    let tools = words::tools(worked);
    let lines: Vec<String> =
        words::trim(worked).into_iter().filter(|line| !tools.iter().any(|tool| tool.line == *line)).collect();
    let working = html! { ul.tight.notes { @for line in &lines { li { (line) } } } };
    parts::verdict(tone, &sentence, "", &working)
}

/// The ways to take off what is too much.
pub(super) fn ways(worked: &Worked) -> Markup {
    let tools = words::tools(worked);
    html! {
        @if !tools.is_empty() {
            section.card {
                h2 { "Ways to take it off, each alone" }
                ul.trim-ways { @for tool in &tools { li { @if tool.goes { (tool.line) } @else { span.hint { (tool.line) } } } } }
            }
        }
    }
}

/// Every time on the scale, in order.
pub(super) fn steps(visit: &Visit, weight: &BalanceWeight) -> Markup {
    let rows: Vec<Vec<Markup>> = weight
        .casts
        .iter()
        .map(|cast| {
            let said = |key: &str| super::super::say::text(&cast.fields, key).to_owned();
            let arm = if said("arm").is_empty() {
                String::new()
            } else {
                format!("{} {}", said("arm"), said("side"))
            };
            vec![
                html! { (cast.step) @if !said("taken_arm").is_empty() && !cast.step.contains(" at ") { span.hint { ", at " (said("taken_arm")) " " (said("taken_side")) } } },
                html! { (said("mass")) },
                html! { (scale::cell(cast)) },
                html! { @if arm.is_empty() { span.hint { "as worked out" } } @else { (arm) } },
                html! { (visit.local(&cast.at)) " · " (cast.by) " · entry " (cast.entry) },
            ]
        })
        .collect();
    html! {
        @if rows.is_empty() { p.empty { "The casting was not on the scale yet." } }
        @else { (parts::table("On the scale", &["what was done", "it read", "scale", "its arm", "entered"], &rows)) }
    }
}

fn form(visit: &Visit, (job, weight): (&Job, &BalanceWeight), worked: &Worked, filled: &Filled) -> Markup {
    let first = weight.casts.is_empty();
    let asked: Option<f64> = weight.outcome.casting_kg.parse().ok();
    let hint = match asked.map(|kg| words::Speech::of(worked).mass(kg)) {
        Some(asked) if first => format!("of the raw casting, both halves together; wanted: {asked}"),
        _ => "with its unit: 285.4 g".to_owned(),
    };
    html! {
        form.card.flow method="post" action=(at(job.text("number"), &format!("/weights/{}/trim", weight.entry))) {
            h2 { @if first { "The casting as it came from the mould" } @else { "What was done, and what the scale reads now" } }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            @if !first { (what_was_done(worked, filled)) }
            (scale::fields(visit, weight, filled))
            (Field::line("mass", MASS).hint(&hint).needed().show(filled))
            (holes_in_it(worked, filled))
            details open[filled.typed.has("arm") || filled.typed.has("side")] {
                summary { "It was balanced on an edge" }
                div.pair {
                    (Field::line("arm", ARM).hint("with its side; hinge line to where it balances, as it will sit: 6.17 in").sometimes().show(filled))
                    (Field::choice("side", SIDE, &SIDES).sometimes().show(filled))
                }
            }
            @if filled.wrong.of("mass").iter().any(|said| said.what.ends_with(RISEN)) || filled.typed.ticked(ANYWAY, "yes") {
                (Field::tick(ANYWAY, "The scale reads this all the same.", "yes").show(filled))
            }
            div.row {
                button type="submit" name="do" value="enter" { "Enter it" }
                button.quiet type="submit" name="do" value="look" { "Only work it out" }
            }
        }
    }
}

/// What was done since it was last on the scale: one of the ways, or something else.
fn what_was_done(worked: &Worked, filled: &Filled) -> Markup {
    let tools = words::tools(worked);
    let goes = tools.iter().filter(|tool| tool.goes);
    let mut done: Vec<(&str, &str)> = goes.map(|tool| (tool.tool, tool.line.as_str())).collect();
    if !holes(worked).1.is_empty() {
        done.push(("holes", "holes of the drawing were made, ticked below"));
    }
    done.extend([
        ("other", "something else, in words"),
        ("again", "nothing; weighed again"),
        (ANOTHER, "another casting of it lies on the scale, as it came from the mould"),
    ]);
    html! {
        @for tool in tools.iter().filter(|tool| !tool.goes) { p.hint { (tool.line) } }
        div.trim-done { (Field::radio("done", "I did this", &done).needed().show(filled)) }
        div data-when="done=other" {
            (Field::line("what", "In words").hint("filed the rear edge").sometimes().show(filled))
            div.pair {
                (Field::line("taken_arm", TAKEN_ARM).hint("with its side; both left empty: everywhere alike").sometimes().show(filled))
                (Field::choice("taken_side", TAKEN_SIDE, &SIDES).sometimes().show(filled))
            }
        }
    }
}

/// The holes that are in the casting, to be ticked.
fn holes_in_it(worked: &Worked, filled: &Filled) -> Markup {
    let (made, to_make) = holes(worked);
    html! {
        @if !made.is_empty() {
            p.hint { "In it already: " (made.join(", ")) "." }
            div data-when={ "done=" (ANOTHER) } {
                p.hint { "Tick the holes that the new casting has: those of the old one went with it." }
                @for hole in &made { (Field::tick(MADE, hole, hole).show(filled)) }
            }
        }
        @if !to_make.is_empty() {
            details open[filled.typed.has(MADE) || filled.typed.get("done") == "holes"] {
                summary { @if made.is_empty() { "Holes that are in it now" } @else { "More holes that are in it now" } }
                p.hint { "Kept open in the mould, or made since it was last on the scale. What they take is known: it does not come again." }
                @for hole in &to_make { (Field::tick(MADE, hole, hole).show(filled)) }
            }
        }
    }
}

/// The way on from here, where the casting is good.
pub(super) fn next(job: &Job, weight: &BalanceWeight, worked: &Worked) -> Markup {
    let at = |rest: &str| at(job.text("number"), &format!("/weights/{}{rest}", weight.entry));
    let good = state(worked).is_some_and(|(tone, _)| tone == Tone::Good);
    let fitted = !weight.fitted.is_empty();
    let scale = if weight.casts.is_empty() { "Weigh the casting" } else { "Trim it" };
    html! {
        @if fitted {
            a.button href=(super::super::at_step(job, Step::AsLeft)) { "Weigh as left" }
            a.button.quiet href=(at("/fit")) { "Another piece is fitted" }
        } @else if good { a.button href=(at("/fit")) { "It is fitted" } a.button.quiet href=(at("/trim")) { "Back to the scale" } }
        @else { a.button href=(at("/trim")) { (scale) } a.button.quiet href=(at("/fit")) { "It is fitted" } }
    }
}
