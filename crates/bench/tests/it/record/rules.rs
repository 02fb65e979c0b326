//! What the record refuses, whichever page asks: kinds of mends, second signatures, names, administrators, cards.

use super::{Ledger, as_left, card, corrected, of_osterby, person, signature};
use hingeline_bench::record::card::{Standing, before_sign_off, standing};
use hingeline_bench::record::concern::concerns;
use hingeline_bench::record::deed::{Card, Deed, Person, Role};
use hingeline_bench::record::job::{Job, Refusal};
use hingeline_bench::record::log::log_text;
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::Shop;

fn shop(deeds: &[(&str, Deed)]) -> Shop {
    let mut ledger = Ledger::default();
    for (by, deed) in deeds {
        ledger.write(by, deed);
    }
    Shop::fold(ledger.entries.iter().map(|stored| &stored.entry)).expect("readable")
}

fn proposed(card: u64, revises: Option<u64>, content: Card) -> (&'static str, Deed) {
    ("K. Data", Deed::CardProposed { card, revises, content })
}

fn approved(card: u64) -> (&'static str, Deed) {
    ("J. Osterby", Deed::CardApproved { card })
}

fn withdrawn(card: u64) -> (&'static str, Deed) {
    ("K. Data", Deed::CardWithdrawn { card, reason: "copied wrongly".to_owned() })
}

fn in_use(more: &[(&'static str, Deed)]) -> Shop {
    let mut all = vec![proposed(1, None, card()), approved(1)];
    all.extend(more.iter().cloned());
    shop(&all)
}

fn osterby() -> Person {
    person("J. Osterby", Role::Inspector)
}

fn tarn() -> Person {
    person("M. Tarn", Role::Technician)
}

#[test]
fn a_withdrawn_card_is_known_to_its_jobs_and_signs_nothing() {
    let shop = in_use(&[withdrawn(1)]);
    let job = as_left().job();
    let said: Vec<String> = standing(&shop, &job).iter().map(Standing::words).collect();
    assert_eq!(said, ["card 1 was withdrawn by K. Data: copied wrongly"]);
    let missing = ["choose another card: card 1 was withdrawn by K. Data: copied wrongly"];
    assert_eq!(before_sign_off(&shop, &job), missing);
    let refused = shop.allows_in(&job, &Deed::SignedOff(signature(6)), &tarn()).expect_err("refused");
    assert_eq!(refused.to_string(), format!("first: {}", missing[0]));
    assert_eq!(in_use(&[]).allows_in(&job, &Deed::SignedOff(signature(6)), &tarn()), Ok(()));
    let mut ledger = as_left();
    ledger.write("M. Tarn", &Deed::SignedOff(signature(6)));
    let inspect = Deed::Inspected(of_osterby(6));
    assert!(shop.allows_in(&ledger.job(), &inspect, &osterby()).is_err());
    assert_eq!(in_use(&[]).allows_in(&ledger.job(), &inspect, &osterby()), Ok(()));
}

#[test]
fn a_superseded_card_is_said_and_stops_nobody() {
    let shop = in_use(&[proposed(2, Some(1), card()), approved(2)]);
    let job = as_left().job();
    let found = standing(&shop, &job);
    assert_eq!(found, [Standing::Superseded { card: 1, newer: 2, verdict: Some("within") }]);
    assert!(before_sign_off(&shop, &job).is_empty());
    assert_eq!(shop.allows_in(&job, &Deed::SignedOff(signature(6)), &tarn()), Ok(()));
    let said = "card 2 took the place of card 1; by card 2 the last weighing lies within the limits";
    assert_eq!(found[0].words(), said);
}

/// The released job keeps what stood at its release; what came later is no news of it.
#[test]
fn a_newer_card_that_the_weighing_lies_outside_of_is_told_at_the_release() {
    let mut narrow = card();
    narrow.limits.insert("from".to_owned(), text("0.1 in-lb nose-heavy"));
    let shop = in_use(&[
        proposed(2, Some(1), narrow.clone()),
        approved(2),
        proposed(3, Some(2), narrow),
        approved(3),
    ]);
    let mut ledger = as_left();
    let said = |job: &Job| standing(&shop, job).iter().map(Standing::words).collect::<Vec<_>>();
    let outside = "card 3 took the place of card 1; by card 3 the last weighing lies outside the limits";
    assert_eq!(said(&ledger.job()), [outside]);
    let early = Job { released: Some("done".to_owned()), ..ledger.job() };
    assert_eq!(said(&early), [outside], "nobody knows when it was released");
    ledger.write("M. Tarn", &Deed::Released { log_text: "done".to_owned() });
    let job = ledger.job();
    assert_eq!(said(&job), [outside], "it was there at the release");
    let later = |job: Job| {
        let mut job = job;
        job.lines.iter_mut().for_each(|line| line.at = "2026-10-01T08:00:00Z".to_owned());
        job
    };
    assert!(said(&later(job.clone())).is_empty(), "it came after the release");
    let log = log_text(&job, &job.assessment().expect("weighed").expect("judged"), &standing(&shop, &job));
    assert!(log.contains(&outside[1..]), "{log}");
}

#[test]
fn a_part_number_that_is_mended_to_another_stops_the_sign_off() {
    let mut ledger = as_left();
    let Deed::Received { mut job } = ledger.job().lines[0].deed.clone() else { panic!("received") };
    job.insert("part".to_owned(), text("LN3-27-014"));
    let with = Some(Box::new(Deed::Received { job }));
    ledger.write("M. Tarn", &Deed::Mended { entry: 1, reason: "misread".to_owned(), with });
    let job = ledger.job();
    let said = "choose another card: card 1 is not for part LN3-27-014";
    assert_eq!(job.before_sign_off(), [said]);
    assert_eq!(before_sign_off(&in_use(&[]), &job), [said], "said once");
    assert!(job.allows(&Deed::SignedOff(signature(6)), &tarn()).is_err());
}

#[test]
fn of_two_revisions_of_one_card_one_is_approved() {
    let both = [proposed(2, Some(1), card()), proposed(3, Some(1), card()), approved(2)];
    let shop = in_use(&both);
    let refused = shop.allows(&approved(3).1, &osterby()).expect_err("refused");
    assert_eq!(refused.to_string(), "card 3 revises a card that is out of use by now; propose it anew");
    let gone = shop.allows(&approved(9).1, &osterby()).expect_err("refused");
    assert_eq!(gone.to_string(), "card 9 is not in the library");
    let twice = shop.allows(&approved(2).1, &osterby()).expect_err("refused");
    assert_eq!(twice.to_string(), "card 2 does not wait for approval");
    let withdrawn = in_use(&[proposed(2, Some(1), card()), withdrawn(1)]);
    assert!(withdrawn.allows(&approved(2).1, &osterby()).is_err(), "a revision of a withdrawn card");
}

#[test]
fn a_card_keeps_its_number_and_is_withdrawn_once() {
    let keeper = person("K. Data", Role::DataKeeper);
    let shop = in_use(&[withdrawn(1)]);
    assert!(shop.allows(&proposed(1, None, card()).1, &keeper).is_err());
    assert!(shop.allows(&proposed(2, Some(1), card()).1, &keeper).is_err());
    assert!(shop.allows(&withdrawn(1).1, &keeper).is_err());
    assert_eq!(shop.allows(&proposed(2, None, card()).1, &keeper), Ok(()));
}

#[test]
fn a_job_is_judged_by_an_approved_card_in_use_for_its_part() {
    let job = as_left().job();
    let choose = |card, content| Deed::JudgedBy { card, content };
    let shop = in_use(&[proposed(2, None, card())]);
    assert_eq!(shop.allows_in(&job, &choose(1, card()), &tarn()), Ok(()));
    let mut other = card();
    other.limits.insert("to".to_owned(), text("9 in-lb tail-heavy"));
    for refused in [choose(1, other), choose(2, card()), choose(5, card())] {
        let said = shop.allows_in(&job, &refused, &tarn());
        assert!(matches!(said, Err(Refusal::NoSuchCard { .. })), "{said:?}");
    }
    let elsewhere = Job { fields: super::fields(&[("part", "LN3-27-014")]), ..job };
    assert!(shop.allows_in(&elsewhere, &choose(1, card()), &tarn()).is_err());
}

#[test]
fn an_entry_is_mended_by_one_of_its_kind() {
    let job = as_left().job();
    let mend = |entry, with: Option<Deed>| {
        let with = with.map(Box::new);
        job.allows(&Deed::Mended { entry, reason: "slip".to_owned(), with }, &tarn())
    };
    assert_eq!(mend(5, Some(corrected())), Ok(()));
    let signed = Deed::SignedOff(signature(6));
    assert!(matches!(mend(5, Some(signed)), Err(Refusal::OtherKind { number: 5, .. })));
    assert!(mend(6, Some(corrected())).is_err());
    assert!(mend(1, None).is_err(), "a job is nothing without its surface");
    let Deed::Received { mut job } = job.lines[0].deed.clone() else { panic!("received") };
    job.insert("number".to_owned(), text("HP-2"));
    assert!(mend(1, Some(Deed::Received { job })).is_err(), "its number stays");
}

#[test]
fn a_signature_is_given_once_and_by_its_own_person() {
    let mut ledger = as_left();
    let nobody = hingeline_bench::record::deed::Signature { certificate: String::new(), ..signature(6) };
    for wrong in [of_osterby(6), nobody] {
        let said = ledger.job().allows(&Deed::SignedOff(wrong), &tarn());
        assert!(matches!(said, Err(Refusal::Signature { .. })), "{said:?}");
    }
    let signed = Deed::SignedOff(signature(6));
    ledger.write("M. Tarn", &signed);
    assert!(matches!(ledger.job().allows(&signed, &tarn()), Err(Refusal::Done { .. })));
    let inspected = Deed::Inspected(of_osterby(6));
    ledger.write("J. Osterby", &inspected);
    assert!(matches!(ledger.job().allows(&inspected, &osterby()), Err(Refusal::Done { .. })));
}

#[test]
fn a_deed_stands_in_a_ledger_of_its_own_kind() {
    let job = as_left().job();
    assert!(matches!(job.allows(&approved(1).1, &osterby()), Err(Refusal::Ledger { .. })));
    let keeper = person("K. Data", Role::Administrator);
    assert!(matches!(in_use(&[]).allows(&corrected(), &keeper), Err(Refusal::Ledger { .. })));
    let again = Deed::Received { job: job.fields.clone() };
    assert!(matches!(job.allows(&again, &tarn()), Err(Refusal::Done { .. })));
}

#[test]
fn a_name_is_of_one_person_for_good_and_an_administrator_is_left() {
    let admin = person("A. Admin", Role::Administrator);
    let enter = |login: &str, person: Person| Deed::PersonEntered { login: login.to_owned(), person };
    let shop = shop(&[
        ("A. Admin", enter("admin", admin.clone())),
        ("A. Admin", enter("tarn", person("M. Tarn", Role::Technician))),
    ]);
    let said =
        |login, person| shop.allows(&enter(login, person), &admin).map_err(|refusal| refusal.to_string());
    assert_eq!(said("tarn", person("M. Tarn", Role::Inspector)), Ok(()));
    let other = said("tarn", person("J. Osterby", Role::Technician));
    assert_eq!(other, Err("tarn is M. Tarn in the record, and a name stays".to_owned()));
    let second = said("tarn2", person("m. tarn", Role::Inspector));
    assert_eq!(second, Err("m. tarn is another person of the record".to_owned()));
    let last = said("admin", person("A. Admin", Role::Technician));
    assert_eq!(last, Err("A. Admin is the only administrator who may log in".to_owned()));
    assert_eq!(said("osterby", osterby()), Ok(()));
}

#[test]
fn a_change_that_nobody_entered_work_for_is_said() {
    let said = |between: Option<Deed>, left: &str| {
        let mut ledger = super::weigh::with_limits();
        for (stage, reading) in [("as found", "0.25 lb"), ("as left", left)] {
            let found = super::weighed(&ledger.job(), stage, reading);
            ledger.write("M. Tarn", &found);
            if let (Some(deed), "as found") = (&between, stage) {
                ledger.write("M. Tarn", deed);
            }
        }
        let job = ledger.job();
        concerns(&job, &job.assessment().expect("weighed").expect("judged"))
    };
    let came = said(None, "-0.12 lb");
    assert!(came[0].starts_with("weighing 1 lies outside, weighing 2 within and "), "{came:?}");
    assert!(came[0].contains("no correction or work was entered between them"), "{came:?}");
    assert!(said(None, "0.40 lb")[0].starts_with("weighing 2 lies away from weighing 1 by "));
    assert!(said(None, "0.25 lb").is_empty(), "nothing changed");
    let paint = Deed::Worked { kind: "paint".to_owned(), what: "one coat".to_owned() };
    assert!(said(Some(paint), "-0.12 lb").is_empty(), "nobody typed its mass");
}

#[test]
fn a_weighing_far_from_what_its_corrections_bring_is_said() {
    let said = |left: &str| {
        let mut ledger = super::weigh::with_limits();
        let found = super::weighed(&ledger.job(), "as found", "0.25 lb");
        ledger.write("M. Tarn", &found);
        ledger.write("M. Tarn", &corrected());
        let left = super::weighed(&ledger.job(), "as left", left);
        ledger.write("M. Tarn", &left);
        let job = ledger.job();
        concerns(&job, &job.assessment().expect("weighed").expect("judged"))
    };
    // 0.25 lb × 17.25 in less what was added at the horn, at 6.5 in.
    let agrees = "0.02 lb";
    assert!(said(agrees).is_empty(), "{:?}", said(agrees));
    let far = said("0.20 lb");
    assert!(far[0].contains("is predicted from weighing 1 and the corrections"), "{far:?}");
}
