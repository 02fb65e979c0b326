//! Every page keeps the accessibility rules and fits its window: desktop light and dark, tablet, phone.

use crate::shop::{ADMIN, OSTERBY, TARN};
use hingeline_browser_tests::browser::{DESK, Look, PHONE, TABLET};
use hingeline_browser_tests::pages::{self, Visit};
use hingeline_browser_tests::{Browser, Light, Server, axe};

async fn every_page(look: Look, lights: &[Light]) {
    let server = Server::demo();
    let browser = Browser::open(look).await;
    let (pages, mut faults) = pages::all(&browser, &server, &[OSTERBY, ADMIN, TARN]).await;
    let mut visit = Visit::default();
    for page in &pages {
        visit.to(&browser, &server, page).await;
        for light in lights {
            browser.light(*light).await;
            let found = axe::faults(&browser).await;
            faults.extend(
                found
                    .into_iter()
                    .map(|fault| format!("{} {} {}: {fault}", look.name, light.word(), page.name())),
            );
        }
    }
    browser.close().await;
    assert!(faults.is_empty(), "{} faults on {} pages:\n{}", faults.len(), pages.len(), faults.join("\n"));
}

#[tokio::test]
async fn on_a_desktop_in_light_and_dark() {
    every_page(DESK, &[Light::Light, Light::Dark]).await;
}

#[tokio::test]
async fn on_a_tablet() {
    every_page(TABLET, &[Light::Light]).await;
}

#[tokio::test]
async fn on_a_phone_in_the_dark() {
    every_page(PHONE, &[Light::Dark]).await;
}

#[tokio::test]
async fn a_planted_fault_is_found() {
    let server = Server::demo();
    let browser = Browser::open(PHONE).await;
    browser.go(&server.at("/log-in")).await;
    let plant = "const wide = document.createElement('div');
        wide.style.width = '500px'; wide.textContent = 'wide';
        document.querySelector('main').append(wide, document.createElement('img'));";
    browser.ask(plant, &[]).await;
    let found = axe::faults(&browser).await.join("\n");
    assert!(found.contains("image-alt") && found.contains("the window 360"), "{found}");
    browser.close().await;
}
