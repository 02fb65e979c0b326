//! The demo's record while it is made: deeds in the order of time, checked against the rules, sealed in memory.

use super::{DemoError, HORN, person};
use hingeline_bench::record::deed::{
    BeforeWeighing, Deed, DrillOutcome, Fields, NamedFile, Person, Signature, WeightOutcome,
};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::ledger::{Draft, Entry, Heads};
use hingeline_bench::record::shop::{LEDGER, Shop};
use hingeline_bench::record::{casting, log, weigh};
use hingeline_bench::weight::{DrillSheet, WeightSheet, drill_out};
use hingeline_store::Write;
use jiff::civil::{Date, date};
use std::collections::BTreeMap;

/// The day that the demo's own calendar calls today.
const TODAY: Date = date(2026, 10, 24);

/// What happens.
pub(super) enum What {
    /// A deed of the shop.
    Shop(Deed),
    /// A deed of a job.
    Job(Deed),
    /// The job is judged by the card in use for its part number.
    Judge,
    /// A weighing.
    Weigh(Fields, BeforeWeighing),
    /// A balance weight is meant: its sheet and its station.
    Weight(String, &'static str),
    /// The same, of the piece in [`super::HORN`].
    Drawn(String, &'static str),
    /// Holes in an old weight are meant: their sheet and its station.
    Holes(String, &'static str),
    /// The casting of the last weight is on a scale: mass, scale.
    Cast(&'static str, &'static str),
    /// The performer signs.
    Sign,
    /// The inspector signs.
    Inspect,
    /// The release sheet is made.
    Release,
}

struct Event {
    at: String,
    job: String,
    by: &'static str,
    what: What,
}

/// Everything that happens, and what is written of it.
pub(super) struct Book {
    days: i32,
    events: Vec<Event>,
    heads: Heads,
    entries: BTreeMap<String, Vec<Entry>>,
    drafts: Vec<Draft>,
}

impl Book {
    pub(super) fn new(today: Date) -> Self {
        let days = (today - TODAY).get_days();
        Self {
            days,
            events: Vec::new(),
            heads: Heads::default(),
            entries: BTreeMap::new(),
            drafts: Vec::new(),
        }
    }
    /// A day of the demo's calendar as it falls in the calendar of now.
    pub(super) fn day(&self, day: Date) -> Date {
        day.saturating_add(jiff::Span::new().days(self.days))
    }
    /// Something happens in the shop: by a login, on a day, at a time ("08:10").
    pub(super) fn shop(&mut self, by: &'static str, day: Date, time: &str, deed: Deed) {
        self.note(by, day, time, "", What::Shop(deed));
    }
    /// Something happens in a job.
    pub(super) fn job(&mut self, by: &'static str, day: Date, time: &str, job: &str, what: What) {
        self.note(by, day, time, job, what);
    }
    fn note(&mut self, by: &'static str, day: Date, time: &str, job: &str, what: What) {
        let at = format!("{}T{time}:00Z", self.day(day));
        self.events.push(Event { at, job: job.to_owned(), by, what });
    }

    /// Everything in the order of time, as the store takes it.
    pub(super) fn written(mut self) -> Result<Vec<Write>, DemoError> {
        let mut events = std::mem::take(&mut self.events);
        events.sort_by(|a, b| a.at.cmp(&b.at));
        for event in events {
            self.enter(event)?;
        }
        Ok(self.drafts.into_iter().map(|draft| Write { draft, seen: 0 }).collect())
    }

    fn enter(&mut self, event: Event) -> Result<(), DemoError> {
        let Event { at, job: number, by, what } = event;
        let Some(by) = person(by) else { return Ok(()) };
        let ledger = if number.is_empty() { LEDGER.to_owned() } else { ledger_of(&number) };
        let shop = Shop::fold(self.of(LEDGER))?;
        let job = Job::fold(self.of(&ledger_of(&number)))?;
        let day = at.get(..10).and_then(|day| day.parse().ok()).unwrap_or(TODAY);
        let deed = deed(what, &shop, &job, &by, day)?;
        let allowed =
            if number.is_empty() { shop.allows(&deed, &by) } else { shop.allows_in(&job, &deed, &by) };
        let told = || format!("{} of {ledger}, {at}", crate::pages::stale::words(&deed));
        allowed.map_err(|source| DemoError::Refused { what: told(), source })?;
        let body =
            serde_json::to_string(&deed).map_err(|error| DemoError::Faulty { what: error.to_string() })?;
        let draft = Draft { ledger: ledger.clone(), at, by: by.name, body };
        let stored = self.heads.append(draft.clone());
        self.entries.entry(ledger).or_default().push(stored.entry);
        self.drafts.push(draft);
        Ok(())
    }

    fn of(&self, ledger: &str) -> &[Entry] {
        self.entries.get(ledger).map_or(&[], Vec::as_slice)
    }
}

fn deed(what: What, shop: &Shop, job: &Job, by: &Person, at: Date) -> Result<Deed, DemoError> {
    let faulty = |what: &str| DemoError::Faulty { what: format!("{}: {what}", job.text("number")) };
    Ok(match what {
        What::Shop(deed) | What::Job(deed) => deed,
        What::Judge => {
            let part = job.text("part");
            let card = shop.cards.values().find(|card| card.in_use() && card.is_for(part));
            let card = card.ok_or_else(|| faulty("no card is in use"))?;
            Deed::JudgedBy { card: card.number, content: card.content.clone() }
        }
        What::Weigh(fields, before) => {
            let before = Some(before).filter(|before| !before.zero.is_empty());
            weigh::deed(job, shop, &fields, before, Vec::new(), weigh::Occasion::default()).map_err(
                |faults| {
                    let said: Vec<String> = faults.into_iter().map(|fault| fault.what).collect();
                    faulty(&said.join("; "))
                },
            )?
        }
        What::Drawn(sheet, station) => {
            let worked =
                hingeline_bench::weight::work(WeightSheet::parse_with(&sheet, &|_: &str| Ok(HORN.to_vec()))?);
            let mesh = worked.sheet.mesh.as_ref();
            Deed::WeightIntended {
                outcome: WeightOutcome::of(&worked).ok_or_else(|| faulty("no weight will do"))?,
                weighing: None,
                station: station.to_owned(),
                mesh: mesh.map(|mesh| NamedFile { name: mesh.name.clone(), file: mesh.fingerprint.clone() }),
                sheet,
            }
        }
        What::Holes(sheet, station) => Deed::DrillOutIntended {
            outcome: DrillOutcome::of(&drill_out::work(DrillSheet::parse(&sheet)?))
                .ok_or_else(|| faulty("no holes will do"))?,
            weighing: job.weighings.last().map(|weighing| weighing.entry),
            station: station.to_owned(),
            sheet,
        },
        What::Weight(sheet, station) => {
            let worked = hingeline_bench::weight::work(WeightSheet::parse(&sheet)?);
            Deed::WeightIntended {
                outcome: WeightOutcome::of(&worked).ok_or_else(|| faulty("no weight will do"))?,
                weighing: job.weighings.last().map(|weighing| weighing.entry),
                station: station.to_owned(),
                sheet,
                mesh: None,
            }
        }
        What::Cast(mass, scale) => {
            let weight = job.weights().last().ok_or_else(|| faulty("no weight is meant"))?.entry;
            weighed(weight, mass, casting::scale(shop, scale, None, at))
        }
        What::Sign => Deed::SignedOff(signature(job, by, "I performed this work as the record shows it.")),
        What::Inspect => Deed::Inspected(signature(job, by, "I inspected this work independently.")),
        What::Release => {
            let assessment = job.assessment().ok_or_else(|| faulty("it has no weighing"))??;
            Deed::Released { log_text: log::log_text(job, &assessment, &[]) }
        }
    })
}

fn weighed(weight: u64, mass: &str, scale: Option<Fields>) -> Deed {
    let cast = super::data::fields(&[("mass", mass)]);
    Deed::WeightWeighed { weight, step: "as cast".to_owned(), cast, scale, before: None }
}

fn signature(job: &Job, by: &Person, statement: &str) -> Signature {
    Signature {
        name: by.name.clone(),
        certificate: by.certificate.clone(),
        kind: by.kind.clone(),
        statement: statement.to_owned(),
        weighing: job.weighings.last().map_or(0, |weighing| weighing.entry),
        head: job.head.hex(),
    }
}
