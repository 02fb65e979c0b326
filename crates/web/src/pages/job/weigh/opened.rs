//! How the bench comes to what stands in its fields: a weighing that is mended, the job's last weighing, the draft of
//! whoever typed before, or the form that was sent.

use super::ways::{SECOND_SETS, SETS, WAYS, Way};
use super::{Bench, Stage, form, known, typed};
use crate::form::{Filled, Typed};
use crate::problem::Problem;
use crate::routes::Who;
use crate::visit::Visit;
use hingeline_bench::record::deed::{Field, Fields};
use hingeline_bench::record::job::{Job, Refusal, Weighing};
use hingeline_bench::{CardSheet, System};
use hingeline_quantity::{Entered, Mass};
use hingeline_store::FormDraft;
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
        overlay(&mut pairs, &kept);
        let system = System::read(visit.query.get("units"));
        let mut bench = Self::with(visit, number, &job, stage, way, Typed::of(pairs));
        bench.system = system;
        bench.mends = mends;
        bench.draft = draft;
        bench.rev = kept.rev;
        bench.read_only = why_not(visit, &job, mends);
        bench.carried = carried;
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
        let seen = typed.number("seen");
        let mut bench = Self::with(visit, number, &job, stage, way, typed);
        bench.system = system;
        bench.mends = mends;
        bench.draft = draft_name(stage, mends);
        bench.entries = seen.unwrap_or(0);
        let (wanted, form) = (number.to_owned(), bench.draft.clone());
        // The page of a refused form goes on saving fields: it needs to know where the draft stands.
        if visit.path.ends_with("/weigh") || mends.is_some() {
            bench.rev = visit.app.ask(move |store| store.draft(&wanted, &form)).await?.rev;
        }
        bench.read_only = why_not(visit, &job, mends);
        Ok(bench)
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
            entries: job.entries,
            mends: None,
            configuration: configuration(job),
            card: card(job),
            read_only: None,
            carried: None,
            job: Arc::clone(job),
        }
    }

    /// The unit that a bare number gets: of the scale's display, of the limits.
    pub(super) fn unit(&self, kind: &str) -> Option<&'static str> {
        let units = self.card.as_ref()?.limits.units;
        let scale = self.visit.shop.instruments.get(self.filled.typed.get("scale"));
        let step = scale.and_then(|scale| Entered::<Mass>::parse(scale.text("resolution")).ok());
        match kind {
            "mass" => Some(step.map_or(units.mass, |step| step.unit).symbol),
            "length" => Some(units.length.symbol),
            "angle" => Some("deg"),
            "moment-within" => Some(units.moment.symbol),
            _ => None,
        }
    }
}

fn to_mend(job: &Job, entry: u64) -> Result<&Weighing, Problem> {
    let found = job.weighings.iter().find(|weighing| weighing.entry == entry);
    found.ok_or(Problem::Refused(Refusal::NoSuchEntry { number: entry }))
}

fn draft_name(stage: Stage, mends: Option<u64>) -> String {
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
    let text = |fields: &Fields, key: &str| match fields.get(key) {
        Some(Field::Text(text)) => Some(text.clone()),
        _ => None,
    };
    pairs.extend(typed::carried(&last.fields, way));
    (pairs, text(&last.fields, "date"))
}

/// What was typed and not entered yet takes the place of everything else.
fn overlay(pairs: &mut Pairs, kept: &FormDraft) {
    for field in &kept.fields {
        pairs.retain(|(name, _)| *name != field.field);
        if field.field == "confirmed" {
            let items = field.value.lines().filter(|item| !item.is_empty());
            pairs.extend(items.map(|item| (field.field.clone(), item.to_owned())));
        } else {
            pairs.push((field.field.clone(), field.value.clone()));
        }
    }
}

fn configuration(job: &Job) -> Vec<String> {
    match job.card.as_ref().and_then(|(_, card)| card.limits.get("configuration")) {
        Some(Field::List(items)) => items.clone(),
        _ => Vec::new(),
    }
}

/// The job's card, read.
fn card(job: &Job) -> Option<CardSheet> {
    #[derive(serde::Serialize)]
    struct Tables<'c> {
        limits: &'c Fields,
        #[serde(skip_serializing_if = "Fields::is_empty")]
        outline: &'c Fields,
        station: &'c [Fields],
    }
    let (_, card) = job.card.as_ref()?;
    let tables = Tables { limits: &card.limits, outline: &card.outline, station: &card.stations };
    CardSheet::parse(&toml::to_string(&tables).ok()?).ok()
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
