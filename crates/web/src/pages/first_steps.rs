//! What a new shop still needs before its first job, each step for whoever may do it; nothing once all is done. Main
//! function: [`list`].

use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::Visit;
use hingeline_bench::record::deed::{Person, Role};
use hingeline_bench::record::shop::LibraryCard;
use maud::{Markup, html};

/// A step: its address, what to do, why.
type Step = (&'static str, &'static str, &'static str);

/// The open steps of the person who is logged in.
pub(crate) async fn list(visit: &Visit) -> Result<Markup, Problem> {
    let mut steps = of_shop(visit);
    if signs(visit) && !has_pin(visit).await? {
        steps.push(("/me", "Set your PIN", "it is your signature: without it you cannot sign or approve"));
    }
    Ok(html! {
        @if !steps.is_empty() {
            section.card aria-labelledby="first-steps" {
                h2 #first-steps { "First steps" }
                ol.plain.first-steps { @for (address, what, why) in steps { li { a href=(address) { (what) } ": " (why) } } }
            }
        }
    })
}

/// Whoever works signs, and so does whoever may approve while a card waits for it.
fn signs(visit: &Visit) -> bool {
    visit.may(Who::Worker) || visit.may(Who::Approver) && waiting_for(visit).is_some()
}

/// The first card that the person may approve.
fn waiting_for(visit: &Visit) -> Option<&LibraryCard> {
    let me = &visit.me.as_ref()?.person.name;
    visit.shop.cards.values().find(|card| card.waits() && card.proposed.0 != *me)
}

async fn has_pin(visit: &Visit) -> Result<bool, Problem> {
    let login = visit.me()?.login.clone();
    let credential = visit.app.ask(move |store| store.credential(&login)).await?;
    Ok(credential.is_some_and(|known| known.pin.is_some()))
}

fn of_shop(visit: &Visit) -> Vec<Step> {
    let shop = &visit.shop;
    let has = |is: fn(&Person) -> bool| shop.people.values().any(|person| person.active && is(person));
    let mut steps = Vec::new();
    let mut open = |who: Who, done: bool, step: Step| {
        if visit.may(who) && !done {
            steps.push(step);
        }
    };
    let named = !shop.name.is_empty() || visit.app.config().demo;
    open(
        Who::Administrator,
        named,
        ("/shop", "Name the shop", "its name and approval number stand on every sheet"),
    );
    let worker = has(Person::works);
    open(
        Who::Administrator,
        worker,
        ("/people/new", "Add a technician", "somebody has to weigh and sign off"),
    );
    let inspector = has(|person| person.holds(Role::Inspector)) && 1 < shop.people.len();
    open(
        Who::Administrator,
        inspector,
        ("/people/new", "Add an inspector", "another person inspects the work"),
    );
    let scale = shop.instruments.values().any(|known| known.retired.is_none());
    open(Who::DataKeeper, scale, ("/instruments/new", "Enter the instruments", "scale, rule and level"));
    let proposed = shop.cards.values().any(|card| card.waits() || card.in_use());
    let propose = ("/limits/new", "Propose a limits card", "copied from your approved data");
    open(Who::DataKeeper, proposed, propose);
    let approved = waiting_for(visit).is_none() || shop.cards.values().any(LibraryCard::in_use);
    open(Who::Approver, approved, ("/limits", "Approve the limits card", "as the second person"));
    steps
}
