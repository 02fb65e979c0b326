//! Instruments: entering, changing, checks, lines, retirement.

use crate::shop::{Reply, Shop};

const GOOD: [(&str, &str); 11] = [
    ("id", "S-2"),
    ("kind", "scale"),
    ("name", "hanging scale"),
    ("resolution", "0.01 lb"),
    ("capacity", "30 lb"),
    ("calibration_uncertainty", "0.01 lb"),
    ("certificate", "C-1"),
    ("calibrated", "2026-03-01"),
    ("due", "2027-03-01"),
    ("check_weight", "5.00 lb"),
    ("check_within", "0.02 lb"),
];

async fn send(shop: &Shop, path: &str, change: &[(&str, &str)]) -> Reply {
    let seen = shop.seen();
    let mut form = vec![("seen", seen.as_str())];
    form.extend(GOOD.iter().filter(|(key, _)| change.iter().all(|(other, _)| other != key)));
    form.extend(change);
    shop.of("sandell").post(path, &form).await
}

async fn enter(shop: &Shop, change: &[(&str, &str)]) -> Reply {
    send(shop, "/instruments", change).await
}

#[tokio::test]
async fn an_instrument_is_entered_and_calibrated_again() {
    let shop = Shop::new();
    enter(&shop, &[]).await.goes("/instruments/S-2?done=instrument");
    shop.of("tarn").get("/instruments/S-2").await.is(200).says("in date").says("5.00 lb, within 0.02 lb");
    shop.of("sandell").get("/instruments/S-2/change").await.is(200).says("value=\"2027-03-01\"");
    let change = [("id", "other"), ("kind", "rule"), ("due", "2028-03-01"), ("certificate", "C-2")];
    send(&shop, "/instruments/S-2", &change).await.is(303);
    let state = shop.store().shop().expect("a shop");
    let scale = &state.instruments["S-2"];
    assert_eq!((scale.text("kind"), scale.text("due"), scale.states.len()), ("scale", "2028-03-01", 2));
    assert!(!state.instruments.contains_key("other"), "mark and kind stay");
}

#[tokio::test]
async fn each_fault_stands_beside_its_field() {
    let shop = Shop::new();
    let cases: [(&str, &str, &str, &str); 22] = [
        ("id", "", "id", "the mark on it is empty"),
        ("id", "a/b", "id", "cannot be a mark"),
        ("id", "new", "id", "cannot be a mark"),
        ("kind", "clock", "kind", "is not a choice"),
        ("kind", "", "kind", "kind is empty"),
        ("name", "", "name", "the name is empty"),
        ("resolution", "", "resolution", "the smallest step is empty"),
        ("resolution", "0.01", "resolution", "has no unit"),
        ("resolution", "1/32 in", "resolution", "a mass is wanted"),
        ("calibration_uncertainty", "x", "calibration_uncertainty", "is not a number"),
        ("due", "soon", "due", "is not a date"),
        ("calibrated", "2026-02-30", "calibrated", "is not a date"),
        ("check_weight", "5", "check_weight", "has no unit"),
        ("check_within", "1 in", "check_within", "may be off by: “in” is a unit of length"),
        ("check_within", "-0.02 lb", "check_within", "not more than nothing"),
        ("check_weight", "0 lb", "check_weight", "not more than nothing"),
        ("check_weight", "14 kg", "check_weight", "more than the scale can weigh"),
        ("calibrated", "2026-10-03", "calibrated", "is after today"),
        ("calibrated", "2027-03-02", "due", "is before the calibration"),
        ("kind", "check-weight", "nominal", "the mass is empty"),
        ("kind", "check-weight", "check_weight", "only a scale has a check weight"),
        ("due", "2026-02-28", "due", "due on: 2026-02-28 is before the calibration on 2026-03-01"),
    ];
    for (key, value, field, says) in cases {
        let reply = enter(&shop, &[(key, value)]).await.is(422).says(says);
        assert!(reply.text.contains(&format!("id=\"f-{field}-wrong\"")), "{key}={value}: not beside {field}");
    }
    enter(&shop, &[("kind", "rule"), ("resolution", "1 mm"), ("calibration_uncertainty", "")])
        .await
        .is(422)
        .says("only a scale has a check weight");
    enter(&shop, &[]).await.is(303);
    enter(&shop, &[]).await.is(422).says("there is an instrument S-2 already");
}

#[tokio::test]
async fn due_dates_are_said_in_words() {
    let shop = Shop::new();
    for (id, due, says) in [
        ("A", "2026-11-02", "in date"),
        ("B", "2026-11-01", "due soon"),
        ("C", "2026-10-02", "due soon"),
        ("D", "2026-10-01", "PAST DUE"),
        ("E", "", "no due date"),
    ] {
        enter(&shop, &[("id", id), ("due", due)]).await.is(303);
        shop.of("tarn").get(&format!("/instruments/{id}")).await.is(200).says(says);
    }
    shop.of("tarn").get("/instruments").await.is(200).says("PAST DUE").says("no due date");
}

#[tokio::test]
async fn a_daily_check_is_entered_and_judged() {
    let shop = Shop::new();
    enter(&shop, &[]).await.is(303);
    let check = async |zero: &str, check: &str| {
        let seen = shop.seen();
        let form = [("seen", seen.as_str()), ("zero", zero), ("check", check)];
        shop.of("tarn").post("/instruments/S-2/check", &form).await
    };
    check("", "").await.is(422).says("the zero is empty").says("the reading with the check weight is empty");
    check("0", "5 mm").await.is(422).says("with its check weight: “mm” is a unit of length");
    check("0", "heavy").await.is(422).says("with its check weight: ");
    check("0 lb", "31 lb").await.is(422).says("more than it can weigh").says("up to 30 lb");
    check("0", "5.01").await.goes("/instruments/S-2?done=checked");
    let state = shop.store().shop().expect("a shop");
    let before = &state.instruments["S-2"].checks[0].before;
    let typed = (before.zero.as_str(), before.check.as_str());
    assert_eq!(typed, ("0 lb", "5.01 lb"), "a bare number is in the unit that the scale shows");
    check("0.00 lb", "5.03 lb").await.goes("/instruments/S-2?done=check-failed");
    let page = shop.of("tarn").get("/instruments/S-2?done=check-failed").await.says("TOO FAR OFF");
    let page = page.says("+0.03 lb off, 0.02 lb is allowed").says("The scale failed this check");
    assert!(page.text.contains("class=\"chart\"") && !page.text.contains("notice good"), "no good news");
    shop.of("tarn").get("/instruments").await.says("failed its check");
    shop.of("tarn").get("/").await.says("failed its check");
    shop.of("tarn").get("/instruments.csv").await.says("failed check");
    check("0.00 lb", "5.01 lb").await.goes("/instruments/S-2?done=checked");
    check("0.50 lb", "5.50 lb").await.goes("/instruments/S-2?done=check-failed");
    let not_zero = "empty it reads 0.50 lb, where 0.02 lb is allowed; set it to zero and weigh again";
    shop.of("tarn").get("/instruments/S-2").await.says(not_zero).says("Failed its last check");
    check("0.00 lb", "5.01 lb").await.goes("/instruments/S-2?done=checked");
    let list = shop.of("tarn").get("/instruments").await;
    assert!(!list.text.contains("badge bad"), "a good check takes it away");
    enter(
        &shop,
        &[
            ("id", "R-1"),
            ("kind", "rule"),
            ("resolution", "1 mm"),
            ("capacity", ""),
            ("calibration_uncertainty", ""),
            ("check_weight", ""),
            ("check_within", ""),
        ],
    )
    .await
    .is(303);
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("zero", "0 lb")];
    shop.of("tarn").post("/instruments/R-1/check", &form).await.is(422).says("only a scale in use");
}

#[tokio::test]
async fn a_calibration_line_goes_through_its_points() {
    let shop = Shop::new();
    enter(&shop, &[]).await.is(303);
    let line = async |form: &[(&str, &str)]| {
        let seen = shop.seen();
        let mut all = vec![("seen", seen.as_str())];
        all.extend(form);
        shop.of("sandell").post("/instruments/S-2/line", &all).await
    };
    line(&[]).await.is(422).says("there are 0 points");
    let bad = [
        ("point.0.known", "1 lb"),
        ("point.0.reading", ""),
        ("point.5.known", "2"),
        ("point.5.reading", "2 lb"),
    ];
    let reply =
        line(&bad).await.is(422).says("row 1, reading: nothing is entered").says("row 6, known value: ");
    assert!(
        reply.text.contains("id=\"f-point-0-reading-wrong\"")
            && reply.text.contains("id=\"f-point-5-known-wrong\"")
    );
    let good = [
        ("point.0.known", "0 lb"),
        ("point.0.reading", "0 lb"),
        ("point.2.known", "10 lb"),
        ("point.2.reading", "9.99 lb"),
        ("point.3.known", "20 lb"),
        ("point.3.reading", "19.98 lb"),
    ];
    line(&good).await.goes("/instruments/S-2?done=line");
    shop.of("tarn")
        .get("/instruments/S-2")
        .await
        .says("Correction to add to a reading")
        .says("the line is not applied to readings")
        .says("0.00100 per lb");
}

#[tokio::test]
async fn a_check_weight_has_its_mass_and_its_due_date() {
    let shop = Shop::new();
    let weight = [
        ("id", "W-1"),
        ("kind", "check-weight"),
        ("nominal", "5.00 lb"),
        ("due", "2026-10-20"),
        ("check_weight", ""),
        ("check_within", ""),
    ];
    enter(&shop, &weight).await.goes("/instruments/W-1?done=instrument");
    shop.of("tarn")
        .get("/instruments/W-1")
        .await
        .is(200)
        .says("5.00 lb")
        .says("due soon")
        .says("check weight");
    shop.of("tarn").get("/").await.says("W-1");
    shop.of("sandell").get("/instruments/W-1/change").await.is(200).says("value=\"5.00 lb\"");
    send(&shop, "/instruments/W-1", &[("nominal", "5"), ("check_weight", ""), ("check_within", "")])
        .await
        .is(422)
        .says("mass: “5” has no unit");
}

#[tokio::test]
async fn an_instrument_is_taken_out_of_use() {
    let shop = Shop::new();
    enter(&shop, &[]).await.is(303);
    let seen = shop.seen();
    let form = |reason| [("seen", seen.as_str()), ("reason", reason)];
    shop.of("sandell").post("/instruments/S-2/retire", &form("")).await.is(422).says("the reason is empty");
    shop.of("sandell").post("/instruments/S-2/retire", &form("dropped")).await.is(303);
    shop.of("tarn").get("/instruments/S-2").await.says("out of use").says("dropped");
    shop.of("sandell")
        .post("/instruments/S-2/retire", &form("again"))
        .await
        .is(422)
        .says("out of use already");
    enter(&shop, &[("id", "S-3")]).await.is(303);
    send(&shop, "/instruments/S-2", &[]).await.is(303);
    shop.of("tarn").get("/instruments/S-2").await.says("in date");
}

#[tokio::test]
async fn an_unknown_instrument_is_not_found() {
    let shop = Shop::new();
    shop.of("tarn").get("/instruments/S-9").await.is(404).says("There is no instrument S-9");
    shop.of("tarn").post("/instruments/S-9/check", &[]).await.is(404);
}
