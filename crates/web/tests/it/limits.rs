//! The limits library: proposing, revising, approving, withdrawing, files.

use crate::shop::{Reply, Shop};
use hingeline_bench::record::deed::Field;

const GOOD: [(&str, &str); 12] = [
    ("title", "right elevator half"),
    ("parts", "SK12-55-210\nSK12-55-211*"),
    ("source", "SK12 repair manual, 55-20, revision 4"),
    ("configuration", "final paint\ntab fitted"),
    ("given", "moments"),
    ("from", "4.0 in-lb nose-heavy"),
    ("to", "0 in-lb"),
    ("station.0.name", "horn weight"),
    ("station.0.arm", "6 1/2 in"),
    ("station.0.side", "forward"),
    ("station.0.capacity", "0.8 lb"),
    ("outline.nose", "7.5 in"),
];

/// The good form with some fields changed.
async fn propose(shop: &Shop, change: &[(&str, &str)]) -> Reply {
    let seen = shop.seen();
    let mut form = vec![("seen", seen.as_str())];
    form.extend(GOOD.iter().filter(|(key, _)| change.iter().all(|(other, _)| other != key)));
    form.extend(change);
    shop.of("sandell").post("/limits", &form).await
}

/// Sets the PIN of a person.
async fn pin(shop: &Shop, login: &str) {
    let set = [("password", "four brass hinges"), ("again", "four brass hinges")];
    shop.of("admin").post(&format!("/people/{login}/password"), &set).await.is(303);
    let own =
        [("current", "four brass hinges"), ("password", "five brass hinges"), ("again", "five brass hinges")];
    shop.of(login).post("/me/password", &own).await.is(303);
    let form = [("current", "five brass hinges"), ("pin", "4711"), ("pin-again", "4711")];
    shop.of(login).post("/me/pin", &form).await.is(303);
}

async fn approve(shop: &Shop, login: &str, card: u64, pin: &str) -> Reply {
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("compared", "yes"), ("pin", pin)];
    shop.of(login).post(&format!("/limits/{card}/approve"), &form).await
}

#[tokio::test]
async fn a_card_is_proposed_and_approved_by_a_second_person() {
    let shop = Shop::new();
    propose(&shop, &[]).await.goes("/limits/1?done=proposed");
    let page = shop.of("osterby").get("/limits/1").await.is(200).says("waiting for approval").says("Approve");
    assert!(page.text.contains("<svg"), "its band is drawn");
    assert!(!shop.store().shop().expect("a shop").cards[&1].in_use());
    pin(&shop, "osterby").await;
    approve(&shop, "osterby", 1, "4711").await.goes("/limits/1?done=approved");
    assert!(shop.store().shop().expect("a shop").cards[&1].in_use());
    shop.of("tarn").get("/limits").await.is(200).says("in use").says("SK12-55-211*");
}

#[tokio::test]
async fn its_author_cannot_approve_it_nor_can_a_technician() {
    let shop = Shop::new();
    propose(&shop, &[]).await.is(303);
    for login in ["sandell", "tarn"] {
        pin(&shop, login).await;
    }
    approve(&shop, "sandell", 1, "4711")
        .await
        .is(409)
        .says("proposed card 1, and its approval needs another person");
    approve(&shop, "tarn", 1, "4711").await.is(403);
    shop.of("sandell").get("/limits/1").await.says("You proposed this card");
    assert!(!shop.store().shop().expect("a shop").cards[&1].in_use());
}

#[tokio::test]
async fn an_approval_is_signed_and_confirmed() {
    let shop = Shop::new();
    propose(&shop, &[]).await.is(303);
    approve(&shop, "osterby", 1, "4711").await.is(422).says("you have no PIN yet");
    pin(&shop, "osterby").await;
    approve(&shop, "osterby", 1, "").await.is(422).says("the PIN is empty");
    approve(&shop, "osterby", 1, "9999").await.is(422).says("the PIN is wrong").says("4 left");
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("pin", "4711")];
    shop.of("osterby").post("/limits/1/approve", &form).await.is(422).says("not confirmed");
    for _ in 0..4 {
        approve(&shop, "osterby", 1, "9999").await.is(422);
    }
    approve(&shop, "osterby", 1, "4711").await.is(422).says("locked until 2026-10-02 08:15");
    shop.wait(15 * 60 + 1);
    approve(&shop, "osterby", 1, "4711").await.is(303);
}

#[tokio::test]
async fn each_fault_stands_beside_its_field() {
    let shop = Shop::new();
    let cases: [(&str, &str, &str, &str); 14] = [
        ("title", "", "title", "what it is for is empty"),
        ("parts", "", "parts", "there is no part number"),
        ("parts", "*", "parts", "a lone star"),
        ("source", "", "source", "source with revision is empty"),
        ("from", "", "from", "from, nose-heavy end is empty"),
        ("from", "4.0 in-lb", "from", "does not say its side"),
        ("from", "4.0 lb nose-heavy", "from", "a moment is wanted"),
        ("from", "1 in-lb tail-heavy", "from", "wrong way round"),
        ("aim", "9 in-lb tail-heavy", "aim", "outside the limits"),
        ("station.0.arm", "6 1/2", "station-0-arm", "has no unit"),
        ("station.0.arm", "", "station-0-arm", "arm of station 1 is empty"),
        ("station.0.side", "up", "station-0-side", "is not a choice"),
        ("station.0.capacity", "-1 lb", "station-0-capacity", "most that may be added of station 1 is -1 lb"),
        ("outline.nose", "x", "outline-nose", "is not a number"),
    ];
    for (key, value, field, says) in cases {
        let reply = propose(&shop, &[(key, value)]).await.is(422).says(says);
        assert!(reply.text.contains(&format!("id=\"f-{field}-wrong\"")), "{key}={value}: not beside {field}");
    }
    assert_eq!(shop.seen(), "4", "nothing was written");
}

#[tokio::test]
async fn all_faults_come_at_once_and_what_was_typed_is_kept() {
    let shop = Shop::new();
    let change = [("title", ""), ("from", "4 kg"), ("station.0.arm", "x"), ("station.0.name", "the horn")];
    propose(&shop, &change)
        .await
        .is(422)
        .says("3 things are wrong")
        .says("value=\"the horn\"")
        .says("value=\"4 kg\"");
}

#[tokio::test]
async fn limits_may_be_given_as_readings_or_with_the_manuals_signs() {
    let shop = Shop::new();
    let readings = [
        ("given", "readings"),
        ("at_arm", "17 1/4 in"),
        ("from_reading", "-0.25 lb"),
        ("to_reading", "0.05 lb"),
        ("from", ""),
        ("to", ""),
    ];
    propose(&shop, &readings).await.is(303);
    let state = shop.store().shop().expect("a shop");
    assert!(!state.cards[&1].content.limits.contains_key("from"), "the other way is left out");
    shop.of("tarn").get("/limits/1").await.says("reading -0.25 lb to 0.05 lb at 17 1/4 in");
    let signs = [("manual_plus", "nose-heavy"), ("from", "+6.0 in-lb"), ("to", "-1.5 in-lb")];
    propose(&shop, &signs).await.is(303);
    shop.of("tarn").get("/limits/2").await.says("In this manual plus is").says("6.00 in-lb nose-heavy");
}

#[tokio::test]
async fn another_station_is_asked_for_without_judging() {
    let shop = Shop::new();
    let page = propose(&shop, &[("act", "station"), ("from", "nonsense")]).await.is(200);
    assert!(page.text.contains("station.1.name") && page.text.contains("value=\"nonsense\""));
    assert!(!page.text.contains("wrong;"));
    propose(&shop, &[("station.1.side", "forward")]).await.is(303);
    assert_eq!(
        shop.store().shop().expect("a shop").cards[&1].content.stations.len(),
        1,
        "an empty one is left out"
    );
}

#[tokio::test]
async fn a_revision_takes_the_place_of_its_card_once_approved() {
    let shop = Shop::new();
    pin(&shop, "osterby").await;
    propose(&shop, &[]).await.is(303);
    approve(&shop, "osterby", 1, "4711").await.is(303);
    shop.of("sandell")
        .get("/limits/1/revise")
        .await
        .is(200)
        .says("value=\"6 1/2 in\"")
        .says("name=\"revises\"");
    propose(&shop, &[("revises", "1"), ("source", "revision 5")]).await.goes("/limits/2?done=proposed");
    assert!(shop.store().shop().expect("a shop").cards[&1].in_use(), "until the second person approves");
    approve(&shop, "osterby", 2, "4711").await.is(303);
    assert_eq!(shop.store().shop().expect("a shop").cards[&1].superseded, Some(2));
    propose(&shop, &[("revises", "1")]).await.is(422).says("out of use by now");
    propose(&shop, &[("revises", "77")]).await.is(422).says("there is no card 77");
}

#[tokio::test]
async fn a_card_is_withdrawn_with_a_reason() {
    let shop = Shop::new();
    propose(&shop, &[]).await.is(303);
    let seen = shop.seen();
    let form = |reason| [("seen", seen.as_str()), ("reason", reason)];
    shop.of("sandell").post("/limits/1/withdraw", &form("")).await.is(422).says("the reason is empty");
    shop.of("sandell")
        .post("/limits/1/withdraw", &form("copied wrongly"))
        .await
        .goes("/limits/1?done=refused");
    shop.of("tarn").get("/limits/1").await.says("refused").says("copied wrongly");
    shop.of("sandell").post("/limits/1/withdraw", &form("again")).await.is(422).says("out of use already");
    pin(&shop, "osterby").await;
    approve(&shop, "osterby", 1, "4711").await.is(409).says("card 1 is out of use by now");
}

#[tokio::test]
async fn whoever_may_approve_may_refuse_and_no_more() {
    let shop = Shop::new();
    propose(&shop, &[]).await.is(303);
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("reason", "the arm is another")];
    shop.of("tarn").post("/limits/1/withdraw", &form).await.is(403);
    shop.of("osterby").get("/limits/1").await.says("Refuse");
    shop.of("osterby").post("/limits/1/withdraw", &form).await.goes("/limits/1?done=refused");
    shop.of("tarn").get("/limits/1").await.says("refused").says("O. osterby: the arm is another");
    propose(&shop, &[]).await.is(303);
    pin(&shop, "osterby").await;
    approve(&shop, "osterby", 2, "4711").await.is(303);
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("reason", "not any more")];
    shop.of("osterby").post("/limits/2/withdraw", &form).await.is(403);
    shop.of("sandell").post("/limits/2/withdraw", &form).await.goes("/limits/2?done=withdrawn");
}

#[tokio::test]
async fn the_page_of_a_card_shows_all_that_is_compared() {
    let shop = Shop::new();
    propose(&shop, &[("station.0.arm_within", "1/16 in"), ("outline.trailing_edge", "18 1/2 in")])
        .await
        .is(303);
    let page = shop.of("osterby").get("/limits/1").await.is(200);
    page.says("1/16 in").says("7.5 in").says("18 1/2 in");
}

#[tokio::test]
async fn the_same_card_is_not_entered_twice() {
    let shop = Shop::new();
    propose(&shop, &[]).await.is(303);
    propose(&shop, &[]).await.is(422).says("card 1 holds exactly this and is waiting for approval");
    propose(&shop, &[("to", "1 in-lb tail-heavy")]).await.goes("/limits/2?done=proposed");
    shop.of("osterby").get("/limits/2").await.says("There is another card for one of these part numbers");
}

#[tokio::test]
async fn cards_that_share_a_part_number_are_pointed_at_from_both_sides() {
    let shop = Shop::new();
    propose(&shop, &[("parts", "SK12-*")]).await.is(303);
    propose(&shop, &[("parts", "SK12-55-211"), ("title", "one of them")]).await.is(303);
    propose(&shop, &[("parts", "SK14-55-211"), ("title", "none of them")]).await.is(303);
    for (card, other) in [(1, 2), (2, 1)] {
        let page = shop.of("osterby").get(&format!("/limits/{card}")).await.is(200);
        let page = page.says("There is another card for one of these part numbers");
        let page = page.says(&format!("<a href=\"/limits/{other}\">"));
        assert!(!page.text.contains("href=\"/limits/3\""), "{card}");
    }
}

#[tokio::test]
async fn readings_turn_with_the_signs_of_the_manual() {
    let shop = Shop::new();
    let readings = |plus, from, to| {
        [
            ("given", "readings"),
            ("manual_plus", plus),
            ("at_arm", "10 in"),
            ("from_reading", from),
            ("to_reading", to),
            ("from", ""),
            ("to", ""),
        ]
    };
    propose(&shop, &readings("nose-heavy", "-0.25 lb", "0.05 lb")).await.is(422).says("wrong way round");
    propose(&shop, &readings("nose-heavy", "0.25 lb", "-0.05 lb")).await.is(303);
    propose(&shop, &readings("", "-0.25 lb", "0.05 lb")).await.is(303);
    for card in ["/limits/1", "/limits/2"] {
        let page = shop.of("tarn").get(card).await.is(200);
        page.says("2.50 in-lb nose-heavy").says("0.50 in-lb tail-heavy");
    }
}

#[tokio::test]
async fn an_export_is_imported_as_it_was() {
    let shop = Shop::new();
    propose(&shop, &[("aim", "2.0 in-lb nose-heavy")]).await.is(303);
    let export = shop.of("tarn").get("/limits/1/export").await.is(200);
    assert_eq!(export.headers["content-type"], "application/toml; charset=utf-8");
    let page = shop.of("sandell").post("/limits/import", &[("text", &export.text)]).await.is(200);
    for part in [
        "right elevator half",
        "SK12-55-211*",
        "value=\"4.0 in-lb nose-heavy\"",
        "value=\"6 1/2 in\"",
        "final paint",
    ] {
        assert!(page.text.contains(part), "{part} is lost");
    }
    assert_eq!(shop.seen(), "5", "an import writes nothing");
}

#[tokio::test]
async fn a_job_sheet_is_imported_too_and_anything_else_is_refused() {
    let shop = Shop::new();
    let sheet = include_str!("../../../../demo/HP-0231-elevator.toml");
    let page = shop.of("sandell").post("/limits/import", &[("text", sheet)]).await.is(200);
    assert!(page.text.contains("value=\"right elevator half\"") && page.text.contains("SK12-55-210"));
    for (text, says) in [
        ("", "there is no file and no text"),
        ("not toml", "line 1 cannot be read"),
        ("[limit]\nfrom = \"1\"", "it holds “limit”"),
        ("limits = 3", "this file is no card"),
    ] {
        shop.of("sandell").post("/limits/import", &[("text", text)]).await.is(422).says(says);
    }
}

#[tokio::test]
async fn a_card_kept_from_an_older_reader_is_pointed_at() {
    let shop = Shop::new();
    propose(&shop, &[]).await.is(303);
    let mut card = shop.store().shop().expect("a shop").cards[&1].content.clone();
    card.limits.insert("from".to_owned(), Field::Text("nonsense".to_owned()));
    let deed = hingeline_bench::record::deed::Deed::CardProposed { card: 2, revises: None, content: card };
    shop.deed("shop", "S. sandell", &deed);
    shop.of("tarn").get("/limits/2").await.is(200).says("cannot be read");
}

#[tokio::test]
async fn a_file_is_imported_as_a_browser_sends_it() {
    let shop = Shop::new();
    let sheet = include_str!("../../../../demo/HP-0235-rudder.toml");
    let body = format!(
        "--b\r\ncontent-disposition: form-data; name=\"file\"; filename=\"r.toml\"\r\n\r\n{sheet}\r\n\
         --b\r\ncontent-disposition: form-data; name=\"text\"\r\n\r\n\r\n--b--\r\n"
    );
    let request = axum::http::Request::post("/limits/import")
        .header("content-type", "multipart/form-data; boundary=b")
        .body(axum::body::Body::from(body))
        .expect("a request");
    let page = shop.of("sandell").send(request).await.is(200).says("value=\"+6.0 in-lb\"");
    assert!(page.text.contains("<option value=\"nose-heavy\" selected>"), "the manual's plus is kept");
}

#[tokio::test]
async fn who_approves_a_revision_sees_what_it_changes_and_for_which_jobs() {
    let shop = Shop::new();
    propose(&shop, &[]).await.goes("/limits/1?done=proposed");
    pin(&shop, "osterby").await;
    approve(&shop, "osterby", 1, "4711").await.goes("/limits/1?done=approved");
    let job = [("number", "HP-1"), ("surface", "elevator"), ("part", "SK12-55-210"), ("serial", "87")];
    shop.of("tarn").post("/jobs", &job).await.is(303);
    shop.of("tarn").post("/jobs/HP-1/limits", &[("seen", "1"), ("card", "1")]).await.is(303);
    propose(&shop, &[("revises", "1"), ("from", "3.0 in-lb nose-heavy"), ("station.0.capacity", "0.5 lb")])
        .await
        .goes("/limits/2?done=proposed");
    let page = shop.of("osterby").get("/limits/2").await.is(200).says("What it changes against");
    let page = page.says("4.0 in-lb nose-heavy to 0 in-lb").says("3.0 in-lb nose-heavy to 0 in-lb");
    let page = page.says("horn weight, arm 6 1/2 in, capacity 0.5 lb, side forward");
    page.says("Open jobs judged by card 1").says("href=\"/jobs/HP-1\"");
    let old = shop.of("osterby").get("/limits/1").await;
    assert!(!old.text.contains("What it changes against"), "it revises none");
}

#[tokio::test]
async fn a_band_filled_in_both_ways_is_refused_and_nothing_is_dropped() {
    let shop = Shop::new();
    let both = [("at_arm", "17 1/4 in"), ("from_reading", "-0.25 lb"), ("to_reading", "0 lb")];
    let page = propose(&shop, &both).await.is(422).says("the band is filled in both ways");
    page.says("value=\"-0.25 lb\"").says("value=\"4.0 in-lb nose-heavy\"");
}
