//! How the bench comes to what stands in its fields: a weighing that is mended, the job's last weighing, the draft of
//! whoever typed before, or the form that was sent.

use super::show::units_of;
use super::ways::{PART, SECOND_SETS, SETS, WAYS, Way};
use super::{Bench, Stage, form, known, typed};
use crate::form::{Filled, Typed};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::Visit;
use hingeline_bench::record::deed::{Deed, Field, list, text};
use hingeline_bench::record::job::{Job, Line, Refusal, Weighing};
use hingeline_bench::{CardSheet, System, with_unit};
use hingeline_quantity::{Unit, unit};
use hingeline_store::FormDraft;
use jiff::civil::Date;
use std::sync::Arc;

type Pairs = Vec<(String, String)>;

impl<'v> Bench<'v> {
    /// The bench as it is opened: with its draft over what the last weighing hands on.
    pub(super) async fn open(visit: &'v Visit, number: &str, mends: Option<u64>) -> Result<Self, Problem> {
        let job = known::job(visit, number).await?;
        let mended = mends.map(|entry| to_mend(&job, entry)).transpose()?;
        let stage = match mended {
            Some(weighing) => Stage::read(weighing.stage()),
            None => Stage::read(visit.query.get("stage")),
        };
        let stage = stage.unwrap_or_else(|| next_stage(&job));
        let draft = draft_name(stage, mends);
        let (wanted, form) = (number.to_owned(), draft.clone());
        let kept = visit.app.ask(move |store| store.draft(&wanted, &form)).await?;
        let way = method(visit, &job, mended, &kept);
        let (mut pairs, carried) = match mended {
            Some(weighing) => {
                (typed::pairs(&weighing.fields, weighing.before.as_ref(), &weighing.struck), None)
            }
            None => set_up(visit, &job, way),
        };
        let after = after(&job, mends);
        overlay(&mut pairs, &kept, way, after);
        let system = System::read(visit.query.get("units"));
        let mut bench = Self::with(visit, number, &job, stage, way, Typed::of(pairs));
        bench.system = system;
        bench.mends = mends;
        bench.after = after;
        bench.draft = draft;
        bench.rev = kept.rev;
        bench.cleared = kept.cleared;
        bench.read_only = why_not(visit, &job, mends);
        bench.carried = carried;
        bench.find_older(&kept);
        Ok(bench)
    }

    /// The bench as its form was sent.
    pub(super) async fn of(
        visit: &'v Visit,
        number: &str,
        mends: Option<u64>,
        typed: Typed,
    ) -> Result<Self, Problem> {
        let job = known::job(visit, number).await?;
        if let Some(entry) = mends {
            to_mend(&job, entry)?;
        }
        let stage = Stage::read(typed.get("stage")).unwrap_or_else(|| next_stage(&job));
        let way = Way::find(typed.get("method")).unwrap_or(&WAYS[0]);
        let system = System::read(typed.get("units"));
        let (seen, refused) = (typed.number("seen"), typed.has("refused"));
        let mut bench = Self::with(visit, number, &job, stage, way, typed);
        bench.system = system;
        bench.complete();
        bench.mends = mends;
        bench.after = after(&job, mends);
        bench.draft = draft_name(stage, mends);
        bench.entries = seen.unwrap_or(0);
        bench.refused = refused;
        let (wanted, form) = (number.to_owned(), bench.draft.clone());
        // The page of a refused form goes on saving fields: it needs to know where the draft stands.
        if visit.path.ends_with("/weigh") || mends.is_some() {
            let kept = visit.app.ask(move |store| store.draft(&wanted, &form)).await?;
            bench.rev = kept.rev;
            bench.cleared = kept.cleared;
            bench.find_older(&kept);
        }
        bench.read_only = why_not(visit, &job, mends);
        Ok(bench)
    }

    /// Readings of this method in the draft that were taken before the surface was changed last, where nothing else
    /// stands in their fields.
    fn find_older(&mut self, kept: &FormDraft) {
        let Some(line) = last_change(&self.job).filter(|_| self.mends.is_none()) else { return };
        let what = match line.deed {
            Deed::Corrected { .. } => "the correction",
            _ => "the work",
        };
        let older = kept.fields.iter().filter_map(|field| {
            let (name, of) = field.field.split_once('@')?;
            let (slug, after) = of.split_once('@')?;
            let before = slug == self.way.slug && after.parse::<u64>().ok()? < line.number;
            let set = self.way.sets().find(|set| *set == name)?;
            (before && !field.value.is_empty() && !self.filled.typed.has(set))
                .then(|| (field.field.clone(), set, field.value.clone()))
        });
        self.older = older.collect();
        self.changed = format!("{what} of {}", self.visit.local(&line.at));
    }

    fn with(
        visit: &'v Visit,
        number: &str,
        job: &Arc<Job>,
        stage: Stage,
        way: &'static Way,
        mut typed: Typed,
    ) -> Self {
        if !typed.has("way") {
            let at_rest = [SETS[0], SECOND_SETS[0]].into_iter().any(|set| typed.has(set));
            typed.set("way", if at_rest { "rest" } else { "turning" });
        }
        Self {
            visit,
            number: number.to_owned(),
            stage,
            way,
            system: System::default(),
            filled: Filled { typed, ..Filled::default() },
            draft: String::new(),
            rev: 0,
            cleared: 0,
            entries: job.entries,
            mends: None,
            configuration: configuration(job),
            card: card(job),
            read_only: None,
            carried: None,
            after: 0,
            changed: String::new(),
            older: Vec::new(),
            refused: false,
            job: Arc::clone(job),
        }
    }

    /// The unit that a bare number gets in a field of a kind: of the system that is chosen on the page, and of nothing
    /// else. A moment has none, since its side has to be typed too.
    pub(super) fn unit(&self, kind: &str) -> Option<&'static Unit> {
        self.unit_in(kind, self.system)
    }
    /// The same with another system chosen.
    pub(super) fn unit_in(&self, kind: &str, system: System) -> Option<&'static Unit> {
        let units = system.typed(self.card.as_ref()?.limits.units);
        match kind {
            "mass" => Some(units.mass),
            "length" => Some(units.length),
            "angle" => Some(&unit::DEGREE),
            "moment-within" => Some(units.moment),
            _ => None,
        }
    }

    /// Bare numbers of a form that was sent get the units that it showed beside its fields.
    fn complete(&mut self) {
        let defs = self.way.defs().map(|def| (def.key.to_owned(), units_of(def.kind)));
        let mut kinds: Vec<(String, &'static str)> = defs.collect();
        kinds.extend(["zero", "check"].map(|key| (key.to_owned(), "mass")));
        if let Some(reading) = self.way.readings {
            kinds.extend(self.way.sets().map(|set| (set.to_owned(), units_of(reading.kind))));
        }
        for row in typed::rows(&self.filled.typed, self.way) {
            let parts = PART.iter().map(|(key, ..)| (format!("part.{row}.{key}"), typed::units_of_part(key)));
            kinds.extend(parts);
        }
        for (name, kind) in kinds {
            let Some(unit) = self.unit(kind).filter(|_| self.filled.typed.has(&name)) else { continue };
            let text = self.filled.typed.get(&name).to_owned();
            let complete = if self.way.sets().any(|set| set == name) {
                let each = typed::readings(&text);
                typed::joined(&each.iter().map(|text| with_unit(text, unit)).collect::<Vec<_>>())
            } else {
                with_unit(&text, unit)
            };
            if complete != text {
                self.filled.typed.set(&name, complete);
            }
        }
    }

    /// The day on which the receipt of the job was entered.
    pub(super) fn entered(&self) -> Option<Date> {
        received_on(self.visit, &self.job)
    }

    /// The same for judging the day of a weighing: what is mended keeps its own.
    pub(super) fn earliest(&self) -> Option<Date> {
        let received = self.entered()?;
        let mended = self.mends.and_then(|entry| {
            let weighing = self.job.weighings.iter().find(|weighing| weighing.entry == entry)?;
            match weighing.fields.get("date") {
                Some(Field::Text(day)) => day.trim().parse::<Date>().ok(),
                _ => None,
            }
        });
        Some(mended.map_or(received, |day: Date| received.min(day)))
    }
}

/// The day on which the receipt of a job was entered, by the shop's clock.
pub(in crate::pages::job) fn received_on(visit: &Visit, job: &Job) -> Option<Date> {
    visit.day_of(job.received_at()?).parse().ok()
}

fn to_mend(job: &Job, entry: u64) -> Result<&Weighing, Problem> {
    let found = job.weighings.iter().find(|weighing| weighing.entry == entry);
    found.ok_or(Problem::Refused(Refusal::NoSuchEntry { number: entry }))
}

pub(super) fn draft_name(stage: Stage, mends: Option<u64>) -> String {
    match mends {
        Some(entry) => format!("mend {entry}"),
        None => format!("weigh {}", stage.word()),
    }
}

/// As found until there is such a weighing.
fn next_stage(job: &Job) -> Stage {
    let found = job.weighings.iter().any(|weighing| weighing.stage() == "as found");
    if found { Stage::AsLeft } else { Stage::AsFound }
}

/// The method that the address asks for, else the one of the draft, of the weighing, of the job's last weighing.
fn method(visit: &Visit, job: &Job, mended: Option<&Weighing>, kept: &FormDraft) -> &'static Way {
    let in_draft = kept.fields.iter().find(|field| field.field == "method").map(|field| field.value.as_str());
    let in_weighing =
        mended.or(job.weighings.last()).and_then(|weighing| match weighing.fields.get("method") {
            Some(Field::Text(word)) => Some(word.as_str()),
            _ => None,
        });
    let asked = Some(visit.query.get("method")).filter(|word| !word.is_empty());
    [asked, in_draft, in_weighing].into_iter().flatten().find_map(Way::find).unwrap_or(&WAYS[0])
}

/// Today, and the set-up of the last weighing; where there is none, the only instrument of a kind.
fn set_up(visit: &Visit, job: &Job, way: &Way) -> (Pairs, Option<String>) {
    let mut pairs = vec![("date".to_owned(), visit.today.to_string())];
    let Some(last) = job.weighings.last() else {
        for key in ["scale", "rule", "level"] {
            let known = form::instruments(&visit.shop, key);
            if let [only] = known.as_slice() {
                pairs.push((key.to_owned(), (*only).to_owned()));
            }
        }
        return (pairs, None);
    };
    pairs.extend(typed::carried(&last.fields, way));
    (pairs, Some(text(&last.fields, "date").to_owned()).filter(|date| !date.is_empty()))
}

/// The number of the entry that changed the surface last; a mend speaks of the surface as it was then.
fn after(job: &Job, mends: Option<u64>) -> u64 {
    last_change(job).filter(|_| mends.is_none()).map_or(0, |line| line.number)
}

/// The entry that changed the surface last, where it came after the last weighing.
fn last_change(job: &Job) -> Option<&Line> {
    let weighed = job.weighings.last().map_or(0, |weighing| weighing.entry);
    let corrected = job.corrections.iter().map(|(entry, _)| *entry);
    let worked = job.works.iter().map(|(entry, _)| *entry);
    let last = corrected.chain(worked).filter(|entry| *entry > weighed).max()?;
    job.lines.iter().find(|line| line.number == last)
}

/// What was typed and not entered yet takes the place of everything else; what was read only with its own method, and
/// only while the surface stands as it stood then.
fn overlay(pairs: &mut Pairs, kept: &FormDraft, way: &Way, after: u64) {
    let method = kept.fields.iter().find(|field| field.field == "method").map(|field| field.value.as_str());
    for field in &kept.fields {
        let name = field.field.split('@').next().unwrap_or_default();
        let own = if typed::is_read(&field.field) {
            // Without its method it was sent by the method that the draft names.
            method.is_none_or(|word| word == way.word)
        } else {
            name == field.field || field.field == typed::kept_as(name, way, after)
        };
        if !own {
            continue;
        }
        pairs.retain(|(known, _)| known != name);
        if field.field == "confirmed" {
            let items = field.value.lines().filter(|item| !item.is_empty());
            pairs.extend(items.map(|item| (name.to_owned(), item.to_owned())));
        } else {
            pairs.push((name.to_owned(), field.value.clone()));
        }
    }
}

fn configuration(job: &Job) -> Vec<String> {
    job.card.as_ref().map_or_else(Vec::new, |(_, card)| list(&card.limits, "configuration").to_vec())
}

/// The job's card, read.
fn card(job: &Job) -> Option<CardSheet> {
    job.card.as_ref().and_then(|(_, card)| card.sheet().ok())
}

/// Why nothing may be typed here.
fn why_not(visit: &Visit, job: &Job, mends: Option<u64>) -> Option<String> {
    if !visit.may(Who::Worker) {
        return Some(format!("Weighings are taken by {}.", Who::Worker.words()));
    }
    if mends.is_none() && job.released.is_some() {
        return Some("The job is released: mend a weighing with a reason, or open a new job.".to_owned());
    }
    None
}
