//! The search in the head of every page: by any identity, in all jobs. Main function: [`page`].

use super::jobs::{Asked, Show, content, link};
use crate::visit::{Answer, Visit, go};

/// GET /search
pub(crate) async fn page(visit: Visit) -> Answer {
    let asked = Asked::of(&visit.query, Show::All)?;
    let number = asked.text.clone();
    if asked.page == 1 && !number.is_empty() {
        // Who types a whole number wants that job.
        let job = visit.app.ask(move |store| store.search(&number, 1)).await?;
        if let Some(row) = job.first().filter(|row| row.number.eq_ignore_ascii_case(&asked.text)) {
            return go(&link(&row.number));
        }
    }
    let content = content(&visit, &asked, "/search", "Search").await?;
    visit.page("Search", content)
}
