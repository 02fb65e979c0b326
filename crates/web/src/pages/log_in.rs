//! Log in, log out, and the switch between light and dark.

use crate::app::App;
use crate::demo;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, log_in_summary};
use crate::problem::Problem;
use crate::secrets::{self, Secret, Tried};
use crate::session::{self, Theme};
use crate::visit::{Answer, Visit, go, inside};
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::IntoResponse;
use hingeline_bench::record::deed::Role;
use maud::{Markup, html};

/// GET /log-in
pub(crate) async fn page(visit: Visit) -> Answer {
    if visit.me.is_some() {
        return go("/");
    }
    if visit.shop.people.is_empty() {
        return go("/set-up");
    }
    let [to, out] = ["to", "out"].map(|key| (key, visit.query.get(key)));
    visit.page("Log in", content(&visit, &Filled::with([to, out])))
}

/// POST /log-in
pub(crate) async fn enter(visit: Visit, typed: Typed) -> Answer {
    let mut wrong = Wrong::default();
    let login = wrong.need(&typed, "login", "the login name").to_lowercase();
    // No login name is longer; what was typed is kept for the locks, and must not fill the memory.
    let login: String = login.chars().take(64).collect();
    if typed.exact("password").is_empty() {
        wrong.say("password", Said::new("the password is empty").hint("fill it in"));
    }
    if !wrong.is_empty() {
        return visit.refused("Log in", content(&visit, &Filled::refused(typed, wrong)));
    }
    let tried = secrets::attempt(&visit.app, &login, Secret::Password, typed.exact("password")).await?;
    let active = visit.shop.person(&login).is_some();
    match tried {
        Tried::Right if active => {
            let cookie = session::start(&visit.app, &login).await?;
            let mut response = go(inside(typed.get("to")))?;
            response.headers_mut().append(header::SET_COOKIE, cookie);
            Ok(response)
        }
        tried => {
            let (status, said) = refusal(&visit, tried);
            wrong.say("", said);
            let page = visit.page("Log in", content(&visit, &Filled::refused(typed, wrong)))?;
            Ok((status, page).into_response())
        }
    }
}

fn refusal(visit: &Visit, tried: Tried) -> (StatusCode, Said) {
    match tried {
        Tried::Locked { until } => (StatusCode::TOO_MANY_REQUESTS, secrets::locked(visit, until)),
        Tried::Wrong { left } => {
            let tries =
                if left == 1 { "one more try is".to_owned() } else { format!("{left} more tries are") };
            let said = Said::new("the login name or the password is wrong").hint(format!(
                "after {} wrong tries the login is locked for {} minutes; {tries} left",
                secrets::TRIES,
                secrets::LOCKED.as_mins()
            ));
            (StatusCode::UNPROCESSABLE_ENTITY, said)
        }
        Tried::Right | Tried::NotSet => {
            let said = Said::new("this login is not in use").hint("ask an administrator");
            (StatusCode::UNPROCESSABLE_ENTITY, said)
        }
    }
}

fn content(visit: &Visit, filled: &Filled) -> Markup {
    html! {
        div.narrow {
            h1 { "Log in" }
            @if filled.typed.has("out") && filled.wrong.is_empty() { (logged_out(filled.typed.get("to"))) }
            (log_in_summary(filled))
            form.card method="post" action="/log-in" {
                input type="hidden" name="to" value=(filled.typed.get("to"));
                (Field::line("login", "Login name").needed().autocomplete("username").show(filled))
                (Field::password("password", "Password", "current-password").needed().show(filled))
                div.row { button type="submit" { "Log in" } }
            }
            @if visit.app.config().demo { (demo_people()) }
        }
    }
}

/// Said to whoever sent a form after the session had ended.
fn logged_out(to: &str) -> Markup {
    parts::notice(
        Tone::Doubt,
        "You were logged out",
        &html! {
            p { "What you sent was not entered." }
            p data-kept=(inside(to)) hidden { "What you typed is kept on this device. Log in and it is put back." }
        },
    )
}

/// The people of the demo with their secrets, which are none.
fn demo_people() -> Markup {
    let row = |(login, name, role, _, _, pin): &(&str, &str, Role, &str, &str, &str)| {
        vec![
            html! { span.keep { (name) } },
            html! { (role.word()) },
            html! { code.keep { (login) } },
            html! { code.keep { (pin) } },
        ]
    };
    let rows: Vec<Vec<Markup>> = demo::PEOPLE.iter().map(row).collect();
    html! {
        section.card {
            h2 { "This is a demo" }
            p { "Everybody and everything here is invented. The password of all of them is " code.keep { (demo::PASSWORD) } "." }
            p.hint { "The PIN is not asked for here: it stands for a signature, when a job is signed off or inspected." }
            (parts::table("Who to log in as", &["name", "role", "login", "PIN"], &rows))
        }
    }
}

/// POST /log-out
pub(crate) async fn leave(visit: Visit) -> Answer {
    if let Some(token) = visit.token.clone() {
        visit.app.ask(move |store| store.end_session(&token)).await?;
    }
    let mut response = go("/log-in")?;
    response.headers_mut().append(header::SET_COOKIE, session::forget(&visit.app)?);
    Ok(response)
}

/// POST /theme
pub(crate) async fn theme(State(app): State<App>, typed: Typed) -> Result<axum::response::Response, Problem> {
    let mut response = go(inside(typed.get("to")))?;
    response.headers_mut().append(header::SET_COOKIE, Theme::read(typed.get("theme")).keep(&app)?);
    Ok(response)
}
