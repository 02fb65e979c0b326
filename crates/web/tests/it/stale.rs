//! Two people at once: who comes second writes nothing, sees what is new and keeps what was typed.

use crate::shop::Shop;
use hingeline_bench::record::deed::Deed;

fn retire(id: &str) -> Deed {
    Deed::InstrumentRetired { id: id.to_owned(), reason: "lent out".to_owned() }
}

#[tokio::test]
async fn who_comes_second_sees_what_is_new_and_keeps_what_was_typed() {
    let shop = Shop::new();
    let seen = shop.seen();
    shop.deed("shop", "S. sandell", &retire("S-2"));
    let form = [
        ("seen", seen.as_str()),
        ("login", "berg"),
        ("name", "L. Berg <x>"),
        ("role", "inspector"),
        ("password", "four brass hinges"),
        ("again", "four brass hinges"),
    ];
    let page = shop.of("admin").post("/people", &form).await.is(409);
    for part in
        ["instrument out of use", "S. sandell", "L. Berg &lt;x&gt;", "value=\"5\"", "Enter mine after it"]
    {
        assert!(page.text.contains(part), "{part} is not there");
    }
    assert!(!page.text.contains("four brass hinges"), "a password is never sent back");
    assert_eq!(shop.seen(), "5", "nothing was written");
}

#[tokio::test]
async fn it_is_entered_after_all_on_request() {
    let shop = Shop::new();
    let before = shop.seen();
    let reply = |seen: String| {
        let browser = shop.of("sandell");
        async move {
            let form = [
                ("seen", seen.as_str()),
                ("id", "S-2"),
                ("kind", "scale"),
                ("name", "hanging scale"),
                ("resolution", "0.01 lb"),
            ];
            browser.post("/instruments", &form).await
        }
    };
    shop.deed("shop", "S. sandell", &retire("S-9"));
    reply(before).await.is(409);
    reply(shop.seen()).await.is(303);
}

#[tokio::test]
async fn the_way_back_leads_to_the_page_of_the_form() {
    let shop = Shop::new();
    shop.deed("shop", "S. sandell", &retire("S-9"));
    let page = |referer: &'static str| {
        let browser = shop.of("sandell");
        let form = "seen=4&id=S-2&kind=scale&name=a&resolution=1+g";
        let request = axum::http::Request::post("/instruments")
            .header("content-type", "application/x-www-form-urlencoded")
            .header("referer", referer)
            .body(axum::body::Body::from(form))
            .expect("a request");
        async move { browser.send(request).await.is(409) }
    };
    for (referer, back) in [
        ("http://127.0.0.1:8080/instruments/new", "/instruments/new"),
        ("http://elsewhere.test/instruments/new", "/"),
        ("http://127.0.0.1:8080//elsewhere.test", "/"),
        ("nonsense", "/"),
    ] {
        page(referer).await.says(&format!("<a class=\"button quiet\" href=\"{back}\">"));
    }
}
