//! What the last weighing asks for, station by station, with its arithmetic; and what was done about it.

use super::{at, at_step, closed, name, say, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_balance::Action;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::words::{self, CAUTIONS, Voice};
use hingeline_bench::{Assessment, StationCorrection, arithmetic, bounds};
use hingeline_quantity::{Entered, Mass};
use maud::{Markup, html};

const ACTIONS: [(&str, &str); 2] = [("add", "mass added"), ("remove", "mass taken away")];
/// Signs of a text at most.
const LONGEST: usize = 1000;

/// GET /jobs/{number}/correction
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let ask = |key: &str| visit.query.get(key).to_owned();
    let filled = Filled::with(["station", "action", "mass"].map(|key| (key, ask(key))));
    visit.page(&name(&job, "Correction"), content(&visit, &job, &filled))
}

/// POST /jobs/{number}/correction
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let deed = read(&job, &typed, &mut wrong);
    if !wrong.is_empty() {
        return visit
            .refused(&name(&job, "Correction"), content(&visit, &job, &Filled::refused(typed, wrong)));
    }
    visit.enter_job(&number, &[deed], &typed, Some("correction")).await?;
    go_saying(&at(&number, ""), "corrected")
}

/// What was typed, with everything that is wrong with it.
pub(super) fn read(job: &Job, typed: &Typed, wrong: &mut Wrong) -> Deed {
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
    if !mass.is_empty() {
        judge_mass(&mass, wrong);
    }
    let parts =
        [("what", "what was fitted or taken away", true), ("lot", "", false), ("fastening", "", false)];
    let parts =
        parts.map(|(key, label, needed)| if needed { wrong.need(typed, key, label) } else { typed.get(key) });
    let what = parts.iter().filter(|part| !part.is_empty()).copied().collect::<Vec<_>>().join("; ");
    if what.chars().count() > LONGEST {
        wrong.say(
            "what",
            Said::new("the text is too long")
                .allowed(format!("up to {LONGEST} signs in all"))
                .hint("put the rest into a remark"),
        );
    }
    Deed::Corrected { station, action, mass, what }
}

fn judge_mass(mass: &str, wrong: &mut Wrong) {
    match Entered::<Mass>::parse(mass) {
        Err(error) => {
            let said = Said::new(format!("mass: {error}")).allowed(error.problem.allowed());
            wrong.say("mass", said.hint(error.problem.hint()));
        }
        Ok(entered) if !bounds::MASS.holds(entered.value) => {
            let said = Said::new(format!("mass is {}", entered.text)).allowed(bounds::MASS.words());
            wrong.say(
                "mass",
                said.hint("write the mass without a sign; say above whether it was added or taken away"),
            );
        }
        Ok(_) => {}
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
        Some(Ok(assessment)) => html! {
            @if job.changed_since_weighing() {
                (parts::notice(Tone::Doubt, "Work was done since the last weighing.", &html! { p { "What follows is worked from that weighing and does not know of it. Weigh again before correcting further." } }))
                div.row { (weigh(Step::AsLeft, "Weigh as left")) }
            }
            (stations_asked(job, &assessment))
        },
    }
}

fn stations_asked(job: &Job, assessment: &Assessment) -> Markup {
    let voice = Voice::of(assessment.last(), assessment.sheet.limits.units);
    let aim = voice.moment(assessment.sheet.limits.band.aim());
    html! {
        p.asks {
            strong { (words::verdict(assessment.last(), &voice)) ". " }
            @if assessment.within() { "Nothing has to be changed. " }
            "To reach the aim of " (aim) ", at one of these stations alone:"
        }
        div.cards.stations { @for station in &assessment.corrections { (station_card(job, assessment, station, &voice)) } }
    }
}

fn station_card(job: &Job, assessment: &Assessment, station: &StationCorrection, voice: &Voice) -> Markup {
    let sum: Vec<String> =
        arithmetic::correction(assessment, station).iter().map(arithmetic::Step::line).collect();
    let notes = words::correction_notes(station, voice);
    let action = match station.correction.action {
        Action::Add => "add",
        Action::Remove => "remove",
        Action::None => "",
    };
    let mass = voice.plain_mass(station.correction.mass_rounded);
    let to = format!(
        "{}?station={}&action={action}&mass={}#enter",
        at(job.text("number"), "/correction"),
        parts::escape(&station.station.name),
        parts::escape(&mass)
    );
    html! {
        section.card.station {
            h2 { (station.station.name) " · " (station.station.typed_arm) }
            p.big { (words::correction(station, voice)) }
            @if !station.correction.within_capacity { (parts::badge(Tone::Bad, "more than this place can take")) }
            p.sum { (sum.join("\n")) }
            @if !notes.is_empty() { ul.tight.notes { @for note in &notes { li { (note) } } } }
            @if !action.is_empty() { div.row { a.button.quiet href=(to) { "This was done" } } }
        }
    }
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
                button type="submit" { "Enter the correction" }
                a.button.quiet href=(at(number, "/work")) { "Other work was done" }
            }
        }
    }
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
    html! {
        @if names.is_empty() { (Field::line("station", "Station").hint("where; choose the limits first to see the approved places").needed().show(filled)) }
        @else { (Field::choice("station", "Station", &choices).needed().show(filled)) }
        (Field::radio("action", "What was done there", &ACTIONS).needed().show(filled))
        div.pair {
            (Field::line("mass", "Mass, weighed").hint("with its unit: 0.63 lb, 10 1/8 oz, 285 g").needed().show(filled))
            (Field::line("what", "What").hint("its form: lead cap, bar, slug, plate stack; or what was taken away").needed().show(filled))
            (Field::line("lot", "Part or lot").hint("part number, melt or lot").show(filled))
            (Field::line("fastening", "Fastening").hint("screws, rivets, bond; how it is locked").show(filled))
        }
    }
}
