//! The parts that pages are made of: notices, verdicts, steps, tables, definition lists. Form fields are in
//! [`field`].

mod chart;
mod field;

pub(crate) use chart::{Chart, Dot, chart};
pub(crate) use field::{Field, form_summary, id, log_in_summary, said};

use crate::form::Typed;
use hingeline_bench::Mark;
use maud::{Markup, html};

/// What a notice or a badge means; its shape and its word say the same as its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tone {
    /// Neither.
    Plain,
    /// Within, valid, in date, done.
    Good,
    /// Outside, not valid, past due, refused.
    Bad,
    /// Doubtful, soon due, waiting.
    Doubt,
}

impl From<Mark> for Tone {
    fn from(mark: Mark) -> Self {
        match mark {
            Mark::Good => Self::Good,
            Mark::Plain => Self::Plain,
            Mark::Doubt => Self::Doubt,
            Mark::Bad => Self::Bad,
        }
    }
}

impl Tone {
    /// The class.
    pub(crate) fn class(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Good => "good",
            Self::Bad => "bad",
            Self::Doubt => "doubt",
        }
    }
    /// The sign in front of the words.
    pub(crate) fn sign(self) -> &'static str {
        match self {
            Self::Plain => "–",
            Self::Good => "✓",
            Self::Bad => "✗",
            Self::Doubt => "!",
        }
    }
}

/// A notice: a sign, a title, words.
pub(crate) fn notice(tone: Tone, title: &str, words: &Markup) -> Markup {
    let role = if tone == Tone::Bad { "alert" } else { "note" };
    html! {
        div class={ "notice " (tone.class()) } role=(role) {
            span.sign aria-hidden="true" { (tone.sign()) }
            div { strong { (title) } " " (words) }
        }
    }
}

/// A caution, as printed on the sheet: for danger to people or to the surface.
pub(crate) fn caution(words: &str) -> Markup {
    html! { div.caution role="note" { strong { "Caution" } p { (words) } } }
}

/// A word with its sign: "✓ in date".
pub(crate) fn badge(tone: Tone, word: &str) -> Markup {
    html! { span class={ "badge " (tone.class()) } { span aria-hidden="true" { (tone.sign()) } " " (word) } }
}

/// The verdict: one big sentence, what goes with it, the working under it.
pub(crate) fn verdict(tone: Tone, sentence: &str, beside: &str, working: &Markup) -> Markup {
    html! {
        section class={ "verdict " (tone.class()) } {
            p.big { span aria-hidden="true" { (tone.sign()) " " } (whole_words(sentence)) }
            @if !beside.is_empty() { p.beside { (whole_words(beside)) } }
            (working)
        }
    }
}

/// A text whose words never break at a hyphen: "in-lb", "tail-heavy".
pub(crate) fn whole_words(text: &str) -> Markup {
    html! {
        @for (index, word) in text.split(' ').enumerate() {
            @if index > 0 { " " }
            @if word.contains('-') { span.whole-word { (word) } } @else { (word) }
        }
    }
}

/// A step of a way: word, where it leads, whether it is done, whether it is the one now.
pub(crate) struct WayStep<'a> {
    /// Its word.
    pub(crate) word: &'a str,
    /// Its address.
    pub(crate) to: String,
    /// Whether nothing is missing.
    pub(crate) done: bool,
    /// Whether this page shows it.
    pub(crate) here: bool,
}

/// The steps bar.
pub(crate) fn way(steps: &[WayStep<'_>]) -> Markup {
    html! {
        nav.way aria-label="Steps" {
            ol {
                @for step in steps {
                    li class=(if step.done { "done" } else { "open" }) {
                        a href=(step.to) aria-current=[step.here.then_some("step")] {
                            (step.word)
                            span.unseen { (if step.done { ", done" } else { ", open" }) }
                        }
                    }
                }
            }
        }
    }
}

/// A table that becomes stacked rows on a phone. Each cell carries the word of its column.
pub(crate) fn table(caption: &str, columns: &[&str], rows: &[Vec<Markup>]) -> Markup {
    html! {
        table.stack {
            caption { (caption) }
            thead { tr { @for column in columns { th scope="col" { (column) } } } }
            tbody {
                @for row in rows {
                    tr {
                        @for (column, cell) in columns.iter().zip(row) {
                            td data-label=(column) { div { (cell) } }
                        }
                    }
                }
            }
        }
    }
}

/// Words and what they say, as in a title block.
pub(crate) fn facts(pairs: &[(&str, Markup)]) -> Markup {
    html! {
        dl.facts {
            @for (word, value) in pairs { div { dt { (word) } dd { (value) } } }
        }
    }
}

/// The hidden field with the number of entries that the page knew ([`Typed::seen`] reads it).
pub(crate) fn seen(entries: u64) -> Markup {
    html! { input type="hidden" name="seen" value=(entries); }
}

/// A value for an address.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => out.push(char::from(byte)),
            byte => out.push_str(&format!("%{byte:02X}")),
        }
    }
    out
}

/// The hidden fields of a form that is sent again.
pub(crate) fn hidden(typed: &Typed, without: &[&str]) -> Markup {
    html! {
        @for (name, value) in typed.pairs().iter().filter(|(name, _)| !without.contains(&name.as_str())) {
            input type="hidden" name=(name) value=(value);
        }
    }
}

/// What is said at the top of a page after a form was entered: the word in the address and the sentence.
pub(crate) const DONE: &[(&str, &str)] = &[
    ("person", "The person is entered."),
    ("password", "The password is set; the sessions of that login are ended."),
    (
        "password-reset",
        "The password is set, the PIN is taken away, and the sessions of that login are ended. The record says so.",
    ),
    ("pin", "The PIN is set."),
    ("proposed", "The card is proposed. A second person has to approve it before jobs are judged by it."),
    ("approved", "The card is approved and in use."),
    ("withdrawn", "The card is withdrawn."),
    ("refused", "The card is refused."),
    ("instrument", "The instrument is entered."),
    ("retired", "The instrument is out of use."),
    ("shop", "The shop's name is entered."),
    ("checked", "The check is entered."),
    ("check-failed", "The scale failed this check."),
    ("line", "The calibration line is entered."),
    ("entered", "Entered in the record."),
    ("received", "The job is open. Look the surface over next."),
    ("looked", "The incoming look is entered."),
    ("limits", "The job is judged by this card."),
    ("corrected", "The correction is entered. Weigh the surface again."),
    ("worked", "The work is entered. Weigh the surface again."),
    ("noted", "The remark is entered."),
    ("photographed", "The photograph is in the record."),
    ("mended", "The entry is mended. The old one stays in the ledger, struck through."),
    ("signed", "Signed off. Another person inspects next."),
    ("inspected", "Inspected. The release comes next."),
    ("sent-back", "The job is sent back; the performer's signature does not count any more."),
    ("released", "The job is released."),
    ("weighed", "The weighing is entered in the record."),
    ("holes-intended", "The holes are entered as intended. Drill them, then enter what was drilled."),
    (
        "drilled-out",
        "What was drilled is entered, as the correction too. Weigh the surface as left to see how good it is.",
    ),
    ("weight-intended", "The weight is entered as intended. Cast it, then weigh the casting."),
    ("cast-weighed", "The weighing of the casting is entered."),
    (
        "weight-fitted",
        "The weight is entered as fitted, and so is its correction. Weigh the surface as left.",
    ),
];

/// Words that are entered and are no good news.
const ENTERED_BAD: &[&str] = &["check-failed"];

/// The sentence of a word, and how it is said.
pub(crate) fn done(word: &str) -> Option<(Tone, &'static str)> {
    let tone = if ENTERED_BAD.contains(&word) { Tone::Bad } else { Tone::Good };
    DONE.iter().find(|(known, _)| *known == word).map(|(_, sentence)| (tone, *sentence))
}
