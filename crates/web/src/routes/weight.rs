//! Rows of the balance weights of a job.

use super::{Route, Who, get, post};
use crate::pages::job::weight::{self, design, drill_out, drilled, files, fit, mesh, trim};

pub(super) fn rows() -> Vec<Route> {
    vec![
        get("/jobs/{number}/weights", Who::LoggedIn, weight::list),
        get("/jobs/{number}/weights/new", Who::LoggedIn, design::page),
        post("/jobs/{number}/weights/new", Who::LoggedIn, design::act).takes(mesh::LARGEST_FORM),
        post("/jobs/{number}/weights/preview", Who::LoggedIn, design::preview),
        get("/jobs/{number}/weights/{entry}", Who::LoggedIn, weight::page),
        get("/jobs/{number}/weights/{entry}/drawing.pdf", Who::LoggedIn, files::drawing),
        get("/jobs/{number}/weights/{entry}/pattern.stl", Who::LoggedIn, files::pattern),
        get("/jobs/{number}/weights/{entry}/sheet.toml", Who::LoggedIn, files::sheet),
        get("/jobs/{number}/weights/{entry}/mesh", Who::LoggedIn, mesh::give),
        get("/jobs/{number}/weights/{entry}/trim", Who::LoggedIn, trim::page),
        post("/jobs/{number}/weights/{entry}/trim", Who::Worker, trim::enter),
        get("/jobs/{number}/weights/{entry}/fit", Who::LoggedIn, fit::page),
        post("/jobs/{number}/weights/{entry}/fit", Who::Worker, fit::enter),
        get("/jobs/{number}/drill-outs/new", Who::LoggedIn, drill_out::page),
        post("/jobs/{number}/drill-outs/new", Who::LoggedIn, drill_out::act),
        post("/jobs/{number}/drill-outs/preview", Who::LoggedIn, drill_out::preview),
        get("/jobs/{number}/drill-outs/{entry}", Who::LoggedIn, drilled::page),
        post("/jobs/{number}/drill-outs/{entry}", Who::Worker, drilled::enter),
        get("/jobs/{number}/drill-outs/{entry}/sheet.toml", Who::LoggedIn, drilled::sheet),
    ]
}
