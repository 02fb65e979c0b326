//! What is typed into a form stays on the device until it is entered.

use crate::shop::{ADMIN, OSTERBY, TARN};
use hingeline_browser_tests::browser::{PHONE, TABLET};
use hingeline_browser_tests::{Browser, Person, Server};

const NOTE: &str = "/jobs/HP-0231/note";
const REMARK: &str = "return document.querySelector('main textarea').value === arguments[0]";

async fn type_remark(browser: &Browser, words: &str) {
    let remark = browser.element("return document.querySelector('main textarea')", &[]).await;
    remark.send_keys(words).await.expect("a remark");
}

async fn open(server: &Server, person: Person) -> Browser {
    let browser = Browser::open(TABLET).await;
    browser.log_in(server, person).await;
    browser.go(&server.at(NOTE)).await;
    browser
}

#[tokio::test]
async fn a_remark_outlives_a_new_load_and_goes_once_it_is_entered() {
    let server = Server::demo();
    let browser = open(&server, TARN).await;
    type_remark(&browser, "Bearing looked at.").await;
    browser.go(&server.at("/jobs")).await;
    browser.go(&server.at(NOTE)).await;
    browser.until("the remark", REMARK, &["Bearing looked at."]).await;
    browser.says("is back; it is not entered yet").await;
    browser.press("Enter the remark").await;
    browser.says("The remark is entered.").await;
    browser.go(&server.at(NOTE)).await;
    browser.until("an empty form", REMARK, &[""]).await;
    browser.close().await;
}

#[tokio::test]
async fn what_is_put_back_may_be_dropped_and_that_undone() {
    let server = Server::demo();
    let browser = open(&server, TARN).await;
    type_remark(&browser, "Weight tight.").await;
    browser.go(&server.at(NOTE)).await;
    let press = "return document.querySelector('.kept button')";
    browser.element(press, &[]).await.click().await.expect("it is dropped");
    browser.until("an empty form", REMARK, &[""]).await;
    browser.element(press, &[]).await.click().await.expect("it is put back");
    browser.until("the remark", REMARK, &["Weight tight."]).await;
    browser.close().await;
}

#[tokio::test]
async fn whoever_was_logged_out_finds_the_remark_after_the_log_in_and_nobody_else_does() {
    let server = Server::demo();
    let browser = Browser::open(PHONE).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at(NOTE)).await;
    type_remark(&browser, "Weight tight.").await;
    browser.client.delete_all_cookies().await.expect("logged out");
    browser.press("Enter the remark").await;
    browser.says("You were logged out").await;
    browser.says("What you typed is kept on this device").await;
    for (person, words) in [(OSTERBY, ""), (TARN, "Weight tight.")] {
        browser.client.delete_all_cookies().await.expect("logged out");
        browser.go(&server.at(&format!("/log-in?to={NOTE}"))).await;
        browser.fill("Login name", person.login).await;
        browser.fill("Password", person.password).await;
        browser.press("Log in").await;
        browser.is_at(NOTE).await;
        browser.until("the remark of this person", REMARK, &[words]).await;
    }
    browser.close().await;
}

#[tokio::test]
async fn what_was_entered_at_an_address_with_a_space_does_not_come_back() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.log_in(&server, ADMIN).await;
    browser.go(&server.at("/instruments/new")).await;
    browser.fill("Mark on it", "S 2é").await;
    browser.fill("Name in words", "hanging scale, 30 lb").await;
    browser.fill("Smallest step it shows", "0.01 lb").await;
    browser.press("Enter").await;
    browser.says("The instrument is entered.").await;
    browser.go(&server.at("/instruments/S%202%C3%A9")).await;
    browser.fill("It shows with nothing on it", "0.00 lb").await;
    browser.press("Enter the check").await;
    browser.says("The check is entered.").await;
    browser.go(&server.at("/instruments/S%202%C3%A9")).await;
    assert_eq!(browser.value("It shows with nothing on it").await, "", "it is entered");
    browser.until("nothing is kept", "return !document.querySelector('.kept')", &[]).await;
    browser.close().await;
}

#[tokio::test]
async fn back_after_a_refused_form_shows_its_page_and_sends_nothing_again() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/new")).await;
    browser.fill("Surface", "left elevator half").await;
    browser.press("Receive it").await;
    browser.says("nothing was written").await;
    assert_eq!(browser.path().await, "/jobs/new", "the answer has the address of its form");
    browser.go(&server.at("/jobs")).await;
    browser.client.back().await.expect("back");
    let typed = "return document.querySelector('[name=surface]')?.value === 'left elevator half';";
    browser.until("the form with what was typed", typed, &[]).await;
    browser.says("is back; it is not entered yet").await;
    browser.client.refresh().await.expect("loaded again");
    browser.until("the same once more", typed, &[]).await;
    browser.close().await;
}

#[tokio::test]
async fn a_method_that_was_left_at_once_does_not_come_back_under_another() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.log_in(&server, TARN).await;
    for method in ["balance-beam", "two-attitudes"] {
        browser.go(&server.at(&format!("/jobs/HP-0231/weigh?stage=as-found&method={method}"))).await;
    }
    let missing = "return document.querySelector('[data-part=verdict]').innerText.includes('second angle');";
    browser.until("what this method still misses", missing, &[]).await;
    let method = browser.ask("return document.querySelector('[name=method]').value", &[]).await;
    assert_eq!(method.as_str(), Some("two attitudes"));
    browser.close().await;
}
