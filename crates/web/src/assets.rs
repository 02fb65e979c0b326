//! The files beside the pages, held in the program: style and script. Main function: [`link`].

use crate::problem::Problem;
use crate::visit::Answer;
use axum::extract::Path;
use axum::http::header;
use axum::response::IntoResponse;
use std::collections::BTreeMap;
use std::sync::OnceLock;

const CSS: &str = "text/css; charset=utf-8";
const JS: &str = "text/javascript; charset=utf-8";
const SVG: &str = "image/svg+xml";

/// Every file: name, media type, content.
const FILES: &[(&str, &str, &str)] = &[
    ("hingeline.css", CSS, include_str!("../assets/hingeline.css")),
    ("bench.css", CSS, include_str!("../assets/bench.css")),
    ("job.css", CSS, include_str!("../assets/job.css")),
    ("lists.css", CSS, include_str!("../assets/lists.css")),
    ("hingeline.js", JS, include_str!("../assets/hingeline.js")),
    ("bench.js", JS, include_str!("../assets/bench.js")),
    ("job.js", JS, include_str!("../assets/job.js")),
    ("lists.js", JS, include_str!("../assets/lists.js")),
    ("mark.svg", SVG, include_str!("../assets/mark.svg")),
];

fn hashes() -> &'static BTreeMap<&'static str, String> {
    static HASHES: OnceLock<BTreeMap<&'static str, String>> = OnceLock::new();
    let hash = |text: &str| blake3::hash(text.as_bytes()).to_hex()[..12].to_owned();
    HASHES.get_or_init(|| FILES.iter().map(|(name, _, text)| (*name, hash(text))).collect())
}

/// The address of a file; it changes with its content, so that a browser may keep it for ever.
pub(crate) fn link(name: &str) -> String {
    let hash = hashes().get(name).map_or("", String::as_str);
    format!("/assets/{hash}/{name}")
}

/// GET /assets/{hash}/{name}
pub(crate) async fn serve(Path((hash, name)): Path<(String, String)>) -> Answer {
    let found = FILES.iter().find(|(known, ..)| *known == name);
    let Some((name, media, text)) = found else { return Err(Problem::not_found(format!("file {name}"))) };
    let keep = if hashes().get(name).is_some_and(|known| *known == hash) {
        "public, max-age=31536000, immutable"
    } else {
        "no-cache"
    };
    Ok(([(header::CONTENT_TYPE, *media), (header::CACHE_CONTROL, keep)], *text).into_response())
}
