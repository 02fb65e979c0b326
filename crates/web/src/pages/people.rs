//! People: who they are, what they may do, whether they may log in. Secrets are set here and never shown.

use crate::app::App;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, form_summary};
use crate::problem::Problem;
use crate::routes::Who;
use crate::secrets;
use crate::visit::{Answer, Visit, go_saying};
use axum::extract::Path;
use hingeline_bench::record::deed::{Deed, Person, Role};
use hingeline_store::{Credential, StoreError};
use jiff::Timestamp;
use maud::{Markup, html};

/// The roles as a form offers them.
pub(crate) const ROLES: [(&str, &str); 4] = [
    ("technician", "technician: weighs, corrects, signs off"),
    ("inspector", "inspector: inspects what others performed, may also weigh"),
    ("data-keeper", "data keeper: keeps limits and instruments"),
    ("administrator", "administrator: keeps people, may do what a data keeper may"),
];

/// The working roles of somebody who keeps people or data.
const ALSO: [(&str, &str); 3] = [("", "neither"), ("technician", "technician"), ("inspector", "inspector")];

/// The least and the most characters of a password.
const PASSWORD: std::ops::RangeInclusive<usize> = 10..=128;

/// Whether somebody can sign.
#[derive(Debug, Clone, Copy)]
enum Pin {
    Set,
    Missing,
}

/// Whether somebody can sign, and until when no try of theirs is taken.
type CanSign = (Pin, Option<Timestamp>);

/// GET /people
pub(crate) async fn list(visit: Visit) -> Answer {
    let keeps = visit.may(Who::Administrator);
    let logins: Vec<String> = visit.shop.people.keys().cloned().collect();
    let with_pin = visit.app.ask(move |store| {
        let pin = |login: &String| {
            let known = store.credential(login)?;
            let locked = known.as_ref().and_then(|known| known.locked_until);
            let set = known.is_some_and(|known| known.pin.is_some());
            Ok((if set { Pin::Set } else { Pin::Missing }, locked))
        };
        logins.iter().map(pin).collect::<Result<Vec<CanSign>, StoreError>>()
    });
    let with_pin = with_pin.await?;
    let people = visit.shop.people.iter().zip(with_pin);
    let rows: Vec<Vec<Markup>> =
        people.map(|((login, person), pin)| row(&visit, login, person, pin)).collect();
    let content = html! {
        div.title {
            div {
                h1 { "People" }
                @if !visit.shop.printed().is_empty() { p.lead { (visit.shop.printed()) } }
            }
            @if keeps {
                div.row {
                    a.button href="/people/new" { "Add a person" }
                    a.button.quiet href="/shop" { "Name of the shop" }
                }
            }
        }
        (parts::table("An inspection needs somebody who took no part in the work", &["name", "role", "certificate", "login", "PIN", "state"], &rows))
        p.hint { "Who was entered or changed, when and by whom, stands in " a href="/shop/ledger.jsonl" { "the shop's own ledger" } ", with limits, instruments and checks." }
    };
    visit.page("People", content)
}

fn row(visit: &Visit, login: &str, person: &Person, (pin, locked): CanSign) -> Vec<Markup> {
    let locked = locked.filter(|until| visit.now < *until);
    let name = if visit.may(Who::Administrator) {
        html! { a href={ "/people/" (login) } { (person.name) } }
    } else {
        html! { (person.name) }
    };
    vec![
        name,
        html! { (person.roles()) },
        html! { (certificate(person)) },
        html! {
            span.mono { (login) }
            @if let Some(reset) = reset(visit, login) { p.hint { "password set by " (reset) } }
        },
        match pin {
            Pin::Set => html! { "set" },
            Pin::Missing => parts::badge(Tone::Doubt, "not set"),
        },
        match locked {
            _ if !person.active => parts::badge(Tone::Bad, "may not log in"),
            Some(until) => {
                parts::badge(Tone::Doubt, &format!("locked until {}", visit.local(&until.to_string())))
            }
            None => parts::badge(Tone::Good, "active"),
        },
    ]
}

/// Number and kind of a certificate, or that there is none.
pub(crate) fn certificate(person: &Person) -> String {
    match (person.certificate.as_str(), person.kind.as_str()) {
        ("", _) => "none".to_owned(),
        (number, "") => number.to_owned(),
        (number, kind) => format!("{number}, {kind}"),
    }
}

/// Who set a password last in place of its owner, and when; none where nobody did.
pub(crate) fn reset(visit: &Visit, login: &str) -> Option<String> {
    let (by, at) = visit.shop.resets.get(login)?;
    Some(format!("{by}, {}", visit.local(at)))
}

/// GET /people/new
pub(crate) async fn new(visit: Visit) -> Answer {
    visit.page("Add a person", new_content(&visit, &Filled::with([("role", "technician")])))
}

fn new_content(visit: &Visit, filled: &Filled) -> Markup {
    html! {
        h1 { "Add a person" }
        (form_summary(filled))
        form.card method="post" action="/people" {
            (parts::seen(visit.shop.entries))
            div.fields {
                (Field::line("login", "Login name").needed().hint("2 to 32 small letters, digits, dot, dash; it cannot be changed later").show(filled))
                (fields(filled, true))
            }
            h2 { "First password" }
            (password_fields(filled))
            div.row { button type="submit" { "Add" } a.button.quiet href="/people" { "Cancel" } }
        }
    }
}

fn fields(filled: &Filled, new: bool) -> Markup {
    html! {
        @if new {
            (Field::line("name", "Name as printed").needed().hint("It cannot be changed later: signatures carry it.").show(filled))
        }
        (Field::line("certificate", "Certificate number").show(filled))
        (Field::line("kind", "Kind of certificate").hint("for example airframe, inspector").show(filled))
        div.full { (Field::radio("role", "Role", &ROLES).needed().show(filled)) }
        div.full data-when="role=data-keeper|administrator" { (Field::radio("also", "Also works on jobs as", &ALSO).hint("for a data keeper or an administrator").show(filled)) }
    }
}

fn password_fields(filled: &Filled) -> Markup {
    html! {
        div.fields {
            (Field::password("password", "Password", "new-password").needed().hint("10 characters or more; several words are good").show(filled))
            (Field::password("again", "The same again", "new-password").needed().show(filled))
        }
    }
}

/// Reads a new password, typed twice.
pub(crate) fn read_password(typed: &Typed, login: &str, wrong: &mut Wrong) -> String {
    let password = typed.exact("password");
    let count = password.chars().count();
    if !PASSWORD.contains(&count) {
        wrong.say(
            "password",
            Said::new(format!("the password has {count} character{}", if count == 1 { "" } else { "s" }))
                .allowed(format!("{} to {} characters", PASSWORD.start(), PASSWORD.end()))
                .hint("take several words"),
        );
    } else if password.eq_ignore_ascii_case(login)
        || password.to_lowercase().contains(&format!("{login}{login}"))
    {
        wrong.say(
            "password",
            Said::new("the password is made of the login name").hint("take several other words"),
        );
    }
    if password != typed.exact("again") {
        wrong.say("again", Said::new("the two passwords are not the same").hint("type both anew"));
    }
    password.to_owned()
}

/// The working role beside that of a keeper; a form without the field, or of somebody else, gives none.
fn read_also(typed: &Typed, role: Role, wrong: &mut Wrong) -> Option<Role> {
    let word = typed.get("also");
    if word.is_empty() || !role.keeps_data() {
        return None;
    }
    let found = Role::ALL.iter().find(|(known, role)| *known == word && role.works()).map(|(_, role)| *role);
    if found.is_none() {
        let said = Said::new(format!("“{word}” is no working role"));
        wrong.say("also", said.allowed("technician, inspector or neither").hint("choose one"));
    }
    found
}

fn read_role(typed: &Typed, wrong: &mut Wrong) -> Role {
    let word = typed.get("role");
    let found = Role::ALL.iter().find(|(known, _)| *known == word).map(|(_, role)| *role);
    if found.is_none() {
        let words: Vec<&str> = Role::ALL.iter().map(|(_, role)| role.word()).collect();
        wrong.say("role", Said::new("no role is chosen").allowed(words.join(", ")).hint("choose one"));
    }
    found.unwrap_or(Role::Technician)
}

pub(crate) fn read_login(visit: &Visit, typed: &Typed, wrong: &mut Wrong) -> String {
    let login = typed.get("login").to_lowercase();
    let sound = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || b".-".contains(&byte);
    if !(2..=32).contains(&login.len()) || !login.bytes().all(sound) || login == "new" {
        wrong.say(
            "login",
            Said::new(format!("“{login}” cannot be a login name"))
                .allowed("2 to 32 small letters, digits, dots and dashes")
                .hint("the family name is a good one"),
        );
    } else if visit.shop.people.contains_key(&login) {
        wrong.say("login", Said::new(format!("{login} is taken")).hint("add a letter of the first name"));
    }
    login
}

pub(crate) fn read_name(visit: &Visit, typed: &Typed, wrong: &mut Wrong) -> String {
    let name = wrong.need(typed, "name", "the name").to_owned();
    let folded = name.to_lowercase();
    if visit.shop.people.values().any(|other| other.name.to_lowercase() == folded) {
        wrong.say(
            "name",
            Said::new(format!("{name} is in the record already"))
                .allowed("a name that nobody else has")
                .hint("write the first name out"),
        );
    }
    if name.chars().count() > 80 {
        wrong.say(
            "name",
            Said::new("the name is longer than 80 characters").hint("shorten it as it is to be printed"),
        );
    }
    name
}

/// POST /people
pub(crate) async fn add(visit: Visit, typed: Typed) -> Answer {
    let mut wrong = Wrong::default();
    let login = read_login(&visit, &typed, &mut wrong);
    let name = read_name(&visit, &typed, &mut wrong);
    let role = read_role(&typed, &mut wrong);
    let also = read_also(&typed, role, &mut wrong);
    let password = read_password(&typed, &login, &mut wrong);
    if !wrong.is_empty() {
        return visit.refused("Add a person", new_content(&visit, &Filled::refused(typed, wrong)));
    }
    let (certificate, kind) = (typed.get("certificate").to_owned(), typed.get("kind").to_owned());
    let person = Person { name, role, also, certificate, kind, active: true };
    let hash = secrets::hash(&visit.app, &password).await?;
    let credential = Credential { login: login.clone(), password: Some(hash), ..Credential::default() };
    visit.enter_person(&Deed::PersonEntered { login, person }, &typed, credential).await?;
    go_saying("/people", "person")
}

fn known<'v>(visit: &'v Visit, login: &str) -> Result<&'v Person, Problem> {
    visit.shop.people.get(login).ok_or_else(|| Problem::not_found(format!("person {login}")))
}

/// GET /people/{login}
pub(crate) async fn one(visit: Visit, Path(login): Path<String>) -> Answer {
    let person = known(&visit, &login)?.clone();
    let filled = filled_of(&person);
    visit.page(&person.name, one_content(&visit, &login, &person, &filled, &Filled::default()))
}

/// What stands in the form of a person.
fn filled_of(person: &Person) -> Filled {
    let word = |of: Role| Role::ALL.iter().find(|(_, role)| *role == of).map_or("", |(word, _)| word);
    Filled::with([
        ("role", word(person.role)),
        ("also", person.also.map_or("", word)),
        ("certificate", &person.certificate),
        ("kind", &person.kind),
        ("active", if person.active { "yes" } else { "" }),
    ])
}

fn one_content(visit: &Visit, login: &str, person: &Person, filled: &Filled, secret: &Filled) -> Markup {
    html! {
        h1 { (person.name) }
        p.lead { "Login name " span.mono { (login) } }
        (form_summary(filled))
        (form_summary(secret))
        div.split {
            form.card method="post" action={ "/people/" (login) } {
                h2 { "Role and certificate" }
                (parts::seen(visit.shop.entries))
                div.fields { (fields(filled, false)) }
                (Field::tick("active", "may log in", "yes").show(filled))
                p.hint { "A change of role, or taking the log-in away, ends the sessions of this person." }
                div.row { button type="submit" { "Enter the change" } a.button.quiet href="/people" { "Back" } }
            }
            form.card method="post" action={ "/people/" (login) "/password" } {
                h2 { "New password" }
                p.hint { "It also ends a lock after wrong tries and all sessions of this person, and it takes the PIN away: it stands for a signature, so its owner sets a new one. The record says who set the password, and when." }
                @if let Some(reset) = reset(visit, login) { p.hint { "Last set so by " (reset) "." } }
                (password_fields(secret))
                div.row { button.quiet type="submit" { "Set the password" } }
            }
        }
    }
}

/// POST /people/{login}
pub(crate) async fn change(visit: Visit, Path(login): Path<String>, typed: Typed) -> Answer {
    let before = known(&visit, &login)?.clone();
    let mut wrong = Wrong::default();
    let role = read_role(&typed, &mut wrong);
    let also = read_also(&typed, role, &mut wrong);
    let active = typed.ticked("active", "yes");
    let person = Person {
        name: before.name.clone(),
        role,
        also,
        certificate: typed.get("certificate").to_owned(),
        kind: typed.get("kind").to_owned(),
        active,
    };
    if wrong.is_empty() && loses_last_administrator(&visit, &login, &person) {
        wrong.say(
            "role",
            Said::new(format!("{} is the only administrator who may log in", before.name))
                .allowed("at least one administrator who may log in")
                .hint("make somebody else an administrator first"),
        );
    }
    if !wrong.is_empty() {
        let content =
            one_content(&visit, &login, &before, &Filled::refused(typed, wrong), &Filled::default());
        return visit.refused(&before.name, content);
    }
    let ends = before.role != person.role || before.also != person.also || before.active != person.active;
    visit.enter_shop(&Deed::PersonEntered { login: login.clone(), person }, &typed).await?;
    if ends {
        visit.app.ask(move |store| store.end_sessions_of(&login)).await?;
    }
    go_saying("/people", "person")
}

fn loses_last_administrator(visit: &Visit, login: &str, person: &Person) -> bool {
    let keeps = |person: &Person| person.role == Role::Administrator && person.active;
    let others = visit.shop.people.iter().any(|(other, person)| other != login && keeps(person));
    !others && !keeps(person)
}

/// POST /people/{login}/password
pub(crate) async fn password(visit: Visit, Path(login): Path<String>, typed: Typed) -> Answer {
    let person = known(&visit, &login)?.clone();
    let mut wrong = Wrong::default();
    let password = read_password(&typed, &login, &mut wrong);
    if !wrong.is_empty() {
        let data = filled_of(&person);
        let content = one_content(&visit, &login, &person, &data, &Filled::refused(typed, wrong));
        return visit.refused(&person.name, content);
    }
    let hash = secrets::hash(&visit.app, &password).await?;
    // Without a PIN, so that no signature of before is left to whoever knows this password.
    let credential = Credential { login: login.clone(), password: Some(hash), ..Credential::default() };
    let now = Typed::of([("seen", visit.shop.entries.to_string())]);
    visit.enter_person(&Deed::PasswordReset { login }, &now, credential).await?;
    go_saying("/people", "password-reset")
}

/// Sets one's own password and ends the sessions that began with the old one.
pub(crate) async fn set_password(app: &App, login: &str, password: &str) -> Result<(), Problem> {
    let hash = secrets::hash(app, password).await?;
    let login = login.to_owned();
    app.ask(move |store| {
        store.set_password(&login, &hash)?;
        store.end_sessions_of(&login)
    })
    .await
}
