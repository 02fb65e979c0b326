//! A visit to every page of a demo shop, whoever may see it, and to those that no link leads to. Main type: [`Visit`].

use crate::browser::Browser;
use crate::server::{Person, Server};
use crate::survey::Survey;

/// A job of the demo that is open and has its limits.
const OPEN: &str = "HP-0231";
/// A weight of the demo that comes from a file, and a form that begins with it.
const DRAWN: [&str; 2] = ["/jobs/HP-0236/weights/5", "/jobs/HP-0236/weights/new?from=5"];
/// The methods, by their words in an address.
const METHODS: [&str; 6] =
    ["trailing-edge-scale", "hung-weight", "balance-beam", "support-scale", "two-attitudes", "parts-list"];

/// What a page shows, and how to come there.
#[derive(Debug, Clone)]
pub enum Page {
    /// By its path, as somebody.
    Path(Person, String),
    /// By its path, as nobody.
    Stranger(String),
    /// A form that was refused.
    Refused(Person),
    /// A form that somebody else's entry overtook.
    Overtaken(Person),
}

impl Page {
    /// A name for messages and files.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Path(_, path) | Self::Stranger(path) => path.clone(),
            Self::Refused(_) => "refused form".to_owned(),
            Self::Overtaken(_) => "overtaken form".to_owned(),
        }
    }
}

/// Every page, in order of who sees it; and what is wrong with the links: those that lead to nothing, and rows of the
/// table of pages that none leads to.
pub async fn all(browser: &Browser, server: &Server, people: &[Person]) -> (Vec<Page>, Vec<String>) {
    let mut survey = Survey::default();
    let mut pages = vec![Page::Stranger("/log-in".to_owned()), Page::Stranger("/set-up".to_owned())];
    survey.saw("/log-in");
    survey.saw("/set-up");
    for (index, person) in people.iter().enumerate() {
        enter(browser, server, *person).await;
        let weighings: Vec<String> = METHODS
            .iter()
            .map(|method| format!("/jobs/{OPEN}/weigh?stage=as-left&method={method}"))
            .collect();
        let mut starts = vec!["/", "/search?q=SK12", "/search?q=nothing+of+this+name"];
        if index == 0 {
            starts.extend(weighings.iter().map(String::as_str));
        }
        let found = survey.pages(browser, &starts).await;
        pages.extend(found.into_iter().map(|path| Page::Path(*person, path)));
        pages.push(Page::Path(*person, "/no/such/page".to_owned()));
        pages.push(Page::Path(*person, "/people/new".to_owned()));
    }
    pages.extend(DRAWN.map(|path| Page::Path(people[0], path.to_owned())));
    pages.extend([Page::Refused(people[0]), Page::Overtaken(people[0])]);
    let mut faults = survey.dead().to_vec();
    faults.extend(survey.missing().iter().map(|row| format!("no link leads to {row}")));
    (pages, faults)
}

/// Logs in, whoever was there before.
async fn enter(browser: &Browser, server: &Server, person: Person) {
    browser.client.delete_all_cookies().await.expect("a stranger");
    browser.log_in(server, person).await;
}

/// Who stands before the pages while they are walked through.
#[derive(Debug, Default)]
pub struct Visit {
    who: Option<&'static str>,
    empty: Option<Server>,
}

impl Visit {
    /// Brings the browser to a page.
    ///
    /// # Panics
    /// Where it does not get there.
    pub async fn to(&mut self, browser: &Browser, server: &Server, page: &Page) {
        match page {
            Page::Path(person, path) => {
                self.as_person(browser, server, *person).await;
                browser.go(&server.at(path)).await;
            }
            Page::Stranger(path) => {
                browser.go(&server.at("/log-in")).await;
                browser.client.delete_all_cookies().await.expect("a stranger");
                self.who = None;
                let server =
                    if path == "/set-up" { self.empty.get_or_insert_with(Server::empty) } else { server };
                browser.go(&server.at(path)).await;
            }
            Page::Refused(person) => {
                self.as_person(browser, server, *person).await;
                browser.go(&server.at("/jobs/new")).await;
                browser.press("Receive it").await;
                browser.says("nothing was written").await;
            }
            Page::Overtaken(person) => {
                self.as_person(browser, server, *person).await;
                browser.go(&server.at(&format!("/jobs/{OPEN}/note"))).await;
                // Somebody else's entry: the same form, sent from elsewhere.
                let other = "const done = arguments[arguments.length - 1];
                    const form = document.querySelector('main form[action$=note]');
                    const body = new URLSearchParams(new FormData(form));
                    body.set('text', 'Bearing looked at.');
                    fetch(form.action, {method: 'POST', body}).then((got) => done(got.status));";
                browser.client.execute_async(other, vec![]).await.expect("it is sent");
                let remark = browser.element("return document.querySelector('main textarea')", &[]).await;
                remark.send_keys("Weight tight.").await.expect("a remark");
                browser.press("Enter the remark").await;
                browser.says("Written in between").await;
            }
        }
    }
    async fn as_person(&mut self, browser: &Browser, server: &Server, person: Person) {
        if self.who != Some(person.login) {
            browser.go(&server.at("/log-in")).await;
            enter(browser, server, person).await;
            self.who = Some(person.login);
        }
    }
}
