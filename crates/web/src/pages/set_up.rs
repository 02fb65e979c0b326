//! The first start: a shop without people gets its first administrator, on this machine and with the code that
//! stands in the terminal.

use super::people;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, form_summary};
use crate::problem::Problem;
use crate::secrets;
use crate::session;
use crate::visit::{Answer, Visit, go, writes};
use axum::http::header;
use hingeline_bench::record::deed::{Deed, Person, Role};
use hingeline_bench::record::shop::LEDGER;
use hingeline_store::Credential;
use maud::{Markup, html};

/// GET /set-up
pub(crate) async fn page(visit: Visit) -> Answer {
    if !visit.shop.people.is_empty() {
        return go("/");
    }
    if !visit.from_here {
        return visit.page("Set up", elsewhere());
    }
    visit.page("Set up", content(&Filled::default()))
}

fn elsewhere() -> Markup {
    parts::notice(
        Tone::Doubt,
        "This shop has no people yet",
        &html! { p { "Its first administrator is entered on the machine that the program runs on. Open this page there." } },
    )
}

fn content(filled: &Filled) -> Markup {
    html! {
        div.narrow {
            h1 { "Set up the shop" }
            p.lead { "You become the first administrator. You then add the other people." }
            (form_summary(filled))
            form.card method="post" action="/set-up" {
                (Field::line("code", "Code").needed().hint("shown in the window where the program was started").show(filled))
                (super::shop::fields(filled, Field::line("shop", "Name of the shop").hint("can be changed later")))
                (Field::line("name", "Your name as printed").needed().autocomplete("name").hint("It cannot be changed later: signatures carry it.").show(filled))
                (Field::line("login", "Login name").needed().autocomplete("username").hint("2 to 32 small letters, digits, dot, dash; it cannot be changed later").show(filled))
                (Field::password("password", "Password", "new-password").needed().hint("10 characters or more; several words are good").show(filled))
                (Field::password("again", "The same again", "new-password").needed().show(filled))
                div.row { button type="submit" { "Set up" } }
            }
        }
    }
}

/// POST /set-up
pub(crate) async fn enter(visit: Visit, typed: Typed) -> Answer {
    if !visit.shop.people.is_empty() {
        return Err(Problem::not_found("set-up any more: the shop has people"));
    }
    if !visit.from_here {
        return visit.refused("Set up", elsewhere());
    }
    let mut wrong = Wrong::default();
    let login = people::read_login(&visit, &typed, &mut wrong);
    let name = people::read_name(&visit, &typed, &mut wrong);
    let password = people::read_password(&typed, &login, &mut wrong);
    let shop = super::shop::read(&typed, &mut wrong);
    let code = visit.app.set_up_code().is_some_and(|code| code == typed.get("code").to_lowercase());
    if !code {
        wrong.say(
            "code",
            Said::new("this is not the code").hint("copy it from the terminal; a new start makes a new one"),
        );
    }
    if !wrong.is_empty() {
        return visit.refused("Set up", content(&Filled::refused(typed, wrong)));
    }
    let hash = secrets::hash(&visit.app, &password).await?;
    let person = Person {
        name: name.clone(),
        role: Role::Administrator,
        also: None,
        certificate: String::new(),
        kind: String::new(),
        active: true,
    };
    let mut deeds = vec![Deed::PersonEntered { login: login.clone(), person }];
    if typed.has("shop") || typed.has("approval") {
        deeds.push(shop);
    }
    let writes = writes(LEDGER, &deeds, 0, visit.now, &name)?;
    let credential = Credential { login: login.clone(), password: Some(hash), ..Credential::default() };
    visit.app.ask(move |store| store.begin(&writes, &[credential])).await?;
    let mut response = go("/")?;
    response.headers_mut().append(header::SET_COOKIE, session::start(&visit.app, &login).await?);
    Ok(response)
}
