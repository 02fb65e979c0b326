//! Photographs, signatures, mends, two writers, ledger and sheet.

use super::{Bench, CORRECTION, PIN, SURFACE, card};
use crate::shop::Reply;
use axum::body::Body;
use axum::http::{Request, header};
use hingeline_bench::record::deed::{Deed, Field};
use hingeline_bench::record::sheet::text;
use hingeline_bench::record::shop::LEDGER;

const PNG: &[u8] = b"\x89PNG\r\n\x1A\nnot much of a picture";

async fn photograph(bench: &Bench, name: &str, bytes: &[u8], caption: &str) -> Reply {
    let mut body = Vec::new();
    for (field, value) in [("seen", "0"), ("caption", caption)] {
        body.extend(
            format!("--x\r\nContent-Disposition: form-data; name=\"{field}\"\r\n\r\n{value}\r\n").bytes(),
        );
    }
    body.extend(format!("--x\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"{name}\"\r\nContent-Type: image/png\r\n\r\n").bytes());
    body.extend(bytes);
    body.extend(b"\r\n--x--\r\n");
    let request =
        Request::post("/jobs/HP-1/photo").header(header::CONTENT_TYPE, "multipart/form-data; boundary=x");
    bench.tarn.send(request.body(Body::from(body)).expect("a request")).await
}

#[tokio::test]
async fn a_photograph_is_kept_and_shown_as_what_it_is() {
    let bench = Bench::with_limits().await;
    bench.page("/photo").await.is(200).says("multipart/form-data");
    photograph(&bench, "../../etc/passwd", PNG, "horn, lower side")
        .await
        .goes("/jobs/HP-1?done=photographed");
    let hash = blake3::hash(PNG).to_hex().to_string();
    bench.page("").await.says(&hash).says("horn, lower side");
    let shown = bench.page(&format!("/photo/{hash}")).await.is(200);
    assert_eq!(shown.headers[header::CONTENT_TYPE], "image/png");
    assert_eq!(shown.headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff");
    assert!(!shown.headers.contains_key(header::CONTENT_DISPOSITION));
    assert!(bench.job().lines.iter().all(|line| !format!("{:?}", line.deed).contains("passwd")));
}

#[tokio::test]
async fn what_is_no_photograph_is_refused() {
    let bench = Bench::with_limits().await;
    photograph(&bench, "a.png", b"<svg onload=alert(1)>", "drawing")
        .await
        .is(422)
        .says("no photograph that browsers show")
        .says("value=\"drawing\"");
    photograph(&bench, "a.png", PNG, "").await.is(422).says("what it shows is empty");
    photograph(&bench, "a.png", b"", "nothing").await.is(422).says("no photograph is chosen");
    let mut large = PNG.to_vec();
    large.resize(10 * 1024 * 1024 + 1, 0);
    photograph(&bench, "a.png", &large, "large").await.is(422).says("the file has 10.1 MB");
    large.resize(13 * 1024 * 1024, 0);
    photograph(&bench, "a.png", &large, "too large")
        .await
        .is(413)
        .says("up to 10 MB")
        .says("Back to the job");
    assert_eq!(bench.job().entries, 3);
}

#[tokio::test]
async fn a_photograph_is_found_only_in_its_own_job() {
    let bench = Bench::with_limits().await;
    photograph(&bench, "a.png", PNG, "horn").await.is(303);
    let mut other = SURFACE.to_vec();
    other[0].1 = "HP-2";
    bench.tarn.post("/jobs", &other).await.is(303);
    let hash = blake3::hash(PNG).to_hex().to_string();
    bench.tarn.get(&format!("/jobs/HP-2/photo/{hash}")).await.is(404);
    for trick in ["..%2F..%2Fshop.sqlite", "%2e%2e", "x", ""] {
        bench.page(&format!("/photo/{trick}")).await.is(404);
    }
}

// --- signatures ---

#[tokio::test]
async fn a_sign_off_says_all_that_is_missing() {
    let bench = Bench::new();
    bench.tarn.post("/jobs", &SURFACE).await.is(303);
    let reply = bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.is(422);
    reply.says("choose the approved limits").says("weigh the surface as left");
    assert!(bench.job().signed.is_none());
}

#[tokio::test]
async fn a_wrong_pin_signs_nothing_and_locks_in_the_end() {
    let bench = Bench::as_left().await;
    bench.enter(&bench.tarn, "/sign", &[]).await.is(422).says("the PIN is empty");
    for _ in 0..4 {
        bench.enter(&bench.tarn, "/sign", &[("pin", "0000")]).await.is(422);
    }
    bench.enter(&bench.tarn, "/sign", &[("pin", "0000")]).await.is(422).says("locked until");
    let reply = bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.is(422).says("locked until");
    assert!(!reply.text.contains("0000") && !reply.text.contains(PIN), "the page repeats a PIN");
    assert!(bench.job().signed.is_none());
}

#[tokio::test]
async fn no_performer_inspects() {
    let bench = Bench::as_left().await;
    bench.enter(&bench.osterby, "/work", &[("kind", "other"), ("what", "edge sealed")]).await.is(303);
    bench.weigh("as left", "-0.12 lb");
    bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.is(303);
    bench.osterby.get("/jobs/HP-1/inspect").await.is(200).says("You cannot inspect this job");
    bench.inspect(PIN).await.is(409).says("took part in the work");
    bench.enter(&bench.tarn, "/inspect", &[("pin", PIN)]).await.is(403);
    assert!(bench.job().inspected.is_none());
}

#[tokio::test]
async fn an_inspection_wants_every_tick_and_the_pin() {
    let bench = Bench::signed().await;
    bench
        .enter(&bench.osterby, "/inspect", &[])
        .await
        .is(422)
        .says("6 things are wrong")
        .says("not checked: surface, part and serial");
    bench.inspect("0000").await.is(422).says("the PIN is wrong").says("4 left");
    assert!(bench.job().inspected.is_none());
}

#[tokio::test]
async fn an_inspector_sees_what_is_to_be_compared() {
    let bench = Bench::signed().await;
    bench
        .osterby
        .get("/jobs/HP-1/inspect")
        .await
        .is(200)
        .says("SK12 repair manual, 55-20, revision 4")
        .says("4.0 in-lb nose-heavy")
        .says("<dt>readings</dt><dd>-0.12 lb</dd>")
        .says("<dt>arm</dt><dd>17 1/4 in</dd>")
        .says("scale S-2, resolution 0.01 lb, due 2027-03-01")
        .says("0.40 lb added at horn weight; lead cap; melt 26-14; two screws, locked")
        .says("Notes and arithmetic")
        .says("U = k × u");
}

#[tokio::test]
async fn only_who_may_inspect_is_sent_to_inspect() {
    let bench = Bench::signed().await;
    let page = bench
        .page("")
        .await
        .says("An inspector who took no part")
        .says("take the performer’s signature away");
    assert!(!page.text.contains(">Inspect</a>"));
    bench.osterby.get("/jobs/HP-1").await.says(">Inspect</a>");
}

#[tokio::test]
async fn an_inspector_sends_back_with_a_reason() {
    let bench = Bench::signed().await;
    bench
        .enter(&bench.osterby, "/send-back", &[("checked", "identity"), ("pin", PIN)])
        .await
        .is(422)
        .says("the reason is empty")
        .says("value=\"identity\" checked");
    bench.enter(&bench.osterby, "/send-back", &[("reason", "why")]).await.is(422).says("the PIN is empty");
    let wrong = [("reason", "why"), ("pin", "0000")];
    bench
        .enter(&bench.osterby, "/send-back", &wrong)
        .await
        .is(422)
        .says("the PIN is wrong")
        .says(">why</textarea>");
    assert!(bench.job().signed.is_some(), "nobody sends back without the PIN");
    bench
        .enter(&bench.osterby, "/send-back", &[("reason", "screw not locked"), ("pin", PIN)])
        .await
        .goes("/jobs/HP-1?done=sent-back");
    for list in ["/jobs", "/"] {
        bench.tarn.get(list).await.is(200).says("sent back by the inspector: screw not locked");
    }
    bench.page("/sign").await.says("Sent back by the inspector").says("screw not locked");
    let page =
        bench.page("").await.says("taken away by entry").says("with which the inspector sent the job back");
    let top = page.text.split("Next: ").next().expect("the top of the page");
    assert!(top.contains("Sent back by the inspector") && top.contains("screw not locked"));
    page.says("First what the inspector asks for: <strong>screw not locked</strong>");
    assert!(bench.job().signed.is_none());
    bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.goes("/jobs/HP-1?done=signed");
    let signed = bench.page("").await;
    assert!(!signed.text.contains("First what the inspector asks for"), "signed off anew");
    let again = bench.osterby.get("/jobs/HP-1/inspect").await.is(200);
    again.says("Sent back before").says("screw not locked");
}

#[tokio::test]
async fn a_doubt_is_part_of_what_is_signed() {
    let bench = Bench::as_left().await;
    let hung = text("hung weight");
    let reading = Field::List(vec!["0.12 lb".to_owned()]);
    bench.weigh_with("as left", &[("method", hung), ("side", text("aft")), ("readings", reading)]);
    let clear = bench.page("/sign").await.is(200);
    assert!(!clear.text.contains("leaves a doubt"));
    bench.weigh("as left", "0.00 lb");
    let page = bench.page("/sign").await.is(200).says("The last weighing leaves a doubt");
    page.says(", within; doubtful, 50 % likely within. Approved data");
    bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.goes("/jobs/HP-1?done=signed");
    let signed = bench.job().signed.expect("a signature");
    assert!(signed.statement.contains("within; doubtful, 50 % likely within."), "{}", signed.statement);
}

#[tokio::test]
async fn nothing_is_released_before_its_inspection() {
    let bench = Bench::signed().await;
    bench.page("/release").await.is(200).says("the independent inspection");
    bench.enter(&bench.tarn, "/release", &[]).await.is(422).says("the text for the log book is empty");
    bench
        .enter(&bench.tarn, "/release", &[("log_text", "done")])
        .await
        .is(409)
        .says("first: the independent inspection");
}

#[tokio::test]
async fn the_made_text_comes_back() {
    let bench = Bench::signed().await;
    bench.inspect(PIN).await.is(303);
    let cleared = [("log_text", ""), ("do", "made")];
    bench.enter(&bench.tarn, "/release", &cleared).await.is(200).says("0.40 lb added at horn weight");
    assert!(bench.job().released.is_none());
}

#[tokio::test]
async fn a_released_job_takes_no_more_work() {
    let bench = Bench::released().await;
    bench.enter(&bench.tarn, "/correction", &CORRECTION).await.is(409).says("the job is released");
    bench.enter(&bench.tarn, "/note", &[("text", "crated")]).await.is(303);
    assert!(bench.job().released.is_some());
}

// --- mend ---

#[tokio::test]
async fn striking_an_entry_takes_the_signatures_away() {
    let bench = Bench::released().await;
    let corrected = bench.job().corrections[0].0.to_string();
    let page = format!("/mend/{corrected}");
    bench
        .page(&page)
        .await
        .is(200)
        .says("takes the signatures and the release away")
        .says("value=\"lead cap; melt 26-14; two screws, locked\"");
    bench.enter(&bench.tarn, &page, &[("do", "strike")]).await.is(422).says("the reason is empty");
    bench
        .enter(&bench.tarn, &page, &[("do", "strike"), ("reason", "entered for another job")])
        .await
        .goes("/jobs/HP-1?done=mended");
    let job = bench.job();
    assert!(
        job.signed.is_none()
            && job.inspected.is_none()
            && job.released.is_none()
            && job.corrections.is_empty()
    );
    let overview = bench.page("").await.says("entered for another job").says("taken away by entry");
    assert!(overview.text.contains("<del>"), "the struck entry is not on the page");
    bench.page("/ledger").await.says("entered for another job");
    bench.page(&page).await.is(404);
}

#[tokio::test]
async fn an_entry_is_mended_by_its_own_form() {
    let bench = Bench::as_left().await;
    let page = format!("/mend/{}", bench.job().corrections[0].0);
    let mut form = CORRECTION.to_vec();
    form.extend([("do", "mend"), ("reason", "scale misread")]);
    form[2].1 = "a lot";
    bench
        .enter(&bench.tarn, &page, &form)
        .await
        .is(422)
        .says("is not a number")
        .says("value=\"scale misread\"");
    form[2].1 = "0.39 lb";
    bench.enter(&bench.tarn, &page, &form).await.is(303);
    assert_eq!(bench.job().corrections[0].1[2], "0.39 lb");
    bench.page("").await.says("0.39 lb added").says("scale misread");
    // What it says now stands in the form, and may be mended again.
    bench.page(&page).await.is(200).says("value=\"0.39 lb\"");
    form[2].1 = "0.4 lb";
    bench.enter(&bench.tarn, &page, &form).await.is(303);
    assert_eq!(bench.job().corrections[0].1[2], "0.4 lb");
}

#[tokio::test]
async fn the_surface_is_mended_and_never_struck() {
    let bench = Bench::with_limits().await;
    bench
        .enter(&bench.tarn, "/mend/1", &[("do", "strike"), ("reason", "x")])
        .await
        .is(422)
        .says("“strike” cannot be done to this entry");
    let mut form = SURFACE.to_vec();
    form[3].1 = "0088";
    form.extend([("do", "mend"), ("reason", "plate misread")]);
    form[0].1 = "HP-9";
    bench.enter(&bench.tarn, "/mend/1", &form).await.is(303);
    assert_eq!((bench.job().text("serial"), bench.job().text("number")), ("0088", "HP-1"));
}

#[tokio::test]
async fn every_kind_of_entry_has_its_form() {
    let bench = Bench::released().await;
    photograph(&bench, "a.png", PNG, "horn").await.is(303);
    bench.enter(&bench.tarn, "/note", &[("text", "crated")]).await.is(303);
    let job = bench.job();
    for line in &job.lines {
        let page = bench.page(&format!("/mend/{}", line.number)).await;
        let fixed = matches!(line.deed, Deed::SignedOff(_) | Deed::Inspected(_) | Deed::Released { .. });
        page.is(if fixed { 404 } else { 200 });
    }
    for nothing in ["/mend/99", "/mend/x", "/mend/-1"] {
        bench.page(nothing).await.is(404);
    }
}

// --- two writers, ledger, sheet ---

#[tokio::test]
async fn two_writers_do_not_overwrite_each_other() {
    let bench = Bench::as_left().await;
    let seen = bench.job().entries.to_string();
    bench.enter(&bench.osterby, "/note", &[("text", "look at hinge 2")]).await.is(303);
    let form = [("seen", seen.as_str()), ("kind", "paint"), ("what", "white, two coats")];
    let reply = bench.tarn.post("/jobs/HP-1/work", &form).await.is(409);
    reply
        .says("O. osterby")
        .says("Remark: look at hinge 2")
        .says("value=\"white, two coats\"")
        .says("Enter mine after it");
    let sign = bench.tarn.post("/jobs/HP-1/sign", &[("seen", seen.as_str()), ("pin", PIN)]).await.is(409);
    assert!(!sign.text.contains(PIN), "the page repeats the PIN");
    assert!(bench.job().works.is_empty() && bench.job().signed.is_none());
}

#[tokio::test]
async fn the_ledger_shows_every_entry_and_checks_its_seals() {
    let bench = Bench::released().await;
    let page = bench
        .page("/ledger")
        .await
        .is(200)
        .says("Surface received")
        .says("Signed off by T. tarn")
        .says("Release sheet made")
        .says("configuration confirmed: final paint");
    assert_eq!(page.text.matches("id=\"entry-").count() as u64, bench.job().entries);
    let checked = bench.page("/ledger?verify=yes").await.is(200).says("Every seal of this job fits");
    checked.says(&bench.job().head.hex()).says("hingeline ledger verify --folder SHOP");
}

#[tokio::test]
async fn the_sheet_holds_signatures_and_the_newest_hash() {
    let bench = Bench::released().await;
    bench.enter(&bench.tarn, "/note", &[("text", "hinge 2 looked at again")]).await.is(303);
    photograph(&bench, "a.png", PNG, "horn, lower side").await.is(303);
    for paper in ["", "?paper=letter"] {
        let request =
            Request::get(format!("/jobs/HP-1/release.pdf{paper}")).body(Body::empty()).expect("a request");
        let (headers, bytes) = bench.tarn.bytes(request).await;
        assert_eq!(headers[header::CONTENT_TYPE], "application/pdf");
        assert!(bytes.starts_with(b"%PDF-"));
        let text: String = pdf_extract::extract_text_from_mem(&bytes)
            .expect("text")
            .chars()
            .filter(|sign| !sign.is_whitespace() && *sign != '\u{200b}')
            .collect();
        for wanted in [
            &bench.job().head.hex(),
            "released",
            "T.tarn",
            "O.osterby",
            "signedintherecord,entry",
            "Elevatorbalanced,seejobHP-1.",
            "0.40lbaddedathornweight",
            "trappedwater",
            "inorder",
            "hinge2lookedatagain",
            "1photographintherecord",
            "horn,lowerside",
        ] {
            assert!(text.contains(wanted), "no {wanted} in {text}");
        }
        for absent in ["applyingpaint", "atoneofthesestationsalone", "Correctionstillneeded"] {
            assert!(!text.contains(absent), "{absent} in {text}");
        }
    }
}

#[tokio::test]
async fn there_is_no_sheet_before_the_first_weighing() {
    let bench = Bench::with_limits().await;
    bench.page("/release.pdf").await.is(404);
    bench.weigh("as found", "0.10 lb");
    bench.page("/release.pdf").await.is(200);
}

#[tokio::test]
async fn a_weighing_that_was_begun_is_named_on_the_job_and_on_the_bench() {
    let bench = Bench::with_limits().await;
    let form = [("form", "weigh as found"), ("field", "arm"), ("value", "17 1/4 in"), ("rev", "0")];
    bench.tarn.post("/jobs/HP-1/weigh/draft", &form).await.is(200);
    let to = "href=\"/jobs/HP-1/weigh?stage=as+found\"";
    bench.page("").await.says("A weighing is typed and not entered yet").says("by T. tarn").says(to);
    bench
        .osterby
        .get("/")
        .await
        .says("Typed and not entered yet")
        .says("HP-1: the weighing as found")
        .says(to);
}

#[tokio::test]
async fn what_cannot_be_gone_on_with_hides_no_weighing_that_was_begun() {
    let bench = Bench::with_limits().await;
    let form = [("form", "weigh as found"), ("field", "arm"), ("value", "17 1/4 in"), ("rev", "0")];
    bench.tarn.post("/jobs/HP-1/weigh/draft", &form).await.is(200);
    for number in 1..=12 {
        let (form, job) = (format!("mend {number}"), "HP-1");
        let typed = hingeline_store::Typed {
            job,
            form: &form,
            field: "arm",
            value: "1 in",
            seen_rev: 0,
            by: "T. tarn",
            at: "2026-10-02T08:00:00Z",
        };
        bench.shop.store().save_draft(&typed).expect("kept");
    }
    bench.osterby.get("/").await.is(200).says("HP-1: the weighing as found");
}

#[tokio::test]
async fn a_release_ends_the_weighings_that_were_begun() {
    let bench = Bench::signed().await;
    let forms = || bench.shop.store().unfinished().expect("forms").len();
    let form = [("form", "weigh as left"), ("field", "arm"), ("value", "17 1/4 in"), ("rev", "0")];
    bench.tarn.post("/jobs/HP-1/weigh/draft", &form).await.is(200);
    bench.inspect(PIN).await.is(303);
    assert_eq!(forms(), 1);
    bench.enter(&bench.tarn, "/release", &[("log_text", "Elevator balanced.")]).await.is(303);
    assert_eq!(forms(), 0);
}

#[tokio::test]
async fn a_mended_line_says_so_on_the_sheet() {
    let bench = Bench::as_left().await;
    let page = format!("/mend/{}", bench.job().corrections[0].0);
    let mut form = CORRECTION.to_vec();
    form.extend([("do", "mend"), ("reason", "scale misread")]);
    form[2].1 = "0.39 lb";
    bench.enter(&bench.tarn, &page, &form).await.is(303);
    let request = Request::get("/jobs/HP-1/release.pdf").body(Body::empty()).expect("a request");
    let (_, bytes) = bench.tarn.bytes(request).await;
    let text = pdf_extract::extract_text_from_mem(&bytes).expect("text");
    let text: String = text.chars().filter(|sign| !sign.is_whitespace() && *sign != '\u{200b}').collect();
    assert!(text.contains("mendedbyentry") && text.contains("becausescalemisread"), "{text}");
}

#[tokio::test]
async fn a_card_that_was_withdrawn_is_told_and_signs_nothing() {
    let bench = Bench::as_left().await;
    bench.shop.deed(LEDGER, "setup", &Deed::CardWithdrawn { card: 1, reason: "copied wrongly".to_owned() });
    let said = "Card 1 was withdrawn by setup: copied wrongly";
    for page in ["", "/limits", "/sign"] {
        bench.page(page).await.is(200).says("The card was withdrawn.").says(said);
    }
    let refused = bench.enter(&bench.tarn, "/sign", &[("pin", PIN)]).await.is(422);
    refused.says("choose another card: card 1 was withdrawn by setup: copied wrongly");
    assert!(bench.job().signed.is_none());
    bench.tarn.get("/jobs/HP-1/release.pdf").await.is(200);
}

#[tokio::test]
async fn an_inspector_is_told_what_became_of_the_card() {
    let bench = Bench::signed().await;
    let setup = |deed: Deed| bench.shop.deed(LEDGER, "setup", &deed);
    setup(Deed::CardProposed { card: 3, revises: Some(1), content: card("3 in-lb nose-heavy", "0 in-lb") });
    setup(Deed::CardApproved { card: 3 });
    let page = bench.osterby.get("/jobs/HP-1/inspect").await.is(200);
    page.says("A newer card is approved.").says("Card 3 took the place of card 1");
    setup(Deed::CardWithdrawn { card: 1, reason: "copied wrongly".to_owned() });
    let inspect = bench.osterby.get("/jobs/HP-1/inspect").await.is(200).says("The card was withdrawn.");
    assert!(!inspect.text.contains("Sign the inspection"), "it would be refused");
    let job = bench.osterby.get("/jobs/HP-1").await.says("Next: another card").says("Choose another card");
    assert!(!job.text.contains("verdict good"), "nothing is released by it");
    bench.osterby.get("/jobs").await.says("choose another card: card 1 was withdrawn by setup");
    bench.inspect(PIN).await.is(422).says("card 1 was withdrawn by setup: copied wrongly");
    assert!(bench.job().inspected.is_none());
}
