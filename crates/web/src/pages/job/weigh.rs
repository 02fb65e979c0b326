//! The bench page: a weighing taken on a drawing of its stand.
//!
//! The fields lie where they are measured; every entry is worked out by crate bench and redrawn. Handlers: [`page`] and
//! [`mend_page`] show it, [`preview`] answers an entry, [`draft`] keeps what is typed field by field, [`act`] and
//! [`mend`] take the whole form. Main type: [`Bench`].

mod draft;
mod enter;
mod form;
mod known;
mod opened;
mod show;
mod stand;
mod typed;
mod ways;
mod work;

pub(crate) use draft::draft;
pub(in crate::pages::job) use enter::write;
pub(in crate::pages::job) use form::instruments;
pub(in crate::pages::job) use opened::received_on;

use crate::form::{Filled, Said, Typed, Wrong};
use crate::pages::job::{at, head};
use crate::parts::{self, Tone};
use crate::problem::{Problem, chain};
use crate::visit::{Answer, Visit, go};
use axum::extract::Path;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use hingeline_bench::record::check;
use hingeline_bench::record::deed::Deed;
use hingeline_bench::record::expected::{self, Expected};
use hingeline_bench::record::job::Job;
use hingeline_bench::record::way::Step;
use hingeline_bench::record::weigh::{self, Occasion};
use hingeline_bench::{CardSheet, System};
use hingeline_store::Typed as Kept;
use maud::{Markup, html};
use show::Shown;
use std::borrow::Cow;
use std::sync::Arc;
use ways::Way;
use work::Worked;

/// As found or as left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// Before any correction.
    AsFound,
    /// After the last one.
    AsLeft,
}

impl Stage {
    fn read(word: &str) -> Option<Self> {
        match word.replace('-', " ").as_str() {
            "as found" => Some(Self::AsFound),
            "as left" => Some(Self::AsLeft),
            _ => None,
        }
    }
    fn word(self) -> &'static str {
        match self {
            Self::AsFound => "as found",
            Self::AsLeft => "as left",
        }
    }
    fn step(self) -> Step {
        match self {
            Self::AsFound => Step::AsFound,
            Self::AsLeft => Step::AsLeft,
        }
    }
}

/// The bench of one job, with what stands in its fields.
struct Bench<'v> {
    visit: &'v Visit,
    number: String,
    job: Arc<Job>,
    stage: Stage,
    way: &'static Way,
    system: System,
    filled: Filled,
    /// The name of its draft.
    draft: String,
    /// The newest revision of that.
    rev: u64,
    /// The revision under which it was entered or dropped last.
    cleared: u64,
    /// How many entries the page knows.
    entries: u64,
    /// The entry that it mends.
    mends: Option<u64>,
    /// What the approved data ask for.
    configuration: Vec<String>,
    card: Option<CardSheet>,
    /// Why nothing may be typed here.
    read_only: Option<String>,
    /// The day of the weighing that the set-up was taken from.
    carried: Option<String>,
    /// The entry that changed the surface since its last weighing; 0 for none.
    after: u64,
    /// That entry in words: "the correction of 2026-10-02 10:55".
    changed: String,
    /// Readings typed before it: their name in the draft, their set, what was typed.
    older: Vec<(String, &'static str, String)>,
    /// Whether it was refused already: what is missing is then said beside its field.
    refused: bool,
}

impl Bench<'_> {
    fn at(&self, rest: &str) -> String {
        at(&self.number, rest)
    }
    /// Where its form goes.
    fn address(&self) -> String {
        match self.mends {
            Some(entry) => self.at(&format!("/weigh/{entry}/mend")),
            None => self.at("/weigh"),
        }
    }
    /// The same bench with another method or other units.
    fn link(&self, way: &Way, system: System) -> String {
        let stage = self.stage.word().replace(' ', "-");
        format!("{}?stage={stage}&method={}&units={}", self.address(), way.slug, system.word())
    }
    /// The job as it was before this weighing.
    fn base(&self) -> Cow<'_, Job> {
        let Some(entry) = self.mends else { return Cow::Borrowed(&self.job) };
        let mut job = (*self.job).clone();
        job.weighings.retain(|weighing| weighing.entry < entry);
        Cow::Owned(job)
    }
    /// What is mended, and the end of the day of the weighing where that is past: its instruments are those of then.
    fn when<'b>(&'b self, until: Option<&'b str>) -> Occasion<'b> {
        let mended = |entry| self.job.weighings.iter().find(|weighing| weighing.entry == entry);
        Occasion { mends: self.mends.and_then(mended), until }
    }
    fn until(&self) -> Option<String> {
        self.visit.end_of(self.filled.typed.get("date"))
    }
    fn work(&self) -> Worked {
        let (typed, until) = (&self.filled.typed, self.until());
        let when = self.when(until.as_deref());
        let mut worked =
            work::work(&self.base(), &self.visit.shop, (self.way, self.stage.word()), typed, when);
        if let Some(fault) = weigh::day(&worked.fields, self.earliest(), self.visit.today) {
            worked.wrong.say("date", Said::from(&fault));
        }
        let arm = self.card.as_ref().and_then(|card| weigh::arm_to_look_at(card, &worked.fields));
        worked.looks.extend(arm.map(|said| ("arm", said)));
        worked.looks.extend(weigh::dated_early(&worked.fields, self.entered()).map(|said| ("date", said)));
        let is_today = |at: &str| self.visit.local(at).starts_with(&self.visit.today.to_string());
        let scale = work::scale(&self.visit.shop, &worked.fields).filter(|_| self.mends.is_none());
        worked.unchecked =
            scale.is_some_and(|scale| check::not_checked(scale, worked.before.as_ref(), is_today));
        worked
    }
    /// What is said beside the fields: what is wrong, and after a refusal what is missing too.
    fn wrong(&self, worked: &Worked) -> Wrong {
        if !self.refused {
            return worked.wrong.clone();
        }
        let mut wrong = worked.refusal();
        if self.mends.is_some() && !self.filled.typed.has("reason") {
            let said = Said::new("the weighing is mended without a reason");
            wrong.say("reason", said.hint("say what was wrong with it"));
        }
        wrong
    }
    /// What the corrections since the last weighing let expect.
    fn expected(&self, worked: &Worked) -> Option<Expected> {
        if self.mends.is_some() || self.stage != Stage::AsLeft {
            return None;
        }
        let expected = expected::expected(&self.job, &self.visit.shop, &worked.fields, self.system)?;
        Some(match &worked.assessment {
            Some(own) => expected.against(&own.in_system(self.system)),
            None => expected,
        })
    }
    fn shown(&self, worked: &Worked) -> Result<Shown, Problem> {
        let said = Shown::of(worked, self.card.as_ref(), self.way, &self.filled.typed, self.system);
        said.map(|shown| shown.expecting(self.expected(worked).as_ref()))
            .map_err(|error| Problem::Defect { what: chain(&error) })
    }

    /// The whole page.
    fn answer(&self, status: StatusCode) -> Answer {
        let worked = self.work();
        let title = match self.mends {
            Some(_) => "Mend a weighing".to_owned(),
            None => format!("Weigh {}", self.stage.word()),
        };
        let body = html! {
            (head(&self.job, Some(self.stage.step())))
            div.bench-title {
                h1 { (title) }
                @if self.job.card.is_some() { (form::choices(self)) }
            }
            @if let Some(why) = &self.read_only { (parts::notice(Tone::Plain, "To read only", &html! { p { (why) } })) }
            @if self.job.card.is_none() {
                (parts::notice(Tone::Doubt, "No limits yet", &html! {
                    p { "A weighing is judged by an approved card: " a href=(self.at("/limits")) { "choose one first" } "." }
                }))
            } @else {
                (self.notes())
                (form::whole(self, &worked, &self.shown(&worked)?))
            }
        };
        let title = format!("{} · {title}", self.number);
        let page = self.visit.page(&title, body)?;
        Ok((status, page).into_response())
    }

    fn notes(&self) -> Markup {
        let wrong = self.filled.wrong.all().count();
        html! {
            p.lead { (self.way.how) }
            @if let Some(date) = &self.carried {
                p.lead.carried { "Set up as in the weighing of " (date) ": look at each field once." }
            }
            @if wrong > 0 { (parts::form_summary(&self.filled)) }
            @if !self.older.is_empty() { (form::older(self)) }
            div id="bench-notices" {}
        }
    }
}

/// GET /jobs/{number}/weigh
pub(crate) async fn page(visit: Visit, Path(number): Path<String>) -> Answer {
    Bench::open(&visit, &number, None).await?.answer(StatusCode::OK)
}

/// GET /jobs/{number}/weigh/{entry}/mend
pub(crate) async fn mend_page(visit: Visit, Path((number, entry)): Path<(String, String)>) -> Answer {
    Bench::open(&visit, &number, Some(entry_of(&entry)?)).await?.answer(StatusCode::OK)
}

fn entry_of(word: &str) -> Result<u64, Problem> {
    word.parse().map_err(|_| Problem::not_found(format!("entry {word}")))
}

/// POST /jobs/{number}/weigh/preview
pub(crate) async fn preview(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    let mends = typed.number("mends");
    let bench = Bench::of(&visit, &number, mends, typed).await?;
    let worked = bench.work();
    let label = form::check_label(&visit.shop, &worked);
    let wrong = bench.wrong(&worked);
    Ok(bench.shown(&worked)?.fragment(&worked, &wrong, bench.way, &label).into_response())
}

/// POST /jobs/{number}/weigh
pub(crate) async fn act(visit: Visit, Path(number): Path<String>, typed: Typed) -> Answer {
    done(&visit, &number, None, typed).await
}

/// POST /jobs/{number}/weigh/{entry}/mend
pub(crate) async fn mend(
    visit: Visit,
    Path((number, entry)): Path<(String, String)>,
    typed: Typed,
) -> Answer {
    done(&visit, &number, Some(entry_of(&entry)?), typed).await
}

/// What the button that was pressed says.
async fn done(visit: &Visit, number: &str, mends: Option<u64>, mut typed: Typed) -> Answer {
    let what = typed.get("do").to_owned();
    let words: Vec<&str> = what.split(' ').collect();
    match words.as_slice() {
        ["strike", set, index] => {
            if let (Some(set), Ok(index)) = (known_set(set), index.parse()) {
                typed::strike(&mut typed, set, index);
            }
        }
        ["restore", row] => {
            if let Ok(row) = row.parse() {
                typed::restore(&mut typed, row);
            }
        }
        ["clear"] => {
            let bench = Bench::of(visit, number, mends, typed).await?;
            // Without a method: to name one would begin a new draft.
            let stage = bench.stage.word().replace(' ', "-");
            let to = format!("{}?stage={stage}&units={}", bench.address(), bench.system.word());
            let (number, form) = (number.to_owned(), bench.draft.clone());
            visit.app.ask(move |store| store.clear_draft(&number, &form)).await?;
            return go(&to);
        }
        ["use-older"] => return older(Bench::of(visit, number, mends, typed).await?, true).await,
        ["drop-older"] => return older(Bench::of(visit, number, mends, typed).await?, false).await,
        ["work-out"] => {}
        _ => return enter::enter(Bench::of(visit, number, mends, typed).await?).await,
    }
    let mut bench = Bench::of(visit, number, mends, typed).await?;
    bench.refused = false;
    bench.filled.wrong = bench.work().wrong;
    bench.answer(StatusCode::OK)
}

/// Readings typed before the last change count after all, or go.
async fn older(mut bench: Bench<'_>, count: bool) -> Answer {
    let me = bench.visit.me()?;
    for (kept, set, value) in std::mem::take(&mut bench.older) {
        let mut saves = vec![(kept, String::new())];
        if count {
            bench.filled.typed.set(set, value.clone());
            saves.push((typed::kept_as(set, bench.way, bench.after), value));
        }
        let (number, form, rev) = (bench.number.clone(), bench.draft.clone(), bench.rev);
        let (by, at) = (me.person.name.clone(), bench.visit.now.to_string());
        let saved = bench.visit.app.ask(move |store| {
            let mut rev = rev;
            for (field, value) in &saves {
                let kept = Kept { job: &number, form: &form, field, value, seen_rev: rev, by: &by, at: &at };
                rev = rev.max(store.save_draft(&kept)?.rev);
            }
            Ok(rev)
        });
        bench.rev = saved.await?;
    }
    bench.filled.wrong = bench.work().wrong;
    bench.answer(StatusCode::OK)
}

fn known_set(word: &str) -> Option<&'static str> {
    ways::SETS.into_iter().chain(ways::SECOND_SETS).find(|known| *known == word)
}

/// The label of a key of a weighing, as this page has it; none where it has no field of that key.
pub(super) fn label(method: &str, key: &str) -> Option<String> {
    Way::find(method)?.label(key)
}

/// The forms of the bench that are at an end once a deed is entered: nothing that stands in them can be entered any more.
pub(crate) fn ended_by(deed: &Deed) -> Vec<String> {
    match deed {
        Deed::Released { .. } => {
            [Stage::AsFound, Stage::AsLeft].map(|stage| opened::draft_name(stage, None)).into()
        }
        Deed::Mended { entry, .. } => vec![opened::draft_name(Stage::AsFound, Some(*entry))],
        _ => Vec::new(),
    }
}

/// The weighing that a draft of this page belongs to, in words, and where it is gone on with; none for another form,
/// or for one that nothing can be entered from any more.
pub(in crate::pages) fn draft_page(job: &Job, form: &str) -> Option<(String, String)> {
    let number = job.text("number");
    if let Some(entry) = form.strip_prefix("mend ") {
        let stands = job.weighings.iter().any(|weighing| weighing.entry.to_string() == entry);
        let to = at(number, &format!("/weigh/{entry}/mend"));
        return stands.then(|| (format!("the mending of entry {entry}"), to));
    }
    let stage = form.strip_prefix("weigh ").and_then(Stage::read).filter(|_| job.released.is_none())?;
    let to = at(number, &format!("/weigh?stage={}", stage.word().replace(' ', "+")));
    Some((format!("the weighing {}", stage.word()), to))
}
