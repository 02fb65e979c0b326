//! Rows of the log-in, people, limits and instruments.

use super::{Route, Who, get, post};
use crate::pages::instruments::{self, check, enter, line};
use crate::pages::limits::{self, decide, exchange, propose};
use crate::pages::{begin, log_in, me, people as persons, set_up, shop};

pub(super) fn rows() -> Vec<Route> {
    let mut rows = people();
    rows.extend(library());
    rows.extend(tools());
    rows
}

fn tools() -> Vec<Route> {
    vec![
        get("/instruments", Who::LoggedIn, instruments::list),
        post("/instruments", Who::DataKeeper, enter::enter),
        get("/instruments/new", Who::DataKeeper, enter::new),
        get("/instruments/{id}", Who::LoggedIn, instruments::one),
        post("/instruments/{id}", Who::DataKeeper, enter::renew),
        get("/instruments/{id}/change", Who::DataKeeper, enter::change),
        post("/instruments/{id}/check", Who::LoggedIn, check::enter),
        post("/instruments/{id}/line", Who::DataKeeper, line::enter),
        post("/instruments/{id}/retire", Who::DataKeeper, instruments::retire),
    ]
}

fn library() -> Vec<Route> {
    vec![
        get("/limits", Who::LoggedIn, limits::list),
        post("/limits", Who::DataKeeper, propose::propose),
        get("/limits/new", Who::DataKeeper, propose::new),
        get("/limits/import", Who::DataKeeper, exchange::page),
        post("/limits/import", Who::DataKeeper, exchange::import),
        get("/limits/{card}", Who::LoggedIn, limits::one),
        get("/limits/{card}/revise", Who::DataKeeper, propose::revise),
        get("/limits/{card}/export", Who::LoggedIn, exchange::export),
        post("/limits/{card}/approve", Who::Approver, decide::approve),
        post("/limits/{card}/withdraw", Who::Approver, decide::withdraw),
    ]
}

fn people() -> Vec<Route> {
    vec![
        get("/", Who::LoggedIn, begin::page),
        get("/log-in", Who::Everyone, log_in::page),
        post("/log-in", Who::Everyone, log_in::enter),
        post("/log-out", Who::LoggedIn, log_in::leave),
        post("/theme", Who::Everyone, log_in::theme),
        get("/set-up", Who::Everyone, set_up::page),
        post("/set-up", Who::Everyone, set_up::enter),
        get("/me", Who::LoggedIn, me::page),
        post("/me/pin", Who::LoggedIn, me::pin),
        post("/me/password", Who::LoggedIn, me::password),
        get("/shop", Who::Administrator, shop::page),
        post("/shop", Who::Administrator, shop::enter),
        get("/people", Who::LoggedIn, persons::list),
        post("/people", Who::Administrator, persons::add),
        get("/people/new", Who::Administrator, persons::new),
        get("/people/{login}", Who::Administrator, persons::one),
        post("/people/{login}", Who::Administrator, persons::change),
        post("/people/{login}/password", Who::Administrator, persons::password),
    ]
}
