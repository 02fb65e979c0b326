//! The way of a job through the bench: its steps, in order, and what each still misses.
//!
//! Main type: [`Step`]. A step is advised, not enforced, up to the sign-off; correction and as-left may repeat.

use super::job::Job;

/// The items of the incoming look.
pub const LOOK: [(&str, &str); 6] = [
    ("drain-holes", "drain holes open"),
    ("trapped-water", "no trapped water"),
    ("hinge-bearings", "hinge bearings free, clean and dry"),
    ("weights", "balance weights tight, not corroded"),
    ("structure", "skin, ribs and fittings sound"),
    ("complete", "tab, wicks and hardware fitted as the data ask"),
];

/// A step of the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Identity and incoming look.
    Receive,
    /// The approved card.
    Limits,
    /// The first weighing.
    AsFound,
    /// Mass added or taken away.
    Correction,
    /// The last weighing.
    AsLeft,
    /// The performer signs.
    SignOff,
    /// Another person checks and signs.
    Inspection,
    /// The release sheet.
    Release,
}

impl Step {
    /// All of them, in order, with the word in an address and the word on the page.
    pub const ALL: [(Self, &'static str, &'static str); 8] = [
        (Self::Receive, "receive", "received"),
        (Self::Limits, "limits", "limits"),
        (Self::AsFound, "as-found", "as found"),
        (Self::Correction, "correction", "correction"),
        (Self::AsLeft, "as-left", "as left"),
        (Self::SignOff, "sign-off", "sign-off"),
        (Self::Inspection, "inspection", "inspection"),
        (Self::Release, "release", "release"),
    ];
    /// The word on the page.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(step, ..)| *step == self).map_or("", |(.., word)| word)
    }
    /// The step as something to do, for what a job waits for.
    #[must_use]
    pub fn task(self) -> &'static str {
        match self {
            Self::Receive => "the incoming look",
            Self::Limits => "the approved limits",
            Self::AsFound => "the weighing as found",
            Self::Correction => "the correction",
            Self::AsLeft => "the weighing as left",
            Self::SignOff => "the sign-off",
            Self::Inspection => "the independent inspection",
            Self::Release => "the release",
        }
    }
}

impl Job {
    /// What a step still misses; empty where it is done.
    #[must_use]
    pub fn missing(&self, step: Step) -> Vec<String> {
        let mut missing = Vec::new();
        let mut want = |there: bool, what: &str| {
            if !there {
                missing.push(what.to_owned())
            }
        };
        match step {
            Step::Receive => {
                for (item, word) in LOOK {
                    let seen = self.findings.get(item).is_some_and(|finding| finding.state != "not looked");
                    want(seen, &format!("look: {word}"));
                }
            }
            Step::Limits => want(self.card.is_some(), "choose an approved card"),
            Step::AsFound => {
                let found = self.weighings.iter().any(|weighing| weighing.stage() == "as found");
                want(found, "weigh the surface as found");
            }
            Step::Correction => {
                let needed = self.weighings.last().is_some_and(|weighing| !weighing.outcome.within());
                let found = self.weighings.iter().any(|weighing| weighing.stage() == "as found");
                want(found, "weigh the surface as found first");
                want(
                    !needed || self.changed_since_weighing(),
                    "the last weighing is outside its limits: correct it",
                );
            }
            Step::AsLeft => {
                want(self.as_left().is_some(), "weigh the surface as left");
                want(!self.changed_since_weighing(), "weigh again: work was done after the last weighing");
                let within = self.as_left().is_none_or(|weighing| weighing.outcome.within());
                want(
                    within || self.changed_since_weighing(),
                    "the last weighing is outside its limits: correct it and weigh again",
                );
            }
            Step::SignOff => {
                missing = self.before_sign_off();
                if self.signed.is_none() {
                    missing.push("the performer's signature".to_owned());
                }
            }
            Step::Inspection => {
                want(self.signed.is_some(), "the performer's sign-off");
                want(self.inspected.is_some(), "the inspector's signature");
            }
            Step::Release => {
                want(self.inspected.is_some(), "the independent inspection");
                want(self.released.is_some(), "the release sheet");
            }
        }
        missing
    }

    /// The first step that misses something; the last one where none does.
    #[must_use]
    pub fn now(&self) -> Step {
        let open = |step: &Step| !self.missing(*step).is_empty();
        Step::ALL.into_iter().map(|(step, ..)| step).find(open).unwrap_or(Step::Release)
    }
}
