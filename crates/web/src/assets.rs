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

const TTF: &str = "font/ttf";

/// Every file: name, media type, content. A style names a face by its bare file name.
const FILES: &[(&str, &str, &[u8])] = &[
    ("SourceSans3-Regular.ttf", TTF, hingeline_sheet::REGULAR),
    ("SourceSans3-SemiBold.ttf", TTF, hingeline_sheet::SEMI_BOLD),
    ("hingeline.css", CSS, include_bytes!("../assets/hingeline.css")),
    ("bench.css", CSS, include_bytes!("../assets/bench.css")),
    ("job.css", CSS, include_bytes!("../assets/job.css")),
    ("lists.css", CSS, include_bytes!("../assets/lists.css")),
    ("weight.css", CSS, include_bytes!("../assets/weight.css")),
    ("hingeline.js", JS, include_bytes!("../assets/hingeline.js")),
    ("bench.js", JS, include_bytes!("../assets/bench.js")),
    ("job.js", JS, include_bytes!("../assets/job.js")),
    ("lists.js", JS, include_bytes!("../assets/lists.js")),
    ("weight.js", JS, include_bytes!("../assets/weight.js")),
    ("mark.svg", SVG, include_bytes!("../assets/mark.svg")),
];

fn hashes() -> &'static BTreeMap<&'static str, String> {
    static HASHES: OnceLock<BTreeMap<&'static str, String>> = OnceLock::new();
    let hash = |bytes: &[u8]| blake3::hash(bytes).to_hex()[..12].to_owned();
    HASHES.get_or_init(|| FILES.iter().map(|(name, _, bytes)| (*name, hash(bytes))).collect())
}

/// The address of a file; it changes with its content, so that a browser may keep it for ever.
pub(crate) fn link(name: &str) -> String {
    let hash = hashes().get(name).map_or("", String::as_str);
    format!("/assets/{hash}/{name}")
}

/// GET /assets/{hash}/{name}
pub(crate) async fn serve(Path((hash, name)): Path<(String, String)>) -> Answer {
    let found = FILES.iter().find(|(known, ..)| *known == name);
    let Some((name, media, bytes)) = found else { return Err(Problem::not_found(format!("file {name}"))) };
    let known = hashes().get(name).is_some_and(|known| *known == hash);
    let keep = match *media {
        // A style names a face without its hash; a face does not change.
        TTF => "public, max-age=31536000",
        _ if known => "public, max-age=31536000, immutable",
        _ => "no-cache",
    };
    Ok(([(header::CONTENT_TYPE, *media), (header::CACHE_CONTROL, keep)], *bytes).into_response())
}
