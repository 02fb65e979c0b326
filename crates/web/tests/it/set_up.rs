//! The first start of a shop without people.

use crate::shop::Shop;
use axum::body::Body;
use axum::extract::ConnectInfo;
use axum::http::Request;
use std::net::SocketAddr;
use tower::ServiceExt;

fn form<'a>(code: &'a str, login: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![
        ("code", code),
        ("login", login),
        ("name", "R. Alder"),
        ("password", "four brass hinges"),
        ("again", "four brass hinges"),
    ]
}

#[tokio::test]
async fn an_empty_shop_begins_with_its_first_administrator() {
    let shop = Shop::empty();
    shop.stranger().get("/").await.goes("/set-up");
    shop.stranger().get("/log-in").await.goes("/set-up");
    shop.stranger().get("/set-up").await.is(200).says("Set up the shop");
    let code = shop.app.set_up_code().expect("a code").to_owned();
    let reply = shop.stranger().post("/set-up", &form(&code, "alder")).await.goes("/");
    let mut browser = shop.stranger();
    let cookie = reply.headers["set-cookie"].to_str().expect("text");
    browser.cookie = Some(cookie.split(';').next().expect("a pair").to_owned());
    browser.get("/people/new").await.is(200);
    assert_eq!(shop.seen(), "1");
    let first = browser.get("/").await.is(200).says("First steps").says("Name the shop");
    first.says("Add an inspector").says("Enter the instruments").says("Propose a limits card");
}

#[tokio::test]
async fn the_shop_is_named_at_the_set_up_or_later_and_new_jobs_carry_it() {
    let shop = Shop::empty();
    let code = shop.app.set_up_code().expect("a code").to_owned();
    let mut named = form(&code, "alder");
    named.extend([("shop", "Skerry Balance"), ("approval", "AB.145.0007")]);
    shop.stranger().post("/set-up", &named).await.goes("/");
    shop.person("tarn", hingeline_bench::record::deed::Role::Technician);
    let seen = shop.seen();
    shop.of("tarn").get("/shop").await.is(403);
    shop.of("alder").get("/shop").await.is(200).says("value=\"AB.145.0007\"");
    shop.of("alder").post("/shop", &[("seen", &seen), ("shop", "")]).await.is(422).says("is empty");
    let change = [("seen", seen.as_str()), ("shop", "Skerry Surfaces"), ("approval", "AB.145.0007")];
    shop.of("alder").post("/shop", &change).await.goes("/shop?done=shop");
    let job = [("number", "HP-1"), ("surface", "rudder"), ("part", "RX-9"), ("serial", "1")];
    shop.of("tarn").post("/jobs", &job).await.is(303);
    let job = shop.store().job("HP-1").expect("a job").expect("a job");
    assert_eq!(job.text("shop"), "Skerry Surfaces, approval AB.145.0007");
}

#[tokio::test]
async fn a_first_step_goes_once_it_is_done() {
    let shop = Shop::new();
    let page = shop.of("admin").get("/").await.is(200).says("Enter the instruments");
    assert!(!page.text.contains("Add a technician"), "there is one");
    shop.of("tarn").get("/").await.says("Set your PIN");
    let set = [("password", "four brass hinges"), ("again", "four brass hinges")];
    shop.of("admin").post("/people/tarn/password", &set).await.is(303);
    let own =
        [("current", "four brass hinges"), ("password", "five brass hinges"), ("again", "five brass hinges")];
    shop.of("tarn").post("/me/password", &own).await.is(303);
    let pin = [("current", "five brass hinges"), ("pin", "4711"), ("pin-again", "4711")];
    shop.of("tarn").post("/me/pin", &pin).await.is(303);
    let page = shop.of("tarn").get("/").await;
    assert!(!page.text.contains("First steps"), "nothing is left for a technician");
    shop.of("admin").get("/people").await.says("not set");
}

#[tokio::test]
async fn a_wrong_code_makes_nobody() {
    let shop = Shop::empty();
    for code in ["", "abcd-efgh-ijkm"] {
        shop.stranger().post("/set-up", &form(code, "alder")).await.is(422).says("this is not the code");
    }
    let code = shop.app.set_up_code().expect("a code").to_owned();
    shop.stranger().post("/set-up", &form(&code, "")).await.is(422).says("cannot be a login name");
    assert_eq!(shop.seen(), "0");
}

#[tokio::test]
async fn it_is_done_once() {
    let shop = Shop::empty();
    let code = shop.app.set_up_code().expect("a code").to_owned();
    shop.stranger().post("/set-up", &form(&code, "alder")).await.is(303);
    shop.stranger().post("/set-up", &form(&code, "second")).await.is(404);
    shop.stranger().get("/set-up").await.goes("/");
}

#[tokio::test]
async fn it_is_done_on_the_machine_itself() {
    let shop = Shop::empty();
    for peer in [[192, 168, 1, 9], [127, 0, 0, 1]] {
        let request = Request::get("/set-up")
            .header("host", "192.168.1.5")
            .extension(ConnectInfo(SocketAddr::from((peer, 40_000))))
            .body(Body::empty())
            .expect("a request");
        let response = hingeline_web::app(shop.app.clone()).oneshot(request).await.expect("an answer");
        let bytes = axum::body::to_bytes(response.into_body(), 1 << 20).await.expect("a body");
        let text = String::from_utf8_lossy(&bytes).into_owned();
        assert_eq!(text.contains("name=\"code\""), peer[0] == 127, "{peer:?}");
    }
}
