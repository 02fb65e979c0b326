//! The list of jobs: filters, pages, search; and the rows that other lists share. Main functions: [`page`], [`table`].

use crate::form::Typed;
use crate::parts::{self, Tone};
use crate::problem::Problem;
use crate::visit::{Answer, Visit};
use hingeline_bench::mark::Recorded;
use hingeline_bench::record::card;
use hingeline_bench::record::job::Job;
use hingeline_bench::record::shop::Shop;
use hingeline_bench::record::told::{self, Told};
use hingeline_bench::record::way::Step;
use hingeline_store::{Filter, JobRow, State, Store, StoreError};
use maud::{Markup, html};

/// Rows on a page.
pub(super) const ON_A_PAGE: usize = 25;
/// The most that a search looks through.
const MOST_FOUND: u64 = 1000;

/// Which jobs are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Show {
    Open,
    Released,
    All,
}

impl Show {
    const ALL: [(Self, &'static str, &'static str); 3] =
        [(Self::Open, "open", "Open"), (Self::Released, "released", "Released"), (Self::All, "all", "All")];

    fn word(self) -> &'static str {
        Self::ALL.iter().find(|(show, ..)| *show == self).map_or("", |(_, word, _)| word)
    }
    fn filter(self) -> Filter {
        match self {
            Self::Open => Filter::Open,
            Self::Released => Filter::Released,
            Self::All => Filter::All,
        }
    }
    fn takes(self, state: State) -> bool {
        match self {
            Self::Open => state == State::Open,
            Self::Released => state == State::Released,
            Self::All => true,
        }
    }
}

/// What is asked of the list.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    /// Which jobs.
    pub(super) show: Show,
    /// The text of the search; empty for all.
    pub(super) text: String,
    /// The page, from 1.
    pub(super) page: usize,
}

impl Asked {
    /// Reads it from the address; `show` is what is shown where the address does not say.
    pub(super) fn of(query: &Typed, show: Show) -> Result<Self, Problem> {
        let show = match query.get("show") {
            "" => show,
            word => {
                Show::ALL.iter().find(|(_, known, _)| *known == word).map(|(show, ..)| *show).ok_or_else(
                    || Problem::not_found(format!("list “{word}”: there are open, released and all")),
                )?
            }
        };
        let page = match query.get("page") {
            "" => 1,
            text => text
                .parse()
                .ok()
                .filter(|page| *page > 0)
                .ok_or_else(|| Problem::not_found(format!("page “{text}”: pages are numbered from 1")))?,
        };
        Ok(Self { show, text: query.get("q").to_owned(), page })
    }
    /// The address of another page or filter of the same list.
    fn link(&self, path: &str, show: Show, page: usize) -> String {
        let mut link = format!("{path}?show={}", show.word());
        if !self.text.is_empty() {
            link.push_str(&format!("&q={}", parts::escape(&self.text)));
        }
        if page > 1 {
            link.push_str(&format!("&page={page}"));
        }
        link
    }
    /// All rows that are asked for, whatever the page.
    pub(super) fn rows(&self, store: &Store) -> Result<Vec<JobRow>, StoreError> {
        if self.text.is_empty() {
            return store.jobs(&self.show.filter(), store.count(&self.show.filter())?, 0);
        }
        let mut rows = store.search(&self.text, MOST_FOUND)?;
        rows.retain(|row| self.show.takes(row.state));
        Ok(rows)
    }
    fn find(&self, store: &Store) -> Result<Found, StoreError> {
        let start = (self.page - 1).saturating_mul(ON_A_PAGE);
        if !self.text.is_empty() {
            let rows = self.rows(store)?;
            let total = rows.len();
            let rows = rows.into_iter().skip(start).take(ON_A_PAGE).collect();
            return Ok(Found { total, jobs: listed(store, rows)? });
        }
        let total = usize::try_from(store.count(&self.show.filter())?).unwrap_or(usize::MAX);
        if start > total {
            return Ok(Found { total, jobs: Vec::new() });
        }
        let rows = store.jobs(&self.show.filter(), ON_A_PAGE as u64, start as u64)?;
        Ok(Found { total, jobs: listed(store, rows)? })
    }
}

struct Found {
    total: usize,
    jobs: Vec<Listed>,
}

impl Found {
    fn pages(&self) -> usize {
        self.total.div_ceil(ON_A_PAGE).max(1)
    }
}

/// A job with what a list says of it.
#[derive(Debug, Clone)]
pub(super) struct Listed {
    /// Its row.
    pub(super) row: JobRow,
    /// The first thing that its step misses; empty where it is released.
    pub(super) waits: String,
    /// Its last weighing: what it came to, and what stands beside its verdict.
    pub(super) last: Option<(Told, Last)>,
    /// Whether work was done after it.
    pub(super) worked_on_since: bool,
    /// The instruments that its weighings name.
    pub(super) instruments: Vec<String>,
}

/// What stands beside the verdict of a weighing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Last {
    /// Whether it is valid for release.
    valid: bool,
    /// Whether it was calculated and not weighed.
    calculated: bool,
}

impl Listed {
    fn of(row: JobRow, job: Option<&Job>, shop: &Shop) -> Self {
        let stops = job.and_then(|job| card::stop(shop, job)).is_some();
        let waits = match (job, row.state) {
            (Some(job), State::Open) => waits(shop, job, row.step),
            _ => String::new(),
        };
        let last = job.and_then(|job| {
            let last = job.weighings.last()?;
            let told = Told::of(&last.outcome, told::units(job))?;
            let (valid, calculated) = (last.outcome.reasons.is_empty() && !stops, last.is_calculated());
            Some((told, Last { valid, calculated }))
        });
        let worked_on_since = job.is_some_and(Job::changed_since_weighing) && last.is_some();
        Self { row, waits, last, worked_on_since, instruments: job.map(instruments).unwrap_or_default() }
    }
}

/// What an open job waits for: another card, where nothing may be signed by its own; what the inspector asks for, where
/// the job came back; else the first thing that its step misses.
pub(super) fn waits(shop: &Shop, job: &Job, step: Step) -> String {
    if let Some(stop) = card::stop(shop, job) {
        return stop.missing();
    }
    match job.sent_back() {
        Some((_, reason)) => format!("sent back by the inspector: {reason}"),
        None => job.missing(step).into_iter().next().unwrap_or_default(),
    }
}

fn instruments(job: &Job) -> Vec<String> {
    use hingeline_bench::record::deed::Field;
    let tables = job.weighings.iter().flat_map(|weighing| &weighing.instruments);
    let ids = tables.filter_map(|table| match table.get("id") {
        Some(Field::Text(id)) => Some(id.clone()),
        _ => None,
    });
    let mut ids: Vec<String> = ids.collect();
    ids.sort();
    ids.dedup();
    ids
}

/// Rows with what their ledgers say: few at a time.
pub(super) fn listed(store: &Store, rows: Vec<JobRow>) -> Result<Vec<Listed>, StoreError> {
    let shop = store.shop()?;
    let of = |row: JobRow| {
        let job = store.job(&row.number)?;
        Ok(Listed::of(row, job.as_ref(), &shop))
    };
    rows.into_iter().map(of).collect()
}

/// GET /jobs
pub(crate) async fn page(visit: Visit) -> Answer {
    let asked = Asked::of(&visit.query, Show::Open)?;
    let content = content(&visit, &asked, "/jobs", "Jobs").await?;
    visit.page("Jobs", content)
}

/// The list that is asked for, under its head.
pub(super) async fn content(
    visit: &Visit,
    asked: &Asked,
    path: &str,
    title: &str,
) -> Result<Markup, Problem> {
    let question = asked.clone();
    let found = visit.app.ask(move |store| question.find(store)).await?;
    if found.pages() < asked.page {
        let last = found.pages();
        return Err(Problem::not_found(format!("page {} of this list: the last is {last}", asked.page)));
    }
    Ok(html! {
        div.title {
            h1 { (title) }
            div.row {
                a.button.quiet href={ "/jobs.csv" (asked.link("", asked.show, 1)) } { "CSV of this list" }
                @if visit.may(crate::routes::Who::Worker) { a.button href="/jobs/new" { "New job" } }
            }
        }
        (filters(asked, path))
        p.lead role="status" { (count(asked, &found)) }
        @if found.jobs.is_empty() { (empty(asked)) } @else { (table("Jobs, the newest first", &found.jobs)) }
        (pager(asked, path, found.pages()))
    })
}

fn filters(asked: &Asked, path: &str) -> Markup {
    html! {
        div.sieve {
            nav aria-label="Which jobs" {
                ul { @for (show, _, word) in Show::ALL {
                    li { a href=(asked.link(path, show, 1)) aria-current=[(show == asked.show).then_some("true")] { (word) } }
                } }
            }
            // The search page has its box in the head.
            @if path != "/search" {
                form method="get" action=(path) role="search" {
                    input type="hidden" name="show" value=(asked.show.word());
                    label.unseen for="f-q" { "Number, surface, part, serial, aircraft or work order" }
                    input #f-q type="search" name="q" value=(asked.text) placeholder="Number, surface, part, serial, aircraft, work order";
                    button.quiet type="submit" { "Find" }
                }
            }
        }
    }
}

fn count(asked: &Asked, found: &Found) -> String {
    let what = match (found.total, asked.show) {
        (1, Show::All) => "1 job".to_owned(),
        (1, show) => format!("1 {} job", show.word()),
        (total, Show::All) => format!("{total} jobs"),
        (total, show) => format!("{total} {} jobs", show.word()),
    };
    let limit = usize::try_from(MOST_FOUND).unwrap_or(usize::MAX);
    match asked.text.as_str() {
        "" => what,
        text if found.total >= limit => {
            format!("the first {what} with “{text}”: type more of it to find fewer")
        }
        text => format!("{what} with “{text}”"),
    }
}

fn empty(asked: &Asked) -> Markup {
    html! {
        div.empty {
            @if asked.text.is_empty() {
                @match asked.show {
                    Show::Open => { p { "No job is open. A new one begins when a surface comes in." } }
                    Show::Released => { p { "No job is released yet." } }
                    Show::All => { p { "There is no job yet. The first one begins when a surface comes in." } }
                }
            } @else {
                p { "Nothing has “" (asked.text) "” in its number, surface, part, serial, aircraft or work order." }
                @if asked.show != Show::All {
                    p { a href=(asked.link("/jobs", Show::All, 1)) { "Look in all jobs" } }
                }
            }
        }
    }
}

fn pager(asked: &Asked, path: &str, pages: usize) -> Markup {
    html! {
        @if pages > 1 {
            nav.pager aria-label="Pages" {
                @if asked.page > 1 { a.button.quiet rel="prev" href=(asked.link(path, asked.show, asked.page - 1)) { "Newer" } }
                span { "page " (asked.page) " of " (pages) }
                @if asked.page < pages { a.button.quiet rel="next" href=(asked.link(path, asked.show, asked.page + 1)) { "Older" } }
            }
        }
    }
}

/// A table of jobs.
pub(super) fn table(caption: &str, jobs: &[Listed]) -> Markup {
    let rows: Vec<Vec<Markup>> = jobs
        .iter()
        .map(|job| {
            let row = &job.row;
            vec![
                html! { a.strong.keep[is_short(&row.number)] href=(link(&row.number)) { (row.number) } },
                html! { div { (row.surface) } small { (surface(&row.part, &row.serial)) } },
                html! {
                    @if row.aircraft.is_empty() { "–" }
                    @else { a href={ "/aircraft/" (parts::escape(&row.aircraft)) } { (row.aircraft) } }
                    @if !row.work_order.is_empty() { div { small { "order " (row.work_order) } } }
                },
                step(job),
                last(job),
            ]
        })
        .collect();
    html! {
        div.jobs { (parts::table(caption, &["Job", "Surface", "Aircraft", "Step", "Last weighing"], &rows)) }
    }
}

/// Whether a number or a day stays on one line.
pub(super) fn is_short(text: &str) -> bool {
    text.chars().count() < 16
}

/// The address of a job.
pub(super) fn link(number: &str) -> String {
    format!("/jobs/{}", parts::escape(number))
}

/// Part and serial number, leading to the history of the surface.
pub(super) fn surface(part: &str, serial: &str) -> Markup {
    let words = match (part, serial) {
        ("", "") => String::new(),
        (part, "") => format!("part {part}"),
        ("", serial) => format!("serial {serial}"),
        (part, serial) => format!("{part} · serial {serial}"),
    };
    html! {
        @if part.is_empty() || serial.is_empty() { (words) }
        @else { a href=(history_link(part, serial)) { (words) } }
    }
}

/// The address of the history of a surface.
pub(super) fn history_link(part: &str, serial: &str) -> String {
    format!("/surfaces/{}/{}", parts::escape(part), parts::escape(serial))
}

/// The step that a job waits for, and what it misses.
pub(super) fn step(job: &Listed) -> Markup {
    html! {
        @if job.row.state == State::Released { (parts::badge(Tone::Good, "released")) }
        @else {
            div { "waits for: " strong { (job.row.step.task()) } }
            @if !job.waits.is_empty() { small { (job.waits) } }
        }
    }
}

/// The last weighing of a job: moment with its side, verdict in words.
pub(super) fn last(job: &Listed) -> Markup {
    html! {
        @match (&job.row.last, &job.last) {
            (Some(last), Some((told, Last { valid, calculated }))) => {
                div { (last.stage) ": " strong.keep { (told.moment()) } }
                (verdict(&Recorded { verdict: &last.verdict, doubt: &last.doubt, valid: *valid, calculated: *calculated }))
                @if job.worked_on_since { small.block-small { "work was done since" } }
            }
            _ => { span.soft { "not weighed" } }
        }
    }
}

/// Verdict and doubt of the record as words with their sign.
pub(super) fn verdict(recorded: &Recorded<'_>) -> Markup {
    html! {
        (parts::badge(recorded.mark().into(), &recorded.words()))
        @if !recorded.valid { small.block-small { "not valid for release" } }
    }
}
