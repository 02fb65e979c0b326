//! Rows of the pages of one job.

use super::{Route, Who, get, post};
use crate::pages::job::{
    correction, inspect, ledger, limits, look, mend, note, overview, photo, receive, release, sign, work,
};

pub(super) fn rows() -> Vec<Route> {
    let mut rows = bench();
    rows.extend(signing());
    rows
}

fn bench() -> Vec<Route> {
    vec![
        get("/jobs/new", Who::Worker, receive::page),
        post("/jobs", Who::Worker, receive::enter),
        get("/jobs/{number}", Who::LoggedIn, overview::page),
        get("/jobs/{number}/look", Who::LoggedIn, look::page),
        post("/jobs/{number}/look", Who::Worker, look::enter),
        get("/jobs/{number}/limits", Who::LoggedIn, limits::page),
        post("/jobs/{number}/limits", Who::Worker, limits::enter),
        get("/jobs/{number}/correction", Who::LoggedIn, correction::page),
        post("/jobs/{number}/correction", Who::Worker, correction::enter),
        get("/jobs/{number}/work", Who::Worker, work::page),
        post("/jobs/{number}/work", Who::Worker, work::enter),
        get("/jobs/{number}/note", Who::Worker, note::page),
        post("/jobs/{number}/note", Who::Worker, note::enter),
        get("/jobs/{number}/photo", Who::Worker, photo::page),
        post("/jobs/{number}/photo", Who::Worker, photo::enter).takes(photo::LARGEST_FORM),
        get("/jobs/{number}/photo/{hash}", Who::LoggedIn, photo::show),
    ]
}

fn signing() -> Vec<Route> {
    vec![
        get("/jobs/{number}/sign", Who::LoggedIn, sign::page),
        post("/jobs/{number}/sign", Who::Worker, sign::enter),
        get("/jobs/{number}/inspect", Who::LoggedIn, inspect::page),
        post("/jobs/{number}/inspect", Who::Inspector, inspect::enter),
        post("/jobs/{number}/send-back", Who::Inspector, inspect::send_back),
        get("/jobs/{number}/release", Who::LoggedIn, release::page),
        post("/jobs/{number}/release", Who::Worker, release::enter),
        get("/jobs/{number}/release.pdf", Who::LoggedIn, release::pdf),
        get("/jobs/{number}/ledger", Who::LoggedIn, ledger::page),
        get("/jobs/{number}/mend/{entry}", Who::Worker, mend::page),
        post("/jobs/{number}/mend/{entry}", Who::Worker, mend::enter),
    ]
}
