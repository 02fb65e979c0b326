//! The card that a job is judged by, and how it stands in the library of the shop.
//!
//! A job keeps the content of its card as it was chosen. Main function: [`standing`], what became of that card since: it
//! was withdrawn, another one took its place, or the job turned out to be for another part number.

use super::deed::{Card, Deed, Fields, Person};
use super::job::{Job, Refusal};
use super::shop::Shop;
use crate::result::verdict_word;
use crate::{CardSheet, Fault, Faults};
use serde::Serialize;

/// The tables of a card as a sheet has them.
#[derive(Serialize)]
struct Tables<'c> {
    limits: &'c Fields,
    #[serde(skip_serializing_if = "Fields::is_empty")]
    outline: &'c Fields,
    station: &'c [Fields],
}

impl Card {
    /// Whether it is for a part number.
    #[must_use]
    pub fn is_for(&self, part: &str) -> bool {
        self.parts.iter().any(|wanted| match wanted.strip_suffix('*') {
            Some(beginning) => part.to_lowercase().starts_with(&beginning.to_lowercase()),
            None => part.eq_ignore_ascii_case(wanted),
        })
    }

    /// Its tables as the reader of sheets reads them.
    ///
    /// # Errors
    /// - [`Faults`]: everything that is wrong with them
    pub fn sheet(&self) -> Result<CardSheet, Faults> {
        let tables = Tables { limits: &self.limits, outline: &self.outline, station: &self.stations };
        match toml::to_string(&tables) {
            Ok(text) => CardSheet::parse(&text),
            Err(error) => Err(Faults { faults: vec![Fault::new(error.to_string(), 0..0)] }),
        }
    }
}

/// What became of a job's card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// It was taken out of use.
    Withdrawn {
        /// The card.
        card: u64,
        /// Who did.
        by: String,
        /// Why.
        reason: String,
    },
    /// It is for other part numbers than the job's.
    OtherPart {
        /// The card.
        card: u64,
        /// The part number of the job.
        part: String,
    },
    /// Another card took its place.
    Superseded {
        /// The card.
        card: u64,
        /// The newer one.
        newer: u64,
        /// The verdict of the last weighing by the newer one, "within" or "outside"; none before a weighing.
        verdict: Option<&'static str>,
    },
}

impl Standing {
    /// Whether nothing may be signed by that card.
    #[must_use]
    pub fn stops(&self) -> bool {
        !matches!(self, Self::Superseded { .. })
    }
    /// In words, without a full stop.
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Withdrawn { card, by, reason } => format!("card {card} was withdrawn by {by}: {reason}"),
            Self::OtherPart { card, part } => format!("card {card} is not for part {part}"),
            Self::Superseded { card, newer, verdict } => {
                let by_it = verdict.map_or_else(String::new, |verdict| {
                    format!("; by card {newer} the last weighing lies {verdict} the limits")
                });
                format!("card {newer} took the place of card {card}{by_it}")
            }
        }
    }
    /// What is missing because of it.
    #[must_use]
    pub fn missing(&self) -> String {
        format!("choose another card: {}", self.words())
    }
}

impl Job {
    /// The job's card, where it is not for the job's part number.
    fn card_of_another_part(&self) -> Option<Standing> {
        let (card, content) = self.card.as_ref()?;
        let part = self.text("part");
        let other = !part.is_empty() && !content.is_for(part);
        other.then(|| Standing::OtherPart { card: *card, part: part.to_owned() })
    }
    /// What is missing because of it.
    pub(super) fn missing_card(&self) -> Option<String> {
        self.card_of_another_part().map(|other| other.missing())
    }
}

/// What became of the card of a job. Of a job that is released a newer one is told where it was there at the release.
#[must_use]
pub fn standing(shop: &Shop, job: &Job) -> Vec<Standing> {
    let Some((number, _)) = &job.card else { return Vec::new() };
    let (card, known) = (*number, shop.cards.get(number));
    let withdrawn = known.and_then(|card| card.withdrawn.clone());
    let withdrawn = withdrawn.map(|(by, reason)| Standing::Withdrawn { card, by, reason });
    let newer = newer(shop, job, card);
    withdrawn.into_iter().chain(job.card_of_another_part()).chain(newer).collect()
}

/// Why nothing may be signed by the card of a job that is not released yet; none where it may.
#[must_use]
pub fn stop(shop: &Shop, job: &Job) -> Option<Standing> {
    let open = job.released.is_none();
    standing(shop, job).into_iter().find(Standing::stops).filter(|_| open)
}

/// The newest card that took the place of a job's card, by the time the job was released.
fn newer(shop: &Shop, job: &Job, card: u64) -> Option<Standing> {
    let released = job.lines.iter().rfind(|line| matches!(line.deed, Deed::Released { .. }));
    let released = released.filter(|_| job.released.is_some()).map(|line| line.at.as_str());
    let next = |of: u64| {
        let newer = shop.cards.get(&shop.cards.get(&of)?.superseded?)?;
        let at = newer.approved.as_ref().map_or("", |(_, at)| at.as_str());
        released.is_none_or(|released| at <= released).then_some(newer)
    };
    let newest = std::iter::successors(next(card), |newer| next(newer.number)).last()?;
    Some(Standing::Superseded { card, newer: newest.number, verdict: verdict_by(job, &newest.content) })
}

/// The verdict of the last weighing by the limits of a card.
fn verdict_by(job: &Job, card: &Card) -> Option<&'static str> {
    let assessment = job.assessment()?.ok()?;
    let judged = card.sheet().ok()?.limits.band.judge(&assessment.last().measured.propagated);
    Some(verdict_word(judged.verdict))
}

/// What is missing before a job may be signed off, the card as it stands in the library counted too.
#[must_use]
pub fn before_sign_off(shop: &Shop, job: &Job) -> Vec<String> {
    let mut missing = job.before_sign_off();
    for stop in standing(shop, job).into_iter().filter(Standing::stops) {
        let stop = stop.missing();
        if !missing.contains(&stop) {
            missing.push(stop);
        }
    }
    missing
}

impl Shop {
    /// Whether a person may do a deed to a job of this shop now: what the job says ([`Job::allows`]), and what the library
    /// says of the card that the job is judged by, or is to be.
    ///
    /// # Errors
    /// - [`Refusal`]: why not
    pub fn allows_in(&self, job: &Job, deed: &Deed, by: &Person) -> Result<(), Refusal> {
        job.allows(deed, by)?;
        match deed {
            Deed::JudgedBy { card, content } => self.may_judge(job, *card, content),
            Deed::SignedOff(_) | Deed::Inspected(_) | Deed::Released { .. } => {
                match standing(self, job).into_iter().find(Standing::stops) {
                    Some(stop) => Err(Refusal::Missing { what: stop.missing() }),
                    None => Ok(()),
                }
            }
            _ => Ok(()),
        }
    }

    /// A job is judged by an approved card in use for its part, with the content that was approved.
    fn may_judge(&self, job: &Job, number: u64, content: &Card) -> Result<(), Refusal> {
        let why = match self.cards.get(&number) {
            None => "is not in the library",
            Some(card) if !card.in_use() => "is not an approved card in use",
            Some(card) if !card.content.is_for(job.text("part")) => "is not for the part number of this job",
            Some(card) if card.content != *content => "was approved with other content",
            Some(_) => return Ok(()),
        };
        Err(Refusal::NoSuchCard { card: number, why })
    }
}
