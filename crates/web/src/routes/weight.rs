//! Rows of the balance weights of a job.

use super::{Route, Who, get, post};
use crate::pages::job::weight::{self, design, files, fit, trim};

pub(super) fn rows() -> Vec<Route> {
    vec![
        get("/jobs/{number}/weights", Who::LoggedIn, weight::list),
        get("/jobs/{number}/weights/new", Who::LoggedIn, design::page),
        post("/jobs/{number}/weights/new", Who::Worker, design::act),
        post("/jobs/{number}/weights/preview", Who::Worker, design::preview),
        get("/jobs/{number}/weights/{entry}", Who::LoggedIn, weight::page),
        get("/jobs/{number}/weights/{entry}/drawing.pdf", Who::LoggedIn, files::drawing),
        get("/jobs/{number}/weights/{entry}/pattern.stl", Who::LoggedIn, files::pattern),
        get("/jobs/{number}/weights/{entry}/sheet.toml", Who::LoggedIn, files::sheet),
        get("/jobs/{number}/weights/{entry}/trim", Who::LoggedIn, trim::page),
        post("/jobs/{number}/weights/{entry}/trim", Who::Worker, trim::enter),
        get("/jobs/{number}/weights/{entry}/fit", Who::LoggedIn, fit::page),
        post("/jobs/{number}/weights/{entry}/fit", Who::Worker, fit::enter),
    ]
}
