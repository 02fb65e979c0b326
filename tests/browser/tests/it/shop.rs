//! The people of the demo shop, as its log-in page shows them.

use hingeline_browser_tests::{Browser, Person, Server};

const PASSWORD: &str = "hinge line level";

/// A technician.
pub(crate) const TARN: Person = Person { login: "tarn", password: PASSWORD, pin: "4471" };
/// An inspector.
pub(crate) const OSTERBY: Person = Person { login: "osterby", password: PASSWORD, pin: "2207" };
/// An administrator.
pub(crate) const ADMIN: Person = Person { login: "admin", password: PASSWORD, pin: "6190" };

#[tokio::test]
async fn the_log_in_page_shows_them() {
    let server = Server::demo();
    let browser = Browser::open(hingeline_browser_tests::browser::PHONE).await;
    browser.go(&server.at("/log-in")).await;
    for person in [TARN, OSTERBY, ADMIN] {
        for words in [person.login, person.password, person.pin] {
            browser.says(words).await;
        }
    }
    browser.close().await;
}
