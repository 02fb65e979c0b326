//! What the last weighing asks for, station by station, with its arithmetic; and what was done about it.

use super::{at, at_step, closed, name, say, step, weight};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_balance::Action;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::left::Use;
use hingeline_bench::record::way::Step;
use hingeline_bench::words::{self, CAUTIONS, Voice};
use hingeline_bench::{Assessment, StationCorrection, arithmetic, bounds};
use hingeline_quantity::{Entered, Mass};
use maud::{Markup, html};

const ACTIONS: [(&str, &str); 2] = [("add", "mass added"), ("remove", "mass taken away")];
/// Characters of a text at most.
const LONGEST: usize = 1000;

/// GET /jobs/{number}/correction
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let ask = |key: &str| visit.query.get(key).to_owned();
    // The mass that was worked out is no mass that was weighed: it is never filled in.
    let filled = Filled::with(["station", "action"].map(|key| (key, ask(key))));
    visit.page(&name(&job, "Correction"), content(&visit, &job, &filled))
}

/// POST /jobs/{number}/correction
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job_and_weights(&number).await?;
    let mut wrong = Wrong::default();
    let deed = read(&job, &typed, &mut wrong, None);
    if !wrong.is_empty() {
        return visit
            .refused(&name(&job, "Correction"), content(&visit, &job, &Filled::refused(typed, wrong)));
    }
    visit.enter_job(&number, &[deed], &typed).await?;
    go_saying(&at(&number, ""), "corrected")
}

/// What was typed, with everything that is wrong with it; `mends` is the correction that it takes the place of.
pub(super) fn read(job: &Job, typed: &Typed, wrong: &mut Wrong, mends: Option<u64>) -> Deed {
    let station = wrong.need(typed, "station", "the station").to_owned();
    let stations = stations(job);
    if !station.is_empty() && !stations.is_empty() && !stations.contains(&station) {
        let said = Said::new(format!("“{station}” is no station of this job's limits"));
        wrong.say("station", said.allowed(stations.join("; ")).hint("choose one of them"));
    }
    let action = typed.get("action").to_owned();
    if !ACTIONS.iter().any(|(known, _)| *known == action) {
        wrong.say("action", Said::new("neither added nor taken away is chosen").hint("choose one"));
    }
    let mass = wrong.need(typed, "mass", "the mass").to_owned();
    let entered = if mass.is_empty() { None } else { judge_mass(&mass, wrong) };
    let beyond = entered.and_then(|mass| beyond(job, (&station, &action), mass, mends));
    let parts =
        [("what", "what was fitted or taken away", true), ("lot", "", false), ("fastening", "", false)];
    let parts =
        parts.map(|(key, label, needed)| if needed { wrong.need(typed, key, label) } else { typed.get(key) });
    let mut what = parts.iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join("; ");
    if let Some(room) = beyond {
        let verb = if action == "remove" { "taken away" } else { "added" };
        if typed.ticked(ANYWAY, "yes") || what.contains(DONE_ALL_THE_SAME) {
            let kept = format!(
                "more than the {} that was left here to be {verb}: {DONE_ALL_THE_SAME}",
                room.left_words()
            );
            if !what.contains(DONE_ALL_THE_SAME) {
                what = if what.is_empty() { kept } else { format!("{what}; {kept}") };
            }
        } else {
            let said = Said::new(format!("{mass} {verb} at {station} is more than this place has left"));
            let used = room.words();
            wrong.say(
                "mass",
                said.allowed(format!("up to {} ({used} in this job)", room.left_words())).hint(
                    "look at the number, its unit and the place; if it was done all the same, tick the box below",
                ),
            );
        }
    }
    if what.chars().count() > LONGEST {
        wrong.say(
            "what",
            Said::new("the text is too long")
                .allowed(format!("up to {LONGEST} characters in all"))
                .hint("put the rest into a remark"),
        );
    }
    Deed::Corrected { station, action, mass, what }
}

/// The box that lets in more than a place has left, and the words that are then kept.
pub(super) const ANYWAY: &str = "all-the-same";
const DONE_ALL_THE_SAME: &str = "it was done all the same";

/// What a place has left, where a mass is more than that.
fn beyond(job: &Job, (station, action): (&str, &str), mass: Mass, mends: Option<u64>) -> Option<Use> {
    job.used(station, action, mends).filter(|room| !room.fits(mass))
}

fn judge_mass(mass: &str, wrong: &mut Wrong) -> Option<Mass> {
    match Entered::<Mass>::parse(mass) {
        Err(error) => {
            let said = Said::new(format!("mass: {error}")).allowed(error.problem.allowed());
            wrong.say("mass", said.hint(error.problem.hint()));
            None
        }
        Ok(entered) if !bounds::MASS.holds(entered.value) => {
            let said = Said::new(format!("mass is {}", entered.text)).allowed(bounds::MASS.words());
            wrong.say(
                "mass",
                said.hint("write the mass without a sign; say above whether it was added or taken away"),
            );
            None
        }
        Ok(entered) => Some(entered.value),
    }
}

/// The names of the stations of the job's card.
pub(super) fn stations(job: &Job) -> Vec<String> {
    let card = job.card.as_ref().map(|(_, card)| card);
    card.into_iter()
        .flat_map(|card| &card.stations)
        .map(|station| say::text(station, "name").to_owned())
        .collect()
}

fn content(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    let body = html! {
        (asked(job))
        div.cautions { (parts::caution(CAUTIONS[2])) (parts::caution(CAUTIONS[3])) (parts::caution(CAUTIONS[1])) }
        @if let Some(closed) = closed(job) { (closed) } @else if visit.may(Who::Worker) { (form(job, filled)) }
    };
    let lead = "What the last weighing asks for, at each station alone; then what was done.";
    step(job, Some(Step::Correction), "Correction", lead, &body)
}

/// What comes before a correction, and that the correction is the second way.
pub(super) fn do_first(first: &[String]) -> Markup {
    html! {
        ul.tight { @for what in first { li { (say::capital(what)) "." } } }
        p { "Correct by what that weighing says. Correcting by this one is the second way, for where the first cannot be done: it may move mass that was not wrong." }
    }
}

/// What the last weighing asks for.
fn asked(job: &Job) -> Markup {
    let weigh = |step: Step, word: &str| html! { a.button href=(at_step(job, step)) { (word) } };
    match job.assessment() {
        None => html! {
            (parts::notice(Tone::Doubt, "There is no weighing yet.", &html! { p { "The first weighing, as found, says how far the surface is out and on which side." } }))
            div.row { (weigh(Step::AsFound, "Weigh as found")) }
        },
        Some(Err(faults)) => {
            parts::notice(Tone::Bad, "The weighings cannot be judged.", &html! { p { (faults) } })
        }
        Some(Ok(assessment)) if assessment.worked_on_since => html! {
            (parts::notice(Tone::Doubt, "Work was done since the last weighing: weigh first.", &html! { p { "That weighing does not know of it, so nothing is asked for here. The next one says what is still to be done." } }))
            div.row { (weigh(Step::AsLeft, "Weigh as left")) }
        },
        Some(Ok(assessment)) => stations_asked(job, &assessment),
    }
}

fn stations_asked(job: &Job, assessment: &Assessment) -> Markup {
    let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
    let aim = voice.moment(assessment.sheet.limits.band.aim());
    let (ways, others): (Vec<&StationCorrection>, Vec<_>) =
        assessment.corrections.iter().partition(|station| station.does_it_alone());
    let first = words::before_correcting(assessment.last());
    let again = if job.as_left().is_some() { Step::AsLeft } else { Step::AsFound };
    html! {
        @if !first.is_empty() {
            (parts::notice(Tone::Doubt, "First do this, and weigh again", &do_first(&first)))
            div.row { a.button href=(at_step(job, again)) { "Weigh again" } }
        }
        p.asks {
            strong { (words::verdict(assessment.last(), &voice)) ". " }
            @if assessment.within() { "Nothing has to be changed. To reach the aim of " (aim) " exactly:" }
            @else if ways.is_empty() { "No place can bring it to the aim of " (aim) " alone: use more than one, and weigh between them." }
            @else { "To reach the aim of " (aim) ":" }
        }
        @if !ways.is_empty() {
            div.cards.stations {
                @for (index, station) in ways.iter().enumerate() {
                    @let joint = if index > 0 { "or " } else { "" };
                    (station_card(job, assessment, station, (&voice, joint)))
                }
            }
        }
        @if !others.is_empty() {
            div.cards.stations { @for station in &others { (station_card(job, assessment, station, (&voice, ""))) } }
        }
    }
}

fn station_card(
    job: &Job,
    assessment: &Assessment,
    station: &StationCorrection,
    (voice, joint): (&Voice, &str),
) -> Markup {
    let sum: Vec<String> =
        arithmetic::correction(assessment, station).iter().map(arithmetic::Step::line).collect();
    let notes = words::correction_notes(station, voice);
    let name = &station.station.name;
    let action = word_of(station.correction.action);
    let alone = station.does_it_alone();
    let ready = match action {
        "add" => weight::ready(job, name),
        "remove" => weight::holes_ready(job, name),
        _ => html! {},
    };
    html! {
        section.card.station {
            h2 { (name) " · " (station.station.typed_arm) }
            @if alone { p.big { @if !joint.is_empty() { span.or { (joint) } } (words::correction(station, voice)) } }
            @else { p { (parts::badge(Tone::Bad, words::NOT_ALONE)) } }
            @if let Some(used) = used(job, name) { p.used { (used) } }
            @if !alone && !notes.is_empty() { (notes_list(&notes)) }
            @if alone { p.sum { (sum.join("\n")) } }
            @else { details { summary { "The sum" } p.sum { (sum.join("\n")) } } }
            @if alone && !notes.is_empty() { (notes_list(&notes)) }
            (ready)
            @if !action.is_empty() { div.row {
                a.button.quiet href=(to_form(job, name, action)) { "Enter what was done here" }
                @if action == "add" { a.button.quiet href=(at(job.text("number"), &format!("/weights/new?station={}", parts::escape(name)))) { "Design a weight for it" } }
                @if action == "remove" { a.button.quiet href=(at(job.text("number"), &format!("/drill-outs/new?station={}", parts::escape(name)))) { "Work out holes in it" } }
            } }
        }
    }
}

fn notes_list(notes: &[String]) -> Markup {
    html! { ul.tight.notes { @for note in notes { li { (note) } } } }
}

fn word_of(action: Action) -> &'static str {
    match action {
        Action::Add => "add",
        Action::Remove => "remove",
        Action::None => "",
    }
}

fn to_form(job: &Job, station: &str, action: &str) -> String {
    let page = at(job.text("number"), "/correction");
    format!("{page}?station={}&action={action}#enter", parts::escape(station))
}

/// What this job has used of a place, where it used any of it: "0.25 lb of 0.25 lb used".
fn used(job: &Job, station: &str) -> Option<String> {
    let room = job.used(station, "add", None).filter(Use::touched)?;
    Some(format!("{} by this job, {} left", room.words(), room.left_words()))
}

fn form(job: &Job, filled: &Filled) -> Markup {
    let number = job.text("number");
    html! {
        form.card.flow #enter method="post" action=(at(number, "/correction")) {
            h2 { "What was done" }
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            (fields(job, filled))
            div.row {
                button type="submit" { "Enter what was done" }
                a.button.quiet href=(at(number, "/work")) { "Other work was done" }
            }
        }
    }
}

/// The mass that the last weighing asks for at the station that is chosen: for the hint, since what counts is weighed.
fn worked_out(job: &Job, filled: &Filled) -> Option<String> {
    let assessment = job.assessment()?.ok().filter(|assessment| !assessment.worked_on_since)?;
    let chosen = |station: &&StationCorrection| station.station.name == filled.typed.get("station");
    let station = assessment.corrections.iter().find(chosen)?;
    let fits = word_of(station.correction.action) == filled.typed.get("action") && station.does_it_alone();
    let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
    fits.then(|| words::rounded_mass(station, &voice))
}

/// The inputs, for this form and for mending it.
pub(super) fn fields(job: &Job, filled: &Filled) -> Markup {
    let names = stations(job);
    let given = filled.typed.get("station");
    let mut choices: Vec<(&str, &str)> = vec![("", "choose a station")];
    choices.extend(names.iter().map(|name| (name.as_str(), name.as_str())));
    if !given.is_empty() && !names.iter().any(|name| name == given) {
        choices.push((given, given));
    }
    let hint = match worked_out(job, filled) {
        Some(mass) => format!("what your scale says of the piece, with its unit; worked out: {mass}"),
        None => "what your scale says of the piece, with its unit: 0.63 lb, 10 1/8 oz, 285 g".to_owned(),
    };
    let refused = filled.wrong.of("mass").iter().any(|said| said.what.ends_with("than this place has left"));
    html! {
        @if names.is_empty() { (Field::line("station", "Station").hint("where; choose the limits first to see the approved places").needed().show(filled)) }
        @else { (Field::choice("station", "Station", &choices).needed().show(filled)) }
        (Field::radio("action", "What was done there", &ACTIONS).needed().show(filled))
        div.pair {
            (Field::line("mass", "Mass, weighed").hint(&hint).needed().show(filled))
            (Field::line("what", "What").hint("its form: lead cap, bar, slug, plate stack; or what was taken away").needed().show(filled))
            (Field::line("lot", "Part or lot").hint("part number, melt or lot").show(filled))
            (Field::line("fastening", "Fastening").hint("screws, rivets, bond; how it is locked").show(filled))
        }
        @if refused || filled.typed.ticked(ANYWAY, "yes") {
            (Field::tick(ANYWAY, "It was done all the same; the entry will say so.", "yes").show(filled))
        }
    }
}
