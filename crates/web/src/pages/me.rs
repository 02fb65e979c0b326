//! The page of whoever is logged in: what the record knows about them, password, PIN, log-out.

use super::people;
use crate::form::{Filled, Said, Typed, Wrong};
use crate::parts::{self, Field, Tone, form_summary};
use crate::problem::Problem;
use crate::secrets::{self, Secret};
use crate::session;
use crate::visit::{Answer, Visit, go_saying};
use axum::http::header;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::shop::OWN_PASSWORD_FIRST;
use maud::{Markup, html};

/// GET /me
pub(crate) async fn page(visit: Visit) -> Answer {
    let content = content(&visit, &Filled::default(), &Filled::default()).await?;
    visit.page("Me", content)
}

async fn content(visit: &Visit, pin: &Filled, password: &Filled) -> Result<Markup, Problem> {
    let me = visit.me()?;
    let login = me.login.clone();
    let credential = visit.app.ask(move |store| store.credential(&login)).await?;
    let has_pin = credential.is_some_and(|it| it.pin.is_some());
    let reset = people::reset(visit, &me.login);
    Ok(html! {
        div.title {
            h1 { (me.person.name) }
            form.phone-only method="post" action="/log-out" { button.quiet type="submit" { "Log out" } }
        }
        (parts::facts(&[
            ("Login name", html! { span.mono { (me.login) } }),
            ("Role", html! { (me.person.roles()) }),
            ("Certificate", html! { (people::certificate(&me.person)) }),
            ("PIN for signatures", html! { (if has_pin { "set" } else { "not set yet" }) }),
            ("Password set by somebody else", html! { (reset.as_deref().unwrap_or("never")) }),
        ]))
        @if let Some(reset) = reset.filter(|_| !has_pin) { (reset_notice(&reset)) }
        (form_summary(pin))
        (form_summary(password))
        div.split {
            (password_form(password))
            @if visit.shop.not_own.contains(&me.login) { (own_password_first()) } @else { (pin_form(pin, has_pin)) }
        }
    })
}

/// Said to whoever has a password that somebody else set.
fn reset_notice(reset: &str) -> Markup {
    let words = html! {
        p { "It was set by " (reset) ", and your PIN was taken away with it. Set another password, so that only you know it, and then a PIN." }
        p { "If you did not ask for it, tell whoever answers for the record." }
    };
    parts::notice(Tone::Doubt, "Your password was set by an administrator.", &words)
}

/// In place of the form of the PIN.
fn own_password_first() -> Markup {
    let why = html! { p { (OWN_PASSWORD_FIRST) "." } };
    parts::notice(Tone::Doubt, "PIN: first choose a password of your own", &why)
}

fn pin_form(filled: &Filled, has: bool) -> Markup {
    html! {
        form.card method="post" action="/me/pin" {
            h2 { @if has { "Another PIN" } @else { "Set a PIN" } }
            p.hint { "It is your signature. Tell it to nobody." }
            (Field::password("current", "Your password", "current-password").needed().show(filled))
            (Field::pin("pin", "PIN").needed().hint("4 to 8 digits, not all the same and not in a row").show(filled))
            (Field::pin("pin-again", "The same again").needed().show(filled))
            div.row { button type="submit" { "Set the PIN" } }
        }
    }
}

fn password_form(filled: &Filled) -> Markup {
    html! {
        form.card method="post" action="/me/password" {
            h2 { "Another password" }
            p.hint { "All your sessions end, except this one." }
            (Field::password("current", "Your password now", "current-password").needed().show(filled))
            (Field::password("password", "New password", "new-password").needed().hint("10 characters or more; several words are good").show(filled))
            (Field::password("again", "The same again", "new-password").needed().show(filled))
            div.row { button.quiet type="submit" { "Set the password" } }
        }
    }
}

/// Tries the password that stands in the field "current".
async fn current(visit: &Visit, typed: &Typed, wrong: &mut Wrong) -> Result<(), Problem> {
    let password = typed.exact("current");
    let tried = secrets::attempt(&visit.app, &visit.me()?.login, Secret::Password, password).await?;
    if let Some(said) = secrets::said(visit, Secret::Password, tried) {
        wrong.say("current", said);
    }
    Ok(())
}

/// POST /me/pin
pub(crate) async fn pin(visit: Visit, typed: Typed) -> Answer {
    let mut wrong = Wrong::default();
    let pin = typed.exact("pin").to_owned();
    let deed = Deed::PinSet { login: visit.me()?.login.clone() };
    if let Err(refusal) = visit.shop.allows(&deed, &visit.me()?.person) {
        wrong.say("", Said::new(refusal.to_string()).hint("set another password first"));
    }
    if let Some(said) = wrong_pin(&pin) {
        wrong.say("pin", said);
    }
    if pin != typed.exact("pin-again") {
        wrong.say("pin-again", Said::new("the two PINs are not the same").hint("type both anew"));
    }
    // A wrong try counts, so the password is tried only where everything else is right.
    if typed.exact("current").is_empty() {
        wrong.say("current", Said::new("your password is empty").hint("fill it in"));
    } else if wrong.is_empty() {
        current(&visit, &typed, &mut wrong).await?;
    }
    if !wrong.is_empty() {
        let content = content(&visit, &Filled::refused(typed, wrong), &Filled::default()).await?;
        return visit.refused("Me", content);
    }
    let hash = secrets::hash(&visit.app, &pin).await?;
    let login = visit.me()?.login.clone();
    // The entry first: a PIN that signs is never without one.
    visit.enter_shop(&deed, &now(&visit)).await?;
    visit.app.ask(move |store| store.set_pin(&login, Some(&hash))).await?;
    go_saying("/me", "pin")
}

/// A form that hangs on no entry of the shop is entered after the newest one.
fn now(visit: &Visit) -> Typed {
    Typed::of([("seen", visit.shop.entries.to_string())])
}

/// What is wrong with a PIN.
fn wrong_pin(pin: &str) -> Option<Said> {
    let allowed = "4 to 8 digits, not all the same and not in a row";
    let digits: Vec<u8> = pin.bytes().collect();
    let apart = |by: i16| digits.windows(2).all(|two| i16::from(two[1]) - i16::from(two[0]) == by);
    if !(4..=8).contains(&digits.len()) || !digits.iter().all(u8::is_ascii_digit) {
        return Some(
            Said::new("this is no PIN").allowed(allowed).hint("take digits that others do not guess"),
        );
    }
    let easy = apart(0) || apart(1) || apart(-1);
    easy.then(|| Said::new("this PIN is easily guessed").allowed(allowed).hint("take other digits"))
}

/// POST /me/password
pub(crate) async fn password(visit: Visit, typed: Typed) -> Answer {
    let login = visit.me()?.login.clone();
    let mut wrong = Wrong::default();
    let new = people::read_password(&typed, &login, &mut wrong);
    if typed.exact("current").is_empty() {
        wrong.say("current", Said::new("your password is empty").hint("fill it in"));
    } else if wrong.is_empty() {
        current(&visit, &typed, &mut wrong).await?;
    }
    if !wrong.is_empty() {
        let content = content(&visit, &Filled::default(), &Filled::refused(typed, wrong)).await?;
        return visit.refused("Me", content);
    }
    people::set_password(&visit.app, &login, &new).await?;
    visit.enter_shop(&Deed::PasswordChosen { login: login.clone() }, &now(&visit)).await?;
    let mut response = go_saying("/me", "password")?;
    response.headers_mut().append(header::SET_COOKIE, session::start(&visit.app, &login).await?);
    Ok(response)
}

#[cfg(test)]
mod tests {
    use super::wrong_pin;

    #[test]
    fn a_pin_is_four_to_eight_digits_that_are_no_row() {
        for good in ["4711", "90210", "13579246", "1123"] {
            assert!(wrong_pin(good).is_none(), "{good}");
        }
        for bad in ["", "123", "123456789", "12a4", "1111", "1234", "9876", "٤٧١١", " 4711"] {
            assert!(wrong_pin(bad).is_some(), "{bad}");
        }
    }
}
