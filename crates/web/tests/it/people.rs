//! People: entering, changing, passwords, PINs.

use crate::shop::Shop;
use hingeline_bench::record::deed::Role;

const PASSWORD: &str = "four brass hinges";

fn form<'a>(shop: &'a str, change: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut form = vec![
        ("seen", shop),
        ("login", "berg"),
        ("name", "L. Berg"),
        ("role", "inspector"),
        ("certificate", "I-7"),
        ("kind", "inspector"),
        ("password", PASSWORD),
        ("again", PASSWORD),
    ];
    for (key, value) in change {
        form.retain(|(known, _)| known != key);
        form.push((key, value));
    }
    form
}

#[tokio::test]
async fn a_person_is_entered_and_logs_in() {
    let shop = Shop::new();
    let seen = shop.seen();
    shop.of("admin").post("/people", &form(&seen, &[])).await.goes("/people?done=person");
    let state = shop.store().shop().expect("a shop");
    assert_eq!(state.people["berg"].role, Role::Inspector);
    shop.of("admin").get("/people?done=person").await.is(200).says("L. Berg").says("The person is entered");
    let log_in = [("login", "berg"), ("password", PASSWORD)];
    shop.stranger().post("/log-in", &log_in).await.goes("/");
}

#[tokio::test]
async fn a_keeper_may_also_work_and_nobody_else_gets_a_second_role() {
    let shop = Shop::new();
    let change = async |login: &str, role: &str, also: &str| {
        let seen = shop.seen();
        let form = [("seen", seen.as_str()), ("role", role), ("also", also), ("active", "yes")];
        shop.of("admin").post(&format!("/people/{login}"), &form).await
    };
    shop.of("admin").get("/jobs/new").await.is(403);
    change("admin", "administrator", "data-keeper").await.is(422).says("is no working role");
    change("admin", "administrator", "technician").await.is(303);
    shop.of("tarn").get("/people").await.says("administrator and technician");
    let admin = shop.of("admin");
    admin.get("/jobs/new").await.is(200);
    admin.get("/people/new").await.is(200);
    let job = [("number", "HP-1"), ("surface", "rudder"), ("part", "RX-9"), ("serial", "1")];
    admin.post("/jobs", &job).await.is(303);
    change("tarn", "technician", "inspector").await.is(303);
    let state = shop.store().shop().expect("a shop");
    assert_eq!(state.people["tarn"].also, None, "a technician holds one role");
}

#[tokio::test]
async fn all_that_is_wrong_is_said_at_once_and_what_was_typed_is_kept() {
    let shop = Shop::new();
    let seen = shop.seen();
    let cases: [(&str, &str, &str); 10] = [
        ("login", "tarn", "tarn is taken"),
        ("login", "Ä b", "cannot be a login name"),
        ("login", "", "cannot be a login name"),
        ("login", "new", "cannot be a login name"),
        ("name", "", "the name is empty"),
        ("name", "t. TARN", "t. TARN is in the record already"),
        ("role", "", "no role is chosen"),
        ("role", "owner", "no role is chosen"),
        ("password", "short", "the password has 5 characters"),
        ("again", "four brass hinge", "the two passwords are not the same"),
    ];
    for (key, value, says) in cases {
        let reply = shop.of("admin").post("/people", &form(&seen, &[(key, value)])).await.is(422).says(says);
        assert!(!reply.text.contains(PASSWORD), "a password is never sent back");
    }
    let all = form(&seen, &[("login", ""), ("name", ""), ("role", ""), ("password", ""), ("again", "x")]);
    shop.of("admin").post("/people", &all).await.is(422).says("5 things are wrong").says("value=\"I-7\"");
    assert_eq!(shop.seen(), seen);
}

#[tokio::test]
async fn names_are_text_on_every_page() {
    let shop = Shop::new();
    let seen = shop.seen();
    let name = "<b onclick=x>\"O'Hare\" & Co";
    shop.of("admin").post("/people", &form(&seen, &[("name", name)])).await.is(303);
    for path in ["/people", "/people/berg"] {
        let reply = shop.of("admin").get(path).await.is(200).says("&lt;b onclick=x&gt;");
        assert!(!reply.text.contains("<b onclick"));
    }
}

#[tokio::test]
async fn a_role_is_changed_and_its_sessions_end() {
    let shop = Shop::new();
    let browser = shop.of("tarn");
    browser.get("/").await.is(200);
    let seen = shop.seen();
    let form = [
        ("seen", seen.as_str()),
        ("role", "inspector"),
        ("certificate", "T-1"),
        ("kind", ""),
        ("active", "yes"),
    ];
    shop.of("admin").post("/people/tarn", &form).await.goes("/people?done=person");
    browser.get("/").await.goes("/log-in");
    let state = shop.store().shop().expect("a shop");
    let person = &state.people["tarn"];
    assert_eq!(
        (person.role, person.name.as_str(), person.certificate.as_str()),
        (Role::Inspector, "T. tarn", "T-1")
    );
}

#[tokio::test]
async fn the_last_administrator_stays_one() {
    let shop = Shop::new();
    let seen = shop.seen();
    for form in [
        [("seen", seen.as_str()), ("role", "inspector"), ("active", "yes")],
        [("seen", seen.as_str()), ("role", "administrator"), ("active", "")],
    ] {
        shop.of("admin").post("/people/admin", &form).await.is(422).says("only administrator");
    }
    shop.person("second", Role::Administrator);
    let seen = shop.seen();
    let form = [("seen", seen.as_str()), ("role", "inspector"), ("active", "yes")];
    shop.of("admin").post("/people/admin", &form).await.is(303);
}

#[tokio::test]
async fn an_unknown_person_is_not_found() {
    let shop = Shop::new();
    shop.of("admin").get("/people/nobody").await.is(404).says("There is no person nobody");
    shop.of("admin").post("/people/nobody", &[]).await.is(404);
    shop.of("admin").post("/people/nobody/password", &[]).await.is(404);
}

#[tokio::test]
async fn ones_own_password_needs_the_old_one() {
    let shop = Shop::new();
    let set = [("password", PASSWORD), ("again", PASSWORD)];
    shop.of("admin").post("/people/tarn/password", &set).await.is(303);
    let form =
        |current| [("current", current), ("password", "another long one"), ("again", "another long one")];
    shop.of("tarn").post("/me/password", &form("wrong")).await.is(422).says("this is not your password");
    shop.of("tarn").post("/me/password", &form("")).await.is(422).says("your password is empty");
    let old = shop.of("tarn");
    let reply = shop.of("tarn").post("/me/password", &form(PASSWORD)).await.goes("/me?done=password");
    old.get("/me").await.goes("/log-in?to=%2Fme");
    let mut fresh = shop.stranger();
    let cookie = reply.headers["set-cookie"].to_str().expect("text");
    fresh.cookie = Some(cookie.split(';').next().expect("a pair").to_owned());
    fresh.get("/me").await.is(200);
}

#[tokio::test]
async fn a_password_set_by_somebody_else_takes_the_pin_away_and_stands_in_the_record() {
    let shop = Shop::new();
    let set = [("password", PASSWORD), ("again", PASSWORD)];
    shop.of("admin").post("/people/tarn/password", &set).await.is(303);
    choose(&shop, PASSWORD, OWN).await;
    let pin = [("current", OWN), ("pin", "4711"), ("pin-again", "4711")];
    shop.of("tarn").post("/me/pin", &pin).await.is(303);
    shop.wait(3600);
    shop.of("admin").post("/people/tarn/password", &set).await.goes("/people?done=password-reset");
    assert_eq!(shop.store().credential("tarn").expect("read").expect("one").pin, None);
    let last = shop.store().entries("shop").expect("entries").pop().expect("an entry").entry;
    assert_eq!(
        (last.by.as_str(), last.body.as_str()),
        ("A. admin", r#"{"deed":"password-reset","login":"tarn"}"#)
    );
    shop.of("osterby").get("/people").await.says("password set by A. admin, 2026-10-02 09:00");
    let me = shop.of("tarn").get("/me").await.says("set by A. admin, 2026-10-02 09:00");
    me.says("your PIN was taken away");
    let none = shop.of("osterby").get("/me").await;
    assert!(!none.text.contains("taken away"));
    shop.of("tarn").post("/people/tarn/password", &set).await.is(403);
}

/// What tarn chooses in place of the password that an administrator set.
const OWN: &str = "five brass hinges";

async fn choose(shop: &Shop, old: &str, new: &str) {
    let form = [("current", old), ("password", new), ("again", new)];
    shop.of("tarn").post("/me/password", &form).await.is(303);
}

#[tokio::test]
async fn a_pin_comes_after_a_password_of_ones_own() {
    let shop = Shop::new();
    let set = [("password", PASSWORD), ("again", PASSWORD)];
    shop.of("admin").post("/people/tarn/password", &set).await.is(303);
    let me = shop.of("tarn").get("/me").await.says("first choose a password of your own");
    assert!(!me.text.contains("action=\"/me/pin\""), "no form that is refused");
    let pin = [("current", PASSWORD), ("pin", "4711"), ("pin-again", "4711")];
    shop.of("tarn").post("/me/pin", &pin).await.is(422).says("somebody else set this password");
    assert_eq!(shop.store().credential("tarn").expect("read").expect("one").pin, None);
    choose(&shop, PASSWORD, OWN).await;
    shop.of("tarn").get("/me").await.says("action=\"/me/pin\"");
}

#[tokio::test]
async fn a_pin_is_set_with_the_password() {
    let shop = Shop::new();
    let set = [("password", PASSWORD), ("again", PASSWORD)];
    shop.of("admin").post("/people/tarn/password", &set).await.is(303);
    choose(&shop, PASSWORD, OWN).await;
    let form = |current, pin, again| [("current", current), ("pin", pin), ("pin-again", again)];
    for (current, pin, again, says) in [
        ("wrong", "4711", "4711", "this is not your password"),
        (OWN, "1234", "1234", "easily guessed"),
        (OWN, "12", "12", "this is no PIN"),
        (OWN, "4711", "4712", "not the same"),
        ("", "4711", "4711", "your password is empty"),
    ] {
        shop.of("tarn").post("/me/pin", &form(current, pin, again)).await.is(422).says(says);
    }
    shop.of("tarn").post("/me/pin", &form(OWN, "4711", "4711")).await.goes("/me?done=pin");
    let last = shop.store().entries("shop").expect("entries").pop().expect("an entry").entry;
    assert_eq!(
        (last.by.as_str(), last.body.as_str()),
        ("T. tarn", r#"{"deed":"pin-set","login":"tarn"}"#),
        "it stands in the record"
    );
    shop.of("tarn").get("/me").await.is(200).says("Another PIN");
    let kept = shop.store().credential("tarn").expect("read").expect("one").pin.expect("a PIN");
    assert!(kept.starts_with("$argon2id$"), "{kept}");
}

#[tokio::test]
async fn a_locked_login_says_so_among_the_people() {
    let shop = Shop::new();
    let set = [("password", PASSWORD), ("again", PASSWORD)];
    shop.of("admin").post("/people/tarn/password", &set).await.is(303);
    let list = shop.of("admin").get("/people").await.is(200);
    assert!(!list.text.contains("locked until"));
    let form = [("current", "wrong"), ("password", OWN), ("again", OWN)];
    for _ in 0..5 {
        shop.of("tarn").post("/me/password", &form).await.is(422);
    }
    shop.of("admin").get("/people").await.says("locked until 2026-10-02");
    shop.wait(3600);
    let list = shop.of("admin").get("/people").await;
    assert!(!list.text.contains("locked until"), "it has run out");
}
