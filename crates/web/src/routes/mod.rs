//! The one table of all pages: method, path, who may. The router is built from it and from nothing else, so that a
//! page without a row cannot be reached.

mod bench;
mod data;
mod job;
mod lists;
mod weight;

use crate::app::App;
use crate::problem::Problem;
use crate::{assets, visit};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::handler::Handler;
use axum::http::Method;
use axum::middleware::from_fn_with_state;
use axum::routing::{self, MethodRouter};
use hingeline_bench::record::deed::Role;

/// Who may use a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// Anybody, also without a log-in.
    Everyone,
    /// Whoever is logged in.
    LoggedIn,
    /// A technician or an inspector.
    Worker,
    /// An inspector.
    Inspector,
    /// Whoever may approve a card: everybody but technicians.
    Approver,
    /// A data keeper or an administrator.
    DataKeeper,
    /// An administrator.
    Administrator,
}

impl Who {
    /// Whether a role may; none is somebody who is not logged in.
    #[must_use]
    pub fn admits(self, role: Option<Role>) -> bool {
        let Some(role) = role else { return self == Self::Everyone };
        match self {
            Self::Everyone | Self::LoggedIn => true,
            Self::Worker => role.works(),
            Self::Inspector => role == Role::Inspector,
            Self::Approver => role != Role::Technician,
            Self::DataKeeper => role.keeps_data(),
            Self::Administrator => role == Role::Administrator,
        }
    }
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Everyone => "nothing",
            Self::LoggedIn => "a log-in",
            Self::Worker => "a technician or an inspector",
            Self::Inspector => "an inspector",
            Self::Approver => "an inspector, a data keeper or an administrator",
            Self::DataKeeper => "a data keeper or an administrator",
            Self::Administrator => "an administrator",
        }
    }
}

/// A row of the table.
#[derive(Debug, Clone)]
pub struct Route {
    /// GET or POST.
    pub method: Method,
    /// Its path, with {names} for what changes.
    pub path: &'static str,
    /// Who may.
    pub who: Who,
    handler: MethodRouter<App>,
}

impl Route {
    /// A row whose form may be larger than others: photographs, imports.
    fn takes(mut self, bytes: usize) -> Self {
        self.handler = self.handler.layer(DefaultBodyLimit::max(bytes));
        self
    }
}

fn get<T: 'static>(path: &'static str, who: Who, handler: impl Handler<T, App>) -> Route {
    Route { method: Method::GET, path, who, handler: routing::get(handler) }
}

fn post<T: 'static>(path: &'static str, who: Who, handler: impl Handler<T, App>) -> Route {
    Route { method: Method::POST, path, who, handler: routing::post(handler) }
}

/// The table.
#[must_use]
pub fn table() -> Vec<Route> {
    let mut table = vec![get("/assets/{hash}/{name}", Who::Everyone, assets::serve)];
    table.extend(data::rows());
    table.extend(bench::rows());
    table.extend(job::rows());
    table.extend(weight::rows());
    table.extend(lists::rows());
    table
}

/// The router of the table.
pub(crate) fn router() -> Router<App> {
    let mut router = Router::new();
    for row in table() {
        router = router.route(row.path, row.handler.layer(from_fn_with_state(row.who, visit::admit)));
    }
    router
        .fallback(|| async { Problem::not_found("such page") })
        .method_not_allowed_fallback(|| async { Problem::Method })
}
