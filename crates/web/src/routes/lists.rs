//! Rows of the lists, histories and exports.

use super::{Route, Who, get};
use crate::pages::{aircraft, export, history, jobs, search, tag};

pub(super) fn rows() -> Vec<Route> {
    vec![
        get("/jobs", Who::LoggedIn, jobs::page),
        get("/jobs.csv", Who::LoggedIn, export::jobs),
        get("/search", Who::LoggedIn, search::page),
        get("/aircraft", Who::LoggedIn, aircraft::list),
        get("/aircraft/{name}", Who::LoggedIn, aircraft::page),
        get("/surfaces/{part}/{serial}", Who::LoggedIn, history::page),
        get("/surfaces/{part}/{serial}/history.csv", Who::LoggedIn, export::history),
        get("/instruments.csv", Who::LoggedIn, export::instruments),
        get("/jobs/{number}/sheet.toml", Who::LoggedIn, export::sheet),
        get("/jobs/{number}/result.json", Who::LoggedIn, export::result),
        get("/jobs/{number}/ledger.jsonl", Who::LoggedIn, export::ledger),
        get("/shop/ledger.jsonl", Who::LoggedIn, export::shop_ledger),
        get("/jobs/{number}/tag", Who::LoggedIn, tag::page),
        get("/jobs/{number}/tag.svg", Who::LoggedIn, tag::svg),
    ]
}
