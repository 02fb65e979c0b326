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
        ("/\t/elsewhere.test", "/"),
        ("\t//elsewhere.test", "/"),
        ("/\t", "/"),
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

#[tokio::test]
async fn a_form_sent_after_the_session_ended_says_so_and_comes_back() {
    let shop = shop().await;
    let request = |path: &str| {
        axum::http::Request::post(path)
            .header(header::HOST, "127.0.0.1:8080")
            .header(header::REFERER, "http://127.0.0.1:8080/jobs/HP-0231/note?x=1")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(axum::body::Body::from("text=a"))
            .expect("a request")
    };
    let to = "/log-in?out=yes&to=%2Fjobs%2FHP-0231%2Fnote%3Fx%3D1";
    shop.stranger().send(request("/jobs/HP-0231/note")).await.goes(to);
    let page = shop.stranger().get(to).await.is(200).says("You were logged out").says("was not entered");
    page.says("name=\"to\" value=\"/jobs/HP-0231/note?x=1\"");
    let page = shop.stranger().get("/log-in").await;
    assert!(!page.text.contains("You were logged out"));
    let form = [("login", "tarn"), ("password", PASSWORD), ("to", "/jobs/HP-0231/note?x=1")];
    shop.stranger().post("/log-in", &form).await.goes("/jobs/HP-0231/note?x=1");
}

#[tokio::test]
async fn a_form_that_was_taken_says_which() {
    let shop = shop().await;
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("role", "technician"), ("active", "yes")];
    let reply = shop.of("admin").post("/people/tarn", &form).await.is(303);
    assert!(cookie(&reply).starts_with("hingeline-taken=%2Fpeople%2Ftarn;"), "{}", cookie(&reply));
    let refused = shop.of("admin").post("/people/tarn", &[("seen", seen.as_str())]).await.is(422);
    assert!(refused.headers.get(header::SET_COOKIE).is_none(), "what is refused stays on the device");
    assert!(refused.text.contains("data-me=\"admin\" data-posted"));
}
