//! Holes in an old weight: worked out, entered, drilled, and what the surface weighed after that.

use super::{Bench, PIN};
use crate::shop::Reply;
use hingeline_bench::record::drill_out::DrillOutMeant;
use hingeline_bench::weight::DrillSheet;

/// Holes for a job that weighs 5.175 in-lb nose-heavy.
const HOLES: [(&str, &str); 12] = [
    ("station", "horn weight"),
    ("weight.job", "HP-1"),
    ("weight.name", "old horn weight drilled out"),
    ("weight.measured", "5.175 in-lb nose-heavy"),
    ("weight.aim", "2 in-lb nose-heavy"),
    ("weight.material", "lead"),
    ("drill_out.arm", "6.35 in"),
    ("drill_out.side", "forward"),
    ("drill_out.diameters", "1/2 in\n3/4 in"),
    ("drill_out.point", "118 deg"),
    ("drill_out.deepest", "1.2 in"),
    ("drill_out.most_holes", "6"),
];

async fn found() -> Bench {
    let bench = Bench::with_limits().await;
    bench.weigh("as found", "-0.30 lb");
    bench
}

fn with<'a>(base: &[(&'a str, &'a str)], change: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = base.iter().filter(|(key, _)| !change.iter().any(|(other, _)| other == key));
    kept.copied().chain(change.iter().copied()).collect()
}

async fn post(bench: &Bench, page: &str, form: &[(&str, &str)]) -> Reply {
    bench.enter(&bench.tarn, page, form).await
}

fn meant(bench: &Bench) -> DrillOutMeant {
    bench.job().drill_outs().pop().expect("holes")
}

async fn intended() -> (Bench, String) {
    let bench = found().await;
    let reply = post(&bench, "/drill-outs/new", &with(&HOLES, &[("do", "enter")])).await.is(303);
    let entry = meant(&bench).entry;
    assert_eq!(reply.location(), format!("/jobs/HP-1/drill-outs/{entry}?done=holes-intended"));
    (bench, format!("/drill-outs/{entry}"))
}

const DONE: [(&str, &str); 5] = [
    ("station", "horn weight"),
    ("holes", "5"),
    ("drill", "1/2 in"),
    ("depth", "1.2 in"),
    ("mass", "0.5 lb"),
];

#[tokio::test]
async fn the_form_begins_with_what_the_job_asks() {
    let bench = found().await;
    let page = bench.page("/drill-outs/new?station=horn+weight").await.is(200);
    let page = page.says("5.17").says("2 in-lb nose-heavy").says("value=\"6.5 in\"").says("#entry-4");
    page.says("Still to come").says("<li>Deepest, to the tip</li>");
    bench.page("/correction").await.is(200).says("/jobs/HP-1/drill-outs/new?station=horn%20weight");
    bench.page("/weights").await.is(200).says("/jobs/HP-1/drill-outs/new");
}

#[tokio::test]
async fn every_entry_is_answered_with_the_holes_or_what_stops_them() {
    let bench = found().await;
    let answer = post(&bench, "/drill-outs/preview", &HOLES).await.is(200);
    let answer = answer.says("data-state=\"whole\"").says("Drill ").says("0.5000 lb goes");
    answer.says("weigh the chips").says("it must weigh 0.5000 lb less than before");
    let old = with(
        &HOLES,
        &[("drill_out.old_mass", "1.6 lb"), ("weight.old_arm", "6.5 in"), ("weight.old_side", "forward")],
    );
    post(&bench, "/drill-outs/preview", &old).await.is(200).says("it must then weigh 1.100 lb");
    let few = with(&HOLES, &[("drill_out.most_holes", "1")]);
    post(&bench, "/drill-outs/preview", &few)
        .await
        .is(200)
        .says("Holes there will not do")
        .says("it is stopped by");
    let aft = with(&HOLES, &[("drill_out.side", "aft")]);
    post(&bench, "/drill-outs/preview", &aft).await.is(200).says("the other way");
    let wrong = with(&HOLES, &[("drill_out.arm", "6 kg"), ("drill_out.point", "")]);
    let answer = post(&bench, "/drill-outs/preview", &wrong).await.is(200).says("data-state=\"open\"");
    let answer = answer.says("data-said=\"drill_out.arm\"").says("<li>Point of the drills</li>");
    assert!(!answer.text.contains("data-said=\"drill_out.point\""), "what is only empty is still to come");
}

#[tokio::test]
async fn only_holes_that_do_are_entered() {
    let bench = found().await;
    let before = bench.job().entries;
    let few = with(&HOLES, &[("do", "enter"), ("drill_out.most_holes", "1")]);
    post(&bench, "/drill-outs/new", &few)
        .await
        .is(422)
        .says("holes there will not do, so nothing is entered");
    let wrong = with(&HOLES, &[("do", "enter"), ("drill_out.diameters", "wide"), ("drill_out.deepest", "")]);
    let page =
        post(&bench, "/drill-outs/new", &wrong).await.is(422).says("2 things are wrong; nothing was written");
    page.says("href=\"#f-drill_out-diameters\"").says("Deepest, to the tip is empty").says(">wide<");
    post(&bench, "/drill-outs/new", &[("do", "enter")]).await.is(422);
    post(&bench, "/drill-outs/new", &with(&HOLES, &[("do", "redraw")])).await.is(200).says("0.5000 lb goes");
    assert_eq!(bench.job().entries, before);
    let sheet = post(&bench, "/drill-outs/new", &with(&HOLES, &[("do", "toml")])).await.is(200);
    assert_eq!(DrillSheet::parse(&sheet.text).expect("a sheet").job.as_deref(), Some("HP-1"));
}

#[tokio::test]
async fn holes_that_are_meant_stand_in_the_list_and_on_the_correction() {
    let (bench, at) = intended().await;
    assert_eq!(meant(&bench).weighing, Some(4), "its change is that of the weighing");
    let page =
        bench.page(&at).await.is(200).says("0.5000 lb goes").says("What was drilled").says("strike it");
    page.says("worked out: 0.5000 lb");
    bench.page("/weights").await.is(200).says("old horn weight drilled out").says("0.5000 lb goes");
    bench.page("/correction").await.is(200).says("The holes meant for it: ");
    bench.page("").await.is(200).says("old horn weight drilled out");
    bench.page("/ledger").await.is(200).says("Holes meant at horn weight: ");
    bench.page(&format!("{at}/sheet.toml")).await.is(200).says("[drill_out]");
    let again = bench.page(&format!("/drill-outs/new?from={}", meant(&bench).entry)).await.is(200);
    again.says("value=\"old horn weight drilled out\"");
    let other = with(&HOLES, &[("do", "enter"), ("weight.measured", "5.2 in-lb nose-heavy")]);
    post(&bench, "/drill-outs/new", &other).await.is(303);
    assert_eq!(meant(&bench).weighing, None, "what was typed otherwise is not that of the weighing");
    // A struck one keeps its numbers in the ledger.
    let strike = [("do", "strike"), ("reason", "the wrong weight")];
    for meant in bench.job().drill_outs() {
        post(&bench, &format!("/mend/{}", meant.entry), &strike).await.is(303);
    }
    assert_eq!(bench.job().drill_outs(), []);
    let ledger = bench.page("/ledger").await.is(200);
    assert_eq!(ledger.text.matches("0.5000 lb goes").count(), 1, "{}", ledger.text);
}

#[tokio::test]
async fn what_was_drilled_is_a_correction_and_is_compared_with_the_weighing_after_it() {
    let (bench, at) = intended().await;
    post(&bench, &at, &with(&DONE, &[("within", "0.01 lb")]))
        .await
        .goes("/jobs/HP-1/weights?done=drilled-out");
    let job = bench.job();
    let [station, action, mass, what] = &job.corrections[0].1;
    assert_eq!((station.as_str(), action.as_str(), mass.as_str()), ("horn weight", "remove", "0.5 lb"));
    assert_eq!(what, "drilled out: 5 × 1/2 in, 1.2 in deep to the tip; mass weighed");
    assert_eq!(meant(&bench).done[0].correction, job.corrections[0].0);
    bench
        .page("/weights")
        .await
        .is(200)
        .says("not weighed yet")
        .says("Weigh as left")
        .says("0.5 lb, weighed");
    bench.page(&at).await.is(200).says("More was drilled").says("within 0.01 lb");
    bench.page("/ledger").await.is(200).says("Drilled out: 5 × 1/2 in").says("known within 0.01 lb");
    bench.page("/weigh?stage=as-left").await.is(200).says("is to be expected");
    assert!(!bench.page("/correction").await.text.contains("The holes meant for it"), "they are drilled");
    bench.weigh("as left", "-0.12 lb");
    for page in ["/weights", "", at.as_str()] {
        bench
            .page(page)
            .await
            .is(200)
            .says("agree within their uncertainties")
            .says("what the holes took away");
    }
    post(&bench, "/sign", &[("pin", PIN)]).await.goes("/jobs/HP-1?done=signed");
    bench.osterby.get("/jobs/HP-1/inspect").await.is(200).says("Old weight drilled out: old horn weight");
    bench.inspect(PIN).await.goes("/jobs/HP-1?done=inspected");
    let log = [("log_text", "Elevator balanced, see job HP-1.")];
    post(&bench, "/release", &log).await.goes("/jobs/HP-1/release?done=released");
    let page = bench.page(&at).await.is(200).says("The job is released");
    assert!(!page.text.contains("Enter as drilled"));
    post(&bench, &at, &DONE).await.is(409);
}

#[tokio::test]
async fn a_mass_that_was_not_weighed_is_that_of_the_holes() {
    let (bench, at) = intended().await;
    let unweighed = with(&DONE, &[("mass", "")]);
    post(&bench, &at, &unweighed).await.is(303);
    let [_, _, mass, what] = &bench.job().corrections[0].1;
    // By hand: 5 holes of 1/2 in, 1.2 in to the tip of 118°; π/4 d² L less two thirds of the point.
    let (r, point) = (0.25, 0.25 / (59f64.to_radians()).tan());
    let volume = std::f64::consts::PI * r * r * (1.2 - 2.0 / 3.0 * point);
    let pounds = 5.0 * volume * 0.0254f64.powi(3) * 11_340.0 / 0.453_592_37;
    let typed: f64 = mass.trim_end_matches(" lb").parse().expect("a number");
    assert!((typed - pounds).abs() < 1e-3 * pounds, "{mass}, by hand {pounds}");
    assert!(what.ends_with("mass by its holes"), "{what}");
    assert_eq!(meant(&bench).done[0].mass_from, "by its holes");
}

#[tokio::test]
async fn what_is_typed_of_drilled_holes_is_judged() {
    let (bench, at) = intended().await;
    let before = bench.job().entries;
    let page =
        post(&bench, &at, &[]).await.is(422).says("how many holes is empty").says("the drill is empty");
    let page = page.says("neither the mass nor the depth is typed").says("the station is empty");
    assert!(!page.text.contains("the mass is empty"), "said once");
    for (field, typed, said) in [
        ("holes", "0", "how many holes: “0” cannot be"),
        ("holes", "two", "1 to 1000"),
        ("drill", "1 in", "is no drill of this sheet"),
        ("depth", "3 lb", "a length is wanted"),
        ("depth", "0 in", "depth is 0 in"),
        ("mass", "0.5 in", "a mass is wanted"),
        ("mass", "-0.5 lb", "mass is -0.5 lb"),
        ("within", "a little", "known within"),
        ("within", "-1 g", "known within -1 g"),
        ("station", "elsewhere", "is no station of this job"),
    ] {
        post(&bench, &at, &with(&DONE, &[(field, typed)])).await.is(422).says(said);
    }
    let far = with(&DONE, &[("mass", "0.3 lb")]);
    post(&bench, &at, &far).await.is(422).says("0.3 lb is far from the").says("done all the same");
    assert_eq!(bench.job().entries, before);
    post(&bench, &at, &with(&far, &[("all-the-same", "yes")])).await.is(303);
    let what = &bench.job().corrections[0].1[3];
    assert!(what.ends_with("other than the holes take: it was so"), "{what}");
}

#[tokio::test]
async fn what_is_not_there_is_not_found_and_who_may_not_work_may_look() {
    let (bench, at) = intended().await;
    for nowhere in ["/drill-outs/1", "/drill-outs/99", "/drill-outs/x", "/drill-outs/99/sheet.toml"] {
        bench.page(nowhere).await.is(404);
    }
    post(&bench, "/drill-outs/99", &DONE).await.is(404);
    let sandell = bench.shop.of("sandell");
    for page in ["/drill-outs/new", at.as_str()] {
        let page = sandell.get(&format!("/jobs/HP-1{page}")).await.is(200);
        assert!(!page.text.contains("Enter as"), "{}", page.text);
    }
    for page in ["/drill-outs/new", at.as_str()] {
        bench.enter(&sandell, page, &with(&HOLES, &[("do", "enter")])).await.is(403);
    }
    bench.enter(&sandell, "/drill-outs/preview", &HOLES).await.is(200).says("0.5000 lb goes");
    let old = (bench.job().entries - 1).to_string();
    let form = with(&DONE, &[("seen", &old)]);
    bench.tarn.post(&format!("/jobs/HP-1{at}"), &form).await.is(409).says("Somebody wrote in between");
}

#[tokio::test]
async fn holes_are_struck_with_a_reason() {
    let (bench, at) = intended().await;
    post(&bench, &at, &DONE).await.is(303);
    let (entry, done) = (meant(&bench).entry, meant(&bench).done[0].entry);
    let strike = [("do", "strike"), ("reason", "another weight was drilled")];
    bench.page(&format!("/mend/{done}")).await.is(200).says("the correction with its mass stays");
    post(&bench, &format!("/mend/{done}"), &strike).await.goes("/jobs/HP-1?done=mended");
    assert!(meant(&bench).done.is_empty() && bench.job().corrections.len() == 1);
    bench.page(&format!("/mend/{entry}")).await.is(200).says("takes the holes that are meant off the list");
    post(&bench, &format!("/mend/{entry}"), &strike).await.goes("/jobs/HP-1?done=mended");
    bench.page(&at).await.is(404);
}
