//! What is typed into a form stays on the device until it is entered.

use crate::shop::{OSTERBY, TARN};
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
