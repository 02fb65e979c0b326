//! The frame of every page: header, navigation, what the page holds, title block. Main functions: [`page`], [`problem`].

use crate::assets;
use crate::parts::{self, Tone};
use crate::problem::Problem;
use crate::session::Theme;
use crate::visit::Visit;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use maud::{DOCTYPE, Markup, html};

/// The navigation of everybody who is logged in: path, word.
const NAV: [(&str, &str); 5] = [
    ("/jobs", "Jobs"),
    ("/aircraft", "Aircraft"),
    ("/limits", "Limits"),
    ("/instruments", "Instruments"),
    ("/people", "People"),
];

/// A whole page.
pub(crate) fn page(visit: &Visit, title: &str, content: Markup) -> Markup {
    document(
        visit.theme,
        title,
        (visit.me.as_ref().map(|me| me.login.as_str()), visit.posted.then_some(visit.here.as_str())),
        &html! {
            a.skip href="#main" { "To the content" }
            (head(visit))
            main #main tabindex="-1" {
                // A link from elsewhere could claim that something was entered.
                @if let Some((tone, said)) = parts::done(visit.query.get("done")).filter(|_| !visit.from_outside) {
                    (parts::notice(tone, if tone == Tone::Good { "Done" } else { "Entered" }, &html! { (said) }))
                }
                (content)
            }
            (foot(visit))
        },
    )
}

/// `who` is the login of whoever sees it and, where it answers a form, the page of that form: the script keeps what is
/// typed by them.
fn document(theme: Theme, title: &str, who: (Option<&str>, Option<&str>), body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" data-theme=(theme.word()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (title) " · Hingeline" }
                link rel="icon" type="image/svg+xml" href=(assets::link("mark.svg"));
                @for sheet in ["hingeline.css", "job.css", "bench.css", "lists.css", "weight.css"] {
                    link rel="stylesheet" href=(assets::link(sheet));
                }
                @for script in ["hingeline.js", "job.js", "bench.js", "lists.js", "weight.js"] {
                    script type="module" src=(assets::link(script)) {}
                }
            }
            body data-me=[who.0] data-posted=[who.1] { (body) }
        }
    }
}

fn head(visit: &Visit) -> Markup {
    html! {
        header.top {
            a.brand href="/" { (mark()) span { "Hingeline" } }
            @if let Some(me) = &visit.me {
                form.search role="search" aria-label="The whole shop" method="get" action="/search" {
                    label.unseen for="search" { "Search jobs, serials, part numbers" }
                    input #search type="search" name="q" placeholder="Job, serial, part number" value=(visit.query.get("q"));
                    button.quiet type="submit" { "Search" }
                }
                a.who href="/me" { (me.person.name) small { (me.person.roles()) } }
                form.out method="post" action="/log-out" { button.small type="submit" { "Log out" } }
            }
        }
        @if visit.me.is_some() {
            nav.ways aria-label="Main" {
                ul {
                    @for (path, word) in NAV { li { a href=(path) aria-current=[here(visit, path)] { (word) } } }
                }
            }
        }
    }
}

fn here(visit: &Visit, path: &str) -> Option<&'static str> {
    let rest = visit.path.strip_prefix(path)?;
    (rest.is_empty() || rest.starts_with('/')).then_some("page")
}

/// A surface on its hinge line.
fn mark() -> Markup {
    html! {
        svg.mark viewBox="0 0 44 24" aria-hidden="true" {
            path.blade d="M3 12C4 5 11 4 16 4.6L42 11.4V12.6L16 19.4C11 20 4 19 3 12Z" {}
            path.axis d="M14 0V24" {}
            circle.pivot cx="14" cy="12" r="3.2" {}
        }
    }
}

/// The title block at the foot of the page, as on a drawing.
fn foot(visit: &Visit) -> Markup {
    html! {
        footer.block {
            dl {
                div { dt { "Day" } dd { (visit.today) } }
                @if visit.me.is_some() {
                    div { dt { "Record" } dd { (visit.head.entries) @if visit.head.entries == 1 { " entry" } @else { " entries" } } }
                    div.wide { dt { "Newest seal" } dd.mono { (visit.head.hash.short()) } }
                }
                div { dt { "Program" } dd { "Hingeline " (env!("CARGO_PKG_VERSION")) } }
                div { dt { "Theme" } dd { (theme(visit)) } }
            }
            p { "The approved data and a licensed person decide. This program calculates and records." }
        }
    }
}

fn theme(visit: &Visit) -> Markup {
    html! {
        form.theme method="post" action="/theme" {
            input type="hidden" name="to" value=(visit.here);
            @for (word, theme) in Theme::ALL {
                button.small type="submit" name="theme" value=(word) aria-pressed=(if theme == visit.theme { "true" } else { "false" }) {
                    (word)
                }
            }
        }
    }
}

/// The page of what went wrong, in the layout of the visitor.
pub(crate) async fn problem(visit: &Visit, problem: &Problem) -> Response {
    let (title, what, hint) = problem.words();
    let more = match problem {
        Problem::Stale { ledger, seen, entries, typed } => {
            crate::pages::stale::content(visit, ledger, *seen, *entries, typed).await
        }
        Problem::Defect { what } => {
            log(what);
            html! {}
        }
        _ => html! {},
    };
    let content = html! {
        h1 { (title) }
        (parts::notice(Tone::Bad, title, &html! { p { (what) } p { (hint) } }))
        (more)
        @if visit.me.is_none() { p { a.button href="/log-in" { "Log in" } } }
    };
    (problem.status(), page(visit, title, content)).into_response()
}

/// A fault of the program goes to whoever reads its messages.
#[allow(clippy::print_stderr, reason = "the one place where the pages tell the terminal what failed")]
fn log(what: &str) {
    eprintln!("error: a page failed: {what}");
}

/// The page of what went wrong before it is known who asks.
pub(crate) fn bare(problem: &Problem) -> Response {
    let (title, what, hint) = problem.words();
    if let Problem::Defect { what } = problem {
        log(what);
    }
    let content = html! { main #main { h1 { (title) } p { (what) } p { (hint) } p { a href="/" { "To the first page" } } } };
    (problem.status(), document(Theme::Device, title, (None, None), &content)).into_response()
}

/// A few words without a page, for what does not come from one of our pages.
pub(crate) fn plain(status: StatusCode, text: &str) -> Response {
    (status, [(header::CONTENT_TYPE, "text/plain; charset=utf-8")], format!("{text}\n")).into_response()
}
