//! A form of a weight sheet as it is read: the sheet that it makes, what that comes to, what is wrong or still empty.
//! Main type: [`Read`].

use super::fields;
use crate::form::{Said, Typed, Wrong};
use crate::sheet_faults;
use crate::visit::Answer;
use axum::response::IntoResponse;
use hingeline_bench::Faults;
use maud::{Markup, html};

/// What a form comes to.
pub(super) struct Read<T> {
    /// The sheet.
    pub(super) text: String,
    /// What it comes to, or what is wrong with it.
    pub(super) worked: Result<Box<T>, Wrong>,
    /// The fields that are still empty and may not stay so.
    pub(super) missing: Vec<String>,
}

impl<T> Read<T> {
    /// Some tables of a form as a sheet, worked out.
    pub(super) fn of(
        typed: &Typed,
        tables: &[&'static str],
        work: impl FnOnce(&str) -> Result<T, Faults>,
    ) -> Self {
        let text = fields::sheet(typed, tables);
        match work(&text) {
            Ok(worked) => Self { text, worked: Ok(Box::new(worked)), missing: Vec::new() },
            Err(faults) => {
                let (wrong, missing) = told(typed, &faults);
                Self { text, worked: Err(wrong), missing }
            }
        }
    }
    /// What is wrong without what is only missing: while somebody types.
    pub(super) fn so_far(&self) -> Wrong {
        let mut wrong = Wrong::default();
        let Err(all) = &self.worked else { return wrong };
        for (field, said) in all.all().filter(|(_, said)| !is_missing(said)) {
            wrong.say(field, said.clone());
        }
        wrong
    }
    /// What it comes to.
    pub(super) fn piece(&self) -> Option<&T> {
        self.worked.as_ref().ok().map(AsRef::as_ref)
    }
    /// Every field that is wrong, with what.
    pub(super) fn wrong_fields(&self) -> Vec<(String, String)> {
        self.so_far().all().map(|(field, said)| (field.to_owned(), said.what.clone())).collect()
    }
    /// The answer to an entry, for the script: what is shown, under its names, and what is wrong beside its field.
    pub(super) fn preview<const N: usize>(&self, shown: [(&'static str, Markup); N]) -> Answer {
        let state = if self.piece().is_some() { "whole" } else { "open" };
        let wrong = self.so_far();
        let answer = html! {
            div data-state=(state) {
                @for (part, markup) in shown { div data-part=(part) { (markup) } }
                @for (field, said) in wrong.all() { div data-said=(field) { (said_of(said)) } }
            }
        };
        Ok(answer.into_response())
    }
}

fn is_missing(said: &Said) -> bool {
    said.what.ends_with(" is empty")
}

fn told(typed: &Typed, faults: &Faults) -> (Wrong, Vec<String>) {
    let (mut wrong, mut missing) = (Wrong::default(), Vec::new());
    for (place, said) in sheet_faults::by_key(faults, |place| fields::label(typed, place)) {
        if is_missing(&said) {
            missing.push(said.what.trim_end_matches(" is empty").to_owned());
        }
        let said = if place.key == "file" { super::mesh::said(typed, said) } else { said };
        wrong.say(fields::field_of(typed, &place), said);
    }
    (wrong, missing)
}

/// What is wrong, as it stands beside its field.
pub(super) fn said_of(said: &Said) -> Markup {
    html! {
        p { span.sign aria-hidden="true" { "✗ " } (said.what) }
        @if let Some(allowed) = &said.allowed { p.allowed { "allowed: " (allowed) } }
        @if let Some(hint) = &said.hint { p.todo { "hint: " (hint) } }
    }
}
