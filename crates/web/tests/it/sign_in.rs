//! Log in and out, throttle, sessions.

use crate::shop::{Reply, Shop};
use axum::http::header;
use hingeline_bench::record::deed::{Deed, Role};

const PASSWORD: &str = "four brass hinges";

/// A shop in which one person has a password.
async fn shop() -> Shop {
    let shop = Shop::new();
    let reply =
        shop.of("admin").post("/people/tarn/password", &[("password", PASSWORD), ("again", PASSWORD)]).await;
    reply.is(303);
    shop
}

async fn log_in(shop: &Shop, login: &str, password: &str) -> Reply {
    shop.stranger().post("/log-in", &[("login", login), ("password", password)]).await
}

fn cookie(reply: &Reply) -> &str {
    reply.headers[header::SET_COOKIE].to_str().expect("text")
}

#[tokio::test]
async fn the_right_password_opens_a_session() {
    let shop = shop().await;
    let reply = log_in(&shop, "tarn", PASSWORD).await.goes("/");
    let set = cookie(&reply);
    assert!(set.contains("HttpOnly") && set.contains("SameSite=Strict") && !set.contains("Secure"), "{set}");
    let mut browser = shop.stranger();
    browser.cookie = Some(set.split(';').next().expect("a pair").to_owned());
    browser.get("/").await.is(200).says("T. tarn");
    browser.post("/log-out", &[]).await.goes("/log-in");
    browser.get("/").await.goes("/log-in");
}

#[tokio::test]
async fn a_session_ends_after_twelve_hours_without_use() {
    let shop = shop().await;
    let browser = shop.of("tarn");
    shop.wait(11 * 3600);
    browser.get("/").await.is(200);
    shop.wait(11 * 3600);
    browser.get("/").await.is(200);
    shop.wait(12 * 3600 + 61);
    browser.get("/").await.goes("/log-in");
}

#[tokio::test]
async fn five_wrong_passwords_lock_a_login_for_a_quarter_of_an_hour() {
    let shop = shop().await;
    for left in [4, 3, 2, 1] {
        log_in(&shop, "tarn", "wrong").await.is(422).says(&if left == 1 {
            "one more".to_owned()
        } else {
            format!("{left} more")
        });
    }
    log_in(&shop, "tarn", "wrong").await.is(429).says("locked until 2026-10-02 08:15");
    log_in(&shop, "tarn", PASSWORD).await.is(429);
    shop.wait(15 * 60 + 1);
    log_in(&shop, "tarn", "wrong").await.is(422).says("4 more");
    log_in(&shop, "tarn", PASSWORD).await.goes("/");
}

#[tokio::test]
async fn an_unknown_name_is_answered_like_a_known_one() {
    let shop = shop().await;
    for _ in 0..4 {
        let (known, unknown) = (log_in(&shop, "tarn", "wrong").await, log_in(&shop, "tarm", "wrong").await);
        assert_eq!(known.text.replace("tarn", ""), unknown.text.replace("tarm", ""));
        assert_eq!(known.status, unknown.status);
    }
    log_in(&shop, "tarm", "wrong").await.is(429);
}

#[tokio::test]
async fn a_new_password_or_role_ends_the_sessions() {
    let shop = shop().await;
    let browser = shop.of("tarn");
    browser.get("/").await.is(200);
    let form = [("password", "another long one"), ("again", "another long one")];
    shop.of("admin").post("/people/tarn/password", &form).await.is(303);
    browser.get("/").await.goes("/log-in");
}

#[tokio::test]
async fn who_is_not_active_is_not_let_in() {
    let shop = shop().await;
    let mut person = shop.store().shop().expect("a shop").people["tarn"].clone();
    let browser = shop.of("tarn");
    person.active = false;
    shop.deed("shop", "A. admin", &Deed::PersonEntered { login: "tarn".to_owned(), person });
    browser.get("/").await.goes("/log-in");
    log_in(&shop, "tarn", PASSWORD).await.is(422).says("not in use");
}

#[tokio::test]
async fn the_log_in_leads_back_inside_and_nowhere_else() {
    let shop = shop().await;
    shop.stranger().get("/limits").await.goes("/log-in?to=%2Flimits");
    for (to, leads) in [
        ("/limits", "/limits"),
        ("//elsewhere.test", "/"),
        ("https://elsewhere.test", "/"),
        ("/\\elsewhere", "/"),
    ] {
        let form = [("login", "tarn"), ("password", PASSWORD), ("to", to)];
        shop.stranger().post("/log-in", &form).await.goes(leads);
    }
}

#[tokio::test]
async fn what_is_missing_is_said() {
    let shop = shop().await;
    log_in(&shop, "", "").await.is(422).says("the login name is empty").says("the password is empty");
}

#[tokio::test]
async fn an_encrypted_shop_says_so_in_its_cookies() {
    let shop = Shop::with(|config| config.secure = true);
    shop.person("tarn", Role::Technician);
    let reply = shop.of("tarn").post("/theme", &[("theme", "dark"), ("to", "/")]).await.goes("/");
    assert!(cookie(&reply).contains("Secure"));
    assert!(reply.headers.contains_key("strict-transport-security"));
}
