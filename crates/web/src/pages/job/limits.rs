//! The approved card that a job is judged by, chosen among those for its part number.

use super::{at, closed, name, say, step};
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone};
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::card::{self, Standing};
use hingeline_bench::record::deed::{Card, Deed, list};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::shop::LibraryCard;
use hingeline_bench::record::way::Step;
use maud::{Markup, html};

/// GET /jobs/{number}/limits
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    let job = visit.job(&number).await?;
    let cards = cards(&visit, &job);
    let chosen = match (&job.card, cards.as_slice()) {
        (None, [only]) => only.number.to_string(),
        _ => String::new(),
    };
    visit.page(&name(&job, "Limits"), content(&visit, &job, &Filled::with([("card", chosen)])))
}

/// POST /jobs/{number}/limits
pub(crate) async fn enter(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let job = visit.job(&number).await?;
    let mut wrong = Wrong::default();
    let deed = chosen(&visit, &job, &typed, &mut wrong);
    let Some(deed) = deed.filter(|_| wrong.is_empty()) else {
        return visit.refused(&name(&job, "Limits"), content(&visit, &job, &Filled::refused(typed, wrong)));
    };
    visit.enter_job(&number, &[deed], &typed).await?;
    go_saying(&at(&number, ""), "limits")
}

/// The cards that new jobs of this part may be judged by.
fn cards<'v>(visit: &'v Visit, job: &Job) -> Vec<&'v LibraryCard> {
    let part = job.text("part");
    visit.shop.cards.values().filter(|card| card.in_use() && card.is_for(part)).collect()
}

fn chosen(visit: &Visit, job: &Job, typed: &Typed, wrong: &mut Wrong) -> Option<Deed> {
    let given = wrong.need(typed, "card", "the card");
    if given.is_empty() {
        return None;
    }
    let found = cards(visit, job).into_iter().find(|card| card.number.to_string() == given);
    let Some(card) = found else {
        let said = Said::new(format!("card {given} is not approved for part {}", job.text("part")));
        wrong.say(
            "card",
            said.allowed("an approved card in use for this part number").hint("choose one of those below"),
        );
        return None;
    };
    if job.card.as_ref().is_some_and(|(number, content)| *number == card.number && *content == card.content) {
        wrong.say(
            "card",
            Said::new(format!("card {given} is the one that the job is judged by already"))
                .hint("choose another, or go back"),
        );
    }
    let deed = Deed::JudgedBy { card: card.number, content: card.content.clone() };
    if job.card.is_some() && !job.weighings.is_empty() {
        if !typed.ticked("anew", "yes") {
            wrong.say(
                "anew",
                Said::new("not confirmed that every weighing is judged anew")
                    .hint("read the warning, then tick it"),
            );
        }
        fits(job, card, wrong);
    }
    Some(deed)
}

/// The weighings must be readable under the new card, or the job could not go on.
fn fits(job: &Job, card: &LibraryCard, wrong: &mut Wrong) {
    let anew = Job { card: Some((card.number, card.content.clone())), ..job.clone() };
    if let Some(Err(faults)) = anew.assessment() {
        for fault in &faults.faults {
            let mut said = Said::from(fault);
            said.what = format!("card {} cannot judge the weighings of this job: {}", card.number, said.what);
            said.hint = Some("strike those weighings first, choose the card, weigh again".to_owned());
            wrong.say("card", said);
        }
    }
}

fn content(visit: &Visit, job: &Job, filled: &Filled) -> Markup {
    let chosen = |card: &&LibraryCard| job.card.as_ref().is_some_and(|(number, _)| *number == card.number);
    let cards: Vec<&LibraryCard> = cards(visit, job).into_iter().filter(|card| !chosen(card)).collect();
    let part = job.text("part");
    let body = html! {
        div.split {
            div {
                (standing(visit, job))
                @if let Some(closed) = closed(job) { (closed) }
                @else if cards.is_empty() && job.card.is_none() { (none(visit, part)) }
                @else if cards.is_empty() { p.empty { "No other approved card is in use for this part number." } (parts::form_summary(filled)) }
                @else if visit.may(Who::Worker) { (form(job, &cards, filled)) }
            }
            aside { (parts::caution(hingeline_bench::words::CAUTIONS[0])) }
        }
    };
    let lead = format!(
        "The approved data for part {part}, as the shop copied them and a second person approved them."
    );
    step(job, Some(Step::Limits), "Limits", &lead, &body)
}

fn standing(visit: &Visit, job: &Job) -> Markup {
    let Some((number, content)) = &job.card else { return html! {} };
    html! {
        section.card {
            h2 { "This job is judged by card " (number) }
            (self::card(content))
        }
        (standing_of(visit, job))
    }
}

/// What became of the card of a job since it was chosen; nothing where it is in use for its part.
pub(super) fn standing_of(visit: &Visit, job: &Job) -> Markup {
    let notice = |standing: &Standing| {
        let (tone, title, rest) = match standing {
            Standing::Withdrawn { .. } => {
                (Tone::Bad, "The card was withdrawn.", "Nothing is signed by it: choose another card.")
            }
            Standing::OtherPart { .. } => (
                Tone::Bad,
                "This card is not for this part number.",
                "Nothing is signed by it: choose another card, or mend the part number.",
            ),
            Standing::Superseded { verdict, .. } => (
                if *verdict == Some("outside") { Tone::Bad } else { Tone::Doubt },
                "A newer card is approved.",
                "The job keeps the content it was judged by until another card is chosen.",
            ),
        };
        parts::notice(tone, title, &html! { p { (say::capital(&standing.words())) ". " (rest) } })
    };
    html! { @for standing in &card::standing(&visit.shop, job) { (notice(standing)) } }
}

fn none(visit: &Visit, part: &str) -> Markup {
    html! {
        (parts::notice(Tone::Doubt, "No approved card is in use for this part number.", &html! {
            p { "A data keeper copies the limits for " strong { (part) } " out of the approved data, and a second person approves them. A weighing cannot be judged before that." }
        }))
        div.row {
            @if visit.may(Who::DataKeeper) { a.button href="/limits/new" { "Propose a card" } }
            a.button.quiet href="/limits" { "To the limits library" }
        }
    }
}

fn form(job: &Job, cards: &[&LibraryCard], filled: &Filled) -> Markup {
    let number = job.text("number");
    let again = job.card.is_some() && !job.weighings.is_empty();
    let wrong = filled.wrong.of("card");
    html! {
        form.flow method="post" action=(at(number, "/limits")) {
            (parts::seen(job.entries))
            (parts::form_summary(filled))
            fieldset.field.wrong[!wrong.is_empty()] #f-card {
                legend { (if job.card.is_some() { "Choose another card" } else { "Choose the card that the approved data for this surface stand on" }) }
                @if !wrong.is_empty() { div.said { @for said in wrong { (parts::said(said)) } } }
                @for card in cards {
                    label.card.pick {
                        input type="radio" name="card" value=(card.number) checked[filled.typed.get("card") == card.number.to_string()];
                        div {
                            strong { "Card " (card.number) ": " (card.content.title) }
                            (self::card(&card.content))
                            @if let Some((by, _)) = &card.approved { p.hint { "proposed by " (card.proposed.0) ", approved by " (by) } }
                        }
                    }
                }
            }
            @if again {
                (parts::notice(Tone::Doubt, "Every weighing is judged anew.", &html! {
                    p { "The weighings so far keep in the ledger what they came to by the old card. From now on the job, its sheet and its sign-off follow the new one, and signatures that were given do not count any more." }
                }))
                (Field::tick("anew", "I know: judge every weighing of this job by the new card", "yes").show(filled))
            }
            div.row {
                button type="submit" { (if job.card.is_some() { "Judge by this card" } else { "Use this card" }) }
                a.button.quiet href=(at(number, "")) { "Back to the job" }
            }
        }
    }
}

/// The content of a card: source, band, configuration, stations.
pub(super) fn card(card: &Card) -> Markup {
    let limit = |key: &str| say::text(&card.limits, key);
    let configuration = list(&card.limits, "configuration");
    html! {
        p.source { (limit("source")) }
        dl.facts {
            @for (key, word) in [("from", "From"), ("to", "To"), ("aim", "Aim"), ("at_arm", "Readings at arm"),
                ("from_reading", "From reading"), ("to_reading", "To reading"), ("aim_reading", "Aim reading"), ("manual_plus", "The manual's plus is")] {
                @if !limit(key).is_empty() { div { dt { (word) } dd { strong { (limit(key)) } } } }
            }
        }
        @if !configuration.is_empty() {
            p.hint { "required configuration" }
            ul.tight { @for item in configuration { li { (item) } } }
        }
        @if !card.stations.is_empty() {
            p.hint { "mass may be changed at" }
            ul.tight { @for station in &card.stations {
                li { (say::text(station, "name")) ", " (say::text(station, "arm")) " " (say::text(station, "side")) }
            } }
        }
    }
}
