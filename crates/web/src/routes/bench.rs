//! Rows of the bench page.

use super::{Route, Who, get, post};
use crate::pages::job::weigh;

pub(super) fn rows() -> Vec<Route> {
    vec![
        get("/jobs/{number}/weigh", Who::LoggedIn, weigh::page),
        post("/jobs/{number}/weigh", Who::Worker, weigh::act),
        post("/jobs/{number}/weigh/preview", Who::Worker, weigh::preview),
        post("/jobs/{number}/weigh/draft", Who::Worker, weigh::draft),
        get("/jobs/{number}/weigh/{entry}/mend", Who::LoggedIn, weigh::mend_page),
        post("/jobs/{number}/weigh/{entry}/mend", Who::Worker, weigh::mend),
    ]
}
