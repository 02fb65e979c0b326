//! Enters a weighing of a surface or of a casting, and the check of its scale beside it in the shop's own ledger, at the
//! same moment.

use super::Bench;
use crate::form::Typed;
use crate::pages::job::at;
use crate::problem::Problem;
use crate::visit::{Answer, Visit, go_saying, writes};
use axum::http::StatusCode;
use hingeline_bench::record::deed::{Deed, Field};
use hingeline_bench::record::job::{Job, ledger_of};
use hingeline_bench::record::shop::LEDGER;
use hingeline_bench::record::weigh;
use hingeline_store::StoreError;

/// How often it is tried anew where only the shop's ledger grew in between.
const TRIES: usize = 5;

/// Enters what stands on the bench, or shows everything that is wrong with it.
pub(super) async fn enter(mut bench: Bench<'_>) -> Answer {
    let worked = bench.work();
    bench.refused = true;
    let wrong = bench.wrong(&worked);
    let reason = bench.filled.typed.get("reason").to_owned();
    let made = weigh::deed(
        &bench.base(),
        &bench.visit.shop,
        &worked.fields,
        worked.before.clone(),
        worked.struck.clone(),
        bench.when(bench.until().as_deref()),
    );
    let deed = match made {
        Ok(deed) if wrong.is_empty() => deed,
        Ok(_) | Err(_) => {
            bench.filled.wrong = wrong;
            return bench.answer(StatusCode::UNPROCESSABLE_ENTITY);
        }
    };
    let (deed, check) = match bench.mends {
        Some(entry) => (Deed::Mended { entry, reason, with: Some(Box::new(deed)) }, None),
        None => {
            let check = worked.before.zip(worked.fields.get("scale").cloned());
            let check = check.and_then(|(check, scale)| match scale {
                Field::Text(id) => Some(Deed::Checked { id, check }),
                _ => None,
            });
            (deed, check)
        }
    };
    let to = (bench.job.as_ref(), bench.draft.as_str());
    write(bench.visit, to, &deed, check.as_ref(), &bench.filled.typed).await?;
    go_saying(&at(&bench.number, ""), "weighed")
}

/// Writes a deed of a job with the check of its scale, and empties the draft of its form.
pub(in crate::pages::job) async fn write(
    visit: &Visit,
    (job, draft): (&Job, &str),
    deed: &Deed,
    check: Option<&Deed>,
    typed: &Typed,
) -> Result<(), Problem> {
    let me = visit.me()?;
    if job.entries == typed.seen() {
        visit.shop.allows_in(job, deed, &me.person)?;
    }
    let (name, number) = (&me.person.name, job.text("number"));
    let own = writes(&ledger_of(number), std::slice::from_ref(deed), typed.seen(), visit.now, name)?;
    let mut seen = visit.shop.entries;
    for _ in 0..TRIES {
        let mut all = own.clone();
        if let Some(check) = check {
            all.extend(writes(LEDGER, std::slice::from_ref(check), seen, visit.now, name)?);
        }
        let (number, form) = (number.to_owned(), draft.to_owned());
        let tried =
            visit.app.ask(move |store| match store.enter(&all, &number, std::slice::from_ref(&form)) {
                Err(StoreError::Stale { ledger, entries, .. }) if ledger == LEDGER => Ok(Some(entries)),
                other => other.map(|_| None),
            });
        match tried.await {
            Ok(None) => return Ok(()),
            Ok(Some(entries)) => seen = entries,
            Err(Problem::Stale { ledger, seen, entries, .. }) => {
                return Err(Problem::Stale { ledger, seen, entries, typed: Box::new(typed.clone()) });
            }
            Err(problem) => return Err(problem),
        }
    }
    Err(Problem::Defect { what: "the shop's ledger grew at every try".to_owned() })
}
