//! Enters a weighing, and the check of its scale beside it in the shop's own ledger, at the same moment.

use super::Bench;
use crate::pages::job::at;
use crate::problem::Problem;
use crate::visit::{Answer, go_saying, writes};
use axum::http::StatusCode;
use hingeline_bench::record::deed::{Deed, Field};
use hingeline_bench::record::job::ledger_of;
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
    write(&bench, &deed, check.as_ref()).await?;
    go_saying(&at(&bench.number, ""), "weighed")
}

async fn write(bench: &Bench<'_>, deed: &Deed, check: Option<&Deed>) -> Result<(), Problem> {
    let (visit, typed) = (bench.visit, &bench.filled.typed);
    let me = visit.me()?;
    if bench.job.entries == typed.seen() {
        bench.job.allows(deed, &me.person)?;
    }
    let name = &me.person.name;
    let own = writes(&ledger_of(&bench.number), std::slice::from_ref(deed), typed.seen(), visit.now, name)?;
    let mut seen = visit.shop.entries;
    for _ in 0..TRIES {
        let mut all = own.clone();
        if let Some(check) = check {
            all.extend(writes(LEDGER, std::slice::from_ref(check), seen, visit.now, name)?);
        }
        let (number, form) = (bench.number.clone(), bench.draft.clone());
        let tried = visit.app.ask(move |store| match store.enter(&all, &number, &form) {
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
