//! Every page of a shop, found by following its links; compared with the table of pages, so that none is forgotten.
//! Main type: [`Survey`].

use crate::browser::Browser;
use hingeline_web::routes;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Pages of one kind that are looked at, where they differ only in what they show.
const OF_A_KIND: usize = 2;
/// Rows of the table that answer with a file and not with a page.
const FILES: [&str; 17] = [
    "/assets/{hash}/{name}",
    "/events",
    "/limits/{card}/export",
    "/jobs/{number}/photo/{hash}",
    "/jobs/{number}/release.pdf",
    "/jobs/{number}/tag.svg",
    "/jobs.csv",
    "/surfaces/{part}/{serial}/history.csv",
    "/instruments.csv",
    "/jobs/{number}/sheet.toml",
    "/jobs/{number}/result.json",
    "/jobs/{number}/ledger.jsonl",
    "/jobs/{number}/weights/{entry}/drawing.pdf",
    "/jobs/{number}/weights/{entry}/pattern.stl",
    "/jobs/{number}/weights/{entry}/sheet.toml",
    "/jobs/{number}/weights/{entry}/mesh",
    "/jobs/{number}/drill-outs/{entry}/sheet.toml",
];

/// Fetches a page and gives the paths of its links.
const LINKS: &str = r"
const done = arguments[arguments.length - 1];
fetch(arguments[0], {redirect: 'follow'}).then(async (got) => {
  if (!(got.headers.get('content-type') || '').startsWith('text/html')) return done([got.status, []]);
  const page = new DOMParser().parseFromString(await got.text(), 'text/html');
  const links = [...page.querySelectorAll('a[href]')].map((link) => new URL(link.getAttribute('href'), got.url));
  done([got.status, links.filter((link) => link.origin === location.origin).map((link) => link.pathname + link.search)]);
}, (error) => done([0, [String(error)]]));
";

/// What was found so far.
#[derive(Debug, Default)]
pub struct Survey {
    found: BTreeMap<String, usize>,
    rows: BTreeSet<&'static str>,
    seen: BTreeSet<String>,
    dead: Vec<String>,
}

impl Survey {
    /// Follows the links from `starts` as whoever is logged in, and gives the pages that are new in kind.
    pub async fn pages(&mut self, browser: &Browser, starts: &[&str]) -> Vec<String> {
        let mut seen: BTreeSet<String> = starts.iter().map(|path| (*path).to_owned()).collect();
        let mut todo: VecDeque<String> = starts.iter().map(|path| (*path).to_owned()).collect();
        let mut pages = Vec::new();
        let mut mine: BTreeMap<String, usize> = BTreeMap::new();
        while let Some(path) = todo.pop_front() {
            let Some((row, kind)) = kind(&path) else {
                self.dead.push(format!("a link leads to {path}, which is no page"));
                continue;
            };
            let count = mine.entry(kind.clone()).or_default();
            // Every job has a page of its own state; of the others a few will do.
            if FILES.contains(&row) || (*count >= OF_A_KIND && row != "/jobs/{number}") {
                continue;
            }
            *count += 1;
            let (status, links) = links(browser, &path).await;
            if status == 404 || status >= 500 {
                self.dead.push(format!("a link leads to {path}, which answers {status}"));
            }
            // What somebody else was shown in the same way need not be looked at again.
            let before = self.found.entry(kind).or_default();
            if status == 200
                && (*before < OF_A_KIND || (row == "/jobs/{number}" && !self.seen.contains(&path)))
            {
                *before += 1;
                self.rows.insert(row);
                self.seen.insert(path.clone());
                pages.push(path);
            }
            todo.extend(links.into_iter().filter(|link| seen.insert(link.clone())));
        }
        pages
    }
    /// Links that lead to nothing.
    #[must_use]
    pub fn dead(&self) -> &[String] {
        &self.dead
    }
    /// Rows of the table that answer with a page and that nobody has seen.
    #[must_use]
    pub fn missing(&self) -> Vec<&'static str> {
        let pages =
            routes::table().into_iter().filter(|row| row.method == http::Method::GET).map(|row| row.path);
        pages.filter(|row| !FILES.contains(row) && !self.rows.contains(row)).collect()
    }
    /// A page that was seen without a link to it.
    pub fn saw(&mut self, row: &'static str) {
        self.rows.insert(row);
    }
}

async fn links(browser: &Browser, path: &str) -> (u64, Vec<String>) {
    let answer =
        browser.client.execute_async(LINKS, vec![Value::from(path)]).await.expect("the page is fetched");
    let links = answer[1].as_array().cloned().unwrap_or_default();
    let links = links.into_iter().filter_map(|link| link.as_str().map(worth)).collect();
    (answer[0].as_u64().unwrap_or(0), links)
}

/// The path with what makes another page of it: the method and the stage of a weighing.
fn worth(link: &str) -> String {
    let (path, query) = link.split_once('?').unwrap_or((link, ""));
    let kept: Vec<&str> = query
        .split('&')
        .filter(|part| ["method=", "stage=", "q="].iter().any(|key| part.starts_with(key)))
        .collect();
    if kept.is_empty() { path.to_owned() } else { format!("{path}?{}", kept.join("&")) }
}

/// The row of the table that a path belongs to, and the kind of page that it is.
fn kind(path: &str) -> Option<(&'static str, String)> {
    let (path, query) = path.split_once('?').unwrap_or((path, ""));
    let rows = routes::table().into_iter().filter(|row| row.method == http::Method::GET).map(|row| row.path);
    let fits: Vec<&'static str> = rows.filter(|row| matches(row, path)).collect();
    let row = fits.iter().min_by_key(|row| row.matches('{').count())?;
    // A weighing is mended on the page it was taken on: one method will do there.
    let method =
        query.split('&').find(|part| part.starts_with("method=") && !row.contains("{entry}")).unwrap_or("");
    Some((row, format!("{row}?{method}")))
}

fn matches(row: &str, path: &str) -> bool {
    let (mut row, mut path) = (row.split('/'), path.split('/'));
    loop {
        match (row.next(), path.next()) {
            (None, None) => return true,
            (Some(here), Some(there)) if here == there || (here.starts_with('{') && !there.is_empty()) => {}
            _ => return false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{kind, worth};

    #[test]
    fn a_path_belongs_to_its_row() {
        let row = |path| kind(path).map(|(row, _)| row);
        assert_eq!(row("/jobs/new"), Some("/jobs/new"));
        assert_eq!(row("/jobs/HP-0231"), Some("/jobs/{number}"));
        assert_eq!(row("/nowhere/at/all"), None);
    }
    #[test]
    fn units_make_no_other_page() {
        assert_eq!(
            worth("/jobs/HP-0231/weigh?stage=as-left&method=hung-weight&units=metric"),
            "/jobs/HP-0231/weigh?stage=as-left&method=hung-weight"
        );
        assert_eq!(worth("/jobs?page=2"), "/jobs");
    }
}
