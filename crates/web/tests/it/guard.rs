//! Hosts, origins, sizes, paths: what stands round all pages.

use crate::shop::Shop;
use axum::body::Body;
use axum::http::{Request, header};

#[tokio::test]
async fn only_our_own_names_are_answered() {
    let shop = Shop::new();
    for (host, status) in [
        ("127.0.0.1:8080", 200),
        ("192.168.1.20:8080", 200),
        ("[::1]:8080", 200),
        ("[fe80::1]", 200),
        ("localhost", 200),
        ("LOCALHOST:80", 200),
        ("bench.test:8443", 200),
        ("Bench.Test", 200),
        ("elsewhere.test", 421),
        ("bench.test.elsewhere.test", 421),
        ("127.0.0.1.elsewhere.test", 421),
        ("localhost.elsewhere.test", 421),
    ] {
        let mut browser = shop.stranger();
        browser.host = host.to_owned();
        assert_eq!(browser.get("/log-in").await.status, status, "{host}");
    }
}

#[tokio::test]
async fn a_form_of_another_site_is_refused() {
    let shop = Shop::new();
    let cases: [(&str, &str, u16); 9] = [
        ("origin", "http://127.0.0.1:8080", 303),
        ("origin", "https://127.0.0.1:8080", 303),
        ("origin", "http://127.0.0.1:9090", 403),
        ("origin", "http://elsewhere.test", 403),
        ("origin", "null", 403),
        ("sec-fetch-site", "same-origin", 303),
        ("sec-fetch-site", "none", 303),
        ("sec-fetch-site", "same-site", 403),
        ("sec-fetch-site", "cross-site", 403),
    ];
    for (name, value, status) in cases {
        let request = Request::post("/log-out").header(name, value).body(Body::empty()).expect("a request");
        assert_eq!(shop.of("tarn").send(request).await.status, status, "{name}: {value}");
    }
}

#[tokio::test]
async fn a_huge_form_is_refused() {
    let shop = Shop::new();
    let body = format!("login={}", "x".repeat(300 * 1024));
    let request = Request::post("/log-in")
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(body))
        .expect("a request");
    shop.stranger().send(request).await.is(413).says("Too large");
}

#[tokio::test]
async fn what_is_no_form_is_refused() {
    let shop = Shop::new();
    for (media, body, status) in [
        ("application/json", "{}", 400),
        ("text/plain", "login=tarn", 400),
        ("multipart/form-data", "x", 400),
        ("multipart/form-data; boundary=a", "--b", 400),
        ("application/x-www-form-urlencoded", "login=%ff%fe&password=%zz%", 422),
    ] {
        let request = Request::post("/log-in")
            .header(header::CONTENT_TYPE, media)
            .body(Body::from(body))
            .expect("a request");
        assert_eq!(shop.stranger().send(request).await.status, status, "{media}: {body}");
    }
}

#[tokio::test]
async fn tricks_with_paths_lead_nowhere() {
    let shop = Shop::new();
    for path in [
        "/assets/x/../../Cargo.toml",
        "/assets/x/..%2f..%2fCargo.toml",
        "/assets/x/%2e%2e",
        "/assets/x/hingeline.css%00",
        "//elsewhere.test/",
        "/nowhere",
        "/%ff",
        "/people/%ff",
        "/people/..%2f..%2fx",
    ] {
        let reply = shop.of("admin").get(path).await;
        assert!([400, 404].contains(&reply.status.as_u16()), "{path}: {}", reply.status);
    }
}

#[tokio::test]
async fn every_answer_says_what_a_browser_may_do() {
    let shop = Shop::new();
    for path in ["/log-in", "/nowhere", "/assets/x/hingeline.css", "/"] {
        let reply = shop.stranger().get(path).await;
        let policy = reply.headers["content-security-policy"].to_str().expect("text");
        assert!(policy.starts_with("default-src 'none'"), "{path}");
        assert!(!policy.contains("unsafe"), "{path}");
        assert_eq!(reply.headers["x-content-type-options"], "nosniff");
    }
}

#[tokio::test]
async fn no_page_holds_style_or_script_of_its_own() {
    let shop = Shop::new();
    for row in hingeline_web::routes::table() {
        if row.method != axum::http::Method::GET || row.path.contains('{') {
            continue;
        }
        let reply = shop.of("admin").get(row.path).await;
        for bad in ["<style", " style=", " onclick=", "javascript:", "<script>"] {
            assert!(!reply.text.contains(bad), "{} holds {bad}", row.path);
        }
    }
}

#[tokio::test]
async fn a_wrong_method_and_a_wrong_address_have_their_pages() {
    let shop = Shop::new();
    shop.of("tarn").get("/nowhere").await.is(404).says("There is no such page");
    shop.of("tarn").get("/log-out").await.is(405).says("does not take that kind of request");
    shop.stranger().get("/nowhere").await.is(404);
}

#[tokio::test]
async fn files_are_kept_by_their_hash() {
    let shop = Shop::new();
    let page = shop.stranger().get("/log-in").await.text;
    let from = page.find("/assets/").expect("a link");
    let link = &page[from..from + page[from..].find('"').expect("its end")];
    let reply = shop.stranger().get(link).await.is(200);
    assert!(reply.headers["cache-control"].to_str().expect("text").contains("immutable"));
    let stale = shop.stranger().get("/assets/000000000000/hingeline.css").await.is(200);
    assert_eq!(stale.headers["cache-control"], "no-cache");
}

#[tokio::test]
async fn no_link_from_elsewhere_claims_that_something_was_entered() {
    let shop = Shop::new();
    for (site, shown) in [("same-origin", true), ("none", false), ("cross-site", false)] {
        let request =
            Request::get("/limits?done=approved").header("sec-fetch-site", site).body(Body::empty());
        let reply = shop.of("tarn").send(request.expect("a request")).await.is(200);
        assert_eq!(reply.text.contains("approved and in use"), shown, "{site}");
    }
}
