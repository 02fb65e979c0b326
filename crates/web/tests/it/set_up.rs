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
    let reply = shop.stranger().post("/set-up", &form(&code, "alder")).await.goes("/people");
    let mut browser = shop.stranger();
    let cookie = reply.headers["set-cookie"].to_str().expect("text");
    browser.cookie = Some(cookie.split(';').next().expect("a pair").to_owned());
    browser.get("/people/new").await.is(200);
    assert_eq!(shop.seen(), "1");
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
