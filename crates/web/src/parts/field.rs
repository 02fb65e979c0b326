//! One field of a form: label, hint, what is wrong, the input. Main type: [`Field`].

use crate::form::{Filled, Said};
use maud::{Markup, html};

/// A field, built up and then shown from what stands in the form.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Field<'a> {
    name: &'a str,
    label: &'a str,
    hint: &'a str,
    kind: Kind<'a>,
    needed: bool,
    sometimes: bool,
    autocomplete: Option<&'a str>,
    keyboard: Option<&'a str>,
    capitals: Option<&'static str>,
}

#[derive(Debug, Clone, Copy)]
enum Kind<'a> {
    Line(&'a str),
    Area(usize),
    Choice(&'a [(&'a str, &'a str)]),
    Radio(&'a [(&'a str, &'a str)]),
    Tick(&'a str),
}

impl<'a> Field<'a> {
    fn of(name: &'a str, label: &'a str, kind: Kind<'a>) -> Self {
        Self {
            name,
            label,
            hint: "",
            kind,
            needed: false,
            sometimes: false,
            autocomplete: None,
            keyboard: None,
            capitals: None,
        }
    }
    /// One line of text or a quantity with its unit.
    pub(crate) fn line(name: &'a str, label: &'a str) -> Self {
        Self::of(name, label, Kind::Line("text")).autocomplete("off")
    }
    /// Several lines.
    pub(crate) fn area(name: &'a str, label: &'a str, rows: usize) -> Self {
        Self::of(name, label, Kind::Area(rows))
    }
    /// A day.
    pub(crate) fn date(name: &'a str, label: &'a str) -> Self {
        Self::of(name, label, Kind::Line("date"))
    }
    /// A password.
    pub(crate) fn password(name: &'a str, label: &'a str, autocomplete: &'a str) -> Self {
        Self::of(name, label, Kind::Line("password")).autocomplete(autocomplete)
    }
    /// A PIN: digits, not shown.
    pub(crate) fn pin(name: &'a str, label: &'a str) -> Self {
        Self::of(name, label, Kind::Line("password")).autocomplete("off").keyboard("numeric")
    }
    /// A list to choose from: value and word.
    pub(crate) fn choice(name: &'a str, label: &'a str, choices: &'a [(&'a str, &'a str)]) -> Self {
        Self::of(name, label, Kind::Choice(choices))
    }
    /// The same, all choices in sight.
    pub(crate) fn radio(name: &'a str, label: &'a str, choices: &'a [(&'a str, &'a str)]) -> Self {
        Self::of(name, label, Kind::Radio(choices))
    }
    /// A box to tick, and the value it sends.
    pub(crate) fn tick(name: &'a str, label: &'a str, value: &'a str) -> Self {
        Self::of(name, label, Kind::Tick(value))
    }

    /// A sentence under the label.
    pub(crate) fn hint(mut self, hint: &'a str) -> Self {
        self.hint = hint;
        self
    }
    /// It has to be filled in. (The server judges; the browser shows the word.)
    pub(crate) fn needed(mut self) -> Self {
        self.needed = true;
        self
    }
    /// Whether it has to be filled in hangs on another field, as its hint says.
    pub(crate) fn sometimes(mut self) -> Self {
        self.sometimes = true;
        self
    }
    /// What a browser may fill in.
    pub(crate) fn autocomplete(mut self, what: &'a str) -> Self {
        self.autocomplete = Some(what);
        self
    }
    /// Which keyboard a tablet shows: "decimal", "numeric", "email".
    pub(crate) fn keyboard(mut self, which: &'a str) -> Self {
        self.keyboard = Some(which);
        self
    }

    /// The numbers in it stand in capitals once it is typed (assets/job.js).
    pub(crate) fn capitals(mut self) -> Self {
        self.capitals = Some("numbers");
        self
    }

    /// The field with what stands in it and what is wrong with it.
    pub(crate) fn show(&self, filled: &Filled) -> Markup {
        let wrong = filled.wrong.of(self.name);
        let id = id(self.name);
        let described = self.described(&id, wrong);
        let class = if wrong.is_empty() { "field" } else { "field wrong" };
        match self.kind {
            Kind::Radio(choices) => html! {
                fieldset class=(class) id=(id) aria-describedby=[described] {
                    legend { (self.label) (self.optional()) }
                    (self.words(&id, wrong))
                    div.choices { @for (value, word) in choices {
                        label.choice {
                            input type="radio" name=(self.name) value=(value) checked[filled.typed.get(self.name) == *value];
                            span { (word) }
                        }
                    } }
                }
            },
            Kind::Tick(value) => html! {
                div class=(class) {
                    label.choice {
                        input type="checkbox" id=(id) name=(self.name) value=(value)
                            checked[filled.typed.ticked(self.name, value)] aria-describedby=[described];
                        span { (self.label) }
                    }
                    (self.words(&id, wrong))
                }
            },
            _ => html! {
                div class=(class) {
                    label for=(id) { (self.label) (self.optional()) }
                    (self.words(&id, wrong))
                    (self.input(&id, described, filled))
                }
            },
        }
    }

    fn described(&self, id: &str, wrong: &[Said]) -> Option<String> {
        let hint = (!self.hint.is_empty()).then(|| format!("{id}-hint"));
        let wrong = (!wrong.is_empty()).then(|| format!("{id}-wrong"));
        let both: Vec<String> = hint.into_iter().chain(wrong).collect();
        (!both.is_empty()).then(|| both.join(" "))
    }

    fn optional(&self) -> Markup {
        html! { @if !self.needed && !self.sometimes { span.optional { " optional" } } }
    }

    fn words(&self, id: &str, wrong: &[Said]) -> Markup {
        html! {
            @if !self.hint.is_empty() { p.hint id={ (id) "-hint" } { (self.hint) } }
            @if !wrong.is_empty() { div.said id={ (id) "-wrong" } { @for said in wrong { (self::said(said)) } } }
        }
    }

    fn input(&self, id: &str, described: Option<String>, filled: &Filled) -> Markup {
        let invalid = (!filled.wrong.of(self.name).is_empty()).then_some("true");
        let value = filled.typed.exact(self.name);
        match self.kind {
            Kind::Area(rows) => html! {
                textarea id=(id) name=(self.name) rows=(rows) aria-describedby=[described] aria-invalid=[invalid] { (value) }
            },
            Kind::Choice(choices) => html! {
                select id=(id) name=(self.name) aria-describedby=[described] aria-invalid=[invalid] {
                    @for (each, word) in choices { option value=(each) selected[*each == value] { (word) } }
                }
            },
            Kind::Line(kind) => html! {
                input id=(id) type=(kind) name=(self.name) value=[(kind != "password").then_some(value)]
                    autocomplete=[self.autocomplete] inputmode=[self.keyboard] data-capitals=[self.capitals]
                    aria-describedby=[described] aria-invalid=[invalid] aria-required=[self.needed.then_some("true")];
            },
            Kind::Radio(_) | Kind::Tick(_) => html! {},
        }
    }
}

/// The id of a field's input, for labels and links.
pub(crate) fn id(name: &str) -> String {
    format!("f-{}", name.replace(['.', ' '], "-"))
}

/// What is wrong with a field, in its four parts.
pub(crate) fn said(said: &Said) -> Markup {
    html! {
        p { span.sign aria-hidden="true" { "✗ " } (said.what) }
        (rest_of(said))
    }
}

/// What is allowed and what to do.
fn rest_of(said: &Said) -> Markup {
    html! {
        @if let Some(allowed) = &said.allowed { p.allowed { "allowed: " (allowed) } }
        @if let Some(hint) = &said.hint { p.todo { "hint: " (hint) @if let Some((at, words)) = said.at { " " a href=(at) { (words) } } } }
    }
}

/// At the top of a refused form: how much is wrong, each with a link to its field.
pub(crate) fn form_summary(filled: &Filled) -> Markup {
    summary(filled, "; nothing was written")
}

/// The same over a form that writes nothing anyway.
pub(crate) fn log_in_summary(filled: &Filled) -> Markup {
    summary(filled, "")
}

fn summary(filled: &Filled, ending: &str) -> Markup {
    let all = filled.wrong_in_order();
    let count = all.len();
    html! {
        @if !all.is_empty() {
            div.notice.bad role="alert" tabindex="-1" {
                span.sign aria-hidden="true" { "✗" }
                div {
                    strong { @if count == 1 { "One thing is wrong" (ending) } @else { (count) " things are wrong" (ending) } }
                    ul { @for (field, said) in all {
                        li { @if field.is_empty() { p { (said.what) } (rest_of(said)) } @else { a href={ "#" (id(field)) } { (said.what) } } }
                    } }
                }
            }
        }
    }
}
