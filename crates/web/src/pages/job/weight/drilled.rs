//! The holes in an old weight that are meant: what they are, and what was drilled. What was drilled is a correction of the
//! job that takes mass away, and a link from it to the holes.

use super::{design, files, show, told_of};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::pages::job::{at, at_step, closed, correction, kept, mend, name, step};
use crate::parts::{self, Field, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::bounds;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::drill_out::{DrillOutMeant, HolesDrilled};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::weight::drill_out::{Drilled, bored_kg, is_near, words};
use hingeline_quantity::{Entered, Length, Mass, Quantity};
use maud::{Markup, html};

/// Where the mass of a correction comes from.
const WEIGHED: &str = "weighed";
const BY_HOLES: &str = "by its holes";
const FAR_OFF: &str = "by the holes that are typed";
const MOST_HOLES: u64 = 1000;

async fn meant_at(
    visit: &Visit,
    number: &str,
    entry: &str,
) -> Result<(Job, DrillOutMeant, Drilled), Problem> {
    let job = visit.job_and_weights(number).await?;
    let meant = job.drill_out(design::entry_of(entry)?);
    let meant =
        meant.ok_or_else(|| Problem::not_found(format!("drilling of entry {entry} in job {number}")))?;
    let worked =
        meant.worked().map_err(|faults| Problem::Unreadable { what: format!("its sheet: {faults}") })?;
    Ok((job, meant, worked))
}

/// GET /jobs/{number}/drill-outs/{entry}
pub(crate) async fn page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, meant, drilled) = meant_at(&visit, &number, &entry).await?;
    let filled = Filled::with([("station", meant.station.clone())]);
    visit.page(&name(&job, "Holes in the old weight"), content(&visit, &job, (&meant, &drilled), &filled))
}

/// GET /jobs/{number}/drill-outs/{entry}/sheet.toml
pub(crate) async fn sheet(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    let (job, meant, _) = meant_at(&visit, &number, &entry).await?;
    files::toml(&job, &meant.sheet)
}

/// POST /jobs/{number}/drill-outs/{entry}
pub(crate) async fn enter(
    visit: Visit,
    Path((number, entry)): Path<(String, String)>,
    mut typed: Typed,
) -> Answer {
    let (job, meant, drilled) = meant_at(&visit, &number, &entry).await?;
    let mut wrong = Wrong::default();
    let done = read(&drilled, &typed, &mut wrong);
    let mass = typed.get("mass").to_owned();
    typed.set("action", "remove");
    let so = if done.far { "; other than the holes take: it was so" } else { "" };
    typed.set("what", format!("drilled out: {}; mass {}{so}", done.holes, done.mass_from));
    if mass.is_empty() {
        typed.set("mass", done.by_holes.clone());
    }
    let mut of_correction = Wrong::default();
    let corrected = correction::read(&job, &typed, &mut of_correction, None);
    // Without a mass and without a depth that is said once, at the depth.
    for (field, said) in of_correction.all().filter(|(field, _)| *field != "mass" || typed.has("mass")) {
        wrong.say(field, said.clone());
    }
    typed.set("mass", mass);
    if !wrong.is_empty() {
        let page = content(&visit, &job, (&meant, &drilled), &Filled::refused(typed, wrong));
        return visit.refused(&name(&job, "Holes in the old weight"), page);
    }
    // Both are written together or not at all, so the number of the first is known.
    let linked = Deed::DrilledOut {
        drill_out: meant.entry,
        correction: job.entries + 1,
        holes: done.holes,
        mass_from: done.mass_from.to_owned(),
        within: typed.get("within").to_owned(),
    };
    visit.enter_job(&number, &[corrected, linked], &typed).await?;
    go_saying(&at(&number, "/weights"), "drilled-out")
}

/// What was drilled, as it is typed.
struct Done {
    /// "4 × 3/8 in, 0.41 in deep to the tip".
    holes: String,
    /// "weighed", or "by its holes".
    mass_from: &'static str,
    /// What the holes take, as a text to enter; empty where they do not say it.
    by_holes: String,
    /// Whether the weighed mass is far from that.
    far: bool,
}

/// What was typed, with everything that is wrong with it.
fn read(drilled: &Drilled, typed: &Typed, wrong: &mut Wrong) -> Done {
    let count = count(typed, wrong);
    let drill = wrong.need(typed, "drill", "the drill").to_owned();
    let known = drilled.sheet.drills.iter().find(|(_, text)| *text == drill);
    if known.is_none() && !drill.is_empty() {
        let all: Vec<&str> = drilled.sheet.drills.iter().map(|(_, text)| text.as_str()).collect();
        let said = Said::new(format!("“{drill}” is no drill of this sheet")).allowed(all.join("; "));
        wrong.say("drill", said.hint("choose one; for another drill, work the holes out again"));
    }
    let weighed = typed.has("mass");
    let depth = length(typed, wrong, weighed);
    within(typed, wrong);
    let holes = match (count, depth.as_ref()) {
        (Some(count), Some(depth)) => format!("{count} × {drill}, {} deep to the tip", depth.text),
        (Some(count), None) => format!("{count} × {drill}"),
        (None, _) => String::new(),
    };
    let bored = count
        .zip(known)
        .zip(depth)
        .map(|((count, (diameter, _)), depth)| bored_kg(&drilled.sheet, count, *diameter, depth.value.si()));
    let speech = words::speech(&drilled.sheet);
    let weighed_mass = Entered::<Mass>::parse(typed.get("mass")).ok().zip(bored);
    let far = weighed_mass.filter(|(mass, bored)| !is_near(mass.value.si(), *bored));
    if let (Some((mass, bored)), false) = (&far, typed.ticked(correction::ANYWAY, "yes")) {
        let said =
            Said::new(format!("{} is far from the {} that goes {FAR_OFF}", mass.text, speech.mass(*bored)));
        wrong.say(
            "mass",
            said.hint("look at the number, its unit and the holes; if it was so, tick the box below"),
        );
    }
    let by_holes = bored.map(|kg| speech.mass(kg)).unwrap_or_default();
    Done { holes, mass_from: if weighed { WEIGHED } else { BY_HOLES }, by_holes, far: far.is_some() }
}

fn count(typed: &Typed, wrong: &mut Wrong) -> Option<u32> {
    let given = wrong.need(typed, "holes", "how many holes");
    if given.is_empty() {
        return None;
    }
    let count = given.parse::<u64>().ok().filter(|count| (1..=MOST_HOLES).contains(count));
    if count.is_none() {
        let said = Said::new(format!("how many holes: “{given}” cannot be"));
        wrong.say("holes", said.allowed(format!("a whole number, 1 to {MOST_HOLES}")).hint("count them"));
    }
    count.and_then(|count| u32::try_from(count).ok())
}

/// The depth; it may be left out where the mass was weighed.
fn length(typed: &Typed, wrong: &mut Wrong, weighed: bool) -> Option<Entered<Length>> {
    if !typed.has("depth") {
        if !weighed {
            let said = Said::new("neither the mass nor the depth is typed");
            wrong.say(
                "depth",
                said.hint("weigh what went; where that cannot be, measure how deep the holes are"),
            );
        }
        return None;
    }
    let size = &hingeline_bench::weight::bounds::SIZE;
    match Entered::<Length>::parse(typed.get("depth")) {
        Ok(depth) if size.holds(depth.value) => Some(depth),
        Ok(depth) => {
            wrong.say(
                "depth",
                Said::new(format!("depth is {}", depth.text)).allowed(size.words()).hint("look at its unit"),
            );
            None
        }
        Err(error) => {
            let said = Said::new(format!("depth: {error}")).allowed(error.problem.allowed());
            wrong.say("depth", said.hint(error.problem.hint()));
            None
        }
    }
}

fn within(typed: &Typed, wrong: &mut Wrong) {
    if !typed.has("within") {
        return;
    }
    match Entered::<Mass>::parse(typed.get("within")) {
        Ok(within) if bounds::MASS.holds(within.value) => {}
        Ok(within) => {
            let said = Said::new(format!("known within {}", within.text)).allowed(bounds::MASS.words());
            wrong.say("within", said.hint("half the step of the scale at least; left empty: not known"));
        }
        Err(error) => {
            let said = Said::new(format!("known within: {error}")).allowed(error.problem.allowed());
            wrong.say("within", said.hint(error.problem.hint()));
        }
    }
}

fn content(
    visit: &Visit,
    job: &Job,
    (meant, drilled): (&DrillOutMeant, &Drilled),
    filled: &Filled,
) -> Markup {
    let may = visit.may(Who::Worker) && job.released.is_none();
    let number = job.text("number");
    let line = job.lines.iter().find(|line| line.number == meant.entry);
    let to_weigh = meant
        .done
        .last()
        .is_some_and(|done| job.weighings.last().is_none_or(|weighing| weighing.entry < done.correction));
    let body = html! {
        @if let Some(closed) = closed(job) { (closed) }
        (show::drill_headline(drilled))
        @if may {
            div.row {
                @if to_weigh { a.button href=(at_step(job, Step::AsLeft)) { "Weigh as left" } }
                a.button.quiet href={ (at(number, "/drill-outs/new")) "?from=" (meant.entry) } { "Work out others from it" }
                a.button.quiet href=(at(number, "/weights")) { "Back to the weights" }
            }
        }
        div.split {
            div {
                (done(visit, &meant.done))
                @if let Some(compared) = job.compared_drilled(meant) { section.card { h2 { "Predicted and weighed" } (told_of(&compared)) } }
                @if may { (form(job, meant, drilled, filled)) }
                (show::drill_rest(drilled))
            }
            aside {
                div.card {
                    h2 { "In the record" }
                    p { "Entry " (meant.entry) ", " (visit.local(&meant.at)) ", " (meant.by) "." }
                    @if !meant.station.is_empty() { p { "In the weight at " (meant.station) "." } }
                    @if let Some(weighing) = meant.weighing {
                        p { "What is wanted comes from the weighing of " a href={ (at(number, "/ledger")) "#entry-" (weighing) } { "entry " (weighing) } "." }
                    }
                    p { "Asked for: " (kept(&words::asked(drilled))) "." }
                    p { a href=(at(number, &format!("/drill-outs/{}/sheet.toml", meant.entry))) { "Weight sheet (TOML)" } }
                    @if let Some(to) = line.and_then(|line| mend::offered(visit, job, line)) { p { a.mend href=(to) { "strike it" } } }
                }
                (show::drill_cautions(Some(drilled)))
            }
        }
    };
    step(job, Some(Step::Correction), &drilled.sheet.name, "", &body)
}

/// What was drilled, in order.
fn done(visit: &Visit, all: &[HolesDrilled]) -> Markup {
    let row = |done: &HolesDrilled| {
        vec![
            html! { (done.holes) },
            html! { (done.mass) ", " (done.mass_from) @if !done.within.is_empty() { ", within " (done.within) } },
            html! { (done.station) },
            html! { (visit.local(&done.at)) " · " (done.by) " · entry " (done.entry) },
        ]
    };
    let rows: Vec<Vec<Markup>> = all.iter().map(row).collect();
    html! { @if !rows.is_empty() { (parts::table("Drilled", &["holes", "mass that went", "where", "entered"], &rows)) } }
}

fn form(job: &Job, meant: &DrillOutMeant, drilled: &Drilled, filled: &Filled) -> Markup {
    let names = correction::stations(job);
    let mut places: Vec<(&str, &str)> = vec![("", "choose a station")];
    places.extend(names.iter().map(|name| (name.as_str(), name.as_str())));
    let mut drills: Vec<(&str, &str)> = vec![("", "choose a drill")];
    drills.extend(drilled.sheet.drills.iter().map(|(_, text)| (text.as_str(), text.as_str())));
    let speech = words::speech(&drilled.sheet);
    let out = drilled.outcome.as_ref().ok();
    let goes = out.map_or(String::new(), |out| format!("; worked out: {}", speech.mass(out.removed_kg)));
    let deep =
        out.map_or(String::new(), |out| format!("; worked out: {}", speech.length(out.bore.tip_depth)));
    let mass = format!(
        "of the chips, or before less after, from the scale{goes}; left empty: reckoned by the holes"
    );
    let asked = |said: &Said| said.what.ends_with(FAR_OFF) || said.what.ends_with("than this place has left");
    let refused = filled.wrong.of("mass").iter().any(asked);
    let within = "the scale and lost chips together: 0.5 g; left empty: not known";
    html! {
        form.card.flow method="post" action=(at(job.text("number"), &format!("/drill-outs/{}", meant.entry))) {
            h2 { @if meant.done.is_empty() { "What was drilled" } @else { "More was drilled" } }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            @if names.is_empty() { (Field::line("station", "Station").needed().show(filled)) }
            @else { (Field::choice("station", "Station", &places).needed().show(filled)) }
            div.pair {
                (Field::line("holes", "Holes drilled").keyboard("numeric").hint("how many").needed().show(filled))
                (Field::choice("drill", "Drill", &drills).needed().show(filled))
                (Field::line("depth", "Depth to the tip").hint(&format!("measured{deep}")).sometimes().show(filled))
                (Field::line("mass", "Mass that went, weighed").hint(&mass).show(filled))
                (Field::line("within", "Known within").hint(within).show(filled))
            }
            @if refused || filled.typed.ticked(correction::ANYWAY, "yes") {
                (Field::tick(correction::ANYWAY, "It was done all the same; the entry will say so.", "yes").show(filled))
            }
            (parts::notice(Tone::Plain, "It counts as a correction.", &html! { p { "After it the surface is weighed as left." } }))
            div.row { button type="submit" { "Enter as drilled" } }
        }
    }
}
