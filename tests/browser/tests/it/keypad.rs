//! The keypad of the bench under a finger, and readings that belong to their method.

use crate::shop::TARN;
use hingeline_browser_tests::browser::{PHONE, TABLET};
use hingeline_browser_tests::{Browser, Server};

const WEIGH: &str = "/jobs/HP-0231/weigh?stage=as-left&method=trailing-edge-scale";
const CLEAR: &str = "const field = document.activeElement.getBoundingClientRect();
    const pad = document.getElementById('keypad');
    return !pad.hidden && field.top >= 0 && field.bottom <= pad.getBoundingClientRect().top;";

async fn bench(browser: &Browser, server: &Server) {
    browser.log_in(server, TARN).await;
    browser.go(&server.at(WEIGH)).await;
    browser
        .until("the keypad is there", "return Boolean(document.getElementById('keypad-switch'))", &[])
        .await;
}

/// Taps the field with this id, or what stands in its place.
async fn tap(browser: &Browser, selector: &str) {
    let script = "const found = document.querySelector(arguments[0]); found.scrollIntoView({block: 'start'});
        scrollBy(0, -120); return found;";
    browser.element(script, &[selector]).await.click().await.expect("it takes a tap");
}

async fn keys(browser: &Browser, words: &[&str]) {
    for word in words {
        let script = "return [...document.querySelectorAll('#keypad button')].find((key) => key.textContent === arguments[0]) || null";
        browser.element(script, &[word]).await.click().await.expect("a key");
    }
}

async fn value(browser: &Browser, name: &str) -> String {
    let value = browser.ask("return document.querySelector(`[name='${arguments[0]}']`).value", &[name]).await;
    value.as_str().expect("a value").to_owned()
}

#[tokio::test]
async fn it_opens_with_the_field_and_its_first_key_takes_the_place_of_what_stood_there() {
    let server = Server::demo();
    for look in [TABLET, PHONE] {
        let browser = Browser::open(look).await;
        bench(&browser, &server).await;
        tap(&browser, "#f-arm").await;
        browser.until("the field stands clear of the keypad", CLEAR, &[]).await;
        keys(&browser, &["1", "7", "␣", "3", "n/16", "in"]).await;
        assert_eq!(value(&browser, "arm").await, "17 3/16 in", "{}", look.name);
        keys(&browser, &["5"]).await;
        assert_eq!(value(&browser, "arm").await, "17 3/165 in", "a later key adds, in front of the unit");
        browser.close().await;
    }
}

#[tokio::test]
async fn next_goes_through_choices_and_fields_to_the_button() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    bench(&browser, &server).await;
    tap(&browser, "#f-zero").await;
    let mut seen = Vec::new();
    for _ in 0..20 {
        let here = "const here = document.activeElement; return here.name || here.className";
        let name = browser.ask(here, &[]).await.as_str().unwrap_or_default().to_owned();
        seen.push(name.clone());
        if name == "do" || name == "enter-button" {
            break;
        }
        if name == "way" {
            keys(&browser, &["at rest"]).await;
            keys(&browser, &["raising, lowering"]).await;
        }
        keys(&browser, &["Next"]).await;
    }
    for name in ["zero", "confirmed", "scale", "way", "arm", "rule", "tare", "do"] {
        assert!(seen.iter().any(|known| known == name), "{name} is not among {seen:?}");
    }
    assert_eq!(seen.iter().filter(|name| *name == "way").count(), 1, "the words of a choice are one stop");
    browser.close().await;
}

#[tokio::test]
async fn a_reading_is_changed_and_not_added_and_stays_with_its_method() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    bench(&browser, &server).await;
    tap(&browser, "#f-raising-entry").await;
    keys(&browser, &["0", ".", "1", "2", "Add", "1", ".", "2", "Add"]).await;
    assert_eq!(value(&browser, "raising").await, "0.12 lb; 1.2 lb");
    keys(&browser, &["Hide"]).await;
    tap(&browser, "[data-set=raising] .chip:nth-child(2)").await;
    keys(&browser, &["0", ".", "1", "3", "Change"]).await;
    assert_eq!(value(&browser, "raising").await, "0.12 lb; 0.13 lb");
    keys(&browser, &["Hide"]).await;
    browser.press("hung weight").await;
    browser.says("A known mass, hung at an arm").await;
    assert_eq!(value(&browser, "raising").await, "", "another method begins empty");
    browser.press("trailing-edge scale").await;
    browser.says("A scale holds the trailing edge up").await;
    assert_eq!(value(&browser, "raising").await, "0.12 lb; 0.13 lb");
    browser.close().await;
}

#[tokio::test]
async fn who_is_logged_out_is_told_at_the_top_and_comes_back_to_what_was_typed() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    bench(&browser, &server).await;
    browser.client.delete_all_cookies().await.expect("no cookies");
    browser.fill("tare", "0.07 lb").await;
    browser.says("You are logged out: nothing is saved now.").await;
    browser.press("Log in and come back").await;
    browser.fill("Login name", TARN.login).await;
    browser.fill("Password", TARN.password).await;
    browser.press("Log in").await;
    browser.is_at("/jobs/HP-0231/weigh").await;
    browser.says("Saved as you type.").await;
    assert_eq!(value(&browser, "tare").await, "0.07 lb");
    browser.close().await;
}

#[tokio::test]
async fn a_bare_number_gets_the_unit_beside_its_field_whatever_was_read_before() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at(&format!("{WEIGH}&units=metric"))).await;
    let there = "return Boolean(document.getElementById('keypad-switch'))";
    browser.until("the keypad is there", there, &[]).await;
    tap(&browser, "[data-set=raising] .entry input").await;
    keys(&browser, &["0", ",", "3", "6", "0", "Add", "1", "6", "5", "g", "Add", "0", ",", "2", "Add"]).await;
    assert_eq!(value(&browser, "raising").await, "0,360 kg; 165 g; 0,2 kg");
    keys(&browser, &["0", ",", "4"]).await;
    let other = "const link = document.querySelector('.units a[data-units=inch]'); link.click();
        return document.querySelector('[data-set=raising] .unit').textContent";
    assert_eq!(browser.ask(other, &[]).await.as_str(), Some("lb"));
    assert!(value(&browser, "raising").await.ends_with("; 0,4 kg"), "typed under the other unit");
    keys(&browser, &["0", ".", "7", "Add"]).await;
    assert!(value(&browser, "raising").await.ends_with("; 0.7 lb"));
    browser.close().await;
}
