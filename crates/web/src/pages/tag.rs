//! The tag of a surface, to be printed and tied on: number, surface, part, serial, and a code that leads to the job.
//! Main functions: [`page`], [`svg`].

use super::jobs::link;
use crate::form::Typed;
use crate::parts::{self, Tone};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::{Answer, Visit};
use axum::extract::Path;
use axum::http::{HeaderMap, header};
use axum::response::IntoResponse;
use hingeline_bench::record::job::Job;
use hingeline_sheet::drawing::{TagDrawing, TagSize, tag};
use hingeline_sheet::{Palette, SheetError};
use maud::{Markup, html};

/// The sizes: word in the address and the class, words, measures. lists.css has a page of each.
const SIZES: [(&str, &str, TagSize); 3] = [
    ("small", "62 × 29 mm", TagSize { width_mm: 62.0, height_mm: 29.0, text_mm: 3.4 }),
    ("medium", "100 × 60 mm", TagSize { width_mm: 100.0, height_mm: 60.0, text_mm: 5.0 }),
    ("large", "148 × 105 mm (A6)", TagSize { width_mm: 148.0, height_mm: 105.0, text_mm: 8.0 }),
];

fn size(query: &Typed) -> Result<&'static (&'static str, &'static str, TagSize), Problem> {
    let word = match query.get("size") {
        "" => "medium",
        word => word,
    };
    SIZES
        .iter()
        .find(|(known, ..)| *known == word)
        .ok_or_else(|| Problem::not_found(format!("tag of size “{word}”: there are small, medium and large")))
}

/// The address that the code says: the first name that the shop was given, else the address that was asked for.
fn address(visit: &Visit, headers: &HeaderMap, number: &str) -> String {
    // The guard let in no host but one of ours.
    let asked = headers.get(header::HOST).and_then(|host| host.to_str().ok()).unwrap_or("localhost");
    let config = visit.app.config();
    let host = match config.names.first() {
        Some(name) => match port(asked) {
            Some(port) => format!("{name}:{port}"),
            None => name.clone(),
        },
        None => asked.to_owned(),
    };
    format!("{}://{host}{}", if config.secure { "https" } else { "http" }, link(number))
}

fn port(host: &str) -> Option<&str> {
    let (_, port) = host.rsplit_once(':')?;
    port.bytes().all(|byte| byte.is_ascii_digit()).then_some(port)
}

/// Whether an address leads to this machine from itself alone.
fn leads_nowhere(address: &str) -> bool {
    let host = address.split_once("://").map_or(address, |(_, rest)| rest);
    ["localhost", "127.", "[::1]"].iter().any(|here| host.starts_with(here))
}

fn drawing(job: &Job, number: &str, address: String) -> TagDrawing {
    let line = |word: &str, key: &str| match job.text(key) {
        "" => None,
        text => Some(format!("{word}{text}")),
    };
    let lines = [line("", "surface"), line("part ", "part"), line("serial ", "serial"), line("", "aircraft")];
    TagDrawing { number: number.to_owned(), lines: lines.into_iter().flatten().collect(), address }
}

/// Ink on white whatever the page's light, in the sheet's face, so that it prints as it looks.
fn palette() -> Palette {
    Palette { ink: "#000000".to_owned(), soft: "#333333".to_owned(), ..Palette::paper() }
}

fn drawn(drawing: &TagDrawing, size: TagSize) -> Result<Markup, Problem> {
    tag(drawing, &palette(), size).map_err(|error| match error {
        SheetError::Address { .. } => Problem::not_found("tag for so long a number".to_owned()),
        error => Problem::Defect { what: error.to_string() },
    })
}

/// GET /jobs/{number}/tag
pub(crate) async fn page(visit: Visit, Path(number): Path<String>, headers: HeaderMap) -> Answer {
    let job = visit.job(&number).await?;
    let (word, words, measures) = size(&visit.query)?;
    let address = address(&visit, &headers, &number);
    let drawing = drawing(&job, &number, address);
    let drawn = drawn(&drawing, *measures)?;
    let at = link(&number);
    visit.page(&format!("Tag {number}"), html! {
        div.title {
            h1 { "Tag of job " a href=(at) { (number) } }
            div.row {
                button type="button" data-print hidden { "Print" }
                a.button.quiet href={ (at) "/tag.svg?size=" (word) } { "SVG" }
            }
        }
        nav.sieve aria-label="Size" {
            ul { @for (each, words, _) in SIZES {
                li { a href={ (at) "/tag?size=" (each) } aria-current=[(each == *word).then_some("true")] { (words) } }
            } }
        }
        @if leads_nowhere(&drawing.address) {
            (parts::notice(Tone::Doubt, "This code leads nowhere from another device", &html! {
                "It says " span.mono { (drawing.address) } ", which is this machine alone. Open this page by the name or address that \
                 the tablets use"
                @if visit.may(Who::Administrator) { ", or start the program with " span.mono.keep { "--name" } "." }
                @else { "; whoever looks after the program can give it that name for good." }
            }))
        }
        div class={ "tag-sheet " (word) } { (drawn) }
        p.hint { "The page has the size of the tag, " (words) ": in the browser's print window choose that paper and 100 %. The code says " span.mono { (drawing.address) } "." }
    })
}

/// GET /jobs/{number}/tag.svg
pub(crate) async fn svg(visit: Visit, Path(number): Path<String>, headers: HeaderMap) -> Answer {
    let job = visit.job(&number).await?;
    let (_, _, measures) = size(&visit.query)?;
    let drawing = drawing(&job, &number, address(&visit, &headers, &number));
    let svg = drawn(&drawing, *measures)?.into_string();
    Ok(([(header::CONTENT_TYPE, "image/svg+xml; charset=utf-8")], svg).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_port_is_what_stands_behind_the_last_colon() {
        assert_eq!(port("bench.test:8080"), Some("8080"));
        assert_eq!(port("bench.test"), None);
        assert_eq!(port("[::1]:80"), Some("80"));
        assert_eq!(port("[::1]"), None);
    }

    #[test]
    fn an_address_of_this_machine_alone_is_known() {
        assert!(leads_nowhere("http://127.0.0.1:8080/jobs/1") && leads_nowhere("http://localhost/jobs/1"));
        assert!(!leads_nowhere("http://192.168.1.5:8080/jobs/1"));
    }
}
