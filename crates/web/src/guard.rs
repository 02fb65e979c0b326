//! What stands round all pages: which host was asked for, where a form comes from, how large and how slow a request
//! may be, what a browser may do with a page.

use crate::app::App;
use crate::layout;
use crate::problem::Problem;
use crate::visit;
use axum::Router;
use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::Response;
use std::net::IpAddr;
use std::time::Duration;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;

/// What a form may hold at most, bytes, where the row of the table says nothing else.
pub(crate) const FORM: usize = 256 * 1024;
/// How long a request may take.
const SLOWEST: Duration = Duration::from_secs(60);

/// All of it round a router; the first line is the innermost.
pub(crate) fn around(router: Router<App>, app: &App) -> Router {
    router
        .layer(DefaultBodyLimit::max(FORM))
        .layer(CatchPanicLayer::custom(|_| layout::bare(&Problem::Defect { what: "panic".to_owned() })))
        .layer(from_fn_with_state(app.clone(), visit::recognise))
        .layer(TimeoutLayer::with_status_code(StatusCode::SERVICE_UNAVAILABLE, SLOWEST))
        .layer(from_fn(origin))
        .layer(from_fn_with_state(app.clone(), host))
        .layer(CompressionLayer::new())
        .layer(from_fn_with_state(app.clone(), headers))
        .with_state(app.clone())
}

/// The host that was asked for, with its port where one was named.
pub(crate) fn asked(request: &Request) -> Option<String> {
    let host = request.headers().get(header::HOST).and_then(|value| value.to_str().ok());
    let host = host.or_else(|| request.uri().authority().map(|authority| authority.as_str()))?;
    Some(host.to_owned())
}

fn without_port(host: &str) -> &str {
    match host.strip_prefix('[').and_then(|rest| rest.split_once(']')) {
        Some((inside, _)) => inside,
        None => host.rsplit_once(':').map_or(host, |(name, _)| name),
    }
}

fn is_ours(host: &str, names: &[String]) -> bool {
    let name = without_port(host);
    name.eq_ignore_ascii_case("localhost")
        || name.parse::<IpAddr>().is_ok()
        || names.iter().any(|known| known.eq_ignore_ascii_case(name))
}

/// A foreign page whose name was pointed at this machine gets nothing (421).
async fn host(State(app): State<App>, request: Request, next: Next) -> Response {
    match asked(&request) {
        Some(host) if is_ours(&host, &app.config().names) => next.run(request).await,
        _ => layout::plain(
            StatusCode::MISDIRECTED_REQUEST,
            "This name is not one of this shop's. Start hingeline serve with --name and the name of this machine, or ask for its address.",
        ),
    }
}

/// A form comes from one of our own pages, or from no page at all (403).
async fn origin(request: Request, next: Next) -> Response {
    let reads = matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    if reads || same_origin(request.headers(), asked(&request).as_deref()) {
        return next.run(request).await;
    }
    layout::plain(
        StatusCode::FORBIDDEN,
        "This form was sent from another site's page. Nothing was written. Open the page here and send it again.",
    )
}

fn same_origin(headers: &HeaderMap, host: Option<&str>) -> bool {
    let text = |name: &str| headers.get(name).map(|value| value.to_str().unwrap_or("unreadable"));
    let site = text("sec-fetch-site").is_none_or(|site| site == "same-origin" || site == "none");
    let origin = text("origin").is_none_or(|origin| {
        let sent = origin.split_once("://").map(|(_, rest)| rest);
        sent.is_some() && sent == host
    });
    site && origin
}

const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; \
    connect-src 'self'; font-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'";

/// What a browser may do with a page.
async fn headers(State(app): State<App>, request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    let mut set = |name: &'static str, value: &'static str| {
        headers.entry(name).or_insert(HeaderValue::from_static(value));
    };
    set("content-security-policy", POLICY);
    set("x-content-type-options", "nosniff");
    set("x-frame-options", "DENY");
    set("referrer-policy", "same-origin");
    set("cross-origin-opener-policy", "same-origin");
    set("cross-origin-resource-policy", "same-origin");
    set("permissions-policy", "geolocation=(), microphone=(), payment=()");
    set("cache-control", "no-store");
    if app.config().secure {
        set("strict-transport-security", "max-age=31536000");
    }
    response
}
