//! What becomes of a card: a second person approves it, or it is taken out of use.

use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, form_summary};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::shop::LibraryCard;
use maud::{Markup, html};

/// The forms at the foot of a card's page, as far as the visitor may use them.
pub(super) fn forms(visit: &Visit, card: &LibraryCard, approve: &Filled, withdraw: &Filled) -> Markup {
    let waiting = card.waits();
    let stands = card.withdrawn.is_none() && card.superseded.is_none();
    html! {
        (form_summary(approve))
        (form_summary(withdraw))
        div.cards {
            @if waiting && visit.may(Who::Approver) { (approval(visit, card, approve)) }
            @if stands && visit.may(if waiting { Who::Approver } else { Who::DataKeeper }) { (withdrawal(visit, card, withdraw)) }
        }
    }
}

fn approval(visit: &Visit, card: &LibraryCard, filled: &Filled) -> Markup {
    let author = visit.me.as_ref().is_some_and(|me| me.person.name == card.proposed.0);
    if author {
        return parts::notice(
            Tone::Doubt,
            "You proposed this card",
            &html! { p { "Another person has to compare it with the approved data and approve it." } },
        );
    }
    html! {
        form.card method="post" action={ "/limits/" (card.number) "/approve" } {
            h2 { "Approve" }
            (parts::seen(visit.shop.entries))
            (Field::tick("compared", "I compared every number, unit and side on this page with the approved data", "yes").show(filled))
            (Field::pin("pin", "Your PIN").needed().show(filled))
            @if let Some(old) = card.revises { p.hint { "Card " (old) " is out of use from then on; jobs that were judged by it keep it." } }
            div.row { button type="submit" { "Approve" } }
        }
    }
}

fn withdrawal(visit: &Visit, card: &LibraryCard, filled: &Filled) -> Markup {
    let word = if card.approved.is_some() { "Take out of use" } else { "Refuse" };
    html! {
        form.card method="post" action={ "/limits/" (card.number) "/withdraw" } {
            h2 { (word) }
            (parts::seen(visit.shop.entries))
            (Field::line("reason", "Why").needed().show(filled))
            div.row { button.danger type="submit" { (word) } }
        }
    }
}

/// POST /limits/{card}/approve
pub(crate) async fn approve(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let card = super::find(&visit, &number)?;
    let deed = Deed::CardApproved { card: card.number };
    visit.shop.allows(&deed, &visit.me()?.person)?;
    let mut wrong = Wrong::default();
    if !typed.ticked("compared", "yes") {
        let said = Said::new("it is not confirmed that the card was compared");
        wrong.say("compared", said.hint("compare it with the approved data, then tick the box"));
    }
    visit.sign(&typed, &mut wrong).await?;
    if !wrong.is_empty() {
        let content =
            super::content(&visit, card, &Filled::refused(typed, wrong), &Filled::default()).await?;
        return visit.refused(&card.content.title, content);
    }
    visit.enter_shop(&deed, &typed).await?;
    go_saying(&format!("/limits/{number}"), "approved")
}

/// POST /limits/{card}/withdraw
pub(crate) async fn withdraw(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let card = super::find(&visit, &number)?;
    // Only a card that waits may be refused by whoever may approve it.
    if !card.waits() && !visit.may(Who::DataKeeper) {
        return Err(Problem::Forbidden { needs: Who::DataKeeper.words().to_owned() });
    }
    let mut wrong = Wrong::default();
    let reason = wrong.need(&typed, "reason", "the reason").to_owned();
    if card.withdrawn.is_some() || card.superseded.is_some() {
        wrong
            .say("", Said::new(format!("card {number} is out of use already")).hint("nothing is left to do"));
    }
    if !wrong.is_empty() {
        let content =
            super::content(&visit, card, &Filled::default(), &Filled::refused(typed, wrong)).await?;
        return visit.refused(&card.content.title, content);
    }
    let word = if card.waits() { "refused" } else { "withdrawn" };
    visit.enter_shop(&Deed::CardWithdrawn { card: card.number, reason }, &typed).await?;
    go_saying(&format!("/limits/{number}"), word)
}
